"""Clocks: ticks counted one by one, the worst of all rates by a linear program, refusals."""

from fractions import Fraction

import numpy as np
import pytest
from scipy.optimize import linprog

from calculators.cards.clock import CLOCK_DRIFT
from calculators.errors import InputError
from calculators.evaluate import defaults, evaluate
from calculators.formulas import clock, flow_noise

DAY = 86400.0


def answer(**changed: object) -> dict[str, float]:
    return evaluate(CLOCK_DRIFT, defaults(CLOCK_DRIFT) | changed)


def test_ticks_of_a_slow_crystal_are_counted() -> None:
    """Independent: exact fractions; a crystal that is 37 ppm slow, divided by 32 768."""
    ticks = Fraction(32768) * (1 - Fraction(37, 10**6)) * 30 * 86400
    shown = ticks / 32768
    assert clock.time_error(-37e-6, 30 * DAY) == pytest.approx(float(shown - 30 * 86400))


@pytest.mark.parametrize("cut", [20, 50, 90])
def test_no_rate_within_its_band_leaves_more_than_the_residual(cut: int) -> None:
    """Independent: scipy's linear program over 100 steps of free rate."""
    step = 3 * DAY / 100
    gain = -(np.where(np.arange(100) < cut, 1.0, 0.0) - cut / 100) * step
    worst = -linprog(gain, bounds=[(0, 8e-6)] * 100).fun
    bound = clock.mark_residual(8e-6, 3 * DAY, 0.0)
    assert worst <= bound * (1 + 1e-9)
    if cut == 50:
        assert worst == pytest.approx(bound)


def test_a_rate_that_changes_steadily_leaves_half_the_residual() -> None:
    """As the formula's validity says: trapezoid sums of a rate that rises evenly."""
    t = np.linspace(0, 3 * DAY, 10_001)
    rate = 8e-6 * t / t[-1]
    error = np.concatenate([[0], np.cumsum((rate[1:] + rate[:-1]) / 2 * np.diff(t))])
    left = np.abs(error - error[-1] * t / t[-1]).max()
    assert left == pytest.approx(clock.mark_residual(8e-6, 3 * DAY, 0.0) / 2, rel=1e-6)


@pytest.mark.parametrize(("low", "high"), [(-2.0, 4.0), (5.0, 25.0), (20.0, 31.0), (30.0, 40.0)])
def test_the_change_of_the_rate_is_that_of_a_grid(low: float, high: float) -> None:
    """Independent: numpy, on both sides of the turnover and across it."""
    y = -0.034e-6 * (np.linspace(low, high, 200_001) - 25.0) ** 2
    found = clock.rate_change(0.034e-6, 25.0, low, high, wander=0.3e-6)
    assert found == pytest.approx(np.ptp(y) + 0.3e-6, rel=1e-6)


def test_marks_at_the_longest_interval_just_keep_the_accuracy() -> None:
    longest = answer()["mark_interval"]
    assert answer(duration=longest)["mark_residual"] == pytest.approx(1.0)


def test_both_phases_count_with_their_own_temperature() -> None:
    """By hand: −0.034·5² = −0.85 ppm for a day, −0.034·17² = −9.826 ppm for three."""
    assert answer()["time_error"] == pytest.approx(-0.85e-6 * DAY - 9.826e-6 * 3 * DAY)


def test_two_of_a_kind_differ_by_their_rates_and_temperatures() -> None:
    """20 ppm fast and 20 ppm slow, four days together: 13.8 s."""
    results = answer(rate_offset=20e-6, second_offset=-20e-6)
    assert results["between"] == pytest.approx(40e-6 * 4 * DAY)
    assert results["path_error"] == pytest.approx(results["between"] * 1447.3)
    assert answer(second_temperature=4.0)["between"] > 0


def test_the_second_recorder_has_a_parabola_of_its_own() -> None:
    """By hand: a turnover of 30 °C makes it slower by 0.034 · (22² − 17²) and (10² − 5²) ppm."""
    apart = 0.034e-6 * ((22**2 - 17**2) * 3 * DAY + (10**2 - 5**2) * DAY)
    assert answer(second_turnover=30.0)["between"] == pytest.approx(apart)


