"""What to change, and what ends a deployment first: claims are held against the whole rig."""

from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.declare import Number
from calculators.errors import InputError
from calculators.rig.bridge_ops import OPERATIONS
from calculators.rig.change import Change, changes, ordered, tried
from calculators.rig.ending import DURATION, ends
from calculators.rig.files import edit_rig, read_rig, write_rig
from calculators.rig.filled import filled_entries, fills_of
from calculators.rig.graph import Evaluated, evaluate_rig
from calculators.rig.model import Rig, Stated, read_entry
from calculators.rig.requirements import Requirement, requirements
from calculators.rig.schema import entry_of
from tests.rig.made import whole_rig

RANKS = {"fail": 0, "care": 1, "good": 2}
WHOLE = whole_rig()
NODES = evaluate_rig(WHOLE)
RIGS = Path(__file__).parents[2] / "docs" / "rigs"


def rows(nodes: Evaluated) -> dict[str, Requirement]:
    return {row.name: row for row in requirements(nodes)}


@cache
def mending(name: str) -> list[Change]:
    """What mends a requirement of the rig made from the declarations."""
    return ordered(list(changes(WHOLE, NODES, name)))


MISSED = [name for name, row in rows(NODES).items() if row.level != "good"]


def with_it(rig: Rig, change: Change) -> Rig:
    for key, stated in change.stated.items():
        rig = rig.keep(key, stated)
    return rig


def check_claim(rig: Rig, nodes: Evaluated, name: str, change: Change) -> None:
    """The whole rig, evaluated with the change, says the same."""
    before, after = rows(nodes), rows(evaluate_rig(with_it(rig, change), nodes))
    assert after[name].level == "good"
    assert name in {effect.name for effect in change.mends}
    levels = {key: (RANKS[row.level], RANKS[after[key].level]) for key, row in before.items()}
    assert {e.name for e in change.breaks} == {k for k, (a, b) in levels.items() if b < a}
    assert {e.name for e in change.mends} == {k for k, (a, b) in levels.items() if b > a}


@pytest.mark.parametrize("name", MISSED)
def test_no_change_is_claimed_that_does_not_hold(name):
    found = mending(name)
    for change in found[:1] + found[1:][-1:]:
        check_claim(WHOLE, NODES, name, change)
    assert [c.order for c in found] == sorted(c.order for c in found)
    assert found or tried(WHOLE, NODES, name)


WORSENED = {
    "lid-under-pressure.depth_limit": ("case.lid_thickness", 0.4, 0.95),
    "mooring-load.line_tension": ("mooring.line_strength", 0.01, 0.1),
    "ballast.flooded_mass": ("ballast.lift_limit", 0.2, 0.9),
    "level-chain.clip_level": ("recorder.full_scale", 0.01, 0.1),
}


@given(st.sampled_from(sorted(WORSENED)), st.floats(0, 1))
@settings(max_examples=6, deadline=None)
def test_a_rig_made_worse_is_mended_by_what_is_claimed(name, part):
    key, low, high = WORSENED[name]
    stated = WHOLE.stated[key]
    rig = WHOLE.keep(key, Stated(stated.value * (low + part * (high - low)), stated.tolerance))
    nodes = evaluate_rig(rig, NODES)
    row = rows(nodes).get(name)
    if row is None or row.level == "good":
        return
    found = list(changes(rig, nodes, name))
    assert key in {k for change in found for k in change.stated}
    mended = next(change for change in found if key in change.stated)
    check_claim(rig, nodes, name, mended)


LID = "lid-under-pressure.depth_limit"
"""The lid that may be too thin for its depth."""


def nearer(change: Change, old: float) -> float:
    """Nearer to what it was by one of the last digit of its text, and what a search may leave."""
    number = change.text.split()[0].replace("−", "-")
    grain = 10.0 ** -len(number.partition(".")[2]) / float(number) + 0.003
    [stated] = change.stated.values()
    return stated.value * (1 - grain) if stated.value > old else stated.value * (1 + grain)


