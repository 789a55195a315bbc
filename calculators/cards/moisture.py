"""Whether a closed case fogs, and what keeps it dry."""

from math import ceil

from calculators.cards.common import from_table
from calculators.cards.curves import steps
from calculators.declare import (
    Axis,
    Beyond,
    Calculator,
    Caution,
    Fill,
    Line,
    Number,
    Output,
    Plot,
    Results,
    Values,
    Verdict,
)
from calculators.formulas import moisture as formulas
from calculators.tables.desiccants import DESICCANTS, MOIST_CONTENTS, VAPOUR_WALLS
from calculators.units import format_display

DESICCANT_SHOWN = "unit-40"
CONTENTS_SHOWN = "circuit-board"
WALL_SHOWN = "polycarbonate"
"""The rows of the tables that the form starts with."""

FULL = 1.0
"""Saturated."""

DRY_DAY = 0.3
"""Relative humidity of the other day that the remark reckons with."""

BAGS_A_UNIT = 2
"""Half units are sold."""

METRE_OF_WATER = 9806.65
"""Pressure, Pa."""

DEW_TO_SPARE = 5.0
"""So far below the coldest is ample, °C: more than the readings at closing move the dew by."""

MARGIN = 5.0
"""How far the plot goes beyond the temperatures, °C."""

PARTS = 60
"""Parts that the curve is drawn in."""


def _condensation(
    temperature_closed: float,
    humidity_closed: float,
    free_volume: float,
    air_pressure: float,
    temperature_water: float,
    duration: float,
    contents: float,
    moisture_share: float,
    wall_area: float,
    wall_thickness: float,
    permeability: float,
    humidity_wanted: float,
    unit_capacity: float,
    unit_mass: float,
) -> dict[str, float]:
    over_closing = formulas.water_saturation_pressure(temperature=temperature_closed)
    closed = formulas.vapour_density(
        humidity=humidity_closed, saturation_pressure=over_closing, temperature=temperature_closed
    )
    over_water = formulas.water_saturation_pressure(temperature=temperature_water)
    saturated = formulas.vapour_density(
        humidity=FULL,
        saturation_pressure=formulas.saturation_pressure(temperature=temperature_water),
        temperature=temperature_water,
    )
    held = formulas.vapour_mass(density=closed, volume=free_volume)
    space = {"saturation_density": saturated, "volume": free_volume}
    condensed = formulas.condensed_mass(moisture=held, **space)
    given_off = contents * moisture_share
    left = held - condensed
    permeated = formulas.permeated_vapour(
        permeability=permeability,
        area=wall_area,
        thickness=wall_thickness,
        pressure_difference=over_water * (1 - humidity_wanted),
        duration=duration,
    )
    load = formulas.desiccant_load(
        density=closed,
        final_density=formulas.vapour_density(
            humidity=humidity_wanted,
            saturation_pressure=over_water,
            temperature=temperature_water,
        ),
        volume=free_volume,
        contents=contents,
        moisture_share=moisture_share,
        permeated=permeated,
    )
    units = formulas.desiccant_units(load=load, capacity=unit_capacity)
    return {
        "dew_inside": formulas.dew_inside(density=closed),
        "condensed_mass": condensed,
        "moisture_held": held,
        "vapour_left": left,
        "humidity_cold": left / (saturated * free_volume),
        "dew_point": formulas.dew_point(humidity=humidity_closed, temperature=temperature_closed),
        "clear_humidity": formulas.clear_humidity(
            saturation_density=saturated,
            closing_density=formulas.vapour_density(
                humidity=FULL, saturation_pressure=over_closing, temperature=temperature_closed
            ),
        ),
        "contents_moisture": given_off,
        "condensed_most": formulas.condensed_mass(moisture=held + given_off, **space),
        "permeated": permeated,
        "desiccant_load": load,
        "desiccant_units": units,
        "desiccant_mass": units * unit_mass,
        "pressure_inside": formulas.closed_pressure(
            pressure=air_pressure,
            density=closed,
            temperature=temperature_closed,
            final_density=left / free_volume,
            final_temperature=temperature_water,
        ),
    }


