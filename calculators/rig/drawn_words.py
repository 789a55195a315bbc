"""What draws over a rig say, in words, as a page shows it."""

from typing import Any

from calculators.registry import CALCULATORS
from calculators.rig.draws import Chance, Cost, Draws
from calculators.units import format_whole

Json = dict[str, Any]

MOST_EXACT = 3
"""Tolerances that are drawn without: each takes draws of its own."""

MEANING = (
    "A safety factor missed is not yet a failure, and one kept is no promise: every part is drawn "
    "evenly within the range stated, each on its own; faults of the work and mishaps are not in it."
)
"""What the shares do not say."""


def drawn_json(draws: Draws) -> Json:
    """The draws so far: sentences, what is missed most often, whose tolerance decides it."""
    drawn = draws.drawn
    judged = draws.plan.judged
    missed = [f"{judged[name].label}: {_share(n, draws.count)}" for name, n in drawn.missed.items()]
    refused = [
        f"{CALCULATORS[card].title}, no answer: {_share(n, draws.count)}. {reason}"
        for card, (n, reason) in drawn.refused.items()
    ]
    return {
        "draws": draws.count,
        "says": [
            f"{_chance(drawn.reaches_end)} reach the planned end: the case stays dry, power "
            "and card last, line and anchor hold, each with the safety factor wanted.",
            f"{_chance(drawn.all_met)} meet every requirement.",
            MEANING,
        ],
        "missed": missed + refused,
        "costs": [_cost(cost) for cost in drawn.costs],
        "unanswered": _unanswered(drawn.unanswered),
    }


def exact_words(draws: Draws, count: int) -> list[str]:
    """What as many draws say where one of the costliest tolerances is none, for three of them."""
    costs = draws.drawn.costs[:MOST_EXACT]
    return [exact_line(cost, draws.without(cost.part).more(count)) for cost in costs]


def exact_line(cost: Cost, exact: Draws) -> str:
    """What draws say in which the part of this cost is exact."""
    return f"{cost.label}, if it were exact: {_chance(exact.drawn.all_met)} meet every requirement."


def _chance(chance: Chance) -> str:
    """``1840 of 2000 drawn rigs (92 %; so many draws leave 91 % to 93 % open …)``.

    The interval, of 95 % confidence, is that of the count alone, not of what was stated.
    """
    low, high = chance.ends
    return (
        f"{format_whole(chance.successes)} of {format_whole(chance.draws)} drawn rigs "
        f"({_percent(chance.share)}; so many draws leave {_percent(low)} to {_percent(high)} open "
        "at 95\u00a0% confidence)"
    )


def _share(count: int, draws: int) -> str:
    return f"in {_percent(count / draws)} of them"


def _percent(share: float) -> str:
    """Whole percents, but never 0 or 100 of what is neither."""
    if 0 < share < 0.005:
        return "less than 1\u00a0%"
    if 0.995 <= share < 1:
        return "more than 99\u00a0%"
    return f"{share * 100:.0f}\u00a0%"


def _cost(cost: Cost) -> str:
    return f"{cost.label}: {_percent(cost.share)} of what varies"


def _unanswered(cards: tuple[str, ...]) -> str:
    """What no draw can say anything of."""
    if not cards:
        return ""
    titles = ", ".join(CALCULATORS[card].title for card in cards)
    return f"Nothing is said of what has no answer yet: {titles}."
