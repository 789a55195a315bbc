"""Pressure and vacuum hold: from the gas in a closed case over time to its leak, and how sure."""

from functools import lru_cache
from math import exp, inf, lgamma, log, log1p, pi, sqrt
from statistics import NormalDist

from calculators.formula import formula, require_between, require_positive
from calculators.formulas.constants import ZERO_CELSIUS
from calculators.quantities import (
    Celsius,
    Count,
    CubicMetre,
    CubicMetrePerSecond,
    Pascal,
    PascalCubicMetre,
    PascalCubicMetrePerSecond,
    Ratio,
    Second,
    TemperatureDifference,
)

REFERENCE = 20.0 + ZERO_CELSIUS
"""Temperature that amounts of gas are stated at, K: 20 °C."""

ATMOSPHERE: Pascal = 101325.0

CAUTION = 0.68
"""Added, over the root of the count, to a correlation found in few readings [nychka-trends]."""

FEWEST_INDEPENDENT = 3.0
"""A line takes two; the third is what is left to judge the scatter by."""

ROUNDING = 1.5
"""Steepest line that rounding can fake, in steps over the length of the test."""


@formula(
    title="Amount of gas in the case",
    symbol="N",
    symbols={"pressure": "p", "volume": "V", "temperature": "t"},
    tex=r"N = p \, V \, \frac{293.15\ \mathrm{K}}{t + 273.15\ \mathrm{K}}",
    working="N({pressure}, {volume}, {temperature})",
    validity="Air below 10 bar, −40 to 100 °C, to 0.5 %; p is absolute, V does not change.",
    sources=("cfr-1065-644",),
)
def gas_amount(pressure: Pascal, volume: CubicMetre, temperature: Celsius) -> PascalCubicMetre:
    """Gas in a closed volume, as the product of pressure and volume that it would have at 20 °C.

    Args:
        pressure: Absolute; Pa, zero or more.
        volume: Free volume; m³, above zero.
        temperature: Of the gas; °C, −100 to 200.

    Returns:
        Pa·m³ at 20 °C; 101.325 Pa·m³ are one litre at 1 atm.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Ideal gas, [cfr-1065-644] equation 1065.644-1.

    >>> round(gas_amount(pressure=101325, volume=0.001, temperature=20), 3)
    101.325
    """
    require_between(0, inf, pressure=pressure)
    require_positive(volume=volume)
    require_between(-100, 200, temperature=temperature)
    return pressure * volume * REFERENCE / (temperature + ZERO_CELSIUS)


@formula(
    title="Loss of gas along the fitted line",
    symbol="Q_f",
    symbols={"correlation": "r", "amount_swing": "S_N", "time_swing": "S_t"},
    tex=(
        r"Q_\mathrm{f} = -r \, \frac{S_N}{S_t}, \quad"
        r" S_x = \sqrt{\textstyle\sum (x_i - \bar x)^2}"
    ),
    working="−({correlation}) · {amount_swing} / {time_swing}",
    validity="Least squares, every reading with the same weight. Gas lost counts as positive.",
    sources=("nist-strd",),
)
def fitted_loss_rate(
    correlation: Ratio, amount_swing: PascalCubicMetre, time_swing: Second
) -> PascalCubicMetrePerSecond:
    """Gas lost a second, along the straight line that fits the readings best.

    Args:
        correlation: Of amount and time, −1 to 1.
        amount_swing: Root of the sum of squares of the amounts about their mean; Pa·m³, not below
            zero.
        time_swing: The same of the times; s, above zero.

    Returns:
        Pa·m³/s, positive where the amount falls.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Least squares: the slope is the correlation times the ratio of the swings.

    >>> fitted_loss_rate(correlation=-1.0, amount_swing=2.0, time_swing=1000.0)
    0.002
    """
    require_between(-1, 1, correlation=correlation)
    require_between(0, inf, amount_swing=amount_swing)
    require_positive(time_swing=time_swing)
    return -correlation * amount_swing / time_swing


