"""What checking a recording costs in Python outside the browser, beside another library's Welch.

Run as a module, it does one of the two jobs on one file and prints processor time and memory.
"""

import json
import os
import subprocess
import sys
from pathlib import Path
from resource import RUSAGE_SELF, getrusage
from tempfile import TemporaryDirectory
from time import perf_counter, process_time

import numpy as np

from calculators.recording.engine import PartCheck, cuts
from calculators.recording.opening import open_recording
from calculators.recording.samples import chunks, raw_to_steps
from calculators.recording.settings import Settings
from calculators.recording.wave_writing import wave_bytes
from tests.bench import figures
from tests.bench.figures import Figure

PART = "Recording check, native Python, one core"

RATE, SECONDS = 96_000, 466
"""A quarter of a gigabyte of 24-bit stereo."""

RUNS = 5
SCIPY_SEGMENTS = 128
"""Segments in a chunk for scipy: of 8 to 256 the number with which it takes least time."""

LEAST_RATIO = 1.8
MOST_MEMORY = 300


def measure() -> list[Figure]:
    """Processor time, memory, and what a second core gives."""
    with TemporaryDirectory() as folder:
        file = made_file(Path(folder))
        gigabytes = file.stat().st_size / 1e9
        ours, theirs = [], []
        for _ in range(RUNS):
            ours.append(_apart("ours", file))
            theirs.append(_apart("scipy", file))
        ratios = [two["cpu"] / one["cpu"] for one, two in zip(ours, theirs, strict=True)]
        return [
            _middle("all checks", "s/GB", [one["cpu"] / gigabytes for one in ours]),
            _middle("scipy.signal.welch", "s/GB", [one["cpu"] / gigabytes for one in theirs]),
            _middle("scipy.signal.welch over all checks", "", ratios, least=LEAST_RATIO),
            _middle("all checks: memory", "MB", [one["rss"] for one in ours], most=MOST_MEMORY),
            _middle("two processes over one", "", _two_cores(file)),
        ]


def made_file(folder: Path) -> Path:
    """A recording of noise at 24 bit, of which no part repeats another one."""
    random = np.random.default_rng(1)
    file = folder / "noise.wav"
    head = wave_bytes(np.zeros((2, 0)), RATE, "int24")
    body = RATE * SECONDS * 6
    with file.open("wb") as opened:
        opened.write(head[:-4] + body.to_bytes(4, "little"))
        for _ in range(SECONDS):
            noise = random.standard_normal((2, RATE)) * 0.05
            codes = np.round(noise.T * 2**23).astype("<i4")
            opened.write(codes.reshape(-1).view(np.uint8).reshape(-1, 4)[:, :3].tobytes())
    return file


def ours(file: Path, part: int = 0, parts: int = 1) -> None:
    """Every check of one part of a file."""
    recording = open_recording(file)
    layout = recording.layout
    marks = cuts(layout, parts)
    check = PartCheck(layout, Settings(), marks[part], marks[part + 1], layout.started)
    while (wanted := check.wants()) is not None:
        check.add(np.frombuffer(recording.source.read(*wanted), dtype=np.uint8))
    check.partial()


def scipy(file: Path) -> None:
    """The other library's densities, chunk by chunk, added up."""
    from scipy.signal import welch

    recording = open_recording(file)
    layout, segment = recording.layout, Settings().segment
    total, count = 0.0, 0
    for raw in chunks(
        recording.source, layout, frames_per_chunk=SCIPY_SEGMENTS * segment, overlap=segment // 2
    ):
        samples = np.empty((layout.channels, raw.size // layout.frame_bytes))
        raw_to_steps(raw, layout, samples)  # as cheaply as ours; scaling is left out
        new = (samples.shape[1] - segment) // (segment // 2) + 1
        if new > 0:
            density = welch(samples, layout.rate, "hann", segment, segment // 2, detrend=False)[1]
            total, count = total + density * new, count + new


def _apart(job: str, *given: object) -> dict[str, float]:
    """Seconds of the processor and megabytes of one job in a process of its own."""
    return json.loads(_start(job, *given).communicate()[0])


def _start(job: str, *given: object) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "tests.bench.recording_native", job, *map(str, given)]
    one_thread = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1")
    return subprocess.Popen(
        command, stdout=subprocess.PIPE, text=True, env={**os.environ, **one_thread}
    )


def _two_cores(file: Path) -> list[float]:
    """How much sooner two processes have done half of it each."""
    ratios = []
    for _ in range(RUNS):
        begun = perf_counter()
        _apart("ours", file)
        one = perf_counter() - begun
        begun = perf_counter()
        for process in [_start("ours", file, part, 2) for part in range(2)]:
            process.communicate()
        ratios.append(one / (perf_counter() - begun))
    return ratios


def _middle(name: str, unit: str, samples: list[float], **target: float) -> Figure:
    return figures.middle(PART, name, unit, samples, **target)


if __name__ == "__main__":
    job, name, *rest = sys.argv[1:]
    begun = process_time()
    {"ours": ours, "scipy": scipy}[job](Path(name), *map(int, rest))
    used = process_time() - begun
    memory = getrusage(RUSAGE_SELF).ru_maxrss / 1024
    print(json.dumps({"cpu": used, "rss": memory}))
