"""The mean of logarithms of the low band: what noise, a loud moment and silence make of it."""

import numpy as np
import pytest

from calculators.recording.geometry import Geometry
from calculators.recording.settings import Settings
from tests.recording.measured import RATE, in_parts, int24, layout, measured, summary

EULER = 0.5772156649015329


def of(sound):
    raw, _ = int24(np.atleast_2d(sound))
    about = layout(np.atleast_2d(sound).shape[0], np.atleast_2d(sound).shape[1])
    return raw, about


def test_of_noise_it_lies_below_the_mean_by_the_constant_of_euler() -> None:
    """Known of chi-square with two degrees of freedom: E ln(χ²/2) = −γ; 120 s, 700 lines."""
    sound = 0.01 * np.random.default_rng(1).standard_normal(120 * RATE)
    found = summary(measured(*of(sound)), of(sound)[1])
    lines = slice(5, -5)
    difference = np.log(found.low_density[0, lines]) - found.low_log_density[0, lines]
    assert difference.mean() == pytest.approx(EULER, abs=0.01)
    assert found.low_log_segments[0] == found.low_segments


def test_a_loud_moment_counts_only_for_its_time() -> None:
    """A tenth of the time 40 dB louder: 30 dB more in the mean, 4 dB in the mean of logarithms."""
    sound = 0.001 * np.random.default_rng(2).standard_normal(100 * RATE)
    loud = sound.copy()
    loud[40 * RATE : 50 * RATE] *= 100
    one, two = (summary(measured(*of(s)), of(s)[1]) for s in (sound, loud))
    change = 10 / np.log(10) * (two.low_log_density - one.low_log_density)[0, 5:]
    assert change.mean() == pytest.approx(4.0, abs=0.3)


def test_parts_add_up_to_the_whole() -> None:
    sound = 0.01 * np.random.default_rng(3).standard_normal((2, 20 * RATE))
    raw, about = of(sound)
    whole = measured(raw, about)
    parts = in_parts(raw, about, (0, 7 * RATE, 13 * RATE, 20 * RATE))
    merged = parts[0].merge(parts[1]).merge(parts[2])
    assert (merged.sums.low_log_segments == whole.sums.low_log_segments).all()
    assert np.allclose(merged.sums.low_log, whole.sums.low_log, rtol=1e-9)


def test_silence_is_left_out() -> None:
    sound = 0.01 * np.random.default_rng(4).standard_normal((2, 20 * RATE))
    sound[1] = 0
    found = summary(measured(*of(sound)), of(sound)[1])
    assert found.low_log_segments[1] == 0
    assert np.isnan(found.low_log_density[1]).all()
    assert np.isfinite(found.low_log_density[0]).all()


@pytest.mark.parametrize("sounding", range(40, 48))
def test_silence_after_sound_is_silent_at_once(sounding: int) -> None:
    """A segment of zeros that was transformed with a loud one keeps nothing of it.

    The last segment with sound begins a hop before the sound ends. A segment of the low band begins
    with the second half of one of these, so it sounds if that is not a later one.
    """
    geometry = Geometry(RATE, Settings())
    sound = 0.01 * np.random.default_rng(5).standard_normal(60 * RATE)
    sound[sounding * geometry.hop :] = 0
    found = summary(measured(*of(sound)), of(sound)[1])
    last = sounding - 1
    assert found.low_log_segments[0] == last // geometry.low_step + 1 < found.low_segments
