"""Waves on the surface, and what they do below: linear theory."""

from math import exp, pi, sqrt, tanh

from calculators.formula import formula, require_between, require_positive
from calculators.formulas.constants import GRAVITY
from calculators.quantities import (
    KilogramPerCubicMetre,
    Metre,
    MetrePerSecond,
    MetrePerSecondSquared,
    Pascal,
    PerMetre,
    Second,
)

_NEWTON_STEPS = 4
"""From a first guess within 5 %; three reach the last digits."""

_STEEPEST = 0.14
"""Height over length of the steepest wave in deep water."""


@formula(
    title="Wave number",
    symbol="k",
    symbols={"period": "T", "water_depth": "d"},
    tex=r"\left( \frac{2 \pi}{T} \right)^2 = g k \tanh k d \quad \text{solved for } k",
    working="solution of (2π / {period})² = 9.80665 m/s² · k · tanh(k · {water_depth})",
    validity="Waves that are low against depth and length, no current; from 0.1 s, where surface "
    "tension begins to count, to 1 h.",
    sources=("cem-2002", "waves-answers"),
)
def wave_number(period: Second, water_depth: Metre) -> PerMetre:
    """Wave number of a surface wave: 2π over its length.

    Args:
        period: s, 0.1 to 3600.
        water_depth: m, 0.01 to 12000.

    Returns:
        Wave number in 1/m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Dispersion relation of linear waves, solved by Newton's method from the guess
        k·d = x/√tanh x, x = ω²d/g.

    >>> round(wave_number(period=13, water_depth=20), 4)
    0.0375
    """
    require_between(0.1, 3600, period=period)
    require_between(0.01, 12_000, water_depth=water_depth)
    deep = (2 * pi / period) ** 2 * water_depth / GRAVITY
    x = deep / sqrt(tanh(deep))
    for _ in range(_NEWTON_STEPS):
        t = tanh(x)
        x -= (x * t - deep) / (t + x * (1 - t * t))
    return x / water_depth


@formula(
    title="Orbital velocity",
    symbol="u",
    symbols={
        "wave_height": "H",
        "period": "T",
        "wave_number": "k",
        "water_depth": "d",
        "height": "z",
    },
    tex=r"u = \frac{\pi H}{T} \, \frac{\cosh k z}{\sinh k d}",
    working=(
        "π · {wave_height} / {period} · cosh({wave_number} · {height})"
        " / sinh({wave_number} · {water_depth})"
    ),
    validity="Amplitude of the horizontal motion at a height z above the bottom; linear waves.",
    sources=("cem-2002", "waves-answers"),
)
def orbital_velocity(
    wave_height: Metre,
    period: Second,
    wave_number: PerMetre,
    water_depth: Metre,
    height: Metre,
) -> MetrePerSecond:
    """Fastest horizontal speed of the water under a wave.

    Args:
        wave_height: Trough to crest; m, 0 to 50.
        period: s, 0.1 to 3600.
        wave_number: 1/m, above zero.
        water_depth: m, above zero.
        height: Above the bottom; m, 0 to the depth.

    Returns:
        Speed in m/s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Linear theory, as in [cem-2002]; the equation is from memory.

    >>> round(orbital_velocity(1.0, 8.0, wave_number=0.07, water_depth=20, height=0), 4)
    0.2062
    """
    require_between(0, 50, wave_height=wave_height)
    require_between(0.1, 3600, period=period)
    require_positive(wave_number=wave_number, water_depth=water_depth)
    require_between(0, water_depth, height=height)
    # cosh kz / sinh kd without the large numbers that overflow in deep water
    fading = exp(wave_number * (height - water_depth)) + exp(-wave_number * (height + water_depth))
    return pi * wave_height / period * fading / (1 - exp(-2 * wave_number * water_depth))


@formula(
    title="Orbital acceleration",
    symbol="a",
    symbols={"orbital_velocity": "u", "period": "T"},
    tex=r"a = \frac{2 \pi u}{T}",
    working="2π · {orbital_velocity} / {period}",
    validity="Amplitude, a quarter of a period before the fastest moment; linear waves.",
    sources=("cem-2002", "waves-answers"),
)
def orbital_acceleration(orbital_velocity: MetrePerSecond, period: Second) -> MetrePerSecondSquared:
    """Largest horizontal acceleration of the water under a wave.

    Args:
        orbital_velocity: m/s, 0 to 1000.
        period: s, 0.1 to 3600.

    Returns:
        Acceleration in m/s².

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Harmonic motion.

    >>> round(orbital_acceleration(orbital_velocity=1, period=8), 4)
    0.7854
    """
    require_between(0, 1000, orbital_velocity=orbital_velocity)
    require_between(0.1, 3600, period=period)
    return 2 * pi * orbital_velocity / period


@formula(
    title="Pressure of the waves",
    symbol="p",
    symbols={
        "wave_height": "H",
        "water_density": "ρ",
        "wave_number": "k",
        "water_depth": "d",
        "height": "z",
    },
    tex=r"p = \frac{\rho g H}{2} \, \frac{\cosh k z}{\cosh k d}",
    working=(
        "{water_density} · 9.80665 m/s² · {wave_height} / 2 · cosh({wave_number} · {height})"
        " / cosh({wave_number} · {water_depth})"
    ),
    validity="Amplitude at a height z above the bottom; linear waves.",
    sources=("cem-2002", "waves-answers"),
)
def wave_pressure(
    wave_height: Metre,
    water_density: KilogramPerCubicMetre,
    wave_number: PerMetre,
    water_depth: Metre,
    height: Metre,
) -> Pascal:
    """How far the pressure swings to either side under a wave.

    Args:
        wave_height: Trough to crest; m, 0 to 50.
        water_density: kg/m³, above zero.
        wave_number: 1/m, above zero.
        water_depth: m, above zero.
        height: Above the bottom; m, 0 to the depth.

    Returns:
        Amplitude in Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Linear theory, the pressure response factor as in [cem-2002], from memory, at any height.

    >>> round(wave_pressure(1.0, 1000, wave_number=1e-6, water_depth=10, height=0), 1)
    4903.3
    """
    require_between(0, 50, wave_height=wave_height)
    require_positive(water_density=water_density, wave_number=wave_number, water_depth=water_depth)
    require_between(0, water_depth, height=height)
    fading = exp(wave_number * (height - water_depth)) + exp(-wave_number * (height + water_depth))
    return (
        water_density
        * GRAVITY
        * wave_height
        / 2
        * fading
        / (1 + exp(-2 * wave_number * water_depth))
    )


@formula(
    title="Height of the steepest wave",
    symbol="H_x",
    symbols={"wave_number": "k", "water_depth": "d"},
    tex=r"H_\mathrm{x} = 0.14 \, \frac{2 \pi}{k} \tanh k d",
    working="0.14 · 2π / {wave_number} · tanh({wave_number} · {water_depth})",
    validity="Even bottom; on a slope waves break at 0.7 to 1.2 of the depth.",
    sources=("miche-page", "cem-limit-note"),
)
def steepest_wave_height(wave_number: PerMetre, water_depth: Metre) -> Metre:
    """Height at which a wave of this length breaks.

    Args:
        wave_number: 1/m, above zero.
        water_depth: m, above zero.

    Returns:
        Height from trough to crest, m.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Miche's limit, [miche-page].

    >>> round(steepest_wave_height(wave_number=0.0375, water_depth=20), 2)
    14.9
    """
    require_positive(wave_number=wave_number, water_depth=water_depth)
    return _STEEPEST * 2 * pi / wave_number * tanh(wave_number * water_depth)
