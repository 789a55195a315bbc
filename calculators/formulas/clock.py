"""Clocks of a recorder: how far they run off, and what marks in the recording repair.

A rate is the part by which a clock runs fast; below zero it runs slow. 1 ppm is a millionth.
"""

from calculators.formula import formula, require_between, require_positive
from calculators.quantities import (
    Celsius,
    Count,
    Hertz,
    Metre,
    MetrePerSecond,
    PartsPerMillion,
    PerMonth,
    PerSquareKelvin,
    Second,
)

MONTH: Second = 30.4375 * 86400
"""A twelfth of a year of 365.25 days."""

_FAR: Second = 1e12
"""Far beyond any deployment; keeps every product finite."""


@formula(
    title="Rate from the temperature",
    symbol="y_T",
    symbols={"curvature": "k", "temperature": "T", "turnover": "T_0"},
    tex=r"y_T = -k \, (T - T_0)^2",
    working="−{curvature} · ({temperature} − {turnover})²",
    validity="Crystals whose frequency follows a parabola, such as tuning forks; T is that of the "
    "crystal, which is the water's after some hours.",
    sources=("fork-sheet", "fork-temperature-page"),
)
def temperature_rate(
    curvature: PerSquareKelvin, temperature: Celsius, turnover: Celsius
) -> PartsPerMillion:
    """What temperature adds to the rate of a crystal with a parabola.

    Args:
        curvature: The sheet's parabolic coefficient without its sign; 1/K², 0 to 1e-6.
        temperature: Of the crystal; °C, −273.15 to 1000.
        turnover: Temperature where the parabola has its top; °C, −273.15 to 1000.

    Returns:
        Rate, as a fraction.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [fork-sheet], figure of the parabola.

    >>> round(temperature_rate(curvature=0.034e-6, temperature=5, turnover=25) * 1e6, 9)
    -13.6
    """
    require_between(0, 1e-6, curvature=curvature)
    require_between(-273.15, 1000, temperature=temperature, turnover=turnover)
    return -curvature * (temperature - turnover) ** 2


@formula(
    title="Rate of the clock",
    symbol="y",
    symbols={
        "rate_offset": "y_0",
        "temperature_rate": "y_T",
        "ageing": "α",
        "clock_age": "t_a",
    },
    tex=r"y = y_0 + y_T + \alpha \, t_\mathrm{a}",
    working="{rate_offset} + {temperature_rate} + {ageing} · {clock_age}",
    validity="Ageing taken as steady since the rate was last measured; new crystals age fastest.",
    sources=("quartz-deviations", "ageing-note"),
)
def clock_rate(
    rate_offset: PartsPerMillion,
    temperature_rate: PartsPerMillion,
    ageing: PerMonth,
    clock_age: Second,
) -> PartsPerMillion:
    """By which part the clock runs fast.

    Args:
        rate_offset: At the turnover, when last measured; −0.1 to 0.1.
        temperature_rate: What temperature adds; −0.1 to 0.1.
        ageing: 1/month, −0.1 to 0.1.
        clock_age: Since the rate was measured; s, 0 to 1e12.

    Returns:
        Rate, as a fraction.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Sum of the deviations that data sheets give.

    >>> round(clock_rate(20e-6, -13.6e-6, ageing=1e-6, clock_age=2 * MONTH) * 1e6, 9)
    8.4
    """
    require_between(-0.1, 0.1, rate_offset=rate_offset, temperature_rate=temperature_rate)
    require_between(-0.1, 0.1, ageing=ageing)
    require_between(0, _FAR, clock_age=clock_age)
    return rate_offset + temperature_rate + ageing * clock_age / MONTH


@formula(
    title="Error of the time",
    symbol="Δt",
    symbols={"rate": "y", "elapsed": "t"},
    tex=r"\Delta t = y \, t",
    working="{rate} · {elapsed}",
    validity="A steady rate.",
    sources=("biologger-clocks-2024", "crystal-maker-note"),
)
def time_error(rate: PartsPerMillion, elapsed: Second) -> Second:
    """How far a clock is ahead after a time.

    Args:
        rate: Part by which it runs fast; −1 to 1.
        elapsed: True time since it was right; s, 0 to 1e12.

    Returns:
        Time in s, below zero where the clock is behind.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a rate.

    >>> round(time_error(rate=20e-6, elapsed=86400), 3)
    1.728
    """
    require_between(-1, 1, rate=rate)
    require_between(0, _FAR, elapsed=elapsed)
    return rate * elapsed


@formula(
    title="Samples too many",
    symbol="ΔN",
    symbols={"sample_rate": "f_s", "rate": "y", "elapsed": "t"},
    tex=r"\Delta N = f_\mathrm{s} \, y \, t",
    working="{sample_rate} · {rate} · {elapsed}",
    validity="A steady rate; f_s is the sample rate that the file says.",
    sources=("quartz-deviations",),
)
def sample_excess(sample_rate: Hertz, rate: PartsPerMillion, elapsed: Second) -> Count:
    """How many samples more than its nominal rate gives a converter takes in a time.

    Args:
        sample_rate: Nominal; Hz, above zero.
        rate: Part by which the sample clock runs fast; −1 to 1.
        elapsed: True time; s, 0 to 1e12.

    Returns:
        Samples, below zero where there are too few.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a rate.

    >>> round(sample_excess(sample_rate=48000, rate=50e-6, elapsed=3600))
    8640
    """
    require_positive(sample_rate=sample_rate)
    require_between(-1, 1, rate=rate)
    require_between(0, _FAR, elapsed=elapsed)
    return sample_rate * rate * elapsed