def _humidity(density: float, temperature: float) -> float:
    """Relative humidity of air that cools with this vapour in it, before it condenses."""
    saturated = formulas.vapour_density(
        humidity=FULL,
        saturation_pressure=formulas.saturation_pressure(temperature=temperature),
        temperature=temperature,
    )
    return density / saturated


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    said = [_another_day(values, results, system)]
    held, given_off = results["moisture_held"], results["contents_moisture"]
    if given_off > held:
        said.append(
            f"What lies inside can give off {given_off / held:.2g} times the water of the air. "
            "While all is equally warm it steadies the humidity; when electronics or sun warm it, "
            "its water goes to the coldest wall. Dry it too, or leave it out."
        )
    if results["permeated"] > 0:
        said.append(
            f"Through the wall come {_mg(results['permeated'], system)} at the most. They load the "
            "desiccant; by themselves they bring no air past 100 %, so they fog nothing while the "
            "water keeps its temperature."
        )
    if float(values["temperature_water"]) < 0:
        said.append(
            "Below 0 °C what condenses is taken as frost. Drops may stay liquid for a while: then "
            "a little less comes out."
        )
    bags = ceil(results["desiccant_units"] * BAGS_A_UNIT) / BAGS_A_UNIT
    said.append(
        f"In bags of half a unit and whole ones: {format_display(bags, '1', 3, system)} of a unit. "
        "It must be fresh, and be let out of its tin last."
    )
    lost = float(values["air_pressure"]) - results["pressure_inside"]
    if lost > 0:
        said.append(
            f"The cold takes {format_display(lost, 'kPa', 2, system)} off the pressure inside: "
            f"lid and seal feel it as {format_display(lost / METRE_OF_WATER, 'm', 2, system)} more "
            "of depth."
        )
    return said


def _another_day(values: Values, results: Results, system: str) -> str:
    """What a dry day saves, or how dry this one is."""
    humidity = float(values["humidity_closed"])
    if humidity <= DRY_DAY:
        return "Closed in dry air: few days are drier."
    part = DRY_DAY / humidity
    density = part * results["moisture_held"] / float(values["free_volume"])
    dew = formulas.dew_inside(density=density)
    clear = dew <= float(values["temperature_water"])
    both = clear == (results["dew_inside"] <= float(values["temperature_water"]))
    return (
        f"Closed at {format_display(DRY_DAY, '%', 2, system)} and as warm, the air would hold "
        f"{_mg(part * results['moisture_held'], system)} instead of "
        f"{_mg(results['moisture_held'], system)}, and dew or frost would form from "
        f"{format_display(dew, '°C', 3, system)}: it would {'stay clear' if clear else 'fog'}"
        f"{', too' if both else ''}."
    )


def _mg(mass: float, system: str) -> str:
    return format_display(mass, "mg", 3, system)


def _humidity_over_temperature(values: Values, results: Results, system: str) -> Plot:
    closed, water = float(values["temperature_closed"]), float(values["temperature_water"])
    low, high = min(closed, water) - MARGIN, max(closed, water) + MARGIN
    density = results["moisture_held"] / float(values["free_volume"])
    points = [(t, min(FULL, _humidity(density, t))) for t in steps(low, high, PARTS)]
    cold = format_display(results["humidity_cold"], "%", 2, system)
    at = format_display(water, "°C", 2, system)
    dew = format_display(results["dew_inside"], "°C", 3, system)
    return Plot(
        title="Relative humidity inside, without desiccant",
        description=(
            f"As the case cools its humidity rises, until dew or frost forms from {dew} on. "
            f"In water of {at} it is {cold}."
        ),
        x=Axis(label="Temperature inside", unit="°C", domain=(low, high)),
        y=Axis(label="Relative humidity", unit="%", domain=(0, 1.1)),
        lines=[Line(name="As closed", points=points)],
        marks=[(water, f"{at}: {cold}")],
        levels=[(float(values["humidity_wanted"]), "wanted, with desiccant")],
    )


