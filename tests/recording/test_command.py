"""``recording check`` from a shell: what it writes, how it ends, and how it goes on."""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from shutil import copytree

import numpy as np
import pytest
import soundfile

from calculators.__main__ import main
from calculators.recording import checking, command, processes, work
from calculators.recording.synthetic.demo_recording import demo
from tests.recording.test_report import write_wave

ROOT = Path(__file__).parents[2]
TABLES = ("spectrum.csv", "bands.csv", "levels.csv", "findings.csv")
WRITTEN = ("report.html", "report.json", *TABLES)


@pytest.fixture(scope="module")
def card(tmp_path_factory):
    """The demonstration as a recorder's card, with what other programs leave beside it."""
    folder = tmp_path_factory.mktemp("card") / "TARN"
    (folder / "deeper").mkdir(parents=True)
    for n, file in enumerate(demo()):
        (folder / ("deeper" if n > 2 else "") / file.name).write_bytes(file.data)
    (folder / "._hidden.wav").write_bytes(b"not sound")
    (folder / "notes.txt").write_text("not sound either")
    return folder


@pytest.fixture(autouse=True)
def small_parts(monkeypatch):
    """Parts of a second or two, so that small files have many."""
    monkeypatch.setattr(work, "PART_BYTES", 100_000)


def run(*arguments):
    return main(["recording", "check", *map(str, arguments)])


def outcome(folder):
    return {name: (folder / name).read_bytes() for name in WRITTEN}


@pytest.fixture(scope="module")
def done(card, tmp_path_factory):
    """Where one process wrote its outcome, without a stop."""
    out = tmp_path_factory.mktemp("done")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(work, "PART_BYTES", 100_000)
        assert run(card, "--out", out, "--jobs", "1") == 1
    return out


@pytest.fixture(scope="module")
def whole(done):
    """That outcome."""
    return outcome(done)


def test_it_finds_the_faults_of_the_demonstration(card, capsys):
    """Its docstring lists them: hum, offset, a knock that clips, a hole, a gap, a flooded one."""
    assert run(card) == 1
    said = capsys.readouterr().out
    assert said.startswith("TARN: Not all of it can be used: ")
    assert "5 files, 46\u00a0s of sound in 2 channels" in said
    for title in ("Mains hum", "Clipped", "Holes of exact zeros", "Time is missing", "noisy low"):
        assert title in said
    assert "re full scale" in said
    assert "deeper/synthetic-" in said


def test_files_that_take_a_while_to_open_are_counted(card, capsys, monkeypatch):
    """On the error stream, as the progress of the check itself."""
    monkeypatch.setattr(checking, "OPENS_WITHIN", 0.0)
    assert run(card) == 1
    told = capsys.readouterr()
    assert [line.split(",")[0] for line in told.err.splitlines() if "Opening" in line] == [
        f"Opening file {number} of 5" for number in range(2, 6)
    ]
    assert "Opening" not in told.out


def test_the_result_is_the_same_with_one_process_and_with_two(card, whole, tmp_path):
    assert run(card, "--out", tmp_path, "--jobs", "2") == 1
    assert outcome(tmp_path) == whole


def test_how_a_file_is_cut_changes_no_finding(card, whole, tmp_path, monkeypatch):
    monkeypatch.setattr(work, "PART_BYTES", 2**28)
    assert run(card, "--out", tmp_path, "--jobs", "1") == 1
    assert outcome(tmp_path)["findings.csv"] == whole["findings.csv"]


class Counting:
    """Measures, counts how often, and stops by Ctrl-C where it is told to."""

    def __init__(self, monkeypatch, stop_after=None):
        self.count, self._stop_after = 0, stop_after
        self._measure = work.measure
        monkeypatch.setattr(processes, "measure", self)

    def __call__(self, part, tell):
        if self.count == self._stop_after:
            raise KeyboardInterrupt
        self.count += 1
        return self._measure(part, tell)


def test_a_stopped_run_goes_on_where_it_was(card, whole, tmp_path, monkeypatch, capsys):
    with monkeypatch.context() as patch:
        stopped = Counting(patch, stop_after=4)
        assert run(card, "--out", tmp_path, "--jobs", "1") == 130
    assert f"kept in {tmp_path}: the same command goes on" in capsys.readouterr().err
    kept = list((tmp_path / "parts").glob("*.part"))
    assert len(kept) == stopped.count == 4
    with monkeypatch.context() as patch:
        again = Counting(patch)
        assert run(card, "--out", tmp_path, "--jobs", "1") == 1
    assert outcome(tmp_path) == whole
    total = len(list((tmp_path / "parts").glob("*.part")))
    assert again.count == total - 4
    assert total > 10


