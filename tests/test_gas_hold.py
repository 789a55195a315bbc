"""The leak rate from a hold: known leaks, certified regressions, and logs that must be named."""

import json
import math
import random

import pytest
from scipy import stats

from calculators.bridge import call
from calculators.cards.gas_hold import LEAK_RATE
from calculators.errors import InputError
from calculators.evaluate import Given, defaults, evaluate
from calculators.formulas.gas_hold import (
    coverage_factor,
    fitted_loss_rate,
    independent_readings,
    rate_uncertainty,
    time_to_prove,
)
from calculators.formulas.hold_log import line, series
from calculators.present import answer, work

VOLUME = 1.2e-3
# Certified data of the set Norris: y, x.
NORRIS = """0.1 0.2 338.8 337.4 118.1 118.2 888.0 884.6 9.2 10.1 228.1 226.5 668.5 666.3 998.5 996.3
449.1 448.6 778.9 777.0 559.2 558.2 0.3 0.4 0.1 0.6 778.1 775.5 668.8 666.9 339.3 338.0 448.9 447.5
10.8 11.6 557.7 556.0 228.3 228.1 998.0 995.8 888.8 887.6 119.6 120.2 0.3 0.3 0.6 0.3 557.6 556.8
339.3 339.1 888.0 887.2 998.5 999.0 778.9 779.0 10.2 11.1 117.6 118.3 228.9 229.2 668.4 669.1
449.2 448.9 0.2 0.5"""


def hold(
    leak: float = 0.0,
    rows: int = 24,
    step: float = 1800.0,
    start: float = 51_300.0,
    noise: float = 8.0,
    seed: int = 1,
    extra=lambda t: 0.0,
) -> list[tuple[float, float, float]]:
    """Seconds, Pa and °C of a hold that loses ``leak`` Pa·m³/s, with ``extra`` Pa at 20 °C."""
    drawn = random.Random(seed)
    found = []
    for row in range(rows):
        t = row * step
        warm = 20 + 0.3 * math.sin(row / 5)
        cold = start - leak * t / VOLUME + extra(t)
        found.append((t, cold * (warm + 273.15) / 293.15 + drawn.gauss(0, noise), warm))
    return found


def text(rows, temperature=True, digits=3) -> str:
    head = "time (s), pressure (Pa)" + (", temperature (°C)" if temperature else "")
    cells = (f"{t:.10g},{p:.{digits}f}" + (f",{w:.4f}" if temperature else "") for t, p, w in rows)
    return "\n".join([head, *cells])


def shown(log: str, **changed):
    values = defaults(LEAK_RATE) | {"log": log} | changed
    return answer(work(LEAK_RATE, Given(values), "metric"))


def verdict(found) -> str:
    return found["outputs"][0]["verdict"]["text"].split(":")[0]


def said(found) -> str:
    return " ".join(found["remarks"])


def test_a_certified_data_set_gives_the_certified_line():
    """Published: NIST StRD Norris."""
    numbers = [float(x) for x in NORRIS.split()]
    found = line(numbers[1::2], numbers[::2])
    assert found.slope == pytest.approx(1.00211681802045, rel=1e-12)
    assert found.at(0) == pytest.approx(-0.262323073774029, rel=1e-10)
    assert found.misfit**2 == pytest.approx(26.6173985294224, rel=1e-11)
    error = rate_uncertainty(misfit=found.misfit, independent=36, time_swing=found.time_swing)
    assert error == pytest.approx(0.000429796848199937, rel=1e-10)


@pytest.mark.parametrize("confidence", [0.5, 0.8, 0.95, 0.99, 0.9999])
@pytest.mark.parametrize("freedom", [1, 1.3, 2, 5, 17.4, 58, 1000])
def test_the_coverage_factor_is_that_of_a_library(confidence, freedom):
    """Reference library: scipy, for whole and broken degrees of freedom."""
    found = coverage_factor(confidence=confidence, degrees_of_freedom=freedom)
    assert found == pytest.approx(stats.t.ppf(0.5 + confidence / 2, freedom), rel=1e-9)


@pytest.mark.parametrize("leak", [-2e-4, -3e-6, 0.0, 5e-6, 1e-4])
def test_a_known_leak_comes_out_and_its_sign_is_out_positive(leak):
    """The interval of a seeded log holds the leak that made it."""
    values = defaults(LEAK_RATE) | {"log": text(hold(leak)), "volume": VOLUME}
    found = evaluate(LEAK_RATE, values)
    assert found["leak_rate_low"] < leak < found["leak_rate_high"]
    assert found["gas_per_day"] == pytest.approx(found["leak_rate"] / 101325)


