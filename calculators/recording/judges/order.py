"""The files as a sequence: gaps, overlaps, copies, what is missing."""

from collections.abc import Iterator
from statistics import median

from calculators.recording.expected import Expected
from calculators.recording.findings import Finding, Span, Sure, Weight, finding
from calculators.recording.judges.common import counted, seconds_text
from calculators.recording.sequence import Joint, NoteKind, Sequence

SWITCHING = 2.0
"""Seconds that a recorder may take to change files (common practice, no source): such gaps are
the recorder's way, longer ones are a loss."""

LOST = 0.01
"""Part of the recording that may be lost in such gaps before it counts."""

REGULAR = 0.6
"""Part of the distances between starts that must be the same for a schedule with pauses."""

NOTES: dict[NoteKind, tuple[str, Weight]] = {
    "duplicate": ("duplicate", "harms"),
    "mixed formats": ("mixed", "harms"),
    "missing numbers": ("missing file", "note"),
    "other order": ("clock", "note"),
    "start": ("clock", "note"),
}
"""Notes of the sequence that are findings."""


def judge_order(sequence: Sequence, expected: Expected | None) -> Iterator[Finding]:
    """Joints that are none, and notes."""
    yield from _gaps(sequence, expected)
    yield from _overlaps(sequence)
    for note in sequence.notes:
        if note.kind in NOTES:
            kind, weight = NOTES[note.kind]
            where = (Span(index, None, 0.0, 0.0) for index in note.files)
            sure: Sure = "possible" if kind == "missing file" else "certain"
            yield finding(kind, weight, sure, note.text, where)


def _gaps(sequence: Sequence, expected: Expected | None) -> Iterator[Finding]:
    gaps = [(joint, _lost(sequence, joint, expected)) for joint in sequence.joints]
    gaps = [(joint, lost) for joint, lost in gaps if lost > 0]
    if not gaps:
        return
    total = sum(lost for _, lost in gaps)
    whole = sum(file.layout.seconds for file in sequence.files)
    long = any(lost > SWITCHING for _, lost in gaps) or total > LOST * whole
    largest, most = max(gaps, key=lambda gap: gap[1])
    what = (
        f"{seconds_text(total)} are missing in {counted(len(gaps), 'gap', 'gaps')}, by the clock; "
        f"the longest, of {seconds_text(most)} give or take {seconds_text(largest.tolerance)}, "
        f"comes before {sequence.files[largest.after].name}."
    )
    where = (Span(joint.after, None, 0.0, 0.0) for joint, _ in gaps)
    yield finding("gap", "harms" if long else "note", "certain", what, where)


def _lost(sequence: Sequence, joint: Joint, expected: Expected | None) -> float:
    """Seconds that a gap took from what was to be recorded; 0 where it was meant."""
    if joint.kind != "gap" or joint.seconds is None:
        return 0.0
    turn = _turn(sequence, expected)
    if turn is None:
        return joint.seconds
    distance = joint.seconds + sequence.files[joint.before].layout.seconds
    missed = round(distance / turn) - 1
    return missed * turn if missed >= 1 else 0.0


def _turn(sequence: Sequence, expected: Expected | None) -> float | None:
    """Seconds from one start to the next where the recorder was to pause in between."""
    joints = [joint for joint in sequence.joints if joint.seconds is not None]
    distances = [
        joint.seconds + sequence.files[joint.before].layout.seconds
        for joint in joints
        if joint.seconds is not None
    ]
    if len(distances) < 2 or (expected and expected.plan.windows and expected.plan.continuous):
        return None
    middle = median(distances)
    room = max(joint.tolerance for joint in joints)
    same = [distance for distance in distances if abs(distance - middle) <= room]
    paused = sum(joint.kind == "gap" for joint in joints) >= REGULAR * len(joints)
    return middle if paused and len(same) >= REGULAR * len(distances) else None


def _overlaps(sequence: Sequence) -> Iterator[Finding]:
    overlaps = [joint for joint in sequence.joints if joint.kind == "overlap"]
    if not overlaps:
        return
    what = " ".join(joint.text for joint in overlaps[:3])
    if len(overlaps) > 3:
        what += f" And {counted(len(overlaps) - 3, 'overlap', 'overlaps')} more."
    where = (Span(joint.after, None, 0.0, 0.0) for joint in overlaps)
    yield finding("overlap", "harms", "certain", what, where)
