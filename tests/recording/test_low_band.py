"""The slower stream holds what lies below its edge, and hardly anything else."""

import numpy as np
import pytest

from calculators.recording.geometry import Geometry
from calculators.recording.low_band import LowBand
from calculators.recording.pairs import Pairs, hann, silent
from calculators.recording.settings import Settings
from calculators.recording.spectra import overlapping

CASES = [(96_000, 4096), (44_100, 4096), (48_000, 1024), (2000, 1024)]


def amplitudes(rate, segment, parts):
    """Of a sine of amplitude 1 in each line of the low band; ``parts`` of the low rate is its f."""
    geometry = Geometry(rate, Settings(segment=segment))
    count = (2 * geometry.low_step + 2) * geometry.hop
    sine = np.sin(2 * np.pi * parts / geometry.decimation * np.arange(count) + 0.3)
    frames = overlapping(sine[None], count // geometry.hop - 1, segment)
    low_band, number = LowBand(geometry, 1, 0), frames.shape[1]
    lowest = low_band.lowest(Pairs(1, number, hann(segment)).lines(frames))
    (_, (lines,)) = low_band.spectra(lowest, np.array([number]), silent(frames))
    return 2 * np.abs(lines[0]) / hann(geometry.low_segment).sum()


@pytest.mark.parametrize(("rate", "segment"), CASES)
def test_lines_are_at_most_a_hertz_apart_and_reach_harmonics_of_the_mains(rate, segment):
    """The requirement."""
    geometry = Geometry(rate, Settings(segment=segment))
    assert geometry.low_frequencies[1] <= 1
    assert geometry.low_limit >= min(870, rate / 2)


@pytest.mark.parametrize(("rate", "segment"), CASES)
def test_a_tone_in_the_low_band_keeps_its_amplitude(rate, segment):
    """On a line of the low band a Hann window gives the amplitude itself."""
    geometry = Geometry(rate, Settings(segment=segment))
    lines = geometry.low_frequencies
    for line in (20, len(lines) // 3, int(0.95 * len(lines))):
        found = amplitudes(rate, segment, lines[line] / geometry.low_rate)
        assert found[line] == pytest.approx(1, abs=1e-3)


@pytest.mark.parametrize(("rate", "segment"), CASES[:-1])
@pytest.mark.parametrize(("lowest", "highest", "bound"), [(0.5, 8.0, -75), (0.36, 0.5, -65)])
def test_a_tone_above_the_edge_hardly_enters(rate, segment, lowest, highest, bound):
    """At thirty frequencies, spaced evenly in their logarithm."""
    geometry = Geometry(rate, Settings(segment=segment))
    highest = min(highest, 0.49 * geometry.decimation)
    worst = max(
        amplitudes(rate, segment, parts).max() for parts in np.geomspace(lowest, highest, 30)
    )
    assert 20 * np.log10(worst) < bound
