"""Chance: what a count of random draws says of a probability."""

from math import sqrt

from calculators.formula import formula, require_between, require_positive
from calculators.quantities import Count, Ratio

NINETY_FIVE_PERCENT: Ratio = 1.959963984540054
"""Standard deviations about the middle of a normal distribution that hold 95 % of it."""


def _interval(successes: Count, trials: Count, deviations: Ratio) -> tuple[float, float]:
    """Both ends of the score interval."""
    require_positive(trials=trials, deviations=deviations)
    require_between(0, trials, successes=successes)
    share = successes / trials
    square = deviations**2
    middle = (share + square / (2 * trials)) / (1 + square / trials)
    root = sqrt(share * (1 - share) / trials + square / (4 * trials**2))
    half = deviations * root / (1 + square / trials)
    return middle - half, middle + half


@formula(
    title="Probability, lower end of its confidence interval",
    symbol="p_-",
    symbols={"successes": "k", "trials": "n", "deviations": "z"},
    tex=r"p_- = \frac{\frac{k}{n} + \frac{z^2}{2 n} - z \sqrt{\frac{k (n - k)}{n^3} "
    r"+ \frac{z^2}{4 n^2}}}{1 + \frac{z^2}{n}}",
    working="score interval({successes}, {trials}, {deviations}), lower end",
    validity="Independent trials with the same probability; any number of successes, 0 and n too.",
    sources=("wilson-1927", "newcombe-1998"),
)
def probability_low(successes: Count, trials: Count, deviations: Ratio) -> Ratio:
    """Lowest probability that goes with this many successes (score interval).

    Args:
        successes: How many trials succeeded, 0 to ``trials``.
        trials: How many trials there were, above zero.
        deviations: Width of the interval in standard deviations of a normal distribution, above
            zero: 1.96 holds 95 %.

    Returns:
        The lower end, 0 to 1.

    Raises:
        InputError: If trials or deviations are not above zero, or successes are out of range.

    Source:
        [wilson-1927]; [newcombe-1998], method 3.

    >>> round(probability_low(successes=81, trials=263, deviations=1.96), 4)
    0.2553
    """
    low, _ = _interval(successes, trials, deviations)
    return 0.0 if successes == 0 else low  # which rounding may put below


@formula(
    title="Probability, upper end of its confidence interval",
    symbol="p_+",
    symbols={"successes": "k", "trials": "n", "deviations": "z"},
    tex=r"p_+ = \frac{\frac{k}{n} + \frac{z^2}{2 n} + z \sqrt{\frac{k (n - k)}{n^3} "
    r"+ \frac{z^2}{4 n^2}}}{1 + \frac{z^2}{n}}",
    working="score interval({successes}, {trials}, {deviations}), upper end",
    validity="Independent trials with the same probability; any number of successes, 0 and n too.",
    sources=("wilson-1927", "newcombe-1998"),
)
def probability_high(successes: Count, trials: Count, deviations: Ratio) -> Ratio:
    """Highest probability that goes with this many successes (score interval).

    Args:
        successes: How many trials succeeded, 0 to ``trials``.
        trials: How many trials there were, above zero.
        deviations: Width of the interval in standard deviations of a normal distribution, above
            zero: 1.96 holds 95 %.

    Returns:
        The upper end, 0 to 1.

    Raises:
        InputError: If trials or deviations are not above zero, or successes are out of range.

    Source:
        [wilson-1927]; [newcombe-1998], method 3.

    >>> round(probability_high(successes=0, trials=20, deviations=1.96), 4)
    0.1611
    """
    _, high = _interval(successes, trials, deviations)
    return 1.0 if successes == trials else high  # which rounding may put above
