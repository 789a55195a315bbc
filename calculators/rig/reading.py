"""A rig's file, read: TOML in, a rig or every fault out."""

import re
import tomllib
from codecs import utf_8_decode
from collections.abc import Container, Iterator
from difflib import get_close_matches
from typing import Any

from calculators.declare import Input, Number
from calculators.errors import InputError
from calculators.evaluate import FormError
from calculators.rig import formats
from calculators.rig.formats import key_of, path_and_key
from calculators.rig.model import Rig, Stated, read_entry
from calculators.rig.places import DEEPEST, Names, Places, TooDeepError, places
from calculators.rig.schema import ENTRIES, ROWS, SECTIONS, Entry
from calculators.units import base_unit

LONGEST = 100_000
"""Characters of a file that is read."""

MOST_FAULTS = 50
"""Faults that are told of one file; what stands behind them is not looked at."""

BYTE_ORDER_MARK = "\ufeff"

_HEAD = ("format", "name", "note", "without")
_WHERE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_LONG_NUMBER = re.compile(r"[0-9][0-9_]{1000}")
_HALF_SIGN = re.compile("[\ud800-\udfff]")
_LONGEST_BYTES = 4 * LONGEST + 1  # of so many characters, and of one that is too many
_LONGEST_GUESSED = 80  # a longer name is no slip of the finger


class RigFileError(InputError):
    """One fault of a file: its line, the key it belongs to (may be empty), what is wrong."""

    def __init__(self, line: int, key: str, message: str) -> None:
        super().__init__(key, message)
        self.line = line
        self.key = key

    def __str__(self) -> str:
        where = f"line {self.line}"
        return f"{where}, {self.key}: {self.message}" if self.key else f"{where}: {self.message}"


class RigFileErrors(FormError):
    """Every fault of a file, in the order of its lines."""

    def __init__(self, faults: list[RigFileError]) -> None:
        self.faults = sorted(faults, key=lambda fault: fault.line)
        super().__init__(list(self.faults))

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults)


def read_rig(text: str) -> Rig:
    """The rig that a file describes.

    Raises:
        RigFileErrors: Naming every fault with its line and key. A text that is not TOML is
            refused at its first fault, since nothing behind it can be understood.
    """
    text = text.removeprefix(BYTE_ORDER_MARK)
    _check_signs(text)
    try:
        where = places(text)
    except TooDeepError as deep:
        why = f"This nests more than {DEEPEST} deep; a rig has sections, rows and entries."
        raise _only(deep.line, "", why) from None
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        raise _not_toml(str(fault), where) from None
    except ValueError:  # a whole number of more digits than Python reads
        raise _number_too_long(text) from None
    return _Reader(data, where).rig()


def text_of(data: bytes) -> str:
    """The text of a file.

    Raises:
        RigFileErrors: If it is no text in UTF-8, or too long to be a rig.
    """
    try:
        return utf_8_decode(data[:_LONGEST_BYTES], "strict", len(data) <= _LONGEST_BYTES)[0]
    except UnicodeDecodeError as fault:
        line = data.count(b"\n", 0, fault.start) + 1
        why = "This is no text in UTF-8, as a rig's file is: save it as UTF-8 where you wrote it."
        raise _only(line, "", why) from None


def _only(line: int, key: str, message: str) -> RigFileErrors:
    return RigFileErrors([RigFileError(line, key, message)])


def _check_signs(text: str) -> None:
    """Refuse what is no rig's file at a glance, before anything is made of it."""
    if len(text) > LONGEST:
        why = f"This file has {len(text)} characters; up to {LONGEST} are read."
        raise _only(1, "", why)
    if found := _HALF_SIGN.search(text):
        why = "This is half of a sign, as no text of Unicode has it: the file is damaged."
        raise _only(_line_at(text, found.start()), "", why)


def _line_at(text: str, at: int) -> int:
    return text.count("\n", 0, at) + 1


def _not_toml(why: str, where: Places) -> RigFileErrors:
    """What tomllib refuses, with the key of its line; of what stands twice, both lines."""
    found = _WHERE.search(why)
    line = int(found[1]) if found and found[1] else _line_at(where.text, len(where.text))
    place = where.at(line)
    key = key_of(place.path) if place else ""
    if place and why.startswith("Cannot") and where.first(place) != place:
        first = where.first(place).line
        return _only(place.line, key, f"This is stated twice: first in line {first}.")
    column = f", column {found[2]}" if found and found[2] else ""
    what = _WHERE.sub("", why)
    return _only(line, key, f"This is not TOML{column}: {what[:200]}.")


def _number_too_long(text: str) -> RigFileErrors:
    found = _LONG_NUMBER.search(text)
    line = _line_at(text, found.start()) if found else 1
    return _only(line, "", "This number is too long; a value is a text with its unit.")


