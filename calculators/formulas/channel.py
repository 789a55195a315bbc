"""Sound in shallow water: what a layer of water over a bottom carries, and what it swallows.

The water is a layer of one sound speed under a free surface, the bottom a fluid without end: the
model of Pekeris. A bottom in which sound is faster than in the water traps modes above a cut-off;
a slower one traps nothing, and every mode leaks.
"""

from cmath import log as complex_log
from cmath import sqrt as complex_sqrt
from math import asin, atan, cos, floor, log10, pi, sin, sqrt, tan, tanh

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.quantities import (
    Count,
    Decibel,
    DecibelPerMetre,
    Hertz,
    KilogramPerCubicMetre,
    Metre,
    MetrePerSecond,
    PerMetre,
)

NEPER = 20 / 2.302585092994046
"""dB: 20 log e."""

LOSS_TANGENT = 1 / (2 * pi * NEPER)
"""Imaginary part of a wave number over its real part, for 1 dB a wavelength."""

_ROUNDING = 1 + 1e-9
"""How far above the cut-off a frequency may seem to lie that is just below it."""

_NEWTON_STEPS = 12
"""Four reach the last digits nearly everywhere; near a cut-off of a high mode it takes more."""


@formula(
    title="Cut-off over a rigid bottom",
    symbol="f_r",
    symbols={"water_depth": "H", "water_sound_speed": "c"},
    tex=r"f_\mathrm{r} = \frac{c}{4 H}",
    working="{water_sound_speed} / (4 · {water_depth})",
    validity="A bottom that does not give way at all: lower than any real bottom allows.",
    sources=("jensen2011",),
)
def rigid_cutoff(water_depth: Metre, water_sound_speed: MetrePerSecond) -> Hertz:
    """Lowest frequency that travels where a quarter of a wave fits between surface and bottom.

    Args:
        water_depth: m, above zero.
        water_sound_speed: m/s, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        The limit of the cut-off of a fluid bottom for an infinite sound speed in it.

    >>> rigid_cutoff(water_depth=4, water_sound_speed=1448)
    90.5
    """
    require_positive(water_depth=water_depth, water_sound_speed=water_sound_speed)
    return water_sound_speed / (4 * water_depth)


@formula(
    title="Cut-off over a yielding bottom",
    symbol="f_s",
    symbols={"water_depth": "H", "water_sound_speed": "c"},
    tex=r"f_\mathrm{s} = \frac{c}{2 H}",
    working="{water_sound_speed} / (2 · {water_depth})",
    validity="A bottom that gives way like the air above: mud full of gas, at grazing angles.",
    sources=("wetside-derivation-shallow-water",),
)
def yielding_cutoff(water_depth: Metre, water_sound_speed: MetrePerSecond) -> Hertz:
    """Lowest frequency of the first mode where half a wave fits between surface and bottom.

    Args:
        water_depth: m, above zero.
        water_sound_speed: m/s, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        A layer between two surfaces without pressure.

    >>> yielding_cutoff(water_depth=4, water_sound_speed=1448)
    181.0
    """
    require_positive(water_depth=water_depth, water_sound_speed=water_sound_speed)
    return water_sound_speed / (2 * water_depth)


@formula(
    title="Cut-off of a mode over a faster bottom",
    symbol="f_m",
    symbols={
        "water_depth": "H",
        "water_sound_speed": "c",
        "bottom_sound_speed": "c_2",
        "mode": "m",
    },
    tex=r"f_m = \frac{(2 m - 1) \, c}{4 H \sqrt{1 - (c / c_2)^2}}",
    working=(
        "(2 · {mode} − 1) · {water_sound_speed}"
        " / (4 · {water_depth} · √(1 − ({water_sound_speed} / {bottom_sound_speed})²))"
    ),
    validity="Even depth, one sound speed from top to bottom, a fluid bottom without end in which "
    "sound is faster than in the water. The density of the bottom does not enter.",
    sources=("jensen2011",),
)
def pekeris_cutoff(
    water_depth: Metre,
    water_sound_speed: MetrePerSecond,
    bottom_sound_speed: MetrePerSecond,
    mode: Count,
) -> Hertz:
    """Lowest frequency at which a mode is trapped.

    Args:
        water_depth: m, above zero.
        water_sound_speed: m/s, above zero.
        bottom_sound_speed: m/s, above that of the water.
        mode: Its number, 1 or more.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is out of its range, or the bottom is not faster.

    Source:
        [jensen2011], equation 1.38 for the first mode and 2.191 for all.

    >>> round(pekeris_cutoff(10, 1500, bottom_sound_speed=1700, mode=1), 2)
    79.69
    """
    return _cutoff(water_depth, water_sound_speed, bottom_sound_speed, mode)


