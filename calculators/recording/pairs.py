"""Segments that are transformed two at a time, as one complex signal.

Two real segments a and b of N samples, taken as z = a + ib, have the lines Z, and from these

    |A[k]|² + |B[k]|² = (|Z[k]|² + |Z[N − k]|²) / 2

is the power of both. A filter with real samples turns Z back into a filtered, the real part, and b
filtered, the imaginary one. Both follow from the lines of a real signal, A[N − k] = A[k]*.

One transform of complex numbers takes less time than two of real ones do, also as it can be made in
place. Nothing is lost but that each of the two is rounded as the louder one is, 300 dB below it.
"""

import numpy as np

from calculators.recording.arrays import Complexes, Counts, Flags, Floats


class Pairs:
    """Transforms windowed segments, two successive ones of a channel together.

    Args:
        channels: C.
        most: Segments that are transformed at once, at most.
        window: That each is multiplied by, (N,), of an even number of samples.
    """

    def __init__(self, channels: int, most: int, window: Floats) -> None:
        self._window = window
        self._signals = np.empty((channels, pairs_of(most), len(window)), dtype=np.complex128)

    def lines(self, segments: Floats) -> Complexes:
        """Lines of segments, (C, n, N), two by two, (C, ⌈n/2⌉, N); an odd one stands alone.

        They are in a buffer that is used again.
        """
        count = segments.shape[1]
        signals = self._signals[:, : pairs_of(count)]
        np.multiply(segments[:, 0::2], self._window, out=signals.real)
        np.multiply(segments[:, 1::2], self._window, out=signals.imag[:, : count // 2])
        if count % 2:
            signals.imag[:, -1] = 0.0
        lines: Complexes = np.fft.fft(signals, axis=-1, out=signals)
        return lines


def hann(length: int) -> Floats:
    """The periodic Hann window, of which two that overlap by half add up to 1."""
    window: Floats = 0.5 - 0.5 * np.cos(2 * np.pi * np.arange(length) / length)
    return window


def pairs_of(count: int) -> int:
    """How many pairs so many segments are, the last one of an odd number alone."""
    return -(-count // 2)


def power_of_both(squares: Floats) -> Floats:
    """Power of both segments of pairs in each line, (…, N/2 + 1), from |Z|², (…, N)."""
    half = squares.shape[-1] // 2
    power = squares[..., : half + 1].copy()
    power[..., 1:half] += squares[..., :half:-1]
    power[..., 1:half] /= 2
    return power


def apart(pairs: Complexes, counts: Counts) -> Floats:
    """The real signals, (C, n, M), that were made of the segments of pairs, (C, p, M).

    Args:
        pairs: The signals as they come from lines of pairs.
        counts: How many segments were transformed together each time; their sum is n.
    """
    channels, _, length = pairs.shape
    both = np.stack((pairs.real, pairs.imag), axis=2).reshape(channels, -1, length)
    there = np.concatenate([np.arange(2 * pairs_of(count)) < count for count in counts])
    signals: Floats = both[:, there]
    return signals


def silent(segments: Floats) -> Flags:
    """Which segments, (C, n, N), have nothing but zeros under a window that begins with zero.

    Next to a loud one such a segment would be left with what rounding makes of that. Most segments
    are settled by their middle sample.
    """
    found: Flags = segments[..., segments.shape[-1] // 2] == 0
    for place in zip(*np.nonzero(found), strict=True):
        found[place] = not segments[place][1:].any()
    return found
