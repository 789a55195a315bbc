"""What a sheet is made of: a title and blocks, each in words and numbers that a reader sees.

A number on a sheet is always that of an entry or of an answer, and says which.
"""

from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from math import ceil
from typing import Any, Literal

from calculators.declare import Caution
from calculators.rig.facts import Fact, Facts, Unknown, text_of
from calculators.rig.graph import Node
from calculators.rig.hazards import Hazard
from calculators.square_code import fits

Json = dict[str, Any]

ALWAYS = Caution(title="", text="").when
"""The condition of a caution that holds whatever the values."""

NONE_NEEDED = "none needed"

LONGEST_SMALL = 600
"""Characters up to which a link makes a small code: on a square of 35 mm with its quiet edge its
modules are a third of a millimetre."""


@dataclass(frozen=True)
class Ask:
    """One input or output of a calculator to be put on a sheet.

    ``label`` stands in place of the calculator's own. ``mass_to_add`` says that below zero nothing
    has to be added, ``whole`` that only whole ones can be had: the high end, rounded up.
    """

    card: str
    key: str
    label: str = ""
    mass_to_add: bool = False
    whole: bool = False


def asks(card: str, *keys: str) -> tuple[Ask, ...]:
    """Inputs and outputs of one calculator, in its own words."""
    return tuple(Ask(card, key) for key in keys)


@dataclass(frozen=True)
class Value:
    """A number or word with its name; ``source`` is calculator and key, ``entry`` what is stated.

    ``entry`` is empty for what is worked out.
    """

    label: str
    text: str
    source: str
    entry: str = ""


@dataclass(frozen=True)
class Found:
    """What a rig says of the things asked for, and sentences that name what it does not say."""

    values: tuple[Value, ...]
    unknown: tuple[str, ...]


@dataclass(frozen=True)
class Part:
    """Something to get: how many or how much, and what matters about it."""

    name: str
    quantity: Value | None
    values: tuple[Value, ...]
    unknown: tuple[str, ...]


@dataclass(frozen=True)
class Parts:
    """The parts of one section of the rig."""

    title: str
    parts: tuple[Part, ...]
    block: str = "parts"


@dataclass(frozen=True)
class Step:
    """One step of the work: cautions first, then what to do, with what, and what proves it.

    ``page`` is the chapter, from the root of the handbook. ``tests`` are words, ``proof`` the
    numbers that they speak of.
    """

    title: str
    page: str
    cautions: tuple[Hazard, ...]
    todo: tuple[str, ...]
    values: tuple[Value, ...]
    tests: tuple[str, ...]
    proof: tuple[Value, ...]
    unknown: tuple[str, ...]
    block: str = "step"


@dataclass(frozen=True)
class Values:
    """Names and values under a title; what is not known is left blank, to be written by hand."""

    title: str
    values: tuple[Value, ...]
    blanks: tuple[str, ...] = ()
    block: str = "values"


@dataclass(frozen=True)
class Ticks:
    """Things to tick off; what can hurt stands before them."""

    title: str
    cautions: tuple[Hazard, ...]
    items: tuple[str, ...]
    block: str = "ticks"


@dataclass(frozen=True)
class Writing:
    """Places to write into by hand: a line each."""

    title: str
    fields: tuple[str, ...]
    block: str = "write"


@dataclass(frozen=True)
class Code:
    """The place of the code that opens this rig; ``words`` say what it does, or why there is none.

    ``address`` is what it holds; a large one needs half a page.
    """

    qr: bool
    words: str
    address: str = ""
    size: Literal["small", "large"] = "small"
    block: str = "qr"


Block = Parts | Step | Values | Ticks | Writing | Code


@dataclass(frozen=True)
class Sheet:
    """One sheet of a rig; ``pages`` is how many it may take on paper, 0 for as many as it needs."""

    name: str
    title: str
    rig: str
    lead: str
    blocks: tuple[Block, ...]
    pages: int = 0


def as_json(sheet: Sheet) -> Json:
    """The sheet as a page or a print gets it."""
    return asdict(sheet)


def collect(facts: Facts, asked: Iterable[Ask], system: str) -> Found:
    """The values asked for, in order, and in a few sentences those that there are none of."""
    values: list[Value] = []
    lacking: dict[str, list[str]] = {}
    for ask in asked:
        found = facts.find(ask.card, ask.key)
        if isinstance(found, Fact) and not found.usual:
            values.append(value_of(ask, found, system))
        elif isinstance(found, Unknown):
            lacking.setdefault(found.why, []).append(ask.label or plain_label(found.label))
    return Found(tuple(values), tuple(_sentences(lacking)))


def value_of(ask: Ask, fact: Fact, system: str) -> Value:
    """One fact as it stands on a sheet."""
    text = fact.full_text(system)
    if ask.mass_to_add and fact.ends[0] <= 0:
        high = fact.ends[1]
        text = NONE_NEEDED if high <= 0 else f"up to {text_of(fact.item, high, system)}"
    elif ask.whole:
        text = f"{ceil(fact.ends[1])}"
    label = ask.label or plain_label(fact.label)
    return Value(label, text, f"{fact.card}.{fact.key}", fact.entry)


def plain_label(label: str) -> str:
    """A label that goes on from the one above it in a form, as it can stand alone."""
    alone = label.removeprefix("… ")
    return alone[:1].upper() + alone[1:]


def _sentences(lacking: dict[str, list[str]]) -> Iterator[str]:
    """One for all inputs that are not stated, one for what could not be worked out for a reason."""
    for why, labels in lacking.items():
        names = "; ".join(labels)
        if why == "not stated":
            yield f"Not stated in this rig: {names}."
        else:
            yield f"Not worked out: {names} ({why.rstrip('.')})."


def cautions(facts: Facts, cards: Iterable[str]) -> tuple[Hazard, ...]:
    """The cautions of these calculators that hold for this rig, each once.

    Of a calculator without an answer only those that hold whatever the values.
    """
    found = [hazard for card in cards if facts.has(card) for hazard in _held(facts.nodes[card])]
    return tuple({hazard.title: hazard for hazard in found}.values())


def _held(node: Node) -> Iterator[Hazard]:
    for caution in node.card.cautions:
        always = caution.when is ALWAYS
        if always or (node.results is not None and caution.when(node.given.values, node.results)):
            yield Hazard(caution.title, caution.text)


def code(link: str, name: str) -> Code:
    """The place of the code with what it opens, or in words why there is none."""
    if not link:
        return Code(False, "No code: this sheet was made without a link to its rig.")
    if not fits(link):
        return Code(
            False,
            f"No code: the link of this rig has {len(link)} signs, more than a code holds. "
            "Take the rig's file with you.",
        )
    words = f"This code opens the rig “{name}” in the handbook, with every value."
    if len(link) <= LONGEST_SMALL:
        return Code(True, words, link)
    fine = "Its squares are small: print it no smaller, hold the page flat and in even light."
    return Code(True, f"{words} {fine}", link, "large")
