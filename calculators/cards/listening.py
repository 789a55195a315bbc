"""How far off a sound is heard, by this chain, in this water, over this noise."""

from dataclasses import dataclass

from calculators.cards.absorption import FREQUENCY, PH, absorbed
from calculators.cards.curves import decades
from calculators.cards.sound_speed import (
    SALINITY,
    SALT,
    WATER,
    check_liquid,
    main_fit,
    place,
    temperature_input,
)
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Line,
    Number,
    Output,
    Plot,
    Results,
    RigEntry,
    Values,
    Verdict,
)
from calculators.errors import InputError
from calculators.formulas import channel, levels, listening
from calculators.units import format_display

OPEN_WATER, CYLINDER = 10.0, 0.0
"""dB: excess over a cylinder where sound goes on as in open water, and where nothing is lost."""

LITTLE = 0.05
"""dB, less than which nobody can hear or measure."""

MOST_LOST = 500.0
"""dB, more than between the loudest source and the least noise."""

POINTS = 61


@dataclass(frozen=True)
class _Way:
    """What happens to the sound between source and hydrophone."""

    transition: float
    excess_loss: float
    absorption: float

    def loss(self, distance: float) -> float:
        return listening.propagation_loss(
            distance=distance,
            transition=self.transition,
            excess_loss=self.excess_loss,
            absorption=self.absorption,
        )


def _salinity(values: Values) -> float:
    return float(values["salinity"]) if values["water"] == SALT else 0.0


def _listening(
    source_level: float,
    frequency: float,
    bandwidth: float,
    ambient_level: float,
    own_level: float,
    wanted_margin: float,
    water_depth: float,
    transition_ratio: float,
    excess_loss: float,
    water: str,
    temperature: float,
    salinity: float,
    ph: float,
    distance: float,
) -> dict[str, float]:
    check_liquid(salinity if water == SALT else 0.0, temperature=temperature)
    density = levels.level_sum(first=ambient_level, second=own_level)
    noise = listening.band_level(density_level=density, bandwidth=bandwidth)
    way = _Way(
        transition=listening.transition_range(
            water_depth=water_depth, transition_ratio=transition_ratio
        ),
        excess_loss=excess_loss,
        absorption=absorbed(water, frequency, temperature, salinity, water_depth, ph),
    )
    allowed = listening.allowed_loss(
        source_level=source_level, noise_level=noise, wanted_margin=wanted_margin
    )
    reach = _reach(way, allowed, noise + wanted_margin)
    lost = way.loss(distance)
    _check_left(distance, lost)
    received = listening.received_level(source_level=source_level, propagation_loss=lost)
    return {
        "listening_range": reach,
        "signal_excess": listening.signal_excess(
            received_level=received, noise_level=noise, wanted_margin=wanted_margin
        ),
        "received_level": received,
        "noise_level": noise,
        "allowed_loss": allowed,
        "transition_range": way.transition,
        "absorption": way.absorption,
        "absorption_share": way.absorption * reach,
        "own_share": 10 ** ((own_level - density) / 10),
    }


def _reach(way: _Way, allowed: float, needed: float) -> float:
    """The range, or a refusal of what is heard at no arm's length or across an ocean."""
    try:
        return listening.listening_range(
            allowed_loss=allowed,
            transition=way.transition,
            excess_loss=way.excess_loss,
            absorption=way.absorption,
        )
    except InputError as error:
        where = "not heard even at 1 cm" if allowed < 0 else "heard beyond 1000 km"
        raise InputError(
            "source_level",
            f"Source level: over this noise the sound would be {where}, and nothing here holds "
            f"for that. To be heard at 1 m it needs {_level(needed)}; give a level nearer to "
            "that, or another noise.",
        ) from error


def _check_left(distance: float, lost: float) -> None:
    """Refuse a distance on which absorption leaves less than any level can say."""
    if lost > MOST_LOST:
        raise InputError(
            "distance",
            f"A distance to try: on {format_display(distance, 'm', 3)} the water takes more than "
            f"{MOST_LOST:g} dB at this frequency, so that nothing is left. Give a shorter one.",
        )


def _level(value: float, system: str = "metric") -> str:
    return format_display(value, "dB re 1 µPa", 3, system)


def _way(values: Values, results: Results) -> _Way:
    return _Way(
        transition=results["transition_range"],
        excess_loss=float(values["excess_loss"]),
        absorption=results["absorption"],
    )


