"""How a recording was measured, in sentences that stand under every report and table."""

from calculators.recording.histogram import Histogram
from calculators.recording.quantity import hertz, quantity
from calculators.recording.shown import Shown


def how_measured(shown: Shown) -> list[str]:
    """Window, overlap, scaling, bands, percentiles and their error, peak."""
    summary = shown.summary
    spacing, low = summary.frequencies[1], summary.low_frequencies
    bands = summary.bands
    low_seconds = 1 / low[1]
    return [
        f"Spectral density: Welch's method, segments of {summary.settings.segment} samples "
        f"({hertz(spacing, 4)} from line to line) under a periodic Hann "
        "window, overlapping by half, nothing taken out before; one-sided, and scaled by the "
        "window's mean square, so that the density summed over frequency is the mean square; "
        f"mean of {summary.segments} segments.",
        f"Up to {hertz(low[-1], 4)} the same of the samples thinned out, "
        f"with lines {quantity(low[1], 'Hz')} apart; mean of {summary.low_segments} segments.",
        "Band levels: decidecades (one-third octaves, base ten) with the exact centres and edges "
        f"of IEC 61260-1, {hertz(bands.centres[0], 4)} to "
        f"{hertz(bands.centres[-1], 4)}, summed from the lines of the "
        "spectrum; a line that an edge cuts is shared in proportion. They are no band filters: a "
        "tone close to an edge is shared between two bands.",
        "Percentiles: of the levels of single seconds, in the low bands of the segments that begin "
        f"in each, {quantity(low_seconds, 's')} long. The 95th percentile is the level that "
        f"{quantity(95, '%')} of the seconds do not exceed, and so exceeded in "
        f"{quantity(5, '%')} of them. Their error from counting in steps is at most "
        f"{quantity(Histogram.bound(), 'dB', 6)}.",
        "Levels over all frequencies are those of the mean square with the constant part of the "
        "samples taken out. Peaks are the largest samples; what lies between two samples may "
        "be higher.",
    ]


def not_said(shown: Shown) -> list[str]:
    """What the report says nothing of."""
    summary = shown.summary
    said = [
        "Levels are those of all that the recorder heard: the water, the rig and the chain "
        "together, clipped moments and drop-outs included.",
        "The sensitivity is taken to be the same at all frequencies.",
        "Nothing is said of direction, of the motion of the water, or of what made a sound.",
    ]
    if not shown.calibration.absolute:
        said.append("Nothing is said of sound pressure: no sensitivity was given.")
    if not shown.timeline.clocked:
        said.append(
            "Not every file says when it was made: gaps between files cannot be seen, and times "
            "count the time recorded."
        )
    else:
        said.append("Times are those of the recorder's own clock; its zone and error are unknown.")
    if shown.expected is None:
        said.append(
            "No rig was given: length, start and format are not held against a plan, and levels "
            "not against the chain's own noise and clip level."
        )
    if summary.channels > 2 and summary.channels % 2:
        said.append(f"Channel {summary.channels} has no partner to be compared with.")
    return said
