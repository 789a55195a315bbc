"""A rig asked again at other values gives what the whole rig gives there, to the last digit."""

from random import Random

import pytest

from calculators.declare import Number
from calculators.errors import InputError
from calculators.evaluate import evaluate, evaluate_apart
from calculators.registry import CALCULATORS
from calculators.rig.graph import evaluate_rig
from calculators.rig.model import Rig, Stated
from calculators.rig.plan import Plan, item_of, missed, part_label
from calculators.rig.requirements import requirements
from calculators.rig.schema import Place, entry_of
from calculators.units import Tolerance
from tests.rig.made import whole_rig

WHOLE = whole_rig()
NODES = evaluate_rig(WHOLE)
PLAN = Plan(WHOLE, NODES)
NUMBERS = [
    key
    for key, stated in WHOLE.stated.items()
    if isinstance(entry_of(key)[0].item, Number) and stated.tolerance
]
EXACT = Rig("Exact", {key: Stated(stated.value) for key, stated in WHOLE.stated.items()})


def drawn(random: Random, count: int) -> dict[str, float]:
    """Some entries with a tolerance, anywhere between its ends."""
    keys = random.sample(NUMBERS, count)
    ends = {key: WHOLE.stated[key].tolerance.ends(WHOLE.stated[key].value) for key in keys}
    return {key: random.uniform(*ends[key]) for key in keys}


def changed(rig: Rig, values: dict[str, float]) -> Rig:
    """The rig with these values, tolerances as they are."""
    for key, value in values.items():
        rig = rig.keep(key, Stated(value, rig.stated[key].tolerance))
    return rig


@pytest.mark.parametrize("count", [1, 3, 12, len(NUMBERS)])
def test_it_gives_what_the_whole_rig_gives(count):
    random = Random(count)
    plan = Plan(EXACT, evaluate_rig(EXACT))
    for _ in range(6):
        values = drawn(random, count)
        point = plan.route(values, plan.steps).at(values)
        nodes = evaluate_rig(changed(EXACT, values))
        answered = {name: node for name, node in nodes.items() if node.results is not None}
        assert point.answers.keys() == answered.keys()
        for name, node in answered.items():
            assert point.answers[name] == {**node.given.values, **node.results}


def test_ranges_change_nothing_of_what_it_gives():
    """Nominal values are those of a rig without any tolerance."""
    nodes = evaluate_rig(EXACT)
    for name, answer in PLAN.base.answers.items():
        assert answer == {**nodes[name].given.values, **nodes[name].results}


def test_only_what_a_change_reaches_is_asked():
    """The calculators on the route are those whose inputs the change alters, and no others."""
    before = evaluate_rig(EXACT)
    for key in NUMBERS[::5]:
        asked = {stop.step.card.id for stop in PLAN.route([key], PLAN.steps).stops}
        value = WHOLE.stated[key].tolerance.ends(WHOLE.stated[key].value)[1]
        after = evaluate_rig(changed(EXACT, {key: value}), before)
        altered = {name for name in after if after[name].given != before[name].given}
        assert altered <= asked
        assert asked <= {
            name
            for name, step in PLAN.steps.items()
            if key in step.parts.values() or any(p.card in asked for p in step.derived.values())
        }


def test_calculators_without_requirements_and_without_dependants_are_left_out():
    """Sound absorption judges nothing, and nobody asks for it."""
    names = {stop.step.card.id for stop in PLAN.route(NUMBERS).stops}
    judging = {one.card for one in PLAN.judged.values()}
    assert names <= PLAN.before(judging)
    assert "sound-absorption" in PLAN.steps
    assert "sound-absorption" not in names


@pytest.mark.parametrize("name", [card.id for card in CALCULATORS.values() if card.apart])
def test_what_can_be_had_apart_is_what_the_whole_gives(name):
    step, random = PLAN.steps[name], Random(2)
    for _ in range(20):
        values = dict(step.values)
        for key, tolerance in step.tolerances.items():
            values[key] = random.uniform(*tolerance.ends(values[key]))
        whole = evaluate(step.card, values, step.shape)
        alone = evaluate_apart(step.card, values, step.card.apart, step.shape)
        assert alone == {key: whole[key] for key in step.card.apart}


def test_nothing_is_arranged_for_the_air_that_is_left():
    """The moisture asks for the free volume, which needs no arrangement."""
    key = PLAN.steps["case-fit"].parts["inner_length"]
    value = WHOLE.stated[key].value * 1.01
    point = PLAN.route([key], {"condensation"}).at({key: value})
    full = PLAN.route([key], {"condensation", "case-fit"}).at({key: value})
    assert "spare_length" not in point.answers["case-fit"]
    assert full.answers["case-fit"]["spare_length"] != PLAN.base.answers["case-fit"]["spare_length"]
    assert point.answers["condensation"] == full.answers["condensation"]


def test_what_is_missed_at_a_point_is_what_an_exact_rig_misses():
    nodes = evaluate_rig(EXACT)
    plan = Plan(EXACT, nodes)
    rows = {row.name for row in requirements(nodes) if row.level != "good"}
    found = dict(missed(plan.judged.values(), plan.base))
    assert rows
    assert set(found) == rows
    assert found == {name: plan.judged[name].verdict.ends for name in rows}


def test_what_does_not_go_together_is_refused_by_its_name_and_misses_what_it_is_for():
    """A lid thinner than the least that is accepted."""
    card = next(name for name in PLAN.steps if name == "lid-under-pressure")
    key = PLAN.steps[card].parts["thickness"]
    item = PLAN.steps[card].shape.inputs["thickness"]
    route = PLAN.route([key])
    point = route.at({key: item.low_si / 2})
    assert card not in point.answers
    with pytest.raises(InputError, match="is not possible here") as refused:
        item.check(item.low_si / 2, "thickness", "metric")
    assert point.refused[card].message == refused.value.message
    names = {name for name, _ in missed(route.judged, point)}
    assert names >= {one.name for one in PLAN.steps[card].judged}


def test_a_calculator_that_is_refused_within_its_tolerances_is_asked_all_the_same():
    """A tolerance that leads out of the range refuses the calculator, not its middle."""
    key = PLAN.steps["lid-under-pressure"].parts["thickness"]
    item = PLAN.steps["lid-under-pressure"].shape.inputs["thickness"]
    value = WHOLE.stated[key].value
    wide = Tolerance("", value - item.low_si / 2, 0.0, relative=False)
    rig = WHOLE.keep(key, Stated(value, wide))
    nodes = evaluate_rig(rig)
    assert nodes["lid-under-pressure"].refused
    plan = Plan(rig, nodes)
    assert plan.base.answers["lid-under-pressure"] == PLAN.base.answers["lid-under-pressure"]


def test_what_nothing_is_known_of_has_no_step():
    nodes = evaluate_rig(Rig("Nothing yet"))
    assert Plan(Rig("Nothing yet"), nodes).judged == {}


def test_parts_are_called_as_a_reader_knows_them():
    entry = entry_of(NUMBERS[0])[0]
    assert entry.item.label in part_label(NUMBERS[0], PLAN)
    usual = next(
        p
        for step in PLAN.steps.values()
        for p in step.parts.values()
        if p not in NUMBERS and isinstance(p, Place)
    )
    assert PLAN.steps[usual.card].card.title in part_label(usual, PLAN)
    assert item_of(usual, PLAN).label in part_label(usual, PLAN)
