"""A hydrophone compared with a known one in the same sound, and how far to trust the answer."""

from math import hypot, inf, log, log1p, log10, pi, sqrt

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.formulas.levels import require_level
from calculators.formulas.noise import not_negative
from calculators.quantities import (
    Count,
    Decibel,
    Hertz,
    Metre,
    MetrePerSecond,
    Ratio,
    Second,
    SensitivityLevel,
)

COVERAGE = 2.0
"""Coverage factor: about 95 % where many contributions of like size meet."""

DECIBELS = 8.685889638065037
"""dB that a small relative change of an amplitude makes, for a change of one: 20 / ln 10."""


@formula(
    title="Sensitivity by comparison",
    symbol="M_x",
    symbols={
        "reference_sensitivity": "M_r",
        "level_difference": "ΔL",
        "reference_gain": "G_r",
        "unknown_gain": "G_x",
        "reference_distance": "r_r",
        "unknown_distance": "r_x",
    },
    tex=(
        r"M_\mathrm{x} = M_\mathrm{r} + \Delta L - (G_\mathrm{x} - G_\mathrm{r})"
        r" + 20 \log_{10}\frac{r_\mathrm{x}}{r_\mathrm{r}}"
    ),
    working=(
        "{reference_sensitivity} + ({level_difference}) − ({unknown_gain} − ({reference_gain}))"
        " + 20 · log₁₀({unknown_distance} / {reference_distance})"
    ),
    validity="The same sound at both, a sound that spreads spherically between the two distances, "
    "levels of the unknown less those of the reference in the same band.",
    sources=("iec-60565-1", "bsh-intercalibration"),
)
def compared_sensitivity(
    reference_sensitivity: SensitivityLevel,
    level_difference: Decibel,
    reference_gain: Decibel,
    unknown_gain: Decibel,
    reference_distance: Metre,
    unknown_distance: Metre,
) -> SensitivityLevel:
    """Sensitivity of a hydrophone from that of another in the same field.

    Args:
        reference_sensitivity: dB re 1 V/µPa.
        level_difference: Level of the unknown's channel less that of the reference's, dB.
        reference_gain: From the reference's terminals to where its level was read, dB.
        unknown_gain: The same of the unknown, dB.
        reference_distance: From the source, m, above zero.
        unknown_distance: From the source, m, above zero.

    Returns:
        dB re 1 V/µPa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        The pressure that both saw, eliminated.

    >>> compared_sensitivity(reference_sensitivity=-200.0, level_difference=6.0,
    ...     reference_gain=10.0, unknown_gain=14.0, reference_distance=1.0, unknown_distance=1.0)
    -198.0
    """
    require_level(
        reference_sensitivity=reference_sensitivity,
        level_difference=level_difference,
        reference_gain=reference_gain,
        unknown_gain=unknown_gain,
    )
    require_positive(reference_distance=reference_distance, unknown_distance=unknown_distance)
    spreading = 20 * log10(unknown_distance / reference_distance)
    return reference_sensitivity + level_difference - (unknown_gain - reference_gain) + spreading


@formula(
    title="What background adds to a level",
    symbol="K",
    symbols={"above_background": "ΔL_b"},
    tex=r"K = -10 \log_{10}\left(1 - 10^{-\Delta L_\mathrm{b} / 10}\right)",
    working="−10 · log₁₀(1 − 10^(−{above_background} / 10))",
    validity="A background that has nothing to do with the signal and is the same with it as "
    "without. Below 6 dB the answer hangs on that alone.",
    sources=("background-correction-table", "ecma-tr107"),
)
def background_correction(above_background: Decibel) -> Decibel:
    """What to take off a level for the background that is in it.

    Args:
        above_background: Level with signal and background less that of the background, dB, above 0.

    Returns:
        dB, above zero.

    Raises:
        InputError: If the level does not lie above the background.

    Source:
        Mean squares of independent signals add.

    >>> round(background_correction(above_background=10.0), 4)
    0.4576
    """
    require_positive(above_background=above_background)
    return taken_off(above_background)


