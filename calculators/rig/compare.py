"""Two rigs side by side: what they state otherwise, and what is required of both."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from calculators.rig.graph import Evaluated
from calculators.rig.model import Rig, entry_words
from calculators.rig.requirements import (
    RANKS,
    Requirement,
    margin_text,
    requirement_json,
    requirements,
)
from calculators.rig.schema import ENTRIES, entry_of, label_of

Json = dict[str, Any]
Change = Literal["better", "worse", "same", "first only", "second only"]

_NEGLIGIBLE = 1e-3
"""Margins that differ by less, in parts of what is called ample, are the same to any reader."""


@dataclass(frozen=True)
class Compared:
    """One requirement in two rigs; None where a rig has no answer to it."""

    first: Requirement | None
    second: Requirement | None

    @property
    def either(self) -> Requirement:
        """The requirement in a rig that has it."""
        found = self.first or self.second
        assert found is not None
        return found

    @property
    def change(self) -> Change:
        """What became of it from the first rig to the second: its level, else its margin."""
        if self.first is None:
            return "second only"
        if self.second is None:
            return "first only"
        before, after = RANKS[self.first.level], RANKS[self.second.level]
        if before != after:
            return "better" if after > before else "worse"
        gained = self.second.margin - self.first.margin
        if abs(gained) <= _NEGLIGIBLE * max(self.first.ample, self.second.ample):
            return "same"
        return "better" if gained > 0 else "worse"


def differing(first: Rig, second: Rig) -> list[tuple[str, str, str]]:
    """Key and both texts of every entry that the rigs do not state alike, empty if not stated."""
    keys = sorted({*first.stated, *second.stated}, key=_place)
    texts = [(key, _text(first, key), _text(second, key)) for key in keys]
    return [row for row in texts if row[1] != row[2]]


def _place(key: str) -> tuple[int, int]:
    """Where an entry stands among those of a rig."""
    entry, row = entry_of(key)
    return list(ENTRIES).index(entry.path), row


def _text(rig: Rig, key: str) -> str:
    return entry_words(key, rig.stated[key]) if key in rig.stated else ""


def side_by_side(first: Evaluated, second: Evaluated) -> list[Compared]:
    """Every requirement of either rig, in the second one's order, then what only the first has."""
    before, after = _by_name(first), _by_name(second)
    both = [Compared(before.get(name), row) for name, row in after.items()]
    return both + [Compared(row, None) for name, row in before.items() if name not in after]


def _by_name(nodes: Evaluated) -> Mapping[str, Requirement]:
    return {row.name: row for row in requirements(nodes)}


def comparison_json(
    first: tuple[Rig, Evaluated], second: tuple[Rig, Evaluated], system: str
) -> Json:
    """Two rigs as a page or the command line lays them side by side."""
    rigs = first[0], second[0]
    return {
        "names": [rig.name for rig in rigs],
        "without": [sorted(rig.without) for rig in rigs],
        "entries": [
            {"key": key, "label": label_of(key), "texts": [before, after]}
            for key, before, after in differing(*rigs)
        ],
        "requirements": [
            _compared_json(compared, system) for compared in side_by_side(first[1], second[1])
        ],
    }


def _compared_json(compared: Compared, system: str) -> Json:
    row = compared.either
    return {
        "name": row.name,
        "calculator": row.node.card.id,
        "title": row.node.card.title,
        "label": row.node.shape.label(row.key),
        "change": compared.change,
        "sides": [_side_json(compared.first, system), _side_json(compared.second, system)],
    }


def _side_json(row: Requirement | None, system: str) -> Json | None:
    if row is None:
        return None
    shown = requirement_json(row, system)
    kept = (
        "level",
        "word",
        "text",
        "range_text",
        "value",
        "low",
        "high",
        "margin",
        "share",
        "link",
    )
    return {key: shown[key] for key in kept} | {"margin_text": margin_text(row, system)}