def test_kept_results_that_are_damaged_are_done_again(card, done, whole, tmp_path, monkeypatch):
    copytree(done, tmp_path, dirs_exist_ok=True)
    kept = sorted((tmp_path / "parts").glob("*.part"))
    kept[0].write_bytes(kept[0].read_bytes()[:-20])
    broken = bytearray(kept[1].read_bytes())
    broken[len(broken) // 2] ^= 255
    kept[1].write_bytes(broken)
    kept[2].unlink()
    again = Counting(monkeypatch)
    assert run(card, "--out", tmp_path, "--jobs", "1") == 1
    assert again.count == 3
    assert outcome(tmp_path) == whole


def test_another_sensitivity_needs_no_new_measuring(card, done, tmp_path, monkeypatch):
    copytree(done, tmp_path, dirs_exist_ok=True)
    again = Counting(monkeypatch)
    run(card, "--out", tmp_path, "--jobs", "1", "--sensitivity", "-163 ± 1.5")
    assert again.count == 0
    assert "dB re 1 µPa" in (tmp_path / "bands.csv").read_text(encoding="utf-8")


def test_a_file_that_changed_is_measured_anew(tmp_path, monkeypatch):
    path = tmp_path / "a.wav"
    random = np.random.default_rng(1)
    write_wave(path, random.normal(0, 0.1, (1, 24000)))
    out = tmp_path / "out"
    run(path, "--out", out, "--jobs", "1")
    os.utime(path, (1, 1))
    again = Counting(monkeypatch)
    run(path, "--out", out, "--jobs", "1")
    assert again.count == 1


def test_a_clean_recording_ends_with_zero_and_json_is_json(tmp_path, capsys):
    path = tmp_path / "REC_20260508_210000.wav"
    write_wave(path, np.random.default_rng(4).normal(0, 0.05, (1, 48000)))
    assert run(path, "--json") == 0
    data = json.loads(capsys.readouterr().out)
    assert data["title"] == path.name
    assert data["verdict"]["level"] != "fail"


def test_a_rig_gives_levels_of_pressure(card, done, tmp_path, capsys):
    copytree(done, tmp_path, dirs_exist_ok=True)
    run(card, "--out", tmp_path, "--rig", ROOT / "docs/rigs/tarn.toml")
    said = capsys.readouterr().out
    assert "dB re 1 µPa" in said
    assert "by the rig “" in said


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["{tmp}/not-there"], "not-there: This cannot be read: No such file"),
        (["{tmp}/empty"], "There is no recording in this folder"),
        (["{tmp}/text.wav"], "Nothing here can be checked. text.wav: "),
        (["{card}", "--jobs", "0"], "--jobs: “0” processes. Give 1 to 1024."),
        (["{card}", "--jobs", "many"], "--jobs: “many”"),
        (["{card}", "--sensitivity", "163"], "--sensitivity: System sensitivity: 163.0"),
        (["{card}", "--rig", "{tmp}/no.toml"], "no.toml: This file cannot be read"),
        (["{card}", "--out", "{tmp}/text.wav"], "--out: "),
        (["{card}", "--dask", "tcp://127.0.0.1:9"], "--dask: No scheduler answers at"),
    ],
)
def test_bad_input_is_refused_by_name(arguments, said, card, tmp_path, capsys, monkeypatch):
    from calculators.recording import cluster

    monkeypatch.setattr(cluster, "CONNECT", 0.3)
    (tmp_path / "empty").mkdir()
    (tmp_path / "text.wav").write_text("no sound")
    assert run(*(a.format(tmp=tmp_path, card=card) for a in arguments)) == 2
    errors = capsys.readouterr().err
    assert said in errors
    assert "Traceback" not in errors


def test_flac_gives_what_the_same_sound_gives_unpacked(tmp_path):
    """Packed and unpacked by libsndfile, through soundfile."""
    sound = np.random.default_rng(6).integers(-(2**19), 2**19, (48000, 2), np.int32) << 8
    for kind, folder in (("WAV", "unpacked"), ("FLAC", "packed")):
        (tmp_path / folder).mkdir()
        path = tmp_path / folder / f"REC_20260508_210000.{kind.lower()}"
        soundfile.write(path, sound, 24000, "PCM_24", format=kind)
        run(path, "--out", tmp_path / f"{folder}-out", "--jobs", "1")
    one, other = (
        [
            line
            for line in (tmp_path / f"{folder}-out" / "spectrum.csv").read_text().splitlines()
            if not line.startswith("#")
        ]
        for folder in ("unpacked", "packed")
    )
    assert one == other
    assert len(one) > 2000


def test_what_cannot_be_read_beside_what_can_is_a_finding(tmp_path, capsys):
    write_wave(tmp_path / "a.wav", np.random.default_rng(4).normal(0, 0.05, (1, 48000)))
    write_wave(tmp_path / "c.wav", np.random.default_rng(5).normal(0, 0.05, (2, 8000)))
    (tmp_path / "b.wav").write_text("no sound")
    assert run(tmp_path) == 1
    said = capsys.readouterr().out
    assert "A file that can't be read" in said
    assert "b.wav" in said
    assert "Left out: 1 × 24\u202f000\u00a0Hz, 2 ch.: c.wav" in said


