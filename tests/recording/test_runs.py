"""Runs of equal samples, channels that are the same, samples that are no numbers."""

from itertools import groupby

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.recording.layout import Layout
from calculators.recording.run_finder import chunk_runs
from calculators.recording.scale import scale_of
from calculators.recording.settings import Settings
from tests.recording.measured import RATE, int24, layout, measured, summary

SCALE = scale_of("int16")
LIMITS = Settings(shortest_zeros=40, shortest_stuck=50)


def every_run(row):
    """Value, start and length of each run, the slow way."""
    runs, start = [], 0
    for value, same in groupby(row.tolist()):
        length = len(list(same))
        runs.append((value, start, length))
        start += length
    return runs


@st.composite
def rows(draw):
    """Runs of lengths around what counts, of few values."""
    pieces = []
    for _ in range(draw(st.integers(1, 30))):
        value = draw(st.sampled_from([SCALE.lowest, SCALE.highest, 0.0, 0.5, -0.25]))
        length = draw(st.one_of(st.integers(1, 4), st.integers(30, 130)))
        noise = np.random.default_rng(draw(st.integers(0, 9))).integers(-3, 4, size=9) / 2**15
        pieces += [np.full(length, value), noise[: draw(st.integers(0, 9))]]
    return np.concatenate(pieces)


@settings(max_examples=50, deadline=None)
@given(rows())
def test_runs_are_those_found_one_by_one(row):
    """The first, the last, and inside all that are clipped or long enough."""
    at_the_end = np.array([bool((row <= SCALE.lowest).any() or (row >= SCALE.highest).any())])
    step = 2.0**-15
    (head,), (tail,), inner = chunk_runs(row[None] / step, step, SCALE, LIMITS, at_the_end)
    runs = every_run(row)
    assert (head.value, head.length) == (runs[0][0], runs[0][2])
    assert (tail.value, tail.length) == (runs[-1][0], runs[-1][2])
    expected = {(0, *run) for run in runs[1:-1] if SCALE.kind(run[0], run[2], LIMITS) is not None}
    assert expected <= set(inner) <= {(0, *run) for run in runs[1:-1]}


def found(samples, encoding="int24", raw=None):
    """The summary of samples (C, n)."""
    about = layout(*samples.shape, encoding=encoding)
    return summary(measured(int24(samples)[0] if raw is None else raw, about), about)


def test_a_dead_channel_is_one_run_of_zeros_and_a_stuck_one_another():
    """From the first frame to the last."""
    samples = np.stack((np.zeros(3 * RATE + 7), np.full(3 * RATE + 7, 0.25)))
    zeros, stuck = found(samples).by_channel
    assert (zeros.zeros.count, zeros.zeros.samples, zeros.stuck.count) == (1, 3 * RATE + 7, 0)
    assert (stuck.stuck.count, stuck.stuck.samples, stuck.zeros.count) == (1, 3 * RATE + 7, 0)
    assert (zeros.mean_square, stuck.mean, stuck.mean_square) == (0, 0.25, 0)


def test_runs_fill_the_columns_in_which_they_lie():
    """1,000 zeros across the end of a second; a clipped run of three."""
    noise = 0.1 * np.random.default_rng(3).standard_normal((1, 3 * RATE))
    noise[0, RATE - 400 : RATE + 600] = 0
    noise[0, 2 * RATE + 600 : 2 * RATE + 603] = -1
    columns = found(noise).columns
    assert columns.zeros.tolist() == [[400, 600, 0]]
    assert columns.clipped.tolist() == [[0, 0, 3]]
    assert columns.peak[0, 2] == 1 > columns.peak[0, 1]


def test_channels_that_are_the_same_or_opposite_are_counted_by_blocks():
    """Second 1 the same, second 2 turned over, the rest apart; dead ones are neither."""
    one, two = 0.1 * np.random.default_rng(4).standard_normal((2, 4 * RATE))
    two[RATE : 2 * RATE] = one[RATE : 2 * RATE]
    two[2 * RATE : 3 * RATE] = -one[2 * RATE : 3 * RATE]
    (pair,) = found(np.stack((one, two))).by_pair
    assert RATE - 2 * 512 <= pair.equal_frames <= RATE
    assert RATE - 2 * 512 <= pair.opposite_frames <= RATE
    assert abs(pair.correlation) < 0.05
    (dead,) = found(np.zeros((2, RATE))).by_pair
    assert (dead.equal_frames, dead.opposite_frames, dead.varied_frames) == (0, 0, 0)
    (same,) = found(np.stack((one, one))).by_pair
    assert same.equal_frames == same.varied_frames == 4 * RATE
    assert np.isclose(same.correlation, 1)


def test_floats_beyond_full_scale_are_clipped_and_what_is_no_number_is_counted():
    """Two samples of different values above 1 are one run; NaN and infinity count as zero."""
    samples = 0.1 * np.random.default_rng(5).standard_normal((1, 2 * RATE)).astype("<f4")
    samples[0, 100:102] = 1.0, 1.5
    samples[0, 5000:5003] = np.nan, np.inf, -np.inf
    summary_of = found(samples, "float32", samples.T.tobytes())
    (channel,) = summary_of.by_channel
    assert (channel.clipped.count, channel.clipped.samples) == (1, 2)
    assert (channel.highest, channel.highest_at.frame) == (1.5, 101)
    assert channel.not_finite == 3
    assert np.isfinite(summary_of.density).all()


def test_a_file_that_ends_too_early_is_measured_as_far_as_it_goes():
    """Half a second of the two that were promised."""
    raw, _ = int24(0.1 * np.random.default_rng(6).standard_normal((1, 2 * RATE)))
    about: Layout = layout(1, 2 * RATE)
    partial = measured(raw[: 3 * RATE // 2 // 3 * 3], about)
    assert partial.frames == RATE // 2
    assert summary(partial, about).frames == RATE // 2


def test_many_clipped_runs_are_all_counted_and_the_longest_listed():
    """A loud sine cut off at full scale: one run each half period, the lists stay short."""
    sine = np.clip(3 * np.sin(2 * np.pi * 200 * np.arange(4 * RATE) / RATE + 0.1), -1, 1)
    (channel,) = found(sine[None]).by_channel
    assert channel.clipped.count == 1600
    assert channel.clipped.samples == int((np.abs(sine) == 1).sum())
    assert len(channel.clipped.listed) == Settings().listed
