"""Finds stretches that come again, sample for sample: a buffer that was written twice.

Anchors are the frames of the highest and the lowest sample of each block. They go by the sound
and not by the count of frames, so a stretch that comes again has the same ones, wherever it lies.
Anchors with the same samples just before them are candidates; of these the frames themselves are
compared, from there on and back, as bytes.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import chain, repeat
from random import Random

import numpy as np

from calculators.recording.arrays import Array, Bytes, Counts, Floats
from calculators.recording.geometry import FARTHEST_REPEAT, Geometry
from calculators.recording.partial import Partial
from calculators.recording.places import Place, Run
from calculators.recording.runs import Edge

BEFORE = 8
"""Samples just before an anchor that have to be the same."""

TRIED = 32
"""Frames from an anchor on that have to be the same, before all are compared."""

MARGIN = 2**13
"""Frames that are kept beyond the farthest repeat, to find where it begins."""

LIVELY = 0.25
"""Part of the frames that have to differ from the one before: silence always repeats itself."""

STEPS = (256, 4096, 2**16)
"""Frames that are compared at once: few at first, as most ends are near."""

_DICE = Random(5)
"""Not numpy's: what a page fetches of numpy has no random numbers."""

_FACTORS = np.array([_DICE.getrandbits(64) | 1 for _ in range(BEFORE)], dtype=np.uint64)


@dataclass
class _Match:
    """Frames [first, end) that are those ``lag`` frames later."""

    first: int
    lag: int
    end: int


