"""Along one number of a rig: where its requirement begins to hold, found without ranges."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from itertools import pairwise
from math import ceil, exp, floor, inf, log, sqrt

from calculators import units
from calculators.declare import Number, Values
from calculators.rig.model import Rig, Stated
from calculators.rig.plan import Judged, Part, Plan, Route
from calculators.units import Tolerance
from calculators.units.showing import decimal_in

NARROW = 1e-4
"""A value is found to this part of itself."""

FIRST_STEP = 0.01
"""How far from its value a number is tried first: this part of it, or of its range if it has no
zero; every further step is twice as far."""


class Corner:
    """Where a requirement is at its worst: every tolerance at the end that takes from its margin.

    That is quick; a range takes hundreds of times as long. It is the worst case where the answers
    rise or fall steadily, and each tolerance counts by one way alone.
    """

    def __init__(self, plan: Plan, judged: Judged) -> None:
        self.plan, self.judged = plan, judged
        self.tolerances: dict[Part, Tolerance] = {}
        self._values: dict[Part, float] = {}
        self._at: dict[Part, int] = {}
        for name in plan.before({judged.card}):
            step = plan.steps[name]
            for key, tolerance in step.tolerances.items():
                item = step.shape.inputs[key]
                if not (isinstance(item, Number) and item.integer):
                    self._add(step.parts[key], tolerance, float(step.values[key]))

    def _add(self, part: Part, tolerance: Tolerance, value: float) -> None:
        route, ends = self.plan.route([part], {self.judged.card}), tolerance.ends(value)
        answers = [route.at({part: end}).answers.get(self.judged.card) for end in ends]
        margins = [-inf if answer is None else self.judged.margin(answer) for answer in answers]
        at = int(margins[1] < margins[0])
        self.tolerances[part], self._at[part], self._values[part] = tolerance, at, ends[at]

    def route(self, keys: Iterable[str]) -> Route:
        """How to find the requirement where these entries are others."""
        return self.plan.route({*keys, *self._values}, {self.judged.card})

    def answer(self, route: Route, stated: Mapping[str, Stated]) -> Values | None:
        """Inputs and outputs of the calculator where these entries, of the route, are others."""
        values = dict(self._values)
        for key, new in stated.items():
            value = float(new.value)
            values[key] = (
                new.tolerance.ends(value)[self._at.get(key, 0)] if new.tolerance else value
            )
        return route.at(values).answers.get(self.judged.card)


@dataclass(frozen=True)
class Line:
    """A requirement along one number, every tolerance at its bad end."""

    key: str
    item: Number
    system: str
    value: float
    low: float
    high: float
    corner: "Corner"
    route: Route

    @classmethod
    def of(cls, rig: Rig, corner: "Corner", key: str, system: str) -> "Line":
        """Along an entry, between what all calculators accept that ask for it."""
        plan = corner.plan
        inputs = [
            step.shape.inputs[name]
            for step in plan.steps.values()
            for name, part in step.parts.items()
            if part == key
        ]
        numbers = [item for item in inputs if isinstance(item, Number)]
        return cls(
            key,
            next((n for n in numbers if n.integer), numbers[0]),
            system,
            float(rig.stated[key].value),
            max(n.low_si for n in numbers),
            min(n.high_si for n in numbers),
            corner,
            corner.route([key]),
        )

    @property
    def has_zero(self) -> bool:
        """Whether twice the value is twice as much of it: lengths, not levels or temperatures."""
        level = self.item.si_unit.startswith("dB") or self.item.si_unit == "°C"
        return self.low >= 0 and self.value > 0 and not level

    def size(self, value: float) -> float:
        """How large a change to this value is."""
        if self.has_zero and value > 0:
            return abs(log(value / self.value))
        return abs(value - self.value) / (self.high - self.low)

    def _answer(self, value: float) -> Values | None:
        tolerance = self.corner.tolerances.get(self.key)
        return self.corner.answer(self.route, {self.key: Stated(value, tolerance)})

    def margin(self, value: float) -> float:
        """The margin of the requirement, SI; minus infinity where it has no answer."""
        answer = self._answer(value)
        return -inf if answer is None else self.corner.judged.margin(answer)

    def holds(self, value: float, spare: float) -> bool:
        """Whether the requirement is met with so much to spare."""
        answer = self._answer(value)
        if answer is None or self.corner.judged.level(answer) != "good":
            return False
        return self.corner.judged.margin(answer) >= spare

    def nearest(self, start: float, up: bool, spare: float) -> float | None:
        """The value nearest to ``start``, above or below, with so much to spare."""
        points = list(self._points(start, up))
        found = crossing(points, lambda x: self.holds(x, spare), whole=self.item.integer)
        return found[1] if found else None

    def beyond(self, value: float, up: bool) -> float:
        """One step farther."""
        return next(x for n, x in enumerate(self._points(value, up)) if n)

    def _points(self, start: float, up: bool) -> Iterator[float]:
        """From where it is to the end of what is accepted, each step twice as long."""
        end, step = self.high if up else self.low, FIRST_STEP
        yield start
        while True:
            value = self._stepped(start, step if up else -step)
            if self.item.integer:
                value = float(ceil(value) if up else floor(value))
            if not self.low < value < self.high:
                break
            yield value
            step *= 2
        yield end

    def _stepped(self, start: float, step: float) -> float:
        if self.has_zero and start > 0:
            return start * exp(step) if abs(step) < 100 else inf * step
        return start + step * (self.high - self.low)

    def rounded(self, value: float, digits: int) -> tuple[str, float]:
        """A value rounded away from where the number is, no farther than its range: text, SI."""
        up = value > self.value
        unit = self.item.unit_in(self.system)
        number = decimal_in(value, unit)
        places = digits - 1 - number.adjusted()
        if self.item.integer:
            places = 0
        grain = Decimal(1).scaleb(-places)
        text = number.quantize(grain, ROUND_CEILING if up else ROUND_FLOOR)
        shown = f"{text.normalize():f}"
        found = units.parse(shown, unit, name=self.key)
        if not self.low <= found <= self.high:
            found = self.high if up else self.low
        return units.format_exact(found, unit), found


def crossing(
    points: list[float], holds: Callable[[float], bool], *, whole: bool = False
) -> tuple[float, float] | None:
    """Where along these points something first holds: the last value without, the first with it.

    They lie within ``NARROW`` of themselves; ``whole`` tries whole numbers alone. Both are the
    first point where it holds there; None where it holds at none of them.
    """
    if holds(points[0]):
        return points[0], points[0]
    for before, after in pairwise(points):
        if holds(after):
            return _narrowed(before, after, holds, whole=whole)
    return None


def _narrowed(
    without: float, with_it: float, holds: Callable[[float], bool], *, whole: bool
) -> tuple[float, float]:
    """The bracket halved until it is narrow."""
    while not _met(without, with_it, whole=whole):
        middle = _middle(without, with_it)
        if whole:
            middle = float(int(middle))
        if holds(middle):
            with_it = middle
        else:
            without = middle
    return without, with_it


def _met(one: float, other: float, *, whole: bool) -> bool:
    apart = abs(other - one)
    return apart <= 1 if whole else apart <= NARROW * max(abs(one), abs(other))


def _middle(one: float, other: float) -> float:
    """By ratio where both have the same sign: a bracket may span decades."""
    if one * other > 0 and not 0.1 < one / other < 10:
        return sqrt(one * other) * (1 if one > 0 else -1)
    return (one + other) / 2
