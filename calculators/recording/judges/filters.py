"""Filters that nobody meant to be there: a low cut left on, an edge above which there is nothing.

Both are in the sound at all times, whatever was heard, and that tells them from the water. It does
not tell a low cut from the chain's own corner, nor from shallow water, below whose cut-off nothing
travels: a rig says where these lie.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from statistics import quantiles

import numpy as np

from calculators.recording.arrays import Flags, Floats
from calculators.recording.calibration import decibels
from calculators.recording.decibels import power_level
from calculators.recording.expected import Expected
from calculators.recording.findings import Finding, finding
from calculators.recording.judges.common import channel_name, joined_words, sounding, whole
from calculators.recording.judges.spectral import log_spectrum
from calculators.recording.quantity import hertz
from calculators.recording.summary import Summary

CORNERS = (30.0, 400.0)
"""Hz, where a low cut is looked for: switches have 40 Hz to 150 Hz (common practice, no source)."""

BELOW = 2.5
"""The level at a corner is held against that at a frequency lower by this factor: a filter of the
second order has lost 16 dB there, and water gains some 8 dB at the most."""

FALLS = 5.0
"""dB by which the level must fall over that factor towards low frequencies, where that of the water
rises."""

MOST = 0.7
"""Part of the largest such fall that is left at the corner of a filter of the second order to the
fourth, in water (tried on made ones; within a quarter)."""

SMOOTH = 1.12
"""Factor of frequency, to either side, of which the lower quartile stands for the noise: lines of
boats and of the mains have no part in it."""

ALWAYS = 0.95
"""Part of the columns in which a filter must show."""

OCTAVE_FALLS = 0.0
"""dB by which the density of the octaves below a low cut must lie under that of the octave above,
in each of those columns."""

BEYOND = 2.0
"""Times the corner that the rig predicts, from which another filter is in the way."""

EDGES = (0.1, 0.85)
"""Parts of half the sample rate between which an edge is looked for: a converter's own filter lies
above (common practice, no source)."""

INNER, OUTER = 1.02, 1.10
"""The edge is found from the medians between these factors above and below it."""

DROPS = 10.0
"""dB by which the density must drop there; the steepest water loses 1 dB over as much (worked out
here from 20 dB a decade)."""

STAYS = 6.0
"""dB by which all above must stay below what lies just under the edge."""


def judge_filters(summary: Summary, expected: Expected | None) -> Iterator[Finding]:
    """Each channel that has sound."""
    for number in sounding(summary):
        corner = low_cut_in(summary, number)
        if corner:
            yield _low_cut(summary, number, corner, expected)
        edge = edge_in(summary, number)
        if edge:
            yield _edge(summary, number, edge)


@dataclass(frozen=True)
class LowCut:
    """Where it begins, Hz, and the fall from there to ``BELOW`` times lower, dB."""

    corner: float
    fall: float


def low_cut_in(summary: Summary, number: int) -> LowCut | None:
    """The corner below which the noise falls instead of rising, at all times, if there is one."""
    spectrum = log_spectrum(summary, number)
    if spectrum is None or spectrum.frequencies[-1] < CORNERS[1]:
        return None
    tried = np.geomspace(*CORNERS, 30)
    upper, lower = (
        _lower_quartile(spectrum.frequencies, spectrum.levels, at) for at in (tried, tried / BELOW)
    )
    falls = upper - lower
    if falls.max() < FALLS:
        return None
    # Far below its corner a filter falls evenly; from there up the fall over the factor shrinks.
    best = int(np.flatnonzero(falls >= max(FALLS, MOST * falls.max()))[-1])
    found = LowCut(float(tried[best]), float(falls[best]))
    return found if _always_low(summary, number, found.corner) else None


def _lower_quartile(frequencies: Floats, levels: Floats, at: Floats) -> Floats:
    low = np.searchsorted(frequencies, at / SMOOTH)
    high = np.searchsorted(frequencies, at * SMOOTH, side="right")
    # Of few values each: numpy's own percentile takes ten times as long to be asked.
    return np.array(
        [
            quantiles(levels[a:b].tolist(), n=4, method="inclusive")[0]
            for a, b in zip(low, high, strict=True)
        ]
    )


def _always_low(summary: Summary, number: int, corner: float) -> bool:
    """Whether the octaves below lie under the one above in nearly every column."""
    edges = summary.columns.octaves
    density = power_level(summary.columns.low_mean_square[number] / np.diff(edges)[:, None])
    above = int(np.searchsorted(edges, corner))
    below = int(np.searchsorted(edges, corner / BELOW, side="right")) - 2
    if below < 0 or above >= density.shape[0]:
        return False
    return _share(density[below] + OCTAVE_FALLS <= density[above], density[above]) >= ALWAYS


def _share(flags: Flags, known: Floats) -> float:
    there = np.isfinite(known)
    return float(flags[there].mean()) if there.any() else 0.0


def _low_cut(summary: Summary, number: int, found: LowCut, expected: Expected | None) -> Finding:
    what = (
        f"Below about {hertz(found.corner)} {_lower(channel_name(summary, number))} falls at all "
        f"times, by {decibels(found.fall)} to {hertz(found.corner / BELOW)}, where water grows "
        "louder: a low cut that is on, the chain's own corner, or water too shallow for low sounds."
    )
    known = _corners(expected)
    if not known:
        what += " A rig says where the last two lie; none was given, or it does not say."
        return finding("low cut", "note", "possible", what, whole(number))
    words = joined_words([f"{name} at {hertz(at)}" for name, at in known])
    what += f" By the rig, {words}."
    if found.corner > BEYOND * max(at for _, at in known):
        return finding("low cut", "harms", "likely", what, whole(number))
    return finding("low cut", "note", "possible", what, whole(number))


def _corners(expected: Expected | None) -> list[tuple[str, float]]:
    """What the rig says of low frequencies: words and the highest frequency, Hz."""
    if expected is None:
        return []
    said = (
        ("the chain has its low corner", expected.low_corner),
        ("the water its cut-off", expected.cutoff),
    )
    return [(name, found.high) for name, found in said if found is not None]


@dataclass(frozen=True)
class Edge:
    """Where it is, Hz, and how far the density drops, dB."""

    frequency: float
    drop: float


def edge_in(summary: Summary, number: int) -> Edge | None:
    """The frequency above which there is next to nothing, at all times, if there is one."""
    frequencies = summary.frequencies
    levels = np.maximum(power_level(summary.density[number]), -400.0)
    half = summary.rate / 2
    tried = np.geomspace(EDGES[0] * half, EDGES[1] * half, 110)
    means = _means(frequencies, levels, tried / OUTER, tried / INNER)
    means -= _means(frequencies, levels, tried * INNER, tried * OUTER)
    tried = tried[means >= DROPS / 2]
    if not tried.size:
        return None
    under = _medians(frequencies, levels, tried / OUTER, tried / INNER)
    over = _medians(frequencies, levels, tried * INNER, tried * OUTER)
    drops = under - over
    best = int(drops.argmax())
    found = Edge(float(tried[best]), float(drops[best]))
    if found.drop < DROPS or not _stays_down(frequencies, levels, found.frequency, under[best]):
        return None
    return found if _always_down(summary, number, found.frequency) else None


def _means(frequencies: Floats, levels: Floats, lower: Floats, upper: Floats) -> Floats:
    """Quicker than medians, to see where these are worth it."""
    low = np.searchsorted(frequencies, lower)
    high = np.maximum(np.searchsorted(frequencies, upper, side="right"), low + 1)
    sums = np.concatenate(([0.0], np.cumsum(levels)))
    return np.asarray((sums[high] - sums[low]) / (high - low))


def _medians(frequencies: Floats, levels: Floats, lower: Floats, upper: Floats) -> Floats:
    low = np.searchsorted(frequencies, lower)
    high = np.maximum(np.searchsorted(frequencies, upper, side="right"), low + 1)
    return np.array([np.median(levels[a:b]) for a, b in zip(low, high, strict=True)])


def _stays_down(frequencies: Floats, levels: Floats, edge: float, under: float) -> bool:
    above = levels[frequencies > edge * INNER]
    parts = np.array_split(above, max(1, above.size // 32))
    return max(float(np.median(part)) for part in parts) <= under - STAYS


def _always_down(summary: Summary, number: int, edge: float) -> bool:
    """Whether the row above the edge lies under the one below it in nearly every column."""
    rows = summary.columns.rows
    below = int(np.searchsorted(rows.upper, edge / INNER, side="right")) - 1
    above = int(np.searchsorted(rows.lower, edge * INNER))
    if below < 0 or above >= rows.lower.size:
        return False
    density = power_level(summary.columns.density[number])
    return _share(density[above] + STAYS <= density[below], density[below]) >= ALWAYS


def _edge(summary: Summary, number: int, found: Edge) -> Finding:
    what = (
        f"{channel_name(summary, number)} has next to nothing above {hertz(found.frequency)}: the "
        f"density drops by {decibels(found.drop)} there and stays down, at all times. The sample "
        f"rate would carry up to {hertz(summary.rate / 2)}."
    )
    return finding("sharp edge", "harms", "likely", what, whole(number))


def _lower(name: str) -> str:
    return name[0].lower() + name[1:]
