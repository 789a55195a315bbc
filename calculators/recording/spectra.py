"""Welch's spectra, second by second, and what is summed from them."""

import numpy as np

from calculators.recording.arrays import Array, Complexes, Counts, Floats
from calculators.recording.bands import banded
from calculators.recording.histogram import count_levels
from calculators.recording.low_band import LowBand
from calculators.recording.measures import Measures
from calculators.recording.pairs import Pairs, hann, power_of_both, silent
from calculators.recording.partial import Partial
from calculators.recording.seconds import Seconds

BATCH_SAMPLES = 2**17
"""Samples that are transformed at once: some segments, as calls cost time, and not too many for the
processor's cache."""

SECONDS_VALUES = 2**18
"""Numbers that are kept of seconds before they are handed on together: two megabytes."""

MOST_SECONDS = 32
"""Seconds that are handed on together, at most."""


class Spectra:
    """Adds the segments of one stretch of a file to a partial result.

    Args:
        partial: Where everything is added.
        measures: What is measured.
        file: Index of the file.
        first: Frame at which the stretch begins; segments begin at multiples of half their length.
        step: What samples are counted in, as a part of full scale.
    """

    def __init__(
        self, partial: Partial, measures: Measures, file: int, first: int, step: float
    ) -> None:
        geometry = measures.geometry
        self._partial = partial
        self._measures = measures
        self._file = file
        self._batch = 2 * max(1, BATCH_SAMPLES // (2 * geometry.segment * measures.channels))
        self._pairs = Pairs(measures.channels, self._batch, hann(geometry.segment) * step)
        self._low_band = LowBand(geometry, measures.channels, -(-first // geometry.hop))
        self._high = _HighSeconds(partial, measures, file)
        self._low = _LowSeconds(partial, measures, file)

    def add(self, samples: Floats, segment: int, count: int, last: int) -> None:
        """``count`` segments from number ``segment`` on, in samples that begin with the first.

        Those that begin at frame ``last`` or later only complete the low band.
        """
        hop, rate = self._measures.geometry.hop, self._measures.rate
        frames = overlapping(samples, count, self._measures.geometry.segment)
        lowest, counts, done = [], [], 0
        while done < count:
            second, edge = divmod((segment + done) * hop, rate)
            # A batch stays within one second.
            batch = min(self._batch, count - done, -(-(rate - edge) // hop))
            lines = self._pairs.lines(frames[:, done : done + batch])
            lowest.append(self._low_band.lowest(lines))
            counts.append(batch)
            if (segment + done) * hop < last:
                self._high.add(second, lines, batch)
            done += batch
        numbers, lines = self._low_band.spectra(
            np.concatenate(lowest, axis=1), np.array(counts), silent(frames)
        )
        mine = numbers * hop < last
        self._low.add(numbers[mine] * hop // rate, lines[mine])

    def hand_on(self) -> None:
        """Add the seconds that are complete."""
        self._high.hand_on()
        self._low.hand_on()

    def finish(self) -> None:
        """Add all seconds."""
        self._high.finish()
        self._low.finish()


class _HighSeconds(Seconds):
    """Sums the segments that begin in a second."""

    def __init__(self, partial: Partial, measures: Measures, file: int) -> None:
        self._partial = partial
        self._measures = measures
        self._file = file
        geometry = measures.geometry
        self._new = np.empty((measures.channels, 2 * geometry.segment))
        self._scale = one_sided(geometry.segment, measures.rate)
        empty = {"squares": self._new, "segments": np.zeros((), np.int64)}
        super().__init__(empty, max(1, SECONDS_VALUES // self._new.size))

    def add(self, second: int, lines: Complexes, count: int) -> None:
        """The lines of pairs of ``count`` segments that begin in a second."""
        row, parts = self.row(second), lines.view(np.float64)
        squares = self.sums["squares"][row]
        np.add(squares, np.einsum("cbj,cbj->cj", parts, parts, out=self._new), out=squares)
        self.sums["segments"][row] += count

    def give(self, seconds: Counts, found: dict[str, Array]) -> None:
        squares, segments = found["squares"], found["segments"]
        density = power_of_both(squares[..., 0::2] + squares[..., 1::2]) * self._scale
        sums, measures = self._partial.sums, self._measures
        sums.segments += segments.sum()
        sums.density += density.sum(axis=0)
        rows = measures.scheme.high.power(density) * measures.geometry.frequencies[1]
        bands = banded(rows)
        count_levels(sums.levels, measures.scheme.low_count, bands / segments[:, None, None])
        at = self._partial.starts[self._file] + seconds
        self._partial.columns.add(at, segments=segments, rows_high=rows)
        self._partial.hours.add(at, segments=segments, bands_high=bands)


class _LowSeconds(Seconds):
    """Sums the segments of the low band that begin in a second."""

    def __init__(self, partial: Partial, measures: Measures, file: int) -> None:
        geometry = measures.geometry
        self._partial = partial
        self._measures = measures
        self._file = file
        lines = len(geometry.low_frequencies)
        self._scale = one_sided(geometry.low_segment, geometry.low_rate)[:lines]
        empty = {
            "density": np.zeros((measures.channels, lines)),
            "cross": np.zeros((measures.pairs, lines), dtype=np.complex128),
            "segments": np.zeros((), np.int64),
        }
        most = max(1, SECONDS_VALUES // (measures.channels * lines))
        super().__init__(empty, min(most, MOST_SECONDS))

    def add(self, seconds: Counts, lines: Complexes) -> None:
        """Spectra, (m, C, L), of segments that begin in these seconds, (m,)."""
        density = (lines.real**2 + lines.imag**2) * self._scale
        self._add_logarithms(density)
        paired = lines[:, : 2 * self._measures.pairs]
        cross = paired[:, 0::2] * np.conj(paired[:, 1::2]) * self._scale
        for each, second in enumerate(seconds.tolist()):
            row = self.row(second)
            self.sums["density"][row] += density[each]
            self.sums["cross"][row] += cross[each]
            self.sums["segments"][row] += 1

    def _add_logarithms(self, density: Floats) -> None:
        sums = self._partial.sums
        with np.errstate(divide="ignore"):
            logarithms = np.log(density[..., 1:])
        sounding = np.isfinite(logarithms.sum(axis=-1))
        logarithms[~sounding] = 0.0
        sums.low_log_segments += sounding.sum(axis=0)
        sums.low_log[:, 1:] += logarithms.sum(axis=0)

    def give(self, seconds: Counts, found: dict[str, Array]) -> None:
        density, cross, segments = found["density"], found["cross"], found["segments"]
        sums, measures = self._partial.sums, self._measures
        sums.low_segments += segments.sum()
        sums.low_density += density.sum(axis=0)
        sums.low_cross += cross.sum(axis=0)
        spacing = measures.geometry.low_frequencies[1]
        rows = measures.scheme.low.power(density) * spacing
        bands = banded(rows)
        count_levels(sums.levels, 0, bands / segments[:, None, None])
        at = self._partial.starts[self._file] + seconds
        self._partial.columns.add(
            at,
            low_segments=segments,
            rows_low=rows,
            octaves=measures.octave_splitter.power(density) * spacing,
            octaves_cross=measures.octave_splitter.power(cross) * spacing,
        )
        self._partial.hours.add(at, low_segments=segments, bands_low=bands)


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
