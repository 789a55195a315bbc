"""How far the answers may lie apart while every input stays within its tolerance."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise, product
from math import isclose
from random import Random

from calculators.declare import Calculator, Results, Shape, Values, Verdict
from calculators.evaluate import Spans, answers

MOST_CORNERS = 5
"""Inputs up to which every corner is tried (32 of them); more take too long at a keystroke."""

ROUNDING = 1e-12
"""A range narrower than this part of its answer is rounding, which machines do differently."""

DRAWS = 200
"""Draws where an answer turns along several inputs, so that corners alone may miss an extreme."""

EVEN = 1.25
"""Where an answer is so much steeper on one side of a value than on the other, it may turn there.

A parabola that turns on one side falls there, or is three times as steep on the other (twice, if
that side is very short). Answers with more bends than one are why it is no more."""

NARROWINGS = 16
"""Steps by which an extreme between the ends of one input is closed in: to 1/2000 of the stretch in
which it was seen."""

GOLDEN = (5**0.5 - 1) / 2
"""What each such step leaves of that stretch, so that one new place a step is enough."""


Place = tuple[float, ...]
"""A value of each input that carries a tolerance, in the order of the spans."""

Answers = tuple[float, ...]
"""Each output at a place, in order; then how far each that has a limit that moves is above it."""

Margin = Callable[[Values, Answers], float]
"""How far an output lies above its limit, at inputs and outputs."""

Sweep = tuple[Answers, ...]
"""Answers while one input goes from low over its value to high and the others stay: at these three
places, and half-way between them where that may show a turn."""

ENDS_AND_VALUE = 3
"""Places of a sweep that did not look between."""

Course = tuple[list[float], list[int]]
"""How far each output goes along a sweep, and which turn there by more than rounding."""

Ends = tuple[bool, ...]
"""A corner: for each input whether it is at its high end."""


@dataclass
class Spread:
    """Lowest and highest of each output, and what moves it."""

    low: Results
    high: Results
    inputs: tuple[str, ...] = ()
    """Those that carry a tolerance."""
    moves: dict[str, tuple[float, ...]] = field(default_factory=dict)
    """By output, how far each of these inputs moves it alone."""
    margins: dict[str, tuple[float, float]] = field(default_factory=dict)
    """By output, how far it lies above its limit, at least and at most, where the limit moves."""
    method: str = "No input carries a tolerance."

    def shares(self, output: str) -> dict[str, float]:
        """The part of its range that each input causes alone; the parts add up to 1.

        An answer that no tolerance moves has no range, and nothing that makes it.
        """
        moves = self.moves.get(output, ())
        total = sum(moves) if self.low[output] < self.high[output] else 0.0
        if not total:
            return dict.fromkeys(self.inputs, 0.0)
        return {name: move / total for name, move in zip(self.inputs, moves, strict=True)}


def spread(card: Calculator, values: Values, spans: Spans, nominal: Results) -> Spread:
    """The range of every output.

    Where every output rises or falls steadily with each input, its extremes lie at corners of the
    box of tolerances: at all of them is looked where they are few, else at the two for each output
    that its rises and falls point to. Where an output is not about as steep on both sides of an
    input's value, places between are tried as well. Where it turns along one input, its extreme is
    closed in between the ends of that one, with the others at those two corners. Where it turns
    along several, seeded draws join them.

    Raises:
        InputError: If the inputs do not go together somewhere within their tolerances.
    """
    if not spans:
        return Spread(dict(nominal), dict(nominal))
    box = _Box(card, values, spans, nominal)
    sweeps = [box.sweep(index) for index in range(len(spans))]
    pointed = _pointed(sweeps)
    for corner in _corners(len(spans), pointed):
        box.at(box.place(corner))
    courses = [_course(sweep) for sweep in sweeps]
    along_one, along_several = _turning(courses)
    for output, index in along_one.items():
        for sign, corner in zip((-1, 1), pointed[output], strict=True):
            box.climb(sign, output, index, box.place(corner))
    if along_several:
        for place in _draws(box.spans):
            box.at(place)
    method = _method(len(spans), bool(along_one), along_several)
    return box.spread([moves for moves, _ in courses], method)


class _Box:
    """What the tolerances allow, and the answers at every place of it that was looked at.

    Ways to two extremes may share places: each is worked out once.
    """

    def __init__(self, card: Calculator, values: Values, spans: Spans, nominal: Results) -> None:
        self.card, self.values, self.shape = card, values, card.shape(values)
        self.names, self.spans = tuple(spans), tuple(spans.values())
        self.order = {key: n for n, key in enumerate(self.shape.outputs)}
        self.margins = {
            key: _margin(verdict, self.order[key], self.order)
            for key, verdict in _moving_limits(self.shape, spans).items()
        }
        self.middle = tuple(float(values[name]) for name in spans)
        self.nominal = self._with_margins(values, tuple(nominal.values()))
        self.seen = {self.middle: self.nominal}

    def at(self, place: Place) -> Answers:
        """The answers there."""
        return self._seen_at(place, self._values(place))

    def moved(self, place: Place, given: Values, index: int, value: float) -> Answers:
        """The answers where one input is another than at a place that has these values."""
        there = (*place[:index], value, *place[index + 1 :])
        return self._seen_at(there, given | {self.names[index]: value})

    def _values(self, place: Place) -> Values:
        return self.values | dict(zip(self.names, place, strict=True))

    def _seen_at(self, place: Place, given: Values) -> Answers:
        found = self.seen.get(place)
        if found is None:
            found = self._with_margins(given, answers(self.card, given, self.shape))
            self.seen[place] = found
        return found

    def _with_margins(self, values: Values, found: Answers) -> Answers:
        """And how far those with a limit that moves are above it at the same inputs."""
        return (*found, *[margin(values, found) for margin in self.margins.values()])

    def sweep(self, index: int) -> Sweep:
        """The answers along one input."""
        (low, high), value = self.spans[index], self.middle[index]
        first, last = self._along(index, low, high)
        if _is_even(low, value, high, (first, self.nominal, last)):
            return first, self.nominal, last
        before, after = self._along(index, (low + value) / 2, (value + high) / 2)
        return first, before, self.nominal, after, last

    def _along(self, index: int, *places: float) -> list[Answers]:
        return [self.moved(self.middle, self.values, index, x) for x in places]

    def place(self, corner: Ends) -> Place:
        """Where this corner lies."""
        return tuple([span[end] for span, end in zip(self.spans, corner, strict=True)])

    def climb(self, sign: int, output: int, index: int, corner: Place) -> None:
        """Look on the way to where an output is highest, or lowest (sign -1), along one input."""

        given = self._values(corner)

        def height(x: float) -> float:
            return sign * self.moved(corner, given, index, x)[output]

        _climb(height, *self.spans[index])

    def spread(self, moves: Sequence[Sequence[float]], method: str) -> Spread:
        """Lowest and highest of all that was seen, but for what is rounding.

        ``moves`` is by input how far it moves each output.
        """
        low, high = [], []
        for value, seen in zip(self.nominal, zip(*self.seen.values(), strict=True), strict=True):
            least, most = min(seen), max(seen)
            is_one = isclose(least, most, rel_tol=ROUNDING)
            low.append(value if is_one else least)
            high.append(value if is_one else most)
        count = len(self.order)
        return Spread(
            dict(zip(self.order, low, strict=False)),
            dict(zip(self.order, high, strict=False)),
            self.names,
            dict(zip(self.order, zip(*moves, strict=True), strict=False)),
            dict(zip(self.margins, zip(low[count:], high[count:], strict=True), strict=True)),
            method,
        )


def _moving_limits(shape: Shape, spans: Spans) -> dict[str, Verdict]:
    """The verdicts whose limit the tolerances may move as well as the answer, by output."""
    return {
        key: output.verdict
        for key, output in shape.outputs.items()
        if output.verdict is not None
        and output.verdict.level is None
        and _may_move(output.verdict.limit, shape, spans)
    }


def _may_move(limit: float | str | Callable[..., float], shape: Shape, spans: Spans) -> bool:
    """Whether a limit is worked out, or another answer, or an input that carries a tolerance."""
    return callable(limit) or (
        isinstance(limit, str) and (limit in spans or limit in shape.outputs)
    )


def _margin(verdict: Verdict, output: int, order: Mapping[str, int]) -> Margin:
    """How far this output lies above its limit, from inputs by name and outputs in their order."""
    limit = verdict.limit
    if not isinstance(limit, str):
        return lambda values, found: verdict.above(
            found[output], verdict.limit_in(values | dict(zip(order, found, strict=True)))
        )
    if limit in order:
        other = order[limit]
        return lambda _, found: verdict.above(found[output], found[other])
    return lambda values, found: verdict.above(found[output], float(values[limit]))


def _corners(inputs: int, pointed: Sequence[tuple[Ends, Ends]]) -> Iterable[Ends]:
    """All corners if they are few, else the two per output that its sweeps point to."""
    if _few(inputs):
        return product((False, True), repeat=inputs)
    return dict.fromkeys(corner for both in pointed for corner in both)  # outputs often share one


def _few(inputs: int) -> bool:
    return inputs <= MOST_CORNERS


def _pointed(sweeps: Sequence[Sweep]) -> list[tuple[Ends, Ends]]:
    """By output the corners where it is lowest and where highest, as its rises and falls say."""
    firsts = zip(*[sweep[0] for sweep in sweeps], strict=True)
    lasts = zip(*[sweep[-1] for sweep in sweeps], strict=True)
    found = []
    for first, last in zip(firsts, lasts, strict=True):
        rises = tuple([b >= a for a, b in zip(first, last, strict=True)])
        found.append((tuple([not up for up in rises]), rises))
    return found


def _is_even(low: float, value: float, high: float, ends: tuple[Answers, Answers, Answers]) -> bool:
    """Whether every answer is about as steep on both sides of a value, so that none turns."""
    left, right = value - low, high - value
    if left <= 0 or right <= 0:
        return False
    longer = right / left
    for a, b, c in zip(*ends, strict=True):
        before, after = (b - a) * longer, c - b
        if before == after or (before and 1 / EVEN <= after / before <= EVEN):
            continue
        if max(a, b, c) - min(a, b, c) > ROUNDING * max(abs(a), abs(b), abs(c)):
            return False
    return True


def _course(sweep: Sweep) -> Course:
    """The course of the outputs along a sweep; where none was looked at between, none turns."""
    if len(sweep) == ENDS_AND_VALUE:
        return [abs(b - a) for a, b in zip(sweep[0], sweep[-1], strict=True)], []
    points = list(zip(*sweep, strict=True))
    moves = [max(each) - min(each) for each in points]
    return moves, [output for output, each in enumerate(points) if _turns(each)]


def _turns(points: tuple[float, ...]) -> bool:
    """Whether points rise and fall by more than rounding."""
    steps = [after - before for before, after in pairwise(points)]
    down, up = min(steps), max(steps)
    if not down < 0 < up:
        return False
    slack = ROUNDING * max(map(abs, points))
    return down < -slack and up > slack


def _turning(courses: Sequence[Course]) -> tuple[dict[int, int], bool]:
    """By output the one input along which it turns, and whether any output turns along several."""
    turning: dict[int, list[int]] = {}
    for index, (_, outputs) in enumerate(courses):
        for output in outputs:
            turning.setdefault(output, []).append(index)
    along_one = {output: found[0] for output, found in turning.items() if len(found) == 1}
    return along_one, len(along_one) < len(turning)


def _method(inputs: int, along_one: bool, along_several: bool) -> str:
    """How the range was found, in words."""
    which = f"all {2**inputs} corners" if _few(inputs) else "the corners that decide"
    more = ", and between them where an answer turns" if along_one else ""
    drawn = f", and of {DRAWS} seeded draws" if along_several else ""
    return f"Lowest and highest of {which}, each tolerance at one of its ends{more}{drawn}."


def _climb(height: Callable[[float], float], low: float, high: float) -> None:
    """Ask for a height ever nearer to the top between two places, if there is one.

    Where the highest of five places lies between others, golden sections close in on the top.
    """
    places = [low + (high - low) * part / 4 for part in range(5)]
    heights = [height(place) for place in places]
    top = heights.index(max(heights))
    if top in (0, len(places) - 1):
        return
    left, right = places[top - 1], places[top + 1]
    nearer, farther = right - GOLDEN * (right - left), left + GOLDEN * (right - left)
    before, after = height(nearer), height(farther)
    for _ in range(NARROWINGS):
        if before > after:
            right, farther, after = farther, nearer, before
            nearer = right - GOLDEN * (right - left)
            before = height(nearer)
        else:
            left, nearer, before = nearer, farther, after
            farther = left + GOLDEN * (right - left)
            after = height(farther)


def _draws(spans: Sequence[tuple[float, float]]) -> Iterator[Place]:
    """Places within the tolerances, the same each time."""
    inputs = len(spans)
    chances = _chances(inputs)
    for one in range(DRAWS):
        row = chances[one * inputs : (one + 1) * inputs]
        yield tuple(
            low + (high - low) * chance for (low, high), chance in zip(spans, row, strict=True)
        )


@cache
def _chances(inputs: int) -> list[float]:
    """What is drawn for so many inputs, draw by draw, from 0 to below 1: the same each time."""
    random = Random(1)
    return [random.random() for _ in range(DRAWS * inputs)]
