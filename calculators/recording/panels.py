"""What the pictures share: a title, keys, and panels with axes, one for each channel."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.axes import GAP, Scale, Tick
from calculators.recording.svg import (
    FAINT,
    INK,
    LARGE,
    PLAIN,
    QUIET,
    RULE,
    SMALL,
    Picture,
    text_width,
)

MOST_CHANNELS = 4
"""Channels that have a panel; the tables have them all."""

WIDE = 640.0
"""CSS pixels from which two panels stand side by side."""

LEFT, RIGHT, EDGE = 46.0, 14.0, 12.0
"""Room for the words of the level axis, for the end of the last label, and around everything."""

Mark = Literal["line", "dashed", "dotted", "band", "dot", "tick"]


@dataclass(frozen=True)
class Key:
    """One entry of the key: how it is drawn, and what it is."""

    mark: Mark
    colour: str
    words: str


@dataclass(frozen=True)
class Panel:
    """A plot: its two scales and what it is called."""

    x: Scale
    y: Scale
    name: str = ""

    @property
    def top(self) -> float:
        """The upper edge, CSS pixels."""
        return min(self.y.start, self.y.end)

    @property
    def bottom(self) -> float:
        """The lower edge."""
        return max(self.y.start, self.y.end)

    def heights(self, levels: Floats) -> Floats:
        """Where levels stand, (n,); what is nothing at all breaks the line."""
        return self.y.places(np.where(np.isfinite(levels), levels, np.nan))


def channel_name(channel: int, channels: int) -> str:
    """Channels count from 1, as on recorders, of two with their side; of one there is no name."""
    if channels == 2:
        return ("Channel 1, left", "Channel 2, right")[channel]
    return f"Channel {channel + 1}" if channels > 1 else ""


def shown_channels(channels: int) -> range:
    """Those that have a panel."""
    return range(min(channels, MOST_CHANNELS))


def wrapped(words: str, width: float, size: float = SMALL) -> list[str]:
    """Words in lines that fit a width."""
    lines: list[str] = []
    for word in words.split(" "):
        if lines and text_width(f"{lines[-1]} {word}", size) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def put_title(picture: Picture, words: str) -> None:
    """The title, and below it what the axes are, in as many lines as they need."""
    room = picture.width - 2 * EDGE
    y = 6.0
    for line in wrapped(picture.title, room, LARGE):
        y += LARGE + 4
        picture.text(EDGE, y, line, size=LARGE, colour=INK, bold=True)
    y += 2
    for line in wrapped(words, room):
        y += SMALL + 5
        picture.text(EDGE, y, line)
    picture.height = y + 8


def put_note(picture: Picture, words: str) -> None:
    """Small words at the foot."""
    y = picture.height
    for line in wrapped(words, picture.width - 2 * EDGE):
        y += SMALL + 4
        picture.text(EDGE, y, line)
    picture.height = y + 8


def put_channels_left_out(picture: Picture, channels: int) -> None:
    """Which channels have no panel, where not all have one."""
    if channels > MOST_CHANNELS:
        put_note(
            picture,
            f"Channels {MOST_CHANNELS + 1} to {channels} are not drawn; the tables have them.",
        )


def put_keys(picture: Picture, keys: Sequence[Key]) -> None:
    """The key, entries side by side as far as they fit."""
    x, y = EDGE, picture.height + 8
    for key in keys:
        wide = 30 + text_width(key.words) + 14
        if x > EDGE and x + wide > picture.width - EDGE:
            x, y = EDGE, y + SMALL + 8
        _draw_mark(picture, key, x, y)
        picture.text(x + 30, y + 4, key.words)
        x += wide
    picture.height = y + SMALL + 4


def _draw_mark(picture: Picture, key: Key, x: float, y: float) -> None:
    if key.mark == "band":
        picture.box(x, y - 6, 24, 12, key.colour)
    elif key.mark == "dot":
        picture.box(x + 9, y - 3, 6, 6, key.colour)
    elif key.mark == "tick":
        picture.line([(x + 6, y), (x + 18, y)], key.colour, thick=2)
    else:
        dashes = {"dashed": "4 3", "dotted": "1 4"}.get(key.mark, "")
        picture.line([(x, y), (x + 24, y)], key.colour, thick=2, dashes=dashes)


def cells(
    picture: Picture, count: int, height: float, labels: float, left: float = LEFT
) -> list[tuple[float, float, float, float]]:
    """Room for so many plots: left, right, top, bottom of each; two in a row where it is wide.

    Args:
        picture: Grows by what they need.
        count: How many.
        height: Of a plot alone, CSS pixels.
        labels: Room for the words below a plot.
        left: Room for the words to the left of it.
    """
    columns = 2 if count > 1 and picture.width >= WIDE else 1
    wide = picture.width / columns
    head = PLAIN + 8 if count > 1 else 4.0
    found = []
    for n in range(count):
        row, column = divmod(n, columns)
        top = picture.height + row * (head + height + labels) + head
        found.append((column * wide + left, (column + 1) * wide - RIGHT, top, top + height))
    rows = -(-count // columns)
    picture.height += rows * (head + height + labels)
    return found


def put_axes(
    picture: Picture,
    panel: Panel,
    x_ticks: Sequence[Tick],
    y_ticks: Sequence[Tick],
    words: bool = True,
) -> None:
    """Grid, ticks and their words, and the panel's name above it.

    ``words`` is whether the lower edge has any: not where it stands above another on its axis.
    """
    left, right = panel.x.start, panel.x.end
    written = [tick.at for tick in x_ticks if tick.label]
    bare = [tick.at for tick in x_ticks if not tick.label]
    picture.rules(((x, panel.top, x, panel.bottom) for x in written), FAINT)
    picture.rules(((left, tick.at, right, tick.at) for tick in y_ticks), FAINT)
    put_x_axis(picture, panel, x_ticks, words)
    picture.rules(((x, panel.bottom, x, panel.bottom + 3) for x in bare), RULE)
    for tick in y_ticks:
        picture.text(left - 6, tick.at + 4, tick.label, anchor="end")
    put_name(picture, panel)


def put_name(picture: Picture, panel: Panel) -> None:
    """Its name above the panel."""
    if panel.name:
        picture.text(panel.x.start, panel.top - 7, panel.name, size=PLAIN, colour=INK, bold=True)


def put_x_axis(picture: Picture, panel: Panel, ticks: Sequence[Tick], words: bool = True) -> None:
    """The lower edge with its ticks and their words."""
    foot = panel.bottom
    written = [tick for tick in ticks if tick.label]
    picture.rules([(panel.x.start, foot, panel.x.end, foot)], QUIET)
    picture.rules(((tick.at, foot, tick.at, foot + 5) for tick in written), QUIET)
    if words:
        _put_words(picture, foot + 18, [(tick.at, tick.label) for tick in written])
        _put_words(picture, foot + 33, [(tick.at, tick.below) for tick in written])


def _put_words(picture: Picture, y: float, placed: Sequence[tuple[float, str]]) -> None:
    """One line; words near an end are moved inwards, or left out where others stand there."""
    free = 0.0
    for at, words in placed:
        half = text_width(words) / 2
        inside = min(max(at, half + 2), picture.width - half - 2)
        if words and inside - half >= free:
            picture.text(inside, y, words, anchor="middle")
            free = inside + half + GAP / 2


def put_moments(picture: Picture, panel: Panel) -> None:
    """Let a click on a panel over time mean that moment."""
    area = panel.x.start, panel.x.end, panel.top, panel.bottom
    picture.moments(area, panel.x.low, panel.x.high)