def _cutoff(
    water_depth: float, water_sound_speed: float, bottom_sound_speed: float, mode: float
) -> float:
    require_positive(water_depth=water_depth, water_sound_speed=water_sound_speed)
    _require_faster(water_sound_speed, bottom_sound_speed)
    require_between(1, 1e6, mode=mode)
    ratio = water_sound_speed / bottom_sound_speed
    return (2 * mode - 1) * water_sound_speed / (4 * water_depth * sqrt(1 - ratio * ratio))


@formula(
    title="Number of trapped modes",
    symbol="N",
    symbols={"frequency": "f", "cutoff_frequency": "f_1"},
    tex=r"N = \left\lfloor \tfrac{1}{2} \left( \frac{f}{f_1} + 1 \right) \right\rfloor",
    working="½ · ({frequency} / {cutoff_frequency} + 1), rounded down",
    validity="Over a faster bottom; 0 below the cut-off.",
    sources=("jensen2011",),
)
def mode_count(frequency: Hertz, cutoff_frequency: Hertz) -> Count:
    """How many modes are trapped at a frequency.

    Args:
        frequency: Hz, above zero.
        cutoff_frequency: Of the first mode; Hz, above zero.

    Returns:
        Number of modes.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        The cut-offs of all modes, counted.

    >>> mode_count(frequency=300, cutoff_frequency=100)
    2
    """
    require_positive(frequency=frequency, cutoff_frequency=cutoff_frequency)
    return floor((frequency / cutoff_frequency + 1) / 2)


@formula(
    title="Wave number of a trapped mode",
    symbol="κ",
    symbols={
        "frequency": "f",
        "water_depth": "H",
        "water_sound_speed": "c",
        "bottom_sound_speed": "c_2",
        "water_density": "ρ",
        "bottom_density": "ρ_2",
        "mode": "m",
    },
    tex=(
        r"\kappa = \sqrt{k^2 - (x / H)^2}, \quad"
        r" x = \left( m - \tfrac{1}{2} \right) \pi"
        r" + \arctan \frac{\rho \sqrt{a^2 - x^2}}{\rho_2 \, x}, \quad"
        r" a = H \sqrt{k^2 - k_2^2}, \quad k = \frac{2 \pi f}{c}, \;"
        r" k_2 = \frac{2 \pi f}{c_2}"
    ),
    working=(
        "√((2π · {frequency} / {water_sound_speed})² − (x / {water_depth})²),"
        " x({mode}; {bottom_sound_speed}; {water_density} over {bottom_density})"
    ),
    validity="At and above the cut-off of the mode; no absorption, which moves it by far less "
    "than 1 %.",
    sources=("kraken-manual", "jensen2011"),
)
def trapped_wavenumber(
    frequency: Hertz,
    water_depth: Metre,
    water_sound_speed: MetrePerSecond,
    bottom_sound_speed: MetrePerSecond,
    water_density: KilogramPerCubicMetre,
    bottom_density: KilogramPerCubicMetre,
    mode: Count,
) -> PerMetre:
    """How fast the phase of a trapped mode turns along the water: 2π over its wave's length.

    Args:
        frequency: At or above the mode's cut-off; Hz.
        water_depth: m, above zero.
        water_sound_speed: m/s, above zero.
        bottom_sound_speed: m/s, above that of the water.
        water_density: kg/m³, above zero.
        bottom_density: kg/m³, above zero.
        mode: Its number, 1 or more.

    Returns:
        Wave number in rad/m.

    Raises:
        InputError: If an argument is out of its range, or the mode is not trapped.

    Source:
        The characteristic equation of Pekeris' waveguide, solved by Newton's method in an angle φ
        with x = a sin φ, in which it is smooth up to the cut-off.

    >>> round(trapped_wavenumber(10, 5000, 1500, 2000, 1000, 2000, mode=1), 10)
    0.0418833225
    """
    require_positive(frequency=frequency, water_density=water_density)
    require_positive(bottom_density=bottom_density)
    lowest = _cutoff(water_depth, water_sound_speed, bottom_sound_speed, mode)
    if frequency < lowest:
        raise InputError(
            "frequency", f"frequency must be from {lowest!r}, the cut-off, given {frequency!r}"
        )
    k = 2 * pi * frequency / water_sound_speed
    a = water_depth * k * sqrt(1 - (water_sound_speed / bottom_sound_speed) ** 2)
    x = _trapped_phase(a, bottom_density / water_density, mode)
    return sqrt(k * k - (x / water_depth) ** 2)


