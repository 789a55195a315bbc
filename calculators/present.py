"""Answers as a reader sees them: texts, ranges, verdicts, working and pictures, ready to place."""

import re
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import log
from typing import Any

from calculators import entries, units
from calculators.declare import (
    Calculator,
    Number,
    Output,
    Plot,
    Results,
    Shape,
    Values,
    Verdict,
    Written,
)
from calculators.drawing import as_data
from calculators.evaluate import Given, asked, evaluate
from calculators.fills import standing
from calculators.formula import Call, tracing
from calculators.tolerance import Spread, spread

Json = dict[str, Any]

LOG_BAR = 8
"""A range bar whose ends differ by more than this ratio gets a logarithmic axis."""

_SMALL = str.maketrans("0123456789aehijklmnoprstuvx", "₀₁₂₃₄₅₆₇₈₉ₐₑₕᵢⱼₖₗₘₙₒₚᵣₛₜᵤᵥₓ")
_PLACE = re.compile(r"\{(\w+)\}")

LABEL_ROOM = 0.17
"""Room that a number under the range bar takes, as a part of its width."""


@dataclass
class Worked:
    """One calculation with all that is shown of it."""

    card: Calculator
    shape: Shape
    given: Given
    results: Results
    calls: list[Call]
    spread: Spread
    system: str

    @property
    def all_values(self) -> Values:
        """Every input and output by name."""
        return {**self.given.values, **self.results}


def work(card: Calculator, given: Given, system: str) -> Worked:
    """Calculate once with the working traced, and once over the tolerances.

    Raises:
        InputError: If the values do not go together.
    """
    with tracing() as calls:
        results = evaluate(card, given.values)
    shape = card.shape(given.values)
    spans = {
        key: span
        for key, span in given.spans.items()
        if asked(card, key, shape.inputs[key], given.values)
    }
    found = spread(card, given.values, spans, results)
    return Worked(card, shape, given, results, calls, found, system)


def answer(worked: Worked, *, plot: bool = True) -> Json:
    """All that a page, the command line or a print shows of a calculation."""
    card, given, results = worked.card, worked.given, worked.results
    outputs = worked.shape.outputs
    first = next(iter(outputs))
    return {
        "outputs": [output_json(worked, key, output) for key, output in outputs.items()],
        "shares": worked.spread.shares(first),
        "range_method": worked.spread.method,
        "working": working(worked),
        "cautions": [
            {"title": c.title, "text": c.text}
            for c in card.cautions
            if c.when(given.values, results)
        ],
        "remarks": _remarks(worked),
        "drawing": _drawing(worked),
        "plot": _plot(worked) if plot and card.plot else None,
        "fills": standing(card, given),
        "exports": [
            {
                "name": e.name,
                "label": e.label,
                "file": e.file,
                "text": e.text(given.values, results),
            }
            for e in card.exports
        ],
    }


def _remarks(worked: Worked) -> list[str]:
    """What the card says in words; values are those given, not the ends of their tolerances."""
    said = worked.card.remarks
    return said(worked.given.values, worked.results, worked.system) if said else []


def _drawing(worked: Worked) -> Json | None:
    draw = worked.card.drawing
    return as_data(draw(worked.given.values, worked.results, worked.system)) if draw else None


def output_json(worked: Worked, key: str, output: Output) -> Json:
    """One answer as data: its texts, range, verdict and what moves it most."""
    low, high = worked.spread.low[key], worked.spread.high[key]
    text = output.text(worked.results[key], worked.system)
    number, reference = entries.split_reference(text)
    between = range_text(output, low, high, worked.system)
    return {
        "name": key,
        "label": worked.shape.label(key),
        "text": text,
        "number": number,
        "reference": reference,
        "range_text": between,
        "value": worked.results[key],
        "low": low,
        "high": high,
        "unit": output.si_unit,
        "help": output.help,
        "verdict": _verdict(worked, key, output),
        "bar": _bar(worked, key, output),
        # What moves it by less than a reader can see is not worth a word.
        "by": _by(worked, key) if between else None,
    }


