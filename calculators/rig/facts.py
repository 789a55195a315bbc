"""What is known of a rig, one number or word at a time, and what is not, with the reason."""

from collections.abc import Iterable
from dataclasses import dataclass

from calculators import entries
from calculators.declare import Choice, Input, Log, Number, Output, Value
from calculators.evaluate import asked
from calculators.registry import CALCULATORS
from calculators.rig.graph import Evaluated, Node
from calculators.rig.model import Rig
from calculators.rig.schema import SECTIONS, entry_of
from calculators.units import Tolerance

MOST_NAMED = 4
"""So many missing entries are named in one sentence; the rest are counted."""


@dataclass(frozen=True)
class Fact:
    """One input or output of a calculator of the rig, with its value.

    ``low`` and ``high`` are the ends of its range, both None for what is no number. ``entry`` is
    the key of the rig that states it, empty for what is worked out. ``usual`` says that nobody
    stated it: it is a convention, at its default.
    """

    card: str
    key: str
    label: str
    item: Input | Output
    value: Value
    low: float | None = None
    high: float | None = None
    tolerance: Tolerance | None = None
    entry: str = ""
    usual: bool = False

    @property
    def number(self) -> float:
        """The value of what is a number, SI."""
        return float(self.value)

    @property
    def ends(self) -> tuple[float, float]:
        """The range of what is a number; where there is none, the value twice."""
        return (
            self.number if self.low is None else self.low,
            self.number if self.high is None else self.high,
        )

    def text(self, system: str) -> str:
        """The value as the reader sees it."""
        return text_of(self.item, self.value, system)

    def full_text(self, system: str) -> str:
        """The value with its tolerance where it is stated, with its range where it follows."""
        text = self.text(system)
        if self.tolerance is not None and isinstance(self.item, Number):
            return f"{text} {entries.tolerance_text(self.tolerance, self.item.unit_in(system))}"
        between, reference = entries.split_reference(self.range_text(system))
        if reference and not text.endswith(reference):
            between = f"{between} {reference}"
        return f"{text} ({between})" if between else text

    def range_text(self, system: str) -> str:
        """From low to high, empty where a reader cannot tell them apart."""
        if self.low is None or self.high is None:
            return ""
        span = entries.without_dust(self.low, self.high)
        ends = [text_of(self.item, end, system) for end in span]
        return entries.range_text(*ends) if ends[0] != ends[1] else ""


@dataclass(frozen=True)
class Unknown:
    """One input or output that has no value in this rig, and why."""

    card: str
    key: str
    label: str
    why: str


Found = Fact | Unknown | None
"""A fact, or why it is none; None where the rig does not have the question."""


def text_of(item: Input | Output, value: Value, system: str) -> str:
    """A value of an input or output as the reader sees it."""
    if isinstance(item, Choice):
        chosen = value if isinstance(value, str) else f"{value:g}"
        return next(option.label for option in item.options if option.value == chosen)
    if isinstance(item, Log):
        return str(value)
    if isinstance(item, Output):
        return item.text(float(value), system)
    return item.shown_text(float(value), system)


def entry_label(key: str) -> str:
    """An entry in words: ``element: element capacitance``, with the number of its row."""
    entry, row = entry_of(key)
    return f"{SECTIONS[entry.section].lower()}: {entry.label(row)}"


def named(keys: Iterable[str]) -> str:
    """Entries in words, no more than a sentence holds."""
    labels = [entry_label(key) for key in dict.fromkeys(keys)]
    more = len(labels) - MOST_NAMED
    said = "; ".join(labels[:MOST_NAMED])
    return f"{said}; and {more} more" if more > 0 else said


@dataclass(frozen=True)
class Facts:
    """A rig with what follows from it, to be asked for one thing at a time."""

    rig: Rig
    nodes: Evaluated

    def has(self, card: str) -> bool:
        """Whether the rig has the question of this calculator."""
        return card in self.nodes

    def answered(self, card: str) -> bool:
        """Whether this calculator has an answer in this rig."""
        return card in self.nodes and self.nodes[card].results is not None

    def rows(self, card: str, group: str) -> int:
        """How many rows of a kind the rig has."""
        return self.nodes[card].shape.rows[group]

    def find(self, card: str, key: str) -> Found:
        """An input or output of a calculator, by its key.

        A calculator that stands for nothing in a rig has no node: what it would say is unknown.
        """
        if card in self.rig.without:
            return None
        node = self.nodes.get(card)
        if node is None:
            label = CALCULATORS[card].title
            return Unknown(card, key, label, "this calculator takes nothing from a rig")
        return _output(node, key) if key in node.shape.outputs else _input(node, key)

    def fact(self, card: str, key: str) -> Fact | None:
        """The same where nothing but a value is of use."""
        found = self.find(card, key)
        return found if isinstance(found, Fact) else None


def _output(node: Node, key: str) -> Found:
    label, item = node.shape.label(key), node.shape.outputs[key]
    if node.results is None or node.spread is None:
        return Unknown(node.card.id, key, label, why_open(node))
    low, high = node.spread.low[key], node.spread.high[key]
    return Fact(node.card.id, key, label, item, node.results[key], low, high)


def _input(node: Node, key: str) -> Found:
    label, item = node.shape.label(key), node.shape.inputs[key]
    if not asked(node.card, key, item, node.given.values):
        return None
    entry = node.stated.get(key, "")
    if not entry and key not in node.derived and key not in node.usual:
        return Unknown(node.card.id, key, label, "not stated")
    tolerance = node.given.tolerances.get(key)
    value = node.given.values[key]
    low, high = tolerance.ends(float(value)) if tolerance else (None, None)
    return Fact(
        node.card.id,
        key,
        label,
        item,
        value,
        low,
        high,
        tolerance if entry else None,
        entry,
        usual=key in node.usual,
    )


def why_open(node: Node) -> str:
    """Why a calculator has no answer: what is not stated, or what was refused."""
    if node.missing:
        return f"not stated in this rig: {named(node.missing)}"
    return " ".join(error.message for error in node.refused)
