"""Which hours are left out, for which finding and channel; by hand from places that are given."""

import csv
import io
from dataclasses import replace

import numpy as np
import pytest

from calculators.recording.calibration import Calibration
from calculators.recording.findings import MOST_SPANS, Finding, Span, finding
from calculators.recording.report import report_html
from calculators.recording.report_data import report_json
from calculators.recording.shown import Shown
from calculators.recording.tables import TABLES
from calculators.recording.usable import Usable, by_day, summed_up, usable
from tests.recording.made_summary import long_summary

FLOODED = finding("flooded", "spoils", "likely", "Made.", [Span(5, 1, 0.0, 7200.0)])
"""From the start of the sixth file, for two hours: a file an hour, the first at 20:00."""

HUM = finding("hum", "harms", "certain", "Made.", [Span(None, 0, 0.0, 0.0)])
NOTE = finding("jumps", "note", "possible", "Made.", [Span(1, 0, 10.0, 1.0)])
GAP = finding("gap", "harms", "certain", "Made.", [Span(3, None, 0.0, 0.0)])


def shown(*findings: Finding, clocked: bool = True, gap: bool = False) -> Shown:
    """Half a day that nobody measured, in one file an hour."""
    return Shown(long_summary(0.5, clocked=clocked, gap=gap), Calibration(), findings)


def against(found: Usable) -> dict[int, tuple[tuple[str, ...], ...]]:
    """Hours that are left out, by their number."""
    return {n: hour.against for n, hour in enumerate(found.hours) if not hour.free}


def test_an_hour_is_left_out_where_a_finding_has_a_place() -> None:
    found = usable(shown(FLOODED, HUM, NOTE, GAP))
    assert against(found) == {5: ((), ("flooded",)), 6: ((), ("flooded",))}
    assert [f.kind for f in found.throughout] == ["hum"]


def test_a_place_that_crosses_the_hour_leaves_both_out_and_one_that_ends_there_does_not() -> None:
    late = finding("stuck", "harms", "certain", "Made.", [Span(2, None, 3590.0, 20.0)])
    ends = finding("repeated", "harms", "certain", "Made.", [Span(8, None, 3000.0, 600.0)])
    found = usable(shown(late, ends))
    assert against(found) == {
        2: (("stuck",), ("stuck",)),
        3: (("stuck",), ("stuck",)),
        8: (("repeated",), ("repeated",)),
    }


def test_a_finding_of_a_file_leaves_out_its_hour() -> None:
    mixed = finding("mixed", "harms", "certain", "Made.", [Span(4, None, 0.0, 0.0)])
    assert list(against(usable(shown(mixed)))) == [4]


def test_clipping_counts_in_every_column_and_not_only_where_it_is_listed() -> None:
    made = shown(finding("clipped", "harms", "certain", "Made.", [Span(0, 0, 1.0, 0.01)]))
    clipped = made.summary.columns.clipped.copy()
    at = int(np.searchsorted(made.summary.columns.start, made.summary.hours.start[7] + 1800))
    clipped[:, at] = 3
    columns = replace(made.summary.columns, clipped=clipped)
    found = usable(replace(made, summary=replace(made.summary, columns=columns)))
    assert against(found) == {0: (("clipped",), ()), 7: (("clipped",), ())}


def test_more_places_than_are_listed_are_said() -> None:
    places = [Span(0, 0, float(n), 0.1) for n in range(MOST_SPANS + 5)]
    made = shown(finding("jumps", "harms", "possible", "Made.", places))
    assert usable(made).more == ("jumps",)
    assert "More hours may have to be left out" in " ".join(summed_up(made, usable(made)))


def test_days_say_what_is_free_and_what_is_left_out() -> None:
    made = shown(FLOODED, HUM)
    rows = by_day(made, usable(made))
    assert rows == [
        ("2026-05-08", ["4\u00a0h", "20:00–24:00", "none"]),
        (
            "2026-05-09",
            ["8\u00a0h", "00:00–01:00, 03:00–08:00", "01:00–03:00: flooded (channel 2, right)"],
        ),
    ]
    said = " ".join(summed_up(made, usable(made)))
    assert "Free in every channel: 10\u00a0h of 12\u00a0h recorded, in 10 of 12 hours." in said
    assert "Throughout: hum (channel 1, left)." in said


@pytest.mark.parametrize("clocked", [True, False])
def test_every_form_of_the_report_has_the_hours(clocked: bool) -> None:
    made = shown(FLOODED, HUM, clocked=clocked)
    lines = TABLES["usable"](made).splitlines()
    rows = list(csv.DictReader(io.StringIO("\n".join(x for x in lines if not x.startswith("#")))))
    assert [row["free"] for row in rows].count("no") == 2
    assert rows[5]["channel_2_against"] == "flooded"
    assert rows[5]["channel_1_against"] == ""
    data = report_json(made)["usable"]
    assert data["hours"][5]["against"] == [[], ["flooded"]]
    assert data["hours"][5]["seconds_from_start"] == 5 * 3600.0
    assert data["throughout"] == ["hum"]
    html = report_html(made)
    assert "Which hours to use" in html
    assert "leave no hour out" in html
    assert ("01:00–03:00: flooded" if clocked else "5\u00a0h–7\u00a0h: flooded") in html
