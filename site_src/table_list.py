"""The list of every table in the handbook, made from the pages themselves."""

import re
from collections.abc import Sequence
from html import escape, unescape

PLACE = '<div class="table-list"></div>'
"""Where the list goes, once every page has been read."""

ROOT = "../../"
_MADE_FROM_CODE = ("reference/ledger/", "reference/symbols/", "reference/sources/")
"""Pages that are one list each: a list of their tables would say nothing."""

_PART = re.compile(
    r'<h[1-6][^>]*\bid="(?P<id>[^"]+)"[^>]*>(?P<title>.*?)</h[1-6]>'
    r'|<div class="material" id="(?P<material>[^"]+)">\s*<table>'
    r"\s*<caption>(?P<caption>.*?)</caption>"
    r"|<table",
    re.DOTALL,
)
_TAG = re.compile(r'<a class="headerlink".*?</a>|<[^>]+>', re.DOTALL)

Entry = tuple[str, str]
"""Anchor and title of the section that holds a table, or of the table itself."""


def tables_of(html: str) -> list[Entry]:
    """The tables of a page, each by its own caption or by the heading above it; each once."""
    entries: list[Entry] = []
    heading = ("", "")
    for found in _PART.finditer(html):
        if found["id"]:
            heading = (found["id"], _words(found["title"]))
        elif found["material"]:
            entries.append((found["material"], _words(found["caption"])))
        else:
            entries.append(heading)
    return list(dict.fromkeys(entry for entry in entries if entry[0]))


def html(pages: Sequence[tuple[str, str, list[Entry]]]) -> str:
    """The list: of every page its title, its address and its tables."""
    parts = []
    for title, url, entries in pages:
        if not entries or url in _MADE_FROM_CODE:
            continue
        links = "".join(
            f'<li><a href="{ROOT}{url}#{anchor}">{escape(words)}</a></li>'
            for anchor, words in entries
        )
        parts.append(f"<dt>{escape(title)}</dt><dd><ul>{links}</ul></dd>")
    return f'<dl class="table-list">{"".join(parts)}</dl>'


def _words(html_text: str) -> str:
    return " ".join(unescape(_TAG.sub("", html_text)).split())
