"""What a page's Worker calls: takes bytes that the page reads, keeps count, and answers in JSON.

The page owns the files; this side owns everything that is known of them. It says which bytes it
wants next, gets them in one buffer that it keeps, and holds one partial result, which grows.
"""

import json
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from calculators import units
from calculators.errors import InputError
from calculators.recording import page_report
from calculators.recording.errors import RecordingError
from calculators.recording.flac_unpack import Brought, unpacker
from calculators.recording.hearing import MOST_FRAMES, Sound, audible
from calculators.recording.layout import Layout
from calculators.recording.opening import Recording
from calculators.recording.page_report import Sheet
from calculators.recording.partial import Partial
from calculators.recording.reading import Reading
from calculators.recording.samples import raw_to_samples
from calculators.recording.settings import Settings

Read = Callable[[int, int, int], Any]
"""Bytes of a file: its index, offset, length. None where it can't be read any more."""

STRETCH_BYTES = 1 << 26
"""Of sound in a stretch, the most that is lost when a page is closed: a phone takes seconds for it.
Where two meet, a second or two are worked on twice, 3 % of this."""

SAMPLES = 8
"""Short stretches all over a long recording, for a first picture."""

SAMPLE_SECONDS = 2
LEAST_SAMPLED = 1 << 28
"""Bytes of sound below which the first seconds of work are a good part of it."""

HALVED, HALVINGS = 2, 2
"""So many stretches at the end of a long recording are cut in half, so many times: the Worker that
is done first waits less for the other one."""

WORTH_A_WORKER = 2 * STRETCH_BYTES
"""Bytes of sound for which another Worker is worth its start."""

MOST_HEARD = 60.0
"""Seconds of a moment."""


class PageSource:
    """A file that the page reads."""

    def __init__(self, index: int, name: str, size: int, read: Read) -> None:
        self.name, self.size = name, size
        self._index, self._read = index, read

    def read(self, offset: int, length: int) -> bytes:
        """``length`` bytes from ``offset`` on; fewer only where the file ends."""
        data = self._read(self._index, offset, max(0, min(length, self.size - offset)))
        if data is None:
            raise RecordingError(
                self.name,
                f"It cannot be read at byte {offset}. It was changed, moved or taken out since it "
                "was chosen: choose it again.",
            )
        return bytes(data)


@dataclass(frozen=True)
class Stretch:
    """Frames of one file."""

    file: int
    first: int
    last: int

    def as_json(self) -> dict[str, int]:
        """For the page."""
        return asdict(self)


