"""Mooring: waves, forces and line against scipy, and what is refused."""

from math import cosh, degrees, hypot, pi, sinh, tanh

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq, minimize_scalar

from calculators.cards.mooring import MOORING_LOAD
from calculators.errors import InputError
from calculators.evaluate import defaults, evaluate
from calculators.formulas import drag, mooring, waves

GRAVITY = 9.80665


def answer(**changed: object) -> dict[str, float]:
    return evaluate(MOORING_LOAD, defaults(MOORING_LOAD) | changed)


@pytest.mark.parametrize("depth", [0.5, 3.0, 20.0, 200.0])
@pytest.mark.parametrize("period", [0.5, 2.0, 8.0, 30.0])
def test_wave_numbers_solve_the_dispersion_relation(period: float, depth: float) -> None:
    """Independent: brentq, over all of the form's range."""
    square = (2 * pi / period) ** 2
    root = brentq(lambda k: GRAVITY * k * tanh(k * depth) - square, 1e-6, 100, xtol=1e-15)
    found = waves.wave_number(period=period, water_depth=depth)
    assert found == pytest.approx(root, rel=1e-10)


def test_the_first_guess_is_good_enough_everywhere() -> None:
    """The relation holds to the last digits from ripples on the ocean to tides in a bucket."""
    for period in np.geomspace(0.1, 3600, 40):
        for depth in np.geomspace(0.01, 12000, 40):
            k = waves.wave_number(period=period, water_depth=depth)
            square = (2 * pi / period) ** 2
            assert GRAVITY * k * tanh(k * depth) == pytest.approx(square, rel=1e-9)


def test_deep_waves_overflow_nothing() -> None:
    """k·d of thousands: no motion at the bottom, all of it at the surface."""
    k = waves.wave_number(period=0.5, water_depth=200)
    assert waves.orbital_velocity(0.1, 0.5, k, 200, height=0) == pytest.approx(0, abs=1e-100)
    assert waves.orbital_velocity(0.1, 0.5, k, 200, height=200) == pytest.approx(pi * 0.1 / 0.5)


@pytest.mark.parametrize("inertia", [0.0, 0.3, 5.0, 80.0])
@pytest.mark.parametrize("orbital", [0.0, 0.2, 1.5])
@pytest.mark.parametrize("current", [0.0, 0.4])
def test_the_peak_is_that_of_a_search(current: float, orbital: float, inertia: float) -> None:
    """Independent: bounded search of scipy between drag's and inertia's own peaks."""

    def less(theta: float) -> float:
        return -(12 * (current + orbital * np.cos(theta)) ** 2 + inertia * np.sin(theta))

    best = -minimize_scalar(less, bounds=(0, pi / 2), method="bounded", options={"xatol": 1e-9}).fun
    best = max(best, -less(0.0), -less(pi / 2))
    assert drag.peak_force(12, current, orbital, inertia) == pytest.approx(best, abs=1e-6)


def line(
    length: float, per_metre: float, weight: float, sideways: float, lift: float
) -> np.ndarray:
    """The bent line, from its upper end down: pulls at the lower end, and where that end is."""

    def slope(_: float, state: np.ndarray) -> list[float]:
        tension = hypot(state[0], state[1])
        sine, cosine = state[0] / tension, state[1] / tension
        across = per_metre * cosine**2
        return [across * cosine, -across * sine - weight, sine, cosine]

    end = solve_ivp(slope, (0, length), [sideways, lift, 0, 0], rtol=1e-9, atol=1e-12)
    return np.array(end.y[:, -1])


@pytest.mark.parametrize(("speed", "lift"), [(0.3, 1.0), (0.5, 2.0), (0.5, 4.0), (0.8, 6.0)])
def test_a_floating_case_stands_where_the_integrated_line_ends(speed: float, lift: float) -> None:
    """Independent: the line's differential equations. The straight line leans a little more."""
    results = answer(
        setup="floating", water_depth=12.0, surface_speed=speed, exponent=0.0, case_lift=lift,
        wave_height=0.0, line_length=6.0,
    )  # fmt: skip
    per_metre = 0.5 * 999.7 * 1.2 * 0.006 * speed**2
    bent = line(6.0, per_metre, 0.005 * GRAVITY, results["case_force"], lift * GRAVITY)
    chord = degrees(np.arctan2(bent[2], bent[3]))
    assert chord <= results["line_angle"] <= 1.05 * chord
    assert bent[2] <= results["excursion"] <= 1.06 * bent[2]
    assert hypot(bent[0], bent[1]) <= results["line_tension"]


