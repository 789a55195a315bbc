"""Are quantities read, shown and written back as the people who use them mean them?"""

import doctest
import re
import time
from math import copysign, isclose, isfinite, ulp
from types import ModuleType

import pint
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.units import (
    UNITS,
    Tolerance,
    base_unit,
    dimension,
    display_unit,
    format_display,
    format_exact,
    format_field,
    format_tolerance,
    parse,
    parse_tolerance,
    read_tolerance,
    reading,
    showing,
    table,
    tolerance,
)

NBSP, NARROW, MINUS = "\u00a0", "\u202f", "\u2212"
SYMBOLS = sorted(UNITS)
MAGNITUDES = st.floats(1e-15, 1e15)
VALUES = MAGNITUDES | MAGNITUDES.map(lambda size: -size) | st.just(0.0)
# Sums and quotients that no short decimal equals, ends of the range, and everyday numbers.
AWKWARD = [0.1 + 0.2, 1 / 3, -2 / 7e9, 1e-15, 1e15, 4.1e-9, -0.7, 123456.789, 98765432.1, 0.0]


def read(text: str, unit: str) -> float:
    return parse(text, unit, name="size", label="Size")


def written(number: float, symbol: str) -> str:
    """Number and unit as people write them: a count has no unit, a rate per month no 1."""
    return f"{number} {symbol.removeprefix('1')}"


# Reading


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        # A bare number is in the unit of the field.
        ("4.7", "nF", 4.7e-9),
        ("85", "%", 0.85),
        ("0.85", "", 0.85),
        ("21", "°C", 21.0),
        ("8", "1", 8.0),
        ("+5", "V", 5.0),
        (".5", "m", 0.5),
        ("5.", "m", 5.0),
        # Prefix alone: it takes the place of the field's own prefix.
        ("4.7n", "F", 4.7e-9),
        ("4.7n", "pF", 4.7e-9),
        ("4.7u", "nF", 4.7e-6),
        ("47K", "Ω", 47e3),
        ("2500m", "Ah", 9000.0),
        ("64G", "GB", 64e9),
        ("10k", "1", 10e3),
        # The letter at the place of the point (the resistor and capacitor code of IEC 60062).
        ("4n7", "F", 4.7e-9),
        ("4n7", "pF", 4.7e-9),
        ("4n7F", "pF", 4.7e-9),
        ("4R7", "kΩ", 4.7),
        ("R47", "Ω", 0.47),
        ("4M7", "Ω", 4.7e6),
        ("4k7", "Ω", 4.7e3),
        ("2µ2", "F", 2.2e-6),
        ("3V3", "mV", 3.3),
        # Number and unit, look-alike characters, ASCII spellings, other spellings.
        ("4.7 nF", "F", 4.7e-9),
        ("0.0047 µF", "nF", 4.7e-9),
        ("0.0047 μF", "nF", 4.7e-9),
        ("0.0047uF", "nF", 4.7e-9),
        ("4.7 MΩ", "Ω", 4.7e6),
        ("4.7 M\u2126", "Ω", 4.7e6),
        ("4.7Mohm", "Ω", 4.7e6),
        ("4.7 khz", "Hz", 4700.0),
        ("20 \u2103", "°C", 20.0),
        ("20degC", "°C", 20.0),
        ("68 F", "°C", 20.0),
        ("85 %", "", 0.85),
        ("85pct", "", 0.85),
        ("3pctpermonth", "%/month", 0.03),
        ("3 %", "%/month", 0.03),
        ("3pct", "1/month", 0.03),
        ("10 km / h", "m/s", 10 / 3.6),
        ("8 fl oz", "mL", 2.365882365e-4),
        ("2 hours", "h", 7200.0),
        # Signs.
        ("-3 dB", "dB", -3.0),
        (f"{MINUS}3 dB", "dB", -3.0),
        ("– 3 dB", "dB", -3.0),
        # Exponents.
        ("1e-9", "F", 1e-9),
        ("4.7E3", "Ω", 4700.0),
        ("1e-9F", "F", 1e-9),
        ("1e5 Hz", "kHz", 1e5),
        # Decimal comma, groups.
        ("12,5", "m", 12.5),
        ("0,123", "m", 0.123),
        ("1234,567", "m", 1234.567),
        ("1,234.5", "m", 1234.5),
        ("1.234,5", "m", 1234.5),
        ("1,234,567", "m", 1234567.0),
        ("1.234.567", "m", 1234567.0),
        ("12 000", "m", 12000.0),
        (f"12{NBSP}000", "m", 12000.0),
        (f"12{NARROW}000", "m", 12000.0),
        ("12\u2009000,5 m", "m", 12000.5),
        # Fractions.
        ("1/4 in", "mm", 6.35e-3),
        ("1 1/4 in", "mm", 31.75e-3),
        ("1-1/4 in", "mm", 31.75e-3),
        ("1¼″", "mm", 31.75e-3),
        ("½ in", "mm", 12.7e-3),
        ("-1/4", "V", -0.25),
        # Sums.
        ("3 d 4 h", "h", 273600.0),
        ("1h30min", "s", 5400.0),
        ("4 h 08 min", "d", 14880.0),
        ("-1 min 2 s", "s", -62.0),
        ("5 ft 3 1/2 in", "m", 1.6129),
        ("5'3\"", "m", 1.6002),
        ("1 lb 4 oz", "kg", 0.56699046250),
        # A letter that is a unit of the dimension is that unit before it is a prefix.
        ("5m", "ft", 5.0),
        ("1m5", "m", 1.5),
        ("5m3", "mL", 5.0),
    ],
)
def test_the_usual_ways_to_write_a_quantity_are_read(text, unit, value):
    """By hand, from the definitions of the units; each is the float nearest to the exact value."""
    assert read(text, unit) == value


