"""What current and waves do to the rig, its line and its anchor."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from inspect import signature
from math import pi, sqrt
from typing import Any

from calculators.cards.buoyancy import BALLAST_DENSITY
from calculators.cards.common import from_table
from calculators.cards.dive import DEPTH, WATER_DENSITY, WATER_DENSITY_FILL
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Choice,
    Fill,
    Line,
    Number,
    Option,
    Output,
    Plot,
    Results,
    Shown,
    Values,
    Verdict,
)
from calculators.drawing import Drawing, Ellipse, Label, Segment, Shape, box
from calculators.errors import InputError
from calculators.formula import remembered
from calculators.formulas import buoyancy, drag, mooring, waves
from calculators.formulas.constants import GRAVITY
from calculators.tables.ballast import BALLAST
from calculators.tables.bottoms import BOTTOMS
from calculators.tables.drag import DRAG_SHAPES
from calculators.units import format_display

BOTTOM, FLOATING = "bottom", "floating"
POWER, TWO_POINT = "power", "two-point"

LINE_INERTIA = 2.0
"""Of a round line across the flow: 1 plus the added mass of a cylinder."""

BUOY_INERTIA = 1.5
"""Of a sphere."""

ANCHOR_TO_SPARE = 1.0
"""So much below the anchor that is laid is ample, kg: the safety factor stands in the answer."""

WATER_TO_SPARE = 0.5
"""So much line or water left in the worst tide is ample, m, and so much below breaking waves."""


SAME_DEPTH = 1.2
"""Two depths that are meant to be the same, each measured with a line, are not farther apart."""


@dataclass(frozen=True)
class _Pulls:
    """Forces on the line, N: what pulls at its ends, and on the straight between them."""

    top_horizontal: float
    top_vertical: float
    middle_vertical: float
    bottom_vertical: float


def _current(values: dict[str, Any], height: float) -> float:
    """Speed of the current at a height above the bottom, at low water."""
    place = {"height": height, "water_depth": values["water_depth"]}
    if values["profile"] == TWO_POINT:
        return drag.two_point_current(
            surface_speed=values["surface_speed"], bottom_speed=values["bottom_speed"], **place
        )
    return drag.current_at_height(
        surface_speed=values["surface_speed"], exponent=values["exponent"], **place
    )


def _case_height(values: dict[str, Any]) -> float:
    """Height of the case above the bottom at low water."""
    depth = float(values["water_depth"])
    if values["setup"] == FLOATING:
        return min(depth, float(values["line_length"]))  # a slack line leaves it at the surface
    height = float(values["case_height"])
    if height > depth:
        raise InputError(
            "case_height",
            "Height of the case above the bottom: it would be out of the water at low water. "
            f"Give no more than the depth at low water, {depth:.4g} m.",
        )
    return height


def _deepest(values: dict[str, Any], dip: float) -> float:
    """Depth of the case at high water, with its line as slanted as it gets."""
    high_water = float(values["water_depth"] + values["tide_range"])
    if values["setup"] == FLOATING:
        return high_water - min(high_water, max(0.0, float(values["line_length"]) - dip))
    return high_water - float(values["case_height"])


def _pulls(values: dict[str, Any], horizontal: float, line_force: float) -> _Pulls:
    """Forces on the line; ``horizontal`` is what pulls its upper end sideways."""
    line_pull = buoyancy.pull(weight=values["line_weight"] * values["line_length"])
    lift = buoyancy.pull(weight=values["case_lift" if values["setup"] == FLOATING else "buoy_lift"])
    high_water = values["water_depth"] + values["tide_range"]
    if values["setup"] == BOTTOM and values["line_length"] > high_water:
        middle = mooring.marker_pull(
            horizontal=horizontal + line_force / 2,
            line_length=values["line_length"],
            water_depth=high_water,
        )
        # The buoy gives what the slant of the line asks for, until it is wholly under.
        lift = min(lift, middle + line_pull / 2)
    middle = lift - line_pull / 2
    if middle <= 0:
        name = "case_lift" if values["setup"] == FLOATING else "buoy_lift"
        raise InputError(
            name,
            "What floats cannot carry half the line. Give a larger float, or a lighter or shorter "
            "line.",
        )
    # A line that lies on the bottom lifts nothing there.
    return _Pulls(horizontal, lift, middle, max(0.0, lift - line_pull))


def _mooring(values: Mapping[str, Any]) -> dict[str, float]:
    """All but the share rests on what holds the case, not on the depth that was planned for it."""
    high_water = values["water_depth"] + values["tide_range"]
    held = _moored(*[values[name] for name in _HOLDING])
    return {**held, "depth_share": values["depth"] / high_water}


@remembered
def _moored(*holding: Any) -> dict[str, float]:
    """What holds the case, for the inputs that ``_HOLDING`` names."""
    values = dict(zip(_HOLDING, holding, strict=True))
    water_depth, floating = values["water_depth"], values["setup"] == FLOATING
    density = values["water_density"]
    height = _case_height(values)
    number = waves.wave_number(period=values["wave_period"], water_depth=water_depth)
    orbital = _orbital(values, number, height)
    case_current = _current(values, height)
    case_force = _case_force(values, case_current, orbital)
    top_speed = case_current if floating else values["surface_speed"]
    top_orbital = orbital if floating else _orbital(values, number, water_depth)
    line_force = _line_force(values, top_speed, top_orbital)
    buoy_force = 0.0 if floating else _buoy_force(values, top_orbital)
    pulls = _pulls(values, case_force if floating else buoy_force, line_force)
    angle = mooring.line_angle(
        horizontal=pulls.top_horizontal + line_force / 2, vertical=pulls.middle_vertical
    )
    dip = mooring.dip(line_length=values["line_length"], angle=angle)
    needed = mooring.anchor_pull(
        horizontal=case_force + buoy_force + line_force,
        vertical=pulls.bottom_vertical,
        friction=values["friction"],
        safety_factor=values["anchor_safety"],
    )
    return {
        "anchor_mass": buoyancy.ballast_mass(
            wanted_weight=needed / GRAVITY,
            present_weight=0.0 if floating else values["case_weight"],
            water_density=density,
            ballast_density=values["ballast_density"],
        ),
        "holding_weight": needed / GRAVITY,
        "line_tension": max(
            mooring.line_tension(
                horizontal=pulls.top_horizontal + line_force, vertical=pulls.bottom_vertical
            ),
            mooring.line_tension(horizontal=pulls.top_horizontal, vertical=pulls.top_vertical),
        ),
        "allowed_tension": mooring.allowed_tension(
            strength=values["line_strength"],
            knot_factor=values["knot_factor"],
            safety_factor=values["line_safety"],
        ),
        "line_angle": angle,
        "excursion": mooring.excursion(line_length=values["line_length"], angle=angle),
        "dip": dip,
        "room": (
            water_depth - values["line_length"]
            if floating
            else values["line_length"] - water_depth - values["tide_range"]
        ),
        "deepest": _deepest(values, dip),
        "strumming": drag.strumming_frequency(
            strouhal_number=values["strouhal_number"],
            speed=top_speed,
            diameter=values["line_diameter"],
        ),
        "case_force": case_force,
        "line_force": line_force,
        "buoy_force": buoy_force,
        "case_current": case_current,
        "orbital_velocity": orbital,
        "wave_length": 2 * pi / number,
        "wave_pressure": waves.wave_pressure(
            wave_height=values["wave_height"],
            water_density=density,
            wave_number=number,
            water_depth=water_depth,
            height=height,
        ),
        "breaking_height": waves.steepest_wave_height(wave_number=number, water_depth=water_depth),
    }


def _orbital(values: dict[str, Any], number: float, height: float) -> float:
    """Speed of the waves' water at a height above the bottom, at low water."""
    return waves.orbital_velocity(
        wave_height=values["wave_height"],
        period=values["wave_period"],
        wave_number=number,
        water_depth=values["water_depth"],
        height=height,
    )


