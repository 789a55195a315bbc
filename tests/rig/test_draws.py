"""Chance over a rig: closed forms, published test functions, and that seed and count decide."""

from collections import Counter
from functools import cache
from math import pi, sin
from random import Random
from re import findall

import pytest

from calculators.registry import CALCULATORS
from calculators.rig.drawn_words import drawn_json, exact_words
from calculators.rig.draws import CLASSES, Draws, explained
from calculators.rig.graph import evaluate_rig
from calculators.rig.model import Rig, Stated
from calculators.rig.requirements import requirements
from calculators.units import Tolerance
from site_src.paths import DOCS
from tests.rig.made import whole_rig

WHOLE = whole_rig()
NODES = evaluate_rig(WHOLE)

PEAK, SENSITIVITY, HEADROOM = "plan.expected_peak", "element.sensitivity_level", "plan.headroom"


def off(low: float, high: float) -> Tolerance:
    return Tolerance("", low, high, relative=False)


@cache
def exact_rig() -> tuple[Rig, float]:
    """A rig without tolerances that meets all it has to, and the reserve of its level chain."""
    exact = {key: Stated(stated.value) for key, stated in WHOLE.stated.items()}
    exact[SENSITIVITY] = Stated(NODES["element-response"].results["sensitivity_level"])
    nodes = evaluate_rig(Rig("First", exact))
    missing = {row.node.card.id for row in requirements(nodes) if row.level != "good"}
    vague = {node.card.id for node in nodes.values() if node.card.in_rig and node.given.tolerances}
    rig = Rig("Level", exact, without=frozenset((missing | vague) - {"level-chain"}))
    return rig, nodes["level-chain"].results["reserve"]


def level_rig(peak: Tolerance | None, sensitivity: Tolerance | None, spare: float = 0.0) -> Rig:
    """A rig of which only the level chain can be missed, ``spare`` dB away from it.

    Its reserve falls by 1 dB for each dB of peak and of sensitivity.
    """
    rig, reserve = exact_rig()
    at_limit = rig.stated[PEAK].value + reserve - rig.stated[HEADROOM].value
    rig = rig.keep(PEAK, Stated(at_limit - spare, peak))
    return rig.keep(SENSITIVITY, Stated(rig.stated[SENSITIVITY].value, sensitivity))


def draws_of(rig: Rig, seed: int = 1, **settings) -> Draws:
    return Draws(rig, evaluate_rig(rig), seed, **settings)


def test_one_part_with_a_limit_inside_its_tolerance():
    """Uniform from 1 below to 3 above the limit: a quarter meets it."""
    drawn = draws_of(level_rig(off(1.0, 3.0), None)).more(2000).drawn
    low, high = drawn.all_met.ends
    assert drawn.all_met.draws == 2000
    assert drawn.all_met.share == pytest.approx(1 / 4, abs=4 * (0.25 * 0.75 / 2000) ** 0.5)
    assert low < 1 / 4 < high
    assert drawn.missed == {"level-chain.reserve": 2000 - drawn.all_met.successes}
    [cost] = drawn.costs
    assert cost.part == PEAK
    assert cost.share == pytest.approx(1, abs=0.01)  # the limit lies between two classes


def test_two_parts_with_a_limit_across_both():
    """Of two equal tolerances, the sum is below 0 half the time, and each explains a third.

    The mean of the sign, given one of them, is that one itself: variance 1/12 of 1/4.
    """
    drawn = draws_of(level_rig(off(2.0, 2.0), off(2.0, 2.0))).more(4000).drawn
    assert drawn.all_met.share == pytest.approx(1 / 2, abs=4 * 0.5 / 4000**0.5)
    assert {cost.part for cost in drawn.costs} == {PEAK, SENSITIVITY}
    for cost in drawn.costs:
        assert cost.share == pytest.approx(1 / 3, abs=0.05)


def test_two_unequal_parts_with_a_limit_near_a_corner():
    """Beyond 2 dB of a sum of ±1 and ±2 lies a triangle of one eighth of a quarter: 1/16 of all."""
    drawn = draws_of(level_rig(off(1.0, 1.0), off(2.0, 2.0), spare=2.0)).more(4000).drawn
    missed = 1 - drawn.all_met.share
    assert missed == pytest.approx(1 / 16, abs=4 * (15 / 16 / 16 / 4000) ** 0.5)
    assert drawn.costs[0].part == SENSITIVITY


def test_nothing_ends_a_deployment_that_clips():
    """A clipped recording is still a recording: the end is reached in every draw."""
    drawn = draws_of(level_rig(off(1.0, 3.0), None)).more(200).drawn
    assert drawn.reaches_end.successes == 200
    assert drawn.end_costs == []


