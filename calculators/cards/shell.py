"""A round tube with two flat ends under water."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from calculators.cards.common import from_table
from calculators.cards.curves import steps
from calculators.cards.dive import DEPTH, WATER_DENSITY, WATER_DENSITY_FILL, gauge_pressure
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
from calculators.drawing import Dimension, Drawing, Label, Segment, Shape, box
from calculators.formulas import plate, shell
from calculators.tables.case_materials import CASE_MATERIALS
from calculators.units import format_display

TUBE_SHOWN, WINDOW_SHOWN = "pvc-u", "pmma"
"""The rows of the table of materials that the form starts with."""

MODES = {
    "strength_depth": "the wall reaches its working stress",
    "buckling_depth": "the wall may buckle",
    "end_depth": "the end plate reaches its working stress",
    "other_end_depth": "the window reaches its working stress",
}
"""What each depth is the limit of, in words."""

THICKEST = 0.1
"""Wall over mean diameter up to which the buckling formula is used without a word."""

LONG = 1.1
"""Buckling pressure over that of an endless tube below which stiff ends no longer help."""

DEEPEST = 1000.0
"""Depth up to which pressure is in proportion to it, to 0.5 %, in m."""

SHOWN = (0.3, 2.0)
"""How far the plot goes to both sides of the wall given."""

RING = 1.1
"""Outer diameter of a ring, drawn round a window wider than the tube, over the opening."""

PARTS = 40
"""Parts that each curve is drawn in."""


_WITH_WINDOW = Shown(input="other_end", values=("window",))


def _tube(
    inner_diameter: float,
    thickness: float,
    length: float,
    ovality: float,
    modulus: float,
    poisson: float,
    working_stress: float,
    buckling_margin: float,
    end_edge: str,
    end_thickness: float,
    end_modulus: float,
    end_poisson: float,
    end_working_stress: float,
    other_end: str,
    window_diameter: float,
    window_thickness: float,
    window_poisson: float,
    window_working_stress: float,
    depth: float,
    water_density: float,
) -> dict[str, float]:
    pressure = gauge_pressure(depth=depth, water_density=water_density)
    wall = {"inner_diameter": inner_diameter, "thickness": thickness}
    results = _wall(pressure, wall, length, ovality, modulus, poisson, working_stress)
    results["strength_depth"] = shell.limit_depth(
        depth=depth, reached=pressure, allowed=results["strength_pressure"], margin=1.0
    )
    results["buckling_depth"] = shell.limit_depth(
        depth=depth,
        reached=pressure,
        allowed=results["buckling_pressure"],
        margin=buckling_margin,
    )
    # The plate bears on the wall, so it spans from the middle of the wall to the middle.
    span = inner_diameter + thickness
    results |= _end(pressure, span, end_edge, end_thickness, end_modulus, end_poisson)
    results["end_depth"] = shell.limit_depth(
        depth=depth, reached=results["end_stress"], allowed=end_working_stress, margin=1.0
    )
    results["other_end_stress"] = results["end_stress"]
    results["other_end_depth"] = results["end_depth"]
    if other_end == "window":
        results["other_end_stress"] = plate.supported_circle_stress(
            pressure=pressure,
            diameter=window_diameter,
            thickness=window_thickness,
            poisson=window_poisson,
        )
        results["other_end_depth"] = shell.limit_depth(
            depth=depth,
            reached=results["other_end_stress"],
            allowed=window_working_stress,
            margin=1.0,
        )
    return {"depth_limit": min(results[mode] for mode in MODES), **results}


def _wall(
    pressure: float,
    wall: dict[str, float],
    length: float,
    ovality: float,
    modulus: float,
    poisson: float,
    working_stress: float,
) -> dict[str, float]:
    """Stresses in the wall, and the pressures that it bears."""
    hoop = shell.hoop_stress(pressure=pressure, **wall)
    lobes = shell.weakest_lobes(poisson=poisson, length=length, **wall)
    buckling = shell.lobed_tube_buckling(
        modulus=modulus, poisson=poisson, length=length, lobes=lobes, **wall
    )
    strength = shell.oval_tube_pressure(
        round_pressure=pressure * working_stress / hoop,
        buckling_pressure=buckling,
        ovality=ovality,
        **wall,
    )
    return {
        "hoop_stress": hoop,
        "mean_hoop_stress": shell.mean_hoop_stress(pressure=pressure, **wall),
        "axial_stress": shell.axial_stress(pressure=pressure, **wall),
        "strength_pressure": strength,
        "buckling_pressure": buckling,
        "long_tube_pressure": shell.long_tube_buckling(modulus=modulus, poisson=poisson, **wall),
        "lobes": float(lobes),
    }


def _end(
    pressure: float, span: float, edge: str, thickness: float, modulus: float, poisson: float
) -> dict[str, float]:
    """Stress and deflection of the end plate."""
    stiffness = plate.plate_stiffness(modulus=modulus, thickness=thickness, poisson=poisson)
    if edge == "clamped":
        stress = plate.clamped_circle_stress(pressure=pressure, diameter=span, thickness=thickness)
        deflection = plate.clamped_circle_deflection(
            pressure=pressure, diameter=span, stiffness=stiffness
        )
    else:
        stress = plate.supported_circle_stress(
            pressure=pressure, diameter=span, thickness=thickness, poisson=poisson
        )
        deflection = plate.supported_circle_deflection(
            pressure=pressure, diameter=span, stiffness=stiffness, poisson=poisson
        )
    return {
        "end_stress": stress,
        "end_deflection": deflection,
        "end_deflection_ratio": deflection / thickness,
    }


def _modes(values: Values) -> dict[str, str]:
    """What can give way: the other end only where it is another."""
    return {
        mode: words
        for mode, words in MODES.items()
        if mode != "other_end_depth" or values["other_end"] == "window"
    }


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    modes = _modes(values)
    order = sorted(modes, key=lambda mode: results[mode])
    first, *others = (f"{modes[m]} at {format_display(results[m], 'm', 3, system)}" for m in order)
    said = [f"What gives first: {first}. Then: {'; '.join(others)}."]
    if results["buckling_pressure"] < LONG * results["long_tube_pressure"]:
        said.append(
            "The tube is so long that its stiff ends hardly help: a ring glued in at half the "
            "length would."
        )
    if _share(values) > THICKEST:
        said.append(
            "The wall is thicker than a tenth of the mean diameter. Stresses are right for any "
            "thickness; the buckling formula is for thinner walls and promises too much here."
        )
    if results["end_deflection_ratio"] > plate.LINEAR_BENDING:
        said.append(
            "The end plate bends by more than half its thickness: it is far too thin, and its "
            "values are a sign of that, not a measure."
        )
    if values["end_edge"] == "clamped":
        said.append(
            "No real edge is held so that it cannot turn at all. A plate that is screwed on or "
            "pressed on by the water rests."
        )
    if results["depth_limit"] > DEEPEST:
        said.append(
            f"Depths beyond {format_display(DEEPEST, 'm', 4, system)} are only in proportion, and "
            "no one should go there by this calculation alone."
        )
    return said


def _share(values: Values) -> float:
    """Wall over mean diameter."""
    thickness = float(values["thickness"])
    return thickness / (float(values["inner_diameter"]) + thickness)


def _limits_over_wall(values: Values, results: Results, system: str) -> Plot:
    thickness, depth = float(values["thickness"]), float(values["depth"])
    walls = steps(SHOWN[0] * thickness, SHOWN[1] * thickness, PARTS)
    top = 2 * max(depth, results["depth_limit"])
    answers = [_limits_of_wall(values, results, wall) for wall in walls]
    ends = [("end_depth", "end plate"), ("other_end_depth", "window")]
    levels = [(depth, "planned")]
    levels += [(results[m], name) for m, name in ends if m in _modes(values) and results[m] < top]
    here = format_display(results["depth_limit"], "m", 3, system)
    wall = format_display(thickness, "mm", 3, system)
    return Plot(
        title="Depth limits over the thickness of the wall",
        description=(
            "Depth at which the wall reaches its working stress, and at which it may buckle, over "
            f"its thickness. The lowest line counts, with the ends: {here} at {wall}."
        ),
        x=Axis(label="Wall", unit="mm", domain=(walls[0], walls[-1])),
        y=Axis(label="Depth", unit="m", domain=(0, top)),
        lines=[
            Line(
                name="Working stress",
                points=_below(walls, answers, lambda x: x["strength_depth"], top),
            ),
            Line(
                name="Buckling, with its margin",
                points=_below(walls, answers, lambda x: x["buckling_depth"], top),
                kind="second",
            ),
        ],
        marks=[(thickness, f"{wall}: {here}")],
        levels=levels,
    )


def _limits_of_wall(values: Values, results: Results, thickness: float) -> Results:
    """Depth limits of another wall."""
    depth, margin = float(values["depth"]), float(values["buckling_margin"])
    names = ("length", "ovality", "modulus", "poisson", "working_stress")
    length, ovality, modulus, poisson, stress = (float(values[name]) for name in names)
    pressure = gauge_pressure(depth=depth, water_density=float(values["water_density"]))
    wall = {"inner_diameter": float(values["inner_diameter"]), "thickness": thickness}
    found = _wall(pressure, wall, length, ovality, modulus, poisson, stress)
    return {
        "strength_depth": depth * found["strength_pressure"] / pressure,
        "buckling_depth": depth * found["buckling_pressure"] / (margin * pressure),
    }


def _below(
    walls: list[float], answers: list[Results], pick: Callable[[Results], float], top: float
) -> list[tuple[float, float]]:
    """A curve as far as it stays in the picture."""
    return [(x, min(pick(y), top)) for x, y in zip(walls, answers, strict=True)]


def _section(values: Values, results: Results, system: str) -> Drawing:
    """Tube and ends, cut along the axis, with the open bore towards the reader."""
    names = ("inner_diameter", "thickness", "length", "end_thickness")
    bore, wall, length, end = (float(values[name]) for name in names)
    radius = bore / 2 + wall
    window = values["other_end"] == "window"
    far = float(values["window_thickness"]) if window else end
    aside = max(radius / 2, length / 15)

    def text(size: float) -> str:
        return format_display(size, "mm", 3, system)

    shapes: list[Shape] = [
        box(0, -bore / 2, length, bore, "air"),
        box(0, bore / 2, length, wall, "wall"),
        box(0, -radius, length, wall, "wall"),
        box(-end, -radius, end, 2 * radius, "lid"),
        *(
            _window(values, length, radius)
            if window
            else [box(length, -radius, end, 2 * radius, "lid")]
        ),
        Segment(start=(-end, 0), end=(length + far, 0), kind="axis"),
        Dimension(start=(0, radius), end=(length, radius), text=text(length), offset=aside),
        Dimension(
            start=(length / 3, -bore / 2), end=(length / 3, bore / 2), text=text(bore), offset=0
        ),
        Dimension(start=(-end, -radius), end=(0, -radius), text=text(end), offset=-aside),
        Label(at=(length * 2 / 3, -radius - aside / 2), text=f"wall {text(wall)}"),
    ]
    return Drawing(
        title="The tube, cut along its axis",
        description=(
            f"To scale: bore {text(bore)}, wall {text(wall)}, free length {text(length)}, "
            f"end plate {text(end)} thick; the other end "
            + (f"is a window, {text(far)} thick." if window else "is the same.")
        ),
        shapes=shapes,
    )


def _window(values: Values, left: float, radius: float) -> list[Shape]:
    """A disc in a ring, on the right."""
    opening, thickness = float(values["window_diameter"]), float(values["window_thickness"])
    edge = max(radius, RING * opening / 2)
    ring = edge - opening / 2
    return [
        box(left, opening / 2, thickness, ring, "lid"),
        box(left, -edge, thickness, ring, "lid"),
        box(left, -opening / 2, thickness, opening, "plug"),
    ]


def _material(row: str, column: str, **fields: Any) -> Number:
    """A number of the material that starts with the table's value and spread."""
    return from_table(CASE_MATERIALS.cell(row, column), **fields)


