"""Sun, moon and schedule: worked examples, a library with its own theories, a schedule stepped."""

from datetime import UTC, datetime
from functools import cache
from math import degrees

import ephem
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.cards.window import DEPLOYMENT_WINDOW, _course, _windows
from calculators.errors import InputError
from calculators.evaluate import Given, defaults, evaluate, read
from calculators.formulas import almanac, moon
from calculators.present import answer, work
from site_src.examples import load
from tests.cases import values

DAY = 86400.0
REFRACTED = -0.8333
PLACES = [(0, 30), (36.5, -112.4), (-45, 150), (58.2, 8.1), (61.5, -150), (-60, 0)]
HIGH = [(67.6, 15), (69.5, 19), (80, 0), (-77.8, 166)]


def midnight(year: int, month: int, day: int) -> float:
    return datetime(year, month, day, tzinfo=UTC).timestamp()


def of_uniform_time(julian: float) -> float:
    """Centuries for a Julian day of uniform time, as the worked examples give it."""
    return (julian - 2451545) / 36525


def observer(latitude: float, longitude: float, start: float, horizon: str) -> ephem.Observer:
    seen = ephem.Observer()
    seen.lat, seen.lon, seen.pressure, seen.horizon = str(latitude), str(longitude), 0, horizon
    seen.date = ephem.Date(datetime.fromtimestamp(start, UTC).replace(tzinfo=None))
    return seen


def next_event(body, latitude: float, longitude: float, start: float, way: str) -> float | None:
    """Seconds after the start, None if it does not happen within a day: ephem's own search."""
    seen = observer(latitude, longitude, start, "-0:34")
    find = seen.next_rising if way == "rises" else seen.next_setting
    try:
        seconds = (find(body) - seen.date) * DAY
    except (ephem.AlwaysUpError, ephem.NeverUpError):
        return None
    return seconds if seconds < DAY else None


def test_the_suns_longitude_is_that_of_the_worked_example():
    """Meeus, example 25.a, 1992 October 13: 199.90895°, 0.99766 au, as other tests quote it."""
    longitude, distance = almanac.sun_longitude(of_uniform_time(2448908.5))
    assert longitude == pytest.approx(199.90895, abs=2e-5)
    assert distance == pytest.approx(0.99766, abs=1e-5)


def test_the_moons_place_is_that_of_the_worked_example():
    """Meeus, example 47.a, 1992 April 12: 133.162655° + 0.004610°, −3.229126°, 368 409.7 km.

    The second part of the longitude is nutation. What is left out comes to thousandths of a degree.
    """
    longitude, latitude, distance = moon.moon_position(of_uniform_time(2448724.5))
    assert degrees(longitude) == pytest.approx(133.167265, abs=0.006)
    assert degrees(latitude) == pytest.approx(-3.229126, abs=0.006)
    assert distance == pytest.approx(368409.7, abs=40)


@pytest.mark.parametrize(("latitude", "longitude"), PLACES)
def test_sun_and_moon_rise_and_set_as_the_library_says_through_the_years(latitude, longitude):
    """Reference library: ephem 4.2.1; the page claims a minute for the sun, two for the moon."""
    compared = 0
    for n in range(30):
        start = midnight(2001, 1, 1) + n * 611 * DAY  # through seasons and months of fifty years
        for way in ("rises", "sets"):
            compared += compare(sun_of, ephem.Sun(), latitude, longitude, start, way, 15)
            compared += compare(moon_of, ephem.Moon(), latitude, longitude, start, way, 20)
    assert compared > 100


@pytest.mark.parametrize(("latitude", "longitude"), HIGH)
def test_through_polar_day_and_night_the_sun_is_up_when_the_library_sees_it(latitude, longitude):
    """Reference library: ephem's altitude every half hour of every fourth day of a year.

    Not its search, which misses the first sunset after the midnight sun at 80°.
    """
    seen, sun, lengths = observer(latitude, longitude, 0, "0"), ephem.Sun(), []
    for n in range(0, 365, 4):
        start = midnight(2026, 1, 1) + n * DAY
        lengths.append(almanac.time_above(start, latitude, longitude, REFRACTED))
        for k in range(48):
            seen.date = ephem.Date(
                datetime.fromtimestamp(start + k * 1800, UTC).replace(tzinfo=None)
            )
            sun.compute(seen)
            altitude = degrees(sun.alt)
            if abs(altitude - REFRACTED) > 0.03:
                up = is_up(start, latitude, longitude, k * 1800)
                assert up == (altitude > REFRACTED), (n, k)
    assert {0.0, DAY} < set(lengths)


