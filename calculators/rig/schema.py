"""The entries of a rig: what a rig can state, found in the declarations that name them.

An entry has a path, ``element.capacitance``; one that repeats has rows, and its path names them:
``power.supply.capacity``. What a rig holds has a key: the path itself, or the path with the number
of its row, ``power.supply.1.capacity``.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import chain

from calculators.declare import Calculator, Choice, Input, Number, Output
from calculators.errors import InputError
from calculators.registry import CALCULATORS

SECTIONS = {
    "element": "Element",
    "potting": "Potting",
    "cable": "Cable",
    "front_end": "Front end",
    "recorder": "Recorder",
    "power": "Power",
    "card": "Card",
    "case": "Case",
    "seals": "Seals",
    "ballast": "Ballast",
    "mooring": "Mooring",
    "site": "Site",
    "plan": "Plan",
}
"""The parts of a rig, in the order of the signal and then of the work."""


LABELS = {
    "element.loss_tangent": "Loss tangent of the element",
    "potting.coat_thickness": "Coat around the element",
    "front_end.output_corner": "Corner of the way into the recorder",
    "recorder.band_low": "Band of the recording from",
    "recorder.band_high": "Band of the recording to",
    "case.free_volume": "Free air in the case",
    "ballast.wanted_weight": "Weight of the case wanted in water, with its ballast",
    "ballast.weight": "Weight of the case in water, with its ballast",
    "plan.depth": "Depth",
    "site.water_temperature": "Temperature of the water",
    "site.air_pressure": "Air pressure",
    "site.water_depth": "Depth of the water where it is least",
    "site.coldest_temperature": "Coldest temperature of the water",
    "plan.source_frequency": "Frequency of the sound wanted",
    "plan.distance": "Distance of the sound wanted",
    "plan.lowest_wanted": "Lowest sound wanted",
    "plan.highest_wanted": "Highest sound wanted",
    "plan.hydrophone_depth": "Depth of the hydrophone",
    "plan.duration": "Time in the water",
}
"""What a rig calls entries that its calculators ask for in words of their own."""


@dataclass(frozen=True)
class Place:
    """An input or output of a calculator."""

    card: str
    name: str


@dataclass(frozen=True)
class Entry:
    """One thing that a rig can state.

    ``item`` is how it is read, shown and explained: as the first input that stands for it, with
    the widest range and all options that any of them accepts. ``uses`` are the inputs that stand
    for it, ``gives`` the output that gives it where the rig does not state it.
    """

    path: str
    item: Input
    uses: tuple[Place, ...]
    gives: Place | None

    @cached_property
    def section(self) -> str:
        """The part of the rig it belongs to."""
        return self.path.split(".")[0]

    @cached_property
    def rows(self) -> str:
        """The path of the rows it repeats in, empty if it stands once: ``power.supply``."""
        return self.path.rpartition(".")[0] if self.path.count(".") == 2 else ""

    @cached_property
    def name(self) -> str:
        """The last part of its path."""
        return self.path.rpartition(".")[2]

    @cached_property
    def candidates(self) -> "tuple[Entry, ...]":
        """The entries that its input may have its value from, itself among them."""
        return entries_for(self.item)

    def key(self, row: int) -> str:
        """What a rig calls it, in this row where it repeats."""
        return f"{self.rows}.{row}.{self.name}" if self.rows else self.path

    def label(self, row: int) -> str:
        """What a reader calls it, with the number of its row where it repeats."""
        return f"{self.item.label} {row}" if self.rows else self.item.label


def entries_for(item: Input) -> tuple[Entry, ...]:
    """The entries that an input may have its value from, the first that has one."""
    otherwise = item.rig_otherwise if isinstance(item, Number) else ""
    return tuple(ENTRIES[path] for path in (item.rig, otherwise) if path)


@dataclass(frozen=True)
class Rows:
    """Entries that repeat together: a battery, a part in the case."""

    path: str
    label: str
    most: int


def _uses() -> Iterator[tuple[Calculator, Input]]:
    for card in CALCULATORS.values():
        for item in card.inputs:
            if item.rig:
                yield card, item


def _gives() -> Iterator[tuple[Calculator, Output]]:
    for card in CALCULATORS.values():
        for output in card.outputs:
            if output.rig:
                yield card, output


def _entries() -> dict[str, Entry]:
    """Every entry that an input stands for, by section and then as the calculators come."""
    items: dict[str, list[Input]] = {}
    uses: dict[str, list[Place]] = {}
    for card, item in _uses():
        items.setdefault(item.rig, []).append(item)
        uses.setdefault(item.rig, []).append(Place(card.id, item.name))
    gives = {output.rig: Place(card.id, output.name) for card, output in _gives()}
    found = [
        Entry(path, _named(path, items[path]), tuple(uses[path]), gives.get(path)) for path in items
    ]
    order = list(SECTIONS)
    found.sort(key=lambda entry: order.index(entry.section))
    return {entry.path: entry for entry in found}


def _named(path: str, items: list[Input]) -> Input:
    """One declaration, in the rig's words where the calculators have each their own."""
    item = _widest(items)
    alike = len({other.hint for other in items}) == 1
    return replace(item, label=LABELS.get(path, item.label), hint=item.hint if alike else "")


