"""What the judges share: places, words, and levels that stand for a whole recording."""

from collections.abc import Iterable, Sequence
from math import floor, log10

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.findings import Span
from calculators.recording.places import Run, Runs
from calculators.recording.summary import Summary
from calculators.units import format_display, format_whole, with_unit


def seconds_text(seconds: float) -> str:
    """A length of time as a reader sees it.

    >>> seconds_text(0.25).split()
    ['250', 'ms']
    """
    return format_display(seconds, "s", 3)


def percent(share: float) -> str:
    """A part of the whole as a reader sees it, without a power of ten.

    >>> percent(8.2e-5).split()
    ['0.0082', '%']
    """
    digits = max(0, 1 - floor(log10(100 * share))) if share > 0 else 0
    return with_unit(f"{100 * share:.{digits}f}", "%")


def counted(number: int, one: str, many: str) -> str:
    """A number with its noun.

    >>> counted(1, "run", "runs"), counted(2000, "run", "runs")
    ('1 run', '2000 runs')
    """
    return f"{format_whole(number)} {one if number == 1 else many}"


def channel_name(summary: Summary, channel: int) -> str:
    """What a channel is called: nothing to tell apart where there is one.

    Of two, the first is what players put on the left.
    """
    if summary.channels == 1:
        return "The recording"
    if summary.channels == 2:
        return ("The left channel", "The right channel")[channel]
    return f"Channel {channel + 1}"


def span_of(summary: Summary, run: Run, channel: int | None) -> Span:
    """Where a run of frames is."""
    return Span(run.place.file, channel, run.place.frame / summary.rate, run.length / summary.rate)


def spans_of(summary: Summary, runs: Runs, channel: int | None) -> tuple[Span, ...]:
    """Where the listed runs are, in the order of time."""
    return tuple(span_of(summary, run, channel) for run in runs.listed)


def column_span(summary: Summary, first: int, last: int, channel: int | None) -> Span:
    """Where columns ``first`` to ``last`` are, both included: in a file if its clock says which."""
    columns = summary.columns
    start = float(columns.start[first])
    seconds = float(columns.start[last]) + columns.duration - start
    for index, file in enumerate(summary.files):
        if file.started is not None and 0 <= start - file.started < file.layout.seconds:
            return Span(index, channel, start - file.started, seconds)
    return Span(None, channel, start - float(columns.start[0]), seconds)


def whole(channel: int | None) -> tuple[Span, ...]:
    """All of a channel."""
    return (Span(None, channel, 0.0, 0.0),)


def pairs(summary: Summary) -> list[tuple[int, int]]:
    """The channels of each pair that is compared."""
    return [pair.channels for pair in summary.by_pair]


def low_coherence(summary: Summary, pair: int) -> Floats:
    """Magnitude-squared coherence of a pair over the low band, (L,); NaN where a channel is zero.

    Of independent noise it is about one over the number of segments.
    """
    one, two = (summary.low_density[number] for number in summary.by_pair[pair].channels)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(np.abs(summary.low_cross[pair]) ** 2 / (one * two))


def sounding(summary: Summary) -> list[int]:
    """Channels in which any sample differs from another."""
    return [n for n, c in enumerate(summary.by_channel) if c.mean_square > 0]


def joined_words(words: Sequence[str]) -> str:
    """A list in a sentence.

    >>> joined_words(["a", "b", "c"])
    'a, b and c'
    """
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def groups(flags: Iterable[bool]) -> list[tuple[int, int]]:
    """First and last index of each stretch in which all are true."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], np.asarray(list(flags), int), [0]))))
    return [(int(a), int(b) - 1) for a, b in zip(edges[0::2], edges[1::2], strict=True)]
