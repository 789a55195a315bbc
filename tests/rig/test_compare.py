"""Two rigs side by side: what differs, and what became better or worse."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.rig.compare import Compared, comparison_json, differing, side_by_side
from calculators.rig.graph import evaluate_rig
from calculators.rig.model import Rig, read_entry
from tests.rig.scenarios import evaluated, scenario

TARN = scenario("tarn")
NODES = evaluated("tarn")
KEYS = sorted(TARN.stated)
LID = "case.lid_thickness"


def changed(key: str, text: str) -> Rig:
    """The tarn's rig with one entry stated anew."""
    return TARN.keep(key, read_entry(key, text))


def compared(other: Rig) -> dict[str, Compared]:
    """Each requirement of the tarn's rig against this one."""
    return {row.either.name: row for row in side_by_side(NODES, evaluate_rig(other))}


def test_a_rig_beside_itself_differs_in_nothing():
    assert differing(TARN, TARN) == []
    rows = side_by_side(NODES, NODES)
    assert rows
    assert all(row.change == "same" for row in rows)


def test_an_entry_that_repeats_carries_the_number_of_its_row():
    """The cells of the second supply alone are colder."""
    colder = changed("power.supply.2.temperature", "-5 °C")
    found = comparison_json((TARN, NODES), (colder, evaluate_rig(colder)), "metric")
    assert [entry["label"] for entry in found["entries"]] == ["Temperature of the cells 2"]


@given(st.sets(st.sampled_from(KEYS), max_size=8))
@settings(max_examples=20)
def test_what_is_left_out_is_what_differs(gone):
    rest = Rig("Rest", {k: v for k, v in TARN.stated.items() if k not in gone})
    found = differing(TARN, rest)
    assert {key for key, _, _ in found} == gone
    assert all(before and not after for _, before, after in found)
    assert [(key, after, before) for key, before, after in found] == differing(rest, TARN)


def test_a_thicker_lid_is_better_and_a_thinner_one_worse():
    """Physics: a plate's deflection falls with its thickness, so its depth limit grows."""
    name = "lid-under-pressure.depth_limit"
    assert compared(changed(LID, "8 mm"))[name].change == "better"
    assert compared(changed(LID, "4 mm"))[name].change == "worse"


def test_what_a_change_does_not_touch_is_the_same():
    rows = compared(changed(LID, "8 mm"))
    untouched = [row for name, row in rows.items() if not name.startswith("lid-under-pressure.")]
    assert untouched
    assert all(row.change == "same" for row in untouched)


def test_one_rig_may_have_no_answer():
    name = "lid-under-pressure.depth_limit"
    without_thickness = TARN.drop(LID)
    assert compared(without_thickness)[name].change == "first only"
    back = side_by_side(evaluate_rig(without_thickness), NODES)
    assert {r.either.name: r for r in back}[name].change == "second only"


@pytest.mark.parametrize(("key", "text"), [(LID, "8 mm"), ("element.capacitance", "4 nF")])
def test_better_and_worse_change_places_with_the_rigs(key, text):
    other = changed(key, text)
    nodes = evaluate_rig(other)
    turned = {"better": "worse", "worse": "better", "same": "same"}
    forth = {r.either.name: r.change for r in side_by_side(NODES, nodes)}
    back = {r.either.name: r.change for r in side_by_side(nodes, NODES)}
    assert {name: turned[change] for name, change in forth.items()} == back
    assert set(forth.values()) > {"same"}


@pytest.mark.parametrize(
    ("key", "typed", "shown"),
    [
        ("element.voltage_constant_31", "-9 mV·m/N ± 12 %", "−9\u00a0mV·m/N ±12\u00a0%"),
        ("element.voltage_constant_31", "-9 mV·m/N +1/-2 %", "−9\u00a0mV·m/N +1/−2\u00a0%"),
        ("site.time_zone", "-3:30", "UTC−3:30"),
        ("plan.first_day", "2026-05-09", "2026-05-09"),
        ("plan.start_time", "18:30", "18:30"),
    ],
)
def test_a_stated_value_has_a_real_minus(key, typed, shown):
    """As answers have it; a date keeps its hyphens."""
    ((_, before, after),) = differing(TARN, changed(key, typed))
    assert (before != shown, after) == (True, shown)


def test_both_values_and_both_margins_are_told():
    other = changed(LID, "8 mm")
    found = comparison_json((TARN, NODES), (other, evaluate_rig(other)), "metric")
    (entry,) = found["entries"]
    assert entry["key"] == LID
    assert entry["texts"] == ["6\u00a0mm ±0.2\u00a0mm", "8\u00a0mm"]
    row = next(r for r in found["requirements"] if r["name"] == "lid-under-pressure.depth_limit")
    before, after = row["sides"]
    assert before["margin"] < after["margin"]
    assert before["margin_text"] != after["margin_text"]
