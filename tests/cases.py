"""Random inputs for any calculator, drawn from its own declaration."""

from math import exp, log

from hypothesis import strategies as st

from calculators.declare import Calculator, Choice, Input, Number, Value, Values, row_key


def one(item: Input) -> st.SearchStrategy[Value]:
    """Values that this input accepts."""
    if isinstance(item, Choice):
        return st.sampled_from([item.read(o.value, item.name) for o in item.options])
    low, high = item.low_si, item.high_si
    if item.integer:
        return st.integers(int(low), int(high)).map(float)
    if low > 0 and high / low > 100:
        return st.floats(0, 1).map(lambda x: _within(low * exp(x * log(high / low)), item))
    return st.floats(low, high)


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
