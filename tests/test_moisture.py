"""Humid air in a closed case: the curves against thermodynamics, balances against integrations."""

import math
from itertools import pairwise

import pytest
from scipy.integrate import solve_ivp

from calculators.cards.moisture import CONDENSATION
from calculators.errors import InputError
from calculators.evaluate import defaults, evaluate
from calculators.formulas import moisture
from calculators.present import range_text
from calculators.registry import TABLES

GAS = 461.52
DEFAULTS = defaults(CONDENSATION)


def answer(**changed):
    """The calculator's answer for its defaults with these changes."""
    return evaluate(CONDENSATION, DEFAULTS | changed)


def remarks(**changed):
    """The remarks for these changes, as one text."""
    values = DEFAULTS | changed
    said = CONDENSATION.remarks(values, evaluate(CONDENSATION, values), "metric")
    return " ".join(said).replace("\u00a0", " ")


def slope(curve, temperature):
    """Relative slope of a saturation pressure, 1/K."""
    step = 1e-3
    return math.log(curve(temperature + step) / curve(temperature - step)) / (2 * step)


# The curves


@pytest.mark.parametrize("temperature", [0.5, 10, 25, 40, 55])
def test_slope_over_water_is_that_of_its_latent_heat(temperature):
    """Clausius and Clapeyron: dln e/dT = L/(R T²), L of water linear in temperature.

    Vapour of 55 °C is 0.4 % from an ideal gas; the slope of the fit is off by up to 0.6 % there.
    """
    latent = 2.5008e6 - 2.36e3 * temperature
    expected = latent / (GAS * (temperature + 273.15) ** 2)
    assert slope(moisture.water_saturation_pressure, temperature) == pytest.approx(
        expected, rel=1.1e-2
    )


@pytest.mark.parametrize("temperature", [-0.5, -10, -25, -40])
def test_slope_over_ice_is_that_of_its_latent_heat(temperature):
    expected = 2.8345e6 / (GAS * (temperature + 273.15) ** 2)
    assert slope(moisture.saturation_pressure, temperature) == pytest.approx(expected, rel=6e-3)


def test_both_curves_meet_at_zero_and_ice_is_lower_below():
    over_water, lowest = moisture.water_saturation_pressure, moisture.saturation_pressure
    assert lowest(-1e-9) == pytest.approx(lowest(0.0), rel=1e-8)
    for temperature in (-0.1, -1, -10, -40):
        assert lowest(temperature) < over_water(temperature)
    for temperature in (0, 4, 25, 60):
        assert lowest(temperature) == over_water(temperature)


@pytest.mark.parametrize("temperature", [-44, -10, 0, 4, 25, 60])
def test_dew_point_of_saturated_air_is_its_temperature(temperature):
    assert moisture.dew_point(1.0, temperature) == pytest.approx(temperature, abs=1e-9)


@pytest.mark.parametrize("temperature", [-64.5, -45, -20, -1e-3, 0.0, 1e-3, 4, 25, 59.9])
def test_dew_inside_gives_back_the_temperature_of_saturated_vapour(temperature):
    over = moisture.saturation_pressure(temperature)
    density = moisture.vapour_density(1.0, over, temperature)
    assert moisture.dew_inside(density) == pytest.approx(temperature, abs=1e-9)


# Balances


def test_a_wall_lets_through_what_the_permeability_says_once_it_is_steady():
    """Independent: diffusion through 40 layers, permeability as diffusivity times solubility."""
    thickness, diffusivity, solubility, outside = 5e-3, 5e-12, 2e-3, 500.0
    layers = 40
    width = thickness / layers

    def change(_, held):
        full = [outside * solubility, *held, 0.0]
        gaps = [width / 2, *[width] * (layers - 1), width / 2]
        flows = [
            diffusivity * (a - b) / gap for (a, b), gap in zip(pairwise(full), gaps, strict=True)
        ]
        return [(i - o) / width for i, o in pairwise(flows)]

    found = solve_ivp(change, (0, 6e6), [0.0] * layers, method="BDF", rtol=1e-6, atol=1e-12)
    flow = diffusivity * found.y[-1][-1] / (width / 2)
    expected = moisture.permeated_vapour(diffusivity * solubility, 0.1, thickness, outside, 86400)
    assert expected == pytest.approx(8.64e-6, rel=1e-9)
    assert flow * 0.1 * 86400 == pytest.approx(expected, rel=1e-3)


