"""What is required of a rig: each verdict of its calculators, ordered by margin."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from calculators import entries, units
from calculators.declare import Level, Output, Results, Verdict
from calculators.present import Worked, output_json, range_text
from calculators.registry import CALCULATORS
from calculators.rig.graph import Evaluated, Node, is_asked
from calculators.rig.schema import entry_of, label_of
from calculators.tolerance import Spread

Json = dict[str, Any]

AMPLE_DECIBELS = 6.0
"""A level this far from its limit is called ample: a factor of two in sound pressure."""

RANKS: dict[Level, int] = {"fail": 0, "care": 1, "good": 2}
"""Levels from worst to best."""

OUTCOMES = {
    "fails": "Fails",
    "short": "Falls short",
    "unsure": "Unsure",
    "holds": "Holds",
}
"""What becomes of a requirement, from worst to best, and the word for it.

One that surely misses a limit which costs quality, not the rig, falls short: it is of the level
"care", as one that may miss is, but as sure as one that fails.
"""

_DIFFERENCE = {"°C": "Δ°C"}
"""Units of which a difference has another unit."""


@dataclass(frozen=True)
class Requirement:
    """One verdict on a rig that has an answer.

    ``said`` is the verdict's sentence. ``margin`` is how far the worst end of the answer lies on
    the good side of its limit, SI, negative if it lies beyond. ``share`` is that in parts of what
    is called ample, so that margins of different kinds can be put in order.
    """

    node: Node
    key: str
    output: Output
    verdict: Verdict
    level: Level
    said: str
    value: float
    low: float
    high: float
    limit: float
    margin: float

    @cached_property
    def ample(self) -> float:
        """How far from its limit it is called ample, SI."""
        return ample(self.verdict, self.output, self.limit)

    @cached_property
    def share(self) -> float:
        """The margin in parts of what is called ample."""
        return self.margin / self.ample

    @cached_property
    def outcome(self) -> str:
        """One of ``OUTCOMES``."""
        if self.level == "care":
            return "short" if self.said == self.verdict.missed else "unsure"
        return "holds" if self.level == "good" else "fails"

    @cached_property
    def name(self) -> str:
        """Calculator and output, as in ``lid-under-pressure.depth_limit``."""
        return f"{self.node.card.id}.{self.key}"


def ample(verdict: Verdict, output: Output, limit: float) -> float:
    """How far from its limit an answer is called ample, SI."""
    if verdict.ample is not None:
        return verdict.ample
    return AMPLE_DECIBELS if output.si_unit.startswith("dB") else abs(limit)


def requirements(nodes: Evaluated) -> list[Requirement]:
    """Every verdict there is, what is missed first, then by margin."""
    found = [row for node in nodes.values() for row in _remembered(node)]
    return sorted(found, key=lambda row: (RANKS[row.level], row.share))


_found: dict[str, tuple[Node, list[Requirement]]] = {}
"""The verdicts of each calculator as they were found last, by its name, with its node."""


def _remembered(node: Node) -> list[Requirement]:
    """The verdicts of one calculator, found anew only where it is another node than last."""
    last, rows = _found.get(node.card.id, (None, []))
    if last is not node:
        rows = list(of_node(node))
        _found[node.card.id] = node, rows
    return rows


def of_node(node: Node) -> Iterator[Requirement]:
    """The verdicts of one calculator, none while it has no answer or is not required of a rig."""
    if node.results is None or node.spread is None or not node.required:
        return
    values = {**node.given.values, **node.results}
    for key, output in node.shape.outputs.items():
        verdict = output.verdict
        if verdict is None or not is_required(verdict, node.without):
            continue
        low, high = node.spread.low[key], node.spread.high[key]
        limit = verdict.limit_in(values)
        beyond = beyond_limit(node.spread, key, limit)
        if key in node.spread.margins:
            level, said = verdict.judge(*beyond, 0.0)
        else:
            level, said = verdict.judged(values, low, high)
        margin = -beyond[1] if verdict.better == "below" else beyond[0]
        yield Requirement(
            node, key, output, verdict, level, said, node.results[key], low, high, limit, margin
        )


def beyond_limit(spread: Spread, key: str, limit: float) -> tuple[float, float]:
    """How far an answer lies above its limit, at least and at most within the tolerances."""
    if key in spread.margins:
        return spread.margins[key]
    return spread.low[key] - limit, spread.high[key] - limit


def open_questions(nodes: Evaluated) -> list[Node]:
    """Calculators that are required of a rig and have no answer, the nearest to one first.

    A refused one misses nothing and stands at the head; then those that least is not stated of.
    """
    open_nodes = [node for node in nodes.values() if node.required and node.results is None]
    return sorted(open_nodes, key=lambda node: len(node.missing))


def is_required(verdict: Verdict, without: frozenset[str]) -> bool:
    """Whether a verdict is one of a rig without these; one that is good either way is a remark."""
    wanted = verdict.in_rig if isinstance(verdict.in_rig, bool) else verdict.in_rig in without
    return wanted and verdict.missed_level != "good"


def margin_text(row: Requirement, system: str) -> str:
    """The margin with its unit: ``0.9 m to spare at worst``, ``3.1 dB short`` without a range."""
    unit = entries.split_reference(row.output.unit)[0]
    unit = _DIFFERENCE.get(unit, unit)
    size = units.format_display(abs(row.margin), unit, 2, system).replace("Δ", "")
    ranged = row.low != row.high or _limit_range(row, system)
    return f"{size} {'to spare' if row.margin >= 0 else 'short'}{' at worst' if ranged else ''}"


def _limit_range(row: Requirement, system: str) -> str:
    """From where to where the limit may lie within the tolerances, empty where it stands still."""
    name, node = row.verdict.limit, row.node
    assert node.spread is not None
    if not isinstance(name, str):
        return ""
    if name in node.shape.outputs:
        return range_text(row.output, node.spread.low[name], node.spread.high[name], system)
    low, high = node.given.spans.get(name, (row.limit, row.limit))
    return range_text(row.output, low, high, system)


_shown: dict[tuple[str, str], tuple[Results | None, Json]] = {}
"""Each requirement as it was shown last, by name and system, with the results that it is of."""


def requirement_json(row: Requirement, system: str) -> Json:
    """A requirement as a page, the command line or a print shows it; it is not to be changed.

    Worked out anew only where the calculator has another answer: an edit leaves most as they are.
    """
    results, shown = _shown.get((row.name, system), (None, {}))
    if results is not row.node.results:
        shown = _requirement_json(row, system)
        _shown[row.name, system] = row.node.results, shown
    return shown


def _requirement_json(row: Requirement, system: str) -> Json:
    node = row.node
    assert node.results is not None
    assert node.spread is not None
    worked = Worked(node.card, node.shape, node.given, node.results, [], node.spread, system)
    return {
        "name": row.name,
        "calculator": node.card.id,
        "title": node.card.title,
        "level": row.level,
        "outcome": row.outcome,
        "word": OUTCOMES[row.outcome],
        "margin": row.margin,
        "margin_text": margin_text(row, system),
        "limit_range": _limit_range(row, system),
        "share": row.share,
        "ends": row.verdict.ends,
        "link": node.link,
        "usual": [node.shape.label(key) for key in node.usual],
        **{
            k: v
            for k, v in output_json(worked, row.key, row.output).items()
            if k in ("label", "text", "range_text", "value", "low", "high", "verdict", "by", "bar")
        },
    }


def open_json(node: Node, nodes: Evaluated) -> Json:
    """A calculator without an answer: what is not stated, and what was refused.

    What a calculator refuses that would give what is not stated is refused here, too.
    """
    refused = [error.message for error in node.refused]
    refused += [
        f"{giver.card.title}: {error.message}"
        for giver in _givers(node, nodes)
        for error in giver.refused
    ]
    return {
        "calculator": node.card.id,
        "title": node.card.title,
        "state": "refused" if refused else "not stated",
        "missing": list(node.missing),
        "missing_labels": [label_of(key) for key in node.missing],
        "refused": refused,
    }


def _givers(node: Node, nodes: Evaluated) -> list[Node]:
    """Every calculator that would give what is missing, or what is missing for that."""
    found: dict[str, Node] = {}
    waiting = [node]
    while waiting:
        for key in waiting.pop().missing:
            gives = entry_of(key)[0].gives
            if gives and gives.card in nodes and gives.card not in found:
                found[gives.card] = nodes[gives.card]
                waiting.append(nodes[gives.card])
    return list(found.values())


def worst(rows: list[Requirement], nodes: Evaluated, without: frozenset[str]) -> str:
    """What the rig as a whole gets: fail, care, or good; "open" while a question has no answer."""
    levels = {row.level for row in rows}
    if "fail" in levels:
        return "fail"
    answered = {node.card.id for node in nodes.values() if node.results is not None}
    required = {card.id for card in CALCULATORS.values() if is_asked(card, without)}
    if not required <= answered:
        return "open"
    return "care" if "care" in levels else "good"