@pytest.mark.parametrize(
    ("text", "unit", "message"),
    [
        ("", "nF", "Size: nothing is given; give a number in nF, or one with its own unit: pF"),
        ("   ", "m", "Size: nothing is given"),
        ("1,234", "m", "“1,234” can mean 1.234 or 1234: write 1.234 with a point, or 1234 without"),
        ("1,234 mm", "m", "can mean 1.234 or 1234"),
        ("-1,234e3", "m", "can mean 1.234 or 1234"),
        ("nan", "m", "“nan” is not a number"),
        ("inf", "m", "“inf” is not a number"),
        ("-Infinity", "m", "is not a number"),
        ("long", "m", "“long” is not a number; give a number in m"),
        ("0x10", "m", "“0x10” has “x10” where a unit would stand"),
        ("1_000", "m", "“1_000” has “_000” where a unit would stand"),
        ("0b1", "GB", "has “b1” where a unit would stand"),
        ("١٢", "m", "is not a number"),
        ("1" * 65, "m", "“11111111111111111111111111111…” is longer than 64 characters"),
        ("5 V", "nF", "“5 V” is a voltage (V); give a number in nF, or one with its own unit: pF,"),
        ("5 mm", "kPa", "“5 mm” is a length (mm)"),
        ("5 dB", "V", "“5 dB” is a level (dB)"),
        ("20°", "°C", "“20°” is an angle (°); give a number in °C, or one with its own unit: °C"),
        ("5 V", "1", "“5 V” is a voltage (V); give a plain number"),
        ("1e999", "m", "“1e999” is too large"),
        ("1e99999999", "m", "is too large"),
        ("9e307 km", "m", "is too large"),
        ("1e-999", "m", "is too close to zero"),
        ("1e-99999999", "m", "is too close to zero"),
        ("1/0", "m", "divides by zero"),
        (".", "m", "is not a number"),
        ("1.2.3", "m", "is not a number"),
        ("1,23,456", "m", "is not a number"),
        ("1.234,567,8", "m", "is not a number"),
        ("12 5", "m", "is not a number"),
        ("--5", "m", "is not a number"),
        ("5 m 3", "m", "has “m3” where a unit would stand|is a volume"),
        ("5m", "s", "can mean minutes or milliseconds: write min or ms"),
        ("4m7", "s", "can mean minutes or milliseconds"),
        ("4 h 3 d", "h", "must go from the larger unit to the smaller"),
        ("1 h 1 h", "h", "must go from the larger unit to the smaller"),
        ("1h30", "h", "has “h30” where a unit would stand"),
        ("5 mhz", "Hz", "can mean mHz or MHz: write small and capital letters so"),
        ("500 MA", "mA", "has a unit in the wrong case: write mA if that is meant"),
        ("64 Gb", "GB", "has a unit in the wrong case: write GB if that is meant"),
        ("4 kb/s", "kB/s", "has a unit in the wrong case: write kB/s if that is meant"),
        ("<script>alert(1)</script>", "m", "“<script>alert(1)</script>” is not a number"),
        ("1\u202e2\x00", "m", "“1 2” is not a number|“1 2” has"),
    ],
)
def test_what_cannot_be_understood_is_refused_with_the_reason(text, unit, message):
    """The message names the field, quotes the text and says what to write; nothing is guessed."""
    with pytest.raises(InputError) as refused:
        read(text, unit)

    assert refused.value.name == "size"
    assert refused.value.part == "value"
    assert refused.value.message.startswith("Size: ")
    assert any(part in refused.value.message for part in message.split("|"))
    assert all(character.isprintable() for character in refused.value.message)


def test_without_a_label_the_message_uses_the_name():
    """The command line has names where a page has labels."""
    with pytest.raises(InputError, match=r"^bias_resistance: “x” is not a number"):
        parse("x", "Ω", name="bias_resistance")


