"""What was measured as tables: comma-separated values with the units and the method above them.

Lines that begin with ``#`` say what the numbers are; the first line without it names the columns.
An empty cell is one for which there is no number: nothing was measured, or nothing but zeros.
"""

import csv
import io
from collections.abc import Callable, Iterable, Sequence

import numpy as np

from calculators import EDITION
from calculators.recording.arrays import Floats
from calculators.recording.axes import clock_text, length_text
from calculators.recording.calibration import level_text
from calculators.recording.findings import Span
from calculators.recording.method import how_measured
from calculators.recording.panels import channel_name
from calculators.recording.shown import Shown
from calculators.recording.usable import summed_up, usable
from calculators.units import format_whole

PERCENTS = (1.0, 5.0, 10.0, 25.0, 50.0, 75.0, 90.0, 95.0, 99.0)
"""Percentiles that the table of bands has."""

MOST_NAMES = 20
"""Files named above a table; the report names them all."""

Row = Sequence[object]


def spectrum_csv(shown: Shown) -> str:
    """Spectral density: the fine lines of the low band, then those of the whole spectrum."""
    summary, calibration = shown.summary, shown.calibration
    unit = calibration.density_unit
    head = ["frequency_Hz", "line_spacing_Hz", *(f"{name}_dB" for name in _names(shown))]
    parts = (
        (summary.low_frequencies, summary.low_density),
        (summary.frequencies, summary.density),
    )
    rows = (
        [_number(frequency), _number(lines[1]), *map(_level, of_line)]
        for lines, density in parts
        for frequency, of_line in zip(lines, calibration.level(density).T, strict=True)
    )
    return _table(shown, f"{calibration.density_name}, {unit}", head, rows)


def bands_csv(shown: Shown) -> str:
    """Decidecade band levels of each channel: mean, and percentiles of the seconds."""
    bands, calibration = shown.summary.bands, shown.calibration
    mean = calibration.level(shown.summary.band_mean_square)
    percentiles = band_percentiles(shown)
    head = ["centre_Hz", "lower_Hz", "upper_Hz"]
    head += [
        f"{name}_{what}_dB" for name in _names(shown) for what in ("mean", *map(_percent, PERCENTS))
    ]
    rows = []
    for band, edges in enumerate(zip(bands.centres, bands.lower, bands.upper, strict=True)):
        levels = np.concatenate([mean[:, band : band + 1], percentiles[:, :, band].T], axis=1)
        rows.append([*map(_number, edges), *map(_level, levels.ravel())])
    title = f"{calibration.level_name} in decidecade bands, {calibration.level_unit}"
    return _table(shown, title, head, rows)


def band_percentiles(shown: Shown) -> Floats:
    """Levels of bands that so many per cent of the seconds do not exceed, (percents, C, K)."""
    levels = np.stack([shown.summary.levels.percentile(percent) for percent in PERCENTS])
    found: Floats = levels[..., : len(shown.summary.bands.centres)] + shown.calibration.shift
    return found


def _percent(percent: float) -> str:
    return f"p{percent:g}"


def levels_csv(shown: Shown) -> str:
    """Levels over time: mean square and peak of each column, and what was clipped in it."""
    columns, calibration = shown.summary.columns, shown.calibration
    clocked = shown.timeline.clocked
    mean, peak = calibration.level(columns.mean_square), calibration.peak_level(columns.peak)
    head = ["start_by_recorder_clock" if clocked else "start_s", "seconds_recorded"]
    for name in _names(shown):
        head += [f"{name}_mean_dB", f"{name}_peak_dB", f"{name}_clipped_samples"]
    rows = []
    for n, start in enumerate(columns.start):
        row: list[object] = [
            clock_text(start) if clocked else _number(start),
            _number(columns.seconds_covered[n]),
        ]
        for channel in range(shown.summary.channels):
            clipped = int(columns.clipped[channel, n])
            row += [_level(mean[channel, n]), _level(peak[channel, n]), clipped]
        rows.append(row)
    title = (
        f"{calibration.level_name} of all frequencies and {calibration.peak_name.lower()}, "
        f"{calibration.level_unit}, in columns of {length_text(columns.duration)}"
    )
    return _table(shown, title, head, rows)


def findings_csv(shown: Shown) -> str:
    """What was found: a row for each place of a finding; those of one number are told together."""
    head = ["number", "weight", "sure", "kind", "title", "what", "file", "channel"]
    head += ["start_s", "seconds", "handbook"]
    rows = [
        [number, f.weight, f.sure, f.kind, f.title, f.what, *_place(shown, span), f.page]
        for number, item in enumerate(shown.items, 1)
        for f in item.findings
        for span in (f.where or (Span(None, None, 0.0, 0.0),))
    ]
    return _table(shown, "Findings; an empty place is all of the recording", head, rows)


