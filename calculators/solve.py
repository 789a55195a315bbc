"""Which value of one input gives a wanted value of one output."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import exp, inf, log

from calculators import units
from calculators.declare import Calculator, Input, Number, Output, Values
from calculators.errors import InputError
from calculators.evaluate import evaluate

STEPS = 160
"""Parts the range of the input is cut into while looking for solutions."""

CLOSE = 1e-9
"""A solution's output may differ from the target by this part of it."""

ROUNDING_OF_A_LEVEL = 1e-11
"""dB: a part in 1e12 of what it is the level of, which is what rounding leaves of it."""

BEYOND = 1e-9
"""How far beyond another input of its unit an input is tried, as part of it."""

GOLDEN = (5**0.5 - 1) / 2

GOLDEN_STEPS = 40
"""Steps about the nearest point: they leave a part in 1e8 of what lay between two points."""

Reach = Callable[[float], float]
"""The output for a value of the input."""

Stretch = list[tuple[float, float]]
"""Values of the input that go with the others, each with what it reaches."""


@dataclass(frozen=True)
class Solved:
    """A solution: the input, its value in SI, and what it gives in words."""

    name: str
    item: Number
    value: float
    message: str


def solve_text(
    card: Calculator, values: Values, output: str, text: str, name: str, system: str, bare: str
) -> Solved:
    """Solve for a target that was typed; ``bare`` as in ``evaluate.read``.

    Raises:
        InputError: With part "target" if the target is not understood or cannot be met.
    """
    shape = card.shape(values)
    item = _number(card, values, name)
    if output not in shape.outputs:
        known = ", ".join(shape.outputs)
        raise InputError(output, f"“{output[:40]}” is not an output. There are: {known}.", "target")
    shown = shape.outputs[output]
    unit = units.display_unit(shown.unit, system) if bare == "form" else shown.si_unit
    try:
        target = shown.read(text, unit, output)
    except InputError as error:
        raise InputError(output, error.message, "target") from error
    value = solve(card, values, output, target, name, system)
    words = f"{item.shown_text(value, system)} gives {shown.label} {shown.text(target, system)}."
    return Solved(name, item, value, f"{shape.label(name)} {words}")


def solve(
    card: Calculator,
    values: Values,
    output: str,
    target: float,
    name: str,
    system: str = "metric",
) -> float:
    """The value of input ``name``, SI, that makes ``output`` equal ``target``.

    The whole accepted range of the input is searched; stretches of it that do not go with the other
    inputs are passed over. Refusals speak the units of ``system``.

    Raises:
        InputError: If ``name`` is not a number's, or there is no solution, or more than one; or as
            the calculator refuses, where no value of the input goes with the others.
    """
    item = _number(card, values, name)
    shape = card.shape(values)

    def reach(x: float) -> float:
        return evaluate(card, values | {name: x}, shape)[output]

    points = _whole(item) if item.integer else _grid(item, _meetings(item, shape.inputs, values))
    stretches = _stretches(points, reach, exact=item.integer)
    if item.integer:
        found = _hits(stretches, target)
    else:
        is_level = shape.outputs[output].si_unit.startswith("dB")
        slack = ROUNDING_OF_A_LEVEL if is_level else 0.0
        found = [x for stretch in stretches for x in _roots(stretch, reach, target, slack)]
        if not found:
            stretches = [_nearer(stretch, reach, target) for stretch in stretches]
            found = [x for stretch in stretches for x in _roots(stretch, reach, target, slack)]
    if not found:
        reached = [y for stretch in stretches for _, y in stretch]
        message = _no_solution(item, shape.outputs[output], reached, target, system)
        raise InputError(output, message, "target")
    if len(found) > 1:
        raise InputError(output, _many(item, found, system), "target")
    return found[0]


def _number(card: Calculator, values: Values, name: str) -> Number:
    items = card.shape(values).inputs
    if name not in items:
        raise InputError(name, f"“{name[:40]}” is not an input. There are: {', '.join(items)}.")
    item = items[name]
    if not isinstance(item, Number):
        raise InputError(name, f"{item.label} is no number: it cannot be solved for.")
    return item


def _meetings(item: Number, inputs: Mapping[str, Input], values: Values) -> list[float]:
    """Where this input passes another of its unit, and just beyond: answers may turn there."""
    others = [
        float(values[key])
        for key, other in inputs.items()
        if isinstance(other, Number) and other is not item and other.si_unit == item.si_unit
    ]
    return [
        x
        for value in others
        for x in (value, value * (1 + BEYOND))
        if item.low_si < x < item.high_si
    ]


def _grid(item: Number, more: list[float]) -> list[float]:
    """The range of an input in equal steps, or in equal ratios if it spans a wide one, and more."""
    low, high = item.low_si, item.high_si
    if low > 0 and high / low > 100:
        ratio = log(high / low)
        inner = [low * exp(ratio * i / STEPS) for i in range(1, STEPS)]
    else:
        inner = [low + (high - low) * i / STEPS for i in range(1, STEPS)]
    return [low, *sorted({*inner, *more}), high]


