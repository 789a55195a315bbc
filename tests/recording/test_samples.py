"""Bytes into samples: exact, in any cut, and refused where they do not fit."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.recording import samples as samples_module
from calculators.recording.errors import RecordingError
from calculators.recording.layout import SAMPLE_BYTES, Layout
from calculators.recording.samples import chunks, raw_to_samples
from calculators.recording.source import BytesSource

ENCODINGS = list(SAMPLE_BYTES)
INTEGERS = ["int16", "int24", "int32"]


def layout(encoding: str, channels: int, frames: int = 0) -> Layout:
    """A layout from byte 0 on."""
    return Layout(
        container="WAVE",
        encoding=encoding,
        channels=channels,
        rate=48_000,
        data_start=0,
        frames=frames,
        frame_bytes=channels * SAMPLE_BYTES[encoding],
        promised_frames=frames,
        started=None,
    )


def as_raw(data: bytes) -> np.ndarray:
    """Bytes as an array that cannot be written to."""
    return np.frombuffer(data, np.uint8)


@given(st.sampled_from(INTEGERS), st.integers(1, 4), st.integers(0, 40), st.data())
def test_integers_are_those_that_python_reads(encoding, channels, frames, data):
    """One by one by ``int.from_bytes``: each is exact as a float."""
    size = SAMPLE_BYTES[encoding]
    raw = data.draw(st.binary(min_size=size * channels * frames, max_size=size * channels * frames))
    expected = [
        int.from_bytes(raw[place : place + size], "little", signed=True)
        for place in range(0, len(raw), size)
    ]
    wanted = np.array(expected, np.int64).reshape(frames, channels).T
    shape = layout(encoding, channels)
    scaled = raw_to_samples(as_raw(raw), shape) * 2.0 ** (8 * size - 1)
    np.testing.assert_array_equal(scaled, wanted)


@pytest.mark.parametrize("block", [1, 2, 3, 7, 1000])
@pytest.mark.parametrize("channels", [1, 2, 3])
def test_the_cut_into_blocks_does_not_show(monkeypatch, block, channels):
    """24 bits are converted in blocks; their ends are no places of their own."""
    raw = as_raw(np.random.default_rng(3).bytes(3 * channels * 21))
    whole = raw_to_samples(raw, layout("int24", channels))
    monkeypatch.setattr(samples_module, "_BLOCK", block)
    np.testing.assert_array_equal(raw_to_samples(raw, layout("int24", channels)), whole)


def test_the_ends_of_the_range_are_minus_one_and_a_step_below_one():
    """Full scale is what the highest bit stands for."""
    (found,) = raw_to_samples(as_raw(b"\xff\x80\x00"), layout("uint8", 1))
    assert list(found) == [1 - 1 / 128, 0.0, -1.0]
    for size, encoding in ((2, "int16"), (3, "int24"), (4, "int32")):
        top = 2 ** (8 * size - 1)
        raw = (top - 1).to_bytes(size, "little") + (-top).to_bytes(size, "little", signed=True)
        (found,) = raw_to_samples(as_raw(raw), layout(encoding, 1))
        assert list(found) == [1 - 1 / top, -1.0]


def test_floats_are_taken_as_they_are():
    """Beyond full scale, and what is no number."""
    values = np.array([0.5, -3.0, np.inf, np.nan], "<f4")
    (found,) = raw_to_samples(as_raw(values.tobytes()), layout("float32", 1))
    np.testing.assert_array_equal(found, values.astype(float))


@pytest.mark.parametrize("encoding", ENCODINGS)
def test_an_array_of_the_caller_is_filled(encoding):
    """Also one whose rows lie apart, and raw bytes at an odd address."""
    raw = np.frombuffer(b"\0" + np.random.default_rng(4).bytes(240), np.uint8)[1:]
    shape = layout(encoding, 2)
    frames = 240 // shape.frame_bytes
    room = np.full((2, frames + 10), 9.0)
    found = raw_to_samples(raw, shape, room[:, 5:-5])
    assert found.base is room
    np.testing.assert_array_equal(found, raw_to_samples(raw.copy(), shape))
    np.testing.assert_array_equal(room[:, :5], 9.0)
    np.testing.assert_array_equal(room[:, -5:], 9.0)
    with pytest.raises(ValueError, match="needed is"):
        raw_to_samples(raw, shape, room)


def test_bytes_that_are_no_whole_frames_are_refused():
    """Nothing is left over unsaid."""
    with pytest.raises(ValueError, match="7 bytes are not whole frames of 6 bytes"):
        raw_to_samples(as_raw(bytes(7)), layout("int24", 2))


@given(
    st.integers(0, 50),
    st.integers(0, 50),
    st.integers(1, 20),
    st.integers(0, 19),
    st.integers(1, 3),
)
def test_chunks_hold_every_frame_once_and_overlap_as_asked(a, b, length, overlap, channels):
    """Whatever the cut: without the overlaps, the chunks make up the part that was asked for."""
    first, last = sorted((a, b))
    overlap = min(overlap, length - 1)
    shape = layout("int16", channels, 50)
    data = np.random.default_rng(5).bytes(50 * shape.frame_bytes)
    found = list(
        chunks(BytesSource(data), shape, first, last, frames_per_chunk=length, overlap=overlap)
    )
    joined = b"".join(
        part.tobytes()[overlap * shape.frame_bytes * (number > 0) :]
        for number, part in enumerate(found)
    )
    assert joined == data[first * shape.frame_bytes : last * shape.frame_bytes]
    assert all(part.size == length * shape.frame_bytes for part in found[:-1])
    for before, after in pairwise(found):
        shared = overlap * shape.frame_bytes
        assert after.size > shared
        assert before.tobytes()[before.size - shared :] == after.tobytes()[:shared]


def test_each_byte_is_read_once_even_with_an_overlap():
    """The overlap is kept, not read anew."""

    class Noting(BytesSource):
        def __init__(self, data: bytes) -> None:
            super().__init__(data)
            self.places: list = []

        def read(self, offset: int, length: int) -> bytes:
            self.places.append((offset, length))
            return super().read(offset, length)

    source = Noting(bytes(200))
    list(chunks(source, layout("int16", 1, 100), frames_per_chunk=40, overlap=20))
    assert source.places == [(0, 80), (80, 40), (120, 40), (160, 40)]


def test_frames_outside_the_recording_and_whole_overlaps_are_refused_at_once():
    """Before the first chunk is asked for."""
    shape, source = layout("int16", 1, 10), BytesSource(bytes(20))
    with pytest.raises(ValueError, match="5 to 11 are not within 0 to 10"):
        chunks(source, shape, 5, 11, frames_per_chunk=4)
    with pytest.raises(ValueError, match="-1 to 10 are not within"):
        chunks(source, shape, -1, frames_per_chunk=4)
    with pytest.raises(ValueError, match="overlap of 4 frames is not within 0 to 4"):
        chunks(source, shape, frames_per_chunk=4, overlap=4)


def test_a_file_that_became_shorter_is_named():
    """As when a card is pulled out."""
    parts = chunks(BytesSource(bytes(13), "reach.wav"), layout("int16", 1, 10), frames_per_chunk=5)
    next(parts)
    with pytest.raises(RecordingError, match=r"reach\.wav: .* ends at byte 13, within frame 6"):
        next(parts)
