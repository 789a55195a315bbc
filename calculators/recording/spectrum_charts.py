"""Pictures over frequency: the spectral density, and the levels in decidecade bands."""

from collections.abc import Sequence

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.axes import (
    Scale,
    frequency_ticks,
    level_range,
    level_ticks,
)
from calculators.recording.calibration import level_text
from calculators.recording.decibels import power_level
from calculators.recording.panels import (
    Key,
    Panel,
    cells,
    channel_name,
    put_axes,
    put_channels_left_out,
    put_keys,
    put_title,
    shown_channels,
)
from calculators.recording.quantity import hertz
from calculators.recording.shown import Shown
from calculators.recording.svg import DEEP, INK, QUIET, SPREAD, Picture, Points, number

PERCENTS = (5.0, 50.0, 95.0)
"""Levels that so many per cent of the seconds do not exceed."""

HEIGHT = 250.0
"""Of a plot, CSS pixels."""

LABELS = 34.0
"""Room for the words below it."""

FAR_BELOW = 30.0
"""dB that the level axis goes below what was measured, to show what a rig predicts."""

FIRST_BIN = 3
"""What does not move at all leaks through a Hann window into the bins below this one."""


def spectrum(shown: Shown, width: float) -> str:
    """Spectral density over frequency, with how far the seconds spread; a panel a channel."""
    summary, calibration = shown.summary, shown.calibration
    channels = shown_channels(summary.channels)
    frequencies, density = joined_density(shown)
    levels = calibration.level(density)[: len(channels)]
    spread = band_densities(shown)[:, : len(channels)]
    picture = Picture(
        shown.name("spectrum", width), width, "Spectral density", _spectrum_words(shown, spread)
    )
    put_title(
        picture, f"{calibration.density_name}, {calibration.density_unit}, over frequency, Hz"
    )
    put_keys(picture, _spectrum_keys(shown))
    ends = level_range(_with_noise(shown, [*_ends(levels), *_ends(spread)]))
    for channel, room in zip(channels, cells(picture, len(channels), HEIGHT, LABELS), strict=True):
        name = channel_name(channel, summary.channels)
        panel = _panel(room, (frequencies[0], frequencies[-1]), ends, name)
        _put_spread(picture, panel, shown, spread[:, channel])
        put_axes(picture, panel, frequency_ticks(panel.x), level_ticks(panel.y))
        if shown.self_noise is not None:
            _put_curve(picture, panel, *shown.self_noise)
        picture.line(thinned(panel, frequencies, levels[channel]), DEEP, thick=1.2)
        steps = _steps(panel, shown, spread[1, channel])
        picture.line(steps, INK, thick=1.2, dashes="4 3")
    put_channels_left_out(picture, summary.channels)
    return picture.svg()


def _with_noise(shown: Shown, levels: list[float]) -> list[float]:
    """Ends of the level axis that show the predicted noise too, unless it lies far below."""
    if shown.self_noise is None or not levels:
        return levels
    return [*levels, max(float(shown.self_noise[1].min()), min(levels) - FAR_BELOW)]


def _spectrum_keys(shown: Shown) -> list[Key]:
    keys = [
        Key("line", DEEP, "mean"),
        Key("dashed", INK, "median of the seconds, by band"),
        Key("band", SPREAD, "5 % to 95 % of the seconds"),
    ]
    if shown.self_noise is not None:
        keys.append(Key("dotted", QUIET, "self-noise that the rig predicts"))
    return keys


def bands(shown: Shown, width: float) -> str:
    """Levels in decidecade bands: their mean, and how far the seconds spread."""
    summary, calibration = shown.summary, shown.calibration
    channels = shown_channels(summary.channels)
    mean = calibration.level(summary.band_mean_square)[: len(channels)]
    spread = percentile_levels(shown)[:, : len(channels)]
    picture = Picture(
        shown.name("bands", width), width, "Decidecade band levels", _band_words(shown, mean)
    )
    put_title(
        picture, f"{calibration.level_name} in bands, {calibration.level_unit}, over frequency, Hz"
    )
    keys = [
        Key("dot", DEEP, "mean"),
        Key("tick", INK, "median of the seconds"),
        Key("band", SPREAD, "5 % to 95 % of the seconds"),
    ]
    put_keys(picture, keys)
    ends = level_range([*_ends(mean), *_ends(spread)])
    edges = (summary.bands.lower[0], summary.bands.upper[-1])
    for channel, room in zip(channels, cells(picture, len(channels), HEIGHT, LABELS), strict=True):
        panel = _panel(room, edges, ends, channel_name(channel, summary.channels))
        put_axes(picture, panel, frequency_ticks(panel.x), level_ticks(panel.y))
        _put_bands(picture, panel, shown, mean[channel], spread[:, channel])
    put_channels_left_out(picture, summary.channels)
    return picture.svg()


def _put_bands(picture: Picture, panel: Panel, shown: Shown, mean: Floats, spread: Floats) -> None:
    """A box from 5 % to 95 % of each band, its median across it and a dot at its mean.

    What is no level is left out: percentiles of less than a second, a mean of zeros.
    """
    boxes, medians, dots = [], [], []
    measured = shown.summary.bands
    for n, (lower, upper) in enumerate(zip(measured.lower, measured.upper, strict=True)):
        left, right = panel.x.place(lower) + 1, panel.x.place(upper) - 1
        if np.isfinite(spread[:, n]).all():
            low, middle, high = (panel.y.place(level) for level in spread[:, n])
            boxes.append(rectangle(left, right, high - 0.5, low + 0.5))
            medians.append((left, middle, right, middle))
        if np.isfinite(mean[n]):
            centre, at = (left + right) / 2, panel.y.place(mean[n])
            half = min(3.0, (right - left) / 2)
            dots.append(rectangle(centre - half, centre + half, at - half, at + half))
    picture.area("".join(boxes), SPREAD, edge=QUIET)
    picture.rules(medians, INK, thick=1.6)
    picture.area("".join(dots), DEEP)