def _whole(item: Number) -> list[float]:
    return [float(n) for n in range(int(item.low_si), int(item.high_si) + 1)]


def _stretches(points: list[float], reach: Reach, *, exact: bool) -> list[Stretch]:
    """What is reached at the points, cut where the inputs do not go together.

    Unless only ``exact`` points count, a stretch goes on from its last point to its very end.

    Raises:
        InputError: The first refusal, if there is nothing else.
    """
    reached: dict[int, float] = {}
    refusals: list[InputError] = []
    for i, x in enumerate(points):
        y = _try(reach, x)
        if isinstance(y, InputError):
            refusals.append(y)
        else:
            reached[i] = y
    if not reached:
        raise refusals[0]
    stretches: list[Stretch] = []
    for _, run in groupby(enumerate(reached), key=lambda pair: pair[1] - pair[0]):
        indices = [i for _, i in run]
        stretch = [(points[i], reached[i]) for i in indices]
        first, last = indices[0], indices[-1]
        if first > 0 and not exact:
            stretch.insert(0, _edge(reach, points[first], points[first - 1]))
        if last < len(points) - 1 and not exact:
            stretch.append(_edge(reach, points[last], points[last + 1]))
        stretches.append(stretch)
    return stretches


def _try(reach: Reach, x: float) -> float | InputError:
    try:
        return reach(x)
    except InputError as refused:
        return refused


def _edge(reach: Reach, good: float, bad: float) -> tuple[float, float]:
    """The point farthest from a good one, towards a refused one, that is still good."""
    found = (good, reach(good))
    for _ in range(60):
        middle = (good + bad) / 2
        try:
            found = (middle, reach(middle))
            good = middle
        except InputError:
            bad = middle
    return found


def _roots(stretch: Stretch, reach: Reach, target: float, slack: float) -> list[float]:
    misses = [(x, y - target) for x, y in stretch]
    scale = max(abs(target), *(abs(m) for _, m in misses)) * 1e-15
    roots = {x for x, m in misses if abs(m) <= scale}
    for (a, fa), (b, fb) in pairwise(misses):
        if min(abs(fa), abs(fb)) > scale and (fa < 0) != (fb < 0):
            x = _bisect(lambda at: reach(at) - target, a, b, fa)
            if abs(reach(x) - target) <= slack + CLOSE * max(abs(target), abs(fa), abs(fb)):
                roots.add(x)
    return sorted(roots)


def _nearer(stretch: Stretch, reach: Reach, target: float) -> Stretch:
    """The stretch with more points about its nearest one: a peak, or a jump, may hide between two.

    Up to a jump the miss shrinks, and behind it the miss is large: a golden section closes in on it
    as on a peak.
    """
    nearest = min(range(len(stretch)), key=lambda i: abs(stretch[i][1] - target))
    a, b = stretch[max(nearest - 1, 0)][0], stretch[min(nearest + 1, len(stretch) - 1)][0]
    seen: dict[float, float] = dict(stretch)

    def miss(x: float) -> float:
        if x not in seen:
            reached = _try(reach, x)
            if isinstance(reached, InputError):
                return inf
            seen[x] = reached
        return abs(seen[x] - target)

    for _ in range(GOLDEN_STEPS):
        c, d = b - GOLDEN * (b - a), a + GOLDEN * (b - a)
        if miss(c) <= miss(d):
            b = d
        else:
            a = c
    return sorted(seen.items())


def _bisect(miss: Callable[[float], float], a: float, b: float, fa: float) -> float:
    """Halve the bracket until its ends are neighbouring floats, or nearly."""
    for _ in range(200):
        middle = (a + b) / 2
        if middle in (a, b):
            break
        fm = miss(middle)
        if fm == 0:
            return middle
        if (fm < 0) == (fa < 0):
            a = middle
        else:
            b = middle
    return min((a, b), key=lambda x: abs(miss(x)))


def _hits(stretches: list[Stretch], target: float) -> list[float]:
    """The points themselves that reach the target."""
    misses = [(x, abs(y - target)) for stretch in stretches for x, y in stretch]
    scale = max(m for _, m in misses) or 1
    return [x for x, m in misses if m <= CLOSE * scale]


def _no_solution(
    item: Number, output: Output, reached: list[float], target: float, system: str
) -> str:
    low, high = (output.text(end, system) for end in (min(reached), max(reached)))
    if low == high:
        return f"{item.label} does not change {output.label}: it stays {low}."
    return (
        f"No {item.label} from {item.accepted(system)} gives exactly "
        f"{output.text(target, system)}: {output.label} goes from {low} to {high}."
    )


def _many(item: Number, found: list[float], system: str) -> str:
    if len(found) > 3:
        first, last = (item.shown_text(x, system) for x in (found[0], found[-1]))
        return f"More than one {item.label} gives it: values from {first} to {last} do."
    values = " and ".join(item.shown_text(x, system) for x in found)
    return f"More than one {item.label} gives it: {values}."
