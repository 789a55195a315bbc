"""Two hydrophones: how far apart, what is heard between them, and what bearing they give."""

from itertools import pairwise
from math import atan2, cos, degrees, hypot, radians, sin

from calculators.cards.common import from_table
from calculators.cards.curves import steps
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
from calculators.drawing import Dimension, Drawing, Ellipse, Label, Segment, Shape
from calculators.errors import InputError
from calculators.formulas import pair
from calculators.tables.waters import WATERS
from calculators.units import format_display

HEADPHONES, LOUDSPEAKERS = "headphones", "loudspeakers"

_WAVEFRONT = 16
"""Pieces of the drawn wavefront, which is a circle round the source."""


def _pair(
    spacing: float,
    sound_speed: float,
    bearing: float,
    distance: float,
    highest_wanted: float,
    delay_error: float,
    scale_error: float,
    bearing_wanted: float,
    playback: str,
    head_radius: float,
    air_sound_speed: float,
    loudspeaker_time: float,
) -> dict[str, float]:
    if not distance > spacing / 2:
        raise InputError(
            "distance",
            "Distance of the source: it must lie outside the pair. "
            f"Give more than half the spacing, {spacing / 2:.4g} m.",
        )
    place = {"spacing": spacing, "distance": distance, "bearing": bearing}
    path = pair.path_difference(**place)
    delay = pair.time_difference(path_difference=path, sound_speed=sound_speed)
    longest = pair.time_difference(path_difference=spacing, sound_speed=sound_speed)
    head = pair.head_time_difference(head_radius=head_radius, air_sound_speed=air_sound_speed)
    whole = head if playback == HEADPHONES else loudspeaker_time
    return {
        "time_difference": delay,
        "longest_difference": longest,
        "heard_shift": abs(delay) / whole,
        "widest_shift": longest / whole,
        "level_difference": pair.level_difference(**place),
        "air_difference": pair.time_difference(path_difference=path, sound_speed=air_sound_speed),
        "air_spacing": pair.spacing_for(time_difference=longest, sound_speed=air_sound_speed),
        "head_difference": head,
        "head_spacing": pair.spacing_for(time_difference=head, sound_speed=sound_speed),
        "ambiguity_frequency": pair.null_frequency(time_difference=longest),
        "sum_corner": pair.sum_corner(time_difference=longest),
        "unambiguous_spacing": pair.spacing_for(
            time_difference=1 / (2 * highest_wanted), sound_speed=sound_speed
        ),
        "summing_spacing": pair.spacing_for(
            time_difference=1 / (4 * highest_wanted), sound_speed=sound_speed
        ),
        "bearing_error": pair.bearing_error(
            bearing=bearing,
            spacing=spacing,
            sound_speed=sound_speed,
            delay_error=delay_error,
            scale_error=scale_error,
        ),
        "nearness_error": pair.nearness_error(**place),
    }


def _over_bearing(values: Values, results: Results, system: str) -> Plot:
    """Largest error of the bearing, from one end of the line to the other."""
    given = {name: float(values[name]) for name in ("spacing", "sound_speed", "delay_error")}
    scale, here = float(values["scale_error"]), float(values["bearing"])
    points = [
        (b, pair.bearing_error(bearing=b, scale_error=scale, **given))
        for b in steps(-90.0, 90.0, 181)
    ]
    wanted = float(values["bearing_wanted"])
    top = max(*(y for _, y in points), 1.2 * wanted)
    shown = format_display(results["bearing_error"], "°", 3, system)
    return Plot(
        title="Error of the bearing, over the bearing",
        description=(
            f"How far a bearing told from the delay may be off: {shown} at this one. It is "
            "least straight ahead and grows to either side, until all bearings to the end of the "
            "line fit; from there the end bounds it, which makes the notches."
        ),
        x=Axis(label="Bearing from broadside", unit="°", domain=(-90.0, 90.0)),
        y=Axis(label="Error of the bearing", unit="°", domain=(0.0, 1.08 * top)),
        lines=[Line(name="Largest error", points=points)],
        marks=[(here, shown)],
        levels=[(wanted, "wanted")],
    )


