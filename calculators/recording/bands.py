"""Decidecade bands, and the power of a spectrum between any edges."""

from dataclasses import dataclass
from math import ceil, floor, log10

import numpy as np

from calculators.recording.arrays import Array, Floats
from calculators.recording.geometry import Geometry

LEAST_LINES = 3.0
"""Lines of the spectrum that a band has to be wide, lest its edges decide its level."""

LOWEST_ROW = 5.0
"""Hz, lower edge of a spectrogram."""


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


@dataclass(frozen=True)
class Split:
    """Bands of which the lower ones are taken from the low band's spectrum."""

    bands: Bands
    low: Splitter
    high: Splitter
    low_count: int
    """Bands, from the first on, that the low band's spectrum gives."""


def decidecades(geometry: Geometry) -> Split:
    """The decidecade bands that lie wholly inside the spectrum.

    Centres are 1000 Hz times a whole power of 10^(1/10), exactly, and edges are a factor
    10^(1/20) away from them (IEC 61260-1, base ten; ISO 18405 calls the band a decidecade).
    """
    narrowest = LEAST_LINES * geometry.low_frequencies[1]
    first = ceil(10 * log10(narrowest / (10**0.05 - 10**-0.05) / 1000))
    last = floor(10 * log10(geometry.rate / 2 / 10**0.05 / 1000))
    centres = np.array([1000 * 10 ** (n / 10) for n in range(first, last + 1)])
    return _split(Bands(centres, centres * 10**-0.05, centres * 10**0.05), geometry)


def picture_rows(geometry: Geometry) -> Split:
    """The rows of a spectrogram: evenly spaced in the logarithm of frequency up to half the rate.

    Below the limit of the low band they have its finer lines.
    """
    edges = np.geomspace(LOWEST_ROW, geometry.rate / 2, geometry.settings.rows + 1)
    edges[-1] = geometry.rate / 2
    return _split(Bands(np.sqrt(edges[:-1] * edges[1:]), edges[:-1], edges[1:]), geometry)


def _split(bands: Bands, geometry: Geometry) -> Split:
    low = int(np.searchsorted(bands.upper, geometry.low_limit, side="right"))
    lines, low_lines = geometry.frequencies, geometry.low_frequencies
    return Split(
        bands,
        Splitter(low_lines, bands.lower[:low], bands.upper[:low]),
        Splitter(lines, bands.lower[low:], bands.upper[low:]),
        low,
    )
