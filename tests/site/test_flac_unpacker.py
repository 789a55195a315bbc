"""What unpacks FLAC in the page, under Node: soundfile's bytes, and damage is noticed."""

import base64
import io
import json

import numpy as np
import pytest
import soundfile

from calculators.recording.flac_stream import head_for, read_stream_info
from calculators.recording.flac_unpack import unpacker
from calculators.recording.layout import SAMPLE_BYTES
from calculators.recording.source import BytesSource
from site_src.node import run_node
from site_src.paths import ROOT
from tests.recording.made_flac import flac

SCRIPT = ROOT / "tests" / "site" / "flac_unpacker.mjs"
ENCODINGS = {8: "uint8", 16: "int16", 24: "int24"}


def noise(frames, channels, bits):
    """From silence to full scale, so that every way of coding is used; both ends of the scale."""
    rng = np.random.default_rng(bits + channels)
    slope = np.linspace(0, 2.0 ** (bits - 1), frames)[:, None]
    values = np.rint(slope * rng.uniform(-1, 1, (frames, channels)))
    values[: frames // 4] = np.rint(values[: frames // 4].mean(axis=1, keepdims=True))
    values[-2:] = 2 ** (bits - 1)
    values[-1] *= -1
    return values.clip(-(2 ** (bits - 1)), 2 ** (bits - 1) - 1).astype(np.int32)


def by_soundfile(values, bits, level):
    """A file of the reference encoder, as fast or as small as it can be."""
    target = io.BytesIO()
    kind = {"format": "FLAC", "subtype": "PCM_S8" if bits == 8 else f"PCM_{bits}"}
    soundfile.write(target, values << (32 - bits), 48_000, **kind, compression_level=level)
    return target.getvalue()


def job(data, bits, frames=None):
    """Head and blocks of a file."""
    info = read_stream_info(BytesSource(data))
    frames = frames or info.promised
    return head_for(info, frames), data[info.first_block :], frames, info.channels, ENCODINGS[bits]


def in_node(jobs):
    """What the page's unpacker gives for each."""
    asked = [
        {
            "head": base64.b64encode(head).decode(),
            "packed": base64.b64encode(packed).decode(),
            "frames": frames,
            "channels": channels,
            "size": SAMPLE_BYTES[encoding],
        }
        for head, packed, frames, channels, encoding in jobs
    ]
    told = json.loads(run_node(SCRIPT, stdin=asked))
    return [None if one is None else base64.b64decode(one) for one in told]


@pytest.fixture(scope="module")
def jobs():
    """Of both kinds of encoder, one job after another of another format."""
    made = [
        job(by_soundfile(noise(30_000, channels, bits), bits, level), bits)
        for channels in (1, 2, 4, 8)
        for bits in ENCODINGS
        for level in (0.0, 1.0)
    ]
    sizes = (16, 4608, 65_535, (16, 1000, 333))
    return made + [
        job(flac(noise(70_000 if size == 65_535 else 9000, 2, bits), bits, size=size), bits)
        for bits in ENCODINGS
        for size in sizes
    ]


def test_every_sample_is_the_one_that_soundfile_gives(jobs):
    """Two builds of the library, of other versions, by two ways."""
    assert in_node(jobs) == [unpacker.unpack(*one) for one in jobs]
    assert not any(one is None for one in in_node(jobs))


def test_a_stretch_of_blocks_from_the_middle_is_unpacked():
    """As the page does: a head of the stream, then any blocks; what follows is not looked at."""
    values = noise(40_960, 2, 16)
    head, packed, *_ = job(flac(values, size=4096), 16)
    starts = [n for n in range(len(packed)) if packed[n : n + 4] == b"\xff\xf8\x70\x18"]
    middle = packed[starts[3] : starts[7]]
    found = in_node(
        [(head, middle, 4 * 4096, 2, "int16"), (head, middle + b"\x55" * 99, 4 * 4096, 2, "int16")]
    )
    assert found == [values[3 * 4096 : 7 * 4096].astype("<i2").tobytes()] * 2


def test_damage_is_noticed_and_forgotten_by_the_next():
    """A bit turned, a header gone, an end cut off, another format than the head says."""
    data = by_soundfile(noise(20_000, 2, 16), 16, 0.5)
    head, packed, frames, channels, encoding = job(data, 16)
    turned = packed[:5000] + bytes([packed[5000] ^ 4]) + packed[5001:]
    other = job(by_soundfile(noise(20_000, 2, 24), 24, 0.5), 24)
    whole = (head, packed, frames, channels, encoding)
    jobs = [
        (head, turned, frames, channels, encoding),
        whole,
        (head, packed[1:], frames, channels, encoding),
        (head, packed[:-1], frames, channels, encoding),
        (head, packed, frames, 1, encoding),
        (head, other[1], frames, channels, encoding),
        (head, b"", 16, channels, encoding),
        whole,
    ]
    good = unpacker.unpack(*whole)
    assert in_node(jobs) == [None, good, None, None, None, None, None, good]
