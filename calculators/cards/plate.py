"""The flat lid of a case under water."""

from math import cos, radians, sin
from typing import Any, Literal

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
from calculators.drawing import Dimension, Drawing, Label, Point, Polygon, Shape, box
from calculators.formulas import plate as formulas
from calculators.tables.case_materials import CASE_MATERIALS
from calculators.units import format_display

MATERIAL_SHOWN = "polycarbonate"
"""The row of the table of materials that the form starts with."""

ROUND = ("round", "round-clamped")
RECTANGULAR = ("rectangle", "rectangle-clamped")
CLAMPED = ("rectangle-clamped", "round-clamped")

THICKEST = 0.1
"""Thickness over the short side up to which the shear in the lid is left out."""

SHOWN = (0.3, 2.0)
"""How far the plot goes to both sides of the thickness given."""

STEEPEST = 15.0
"""Degrees that the drawn lid turns at the most: beyond, its formulas have ended long ago."""

PARTS = 40
"""Parts that each curve is drawn in."""

GROWTH = {"stress": 2, "gap": 3, "bending": 4}
"""What power of the thickness each limit of the depth grows with."""

LOOKS: dict[str, Literal["main", "second", "third"]] = {
    "stress": "main",
    "gap": "second",
    "bending": "third",
}

NAMES = {
    "stress": "Working stress",
    "gap": "Gap at the gasket",
    "bending": "Bending beyond half the thickness",
}


def _lid(
    lid: str,
    length: float,
    width: float,
    diameter: float,
    thickness: float,
    modulus: float,
    poisson: float,
    working_stress: float,
    gasket_offset: float,
    gap_allowed: float,
    depth: float,
    water_density: float,
) -> dict[str, float]:
    pressure = gauge_pressure(depth=depth, water_density=water_density)
    stiffness = formulas.plate_stiffness(modulus=modulus, thickness=thickness, poisson=poisson)
    sides = {"short_side": min(length, width), "long_side": max(length, width)}
    spans = {"diameter": diameter} if lid in ROUND else sides
    bent = {"pressure": pressure, "stiffness": stiffness, **spans}
    stressed = {"pressure": pressure, "thickness": thickness, **spans}
    deflection, stress, slope = _bend(lid, bent, stressed, poisson)
    gap = formulas.gasket_gap(slope=slope, offset=gasket_offset)
    return {
        "depth_limit": formulas.depth_limit(
            depth=depth,
            stress=stress,
            working_stress=working_stress,
            gap=gap,
            gap_allowed=gap_allowed,
            deflection=deflection,
            thickness=thickness,
        ),
        "stress": stress,
        "safety_factor": working_stress / stress,
        "deflection": deflection,
        "deflection_ratio": deflection / thickness,
        "slope": slope,
        "gap": gap,
    }


def _bend(
    lid: str, bent: dict[str, float], stressed: dict[str, float], poisson: float
) -> tuple[float, float, float]:
    """Deflection, stress and turn of the edge."""
    match lid:
        case "round-clamped":
            return (
                formulas.clamped_circle_deflection(**bent),
                formulas.clamped_circle_stress(**stressed),
                0.0,
            )
        case "round":
            return (
                formulas.supported_circle_deflection(**bent, poisson=poisson),
                formulas.supported_circle_stress(**stressed, poisson=poisson),
                formulas.supported_circle_slope(**bent, poisson=poisson),
            )
        case "rectangle-clamped":
            return (
                formulas.clamped_rectangle_deflection(**bent),
                formulas.clamped_rectangle_stress(**stressed),
                0.0,
            )
        case _:
            return (
                formulas.supported_rectangle_deflection(**bent),
                formulas.supported_rectangle_stress(**stressed, poisson=poisson),
                formulas.supported_rectangle_slope(**bent),
            )


