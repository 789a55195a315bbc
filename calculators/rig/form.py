"""A rig and the forms: its own fields by section, a calculator's form filled, and kept again."""

from collections.abc import Mapping
from functools import cache, lru_cache
from typing import Any, NamedTuple

from calculators import entries
from calculators.declare import Calculator, Input, Log, Number, Value, Written, row_of
from calculators.describe import describe_input
from calculators.evaluate import Given, asked, read
from calculators.logs import form_text
from calculators.rig.facts import text_of
from calculators.rig.graph import Evaluated, Node
from calculators.rig.model import Rig, Stated
from calculators.rig.schema import ENTRIES, ROWS, SECTIONS, Entry, Place, entry_of
from calculators.units import Tolerance

Json = dict[str, Any]

TOLD_APART = 2e-5
"""Values closer than this are the same to a form: its texts have six digits, in either system."""


Derived = tuple[str, str, str | None]
"""What holds for an entry that is not stated: the calculator that gives it, empty where another
entry does; the label of that other one, empty where it is this one; the value in words."""


def sections_json(rig: Rig, nodes: Evaluated, system: str, *, described: bool = True) -> list[Json]:
    """Every entry of the rig by section, as fields: stated or not, asked for or not.

    Without ``described`` only what a change of the rig may change; a page knows the rest.
    """
    wanted = wanted_keys(nodes)
    entries: dict[str, list[Json]] = {section: [] for section in SECTIONS}
    for place in _places(tuple(rig.rows(path) for path in ROWS)):
        shown = _entry_json(rig, nodes, place, system, wanted)
        path, section = place.entry.path, place.entry.section
        entries[section].append(_described(path) | shown if described else shown)
    return [
        {
            "section": section,
            "title": title,
            "rows": [
                {"path": r.path, "label": r.label, "count": rig.rows(r.path), "most": r.most}
                for r in ROWS.values()
                if r.path.split(".")[0] == section
            ],
            "entries": entries[section],
        }
        for section, title in SECTIONS.items()
    ]


class _Room(NamedTuple):
    """An entry that there is room for, its row, and what a rig calls it there."""

    entry: Entry
    row: int
    key: str


@lru_cache(maxsize=8)
def _places(rows: tuple[int, ...]) -> list[_Room]:
    """Every entry that there is room for with so many rows of each kind, row by row."""
    found = [_Room(entry, 1, entry.path) for entry in _of_rows("")]
    for path, count in zip(ROWS, rows, strict=True):
        for row in range(1, count + 1):
            found += [_Room(entry, row, entry.key(row)) for entry in _of_rows(path)]
    return found


@cache
def _of_rows(path: str) -> list[Entry]:
    """The entries that repeat in these rows; those that stand once where there is no path."""
    return [entry for entry in ENTRIES.values() if entry.rows == path]


def wanted_keys(nodes: Evaluated) -> frozenset[str]:
    """The entries that the required calculators ask for, as their choices stand.

    An entry that is not stated asks in turn for what the calculator that gives it asks for.
    """
    wanted: set[str] = set()
    cards = [name for name, node in nodes.items() if node.required]
    seen = set(cards)
    while cards:
        for key, gives in nodes[cards.pop()].asked_for:
            wanted.add(key)
            if gives and gives not in seen and gives in nodes:
                seen.add(gives)
                cards.append(gives)
    return frozenset(wanted)


_shown: dict[tuple[str, str], tuple[Stated | None, bool, Derived | None, Json]] = {}
"""Each field as it was shown last, by key and system, with what it follows from."""


def _entry_json(
    rig: Rig, nodes: Evaluated, place: _Room, system: str, wanted: frozenset[str]
) -> Json:
    """An entry as a field, which is not to be changed: most are the same at the next edit."""
    key = place.key
    stated, asked_for = rig.stated.get(key), key in wanted
    derived = None if stated else _derived(place.entry, rig, nodes, system)
    last = _shown.get((key, system))
    if last and last[0] is stated and last[1] is asked_for and last[2] == derived:
        return last[3]
    field = _field(place, system, stated, asked_for, derived)
    _shown[key, system] = stated, asked_for, derived, field
    return field


def _field(
    place: _Room, system: str, stated: Stated | None, wanted: bool, derived: Derived | None
) -> Json:
    entry, row, key = place
    item = entry.item
    return {
        "name": key,
        "unit": item.unit_shown(system) if isinstance(item, Number) else "",
        "row": row if entry.rows else None,
        "rows": entry.rows or None,
        "text": "" if stated is None else value_text(item, stated.value, system),
        "tolerance": "" if stated is None else tolerance_text(item, stated.tolerance, system),
        "stated": stated is not None,
        "asked": wanted,
        "derived": None
        if derived is None
        else dict(zip(("calculator", "entry", "text"), derived, strict=True)),
    }