def test_what_ends_it_is_counted_apart():
    """A battery time between half and twice what the schedule needs, in every third draw short."""
    rig = level_rig(None, None, spare=6.0)
    needed = evaluate_rig(rig)["deployment-window"].results["battery_time_used"]
    rig = rig.keep("power.runtime", Stated(needed, off(needed / 2, needed)))
    drawn = draws_of(rig).more(1500).drawn
    assert drawn.reaches_end.share == pytest.approx(2 / 3, abs=4 * (2 / 9 / 1500) ** 0.5)
    assert drawn.reaches_end == drawn.all_met
    assert drawn.end_costs == drawn.costs
    assert drawn.costs[0].part == "power.runtime"


def test_the_handbook_lists_what_ends_a_deployment():
    """Every row that is declared to, by its label and with a link to its calculator; no other."""
    text = (DOCS / "rig" / "chance.md").read_text()
    listed = text.partition("These rows do:")[2].partition("Noise, band")[0]
    ending = [
        (output.label, card.id)
        for card in CALCULATORS.values()
        for output in card.outputs
        if card.is_question and output.verdict
        if output.verdict.ends and output.verdict.in_rig
    ]
    assert set(findall(r"\*([^*]+)\*", listed)) == {label for label, _ in ending}
    assert set(findall(r"calculators/([a-z-]+)\.md", listed)) == {card for _, card in ending}


def test_an_exact_part_costs_nothing():
    """Held at its value, half a decibel on the good side, the only tolerance misses nothing."""
    rig = level_rig(off(1.0, 3.0), None, spare=0.5)
    assert draws_of(rig).more(300).drawn.all_met.successes < 200
    exact = draws_of(rig, held=frozenset({PEAK})).more(300).drawn
    assert exact.all_met.successes == 300


def test_it_is_told_what_would_be_if_the_costliest_were_exact():
    """1.5 dB to spare: ±2 dB and ±1 dB together miss it at times, ±1 dB alone never."""
    draws = draws_of(level_rig(off(2.0, 2.0), off(1.0, 1.0), spare=1.5)).more(800)
    costliest = draws.drawn.costs[0]
    assert costliest.part == PEAK
    assert draws.without(PEAK).more(400).drawn.all_met.successes == 400
    first, *_ = exact_words(draws, 400)
    assert first.startswith(
        f"{costliest.label}, if it were exact: 400 of 400 drawn rigs (100\u00a0%"
    )


def test_a_part_held_leaves_the_others_as_they_fall():
    """With the peak exact, the sensitivity alone decides: half of ±2 dB about the limit."""
    rig = level_rig(off(2.0, 2.0), off(2.0, 2.0))
    drawn = draws_of(rig, held=frozenset({PEAK})).more(1000).drawn
    alone = draws_of(level_rig(None, off(2.0, 2.0))).more(1000).drawn
    assert drawn.all_met.share == pytest.approx(0.5, abs=4 * 0.5 / 1000**0.5)
    assert alone.all_met.share == pytest.approx(0.5, abs=4 * 0.5 / 1000**0.5)
    assert [cost.part for cost in drawn.costs] == [SENSITIVITY]


def test_inputs_that_do_not_go_together_are_missed_and_named():
    """A third of the tolerance lies below what the lid accepts."""
    rig = level_rig(None, None, spare=6.0)
    lid = evaluate_rig(rig)["lid-under-pressure"]
    key, least = lid.stated["thickness"], lid.shape.inputs["thickness"].low_si
    assert least > 0
    rig = rig.keep(key, Stated(2 * least, off(1.5 * least, 0.0)))
    draws = draws_of(rig).more(600)
    count, reason = draws.drawn.refused["lid-under-pressure"]
    assert count / 600 == pytest.approx(1 / 3, abs=4 * (2 / 9 / 600) ** 0.5)
    assert "is not possible here" in reason
    assert draws.drawn.missed["lid-under-pressure.depth_limit"] >= count
    assert draws.drawn.reaches_end.successes <= 600 - count
    said = " ".join(drawn_json(draws)["missed"])
    assert "Flat lid under pressure, no answer: in " in said
    assert reason in said


def test_seed_and_count_decide_and_nothing_else():
    whole = draws_of(WHOLE, seed=7).more(60).drawn
    assert draws_of(WHOLE, seed=7).more(25).more(0).more(35).drawn == whole
    assert draws_of(WHOLE, seed=8).more(60).drawn != whole


def test_cost_is_linear_in_draws():
    """Every draw asks each calculator on the route once."""
    draws = draws_of(WHOLE)
    draws.more(3)
    each = draws.evaluations / 3
    draws.more(20)
    assert draws.evaluations == 23 * each
    assert each <= len(draws.plan.steps)


