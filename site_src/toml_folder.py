"""Data kept as a folder of TOML files, one a subject, as if it were one file."""

import tomllib
from pathlib import Path
from typing import Any


class TwiceError(ValueError):
    """A name that two files declare."""


def once(folder: Path) -> dict[str, Any]:
    """Every table of every file in the folder; a name may be declared only once."""
    found: dict[str, Any] = {}
    for file in sorted(folder.glob("*.toml")):
        tables = tomllib.loads(file.read_text(encoding="utf-8"))
        if twice := sorted(found.keys() & tables.keys()):
            raise TwiceError(f"{file.name}: [{twice[0]}] is declared in another file too")
        found |= tables
    return found
