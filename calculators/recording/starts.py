"""When the files of a deployment started: from headers, else from names, else not known.

A date that can be read in several orders is settled only by what the files themselves say: an
order that alone gives every name a date of the calendar, or the one under which the most files
begin where another ends: at midnight a wrong order jumps by months or years. Else it is named and
left open.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from itertools import pairwise
from typing import Literal

from calculators.recording.layout import Layout
from calculators.recording.name_dates import NameDate, dates_in

DRIFT = 1e-4
"""The clock of the samples and that of the dates may part by this much of a length: 100 ppm."""

FINE = 0.1
"""How far starts may be off that are told to fractions of a second (s)."""

COARSE = 2.0
"""Steps of the times in a card's directory (s): where all starts are even, they may count so."""

UNSET_DAYS = ("1970-01-01", "1980-01-01", "2000-01-01")
"""Days on which clocks begin that were never set."""

Origin = Literal["header", "name", "unknown"]


@dataclass(frozen=True)
class Start:
    """When a file started.

    ``seconds`` counts from 1970 by the recorder's clock, without zone; None if it is not known.
    ``place`` puts the file against the others even where only differences are known, as with a
    date that has several readings within one month; None where not even that is known. ``step``
    is how finely the start is told (s).
    """

    seconds: float | None
    place: float | None
    step: float
    origin: Origin
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Orders:
    """The orders in which the dates of all names may be read; ``alike`` if it makes no odds for
    the time between files; ``zoned`` if every name has its zone."""

    possible: tuple[str, ...]
    alike: bool
    zoned: bool


def find_starts(
    names: Sequence[str], layouts: Sequence[Layout], order: str | None = None
) -> list[Start]:
    """The start of each file.

    Args:
        names: Of the files, without folders.
        layouts: Theirs, in the same order.
        order: "ymd", "dmy" or "mdy", if the reader has said in which order the names are dated.
    """
    pairs = list(zip(map(_name_date, names, layouts), layouts, strict=True))
    asked = [(date, layout.seconds) for date, layout in pairs if date and layout.started is None]
    orders = _orders(asked, order)
    return _stepped([_start(date, layout.started, orders) for date, layout in pairs])


def date_text(seconds: float) -> str:
    """A start as a date and a time, without zone."""
    return f"{datetime.fromtimestamp(seconds, UTC):%Y-%m-%d %H:%M:%S}"


# Which date a name has


def _name_date(name: str, layout: Layout) -> NameDate | None:
    """The date of a name; the first of two only if the second is the end of the recording."""
    found = dates_in(name)
    if len(found) == 2 and _is_end(found[0], found[1], layout.seconds):
        return found[0]
    return found[0] if len(found) == 1 else None


def _is_end(start: NameDate, end: NameDate, seconds: float) -> bool:
    slack = max(start.step, end.step) + DRIFT * seconds
    return any(
        abs(end.readings[order] - value - seconds) <= slack
        for order, value in start.readings.items()
        if order in end.readings
    )


def _orders(dated: list[tuple[NameDate, float]], said: str | None) -> _Orders:
    dates = [date for date, _ in dated]
    zoned = bool(dates) and all(date.zone is not None for date in dates)
    common = [
        order
        for order in (dates[0].readings if dates else ())
        if all(order in date.readings for date in dates) and said in (None, order.split()[0])
    ]
    if _same(dates, common):
        common = common[:1]
    follow = {order: _following(dated, order) for order in common}
    most = [order for order in common if follow[order] == max(follow.values())]
    common = most if len(most) == 1 else common
    return _Orders(tuple(common), _same_between(dates, common), zoned)


def _same(dates: list[NameDate], orders: list[str]) -> bool:
    return all(len({date.readings[order] for order in orders}) == 1 for date in dates)


def _same_between(dates: list[NameDate], orders: list[str]) -> bool:
    """Whether the times between files are the same in every order."""
    lines = {
        tuple(date.readings[order] - dates[0].readings[order] for date in dates) for order in orders
    }
    return len(lines) == 1


def _following(dated: list[tuple[NameDate, float]], order: str) -> int:
    """How many files begin where another ends."""
    placed = sorted((date.readings[order], length) for date, length in dated)
    return sum(
        abs(after - before - length) <= COARSE + DRIFT * length
        for (before, length), (after, _) in pairwise(placed)
    )


# The start of one file


def _start(date: NameDate | None, started: float | None, orders: _Orders) -> Start:
    if started is not None:
        return Start(started, started, 1.0, "header", _header_remarks(started, date))
    if date is None:
        return Start(None, None, 0.0, "unknown")
    if not orders.possible:
        text = f"The dates of the names follow no one order: this one reads {_readings(date)}."
        return Start(None, None, 0.0, "unknown", (text,))
    value = date.readings[orders.possible[0]]
    place = value - date.zone if orders.zoned and date.zone is not None else value
    if len(orders.possible) == 1:
        return Start(value, place, date.step, "name", _unset(value))
    text = f"Its name can be read as {_readings(date)}; which one is not said."
    return Start(None, place if orders.alike else None, date.step, "unknown", (text,))


def _readings(date: NameDate) -> str:
    return " or ".join(sorted({date_text(value) for value in date.readings.values()}))


def _header_remarks(started: float, date: NameDate | None) -> tuple[str, ...]:
    slack = COARSE + (date.step if date else 0.0)
    if date is None or any(abs(value - started) <= slack for value in date.readings.values()):
        return _unset(started)
    text = f"The header says {date_text(started)}, the name {_readings(date)}; the header is used."
    return (*_unset(started), text)


def _unset(seconds: float) -> tuple[str, ...]:
    day = date_text(seconds)[:10]
    if day not in UNSET_DAYS:
        return ()
    return (f"It starts on {day}, where clocks begin that were never set.",)


def _stepped(starts: list[Start]) -> list[Start]:
    """Starts with the step that their places show, where these are told in seconds."""
    places = [start.place for start in starts if start.place is not None]
    step = 1.0
    if any(place % 1 for place in places):
        step = FINE
    elif len(places) > 2 and not any(place % 2 for place in places):
        step = COARSE
    return [replace(start, step=step) if start.step == 1.0 else start for start in starts]
