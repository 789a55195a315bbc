"""Two hydrophones: what lies between their signals, and what can be told from it.

The bearing is counted from the perpendicular on the middle of the line between the two: 0° straight
ahead, 90° along the line on the right, −90° along the line on the left.
"""

from math import asin, cos, degrees, log10, pi, radians, sin, sqrt

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.quantities import (
    Decibel,
    Degree,
    Hertz,
    Metre,
    MetrePerSecond,
    Ratio,
    Second,
)

_ROUNDING = 1e-9
"""By which a sine may exceed one through rounding alone."""


def _sides(spacing: float, distance: float, bearing: float) -> tuple[float, float]:
    """Distances of a source to the right and to the left hydrophone, m."""
    require_positive(spacing=spacing)
    require_between(-90, 90, bearing=bearing)
    if not distance > spacing / 2:
        raise InputError(
            "distance",
            f"distance must be above half the spacing, {spacing / 2!r} m, given {distance!r}",
        )
    across = distance * cos(radians(bearing))
    along = distance * sin(radians(bearing))
    right = sqrt(across**2 + (along - spacing / 2) ** 2)
    return right, sqrt(across**2 + (along + spacing / 2) ** 2)


@formula(
    title="Path difference",
    symbol="δ",
    symbols={"spacing": "d", "distance": "r", "bearing": "θ"},
    tex=(
        r"\delta = \frac{2 r d \sin\theta}{r_\mathrm{L} + r_\mathrm{R}}, \quad "
        r"r_\mathrm{L,R} = \sqrt{r^2 + \tfrac{d^2}{4} \pm r d \sin\theta}"
    ),
    working="2 · {distance} · {spacing} · sin({bearing}) / (r_L + r_R)",
    validity="A small source in open water, straight rays, no echo; exact at every distance above "
    "half the spacing. Far away it becomes d·sin θ.",
    sources=("speakers-walk", "wetside-derivation-two-hydrophones"),
)
def path_difference(spacing: Metre, distance: Metre, bearing: Degree) -> Metre:
    """How much longer the way to the left hydrophone is than the way to the right one.

    Args:
        spacing: Between the two; m, above zero.
        distance: Of the source from the middle between them; m, above half the spacing.
        bearing: From broadside, to the right; °, −90 to 90.

    Returns:
        Path difference in m, above zero where the source is on the right.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Law of cosines; written as a quotient, which keeps all digits far away.

    >>> round(path_difference(spacing=1, distance=100, bearing=30), 4)
    0.5
    """
    right, left = _sides(spacing, distance, bearing)
    return 2 * distance * spacing * sin(radians(bearing)) / (right + left)


@formula(
    title="Time difference",
    symbol="τ",
    symbols={"path_difference": "δ", "sound_speed": "c"},
    tex=r"\tau = \frac{\delta}{c}",
    working="{path_difference} / {sound_speed}",
    validity="One speed on both paths.",
    sources=("two-speakers-angle", "radio-baseline-answer"),
)
def time_difference(path_difference: Metre, sound_speed: MetrePerSecond) -> Second:
    """By how much later a sound arrives after the longer way.

    Args:
        path_difference: m, −1e9 to 1e9.
        sound_speed: m/s, above zero.

    Returns:
        Time in s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a speed.

    >>> time_difference(path_difference=0.75, sound_speed=1500)
    0.0005
    """
    require_between(-1e9, 1e9, path_difference=path_difference)
    require_positive(sound_speed=sound_speed)
    return path_difference / sound_speed


@formula(
    title="Level difference of a near source",
    symbol="ΔL",
    symbols={"spacing": "d", "distance": "r", "bearing": "θ"},
    tex=r"\Delta L = 20 \lg \frac{r_\mathrm{L}}{r_\mathrm{R}} \; \text{dB}",
    working="20 · lg(r_L / r_R) for {spacing}, {distance}, {bearing}",
    validity="Spherical spreading from a small source, no echo from surface or bottom, both "
    "hydrophones alike; in shallow water the two differ by far more, at random.",
    sources=("everest-comb", "wetside-derivation-two-hydrophones"),
)
def level_difference(spacing: Metre, distance: Metre, bearing: Degree) -> Decibel:
    """How much louder a source is at the right hydrophone than at the left one.

    Args:
        spacing: Between the two; m, above zero.
        distance: Of the source from the middle between them; m, above half the spacing.
        bearing: From broadside, to the right; °, −90 to 90.

    Returns:
        Level difference in dB, above zero where the source is on the right.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Pressure falls as one over the distance.

    >>> round(level_difference(spacing=1, distance=1.5, bearing=90), 2)
    6.02
    """
    right, left = _sides(spacing, distance, bearing)
    return 20 * log10(left / right)