def test_what_the_desiccant_takes_is_what_came_out_of_air_contents_and_wall():
    """Independent: vapour followed on its way, the desiccant taking what is above its density."""
    volume, final, held, through, days = 1.2e-3, 2.5e-3, 0.15 * 0.0015, 20e-6, 30 * 86400.0

    def change(time, state):
        density, inside, _ = state
        taken = (density - final) * volume / 3600
        out = inside / (3 * 86400)
        wall = through / (10 * 86400) if time < 10 * 86400 else 0.0
        return [(out + wall - taken) / volume, -out, taken]

    found = solve_ivp(
        change, (0, days), [15e-3, held, 0.0], method="BDF", max_step=43200, rtol=1e-6, atol=1e-12
    )
    load = moisture.desiccant_load(15e-3, final, volume, 0.15, 0.0015, through)
    assert load == pytest.approx(2.6e-4, rel=1e-9)
    assert found.y[2][-1] == pytest.approx(load, rel=2e-3)


def test_water_is_neither_made_nor_lost():
    found = answer()
    assert found["vapour_left"] + found["condensed_mass"] == pytest.approx(found["moisture_held"])
    more = answer(contents=0.0)
    assert more["condensed_most"] == more["condensed_mass"]


def test_dew_inside_comes_later_than_in_the_open_and_by_how_much():
    """Constant volume: the vapour's pressure falls with the absolute temperature."""
    for humidity in (0.3, 0.65, 0.9):
        found = answer(humidity_closed=humidity)
        assert found["dew_inside"] < found["dew_point"]
        at_dew = moisture.water_saturation_pressure(found["dew_inside"])
        in_the_open = humidity * moisture.water_saturation_pressure(25.0)
        ratio = (found["dew_inside"] + 273.15) / 298.15
        assert at_dew == pytest.approx(in_the_open * ratio, rel=1e-9)


def test_closed_at_the_clear_humidity_dew_comes_just_at_the_water():
    for water in (-1.0, 0.0, 4.0, 15.0):
        limit = answer(temperature_water=water)["clear_humidity"]
        found = answer(temperature_water=water, humidity_closed=limit)
        assert found["dew_inside"] == pytest.approx(water, abs=1e-6)
        assert found["condensed_mass"] == pytest.approx(0.0, abs=1e-12)


def test_saturated_water_warmer_than_the_closing_stays_clear_at_any_humidity():
    found = answer(temperature_closed=5.0, temperature_water=20.0, humidity_closed=1.0)
    assert found["clear_humidity"] > 1
    assert found["condensed_mass"] == 0
    assert found["humidity_cold"] < 1


def test_a_case_that_no_air_fogs_says_so_instead_of_a_humidity_that_no_air_has():
    limit = CONDENSATION.outputs_by_name["clear_humidity"]
    for ratio in (1.0, 1.41):
        assert limit.text(ratio, "metric") == limit.text(ratio, "us") == "any humidity"
    assert limit.text(0.995, "metric") == "99.5\u00a0%"
    assert range_text(limit, 0.94, 1.41, "metric") == "94.0\u00a0% to any humidity"


def test_closing_on_the_ice_is_dry():
    """Air of −5 °C holds less than air that saturates at −1 °C."""
    assert answer(temperature_closed=-5.0, humidity_closed=0.9, temperature_water=-1.0)[
        "condensed_mass"
    ] == pytest.approx(0.0)


def test_more_time_more_wall_and_less_thickness_load_the_desiccant():
    base = answer()["permeated"]
    assert answer(duration=6 * 86400.0)["permeated"] == pytest.approx(2 * base)
    assert answer(wall_area=0.2)["permeated"] == pytest.approx(2 * base)
    assert answer(wall_thickness=3e-3)["permeated"] == pytest.approx(2 * base)
    assert answer(permeability=0.0)["permeated"] == 0


def test_desiccant_mass_follows_the_unit():
    found = answer()
    assert found["desiccant_mass"] == pytest.approx(0.05 * found["desiccant_load"] / 0.006)
    dry = answer(humidity_closed=0.05, contents=0.0, permeability=0.0, humidity_wanted=0.9)
    assert dry["desiccant_units"] == 0


