"""The report as data, for programs: one structure, with a version that rises when
something changes its meaning.

Levels are dB in the unit that stands beside them, to a hundredth; what has no level is null.
Moments are texts like ``2026-05-08 20:00:00`` by the recorder's own clock where ``clocked``, else
null; lengths are seconds; frequencies hertz; channels count from 1.

==============  ==========================================================================
``format``      "wetside recording report", and ``version``, here 1
``edition``     of the handbook that made it
``title``       of the recording
``verdict``     ``level`` (good, care, fail) and the words
``calibration`` ``level_at_full_scale`` (dB re 1 µPa) with ``lowest`` and ``highest``, or nulls;
                the units of levels and densities; the words
``recording``   rate, channels, length, ``clocked``, start and end, ``gaps``, and each file with
                its start, length, container, encoding and faults
``findings``    one of each channel or file, with the places where it holds; those that share a
                ``number`` are one item of that number in the report for people
``usable``      the rule, what holds throughout, kinds with more places than are listed, and each
                hour with its start, the seconds recorded in it and, channel by channel, the kinds
                of findings that speak against it
``levels``      of each channel: mean square, percentiles, peak, clipped samples, drop-outs
``bands``       decidecades: centres, edges, and for each channel mean and percentiles
``method``      how it was measured, and what is not said
==============  ==========================================================================
"""

from dataclasses import asdict
from typing import Any

import numpy as np

from calculators import EDITION
from calculators.recording.arrays import Floats
from calculators.recording.axes import clock_text
from calculators.recording.findings import Finding, Span
from calculators.recording.method import how_measured, not_said
from calculators.recording.shown import Shown
from calculators.recording.summary import FileMeasures
from calculators.recording.tables import PERCENTS, band_percentiles
from calculators.recording.usable import summed_up, usable
from calculators.recording.verdict import level_of, verdict

FORMAT, VERSION = "wetside recording report", 1

Json = dict[str, Any]


def report_json(shown: Shown) -> Json:
    """The whole report; every number finite."""
    calibration = shown.calibration
    return {
        "format": FORMAT,
        "version": VERSION,
        "edition": EDITION,
        "title": shown.title,
        "verdict": {"level": level_of(shown.findings), "says": verdict(shown)},
        "calibration": {
            "level_at_full_scale": _rounded(calibration.level_at_full_scale),
            "lowest": _rounded(calibration.lowest),
            "highest": _rounded(calibration.highest),
            "level_unit": calibration.level_unit,
            "density_unit": calibration.density_unit,
            "says": calibration.words,
        },
        "recording": _recording(shown),
        "findings": [
            finding_json(shown, finding, number)
            for number, item in enumerate(shown.items, 1)
            for finding in item.findings
        ],
        "usable": _usable(shown),
        "levels": _levels(shown),
        "bands": _bands(shown),
        "method": {"how": how_measured(shown), "not_said": not_said(shown)},
    }


def _recording(shown: Shown) -> Json:
    summary, timeline = shown.summary, shown.timeline
    places = zip(summary.files, timeline.files, strict=True)
    return {
        "rate": summary.rate,
        "channels": summary.channels,
        "frames": summary.frames,
        "seconds": _rounded(summary.seconds, 6),
        "clocked": timeline.clocked,
        "start": _moment(shown, timeline.start),
        "end": _moment(shown, timeline.end),
        "gaps": [
            {"start": _moment(shown, start), "seconds": _rounded(end - start, 3)}
            for start, end in timeline.gaps
        ],
        "files": [_file(shown, file, start) for file, (start, _) in places],
    }


def _file(shown: Shown, file: FileMeasures, start: float) -> Json:
    layout = file.layout
    return {
        "name": file.name,
        "start": _moment(shown, start),
        "seconds": _rounded(layout.seconds, 6),
        "checked_frames": file.frames,
        "container": layout.container,
        "encoding": layout.encoding,
        "faults": [asdict(fault) for fault in layout.faults],
    }


def _moment(shown: Shown, seconds: float) -> str | None:
    return clock_text(seconds) if shown.timeline.clocked else None


def finding_json(shown: Shown, finding: Finding, number: int) -> Json:
    """A finding with its places: file by name, seconds in the file, and by the clock."""
    return {
        "number": number,
        "kind": finding.kind,
        "weight": finding.weight,
        "sure": finding.sure,
        "title": finding.title,
        "what": finding.what,
        "where": [_place(shown, span) for span in finding.where],
        "causes": list(finding.causes),
        "todo": list(finding.todo),
        "page": finding.page,
    }


def _place(shown: Shown, span: Span) -> Json:
    stretch = shown.stretch(span)
    return {
        "file": None if span.file is None else shown.summary.files[span.file].name,
        "channel": None if span.channel is None else span.channel + 1,
        "start_seconds": _rounded(span.start, 6),
        "seconds": _rounded(span.seconds, 6),
        "start": _moment(shown, stretch[0]) if stretch else None,
    }


def _usable(shown: Shown) -> Json:
    found = usable(shown)
    return {
        "says": summed_up(shown, found),
        "hour_seconds": _rounded(found.duration),
        "throughout": [f.kind for f in found.throughout],
        "more_places": list(found.more),
        "hours": [
            {
                "start": _moment(shown, hour.start),
                "seconds_from_start": _rounded(hour.start - found.hours[0].start, 3),
                "seconds_recorded": _rounded(hour.seconds, 3),
                "against": [list(kinds) for kinds in hour.against],
            }
            for hour in found.hours
        ],
    }


def _levels(shown: Shown) -> list[Json]:
    summary, calibration = shown.summary, shown.calibration
    percentiles = {p: summary.levels.percentile(p)[:, -1] + calibration.shift for p in PERCENTS}
    found = []
    for number, channel in enumerate(summary.by_channel):
        ends = np.array([channel.mean_square, max(-channel.lowest, channel.highest) ** 2])
        mean, peak = calibration.level(ends)
        found.append(
            {
                "channel": number + 1,
                "mean_square": _rounded(mean),
                "peak": _rounded(peak),
                "percentiles": {
                    f"{p:g}": _rounded(levels[number]) for p, levels in percentiles.items()
                },
                "clipped_samples": channel.clipped.samples,
                "clipped_runs": channel.clipped.count,
                "drop_out_samples": channel.zeros.samples,
                "constant_part_of_full_scale": _rounded(channel.mean, 7),
            }
        )
    return found


def _bands(shown: Shown) -> Json:
    bands, calibration = shown.summary.bands, shown.calibration
    mean = calibration.level(shown.summary.band_mean_square)
    percentiles = band_percentiles(shown)
    return {
        "unit": calibration.level_unit,
        "centres": _list(bands.centres, 4),
        "lower": _list(bands.lower, 4),
        "upper": _list(bands.upper, 4),
        "channels": [
            {
                "channel": channel + 1,
                "mean": _list(mean[channel]),
                "percentiles": {
                    f"{p:g}": _list(percentiles[n, channel]) for n, p in enumerate(PERCENTS)
                },
            }
            for channel in range(shown.summary.channels)
        ],
    }


def _list(values: Floats, places: int = 2) -> list[float | None]:
    return [_rounded(value, places) for value in values.tolist()]


def _rounded(value: float | None, places: int = 2) -> float | None:
    """A number as JSON has it; null for what is none."""
    if value is None or not np.isfinite(value):
        return None
    return round(float(value), places) + 0.0
