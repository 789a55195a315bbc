"""What to change: for a requirement that is missed, or may be, each single change that mends it.

Numbers that a builder chooses are tried: all that the rig states, but for those of the site, which
is as it is, and those that a table of materials or parts fills in, since a density cannot be
turned. Of such a table every other row is tried instead, whole; of a choice every other option.

A number is moved no farther than it must be: with its own tolerance and all others, the worst case
must be good. It is looked for on the fast way, with every tolerance at its bad end; rounded away
from where it was, to few digits; and only what the whole rig confirms, evaluated anew with its
ranges, is called a change.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from math import inf

from calculators.declare import Choice, Number
from calculators.errors import InputError
from calculators.evaluate import asked
from calculators.registry import CALCULATORS
from calculators.rig.filled import filled_entries, fills_of
from calculators.rig.graph import Evaluated, Node, evaluate_rig
from calculators.rig.model import Rig, Stated
from calculators.rig.plan import Plan
from calculators.rig.requirements import RANKS, Requirement, margin_text, of_node, requirements
from calculators.rig.schema import ENTRIES, entry_of, label_of
from calculators.rig.searching import Corner, Line

ROUNDED_BY = 0.02
"""Two digits are enough where rounding moves a value by no more than this part of it."""

TRIES = 6
"""How often a value is moved on where its range turns out to reach beyond the bad ends."""

WIDER = 1.001
"""By how much more than the range takes is asked for, since the range widens with the value."""

NEARLY = 0.05
"""An answer that moves by no more than this part of its limit's move has stayed."""

_RANKS: dict[str, int] = {"open": -1} | dict(RANKS.items())


@dataclass(frozen=True)
class Effect:
    """What a change does to one requirement: levels, and how far it then lies from its limit.

    ``after`` is "open" if its calculator then has no answer; ``margin`` says why in words.
    ``outcome`` is that of ``requirements.OUTCOMES``, or "open".
    """

    name: str
    title: str
    label: str
    before: str
    after: str
    outcome: str
    margin: str

    @property
    def worse(self) -> bool:
        """Whether the level has become worse."""
        return _RANKS[self.after] < _RANKS[self.before]


@dataclass(frozen=True)
class Change:
    """One thing done otherwise, by which the requirement is met in the worst case.

    ``stated`` holds each entry as it then is. ``label`` is what is changed, ``text`` what it
    becomes. ``size`` puts changes in order: of a number, the logarithm of its ratio to what it was,
    or the part of its range where it has no zero; infinite for a choice. ``gives_way`` says that
    the rig stays as it is and the limit moves: less is wanted of it.
    """

    label: str
    text: str
    stated: Mapping[str, Stated]
    size: float
    gives_way: bool
    breaks: tuple[Effect, ...]
    mends: tuple[Effect, ...]

    @property
    def order(self) -> tuple[bool, bool, float]:
        """What breaks nothing first, then what does not give way, then the smallest change."""
        return bool(self.breaks), self.gives_way, self.size


def ordered(changes: list[Change]) -> list[Change]:
    """What breaks nothing first, then what does not give way, then the smallest change."""
    return sorted(changes, key=lambda change: change.order)


def changes(
    rig: Rig, nodes: Evaluated, requirement: str, system: str = "metric"
) -> Iterator[Change]:
    """Every single change that mends a requirement, as it is found; ``ordered`` puts them in order.

    Args:
        rig: The rig.
        nodes: What it gives.
        requirement: Its name, as in ``lid-under-pressure.depth_limit``.
        system: The units in which values are rounded.

    Raises:
        InputError: If there is no such requirement with an answer.
    """
    search = _Search(rig, nodes, requirement, system)
    if search.row.level == "good":
        return
    for key in search.numbers:
        found = search.number(key)
        if found:
            yield found
    for label, text, stated in search.others():
        found = search.confirmed(label, text, stated, inf)
        if found:
            yield found


