"""Calculator of the days and nights of a deployment: light, moon, schedule, what is covered."""

from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, inf
from typing import Literal

from calculators.calendar_texts import DAY, clock_text, day_text, moment_text
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Choice,
    Clock,
    Coordinate,
    Day,
    Line,
    Moment,
    Number,
    Option,
    Output,
    Plot,
    Results,
    Shown,
    Values,
    Verdict,
    Zone,
)
from calculators.errors import InputError
from calculators.formulas.almanac import (
    HORIZON,
    Event,
    solar_noon,
    sun_altitude,
    sun_crossings,
    sun_event,
    sun_starts_above,
    time_above,
)
from calculators.formulas.moon import (
    moon_crossings,
    moon_elongation,
    moon_event,
    moon_lit,
    moon_starts_above,
    next_turn,
)
from calculators.formulas.window import battery_time_used, coverage
from calculators.units import format_display

Span = tuple[float, float]
"""Start and end, in seconds after the first midnight."""

CIVIL, NAUTICAL, ASTRONOMICAL = -6.0, -12.0, -18.0
"""Altitudes of the sun's centre, in degrees, at which the three twilights end."""

TWILIGHTS = (("civil", CIVIL), ("nautical", NAUTICAL), ("astronomical", ASTRONOMICAL))

HALF_DAY = DAY / 2


@dataclass(frozen=True)
class Place:
    """Where, and the midnight that everything is counted from; hashable, for the caches."""

    midnight: float
    latitude: float
    longitude: float

    def after(self, days: float) -> tuple[float, float, float]:
        """The midnight so many days later, with the place."""
        return self.midnight + days * DAY, self.latitude, self.longitude


@dataclass(frozen=True)
class Course:
    """How a schedule goes: what was recorded, until when, and what ended it."""

    recorded: float
    end: float
    ended_by: str
    scheduled: float
    waited: float


def _place(values: Values) -> Place:
    midnight = float(values["first_day"]) * DAY - float(values["time_zone"])
    return Place(midnight, float(values["latitude"]), float(values["longitude"]))


@lru_cache(maxsize=256)
def _below(place: Place, days: int, limit: float) -> tuple[Span, ...]:
    """Stretches with the sun below an altitude, from a day before the first to two after the last.

    ``days`` counts the days of the deployment.
    """
    first, last = -1, days + 2
    dark_since = None if sun_starts_above(*place.after(first), limit) else first * DAY
    spans: list[Span] = []
    for n in range(first, last):
        for at, rises in sun_crossings(*place.after(n), limit):
            if not rises:
                dark_since = n * DAY + at
            elif dark_since is not None:
                spans.append((dark_since, n * DAY + at))
                dark_since = None
    if dark_since is not None:
        spans.append((dark_since, last * DAY))
    return tuple(spans)


def _windows(values: Values) -> list[Span]:
    """The stretches in which the recorder is to work, in order, apart from each other.

    Raises:
        InputError: If there are none.
    """
    start = float(values["start_time"])
    span = (start, start + float(values["duration"]))
    kind = values["schedule"]
    if kind not in ("night", "daily"):
        return [span]
    every = _night_windows(values) if kind == "night" else _daily(values)
    if not every:
        raise InputError(
            "schedule",
            "Schedule: the sun does not set on any of these days at this place, so there is no "
            "night to record. Choose another schedule.",
        )
    found = _clipped(every, span)
    if not found:
        raise InputError(
            "duration",
            "Time in the water: it is over before the first window opens. Give more, another "
            "start, or another schedule.",
        )
    return found


def _whole_days(values: Values) -> int:
    """Days that the deployment touches, counted from its start."""
    return ceil(float(values["duration"]) / DAY)


def _night_windows(values: Values) -> list[Span]:
    lead, lag = float(values["lead"]), float(values["lag"])
    nights = _below(_place(values), _whole_days(values), HORIZON)
    return [(start - lead, end + lag) for start, end in nights]


