"""Decidecade bands, and the power of a spectrum between any edges."""

from dataclasses import dataclass
from math import ceil, floor, log10

import numpy as np

from calculators.formulas.decidecade import HALF_BAND, decidecade_centre
from calculators.recording.arrays import Array, Floats
from calculators.recording.geometry import Geometry

LEAST_LINES = 3.0
"""Lines of the spectrum that a band has to be wide, lest its edges decide its level."""

ROWS = 4
"""Rows of a spectrogram in a band."""


@dataclass(frozen=True)
class Bands:
    """Bands by centre and edges in Hz, (K,) each."""

    centres: Floats
    lower: Floats
    upper: Floats


class Splitter:
    """Powers of the lines of a spectrum, summed between edges.

    A line at *f* stands for all that lies within half a line's distance of it, the first and the
    last one for the half of that which exists. A line that an edge cuts is shared in proportion.
    For noise that rises or falls by up to 6 dB an octave this is within 0.1 dB of an ideal filter
    where a band has three lines, and within 0.01 dB from ten lines on. A tone is spread over four
    lines by the Hann window: one nearer than two lines to an edge is in both bands.

    Args:
        lines: Frequencies of the lines, evenly spaced from 0 Hz on; Hz.
        lower: Lower edges of the bands; Hz, within the spectrum.
        upper: Their upper edges.
    """

    def __init__(self, lines: Floats, lower: Floats, upper: Floats) -> None:
        low, high = np.asarray(lower) / lines[1], np.asarray(upper) / lines[1]
        first = np.floor(low + 0.5).astype(np.intp)
        counts = np.ceil(high - 0.5).astype(np.intp) - first + 1
        ends = np.cumsum(counts)
        self._starts = ends - counts
        band = np.repeat(np.arange(len(counts)), counts)
        self._index = first[band] + np.arange(len(band)) - self._starts[band]
        within = np.minimum(high[band], self._index + 0.5) - np.maximum(
            low[band], self._index - 0.5
        )
        at_an_end = (self._index == 0) | (self._index == len(lines) - 1)
        self._share = np.where(at_an_end, 2 * within, within)

    def power(self, lines: Array) -> Array:
        """From (…, B) powers of lines to (…, K) powers of bands."""
        if not len(self._starts):
            return np.zeros((*lines.shape[:-1], 0))
        pieces = lines.take(self._index, axis=-1)
        pieces *= self._share
        bands: Array = np.add.reduceat(pieces, self._starts, axis=-1)
        return bands


class Scheme:
    """The decidecade bands that lie wholly inside a spectrum, and their rows.

    Centres are 1000 Hz times a whole power of 10^(1/10), exactly, and edges are a factor
    10^(1/20) away from them (IEC 61260-1, base ten; ISO 18405 calls the band a decidecade).
    A row is a quarter of a band, even in the logarithm of frequency: spectrograms have rows.

    Bands that lie below the limit of the low band are taken from its spectrum, whose lines are
    finer, and the others from that of the segments. Narrower than ``LEAST_LINES`` lines is none.
    """

    def __init__(self, geometry: Geometry) -> None:
        lines, low_lines = geometry.frequencies, geometry.low_frequencies
        narrowest = LEAST_LINES * low_lines[1] / (HALF_BAND - 1 / HALF_BAND)
        first = ceil(10 * log10(narrowest / 1000))
        last = floor(10 * log10(geometry.rate / 2 / HALF_BAND / 1000))
        self.bands = _bands([float(number) for number in range(first, last + 1)], 1)
        quarters = range(first * ROWS, (last + 1) * ROWS)
        self.rows = _bands([(quarter - (ROWS - 1) / 2) / ROWS for quarter in quarters], ROWS)
        self.low_count = int(np.searchsorted(self.bands.upper, geometry.low_limit, side="right"))
        """Bands, from the first on, that the low band's spectrum gives."""

        low = self.low_count * ROWS
        self.low = Splitter(low_lines, self.rows.lower[:low], self.rows.upper[:low])
        self.high = Splitter(lines, self.rows.lower[low:], self.rows.upper[low:])


def banded(rows: Array, axis: int = -1) -> Array:
    """Powers of bands from those of their rows."""
    axis %= rows.ndim
    shape = (*rows.shape[:axis], rows.shape[axis] // ROWS, ROWS, *rows.shape[axis + 1 :])
    bands: Array = rows.reshape(shape).sum(axis=axis + 1)
    return bands


def _bands(numbers: list[float], parts: int) -> Bands:
    """Bands by their numbers, each a decidecade in so many parts."""
    centres = np.array([decidecade_centre(number=number) for number in numbers])
    half = HALF_BAND ** (1 / parts)
    return Bands(centres, centres / half, centres * half)