@pytest.mark.parametrize("symbol", SYMBOLS)
def test_every_unit_is_read_in_each_of_its_spellings(symbol):
    """One of a unit is its factor, counted from its zero, however the unit is spelled."""
    unit = UNITS[symbol]
    one = float((1 - unit.zero) * unit.factor)

    for spelling in (symbol, unit.link, symbol.replace("µ", "μ"), *unit.aliases):
        assert read(written(1, spelling), symbol) == one
        assert read(written(1, spelling).replace(" ", ""), symbol) == one


# Conversion factors

PINT_STEMS = {
    "Ω": "ohm", "Wh": "watt_hour", "Ah": "ampere*hour", "C": "coulomb", "d": "day",
    "h": "hour", "min": "minute", "t": "metric_ton", "lb": "pound", "oz": "ounce",
    "in": "inch", "ft": "foot", "yd": "yard", "mi": "mile", "nmi": "nautical_mile",
    "fathom": "fathom_today",
    "mbar": "millibar", "dbar": "decibar", "inHg": "inch_Hg", "atm": "standard_atmosphere",
    "m³": "m**3", "dm³": "dm**3", "cm³": "cm**3", "mm³": "mm**3", "in³": "inch**3",
    "ft³": "foot**3", "gal": "gallon", "qt": "quart", "fl oz": "fluid_ounce",
    "ft/s": "foot/s", "kn": "knot", "mph": "mile_per_hour", "km/h": "km/hour",
    "kg/m³": "kg/m**3", "g/cm³": "g/cm**3", "lb/ft³": "pound/foot**3", "B": "byte",
    "KiB": "kibibyte", "MiB": "mebibyte", "GiB": "gibibyte", "TiB": "tebibyte",
    "B/s": "byte/s", "°C": "degC", "°F": "degF", "K": "kelvin", "°": "degree",
    "Δ°C": "delta_degC", "Δ°F": "delta_degF",
    "": "dimensionless", "%": "percent", "1/month": "1/month", "%/month": "percent/month",
    "1": "dimensionless", "pF/ft": "pF/foot",
    "V/√Hz": "V/Hz**0.5", "A/√Hz": "A/Hz**0.5", "V·m/N": "V*m/N", "Hz·m": "Hz*m",
    "Pa·s/m": "Pa*s/m",
    "kgf": "kilogram_force", "lbf": "pound_force", "N·m": "N*m",
    "lbf·ft": "pound_force*foot", "m²": "m**2", "cm²": "cm**2", "mm²": "mm**2",
    "in²": "inch**2", "ft²": "foot**2", "Pa·m³": "Pa*m**3", "mbar·L": "millibar*L",
    "Pa·m³/s": "Pa*m**3/s", "mbar·L/s": "millibar*L/s", "m³/s": "m**3/s", "L/d": "L/day",
    "L/h": "L/hour", "L/min": "L/minute", "Pa·s": "Pa*s",
    "lb/ft": "pound/foot",
    "kg/(m·s·Pa)": "kg/(m*s*Pa)", "g/(m·s·Pa)": "g/(m*s*Pa)",
    "g/m³": "g/m**3",
    "1/K²": "1/kelvin**2", "ppm/K²": "ppm/kelvin**2", "ppm/yr": "ppm/year",
    "1/K": "1/kelvin", "%/K": "percent/kelvin", "ppm/K": "ppm/kelvin",
}  # fmt: skip
# No other unit of these dimensions is known, so that there is nothing to convert.
ALONE = {
    "bit", "dB", "dB re 1 µPa", "dB re 1 µPa·m", "dB re 1 m", "dB re 1 µPa²/Hz", "dB re 1 FS/µPa",
}  # fmt: skip
# pint does not convert levels with a reference, nor a decibel over a length: see their own test.
LEVELS = {"dB re 1 V/µPa", "dB re 1 V/Pa", "dB/m", "dB/cm", "dB/km"}


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    known = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    known.define("fathom_today = 6 * foot")  # pint's own counts US survey feet
    return known


def pint_name(symbol: str) -> str:
    stem = UNITS[symbol].stem
    prefix = symbol.removesuffix(stem) if stem else ""
    return prefix + PINT_STEMS.get(stem, stem)


@pytest.mark.parametrize("symbol", [s for s in SYMBOLS if s not in ALONE | LEVELS])
@pytest.mark.parametrize("number", [1.0, 3.7, -42.0])
def test_every_unit_converts_as_pint_does(registry, symbol, number):
    """Reference library: pint, which takes its factors from the NIST and BIPM definitions."""
    base = base_unit(symbol)
    expected = registry.Quantity(number, pint_name(symbol)).to(pint_name(base)).magnitude

    assert isclose(read(written(number, symbol), base), expected, rel_tol=1e-12, abs_tol=1e-300)


@pytest.mark.parametrize("symbol", [s for s in SYMBOLS if s not in ALONE | LEVELS])
def test_every_unit_converts_back_as_pint_does(registry, symbol):
    """Reference library: pint, from the base unit to the unit."""
    base = base_unit(symbol)
    expected = registry.Quantity(273.7, pint_name(base)).to(pint_name(symbol)).magnitude

    assert isclose(float(format_field(273.7, symbol)), expected, rel_tol=1e-12)


