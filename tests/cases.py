"""Random inputs for any calculator, drawn from its own declaration."""

from functools import cache
from math import exp, log

from hypothesis import strategies as st

from calculators.declare import (
    Calculator,
    Choice,
    Input,
    Log,
    Number,
    Value,
    Values,
    Written,
    row_key,
)
from calculators.logs import LogColumn
from calculators.units import format_field


@cache  # to make a strategy takes longer than to draw from it
def one(item: Input) -> st.SearchStrategy[Value]:
    """Values that this input accepts."""
    if isinstance(item, Choice):
        return st.sampled_from([item.read(o.value, item.name) for o in item.options])
    if isinstance(item, Log):
        return log_texts(item)
    if isinstance(item, Written):
        return written(item)
    low, high = item.low_si, item.high_si
    if item.integer:
        return st.integers(int(low), int(high)).map(float)
    if low > 0 and high / low > 100:
        return st.floats(0, 1).map(lambda x: _within(low * exp(x * log(high / low)), item))
    return st.floats(low, high)


GRAINS = {"day": 1.0, "clock": 60.0, "zone": 900.0, "coordinate": 0.01}
"""The finest step in which each kind is written."""


def written(item: Written) -> st.SearchStrategy[Value]:
    """Values that can be written: whole days, minutes, quarters of an hour, hundredths."""
    per = round(1 / GRAINS[item.kind]) if GRAINS[item.kind] < 1 else 1
    grain = max(1, round(GRAINS[item.kind]))
    low, high = (round(end * per / grain) for end in item.ends)
    return st.integers(low, high).map(lambda n: n * grain / per)


@st.composite
def log_texts(draw: st.DrawFn, item: Log) -> str:
    """A few rows within the ranges of the columns, the first column rising."""
    count = draw(st.integers(3, 8))
    columns = [draw(st.lists(_in_column(c), min_size=count, max_size=count)) for c in item.columns]
    columns[0].sort()
    texts = [
        [format_field(float(f"{x:.6g}"), c.unit) for x in xs]
        for c, xs in zip(item.columns, columns, strict=True)
    ]
    return "\n".join(";".join(row) for row in zip(*texts, strict=True))


@cache
def _in_column(column: LogColumn) -> st.SearchStrategy[float]:
    low, high = column.si(column.low), column.si(column.high)
    return st.floats(0.01, 0.99).map(lambda part: low + part * (high - low))


def _in_row(item: Input, n: int, rows: dict[str, int]) -> st.SearchStrategy[Value]:
    """Numbers that count rows name rows that there are, each of them at least once."""
    if isinstance(item, Number) and item.refers_to:
        count = rows[item.refers_to]
        return st.just(float(n)) if n <= count else st.integers(1, count).map(float)
    return one(item)


def _within(value: float, item: Number) -> float:
    return min(max(value, item.low_si), item.high_si)


@st.composite
def values(draw: st.DrawFn, card: Calculator) -> Values:
    """Every input of a calculator, with one or more rows in each group."""
    found: Values = {i.name: draw(one(i)) for i in card.inputs if not i.group}
    rows: dict[str, int] = {}
    for group in card.groups:
        rows[group.name] = draw(st.integers(max(1, *rows.values(), 1), group.most))
        for n in range(1, rows[group.name] + 1):
            for item in card.inputs:
                if item.group == group.name:
                    found[row_key(item.name, n)] = draw(_in_row(item, n, rows))
    return {key: found[key] for key in card.shape(found).inputs}
