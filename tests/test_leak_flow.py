"""Leaks too fine to see: formulas against integrations, and the calculator's reasoning."""

import math

import pytest
from scipy.integrate import quad, solve_ivp

from calculators.cards.leak_budget import HOLDS, LEAK_BUDGET, SOAKS
from calculators.errors import InputError
from calculators.evaluate import defaults, evaluate
from calculators.formulas import leak_flow

AIR = {"viscosity": 1.8208e-5, "temperature": 20}
AIR_CONSTANT = 8.314462618 / 0.0289647
SPEED = math.sqrt(2 * AIR_CONSTANT * 293.15)
CASE = {"pressure_difference": 1.2e5, "air_pressure": 101325, "free_volume": 1.2e-3}
TESTS = (*SOAKS, "bubbles", *HOLDS)


def answer(**changed):
    """The calculator's answer for its defaults with these changes."""
    return evaluate(LEAK_BUDGET, defaults(LEAK_BUDGET) | changed)


def refused(field, words, **changed):
    """These values are refused, by the name of the field, with what is accepted."""
    with pytest.raises(InputError, match=words) as refusal:
        answer(**changed)
    assert refusal.value.name == field


# Formulas


@pytest.mark.parametrize(
    ("bore", "high", "low"),
    [(2e-5, 121325, 101325), (1e-5, 101325, 51325), (5e-6, 151325, 101325), (5e-5, 101325, 81325)],
)
def test_gas_flow_agrees_with_slip_flow_integrated_along_the_channel(bore, high, low):
    """Independent: parabola with slip at the wall, times the local pressure; no mean pressure."""
    length, radius = 3e-3, bore / 2

    def conductance(pressure):
        slip = 1.018 * AIR["viscosity"] * SPEED / pressure
        ring = lambda r: (radius**2 - r**2 + 2 * radius * slip) * 2 * math.pi * r  # noqa: E731
        return pressure * quad(ring, 0, radius)[0] / (4 * AIR["viscosity"])

    expected = quad(conductance, low, high)[0] / length
    found = leak_flow.gas_flow(bore, length, high, low, **AIR)
    assert found == pytest.approx(expected, rel=5e-3)


def test_wide_channels_obey_the_law_of_squares():
    """Limit: far above the mean free path Q = π d⁴ (p₁² − p₂²) / (256 η l), from the safe side."""
    high, low, length = 121325, 101325, 3e-3
    for bore, most in ((1e-3, 1e-3), (1e-4, 1e-2), (1e-5, 8e-2)):
        plain = math.pi * bore**4 * (high**2 - low**2) / (256 * AIR["viscosity"] * length)
        found = leak_flow.gas_flow(bore, length, high, low, **AIR)
        assert 0 < found / plain - 1 < most


def test_slip_is_as_large_as_the_derivation_says():
    """Printed there: 1.2 % in 50 µm, 6 % in 10 µm, 64 % in 1 µm, around the air's own pressure."""
    for bore, printed in ((5e-5, 0.012), (1e-5, 0.06), (1e-6, 0.64)):
        plain = math.pi * bore**4 * (110e3**2 - 90e3**2) / (256 * AIR["viscosity"] * 3e-3)
        found = leak_flow.gas_flow(bore, 3e-3, 110e3, 90e3, **AIR)
        assert found / plain - 1 == pytest.approx(printed, rel=0.03)


def test_a_slit_that_stays_shut_passes_as_many_bores_as_the_derivation_says():
    """Independent: w h³ p / (12 η l) with the height that holds the same pressure, 2γ/h = 4γ/d."""
    height, width, length, pressure, viscosity = 8e-6, 80e-6, 3e-3, 1.2e5, 1.2e-3
    slit = width * height**3 * pressure / (12 * viscosity * length)
    bore = leak_flow.water_flow(2 * height, length, pressure, viscosity)
    assert slit / bore == pytest.approx(0.21 * width / height, rel=0.02)


def test_the_finest_channels_obey_the_molecular_law():
    """Limit: Q = √(2π)/6 · √(RT/M) · d³/l · (p₁ − p₂), as the leak-testing pages print it."""
    bore, length = 1e-6, 1e-2
    expected = math.sqrt(2 * math.pi) / 6 * math.sqrt(AIR_CONSTANT * 293.15) * bore**3 / length
    assert leak_flow.gas_flow(bore, length, 1.0, 0.0, **AIR) == pytest.approx(expected, rel=1e-2)


