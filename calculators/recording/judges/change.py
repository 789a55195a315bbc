"""What changed on the way: a hydrophone that went quiet or was flooded, a cable that fails."""

from collections.abc import Iterator

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.calibration import decibels
from calculators.recording.decibels import power_level
from calculators.recording.findings import Finding, Span, Sure, Weight, finding
from calculators.recording.judges.common import channel_name, column_span, counted, pairs, sounding
from calculators.recording.judges.steps import Step, bursts_in, step_in
from calculators.recording.quantity import hertz
from calculators.recording.summary import Summary

LOW = (4.0, 64.0)
"""Hz, octaves in which water in a hydrophone and failing cables show."""

MIDDLE = (100.0, 1200.0)
"""Hz, of the bands that tell how sensitive a channel is: above the noise of water in a hydrophone,
and where most waters are louder than the chain."""

ROSE = 8.0
"""dB that the low band of one channel must rise over the other one, for good."""

ROSE_ALONE = 12.0
"""dB, where there is no other channel to hold it against."""

FELL = 3.0
"""dB that one channel must fall below where it was, against the other."""

FELL_ALONE = 6.0
"""dB, where there is none: half the voltage."""


MOST_BANDS = 0.7
"""Part of all bands that must fall with it, where there is no other channel."""

BURST = 10.0
"""dB in a column over the other channel."""

LEAST_BURSTS, HARMFUL_BURSTS = 2, 3
"""Bursts that are worth a word, and those that are no chance visit of an animal."""

QUIET = 20.0
"""Percentile of the columns by which a channel is held against itself: boats have no part in it."""

LONGEST_BURST = 4
"""Columns: what lasts longer is something in the water."""

BURST_ALONE, LEAST_BURSTS_ALONE, SHORT_BURST = 12.0, 3, 3
"""The same where there is no other channel: louder, more often, shorter."""

ALIKE, UNLIKE = 0.3, 0.5
"""Coherence before, from which its loss says something; and the part of it that may be left."""


def judge_change(summary: Summary) -> Iterator[Finding]:
    """Pairs by their difference, in which the water falls out; single channels by themselves."""
    alive = sounding(summary)
    judged = [pair for pair in pairs(summary) if set(pair) <= set(alive)]
    for pair in judged:
        yield from _pair(summary, pair)
    for number in alive:
        if not any(number in pair for pair in judged):
            yield from _alone(summary, number)
    if judged:
        yield from _together(summary, judged[0])


def _low(summary: Summary, channel: int) -> Floats:
    """Level of the low octaves over the columns; dB."""
    edges = summary.columns.octaves
    kept = (edges[:-1] >= LOW[0]) & (edges[1:] <= LOW[1])
    return _finite(power_level(summary.columns.low_mean_square[channel, kept].sum(axis=0)))


def _bands(summary: Summary, channel: int) -> Floats:
    """Level of each band of ``MIDDLE`` over the columns, (K, T); dB."""
    kept = (summary.bands.lower >= MIDDLE[0]) & (summary.bands.upper <= MIDDLE[1])
    return _finite(power_level(summary.columns.bands[channel, kept]))


def _finite(found: Floats) -> Floats:
    return np.where(np.isfinite(found), found, np.nan)


def _middle(bands: Floats) -> Floats:
    """Median over the bands, (T,)."""
    if not bands.shape[0]:
        return np.full(bands.shape[1], np.nan)
    known = np.isfinite(bands).any(axis=0)
    middle = np.full(bands.shape[1], np.nan)
    middle[known] = np.nanmedian(bands[:, known], axis=0)
    return middle


def _pair(summary: Summary, pair: tuple[int, int]) -> Iterator[Finding]:
    low = _low(summary, pair[0]) - _low(summary, pair[1])
    high = _middle(_bands(summary, pair[0]) - _bands(summary, pair[1]))
    rise, fall = step_in(low), step_in(high)
    noisy = _noisier(summary, pair, rise)
    quiet = _quieter(summary, pair, fall)
    if rise and noisy is not None:
        yield _flooded_one(summary, pair, noisy, rise)
    elif fall and quiet is not None:
        yield _quieter_one(summary, quiet, fall)
    if noisy is None:
        for number, sign in zip(pair, (1, -1), strict=True):
            yield from _jumps(summary, number, sign * low)


def _noisier(summary: Summary, pair: tuple[int, int], step: Step | None) -> int | None:
    """The channel that rose low down, if it was not the other one that fell."""
    if step is None or abs(step.size) < ROSE:
        return None
    lower = _lower_one(pair, step)
    upper = _other(pair, lower)
    rose, fell = (abs(_change(_low(summary, n), step.at, QUIET)) for n in (upper, lower))
    return upper if rose > fell else None


def _quieter(summary: Summary, pair: tuple[int, int], step: Step | None) -> int | None:
    """The channel that fell in the bands above, if it was not the other one that rose."""
    if step is None or abs(step.size) < FELL:
        return None
    lower = _lower_one(pair, step)
    upper = _other(pair, lower)
    bands = (_middle(_bands(summary, n)) for n in (upper, lower))
    rose, fell = (abs(_change(band, step.at, QUIET)) for band in bands)
    return lower if fell > rose else None


def _lower_one(pair: tuple[int, int], step: Step) -> int:
    """The channel that is lower after a step in the first less the second."""
    return pair[0] if step.size < 0 else pair[1]


def _other(pair: tuple[int, int], number: int) -> int:
    return pair[1] if number == pair[0] else pair[0]


def _from(summary: Summary, step: Step, channel: int | None) -> tuple[Span, ...]:
    return (column_span(summary, step.at, summary.columns.start.size - 1, channel),)


