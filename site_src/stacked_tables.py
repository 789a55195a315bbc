"""Tables of prose that a phone shows row below row, each cell after the name of its column.

Only tables written in Markdown, which come as ``<table>``, ``<thead>`` and ``<tr>`` on lines of
their own. Numbers are compared along a column, so a table without a sentence in it scrolls as it
is; so does one that is mostly empty, which is there to be written in.
"""

import re
from html import escape, unescape

COLUMNS = 4
"""From here on a phone has no room for the columns side by side."""

PROSE = 30
"""Characters; a cell as long as this is read, not compared."""

_TABLE = re.compile(r"<table>\n<thead>\n<tr>\n(.*?)</tr>\n</thead>\n<tbody>\n(.*?)</tbody>", re.S)
_CELL = re.compile(r"<(t[hd])([^>]*)>(.*?)</\1>", re.S)


def mark(html: str) -> str:
    """The page with the columns' names on the cells of such tables; the style does the rest."""
    return _TABLE.sub(_marked, html)


def _marked(table: re.Match[str]) -> str:
    head, body = table.groups()
    names = [_words(cell) for _, _, cell in _CELL.findall(head)]
    cells = [_words(cell) for _, _, cell in _CELL.findall(body)]
    if len(names) < COLUMNS or "arithmatex" in head or not _reads(cells):
        return table[0]
    rows = body.replace("<tr>", '<tr role="row">').split("</tr>")
    heads = _CELL.sub(r'<\1\2 role="columnheader">\3</\1>', head)
    return (
        f'<table>\n<thead role="rowgroup">\n<tr role="row">\n{heads}</tr>\n</thead>\n'
        f'<tbody role="rowgroup">\n{"</tr>".join(_row(row, names) for row in rows)}</tbody>'
    )


def _reads(cells: list[str]) -> bool:
    filled = [cell for cell in cells if cell]
    return 2 * len(filled) > len(cells) and max(map(len, filled)) >= PROSE


def _row(row: str, names: list[str]) -> str:
    """Roles are written out: a cell that is no longer laid out as one may lose its own."""
    roles = ['role="rowheader"', *(f'role="cell" data-column="{escape(n)}"' for n in names[1:])]
    left = iter(roles)

    def cell(found: re.Match[str]) -> str:
        tag, attributes, content = found.groups()
        return f"<{tag}{attributes} {next(left)}>{content}</{tag}>"

    return _CELL.sub(cell, row)


def _words(html: str) -> str:
    return unescape(re.sub(r"<[^>]+>", "", html)).strip()