def test_an_entry_is_drawn_once_for_all_that_ask_for_it():
    draws = draws_of(WHOLE, every=True)
    values = draws.values([0.3] * len(draws.varied))
    point = draws.route.at(values)
    seen: dict[str, set[float]] = {}
    for stop in draws.route.stops:
        for part, key, *_ in stop.parts:
            seen.setdefault(part, set()).add(point.answers[stop.step.card.id][key])
    uses = Counter(part for stop in draws.route.stops for part, *_ in stop.parts)
    assert max(uses.values()) > 1
    for part, found in seen.items():
        assert found == {values[part]}


def test_a_value_lies_between_the_ends_of_its_tolerance():
    draws = draws_of(WHOLE, every=True)
    for chance in (0.0, 0.5, 1 - 1e-12):
        for varied in draws.varied:
            value = draws.values([chance] * len(draws.varied))[varied.part]
            assert varied.low <= value <= varied.high
            if chance == 0.5 and not varied.whole:
                assert value == pytest.approx((varied.low + varied.high) / 2, rel=1e-12)


def test_what_ranges_have_decided_no_draw_decides_otherwise():
    """Draws of every requirement agree with those that are left out."""
    some, every = draws_of(WHOLE), draws_of(WHOLE, every=True).more(150)
    drawn_by_some = {one.name for one in some.judged}
    decided = {name for name in every.plan.judged if name not in drawn_by_some}
    assert decided
    assert drawn_by_some
    level = {row.name: row.level for row in requirements(NODES)}
    for name in decided:
        assert every.drawn.missed.get(name, 0) == (0 if level[name] == "good" else 150)


def test_what_has_no_answer_is_named():
    nodes = evaluate_rig(Rig("Nothing yet"))
    drawn = Draws(Rig("Nothing yet"), nodes, 1).more(10).drawn
    assert set(drawn.unanswered) == {n.card.id for n in nodes.values() if n.card.in_rig}
    assert drawn.unanswered


def classes_of(inputs: list[float], answers: list[float], count: int) -> list[list[float]]:
    """Draws sorted by an input from 0 to 1."""
    found = [[0, 0.0, 0.0] for _ in range(count)]
    for chance, answer in zip(inputs, answers, strict=True):
        its = found[int(chance * count)]
        its[0] += 1
        its[1] += answer
        its[2] += answer**2
    return found


def first_order(function, parts: int, draws: int, classes: int) -> list[float]:
    """The share that each of some inputs from 0 to 1 explains."""
    random = Random(3)
    inputs = [[random.random() for _ in range(parts)] for _ in range(draws)]
    answers = [function(*row) for row in inputs]
    return [
        explained(classes_of([row[n] for row in inputs], answers, classes)) for n in range(parts)
    ]


def test_an_additive_model_has_the_shares_of_its_squares():
    """x + 2 y + 3 z explains 1/14, 4/14 and 9/14 of the variance."""
    found = first_order(lambda x, y, z: x + 2 * y + 3 * z, 3, 10_000, CLASSES)
    assert found == pytest.approx([1 / 14, 4 / 14, 9 / 14], abs=0.02)


def test_the_ishigami_function_has_its_published_indices():
    """Ishigami and Homma 1990, a = 7, b = 0.1: 0.3139, 0.4424 and 0 at first order.

    32 classes see 98.7 % of a sine squared that goes through two periods.
    """

    def ishigami(*chances: float) -> float:
        x, y, z = (pi * (2 * chance - 1) for chance in chances)
        return sin(x) + 7 * sin(y) ** 2 + 0.1 * z**4 * sin(x)

    assert first_order(ishigami, 3, 30_000, 32) == pytest.approx([0.3139, 0.4424, 0.0], abs=0.015)


def test_a_part_without_effect_explains_nothing_on_the_average():
    """Without the correction, 16 classes of 100 draws would explain 15 % of mere chance."""
    random, found = Random(5), []
    for _ in range(200):
        inputs = [random.random() for _ in range(100)]
        found.append(explained(classes_of(inputs, [random.random() for _ in inputs], CLASSES)))
    assert sum(found) / len(found) == pytest.approx(0.0, abs=0.02)


def test_too_few_draws_or_equal_answers_explain_nothing():
    assert explained([(2, 1.0, 1.0), (2, 0.0, 0.0)]) is None
    assert explained([(9, 9.0, 9.0), (9, 9.0, 9.0)]) is None
    assert explained([]) is None
    assert draws_of(level_rig(off(1.0, 3.0), None)).more(5).drawn.costs == []


def test_the_words_say_what_a_share_is_of_and_what_it_is_not():
    """A safety factor missed is no failure, and the interval is that of the count alone."""
    said = drawn_json(draws_of(level_rig(off(1.0, 3.0), None)).more(40))["says"]
    assert "of 40 drawn rigs" in said[0]
    assert "safety factor wanted" in said[0]
    assert "so many draws leave" in said[1]
    assert "not yet a failure" in said[-1]