def _trapped_phase(a: float, density_ratio: float, mode: float) -> float:
    """The phase x from surface to bottom, in rad, at or above the cut-off."""
    start = (mode - 0.5) * pi
    angle = asin(
        min(1.0, start / a)
    )  # rounding at the cut-off itself may give a little more than 1
    for _ in range(_NEWTON_STEPS):
        s, c = sin(angle), cos(angle)
        over = a * s - start - atan(c / (density_ratio * s))
        slope = a * c + density_ratio / ((density_ratio * s) ** 2 + c * c)
        angle -= over / slope
    return a * sin(angle)


@formula(
    title="Attenuation of a trapped mode",
    symbol="α",
    symbols={
        "frequency": "f",
        "wavenumber": "κ",
        "water_depth": "H",
        "water_sound_speed": "c",
        "bottom_sound_speed": "c_2",
        "water_density": "ρ",
        "bottom_density": "ρ_2",
        "bottom_attenuation": "β",
    },
    tex=(
        r"\alpha = \frac{\beta f}{c_2} \, \frac{k_2}{\kappa} \, B, \quad"
        r" B = \frac{\rho \sin^2 \gamma H}{\rho \sin^2 \gamma H"
        r" + \rho_2 \eta \left( H - \frac{\sin 2 \gamma H}{2 \gamma} \right)}, \quad"
        r" \gamma = \sqrt{k^2 - \kappa^2}, \; \eta = \sqrt{\kappa^2 - k_2^2}"
    ),
    working=(
        "{bottom_attenuation} · {frequency} / {bottom_sound_speed} · k₂ / {wavenumber}"
        " · B({water_depth}; {water_sound_speed}; {water_density} over {bottom_density})"
    ),
    validity="First order in the absorption of the bottom: good to 1 dB a wavelength; the water's "
    "own absorption is not in it.",
    sources=("wetside-derivation-shallow-water",),
)
def trapped_attenuation(
    frequency: Hertz,
    wavenumber: PerMetre,
    water_depth: Metre,
    water_sound_speed: MetrePerSecond,
    bottom_sound_speed: MetrePerSecond,
    water_density: KilogramPerCubicMetre,
    bottom_density: KilogramPerCubicMetre,
    bottom_attenuation: Decibel,
) -> DecibelPerMetre:
    """What a trapped mode loses by the part of it that runs in the bottom.

    Args:
        frequency: Hz, above zero.
        wavenumber: Of the mode, between those of bottom and water; rad/m.
        water_depth: m, above zero.
        water_sound_speed: m/s, above zero.
        bottom_sound_speed: m/s, above that of the water.
        water_density: kg/m³, above zero.
        bottom_density: kg/m³, above zero.
        bottom_attenuation: Of sound in the bottom; dB for each wavelength, 0 to 50.

    Returns:
        Attenuation in dB/m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Perturbation of the mode by the absorption; derived in
        [wetside-derivation-shallow-water].

    >>> round(trapped_attenuation(300, 1.23, 4, 1448, 1650, 1000, 1900, 0.8), 4)
    0.0281
    """
    require_positive(frequency=frequency, water_depth=water_depth)
    require_positive(water_sound_speed=water_sound_speed, water_density=water_density)
    require_positive(bottom_density=bottom_density)
    _require_faster(water_sound_speed, bottom_sound_speed)
    require_between(0, 50, bottom_attenuation=bottom_attenuation)
    k = 2 * pi * frequency / water_sound_speed
    in_bottom = 2 * pi * frequency / bottom_sound_speed
    require_between(in_bottom * (1 - 1e-9), k, wavenumber=wavenumber)
    gamma = sqrt(k * k - wavenumber * wavenumber)
    # at the cut-off rounding may leave a difference a little below zero
    eta = sqrt(max(0.0, wavenumber * wavenumber - in_bottom * in_bottom))
    below = water_density * sin(gamma * water_depth) ** 2
    above = bottom_density * eta * (water_depth - sin(2 * gamma * water_depth) / (2 * gamma))
    share = below / (below + above)
    return bottom_attenuation * frequency / bottom_sound_speed * in_bottom / wavenumber * share