# Remarks, refusals, tables


def test_remarks_say_what_a_dry_day_saves():
    assert "8.27 mg instead of 17.9 mg" in remarks()
    assert "it would fog, too" in remarks()
    assert "it would stay clear." in remarks(temperature_water=8.0)
    assert "few days are drier" in remarks(humidity_closed=0.25)


def test_remarks_name_contents_wall_frost_and_pressure():
    said = remarks(temperature_water=-1.0)
    assert "taken as frost" in said
    assert "times the water of the air" in said
    assert "Through the wall" in said
    assert "of depth" in said
    bare = remarks(contents=0.0, permeability=0.0, temperature_closed=5.0, temperature_water=20.0)
    for words in ("frost", "times the water", "Through the wall", "of depth"):
        assert words not in bare.replace("dew or frost", "")


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: moisture.water_saturation_pressure(61), "temperature"),
        (lambda: moisture.saturation_pressure(-66), "temperature"),
        (lambda: moisture.vapour_density(1.2, 2000, 20), "humidity"),
        (lambda: moisture.vapour_density(0.5, 0, 20), "saturation_pressure"),
        (lambda: moisture.dew_point(0, 20), "humidity"),
        (lambda: moisture.dew_inside(1), "density"),
        (lambda: moisture.vapour_mass(1e-3, 0), "volume"),
        (lambda: moisture.condensed_mass(0, 1e-3, 1), "moisture"),
        (lambda: moisture.clear_humidity(1e-3, 0), "closing_density"),
        (lambda: moisture.permeated_vapour(-1, 1, 1, 1, 1), "permeability"),
        (lambda: moisture.permeated_vapour(0, 1, 0, 1, 1), "thickness"),
        (lambda: moisture.desiccant_load(1e-3, 0, 1, 0, 2, 0), "moisture_share"),
        (lambda: moisture.desiccant_units(1, 0), "capacity"),
        (lambda: moisture.closed_pressure(1000, 0.02, 20, 0, 4), "pressure"),
        (lambda: moisture.closed_pressure(1e5, 0.01, 90, 0, 4), "temperature"),
        (lambda: moisture.water_saturation_pressure(math.nan), "temperature"),
    ],
)
def test_formulas_refuse_by_name(call, name):
    with pytest.raises(InputError) as refusal:
        call()
    assert refusal.value.name == name


@pytest.mark.parametrize(
    ("field", "text", "accepted"),
    [
        ("humidity_closed", "101 %", "5\u00a0% to 100\u00a0%"),
        ("humidity_closed", "0 %", "5\u00a0% to 100\u00a0%"),
        ("temperature_water", "-3 °C", "−2\u00a0°C to 40\u00a0°C"),
        ("temperature_closed", "51 °C", "−10\u00a0°C to 50\u00a0°C"),
        ("free_volume", "0 L", "1\u00a0mL to 1000\u00a0L"),
        ("moisture_share", "-1 %", "0\u00a0% to 100\u00a0%"),
        ("humidity_wanted", "95 %", "5\u00a0% to 90\u00a0%"),
    ],
)
def test_the_form_refuses_with_what_is_accepted(field, text, accepted):
    from calculators import units

    number = CONDENSATION.inputs_by_name[field]
    value = units.parse(text, number.unit, name=field, label=number.label)
    with pytest.raises(InputError) as refusal:
        number.check(value, field, "metric")
    assert refusal.value.name == field
    assert accepted in refusal.value.message


def test_permeabilities_are_the_printed_numbers_converted():
    """1e-9 g/(cm·h·Torr) in SI."""
    unit = 1e-12 / (0.01 * 3600 * 133.322)
    printed = {"pp": 1.5, "pe": 2.5, "pvc": 30, "polycarbonate": 50, "polyamide-66": 150}
    for row, number in printed.items():
        text = TABLES["vapour-walls"].cell(row, "permeability").value
        assert float(text.split()[0]) * 1e-15 == pytest.approx(number * unit, rel=0.01)


def test_a_drier_end_takes_more_desiccant():
    """A unit takes less, the lower the humidity that it must reach."""
    table = TABLES["desiccants"]
    taken = [
        float(table.cell(row, "capacity").value.split()[0])
        for row in ("unit-20", "unit-40", "unit-50", "unit-60")
    ]
    assert taken == sorted(taken)
