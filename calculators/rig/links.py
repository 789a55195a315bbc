"""A rig in a link: every entry in readable form, in the part of the address that stays here.

``#rig?v=1&edition=2026.11&name=Tarn&element.capacitance=8.2nF~20pct&…``

Values are written as in the links of calculators. Plain ``key=value`` within bounds: nothing from
a link is executed or decompressed. A rig that would make a long link has its entries in few signs
instead, ``&entries=AE8.2E-9$20:…`` (see ``packed``), which a square code on paper can hold.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from urllib.parse import quote, unquote

from calculators import EDITION
from calculators.errors import InputError
from calculators.evaluate import FormError
from calculators.links import Notice, changes_since, made_with, read_edition
from calculators.registry import CALCULATORS
from calculators.rig import formats
from calculators.rig.formats import path_and_key
from calculators.rig.model import Rig, Stated, entry_text, read_entry
from calculators.rig.packed import pack, unpack
from calculators.rig.places import Names
from calculators.rig.schema import place_in_order

LONG = 2_000
"""Characters up to which a link goes through every program that we know of."""

LONGEST = 6_000
"""Longer ones are neither made nor read; a rig with all of its parts takes some 3 000."""

MOST_PARTS = 600
"""Most ``key=value`` parts that are read."""

START = "#rig?"

_FORMAT = re.compile(r"v=([1-9][0-9]{0,3})")
_KEY = re.compile(r"[a-z][a-z0-9_]*(\.[a-z0-9_]+){0,3}")
_ENCODED = re.compile(r"(?:[A-Za-z0-9._~-]|%[0-9A-Fa-f]{2})*")
_LAST_SIGN = re.compile(r"[._~-]$")


@dataclass(frozen=True)
class RigLink:
    """A link to be put behind the page's address, and what to say of it, if anything."""

    text: str
    notice: str = ""


def make_rig_link(rig: Rig) -> RigLink:
    """The link that opens this rig.

    Raises:
        InputError: If the rig has too much in it for a link.
    """
    head = [f"v={formats.FORMAT}", f"edition={EDITION}", f"name={_encoded(rig.name)}"]
    head += [f"note={_encoded(rig.note)}"] if rig.note else []
    head += [f"without={'.'.join(sorted(rig.without))}"] if rig.without else []
    keys = sorted(rig.stated, key=place_in_order)
    texts = [entry_text(key, rig.stated[key], ascii=True) for key in keys]
    readable = "&".join([*head, *map("=".join, zip(keys, texts, strict=True))])
    if len(readable) <= LONG - len(START):
        return RigLink(START + readable)
    link = START + "&".join([*head, f"entries={pack(rig.stated)}"])
    if len(link) > LONGEST:
        why = (
            f"This rig makes a link of {len(link)} characters; up to {LONGEST} are possible. "
            "Save it as a file, and pass that on."
        )
        raise InputError("link", why)
    return RigLink(link, _notice(len(link)) if len(link) > LONG else "")


def _notice(length: int) -> str:
    return (
        f"A long link: {length} characters. Some programs cut links after {LONG}; "
        "a file of the rig is safer to pass on."
    )


def _encoded(text: str) -> str:
    """Words as an address holds them; a link must not end in a sign that a program leaves out."""
    return _LAST_SIGN.sub(lambda sign: f"%{ord(sign[0]):02X}", quote(text, safe=""))


@dataclass(frozen=True)
class OpenedRig:
    """What a link carries: a rig, and the edition that made it, empty where it does not say."""

    rig: Rig
    edition: str


def edition_notice(opened: OpenedRig) -> Notice | None:
    """What a reader must know about a rig that another edition put into a link; None if nothing.

    A link carries a rig, not its answers, so there is nothing to compare: what the calculators
    declare of their own changes is told.
    """
    if opened.edition == EDITION:
        return None
    changes = [
        f"{card.title}: {text}"
        for card in CALCULATORS.values()
        if card.id not in opened.rig.without
        for text in changes_since(card, opened.edition)
    ]
    none = "No calculator has declared a change since."
    return Notice(" ".join([made_with(opened.edition), *(changes or [none])]))


def parse_rig_link(text: str) -> OpenedRig:
    """What a link carries.

    Raises:
        InputError: If it is no link of a rig at all, of a later format, or longer than is read.
        FormError: Naming everything in it that is not understood.
    """
    if len(text) > LONGEST:
        why = f"This link has {len(text)} characters; up to {LONGEST} are read."
        raise InputError("link", why)
    name, _, query = text.removeprefix("#").partition("?")
    parts = query.split("&")
    found = _FORMAT.fullmatch(parts[0])
    if name != "rig" or not found or len(parts) > MOST_PARTS:
        raise InputError("link", "This is no link of a rig: one begins with #rig?v=1.")
    if int(found[1]) > formats.FORMAT:
        why = (
            f"This link is of format {found[1]}; this edition reads up to format {formats.FORMAT}. "
            "Open it in a newer edition of the handbook."
        )
        raise InputError("link", why)
    reader = _Reader(int(found[1]))
    for part in parts[1:]:
        reader.take(part)
    return OpenedRig(reader.rig(), reader.words.get("edition", ""))


@dataclass
class _Reader:
    """Goes through the parts of a link, and gathers what is wrong."""

    form: int
    words: dict[str, str] = field(default_factory=dict)
    stated: dict[str, Stated] = field(default_factory=dict)
    errors: list[InputError] = field(default_factory=list)

    def take(self, part: str) -> None:
        """Understand one ``key=value``, or note what is wrong with it."""
        key, equals, text = part.partition("=")
        try:
            if not equals or not _KEY.fullmatch(key):
                raise InputError("link", f"“{key[:40]}” in the link is not understood.")
            if key == "entries":
                self._keep(unpack(text))
            elif "." in key:
                self._entry(key, text)
            else:
                self._word(key, text)
        except InputError as error:
            self.errors.append(error)

    def _entry(self, key: str, text: str) -> None:
        _, key = path_and_key(_names(key), self.form)
        self._keep({key: read_entry(key, text)})

    def _keep(self, stated: Mapping[str, Stated]) -> None:
        for key in stated:
            if key in self.stated:
                raise InputError(key, f"“{key}” stands twice in the link.")
        self.stated.update(stated)

    def _word(self, key: str, text: str) -> None:
        if key not in ("edition", "name", "note", "without") or key in self.words:
            why = "stands twice in the link" if key in self.words else "is not understood"
            raise InputError("link", f"“{key[:40]}” {why}.")
        self.words[key] = read_edition(text) if key == "edition" else _decoded(key, text)

    def rig(self) -> Rig:
        """The rig, or everything that is wrong."""
        without = self.words.get("without", "")
        try:
            rig = Rig(
                self.words.get("name", ""),
                self.stated,
                self.words.get("note", ""),
                frozenset(without.split(".") if without else ()),
            )
        except InputError as error:
            if error.name not in {told.name for told in self.errors}:
                self.errors.append(error)
        if self.errors:
            raise FormError(self.errors)
        return rig


def _names(key: str) -> Names:
    """A key as its names, and the number of its row where it has one."""
    names: list[str | int] = [*key.split(".")]
    if len(names) == 4 and key.split(".")[2].isdecimal():
        names[2] = int(names[2])
    return tuple(names)


def _decoded(key: str, text: str) -> str:
    try:
        if _ENCODED.fullmatch(text):
            return unquote(text, errors="strict")
    except UnicodeDecodeError:
        pass
    raise InputError(key, f"The {key} in the link is not understood.")