def test_a_marker_stays_up_while_its_lift_exceeds_the_pull_of_the_slant() -> None:
    """Just enough lift and a little less: the slant is that of the depth, then more."""
    fine = answer(buoy_lift=5.0)
    assert 6.0 * np.cos(np.radians(fine["line_angle"])) == pytest.approx(4.2)
    under = answer(buoy_lift=0.1, surface_speed=0.6)
    assert 6.0 * np.cos(np.radians(under["line_angle"])) < 4.2


def test_a_line_shorter_than_high_water_pulls_with_all_the_buoy_has() -> None:
    """And the verdict on the room says so."""
    results = answer(line_length=4.1, buoy_lift=3.0)
    assert results["room"] == pytest.approx(-0.1)
    assert results["line_tension"] >= 3.0 * GRAVITY


def test_a_floating_case_on_a_slack_line_lies_at_the_surface() -> None:
    """Its current is that of the surface, and its room is below zero."""
    results = answer(setup="floating", line_length=6.0)
    assert results["room"] == pytest.approx(-2.0)
    assert results["case_current"] == pytest.approx(0.3)


def test_more_of_what_is_bad_never_needs_a_smaller_anchor() -> None:
    """Current, waves, slippery bottom, safety."""
    base = answer()["holding_weight"]
    for worse in (
        {"surface_speed": 0.5},
        {"wave_height": 0.6},
        {"friction": 0.2},
        {"anchor_safety": 3.0},
        {"line_diameter": 0.012},
    ):
        assert answer(**worse)["holding_weight"] > base


def test_forces_grow_with_the_square_of_the_speed() -> None:
    """Limit: no waves, twice the speed, four times the drag."""
    slow = answer(wave_height=0.0, surface_speed=0.2)
    fast = answer(wave_height=0.0, surface_speed=0.4)
    for name in ("case_force", "line_force", "buoy_force"):
        assert fast[name] == pytest.approx(4 * slow[name])


@pytest.mark.parametrize("height", [0.2, 0.5])
@pytest.mark.parametrize("period", [2.0, 3.0, 8.0])
@pytest.mark.parametrize("depth", [2.0, 3.0, 5.0])
@pytest.mark.parametrize("current", [0.05, 0.1, 0.6])
def test_waves_load_the_line_and_not_only_the_case(
    current: float, depth: float, period: float, height: float
) -> None:
    """Independent: drag under the crest on an upright line, by scipy, is never more."""
    results = answer(
        water_depth=depth, tide_range=0.0, surface_speed=current, wave_height=height,
        wave_period=period, line_length=depth + 2.0,
    )  # fmt: skip
    square = (2 * pi / period) ** 2
    k = brentq(lambda k: GRAVITY * k * tanh(k * depth) - square, 1e-6, 100, xtol=1e-15)

    def drag_at(z: float) -> float:
        orbital = pi * height / period * cosh(k * z) / sinh(k * depth)
        return 0.5 * 999.7 * 1.2 * 0.006 * (current * (z / depth) ** 0.143 + orbital) ** 2

    upright = quad(drag_at, 0, depth)[0]
    assert upright <= results["line_force"]
    alone = results["case_force"] + upright
    assert results["holding_weight"] * GRAVITY * 0.35 >= 2 * alone


def test_waves_alone_call_for_an_anchor() -> None:
    """Little current, half a metre of waves: an upright line alone has 2.3 N."""
    shallow = {"water_depth": 3.0, "tide_range": 0.0, "surface_speed": 0.1, "line_length": 5.0}
    results = answer(**shallow, wave_height=0.5, wave_period=3.0)
    assert results["line_force"] > 2.3
    assert results["anchor_mass"] > 0
    assert answer(**shallow, wave_height=0.0)["anchor_mass"] < 0


