"""The table of case materials: sources, and physics that ties one cell to another."""

import re

import pytest

from calculators import units
from calculators.tables import UNPUBLISHED
from calculators.tables.case_materials import CASE_MATERIALS
from site_src import bibliography

ROWS = [row.name for row in CASE_MATERIALS.rows]
METALS = ("en-aw-6082-t6", "en-aw-5754", "stainless-1-4404", "titanium-grade-2", "brass")
BY_STRAIN = ("polycarbonate", "abs", "pom-c", "pp", "pa66")


def value(row: str, column: str) -> float:
    """A cell in SI."""
    unit = CASE_MATERIALS.columns_by_name[column].unit
    return units.parse(CASE_MATERIALS.cell(row, column).value, unit, name=column, label=column)


@pytest.mark.parametrize("row", CASE_MATERIALS.rows, ids=ROWS)
def test_every_cell_has_a_source_that_can_be_found(row):
    """A published value also says where it stands."""
    known = bibliography.load()
    for cell in row.cells.values():
        assert cell.source in UNPUBLISHED or (cell.source in known and cell.where)


@pytest.mark.parametrize("row", CASE_MATERIALS.rows, ids=ROWS)
def test_rows_are_kinds_and_not_products(row):
    """No letters with a number run on."""
    said = f"{row.label} {row.note} " + " ".join(c.note for c in row.cells.values())
    assert not re.search(r"[A-Z]{2,}-?\d{2,}", said), said


@pytest.mark.parametrize("row", ROWS)
def test_values_are_those_of_solids(row):
    """Creep only softens, a working stress lies below the strength, 0 < ν < 1/2."""
    assert value(row, "long_term_modulus") <= value(row, "modulus")
    assert value(row, "working_stress") < value(row, "yield_strength")
    assert 0 < value(row, "poisson") < 0.5
    assert 800 < value(row, "density") < 9000
    assert 1e-6 < value(row, "expansion") < 2e-4


@pytest.mark.parametrize("row", METALS)
def test_metals_do_not_creep(row):
    """Both columns say the same."""
    assert value(row, "long_term_modulus") == value(row, "modulus")


@pytest.mark.parametrize("row", BY_STRAIN)
def test_working_stress_of_half_a_per_cent(row):
    """The stress that the creep modulus turns into 0.5 % of strain, within rounding."""
    strain = value(row, "working_stress") / value(row, "long_term_modulus")
    assert strain == pytest.approx(0.005, rel=0.03)
