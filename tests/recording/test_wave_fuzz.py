"""Spoilt and random headers: never a hang, never an unbounded read, only the one refusal."""

from struct import pack

from hypothesis import example, given, settings
from hypothesis import strategies as st

from calculators.recording.chunks import MOST_CHUNKS
from calculators.recording.errors import RecordingError
from calculators.recording.layout import Layout
from calculators.recording.samples import chunks
from calculators.recording.source import BytesSource
from calculators.recording.wave_file import read_layout
from calculators.recording.wave_header import SEARCHED
from calculators.recording.zero_tail import EXACT
from tests.recording.made import OPEN, bext, big, chunk, extensible, fmt, riff

SOUND = bytes(range(1, 241)) * 5
MOST_READS = 3 * MOST_CHUNKS + 200
VALID = [
    riff(fmt(), chunk(b"data", SOUND)),
    riff(extensible(24, 2, 48_000), chunk(b"data", SOUND), chunk(b"LIST", b"INFOabcd")),
    riff(bext(b"2026-06-21", b"21:30:00", 7), fmt(bits=32, tag=3), chunk(b"data", SOUND)),
    riff(chunk(b"JUNK", bytes(28)), fmt(), chunk(b"data", SOUND, 0)),
    big(bext(b"2026-06-21", b"21:30:00", 7), fmt(), data=SOUND, frames=600),
    big(fmt(bits=24), data=SOUND, frames=400, outer=b"RF64"),
]


class Counting(BytesSource):
    """Counts reads and bytes asked for, and pretends to be longer than it is."""

    def __init__(self, data: bytes, longer: int = 0) -> None:
        super().__init__(data, "reach.wav")
        self.size += longer
        self.reads = self.asked = self.most = 0

    def read(self, offset: int, length: int) -> bytes:
        """What a file gives: zeros after the data, within the size."""
        self.reads, self.asked = self.reads + 1, self.asked + length
        self.most = max(self.most, length)
        block = super().read(offset, length)
        return block + bytes(max(0, min(length, self.size - offset) - len(block)))


def tried(data: bytes, longer: int = 0) -> Layout | None:
    """Read a layout within the bounds; None if it is refused."""
    source = Counting(data, longer)
    try:
        layout = read_layout(source)
    except RecordingError:
        layout = None
    assert source.reads <= MOST_READS
    assert source.most <= 2**18
    assert source.asked <= 2 * EXACT + 200 * 2**18 + 2 * SEARCHED
    if layout:
        hold(layout, source)
    return layout


def hold(layout: Layout, source: Counting) -> None:
    """What is true of every layout: the frames lie in the file, and each has a fault or none."""
    assert 0 <= layout.data_start <= layout.data_end <= source.size
    assert 0 <= layout.frames_before_zeros <= layout.frames
    assert 1 <= layout.channels <= 256
    assert 1 <= layout.rate <= 10**7
    assert layout.frame_bytes >= 2 * layout.channels
    short = layout.promised_frames is not None and layout.frames < layout.promised_frames
    assert not short or layout.faults
    assert all(fault.byte is None or 0 <= fault.byte <= source.size for fault in layout.faults)
    if layout.frames < 10**6:
        read = sum(raw.size for raw in chunks(source, layout, frames_per_chunk=1000))
        assert read == layout.frames * layout.frame_bytes


@given(st.sampled_from(VALID), st.data())
@settings(max_examples=400)
def test_spoilt_bytes_of_a_valid_header(valid, data):
    """Up to eight bytes of the first 700 have another value."""
    spoilt = bytearray(valid)
    places = st.tuples(st.integers(0, min(699, len(valid) - 1)), st.integers(0, 255))
    for place, value in data.draw(st.lists(places, min_size=1, max_size=8)):
        spoilt[place] = value
    tried(bytes(spoilt))


@given(st.sampled_from(VALID), st.integers(0, 2000), st.sampled_from([0, 1, 511, 512, 100_000]))
@settings(max_examples=400)
def test_a_valid_file_cut_anywhere_or_filled_up(valid, kept, longer):
    """Cut within its header, or its sound, then filled with zeros."""
    tried(valid[:kept], longer)


NAMES = [b"fmt ", b"data", b"ds64", b"bext", b"LIST", b"JUNK", b"abcd", b"\0\0\0\0", b"fact"]
BODIES = st.one_of(
    st.binary(max_size=80),
    st.sampled_from([fmt()[8:], extensible(16, 2, 48_000)[8:], SOUND, bytes(28), bytes(700)]),
    st.builds(
        lambda sizes, rows: pack("<QQQI", *sizes, rows),
        st.tuples(*[st.integers(0, 2**64 - 1)] * 3),
        st.integers(0, OPEN),
    ),
)
SIZES = st.one_of(st.none(), st.integers(0, OPEN), st.sampled_from([0, 1, 2, OPEN, OPEN - 1]))
CHUNKS = st.builds(chunk, st.sampled_from(NAMES), BODIES, SIZES, st.booleans())


@given(
    st.sampled_from([b"RIFF", b"RF64", b"BW64"]),
    st.lists(CHUNKS, max_size=12),
    st.integers(0, OPEN),
    st.sampled_from([0, 0, 3, 3, 511, 512, 10_000, 10_000, 2**33]),
)
@settings(max_examples=400)
@example(b"RIFF", [fmt(), chunk(b"data", b"", 2**31)], 0, 2**33)
def test_random_chunks(outer, parts, size, longer):
    """In any order, with any size, in a file that may go on for 8 GiB."""
    tried(riff(*parts, outer=outer, size=size), longer)


def test_a_million_empty_chunks_are_not_all_walked_through():
    """Before the sound and after it."""
    many = chunk(b"abcd", b"") * 100_000
    layout = tried(riff(fmt(), many, chunk(b"data", SOUND)))
    assert layout is not None
    assert [fault.kind for fault in layout.faults] == ["header only"]
    after = tried(riff(fmt(), chunk(b"data", SOUND), many))
    assert after is not None
    assert after.frames == len(SOUND) // 2


@given(st.binary(max_size=3000))
@settings(max_examples=200)
def test_random_bytes(data):
    """With and without a mark that fits."""
    assert tried(data) is None or data.startswith((b"RIFF", b"RF64", b"BW64"))
    tried(b"RIFF\x10\0\0\0WAVE" + data)