_LEAKY_SYMBOLS = {
    "frequency": "f",
    "water_depth": "H",
    "water_sound_speed": "c",
    "bottom_sound_speed": "c_2",
    "water_density": "ρ",
    "bottom_density": "ρ_2",
    "bottom_attenuation": "β",
}
_LEAKY_PLACES = (
    "({frequency}; {water_depth}; {water_sound_speed} over {bottom_sound_speed};"
    " {water_density} over {bottom_density}; {bottom_attenuation} a wavelength)"
)
_LEAKY_VALIDITY = (
    "The first mode, below its cut-off or over a slower bottom. Against the exact complex root it "
    "is within 10 % up to 0.6 of the cut-off over silt, sand or rock, within 15 % at 0.7 and over "
    "a slower bottom; closer below the cut-off it gives too much."
)


@formula(
    title="Attenuation of a leaking mode",
    symbol="α",
    symbols=_LEAKY_SYMBOLS,
    tex=(
        r"\alpha = 20 \lg e \; \mathrm{Im} \sqrt{k^2 - (x / H)^2}, \quad"
        r" x = \frac{\pi}{2} - \frac{i}{2} \ln \frac{1 + w}{1 - w}, \quad"
        r" w = \frac{\rho \sqrt{x_0^2 - a^2}}{\rho_2 \, x_0}, \quad"
        r" a^2 = H^2 \left( k^2 - k_2^2 (1 + i \delta)^2 \right), \quad"
        r" \delta = \frac{\beta}{40 \pi \lg e}"
    ),
    working="α" + _LEAKY_PLACES,
    validity=_LEAKY_VALIDITY + " x₀ is π/2 over a faster bottom, π over a slower one.",
    sources=("wetside-derivation-shallow-water",),
)
def leaky_attenuation(
    frequency: Hertz,
    water_depth: Metre,
    water_sound_speed: MetrePerSecond,
    bottom_sound_speed: MetrePerSecond,
    water_density: KilogramPerCubicMetre,
    bottom_density: KilogramPerCubicMetre,
    bottom_attenuation: Decibel,
) -> DecibelPerMetre:
    """What the first mode loses where it is not trapped, into the bottom and by not fitting in.

    Args:
        frequency: Hz, above zero; over a faster bottom below the cut-off.
        water_depth: m, above zero.
        water_sound_speed: m/s, above zero.
        bottom_sound_speed: m/s, above zero.
        water_density: kg/m³, above zero.
        bottom_density: kg/m³, above zero.
        bottom_attenuation: Of sound in the bottom; dB for each wavelength, 0 to 50.

    Returns:
        Attenuation in dB/m.

    Raises:
        InputError: If an argument is out of its range, or the bottom reflects nothing.

    Source:
        The mode of a rigid or yielding bottom with the loss at each reflection put in; derived in
        [wetside-derivation-shallow-water].

    >>> round(leaky_attenuation(100, 4, 1448, 1650, 1000, 1900, 0.8), 2)
    1.5
    """
    squared = _leaky_square(
        frequency,
        water_depth,
        water_sound_speed,
        bottom_sound_speed,
        bottom_density=bottom_density,
        water_density=water_density,
        bottom_attenuation=bottom_attenuation,
    )
    return NEPER * complex_sqrt(squared).imag