def _arc(source: tuple[float, float], near: tuple[float, float], span: float) -> list[Segment]:
    """A piece of the wavefront through the nearer hydrophone, ``span`` metres to either side."""
    radius = hypot(near[0] - source[0], near[1] - source[1])
    middle = atan2(near[1] - source[1], near[0] - source[0])
    half = min(0.9, span / radius)
    turns = steps(-half, half, _WAVEFRONT + 1)
    points = [
        (source[0] + radius * cos(middle + t), source[1] + radius * sin(middle + t)) for t in turns
    ]
    return [Segment(start=a, end=b) for a, b in pairwise(points)]


def _picture(values: Values, results: Results, system: str) -> Drawing:
    """The pair from above: direction of the source, its mirror image, and a wavefront."""
    d, r = float(values["spacing"]), float(values["distance"])
    angle = radians(float(values["bearing"]))
    side, ahead = sin(angle), cos(angle)
    right_first = side >= 0
    near = (d / 2 if right_first else -d / 2, 0.0)
    reach = min(r, 1.5 * d)
    end = (reach * side, reach * ahead)
    dot = 0.035 * d
    shapes: list[Shape] = [
        Segment(start=(0.0, 0.0), end=(0.0, 1.7 * d), kind="axis"),
        Segment(start=(-1.1 * d, 0.0), end=(1.1 * d, 0.0), kind="axis"),
        Segment(start=(0.0, 0.0), end=end),
        Segment(start=(0.0, 0.0), end=(0.75 * end[0], -0.75 * end[1]), kind="hidden"),
        *_arc((r * side, r * ahead), near, 0.9 * d),
        Label(
            at=(0.78 * end[0], -0.78 * end[1] - 0.1 * d),
            text="or here",
            anchor="start" if right_first else "end",
        ),
        Ellipse(centre=(-d / 2, 0.0), rx=dot, ry=dot, kind="part"),
        Ellipse(centre=(d / 2, 0.0), rx=dot, ry=dot, kind="part"),
        Dimension(
            start=(-d / 2, 0.0),
            end=(d / 2, 0.0),
            text=format_display(d, "m", 3, system),
            offset=-0.35 * d,
        ),
        Label(at=(-0.62 * d, 0.06 * d), text="left", anchor="end"),
        Label(at=(0.62 * d, 0.06 * d), text="right", anchor="start"),
        Label(at=(0.04 * d, 1.62 * d), text="broadside, 0°", anchor="start"),
        Label(
            at=(end[0] + (0.06 if right_first else -0.06) * d, end[1] + 0.05 * d),
            text="source" if r <= 1.5 * d else "to the source",
            anchor="start" if right_first else "end",
        ),
    ]
    if r <= 1.5 * d:
        shapes.append(Ellipse(centre=end, rx=dot, ry=dot, kind="ballast"))
    first = "right" if right_first else "left"
    return Drawing(
        title="The pair from above, to scale",
        description=(
            f"Two hydrophones, a source at {format_display(degrees(angle), '°', 3, system)} from "
            f"broadside, and its wavefront as it reaches the {first} one. The broken line is where "
            "a source behind would be that gives the same delay."
        ),
        shapes=shapes,
    )


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    bearing = float(values["bearing"])
    mirror = format_display(180 - bearing if bearing >= 0 else -180 - bearing, "°", 3, system)
    said = [
        f"A source at {mirror}, behind the line, gives the same delay, and so does any source on "
        "the cone round the line through both: above and below as well. Two hydrophones cannot "
        "tell them apart; turn the pair, or add a third that is not on the line."
    ]
    sine = abs(sin(radians(bearing)))
    off = float(values["scale_error"]) * sine + float(values["sound_speed"]) * float(
        values["delay_error"]
    ) / float(values["spacing"])
    if sine + off >= 1:
        said.append(
            "Within its error the delay is as long as that along the line: all bearings from here "
            "to the end of the line fit it."
        )
    if results["widest_shift"] > 1:
        share = format_display(1 / results["widest_shift"], "%", 2, system)
        said.append(
            f"Played as they are, sources whose path difference is above {share} of the spacing "
            "are all heard wholly at one side."
        )
    return said