def _widest(items: list[Input]) -> Input:
    """One declaration that accepts what any of these accepts, asked for whatever is chosen."""
    first = items[0]
    if isinstance(first, Number):
        numbers = [item for item in items if isinstance(item, Number)]
        low, high = (
            min(numbers, key=lambda item: item.low_si),
            max(numbers, key=lambda item: item.high_si),
        )
        why = first.why if low is high else "what any calculator that asks for it accepts"
        return replace(first, low=low.low, high=high.high, why=why, shown=None)
    if isinstance(first, Choice):
        choices = [item for item in items if isinstance(item, Choice)]
        options = {option.value: option for option in chain(*(c.options for c in choices))}
        return replace(first, options=tuple(options.values()), shown=None)
    return replace(first, shown=None)


def _rows() -> dict[str, Rows]:
    """Rows by their path, as many as the calculator with the fewest of them takes."""
    found: dict[str, Rows] = {}
    for card, item in _uses():
        for group in card.groups:
            if group.name != item.group:
                continue
            path = item.rig.rpartition(".")[0]
            most = min(group.most, found[path].most if path in found else group.most)
            found[path] = Rows(path, group.label, most)
    return found


ENTRIES: dict[str, Entry] = _entries()
"""Every entry by its path."""

ROWS: dict[str, Rows] = _rows()
"""Every kind of row by its path."""


def entry_of(key: str) -> tuple[Entry, int]:
    """The entry that a key of a rig means, and its row, 1 where it stands once.

    Raises:
        InputError: If no entry is called so, or the row is none.
    """
    parts = key.split(".")
    path, row = key, "1"
    if len(parts) == 4:
        path, row = f"{parts[0]}.{parts[1]}.{parts[3]}", parts[2]
    entry = ENTRIES.get(path)
    if entry is None or bool(entry.rows) != (len(parts) == 4):
        raise InputError(key, f"“{key[:60]}” is not an entry of a rig.")
    most = ROWS[entry.rows].most if entry.rows else 1
    if not (row.isascii() and row.isdecimal() and len(row) <= 3 and 1 <= int(row) <= most):
        raise InputError(key, f"“{key[:60]}”: the rows are numbered 1 to {most}.")
    return entry, int(row)


def label_of(key: str) -> str:
    """What a reader calls the entry of a key."""
    entry, row = entry_of(key)
    return entry.label(row)


def place_in_order(key: str) -> tuple[int, int, int, int]:
    """Sorts keys as a file has them: by section, by kind of row, row by row, then as declared."""
    entry, row = entry_of(key)
    kind = 1 + list(ROWS).index(entry.rows) if entry.rows else 0
    return list(SECTIONS).index(entry.section), kind, row, list(ENTRIES).index(entry.path)
