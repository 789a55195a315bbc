"""Dates, times of day, time zones and places: how they are written, and the number behind each.

A date is days since 1970-01-01, a time of day seconds after midnight, a time zone seconds east of
UTC, a coordinate degrees, north and east positive.
"""

import re
from datetime import date, timedelta

from calculators.errors import InputError
from calculators.units.reading import RefusedError, printable, tidy

DAY = 86_400.0
"""Seconds of a day."""

HUNDREDTHS = 100
"""Parts of a degree that a coordinate is kept in: about a kilometre, seconds of a sunrise."""

ZONES = (-12 * 3600.0, 14 * 3600.0)
"""Time zones from the westernmost to the easternmost, seconds ahead of UTC."""

_FIRST = date(1970, 1, 1)
_DATE = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})")
_THREE = re.compile(r"([0-9]{1,4}) ?[-./ ] ?([0-9]{1,2}) ?[-./ ] ?([0-9]{1,4})")
_CLOCK = re.compile(r"([0-9]{1,2})[:h]([0-9]{2})")
_MOMENT = re.compile(
    r"(?P<clock>[0-9]{1,2}:[0-9]{2})(?: (?P<one>next day|the day before)"
    r"|, (?P<days>[0-9]{1,4}) days (?P<way>later|before))?"
)
_ZONE = re.compile(r"(?:UTC ?)?([+-]?)([0-9]{1,2})(?::([0-5][0-9])|[.,]([0-9]{1,2}))?(?: ?h)?")
_DEGREES = re.compile(r"([+-]?) ?([0-9]{1,3})(?:[.,]([0-9]+))? ?°?(?:deg)? ?([A-Za-z]?)")
_YEARS_OF_TWO = 2000


def refused(name: str, label: str, text: str, why: str) -> InputError:
    """The error for a text that is not understood; ``why`` ends with what is accepted."""
    quoted = f"“{printable(text)}” {why}" if text.strip() else f"nothing is given; {why}"
    return InputError(name, f"{label}: {quoted}")


def _tidy(text: str, name: str, label: str) -> str:
    """The text as ``tidy`` leaves it; nothing stays nothing, for the caller to refuse."""
    try:
        return tidy(text) if text.strip() else ""
    except RefusedError as why:
        raise InputError(name, f"{label}: {why}.") from None


def day_of(when: date) -> float:
    """Days since 1970-01-01.

    >>> day_of(date(2026, 6, 21))
    20625.0
    """
    return float((when - _FIRST).days)


def day_text(day: float) -> str:
    """The date of this many whole days since 1970-01-01, as ISO 8601 writes it."""
    return (_FIRST + timedelta(days=int(day))).isoformat()


def read_day(text: str, *, name: str, label: str) -> float:
    """Days since 1970-01-01 of a date written year-month-day.

    Raises:
        InputError: For any other way of writing, with the dates that it can mean.

    >>> read_day("2026-06-21", name="first_day", label="First day")
    20625.0
    """
    tidied = _tidy(text, name, label)
    found = _DATE.fullmatch(tidied)
    when = _date(*map(int, found.groups())) if found else None
    if when is None:
        raise refused(name, label, text, _why_no_date(tidied))
    return day_of(when)


def _date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _why_no_date(text: str) -> str:
    readings = _readings(text)
    if not readings:
        return "is not a date. Give year-month-day, as in 2026-06-21."
    if len(readings) == 1:
        return f"is not written as year-month-day. If {readings[0]} is meant, give it so."
    return f"can mean {' or '.join(readings)}. Give the one that is meant, written so."


def _readings(text: str) -> list[str]:
    """The dates that three numbers can mean: year first, day first or month first."""
    found = _THREE.fullmatch(text)
    if not found:
        return []
    dates: dict[str, None] = {}
    for order in (("y", "m", "d"), ("d", "m", "y"), ("m", "d", "y")):
        part = dict(zip(order, found.groups(), strict=True))
        if len(part["y"]) in (2, 4) and len(part["d"]) <= 2 and len(part["m"]) <= 2:
            century = _YEARS_OF_TWO if len(part["y"]) == 2 else 0
            when = _date(century + int(part["y"]), int(part["m"]), int(part["d"]))
            dates |= {when.isoformat(): None} if when else {}
    return list(dates)


def read_clock(text: str, *, name: str, label: str) -> float:
    """Seconds after midnight of a time of day: 21:30, or 21h30 as a link writes it.

    Raises:
        InputError: For anything else.

    >>> read_clock("21:30", name="start_time", label="Start")
    77400.0
    """
    found = _CLOCK.fullmatch(_tidy(text, name, label))
    if not found or int(found[1]) > 23 or int(found[2]) > 59:
        why = "is not a time of day. Give hours and minutes, 00:00 to 23:59."
        raise refused(name, label, text, why)
    return int(found[1]) * 3600.0 + int(found[2]) * 60.0