def _depths(values: Values, results: Results) -> dict[str, float]:
    """The depth at which each limit is reached, the shallowest first; no gap, no limit from it."""
    used = {
        "stress": results["stress"] / float(values["working_stress"]),
        "gap": results["gap"] / float(values["gap_allowed"]),
        "bending": results["deflection_ratio"] / formulas.LINEAR_BENDING,
    }
    found = {name: float(values["depth"]) / share for name, share in used.items() if share > 0}
    return dict(sorted(found.items(), key=lambda item: item[1]))


def _span(values: Values) -> float:
    """The short side, or the diameter."""
    if values["lid"] in ROUND:
        return float(values["diameter"])
    return min(float(values["length"]), float(values["width"]))


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    depths = _depths(values, results)
    first, *others = (
        f"{NAMES[name].lower()} at {format_display(depth, 'm', 3, system)}"
        for name, depth in depths.items()
    )
    said = [f"What limits the depth first: {first}. Then: {'; '.join(others)}."]
    if results["deflection_ratio"] > formulas.LINEAR_BENDING:
        said.append(
            "The lid bends by more than half its thickness. Here the lid also carries as a skin, "
            "and deflection and stress are no longer in proportion to the depth: take the values "
            "as a sign that it is too thin, not as values."
        )
    if float(values["thickness"]) > THICKEST * _span(values):
        said.append(
            "The lid is thicker than a tenth of its span. Shear, which is left out, adds to the "
            "deflection, in a clamped lid by a fifth or more."
        )
    if values["lid"] in CLAMPED:
        said.append(
            "No real edge is held so that it cannot turn at all: reckon with an edge that rests as "
            "well, and always for the gap at the gasket. A wall beside a wider or thinner side is "
            "bent by that side too, and may bear more at their common edge than either says."
        )
    return said


def _limit_over_thickness(values: Values, results: Results, system: str) -> Plot:
    depth, thickness = float(values["depth"]), float(values["thickness"])
    limit = results["depth_limit"]
    thin, thick = (part * thickness for part in SHOWN)
    top = 2 * max(depth, limit)
    lines = []
    for name, at in _depths(values, results).items():
        points = _power_law(at, GROWTH[name], thickness, thin, thick, top)
        if points:
            lines.append(Line(name=NAMES[name], points=points, kind=LOOKS[name]))
    shown, here = format_display(thickness, "mm", 3, system), format_display(limit, "m", 3, system)
    return Plot(
        title="Depth limit over thickness",
        description=(
            f"Depth at which each limit is reached, for lids from "
            f"{format_display(thin, 'mm', 2, system)} to {format_display(thick, 'mm', 2, system)}. "
            f"The lowest curve counts: {here} at {shown}."
        ),
        x=Axis(label="Thickness", unit="mm", domain=(thin, thick)),
        y=Axis(label="Depth", unit="m", domain=(0, top)),
        lines=lines,
        marks=[(thickness, f"{shown}: {here}")],
        levels=[(depth, "planned")],
    )


def _power_law(
    at: float, power: int, thickness: float, thin: float, thick: float, top: float
) -> list[tuple[float, float]]:
    """A limit that is ``at`` at this thickness, as far as it stays below ``top``."""
    end = min(thick, thickness * (top / at) ** (1 / power))
    if end <= thin:
        return []
    return [(x, min(top, at * (x / thickness) ** power)) for x in steps(thin, end, PARTS)]


