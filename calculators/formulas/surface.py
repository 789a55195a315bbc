"""The echo from the water's surface: sound turned over, that meets the direct sound."""

from math import atan2, degrees, exp, hypot, log10, pi, radians, sin, sqrt

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.quantities import (
    Decibel,
    Degree,
    Hertz,
    Metre,
    MetrePerSecond,
    Ratio,
)


@formula(
    title="Detour of the echo from the surface",
    symbol="Δ",
    symbols={"source_depth": "z_s", "hydrophone_depth": "z_h", "distance": "r"},
    tex=(
        r"\Delta = R_2 - R_1 = \frac{4 z_\mathrm{s} z_\mathrm{h}}{R_1 + R_2}, \quad"
        r" R_1 = \sqrt{r^2 + (z_\mathrm{s} - z_\mathrm{h})^2}, \;"
        r" R_2 = \sqrt{r^2 + (z_\mathrm{s} + z_\mathrm{h})^2}"
    ),
    working=("4 · {source_depth} · {hydrophone_depth} / (R₁ + R₂), R₁ and R₂ over {distance}"),
    validity="A flat surface and one sound speed: straight paths. The second form does not lose "
    "digits where the two paths are nearly the same.",
    sources=("jensen2011", "carey2009"),
)
def path_difference(source_depth: Metre, hydrophone_depth: Metre, distance: Metre) -> Metre:
    """How much longer the way by the surface is than the straight one.

    Args:
        source_depth: Below the surface; m, above zero.
        hydrophone_depth: Below the surface; m, above zero.
        distance: Between them, along the water; m, 0 or more.

    Returns:
        Difference in m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Geometry: the mirrored source above the surface.

    >>> round(path_difference(source_depth=3, hydrophone_depth=4, distance=0), 3)
    6.0
    """
    require_positive(source_depth=source_depth, hydrophone_depth=hydrophone_depth)
    require_between(0, 1e7, distance=distance)
    return _detour(source_depth, hydrophone_depth, distance)


def _detour(source_depth: float, hydrophone_depth: float, distance: float) -> float:
    direct = hypot(distance, source_depth - hydrophone_depth)
    mirrored = hypot(distance, source_depth + hydrophone_depth)
    return 4 * source_depth * hydrophone_depth / (direct + mirrored)


@formula(
    title="Grazing angle of the echo",
    symbol="θ",
    symbols={"source_depth": "z_s", "hydrophone_depth": "z_h", "distance": "r"},
    tex=r"\theta = \arctan \frac{z_\mathrm{s} + z_\mathrm{h}}{r}",
    working="arctan(({source_depth} + {hydrophone_depth}) / {distance})",
    validity="Between path and surface, where the echo is turned; 90° straight above.",
    sources=("jensen2011",),
)
def grazing_angle(source_depth: Metre, hydrophone_depth: Metre, distance: Metre) -> Degree:
    """Angle between the echo's path and the surface.

    Args:
        source_depth: Below the surface; m, above zero.
        hydrophone_depth: Below the surface; m, above zero.
        distance: Between them, along the water; m, 0 or more.

    Returns:
        Angle in °.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Geometry.

    >>> round(grazing_angle(source_depth=1, hydrophone_depth=2, distance=3))
    45
    """
    require_positive(source_depth=source_depth, hydrophone_depth=hydrophone_depth)
    require_between(0, 1e7, distance=distance)
    return degrees(atan2(source_depth + hydrophone_depth, distance))


