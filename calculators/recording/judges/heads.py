"""What the heads of the files say, and what they hide."""

from collections import defaultdict
from collections.abc import Iterator

from calculators.recording.findings import Finding, Span, Sure, Weight, finding
from calculators.recording.judges.common import counted
from calculators.recording.layout import Fault, FaultKind, Layout
from calculators.recording.summary import Summary

WEIGHTS: dict[FaultKind, Weight] = {
    "header only": "harms",
    "cut short": "harms",
    "never finished": "harms",
    "wrong sizes": "note",
    "zero tail": "harms",
    "damaged": "spoils",
    "odd chunk": "note",
    "stray bytes": "note",
    "start time": "note",
}

SMALL: frozenset[FaultKind] = frozenset({"odd chunk", "stray bytes", "start time"})
"""Faults that change no sample: one kind of finding."""

SAID = 3
"""Faults that are quoted; the rest are counted."""


def judge_heads(summary: Summary) -> Iterator[Finding]:
    """One finding for each kind of fault, whatever the number of files that have it."""
    found: dict[str, list[tuple[int, Fault]]] = defaultdict(list)
    for index, file in enumerate(summary.files):
        for fault in file.layout.faults:
            found["header" if fault.kind in SMALL else fault.kind].append((index, fault))
    for kind, faults in found.items():
        yield _finding(summary, kind, faults)


def _finding(summary: Summary, kind: str, faults: list[tuple[int, Fault]]) -> Finding:
    weight: Weight = min(
        (_weight(summary.files[index].layout, fault) for index, fault in faults),
        key=("spoils", "harms", "note").index,
    )
    quoted = [f"{summary.files[index].name}: {fault.text}" for index, fault in faults[:SAID]]
    more = len(faults) - SAID
    if more > 0:
        quoted.append(f"And {counted(more, 'place', 'places')} more of this kind.")
    where = (_where(summary.files[index].layout, index, fault) for index, fault in faults)
    sure: Sure = "likely" if kind == "zero tail" else "certain"
    return finding(kind, weight, sure, " ".join(quoted), where)


def _weight(layout: Layout, fault: Fault) -> Weight:
    """An incomplete last frame is no loss."""
    whole = layout.promised_frames is None or layout.frames >= layout.promised_frames - 1
    return "note" if fault.kind == "cut short" and whole else WEIGHTS[fault.kind]


def _where(layout: Layout, index: int, fault: Fault) -> Span:
    if fault.kind != "zero tail":
        return Span(index, None, 0.0, layout.seconds)
    start = layout.frames_before_zeros / layout.rate
    return Span(index, None, start, layout.seconds - start)