def range_text(output: Output, low: float, high: float, system: str) -> str:
    """From low to high, empty where a reader cannot tell them apart."""
    low, high = entries.without_dust(low, high)
    ends = output.text(low, system), output.text(high, system)
    return entries.range_text(*ends) if ends[0] != ends[1] else ""


def _verdict(worked: Worked, key: str, output: Output) -> Json | None:
    verdict = output.verdict
    if verdict is None:
        return None
    limit = verdict.limit_in(worked.all_values)
    level, text = _judged(worked, key, verdict)
    shown = entries.shown_text(limit, output.unit, worked.system)
    return {
        "level": level,
        "text": text.format(limit=shown),
        "limit": limit,
        "limit_text": shown,
        "source": verdict.source,
    }


def _judged(worked: Worked, key: str, verdict: Verdict) -> tuple[str, str]:
    """Level and text; where the limit moves as well, the two are held together at every corner."""
    if key in worked.spread.margins:
        return verdict.judge(*worked.spread.margins[key], 0.0)
    ends = worked.spread.low[key], worked.spread.high[key]
    return verdict.judged(worked.all_values, *ends)


def _by(worked: Worked, key: str) -> Json | None:
    """The input that moves this output most within its tolerance."""
    shares = worked.spread.shares(key)
    if not any(shares.values()):
        return None
    name = max(shares, key=lambda n: shares[n])
    return {"input": name, "label": worked.shape.label(name), "share": shares[name]}


def _bar(worked: Worked, key: str, output: Output) -> Json | None:
    """Places, 0 to 1, of the range, the nominal answer and the limit on one axis."""
    low, high, nominal = worked.spread.low[key], worked.spread.high[key], worked.results[key]
    limit = output.verdict.limit_in(worked.all_values) if output.verdict else None
    marks = [low, high, nominal, *([] if limit is None else [limit])]
    if min(marks) == max(marks):
        return None
    place = _axis(min(marks), max(marks))
    ends = [("low", low), ("high", high)] if low != high else [("nominal", nominal)]
    wanted = [(kind, place(x), output.text(x, worked.system)) for kind, x in ends]
    if limit is not None:
        shown = entries.shown_text(limit, output.unit, worked.system)
        wanted.insert(0, ("limit", place(limit), shown))
    return {
        "band": [place(low), place(high)],
        "nominal": place(nominal),
        "limit": None if limit is None else place(limit),
        "labels": _labels([(k, at, entries.split_reference(t)[0]) for k, at, t in wanted]),
    }


def _axis(low: float, high: float) -> Callable[[float], float]:
    """A function from a value to its place, with a margin at both ends."""
    if low > 0 and high / low > LOG_BAR:
        start, width = log(low), log(high / low)
        return lambda x: round(0.12 + 0.76 * (log(x) - start) / width, 4)
    return lambda x: round(0.12 + 0.76 * (x - low) / (high - low), 4)


def _labels(wanted: list[tuple[str, float, str]]) -> list[Json]:
    """The labels that find room; those named first go first."""
    placed: list[Json] = []
    for kind, at, text in wanted:
        if all(abs(at - other["at"]) > LABEL_ROOM for other in placed):
            placed.append({"kind": kind, "at": at, "text": text})
    return placed


def working(worked: Worked) -> list[Json]:
    """Each formula used: in symbols, with the numbers put in, and its result."""
    labels = _step_labels(worked)
    return [_step(worked, call, label) for call, label in zip(worked.calls, labels, strict=True)]


def _step(worked: Worked, call: Call, label: str) -> Json:
    formula = call.formula
    symbols = {a.name: _subscripted(a.symbol) for a in formula.arguments}
    shown = {a.name: _shown(worked, a.unit, call.arguments[a.name]) for a in formula.arguments}
    key = _output_of(worked, call)
    unit = worked.shape.outputs[key].unit if key else formula.unit
    result = entries.shown_text(call.result, unit, worked.system, digits=4)
    return {
        "label": label,
        "formula": formula.id,
        "anchor": formula.anchor,
        "lines": [
            [{"text": f"{_subscripted(formula.symbol)} = {formula.working.format(**symbols)}"}],
            [{"text": "= "}, *_filled(formula.working, shown)],
            [{"text": f"= {result}"}],
        ],
    }


