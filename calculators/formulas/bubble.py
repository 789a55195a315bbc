"""Bubbles: the note that one rings with, and how many of them soften water or resin."""

from math import pi, sqrt

from calculators.formula import formula, require_between, require_positive
from calculators.formulas.constants import GRAVITY
from calculators.quantities import (
    Hertz,
    KilogramPerCubicMetre,
    Metre,
    MetrePerSecond,
    NewtonPerMetre,
    Pascal,
    Ratio,
)

SOFTEST, STIFFEST = 1.0, 1.667
"""Polytropic exponents: a gas that keeps its temperature, a monatomic gas that keeps its heat.

The latter is 5/3, with its last printed digit rounded up."""

MOST_GAS = 0.5
"""Gas fraction up to which the weight of the gas and the touching of bubbles are left out."""


@formula(
    title="Pressure on the bubble",
    symbol="p",
    symbols={"depth": "h", "water_density": "ρ", "air_pressure": "p_0"},
    tex=r"p = p_0 + \rho g h, \quad g = 9.80665\ \mathrm{m/s^2}",
    working="{air_pressure} + {water_density} · 9.80665 m/s² · {depth}",
    validity="Down to 1000 m, to 0.5 %: compression and latitude are left out.",
    sources=("fofonoff1983",),
)
def pressure_at_depth(
    depth: Metre, water_density: KilogramPerCubicMetre, air_pressure: Pascal
) -> Pascal:
    """Absolute pressure in still water, good enough for a bubble.

    Args:
        depth: m, zero or more, to 1000.
        water_density: kg/m³, above zero.
        air_pressure: Of the air at the surface; Pa, above zero.

    Returns:
        Absolute pressure in Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Hydrostatics.

    >>> round(pressure_at_depth(depth=10, water_density=1000, air_pressure=101325), 1)
    199391.5
    """
    require_between(0, 1000, depth=depth)
    require_positive(water_density=water_density, air_pressure=air_pressure)
    return air_pressure + water_density * GRAVITY * depth


@formula(
    title="Stiffness of the gas",
    symbol="K",
    symbols={"pressure": "p", "polytropic_exponent": "κ"},
    tex=r"K = \kappa p",
    working="{polytropic_exponent} · {pressure}",
    validity="Small changes of an ideal gas; κ is 1 where it keeps its temperature, 1.4 where air "
    "keeps its heat.",
    sources=("leighton-1994",),
)
def gas_stiffness(pressure: Pascal, polytropic_exponent: Ratio) -> Pascal:
    """Bulk modulus of a gas.

    Args:
        pressure: Absolute pressure of the gas; Pa, above zero.
        polytropic_exponent: 1 to 1.667.

    Returns:
        Pressure that would squeeze the gas to nothing if it went on as it begins, Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Derivative of pressure times volume to the power κ, which stays the same.

    >>> gas_stiffness(pressure=1e5, polytropic_exponent=1.4)
    140000.0
    """
    return _stiffness(pressure, polytropic_exponent)


@formula(
    title="Resonance of a bubble in water",
    symbol="f",
    symbols={"diameter": "D", "pressure": "p", "density": "ρ", "polytropic_exponent": "κ"},
    tex=r"f = \frac{1}{\pi D} \sqrt{\frac{3 \kappa p}{\rho}}",
    working="1 / (π · {diameter}) · √(3 · {polytropic_exponent} · {pressure} / {density})",
    validity="A round bubble of more than 0.1 mm, far from walls and from other bubbles.",
    sources=("minnaert-1933", "leighton-1994"),
)
def minnaert(
    diameter: Metre, pressure: Pascal, density: KilogramPerCubicMetre, polytropic_exponent: Ratio
) -> Hertz:
    """Frequency at which a free bubble breathes, after Minnaert.

    Args:
        diameter: Of the bubble at rest, not its radius; m, above zero.
        pressure: Absolute pressure around it; Pa, above zero.
        density: Of the liquid; kg/m³, above zero.
        polytropic_exponent: Of the gas, 1 to 1.667.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [minnaert-1933].

    >>> round(minnaert(diameter=2e-3, pressure=1e5, density=1000, polytropic_exponent=1.4))
    3262
    """
    require_positive(diameter=diameter, density=density)
    return sqrt(3 * _stiffness(pressure, polytropic_exponent) / density) / (pi * diameter)


