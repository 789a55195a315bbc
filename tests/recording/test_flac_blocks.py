"""FLAC files cut into blocks: of any size, after any metadata, at any place, and damaged."""

import io
from itertools import pairwise

import numpy as np
import pytest
import soundfile

from calculators.recording import flac_blocks
from calculators.recording.errors import RecordingError
from calculators.recording.opening import open_recording
from calculators.recording.samples import chunks
from calculators.recording.source import BytesSource
from tests.recording import made
from tests.recording.made_flac import flac, metadata

RATE = 48_000
PICTURE = metadata(6, bytes(range(256)) * 300 + b"\xff\xf8\xc9\x18\x00" * 50)
TAGS = metadata(4, b"\x05\x00\x00\x00maker\x00\x00\x00\x00")


def values(frames=50_000, channels=2, bits=16, seed=1):
    """Whole numbers, some of them at both ends of the scale."""
    drawn = np.random.default_rng(seed).integers(
        -(2 ** (bits - 1)), 2 ** (bits - 1), (frames, channels)
    )
    drawn[100:200] = -1
    drawn[200:300] = 0
    return drawn


def opened(data):
    return open_recording(BytesSource(bytes(data), "reach.flac"))


def integers(recording, first=0, last=None):
    """All that is read from frame to frame, a chunk at a time: (frames, channels)."""
    parts = chunks(recording.source, recording.layout, first, last, frames_per_chunk=7001)
    return np.concatenate([made.integers(raw, recording.layout).T for raw in parts])


def by_soundfile(data, bits):
    """What the library gives for the file as it is."""
    found, _ = soundfile.read(io.BytesIO(data), dtype="int32", always_2d=True)
    return found >> (32 - bits)


@pytest.mark.parametrize("bits", [16, 24])
@pytest.mark.parametrize("channels", [1, 2, 4])
@pytest.mark.parametrize(
    "size", [16, 192, 4096, 65_535, (4096, 16, 576, 1000), (16, 65_535), (300, 301)]
)
def test_blocks_of_any_size_fixed_or_changing(bits, channels, size):
    """Every sample is the one that was put in, and the one that soundfile gives."""
    frames = 3000 if size == 16 else 70_000
    put_in = values(frames, channels, bits)
    data = flac(put_in, bits, size=size)
    recording = opened(data)
    assert (recording.layout.frames, recording.layout.faults) == (frames, ())
    np.testing.assert_array_equal(integers(recording), put_in)
    np.testing.assert_array_equal(by_soundfile(data, bits), put_in)


@pytest.mark.parametrize(
    ("before", "between"),
    [
        (b"", TAGS + PICTURE + metadata(1, bytes(8192), last=True)),
        (b"ID3\x04\x00\x00\x00\x00\x02\x00" + bytes(256), b""),
        (b"ID3\x04\x00\x10\x00\x00\x00\x20" + bytes(32) + b"3DI\x04\x00\x10\x00\x00\x00\x20", b""),
    ],
    ids=["tags, a picture, padding", "a tag before the stream", "the same with a foot"],
)
def test_what_stands_before_the_sound_is_passed_over(before, between):
    """A picture may hold what looks like a block."""
    put_in = values()
    recording = opened(before + flac(put_in, between=between))
    assert recording.layout.faults == ()
    np.testing.assert_array_equal(integers(recording), put_in)


@pytest.mark.parametrize("size", [1152, (700, 5000)])
def test_a_length_that_is_not_known_is_found(size):
    """0 frames by the header, and no digest."""
    put_in = values()
    recording = opened(flac(put_in, size=size, promised=0))
    assert [fault.kind for fault in recording.layout.faults] == ["never finished"]
    np.testing.assert_array_equal(integers(recording), put_in)


@pytest.mark.parametrize("size", [256, 4096, (16, 9000, 333)])
def test_any_frame_is_found_without_those_before(size, monkeypatch):
    """In any order, and with few bytes read for each."""
    monkeypatch.setattr(flac_blocks, "SLICE", 1 << 16)
    monkeypatch.setattr(flac_blocks, "NEAR", 1 << 15)
    put_in = values(400_000)
    source = BytesSource(flac(put_in, size=size), "reach.flac")
    recording = open_recording(source)
    read = []
    plain = source.read
    source.read = lambda offset, length: read.append(length) or plain(offset, length)
    for first in (399_990, 5, 200_000, 123_456, 0):
        read.clear()
        np.testing.assert_array_equal(
            integers(recording, first, first + 10), put_in[first : first + 10]
        )
        assert sum(read) < source.size / 2


