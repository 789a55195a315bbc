"""Measures over time as pictures need them: columns folded to fit, and hours of days."""

from dataclasses import dataclass, replace

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.axes import DAY
from calculators.recording.bands import Bands
from calculators.recording.summary import Columns, Hours

RANGES = (("below 200 Hz", 200.0), ("200 Hz to 2 kHz", 2000.0), ("above 2 kHz", float("inf")))
"""Ranges of frequency of the picture of days, and where each ends: water and boats, fish and
rain, insects and shrimps, roughly."""


@dataclass(frozen=True)
class Grid:
    """Columns of equal length, one after another; NaN where nothing was measured.

    Args:
        start: Of each column, s on the axis of time; shape (T,).
        duration: Of every column, s.
        covered: Seconds recorded within each; shape (T,).
        mean_square: Of all frequencies together, full scale²; shape (C, T).
        peak: Largest absolute sample, full scale; shape (C, T).
        density: Mean-square spectral density, full scale²/Hz; shape (C, R, T).
    """

    start: Floats
    duration: float
    covered: Floats
    mean_square: Floats
    peak: Floats
    density: Floats

    @property
    def ends(self) -> tuple[float, float]:
        """From the start of the first column to the end of the last, s."""
        return float(self.start[0]), float(self.start[-1] + self.duration)

    def folded(self, most: int) -> "Grid":
        """The same in so many columns at most: means by what each covers, the largest of peaks."""
        each = -(-len(self.start) // max(most, 1))
        if each <= 1:
            return self
        return replace(
            self,
            start=self.start[::each],
            duration=self.duration * each,
            covered=_grouped(self.covered, each, 0.0).sum(axis=-1),
            mean_square=_mean(self.mean_square, self.covered, each),
            peak=_largest(self.peak, each),
            density=_mean(self.density, self.covered, each),
        )


def grid_of(columns: Columns) -> Grid:
    """The columns that were measured."""
    return Grid(
        columns.start,
        columns.duration,
        columns.seconds_covered,
        columns.mean_square,
        columns.peak,
        columns.density,
    )


def _grouped(values: Floats, each: int, filler: float) -> Floats:
    """The last axis in groups of so many; what is missing from the last group is filled."""
    missing = -values.shape[-1] % each
    padding = [(0, 0)] * (values.ndim - 1) + [(0, missing)]
    padded = np.pad(values, padding, constant_values=filler)
    return padded.reshape(*values.shape[:-1], -1, each)


def _mean(values: Floats, weight: Floats, each: int) -> Floats:
    """Means over groups, by weight, of what is there; NaN where nothing is."""
    grouped = _grouped(values, each, np.nan)
    there = np.where(np.isnan(grouped), 0.0, _grouped(weight, each, 0.0))
    with np.errstate(invalid="ignore"):
        mean: Floats = (np.nan_to_num(grouped) * there).sum(axis=-1) / there.sum(axis=-1)
    return mean


def _largest(values: Floats, each: int) -> Floats:
    """The largest of each group; NaN where there is none."""
    grouped = _grouped(values, each, np.nan)
    largest: Floats = np.fmax.reduce(grouped, axis=-1)
    return largest


@dataclass(frozen=True)
class Days:
    """A mean square for every hour of every day, in ranges of frequency, of one channel.

    Args:
        channel: Which, from 0.
        days: Start of each day, s since 1970 by the recorder's clock; shape (D,).
        ranges: What the ranges are called.
        mean_square: Full scale², NaN where nothing was recorded; shape (ranges, D, 24).
    """

    channel: int
    days: Floats
    ranges: tuple[str, ...]
    mean_square: Floats


def days_of(hours: Hours, bands: Bands, channel: int) -> Days | None:
    """Hours by day, from those of a clock; None where they are longer than an hour.

    A deployment of more than a year has longer ones: it has no picture of its days.
    """
    if hours.duration != DAY / 24:
        return None
    first = int(hours.start[0] // DAY)
    place = np.round((hours.start - first * DAY) / hours.duration).astype(int)
    count = int(place[-1]) // 24 + 1
    chosen = list(_range_sums(hours.bands[channel], bands))
    table = np.full((len(chosen), count * 24), np.nan)
    for row, (_, mean_square) in zip(table, chosen, strict=True):
        row[place] = mean_square
    return Days(
        channel,
        (first + np.arange(count)) * DAY,
        tuple(words for words, _ in chosen),
        table.reshape(len(chosen), count, 24),
    )


def _range_sums(mean_square: Floats, bands: Bands) -> list[tuple[str, Floats]]:
    """Sums of the bands (K, …) within each range that has any."""
    found, begin = [], 0.0
    for words, end in RANGES:
        inside = (bands.centres >= begin) & (bands.centres < end)
        if inside.any():
            found.append((words, np.asarray(mean_square[inside].sum(axis=0))))
        begin = end
    return found
