"""Ballast: sums by hand, balance by other means, and what is refused."""

from math import nan

import gsw
import numpy as np
import pytest

from calculators.cards.buoyancy import BALLAST_CARD
from calculators.errors import InputError
from calculators.evaluate import defaults, evaluate
from calculators.formulas import buoyancy
from calculators.tables.waters import WATERS

ROWS = {
    "part_mass_2": 0.3,
    "part_known_by_2": "density",
    "part_volume_2": 1e-3,
    "part_density_2": 150.0,
    "part_height_2": 0.12,
    "part_mass_3": 0.4,
    "part_known_by_3": "inside",
    "part_volume_3": 5e-3,
    "part_density_3": 900.0,
    "part_height_3": 0.02,
}


def answer(**changed: object) -> dict[str, float]:
    return evaluate(BALLAST_CARD, defaults(BALLAST_CARD) | changed)


def test_the_ballast_brings_the_rig_to_the_weight_wanted() -> None:
    """Independent: mass and volume of all parts, with the ballast, weighed again."""
    values = defaults(BALLAST_CARD) | ROWS
    results = evaluate(BALLAST_CARD, values)
    mass = 1.5 + 0.3 + 0.4 + results["ballast_mass"]
    volume = 2.3e-3 + 0.3 / 150 + results["ballast_mass"] / float(values["ballast_density"])
    assert results["displaced_volume"] == pytest.approx(volume, rel=1e-12)
    weight = mass - float(values["water_density"]) * volume
    assert weight == pytest.approx(values["wanted_weight"], abs=1e-12)


def test_centres_are_those_of_numpy() -> None:
    """Independent: averages with weights, over the parts and the ballast."""
    values = defaults(BALLAST_CARD) | ROWS
    results = evaluate(BALLAST_CARD, values)
    added, below = results["ballast_mass"], float(values["ballast_height"])
    gravity = np.average([0.045, 0.12, 0.02, below], weights=[1.5, 0.3, 0.4, added])
    volumes = [2.3e-3, 0.3 / 150, results["ballast_volume"]]
    lift = np.average([0.045, 0.12, below], weights=volumes)
    assert results["righting_arm"] == pytest.approx(lift - gravity, rel=1e-12)


def test_a_part_inside_adds_mass_and_no_lift() -> None:
    """Whatever stands in its hidden fields."""
    inside = ROWS | {"part_volume_3": 900.0, "part_density_3": 30.0}
    values = defaults(BALLAST_CARD)
    assert evaluate(BALLAST_CARD, values | inside) == evaluate(BALLAST_CARD, values | ROWS)


def test_a_sinker_for_the_lake_is_light_in_the_sea() -> None:
    """Difference of the densities times the volume displaced."""
    results = answer()
    change = results["other_weight"] - 0.5
    assert change == pytest.approx(-(1026.95 - 999.70) * results["displaced_volume"], rel=1e-9)


def test_the_waters_to_choose_from_are_those_of_teos_10() -> None:
    """Reference library: gsw, for the two waters of the form's defaults."""
    for row, salinity, temperature in (("fresh-10", 0, 10), ("sea-10", 35, 10)):
        absolute = gsw.SA_from_SP(salinity, 0, 0, 0)
        density = gsw.rho(absolute, gsw.CT_from_t(absolute, temperature, 0), 0)
        printed = float(WATERS.cell(row, "density").value.removesuffix(" kg/m³"))
        assert printed == pytest.approx(density, abs=0.01)


def test_the_point_of_holding_does_not_matter_where_lift_equals_weight() -> None:
    """Limit: a couple has the same moment about every point."""
    moments = [
        buoyancy.righting_moment(5.0, 0.10, 5.0, 0.03, hold, tilt=10) for hold in (-3.0, 0.0, 7.0)
    ]
    assert moments == pytest.approx([moments[0]] * 3, rel=1e-9)
    assert moments[0] > 0


