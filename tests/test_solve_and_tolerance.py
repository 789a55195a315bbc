"""Solving and ranges on small made calculators whose answers are known by hand."""

import math
from dataclasses import replace

import pytest

from calculators.declare import Calculator, Number, Output, Verdict
from calculators.errors import InputError
from calculators.evaluate import defaults, evaluate, read
from calculators.present import answer, work
from calculators.solve import solve
from calculators.tolerance import spread


def number(name: str, low: str, high: str, default: str, **more: object) -> Number:
    """A plain number without a unit."""
    return Number(name=name, label=name.title(), unit="", default=default, low=low, high=high,
                  why="made for a test", **more)  # fmt: skip


def made(compute, *inputs: Number) -> Calculator:
    """A calculator with one output, y."""
    return Calculator(id="made", title="Made", stage="plan", question="?", inputs=inputs,
                      outputs=(Output(name="y", label="Y", unit=""),), compute=compute)  # fmt: skip


PARABOLA = made(lambda x: {"y": (x - 2) ** 2}, number("x", "0", "10", "1"))
WAVE = made(lambda x: {"y": math.sin(x)}, number("x", "0", "60", "1"))
CONSTANT = made(lambda x: {"y": 7.0}, number("x", "0", "10", "1"))
STEP = made(lambda x: {"y": math.floor(x)}, number("x", "0", "10", "1"))
WHOLE = made(lambda n: {"y": n * n}, number("n", "1", "20", "3", integer=True))


def refuse_below(x: float, least: float) -> float:
    if x < least:
        raise InputError("x", f"x must never be below {least}")
    return x - least


ROOT = made(lambda x: {"y": math.sqrt(refuse_below(x, 3))}, number("x", "0", "10", "5"))
NEVER = made(lambda x: {"y": refuse_below(x, 99)}, number("x", "0", "10", "5"))
LINE = made(lambda x: {"y": 3 * x - 4}, number("x", "-10", "10", "1"))


def test_one_solution_is_found():
    """3 x − 4 = 5 has x = 3; (x − 2)² = 49 has x = 9 only, within 0 to 10."""
    assert solve(LINE, {"x": 0.0}, "y", 5.0, "x") == pytest.approx(3)
    assert solve(PARABOLA, {"x": 0.0}, "y", 49.0, "x") == pytest.approx(9)


def test_solutions_at_the_very_ends_count():
    """The accepted range includes its ends."""
    assert solve(LINE, {"x": 0.0}, "y", -34.0, "x") == -10
    assert solve(LINE, {"x": 0.0}, "y", 26.0, "x") == 10


def test_two_solutions_are_both_named():
    """(x − 2)² = 1 has x = 1 and x = 3."""
    with pytest.raises(InputError, match=r"More than one X gives it: 1(\.0+)? and 3") as refused:
        solve(PARABOLA, {"x": 0.0}, "y", 1.0, "x")
    assert refused.value.part == "target"


def test_many_solutions_are_summed_up():
    """A wave over many periods."""
    with pytest.raises(InputError, match=r"values from .* to .* do"):
        solve(WAVE, {"x": 0.0}, "y", 0.5, "x")


def test_no_solution_names_what_can_be_reached():
    """(x − 2)² lies between 0 and 64."""
    with pytest.raises(InputError, match=r"Y goes from 0.* to 64"):
        solve(PARABOLA, {"x": 0.0}, "y", -1.0, "x")


def test_an_input_that_does_not_matter_says_so():
    """A constant cannot be solved for."""
    with pytest.raises(InputError, match="does not change Y: it stays 7"):
        solve(CONSTANT, {"x": 0.0}, "y", 5.0, "x")


def test_a_jump_over_the_target_is_no_solution():
    """floor(x) never is 2.5."""
    with pytest.raises(InputError, match="No X from"):
        solve(STEP, {"x": 0.0}, "y", 2.5, "x")


