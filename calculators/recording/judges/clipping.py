"""Clipping at full scale, and flat tops below it."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from calculators.recording.calibration import decibels
from calculators.recording.decibels import power_level
from calculators.recording.expected import Expected
from calculators.recording.findings import Finding, Weight, finding
from calculators.recording.geometry import BLOCK
from calculators.recording.judges.common import (
    channel_name,
    counted,
    percent,
    seconds_text,
    spans_of,
    whole,
)
from calculators.recording.judges.resolution import step_of
from calculators.recording.summary import ChannelMeasures, Summary
from calculators.units import format_whole

SPOILT = 1e-3
"""Part of all samples at full scale from which levels mean nothing (common practice, no source)."""

FULL_SCALE = -0.1
"""dB re full scale above which a ceiling is that of the converter: one step of the histogram. A
snap that is over within a sample or two clips there and leaves no run of equal samples."""

TOP = 0.3
"""dB, the part of the histogram of peaks that is held against what lies below it. Noise that is
added after the stage that clips blurs a ceiling; 3 % of full scale beside it is much."""

LEAST_BLOCKS = 20
"""Blocks that must reach the ceiling. Peaks thin out towards the largest one: were it as likely
that a peak lies in the topmost part as in the next, 20 against 5 had a chance of 2·10⁻³."""

PILE = 4.0
"""So many times more blocks lie in the topmost part than in either of the two below it."""

LEAST_STEPS = 100.0
"""Steps of the converter that a ceiling must be high. One step more or less is 0.09 dB there, as
fine as the histogram; of a softer sound the peaks have few values, and pile up by themselves."""

RARE = 0.5
"""Part of all blocks that may reach a ceiling below the end of the scale and still be told from a
steady tone."""

SHARED = 6.0
"""dB by which the mean squares of moments must differ that share one peak: at a ceiling a louder
sound is pressed into the height of a softer one, while a source that is always as loud has one
energy with one height. Twice as many pings in a moment are 3 dB (worked out here)."""

HIGHEST_CREST = 25.0
"""dB of peak over mean square up to which a moment counts for that: noise beside a pinger that
changes the mean square of louder moments would blur the height of its pings by more than
``TOP`` (worked out here)."""

EARLY = 3.0
"""dB below the predicted level from which a ceiling contradicts the rig."""


def judge_clipping(summary: Summary, expected: Expected | None) -> Iterator[Finding]:
    """Each channel: samples at full scale; else flat tops."""
    for number, channel in enumerate(summary.by_channel):
        tops = flat_tops(channel.ceiling, summary.ceiling_edges, _softest(summary))
        at_the_end = tops is not None and tops.level > FULL_SCALE
        if _floating(summary) and max(channel.highest, -channel.lowest) > 1.0:
            yield _beyond(summary, number, channel)
        elif channel.clipped.count:
            yield _clipped(summary, number, channel, tops if at_the_end else None)
        elif tops and at_the_end:
            yield _singly(summary, number, tops)
        if tops and not at_the_end:
            yield _flat(summary, number, tops)
            if expected:
                yield from _early(summary, number, tops, expected)


def _floating(summary: Summary) -> bool:
    return any(file.layout.encoding == "float32" for file in summary.files)


def _softest(summary: Summary) -> float:
    """Level that ``LEAST_STEPS`` of the samples reach, dB re full scale."""
    step = step_of(summary)
    return -np.inf if step is None else 20 * np.log10(LEAST_STEPS * step)


def _beyond(summary: Summary, number: int, channel: ChannelMeasures) -> Finding:
    peak = 20 * np.log10(max(channel.highest, -channel.lowest))
    what = (
        f"{channel_name(summary, number)} reaches {decibels(peak)} above full scale. Floating "
        "point holds that; files of whole numbers and players do not."
    )
    return finding("beyond full scale", "note", "certain", what, whole(number))


def _clipped(
    summary: Summary, number: int, channel: ChannelMeasures, tops: "FlatTops | None"
) -> Finding:
    runs = channel.clipped
    share = runs.samples / max(summary.frames, 1)
    weight: Weight = "spoils" if share > SPOILT else "harms"
    longest = runs.longest.length if runs.longest else 0
    hours = summary.seconds / 3600
    rate = f", {format_whole(runs.count / hours)} an hour" if hours >= 1 else ""
    what = (
        f"{channel_name(summary, number)} is at full scale, for two samples and more, in "
        f"{counted(runs.count, 'place', 'places')}{rate}, "
        f"{counted(runs.samples, 'sample', 'samples')} in all ({percent(share)} of the recording); "
        f"the longest run has {format_whole(longest)} samples, "
        f"{seconds_text(longest / summary.rate)}."
    )
    if tops:
        what += f" With single samples counted, peaks pile up there in {_blocks(tops)}."
    return finding("clipped", weight, "certain", what, spans_of(summary, runs, number))


def _singly(summary: Summary, number: int, tops: "FlatTops") -> Finding:
    """Peaks so short that no two samples of them are at the end of the scale."""
    what = (
        f"{channel_name(summary, number)} has its peaks at the end of the scale in "
        f"{_blocks(tops)}, and hardly any just below it, but no two samples in a row there: "
        "snaps, or a knock, too short for that, or a scale that ends a little below full scale."
    )
    weight: Weight = "spoils" if tops.share > SPOILT * 10 else "harms"
    return finding("clipped", weight, "likely", what, whole(number))


def _blocks(tops: "FlatTops") -> str:
    blocks = counted(tops.blocks, "block", "blocks")
    return f"{blocks} of {BLOCK} samples ({percent(tops.share)} of all)"


@dataclass(frozen=True)
class FlatTops:
    """Where peaks pile up: the level on each side, dB re full scale, or None."""

    upper: float | None
    lower: float | None
    blocks: int
    """Those of ``BLOCK`` samples that reach it."""

    share: float
    """Part of all blocks."""

    @property
    def level(self) -> float:
        """The lower one of both ceilings."""
        return min(level for level in (self.upper, self.lower) if level is not None)


def flat_tops(ceiling: np.ndarray, edges: np.ndarray, softest: float = -np.inf) -> FlatTops | None:
    """A level at which the highest samples of the blocks pile up, or the lowest ones, if any.

    Args:
        ceiling: Histograms of both, (2, E + 2), as of a channel's measures.
        edges: Of their steps, FS, (E + 1,).
        softest: Level below which none is looked for; dB re full scale.
    """
    sides = [_pile(counts, edges, softest) for counts in ceiling]
    if not any(sides):
        return None
    blocks = max(pile[1] for pile in sides if pile)
    upper, lower = (pile[0] if pile else None for pile in sides)
    return FlatTops(upper, lower, blocks, blocks / max(int(ceiling[0].sum()), 1))


def _pile(counts: np.ndarray, edges: np.ndarray, softest: float) -> tuple[float, int] | None:
    """Level of the ceiling, dB re full scale, and blocks at it; None where peaks thin out."""
    inside = counts[1:-1]
    if counts[-1] or not inside.any():
        return None
    top = int(np.flatnonzero(inside)[-1])
    step = 20 * np.log10(edges[1] / edges[0])
    width = max(1, round(TOP / step))
    parts = [
        int(inside[max(0, top + 1 - (n + 1) * width) : top + 1 - n * width].sum()) for n in range(3)
    ]
    level = float(20 * np.log10(edges[top + 1]))
    rare = level > FULL_SCALE or parts[0] <= RARE * counts.sum()
    if level < softest or parts[0] < LEAST_BLOCKS or not rare:
        return None
    return (level, parts[0]) if parts[0] >= PILE * max(parts[1:]) else None


def _flat(summary: Summary, number: int, tops: FlatTops) -> Finding:
    one_sided = tops.upper is None or tops.lower is None
    side = " on one side only" if one_sided else ""
    what = (
        f"{channel_name(summary, number)} never goes beyond {decibels(tops.level)} re full scale"
        f"{side}, but peaks reach just that in {_blocks(tops)}"
    )
    shared = shared_by(summary, number, tops)
    if one_sided or shared < SHARED:
        what += (
            ": a stage before the converter clips, a limiter holds it down, or a source is always "
            "as loud, as a pinger or the strokes of a ram are. Hear some of them."
        )
        return finding("flat tops", "harms", "possible", what, whole(number))
    what += (
        f", in moments of which the loudest has {decibels(shared)} more energy than the softest: a "
        "stage before the converter clips, or a limiter holds it down."
    )
    weight: Weight = "spoils" if tops.share > SPOILT * 10 else "harms"
    return finding("flat tops", weight, "likely", what, whole(number))


def shared_by(summary: Summary, number: int, tops: FlatTops) -> float:
    """How far the mean squares of the columns that reach a ceiling lie apart; dB, 0 if unknown."""
    columns = summary.columns
    peak = power_level(columns.peak[number] ** 2)
    mean_square = power_level(columns.mean_square[number])
    ceiling = max(level for level in (tops.upper, tops.lower) if level is not None)
    with np.errstate(invalid="ignore"):
        there = (peak >= ceiling - TOP) & (peak - mean_square <= HIGHEST_CREST)
    return float(np.ptp(mean_square[there])) if there.any() else 0.0


def _early(summary: Summary, number: int, tops: FlatTops, expected: Expected) -> Iterator[Finding]:
    """Against where the rig says that its first stage clips."""
    ceiling = expected.ceiling
    if ceiling is None or tops.level >= ceiling.low - EARLY:
        return
    what = (
        f"{channel_name(summary, number)} clips at {decibels(tops.level)} re full scale. By the "
        f"rig it should clip at {decibels(ceiling.value)}, at the worst {decibels(ceiling.low)}."
    )
    yield finding("clips early", "harms", "likely", what, whole(number))
