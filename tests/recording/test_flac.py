"""FLAC files, whole, cut short, unfinished and damaged, against soundfile and what was packed."""

import pickle
from pathlib import Path

import numpy as np
import pytest
import soundfile

from calculators.recording import flac
from calculators.recording.errors import RecordingError
from calculators.recording.opening import open_recording
from calculators.recording.samples import chunks, raw_to_integers, raw_to_samples
from calculators.recording.source import BytesSource

RATE = 48_000
FRAMES = 100_000
BITS = {"PCM_16": 16, "PCM_24": 24}


def packed(path: Path, subtype: str = "PCM_16", channels: int = 2, frames: int = FRAMES):
    """A FLAC file by soundfile; the integers that it holds, channels × frames, and its bytes."""
    bits = BITS[subtype]
    random = np.random.default_rng(channels)
    values = np.rint(random.standard_normal((frames, channels)) * 2 ** (bits - 4)).astype(np.int32)
    soundfile.write(path, values << (32 - bits), RATE, subtype=subtype, format="FLAC")
    return values.T, bytearray(path.read_bytes())


def integers(recording, frames_per_chunk: int = 7000) -> np.ndarray:
    """All that is read, chunk by chunk."""
    parts = chunks(recording.source, recording.layout, frames_per_chunk=frames_per_chunk)
    return np.concatenate([raw_to_integers(raw, recording.layout) for raw in parts], axis=1)


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
    assert (layout.container, layout.encoding) == ("FLAC", f"int{BITS[subtype]}")
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
        found = raw_to_integers(part, recording.layout)
        np.testing.assert_array_equal(found, values[:, first : first + 100])
    whole = recording.source.read(4000, 40)
    assert recording.source.read(4003, 30) == whole[3:33]
    assert recording.source.read(4 * FRAMES, 10) == b""


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
    found = raw_to_integers(first, recording.layout)
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


def test_flac_of_eight_bits_is_refused_by_name(tmp_path):
    """Few recorders write it; what is read is said."""
    path = tmp_path / "reach.flac"
    soundfile.write(path, np.zeros(5000), RATE, subtype="PCM_S8", format="FLAC")
    with pytest.raises(RecordingError, match=r"have 8 bits .* Read is FLAC of 16 and 24 bits"):
        open_recording(path)


def test_without_the_library_the_refusal_says_what_to_install(tmp_path, monkeypatch):
    """The extra is optional."""
    path = tmp_path / "reach.flac"
    packed(path, frames=5000)

    def refused(name: str):
        raise ModuleNotFoundError(f"No module named {name!r}")

    monkeypatch.setattr(flac, "import_module", refused)
    with pytest.raises(RecordingError, match=r"pip install 'wetside\[recording\]'"):
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
