"""Summaries that nobody measured: three days, two channels, a day that comes and goes, a gap.

All numbers are invented. They are for pictures and tables, whose shape must not depend on what a
recording holds.
"""

from dataclasses import replace
from datetime import datetime

import numpy as np

from calculators.recording.engine import PartCheck
from calculators.recording.histogram import BINS, Histogram, level_bins
from calculators.recording.layout import Layout
from calculators.recording.settings import Settings
from calculators.recording.summary import Columns, FileMeasures, Hours, Summary, summarise

HOUR, DAY = 3600.0, 86400.0
START = (datetime(2026, 5, 8, 20, 0) - datetime(1970, 1, 1)).total_seconds()


def layout_of(rate, channels, seconds, started=START):
    return Layout(
        container="WAVE",
        encoding="int24",
        channels=channels,
        rate=rate,
        data_start=44,
        frames=round(rate * seconds),
        frame_bytes=3 * channels,
        promised_frames=round(rate * seconds),
        started=started,
    )


def measured_noise(rate=48000, channels=2, seconds=4.0, seed=5):
    """A real summary of a few seconds of made noise: its spectrum is what the others borrow."""
    layout = layout_of(rate, channels, seconds)
    random = np.random.default_rng(seed)
    samples = random.normal(0, 2**15, (layout.frames, channels)).astype("<i4")
    raw = samples[..., np.newaxis].view(np.uint8)[..., :3].tobytes()
    check = PartCheck(layout, Settings(), 0, layout.frames, START)
    while (wanted := check.wants()) is not None:
        at = wanted[0] - layout.data_start
        check.add(memoryview(raw[at : at + wanted[1]]))
    return summarise(check.partial(), [("made.wav", layout, START)])


def long_summary(
    days=3.0, channels=2, rate=48000, clocked=True, gap=True, silent=None, seed=1
) -> Summary:
    """A deployment of many hours, in one file an hour."""
    base = measured_noise(rate, channels)
    random = np.random.default_rng(seed)
    duration = 2.0 ** np.ceil(np.log2(max(days * DAY / 1024, 1)))
    first = np.floor(START / duration) * duration
    columns = _columns(base, random, first, duration, round(days * DAY / duration), gap, silent)
    hours = _hours(base, random, days, silent)
    if not clocked:
        columns = replace(columns, start=columns.start - first)
        hours = replace(hours, start=hours.start - hours.start[0])
    files = tuple(
        FileMeasures(
            f"made-{n:04d}.wav",
            layout_of(rate, channels, HOUR),
            START + n * HOUR if clocked else None,
            rate * 3600,
        )
        for n in range(round(days * 24))
        if not (gap and 30 <= n < 34)
    )
    frames = sum(file.frames for file in files)
    return replace(
        base,
        files=files,
        frames=frames,
        seconds=frames / rate,
        columns=columns,
        hours=hours,
        density=_shaped(base.density, base.frequencies, random),
        low_density=_shaped(base.low_density, base.low_frequencies, random),
        band_mean_square=np.nanmean(columns.bands, axis=-1),
        levels=_levels(columns, random),
    )


def _levels(columns, random):
    """A second for each column, a few decibels about it."""
    together = np.concatenate([columns.bands, columns.mean_square[:, np.newaxis]], axis=1)
    spread = together * 10 ** (random.normal(0, 2, together.shape) / 10)
    bins = level_bins(np.nan_to_num(spread))
    counts = np.zeros((*together.shape[:2], BINS + 2), np.int64)
    for channel, band in np.ndindex(*together.shape[:2]):
        there = ~np.isnan(together[channel, band])
        counts[channel, band] = np.bincount(bins[channel, band][there], minlength=BINS + 2)
    return Histogram(counts)


def _shaped(density, frequencies, random):
    """Louder low down, with a hum line."""
    shape = 1e-9 / (1 + (frequencies / 30.0) ** 1.7)
    hum = 2e-8 * np.exp(-(((frequencies - 50.0) / 1.0) ** 2))
    return (shape + hum) * random.gamma(40, 1 / 40, density.shape)


def _of_day(seconds):
    """Loud at night, as where insects sing: 0 to 1."""
    return 0.5 + 0.5 * np.cos(2 * np.pi * (seconds / DAY - 0.02))


def _columns(base, random, first, duration, count, gap, silent):
    start = first + np.arange(count) * duration
    rows, bands = base.columns.rows, base.bands
    night = _of_day(start)
    covered = np.full(count, duration)
    if gap:
        covered[(start >= START + 30 * HOUR) & (start < START + 34 * HOUR)] = 0
    missing = covered == 0
    channels = base.channels

    def table(frequencies):
        shape = 1e-9 / (1 + (frequencies[:, None] / 30.0) ** 1.7)
        song = 3e-12 * np.exp(-((np.log10(frequencies[:, None] / 6000) / 0.12) ** 2)) * night**4
        noise = random.gamma(8, 1 / 8, (channels, len(frequencies), count))
        made = (shape + song) * noise
        if silent is not None:
            made[silent] = 0
        made[..., missing] = np.nan
        return made

    density = table(rows.centres)
    in_bands = table(bands.centres) * (bands.upper - bands.lower)[:, None]
    mean_square = in_bands.sum(axis=1)
    return Columns(
        start=start,
        duration=float(duration),
        seconds_covered=covered,
        rows=rows,
        density=density,
        bands=in_bands,
        mean=np.where(missing, np.nan, np.full((channels, count), 1e-4)),
        mean_square=mean_square,
        peak=np.sqrt(mean_square) * random.uniform(4, 9, mean_square.shape),
        clipped=np.zeros((channels, count), np.int64),
        zeros=np.zeros((channels, count), np.int64),
        octaves=base.columns.octaves,
        low_mean_square=np.ones((channels, len(base.columns.octaves) - 1, count)),
        coherence=np.ones((channels // 2, len(base.columns.octaves) - 1, count)),
        averages=np.ones((len(base.columns.octaves) - 1, count)),
    )


def _hours(base, random, days, silent):
    start = np.floor(START / HOUR) * HOUR + np.arange(round(days * 24)) * HOUR
    centres = base.bands.centres[:, None]
    song = np.exp(-((np.log10(centres / 6000) / 0.12) ** 2)) * _of_day(start) ** 4
    made = (1e-9 + 1e-7 * song) * random.gamma(8, 1 / 8, (base.channels, len(centres), len(start)))
    made[..., 30:34] = np.nan
    if silent is not None:
        made[silent] = 0
    covered = np.where(np.isnan(made[0, 0]), 0.0, HOUR)
    return Hours(start, HOUR, covered, made, made.sum(axis=1))
