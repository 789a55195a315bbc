"""Welch's spectra, second by second, and what is summed from them."""

import numpy as np

from calculators.recording.arrays import Array, Complexes, Floats
from calculators.recording.bands import banded
from calculators.recording.histogram import level_bins
from calculators.recording.low_band import LowBand
from calculators.recording.measures import Measures
from calculators.recording.partial import Partial

BATCH_SAMPLES = 2**15
"""Samples that are transformed at once: few enough to stay in the processor's cache."""


class Spectra:
    """Adds the segments of one stretch of a file to a partial result.

    Args:
        partial: Where everything is added.
        measures: What is measured.
        file: Index of the file.
        first: Frame at which the stretch begins; segments begin at multiples of half their length.
    """

    def __init__(self, partial: Partial, measures: Measures, file: int, first: int) -> None:
        geometry = measures.geometry
        self._partial = partial
        self._measures = measures
        self._file = file
        self._batch = max(1, BATCH_SAMPLES // (geometry.segment * measures.channels))
        shape = (measures.channels, self._batch)
        self._window = hann(geometry.segment)
        self._windowed = np.empty((*shape, geometry.segment))
        self._lines = np.empty((*shape, geometry.segment // 2 + 1), dtype=np.complex128)
        self._low_band = LowBand(geometry, measures.channels, -(-first // geometry.hop))
        self._high = _HighSeconds(partial, measures, file)
        self._low = _LowSeconds(partial, measures, file)

    def add(self, samples: Floats, segment: int, count: int, last: int) -> None:
        """``count`` segments from number ``segment`` on, in samples that begin with the first.

        Those that begin at frame ``last`` or later only complete the low band.
        """
        hop, rate = self._measures.geometry.hop, self._measures.rate
        frames = overlapping(samples, count, self._measures.geometry.segment)
        low = np.empty((len(samples), count, self._low_band.kept), dtype=np.complex128)
        done = 0
        while done < count:
            second, edge = divmod((segment + done) * hop, rate)
            # A batch stays within one second.
            end = done + min(self._batch, count - done, -(-(rate - edge) // hop))
            lines = self._transform(frames[:, done:end])
            low[:, done:end] = lines[..., : self._low_band.kept]
            if (segment + done) * hop < last:
                self._high.add(second, lines)
            done = end
        for number, lines in self._low_band.spectra(low):
            if number * hop < last:
                self._low.add(number * hop // rate, lines)

    def finish(self) -> None:
        """Add the last second."""
        self._high.flush()
        self._low.flush()

    def _transform(self, frames: Floats) -> Complexes:
        """Lines of segments, (C, n, B), in a buffer that is used again."""
        count = frames.shape[1]
        windowed = np.multiply(frames, self._window, out=self._windowed[:, :count])
        lines: Complexes = np.fft.rfft(windowed, axis=-1, out=self._lines[:, :count])
        return lines


class _HighSeconds:
    """Sums the segments that begin in a second."""

    def __init__(self, partial: Partial, measures: Measures, file: int) -> None:
        self._partial = partial
        self._measures = measures
        self._file = file
        self._second = 0
        self._count = 0
        geometry = measures.geometry
        self._squares = np.zeros((measures.channels, 2 * len(geometry.frequencies)))
        self._new = np.empty_like(self._squares)
        self._scale = one_sided(geometry.segment, measures.rate)

    def add(self, second: int, lines: Complexes) -> None:
        if second != self._second:
            self.flush()
            self._second = second
        parts = lines.view(np.float64)
        np.add(self._squares, np.einsum("cbj,cbj->cj", parts, parts, out=self._new), self._squares)
        self._count += lines.shape[1]

    def flush(self) -> None:
        if not self._count:
            return
        squares = self._squares.reshape(self._measures.channels, -1, 2)
        density = squares.sum(axis=-1) * self._scale
        sums, count = self._partial.sums, np.int64(self._count)
        sums.segments += count
        sums.density += density
        spacing = self._measures.geometry.frequencies[1]
        rows = self._measures.scheme.high.power(density) * spacing
        bands = banded(rows)
        count_levels(sums.levels, self._measures.scheme.low_count, bands / self._count)
        at = self._partial.starts[self._file] + self._second
        self._partial.columns.add(at, segments=count, rows_high=rows)
        self._partial.hours.add(at, segments=count, bands_high=bands)
        self._count = 0
        self._squares.fill(0)


class _LowSeconds:
    """Sums the segments of the low band that begin in a second."""

    def __init__(self, partial: Partial, measures: Measures, file: int) -> None:
        geometry = measures.geometry
        self._partial = partial
        self._measures = measures
        self._file = file
        self._second = 0
        self._count = 0
        lines = len(geometry.low_frequencies)
        self._density = np.zeros((measures.channels, lines))
        self._cross = np.zeros((measures.pairs, lines), dtype=np.complex128)
        self._scale = one_sided(geometry.low_segment, geometry.low_rate)[:lines]

    def add(self, second: int, lines: Complexes) -> None:
        if second != self._second:
            self.flush()
            self._second = second
        density = (lines.real**2 + lines.imag**2) * self._scale
        self._density += density
        sounding = density[:, 1:].all(axis=1)
        sums = self._partial.sums
        sums.low_log_segments += sounding
        sums.low_log[sounding, 1:] += np.log(density[sounding, 1:])
        paired = lines[: 2 * self._measures.pairs]
        self._cross += paired[0::2] * np.conj(paired[1::2]) * self._scale
        self._count += 1

    def flush(self) -> None:
        if not self._count:
            return
        density, cross, measures = self._density, self._cross, self._measures
        sums, count = self._partial.sums, np.int64(self._count)
        sums.low_segments += count
        sums.low_density += density
        sums.low_cross += cross
        spacing = measures.geometry.low_frequencies[1]
        rows = measures.scheme.low.power(density) * spacing
        bands = banded(rows)
        count_levels(sums.levels, 0, bands / self._count)
        at = self._partial.starts[self._file] + self._second
        self._partial.columns.add(
            at,
            low_segments=count,
            rows_low=rows,
            octaves=measures.octave_splitter.power(density) * spacing,
            octaves_cross=measures.octave_splitter.power(cross) * spacing,
        )
        self._partial.hours.add(at, low_segments=count, bands_low=bands)
        self._count = 0
        density.fill(0)
        cross.fill(0)


def hann(length: int) -> Floats:
    """The periodic Hann window, of which two that overlap by half add up to 1."""
    window: Floats = 0.5 - 0.5 * np.cos(2 * np.pi * np.arange(length) / length)
    return window


def one_sided(length: int, rate: float) -> Floats:
    """What makes squared lines of a segment under a Hann window a one-sided spectral density."""
    scale = np.full(length // 2 + 1, 2 / (rate * (hann(length) ** 2).sum()))
    scale[[0, -1]] /= 2
    return scale


def overlapping(samples: Floats, count: int, length: int) -> Floats:
    """Segments that overlap by half, (C, count, length), as a view."""
    step = samples.strides[1]
    shape = (samples.shape[0], count, length)
    strides = (samples.strides[0], step * length // 2, step)
    return np.lib.stride_tricks.as_strided(samples, shape, strides, writeable=False)


def count_levels(levels: Array, first: int, mean_square: Floats) -> None:
    """Count the levels of a second, (C, K), in the histograms of the bands from ``first`` on."""
    channels, bands = mean_square.shape
    at = np.arange(channels)[:, None], first + np.arange(bands)[None, :]
    levels[(*at, level_bins(mean_square))] += 1
