"""A buffer that was written twice is found to the frame, however long it is and however it lies."""

import numpy as np
import pytest

from tests.recording.measured import in_parts, int24, layout, measured, summary

RATE = 48_000


def with_repeat(seconds, first, length, scale, channels=2, seed=3):
    """Noise in which ``length`` frames from ``first`` on come again just after."""
    noise = scale * np.random.default_rng(seed).standard_normal((channels, int(seconds * RATE)))
    again = noise[:, first : first + length]
    return np.concatenate((noise[:, : first + length], again, noise[:, first + length :]), axis=1)


def found(partial, about):
    """Where they come again, and how long."""
    repeats = summary(partial, about).repeats
    return [(run.place.frame, run.length) for run in repeats.listed]


@pytest.mark.parametrize(
    ("first", "length", "scale"),
    [
        (50_000, 4096, 0.1),
        (70_001, 1531, 0.1),
        (3, 20_000, 0.1),
        (100_003, 60_001, 0.1),
        (90_000, 8192, 3 * 2**-23),  # a few steps of the converter: each value occurs often
    ],
)
def test_a_buffer_written_twice_is_found_to_the_frame(first, length, scale):
    """Wherever a chunk ends, and whatever the buffer holds."""
    raw, samples = int24(with_repeat(5, first, length, scale))
    about = layout(*samples.shape, rate=RATE)
    assert found(measured(raw, about), about) == [(first + length, length)]


@pytest.mark.parametrize("first", [RATE - 3000, RATE - 6000, RATE - 5, RATE, RATE + 1])
def test_a_repeat_across_the_end_of_a_part_is_one(first):
    """The part before, the part after, and both copies in either."""
    raw, samples = int24(with_repeat(4, first, 6000, 0.1))
    about = layout(*samples.shape, rate=RATE)
    one, two, three = in_parts(raw, about, [0, RATE, 2 * RATE, about.frames])
    assert found(one.merge(two).merge(three), about) == [(first + 6000, 6000)]
    assert found(three.merge(one).merge(two), about) == [(first + 6000, 6000)]


def test_a_long_loop_is_one_repeat_over_many_parts():
    """Every frame comes again: a period of a third of a second, for five seconds."""
    loop = 0.1 * np.random.default_rng(4).standard_normal((1, RATE // 3))
    raw, samples = int24(np.tile(loop, 15))
    about = layout(*samples.shape, rate=RATE)
    expected = [(RATE // 3, 14 * RATE // 3)]
    assert found(measured(raw, about), about) == expected
    one, two, three = in_parts(raw, about, [0, RATE, 3 * RATE, about.frames])
    assert found(three.merge(two).merge(one), about) == expected


@pytest.mark.parametrize("scale", [0.1, 2**-23, 0.3 * 2**-23, 0])
def test_noise_and_silence_are_no_repeats(scale):
    """Ten seconds of noise: loud, of one step of the converter, nearly none, none."""
    noise = scale * np.random.default_rng(6).standard_normal((2, 10 * RATE))
    raw, samples = int24(noise)
    about = layout(*samples.shape, rate=RATE)
    assert found(measured(raw, about), about) == []