def test_a_file_that_fails_while_it_is_read_counts_as_far_as_it_goes(tmp_path, capsys, monkeypatch):
    """As a card with a bad block does."""
    from calculators.recording.engine import CHUNK_BYTES
    from calculators.recording.errors import RecordingError
    from calculators.recording.source import FileSource

    path = tmp_path / "a.wav"
    write_wave(path, np.random.default_rng(4).normal(0, 0.05, (1, 24000 * 60)))
    read, bad = FileSource.read, CHUNK_BYTES + 400_000

    def failing(self, offset, length):
        if offset <= bad < offset + length:
            raise RecordingError(self.name, f"It cannot be read at byte {bad}.")
        return read(self, offset, length)

    monkeypatch.setattr(work, "PART_BYTES", 2**28)
    monkeypatch.setattr(FileSource, "read", failing)
    out = tmp_path / "out"
    assert run(path, "--out", out, "--jobs", "1") == 1
    assert "A file that is damaged inside" in capsys.readouterr().out
    data = json.loads((out / "report.json").read_text(encoding="utf-8"))
    assert 10 < data["recording"]["files"][0]["checked_frames"] / 24000 < 55
    assert not list((out / "parts").glob("*.part"))  # another time it may be read


def shell(*arguments, **more):
    words = [sys.executable, "-m", "calculators", "recording", "check", *map(str, arguments)]
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    return subprocess.Popen(words, cwd=ROOT, text=True, **(pipes | more))


PARTS = 20


@pytest.fixture(scope="module")
def long_card(tmp_path_factory):
    """Enough to be stopped in the middle of it."""
    folder = tmp_path_factory.mktemp("long")
    noise = np.random.default_rng(2).normal(0, 0.1, (2, 96000 * 30))
    for n in range(PARTS):
        write_wave(folder / f"REC_20260508_21{n:02d}00.wav", noise, rate=96000)
    return folder


def _wait_for(condition, seconds=60.0):
    end = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < end
        time.sleep(0.01)


def test_after_a_kill_the_same_command_goes_on_and_ctrl_c_stops_it_at_once(long_card, tmp_path):
    """And none of the processes stays behind."""
    parts = tmp_path / "parts"
    killed = shell(long_card, "--out", tmp_path, "--jobs", "2")
    _wait_for(lambda: parts.is_dir() and any(parts.glob("*.part")))
    children = _children(killed.pid)
    killed.kill()
    killed.communicate()
    before = {path: path.stat().st_mtime_ns for path in parts.glob("*.part")}
    assert 0 < len(before) < PARTS - 1
    _wait_for(lambda: not any(Path(f"/proc/{child}").exists() for child in children), 10)
    # Whoever runs these tests in the background may have told them not to heed Ctrl-C.
    heeding = {"preexec_fn": lambda: signal.signal(signal.SIGINT, signal.default_int_handler)}
    again = shell(long_card, "--out", tmp_path, "--jobs", "2", start_new_session=True, **heeding)
    _wait_for(lambda: len(list(parts.glob("*.part"))) > len(before))
    os.killpg(again.pid, signal.SIGINT)
    _, errors = again.communicate(timeout=30)
    assert again.returncode == 130
    assert "Stopped. What was measured is kept" in errors
    assert "Traceback" not in errors
    assert all(path.stat().st_mtime_ns == when for path, when in before.items())
    assert not (tmp_path / "report.html").exists()


def _children(parent):
    found = []
    for status in Path("/proc").glob("[0-9]*/stat"):
        try:
            pid, rest = status.parent.name, status.read_text().rpartition(")")[2].split()
        except OSError:
            continue
        if int(rest[1]) == parent:
            found.append(int(pid))
    return found


def test_a_reader_that_has_seen_enough_ends_it_quietly(card):
    with shell(card, "--jobs", "1") as running:
        running.stdout.close()
        errors = running.stderr.read()
    assert running.returncode == 141
    assert "Traceback" not in errors


def test_without_numpy_the_other_commands_run_and_this_one_says_what_to_install(card):
    code = (
        "import sys; sys.modules['numpy'] = None\n"
        "from calculators.__main__ import main\n"
        "assert main(['show', 'recording-storage']) == 0\n"
        f"sys.exit(main(['recording', 'check', {str(card)!r}]))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, timeout=60
    )
    assert done.returncode == 2
    assert 'pip install "wetside[recording]"' in done.stderr
    assert "Traceback" not in done.stderr


def test_a_file_named_twice_is_taken_once(card):
    once, names, title = command.found_files([card])
    twice, _, _ = command.found_files([card, once[0], card / "deeper"])
    assert twice == once
    assert len(once) == 5
    assert title == "TARN"
    assert names[-1].startswith(("synthetic", "deeper/"))
