"""Which value of one input gives a wanted value of one output."""

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, log

from calculators import units
from calculators.declare import Calculator, Choice, Number, Output, Values
from calculators.errors import InputError
from calculators.evaluate import evaluate

STEPS = 160
"""Parts the range of the input is cut into while looking for solutions."""

CLOSE = 1e-9
"""A solution's output may differ from the target by this part of it."""


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
        target = units.parse(text, unit, name=output, label=shown.label)
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

    The whole accepted range of the input is searched. Refusals speak the units of ``system``.

    Raises:
        InputError: If ``name`` is not a number's, or there is no solution, or more than one.
    """
    item = _number(card, values, name)
    shape = card.shape(values)

    def reach(x: float) -> float:
        return evaluate(card, values | {name: x}, shape)[output]

    def miss(x: float) -> float:
        return reach(x) - target

    found = _whole(item, miss) if item.integer else _roots(item, miss, target)
    if not found:
        message = _no_solution(item, shape.outputs[output], reach, target, system)
        raise InputError(output, message, "target")
    if len(found) > 1:
        raise InputError(output, _many(item, found, system), "target")
    return found[0]


def _number(card: Calculator, values: Values, name: str) -> Number:
    items = card.shape(values).inputs
    if name not in items:
        raise InputError(name, f"“{name[:40]}” is not an input. There are: {', '.join(items)}.")
    item = items[name]
    if isinstance(item, Choice):
        raise InputError(name, f"{item.label} is a choice: it cannot be solved for.")
    return item


def _grid(item: Number) -> list[float]:
    """The range of an input in equal steps, or in equal ratios if it spans a wide one."""
    low, high = item.low_si, item.high_si
    if low > 0 and high / low > 100:
        ratio = log(high / low)
        inner = [low * exp(ratio * i / STEPS) for i in range(1, STEPS)]
    else:
        inner = [low + (high - low) * i / STEPS for i in range(1, STEPS)]
    return [low, *inner, high]


def _roots(item: Number, miss: Callable[[float], float], target: float) -> list[float]:
    points = _grid(item)
    misses = [miss(x) for x in points]
    scale = max(abs(target), *(abs(m) for m in misses)) * 1e-15
    roots = [x for x, m in zip(points, misses, strict=True) if abs(m) <= scale]
    for (a, fa), (b, fb) in zip(
        zip(points, misses, strict=True), zip(points[1:], misses[1:], strict=True), strict=False
    ):
        if min(abs(fa), abs(fb)) > scale and (fa < 0) != (fb < 0):
            x = _bisect(miss, a, b, fa)
            if abs(miss(x)) <= CLOSE * max(abs(target), abs(fa), abs(fb)):
                roots.append(x)
    return sorted(roots)


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


def _whole(item: Number, miss: Callable[[float], float]) -> list[float]:
    numbers = [float(n) for n in range(int(item.low_si), int(item.high_si) + 1)]
    misses = [abs(miss(n)) for n in numbers]
    return [n for n, m in zip(numbers, misses, strict=True) if m <= CLOSE * (max(misses) or 1)]


def _no_solution(
    item: Number, output: Output, reach: Callable[[float], float], target: float, system: str
) -> str:
    points = [item.low_si, item.high_si] if item.integer else _grid(item)
    reached = [reach(x) for x in points]
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