def _cutoff(values: Values) -> float:
    """Lowest frequency that any bottom lets travel in this depth, Hz."""
    temperature, salinity = float(values["temperature"]), _salinity(values)
    speed = main_fit(str(values["water"]), temperature).at(place(temperature, salinity, 0.0))
    return channel.rigid_cutoff(water_depth=float(values["water_depth"]), water_sound_speed=speed)


def _below_cutoff(values: Values, results: Results) -> bool:
    return float(values["frequency"]) < 2 * _cutoff(values)


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    reach, way = results["listening_range"], _way(values, results)
    share = format_display(results["own_share"], "%", 2, system)
    said = [
        f"Of the noise's power {share} is the chain's own: "
        + (
            "a quieter chain would hear farther."
            if results["own_share"] > 0.5
            else "the water sets the limit."
        ),
        _way_told(reach, way, system),
        "The lowest sound that travels at all in this depth, over the hardest bottom, has "
        f"{format_display(_cutoff(values), 'Hz', 2, system)}; over sand it is about twice that.",
    ]
    if reach < 1:
        said.append(
            "Nearer than a metre the source is no point any more, and its level at 1 m is worked "
            "out, not measured: take the range for its order."
        )
    return said


def _way_told(reach: float, way: _Way, system: str) -> str:
    lost = way.absorption * reach
    taken = format_display(lost, "dB", 2, system) if lost >= LITTLE else "next to nothing"
    edge = format_display(way.transition, "m", 2, system)
    side = "nearer" if reach <= way.transition else "farther"
    return (
        f"The range lies {side} than the transition at {edge}. Absorption takes {taken} of the "
        "loss on that way, spreading the rest."
    )


def _received(values: Values, results: Results, system: str) -> Plot:
    source, reach = float(values["source_level"]), results["listening_range"]
    way, distance = _way(values, results), float(values["distance"])
    low = max(listening.NEAREST, min(reach, distance, 1.0) / 3)
    high = min(10 * listening.FARTHEST, 10 * max(reach, distance))
    ranges = decades(low, high, POINTS)
    main = [(r, source - way.loss(r)) for r in ranges]
    ends = [_Way(way.transition, e, way.absorption) for e in (OPEN_WATER, CYLINDER)]
    band = [(r, source - ends[0].loss(r), source - ends[1].loss(r)) for r in ranges]
    noise = results["noise_level"]
    needed = noise + float(values["wanted_margin"])
    bottom = min(noise, needed) - 20
    top = max(main[0][1], needed, noise) + 5
    return Plot(
        title="Level at the hydrophone over range",
        description=(
            f"The sound, thick, falls to what is needed, {_level(needed, system)}, at "
            f"{format_display(reach, 'm', 3, system)}. The band lies between open water, where it "
            "spreads in all directions, and a channel that loses nothing. The noise in the band "
            f"has {_level(noise, system)}."
        ),
        x=Axis(label="Range", unit="m", domain=(low, high), log=True),
        y=Axis(label="Level", unit="dB re 1 µPa", domain=(bottom, top)),
        lines=[Line(name="Level of the sound", points=main)],
        marks=[(reach, format_display(reach, "m", 3, system))],
        levels=[(noise, "noise in the band"), (needed, "needed")],
        band=band,
    )


def _noise_density(
    name: str, label: str, default: str, hint: str, tolerance: str, rig: RigEntry
) -> Number:
    return Number(
        name=name,
        label=label,
        unit="dB re 1 µPa²/Hz",
        default=default,
        low="-20 dB re 1 µPa²/Hz",
        high="120 dB re 1 µPa²/Hz",
        why="below the heat of the water to beside a ship",
        hint=hint,
        tolerance=tolerance,
        rig=rig,
    )


