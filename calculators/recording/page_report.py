"""What a page shows of a check: the files, and the report, as texts and pictures in JSON."""

import json
from collections.abc import Sequence
from pathlib import PurePath
from typing import Any

from calculators.errors import InputError
from calculators.recording.axes import clock_text, length_text
from calculators.recording.calibration import (
    Calibration,
    calibration_from_rig,
    calibration_from_sensitivity,
)
from calculators.recording.charts import NARROWEST, WIDEST, charts_of, draw
from calculators.recording.deployment import Deployment, deployment_of
from calculators.recording.expected import Expected, expected_of_rig
from calculators.recording.findings import Item, Span, ordered
from calculators.recording.hearing import Sound
from calculators.recording.judges import judge
from calculators.recording.layout import format_words
from calculators.recording.method import how_measured, not_said
from calculators.recording.partial import Partial
from calculators.recording.quantity import quantity
from calculators.recording.report import place_words, report_html
from calculators.recording.report_data import report_json
from calculators.recording.shown import Shown
from calculators.recording.source import Source
from calculators.recording.summary import summarise
from calculators.recording.svg import alone
from calculators.recording.tables import TABLES, channel_heads, level_rows
from calculators.recording.usable import DAY_HEADS, by_day, summed_up, usable
from calculators.recording.verdict import SURE_WORDS, WEIGHT_WORDS, level_of, verdict
from calculators.rig.reading import read_rig
from calculators.units import with_unit

Json = dict[str, Any]

BEFORE, LENGTH = 1.0, 5.0
"""Seconds that are heard of a place: from so much before it, for so long at least."""

PICTURE_NAMES = {
    "files": "Files over time",
    "time": "Level over time",
    "spectrogram": "Spectrogram",
    "spectrum": "Spectrum",
    "bands": "Bands",
    "days": "Hours of the days",
}

EXPORTS = {"csv": "text/csv", "json": "application/json", "html": "text/html"}


class Sheet:
    """The files of one deployment in their order, and what can be said of them."""

    def __init__(self, sources: Sequence[Source]) -> None:
        """Open the files.

        Raises:
            InputError: If none of them is a recording that can be read.
        """
        self.deployment: Deployment = deployment_of(sources)
        self.timeline = self.deployment.timeline
        self._expected: dict[str, Expected] = {}

    def started(self, file: int) -> float:
        """Where a file begins on the axis of time."""
        return self.timeline.files[file][0]

    def opened(self) -> Json:
        """The files, before anything of their sound is known."""
        files = self.deployment.sequence.files
        first = files[0].layout
        seconds = sum(file.layout.seconds for file in files)
        return {
            "words": f"{_counted(len(files), 'file')}, {length_text(seconds)} of sound, "
            f"{format_words(first)}.",
            "frames": sum(file.layout.frames for file in files),
            "channels": first.channels,
            "order": list(self.deployment.given),
            "files": [
                {
                    "name": file.name,
                    "format": format_words(file.layout),
                    "length": length_text(file.layout.seconds),
                    "started": "" if file.seconds is None else clock_text(file.seconds),
                    "faults": [fault.text for fault in file.layout.faults],
                }
                for file in files
            ],
            "refused": [f.what for f in self.deployment.findings],
        }

    def report(self, found: Partial, level: Json | None, width: float) -> Json:
        """What is known so far.

        Args:
            found: What was measured so far.
            level: What full scale stands for: ``{"sensitivity": text}``, ``{"rig": text of its
                file}``, or None.
            width: CSS pixels that pictures are drawn for.

        Raises:
            InputError: If the sensitivity or the rig cannot be read.
        """
        shown = self._shown(found, level)
        drawn_for = min(max(width, NARROWEST), WIDEST)
        return {
            "headline": verdict(shown),
            "level": level_of(shown.findings),
            "basis": self._basis(found),
            "levels": shown.calibration.words,
            "findings": [_finding(shown, item) for item in shown.items],
            "facts": self._facts(shown),
            "pictures": [
                {
                    "name": name,
                    "title": PICTURE_NAMES[name],
                    "svg": [draw(name, shown, drawn_for)],
                }
                for name in charts_of(shown)
            ],
            "tables": [_levels(shown), _usable(shown)],
            "method": [*how_measured(shown), *not_said(shown)],
        }

    def export(self, found: Partial, level: Json | None, kind: str, handbook: str) -> Json:
        """The report as files: one page, data, or tables, called after the first recording.

        Args:
            found: What was measured so far.
            level: As for ``report``.
            kind: One of ``EXPORTS``.
            handbook: Address of the handbook, for the links of the page.

        Raises:
            InputError: As ``report``, or if there is no such kind.
        """
        if kind not in EXPORTS:
            raise InputError("kind", f"“{kind}” is none of {', '.join(EXPORTS)}.")
        shown = self._shown(found, level)
        if kind == "csv":
            made = {name: table(shown) for name, table in TABLES.items()}
        elif kind == "json":
            made = {"report": json.dumps(report_json(shown), ensure_ascii=False, indent=1)}
        else:
            made = {"report": report_html(shown, handbook)}
        stem = PurePath(self.deployment.sequence.files[0].name).stem
        return {
            "files": [
                {"name": f"{stem}-{name}.{kind}", "type": EXPORTS[kind], "text": text}
                for name, text in made.items()
            ]
        }

    def picture(self, found: Partial, level: Json | None, name: str, width: float) -> Json:
        """A picture as a file of its own."""
        shown = self._shown(found, level)
        return {"svg": alone(draw(name, shown, min(max(width, NARROWEST), WIDEST)))}

    def moment_at(self, seconds: float) -> Json:
        """The moment that lies at this place on the axis of time.

        Raises:
            InputError: If nothing was recorded then.
        """
        for file, (start, end) in enumerate(self.timeline.files):
            if start <= seconds < end:
                at = seconds - start
                length = min(LENGTH, end - seconds)
                return _heard_from(file, at, length, None)
        raise InputError("start", "Nothing was recorded at that moment: it lies between two files.")

    def _shown(self, found: Partial, level: Json | None) -> Shown:
        deployment = self.deployment.with_left_out(found)
        summary = summarise(found, deployment.files)
        calibration, expected = self._calibration(level)
        judged = judge(summary, deployment.sequence, expected)
        findings = ordered([*deployment.findings, *judged])
        return Shown(summary, calibration, findings, expected, self._title())

    def _title(self) -> str:
        files = self.deployment.sequence.files
        return files[0].name if len(files) == 1 else f"{files[0].name} to {files[-1].name}"

    def _calibration(self, level: Json | None) -> tuple[Calibration, Expected | None]:
        if level is None:
            return Calibration(), None
        if "sensitivity" in level:
            return calibration_from_sensitivity(level["sensitivity"], "sensitivity"), None
        text = level["rig"]
        if text not in self._expected:
            self._expected = {text: expected_of_rig(read_rig(text))}
        expected = self._expected[text]
        return calibration_from_rig(expected), expected

    def _basis(self, found: Partial) -> str:
        """How much of the recording this is from."""
        frames = sum(file.layout.frames for file in self.deployment.sequence.files)
        if found.frames >= frames:
            return "From every sample of the recording."
        if found.frames + found.frames_left_out >= frames:
            lost = found.frames_left_out / found.rate
            words = f"{quantity(lost, 's')} are damaged and left out"
            return f"From every sample that can be had: {words}."
        seconds = length_text(round(found.frames / found.rate))
        of_all = length_text(round(frames / found.rate))
        pieces = len(found.stretches)
        if pieces == 1:
            return f"So far: from the first {seconds} of {of_all}. It fills up."
        return f"So far: from {seconds} in {pieces} pieces all over {of_all}. It fills up."

    def _facts(self, shown: Shown) -> list[tuple[str, str]]:
        timeline, summary = self.timeline, shown.summary
        times = (
            [("From", clock_text(timeline.start)), ("To", clock_text(timeline.end))]
            if timeline.clocked
            else [("Time", "The files do not say when they were made")]
        )
        gaps = sum(end - start for start, end in timeline.gaps)
        return [
            ("Files", f"{len(summary.files)}"),
            ("Sound", length_text(sum(f.layout.seconds for f in summary.files))),
            ("Format", format_words(summary.files[0].layout)),
            *times,
            *([("Missing between files", length_text(gaps))] if gaps else []),
        ]


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def _finding(shown: Shown, item: Item) -> Json:
    found = item.first
    return {
        "kind": found.kind,
        "weight": found.weight,
        "weight_words": WEIGHT_WORDS[found.weight],
        "sure": SURE_WORDS[found.sure],
        "title": found.title,
        "what": list(item.says),
        "where": [
            {"words": place_words(shown, span), "at": _moment(shown, span)} for span in item.where
        ],
        "causes": list(found.causes),
        "todo": list(found.todo),
        "page": found.page,
    }