def test_a_doubled_pressure_gives_the_printed_rise_of_a_leak():
    """Published: 1 mm³/s at 10 atm into 1 atm is printed as 4 mm³/s at 20 atm: 399/99."""
    ratio = leak_flow.gas_flow(3e-5, 1e-2, 20 * 101325, 101325, **AIR) / leak_flow.gas_flow(
        3e-5, 1e-2, 10 * 101325, 101325, **AIR
    )
    assert ratio == pytest.approx(4.0, rel=1.5e-2)


@pytest.mark.parametrize("bore", [1e-7, 1e-6, 1e-5, 1e-4, 1e-3])
def test_bores_and_flows_are_inverse(bore):
    """Every bore comes back from its own flow, of air and of water."""
    flow = leak_flow.gas_flow(bore, 3e-3, 121325, 101325, **AIR)
    assert leak_flow.bore_for_gas_flow(flow, 3e-3, 121325, 101325, **AIR) == pytest.approx(
        bore, rel=1e-12
    )
    water = leak_flow.water_flow(bore, 3e-3, 1e5, 1e-3)
    assert leak_flow.bore_for_water_flow(water, 3e-3, 1e5, 1e-3) == pytest.approx(bore, rel=1e-12)


@pytest.mark.parametrize("first_flow", [1e-15, 1e-11, 3e-10, 1e-9, 1e-7])
@pytest.mark.parametrize("pressure", [1e3, 2e4, 1.2e5, 1e7])
def test_ingress_agrees_with_steps_in_time(first_flow, pressure):
    """Independent: the flow falls with the pressure left, stepped in time; and back again."""
    case = CASE | {"pressure_difference": pressure}
    day = 86400.0
    volume, air = case["free_volume"], case["air_pressure"]

    def rate(_, filled):
        left = pressure - air * filled[0] / (1 - filled[0])
        return [first_flow / volume * left / pressure]

    stepped = solve_ivp(rate, (0, day), [0.0], method="LSODA", rtol=1e-10, atol=1e-16)
    expected = stepped.y[0, -1] * volume
    found = leak_flow.ingress(first_flow, day, **case)
    assert found == pytest.approx(expected, rel=1e-6)
    assert found <= first_flow * day
    assert found <= leak_flow.balance_ingress(**case) * (1 + 1e-12)
    if found < 0.99 * leak_flow.balance_ingress(**case):
        assert leak_flow.first_flow(found, day, **case) == pytest.approx(first_flow, rel=1e-9)


def test_ingress_that_cannot_be_is_refused_by_name():
    """More than the balance is reached by no leak."""
    most = leak_flow.balance_ingress(**CASE)
    with pytest.raises(InputError, match="ingress must be from 0"):
        leak_flow.first_flow(most, 3600, **CASE)


@pytest.mark.parametrize("angle", [30, 60, 90, 120, 170])
def test_a_sharp_end_holds_what_the_growing_cap_needs(angle):
    """Independent: γ dA/dV of a cap on the edge, up to the angle at which it spreads."""
    tension, bore = 0.0728, 1e-5
    radius = bore / 2

    def needed(height):
        step = height * 1e-6
        area = lambda h: math.pi * (radius**2 + h**2)  # noqa: E731
        volume = lambda h: math.pi * h * (3 * radius**2 + h**2) / 6  # noqa: E731
        grown = area(height + step) - area(height - step)
        return tension * grown / (volume(height + step) - volume(height - step))

    last = radius * math.tan(math.radians(angle) / 2)  # the cap meets the face at the angle
    most = max(needed(last * i / 400) for i in range(1, 401))
    assert leak_flow.exit_pressure(tension, angle, bore) == pytest.approx(most, rel=1e-4)