def _place(shown: Shown, span: Span) -> list[object]:
    """File, channel from 1, start in the file (or in the whole recording) and length."""
    file = "" if span.file is None else shown.summary.files[span.file].name
    channel = "" if span.channel is None else span.channel + 1
    whole = span.seconds <= 0 and span.start <= 0
    times = ["", ""] if whole else [_number(span.start), _number(span.seconds)]
    return [_cell(file), channel, *times]


def usable_csv(shown: Shown) -> str:
    """Hour by hour what speaks against it, for saying what was left out."""
    found = usable(shown)
    clocked = shown.timeline.clocked
    head = ["start_by_recorder_clock" if clocked else "start_s", "seconds_recorded", "free"]
    head += [f"{name}_against" for name in _names(shown)]
    rows = [
        [
            clock_text(hour.start) if clocked else _number(hour.start),
            _number(hour.seconds),
            "yes" if hour.free else "no",
            *("; ".join(kinds) for kinds in hour.against),
        ]
        for hour in found.hours
    ]
    return _table(shown, f"Hours to use. {' '.join(summed_up(shown, found))}", head, rows)


TABLES: dict[str, Callable[[Shown], str]] = {
    "spectrum": spectrum_csv,
    "bands": bands_csv,
    "levels": levels_csv,
    "findings": findings_csv,
    "usable": usable_csv,
}
"""By name, which is that of the file too."""


def _table(shown: Shown, title: str, head: Sequence[str], rows: Iterable[Row]) -> str:
    out = io.StringIO()
    for line in (title, *_basis(shown)):
        out.write(f"# {' '.join(line.split())}\n")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(head)
    writer.writerows(rows)
    return out.getvalue()


def _basis(shown: Shown) -> list[str]:
    """What stands above every table."""
    files = shown.summary.files
    names = [file.name for file in files[:MOST_NAMES]]
    more = f" and {len(files) - MOST_NAMES} more" if len(files) > MOST_NAMES else ""
    return [
        f"Recording: {shown.title}; {len(files)} files: {', '.join(names)}{more}",
        f"{shown.summary.rate} Hz, {shown.summary.channels} channels, "
        f"{length_text(shown.summary.seconds)} of sound",
        shown.calibration.words,
        *how_measured(shown),
        f"Recording check of the handbook's edition {EDITION}",
    ]


def _names(shown: Shown) -> list[str]:
    """Channels as they begin the name of a column."""
    return [f"channel_{channel + 1}" for channel in range(shown.summary.channels)]


def _number(value: float) -> str:
    return f"{value:.6g}"


def _level(level: float) -> str:
    """A level to a hundredth of a decibel; nothing where there is none."""
    return f"{level:.2f}" if np.isfinite(level) else ""


def _cell(text: str) -> str:
    """A text that no spreadsheet takes for a formula."""
    return f"'{text}" if text[:1] in {"=", "+", "-", "@", "\t", "\r"} else text


def level_rows(shown: Shown) -> list[tuple[str, list[str]]]:
    """The table of levels for readers: what it is, and a text for each channel."""
    summary, calibration = shown.summary, shown.calibration
    together = np.stack([summary.levels.percentile(p)[:, -1] for p in (5.0, 50.0, 95.0)])
    channels = summary.by_channel
    mean = calibration.level(np.array([c.mean_square for c in channels]))
    peak = calibration.peak_level(np.array([max(-c.lowest, c.highest) for c in channels]))
    unit = calibration.level_unit
    rows = [(f"{calibration.level_name} of the whole time, all frequencies, {unit}", mean)]
    rows += [
        (f"{words}, all bands together, {unit}", levels + calibration.shift)
        for words, levels in zip(
            ("5th percentile of the seconds", "median of the seconds", "95th percentile"),
            together,
            strict=True,
        )
    ]
    rows.append((f"{calibration.peak_name}, {unit}", peak))
    said = [(words, [_level_words(level) for level in levels]) for words, levels in rows]
    return [
        *said,
        ("Clipped samples", [format_whole(c.clipped.samples) for c in channels]),
        ("Samples in drop-outs", [format_whole(c.zeros.samples) for c in channels]),
        ("Constant part of the samples, % of full scale", [_offset(c.mean) for c in channels]),
    ]


def _offset(mean: float) -> str:
    return level_text(100 * mean, 3)


def _level_words(level: float) -> str:
    return level_text(level) if np.isfinite(level) else "nothing but zeros"


def channel_heads(shown: Shown) -> list[str]:
    """What the channels are called above a table."""
    channels = shown.summary.channels
    return [channel_name(n, channels) or "Recording" for n in range(channels)]
