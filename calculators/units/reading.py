"""From the text in a field to an exact number and its unit."""

import re
from fractions import Fraction

from calculators.errors import InputError
from calculators.units.table import DIMENSIONS, PREFIXES, SPELLINGS, UNITS, Unit, unit_of

LONGEST = 64
_LARGEST_EXPONENT = 999  # far beyond a float, and still quick to write out

_SAME = str.maketrans(
    {
        "\u2212": "-", "\u2013": "-", "\u2011": "-", "\u2010": "-",  # minus, dashes
        "\u03bc": "µ", "\u2126": "Ω", "\u2103": "°C", "\u2109": "°F", "\u00ba": "°",
        "\u2044": "/", "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8",
        "⅝": " 5/8", "⅞": " 7/8",
        "'": "′", "\u2019": "′", '"': "″", "\u201d": "″",
    }
)  # fmt: skip

_RAISED = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")
_RAISED_POWER = re.compile(r"(?<=[0-9])·10(⁻?[⁰¹²³⁴⁵⁶⁷⁸⁹]+)")
_FRACTION = re.compile(r"([+-]?) ?(?:([0-9]+)[ -])?([0-9]+) ?/ ?([0-9]+) ?(.*)")
_DECIMAL = re.compile(
    r"([+-]?) ?([0-9.,](?:[0-9., ]*[0-9.,])?)(?:[eE]([+-]?[0-9]+))?(?![0-9]) ?(.*)"
)
_LETTER_AS_POINT = re.compile(r"([+-]?) ?([0-9]*)([A-Za-zµΩ])([0-9]+) ?([A-Za-zµΩ/]*)")
_PART = r"([0-9][0-9.,]*(?: [0-9]+/[0-9]+|/[0-9]+)?) ?(?![eE][0-9])([A-Za-zµ′″]+)"
_ONE_PART = re.compile(_PART + " ?")
_COMPOUND = re.compile(rf"([+-]?) ?((?:{_PART} ?){{2,}})")
_COMPOUND_DIMENSIONS = ("time", "length", "mass")


class RefusedError(ValueError):
    """Why a text is refused: what follows the text in the message."""


def tidy(text: str) -> str:
    """One spelling for look-alike characters and powers, and one space for any white space."""
    if len(text) > LONGEST:
        raise RefusedError(f"is longer than {LONGEST} characters")
    plain = _RAISED_POWER.sub(lambda found: f"e{found[1].translate(_RAISED)}", text)
    tidied = " ".join(plain.translate(_SAME).split())
    if not tidied:
        raise RefusedError("nothing is given")
    return tidied


def printable(text: str) -> str:
    """The text as a message may quote it: short, and without anything invisible."""
    shown = "".join(c if c.isprintable() else " " for c in text[: LONGEST + 1]).strip()
    return shown if len(shown) <= 30 else shown[:29] + "…"


def accepts(field: Unit) -> str:
    """What a field takes, in words."""
    if field.dimension == "count":
        return "a plain number"
    others = ", ".join(DIMENSIONS[field.dimension][1])
    if not field.symbol:
        return f"a plain number, or one with its own unit: {others}"
    if others == field.symbol:
        return f"a number in {field.symbol}"
    return f"a number in {field.symbol}, or one with its own unit: {others}"


def refusal(
    name: str, label: str | None, text: str, why: str, accepted: str, part: str = "value"
) -> InputError:
    """The error that a form or the command line shows."""
    quoted = f"“{printable(text)}” {why}" if text.strip() else why
    return InputError(name, f"{label or name}: {quoted}; give {accepted}", part)


def parse(text: str, unit: str, *, name: str, label: str | None = None) -> float:
    """Read a quantity and return it in the base unit of its dimension.

    Args:
        text: What was typed: "4.7n", "4n7", "4.7 nF", "1 1/4 in", "12,5", "3 d 4 h", "-3 dB".
        unit: Unit of a bare number. A bare prefix ("4.7n") goes with this unit without its own.
        name: The input, for the error.
        label: The input as the reader knows it, for the message.

    Raises:
        InputError: If the text is not a finite quantity of the right dimension, or can be
            read in two ways. Nothing is guessed.

    >>> parse("4n7", "pF", name="element_capacitance")
    4.7e-09
    """
    field = unit_of(unit)
    try:
        number, given = read_quantity(tidy(text), field)
        return to_float((number - given.zero) * given.factor)
    except RefusedError as why:
        raise refusal(name, label, text, str(why), accepts(field)) from None


def to_float(exact: Fraction) -> float:
    """The nearest float: the only rounding between a text and its value."""
    try:
        rounded = exact.numerator / exact.denominator
    except OverflowError:
        raise RefusedError("is too large") from None
    if exact and not rounded:
        raise RefusedError("is too close to zero")
    return rounded


def read_quantity(text: str, field: Unit) -> tuple[Fraction, Unit]:
    """The exact number in a tidy text, and the unit it is in."""
    if field.dimension in _COMPOUND_DIMENSIONS and (match := _COMPOUND.fullmatch(text)):
        return _compound(match[1], match[2], field), UNITS[DIMENSIONS[field.dimension][0]]
    if (match := _LETTER_AS_POINT.fullmatch(text)) and (coded := _coded(match, field)):
        return coded
    number, rest = read_number(text)
    return number, unit_named(rest, field)


