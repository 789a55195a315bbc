"""Calculators of potting: what the resin does to sound, and how much of it to mix."""

from typing import Any

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
from calculators.formulas import bubble, matching, resin
from calculators.formulas.water import fresh_water_density
from calculators.tables.resins import RESINS
from calculators.tables.waters import WATERS
from calculators.units import format_display

Row = dict[str, Any]

LAYER_SHOWN, BUBBLE_SHOWN = "polyurethane-stiff", "polyurethane-soft"
"""The rows of the table of resins that the two forms start with."""

WATER_SHOWN = "fresh-10"
"""The row of the table of waters that the forms start with."""

STATED_AT = "100 kHz"
"""Frequency at which the table of resins states attenuation."""

ADIABATIC = 1.4
"""Polytropic exponent of air that keeps its heat, as in a film at audible frequencies and above."""

POINTS = 90
"""Points of a curve."""


def _decades(low: float, high: float, count: int = POINTS) -> list[float]:
    """Values at equal ratios from low to high."""
    return [low * (high / low) ** (i / (count - 1)) for i in range(count)]


def _from_table(
    row: str,
    column: str,
    *,
    name: str,
    label: str,
    unit: str,
    low: str,
    high: str,
    why: str,
    hint: str = "",
    shown: Shown | None = None,
) -> Number:
    """A number of the resin that starts with the table's value and spread."""
    cell = RESINS.cell(row, column)
    return Number(
        name=name,
        label=label,
        unit=unit,
        default=cell.value,
        tolerance=cell.tolerance,
        low=low,
        high=high,
        why=why,
        hint=hint,
        shown=shown,
    )


WATER_DENSITY = Number(
    name="water_density",
    label="Density of the water",
    unit="kg/m³",
    default=WATERS.cell(WATER_SHOWN, "density").value,
    tolerance=WATERS.cell(WATER_SHOWN, "density").tolerance,
    low="900 kg/m³",
    high="1300 kg/m³",
    why="warm fresh water to brine",
)

WATER_SOUND_SPEED = Number(
    name="water_sound_speed",
    label="Sound speed in the water",
    unit="m/s",
    default=WATERS.cell(WATER_SHOWN, "sound_speed").value,
    tolerance=WATERS.cell(WATER_SHOWN, "sound_speed").tolerance,
    low="1300 m/s",
    high="1700 m/s",
    why="cold fresh water to the deep sea",
)

HIGHEST_WANTED = Number(
    name="highest_wanted",
    label="Highest sound wanted",
    unit="kHz",
    default="20 kHz",
    low="100 Hz",
    high="1 MHz",
    why="slow waves to ultrasound",
    hint="the end of the band that counts",
)

WATER_FILL = Fill(
    name="water",
    label="Water",
    table=WATERS,
    inputs={"water_density": "density", "water_sound_speed": "sound_speed"},
)

RESIN_CAUTION = Caution(
    title="Uncured resin: lungs and skin",
    text="Isocyanates in polyurethane can cause asthma for life, epoxies and their hardeners an "
    "allergy of the skin. Wear what the safety data sheets name, work in moving air, don't heat, "
    "spray or sand uncured resin. Follow the makers' sheets and local rules.",
)


def _impedance_behind(behind: str, behind_impedance: float, water: float) -> float:
    return behind_impedance if behind == "own" else water


