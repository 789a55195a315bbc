"""How fast sound runs in the water at hand, and which way it bends."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from calculators.declare import (
    Axis,
    Calculator,
    Choice,
    Line,
    Number,
    Option,
    Output,
    Plot,
    Results,
    RigEntry,
    Shown,
    Values,
)
from calculators.errors import InputError
from calculators.formula import untraced
from calculators.formulas import dive, matching
from calculators.formulas import sound_speed as speed
from calculators.units import format_display

SALT = "salt"

ROUND = 1500.0
"""m/s, what is mostly put in where nobody has measured."""

NEAR = 0.1
"""m above and below the hydrophone, between which the bend is taken."""

POINTS = 61


@dataclass(frozen=True)
class Place:
    """One spot in the water. Pressure and depth go together; formulas take the one or the other."""

    temperature: float
    salinity: float
    depth: float
    surface_density: float
    pressure: float


def place(temperature: float, salinity: float, depth: float) -> Place:
    """The spot at this depth, with what presses on it."""
    density = speed.surface_density(temperature=temperature, salinity=salinity)
    pressure = dive.still_water_pressure(depth=depth, water_density=density)
    return Place(temperature, salinity, depth, density, pressure)


@dataclass(frozen=True)
class Fit:
    """A formula for the sound speed, with the reader's words for it and for where it holds."""

    name: str
    holds: str
    at: Callable[[Place], float]
    ranges: dict[str, tuple[float, float]] = field(default_factory=dict)

    def covers(self, spot: Place) -> bool:
        """Whether the spot lies inside its ranges."""
        return all(low <= getattr(spot, n) <= high for n, (low, high) in self.ranges.items())


def _by_depth(formula: Callable[..., float]) -> Callable[[Place], float]:
    return lambda at: formula(temperature=at.temperature, salinity=at.salinity, depth=at.depth)


FRESH = Fit(
    "the formula for pure water",
    "0 °C to 40 °C, salinity 0, to 60 MPa",
    lambda at: speed.fresh_sound_speed(temperature=at.temperature, gauge_pressure=at.pressure),
)
UNESCO = Fit(
    "the Unesco formula",
    "0 °C to 40 °C, salinity 0 to 40, to 1000 bar",
    lambda at: speed.sea_sound_speed(
        temperature=at.temperature, salinity=at.salinity, gauge_pressure=at.pressure
    ),
)
UNESCO_BEYOND = Fit(
    "the Unesco formula",
    "0 °C to 40 °C and is drawn out below its end, to compare",
    lambda at: speed.unesco_beyond(at.temperature, at.salinity, at.pressure),
)
LEROY = Fit(
    "Leroy's formula",
    "−1 °C to 30 °C in all seas and is used from −2 °C",
    _by_depth(speed.leroy_sound_speed),
    speed.LEROY,
)
MACKENZIE = Fit(
    "Mackenzie's formula",
    "2 °C to 30 °C, salinity 25 to 40, to 8 km",
    _by_depth(speed.mackenzie_sound_speed),
    speed.MACKENZIE,
)
MEDWIN = Fit(
    "Medwin's short formula",
    "0 °C to 35 °C, salinity 0 to 45, to 1 km",
    _by_depth(speed.medwin_sound_speed),
    speed.MEDWIN,
)
SECONDS = {"medwin": MEDWIN, "mackenzie": MACKENZIE, "leroy": LEROY}


def main_fit(water: str, temperature: float) -> Fit:
    """The formula whose range holds this water."""
    if water != SALT:
        return FRESH
    return UNESCO if temperature >= 0 else LEROY


def second_fit(water: str, temperature: float, second: str) -> Fit:
    """The formula beside it: the one that was asked for, where there is a choice."""
    if water != SALT:
        return MEDWIN
    return SECONDS[second] if temperature >= 0 else UNESCO_BEYOND