def _flooded_one(summary: Summary, pair: tuple[int, int], number: int, step: Step) -> Finding:
    before, after = _coherence(summary, pair[0] // 2, step.at)
    lost = before >= ALIKE and after <= UNLIKE * before
    # Eddies are not alike at two hydrophones either, so only the suddenness tells them from a leak.
    sure: Sure = "likely" if step.sharp else "possible"
    weight: Weight = "spoils" if step.sharp else "harms"
    since = "from one moment to the end" if step.sharp else "at the end, and came to it slowly"
    what = (
        f"{channel_name(summary, number)} is {decibels(abs(step.size))} noisier than the other one "
        f"from {hertz(LOW[0])} to {hertz(LOW[1])}, {since}"
    )
    what += (
        f"; what both hear alike fell from a coherence of {before:.2f} to {after:.2f}."
        if lost
        else "."
    )
    return finding("flooded", weight, sure, what, _from(summary, step, number))


def _coherence(summary: Summary, pair: int, at: int) -> tuple[float, float]:
    """Median coherence of the low octaves before and after a column; 0 where it is not known."""
    edges = summary.columns.octaves
    kept = (edges[:-1] >= LOW[0]) & (edges[1:] <= LOW[1])
    found = summary.columns.coherence[pair, kept]
    known = (part[np.isfinite(part)] for part in (found[:, :at], found[:, at:]))
    before, after = (float(np.median(part)) if part.size else 0.0 for part in known)
    return before, after


def _quieter_one(summary: Summary, number: int, step: Step) -> Finding:
    sure: Sure = "likely" if step.sharp else "possible"
    what = (
        f"{channel_name(summary, number)} is {decibels(abs(step.size))} softer against the other "
        f"one from one moment to the end, in the median of the bands from {hertz(MIDDLE[0])} to "
        f"{hertz(MIDDLE[1])}."
    )
    return finding("gone quiet", "harms", sure, what, _from(summary, step, number))


def _jumps(summary: Summary, number: int, series: Floats) -> Iterator[Finding]:
    bursts = bursts_in(series, BURST, LONGEST_BURST)
    if bursts is None or len(bursts.columns) < LEAST_BURSTS:
        return
    what = (
        f"{channel_name(summary, number)} bursts out low down, by {decibels(bursts.height)} in the "
        f"median, {counted(len(bursts.columns), 'time', 'times')}, while the other one does not."
    )
    where = [column_span(summary, *columns, number) for columns in bursts.columns]
    weight: Weight = "harms" if len(bursts.columns) >= HARMFUL_BURSTS else "note"
    yield finding("jumps", weight, "possible", what, where)


def _alone(summary: Summary, number: int) -> Iterator[Finding]:
    """One channel: only a sharp change to the end that no sound in the water makes."""
    rise = _rise_alone(summary, number)
    if rise:
        what = (
            f"{channel_name(summary, number)} is {decibels(rise.size)} noisier from "
            f"{hertz(LOW[0])} to {hertz(LOW[1])}, from one moment to the end, and less higher up."
        )
        yield finding("flooded", "harms", "possible", what, _from(summary, rise, number))
    fall = _fall_alone(summary, number)
    if fall:
        yield _all_softer(summary, fall, number)
    bursts = bursts_in(_low(summary, number), BURST_ALONE, SHORT_BURST)
    if not rise and bursts and len(bursts.columns) >= LEAST_BURSTS_ALONE:
        what = (
            f"{channel_name(summary, number)} bursts out low down, by {decibels(bursts.height)} in "
            f"the median, {counted(len(bursts.columns), 'time', 'times')}."
        )
        where = [column_span(summary, *columns, number) for columns in bursts.columns]
        yield finding("jumps", "note", "possible", what, where)


def _rise_alone(summary: Summary, number: int) -> Step | None:
    rise = step_in(_low(summary, number))
    if rise is None or rise.size < ROSE_ALONE or not rise.sharp:
        return None
    # A shower or a wind that begins rises more higher up; leakage falls with frequency.
    above = _middle(_bands(summary, number))
    return rise if _change(above, rise.at) <= rise.size else None


def _change(series: Floats, at: int, percent: float = 50.0) -> float:
    """A percentile of the columns after less that of those before; 0 where one is not known."""
    sides = [part[np.isfinite(part)] for part in (series[:at], series[at:])]
    if not all(side.size for side in sides):
        return 0.0
    return float(np.percentile(sides[1], percent) - np.percentile(sides[0], percent))


def _fall_alone(summary: Summary, number: int) -> Step | None:
    """A fall of all bands at once, low and high."""
    bands = _finite(power_level(summary.columns.bands[number]))
    fall = step_in(_middle(bands))
    if fall is None or fall.size > -FELL_ALONE or not fall.sharp:
        return None
    fell = [_change(band, fall.at) <= fall.size / 2 for band in bands]
    return fall if np.mean(fell) >= MOST_BANDS else None


def _all_softer(summary: Summary, step: Step, number: int | None) -> Finding:
    name = "Every channel" if number is None else channel_name(summary, number)
    what = (
        f"{name} is {decibels(abs(step.size))} softer from one moment to the end, at nearly every "
        "frequency at once."
    )
    return finding("gone quiet", "harms", "possible", what, _from(summary, step, number))


def _together(summary: Summary, pair: tuple[int, int]) -> Iterator[Finding]:
    """Both channels of a pair at once: gain, supply, or the water."""
    falls = [_fall_alone(summary, number) for number in pair]
    if falls[0] and falls[1] and abs(falls[0].at - falls[1].at) <= 1:
        yield _all_softer(summary, falls[0], None)