@pytest.mark.parametrize("symbol", sorted(ALONE))
def test_a_unit_without_relatives_is_its_own_base(symbol):
    """Nothing converts to or from it, so its number is its value."""
    assert base_unit(symbol) == symbol
    assert (UNITS[symbol].factor, UNITS[symbol].zero) == (1, 0)


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("-196", "dB re 1 V/µPa", -196.0),
        ("-196 dB", "dB re 1 V/µPa", -196.0),
        ("-196 dB re 1 V/uPa", "dB re 1 V/µPa", -196.0),
        ("-196 dB re 1V/µPa", "dB re 1 V/µPa", -196.0),
        ("-76 dB re 1 V/Pa", "dB re 1 V/µPa", -196.0),  # 1 V/Pa = 1e-6 V/µPa: 120 dB apart
        ("120 dB re 1 uPa", "dB re 1 µPa", 120.0),
        ("54 dB re 1 uPa2/Hz", "dB re 1 µPa²/Hz", 54.0),
        ("3 dB/cm", "dB/m", 300.0),
        ("5 nV/rtHz", "V/√Hz", 5e-9),
        ("0.8fA/√Hz", "A/√Hz", 0.8e-15),
        ("26.1 mVm/N", "V·m/N", 26.1e-3),
        ("1.5 MRayl", "Pa·s/m", 1.5e6),
        ("0.3 %/°C", "1/K", 0.003),
    ],
)
def test_the_listening_chains_units_are_read_as_the_trade_writes_them(text, unit, value):
    """With and without the reference, in ASCII, and levels re 1 V/Pa in their own place."""
    assert isclose(read(text, unit), value, rel_tol=1e-12)


@pytest.mark.parametrize(
    ("text", "unit"),
    [("54 dB re 1 µPa", "dB re 1 µPa²/Hz"), ("-196 dB re 1 V/µPa", "dB"), ("3 dB/m", "dB")],
)
def test_levels_of_different_quantities_are_not_mistaken_for_each_other(text, unit):
    """A level belongs to its reference."""
    with pytest.raises(InputError):
        read(text, unit)


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("1 lb", "kg", 0.45359237),
        ("1 in", "m", 0.0254),
        ("1 gal", "m³", 3.785411784e-3),
        ("1 nmi", "m", 1852.0),
        ("1 atm", "Pa", 101325.0),
        ("1 fathom", "m", 1.8288),
        ("1 month", "d", 30.4375 * 86400),
        ("1 GB", "B", 1e9),
        ("1 GiB", "B", 1073741824.0),
        ("-40 °F", "°C", -40.0),
        ("0 K", "°C", -273.15),
    ],
)
def test_exact_definitions_are_exact(text, unit, value):
    """Published: exact values in NIST SP 811 (2008) appendix B, IEC 80000-13 for GiB.

    The month is this handbook's own convention, a twelfth of 365.25 days.
    """
    assert read(text, unit) == value


# Writing so that it reads back


@settings(max_examples=3000)
@given(value=VALUES, symbol=st.sampled_from(SYMBOLS), link=st.booleans())
def test_an_exact_text_reads_back_as_the_same_float(value, symbol, link):
    """Identity: parse undoes format_exact, in every unit, for pages and for links."""
    assert read(format_exact(value, symbol, ascii=link), symbol) == value


@settings(max_examples=3000)
@given(value=VALUES, symbol=st.sampled_from(SYMBOLS))
def test_a_field_text_reads_back_as_the_same_float(value, symbol):
    """Identity: parse undoes format_field in the unit of the field."""
    assert read(format_field(value, symbol), symbol) == value


@settings(max_examples=1500)
@given(
    value=st.floats(allow_nan=False, allow_infinity=False),
    symbol=st.sampled_from([symbol for symbol in SYMBOLS if not UNITS[symbol].zero]),
    link=st.booleans(),
)
@example(value=1.7976931348623157e308, symbol="mph", link=True)
@example(value=5e-324, symbol="psi", link=True)
def test_no_float_is_too_large_or_small_to_write(value, symbol, link):
    """Identity over all finite floats, largest and subnormal ones included."""
    assert read(format_exact(value, symbol, ascii=link), symbol) == value
    assert read(format_field(value, symbol), symbol) == value


@pytest.mark.parametrize("symbol", SYMBOLS)
def test_every_unit_writes_awkward_values_exactly(symbol):
    """The random test may miss a unit; this one misses none."""
    for value in AWKWARD:
        assert read(format_field(value, symbol), symbol) == value
        for link in (True, False):
            assert read(format_exact(value, symbol, ascii=link), symbol) == value


