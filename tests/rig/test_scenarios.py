"""The rigs of the five deployments: whole, passed or failed as told, at one with their examples."""

from collections.abc import Iterator
from functools import cache

import pytest

from calculators.declare import Calculator, row_of
from calculators.fills import expand
from calculators.registry import CALCULATORS
from calculators.rig.change import changes
from calculators.rig.graph import evaluate_rig
from calculators.rig.model import Stated, read_entry
from calculators.rig.requirements import open_questions, requirements, worst
from calculators.rig.schema import ENTRIES
from site_src.examples import FOLDER
from site_src.toml_folder import once
from tests.rig.scenarios import FOLDER as RIGS
from tests.rig.scenarios import NAMES, evaluated, scenario

EXAMPLES = {
    "tarn": ("tarn-",),
    "weir-pool": ("weir-",),
    "under-ice": ("under-ice-", "ice-"),
    "eelgrass": ("eelgrass-", "pool-soak"),
    "hand-held": ("hand-held-",),
}
"""Which worked examples belong to a rig, by how their names begin."""

FIRST = {
    "under-ice-first": ("under-ice-noise-first", "under-ice-power-first", "under-ice-fog"),
    "eelgrass-first": ("eelgrass-noise-first", "eelgrass-levels-first", "pool-soak",
                       "eelgrass-fog", "eelgrass-tube"),
}  # fmt: skip
"""Rigs as they were first planned, and the examples that failed as they do."""

REBUILT = {
    "tarn-rebuilt": {
        "cable.pull", "cable.side_pull", "case.lid_thickness", "seals.cable_resin_modulus",
        "ballast.part.1.mass", "ballast.part.1.volume", "ballast.part.1.height",
        "site.water_depth", "plan.distance",
    },
}  # fmt: skip
"""Rigs that were rebuilt, and what was; the rest is that of the rig which they were before."""

MISSED = {
    "under-ice-first": {
        "shallow-cutoff.cutoff_frequency",
        "corner-frequency.combined_corner",
        "deployment-window.battery_time_used",
    },
    "eelgrass-first": {"leak-budget.unseen_ingress", "level-chain.clip_level"},
}
"""What is missed, as the pages of these rigs tell. Each follows from an example that fails."""