def taken_off(above_background: float) -> float:
    """The same, dB, for rows of a log, of which no step is shown."""
    return -10 / log(10) * log1p(-(10 ** (-above_background / 10)))


@formula(
    title="Random error of a transfer function",
    symbol="ε",
    symbols={"coherence": "γ²", "averages": "n"},
    tex=r"\varepsilon = \sqrt{\frac{1 - \gamma^2}{2 n \gamma^2}}",
    working="√((1 − {coherence}) / (2 · {averages} · {coherence}))",
    validity="Relative standard deviation of the magnitude; averages that do not overlap, and "
    "enough of them that ε is small. Coherence from the same averages.",
    sources=("bendat-piersol", "ligo-transfer-note"),
)
def transfer_random_error(coherence: Ratio, averages: Count) -> Ratio:
    """Relative standard deviation of the ratio of two channels, from their coherence.

    Args:
        coherence: Magnitude squared, above 0 to 1.
        averages: Independent spectra averaged, 1 or more.

    Returns:
        Ratio.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [bendat-piersol], as a note quotes it.

    >>> round(transfer_random_error(coherence=0.8, averages=50.0), 4)
    0.05
    """
    require_positive(coherence=coherence)
    require_between(0, 1, coherence=coherence)
    require_between(1, inf, averages=averages)
    return sqrt((1 - coherence) / (2 * averages * coherence))


@formula(
    title="Level error of a relative error",
    symbol="u",
    symbols={"relative_error": "ε"},
    tex=r"u = \frac{20}{\ln 10} \, \varepsilon",
    working="8.6859 dB · {relative_error}",
    validity="Small errors: at 0.1 the true steps are +0.83 dB and −0.92 dB.",
    sources=("wetside-derivation-level-error",),
)
def level_error(relative_error: Ratio) -> Decibel:
    """Standard deviation of a level from the relative one of its amplitude.

    Args:
        relative_error: Zero or more.

    Returns:
        dB.

    Raises:
        InputError: If the error is below zero.

    Source:
        Slope of 20 log x at one.

    >>> round(level_error(relative_error=0.05), 4)
    0.4343
    """
    not_negative(relative_error=relative_error)
    return DECIBELS * relative_error


@formula(
    title="Level error of a position",
    symbol="w",
    symbols={"distance": "r", "position_error": "e"},
    tex=r"w = -20 \log_{10}\left(1 - \frac{e}{r}\right)",
    working="−20 · log₁₀(1 − {position_error} / {distance})",
    validity="Spherical spreading: the sound of a small source, without echoes. The side towards "
    "the source, which is the larger one.",
    sources=("aircraft-noise-budget",),
)
def position_level(distance: Metre, position_error: Metre) -> Decibel:
    """Largest change of level when the distance from the source is off by this much.

    Args:
        distance: m, above zero.
        position_error: Half of the interval it lies in, m, zero or more, below the distance.

    Returns:
        dB.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Pressure falls as one over the distance.

    >>> round(position_level(distance=1.0, position_error=0.01), 4)
    0.0873
    """
    require_positive(distance=distance)
    not_negative(position_error=position_error)
    if position_error >= distance:
        raise InputError(
            "position_error",
            f"position_error must be below the distance {distance!r}, given {position_error!r}",
        )
    return -20 * log10(1 - position_error / distance)


@formula(
    title="Standard uncertainty of an interval",
    symbol="u",
    symbols={"half_width": "w"},
    tex=r"u = \frac{w}{\sqrt{3}}",
    working="{half_width} / √3",
    validity="Anywhere within ±w is equally likely.",
    sources=("gum", "aircraft-noise-budget"),
)
def interval_uncertainty(half_width: Decibel) -> Decibel:
    """Standard deviation of a value that lies anywhere within an interval.

    Args:
        half_width: dB, zero or more.

    Returns:
        dB.

    Raises:
        InputError: If the half width is below zero.

    Source:
        Rectangular distribution, [gum] 4.3.7.

    >>> round(interval_uncertainty(half_width=1.0), 5)
    0.57735
    """
    not_negative(half_width=half_width)
    return half_width / sqrt(3)


