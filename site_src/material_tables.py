"""Tables of materials and parts as HTML: every value with its spread, its source and its note."""

from collections.abc import Callable
from html import escape

from calculators.tables import UNPUBLISHED, Cell, Table

Cite = Callable[[str], str]
"""Makes the link to a source from its key."""


def table_html(table: Table, cite: Cite) -> str:
    """Properties down, materials across; notes below, numbered in the order of reading."""
    notes: list[str] = []
    heads = "".join(f'<th scope="col">{escape(row.label)}</th>' for row in table.rows)
    lines = []
    for column in table.columns:
        cells = "".join(_cell(row.cells.get(column.name), cite, notes) for row in table.rows)
        help_text = f"<small>{escape(column.help)}</small>" if column.help else ""
        head = f'<th scope="row">{escape(column.label)}{help_text}</th>'
        lines.append(f"<tr>{head}{cells}</tr>")
    about = "".join(
        f"<li><b>{escape(row.label)}</b>: {escape(row.note)}</li>" for row in table.rows if row.note
    )
    body = "\n".join(lines)
    listed = "".join(f"<li>{escape(note)}</li>" for note in notes)
    return (
        f'<div class="material" id="table-{table.id}">\n'
        f"<table>\n<caption>{escape(table.title)}</caption>\n"
        f'<thead><tr><th scope="col">Property</th>{heads}</tr></thead>\n'
        f"<tbody>\n{body}\n</tbody>\n</table>\n"
        + (f'<ol class="table-notes">{listed}</ol>\n' if notes else "")
        + (f'<ul class="table-notes">{about}</ul>\n' if about else "")
        + (f'<p class="table-notes">{escape(table.note)}</p>\n' if table.note else "")
        + "</div>"
    )


def _cell(cell: Cell | None, cite: Cite, notes: list[str]) -> str:
    if cell is None:
        return '<td class="none">none found</td>'
    source = escape(cell.source) if cell.source in UNPUBLISHED else cite(cell.source)
    where = f" {escape(cell.where)}" if cell.where else ""
    mark = f"<sup>{_number(cell.note, notes)}</sup>" if cell.note else ""
    return f'<td>{escape(cell.text)}{mark}<small class="of">{source}{where}</small></td>'


def _number(note: str, notes: list[str]) -> int:
    """Number of a note; the same words are one note."""
    if note not in notes:
        notes.append(note)
    return notes.index(note) + 1
