"""Is a log understood as the person or the logger who wrote it meant it, and nothing guessed?"""

import time

import pytest

from calculators.errors import InputError
from calculators.logs import MOST_ROWS, LogColumn, form_text, link_text, read_log

COLUMNS = (
    LogColumn(name="time", label="Time", unit="min", low="0 s", high="40000 d", clock=True),
    LogColumn(name="pressure", label="Pressure", unit="kPa", low="1 kPa", high="500 kPa"),
    LogColumn(
        name="temperature",
        label="Temperature",
        unit="°C",
        low="-20 °C",
        high="60 °C",
        required=False,
    ),
)

THREE = {
    "time": (0.0, 60.0, 120.0),
    "pressure": (101300.0, 101200.0, 101150.0),
    "temperature": (20.0, 20.5, 21.0),
}


@pytest.mark.parametrize(
    "text",
    [
        "0,101.3,20\n1,101.2,20.5\n2,101.15,21",
        "0;101,3;20\n1;101,2;20,5\n2;101,15;21",
        "0\t101.3\t20\r\n1\t101.2\t20.5\r\n2\t101.15\t21\r\n",
        "0 101.3 20\n 1  101.2   20.5\n2 101,15 21",
        "time (s),pressure (hPa),temperature (K)\n0,1013,293.15\n60,1012,293.65\n120,1011.5,294.15",
        "Temperature [°C];Time [s];Pressure [bar]\n20;0;1,013\n20,5;60;1,012\n21;120;1,0115",
        "time/min,pressure/kPa,temperature/degC_0,101.3,20_1,101.2,20.5_2,101.15,21",
        "no,time (min),pressure (kPa),temperature\n7,0,101.3,20\n8,1,101.2,20.5\n9,2,101.15,21",
        "# a tank\n\n0,101.3,20\n\n1,101.2,20.5\n2,101.15,21\n",
        "00:10,101.3,20\n00:11,101.2,20.5\n00:12:00,101.15,21",
        "2026-06-01T23:59,101.3,20\n2026-06-02 00:00,101.2,20.5\n2026-06-02T00:01:00,101.15,21",
        "\ufeff0,101.3,20\n1,101.2,20.5\n2,101.15,21",
    ],
)
def test_layouts_that_loggers_and_people_use_give_the_same_numbers(text):
    """Tabs, semicolons with decimal commas, spaces, heads with units, clocks, dates."""
    log = read_log(text, COLUMNS)
    start = log.columns["time"][0]
    got = dict(log.columns) | {"time": tuple(t - start for t in log.columns["time"])}
    assert list(got) == list(THREE)
    for name, values in THREE.items():
        assert got[name] == pytest.approx(values, rel=1e-12, abs=1e-9)
    assert log.skipped == ()


def test_rows_that_cannot_be_read_are_left_out_and_named():
    """By the number of their line, with what is wrong."""
    text = "0,101.3,20\n1,abc,20\n2,,20\n3,101.1,99\n4,101.1\n5,101,20\n6,nan,20\n7,100.9,20"
    log = read_log(text, COLUMNS)
    assert log.columns["time"] == (0.0, 300.0, 420.0)
    assert [(row.number, row.why) for row in log.skipped] == [
        (2, "pressure: “abc” is not a number"),
        (3, "pressure is missing"),
        (4, "temperature: 99 is not within -20 °C to 60 °C"),
        (5, "temperature is missing"),
        (7, "pressure: “nan” is not a number"),
    ]


def test_a_column_that_may_be_missing_may_be_missing():
    """Two columns only."""
    assert list(read_log("0,101.3\n1,101.2\n2,101.1", COLUMNS).columns) == ["time", "pressure"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            "",
            "There are no rows. Give time (min), pressure (kPa), temperature (°C), if there is one",
        ),
        ("0,101\n1,102", "2 rows can be read, at least 3 are needed"),
        ("a,b\n1,2\n2,3\n3,4", "no column time and no pressure"),
        ("time (kPa), pressure\n1,2\n2,3\n3,4", "Time: “kPa” is not a unit of it"),
        ("5\n6\n7", "no column pressure"),
        ("time,pressure", "0 rows can be read"),
    ],
)
def test_what_cannot_be_used_is_refused_with_what_is_wanted(text, says):
    """The message says which columns."""
    with pytest.raises(InputError) as refused:
        read_log(text, COLUMNS)
    assert says in refused.value.message


