"""A known pressure from a known depth: the hydrophone moved up and down, or by a step."""

from math import exp, expm1, log10

from calculators.formula import formula, require_positive
from calculators.formulas.constants import GRAVITY
from calculators.formulas.noise import not_negative
from calculators.quantities import (
    Hertz,
    KilogramPerCubicMetre,
    Metre,
    MetrePerSecond,
    MetrePerSecondSquared,
    Pascal,
    Ratio,
    Second,
    SensitivityLevel,
    SoundPressureLevel,
    Volt,
)

TURN = 6.283185307179586
"""Radians in a full turn, 2π."""

MICROPASCAL_LEVEL = 120.0
"""dB: 1 Pa is 10⁶ µPa, exact."""


@formula(
    title="Level of a peak pressure",
    symbol="L_pk",
    symbols={"pressure": "p"},
    tex=r"L_\mathrm{pk} = 20 \log_{10}\frac{p}{1\,\mathrm{\mu Pa}}",
    working="20 · log₁₀({pressure} / 1 µPa)",
    validity="Zero-to-peak; the sound pressure level of a sine lies 3.01 dB below it.",
    sources=("iso-18405-terms", "underwater-decibel-page"),
)
def peak_pressure_level(pressure: Pascal) -> SoundPressureLevel:
    """Zero-to-peak sound pressure level of a peak pressure.

    Args:
        pressure: Peak, Pa, above zero.

    Returns:
        dB re 1 µPa.

    Raises:
        InputError: If the pressure is not above zero.

    Source:
        Definition.

    >>> round(peak_pressure_level(pressure=1.0), 9)
    120.0
    """
    require_positive(pressure=pressure)
    return 20 * log10(pressure) + MICROPASCAL_LEVEL


@formula(
    title="Sensitivity from a voltage and the pressure that made it",
    symbol="M",
    symbols={"voltage": "U", "pressure": "p"},
    tex=r"M = 20 \log_{10}\frac{U / p}{1\,\mathrm{V / \mu Pa}}",
    working="20 · log₁₀({voltage} / {pressure}) − 120 dB",
    validity="Both peak, or both rms, at the same frequency.",
    sources=("fundamentals-sensitivity", "iec-60050-801"),
)
def sensitivity_from_voltage(voltage: Volt, pressure: Pascal) -> SensitivityLevel:
    """Sensitivity level of whatever turned a pressure into a voltage.

    Args:
        voltage: V, above zero.
        pressure: Pa, above zero; peak if the voltage is, rms if that is.

    Returns:
        dB re 1 V/µPa.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Definition of a sensitivity level.

    >>> round(sensitivity_from_voltage(voltage=1e-3, pressure=1.0), 9)
    -180.0
    """
    require_positive(voltage=voltage, pressure=pressure)
    return 20 * log10(voltage / pressure) - MICROPASCAL_LEVEL


@formula(
    title="What two corners leave of a ramp",
    symbol="r",
    symbols={
        "duration": "T",
        "delay": "t",
        "first_corner": "f_1",
        "second_corner": "f_2",
    },
    tex=(
        r"r = \frac{q(T + t) - q(t)}{T}, \quad "
        r"q(x) = \frac{e^{-b x} - e^{-a x}}{a - b}, \quad a = 2 \pi f_1,\; b = 2 \pi f_2"
    ),
    working="r({duration}, {delay}, {first_corner}, {second_corner})",
    validity="Two first-order high-pass networks with a buffer between them, a pressure that rises "
    "evenly for the time T and then stays; t counts from its end.",
    sources=("wetside-derivation-ramp",),
)
def ramp_remaining(
    duration: Second, delay: Second, first_corner: Hertz, second_corner: Hertz
) -> Ratio:
    """Part of a step that two high-pass networks still show, some time after it.

    Args:
        duration: Of the even rise, s, above zero.
        delay: From the end of the rise to the reading, s, zero or more.
        first_corner: Hz, above zero.
        second_corner: Hz, above zero.

    Returns:
        1 for a sudden step read at once; below zero where the second network swings through.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Inverse Laplace transform of s / ((s + a)(s + b)), integrated over the rise.

    >>> round(ramp_remaining(duration=1e-6, delay=1.0, first_corner=1 / 6.283185307,
    ...     second_corner=1e-9), 4)
    0.3679
    """
    require_positive(duration=duration, first_corner=first_corner, second_corner=second_corner)
    not_negative(delay=delay)
    fast, slow = TURN * max(first_corner, second_corner), TURN * min(first_corner, second_corner)
    after = _decay(delay + duration, fast, slow)
    return (after - _decay(delay, fast, slow)) / duration