def test_a_number_is_moved_no_farther_than_it_must_be():
    """One of the last digit less is not enough; the tolerance goes along."""
    numbers = [change for change in mending(LID) if change.size < 10]
    assert len(numbers) >= 3
    for change in numbers:
        [(key, stated)] = change.stated.items()
        old = WHOLE.stated[key]
        assert stated.tolerance == old.tolerance
        less = WHOLE.keep(key, Stated(nearer(change, old.value), old.tolerance))
        assert rows(evaluate_rig(less, NODES))[LID].level != "good", change.label


def test_less_wanted_is_said_to_be_so_and_comes_last():
    """To plan a shallower dive mends no lid, and takes none of the water away."""
    found = mending(LID)
    giving = [change for change in found if change.gives_way]
    assert [list(change.stated) for change in giving] == [["plan.depth"]]
    assert [effect.name for effect in giving[0].breaks] == ["mooring-load.deepest"]
    assert found[-1] is giving[0]


def test_a_level_is_lowered_by_just_what_is_missing():
    """The reserve rises by 1 dB for each dB of gain taken away."""
    exact = {key: Stated(stated.value) for key, stated in WHOLE.stated.items()}
    rig = Rig("Exact", exact)
    nodes = evaluate_rig(rig)
    missing = 3.37
    reserve = nodes["level-chain"].results["reserve"]
    more = reserve - exact["plan.headroom"].value + missing
    rig = rig.keep("plan.expected_peak", Stated(exact["plan.expected_peak"].value + more))
    nodes = evaluate_rig(rig)
    [change] = [
        change
        for change in changes(rig, nodes, "level-chain.reserve")
        if "recorder.gain" in change.stated
    ]
    lowered = exact["recorder.gain"].value - change.stated["recorder.gain"].value
    assert missing <= lowered <= missing + 1


def test_a_value_is_one_that_a_person_can_use():
    """Its text, typed, gives that very value, with four digits at the most."""
    for change in [change for name in MISSED for change in mending(name)]:
        for key, stated in change.stated.items():
            if change.size < 10:
                assert read_entry(key, change.text).value == stated.value
                digits = change.text.split()[0].replace(".", "").strip("−0")
                assert len(digits) <= 4


def test_a_page_is_told_in_words_and_can_make_the_change():
    """Made as it is told, entry by entry, the change mends what it says."""
    toml = write_rig(WHOLE)
    asked = {"toml": toml, "requirement": LID, "system": "metric"}
    answer = OPERATIONS["rig_changes"](asked)
    assert answer["none"] == ""
    assert [c["text"] for c in answer["changes"]] == [c.text for c in mending(LID)]
    first = answer["changes"][0]
    says = [change["says"] for change in answer["changes"]]
    assert "Thickness of the lid: 6.1\u00a0mm instead of 6\u00a0mm" in says
    assert any("is met then: " in text for text in first["mends"])
    for key, text in first["edits"].items():
        toml = edit_rig(toml, key, text)
    assert rows(evaluate_rig(read_rig(toml)))[LID].level == "good"


def test_a_page_is_told_what_was_tried_where_nothing_mends_it():
    name = next(name for name in MISSED if not mending(name))
    asked = {"toml": write_rig(WHOLE), "requirement": name, "system": "us"}
    answer = OPERATIONS["rig_changes"](asked)
    assert answer["changes"] == []
    assert answer["none"].startswith("No single change mends it. Tried: ")


def test_a_page_is_told_how_long_it_lasts():
    told = OPERATIONS["rig_ends"]({"toml": write_rig(WHOLE), "system": "metric"})["ends"]
    assert [end["name"] for end in told] == [end.name for end in ends(WHOLE, NODES)]
    assert all(end["text"].startswith(("met for", "not met")) for end in told)


def test_what_the_site_gives_is_never_changed():
    """Waves that break here are answered by nothing that a builder can choose."""
    rig = WHOLE.keep("site.wave_height", read_entry("site.wave_height", "3 m"))
    nodes = evaluate_rig(rig)
    assert rows(nodes)["mooring-load.breaking_height"].level == "fail"
    found = list(changes(rig, nodes, "mooring-load.breaking_height"))
    assert not [key for change in found for key in change.stated if key.startswith("site.")]


