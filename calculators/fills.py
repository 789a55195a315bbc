"""Fields filled from a row of a table, and which row the fields stand for."""

from collections.abc import Mapping
from functools import cache
from math import isclose

from calculators import entries, units
from calculators.declare import Calculator, Fill, Number
from calculators.evaluate import Given
from calculators.tables import Row
from calculators.units import Tolerance

SAME = 2 * entries.SAME
"""A field holds a rounded text, in the units of either system: this much may be lost."""

Cells = dict[str, tuple[float, Tolerance | None]]
"""Value and spread for each input, SI."""


def texts(
    card: Calculator, fill: Fill, row: str, system: str
) -> tuple[dict[str, str], dict[str, str]]:
    """Fields and tolerances of a row as the form shows them.

    Raises:
        InputError: If there is no such row.
    """
    fields, tolerances = {}, {}
    for name, (value, spread) in cells(card, fill.name, fill.row(row).name).items():
        item = _number(card, name)
        fields[name] = item.field_text(value, system)
        unit = item.unit_in(system)
        tolerances[name] = entries.tolerance_text(spread, unit) if spread else ""
    return fields, tolerances


def expand(card: Calculator, given: Mapping[str, str]) -> dict[str, str]:
    """Names and texts (``"1300 ± 12.5 %"``) with every fill named replaced by what it fills.

    An input that is named as well keeps its own text.

    Raises:
        InputError: If a fill names no row.
    """
    filled: dict[str, str] = {}
    for name in given.keys() & card.fills_by_name.keys():
        fill = card.fills_by_name[name]
        cells = fill.row(given[name].strip()).cells
        filled |= {key: cells[column].text for key, column in fill.inputs.items()}
    return filled | {key: text for key, text in given.items() if key not in card.fills_by_name}


def standing(card: Calculator, given: Given) -> dict[str, str]:
    """For each fill the row that the fields stand for, empty where they are the reader's own."""
    return {fill.name: _row_of(card, fill, given) for fill in card.fills}


def _row_of(card: Calculator, fill: Fill, given: Given) -> str:
    found = (row.name for row in fill.rows if _matches(cells(card, fill.name, row.name), given))
    return next(found, "")


def _matches(cells: Cells, given: Given) -> bool:
    values_agree = all(
        isclose(float(given.values[name]), value, rel_tol=SAME)
        for name, (value, _) in cells.items()
    )
    return values_agree and all(
        _same_spread(spread, given.tolerances.get(name)) for name, (_, spread) in cells.items()
    )


def _same_spread(one: Tolerance | None, other: Tolerance | None) -> bool:
    if one is None or other is None:
        return one is other
    ends = ((one.low, other.low), (one.high, other.high))
    return one.relative == other.relative and all(isclose(a, b, rel_tol=1e-4) for a, b in ends)


@cache
def cells(card: Calculator, fill: str, row: str) -> Cells:
    """Read once: this is asked for at every keystroke."""
    chosen = card.fills_by_name[fill]
    return {
        name: _cell(_number(card, name), chosen.row(row), column)
        for name, column in chosen.inputs.items()
    }


def _cell(item: Number, row: Row, column: str) -> tuple[float, Tolerance | None]:
    cell = row.cells[column]
    value = units.parse(cell.value, item.unit, name=item.name, label=item.label)
    return value, units.read_tolerance(cell.tolerance, item.unit, name=item.name)


def _number(card: Calculator, name: str) -> Number:
    item = card.inputs_by_name[name]
    assert isinstance(item, Number)
    return item
