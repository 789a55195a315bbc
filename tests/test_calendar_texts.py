"""Dates, times of day, zones and coordinates: read, shown, linked, stepped."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators import calendar_texts as texts
from calculators.declare import (
    Calculator,
    Clock,
    Coordinate,
    Day,
    Moment,
    Number,
    Output,
    Verdict,
    Written,
    Zone,
)
from calculators.describe import describe_input
from calculators.errors import InputError
from calculators.evaluate import FormError, Given, read
from calculators.links import make_link, parse_link
from calculators.solve import solve, solve_text
from tests.cases import one

DAY = Day(name="first_day", label="First day", default="2026-06-21", low="1950-01-01",
          high="2099-12-31", why="what the series hold for")  # fmt: skip
START = Clock(name="start_time", label="Start", default="18:00")
ZONE = Zone(name="time_zone", label="Time zone", default="+2")
NORTH = Coordinate(name="latitude", label="Latitude", default="61.53 N", letters="NS")
EAST = Coordinate(name="longitude", label="Longitude", default="8.2 E", letters="EW")
WAIT = Number(name="wait", label="Wait", unit="h", default="8 h", low="0 h", high="100 h", why="x")

CARD = Calculator(
    id="made-up",
    title="Made up",
    question="?",
    stage="deploy",
    inputs=(DAY, START, ZONE, NORTH, EAST, WAIT),
    outputs=(Output(name="later", label="Later", unit="h"), Moment(name="end", label="End")),
    compute=lambda first_day, start_time, time_zone, latitude, longitude, wait: {
        "later": wait,
        "end": start_time + wait,
    },
)
FIELDS = {i.name: i.default for i in CARD.inputs} | {"wait": "8"}


@pytest.mark.parametrize(
    ("text", "when"),
    [
        ("2026-06-21", date(2026, 6, 21)),
        (" 2026-6-1 ", date(2026, 6, 1)),
        ("2026−06−21", date(2026, 6, 21)),
        ("2024-02-29", date(2024, 2, 29)),
    ],
)
def test_a_date_is_read_year_first(text, when):
    """Independent: the calendar of the standard library, counted from its own epoch."""
    days = when.toordinal() - date(1970, 1, 1).toordinal()
    assert texts.read_day(text, name="x", label="X") == days
    assert texts.day_text(days) == when.isoformat()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("21.6.26", "can mean 2021-06-26 or 2026-06-21"),
        ("6/7/2026", "can mean 2026-07-06 or 2026-06-07"),
        ("3-4-5", "is not a date"),
        ("01.02.03", "can mean 2001-02-03 or 2003-02-01 or 2003-01-02"),
        ("21/6/2026", "If 2026-06-21 is meant"),
        ("2026.06.21", "If 2026-06-21 is meant"),
        ("2026-02-30", "is not a date. Give year-month-day, as in 2026-06-21"),
        ("20260621", "is not a date"),
        ("tomorrow", "is not a date"),
        ("", "nothing is given"),
    ],
)
def test_another_way_to_write_a_date_is_refused_with_what_it_can_mean(text, says):
    """Nothing is guessed: the reader is told the readings, and how to write the one meant."""
    with pytest.raises(InputError) as refused:
        texts.read_day(text, name="first_day", label="First day")
    assert refused.value.name == "first_day"
    assert says in refused.value.message
    assert "First day" in refused.value.message


def test_a_date_out_of_range_is_refused_with_the_range_and_its_reason():
    """As a number is."""
    with pytest.raises(InputError, match=r"is not possible here. Give 1950-01-01 to 2099"):
        DAY.read("1949-12-31", "first_day")


@pytest.mark.parametrize(
    ("text", "seconds"), [("21:30", 77400), ("0:05", 300), ("00:00", 0), ("21h30", 77400)]
)
def test_a_time_of_day_is_read(text, seconds):
    """By hand."""
    assert texts.read_clock(text, name="x", label="X") == seconds


@pytest.mark.parametrize("text", ["24:00", "12:60", "21.30", "21", "9 pm", "-1:00", "", "1:2:3"])
def test_what_is_no_time_of_day_is_refused(text):
    """21.30 may be half past nine or 21.3 hours."""
    with pytest.raises(InputError, match="00:00 to 23:59"):
        texts.read_clock(text, name="start_time", label="Start")


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (77400, "21:30"),
        (86400 + 4 * 3600 + 17 * 60, "04:17 next day"),
        (86399.9, "00:00 next day"),
        (3 * 86400 + 135 * 60, "02:15, 3 days later"),
        (-600, "23:50 the day before"),
        (-86400 - 600, "23:50, 2 days before"),
        (0, "00:00"),
    ],
)
def test_a_moment_says_its_day(seconds, text):
    """By hand; what rounds to midnight is the next day's."""
    assert texts.moment_text(seconds) == text


@given(minutes=st.integers(-20_000, 100_000))
def test_a_moment_reads_back(minutes):
    """A wanted moment is written as it is shown."""
    shown = texts.moment_text(minutes * 60.0)
    assert texts.read_moment(shown, name="x", label="X") == minutes * 60


@pytest.mark.parametrize(
    ("text", "hours"),
    [("+2", 2), ("UTC+2", 2), ("-3:30", -3.5), ("−3:30", -3.5), ("5.75", 5.75), ("+05:45", 5.75),
     ("0", 0), ("UTC", 0), ("14", 14), ("-12", -12)],
)  # fmt: skip
def test_a_time_zone_is_read(text, hours):
    """By hand."""
    assert texts.read_zone(text, name="x", label="X") == hours * 3600


