"""The recording check in a browser, against the transform of scipy alone, on files of gigabytes.

Both read the same file in the same run. Others may share the processor, so both wall clock and
processor time are noted; ratios are of processor time, which others cannot take away.

The clock begins when the files are there. Python has started and warmed up by then, as it does
while a page is idle; a second Worker too, as it does when "Two at a time" is ticked or files are
about to come: to find them takes a reader longer. What two cores of this machine can do at all
stands beside what two Workers do: two natives at once against one.
"""

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from struct import pack

import numpy as np

from site_src.paths import BUILD
from tests.bench import figures
from tests.bench.browser import profile
from tests.bench.figures import Figure
from tests.bench.site import Counter

PART = "Recordings in the browser"
RATE, CHANNELS, BYTES = 96_000, 2, 3
FRAME = CHANNELS * BYTES
BLOCK_SECONDS = 61
"""Of noise that is written again and again: making it anew takes longer than checking it."""

GIGABYTES = (1.0, 4.5)
SHORT, ROUNDS = 1.0, 5
"""Files of up to so many gigabytes are checked so often: a machine is not as fast at all times."""

CHECK = "listen/check/"
"""Address of the page."""

CHOOSING_MS = 4000
"""What a reader takes at least to find a file."""

LONGEST = 1200
"""Seconds after which a check counts as broken."""

NATIVE = """
import sys, time
import numpy as np
from scipy.signal import welch
path, start = sys.argv[1], int(sys.argv[2])
began, cpu = time.perf_counter(), time.process_time()
chunk, total, count = 128 * 4096, 0, 0
padded = np.zeros((2 * (chunk + 2048), 4), np.uint8)
with open(path, "rb") as file:
    file.seek(start)
    kept = b""
    while raw := file.read(chunk * 6):
        raw = kept + raw
        frames = len(raw) // 6
        padded[: 2 * frames, 1:] = np.frombuffer(raw, np.uint8, frames * 6).reshape(-1, 3)
        samples = padded.view("<i4")[: 2 * frames, 0].reshape(-1, 2).T * 2.0**-31
        if frames >= 4096:
            total = total + welch(samples, 96000, "hann", 4096, 2048, detrend=False)[1]
            count += 1
        kept = raw[-2048 * 6 :]
print(time.perf_counter() - began, time.process_time() - cpu)
"""
"""Reads the file in the pieces with which scipy is fastest: twice as long, it takes 7 % more."""


@dataclass
class Checked:
    """What one check took."""

    seconds: float
    processor: float
    first_picture: float
    heap: float
    resident: float
    marks: dict[str, float] = field(default_factory=dict)


@dataclass
class Round:
    """All of them once, one after the other: what they share is the machine as it was just then."""

    native: tuple[float, float]
    at_once: float
    runs: dict[int, Checked]

    @property
    def one(self) -> Checked:
        """With one Worker."""
        return self.runs[1]


def measure(server: Counter, gigabytes: tuple[float, ...] = GIGABYTES) -> list[Figure]:
    """One Worker, two of them and scipy on each file, in turns."""
    found = []
    for size in gigabytes:
        with made_file(size) as path:
            rounds = [_round(server, path) for _ in range(ROUNDS if size <= SHORT else 1)]
            found += _against(size, rounds)
    return found


def _round(server: Counter, path: Path) -> Round:
    native, at_once = scipy_seconds(path), two_scipy_seconds(path)
    return Round(native, at_once, {n: checked(server, path, n) for n in (1, 2)})


def _against(size: float, rounds: list[Round]) -> list[Figure]:
    part = f"{PART}, {size:g} GB of 96 kHz 24-bit stereo"
    length = size * 1e9 / FRAME / RATE

    def figure(name: str, unit: str, of: Callable[[Round], float], **target: float) -> Figure:
        return figures.middle(part, name, unit, [of(each) for each in rounds], **target)

    found = [
        figure("scipy.signal.welch alone, wall clock", "s", lambda r: r.native[0]),
        figure("scipy.signal.welch alone, processor", "s", lambda r: r.native[1]),
        figure("scipy.signal.welch alone, times real time", "", lambda r: length / r.native[0]),
        figure(
            "one Worker against scipy, processor",
            "",
            lambda r: r.native[1] / r.one.processor,
            least=1.0,
        ),
        figure("one Worker, times real time", "", lambda r: length / r.one.seconds, least=100),
        figure(
            "two Workers against one, wall clock",
            "",
            lambda r: r.one.seconds / r.runs[2].seconds,
            least=1.6,
        ),
        figure(
            "two scipys at once against one, wall clock", "", lambda r: 2 * r.native[0] / r.at_once
        ),
    ]
    for number in (1, 2):
        found += _of_run(number, figure)
    return found


def _of_run(number: int, figure: Callable[..., Figure]) -> list[Figure]:
    name = f"{number} Worker{'s' if number > 1 else ''}"

    def of(value: str) -> Callable[[Round], float]:
        return lambda r: float(getattr(r.runs[number], value))

    most = {"most": 550} if number == 1 else {}
    return [
        figure(f"{name}: wall clock", "s", of("seconds")),
        figure(f"{name}: processor, page and Workers", "s", of("processor")),
        figure(f"{name}: first picture after the drop", "s", of("first_picture"), most=2.0),
        figure(f"{name}: WebAssembly heap of one", "MB", of("heap"), most=120),
        figure(f"{name}: renderer resident, peak", "MB", of("resident"), **most),
    ]


