"""A row of lines over time: how long it lasts, and whether its lines slide.

In one spectrum a line that strums, a boat, a machine and fish in chorus look the same. Eddies leave
a round line at about 0.2 times speed over diameter, left and right in turn (0.185 in
[aeolian-encyclopaedia]), so the row of a line slides with the current and lasts as long as that
does. A boat passes within minutes; a machine and a chorus keep their pitch.
"""

from dataclasses import dataclass

import numpy as np

from calculators.recording.arrays import Flags, Floats
from calculators.recording.decibels import power_level
from calculators.recording.summary import Summary

BLOCK = 60.0
"""Seconds, at least, whose spectra are taken together: a row at 15 Hz then is the mean of some
60 segments, and scatters by half a decibel."""

STANDS = 3.0
"""dB by which two neighbouring multiples must rise above what lies between them, in a block: six
times that scatter."""

LONG = 3600.0
"""Seconds that a boat is not heard for: even at 2 m/s it comes 7.2 km farther meanwhile (common
practice, no source)."""

SLIDES = 1.15
"""Highest over lowest pitch, of the tenth and the ninetieth percentile of the blocks, from which a
row slides: a current that grows by a sixth. Speed regulators of machines keep within some per
cent, and fish in water of one temperature too (common practice, no source)."""

STEP = 1.12
"""Factor of pitch from one block to the next beyond which it is another row, as of the next boat:
two steps of the spectrogram's rows, for a pitch is found to half of one."""

MISSED = 2
"""Blocks in which it may fail to show."""

PAUSE = 7200.0
"""Seconds without sound after which a row is another one: schedules pause for less (common
practice, no source)."""

PITCHES = (7.5, 120.0)
"""Hz, of the first multiple."""

UPPER = 400.0
"""Hz, up to which multiples are looked at."""

WIDE = 1.6
"""Factor, to either side, of the running median that stands for the noise around."""


@dataclass(frozen=True)
class Stretch:
    """A time in which a row of lines is heard: columns, both included; seconds; pitch, Hz."""

    first: int
    last: int
    seconds: float
    low: float
    high: float

    @property
    def slides(self) -> bool:
        """Whether its pitch moved."""
        return self.high >= SLIDES * self.low


@dataclass(frozen=True)
class _Block:
    """Some columns together: first and last of them, start and end on the time axis."""

    first: int
    last: int
    start: float
    end: float


def longest_row(summary: Summary, channel: int) -> Stretch | None:
    """The longest stretch in which a row of lines is heard; None where there is none."""
    rows = summary.columns.rows.centres
    if rows[0] > 2 * PITCHES[0] or rows[-1] < UPPER:
        return None
    blocks, levels = _blocks(summary, channel, rows <= UPPER)
    if not blocks:
        return None
    tried, rises = _rises(rows[rows <= UPPER], levels)
    found = [_stretch(blocks, run) for run in _runs(blocks, tried, rises)]
    return max(found, key=lambda stretch: stretch.seconds, default=None)


def _blocks(summary: Summary, channel: int, rows: Flags) -> tuple[list[_Block], Floats]:
    """Columns in groups of ``BLOCK`` at least, and the levels of these rows in each, (R, B)."""
    columns = summary.columns
    each = max(1, int(np.ceil(BLOCK / columns.duration)))
    density = columns.density[channel, rows]
    room = -density.shape[1] % each
    density = np.pad(density, ((0, 0), (0, room)), constant_values=np.nan)
    known = np.isfinite(density).all(axis=0) & (density > 0).all(axis=0)
    count = known.reshape(-1, each).sum(axis=1)
    sums = np.where(known, density, 0.0).reshape(len(density), -1, each).sum(axis=2)
    heard = np.flatnonzero(count * columns.duration >= BLOCK / 2)
    ends = columns.start + columns.duration
    blocks = []
    for first in (heard * each).tolist():
        last = min(first + each, columns.start.size) - 1
        blocks.append(_Block(first, last, float(columns.start[first]), float(ends[last])))
    return blocks, power_level(sums[:, heard] / count[heard])


def _rises(rows: Floats, levels: Floats) -> tuple[Floats, Floats]:
    """Pitches that are tried, (F,), and how far their multiples rise in each block, (F, B); dB.

    Where the first multiple lies below the rows, the second and the third speak for all.
    """
    relief = levels - np.array(
        [
            np.median(levels[(rows >= row / WIDE) & (rows <= row * WIDE)], axis=0)
            for row in rows.tolist()
        ]
    )
    tried = np.geomspace(*PITCHES, 100)
    lowest = np.where(tried >= rows[0], 1, 2)
    place = np.arange(rows.size)

    def at(multiple: Floats) -> Floats:
        where = np.interp(np.log(tried * multiple), np.log(rows), place)
        low = np.floor(where).astype(int)
        part = (where - low)[:, None]
        high = np.minimum(low + 1, rows.size - 1)
        return np.asarray((1 - part) * relief[low] + part * relief[high])

    between = at(lowest + 0.5)
    below = np.where((lowest == 1)[:, None], at(lowest / 1.5), at(lowest - 0.5))
    first = at(lowest) - np.maximum(below, between)
    second = at(lowest + 1) - np.maximum(between, at(lowest + 1.5))
    return tried, np.minimum(first, second)


def _runs(blocks: list[_Block], tried: Floats, rises: Floats) -> list[list[tuple[int, float]]]:
    """Blocks and pitches of each stretch in which a row goes on."""
    runs: list[list[tuple[int, float]]] = []
    near = np.abs(np.log(tried / tried[:, None])) <= np.log(STEP)
    best = rises.argmax(axis=0)
    at = 0
    for number in np.flatnonzero(rises.max(axis=0) >= STANDS).tolist():
        goes_on = bool(runs) and _goes_on(blocks, runs[-1][-1][0], number)
        close = np.where(near[at], rises[:, number], -np.inf)
        same = goes_on and close.max() >= STANDS
        at = int(close.argmax() if same else best[number])
        if not same:
            runs.append([])
        runs[-1].append((number, float(tried[at])))
    return runs


def _goes_on(blocks: list[_Block], last: int, now: int) -> bool:
    return now - last <= 1 + MISSED and blocks[now].start - blocks[last].end <= PAUSE


def _stretch(blocks: list[_Block], run: list[tuple[int, float]]) -> Stretch:
    first, last = blocks[run[0][0]], blocks[run[-1][0]]
    low, high = np.percentile([pitch for _, pitch in run], (10, 90))
    return Stretch(first.first, last.last, last.end - first.start, float(low), float(high))
