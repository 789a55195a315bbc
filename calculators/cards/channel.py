"""What shallow water carries, and what it swallows."""

from dataclasses import asdict, dataclass
from math import pi

from calculators.cards.common import from_table
from calculators.cards.curves import decades
from calculators.cards.potting import WATER_DENSITY, WATER_FILL, WATER_SOUND_SPEED
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
from calculators.formulas import channel
from calculators.tables.bottom_sound import BOTTOM_SOUND
from calculators.units import format_display

SHOWN = "sand-fresh"
"""The row of the table of bottoms that the form starts with."""

STIFF = 1900.0
"""m/s, from where on a bottom is rock or packed like it and carries shear waves that count."""

CLOSE = 0.03
"""Share of the water's sound speed within which a bottom may be faster or slower: who knows."""

POINTS = 61
"""Of the curves."""

DEEPEST_SHOWN = -100.0
"""dB, where the picture ends: nothing is heard there."""

BEYOND = -60.0
"""dB, below which ways that are not in here bring more."""


@dataclass(frozen=True, kw_only=True)
class _Channel:
    """Water and bottom, and how far the sound has come."""

    water_depth: float
    water_sound_speed: float
    bottom_sound_speed: float
    water_density: float
    bottom_density: float
    bottom_attenuation: float

    @property
    def faster(self) -> bool:
        """Whether sound is faster in the bottom than in the water, so that modes are trapped."""
        return self.bottom_sound_speed > self.water_sound_speed

    def cutoff(self) -> float:
        """Of the first mode, Hz."""
        if not self.faster:
            return channel.yielding_cutoff(
                water_depth=self.water_depth, water_sound_speed=self.water_sound_speed
            )
        return channel.pekeris_cutoff(
            water_depth=self.water_depth,
            water_sound_speed=self.water_sound_speed,
            bottom_sound_speed=self.bottom_sound_speed,
            mode=1,
        )

    def trapped(self, frequency: float, cutoff: float) -> bool:
        """Whether the first mode is trapped."""
        return self.faster and frequency >= cutoff

    def mode(self, frequency: float, cutoff: float) -> tuple[float, float]:
        """Wave number in rad/m and attenuation in dB/m of the first mode."""
        if not self.trapped(frequency, cutoff):
            given = asdict(self) | {"frequency": frequency}
            return channel.leaky_wavenumber(**given), channel.leaky_attenuation(**given)
        given = asdict(self) | {"frequency": frequency}
        absorption = given.pop("bottom_attenuation")
        number = channel.trapped_wavenumber(**given, mode=1)
        lost = channel.trapped_attenuation(
            **given, wavenumber=number, bottom_attenuation=absorption
        )
        # Over a bottom about as fast as the water the first order in its absorption is too much.
        at_cutoff = channel.leaky_attenuation(**(asdict(self) | {"frequency": cutoff}))
        return number, min(lost, at_cutoff)

    def levels(self, frequency: float, cutoff: float, distance: float) -> tuple[float, float]:
        """Level against open water at the best depths, of all and of the first mode alone, dB."""
        return self.levels_of(self.mode(frequency, cutoff), frequency, cutoff, distance)

    def levels_of(
        self, mode: tuple[float, float], frequency: float, cutoff: float, distance: float
    ) -> tuple[float, float]:
        """The same for a mode that is known already."""
        number, attenuation = mode
        place = {"distance": distance, "water_depth": self.water_depth, "wavenumber": number}
        by_mode = channel.mode_level(**place, attenuation=attenuation)
        if self.trapped(frequency, cutoff):
            return by_mode, by_mode
        by_bottom = channel.bottom_wave_level(
            **asdict(self), frequency=frequency, distance=distance
        )
        return max(by_mode, min(by_bottom, self._most(frequency, cutoff, distance))), by_mode

    def _most(self, frequency: float, cutoff: float, distance: float) -> float:
        """Level of a mode that runs wholly in the bottom, dB.

        The wave through the bottom brings no more: towards the cut-off its formula grows without
        end, while in truth it becomes this mode.
        """
        turning = cutoff if self.faster else frequency
        return channel.mode_level(
            distance=distance,
            water_depth=self.water_depth,
            wavenumber=2 * pi * turning / self.bottom_sound_speed,
            attenuation=self.bottom_attenuation * turning / self.bottom_sound_speed,
        )


