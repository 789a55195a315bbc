"""Do the field log's files lose nothing, do other readers read them, and is a fault named?"""

import csv
import io
import json
import re
import subprocess
from pathlib import Path

import pytest

from site_src.node import run_node
from site_src.paths import ROOT

HERE = Path(__file__).parent
FORMULA = re.compile(r'[ "]*[=+\-@＝＋－＠]')


def test_the_module_under_node():
    """The tests that need no page; the first lines of a failure name it."""
    command = ["node", "--test", str(HERE / "field_log_format.test.mjs")]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)
    assert done.returncode == 0, done.stdout[-6000:] + done.stderr[-2000:]
    assert re.search(r"^# pass \d\d", done.stdout, re.MULTILINE), done.stdout[-500:]


@pytest.fixture(scope="module")
def written():
    """Entries with nasty texts, and the CSV that was made of them."""
    return json.loads(run_node(HERE / "field_log_entries.mjs"))


def test_another_reader_finds_the_same_cells(written):
    """Python's own reader, strict; our apostrophes come off by the rule that the page states."""
    assert written["csv"].startswith("\ufeff")
    rows = list(csv.reader(io.StringIO(written["csv"][1:], newline=""), strict=True))
    names = rows[0]
    guarded = re.compile(r"(^|[;\t\n])([ \"]*)'('*)(?=[=+\-@＝＋－＠])")
    found = [
        {n: guarded.sub(r"\1\2\3", cell) for n, cell in zip(names, row, strict=True)}
        for row in rows[1:]
    ]
    assert found == written["entries"]


def test_lines_end_as_the_standard_asks(written):
    """CR LF after every record; a bare LF only within quotation marks."""
    outside = re.sub(r'"[^"]*"', "", written["csv"])
    assert outside.count("\n") == outside.count("\r\n") == len(written["entries"]) + 1


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_no_cell_begins_a_formula_however_the_spreadsheet_cuts(written, delimiter):
    """A file cut at another sign than the comma has other cells; numbers are no formulas."""
    text = written["csv"][1:]
    # Cut at another sign than ours, our quotation marks may count as quotation or as text.
    ways = [csv.QUOTE_MINIMAL] if delimiter == "," else [csv.QUOTE_MINIMAL, csv.QUOTE_NONE]
    readers = [
        csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, quoting=w) for w in ways
    ]
    cells = [cell for reader in readers for row in reader for cell in row]
    begins = [cell for cell in cells if FORMULA.match(cell)]
    assert [cell for cell in begins if not re.fullmatch(r"-?\d+(\.\d+)?", cell)] == []