@contextmanager
def made_file(gigabytes: float) -> Iterator[Path]:
    """A file of noise, RF64 where it has to be; taken away afterwards."""
    path = BUILD / f"bench-{gigabytes:g}.wav"
    rng = np.random.default_rng(1)
    frames = int(gigabytes * 1e9) // FRAME
    block = BLOCK_SECONDS * RATE
    with path.open("wb") as file:
        file.write(_head(frames))
        noise = np.rint(rng.standard_normal((block, CHANNELS)) * 2**23 * 0.01).astype("<i4")
        data = noise.view(np.uint8).reshape(-1, 4)[:, :BYTES].tobytes()
        for _ in range(frames // block):
            file.write(data)
        file.write(data[: frames % block * FRAME])
        file.flush()
        os.fsync(file.fileno())  # or it is written while others are timed
    try:
        yield path
    finally:
        path.unlink()


def _head(frames: int) -> bytes:
    size = frames * FRAME
    form = pack("<HHIIHH", 1, CHANNELS, RATE, RATE * FRAME, FRAME, 8 * BYTES)
    sizes = b"ds64" + pack("<IQQQI", 28, size + 72, size, frames, 0)
    return (
        b"RF64"
        + pack("<I", 0xFFFFFFFF)
        + b"WAVE"
        + sizes
        + b"fmt "
        + pack("<I", 16)
        + form
        + b"data"
        + pack("<I", 0xFFFFFFFF)
    )


def scipy_seconds(path: Path) -> tuple[float, float]:
    """Wall clock and processor time of scipy's Welch over the file, piece by piece, one thread."""
    return _ended(_scipy(path))


def two_scipy_seconds(path: Path) -> float:
    """Wall clock of two of them at once, each over all of the file: the later one's."""
    both = [_scipy(path) for _ in range(2)]
    return max(_ended(each)[0] for each in both)


def _scipy(path: Path) -> subprocess.Popen[str]:
    alone = {**os.environ, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
    command = [sys.executable, "-c", NATIVE, str(path), str(len(_head(0)))]
    return subprocess.Popen(command, env=alone, stdout=subprocess.PIPE, text=True)


def _ended(started: subprocess.Popen[str]) -> tuple[float, float]:
    out, _ = started.communicate()
    if started.returncode:
        raise subprocess.CalledProcessError(started.returncode, started.args)
    wall, processor = map(float, out.split())
    return wall, processor


def checked(server: Counter, path: Path, workers: int) -> Checked:
    """Check the file in a fresh browser."""
    with profile(service_workers="block") as context:
        page = context.new_page()
        page.goto(f"{server.address}{CHECK}")
        page.wait_for_selector("[data-python=live]", timeout=1000 * LONGEST)
        page.set_checked("#recording-two", False)
        if workers == 2:
            page.set_checked("#recording-two", True)
            page.wait_for_selector("[data-second=live]", timeout=1000 * LONGEST)
        page.wait_for_timeout(CHOOSING_MS)
        page.evaluate(WATCH)
        renderer = _renderer()
        before = _processor(renderer)
        page.set_input_files("input.pick-files", path)
        page.wait_for_selector("[data-check=done]", timeout=1000 * LONGEST)
        marks: dict[str, float] = page.evaluate("window.marks")
        return Checked(
            seconds=(marks["done"] - marks["chosen"]) / 1000,
            processor=_processor(renderer) - before,
            first_picture=(marks["picture"] - marks["chosen"]) / 1000,
            heap=float(page.get_attribute("[data-heap]", "data-heap") or 0) / 1e6,
            resident=_peak(renderer) / 1e6,
            marks=marks,
        )


WATCH = """
() => {
  const section = document.querySelector("[data-wetside=recording]");
  window.marks = {};
  const mark = (name) => (window.marks[name] ??= performance.now());
  section.querySelector(".pick-files").addEventListener("change", () => mark("chosen"), true);
  new MutationObserver(() => {
    if (section.querySelector(".report[data-reports]")) mark("picture");
    if (section.dataset.check === "done") mark("done");
  }).observe(section, { subtree: true, childList: true, attributes: true });
}
"""


def _renderer() -> int:
    """The page's own process: of this run's renderers the one that has worked most."""
    parents = {}
    for folder in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):
            after_name = (folder / "stat").read_text().rpartition(")")[2].split()
            parents[int(folder.name)] = int(after_name[1])
    mine = [pid for pid in parents if _descends(pid, parents) and _is_renderer(pid)]
    return max(mine, key=_processor)


def _descends(pid: int, parents: dict[int, int]) -> bool:
    while pid in parents and pid != os.getpid():
        pid = parents[pid]
    return pid == os.getpid()


def _is_renderer(pid: int) -> bool:
    try:
        return b"--type=renderer" in Path(f"/proc/{pid}/cmdline").read_bytes()
    except OSError:
        return False


def _processor(pid: int) -> float:
    """Seconds of processor time, user and system."""
    after_name = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(after_name[11]) + int(after_name[12])) / os.sysconf("SC_CLK_TCK")


def _peak(pid: int) -> float:
    """The most memory that a process has had; bytes."""
    lines = Path(f"/proc/{pid}/status").read_text().splitlines()
    (line,) = (line for line in lines if line.startswith("VmHWM:"))
    return float(line.split()[1]) * 1024