def _daily(values: Values) -> list[Span]:
    since, until = float(values["window_start"]), float(values["window_end"])
    if since == until:
        raise InputError(
            "window_end",
            "Window ends: at the time it begins. Give another time, or choose the schedule "
            "around the clock.",
        )
    length = (until - since) % DAY
    return [(n * DAY + since, n * DAY + since + length) for n in range(-1, _whole_days(values) + 2)]


def _clipped(spans: Iterable[Span], within: Span) -> list[Span]:
    """The parts within a stretch, with those that touch or overlap made one."""
    found: list[Span] = []
    for start, end in sorted(spans):
        start, end = max(start, within[0]), min(end, within[1])
        if start >= end:
            continue
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(end, found[-1][1]))
        else:
            found.append((start, end))
    return found


def _part_recorded(values: Values) -> float:
    """Of a window, the part that is recorded."""
    if values["schedule"] != "duty":
        return 1.0
    on_time, period = float(values["on_time"]), float(values["period"])
    if on_time > period:
        raise InputError(
            "on_time", "Recording time in each period: longer than the period. Give less."
        )
    return on_time / period


def _course(values: Values, windows: list[Span]) -> Course:
    """Go through the windows until battery or card is spent."""
    battery, card = float(values["battery_time"]), float(values["card_time"])
    share, part = float(values["standby_share"]), _part_recorded(values)
    drain = part + share * (1 - part)
    now = float(values["start_time"])
    recorded = scheduled = waited = 0.0
    end, ended_by = windows[0][0], ""
    for start, stop in windows:
        length = stop - start
        scheduled += part * length
        waited += start - now + (1 - part) * length
        battery -= share * (start - now)
        now = stop
        if ended_by:
            continue
        if battery <= 0:
            ended_by = "battery"
            continue
        lasts = {"battery": battery / drain, "card": (card - recorded) / part}
        first = min(lasts, key=lambda name: lasts[name])
        ran = min(length, lasts[first])
        recorded += part * ran
        battery -= drain * ran
        end = start + ran
        ended_by = first if ran < length else ""
    return Course(recorded, end, ended_by, scheduled, waited)


def _whole_windows(values: Values, course: Course) -> int:
    """Windows recorded from the start, or their opening, to their own close.

    One that the deployment cuts off is not whole. One that runs on, as around the clock or in a
    polar night, counts once for each 24 h recorded.
    """
    start, stop = (
        float(values["start_time"]),
        float(values["start_time"]) + float(values["duration"]),
    )
    end = min(course.end, stop)
    kind = values["schedule"]
    if kind == "night":
        windows = _clipped(_night_windows(values), (start, inf))
    elif kind == "daily":
        windows = _clipped(_daily(values), (start, inf))
    else:
        windows = [(start, inf)]
    return sum(_times_recorded(window, end) for window in windows if window[0] < end)


