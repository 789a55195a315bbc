"""Which hours no finding names, and which ones it does: for saying what was left out.

An hour is left out, in a channel, where a finding that spoils or harms has a place in it. A finding
without a place holds throughout, and is named beside the hours instead of striking all of them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np

from calculators.recording.axes import DAY, HOUR, clock_text, length_text
from calculators.recording.findings import MOST_SPANS, Finding, Span
from calculators.recording.panels import channel_name
from calculators.recording.quantity import quantity
from calculators.recording.shown import Shown

RULE = (
    "An hour is left out where a finding that spoils or harms has a place in it, by the recorder's "
    "clock and channel by channel; notes do not count. Findings that hold throughout are named and "
    "leave no hour out; nor do gaps, since each hour says how much of it was recorded."
)

NO_PLACE = frozenset({"gap", "too short", "start"})
"""Kinds that speak of time which was not recorded."""

COUNTED = frozenset({"clipped", "drop-out"})
"""Kinds whose samples are counted column by column: their places are all known."""

Labels = tuple[tuple[str, ...], ...]
"""Of an hour: kinds of findings, channel by channel."""


@dataclass(frozen=True)
class UsableHour:
    """One hour of the time axis: its start, s; how much was recorded, s; what speaks against it."""

    start: float
    seconds: float
    against: Labels

    @property
    def free(self) -> bool:
        """Whether nothing speaks against it in any channel."""
        return not any(self.against)


@dataclass(frozen=True)
class Usable:
    """The hours in which anything was recorded.

    ``throughout`` are findings without a place; ``more`` kinds that have more places than are
    listed, so that hours may look free of them that are not.
    """

    duration: float
    hours: tuple[UsableHour, ...]
    throughout: tuple[Finding, ...]
    more: tuple[str, ...]


def usable(shown: Shown) -> Usable:
    """Hours and what speaks against them, from the findings as they were judged."""
    hours = shown.summary.hours
    grave = [f for f in shown.findings if f.weight != "note" and f.kind not in NO_PLACE]
    placed = [f for f in grave if any(_placed(span) for span in f.where)]
    marks = [[set[str]() for _ in range(shown.summary.channels)] for _ in hours.start]
    for found in placed:
        for channel, first, last in _stretches(shown, found):
            begin = int(np.searchsorted(hours.start, first, side="right")) - 1
            end = int(np.searchsorted(hours.start, last, side="left"))
            for hour in marks[max(begin, 0) : max(end, begin + 1)]:
                for kinds in hour if channel is None else hour[channel : channel + 1]:
                    kinds.add(found.kind)
    rows = zip(hours.start.tolist(), hours.seconds_covered.tolist(), marks, strict=True)
    return Usable(
        hours.duration,
        tuple(
            UsableHour(start, seconds, tuple(tuple(sorted(kinds)) for kinds in hour))
            for start, seconds, hour in rows
            if seconds > 0
        ),
        tuple(f for f in grave if f not in placed),
        tuple(
            dict.fromkeys(
                f.kind for f in placed if len(f.where) >= MOST_SPANS and f.kind not in COUNTED
            )
        ),
    )


def _placed(span: Span) -> bool:
    return span.file is not None or span.seconds > 0


def _stretches(shown: Shown, found: Finding) -> Iterator[tuple[int | None, float, float]]:
    """Channel, start and end of every time at which a finding holds."""
    for span in found.where:
        stretch = shown.stretch(span)
        if _placed(span) and stretch is not None:
            yield span.channel, *stretch
    if found.kind in COUNTED:
        yield from _counted(shown, found)


def _counted(shown: Shown, found: Finding) -> Iterator[tuple[int | None, float, float]]:
    columns = shown.summary.columns
    counts = columns.clipped if found.kind == "clipped" else columns.zeros
    for channel in {span.channel for span in found.where}:
        of_channel = counts.sum(axis=0) if channel is None else counts[channel]
        for start in columns.start[of_channel > 0].tolist():
            yield channel, start, start + columns.duration


def summed_up(shown: Shown, found: Usable) -> list[str]:
    """The rule, how much is free, and what holds throughout, in sentences."""
    all_of_it = sum(hour.seconds for hour in found.hours)
    free = sum(hour.seconds for hour in found.hours if hour.free)
    said = [
        RULE,
        f"Free in every channel: {_length(free)} of {_length(all_of_it)} recorded, in "
        f"{sum(hour.free for hour in found.hours)} of {len(found.hours)} "
        f"{'hours' if found.duration == HOUR else f'stretches of {length_text(found.duration)}'}.",
    ]
    if found.throughout:
        names = dict.fromkeys(_named(shown, f) for f in found.throughout)
        said.append(f"Throughout: {'; '.join(names)}.")
    if found.more:
        said.append(
            f"There are more places than are listed of: {', '.join(found.more)}. More hours may "
            "have to be left out for them."
        )
    return said


def _length(seconds: float) -> str:
    return length_text(seconds) if seconds else "nothing"


def _named(shown: Shown, found: Finding) -> str:
    """A kind, with the channel where it has one."""
    channels = {span.channel for span in found.where}
    if len(channels) != 1 or None in channels:
        return found.kind
    (channel,) = channels
    name = channel_name(channel or 0, shown.summary.channels)
    return f"{found.kind} ({name.lower()})" if name else found.kind


def by_day(shown: Shown, found: Usable) -> list[tuple[str, list[str]]]:
    """Rows for readers: the day; recorded; hours that are free; hours left out, and for what."""
    days = groupby(found.hours, lambda hour: _day(shown, hour))
    return [(day, _cells(shown, found, list(hours))) for day, hours in days]


DAY_HEADS = ("day", "recorded", "free", "left out")


def _day(shown: Shown, hour: UsableHour) -> str:
    return clock_text(hour.start)[:10] if shown.timeline.clocked else "time recorded"


def _cells(shown: Shown, found: Usable, hours: Sequence[UsableHour]) -> list[str]:
    recorded = _length(sum(hour.seconds for hour in hours))
    free, left = [], []
    for against, run in groupby(_joined(found, hours), lambda one: one[1]):
        parts = [hour for hour, _ in run]
        end = parts[-1].start + found.duration
        words = f"{_clock(shown, parts[0].start)}–{_clock(shown, end, end=True)}"
        if any(against[1]):
            left.append(f"{words}: {_against(shown, against[1])}")
        else:
            free.append(words)
    return [recorded, ", ".join(free) or "none", "; ".join(left) or "none"]


def _joined(
    found: Usable, hours: Sequence[UsableHour]
) -> Iterator[tuple[UsableHour, tuple[int, Labels]]]:
    """Hours with the number of their run without a pause, and what speaks against them."""
    run = 0
    for number, hour in enumerate(hours):
        run += bool(number and hour.start > hours[number - 1].start + found.duration)
        yield hour, (run, hour.against)


def _clock(shown: Shown, seconds: float, end: bool = False) -> str:
    if not shown.timeline.clocked:
        return quantity(seconds / HOUR, "h", 6)
    return "24:00" if end and seconds % DAY == 0 else clock_text(seconds)[11:16]


def _against(shown: Shown, against: Labels) -> str:
    channels = len(against)
    if len(set(against)) == 1:
        return ", ".join(against[0])
    said = [
        f"{', '.join(kinds)} ({channel_name(channel, channels).lower()})"
        for channel, kinds in enumerate(against)
        if kinds
    ]
    return ", ".join(said)
