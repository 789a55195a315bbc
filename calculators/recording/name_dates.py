"""Dates with times of day in the names of files, in the orders that recorders write them.

A name such as ``reach_20260621_213000`` can be read in one way; ``050626_213000`` in three. All
readings are given; which one holds is for the caller to find out, or to say that it is not known.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime

ORDERS = ("ymd", "dmy", "mdy")
"""Year, month, day; day, month, year; month, day, year."""

YEARS = range(1990, 2100)
"""Years of four digits that are taken for years."""

_DATE = r"(\d{4}([-_.])\d\d\2\d\d|\d\d([-_.])\d\d\3(?:\d{4}|\d\d)|\d{8}|\d{6})"
_GAP = r"(?:[ _.T-]{1,3}|[ _]at[ _]|(?<=\d{8})(?=\d{6}))"
_TIME = r"(\d\d([-:_.h])\d\d\5\d\d(?!\d)|\d\d[-:_.h]\d\d(?![-:_.h]?\d)|\d{6}(?!\d)|\d{4}(?!\d))"
_ZONE = r"(Z|[+-](?:0\d|1[0-4]):?(?:00|15|30|45))?(?!\d)"
_DATE_TIME = re.compile(rf"(?<!\d){_DATE}{_GAP}{_TIME}{_ZONE}")
_TWELVE = re.compile(r"(?<!\d)(\d{12})(?!\d)")


@dataclass(frozen=True)
class NameDate:
    """A date with a time within a name.

    ``readings`` gives for each order that is possible the seconds since 1970, without zone;
    ``step`` is the finest that the text tells, 1 s or 60 s; ``zone`` the seconds that its zone is
    ahead of UTC, or None; ``start`` and ``stop`` say where in the name it stands.
    """

    readings: dict[str, float]
    step: float
    zone: float | None
    start: int
    stop: int


def dates_in(name: str) -> list[NameDate]:
    """Every date with a time in a name, in its order; without those that no calendar has.

    >>> from datetime import UTC, datetime
    >>> (found,) = dates_in("reach_2026-06-21T21-30-00.wav")
    >>> {order: datetime.fromtimestamp(s, UTC).isoformat() for order, s in found.readings.items()}
    {'ymd': '2026-06-21T21:30:00+00:00'}
    """
    found = [_from_match(match) for match in _DATE_TIME.finditer(name)]
    found += [_from_run(match) for match in _TWELVE.finditer(name)]
    return sorted((date for date in found if date.readings), key=lambda date: date.start)


def _from_match(match: re.Match[str]) -> NameDate:
    time = _digits(match[4])
    short = len(_digits(match[1])) == 6 and len(time) == 4
    readings = {} if short else dict(_readings(_digits(match[1]), time))
    return NameDate(readings, _step(time), _zone(match[6]), match.start(), match.end())


def _from_run(match: re.Match[str]) -> NameDate:
    """Twelve digits: a year of two digits and seconds, or one of four and no seconds."""
    run = match[1]
    readings = dict(_readings(run[:6], run[6:]))
    minutes = {f"{order} hm": value for order, value in _readings(run[:8], run[8:])}
    step = 1.0 if readings else 60.0
    return NameDate({**readings, **minutes}, step, None, match.start(), match.end())


def _digits(text: str) -> str:
    return re.sub(r"\D", "", text)


def _step(time: str) -> float:
    return 1.0 if len(time) == 6 else 60.0


def _zone(text: str | None) -> float | None:
    if not text:
        return None
    if text == "Z":
        return 0.0
    digits = _digits(text)
    ahead = 3600.0 * int(digits[:2]) + 60.0 * int(digits[2:])
    return ahead if text[0] == "+" else -ahead


def _readings(date: str, time: str) -> Iterator[tuple[str, float]]:
    clock = (int(time[:2]), int(time[2:4]), int(time[4:] or 0))
    for order, year, month, day in _dates(date):
        try:
            yield order, datetime(year, month, day, *clock, tzinfo=UTC).timestamp()
        except ValueError:
            continue


def _dates(date: str) -> Iterator[tuple[str, int, int, int]]:
    """Order, year, month and day of six or eight digits, in every way that they can be meant."""
    long = len(date) == 8
    first, middle, last = (int(date[:2]), int(date[2:4]), int(date[4:]))
    if long:
        yield from _if_year("ymd", int(date[:4]), int(date[4:6]), int(date[6:]))
        yield from _if_year("dmy", last, middle, first)
        yield from _if_year("mdy", last, first, middle)
        return
    yield "ymd", 2000 + first, middle, last
    yield "dmy", 2000 + last, middle, first
    yield "mdy", 2000 + last, first, middle


def _if_year(order: str, year: int, month: int, day: int) -> Iterator[tuple[str, int, int, int]]:
    if year in YEARS:
        yield order, year, month, day