def _edge_of_the_lid(values: Values, results: Results, system: str) -> Drawing:
    """Where the lid bears on the rim, enlarged: the point it turns about is the origin."""
    thickness, offset = float(values["thickness"]), float(values["gasket_offset"])
    size = max(thickness, offset)
    turn = radians(min(results["slope"], STEEPEST))
    out, into, seal = -(offset + 0.6 * size), 1.4 * size, 0.3 * size

    def turned(x: float, y: float) -> Point:
        return x * cos(turn) + y * sin(turn), y * cos(turn) - x * sin(turn)

    under_seal = min(-offset + seal / 2, 0.0)
    lid = [turned(out, 0), turned(into, 0), turned(into, thickness), turned(out, thickness)]
    shapes: list[Shape] = [
        box(out, -size, -out, size, "wall", "rim"),
        box(under_seal - seal, -seal, seal, seal, "seal", "gasket"),
        Polygon(points=lid, kind="lid", label="lid"),
        Label(at=(into / 2, -0.6 * size), text="inside"),
    ]
    if offset > 0:
        text = format_display(offset, "mm", 3, system)
        shapes.append(Dimension(start=(-offset, 0), end=(0, 0), text=text, offset=-1.2 * size))
    turns, lifts = (
        format_display(results[name], unit, 3, system)
        for name, unit in (("slope", "°"), ("gap", "mm"))
    )
    more = " It is drawn turned by less than that." if results["slope"] > STEEPEST else ""
    return Drawing(
        title="Edge of the lid, to scale",
        description=(
            f"Section through the rim. The lid bends inwards and turns by {turns} about the inner "
            f"edge of the rim; above the gasket, outside that edge, it lifts by {lifts}.{more}"
        ),
        shapes=shapes,
    )


def _material(column: str, **fields: Any) -> Number:
    """A number of the material that starts with the table's value and spread."""
    return from_table(CASE_MATERIALS.cell(MATERIAL_SHOWN, column), **fields)