def test_an_end_never_holds_less_than_the_entry():
    """So that a channel of any angle that was entered may still be shut by its end."""
    for angle in range(1, 181):
        held = leak_flow.exit_pressure(0.0728, angle, 1e-5)
        assert held >= leak_flow.entry_pressure(0.0728, angle, 1e-5) * (1 - 1e-12)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: leak_flow.water_viscosity(-11), "temperature must be from -10"),
        (lambda: leak_flow.air_viscosity(61), "temperature must be from -10"),
        (lambda: leak_flow.water_surface_tension(math.nan), "temperature must be from -10"),
        (lambda: leak_flow.water_flow(-1e-6, 1e-3, 1e5, 1e-3), "bore must be from 0"),
        (lambda: leak_flow.bore_for_water_flow(1e-9, 1e-3, 0, 1e-3), "pressure_difference must"),
        (lambda: leak_flow.gas_flow(1e-6, 1e-3, 1e5, 2e5, **AIR), "low_pressure must be from 0"),
        (
            lambda: leak_flow.bore_for_gas_flow(1e-6, 1e-3, 1e5, 1e5, **AIR),
            "pressure_difference must be above zero",
        ),
        (lambda: leak_flow.entry_pressure(0.07, 181, 1e-6), "contact_angle must be from 0"),
        (lambda: leak_flow.exit_pressure(0.07, 0, 1e-6), "contact_angle must be above zero"),
        (lambda: leak_flow.widest_shut_bore(0.07, 90, 0), "pressure_difference must be above"),
        (lambda: leak_flow.bubble_gas_flow(0, 60, 1e5), "diameter must be above zero"),
        (lambda: leak_flow.balance_ingress(1e5, 0, 1e-3), "air_pressure must be above zero"),
        (lambda: leak_flow.ingress(-1, 60, **CASE), "first_flow must be from 0"),
        (lambda: leak_flow.reynolds_number(1e-9, 0, 1e3, 1e-3), "bore must be above zero"),
    ],
)
def test_impossible_arguments_are_refused_by_name(call, words):
    """The message names the argument and the rule."""
    with pytest.raises(InputError, match=words):
        call()


# Calculator


def test_a_channel_just_below_each_limit_was_missed_and_does_what_is_said():
    """Independent: one open channel is put through the test and then through the deployment."""
    for test in SOAKS:
        given = defaults(LEAK_BUDGET) | {"test": test, "contact_angle": 90.0}
        found = evaluate(LEAK_BUDGET, given)
        length, bore = given["channel_length"], found["seen_bore"]
        soak = given["soak_density"] * 9.80665 * given["soak_depth"]
        seen = given["mass_seen"] / given["soak_density"]
        seen = seen if test == "soak-weighed" else given["spot_seen"]
        k = math.pi * bore**4 / (128 * length)
        eta = leak_flow.water_viscosity(given["temperature_test"])

        def rate(_, v, k=k, eta=eta, soak=soak, given=given):
            back = given["air_pressure"] * v[0] / (given["free_volume"] - v[0])
            return [k / eta * (soak - back)]

        steps = solve_ivp(rate, (0, given["soak_duration"]), [0.0], rtol=1e-10, atol=1e-18)
        assert steps.y[0, -1] == pytest.approx(seen, rel=1e-6)


@pytest.mark.parametrize("test", TESTS)
def test_parts_add_up_and_stay_below_the_balance(test):
    """Whatever the test, the answer is the sum of its parts and less than air allows."""
    found = answer(test=test)
    assert found["open_part"] + found["shut_part"] == pytest.approx(found["unseen_ingress"])
    assert 0 < found["unseen_ingress"] < found["most_ingress"]
    assert found["equivalent_bore"] >= found["seen_bore"] * (1 - 1e-9)


def test_no_longer_soak_and_no_better_balance_shrinks_what_was_shut():
    """The heart of it: only pressure does."""
    first = answer()
    assert first["shut_part"] > 0
    hundred = answer(soak_duration=100 * 14 * 3600.0, mass_seen=1e-6)
    assert hundred["open_part"] < first["open_part"] / 1e3
    assert hundred["shut_bore"] == first["shut_bore"]
    # What shares the pressed air with it is gone, so a little more comes through it.
    assert hundred["shut_part"] > first["shut_part"]
    deeper = answer(soak_depth=12.0)
    assert deeper["shut_bore"] == pytest.approx(first["shut_bore"] * 1.8 / 12)
    assert deeper["shut_part"] < first["shut_part"] / 1e3


def test_dry_channels_tested_with_gas_leave_nothing_shut():
    """A plug of water does: gas tests come before water tests."""
    for test in HOLDS:
        assert answer(test=test)["shut_bore"] == 0
        assert answer(test=test)["shut_part"] == 0
        wet = answer(test=test, channel_state="wet")
        assert wet["shut_part"] > 0
        assert wet["shut_bore"] == pytest.approx(8 * 0.072736 / 20e3, rel=1e-4)


@pytest.mark.parametrize("angle", [30.0, 90.0, 120.0, 160.0])
def test_a_bubble_must_pass_a_half_sphere_whatever_angle_was_entered(angle):
    """The angle entered is that of advancing water; a bubble makes it recede."""
    found = answer(test="bubbles", contact_angle=angle)
    assert found["shut_bore"] == pytest.approx(4 * 0.072736 / 20e3, rel=1e-4)