CHANGES = "what it changes is what it is for"
VARIANTS = {
    "tarn-trial": "the level of ten minutes",
    "tarn-gain-low": CHANGES,
    "tarn-line-input": CHANGES,
    "tarn-insertion": "one channel, measured for its calibration",
    "tarn-insertion-capacitor": "one channel, measured for its calibration",
    "tarn-static": "one channel, measured for its calibration",
    "tarn-comparison-bubble": "one channel, measured for its calibration",
    "tarn-comparison": "one channel, measured for its calibration",
    "tarn-mud": "a grunt too far off and too low for this water",
    "tarn-mud-high": "the same from as far, high enough",
    "tarn-sand": "the inlet end of the tarn",
    "tarn-toad": "a hydrophone at another depth",
    "tarn-toad-shallow": "a hydrophone at another depth",
    "tarn-element-exposed": CHANGES,
    "tarn-element-flooded": CHANGES,
    "tarn-element-soft": CHANGES,
    "tarn-greased-silicone": CHANGES,
    "tarn-against-ice": "carried to another lake, in winter",
    "tarn-fog": CHANGES,
    "tarn-contents": CHANGES,
    "tarn-lid-hour": CHANGES,
    "tarn-sound-speed": "an afternoon in August",
    "tarn-absorption": "a summer's night",
    "tarn-range-quiet": CHANGES,
    "tarn-range-chorus": CHANGES,
    "tarn-range-frog": CHANGES,
    "tarn-card-fast": CHANGES,
    "tarn-window-nights": CHANGES,
    "weir-cable-ptfe": CHANGES,
    "weir-cable-etched": CHANGES,
    "weir-cable-no-relief": CHANGES,
    "weir-old-ring": CHANGES,
    "weir-thin-ring": CHANGES,
    "weir-tube-open": CHANGES,
    "weir-tube-solid": CHANGES,
    "weir-tube-stiff": CHANGES,
    "weir-tube-flooded": CHANGES,
    "weir-noise-solid": CHANGES,
    "weir-bore": "the bore of the element taken as a mould",
    "under-ice-fog": CHANGES,
    "under-ice-noise-first": CHANGES,
    "under-ice-noise-smaller": CHANGES,
    "under-ice-noise-resistor": CHANGES,
    "under-ice-power-first": CHANGES,
    "under-ice-power-warm": CHANGES,
    "under-ice-power-cutoff": CHANGES,
    "under-ice-power-double": CHANGES,
    "under-ice-power-bank": CHANGES,
    "ice-sound-speed": "the shallows, where low calls do not carry",
    "eelgrass-boat": "a boat, from farther off",
    "eelgrass-card-crayfish": CHANGES,
    "eelgrass-card-porpoise": CHANGES,
    "eelgrass-card-porpoise-mono": CHANGES,
    "eelgrass-noise-first": CHANGES,
    "eelgrass-levels-first": CHANGES,
    "eelgrass-fog": CHANGES,
    "eelgrass-short-line": CHANGES,
    "eelgrass-floating": CHANGES,
    "eelgrass-clocks": "the clock before its rate was measured",
    "eelgrass-epoxy": CHANGES,
    "eelgrass-water": "the same mould, weighed with water",
    "eelgrass-five-pours": CHANGES,
    "eelgrass-tube": CHANGES,
    "eelgrass-tube-hour": CHANGES,
    "eelgrass-absorption": "another sound",
    "eelgrass-porpoise-range": "another sound",
    "pool-soak": CHANGES,
    "pool-soak-balance": CHANGES,
    "pool-soak-line": "the second test, after the vacuum",
    "pool-soak-hold-wet": CHANGES,
    "pool-soak-bubbles": CHANGES,
}
"""Examples that differ from their rig on purpose, and why."""

ASKED = "what is asked of the rig as a whole; an example may ask for less or more"
NOISE = "the front end's noise is asked about at other frequencies, too"
WEATHER = "its spread counts for the leak budget alone"
SEASON = "an example names the water of its own day"
MAY_DIFFER = {
    ("tarn", "plan.lowest_wanted"): "its own slow sounds are near; calls come from 300 Hz up",
    ("tarn", "plan.highest_wanted"): ASKED,
    ("tarn", "plan.distance"): ASKED,
    ("tarn", "plan.duration"): "three days, rounded up",
    ("tarn", "plan.source_frequency"): NOISE,
    ("tarn", "recorder.band_high"): "the noise was asked about up to 20 kHz",
    ("tarn", "site.air_pressure"): WEATHER,
    ("tarn", "site.coldest_temperature"): "known to a degree; the ring's example names it exactly",
    ("tarn", "site.water_depth"): "its spread counts for the cut-off alone",
    ("tarn", "site.water_temperature"): SEASON,
    ("tarn", "front_end.bias_resistance"): "its spread counts nothing there",
    ("weir-pool", "plan.lowest_wanted"): "below it the pool carries nothing",
    ("under-ice", "plan.hydrophone_depth"): ASKED,
    ("under-ice", "plan.source_frequency"): NOISE,
    ("under-ice", "recorder.band_low"): "the noise was asked about from 100 Hz",
    ("under-ice", "recorder.band_high"): "the noise was asked about up to 12 kHz",
    ("under-ice", "site.water_temperature"): "that of the board, which stands on the ice",
    ("eelgrass", "front_end.noise_density_level"): "rounded up there: below the sea by far",
    ("eelgrass", "plan.depth"): "its spread is left out there",
    ("eelgrass", "plan.distance"): ASKED,
    ("eelgrass", "plan.highest_wanted"): ASKED,
    ("eelgrass", "plan.hydrophone_depth"): "there at high water",
    ("eelgrass", "plan.lowest_wanted"): "below it low water carries little; the chain hears more",
    ("eelgrass", "plan.wanted_time_accuracy"): "half a second was given up; the page says why",
    ("eelgrass", "site.air_pressure"): WEATHER,
    ("eelgrass", "site.coldest_temperature"): "the ring is asked for two degrees more",
    ("eelgrass", "site.water_depth"): "there at high water",
    ("eelgrass", "site.water_temperature"): SEASON,
}  # fmt: skip
"""Entries in which examples may differ from their rig, and why."""

