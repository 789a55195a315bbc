"""The units this handbook reads and writes, each with its exact factor.

A new unit is one row of `_ROWS`; prefixed forms, ASCII spellings and lookups follow from it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

PREFIXES = {
    "f": Fraction(1, 10**15),
    "p": Fraction(1, 10**12),
    "n": Fraction(1, 10**9),
    "µ": Fraction(1, 10**6),
    "m": Fraction(1, 1000),
    "k": Fraction(1000),
    "M": Fraction(10**6),
    "G": Fraction(10**9),
    "T": Fraction(10**12),
}
POWERS = {"f": -15, "p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9, "T": 12}

_ASCII = str.maketrans(
    {"Ω": "ohm", "µ": "u", "°": "deg", "%": "pct", "²": "2", "³": "3", "√": "rt", "/": "per"}
    | dict.fromkeys(" ·()")
)
_PLAIN = str.maketrans({"µ": "u", "²": "2", "³": "3"})


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: a number x in it is (x - zero) * factor in the base unit of its dimension."""

    symbol: str
    dimension: str
    factor: Fraction
    zero: Fraction = Fraction(0)
    aliases: tuple[str, ...] = ()
    prefixes: str = ""  # SI prefixes that are read
    shown: str = ""  # those that may be chosen for showing a value
    stem: str = ""  # symbol without prefix
    power: int | None = None  # of ten, where the factor is one and there is no offset
    link: str = ""  # ASCII spelling, for share links


# Base unit, the few units that a message names, and the name of the dimension with its article.
DIMENSIONS: dict[str, tuple[str, tuple[str, ...], str]] = {
    "time": ("s", ("s", "min", "h", "d"), "a time"),
    "frequency": ("Hz", ("Hz", "kHz", "MHz"), "a frequency"),
    "capacitance": ("F", ("pF", "nF", "µF"), "a capacitance"),
    "resistance": ("Ω", ("Ω", "kΩ", "MΩ"), "a resistance"),
    "voltage": ("V", ("µV", "mV", "V"), "a voltage"),
    "current": ("A", ("µA", "mA", "A"), "a current"),
    "power": ("W", ("µW", "mW", "W"), "a power"),
    "energy": ("J", ("J", "Wh", "kWh"), "an energy"),
    "charge": ("C", ("mAh", "Ah", "C"), "a charge"),
    "pressure": ("Pa", ("Pa", "kPa", "bar", "dbar", "psi"), "a pressure"),
    "mass": ("kg", ("g", "kg", "oz", "lb"), "a mass"),
    "length": ("m", ("mm", "cm", "m", "in", "ft"), "a length"),
    "volume": ("m³", ("mL", "L", "m³", "gal"), "a volume"),
    "speed": ("m/s", ("m/s", "km/h", "kn", "ft/s"), "a speed"),
    "acceleration": ("m/s²", ("m/s²",), "an acceleration"),
    "density": ("kg/m³", ("kg/m³", "g/cm³", "lb/ft³"), "a density"),
    "data": ("B", ("kB", "MB", "GB", "GiB"), "an amount of data"),
    "data rate": ("B/s", ("kB/s", "MB/s", "kbit/s"), "a data rate"),
    "word length": ("bit", ("bit",), "a number of bits"),
    "temperature": ("°C", ("°C", "°F", "K"), "a temperature"),
    "temperature difference": ("Δ°C", ("Δ°C", "Δ°F"), "a difference of temperature"),
    "angle": ("°", ("°", "rad"), "an angle"),
    "level": ("dB", ("dB",), "a level"),
    "sensitivity level": (
        "dB re 1 V/µPa",
        ("dB re 1 V/µPa", "dB re 1 V/Pa"),
        "a sensitivity level",
    ),
    "sound pressure level": ("dB re 1 µPa", ("dB re 1 µPa",), "a sound pressure level"),
    "source level": ("dB re 1 µPa·m", ("dB re 1 µPa·m",), "a source level"),
    "propagation loss": ("dB re 1 m", ("dB re 1 m",), "a propagation loss"),
    "spectral density level": (
        "dB re 1 µPa²/Hz",
        ("dB re 1 µPa²/Hz",),
        "a spectral density level",
    ),
    "system sensitivity level": (
        "dB re 1 FS/µPa",
        ("dB re 1 FS/µPa",),
        "a system sensitivity level",
    ),
    "sensitivity": ("V/Pa", ("µV/Pa", "mV/Pa", "V/Pa"), "a sensitivity"),
    "voltage noise density": ("V/√Hz", ("nV/√Hz", "µV/√Hz"), "a voltage noise density"),
    "current noise density": ("A/√Hz", ("fA/√Hz", "pA/√Hz"), "a current noise density"),
    "charge constant": ("C/N", ("pC/N",), "a charge constant"),
    "voltage constant": ("V·m/N", ("mV·m/N", "V·m/N"), "a voltage constant"),
    "frequency constant": ("Hz·m", ("Hz·m",), "a frequency constant"),
    "acoustic impedance": ("Pa·s/m", ("MPa·s/m",), "an acoustic impedance"),
    "attenuation": ("dB/m", ("dB/m", "dB/cm", "dB/km"), "an attenuation"),
    "capacitance per length": ("F/m", ("pF/m", "pF/ft"), "a capacitance per length"),
    "force per length": ("N/m", ("mN/m", "N/m"), "a force per length"),
    "force": ("N", ("N", "kN", "lbf"), "a force"),
    "torque": ("N·m", ("N·m", "lbf·ft"), "a torque"),
    "area": ("m²", ("mm²", "cm²", "m²", "in²"), "an area"),
    "gas amount": ("Pa·m³", ("Pa·m³", "mbar·L"), "an amount of gas"),
    "gas flow": ("Pa·m³/s", ("Pa·m³/s", "mbar·L/s"), "a gas flow"),
    "volume flow": ("m³/s", ("mL/d", "mL/min", "L/h"), "a volume flow"),
    "viscosity": ("Pa·s", ("µPa·s", "mPa·s"), "a viscosity"),
    "mass per length": ("kg/m", ("g/m", "kg/m", "lb/ft"), "a mass per length"),
    "permeability": ("kg/(m·s·Pa)", ("ng/(m·s·Pa)",), "a vapour permeability"),
    "wavenumber": ("1/m", ("1/m",), "a wavenumber"),
    "temperature coefficient": ("1/K", ("%/K", "ppm/K"), "a change per kelvin"),
    "temperature curvature": ("1/K²", ("ppm/K²",), "a change per kelvin squared"),
    "ratio": ("", ("%",), "a ratio"),
    "monthly rate": ("1/month", ("%/month",), "a rate per month"),
    "count": ("1", (), "a count"),
}