@formula(
    title="Largest time difference of the ears",
    symbol="τ_h",
    symbols={"head_radius": "a", "air_sound_speed": "c_a"},
    tex=r"\tau_\mathrm{h} = \frac{a}{c_\mathrm{a}} \left( \frac{\pi}{2} + 1 \right)",
    working="{head_radius} / {air_sound_speed} · (π/2 + 1)",
    validity="A hard sphere with ears at opposite ends, a far source at the side, high notes. At "
    "low notes a sphere gives 17 % more.",
    sources=("cipic-azimuth", "head-fi-woodworth"),
)
def head_time_difference(head_radius: Metre, air_sound_speed: MetrePerSecond) -> Second:
    """Time from one ear to the other for a sound from the side, in air.

    Args:
        head_radius: m, above zero.
        air_sound_speed: m/s, above zero.

    Returns:
        Time in s.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Woodworth's formula at 90°, as quoted in [cipic-azimuth]: past the head straight, then
        round a quarter of it.

    >>> round(head_time_difference(head_radius=0.0875, air_sound_speed=343) * 1e6)
    656
    """
    require_positive(head_radius=head_radius, air_sound_speed=air_sound_speed)
    return head_radius / air_sound_speed * (pi / 2 + 1)


@formula(
    title="Spacing for a time difference",
    symbol="d_τ",
    symbols={"time_difference": "τ", "sound_speed": "c"},
    tex=r"d_\tau = c \, \tau",
    working="{sound_speed} · {time_difference}",
    validity="For a source along the line, which has the largest difference.",
    sources=("everest-comb",),
)
def spacing_for(time_difference: Second, sound_speed: MetrePerSecond) -> Metre:
    """How far apart two hydrophones are that sound passes in this time.

    Args:
        time_difference: s, above zero.
        sound_speed: m/s, above zero.

    Returns:
        Spacing in m.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Definition of a speed.

    >>> spacing_for(time_difference=0.0005, sound_speed=1500)
    0.75
    """
    require_positive(time_difference=time_difference, sound_speed=sound_speed)
    return time_difference * sound_speed


@formula(
    title="First null of the sum",
    symbol="f_0",
    symbols={"time_difference": "τ"},
    tex=r"f_0 = \frac{1}{2 \tau}",
    working="1 / (2 · {time_difference})",
    validity="Two equal signals, one of them later; the phase between them is half a turn. Above "
    "it, phase alone fits more than one delay.",
    sources=("everest-comb",),
)
def null_frequency(time_difference: Second) -> Hertz:
    """Frequency at which two equal signals cancel, and phase begins to be ambiguous.

    Args:
        time_difference: s, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If the time is not above zero.

    Source:
        [everest-comb], p. 201.

    >>> null_frequency(time_difference=0.001)
    500.0
    """
    require_positive(time_difference=time_difference)
    return 1 / (2 * time_difference)


@formula(
    title="Sum 3 dB down",
    symbol="f_3",
    symbols={"time_difference": "τ"},
    tex=r"f_3 = \frac{1}{4 \tau}",
    working="1 / (4 · {time_difference})",
    validity="Two equal signals, one of them later, against the two in step: exactly half the "
    "power, 3.01 dB.",
    sources=("everest-comb", "wetside-derivation-two-hydrophones"),
)
def sum_corner(time_difference: Second) -> Hertz:
    """Frequency at which the sum of two equal signals has half the power of two in step.

    Args:
        time_difference: s, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If the time is not above zero.

    Source:
        The sum goes with the cosine of π·f·τ, which is 1/√2 at f·τ = 1/4.

    >>> sum_corner(time_difference=0.001)
    250.0
    """
    require_positive(time_difference=time_difference)
    return 1 / (4 * time_difference)


@formula(
    title="Bearing from a delay",
    symbol="θ_τ",
    symbols={"time_difference": "τ", "sound_speed": "c", "spacing": "d"},
    tex=r"\theta_\tau = \arcsin \frac{c \, \tau}{d}",
    working="arcsin({sound_speed} · {time_difference} / {spacing})",
    validity="As if the source were far. It may lie at this angle on any side of the line: ahead, "
    "behind, above, below.",
    sources=("two-speakers-angle",),
)
def bearing_from_delay(
    time_difference: Second, sound_speed: MetrePerSecond, spacing: Metre
) -> Degree:
    """Bearing of a far source that has this time difference.

    Args:
        time_difference: s, no longer than sound takes from one hydrophone to the other.
        sound_speed: m/s, above zero.
        spacing: m, above zero.

    Returns:
        Bearing from broadside in °, −90 to 90.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [two-speakers-angle], solved for the angle.

    >>> round(bearing_from_delay(0.00025, sound_speed=1500, spacing=0.75), 9)
    30.0
    """
    require_positive(sound_speed=sound_speed, spacing=spacing)
    sine = sound_speed * time_difference / spacing
    if not abs(sine) <= 1 + _ROUNDING:
        raise InputError(
            "time_difference",
            f"time_difference must be within {spacing / sound_speed!r} s, "
            f"given {time_difference!r}",
        )
    return degrees(asin(max(-1.0, min(1.0, sine))))  # past one through rounding alone


