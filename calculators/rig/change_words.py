"""What may be changed about a requirement, as data for a page or the command line."""

from dataclasses import asdict
from typing import Any

from calculators.rig.change import Change, ordered
from calculators.rig.model import entry_text

Json = dict[str, Any]


def changes_json(changes: list[Change]) -> list[Json]:
    """Changes in order: what each sets, and what it breaks and mends beside what was asked."""
    return [change_json(change) for change in ordered(changes)]


def change_json(change: Change) -> Json:
    """One change; ``stated`` has the entries as a file then states them."""
    return {
        "label": change.label,
        "text": change.text,
        "stated": {key: entry_text(key, stated) for key, stated in change.stated.items()},
        "gives_way": change.gives_way,
        "breaks": [asdict(effect) for effect in change.breaks],
        "mends": [asdict(effect) for effect in change.mends],
    }