def read_number(text: str) -> tuple[Fraction, str]:
    """The exact number at the start of a tidy text, and what follows it."""
    if match := _FRACTION.fullmatch(text):
        sign, whole, top, bottom, rest = match.groups()
        if int(bottom) == 0:
            raise RefusedError("divides by zero")
        return _signed(sign, int(whole or 0) + Fraction(int(top), int(bottom))), rest
    match = _DECIMAL.fullmatch(text)
    if not match:
        raise RefusedError("is not a number")
    sign, digits, exponent, rest = match.groups()
    number = _signed(sign, _decimal(digits))
    return number * _power(int(exponent or 0), number), rest


def _signed(sign: str, number: Fraction) -> Fraction:
    return -number if sign == "-" else number


def _power(exponent: int, number: Fraction) -> Fraction:
    if number and abs(exponent) > _LARGEST_EXPONENT:
        raise RefusedError("is too large" if exponent > 0 else "is too close to zero")
    return Fraction(10) ** exponent if number else Fraction(0)


def _decimal(text: str) -> Fraction:
    """Digits with a decimal point or comma, and with groups of three."""
    whole, _, decimals = _split_at_point(text)
    if " " in decimals or not (whole.isdigit() or not whole or _grouped(whole)):
        raise RefusedError("is not a number")
    plain = re.sub("[ .,]", "", whole)
    if not plain and not decimals:
        raise RefusedError("is not a number")
    return Fraction(int(plain + decimals), 10 ** len(decimals))


def _split_at_point(text: str) -> tuple[str, str, str]:
    """Whole part, decimal sign, decimals; the last of two kinds of sign is the decimal one."""
    points, commas = text.count("."), text.count(",")
    if not points and not commas:
        return text, "", ""
    if points and commas:
        return text.rpartition("." if text.rfind(".") > text.rfind(",") else ",")
    sign = "." if points else ","
    if text.count(sign) > 1:
        return text, "", ""  # groups only
    if sign == "," and re.fullmatch("[1-9][0-9]{0,2},[0-9]{3}", text):
        point, plain = text.replace(",", "."), text.replace(",", "")
        raise RefusedError(
            f"can mean {point} or {plain}: write {point} with a point, or {plain} without a comma"
        )
    return text.partition(sign)


def _grouped(whole: str) -> bool:
    return re.fullmatch(r"[0-9]{1,3}([ .,])[0-9]{3}(?:\1[0-9]{3})*", whole) is not None


def _coded(match: re.Match[str], field: Unit) -> tuple[Fraction, Unit] | None:
    """A letter that stands where the point would: 4n7, 4R7, 4M7."""
    sign, whole, letter, decimals, rest = match.groups()
    stem = UNITS[field.stem]
    if not stem.prefixes or letter in "eE" or not (whole or letter == "R"):
        return None
    if letter + decimals in SPELLINGS[field.dimension]:  # 5m3 is a volume, not 5.3 mL
        return None
    own = letter == stem.symbol or (letter == "R" and stem.symbol == "Ω")
    unit = stem if own else _prefix_only(letter, field)
    if unit is None or (rest and SPELLINGS[field.dimension].get(rest) != stem):
        return None
    number = Fraction(int(whole + decimals), 10 ** len(decimals))
    return _signed(sign, number), unit


def _compound(sign: str, text: str, field: Unit) -> Fraction:
    """3 d 4 h, 1h30min, 5 ft 3 in: a sum, in the base unit, from large to small."""
    total, last = Fraction(0), None
    for digits, symbol in _ONE_PART.findall(text):
        unit = unit_named(symbol, field)
        if last is not None and unit.factor >= last:
            raise RefusedError("must go from the larger unit to the smaller")
        total, last = total + read_number(digits)[0] * unit.factor, unit.factor
    return _signed(sign, total)


def unit_named(text: str, field: Unit) -> Unit:
    """The unit that a text names in a field of this unit; no text is the field's own unit."""
    key = text.replace(" ", "")
    if not key:
        return field
    own = SPELLINGS[field.dimension]
    unit = own.get(key) or _prefix_only(key, field) or _other_case(key, field)
    if unit is None:
        raise RefusedError(_why_not(key))
    return unit


def _prefix_only(key: str, field: Unit) -> Unit | None:
    """4.7n in a field of any prefixed farad is nanofarads."""
    stem = UNITS[field.stem]
    prefix = {"u": "µ", "K": "k"}.get(key, key)
    if prefix not in PREFIXES or prefix not in stem.prefixes:
        return None
    if field.dimension == "time" and prefix == "m":
        raise RefusedError("can mean minutes or milliseconds: write min or ms")
    if stem.symbol == "1":
        return Unit(prefix, "count", PREFIXES[prefix])
    return UNITS[prefix + stem.symbol]


def _other_case(key: str, field: Unit) -> Unit | None:
    """khz is kHz; but m and M, or b and B, mean different things."""
    found = {
        unit.symbol: unit
        for spelling, unit in SPELLINGS[field.dimension].items()
        if spelling.lower() == key.lower()
    }
    if len(found) > 1:
        raise RefusedError(f"can mean {' or '.join(found)}: write small and capital letters so")
    unit = next(iter(found.values()), None)
    if unit and (_first_differs(key, unit) or (field.dimension.startswith("data") and "b" in key)):
        raise RefusedError(f"has a unit in the wrong case: write {unit.symbol} if that is meant")
    return unit


def _first_differs(key: str, unit: Unit) -> bool:
    return key[0] in "mM" and key[0] != unit.symbol[0]


def _why_not(key: str) -> str:
    for dimension, spellings in SPELLINGS.items():
        if unit := spellings.get(key):
            return f"is {DIMENSIONS[dimension][2]} ({unit.symbol})"
    return f"has “{printable(key)}” where a unit would stand"
