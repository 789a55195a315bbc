"""FLAC files, whole, cut short, unfinished and damaged, against soundfile and what was packed."""

import io
import pickle
from hashlib import md5
from pathlib import Path

import numpy as np
import pytest
import soundfile
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.recording import flac, flac_unpack
from calculators.recording.errors import RecordingError
from calculators.recording.flac_stream import Extent, extent_of, read_stream_info
from calculators.recording.opening import open_recording
from calculators.recording.samples import chunks, raw_to_samples
from calculators.recording.source import BytesSource
from tests.recording import made

RATE = 48_000
FRAMES = 100_000
BITS = {"PCM_S8": 8, "PCM_16": 16, "PCM_24": 24}
ENCODINGS = {8: "uint8", 16: "int16", 24: "int24"}


def packed(path: Path, subtype: str = "PCM_16", channels: int = 2, frames: int = FRAMES):
    """A FLAC file by soundfile; the integers that it holds, channels × frames, and its bytes."""
    bits = BITS[subtype]
    random = np.random.default_rng(channels)
    values = np.rint(random.standard_normal((frames, channels)) * 2 ** (bits - 4)).astype(np.int32)
    soundfile.write(path, values << (32 - bits), RATE, subtype=subtype, format="FLAC")
    return values.T, bytearray(path.read_bytes())


def integers(recording, frames_per_chunk: int = 7000) -> np.ndarray:
    """All that is read, chunk by chunk."""
    layout = recording.layout
    parts = chunks(recording.source, layout, frames_per_chunk=frames_per_chunk)
    none = np.empty((layout.channels, 0), np.int32)
    return np.concatenate([none, *(made.integers(raw, layout) for raw in parts)], axis=1)


def opened(data: bytes):
    """A recording in memory."""
    return open_recording(BytesSource(bytes(data), "reach.flac"))


@pytest.mark.parametrize("channels", [1, 2, 8])
@pytest.mark.parametrize("subtype", BITS)
def test_a_flac_file_reads_as_it_was_packed(tmp_path, subtype, channels):
    """Integers bit by bit, floats as soundfile gives them, and nothing to complain of."""
    path = tmp_path / "reach.flac"
    values, _ = packed(path, subtype, channels, 30_000)
    recording = open_recording(path)
    layout = recording.layout
    assert (layout.container, layout.encoding) == ("FLAC", ENCODINGS[BITS[subtype]])
    assert (layout.channels, layout.rate, layout.frames) == (channels, RATE, 30_000)
    assert layout.promised_frames == 30_000
    assert layout.faults == ()
    np.testing.assert_array_equal(integers(recording), values)
    expected, _ = soundfile.read(path, dtype="float64", always_2d=True)
    (raw,) = chunks(recording.source, layout, frames_per_chunk=30_000)
    np.testing.assert_array_equal(raw_to_samples(raw, layout), expected.T)


def test_any_part_of_a_flac_file_is_read_without_what_lies_before(tmp_path):
    """Places in any order, and bytes within a frame."""
    values, data = packed(tmp_path / "reach.flac")
    recording = opened(data)
    for first in (90_000, 10, 50_000, 50_100, 0):
        part = next(chunks(recording.source, recording.layout, first, frames_per_chunk=100))
        found = made.integers(part, recording.layout)
        np.testing.assert_array_equal(found, values[:, first : first + 100])
    whole = recording.source.read(4000, 40)
    assert recording.source.read(4003, 30) == whole[3:33]
    assert recording.source.read(4 * FRAMES, 10) == b""


EXAMPLE_1 = bytes.fromhex("""
    664c6143 80000022 10001000 00000f00 000f0ac4 42f00000 00013e84 b41807dc 69030758
    6a3dad1a 2e0ffff8 69180000 bf0358fd 03128baa 9a
""")
EXAMPLE_2 = bytes.fromhex("""
    664c6143 00000022 00100010 00001700 00440ac4 42f00000 0013d5b0 564975e9 8b8d8b93
    0422757b 81030300 00120000 00000000 00000000 00000000 00000010 0400003a 20000000
    72656665 72656e63 65206c69 62464c41 4320312e 332e3320 32303139 30383034 01000000
    0e000000 5449544c 453dd7a9 d79cd795 d79d8100 00060000 00000000 fff86998 000f9912
    08670162 3d144299 8f5df70d 6fe00c17 caeb2100 0ee7a77a 24a1590c 1217b603 097b784f
    aa9a33d2 85e070ad 5b1b4851 b4010d99 d2cd1a68 f1e6b810 fff86918 0102a402 c382c40b
    c14a03ee 48dd03b6 7c1330
""")


def test_the_first_example_of_the_standard():
    """RFC 9639, appendix D.1: one frame of 25588 and 10416, in a block of its own."""
    recording = opened(EXAMPLE_1)
    layout = recording.layout
    assert (layout.rate, layout.channels, layout.encoding) == (44_100, 2, "int16")
    assert (layout.frames, layout.promised_frames, layout.faults) == (1, 1, ())
    assert integers(recording).tolist() == [[25_588], [10_416]]


