"""Calculator of an O-ring in its groove."""

from math import cos, pi, sin, sqrt

from calculators.cards.common import from_table
from calculators.cards.curves import steps
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
from calculators.drawing import Dimension, Drawing, Ellipse, Kind, Label, Point, Polygon, Shape, box
from calculators.errors import InputError
from calculators.formulas.gland import (
    fill,
    hot_fill,
    measured_section,
    section_at,
    squeeze,
    stretch,
    stretched_section,
)
from calculators.tables.elastomers import ELASTOMERS
from calculators.tables.o_rings import O_RINGS, SQUEEZE_LIMITS
from calculators.units import format_display

FACE = ("face-outside", "face-inside")
RADIAL = ("piston", "rod")
ON_INNER_WALL = ("face-outside", "piston")
"""The ring lies around something; in the other two seals it lies within something."""

RING_SHOWN, RUBBER_SHOWN, LIMITS_SHOWN = "262", "nbr", "face"
"""The rows of the tables that the form starts with."""

MOST_STRETCH, MOST_CROWDING, MOST_FILL = 0.05, 0.03, 0.85

SQUEEZE_TO_SPARE = 0.05
"""So far within a limit of squeeze is ample: half of what most published limits lie apart."""

ROOM_TO_SPARE = 0.1
"""So much of the groove left is ample: three quarters full against the most that is published."""

WIDEST_GAP = 0.38e-3
"""Against which a ring of 70 Shore A is not pressed into the gap, up to 3.4 MPa, m."""

FARTHEST_DRAWN = 2.0
"""In groove and ring together: what lies farther away would leave the ring a dot."""

SECTIONS = (1.78e-3, 2.62e-3, 3.53e-3, 5.33e-3, 6.99e-3)
"""What rings are made in, m."""


def _gaps(seal: str, gap: float, bore: float, plug: float) -> tuple[float, float, float]:
    """What the gap adds to the groove's depth: least, as drawn, most; a plug may lie aside."""
    if seal in FACE:
        return gap, gap, gap
    if plug >= bore:
        given = format_display(bore, "mm", 5, "metric")
        raise InputError(
            "plug_diameter",
            f"Diameter of the plug or rod: it does not go into a bore of {given}. "
            f"Give less than {given}.",
        )
    return 0.0, (bore - plug) / 2, bore - plug


def _require_order(coldest: float, hottest: float) -> None:
    if coldest > hottest:
        most = format_display(hottest, "°C", 3, "metric")
        raise InputError("coldest", f"Coldest temperature: above the hottest. Give at most {most}.")


def _wall(
    seal: str, groove_depth: float, groove_diameter: float, bore: float, plug: float
) -> float:
    """Diameter of what the ring lies on."""
    if seal in FACE:
        return groove_diameter
    if seal == "rod":
        return bore + 2 * groove_depth
    if plug <= 2 * groove_depth:
        most = format_display(plug / 2, "mm", 3, "metric")
        raise InputError(
            "groove_depth", f"Depth of the groove: it cuts the plug through. Give less than {most}."
        )
    return plug - 2 * groove_depth


def _fit(seal: str, inner: float, section: float, wall: float) -> tuple[float, float]:
    """Stretch, and what of it strains the ring: a loose one is not strained."""
    if seal in ON_INNER_WALL:
        found = stretch(free_diameter=inner, fitted_diameter=wall)
        return found, max(found, 0.0)
    found = stretch(free_diameter=inner + 2 * section, fitted_diameter=wall)
    return found, min(found, 0.0)


