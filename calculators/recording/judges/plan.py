"""The recording against the plan of the rig: how long, when, in which format."""

from collections.abc import Iterator

from calculators.recording.expected import Plan
from calculators.recording.findings import Finding, Weight, finding
from calculators.recording.judges.common import counted, joined_words, seconds_text, whole
from calculators.recording.layout import Encoding, Layout
from calculators.recording.quantity import quantity, rate_text
from calculators.recording.sequence import Sequence

ENOUGH = 0.98
"""Part of the planned recording that must be there: changing files and a start by hand cost some
seconds (common practice, no source)."""

HALF = 0.5
"""Part below which the plan has failed."""

LATE = 1800.0
"""Seconds by which the start may differ: a recorder is switched on ashore (common practice)."""

BITS: dict[Encoding, int] = {"uint8": 8, "int16": 16, "int24": 24, "int32": 32, "float32": 32}


def judge_plan(sequence: Sequence, plan: Plan) -> Iterator[Finding]:
    """As far as the rig states a plan."""
    if not sequence.files:
        return
    yield from _length(sequence, plan)
    yield from _start(sequence, plan)
    yield from _format(sequence, plan)


def recorded(sequence: Sequence) -> float:
    """Seconds of sound, zeros at the end of a file not counted."""
    return sum(f.layout.frames_before_zeros / f.layout.rate for f in sequence.files)


def _length(sequence: Sequence, plan: Plan) -> Iterator[Finding]:
    if not plan.scheduled:
        return
    there = recorded(sequence)
    share = there / plan.scheduled
    if share >= ENOUGH:
        return
    weight: Weight = "spoils" if share < HALF else "harms"
    what = (
        f"{counted(len(sequence.files), 'file has', 'files have')} {seconds_text(there)} of sound; "
        f"planned were {seconds_text(plan.scheduled)}. "
        f"{quantity(round(100 * share), '%')} is there."
    )
    yield finding("too short", weight, "certain", what, whole(None))


def ahead(sequence: Sequence, plan: Plan) -> float | None:
    """Seconds by which the recorder's clock is ahead of UTC, 0 or the place's zone.

    Whichever of the two brings its first file nearer to the plan; None where that can't be told.
    """
    first = sequence.files[0].seconds if sequence.files else None
    if plan.started is None or first is None:
        return None
    late = first - _planned(plan, plan.started)
    return min((0.0, plan.zone), key=lambda zone: abs(late - zone))


def _planned(plan: Plan, started: float) -> float:
    return started + (plan.windows[0][0] if plan.windows else 0.0)


def lateness(sequence: Sequence, plan: Plan) -> float | None:
    """Seconds by which the first file began later than planned; None where that can't be told."""
    zone = ahead(sequence, plan)
    first = sequence.files[0].seconds if sequence.files else None
    if plan.started is None or first is None or zone is None:
        return None
    return first - _planned(plan, plan.started) - zone


def _start(sequence: Sequence, plan: Plan) -> Iterator[Finding]:
    """By a clock that may show the place's time or UTC."""
    late = lateness(sequence, plan)
    if late is None or abs(late) <= LATE:
        return
    words = "later" if late > 0 else "earlier"
    what = (
        f"By its clock the first file began {seconds_text(abs(late))} {words} than planned, "
        "whether the clock shows UTC or the time of the place."
    )
    yield finding("start", "note", "likely", what, whole(None))


def _format(sequence: Sequence, plan: Plan) -> Iterator[Finding]:
    layout = sequence.files[0].layout
    found = [words for words in _differences(layout, plan) if words]
    if found:
        what = f"The first file has {joined_words(found)}."
        yield finding("other format", "harms", "certain", what, whole(None))


def _differences(layout: Layout, plan: Plan) -> Iterator[str]:
    if plan.rate and plan.rate != layout.rate:
        yield f"{rate_text(layout.rate)}, planned were {rate_text(plan.rate)}"
    if plan.bits and plan.bits != BITS[layout.encoding]:
        yield f"{quantity(BITS[layout.encoding], 'bits')}, planned were {plan.bits:.0f}"
    if plan.channels and plan.channels != layout.channels:
        there = counted(layout.channels, "channel", "channels")
        yield f"{there}, planned {'was' if plan.channels == 1 else 'were'} {plan.channels:.0f}"
