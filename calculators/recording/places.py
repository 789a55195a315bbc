"""Where in a deployment something is."""

from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Place:
    """One frame of one file."""

    file: int
    """Index in ``Summary.files``."""

    frame: int


@dataclass(frozen=True)
class Run:
    """Successive frames, from a place on."""

    place: Place
    length: int
    """Frames."""


@dataclass(frozen=True)
class Runs:
    """All runs of one kind in one channel."""

    samples: int
    """Frames in all of them together."""

    count: int
    longest: Run | None
    listed: tuple[Run, ...]
    """The longest of them in the order of time, at most ``Settings.listed``."""
