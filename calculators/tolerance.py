"""How far the answers may lie apart while every input stays within its tolerance."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from itertools import product
from math import isclose
from random import Random

from calculators.declare import Calculator, Results, Shape, Values, Verdict
from calculators.evaluate import Spans, evaluate

MOST_CORNERS = 5
"""Inputs up to which every corner is tried (32 of them); more take too long at a keystroke."""

ROUNDING = 1e-12
"""A range narrower than this part of its answer is rounding, which machines do differently."""

DRAWS = 200
"""Draws where corners alone may miss an extreme."""


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
    that its rises and falls point to. Where an output is not steady, seeded draws join them.

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
    steady = all(_steady(*points) for of in series.values() for points in of.values())
    _widen(found, [at(corner) for corner in _corners(spans, sweeps, nominal)])
    every = len(spans) <= MOST_CORNERS
    which = f"all {2 ** len(spans)} corners" if every else "the corners that decide"
    corners = f"{which}, each tolerance at one of its ends"
    found.method = f"Lowest and highest of {corners}."
    if not steady:
        _widen(found, [at(draw) for draw in _draws(spans)])
        found.method = f"Lowest and highest of {corners}, and of {DRAWS} seeded draws."
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
        margin: results[name] - verdict.limit_in(together)
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


def _steady(a: float, b: float, c: float, d: float, e: float) -> bool:
    return a <= b <= c <= d <= e or a >= b >= c >= d >= e


def _normalised(widths: dict[str, float]) -> dict[str, float]:
    total = sum(widths.values())
    return {name: width / total if total else 0.0 for name, width in widths.items()}


def _widen(found: Spread, more: list[Results]) -> None:
    for output, values in _by_output(more).items():
        found.low[output] = min(found.low[output], *values)
        found.high[output] = max(found.high[output], *values)


def _corners(spans: Spans, sweeps: dict[str, list[Results]], nominal: Results) -> Iterator[Values]:
    """All corners if they are few, else the two per output that its sweeps point to."""
    if len(spans) <= MOST_CORNERS:
        for ends in product(*spans.values()):
            yield dict(zip(spans, ends, strict=True))
        return
    pointed: dict[tuple[bool, ...], None] = {}  # outputs often share a corner: each once
    for output in nominal:
        rises = tuple(sweeps[name][-1][output] >= sweeps[name][0][output] for name in spans)
        pointed |= dict.fromkeys((rises, tuple(not up for up in rises)))
    for ends in pointed:
        yield {name: spans[name][end] for name, end in zip(spans, ends, strict=True)}


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