class Desk:
    """One set of files and what is known of it.

    The order of calls: ``open``; ``call`` with ``plan``; ``take_up`` where something was kept; then
    for each stretch ``begin``, as long as ``wants`` says something ``add``, and ``end``. ``call``
    with ``report`` and ``hear`` at any time after ``open``.
    """

    def __init__(self, settings: Settings | None = None) -> None:
        self.settings = settings or Settings()
        self.buffer: NDArray[np.uint8] = np.zeros(1 << 20, np.uint8)
        self.recordings: list[Recording] = []
        self.starts: list[float | None] = []
        self._found: Partial | None = None
        self._joined: list[Partial] = []
        self._check: Reading | None = None
        self._first = self._last = 0

    # Files

    def open(self, text: str, read: Read) -> str:
        """Read the heads of files.

        Args:
            text: JSON, a list of ``{"name", "size", "changed"}``; ``changed`` in s since 1970.
            read: Gives their bytes.

        Returns:
            JSON for the page: what each is, and which were left out and why.
        """
        return self._answer(lambda: self._open(json.loads(text), read))

    def _open(self, listed: list[dict[str, Any]], read: Read) -> dict[str, Any]:
        self.forget()
        sources = [PageSource(n, f["name"], int(f["size"]), read) for n, f in enumerate(listed)]
        self.sheet = Sheet(sources)
        self.recordings = list(self.sheet.deployment.recordings)
        return self.sheet.opened()

    def bring(self, unpack: Brought) -> None:
        """Say what unpacks FLAC; before ``open``."""
        unpacker.brought = unpack

    # The check

    def begin(self, file: int, first: int, last: int) -> None:
        """Start on a stretch of a file; indices are those of the files that ``open`` listed."""
        started = self.sheet.started(file)
        self._check = Reading(self.recordings[file], self.settings, first, last, started, file)
        self._first, self._last = first, last

    def wants(self) -> tuple[int, int] | None:
        """The next bytes: offset and length; None at the end. ``buffer`` has room for them then.

        The length may be 0: then there is more to do with the bytes that came before.
        """
        wanted = self._now.wants()
        if wanted and wanted[1] > len(self.buffer):
            self.buffer = np.zeros(wanted[1], np.uint8)
        return wanted

    def add(self, length: int) -> None:
        """So many bytes are in the buffer."""
        self._now.add(self.buffer[:length])

    def end(self) -> None:
        """The stretch is done."""
        part = self._now.partial()
        self._found = self._found.merge(part) if self._found else part
        self._check = None

    @property
    def _now(self) -> Reading:
        if self._check is None:
            raise AssertionError("no stretch was begun")
        return self._check

    @property
    def frames_done(self) -> int:
        """Frames of the stretch that is being worked on."""
        return min(self._check.position, self._last) - self._first if self._check else 0

    def take(self) -> bytes:
        """What was found so far, for ``join``: what is being worked on too, as far as it is."""
        found = self._all_of_mine()
        return found.to_bytes() if found else b""

    def keep(self) -> bytes:
        """What was found in the stretches that are done, for ``take_up``."""
        return self._found.to_bytes() if self._found else b""

    def take_up(self, kept: list[bytes]) -> str:
        """Go on from what Workers that checked the same files have found.

        Returns:
            JSON: a refusal if these bytes are something else, damaged, or of another version.
        """

        def answer() -> dict[str, Any]:
            self._found, self._check = _merged(_read(kept)), None
            return {}

        return self._answer(answer)

    def join(self, parts: list[bytes]) -> str:
        """Take in what other Workers have found so far, in the place of what they had before."""

        def answer() -> dict[str, Any]:
            self._joined = _read(parts)
            return {}

        return self._answer(answer)

    def forget(self) -> None:
        """Start anew."""
        self._found, self._joined, self._check = None, [], None

    def _all_of_mine(self) -> Partial | None:
        now = self._check.partial() if self._check else None
        if self._found and now and now.frames:
            return self._found.merge(now)
        return self._found or now

    def _everything(self) -> Partial:
        mine = self._all_of_mine()
        found = _merged([*([mine] if mine else []), *self._joined])
        if found is None:
            raise InputError("recording", "Nothing has been checked yet.")
        return found

    # Questions

    def call(self, request: str) -> str:
        """Answer a request of the page, JSON in and JSON out. Refusals are answers."""
        asked = json.loads(request)
        answers: dict[str, Callable[[dict[str, Any]], dict[str, Any]]] = {
            "plan": lambda asked: plan(self.recordings, int(asked["workers"])),
            "report": self._report,
            "export": self._export,
            "picture": self._picture,
            "at": lambda asked: {"at": self.sheet.moment_at(float(asked["seconds"]))},
        }
        return self._answer(lambda: answers[asked["op"]](asked))

    def _report(self, asked: dict[str, Any]) -> dict[str, Any]:
        return self.sheet.report(self._everything(), asked["level"], float(asked["width"]))

    def _export(self, asked: dict[str, Any]) -> dict[str, Any]:
        return self.sheet.export(
            self._everything(), asked["level"], asked["kind"], asked["handbook"]
        )

    def _picture(self, asked: dict[str, Any]) -> dict[str, Any]:
        width = float(asked["width"])
        return self.sheet.picture(self._everything(), asked["level"], asked["name"], width)

    def hear(self, request: str) -> tuple[str, NDArray[np.float32] | None]:
        """A moment as sound: JSON on it, and its samples, one channel after the other."""
        made: list[Sound] = []

        def answer() -> dict[str, Any]:
            sound, words = self._heard(json.loads(request))
            made.append(sound)
            return {"rate": sound.rate, "channels": len(sound.samples), "words": words}

        text = self._answer(answer)
        return text, np.ascontiguousarray(made[0].samples).ravel() if made else None

    def _heard(self, asked: dict[str, Any]) -> tuple[Sound, str]:
        recording = self.recordings[int(asked["file"])]
        layout = recording.layout
        first, frames = moment(asked, layout.rate, layout.frames)
        raw = recording.source.read(
            layout.data_start + first * layout.frame_bytes, frames * layout.frame_bytes
        )
        whole = len(raw) // layout.frame_bytes * layout.frame_bytes
        samples = raw_to_samples(np.frombuffer(raw[:whole], np.uint8), layout)
        chosen = asked["channel"]
        wanted = samples[:2] if chosen is None else samples[int(chosen) : int(chosen) + 1]
        how = asked["how"]
        shift = _number(asked["shift"], "Hz", "Lowered by") if how == "shift" else 0.0
        raised = float(asked["raised"]) if asked["raised"] else None
        slower = 1 if how == "shift" else int(how)
        sound = audible(
            np.nan_to_num(wanted), layout.rate, slower=slower, shift=shift, raised=raised
        )
        return sound, page_report.heard_words(recording.name, first / layout.rate, sound)

    @staticmethod
    def _answer(work: Callable[[], dict[str, Any]]) -> str:
        try:
            return json.dumps({"ok": True, **work()}, ensure_ascii=False, allow_nan=False)
        except InputError as error:
            refused = [{"name": error.name, "message": error.message}]
            return json.dumps({"ok": False, "errors": refused}, ensure_ascii=False)


