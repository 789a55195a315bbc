"""Calculator of a bubble on the element or in the resin."""

from typing import Any

from calculators.cards.curves import decades
from calculators.cards.potting import (
    HIGHEST_WANTED,
    WATER_DENSITY,
    WATER_FILL,
    WATER_SOUND_SPEED,
    check_resin,
    resin_number,
)
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
from calculators.formulas import bubble
from calculators.tables.resins import RESINS
from calculators.units import format_display

BUBBLE_SHOWN = "polyurethane-soft"
"""The row of the table of resins that the form starts with."""

STIFF = 0.1
"""4 G / (ρ c²), the square of what the wave sent off damps: from here on the note is lost."""


def _bubble_resonance(
    diameter: float,
    place: str,
    depth: float,
    air_pressure: float,
    water_density: float,
    water_sound_speed: float,
    surface_tension: float,
    resin_density: float,
    resin_sound_speed: float,
    shear_modulus: float,
    polytropic_exponent: float,
    gas_fraction: float,
    highest_wanted: float,
) -> dict[str, float]:
    pressure = bubble.pressure_at_depth(
        depth=depth, water_density=water_density, air_pressure=air_pressure
    )
    in_water = place == "water"
    if not in_water:
        check_resin(resin_density, resin_sound_speed, shear_modulus, name="shear_modulus")
    density = water_density if in_water else resin_density
    shear = 0.0 if in_water else shear_modulus
    medium = {
        "diameter": diameter,
        "density": density,
        "polytropic_exponent": polytropic_exponent,
        "surface_tension": surface_tension if in_water else 0.0,
        "shear_modulus": shear,
    }
    speed = bubble.bubbly_sound_speed(
        gas_fraction=gas_fraction,
        density=density,
        sound_speed=water_sound_speed if in_water else resin_sound_speed,
        gas_stiffness=bubble.gas_stiffness(
            pressure=pressure, polytropic_exponent=polytropic_exponent
        ),
        shear_modulus=shear,
    )
    return {
        "resonance": bubble.bubble_resonance(pressure=pressure, **medium),
        "surface_resonance": bubble.bubble_resonance(pressure=air_pressure, **medium),
        "free_resonance": bubble.minnaert(
            diameter=diameter,
            pressure=pressure,
            density=water_density,
            polytropic_exponent=polytropic_exponent,
        ),
        "pressure": pressure,
        "bubbly_sound_speed": speed,
    }


def _resonance_over_size(values: Values, results: Results, system: str) -> Plot:
    size = float(values["diameter"])
    low, high = size / 30, size * 30
    sizes = decades(low, high, 50)
    # A change of size alone: the other answers stay.
    deep = [_bubble_resonance(**_as_arguments(values | {"diameter": x})) for x in sizes]
    lines = [
        Line(name="At this depth", points=_pairs(sizes, deep, "resonance")),
        Line(name="At the surface", points=_pairs(sizes, deep, "surface_resonance"), kind="second"),
        Line(
            name="Free in the water",
            points=_pairs(sizes, deep, "free_resonance"),
            kind="third",
        ),
    ]
    found = [y for line in lines for _, y in line.points]
    highest = float(values["highest_wanted"])
    shown = format_display(results["resonance"], "Hz", 3, system)
    across = format_display(size, "mm", 3, system)
    return Plot(
        title="Resonance over the size of the bubble",
        description=(
            f"The smaller the bubble, the higher its resonance: {across} rings at {shown}. "
            f"The highest sound wanted is {format_display(highest, 'Hz', 3, system)}."
        ),
        x=Axis(label="Diameter", unit="mm", domain=(low, high), log=True),
        y=Axis(
            label="Resonance",
            unit="Hz",
            domain=(min(*found, highest) / 1.5, max(*found, highest) * 1.5),
            log=True,
        ),
        lines=lines,
        marks=[(size, f"{across}: {shown}")],
        levels=[(highest, "highest wanted")],
    )


def _is_stiff(values: Values, results: Results) -> bool:
    longitudinal = float(values["resin_density"]) * float(values["resin_sound_speed"]) ** 2
    return values["place"] == "resin" and 4 * float(values["shear_modulus"]) > STIFF * longitudinal


def _as_arguments(values: Values) -> dict[str, Any]:
    return dict(values)


def _pairs(
    places: list[float], answers: list[dict[str, float]], output: str
) -> list[tuple[float, float]]:
    return [(x, answer[output]) for x, answer in zip(places, answers, strict=True)]


IN_WATER = Shown(input="place", values=("water",))
IN_RESIN = Shown(input="place", values=("resin",))

