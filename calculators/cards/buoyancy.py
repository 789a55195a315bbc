"""Does the rig sink, how heavily does it sit, which way up, and what is it to lift?"""

from dataclasses import replace
from typing import Any

from calculators.cards.common import from_table
from calculators.cards.dive import WATER_DENSITY, WATER_DENSITY_FILL
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Choice,
    Fill,
    Group,
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
from calculators.errors import InputError
from calculators.formulas import buoyancy
from calculators.formulas.constants import GRAVITY
from calculators.formulas.resin import part_volume
from calculators.tables.ballast import BALLAST
from calculators.tables.waters import WATERS
from calculators.units import format_display

Row = dict[str, Any]

MOST_PARTS = 8
"""As many rows as a link has room for."""

WEIGHT_TO_SPARE = 0.2
"""So much in water is ample, kg: what seven litres lose from fresh water to the sea."""

ARM_TO_SPARE = 0.01
"""So far between the centres is ample, m: more than heights are measured wrong by."""

MOMENT_TO_SPARE = 0.005
"""For a tilt of 1°, N·m: three kilograms with that arm."""

BALLAST_DENSITY = from_table(
    BALLAST.cell("steel", "density"),
    name="ballast_density",
    label="Density of the ballast",
    unit="kg/m³",
    low="1100 kg/m³",
    high="22000 kg/m³",
    why="heavy plastic to gold",
    hint="of the material itself, without air in it",
    rig="ballast.density",
)


def _volume(row: Row) -> float:
    """What a part displaces outside the case."""
    if row["part_known_by"] == "inside":
        return 0.0
    if row["part_known_by"] == "density":
        return part_volume(mass=row["part_mass"], density=row["part_density"])
    return float(row["part_volume"])


def _ballast(
    part: list[Row],
    water_density: float,
    other_water_density: float,
    wanted_weight: float,
    ballast_density: float,
    ballast_height: float,
    free_volume: float,
    hold_height: float,
    lift_limit: float,
) -> dict[str, float]:
    volumes = [_volume(row) for row in part]
    parts_mass, parts_volume = sum(row["part_mass"] for row in part), sum(volumes)
    present = buoyancy.weight_in_water(
        mass=parts_mass, volume=parts_volume, water_density=water_density
    )
    added = buoyancy.ballast_mass(
        wanted_weight=wanted_weight,
        present_weight=present,
        water_density=water_density,
        ballast_density=ballast_density,
    )
    fixed = max(added, 0.0)  # what is too heavy already has no ballast that could come off
    mass, volume = parts_mass + fixed, parts_volume + fixed / ballast_density
    if volume <= 0:
        raise InputError(
            "part_known_by",
            "Displaces water: no part does. Give the closed case as one, by its outer volume.",
        )
    heavy = sum(row["part_mass"] * row["part_height"] for row in part) + fixed * ballast_height
    lifting = sum(v * row["part_height"] for v, row in zip(volumes, part, strict=True))
    lifting += fixed / ballast_density * ballast_height
    weight = max(wanted_weight, present)
    other = buoyancy.weight_in_water(mass=mass, volume=volume, water_density=other_water_density)
    gravity_height = buoyancy.centre_height(moment=GRAVITY * heavy, force=GRAVITY * mass)
    buoyancy_height = buoyancy.centre_height(
        moment=GRAVITY * water_density * lifting,
        force=GRAVITY * water_density * volume,
    )
    return {
        "ballast_mass": added,
        "ballast_volume": fixed / ballast_density,
        "present_weight": present,
        "weight": weight,
        "other_weight": other,
        "other_reserve": -other if wanted_weight < 0 else other + 0.0,
        "displaced_volume": volume,
        "dry_mass": mass,
        "righting_arm": buoyancy_height - gravity_height,
        "righting_moment": buoyancy.righting_moment(
            displaced_mass=water_density * volume,
            buoyancy_height=buoyancy_height,
            mass=mass,
            gravity_height=gravity_height,
            hold_height=hold_height,
            tilt=1.0,
        ),
        "flooded_weight": buoyancy.flooded_weight(
            weight=weight, free_volume=free_volume, water_density=water_density
        ),
        "flooded_mass": buoyancy.flooded_weight(
            weight=mass, free_volume=free_volume, water_density=water_density
        ),
    }


