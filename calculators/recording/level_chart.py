"""The level over time, with the times at which the findings hold."""

from collections.abc import Sequence

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.axes import Scale, length_text, level_range, level_ticks
from calculators.recording.calibration import level_text
from calculators.recording.over_time import Grid
from calculators.recording.panels import (
    LEFT,
    RIGHT,
    Key,
    Panel,
    channel_name,
    put_axes,
    put_channels_left_out,
    put_keys,
    put_moments,
    put_title,
    shown_channels,
)
from calculators.recording.shown import Shown
from calculators.recording.svg import CARE, DEEP, FAIL, PLAIN, QUIET, Picture
from calculators.recording.time_axis import Lane, axis_words, put_lanes, time_ticks

MOST_LANES = 8
"""Findings that have bars of their own."""

WEIGHT_COLOURS = {"spoils": FAIL, "harms": CARE, "note": QUIET}


def level_over_time(shown: Shown, width: float) -> str:
    """The level of each channel over time, its peaks, and when the findings hold."""
    summary, calibration = shown.summary, shown.calibration
    channels = shown_channels(summary.channels)
    grid = shown.grid.folded(int(width - LEFT - RIGHT))
    mean = calibration.level(grid.mean_square)[: len(channels)]
    peak = calibration.peak_level(grid.peak)[: len(channels)]
    picture = Picture(
        shown.name("time", width), width, "Level over time", _level_words(shown, grid, mean)
    )
    put_title(
        picture, f"{calibration.level_name}, {calibration.level_unit}, {axis_words(shown.timeline)}"
    )
    each = length_text(grid.duration)
    put_keys(
        picture,
        [
            Key("line", DEEP, f"mean of {each}, all frequencies"),
            Key("line", QUIET, "largest sample (zero-to-peak)"),
        ],
    )
    ends = level_range([*_ends(mean), *_ends(peak)])
    height = 150.0 if len(channels) < 3 else 110.0
    across = Scale(*grid.ends, LEFT, width - RIGHT)
    ticks = time_ticks(across, shown.timeline.clocked)
    for channel in channels:
        top = picture.height + (PLAIN + 10 if len(channels) > 1 else 6)
        panel = Panel(
            across,
            Scale(*ends, top + height, top),
            channel_name(channel, summary.channels),
        )
        last = channel == channels[-1]
        put_axes(picture, panel, ticks, level_ticks(panel.y), words=last)
        _put_line(picture, panel, grid, peak[channel], QUIET, 0.9)
        _put_line(picture, panel, grid, mean[channel], DEEP, 2)
        put_moments(picture, panel)
        picture.height = panel.bottom + (40 if last else 8)
    put_lanes(picture, across, _finding_lanes(shown))
    put_channels_left_out(picture, summary.channels)
    return picture.svg()


def _put_line(
    picture: Picture, panel: Panel, grid: Grid, levels: Floats, colour: str, thick: float
) -> None:
    """A level for each column, broken where nothing was recorded."""
    across = panel.x.places(grid.start + grid.duration / 2).tolist()
    points = list(zip(across, panel.heights(levels).tolist(), strict=True))
    picture.line(_lone_points_seen(points), colour, thick=thick)


def _lone_points_seen(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Points, with a short dash where one stands alone between gaps."""
    seen: list[tuple[float, float]] = []
    missing = [True, *(y != y for _, y in points), True]
    for n, (x, y) in enumerate(points):
        alone = not missing[n + 1] and missing[n] and missing[n + 2]
        seen += [(x - 1, y), (x + 1, y)] if alone else [(x, y)]
    return seen


def _ends(levels: Floats) -> list[float]:
    """Lowest and highest level that is one."""
    found = levels[np.isfinite(levels)]
    return [float(found.min()), float(found.max())] if found.size else []


def _level_words(shown: Shown, grid: Grid, mean: Floats) -> str:
    """The picture in words: lowest and highest of each channel, and how many findings it marks."""
    unit = shown.calibration.level_unit
    said = []
    for channel, levels in enumerate(mean):
        name = channel_name(channel, shown.summary.channels) or "The level"
        ends = _ends(levels)
        said.append(
            f"{name}: between {level_text(ends[0])} and {level_text(ends[1])} {unit}."
            if ends
            else f"{name}: nothing but zeros."
        )
    lanes = _finding_lanes(shown)
    said.append(f"Marked below: {'; '.join(lane.words for lane in lanes) or 'nothing'}.")
    return (
        f"{length_text(grid.ends[1] - grid.ends[0])} {axis_words(shown.timeline)}. {' '.join(said)}"
    )


def _finding_lanes(shown: Shown) -> list[Lane]:
    """A lane for each item that holds at certain times, under its number in the report."""
    lanes = [
        Lane(f"{number}. {item.first.title}", WEIGHT_COLOURS[item.first.weight], stretches)
        for number, item in enumerate(shown.items, 1)
        if (stretches := shown.stretches(item))
    ]
    return lanes[:MOST_LANES]