@settings(max_examples=1500)
@given(value=VALUES, symbol=st.sampled_from(SYMBOLS))
def test_a_link_text_needs_no_encoding(value, symbol):
    """Only letters, digits, point and minus, and a letter or digit last: safe in any message."""
    assert re.fullmatch(r"[A-Za-z0-9.-]*[A-Za-z0-9]", format_exact(value, symbol, ascii=True))


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (4.1e-9, "nF", "4.1nF"),
        (4.7e6, "MΩ", "4.7Mohm"),
        (0.2, "%", "20pct"),
        (3.5, "°C", "3.5degC"),
        (-1.0, "°C", "-1degC"),
        (0.47e-6, "µF", "0.47uF"),
        (0.03, "%/month", "3pctpermonth"),
        (0.03, "1/month", "0.03permonth"),
        (1025.0, "kg/m³", "1025kgperm3"),
        (6.861, "Hz", "6.861Hz"),
        (0.85, "", "0.85"),
        (4.1e-9, "F", "4.1nF"),
        (14880.0, "h", "14880s"),
        (259200.0, "d", "3d"),
        (-3.0, "dB", "-3dB"),
    ],
)
def test_links_are_written_as_a_person_would(value, unit, text):
    """By hand; the field's unit is kept where its number is short."""
    assert format_exact(value, unit, ascii=True) == text


def test_an_exact_text_for_people_is_typeset():
    """House rule: typographic minus, no break between number and unit, none before °."""
    assert format_exact(-4.7e-9, "nF") == f"{MINUS}4.7{NBSP}nF"
    assert format_exact(45.0, "°") == "45°"


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (4.1e-9, "nF", "4.1"),
        (0.3, "m", "0.3"),
        (0.1 + 0.2, "m", "0.30000000000000004"),
        (1e-9, "F", "1e-9"),
        (-20.0, "°F", "-4"),
        (0.0254, "in", "1"),
        (4.5359237, "lb", "10"),
        (-0.0, "V", "0"),
        (96000.0, "kHz", "96"),
        (5e15, "Hz", "5000000000000000"),
    ],
)
def test_a_field_holds_the_shortest_number(value, unit, text):
    """By hand; plain ASCII, as a number keyboard would give it."""
    assert format_field(value, unit) == text


# Showing


@pytest.mark.parametrize(
    ("value", "unit", "digits", "text"),
    [
        (6.9, "Hz", 2, "6.9 Hz"),
        (6.9, "Hz", 3, "6.90 Hz"),
        (0.72, "Hz", 2, "0.72 Hz"),
        (96000.0, "Hz", 3, "96.0 kHz"),
        (4.7e6, "Ω", 2, "4.7 MΩ"),
        (4.7e6, "kΩ", 2, "4.7 MΩ"),
        (999.96, "Ω", 3, "1.00 kΩ"),
        (999.4, "Ω", 3, "999 Ω"),
        (4.1e-9, "F", 2, "4.1 nF"),
        (1e-13, "F", 3, "0.100 pF"),
        (1e-4, "Pa", 3, "100 µPa"),
        (101325.0, "Pa", 4, "101.3 kPa"),
        (101325.0, "bar", 4, "1.013 bar"),
        (2.0, "cm", 3, "200 cm"),
        (0.0, "nF", 3, "0 nF"),
        (-0.5, "V", 3, "−500 mV"),
        (-3.01, "dB", 2, "−3.0 dB"),
        (0.85, "%", 3, "85.0 %"),
        (0.85, "", 3, "0.850"),
        (0.03, "%/month", 2, "3.0 %/month"),
        (3.5, "°C", 2, "3.5 °C"),
        (45.0, "°", 2, "45°"),
        (32e9, "GB", 3, "32.0 GB"),
        (1.5e12, "GB", 2, "1.5 TB"),
        (288000.0, "B/s", 3, "288 kB/s"),
        (24.0, "bit", 2, "24 bit"),
        # Half-even on the decimal a person sees, not on its binary expansion.
        (0.125, "", 2, "0.12"),
        (0.375, "", 2, "0.38"),
        (2.675, "", 3, "2.68"),
        # Whole counts in full; groups from 10 000 on; no exponent for what is large.
        (4096.0, "1", 2, "4096"),
        (12345.0, "1", 2, "12 345"),
        (2.5, "1", 2, "2.5"),
        (9999.0, "m³", 4, "9999 m³"),
        (12345.0, "m³", 5, "12 345 m³"),
        (1234567.0, "kg/m³", 3, "1 230 000 kg/m³"),
        (4.241e-5, "m³", 4, "42.41 mL"),
        (1e20, "Ω", 1, "100 000 000 TΩ"),
        (1e-20, "F", 1, "0.00000001 pF"),
        (1e-9, "m/s", 2, "0.0000000010 m/s"),
        (-7.546e-74, "m/s", 3, "−7.55·10⁻⁷⁴ m/s"),  # waves over deep water: 76 digits before
        (6.95e-31, "", 1, "7·10⁻³¹"),
        # Times.
        (0.045, "s", 2, "45 ms"),
        (12.34, "s", 3, "12.3 s"),
        (59.94, "s", 3, "59.9 s"),
        (59.97, "s", 3, "1 min"),
        (65.0, "s", 3, "1 min 05 s"),
        (3599.7, "s", 3, "1 h"),
        (14880.0, "s", 3, "4 h 08 min"),
        (7200.0, "h", 3, "2 h"),
        (86399.0, "s", 3, "1 d"),
        (273600.0, "h", 3, "3 d 4 h"),
        (99.5 * 86400, "d", 3, "99 d 12 h"),
        (400.4 * 86400, "d", 3, "400 d"),
        (-62.0, "s", 3, "−1 min 02 s"),
        (0.0, "h", 3, "0 s"),
    ],
)
def test_a_shown_value_is_rounded_and_typeset(value, unit, digits, text):
    """By hand, from SI usage (prefix giving 1 to 999) and this handbook's rules for times."""
    shown = format_display(value, unit, digits)

    assert shown.replace(NBSP, " ").replace(NARROW, " ") == text


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (10.0, "m", "32.8 ft"),
        (0.0254, "mm", "1.00 in"),
        (0.0254, "cm", "1.00 in"),
        (20.0, "°C", "68.0 °F"),
        (101325.0, "kPa", "14.7 psi"),
        (1e5, "bar", "14.5 psi"),
        (0.45359237, "kg", "1.00 lb"),
        (1.0, "m/s", "3.28 ft/s"),
        (3.785411784e-3, "L", "1.00 gal"),
        (3.785411784, "m³", "1000 gal"),
        (1e-4, "mL", "3.38 fl oz"),
        (4.1e-9, "nF", "4.10 nF"),
        (1e5, "dbar", "10.0 dbar"),
    ],
)
def test_us_readers_see_us_customary_units(value, unit, text):
    """By hand, from NIST SP 811 (2008) appendix B; electrical units stay as they are."""
    assert format_display(value, unit, 3, "us").replace(NBSP, " ") == text