@formula(
    title="Resonance of a bubble, with surface tension and in a solid",
    symbol="f",
    symbols={
        "diameter": "D",
        "pressure": "p",
        "density": "ρ",
        "polytropic_exponent": "κ",
        "surface_tension": "σ",
        "shear_modulus": "G",
    },
    tex=(
        r"f = \frac{1}{\pi D} \sqrt{\frac{3 \kappa (p + 4 \sigma / D) - 4 \sigma / D + 4 G}{\rho}}"
    ),
    working=(
        "1 / (π · {diameter}) · √((3 · {polytropic_exponent} · ({pressure} + 4 · {surface_tension}"
        " / {diameter}) − 4 · {surface_tension} / {diameter} + 4 · {shear_modulus}) / {density})"
    ),
    validity=(
        "A round bubble in a liquid, or in a solid that gives way far more in shear than in "
        "volume: soft polyurethane, silicone, rubber. In stiff epoxy the sound that it sends off "
        "damps it until no clear note is left."
    ),
    sources=("leighton-1994", "meyer-1958", "wetside-derivation-elastic-bubble"),
)
def bubble_resonance(
    diameter: Metre,
    pressure: Pascal,
    density: KilogramPerCubicMetre,
    polytropic_exponent: Ratio,
    surface_tension: NewtonPerMetre,
    shear_modulus: Pascal,
) -> Hertz:
    """Frequency at which a bubble breathes in a liquid or in a solid that gives way in shear.

    Args:
        diameter: Of the bubble at rest; m, above zero.
        pressure: Absolute pressure around it; Pa, above zero.
        density: Of the medium; kg/m³, above zero.
        polytropic_exponent: Of the gas, 1 to 1.667.
        surface_tension: Of the liquid; N/m, zero or more.
        shear_modulus: Of the medium; Pa, zero for a liquid.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Small oscillations of the Rayleigh-Plesset equation, with the stress that an incompressible
        solid adds at the wall.

    >>> round(bubble_resonance(diameter=1e-3, pressure=101325, density=1050,
    ...     polytropic_exponent=1.4, surface_tension=0, shear_modulus=1e6))
    20665
    """
    require_positive(diameter=diameter, density=density)
    require_between(0, 1e3, surface_tension=surface_tension)
    require_between(0, 1e12, shear_modulus=shear_modulus)
    tension = 4 * surface_tension / diameter
    gas = 3 * _stiffness(pressure + tension, polytropic_exponent)
    return sqrt((gas - tension + 4 * shear_modulus) / density) / (pi * diameter)


@formula(
    title="Speed of sound with gas in it",
    symbol="c",
    symbols={
        "gas_fraction": "β",
        "density": "ρ",
        "sound_speed": "c_0",
        "gas_stiffness": "K",
        "shear_modulus": "G",
    },
    tex=(
        r"\frac{1}{c^2} = (1 - \beta) \rho \left( \frac{1 - \beta}{\rho c_0^2}"
        r" + \frac{\beta}{K + \frac{4}{3} G} \right)"
    ),
    working=(
        "1 / √((1 − {gas_fraction}) · {density} · ((1 − {gas_fraction}) / ({density} ·"
        " {sound_speed}²) + {gas_fraction} / ({gas_stiffness} + 4/3 · {shear_modulus})))"
    ),
    validity=(
        "Well below the resonance of the bubbles, up to 50 % of gas in a liquid and 10 % in a "
        "solid; the weight of the gas is left out (0.1 % at most)."
    ),
    sources=("wood-1930", "hashin-shtrikman-1963"),
)
def bubbly_sound_speed(
    gas_fraction: Ratio,
    density: KilogramPerCubicMetre,
    sound_speed: MetrePerSecond,
    gas_stiffness: Pascal,
    shear_modulus: Pascal,
) -> MetrePerSecond:
    """Speed of sound in water or resin that holds many small bubbles; Wood's where G is zero.

    Args:
        gas_fraction: Part of the volume that is gas, 0 to 0.5.
        density: Without gas; kg/m³, above zero.
        sound_speed: Without gas, of the longitudinal wave; m/s, above zero.
        gas_stiffness: Bulk modulus of the gas; Pa, above zero.
        shear_modulus: Of the medium; Pa, zero for a liquid.

    Returns:
        Speed in m/s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Compliances add, that of the gas held back by the shear of the solid around it: the bound
        of Hashin and Shtrikman, for a liquid Wood's equation.

    >>> round(bubbly_sound_speed(gas_fraction=1e-3, density=1000, sound_speed=1500,
    ...     gas_stiffness=141855, shear_modulus=0), 1)
    365.5
    """
    require_between(0, MOST_GAS, gas_fraction=gas_fraction)
    require_positive(density=density, sound_speed=sound_speed, gas_stiffness=gas_stiffness)
    require_between(0, 1e12, shear_modulus=shear_modulus)
    compliance = (1 - gas_fraction) / (density * sound_speed**2)
    compliance += gas_fraction / (gas_stiffness + 4 / 3 * shear_modulus)
    return 1 / sqrt((1 - gas_fraction) * density * compliance)


def _stiffness(pressure: Pascal, polytropic_exponent: Ratio) -> Pascal:
    require_positive(pressure=pressure)
    require_between(SOFTEST, STIFFEST, polytropic_exponent=polytropic_exponent)
    return polytropic_exponent * pressure