def test_a_shallow_deployment_does_not_open_what_the_test_left_shut():
    """Below the pressure that fills a dry channel which water does not wet, nothing gets in."""
    soak = {"soak_depth": 10.0, "contact_angle": 110.0, "water_density": 998.21}
    threshold = 10 * -math.cos(math.radians(110))
    tension = leak_flow.water_surface_tension(12) / leak_flow.water_surface_tension(20)
    below, above = (threshold * tension * x for x in (0.999, 1.001))
    assert answer(depth=below, **soak)["shut_part"] == 0
    assert answer(depth=above, **soak)["shut_part"] > 0
    # A wall that water wets is open at any depth.
    assert answer(depth=0.5, **(soak | {"contact_angle": 80.0}))["shut_part"] > 0


def test_a_test_that_is_called_enough_is_enough():
    """What the calculator asks for, entered again, meets the limit exactly."""
    given = defaults(LEAK_BUDGET)
    first = evaluate(LEAK_BUDGET, given)
    soak = evaluate(
        LEAK_BUDGET,
        given
        | {
            "soak_depth": first["needed_depth"],
            "soak_density": given["water_density"],
            "temperature_test": given["temperature_water"],
            "soak_duration": 10 * 86400.0,
            "mass_seen": first["needed_gain"] * 10 * 86400 * given["water_density"],
        },
    )
    assert soak["unseen_ingress"] == pytest.approx(given["allowed_ingress"], rel=0.02)
    assert soak["open_part"] == pytest.approx(soak["shut_part"], rel=0.02)
    for test in HOLDS:
        limit = answer(test=test)["needed_leak_rate"]
        hold = answer(test=test, leak_limit=limit)
        assert hold["unseen_ingress"] == pytest.approx(given["allowed_ingress"], rel=1e-9)


@pytest.mark.parametrize("test", TESTS)
def test_what_is_judged_place_by_place_may_be_missed_at_every_place(test):
    """Paper and bubbles; a balance and a gauge count all that is open together."""
    grown = open_flow(test, channels=7.0) / open_flow(test, channels=1.0)
    assert grown == pytest.approx(7.0 if test in ("soak-paper", "bubbles") else 1.0, rel=1e-9)


def open_flow(test, channels):
    """First flow through what was open, worked back from the ingress."""
    given = defaults(LEAK_BUDGET) | {"test": test, "channels": channels, "depth": 2.0}
    found = evaluate(LEAK_BUDGET, given)
    flow = leak_flow.first_flow(
        ingress=found["unseen_ingress"],
        duration=given["duration"],
        pressure_difference=given["water_density"] * 9.80665 * given["depth"],
        air_pressure=given["air_pressure"],
        free_volume=given["free_volume"],
    )
    return flow * found["open_part"] / found["unseen_ingress"]


def test_slip_makes_the_same_leak_rate_less_dangerous():
    """Direction: by friction alone the conversion from gas to water comes out on the safe side."""
    given = defaults(LEAK_BUDGET) | {"test": "vacuum-hold", "leak_limit": 1e-6}
    found = evaluate(LEAK_BUDGET, given)
    pressure = given["water_density"] * 9.80665 * given["depth"]
    high, low = given["air_pressure"], given["air_pressure"] - given["test_pressure"]
    plain = (
        given["leak_limit"]
        * 2
        * leak_flow.air_viscosity(20)
        / leak_flow.water_viscosity(12)
        * pressure
        / (high**2 - low**2)
        * given["duration"]
    )
    assert 0.8 * plain < found["unseen_ingress"] < plain


def test_many_fine_channels_of_one_leak_rate_let_in_less_than_one():
    """Why one channel is the worst for what is open."""
    length, pressures = 3e-3, (121325, 101325)

    def water(count):
        bore = leak_flow.bore_for_gas_flow(1e-6 / count, length, *pressures, **AIR)
        return count * leak_flow.water_flow(bore, length, 1.2e5, 1e-3)

    assert water(1) > water(10) > water(100)


def test_common_practice_limits_of_watertight_lie_where_they_should():
    """Common practice, no source: 1e-3 mbar·L/s at 1 bar counts as watertight for a drip.

    Over ten days at 12 m it is no small leak: some millilitres a day.
    """
    leak = {"test": "vacuum-hold", "test_pressure": 1e5, "leak_limit": 1e-4}
    found = answer(**leak, air_pressure=101325.0)
    assert 1e-6 < found["unseen_ingress"] / 10 < 1e-5


def test_common_practice_a_day_in_a_pool_clears_no_deep_deployment():
    """Common practice, no source: the soak of a day in a pool, as a plausibility check only."""
    found = answer(soak_depth=2.0, soak_duration=86400.0)
    assert found["shut_part"] > found["open_part"] > 2e-6