def test_ageing_counts_from_when_the_rate_was_known() -> None:
    year = 12 * clock.MONTH
    aged = answer(ageing=3e-6 / 12, clock_age=year)["rate"]
    assert aged - answer(clock_age=year)["rate"] == pytest.approx(3e-6)


def test_the_sample_clock_is_not_that_of_the_time() -> None:
    """50 ppm at 48 kHz: 8 640 samples an hour, and the file's stamp knows nothing of it."""
    results = answer(sample_offset=50e-6)
    assert results["sample_excess"] == pytest.approx(8640 * 72)
    assert results["file_error"] == pytest.approx(0.18)
    assert results["time_error"] == answer()["time_error"]


@pytest.mark.parametrize(
    ("low", "high", "level"),
    [(-0.9, 0.9, "good"), (-2.0, -1.2, "fail"), (1.2, 2.0, "fail"), (-2.0, 0.5, "care")],
)
def test_a_clock_that_is_behind_is_judged_like_one_that_is_ahead(
    low: float, high: float, level: str
) -> None:
    verdict = CLOCK_DRIFT.outputs_by_name["time_error"].verdict
    assert verdict is not None
    values = {"wanted_accuracy": 1.0}
    assert verdict.judged(values, low, high)[0] == level


@pytest.mark.parametrize("before", [0.0, 5 * DAY])
def test_the_curve_ends_at_the_answer(before: float) -> None:
    card = CLOCK_DRIFT
    values = defaults(card) | {"time_before": before}
    results = evaluate(card, values)
    plot = card.plot(values, results, "metric")
    assert plot.lines[0].points[-1] == pytest.approx((before + 3 * DAY, results["time_error"]))


def test_marks_coarser_than_what_is_wanted_are_told_below_zero() -> None:
    """And judged as missed: no time between marks is short enough."""
    longest = answer(mark_error=1.5)["mark_interval"]
    verdict = CLOCK_DRIFT.outputs_by_name["mark_interval"].verdict
    assert longest < 0
    assert verdict is not None
    assert verdict.judge(longest, longest, 3 * DAY)[0] == "care"


def test_the_swing_lies_on_both_sides_of_the_mean() -> None:
    """By hand: 6 to 10 °C on a parabola at 25 °C: 0.034 · (19² − 15²) and 0.5 ppm besides."""
    change = 0.034e-6 * (19**2 - 15**2) + 0.5e-6
    assert answer()["mark_residual"] == pytest.approx(0.2 + change * 3 * DAY / 4)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: clock.temperature_rate(1, 5, 25), "curvature"),
        (lambda: clock.clock_rate(1, 0, 0, 0), "rate_offset"),
        (lambda: clock.time_error(0, -1), "elapsed"),
        (lambda: clock.sample_excess(0, 0, 1), "sample_rate"),
        (lambda: clock.distance_error(1, 0), "sound_speed"),
        (lambda: clock.rate_change(0, 25, 10, 5, 0), "lowest_temperature"),
        (lambda: clock.mark_residual(-1, 1, 0), "rate_change"),
        (lambda: clock.longest_mark_interval(0, 1, 0.2), "rate_change"),
        (lambda: flow_noise.screened_flow_level(1, 0.1, 0.9, 1000), "frequency"),
        (lambda: flow_noise.screened_flow_level(1, 0.1, 51, 1000), "frequency"),
        (lambda: flow_noise.screened_flow_level(0, 0.1, 10, 1000), "speed"),
    ],
)
def test_an_impossible_argument_is_refused_by_name(call, name) -> None:
    with pytest.raises(InputError, match=f"^{name} must be"):
        call()


def test_flow_noise_falls_with_frequency_and_grows_with_speed() -> None:
    """Limits of the fit: 23 dB a decade; at one f·D/U, 40 dB a decade of speed."""
    level = flow_noise.screened_flow_level
    assert level(1, 0.1, 4, 1000) - level(1, 0.1, 40, 1000) == pytest.approx(23.0)
    assert level(5, 0.1, 50, 1000) - level(0.5, 0.1, 5, 1000) == pytest.approx(40.0)
