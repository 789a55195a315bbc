"""What the echo from the surface adds and takes away."""

from calculators.cards.curves import decades
from calculators.cards.potting import WATER_SOUND_SPEED
from calculators.declare import (
    Axis,
    Calculator,
    Fill,
    Line,
    Number,
    Output,
    Plot,
    Results,
    Values,
    Verdict,
)
from calculators.errors import InputError
from calculators.formulas import pair, surface
from calculators.tables.waters import WATERS
from calculators.units import format_display

QUARTER = 0.25
"""Of a wavelength: a hydrophone nearer to the surface hears little of low sound."""

SCATTERED = 0.1
"""Part of the echo that still keeps step, below which peaks and silences are gone."""

POINTS = 241
"""Of the curve, which swings."""

DEEPEST_SHOWN = -50.0
"""dB, where the picture ends."""

WAVES_SHOWN = 3.5
"""How many times the first silence the picture goes to, beyond which they crowd."""


def _surface_echo(
    source_depth: float,
    hydrophone_depth: float,
    distance: float,
    frequency: float,
    water_sound_speed: float,
    surface_roughness: float,
) -> dict[str, float]:
    if distance == 0 and source_depth == hydrophone_depth:
        raise InputError(
            "distance",
            "Distance along the water: 0 m is not possible where source and hydrophone are equally "
            "deep. Give more, or another depth.",
        )
    place = {
        "source_depth": source_depth,
        "hydrophone_depth": hydrophone_depth,
        "distance": distance,
    }
    detour = surface.path_difference(**place)
    reflection = surface.coherent_reflection(
        frequency=frequency,
        sound_speed=water_sound_speed,
        surface_roughness=surface_roughness,
        grazing_angle=surface.grazing_angle(**place),
    )
    along = {"path_difference": detour, "sound_speed": water_sound_speed}
    return {
        "echo_level": surface.echo_level(
            frequency=frequency, sound_speed=water_sound_speed, **place, reflection=reflection
        ),
        "even_frequency": surface.even_frequency(**along),
        "peak_frequency": surface.peak_frequency(**along),
        "null_frequency": surface.null_frequency(**along),
        "path_difference": detour,
        "echo_delay": pair.time_difference(**along),
        "reflection": reflection,
    }


def _at(values: Values, frequency: float) -> float:
    """Level at another frequency, dB."""
    changed = {name: float(value) for name, value in values.items()} | {"frequency": frequency}
    return _surface_echo(**changed)["echo_level"]


def _over_frequency(values: Values, results: Results, system: str) -> Plot:
    asked = float(values["frequency"])
    low = min(results["even_frequency"] / 10, asked / 2)
    high = max(results["null_frequency"] * WAVES_SHOWN, min(asked * 2, 1e9))
    points = [(f, _at(values, f)) for f in decades(low, high, POINTS)]
    bottom = max(DEEPEST_SHOWN, min(-20.0, *(y for _, y in points)) - 5)
    peak, null = (
        format_display(results[name], "Hz", 3, system)
        for name in ("peak_frequency", "null_frequency")
    )
    level = format_display(results["echo_level"], "dB", 3, system)
    return Plot(
        title="What the surface does to the sound",
        description=(
            f"Level against open water over frequency. It rises by 6 dB an octave to a first peak "
            f"at {peak}, and falls silent at {null}. "
            f"At {format_display(asked, 'Hz', 3, system)} it is {level}."
        ),
        x=Axis(label="Frequency", unit="Hz", domain=(low, high), log=True),
        y=Axis(label="Level re open water", unit="dB", domain=(bottom, 10)),
        lines=[Line(name="Direct sound and echo", points=points)],
        marks=[
            (results["null_frequency"], f"first silence, {null}"),
            (asked, f"asked for, {format_display(asked, 'Hz', 3, system)}"),
        ],
        levels=[(0.0, "as without a surface")],
    )


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    said = []
    wave = float(values["water_sound_speed"]) / float(values["frequency"])
    hertz = format_display(float(values["frequency"]), "Hz", 3, system)
    quarter = format_display(QUARTER * wave, "m", 2, system)
    for name, what in (("hydrophone_depth", "hydrophone"), ("source_depth", "source")):
        if float(values[name]) < QUARTER * wave:
            said.append(
                f"At {hertz} the {what} is nearer to the surface than a quarter of a wave, "
                f"{quarter}: up there the pressure has to be nearly that of the air, and low "
                "sound is lost. "
                + ("Hang it deeper." if name == "hydrophone_depth" else "Nothing you do mends it.")
            )
    if results["reflection"] < SCATTERED:
        said.append(
            "At this frequency the surface is too rough to throw the sound back in step: peaks and "
            "silences are smeared, and the scattered sound comes on top."
        )
    else:
        said.append(_silent_depth(values, wave, hertz, system))
    return said