def rectangle(left: float, right: float, top: float, bottom: float) -> str:
    """The data of a path around a rectangle."""
    return f"M{number(left)} {number(top)}H{number(right)}V{number(bottom)}H{number(left)}Z"


def _panel(
    room: tuple[float, float, float, float],
    frequencies: tuple[float, float],
    levels: tuple[float, float],
    name: str,
) -> Panel:
    left, right, top, bottom = room
    across = Scale(frequencies[0], frequencies[1], left, right, logarithmic=True)
    return Panel(across, Scale(levels[0], levels[1], bottom, top), name)


def joined_density(shown: Shown) -> tuple[Floats, Floats]:
    """Frequencies and density: the fine bins of the low band, then those of the whole spectrum.

    The last line, at half the sample rate, stands for half a line and is left out.

    Returns:
        Shapes (B,) in Hz and (C, B) in full scale²/Hz, rising from above zero.
    """
    summary = shown.summary
    low, whole = summary.low_frequencies, summary.frequencies
    if len(low) <= FIRST_BIN:
        return whole[FIRST_BIN:-1], summary.density[:, FIRST_BIN:-1]
    fine = slice(FIRST_BIN, None)
    rest = (whole > max(low[-1], whole[FIRST_BIN - 1])) & (whole < whole[-1])
    return (
        np.concatenate([low[fine], whole[rest]]),
        np.concatenate([summary.low_density[:, fine], summary.density[:, rest]], axis=1),
    )


def percentile_levels(shown: Shown) -> Floats:
    """Band levels at 5 %, 50 % and 95 % of the seconds; shape (3, C, K), dB as calibrated."""
    found = [shown.summary.levels.percentile(percent) for percent in PERCENTS]
    bands = len(shown.summary.bands.centres)
    levels: Floats = np.stack(found)[..., :bands] + shown.calibration.shift
    return levels


def band_densities(shown: Shown) -> Floats:
    """The same as mean densities over each band: less ten times the logarithm of its width."""
    measured = shown.summary.bands
    densities: Floats = percentile_levels(shown) - power_level(measured.upper - measured.lower)
    return densities


def thinned(panel: Panel, values: Floats, levels: Floats) -> Points:
    """A line through the lowest and the highest level in each pixel: no peak is lost."""
    across = panel.x.places(values)
    heights = panel.heights(levels)
    columns = np.floor(across - panel.x.start).astype(int)
    firsts = np.flatnonzero(np.diff(columns, prepend=columns[0] - 1))
    points: list[tuple[float, float]] = []
    for start, end in zip(firsts, [*firsts[1:], len(levels)], strict=True):
        pixel = levels[start:end]
        chosen = sorted({start + int(np.argmin(pixel)), start + int(np.argmax(pixel))})
        points += [(float(across[n]), float(heights[n])) for n in chosen]
    return points


def _steps(panel: Panel, shown: Shown, levels: Floats) -> Points:
    """A level for each band, as a line of steps."""
    measured = shown.summary.bands
    across = panel.x.places(np.stack([measured.lower, measured.upper], axis=-1)).tolist()
    return [
        (edge, height)
        for edges, height in zip(across, panel.heights(levels).tolist(), strict=True)
        for edge in edges
    ]


def _put_spread(picture: Picture, panel: Panel, shown: Shown, spread: Floats) -> None:
    """The area from 5 % to 95 % of the seconds, a rectangle a band."""
    measured = shown.summary.bands
    picture.area(
        "".join(
            rectangle(
                panel.x.place(lower), panel.x.place(upper), panel.y.place(high), panel.y.place(low)
            )
            for lower, upper, low, high in zip(
                measured.lower, measured.upper, spread[0], spread[2], strict=True
            )
            if np.isfinite(high)
        ),
        SPREAD,
    )


def _put_curve(picture: Picture, panel: Panel, frequencies: Floats, levels: Floats) -> None:
    """A predicted curve, as far as both axes go."""
    points = [
        (panel.x.place(frequency), panel.y.place(level))
        for frequency, level in zip(frequencies, levels, strict=True)
        if panel.x.low <= frequency <= panel.x.high and panel.y.low <= level <= panel.y.high
    ]
    picture.line(points, QUIET, thick=2, dashes="1 4")


def _ends(levels: Floats) -> list[float]:
    """The lowest and highest level that is one."""
    found = levels[np.isfinite(levels)]
    return [float(found.min()), float(found.max())] if found.size else []


def _spectrum_words(shown: Shown, spread: Floats) -> str:
    """The picture in words: the median in three bands of each channel."""
    unit = shown.calibration.density_unit
    return f"{_some_bands(shown, spread[1], unit)} {shown.calibration.words}"


def _band_words(shown: Shown, mean: Floats) -> str:
    return f"{_some_bands(shown, mean, shown.calibration.level_unit)} {shown.calibration.words}"


def _some_bands(shown: Shown, levels: Floats, unit: str) -> str:
    centres = shown.summary.bands.centres
    chosen: Sequence[int] = sorted({0, len(centres) // 3, 2 * len(centres) // 3, len(centres) - 1})
    said = []
    for channel, of_channel in enumerate(levels):
        name = channel_name(channel, shown.summary.channels) or "Levels"
        parts = [
            f"{level_text(of_channel[n])} at {hertz(centres[n])}"
            for n in chosen
            if np.isfinite(of_channel[n])
        ]
        said.append(f"{name}: {', '.join(parts) or 'nothing but zeros'}, {unit}.")
    return " ".join(said)