def test_a_heavy_rig_held_below_its_centre_turns_over() -> None:
    """A sinker on a line that is made fast at its foot hangs upside down."""
    assert answer(hold_height=-0.5)["righting_moment"] < 0
    assert answer(hold_height=0.5)["righting_moment"] > 0


def test_flooded_it_is_heavier_by_the_water_inside_in_air_and_in_water() -> None:
    """Water and air alike: the free volume times the density."""
    results = answer(free_volume=2e-3)
    assert results["flooded_weight"] - 0.5 == pytest.approx(1.9994)
    assert results["flooded_mass"] - results["dry_mass"] == pytest.approx(1.9994)


def test_too_heavy_by_itself_gives_ballast_below_zero_and_says_so() -> None:
    """Nothing is clamped."""
    results = answer(part_mass=4.0)
    assert results["ballast_mass"] < 0
    assert BALLAST_CARD.remarks is not None
    said = BALLAST_CARD.remarks(defaults(BALLAST_CARD) | {"part_mass": 4.0}, results, "metric")
    assert any("heavier than wanted without any ballast" in sentence for sentence in said)


def test_too_heavy_by_itself_it_is_lifted_as_it_is() -> None:
    """Weighed again by hand: 4 kg that displace 2.3 L of the default water, and nothing else."""
    results = answer(part_mass=4.0, free_volume=2e-3)
    water = float(defaults(BALLAST_CARD)["water_density"])
    assert results["weight"] == results["present_weight"]
    assert results["weight"] == pytest.approx(4.0 - 2.3e-3 * water, rel=1e-12)
    assert results["dry_mass"] == 4.0
    assert results["displaced_volume"] == 2.3e-3
    assert results["flooded_mass"] == pytest.approx(4.0 + 2e-3 * water, rel=1e-12)
    assert results["flooded_weight"] == pytest.approx(4.0 - 0.3e-3 * water, rel=1e-12)
    assert results["ballast_volume"] == 0.0


def test_light_enough_it_weighs_what_is_wanted() -> None:
    assert answer(wanted_weight=0.7)["weight"] == 0.7


def test_ballast_that_would_float_is_refused_by_name_with_what_is_accepted() -> None:
    with pytest.raises(InputError, match="at least 2 % above") as refused:
        answer(ballast_density=1100.0, water_density=1200.0)
    assert refused.value.name == "ballast_density"


def test_parts_that_displace_nothing_are_refused_by_name() -> None:
    with pytest.raises(InputError, match="no part does") as refused:
        answer(part_known_by="inside", wanted_weight=0.0)
    assert refused.value.name == "part_known_by"


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: buoyancy.weight_in_water(-1, 1, 1000), "mass"),
        (lambda: buoyancy.weight_in_water(1, nan, 1000), "volume"),
        (lambda: buoyancy.flooded_weight(1, -1, 1000), "free_volume"),
        (lambda: buoyancy.centre_height(1, 0), "force"),
        (lambda: buoyancy.righting_moment(1, 0, 1, 0, 0, tilt=200), "tilt"),
        (lambda: buoyancy.pull(nan), "weight"),
    ],
)
def test_an_impossible_argument_is_refused_by_name(call, name) -> None:
    with pytest.raises(InputError, match=f"^{name} must be"):
        call()


@pytest.mark.parametrize("wanted", [0.5, -0.5, -0.03])
def test_what_is_wanted_to_float_is_held_against_floating(wanted: float) -> None:
    """Its weight in the other water by volume and both densities; of a float the lift counts."""
    values = defaults(BALLAST_CARD) | {"part_mass": 1.0, "wanted_weight": wanted}
    values |= {"water_density": 1026.95, "other_water_density": 999.7}
    results = evaluate(BALLAST_CARD, values)
    there = wanted + results["displaced_volume"] * (1026.95 - 999.7)
    assert results["other_weight"] == pytest.approx(there, rel=1e-9)
    assert results["other_reserve"] == pytest.approx(there if wanted > 0 else -there, rel=1e-9)
    assert (results["other_reserve"] > 0) == (wanted != -0.03)
