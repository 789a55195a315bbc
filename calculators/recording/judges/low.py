"""What moves in the current: lines that strum, water that streams past."""

from collections.abc import Iterator
from dataclasses import dataclass
from statistics import median

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.axes import length_text
from calculators.recording.calibration import decibels
from calculators.recording.findings import Finding, Sure, Weight, finding
from calculators.recording.judges.common import (
    channel_name,
    column_span,
    low_coherence,
    sounding,
    whole,
)
from calculators.recording.judges.hum_lines import MAINS
from calculators.recording.judges.rows_of_lines import LONG, Stretch, longest_row
from calculators.recording.judges.spectral import LogSpectrum, log_spectrum, running_median, slope
from calculators.recording.quantity import hertz
from calculators.recording.summary import Summary

LOWEST, HIGHEST = 4.0, 400.0
"""Hz, where strumming is looked for: lines of 3 mm to 20 mm in 0.1 m/s to 2 m/s strum at 1 Hz to
130 Hz, by ``drag.strumming_frequency``; the first multiples are heard."""

FUNDAMENTALS = (6.0, 120.0)
"""Hz, of the first multiple."""

SMOOTH = 1.05
"""Factor of frequency, to either side, over which the spectrum is smoothed: a line that strums
wanders by some per cent."""

WIDE = 1.6
"""Factor, to either side, of the running median that stands for the noise around."""

STRUMS = 2.0
"""dB by which the first two multiples must rise above all that lies between them (tried on made
recordings)."""

STRUMS_LOUD = 6.0
"""dB of the same from which levels of the bands there are those of the row."""

FLOW_BAND = (8.0, 60.0)
"""Hz, where flow is looked for: below lies the high-pass of most chains."""

REFERENCE_BAND = (150.0, 900.0)
"""Hz, whose slope it is held against."""

STEEP, STEEP_APART = -23.0, -21.0
"""dB a decade; the second where two hydrophones do not hear the same. Flow falls with about the
cube of frequency, 30 dB a decade; water falls with 10 to 20, and so does a chain's own noise, with
20 at the most: that of a resistor across a capacitance."""

STEEPER = -3.0
"""dB a decade by which it must fall faster than the spectrum above."""

FLOW_LOUD = 10.0
"""dB over what the spectrum above leads to expect, from which low levels are those of the flow."""

APART = 0.3
"""Magnitude-squared coherence of two hydrophones at low frequency, below which they do not hear the
same: sound of such wavelengths is alike at both, eddies never are."""


def judge_low(summary: Summary) -> Iterator[Finding]:
    """Each channel for itself; whether two are alike says how sure."""
    for number in sounding(summary):
        spectrum = log_spectrum(summary, number)
        if spectrum is None or spectrum.frequencies[-1] < HIGHEST:
            continue
        spectrum = without_mains(spectrum)
        yield from _strumming(summary, number, strumming_in(spectrum))
        coherence = _low_coherence(summary, number)
        apart = coherence is not None and coherence < APART
        flow = flow_in(spectrum, STEEP_APART if apart else STEEP)
        if flow:
            yield _flow(summary, number, flow, coherence)


def without_mains(spectrum: LogSpectrum) -> LogSpectrum:
    """With the lines of the mains replaced by the noise beside them: they are a comb as well."""
    clean = spectrum.levels.copy()
    for mains in MAINS:
        for multiple in range(1, int(spectrum.frequencies[-1] / mains)):
            at = round(multiple * mains / spectrum.spacing)
            near = slice(at - 3, at + 4)
            middle = median([*clean[at - 9 : at - 3].tolist(), *clean[at + 4 : at + 10].tolist()])
            # Only what stands out: where there is no hum, nothing is touched.
            if clean[near].max() - middle > 3 * spectrum.deviation:
                clean[near] = middle
    return LogSpectrum(spectrum.frequencies, clean, spectrum.averages)


@dataclass(frozen=True)
class Strumming:
    """A row of humps: the first one's frequency, Hz, and how far they rise out of the rest, dB."""

    fundamental: float
    rise: float


def strumming_in(spectrum: LogSpectrum) -> Strumming | None:
    """A row of humps at multiples of one frequency, wider than lines, if there is one."""
    grid, relief = _relief(spectrum)
    tried = grid[(grid >= FUNDAMENTALS[0]) & (grid <= FUNDAMENTALS[1])]

    def at(factor: float) -> Floats:
        return np.asarray(np.interp(tried * factor, grid, relief))

    first = at(1) - np.maximum(at(1 / 1.5), at(1.5))
    second = at(2) - np.maximum(at(1.5), at(2.5))
    rise = np.minimum(first, second)
    best = int(rise.argmax())
    if rise[best] < max(STRUMS, 3 * spectrum.deviation):
        return None
    return Strumming(float(tried[best]), float(rise[best]))


def _relief(spectrum: LogSpectrum) -> tuple[Floats, Floats]:
    """The spectrum less its own wide median, smoothed, over even steps of log frequency."""
    kept = (spectrum.frequencies >= LOWEST / WIDE) & (spectrum.frequencies <= HIGHEST)
    frequencies, found = spectrum.frequencies[kept], spectrum.levels[kept]
    relief = found - running_median(found, frequencies, WIDE)
    grid = np.geomspace(LOWEST, HIGHEST / 1.01, 300)
    low = np.searchsorted(frequencies, grid / SMOOTH)
    high = np.searchsorted(frequencies, grid * SMOOTH, side="right")
    sums = np.concatenate(([0.0], np.cumsum(relief)))
    count = high - low
    means = (sums[high] - sums[low]) / np.maximum(count, 1)
    return grid, np.where(count > 0, means, np.interp(grid, frequencies, relief))