def test_the_anchor_is_held_against_the_one_that_is_laid() -> None:
    """Over its whole range; below zero none is needed, and none laid will do."""
    verdict = next(o.verdict for o in MOORING_LOAD.outputs if o.name == "anchor_mass")
    assert verdict is not None
    assert verdict.limit_in({"anchor_laid": 4.0}) == 4.0
    assert verdict.judge(-0.5, -0.1, 0.0)[0] == "good"
    assert verdict.judge(3.0, 5.0, 4.0)[0] == "care"
    assert verdict.judge(4.1, 5.0, 4.0)[0] == "fail"


def test_waves_too_high_for_their_depth_are_judged() -> None:
    """A metre and a half in water of one metre breaks."""
    results = answer(water_depth=1.0, wave_height=1.5, wave_period=6.0)
    assert results["breaking_height"] < 1.0


def test_a_case_above_low_water_is_refused_by_name_with_what_is_accepted() -> None:
    with pytest.raises(InputError, match="no more than the depth at low water") as refused:
        answer(water_depth=0.8, case_height=1.5)
    assert refused.value.name == "case_height"


def test_a_float_that_cannot_carry_its_line_is_refused_by_name() -> None:
    with pytest.raises(InputError, match="cannot carry half the line") as refused:
        answer(setup="floating", case_lift=0.1, line_weight=0.3, line_length=100.0)
    assert refused.value.name == "case_lift"


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: waves.wave_number(0, 10), "period"),
        (lambda: waves.orbital_velocity(1, 8, 0.1, 10, height=11), "height"),
        (lambda: waves.wave_pressure(-1, 1000, 0.1, 10, 0), "wave_height"),
        (lambda: drag.drag_force(11, 1, 1000, 1), "drag_coefficient"),
        (lambda: drag.inertia_force(0.5, 1, 1000, 1), "inertia_coefficient"),
        (lambda: drag.strumming_frequency(0.2, 1, 0), "diameter"),
        (lambda: mooring.line_angle(1, 0), "vertical"),
        (lambda: mooring.marker_pull(1, 4, 4), "line_length"),
        (lambda: mooring.anchor_pull(1, 1, 0, 2), "friction"),
        (lambda: mooring.allowed_tension(1, 2, 5), "knot_factor"),
    ],
)
def test_an_impossible_argument_is_refused_by_name(call, name) -> None:
    with pytest.raises(InputError, match=f"^{name} must be"):
        call()


def test_the_case_on_the_bottom_lies_deepest_at_high_water() -> None:
    results = answer(water_depth=10.0, tide_range=2.0, case_height=0.15, depth=12.0)
    assert results["deepest"] == pytest.approx(11.85)
    assert results["depth_share"] == pytest.approx(1.0)


@pytest.mark.parametrize("speed", [0.05, 0.5])
def test_a_floating_case_lies_as_deep_as_its_line_leaves_it(speed: float) -> None:
    """Its upper end by Pythagoras: the straight line, and what it is carried sideways."""
    floating = {"setup": "floating", "water_depth": 10.0, "tide_range": 2.0, "line_length": 3.0}
    results = answer(**floating, surface_speed=speed, case_lift=3.0)
    rise = (3.0**2 - results["excursion"] ** 2) ** 0.5
    assert results["deepest"] == pytest.approx(12.0 - rise, rel=1e-12)
    slack = answer(**floating | {"line_length": 30.0}, surface_speed=0.01, wave_height=0.0)
    assert slack["deepest"] == 0.0


@pytest.mark.parametrize(
    ("key", "depth", "level"),
    [
        ("deepest", 12.0, "good"),
        ("deepest", 9.0, "fail"),
        ("depth_share", 12.0, "good"),
        ("depth_share", 40.0, "care"),
    ],
)
def test_the_depth_of_lid_and_seals_is_held_against_the_water(
    key: str, depth: float, level: str
) -> None:
    values = defaults(MOORING_LOAD) | {"water_depth": 10.0, "tide_range": 2.0, "depth": depth}
    results = evaluate(MOORING_LOAD, values)
    verdict = MOORING_LOAD.outputs_by_name[key].verdict
    assert verdict is not None
    found, text = verdict.judged({**values, **results}, results[key], results[key])
    assert found == level
    assert (text == verdict.missed) == (level != "good")
