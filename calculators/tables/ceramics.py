"""Piezoelectric ceramics by the types of MIL-STD-1376, with published values."""

from calculators.tables import Cell, Column, Row, Table

_A = "piezo-chart-a"
_B = "piezo-chart-b"
_D = "piezo-chart-d"
_E = "piezo-chart-e"
_F = "piezo-chart-f"
_BOOK = "erturk-inman-2011"

_COLUMNS = (
    Column(
        name="permittivity",
        label="Permittivity ε33T/ε0",
        unit="",
        help="free, along the poling, at 1 kHz and a small field",
    ),
    Column(
        name="voltage_constant_33",
        label="Voltage constant g33",
        unit="mV·m/N",
        help="field along the poling for a stress along it",
    ),
    Column(
        name="voltage_constant_31",
        label="Voltage constant g31",
        unit="mV·m/N",
        help="field along the poling for a stress across it",
    ),
    Column(name="charge_constant_33", label="Charge constant d33", unit="pC/N"),
    Column(name="charge_constant_31", label="Charge constant d31", unit="pC/N"),
    Column(name="density", label="Density", unit="kg/m³"),
    Column(
        name="young_modulus",
        label="Young's modulus Y11E",
        unit="GPa",
        help="across the poling, electrodes shorted: 1/s11E",
    ),
    Column(name="poisson", label="Poisson's ratio", unit="", help="−s12E/s11E"),
    Column(
        name="loss_tangent",
        label="Loss tangent",
        unit="",
        help="tan δ at 1 kHz and a small field",
    ),
    Column(
        name="thickness_constant",
        label="Frequency constant, thickness",
        unit="Hz·m",
        help="resonance through the wall × wall",
    ),
    Column(
        name="length_constant",
        label="Frequency constant, length",
        unit="Hz·m",
        help="resonance of a bar × its length; a ring's resonance × its mean diameter is 2/π of it",
    ),
    Column(name="coupling_planar", label="Coupling kp", unit=""),
    Column(
        name="capacitance_temperature",
        label="Capacitance with temperature",
        unit="%/K",
        help="relative change per kelvin, near room temperature",
    ),
    Column(name="curie_temperature", label="Curie temperature", unit="°C"),
    Column(
        name="ageing",
        label="Ageing of the permittivity",
        unit="%",
        help="change in each tenfold of the time since poling",
    ),
)


def _a(text: str, note: str = "") -> Cell:
    return Cell(text=text, source=_A, where="table of properties", note=note)


def _b(text: str, note: str = "") -> Cell:
    return Cell(text=text, source=_B, where="table of properties", note=note)


def _d(text: str, note: str = "") -> Cell:
    return Cell(text=text, source=_D, where="table of properties", note=note)


def _warmth(text: str, which: str, other: str) -> Cell:
    """Coefficients of the one chart, and what the other prints of a like composition."""
    where = f"temperature coefficient from −20 to 125 °C, soft, {which}"
    note = f"chart C prints {other} %/K from −40 to 80 °C"
    return Cell(text=text, source=_F, where=where, note=note)


def _memory(text: str, note: str = "") -> Cell:
    return Cell(text=text, source="from memory", note=note)


_MADE = "±20 % is what the maker holds from piece to piece"
_SPREAD = "spread of the published charts"

