"""What the tables of materials say: sources, and physics that ties one cell to another.

The bounds say how far published typical values of one material disagree among themselves.
"""

import re
from math import log, pi, sqrt

import gsw
import pytest

from calculators import units
from calculators.registry import TABLES
from calculators.tables import UNPUBLISHED, Cell, Row, Table
from calculators.tables.amplifiers import AMPLIFIERS
from calculators.tables.cables import CABLES
from calculators.tables.ceramics import CERAMICS
from calculators.tables.resins import RESINS
from calculators.tables.waters import WATERS
from site_src import bibliography

SOURCES = bibliography.load()
VACUUM = 8.8541878128e-12  # permittivity, F/m (CODATA 2018)
LIGHT = 299792458.0  # m/s
CHARGE = 1.602176634e-19  # C


def all_cells() -> list[tuple[Table, Row, str, Cell]]:
    return [
        (table, row, name, cell)
        for table in TABLES.values()
        for row in table.rows
        for name, cell in row.cells.items()
    ]


def value(table: Table, row: str, column: str) -> float:
    """A cell in SI."""
    unit = table.columns_by_name[column].unit
    return units.parse(table.cell(row, column).value, unit, name=column, label=column)


def ends(table: Table, row: str, column: str) -> tuple[float, float]:
    """The lowest and highest value of a cell, in SI."""
    unit = table.columns_by_name[column].unit
    middle = value(table, row, column)
    found = units.parse_tolerance(
        table.cell(row, column).tolerance, middle, unit, name=column, label=column
    )
    return found or (middle, middle)


def names(table: Table, *columns: str) -> list[str]:
    """The rows that have all these cells."""
    return [row.name for row in table.rows if set(columns) <= set(row.cells)]


# --- sources ---


@pytest.mark.parametrize(
    ("table", "row", "name", "cell"),
    all_cells(),
    ids=[f"{table.id}-{row.name}-{name}" for table, row, name, _ in all_cells()],
)
def test_every_cell_has_a_source_that_can_be_found(
    table: Table, row: Row, name: str, cell: Cell
) -> None:
    assert cell.source in UNPUBLISHED or cell.source in SOURCES
    if cell.source not in UNPUBLISHED:
        assert cell.where, "a published value says where it stands"


def test_every_table_has_all_its_columns_somewhere() -> None:
    for table in TABLES.values():
        used = {name for row in table.rows for name in row.cells}
        assert used == {column.name for column in table.columns}


@pytest.mark.parametrize("row", names(RESINS, "water_uptake"))
def test_no_resin_takes_up_a_tenth_of_its_mass(row: str) -> None:
    """Also a guard: "+200 %" in a column of per cent would be two whole masses."""
    low, high = ends(RESINS, row, "water_uptake")
    assert 0 < low <= high < 0.1


def test_rows_are_kinds_and_not_products() -> None:
    for table in TABLES.values():
        for row in table.rows:
            said = f"{row.label} {row.note} " + " ".join(c.note for c in row.cells.values())
            assert not re.search(r"[A-Z]{2,}-?\d{2,}", said), said


# --- ceramics ---

CERAMIC_ROWS = [row.name for row in CERAMICS.rows]


def permittivity(row: str) -> float:
    return value(CERAMICS, row, "permittivity") * VACUUM


@pytest.mark.parametrize("direction", ["33", "31"])
@pytest.mark.parametrize("row", CERAMIC_ROWS)
def test_voltage_constant_is_charge_constant_over_permittivity(row: str, direction: str) -> None:
    """g = d/ε holds for one piece; printed typical values break it by up to 10 %, 0.8 dB."""
    derived = value(CERAMICS, row, f"charge_constant_{direction}") / permittivity(row)
    printed = value(CERAMICS, row, f"voltage_constant_{direction}")
    assert derived == pytest.approx(printed, rel=0.10)
    low, high = ends(CERAMICS, row, f"voltage_constant_{direction}")
    assert low <= derived <= high


@pytest.mark.parametrize("row", CERAMIC_ROWS)
def test_length_constant_follows_from_modulus_and_density(row: str) -> None:
    """A bar resonates at half a wavelength: N = √(Y/ρ)/2, within 8 % of print."""
    derived = sqrt(value(CERAMICS, row, "young_modulus") / value(CERAMICS, row, "density")) / 2
    assert derived == pytest.approx(value(CERAMICS, row, "length_constant"), rel=0.08)


