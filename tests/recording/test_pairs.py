"""Segments that were transformed in pairs have the powers and the signals of single ones."""

import numpy as np
import pytest
from scipy import fft

from calculators.recording.pairs import Pairs, apart, power_of_both, silent

LENGTH, CHANNELS = 256, 2


@pytest.fixture(params=[1, 2, 7, 8])
def segments(request):
    """Noise, some of it a million times as loud."""
    noise = np.random.default_rng(request.param).standard_normal((CHANNELS, request.param, LENGTH))
    noise[:, ::3] *= 1e6
    return noise


@pytest.fixture
def window():
    return np.hanning(LENGTH + 1)[:-1]


def test_the_power_of_pairs_is_that_of_their_segments(segments, window):
    """Scipy's transform of real numbers, one segment at a time."""
    lines = Pairs(CHANNELS, 8, window).lines(segments)
    found = power_of_both(np.abs(lines) ** 2).sum(axis=1)
    expected = (np.abs(fft.rfft(segments * window)) ** 2).sum(axis=1)
    assert found == pytest.approx(expected, rel=1e-12)


def test_a_filter_gives_each_segment_its_own_signal(segments, window):
    """A filter by its lines: scipy's transform there and back, one segment at a time."""
    gain = np.linspace(1, 0, LENGTH // 2 + 1)
    lines = Pairs(CHANNELS, 8, window).lines(segments)
    both = np.concatenate((gain, gain[-2:0:-1]))
    found = apart(fft.ifft(lines * both), np.array([segments.shape[1]]))
    expected = fft.irfft(fft.rfft(segments * window) * gain)
    loudest = np.abs(expected).max()
    assert found == pytest.approx(expected, abs=1e-14 * loudest)


def test_segments_come_apart_in_their_order(window):
    """Of several times, with an odd number in between."""
    counts = [3, 2, 1, 4]
    segments = np.random.default_rng(1).standard_normal((CHANNELS, sum(counts), LENGTH))
    pairs = Pairs(CHANNELS, max(counts), window)
    lines = [
        pairs.lines(part).copy() for part in np.split(segments, np.cumsum(counts)[:-1], axis=1)
    ]
    found = apart(fft.ifft(np.concatenate(lines, axis=1)), np.array(counts))
    assert found == pytest.approx(segments * window, abs=1e-14)


def test_an_odd_segment_has_nothing_of_the_one_that_was_there_before(window):
    """The memory is used again: what stands in it must not be heard."""
    pairs = Pairs(1, 2, window)
    pairs.lines(np.full((1, 2, LENGTH), 1e9))
    lines = pairs.lines(np.ones((1, 1, LENGTH)))
    assert power_of_both(np.abs(lines) ** 2)[0, 0] == pytest.approx(
        np.abs(fft.rfft(window)) ** 2, rel=1e-12, abs=1e-24
    )


def test_silent_is_what_is_zero_under_the_window():
    """A window that begins with zero does not let the first sample through."""
    segments = np.zeros((2, 5, LENGTH))
    segments[0, 1, 0] = 1
    segments[0, 2, 1] = 1e-300
    segments[0, 3, LENGTH // 2] = 1
    segments[1, 4, -1] = -1
    assert silent(segments).tolist() == [
        [True, True, False, False, True],
        [True, True, True, True, False],
    ]