@formula(
    title="Readings that are independent",
    symbol="n_e",
    symbols={"readings": "n", "lag_correlation": "r_1"},
    tex=(
        r"n_\mathrm{e} = n \, \frac{1 - \rho}{1 + \rho}, \quad"
        r" \rho = r_1 + \frac{0.68}{\sqrt{n}}, \quad 3 \le n_\mathrm{e} \le n"
    ),
    working="{readings} · (1 − ρ) / (1 + ρ), ρ = {lag_correlation} + 0.68 / √{readings}",
    validity=(
        "Readings at even times whose errors fade evenly from one to the next. Errors that last "
        "as long as the test look like a leak, and no count of readings shows them."
    ),
    sources=("santer-2000", "nychka-trends"),
)
def independent_readings(readings: Count, lag_correlation: Ratio) -> Count:
    """How many independent readings would tell as much as these, which hang together.

    Args:
        readings: Number of readings, 3 or more.
        lag_correlation: Of each reading's distance from the line with the next one's, −1 to 1.

    Returns:
        A number from 3 to ``readings``.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [santer-2000], with the correction for few readings of [nychka-trends].

    >>> round(independent_readings(readings=100, lag_correlation=0.432), 6)
    33.333333
    """
    require_between(3, 1e9, readings=readings)
    require_between(-1, 1, lag_correlation=lag_correlation)
    cautious = max(0.0, lag_correlation + CAUTION / sqrt(readings))
    return max(FEWEST_INDEPENDENT, readings * (1 - cautious) / (1 + cautious))


@formula(
    title="Standard uncertainty of the rate",
    symbol="u",
    symbols={"misfit": "S_e", "independent": "n_e", "time_swing": "S_t"},
    tex=(
        r"u = \frac{S_e}{S_t \sqrt{n_\mathrm{e} - 2}}, \quad"
        r" S_e = \sqrt{\textstyle\sum e_i^2}"
    ),
    working="{misfit} / ({time_swing} · √({independent} − 2))",
    validity="Scatter about a straight line that is the same all through the test.",
    sources=("santer-2000", "nist-strd"),
)
def rate_uncertainty(
    misfit: PascalCubicMetre, independent: Count, time_swing: Second
) -> PascalCubicMetrePerSecond:
    """Standard uncertainty of a fitted rate, from what the line leaves over.

    Args:
        misfit: Root of the sum of squares of the distances from the line; Pa·m³, not below zero.
        independent: Independent readings, 3 or more.
        time_swing: Root of the sum of squares of the times about their mean; s, above zero.

    Returns:
        Pa·m³/s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [santer-2000], equations 4 to 6; with all readings independent, textbook least squares.

    >>> rate_uncertainty(misfit=0.4, independent=18.0, time_swing=1000.0)
    0.0001
    """
    require_between(0, inf, misfit=misfit)
    require_between(FEWEST_INDEPENDENT, 1e9, independent=independent)
    require_positive(time_swing=time_swing)
    return misfit / (time_swing * sqrt(independent - 2))


@formula(
    title="Coverage factor",
    symbol="k",
    symbols={"confidence": "P", "degrees_of_freedom": "ν"},
    tex=r"\Pr(|T_\nu| \le k) = P, \quad \nu = n_\mathrm{e} - 2",
    working="k of Student’s t({confidence}, {degrees_of_freedom})",
    validity="Errors that are about normally distributed. ν need not be a whole number.",
    sources=("nist-tn1297",),
)
def coverage_factor(confidence: Ratio, degrees_of_freedom: Count) -> Ratio:
    """How many standard uncertainties to either side hold the truth with this confidence.

    Args:
        confidence: 0.5 to 0.9999.
        degrees_of_freedom: 1 to a million.

    Returns:
        The two-sided quantile of Student's t distribution.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [nist-tn1297], appendix B.

    >>> round(coverage_factor(confidence=0.95, degrees_of_freedom=10.0), 3)
    2.228
    """
    require_between(0.5, 0.9999, confidence=confidence)
    require_between(1, 1e6, degrees_of_freedom=degrees_of_freedom)
    return _student(confidence, degrees_of_freedom)