def test_where_nothing_mends_it_what_was_tried_is_named():
    nothing = [name for name in MISSED if not mending(name)]
    for name in nothing:
        assert tried(WHOLE, NODES, name)
    assert nothing


def test_a_material_is_changed_whole_and_its_properties_are_no_knobs():
    metals = [c for c in mending(LID) if "case.lid_modulus" in c.stated]
    assert metals
    for change in metals:
        assert set(change.stated) == {
            "case.lid_modulus",
            "case.lid_poisson",
            "case.lid_working_stress",
        }
    assert {"case.lid_modulus", "potting.resin_density"} <= filled_entries()
    assert "case.desiccant_mass" not in filled_entries()
    names = {key for fill in fills_of({"lid-under-pressure"}) for key in fill.entries}
    assert "site.water_density" not in names


def test_a_change_that_breaks_another_requirement_says_so():
    """More capacitance of the cable lowers the corner and takes signal."""
    rig = WHOLE.keep("plan.lowest_wanted", read_entry("plan.lowest_wanted", "3.5 Hz"))
    rig = rig.keep("cable.capacitance", read_entry("cable.capacitance", "480 pF"))
    nodes = evaluate_rig(rig)
    name = "corner-frequency.combined_corner"
    found = ordered(list(changes(rig, nodes, name)))
    [cable] = [change for change in found if "cable.capacitance" in change.stated]
    assert "corner-frequency.loading_loss" in {effect.name for effect in cable.breaks}
    assert all("short" in e.margin for e in cable.breaks if e.after == "fail")
    check_claim(rig, nodes, name, cable)
    assert found.index(cable) > 0
    assert not found[0].breaks


def test_what_is_met_needs_no_change_and_what_is_unknown_is_refused():
    good = next(name for name, row in rows(NODES).items() if row.level == "good")
    assert list(changes(WHOLE, NODES, good)) == []
    with pytest.raises(InputError, match="is no requirement with an answer"):
        list(changes(WHOLE, NODES, "lid-under-pressure.colour"))


def test_numbers_stay_in_what_every_calculator_accepts():
    for change in mending(LID):
        for key, stated in change.stated.items():
            item = entry_of(key)[0].item
            if isinstance(item, Number):
                assert item.low_si <= stated.value <= item.high_si


@pytest.mark.parametrize("name", ["tarn", "under-ice-first"])
def test_what_lasts_by_itself_ends_where_the_search_says(name):
    """Recorded around the clock, the batteries' time is the runtime, the card's the card's."""
    rig = read_rig((RIGS / f"{name}.toml").read_text())
    nodes = evaluate_rig(rig)
    found = {end.name: end for end in ends(rig, nodes)}
    for output, card, key in (
        ("battery_time_used", "runtime", "runtime"),
        ("scheduled_time", "recording-storage", "recording_time"),
    ):
        end, node = found[f"deployment-window.{output}"], nodes[card]
        assert end.nominal == pytest.approx(node.results[key], rel=2e-3)
        assert end.worst == pytest.approx(node.spread.low[key], rel=2e-3)


def test_an_end_is_where_the_requirement_turns():
    """A little earlier the rig meets it, a little later it does not: as it is, and at its worst."""
    found = ends(WHOLE, NODES)
    assert found
    assert [end.worst for end in found] == sorted(end.worst for end in found)
    exact = Rig("Exact", {key: Stated(stated.value) for key, stated in WHOLE.stated.items()})
    bare = evaluate_rig(exact)
    for end in found:
        assert end.worst <= end.nominal
        for rig, nodes, time in ((exact, bare, end.nominal), (WHOLE, NODES, end.worst)):
            if 0 < time < float("inf"):
                for part, good in ((0.999, True), (1.001, False)):
                    at = rig.keep(DURATION, Stated(time * part, rig.stated[DURATION].tolerance))
                    level = rows(evaluate_rig(at, nodes))[end.name].level
                    assert (level == "good") == good, (end, part)


def test_without_a_planned_duration_nothing_is_said_of_the_end():
    rig = WHOLE.drop(DURATION)
    assert ends(rig, evaluate_rig(rig)) == []