def _acoustic_match(
    water_density: float,
    water_sound_speed: float,
    resin_density: float,
    resin_sound_speed: float,
    attenuation: float,
    attenuation_frequency: float,
    thickness: float,
    behind: str,
    behind_impedance: float,
    film_thickness: float,
    film_pressure: float,
    shear_modulus: float,
    element_diameter: float,
    highest_wanted: float,
) -> dict[str, float]:
    water = matching.acoustic_impedance(density=water_density, sound_speed=water_sound_speed)
    layer = matching.acoustic_impedance(density=resin_density, sound_speed=resin_sound_speed)
    back = _impedance_behind(behind, behind_impedance, water)
    bare = matching.interface_loss(front_impedance=water, back_impedance=back)
    stiffness = bubble.gas_stiffness(pressure=film_pressure, polytropic_exponent=ADIABATIC)
    corner = matching.film_corner(
        film_thickness=film_thickness,
        gas_stiffness=stiffness,
        front_impedance=water,
        back_impedance=back,
    )

    def cost(frequency: float) -> float:
        through = matching.layer_loss(
            frequency=frequency,
            front_impedance=water,
            layer_density=resin_density,
            layer_sound_speed=resin_sound_speed,
            thickness=thickness,
            attenuation=attenuation,
            attenuation_frequency=attenuation_frequency,
            back_impedance=back,
        )
        return through - bare

    worst = matching.worst_frequencies(
        highest=highest_wanted, sound_speed=resin_sound_speed, thickness=thickness
    )
    return {
        # At the low end of every band the layer costs nothing.
        "layer_cost": max(0.0, *(cost(f) for f in worst)),
        "water_impedance": water,
        "resin_impedance": layer,
        "reflection": matching.pressure_reflection(front_impedance=water, back_impedance=layer),
        "interface_loss": matching.interface_loss(front_impedance=water, back_impedance=layer),
        "quarter_wave": matching.quarter_wave_frequency(
            sound_speed=resin_sound_speed, thickness=thickness
        ),
        "half_wave": matching.quarter_wave_frequency(
            sound_speed=resin_sound_speed, thickness=thickness / 2
        ),
        "film_corner": corner,
        "film_loss": matching.film_loss(frequency=highest_wanted, corner=corner),
        "gap_level": matching.gap_level(
            gap_thickness=film_thickness,
            gas_stiffness=stiffness,
            shear_modulus=shear_modulus,
            element_diameter=element_diameter,
        ),
    }


def _cost_over_frequency(values: Values, results: Results, system: str) -> Plot:
    highest, quarter = float(values["highest_wanted"]), results["quarter_wave"]
    low, high = min(highest, quarter) / 100, max(2.5 * quarter, 1.25 * highest)
    frequencies = [*_decades(low, quarter / 2, 40), *_steps(quarter / 2, min(high, 4 * quarter))]
    frequencies += [] if high <= 4 * quarter else _decades(4 * quarter, high)[1:]
    layer = [(f, _layer_cost(values, results, f)) for f in frequencies]
    corner = results["film_corner"]
    film = [(f, matching.film_loss(frequency=f, corner=corner)) for f in _decades(low, high)]
    costs = [y for _, y in layer]
    shown, at_quarter = (format_display(f, "kHz", 3, system) for f in (highest, quarter))
    cost = format_display(results["layer_cost"], "dB", 2, system)
    lost = format_display(results["film_loss"], "dB", 2, system)
    return Plot(
        title="What layer and film cost",
        description=(
            f"Loss over frequency. Up to {shown} the layer costs {cost} at most; a film of gas "
            f"behind it would cost {lost} at {shown}. The layer is a quarter wave thick at "
            f"{at_quarter}."
        ),
        x=Axis(label="Frequency", unit="Hz", domain=(low, high), log=True),
        y=Axis(
            label="Loss beside no layer", unit="dB", domain=(min(0.0, *costs) - 1, max(*costs, 12))
        ),
        lines=[
            Line(name="The layer", points=layer),
            Line(name="A film of gas behind it", points=film, kind="second"),
        ],
        marks=[(highest, f"wanted up to {shown}"), (quarter, f"quarter wave {at_quarter}")],
        levels=[(1.0, "1 dB")],
    )


def _steps(low: float, high: float, count: int = POINTS) -> list[float]:
    """Values at equal distances, the first left out."""
    return [low + (high - low) * i / count for i in range(1, count + 1)]


