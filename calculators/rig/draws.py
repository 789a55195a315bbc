"""Chance over a whole rig: many draws within the tolerances, and what each of them comes to.

Each draw gives every part a value of its own, uniformly between the ends of its tolerance: what the
rig states with one, and what a calculator takes as usual with one, since that is part of its range
on every page. An entry is drawn once for all calculators that ask for it, so what a large value
costs one of them it may save the next: that is what a chain of worst cases cannot know.

The share of the variance that a part explains alone is the first-order index of Sobol'
[sobol-2001], estimated from the draws themselves: they are sorted into classes of the part's value,
and the means of the classes are compared [plischke-2013]. What classes of this size differ by
anyway is taken off [kelley-1935].
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from math import ceil, floor, sqrt
from random import Random
from typing import Any

from calculators.declare import Number
from calculators.formulas.chance import NINETY_FIVE_PERCENT, probability_high, probability_low
from calculators.rig.graph import Evaluated
from calculators.rig.model import Rig
from calculators.rig.plan import Part, Plan, Point, Route, item_of, missed, part_label
from calculators.rig.requirements import beyond_limit, requirements

Json = dict[str, Any]

CLASSES = 16
"""Classes of a part's values: of a straight dependence they miss one part in 256."""

BEYOND_CHANCE = 5.0
"""A share is named where it is this many standard deviations above what chance alone gives: of a
hundred parts without effect one is then named in one run of fifty."""

CLEAR = 0.25
"""A requirement is not drawn where the range of its answer stays this part of its width away from
the limit: ranges are found at corners, and an answer that is not steady may go a little beyond."""


@dataclass(frozen=True)
class Varied:
    """A part that is drawn, and the ends between which it is; ``whole`` draws whole numbers."""

    part: Part
    low: float
    high: float
    nominal: float
    whole: bool

    def at(self, chance: float) -> float:
        """The value for a chance from 0 to below 1."""
        if self.whole:
            low, high = ceil(self.low), floor(self.high)
            return float(low + floor(chance * (high - low + 1)))
        return self.low + chance * (self.high - self.low)


@dataclass(frozen=True)
class Chance:
    """How many of the draws succeeded, and the probability that goes with it, from 0 to 1."""

    successes: int
    draws: int

    @property
    def share(self) -> float:
        """The most likely probability."""
        return self.successes / self.draws

    @property
    def ends(self) -> tuple[float, float]:
        """The ends of its confidence interval of 95 %."""
        given = {"trials": self.draws, "deviations": NINETY_FIVE_PERCENT}
        return (
            probability_low(successes=self.successes, **given),
            probability_high(successes=self.successes, **given),
        )


@dataclass(frozen=True)
class Cost:
    """What the tolerance of a part costs: the share of the variance that it explains alone."""

    part: Part
    label: str
    share: float


@dataclass(frozen=True)
class Drawn:
    """What the draws so far say.

    ``reaches_end`` counts draws in which nothing ends the deployment, ``all_met`` those in which
    every requirement is met. ``missed`` counts, by requirement, the draws that miss it, most first;
    ``refused``, by calculator, those in which its inputs do not go together, with the first reason.
    ``costs`` say what decides whether every requirement is met, ``end_costs`` what decides whether
    the end is reached; what chance alone could give is left out. ``unanswered`` are required
    calculators to which something is missing: no draw can say anything of them.
    """

    reaches_end: Chance
    all_met: Chance
    missed: dict[str, int]
    refused: dict[str, tuple[int, str]]
    costs: list[Cost]
    end_costs: list[Cost]
    unanswered: tuple[str, ...]


@dataclass
class _Class:
    """Draws in one class of a part's values."""

    count: int = 0
    ended: int = 0
    missed: int = 0