@formula(
    title="What the steps of the gauge can hide",
    symbol="Q_g",
    symbols={"step_amount": "N_g", "duration": "τ"},
    tex=r"Q_\mathrm{g} = \frac{3}{2} \, \frac{N_\mathrm{g}}{\tau}",
    working="1.5 · {step_amount} / {duration}",
    validity="Worst case: readings at even times, each rounded to the nearest step of the gauge.",
    sources=("wetside-derivation-gauge-steps",),
)
def hidden_by_steps(step_amount: PascalCubicMetre, duration: Second) -> PascalCubicMetrePerSecond:
    """Largest rate that rounding to the steps of the gauge can fake or hide.

    Counts where the readings scatter by less than half a step; where they scatter more, rounding
    averages out and is part of the scatter.

    Args:
        step_amount: Gas that moves the gauge by one step; Pa·m³, not below zero.
        duration: From first to last reading; s, above zero.

    Returns:
        Pa·m³/s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Each reading is off by half a step at most; the worst signs of all of them tilt the line by
        no more than this.

    >>> round(hidden_by_steps(step_amount=0.012, duration=36000.0), 9)
    5e-07
    """
    require_between(0, inf, step_amount=step_amount)
    require_positive(duration=duration)
    return ROUNDING * step_amount / duration


@formula(
    title="Half width of the interval",
    symbol="h",
    symbols={"coverage": "k", "uncertainty": "u", "hidden": "Q_g"},
    tex=r"h = k \, u + Q_\mathrm{g}",
    working="{coverage} · {uncertainty} + {hidden}",
    validity="Scatter by its statistics, steps of the gauge at their worst.",
    sources=("nist-tn1297", "wetside-derivation-gauge-steps"),
)
def interval_half_width(
    coverage: Ratio,
    uncertainty: PascalCubicMetrePerSecond,
    hidden: PascalCubicMetrePerSecond,
) -> PascalCubicMetrePerSecond:
    """How far the interval reaches to either side of the rate.

    Args:
        coverage: Coverage factor, not below zero.
        uncertainty: Standard uncertainty of the rate; Pa·m³/s, not below zero.
        hidden: What the steps of the gauge can hide; Pa·m³/s, not below zero.

    Returns:
        Pa·m³/s.

    Raises:
        InputError: If an argument is below zero.

    Source:
        Expanded uncertainty [nist-tn1297], and a bound that is added, not squared.

    >>> interval_half_width(coverage=2.0, uncertainty=3e-7, hidden=4e-7)
    1e-06
    """
    require_between(0, inf, coverage=coverage, uncertainty=uncertainty, hidden=hidden)
    return coverage * uncertainty + hidden


@formula(
    title="Smallest leak that would have shown",
    symbol="Q_min",
    symbols={"half_width": "h"},
    tex=r"Q_\mathrm{min} = 2 \, h",
    working="2 · {half_width}",
    validity=(
        "A leak of this size gives an interval that leaves out zero, and a tight case one that "
        "leaves out this leak, each about as surely as the interval itself."
    ),
    sources=("currie-1968",),
)
def smallest_leak_shown(half_width: PascalCubicMetrePerSecond) -> PascalCubicMetrePerSecond:
    """Smallest leak that this log could have told from none.

    Args:
        half_width: Of the interval; Pa·m³/s, not below zero.

    Returns:
        Pa·m³/s.

    Raises:
        InputError: If the argument is below zero.

    Source:
        Detection limit with equal risks [currie-1968].

    >>> smallest_leak_shown(half_width=5e-7)
    1e-06
    """
    require_between(0, inf, half_width=half_width)
    return 2 * half_width