def _layer_cost(values: Values, results: Results, frequency: float) -> float:
    """Loss with the layer less that without it."""
    water = results["water_impedance"]
    back = _impedance_behind(str(values["behind"]), float(values["behind_impedance"]), water)
    through = matching.layer_loss(
        frequency=frequency,
        front_impedance=water,
        layer_density=float(values["resin_density"]),
        layer_sound_speed=float(values["resin_sound_speed"]),
        thickness=float(values["thickness"]),
        attenuation=float(values["attenuation"]),
        attenuation_frequency=float(values["attenuation_frequency"]),
        back_impedance=back,
    )
    return through - matching.interface_loss(front_impedance=water, back_impedance=back)


ACOUSTIC_MATCH = Calculator(
    id="acoustic-match",
    title="Resin against water",
    question="What does the layer of resin cost, and what would a film of air behind it cost?",
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
                "attenuation": "attenuation",
                "shear_modulus": "shear_modulus",
            },
        ),
    ),
    inputs=(
        WATER_DENSITY,
        WATER_SOUND_SPEED,
        _from_table(
            LAYER_SHOWN,
            "density",
            name="resin_density",
            label="Density of the resin",
            unit="kg/m³",
            low="500 kg/m³",
            high="5000 kg/m³",
            why="filled with hollow beads to filled with metal",
            hint="weigh a cured piece in air and in water",
        ),
        _from_table(
            LAYER_SHOWN,
            "sound_speed",
            name="resin_sound_speed",
            label="Sound speed in the resin",
            unit="m/s",
            low="500 m/s",
            high="6000 m/s",
            why="the softest rubbers to glass",
            hint="of longitudinal waves",
        ),
        _from_table(
            LAYER_SHOWN,
            "attenuation",
            name="attenuation",
            label="Attenuation in the resin",
            unit="dB/m",
            low="0 dB/m",
            high="10000 dB/m",
            why="none, to nothing that would be heard behind it",
            hint="at the frequency below; 0 if you don't know it",
        ),
        Number(
            name="attenuation_frequency",
            label="… stated at",
            unit="kHz",
            default=STATED_AT,
            low="1 kHz",
            high="10 MHz",
            why="audible sound to material testing",
            hint="the table of resins states it at 100 kHz",
        ),
        Number(
            name="thickness",
            label="Thickness of the layer",
            unit="mm",
            default="5 mm",
            tolerance="±20 %",
            low="0.01 mm",
            high="300 mm",
            why="a coat of varnish to a block",
            hint="from the water to the element",
        ),
        Choice(
            name="behind",
            label="Behind the layer",
            options=(
                Option(value="water", label="water again: a window, a boot"),
                Option(value="own", label="an impedance of its own: ceramic, metal, oil"),
            ),
            default="water",
            hint="to compare the resin with no resin, take water",
        ),
        Number(
            name="behind_impedance",
            label="Impedance of what lies behind",
            unit="MPa·s/m",
            default="30 MPa·s/m",
            tolerance="±15 %",
            low="0.1 MPa·s/m",
            high="110 MPa·s/m",
            why="foam to tungsten",
            hint="density × sound speed; ceramics lie near 30 MPa·s/m",
            shown=Shown(input="behind", values=("own",)),
        ),
        Number(
            name="film_thickness",
            label="Film of gas behind the layer, if there is one",
            unit="mm",
            default="0.1 mm",
            low="0.0001 mm",
            high="1 mm",
            why="what no eye sees to a gap that a feeler finds",
            hint="resin that has let go of the element, or grease left on it",
        ),
        Number(
            name="film_pressure",
            label="Absolute pressure of that gas",
            unit="kPa",
            default="101.325 kPa",
            low="10 kPa",
            high="11000 kPa",
            why="poured under vacuum to 1000 m of water",
            hint="the air's at the surface, twice that at 10 m if the water can press on it",
        ),
        _from_table(
            LAYER_SHOWN,
            "shear_modulus",
            name="shear_modulus",
            label="Shear modulus of the resin",
            unit="MPa",
            low="0 MPa",
            high="30000 MPa",
            why="a liquid to glass",
            hint="a third of Young's modulus for rubbers; counts for a gap all round",
        ),
        Number(
            name="element_diameter",
            label="Diameter of the element",
            unit="mm",
            default="22 mm",
            low="1 mm",
            high="300 mm",
            why="a tiny disc to a large ring",
            hint="counts for a gap all round",
        ),
        HIGHEST_WANTED,
    ),
    outputs=(
        Output(
            name="layer_cost",
            label="Most that the layer costs in the band",
            unit="dB",
            digits=2,
            help="beside the same place without a layer, up to the highest sound wanted",
            verdict=Verdict(
                better="below",
                limit=1.0,
                met="less than {limit} up to the highest sound wanted",
                missed="more than {limit}: thinner, or a resin closer to water",
                unsure="about {limit}",
                source="common practice, no source",
                missed_level="care",
            ),
        ),
        Output(
            name="film_loss",
            label="What the film of gas would cost",
            unit="dB",
            digits=2,
            help="on top, at the highest sound wanted: a film as wide as the element",
            verdict=Verdict(
                better="below",
                limit=1.0,
                met="less than {limit}",
                missed="more than {limit}: a film like this takes the high sounds away",
                unsure="about {limit}",
                source="common practice, no source",
                missed_level="care",
            ),
        ),
        Output(
            name="gap_level",
            label="What a closed gap all round would leave at low frequencies",
            unit="dB",
            digits=2,
            help="if the resin has let go all round, stiff resin holds the pressure off",
        ),
        Output(
            name="film_corner",
            label="The film costs 3 dB from",
            unit="Hz",
            help="and 6 dB more for each octave above",
        ),
        Output(name="water_impedance", label="Impedance of the water", unit="MPa·s/m"),
        Output(name="resin_impedance", label="Impedance of the resin", unit="MPa·s/m"),
        Output(
            name="reflection",
            label="Reflection from water to resin",
            unit="%",
            help="of pressure; below zero where the resin is the softer one",
        ),
        Output(
            name="interface_loss",
            label="Loss from water into the resin",
            unit="dB",
            digits=2,
            help="of energy, at one face alone",
        ),
        Output(
            name="quarter_wave",
            label="The layer is a quarter wave thick at",
            unit="kHz",
            help="with like media on both sides it loses most here",
        ),
        Output(
            name="half_wave",
            label="… and half a wave at",
            unit="kHz",
            help="here it lets through as much as no layer, but for its attenuation",
        ),
    ),
    compute=_acoustic_match,
    plot=_cost_over_frequency,
    cautions=(RESIN_CAUTION,),
)


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
    sizes = _decades(low, high, 50)
    # A change of size alone: the other answers stay.
    deep = [_bubble_resonance(**_as_arguments(values | {"diameter": x})) for x in sizes]
    lines = [
        Line(name="At this depth", points=_pairs(sizes, deep, "resonance")),
        Line(name="At the surface", points=_pairs(sizes, deep, "surface_resonance"), kind="second"),
        Line(
            name="Free in the water, after Minnaert",
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
        x=Axis(label="Diameter", unit="m", domain=(low, high), log=True),
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
        _from_table(
            BUBBLE_SHOWN,
            "density",
            name="resin_density",
            label="Density of the resin",
            unit="kg/m³",
            low="500 kg/m³",
            high="5000 kg/m³",
            why="filled with hollow beads to filled with metal",
            shown=IN_RESIN,
        ),
        _from_table(
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
        ),
        _from_table(
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
        ),
        Number(
            name="polytropic_exponent",
            label="Polytropic exponent of the gas",
            unit="",
            default="1.4",
            low="1",
            high="1.66",
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
            help="after Minnaert, at this depth",
        ),
        Output(name="pressure", label="Absolute pressure at this depth", unit="kPa"),
        Output(
            name="bubbly_sound_speed",
            label="Sound speed with this much gas",
            unit="m/s",
            help="of water or resin full of bubbles, well below their resonance",
        ),
    ),
    compute=_bubble_resonance,
    plot=_resonance_over_size,
    cautions=(
        Caution(
            title="Degassing: implosion, and resin that boils over",
            text="A vacuum pot can implode and resin rises to several times its height. Use a "
            "vessel made for vacuum, a guard, eye protection, and a cup filled to a quarter at "
            "most. Follow the makers' sheets and local rules.",
        ),
    ),
)


