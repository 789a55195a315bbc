"""A rig as a TOML file: read, written, and changed in one entry without touching the rest.

Every value is a text with its unit, as it is typed into a form::

    format = 1
    name = "Tarn, three nights"

    [element]
    capacitance = "8.2 nF ± 20 %"

    [[power.supply]]
    battery_kind = "lithium-ion"
"""

import tomllib
from collections.abc import Container, Iterator
from itertools import groupby

from calculators.rig import formats
from calculators.rig.formats import path_and_key
from calculators.rig.model import Rig, entry_text, read_entry
from calculators.rig.places import Names, Place, Places, places
from calculators.rig.reading import (
    BYTE_ORDER_MARK,
    RigFileError,
    RigFileErrors,
    read_rig,
    text_of,
)
from calculators.rig.schema import ROWS, SECTIONS, entry_of, place_in_order

__all__ = [
    "RigFileError",
    "RigFileErrors",
    "edit_rig",
    "edit_words",
    "read_rig",
    "text_of",
    "write_rig",
]


def write_rig(rig: Rig) -> str:
    """The rig as a file: sections in order, beside each entry what it is called on the page.

    ``read_rig`` gives the same rig back.
    """
    head = [f"format = {formats.FORMAT}", f"name = {quoted(rig.name)}"]
    head += [f"note = {quoted(rig.note)}"] if rig.note else []
    head += [f"without = [{', '.join(map(quoted, sorted(rig.without)))}]"] if rig.without else []
    blocks = ["\n".join(head), *_blocks(rig)]
    return "\n\n".join(blocks) + "\n"


def _blocks(rig: Rig) -> Iterator[str]:
    """Each section and each row, as far as anything in it is stated."""
    heads: list[Names] = []
    for head, keys in groupby(sorted(rig.stated, key=place_in_order), _head_of):
        missing = _missing(head, heads)
        heads += missing
        lines = [_entry_line(key, entry_text(key, rig.stated[key])) for key in keys]
        yield "\n\n".join(map(_head_line, missing)) + "\n" + "\n".join(lines)


def _head_of(key: str) -> Names:
    entry, row = entry_of(key)
    return (*entry.rows.split("."), row) if entry.rows else (entry.section,)


def _missing(head: Names, there: Container[Names]) -> list[Names]:
    """The heads that must be written so that this one stands: rows before it may be empty."""
    if len(head) == 1:
        return [head]
    rows = [(*head[:-1], row) for row in range(1, int(head[2]) + 1)]
    return [row for row in rows if row not in there]


def _entry_line(key: str, text: str) -> str:
    """One entry as a line of a file."""
    entry = entry_of(key)[0]
    return f"{entry.name} = {quoted(text)}  # {entry.item.label}"


def quoted(text: str) -> str:
    """A text as TOML quotes it, on one line."""
    return f'"{"".join(map(_escaped, text))}"'


def _escaped(sign: str) -> str:
    if sign in '"\\':
        return f"\\{sign}"
    if sign == "\n":
        return "\\n"
    return sign if sign >= " " and sign != "\x7f" else f"\\u{ord(sign):04x}"


def edit_rig(text: str, key: str, new: str | None) -> str:
    """The file with one entry changed, added or, where ``new`` is None, removed.

    Everything else stays as it was written: comments, blank lines, order. Where the text puts an
    entry in a way that cannot be changed alone, as within braces, the file is written anew, and
    says in its first line that its comments are lost.

    Raises:
        RigFileErrors: If the file has faults; a file with faults is not changed.
        InputError: If there is no such entry, or the new text is refused.
    """
    text = text.removeprefix(BYTE_ORDER_MARK)
    before = read_rig(text)
    entry_of(key)
    wanted = before.drop(key) if new is None else before.keep(key, read_entry(key, new))
    if wanted == before:
        return text
    edited = _edited(text, key, new, there=key in before.stated)
    if edited is not None and _reads_as(edited, wanted):
        return edited
    lost = f"# Written anew when {key} was changed; comments of the file before are lost.\n"
    return lost + write_rig(wanted)