LISTENING_RANGE = Calculator(
    id="listening-range",
    title="Listening range",
    question="From how far off does the rig hear it?",
    stage="plan",
    inputs=(
        Number(
            name="source_level",
            label="Source level",
            unit="dB re 1 µPa·m",
            default="104.9 dB re 1 µPa·m",
            low="40 dB re 1 µPa·m",
            high="240 dB re 1 µPa·m",
            why="a bubble on a leaf to the click of a whale",
            hint="rms, in the band below; what papers write as re 1 µPa at 1 m",
            tolerance="±3 dB",
            rig="plan.source_level",
        ),
        FREQUENCY,
        Number(
            name="bandwidth",
            label="Bandwidth of the sound",
            unit="kHz",
            default="17 kHz",
            low="1 Hz",
            high="500 kHz",
            why="a tone to a click",
            hint="the noise in this band hides it",
            rig="plan.source_bandwidth",
        ),
        _noise_density(
            "ambient_level",
            "Noise of the water, spectral density level",
            "12 dB re 1 µPa²/Hz",
            "in that band, on a calm day: see ambient noise",
            "±10 dB",
            "site.noise_density_level",
        ),
        _noise_density(
            "own_level",
            "Equivalent noise of the chain",
            "40.7 dB re 1 µPa²/Hz",
            "in that band: see front-end noise",
            "±2 dB",
            "front_end.noise_density_level",
        ),
        Number(
            name="wanted_margin",
            label="Margin above the noise",
            unit="dB",
            default="6 dB",
            low="-20 dB",
            high="60 dB",
            why="calls found by a pattern inside the noise to clean recordings",
            hint="0 just seen in a spectrogram, 6 heard, 20 fit to measure (common practice)",
            rig="plan.wanted_margin",
        ),
        Number(
            name="water_depth",
            label="Depth of the water",
            unit="m",
            default="4.5 m",
            low="0.2 m",
            high="1000 m",
            why="a puddle to the edge of the shelf and beyond",
            hint="the least on the way counts",
            rig="site.water_depth",
        ),
        Number(
            name="transition_ratio",
            label="Transition after so many depths",
            unit="",
            default="1.5",
            low="0.1",
            high="100",
            why="all is thrown back to a bottom that throws back next to nothing",
            hint="1 over sand, 2 over silt, more over mud",
            tolerance="±0.5",
        ),
        Number(
            name="excess_loss",
            label="Excess loss beyond it, a tenfold range",
            unit="dB",
            default="5 dB",
            low="0 dB",
            high="30 dB",
            why="a channel that loses nothing to a bed of weed",
            hint="0 cylinder, 5 the rule of 15 log r, 10 as in open water",
            tolerance="±5 dB",
        ),
        WATER,
        temperature_input("temperature", "Temperature of the water", "12 °C", "of most of the way"),
        SALINITY,
        PH,
        Number(
            name="distance",
            label="A distance to try",
            unit="m",
            default="50 m",
            low="0.1 m",
            high="100 km",
            why="arm's length to across a bay",
            hint="of the next pond, the far shore, the other rig",
            rig="plan.distance",
        ),
    ),
    outputs=(
        Output(
            name="listening_range",
            label="Heard as far as",
            unit="m",
            help="with the margin that is wanted",
            verdict=Verdict(
                better="above",
                limit=1.0,
                met="heard beyond a metre",
                missed="not heard at a metre: too faint for this noise",
                unsure="may not be heard at a metre",
                source="a source level is the level at 1 m",
                in_rig=False,
            ),
        ),
        Output(
            name="signal_excess",
            label="Signal excess at the distance to try",
            unit="dB",
            help="above what is needed",
            verdict=Verdict(
                better="above",
                limit=0.0,
                met="heard at the distance to try",
                missed="not heard at the distance to try",
                unsure="may not be heard at the distance to try",
                missed_level="care",
                source="zero is the margin that is wanted",
            ),
        ),
        Output(
            name="received_level",
            label="Sound pressure level there",
            unit="dB re 1 µPa",
            help="of the sound alone",
        ),
        Output(
            name="noise_level",
            label="Noise level in the band",
            unit="dB re 1 µPa",
            help="of water and chain together",
        ),
        Output(
            name="allowed_loss",
            label="Propagation loss that may be",
            unit="dB re 1 m",
            help="the figure of merit",
        ),
        Output(
            name="transition_range",
            label="Transition range",
            unit="m",
            help="from here on surface and bottom hold the sound together",
        ),
        Output(name="absorption", label="Absorption", unit="dB/km"),
        Output(
            name="absorption_share",
            label="Lost by absorption as far as it is heard",
            unit="dB",
            digits=2,
        ),
        Output(
            name="own_share",
            label="The chain's own share of the noise",
            unit="%",
            digits=2,
            help="of its power",
        ),
    ),
    in_rig=True,
    compute=_listening,
    plot=_received,
    remarks=_remarks,
    cautions=(
        Caution(
            title="Too low for this depth: nothing of this holds.",
            text="The frequency lies below or near the cut-off of the water. Sound of that kind "
            "dies out within some depths of the source, whatever stands above: see the calculator "
            "of the shallow-water cut-off.",
            when=_below_cutoff,
        ),
    ),
)
