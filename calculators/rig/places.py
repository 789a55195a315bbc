"""Where each key of a TOML text stands: its line, and the part of the text that is its value.

``tomllib`` reads values and says nothing of where they were; this finds them and understands no
value. What it cannot follow it leaves, since ``tomllib`` then refuses the text at that place.
"""

import re
import tomllib
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Literal

Names = tuple[str | int, ...]
"""Names of sections and keys; among them the numbers of rows, from 1."""

DEEPEST = 6
"""Names in one key, and brackets in one value. A rig needs three names and one pair."""

_NAME = r"""[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*+"|'[^'\n]*+'"""
_FIRST_NAME = re.compile(rf"[ \t]*({_NAME})[ \t]*")
_NEXT_NAME = re.compile(rf"\.[ \t]*({_NAME})[ \t]*")
_NOTHING = re.compile(r"(?:[ \t\r\n]|#[^\n]*+)*+")
_REST_OF_LINE = re.compile(r"[ \t]*(?:#[^\n]*+)?(?:\r?\n|\Z)")
_TEXT = re.compile(
    r'''"""(?:[^"\\]|\\[\s\S]|"(?!""))*+"{3,5}'''
    r"""|'''(?:[^']|'(?!''))*+'{3,5}"""
    r"""|"(?:[^"\\\n]|\\.)*+"|'[^'\n]*+'"""
)
_WORD = re.compile(r"""[^\[\]{},#\n"'=]++""")
_COMMENT = re.compile(r"[ \t]*#[^\n]*+\n?")


class TooDeepError(Exception):
    """The text nests deeper than ``DEEPEST``, from this line on."""

    def __init__(self, line: int) -> None:
        super().__init__(line)
        self.line = line


class _LostError(Exception):
    """This is not TOML as far as it can be followed here."""


@dataclass(frozen=True)
class Place:
    """A head or a value, and where it stands.

    ``start`` to ``end`` are whole lines; ``value`` is the part behind the equals sign. ``inside``
    says that it lies within the brackets of another value.
    """

    kind: Literal["head", "value"]
    path: Names
    line: int
    start: int
    end: int
    value: tuple[int, int] = (0, 0)
    inside: bool = False


@dataclass
class Places:
    """Every head and value of a text, in its order."""

    text: str
    found: list[Place] = field(default_factory=list)

    def line_of(self, path: Names) -> int:
        """The line of this key or, if it stands nowhere itself, of the nearest around it."""
        for length in range(len(path), 0, -1):
            for place in self.found:
                if place.path[:length] == path[:length]:
                    return place.line
        return 1

    def at(self, line: int) -> Place | None:
        """What stands on this line, or begins on the nearest before it."""
        before = [place for place in self.found if place.line <= line]
        return max(before, key=lambda place: place.line) if before else None

    def first(self, place: Place) -> Place:
        """Where this key stood first: the place itself unless it stands twice."""
        return next(other for other in self.found if other.path == place.path)

    def body(self, head: Place) -> list[Place]:
        """What stands under a head, before the next one."""
        here = self.found.index(head) + 1
        body: list[Place] = []
        for place in self.found[here:]:
            if place.kind == "head":
                break
            body.append(place)
        return body

    def after(self, place: Place) -> int:
        """Behind a statement and its comments: those that no head follows at once."""
        at = place.end
        while found := _COMMENT.match(self.text, at):
            at = found.end()
        return place.end if self.text[at : at + 1] == "[" else at

    def before(self, head: Place) -> int:
        """Before a head and the comments that stand right above it."""
        at = head.start
        while at:
            start = self.text.rfind("\n", 0, at - 1) + 1
            if not _COMMENT.fullmatch(self.text, start, at):
                break
            at = start
        return at


def places(text: str) -> Places:
    """Find every head and value.

    Raises:
        TooDeepError: Before anything is read that nests deeper than ``DEEPEST``.
    """
    scan = _Scan(text)
    with suppress(_LostError):
        scan.statements()
    return Places(text, scan.found)