def edit_words(text: str, wanted: Rig) -> str:
    """The file with the name, note and left-out questions of another rig of the same entries.

    Everything else stays as it was written, as in ``edit_rig``.

    Raises:
        RigFileErrors: If the file has faults; a file with faults is not changed.
    """
    text = text.removeprefix(BYTE_ORDER_MARK)
    before = read_rig(text)
    edited = text
    for key, now in _words(wanted).items():
        if now != _words(before)[key]:
            edited = _word_edited(edited, key, now)
    if _reads_as(edited, wanted):
        return edited
    lost = "# Written anew when its head was changed; comments of the file before are lost.\n"
    return lost + write_rig(wanted)


def _words(rig: Rig) -> dict[str, str]:
    """The head of a file but its format: each key with what stands behind it, empty for none."""
    return {
        "name": quoted(rig.name),
        "note": quoted(rig.note) if rig.note else "",
        "without": f"[{', '.join(map(quoted, sorted(rig.without)))}]" if rig.without else "",
    }


def _word_edited(text: str, key: str, now: str) -> str:
    where = places(text)
    values = [place for place in where.found if place.kind == "value" and not place.inside]
    there = next((place for place in values if place.path == (key,)), None)
    if there and now:
        start, end = there.value
        return text[:start] + now + text[end:]
    if there:
        return text[: there.start] + text[there.end :]
    name = next(place for place in values if place.path == ("name",))
    return _inserted(text, name.end, f"{key} = {now}")


def _reads_as(text: str, wanted: Rig) -> bool:
    try:
        return read_rig(text) == wanted
    except RigFileErrors:
        return False


def _edited(text: str, key: str, new: str | None, *, there: bool) -> str | None:
    """The text with this entry changed in its place, None where that cannot be done."""
    where = places(text)
    form = tomllib.loads(text)["format"]
    found = [p for p in where.found if not p.inside and _stands_for(p, key, form)]
    if found and new is None:
        return text[: found[0].start] + text[found[0].end :]
    if found and new is not None:
        start, end = found[0].value
        return text[:start] + quoted(new.strip()) + text[end:]
    return None if there or new is None else _added(where, key, new.strip())


def _stands_for(place: Place, key: str, form: int) -> bool:
    return place.kind == "value" and path_and_key(place.path, form)[1] == key


def _added(where: Places, key: str, new: str) -> str:
    """The text with a line for a new entry, below its head, which is written if there is none."""
    head, line = _head_of(key), _entry_line(key, new)
    heads = [place for place in where.found if place.kind == "head"]
    mine = next((place for place in heads if place.path == head), None)
    if mine:
        return _inserted(where.text, where.after([mine, *where.body(mine)][-1]), line)
    block = "\n\n".join(map(_head_line, _missing(head, [place.path for place in heads])))
    next_head = _next_head(heads, head)
    at = where.before(next_head) if next_head else len(where.text)
    return _inserted(where.text, at, f"{block}\n{line}", apart=True)


def _head_line(head: Names) -> str:
    if len(head) == 1:
        return f"[{head[0]}]"
    path = f"{head[0]}.{head[1]}"
    return f"[[{path}]]  # {ROWS[path].label} {head[2]}"


def _next_head(heads: list[Place], head: Names) -> Place | None:
    """The head that a new one stands before: behind its own section's, else in the usual order."""
    own = [n for n, place in enumerate(heads) if place.path[0] == head[0]]
    before = [n for n in own if _rank(heads[n].path) < _rank(head)]
    if before:
        return heads[before[-1] + 1] if before[-1] + 1 < len(heads) else None
    return next((place for place in heads if _rank(place.path) > _rank(head)), None)


def _rank(path: Names) -> tuple[int, int, int]:
    """Where a head stands in the usual order: by section, by kind of row, by row."""
    sections, rows = list(SECTIONS), list(ROWS)
    section = sections.index(str(path[0])) if path[0] in sections else len(sections)
    if len(path) < 3 or (name := f"{path[0]}.{path[1]}") not in rows:
        return section, 0, 0
    return section, 1 + rows.index(name), int(path[2])


def _inserted(text: str, at: int, lines: str, *, apart: bool = False) -> str:
    """The text with whole lines put in; ``apart`` keeps a blank line on both sides of them."""
    before, after = text[:at], text[at:]
    if before and not before.endswith("\n"):
        before += "\n"
    if apart:
        before += "" if before.endswith(("\n\n", "\n\r\n")) else "\n"
        lines += "\n" if after else ""
    new = before[len(text[:at]) :] + lines + "\n"
    return text[:at] + (new.replace("\n", "\r\n") if "\r\n" in text else new) + after
