"""One part of a deployment, measured: what processes and clusters run, and what they send back."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

from calculators.recording.deployment import Deployment
from calculators.recording.engine import cuts
from calculators.recording.errors import RecordingError
from calculators.recording.opening import open_recording
from calculators.recording.partial import Partial
from calculators.recording.reading import Reading
from calculators.recording.settings import Settings

PART_BYTES = 2**28
"""Of sound in a part, at most: seconds of work, and all that is lost when a run is stopped."""

Tell = Callable[[int], None]
"""Called with the bytes that were read; may raise to stop the work."""


@dataclass(frozen=True)
class Part:
    """A stretch of one file, and all that its result depends on.

    Args:
        path: Where whoever measures it finds the file.
        name: What the reader calls it.
        size, changed: Bytes, and nanoseconds of its last change, when the work was planned.
        file: Its index in the deployment.
        first, last: Frames.
        frame_bytes: Of one of them.
        started: Start of the file on the axis of time, s.
        settings: The same for all parts.
    """

    path: str
    name: str
    size: int
    changed: int
    file: int
    first: int
    last: int
    frame_bytes: int
    started: float
    settings: Settings

    @property
    def bytes(self) -> int:
        """Of sound."""
        return (self.last - self.first) * self.frame_bytes


@dataclass(frozen=True)
class Measured:
    """A partial result as bytes, and by file why it could not be read to its end.

    What of a packed file is damaged inside stands in the partial result.
    """

    packed: bytes
    damage: dict[int, str] = field(default_factory=dict)

    def merge(self, later: "Measured") -> "Measured":
        """Both together."""
        both = Partial.from_bytes(self.packed).merge(Partial.from_bytes(later.packed))
        return Measured(both.to_bytes(), later.damage | self.damage)


def parts_of(deployment: Deployment, paths: list[Path], settings: Settings) -> list[Part]:
    """Every file cut into parts of bounded length, the same whoever measures them.

    Args:
        deployment: The files in order.
        paths: Of what was given to ``deployment_of``, in that order.
        settings: For all of them.
    """
    return list(_parts(deployment, paths, settings))


def _parts(deployment: Deployment, paths: list[Path], settings: Settings) -> Iterator[Part]:
    places = zip(deployment.sequence.files, deployment.timeline.files, strict=True)
    for index, (file, (started, _)) in enumerate(places):
        layout = file.layout
        path = paths[deployment.given[index]].resolve()
        status = path.stat()
        count = max(1, -(-layout.frames * layout.frame_bytes // PART_BYTES))
        about = (str(path), file.name, status.st_size, status.st_mtime_ns, index)
        for first, last in pairwise(cuts(layout, count)):
            yield Part(*about, first, last, layout.frame_bytes, started, settings)


def _tell_nobody(_: int) -> None:
    """For whoever wants no progress."""


def measure(part: Part, tell: Tell = _tell_nobody) -> Measured:
    """Measure a part as far as its file can be read.

    Raises:
        RecordingError: If the file is not there, or is not the one that the work was planned for.
    """
    recording = open_recording(part.path)
    if Path(part.path).stat().st_size != part.size:
        raise RecordingError(part.name, "It changed while it was checked. Check it again.")
    reading = Reading(recording, part.settings, part.first, part.last, part.started, part.file)
    damage: dict[int, str] = {}
    while (wanted := reading.wants()) is not None:
        before = reading.position
        try:
            raw = recording.file.read(*wanted)
        except RecordingError as error:  # a worn card
            raw, damage = b"", {part.file: error.why}
        reading.add(memoryview(raw))
        tell((reading.position - before) * part.frame_bytes)
    return Measured(reading.partial().to_bytes(), damage)
