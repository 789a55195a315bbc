"""Entries of a rig that a table of materials or parts fills in: a density cannot be turned."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, cached_property

from calculators import fills
from calculators.declare import Calculator, Fill
from calculators.registry import CALCULATORS
from calculators.rig.model import Stated
from calculators.rig.schema import ENTRIES


@dataclass(frozen=True)
class RigFill:
    """A table that fills entries of a rig: what each row makes of them."""

    label: str
    rows: dict[str, dict[str, Stated]]

    @cached_property
    def entries(self) -> tuple[str, ...]:
        """The entries that it fills."""
        return tuple(next(iter(self.rows.values()), {}))


@cache
def filled_entries() -> frozenset[str]:
    """Every entry that a table fills in; but what has a mass can be weighed out."""
    return frozenset(
        key
        for fill in fills_of(CALCULATORS)
        for key in fill.entries
        if ENTRIES[key].item.si_unit != "kg"
    )


def fills_of(cards: Iterable[str]) -> list[RigFill]:
    """Tables that fill what these calculators ask for, each once.

    What the site gives is no material: such a table is left out.
    """
    found = {
        joined.entries: joined
        for card in cards
        for fill in CALCULATORS[card].fills
        if (joined := _joined(card, fill.name)).entries
    }
    return [f for f in found.values() if not any(k.startswith("site.") for k in f.entries)]


@cache
def _joined(card: str, name: str) -> RigFill:
    """What a table fills in this calculator, and in all that fill the same from it.

    A resin is one resin wherever it is asked for; lid and tube may be of two metals.
    """
    its = CALCULATORS[card].fills_by_name[name]
    entries = _entries(CALCULATORS[card], its)
    rows: dict[str, dict[str, Stated]] = {}
    for other in CALCULATORS.values():
        for fill in other.fills:
            if fill.table is its.table and entries & _entries(other, fill):
                for row in fill.rows:
                    rows.setdefault(row.label, {}).update(_row(other, fill.name, row.name))
    most = max((len(stated) for stated in rows.values()), default=0)
    whole = {row: stated for row, stated in rows.items() if len(stated) == most}
    return RigFill(its.label, whole)


def _entries(card: Calculator, fill: Fill) -> set[str]:
    """The entries that it fills; none of them stands in rows."""
    return {path for name in fill.inputs if (path := card.inputs_by_name[name].rig)}


def _row(card: Calculator, fill: str, row: str) -> dict[str, Stated]:
    """The entries that a row fills in a rig."""
    found = {}
    for name, (value, tolerance) in fills.cells(card, fill, row).items():
        if path := card.inputs_by_name[name].rig:
            found[path] = Stated(value, tolerance)
    return found