def _case_force(values: dict[str, Any], current: float, orbital: float) -> float:
    return _wave_force(
        values,
        drag_coefficient=values["case_drag"],
        area=values["case_area"],
        inertia_coefficient=values["case_inertia"],
        volume=values["case_volume"],
        speeds=(current, orbital),
    )


def _line_force(values: dict[str, Any], current: float, orbital: float) -> float:
    """As if all of the line were where its upper end is: more than there is along it."""
    diameter, length = values["line_diameter"], values["line_length"]
    return _wave_force(
        values,
        drag_coefficient=values["line_drag"],
        area=diameter * length,
        inertia_coefficient=LINE_INERTIA,
        volume=pi / 4 * diameter**2 * length,
        speeds=(current, orbital),
    )


def _buoy_force(values: dict[str, Any], orbital: float) -> float:
    """Held still; its volume is that of its lift."""
    return _wave_force(
        values,
        drag_coefficient=values["buoy_drag"],
        area=values["buoy_area"],
        inertia_coefficient=BUOY_INERTIA,
        volume=values["buoy_lift"] / values["water_density"],
        speeds=(values["surface_speed"], orbital),
    )


def _wave_force(
    values: dict[str, Any],
    *,
    drag_coefficient: float,
    area: float,
    inertia_coefficient: float,
    volume: float,
    speeds: tuple[float, float],
) -> float:
    """Largest force while a wave goes by; ``speeds`` are current and waves' water."""
    current, orbital = speeds
    return drag.peak_force(
        drag_factor=drag.drag_factor(
            drag_coefficient=drag_coefficient,
            area=area,
            water_density=values["water_density"],
        ),
        current=current,
        orbital_velocity=orbital,
        inertia_force=drag.inertia_force(
            inertia_coefficient=inertia_coefficient,
            volume=volume,
            water_density=values["water_density"],
            acceleration=waves.orbital_acceleration(
                orbital_velocity=orbital, period=values["wave_period"]
            ),
        ),
    )