def _shallow_cutoff(
    water_depth: float,
    water_sound_speed: float,
    water_density: float,
    bottom_sound_speed: float,
    bottom_density: float,
    bottom_attenuation: float,
    distance: float,
    frequency: float,
    allowed_loss: float,
) -> dict[str, float]:
    layer = _Channel(
        water_depth=water_depth,
        water_sound_speed=water_sound_speed,
        bottom_sound_speed=bottom_sound_speed,
        water_density=water_density,
        bottom_density=bottom_density,
        bottom_attenuation=bottom_attenuation,
    )
    cutoff = layer.cutoff()
    mode = layer.mode(frequency, cutoff)
    attenuation = mode[1]
    return {
        "cutoff_frequency": cutoff,
        "best_level": layer.levels_of(mode, frequency, cutoff, distance)[0],
        "mode_attenuation": attenuation,
        "mode_loss": attenuation * distance,
        "mode_count": (
            channel.mode_count(frequency=frequency, cutoff_frequency=cutoff) if layer.faster else 0
        ),
        "rigid_cutoff": channel.rigid_cutoff(
            water_depth=water_depth, water_sound_speed=water_sound_speed
        ),
    }


def _layer(values: Values) -> _Channel:
    return _Channel(**{name: float(values[name]) for name in _Channel.__dataclass_fields__})


def _quiet_below(values: Values, cutoff: float) -> float | None:
    """Frequency below which the distance takes more than allowed, Hz; None where it never does."""
    layer, distance = _layer(values), float(values["distance"])
    wanted = -float(values["allowed_loss"])
    above = None
    for frequency in reversed(decades(cutoff / 100, cutoff * 30, 100)):
        if layer.levels(frequency, cutoff, distance)[0] < wanted:
            return above and _between(layer, distance, wanted, (frequency, above), cutoff)
        above = frequency
    return None


def _between(
    layer: _Channel, distance: float, wanted: float, ends: tuple[float, float], cutoff: float
) -> float:
    """Where the level crosses, by halving between an end below it and one above."""
    low, high = ends
    for _ in range(10):
        middle = (low * high) ** 0.5
        if layer.levels(middle, cutoff, distance)[0] < wanted:
            low = middle
        else:
            high = middle
    return high


