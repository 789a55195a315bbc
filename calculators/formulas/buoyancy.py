"""Whether a case sinks, how heavily it sits, and which way up it stays."""

from math import radians, sin

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.formulas.constants import GRAVITY
from calculators.quantities import (
    CubicMetre,
    Degree,
    Kilogram,
    KilogramPerCubicMetre,
    Metre,
    Newton,
    NewtonMetre,
)

HEAVIEST: Kilogram = 1e9
"""Far beyond any rig; keeps every product finite."""


@formula(
    title="Weight in water",
    symbol="m_s",
    symbols={"mass": "m", "volume": "V", "water_density": "ρ"},
    tex=r"m_\mathrm{s} = m - \rho V",
    working="{mass} − {water_density} · {volume}",
    validity="As a balance shows it, wholly under water, no air caught. Below zero it floats.",
    sources=("buoyancy-answer", "buoyancy-problems"),
)
def weight_in_water(
    mass: Kilogram, volume: CubicMetre, water_density: KilogramPerCubicMetre
) -> Kilogram:
    """What a balance shows of a thing that hangs from it under water.

    Args:
        mass: In air; kg, 0 to 1e9.
        volume: Of the water that it displaces; m³, 0 to 1e4.
        water_density: kg/m³, above zero.

    Returns:
        Mass shown, kg; below zero the thing floats and is pulled up as if by this mass.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Archimedes' principle.

    >>> round(weight_in_water(mass=10, volume=0.004, water_density=1000), 9)
    6.0
    """
    require_between(0, HEAVIEST, mass=mass)
    require_between(0, 1e4, volume=volume)
    require_positive(water_density=water_density)
    return mass - water_density * volume


@formula(
    title="Ballast",
    symbol="m_a",
    symbols={
        "wanted_weight": "m_t",
        "present_weight": "m_s",
        "water_density": "ρ",
        "ballast_density": "ρ_k",
    },
    tex=r"m_\mathrm{a} = \frac{m_\mathrm{t} - m_\mathrm{s}}{1 - \rho / \rho_\mathrm{k}}",
    working="({wanted_weight} − {present_weight}) / (1 − {water_density} / {ballast_density})",
    validity="Ballast hangs in the water outside the case and holds no air. Below zero: so much "
    "of it could come off.",
    sources=("wetside-derivation-ballast", "buoyancy-problems"),
)
def ballast_mass(
    wanted_weight: Kilogram,
    present_weight: Kilogram,
    water_density: KilogramPerCubicMetre,
    ballast_density: KilogramPerCubicMetre,
) -> Kilogram:
    """Mass of ballast, weighed in air, that brings a rig to a wanted weight in water.

    Args:
        wanted_weight: That a balance is to show in water; kg, −1e9 to 1e9.
        present_weight: That it shows without the ballast; kg, −1e9 to 1e9.
        water_density: kg/m³, above zero.
        ballast_density: Above that of the water; kg/m³.

    Returns:
        Mass in kg; below zero the rig is too heavy already.

    Raises:
        InputError: If an argument is out of its range, or the ballast would float.

    Source:
        Each kilogram of ballast pushes aside ρ/ρ_k of water and weighs so much less in it.

    >>> round(ballast_mass(1, 0, water_density=1000, ballast_density=2000), 9)
    2.0
    """
    require_between(-HEAVIEST, HEAVIEST, wanted_weight=wanted_weight, present_weight=present_weight)
    require_positive(water_density=water_density)
    if not ballast_density >= 1.02 * water_density:
        raise InputError(
            "ballast_density",
            "ballast_density must be at least 2 % above that of the water, "
            f"{1.02 * water_density:.4g} kg/m³; given {ballast_density!r}",
        )
    return (wanted_weight - present_weight) / (1 - water_density / ballast_density)


@formula(
    title="Weight with the case full of water",
    symbol="m_u",
    symbols={"weight": "m", "free_volume": "V", "water_density": "ρ"},
    tex=r"m_\mathrm{u} = m + \rho V",
    working="{weight} + {water_density} · {free_volume}",
    validity="All air inside replaced by water; in water with the weight there, in air with the "
    "mass.",
    sources=("wetside-derivation-flooded",),
)
def flooded_weight(
    weight: Kilogram, free_volume: CubicMetre, water_density: KilogramPerCubicMetre
) -> Kilogram:
    """What a balance shows once the case is full of water.

    Args:
        weight: What it shows while the case is dry, in water or in air; kg, −1e9 to 1e9.
        free_volume: Of the air inside; m³, 0 to 1e4.
        water_density: kg/m³, above zero.

    Returns:
        Mass shown, kg.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        The water inside adds its mass and, under water, the case no longer displaces it: the same
        amount.

    >>> round(flooded_weight(weight=2, free_volume=0.0012, water_density=1000), 9)
    3.2
    """
    require_between(-HEAVIEST, HEAVIEST, weight=weight)
    require_between(0, 1e4, free_volume=free_volume)
    require_positive(water_density=water_density)
    return weight + water_density * free_volume