def tried(rig: Rig, nodes: Evaluated, requirement: str) -> list[str]:
    """What may be changed about a requirement, by its label: for where nothing mends it."""
    search = _Search(rig, nodes, requirement, "metric")
    names = [label_of(key) for key in search.numbers]
    return list(dict.fromkeys(names + [label for label, _, _ in search.others()]))


class _Search:
    """Looks for changes that mend one requirement."""

    def __init__(self, rig: Rig, nodes: Evaluated, requirement: str, system: str) -> None:
        self.rig, self.nodes, self.system = rig, nodes, system
        self.before = {row.name: row for row in requirements(nodes)}
        if requirement not in self.before:
            there = ", ".join(self.before) or "none"
            raise InputError(
                "requirement",
                f"“{requirement[:60]}” is no requirement with an answer. There are: {there}.",
            )
        self.row = self.before[requirement]
        self.plan = Plan(rig, nodes)
        self.judged = self.plan.judged[requirement]
        self.chain = _before(self.judged.card)
        self.fills = fills_of(self.chain)
        self.corner = Corner(self.plan, self.judged)

    @cached_property
    def asked(self) -> dict[str, Node]:
        """Entries that the rig states and the requirement depends on, with one that asks each."""
        found: dict[str, Node] = {}
        for name in self.plan.before({self.judged.card}):
            node = self.nodes[name]
            for key, entry in node.stated.items():
                item = node.shape.inputs[key]
                if asked(node.card, key, item, node.given.values) and _chosen(entry):
                    found.setdefault(entry, node)
        return found

    @cached_property
    def numbers(self) -> list[str]:
        """Numbers among them that no table fills in."""
        filled = filled_entries()
        return [
            key
            for key in self.asked
            if isinstance(entry_of(key)[0].item, Number) and key not in filled
        ]

    def others(self) -> Iterator[tuple[str, str, dict[str, Stated]]]:
        """What is tried beside numbers: label, text, entries."""
        yield from self._options()
        yield from self._rows()

    def _options(self) -> Iterator[tuple[str, str, dict[str, Stated]]]:
        """Every other option of a choice."""
        for key in self.asked:
            item = entry_of(key)[0].item
            if not isinstance(item, Choice):
                continue
            for option in item.options:
                value = item.read(option.value, key)
                if value != self.rig.stated[key].value:
                    yield label_of(key), option.label, {key: Stated(value)}

    def _rows(self) -> Iterator[tuple[str, str, dict[str, Stated]]]:
        """Every other row of a table that fills what the rig states."""
        for fill in self.fills:
            if not any(key in self.asked for key in fill.entries):
                continue
            for row, cells in fill.rows.items():
                stated = {key: new for key, new in cells.items() if key in self.rig.stated}
                if self._worth_trying(stated):
                    yield fill.label, row, stated

    def _worth_trying(self, stated: Mapping[str, Stated]) -> bool:
        """Whether numbers are others than now, and meet the requirement at its worst."""
        if all(self.rig.stated[key].value == new.value for key, new in stated.items()):
            return False
        answer = self.corner.answer(self.corner.route(stated), stated)
        return answer is not None and self.judged.level(answer) == "good"

    def number(self, key: str) -> Change | None:
        """The nearest value of a number that mends the requirement, or none."""
        line = Line.of(self.rig, self.corner, key, self.system)
        found = [x for up in (True, False) if (x := self._worst_case(line, up)) is not None]
        for value in sorted(found, key=line.size):
            for digits in (2, 3, 4):
                text, rounded = line.rounded(value, digits)
                if digits == 2 and line.size(rounded) - line.size(value) > ROUNDED_BY:
                    continue
                stated = {key: Stated(rounded, self.rig.stated[key].tolerance)}
                change = self.confirmed(label_of(key), text, stated, line.size(rounded))
                if change:
                    return change
        return None

    def _worst_case(self, line: Line, up: bool) -> float | None:
        """The nearest value above or below at which the worst case is good."""
        spare = max(line.margin(line.value) - self.row.margin, 0.0)
        start = line.value
        for _ in range(TRIES):
            value = line.nearest(start, up, spare * WIDER)
            row = None if value is None else self._ranged_at(line, value)
            if value is None or row is None:
                return None
            if row.level == "good":
                return self._tightened(line, up, value, row)
            start = value if value != start else line.beyond(value, up)
            spare = max(line.margin(value) - row.margin, spare * WIDER)
        return None

    def _tightened(self, line: Line, up: bool, value: float, row: Requirement) -> float:
        """A nearer value, if the range is less wide at this one than was thought."""
        spare = max(line.margin(value) - row.margin, 0.0)
        nearer = line.nearest(line.value, up, spare * WIDER)
        if nearer is None or line.size(nearer) >= line.size(value):
            return value
        found = self._ranged_at(line, nearer)
        return nearer if found and found.level == "good" else value

    def _ranged_at(self, line: Line, value: float) -> Requirement | None:
        """The requirement where a number has another value, with its range."""
        return self._ranged({line.key: Stated(value, self.rig.stated[line.key].tolerance)})

    def _ranged(self, stated: Mapping[str, Stated]) -> Requirement | None:
        """The requirement where these entries are others, with its range; None without answer."""
        return self._row(evaluate_rig(_with(self.rig, stated), self.nodes, self.chain))

    def _row(self, nodes: Evaluated) -> Requirement | None:
        rows = of_node(nodes[self.judged.card])
        return next((row for row in rows if row.name == self.judged.name), None)

    def confirmed(
        self, label: str, text: str, stated: Mapping[str, Stated], size: float
    ) -> Change | None:
        """The change, if the whole rig says that it mends the requirement."""
        rig = _with(self.rig, stated)
        chain = evaluate_rig(rig, self.nodes, self.chain)
        row = self._row(chain)
        if row is None or row.level != "good":
            return None
        nodes = evaluate_rig(rig, self.nodes | chain)
        after = {row.name: row for row in requirements(nodes)}
        if self.judged.name not in after or after[self.judged.name].level != "good":
            return None
        effects = [self._effect(name, after.get(name), nodes) for name in self.before]
        return Change(
            label,
            text,
            stated,
            size,
            self._gives_way(row),
            tuple(effect for effect in effects if effect.worse),
            tuple(e for e in effects if _RANKS[e.after] > _RANKS[e.before]),
        )

    def _gives_way(self, row: Requirement) -> bool:
        """Whether all but the limit is as it was, or nearly.

        A limit that the rig itself gives, such as how long its batteries last, is no wish.
        """
        if row.verdict.limit in row.node.derived:
            return False
        moved = abs(row.limit - self.row.limit)
        return moved > 0 and abs(row.value - self.row.value) <= NEARLY * moved

    def _effect(self, name: str, after: Requirement | None, nodes: Evaluated) -> Effect:
        before = self.before[name]
        title, label = before.node.card.title, before.node.shape.label(before.key)
        if after is None:
            node = nodes[before.node.card.id]
            why = "; ".join(error.message for error in node.refused) or "not stated: " + ", ".join(
                node.missing
            )
            return Effect(name, title, label, before.level, "open", "open", why)
        margin = margin_text(after, self.system)
        return Effect(name, title, label, before.level, after.level, after.outcome, margin)


def _before(card: str) -> set[str]:
    """A calculator, and all that it may ask, however its choices stand."""
    found: set[str] = set()
    waiting = [card]
    while waiting:
        name = waiting.pop()
        found.add(name)
        given = (ENTRIES[i.rig].gives for i in CALCULATORS[name].inputs if i.rig)
        waiting += [place.card for place in given if place and place.card not in found]
    return found


def _chosen(key: str) -> bool:
    """Whether a builder can have it otherwise: all but what the site gives."""
    return entry_of(key)[0].section != "site"


def _with(rig: Rig, stated: Mapping[str, Stated]) -> Rig:
    for key, new in stated.items():
        rig = rig.keep(key, new)
    return rig