def test_the_second_example_of_the_standard_whole_and_cut_short():
    """RFC 9639, appendix D.2: blocks of 16 and 3 frames at bytes 0x88 and 0xcc, after metadata."""
    source = BytesSource(EXAMPLE_2)
    info = read_stream_info(source)
    assert (info.first_block, info.least_block, info.promised) == (0x88, 16, 19)
    assert extent_of(source, info) == Extent(19, len(EXAMPLE_2), b"\xff\xf8")
    whole = integers(opened(EXAMPLE_2))
    digest = md5(whole.T.astype("<i2").tobytes(), usedforsecurity=False).hexdigest()
    assert digest == "d5b0564975e98b8d8b930422757b8103"
    for kept in (0xCC, 0xD3, len(EXAMPLE_2) - 1):
        cut = opened(EXAMPLE_2[:kept])
        assert cut.layout.frames == 16
        np.testing.assert_array_equal(integers(cut), whole[:, :16])


@pytest.mark.parametrize("blocks", [1, 127, 128, 129, 2047, 2048, 2049])
def test_numbers_of_blocks_of_one_two_and_three_bytes(tmp_path, blocks):
    """RFC 9639, section 9.1.5: they are coded as UTF-8 codes letters. Blocks of 1152 frames."""
    path = tmp_path / "reach.flac"
    frames = 1152 * blocks + 5
    values = (np.arange(frames) % 7).astype(np.int16)
    soundfile.write(path, values, RATE, format="FLAC", compression_level=0.0)
    source = BytesSource(path.read_bytes())
    info = read_stream_info(source)
    assert (info.least_block, info.promised) == (1152, frames)
    extent = extent_of(source, info)
    assert (extent.frames, extent.end) == (frames, source.size)
    cut = BytesSource(path.read_bytes()[:-3])
    assert extent_of(cut, info).frames == 1152 * blocks


@pytest.mark.parametrize("part", [0.05, 0.5, 0.9, 0.9999])
def test_a_flac_file_cut_short_reads_up_to_its_last_whole_block(tmp_path, part):
    """What is read is what was packed, and less than a block of what is left is missing."""
    values, data = packed(tmp_path / "reach.flac")
    recording = opened(data[: int(part * len(data))])
    layout = recording.layout
    assert layout.promised_frames == FRAMES
    assert part * FRAMES - 2 * 4096 <= layout.frames < FRAMES
    assert layout.fault("cut short") is not None
    assert f"{layout.frames} are there" in layout.fault("cut short").text
    np.testing.assert_array_equal(integers(recording), values[:, : layout.frames])


def test_a_flac_file_whose_length_was_never_written_reads_whole(tmp_path):
    """The 36 bits of the number of frames are 0 where it is unknown: RFC 9639, section 8.2."""
    values, data = packed(tmp_path / "reach.flac")
    data[21] &= 0xF0
    data[22:26] = bytes(4)
    recording = opened(data)
    assert recording.layout.promised_frames is None
    assert recording.layout.frames == FRAMES
    assert recording.layout.fault("never finished") is not None
    np.testing.assert_array_equal(integers(recording), values)


def test_a_flac_file_with_more_frames_than_promised_reads_all(tmp_path):
    """The promise is named as wrong."""
    values, data = packed(tmp_path / "reach.flac")
    data[22:26] = (1000).to_bytes(4, "big")
    recording = opened(data)
    assert recording.layout.frames == FRAMES
    assert recording.layout.fault("wrong sizes") is not None
    np.testing.assert_array_equal(integers(recording), values)


def test_zeros_after_the_blocks_are_no_sound(tmp_path):
    """As after a power loss: the file has its length, but not its bytes."""
    values, data = packed(tmp_path / "reach.flac")
    half = len(data) // 2
    recording = opened(data[:half] + bytes(len(data) - half))
    assert 0.4 * FRAMES < recording.layout.frames < 0.52 * FRAMES
    np.testing.assert_array_equal(integers(recording), values[:, : recording.layout.frames])


def test_damage_within_a_flac_file_is_named_where_it_is_met(tmp_path):
    """What lies before it is read; a chunk that needs it is refused."""
    values, data = packed(tmp_path / "reach.flac")
    middle = len(data) // 2
    data[middle : middle + 300] = b"\x55" * 300
    recording = opened(data)
    first = next(chunks(recording.source, recording.layout, frames_per_chunk=10_000))
    found = made.integers(first, recording.layout)
    np.testing.assert_array_equal(found, values[:, :10_000])
    with pytest.raises(RecordingError, match="packed sound is damaged within frames 4"):
        integers(recording, 10_000)


def test_silence_packed_is_named_as_zeros(tmp_path):
    """Exact zeros from frame 40 000 on; FLAC packs them to almost nothing."""
    path = tmp_path / "reach.flac"
    values = np.random.default_rng(1).integers(1, 1000, (FRAMES, 1)).astype(np.int16)
    values[40_000:] = 0
    soundfile.write(path, values, RATE, format="FLAC")
    layout = open_recording(path).layout
    assert [(fault.kind, fault.frame) for fault in layout.faults] == [("zero tail", 40_000)]
    assert layout.frames_before_zeros == 40_000