@formula(
    title="Wave number of a leaking mode",
    symbol="κ",
    symbols=_LEAKY_SYMBOLS,
    tex=r"\kappa = \left| \sqrt{k^2 - (x / H)^2} \right|, \quad x \text{ as in } \alpha",
    working="κ" + _LEAKY_PLACES,
    validity=_LEAKY_VALIDITY,
    sources=("wetside-derivation-shallow-water",),
)
def leaky_wavenumber(
    frequency: Hertz,
    water_depth: Metre,
    water_sound_speed: MetrePerSecond,
    bottom_sound_speed: MetrePerSecond,
    water_density: KilogramPerCubicMetre,
    bottom_density: KilogramPerCubicMetre,
    bottom_attenuation: Decibel,
) -> PerMetre:
    """Magnitude of the complex wave number of the first mode where it is not trapped.

    Args:
        frequency: Hz, above zero; over a faster bottom below the cut-off.
        water_depth: m, above zero.
        water_sound_speed: m/s, above zero.
        bottom_sound_speed: m/s, above zero.
        water_density: kg/m³, above zero.
        bottom_density: kg/m³, above zero.
        bottom_attenuation: Of sound in the bottom; dB for each wavelength, 0 to 50.

    Returns:
        Magnitude in rad/m.

    Raises:
        InputError: If an argument is out of its range, or the bottom reflects nothing.

    Source:
        As for the attenuation.

    >>> round(leaky_wavenumber(100, 4, 1448, 1650, 1000, 1900, 0.8), 3)
    0.325
    """
    squared = _leaky_square(
        frequency,
        water_depth,
        water_sound_speed,
        bottom_sound_speed,
        bottom_density=bottom_density,
        water_density=water_density,
        bottom_attenuation=bottom_attenuation,
    )
    return sqrt(abs(squared))


def _leaky_square(
    frequency: float,
    water_depth: float,
    water_sound_speed: float,
    bottom_sound_speed: float,
    *,
    water_density: float,
    bottom_density: float,
    bottom_attenuation: float,
) -> complex:
    """Square of the wave number along the water, its imaginary part above zero."""
    require_positive(frequency=frequency, water_depth=water_depth)
    require_positive(water_sound_speed=water_sound_speed, bottom_sound_speed=bottom_sound_speed)
    require_positive(water_density=water_density, bottom_density=bottom_density)
    require_between(0, 50, bottom_attenuation=bottom_attenuation)
    k = 2 * pi * frequency / water_sound_speed
    absorbed = complex(1, bottom_attenuation * LOSS_TANGENT)
    ratio = water_sound_speed / bottom_sound_speed * absorbed
    a_squared = (k * water_depth) ** 2 * (1 - ratio * ratio)
    faster = bottom_sound_speed > water_sound_speed
    plain = pi / 2 if faster else pi
    if faster and (k * water_depth) ** 2 * (1 - ratio.real**2) > plain * plain * _ROUNDING:
        raise InputError("frequency", f"frequency must be below the cut-off, given {frequency!r}")
    w = complex_sqrt(plain * plain - a_squared) * water_density / (bottom_density * plain)
    if w == 1:
        raise InputError("bottom_density", "bottom_density: such a bottom reflects nothing")
    phase = pi / 2 - 0.5j * complex_log((1 + w) / (1 - w))
    return k * k - (phase / water_depth) ** 2


@formula(
    title="Level of the first mode, at best",
    symbol="L_m",
    symbols={"distance": "r", "water_depth": "H", "wavenumber": "κ", "attenuation": "α"},
    tex=r"L_\mathrm{m} = 10 \lg \frac{8 \pi r}{\kappa H^2} - \alpha r",
    working=(
        "10 · lg(8π · {distance} / ({wavenumber} · {water_depth}²)) − {attenuation} · {distance}"
    ),
    validity="Re open water at the same distance; source and hydrophone at the depths where the "
    "mode is loudest; farther off than some depths of water. Part of the mode runs in the bottom: "
    "up to 4 dB too much at 1.5 times the cut-off, up to 14 dB at the cut-off itself; other modes "
    "come on top.",
    sources=("jensen2011", "wetside-derivation-shallow-water"),
)
def mode_level(
    distance: Metre, water_depth: Metre, wavenumber: PerMetre, attenuation: DecibelPerMetre
) -> Decibel:
    """Level of a mode against what open water would bring over the same distance.

    Args:
        distance: m, above zero.
        water_depth: m, above zero.
        wavenumber: Along the water; rad/m, above zero.
        attenuation: dB/m, 0 or more.

    Returns:
        Level in dB; above zero where the water guides the sound.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        The ideal waveguide's mode sum, one term, far off; [jensen2011] has the sum.

    >>> round(mode_level(distance=100, water_depth=4, wavenumber=1.2, attenuation=0.02), 1)
    19.2
    """
    require_positive(distance=distance, water_depth=water_depth, wavenumber=wavenumber)
    require_between(0, 1e300, attenuation=attenuation)
    guided = 8 * pi * distance / (wavenumber * water_depth * water_depth)
    return float(10 * log10(guided)) - attenuation * distance


