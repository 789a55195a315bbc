"""The evidence: every check passes, and every public formula has one from outside."""

import pytest

from calculators.formula import FORMULAS
from calculators.registry import TABLES
from calculators.tables import UNPUBLISHED
from site_src.bibliography import load as load_bibliography
from site_src.evidence import (
    formulas_without_outside_check,
    load,
    load_missing,
    one_sided,
    run,
)

CHECKS = load()


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.id)
def test_the_check_holds(check):
    """Expected value, tolerance and source stand in tests/evidence."""
    result = run(check)
    assert result.passed, (
        f"{check.formula or check.calculator}: {result.obtained!r} where {check.expected!r} "
        f"± {check.allowed:g} was expected ({check.source or check.tool})"
    )


def test_every_public_formula_has_a_check_from_outside():
    """The gate of the project: no formula without evidence that is not ours."""
    assert formulas_without_outside_check() == []


def test_every_formula_has_both_kinds_of_evidence_or_says_which_it_lacks():
    """A published number, and one found another way; a gap is declared beside the checks."""
    assert one_sided(CHECKS, load_missing()) == []


def test_every_source_named_is_in_the_bibliography():
    """Sources of formulas, of checks and of every cell of a table resolve to a full citation."""
    known = set(load_bibliography())
    named = {key for formula in FORMULAS.values() for key in formula.sources}
    named |= {check.source for check in CHECKS if check.source}
    cells = [c for table in TABLES.values() for row in table.rows for c in row.cells.values()]
    named |= {cell.source for cell in cells if cell.source not in UNPUBLISHED}
    assert named - known == set()