@pytest.mark.parametrize("row", CERAMIC_ROWS)
def test_planar_coupling_follows_from_the_other_constants(row: str) -> None:
    """kp² = 2 k31²/(1 − ν) with k31² = d31² Y/ε, within 8 % of print."""
    d31, modulus = (value(CERAMICS, row, n) for n in ("charge_constant_31", "young_modulus"))
    k31_squared = d31**2 * modulus / permittivity(row)
    derived = sqrt(2 * k31_squared / (1 - value(CERAMICS, row, "poisson")))
    assert derived == pytest.approx(value(CERAMICS, row, "coupling_planar"), rel=0.08)


@pytest.mark.parametrize("row", CERAMIC_ROWS)
def test_pressure_on_all_sides_nearly_cancels(row: str) -> None:
    """d33 + 2 d31 is positive in these ceramics, and less than a third of d33."""
    d33, d31 = (value(CERAMICS, row, f"charge_constant_{n}") for n in ("33", "31"))
    assert d31 < 0 < d33 + 2 * d31 < d33 / 3


def test_soft_types_have_more_permittivity_and_loss_and_a_lower_curie_temperature() -> None:
    order = ("navy-3", "navy-1", "navy-2", "navy-5", "navy-6")
    kappas = [value(CERAMICS, row, "permittivity") for row in order]
    assert kappas == sorted(kappas)
    hard, soft = order[:2], order[2:]
    losses = {row: value(CERAMICS, row, "loss_tangent") for row in order}
    assert max(losses[row] for row in hard) < min(losses[row] for row in soft)
    curie = [value(CERAMICS, row, "curie_temperature") for row in ("navy-2", "navy-5", "navy-6")]
    assert curie == sorted(curie, reverse=True)


# --- resins ---


def bulk_modulus(density: float, speed: float, shear: float) -> float:
    return density * speed**2 - 4 * shear / 3


@pytest.mark.parametrize("row", names(RESINS, "density", "sound_speed", "shear_modulus"))
def test_bulk_modulus_is_positive_everywhere_in_the_spread(row: str) -> None:
    """K = ρc² − 4G/3, at the worst corner of the spreads; 0.8 GPa to 8 GPa in the middle."""
    density, speed, shear = (
        ends(RESINS, row, n) for n in ("density", "sound_speed", "shear_modulus")
    )
    assert bulk_modulus(density[0], speed[0], shear[1]) > 0
    middle = bulk_modulus(
        *(value(RESINS, row, n) for n in ("density", "sound_speed", "shear_modulus"))
    )
    assert 0.8e9 < middle < 8e9


@pytest.mark.parametrize("row", names(RESINS, "density", "sound_speed", "shear_modulus", "poisson"))
def test_poisson_follows_from_speed_and_shear_modulus(row: str) -> None:
    """ν = (M − 2G)/(2(M − G)) with M = ρc², within 0.02 of print."""
    density, speed, shear = (
        value(RESINS, row, n) for n in ("density", "sound_speed", "shear_modulus")
    )
    plane = density * speed**2
    derived = (plane - 2 * shear) / (2 * (plane - shear))
    assert derived == pytest.approx(value(RESINS, row, "poisson"), abs=0.02)


@pytest.mark.parametrize("row", names(RESINS, "impedance"))
def test_impedance_is_density_times_speed(row: str) -> None:
    derived = value(RESINS, row, "density") * value(RESINS, row, "sound_speed")
    low, high = ends(RESINS, row, "impedance")
    assert low <= derived <= high


def test_attenuation_per_wavelength_of_the_open_list() -> None:
    """0.04 Np per wavelength at 2610 m/s and 100 kHz is 13.3 dB/m: 1 Np is 8.686 dB."""
    for row, nepers in (("epoxy-stiff", 0.04), ("acrylic", 0.0253), ("pvc-hard", 0.0641)):
        wavelength = value(RESINS, row, "sound_speed") / 100e3
        derived = nepers * 20 / log(10) / wavelength
        assert derived == pytest.approx(value(RESINS, row, "attenuation"), rel=0.04)


def test_shear_modulus_of_the_soft_resin_from_its_hardness() -> None:
    """lg E = 0.0235 S − 0.6403 in MPa, and G = E/3 for a rubber, at Shore A 75."""
    shear = 10 ** (0.0235 * 75 - 0.6403) / 3 * 1e6
    for row in ("polyurethane-soft", "polyurethane-sonar"):
        assert shear == pytest.approx(value(RESINS, row, "shear_modulus"), rel=0.01)


# --- waters ---

