"""Absorption against Stokes's law, the two formulas against each other, and what the page says."""

import itertools
import math

import pytest

from calculators.cards.absorption import SOUND_ABSORPTION, absorbed
from calculators.errors import InputError
from calculators.evaluate import Given, defaults, evaluate
from calculators.formulas import absorption as sound
from calculators.present import answer, work

BASE = defaults(SOUND_ABSORPTION)
SEA = BASE | {"water": "salt", "salinity": 35.0, "depth": 0.0}

# Density, sound speed and viscosity of water at one atmosphere: iapws 1.5.5, IAPWS95, rounded.
WATER = {10: (999.70, 1447.3, 1.3059e-3), 20: (998.21, 1482.3, 1.0016e-3), 30: (995.65, 1509.2, 7.972e-4)}  # fmt: skip  # noqa: E501


@pytest.mark.parametrize("temperature", list(WATER))
@pytest.mark.parametrize("frequency", [10e3, 130e3, 1e6])
def test_fresh_water_absorbs_what_its_viscosity_makes(temperature, frequency):
    """Stokes's law with a bulk viscosity of 2.8 times the shear viscosity (from memory)."""
    density, speed, viscosity = WATER[temperature]
    nepers = 2 * math.pi**2 * frequency**2 / (density * speed**3) * viscosity * (4 / 3 + 2.8)
    found = evaluate(
        SOUND_ABSORPTION, BASE | {"temperature": float(temperature), "frequency": frequency}
    )
    assert found["absorption"] == pytest.approx(nepers * 20 * math.log10(math.e), rel=0.04)


def test_the_two_formulas_keep_within_eleven_per_cent_in_the_ocean():
    """Published claim 10 %; 10.6 % was found at one end of its range."""
    for temperature, frequency, ph in itertools.product(
        (0.0, 5.0, 10.0, 20.0, 30.0), (200.0, 1e3, 5e3, 20e3, 100e3, 300e3, 1e6), (7.8, 8.0, 8.2)
    ):
        values = SEA | {"temperature": temperature, "frequency": frequency, "ph": ph}
        assert abs(evaluate(SOUND_ABSORPTION, values)["formula_difference"]) < 0.11


def test_the_viscous_term_has_no_step_where_its_two_halves_meet():
    """At 20 °C the cold half gives way to the warm one."""
    cold = sound.viscous_absorption(frequency=1e5, temperature=20.0, depth=0)
    warm = sound.viscous_absorption(frequency=1e5, temperature=20.000001, depth=0)
    assert cold == pytest.approx(warm, rel=2e-3)


def test_the_sea_absorbs_thirty_times_as_much_as_a_lake_at_ten_kilohertz():
    """As the page says."""
    assert 25 < absorbed("salt", 10e3, 10, 35, 0, 8) / absorbed("fresh", 10e3, 10, 35, 0, 8) < 35


@pytest.mark.parametrize(
    ("water", "frequency", "printed", "off"),
    [
        ("fresh", 1e3, 0.0003, 5e-5),
        ("salt", 1e3, 0.06, 5e-3),
        ("salt", 10e3, 1.0, 0.1),
        ("fresh", 130e3, 5.0, 0.5),
    ],
)
def test_the_table_of_the_page_is_right_to_its_digits(water, frequency, printed, off):
    """Those of its numbers that no example gives: 10 °C, at 130 kHz 14 °C; dB/km."""
    temperature = 14.0 if frequency > 100e3 else 10.0
    assert absorbed(water, frequency, temperature, 35, 0, 8) * 1e3 == pytest.approx(
        printed, abs=off
    )


def test_boric_acid_halves_from_ph_8_1_to_7_7():
    """As the page says."""
    place = {"frequency": 1e3, "temperature": 10.0, "salinity": 35.0, "depth": 0.0}
    ratio = sound.boric_absorption(ph=7.7, **place) / sound.boric_absorption(ph=8.1, **place)
    assert 0.45 < ratio < 0.55


def test_ph_and_salinity_do_not_count_in_fresh_water():
    """They are not asked for there."""
    plain = evaluate(SOUND_ABSORPTION, BASE)
    assert evaluate(SOUND_ABSORPTION, BASE | {"ph": 7.0, "salinity": 40.0}) == plain
    assert plain["boric"] == plain["magnesium"] == 0


def test_brackish_water_is_said_to_lie_outside_the_measurements():
    """Honest about the fit, and about the short formula where that ends too."""
    baltic = SEA | {"salinity": 4.0, "ph": 8.5}
    remarks = answer(work(SOUND_ABSORPTION, Given(baltic), "metric"))["remarks"]
    assert any("salinity 30 to 35" in line and "lies outside" in line for line in remarks)
    assert any("salinity 5 to 50 and pH 7.7 to 8.3" in line for line in remarks)
    remarks = answer(work(SOUND_ABSORPTION, Given(SEA), "metric"))["remarks"]
    assert not any("outside" in line for line in remarks)


def test_ice_is_refused_by_name():
    """Fresh water at −1 °C."""
    with pytest.raises(InputError, match="freezes at 0") as refused:
        evaluate(SOUND_ABSORPTION, BASE | {"temperature": -1.0})
    assert refused.value.name == "temperature"


@pytest.mark.parametrize(
    ("arguments", "name"),
    [
        ({"frequency": 5.0}, "frequency"),
        ({"frequency": 2e6}, "frequency"),
        ({"temperature": 40.0}, "temperature"),
        ({"salinity": 41.0}, "salinity"),
        ({"ph": math.nan}, "ph"),
    ],
)
def test_outside_their_range_the_formulas_refuse(arguments, name):
    """By name."""
    good = {"frequency": 1e4, "temperature": 10.0, "salinity": 35.0, "depth": 0.0, "ph": 8.0}
    with pytest.raises(InputError) as refused:
        sound.short_absorption(**(good | arguments))
    assert refused.value.name == name