def _compute(
    setup: str,
    water_depth: float,
    tide_range: float,
    depth: float,
    profile: str,
    surface_speed: float,
    exponent: float,
    bottom_speed: float,
    wave_height: float,
    wave_period: float,
    water_density: float,
    case_weight: float,
    case_lift: float,
    case_height: float,
    case_area: float,
    case_volume: float,
    case_drag: float,
    case_inertia: float,
    buoy_lift: float,
    buoy_area: float,
    buoy_drag: float,
    line_length: float,
    line_diameter: float,
    line_weight: float,
    line_drag: float,
    strouhal_number: float,
    line_strength: float,
    knot_factor: float,
    line_safety: float,
    friction: float,
    anchor_safety: float,
    anchor_laid: float,
    ballast_density: float,
    lowest_wanted: float,
) -> dict[str, float]:
    return _mooring(locals())  # by name, as the plot has them


_HOLDING = tuple(name for name in signature(_compute).parameters if name != "depth")
"""The inputs that hold the case, wherever it is to be."""


def _drawn_under(values: Values, results: Results) -> bool:
    """Whether the marker buoy is under water at high water."""
    if values["setup"] == FLOATING:
        return False
    lift = float(values["buoy_lift"]) * GRAVITY
    pull_down = float(values["line_weight"]) * float(values["line_length"]) * GRAVITY
    if results["room"] <= 0:
        return True
    high_water = float(values["line_length"]) - results["room"]
    middle = mooring.marker_pull(
        horizontal=results["buoy_force"] + results["line_force"] / 2,
        line_length=float(values["line_length"]),
        water_depth=high_water,
    )
    return middle + pull_down / 2 > lift