def _output_of(worked: Worked, call: Call) -> str | None:
    """The output that this step gave: the very same number, not one that happens to be equal.

    Rows come last, so that a step of a row is not taken for the answer that picked it.
    """
    keys = [key for key in worked.shape.outputs if worked.results[key] is call.result]
    return keys[-1] if keys else None


def _step_labels(worked: Worked) -> list[str]:
    """Labels of the steps: the output's, or the formula's title, numbered where it recurs."""
    keys = [_output_of(worked, call) for call in worked.calls]
    titles = [c.formula.title for c, key in zip(worked.calls, keys, strict=True) if key is None]
    labels: list[str] = []
    seen: Counter[str] = Counter()
    for call, key in zip(worked.calls, keys, strict=True):
        title = call.formula.title
        if key is not None:
            labels.append(worked.shape.label(key))
        elif titles.count(title) == 1:
            labels.append(title)
        else:
            seen[title] += 1
            labels.append(f"{title} {seen[title]}")
    return labels


def _subscripted(symbol: str) -> str:
    """``f_1`` as f₁, where every letter of the subscript has a small form; else as it is."""
    stem, _, subscript = symbol.partition("_")
    small = subscript.translate(_SMALL)
    return stem + small if subscript and not set(small) & set(subscript) else symbol


def _shown(worked: Worked, unit: str, value: float | str) -> tuple[str, bool]:
    """A value put into a formula, and whether it came from a field unchanged.

    It did if it is the very same object; an equal number may have come another way.
    """
    if isinstance(value, str):
        return value, True
    for key, item in worked.shape.inputs.items():
        if worked.given.values[key] is value and isinstance(item, Number | Written):
            return item.shown_text(value, worked.system), True
    return entries.shown_text(value, unit, worked.system, digits=4), False


def _filled(template: str, shown: Mapping[str, tuple[str, bool]]) -> list[Json]:
    """The template cut into text and values, so that values from fields can be marked."""
    segments: list[Json] = []
    for before, name, powered in _cut(template):
        if before:
            segments.append({"text": before})
        if name:
            text, from_field = shown[name]
            text = f"({text})" if powered and "\u00a0" in text else text
            segments.append({"text": text, "field": True} if from_field else {"text": text})
    return segments


def _cut(template: str) -> list[tuple[str, str, bool]]:
    """Text before, name, and whether it carries a power: then its unit needs brackets."""
    found = _PLACE.split(template)
    befores, names = found[::2], [*found[1::2], ""]
    afters = [*befores[1:], ""]
    return [
        (before, name, after.startswith(("²", "³", "⁴")))
        for before, name, after in zip(befores, names, afters, strict=True)
    ]


def _plot(worked: Worked) -> Json:
    assert worked.card.plot is not None
    plot = worked.card.plot(worked.given.values, worked.results, worked.system)
    x, y = (_scale(plot.x.unit, worked.system), _scale(plot.y.unit, worked.system))
    return {
        "title": plot.title,
        "description": plot.description,
        "x": _axis_json(plot, "x", worked.system),
        "y": _axis_json(plot, "y", worked.system),
        "lines": [
            {"name": line.name, "kind": line.kind, "points": [[x(a), y(b)] for a, b in line.points]}
            for line in plot.lines
        ],
        "bands": [{"points": [[x(a), y(b), y(c)] for a, b, c in plot.band]}] if plot.band else [],
        "marks": [{"x": x(at), "label": label} for at, label in plot.marks],
        "levels": [{"y": y(at), "label": label, "kind": "limit"} for at, label in plot.levels],
    }


def _axis_json(plot: Plot, name: str, system: str) -> Json:
    axis = plot.x if name == "x" else plot.y
    scale = _scale(axis.unit, system)
    unit = units.display_unit(axis.unit, system)
    return {
        "label": f"{axis.label} ({unit})" if unit else axis.label,
        "log": axis.log,
        "whole": axis.whole,
        "domain": [scale(end) for end in axis.domain],
    }


def _scale(unit: str, system: str) -> Callable[[float], float]:
    """A function from SI to the unit of an axis, kept to six digits to save bytes."""
    number = entries.from_base(units.display_unit(unit, system))
    return lambda value: float(f"{number(value):.6g}")