_NAVY_1 = Row(
    name="navy-1",
    label="Navy type I (hard)",
    cells={
        "permittivity": _a("1275 ± 20 %", _MADE),
        "voltage_constant_33": _a("26.5 mV·m/N ± 12 %", _SPREAD),
        "voltage_constant_31": _a("-11.0 mV·m/N ± 12 %", _SPREAD),
        "charge_constant_33": _a("290 pC/N ± 20 %", _MADE),
        "charge_constant_31": _a("-125 pC/N ± 16 %", _SPREAD),
        "density": _a("7600 kg/m³ ± 2 %", _SPREAD),
        "young_modulus": _a("80 GPa ± 9 %", _SPREAD),
        "poisson": _d("0.33 ± 10 %", _SPREAD),
        "loss_tangent": _b("0.004 ± 50 %", "other makers print 0.003 to 0.006"),
        "thickness_constant": _a("2005 Hz·m ± 5 %", "frequency as the maker holds it"),
        "length_constant": _a("1524 Hz·m ± 10 %", _SPREAD),
        "coupling_planar": _a("0.59 ± 8 %", _SPREAD),
        "capacitance_temperature": _memory(
            "0.25 %/K +60/-97 %", "chart C prints 0.007 %/K for a hard one, from −40 to 80 °C"
        ),
        "curie_temperature": _a("325 °C ± 15 °C", _SPREAD),
        "ageing": _b("-2.5 % ± 2 %"),
    },
    note="Keeps its poling best under heat, pressure and drive. The usual ceramic of tubes.",
)

_NAVY_2 = Row(
    name="navy-2",
    label="Navy type II (soft)",
    cells={
        "permittivity": _a("1900 ± 20 %", _MADE),
        "voltage_constant_33": _a("24.8 mV·m/N ± 12 %", _SPREAD),
        "voltage_constant_31": Cell(
            text="-11.4 mV·m/N ± 10 %",
            source=_BOOK,
            where="appendix E, table E.1: d31 −171 pC/N over ε33T 1700 ε0",
            note="chart A prints −12.4, its own d31/ε is −10.4",
        ),
        "charge_constant_33": _a("400 pC/N ± 20 %", _MADE),
        "charge_constant_31": _a("-175 pC/N ± 15 %", _SPREAD),
        "density": Cell(text="7700 kg/m³ ± 2 %", source=_E, where="typical values", note=_SPREAD),
        "young_modulus": _a("63 GPa ± 12 %", _SPREAD),
        "poisson": Cell(
            text="0.35 ± 12 %",
            source=_BOOK,
            where="appendix E, table E.1: s12E 5.74 over s11E 16.4 pm²/N",
            note=_SPREAD,
        ),
        "loss_tangent": _b("0.020 ± 25 %", "other makers print 0.015 to 0.020"),
        "thickness_constant": _a("2040 Hz·m ± 5 %", "frequency as the maker holds it"),
        "length_constant": _a("1500 Hz·m ± 7 %", _SPREAD),
        "coupling_planar": _a("0.63 ± 8 %", _SPREAD),
        "capacitance_temperature": _warmth("0.4 %/K +50/-93 %", "permittivity 1750", "0.03"),
        "curie_temperature": _a("360 °C ± 15 °C", _SPREAD),
        "ageing": _b("-0.1 % ± 2 %", "chart F prints −1 and −2 % for soft ones"),
    },
    note="More charge and capacitance than type I, more loss.",
)

_NAVY_3 = Row(
    name="navy-3",
    label="Navy type III (very hard)",
    cells={
        "permittivity": _a("1050 ± 20 %", _MADE),
        "voltage_constant_33": _a("25.0 mV·m/N ± 13 %", _SPREAD),
        "voltage_constant_31": _a("-10.0 mV·m/N ± 19 %", _SPREAD),
        "charge_constant_33": _a("215 pC/N ± 20 %", _MADE),
        "charge_constant_31": _a("-95 pC/N ± 12 %", _SPREAD),
        "density": _a("7600 kg/m³ ± 2 %", _SPREAD),
        "young_modulus": _a("90 GPa ± 6 %", _SPREAD),
        "poisson": _d("0.33 ± 10 %", _SPREAD),
        "loss_tangent": _a("0.004 ± 50 %", "other makers print 0.002 to 0.004"),
        "thickness_constant": _a("2110 Hz·m ± 5 %", "frequency as the maker holds it"),
        "length_constant": _a("1725 Hz·m ± 5 %", _SPREAD),
        "coupling_planar": _a("0.50 ± 15 %", _SPREAD),
        "capacitance_temperature": _memory(
            "0.25 %/K +60/-97 %", "chart C prints 0.007 %/K for a hard one, from −40 to 80 °C"
        ),
        "curie_temperature": _a("310 °C ± 20 °C", _SPREAD),
        "ageing": _b("-4.6 % ± 2 %"),
    },
    note="Made for strong drive. As a receiver it gives less charge than type I.",
)

