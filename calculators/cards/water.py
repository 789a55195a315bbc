"""Calculators of the water around the rig."""

from calculators.declare import (
    Axis,
    Calculator,
    Choice,
    Line,
    Number,
    Option,
    Output,
    Plot,
    Results,
    Shown,
    Values,
)
from calculators.formulas import water as formulas
from calculators.units import format_display

STRETCH = 1.25
"""How far beyond the depth asked for the plot goes."""

PARTS = 40
"""Parts that the curve is drawn in."""


def _water_pressure(
    depth: float, water: str, temperature: float, latitude: float, air_pressure: float
) -> dict[str, float]:
    gravity = formulas.gravity(latitude=latitude)
    if water == "sea":
        gauge = formulas.sea_water_pressure(depth=depth, gravity=gravity)
        density = formulas.sea_water_density(gauge_pressure=gauge)
    else:
        surface_density = formulas.fresh_water_density(temperature=temperature)
        modulus = formulas.fresh_water_bulk_modulus(temperature=temperature)
        gauge = formulas.fresh_water_pressure(
            depth=depth, surface_density=surface_density, bulk_modulus=modulus, gravity=gravity
        )
        density = formulas.compressed_fresh_water_density(
            gauge_pressure=gauge, surface_density=surface_density, bulk_modulus=modulus
        )
    return {
        "gauge_pressure": gauge,
        "absolute_pressure": formulas.absolute_pressure(
            gauge_pressure=gauge, air_pressure=air_pressure
        ),
        "water_density": density,
    }


def _pressure_over_depth(values: Values, results: Results, system: str) -> Plot:
    depth = float(values["depth"])
    end = min(STRETCH * max(depth, 1.0), formulas.DEEPEST_FRESH)
    depths = [end * i / PARTS for i in range(PARTS + 1)]
    answers = [_at(values, x) for x in depths]
    gauge, absolute = (
        format_display(results[name], "kPa", 4, system)
        for name in ("gauge_pressure", "absolute_pressure")
    )
    shown = format_display(depth, "m", 3, system)
    return Plot(
        title="Pressure over depth",
        description=(
            f"Pressure rises almost in a straight line with depth: "
            f"{gauge} gauge and {absolute} absolute at {shown}."
        ),
        x=Axis(label="Depth", unit="m", domain=(0, end)),
        y=Axis(label="Pressure", unit="kPa", domain=(0, 1.05 * answers[-1]["absolute_pressure"])),
        lines=[
            Line(name="Gauge", points=_points(depths, answers, "gauge_pressure")),
            Line(
                name="Absolute",
                points=_points(depths, answers, "absolute_pressure"),
                kind="second",
            ),
        ],
        marks=[(depth, f"{shown}: {gauge} gauge")],
    )


def _at(values: Values, depth: float) -> dict[str, float]:
    """The answers at another depth."""
    return _water_pressure(
        depth=depth,
        water=str(values["water"]),
        temperature=float(values["temperature"]),
        latitude=float(values["latitude"]),
        air_pressure=float(values["air_pressure"]),
    )


def _points(
    depths: list[float], answers: list[dict[str, float]], output: str
) -> list[tuple[float, float]]:
    return [(x, answer[output]) for x, answer in zip(depths, answers, strict=True)]


WATER_PRESSURE = Calculator(
    id="water-pressure",
    title="Pressure at a depth",
    question="How hard does the water press on the case at this depth?",
    stage="plan",
    inputs=(
        Number(
            name="depth",
            label="Depth",
            unit="m",
            default="10 m",
            low="0 m",
            high="1000 m",
            why="the surface to beyond the bottom of all but a few lakes",
            hint="of the lowest part, at the highest water",
            tolerance="±5 %",
            rig="plan.depth",
        ),
        Choice(
            name="water",
            label="Water",
            options=(
                Option(value="fresh", label="fresh: pond, lake, river"),
                Option(value="sea", label="sea, at full salinity"),
            ),
            default="fresh",
            hint="brackish water lies between the two",
        ),
        Number(
            name="temperature",
            label="Temperature of the water",
            unit="°C",
            default="10 °C",
            low="0 °C",
            high="40 °C",
            why="freezing to a pond in the sun",
            hint="mean from the surface to this depth",
            shown=Shown(input="water", values=("fresh",)),
        ),
        Number(
            name="latitude",
            label="Latitude",
            unit="°",
            default="45°",
            low="-90°",
            high="90°",
            why="pole to pole",
            hint="sets gravity: 0.5 % from equator to pole",
        ),
        Number(
            name="air_pressure",
            label="Air pressure at the water",
            unit="hPa",
            default="1013.25 hPa",
            low="500 hPa",
            high="1090 hPa",
            why="a tarn above 5000 m to the highest known at sea level",
            hint="as it is there, not reduced to sea level",
            tolerance="±2 %",
            rig="site.air_pressure",
        ),
    ),
    outputs=(
        Output(
            name="gauge_pressure",
            label="Gauge pressure",
            unit="kPa",
            digits=4,
            help="of the water alone: what presses on a case that was closed at the surface",
        ),
        Output(
            name="absolute_pressure",
            label="Absolute pressure",
            unit="kPa",
            digits=4,
            help="of water and air together: what a sensor sealed against vacuum reads",
        ),
        Output(
            name="water_density",
            label="Density of the water at this depth",
            unit="kg/m³",
            digits=4,
            help="for weight and buoyancy there",
        ),
    ),
    compute=_water_pressure,
    plot=_pressure_over_depth,
)