@formula(
    title="What a rough surface turns back in step",
    symbol="μ",
    symbols={
        "frequency": "f",
        "sound_speed": "c",
        "surface_roughness": "σ",
        "grazing_angle": "θ",
    },
    tex=r"\mu = \exp \left( -2 k^2 \sigma^2 \sin^2 \theta \right), \quad k = \frac{2 \pi f}{c}",
    working=(
        "exp(−2 · (2π · {frequency} / {sound_speed} · {surface_roughness} · sin {grazing_angle})²)"
    ),
    validity="The part of the echo that keeps step with the sound, pressure over pressure; heights "
    "of the surface scattered by a normal distribution, gentle slopes. The rest is scattered and "
    "comes as noise of its own.",
    sources=("kraken-roughness", "jensen2011"),
)
def coherent_reflection(
    frequency: Hertz,
    sound_speed: MetrePerSecond,
    surface_roughness: Metre,
    grazing_angle: Degree,
) -> Ratio:
    """Coherent reflection of a rough surface, its turning over left aside.

    Args:
        frequency: Hz, above zero.
        sound_speed: m/s, above zero.
        surface_roughness: Standard deviation of the surface's height; m, 0 to 20.
        grazing_angle: °, 0 to 90.

    Returns:
        Ratio, 0 to 1.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Kirchhoff's approximation averaged over a normal distribution; Rayleigh's roughness
        parameter is 2 k σ sin θ.

    >>> round(coherent_reflection(1000, 1500, surface_roughness=0.1, grazing_angle=30), 3)
    0.916
    """
    require_positive(frequency=frequency, sound_speed=sound_speed)
    require_between(0, 20, surface_roughness=surface_roughness)
    require_between(0, 90, grazing_angle=grazing_angle)
    number = 2 * pi * frequency / sound_speed
    return exp(-2 * (number * surface_roughness * sin(radians(grazing_angle))) ** 2)


@formula(
    title="Level with the echo against without",
    symbol="L",
    symbols={
        "frequency": "f",
        "sound_speed": "c",
        "source_depth": "z_s",
        "hydrophone_depth": "z_h",
        "distance": "r",
        "reflection": "μ",
    },
    tex=(
        r"L = 20 \lg \left| 1 - \mu \frac{R_1}{R_2} \, e^{i k \Delta} \right|, \quad"
        r" k = \frac{2 \pi f}{c}"
    ),
    working=(
        "20 · lg |1 − {reflection} · R₁/R₂ · exp(i · 2π · {frequency} / {sound_speed} · Δ)|,"
        " {source_depth}, {hydrophone_depth}, {distance}"
    ),
    validity="A source that sends the same to all sides, under a surface that turns the pressure "
    "over; no bottom, so only while the bottom is much farther off than the surface or swallows "
    "what meets it.",
    sources=("jensen2011", "carey2009"),
)
def echo_level(
    frequency: Hertz,
    sound_speed: MetrePerSecond,
    source_depth: Metre,
    hydrophone_depth: Metre,
    distance: Metre,
    reflection: Ratio,
) -> Decibel:
    """What the surface does to the level: 6 dB more at the best, silence at the worst.

    Args:
        frequency: Hz, above zero.
        sound_speed: m/s, above zero.
        source_depth: Below the surface; m, above zero.
        hydrophone_depth: Below the surface; m, above zero.
        distance: Between them, along the water; m, 0 or more.
        reflection: What the surface turns back in step, 0 to 1.

    Returns:
        Level against open water at the same distance, dB.

    Raises:
        InputError: If an argument is out of its range, or source and hydrophone are one.

    Source:
        Direct sound and the mirrored source's with its sign changed, added. Written as
        (1 − q)² + 4 q sin²(kΔ/2) with q = μ R₁/R₂, which keeps its digits near silence.

    >>> round(echo_level(1000, 1500, 5, 10, distance=5150, reflection=1), 2)
    -21.8
    """
    require_positive(frequency=frequency, sound_speed=sound_speed)
    require_between(0, 1, reflection=reflection)
    require_positive(source_depth=source_depth, hydrophone_depth=hydrophone_depth)
    require_between(0, 1e7, distance=distance)
    direct = hypot(distance, source_depth - hydrophone_depth)
    detour = _detour(source_depth, hydrophone_depth, distance)
    if direct == 0:
        raise InputError("distance", "distance must be above zero where the depths are the same")
    q = reflection * direct / (direct + detour)
    short = (1 - reflection) + reflection * detour / (direct + detour)  # 1 − q
    phase = sin(pi * frequency * detour / sound_speed)
    return float(10 * log10(short * short + 4 * q * phase * phase))