def test_values_that_do_not_go_together_are_passed_over():
    """√(x − 3) is refused below 3; it is 2 at 7, and 0.001 at 3.000001, next to the refusals."""
    assert solve(ROOT, {"x": 5.0}, "y", 2.0, "x") == pytest.approx(7, rel=1e-9)
    assert solve(ROOT, {"x": 5.0}, "y", 1e-3, "x") == pytest.approx(3.000001, rel=1e-9)


def test_if_no_value_goes_with_the_others_the_refusal_says_so():
    """Not “no solution”, which would be a claim about the answer."""
    with pytest.raises(InputError, match="never") as refused:
        solve(NEVER, {"x": 5.0}, "y", 2.0, "x")
    assert refused.value.name == "x"


def test_whole_inputs_get_whole_solutions():
    """n² = 49 has n = 7; n² = 50 has none."""
    assert solve(WHOLE, {"n": 1.0}, "y", 49.0, "n") == 7
    with pytest.raises(InputError, match="No N from"):
        solve(WHOLE, {"n": 1.0}, "y", 50.0, "n")


def test_corners_give_the_exact_range_where_the_answer_is_steady():
    """y = 3 x − 4 for x = 2 ± 1: −1 to 5."""
    found = spread(LINE, {"x": 2.0}, {"x": (1.0, 3.0)}, {"y": 2.0})
    assert (found.low["y"], found.high["y"]) == (-1, 5)
    assert "2 corners" in found.method


def test_an_extreme_inside_the_tolerance_is_not_missed():
    """(x − 2)² for x = 2 ± 1 goes down to 0 inside, which no corner shows."""
    found = spread(PARABOLA, {"x": 2.0}, {"x": (1.0, 3.0)}, evaluate(PARABOLA, {"x": 2.0}))
    assert (found.low["y"], found.high["y"]) == (0, 1)
    assert "where an answer turns" in found.method


def test_an_extreme_inside_is_closed_in():
    """(x − 2)² for x from 1.1 to 3 goes down to 0, and |x − 1.7| to 0 at a kink."""
    values, span = {"x": 2.3}, {"x": (1.1, 3.0)}
    found = spread(PARABOLA, values, span, evaluate(PARABOLA, values))
    assert (found.low["y"], found.high["y"]) == (pytest.approx(0, abs=1e-6), 1)
    kinked = made(lambda x: {"y": abs(x - 1.7)}, number("x", "0", "10", "1"))
    found = spread(kinked, values, span, evaluate(kinked, values))
    assert (found.low["y"], found.high["y"]) == (pytest.approx(0, abs=1e-3), 1.3)


@pytest.mark.parametrize("turn", [2.1, 2.4, 2.7])
def test_a_turn_near_an_end_shows_as_uneven_steps(turn: float):
    """(x − turn)² for x = 2 ± 1: the least is 0 or nearly, though both steps may go down."""
    card = made(lambda x: {"y": (x - turn) ** 2}, number("x", "0", "10", "1"))
    found = spread(card, {"x": 2.0}, {"x": (1.0, 3.0)}, evaluate(card, {"x": 2.0}))
    assert found.low["y"] == pytest.approx(0, abs=0.003 * found.high["y"])


def test_a_steady_answer_is_asked_at_its_ends_alone():
    """√x for x = 4 ± 5 %: two places beside the value, which are the two corners too."""
    asked = []
    card = made(lambda x: asked.append(x) or {"y": x**0.5}, number("x", "0", "10", "1"))
    nominal = evaluate(card, {"x": 4.0})
    spread(card, {"x": 4.0}, {"x": (3.8, 4.2)}, nominal)
    assert asked == [4.0, 3.8, 4.2]


def test_an_answer_that_no_input_moves_is_steady():
    """Rounding, which goes up and down by a part in 10¹⁶, is no turn: nothing is drawn for it."""
    flat = made(lambda x: {"y": x * (7 / x)}, number("x", "0", "10", "1"))
    values, span = {"x": 2.3}, {"x": (1.1, 3.0)}
    found = spread(flat, values, span, evaluate(flat, values))
    assert (found.low["y"], found.high["y"]) == (7, 7)
    assert "turns" not in found.method


