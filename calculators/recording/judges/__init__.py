"""What a recording's measures mean: one module a subject, each a pure function that finds.

Thresholds are named constants with their reasons. Where the reason is chance, the probability of a
false alarm is stated; where it is what the trade does, that is said.
"""

from collections.abc import Iterator

from calculators.recording.expected import Expected
from calculators.recording.findings import Finding, ordered
from calculators.recording.judges.change import judge_change
from calculators.recording.judges.channels import judge_channels
from calculators.recording.judges.clipping import judge_clipping
from calculators.recording.judges.dropouts import judge_dropouts
from calculators.recording.judges.filters import judge_filters
from calculators.recording.judges.heads import judge_heads
from calculators.recording.judges.hum import judge_hum
from calculators.recording.judges.low import judge_low
from calculators.recording.judges.offset import judge_offset
from calculators.recording.judges.order import judge_order
from calculators.recording.judges.plan import judge_plan
from calculators.recording.judges.resolution import judge_resolution
from calculators.recording.judges.rig import judge_rig
from calculators.recording.sequence import Sequence
from calculators.recording.summary import Summary

EXPLAINED = {
    "unequal": frozenset({"gone quiet", "flooded", "dead", "identical"}),
    "jumps": frozenset({"dead"}),
}
"""A kind that says nothing new where one of these was found. Against a channel that hears nothing
every boat is a burst."""


def judge(
    summary: Summary, sequence: Sequence | None = None, expected: Expected | None = None
) -> list[Finding]:
    """All that there is to find, the gravest first.

    Args:
        summary: What was measured; its files in the order of ``sequence``.
        sequence: The files and what lies between them; None for files that are looked at alone.
        expected: What a rig says of it.
    """
    found = list(_all(summary, sequence, expected))
    kinds = {f.kind for f in found}
    return ordered(f for f in found if not kinds & EXPLAINED.get(f.kind, frozenset()))


def _all(
    summary: Summary, sequence: Sequence | None, expected: Expected | None
) -> Iterator[Finding]:
    yield from judge_heads(summary)
    if sequence is not None:
        yield from judge_order(sequence, expected)
        if expected is not None:
            yield from judge_plan(sequence, expected.plan)
    if not summary.frames:
        return
    yield from judge_clipping(summary, expected)
    yield from judge_offset(summary)
    yield from judge_channels(summary)
    yield from judge_dropouts(summary)
    yield from judge_hum(summary)
    yield from judge_low(summary)
    yield from judge_change(summary)
    yield from judge_filters(summary, expected)
    yield from judge_resolution(summary)
    if expected is not None:
        yield from judge_rig(summary, expected)