@formula(
    title="Gas behind a change that the log does not show",
    symbol="N_u",
    symbols={
        "gas": "N",
        "temperature": "t",
        "temperature_change": "Δt",
        "pressure": "p",
        "pressure_change": "Δp",
    },
    tex=(
        r"N_\mathrm{u} = N \left( \frac{\Delta t}{t + 273.15\ \mathrm{K}}"
        r" - \frac{\Delta p}{p} \right)"
    ),
    working=(
        "{gas} · ({temperature_change} / ({temperature} + 273.15 K)"
        " − {pressure_change} / {pressure})"
    ),
    validity="Changes of a few per cent of T and of p. Air that warms unseen hides a loss.",
    sources=("cfr-1065-644",),
)
def unseen_gas(
    gas: PascalCubicMetre,
    temperature: Celsius,
    temperature_change: TemperatureDifference,
    pressure: Pascal,
    pressure_change: Pascal,
) -> PascalCubicMetre:
    """Gas whose loss is hidden by a change of temperature or outside pressure not in the log.

    Args:
        gas: Amount in the case; Pa·m³, above zero.
        temperature: Of the gas; °C, −100 to 200.
        temperature_change: How much warmer the gas was at the end than the log says; K.
        pressure: Absolute, in the case; Pa, above zero.
        pressure_change: How much higher the pressure was at the end than the log says; Pa.

    Returns:
        Gas lost in truth and not in the log, Pa·m³; below zero where the log shows too much loss.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Derivative of the ideal gas law at constant volume.

    >>> round(unseen_gas(100.0, 20.0, 1.0, 101325.0, 0.0), 4)
    0.3411
    """
    require_positive(gas=gas, pressure=pressure)
    require_between(-100, 200, temperature=temperature)
    require_between(-100, 100, temperature_change=temperature_change)
    require_between(-1e7, 1e7, pressure_change=pressure_change)
    return gas * (temperature_change / (temperature + ZERO_CELSIUS) - pressure_change / pressure)


@formula(
    title="Rate over the whole test",
    symbol="Q_u",
    symbols={"gas": "N_u", "duration": "τ"},
    tex=r"Q_\mathrm{u} = \frac{N_\mathrm{u}}{\tau}",
    working="{gas} / {duration}",
    validity="A change that comes evenly over the test, from first to last reading.",
    sources=("cfr-1065-644",),
)
def rate_over_test(gas: PascalCubicMetre, duration: Second) -> PascalCubicMetrePerSecond:
    """An amount of gas spread over the test.

    Args:
        gas: Pa·m³, of either sign.
        duration: From first to last reading; s, above zero.

    Returns:
        Pa·m³/s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [cfr-1065-644]: difference over time.

    >>> round(rate_over_test(gas=0.36, duration=36000.0), 9)
    1e-05
    """
    require_between(-1e9, 1e9, gas=gas)
    require_positive(duration=duration)
    return gas / duration


@formula(
    title="Length of a test that proves the limit",
    symbol="τ",
    symbols={
        "scatter": "s",
        "interval": "δ",
        "coverage": "k",
        "steady_error": "N_s",
        "leak_limit": "Q_L",
    },
    tex=(
        r"\frac{2 k s \sqrt{12 \, \delta}}{\tau^{3/2}} + \frac{N_\mathrm{s}}{\tau} = Q_\mathrm{L},"
        r" \quad s = \frac{S_e}{\sqrt{n_\mathrm{e} - 2}}"
    ),
    working="τ({scatter}, {interval}, {coverage}, {steady_error}, {leak_limit})",
    validity="Ten readings or more at even times, with the scatter of this log.",
    sources=("weatherhead-1998", "currie-1968"),
)
def time_to_prove(
    scatter: PascalCubicMetre,
    interval: Second,
    coverage: Ratio,
    steady_error: PascalCubicMetre,
    leak_limit: PascalCubicMetrePerSecond,
) -> Second:
    """How long to hold until a leak of the limit would be told from none.

    Args:
        scatter: Of the readings about the line, as if all were independent; Pa·m³, not below zero.
        interval: From one reading to the next; s, above zero.
        coverage: Coverage factor, not below zero.
        steady_error: Gas that unseen changes and steps of the gauge can hide, however long the
            test; Pa·m³, not below zero.
        leak_limit: Pa·m³/s, above zero.

    Returns:
        Time in s, zero where nothing scatters and nothing hides.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Uncertainty of a slope at even times, set to half the limit; [weatherhead-1998] equation 3
        is the case without a steady error.

    >>> round(time_to_prove(0.01, 600.0, 2.0, 0.0, 1e-5))
    4866
    """
    require_between(0, inf, scatter=scatter, coverage=coverage, steady_error=steady_error)
    require_positive(interval=interval, leak_limit=leak_limit)
    cubed, squared = 2 * coverage * scatter * sqrt(12 * interval), steady_error
    if cubed == squared == 0:
        return 0.0
    root = _root_of_cubic(cubed / leak_limit, squared / leak_limit)
    return 1 / root / root