def _o_ring_gland(
    seal: str,
    ring_inner_diameter: float,
    ring_section: float,
    groove_depth: float,
    groove_width: float,
    groove_diameter: float,
    gap: float,
    bore_diameter: float,
    plug_diameter: float,
    expansion: float,
    swell: float,
    measured_at: float,
    coldest: float,
    hottest: float,
    least_squeeze: float,
    most_squeeze: float,
) -> dict[str, float]:
    _require_order(coldest, hottest)
    least_gap, mean_gap, most_gap = _gaps(seal, gap, bore_diameter, plug_diameter)
    wall = _wall(seal, groove_depth, groove_diameter, bore_diameter, plug_diameter)
    fitted, strain = _fit(seal, ring_inner_diameter, ring_section, wall)
    lying = stretched_section(section=ring_section, stretch=strain)
    cold = section_at(
        section=ring_section, expansion=expansion, measured_at=measured_at, temperature=coldest
    )
    lowest = (
        measured_section(section=cold, stretch=strain)
        if seal in ON_INNER_WALL
        else stretched_section(section=cold, stretch=strain)
    )
    depth = groove_depth + mean_gap
    filled = fill(section=lying, groove_width=groove_width, gland_depth=depth)
    slack = -fitted if seal in ON_INNER_WALL else fitted
    return {
        "squeeze_least": squeeze(section=lowest, gland_depth=groove_depth + most_gap),
        "squeeze_nominal": squeeze(section=lying, gland_depth=depth),
        "squeeze_most": squeeze(section=lying, gland_depth=groove_depth + least_gap),
        "groove_fill": filled,
        "groove_fill_hot": hot_fill(
            fill=filled,
            swell=swell,
            expansion=expansion,
            measured_at=measured_at,
            temperature=hottest,
        ),
        "ring_stretch": max(0.0, strain),
        "ring_crowding": max(0.0, -strain),
        "ring_slack": max(0.0, slack),
        "widest_gap": most_gap,
    }


def _answer(values: Values, **changed: float) -> dict[str, float]:
    return _o_ring_gland(**{**values, **changed})  # type: ignore[arg-type]


def _mean_depth(values: Values) -> float:
    """From the groove's floor to the face opposite, a plug in the middle of its bore."""
    seal, depth = str(values["seal"]), float(values["groove_depth"])
    gap, bore, plug = (float(values[n]) for n in ("gap", "bore_diameter", "plug_diameter"))
    return depth + _gaps(seal, gap, bore, plug)[1]


def _over_section(values: Values, results: Results, system: str) -> Plot:
    depth, section = _mean_depth(values), float(values["ring_section"])
    low, high = 0.8 * min(depth, section), 1.8 * max(depth, section)
    sections = steps(low, high, 40)
    answers = [_answer(values, ring_section=x) for x in sections]
    least, most = float(values["least_squeeze"]), float(values["most_squeeze"])
    shown = format_display(section, "mm", 3, system)
    nominal = format_display(results["squeeze_nominal"], "%", 3, system)
    return Plot(
        title="Squeeze over the section of the ring",
        description=(
            f"A thicker ring is squeezed more. This one, {shown} thick, is squeezed by {nominal} "
            "in the groove as drawn; cold, stretched and with a plug that lies aside it is less."
        ),
        x=Axis(label="Section of the ring", unit="mm", domain=(low, high)),
        y=Axis(label="Squeeze", unit="%", domain=(-0.1, 0.6)),
        lines=[
            Line(name="As drawn", points=_within(sections, answers, "squeeze_nominal")),
            Line(name="Least", points=_within(sections, answers, "squeeze_least"), kind="second"),
            Line(name="Most", points=_within(sections, answers, "squeeze_most"), kind="third"),
        ],
        marks=[(section, f"this ring, {shown}")],
        levels=[(least, "least wanted"), (most, "most allowed")],
    )


def _within(
    sections: list[float], answers: list[dict[str, float]], output: str
) -> list[tuple[float, float]]:
    """The part of the curve that the picture shows."""
    points = [(x, a[output]) for x, a in zip(sections, answers, strict=True)]
    return [(x, y) for x, y in points if -0.1 <= y <= 0.6]


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    seal = str(values["seal"])
    said = [_PUSHED[seal]]
    if seal in RADIAL:
        deep = float(values["groove_depth"])
        ends = (deep, deep + results["widest_gap"])
        tight, loose = (format_display(x, "mm", 3, system) for x in ends)
        said.append(
            f"Where the plug lies against the bore the gland is {tight} deep, opposite {loose}: "
            "least and most squeeze are for these two, not for a plug in the middle."
        )
    said.append(_other_ring(values, system))
    return said


