"""The water calculator against the TEOS-10 library, and against what is known by itself."""

import math
from itertools import product

import gsw
import pytest

from calculators.cards.water import WATER_PRESSURE
from calculators.errors import InputError
from calculators.evaluate import defaults, evaluate
from calculators.formulas import water
from site_src.examples import work as work_texts

DBAR = 1e4
SALT = 35.16504  # g/kg, the standard ocean

DEPTHS = (0.01, 0.5, 1, 4, 10, 33, 100, 300, 640, 1000)
LATITUDES = (-90, -66.6, -30, -1, 0, 12.5, 45, 60, 78, 90)
TEMPERATURES = (0, 1, 4, 10, 17.3, 25, 33, 40)


def answers(**changed: float | str) -> dict[str, float]:
    return evaluate(WATER_PRESSURE, defaults(WATER_PRESSURE) | changed)


def column(depth: float, temperature: float, gravity: float, growth: float = 0.0) -> float:
    """Pressure of fresh water by the hydrostatic balance, step by step (midpoint)."""
    pressure, parts = 0.0, 400
    step = depth / parts

    def slope(z: float, p: float) -> float:
        return float(gsw.rho_t_exact(0, temperature, p / DBAR)) * (gravity + growth * z)

    for i in range(parts):
        half = pressure + slope(i * step, pressure) * step / 2
        pressure += slope((i + 0.5) * step, half) * step
    return pressure


@pytest.mark.parametrize(("depth", "latitude"), list(product(DEPTHS, LATITUDES)))
def test_the_sea_agrees_with_teos_10(depth, latitude):
    """Reference library: gsw, another equation of state and gravity; 1e-5 as UNESCO 44 states."""
    expected = float(gsw.p_from_z(-depth, latitude)) * DBAR
    found = answers(water="sea", depth=depth, latitude=latitude)
    assert found["gauge_pressure"] == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize(("depth", "temperature"), list(product(DEPTHS, TEMPERATURES)))
def test_fresh_water_agrees_with_an_integration_over_teos_10(depth, temperature):
    """Independent method: steps over gsw's density at salinity 0; third order and fit, 2e-5."""
    expected = column(depth, temperature, water.gravity(latitude=45))
    found = answers(depth=depth, temperature=temperature)
    assert found["gauge_pressure"] == pytest.approx(expected, rel=2e-5)


@pytest.mark.parametrize("temperature", TEMPERATURES)
def test_fresh_water_is_as_heavy_and_as_stiff_as_teos_10_has_it(temperature):
    """Reference library: gsw; Kell's older fits are within 0.004 kg/m³ and 0.01 %."""
    low, here, high = (float(gsw.rho_t_exact(0, temperature, p)) for p in (-5, 0, 5))
    assert water.fresh_water_density(temperature=temperature) == pytest.approx(here, abs=0.004)
    modulus = 10 * DBAR / math.log(high / low)
    assert water.fresh_water_bulk_modulus(temperature=temperature) == pytest.approx(
        modulus, rel=1e-4
    )


@pytest.mark.parametrize(("depth", "kind"), list(product(DEPTHS, ("fresh", "sea"))))
def test_the_density_at_the_depth_agrees_with_teos_10(depth, kind):
    """Reference library: gsw at the pressure found; 0.07 kg/m³ fresh (first order), 0.01 sea."""
    found = answers(depth=depth, water=kind)
    at = found["gauge_pressure"] / DBAR
    salt, temperature, slack = (SALT, 0, 0.01) if kind == "sea" else (0, 10, 0.07)
    expected = float(gsw.rho_t_exact(salt, temperature, at))
    assert found["water_density"] == pytest.approx(expected, abs=slack)


@pytest.mark.parametrize("latitude", LATITUDES)
def test_gravity_agrees_with_another_formula(latitude):
    """Reference library: gsw.grav, the Geodetic Reference System of 1980, 2e-6."""
    expected = float(gsw.grav(latitude, 0))
    assert water.gravity(latitude=latitude) == pytest.approx(expected, rel=2e-6)


def test_the_misprinted_denominator_would_be_noticed():
    """Reference library: 998.207 kg/m³ at 20 °C; the swapped digits would make 997.94."""
    assert water.fresh_water_density(temperature=20) == pytest.approx(998.2072, abs=0.004)


@pytest.mark.parametrize("latitude", LATITUDES)
@pytest.mark.parametrize("decibars", [0, 1e-3, 1, 100, 1000, 5000, 9999, 10_000])
def test_the_inversion_is_exact(decibars, latitude):
    """Independent: UNESCO 44 forwards, written here once more, then backwards, to 1e-13."""
    p, g = decibars, water.gravity(latitude=latitude)
    column_height = p * (9.72659 + p * (-2.2512e-5 + p * (2.279e-10 - p * 1.82e-15)))
    depth = column_height / (g + 1.092e-6 * p)
    found = water.sea_water_pressure(depth=depth, gravity=g)
    assert found == pytest.approx(decibars * DBAR, rel=1e-13)


def test_the_published_check_value_holds_at_its_latitude():
    """Published: 9712.653 m is 10 000 dbar at 30°, printed to the millimetre (5 Pa)."""
    found = water.sea_water_pressure(depth=9712.653, gravity=water.gravity(latitude=30))
    assert found == pytest.approx(1e8, abs=6)


