"""From a value in its base unit to the text that a reader, a form or a link shows."""

from decimal import ROUND_HALF_EVEN, Context, Decimal
from fractions import Fraction
from functools import cache, lru_cache
from math import inf, isfinite, ulp

from calculators.units.table import POWERS, UNITS, Unit, base_unit, display_unit, unit_of

MINUS = "\u2212"
UNIT_SPACE = "\u00a0"  # between number and unit: never broken over a line
GROUP_SPACE = "\u202f"  # between groups of three digits

Digits = tuple[str, str, int]  # sign, digits d1d2d3…, exponent: ±d1.d2d3… × 10^exponent

WIDE = Context(prec=40, rounding=ROUND_HALF_EVEN)
_ROUGH_DIGITS = 14  # so many can be tried in plain floats; 17 write any float in any scale
_MOST_DIGITS = 50  # beside the offset of °F or K, for a value close to 0 °C
_HANDY_DIGITS = 12  # with more digits, another unit may give a shorter text

# Times from a minute on: two units, seconds in the smaller, how many of it make the larger, and
# the count of it at which the next step takes over.
_LADDER = (("min", "s", 1, 60, 3600), ("h", "min", 60, 60, 1440), ("d", "h", 3600, 24, inf))
_SMALLEST = -9  # power of ten of the first digit; below, it is written as a power
_MINUS_RAISED = "⁻"
_RAISED = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_LONG_DAYS = 100  # beyond, hours no longer matter


def format_display(value: float, unit: str, digits: int = 3, system: str = "metric") -> str:
    """Show a value to a reader: rounded half-even, grouped, with a power of ten only below 10⁻⁹.

    Units that take SI prefixes are shown with the one that gives 1 to 999, times in their two
    largest units, whole counts in full.

    Args:
        value: In the base unit of the dimension.
        unit: The unit of its field, or any other of the dimension.
        digits: Significant digits; trailing zeros are kept.
        system: "metric" or "us".

    >>> format_display(4.7e6, "kΩ", 2).split()
    ['4.7', 'MΩ']
    """
    return _display(value, unit, digits, system)


@lru_cache(maxsize=4_000)
def _display(value: float, unit: str, digits: int, system: str) -> str:
    """The same, remembered: an edit of a rig shows most numbers as they were, and some twice."""
    _require_finite(value)
    chosen = UNITS[display_unit(unit, system)]
    if chosen.symbol == "m³" and abs(value) < 1:
        chosen = UNITS["L"]  # the cubic metre takes no prefix that a reader knows
    if chosen.symbol == "m³/s" and abs(value) < 1e-3:
        chosen = UNITS["L/d"]
    if chosen.dimension == "time":
        return _duration(decimal_of(value), digits)
    if chosen.dimension == "count" and value == int(value):
        return _typeset("-" if value < 0 else "", f"{abs(value):.0f}")
    return _scaled(value, chosen, digits)


def format_field(value: float, unit: str) -> str:
    """The shortest number, without unit, that a field in this unit reads as exactly this value.

    Only a temperature within 1e-47 of 0 °C and not zero cannot be told apart in °F or K; it is
    written as zero is.

    >>> format_field(4.1e-9, "nF")
    '4.1'
    """
    return number_in(value, unit_of(unit))


def number_in(value: float, unit: Unit) -> str:
    """The same for a unit that need not stand in the table, such as a difference in °F."""
    _require_finite(value)
    return _plain(_shortest(value, unit) or _fewest(Decimal(str(float(unit.zero)))))


def format_exact(value: float, unit: str, *, ascii: bool = False) -> str:  # noqa: A002
    """The value with a unit, so that `parse` in a field of this unit gives it back exactly.

    The given unit is kept unless its number needs an exponent or many digits and another prefix
    or the base unit gives a shorter text.

    Args:
        value: In the base unit of the dimension.
        unit: The unit of its field.
        ascii: Letters, digits, "." and "-" only, without spaces, for links.

    >>> format_exact(4.7e-7, "µF", ascii=True)
    '0.47uF'
    """
    _require_finite(value)
    given = unit_of(unit)
    number = _shortest(value, given)
    if number and _handy(number):
        return _exact(number, given, ascii)
    texts = [_exact(number, given, ascii)] if number else []
    for other in _alternatives(value, given):
        if other_number := _shortest(value, other):
            texts.append(_exact(other_number, other, ascii))
    return min(texts, key=len)