_PUSHED = {
    "face-outside": "Water from outside pushes the ring against the inner wall of the groove, "
    "and the lid down on it: the seal gets tighter until the lid bends away.",
    "face-inside": "Pressure from inside pushes the ring against the outer wall and the lid up: "
    "nothing but the latches or screws holds the squeeze.",
    "piston": "Pressure pushes the ring along the plug, against the side of the groove: "
    "the squeeze stays, whatever the pressure does.",
    "rod": "Pressure pushes the ring along the rod, against the side of the groove: "
    "the squeeze stays, whatever the pressure does.",
}


def _other_ring(values: Values, system: str) -> str:
    """Which section would lie in the middle of the limits, if the groove must stay as it is."""
    wanted = (float(values["least_squeeze"]) + float(values["most_squeeze"])) / 2
    section = _mean_depth(values) / (1 - wanted)
    nearest = min(SECTIONS, key=lambda x: abs(x - section))
    middle, thick, made = (
        format_display(x, unit, 3, system)
        for x, unit in ((wanted, "%"), (section, "mm"), (nearest, "mm"))
    )
    return (
        f"If the groove must stay: {middle}, the middle of the limits, asks for a ring {thick} "
        f"thick, before it is stretched. Of the common sections {made} is nearest."
    )


def _round_box(left: float, width: float, height: float, radius: float) -> list[Point]:
    """Outline of a box on the floor with round corners."""
    corners = (
        (left + width - radius, radius, -pi / 2),
        (left + width - radius, height - radius, 0.0),
        (left + radius, height - radius, pi / 2),
        (left + radius, radius, pi),
    )
    return [
        (x + radius * cos(start + k * pi / 12), y + radius * sin(start + k * pi / 12))
        for x, y, start in corners
        for k in range(7)
    ]


def _ring(section: float, depth: float, groove_width: float, to_the_right: bool) -> Shape:
    """The squeezed ring, its area kept: flat above and below, round at its sides while it can."""
    if depth >= section:
        x = groove_width - section / 2 if to_the_right else section / 2
        return Ellipse(centre=(x, section / 2), rx=section / 2, ry=section / 2, kind="seal")
    area = pi * section**2 / 4
    width = depth + (area - pi * depth**2 / 4) / depth
    radius = depth / 2
    if width > groove_width:  # it touches both walls and fills the corners
        width = groove_width
        radius = min(sqrt(max(width * depth - area, 0.0) / (4 - pi)), depth / 2, width / 2)
    left = groove_width - width if to_the_right else 0.0
    return Polygon(points=_round_box(left, width, depth, radius), kind="seal")


_PARTS: dict[str, tuple[Kind, Kind, str, str]] = {
    "face-outside": ("wall", "lid", "case", "lid"),
    "face-inside": ("wall", "lid", "case", "lid"),
    "piston": ("plug", "wall", "plug", "bore"),
    "rod": ("wall", "plug", "bore", "rod"),
}
"""Kinds and names of the part with the groove and of the one opposite."""