def is_up(start: float, latitude: float, longitude: float, offset: float) -> bool:
    """Whether the sun is up, from the crossings alone."""
    up = almanac.sun_starts_above(start, latitude, longitude, REFRACTED)
    for at, rises in almanac.sun_crossings(start, latitude, longitude, REFRACTED):
        up = rises if at <= offset else up
    return up


def sun_of(start: float, latitude: float, longitude: float, way: str) -> float:
    return almanac.sun_event(start, latitude, longitude, REFRACTED, way)


def moon_of(start: float, latitude: float, longitude: float, way: str) -> float:
    return moon.moon_event(start, latitude, longitude, way)


def compare(ours, body, latitude, longitude, start, way, seconds) -> bool:
    """Whether it happens; if it does for both, at the same time, unless the day's edge cuts it."""
    expected = next_event(body, latitude, longitude, start, way)
    try:
        found = ours(start, latitude, longitude, way)
    except InputError:
        assert expected is None or min(expected, DAY - expected) < seconds
        return False
    if expected is None:
        assert min(found, DAY - found) < seconds
        return False
    assert abs(found - expected) < seconds or min(expected, found) < seconds
    return True


def test_the_polynomial_of_a_day_is_the_series():
    """Independent of the search: the series, between the instants at which it is summed."""
    start = midnight(2026, 12, 19)
    course = almanac.through_day(almanac.sun_direction(start), 2)
    for offset in (-7200.0, 10000.0, 30000.0, 70000.0, 93600.0):
        series = almanac.sun_direction(start)(offset)
        assert course(offset) == pytest.approx(series, abs=2e-6)  # 0.4″


def test_a_short_dip_at_midnight_is_not_missed():
    """By hand: a course that is below for twenty minutes around one in the morning."""

    def height(offset: float) -> float:
        return ((offset - 3600) / 3600) ** 2 - (1 / 6) ** 2

    events = almanac.crossings(height)
    assert [rises for _, rises in events] == [False, True]
    assert [at for at, _ in events] == pytest.approx([3000, 4200], abs=1e-3)


@given(st.integers(0, 50_000), st.floats(-90, 90), st.floats(-180, 180))
@settings(max_examples=60)
def test_the_stages_of_a_day_add_up(day, latitude, longitude):
    """Day, twilights and darkness are parts of 24 h, and none is negative."""
    start = day * DAY - 7_000 * DAY
    above = [
        almanac.time_above(start, latitude, longitude, limit)
        for limit in (almanac.HORIZON, -6, -12, -18)
    ]
    assert above == sorted(above)
    assert above[0] >= 0
    assert above[-1] <= DAY


@cache
def height_of_sun(minute: int, latitude: float, longitude: float) -> float:
    return almanac.sun_altitude(minute * 60.0, latitude, longitude)


@pytest.mark.parametrize("kind", ["night", "daily", "continuous", "duty"])
@pytest.mark.parametrize("spent", ["battery", "card", ""])
def test_a_schedule_stepped_minute_by_minute_ends_the_same(kind, spent):
    """Independent: no windows, only "is it time to record?" asked every minute."""
    given_values = defaults(DEPLOYMENT_WINDOW) | {
        "schedule": kind,
        "duration": 3.25 * DAY,
        "lead": 0.0,
        "lag": 0.0,
        "standby_share": 0.2,
        "battery_time": 3600.0 * (15 if spent == "battery" else 500),
        "card_time": 3600.0 * (11 if spent == "card" else 500),
    }
    recorded, scheduled, until = stepped(given_values)
    found = evaluate(DEPLOYMENT_WINDOW, given_values)
    assert found["scheduled_time"] == pytest.approx(scheduled, abs=400)
    assert found["recorded_time"] == pytest.approx(recorded, abs=900)
    assert found["coverage"] == pytest.approx(recorded / scheduled, abs=0.01)
    assert found["recording_end"] == pytest.approx(until, abs=1900)  # a period of the turns
    assert _course(given_values, _windows(given_values)).ended_by == spent


def stepped(v) -> tuple[float, float, float]:
    """Recorded, scheduled, and the last recorded moment, by a loop over minutes."""
    battery, card = v["battery_time"], v["card_time"]
    recorded = scheduled = until = 0.0
    start = int(v["start_time"] / 60)
    zero = int((v["first_day"] * DAY - v["time_zone"]) / 60)
    for minute in range(start, start + int(v["duration"] / 60)):
        due = is_due(v, minute, zero, minute - start)
        alive = battery > 0 and card > 0
        scheduled += 60 * due
        if due and alive:
            recorded, card, until = recorded + 60, card - 60, (minute + 1) * 60.0
        battery -= 60 if due and alive else 60 * v["standby_share"]
    return recorded, scheduled, until