def test_values_that_do_not_go_together_are_refused_by_field():
    """Each refusal names the field and what is accepted."""
    refused("allowed_ingress", "Give less than that", allowed_ingress=1e-3, depth=1.0)
    refused("mass_seen", "the air in the case stops the water at", mass_seen=0.5, soak_depth=0.1)
    refused(
        "spot_seen",
        "or a deeper soak",
        test="soak-paper",
        spot_seen=1e-4,
        soak_depth=0.05,
        free_volume=1e-4,
        allowed_ingress=1e-6,
    )
    refused("test_pressure", "or less", test="vacuum-hold", test_pressure=9e4, air_pressure=8e4)


def test_remarks_say_what_the_test_proved_and_what_would_be_enough():
    """In words: the first sentence is the verdict on the proof."""
    given = defaults(LEAK_BUDGET)

    def said(**changed):
        values = given | changed
        lines = LEAK_BUDGET.remarks(values, evaluate(LEAK_BUDGET, values), "metric")
        return [line.replace("\u00a0", " ") for line in lines]

    assert said()[0].startswith("This test could miss a leak that lets in")
    assert any("held shut by surface tension" in line for line in said())
    assert any(line.startswith("Enough would be: a soak at") for line in said())
    assert any("in 14 h that is 23.1 mg; with 500 mg it takes 12 d" in line for line in said())
    assert said(leak_limit=1e-7, test="vacuum-hold")[0].startswith("What this test could miss")
    assert any("wrong way round" in line for line in said(test="pressure-hold"))
    assert not any("wrong way round" in line for line in said(test="vacuum-hold"))
    assert any("wide for so short" in line for line in said(soak_depth=0.06, mass_seen=1e-4))
    assert any("let the case fill" in line for line in said(soak_depth=0.5))
    swift = {"test": "bubbles", "bubble_diameter": 0.02, "bubble_interval": 1.0}
    assert any("So fast a leak" in line for line in said(**swift))
    assert not any("So fast a leak" in line for line in said(test="bubbles"))


def test_a_hold_lasts_until_the_leak_has_moved_more_than_step_and_warmth_can_hide() -> None:
    """Second by second into half a vacuum, until gauge step and gas law are outdone."""
    given = {"test": "vacuum-hold", "test_pressure": 5e4, "leak_limit": 6e-6, "gauge_step": 20.0}
    volume, warm, warming = 1.2e-3, 20.0, 0.2
    found = answer(
        **given, free_volume=volume, temperature_test=warm, unseen_warming=warming, depth=2.0
    )
    assert found["needed_leak_rate"] > 6e-6
    pressure = 101300.0 - 5e4
    hidden = 20.0 + pressure * ((warm + warming + 273.15) / (warm + 273.15) - 1)
    step, time, risen = 1.0, 0.0, 0.0
    while risen < hidden:
        risen += 6e-6 * step * (warm + 273.15) / 293.15 / volume
        time += step
    assert found["needed_time"] == pytest.approx(time, rel=1e-3)


def test_a_hold_that_proves_too_little_is_timed_for_the_leak_that_is_allowed() -> None:
    loose = answer(test="vacuum-hold", leak_limit=1e-3)
    tight = answer(test="vacuum-hold", leak_limit=loose["needed_leak_rate"])
    assert loose["needed_time"] == pytest.approx(tight["needed_time"], rel=1e-9)


def test_a_soak_of_the_time_and_depth_that_it_needs_is_just_enough() -> None:
    """As the card itself judges it: half of what may get in through what it could not see open."""
    values = defaults(LEAK_BUDGET) | {"free_volume": 0.1, "mass_seen": 5e-4}
    values["soak_density"] = values["water_density"]
    values["temperature_test"] = values["temperature_water"]
    first = evaluate(LEAK_BUDGET, values)
    soak = {"soak_depth": first["needed_depth"], "soak_duration": first["needed_time"]}
    again = evaluate(LEAK_BUDGET, values | soak)
    assert again["open_part"] == pytest.approx(float(values["allowed_ingress"]) / 2, rel=0.01)


def test_bubbles_are_watched_until_the_leak_that_is_allowed_makes_one() -> None:
    """The gas of one bubble over that leak rate."""
    found = answer(test="bubbles", bubble_diameter=2e-3, bubble_interval=60.0)
    gas = 4 / 3 * math.pi * 1e-3**3 * 101300.0
    assert found["needed_time"] == pytest.approx(gas / found["needed_leak_rate"], rel=1e-6)