def _over_speed(values: Values, results: Results, system: str) -> Plot:
    speed = float(values["surface_speed"])
    end = 1.6 * max(speed, 0.2)
    speeds = [end * i / 24 for i in range(1, 25)]
    answers = [_mooring(values | {"surface_speed": x}) for x in speeds]
    anchors = [(x, a["holding_weight"]) for x, a in zip(speeds, answers, strict=True)]
    top = max(y for _, y in anchors)
    here = format_display(results["holding_weight"], "kg", 3, system)
    shown = format_display(speed, "m/s", 3, system)
    levels = []
    if values["setup"] == BOTTOM:
        weight = float(values["case_weight"])
        levels = [(weight, "the case alone")] if weight <= top else []
    return Plot(
        title="Weight that holds, over the current",
        description=(
            f"The weight in water that holds against current, waves and buoyancy: {here} at a "
            f"surface current of {shown}. It grows with about the square of the speed."
        ),
        x=Axis(label="Current at the surface", unit="m/s", domain=(0, end)),
        y=Axis(label="Weight in water", unit="kg", domain=(0, 1.08 * top)),
        lines=[Line(name="Case and anchor together", points=anchors)],
        marks=[(speed, f"{shown}: {here}")],
        levels=levels,
    )


def _picture(values: Values, results: Results, system: str) -> Drawing:
    """The mooring at high water, to scale but for case, buoy and anchor."""
    deep = float(values["water_depth"]) + float(values["tide_range"])
    length, floating = float(values["line_length"]), values["setup"] == FLOATING
    side = results["excursion"]
    rise = max(0.0, length - results["dip"])
    top = max(deep, rise)
    wide = max(side, 0.6 * top)
    mark = 0.04 * max(wide, top)
    left = -0.25 * wide - mark
    right = 1.25 * wide + mark
    shapes: list[Shape] = [
        box(left, 0.0, right - left, deep, "water"),
        box(left, -2 * mark, right - left, 2 * mark, "ground"),
        Segment(start=(0.0, mark), end=(side, max(mark, rise)), kind="edge"),
        box(-mark, 0.0, 2 * mark, mark, "ballast" if floating else "wall"),
    ]
    end = (side, max(mark, rise))
    if floating:
        shapes.append(box(side - mark, end[1], 2 * mark, mark, "wall"))
    else:
        shapes.append(Ellipse(centre=end, rx=0.8 * mark, ry=0.8 * mark, kind="part"))
    shapes.append(
        Label(
            at=(left + mark, deep + 0.6 * mark),
            text=f"high water, {format_display(deep, 'm', 3, system)}",
            anchor="start",
        )
    )
    above = "case" if floating else "buoy"
    out = format_display(side, "m", 3, system)
    return Drawing(
        title="The mooring at high water",
        description=(
            f"Line from {'anchor' if floating else 'case'} to {above}, carried {out} downstream. "
            "Line and depths are to scale; case, anchor and buoy are not."
        ),
        shapes=shapes,
    )


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    said = []
    steady = drag.drag_force(
        drag_coefficient=float(values["case_drag"]),
        area=float(values["case_area"]),
        water_density=float(values["water_density"]),
        speed=results["case_current"] + results["orbital_velocity"],
    )
    more = results["case_force"] / steady - 1 if steady > 0 else 0.0
    share = format_display(more, "%", 2, system)
    said.append(
        "The water's acceleration in the waves adds "
        + (f"{share} to the force on the case." if more >= 0.005 else "next to nothing here.")
    )
    if values["setup"] == BOTTOM:
        slack = float(values["line_length"]) - float(values["water_depth"])
        if slack > 0:
            spare = format_display(slack, "m", 3, system)
            reach = format_display(
                sqrt(slack * (slack + 2 * float(values["water_depth"]))), "m", 3, system
            )
            said.append(
                f"At low water {spare} of line are to spare, and the buoy wanders up to {reach} "
                "from the case."
            )
        if _drawn_under(values, results):
            said.append(
                "The buoy is drawn under at high water, at least while the highest wave goes by: "
                "nobody sees it, and boats run over it."
            )
    return said


def _slack(values: Values, results: Results) -> bool:
    return values["setup"] == BOTTOM


