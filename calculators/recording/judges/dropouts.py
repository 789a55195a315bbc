"""Holes of zeros, values that stand still, pieces that came twice."""

from collections.abc import Iterator

from calculators.recording.findings import Finding, Sure, Weight, finding
from calculators.recording.judges.common import (
    channel_name,
    counted,
    seconds_text,
    sounding,
    spans_of,
    whole,
)
from calculators.recording.judges.resolution import step_of
from calculators.recording.places import Run, Runs
from calculators.recording.summary import Summary

SPOILT = 1e-2
"""Part of the recording that may be lost before its levels are (common practice, no source)."""

SOFT_STEPS = 1.0
"""Steps of the converter, rms, of all above ``FAST``. A sound softer than this may rest on one
value by itself; at 1 step rms 38 % of the samples of noise are zero, 64 in a row never."""

COARSE_STEP = 2.0**-7
"""A step of 8 bits, FS: from here on the water between two loud sounds is softer than a step, and
rests on one value, however loud the whole recording is."""

FAST = 1 / 32
"""Of the sample rate: what is faster than this moves within 64 samples."""


def judge_dropouts(summary: Summary) -> Iterator[Finding]:
    """Each channel that has any sound at all; what all of them lost at once is said once."""
    alive = sounding(summary)
    holes = {n: _without_tails(summary, summary.by_channel[n].zeros) for n in alive}
    alike = len(alive) == summary.channels > 1 and len(set(holes.values())) == 1
    for number in alive[:1] if alike else alive:
        if holes[number].count:
            yield _found(summary, number, "drop-out", holes[number], "of exact zeros", alike)
    for number in alive:
        channel = summary.by_channel[number]
        if channel.not_finite:
            yield _no_numbers(summary, number, channel.not_finite)
        if channel.stuck.count:
            yield _found(summary, number, "stuck", channel.stuck, "of one value")
    yield from _repeated(summary)


def _no_numbers(summary: Summary, number: int, samples: int) -> Finding:
    what = (
        f"{channel_name(summary, number)} has {counted(samples, 'sample', 'samples')} that are no "
        "numbers; they were taken as zero."
    )
    return finding("not a number", "harms", "certain", what, whole(number))


def _repeated(summary: Summary) -> Iterator[Finding]:
    """A buffer written again; every channel at once."""
    runs = summary.repeats
    if not runs.count:
        return
    weight: Weight = "spoils" if runs.samples / max(summary.frames, 1) > SPOILT else "harms"
    longest = runs.longest.length if runs.longest else 0
    what = (
        f"{counted(runs.count, 'piece is', 'pieces are')} the same, sample for sample, as what "
        f"stands before; the longest lasts {seconds_text(longest / summary.rate)}. No sound does "
        "that."
    )
    yield finding("repeated", weight, "certain", what, spans_of(summary, runs, None))


def _without_tails(summary: Summary, runs: Runs) -> Runs:
    """Without those that end with their file: the judge of heads names them."""
    tails = [run for run in runs.listed if _at_end(summary, run)]
    listed = tuple(run for run in runs.listed if run not in tails)
    samples = runs.samples - sum(run.length for run in tails)
    longest = max(listed, key=lambda run: run.length, default=None)
    return Runs(samples, runs.count - len(tails), longest, listed)


def _at_end(summary: Summary, run: Run) -> bool:
    layout = summary.files[run.place.file].layout
    end = run.place.frame + run.length
    return end >= layout.frames and layout.fault("zero tail") is not None


def _found(
    summary: Summary, number: int, kind: str, runs: Runs, words: str, everywhere: bool = False
) -> Finding:
    longest = runs.longest.length if runs.longest else 0
    share = runs.samples / max(summary.frames, 1)
    sure = _sure(summary, number)
    weight: Weight = "spoils" if share > SPOILT else "harms"
    if sure == "possible":
        weight = "note"
    name = "Every channel" if everywhere else channel_name(summary, number)
    what = (
        f"{name} has {counted(runs.count, 'stretch', 'stretches')} "
        f"{words}, {seconds_text(runs.samples / summary.rate)} in all; the longest lasts "
        f"{seconds_text(longest / summary.rate)}."
    )
    if sure == "possible":
        what += (
            " Between loud sounds it may be softer than a step of the samples, and rest on one "
            "value by itself."
        )
    channel = None if everywhere else number
    return finding(kind, weight, sure, what, spans_of(summary, runs, channel))


def _sure(summary: Summary, number: int) -> Sure:
    step = step_of(summary)
    if step is not None and step >= COARSE_STEP:
        return "possible"
    fast = summary.frequencies >= FAST * summary.rate
    moving = summary.density[number, fast].sum() * summary.frequencies[1]
    return "certain" if step is None or moving**0.5 > SOFT_STEPS * step else "possible"