HYDROPHONE_SPACING = Calculator(
    id="hydrophone-spacing",
    title="Spacing of two hydrophones",
    question="How far apart, what does a listener hear between them, and what bearing do they "
    "give?",
    stage="plan",
    inputs=(
        Number(
            name="spacing",
            label="Spacing of the two",
            unit="m",
            default="0.9 m",
            low="1 cm",
            high="1000 m",
            why="one beside the other to an anchorage",
            hint="between the middles of the elements",
            tolerance="±1 %",
            rig="plan.spacing",
        ),
        from_table(
            WATERS.cell("fresh-10", "sound_speed"),
            name="sound_speed",
            label="Sound speed in the water",
            unit="m/s",
            low="1350 m/s",
            high="1650 m/s",
            why="below the coldest fresh to beyond the warmest and saltiest water",
            rig="site.sound_speed",
        ),
        Number(
            name="bearing",
            label="Bearing of the source from broadside",
            unit="°",
            default="30°",
            low="-90°",
            high="90°",
            why="along the line on the left to along the line on the right",
            hint="0° straight ahead of the middle, positive to the right",
        ),
        Number(
            name="distance",
            label="Distance of the source",
            unit="m",
            default="10 m",
            low="1 cm",
            high="100 km",
            why="touching to across a sea",
            hint="from the middle between the two",
            rig="plan.distance",
        ),
        Number(
            name="highest_wanted",
            label="Highest sound wanted",
            unit="kHz",
            default="10 kHz",
            low="1 Hz",
            high="1 MHz",
            why="slow waves to ultrasound",
            hint="judges ambiguity and summing",
            rig="plan.highest_wanted",
        ),
        Number(
            name="delay_error",
            label="Error of a measured delay",
            unit="µs",
            default="20.8 µs",
            low="0 µs",
            high="100 ms",
            why="perfect to a tenth of a second by hand",
            hint="one sample at 48 kHz is 20.8 µs; correlation does better on clicks, worse in "
            "noise",
        ),
        Number(
            name="scale_error",
            label="Error of sound speed over spacing",
            unit="%",
            default="1.5 %",
            low="0 %",
            high="50 %",
            why="perfect to guessed",
            hint="that of the spacing and of the sound speed, added",
        ),
        Number(
            name="bearing_wanted",
            label="Bearing wanted to within",
            unit="°",
            default="10°",
            low="0.01°",
            high="90°",
            why="a survey to left or right",
            hint="only judges the answer",
            rig="plan.bearing_wanted",
        ),
        Choice(
            name="playback",
            label="Heard over",
            options=(
                Option(value=HEADPHONES, label="headphones"),
                Option(value=LOUDSPEAKERS, label="two loudspeakers"),
            ),
            default=HEADPHONES,
        ),
        Number(
            name="head_radius",
            label="Radius of the listener's head",
            unit="cm",
            default="8.75 cm",
            low="4 cm",
            high="15 cm",
            why="a small child to far beyond the largest",
            hint="8.75 cm is the usual sphere",
            tolerance="±7 %",
        ),
        Number(
            name="air_sound_speed",
            label="Sound speed in air",
            unit="m/s",
            default="343 m/s",
            low="290 m/s",
            high="380 m/s",
            why="far below freezing to a hot room",
            hint="343 m/s at 20 °C",
        ),
        Number(
            name="loudspeaker_time",
            label="Delay that moves the image all the way",
            unit="ms",
            default="1 ms",
            low="0.1 ms",
            high="5 ms",
            why="far below to far beyond what was measured",
            hint="between two loudspeakers; about 1 ms",
            shown=Shown(input="playback", values=(LOUDSPEAKERS,)),
        ),
    ),
    fills=(Fill(name="water", label="Water", table=WATERS, inputs={"sound_speed": "sound_speed"}),),
    outputs=(
        Output(
            name="time_difference",
            label="Time difference of the source",
            unit="µs",
            help="above zero: the right one hears it first",
        ),
        Output(
            name="longest_difference",
            label="Longest time difference",
            unit="µs",
            help="of a source along the line",
        ),
        Output(
            name="head_spacing",
            label="Spacing that matches the ears",
            unit="m",
            help="whose longest time difference is that of the listener's head in air",
        ),
        Output(
            name="heard_shift",
            label="Image of the source moved",
            unit="%",
            help="of the way from the middle to one side, by the time difference alone, taken as "
            "even",
            verdict=Verdict(
                better="below",
                limit=1.0,
                met="within what moves an image",
                missed="all the way to one side: more delay moves it no further",
                unsure="may be all the way to one side",
                source="range of the ears in air, or of an image between two loudspeakers",
                missed_level="care",
            ),
        ),
        Output(
            name="widest_shift",
            label="The same for a source along the line",
            unit="%",
            help="above 100 %: directions pile up at both sides; below: the picture is narrow",
        ),
        Output(
            name="level_difference",
            label="Level difference of the source",
            unit="dB",
            help="spherical spreading alone; above zero: louder on the right",
        ),
        Output(
            name="head_difference",
            label="Longest time difference of the ears, in air",
            unit="µs",
        ),
        Output(
            name="air_difference",
            label="The same pair in air, same source",
            unit="µs",
        ),
        Output(
            name="air_spacing",
            label="Microphones in air that match the pair",
            unit="m",
            help="with the same time differences",
        ),
        Output(
            name="ambiguity_frequency",
            label="Phase is ambiguous above",
            unit="Hz",
            help="spacing is half a wavelength; for a source along the line the sum has its first "
            "null here",
            verdict=Verdict(
                better="above",
                limit="highest_wanted",
                met="above the {limit} wanted: one bearing for one phase",
                missed="below the {limit} wanted: a steady tone above it fits several bearings; a "
                "click does not",
                unsure="may lie below the {limit} wanted",
                source="half a wavelength",
                missed_level="care",
            ),
        ),
        Output(
            name="sum_corner",
            label="Sum of both is 3 dB down at",
            unit="Hz",
            help="for a source along the line, against one straight ahead",
            verdict=Verdict(
                better="above",
                limit="highest_wanted",
                met="above the {limit} wanted: the two may be summed",
                missed="below the {limit} wanted: do not sum them, keep both channels",
                unsure="may lie below the {limit} wanted",
                source="half the power of two in step",
                missed_level="care",
            ),
        ),
        Output(
            name="unambiguous_spacing",
            label="Widest spacing with unambiguous phase",
            unit="m",
            help="up to the highest sound wanted, from every direction",
        ),
        Output(
            name="summing_spacing",
            label="Widest spacing for a sum",
            unit="m",
            help="3 dB down at the highest sound wanted, for a source along the line",
        ),
        Output(
            name="bearing_error",
            label="Error of a bearing told from the delay",
            unit="°",
            help="at worst, by the errors of delay, spacing and sound speed",
            verdict=Verdict(
                better="below",
                limit="bearing_wanted",
                met="within the {limit} wanted",
                missed="more than the {limit} wanted: larger spacing, finer timing, or turn the "
                "pair so that the source is ahead",
                unsure="may be more than the {limit} wanted",
                source="your own limit",
                missed_level="care",
            ),
        ),
        Output(
            name="nearness_error",
            label="Bearing told less true bearing, by nearness",
            unit="°",
            digits=2,
            help="the wavefront of a near source is curved; nothing far away and straight ahead",
        ),
    ),
    compute=_pair,
    plot=_over_bearing,
    drawing=_picture,
    remarks=_remarks,
)