@cache
def _described(path: str) -> Json:
    """The declaration of an entry as data; a rig has no defaults."""
    entry = ENTRIES[path]
    left_out = ("default", "group", "shown_when")
    described = {k: v for k, v in describe_input(entry.item).items() if k not in left_out}
    return described | {"used_by": list(dict.fromkeys(use.card for use in entry.uses))}


def _derived(entry: Entry, rig: Rig, nodes: Evaluated, system: str) -> Derived | None:
    """What holds for an entry that is not stated: another one, or what a calculator gives."""
    for other in entry.candidates:
        label = "" if other is entry else other.item.label
        if other.path in rig.stated:
            return "", label, text_of(other.item, rig.stated[other.path].value, system)
        if other.gives is not None:
            return other.gives.card, label, _given_text(other.gives, nodes, system)
    return None


def _given_text(place: Place, nodes: Evaluated, system: str) -> str | None:
    """What a calculator gives, None while it has no answer."""
    node = nodes.get(place.card)
    if node is None or node.results is None:
        return None
    return node.shape.outputs[place.name].text(node.results[place.name], system)


def value_text(item: Input, value: Value, system: str) -> str:
    """A value as a field holds it."""
    if isinstance(item, Log):
        return form_text(str(value))
    if isinstance(value, str):
        return value
    if isinstance(item, Written):
        return item.field_text(value)
    return item.field_text(value, system) if isinstance(item, Number) else f"{value:g}"


def tolerance_text(item: Input, tolerance: Tolerance | None, system: str) -> str:
    """A tolerance as a field holds it."""
    if tolerance is None or not isinstance(item, Number):
        return ""
    return entries.tolerance_text(tolerance, item.unit_in(system))


def fill(node: Node, system: str) -> Json:
    """The form of a calculator as far as the rig fills it: what it states, and what follows.

    What nobody gives is listed as missing, and stays as the form has it.
    """
    fields: dict[str, str] = {}
    tolerances: dict[str, str] = {}
    for key in (*node.stated, *node.derived):
        item = node.shape.inputs[key]
        fields[key] = value_text(item, node.given.values[key], system)
        tolerances[key] = tolerance_text(item, node.given.tolerances.get(key), system)
    return {
        "fields": fields,
        "tolerances": tolerances,
        "derived": {key: place.card for key, place in node.derived.items()},
        "missing": list(node.missing),
        "refused": [{"name": e.name, "message": e.message} for e in node.refused],
    }


def kept(
    card: Calculator,
    node: Node | None,
    fields: Mapping[str, str],
    tolerances: Mapping[str, str],
    system: str,
) -> dict[str, Stated | None]:
    """What a form says of the rig, by key: only what differs from what the rig has or derives.

    A row that the form no longer has is dropped: None.

    Raises:
        FormError: Naming every field that is not understood.
    """
    form = read(card, fields, tolerances, system)
    shape = card.shape(form.values)
    changes: dict[str, Stated | None] = {}
    for key, item in shape.inputs.items():
        if not item.rig or not asked(card, key, item, form.values):
            continue
        stated = Stated(form.values[key], form.tolerances.get(key))
        if not _has(node, key, stated, form):
            changes[ENTRIES[item.rig].key(row_of(key, item.name))] = stated
    return changes | _gone(node, shape.inputs)


def _gone(node: Node | None, inputs: Mapping[str, Input]) -> dict[str, Stated | None]:
    """Entries of rows that the form no longer has."""
    return {
        entry: None
        for key, entry in (node.stated if node else {}).items()
        if key not in inputs and entry_of(entry)[0].rows
    }


def _has(node: Node | None, key: str, stated: Stated, form: Given) -> bool:
    """Whether the rig states or derives just this, to what a reader can tell apart."""
    if node is None or (key not in node.stated and key not in node.derived):
        return False
    value = node.given.values[key]
    if isinstance(value, str) or isinstance(stated.value, str):
        return value == stated.value
    before = (value, *node.given.spans.get(key, (value, value)))
    after = (stated.value, *form.spans.get(key, (stated.value, stated.value)))
    apart = TOLD_APART * max(map(abs, before))
    return all(abs(a - b) <= apart for a, b in zip(before, after, strict=True))
