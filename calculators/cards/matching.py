"""Calculator of the match between resin and water, and of what a film of gas costs."""

from calculators.cards.curves import decades, steps
from calculators.cards.potting import (
    HIGHEST_WANTED,
    RESIN_CAUTION,
    WATER_DENSITY,
    WATER_FILL,
    WATER_SOUND_SPEED,
    check_resin,
    resin_number,
)
from calculators.declare import (
    Axis,
    Calculator,
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
from calculators.errors import InputError
from calculators.formulas import bubble, matching
from calculators.formulas.potted_tube import bulk_modulus
from calculators.tables.resins import RESINS
from calculators.units import format_display

LAYER_SHOWN = "polyurethane-stiff"
"""The row of the table of resins that the form starts with."""

STATED_AT = "100 kHz"
"""Frequency at which the table of resins states attenuation."""

ADIABATIC = 1.4
"""Polytropic exponent of air that keeps its heat, as in a film at audible frequencies and above."""

MOST_LOSS = 400.0
"""dB through the layer, beyond which nothing is left of any sound that there is."""

POINTS = 90
"""Points of a curve."""


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
    element_shape: str,
    element_diameter: float,
    highest_wanted: float,
) -> dict[str, float]:
    check_resin(resin_density, resin_sound_speed, shear_modulus, name="shear_modulus")
    _check_loss(attenuation, attenuation_frequency, thickness, highest_wanted)
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
            bulk_modulus=bulk_modulus(
                density=resin_density, sound_speed=resin_sound_speed, shear_modulus=shear_modulus
            ),
            element_diameter=element_diameter,
            coat_thickness=thickness,
            shape=element_shape,
        ),
    }


def _check_loss(
    attenuation: float, attenuation_frequency: float, thickness: float, highest_wanted: float
) -> None:
    """Attenuation in proportion to frequency, through the whole layer."""
    most = MOST_LOSS / thickness * attenuation_frequency / highest_wanted
    if attenuation > most:
        given, limit = (format_display(x, "dB/m", 3, "metric") for x in (attenuation, most))
        raise InputError(
            "attenuation",
            f"Attenuation in the resin: {given} through this layer takes more than "
            f"{MOST_LOSS:.0f} dB off the highest sound wanted: there is only silence. "
            f"Give at most {limit}, a thinner layer or a lower sound.",
        )


def _cost_over_frequency(values: Values, results: Results, system: str) -> Plot:
    highest, quarter = float(values["highest_wanted"]), results["quarter_wave"]
    low, high = min(highest, quarter) / 100, max(2.5 * quarter, 1.25 * highest)
    ripples = steps(quarter / 2, min(high, 4 * quarter), POINTS)[1:]
    frequencies = [*decades(low, quarter / 2, 40), *ripples]
    frequencies += [] if high <= 4 * quarter else decades(4 * quarter, high, POINTS)[1:]
    layer = [(f, _layer_cost(values, results, f)) for f in frequencies]
    corner = results["film_corner"]
    over = decades(low, high, POINTS)
    film = [(f, matching.film_loss(frequency=f, corner=corner)) for f in over]
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
        resin_number(
            LAYER_SHOWN,
            "density",
            name="resin_density",
            label="Density of the resin",
            unit="kg/m³",
            low="500 kg/m³",
            high="5000 kg/m³",
            why="filled with hollow beads to filled with metal",
            hint="weigh a cured piece in air and in water",
            rig="potting.resin_density",
        ),
        resin_number(
            LAYER_SHOWN,
            "sound_speed",
            name="resin_sound_speed",
            label="Sound speed in the resin",
            unit="m/s",
            low="500 m/s",
            high="6000 m/s",
            why="the softest rubbers to glass",
            hint="of longitudinal waves",
            rig="potting.resin_sound_speed",
        ),
        resin_number(
            LAYER_SHOWN,
            "attenuation",
            name="attenuation",
            label="Attenuation in the resin",
            unit="dB/m",
            low="0 dB/m",
            high="10000 dB/m",
            why="none, to nothing that would be heard behind it",
            hint="at the frequency below; 0 if you don't know it",
            rig="potting.resin_attenuation",
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
            rig="potting.resin_attenuation_frequency",
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
            rig="potting.coat_thickness",
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
        resin_number(
            LAYER_SHOWN,
            "shear_modulus",
            name="shear_modulus",
            label="Shear modulus of the resin",
            unit="MPa",
            low="0 MPa",
            high="30000 MPa",
            why="a liquid to glass",
            hint="a third of Young's modulus for rubbers; counts for a gap all round",
            rig="potting.resin_shear_modulus",
        ),
        Choice(
            name="element_shape",
            label="Shape of the element",
            options=(
                Option(value="tube", label="a tube, longer than wide"),
                Option(value="sphere", label="a sphere"),
            ),
            default="tube",
            hint="counts for a gap all round; a tube as long as wide lies between",
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
                ample=1.0,
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
                in_rig=False,
            ),
        ),
        Output(
            name="gap_level",
            label="What a closed gap all round would leave at low frequencies",
            unit="dB",
            digits=2,
            help="beside resin that holds on; if it has let go all round, stiff resin holds the "
            "pressure off",
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
    in_rig=True,
    compute=_acoustic_match,
    plot=_cost_over_frequency,
    cautions=(RESIN_CAUTION,),
)