def is_due(v, minute: int, zero: int, since: int) -> bool:
    of_day = minute % 1440 * 60
    if v["schedule"] == "night":
        return height_of_sun(zero + minute, v["latitude"], v["longitude"]) < almanac.HORIZON
    if v["schedule"] == "daily":
        return of_day >= v["window_start"] or of_day < v["window_end"]
    return v["schedule"] == "continuous" or since * 60 % v["period"] < v["on_time"]


def card(**changed) -> dict:
    return evaluate(DEPLOYMENT_WINDOW, defaults(DEPLOYMENT_WINDOW) | changed)


FAR_NORTH = {"latitude": 69.65, "longitude": 18.96}
MIDSUMMER, MIDWINTER = 20625.0, 20807.0  # 2026-06-21, 2026-12-20


def test_a_night_that_does_not_come_is_refused_by_name():
    """The sun does not set, so nothing is scheduled; another schedule still has its answer."""
    with pytest.raises(InputError, match="the sun does not set on any of these days") as refused:
        card(**FAR_NORTH, first_day=MIDSUMMER)
    assert refused.value.name == "schedule"
    assert card(**FAR_NORTH, first_day=MIDSUMMER, schedule="daily")["day_length"] == DAY


def test_a_night_that_does_not_end_is_one_window():
    """The sun does not rise: the schedule by the night runs on, and each 24 h of it count."""
    found = card(**FAR_NORTH, first_day=MIDWINTER, battery_time=1e6, card_time=1e6)
    assert found["day_length"] == 0
    assert found["scheduled_time"] == 3 * DAY
    assert found["whole_windows"] == 3


def test_remarks_say_what_does_not_happen():
    """In words, since no number could."""
    given_values = defaults(DEPLOYMENT_WINDOW) | FAR_NORTH | {"schedule": "daily"}
    for day, said in ((MIDSUMMER, "the sun does not set"), (MIDWINTER, "the sun does not rise")):
        worked = work(DEPLOYMENT_WINDOW, Given(given_values | {"first_day": day}), "metric")
        assert any(said in remark for remark in answer(worked)["remarks"])


@pytest.mark.parametrize(
    ("changed", "name"),
    [
        ({"schedule": "daily", "window_end": 75600.0}, "window_end"),
        ({"schedule": "duty", "on_time": 3600.0}, "on_time"),
        ({"schedule": "daily", "duration": 3600.0}, "duration"),
        ({"schedule": "night", "duration": 3600.0, "start_time": 36000.0}, "duration"),
    ],
)
def test_a_schedule_that_cannot_be_is_refused_by_name(changed, name):
    """A window without length; more recording than the period holds; over before it begins."""
    with pytest.raises(InputError) as refused:
        card(**changed)
    assert refused.value.name == name


def test_a_tolerance_of_the_battery_makes_a_range_of_the_coverage():
    """Less battery, less covered, and never more than all."""
    low, high = (card(battery_time=hours * 3600.0)["coverage"] for hours in (20, 40))
    assert low < high == 1.0


@given(data=st.data())
@settings(max_examples=30, deadline=None)
def test_remarks_are_sentences_for_every_input(data):
    """Claim of the declaration: whatever is in range has words, without a gap in them."""
    try:
        worked = work(DEPLOYMENT_WINDOW, Given(data.draw(values(DEPLOYMENT_WINDOW))), "metric")
    except InputError:
        return
    for remark in answer(worked, plot=False)["remarks"]:
        assert remark.endswith(".")
        assert "  " not in remark
        assert "nan" not in remark


def test_the_tarns_window_stands_on_the_tarns_supplies_and_card():
    """The example takes over what two others work out: runtime with its range, time of the card."""
    examples = load()
    plan = examples["tarn-window"].worked
    runtime = examples["tarn-power"].worked.output("runtime")
    card_full = examples["tarn-card-fast"].worked.output("recording_time")
    span = read(DEPLOYMENT_WINDOW, plan.fields, plan.tolerances, "metric")
    assert span.spans["battery_time"] == pytest.approx((runtime["low"], runtime["high"]), rel=0.02)
    assert span.values["card_time"] == pytest.approx(card_full["value"], rel=0.002)


def test_nights_are_counted_by_whole_numbers_on_the_picture():
    """There is no night and a half."""
    plot = answer(work(DEPLOYMENT_WINDOW, Given(defaults(DEPLOYMENT_WINDOW)), "metric"))["plot"]
    assert (plot["x"]["label"], plot["x"]["whole"]) == ("Night", True)
    assert plot["x"]["domain"] == [0.5, 3.5]
    assert len({line["name"] for line in plot["lines"]}) == 3
