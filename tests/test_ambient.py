"""Ambient noise against published tables, two libraries, and sums worked out another way."""

import math

import gsw
import pytest

from calculators.cards.ambient import AMBIENT_NOISE
from calculators.errors import InputError
from calculators.evaluate import Given, defaults, evaluate
from calculators.formula import tracing
from calculators.formulas import ambient, levels
from calculators.present import work
from calculators.tables.ambient import FRESH_WATER

BASE = defaults(AMBIENT_NOISE)

# ns-3 3.44, UanNoiseModelDefault.GetNoiseDbHz: wind in m/s, shipping, kHz, dB re 1 µPa²/Hz.
NS3 = (
    (1, 0, 0.01, 77.131640),
    (3, 0.5, 0.1, 67.460645),
    (5, 0.5, 1, 60.954856),
    (5, 0.5, 100, 28.943657),
    (10, 0, 0.1, 66.370963),
    (10, 1, 10, 53.036662),
    (20, 0.25, 0.1, 75.781260),
    (7.5, 0.8, 1, 64.743398),
    (7.5, 0.8, 100, 31.555158),
    (6, 0.3, 0.25, 64.206525),
)

# Sadowski 1984 as transcribed: sea states 1 to 5 at 1 kHz and 10 kHz, and the middle of the wind
# speeds that the same transcription gives for each.
SEA_STATES = (
    (2.45, 52.9, 36.5),
    (4.4, 58.8, 42.8),
    (6.7, 62.4, 46.6),
    (9.35, 64.7, 48.9),
    (12.3, 66.7, 50.9),
)


def usml_rain(frequency: float, rate: int) -> float:
    """Under Sea Modeling Library: its polynomials for three rates of rain."""
    f = math.log10(frequency)
    return {
        1: 64.942 + (19.917 - 5.242 * f) * f,
        2: 19.628 + (42.933 - 7.516 * f) * f,
        3: 222.491 - (135.904 - (43.893 - 4.737 * f) * f) * f,
    }[rate]


@pytest.mark.parametrize(("wind", "shipping", "kilohertz", "expected"), NS3)
def test_the_four_terms_add_up_as_in_a_network_simulator(wind, shipping, kilohertz, expected):
    """Reference library: ns-3, printed to six decimals; powers are summed, not decibels."""
    frequency = kilohertz * 1000
    assert ambient.sea_level(frequency, shipping, wind) == pytest.approx(expected, abs=2e-6)
    step_by_step = ambient.turbulence_level(frequency=frequency)
    for more in (
        ambient.shipping_level(frequency=frequency, shipping=shipping),
        ambient.wind_level(frequency=frequency, wind_speed=wind),
        ambient.thermal_level(frequency=frequency),
    ):
        step_by_step = levels.level_sum(first=step_by_step, second=more)
    assert step_by_step == pytest.approx(expected, abs=2e-6)


def test_the_wind_curve_lies_five_to_seven_decibels_above_the_rule_of_fives():
    """What the page says of the two published curves, at 1 kHz from 5 kn to 20 kn."""
    for knots in range(5, 21):
        wind = knots * ambient.KNOT
        four = ambient.wind_level(frequency=1000.0, wind_speed=wind)
        five = ambient.fives_wind_level(frequency=1000.0, wind_speed=wind)
        assert 5 <= round(four - five) <= 7


def test_the_wind_curve_lies_up_to_five_decibels_above_another_published_set():
    """What the page says of Sadowski's sea states 1 to 5, at 1 kHz and 10 kHz."""
    for wind, one, ten in SEA_STATES:
        for frequency, printed in ((1000.0, one), (10000.0, ten)):
            used = ambient.wind_level(frequency=frequency, wind_speed=wind)
            assert 1 < used - printed < 5


@pytest.mark.parametrize(("kind", "rate"), [("light", 1), ("moderate", 2), ("heavy", 3)])
def test_rain_agrees_with_a_fit_that_others_made(kind, rate):
    """Reference library: polynomials in the Under Sea Modeling Library, 2.5 dB at the worst."""
    for i in range(50):
        frequency = 650.0 * (15500 / 650) ** (i / 49)
        expected = usml_rain(frequency, rate)
        assert ambient.rain_level(frequency=frequency, rain=kind) == pytest.approx(
            expected, abs=2.5
        )


