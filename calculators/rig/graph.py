"""What follows from a rig: every calculator evaluated, in the order that the declarations give.

An input that stands for an entry takes what the rig states, else what another calculator gives for
it, with its range. What neither states nor gives is missing, and the calculator has no answer: it
is never guessed. An input that stands for no entry keeps its default.
"""

from collections.abc import Container, Mapping
from dataclasses import dataclass, field, replace
from functools import cache, cached_property
from graphlib import TopologicalSorter

from calculators.declare import Calculator, Choice, Input, Number, Results, Shape, Value, row_of
from calculators.errors import InputError
from calculators.evaluate import Given, asked, check_ends, default, evaluate, read_tolerance
from calculators.links import make_link
from calculators.registry import CALCULATORS
from calculators.rig.model import Rig, Stated
from calculators.rig.schema import ENTRIES, Place, entries_for
from calculators.tolerance import Spread, spread
from calculators.units import Tolerance

Source = tuple[str | Place, Stated]
"""What an input has from the rig: the entry that states it or the output that gives it, and it."""

Candidates = list[tuple[str, Place | None]]
"""The entries that an input may have its value from, and the output that may give each."""


def _candidates(key: str, item: Input) -> Candidates:
    """Where an input may have its value from, the first that has one."""
    otherwise = item.rig_otherwise if isinstance(item, Number) else ""
    return _entries_or(item.rig, otherwise, row_of(key, item.name))


@cache
def _entries_or(path: str, otherwise: str, row: int) -> Candidates:
    entries = [ENTRIES[each] for each in (path, otherwise) if each]
    return [(entry.key(row), entry.gives) for entry in entries]


@dataclass(frozen=True)
class Ground:
    """What the inputs of a calculator rest on: the same ground gives the same answer.

    ``rows`` are the names that call for more rows than one. ``stated`` holds what the rig states of
    each entry that was looked up, None for nothing; ``givers`` the calculators that were looked at
    for what is not stated, as they were.
    """

    rows: list[str]
    stated: dict[str, Stated | None] = field(default_factory=dict)
    givers: "dict[str, Node | None]" = field(default_factory=dict)

    def holds(self, card: Calculator, rig: Rig, nodes: "Evaluated") -> bool:
        """Whether a rig, with the answers that it has so far, gives just this."""
        return (
            self.rows == _row_names(card, rig)
            and [rig.stated.get(key) for key in self.stated] == list(self.stated.values())
            and all(nodes.get(name) is node for name, node in self.givers.items())
        )


@dataclass(frozen=True)
class Node:
    """One calculator of a rig, answered or not.

    ``stated`` holds the entry of each input that the rig states, its own or the one that holds for
    it otherwise, ``derived`` the output that gave
    an input, ``usual`` the inputs that keep their default, ``missing`` the entries that nobody
    gives, ``refused`` what does not go. ``required`` says that its verdicts are those of this rig,
    ``without`` what questions the rig does not have.
    """

    card: Calculator
    given: Given
    stated: Mapping[str, str] = field(default_factory=dict)
    derived: Mapping[str, Place] = field(default_factory=dict)
    usual: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    refused: tuple[InputError, ...] = ()
    results: Results | None = None
    spread: Spread | None = None
    required: bool = False
    without: frozenset[str] = frozenset()
    ground: Ground | None = field(default=None, compare=False)

    @cached_property
    def shape(self) -> Shape:
        """The calculator with the rows of this rig."""
        return self.card.shape(self.given.values)

    @cached_property
    def link(self) -> str:
        """The link that opens its calculation, once it has an answer."""
        assert self.results is not None
        return make_link(self.card, self.given, self.results)

    @cached_property
    def asked_for(self) -> list[tuple[str, str]]:
        """Each entry that it asks for as its choices stand, and the calculator that then gives it.

        The second is empty where the entry is stated, or nothing gives it.
        """
        found = []
        for key, item in self.shape.inputs.items():
            if not item.rig or not asked(self.card, key, item, self.given.values):
                continue
            its = self.stated.get(key)
            for rig_key, gives in _candidates(key, item):
                found.append((rig_key, gives.card if gives and its is None else ""))
                if its == rig_key:
                    break
        return found


Evaluated = dict[str, Node]
"""Every calculator that stands for something in a rig, by name, in the order of evaluation."""


def _order() -> list[Calculator]:
    """Calculators with entries, each after those that give what it asks for."""
    bound = [card for card in CALCULATORS.values() if any(i.rig for i in card.inputs)]
    before = {
        card.id: {
            entry.gives.card for item in card.inputs for entry in entries_for(item) if entry.gives
        }
        - {card.id}
        for card in bound
    }
    return [CALCULATORS[name] for name in TopologicalSorter(before).static_order()]


ORDER: list[Calculator] = _order()
"""Calculators that a rig evaluates, in order."""

FOR_VERDICT: frozenset[str] = frozenset(
    {card.id for card in ORDER if card.in_rig}
    | {entry.gives.card for entry in ENTRIES.values() if entry.gives}
)
"""Calculators that are required of a rig, and those that give entries: enough for a verdict."""


def evaluate_rig(
    rig: Rig, before: Evaluated | None = None, only: Container[str] | None = None
) -> Evaluated:
    """Every calculator of the rig.

    ``before`` is what the same rig gave before a change: a calculator whose inputs are the same
    keeps its answer. ``only`` names calculators, with all that they ask: the others stay away.
    """
    nodes: Evaluated = {}
    for card in ORDER:
        if card.id in rig.without or (only is not None and card.id not in only):
            continue
        nodes[card.id] = _node(card, rig, nodes, before.get(card.id) if before else None)
    return nodes


