"""Made files through reader, engine and judges; and what was found held against what is true."""

import re

import numpy as np

from calculators.recording.engine import PartCheck
from calculators.recording.expected import Expected
from calculators.recording.findings import Finding, Span
from calculators.recording.judges import judge
from calculators.recording.opening import Recording, open_recording
from calculators.recording.partial import Partial
from calculators.recording.sequence import Sequence, in_sequence
from calculators.recording.settings import Settings
from calculators.recording.source import BytesSource
from calculators.recording.summary import Summary, summarise
from calculators.recording.synthetic import MadeFile
from tests.recording.fault_cases import SECONDS, Case, Truth

ROOM = 2.5
"""Seconds by which a place may be off: a column of one second to either side, and its middle."""


def checked(files: list[MadeFile]) -> tuple[Summary, Sequence]:
    """Every file whole, in one pass."""
    recordings = [open_recording(BytesSource(file.data, file.name)) for file in files]
    sequence = in_sequence(recordings)
    parts = [
        _part(recordings[file.given], index, file.seconds)
        for index, file in enumerate(sequence.files)
    ]
    whole = parts[0]
    for part in parts[1:]:
        whole = whole.merge(part)
    return summarise(whole, [(f.name, f.layout, f.seconds) for f in sequence.files]), sequence


def _part(recording: Recording, index: int, started: float | None) -> Partial:
    layout = recording.layout
    check = PartCheck(layout, Settings(), 0, layout.frames, started, index)
    while (wanted := check.wants()) is not None:
        check.add(np.frombuffer(recording.source.read(*wanted), np.uint8))
    return check.partial()


def findings_of(case: Case, expected: Expected | None = None) -> list[Finding]:
    """What the check says of a case."""
    return judge(*checked(case.files()), expected)


def is_found(truth: Truth, findings: list[Finding]) -> bool:
    """Whether one of the findings is this fault, in its channel and at its place."""
    return any(_same(truth, finding) for finding in findings)


def kind_of(truth: Truth) -> str:
    """The kind of finding that this fault is: hum of 50 Hz and of 60 Hz are of one."""
    return "hum" if truth.kind.startswith("hum") else truth.kind


def _same(truth: Truth, finding: Finding) -> bool:
    kind, _, mains = (
        truth.kind.partition(" ") if truth.kind.startswith("hum") else (truth.kind, "", "")
    )
    if finding.kind != kind or (mains and f"{mains}\u00a0Hz mains" not in finding.what):
        return False
    return any(_there(truth, span) for span in finding.where)


def _there(truth: Truth, span: Span) -> bool:
    if truth.channel is not None and span.channel not in (truth.channel, None):
        return False
    if truth.file is None:
        return True
    if span.file is None:
        return False
    if truth.start is None:
        return span.file == truth.file
    begin = span.file * SECONDS + span.start
    late = begin - truth.file * SECONDS - truth.start
    return -ROOM <= late <= truth.lasts + ROOM


PARTED = re.compile(r"[0-9] (?:dB|%|k?Hz|m?s|min|h|d|m|bits?)(?!\w)")
"""A number with its unit or percent sign, which a line may part from it."""


def alarms(findings: list[Finding]) -> list[Finding]:
    """Findings that say that the recording has been hurt."""
    return [finding for finding in findings if finding.weight != "note"]
