"""Sound speed against TEOS-10 over whole ranges, rays that are integrated, and named refusals."""

import math

import gsw
import pytest
from scipy.integrate import solve_ivp

from calculators.cards.sound_speed import LEROY, NEAR, SECONDS, SOUND_SPEED, UNESCO, main_fit, place
from calculators.errors import InputError
from calculators.evaluate import Given, defaults, evaluate
from calculators.formulas import sound_speed as speed
from calculators.formulas.constants import GRAVITY
from calculators.present import answer, work

BASE = defaults(SOUND_SPEED)
SEA = BASE | {"water": "salt", "salinity": 35.0}
STILL = {"surface_temperature": 10.0, "bottom_temperature": 10.0}


def teos(temperature: float, salinity: float, depth: float) -> float:
    """TEOS-10, salinity by the reference composition, pressure at a latitude of 45°."""
    absolute = gsw.SR_from_SP(salinity)
    return float(gsw.sound_speed_t_exact(absolute, temperature, gsw.p_from_z(-depth, 45)))


@pytest.mark.parametrize("salinity", [1, 7, 15, 25, 32, 35, 40])
@pytest.mark.parametrize("temperature", [0, 2, 4, 10, 18, 25, 30])
def test_salt_water_of_the_first_hundred_metres_agrees_with_teos_10(salinity, temperature):
    """What the page says of the Unesco formula: 0.2 m/s."""
    for depth in (0, 12, 100):
        found = UNESCO.at(place(temperature, salinity, depth))
        assert found == pytest.approx(teos(temperature, salinity, depth), abs=0.2)


@pytest.mark.parametrize("salinity", [30, 33, 35])
def test_freezing_sea_water_agrees_with_teos_10(salinity):
    """Down to its freezing point, where Leroy's formula is used: 0.15 m/s."""
    for temperature in (-1.6, -1.2, -0.5, -0.1):
        for depth in (0, 2, 50, 100):
            found = LEROY.at(place(temperature, salinity, depth))
            assert found == pytest.approx(teos(temperature, salinity, depth), abs=0.15)


def test_formulas_meet_where_one_takes_over_from_the_other():
    """At 0 °C the step is smaller than what either is sure of."""
    for salinity in (10, 20, 30, 35, 40):
        spot = place(0.0, salinity, 10.0)
        assert LEROY.at(spot) == pytest.approx(UNESCO.at(spot), abs=0.2)


def test_the_right_formula_is_used_on_either_side_of_zero():
    """The range of each decides."""
    assert main_fit("salt", 0.0) is UNESCO
    assert main_fit("salt", -0.01) is LEROY


def test_fresh_water_is_fastest_near_74_degrees_and_rises_up_to_40():
    """A law of nature that every fit must follow: no bump below 40 °C."""
    row = [speed.fresh_sound_speed(temperature=t / 2, gauge_pressure=0) for t in range(81)]
    assert row == sorted(row)


@pytest.mark.parametrize(
    ("values", "name", "says"),
    [
        ({"surface_temperature": -0.5}, "surface_temperature", "Fresh water freezes at 0\u00a0°C"),
        ({"bottom_temperature": -1.0}, "bottom_temperature", "Fresh water freezes"),
        ({"depth": 5.0}, "depth", "no more than the depth of the water, 4.5 m"),
    ],
)
def test_what_cannot_be_is_refused_by_name(values, name, says):
    """Ice is no water, and a hydrophone lies above the bottom."""
    with pytest.raises(InputError, match=says) as refused:
        evaluate(SOUND_SPEED, BASE | values)
    assert refused.value.name == name


def test_sea_water_may_be_colder_than_zero_but_not_than_its_freezing_point():
    """−1.8 °C for salinity 35, not for 20."""
    cold = {"surface_temperature": -1.8, "bottom_temperature": -1.8}
    assert evaluate(SOUND_SPEED, SEA | cold)["sound_speed"] == pytest.approx(
        teos(-1.8, 35, 3), abs=0.15
    )
    with pytest.raises(InputError, match=r"salinity 20 freezes at −1\.08\s°C"):
        evaluate(SOUND_SPEED, SEA | cold | {"salinity": 20.0})


def test_a_second_formula_outside_its_range_is_refused_with_the_range():
    """Mackenzie's is for the open sea."""
    with pytest.raises(InputError, match="salinity 25 to 40") as refused:
        evaluate(SOUND_SPEED, SEA | {"salinity": 8.0, "second": "mackenzie"})
    assert refused.value.name == "second"


