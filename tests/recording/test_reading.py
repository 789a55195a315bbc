"""A stretch measured from a packed file is the same to the last bit as from the file unpacked."""

import io
import json
from itertools import pairwise

import numpy as np
import pytest
import soundfile

from calculators.recording import engine, flac_blocks, reading
from calculators.recording.bridge_ops import Desk
from calculators.recording.checking import Wanted, check
from calculators.recording.flac_unpack import unpacker
from calculators.recording.opening import open_recording
from calculators.recording.partial import Partial
from calculators.recording.reading import Reading
from calculators.recording.report_data import report_json
from calculators.recording.settings import Settings
from calculators.recording.source import BytesSource
from tests.recording.desks import ask, desk_opened, work
from tests.recording.made import chunk as wave_chunk
from tests.recording.made import fmt, riff
from tests.recording.made_flac import flac
from tests.recording.measured import signal

RATE = 8000
SECONDS = 9.5


@pytest.fixture(scope="module")
def made():
    """Whole numbers of 24 bits, (frames, channels), with a fault of most kinds."""
    codes = np.round(signal(2, SECONDS, RATE) * 2**23).clip(-(2**23), 2**23 - 1)
    return codes.T.astype(np.int32)


def wave(made):
    raw = np.ascontiguousarray(made, "<i4").view(np.uint8).reshape(-1, 4)[:, :3].tobytes()
    return riff(fmt(24, 2, RATE), wave_chunk(b"data", raw))


def opened(data, name="reach.flac"):
    return open_recording(BytesSource(bytes(data), name))


def measured(recording, first=0, last=None):
    """What one stretch gives; the bytes are read as it wants them."""
    last = recording.layout.frames if last is None else last
    stretch = Reading(recording, Settings(), first, last, 100.0, 0)
    while (wanted := stretch.wants()) is not None:
        stretch.add(memoryview(recording.file.read(*wanted)))
    return stretch.partial()


@pytest.mark.parametrize("size", [256, 4096, (5000, 77, 1152)])
@pytest.mark.parametrize("cuts", [(0, 10), (0, 3, 4, 10)])
@pytest.mark.parametrize("slice_bytes", [5000, 1 << 20])
def test_packed_and_unpacked_give_the_same_bytes(made, size, cuts, slice_bytes, monkeypatch):
    """Whatever the blocks, the cuts, and how much of the file comes at once."""
    monkeypatch.setattr(flac_blocks, "SLICE", slice_bytes)
    plain, packed = opened(wave(made), "reach.wav"), opened(flac(made, 24, RATE, size))
    for first, last in pairwise(min(cut * RATE, len(made)) for cut in cuts):
        wanted, found = measured(plain, first, last), measured(packed, first, last)
        assert found.to_bytes() == wanted.to_bytes()


def test_hours_of_silence_in_few_bytes_are_measured_step_by_step(monkeypatch):
    """A slice of the file may hold more than can be done at once; nothing of it is lost."""
    monkeypatch.setattr(reading, "AT_A_TIME", 2)
    monkeypatch.setattr(engine, "CHUNK_BYTES", 1 << 16)
    silence = np.zeros((100 * RATE, 2), np.int32)
    packed = io.BytesIO()
    soundfile.write(packed, silence, RATE, subtype="PCM_24", format="FLAC")
    recording = opened(packed.getvalue())
    stretch = Reading(recording, Settings(), 0, len(silence), 100.0, 0)
    steps = []
    while (wanted := stretch.wants()) is not None:
        stretch.add(memoryview(recording.file.read(*wanted)))
        steps.append((wanted[1], stretch.position))
    assert sum(length == 0 for length, _ in steps) > 20
    assert max(b - a for (_, a), (_, b) in pairwise(steps)) <= 2 * (1 << 16) // 6
    plain = measured(opened(wave(silence), "reach.wav"))
    assert stretch.partial().to_bytes() == plain.to_bytes()