@formula(
    title="Error of the bearing",
    symbol="Δθ",
    symbols={
        "bearing": "θ",
        "spacing": "d",
        "sound_speed": "c",
        "delay_error": "ε",
        "scale_error": "κ",
    },
    tex=(
        r"\Delta\theta = \max \left| \theta - \arcsin s \right|, \quad "
        r"|s - \sin\theta| \le \kappa |\sin\theta| + \frac{c \, \varepsilon}{d}, \; |s| \le 1"
    ),
    working=(
        "sin θ may be off by {scale_error} · |sin({bearing})| + "
        "{sound_speed} · {delay_error} / {spacing}"
    ),
    validity="A far source. Small errors far from the line: about c·ε/(d·cos θ). Near the line of "
    "the two the sine hardly changes, and a small error becomes a large one.",
    sources=("radio-baseline-answer", "wetside-derivation-two-hydrophones"),
)
def bearing_error(
    bearing: Degree,
    spacing: Metre,
    sound_speed: MetrePerSecond,
    delay_error: Second,
    scale_error: Ratio,
) -> Degree:
    """How far the bearing told from a delay may be from the true one, at worst.

    Args:
        bearing: True one, from broadside; °, −90 to 90.
        spacing: m, above zero.
        sound_speed: m/s, above zero.
        delay_error: How far the measured delay may be off; s, 0 to 1.
        scale_error: How far sound speed over spacing may be off; 0 to 1.

    Returns:
        Largest deviation in °. Only bearings that exist count: none lies beyond the line.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Both ends of the sines that are possible, turned into angles.

    >>> round(bearing_error(0, spacing=1, sound_speed=1500, delay_error=1e-5, scale_error=0), 2)
    0.86
    """
    require_between(-90, 90, bearing=bearing)
    require_positive(spacing=spacing, sound_speed=sound_speed)
    require_between(0, 1, delay_error=delay_error, scale_error=scale_error)
    sine = sin(radians(bearing))
    off = scale_error * abs(sine) + sound_speed * delay_error / spacing
    ends = max(-1.0, sine - off), min(1.0, sine + off)
    return max(abs(degrees(asin(end)) - bearing) for end in ends)


@formula(
    title="Error of the bearing by nearness",
    symbol="Δθ_n",
    symbols={"spacing": "d", "distance": "r", "bearing": "θ"},
    tex=r"\Delta\theta_\mathrm{n} = \arcsin \frac{\delta}{d} - \theta",
    working="arcsin(δ / {spacing}) − {bearing} at {distance}",
    validity="What a far source's formula makes of a near one, whose wavefront is curved. Always "
    "towards the middle; none straight ahead, none along the line.",
    sources=("speakers-walk", "wetside-derivation-two-hydrophones"),
)
def nearness_error(spacing: Metre, distance: Metre, bearing: Degree) -> Degree:
    """Bearing told as if the source were far, less its true bearing.

    Args:
        spacing: Between the two; m, above zero.
        distance: Of the source from the middle between them; m, above half the spacing.
        bearing: True one, from broadside; °, −90 to 90.

    Returns:
        Difference in °.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        The difference of the two sines, worked out by hand so that it keeps its digits far away:
        δ/d − sin θ = −2 r² d² cos²θ sin θ / ((r² − d²/4 + r_L·r_R) (2r + S) S), S = r_L + r_R.

    >>> round(nearness_error(spacing=1, distance=1, bearing=45), 2)
    -3.54
    """
    right, left = _sides(spacing, distance, bearing)
    angle, both = radians(bearing), right + left
    off = (
        -2
        * (distance * spacing * cos(angle)) ** 2
        * sin(angle)
        / ((distance**2 - spacing**2 / 4 + right * left) * (2 * distance + both) * both)
    )
    told = asin(max(-1.0, min(1.0, sin(angle) + off)))  # past one through rounding alone
    return degrees(2 * asin(off / (2 * cos((told + angle) / 2))))
