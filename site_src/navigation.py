"""Fills in the navigation: an entry that ends in a slash stands for every page of that folder.

A new calculator or example then needs no edit of mkdocs.yml.
"""

from pathlib import Path
from typing import Any


def expand(nav: Any, docs: str | Path) -> Any:
    """The navigation with every ``folder/`` replaced by its pages, the index first."""
    if isinstance(nav, list):
        return [entry for item in nav for entry in _entries(item, Path(docs))]
    return nav


def _entries(item: Any, docs: Path) -> list[Any]:
    if isinstance(item, dict):
        return [{title: expand(value, docs) for title, value in item.items()}]
    if isinstance(item, str) and item.endswith("/"):
        pages = sorted((docs / item).glob("*.md"), key=lambda p: (p.stem != "index", p.stem))
        return [p.relative_to(docs).as_posix() for p in pages]
    return [item]
