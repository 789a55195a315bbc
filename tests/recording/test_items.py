"""What a report tells as one item: the same in the page, in the report, and on the command line."""

import csv
import io
import json
import re

import pytest

from calculators.recording.checking import Wanted, check
from calculators.recording.command import _lines
from calculators.recording.findings import Span, finding, items_of
from calculators.recording.report import report_html
from calculators.recording.report_data import report_json
from calculators.recording.synthetic import demo
from calculators.recording.tables import TABLES
from tests.recording.desks import ask, desk_opened, work
from tests.recording.judged import PARTED


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """The demo, with faults in both channels: what is shown, and what the page gets."""
    files = [(made.name, made.data) for made in demo()]
    folder = tmp_path_factory.mktemp("demo")
    for name, data in files:
        (folder / name).write_bytes(data)
    shown = check(Wanted([folder / name for name, _ in files], [n for n, _ in files], "Demo"))
    desk, opened = desk_opened(files)
    work(desk, ask(desk, op="plan", workers=1)["stretches"], files, opened["order"])
    return shown, ask(desk, op="report", level=None, width=340)


def html_text(shown):
    """The report without its pictures and style."""
    return re.sub(r"<(svg|style)\b.*?</\1>", "", report_html(shown), flags=re.S)


def test_page_report_and_command_line_tell_the_same_items_in_the_same_words(told):
    """In one order: titles, and what is said of each channel."""
    shown, page = told
    assert len(page["findings"]) < len(shown.findings)
    items = [(one["title"], one["what"]) for one in page["findings"]]
    html = re.findall(r"<h3>(\d+)\. (.*?) <span.*?</h3>\n((?:<p>.*?</p>\n)+)", html_text(shown))
    assert [int(number) for number, _, _ in html] == list(range(1, len(items) + 1))
    assert [(title, re.findall("<p>(.*?)</p>", says)) for _, title, says in html] == items
    lines = "\n".join(_lines(shown, []))
    for number, (title, says) in enumerate(items, 1):
        first = f"\n{number}. {title} ("
        assert first in lines
        told_there = lines.split(first)[1].split("\n   Where:")[0].split("\n   To do:")[0]
        assert [line.strip() for line in told_there.split("\n")[1:]] == says


def test_data_keep_channels_apart_under_the_number_of_their_item(told):
    """One finding each in JSON, one row a place in CSV, both with the number of the report."""
    shown, page = told
    data = report_json(shown)["findings"]
    assert len(data) == len(shown.findings)
    for number, item in enumerate(page["findings"], 1):
        mine = [one for one in data if one["number"] == number]
        assert [one["what"] for one in mine] == item["what"]
        assert {one["title"] for one in mine} == {item["title"]}
    rows = [line for line in TABLES["findings"](shown).splitlines() if not line.startswith("#")]
    table = list(csv.DictReader(io.StringIO("\n".join(rows))))
    assert {(int(row["number"]), row["what"]) for row in table} == {
        (one["number"], one["what"]) for one in data
    }
    (clipped,) = {one["number"] for one in data if one["kind"] == "clipped"}
    assert {row["channel"] for row in table if int(row["number"]) == clipped} == {"1", "2"}


def test_findings_of_another_weight_or_kind_stay_apart():
    """And the places of those that are told together are in the order of time."""
    left = finding("clipped", "harms", "certain", "Left.", [Span(0, 0, 2.0, 0.1)])
    right = finding("clipped", "harms", "certain", "Right.", [Span(0, 1, 1.0, 0.1)])
    worse = finding("clipped", "spoils", "certain", "Both.", [Span(None, None, 0.0, 0.0)])
    hum = finding("hum", "harms", "certain", "Left.")
    items = items_of([worse, left, hum, right])
    assert [item.findings for item in items] == [(worse,), (left, right), (hum,)]
    assert items[1].says == ("Left.", "Right.")
    assert [span.channel for span in items[1].where] == [1, 0]


def test_no_number_is_parted_from_its_unit(told):
    """In any sentence of page and report; pictures break no lines."""
    shown, page = told
    sentences = json.dumps({**page, "pictures": []}, ensure_ascii=False)
    assert PARTED.findall(sentences) == []
    assert PARTED.findall(html_text(shown)) == []
    assert PARTED.findall("\n".join(_lines(shown, []))) == []
    assert len(re.findall("[0-9]\u00a0(?:dB|%|k?Hz|m?s|h|min)", html_text(shown))) > 50