@formula(
    title="Height of a common centre",
    symbol="z",
    symbols={"moment": "M", "force": "F"},
    tex=r"z = \frac{M}{F}, \quad M = \sum F_i z_i",
    working="{moment} / {force}",
    validity="Of the weights of all parts: the centre of gravity. Of the lifts of all that "
    "displaces water: the centre of buoyancy.",
    sources=("gravity-centre-example", "nicholls-seamanship"),
)
def centre_height(moment: NewtonMetre, force: Newton) -> Metre:
    """Height at which all parts together act.

    Args:
        moment: Sum of force times height; N·m, −1e12 to 1e12.
        force: Sum of the forces; N, above zero.

    Returns:
        Height in m, above the same level as the heights of the parts.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Statics.

    >>> centre_height(moment=3.0, force=2.0)
    1.5
    """
    require_between(-1e12, 1e12, moment=moment)
    require_positive(force=force)
    return moment / force


@formula(
    title="Righting moment",
    symbol="M",
    symbols={
        "displaced_mass": "m_v",
        "buoyancy_height": "z_l",
        "mass": "m",
        "gravity_height": "z_m",
        "hold_height": "z_h",
        "tilt": "φ",
    },
    tex=r"M = g \left( m_\mathrm{v} (z_\mathrm{l} - z_\mathrm{h})"
    r" - m (z_\mathrm{m} - z_\mathrm{h}) \right) \sin \varphi",
    working=(
        "9.80665 m/s² · ({displaced_mass} · ({buoyancy_height} − {hold_height})"
        " − {mass} · ({gravity_height} − {hold_height})) · sin({tilt})"
    ),
    validity="Wholly under water, held at one point on the axis about which it may swing freely. "
    "Neither current nor waves.",
    sources=("wetside-derivation-righting", "statical-stability-example"),
)
def righting_moment(
    displaced_mass: Kilogram,
    buoyancy_height: Metre,
    mass: Kilogram,
    gravity_height: Metre,
    hold_height: Metre,
    tilt: Degree,
) -> NewtonMetre:
    """Moment that turns a tilted rig upright about the point that holds it.

    Args:
        displaced_mass: Of the water displaced; kg, 0 to 1e9.
        buoyancy_height: Of the centre of buoyancy; m, −1e6 to 1e6.
        mass: kg, 0 to 1e9.
        gravity_height: Of the centre of gravity; m, −1e6 to 1e6.
        hold_height: Of the point where the line is made fast; m, −1e6 to 1e6.
        tilt: From upright; °, −180 to 180.

    Returns:
        Moment in N·m; below zero it turns over.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Moments of buoyancy and weight about the point that holds. Where the two are equal the
        point does not matter: weight times distance of the centres times sin φ.

    >>> round(righting_moment(10, 0.1, 10, 0.05, 0, tilt=90), 3)
    4.903
    """
    require_between(0, HEAVIEST, displaced_mass=displaced_mass, mass=mass)
    require_between(
        -1e6,
        1e6,
        buoyancy_height=buoyancy_height,
        gravity_height=gravity_height,
        hold_height=hold_height,
    )
    require_between(-180, 180, tilt=tilt)
    up = displaced_mass * (buoyancy_height - hold_height)
    return GRAVITY * (up - mass * (gravity_height - hold_height)) * sin(radians(tilt))


@formula(
    title="Pull of a weight",
    symbol="F",
    symbols={"weight": "m_s"},
    tex=r"F = m_\mathrm{s} \, g, \quad g = 9.80665\ \mathrm{m/s^2}",
    working="{weight} · 9.80665 m/s²",
    validity="Standard gravity; a balance reads in kilograms what pulls with this force.",
    sources=("nist-sp811",),
)
def pull(weight: Kilogram) -> Newton:
    """Force of what a balance shows.

    Args:
        weight: As a balance shows it; kg, −1e9 to 1e9.

    Returns:
        Force in N.

    Raises:
        InputError: If the argument is out of its range.

    Source:
        Definition of the kilogram-force.

    >>> pull(weight=1)
    9.80665
    """
    require_between(-HEAVIEST, HEAVIEST, weight=weight)
    return weight * GRAVITY
