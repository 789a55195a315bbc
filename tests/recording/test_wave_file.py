"""Layouts of WAVE files, against soundfile, the standard library's wave and the standards."""

import wave
from pathlib import Path

import numpy as np
import pytest
import soundfile

from calculators.recording.layout import SAMPLE_BYTES
from calculators.recording.samples import chunks, raw_to_samples
from calculators.recording.source import BytesSource, FileSource
from calculators.recording.wave_file import read_layout
from tests.recording.made import integers

ENCODINGS = {
    "uint8": "PCM_U8",
    "int16": "PCM_16",
    "int24": "PCM_24",
    "int32": "PCM_32",
    "float32": "FLOAT",
}
CHANNELS = (1, 2, 8)
RANDOM = np.random.default_rng(20260621)


def layout_of(data: bytes):
    """The layout of a file in memory."""
    return read_layout(BytesSource(data, "reach.wav"))


def kinds(layout) -> list[str]:
    """The kinds of its faults, in order."""
    return [fault.kind for fault in layout.faults]


def noise(encoding: str, frames: int, channels: int) -> np.ndarray:
    """Samples of the whole range, frames × channels, both ends included."""
    if encoding == "float32":
        return RANDOM.uniform(-1.5, 1.5, (frames, channels)).astype(np.float32)
    bits = 8 * SAMPLE_BYTES[encoding]
    values = RANDOM.integers(-(2 ** (bits - 1)), 2 ** (bits - 1), (frames, channels))
    values[0], values[-1] = -(2 ** (bits - 1)), 2 ** (bits - 1) - 1
    return values


def written(path: Path, encoding: str, values: np.ndarray, container: str) -> None:
    """A file by soundfile, which takes integers from the top of 32 bits."""
    top = values
    if encoding != "float32":
        top = (values << (32 - 8 * SAMPLE_BYTES[encoding])).astype(np.int32)
    soundfile.write(path, top, 44_100, subtype=ENCODINGS[encoding], format=container)


def read_all(source):
    """Layout and samples of the whole file."""
    layout = read_layout(source)
    parts = [raw_to_samples(raw, layout) for raw in chunks(source, layout, frames_per_chunk=1000)]
    return layout, np.concatenate(parts, axis=1)


@pytest.mark.parametrize("container", ["WAV", "WAVEX", "RF64"])
@pytest.mark.parametrize("channels", CHANNELS)
@pytest.mark.parametrize("encoding", ENCODINGS)
def test_a_file_by_soundfile_reads_as_soundfile_reads_it(tmp_path, encoding, channels, container):
    """Every encoding, as plain, extensible and 64-bit WAVE; the samples agree bit by bit."""
    path = tmp_path / "reach.wav"
    values = noise(encoding, 2345, channels)
    written(path, encoding, values, container)
    layout, samples = read_all(FileSource(path))
    assert (layout.encoding, layout.channels, layout.rate) == (encoding, channels, 44_100)
    assert layout.frames == layout.promised_frames == 2345
    assert layout.container == ("RF64" if container == "RF64" else "WAVE")
    assert layout.faults == ()
    expected, _ = soundfile.read(path, dtype="float64", always_2d=True)
    np.testing.assert_array_equal(samples, expected.T)
    np.testing.assert_array_equal(samples[:, :2], values[:2].T / 2 ** _point(encoding))


def _point(encoding: str) -> int:
    return 0 if encoding == "float32" else 8 * SAMPLE_BYTES[encoding] - 1


@pytest.mark.parametrize("channels", CHANNELS)
@pytest.mark.parametrize("encoding", ["int16", "int24", "int32"])
def test_a_file_by_the_standard_library_reads_as_it_was_written(tmp_path, encoding, channels):
    """The integers are those that went in, made into bytes by Python itself."""
    path = tmp_path / "reach.wav"
    values = noise(encoding, 777, channels)
    size = SAMPLE_BYTES[encoding]
    with wave.open(str(path), "wb") as file:
        file.setnchannels(channels)
        file.setsampwidth(size)
        file.setframerate(96_000)
        body = b"".join(int(v).to_bytes(size, "little", signed=True) for v in values.ravel())
        file.writeframes(body)
    source = FileSource(path)
    layout = read_layout(source)
    assert (layout.encoding, layout.channels, layout.rate) == (encoding, channels, 96_000)
    assert layout.frames == 777
    assert layout.seconds == pytest.approx(777 / 96_000)
    assert layout.faults == ()
    (raw,) = chunks(source, layout, frames_per_chunk=10_000)
    np.testing.assert_array_equal(integers(raw, layout), values.T)