def check_liquid(salinity: float, **temperatures: float) -> None:
    """Refuse, by the name of its input, water that would be ice."""
    freezing = speed.freezing_point(salinity=salinity, gauge_pressure=0.0)
    for name, temperature in temperatures.items():
        if temperature < freezing - 1e-9:
            water = "Fresh water" if salinity == 0 else f"Water of salinity {salinity:.4g}"
            where = name.removesuffix("_temperature")
            label = "Temperature" if where == name else f"Temperature at the {where}"
            raise InputError(
                name,
                f"{label}: {format_display(temperature, '°C', 3, 'metric')} is not possible here. "
                f"{water} freezes at {format_display(freezing, '°C', 3, 'metric')}: give that or "
                "more. Right under the ice the water has just its freezing point.",
            )


@dataclass(frozen=True)
class _Column:
    """The water from surface to bottom: even above and below a slope of temperature."""

    water: str
    salinity: float
    second: str
    surface_temperature: float
    bottom_temperature: float
    mixed_layer_depth: float
    thermocline_thickness: float

    def temperature(self, depth: float) -> float:
        below = depth - self.mixed_layer_depth
        if below <= 0:
            return self.surface_temperature
        if below >= self.thermocline_thickness:
            return self.bottom_temperature
        drop = self.bottom_temperature - self.surface_temperature
        return self.surface_temperature + below / self.thermocline_thickness * drop

    def spot(self, depth: float) -> Place:
        salinity = self.salinity if self.water == SALT else 0.0
        return place(self.temperature(depth), salinity, depth)

    def fits(self, spot: Place) -> tuple[Fit, Fit]:
        return (
            main_fit(self.water, spot.temperature),
            second_fit(self.water, spot.temperature, self.second),
        )

    def speed(self, depth: float) -> float:
        spot = self.spot(depth)
        return self.fits(spot)[0].at(spot)


def _column(values: Values) -> _Column:
    taken: dict[str, Any] = {name: values[name] for name in _Column.__dataclass_fields__}
    return _Column(**taken)


def _check_depth(depth: float, water_depth: float) -> None:
    if depth > water_depth:
        raise InputError(
            "depth",
            f"Depth of the hydrophone: {depth:.4g} m is not possible here. Give no more than the "
            f"depth of the water, {water_depth:.4g} m.",
        )


def _check_second(fit: Fit, spot: Place) -> None:
    if not fit.covers(spot):
        raise InputError(
            "second",
            f"Compare with: {fit.name} holds for {fit.holds}. At the hydrophone the water has "
            f"{spot.temperature:.4g} °C and salinity {spot.salinity:.4g}. Choose another.",
        )


def _sound_speed(
    water: str,
    salinity: float,
    second: str,
    surface_temperature: float,
    bottom_temperature: float,
    mixed_layer_depth: float,
    thermocline_thickness: float,
    water_depth: float,
    depth: float,
    distance: float,
) -> dict[str, float]:
    column = _Column(
        water,
        salinity,
        second,
        surface_temperature,
        bottom_temperature,
        mixed_layer_depth,
        thermocline_thickness,
    )
    _check_depth(depth, water_depth)
    check_liquid(
        salinity if water == SALT else 0.0,
        surface_temperature=surface_temperature,
        bottom_temperature=bottom_temperature,
    )
    spot = column.spot(depth)
    main_formula, second_formula = column.fits(spot)
    _check_second(second_formula, spot)
    main, other = main_formula.at(spot), second_formula.at(spot)
    depths = (0.0, max(0.0, depth - NEAR), min(water_depth, depth + NEAR), water_depth)
    with untraced():  # the same steps at other depths
        surface, above, below, bottom = [column.speed(z) for z in depths]
    density = speed.deep_density(
        surface_density=spot.surface_density, gauge_pressure=spot.pressure, sound_speed=main
    )
    return {
        "sound_speed": main,
        "second_speed": other,
        "formula_difference": other - main,
        "temperature": spot.temperature,
        "surface_speed": surface,
        "bottom_speed": bottom,
        "bend": speed.bend(
            distance=distance,
            sound_speed=main,
            upper_speed=above,
            lower_speed=below,
            spacing=depths[2] - depths[1],
        ),
        "density": density,
        "impedance": matching.acoustic_impedance(density=density, sound_speed=main),
    }


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    column = _column(values)
    main, second = column.fits(column.spot(float(values["depth"])))
    off = format_display(abs(ROUND / results["sound_speed"] - 1), "%", 2, system)
    said = [
        f"{_why(main)}: {main.name} is used, which holds for {main.holds}.",
        f"Beside it stands {second.name}, which holds for {second.holds}.",
        _bend_told(values, results, system),
        f"Who takes {ROUND:g} m/s instead is off by {off}: as much in a wavelength and in the "
        "sine of a bearing, and nothing in a level.",
    ]
    bottom = column.temperature(float(values["water_depth"]))
    if bottom != column.bottom_temperature:
        said.append(
            "The thermocline ends below the bottom, where the water has "
            f"{format_display(bottom, '°C', 3, system)}."
        )
    return said


