"""Hum of the mains."""

from collections.abc import Iterator

from calculators.recording.calibration import decibels
from calculators.recording.decibels import power_level
from calculators.recording.findings import Finding, Sure, Weight, finding
from calculators.recording.judges.common import (
    channel_name,
    joined_words,
    sounding,
    whole,
)
from calculators.recording.judges.hum_lines import (
    FALSE_ALARM,
    Mains,
    mains_lines,
    pitch_of_machine,
)
from calculators.recording.judges.spectral import log_spectrum
from calculators.recording.quantity import hertz, quantity
from calculators.recording.summary import Summary
from calculators.units import format_whole

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
        for mains in mains_lines(spectrum, mean, len(alive)):
            yield _found(summary, number, mains, pitch_of_machine(spectrum, mains))


def _found(summary: Summary, number: int, mains: Mains, pitch: float | None) -> Finding:
    loudest, shared = mains.strongest, pitch is not None
    weight: Weight = "harms" if loudest.above >= LOUD and not shared else "note"
    sure: Sure = "possible" if shared else "certain" if len(mains.lines) > 1 else "likely"
    lines = [
        f"{hertz(line.multiple * mains.frequency)} ({decibels(line.above)})" for line in mains.lines
    ]
    what = (
        f"{channel_name(summary, number)} has lines of {quantity(mains.frequency, 'Hz')} mains, by "
        f"how much they stand above the noise beside them: {joined_words(lines)}. Steady noise "
        f"alone makes such a line in no more than one of {format_whole(1 / FALSE_ALARM)} "
        "recordings."
    )
    if pitch is not None:
        what += (
            f" But there is a row of lines at multiples of {hertz(pitch)} to which they belong: "
            "then they are those of a boat or a machine."
        )
    return finding("hum", weight, sure, what, whole(number))
