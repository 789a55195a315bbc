"""What is measured at one rate with some settings: frequencies, bands, and the empty sums."""

from functools import cached_property, lru_cache

import numpy as np

from calculators.recording.arrays import Array, Floats
from calculators.recording.bands import ROWS, Scheme, Splitter
from calculators.recording.geometry import Geometry
from calculators.recording.grid import TimeGrid
from calculators.recording.histogram import BINS
from calculators.recording.packing import refused
from calculators.recording.settings import Settings

HOUR = 3600

MOST_HOURS = 24 * 366
"""Columns of the picture of hours; a longer deployment gets columns of two hours."""

CEILING_LOWEST, CEILING_STEP = -100.0, 0.1
"""dB re full scale: peaks of blocks are counted from here to full scale, in these steps."""

CEILINGS = round(-CEILING_LOWEST / CEILING_STEP)

MOST_RATE = 4_000_000
MOST_CHANNELS = 64


class Measures:
    """Everything that follows from settings, rate and number of channels: see ``measures_of``."""

    def __init__(self, settings: Settings, rate: int, channels: int) -> None:
        if not (0 < rate <= MOST_RATE and 0 < channels <= MOST_CHANNELS):
            raise refused(
                f"{channels} channels at {rate} Hz. Accepted are 1 to {MOST_CHANNELS} channels "
                f"at up to {MOST_RATE} Hz."
            )
        self.settings = settings
        self.rate = rate
        self.channels = channels
        self.geometry = Geometry(rate, settings)

    @property
    def pairs(self) -> int:
        """Pairs of channels that are compared: 0 with 1, 2 with 3, and so on."""
        return self.channels // 2

    @cached_property
    def scheme(self) -> Scheme:
        """Decidecade bands and their rows."""
        return Scheme(self.geometry)

    @cached_property
    def octaves(self) -> Floats:
        """Edges of octaves in which the low band is followed over time; Hz, (G + 1,)."""
        edges = 2.0 ** np.arange(1, 11)
        return edges[edges <= self.geometry.low_limit]

    @cached_property
    def octave_splitter(self) -> Splitter:
        """Sums lines of the low band in these octaves."""
        return Splitter(self.geometry.low_frequencies, self.octaves[:-1], self.octaves[1:])

    def sums(self) -> dict[str, Array]:
        """Empty sums over all frames, by name."""
        c, p = self.channels, self.pairs
        lines, low = len(self.geometry.frequencies), len(self.geometry.low_frequencies)
        count, floats = np.int64, np.float64
        return {
            "frames": np.zeros((), count),
            "total": np.zeros(c, floats),
            "squares": np.zeros(c, floats),
            "not_finite": np.zeros(c, count),
            "products": np.zeros(p, floats),
            "equal": np.zeros(p, count),
            "opposite": np.zeros(p, count),
            "varied": np.zeros(p, count),
            "ceiling": np.zeros((c, 2, CEILINGS + 2), count),
            "segments": np.zeros((), count),
            "density": np.zeros((c, lines), floats),
            "low_segments": np.zeros((), count),
            "low_density": np.zeros((c, low), floats),
            "low_cross": np.zeros((p, low), np.complex128),
            "low_log": np.zeros((c, low), floats),
            "low_log_segments": np.zeros(c, count),
            "levels": np.zeros((c, sum(self._band_counts()) + 1, BINS + 2), count),
        }

    def columns(self) -> TimeGrid:
        """Empty columns of the pictures over time."""
        c, p, octaves = self.channels, self.pairs, len(self.octaves) - 1
        low, high = (ROWS * count for count in self._band_counts())
        empty = {
            **self._counts(),
            "peak": np.zeros(c),
            "clipped": np.zeros(c, np.int64),
            "zeros": np.zeros(c, np.int64),
            "rows_low": np.zeros((c, low)),
            "rows_high": np.zeros((c, high)),
            "octaves": np.zeros((c, octaves)),
            "octaves_cross": np.zeros((p, octaves), np.complex128),
        }
        return TimeGrid(1, self.settings.columns, empty)

    def hours(self) -> TimeGrid:
        """Empty hours."""
        low, high = self._band_counts()
        empty = {
            **self._counts(),
            "bands_low": np.zeros((self.channels, low)),
            "bands_high": np.zeros((self.channels, high)),
        }
        return TimeGrid(HOUR, MOST_HOURS, empty)

    def _counts(self) -> dict[str, Array]:
        return {
            "frames": np.zeros((), np.int64),
            "segments": np.zeros((), np.int64),
            "low_segments": np.zeros((), np.int64),
            "total": np.zeros(self.channels),
            "squares": np.zeros(self.channels),
        }

    def _band_counts(self) -> tuple[int, int]:
        """Bands from the low band's spectrum, and the others."""
        low = self.scheme.low_count
        return low, len(self.scheme.bands.centres) - low


@lru_cache(maxsize=8)
def measures_of(settings: Settings, rate: int, channels: int) -> Measures:
    """The same ones for every part of a deployment, made once.

    Raises:
        RecordingError: If there are too many channels, or the rate is out of range.
    """
    return Measures(settings, rate, channels)
