"""Can the evidence fail? Each way in which a check may be wrong is shown to be noticed."""

import math

import pytest

from calculators.formula import FORMULAS
from site_src.evidence import (
    BadCheck,
    Check,
    Missing,
    Result,
    formulas_without_outside_check,
    load,
    one_sided,
    run,
)

CORNER = {
    "formula": "front_end.rc_corner",
    "inputs": {"resistance": 1.0, "capacitance": 1.0},
    "expected": 1 / (2 * math.pi),  # by hand: 1 / (2π · 1 · 1)
    "tolerance": {"rel": 1e-12},
    "why_tolerance": "closed form",
    "kind": "independent method",
    "tool": "by hand",
}


def check(**changes):
    return Check(id="made", **(CORNER | changes))


def test_a_right_value_passes_and_its_deviation_is_kept():
    """The deviation is what the ledger shows."""
    result = run(check())

    assert result.passed
    assert result.deviation == pytest.approx(0, abs=1e-15)


def test_a_value_just_outside_the_tolerance_fails():
    """1 % off where 0.9 % is allowed."""
    assert not run(check(expected=CORNER["expected"] * 1.01, tolerance={"rel": 0.009})).passed


def test_not_a_number_never_passes():
    """Every comparison with NaN is false, so the comparison must be the right way round."""
    assert not Result(check(tolerance={"abs": math.inf}), math.nan).passed


def test_zero_expected_is_compared_absolutely():
    """A relative tolerance of zero is no tolerance."""
    assert check(expected=0, tolerance={"rel": 0.5}).allowed == 0
    assert Result(check(expected=0), 1.0).relative is None


def test_a_calculator_is_checked_from_its_form_to_its_output():
    """Texts in, the first answer out: 1 / (2π · 10 MΩ · 10 nF) = 1.59155 Hz, by hand."""
    texts = {
        "element_capacitance": "10 nF",
        "cable_capacitance": "0 pF",
        "input_capacitance": "0 pF",
        "bias_resistance": "10 MΩ",
    }
    changes = {"formula": "", "calculator": "corner-frequency", "output": "input_corner"}
    whole = check(**changes, inputs=texts, expected=1.59155, tolerance={"abs": 5e-6})

    assert run(whole).passed


def test_an_unknown_output_is_refused_by_name():
    """A misspelt output must not look like a missing check."""
    changes = {"formula": "", "calculator": "corner-frequency", "output": "corner"}
    with pytest.raises(BadCheck, match="made: corner-frequency has no output “corner”"):
        run(check(**changes, inputs={}))


def write(tmp_path, **changes):
    row = CORNER | changes
    lines = [f"{name} = {_toml(value)}" for name, value in row.items() if value is not None]
    (tmp_path / "made.toml").write_text("[[check]]\n" + "\n".join(lines))
    return load(tmp_path)


def _toml(value):
    if isinstance(value, dict):
        return "{" + ", ".join(f"{k} = {_toml(v)}" for k, v in value.items()) + "}"
    return f'"{value}"' if isinstance(value, str) else repr(value)


def test_a_row_is_named_by_its_file_and_place(tmp_path):
    """So that a failure can be found."""
    (row,) = write(tmp_path)

    assert row.id == "made-1"
    assert row.from_outside


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"formula": "front_end.corner"}, "“front_end.corner” is not a formula"),
        ({"formula": None}, "names a formula or a calculator"),
        ({"calculator": "runtime"}, "names a formula or a calculator"),
        ({"kind": "seen somewhere"}, "kind “seen somewhere” is not one of"),
        ({"tolerance": {"relative": 0.1}}, "tolerance is"),
        ({"tolerance": {}}, "tolerance is"),
        ({"tool": None}, "names neither source nor tool"),
        ({"expceted": 1.0}, "expceted"),
        ({"expected": None}, "expected"),
    ],
)
def test_a_careless_row_is_refused_with_its_place(tmp_path, changes, message):
    """A check that is not run as meant proves nothing."""
    with pytest.raises(BadCheck, match=f"made-1: .*{message}"):
        write(tmp_path, **changes)


def test_a_formula_without_a_check_from_outside_is_reported():
    """Its own limit case does not count."""
    every = [check(formula=name) for name in FORMULAS]
    assert formulas_without_outside_check(every) == []

    every[0] = check(formula=every[0].formula, kind="limit")
    assert formulas_without_outside_check(every) == [every[0].formula]


def test_a_formula_with_one_kind_of_evidence_alone_is_named():
    """And a gap that is declared without need, too."""
    assert "front_end.rc_corner: no published check" in one_sided([], [])
    assert "front_end.rc_corner: no independent check" in one_sided([], [])

    needless = Missing(formula="front_end.rc_corner", kind="published", why="made")
    assert "front_end.rc_corner: “published” is said to be missing" in one_sided(load(), [needless])