def test_frames_in_silence_are_found_though_few_bytes_hold_many():
    """Blocks of a dozen bytes: those before the wanted one are not all unpacked."""
    target = io.BytesIO()
    soundfile.write(target, np.zeros(20_000_000, np.int16), RATE, "PCM_16", format="FLAC")
    recording = opened(target.getvalue())
    chain = recording.packed.unpacking(17_000_000)._chain
    assert 17_000_000 - flac_blocks.NEAR_FRAMES <= chain.frame <= 17_000_000
    assert not recording.source.read(34_000_000, 1000).strip(b"\0")


def spoilt(data, places):
    """Three bytes at each place are turned round."""
    changed = bytearray(data)
    for place in places:
        for n in range(3):
            changed[place + n] ^= 0xFF
    return bytes(changed)


def block_at(data, number, size=4096):
    """The byte where a block of full size, of two channels of 16 bits, begins."""
    start = data.index(b"\xff\xf8", 42)
    step = data.index(b"\xff\xf8\x70\x18\x01", start) - start
    assert data[start + number * step :][:2] == b"\xff\xf8"
    return start + number * step


@pytest.mark.parametrize(
    ("where", "lost"),
    [("body", (5, 6)), ("header", (5, 6)), ("first header", (0, 1)), ("two blocks", (5, 7))],
)
def test_a_damaged_block_is_left_out_and_no_other(where, lost):
    """What is before and behind it can be read; reading it is refused with the frames of it."""
    put_in = values(100_000)
    data = flac(put_in)
    places = {
        "body": [block_at(data, 5) + 500],
        "header": [block_at(data, 5)],
        "first header": [block_at(data, 0)],
        "two blocks": [block_at(data, 5) + 3, block_at(data, 6) + 9000],
    }
    recording = opened(spoilt(data, places[where]))
    first, last = (4096 * number for number in lost)
    assert recording.layout.frames == 100_000
    if first:
        np.testing.assert_array_equal(integers(recording, 0, first), put_in[:first])
    np.testing.assert_array_equal(integers(recording, last), put_in[last:])
    with pytest.raises(RecordingError, match=f"damaged within frames {first} to "):
        integers(recording, first, last)


def test_megabytes_of_damage_are_passed_over(monkeypatch):
    """More than is searched at once."""
    monkeypatch.setattr(flac_blocks, "SLICE", 1 << 15)
    monkeypatch.setattr(flac_blocks, "LONGEST", 1 << 17)
    monkeypatch.setattr(flac_blocks, "NEAR", 1 << 14)
    put_in = values(300_000)
    data = bytearray(flac(put_in, size=1024))
    start, end = len(data) // 4, len(data) * 3 // 4
    data[start:end] = np.random.default_rng(5).bytes(end - start)
    unpacking = opened(data).packed.unpacking(0)
    found = []
    holes = []
    while unpacking.frame < 300_000:
        block = unpacking.take(5000)
        if block is None:
            unpacking.add(data[slice(*_ends(unpacking.wants()))])
            continue
        found.append((unpacking.frame, np.frombuffer(block, "<i2").reshape(-1, 2)))
        if unpacking.hole:
            holes.append(unpacking.hole)
            unpacking.go_on(unpacking.hole[1])
    (first, _), (_, last) = holes[0], holes[-1]
    assert all(end == start for (_, end), (start, _) in pairwise(holes))
    assert 73_000 < first <= 75_000
    assert 225_000 <= last < 240_000
    for until, part in found:
        np.testing.assert_array_equal(part, put_in[until - len(part) : until])
    assert sum(len(part) for _, part in found) == 300_000 - (last - first)


def _ends(wanted):
    return wanted[0], wanted[0] + wanted[1]


@pytest.mark.parametrize("data", [b"OggS" + bytes(3000), b"Dear diary, " * 100, b"fLaC" + bytes(9)])
def test_what_is_no_flac_is_refused_whatever_its_name(data):
    """By name, with what is read."""
    with pytest.raises(RecordingError, match=r"reach\.flac: It"):
        opened(data)
