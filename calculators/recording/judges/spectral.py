"""What can be said of a line in a spectrum that was averaged so many times.

A periodogram of noise has, at each frequency, the distribution of chi-square with two degrees of
freedom about its density. The logarithms of many of them have a mean whose scatter is known
whatever the shape of the spectrum, and whether the sound grew louder or softer meanwhile: what is
common to neighbouring frequencies falls out of their difference. A line that is always there
stays. So lines are looked for in the mean of logarithms, and not in the mean of powers, which the
loudest minute rules.
"""

from bisect import bisect_left, insort
from dataclasses import dataclass
from math import log, pi, sqrt
from statistics import NormalDist

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.summary import Summary

DECIBELS = 10 / log(10)
"""dB in a neper of power."""

OVERLAP_LOSS = 1 + 2 / 36
"""Half-overlapping Hann windows share so much that this many count as one [welch-1967]: their
correlation is 1/6, that of their periodograms its square, to either side."""

LOG_VARIANCE = pi**2 / 6
"""Of the natural logarithm of chi-square with two degrees of freedom."""

MEDIAN_VARIANCE = 0.5
"""Of the median of the neighbours, in that of one line, at the most: where the spectrum is steep,
the two nearest ones alone are its middle."""

NEAREST, FARTHEST = 4, 16
"""Lines between which neighbours are taken, to either side: beyond the main lobe of the window,
which is two lines, and near enough for a slope to cancel."""


@dataclass(frozen=True)
class LogSpectrum:
    """Mean of the logarithms of ``averages`` periodograms; dB, over evenly spaced frequencies."""

    frequencies: Floats
    levels: Floats
    averages: float

    @property
    def spacing(self) -> float:
        """Hz between lines."""
        return float(self.frequencies[1])

    @property
    def deviation(self) -> float:
        """Standard deviation of a level less its neighbours' median, in noise alone; dB."""
        independent = max(self.averages / OVERLAP_LOSS, 1.0)
        return DECIBELS * sqrt(LOG_VARIANCE / independent * (1 + MEDIAN_VARIANCE))

    def threshold(self, false_alarm: float, trials: int) -> float:
        """What a line must stand above its neighbours so that chance does it this seldom; dB.

        ``trials`` lines are looked at, and ``false_alarm`` is the probability that any of them
        passes. The distribution of a mean of such logarithms is skewed downwards, so the normal
        one is on the safe side.
        """
        return self.deviation * NormalDist().inv_cdf(1 - false_alarm / trials)


def excess(levels: Floats) -> Floats:
    """How far each line stands above the median of its neighbours; dB, NaN at the ends.

    The median of both sides together is right on any slope that rises or falls evenly.
    """
    sides = [*range(-FARTHEST, -NEAREST + 1), *range(NEAREST, FARTHEST + 1)]
    found = np.full(levels.shape, np.nan)
    inner = np.arange(FARTHEST, levels.size - FARTHEST)
    if inner.size:
        around = np.stack([levels[inner + step] for step in sides])
        found[inner] = levels[inner] - np.median(around, axis=0)
    return found


def running_median(levels: Floats, frequencies: Floats, factor: float) -> Floats:
    """Median of the levels from each frequency divided by ``factor`` up to it times ``factor``."""
    low = np.searchsorted(frequencies, frequencies / factor).tolist()
    high = np.searchsorted(frequencies, frequencies * factor, side="right").tolist()
    values = levels.tolist()
    found, inside = [], list[float]()
    first = end = 0
    for start, stop in zip(low, high, strict=True):
        # In order all the time: a browser takes six times as long to ask numpy anew for each.
        for value in values[end:stop]:
            insort(inside, value)
        for value in values[first:start]:
            del inside[bisect_left(inside, value)]
        first, end = start, stop
        half = len(inside) // 2
        found.append(inside[half] if len(inside) % 2 else (inside[half - 1] + inside[half]) / 2)
    return np.array(found)


def slope(frequencies: Floats, levels: Floats) -> float:
    """Of a straight line through levels over the logarithm of frequency; dB a decade."""
    return float(np.polyfit(np.log10(frequencies), levels, 1)[0])


def log_spectrum(summary: Summary, channel: int) -> LogSpectrum | None:
    """The low band of a channel; None where it was measured nowhere."""
    averages = int(summary.low_log_segments[channel])
    if not averages:
        return None
    return LogSpectrum(
        summary.low_frequencies, DECIBELS * summary.low_log_density[channel], averages
    )