@dataclass
class Draws:
    """Draws over a rig, made in any number of steps; what they give depends on seed and count.

    ``held`` names parts that keep their value, as if they were exact; every other part is drawn
    as it is without them. ``every`` draws all requirements, also those that ranges have decided.
    """

    rig: Rig
    nodes: Evaluated
    seed: int
    held: frozenset[Part] = frozenset()
    every: bool = False
    count: int = field(default=0, init=False)
    evaluations: int = field(default=0, init=False)
    """How often a calculator was asked."""

    def __post_init__(self) -> None:
        self.plan = Plan(self.rig, self.nodes)
        self._random = Random(self.seed)
        judged = self.plan.judged
        decided = set() if self.every else _decided(self.nodes)
        self.judged = [one for one in judged.values() if one.name not in decided]
        self.varied, self.route = _to_be_drawn(self.plan, {one.card for one in self.judged})
        self._classes = [[_Class() for _ in range(CLASSES)] for _ in self.varied]
        self._ended = self._missed_any = 0
        self._missed: Counter[str] = Counter()
        self._refused: Counter[str] = Counter()
        self._reasons: dict[str, str] = {}
        same = [one for name, one in judged.items() if name in decided]
        self._same = list(missed(same, self.plan.base))
        """What is missed in every draw, however the tolerances fall."""
        self._counts = self.plan.before(one.card for one in judged.values())
        """Calculators that are required, and those that they ask."""

    def more(self, count: int) -> "Draws":
        """Make this many more draws."""
        for _ in range(count):
            self._draw()
        return self

    def without(self, part: Part) -> "Draws":
        """Draws, none made yet, in which this part is exact and all others fall as they do here."""
        return Draws(self.rig, self.nodes, self.seed, self.held | {part}, self.every)

    def values(self, chances: Sequence[float]) -> dict[Part, float]:
        """What is drawn where each of ``varied`` has a chance from 0 to below 1."""
        return {
            varied.part: varied.nominal if varied.part in self.held else varied.at(chance)
            for varied, chance in zip(self.varied, chances, strict=True)
        }

    def _draw(self) -> None:
        chances = [self._random.random() for _ in self.varied]
        point = self.route.at(self.values(chances))
        self.evaluations += len(self.route.stops)
        found = [*self._same, *missed(self.judged, point)]
        ended = any(end for _, end in found)
        self.count += 1
        self._ended += ended
        self._missed_any += bool(found)
        self._missed.update(name for name, _ in found)
        self._refuse(point)
        for classes, chance in zip(self._classes, chances, strict=True):
            its = classes[int(chance * CLASSES)]
            its.count += 1
            if found:
                its.missed += 1
                its.ended += ended

    def _refuse(self, point: Point) -> None:
        for card, error in point.refused.items():
            if card not in self._counts:
                continue
            self._refused[card] += 1
            self._reasons.setdefault(card, error.message)

    @property
    def drawn(self) -> Drawn:
        """What the draws so far say; there must be one at least."""
        return Drawn(
            reaches_end=Chance(self.count - self._ended, self.count),
            all_met=Chance(self.count - self._missed_any, self.count),
            missed=dict(sorted(self._missed.items(), key=lambda pair: -pair[1])),
            refused={card: (n, self._reasons[card]) for card, n in self._refused.items()},
            costs=self._costs("missed"),
            end_costs=self._costs("ended"),
            unanswered=tuple(
                name for name, node in self.nodes.items() if node.required and node.missing
            ),
        )

    def _costs(self, what: str) -> list[Cost]:
        """Parts that explain more than chance alone would, most first."""
        shares = [
            explained([(its.count, getattr(its, what), getattr(its, what)) for its in classes])
            for classes in self._classes
        ]
        least = BEYOND_CHANCE * sqrt(2 * (CLASSES - 1)) / max(self.count, 1)
        found = [
            Cost(varied.part, part_label(varied.part, self.plan), share)
            for varied, share in zip(self.varied, shares, strict=True)
            if share is not None and share > least
        ]
        return sorted(found, key=lambda cost: -cost.share)


def _decided(nodes: Evaluated) -> set[str]:
    """Requirements that no draw can decide otherwise than their range does.

    The whole range, which is that of the worst cases, lies on one side of the limit, and a quarter
    of its width or more away from it.
    """
    found = set()
    for row in requirements(nodes):
        assert row.node.spread is not None
        low, high = beyond_limit(row.node.spread, row.key, row.limit)
        away = max(low, -high)
        certain = row.verdict.level is None or row.level != "care"
        if certain and away > 0 and away >= CLEAR * (high - low):
            found.add(row.name)
    return found


def _to_be_drawn(plan: Plan, cards: set[str]) -> tuple[list[Varied], Route]:
    """The parts with a tolerance that reach these calculators, and how."""
    ends: dict[Part, Varied] = {}
    for step in plan.steps.values():
        for key, tolerance in step.tolerances.items():
            part, value = step.parts[key], float(step.values[key])
            item = item_of(part, plan)
            whole = isinstance(item, Number) and item.integer
            ends[part] = Varied(part, *tolerance.ends(value), value, whole)
    route = plan.route(ends, cards)
    return [ends[part] for part in route.parts], route


def explained(classes: Sequence[tuple[int, float, float]]) -> float | None:
    """The share of the variance of an answer that these classes of an input explain.

    Args:
        classes: For each class, how many draws fell into it, the sum of their answers, and the sum
            of the squares of their answers.

    Returns:
        0 where the classes do not differ, 1 where nothing else counts; below 0 by chance. None
        where the answers are all the same, or there are too few: chance decides then.

    Source:
        The ratio of sums of squares about the mean, in the classes and in all, each divided by its
        degrees of freedom, taken from 1 [kelley-1935]; it estimates the first-order index
        [sobol-2001] from given draws [plischke-2013].

    >>> explained([(10, 0, 0), (10, 10, 10)])
    1.0
    """
    filled = [one for one in classes if one[0]]
    count = sum(n for n, _, _ in filled)
    if count <= 2 * len(filled):
        return None
    total, squares = sum(one[1] for one in filled), sum(one[2] for one in filled)
    about_all = squares - total**2 / count
    if about_all <= 0:
        return None
    within = squares - sum(part**2 / n for n, part, _ in filled)
    return 1 - (within / (count - len(filled))) / (about_all / (count - 1))
