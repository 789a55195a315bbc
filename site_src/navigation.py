"""Fills in the navigation: an entry that ends in a slash stands for every page of that folder.

A new calculator or example then needs no edit of mkdocs.yml.
Pages that have a heading are gathered under it, in the order of the headings.
"""

from pathlib import Path
from typing import Any

Headings = dict[str, list[str]]
"""Pages by the heading that they stand under."""


def expand(nav: Any, docs: str | Path, headings: Headings | None = None) -> Any:
    """The navigation with every ``folder/`` replaced by its pages, the index first."""
    if isinstance(nav, list):
        return [entry for item in nav for entry in _entries(item, Path(docs), headings or {})]
    return nav


def _entries(item: Any, docs: Path, headings: Headings) -> list[Any]:
    if isinstance(item, dict):
        return [{title: expand(value, docs, headings) for title, value in item.items()}]
    if isinstance(item, str) and item.endswith("/"):
        files = sorted((docs / item).glob("*.md"), key=lambda p: (p.stem != "index", p.stem))
        return _gathered([file.relative_to(docs).as_posix() for file in files], headings)
    return [item]


def _gathered(pages: list[str], headings: Headings) -> list[Any]:
    """Pages without a heading first, then each heading with its pages."""
    own = {heading: [p for p in pages if p in under] for heading, under in headings.items()}
    placed = {page for under in own.values() for page in under}
    loose: list[Any] = [page for page in pages if page not in placed]
    return loose + [{heading: under} for heading, under in own.items() if under]