class _Scan:
    """Goes through a text once, statement by statement."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.line = 1
        self.counted = 0
        self.head: Names = ()
        self.rows: dict[Names, int] = {}
        self.found: list[Place] = []

    def statements(self) -> None:
        """All of them, as far as they can be followed."""
        self._skip(_NOTHING)
        while self.at < len(self.text):
            if self.text.startswith("[", self.at):
                self._head()
            else:
                self._assignment(self.head, 0)
                self._end_of_line(len(self.found) - 1)
            self._skip(_NOTHING)

    def _head(self) -> None:
        start, line, row = self.at, self._line(), self.text.startswith("[[", self.at)
        self.at += 2 if row else 1
        names = self._names()
        self._take("]]" if row else "]")
        self.head = self._path(names, row)
        self.found.append(Place("head", self.head, line, start, self.at))
        self._end_of_line(len(self.found) - 1)

    def _path(self, names: list[str], row: bool) -> Names:
        """The names with the rows they lead through; a head of a row begins the next one."""
        path: Names = ()
        for position, name in enumerate(names, 1):
            path = (*path, name)
            if row and position == len(names):
                self.rows[path] = self.rows.get(path, 0) + 1
            if path in self.rows:
                path = (*path, self.rows[path])
        return path

    def _assignment(self, around: Names, depth: int) -> None:
        """A key, its equals sign, its value; within brackets at ``depth`` above 0."""
        self._skip(_NOTHING)
        start, line, here = self.at, self._line(), len(self.found)
        path = (*around, *self._names())
        self._take("=")
        while self.text[self.at : self.at + 1] in (" ", "\t"):
            self.at += 1
        value = self.at
        self.found.append(Place("value", path, line, start, start, inside=depth > 0))
        self._value(path, depth)
        self.found[here] = Place(
            "value", path, line, start, self.at, (value, self.at), inside=depth > 0
        )

    def _value(self, path: Names, depth: int) -> None:
        if depth > DEEPEST:
            raise TooDeepError(self._line())
        opening = self.text[self.at : self.at + 1]
        if opening == "[":
            self._list(path, depth)
        elif opening == "{":
            self._table(path, depth)
        elif opening in ('"', "'"):
            self._match(_TEXT)
        else:
            word = self._match(_WORD)
            self.at -= len(word) - len(word.rstrip())

    def _list(self, path: Names, depth: int) -> None:
        for number, _ in enumerate(self._members("[", "]"), 1):
            self._value((*path, number), depth + 1)

    def _table(self, path: Names, depth: int) -> None:
        for _ in self._members("{", "}"):
            self._assignment(path, depth + 1)

    def _members(self, opening: str, closing: str) -> Iterator[None]:
        """Stop before every member in these brackets; the caller goes over it."""
        self._take(opening)
        self._skip(_NOTHING)
        while not self.text.startswith(closing, self.at):
            yield
            self._skip(_NOTHING)
            if not self.text.startswith(closing, self.at):
                self._take(",")
                self._skip(_NOTHING)
        self._take(closing)

    def _names(self) -> list[str]:
        """The names of a dotted key."""
        found = _FIRST_NAME.match(self.text, self.at)
        names: list[str] = []
        while found:
            self.at = found.end()
            names.append(_name(found[1]))
            if len(names) > DEEPEST:
                raise TooDeepError(self._line())
            found = _NEXT_NAME.match(self.text, self.at)
        if not names:
            raise _LostError
        return names

    def _end_of_line(self, index: int) -> None:
        """Nothing but a comment may follow; the lines of this statement end there."""
        self._match(_REST_OF_LINE)
        place = self.found[index]
        start = self.text.rfind("\n", 0, place.start) + 1
        self.found[index] = Place(
            place.kind, place.path, place.line, start, self.at, place.value, place.inside
        )

    def _line(self) -> int:
        """The number of the line here; counted on from where it was counted last."""
        self.line += self.text.count("\n", self.counted, self.at)
        self.counted = self.at
        return self.line

    def _take(self, wanted: str) -> None:
        if not self.text.startswith(wanted, self.at):
            raise _LostError
        self.at += len(wanted)

    def _match(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self.text, self.at)
        if not found:
            raise _LostError
        self.at = found.end()
        return found[0]

    def _skip(self, pattern: re.Pattern[str]) -> None:
        found = pattern.match(self.text, self.at)
        self.at = found.end() if found else self.at


def _name(written: str) -> str:
    """A name as it is meant, without its quotes."""
    if written[0] not in "\"'":
        return written
    try:
        return next(iter(tomllib.loads(f"{written} = 0")))
    except tomllib.TOMLDecodeError:
        raise _LostError from None