FINAL = sorted(EXAMPLES)


def test_every_rig_is_looked_at():
    assert set(NAMES) == {*FINAL, *FIRST, *REBUILT}


@pytest.mark.parametrize("name", NAMES)
def test_every_question_has_an_answer_or_is_not_this_rigs(name):
    assert [node.card.id for node in open_questions(evaluated(name))] == []
    answered = {n.card.id for n in evaluated(name).values() if n.card.in_rig and n.results}
    required = {card.id for card in CALCULATORS.values() if card.in_rig}
    assert answered == required - scenario(name).without


@pytest.mark.parametrize("name", NAMES)
def test_a_question_is_left_out_with_a_reason(name):
    """In the file: a comment above the first of those it belongs to."""
    text = (RIGS / f"{name}.toml").read_text(encoding="utf-8")
    inside = text.split("without = [\n")[1].split("]")[0].splitlines()
    assert inside[0].strip().startswith("# ")
    assert {line.strip(' ",') for line in inside if '"' in line} == scenario(name).without


@pytest.mark.parametrize("name", FINAL)
def test_a_rig_of_the_scenario_misses_nothing(name):
    rows = requirements(evaluated(name))
    assert [row.name for row in rows if row.level == "fail"] == []
    assert worst(rows, evaluated(name), scenario(name).without) in ("good", "care")


@pytest.mark.parametrize("name", FIRST)
def test_a_first_plan_misses_what_its_page_tells(name):
    rows = requirements(evaluated(name))
    assert {row.name for row in rows if row.level == "fail"} == MISSED[name]
    assert worst(rows, evaluated(name), scenario(name).without) == "fail"


@cache
def tables() -> dict:
    """The worked examples as they are written."""
    return once(FOLDER)


def entries_of(example: str) -> Iterator[tuple[str, Stated]]:
    """What an example states, by the entry of a rig that it stands for."""
    table = tables()[example]
    card: Calculator = CALCULATORS[table["calculator"]]
    given = expand(card, table.get("inputs", {}))
    inputs = card.shape(given).inputs
    for name, text in given.items():
        if inputs[name].rig:
            entry = ENTRIES[inputs[name].rig]
            key = entry.key(row_of(name, inputs[name].name))
            yield key, read_entry(key, text)


def same(first: Stated, second: Stated) -> bool:
    """One value with one tolerance, however they are written."""
    return first.value == second.value and _ends(first) == _ends(second)


def _ends(stated: Stated) -> tuple:
    tolerance = stated.tolerance
    return tolerance.ends(float(stated.value)) if tolerance else (stated.value, stated.value)


def differing(rig: str, example: str) -> set[str]:
    """Entries that the rig and the example both state, and not alike."""
    stated = scenario(rig).stated
    return {k for k, own in entries_of(example) if k in stated and not same(own, stated[k])}


def belonging(rig: str) -> list[str]:
    """The rig's worked examples."""
    return [name for name in tables() if name.startswith(EXAMPLES[rig])]


@pytest.mark.parametrize("rig", FINAL)
def test_a_rig_and_its_examples_state_the_same(rig):
    allowed = {entry for r, entry in MAY_DIFFER if r == rig}
    found = {name: differing(rig, name) - allowed for name in belonging(rig)}
    assert {n: keys for n, keys in found.items() if keys and n not in VARIANTS} == {}