@formula(
    title="Frequency from which nothing is lost",
    symbol="f_0",
    symbols={"path_difference": "Δ", "sound_speed": "c"},
    tex=r"f_0 = \frac{c}{6 \Delta}",
    working="{sound_speed} / (6 · {path_difference})",
    validity="Smooth surface, both paths nearly equal: from here to five times as high the echo "
    "adds. Below, it takes away, 6 dB more for each octave lower.",
    sources=("wetside-derivation-shallow-water",),
)
def even_frequency(path_difference: Metre, sound_speed: MetrePerSecond) -> Hertz:
    """Lowest frequency that arrives as it would without a surface.

    Args:
        path_difference: m, above zero.
        sound_speed: m/s, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        2 sin(kΔ/2) = 1.

    >>> even_frequency(path_difference=0.5, sound_speed=1500)
    500.0
    """
    require_positive(path_difference=path_difference, sound_speed=sound_speed)
    return sound_speed / (6 * path_difference)


@formula(
    title="First peak",
    symbol="f_p",
    symbols={"path_difference": "Δ", "sound_speed": "c"},
    tex=r"f_\mathrm{p} = \frac{c}{2 \Delta}",
    working="{sound_speed} / (2 · {path_difference})",
    validity="Smooth surface: up to 6 dB more; again at 3, 5, 7 … times as high.",
    sources=("jensen2011",),
)
def peak_frequency(path_difference: Metre, sound_speed: MetrePerSecond) -> Hertz:
    """Lowest frequency at which direct sound and echo add.

    Args:
        path_difference: m, above zero.
        sound_speed: m/s, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        A detour of half a wave and a sign changed.

    >>> peak_frequency(path_difference=0.5, sound_speed=1500)
    1500.0
    """
    require_positive(path_difference=path_difference, sound_speed=sound_speed)
    return sound_speed / (2 * path_difference)


@formula(
    title="First silence",
    symbol="f_n",
    symbols={"path_difference": "Δ", "sound_speed": "c"},
    tex=r"f_\mathrm{n} = \frac{c}{\Delta}",
    working="{sound_speed} / {path_difference}",
    validity="Smooth surface, both paths nearly equal; again at 2, 3, 4 … times as high.",
    sources=("jensen2011",),
)
def null_frequency(path_difference: Metre, sound_speed: MetrePerSecond) -> Hertz:
    """Lowest frequency above the peak at which the echo cancels the direct sound.

    Args:
        path_difference: m, above zero.
        sound_speed: m/s, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        A detour of a whole wave and a sign changed.

    >>> null_frequency(path_difference=0.5, sound_speed=1500)
    3000.0
    """
    require_positive(path_difference=path_difference, sound_speed=sound_speed)
    return sound_speed / path_difference


@formula(
    title="First silent depth",
    symbol="z_n",
    symbols={
        "frequency": "f",
        "sound_speed": "c",
        "source_depth": "z_s",
        "distance": "r",
    },
    tex=(
        r"z_\mathrm{n} = \frac{\lambda}{2} \sqrt{1 + \frac{r^2}{z_\mathrm{s}^2 - \lambda^2 / 4}},"
        r" \quad \lambda = \frac{c}{f}"
    ),
    working=(
        "λ/2 · √(1 + {distance}² / ({source_depth}² − λ²/4)), λ = {sound_speed} / {frequency}"
    ),
    validity="A source deeper than half a wave; above that depth there is no silence at all.",
    sources=("wetside-derivation-shallow-water",),
)
def null_depth(
    frequency: Hertz, sound_speed: MetrePerSecond, source_depth: Metre, distance: Metre
) -> Metre:
    """Shallowest depth below the surface at which the echo cancels the direct sound.

    Args:
        frequency: Hz, above zero.
        sound_speed: m/s, above zero.
        source_depth: Below the surface; m, above half a wavelength.
        distance: Along the water; m, 0 or more.

    Returns:
        Depth in m.

    Raises:
        InputError: If an argument is out of its range, or the source is too shallow.

    Source:
        The hyperbola of the points with a detour of one wave, source and mirrored source being its
        foci.

    >>> round(null_depth(1000, 1500, source_depth=2, distance=50), 2)
    20.24
    """
    require_positive(frequency=frequency, sound_speed=sound_speed, source_depth=source_depth)
    require_between(0, 1e7, distance=distance)
    half = sound_speed / frequency / 2
    if source_depth <= half:
        raise InputError(
            "source_depth",
            f"source_depth must be above half a wavelength, {half!r}, given {source_depth!r}",
        )
    return half * sqrt(1 + distance * distance / ((source_depth - half) * (source_depth + half)))