@pytest.mark.parametrize(
    ("rho", "count", "least"), [(0.0, 20, 0.94), (0.3, 20, 0.91), (0.6, 60, 0.92), (0.8, 60, 0.90)]
)
def test_the_interval_holds_the_truth_as_often_as_it_says(rho, count, least):
    """Simulation: 600 seeded logs; what hangs together must widen it."""
    drawn, held, plain = random.Random(11), 0, 0
    trials = 600
    times = [float(t) for t in range(count)]
    for _ in range(trials):
        error = drawn.gauss(0, 1) / math.sqrt(1 - rho * rho)
        errors = []
        for _ in times:
            errors.append(error)
            error = rho * error + drawn.gauss(0, 1)
        fit = line(times, errors)
        free = independent_readings(readings=count, lag_correlation=fit.lag_correlation)
        error_of = rate_uncertainty(misfit=fit.misfit, independent=free, time_swing=fit.time_swing)
        reach = coverage_factor(confidence=0.95, degrees_of_freedom=free - 2) * error_of
        held += abs(fit.slope) <= reach
        naive = fit.misfit / fit.time_swing / math.sqrt(count - 2)
        plain += abs(fit.slope) <= stats.t.ppf(0.975, count - 2) * naive if rho == 0.8 else 0
    assert held / trials >= least
    if rho == 0.8:
        assert plain / trials < 0.7  # so the correction is needed


def test_the_planned_time_proves_the_limit():
    """Independent: at that time, twice the half width of even readings is the limit."""
    time = time_to_prove(0.012, 60.0, 2.0, 0.04, 1e-6)
    count = time / 60 + 1
    swing = 60 * math.sqrt(count * (count**2 - 1) / 12)
    assert 2 * 2.0 * 0.012 / swing + 0.04 / time == pytest.approx(1e-6, rel=1e-3)


def test_three_outcomes():
    """Tight, leaking, and a test that is too short for either; inwards and outwards."""
    for start in (51_300.0, 121_300.0):
        out = 1 if start > 101_325 else -1
        assert verdict(shown(text(hold(out * 1e-6, start=start)))) == "tight as wanted"
        assert verdict(shown(text(hold(out * 5e-5, start=start)))) == "leaks"
        brief = text(hold(out * 1e-6, start=start, rows=6, step=60))
        assert verdict(shown(brief)) == "not decided"


def test_gas_that_goes_against_the_pressure_by_more_than_the_limit_is_not_tight():
    """A vacuum that seems to lose air: what fakes that would hide a leak as large."""
    for start in (51_300.0, 121_300.0):
        out = 1 if start > 101_325 else -1
        found = shown(text(hold(-out * 5e-5, start=start)))
        assert verdict(found) == "not decided"
        assert "No leak does that" in said(found)


def test_an_open_case_is_not_tight():
    """Where nothing drives a leak, a steady gauge says nothing."""
    found = shown(text(hold(0.0, start=101_000.0)))
    assert verdict(found) == "not decided"
    assert "hardly anything to drive a leak" in said(found)


def test_a_log_without_temperature_is_never_called_tight():
    """And what one kelvin would look like is said."""
    log = text([(t, p * 293.15 / (w + 273.15), w) for t, p, w in hold(0.0)], temperature=False)
    found = shown(log, leak_limit=1e-3)
    assert verdict(found) == "not decided"
    assert "One kelvin" in said(found)
    assert found["outputs"][6]["value"] == pytest.approx(
        51_300 * VOLUME / 293.15 / (23 * 1800), rel=0.01
    )


def test_noise_only_is_named():
    assert "this log is noise" in said(shown(text(hold(0.0, noise=20))))


def test_a_gauge_without_barometer_is_named_and_with_one_it_is_used():
    """The weather falls by 4 hPa: with a barometer nothing is left of it."""
    rows = hold(0.0, noise=0.5)
    weather = [101_300 - 400 * t / rows[-1][0] for t, _, _ in rows]
    plain = [(t, p - b, w) for (t, p, w), b in zip(rows, weather, strict=True)]
    alone = shown(text(plain), sensor="gauge")
    assert "no barometer" in said(alone)
    log = "time (s); pressure (Pa); temperature (°C); barometer (Pa)\n" + "\n".join(
        f"{t};{p:.3f};{w:.4f};{b:.3f}" for (t, p, w), b in zip(plain, weather, strict=True)
    )
    beside = shown(log, sensor="gauge")
    assert "no barometer" not in said(beside)
    fake = alone["outputs"][0]["value"] - beside["outputs"][0]["value"]
    assert fake == pytest.approx(-VOLUME * 400 / rows[-1][0], rel=0.01)


