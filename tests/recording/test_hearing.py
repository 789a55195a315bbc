"""A moment as sound for ears: right pitch, never sudden, never above the ceiling."""

import numpy as np
import pytest

from calculators.errors import InputError
from calculators.recording.hearing import CEILING, FASTEST, SLOWEST, audible, limiter_gain

RATE = 96_000


def tone(frequency, rate=RATE, seconds=1.0, level=0.01):
    return level * np.sin(2 * np.pi * frequency * np.arange(round(rate * seconds)) / rate)[None]


def pitch(sound):
    """Hz of the strongest line, and how much of the power lies within 5 Hz of it."""
    power = np.abs(np.fft.rfft(sound.samples[0])) ** 2
    hertz = np.fft.rfftfreq(sound.samples.shape[1], 1 / sound.rate)
    at = hertz[power.argmax()]
    return at, power[np.abs(hertz - at) <= 5].sum() / power.sum()


@pytest.mark.parametrize(
    ("frequency", "rate", "options", "heard", "played"),
    [
        (1000, 48_000, {}, 1000, 48_000),
        (1000, RATE, {}, 1000, 48_000),
        (9000, RATE, {"slower": 4}, 2250, 24_000),
        (9000, RATE, {"slower": 16}, 562.5, SLOWEST),
        (3000, SLOWEST, {"slower": 16}, 187.5, SLOWEST),
        (41_000, RATE, {"shift": 40_000}, 1000, FASTEST),
        (130_000, 384_000, {"shift": 125_000}, 5000, FASTEST),
    ],
)
def test_a_tone_is_heard_where_arithmetic_puts_it(frequency, rate, options, heard, played):
    """Divided by how much slower it is, or lowered by the shift; nothing beside it."""
    sound = audible(tone(frequency, rate), rate, **options)
    found, part = pitch(sound)

    assert sound.rate == played
    assert found == pytest.approx(heard, abs=2)
    assert part > 0.99
    slower = options.get("slower", 1)
    assert sound.samples.shape[1] / sound.rate == pytest.approx(slower, rel=1e-4)


def test_what_is_above_hearing_does_not_fold_into_it():
    """40 kHz at 96 kHz, played at 48 kHz, would be heard at 8 kHz if it were only decimated."""
    sound = audible(tone(40_000) + tone(1000), RATE, raised=0)

    assert pitch(sound)[0] == pytest.approx(1000, abs=1)
    assert pitch(sound)[1] > 0.99


def test_a_level_is_kept_where_nothing_is_raised():
    """In the middle, away from the fades; a slowed one too."""
    for options in ({}, {"slower": 2}, {"shift": 500.0}):
        sound = audible(tone(1000, level=0.2, seconds=3), RATE, raised=0, **options)
        middle = sound.samples[0, sound.rate : 2 * sound.rate]
        assert np.sqrt(2 * np.mean(middle**2)) == pytest.approx(0.2, rel=2e-3)
        assert sound.limited == 0


def test_a_quiet_moment_is_raised_and_a_loud_one_is_not():
    """To −30 dB; and by what is said where something is said."""
    quiet = audible(tone(1000, level=1e-3), RATE)
    loud = audible(tone(1000, level=0.3), RATE)

    assert quiet.raised == pytest.approx(33, abs=0.5)  # 0.03 over 0.001/√2 is 32.6 dB
    assert loud.raised == 0
    assert audible(tone(1000), RATE, raised=12.0).raised == 12.0
    assert audible(np.zeros((1, 4800)), RATE).raised == 0


def test_it_comes_in_softly_and_nothing_is_above_the_ceiling():
    """A bang at the first sample, one in the middle, raised as far as it goes."""
    rng = np.random.default_rng(4)
    moment = 1e-3 * rng.standard_normal((2, RATE))
    moment[:, [0, 40_000, 40_500]] = 1.0
    sound = audible(moment, RATE, raised=60.0)

    assert np.abs(sound.samples).max() <= CEILING * (1 + 1e-6)
    assert np.abs(sound.samples[:, : sound.rate // 100]).max() < 0.002
    assert sound.limited > 20


def test_the_limiter_holds_for_any_moment_and_leaves_a_soft_one_alone():
    """Its promise: nowhere above the ceiling, whatever comes."""
    rng = np.random.default_rng(5)
    for _ in range(50):
        loudest = rng.exponential(0.1, rng.integers(1, 5000)) ** rng.uniform(0.2, 3)
        gain = limiter_gain(loudest, int(rng.integers(1, 300)))
        assert (gain * loudest).max() <= CEILING * (1 + 1e-9)
        assert gain.max() <= 1
        assert gain.min() > 0
    assert limiter_gain(np.full(100, CEILING), 7).min() == 1


@pytest.mark.parametrize(
    ("frames", "options", "words"),
    [
        (0, {}, "more than 0 s"),
        (100, {"slower": 3}, "3 times slower"),
        (100, {"shift": 48_000}, "less than 48000 Hz"),
        (100, {"shift": -1}, "give 0 Hz"),
        (100, {"raised": 61}, "0 dB to 60 dB"),
        ((1 << 21) + 1, {}, "at most 21.8 s"),
        (1 << 20, {"slower": 16, "rate": 8000}, "So slow, give at most 32.8 s"),
    ],
)
def test_what_cannot_be_played_is_refused_by_name(frames, options, words):
    """With what is accepted."""
    with pytest.raises(InputError, match=words):
        audible(np.zeros((1, frames)), **{"rate": RATE, **options})