@formula(
    title="Error of a distance",
    symbol="Δr",
    symbols={"time_error": "Δt", "sound_speed": "c"},
    tex=r"\Delta r = c \, \Delta t",
    working="{sound_speed} · {time_error}",
    validity="A difference of two paths, told from two clocks.",
    sources=("everest-comb",),
)
def distance_error(time_error: Second, sound_speed: MetrePerSecond) -> Metre:
    """How far a difference of distances is off when its two times are.

    Args:
        time_error: s, −1e12 to 1e12.
        sound_speed: m/s, above zero.

    Returns:
        Distance in m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a speed.

    >>> distance_error(time_error=0.001, sound_speed=1500)
    1.5
    """
    require_between(-_FAR, _FAR, time_error=time_error)
    require_positive(sound_speed=sound_speed)
    return sound_speed * time_error


@formula(
    title="Change of the rate",
    symbol="Δy",
    symbols={
        "curvature": "k",
        "turnover": "T_0",
        "lowest_temperature": "T_1",
        "highest_temperature": "T_2",
        "wander": "w",
    },
    tex=(
        r"\Delta y = w + \max_{T_1 \le T \le T_2} k (T - T_0)^2 "
        r"- \min_{T_1 \le T \le T_2} k (T - T_0)^2"
    ),
    working=(
        "{wander} + largest − smallest {curvature} · (T − {turnover})², T from "
        "{lowest_temperature} to {highest_temperature}"
    ),
    validity="Between the slowest and the fastest that the clock goes during the deployment; the "
    "top of the parabola counts where it lies between.",
    sources=("fork-sheet",),
)
def rate_change(
    curvature: PerSquareKelvin,
    turnover: Celsius,
    lowest_temperature: Celsius,
    highest_temperature: Celsius,
    wander: PartsPerMillion,
) -> PartsPerMillion:
    """How far the rate of a clock lies apart between its slowest and its fastest.

    Args:
        curvature: 1/K², 0 to 1e-6.
        turnover: °C, −273.15 to 1000.
        lowest_temperature: Of the crystal; °C, −273.15 to the highest.
        highest_temperature: Of the crystal; °C, to 1000.
        wander: What else changes the rate: battery voltage, ageing; 0 to 0.1.

    Returns:
        Difference of rates, as a fraction.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Ends of a parabola over a range.

    >>> round(rate_change(0.034e-6, 25, 5, 15, wander=0) * 1e6, 9)
    10.2
    """
    require_between(0, 1e-6, curvature=curvature)
    require_between(-273.15, 1000, turnover=turnover, highest_temperature=highest_temperature)
    require_between(-273.15, highest_temperature, lowest_temperature=lowest_temperature)
    require_between(0, 0.1, wander=wander)
    squares = [(t - turnover) ** 2 for t in (lowest_temperature, highest_temperature)]
    if lowest_temperature < turnover < highest_temperature:
        squares.append(0.0)
    return wander + curvature * (max(squares) - min(squares))


@formula(
    title="What a straight line between two marks leaves",
    symbol="ρ",
    symbols={"rate_change": "Δy", "mark_interval": "t_m", "mark_error": "m"},
    tex=r"\rho = m + \frac{\Delta y \, t_\mathrm{m}}{4}",
    working="{mark_error} + {rate_change} · {mark_interval} / 4",
    validity="Worst case: all of the first half at the fastest rate and all of the second at the "
    "slowest. A rate that changes steadily leaves half of that.",
    sources=("wetside-derivation-marks",),
)
def mark_residual(
    rate_change: PartsPerMillion, mark_interval: Second, mark_error: Second
) -> Second:
    """Largest error of the time between two marks, corrected along a straight line.

    Args:
        rate_change: Between fastest and slowest; 0 to 1.
        mark_interval: Time between the marks; s, 0 to 1e12.
        mark_error: How far each mark may be off; s, 0 to 1e12.

    Returns:
        Time in s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Own derivation, [wetside-derivation-marks].

    >>> mark_residual(rate_change=10e-6, mark_interval=400000, mark_error=0.1)
    1.1
    """
    require_between(0, 1, rate_change=rate_change)
    require_between(0, _FAR, mark_interval=mark_interval, mark_error=mark_error)
    return mark_error + rate_change * mark_interval / 4


@formula(
    title="Longest time between marks",
    symbol="t_x",
    symbols={"rate_change": "Δy", "wanted_accuracy": "ρ_w", "mark_error": "m"},
    tex=r"t_\mathrm{x} = \frac{4 (\rho_\mathrm{w} - m)}{\Delta y}",
    working="4 · ({wanted_accuracy} − {mark_error}) / {rate_change}",
    validity="As the residual, solved for the time. Below zero where the marks themselves are "
    "coarser than what is wanted.",
    sources=("wetside-derivation-marks",),
)
def longest_mark_interval(
    rate_change: PartsPerMillion, wanted_accuracy: Second, mark_error: Second
) -> Second:
    """How far apart marks may lie if every time between them is to be this accurate.

    Args:
        rate_change: Between fastest and slowest; above zero.
        wanted_accuracy: s, 0 to 1e12.
        mark_error: How far each mark may be off; s, 0 to 1e12.

    Returns:
        Time in s, below zero if no marks of this error will do.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Own derivation, [wetside-derivation-marks].

    >>> round(longest_mark_interval(rate_change=10e-6, wanted_accuracy=1.1, mark_error=0.1))
    400000
    """
    require_positive(rate_change=rate_change)
    require_between(0, _FAR, wanted_accuracy=wanted_accuracy, mark_error=mark_error)
    return 4 * (wanted_accuracy - mark_error) / rate_change
