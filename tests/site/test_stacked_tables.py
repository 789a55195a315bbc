"""Does a table of prose know its columns' names in every cell, and is every other left as it is?"""

import pytest
from markdown import markdown

from site_src.stacked_tables import mark

LONG = "a sentence that nobody compares with others"


def table(*rows):
    lines = [f"| {' | '.join(row)} |" for row in rows]
    lines.insert(1, "|---" * len(rows[0]) + "|")
    return markdown("\n".join(lines), extensions=["tables"])


def test_each_cell_but_the_first_names_its_column_as_text():
    """The name is what a reader would see in the head, safe in an attribute."""
    html = mark(table(["*name*", "test & `x`", "<", "cure"], ["hum", LONG, "", "none"]))

    assert '<td role="rowheader">hum</td>' in html
    assert f'<td role="cell" data-column="test &amp; x">{LONG}</td>' in html
    assert '<td role="cell" data-column="&lt;"></td>' in html
    assert '<td role="cell" data-column="cure">none</td>' in html
    assert html.count('role="row"') == 2
    assert html.count('role="columnheader"') == 4


@pytest.mark.parametrize(
    "rows",
    [
        [["a", "b", "c"], [LONG, LONG, LONG]],
        [["a", "b", "c", "d"], ["1", "2", "3", "4"]],
        [["step", "date", "A", "B"], [LONG, "", "", ""]],
    ],
    ids=["three columns", "numbers", "to be written in"],
)
def test_other_tables_stay_as_they_are(rows):
    """They fit, or are compared along a column, or are there for a pencil."""
    assert mark(table(*rows)) == table(*rows)
