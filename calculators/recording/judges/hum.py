"""Hum of the mains."""

from collections.abc import Iterator

from calculators.recording.decibels import power_level
from calculators.recording.findings import Finding, Sure, Weight, finding
from calculators.recording.judges.common import (
    channel_name,
    decibels,
    hertz,
    joined_words,
    sounding,
    whole,
)
from calculators.recording.judges.hum_lines import FALSE_ALARM, Mains, mains_lines
from calculators.recording.judges.low import HIGHEST, SMOOTH, Strumming, strumming_in, without_mains
from calculators.recording.judges.spectral import log_spectrum
from calculators.recording.summary import Summary

LOUD = 10.0
"""dB above the local noise from which hum shows in a decidecade band: a line that stands so far
above its neighbours of 1 Hz makes a tenth of the power of a band 100 Hz wide, and far more of a
narrow one (worked out here)."""


def judge_hum(summary: Summary) -> Iterator[Finding]:
    """Each channel, both mains."""
    alive = sounding(summary)
    for number in alive:
        spectrum = log_spectrum(summary, number)
        if spectrum is None:
            continue
        mean = power_level(summary.low_density[number])
        whole_band = spectrum.frequencies[-1] >= HIGHEST
        row = strumming_in(without_mains(spectrum)) if whole_band else None
        for mains in mains_lines(spectrum, mean, len(alive)):
            yield _found(summary, number, mains, row)


def _belongs(mains: Mains, row: Strumming | None) -> bool:
    """Whether its frequency is also a multiple in a row of lines that starts below it.

    A shaft of 1000 turns a minute has a line at 50 Hz, too.
    """
    if row is None:
        return False
    multiple = round(mains.frequency / row.fundamental)
    return multiple > 1 and 1 / SMOOTH < mains.frequency / (multiple * row.fundamental) < SMOOTH


def _found(summary: Summary, number: int, mains: Mains, row: Strumming | None) -> Finding:
    loudest, shared = mains.strongest, _belongs(mains, row)
    weight: Weight = "harms" if loudest.above >= LOUD and not shared else "note"
    sure: Sure = "possible" if shared else "certain" if len(mains.lines) > 1 else "likely"
    lines = [
        f"{hertz(line.multiple * mains.frequency)} ({decibels(line.above)})" for line in mains.lines
    ]
    what = (
        f"{channel_name(summary, number)} has lines of {mains.frequency:g} Hz mains, by how much "
        f"they stand above the noise beside them: {joined_words(lines)}. Steady noise alone makes "
        f"such a line in one of {1 / FALSE_ALARM:,.0f} recordings."
    )
    if row is not None and shared:
        what += (
            f" But they are also multiples of about {hertz(row.fundamental)}, of which there is a "
            "row of lines: then they are those of a machine."
        )
    return finding("hum", weight, sure, what, whole(number))
