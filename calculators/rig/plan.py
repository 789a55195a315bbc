"""A rig at one point of its tolerances, fast: only what a change reaches is worked out again.

A plan is made once of a rig that has been evaluated. It knows which input of which calculator takes
which entry, or what another calculator gives. Then it answers what every calculator gives where
numbers are others, without ranges, through the same functions and with the same refusals as
everything else.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import inf

from calculators.declare import Calculator, Input, Level, Number, Shape, Value, Values, Verdict
from calculators.errors import InputError
from calculators.evaluate import asked, evaluate, evaluate_apart
from calculators.rig.graph import Evaluated, Node, check
from calculators.rig.model import Rig, Stated
from calculators.rig.requirements import is_required
from calculators.rig.schema import Place, entry_of, label_of
from calculators.units import Tolerance

Part = str | Place
"""What may have another value: an entry of the rig, by key, or what a calculator takes as usual."""


@dataclass(frozen=True)
class Judged:
    """One output that is required of a rig, held against its limit.

    ``name`` is that of ``requirements.Requirement``; ``label`` what a reader calls it.
    """

    card: str
    key: str
    name: str
    label: str
    verdict: Verdict

    def level(self, answer: Mapping[str, Value]) -> Level:
        """What the output gets where inputs and outputs are just these."""
        value = float(answer[self.key])
        return self.verdict.judged(answer, value, value)[0]

    def margin(self, answer: Mapping[str, Value]) -> float:
        """How far the output lies on the good side of its limit, SI."""
        beyond = float(answer[self.key]) - self.verdict.limit_in(answer)
        return -beyond if self.verdict.better == "below" else beyond


@dataclass
class Point:
    """A rig at one point: inputs and outputs of every calculator with an answer, by its name.

    ``refused`` says which calculators have none because their inputs do not go together.
    """

    answers: dict[str, Values] = field(default_factory=dict)
    refused: dict[str, InputError] = field(default_factory=dict)


@dataclass(frozen=True)
class Step:
    """One calculator of a plan: its values, and which of its inputs come from where."""

    card: Calculator
    shape: Shape
    values: Values
    parts: Mapping[str, Part]
    derived: Mapping[str, Place]
    tolerances: Mapping[str, Tolerance]
    required: bool
    without: frozenset[str]

    @classmethod
    def of(cls, node: Node, rig: Rig) -> "Step":
        """The step of a calculator to which nothing is missing."""
        values = node.given.values | {k: rig.stated[key].value for k, key in node.stated.items()}
        inputs = node.shape.inputs
        open_keys = {key for key, item in inputs.items() if asked(node.card, key, item, values)}
        parts: dict[str, Part] = {key: Place(node.card.id, key) for key in node.usual}
        parts |= node.stated
        stated = {key: rig.stated[entry].tolerance for key, entry in node.stated.items()}
        usual = {key: node.given.tolerances.get(key) for key in node.usual}
        return cls(
            card=node.card,
            shape=node.shape,
            values=values,
            parts=parts,
            derived=node.derived,
            tolerances={k: t for k, t in (usual | stated).items() if t and k in open_keys},
            required=node.required,
            without=node.without,
        )

    @cached_property
    def judged(self) -> tuple[Judged, ...]:
        """What is required of a rig among the outputs."""
        if not self.required:
            return ()
        return tuple(
            Judged(
                self.card.id,
                key,
                f"{self.card.id}.{key}",
                f"{self.shape.label(key)} ({self.card.title})",
                output.verdict,
            )
            for key, output in self.shape.outputs.items()
            if output.verdict and is_required(output.verdict, self.without)
        )

    def check(self) -> None:
        """Refuse what this calculator does not accept of what the rig states."""
        for key in self.parts:
            check(self.shape.inputs[key], key, Stated(self.values[key]))


@dataclass(frozen=True)
class Stop:
    """A step on a route: which inputs to look up, and between which ends they are accepted."""

    step: Step
    parts: list[tuple[Part, str, float, float]]
    derived: list[tuple[str, str, str, float, float]]
    apart: frozenset[str] = frozenset()
    """The outputs that are wanted, where they can be had without the others."""

    @classmethod
    def of(cls, step: Step, known: set[Part]) -> "Stop":
        """The stop of a step, given the parts that may be others."""
        inputs = step.shape.inputs
        return cls(
            step,
            [(part, key, *_ends(inputs[key])) for key, part in step.parts.items() if part in known],
            [(p.card, p.name, key, *_ends(inputs[key])) for key, p in step.derived.items()],
        )

    def answer(self, changed: Mapping[Part, float], answers: Mapping[str, Values]) -> Values | None:
        """Inputs and outputs; None if what it asks another calculator for has no answer.

        Raises:
            InputError: If a value is out of range, or the inputs do not go together.
        """
        step = self.step
        values = step.values.copy()
        for card, name, key, low, high in self.derived:
            if card not in answers:
                return None
            values[key] = value = float(answers[card][name])
            if not low <= value <= high:
                check(step.shape.inputs[key], key, Stated(value))
        for part, key, low, high in self.parts:
            values[key] = value = changed[part]
            if not low <= value <= high:
                check(step.shape.inputs[key], key, Stated(value))
        if self.apart:
            values.update(evaluate_apart(step.card, values, self.apart, step.shape))
        else:
            values.update(evaluate(step.card, values, step.shape))
        return values

    def settle(self, changed: Mapping[Part, float], point: Point) -> None:
        """Put the answer of the calculator into the point, or that it has none."""
        name = self.step.card.id
        try:
            answer = self.answer(changed, point.answers)
        except InputError as error:
            answer = None
            point.refused[name] = error
        else:
            point.refused.pop(name, None)
        if answer is None:
            point.answers.pop(name, None)
        else:
            point.answers[name] = answer


def _ends(item: Input) -> tuple[float, float]:
    """Between which a number is accepted without a closer look."""
    if not isinstance(item, Number):
        return -inf, inf
    return (inf, -inf) if item.integer else (item.low_si, item.high_si)


class Plan:
    """Every calculator of a rig to which nothing is missing, ready to be asked again.

    A calculator that the rig as a whole refuses takes part as well: its inputs may go together at
    other points of their tolerances.
    """

    def __init__(self, rig: Rig, nodes: Evaluated) -> None:
        self.steps = {name: Step.of(n, rig) for name, n in nodes.items() if not n.missing}
        self.base = Point()
        for name, step in self.steps.items():
            results = nodes[name].results
            if results is not None:
                self.base.answers[name] = {**step.values, **results}
            else:
                self._settle_refused(step)

    def _settle_refused(self, step: Step) -> None:
        """A calculator that has no answer within its tolerances may have one without them."""
        try:
            step.check()
        except InputError as error:
            self.base.refused[step.card.id] = error
        else:
            Stop.of(step, set()).settle({}, self.base)

    @cached_property
    def judged(self) -> dict[str, Judged]:
        """Everything that is required of the rig, by name."""
        return {one.name: one for step in self.steps.values() for one in step.judged}

    def before(self, cards: Iterable[str]) -> set[str]:
        """These calculators, and all whose answers they ask for."""
        found = set(cards)
        for name in reversed(self.steps):
            if name in found:
                found |= {place.card for place in self.steps[name].derived.values()}
        return found

    def route(self, parts: Iterable[Part], cards: Iterable[str] | None = None) -> "Route":
        """How to find what changes with these parts, which are numbers.

        ``cards`` are the calculators to be known, all with requirements unless they are named. Of
        others only what they ask for need be worked out.
        """
        wanted = {one.card for one in self.judged.values()} if cards is None else set(cards)
        needed, known = self.before(wanted), set(parts)
        reached: set[str] = set()
        stops: list[Stop] = []
        for name, step in self.steps.items():
            stop = Stop.of(step, known)
            asks = any(place.card in reached for place in step.derived.values())
            if name in needed and (stop.parts or asks):
                reached.add(name)
                stops.append(stop)
        return Route(self, [self._lightened(stop, stops, wanted) for stop in stops])

    def _lightened(self, stop: Stop, stops: list[Stop], wanted: set[str]) -> Stop:
        """The stop without what nobody on the route asks for, where that can be left out."""
        card = stop.step.card
        asked_for = {name for s in stops for place, name, *_ in s.derived if place == card.id}
        if card.id in wanted or not asked_for <= card.apart.keys():
            return stop
        return replace(stop, apart=frozenset(asked_for))


@dataclass(frozen=True)
class Route:
    """The calculators that some parts reach, in order, each with its inputs that are such."""

    plan: Plan
    stops: list[Stop]

    def at(self, changed: Mapping[Part, float]) -> Point:
        """The rig where these parts, which are all of the route, have these values."""
        base = self.plan.base
        point = Point(base.answers.copy(), base.refused.copy())
        for stop in self.stops:
            stop.settle(changed, point)
        return point

    @cached_property
    def judged(self) -> tuple[Judged, ...]:
        """The requirements that these parts reach."""
        return tuple(one for stop in self.stops for one in stop.step.judged)

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """The parts that reach anything, each once."""
        return tuple({part: None for stop in self.stops for part, *_ in stop.parts})


def missed(judged: Iterable[Judged], point: Point) -> Iterator[tuple[str, bool]]:
    """The requirements that are not met at a point, and whether that ends the deployment.

    A calculator without an answer meets nothing.
    """
    for one in judged:
        answer = point.answers.get(one.card)
        if answer is None or one.level(answer) != "good":
            yield one.name, one.verdict.ends


def part_label(part: Part, plan: Plan) -> str:
    """What a reader calls it: the label of an entry, with its row; or of a calculator's input."""
    if isinstance(part, Place):
        step = plan.steps[part.card]
        return f"{step.shape.label(part.name)} ({step.card.title})"
    return label_of(part)


def item_of(part: Part, plan: Plan) -> Input:
    """How a part is declared."""
    if isinstance(part, Place):
        return plan.steps[part.card].shape.inputs[part.name]
    return entry_of(part)[0].item
