"""The files as a sequence: gaps, overlaps, copies, what is missing."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from operator import itemgetter
from statistics import median

from calculators.calendar_texts import DAY
from calculators.recording.expected import Expected, Plan
from calculators.recording.findings import Finding, Span, Sure, Weight, finding
from calculators.recording.judges.common import counted, seconds_text
from calculators.recording.judges.plan import LATE, ahead, lateness
from calculators.recording.sequence import Joint, NoteKind, Sequence

SWITCHING = 2.0
"""Seconds that a recorder may take to change files (common practice, no source): such gaps are
the recorder's way, longer ones are a loss."""

LOST = 0.01
"""Part of the recording that may be lost in such gaps before it counts."""

SHORTEST_PAUSE = 10.0
"""Seconds: no schedule pauses for less, it would save nothing. A recorder that loses as much each
time it changes files is as regular as a schedule (common practice, no source)."""

REGULAR = 0.6
"""Part of the turns that must be the same for a schedule with pauses."""

LEAST_TURNS = 3
"""Turns of several files each that must be the same: two gaps may happen to be as far apart."""

SHIFT = 300.0
"""Seconds by which a turn of a day may differ from one: a schedule that goes by the sun shifts by
some minutes a day."""

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
    gaps = [(joint, lost) for joint, lost in _losses(sequence, expected) if lost > 0]
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


@dataclass(frozen=True)
class Gap:
    """A gap, and the stretch of files without one before it; seconds.

    ``turn`` is from the start of that stretch to that of the next.
    """

    joint: Joint
    turn: float
    seconds: float

    @property
    def stretch(self) -> float:
        """How long that stretch lasted."""
        return self.turn - self.seconds


def _losses(sequence: Sequence, expected: Expected | None) -> list[tuple[Joint, float]]:
    """Seconds that each gap took from what was to be recorded; 0 where it was meant."""
    gaps = list(_all_gaps(sequence))
    plan = expected.plan if expected else Plan()
    if plan.windows and not plan.continuous:
        planned = _planned_windows(sequence, plan)
        if planned:
            return [(gap.joint, _within(sequence, gap.joint, planned)) for gap in gaps]
    turn = None if plan.windows and plan.continuous else _turn(sequence, gaps)
    if turn is None:
        return [(gap.joint, gap.seconds) for gap in gaps]
    stretch = median(gap.stretch for gap in gaps)
    return [(gap.joint, max(round(gap.turn / turn) - 1, 0) * stretch) for gap in gaps]


def _all_gaps(sequence: Sequence) -> Iterator[Gap]:
    since = 0.0
    for joint in sequence.joints:
        since += sequence.files[joint.before].layout.seconds + (joint.seconds or 0.0)
        if joint.kind == "gap" and joint.seconds is not None:
            yield Gap(joint, since, joint.seconds)
        if joint.kind in ("gap", "unknown"):
            since = 0.0


def _turn(sequence: Sequence, gaps: list[Gap]) -> float | None:
    """Seconds from one start to the next where the recorder was to pause in between.

    A schedule is told by its regularity: one file a turn, or several and the same turn each time.
    """
    if len(gaps) < 2 or median(gap.seconds for gap in gaps) < SHORTEST_PAUSE:
        return None
    middle = median(gap.turn for gap in gaps)
    daily = abs(middle - DAY) <= SHIFT
    room = SHIFT if daily else max(joint.tolerance for joint in sequence.joints)
    same = sum(abs(gap.turn - middle) <= room for gap in gaps)
    known = sum(joint.seconds is not None for joint in sequence.joints)
    least = 2 if daily or len(gaps) >= REGULAR * known else LEAST_TURNS
    return middle if same >= max(least, REGULAR * len(gaps)) else None


def _planned_windows(sequence: Sequence, plan: Plan) -> list[tuple[float, float]]:
    """When the recorder was to record, by its own clock; none if it did not keep to the plan."""
    zone, late = ahead(sequence, plan), lateness(sequence, plan)
    if plan.started is None or zone is None or late is None or abs(late) > LATE:
        return []
    return [(plan.started + zone + begin, plan.started + zone + end) for begin, end in plan.windows]


def _within(sequence: Sequence, joint: Joint, planned: list[tuple[float, float]]) -> float:
    """Seconds of a gap in which the recorder was to record; waking takes some in each window."""
    before, after = sequence.files[joint.before], sequence.files[joint.after]
    if before.seconds is None or after.seconds is None:
        return 0.0
    first, last = before.seconds + before.layout.seconds, after.seconds
    # Only the windows that it touches: a schedule may have as many as there are gaps.
    low = bisect_right(planned, first, key=itemgetter(1))
    high = bisect_left(planned, last, key=itemgetter(0))
    missed = (min(last, end) - max(first, begin) for begin, end in planned[low:high])
    return sum(part for part in missed if part > SWITCHING + joint.tolerance)


def _overlaps(sequence: Sequence) -> Iterator[Finding]:
    overlaps = [joint for joint in sequence.joints if joint.kind == "overlap"]
    if not overlaps:
        return
    what = " ".join(joint.text for joint in overlaps[:3])
    if len(overlaps) > 3:
        what += f" And {counted(len(overlaps) - 3, 'overlap', 'overlaps')} more."
    where = (Span(joint.after, None, 0.0, 0.0) for joint in overlaps)
    yield finding("overlap", "harms", "certain", what, where)
