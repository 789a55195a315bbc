"""Which frames of a file belong to which segment, slice and block, and to which frequencies.

All of these count from the first frame of the file, never from where a part begins: so it does
not matter how a file is cut. What starts inside a part belongs to that part.
"""

from dataclasses import dataclass
from functools import cached_property
from math import ceil, log2

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.settings import Settings

BLOCK = 512
"""Frames of a block: of each one, the highest and the lowest sample and two sums are taken."""

FARTHEST_REPEAT = 2**16
"""Frames from a stretch to the same one again, at most: more than a recorder's buffer holds."""

LOW_RATE = 2500.0
"""Hz. The low band is sampled at this rate or up to twice as fast, if the recording is."""

LOW_BINS = 128
"""Least samples of the low band in a segment: its edge needs that many lines to fall off."""

LOW_PASS, LOW_STOP = 0.35, 0.5
"""Parts of the low rate. Up to the first the low band is flat, at the second it is zero."""


@dataclass(frozen=True)
class Geometry:
    """Lengths in frames, and frequencies, of everything that is measured at one rate."""

    rate: int
    settings: Settings

    @cached_property
    def segment(self) -> int:
        """Frames of a segment."""
        return self.settings.segment

    @cached_property
    def hop(self) -> int:
        """Frames from one segment to the next: half a segment."""
        return self.segment // 2

    @cached_property
    def frequencies(self) -> Floats:
        """Hz, of every line of the spectrum, (B,)."""
        return np.fft.rfftfreq(self.segment, 1 / self.rate)

    @cached_property
    def decimation(self) -> int:
        """Frames for one sample of the low band, a power of two."""
        most = min(self.rate / LOW_RATE, self.segment / LOW_BINS)
        return 1 << int(log2(max(most, 1.0)))

    @cached_property
    def low_rate(self) -> float:
        """Samples a second of the low band."""
        return self.rate / self.decimation

    @cached_property
    def low_hop(self) -> int:
        """Samples of the low band in one hop of the segments."""
        return self.hop // self.decimation

    @cached_property
    def low_segment(self) -> int:
        """Samples of a segment of the low band: a second to two, so lines at most 1 Hz apart."""
        second = 1 << ceil(log2(self.low_rate))
        return max(second, 4 * self.low_hop)

    @cached_property
    def low_step(self) -> int:
        """Hops from one segment of the low band to the next: half of it."""
        return self.low_segment // 2 // self.low_hop

    @cached_property
    def low_frequencies(self) -> Floats:
        """Hz, of every line of the low band that is kept, (L,): up to where it is flat."""
        lines = np.fft.rfftfreq(self.low_segment, 1 / self.low_rate)
        return lines if self.decimation == 1 else lines[lines <= LOW_PASS * self.low_rate]

    @cached_property
    def low_limit(self) -> float:
        """Hz up to which the low band is flat."""
        return float(self.low_frequencies[-1])

    def end_of(self, last: int, frames: int) -> int:
        """The first frame that a part does not need which ends before frame ``last``."""
        repeat = last + FARTHEST_REPEAT + self.settings.shortest_repeat + 2 * BLOCK
        low = (last - 1) // (self.low_step * self.hop) * self.low_step + 2 * self.low_step
        return min(frames, max(repeat, low * self.hop + self.segment))