def _silent_depth(values: Values, wave: float, hertz: str, system: str) -> str:
    depth = float(values["source_depth"])
    if depth <= wave / 2:
        half = format_display(wave / 2, "m", 2, system)
        return (
            f"With the source no deeper than half a wave, {half} at {hertz}, there is no silent "
            "depth below the surface."
        )
    null = surface.null_depth(
        frequency=float(values["frequency"]),
        sound_speed=float(values["water_sound_speed"]),
        source_depth=depth,
        distance=float(values["distance"]),
    )
    return (
        f"At {hertz} and this distance the first silent depth for a hydrophone is "
        f"{format_display(null, 'm', 3, system)}; the best is about half of it."
    )


SURFACE_ECHO = Calculator(
    id="surface-echo",
    title="Echo from the surface",
    question="How deep must the hydrophone hang, so that the surface does not cancel the sound?",
    stage="deploy",
    inputs=(
        Number(
            name="source_depth",
            label="Depth of the source",
            unit="m",
            default="0.5 m",
            low="1 mm",
            high="1000 m",
            why="a toad's throat to a whale",
            hint="from the surface",
            tolerance="±20 %",
            rig="plan.source_depth",
        ),
        Number(
            name="hydrophone_depth",
            label="Depth of the hydrophone",
            unit="m",
            default="2 m",
            low="1 mm",
            high="1000 m",
            why="awash to the deepest rig of this handbook",
            hint="from the surface",
            tolerance="±5 %",
            rig="plan.hydrophone_depth",
        ),
        Number(
            name="distance",
            label="Distance along the water",
            unit="m",
            default="20 m",
            low="0 m",
            high="100 km",
            why="straight above to the horizon",
            tolerance="±10 %",
            rig="plan.distance",
        ),
        Number(
            name="frequency",
            label="Frequency of the sound",
            unit="Hz",
            default="1 kHz",
            low="1 Hz",
            high="500 kHz",
            why="the lowest whale to the highest click",
        ),
        WATER_SOUND_SPEED,
        Number(
            name="surface_roughness",
            label="Roughness of the surface",
            unit="cm",
            default="0 cm",
            low="0 cm",
            high="500 cm",
            why="a mirror to a storm",
            hint="standard deviation of its height: a quarter of the significant wave height",
            rig="site.surface_roughness",
        ),
    ),
    fills=(
        Fill(
            name="water",
            label="Water",
            table=WATERS,
            inputs={"water_sound_speed": "sound_speed"},
        ),
    ),
    outputs=(
        Output(
            name="echo_level",
            label="Level against open water",
            unit="dB",
            help="at this frequency; 6 dB at the most, far below zero where the echo cancels",
            verdict=Verdict(
                better="above",
                limit=-6.0,
                met="above {limit}: the surface takes little or adds",
                missed="below {limit}: the surface takes more than half of the pressure; another "
                "depth, or nearer",
                unsure="may lie below {limit}: near a silence the depths decide",
                source="common practice",
                missed_level="care",
            ),
        ),
        Output(
            name="even_frequency",
            label="Nothing is lost from",
            unit="Hz",
            help="lower sound is weaker than in open water, by 6 dB more for each octave",
        ),
        Output(name="peak_frequency", label="First peak", unit="Hz", help="up to 6 dB more"),
        Output(
            name="null_frequency",
            label="First silence above it",
            unit="Hz",
            help="and at every multiple",
        ),
        Output(
            name="path_difference",
            label="Detour of the echo",
            unit="m",
            help="longer than the straight way",
        ),
        Output(
            name="echo_delay",
            label="Delay of the echo",
            unit="s",
            help="a click comes twice if it is shorter than this, the second time upside down",
        ),
        Output(
            name="reflection",
            label="Part of the echo that keeps step",
            unit="%",
            help="100 % under a mirror; what is missing is scattered",
        ),
    ),
    compute=_surface_echo,
    plot=_over_frequency,
    remarks=_remarks,
)
