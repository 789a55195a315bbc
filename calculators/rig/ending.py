"""What ends a deployment first: how long a rig lasts, by each requirement that ends it.

For each such requirement that depends on the planned duration: the longest duration for which it is
met, all else as it is; and the longest for which its worst case is. What lasts itself, such as
batteries, needs no search, and the search finds the same.
"""

from dataclasses import dataclass
from math import exp, inf, log

from calculators.declare import Number
from calculators.rig.graph import Evaluated, evaluate_rig
from calculators.rig.model import Rig, Stated
from calculators.rig.plan import Judged, Plan, Route
from calculators.rig.requirements import Requirement, of_node
from calculators.rig.searching import crossing

DURATION = "plan.duration"

STEPS = 40
"""Durations that are tried, each so many times as long as the one before."""

ROUNDS = 4
"""How often the range is looked at anew where the worst case ends."""


@dataclass(frozen=True)
class End:
    """How long a requirement is met, s: as it is, and in the worst case.

    Infinity: longer than any duration that is accepted. 0: not even for the shortest.
    """

    name: str
    title: str
    label: str
    nominal: float
    worst: float


def ends(rig: Rig, nodes: Evaluated) -> list[End]:
    """What ends the deployment, the earliest first, by its worst case; empty without a duration."""
    if DURATION not in rig.stated:
        return []
    plan = Plan(rig, nodes)
    found = []
    for judged in plan.judged.values():
        if judged.verdict.ends and judged.card in plan.base.answers:
            route = plan.route([DURATION], {judged.card})
            if route.stops:
                found.append(_End(rig, nodes, judged, route).found())
    return sorted(found, key=lambda end: (end.worst, end.nominal))


class _End:
    """The search for the end of one requirement."""

    def __init__(self, rig: Rig, nodes: Evaluated, judged: Judged, route: Route) -> None:
        self.rig, self.nodes, self.judged, self.route = rig, nodes, judged, route
        inputs = [
            stop.step.shape.inputs[key]
            for stop in route.stops
            for part, key, *_ in stop.parts
            if part == DURATION
        ]
        numbers = [item for item in inputs if isinstance(item, Number)]
        self.low = max(item.low_si for item in numbers)
        self.high = min(item.high_si for item in numbers)
        self.chain = route.plan.before({judged.card})

    def found(self) -> End:
        """The end, nominal and in the worst case."""
        node = self.nodes[self.judged.card]
        nominal = self._longest(0.0)
        label = node.shape.label(self.judged.key)
        return End(self.judged.name, node.card.title, label, nominal, self._worst(nominal))

    def _longest(self, spare: float) -> float:
        """The longest duration with so much to spare."""
        if not self._holds(self.low, spare):
            return 0.0
        ratio = log(self.high / self.low)
        points = [self.low * exp(ratio * n / STEPS) for n in range(STEPS)] + [self.high]
        found = crossing(points, lambda x: not self._holds(x, spare))
        return inf if found is None else found[0]

    def _holds(self, duration: float, spare: float) -> bool:
        answer = self.route.at({DURATION: duration}).answers.get(self.judged.card)
        if answer is None or self.judged.level(answer) != "good":
            return False
        return self.judged.margin(answer) >= spare

    def _worst(self, nominal: float) -> float:
        """The longest duration for which the worst case is good.

        The range is wide where the worst case ends about as it is a little later, so that it is
        looked at again where it then ends.
        """
        found = min(nominal, self.high)
        if found == 0.0 or (nominal == inf and self._good(self.high)):
            return nominal
        for _ in range(ROUNDS):
            found = self._longest(self._width(found))
            if found in (0.0, inf):
                break
        return found

    def _width(self, duration: float) -> float:
        """How much of the margin the tolerances take at this duration."""
        answer = self.route.at({DURATION: duration}).answers.get(self.judged.card)
        row = self._row(duration)
        if answer is None or row is None:
            return inf
        return self.judged.margin(answer) - row.margin

    def _good(self, duration: float) -> bool:
        row = self._row(duration)
        return row is not None and row.level == "good"

    def _row(self, duration: float) -> Requirement | None:
        """The requirement for this duration, with its range."""
        stated = Stated(duration, self.rig.stated[DURATION].tolerance)
        nodes = evaluate_rig(self.rig.keep(DURATION, stated), self.nodes, self.chain)
        rows = of_node(nodes[self.judged.card])
        return next((row for row in rows if row.name == self.judged.name), None)
