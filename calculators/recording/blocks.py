"""What is measured of the samples themselves, in blocks of successive frames."""

import numpy as np

from calculators.recording.arrays import Array, Counts, Floats
from calculators.recording.geometry import BLOCK
from calculators.recording.histogram import count_levels
from calculators.recording.measures import CEILING_LOWEST, CEILING_STEP, CEILINGS, Measures
from calculators.recording.partial import Extremes, Partial
from calculators.recording.seconds import Seconds

SECONDS = 16
"""Seconds that are handed on together."""


class Blocks:
    """Adds the blocks of one stretch of a file to a partial result.

    Args:
        partial: Where everything is added.
        measures: What is measured.
        file: Index of the file.
        first: Frame at which the stretch begins; blocks begin at multiples of their length.
        step: What samples are counted in, as a part of full scale.
    """

    def __init__(
        self, partial: Partial, measures: Measures, file: int, first: int, step: float
    ) -> None:
        self._partial = partial
        self._step = step
        self._measures = measures
        self._file = file
        self._next = -(-first // BLOCK) * BLOCK
        self._seconds = _BlockSeconds(partial, measures, file)
        self._lowest = np.zeros(measures.channels)
        self._highest = np.zeros(measures.channels)
        self.anchors: Counts = np.empty(0, dtype=np.int64)
        """Of the blocks that were added last: see ``repeats``."""

    def add(self, samples: Floats, at: int, last: int) -> tuple[Floats, Floats]:
        """The blocks that begin in samples, (C, n), from frame ``at`` on.

        Those that begin at ``last`` or later are not counted; they only have anchors. Only at the
        end of the file may a block be shorter than others.

        Returns:
            The lowest and the highest sample of each channel that there is.
        """
        self._lowest.fill(np.inf)
        self._highest.fill(-np.inf)
        self.anchors = np.empty(0, dtype=np.int64)
        begin = min(self._next - at, samples.shape[1])
        if begin > 0:
            # At the start of a stretch: these belong to a block that began before it.
            before = self._step * samples[:, :begin]
            self._notice(before, before)
        owned = max(0, -(-(last - self._next) // BLOCK))
        whole = (samples.shape[1] - begin) // BLOCK
        shaped = samples[:, begin : begin + whole * BLOCK].reshape(len(samples), whole, BLOCK)
        if whole:
            self._measure(shaped, self._next, owned)
        rest = samples[:, begin + whole * BLOCK :]
        if rest.shape[1]:
            self._measure(rest[:, None, :], self._next + whole * BLOCK, owned - whole)
        self._next += whole * BLOCK + rest.shape[1]
        return self._lowest, self._highest

    def hand_on(self) -> None:
        """Add the seconds that are complete."""
        self._seconds.hand_on()

    def finish(self) -> None:
        """Add all seconds."""
        self._seconds.finish()

    def _measure(self, blocks: Floats, at: int, owned: int) -> None:
        """Blocks, (C, b, n), the first of which begins at ``at`` and ``owned`` of which count."""
        channels, count, length = blocks.shape
        # One channel at a time lies in one piece: of others argmax makes a copy.
        highs = np.stack([channel.argmax(axis=1) for channel in blocks])
        lows = np.stack([channel.argmin(axis=1) for channel in blocks])
        each = np.arange(channels)[:, None], np.arange(count)
        high, low = self._step * blocks[*each, highs], self._step * blocks[*each, lows]
        self._notice(low, high)
        starts = at + BLOCK * np.arange(count, dtype=np.int64)
        self._anchor(starts, (low[0], lows[0]), (high[0], highs[0]))
        if owned <= 0:
            return
        mine = slice(owned)
        blocks, starts, low, high = blocks[:, mine], starts[mine], low[:, mine], high[:, mine]
        total = np.einsum("cbi->cb", blocks) * self._step
        squares = np.einsum("cbi,cbi->cb", blocks, blocks) * self._step**2
        self._extremes(starts, (low, lows[:, mine]), (high, highs[:, mine]))
        self._ceiling(low, high)
        self._pairs(blocks, low, high)
        peak = np.maximum(high, -low)
        self._add_seconds(starts, length, total, squares, peak)

    def _anchor(
        self, starts: Counts, low: tuple[Floats, Counts], high: tuple[Floats, Counts]
    ) -> None:
        """Frames of the extremes of the first channel, of blocks that are not constant."""
        varied = low[0] < high[0]
        at = np.stack([starts + low[1], starts + high[1]], axis=1)[varied]
        at.sort(axis=1)
        self.anchors = np.concatenate((self.anchors, at.reshape(-1)))

    def _notice(self, low: Floats, high: Floats) -> None:
        np.minimum(self._lowest, low.min(axis=1), out=self._lowest)
        np.maximum(self._highest, high.max(axis=1), out=self._highest)

    def _extremes(
        self, starts: Counts, low: tuple[Floats, Counts], high: tuple[Floats, Counts]
    ) -> None:
        known = self._partial.extremes.values
        if (low[0].min(axis=1) >= known[0]).all() and (high[0].max(axis=1) <= known[1]).all():
            return
        channels = np.arange(len(low[0]))
        block = np.stack([low[0].argmin(axis=1), high[0].argmax(axis=1)])
        values = np.stack([low[0][channels, block[0]], high[0][channels, block[1]]])
        inside = np.stack([low[1][channels, block[0]], high[1][channels, block[1]]])
        places = np.stack([np.full_like(block, self._file), starts[block] + inside], axis=-1)
        found = Extremes(values, places.astype(np.int64))
        self._partial.extremes = self._partial.extremes.merged(found)

    def _ceiling(self, low: Floats, high: Floats) -> None:
        """Peaks of the blocks, those that are above zero and those below."""
        peaks = np.stack((high, -low), axis=1)
        with np.errstate(divide="ignore"):
            level = 20 * np.log10(np.maximum(peaks, 0))
        steps = np.clip(np.floor((level - CEILING_LOWEST) / CEILING_STEP), -1, CEILINGS)
        counts = self._partial.sums.ceiling
        rows = np.arange(0, counts.size, counts.shape[2]).reshape(*counts.shape[:2], 1)
        places = rows + steps.astype(np.intp) + 1
        counts += np.bincount(places.reshape(-1), minlength=counts.size).reshape(counts.shape)

    def _pairs(self, blocks: Floats, low: Floats, high: Floats) -> None:
        sums = self._partial.sums
        for pair in range(self._measures.pairs):
            one, two = 2 * pair, 2 * pair + 1
            left, right = blocks[one], blocks[two]
            # Not np.dot: threads of a BLAS would compete with the other processes.
            sums.products[pair] += np.einsum("bi,bi->", left, right) * self._step**2
            varied = (high[one] > low[one]) & (high[two] > low[two])
            same = varied & (high[one] == high[two]) & (low[one] == low[two])
            turned = varied & (high[one] == -low[two]) & (low[one] == -high[two])
            sums.varied[pair] += varied.sum() * blocks.shape[2]
            sums.equal[pair] += _agreeing(left, right, 1, same) * blocks.shape[2]
            sums.opposite[pair] += _agreeing(left, right, -1, turned) * blocks.shape[2]

    def _add_seconds(
        self, starts: Counts, length: int, total: Floats, squares: Floats, peak: Floats
    ) -> None:
        seconds = starts // self._measures.rate
        firsts = np.flatnonzero(np.diff(seconds, prepend=-1))
        frames = length * np.diff(firsts, append=len(seconds))
        total, squares = (np.add.reduceat(each, firsts, axis=1).T for each in (total, squares))
        peak = np.maximum.reduceat(peak, firsts, axis=1).T
        sums = self._seconds.sums
        for each, second in enumerate(seconds[firsts].tolist()):
            row = self._seconds.row(second)
            sums["frames"][row] += frames[each]
            sums["total"][row] += total[each]
            sums["squares"][row] += squares[each]
            np.maximum(sums["peak"][row], peak[each], out=sums["peak"][row])


class _BlockSeconds(Seconds):
    """Sums the blocks that begin in a second."""

    def __init__(self, partial: Partial, measures: Measures, file: int) -> None:
        self._partial = partial
        self._file = file
        each = np.zeros(measures.channels)
        empty = {"frames": np.zeros((), np.int64), "total": each, "squares": each, "peak": each}
        super().__init__(empty, SECONDS)

    def give(self, seconds: Counts, found: dict[str, Array]) -> None:
        sums, frames = self._partial.sums, found["frames"]
        sums.frames += frames.sum()
        sums.total += found["total"].sum(axis=0)
        sums.squares += found["squares"].sum(axis=0)
        each = frames[:, None]
        mean_square = found["squares"] / each - (found["total"] / each) ** 2
        last = sums.levels.shape[1] - 1
        count_levels(sums.levels, last, np.maximum(mean_square, 0)[..., None])
        at = self._partial.starts[self._file] + seconds
        self._partial.columns.add(at, **found)
        del found["peak"]
        self._partial.hours.add(at, **found)


def _agreeing(left: Floats, right: Floats, sign: int, candidates: Array) -> int:
    """How many of the candidate blocks are the same but for the sign, sample for sample."""
    if not candidates.any():
        return 0
    return int((left[candidates] == sign * right[candidates]).all(axis=1).sum())
