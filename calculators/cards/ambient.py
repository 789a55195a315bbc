"""Calculators of ambient noise."""

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from itertools import pairwise
from math import log10
from typing import Any

from calculators.cards import chain
from calculators.cards.curves import decades
from calculators.cards.noise import Chain
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
from calculators.formula import untraced
from calculators.formulas import ambient, levels
from calculators.tables.ambient import FRESH_WATER
from calculators.units import format_display

SPLIT = 1000.0
"""Hz, where the band wanted is split into its low and its high part."""

PARTS = 3
"""Steps in which each part is searched for its least margin; its ends are always among them."""

ENOUGH = 10.0
"""dB, by which a noise must lie below another to raise the sum by 0.4 dB at most."""

SPREAD = 10.0
"""dB on both sides of a curve that the plot shows: sites differ as much at one wind speed."""

SEA_BAND = (10.0, 1e5)
"""Hz, from where to where the published curves of the sea are used."""

BAND_POINTS = 61
"""Points of the spectrum between which the noise of a band is added up."""

RULE_AT = 1000.0
"""Hz, where the two published wind curves are compared."""


@dataclass(frozen=True, kw_only=True)
class _Water:
    """The inputs that decide the noise of the water at one frequency."""

    water: str
    wind_speed: float
    shipping: float
    fresh_level: float
    fresh_low: float
    fresh_high: float
    fresh_slope: float
    departure: float

    def at(self, frequency: float) -> float:
        """Level at one frequency, step by step; dB re 1 µPa²/Hz. Heat knows no departure."""
        curve = self._fresh(frequency) if self.water == "fresh" else self._sea(frequency)
        heat = ambient.thermal_level(frequency=frequency)
        return levels.level_sum(first=curve + self.departure, second=heat)

    def drawn(self, frequency: float) -> float:
        """The same, where no step is shown."""
        if self.water == "fresh":
            return self.at(frequency)
        return ambient.sea_level(frequency, self.shipping, self.wind_speed, self.departure)

    def _sea(self, frequency: float) -> float:
        deep = levels.level_sum(
            first=ambient.turbulence_level(frequency=frequency),
            second=ambient.shipping_level(frequency=frequency, shipping=self.shipping),
        )
        wind = ambient.wind_level(frequency=frequency, wind_speed=self.wind_speed)
        return levels.level_sum(first=deep, second=wind)

    def _fresh(self, frequency: float) -> float:
        return levels.sloped_density_level(
            level=self.fresh_level,
            band_low=self.fresh_low,
            band_high=self.fresh_high,
            slope=self.fresh_slope,
            frequency=frequency,
        )

    @property
    def held(self) -> tuple[float, float]:
        """The band that the curves, or the published level, say something of; Hz."""
        return (self.fresh_low, self.fresh_high) if self.water == "fresh" else SEA_BAND

    def check(self, lowest: float, highest: float) -> None:
        """A published level says nothing outside its band."""
        if self.water != "fresh":
            return
        if lowest < self.fresh_low:
            raise InputError(
                "lowest_wanted",
                f"Lowest sound wanted: {_hertz(lowest)} lies below {_hertz(self.fresh_low)}, where "
                "the published band begins. Give a higher one, or a level for a wider band.",
            )
        if highest > self.fresh_high:
            raise InputError(
                "highest_wanted",
                f"Highest sound wanted: {_hertz(highest)} lies above {_hertz(self.fresh_high)}, "
                "where the published band ends. Give a lower one, or a level for a wider band.",
            )


WATER_INPUTS = tuple(f.name for f in fields(_Water))
"""The inputs that decide the noise of the water."""


@dataclass(frozen=True)
class BandLevel:
    """Sound pressure level of the water in a band; dB re 1 µPa, and Hz."""

    level: float
    low: float
    high: float


def water_in_band(values: Values, low: float, high: float) -> BandLevel | None:
    """Level of the water's noise in the part of a band that its curves hold for, if there is one.

    ``values`` has at least ``WATER_INPUTS``. The density is taken as even on a double logarithmic
    scale between points that lie close.
    """
    around = _Water(**_taken(_Water, values))
    low, high = max(low, around.held[0]), min(high, around.held[1])
    if low >= high:
        return None
    points = [(f, around.drawn(f)) for f in decades(low, high, BAND_POINTS)]
    power = sum(_power_between(*ends) for ends in pairwise(points))
    return BandLevel(10 * log10(power), low, high)


def _power_between(start: tuple[float, float], end: tuple[float, float]) -> float:
    """Mean square pressure between two points of a spectrum; µPa²."""
    (low, density), (high, other) = start, end
    slope = (other - density) / log10(high / low)
    level = levels.sloped_level(density=density, band_low=low, band_high=high, slope=slope)
    return float(10 ** (level / 10))