class Repeats:
    """Follows one stretch of a file, [first, last), and some frames beyond it.

    Args:
        partial: Where repeats are counted.
        geometry: Lengths.
        frame_bytes: Bytes of a frame.
        file: Index of the file.
        stretch: First frame, and the first one after it.
    """

    def __init__(
        self,
        partial: Partial,
        geometry: Geometry,
        frame_bytes: int,
        file: int,
        stretch: tuple[int, int],
    ) -> None:
        self._partial = partial
        self._shortest = geometry.settings.shortest_repeat
        self._frame_bytes = frame_bytes
        self._file = file
        self._first, self._last = stretch
        self._raw: Bytes = np.empty((0, frame_bytes), dtype=np.uint8)
        self._from = self._end = self._first
        self._anchors: Counts = np.empty(0, dtype=np.int64)
        self._keys = np.empty(0, dtype=np.uint64)
        self._open: list[_Match] = []
        self._edges: dict[str, Edge] = {}

    def add(self, raw: Bytes, anchors: Counts, samples: Floats, samples_from: int) -> None:
        """The next frames.

        Args:
            raw: Their bytes.
            anchors: Their anchors, in order.
            samples: Of the first channel: these frames and some before them.
            samples_from: The first frame of ``samples``.
        """
        self._keep(raw)
        for match in self._open:
            self._lengthen(match)
        anchors = anchors[anchors - samples_from >= BEFORE]
        keys = _keys(samples, anchors - samples_from)
        self._look_for(anchors, keys)
        still = [match for match in self._open if match.end + match.lag == self._end]
        for match in self._open:
            if match not in still:
                self._close(match)
        self._open = still

    def finish(self) -> None:
        """What is not closed goes as far as was read; runs at the ends may go on beyond them."""
        for match in self._open:
            self._close(match)
        stretches = self._partial.stretches
        if self._edges and stretches:
            (only,) = stretches
            heads = (*only.heads[:-1], self._edges.get("head", only.heads[-1]))
            tails = (*only.tails[:-1], self._edges.get("tail", only.tails[-1]))
            self._partial.stretches = (replace(only, heads=heads, tails=tails),)

    def _keep(self, raw: Bytes) -> None:
        """Remember these frames, and forget what lies too far back."""
        kept = self._raw[-(FARTHEST_REPEAT + MARGIN) :]
        self._raw = np.concatenate((kept, raw.reshape(-1, self._frame_bytes)))
        self._end += len(raw) // self._frame_bytes
        self._from = self._end - len(self._raw)

    def _look_for(self, anchors: Counts, keys: Array) -> None:
        """Matches of the new anchors with each other and with those before."""
        near = self._anchors > self._end - FARTHEST_REPEAT
        old = int(near.sum())
        self._anchors = np.concatenate((self._anchors[near], anchors))
        self._keys = np.concatenate((self._keys[near], keys))
        order = np.argsort(self._keys, kind="stable")
        same = np.flatnonzero(self._keys[order[1:]] == self._keys[order[:-1]])
        earlier, later = order[same], order[same + 1]
        new = later >= old
        one, two = self._anchors[earlier[new]], self._anchors[later[new]]
        for first, second in self._likely(one, two):
            if not any(match.first <= first < match.end for match in self._open):
                match = _Match(first, second - first, first)
                self._lengthen(match)
                self._begin_earlier(match)
                if match.end - match.first >= self._shortest and self._lively(match):
                    self._open.append(match)

    def _likely(self, one: Counts, two: Counts) -> list[tuple[int, int]]:
        """Those pairs of anchors after which some more frames are the same, in order."""
        known = (two + TRIED <= self._end) & (two - one <= FARTHEST_REPEAT) & (two > one)
        one, two = one[known], two[known]
        if not len(one):
            return []
        frames = np.arange(TRIED)
        same = (
            self._raw[one[:, None] - self._from + frames]
            == (self._raw[two[:, None] - self._from + frames])
        )
        likely = same.all(axis=(1, 2))
        return sorted(zip(one[likely].tolist(), two[likely].tolist(), strict=True))

    def _lengthen(self, match: _Match) -> None:
        """As far as the frames are the same."""
        for step in _steps():
            count = min(step, self._end - match.end - match.lag)
            differ = np.flatnonzero(self._differ(match, match.end, count))
            match.end += int(differ[0]) if len(differ) else count
            if len(differ) or count < step:
                return

    def _begin_earlier(self, match: _Match) -> None:
        """Back as far as the frames are the same, and are still kept."""
        for step in _steps():
            count = min(step, match.first - max(self._from, self._first))
            differ = np.flatnonzero(self._differ(match, match.first - count, count))
            match.first -= count - 1 - int(differ[-1]) if len(differ) else count
            if len(differ) or count < step:
                return

    def _differ(self, match: _Match, frame: int, count: int) -> Array:
        """Whether each of ``count`` frames from ``frame`` on differs from that a lag later."""
        at = frame - self._from
        one = self._raw[at : at + count]
        differ: Array = (one != self._raw[at + match.lag : at + match.lag + count]).any(axis=1)
        return differ

    def _lively(self, match: _Match) -> bool:
        at = match.first - self._from
        frames = self._raw[at : at + self._shortest]
        return bool((frames[1:] != frames[:-1]).any(axis=1).mean() >= LIVELY)

    def _close(self, match: _Match) -> None:
        """Count a match, if it begins in the stretch; at an end of it only note it."""
        if match.first >= self._last:
            return
        inside = min(match.end, self._last) - match.first
        edge = Edge(float(match.lag), inside, match.end - match.first - inside)
        if match.first == self._first:
            self._edges["head"] = edge
        if match.end >= self._last:
            self._edges["tail"] = edge
        elif match.first > self._first:
            run = Run(Place(self._file, match.first), inside)
            self._partial.close([(self._partial.channels, edge.value, run)])


def _keys(samples: Floats, at: Counts) -> Array:
    """A number for the samples just before each of these."""
    before = samples[at[:, None] + np.arange(-BEFORE, 0)]
    keys: Array = np.einsum("ab,b->a", before.view(np.uint64), _FACTORS)
    return keys


def _steps() -> Iterator[int]:
    return chain(STEPS, repeat(STEPS[-1]))