def _node(card: Calculator, rig: Rig, nodes: Evaluated, old: Node | None) -> Node:
    """One calculator; as it was, if nothing has changed that it rests on."""
    if old and old.without == rig.without and old.ground and old.ground.holds(card, rig, nodes):
        return old
    node = _gather(card, rig, nodes)
    return node if node.missing or node.refused else _answered(node, old)


def is_asked(card: Calculator, without: frozenset[str]) -> bool:
    """Whether the verdicts of a calculator are requirements of a rig without these questions."""
    return card.id not in without and (card.in_rig or card.in_rig_for in without)


def _gather(card: Calculator, rig: Rig, nodes: Evaluated) -> Node:
    """The inputs of one calculator, from wherever they come."""
    ground = Ground(_row_names(card, rig))
    shape = card.shape(ground.rows)
    found = _Gathered(ground, {}, {}, {}, {}, [], [], [])
    for key, item in shape.inputs.items():
        _take(found, card, key, item, rig, nodes)
    hidden = {k for k, i in shape.inputs.items() if not asked(card, k, i, found.values)}
    return Node(
        card,
        Given(found.values, {k: t for k, t in found.tolerances.items() if k not in hidden}),
        stated=found.stated,
        derived=found.derived,
        usual=tuple(k for k in found.usual if k not in hidden),
        missing=tuple(entry for k, entry in found.missing if k not in hidden),
        refused=tuple(error for error in found.refused if error.name not in hidden),
        required=is_asked(card, rig.without),
        without=rig.without,
        ground=ground,
    )


@dataclass
class _Gathered:
    """Inputs on their way into a node."""

    ground: Ground
    values: dict[str, Value]
    tolerances: dict[str, Tolerance]
    stated: dict[str, str]
    derived: dict[str, Place]
    usual: list[str]
    missing: list[tuple[str, str]]
    refused: list[InputError]


def _row_names(card: Calculator, rig: Rig) -> list[str]:
    """Names that call for as many rows as the rig states."""
    return [f"{name}_{rows}" for name, path in _repeated(card) if (rows := rig.rows(path)) > 1]


@cache
def _repeated(card: Calculator) -> list[tuple[str, str]]:
    """The inputs of each group that stands for rows of a rig, with the path of those rows."""
    paths = {i.group: i.rig.rpartition(".")[0] for i in card.inputs if i.group and i.rig}
    return [(i.name, paths[i.group]) for i in card.inputs if i.group in paths]


@cache
def _usual_tolerances(card: str) -> dict[str, Tolerance]:
    """Tolerances of the inputs that stand for no entry, by name."""
    found = {
        item.name: read_tolerance(
            item, item.name, item.tolerance, item.default_si, "metric", "form"
        )
        for item in CALCULATORS[card].inputs
        if isinstance(item, Number) and not item.rig
    }
    return {name: tolerance for name, tolerance in found.items() if tolerance}


def _take(
    found: _Gathered, card: Calculator, key: str, item: Input, rig: Rig, nodes: Evaluated
) -> None:
    """One input: stated, derived, as usual, or missing; its default keeps the place of the rest."""
    found.values[key] = default(item)
    if not item.rig:
        found.usual.append(key)
        if usual := _usual_tolerances(card.id).get(item.name):
            found.tolerances[key] = usual
        return
    candidates = _candidates(key, item)
    source = _source(candidates, rig, nodes, found.ground)
    if source is None:
        found.missing.append((key, candidates[0][0]))
        return
    origin, stated = source
    if isinstance(origin, str):
        found.stated[key] = origin
    else:
        found.derived[key] = origin
    try:
        check(item, key, stated)
    except InputError as error:
        found.refused.append(error)
        return
    found.values[key] = stated.value
    if stated.tolerance:
        found.tolerances[key] = stated.tolerance


def _source(candidates: Candidates, rig: Rig, nodes: Evaluated, ground: Ground) -> Source | None:
    """The first of them that has a value; what was looked at becomes part of the ground."""
    for key, gives in candidates:
        stated = ground.stated[key] = rig.stated.get(key)
        if stated is not None:
            return key, stated
        if gives is None:
            continue
        giver = ground.givers[gives.card] = nodes.get(gives.card)
        derived = _derived(gives.name, giver)
        if derived is not None:
            return gives, derived
    return None


def _derived(name: str, giver: Node | None) -> Stated | None:
    """What a calculator gives, with its range as tolerance."""
    if giver is None or giver.results is None or giver.spread is None:
        return None
    value, low, high = (side[name] for side in (giver.results, giver.spread.low, giver.spread.high))
    if low == high:
        return Stated(value)
    return Stated(value, Tolerance("", value - low, high - value, relative=False))


def check(item: Input, key: str, stated: Stated) -> None:
    """What the rig accepts may still be outside what this calculator can answer."""
    if isinstance(item, Number):
        item.check(float(stated.value), key, "metric")
        if stated.ends:
            check_ends(item, key, stated.ends, "metric")
    elif isinstance(item, Choice):
        text = stated.value if isinstance(stated.value, str) else f"{stated.value:g}"
        item.read(text, key)


def _answered(node: Node, old: Node | None) -> Node:
    """The node with its answer, or with the refusal of inputs that do not go together."""
    if old is not None and old.results is not None and old.given == node.given:
        return replace(node, results=old.results, spread=old.spread)
    try:
        results = evaluate(node.card, node.given.values, node.shape)
        ranges = spread(node.card, node.given.values, node.given.spans, results)
    except InputError as error:
        return replace(node, refused=(error,))
    return replace(node, results=results, spread=ranges)