@pytest.mark.parametrize("kind", ["fresh", "sea"])
def test_at_the_surface_there_is_only_the_air(kind):
    """Limit: no depth, no gauge pressure."""
    found = answers(depth=0.0, water=kind, air_pressure=7e4)
    assert found["gauge_pressure"] == 0
    assert found["absolute_pressure"] == 7e4


@pytest.mark.parametrize("kind", ["fresh", "sea"])
def test_pressure_rises_with_depth_and_south_is_as_north(kind):
    """Limit: monotonic in depth, symmetric in latitude."""
    rising = [answers(depth=d, water=kind)["gauge_pressure"] for d in DEPTHS]
    assert rising == sorted(rising)
    assert answers(latitude=-52.0, water=kind) == answers(latitude=52.0, water=kind)


@pytest.mark.parametrize("kind", ["fresh", "sea"])
def test_the_slope_of_pressure_is_density_times_gravity(kind):
    """Independent: the hydrostatic balance between neighbouring depths, 3e-5."""
    for depth in (5.0, 50.0, 500.0, 990.0):
        above, below = (answers(depth=depth + x, water=kind) for x in (-1, 1))
        slope = (below["gauge_pressure"] - above["gauge_pressure"]) / 2
        weight = answers(depth=depth, water=kind)["water_density"] * water.gravity(latitude=45)
        growth = 2.184e-6 * depth / 9.8 if kind == "sea" else 0
        assert slope == pytest.approx(weight * (1 + growth), rel=3e-5)


@pytest.mark.parametrize(
    ("depth", "share"), [(10.0, 0.000_025), (100.0, 0.000_25), (1000.0, 0.002_5)]
)
def test_the_compression_is_as_small_as_the_page_says(depth, share):
    """Reference library: the pressure over that of water of the surface's density, at 0 °C."""
    g = water.gravity(latitude=45)
    plain = float(gsw.rho_t_exact(0, 0, 0)) * g * depth
    assert column(depth, 0, g) / plain - 1 == pytest.approx(share, rel=0.05)


def test_growing_gravity_adds_as_little_as_the_page_says():
    """Independent: 2.2e-6 m/s² for each metre of water; 0.01 % at 1000 m."""
    g = water.gravity(latitude=45)
    grown = column(1000, 10, g, growth=2.2e-6)
    assert grown / column(1000, 10, g) - 1 == pytest.approx(1e-4, rel=0.2)


@pytest.mark.parametrize(("salinity", "temperature", "less"), [(35, 25, 0.005), (7, 10, 0.022)])
def test_other_sea_water_presses_less_as_the_page_says(salinity, temperature, less):
    """Reference library: surface density of gsw against that of the standard ocean."""
    other = float(gsw.rho_t_exact(salinity * SALT / 35, temperature, 0))
    assert 1 - other / water.sea_water_density(gauge_pressure=0) == pytest.approx(less, rel=0.1)


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("depth", "-1 m"),
        ("depth", "1001 m"),
        ("temperature", "-0.1 °C"),
        ("temperature", "41 °C"),
        ("latitude", "90.1°"),
        ("latitude", "-91°"),
        ("air_pressure", "499 hPa"),
        ("air_pressure", "1100 hPa"),
        ("water", "salt"),
    ],
)
def test_a_value_beyond_the_range_is_refused_and_not_clamped(field, text):
    """The form names the field; nothing is calculated."""
    with pytest.raises(Exception, match=r"Give|is not one of") as refused:
        work_texts("water-pressure", {field: text})
    assert field in str(refused.value).lower().replace(" ", "_")


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda x: water.gravity(latitude=x), "latitude"),
        (lambda x: water.fresh_water_density(temperature=x), "temperature"),
        (lambda x: water.fresh_water_bulk_modulus(temperature=x), "temperature"),
        (lambda x: water.sea_water_pressure(depth=x, gravity=9.8), "depth"),
        (lambda x: water.sea_water_pressure(depth=10, gravity=x), "gravity"),
        (lambda x: water.sea_water_density(gauge_pressure=x), "gauge_pressure"),
        (lambda x: water.absolute_pressure(gauge_pressure=x, air_pressure=1e5), "gauge_pressure"),
        (lambda x: water.absolute_pressure(gauge_pressure=0, air_pressure=x), "air_pressure"),
    ],
)
@pytest.mark.parametrize("wrong", [-1e9, 1e12, math.nan, math.inf])
def test_a_formula_refuses_an_impossible_argument_by_name(call, name, wrong):
    """Each names the argument and its range."""
    with pytest.raises(InputError, match=f"{name} must be from"):
        call(wrong)


@pytest.mark.parametrize("kind", ["fresh", "sea"])
@pytest.mark.parametrize("depth", [0.0, 0.2, 10.0, 900.0, 1000.0])
def test_the_plot_holds_the_answer_at_every_depth(kind, depth):
    """The mark lies within the axes, also at both ends of the range."""
    values = defaults(WATER_PRESSURE) | {"depth": depth, "water": kind}
    results = evaluate(WATER_PRESSURE, values)
    plot = WATER_PRESSURE.plot(values, results, "metric")
    assert plot.x.domain[0] <= depth <= plot.x.domain[1] <= 1000
    assert results["absolute_pressure"] <= plot.y.domain[1]


def test_temperature_is_not_asked_for_in_the_sea():
    """It would change nothing there."""
    assert answers(water="sea", temperature=0.0) == answers(water="sea", temperature=40.0)
    item = WATER_PRESSURE.inputs_by_name["temperature"]
    assert item.shown is not None
    assert item.shown.values == ("fresh",)