_INCH = Fraction(254, 10**4)
_POUND = Fraction(45359237, 10**8)  # international avoirdupois pound, exact
_GRAVITY = Fraction(980665, 10**5)  # standard acceleration of free fall, exact
_GALLON = 231 * _INCH**3  # US liquid gallon
_MERCURY = Fraction(135951, 10**4) * _GRAVITY  # 1 mm of conventional mercury, Pa
_DAY = Fraction(86400)
_PI = Fraction(3141592653589793238462643383279503, 10**33)

_Row = tuple[str, str, Fraction | int, str, str, str]
# symbol, dimension, factor, other spellings, prefixes read, prefixes shown
_ROWS: tuple[_Row, ...] = (
    ("s", "time", 1, "sec secs second seconds", "pnµm", "pnµm"),
    ("min", "time", 60, "mins minute minutes", "", ""),
    ("h", "time", 3600, "hr hrs hour hours", "", ""),
    ("d", "time", _DAY, "day days", "", ""),
    ("week", "time", 7 * _DAY, "wk weeks", "", ""),
    ("month", "time", Fraction(304375, 10**4) * _DAY, "months", "", ""),
    ("Hz", "frequency", 1, "hertz", "µmkMGT", "kMGT"),
    ("F", "capacitance", 1, "farad", "pnµm", "pnµm"),
    ("Ω", "resistance", 1, "ohms R", "mkMGT", "mkMGT"),
    ("V", "voltage", 1, "volt volts", "pnµmkM", "pnµmk"),
    ("A", "current", 1, "amp amps ampere amperes", "pnµmk", "pnµmk"),
    ("W", "power", 1, "watt watts", "pnµmkM", "pnµmkM"),
    ("J", "energy", 1, "joule joules", "nµmkMG", "nµmkMG"),
    ("Wh", "energy", 3600, "", "µmkM", "mkM"),
    ("C", "charge", 1, "coulomb coulombs", "pnµmkM", "pnµmk"),
    ("Ah", "charge", 3600, "", "µmk", "m"),
    ("Pa", "pressure", 1, "pascal pascals", "nµmkMG", "nµmkMG"),
    ("hPa", "pressure", 100, "", "", ""),
    ("bar", "pressure", 10**5, "bars", "", ""),
    ("mbar", "pressure", 100, "", "", ""),
    ("dbar", "pressure", 10**4, "", "", ""),
    ("atm", "pressure", 101325, "", "", ""),
    ("psi", "pressure", _POUND * _GRAVITY / _INCH**2, "", "", ""),
    ("mmHg", "pressure", _MERCURY, "", "", ""),
    ("inHg", "pressure", Fraction(254, 10) * _MERCURY, "", "", ""),
    ("g", "mass", Fraction(1, 1000), "gram grams", "nµmk", "µmk"),
    ("t", "mass", 1000, "tonne tonnes", "", ""),
    ("lb", "mass", _POUND, "lbs pound pounds", "", ""),
    ("oz", "mass", _POUND / 16, "ounce ounces", "", ""),
    ("m", "length", 1, "metre metres meter meters", "pnµmk", "nµmk"),
    ("dm", "length", Fraction(1, 10), "", "", ""),
    ("cm", "length", Fraction(1, 100), "", "", ""),
    ("in", "length", _INCH, "inch inches ″", "", ""),
    ("ft", "length", 12 * _INCH, "foot feet ′", "", ""),
    ("yd", "length", 36 * _INCH, "yard yards", "", ""),
    ("fathom", "length", 72 * _INCH, "fathoms", "", ""),
    ("mi", "length", 63360 * _INCH, "mile miles", "", ""),
    ("nmi", "length", 1852, "", "", ""),
    ("m³", "volume", 1, "", "", ""),
    ("L", "volume", Fraction(1, 1000), "l litre litres liter liters", "µm", "µm"),
    ("cL", "volume", Fraction(1, 10**5), "cl", "", ""),
    ("dm³", "volume", Fraction(1, 1000), "", "", ""),
    ("cm³", "volume", Fraction(1, 10**6), "cc", "", ""),
    ("mm³", "volume", Fraction(1, 10**9), "", "", ""),
    ("gal", "volume", _GALLON, "gallon gallons", "", ""),
    ("qt", "volume", _GALLON / 4, "quart quarts", "", ""),
    ("fl oz", "volume", _GALLON / 128, "", "", ""),
    ("in³", "volume", _INCH**3, "", "", ""),
    ("ft³", "volume", (12 * _INCH) ** 3, "", "", ""),
    ("m/s", "speed", 1, "", "", ""),
    ("cm/s", "speed", Fraction(1, 100), "", "", ""),
    ("mm/s", "speed", Fraction(1, 1000), "", "", ""),
    ("km/h", "speed", Fraction(1000, 3600), "kmh kph", "", ""),
    ("kn", "speed", Fraction(1852, 3600), "kt kts knot knots", "", ""),
    ("mph", "speed", 63360 * _INCH / 3600, "mi/h", "", ""),
    ("ft/s", "speed", 12 * _INCH, "fps", "", ""),
    ("m/s²", "acceleration", 1, "m/s2", "", ""),
    ("kg/m³", "density", 1, "", "", ""),
    ("g/cm³", "density", 1000, "g/cc", "", ""),
    ("g/mL", "density", 1000, "g/ml", "", ""),
    ("kg/L", "density", 1000, "kg/l", "", ""),
    ("g/L", "density", 1, "g/l", "", ""),
    ("g/m³", "density", Fraction(1, 1000), "", "", ""),
    ("lb/ft³", "density", _POUND / (12 * _INCH) ** 3, "", "", ""),
    ("B", "data", 1, "byte bytes", "kMGT", "kMGT"),
    ("KiB", "data", 2**10, "", "", ""),
    ("MiB", "data", 2**20, "", "", ""),
    ("GiB", "data", 2**30, "", "", ""),
    ("TiB", "data", 2**40, "", "", ""),
    ("B/s", "data rate", 1, "", "kMG", "kMG"),
    ("bit/s", "data rate", Fraction(1, 8), "bps", "kMG", "kMG"),
    ("bit", "word length", 1, "bits", "", ""),
    ("°C", "temperature", 1, "C", "", ""),
    ("°F", "temperature", Fraction(5, 9), "F", "", ""),
    ("K", "temperature", 1, "kelvin", "", ""),
    ("Δ°C", "temperature difference", 1, "K °C C ΔK", "", ""),
    ("Δ°F", "temperature difference", Fraction(5, 9), "°F F", "", ""),
    ("°", "angle", 1, "degree degrees", "", ""),
    ("rad", "angle", 180 / _PI, "", "", ""),
    ("dB", "level", 1, "", "", ""),
    ("dB re 1 V/µPa", "sensitivity level", 1, "dB", "", ""),
    ("dB re 1 V/Pa", "sensitivity level", 1, "", "", ""),
    ("dB re 1 µPa", "sound pressure level", 1, "dB", "", ""),
    ("dB re 1 µPa·m", "source level", 1, "dB", "", ""),
    ("dB re 1 m", "propagation loss", 1, "dB", "", ""),
    ("dB re 1 µPa²/Hz", "spectral density level", 1, "dB", "", ""),
    ("dB re 1 FS/µPa", "system sensitivity level", 1, "dB", "", ""),
    ("V/Pa", "sensitivity", 1, "", "nµm", "nµm"),
    ("V/√Hz", "voltage noise density", 1, "V/rtHz V/sqrt(Hz)", "pnµm", "pnµm"),
    ("A/√Hz", "current noise density", 1, "A/rtHz A/sqrt(Hz)", "fpnµm", "fpnµm"),
    ("C/N", "charge constant", 1, "", "pn", "pn"),
    ("V·m/N", "voltage constant", 1, "Vm/N V*m/N", "µm", "µm"),
    ("Hz·m", "frequency constant", 1, "Hzm Hz*m", "k", ""),
    ("Pa·s/m", "acoustic impedance", 1, "Pa*s/m rayl Rayl", "kM", "kM"),
    ("dB/m", "attenuation", 1, "", "", ""),
    ("dB/cm", "attenuation", 100, "", "", ""),
    ("dB/km", "attenuation", Fraction(1, 1000), "", "", ""),
    ("F/m", "capacitance per length", 1, "", "pn", "pn"),
    ("pF/ft", "capacitance per length", Fraction(1, 10**12) / (12 * _INCH), "", "", ""),
    ("N/m", "force per length", 1, "", "m", "m"),
    ("N", "force", 1, "newton newtons", "mkM", "mkM"),
    ("kgf", "force", _GRAVITY, "kp", "", ""),
    ("lbf", "force", _POUND * _GRAVITY, "", "", ""),
    ("N·m", "torque", 1, "Nm N*m", "mk", "mk"),
    ("lbf·ft", "torque", _POUND * _GRAVITY * 12 * _INCH, "lbfft ft·lbf", "", ""),
    ("m²", "area", 1, "", "", ""),
    ("cm²", "area", Fraction(1, 10**4), "", "", ""),
    ("mm²", "area", Fraction(1, 10**6), "", "", ""),
    ("in²", "area", _INCH**2, "", "", ""),
    ("ft²", "area", (12 * _INCH) ** 2, "", "", ""),
    ("Pa·m³", "gas amount", 1, "Pam3 Pa*m3", "m", "m"),
    ("mbar·L", "gas amount", Fraction(1, 10), "mbarl mbar*L", "", ""),
    ("Pa·m³/s", "gas flow", 1, "Pam3/s Pa*m3/s", "pnµm", "pnµm"),
    ("mbar·L/s", "gas flow", Fraction(1, 10), "mbarl/s mbar*L/s", "", ""),
    ("m³/s", "volume flow", 1, "", "", ""),
    ("L/d", "volume flow", 1 / (1000 * _DAY), "l/d", "nµm", "nµm"),
    ("L/h", "volume flow", Fraction(1, 1000 * 3600), "l/h", "m", "m"),
    ("L/min", "volume flow", Fraction(1, 1000 * 60), "l/min", "m", "m"),
    ("Pa·s", "viscosity", 1, "Pa*s", "µm", "µm"),
    ("kg/m", "mass per length", 1, "", "", ""),
    ("g/m", "mass per length", Fraction(1, 1000), "", "", ""),
    ("lb/ft", "mass per length", _POUND / (12 * _INCH), "", "", ""),
    ("kg/(m·s·Pa)", "permeability", 1, "", "", ""),
    ("g/(m·s·Pa)", "permeability", Fraction(1, 1000), "", "pnµ", "pnµ"),
    ("1/m", "wavenumber", 1, "/m", "", ""),
    ("1/K", "temperature coefficient", 1, "/K", "", ""),
    ("%/K", "temperature coefficient", Fraction(1, 100), "%perK %/°C", "", ""),
    ("ppm/K", "temperature coefficient", Fraction(1, 10**6), "ppm/°C", "", ""),
    ("1/K²", "temperature curvature", 1, "/K² 1/K2", "", ""),
    ("ppm/K²", "temperature curvature", Fraction(1, 10**6), "ppm/°C² ppm/K2", "", ""),
    ("", "ratio", 1, "", "", ""),
    ("%", "ratio", Fraction(1, 100), "percent", "", ""),
    ("ppm", "ratio", Fraction(1, 10**6), "", "", ""),
    ("1/month", "monthly rate", 1, "/month", "", ""),
    ("%/month", "monthly rate", Fraction(1, 100), "%permonth pct/month % pct", "", ""),
    ("ppm/yr", "monthly rate", Fraction(1, 12 * 10**6), "ppm/year ppm/a", "", ""),
    ("1", "count", 1, "", "kMG", ""),
)
# 1 V/Pa is 1e-6 V/µPa, which is 120 dB less.
_ZEROS = {"°F": Fraction(32), "K": Fraction(27315, 100), "dB re 1 V/Pa": Fraction(120)}
_ASCII_SPECIAL = {
    "": "", "1": "", "1/month": "permonth", "1/K": "perK", "1/K²": "perK2", "1/m": "perm",
    "Δ°C": "dC", "Δ°F": "dF",
}  # fmt: skip