def _require_finite(value: float) -> None:
    if not isfinite(value):
        raise ValueError(f"{value} cannot be shown as a number")


def decimal_of(value: float) -> Decimal:
    """The decimal that a person would write for this float, not its long binary expansion."""
    return Decimal(repr(float(value)))


# Exact texts


def _shortest(value: float, unit: Unit) -> Digits | None:
    """The fewest digits that, read in this unit, round to exactly this float."""
    if unit.power is not None:
        return _fewest(decimal_of(value), -unit.power)
    exact = Fraction(value) / unit.factor + unit.zero
    tame = 1e-290 < abs(value) < 1e290
    number = (tame and _rough(value, unit, float(exact))) or _fine(
        value, unit, exact, _ROUGH_DIGITS + 1 if tame else 1
    )
    return _fewest(number) if number is not None else None


def _rough(value: float, unit: Unit, number: float) -> Decimal | None:
    """Try few digits; an exact check follows only where plain floats come close enough."""
    slack = ulp(value) / float(unit.factor) + 2 * ulp(number)
    for digits in range(_ROUGH_DIGITS):
        text = f"{number:.{digits}e}"
        if abs(float(text) - number) <= slack and _reads_as(value, Decimal(text), unit):
            return Decimal(text)
    return None


def _fine(value: float, unit: Unit, exact: Fraction, fewest: int) -> Decimal | None:
    top, bottom = Decimal(exact.numerator), Decimal(exact.denominator)
    for digits in range(fewest, _MOST_DIGITS + 1):
        number = Context(prec=digits, rounding=ROUND_HALF_EVEN).divide(top, bottom)
        if _reads_as(value, number, unit):
            return number
    return None


def _reads_as(value: float, number: Decimal, unit: Unit) -> bool:
    """Whether `parse` would give this value; in whole numbers, for speed."""
    top, bottom = number.as_integer_ratio()
    top = (top * unit.zero.denominator - unit.zero.numerator * bottom) * unit.factor.numerator
    bottom *= unit.zero.denominator * unit.factor.denominator
    try:
        return top / bottom == value
    except OverflowError:  # rounded up beyond the largest float
        return False


def _fewest(number: Decimal, shift: int = 0) -> Digits:
    sign, digits, _ = number.as_tuple()
    text = "".join(map(str, digits)).rstrip("0")
    if not text:
        return "", "0", 0
    return "-" if sign else "", text, number.adjusted() + shift


def _handy(number: Digits) -> bool:
    _, digits, exponent = number
    return len(digits) <= _HANDY_DIGITS and -3 <= exponent <= 5


def _alternatives(value: float, given: Unit) -> list[Unit]:
    """The base unit, the prefix that suits the size of this value, and for a time hours.

    A base unit without a symbol is none: its bare number would be read in the field's unit.
    """
    stem = UNITS[given.stem]
    found = {UNITS[base_unit(given.symbol)].symbol}
    if given.dimension == "time":
        found.add("h")  # 62 h is no round number of days
    if stem.shown:
        found.add(_prefix(stem.symbol, _in_unit(value, stem).adjusted()) + stem.symbol)
    return [UNITS[symbol] for symbol in sorted(found - {given.symbol, "", "1"})]


def _exact(number: Digits, unit: Unit, for_link: bool) -> str:
    text = _plain(number)
    if for_link:
        return text + unit.link
    return with_unit(text.replace("-", MINUS), unit.symbol)


def _plain(number: Digits) -> str:
    """Digits for a field or a link; an exponent only where there would be a row of zeros."""
    sign, digits, exponent = number
    if -5 <= exponent <= 15:
        return sign + _placed(digits, exponent)
    tail = "." + digits[1:] if len(digits) > 1 else ""
    return f"{sign}{digits[0]}{tail}e{exponent}"


def _placed(digits: str, exponent: int) -> str:
    """Put the point into digits: ("690", 0) is 6.90."""
    if exponent < 0:
        return "0." + "0" * (-exponent - 1) + digits
    whole = digits[: exponent + 1].ljust(exponent + 1, "0")
    return whole + "." + digits[exponent + 1 :] if len(digits) > exponent + 1 else whole


# Rounded texts