@pytest.mark.parametrize("text", ["+15", "-12:15", "+1:10", "CET", "1:75", "+2.1", "", "+-2"])
def test_what_is_no_time_zone_is_refused(text):
    """Quarters of an hour, from the westernmost to the easternmost zone."""
    with pytest.raises(InputError, match="hours ahead of UTC"):
        texts.read_zone(text, name="time_zone", label="Time zone")


@pytest.mark.parametrize(
    ("text", "degrees"),
    [("61.53", 61.53), ("61.53 N", 61.53), ("61,5n", 61.5), ("12.5 S", -12.5), ("-12.5", -12.5),
     ("−12.50", -12.5), ("61.530°", 61.53), ("0", 0), ("90 N", 90), ("61.53degN", 61.53)],
)  # fmt: skip
def test_a_coordinate_is_read(text, degrees):
    """North positive, by sign or by letter."""
    assert NORTH.read(text, "latitude") == degrees


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("91", "0 to 90 with N or S behind"),
        ("90.01 N", "0 to 90"),
        ("12 E", "is not understood"),
        ("-12 S", "is not understood"),
        ("61° 31′ N", "is not understood"),
        ("61.534", "Give 61.53"),
        ("61.534 S", "Give 61.53 S"),
        ("", "nothing is given"),
    ],
)
def test_a_coordinate_that_does_not_do_is_refused(text, says):
    """A finer one would be in a link; a sign and a letter may contradict each other."""
    with pytest.raises(InputError, match="Latitude") as refused:
        NORTH.read(text, "latitude")
    assert says in refused.value.message


@pytest.mark.parametrize("item", [DAY, START, ZONE, NORTH, EAST], ids=lambda item: item.name)
@given(data=st.data())
def test_every_kind_reads_back_from_field_words_and_link(item: Written, data):
    """Identity for everything that can be written; a link needs no encoding."""
    value = data.draw(one(item))
    link = item.link_text(value)
    for text in (item.field_text(value), item.shown_text(value, "metric"), link):
        assert item.read(text, item.name) == value
    assert link[-1].isalnum()
    assert all(c.isalnum() or c in ".-" for c in link)


@pytest.mark.parametrize(
    ("item", "text", "direction", "after"),
    [
        (DAY, "2026-06-30", 1, "2026-07-01"),
        (DAY, "1950-01-01", -1, "1950-01-01"),
        (START, "18:00", 1, "18:05"),
        (START, "00:00", -1, "00:00"),
        (ZONE, "+2", -1, "+1:30"),
        (ZONE, "0", -1, "-0:30"),
        (NORTH, "61.53", 1, "61.63 N"),
        (NORTH, "0", -1, "0.1 S"),
    ],
)
def test_an_arrow_key_goes_a_step(item, text, direction, after):
    """A day, five minutes, half an hour, a tenth of a degree; not beyond the ends."""
    assert item.stepped(text, direction, item.name) == after


def test_a_link_holds_them_in_readable_form():
    """And opens to what made it."""
    values = read(CARD, FIELDS, {}, "metric").values
    link = make_link(CARD, Given(values), {"later": values["wait"]})
    part = link.partition("&gave=8h&")[2]
    assert part == (
        "first_day=2026-06-21&start_time=18h00&time_zone=2&latitude=61.53N&longitude=8.2E&wait=8h"
    )
    fields = dict(p.split("=") for p in part.split("&"))
    assert read(CARD, fields, {}, "metric", bare="refused").values == values
    with pytest.raises(InputError, match="made-up"):
        parse_link(link)  # it is in no register


def test_they_take_no_tolerance_and_are_not_solved_for():
    """A date is no number to a reader."""
    with pytest.raises(FormError, match="only a number has a tolerance"):
        read(CARD, FIELDS, {"first_day": "1"}, "metric")
    values = read(CARD, FIELDS, {}, "metric").values
    with pytest.raises(InputError, match="cannot be solved for"):
        solve(CARD, values, "later", 3600, "first_day")


def test_a_wanted_moment_is_written_as_it_is_shown():
    """18:00 and ten hours are 04:00 next day."""
    values = read(CARD, FIELDS, {}, "metric").values
    found = solve_text(CARD, values, "end", "04:00 next day", "wait", "metric", "form")
    assert found.value == pytest.approx(10 * 3600)
    assert "04:00 next day" in found.message
    with pytest.raises(InputError, match="is not a moment") as refused:
        solve_text(CARD, values, "end", "10", "wait", "metric", "form")
    assert refused.value.part == "target"


def test_a_moment_has_no_verdict():
    """A limit would be shown as a length of time."""
    late = Verdict(better="below", limit=0, met="", missed="", unsure="", source="")
    with pytest.raises(TypeError, match="not held against"):
        Moment(name="end", label="End", verdict=late)


def test_the_declaration_says_what_is_accepted():
    """For the list of limits under the form."""
    assert describe_input(DAY)["accepted"] == "1950-01-01 to 2099-12-31: what the series hold for"
    assert describe_input(START)["accepted"] == "00:00 to 23:59"
    assert describe_input(ZONE)["accepted"] == "UTC−12 to UTC+14"
    assert describe_input(NORTH)["accepted"] == "90° S to 90° N"


def test_the_docstrings_are_true():
    """Their examples run."""
    import doctest

    assert doctest.testmod(texts).failed == 0