@pytest.mark.parametrize("salinity", [0.0, 35.0])
@pytest.mark.parametrize("temperature", [0.0, 10.0, 20.0, 30.0])
def test_the_rounded_noise_of_heat_is_within_its_word(salinity, temperature):
    """Independent: 4πkTρf²/c with density and sound speed from TEOS-10, at 1 dbar."""
    density = float(gsw.rho_t_exact(salinity, temperature, 1.0))
    speed = float(gsw.sound_speed_t_exact(salinity, temperature, 1.0))
    kelvin = temperature + 273.15
    for frequency in (1e3, 3e4, 1e6):
        square = 4 * math.pi * 1.380649e-23 * kelvin * density * frequency**2 / speed
        expected = 10 * math.log10(square / 1e-12)
        assert ambient.thermal_level(frequency=frequency) == pytest.approx(expected, abs=0.6)


def own_noise(values: dict[str, float], frequency: float) -> float:
    """The chain's noise worked out with complex numbers, dB re 1 µPa²/Hz."""
    omega = 2 * math.pi * frequency
    element = omega * values["element_capacitance"] * complex(values["loss_tangent"], 1)
    load = 1j * omega * (values["cable_capacitance"] + values["input_capacitance"])
    whole = element + load + 1 / values["bias_resistance"]
    z = 1 / whole
    heat = 4 * 1.380649e-23 * (values["temperature"] + 273.15) * z.real
    flat = values["voltage_noise"] ** 2 * (1 + values["noise_corner"] / frequency)
    rise = 1 + values["current_noise_corner"] / frequency
    current = rise * abs(values["current_noise"] * z) ** 2
    recorder = (values["recorder_input_noise"] / 10 ** (values["gain"] / 20)) ** 2
    power = (heat + flat + current + recorder) / abs(element * z) ** 2
    return 10 * math.log10(power) - values["sensitivity_level"]


def water_noise(values: dict[str, float], frequency: float) -> float:
    """The water's noise as a sum of mean squares, dB re 1 µPa²/Hz."""
    k = frequency / 1000
    if values["water"] == "fresh":
        curves = [
            levels.sloped_density_level(
                level=values["fresh_level"],
                band_low=values["fresh_low"],
                band_high=values["fresh_high"],
                slope=values["fresh_slope"],
                frequency=frequency,
            )
        ]
    else:
        curves = [
            17 - 30 * math.log10(k),
            40 + 20 * (values["shipping"] - 0.5) + 26 * math.log10(k) - 60 * math.log10(k + 0.03),
            50 + 7.5 * values["wind_speed"] ** 0.5 + 20 * math.log10(k) - 40 * math.log10(k + 0.4),
        ]
    square = sum(10 ** ((curve + values["departure"]) / 10) for curve in curves)
    return 10 * math.log10(square + 10 ** ((-15 + 20 * math.log10(k)) / 10))


@pytest.mark.parametrize(
    "changed",
    [
        {},
        {"wind_speed": 0.5, "shipping": 0.0, "highest_wanted": 40e3},
        {"bias_resistance": 470e3, "lowest_wanted": 10.0, "wind_speed": 1.0, "shipping": 0.1},
        {"water": "fresh", "fresh_slope": -17.0},
        {"gain": 20.0, "recorder_input_noise": 1e-6, "departure": -6.0},
        {"current_noise": 4e-13, "current_noise_corner": 2e3, "lowest_wanted": 20.0},
        {"departure": -40.0, "highest_wanted": 100e3, "wind_speed": 0.0},
    ],
)
def test_the_least_margin_is_that_of_curves_worked_out_another_way(changed):
    """Independent: complex admittances and a fine grid; seven points miss at most 1 dB."""
    values = BASE | changed
    results = evaluate(AMBIENT_NOISE, values)
    worst = results["worst_frequency"]
    assert results["own_level"] == pytest.approx(own_noise(values, worst), abs=1e-9)
    assert results["water_level"] == pytest.approx(water_noise(values, worst), abs=1e-9)
    margin = results["water_level"] - results["own_level"]
    assert results["worst_margin"] == pytest.approx(margin, abs=1e-9)
    assert results["rise"] == pytest.approx(10 * math.log10(1 + 10 ** (-margin / 10)))
    low, high = values["lowest_wanted"], values["highest_wanted"]
    for i in range(200):
        f = min(max(low * (high / low) ** (i / 199), low), high)
        assert water_noise(values, f) - own_noise(values, f) > results["worst_margin"] - 1