CONDENSATION = Calculator(
    id="condensation",
    title="Condensation in the closed case",
    question="Will it fog, and how much desiccant keeps it dry?",
    stage="seal",
    inputs=(
        Number(
            name="temperature_closed",
            label="Temperature at closing",
            unit="°C",
            default="25 °C",
            low="-10 °C",
            high="50 °C",
            why="on the ice to a car in the sun",
            hint="of the air and of what lies inside",
            tolerance="±2 °C",
            rig="case.closed_temperature",
        ),
        Number(
            name="humidity_closed",
            label="Relative humidity at closing",
            unit="%",
            default="65 %",
            low="5 %",
            high="100 %",
            why="a dry box to fog",
            hint="at the place and in the hour of closing",
            tolerance="±5 %",
            rig="case.closed_humidity",
        ),
        Number(
            name="free_volume",
            label="Free volume of the case",
            unit="L",
            default="1.2 L",
            low="1 mL",
            high="1000 L",
            why="a plug to a chest",
            hint="air only: what is left beside board and cells",
            tolerance="±10 %",
            rig="case.free_volume",
        ),
        Number(
            name="air_pressure",
            label="Air pressure at closing",
            unit="hPa",
            default="1013 hPa",
            low="500 hPa",
            high="1100 hPa",
            why="a tarn above 5000 m to the highest known at sea level",
            rig="site.air_pressure",
        ),
        Number(
            name="temperature_water",
            label="Temperature of the water",
            unit="°C",
            default="4 °C",
            low="-2 °C",
            high="40 °C",
            why="under sea ice to a pool in the sun",
            hint="the coldest that the case gets",
            tolerance="±1 °C",
            rig="site.coldest_temperature",
        ),
        Number(
            name="duration",
            label="Duration",
            unit="d",
            default="3 d",
            low="1 min",
            high="3650 d",
            why="a dip to ten years",
            hint="only for what comes through the wall",
            rig="plan.duration",
        ),
        Number(
            name="contents",
            label="Mass of what gives off water inside",
            unit="g",
            default="150 g",
            low="0 g",
            high="100 kg",
            why="nothing to a chest full of wood",
            hint="plastics, boards, paper, padding; zero if all was dried",
            rig="case.contents",
        ),
        from_table(
            MOIST_CONTENTS.cell(CONTENTS_SHOWN, "moisture_share"),
            name="moisture_share",
            label="Water that it can give off",
            unit="%",
            low="0 %",
            high="100 %",
            why="dried to loose water",
            hint="share of its mass",
            rig="case.moisture_share",
        ),
        Number(
            name="wall_area",
            label="Area of the wall",
            unit="m²",
            default="0.1 m²",
            low="1 cm²",
            high="100 m²",
            why="a plug to a tank",
            hint="all that is wet outside",
            rig="case.wall_area",
        ),
        Number(
            name="wall_thickness",
            label="Thickness of the wall",
            unit="mm",
            default="6 mm",
            low="0.1 mm",
            high="100 mm",
            why="a film to a block",
            hint="where most of it is thin",
            rig="case.wall_thickness",
        ),
        from_table(
            VAPOUR_WALLS.cell(WALL_SHOWN, "permeability"),
            name="permeability",
            label="Vapour permeability of the wall",
            unit="pg/(m·s·Pa)",
            low="0 pg/(m·s·Pa)",
            high="1000 pg/(m·s·Pa)",
            why="metal to soft silicone and beyond",
            hint="zero leaves the wall out",
            rig="case.wall_permeability",
        ),
        from_table(
            DESICCANTS.cell(DESICCANT_SHOWN, "final_humidity"),
            name="humidity_wanted",
            label="Relative humidity wanted inside",
            unit="%",
            low="5 %",
            high="90 %",
            why="very dry to just no dew",
            hint="at the end, in the cold",
            rig="case.humidity_wanted",
        ),
        from_table(
            DESICCANTS.cell(DESICCANT_SHOWN, "capacity"),
            name="unit_capacity",
            label="Water that a unit of desiccant takes",
            unit="g",
            low="0.01 g",
            high="1 kg",
            why="a pinch to a sack",
            hint="at the humidity wanted",
            rig="case.desiccant_capacity",
        ),
        from_table(
            DESICCANTS.cell(DESICCANT_SHOWN, "unit_mass"),
            name="unit_mass",
            label="Mass of a unit of desiccant",
            unit="g",
            low="0.1 g",
            high="10 kg",
            why="a pinch to a sack",
            hint="as on its bag",
            rig="case.desiccant_mass",
        ),
    ),
    outputs=(
        Output(
            name="dew_inside",
            label="Dew or frost forms inside from",
            unit="°C",
            help="of the air alone, without desiccant, in the closed volume",
            verdict=Verdict(
                better="below",
                limit="temperature_water",
                met="colder than the water's {limit}: stays clear",
                missed="warmer than the water's {limit}: fogs without desiccant",
                unsure="about the water's {limit}: may fog without desiccant",
                missed_level="care",
                source="moran-shapiro",
                ample=DEW_TO_SPARE,
            ),
        ),
        Output(
            name="condensed_mass",
            label="Water that condenses",
            unit="mg",
            help="out of the air, without desiccant",
        ),
        Output(
            name="moisture_held",
            label="Water in the closed air",
            unit="mg",
            help="as vapour, at closing",
        ),
        Output(
            name="vapour_left",
            label="… of which stays vapour in the cold",
            unit="mg",
            help="what the cold air can hold, or all of it",
        ),
        Output(
            name="humidity_cold",
            label="Relative humidity inside, in the cold",
            unit="%",
            help="without desiccant; below 0 °C against ice",
        ),
        Output(
            name="dew_point",
            label="Dew point of the air outside, at closing",
            unit="°C",
            help="as weather services give it; inside it comes later",
        ),
        Output(
            name="clear_humidity",
            label="Stays clear if closed below",
            unit="%",
            help="relative humidity at the temperature of closing",
            beyond=Beyond(value="100 %", words="any humidity"),
        ),
        Output(
            name="contents_moisture",
            label="Water in what lies inside",
            unit="mg",
            help="that it can give off",
        ),
        Output(
            name="condensed_most",
            label="Condenses if all of that comes out too",
            unit="mg",
            help="the worst: contents warm, wall cold",
        ),
        Output(
            name="permeated",
            label="Vapour through the wall, at most",
            unit="mg",
            help="from wet outside to the humidity wanted inside",
        ),
        Output(
            name="desiccant_load",
            label="Water that the desiccant must take",
            unit="mg",
            help="from air, contents and wall",
        ),
        Output(
            name="desiccant_units",
            label="Desiccant, in units",
            unit="1",
            help="fresh or regenerated",
        ),
        Output(
            name="desiccant_mass",
            label="Desiccant, as a mass",
            unit="g",
            help="from the mass of a unit",
        ),
        Output(
            name="pressure_inside",
            label="Pressure inside, in the cold",
            unit="kPa",
            help="absolute; without gas from cells",
        ),
    ),
    compute=_condensation,
    plot=_humidity_over_temperature,
    remarks=_remarks,
    fills=(
        Fill(
            name="contents_kind",
            label="What lies inside",
            table=MOIST_CONTENTS,
            inputs={"moisture_share": "moisture_share"},
        ),
        Fill(
            name="wall",
            label="Wall",
            table=VAPOUR_WALLS,
            inputs={"permeability": "permeability"},
        ),
        Fill(
            name="desiccant",
            label="Desiccant",
            table=DESICCANTS,
            inputs={
                "humidity_wanted": "final_humidity",
                "unit_capacity": "capacity",
                "unit_mass": "unit_mass",
            },
        ),
    ),
    cautions=(
        Caution(
            title="Cells in a tight case can gas, burn or burst it.",
            text="Desiccant takes up water, not gas. Alkaline and zinc cells can give off "
            "hydrogen, lithium cells can vent. Never warm a case with cells in it to dry it, never "
            "charge in it; follow the makers' sheets, and open it turned away from your face.",
        ),
        Caution(
            title="Drying desiccant: dye, dust and heat.",
            text="Blue gel that turns pink holds cobalt chloride, which can cause cancer: no "
            "kitchen oven, no dust, gloves. Bags may melt: follow the maker's sheet for "
            "temperature and time.",
        ),
    ),
    in_rig=True,
)