def clock_text(seconds: float, sign: str = ":") -> str:
    """Hours and minutes of a time of day, to the nearest minute; midnight is 00:00."""
    minutes = round(seconds / 60) % 1440
    return f"{minutes // 60:02d}{sign}{minutes % 60:02d}"


def moment_text(seconds: float) -> str:
    """A moment this long after a first midnight: its time of day, and how many days later.

    >>> moment_text(21.5 * 3600)
    '21:30'
    >>> moment_text(28 * 3600)
    '04:00 next day'
    """
    days = round(seconds / 60) // 1440
    later = {0: "", 1: " next day", -1: " the day before"}.get(days)
    if later is None:
        later = f", {abs(days)} days {'later' if days > 0 else 'before'}"
    return clock_text(seconds) + later


def read_moment(text: str, *, name: str, label: str) -> float:
    """Seconds after the first midnight of a moment as ``moment_text`` writes it.

    Raises:
        InputError: For anything else.

    >>> read_moment("04:00 next day", name="end", label="End")
    100800.0
    """
    found = _MOMENT.fullmatch(_tidy(text, name, label))
    if not found:
        why = "is not a moment. Give it as in 21:30, 04:00 next day or 02:15, 3 days later."
        raise refused(name, label, text, why)
    days = {"next day": 1, "the day before": -1}.get(found["one"], int(found["days"] or 0))
    if found["way"] == "before":
        days = -days
    return days * DAY + read_clock(found["clock"], name=name, label=label)


def read_zone(text: str, *, name: str, label: str) -> float:
    """Seconds east of UTC: +2, UTC+2, -3:30, 5.75, in quarters of an hour from −12 h to +14 h.

    Raises:
        InputError: For anything else.

    >>> read_zone("UTC-3:30", name="time_zone", label="Time zone")
    -12600.0
    """
    tidied = _tidy(text, name, label)
    found = _ZONE.fullmatch(tidied if tidied != "UTC" else "0")
    minutes = _zone_minutes(*found.groups()) if found else None
    if minutes is None or minutes % 15 or not ZONES[0] <= minutes * 60 <= ZONES[1]:
        why = "is not a time zone. Give hours ahead of UTC, as in +2, -3:30 or 0: from −12 to +14."
        raise refused(name, label, text, why)
    return minutes * 60.0


def _zone_minutes(sign: str, hours: str, minutes: str | None, part: str | None) -> float | None:
    size = int(hours) * 60 + int(minutes or 0) + float(f"0.{part or 0}") * 60
    return -size if sign == "-" else size


def zone_text(seconds: float) -> str:
    """Hours ahead of UTC, with a sign a keyboard has: +2, -3:30, 0."""
    hours, minutes = divmod(abs(round(seconds / 60)), 60)
    sign = "" if not seconds else "-" if seconds < 0 else "+"
    return f"{sign}{hours}" + (f":{minutes:02d}" if minutes else "")


def read_coordinate(text: str, *, most: int, letters: str, name: str, label: str) -> float:
    """Degrees of a latitude or longitude, to a hundredth: 61.53, 61.53 N, -12.5.

    Args:
        text: What was typed.
        most: Largest number of degrees: 90 or 180.
        letters: The letter of the positive and of the negative side: "NS" or "EW".
        name: The input, for the error.
        label: The input as the reader knows it.

    Raises:
        InputError: For anything else, and for more than two decimals: a link carries the place.

    >>> read_coordinate("12.5 S", most=90, letters="NS", name="latitude", label="Latitude")
    -12.5
    """
    found = _DEGREES.fullmatch(_tidy(text, name, label))
    plus, minus = letters[0], letters[1]
    accepted = f"0 to {most} with {plus} or {minus} behind, or a minus for {minus}"
    example = f"as in 12.34 {plus}"
    side = found[4].upper() if found else ""
    if not found or side not in ("", plus, minus) or (side and found[1]):
        raise refused(name, label, text, f"is not understood. Give degrees, {accepted}, {example}.")
    whole, decimals = int(found[2]), (found[3] or "").rstrip("0")
    if len(decimals) > 2:
        shorter = f"{float(f'{whole}.{decimals}'):.2f}"
        why = f"is finer than 0.01°, and a link would give the place away. Give {shorter} {side}"
        raise refused(name, label, text, f"{why.rstrip()}: sunrise differs by seconds.")
    hundredths = whole * HUNDREDTHS + int(decimals.ljust(2, "0"))
    if hundredths > most * HUNDREDTHS:
        raise refused(name, label, text, f"is not possible. Give degrees, {accepted}.")
    value = hundredths / HUNDREDTHS
    return -value if side == minus or found[1] == "-" else value


def coordinate_text(value: float, letters: str, gap: str = " ") -> str:
    """A coordinate with the letter of its side: 61.53 N."""
    hundredths = round(abs(value) * HUNDREDTHS)
    number = f"{hundredths / HUNDREDTHS:.2f}".rstrip("0").rstrip(".")
    side = letters[1] if value < 0 and hundredths else letters[0]
    return f"{number}{gap}{side}"
