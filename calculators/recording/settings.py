"""How a recording is measured: the few choices, with the reasons for their defaults."""

from dataclasses import dataclass

from calculators.errors import InputError

SEGMENTS = tuple(2**power for power in range(10, 17))
"""Lengths of a segment that are accepted, 1,024 to 65,536 samples."""


@dataclass(frozen=True)
class Settings:
    """What every part of a deployment has to be measured with, so that the parts can be merged.

    Raises:
        InputError: If a value is out of its range.
    """

    segment: int = 4096
    """Samples of a Welch segment. Segments overlap by half, under a periodic Hann window; their
    mean is not taken out. 4,096 samples at 96 kHz are lines 23.4 Hz apart."""

    columns: int = 1024
    """Most columns of pictures over time. A column starts at 1 s and doubles when they run out."""

    listed: int = 64
    """Most runs that are listed by place, of each kind and channel: the longest ones."""

    shortest_zeros: int = 64
    """Frames of exact zero that make a drop-out; fewer may be a quiet moment."""

    shortest_stuck: int = 64
    """Frames of one value, neither zero nor full scale, that make a stuck converter."""

    shortest_repeat: int = 1024
    """Frames that come again, sample for sample, before they count as a buffer written twice."""

    def __post_init__(self) -> None:
        if self.segment not in SEGMENTS:
            lengths = ", ".join(f"{length}" for length in SEGMENTS)
            raise InputError("segment", f"{self.segment} samples. Accepted are {lengths}.")
        _require(16, 4096, columns=self.columns)
        _require(1, 1024, listed=self.listed)
        _require(32, 2**20, shortest_zeros=self.shortest_zeros, shortest_stuck=self.shortest_stuck)
        _require(1024, 2**15, shortest_repeat=self.shortest_repeat)


def _require(least: int, most: int, **values: int) -> None:
    for name, value in values.items():
        if not least <= value <= most:
            raise InputError(name, f"{name} is {value}. Accepted is {least} to {most}.")