def _hertz(frequency: float) -> str:
    return format_display(frequency, "Hz", 4, "metric")


def _ambient_noise(
    water: str,
    wind_speed: float,
    shipping: float,
    rain: str,
    fresh_level: float,
    fresh_low: float,
    fresh_high: float,
    fresh_slope: float,
    departure: float,
    lowest_wanted: float,
    highest_wanted: float,
    sensitivity_level: float,
    element_capacitance: float,
    loss_tangent: float,
    cable_capacitance: float,
    input_capacitance: float,
    bias_resistance: float,
    voltage_noise: float,
    noise_corner: float,
    current_noise: float,
    current_noise_corner: float,
    gain: float,
    recorder_input_noise: float,
    temperature: float,
) -> dict[str, float]:
    around = _Water(
        water=water,
        wind_speed=wind_speed,
        shipping=shipping,
        fresh_level=fresh_level,
        fresh_low=fresh_low,
        fresh_high=fresh_high,
        fresh_slope=fresh_slope,
        departure=departure,
    )
    around.check(lowest_wanted, highest_wanted)
    whole = Chain(
        sensitivity_level=sensitivity_level,
        element_capacitance=element_capacitance,
        loss_tangent=loss_tangent,
        cable_capacitance=cable_capacitance,
        input_capacitance=input_capacitance,
        bias_resistance=bias_resistance,
        voltage_noise=voltage_noise,
        noise_corner=noise_corner,
        current_noise=current_noise,
        current_noise_corner=current_noise_corner,
        gain=gain,
        recorder_input_noise=recorder_input_noise,
        temperature=temperature,
    )
    low = decades(lowest_wanted, SPLIT, PARTS + 1)
    high = decades(SPLIT, highest_wanted, PARTS + 1)
    with untraced():  # the working shows what decides, not the search for it
        margins = _margins(around, whole, {*low, *high})
    worst = min(margins, key=lambda frequency: margins[frequency])
    level, (_, _, own_level) = around.at(worst), whole.at(worst)
    return {
        "worst_margin": margins[worst],
        "worst_frequency": worst,
        "water_level": level,
        "own_level": own_level,
        "rise": levels.level_sum(first=level, second=own_level) - level,
        "low_margin": min(margins[f] for f in low),
        "middle_margin": margins[SPLIT],
        "high_margin": min(margins[f] for f in high),
    }


def _margins(around: _Water, whole: Chain, frequencies: Iterable[float]) -> dict[float, float]:
    """By frequency, how far the chain's own noise lies below the water's; dB."""
    return {f: around.drawn(f) - whole.at(f)[2] for f in frequencies}


def _taken(kind: type[_Water] | type[Chain], values: Values) -> dict[str, Any]:
    """The inputs that this part of the calculation holds."""
    return {f.name: values[f.name] for f in fields(kind) if f.name in values}


def _spectra(values: Values, results: Results, system: str) -> Plot:
    around = _Water(**_taken(_Water, values))
    whole = Chain(**_taken(Chain, values))
    fresh = around.water == "fresh"
    low, high = around.held
    frequencies = decades(low, high, 61)
    water = [(f, around.drawn(f)) for f in frequencies]
    quiet, loud = (replace(around, departure=around.departure + d) for d in (-SPREAD, SPREAD))
    spread = [(f, quiet.drawn(f), loud.drawn(f)) for f in frequencies]
    own = [(f, whole.at(f)[2]) for f in frequencies]
    rain = _rain(str(values["rain"]), low, high)
    rule = [] if fresh else _rule_of_fives(around.wind_speed)
    drawn = [y for points in (own, rain, rule) for _, y in points]
    drawn += [y for _, *ends in spread for y in ends]
    lines = [
        Line(name="The water, by the published curves", points=water),
        Line(name="The chain's own noise", points=own, kind="second"),
        Line(name="Rain, drawn only", points=rain, kind="third"),
        Line(name="Wind by the rule of fives, drawn only", points=rule, kind="third"),
    ]
    margin = format_display(results["worst_margin"], "dB", 3, system)
    return Plot(
        title="The water's noise and the chain's",
        description=" ".join(
            (_told(results, system), *_rule_told(around, rule, system), *_rain_told(rain))
        ),
        x=Axis(label="Frequency", unit="Hz", domain=(low, high), log=True),
        y=Axis(
            label="Spectral density level",
            unit="dB re 1 µPa²/Hz",
            domain=(min(drawn) - 2, max(drawn) + 2),
        ),
        lines=[line for line in lines if line.points],
        marks=[(results["worst_frequency"], f"least margin {margin}")],
        band=spread,
    )


