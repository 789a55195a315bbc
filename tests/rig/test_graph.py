"""What follows from a rig is what its calculators say one by one, and nothing is guessed."""

import pytest
from hypothesis import given, settings

from calculators.evaluate import asked, evaluate
from calculators.rig.form import fill, kept, sections_json
from calculators.rig.graph import ORDER, evaluate_rig
from calculators.rig.model import Rig, Stated, read_entry
from calculators.rig.requirements import open_questions, requirements
from calculators.rig.schema import ENTRIES
from calculators.tolerance import spread
from calculators.units import Tolerance
from tests.rig.made import parts_of_it, whole_rig
from tests.rig.scenarios import scenario

WHOLE = whole_rig()
NODES = evaluate_rig(WHOLE)


@pytest.mark.parametrize("name", [card.id for card in ORDER])
def test_a_rig_evaluated_is_its_calculators_evaluated_one_by_one(name):
    node = NODES[name]
    assert node.missing == ()
    assert node.refused == ()
    results = evaluate(node.card, node.given.values)
    alone = spread(node.card, node.given.values, node.given.spans, results)
    assert node.results == results
    assert (node.spread.low, node.spread.high) == (alone.low, alone.high)


@pytest.mark.parametrize("name", [card.id for card in ORDER])
def test_an_input_has_what_the_rig_states_or_what_another_calculator_gave(name):
    node = NODES[name]
    for key, entry in node.stated.items():
        assert node.given.values[key] == WHOLE.stated[entry].value
        assert node.given.tolerances.get(key) in (WHOLE.stated[entry].tolerance, None)
    for key, place in node.derived.items():
        assert node.given.values[key] == NODES[place.card].results[place.name]
    assert {*node.stated, *node.derived} | {*node.usual} >= {
        key
        for key, item in node.shape.inputs.items()
        if asked(node.card, key, item, node.given.values)
    }


def test_a_range_is_handed_on():
    """What one calculator gives with a range reaches the next with just that range."""
    handed = [(n, key, place) for n in NODES.values() for key, place in n.derived.items()]
    assert handed
    for node, key, place in handed:
        ends = NODES[place.card].spread
        if key in node.given.spans:
            low, high = node.given.spans[key]
            assert low == pytest.approx(ends.low[place.name], rel=1e-12, abs=1e-300)
            assert high == pytest.approx(ends.high[place.name], rel=1e-12, abs=1e-300)
        elif asked(node.card, key, node.shape.inputs[key], node.given.values):
            assert ends.low[place.name] == ends.high[place.name]


@given(parts_of_it())
@settings(max_examples=25)
def test_what_is_not_stated_is_named_and_never_guessed(rig):
    nodes = evaluate_rig(rig)
    for node in nodes.values():
        lacking = [
            key
            for key, item in node.shape.inputs.items()
            if item.rig
            and asked(node.card, key, item, node.given.values)
            and key not in node.stated
            and key not in node.derived
        ]
        assert bool(lacking) == bool(node.missing)
        if node.missing:
            assert node.results is None
            assert all(entry not in rig.stated for entry in node.missing)
        elif not node.refused:
            assert node.results == evaluate(node.card, node.given.values)
    rows = {row.node.card.id for row in requirements(nodes)}
    assert rows.isdisjoint(node.card.id for node in open_questions(nodes))


@given(parts_of_it())
@settings(max_examples=15)
def test_what_is_kept_from_before_changes_nothing(rig):
    again = evaluate_rig(rig, NODES)
    fresh = evaluate_rig(rig)
    for name, node in fresh.items():
        assert again[name].results == node.results
        assert again[name].given == node.given


def test_a_calculator_that_a_change_does_not_reach_stays_the_very_same():
    """And a row more, another source of a value, or a question less is reached."""
    deeper = evaluate_rig(WHOLE.keep("plan.depth", Stated(7.0)), NODES)
    assert deeper["corner-frequency"] is NODES["corner-frequency"]
    assert deeper["cable-seal"] is not NODES["cable-seal"]

    for changed in (
        WHOLE.keep("power.supply.2.capacity", WHOLE.stated["power.supply.1.capacity"]),
        WHOLE.drop("site.water_temperature"),
        Rig(WHOLE.name, WHOLE.stated, without=frozenset({"cable-seal"})),
    ):
        again = evaluate_rig(changed, NODES)
        assert again == evaluate_rig(changed)
        assert evaluate_rig(WHOLE, again) == NODES


