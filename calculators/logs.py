"""Reads a log of measurements: rows of numbers as a logger writes them or a person types them.

Cells are cut by tabs, semicolons, commas or spaces. A head row may name the columns with their
units, as in ``time (min), pressure (kPa)`` or ``time/min``; without one the columns stand in their
declared order and units. A row that cannot be read is left out and named; nothing is guessed.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from itertools import pairwise
from math import inf, isfinite, nextafter

from calculators import units
from calculators.errors import InputError
from calculators.units.reading import unit_named
from calculators.units.table import unit_of

MOST_ROWS = 100_000
"""Rows that are read; a longer log is refused, not cut."""

LEAST_ROWS = 3
"""With fewer, there is no line to fit and no scatter to judge it by."""

ROW_MARK = "_"
"""Ends a row within a link."""

_HEAD_CELL = re.compile(r"\s*([^\W\d][\w .-]*?)\s*(?:[(\[/]\s*([^)\]]*?)\s*[)\]]?|\bin (\S+))?\s*$")
_PLAIN = {0x2212: "-", 0xA0: " ", 0x202F: " ", 0xFEFF: "", ord("_"): "?"}
_CLOCK = re.compile(r"(\d{1,3}):([0-5]\d)(?::([0-5]\d(?:\.\d+)?))?$")
_DAY = 86_400.0
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)

MOST_DAYS = 1000
"""A time beyond so many days is a date: in a link it counts from the first row."""


@dataclass(frozen=True, kw_only=True)
class LogColumn:
    """One column: ``unit`` is that of a number without a head row; the ends are texts with units.

    ``clock`` columns read hours and minutes (``12:30``, ``12:30:05``) and dates with times as well,
    which are not held against the ends. A column that is not ``required`` may be missing as a
    whole.
    """

    name: str
    label: str
    unit: str
    low: str
    high: str
    required: bool = True
    clock: bool = False

    def si(self, text: str) -> float:
        """A text with unit in SI."""
        return units.parse(text, self.unit, name=self.name, label=self.label)


@dataclass(frozen=True)
class Skipped:
    """A row that is left out: its number, its text, and what is wrong with it."""

    number: int
    text: str
    why: str


@dataclass(frozen=True)
class ReadLog:
    """The readable rows by column, SI, and those left out."""

    columns: dict[str, tuple[float, ...]]
    skipped: tuple[Skipped, ...]

    @property
    def rows(self) -> int:
        """How many rows were read."""
        return len(next(iter(self.columns.values())))


@lru_cache(maxsize=8)
def read_log(text: str, columns: tuple[LogColumn, ...]) -> ReadLog:
    """Read a log; cached, because it is asked for at every keystroke.

    Raises:
        InputError: Without a name of a field, if there is nothing that can be used: no rows, too
            many, a required column missing, a unit that is none.
    """
    lines = _numbered(text)
    if len(lines) > MOST_ROWS + 1:
        raise InputError("", f"{len(lines)} rows are too many: at most {MOST_ROWS} are read.")
    if not lines:
        raise InputError("", f"There are no rows. Give {_layout(columns)}, one row a line.")
    cut = _cutter([line for _, line in lines[:20]])
    places, body = _places(lines, cut, columns)
    log = _read_rows(body, cut, places)
    if log.rows < LEAST_ROWS:
        raise InputError("", _too_few(log, columns))
    return log


def _numbered(text: str) -> list[tuple[int, str]]:
    """Lines with their numbers, less empty ones and remarks."""
    plain = form_text(text).translate(_PLAIN)
    stripped = ((n, line.strip()) for n, line in enumerate(plain.splitlines(), 1))
    return [(n, line) for n, line in stripped if line and not line.startswith("#")]


def _layout(columns: Sequence[LogColumn]) -> str:
    return ", ".join(
        f"{c.name} ({c.unit})" + ("" if c.required else ", if there is one") for c in columns
    )


def _too_few(log: ReadLog, columns: Sequence[LogColumn]) -> str:
    first = f" Row {log.skipped[0].number}: {log.skipped[0].why}" if log.skipped else ""
    return (
        f"{log.rows} rows can be read, at least {LEAST_ROWS} are needed. "
        f"Give {_layout(columns)}, one row a line.{first}"
    )


Cut = Callable[[str], list[str]]


def _cutter(sample: Sequence[str]) -> Cut:
    """How rows are cut: by the first mark that most rows of the sample have.

    Where rows are cut by tabs or semicolons, or by spaces, a comma is a decimal comma.
    """
    for mark in ("\t", ";"):
        if _most(mark, sample):
            return lambda line: [cell.strip().replace(",", ".") for cell in line.split(mark)]
    if _most(",", sample):
        return lambda line: [cell.strip() for cell in line.split(",")]
    return lambda line: line.replace(",", ".").split()


def _most(mark: str, sample: Sequence[str]) -> bool:
    return 2 * sum(mark in line for line in sample) > len(sample)


@dataclass(frozen=True)
class _Place:
    """Where a column stands in a row, how a number of it becomes SI, and what it accepts."""

    column: LogColumn
    at: int
    factor: float
    zero: float
    low: float
    high: float


def _places(
    lines: list[tuple[int, str]], cut: Cut, columns: Sequence[LogColumn]
) -> tuple[list[_Place], list[tuple[int, str]]]:
    """Where each column stands, and the rows below the head."""
    first = cut(lines[0][1])
    if _is_number(first[0]) or _clock(first[0]) is not None:
        found = {c.name: (at, c.unit) for at, c in enumerate(columns) if at < len(first)}
        return [_place(c, *found[c.name]) for c in _present(columns, found)], lines
    found = _head(first, columns)
    return [_place(c, *found[c.name]) for c in _present(columns, found)], lines[1:]


def _head(cells: list[str], columns: Sequence[LogColumn]) -> dict[str, tuple[int, str]]:
    """Place and unit of each column that the head row names."""
    found: dict[str, tuple[int, str]] = {}
    for at, cell in enumerate(cells):
        match = _HEAD_CELL.match(cell)
        column = match and _named(match[1], [c for c in columns if c.name not in found])
        if match and column:
            found[column.name] = (at, _unit(match[2] or match[3] or column.unit, column))
    return found


def _named(words: str, columns: Sequence[LogColumn]) -> LogColumn | None:
    """The column that a head cell names: by its name, its label, or a word that starts so."""
    asked = words.lower()
    return next(
        (c for c in columns if asked in (c.name, c.label.lower()) or c.name.startswith(asked[:4])),
        None,
    )


def _unit(written: str, column: LogColumn) -> str:
    """The table's symbol of a unit that a head row gives.

    Raises:
        InputError: If it is not a unit of this column.
    """
    try:
        return unit_named(written, unit_of(column.unit)).symbol
    except ValueError as unknown:
        raise InputError(
            "",
            f"{column.label}: “{written[:20]}” is not a unit of it. Give it as in {column.unit}.",
        ) from unknown


def _present(columns: Sequence[LogColumn], found: dict[str, tuple[int, str]]) -> list[LogColumn]:
    missing = [c.name for c in columns if c.required and c.name not in found]
    if missing:
        raise InputError(
            "", f"There is no column {' and no '.join(missing)}. Give {_layout(columns)}."
        )
    return [c for c in columns if c.name in found]


def _place(column: LogColumn, at: int, unit: str) -> _Place:
    known = unit_of(unit)
    low, high = column.si(column.low), column.si(column.high)
    return _Place(column, at, float(known.factor), float(known.zero), low, high)


def _read_rows(body: list[tuple[int, str]], cut: Cut, places: list[_Place]) -> ReadLog:
    read: list[list[float]] = []
    skipped: list[Skipped] = []
    for number, line in body:
        cells = cut(line)
        row = _quick(cells, places)
        if row is None:
            try:
                row = [_cell(cells, place) for place in places]
            except ValueError as wrong:
                skipped.append(Skipped(number, line[:60], str(wrong)))
                continue
        read.append(row)
    columns = {place.column.name: tuple(row[at] for row in read) for at, place in enumerate(places)}
    first = places[0]
    if first.column.clock and body and _is_clock(cut(body[0][1]), first):
        columns[first.column.name] = _past_midnight(columns[first.column.name])
    return ReadLog(columns, tuple(skipped))


def _quick(cells: list[str], places: list[_Place]) -> list[float] | None:
    """A row of plain numbers within their ranges; None for any other."""
    row = []
    for place in places:
        try:
            value = (float(cells[place.at]) - place.zero) * place.factor
        except (ValueError, IndexError):
            return None
        if not place.low <= value <= place.high:
            return None
        row.append(value)
    return row


def _cell(cells: list[str], place: _Place) -> float:
    """One value, SI.

    Raises:
        ValueError: With what is wrong, in words.
    """
    column = place.column
    text = cells[place.at] if place.at < len(cells) else ""
    if not text:
        raise ValueError(f"{column.name} is missing")
    seconds = _clock(text) if column.clock else None
    if seconds is not None:
        return seconds
    if not _is_number(text):
        raise ValueError(f"{column.name}: “{text[:20]}” is not a number")
    value = (float(text) - place.zero) * place.factor
    if not place.low <= value <= place.high:
        raise ValueError(f"{column.name}: {text[:20]} is not within {column.low} to {column.high}")
    return value


def _is_number(text: str) -> bool:
    try:
        return isfinite(float(text))
    except ValueError:
        return False


def _is_clock(cells: list[str], place: _Place) -> bool:
    return place.at < len(cells) and _CLOCK.match(cells[place.at]) is not None


def _past_midnight(times: tuple[float, ...]) -> tuple[float, ...]:
    """Times of day that go on over midnight: each fall by more than half a day begins a new one."""
    days = 0
    going_on = []
    for before, time in pairwise((times[0], *times)):
        days += time < before - _DAY / 2
        going_on.append(time + days * _DAY)
    return tuple(going_on)


def _clock(text: str) -> float | None:
    """Seconds of a time of day or of a date with a time, None for anything else."""
    clock = _CLOCK.match(text)
    if clock:
        return int(clock[1]) * 3600.0 + int(clock[2]) * 60.0 + float(clock[3] or 0)
    if text[4:5] != "-":
        return None
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        return None
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=UTC)
    return (moment - _EPOCH).total_seconds()


@lru_cache(maxsize=8)
def link_text(text: str, columns: tuple[LogColumn, ...]) -> str:
    """The log as a link carries it: one text, in the declared units, rows cut by ``_``.

    Dates become times since the first row.
    """
    log = read_log(text, columns)
    there = [column for column in columns if column.name in log.columns]
    texts = [_linked(log.columns[column.name], column) for column in there]
    heads = ((column.name, unit_of(column.unit).link) for column in there)
    head = ",".join(f"{name}/{unit}" if unit else name for name, unit in heads)
    return ROW_MARK.join([head, *(",".join(row) for row in zip(*texts, strict=True))])


def _linked(values: tuple[float, ...], column: LogColumn) -> list[str]:
    unit = unit_of(column.unit)
    start = values[0] if column.clock and values[0] > MOST_DAYS * _DAY else 0.0
    return [_number_text(value - start, float(unit.factor), float(unit.zero)) for value in values]


def _number_text(value: float, factor: float, zero: float) -> str:
    """The shortest number that is read as this value again, to the last bit where there is one."""
    number = value / factor + zero
    exact = [f"{number:.{digits}g}" for digits in (10, 15, 17)]
    exact += [repr(nextafter(number, end)) for end in (-inf, inf)]
    same = (text for text in exact if (float(text) - zero) * factor == value)
    return next(same, exact[2]).replace("e+", "e")


def form_text(text: str) -> str:
    """A link's log as a form shows it, a row a line."""
    return text if "\n" in text else text.replace(ROW_MARK, "\n")
