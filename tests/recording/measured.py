"""Recordings in memory, and what the engine makes of them."""

from itertools import pairwise

import numpy as np

from calculators.recording.engine import PartCheck
from calculators.recording.layout import Layout
from calculators.recording.partial import Partial
from calculators.recording.settings import Settings
from calculators.recording.summary import Summary, summarise

RATE = 8000


def int24(samples):
    """Bytes of 24 bit, and their layout, of samples (C, n) in units of full scale."""
    codes = np.clip(np.round(np.asarray(samples) * 2**23), -(2**23), 2**23 - 1).astype("<i4")
    raw = codes.T.reshape(-1).copy().view(np.uint8).reshape(-1, 4)[:, :3]
    return raw.tobytes(), codes.astype(float) / 2**23


def layout(channels, frames, rate=RATE, encoding="int24"):
    """Of bytes without a header."""
    size = {"int16": 2, "int24": 3, "int32": 4, "float32": 4}[encoding]
    return Layout(
        container="WAVE",
        encoding=encoding,
        channels=channels,
        rate=rate,
        data_start=0,
        frames=frames,
        frame_bytes=channels * size,
        promised_frames=frames,
        started=None,
    )


def measured(raw, about, first=0, last=None, *, settings=None, started=0.0, file=0, most=None):
    """What one part gives; ``most`` bytes at a time are added where they end at whole frames."""
    last = about.frames if last is None else last
    check = PartCheck(about, settings or Settings(), first, last, started, file)
    while (wanted := check.wants()) is not None:
        offset, length = wanted
        check.add(memoryview(raw)[offset : offset + length])
    return check.partial()


def in_parts(raw, about, marks, **given):
    """The parts between marks."""
    return [measured(raw, about, first, last, **given) for first, last in pairwise(marks)]


def summary(partial: Partial, about: Layout, files=1) -> Summary:
    """Summary of files of one layout."""
    return summarise(partial, [(f"{file}.wav", about, None) for file in range(files)])


def signal(channels=2, seconds=7.3, rate=RATE, seed=1):
    """Noise, a hum, a click, a drop-out, a clipped stretch."""
    count = int(seconds * rate)
    time = np.arange(count) / rate
    made = 0.05 * np.random.default_rng(seed).standard_normal((channels, count))
    made[0] += 0.02 * np.sin(2 * np.pi * 50 * time) + 0.01
    made[-1, count // 2] = -0.7
    made[:, count // 3 : count // 3 + 300] = 0
    made[0, 2 * count // 3 : 2 * count // 3 + 9] = 1
    return made