def test_nothing_in_a_shown_value_breaks_over_a_line():
    """House rule: no-break space before the unit, narrow no-break space between groups."""
    assert format_display(12345.0, "m³", 5) == f"12{NARROW}345{NBSP}m³"
    assert format_display(273600.0, "s") == f"3{NBSP}d{NBSP}4{NBSP}h"


@settings(max_examples=2000)
@given(
    value=VALUES,
    symbol=st.sampled_from([s for s in SYMBOLS if dimension(s) not in ("time", "count")]),
    digits=st.integers(1, 8),
    system=st.sampled_from(["metric", "us"]),
)
def test_a_shown_value_differs_by_its_rounding_only(value, symbol, digits, system):
    """Independent: reading the shown text gives the value within half of its last digit.

    From 1e-15 to 1e15 no text is longer than a field takes.
    """
    shown = format_display(value, symbol, digits, system)
    unit = UNITS[display_unit(symbol, system)]
    from_zero = value + float(unit.zero * unit.factor)  # what is rounded: the number in its unit

    assert "e" not in shown.split(NBSP)[0]
    slack = 0.5000001 * abs(from_zero) * 10 ** (1 - digits) + 4 * ulp(abs(from_zero))
    assert abs(read(shown, symbol) - value) <= slack


@settings(max_examples=1000)
@given(seconds=st.floats(60, 1e10))
def test_a_shown_time_differs_by_half_of_its_smaller_unit_at_most(seconds):
    """Independent: reading the shown time back; two units up to a hundred days, then days."""
    half = 0.5 if seconds < 3600 else 30 if seconds < 86400 else 1800
    if seconds >= 100 * 86400:
        half = 43200

    assert abs(read(format_display(seconds, "h"), "s") - seconds) <= half * 1.0000001


@pytest.mark.parametrize("write", [format_display, format_field, format_exact])
@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_not_a_number_is_never_shown(write, value):
    """House rule: no NaN on a page; it is a defect of the caller and says so."""
    with pytest.raises(ValueError, match="cannot be shown as a number"):
        write(value, "m")


# Tolerances