def test_draws_are_the_same_every_time():
    """Seeded: the same form shows the same range at every keystroke and on every device."""
    card = made(
        lambda a, b: {"y": (a - 2) * (b - 2) * (a - b)},
        number("a", "0", "9", "1"),
        number("b", "0", "9", "1"),
    )
    values, span = {"a": 2.3, "b": 1.9}, {"a": (1.1, 3.0), "b": (1.1, 3.0)}
    first = spread(card, values, span, evaluate(card, values))
    assert "draws" in first.method
    assert spread(card, values, span, evaluate(card, values)) == first


def test_shares_rank_the_inputs_by_what_they_move():
    """y = a + 10 b with equal tolerances: b causes ten elevenths."""
    card = made(
        lambda a, b: {"y": a + 10 * b}, number("a", "0", "9", "1"), number("b", "0", "9", "1")
    )
    values = defaults(card)
    found = spread(card, values, {"a": (0.5, 1.5), "b": (0.5, 1.5)}, evaluate(card, values))
    assert found.shares("y") == {"a": pytest.approx(1 / 11), "b": pytest.approx(10 / 11)}


def test_many_tolerances_use_the_corners_that_decide():
    """Eight inputs: the extremes of a sum lie where all are low or all are high."""
    names = "abcdefgh"
    card = made(
        lambda a, b, c, d, e, f, g, h: {"y": a + b + c + d + e + f + g + h},
        *(number(name, "0", "9", "1") for name in names),
    )
    values = defaults(card)
    found = spread(card, values, dict.fromkeys(names, (0.5, 1.5)), evaluate(card, values))
    assert (found.low["y"], found.high["y"]) == (4, 12)
    assert found.method == (
        "Lowest and highest of the corners that decide, each tolerance at one of its ends."
    )


def test_many_tolerances_with_an_extreme_inside_are_searched_along_the_one_that_turns():
    """(a − 1)² + b + … + h: the least lies at a = 1, which is no corner."""
    names = "abcdefgh"
    card = made(
        lambda a, b, c, d, e, f, g, h: {"y": (a - 1) ** 2 + b + c + d + e + f + g + h},
        *(number(name, "0", "9", "1") for name in names),
    )
    values = defaults(card)
    found = spread(card, values, dict.fromkeys(names, (0.5, 1.5)), evaluate(card, values))
    assert (found.low["y"], found.high["y"]) == (pytest.approx(3.5, abs=1e-6), 10.75)
    assert "where an answer turns" in found.method


def test_no_place_is_worked_out_twice():
    """Twice an answer turns where it does: both searches go the same way, which is gone once."""
    asked = []

    def both(x: float, b: float) -> dict[str, float]:
        asked.append((x, b))
        return {"y": (x - 2) ** 2 + b, "z": 2 * ((x - 2) ** 2 + b)}

    card = replace(
        made(both, number("x", "0", "9", "2"), number("b", "0", "9", "1")),
        outputs=(Output(name="y", label="Y", unit=""), Output(name="z", label="Z", unit="")),
    )
    values = defaults(card)
    nominal = evaluate(card, values)
    asked.clear()
    found = spread(card, values, {"x": (1.3, 3.0), "b": (0.5, 1.5)}, nominal)
    assert len(asked) == len(set(asked))
    assert found.low["z"] == 2 * found.low["y"] == pytest.approx(1.0, abs=1e-6)