def _insert_volume(row: Row) -> float:
    one = resin.tube_volume(
        outer_diameter=row["insert_diameter"], inner_diameter=0.0, length=row["insert_length"]
    )
    return float(row["insert_count"]) * one


def _mould_volume(
    mould: str,
    diameter: float,
    core_diameter: float,
    gap: float,
    length: float,
    width: float,
    height: float,
    water_mass: float,
    water_temperature: float,
) -> float:
    if mould == "cylinder":
        return resin.tube_volume(outer_diameter=diameter, inner_diameter=0.0, length=length)
    if mould == "ring":
        return resin.tube_volume(
            outer_diameter=core_diameter + 2 * gap, inner_diameter=core_diameter, length=length
        )
    if mould == "box":
        return resin.box_volume(length=length, width=width, height=height)
    density = fresh_water_density(temperature=water_temperature)
    return resin.weighed_volume(mass=water_mass, water_density=density)


def _resin_batch(
    mould: str,
    diameter: float,
    core_diameter: float,
    gap: float,
    length: float,
    width: float,
    height: float,
    water_mass: float,
    water_temperature: float,
    insert: list[Row],
    mix_basis: str,
    parts_a: float,
    parts_b: float,
    density_a: float,
    density_b: float,
    waste: float,
    pours: float,
    ratio_tolerance: float,
    balance_step: float,
) -> dict[str, float]:
    room = _mould_volume(
        mould, diameter, core_diameter, gap, length, width, height, water_mass, water_temperature
    )
    inserts = sum(_insert_volume(row) for row in insert)
    if inserts >= room:
        raise InputError(
            "insert_count",
            f"Pieces inside: there is only {format_display(room, 'mL')} in the mould, and they "
            f"take {format_display(inserts, 'mL')}. Give a larger mould or less in it.",
        )
    fill = resin.fill_volume(mould_volume=room, insert_volume=inserts)
    pour = resin.pour_volume(volume=fill, waste=waste, pours=pours)
    ratio = resin.mass_ratio(
        parts_a=parts_a, parts_b=parts_b, basis=mix_basis, density_a=density_a, density_b=density_b
    )
    density = resin.mixed_density(mass_ratio=ratio, density_a=density_a, density_b=density_b)
    mass_a = resin.mass_of_a(volume=pour, mixed_density=density, mass_ratio=ratio)
    mass_b = resin.mass_of_b(mass_a=mass_a, mass_ratio=ratio)
    return {
        "mass_a": mass_a,
        "mass_b": mass_b,
        "volume_a": resin.part_volume(mass=mass_a, density=density_a),
        "volume_b": resin.part_volume(mass=mass_b, density=density_b),
        "mould_volume": room,
        "insert_volume": inserts,
        "fill_volume": fill,
        "pour_volume": pour,
        "total_mass_a": mass_a * pours,
        "total_mass_b": mass_b * pours,
        "coarsest_step": resin.coarsest_step(
            mass_a=mass_a, mass_b=mass_b, ratio_tolerance=ratio_tolerance
        ),
    }