@pytest.mark.parametrize(
    ("spoilt", "message"),
    [
        (slice(8, None), "no stream info"),
        (slice(30, None), "no stream info"),
        (slice(42, None), None),
    ],
)
def test_a_flac_file_that_ends_in_its_header_is_named(tmp_path, spoilt, message):
    """Without stream info nothing can be known; with it, that there is no sound."""
    _, data = packed(tmp_path / "reach.flac", frames=1000)
    del data[spoilt]
    if message:
        with pytest.raises(RecordingError, match=message):
            opened(data)
    else:
        assert opened(data).layout.frames == 0
        assert opened(data).layout.fault("header only") is not None


@pytest.mark.parametrize(("bits", "wave"), [(4, 16), (12, 16), (20, 24), (32, 32)])
def test_flac_of_other_bits_is_refused_by_name(tmp_path, bits, wave):
    """The library unpacks none of them (libsndfile 1.2.2); what to do is said."""
    _, data = packed(tmp_path / "reach.flac", frames=5000)
    data[20] = data[20] & 0xFE | (bits - 1) >> 4
    data[21] = data[21] & 0x0F | (bits - 1 & 15) << 4
    why = rf"have {bits} bits\. Read is FLAC of 8, 16 and 24 bits\. .* WAVE file of {wave} bits"
    with pytest.raises(RecordingError, match=why):
        opened(data)
    with pytest.raises(soundfile.LibsndfileError):
        soundfile.read(io.BytesIO(data))


def test_without_the_library_the_refusal_says_what_to_install(tmp_path, monkeypatch):
    """The extra is optional."""
    path = tmp_path / "reach.flac"
    packed(path, frames=5000)

    def refused(name: str):
        raise ModuleNotFoundError(f"No module named {name!r}")

    monkeypatch.setattr(flac_unpack, "import_module", refused)
    with pytest.raises(RecordingError, match=r"pip install 'wetside\[recording\]'"):
        open_recording(path)
    monkeypatch.setattr("sys.platform", "emscripten")
    with pytest.raises(RecordingError, match="the part of this page that unpacks FLAC is not here"):
        open_recording(path)


def test_a_flac_recording_may_be_sent_to_another_process(tmp_path):
    """An open decoder stays behind, and the copy opens its own."""
    path = tmp_path / "reach.flac"
    values, _ = packed(path)
    recording = open_recording(path)
    next(chunks(recording.source, recording.layout, frames_per_chunk=10))
    copy = pickle.loads(pickle.dumps(recording))
    np.testing.assert_array_equal(integers(copy), values)


def test_a_fault_of_the_disk_is_told_as_it_is(tmp_path):
    """It cannot pass through the library, and must not become a fault of the sound."""
    _, data = packed(tmp_path / "reach.flac")

    class Failing(BytesSource):
        fails = False

        def read(self, offset: int, length: int) -> bytes:
            if self.fails and offset + length > len(data) // 2:
                raise RecordingError(self.name, "It cannot be read at byte 1: Input/output error.")
            return super().read(offset, length)

    source = Failing(bytes(data), "reach.flac")
    recording = open_recording(source)
    source.fails = True
    with pytest.raises(RecordingError, match="Input/output error"):
        integers(recording)
    source.fails = False
    assert integers(recording).shape == (2, FRAMES)


def packed_bytes() -> bytes:
    """A short FLAC file in memory, blocks of 4096 frames."""
    target = io.BytesIO()
    values = np.random.default_rng(3).integers(-500, 500, (9000, 2)).astype(np.int16)
    soundfile.write(target, values, RATE, subtype="PCM_16", format="FLAC")
    return target.getvalue()


SHORT = packed_bytes()


@given(
    st.lists(st.tuples(st.integers(0, 60), st.integers(0, 255)), max_size=4),
    st.lists(st.tuples(st.integers(0, len(SHORT) - 1), st.integers(0, 255)), max_size=3),
    st.integers(0, len(SHORT)),
)
@settings(max_examples=150)
def test_spoilt_flac_files_are_read_or_refused(head, anywhere, kept):
    """Bytes of the header, of the rest, and a length: nothing but the one refusal is raised."""
    spoilt = bytearray(SHORT)
    for place, value in head + anywhere:
        spoilt[place] = value
    try:
        recording = opened(spoilt[:kept] if kept % 2 else spoilt)
        found = integers(recording, 4096) if recording.layout.frames < 10**6 else None
    except RecordingError:
        return
    assert found is None or found.shape == (recording.layout.channels, recording.layout.frames)


def test_an_end_that_cannot_be_unpacked_is_named(tmp_path, monkeypatch):
    """What lies before it can be read all the same."""
    values, data = packed(tmp_path / "reach.flac")

    def fails(source, layout):
        raise RecordingError(source.name, "The packed sound is damaged within frames 1 to 2: x")

    monkeypatch.setattr(flac, "with_zeros_named", fails)
    recording = opened(data)
    assert [fault.kind for fault in recording.layout.faults] == ["damaged"]
    np.testing.assert_array_equal(integers(recording), values)
