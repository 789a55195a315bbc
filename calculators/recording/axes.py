"""Axes of the pictures: where a value stands, and which ticks are written without touching."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from math import ceil, floor, log10

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.calibration import level_text
from calculators.recording.quantity import quantity
from calculators.recording.svg import text_width
from calculators.units import with_unit

MINUTE, HOUR, DAY = 60.0, 3600.0, 86400.0
GAP = 8.0
"""Between two labels, CSS pixels."""

_EPOCH = datetime(1970, 1, 1)
"""Without a zone: the recorder's own clock has none."""


@dataclass(frozen=True)
class Tick:
    """A value of an axis, where it stands, its words, and a second line of words below them."""

    at: float
    label: str = ""
    below: str = ""


@dataclass(frozen=True)
class Scale:
    """From a range of values to a stretch of the picture.

    Args:
        low, high: Values at both ends, low below high.
        start, end: Where these stand, CSS pixels; the end may lie before the start.
        logarithmic: Whether equal ratios have equal lengths.
    """

    low: float
    high: float
    start: float
    end: float
    logarithmic: bool = False

    def __post_init__(self) -> None:
        """Refuse what has no length; the callers see to it."""
        if not self.low < self.high or (self.logarithmic and self.low <= 0):
            raise ValueError(f"an axis needs a range, not {self.low} to {self.high}")

    def part(self, value: float) -> float:
        """Where a value stands between the ends, 0 to 1 within them."""
        if self.logarithmic:
            return log10(value / self.low) / log10(self.high / self.low)
        return (value - self.low) / (self.high - self.low)

    def place(self, value: float) -> float:
        """Where a value stands in the picture; what lies beyond an end stands at it."""
        inside = min(max(value, self.low), self.high)
        return self.start + self.part(inside) * (self.end - self.start)

    def places(self, values: Floats) -> Floats:
        """The same of many values, (n,); NaN where a value is none."""
        inside = np.clip(values, self.low, self.high)
        parts = (
            np.log10(inside / self.low) / log10(self.high / self.low)
            if self.logarithmic
            else (inside - self.low) / (self.high - self.low)
        )
        placed: Floats = self.start + parts * (self.end - self.start)
        return placed

    @property
    def length(self) -> float:
        """CSS pixels."""
        return abs(self.end - self.start)


def level_range(
    levels: Sequence[float], least: float = 20.0, step: float = 5.0
) -> tuple[float, float]:
    """Round ends of an axis of levels, at least this many decibels apart.

    >>> level_range([61.0, 78.5])
    (60.0, 80.0)
    """
    found = [level for level in levels if level - level == 0]
    low, high = (min(found), max(found)) if found else (-least, 0.0)
    low, high = step * floor(low / step), step * ceil(high / step)
    if high - low < least:
        low = step * floor((low + high - least) / 2 / step)
        high = low + least
    return low, high


def level_ticks(scale: Scale, apart: float = 36.0) -> list[Tick]:
    """Round levels, at least so many CSS pixels apart."""
    steps = (5.0, 10.0, 20.0, 50.0, 100.0)
    wanted = (scale.high - scale.low) * apart / scale.length
    step = next((step for step in steps if step >= wanted), steps[-1])
    first = ceil(scale.low / step)
    values = [step * n for n in range(first, floor(scale.high / step) + 1)]
    return [Tick(scale.place(value), level_text(value, 0)) for value in values]


def hertz_text(frequency: float) -> str:
    """A frequency for an axis, in hertz up to a thousand, then in kilohertz.

    >>> hertz_text(31.5), hertz_text(2000)
    ('31.5', '2k')
    """
    return f"{frequency:g}" if frequency < 1000 else f"{frequency / 1000:g}k"


def frequency_ticks(scale: Scale, upright: bool = False) -> list[Tick]:
    """Decades with words, others between them with words where there is room, or without."""
    decades = range(floor(log10(scale.low)), ceil(log10(scale.high)) + 1)
    values = {m * 10.0**d: m for d in decades for m in range(1, 10)}
    inside = [value for value in values if scale.low <= value <= scale.high]
    labelled: list[float] = []
    for digits in ((1,), (2, 5), (3,)):
        more = [value for value in inside if values[value] in digits]
        if more and _apart(scale, [*labelled, *more], upright):
            labelled += more
    return [
        Tick(scale.place(value), hertz_text(value) if value in labelled else "") for value in inside
    ]


def _apart(scale: Scale, values: Sequence[float], upright: bool) -> bool:
    """Whether the words of these values all fit beside each other, or above each other."""
    placed = sorted((scale.place(value), hertz_text(value)) for value in values)
    for (first, one), (second, other) in pairwise(placed):
        room = 16.0 if upright else (text_width(one) + text_width(other)) / 2 + GAP
        if second - first < room:
            return False
    return True