def test_a_function_gets_its_arguments_by_name_whatever_their_order():
    """Inputs a, b; the function takes b first; the values come either way."""
    card = made(
        lambda b, a: {"y": a - 2 * b}, number("a", "0", "9", "1"), number("b", "0", "9", "1")
    )
    assert evaluate(card, {"a": 7.0, "b": 2.0}) == evaluate(card, {"b": 2.0, "a": 7.0}) == {"y": 3}
    assert evaluate(LINE, {"x": 2.0}) == {"y": 2}


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_a_defect_named_by_its_output(bad: float):
    """Whatever stands beside it; large numbers are numbers, also where their sum is none."""
    outputs = tuple(Output(name=name, label=name, unit="") for name in ("y", "z"))

    def card(z: float) -> Calculator:
        one = made(lambda x: {"y": 1.5e308, "z": z}, number("x", "0", "9", "1"))
        return replace(one, outputs=outputs)

    with pytest.raises(ArithmeticError, match=f"made: z is {bad}"):
        evaluate(card(bad), {"x": 1.0})
    assert evaluate(card(1.5e308), {"x": 1.0}) == {"y": 1.5e308, "z": 1.5e308}


def test_an_error_with_a_sign_is_held_against_its_limit_by_its_size():
    """−10 is within 12 and not within 8; −10 ± 3 may be; and 0 ± 13 may be, too."""
    assert signed("-10", "0", "12", "0") == "met"
    assert signed("-10", "0", "8", "0") == "missed"
    assert signed("-10", "3", "12", "0") == "unsure"
    assert signed("-10", "3", "12", "2") == "unsure"
    assert signed("-10", "0", "12", "3") == "unsure"
    assert signed("-10", "1", "16", "2") == "met"
    assert signed("-10", "1", "6", "2") == "missed"
    assert signed("0", "13", "12", "0") == "unsure"
    assert signed("0", "5", "12", "2") == "met"


def signed(error: str, by: str, limit: str, limit_by: str) -> str:
    """What is said of an error, wanted within a limit either way, each with its tolerance."""
    verdict = Verdict(
        better="below",
        limit="limit",
        met="met",
        missed="missed",
        unsure="unsure",
        source="made",
        either_way=True,
    )
    card = replace(
        made(
            lambda x, limit: {"y": x},
            number("x", "-20", "20", "1"),
            number("limit", "0", "20", "12"),
        ),
        outputs=(Output(name="y", label="Y", unit="", verdict=verdict),),
    )
    given = read(card, {"x": error, "limit": limit}, {"x": by, "limit": limit_by}, "metric")
    shown = answer(work(card, given, "metric"), plot=False)["outputs"]
    return str(shown[0]["verdict"]["text"])


def judged(limit, **tolerances: str) -> str:
    """What is said of y = 15 x, wanted above a limit of about 12 m for depth x = 1."""
    verdict = Verdict(
        better="above", limit=limit, met="met", missed="missed", unsure="unsure", source="made"
    )
    y, other = (
        Output(name="y", label="Y", unit="", verdict=verdict),
        Output(name="other", label="Other", unit=""),
    )
    card = replace(
        made(
            lambda x, need: {"y": 15 * x, "other": 14 * x},
            number("x", "0", "10", "1"),
            number("need", "0", "20", "12"),
        ),
        outputs=(y, other),
    )
    given = read(card, {"x": "1", "need": "12"}, tolerances, "metric")
    shown = answer(work(card, given, "metric"), plot=False)["outputs"]
    return str(shown[0]["verdict"]["text"])


def test_a_limit_that_has_a_tolerance_counts_with_it():
    """15 ± 2 over 12 is met; over 12 ± 0.5, 1.5 or 4 it is met, not sure, not sure."""
    x = "13.34%"  # 12.999 to 17.001
    assert judged("need", x=x) == "met"
    assert judged("need", x=x, need="0.5") == "met"
    assert judged("need", x=x, need="1.5") == "unsure"
    assert judged("need", need="4") == "unsure"
    assert judged("need", need="2.9") == "met"


def test_a_limit_that_moves_with_the_answer_is_held_against_it_at_the_same_inputs():
    """15 x is above 14 x whatever x is, though the ranges of the two overlap by far."""
    assert judged("other", x="50%") == "met"
    assert judged(lambda values: 14.9 * values["x"], x="50%") == "met"
    assert judged(lambda values: 15.1 * values["x"], x="50%") == "missed"
    assert judged("other", x="50%", need="1") == "met"