def test_a_log_over_midnight_goes_on():
    """Times of day that fall by more than half a day are the next day's."""
    log = read_log("23:50,101.3\n23:55,101.2\n00:05,101.1\n23:50,101\n00:10,100.9", COLUMNS)
    start = log.columns["time"][0]
    assert [t - start for t in log.columns["time"]] == [0, 300, 900, 86_400, 87_600]


def test_a_line_of_words_among_the_rows_spoils_only_itself():
    """Loggers write their own remarks between the rows."""
    log = read_log("0,101.3,20\nlow battery\n1,101.2,20\n2,101.1,20", COLUMNS)
    assert log.rows == 3
    assert [row.number for row in log.skipped] == [2]


def test_heads_of_one_letter_name_the_columns_in_their_order():
    """Time and temperature begin alike: neither is dropped."""
    log = read_log("t (s);p (hPa);T (°C)\n0;1013;20\n60;1012;20,5\n120;1011,5;21", COLUMNS)
    assert log.columns["temperature"] == (20.0, 20.5, 21.0)


def test_a_clock_that_is_set_back_in_autumn_runs_on():
    """Where the dates say their distance from UTC."""
    times = ("02:30+02:00", "02:00+01:00", "02:30+01:00")
    rows = "\n".join(f"2026-10-25T{time};101;20" for time in times)
    start, *later = read_log(rows, COLUMNS).columns["time"]
    assert [t - start for t in later] == [1800, 3600]


def test_times_that_run_backwards_stay_as_they_are():
    """What they mean is for the card to say."""
    log = read_log("5,101.3\n3,101.2\n4,101.1", COLUMNS)
    assert log.columns["time"] == (300.0, 180.0, 240.0)


def test_a_link_gives_back_the_same_log():
    """In one line, without spaces; dates count from the first row."""
    text = "2026-06-01T23:59;101,3;20\n2026-06-02T00:00;101,2;20,5\n2026-06-02T00:01;101,15;21"
    written = link_text(text, COLUMNS)
    assert written == "time/min,pressure/kPa,temperature/degC_0,101.3,20_1,101.2,20.5_2,101.15,21"
    assert read_log(form_text(written), COLUMNS) == read_log(written, COLUMNS)


def test_a_link_keeps_numbers_that_do_not_end():
    """Seconds of a clock are no round number of minutes."""
    text = "0:00:00,101.3,20\n0:00:07,101.2,20.1\n0:00:25,101.1,20.2\n0:01:40,101,20.3"
    assert read_log(link_text(text, COLUMNS), COLUMNS).columns == read_log(text, COLUMNS).columns


def test_a_hundred_thousand_rows_are_read_and_one_more_is_refused():
    """The whole log, none of it thinned; more is refused, not cut."""
    rows = [f"{i},{101.3 - i * 1e-6:.4f},20" for i in range(MOST_ROWS)]
    rows[499] = "499,?,20"
    log = read_log("\n".join(rows), COLUMNS)
    assert log.rows == MOST_ROWS - 1
    assert [row.number for row in log.skipped] == [500]
    with pytest.raises(InputError, match="at most 100000 are read"):
        read_log("\n".join([*rows, "100000,101,20", "100001,101,20"]), COLUMNS)


def test_reading_again_costs_next_to_nothing():
    """A keystroke elsewhere in the form must not read a long log again."""
    text = "\n".join(f"{i},101.3,20" for i in range(20_000))
    start = time.perf_counter()
    read_log(text, COLUMNS)
    first = time.perf_counter() - start
    start = time.perf_counter()
    for _ in range(20):
        read_log(text, COLUMNS)
    assert (time.perf_counter() - start) < first