def _why(main: Fit) -> str:
    if main is FRESH:
        return "The water is fresh"
    return "The water is salt" if main is UNESCO else "The water is salt and below 0 °C"


def _bend_told(values: Values, results: Results, system: str) -> str:
    way = format_display(float(values["distance"]), "m", 3, system)
    much = format_display(abs(results["bend"]), "m", 2, system)
    if abs(results["bend"]) < float(values["distance"]) / 1000:
        return f"Sound runs all but straight here: on {way} it bends by {much}."
    down = results["bend"] > 0
    slower, towards = ("below", "downwards") if down else ("above", "upwards")
    return (
        f"Sound is slower {slower} the hydrophone, so that level sound bends {towards}, by {much} "
        f"on {way} if the water went on so."
    )


def _depths(column: _Column, bottom: float) -> list[float]:
    """Evenly from surface to bottom, and at both sides of each bend of the temperature."""
    top = column.mixed_layer_depth
    ends = (top, top + column.thermocline_thickness)
    every = {bottom * i / (POINTS - 1) for i in range(POINTS)}
    every |= {end + step for end in ends for step in (0.0, bottom * 1e-6)}
    return sorted(depth for depth in every if depth <= bottom)


def _profile(values: Values, results: Results, system: str) -> Plot:
    column, bottom = _column(values), float(values["water_depth"])
    main, other = [], []
    for depth in _depths(column, bottom):
        spot = column.spot(depth)
        first, second = column.fits(spot)
        main.append((first.at(spot), -depth))
        if second.covers(spot):
            other.append((second.at(spot), -depth))
    across = [x for x, _ in (*main, *other)]
    at = {name: format_display(results[name], "m/s", 5, system) for name in SHOWN_SPEEDS}
    return Plot(
        title="Sound speed from surface to bottom",
        description=(
            "Sound speed across, depth downwards from the surface at the top. Thick by the "
            f"formula that is used, thin by the second. At the surface {at['surface_speed']}, at "
            f"the bottom {at['bottom_speed']}, at the hydrophone {at['sound_speed']}."
        ),
        x=Axis(label="Sound speed", unit="m/s", domain=(min(across) - 1, max(across) + 1)),
        y=Axis(label="Depth, the surface is 0", unit="m", domain=(-bottom, 0.0)),
        lines=[
            Line(name="By the formula that is used", points=main),
            Line(name="By the second formula", points=other, kind="second"),
        ],
        levels=[(-float(values["depth"]), f"hydrophone, {at['sound_speed']}")],
    )


SHOWN_SPEEDS = ("surface_speed", "bottom_speed", "sound_speed")

WATER = Choice(
    name="water",
    label="Water",
    options=(
        Option(value="fresh", label="fresh: pond, lake, river"),
        Option(value=SALT, label="salt: brackish water or sea"),
    ),
    default="fresh",
    rig="site.water",
)

SALINITY = Number(
    name="salinity",
    label="Salinity",
    unit="",
    default="35",
    low="0",
    high="40",
    why="fresh water to the end of the formulas",
    hint="practical salinity: 7 in the inner Baltic, 35 in the ocean",
    shown=Shown(input="water", values=(SALT,)),
    rig="site.salinity",
)


def temperature_input(
    name: str, label: str, default: str, hint: str, rig: RigEntry = "site.water_temperature"
) -> Number:
    """A temperature for which a formula holds, in fresh or in salt water."""
    return Number(
        name=name,
        label=label,
        unit="°C",
        default=default,
        low="-2 °C",
        high="35 °C",
        why="sea water about to freeze to the end of the formulas",
        hint=hint,
        rig=rig,
    )


