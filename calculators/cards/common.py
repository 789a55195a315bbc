"""Inputs and verdicts that several calculators share, so that each is worded once."""

from typing import Any

from calculators.declare import Number, Verdict
from calculators.tables import Cell

PLANNED_TIME = Number(
    name="planned_time",
    label="Planned time",
    unit="d",
    default="3 d",
    low="1 min",
    high="3650 d",
    why="a test to ten years",
    hint="only judges the answer",
    rig="plan.duration",
)

GAUGE_STEP = Number(
    name="gauge_step",
    label="Step of the gauge",
    unit="Pa",
    default="10 Pa",
    low="0.001 Pa",
    high="10 kPa",
    why="quartz sensors to coarse dials",
    hint="the smallest change it shows, or that you can read",
)


def from_table(cell: Cell, **fields: Any) -> Number:
    """An input that starts with a table's value and spread."""
    return Number(default=cell.value, tolerance=cell.tolerance, **fields)


def lasts_as_planned(remedy: str = "") -> Verdict:
    """Holds a time against ``PLANNED_TIME``; ``remedy`` ends the sentence where it is missed.

    Where a rig has a schedule, that is held against the batteries and the card instead.
    """
    return Verdict(
        better="above",
        limit=PLANNED_TIME.name,
        met="longer than the {limit} planned",
        missed=f"shorter than the {{limit}} planned{remedy}",
        unsure="may end before the {limit} planned",
        source="your own limit",
        ends=True,
        in_rig="deployment-window",
    )