@formula(
    title="Volume of gas in a time",
    symbol="q",
    symbols={"leak_rate": "Q"},
    tex=r"q = \frac{Q}{101\,325\ \mathrm{Pa}}",
    working="{leak_rate} / 101 325 Pa",
    validity="Gas measured at 20 °C and 1 atm.",
    sources=("nist-sp811",),
)
def gas_volume_rate(leak_rate: PascalCubicMetrePerSecond) -> CubicMetrePerSecond:
    """The leak as a volume of gas a second, at 20 °C and 1 atm.

    Args:
        leak_rate: Pa·m³/s at 20 °C.

    Returns:
        m³/s.

    Raises:
        InputError: If the argument is not a finite number.

    Source:
        Standard atmosphere, [nist-sp811].

    >>> round(gas_volume_rate(leak_rate=1e-5) * 86400 * 1e6, 3)
    8.527
    """
    require_between(-1e12, 1e12, leak_rate=leak_rate)
    return leak_rate / ATMOSPHERE


def _root_of_cubic(cubed: float, squared: float) -> float:
    """The x above zero with cubed·x³ + squared·x² = 1, by Newton's steps from above it."""
    x = min(float(cubed ** (-1 / 3)) if cubed else inf, float(squared**-0.5) if squared else inf)
    for _ in range(60):  # falls to the root without passing it; six steps are usual
        step = (cubed * x**3 + squared * x * x - 1) / (3 * cubed * x * x + 2 * squared * x)
        if step <= 1e-15 * x:
            break
        x -= step
    return x


@lru_cache(maxsize=512)
def _student(confidence: float, nu: float) -> float:
    """Quantile by Newton's steps on the logarithm of the tail against that of t.

    That curve is bent one way only and nearly straight in the tail, so that from the quantile of
    the normal distribution a handful of steps suffice.
    """
    wanted = log1p(-confidence)
    t: float = NormalDist().inv_cdf(0.5 + confidence / 2)
    top = lgamma((nu + 1) / 2) - lgamma(nu / 2)
    for _ in range(50):
        tail = _both_tails(t, nu, top)
        density = exp(top - (nu + 1) / 2 * log1p(t * t / nu)) / sqrt(nu * pi)
        step = (log(tail) - wanted) * tail / (2 * density * t)
        t *= exp(step)
        if abs(step) < 1e-10:  # the next step would be its square
            break
    return t


def _both_tails(t: float, nu: float, top: float) -> float:
    """Chance that Student's t lies beyond ±t: the incomplete beta function I_x(ν/2, 1/2)."""
    x, y = nu / (nu + t * t), t * t / (nu + t * t)
    # ln of x^(ν/2) y^(1/2) / B(ν/2, 1/2); lgamma(1/2) = ln √π
    front = exp(top - 0.5723649429247001 + nu / 2 * log(x) + 0.5 * log(y))
    if x < (nu / 2 + 1) / (nu / 2 + 2.5):
        return front * _fraction(nu / 2, 0.5, x) / (nu / 2)
    return 1 - front * _fraction(0.5, nu / 2, y) / 0.5


def _fraction(a: float, b: float, x: float) -> float:
    """Continued fraction of the incomplete beta function, evaluated from the front."""
    c, d = 1.0, 1 / (1 - (a + b) * x / (a + 1))
    found = d
    for m in range(1, 500):
        for part in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            c, d = 1 + part / c, 1 / (1 + part * d)
            found *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return found