def _over_density(values: Values, results: Results, system: str) -> Plot:
    mass, volume = results["dry_mass"], results["displaced_volume"]
    added_volume = results["ballast_volume"]
    bare_mass = mass - added_volume * float(values["ballast_density"])
    bare_volume = volume - added_volume
    waters = (float(values["water_density"]), float(values["other_water_density"]))
    domain = (min(990.0, *waters), max(1035.0, *waters))
    densities = [domain[0] + (domain[1] - domain[0]) * i / 20 for i in range(21)]
    with_ballast = [(rho, mass - rho * volume) for rho in densities]
    without = [(rho, bare_mass - rho * bare_volume) for rho in densities]
    ends = [y for _, y in (*with_ballast, *without)]
    room = 0.1 * max(max(ends) - min(ends), 1e-6)
    here = format_display(results["weight"], "kg", 3, system)
    there = format_display(results["other_weight"], "kg", 3, system)
    return Plot(
        title="Weight in water over density",
        description=(
            "What a balance shows under water falls in a straight line as the water gets denser: "
            f"{here} with the ballast in the water that it is made for, {there} in the other. "
            "Below zero it floats."
        ),
        x=Axis(label="Density of the water", unit="kg/m³", domain=domain),
        y=Axis(
            label="Weight in water",
            unit="kg",
            domain=(min(0.0, *ends) - room, max(0.0, *ends) + room),
        ),
        lines=[
            Line(name="With ballast", points=with_ballast),
            Line(name="Without", points=without, kind="second"),
        ],
        marks=[(waters[0], "this water"), (waters[1], "the other")],
        levels=[(0.0, "neither sinks nor floats")],
    )


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    said = []
    if results["ballast_mass"] < 0:
        off = format_display(-results["ballast_mass"], "kg", 3, system)
        said.append(
            f"It is heavier than wanted without any ballast, as if {off} of it were too much: "
            "take out what you can spare, or add something that floats as a part. All else here "
            "is for the rig as it is, without ballast."
        )
    change = results["other_weight"] - results["weight"]
    if change:
        by = format_display(abs(change), "kg", 3, system)
        word = "less" if change < 0 else "more"
        said.append(f"In the other water it weighs {by} {word}.")
    if (results["righting_arm"] > 0) != (results["righting_moment"] > 0):
        said.append(
            "Held at the height given it turns the other way than when it floats free: the line "
            "decides, not the centres alone."
        )
    return said


