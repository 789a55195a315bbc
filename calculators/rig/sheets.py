"""The sheets of a rig as data: parts list, build sheet, field sheet."""

from calculators.errors import InputError
from calculators.rig.build_sheet import build_sheet
from calculators.rig.facts import Facts
from calculators.rig.field_sheet import field_sheet
from calculators.rig.graph import Evaluated
from calculators.rig.model import Rig
from calculators.rig.parts_list import parts_list
from calculators.rig.sheet import Sheet

NAMES = ("parts", "build", "field")
"""Every sheet there is, in the order in which they are needed."""


def make_sheet(name: str, rig: Rig, nodes: Evaluated, system: str, link: str = "") -> Sheet:
    """One sheet of a rig, in the reader's units.

    Args:
        name: One of ``NAMES``.
        rig: The rig.
        nodes: What follows from it, see ``graph.evaluate_rig``.
        system: "metric" or "us".
        link: The whole address that opens this rig, for the code on a sheet.

    Raises:
        InputError: If there is no such sheet.
    """
    facts = Facts(rig, nodes)
    if name == "parts":
        return parts_list(facts, system)
    if name == "build":
        return build_sheet(facts, system, link)
    if name == "field":
        return field_sheet(facts, system, link)
    raise InputError("sheet", f"“{name[:40]}” is no sheet. There are: {', '.join(NAMES)}.")
