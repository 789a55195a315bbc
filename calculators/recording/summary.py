"""What was measured of a deployment, ready to be judged, drawn and written down.

All in units of full scale: 1 is the largest sample of the file. A level in dB re full scale here
is 10 log₁₀ of a mean square, so a sine that just fills the scale has −3.01 dB.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from calculators.recording.arrays import Array, Complexes, Counts, Floats
from calculators.recording.bands import Bands, banded
from calculators.recording.grid import TimeGrid
from calculators.recording.histogram import Histogram
from calculators.recording.layout import Layout
from calculators.recording.measures import (
    CEILING_LOWEST,
    CEILING_STEP,
    CEILINGS,
    Measures,
    measures_of,
)
from calculators.recording.packing import refused
from calculators.recording.partial import Partial
from calculators.recording.places import Place, Runs
from calculators.recording.settings import Settings


@dataclass(frozen=True)
class FileMeasures:
    """One file of the deployment."""

    name: str
    layout: Layout
    started: float | None
    """Seconds since 1970-01-01; None without a clock."""

    frames: int
    """Frames that were checked."""


@dataclass(frozen=True)
class Columns:
    """What went on over time, in T columns of one duration.

    Where a column has no frames (``seconds_covered`` is 0), or none of one kind, its numbers of
    that kind are NaN: nothing was measured there. Counts are 0 there.
    """

    start: Floats
    """Seconds on the time axis, (T,): since 1970, or since the start of the sequence."""

    duration: float
    """Seconds."""

    seconds_covered: Floats
    """(T,)"""

    rows: Bands
    """Rows of the spectrogram: quarters of the decidecade bands, (R,)."""

    density: Floats
    """Mean-square spectral density, FS²/Hz, (C, R, T)."""

    bands: Floats
    """Mean square in the decidecade bands, FS², (C, K, T)."""

    mean: Floats
    """(C, T)"""

    mean_square: Floats
    """Mean square with the mean taken out, FS², (C, T)."""

    peak: Floats
    """The largest sample without its sign, of the blocks of 512 frames that begin in it, (C, T)."""

    clipped: Counts
    """Clipped samples, (C, T)."""

    zeros: Counts
    """Samples in drop-outs, (C, T)."""

    octaves: Floats
    """Edges of octaves of the low band, Hz, (G + 1,)."""

    low_mean_square: Floats
    """Mean square in these octaves, FS², (C, G, T)."""

    coherence: Floats
    """Magnitude-squared coherence of each pair of channels in these octaves, (P, G, T).

    It is |Σ S₁₂|² / (Σ S₁₁ · Σ S₂₂), summed over the lines and segments of an octave and column,
    so it stays high only where both channels hear the same at the same time. Independent noise
    has about ``1 / averages``.
    """

    averages: Floats
    """Lines times segments of an octave and column, (G, T), halved for their overlap."""


@dataclass(frozen=True)
class Hours:
    """Levels by the hour, whole hours of the time axis, H of them."""

    start: Floats
    """Seconds on the time axis, (H,)."""

    duration: float
    """3600 s; longer in deployments of more than a year."""

    seconds_covered: Floats
    """(H,)"""

    bands: Floats
    """Mean square in the decidecade bands, FS², (C, K, H); NaN where nothing was measured."""

    mean_square: Floats
    """Mean square of all, with the mean taken out, FS², (C, H)."""


@dataclass(frozen=True)
class ChannelMeasures:
    """One channel of the whole deployment."""

    mean: float
    mean_square: float
    """With the mean taken out; FS²."""

    lowest: float
    lowest_at: Place | None
    highest: float
    highest_at: Place | None
    clipped: Runs
    """Two and more successive samples at the end of the scale."""

    zeros: Runs
    """Drop-outs: ``Settings.shortest_zeros`` and more samples of exactly zero."""

    stuck: Runs
    """``Settings.shortest_stuck`` and more samples of one value, neither zero nor clipped."""

    not_finite: int
    """Samples of a floating-point file that are no number. They were taken as zero."""

    ceiling: Counts
    """How many blocks have their highest sample (0) and their lowest one (1) at which level,
    (2, E + 2), by ``Summary.ceiling_edges``: the first is below these, the last at full scale."""


@dataclass(frozen=True)
class PairMeasures:
    """Two channels, 0 and 1, 2 and 3, and so on."""

    channels: tuple[int, int]
    varied_frames: int
    """Frames in blocks in which neither channel is constant."""

    equal_frames: int
    """Those of them in blocks in which both channels are the same, sample for sample."""

    opposite_frames: int
    """Those of them in blocks in which one is minus the other, sample for sample."""

    correlation: float
    """Correlation coefficient of all samples, −1 to 1; NaN if a channel is constant."""


@dataclass(frozen=True)
class Summary:
    """All that was measured: C channels, P pairs of them."""

    settings: Settings
    files: tuple[FileMeasures, ...]
    rate: int
    channels: int
    frames: int
    """Frames that were checked."""

    seconds: float

    frequencies: Floats
    """Hz, (B,)."""

    density: Floats
    """Mean-square spectral density, FS²/Hz, one-sided, (C, B)."""

    segments: int
    """Segments that were averaged."""

    low_frequencies: Floats
    """Hz, at most 1 Hz apart, (L,)."""

    low_density: Floats
    """The same as ``density``, (C, L)."""

    low_cross: Complexes
    """Cross-spectral density of each pair, the first times the conjugate of the second, (P, L)."""

    low_segments: int
    low_log_density: Floats
    """Mean of the natural logarithms of the segments' densities, (C, L): what is always there
    stands out of it, however loud a moment was. Of noise it lies 0.577 below the logarithm of the
    mean."""

    low_log_segments: Counts
    """Segments of that mean, by channel, (C,): those that are not silent."""

    bands: Bands
    """Decidecade bands, those wholly inside the spectrum, (K,)."""

    band_mean_square: Floats
    """FS², (C, K)."""

    levels: Histogram
    """Levels of slices of one second: of the K bands, and of all together as the last."""

    columns: Columns
    hours: Hours
    ceiling_edges: Floats
    """Lower and upper edges of the steps of ``ChannelMeasures.ceiling``, FS, (E + 1,)."""

    repeats: Runs
    """Stretches in which all channels are, sample for sample, what they were shortly before.

    A place is where they come again: the second time of a buffer that was written twice."""

    by_channel: tuple[ChannelMeasures, ...]
    by_pair: tuple[PairMeasures, ...]


def summarise(partial: Partial, files: Sequence[tuple[str, Layout, float | None]]) -> Summary:
    """A partial result as it is judged and shown.

    Args:
        partial: Of all parts together.
        files: Name, layout and start of each file, by the index used in the partial result.

    Raises:
        RecordingError: If there is a file in the result that ``files`` does not name.
    """
    if any(file >= len(files) for file in partial.starts):
        raise refused(f"It has a file {max(partial.starts)}, but {len(files)} are named.")
    done = partial.finished()
    measures = measures_of(done.settings, done.rate, done.channels)
    sums = done.sums
    return Summary(
        settings=done.settings,
        files=tuple(_file(done, index, *about) for index, about in enumerate(files)),
        rate=done.rate,
        channels=done.channels,
        frames=done.frames,
        seconds=done.frames / done.rate,
        frequencies=measures.geometry.frequencies,
        density=_mean(sums.density, sums.segments),
        segments=int(sums.segments),
        low_frequencies=measures.geometry.low_frequencies,
        low_density=_mean(sums.low_density, sums.low_segments),
        low_cross=_mean(sums.low_cross, sums.low_segments),
        low_segments=int(sums.low_segments),
        low_log_density=_mean(sums.low_log, sums.low_log_segments[:, None]),
        low_log_segments=sums.low_log_segments,
        bands=measures.scheme.bands,
        band_mean_square=_all_bands(done, measures),
        levels=Histogram(sums.levels),
        columns=_columns(done.columns, measures),
        hours=_hours(done.hours, measures),
        ceiling_edges=10 ** ((CEILING_LOWEST + CEILING_STEP * np.arange(CEILINGS + 1)) / 20),
        repeats=done.tallies["repeats"][0].runs(),
        by_channel=tuple(_channel(done, channel) for channel in range(done.channels)),
        by_pair=tuple(_pair(done, pair) for pair in range(measures.pairs)),
    )


def _file(
    partial: Partial, index: int, name: str, layout: Layout, started: float | None
) -> FileMeasures:
    frames = sum(stretch.frames for stretch in partial.stretches if stretch.file == index)
    return FileMeasures(name, layout, started, frames)


def _mean(total: Array, count: Array) -> Array:
    """Sums over a count; NaN where there is nothing."""
    with np.errstate(divide="ignore", invalid="ignore"):
        mean: Array = np.where(count > 0, total / count, np.nan)
    return mean


def _last(array: Array) -> Array:
    """Time from the first axis to the last one."""
    return np.moveaxis(array, 0, -1)


def _both(low: Floats, low_count: Counts, high: Floats, high_count: Counts) -> Floats:
    """Bands of the low band and those above it, each over its own number of segments, (C, K, T)."""
    parts = (_mean(_last(low), low_count), _mean(_last(high), high_count))
    return np.concatenate(parts, axis=1)


def _all_bands(partial: Partial, measures: Measures) -> Floats:
    sums, scheme, geometry = partial.sums, measures.scheme, measures.geometry
    low = scheme.low.power(_mean(sums.low_density, sums.low_segments))
    high = scheme.high.power(_mean(sums.density, sums.segments))
    parts = (low * geometry.low_frequencies[1], high * geometry.frequencies[1])
    return banded(np.concatenate(parts, axis=1))


def _columns(grid: TimeGrid, measures: Measures) -> Columns:
    found, rows = grid.fields, measures.scheme.rows
    segments, low_segments = found["segments"], found["low_segments"]
    octaves = _last(found["octaves"])
    power = _both(found["rows_low"], low_segments, found["rows_high"], segments)
    return Columns(
        start=_starts(grid),
        duration=float(grid.duration),
        seconds_covered=found["frames"] / measures.rate,
        rows=rows,
        density=power / (rows.upper - rows.lower)[:, None],
        bands=banded(power, axis=1),
        mean=_mean(_last(found["total"]), found["frames"]),
        mean_square=_variance(found),
        peak=np.where(found["frames"] > 0, _last(found["peak"]), np.nan),
        clipped=_last(found["clipped"]),
        zeros=_last(found["zeros"]),
        octaves=measures.octaves,
        low_mean_square=_mean(octaves, low_segments),
        coherence=_coherence(octaves, _last(found["octaves_cross"])),
        averages=_averages(measures, low_segments),
    )


def _hours(grid: TimeGrid, measures: Measures) -> Hours:
    found = grid.fields
    return Hours(
        start=_starts(grid),
        duration=float(grid.duration),
        seconds_covered=found["frames"] / measures.rate,
        bands=_both(
            found["bands_low"], found["low_segments"], found["bands_high"], found["segments"]
        ),
        mean_square=_variance(found),
    )


def _starts(grid: TimeGrid) -> Floats:
    return (grid.first + np.arange(grid.count)) * float(grid.duration)


def _variance(found: dict[str, Array]) -> Floats:
    mean = _mean(_last(found["total"]), found["frames"])
    variance: Floats = np.maximum(_mean(_last(found["squares"]), found["frames"]) - mean**2, 0)
    return variance


def _coherence(octaves: Floats, cross: Complexes) -> Floats:
    pairs = len(cross)
    power = octaves[0 : 2 * pairs : 2] * octaves[1 : 2 * pairs : 2]
    with np.errstate(divide="ignore", invalid="ignore"):
        coherence: Floats = np.where(power > 0, np.abs(cross) ** 2 / power, np.nan)
    return coherence


def _averages(measures: Measures, low_segments: Counts) -> Floats:
    lines = np.diff(measures.octaves) / measures.geometry.low_frequencies[1]
    averages: Floats = lines[:, None] * low_segments / 2
    return averages


def _channel(partial: Partial, channel: int) -> ChannelMeasures:
    sums, extremes = partial.sums, partial.extremes
    frames = max(int(sums.frames), 1)
    mean = float(sums.total[channel]) / frames
    lowest, highest = (
        Place(int(file), int(frame)) if sums.frames else None
        for file, frame in extremes.places[:, channel]
    )
    return ChannelMeasures(
        mean=mean,
        mean_square=max(float(sums.squares[channel]) / frames - mean**2, 0.0),
        lowest=float(extremes.values[0, channel]),
        lowest_at=lowest,
        highest=float(extremes.values[1, channel]),
        highest_at=highest,
        clipped=partial.tallies["clipped"][channel].runs(),
        zeros=partial.tallies["zeros"][channel].runs(),
        stuck=partial.tallies["stuck"][channel].runs(),
        not_finite=int(sums.not_finite[channel]),
        ceiling=sums.ceiling[channel],
    )


def _pair(partial: Partial, pair: int) -> PairMeasures:
    sums = partial.sums
    one, two = 2 * pair, 2 * pair + 1
    frames = max(int(sums.frames), 1)
    means, squares = sums.total / frames, sums.squares / frames
    both = (squares[one] - means[one] ** 2) * (squares[two] - means[two] ** 2)
    product = sums.products[pair] / frames - means[one] * means[two]
    return PairMeasures(
        channels=(one, two),
        varied_frames=int(sums.varied[pair]),
        equal_frames=int(sums.equal[pair]),
        opposite_frames=int(sums.opposite[pair]),
        correlation=float(product / np.sqrt(both)) if both > 0 else float("nan"),
    )