def _section_of_gland(values: Values, results: Results, system: str) -> Drawing:
    seal = str(values["seal"])
    deep, wide = float(values["groove_depth"]), float(values["groove_width"])
    depth = _mean_depth(values)
    strain = results["ring_stretch"] - results["ring_crowding"]
    section = float(values["ring_section"]) / sqrt(1 + strain)
    side = max(wide, section)
    face = min(depth, FARTHEST_DRAWN * (deep + section))
    base, top, grooved, opposite = _PARTS[seal]
    lengths = {"depth": depth, "groove": deep, "width": wide, "section": section}
    text = {name: format_display(x, "mm", 3, system) for name, x in lengths.items()}
    outline = (
        (-side, -side / 2),
        (wide + side, -side / 2),
        (wide + side, deep),
        (wide, deep),
        (wide, 0.0),
        (0.0, 0.0),
        (0.0, deep),
        (-side, deep),
    )
    above = face + side / 2
    inside, outside = ("pressure", "") if seal == "face-inside" else ("inside", "water")
    shapes: list[Shape] = [
        Polygon(points=outline, kind=base),
        box(-side, face, wide + 2 * side, side / 2, top),
        _ring(section, depth, wide, seal == "face-inside"),
        Dimension(start=(0, 0), end=(wide, 0), text=text["width"], offset=-0.75 * side),
        Dimension(start=(wide, 0), end=(wide, deep), text=text["groove"], offset=-1.25 * side),
        Dimension(start=(0, 0), end=(0, face), text=text["depth"], offset=1.25 * side),
        Label(at=(wide / 2, face + side / 4), text=opposite),
        Label(at=(-side / 2, deep / 2), text=grooved),
        Label(at=(-side, above + side / 8), text=inside, anchor="start"),
    ]
    if outside:
        shapes.append(Label(at=(wide + side, above + side / 8), text=outside, anchor="end"))
    return Drawing(
        title="The ring in its gland",
        description=(
            f"Section through the gland. The groove is {text['width']} wide and {text['groove']} "
            f"deep; from its floor to the face opposite it is {text['depth']}. The ring, "
            f"{text['section']} thick as it lies in the groove, keeps its area when squeezed."
            + ("" if face == depth else f" The {opposite} is farther away than drawn.")
        ),
        shapes=shapes,
    )


def _ring_number(column: str, **fields: str) -> Number:
    return from_table(O_RINGS.cell(RING_SHOWN, column), unit="mm", **fields)