_NAVY_5 = Row(
    name="navy-5",
    label="Navy type V (soft, high permittivity)",
    cells={
        "permittivity": _d("2800 ± 20 %", "chart A 2750, chart B 2450"),
        "voltage_constant_33": _d("20.7 mV·m/N +24/-5 %", _SPREAD),
        "voltage_constant_31": _d("-9.6 mV·m/N ± 12 %", _SPREAD),
        "charge_constant_33": _d("550 pC/N ± 20 %", "chart A 600, chart B 460"),
        "charge_constant_31": _d("-258 pC/N ± 20 %", "chart A −260, chart B −210"),
        "density": _a("7600 kg/m³ ± 2 %", _SPREAD),
        "young_modulus": _a("60 GPa ± 12 %", _SPREAD),
        "poisson": _d("0.35 ± 12 %"),
        "loss_tangent": _b("0.020 ± 35 %", "other makers print 0.013 to 0.020"),
        "thickness_constant": _a("2000 Hz·m ± 8 %", _SPREAD),
        "length_constant": _d("1400 Hz·m ± 5 %"),
        "coupling_planar": _a("0.66 ± 9 %", _SPREAD),
        "capacitance_temperature": _warmth("0.6 %/K +20/-84 %", "permittivity 2400", "0.1"),
        "curie_temperature": _a("250 °C ± 15 °C", _SPREAD),
        "ageing": _b("-0.4 % ± 1 %"),
    },
    note="Much capacitance from a small element.",
)

_NAVY_6 = Row(
    name="navy-6",
    label="Navy type VI (very soft, highest permittivity)",
    cells={
        "permittivity": _a("3300 ± 20 %", _MADE),
        "voltage_constant_33": _a("21.0 mV·m/N ± 10 %", _SPREAD),
        "voltage_constant_31": _a("-9.0 mV·m/N ± 8 %", _SPREAD),
        "charge_constant_33": _a("630 pC/N ± 20 %", _MADE),
        "charge_constant_31": _a("-276 pC/N ± 8 %", _SPREAD),
        "density": _a("7600 kg/m³ ± 3 %", _SPREAD),
        "young_modulus": _a("59 GPa ± 8 %", _SPREAD),
        "poisson": _d("0.34 ± 15 %", _SPREAD),
        "loss_tangent": _b("0.020 ± 45 %", "other makers print 0.011 to 0.025"),
        "thickness_constant": _a("2079 Hz·m ± 6 %", _SPREAD),
        "length_constant": _a("1390 Hz·m ± 5 %", _SPREAD),
        "coupling_planar": _a("0.68 ± 8 %", _SPREAD),
        "capacitance_temperature": _warmth("0.5 %/K +20/-80 %", "permittivity 4200", "0.1"),
        "curie_temperature": _a("200 °C ± 15 °C", _SPREAD),
        "ageing": _b("-0.4 % ± 1 %"),
    },
    note="The most capacitance, and the first to lose its poling under a soldering iron.",
)

CERAMICS = Table(
    id="ceramics",
    title="Piezoelectric ceramics by the types of MIL-STD-1376",
    columns=_COLUMNS,
    rows=(_NAVY_1, _NAVY_2, _NAVY_3, _NAVY_5, _NAVY_6),
    note="Typical values a day after poling, at room temperature. "
    "The standard sets permittivity, loss, coupling and d33 of a type and leaves the rest to "
    "the maker, so that two ceramics of one type differ.",
)
