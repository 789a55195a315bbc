"""One pass against any cutting, and against what other libraries make of the same samples."""

import numpy as np
import pytest
from scipy.signal import welch

from calculators.recording.engine import PartCheck, cuts
from calculators.recording.errors import RecordingError
from calculators.recording.settings import Settings
from tests.recording.measured import RATE, in_parts, int24, layout, measured, signal, summary


@pytest.mark.parametrize("segment", [1024, 4096])
@pytest.mark.parametrize("channels", [1, 2, 3])
def test_density_is_that_of_another_library(segment, channels):
    """scipy.signal.welch of the samples as they were written."""
    raw, samples = int24(signal(channels))
    about = layout(channels, samples.shape[1])
    found = summary(measured(raw, about, settings=Settings(segment=segment)), about)
    frequencies, density = welch(
        samples, RATE, "hann", segment, segment // 2, detrend=False, scaling="density"
    )
    np.testing.assert_allclose(found.frequencies, frequencies, rtol=1e-12)
    np.testing.assert_allclose(found.density, density, rtol=1e-9)


def test_any_cutting_gives_what_one_pass_gives():
    """Parts of one to four seconds, merged in another order."""
    raw, samples = int24(signal())
    about = layout(*samples.shape)
    whole = summary(measured(raw, about), about)
    one, two, three, four = in_parts(raw, about, [0, RATE, 3 * RATE, 7 * RATE, about.frames])
    merged = summary(four.merge(two).merge(one.merge(three)), about)
    for name in ("density", "low_density", "low_cross", "band_mean_square"):
        np.testing.assert_allclose(getattr(merged, name), getattr(whole, name), rtol=1e-12)
    np.testing.assert_array_equal(merged.levels.counts, whole.levels.counts)
    for found, wanted in zip(merged.by_channel, whole.by_channel, strict=True):
        np.testing.assert_array_equal(found.ceiling, wanted.ceiling)
        for name in ("clipped", "zeros", "stuck", "lowest", "lowest_at", "highest", "highest_at"):
            assert getattr(found, name) == getattr(wanted, name), name
        assert found.mean == pytest.approx(wanted.mean, rel=1e-12)
        assert found.mean_square == pytest.approx(wanted.mean_square, rel=1e-12)
    for name in ("density", "bands", "mean", "peak", "clipped", "zeros", "coherence"):
        found, wanted = getattr(merged.columns, name), getattr(whole.columns, name)
        np.testing.assert_allclose(found, wanted, rtol=1e-9, atol=1e-15)


def test_places_and_counts_are_those_that_were_put_in():
    """What ``signal`` says."""
    raw, samples = int24(signal())
    about = layout(*samples.shape)
    left, right = summary(measured(raw, about), about).by_channel
    count = about.frames
    assert [(run.place.frame, run.length) for run in left.clipped.listed] == [(2 * count // 3, 9)]
    assert [(run.place.frame, run.length) for run in right.zeros.listed] == [(count // 3, 300)]
    assert (right.lowest_at.frame, right.lowest) == (count // 2, samples[1].min())
    assert left.mean == pytest.approx(samples[0].mean(), rel=1e-12)
    assert left.mean_square == pytest.approx(samples[0].var(), rel=1e-12)


def test_parts_begin_at_whole_seconds():
    """Slices belong to one part."""
    about = layout(2, 10 * RATE + 5)
    assert cuts(about, 3) == (0, 3 * RATE, 7 * RATE, 10 * RATE + 5)
    with pytest.raises(RecordingError, match="whole second"):
        PartCheck(about, Settings(), 0, 17, None)


def test_a_stretch_is_not_merged_twice():
    """Nothing counts double."""
    raw, samples = int24(signal(1, 2.0))
    about = layout(*samples.shape)
    with pytest.raises(RecordingError, match="in both results"):
        measured(raw, about).merge(measured(raw, about, 0, RATE))