def _step_over_pours(values: Values, results: Results, system: str) -> Plot:
    pours, step = float(values["pours"]), float(values["balance_step"])
    # The step goes with the masses, which go with one over the number of pours.
    whole = results["coarsest_step"] * pours
    most = max(10.0, 2 * pours)
    points = [(1 + (most - 1) * i / 60, whole / (1 + (most - 1) * i / 60)) for i in range(61)]
    needed = format_display(results["coarsest_step"], "g", 2, system)
    owned = format_display(step, "g", 2, system)
    return Plot(
        title="Step of the balance over the number of pours",
        description=(
            f"The more pours, the smaller each of them and the finer the balance must be: "
            f"{needed} or finer for {pours:.0f}. Yours has steps of {owned}."
        ),
        x=Axis(label="Pours", unit="", domain=(1, most)),
        y=Axis(label="Coarsest step", unit="g", domain=(0, 1.1 * max(whole, step))),
        lines=[Line(name="Coarsest step that keeps the ratio", points=points)],
        marks=[(pours, f"{pours:.0f}: {needed}")],
        levels=[(step, f"your balance, {owned}")],
    )


def _length(name: str, label: str, default: str, hint: str, shown: Shown | None) -> Number:
    return Number(
        name=name,
        label=label,
        unit="mm",
        default=default,
        low="5 mm",
        high="500 mm",
        why="a bead to a bucket",
        hint=hint,
        tolerance="±1 %",
        shown=shown,
    )