LID_UNDER_PRESSURE = Calculator(
    id="lid-under-pressure",
    title="Flat lid under pressure",
    question="How deep may this flat lid go, and what gives first?",
    stage="seal",
    inputs=(
        Choice(
            name="lid",
            label="Lid",
            options=(
                Option(value="rectangle", label="rectangular, resting on its edge"),
                Option(value="round", label="round, resting on its edge"),
                Option(value="rectangle-clamped", label="rectangular, clamped"),
                Option(value="round-clamped", label="round, clamped"),
            ),
            default="rectangle",
            hint="latches, screws or a ring let it turn; a moulded wall is nearly clamped",
            rig="case.lid",
        ),
        Number(
            name="length",
            label="Length between supports",
            unit="mm",
            default="190 mm",
            low="10 mm",
            high="2 m",
            why="a plug to a chest",
            hint="to the line where the lid bears, not to its rim",
            tolerance="±1 mm",
            shown=Shown(input="lid", values=RECTANGULAR),
            rig="case.lid_length",
        ),
        Number(
            name="width",
            label="Width between supports",
            unit="mm",
            default="110 mm",
            low="10 mm",
            high="2 m",
            why="a plug to a chest",
            hint="measured the same way",
            tolerance="±1 mm",
            shown=Shown(input="lid", values=RECTANGULAR),
            rig="case.lid_width",
        ),
        Number(
            name="diameter",
            label="Diameter between supports",
            unit="mm",
            default="100 mm",
            low="10 mm",
            high="2 m",
            why="a plug to a chest",
            hint="of the line where the lid bears",
            tolerance="±1 mm",
            shown=Shown(input="lid", values=ROUND),
            rig="case.lid_diameter",
        ),
        Number(
            name="thickness",
            label="Thickness of the lid",
            unit="mm",
            default="6 mm",
            low="0.5 mm",
            high="100 mm",
            why="sheet to a slab",
            hint="where it is thinnest: a groove counts, ribs do not",
            tolerance="±0.2 mm",
            rig="case.lid_thickness",
        ),
        _material(
            "long_term_modulus",
            name="modulus",
            label="Modulus of the lid",
            unit="GPa",
            low="0.01 GPa",
            high="500 GPa",
            why="soft plastic to hard metal",
            hint="after the time under load, at the temperature there",
            rig="case.lid_modulus",
        ),
        _material(
            "poisson",
            name="poisson",
            label="Poisson's ratio of the lid",
            unit="",
            low="0.15",
            high="0.5",
            why="fused glass to rubber",
            rig="case.lid_poisson",
        ),
        _material(
            "working_stress",
            name="working_stress",
            label="Working stress of the lid",
            unit="MPa",
            low="0.1 MPa",
            high="2000 MPa",
            why="soft plastic to hard steel",
            hint="that the material may bear for as long, with safety in it",
            rig="case.lid_working_stress",
        ),
        Number(
            name="gasket_offset",
            label="From the support out to the gasket",
            unit="mm",
            default="5 mm",
            low="0 mm",
            high="100 mm",
            why="a gasket that is the support to a wide rim",
            hint="zero if the lid bears on the gasket, or outside it",
            tolerance="±1 mm",
            rig="case.gasket_offset",
        ),
        Number(
            name="gap_allowed",
            label="Gap that the gasket can follow",
            unit="mm",
            default="0.3 mm",
            low="0.01 mm",
            high="20 mm",
            why="a flat seal pressed hard to a soft foam",
            hint="its squeeze less the squeeze that it needs",
            rig="case.gap_allowed",
        ),
        DEPTH,
        WATER_DENSITY,
    ),
    outputs=(
        Output(
            name="depth_limit",
            label="Depth limit",
            unit="m",
            help="the shallowest of the limits; the remarks say which",
            verdict=Verdict(
                better="above",
                limit="depth",
                met="deeper than the {limit} planned",
                missed="shallower than the {limit} planned: thicker, stiffer, or a smaller opening",
                unsure="may be shallower than the {limit} planned",
                source="your own limits",
                ends=True,
            ),
        ),
        Output(
            name="stress",
            label="Largest bending stress",
            unit="MPa",
            help="supported: centre, inside face; clamped: middle of the long edges",
        ),
        Output(
            name="safety_factor",
            label="Working stress over stress",
            unit="",
            help="the working stress has safety in it already",
            verdict=Verdict(
                better="above",
                limit=1.0,
                met="within the working stress",
                missed="beyond the working stress",
                unsure="about at the working stress",
                source="the working stress, as entered",
                in_rig=False,
            ),
        ),
        Output(
            name="deflection",
            label="Deflection of the centre",
            unit="mm",
            help="inwards: keep it clear of what lies below the lid",
        ),
        Output(
            name="deflection_ratio",
            label="Deflection over thickness",
            unit="%",
            digits=2,
            help="up to half, the formulas hold",
            verdict=Verdict(
                better="below",
                limit=formulas.LINEAR_BENDING,
                met="small: the formulas hold",
                missed="large: the formulas no longer hold",
                unsure="about where the formulas end",
                missed_level="care",
                source="roark-8",
                in_rig=False,
            ),
        ),
        Output(
            name="slope",
            label="Turn of the edge",
            unit="°",
            help="in the middle of the long edges; none where it is clamped",
        ),
        Output(
            name="gap",
            label="Gap at the gasket",
            unit="mm",
            help="by which the lid lifts off the gasket as it bends",
            verdict=Verdict(
                better="below",
                limit="gap_allowed",
                met="the gasket follows",
                missed="more than the gasket can follow",
                unsure="about what the gasket can follow",
                source="your own limit",
                in_rig=False,
            ),
        ),
    ),
    compute=_lid,
    plot=_limit_over_thickness,
    drawing=_edge_of_the_lid,
    remarks=_remarks,
    fills=(
        Fill(
            name="material",
            label="Material",
            table=CASE_MATERIALS,
            inputs={
                "modulus": "long_term_modulus",
                "poisson": "poisson",
                "working_stress": "working_stress",
            },
        ),
        WATER_DENSITY_FILL,
    ),
    cautions=(
        Caution(
            title="Never try a lid with compressed air.",
            text="Air in a case stores thousands of times the energy of water at the same "
            "pressure: a lid that lets go can kill. Prove a lid empty in water at depth, on a "
            "line; water pumped inside tries the latches, not the lid. Vacuum only behind a "
            "shield, with eye protection. "
            "Follow local rules for pressure tests.",
        ),
        Caution(
            title="A brittle lid gives no warning.",
            text="Glass, acrylic and scratched or solvent-touched plastics break at once, under "
            "load or minutes later. Keep your face away from it, also when it comes up: pressure "
            "may be inside.",
        ),
    ),
    in_rig=True,
)
