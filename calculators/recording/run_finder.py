"""Finds runs of equal samples in a chunk, without comparing every sample with the next one."""

import numpy as np

from calculators.recording.arrays import Array, Floats
from calculators.recording.runs import SHORTEST_CLIPPED, Edge
from calculators.recording.scale import Scale
from calculators.recording.settings import Settings

GRID = 16
"""Frames from one sample that is compared to the next one."""

MOST_CANDIDATES = 64
"""Places that are looked at one by one; with more of them the whole chunk is."""

Inner = tuple[int, float, int, int]
"""A run inside a chunk: channel, value, first frame in the chunk, length."""


def chunk_runs(
    samples: Floats, step: float, scale: Scale, settings: Settings, at_the_end: Array
) -> tuple[tuple[Edge, ...], tuple[Edge, ...], list[Inner]]:
    """The runs at the beginning of a chunk, those at its end, and the remarkable ones inside.

    Args:
        samples: (C, n), counted in steps.
        step: A step, as a part of full scale.
        scale: Samples beyond its ends count as equal to them.
        settings: How long a run has to be.
        at_the_end: Whether a channel may have a sample at an end of the scale, (C,).
    """
    heads, tails, inner = [], [], []
    scale = Scale(scale.lowest / step, scale.highest / step)
    shortest = min(settings.shortest_stuck, settings.shortest_zeros)
    for channel, row in enumerate(samples):
        values = np.clip(row, scale.lowest, scale.highest) if at_the_end[channel] else row
        heads.append(_edge(values, step))
        tails.append(_edge(values[::-1], step))
        found = []
        if _may_have_run(values, shortest):
            found = _all_runs(values, shortest, scale)
        elif at_the_end[channel]:
            found = _clipped_runs(values, scale)
        inner += [(channel, float(values[start]) * step, start, length) for start, length in found]
    return tuple(heads), tuple(tails), inner


def _edge(values: Floats, step: float) -> Edge:
    """The run with which an array begins."""
    length, looked = len(values), 4
    while True:
        other = np.flatnonzero(values[:looked] != values[0])
        if len(other) or looked >= length:
            return Edge(float(values[0]) * step, int(other[0]) if len(other) else length)
        looked *= 8


def _may_have_run(values: Floats, shortest: int) -> bool:
    """Whether there may be a run of that length: never False if there is one.

    Such a run holds so many samples of a grid; few other places have as many that are equal.
    """
    grid = values[::GRID].copy()  # read from afar once, not twice
    equal = grid[1:] == grid[:-1]
    several = equal
    pairs = shortest // GRID - 1
    for pair in range(1, pairs):
        several = several[: len(equal) - pair] & equal[pair:]
    places = np.flatnonzero(several)
    if not 0 < len(places) <= MOST_CANDIDATES:
        return len(places) > 0
    whole = values[places[:, None] * GRID + np.arange(pairs * GRID)]
    return bool((whole == whole[:, :1]).all(axis=1).any())


def _all_runs(values: Floats, shortest: int, scale: Scale) -> list[tuple[int, int]]:
    """Start and length of the remarkable runs that touch neither end."""
    changes = np.flatnonzero(values[1:] != values[:-1]) + 1
    starts, lengths = changes[:-1], np.diff(changes)
    at = values[starts]
    clipped = (at <= scale.lowest) | (at >= scale.highest)
    keep = (lengths >= shortest) | (clipped & (lengths >= SHORTEST_CLIPPED))
    return list(zip(starts[keep].tolist(), lengths[keep].tolist(), strict=True))


def _clipped_runs(values: Floats, scale: Scale) -> list[tuple[int, int]]:
    """The same of runs at the ends of the scale only."""
    hits = np.flatnonzero((values <= scale.lowest) | (values >= scale.highest))
    if not len(hits):
        return []
    apart = (np.diff(hits) > 1) | (np.diff(values[hits]) != 0)
    firsts = np.concatenate(([0], np.flatnonzero(apart) + 1, [len(hits)]))
    starts, lengths = hits[firsts[:-1]], np.diff(firsts)
    inside = (starts > 0) & (starts + lengths < len(values))
    keep = inside & (lengths >= SHORTEST_CLIPPED)
    return list(zip(starts[keep].tolist(), lengths[keep].tolist(), strict=True))