_STEPS = (
    *(1.0, 2.0, 5.0, 10.0, 15.0, 30.0),
    *(MINUTE * n for n in (1, 2, 5, 10, 15, 30)),
    *(HOUR * n for n in (1, 2, 3, 6, 12)),
    *(DAY * n for n in (1, 2, 5, 10, 20, 50, 100)),
)


def clock_ticks(scale: Scale) -> list[Tick]:
    """Round times of the recorder's clock; values are seconds since 1970 by that clock.

    The first tick and the first of each day have the date below them, where there is room.
    """
    step = _time_step(scale, _clock_label)
    label = _clock_label(step)
    ticks: list[Tick] = []
    day, free = None, scale.start - GAP
    for value in _multiples(scale, step):
        when, at = _when(value), scale.place(value)
        date = day_text(value) if when.date() != day and step < DAY else ""
        half = text_width(date) / 2
        if date and at - half >= free:
            day, free = when.date(), at + half + GAP
        else:
            date = ""
        ticks.append(Tick(at, label(value), date))
    return ticks


def elapsed_ticks(scale: Scale) -> list[Tick]:
    """Round times since the start; values are seconds since then."""
    step = _time_step(scale, _elapsed_label)
    label = _elapsed_label(step)
    return [Tick(scale.place(value), label(value)) for value in _multiples(scale, step)]


def _time_step(scale: Scale, labels: Callable[[float], Callable[[float], str]]) -> float:
    """The smallest round step at which the words do not touch."""
    per_second = scale.length / (scale.high - scale.low)
    for step in _STEPS:
        if text_width(labels(step)(scale.high)) + GAP <= step * per_second:
            return step
    return _STEPS[-1] * ceil((scale.high - scale.low) / _STEPS[-1])


def _multiples(scale: Scale, step: float) -> list[float]:
    """Multiples of a step within the axis; days of five and more count from its start."""
    shift = floor(scale.low / DAY) * DAY if step > DAY else 0.0
    first = ceil((scale.low - shift) / step)
    last = floor((scale.high - shift) / step)
    return [shift + step * n for n in range(first, last + 1)]


def _when(seconds: float) -> datetime:
    return _EPOCH + timedelta(seconds=seconds)


def _clock_label(step: float) -> Callable[[float], str]:
    if step >= DAY:
        return day_text
    form = "%H:%M:%S" if step < MINUTE else "%H:%M"
    return lambda value: f"{_when(value):{form}}"


def _elapsed_label(step: float) -> Callable[[float], str]:
    size, unit = next(
        (size, unit)
        for size, unit in ((DAY, "d"), (HOUR, "h"), (MINUTE, "min"), (1.0, "s"))
        if step >= size
    )
    return lambda value: f"{value / size:g} {unit}"


def clock_text(seconds: float) -> str:
    """A moment by the recorder's clock, to the second.

    >>> clock_text(0.0)
    '1970-01-01 00:00:00'
    """
    return f"{_when(seconds):%Y-%m-%d %H:%M:%S}"


def position_text(seconds: float) -> str:
    """A place in a file, as players and editors show it.

    >>> position_text(3666.125)
    '1:01:06.12'
    """
    hundredths = int(100 * seconds + 1e-6)
    minutes, rest = divmod(hundredths, 6000)
    return f"{minutes // 60}:{minutes % 60:02d}:{rest // 100:02d}.{rest % 100:02d}"


def day_text(seconds: float) -> str:
    """The day of a moment, short.

    >>> day_text(86400.0)
    '2 Jan'
    """
    when = _when(seconds)
    return f"{when.day} {when:%b}"


def dates_text(start: float, end: float) -> str:
    """The days from one moment to another, as a reader says them.

    >>> dates_text(0.0, 3 * 86400.0 + 1)
    '1 to 4 January 1970'
    """
    first, last = _when(start), _when(end)
    if first.date() == last.date():
        return f"{first.day} {first:%B %Y}"
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day} to {last.day} {last:%B %Y}"
    year = f" {first.year}" if first.year != last.year else ""
    return f"{first.day} {first:%B}{year} to {last.day} {last:%B %Y}"


def length_text(seconds: float) -> str:
    """A length of time in its two largest units.

    >>> [length_text(seconds).split() for seconds in (93784.0, 12.34, 0.02)]
    [['1', 'd', '2', 'h'], ['12.3', 's'], ['20', 'ms']]
    """
    if 0 < seconds < 1:
        return quantity(1000 * seconds, "ms")
    if float(f"{seconds:.3g}") < MINUTE:
        return quantity(seconds, "s")
    units = ((DAY, "d"), (HOUR, "h"), (MINUTE, "min"), (1.0, "s"))
    for (large, large_name), (small, small_name) in pairwise(units):
        whole, rest = divmod(round(seconds / small), round(large / small))
        if whole:
            more = f" {with_unit(str(rest), small_name)}" if rest else ""
            return with_unit(str(whole), large_name) + more
    raise AssertionError("a minute is more than no minute")