def damaged(made, *seconds):
    """A file of blocks of 1000 frames; those at some seconds are damaged inside."""
    data = bytearray(flac(made, 24, RATE, 1000))
    length = data.index(b"\xff\xf8\x70\x1c\x01") - data.index(b"\xff\xf8\x70\x1c\x00")
    start = data.index(b"\xff\xf8\x70\x1c\x00")
    for second in seconds:
        data[start + int(second * RATE) // 1000 * length + 2000] ^= 0x10
    return bytes(data)


def test_what_follows_a_damaged_block_is_measured_from_the_next_second_on(made):
    """As if the stretches before and behind had been measured by themselves."""
    packed, plain = opened(damaged(made, 2.5, 6.0)), opened(wave(made), "reach.wav")
    found = measured(packed)
    assert found.left_out == {0: ((20_000, 24_000), (48_000, 56_000))}
    assert [(s.first, s.last) for s in found.stretches] == [
        (0, 20_000), (24_000, 48_000), (56_000, 76_000),
    ]  # fmt: skip
    assert found.frames + found.frames_left_out == len(made)
    behind = measured(plain, 56_000)
    assert found.sums.low_segments > 0
    assert measured(packed, 56_000).to_bytes() == behind.to_bytes()


@pytest.mark.parametrize("cuts", [(0, 2, 3, 10), (0, 6, 10), (0, 7, 10)])
def test_damage_is_the_same_however_the_file_is_cut(made, cuts):
    """Stretches that meet in damage, and bytes on the way."""
    packed = opened(damaged(made, 2.5, 5.95, 6.5))
    whole = measured(packed)
    parts = [
        measured(packed, first, last)
        for first, last in pairwise(min(cut * RATE, len(made)) for cut in cuts)
    ]
    merged = parts[-1]
    for part in parts[:-1]:
        merged = Partial.from_bytes(merged.to_bytes()).merge(part)
    assert merged.left_out == whole.left_out
    assert merged.frames == whole.frames
    np.testing.assert_array_equal(merged.sums.levels, whole.sums.levels)
    np.testing.assert_allclose(merged.sums.squares, whole.sums.squares, rtol=1e-12)


def desk_of(data, name="reach.flac"):
    """A desk that has worked through one file, fed as the Worker feeds it."""
    files = [(name, data)]
    desk, told = desk_opened(files)
    work(desk, ask(desk, op="plan", workers=1)["stretches"], files, told["order"])
    return desk, told


def exported(desk):
    files = ask(desk, op="export", kind="json", level=None, handbook="")["files"]
    return json.loads(files[0]["text"])


def test_the_page_says_of_a_damaged_file_what_the_command_line_says(made, tmp_path):
    """Every finding and number; the damage is named with its times, and the rest was read."""
    data = damaged(made, 2.5)
    (tmp_path / "reach.flac").write_bytes(data)
    desk, told = desk_of(data)
    assert told["ok"]
    shown = check(Wanted([tmp_path / "reach.flac"], ["reach.flac"], "reach.flac"))
    page = exported(desk)
    assert page == json.loads(json.dumps(report_json(shown)))
    (found,) = [one for one in page["findings"] if one["kind"] == "damaged"]
    assert "From 2.5\u00a0s (frame 20000) to 3\u00a0s, where reading goes on" in found["what"]
    report = json.loads(desk.call('{"op": "report", "level": null, "width": 340}'))
    assert (
        report["basis"] == "From every sample that can be had: 0.5\u00a0s are damaged and left out."
    )


def test_damage_is_kept_with_what_was_found(made):
    """A check that goes on after the page was closed still knows of it."""
    desk, _ = desk_of(damaged(made, 2.5))
    later, _ = desk_of(damaged(made, 2.5))
    later.forget()
    assert json.loads(later.take_up([desk.keep()]))["ok"]
    assert exported(later) == exported(desk)


def test_a_moment_of_a_packed_file_is_heard_and_one_in_damage_is_refused(made):
    """The same sound as of the unpacked file."""
    packed, _ = desk_of(damaged(made, 2.5))
    plain, _ = desk_of(wave(made), "reach.wav")
    asked = {"file": 0, "start": "4", "seconds": "2", "channel": None, "how": "1"}
    asked |= {"shift": "1 kHz", "raised": ""}
    (said, found), (_, wanted) = (desk.hear(json.dumps(asked)) for desk in (packed, plain))
    assert json.loads(said)["ok"]
    np.testing.assert_array_equal(found, wanted)
    refused, none = packed.hear(json.dumps(asked | {"start": "2.4"}))
    assert none is None
    assert "damaged within frames 20000" in json.loads(refused)["errors"][0]["message"]


def test_a_page_brings_what_unpacks(made, monkeypatch):
    """It gets whole blocks and a head of so many frames; None from it is damage."""
    asked = []

    def brought(head, packed, frames, channels, size):
        asked.append((frames, channels, size))
        assert head[:4] == b"fLaC"
        assert int.from_bytes(head[21:26], "big") & (1 << 36) - 1 == frames
        assert packed[:2] == b"\xff\xf8"
        return None if len(asked) == 2 else memoryview(bytes(frames * channels * size))

    desk = Desk()
    monkeypatch.setattr(unpacker, "brought", None)
    desk.bring(brought)
    found = measured(opened(flac(made, 24, RATE, 70_000 - 60_000)))
    assert {(channels, size) for _, channels, size in asked} == {(2, 3)}
    assert found.frames + found.frames_left_out == len(made)
