"""Rigs drawn at random: any name, any entries in any rows, values all over their ranges."""

from hypothesis import strategies as st

from calculators.declare import Choice, Clock, Coordinate, Day, Number, Zone
from calculators.errors import InputError
from calculators.evaluate import read_tolerance
from calculators.rig.model import Rig, Stated
from calculators.rig.schema import ENTRIES, ROWS, Entry

STEPS = {Day: 1.0, Clock: 60.0, Zone: 900.0, Coordinate: 0.01}
"""What a number with a form of its own is a multiple of."""

TOLERANCES = ("±1 %", "+3/-0.5 %", "0.25 %", "±0.01", "±0.3 dB", "±0.2 °C")

_SHOWN = st.characters(categories=("L", "M", "N", "P", "S"), include_characters=" ")
WORDS = st.text(_SHOWN, min_size=1, max_size=60).filter(str.strip)
NOTES = st.text(st.one_of(_SHOWN, st.just("\n")), max_size=120)


@st.composite
def stated(draw: st.DrawFn, entry: Entry) -> Stated:
    """Some value of this entry, often with a tolerance."""
    item = entry.item
    if isinstance(item, Choice):
        option = draw(st.sampled_from(item.options))
        return Stated(item.read(option.value, item.name))
    if isinstance(item, Number):
        return _number(draw, item)
    low, high = item.ends
    step = STEPS[type(item)]
    steps = draw(st.integers(round(low / step), round(high / step)))
    return Stated(round(steps * step, 2))


def _number(draw: st.DrawFn, item: Number) -> Stated:
    value = draw(st.sampled_from([item.default_si, item.low_si, item.high_si]))
    value += draw(st.floats(0, 1)) * (item.high_si - value)
    value = float(round(value)) if item.integer else float(f"{value:.4g}")
    value = min(max(value, item.low_si), item.high_si)
    text = draw(st.sampled_from(("", *TOLERANCES)))
    try:
        tolerance = read_tolerance(item, item.name, text, value, "metric", "form")
    except InputError:  # not one that this entry can have
        tolerance = None
    return Stated(value, tolerance)


@st.composite
def keys(draw: st.DrawFn) -> str:
    """The key of some entry, in some row."""
    entry = draw(st.sampled_from(list(ENTRIES.values())))
    return entry.key(draw(st.integers(1, ROWS[entry.rows].most)) if entry.rows else 1)


@st.composite
def statements(draw: st.DrawFn) -> tuple[str, Stated]:
    """A key, and a value for it."""
    key = draw(keys())
    parts = key.split(".")
    path = f"{parts[0]}.{parts[1]}.{parts[3]}" if len(parts) == 4 else key
    return key, draw(stated(ENTRIES[path]))


@st.composite
def rigs(draw: st.DrawFn, most: int = 10) -> Rig:
    """A rig with up to so many entries."""
    asked = [card for card in ("tube-under-pressure", "cable-seal") if draw(st.booleans())]
    pairs = draw(st.lists(statements(), max_size=most))
    return Rig(draw(WORDS), dict(pairs), draw(NOTES), frozenset(asked))