def _level(value: float, system: str) -> str:
    return format_display(value, "dB re 1 µPa²/Hz", 3, system)


def _told(results: Results, system: str) -> str:
    return (
        f"Noise of the water, thick, with a band of {SPREAD:g} dB on either side, and the chain's "
        "own noise, thin. Where they come closest, at "
        f"{format_display(results['worst_frequency'], 'Hz', 3, system)}, the water has "
        f"{_level(results['water_level'], system)} and the chain "
        f"{_level(results['own_level'], system)}."
    )


def _rule_told(around: _Water, rule: list[tuple[float, float]], system: str) -> list[str]:
    if not rule:
        return []
    five = ambient.fives_wind_level(frequency=RULE_AT, wind_speed=around.wind_speed)
    four = ambient.wind_level(frequency=RULE_AT, wind_speed=around.wind_speed)
    return [
        f"For the wind alone at 1 kHz the rule of fives, dashed, gives {_level(five, system)}, "
        f"{format_display(four - five, 'dB', 2, system)} less than the curve that is used."
    ]


def _rain_told(rain: list[tuple[float, float]]) -> list[str]:
    if not rain:
        return []
    end = format_display(ambient.RAIN_HIGH, "Hz", 3)
    return [f"Rain, dashed, is drawn where its table holds, up to {end}."]


def _rain(kind: str, low: float, high: float) -> list[tuple[float, float]]:
    """Rain where its table holds, inside the picture."""
    low, high = max(low, ambient.RAIN_LOW), min(high, ambient.RAIN_HIGH)
    if kind == "none" or low >= high:
        return []
    return [(f, ambient.rain_level(frequency=f, rain=kind)) for f in decades(low, high, 31)]


def _rule_of_fives(wind_speed: float) -> list[tuple[float, float]]:
    """The rule of fives where it holds, nothing for a wind it says nothing of."""
    if not 2.5 * ambient.KNOT <= wind_speed <= 40 * ambient.KNOT:
        return []
    return [
        (f, ambient.fives_wind_level(frequency=f, wind_speed=wind_speed))
        for f in (ambient.FIVES_LOW, ambient.FIVES_HIGH)
    ]


SEA = Shown(input="water", values=("sea",))
FRESH = Shown(input="water", values=("fresh",))


def _margin(name: str, label: str, help_text: str, *, in_rig: bool = False) -> Output:
    return Output(
        name=name,
        label=label,
        unit="dB",
        help=help_text,
        verdict=Verdict(
            better="above",
            limit=ENOUGH,
            met="{limit} or more: the chain adds next to nothing",
            missed="less than {limit}: the chain's own noise can be heard, or measured",
            unsure="may be less than {limit}",
            missed_level="care",
            source="a noise 10 dB below another raises the sum by 0.4 dB",
            in_rig=in_rig,
        ),
    )


