"""Parts add up, whatever the order, and travel as bytes; damaged bytes are refused."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.recording import engine
from calculators.recording.errors import RecordingError
from calculators.recording.packing import pack, unpack
from calculators.recording.partial import Partial
from calculators.recording.settings import Settings
from tests.recording.measured import int24, layout, measured, summary

RATE = 2000
SMALL = Settings(segment=1024, columns=16, listed=4)


@st.composite
def recordings(draw):
    """Six to nine seconds with runs of full scale, of zero and of another value."""
    frames = draw(st.integers(6 * RATE, 9 * RATE))
    channels = draw(st.integers(1, 3))
    made = 0.1 * np.random.default_rng(draw(st.integers(0, 99))).standard_normal((channels, frames))
    for _ in range(draw(st.integers(0, 6))):
        first, length = draw(st.integers(0, frames - 1)), draw(st.integers(1, 3 * RATE))
        value = draw(st.sampled_from([-1.0, 1.0, 0.0, 0.25]))
        made[draw(st.integers(0, channels - 1)), first : first + length] = value
    return made


def marks(draw_from, frames):
    """Where to cut: whole seconds."""
    inside = draw_from.draw(st.sets(st.integers(1, frames // RATE), max_size=4))
    return [0, *sorted(RATE * second for second in inside if RATE * second < frames), frames]


def require_same(found, wanted):
    """Counts and runs exactly, sums within rounding."""
    assert found.frames == wanted.frames
    for one, two in zip(found.by_channel, wanted.by_channel, strict=True):
        for name in ("clipped", "zeros", "stuck", "lowest", "lowest_at", "highest", "highest_at"):
            assert getattr(one, name) == getattr(two, name), name
        np.testing.assert_array_equal(one.ceiling, two.ceiling)
    np.testing.assert_array_equal(found.levels.counts, wanted.levels.counts)
    np.testing.assert_allclose(found.density, wanted.density, rtol=1e-12, atol=1e-30)
    np.testing.assert_allclose(found.low_cross, wanted.low_cross, rtol=1e-9, atol=1e-20)
    for name in ("start", "clipped", "zeros", "peak", "seconds_covered"):
        np.testing.assert_array_equal(getattr(found.columns, name), getattr(wanted.columns, name))
    np.testing.assert_allclose(found.columns.density, wanted.columns.density, rtol=1e-9, atol=1e-20)


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_any_cutting_and_any_order_of_merging(data):
    """One pass, against parts in any order, each of which went to bytes and back."""
    raw, samples = int24(data.draw(recordings()))
    about = layout(*samples.shape, rate=RATE)
    whole = measured(raw, about, settings=SMALL, started=1e9 + 0.5)
    parts = [
        measured(raw, about, first, last, settings=SMALL, started=1e9 + 0.5)
        for first, last in pairwise(marks(data, about.frames))
    ]
    order = data.draw(st.permutations(parts))
    merged = order[0]
    for part in order[1:]:
        merged = Partial.from_bytes(merged.to_bytes()).merge(part)
    require_same(summary(merged, about), summary(whole, about))


@settings(max_examples=10, deadline=None)
@given(st.data())
def test_merging_is_associative_and_files_come_in_any_order(data):
    """Three files, 40 s apart: (a + b) + c is a + (b + c) is c + (a + b)."""
    parts = []
    for file in range(3):
        raw, samples = int24(data.draw(recordings())[:1])
        about = layout(*samples.shape, rate=RATE)
        parts.append(measured(raw, about, settings=SMALL, started=40.0 * file, file=file))
    a, b, c = parts
    wanted = summary(a.merge(b).merge(c), about, 3)
    require_same(summary(a.merge(b.merge(c)), about, 3), wanted)
    require_same(summary(c.merge(a.merge(b)), about, 3), wanted)
    assert wanted.columns.duration == 8


@pytest.mark.parametrize("chunk", [1, 30_000, 10**9])
def test_chunks_do_not_matter(monkeypatch, chunk):
    """Bytes asked for at once."""
    raw, samples = int24(np.random.default_rng(2).standard_normal((2, 7 * RATE)))
    about = layout(*samples.shape, rate=RATE)
    wanted = summary(measured(raw, about, settings=SMALL), about)
    monkeypatch.setattr(engine, "CHUNK_BYTES", chunk)
    require_same(summary(measured(raw, about, settings=SMALL), about), wanted)


def example():
    """A small partial result."""
    raw, samples = int24(np.full((1, 2 * RATE), 0.5))
    return measured(raw, layout(*samples.shape, rate=RATE), settings=SMALL)


def test_to_bytes_and_back_is_the_same():
    """And says the same again."""
    packed = example().to_bytes()
    assert Partial.from_bytes(packed).to_bytes() == packed
    assert Partial.from_bytes(bytearray(packed)).to_bytes() == packed


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_damaged_bytes_are_refused(data):
    """A byte changed, an end cut off, bytes put in: never anything but the refusal."""
    packed = bytearray(example().to_bytes())
    at = data.draw(st.integers(0, len(packed) - 1))
    change = data.draw(st.sampled_from(["flip", "cut", "insert"]))
    if change == "flip":
        packed[at] ^= data.draw(st.integers(1, 255))
    elif change == "cut":
        del packed[at:]
    else:
        packed[at:at] = data.draw(st.binary(min_size=1, max_size=9))
    with pytest.raises(RecordingError):
        Partial.from_bytes(packed)


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_description_that_lies_is_refused(data):
    """With a right checksum too: any value of the description replaced by another one."""
    description, arrays = unpack(example().to_bytes())
    name = data.draw(st.sampled_from(sorted(description)))
    lie = data.draw(
        st.sampled_from([None, -1, 0, 10**30, "x", [], {}, [[1]], float("nan"), float("inf"), True])
    )
    if description[name] == lie:
        return
    try:
        found = Partial.from_bytes(pack({**description, name: lie}, arrays))
    except RecordingError:
        return
    # What is accepted at least can be used and merged.
    found.merge(Partial.from_bytes(found.to_bytes()).merge(other_file()))


def other_file():
    """Of another file than the example."""
    raw, samples = int24(np.full((1, 2 * RATE), 0.5))
    return measured(raw, layout(*samples.shape, rate=RATE), settings=SMALL, file=7)


def test_results_that_differ_in_rate_are_not_merged():
    """Named."""
    raw, samples = int24(np.zeros((1, 2 * RATE)))
    other = measured(raw, layout(*samples.shape, rate=RATE // 2), settings=SMALL, file=1)
    with pytest.raises(RecordingError, match="rate of one result: 2000; of the other one: 1000"):
        example().merge(other)