def test_rows_are_as_many_as_the_highest_that_is_stated():
    """Also once a row has come, or gone, that was not there before."""
    rig = scenario("tarn")
    assert (rig.rows("power.supply"), rig.rows("case.part"), rig.rows("none")) == (2, 6, 1)
    more = rig.keep("power.supply.3.capacity", read_entry("power.supply.3.capacity", "5 Ah"))
    assert (more.rows("power.supply"), more.rows("case.part")) == (3, 6)
    assert more.drop("power.supply.3.capacity").rows("power.supply") == 2


def test_what_is_stated_goes_before_what_is_worked_out():
    given_by = next(e for e in ENTRIES.values() if e.gives and not e.rows)
    place, use = given_by.gives, given_by.uses[0]
    worked_out = NODES[place.card].results[place.name]
    measured = Stated(worked_out * 1.0001)
    nodes = evaluate_rig(WHOLE.keep(given_by.path, measured))
    assert nodes[use.card].given.values[use.name] == measured.value
    assert use.name in nodes[use.card].stated


def test_an_empty_rig_has_no_answers_and_says_what_is_not_stated():
    nodes = evaluate_rig(Rig("Nothing yet"))
    assert requirements(nodes) == []
    for node in open_questions(nodes):
        assert node.missing


def test_the_mooring_holds_what_the_case_weighs_and_not_what_was_wished():
    """The tarn's box with two fifths of its volume is heavier than wanted without any ballast."""
    rig = scenario("tarn")
    assert moored(rig) == rig.stated["ballast.wanted_weight"].value
    volume = rig.stated["ballast.part.1.volume"]
    heavy = rig.keep("ballast.part.1.volume", Stated(0.4 * float(volume.value), volume.tolerance))
    assert moored(heavy) == evaluate_rig(heavy)["ballast"].results["present_weight"]
    weighed = heavy.keep("ballast.weight", Stated(1.9))
    assert moored(weighed) == 1.9


def moored(rig):
    """The weight of the case that the mooring reckons with."""
    return evaluate_rig(rig)["mooring-load"].given.values["case_weight"]


OWN, SITE = "power.supply.1.temperature", "site.water_temperature"


def test_cells_of_no_stated_temperature_are_as_warm_as_the_water():
    """With its tolerance; a temperature of their own comes first, an answer last."""
    rig = scenario("tarn").keep(SITE, Stated(7.0, Tolerance("", 2.0, 2.0, relative=False)))
    assert runtime(rig).stated["temperature"] == OWN
    rig = rig.drop(OWN)
    node = runtime(rig)
    assert node.results is not None
    assert node.stated["temperature"] == SITE
    assert node.given.spans["temperature"] == (5.0, 9.0)
    node = runtime(rig.drop(SITE))
    assert node.results is not None
    assert node.derived["temperature"].card == "sound-speed"
    node = runtime(rig.drop(SITE).drop("site.surface_temperature"))
    assert node.results is None
    assert node.missing == (OWN,)


def test_what_holds_for_it_is_shown_at_the_entry_that_is_not_stated():
    rig = scenario("tarn").keep(SITE, Stated(7.0)).drop(OWN)
    shown = {
        entry["name"]: entry
        for section in sections_json(rig, evaluate_rig(rig), "metric")
        for entry in section["entries"]
    }
    assert shown[OWN]["derived"] == {
        "calculator": "",
        "entry": "Temperature of the water",
        "text": "7\u00a0°C",
    }
    assert shown[OWN]["asked"]
    assert shown[SITE]["asked"]


def test_a_supply_that_goes_from_the_form_leaves_the_water_as_it_is():
    """The water's temperature stands in its row, but is no entry of it."""
    rig = scenario("tarn").drop("power.supply.2.temperature")
    node = runtime(rig)
    assert node.stated["temperature_2"] == SITE
    fields = fill(node, "metric")["fields"]
    inputs = node.shape.inputs
    left = {k: fields.get(k, i.default) for k, i in inputs.items() if not k.endswith("_2")}
    changes = kept(node.card, node, left, {}, "metric")
    assert SITE not in changes
    assert changes["power.supply.2.capacity"] is None


def runtime(rig):
    """The calculator that asks how warm the cells are."""
    return evaluate_rig(rig)["runtime"]


def test_the_noise_of_the_chain_is_worked_out_where_the_sound_wanted_lies():
    """The tarn's own number was read from the front end's calculator at this frequency."""
    rig = scenario("tarn").drop("front_end.noise_density_level")
    node = evaluate_rig(rig)["listening-range"]
    assert node.results is not None
    assert node.derived["own_level"].card == "front-end-noise"
    told = scenario("tarn").stated["front_end.noise_density_level"].value
    assert node.given.values["own_level"] == pytest.approx(told, abs=0.05)