BALLAST_CARD = Calculator(
    id="ballast",
    title="Ballast",
    question="Does it sink, with how much ballast, which way up, and what is it to lift?",
    stage="deploy",
    groups=(Group(name="part", label="Part", most=MOST_PARTS),),
    inputs=(
        Number(
            name="part_mass",
            label="Mass in air",
            group="part",
            unit="kg",
            default="1.5 kg",
            low="1 g",
            high="1000 kg",
            why="a screw to a winch",
            hint="on a balance; the closed case with all in it may be one part",
            tolerance="±1 %",
            rig="ballast.part.mass",
        ),
        Choice(
            name="part_known_by",
            label="Displaces water",
            group="part",
            options=(
                Option(value="volume", label="as much as its volume"),
                Option(value="density", label="by its density"),
                Option(value="inside", label="none: it is inside the case"),
            ),
            default="volume",
            rig="ballast.part.known_by",
        ),
        Number(
            name="part_volume",
            label="Outer volume",
            group="part",
            unit="L",
            default="2.3 L",
            low="0.1 mL",
            high="1000 L",
            why="a screw to a large float",
            hint="of a closed case with the air inside; by a bucket, or outer dimensions",
            tolerance="±2 %",
            shown=Shown(input="part_known_by", values=("volume",)),
            rig="ballast.part.volume",
        ),
        Number(
            name="part_density",
            label="Density of the part",
            group="part",
            unit="kg/m³",
            default="1200 kg/m³",
            low="20 kg/m³",
            high="22000 kg/m³",
            why="foam to gold",
            tolerance="±5 %",
            shown=Shown(input="part_known_by", values=("density",)),
            rig="ballast.part.density",
        ),
        Number(
            name="part_height",
            label="Height of its centre",
            group="part",
            unit="mm",
            default="45 mm",
            low="-10 m",
            high="10 m",
            why="far below to far above",
            hint="above the lowest face of the case, as it is to lie",
            rig="ballast.part.height",
        ),
        WATER_DENSITY,
        replace(
            from_table(
                WATERS.cell("sea-10", "density"),
                name="other_water_density",
                label="Density of another water",
                unit="kg/m³",
                low=WATER_DENSITY.low,
                high=WATER_DENSITY.high,
                why=WATER_DENSITY.why,
                rig="ballast.other_water_density",
            ),
            hint="where it might go next, or when it is colder",
        ),
        Number(
            name="wanted_weight",
            label="Weight wanted in water",
            unit="kg",
            default="0.5 kg",
            low="-100 kg",
            high="1000 kg",
            why="a strong float to a large anchor",
            hint="as a balance shows it; below zero to float",
            rig="ballast.wanted_weight",
        ),
        BALLAST_DENSITY,
        Number(
            name="ballast_height",
            label="Height of the ballast's centre",
            unit="mm",
            default="-10 mm",
            low="-100 m",
            high="10 m",
            why="on a line far below, to a lid",
            hint="above the lowest face of the case: below zero under it",
            rig="ballast.height",
        ),
        Number(
            name="free_volume",
            label="Free air in the case",
            unit="L",
            default="1.2 L",
            low="0 L",
            high="1000 L",
            why="potted solid to a barrel",
            hint="that water would fill",
            tolerance="±5 %",
            rig="case.free_volume",
        ),
        Number(
            name="hold_height",
            label="Height at which the line holds it",
            unit="mm",
            default="100 mm",
            low="-10 m",
            high="10 m",
            why="a bridle far below, to one far above",
            hint="where all legs of the bridle meet",
            rig="ballast.hold_height",
        ),
        Number(
            name="lift_limit",
            label="Most that you can lift",
            unit="kg",
            default="10 kg",
            low="0.1 kg",
            high="10000 kg",
            why="two fingers to a crane",
            hint="over the side of your boat or bank; only judges the answer",
            rig="ballast.lift_limit",
        ),
    ),
    fills=(
        WATER_DENSITY_FILL,
        Fill(
            name="other_water",
            label="Another water",
            table=WATERS,
            inputs={"other_water_density": "density"},
        ),
        Fill(
            name="ballast",
            label="Ballast",
            table=BALLAST,
            inputs={"ballast_density": "density"},
        ),
    ),
    outputs=(
        Output(
            name="ballast_mass",
            label="Ballast",
            unit="kg",
            help="weighed in air; outside the case",
            verdict=Verdict(
                better="above",
                limit=0.0,
                met="to be added",
                missed="below zero: it is too heavy already",
                unsure="about none: weigh it in water",
                source="your own limit",
                missed_level="care",
                ample=WEIGHT_TO_SPARE,
            ),
        ),
        Output(
            name="present_weight",
            label="Weight in water without ballast",
            unit="kg",
            help="as a balance shows it; below zero it floats",
        ),
        Output(
            name="weight",
            label="Weight in water with this ballast",
            unit="kg",
            help="as wanted, unless it is heavier than that without any",
            rig="ballast.weight",
        ),
        Output(
            name="other_weight",
            label="Weight in the other water with this ballast",
            unit="kg",
            help="below zero it floats",
        ),
        Output(
            name="other_reserve",
            label="Weight or lift that is left in the other water",
            unit="kg",
            help="weight if it is wanted to sink, lift if it is wanted to float",
            verdict=Verdict(
                better="above",
                limit=0.0,
                met="sinks there too, or floats there too, as wanted",
                missed="sinks or floats there against what is wanted: new ballast for that water",
                unsure="may sink or float there against what is wanted: weigh it in that water",
                source="your own limit",
                missed_level="care",
                ample=WEIGHT_TO_SPARE,
            ),
        ),
        Output(
            name="righting_arm",
            label="Centre of buoyancy above centre of gravity",
            unit="mm",
            help="above zero it turns upright by itself",
            verdict=Verdict(
                better="above",
                limit=0.0,
                met="turns upright by itself",
                missed="turns upside down by itself: weight lower, float higher",
                unsure="may turn either way",
                source="statics",
                ample=ARM_TO_SPARE,
            ),
        ),
        Output(
            name="righting_moment",
            label="Righting moment for 1°, held by the line",
            unit="N·m",
            help="about the point of the bridle; below zero it turns over",
            verdict=Verdict(
                better="above",
                limit=0.0,
                met="hangs or floats upright on its line",
                missed="turns over on its line: move the bridle",
                unsure="may turn over on its line",
                source="statics",
                ample=MOMENT_TO_SPARE,
            ),
        ),
        Output(
            name="flooded_weight",
            label="Weight in water when flooded",
            unit="kg",
            help="what the line has to lift off the bottom, mud not counted",
            verdict=Verdict(
                better="below",
                limit="lift_limit",
                met="below the {limit} that you can lift",
                missed="above the {limit} that you can lift",
                unsure="may be above the {limit} that you can lift",
                source="your own limit",
            ),
        ),
        Output(
            name="flooded_mass",
            label="Lift out of the water when flooded",
            unit="kg",
            help="full of water, at the moment it leaves the surface",
            verdict=Verdict(
                better="below",
                limit="lift_limit",
                met="below the {limit} that you can lift",
                missed="above the {limit} that you can lift: let it drain, use a davit, tow it "
                "ashore",
                unsure="may be above the {limit} that you can lift",
                source="your own limit",
            ),
        ),
        Output(
            name="dry_mass", label="Mass in air with ballast", unit="kg", help="dry, to be carried"
        ),
        Output(
            name="displaced_volume",
            label="Volume of water displaced",
            unit="L",
            digits=4,
            help="parts and ballast",
        ),
        Output(name="ballast_volume", label="Volume of the ballast", unit="L"),
    ),
    compute=_ballast,
    plot=_over_density,
    remarks=_remarks,
    cautions=(
        Caution(
            title="Lifting from a boat: backs, and capsizing.",
            text="What was light on the line is heavy at the surface, all the more when flooded. "
            "Low in the boat, not over one side together, near the shore where you can. Never a "
            "line round hand or wrist. Follow local codes for lifting and for boats.",
        ),
        Caution(
            title="A flooded case may hold pressure and hot cells.",
            text="Set it down away from people, lid up, and do not open it over your face. Cells "
            "that got wet can heat up hours later: outdoors, on stone. Follow the cell maker's "
            "sheet and local codes.",
        ),
        Caution(
            title="Divers: no lifting with your own buoyancy.",
            text="A diver who brings up a weight with a vest goes up like a cork if it slips. "
            "Lines and lift bags are for trained divers, under local codes.",
        ),
    ),
    in_rig=True,
)
