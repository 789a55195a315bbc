"""Files that other programs wrote, as another library ships them for its own tests (scipy.io).

Each is read to the same samples as by libsndfile, or refused with words that name what it is.
"""

from pathlib import Path

import numpy as np
import pytest
import scipy.io
import soundfile

from calculators.recording.errors import RecordingError
from calculators.recording.opening import open_recording
from calculators.recording.samples import raw_to_samples

FOLDER = Path(scipy.io.__file__).parent / "tests" / "data"

READ = {
    "test-1234Hz-le-1ch-10S-20bit-extra": ("int24", 1, 1234, 10, []),
    "test-44100Hz-2ch-32bit-float-le": ("float32", 2, 44100, 441, []),
    "test-44100Hz-le-1ch-4bytes-early-eof": ("int32", 1, 44100, 236, ["cut short"]),
    "test-44100Hz-le-1ch-4bytes-rf64": ("int32", 1, 44100, 4410, []),
    # Its RIFF size is 17,700 in a file of 17,720 bytes: 12 too few.
    "test-44100Hz-le-1ch-4bytes": ("int32", 1, 44100, 4410, ["wrong sizes"]),
    "test-8000Hz-le-3ch-5S-24bit-rf64": ("int24", 3, 8000, 5, []),
    "test-8000Hz-le-3ch-5S-24bit": ("int24", 3, 8000, 5, []),
    "test-8000Hz-le-2ch-1byteu": ("uint8", 2, 8000, 800, []),
    "test-8000Hz-le-4ch-9S-12bit": ("int16", 4, 8000, 9, []),
    "test-8000Hz-le-5ch-9S-5bit": ("uint8", 5, 8000, 9, []),
}
"""By name: encoding, channels, rate, frames, faults that are named."""

REFUSED = {
    "test-44100Hz-2ch-32bit-float-be": "RIFX",
    "test-44100Hz-be-1ch-4bytes": "RIFX",
    "test-8000Hz-be-3ch-5S-24bit": "RIFX",
    "test-44100Hz-le-1ch-4bytes-incomplete-chunk": "no format chunk",
    "test-48000Hz-2ch-64bit-float-le-wavex": "64-bit floats",
    "test-8000Hz-le-1ch-1byte-ulaw": "µ-law",
    "test-8000Hz-le-3ch-5S-24bit-inconsistent": "contradicts itself",
    "test-8000Hz-le-3ch-5S-36bit": "36-bit integers",
    "test-8000Hz-le-3ch-5S-45bit": "45-bit integers",
    "test-8000Hz-le-3ch-5S-53bit": "53-bit integers",
    "test-8000Hz-le-3ch-5S-64bit": "64-bit integers",
}
"""By name: words of the refusal."""

NOTHING_IN_IT = "test-44100Hz-le-1ch-4bytes-early-eof-no-data"


def test_every_file_of_the_folder_is_in_one_of_the_lists():
    """So that a new release of that library brings no file that nobody looks at."""
    found = {path.stem for path in FOLDER.glob("*.wav")}
    assert found == {*READ, *REFUSED, NOTHING_IN_IT}


@pytest.mark.parametrize("name", READ)
def test_samples_are_those_that_libsndfile_reads(name):
    """Bit for bit, whatever extra chunks, sizes and odd depths there are."""
    path = FOLDER / f"{name}.wav"
    recording = open_recording(path)
    layout = recording.layout
    faults = [fault.kind for fault in layout.faults]
    read = (layout.encoding, layout.channels, layout.rate, layout.frames, faults)
    assert read == READ[name]
    raw = recording.source.read(layout.data_start, layout.frames * layout.frame_bytes)
    expected, _ = soundfile.read(path, always_2d=True)
    assert np.array_equal(raw_to_samples(np.frombuffer(raw, np.uint8), layout), expected.T)


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_not_read_is_refused_by_what_it_is(name):
    """Not as a file that would be no sound at all."""
    with pytest.raises(RecordingError, match=REFUSED[name]):
        open_recording(FOLDER / f"{name}.wav")


def test_a_header_without_samples_is_read_as_that():
    """Another library refuses it; here the card's other files go on."""
    layout = open_recording(FOLDER / f"{NOTHING_IN_IT}.wav").layout
    assert (layout.frames, [fault.kind for fault in layout.faults]) == (0, ["header only"])