def _scaled(value: float, chosen: Unit, digits: int) -> str:
    stem = UNITS[chosen.stem]
    if not stem.shown or not value:
        return with_unit(_rounded_text(_in_unit(value, chosen), digits), chosen.symbol)
    sign, figures, exponent = _rounded(_in_unit(value, stem), digits)
    prefix = _prefix(stem.symbol, exponent)
    text = _set(sign, figures, exponent - POWERS[prefix])
    return with_unit(text, prefix + stem.symbol)


def decimal_in(value: float, unit: str) -> Decimal:
    """A value, SI, in a unit."""
    return _in_unit(value, unit_of(unit))


def _in_unit(value: float, unit: Unit) -> Decimal:
    number = decimal_of(value)
    if unit.power is not None:
        return number.scaleb(-unit.power, WIDE)
    top, bottom, zero = _ratio(unit.symbol)
    return WIDE.add(WIDE.divide(WIDE.multiply(number, bottom), top), zero)


@cache
def _ratio(symbol: str) -> tuple[Decimal, Decimal, Decimal]:
    unit = UNITS[symbol]
    zero = Decimal(unit.zero.numerator) / Decimal(unit.zero.denominator)
    return Decimal(unit.factor.numerator), Decimal(unit.factor.denominator), zero


def _rounded(number: Decimal, digits: int) -> Digits:
    """Significant digits, half-even, with their trailing zeros."""
    text = f"{number:.{digits - 1}e}"
    mantissa, _, exponent = text.lstrip("-").partition("e")
    return "-" if text.startswith("-") else "", mantissa.replace(".", ""), int(exponent)


def _rounded_text(number: Decimal, digits: int) -> str:
    if not number:
        return "0"
    return _set(*_rounded(number, digits))


def _set(sign: str, figures: str, exponent: int) -> str:
    """Digits for a reader; whoever meets nine zeros counts them, and no screen holds seventy."""
    if exponent >= _SMALLEST:
        return _typeset(sign, _placed(figures, exponent))
    power = _MINUS_RAISED + str(-exponent).translate(_RAISED)
    return f"{_typeset(sign, _placed(figures, 0))}·10{power}"


@lru_cache(maxsize=1024)
def _prefix(stem: str, exponent: int) -> str:
    """The prefix that leaves 1 to 999, or the nearest that this unit is shown with."""
    known: list[str] = sorted(("", *UNITS[stem].shown), key=lambda prefix: POWERS[prefix])
    fitting = [prefix for prefix in known if POWERS[prefix] <= exponent]
    return fitting[-1] if fitting else known[0]


def format_whole(number: float) -> str:
    """A whole number, with its digits in groups as everywhere.

    >>> format_whole(-4522), format_whole(48000)
    ('−4522', '48\u202f000')
    """
    return _typeset("-" if number < 0 else "", f"{abs(number):.0f}")


def _typeset(sign: str, number: str) -> str:
    """Typographic minus, and groups of three from 10 000 on."""
    whole, point, decimals = number.partition(".")
    if len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", GROUP_SPACE)
    return (MINUS if sign else "") + whole + point + decimals


def with_unit(number: str, symbol: str) -> str:
    if symbol in ("", "1"):
        return number
    if symbol.startswith("1/"):
        return number + symbol.removeprefix("1")
    return number + symbol if symbol == "°" else number + UNIT_SPACE + symbol


def _duration(seconds: Decimal, digits: int) -> str:
    size = abs(seconds)
    if not size or _under_a_minute(size, digits):
        return _scaled(float(seconds), UNITS["s"], digits)
    sign = "-" if seconds < 0 else ""
    if size >= _LONG_DAYS * 86400:
        return with_unit(_typeset(sign, str(round(size / 86400))), "d")
    large, small, small_size, ratio = _two_units(size)
    large_count, small_count = divmod(round(size / small_size), ratio)
    text = with_unit(_typeset(sign, str(large_count)), large)
    if not small_count:
        return text
    padded = str(small_count) if small == "h" else f"{small_count:02d}"
    return text + UNIT_SPACE + with_unit(padded, small)


def _two_units(size: Decimal) -> tuple[str, str, int, int]:
    """The two units that show a time from a minute on, once it is rounded to the smaller one."""
    return next(
        (large, small, small_size, ratio)
        for large, small, small_size, ratio, limit in _LADDER
        if round(size / small_size) < limit
    )


def _under_a_minute(size: Decimal, digits: int) -> bool:
    _, figures, exponent = _rounded(size, digits)
    return exponent < 1 or (exponent == 1 and figures[:1] < "6")