def _moment(shown: Shown, span: Span) -> Json | None:
    """What is heard of a place: a little before it, and some seconds; None where it is all."""
    stretch = shown.stretch(span)
    if stretch is None or span.seconds <= 0:
        return None
    for file, (start, end) in enumerate(shown.timeline.files):
        if start <= stretch[0] < end:
            at = max(0.0, stretch[0] - start - BEFORE)
            length = min(max(LENGTH, min(span.seconds, 2 * LENGTH)), end - start - at)
            return _heard_from(file, at, length, span.channel)
    return None


def _heard_from(file: int, start: float, seconds: float, channel: int | None) -> Json:
    return {
        "file": file,
        "start": round(start, 3),
        "seconds": max(round(seconds, 3), 0.001),
        "channel": channel,
    }


def _usable(shown: Shown) -> Json:
    found = usable(shown)
    return {
        "name": "usable",
        "title": "Which hours to use",
        "notes": summed_up(shown, found),
        "head": list(DAY_HEADS),
        "rows": [[day, *cells] for day, cells in by_day(shown, found)],
    }


def _levels(shown: Shown) -> Json:
    return {
        "name": "levels",
        "title": "Levels of each channel",
        "notes": [],
        "head": ["", *channel_heads(shown)],
        "rows": [[words, *cells] for words, cells in level_rows(shown)],
    }


def heard_words(name: str, start: float, sound: Sound) -> str:
    """What is being played, and what was done to it."""
    seconds = sound.samples.shape[1] / sound.rate
    said = [f"{name}, from {_tenths(start)} on: {_tenths(seconds)} of sound"]
    if sound.raised:
        said.append(f"{quantity(round(sound.raised), 'dB')} louder")
    if sound.limited >= 0.5:
        held = quantity(round(sound.limited), "dB")
        said.append(f"its loudest moment held down by {held}")
    return f"{', '.join(said)}."


def _tenths(seconds: float) -> str:
    return with_unit(f"{seconds:.1f}", "s")
