"""How far the answers may lie apart while every input stays within its tolerance."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise, product
from math import isclose
from random import Random

from calculators.declare import Calculator, Results, Shape, Values, Verdict
from calculators.evaluate import Spans, evaluate

MOST_CORNERS = 5
"""Inputs up to which every corner is tried (32 of them); more take too long at a keystroke."""

ROUNDING = 1e-12
"""A range narrower than this part of its answer is rounding, which machines do differently."""

DRAWS = 200
"""Draws where an answer turns along several inputs, so that corners alone may miss an extreme."""

NARROWINGS = 16
"""Steps by which an extreme between the ends of one input is closed in: to 1/2000 of the stretch in
which it was seen."""

GOLDEN = (5**0.5 - 1) / 2
"""What each such step leaves of that stretch, so that one new place a step is enough."""


@dataclass
class Spread:
    """Lowest and highest of each output, and what moves it."""

    low: Results
    high: Results
    shares: dict[str, dict[str, float]] = field(default_factory=dict)
    """By output, the part of its range that each input causes alone; the parts add up to 1."""
    margins: dict[str, tuple[float, float]] = field(default_factory=dict)
    """By output, how far it lies above its limit, at least and at most, where the limit moves."""
    method: str = "No input carries a tolerance."


def spread(card: Calculator, values: Values, spans: Spans, nominal: Results) -> Spread:
    """The range of every output.

    Where every output rises or falls steadily with each input, its extremes lie at corners of the
    box of tolerances: at all of them is looked where they are few, else at the two for each output
    that its rises and falls point to. Where an output turns along one input, its extreme is closed
    in between the ends of that one, with the others at those two corners. Where it turns along
    several, seeded draws join them.

    Raises:
        InputError: If the inputs do not go together somewhere within their tolerances.
    """
    if not spans:
        return Spread(dict(nominal), dict(nominal))
    shape = card.shape(values)

    judged = _moving_limits(shape, spans)

    def at(changed: Values) -> Results:
        given = values | changed
        return _with_margins(judged, given, evaluate(card, given, shape))

    nominal = _with_margins(judged, values, nominal)
    found = Spread(dict(nominal), dict(nominal))
    sweeps = {
        name: _sweep(at, name, (low, float(values[name]), high), nominal)
        for name, (low, high) in spans.items()
    }
    series = {name: _by_output(sweep) for name, sweep in sweeps.items()}
    for sweep in sweeps.values():
        _widen(found, sweep)
    for output in nominal:
        widths = {name: max(of[output]) - min(of[output]) for name, of in series.items()}
        found.shares[output] = _normalised(widths)
    _widen(found, [at(corner) for corner in _corners(spans, sweeps, nominal)])
    along_one, along_several = _turning(series)
    for output, name in along_one.items():
        _widen(found, _inside(at, output, name, spans, sweeps))
    if along_several:
        _widen(found, [at(draw) for draw in _draws(spans)])
    found.method = _method(spans, bool(along_one), along_several)
    _without_rounding(found, nominal)
    for margin, (name, _) in judged.items():
        found.margins[name] = found.low.pop(margin), found.high.pop(margin)
        del found.shares[margin]
    return found


def _moving_limits(shape: Shape, spans: Spans) -> dict[str, tuple[str, Verdict]]:
    """The verdicts whose limit the tolerances may move as well as the answer, by their margin.

    A margin is called what no output can be; its output's name stands with the verdict.
    """
    return {
        f"{key} over its limit": (key, output.verdict)
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


def _with_margins(
    judged: Mapping[str, tuple[str, Verdict]], values: Values, results: Results
) -> Results:
    """Results, and how far each of these outputs lies above its limit at the very same inputs."""
    if not judged:
        return results
    together = values | results
    margins = {
        margin: verdict.over_limit(results[name], together)
        for margin, (name, verdict) in judged.items()
    }
    return results | margins


def _without_rounding(found: Spread, nominal: Results) -> None:
    """An answer that no tolerance moves has no range, and nothing that makes it."""
    for output, value in nominal.items():
        if isclose(found.low[output], found.high[output], rel_tol=ROUNDING):
            found.low[output] = found.high[output] = value
            found.shares[output] = dict.fromkeys(found.shares[output], 0.0)


def _sweep(
    at: Callable[[Values], Results],
    name: str,
    points: tuple[float, float, float],
    nominal: Results,
) -> list[Results]:
    """Results while one input goes from low over its value to high and the others stay."""
    low, value, high = points
    before, after = at({name: (low + value) / 2}), at({name: (value + high) / 2})
    return [at({name: low}), before, nominal, after, at({name: high})]


def _by_output(sweep: list[Results]) -> dict[str, tuple[float, ...]]:
    """The values of each output along a sweep."""
    columns = zip(*(results.values() for results in sweep), strict=True)
    return dict(zip(sweep[0], columns, strict=True))


def _turning(series: Mapping[str, Mapping[str, tuple[float, ...]]]) -> tuple[dict[str, str], bool]:
    """By output the one input along which it turns, and whether any output turns along several."""
    turning: dict[str, list[str]] = {}
    for name, of in series.items():
        for output, points in of.items():
            if not _steady(points):
                turning.setdefault(output, []).append(name)
    along_one = {output: names[0] for output, names in turning.items() if len(names) == 1}
    return along_one, len(along_one) < len(turning)


def _method(spans: Spans, along_one: bool, along_several: bool) -> str:
    """How the range was found, in words."""
    which = f"all {2 ** len(spans)} corners" if _few(spans) else "the corners that decide"
    more = ", and between them where an answer turns" if along_one else ""
    drawn = f", and of {DRAWS} seeded draws" if along_several else ""
    return f"Lowest and highest of {which}, each tolerance at one of its ends{more}{drawn}."


def _few(spans: Spans) -> bool:
    return len(spans) <= MOST_CORNERS


def _steady(points: tuple[float, ...]) -> bool:
    """Whether points only rise or only fall, but for rounding."""
    a, b, c, d, e = points
    if a <= b <= c <= d <= e or a >= b >= c >= d >= e:
        return True
    slack = ROUNDING * max(map(abs, points))
    steps = [after - before for before, after in pairwise(points)]
    return min(steps) >= -slack or max(steps) <= slack


def _normalised(widths: dict[str, float]) -> dict[str, float]:
    total = sum(widths.values())
    return {name: width / total if total else 0.0 for name, width in widths.items()}


def _widen(found: Spread, more: list[Results]) -> None:
    for output, values in _by_output(more).items():
        found.low[output] = min(found.low[output], *values)
        found.high[output] = max(found.high[output], *values)


def _corners(spans: Spans, sweeps: dict[str, list[Results]], nominal: Results) -> Iterator[Values]:
    """All corners if they are few, else the two per output that its sweeps point to."""
    if _few(spans):
        for ends in product(*spans.values()):
            yield dict(zip(spans, ends, strict=True))
        return
    pointed: dict[tuple[bool, ...], None] = {}  # outputs often share a corner: each once
    for output in nominal:
        pointed |= dict.fromkeys(_pointed(output, spans, sweeps))
    for ends in pointed:
        yield _corner(spans, ends)


def _pointed(
    output: str, spans: Spans, sweeps: Mapping[str, list[Results]]
) -> tuple[tuple[bool, ...], tuple[bool, ...]]:
    """By input whether it is at its high end where this output is lowest, and where highest."""
    rises = tuple(sweeps[name][-1][output] >= sweeps[name][0][output] for name in spans)
    return tuple(not up for up in rises), rises


def _corner(spans: Spans, ends: tuple[bool, ...]) -> Values:
    return {name: spans[name][end] for name, end in zip(spans, ends, strict=True)}


def _inside(
    at: Callable[[Values], Results],
    output: str,
    along: str,
    spans: Spans,
    sweeps: Mapping[str, list[Results]],
) -> list[Results]:
    """Results on the way to the extremes of an output that turns along one input."""
    seen: list[Results] = []
    for sign, ends in zip((-1, 1), _pointed(output, spans, sweeps), strict=True):
        corner = _corner(spans, ends)

        def height(place: float, sign: int = sign, corner: Values = corner) -> float:
            seen.append(at(corner | {along: place}))
            return sign * seen[-1][output]

        _climb(height, *spans[along])
    return seen


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


def _draws(spans: Spans) -> Iterator[Values]:
    chances = _chances(len(spans))
    for one in range(DRAWS):
        row = chances[one * len(spans) : (one + 1) * len(spans)]
        yield {
            name: low + (high - low) * chance
            for (name, (low, high)), chance in zip(spans.items(), row, strict=True)
        }


@cache
def _chances(inputs: int) -> list[float]:
    """What is drawn for so many inputs, draw by draw, from 0 to below 1: the same each time."""
    random = Random(1)
    return [random.random() for _ in range(DRAWS * inputs)]