def test_both_parts_of_the_band_hold_the_least_margin_between_them():
    """The smaller of the two parts is the whole band's, and 1 kHz belongs to both."""
    results = evaluate(AMBIENT_NOISE, BASE)
    assert results["worst_margin"] == min(results["low_margin"], results["high_margin"])
    assert results["middle_margin"] >= max(results["low_margin"], results["high_margin"])


def test_a_band_that_ends_at_the_split_has_one_part_of_a_single_frequency():
    """Both ends of the fields meet at 1 kHz: no part is empty."""
    results = evaluate(AMBIENT_NOISE, BASE | {"lowest_wanted": 1000.0, "highest_wanted": 1000.0})
    assert results["worst_frequency"] == 1000
    assert results["low_margin"] == results["high_margin"] == results["middle_margin"]


def test_the_working_shows_the_deciding_frequency_and_not_the_search():
    """Each formula of the own noise stands once in the working."""
    calls = work(AMBIENT_NOISE, Given(BASE), "metric").calls
    used = [call.formula.id for call in calls]
    assert used.count("noise.equivalent_noise_level") == 1
    assert used.count("ambient.wind_level") == 1
    with tracing() as outer:
        evaluate(AMBIENT_NOISE, BASE)
    assert len(outer) == len(calls)


def test_rain_is_drawn_and_changes_no_answer():
    """Dry weather is the quieter case, so rain must not better the verdict."""
    wet = evaluate(AMBIENT_NOISE, BASE | {"rain": "heavy"})
    assert wet == evaluate(AMBIENT_NOISE, BASE)
    dry_plot, wet_plot = (
        AMBIENT_NOISE.plot(BASE | {"rain": rain}, wet, "metric") for rain in ("none", "heavy")
    )
    assert len(wet_plot.lines) == len(dry_plot.lines) + 1


@pytest.mark.parametrize(
    ("name", "value", "told"),
    [
        ("lowest_wanted", 50.0, "lies below 100.0\xa0Hz, where the published band begins"),
        ("highest_wanted", 20e3, "lies above 12.00\xa0kHz, where the published band ends"),
    ],
)
def test_a_published_level_is_not_stretched_beyond_its_band(name, value, told):
    """Refused by name, with the end of the band; at sea the same values are fine."""
    with pytest.raises(InputError) as refused:
        evaluate(AMBIENT_NOISE, BASE | {"water": "fresh", name: value})
    assert refused.value.name == name
    assert told in refused.value.message
    assert evaluate(AMBIENT_NOISE, BASE | {name: value})


@pytest.mark.parametrize(
    ("formula", "arguments", "told"),
    [
        (ambient.wind_level, {"frequency": 1e3, "wind_speed": 25}, "wind_speed must be from 0"),
        (ambient.wind_level, {"frequency": 0, "wind_speed": 5}, "frequency must be from 1"),
        (ambient.shipping_level, {"frequency": 1e3, "shipping": 1.1}, "shipping must be from 0"),
        (ambient.thermal_level, {"frequency": math.nan}, "frequency must be from 1"),
        (
            ambient.fives_wind_level,
            {"frequency": 100.0, "wind_speed": 5.0},
            "frequency must be from 500",
        ),
        (
            ambient.fives_wind_level,
            {"frequency": 1000.0, "wind_speed": 1.0},
            "wind_speed must be from 1.286",
        ),
        (ambient.rain_level, {"frequency": 20e3, "rain": "heavy"}, "frequency must be from 630"),
        (ambient.rain_level, {"frequency": 1e3, "rain": "drizzle"}, "rain must be one of light"),
    ],
)
def test_a_curve_is_not_stretched_beyond_where_it_was_measured(formula, arguments, told):
    """The formula names the argument and its range."""
    with pytest.raises(InputError, match=told):
        formula(**arguments)


def test_every_published_level_that_can_be_used_fills_the_form():
    """A row without a band is shown in the table and not offered; the others fit their fields."""
    (fill,) = AMBIENT_NOISE.fills
    offered = {row.name for row in fill.rows}
    assert {row.name for row in FRESH_WATER.rows} - offered == {"pond"}
