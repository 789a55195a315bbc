"""Where the files lie on the one axis of time that everything is drawn and listed over."""

from collections.abc import Sequence
from dataclasses import dataclass

from calculators.recording.layout import Layout

LEAST_GAP = 2.0
"""Seconds: names and headers say a start to the second, so less between files is no gap yet."""

Stretch = tuple[float, float]
"""From one moment to another, s on the axis."""


@dataclass(frozen=True)
class Timeline:
    """The files in the order of the deployment.

    Args:
        clocked: Whether the axis is the recorder's clock, seconds since 1970 without a zone; else
            it counts the time recorded, file after file.
        files: From start to end of each file, s.
    """

    clocked: bool
    files: tuple[Stretch, ...]

    @property
    def start(self) -> float:
        """Of the earliest file."""
        return min(start for start, _ in self.files)

    @property
    def end(self) -> float:
        """Of the last."""
        return max(end for _, end in self.files)

    @property
    def gaps(self) -> list[Stretch]:
        """Stretches between files that no file covers."""
        found: list[Stretch] = []
        covered = self.start
        for start, end in sorted(self.files):
            if start - covered >= LEAST_GAP:
                found.append((covered, start))
            covered = max(covered, end)
        return found


def make_timeline(files: Sequence[tuple[Layout, float | None]]) -> Timeline:
    """The axis of these files: the clock if every file has a start, else the time recorded."""
    starts = [started for _, started in files]
    lengths = [layout.seconds for layout, _ in files]
    clocked = all(started is not None for started in starts)
    if not clocked:
        starts, at = [], 0.0
        for length in lengths:
            starts.append(at)
            at += length
    return Timeline(
        clocked,
        tuple((s or 0.0, (s or 0.0) + length) for s, length in zip(starts, lengths, strict=True)),
    )