WATER_STATES = {
    "fresh-0": (0, 0), "fresh-4": (0, 4), "fresh-10": (0, 10), "fresh-20": (0, 20),
    "brackish-10": (10, 10),
    "sea-0": (35, -1), "sea-4": (35, 4), "sea-10": (35, 10), "sea-20": (35, 20),
}  # fmt: skip


def state(row: str, pressure: float = 0.0) -> tuple[float, float]:
    """Density and sound speed by the TEOS-10 toolbox."""
    practical, temperature = WATER_STATES[row]
    absolute = practical * 35.16504 / 35
    conservative = gsw.CT_from_t(absolute, temperature, pressure)
    density = gsw.rho(absolute, conservative, pressure)
    return float(density), float(gsw.sound_speed(absolute, conservative, pressure))


@pytest.mark.parametrize("row", [row.name for row in WATERS.rows])
def test_waters_are_those_of_the_toolbox(row: str) -> None:
    density, speed = state(row)
    assert value(WATERS, row, "density") == pytest.approx(density, abs=0.006)
    assert value(WATERS, row, "sound_speed") == pytest.approx(speed, abs=0.06)


@pytest.mark.parametrize(
    ("row", "speed"), [("fresh-4", 1422), ("fresh-10", 1447.2), ("fresh-20", 1482.3)]
)
def test_fresh_water_agrees_with_printed_tables(row: str, speed: float) -> None:
    """1422 m/s: table after Greenspan and Tschiegg; the others: after Kaye and Laby, page E.3."""
    assert value(WATERS, row, "sound_speed") == pytest.approx(speed, abs=0.5)


@pytest.mark.parametrize("row", [row.name for row in WATERS.rows])
def test_a_hundred_metres_change_little(row: str) -> None:
    """As the table's note says: below 0.06 % of the density and 1.7 m/s."""
    (density, speed), (deep_density, deep_speed) = state(row), state(row, 100.0)
    assert 0 < deep_density / density - 1 < 0.0006
    assert 0 < deep_speed - speed < 1.7


# --- cables ---


@pytest.mark.parametrize(
    ("row", "impedance", "velocity"),
    [
        ("coax-50", 50, 0.66),
        ("coax-50-foam", 50, 0.88),
        ("coax-75", 75, 0.659),
        ("coax-75-foam", 75, 0.80),
        ("coax-ptfe-low-noise", 50, 0.694),
        ("data-pair", 98.369783, 0.681182),
    ],
)
def test_capacitance_follows_from_impedance_and_velocity(
    row: str, impedance: float, velocity: float
) -> None:
    """C = 1/(Z v) for any line, within 1.5 % of print."""
    derived = 1 / (impedance * velocity * LIGHT)
    assert derived == pytest.approx(value(CABLES, row, "capacitance_per_metre"), rel=0.015)


@pytest.mark.parametrize(
    ("row", "ratio", "lowest", "highest"),
    [("instrument", 3, 1e11, 1e13), ("coax-50", 3.4, 1e13, 1e16)],
)
def test_leakage_follows_from_the_resistivity_of_the_insulation(
    row: str, ratio: float, lowest: float, highest: float
) -> None:
    """R = ρ ln(D/d)/(2πL) for 10 m, within 5 %: the rounding of the spread."""
    low, high = ends(CABLES, row, "leakage_resistance")
    for resistivity, limit in ((lowest, low), (highest, high)):
        derived = resistivity * log(ratio) / (2 * pi * 10)
        assert derived == pytest.approx(limit, rel=0.05)


# --- amplifiers ---


@pytest.mark.parametrize("row", names(AMPLIFIERS, "current_noise"))
def test_current_noise_is_the_shot_noise_of_a_likely_input_current(row: str) -> None:
    """i² = 2qI: FET inputs leak 1 pA or less to 1 nA, bipolar ones take 10 nA to 10 µA."""
    current = value(AMPLIFIERS, row, "current_noise") ** 2 / (2 * CHARGE)
    low, high = (1e-8, 1e-5) if row.startswith("bipolar") else (1e-14, 1e-9)
    assert low < current < high


def test_corner_of_the_single_jfet_from_its_two_printed_values() -> None:
    """e² = e0² (1 + fc/f): 1.5 nV/√Hz at 10 Hz over 1.3 nV/√Hz."""
    corner = 10 * ((1.5 / 1.3) ** 2 - 1)
    assert corner == pytest.approx(value(AMPLIFIERS, "jfet-discrete", "noise_corner"), rel=0.01)