@formula(
    title="Level of the wave through the bottom, at best",
    symbol="L_2",
    symbols={"distance": "r", **_LEAKY_SYMBOLS},
    tex=(
        r"L_2 = 20 \lg \left( \frac{2 \rho \, k_2}{\rho_2 \, r} \,"
        r" \frac{\tan^2 \gamma_0 H}{\gamma_0^2} \sqrt{1 + \frac{1}{(k_2 r)^2}} \right)"
        r" - \frac{\beta f r}{c_2}, \quad \gamma_0^2 = k^2 - k_2^2"
    ),
    working="L₂ after {distance} " + _LEAKY_PLACES,
    validity="Re open water at the same distance; source and hydrophone on the bottom; below the "
    "cut-off and many depths of water away: within 2.5 dB up to 0.4 of the cut-off from ten depths "
    "on, and up to 0.6 from 25 on. Over a slower bottom tan² γ₀H / γ₀² becomes "
    "tanh² |γ₀|H / |γ₀|², and it may be 10 dB too much.",
    sources=("wetside-derivation-shallow-water",),
)
def bottom_wave_level(
    distance: Metre,
    frequency: Hertz,
    water_depth: Metre,
    water_sound_speed: MetrePerSecond,
    bottom_sound_speed: MetrePerSecond,
    water_density: KilogramPerCubicMetre,
    bottom_density: KilogramPerCubicMetre,
    bottom_attenuation: Decibel,
) -> Decibel:
    """Level of what runs through the bottom and leaks back into the water.

    Args:
        distance: m, above zero.
        frequency: Hz, above zero; over a faster bottom below the cut-off.
        water_depth: m, above zero.
        water_sound_speed: m/s, above zero.
        bottom_sound_speed: m/s, above zero.
        water_density: kg/m³, above zero.
        bottom_density: kg/m³, above zero.
        bottom_attenuation: Of sound in the bottom; dB for each wavelength, 0 to 50.

    Returns:
        Level in dB.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        A dipole under a free surface, seen through the layer of water; derived in
        [wetside-derivation-shallow-water].

    >>> round(bottom_wave_level(100, 76, 4, 1450, 1650, 1000, 1900, 0.8), 1)
    -27.4
    """
    require_positive(distance=distance, frequency=frequency, water_depth=water_depth)
    require_positive(water_sound_speed=water_sound_speed, bottom_sound_speed=bottom_sound_speed)
    require_positive(water_density=water_density, bottom_density=bottom_density)
    require_between(0, 50, bottom_attenuation=bottom_attenuation)
    in_bottom = 2 * pi * frequency / bottom_sound_speed
    excited = _excited(
        (2 * pi * frequency / water_sound_speed) ** 2 - in_bottom * in_bottom, water_depth
    )
    near = sqrt(1 + 1 / (in_bottom * distance) ** 2)
    strength = 2 * water_density * in_bottom / (bottom_density * distance) * near
    spread = 20 * log10(strength) + 40 * log10(excited)
    return float(spread) - bottom_attenuation * frequency * distance / bottom_sound_speed


def _excited(squared: float, water_depth: float) -> float:
    """tan γH / γ, in m, from γ²; its limits on both sides of zero."""
    gamma = sqrt(abs(squared))
    if gamma * water_depth < 1e-6:
        return water_depth
    if squared < 0:
        return tanh(gamma * water_depth) / gamma
    if gamma * water_depth > pi / 2 * _ROUNDING:
        raise InputError("frequency", "frequency must be below the cut-off")
    return abs(tan(gamma * water_depth)) / gamma


def _require_faster(water_sound_speed: float, bottom_sound_speed: float) -> None:
    if not bottom_sound_speed > water_sound_speed:
        raise InputError(
            "bottom_sound_speed",
            f"bottom_sound_speed must be above that of the water, {water_sound_speed!r}, or "
            f"nothing is trapped; given {bottom_sound_speed!r}",
        )
