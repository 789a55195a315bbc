"""A direct voltage in the samples."""

from collections.abc import Iterator
from math import log10

from calculators.recording.findings import Finding, Weight, finding
from calculators.recording.judges.common import channel_name, decibels, whole
from calculators.recording.summary import Summary

NOTED = 3e-3
"""Of full scale, −50 dB: converters have less of their own (common practice, no source)."""

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
            f"All samples of {_lower(channel_name(summary, number))} are off zero by "
            f"{channel.mean:+.2g} of full scale ({decibels(20 * log10(size))}), which leaves "
            f"{decibels(-20 * log10(1 - min(size, 0.999)))} less room to one side."
        ).replace("-", "\u2212")
        yield finding("offset", weight, "certain", what, whole(number))


def _lower(name: str) -> str:
    return name[0].lower() + name[1:]