O_RING_GLAND = Calculator(
    id="o-ring-gland",
    title="O-ring and its groove",
    question="Is this ring squeezed enough in this groove, and not too much?",
    stage="seal",
    inputs=(
        Choice(
            name="seal",
            label="Seal",
            options=(
                Option(value="face-outside", label="face: lid on case, water outside"),
                Option(value="face-inside", label="face: pressure inside"),
                Option(value="piston", label="radial: ring on a plug, in a bore"),
                Option(value="rod", label="radial: ring in a bore, around a rod"),
            ),
            default="face-outside",
            rig="seals.gland_seal",
        ),
        _ring_number(
            "inner_diameter",
            name="ring_inner_diameter",
            label="Inner diameter of the ring",
            low="1 mm",
            high="700 mm",
            why="the smallest rings to those of large hatches",
            hint="lying free, not stretched",
            rig="seals.gland_ring_inner_diameter",
        ),
        _ring_number(
            "section",
            name="ring_section",
            label="Section of the ring",
            low="0.8 mm",
            high="12 mm",
            why="the thinnest to the thickest common rings",
            hint="its thickness, lying free",
            rig="seals.gland_ring_section",
        ),
        Number(
            name="groove_depth",
            label="Depth of the groove",
            unit="mm",
            default="2.5 mm",
            low="0.3 mm",
            high="12 mm",
            why="for the thinnest to the thickest common rings",
            hint="in its own part, without the gap",
            tolerance="±0.05 mm",
            rig="seals.gland_groove_depth",
        ),
        Number(
            name="groove_width",
            label="Width of the groove",
            unit="mm",
            default="5 mm",
            low="0.5 mm",
            high="40 mm",
            why="for the thinnest rings to a wide trough",
            tolerance="±0.1 mm",
            rig="seals.gland_groove_width",
        ),
        Number(
            name="groove_diameter",
            label="Diameter of the wall that the ring lies on",
            unit="mm",
            default="182.8 mm",
            low="1 mm",
            high="750 mm",
            why="as the rings",
            hint="water outside: inner wall; inside: outer wall; not round: length around, over π",
            tolerance="±0.3 mm",
            shown=Shown(input="seal", values=FACE),
            rig="seals.gland_groove_diameter",
        ),
        Number(
            name="gap",
            label="Gap between lid and case at the ring",
            unit="mm",
            default="0.05 mm",
            low="0 mm",
            high="5 mm",
            why="metal on metal to a lid on a foam strip",
            hint="closed, as it bends; paper or feeler gauge",
            tolerance="±0.05 mm",
            shown=Shown(input="seal", values=FACE),
            rig="seals.gland_gap",
        ),
        Number(
            name="bore_diameter",
            label="Diameter of the bore",
            unit="mm",
            default="100 mm",
            low="2 mm",
            high="750 mm",
            why="as the rings",
            tolerance="±0.05 mm",
            shown=Shown(input="seal", values=RADIAL),
            rig="seals.gland_bore_diameter",
        ),
        Number(
            name="plug_diameter",
            label="Diameter of the plug or rod",
            unit="mm",
            default="99.8 mm",
            low="1 mm",
            high="750 mm",
            why="as the rings",
            hint="beside the groove",
            tolerance="±0.05 mm",
            shown=Shown(input="seal", values=RADIAL),
            rig="seals.gland_plug_diameter",
        ),
        from_table(
            ELASTOMERS.cell(RUBBER_SHOWN, "expansion"),
            name="expansion",
            label="Thermal expansion of the rubber",
            unit="ppm/K",
            low="0 ppm/K",
            high="400 ppm/K",
            why="none to beyond silicone",
            rig="seals.gland_ring_expansion",
        ),
        from_table(
            ELASTOMERS.cell(RUBBER_SHOWN, "swell"),
            name="swell",
            label="Swell of the rubber",
            unit="%",
            low="0 %",
            high="100 %",
            why="dry to ruined by a wrong grease",
            hint="of its volume, in water or grease",
            rig="seals.gland_ring_swell",
        ),
        Number(
            name="measured_at",
            label="Temperature when measured and closed",
            unit="°C",
            default="20 °C",
            low="-20 °C",
            high="40 °C",
            why="work in frost to work in the sun",
            rig="seals.gland_measured_temperature",
        ),
        Number(
            name="coldest",
            label="Coldest temperature",
            unit="°C",
            default="0 °C",
            low="-40 °C",
            high="60 °C",
            why="a winter night to a hot pool",
            rig="site.coldest_temperature",
        ),
        Number(
            name="hottest",
            label="Hottest temperature",
            unit="°C",
            default="50 °C",
            low="-20 °C",
            high="120 °C",
            why="under ice to a closed car in the sun, and beyond",
            rig="site.hottest_temperature",
        ),
        Number(
            name="least_squeeze",
            label="Least squeeze wanted",
            unit="%",
            default=SQUEEZE_LIMITS.cell(LIMITS_SHOWN, "least").value,
            low="0 %",
            high="40 %",
            why="a touch to a tight face seal",
            hint="only judges the answer",
            rig="seals.gland_least_squeeze",
        ),
        Number(
            name="most_squeeze",
            label="Most squeeze allowed",
            unit="%",
            default=SQUEEZE_LIMITS.cell(LIMITS_SHOWN, "most").value,
            low="5 %",
            high="60 %",
            why="a moving seal to what flattens a ring for good",
            hint="only judges the answer",
            rig="seals.gland_most_squeeze",
        ),
    ),
    outputs=(
        Output(
            name="squeeze_least",
            label="Squeeze, least",
            unit="%",
            help="coldest, section lost to stretch, a plug that lies aside",
            verdict=Verdict(
                better="above",
                limit="least_squeeze",
                met="above the {limit} wanted",
                missed="below the {limit} wanted: it may leak",
                unsure="may fall below the {limit} wanted",
                source="oring-notes",
                ends=True,
                ample=SQUEEZE_TO_SPARE,
            ),
        ),
        Output(
            name="squeeze_nominal",
            label="Squeeze as drawn",
            unit="%",
            help="at the temperature of measuring, a plug in the middle",
        ),
        Output(
            name="squeeze_most",
            label="Squeeze, most",
            unit="%",
            help="where a plug lies against the bore",
            verdict=Verdict(
                better="below",
                limit="most_squeeze",
                met="below the {limit} allowed",
                missed="above the {limit} allowed: hard to close, and the ring goes flat",
                unsure="may exceed the {limit} allowed",
                missed_level="care",
                source="oring-notes",
                ample=SQUEEZE_TO_SPARE,
            ),
        ),
        Output(
            name="groove_fill",
            label="Groove filled, as closed",
            unit="%",
            help="section of the ring over that of the gland",
            verdict=Verdict(
                better="below",
                limit=MOST_FILL,
                met="leaves room",
                missed="more than {limit}: little room is left for swell and heat",
                unsure="may exceed {limit}: little room for swell and heat",
                missed_level="care",
                source="oring-notes",
                ample=ROOM_TO_SPARE,
            ),
        ),
        Output(
            name="groove_fill_hot",
            label="Groove filled, hot and swollen",
            unit="%",
            verdict=Verdict(
                better="below",
                limit=1.0,
                met="has room at its hottest",
                missed="more than full: the ring lifts the lid or is cut at the gap",
                unsure="may be more than full: the ring then lifts the lid or is cut at the gap",
                source="common practice, no source",
                ends=True,
                ample=ROOM_TO_SPARE,
            ),
        ),
        Output(
            name="ring_stretch",
            label="Ring stretched by",
            unit="%",
            help="around an inner wall or a plug",
            verdict=Verdict(
                better="below",
                limit=MOST_STRETCH,
                met="at most {limit}",
                missed="more than {limit}: thinner, and it ages faster",
                unsure="may exceed {limit}: thinner, and it ages faster",
                missed_level="care",
                source="seal-guide-dimensions",
            ),
        ),
        Output(
            name="ring_crowding",
            label="Ring pressed together by",
            unit="%",
            help="within an outer wall or a bore",
            verdict=Verdict(
                better="below",
                limit=MOST_CROWDING,
                met="at most {limit}",
                missed="more than {limit}: it may buckle out of the groove",
                unsure="may exceed {limit}: it may buckle out of the groove",
                missed_level="care",
                source="oring-notes",
            ),
        ),
        Output(
            name="ring_slack",
            label="Slack of the ring",
            unit="%",
            help="what is missing for it to touch the wall that it should lie on",
            verdict=Verdict(
                better="below",
                limit=0.0,
                met="lies snug",
                missed="lies loose: it may slip out and be pinched while you close",
                unsure="may lie loose, and be pinched while you close",
                missed_level="care",
                source="common practice, no source",
                ample=MOST_STRETCH,
                in_rig=False,
            ),
        ),
        Output(
            name="widest_gap",
            label="Widest gap beside the ring",
            unit="mm",
            help="all of the play on one side",
            verdict=Verdict(
                better="below",
                limit=WIDEST_GAP,
                met="narrow enough for a ring of 70 Shore A down to 300 m",
                missed="wider than {limit}: a soft ring is pushed into it at depth",
                unsure="may be wider than {limit}: a soft ring is pushed into it at depth",
                missed_level="care",
                source="oring-chapter",
            ),
        ),
    ),
    compute=_o_ring_gland,
    plot=_over_section,
    drawing=_section_of_gland,
    remarks=_remarks,
    fills=(
        Fill(
            name="ring",
            label="Ring, AS568",
            table=O_RINGS,
            inputs={"ring_inner_diameter": "inner_diameter", "ring_section": "section"},
        ),
        Fill(
            name="rubber",
            label="Rubber",
            table=ELASTOMERS,
            inputs={"expansion": "expansion", "swell": "swell"},
        ),
        Fill(
            name="limits",
            label="Published limits of squeeze",
            table=SQUEEZE_LIMITS,
            inputs={"least_squeeze": "least", "most_squeeze": "most"},
        ),
    ),
    cautions=(
        Caution(
            title="Compressed air throws rings, lids and grit.",
            text="Never blow a ring out of its groove or dry a case with a jet: eyes are lost that "
            "way. Compressed air in a closed case can kill: test a seal with water or vacuum "
            "first, and follow local rules.",
        ),
    ),
    in_rig=True,
)