def _times_recorded(window: Span, end: float) -> int:
    start, stop = window
    return int((min(stop, end) - start) // DAY) if stop - start > DAY else int(stop <= end)


@dataclass(frozen=True)
class Timetable:
    """What a schedule goes through, in seconds after the recorder starts.

    ``nights`` are the stretches with the sun below the horizon, ``windows`` those in which the
    recorder works, ``part`` how much of a window is recorded.
    """

    nights: list[Span]
    windows: list[Span]
    part: float


def timetable(values: Values, reach: float) -> Timetable:
    """Nights and windows from the start of the recorder over a stretch of time, in seconds."""
    values = {**values, "duration": reach}
    start = float(values["start_time"])
    within = (start, start + reach)
    dark = _clipped(_below(_place(values), _whole_days(values), HORIZON), within)
    nights, windows = (
        [(since - start, until - start) for since, until in spans]
        for spans in (dark, _windows(values))
    )
    return Timetable(nights, windows, _part_recorded(values))


def lasts(
    values: Values, supply: Literal["battery", "card"], seconds: float, reach: float
) -> float:
    """When so much recording time of battery or card alone is spent, waiting counted.

    Seconds after the recorder starts; infinity where it lasts beyond ``reach``.
    """
    both = {"battery_time": inf, "card_time": inf, f"{supply}_time": seconds}
    values = {**values, **both, "duration": reach}
    course = _course(values, _windows(values))
    return course.end - float(values["start_time"]) if course.ended_by else inf


def _deployment_window(
    first_day: float,
    latitude: float,
    longitude: float,
    time_zone: float,
    start_time: float,
    duration: float,
    schedule: str,
    lead: float,
    lag: float,
    window_start: float,
    window_end: float,
    on_time: float,
    period: float,
    battery_time: float,
    standby_share: float,
    card_time: float,
) -> dict[str, float]:
    values: Values = dict(locals())  # every input by name
    place = _place(values)
    midnight = place.midnight
    noon = midnight + solar_noon(midnight, longitude)
    day_length, *above = (
        time_above(midnight=midnight, latitude=latitude, longitude=longitude, altitude=limit)
        for limit in (HORIZON, CIVIL, NAUTICAL, ASTRONOMICAL)
    )
    _trace_events(place)
    windows = _windows(values)
    course = _course(values, windows)
    return {
        "coverage": coverage(recorded=course.recorded, scheduled=course.scheduled),
        "scheduled_time": course.scheduled,
        "battery_time_used": battery_time_used(
            recording=course.scheduled, waiting=course.waited, standby_share=standby_share
        ),
        "recorded_time": course.recorded,
        "recording_end": course.end,
        "whole_windows": _whole_windows(values, course),
        "first_window_start": windows[0][0],
        "first_window_end": windows[0][1],
        "day_length": day_length,
        "civil_twilight": above[0] - day_length,
        "nautical_twilight": above[1] - above[0],
        "astronomical_twilight": above[2] - above[1],
        "dark_time": DAY - above[2],
        "noon_altitude": sun_altitude(instant=noon, latitude=latitude, longitude=longitude),
        "moon_lit": moon_lit(instant=midnight + DAY),
    }


def _trace_events(place: Place) -> None:
    """Put the events of the first day into the working, those that happen."""
    at = {"latitude": place.latitude, "longitude": place.longitude}
    for way in ("rises", "sets"):
        with suppress(InputError):
            sun_event(midnight=place.midnight, altitude=HORIZON, way=way, **at)
    for way in ("rises", "sets"):
        with suppress(InputError):
            moon_event(midnight=place.midnight, way=way, **at)


# Words


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    """What ends it, the first and the last day in words, the moon's month."""
    first = int(values["first_day"])
    last = int((float(values["start_time"]) + float(values["duration"]) - 1) // DAY)
    lines = [_ending(values), _of_day(values, 0, day_text(first))]
    if last > 0:
        lines.append(_of_day(values, last, day_text(first + last)))
    return [*lines, _tides(values, last)]


def _ending(values: Values) -> str:
    course = _course(values, _windows(values))
    when = f"on {_date_and_time(values, course.end)}"
    if not course.ended_by:
        return f"Battery and card outlast the schedule: its last window ends {when}."
    what = {"battery": "The battery is empty", "card": "The card is full"}[course.ended_by]
    return f"{what} first: the last recorded moment is {when}."


def _date_and_time(values: Values, moment: float) -> str:
    minutes = round(moment / 60)
    return f"{day_text(float(values['first_day']) + minutes // 1440)} at {clock_text(moment)}"


def _of_day(values: Values, days: int, name: str) -> str:
    """Sun, twilights and moon of one day in words."""
    place = _place(values)
    at = place.after(days)
    sun = _events(sun_crossings(*at, HORIZON), sun_starts_above(*at, HORIZON), "sun")
    moon = _events(moon_crossings(*at), moon_starts_above(*at), "moon")
    lit = format_display(moon_lit(instant=at[0] + DAY), "%", 2)
    waxing = "waxing" if moon_elongation(instant=at[0] + DAY) < 180 else "waning"
    return f"{name}: {sun}; {_darkness(at)}; {moon}; at its end {lit} of it is lit, {waxing}."


def _events(events: Iterable[Event], above: bool, body: str) -> str:
    said = [f"{'rises' if rises else 'sets'} at {clock_text(at)}" for at, rises in events]
    if said:
        return f"the {body} {' and '.join(said)}"
    return f"the {body} does not {'set' if above else 'rise'}"


def _darkness(at: tuple[float, float, float]) -> str:
    """The darkest stage of the day, with its hours."""
    for name, limit in reversed(TWILIGHTS):
        events = sun_crossings(*at, limit)
        if events:
            said = "".join(
                f" until {clock_text(t)}" if rises else f" and from {clock_text(t)}"
                for t, rises in events
            )
            what = f"darker than {name} twilight" if name != "astronomical" else "fully dark"
            return what + said.removeprefix(" and")
        if not sun_starts_above(*at, limit):
            return f"darker than {name} twilight all day"
    return "civil twilight does not end"


def _tides(values: Values, last: int) -> str:
    """The new or full moon of these days, or the next, and what follows as a rule."""
    place = _place(values)
    at, full = next_turn(place.midnight - 2 * DAY)
    moment = at - place.midnight
    when = day_text(float(values["first_day"]) + moment // DAY)
    name = "Full" if full else "New"
    place_in = "in reach of these days" if moment < (last + 1) * DAY else "after these days"
    return (
        f"{name} moon is on {when}, {place_in}: where the tide is strong, the strongest currents "
        "come as a rule a day or two after it. A tide table decides."
    )


# Picture: nights side by side, each from noon to noon


def _picture(values: Values, results: Results, system: str) -> Plot:
    """What is recorded, as a bar a night, among sunset, twilight, sunrise and moon."""
    windows = _windows(values)
    nights = _nights(windows)
    return Plot(
        title="Nights, moon and what is recorded",
        description=(
            "Night by night, hours before (−) and after midnight. Bars are what is recorded, until "
            f"{moment_text(results['recording_end'])}."
        ),
        x=Axis(label="Night", unit="", domain=(0.5, len(nights) + 0.5), whole=True),
        y=Axis(label="Hours from midnight", unit="h", domain=(-HALF_DAY, HALF_DAY)),
        lines=_lines(_place(values), nights),
        band=_bars(windows, results["recording_end"], nights),
    )


def _nights(windows: list[Span]) -> range:
    """The midnights of the windows, in days after the first."""
    first, last = (windows[0][0], windows[-1][1])
    return range(int((first + HALF_DAY) // DAY), int((last + HALF_DAY - 1) // DAY) + 1)


def _lines(place: Place, nights: range) -> list[Line]:
    return [
        *_tracks(
            nights, lambda n: sun_crossings(*place.after(n), HORIZON), "Sunset, sunrise", "main"
        ),
        *_tracks(
            nights,
            lambda n: sun_crossings(*place.after(n), NAUTICAL),
            "End of nautical twilight, dusk and dawn",
            "second",
        ),
        *_tracks(nights, lambda n: moon_crossings(*place.after(n)), "Moonrise, moonset", "third"),
    ]


def _tracks(
    nights: range,
    events: Callable[[int], tuple[Event, ...]],
    name: str,
    kind: Literal["main", "second", "third"],
) -> list[Line]:
    """Steps from night to night; where an event is left out, or jumps to the other noon, a gap."""
    lines: list[Line] = []
    for wanted in (False, True):
        run: list[tuple[float, float]] = []
        for column, n in enumerate(nights, start=1):
            found = [at - DAY for at, rises in events(n - 1) if rises == wanted and at >= HALF_DAY]
            found += [at for at, rises in events(n) if rises == wanted and at < HALF_DAY]
            if not found or (run and abs(found[0] - run[-1][1]) > HALF_DAY / 2):
                lines += [Line(name=name, points=run, kind=kind)] if run else []
                run = []
            if found:
                run += [(column - 0.5, found[0]), (column + 0.5, found[0])]
        lines += [Line(name=name, points=run, kind=kind)] if run else []
    return lines


def _bars(windows: list[Span], end: float, nights: range) -> list[tuple[float, float, float]]:
    """One area that is wide where something is recorded and has no width in between."""
    points: list[tuple[float, float, float]] = []
    for column, n in enumerate(nights, start=1):
        middle = n * DAY
        for start, stop in _clipped(windows, (middle - HALF_DAY, middle + HALF_DAY)):
            low, high = start - middle, min(stop, end) - middle
            if high <= low:
                continue
            left, right = column - 0.35, column + 0.35
            points += [(left, low, low), (left, low, high), (right, low, high), (right, low, low)]
    return points


LATITUDE = Coordinate(
    name="latitude",
    label="Latitude",
    default="55 N",
    letters="NS",
    hint="degrees with N or S; a minus is S; to 0.01°, because a link carries it",
    why="no finer than 0.01°, a kilometre: it moves a sunrise by seconds, and a link carries it",
    rig="site.latitude",
)

LONGITUDE = Coordinate(
    name="longitude",
    label="Longitude",
    default="8 E",
    letters="EW",
    hint="degrees with E or W; a minus is W",
    why="no finer than 0.01°, for the same reason",
    rig="site.longitude",
)

AT_NIGHT = Shown(input="schedule", values=("night",))
EVERY_DAY = Shown(input="schedule", values=("daily",))
IN_TURNS = Shown(input="schedule", values=("duty",))
WITH_PAUSES = Shown(input="schedule", values=("night", "daily", "duty"))

DEPLOYMENT_WINDOW = Calculator(
    id="deployment-window",
    title="Nights of a deployment",
    question="When is it dark, and do battery and card cover the schedule?",
    stage="deploy",
    inputs=(
        Day(
            name="first_day",
            label="First day",
            default="2026-05-08",
            low="1950-01-02",
            high="2099-10-01",
            why="what the series for sun and moon are checked for",
            hint="year-month-day",
            rig="plan.first_day",
        ),
        LATITUDE,
        LONGITUDE,
        Zone(
            name="time_zone",
            label="Time zone",
            default="+2",
            hint="hours ahead of UTC that your clock shows, summer time included",
            rig="site.time_zone",
        ),
        Clock(
            name="start_time",
            label="Recorder starts",
            default="18:00",
            hint="on the first day",
            rig="plan.start_time",
        ),
        Number(
            name="duration",
            label="Time in the water",
            unit="d",
            default="3 d",
            low="1 h",
            high="60 d",
            why="a dive to two months; a longer one is planned by the season",
            hint="from the start; 62 h will do too",
            rig="plan.duration",
        ),
        Choice(
            name="schedule",
            label="Schedule",
            options=(
                Option(value="night", label="at night, by the sun"),
                Option(value="continuous", label="around the clock"),
                Option(value="daily", label="the same hours every day"),
                Option(value="duty", label="some minutes of each period"),
            ),
            default="night",
            rig="plan.schedule",
        ),
        Number(
            name="lead",
            label="From before sunset",
            unit="min",
            default="60 min",
            low="0 min",
            high="6 h",
            why="at sunset, to most of the evening",
            shown=AT_NIGHT,
            rig="plan.lead",
        ),
        Number(
            name="lag",
            label="Until after sunrise",
            unit="min",
            default="60 min",
            low="0 min",
            high="6 h",
            why="until sunrise, to most of the morning",
            shown=AT_NIGHT,
            rig="plan.lag",
        ),
        Clock(
            name="window_start",
            label="Window begins",
            default="21:00",
            shown=EVERY_DAY,
            rig="plan.window_start",
        ),
        Clock(
            name="window_end",
            label="Window ends",
            default="05:00",
            hint="next day, where it is earlier than the beginning",
            shown=EVERY_DAY,
            rig="plan.window_end",
        ),
        Number(
            name="on_time",
            label="Recording time in each period",
            unit="min",
            default="10 min",
            low="10 s",
            high="24 h",
            why="a sample, to a day",
            shown=IN_TURNS,
            rig="plan.on_time",
        ),
        Number(
            name="period",
            label="Period",
            unit="min",
            default="30 min",
            low="10 s",
            high="24 h",
            why="a sample, to a day",
            shown=IN_TURNS,
            rig="plan.period",
        ),
        Number(
            name="battery_time",
            label="Recording time of the batteries",
            unit="h",
            default="60 h",
            low="1 h",
            high="10000 h",
            why="an afternoon to a year",
            hint="while recording without a break: the runtime",
            rig="power.runtime",
        ),
        Number(
            name="standby_share",
            label="Drain while waiting",
            unit="%",
            default="5 %",
            low="0 %",
            high="100 %",
            why="switched off, to as much as while recording",
            hint="as a part of the drain while recording",
            shown=WITH_PAUSES,
            rig="power.standby_share",
        ),
        Number(
            name="card_time",
            label="Recording time of the card",
            unit="h",
            default="40 h",
            low="1 h",
            high="10000 h",
            why="an afternoon to a year",
            hint="until it is full",
            rig="card.recording_time",
        ),
    ),
    outputs=(
        Output(
            name="coverage",
            label="Coverage of the schedule",
            unit="%",
            help="recorded, of what is scheduled",
            verdict=Verdict(
                better="above",
                limit=1.0,
                met="all of the schedule is recorded",
                missed="a part of the schedule is not recorded: see below what ends it",
                unsure="a part of the schedule may not be recorded",
                source="your own schedule",
                in_rig=False,
            ),
        ),
        Output(
            name="scheduled_time",
            label="Recording time that the schedule needs",
            unit="h",
            help="of the card",
            verdict=Verdict(
                better="below",
                limit="card_time",
                met="within the card's {limit}",
                missed="more than the card's {limit}",
                unsure="may be more than the card's {limit}",
                source="your own card",
                ends=True,
            ),
        ),
        Output(
            name="battery_time_used",
            label="Battery time that the schedule needs",
            unit="h",
            help="waiting included",
            verdict=Verdict(
                better="below",
                limit="battery_time",
                met="within the batteries' {limit}",
                missed="more than the batteries' {limit}",
                unsure="may be more than the batteries' {limit}",
                source="your own batteries",
                ends=True,
            ),
        ),
        Output(
            name="recorded_time",
            label="Recorded in all",
            unit="h",
            help="until battery or card ends it, or the schedule does",
        ),
        Moment(
            name="recording_end",
            label="Last recorded moment",
            help="counted from the first day; see the remarks for its date",
        ),
        Output(
            name="whole_windows",
            label="Windows recorded whole",
            unit="1",
            help="to their own close; one that runs on counts once for each 24 h",
        ),
        Moment(name="first_window_start", label="First window opens"),
        Moment(name="first_window_end", label="First window closes"),
        Output(name="day_length", label="Sun above the horizon", unit="h", help="on the first day"),
        Output(
            name="civil_twilight",
            label="Civil twilight",
            unit="h",
            help="evening and morning of the first day, sun down to 6° below the horizon",
        ),
        Output(
            name="nautical_twilight",
            label="Nautical twilight",
            unit="h",
            help="6° to 12° below",
        ),
        Output(
            name="astronomical_twilight",
            label="Astronomical twilight",
            unit="h",
            help="12° to 18° below",
        ),
        Output(name="dark_time", label="Full darkness", unit="h", help="sun below −18°"),
        Output(
            name="noon_altitude",
            label="Sun at its highest",
            unit="°",
            help="at noon of the first day, above the horizon",
        ),
        Output(
            name="moon_lit",
            label="Lit part of the moon",
            unit="%",
            digits=2,
            help="at the end of the first day",
        ),
    ),
    in_rig=True,
    compute=_deployment_window,
    plot=_picture,
    remarks=_remarks,
    cautions=(
        Caution(
            title="A time to record is no time to be on the water.",
            text="Set and recover in daylight and within your tide; nobody goes out or onto ice "
            "alone or in the dark because of a recording window.",
        ),
    ),
)