def depth_input(
    name: str, label: str, default: str, hint: str, low: str = "0 m", rig: RigEntry = ""
) -> Number:
    """A depth for which the formulas for pressure and speed hold."""
    return Number(
        name=name,
        label=label,
        unit="m",
        default=default,
        low=low,
        high="1000 m",
        why="surface to the end of the formula for pressure",
        hint=hint,
        rig=rig,
    )


SOUND_SPEED = Calculator(
    id="sound-speed",
    title="Sound speed in the water",
    question="How fast does sound run here, and which way does it bend?",
    stage="plan",
    inputs=(
        WATER,
        SALINITY,
        Choice(
            name="second",
            label="Compare with",
            options=(
                Option(value="medwin", label="Medwin, six terms"),
                Option(value="mackenzie", label="Mackenzie, nine terms"),
                Option(value="leroy", label="Leroy, fourteen terms"),
            ),
            default="medwin",
            hint="below 0 °C none of these is left, and the Unesco formula is drawn out",
            shown=Shown(input="water", values=(SALT,)),
        ),
        temperature_input(
            "surface_temperature",
            "Temperature at the surface",
            "17 °C",
            "of the mixed layer; 0 °C under the ice of a lake",
            rig="site.surface_temperature",
        ),
        temperature_input(
            "bottom_temperature",
            "Temperature at the bottom",
            "11 °C",
            "below the thermocline; stirred water has one temperature, under ice it is up to 4 °C",
            rig="site.bottom_temperature",
        ),
        depth_input(
            "mixed_layer_depth",
            "Mixed layer down to",
            "1.5 m",
            "so far it has the temperature of its surface; 0 under ice",
            rig="site.mixed_layer_depth",
        ),
        depth_input(
            "thermocline_thickness",
            "Thickness of the thermocline",
            "2 m",
            "below the mixed layer, from one temperature to the other in a straight line",
            rig="site.thermocline_thickness",
        ),
        depth_input(
            "water_depth",
            "Depth of the water",
            "4.5 m",
            "where the rig lies",
            "0.1 m",
            rig="site.water_depth",
        ),
        depth_input(
            "depth",
            "Depth of the hydrophone",
            "3 m",
            "not of the case",
            rig="plan.hydrophone_depth",
        ),
        Number(
            name="distance",
            label="Bend over a distance of",
            unit="m",
            default="10 m",
            low="0.1 m",
            high="10 km",
            why="arm's length to the far side of a lake",
            hint="along the level, from the hydrophone",
        ),
    ),
    outputs=(
        Output(
            name="sound_speed",
            label="Sound speed at the hydrophone",
            unit="m/s",
            digits=5,
            rig="site.sound_speed",
        ),
        Output(
            name="second_speed",
            label="By the second formula",
            unit="m/s",
            digits=5,
            help="which ones they are is said below",
        ),
        Output(
            name="formula_difference",
            label="What the choice of formula costs",
            unit="m/s",
            digits=2,
            help="the second less the first",
        ),
        Output(
            name="temperature",
            label="Temperature at the hydrophone",
            unit="°C",
            help="from the three straight parts",
            rig="site.water_temperature",
        ),
        Output(name="surface_speed", label="Sound speed at the surface", unit="m/s", digits=5),
        Output(name="bottom_speed", label="Sound speed at the bottom", unit="m/s", digits=5),
        Output(
            name="bend",
            label="Bend of level sound, downwards",
            unit="m",
            digits=2,
            help="below zero upwards; as if the water went on as it is at the hydrophone",
        ),
        Output(
            name="density",
            label="Density there",
            unit="kg/m³",
            digits=5,
            help="at the hydrophone's depth",
            rig="site.water_density",
        ),
        Output(
            name="impedance",
            label="Acoustic impedance there",
            unit="MPa·s/m",
            digits=4,
            help="density times sound speed",
        ),
    ),
    compute=_sound_speed,
    plot=_profile,
    remarks=_remarks,
)