_US = {
    "mm": "in", "cm": "in", "m": "ft", "km": "mi", "°C": "°F", "Δ°C": "Δ°F",
    "kPa": "psi", "MPa": "psi", "bar": "psi", "mbar": "psi", "hPa": "inHg",
    "g": "oz", "kg": "lb", "m/s": "ft/s", "kg/m³": "lb/ft³",
    "m³": "gal", "L": "gal", "mL": "fl oz",
    "pF/m": "pF/ft",
    "N": "lbf", "kN": "lbf", "N·m": "lbf·ft",
    "m²": "ft²", "cm²": "in²", "mm²": "in²", "kg/m": "lb/ft", "g/m": "lb/ft",
}  # fmt: skip


def _power_of_ten(factor: Fraction) -> int | None:
    """Exponent of a factor that is a power of ten, so that digits need no arithmetic."""
    up, down = str(factor.numerator), str(factor.denominator)
    if "1" in (up, down) and up.rstrip("0") == down.rstrip("0") == "1":
        return len(up) - len(down)
    return None


def _ascii(symbol: str) -> str:
    return _ASCII_SPECIAL.get(symbol, symbol.translate(_ASCII))


def _stems() -> Iterator[Unit]:
    for symbol, dimension, factor, aliases, prefixes, shown in _ROWS:
        exact, zero = Fraction(factor), _ZEROS.get(symbol, Fraction(0))
        yield Unit(
            symbol, dimension, exact, zero, tuple(aliases.split()), prefixes, shown, symbol,
            None if zero else _power_of_ten(exact), _ascii(symbol),
        )  # fmt: skip