@formula(
    title="Expanded uncertainty",
    symbol="U",
    symbols={
        "reference_part": "u_r",
        "gain_part": "u_G",
        "position_part": "u_p",
        "random_part": "u_ε",
        "background_part": "u_b",
        "echo_part": "u_e",
        "repeat_part": "u_s",
    },
    tex=(
        r"U = k \sqrt{u_\mathrm{r}^2 + u_\mathrm{G}^2 + u_\mathrm{p}^2 + u_\varepsilon^2"
        r" + u_\mathrm{b}^2 + u_\mathrm{e}^2 + u_\mathrm{s}^2}, \quad k = 2"
    ),
    working=(
        "2 · √({reference_part}² + {gain_part}² + {position_part}² + {random_part}²"
        " + {background_part}² + {echo_part}² + {repeat_part}²)"
    ),
    validity="Contributions that do not depend on each other, as standard uncertainties in dB; "
    "about 95 % where none of them rules alone.",
    sources=("gum", "bsh-intercalibration"),
)
def expanded_uncertainty(
    reference_part: Decibel,
    gain_part: Decibel,
    position_part: Decibel,
    random_part: Decibel,
    background_part: Decibel,
    echo_part: Decibel,
    repeat_part: Decibel,
) -> Decibel:
    """Expanded uncertainty (k = 2) of a sensitivity level.

    Args:
        reference_part: Standard uncertainty of the reference's sensitivity, dB.
        gain_part: Of the difference of the gains, dB.
        position_part: Of the positions, dB.
        random_part: Of the averaging, dB.
        background_part: Of the background, dB.
        echo_part: Of echoes, dB.
        repeat_part: Of setting up again, dB; all zero or more.

    Returns:
        dB; the true value is expected within ± this.

    Raises:
        InputError: If a contribution is below zero.

    Source:
        Law of propagation, [gum] 5.1.2 and 6.2.1.

    >>> expanded_uncertainty(reference_part=0.3, gain_part=0.4, position_part=0.0,
    ...     random_part=0.0, background_part=0.0, echo_part=0.0, repeat_part=0.0)
    1.0
    """
    parts = {
        "reference_part": reference_part,
        "gain_part": gain_part,
        "position_part": position_part,
        "random_part": random_part,
        "background_part": background_part,
        "echo_part": echo_part,
        "repeat_part": repeat_part,
    }
    not_negative(**parts)
    return COVERAGE * hypot(*parts.values())


@formula(
    title="Time before the first echo",
    symbol="τ",
    symbols={"distance": "r", "boundary_distance": "h", "sound_speed": "c"},
    tex=r"\tau = \frac{\sqrt{r^2 + 4 h^2} - r}{c}",
    working="(√({distance}² + 4 · {boundary_distance}²) − {distance}) / {sound_speed}",
    validity="A flat boundary along the line from source to hydrophone, as surface, bottom or side "
    "wall; one behind the source or the hydrophone at the same distance echoes later.",
    sources=("wetside-derivation-first-echo",),
)
def echo_free_time(
    distance: Metre, boundary_distance: Metre, sound_speed: MetrePerSecond
) -> Second:
    """Time from the direct sound to its first echo.

    Args:
        distance: From source to hydrophone, m, above zero.
        boundary_distance: From the line between them to the nearest boundary, m, above zero.
        sound_speed: m/s, above zero.

    Returns:
        s.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Mirror image of the source behind the boundary.

    >>> round(echo_free_time(distance=1.5, boundary_distance=1.0, sound_speed=1500) * 1e3, 4)
    0.6667
    """
    require_positive(
        distance=distance, boundary_distance=boundary_distance, sound_speed=sound_speed
    )
    twice = 2 * boundary_distance
    # The difference of two long ways, without losing its digits.
    return twice * twice / (hypot(distance, twice) + distance) / sound_speed