@pytest.mark.parametrize(
    ("text", "value", "unit", "ends"),
    [
        ("±20 %", 100.0, "Ω", (80.0, 120.0)),
        ("+-20pct", 100.0, "Ω", (80.0, 120.0)),
        ("+/- 20 %", 100.0, "Ω", (80.0, 120.0)),
        ("~20pct", 100.0, "Ω", (80.0, 120.0)),
        ("20 %", 100.0, "Ω", (80.0, 120.0)),
        ("20 %", 4.7e-9, "nF", (3.76e-9, 5.64e-9)),
        ("2,5 %", -10.0, "V", (-10.25, -9.75)),
        ("0", 100.0, "Ω", (100.0, 100.0)),
        ("±5 %", 0.0, "V", (0.0, 0.0)),
        ("±0.5 pF", 10e-12, "nF", (9.5e-12, 10.5e-12)),
        ("0.1 mm", 0.01, "mm", (0.0099, 0.0101)),
        ("0.1", 0.01, "mm", (0.0099, 0.0101)),
        ("±1/64 in", 0.0254, "in", (0.025003125, 0.025796875)),
        ("150 Ω", 100.0, "Ω", (-50.0, 250.0)),
        ("+80/-20 %", 100.0, "µF", (80.0, 180.0)),
        ("+80 %/-20 %", 100.0, "µF", (80.0, 180.0)),
        (f"+80/{MINUS}20 %", 100.0, "µF", (80.0, 180.0)),
        ("-20/+80 %", 100.0, "µF", (80.0, 180.0)),
        ("80-20pct", 100.0, "µF", (80.0, 180.0)),
        ("+200/-0 %", 100.0, "µF", (100.0, 300.0)),
        ("+1 V/-500 mV", 9.0, "V", (8.5, 10.0)),
        # A difference of temperature has no zero.
        ("±2 °F", 20.0, "°C", (20 - 2 / 1.8, 20 + 2 / 1.8)),
        ("±2 K", 20.0, "°C", (18.0, 22.0)),
        ("±9", 20.0, "°F", (15.0, 25.0)),
        # Percentage points where the field is in %, relative where it is not.
        ("±5 %", 0.85, "%", (0.8, 0.9)),
        ("5", 0.85, "%", (0.8, 0.9)),
        ("±10 %", 0.5, "", (0.45, 0.55)),
        ("±20 %", 0.05, "%/month", (0.04, 0.06)),
        ("±1 %/month", 0.05, "%/month", (0.04, 0.06)),
        ("±1", -6.0, "dB", (-7.0, -5.0)),
    ],
)
def test_a_tolerance_gives_the_two_ends_of_a_value(text, value, unit, ends):
    """By hand."""
    read_ends = parse_tolerance(text, value, unit, name="size", label="Size")

    assert read_ends == pytest.approx(ends, rel=1e-15)


def test_zero_keeps_its_sign_in_the_ends_of_a_tolerance_and_has_none_on_a_page():
    """Whichever zero was asked for first."""
    for zero in (0.0, -0.0, 0.0):
        low, high = Tolerance("", 0.0, 0.0, relative=False).ends(zero)
        assert (low, high) == (0, 0)
        assert copysign(1, low) == copysign(1, zero)
        assert [format_display(zero, unit) for unit in ("m", "°C", "s", "1", "dB")] == [
            f"0{NBSP}m", f"0{NBSP}°C", f"0{NBSP}s", "0", f"0{NBSP}dB",
        ]  # fmt: skip


def test_no_text_is_no_tolerance():
    """An exact value and a value of unknown tolerance look alike: the field is left empty."""
    assert parse_tolerance("", 1.0, "V", name="size") is None
    assert read_tolerance("  ", "V", name="size") is None


@pytest.mark.parametrize(
    ("text", "unit", "message"),
    [
        ("-5 %", "V", "“-5 %” is negative; give ±, then a percentage of the value"),
        ("±-1 V", "V", "is negative"),
        ("100 %", "V", "takes 100 % or more from the value"),
        ("+20/-100 %", "V", "takes 100 % or more from the value"),
        ("+5/+5 %", "V", "needs one + and one -"),
        ("+1 V/-5 %", "V", "mixes a percentage with an amount"),
        ("±5 %", "°C", "is a percentage; give ±, then a number in °C"),
        ("±5 %", "°F", "a percentage of a temperature has no meaning"),
        ("±5 %", "dB", "a percentage of a level has no meaning"),
        ("±5 V", "%", "is a voltage (V); give percentage points, such as ±5 %"),
        ("± 5 A", "V", "is a current (A)"),
        ("±", "V", "is not a number"),
        ("some", "V", "is not a number"),
        ("±1,234", "V", "can mean 1.234 or 1234"),
        ("±nan", "V", "is not a number"),
        ("±1e999", "V", "is too large"),
    ],
)
def test_a_tolerance_that_makes_no_sense_is_refused(text, unit, message):
    """The error marks the tolerance, not the value, and says what a tolerance may be."""
    with pytest.raises(InputError) as refused:
        parse_tolerance(text, 1.0, unit, name="size", label="Size")

    assert (refused.value.name, refused.value.part) == ("size", "tolerance")
    assert refused.value.message.startswith("Size: ")
    assert message in refused.value.message


