"""Schedules: what they cost of battery and card, and how much of them is covered."""

from calculators.formula import formula, require_between, require_positive
from calculators.quantities import Ratio, Second

LONGEST: Second = 1e12
"""Far beyond any deployment; keeps every product finite."""


@formula(
    title="Battery time that a schedule uses",
    symbol="T_b",
    symbols={"recording": "t_r", "waiting": "t_w", "standby_share": "s"},
    tex=r"T_\mathrm{b} = t_\mathrm{r} + s\,t_\mathrm{w}",
    working="{recording} + {standby_share} · {waiting}",
    validity="Battery time is counted in time of recording. One steady drain while recording, one "
    "while waiting; what starting and closing a file takes is left out.",
    sources=("wetside-derivation-window",),
)
def battery_time_used(recording: Second, waiting: Second, standby_share: Ratio) -> Second:
    """How long the battery could have recorded on what a schedule takes.

    Args:
        recording: s, 0 to 1e12.
        waiting: s, 0 to 1e12.
        standby_share: What waiting takes, as a part of what recording takes, 0 to 1.

    Returns:
        Time of recording that the same energy gives, s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Energy is power times time.

    >>> battery_time_used(recording=8, waiting=16, standby_share=0.25)
    12.0
    """
    require_between(0, LONGEST, recording=recording, waiting=waiting)
    require_between(0, 1, standby_share=standby_share)
    return recording + standby_share * waiting


@formula(
    title="Coverage",
    symbol="c",
    symbols={"recorded": "t_r", "scheduled": "t_s"},
    tex=r"c = \frac{t_\mathrm{r}}{t_\mathrm{s}}",
    working="{recorded} / {scheduled}",
    validity="Of the time, not of the animals: an hour after dusk may hold most of what calls.",
    sources=("wetside-derivation-window",),
)
def coverage(recorded: Second, scheduled: Second) -> Ratio:
    """Part of the scheduled time that is recorded.

    Args:
        recorded: s, 0 to 1e12.
        scheduled: s, above zero.

    Returns:
        Ratio, 0 to 1 where no more is recorded than scheduled.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        A ratio.

    >>> coverage(recorded=6, scheduled=8)
    0.75
    """
    require_between(0, LONGEST, recorded=recorded)
    require_positive(scheduled=scheduled)
    return recorded / scheduled