BUBBLE_RESONANCE = Calculator(
    id="bubble-resonance",
    title="Resonance of a bubble",
    question="Does a bubble that is left on the element or in the resin ring in the band wanted?",
    stage="build",
    fills=(
        WATER_FILL,
        Fill(
            name="resin",
            label="Resin",
            table=RESINS,
            inputs={
                "resin_density": "density",
                "resin_sound_speed": "sound_speed",
                "shear_modulus": "shear_modulus",
            },
        ),
    ),
    inputs=(
        Number(
            name="diameter",
            label="Diameter of the bubble",
            unit="mm",
            default="1 mm",
            tolerance="±20 %",
            low="0.001 mm",
            high="50 mm",
            why="what degassing leaves to a bubble that fills a case",
            hint="across, not its radius",
            rig="potting.bubble_diameter",
        ),
        Choice(
            name="place",
            label="Where it is",
            options=(
                Option(value="water", label="in water, oil or grease on the element"),
                Option(value="resin", label="in cured resin"),
            ),
            default="resin",
            hint="cured resin holds the bubble's wall",
        ),
        Number(
            name="depth",
            label="Depth",
            unit="m",
            default="4 m",
            low="0 m",
            high="1000 m",
            why="the surface to beyond the bottom of all but a few lakes",
            hint="of the bubble",
            rig="plan.hydrophone_depth",
        ),
        Number(
            name="air_pressure",
            label="Air pressure",
            unit="hPa",
            default="1013.25 hPa",
            low="500 hPa",
            high="1090 hPa",
            why="a high mountain lake to the highest weather",
            hint="at the water's surface",
            rig="site.air_pressure",
        ),
        WATER_DENSITY,
        WATER_SOUND_SPEED,
        Number(
            name="surface_tension",
            label="Surface tension",
            unit="mN/m",
            default="72.7 mN/m",
            low="0 mN/m",
            high="500 mN/m",
            why="none, to mercury",
            hint="clean water at 20 °C; it counts below 0.1 mm",
            shown=IN_WATER,
        ),
        resin_number(
            BUBBLE_SHOWN,
            "density",
            name="resin_density",
            label="Density of the resin",
            unit="kg/m³",
            low="500 kg/m³",
            high="5000 kg/m³",
            why="filled with hollow beads to filled with metal",
            shown=IN_RESIN,
            rig="potting.resin_density",
        ),
        resin_number(
            BUBBLE_SHOWN,
            "sound_speed",
            name="resin_sound_speed",
            label="Sound speed in the resin",
            unit="m/s",
            low="500 m/s",
            high="6000 m/s",
            why="the softest rubbers to glass",
            hint="without gas, of longitudinal waves",
            shown=IN_RESIN,
            rig="potting.resin_sound_speed",
        ),
        resin_number(
            BUBBLE_SHOWN,
            "shear_modulus",
            name="shear_modulus",
            label="Shear modulus of the resin",
            unit="MPa",
            low="0 MPa",
            high="30000 MPa",
            why="a liquid to glass",
            hint="a third of Young's modulus for rubbers",
            shown=IN_RESIN,
            rig="potting.resin_shear_modulus",
        ),
        Number(
            name="polytropic_exponent",
            label="Polytropic exponent of the gas",
            unit="",
            default="1.4",
            low="1",
            high="1.667",
            why="a gas that keeps its temperature, to a monatomic one that keeps its heat",
            hint="air in water: 1.38 at 10 mm, 1.35 at 1 mm, 1.24 at 0.1 mm, 1.02 at 0.01 mm",
        ),
        Number(
            name="gas_fraction",
            label="Part of the volume that is gas",
            unit="%",
            default="0.1 %",
            low="0 %",
            high="10 %",
            why="none, to a froth",
            hint="many small bubbles: what stirring leaves without degassing",
        ),
        HIGHEST_WANTED,
    ),
    outputs=(
        Output(
            name="resonance",
            label="Resonance of the bubble",
            unit="Hz",
            help="where it is, at this depth",
            verdict=Verdict(
                better="above",
                limit=HIGHEST_WANTED.name,
                met="above {limit}: below its resonance it only gives way a little",
                missed="below {limit}, inside the band: it rings, and shades what lies behind it",
                unsure="may lie below {limit}, inside the band",
                source="your own limit",
            ),
        ),
        Output(
            name="surface_resonance",
            label="… and at the surface",
            unit="Hz",
            help="the same bubble, not pressed smaller",
        ),
        Output(
            name="free_resonance",
            label="A free bubble of this size in the water",
            unit="Hz",
            help="without anything round it but water, at this depth",
        ),
        Output(name="pressure", label="Absolute pressure at this depth", unit="kPa"),
        Output(
            name="bubbly_sound_speed",
            label="Sound speed with this much gas",
            unit="m/s",
            help="of water or resin full of bubbles, well below their resonance",
        ),
    ),
    in_rig=True,
    compute=_bubble_resonance,
    plot=_resonance_over_size,
    cautions=(
        Caution(
            title="Degassing: implosion, and resin that boils over",
            text="A vacuum pot can implode and resin rises to several times its height. Use a "
            "vessel made for vacuum, a guard, eye protection, and a cup filled to a quarter at "
            "most. Follow the makers' sheets and local rules.",
        ),
        Caution(
            title="In resin as stiff as this a bubble has no clear note.",
            text="The formula holds while the shear modulus is below a fortieth of density × sound "
            "speed squared. There it is 5 % low; above it the wave that the bubble sends off "
            "damps it, and the resonance shown is no more than the place of a hump.",
            when=_is_stiff,
        ),
    ),
)
