"""How far a part may be from its marked value: ±20 %, ±0.5 pF, +80/-20 %."""

import re
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from calculators.units.reading import (
    RefusedError,
    accepts,
    read_number,
    read_quantity,
    refusal,
    tidy,
    to_float,
    unit_named,
)
from calculators.units.showing import MINUS, WIDE, decimal_of, number_in, with_unit
from calculators.units.table import UNITS, Unit, unit_of

_NUMBER = r"[0-9]*[.,]?[0-9]+(?:[eE][+-]?[0-9]+)?"
_BOTH_WAYS = re.compile(r"(?:±|\+ ?/? ?-|~) ?")
_NO_EXPONENT = r"(?![eE][+-]?[0-9])"
_TWO_SIDES = re.compile(
    rf"([+-]?) ?({_NUMBER}){_NO_EXPONENT} ?([^0-9+/-]*)/? ?([+-]) ?({_NUMBER}) ?(.*)"
)
_PERCENT = ("%", "pct", "percent")

_Side = tuple[Fraction, bool]  # how far, and whether as a fraction of the value


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Deviations below and above a value, none negative.

    They are fractions of the value where `relative`, else amounts in its base unit.
    """

    text: str = field(compare=False)
    low: float
    high: float
    relative: bool

    def ends(self, value: float) -> tuple[float, float]:
        """The lowest and the highest value that the tolerance allows."""
        return _ends(repr(float(value)), self.low, self.high, self.relative)


@lru_cache(maxsize=4_000)
def _ends(written: str, below: float, above: float, relative: bool) -> tuple[float, float]:
    """The ends about a value by its repr, in which zero has its sign: most are asked for again."""
    middle, low, high = Decimal(written), decimal_of(below), decimal_of(above)
    if relative:
        low, high = WIDE.multiply(abs(middle), low), WIDE.multiply(abs(middle), high)
    return float(WIDE.subtract(middle, low)), float(WIDE.add(middle, high))


def parse_tolerance(
    text: str, value: float, unit: str, *, name: str, label: str | None = None
) -> tuple[float, float] | None:
    """The lowest and highest value that a tolerance allows, or None where none is given.

    The rules are those of `read_tolerance`.

    >>> parse_tolerance("±20 %", 100.0, "Ω", name="output_resistance")
    (80.0, 120.0)
    """
    tolerance = read_tolerance(text, unit, name=name, label=label)
    return tolerance.ends(value) if tolerance else None


def read_tolerance(
    text: str, unit: str, *, name: str, label: str | None = None
) -> Tolerance | None:
    """Read "±20 %", "20 %", "~20pct", "±0.5 pF", "+80/-20 %"; "" is no tolerance.

    A bare number is in `unit`, the unit of the field. A percentage is relative to the value,
    with two exceptions: where the field itself is in %, it is percentage points (85 % ± 5 % is
    80 % to 90 %); a level in dB or a temperature takes none, because a percentage of either has
    no meaning. A temperature tolerance is a difference: ±2 °F is ±1.11 °C.

    Raises:
        InputError: With part "tolerance", if the text is none of these, negative, or takes
            100 % or more from the value.
    """
    if not text.strip():
        return None
    field = unit_of(unit)
    try:
        low, high, relative = _sides(tidy(text), field)
        return Tolerance(text, to_float(low), to_float(high), relative)
    except RefusedError as why:
        raise refusal(name, label, text, str(why), _accepts(field), "tolerance") from None


def format_tolerance(tolerance: Tolerance, unit: str, *, ascii: bool = False) -> str:  # noqa: A002
    """The tolerance for a field in this unit: "±20 %", "+80/−20 %"; ascii: "20pct", "80-20pct".

    Both read back as exactly this tolerance.
    """
    measure = UNITS["%"] if tolerance.relative else replace(unit_of(unit), zero=Fraction(0))
    low, high = number_in(tolerance.low, measure), number_in(tolerance.high, measure)
    if ascii:
        return (high if low == high else f"{high}-{low}") + measure.link
    numbers = f"±{high}" if low == high else f"+{high}/{MINUS}{low}"
    return with_unit(numbers, measure.symbol)


def _accepts(field: Unit) -> str:
    if not _takes_percent(field):
        return f"±, then {accepts(field)}; a percentage of a {field.dimension} has no meaning"
    if field.symbol == "%":
        return "percentage points, such as ±5 % (85 % ± 5 % is 80 % to 90 %)"
    return f"±, then a percentage of the value (below 100 %), or {accepts(field)}"


def _takes_percent(field: Unit) -> bool:
    return field.dimension != "temperature" and not field.dimension.endswith("level")


def _sides(text: str, field: Unit) -> tuple[Fraction, Fraction, bool]:
    """How far below, how far above, and whether these are fractions of the value."""
    if match := _TWO_SIDES.fullmatch(text):
        low, high, relative = _two_sides(match, field)
    else:
        low, relative = _side(_BOTH_WAYS.sub("", text, count=1), field)
        high = low
    if low < 0 or high < 0:
        raise RefusedError("is negative")
    if relative and low >= 1:
        raise RefusedError("takes 100 % or more from the value")
    return low, high, relative


def _two_sides(match: re.Match[str], field: Unit) -> tuple[Fraction, Fraction, bool]:
    first_sign, first, first_unit, second_sign, second, second_unit = match.groups()
    if (first_sign or "+") == second_sign:
        raise RefusedError("needs one + and one -")
    one, relative = _side(f"{first} {first_unit.strip() or second_unit}", field)
    two, also_relative = _side(f"{second} {second_unit}", field)
    if relative != also_relative:
        raise RefusedError("mixes a percentage with an amount")
    return (one, two, relative) if second_sign == "+" else (two, one, relative)


def _side(text: str, field: Unit) -> _Side:
    if text.rstrip().endswith(_PERCENT) and field.symbol != "%":
        return _percentage(text, field)
    number, unit = read_quantity(text.strip(), field)
    return number * unit.factor, False


def _percentage(text: str, field: Unit) -> _Side:
    number, rest = read_number(text.strip())
    if rest.strip() not in _PERCENT:
        return number * unit_named(rest, field).factor, False
    if not _takes_percent(field):
        raise RefusedError("is a percentage")
    return number / 100, True