@pytest.mark.parametrize("rig", FINAL)
def test_an_exception_is_one(rig):
    """The lists hold nothing that agrees after all, or is gone."""
    names = belonging(rig)
    found = {name: differing(rig, name) for name in names}
    mine = {name for name in VARIANTS if name.startswith(EXAMPLES[rig])}
    assert {name for name in mine if not found[name]} == set()
    rest = set().union(*(found[name] for name in names if name not in VARIANTS))
    assert {entry for r, entry in MAY_DIFFER if r == rig} == rest


def test_there_is_much_to_compare():
    """The prefixes still find examples, and these still state entries."""
    for rig in FINAL:
        shared = [k for name in belonging(rig) for k, _ in entries_of(name)]
        assert len(set(shared) & set(scenario(rig).stated)) >= 10, rig


@pytest.mark.parametrize("name", FIRST)
def test_a_first_plan_is_that_of_the_examples_that_failed(name):
    rig = name.removesuffix("-first")
    allowed = {entry for r, entry in MAY_DIFFER if r == rig}
    found = {example: differing(name, example) - allowed for example in FIRST[name]}
    assert {example: keys for example, keys in found.items() if keys} == {}


@pytest.mark.parametrize("name", FIRST)
def test_a_first_plan_differs_from_the_mended_rig_in_a_few_entries(name):
    first, mended = scenario(name), scenario(name.removesuffix("-first"))
    both = first.stated.keys() & mended.stated.keys()
    changed = {key for key in both if not same(first.stated[key], mended.stated[key])}
    assert 5 <= len(changed) <= 15
    assert first.without == mended.without


@pytest.mark.parametrize("name", REBUILT)
def test_a_rebuilt_rig_holds_everywhere_and_differs_in_what_was_rebuilt(name):
    """It is what a reader sees first: nothing fails, nothing is unsure."""
    rig, nodes, before = scenario(name), evaluated(name), scenario(name.removesuffix("-rebuilt"))
    assert worst(requirements(nodes), nodes, rig.without) == "good"
    assert rig.without == before.without
    assert rig.stated.keys() == before.stated.keys()
    changed = {key for key in rig.stated if not same(rig.stated[key], before.stated[key])}
    assert changed == REBUILT[name]


def test_only_to_want_less_mends_the_place_under_the_ice():
    """As the page says: no part of the rig moves the cut-off of two metres of water."""
    rig, nodes = scenario("under-ice-first"), evaluated("under-ice-first")
    found = list(changes(rig, nodes, "shallow-cutoff.cutoff_frequency"))
    assert [set(change.stated) for change in found] == [{"plan.lowest_wanted"}]


@pytest.mark.parametrize(("recorder", "clips"), [("32 dB", True), ("12 dB", False)])
def test_gain_in_front_is_paid_for_behind(recorder, clips):
    """As the page says: 20 dB more in the front end clip the crack, unless the recorder gives."""
    rig = scenario("under-ice-first")
    for key, text in (("front_end.gain", "20 dB"), ("recorder.gain", recorder)):
        rig = rig.keep(key, read_entry(key, text))
    rows = {row.name: row for row in requirements(evaluate_rig(rig))}
    assert (rows["level-chain.clip_level"].level == "fail") is clips


def test_one_ring_in_the_tube_is_what_the_meadow_asks_for():
    """As the page says: half the free length lifts the limit of the tube beyond the plan."""
    key = "case.tube_length"
    rig = scenario("eelgrass-first").keep(key, scenario("eelgrass").stated[key])
    levels = {
        which: next(
            r.level for r in requirements(nodes) if r.name == "tube-under-pressure.depth_limit"
        )
        for which, nodes in (("first", evaluated("eelgrass-first")), ("ring", evaluate_rig(rig)))
    }
    assert levels == {"first": "care", "ring": "good"}