def test_settling_is_named_and_can_be_left_out():
    """Fast at first, steady after: the rest has the leak that made it."""
    rows = hold(-3e-6, rows=40, noise=2, extra=lambda t: -400 * math.exp(-t / 6000))
    found = shown(text(rows))
    assert "Settling: the first" in said(found)
    later = shown(text(rows), settle_time=36_000.0)
    assert "Settling" not in said(later)
    assert later["outputs"][0]["value"] == pytest.approx(-3e-6, rel=0.25)


def test_a_jump_is_named():
    assert "jumps" in said(shown(text(hold(extra=lambda t: 300.0 if t > 20_000 else 0.0))))
    assert "jumps" not in said(shown(text(hold())))


def test_a_large_change_is_named_with_the_better_description():
    decay = hold(rows=40, noise=2, extra=lambda t: 50_000 * (1 - math.exp(-t / 40_000)))
    assert "An exponential with a time constant of" in said(shown(text(decay)))
    straight = hold(-1.2e-4, rows=40, noise=150)
    assert "no worse than an exponential" in said(shown(text(straight)))


def test_rows_that_cannot_be_used_are_listed():
    lines = text(hold()).splitlines()
    lines[5], lines[9] = "12:7x,51300,20", lines[8]
    words = said(shown("\n".join(lines)))
    assert "Row 6 cannot be read" in words
    assert "Reading 8, counted among those that can be read" in words


def test_few_readings_and_rounding_are_named():
    assert "Only 5 readings" in said(shown(text(hold(rows=5))))
    still = text([(t, 51_300.0, 20.0) for t, _, _ in hold()])
    found = shown(still)
    assert "steps count in full" in said(found)
    assert found["outputs"][2]["value"] > 0  # not a leak of exactly nothing


@pytest.mark.parametrize(
    ("changed", "name", "words"),
    [
        ({"log": "0,-5,20\n1,-5,20\n2,-5,20"}, "log", "absolute pressure of zero or less"),
        ({"log": "5,50,20\n5,50,20\n4,50,20"}, "log", "at least 3"),
        ({"settle_time": 86_400.0}, "settle_time", "Leave at least 3"),
    ],
)
def test_what_cannot_be_is_refused_by_name(changed, name, words):
    with pytest.raises(InputError, match=words) as refused:
        evaluate(LEAK_RATE, defaults(LEAK_RATE) | changed)
    assert refused.value.name == name


@pytest.mark.parametrize("wrong", [0.0, -1.0, math.nan, math.inf])
def test_impossible_swings_are_refused(wrong):
    with pytest.raises(InputError, match="time_swing must be above zero"):
        fitted_loss_rate(correlation=0.5, amount_swing=1.0, time_swing=wrong)


def test_a_hundred_thousand_rows_are_reduced_once():
    """Every further evaluation works on sixty points; the plot keeps the extremes."""
    rows = hold(-3e-6, rows=100_000, step=1.0)
    rows[41_234] = (rows[41_234][0], rows[41_234][1] + 500, rows[41_234][2])
    log = text(rows)
    values = defaults(LEAK_RATE) | {"log": log, "volume": VOLUME}
    found = evaluate(LEAK_RATE, values)
    assert found["leak_rate"] == pytest.approx(-3e-6, abs=1e-7)
    assert len(series(log).times) == 60
    assert series(log) is series(log)
    points = shown(log)["plot"]["lines"][1]["points"]
    assert len(points) <= 300
    gas = [VOLUME * p * 293.15 / (w + 273.15) for _, p, w in rows]
    assert max(y for _, y in points) == pytest.approx(max(gas), rel=1e-5)


def test_the_default_answer_is_whole():
    """As the page asks for it, with the default tolerances."""
    tolerances = {"volume": "±5 %", "unseen_warming": "±0.1 Δ°C", "pressure_scale": "±1 %"}
    request = {"op": "describe"}
    decl = next(
        d for d in json.loads(call(json.dumps(request)))["calculators"] if d["id"] == "leak-rate"
    )
    assert {i["name"]: i.get("default_tolerance", "") for i in decl["inputs"]}.keys() >= set(
        tolerances
    )
    assert verdict(shown(str(defaults(LEAK_RATE)["log"]))) == "tight as wanted"