TUBE_UNDER_PRESSURE = Calculator(
    id="tube-under-pressure",
    title="Tube under pressure",
    question="How deep may this tube go, and does its wall, its end or its window give first?",
    stage="seal",
    inputs=(
        Number(
            name="inner_diameter",
            label="Inner diameter of the tube",
            unit="mm",
            default="100 mm",
            low="10 mm",
            high="1 m",
            why="a pencil case to a drum",
            hint="mean of several, turned by 45°",
            tolerance="±0.5 mm",
            rig="case.tube_inner_diameter",
        ),
        Number(
            name="thickness",
            label="Wall of the tube",
            unit="mm",
            default="5 mm",
            low="0.5 mm",
            high="100 mm",
            why="sheet to a thick bore",
            hint="where it is thinnest: a groove or thread counts",
            tolerance="±5 %",
            rig="case.tube_thickness",
        ),
        Number(
            name="length",
            label="Free length of the tube",
            unit="mm",
            default="320 mm",
            low="10 mm",
            high="10 m",
            why="a puck to a long pipe",
            hint="between ends or rings that hold it round",
            tolerance="±2 mm",
            rig="case.tube_length",
        ),
        Number(
            name="ovality",
            label="Ovality of the tube",
            unit="%",
            default="1 %",
            low="0 %",
            high="10 %",
            why="turned to kinked",
            hint="largest less smallest outer diameter, over their mean",
            rig="case.tube_ovality",
        ),
        _material(
            TUBE_SHOWN,
            "long_term_modulus",
            name="modulus",
            label="Modulus of the wall",
            unit="GPa",
            low="0.01 GPa",
            high="500 GPa",
            why="soft plastic to hard metal",
            hint="after the time under load, at the temperature there",
            rig="case.tube_modulus",
        ),
        _material(
            TUBE_SHOWN,
            "poisson",
            name="poisson",
            label="Poisson's ratio of the wall",
            unit="",
            low="0",
            high="0.5",
            why="cork to rubber",
            rig="case.tube_poisson",
        ),
        _material(
            TUBE_SHOWN,
            "working_stress",
            name="working_stress",
            label="Working stress of the wall",
            unit="MPa",
            low="0.1 MPa",
            high="2000 MPa",
            why="soft plastic to hard steel",
            hint="that it may bear for as long, with safety in it",
            rig="case.tube_working_stress",
        ),
        Number(
            name="buckling_margin",
            label="Margin against buckling",
            unit="",
            default="3.2",
            low="1",
            high="20",
            why="none to a wall of unknown shape",
            hint="buckling pressure over the pressure allowed",
            rig="case.tube_buckling_margin",
        ),
        Choice(
            name="end_edge",
            label="Edge of the end plate",
            options=(
                Option(value="supported", label="rests: screwed or pressed on, with a seal"),
                Option(value="clamped", label="cannot turn: one piece with a thick wall"),
            ),
            default="supported",
            rig="case.tube_end_edge",
        ),
        Number(
            name="end_thickness",
            label="Thickness of the end plate",
            unit="mm",
            default="12 mm",
            low="0.5 mm",
            high="200 mm",
            why="sheet to a block",
            hint="where it is thinnest",
            tolerance="±0.2 mm",
            rig="case.tube_end_thickness",
        ),
        _material(
            TUBE_SHOWN,
            "long_term_modulus",
            name="end_modulus",
            label="Modulus of the end plate",
            unit="GPa",
            low="0.01 GPa",
            high="500 GPa",
            why="soft plastic to hard metal",
            rig="case.tube_end_modulus",
        ),
        _material(
            TUBE_SHOWN,
            "poisson",
            name="end_poisson",
            label="Poisson's ratio of the end plate",
            unit="",
            low="0",
            high="0.5",
            why="cork to rubber",
            rig="case.tube_end_poisson",
        ),
        _material(
            TUBE_SHOWN,
            "working_stress",
            name="end_working_stress",
            label="Working stress of the end plate",
            unit="MPa",
            low="0.1 MPa",
            high="2000 MPa",
            why="soft plastic to hard steel",
            rig="case.tube_end_working_stress",
        ),
        Choice(
            name="other_end",
            label="Other end",
            options=(
                Option(value="same", label="a plate like the first"),
                Option(value="window", label="a view port: a flat disc in a ring"),
            ),
            default="same",
            rig="case.tube_other_end",
        ),
        Number(
            name="window_diameter",
            label="Diameter that the window spans",
            unit="mm",
            default="80 mm",
            low="5 mm",
            high="1 m",
            why="a light guide to a drum",
            hint="of the line that it rests on",
            tolerance="±0.5 mm",
            shown=_WITH_WINDOW,
            rig="case.window_diameter",
        ),
        Number(
            name="window_thickness",
            label="Thickness of the window",
            unit="mm",
            default="12 mm",
            low="1 mm",
            high="200 mm",
            why="a lens to a block",
            tolerance="±5 %",
            shown=_WITH_WINDOW,
            rig="case.window_thickness",
        ),
        _material(
            WINDOW_SHOWN,
            "poisson",
            name="window_poisson",
            label="Poisson's ratio of the window",
            unit="",
            low="0",
            high="0.5",
            why="cork to rubber",
            shown=_WITH_WINDOW,
            rig="case.window_poisson",
        ),
        _material(
            WINDOW_SHOWN,
            "working_stress",
            name="window_working_stress",
            label="Working stress of the window",
            unit="MPa",
            low="0.1 MPa",
            high="2000 MPa",
            why="soft plastic to sapphire",
            hint="in tension, for as long as it lies there",
            shown=_WITH_WINDOW,
            rig="case.window_working_stress",
        ),
        replace(DEPTH, default="12 m"),
        WATER_DENSITY,
    ),
    outputs=(
        Output(
            name="depth_limit",
            label="Depth limit",
            unit="m",
            help="the shallowest of the limits below; the remarks say which",
            verdict=Verdict(
                better="above",
                limit="depth",
                met="deeper than the {limit} planned",
                missed="shallower than the {limit} planned: see what gives first",
                unsure="may be shallower than the {limit} planned",
                source="your own limits",
                ends=True,
            ),
        ),
        Output(
            name="strength_depth",
            label="Limit of the wall by its stress",
            unit="m",
            help="the inner face reaches its working stress, with the bending of the oval",
        ),
        Output(
            name="buckling_depth",
            label="Limit of the wall by buckling",
            unit="m",
            help="the buckling pressure over its margin",
        ),
        Output(
            name="end_depth",
            label="Limit of the end plate",
            unit="m",
            help="it reaches its working stress",
        ),
        Output(
            name="other_end_depth",
            label="Limit of the other end",
            unit="m",
            help="of the window, or of a plate like the first",
        ),
        Output(
            name="hoop_stress",
            label="Hoop stress at the inner face",
            unit="MPa",
            help="at the depth planned, in a round tube; thick-walled, exact",
        ),
        Output(
            name="mean_hoop_stress",
            label="Hoop stress by the thin-wall rule",
            unit="MPa",
            help="mean over the wall: the inner face bears more",
        ),
        Output(
            name="axial_stress",
            label="Axial stress",
            unit="MPa",
            help="from the water on both ends",
        ),
        Output(
            name="strength_pressure",
            label="Pressure at the working stress",
            unit="MPa",
            help="of the wall, oval as it is",
        ),
        Output(
            name="buckling_pressure",
            label="Buckling pressure",
            unit="MPa",
            help="of a round tube between stiff ends; no margin in it",
        ),
        Output(
            name="long_tube_pressure",
            label="Buckling pressure without stiff ends",
            unit="MPa",
            help="of an endless tube: what is left when the ends don't hold it round",
        ),
        Output(
            name="lobes",
            label="Lobes that it folds into",
            unit="1",
            help="two: it goes flat",
        ),
        Output(
            name="end_stress",
            label="Stress in the end plate",
            unit="MPa",
            help="at the depth planned",
        ),
        Output(
            name="end_deflection",
            label="Deflection of the end plate",
            unit="mm",
            help="inwards, at the centre",
        ),
        Output(
            name="end_deflection_ratio",
            label="Deflection over thickness",
            unit="%",
            digits=2,
            help="of the end plate; up to half, the formulas hold",
            verdict=Verdict(
                better="below",
                limit=plate.LINEAR_BENDING,
                met="small: the formulas hold",
                missed="large: the formulas no longer hold",
                unsure="about where the formulas end",
                missed_level="care",
                source="roark-8",
            ),
        ),
        Output(
            name="other_end_stress",
            label="Stress in the other end",
            unit="MPa",
            help="at the depth planned",
        ),
    ),
    compute=_tube,
    plot=_limits_over_wall,
    drawing=_section,
    remarks=_remarks,
    fills=(
        Fill(
            name="material",
            label="Material of the wall",
            table=CASE_MATERIALS,
            inputs={
                "modulus": "long_term_modulus",
                "poisson": "poisson",
                "working_stress": "working_stress",
            },
        ),
        Fill(
            name="end_material",
            label="Material of the end plate",
            table=CASE_MATERIALS,
            inputs={
                "end_modulus": "long_term_modulus",
                "end_poisson": "poisson",
                "end_working_stress": "working_stress",
            },
        ),
        Fill(
            name="window_material",
            label="Material of the window",
            table=CASE_MATERIALS,
            inputs={"window_poisson": "poisson", "window_working_stress": "working_stress"},
        ),
        WATER_DENSITY_FILL,
    ),
    cautions=(
        Caution(
            title="Prove a tube with water, never with compressed air.",
            text="Air in a tube stores thousands of times the energy of water at the same "
            "pressure: an end that lets go flies like a shot. Lower the empty tube on a line, or "
            "use a pot filled with water to the brim, behind a shield, and never stand in line "
            "with an end. Follow local rules for pressure tests.",
        ),
        Caution(
            title="A tube that has been under water may hold pressure.",
            text="Water that leaked in, gas from cells or warmth can push an end out. Point both "
            "ends away from people, open a vent or a loose screw first, and stay out of line.",
        ),
        Caution(
            title="A window breaks without warning.",
            text="Glass and acrylic break at once, also minutes after the load has gone. No "
            "scratches, no solvents, no metal edge under them; eye protection when you test.",
            when=lambda values, results: values["other_end"] == "window",
        ),
    ),
    in_rig=True,
)