def _over_frequency(values: Values, results: Results, system: str) -> Plot:
    layer, distance = _layer(values), float(values["distance"])
    cutoff, asked = results["cutoff_frequency"], float(values["frequency"])
    low, high = min(cutoff / 10, asked / 2), max(cutoff * 10, asked * 2)
    frequencies = decades(low, high, POINTS)
    levels = [layer.levels(f, cutoff, distance) for f in frequencies]
    best = [(f, level) for f, (level, _) in zip(frequencies, levels, strict=True)]
    alone = [(f, level) for f, (_, level) in zip(frequencies, levels, strict=True)]
    top = max(0.0, *(y for _, y in best)) + 5
    bottom = max(DEEPEST_SHOWN, min(y for _, y in best) - 5)
    shown = format_display(distance, "m", 3, system)
    limit = -float(values["allowed_loss"])
    return Plot(
        title=f"What arrives after {shown}",
        description=(
            f"Level over frequency after {shown}, against open water. It falls steeply below "
            f"{format_display(cutoff, 'Hz', 3, system)}. "
            f"At {format_display(asked, 'Hz', 3, system)} it is "
            f"{format_display(results['best_level'], 'dB', 3, system)}."
        ),
        x=Axis(label="Frequency", unit="Hz", domain=(low, high), log=True),
        y=Axis(label="Level re open water", unit="dB", domain=(min(bottom, top - 10), top)),
        lines=[
            Line(name="At best", points=best),
            Line(name="First mode alone", points=alone, kind="second"),
        ],
        marks=[
            (cutoff, f"cut-off, {format_display(cutoff, 'Hz', 3, system)}"),
            (asked, f"asked for, {format_display(asked, 'Hz', 3, system)}"),
        ],
        levels=[(limit, "your limit")] if bottom < limit < top else [],
    )


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    layer, cutoff = _layer(values), results["cutoff_frequency"]
    said = [
        _trapping(layer, values, results, system),
        _what_is_lost(values, cutoff, system),
    ]
    if results["best_level"] < BEYOND:
        said.append(
            f"Below {format_display(BEYOND, 'dB', 2, system)} the number says no more than: not "
            "through this water. What little arrives takes ways that are left out here: harder "
            "layers below, the banks, the air."
        )
    if abs(layer.bottom_sound_speed / layer.water_sound_speed - 1) < CLOSE:
        said.append(
            "Sound is about as fast in this bottom as in the water: a little more or less speed "
            "turns trapping into leaking. Take the ranges, not the numbers; where the two speeds "
            "meet the cut-off has no upper end, whatever its range says, and below it the level "
            "may be given some 12 dB too low."
        )
    if layer.bottom_sound_speed >= STIFF:
        said.append(
            "This bottom is stiff enough to carry shear waves, which are left out here. Where they "
            "are slower than sound in the water, as in chalk, moraine and soft limestone, they "
            "drain every mode and low sound fades faster than this; where they are faster, the "
            "first mode needs a higher frequency, and a wave along the bottom runs below it."
        )
    return said


def _trapping(layer: _Channel, values: Values, results: Results, system: str) -> str:
    frequency, cutoff = float(values["frequency"]), results["cutoff_frequency"]
    hertz = format_display(frequency, "Hz", 3, system)
    lost = format_display(results["mode_attenuation"], "dB/m", 2, system)
    if not layer.faster:
        return (
            "Sound is no faster in this bottom than in the water: nothing is trapped, and there is "
            "no frequency from which it travels freely. What stands as cut-off is where half a "
            "wave fits between surface and bottom, as if the bottom were another surface. Above "
            "it, the higher the frequency, the less leaks; below it nothing fits in. "
            f"At {hertz} the first mode loses {lost}."
        )
    if frequency >= cutoff:
        speed = format_display(2 * pi * frequency / _number(layer, values), "m/s", 4, system)
        return (
            f"At {hertz} the first mode is trapped and its crests run along the water at {speed}: "
            "that is the speed which two hydrophones see, not that of the water."
        )
    return (
        f"At {hertz} nothing is trapped: the first mode loses {lost}, and what is heard farther "
        "off has run through the bottom."
    )


def _number(layer: _Channel, values: Values) -> float:
    """Wave number of the first mode at the frequency asked for."""
    return layer.mode(float(values["frequency"]), layer.cutoff())[0]


def _what_is_lost(values: Values, cutoff: float, system: str) -> str:
    quiet = _quiet_below(values, cutoff)
    distance = format_display(float(values["distance"]), "m", 3, system)
    loss = format_display(float(values["allowed_loss"]), "dB", 3, system)
    if quiet is None:
        return (
            f"Over {distance} there is no one frequency below which more than {loss} are lost "
            "against open water: see the curve."
        )
    return (
        f"From {distance} away, everything below about {format_display(quiet, 'Hz', 2, system)} "
        f"arrives more than {loss} weaker than it would in open water, at whatever depth you hang "
        "the hydrophone."
    )


