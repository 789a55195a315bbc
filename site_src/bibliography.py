"""The bibliography: one TOML file a subject, one table a source, one page made from them all.

Fields of a source: ``author``, ``year`` ("undated" where what was seen carries none), ``title``,
``in`` (journal or publisher), ``number`` (of a standard), ``doi``, ``url``, ``short`` (the label of
a citation where number or name and year make a bad one), and how well we know it:

- ``status``: "read" (the passage used was read in the source or a full copy of it), "second-hand"
  (known from an abstract, a catalogue page or a text that quotes it) or "from memory" (as the trade
  knows it, not yet opened; DOI and page numbers are then from memory too);
- ``read``: what was read, in a few words.
"""

from dataclasses import dataclass
from html import escape
from pathlib import Path
from typing import Any

from site_src.paths import DOCS
from site_src.toml_folder import TwiceError, once

FOLDER = DOCS / "reference" / "bibliography"
PAGE = "reference/sources.md"
STATUSES = ("read", "second-hand", "from memory")


class BadBibliography(ValueError):
    """An entry that cannot be used; the message names key and field."""


@dataclass(frozen=True, kw_only=True)
class Source:
    """One published source and how well we know it."""

    key: str
    author: str
    year: int
    title: str
    status: str
    read: str = ""
    published_in: str = ""
    number: str = ""
    doi: str = ""
    url: str = ""
    short: str = ""

    @property
    def label(self) -> str:
        """Short name for a citation: the standard's number, or authors and year."""
        return self.short or self.number or f"{_surnames(self.author)} {self.year}"

    @property
    def link(self) -> str:
        """Where a reader finds it, empty if it is on paper only."""
        return f"https://doi.org/{self.doi}" if self.doi else self.url


def load(folder: Path = FOLDER) -> dict[str, Source]:
    """Every source of every file by its key."""
    try:
        tables = once(folder)
    except TwiceError as error:
        raise BadBibliography(f"bibliography, {error}") from error
    return {key: _source(key, table) for key, table in tables.items()}


def page(sources: dict[str, Source]) -> str:
    """The bibliography as a page, one anchor a source."""
    entries = sorted(sources.values(), key=lambda s: (s.label.casefold(), s.key))
    return _HEAD + "\n".join(_entry(source) for source in entries) + "\n</dl>\n"


_HEAD = """---
title: Bibliography
description: Every source that the handbook and its checks cite, and how well we know each.
---

# Bibliography

Every source that a formula, a check or a chapter cites.
Each says how well we know it:

- **read**: we had the passage that we use before us; what was read is named.
- **second-hand**: another text, named, says what it holds.
- **from memory**: cited as the trade knows it; nobody has opened it for us yet.

To move an entry from *second-hand* or *from memory* to *read* is a good first contribution.

<dl class="bibliography">
"""


def _entry(source: Source) -> str:
    where = ", ".join(escape(part) for part in (source.published_in, source.number) if part)
    text = f"{escape(source.author)} ({source.year}). <cite>{escape(source.title)}</cite>."
    text += f" {where}." if where else ""
    if source.link:
        shown = f"doi:{source.doi}" if source.doi else source.url
        text += f' <a href="{escape(source.link)}">{escape(shown)}</a>.'
    status = f'<span class="status" data-status="{source.status}">{source.status}</span>'
    known = f"{status}: {escape(source.read)}" if source.read else status
    return (
        f'<dt id="{escape(source.key)}">{escape(source.label)}</dt>\n'
        f'<dd><p>{text}</p><p class="known">{known}</p></dd>'
    )


def _source(key: str, table: dict[str, Any]) -> Source:
    fields = {("published_in" if name == "in" else name): value for name, value in table.items()}
    try:
        source = Source(key=key, **fields)
    except TypeError as error:
        raise BadBibliography(f"bibliography, [{key}]: {error}") from error
    if source.status not in STATUSES:
        raise BadBibliography(
            f"bibliography, [{key}]: status “{source.status}” is not one of: {', '.join(STATUSES)}"
        )
    if source.status != "from memory" and not source.read:
        raise BadBibliography(f"bibliography, [{key}]: “read” must say what was read, and where")
    return source


def _surnames(author: str) -> str:
    people = author.replace("(editor)", "").replace(" and ", ", ").split(",")
    surnames = [person.split()[-1] for person in people if person.strip()]
    if len(surnames) > 2:
        return f"{surnames[0]} et al."
    return " & ".join(surnames)