def _prefixed(stem: Unit) -> Iterator[Unit]:
    if stem.symbol == "1":  # 10k files is read, but there is no unit k1
        return
    for prefix in stem.prefixes:
        symbol = prefix + stem.symbol
        yield replace(
            stem,
            symbol=symbol,
            factor=PREFIXES[prefix] * stem.factor,
            aliases=tuple(prefix + alias for alias in stem.aliases),
            power=None if stem.power is None else stem.power + POWERS[prefix],
            link=_ascii(symbol),
        )


def _all_units() -> dict[str, Unit]:
    units = {}
    for stem in _stems():
        units[stem.symbol] = stem
        units.update((unit.symbol, unit) for unit in _prefixed(stem))
    return units


def _all_spellings() -> dict[str, dict[str, Unit]]:
    spellings: dict[str, dict[str, Unit]] = {dimension: {} for dimension in DIMENSIONS}
    for unit in UNITS.values():
        for text in (unit.symbol, unit.link, *unit.aliases):
            written = text.replace(" ", "")
            for spelling in (written, written.replace("µ", "u"), written.translate(_PLAIN)):
                if spelling and spelling != "1":
                    spellings[unit.dimension].setdefault(spelling, unit)
    return spellings


UNITS: dict[str, Unit] = _all_units()
SPELLINGS: dict[str, dict[str, Unit]] = _all_spellings()


def unit_of(symbol: str) -> Unit:
    """The unit with this symbol; a symbol that is not in the table is a defect of the caller."""
    try:
        return UNITS[symbol]
    except KeyError:
        raise KeyError(f"no unit {symbol!r} in calculators/units/table.py") from None


def dimension(unit: str) -> str:
    """What a unit measures, such as "capacitance"."""
    return unit_of(unit).dimension


def base_unit(unit: str) -> str:
    """The unit in which values of this dimension are kept, such as "F" for "nF"."""
    return DIMENSIONS[unit_of(unit).dimension][0]


def display_unit(unit: str, system: str) -> str:
    """The unit a reader of this system ("metric" or "us") sees instead of this unit."""
    if system not in ("metric", "us"):
        raise ValueError(f"system is metric or us, not {system!r}")
    symbol = unit_of(unit).symbol
    return _US.get(symbol, symbol) if system == "us" else symbol