class _Reader:
    """Goes through what tomllib has read, and gathers what is wrong."""

    def __init__(self, data: dict[str, Any], where: Places) -> None:
        self.data = data
        self.where = where
        self.form = formats.FORMAT
        self.faults: list[RigFileError] = []
        self.stated: dict[str, Stated] = {}

    def rig(self) -> Rig:
        """The rig, or every fault."""
        self._format()
        head = {name: self._head(name) for name in ("name", "note")}
        without = frozenset(self._without())
        for path, value in self._leaves():
            self._leaf(path, value)
        if self.faults:
            raise RigFileErrors(self.faults)
        return Rig(head["name"], self.stated, head["note"], without)

    def _refuse(self, path: Names, message: str, key: str = "") -> None:
        """Note a fault; enough of them end the reading."""
        fault = RigFileError(self.where.line_of(path), key or key_of(path)[:100], message)
        self.faults.append(fault)
        if len(self.faults) == MOST_FAULTS:
            raise RigFileErrors(self.faults)

    def _format(self) -> None:
        """Everything depends on it, so a wrong one ends the reading."""
        form = self.data.get("format")
        line = self.where.line_of(("format",))
        if type(form) is not int or form < 1:
            said = "is not a format" if "format" in self.data else "is missing"
            why = f"The format of this file {said}. Write format = {formats.FORMAT} at its top."
            raise _only(line, "format", why)
        if form > formats.FORMAT:
            why = (
                f"This file is of a later format; this edition reads up to {formats.FORMAT}. "
                "Open it in a newer edition of the handbook."
            )
            raise _only(line, "format", why)
        self.form = form

    def _head(self, name: str) -> str:
        """The rig's name or its note."""
        text = self.data.get(name, "")
        if not isinstance(text, str):
            self._refuse((name,), f"The {name} is a text in quotes, not {_kind(text)}.")
            return ""
        self._try((name,), **{"name": "rig", name: text})
        return text

    def _without(self) -> list[str]:
        cards = self.data.get("without", [])
        if not isinstance(cards, list) or not all(isinstance(card, str) for card in cards):
            self._refuse(("without",), "This is a list of calculators, each a text in quotes.")
            return []
        for card in cards:
            self._try(("without",), name="rig", without=frozenset((card,)))
        return cards

    def _try(self, path: Names, **parts: Any) -> None:
        """Refuse what a rig refuses of these parts of it."""
        try:
            Rig(**parts)
        except InputError as error:
            self._refuse(path, error.message)

    def _leaves(self) -> Iterator[tuple[Names, Any]]:
        """Every value of every section and row, with its path."""
        for section, values in self.data.items():
            if section in _HEAD:
                continue
            if isinstance(values, dict) and self._known(section, SECTIONS):
                yield from self._section(section, values)
            else:
                self._refuse((section,), _unknown_name(section))

    def _section(self, section: str, values: dict[str, Any]) -> Iterator[tuple[Names, Any]]:
        for name, value in values.items():
            path = f"{section}.{name}"
            known = self._known(path, ROWS)
            if known and _is_rows(value):
                yield from self._rows(section, name, value)
            elif known:
                self._refuse((section, name), f"This repeats: begin each with [[{path}]].")
            else:
                yield (section, name), value

    def _known(self, path: str, there: Container[str]) -> bool:
        """Whether there is such a section or row, now or in an older format."""
        return path in there or formats.was_known(path, self.form)

    def _rows(
        self, section: str, name: str, rows: list[dict[str, Any]]
    ) -> Iterator[tuple[Names, Any]]:
        there = ROWS.get(f"{section}.{name}")
        for number, row in enumerate(rows, 1):
            if there and number > there.most:
                why = f"{there.label}: there are {len(rows)}, at most {there.most} are accepted."
                self._refuse((section, name, number), why)
                return
            for entry, value in row.items():
                yield (section, name, number, entry), value

    def _leaf(self, names: Names, value: Any) -> None:
        path, key = path_and_key(names, self.form)
        entry = ENTRIES.get(path)
        if entry is None or bool(entry.rows) != (len(names) == 4) or _dotted(names):
            self._refuse(names, _unknown(path[:_LONGEST_GUESSED]))
        elif not isinstance(value, str):
            self._refuse(names, _wrong_kind(entry, value), key)
        elif key in self.stated:
            self._refuse(names, "This is stated twice, once by a name of an older format.", key)
        else:
            try:
                self.stated[key] = read_entry(key, value)
            except InputError as error:
                self._refuse(names, error.message, key)


def _is_rows(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)


def _dotted(names: Names) -> bool:
    """A name in quotes may hold a point, and would look like two."""
    return any("." in name for name in names if isinstance(name, str))


def _kind(value: object) -> str:
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, int | float):
        return "a number"
    return {"list": "a list", "dict": "a section"}.get(type(value).__name__, "a date or time")


def _wrong_kind(entry: Entry, value: object) -> str:
    """Which text is wanted instead of a number, a date, a list."""
    item = entry.item
    said = f"{item.label}: {_kind(value)}"
    if isinstance(value, int | float) and not isinstance(value, bool):
        said += _unit_wanted(item)
    return f'{said} is no text. Write a text in quotes, as in {entry.name} = "{item.default}".'


def _unit_wanted(item: Input) -> str:
    if not isinstance(item, Number) or base_unit(item.unit) == "1":
        return ""
    return f" without its unit ({item.unit})"


def _unknown(path: str) -> str:
    """That there is no such entry, and which may be meant: by its name, else by its path."""
    section, _, name = path.partition(".")
    same = [entry for entry in ENTRIES.values() if entry.name == name.rpartition(".")[2]]
    same.sort(key=lambda entry: entry.section != section)
    near = [e.path for e in same] or get_close_matches(path, ENTRIES, n=1, cutoff=0.7)
    rows = [f"[[{ENTRIES[other].rows}]]" for other in near[:1] if ENTRIES[other].rows]
    meant = f" Is {near[0]} meant{f', below {rows[0]}' if rows else ''}?" if near else ""
    return f"A rig has no such entry.{meant}"


def _unknown_name(name: str) -> str:
    """That nothing is called so at the top of a file, and what may be meant."""
    if name in SECTIONS:
        return f"This is a section: begin it with [{name}]."
    near = get_close_matches(name[:_LONGEST_GUESSED], [*_HEAD, *SECTIONS], n=1)
    meant = f" Is {near[0]} meant?" if near else ""
    return f"A rig has no such name.{meant} Sections: {', '.join(SECTIONS)}."
