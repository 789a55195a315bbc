"""How often which level occurred, in fixed steps, so that histograms add up."""

from dataclasses import dataclass

import numpy as np

from calculators.recording.arrays import Counts, Floats
from calculators.recording.decibels import power_level

LOWEST, HIGHEST, STEP = -240.0, 40.0, 0.25
"""dB re the mean square of a constant full scale: the range of levels and one step of it."""

BINS = round((HIGHEST - LOWEST) / STEP)


def level_bins(mean_square: Floats) -> Counts:
    """The bin of each mean square: 0 below the range, 1 to ``BINS`` inside, then above it."""
    steps = np.floor((power_level(mean_square) - LOWEST) / STEP)
    bins: Counts = np.clip(steps, -1, BINS).astype(np.int64) + 1
    return bins


def count_levels(counts: Counts, first: int, mean_square: Floats) -> None:
    """Count levels of n seconds, (n, C, K), in histograms, (C, bands, BINS + 2), from a band on.

    Args:
        counts: What is added to.
        first: Band of the first level.
        mean_square: The levels.
    """
    channels, bands = mean_square.shape[1:]
    band = np.arange(channels)[:, None] * counts.shape[1] + first + np.arange(bands)
    places = band * counts.shape[2] + level_bins(mean_square)
    np.add.at(counts.reshape(-1), places.reshape(-1), 1)


@dataclass(frozen=True)
class Histogram:
    """Levels of the slices, one second each, by channel and band.

    ``counts`` is (C, K, BINS + 2): the first bin holds what lies below the range, digital silence
    included, the last one what lies above it.
    """

    counts: Counts

    @property
    def slices(self) -> Counts:
        """Slices that were counted, (C, K)."""
        total: Counts = self.counts.sum(axis=-1)
        return total

    def percentile(self, percent: float) -> Floats:
        """The level that ``percent`` % of the slices reach at most, (C, K); dB.

        50 is the median, 95 a loud level, 5 a quiet one: the *percentile*, not the level that is
        exceeded for so much of the time; for that one see ``exceeded``. It is the level of the
        slice of rank ``ceil(percent / 100 · slices)``, counted from the quietest, and at least
        of the quietest. −inf stands for a level below the range, +inf for one above it, NaN for
        no slice at all.
        """
        if not 0 <= percent <= 100:
            raise ValueError(f"percentile {percent}: accepted is 0 to 100")
        rank = np.maximum(np.ceil(self.slices * (percent / 100) - 1e-9), 1)
        place = (self.counts.cumsum(axis=-1) < rank[..., None]).sum(axis=-1)
        return np.where(self.slices > 0, _centres()[np.minimum(place, BINS + 1)], np.nan)

    def exceeded(self, percent: float) -> Floats:
        """The level exceeded for ``percent`` % of the time, (C, K); dB.

        Exceedance 5 is percentile 95. Noise measured in air is often reported this way.
        """
        return self.percentile(100 - percent)

    @staticmethod
    def bound() -> float:
        """By how much a percentile may be off that lies inside the range: half a step; dB."""
        return STEP / 2


def _centres() -> Floats:
    inside = LOWEST + STEP * (np.arange(BINS) + 0.5)
    return np.concatenate(([-np.inf], inside, [np.inf]))