def _strumming(summary: Summary, number: int, found: Strumming | None) -> Iterator[Finding]:
    """A row that lasts and slides is a line's; any other row in the spectrum is worth a word."""
    stretch = longest_row(summary, number)
    lasts = stretch is not None and stretch.seconds >= LONG
    if stretch is not None and lasts and stretch.slides:
        yield _slides(summary, number, stretch)
    elif found:
        yield _row(summary, number, found, stretch)
    elif stretch is not None and lasts:
        yield _keeps(summary, number, stretch)


def _slides(summary: Summary, number: int, stretch: Stretch) -> Finding:
    what = (
        f"{channel_name(summary, number)} has a row of lines that lasts for "
        f"{length_text(stretch.seconds)} and slides between about {hertz(stretch.low)} and "
        f"{hertz(stretch.high)}, all multiples together: a line that strums goes with the current "
        "like that. A boat passes sooner, and a machine or a chorus of fish keeps its pitch."
    )
    where = (column_span(summary, stretch.first, stretch.last, number),)
    return finding("strumming", "harms", "likely", what, where)


def _row(summary: Summary, number: int, found: Strumming, stretch: Stretch | None) -> Finding:
    what = (
        f"{channel_name(summary, number)} has a row of humps at multiples of about "
        f"{hertz(found.fundamental)}, the first two {decibels(found.rise)} and more above what "
        f"lies between them: a boat, a line that strums, a machine, or fish. {_why(stretch)}"
    )
    if found.rise >= STRUMS_LOUD:
        what += " Levels of the bands there are those of this row."
    return finding("strumming", "note", "possible", what, whole(number))


def _keeps(summary: Summary, number: int, stretch: Stretch) -> Finding:
    """A row that the mean of all does not show."""
    what = (
        f"{channel_name(summary, number)} has a row of lines at multiples of about "
        f"{hertz((stretch.low * stretch.high) ** 0.5)} for a part of the time. {_why(stretch)}"
    )
    where = (column_span(summary, stretch.first, stretch.last, number),)
    return finding("strumming", "note", "possible", what, where)


def _why(stretch: Stretch | None) -> str:
    """What time tells of a row, as far as it does."""
    if stretch is None or stretch.seconds < LONG:
        return (
            f"It is not heard for {length_text(LONG)} on end, so time does not tell which: a boat "
            "passes within minutes, and the row of a line lasts and slides with the current."
        )
    return (
        f"It lasts for {length_text(stretch.seconds)} and keeps its pitch: a machine that stays, "
        "or fish in chorus, rather than a line, whose row slides when the current changes."
    )


@dataclass(frozen=True)
class Flow:
    """How steeply the lowest noise falls, dB a decade, and how far it lies above what the
    spectrum above it leads to, dB at the low end."""

    slope: float
    over: float


def flow_in(spectrum: LogSpectrum, steep: float = STEEP) -> Flow | None:
    """Noise that falls as steeply as that of flow, if there is any."""
    low, above = (_fit(spectrum, band) for band in (FLOW_BAND, REFERENCE_BAND))
    # A shower makes the upper part flat: then nothing can be said from a difference alone.
    if low > steep or low - above > STEEPER:
        return None
    frequencies, found = spectrum.frequencies, spectrum.levels
    bottom = (frequencies >= FLOW_BAND[0]) & (frequencies <= 1.5 * FLOW_BAND[0])
    middle = (frequencies >= REFERENCE_BAND[0]) & (frequencies <= 1.5 * REFERENCE_BAND[0])
    decades = np.log10(np.mean(frequencies[middle]) / np.mean(frequencies[bottom]))
    # Without flow the low end would lie where a fall of 20 dB a decade puts it, at the most.
    led = float(np.mean(found[middle])) + 20.0 * float(decades)
    return Flow(low, float(np.mean(found[bottom])) - led)


def _fit(spectrum: LogSpectrum, band: tuple[float, float]) -> float:
    kept = (spectrum.frequencies >= band[0]) & (spectrum.frequencies <= band[1])
    return slope(spectrum.frequencies[kept], spectrum.levels[kept])


def _flow(summary: Summary, number: int, found: Flow, coherence: float | None) -> Finding:
    weight: Weight = "harms" if found.over >= FLOW_LOUD else "note"
    sure: Sure = "possible"
    what = (
        f"Below {hertz(FLOW_BAND[1])} {channel_name(summary, number).lower()} falls by "
        f"{decibels(-found.slope, 0)} a decade, as water does that streams past."
    )
    if coherence is not None and coherence < APART:
        sure = "likely"
        what += f" The other channel does not hear the same there: coherence {coherence:.2f}."
    elif coherence is not None:
        weight = "note"
        what += f" But the other channel hears much of the same: coherence {coherence:.2f}."
    return finding("flow", weight, sure, what, whole(number))


def _low_coherence(summary: Summary, number: int) -> float | None:
    """Median coherence with the other channel of the pair where flow is; None without one."""
    pair = number // 2
    if pair >= len(summary.by_pair):
        return None
    kept = (summary.low_frequencies >= FLOW_BAND[0]) & (summary.low_frequencies <= FLOW_BAND[1])
    squared = low_coherence(summary, pair)[kept]
    return float(np.nanmedian(squared)) if np.isfinite(squared).any() else None
