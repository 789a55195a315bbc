"""Texts of a form: a value with its tolerance, its unit in another system, its next step."""

import re
from collections.abc import Callable
from decimal import ROUND_HALF_EVEN, Decimal
from math import copysign, floor, isinf, log10

from calculators import units
from calculators.errors import InputError
from calculators.units.table import unit_of

SAME = 1e-6
"""Two texts mean the same to a reader when their values differ by less than this part."""

DUST = 1e-5
"""An end of a range that is less than this part of the other is nothing beside it."""

_SIGNS = ("±", "+/-", "+-", "~")
_TWO_SIDED = re.compile(r"\s+(?=\+)")
_ENDS_IN_NUMBER = re.compile(r"[0-9.,]\s*$")
_CUBES = tuple(u.link for u in units.UNITS.values() if u.link[-1:].isdigit() and u.link != "1")
_TRAILING = re.compile(r"([0-9])([.])([0-9]*?)0+(?=[^0-9]|$)")


def split_tolerance(text: str) -> tuple[str, str]:
    """Cut ``8.2nF±20%`` or ``8.2 nF +80/-20 %`` into value and tolerance, which may be empty.

    A sign with nothing behind it stays in the value, where it is refused.
    """
    for sign in _SIGNS:
        value, found, tolerance = text.partition(sign)
        if found and tolerance.strip():
            return value.strip(), tolerance.strip()
    value, tolerance = (*_TWO_SIDED.split(text.strip(), maxsplit=1), "")[:2]
    return value, tolerance


def split_reference(text: str) -> tuple[str, str]:
    """A level cut into its number and its reference: ``39.6 dB`` and ``re 1 µPa²/Hz``."""
    number, found, reference = text.partition(" re ")
    return number, f"re {reference}" if found else ""


def range_text(low: str, high: str) -> str:
    """From low to high; a reference that both levels have is said once."""
    number, reference = split_reference(low)
    same = reference and reference == split_reference(high)[1]
    return f"{number if same else low} to {high}"


def without_dust(low: float, high: float) -> tuple[float, float]:
    """The ends of a range; one that is nothing beside the other is 0.

    Else its own prefix would say what the range does not mean: 646 mPa to 631 kPa.
    """
    if isinf(low) or isinf(high):
        return low, high
    least = DUST * max(abs(low), abs(high))
    return (0.0 if abs(low) < least else low, 0.0 if abs(high) < least else high)


def ends_in_number(text: str) -> bool:
    """Whether a text is a bare number, without a unit behind it; ``5kgperm3`` has one."""
    return _ENDS_IN_NUMBER.search(text) is not None and not text.rstrip().endswith(_CUBES)


def field_text(value: float, unit: str) -> str:
    """The shortest number for a field whose value a reader cannot tell from this one."""
    exact = units.format_field(value, unit)
    for digits in range(1, 10):
        text = _plain(Decimal(exact), digits)
        read = units.parse(text, unit, name="", label="")
        if abs(read - value) <= SAME * abs(value):
            return text
    return exact


def shown_text(value: float, unit: str, system: str, digits: int = 6) -> str:
    """A value with its unit, without trailing zeros, for ranges and messages."""
    return _TRAILING.sub(_drop_zeros, units.format_display(value, unit, digits, system))


def end_text(value: float, unit: str, system: str, within: tuple[float, float]) -> str:
    """An end of a range as a reader sees it, rounded inwards: whoever types it is not refused."""
    low, high = within
    inwards = (high - low) if value == low else (low - high)
    for step in (0, 1e-6, 3e-6, 1e-5, 1e-4, 1e-3):
        text = shown_text(value + copysign(step * abs(value), inwards), unit, system)
        if low <= _read_back(text, unit, value) <= high:
            return text
    return shown_text(value, unit, system)


def _read_back(text: str, unit: str, otherwise: float) -> float:
    """What a form makes of a text; a level with its reference is exact, and not typed like that."""
    number, reference = split_reference(text)
    return otherwise if reference else units.parse(number, unit, name="")


def _drop_zeros(match: re.Match[str]) -> str:
    before, point, decimals = match.groups()
    return f"{before}{point}{decimals}" if decimals else before


def tolerance_text(tolerance: units.Tolerance, unit: str) -> str:
    """A tolerance for a form in this unit, to six digits where the exact number is long."""
    exact = split_reference(units.format_tolerance(tolerance, unit))[0]
    if tolerance.relative or len(exact) <= 14:
        return exact
    factor = float(unit_of(unit).factor)
    low, high = (_plain(Decimal(x / factor), 6) for x in (tolerance.low, tolerance.high))
    return f"±{high} {unit}" if low == high else f"+{high}/−{low} {unit}"


def from_base(unit: str) -> Callable[[float], float]:
    """A function from a value of the base unit to its number in ``unit``."""
    factor, zero = float(unit_of(unit).factor), float(unit_of(unit).zero)
    return lambda value: value / factor + zero


def step(number: float, direction: int, *, whole: bool) -> str:
    """The number one step up or down: one unit of its second digit, or one where it is whole."""
    size = Decimal(1) if whole or number == 0 else Decimal(10) ** (floor(log10(abs(number))) - 1)
    return _plain(Decimal(repr(number)) + size * direction, 12)


def bare_number(text: str, unit: str, name: str, label: str) -> float:
    """The number in ``unit`` that a text of its field means."""
    return from_base(unit)(units.parse(text, unit, name=name, label=label))


def refuse_without_unit(text: str, unit: str, name: str, label: str, example: str) -> None:
    """In a link a number says its unit, or it would mean something else in another form."""
    if ends_in_number(text) and units.dimension(unit) not in ("ratio", "count"):
        raise InputError(name, f"{label}: “{text[:40]}” has no unit. Write it, as in {example}.")


def _plain(number: Decimal, digits: int) -> str:
    """The number rounded to significant digits, without an exponent or trailing zeros."""
    if not number:
        return "0"
    place = Decimal(1).scaleb(number.adjusted() - digits + 1)
    text = f"{number.quantize(place, rounding=ROUND_HALF_EVEN):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