def _decay(time: float, fast: float, slow: float) -> float:
    """q(x) of the formula; the two rates may be equal."""
    gap = (fast - slow) * time
    if gap < 1e-12:
        return time * exp(-slow * time)
    return -time * exp(-slow * time) * expm1(-gap) / gap


@formula(
    title="Pressure of the motion itself",
    symbol="s",
    symbols={"speed": "v", "acceleration": "a", "radius": "R", "height": "h"},
    tex=r"s = \frac{v^2 + R a}{2 g h}",
    working="({speed}² + {radius} · {acceleration}) / (2 · 9.80665 m/s² · {height})",
    validity="Worst case: at the foremost point of a sphere, greatest speed and greatest "
    "acceleration together. A symmetrical element averages most of it away. Away from walls.",
    sources=("wetside-derivation-motion-pressure",),
)
def motion_share(
    speed: MetrePerSecond, acceleration: MetrePerSecondSquared, radius: Metre, height: Metre
) -> Ratio:
    """Pressure that moving makes at the front of a hydrophone, in parts of the one wanted.

    Args:
        speed: Greatest, m/s, zero or more.
        acceleration: Greatest, m/s², zero or more.
        radius: Of the hydrophone, m, zero or more.
        height: Change of depth that gives the wanted pressure, m, above zero.

    Returns:
        Ratio of pressures.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Unsteady Bernoulli equation at the pole of a sphere in still water.

    >>> round(motion_share(speed=0.1, acceleration=0.0, radius=0.0, height=0.01), 5)
    0.05099
    """
    not_negative(speed=speed, acceleration=acceleration, radius=radius)
    require_positive(height=height)
    return (speed * speed + radius * acceleration) / (2 * GRAVITY * height)


@formula(
    title="Pressure in a column that is shaken",
    symbol="p",
    symbols={
        "water_density": "ρ",
        "amplitude": "x",
        "frequency": "f",
        "depth": "h",
    },
    tex=r"p = \rho x \left| g - (2 \pi f)^2 h \right|",
    working="{water_density} · {amplitude} · |9.80665 m/s² − (2π · {frequency})² · {depth}|",
    validity="A tube of water moved up and down as one piece, open at the top, the hydrophone held "
    "still in it; the column short against a quarter of a wavelength.",
    sources=("wetside-derivation-column", "column-patent"),
)
def column_pressure(
    water_density: KilogramPerCubicMetre, amplitude: Metre, frequency: Hertz, depth: Metre
) -> Pascal:
    """Peak pressure at a hydrophone that stays where it is while the water column moves.

    Weight and inertia act against each other, and cancel where (2πf)² h is g.

    Args:
        water_density: kg/m³, above zero.
        amplitude: Of the column, from the middle, m, above zero.
        frequency: Hz, above zero.
        depth: Mean depth of the hydrophone below the surface of the column, m, above zero.

    Returns:
        Pa, peak.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Equation of motion of a column: weight of the water above, and its inertia.

    >>> round(column_pressure(water_density=1000, amplitude=0.01, frequency=10, depth=0.2), 2)
    7797.62
    """
    require_positive(
        water_density=water_density, amplitude=amplitude, frequency=frequency, depth=depth
    )
    return water_density * amplitude * abs(GRAVITY - (TURN * frequency) ** 2 * depth)