MOORING_LOAD = Calculator(
    id="mooring-load",
    title="Load of the mooring",
    question="What anchor and line hold the rig in current, waves and tide, and will it strum?",
    stage="deploy",
    inputs=(
        Choice(
            name="setup",
            label="Set-up",
            options=(
                Option(value=BOTTOM, label="case on the bottom with a marker buoy"),
                Option(value=FLOATING, label="case floats above an anchor"),
            ),
            default=BOTTOM,
            rig="mooring.setup",
        ),
        Number(
            name="water_depth",
            label="Depth at low water",
            unit="m",
            default="4 m",
            low="0.5 m",
            high="200 m",
            why="a brook to the edge of the shelf",
            hint="at the lowest tide or river of the deployment",
            rig="site.water_depth",
        ),
        Number(
            name="tide_range",
            label="Rise to high water",
            unit="m",
            default="0.2 m",
            low="0 m",
            high="20 m",
            why="a pond to the largest tides",
            hint="tide, flood and surge together",
            rig="site.tide_range",
        ),
        replace(
            DEPTH,
            label="Depth that lid and seals are reckoned for",
            hint="only judges the answer",
        ),
        Choice(
            name="profile",
            label="Current over depth",
            options=(
                Option(value=POWER, label="power of the height"),
                Option(value=TWO_POINT, label="straight between two speeds"),
            ),
            default=POWER,
            rig="site.current_profile",
        ),
        Number(
            name="surface_speed",
            label="Current at the surface",
            unit="m/s",
            default="0.3 m/s",
            low="0.005 m/s",
            high="5 m/s",
            why="a breath to a torrent",
            hint="the fastest of the deployment",
            tolerance="±10 %",
            rig="site.surface_speed",
        ),
        Number(
            name="exponent",
            label="Exponent of the profile",
            unit="",
            default="0.143",
            low="0",
            high="0.5",
            why="the same all the way down, to a very rough bottom",
            hint="1/7 for a tide or river",
            shown=Shown(input="profile", values=(POWER,)),
        ),
        Number(
            name="bottom_speed",
            label="Current near the bottom",
            unit="m/s",
            default="0.15 m/s",
            low="0 m/s",
            high="5 m/s",
            why="none to a torrent",
            shown=Shown(input="profile", values=(TWO_POINT,)),
            rig="site.bottom_speed",
        ),
        Number(
            name="wave_height",
            label="Height of the waves",
            unit="m",
            default="0.2 m",
            low="0 m",
            high="30 m",
            why="flat to the highest measured",
            hint="trough to crest, of the highest",
            rig="site.wave_height",
        ),
        Number(
            name="wave_period",
            label="Period of the waves",
            unit="s",
            default="2 s",
            low="0.5 s",
            high="30 s",
            why="ripples to long swell",
            rig="site.wave_period",
        ),
        WATER_DENSITY,
        Number(
            name="case_weight",
            label="Weight of the case in water",
            unit="kg",
            default="2 kg",
            low="0 kg",
            high="1000 kg",
            why="just awash to an anchor of its own",
            hint="with its ballast, as a balance shows it",
            shown=Shown(input="setup", values=(BOTTOM,)),
            rig="ballast.weight",
        ),
        Number(
            name="case_lift",
            label="Lift of the case in water",
            unit="kg",
            default="2 kg",
            low="0.1 kg",
            high="1000 kg",
            why="barely floating to a large float",
            hint="what holds it down, as a balance shows it",
            shown=Shown(input="setup", values=(FLOATING,)),
            rig="mooring.case_lift",
        ),
        Number(
            name="case_height",
            label="Height of the case above the bottom",
            unit="m",
            default="0.1 m",
            low="0 m",
            high="2 m",
            why="on the bottom to a tall frame",
            hint="of its centre",
            shown=Shown(input="setup", values=(BOTTOM,)),
            rig="mooring.case_height",
        ),
        Number(
            name="case_area",
            label="Area that the current meets",
            unit="cm²",
            default="200 cm²",
            low="1 cm²",
            high="10 m²",
            why="a finger to a raft",
            hint="with frame and growth",
            tolerance="±20 %",
            rig="mooring.case_area",
        ),
        Number(
            name="case_volume",
            label="Outer volume of the case",
            unit="L",
            default="2.5 L",
            low="1 mL",
            high="1000 L",
            why="a finger to a raft",
            rig="mooring.case_volume",
        ),
        from_table(
            DRAG_SHAPES.cell("box", "drag"),
            name="case_drag",
            label="Drag coefficient of the case",
            unit="",
            low="0.05",
            high="5",
            why="a fish to an open net",
            rig="mooring.case_drag",
        ),
        Number(
            name="case_inertia",
            label="Inertia coefficient of the case",
            unit="",
            default="1.7",
            low="1",
            high="5",
            why="1 plus the added mass",
            hint="counts only in waves",
            rig="mooring.case_inertia",
        ),
        Number(
            name="buoy_lift",
            label="Lift of the buoy, wholly under",
            unit="kg",
            default="3 kg",
            low="0.1 kg",
            high="1000 kg",
            why="a bottle to a large float",
            hint="as a balance shows it",
            shown=Shown(input="setup", values=(BOTTOM,)),
            rig="mooring.buoy_lift",
        ),
        Number(
            name="buoy_area",
            label="Area of the buoy under water",
            unit="cm²",
            default="100 cm²",
            low="1 cm²",
            high="1 m²",
            why="a bottle to a large float",
            hint="that the current meets",
            tolerance="±20 %",
            shown=Shown(input="setup", values=(BOTTOM,)),
            rig="mooring.buoy_area",
        ),
        Number(
            name="buoy_drag",
            label="Drag coefficient of the buoy",
            unit="",
            default="0.8",
            low="0.05",
            high="5",
            why="a fish to an open net",
            hint="0.5 for a sphere, and the waves that it makes",
            tolerance="±30 %",
            shown=Shown(input="setup", values=(BOTTOM,)),
        ),
        Number(
            name="line_length",
            label="Length of the line",
            unit="m",
            default="6 m",
            low="0.1 m",
            high="300 m",
            why="a tether to the edge of the shelf",
            rig="mooring.line_length",
        ),
        Number(
            name="line_diameter",
            label="Diameter of the line",
            unit="mm",
            default="6 mm",
            low="0.1 mm",
            high="200 mm",
            why="fishing line to a hawser",
            hint="with growth",
            tolerance="±10 %",
            rig="mooring.line_diameter",
        ),
        Number(
            name="line_weight",
            label="Weight of the line in water, by length",
            unit="g/m",
            default="5 g/m",
            low="-100 g/m",
            high="300 g/m",
            why="a floating rope to wire",
            hint="below zero where it floats",
            rig="mooring.line_weight",
        ),
        Number(
            name="line_drag",
            label="Drag coefficient of the line",
            unit="",
            default="1.2",
            low="0.05",
            high="5",
            why="a fairing to heavy strumming",
            hint="about double while it strums",
            tolerance="+100/-10 %",
        ),
        Number(
            name="strouhal_number",
            label="Strouhal number of the line",
            unit="",
            default="0.2",
            low="0.1",
            high="0.5",
            why="square bars to smooth pipes in fast flow",
            hint="0.2 for a round line",
            tolerance="±10 %",
        ),
        Number(
            name="line_strength",
            label="Breaking strength of the line",
            unit="kN",
            default="5 kN",
            low="10 N",
            high="10 MN",
            why="thread to a ship's hawser",
            hint="new, from its label",
            rig="mooring.line_strength",
        ),
        Number(
            name="knot_factor",
            label="Left of it at the knot",
            unit="%",
            default="50 %",
            low="10 %",
            high="100 %",
            why="a bad knot to a splice",
            rig="mooring.knot_factor",
        ),
        Number(
            name="line_safety",
            label="Safety factor of the line",
            unit="1",
            default="5",
            low="1",
            high="50",
            why="none to people hanging on it",
            hint="also against jerks, chafe and sun",
            rig="mooring.line_safety",
        ),
        from_table(
            BOTTOMS.cell("silty-sand", "friction"),
            name="friction",
            label="Friction on the bottom",
            unit="",
            low="0.05",
            high="2",
            why="slime to hooks in rock",
            rig="mooring.friction",
        ),
        Number(
            name="anchor_safety",
            label="Safety factor of the anchor",
            unit="1",
            default="2",
            low="1",
            high="50",
            why="none to all doubts",
            hint="against a bottom that is worse, and lift that is not counted",
            rig="mooring.anchor_safety",
        ),
        replace(BALLAST_DENSITY, label="Density of the anchor", rig="mooring.anchor_density"),
        Number(
            name="anchor_laid",
            label="Anchor that you lay, weighed in air",
            unit="kg",
            default="30 kg",
            low="0 kg",
            high="10000 kg",
            why="none to a block of concrete that a crane lays",
            hint="only judges the answer; 0 where the case alone lies there",
            rig="mooring.anchor_laid",
        ),
        Number(
            name="lowest_wanted",
            label="Lowest sound wanted",
            unit="Hz",
            default="20 Hz",
            low="0.01 Hz",
            high="100 kHz",
            why="slow waves to ultrasound",
            hint="only judges the answer",
            rig="plan.lowest_wanted",
        ),
    ),
    fills=(
        WATER_DENSITY_FILL,
        Fill(
            name="case_shape",
            label="Shape of the case",
            table=DRAG_SHAPES,
            inputs={"case_drag": "drag", "case_inertia": "inertia"},
        ),
        Fill(name="bottom", label="Bottom", table=BOTTOMS, inputs={"friction": "friction"}),
        Fill(
            name="anchor",
            label="Anchor",
            table=BALLAST,
            inputs={"ballast_density": "density"},
        ),
    ),
    outputs=(
        Output(
            name="anchor_mass",
            label="Anchor that it takes, weighed in air",
            unit="kg",
            help="beside the weight of a case on the bottom; below zero: none",
            verdict=Verdict(
                better="below",
                limit="anchor_laid",
                met="no more than the {limit} that you lay",
                missed="more than the {limit} that you lay",
                unsure="may be more than the {limit} that you lay: lay the upper end of the range",
                source="statics",
                ends=True,
                ample=ANCHOR_TO_SPARE,
            ),
        ),
        Output(
            name="holding_weight",
            label="Weight in water that holds",
            unit="kg",
            help="case and anchor together, with the safety factor",
        ),
        Output(
            name="line_tension",
            label="Largest pull of the line",
            unit="N",
            help="no jerks: a line that goes slack and taut has several times as much",
            verdict=Verdict(
                better="below",
                limit="allowed_tension",
                met="below the {limit} that the knotted line may carry",
                missed="above the {limit} that the knotted line may carry",
                unsure="may be above the {limit} that the knotted line may carry",
                source="your own limit",
                ends=True,
            ),
        ),
        Output(
            name="allowed_tension",
            label="Pull that the knotted line may carry",
            unit="N",
            help="must also lift case and anchor, flooded",
        ),
        Output(
            name="room",
            label="Room in the worst tide",
            unit="m",
            help="marker buoy: line to spare at high water; floating case: water above it at low "
            "water",
            verdict=Verdict(
                better="above",
                limit=0.0,
                met="enough",
                missed="not enough: a marker buoy is drawn under at high water, a floating case "
                "comes to the surface at low water",
                unsure="may not be enough",
                source="your own limit",
                ample=WATER_TO_SPARE,
            ),
        ),
        Output(
            name="deepest",
            label="Deepest that the case lies",
            unit="m",
            help="at high water; a floating case with its line as slanted as it gets",
            verdict=Verdict(
                better="below",
                limit=lambda values: SAME_DEPTH * float(values["depth"]),
                met="the depth that lid and seals are reckoned for, within a fifth",
                missed="deeper by more than a fifth than lid and seals are reckoned for: reckon "
                "them for this depth",
                unsure="may be deeper by more than a fifth than lid and seals are reckoned for",
                source="your own depth",
            ),
        ),
        Output(
            name="depth_share",
            label="That depth, over all the water at high water",
            unit="%",
            help="of lid and seals; above 100 % they are reckoned for more than there is",
            verdict=Verdict(
                better="below",
                limit=SAME_DEPTH,
                met="there is so much water, within a fifth",
                missed="deeper than the water by more than a fifth: one of the two depths is "
                "wrong, or lid and seals are built for another place",
                unsure="may be deeper than the water by more than a fifth",
                source="your own depths",
                missed_level="care",
            ),
        ),
        Output(
            name="line_angle",
            label="Slant of the line",
            unit="°",
            help="from the vertical, at high water",
        ),
        Output(
            name="excursion",
            label="Upper end carried sideways",
            unit="m",
            help="in the fastest current, at high water",
        ),
        Output(
            name="dip",
            label="Upper end lower than straight up",
            unit="m",
            help="by the slant of the line",
        ),
        Output(
            name="strumming",
            label="Frequency of strumming",
            unit="Hz",
            help="of the line in the fastest current; slower where the current is slower",
            verdict=Verdict(
                better="below",
                limit="lowest_wanted",
                met="below {limit}; its overtones may not be",
                missed="above {limit}, in what you want to hear: fairing, thicker line, or no "
                "line at the hydrophone",
                unsure="may lie above {limit}",
                source="your own limit",
                missed_level="care",
            ),
        ),
        Output(
            name="case_force",
            label="Largest force on the case",
            unit="N",
            help="current and waves together",
        ),
        Output(
            name="line_force",
            label="Largest force on the line",
            unit="N",
            help="current and waves together, as at its upper end",
        ),
        Output(
            name="buoy_force",
            label="Largest force on the buoy",
            unit="N",
            help="current and waves together, held still",
        ),
        Output(name="case_current", label="Current at the case", unit="m/s"),
        Output(
            name="orbital_velocity",
            label="Speed of the waves' water at the case",
            unit="m/s",
            help="to and fro; amplitude",
        ),
        Output(name="wave_length", label="Length of the waves", unit="m"),
        Output(
            name="wave_pressure",
            label="Pressure of the waves at the case",
            unit="Pa",
            help="amplitude; a front end that hears down to the waves must stand it",
        ),
        Output(
            name="breaking_height",
            label="Waves of this period break at",
            unit="m",
            help="height; breaking waves hit far harder than calculated",
            verdict=Verdict(
                better="above",
                limit="wave_height",
                met="above the {limit} given",
                missed="below the {limit} given: such waves break here, nothing above holds",
                unsure="about the {limit} given: they may break here",
                source="miche-page",
                ends=True,
                ample=WATER_TO_SPARE,
            ),
        ),
    ),
    compute=_compute,
    plot=_over_speed,
    drawing=_picture,
    remarks=_remarks,
    cautions=(
        Caution(
            title="Lines entangle swimmers, divers, boats and animals.",
            text="As few lines as you can, no loops, no floating line at the surface, nothing left "
            "behind. Where whales, seals or turtles live ask the authority first; never go into "
            "the water to free an animal.",
        ),
        Caution(
            title="A slack line at low water catches propellers and limbs.",
            text="Use sinking line with a small weight part of the way down, so that the spare "
            "line hangs and does not float.",
            when=_slack,
        ),
        Caution(
            title="Anchor overboard: the line takes whoever stands in it.",
            text="Flake the line into a tub, nobody in a bight, a knife at hand, lifejackets on. "
            "Lower the weight, do not throw it.",
        ),
        Caution(
            title="Marks and anchors are regulated.",
            text="Ask harbour master, waterway or park authority before you lay anything; keep out "
            "of fairways; mark and light the buoy as they say, with name and telephone number.",
        ),
    ),
    in_rig=True,
)
