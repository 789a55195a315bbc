"""Sources of bytes, and who may import what."""

import pickle
import re
import sys
from pathlib import Path
from subprocess import run

import pytest

import calculators
from calculators.recording.errors import RecordingError
from calculators.recording.opening import open_recording
from calculators.recording.source import BytesSource, FileSource
from tests.recording.made import chunk, fmt, riff


def test_a_file_and_bytes_read_alike(tmp_path):
    """Anywhere, and short only at the end."""
    data = bytes(range(200))
    path = tmp_path / "reach.wav"
    path.write_bytes(data)
    for source in (FileSource(path), BytesSource(data, "reach.wav"), FileSource(str(path))):
        assert (source.name, source.size) == ("reach.wav", 200)
        assert source.read(10, 20) == data[10:30]
        assert source.read(190, 20) == data[190:]
        assert source.read(300, 20) == b""


def test_a_length_beyond_the_file_allocates_nothing(tmp_path):
    """No more than the file is ever asked of the system."""
    path = tmp_path / "reach.wav"
    path.write_bytes(b"abc")
    assert FileSource(path).read(1, 2**62) == b"bc"


def test_what_was_added_to_a_file_since_is_not_read(tmp_path):
    """Its size is that when it was opened, so all that is computed from it holds."""
    path = tmp_path / "reach.wav"
    path.write_bytes(b"abc")
    source = FileSource(path)
    path.write_bytes(b"abcdef")
    assert source.read(0, 10) == b"abc"


def test_files_that_are_none_are_refused_by_name(tmp_path):
    """With what the system says."""
    with pytest.raises(RecordingError, match=r"gone\.wav: It cannot be opened: No such file"):
        FileSource(tmp_path / "gone.wav")
    (tmp_path / "folder").mkdir()
    with pytest.raises(RecordingError, match="folder: It is no file"):
        FileSource(tmp_path / "folder")
    path = tmp_path / "reach.wav"
    path.write_bytes(b"abc")
    source = FileSource(path)
    path.unlink()
    with pytest.raises(RecordingError, match=r"reach\.wav: It cannot be read at byte 2: No such"):
        source.read(2, 1)


def test_refusals_and_recordings_may_be_sent_to_another_process(tmp_path):
    """Whole, with the name of the file."""
    refusal = pickle.loads(pickle.dumps(RecordingError("reach.wav", "It is empty.")))
    assert (str(refusal), refusal.file) == ("reach.wav: It is empty.", "reach.wav")
    path = tmp_path / "reach.wav"
    path.write_bytes(riff(fmt(), chunk(b"data", b"abcd")))
    copy = pickle.loads(pickle.dumps(open_recording(path)))
    assert (copy.name, copy.layout.frames) == ("reach.wav", 2)
    assert copy.source.read(44, 4) == b"abcd"


def test_the_core_imports_neither_numpy_nor_this_package_while_it_starts():
    """A page's calculators run without both; the command line imports them where it needs them."""
    core = Path(calculators.__file__).parent
    rest = [path for path in core.rglob("*.py") if "recording" not in path.parts]
    assert len(rest) > 100
    at_start = re.compile(
        r"^(from|import) (numpy|soundfile|calculators\.recording)\b", re.MULTILINE
    )
    assert [path for path in rest if at_start.search(path.read_text("utf-8"))] == []


def test_a_layout_needs_no_numpy():
    """A page can say what a file holds before it has fetched any library."""
    program = (
        "import sys, calculators.recording.opening, calculators.recording.flac_stream;"
        "print({name.split('.')[0] for name in sys.modules} & {'numpy', 'soundfile'})"
    )
    done = run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"