def _mould(*values: str) -> Shown:
    return Shown(input="mould", values=values)


def _part(letter: str, density: str, what: str) -> Number:
    return Number(
        name=f"density_{letter.lower()}",
        label=f"Density of {letter}",
        unit="g/cm³",
        default=density,
        tolerance="±1 %",
        low="0.5 g/cm³",
        high="5 g/cm³",
        why="filled with hollow beads to filled with metal",
        hint=f"{what}, from its data sheet",
    )


def _parts(letter: str, default: str) -> Number:
    return Number(
        name=f"parts_{letter.lower()}",
        label=f"Parts of {letter}",
        unit="1",
        default=default,
        low="0.1",
        high="1000",
        why="a catalyst by drops to a hundred parts or more",
        hint="as the maker gives the ratio",
    )


RESIN_BATCH = Calculator(
    id="resin-batch",
    title="A pour of resin",
    question="How much of each part is to be weighed for a pour, and how fine must the balance be?",
    stage="build",
    groups=(Group(name="insert", label="Piece inside", most=4),),
    inputs=(
        Choice(
            name="mould",
            label="Mould",
            options=(
                Option(value="cylinder", label="a round cup"),
                Option(value="ring", label="the ring between a core and a wall"),
                Option(value="box", label="a box"),
                Option(value="water", label="any shape, filled with water and weighed"),
            ),
            default="cylinder",
            hint="what the resin fills, measured inside",
        ),
        _length("diameter", "Inner diameter", "30 mm", "of the cup", _mould("cylinder")),
        _length(
            "core_diameter",
            "Diameter of the core",
            "20 mm",
            "what stands in the middle",
            _mould("ring"),
        ),
        Number(
            name="gap",
            label="Gap between core and wall",
            unit="mm",
            default="5 mm",
            tolerance="±5 %",
            low="0.2 mm",
            high="100 mm",
            why="a coat to a thick jacket",
            hint="on one side",
            shown=_mould("ring"),
        ),
        _length(
            "length",
            "Length or depth to fill",
            "60 mm",
            "up to the level wanted",
            _mould("cylinder", "ring", "box"),
        ),
        _length("width", "Width", "30 mm", "inside", _mould("box")),
        _length("height", "Height", "30 mm", "inside", _mould("box")),
        Number(
            name="water_mass",
            label="Water that fills it",
            unit="g",
            default="40 g",
            tolerance="±1 %",
            low="1 g",
            high="50000 g",
            why="a bead to a bucket",
            hint="reading full less reading empty; dry the mould well",
            shown=_mould("water"),
        ),
        Number(
            name="water_temperature",
            label="Temperature of that water",
            unit="°C",
            default="20 °C",
            low="0 °C",
            high="40 °C",
            why="freezing to a hot day",
            hint="tap water will do",
            shown=_mould("water"),
        ),
        Choice(
            name="mix_basis",
            label="The ratio counts",
            options=(
                Option(value="mass", label="parts by mass"),
                Option(value="volume", label="parts by volume"),
            ),
            default="mass",
            hint="read the data sheet twice: the two are not the same",
        ),
        _parts("A", "100"),
        _parts("B", "28"),
        _part("A", "1.16 g/cm³", "the resin"),
        _part("B", "0.93 g/cm³", "the hardener"),
        Number(
            name="waste",
            label="Left in cups and on sticks",
            unit="%",
            default="20 %",
            low="0 %",
            high="200 %",
            why="nothing, to more than the mould takes",
            hint="of what the mould takes; a small pour leaves more",
        ),
        Number(
            name="pours",
            label="Pours",
            unit="1",
            default="2",
            low="1",
            high="50",
            why="all at once, to a long day",
            hint="mixed one by one",
            integer=True,
        ),
        Number(
            name="ratio_tolerance",
            label="Error of the ratio that is allowed",
            unit="%",
            default="2 %",
            low="0.1 %",
            high="20 %",
            why="as an aircraft maker asks, to a resin that forgives",
            hint="either way, from the maker's data sheet",
        ),
        Number(
            name="balance_step",
            label="Step of your balance",
            unit="g",
            default="0.01 g",
            low="0.0001 g",
            high="100 g",
            why="a laboratory's to a kitchen's",
            hint="the smallest change that it shows",
        ),
        Number(
            name="insert_diameter",
            label="Diameter",
            group="insert",
            unit="mm",
            default="22 mm",
            tolerance="±1 %",
            low="0.5 mm",
            high="200 mm",
            why="a wire to a large ring",
            hint="of what takes room in the mould: closed element, cable, spacer",
        ),
        Number(
            name="insert_length",
            label="Length",
            group="insert",
            unit="mm",
            default="25 mm",
            tolerance="±1 %",
            low="0.5 mm",
            high="500 mm",
            why="a washer to a cable",
            hint="of the part inside the resin",
        ),
        Number(
            name="insert_count",
            label="How many of these",
            group="insert",
            unit="1",
            default="1",
            low="0",
            high="50",
            why="none to a handful",
            hint="0 if the water was weighed with them in place",
            integer=True,
        ),
    ),
    outputs=(
        Output(name="mass_a", label="A for one pour", unit="g", digits=4, help="the resin"),
        Output(name="mass_b", label="B for one pour", unit="g", digits=4, help="the hardener"),
        Output(
            name="coarsest_step",
            label="Coarsest step that the balance may have",
            unit="g",
            digits=2,
            help="both parts weighed into one cup",
            verdict=Verdict(
                better="above",
                limit="balance_step",
                met="your steps of {limit} are fine enough",
                missed="finer than your steps of {limit}: fewer and larger pours, or a better "
                "balance",
                unsure="about your steps of {limit}",
                source="the error allowed, as entered",
            ),
        ),
        Output(name="volume_a", label="… A by volume", unit="mL", help="for a check, or a syringe"),
        Output(name="volume_b", label="… B by volume", unit="mL", help="for a check, or a syringe"),
        Output(name="mould_volume", label="Volume of the empty mould", unit="mL", help="inside"),
        Output(
            name="insert_volume", label="Volume of all pieces inside", unit="mL", help="taken off"
        ),
        Output(
            name="fill_volume",
            label="Resin that the mould takes",
            unit="mL",
            help="all pours together, pieces inside taken off, nothing lost",
        ),
        Output(
            name="pour_volume",
            label="Resin to mix for one pour",
            unit="mL",
            help="with what will be lost",
        ),
        Output(name="total_mass_a", label="A in all", unit="g", help="what to have at hand"),
        Output(name="total_mass_b", label="B in all", unit="g", help="what to have at hand"),
    ),
    compute=_resin_batch,
    plot=_step_over_pours,
    cautions=(
        RESIN_CAUTION,
        Caution(
            title="A cup of mixed resin can smoke and catch fire",
            text="Curing gives off heat, and a large or thick mass can't lose it: it sets early, "
            "boils, smokes. Mix no more than one pour at a time, keep the cup off anything that "
            "burns, don't use foam or glass cups, and put a cup that gets hot outdoors, on "
            "stone. Follow the makers' sheets and local rules.",
        ),
    ),
)
