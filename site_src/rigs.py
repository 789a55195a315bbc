"""The example rigs: one TOML file each, checked by the core, published as files and in pages."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from site_src.examples import BadExample, ask
from site_src.paths import DOCS

FOLDER = DOCS / "rigs"


@dataclass(frozen=True)
class ExampleRig:
    """One example rig: its file, and what the core says of it."""

    name: str
    toml: str
    check: dict[str, Any]

    @property
    def listed(self) -> dict[str, str]:
        """How a page lists it."""
        return {"name": self.name, "title": self.check["name"], "file": f"rigs/{self.name}.toml"}


@cache
def load(folder: Path = FOLDER) -> Mapping[str, ExampleRig]:
    """Every example rig by the name of its file, checked once."""
    return {file.stem: _checked(file) for file in sorted(folder.glob("*.toml"))}


def _checked(file: Path) -> ExampleRig:
    toml = file.read_text(encoding="utf-8")
    try:
        check = ask({"op": "rig_check", "toml": toml, "system": "metric"})
    except BadExample as error:
        raise BadExample(f"rig “{file.stem}”: {error}") from error
    return ExampleRig(file.stem, toml, {k: v for k, v in check.items() if k != "ok"})