@formula(
    title="Lowest frequency of a window",
    symbol="f",
    symbols={"cycles": "n", "window": "τ"},
    tex=r"f = \frac{n}{\tau}",
    working="{cycles} / {window}",
    validity="So many whole cycles must fit between the direct sound and its first echo; two to "
    "three are common practice, more where hydrophone or source ring.",
    sources=("wetside-derivation-first-echo",),
)
def lowest_gated_frequency(cycles: Count, window: Second) -> Hertz:
    """Lowest frequency at which enough cycles fit before the first echo.

    Args:
        cycles: Above zero.
        window: s, above zero.

    Returns:
        Hz.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Definition of a frequency.

    >>> lowest_gated_frequency(cycles=2.0, window=0.001)
    2000.0
    """
    require_positive(cycles=cycles, window=window)
    return cycles / window


@formula(
    title="Highest frequency in the far field",
    symbol="f",
    symbols={"distance": "r", "sound_speed": "c", "largest_size": "a"},
    tex=r"f = \frac{r c}{a^2}",
    working="{distance} · {sound_speed} / {largest_size}²",
    validity="Up to here the distance is more than a²/λ, so that the sound of the whole source "
    "arrives together, and falls as one over the distance.",
    sources=("asa-far-field", "boat-near-field"),
)
def far_field_frequency(distance: Metre, sound_speed: MetrePerSecond, largest_size: Metre) -> Hertz:
    """Highest frequency at which a distance is still in the far field.

    Args:
        distance: From source to hydrophone, m, above zero.
        sound_speed: m/s, above zero.
        largest_size: Largest dimension of source or hydrophone, m, above zero.

    Returns:
        Hz.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Fresnel range L²/λ, solved for the frequency.

    >>> far_field_frequency(distance=1.0, sound_speed=1500.0, largest_size=0.5)
    6000.0
    """
    require_positive(distance=distance, sound_speed=sound_speed, largest_size=largest_size)
    return distance * sound_speed / (largest_size * largest_size)


@formula(
    title="Level between two places in one echo",
    symbol="w",
    symbols={
        "frequency": "f",
        "offset": "s",
        "distance": "r",
        "boundary_distance": "h",
        "sound_speed": "c",
    },
    tex=(
        r"w = \min\left(\frac{20}{\ln 10} \, \frac{\rho}{1 - \rho^2} \, \frac{4 \pi f s}{c},\;"
        r" 20 \log_{10}\frac{1 + \rho}{1 - \rho}\right), \quad"
        r" \rho = \frac{r}{\sqrt{r^2 + 4 h^2}}"
    ),
    working="w({frequency}, {offset}, {distance}, {boundary_distance}, {sound_speed})",
    validity="Worst case of one full echo in a steady tone; noise in bands, and more echoes, are "
    "kinder on the average and unkinder in places.",
    sources=("wetside-derivation-echo-spread",),
)
def echo_spread(
    frequency: Hertz,
    offset: Metre,
    distance: Metre,
    boundary_distance: Metre,
    sound_speed: MetrePerSecond,
) -> Decibel:
    """Largest difference of level that one echo can make between two nearby places.

    Args:
        frequency: Hz, above zero.
        offset: Between the two places, m, zero or more.
        distance: From the source, m, above zero.
        boundary_distance: From the line to the nearest boundary, m, above zero.
        sound_speed: m/s, above zero.

    Returns:
        dB.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Steepest slope of the sum of a direct and a mirrored wave, and the whole swing of it.

    >>> round(echo_spread(frequency=100.0, offset=0.05, distance=1.0, boundary_distance=1.0,
    ...     sound_speed=1500.0), 4)
    0.2034
    """
    require_positive(
        frequency=frequency,
        distance=distance,
        boundary_distance=boundary_distance,
        sound_speed=sound_speed,
    )
    not_negative(offset=offset)
    way = hypot(distance, 2 * boundary_distance)
    strength, twice = distance / way, 2 * boundary_distance
    rest = (twice / way) ** 2  # 1 − ρ², without losing its digits
    slope = DECIBELS * strength / rest * 4 * pi * frequency * offset / sound_speed
    whole = 20 * log10((1 + strength) * (1 + strength) / rest)
    return min(slope, whole)