@pytest.mark.parametrize("second", list(SECONDS))
def test_the_second_formula_costs_less_than_half_a_metre_a_second_in_the_sea(second):
    """What the page says: some tenths."""
    for temperature in (2, 8, 14, 20, 26):
        values = SEA | {"second": second, "salinity": 33.0}
        values |= {"surface_temperature": temperature, "bottom_temperature": temperature}
        assert abs(evaluate(SOUND_SPEED, values)["formula_difference"]) < 0.5


def test_medwin_lies_four_to_eight_tenths_too_low_in_fresh_water():
    """What the page says; the standards are pinned in the ledger."""
    for temperature in (5, 10, 15, 20):
        values = BASE | {"surface_temperature": temperature, "bottom_temperature": temperature}
        assert -0.85 < evaluate(SOUND_SPEED, values)["formula_difference"] < -0.4


def test_stirred_water_is_faster_by_its_pressure_alone():
    """1.6 m/s for 100 m, as the page says."""
    values = BASE | STILL | {"water_depth": 100.0, "depth": 50.0}
    found = evaluate(SOUND_SPEED, values)
    assert found["bottom_speed"] - found["surface_speed"] == pytest.approx(1.6, abs=0.1)


def test_what_the_page_says_of_a_unit_of_salinity_and_half_a_degree():
    """1.2 m/s for one unit; 2 m/s, 0.15 %, for half a degree in cold fresh water."""
    salt = [UNESCO.at(place(12.0, s, 5.0)) for s in (20.0, 21.0)]
    assert salt[1] - salt[0] == pytest.approx(1.2, abs=0.06)
    cold = [speed.fresh_sound_speed(temperature=t, gauge_pressure=0) for t in (8.0, 8.5)]
    assert cold[1] - cold[0] == pytest.approx(2.0, abs=0.2)


def test_the_bend_is_that_of_a_ray_through_the_same_water():
    """Independent: a ray stepped through the profile itself, while it stays in the thermocline."""

    def slope(_: float, ray: list[float]) -> list[float]:
        _, depth, angle = ray
        near = [speed_at(depth + step) for step in (-NEAR, 0.0, NEAR)]
        gradient = (near[2] - near[0]) / (2 * NEAR)
        return [math.cos(angle), math.sin(angle), -gradient * math.cos(angle) / near[1]]

    def speed_at(depth: float) -> float:
        temperature = 17.0 - (depth - 1.5) / 2 * 6
        pressure = 999.4 * GRAVITY * depth
        return speed.fresh_sound_speed(temperature=temperature, gauge_pressure=pressure)

    values = BASE | {"depth": 2.5, "distance": 8.0}
    ray = solve_ivp(
        slope, (0, 20), [0, 2.5, 0], rtol=1e-9, events=lambda s, y: y[0] - 8, max_step=0.5
    )
    sunk = ray.y_events[0][0][1] - 2.5
    assert evaluate(SOUND_SPEED, values)["bend"] == pytest.approx(sunk, rel=0.02)


def test_under_ice_sound_bends_up_and_in_summer_down():
    """Towards the slower, colder water."""
    ice = {"surface_temperature": 0.0, "bottom_temperature": 4.0, "mixed_layer_depth": 0.0}
    worked = work(SOUND_SPEED, Given(BASE | ice | {"thermocline_thickness": 4.5}), "metric")
    assert worked.results["bend"] < 0
    assert any("bends upwards" in line for line in answer(worked)["remarks"])
    worked = work(SOUND_SPEED, Given(BASE), "metric")
    assert worked.results["bend"] > 0
    assert any("bends downwards" in line for line in answer(worked)["remarks"])


def test_a_thermocline_that_ends_below_the_bottom_is_told():
    """The temperature at the bottom is then not the one that was entered."""
    worked = work(SOUND_SPEED, Given(BASE | {"thermocline_thickness": 6.0}), "metric")
    assert any("ends below the bottom" in line for line in answer(worked)["remarks"])


def test_a_thermocline_without_thickness_is_a_step():
    """No division by nothing, and both temperatures are there."""
    found = evaluate(SOUND_SPEED, BASE | {"thermocline_thickness": 0.0, "depth": 1.5})
    assert found["temperature"] == 17.0
    found = evaluate(SOUND_SPEED, BASE | {"thermocline_thickness": 0.0, "depth": 1.6})
    assert found["temperature"] == 11.0
