"""Levels as colours: the spectrogram of the whole deployment, and the hours of its days."""

from math import ceil

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.axes import (
    Scale,
    Tick,
    day_text,
    frequency_ticks,
    length_text,
    level_range,
)
from calculators.recording.bands import Bands
from calculators.recording.calibration import level_text
from calculators.recording.heat_map import colours, heat_map_png
from calculators.recording.over_time import Days
from calculators.recording.panels import (
    EDGE,
    LEFT,
    RIGHT,
    Panel,
    channel_name,
    put_channels_left_out,
    put_moments,
    put_name,
    put_title,
    put_x_axis,
    shown_channels,
)
from calculators.recording.shown import Shown
from calculators.recording.svg import PLAIN, QUIET, SMALL, Picture
from calculators.recording.time_axis import axis_words, time_ticks

MOST_DOTS = 240_000
"""Of a spectrogram, all channels together. Even noise that does not pack, seven bits a dot written
with 64 characters, stays below 300 kB."""


def spectrogram(shown: Shown, width: float) -> str:
    """Spectral density over time and frequency, of the whole deployment."""
    summary, calibration = shown.summary, shown.calibration
    channels = shown_channels(summary.channels)
    rows = len(summary.columns.rows.centres)
    most = min(int(width - LEFT - RIGHT) * 2, MOST_DOTS // (len(channels) * rows))
    grid = shown.grid.folded(most)
    levels = calibration.level(grid.density[: len(channels)])
    low, high = colour_range(levels)
    picture = Picture(
        shown.name("spectrogram", width),
        width,
        "Spectrogram",
        f"{calibration.density_name} over frequency and time, {axis_words(shown.timeline)}; "
        f"a column is {length_text(grid.duration)}. Colours go from {level_text(low, 0)} to "
        f"{level_text(high, 0)} {calibration.density_unit}, from dark to light.",
    )
    put_title(
        picture,
        f"{calibration.density_name} over frequency, Hz, and time, {axis_words(shown.timeline)}; "
        f"a column is {length_text(grid.duration)}",
    )
    put_colour_bar(picture, low, high, calibration.density_unit, bool(np.isnan(levels).any()))
    across = Scale(*grid.ends, LEFT, width - RIGHT)
    ticks = time_ticks(across, shown.timeline.clocked)
    height = 230.0 if len(channels) < 3 else 160.0
    for channel in channels:
        top = picture.height + (PLAIN + 10 if len(channels) > 1 else 4)
        panel = Panel(
            across,
            Scale(*_edges(summary.columns.rows), top + height, top, logarithmic=True),
            channel_name(channel, summary.channels),
        )
        png = heat_map_png(levels[channel][::-1], low, high)
        last = channel == channels[-1]
        _put_heat_map(picture, panel, png, bool(np.isnan(levels).any()))
        _put_frequencies(picture, panel)
        put_x_axis(picture, panel, ticks, words=last)
        put_moments(picture, panel)
        picture.height = panel.bottom + (40 if last else 8)
    put_channels_left_out(picture, summary.channels)
    return picture.svg()


def _put_heat_map(picture: Picture, panel: Panel, png: bytes, gaps: bool) -> None:
    put_name(picture, panel)
    room = (panel.x.start, panel.top, panel.x.length, panel.y.length)
    if gaps:
        picture.hatched(*room)
    picture.image(*room, png)


def _put_frequencies(picture: Picture, panel: Panel) -> None:
    """Ticks on the left."""
    edge = panel.x.start
    ticks = frequency_ticks(panel.y, upright=True)
    picture.rules(((edge - 5 if t.label else edge - 3, t.at, edge, t.at) for t in ticks), QUIET)
    for tick in ticks:
        if tick.label:
            picture.text(edge - 7, tick.at + 4, tick.label, anchor="end")


def _edges(rows: Bands) -> tuple[float, float]:
    return float(rows.lower[0]), float(rows.upper[-1])


def colour_range(levels: Floats) -> tuple[float, float]:
    """Round ends for the colours that leave out a hundredth at each end, 20 dB or more apart."""
    found = levels[np.isfinite(levels)]
    if not found.size:
        return level_range([])
    low, high = np.percentile(found, [1, 99.5])
    return level_range([float(low), float(high)], step=10.0)


def put_colour_bar(picture: Picture, low: float, high: float, unit: str, gaps: bool) -> None:
    """Which colour is which level; what lies beyond an end has its colour, and the words say so."""
    y = picture.height
    long = min(256.0, picture.width - 2 * EDGE)
    bar = Scale(low, high, EDGE, EDGE + long)
    part = np.arange(len(colours())) + 0.5
    picture.image(EDGE, y, long, 12, heat_map_png(part[np.newaxis] / len(part), 0.0, 1.0))
    picture.text(EDGE, y + 27, f"≤ {level_text(low, 0)}")
    middle = (low + high) / 2
    picture.text(bar.place(middle), y + 27, level_text(middle, 0), anchor="middle")
    picture.text(EDGE + long, y + 27, f"≥ {level_text(high, 0)}", anchor="end")
    beside = picture.width >= EDGE + long + 260
    x, line = (EDGE + long + 14, y + 10) if beside else (EDGE, y + 44)
    picture.text(x, line, unit)
    picture.height = y + (34 if beside else 52)
    if gaps:
        x, line = (x, y + 27) if beside else (EDGE + long / 2, line)
        picture.hatched(x, line - 10, 24, 12)
        picture.text(x + 30, line, "nothing measured")


def hours_of_days(shown: Shown, width: float) -> str:
    """A row a day and a column an hour, coloured by level, for three ranges of frequency."""
    calibration = shown.calibration
    days = shown.days
    if days is None:
        raise ValueError("without the recorder's clock there are no hours of days")
    levels = calibration.level(days.mean_square)
    low, high = colour_range(levels)
    gaps = bool(np.isnan(levels).any())
    name = channel_name(days.channel, shown.summary.channels)
    picture = Picture(
        shown.name("days", width), width, "Day by hour", _days_words(shown, days, levels)
    )
    put_title(
        picture,
        f"{calibration.level_name} in three ranges of frequency, hour by hour of the recorder's "
        f"own clock{f'; {name.lower()}' if name else ''}",
    )
    put_colour_bar(picture, low, high, calibration.level_unit, gaps)
    row = min(18.0, max(4.0, 300 / len(days.days)))
    for words, of_range in zip(days.ranges, levels, strict=True):
        top = picture.height + PLAIN + 10
        height = row * len(days.days)
        panel = Panel(
            Scale(0, 24, LEFT + 10, width - RIGHT),
            Scale(0, len(days.days), top, top + height),
            words,
        )
        _put_heat_map(picture, panel, heat_map_png(of_range, low, high), gaps)
        put_x_axis(picture, panel, _hour_ticks(panel.x))
        _put_days(picture, panel, days, row)
        picture.height = panel.bottom + 26
    return picture.svg()


def _hour_ticks(scale: Scale) -> list[Tick]:
    every = 2 if scale.length > 560 else 6 if scale.length > 200 else 12
    return [Tick(scale.place(hour), f"{hour:02d}:00") for hour in range(0, 25, every)]


def _put_days(picture: Picture, panel: Panel, days: Days, row: float) -> None:
    """Names of the days, as many as fit above each other."""
    every = ceil((SMALL + 2) / row)
    for n in range(0, len(days.days), every):
        at = panel.y.place(n + 0.5) + 4
        picture.text(panel.x.start - 6, at, day_text(days.days[n]), anchor="end")


def _days_words(shown: Shown, days: Days, levels: Floats) -> str:
    said = [f"{len(days.days)} days, hour by hour of the recorder's own clock."]
    for words, of_range in zip(days.ranges, levels, strict=True):
        if not np.isfinite(of_range).any():
            continue
        finite = np.where(np.isfinite(of_range), of_range, -np.inf)
        day, hour = np.unravel_index(int(np.argmax(finite)), finite.shape)
        said.append(
            f"{words}: loudest {day_text(days.days[int(day)])}, {int(hour):02d}:00, "
            f"{level_text(float(finite.max()))} {shown.calibration.level_unit}."
        )
    return " ".join(said)
