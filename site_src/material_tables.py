"""Tables of materials and parts as HTML: every value with its spread, its source and its note."""

import re
from collections.abc import Callable
from html import escape

from calculators.tables import UNPUBLISHED, Cell, Column, Row, Table
from calculators.units.showing import MINUS

Cite = Callable[[str], str]
"""Makes the link to a source from its key."""

_MINUS = re.compile(r"(?<!\w)-(?=\d)")

MOST_ACROSS = 16
"""More materials than this stand below each other: a list of sizes, not a comparison."""


def table_html(table: Table, cite: Cite) -> str:
    """The table with its notes below, numbered in the order of reading.

    A few materials stand side by side, properties down; a long list, and one of a single
    property, goes down the page.
    """
    notes: list[str] = []
    down = len(table.rows) > MOST_ACROSS or len(table.columns) == 1
    body = (_list if down else _across)(table, cite, notes)
    about = "".join(
        f"<li><b>{escape(row.label)}</b>: {escape(row.note)}</li>" for row in table.rows if row.note
    )
    listed = "".join(f"<li>{escape(note)}</li>" for note in notes)
    return (
        f'<div class="material" id="table-{table.id}">\n'
        f"<table>\n<caption>{escape(table.title)}</caption>\n{body}</table>\n"
        + (f'<ol class="table-notes">{listed}</ol>\n' if notes else "")
        + (f'<ul class="table-notes">{about}</ul>\n' if about else "")
        + (f'<p class="table-notes">{escape(table.note)}</p>\n' if table.note else "")
        + "</div>"
    )


def _across(table: Table, cite: Cite, notes: list[str]) -> str:
    """Properties down, materials across."""
    heads = "".join(_head(row.label) for row in table.rows)
    lines = []
    for column in table.columns:
        cells = "".join(_cell(row.cells.get(column.name), cite, notes) for row in table.rows)
        lines.append(f'<tr><th scope="row">{_property(column)}</th>{cells}</tr>\n')
    return _filled(f'<th scope="col">Property</th>{heads}', lines)


def _list(table: Table, cite: Cite, notes: list[str]) -> str:
    """Materials down, properties across; a source that a long list shares is named once."""
    shared = _shared_source(table) if len(table.rows) > MOST_ACROSS else None
    heads = "".join(f'<th scope="col">{_property(column)}</th>' for column in table.columns)
    lines = []
    for row in table.rows:
        cells = "".join(_list_cell(row, c, cite, notes, shared) for c in table.columns)
        lines.append(f'<tr><th scope="row">{escape(row.label)}</th>{cells}</tr>\n')
    if shared:
        span = len(table.columns) + 1
        lines.append(
            f'<tr><td class="of" colspan="{span}">All values: {_source(shared, cite)}</td></tr>\n'
        )
    return _filled(f'<th scope="col">Name</th>{heads}', lines)


def _filled(heads: str, lines: list[str]) -> str:
    return f"<thead><tr>{heads}</tr></thead>\n<tbody>\n{''.join(lines)}</tbody>\n"


def _head(label: str) -> str:
    return f'<th scope="col">{escape(label)}</th>'


def _property(column: Column) -> str:
    help_text = f"<small>{escape(column.help)}</small>" if column.help else ""
    return f"{escape(column.label)}{help_text}"


def _shared_source(table: Table) -> str | None:
    """The source of every cell, if they all have the same."""
    sources = {cell.source for row in table.rows for cell in row.cells.values()}
    return sources.pop() if len(sources) == 1 else None


def _list_cell(row: Row, column: Column, cite: Cite, notes: list[str], shared: str | None) -> str:
    cell = row.cells.get(column.name)
    if cell is None or shared is None:
        return _cell(cell, cite, notes)
    return f"<td>{_value(cell)}{_mark(cell, notes)}</td>"


def _cell(cell: Cell | None, cite: Cite, notes: list[str]) -> str:
    if cell is None:
        return '<td class="none">none found</td>'
    where = f" {escape(cell.where)}" if cell.where else ""
    source = f'<small class="of">{_source(cell.source, cite)}{where}</small>'
    return f"<td>{_value(cell)}{_mark(cell, notes)}{source}</td>"


def _value(cell: Cell) -> str:
    """The text with the minus sign that numbers have everywhere else."""
    return escape(_MINUS.sub(MINUS, cell.text))


def _source(source: str, cite: Cite) -> str:
    return escape(source) if source in UNPUBLISHED else cite(source)


def _mark(cell: Cell, notes: list[str]) -> str:
    return f"<sup>{_number(cell.note, notes)}</sup>" if cell.note else ""


def _number(note: str, notes: list[str]) -> int:
    """Number of a note; the same words are one note."""
    if note not in notes:
        notes.append(note)
    return notes.index(note) + 1
