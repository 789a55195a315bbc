"""Entries of a rig that a table of materials or parts fills in: a density cannot be turned."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, cached_property

from calculators import fills
from calculators.declare import Calculator
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
        """The entries that it fills, none of them in rows that repeat."""
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
    """Tables that fill what these calculators ask for; one that several have is changed for all.

    What the site gives is no material: such a table is left out.
    """
    wanted = sorted({(f.name, f.table.id) for card in cards for f in CALCULATORS[card].fills})
    found = [_joined(name, table) for name, table in wanted]
    return [f for f in found if f.entries and all(ENTRIES[k].section != "site" for k in f.entries)]


@cache
def _joined(name: str, table: str) -> RigFill:
    """What a table fills in all calculators that have it under this name."""
    rows: dict[str, dict[str, Stated]] = {}
    label = ""
    for card in CALCULATORS.values():
        for fill in card.fills:
            if (fill.name, fill.table.id) == (name, table):
                label = label or fill.label
                for row in fill.rows:
                    rows.setdefault(row.label, {}).update(_row(card, fill.name, row.name))
    most = max((len(stated) for stated in rows.values()), default=0)
    whole = {row: stated for row, stated in rows.items() if len(stated) == most}
    return RigFill(label, whole)


def _row(card: Calculator, fill: str, row: str) -> dict[str, Stated]:
    """The entries that a row fills in a rig."""
    found = {}
    for name, (value, tolerance) in fills.cells(card, fill, row).items():
        path = card.inputs_by_name[name].rig
        if path and not ENTRIES[path].rows:
            found[path] = Stated(value, tolerance)
    return found
