"""A direct voltage in the samples."""

from collections.abc import Iterator
from math import log10

from calculators.recording.calibration import decibels
from calculators.recording.findings import Finding, Weight, finding
from calculators.recording.judges.common import channel_name, percent, whole
from calculators.recording.summary import Summary

NOTED = 3e-3
"""Of full scale, −50 dB: a converter that takes its own offset off has less; a simple recorder may
have more, and it is worth a word, not a fault (common practice, no source)."""

LARGE = 0.1
"""Of full scale: a tenth of the room to one side is gone, 0.9 dB."""


def judge_offset(summary: Summary) -> Iterator[Finding]:
    """Each channel by its mean."""
    for number, channel in enumerate(summary.by_channel):
        size = abs(channel.mean)
        if size < NOTED:
            continue
        weight: Weight = "harms" if size >= LARGE else "note"
        what = (
            f"The samples of {_lower(channel_name(summary, number))} are off zero by "
            f"{channel.mean:+.2g} of full scale ({decibels(20 * log10(size))}) in the mean: "
            f"{percent(size)} of the room to one side is gone."
        ).replace("-", "\u2212")
        yield finding("offset", weight, "certain", what, whole(number))


def _lower(name: str) -> str:
    return name[0].lower() + name[1:]
