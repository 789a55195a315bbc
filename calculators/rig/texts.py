"""A rig beside the text of its file, so that changing one value costs no reading of the rest."""

import re
from dataclasses import dataclass, field
from functools import cached_property

from calculators.rig.files import edit_rig, quoted
from calculators.rig.formats import FORMAT, key_of
from calculators.rig.model import Rig, Stated, entry_text, read_entry
from calculators.rig.places import places
from calculators.rig.reading import BYTE_ORDER_MARK, LONGEST, read_rig

MOST_RECENT = 8

Spans = dict[str, tuple[int, int]]
"""Start and end of the value of each entry in a text, by key."""

_FORMAT_NOW = re.compile(rf"^format[ \t]*=[ \t]*{FORMAT}[ \t]*(?:#[^\n]*)?\r?$", re.MULTILINE)
_PLAIN = re.compile(r'"(?:[^"\\\n]|\\.)*"')
"""A value in plain quotation marks, which another such value may take the place of."""


@dataclass(frozen=True)
class RigText:
    """The text of a file and the rig that it describes."""

    toml: str
    rig: Rig
    known: Spans | None = field(default=None, compare=False)

    @cached_property
    def spans(self) -> Spans:
        """The values that can be changed in their place; none in a file of another format."""
        if self.known is not None:
            return self.known
        if not _FORMAT_NOW.search(self.toml):
            return {}
        return {
            key_of(place.path): place.value
            for place in places(self.toml).found
            if place.kind == "value"
            and not place.inside
            and _PLAIN.fullmatch(self.toml, *place.value)
        }

    def changed(self, key: str, stated: Stated | None) -> "RigText":
        """The text with one entry stated, stated anew, or no longer stated, as by ``edit_rig``.

        Raises:
            InputError: If there is no such entry.
            RigFileErrors: If the text becomes longer than a file may be.
        """
        text = None if stated is None else entry_text(key, stated)
        span = self.spans.get(key)
        if text is None or span is None or len(self.toml) + len(text) > LONGEST:
            return read_text(edit_rig(self.toml, key, text))
        again = read_entry(key, text)  # what a reading of the file would give
        if again == self.rig.stated.get(key):
            return self
        (start, end), new = span, quoted(text)
        toml = self.toml[:start] + new + self.toml[end:]
        return _remembered(RigText(toml, self.rig.keep(key, again), self._moved(key, len(new))))

    def _moved(self, key: str, length: int) -> Spans:
        """The spans with the value of an entry as long as this."""
        start, end = self.spans[key]
        longer = length - (end - start)
        if not longer:
            return self.spans
        moved = {k: (a + longer, b + longer) if a > start else (a, b)
                 for k, (a, b) in self.spans.items()}  # fmt: skip
        return {**moved, key: (start, start + length)}


_recent: dict[str, RigText] = {}
"""The texts that were asked for last: a page sends the whole text with every request."""


def read_text(toml: str) -> RigText:
    """A text read.

    Raises:
        RigFileErrors: As ``read_rig``.
    """
    known = _recent.get(toml)
    if known is None:
        plain = toml.removeprefix(BYTE_ORDER_MARK)
        known = RigText(plain, read_rig(plain))
    return _remembered(known)


def _remembered(text: RigText) -> RigText:
    _recent.pop(text.toml, None)
    _recent[text.toml] = text
    while len(_recent) > MOST_RECENT:
        del _recent[next(iter(_recent))]
    return text
