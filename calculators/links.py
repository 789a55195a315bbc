"""Share links: every input in readable form, in the part of the address that stays on the device.

``#corner-frequency?v=1&edition=2026.11&gave=6.86Hz&element_capacitance=4.1nF~20pct&…``

Plain ``key=value`` within bounds: nothing from a link is executed or unpacked. Old links keep
working: ``v`` names the format, ``edition`` the handbook that made it, ``gave`` its first answer.
"""

import re
from dataclasses import dataclass, field
from functools import lru_cache

from calculators import EDITION, LINK_FORMAT, units
from calculators.declare import Calculator, Choice, Input, Log, Number, Output, Results, Written
from calculators.errors import InputError
from calculators.evaluate import Given
from calculators.logs import link_text, read_log
from calculators.registry import calculator
from calculators.units import Tolerance

LONGEST = 4_000
"""Links longer than this are refused unread; ours stay below 2 000 characters."""

MOST_PARTS = 120
"""Most ``key=value`` parts that are read."""

MOST_LOG_ROWS = 200
LONGEST_LOG = 1_200
"""A longer log is not written into a link; the link says how many rows it had."""

GAVE_DIGITS = 6
"""Digits of the answer a link carries: more than any page shows."""

_KEY = re.compile(r"[a-z][a-z0-9_]{0,60}")
_LEFT_OUT = re.compile(r"(\d{1,6})rows")
_EDITION = re.compile(r"\d{4}\.\d{1,2}(\.\d{1,3})?")


@dataclass
class Link:
    """A link, taken apart; the texts are not understood yet."""

    card: Calculator
    edition: str
    gave: str
    fields: dict[str, str] = field(default_factory=dict)
    tolerances: dict[str, str] = field(default_factory=dict)
    errors: list[InputError] = field(default_factory=list)


def make_link(card: Calculator, given: Given, results: Results) -> str:
    """The link that opens this calculation, to be put behind the page's address.

    Its first answer travels along, so that a later edition can tell whether it still holds.
    """
    values = given.values
    shape = card.shape(values)
    first = next(iter(shape.outputs))
    gave = units.format_exact(
        _rounded(results[first]), card.outputs_by_name[first].unit, ascii=True
    )
    parts = [f"v={LINK_FORMAT}", f"edition={EDITION}", f"gave={gave}"]
    for key, item in shape.inputs.items():
        text = _value_text(item, values[key])
        if key in given.tolerances and isinstance(item, Number):
            text += "~" + _tolerance_text(given.tolerances[key], item.unit)
        parts.append(f"{key}={text}")
    return f"#{card.id}?{'&'.join(parts)}"


def _value_text(item: Input, value: float | str) -> str:
    if isinstance(item, Log):
        return _log_text(item, str(value))
    if isinstance(value, str):
        return value
    if isinstance(item, Written):
        return item.link_text(value)
    return f"{value:g}" if isinstance(item, Choice) else _number_text(repr(value), item.unit)


@lru_cache(maxsize=2_000)
def _number_text(written: str, unit: str) -> str:
    """A number by its repr, in which zero has its sign: at an edit most are as they were."""
    return units.format_exact(float(written), unit, ascii=True)


@lru_cache(maxsize=2_000)
def _tolerance_text(tolerance: Tolerance, unit: str) -> str:
    return units.format_tolerance(tolerance, unit, ascii=True)


def _log_text(item: Log, text: str) -> str:
    """The rows, or how many they are where a link has no room for them."""
    rows = read_log(text, item.columns).rows
    if rows > MOST_LOG_ROWS:
        return f"{rows}rows"
    written = link_text(text, item.columns)
    return written if len(written) <= LONGEST_LOG else f"{rows}rows"


def without_log(text: str) -> int | None:
    """How many rows a link left out, None if it left none out."""
    left_out = _LEFT_OUT.fullmatch(text)
    return int(left_out[1]) if left_out else None


def _rounded(value: float) -> float:
    return float(f"{value:.{GAVE_DIGITS}g}")


def parse_link(text: str) -> Link:
    """Take a link apart.

    Raises:
        InputError: If it is not one of ours at all, or of a later format.
    """
    if len(text) > LONGEST:
        raise InputError("link", f"This link is longer than {LONGEST} characters: it is not read.")
    name, mark, query = text.removeprefix("#").partition("?")
    card = calculator(name)
    parts = query.split("&")
    if not mark or len(parts) > MOST_PARTS or not parts[0].startswith("v="):
        raise InputError("link", "This link does not start with its format, as in v=1.")
    if parts[0] != f"v={LINK_FORMAT}":
        raise InputError(
            "link",
            f"This link is of format “{parts[0][2:22]}”; this edition reads format {LINK_FORMAT}. "
            "Open it in a newer edition of the handbook.",
        )
    link = Link(card, edition="", gave="")
    for part in parts[1:]:
        _take(link, part)
    return link


def _take(link: Link, part: str) -> None:
    key, equals, text = part.partition("=")
    if not equals or not _KEY.fullmatch(key):
        link.errors.append(InputError("link", f"“{key[:40]}” in the link is not understood."))
    elif key == "edition":
        try:
            link.edition = read_edition(text)
        except InputError as error:
            link.errors.append(error)
    elif key == "gave":
        link.gave = text
    else:
        value, tilde, tolerance = text.partition("~")
        link.fields[key] = value
        if tilde:
            link.tolerances[key] = tolerance


def read_edition(text: str) -> str:
    """An edition as a link writes it, or a refusal."""
    if not _EDITION.fullmatch(text):
        raise InputError("link", "The link's edition is not understood.")
    return text


@dataclass(frozen=True)
class Notice:
    """What to say about a link of another edition."""

    text: str
    then: str | None = None
    now: str | None = None


def edition_notice(link: Link, results: Results, system: str) -> Notice | None:
    """What a reader must know about a link that another edition made; None if nothing.

    The two answers are compared to the digits the link carries, so that a change shows even if
    nobody declared it.
    """
    if link.edition == EDITION:
        return None
    output = link.card.outputs[0]
    now = results[output.name]
    then = _gave(link, output)
    changes = changes_since(link.card, link.edition)
    made = made_with(link.edition)
    if then is not None and abs(then - now) > abs(now) * 10.0 ** (1 - GAVE_DIGITS):
        reason = " ".join(changes) or "A formula or an input has changed since."
        return Notice(f"{made} {reason}", output.text(then, system), output.text(now, system))
    if changes:
        return Notice(f"{made} {' '.join(changes)}")
    return Notice(f"{made} The answer has not changed." if then is not None else made)


def _gave(link: Link, output: Output) -> float | None:
    """The answer the link carries, None if it carries none that can be read."""
    try:
        return units.parse(link.gave, output.unit, name="gave", label=output.label)
    except InputError:
        return None


def made_with(edition: str) -> str:
    """Which edition made a link, and which one reads it."""
    return f"This link was made with edition {edition or 'unknown'}, this is {EDITION}."


def changes_since(card: Calculator, edition: str) -> list[str]:
    """What has changed about a calculator after an edition, as far as its card declares it."""
    return [change.text for change in card.changes if _later(change.edition, edition)]


def _later(edition: str, than: str) -> bool:
    return _number(edition) > _number(than)


def _number(edition: str) -> tuple[int, ...]:
    return tuple(int(part) for part in edition.split(".")) if edition else (0,)
