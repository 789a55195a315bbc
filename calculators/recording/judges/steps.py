"""Where a series changed for good, and where it burst out for a moment; robust, without a model."""

from dataclasses import dataclass

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.judges.common import groups

LEAST_SIDE = 4
"""Columns on each side of a change: fewer are an event."""

LEAST_SHARE = 0.04
"""Of all columns, on each side."""

APART = 0.9
"""Part of the columns before that lie on their side of the middle between the two levels, and of
those after on theirs. A boat or a shower that comes and goes does not pass."""

SHARP = 0.7
"""Part of the step that three columns after have over three columns before: weather and tides take
longer."""

NEXT = 3
"""Columns, for that."""


@dataclass(frozen=True)
class Step:
    """A change for good: index of the first column after it, and the medians around it."""

    at: int
    before: float
    after: float
    sharp: bool

    @property
    def size(self) -> float:
        """After less before."""
        return self.after - self.before


def step_in(series: Floats) -> Step | None:
    """The change that parts a series best, if it parts it at all; NaN are left out.

    Found by the largest cumulative sum about the mean, of the series with its outliers cut
    off, as on control charts; then each side is described by its median.
    """
    kept = np.flatnonzero(np.isfinite(series))
    least = max(LEAST_SIDE, int(LEAST_SHARE * kept.size))
    if kept.size < 2 * least:
        return None
    values = series[kept]
    cut = _parted(_without_outliers(values), least)
    before, after = (float(np.median(part)) for part in (values[:cut], values[cut:]))
    middle = (before + after) / 2
    rises = after > before
    parted = ((values[:cut] < middle) == rises).mean(), ((values[cut:] > middle) == rises).mean()
    if min(parted) < APART or before == after:
        return None
    near = np.median(values[cut : cut + NEXT]) - np.median(values[cut - NEXT : cut])
    sharp = bool(near / (after - before) >= SHARP)
    return Step(int(kept[cut]), before, after, sharp)


def _without_outliers(values: Floats) -> Floats:
    """Cut off beyond the outer tenths by as much as these lie apart."""
    low, high = np.percentile(values, (10, 90))
    room = max(high - low, 1e-9)
    return np.clip(values, low - room / 2, high + room / 2)


def _parted(values: Floats, least: int) -> int:
    """How many values come before the change."""
    sums = np.abs(np.cumsum(values - values.mean()))
    number = np.arange(1, values.size + 1)
    with np.errstate(divide="ignore", invalid="ignore"):
        score = sums / np.sqrt(number * (values.size - number))
    inside = slice(least - 1, values.size - least)
    return int(np.nanargmax(score[inside])) + least


@dataclass(frozen=True)
class Bursts:
    """Moments that stand out: first and last column of each, and the middle of their heights."""

    columns: list[tuple[int, int]]
    height: float


def bursts_in(series: Floats, least: float, longest: int) -> Bursts | None:
    """Short stretches, at most so many columns long, that stand ``least`` above the median.

    And six times as far as the series scatters, by its median deviation.
    """
    kept = np.isfinite(series)
    if not kept.any():
        return None
    middle = np.median(series[kept])
    scatter = 1.4826 * np.median(np.abs(series[kept] - middle))
    threshold = middle + max(least, 6 * scatter)
    above = kept & (np.nan_to_num(series, nan=-np.inf) > threshold)
    short = [group for group in groups(above) if group[1] - group[0] < longest]
    if not short:
        return None
    heights = [float(np.max(series[a : b + 1]) - middle) for a, b in short]
    return Bursts(short, float(np.median(heights)))
