"""Finds runs of equal samples in a chunk."""

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.runs import SHORTEST_CLIPPED, Edge
from calculators.recording.scale import Scale
from calculators.recording.settings import Settings

Inner = tuple[int, float, int, int]
"""A run inside a chunk: channel, value, first frame in the chunk, length."""


def chunk_runs(
    samples: Floats, scale: Scale, settings: Settings
) -> tuple[tuple[Edge, ...], tuple[Edge, ...], list[Inner]]:
    """The runs at the beginning of a chunk, those at its end, and the remarkable ones inside."""
    heads, tails, inner = [], [], []
    shortest = min(settings.shortest_stuck, settings.shortest_zeros)
    for channel, row in enumerate(samples):
        values = np.clip(row, scale.lowest, scale.highest)
        ends = np.append(np.flatnonzero(values[1:] != values[:-1]) + 1, len(values))
        starts = np.append(0, ends[:-1])
        heads.append(Edge(float(values[0]), int(ends[0])))
        tails.append(Edge(float(values[-1]), int(ends[-1] - starts[-1])))
        lengths = (ends - starts)[1:-1]
        starts = starts[1:-1]
        at = values[starts]
        clipped = (at <= scale.lowest) | (at >= scale.highest)
        keep = (lengths >= shortest) | (clipped & (lengths >= SHORTEST_CLIPPED))
        for start, length in zip(starts[keep].tolist(), lengths[keep].tolist(), strict=True):
            inner.append((channel, float(values[start]), start, length))
    return tuple(heads), tuple(tails), inner
