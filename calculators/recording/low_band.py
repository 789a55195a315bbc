"""The low band: a slower stream of samples, made from the spectra that are there anyway.

Segments overlap by half under a periodic Hann window, so the windowed segments add up to the
signal itself. Each segment's lines up to the edge of the low band are turned back into samples at
the low rate, and added up they are the signal below that edge. What lies above it can enter only
as far as the Hann window leaks, which falls by 18 dB an octave: a tone above half the low rate is
found in no line that is kept at more than −75 dB of itself, a tone between the last line kept and
half the low rate at no more than −65 dB (``tests/recording/test_low_band.py``).
"""

from collections.abc import Iterator

import numpy as np

from calculators.recording.arrays import Complexes, Counts, Flags, Floats
from calculators.recording.geometry import LOW_PASS, LOW_STOP, Geometry
from calculators.recording.pairs import apart, hann


class LowBand:
    """Collects segments, in order, and gives the spectra of the low band's own segments.

    Args:
        geometry: Lengths and rates.
        channels: C.
        segment: Number of the first segment that will come.
    """

    def __init__(self, geometry: Geometry, channels: int, segment: int) -> None:
        self._hop, self._step = geometry.low_hop, geometry.low_step
        self._next = segment
        self._number = -(-segment // geometry.low_step)
        self._tail: Floats = np.zeros((channels, geometry.low_hop))
        self._held = np.zeros((channels, geometry.low_segment))
        self._filled = 0
        edge = _edge(geometry)
        self._edge = np.concatenate((edge, edge[-2:0:-1]))  # of the lines below zero as well
        self._window = hann(geometry.low_segment)
        self._lines = len(geometry.low_frequencies)

    def lowest(self, lines: Complexes) -> Complexes:
        """Those lines of pairs of segments, (C, p, N), that are needed, (C, p, M): a copy."""
        hop = self._hop
        below = lines[..., lines.shape[-1] - hop + 1 :]
        return np.concatenate((lines[..., : hop + 1], below), axis=-1)

    def spectra(
        self, lines: Complexes, counts: Counts, silences: Flags
    ) -> tuple[Counts, Complexes]:
        """From the lowest lines of windowed segments the low band's spectra that are complete.

        Args:
            lines: (C, p, M), of the pairs of n successive segments: see ``lowest``.
            counts: How many segments were transformed together each time; their sum is n.
            silences: Which of the segments are silent, (C, n).

        Returns:
            The numbers of the m segments at which they begin, (m,), and their lines, (m, C, L),
            under a Hann window and otherwise unscaled.
        """
        pieces = apart(np.fft.ifft(lines * self._edge, axis=-1), counts)
        pieces[silences] = 0.0
        complete = list(self._complete(pieces))
        numbers = np.array([number for number, _ in complete], dtype=np.int64)
        held = np.array([held for _, held in complete]).reshape(-1, *self._held.shape)
        return numbers, np.fft.rfft(held, axis=-1)[..., : self._lines]

    def _complete(self, pieces: Floats) -> Iterator[tuple[int, Floats]]:
        """The segments of the low band that become complete, under their window.

        Args:
            pieces: Windowed segments at the low rate, (C, n, M).
        """
        hop, length = self._hop, self._held.shape[1]
        blocks = pieces[..., :hop]
        blocks[:, 1:] += pieces[:, :-1, hop:]
        blocks[:, 0] += self._tail
        self._tail = pieces[:, -1, hop:]
        # The block of segment s needs segment s − 1 too, so a stretch has none of its first one.
        done = max(0, self._number * self._step + 1 - self._next) if not self._filled else 0
        self._next += pieces.shape[1]
        while done < pieces.shape[1]:
            count = min(pieces.shape[1] - done, (length - self._filled) // hop)
            end = self._filled + count * hop
            room = self._held[:, self._filled : end].reshape(len(blocks), count, hop)
            room[:] = blocks[:, done : done + count]
            self._filled, done = end, done + count
            if self._filled == length:
                yield self._number * self._step, self._held * self._window
                self._forget_half()

    def _forget_half(self) -> None:
        half = self._held.shape[1] // 2
        self._held[:, :half] = self._held[:, half:]
        self._filled = half
        self._number += 1


def _edge(geometry: Geometry) -> Floats:
    """How much of each line goes into the low band: 1, then half a cosine down to 0."""
    count = geometry.low_hop + 1
    if geometry.decimation == 1:
        return np.ones(count)
    place = np.arange(count) / (2 * geometry.low_hop)
    fall = np.clip((place - LOW_PASS) / (LOW_STOP - LOW_PASS), 0, 1)
    edge: Floats = (0.5 + 0.5 * np.cos(np.pi * fall)) / geometry.decimation
    return edge