def moment(asked: dict[str, Any], rate: int, frames: int) -> tuple[int, int]:
    """First frame and number of frames of a moment, from texts of seconds.

    Raises:
        InputError: If it lies outside the file, or is too long.
    """
    start = _number(asked["start"], "s", "From")
    seconds = _number(asked["seconds"], "s", "For")
    length = frames / rate
    if not 0 <= start < length:
        raise InputError("start", f"From: {start:g} s. This file goes from 0 s to {length:.6g} s.")
    most = min(MOST_HEARD, MOST_FRAMES / rate)
    if not 0 < seconds <= most:
        raise InputError(
            "seconds", f"For: {seconds:g} s. Give more than 0 s, at most {most:.3g} s."
        )
    first = int(start * rate)
    return first, max(1, min(frames - first, round(seconds * rate)))


def _number(text: str, unit: str, label: str) -> float:
    return units.parse(str(text), unit, name=label, label=label)


def plan(recordings: list[Recording], workers: int) -> dict[str, Any]:
    """How the work is cut up: short stretches for a first picture, then the rest in order.

    Args:
        recordings: In their order.
        workers: How many may share the work.

    Returns:
        ``sample`` and ``stretches``, which do not depend on ``workers``, and how many ``workers``
        are worth their start.
    """
    sampled = _samples(recordings)
    rest = [s for n, r in enumerate(recordings) for s in _rest(r.layout, n, sampled.get(n, []))]
    for _ in range(HALVINGS if sampled else 0):
        rest = rest[:-HALVED] + [half for s in rest[-HALVED:] for half in _halves(s, recordings)]
    sample = [Stretch(n, *ends) for n, found in sampled.items() for ends in found]
    worth = sum(_sound_bytes(r.layout) for r in recordings) // WORTH_A_WORKER
    return {
        "sample": [stretch.as_json() for stretch in sample],
        "stretches": [stretch.as_json() for stretch in rest],
        "workers": max(1, min(workers, worth)),
    }


def _sound_bytes(layout: Layout) -> int:
    return layout.frames * layout.frame_bytes


def _samples(recordings: list[Recording]) -> dict[int, list[tuple[int, int]]]:
    """By file: short stretches of whole seconds, evenly over all of it; none where it is short."""
    lengths = [r.layout.frames // r.layout.rate for r in recordings]
    total = sum(lengths)
    enough = sum(_sound_bytes(r.layout) for r in recordings) >= LEAST_SAMPLED
    if not enough or total < SAMPLES * SAMPLE_SECONDS:
        return {}
    found: dict[int, list[tuple[int, int]]] = {}
    for n in range(SAMPLES):
        at = int(total * (n + 0.5) / SAMPLES)
        file = 0
        while at >= lengths[file]:
            at -= lengths[file]
            file += 1
        last = min(at + SAMPLE_SECONDS, lengths[file])
        rate = recordings[file].layout.rate
        found.setdefault(file, []).append((at * rate, last * rate))
    return found


def _rest(layout: Layout, file: int, taken: list[tuple[int, int]]) -> list[Stretch]:
    """What of a file is left, in stretches of bounded length."""
    edges = [0, *(edge for ends in taken for edge in ends), layout.frames]
    most = max(1, STRETCH_BYTES // (layout.frame_bytes * layout.rate)) * layout.rate
    return [
        Stretch(file, at, min(at + most, last))
        for first, last in zip(edges[::2], edges[1::2], strict=True)
        for at in range(first, last, most)
    ]


def _halves(stretch: Stretch, recordings: list[Recording]) -> list[Stretch]:
    """Both of whole seconds; the stretch itself where it has only one."""
    file, first, last = stretch.file, stretch.first, stretch.last
    rate = recordings[file].layout.rate
    middle = first + (last - first) // (2 * rate) * rate
    if middle == first:
        return [stretch]
    return [Stretch(file, first, middle), Stretch(file, middle, last)]


def _read(parts: list[bytes]) -> list[Partial]:
    return [Partial.from_bytes(bytes(part)) for part in parts if len(part)]


def _merged(parts: Iterable[Partial]) -> Partial | None:
    found = None
    for part in parts:
        found = found.merge(part) if found else part
    return found
