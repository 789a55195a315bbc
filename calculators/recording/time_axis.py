"""What pictures over time share: their axis, and lanes of bars below it."""

from collections.abc import Sequence
from dataclasses import dataclass

from calculators.recording.axes import Scale, Tick, clock_ticks, dates_text, elapsed_ticks
from calculators.recording.svg import INK, RULE, SMALL, Picture
from calculators.recording.timeline import Timeline

LEAST_BAR = 2.0
"""CSS pixels: what is shorter is drawn so long, or it would not be seen."""


@dataclass(frozen=True)
class Lane:
    """Words, and stretches of time below them; each stretch from one moment to another."""

    words: str
    colour: str
    stretches: Sequence[tuple[float, float]]


def time_ticks(scale: Scale, clocked: bool) -> list[Tick]:
    """Ticks of a time axis, by the recorder's clock where that is known."""
    return clock_ticks(scale) if clocked else elapsed_ticks(scale)


def axis_words(timeline: Timeline) -> str:
    """What the time axis counts."""
    if timeline.clocked:
        return f"by the recorder's own clock, {dates_text(timeline.start, timeline.end)}"
    return "over the time recorded: not every file says when it was made"


def put_lanes(picture: Picture, across: Scale, lanes: Sequence[Lane]) -> None:
    """Bars over the time axis, a lane for each kind of thing, its words above."""
    y = picture.height
    for lane in lanes:
        y += SMALL + 6
        picture.text(across.start, y, lane.words, colour=INK)
        y += 6
        picture.box(across.start, y, across.length, 8, "none", edge=RULE)
        for start, end in _merged(across, lane.stretches):
            picture.box(start, y, end - start, 8, lane.colour)
        y += 12
    picture.height = y + (8 if lanes else 0)


def _merged(across: Scale, stretches: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Where bars lie, CSS pixels: none shorter than is seen, those that touch made one."""
    found: list[tuple[float, float]] = []
    for start, end in sorted(stretches):
        left, right = across.place(start), across.place(end)
        if right - left < LEAST_BAR:
            left = min(left, across.end - LEAST_BAR)
            right = left + LEAST_BAR
        if found and left <= found[-1][1] + 0.5:
            found[-1] = (found[-1][0], max(found[-1][1], right))
        else:
            found.append((left, right))
    return found
