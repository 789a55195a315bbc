"""The ends of a converter's scale, and what a run of equal samples means there."""

from dataclasses import dataclass

from calculators.recording.layout import Encoding
from calculators.recording.runs import SHORTEST_CLIPPED
from calculators.recording.settings import Settings

BITS: dict[Encoding, int] = {"uint8": 8, "int16": 16, "int24": 24, "int32": 24}
"""Converters have at most 24 bits, so in 32-bit samples the last eight do not count here."""


@dataclass(frozen=True)
class Scale:
    """The lowest and the highest sample that a file can hold; 1 is full scale."""

    lowest: float
    highest: float

    def kind(self, value: float, length: int, settings: Settings) -> str | None:
        """What a run of this value is: clipped, zeros, stuck, or None for nothing remarkable."""
        if value <= self.lowest or value >= self.highest:
            return "clipped" if length >= SHORTEST_CLIPPED else None
        if value == 0:
            return "zeros" if length >= settings.shortest_zeros else None
        return "stuck" if length >= settings.shortest_stuck else None


def scale_of(encoding: Encoding) -> Scale:
    """Of integers the extreme codes; of floating-point samples ±1, which a player cuts off."""
    bits = BITS.get(encoding)
    return Scale(-1.0, 1.0 - 2.0 ** (1 - bits)) if bits else Scale(-1.0, 1.0)