AMBIENT_NOISE = Calculator(
    id="ambient-noise",
    title="Noise of the water, and the chain under it",
    question="Does the chain hear the water, or itself?",
    stage="plan",
    inputs=(
        Choice(
            name="water",
            label="Water",
            options=(
                Option(value="sea", label="sea: published curves"),
                Option(value="fresh", label="fresh: a published or measured level"),
            ),
            default="sea",
            hint="for any water that you have measured, choose fresh",
            rig="site.noise_basis",
        ),
        Number(
            name="wind_speed",
            label="Wind speed",
            unit="m/s",
            default="5 m/s",
            low="0 m/s",
            high="20 m/s",
            why="calm to where the measurements end that the curves were drawn through",
            hint="take the calmest that you want to listen in",
            shown=SEA,
            rig="site.wind_speed",
        ),
        Number(
            name="shipping",
            label="Distant shipping",
            unit="",
            default="0.5",
            low="0",
            high="1",
            why="remote to busy",
            hint="0 remote, 0.5 usual, 1 busy; it is of ships over the horizon",
            shown=SEA,
            rig="site.shipping",
        ),
        Number(
            name="fresh_level",
            label="Sound pressure level in a band, rms",
            unit="dB re 1 µPa",
            default=FRESH_WATER.cell("small-lake-summer", "fresh_level").value,
            low="0 dB re 1 µPa",
            high="200 dB re 1 µPa",
            why="far below the quietest water to far above the loudest",
            hint="published, or measured with a quieter chain",
            shown=FRESH,
            rig="site.quiet_level",
        ),
        Number(
            name="fresh_low",
            label="That band from",
            unit="Hz",
            default=FRESH_WATER.cell("small-lake-summer", "fresh_low").value,
            low="1 Hz",
            high="1 kHz",
            why="slow waves to the middle of the band",
            hint="as given with the level",
            shown=FRESH,
            rig="site.quiet_low",
        ),
        Number(
            name="fresh_high",
            label="… to",
            unit="kHz",
            default=FRESH_WATER.cell("small-lake-summer", "fresh_high").value,
            low="1.001 kHz",
            high="1000 kHz",
            why="the middle of the band to ultrasound",
            hint="as given with the level",
            shown=FRESH,
            rig="site.quiet_high",
        ),
        Number(
            name="fresh_slope",
            label="Slope of the spectrum in that band, a decade",
            unit="dB",
            default="-17 dB",
            low="-60 dB",
            high="60 dB",
            why="far steeper than any water, either way",
            hint="−17 is the sea's above 1 kHz; 0 spreads the level evenly. Seldom published: keep "
            "it uncertain",
            tolerance="±10 dB",
            shown=FRESH,
            rig="site.quiet_slope",
        ),
        Choice(
            name="rain",
            label="Rain",
            options=(
                Option(value="none", label="none"),
                Option(value="light", label="light"),
                Option(value="moderate", label="moderate"),
                Option(value="heavy", label="heavy"),
            ),
            default="none",
            hint="drawn only, up to 16 kHz: the answers are for dry weather, which is quieter",
        ),
        Number(
            name="departure",
            label="Departure of your water from the curve",
            unit="dB",
            default="0 dB",
            low="-40 dB",
            high="40 dB",
            why="far beyond the spread between sites",
            hint="sites differ by 10 dB and more at one wind speed: its tolerance says so",
            tolerance="±10 dB",
            rig="site.noise_departure",
        ),
        Number(
            name="lowest_wanted",
            label="Lowest sound wanted",
            unit="Hz",
            default="100 Hz",
            low="10 Hz",
            high="1 kHz",
            why="where the curves begin to the middle of the band",
            hint="the margin is searched from here",
            rig="plan.lowest_wanted",
        ),
        Number(
            name="highest_wanted",
            label="Highest sound wanted",
            unit="kHz",
            default="10 kHz",
            low="1 kHz",
            high="100 kHz",
            why="the middle of the band to where the curves end",
            hint="to here",
            rig="plan.highest_wanted",
        ),
        chain.SENSITIVITY_LEVEL,
        chain.ELEMENT_CAPACITANCE,
        chain.LOSS_TANGENT,
        chain.CABLE_CAPACITANCE,
        chain.INPUT_CAPACITANCE,
        chain.BIAS_RESISTANCE,
        chain.VOLTAGE_NOISE,
        chain.NOISE_CORNER,
        chain.CURRENT_NOISE,
        chain.CURRENT_NOISE_CORNER,
        chain.GAIN,
        chain.RECORDER_INPUT_NOISE,
        chain.TEMPERATURE,
    ),
    outputs=(
        _margin(
            "worst_margin",
            "Least margin of the water over the chain",
            "between lowest and highest sound wanted",
            in_rig=True,
        ),
        Output(
            name="worst_frequency",
            label="… at this frequency",
            unit="Hz",
            help="of seven that are tried, the two ends and 1 kHz among them",
        ),
        Output(name="water_level", label="Noise of the water there", unit="dB re 1 µPa²/Hz"),
        Output(
            name="own_level",
            label="Equivalent noise of the chain there",
            unit="dB re 1 µPa²/Hz",
        ),
        Output(
            name="rise",
            label="What the chain adds to the reading there",
            unit="dB",
            help="both together over the water alone",
            verdict=Verdict(
                better="below",
                limit=3.0,
                met="the water is the louder of the two",
                missed="the chain is the louder of the two",
                unsure="which of the two is louder is not sure",
                source="two equal noises together are 3 dB louder than one",
                ample=3.0,
            ),
        ),
        _margin("low_margin", "Least margin up to 1 kHz", "from the lowest sound wanted"),
        _margin("middle_margin", "Margin at 1 kHz", "to compare chains by"),
        _margin("high_margin", "Least margin from 1 kHz up", "to the highest sound wanted"),
    ),
    in_rig=True,
    compute=_ambient_noise,
    plot=_spectra,
    fills=(
        Fill(
            name="published",
            label="Published level",
            table=FRESH_WATER,
            inputs={
                "fresh_level": "fresh_level",
                "fresh_low": "fresh_low",
                "fresh_high": "fresh_high",
            },
        ),
    ),
)
