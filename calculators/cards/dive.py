"""Inputs that the calculators of the dry case share: how deep it lies, and in what water."""

from calculators.cards.potting import WATER_DENSITY as WATER_DENSITY
from calculators.declare import Fill, Number
from calculators.formulas.dive import still_water_pressure
from calculators.tables.waters import WATERS

DEPTH = Number(
    name="depth",
    label="Depth",
    unit="m",
    default="4 m",
    low="0.1 m",
    high="1000 m",
    why="awash to the end of the formula for pressure",
    hint="of the lowest part, at the highest water",
    tolerance="±5 %",
    rig="plan.depth",
)

WATER_DENSITY_FILL = Fill(
    name="water",
    label="Water",
    table=WATERS,
    inputs={WATER_DENSITY.name: "density"},
)


def gauge_pressure(depth: float, water_density: float) -> float:
    """What presses on a case that was closed at the surface, Pa."""
    return still_water_pressure(depth=depth, water_density=water_density)
