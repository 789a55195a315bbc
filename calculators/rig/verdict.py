"""The verdict on a rig as data, for a page, the command line and a print."""

from typing import Any

from calculators.registry import calculator
from calculators.rig.graph import Evaluated
from calculators.rig.model import Rig
from calculators.rig.pictures import ends_json
from calculators.rig.requirements import (
    open_json,
    open_questions,
    requirement_json,
    requirements,
    worst,
)

Json = dict[str, Any]


def verdict_json(rig: Rig, nodes: Evaluated, system: str) -> Json:
    """The verdict on the whole, every requirement, what has no answer, what ends the recording."""
    rows = requirements(nodes)
    return {
        "name": rig.name,
        "note": rig.note,
        "without": sorted(rig.without),
        "without_titles": [calculator(card).title for card in sorted(rig.without)],
        "verdict": worst(rows, nodes, rig.without),
        "requirements": [requirement_json(row, system) for row in rows],
        "open": [open_json(node, nodes) for node in open_questions(nodes)],
        "ends": ends_json(rig, nodes),
    }