@pytest.mark.parametrize(
    ("text", "unit", "shown", "link"),
    [
        ("20 %", "nF", "±20 %", "20pct"),
        ("+80/-20 %", "nF", "+80/−20 %", "80-20pct"),
        ("0.1 mm", "mm", "±0.1 mm", "0.1mm"),
        ("0.0254 mm", "in", "±0.001 in", "0.001in"),
        ("+1e-9/-2e-9 F", "F", "+1e-9/−2e-9 F", "1e-9-2e-9F"),
        ("±9 °F", "°C", "±5 °C", "5degC"),
    ],
)
def test_a_tolerance_is_written_for_fields_and_for_links(text, unit, shown, link):
    """By hand; in a link the sign ± is left out, and a minus splits upper from lower."""
    given_tolerance = read_tolerance(text, unit, name="size")
    assert given_tolerance is not None

    assert format_tolerance(given_tolerance, unit).replace(NBSP, " ") == shown
    assert format_tolerance(given_tolerance, unit, ascii=True) == link


@settings(max_examples=1500)
@given(
    low=st.floats(1e-12, 0.999),
    high=st.floats(1e-12, 1e12),
    symbol=st.sampled_from(SYMBOLS),
    relative=st.booleans(),
    link=st.booleans(),
)
def test_a_written_tolerance_reads_back_as_the_same(low, high, symbol, relative, link):
    """Identity: read_tolerance undoes format_tolerance."""
    no_percent = dimension(symbol) == "temperature" or dimension(symbol).endswith("level")
    relative = relative and not no_percent and symbol != "%"
    text = format_tolerance(Tolerance("", low, high, relative), symbol, ascii=link)
    again = read_tolerance(text, symbol, name="size")

    assert again is not None
    assert (again.low, again.high, again.relative) == (low, high, relative)


# The table


@pytest.mark.parametrize("symbol", SYMBOLS)
def test_every_unit_knows_its_dimension_and_its_relatives(symbol):
    """What a message or a page asks of a unit stays within its dimension."""
    assert dimension(base_unit(symbol)) == dimension(symbol)
    assert UNITS[base_unit(symbol)].factor == 1
    relatives = table.DIMENSIONS[dimension(symbol)][1]
    assert all(dimension(other) == dimension(symbol) for other in relatives)
    assert display_unit(symbol, "metric") == symbol
    assert dimension(display_unit(symbol, "us")) == dimension(symbol)


def test_no_spelling_stands_for_two_units():
    """Within a dimension; KeyError would not tell, a wrong factor would not either."""
    for name in table.DIMENSIONS:
        seen: dict[str, str] = {}
        for unit in (unit for unit in UNITS.values() if unit.dimension == name):
            for spelling in {unit.symbol, unit.link, *unit.aliases} - {""}:
                assert seen.setdefault(spelling, unit.symbol) == unit.symbol


def test_an_unknown_unit_is_a_defect_of_the_caller():
    """Units of fields come from declarations, never from readers."""
    with pytest.raises(KeyError, match="no unit 'furlong'"):
        parse("1", "furlong", name="size")
    with pytest.raises(ValueError, match="system is metric or us, not 'imperial'"):
        display_unit("m", "imperial")


# Anything else


def read_ends(text: str, unit: str) -> tuple[float, float] | None:
    return parse_tolerance(text, 1.0, unit, name="size", label="Size")


def answer(use, text, symbol):
    """What a function returns, or its refusal; any other exception is a fault."""
    try:
        return use(text, symbol)
    except InputError as refused:
        return refused


LIKELY = st.text("0123456789.,+-−±~/ eEmkMµnpuRhdsinft%°ΩVF'\"½\u00a0", max_size=20)


@settings(max_examples=3000)
@given(text=st.text(max_size=80) | LIKELY, symbol=st.sampled_from(SYMBOLS))
@example(text="0 h 0 h", symbol="h")
def test_any_text_is_a_finite_number_or_a_refusal(text, symbol):
    """No other exception, no NaN, whatever a link or a clipboard brings."""
    value = answer(read, text, symbol)
    ends = answer(read_ends, text, symbol)

    assert isinstance(value, InputError) or isfinite(value)
    assert ends is None or isinstance(ends, InputError) or ends[0] <= 1.0 <= ends[1]


@pytest.mark.parametrize(
    "text",
    ["1" * 64, "1," * 32, "1 " * 32, "1." * 32, "1h" * 32, "9e" + "9" * 62, "1e-" + "9" * 60,
     "1/" * 32, "-" * 64, "1" * 100_000, "1 1/" * 16, "½" * 64, "+1-" * 21],
)  # fmt: skip
@pytest.mark.parametrize("symbol", ["h", "Ω", "°F", "%"])
def test_hostile_texts_are_answered_quickly(text, symbol):
    """Allowance: 0.1 s of processor time for what nobody would type; the usual is 0.001 s."""
    start = time.process_time()
    answer(read, text, symbol)
    answer(read_ends, text, symbol)

    assert time.process_time() - start < 0.1


@pytest.mark.parametrize("module", [table, reading, showing, tolerance])
def test_the_examples_in_the_docstrings_are_true(module: ModuleType):
    """They are the first thing a newcomer tries."""
    assert doctest.testmod(module).failed == 0