SHALLOW_CUTOFF = Calculator(
    id="shallow-cutoff",
    title="What shallow water lets through",
    question="Which low sounds never arrive in water of this depth over this bottom?",
    stage="plan",
    inputs=(
        Number(
            name="water_depth",
            label="Depth of the water",
            unit="m",
            default="4 m",
            low="0.1 m",
            high="300 m",
            why="a ditch to the edge of the shelf",
            hint="the shallowest stretch between source and hydrophone decides",
            tolerance="±10 %",
            rig="site.water_depth",
        ),
        WATER_DENSITY,
        WATER_SOUND_SPEED,
        from_table(
            BOTTOM_SOUND.cell(SHOWN, "sound_speed"),
            name="bottom_sound_speed",
            label="Sound speed in the bottom",
            unit="m/s",
            low="50 m/s",
            high="7000 m/s",
            why="mud full of gas to hard rock",
            rig="site.bottom_sound_speed",
        ),
        from_table(
            BOTTOM_SOUND.cell(SHOWN, "density"),
            name="bottom_density",
            label="Density of the bottom",
            unit="kg/m³",
            low="1000 kg/m³",
            high="3300 kg/m³",
            why="peat to the heaviest rock",
            rig="site.bottom_density",
        ),
        from_table(
            BOTTOM_SOUND.cell(SHOWN, "attenuation"),
            name="bottom_attenuation",
            label="Absorption of the bottom",
            unit="dB",
            low="0.01 dB",
            high="20 dB",
            why="sound rock to mud at the resonance of its bubbles",
            hint="for each wavelength in it",
            rig="site.bottom_attenuation",
        ),
        Number(
            name="distance",
            label="Distance of the source",
            unit="m",
            default="50 m",
            low="1 m",
            high="100 km",
            why="the next stone to the far end of a fjord",
            hint="farther off than some depths of water, or the answer means little",
            rig="plan.distance",
        ),
        Number(
            name="frequency",
            label="Frequency of the sound",
            unit="Hz",
            default="150 Hz",
            low="1 Hz",
            high="200 kHz",
            why="the lowest whale to the highest click",
            rig="plan.lowest_wanted",
        ),
        Number(
            name="allowed_loss",
            label="Loss you can bear",
            unit="dB",
            default="20 dB",
            low="0 dB",
            high="100 dB",
            why="none to all",
            hint="against open water; only judges the answer",
            rig="plan.allowed_loss",
        ),
    ),
    fills=(
        WATER_FILL,
        Fill(
            name="bottom",
            label="Bottom",
            table=BOTTOM_SOUND,
            inputs={
                "bottom_sound_speed": "sound_speed",
                "bottom_density": "density",
                "bottom_attenuation": "attenuation",
            },
        ),
    ),
    outputs=(
        Output(
            name="cutoff_frequency",
            label="Cut-off of the first mode",
            unit="Hz",
            help="below it nothing travels far; over a slower bottom see the remark",
            verdict=Verdict(
                better="below",
                limit="frequency",
                met="below the {limit} asked for",
                missed="above the {limit} asked for: it does not travel",
                unsure="may lie above the {limit} asked for",
                source="your own limit",
            ),
        ),
        Output(
            name="best_level",
            label="Level against open water, at best",
            unit="dB",
            help="at this frequency and distance, at the best depths; above zero where the water "
            "guides the sound",
            verdict=Verdict(
                better="above",
                limit=lambda values: -float(values["allowed_loss"]),
                met="above {limit}, your limit",
                missed="below {limit}, your limit: go nearer",
                unsure="may lie below {limit}, your limit",
                source="your own limit",
                ample=6.0,
            ),
        ),
        Output(
            name="mode_attenuation",
            label="Loss of the first mode",
            unit="dB/m",
            help="on top of spreading",
        ),
        Output(name="mode_loss", label="Loss of the first mode over the distance", unit="dB"),
        Output(
            name="mode_count",
            label="Trapped modes at this frequency",
            unit="1",
            help="0 below the cut-off and over a slower bottom; with more than one, loud and "
            "faint places follow each other",
        ),
        Output(
            name="rigid_cutoff",
            label="Cut-off if the bottom were rigid",
            unit="Hz",
            help="what rules of thumb give; no real bottom reaches it",
        ),
    ),
    compute=_shallow_cutoff,
    plot=_over_frequency,
    remarks=_remarks,
    in_rig=True,
)
