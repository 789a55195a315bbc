"""Calculator of what a leak test could not have seen, and what that does in the deployment."""

from dataclasses import replace
from typing import NamedTuple

from calculators.cards.common import GAUGE_STEP, from_table
from calculators.cards.dive import DEPTH, WATER_DENSITY, WATER_DENSITY_FILL, gauge_pressure
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Choice,
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
from calculators.formula import remembered
from calculators.formulas import gas_hold, leak_flow
from calculators.tables.waters import WATERS
from calculators.units import format_display

STANDARD_PRESSURE = 1e5
STANDARD_TEMPERATURE = 20.0
"""A leak rate is stated for dry air from this pressure into a vacuum, °C."""

PLUG_FACES = 2
"""A plug of water has two ends, and each may hold as much as a sharp edge."""

ANY_ANGLE = 90.0
"""The contact angle at which an edge holds the most."""

LAMINAR = 2000.0
"""Reynolds number below which flow in a round channel is laminar."""

SHORT = 10
"""A channel of fewer bores in length than this is hardly a channel."""

SWIFT = 3.0
"""Reynolds number times bore over length at which speeding up takes a tenth of the pressure."""

AIR_DENSITY = 1.2
"""Of the air outside, kg/m³; only for the question above."""

PARTS = 40
"""Parts that the curves are drawn in."""

STRETCH = 1.5
"""How far beyond the depth of the deployment the plot goes."""

SOAKS = ("soak-weighed", "soak-paper")
HOLDS = ("pressure-hold", "vacuum-hold")
PLACE_BY_PLACE = ("soak-paper", "bubbles")
"""Tests that judge each place by itself: as many leaks too small to see as there are channels."""
PRESSURE_INSIDE = ("bubbles", "pressure-hold")


class _Missed(NamedTuple):
    """What a test may have missed: one open channel, and the widest that was kept shut."""

    open_bore: float
    shut_bore: float
    wetted: bool


class _Flows(NamedTuple):
    """Water through what was missed, at the start of the deployment."""

    through_open: float
    through_shut: float


def _leak_budget(
    depth: float,
    water_density: float,
    temperature_water: float,
    duration: float,
    free_volume: float,
    air_pressure: float,
    allowed_ingress: float,
    channel_length: float,
    channels: float,
    contact_angle: float,
    test: str,
    temperature_test: float,
    soak_depth: float,
    soak_density: float,
    soak_duration: float,
    mass_seen: float,
    spot_seen: float,
    test_pressure: float,
    bubble_diameter: float,
    bubble_interval: float,
    leak_limit: float,
    channel_state: str,
    gauge_step: float,
    unseen_warming: float,
) -> dict[str, float]:
    if test in SOAKS:
        seen = mass_seen / soak_density if test == "soak-weighed" else spot_seen
        missed = _missed_by_soak(
            seen=seen,
            field="mass_seen" if test == "soak-weighed" else "spot_seen",
            depth=soak_depth,
            density=soak_density,
            duration=soak_duration,
            temperature=temperature_test,
            free_volume=free_volume,
            air_pressure=air_pressure,
            length=channel_length,
            contact_angle=contact_angle,
        )
    else:
        limit = (
            leak_flow.bubble_gas_flow(
                diameter=bubble_diameter, interval=bubble_interval, pressure=air_pressure
            )
            if test == "bubbles"
            else leak_limit
        )
        missed = _missed_by_gas(
            limit=limit,
            test=test,
            wet=channel_state == "wet",
            pressure=test_pressure,
            air_pressure=air_pressure,
            temperature=temperature_test,
            length=channel_length,
        )
    pressure = gauge_pressure(depth=depth, water_density=water_density)
    viscosity = leak_flow.water_viscosity(temperature=temperature_water)
    open_channels = _open_channels(test, channels)
    on_paper = open_channels if test in SOAKS else 1.0
    flows = _flows(
        missed,
        pressure=pressure,
        viscosity=viscosity,
        temperature=temperature_water,
        length=channel_length,
        channels=channels,
        open_channels=open_channels,
        contact_angle=contact_angle,
    )
    first = flows.through_open + flows.through_shut
    case = {
        "pressure_difference": pressure,
        "air_pressure": air_pressure,
        "free_volume": free_volume,
    }
    unseen = leak_flow.ingress(first_flow=first, duration=duration, **case)
    shut_share = flows.through_shut / first
    through = {"length": channel_length, "pressure_difference": pressure, "viscosity": viscosity}
    bore = leak_flow.bore_for_water_flow(flow=first, **through)
    most = leak_flow.balance_ingress(**case)
    _check_allowed(allowed_ingress, most)
    allowed = leak_flow.first_flow(ingress=allowed_ingress, duration=duration, **case)
    needed_leak_rate = _gas_through(
        leak_flow.bore_for_water_flow(flow=allowed, **through),
        test,
        pressure=test_pressure,
        air_pressure=air_pressure,
        temperature=temperature_test,
        length=channel_length,
    )
    # Half of what is allowed for the channels that the soak finds shut, half for the open ones.
    shut_enough = leak_flow.exit_pressure(
        surface_tension=leak_flow.water_surface_tension(temperature=temperature_water),
        contact_angle=contact_angle,
        bore=leak_flow.bore_for_water_flow(flow=allowed / 2 / channels, **through),
    )
    needed_gain = allowed / 2 / on_paper * shut_enough / pressure
    if test in SOAKS:
        needed_time = seen / needed_gain
    elif test == "bubbles":
        needed_time = bubble_interval * limit / needed_leak_rate
    else:
        needed_time = _hold_time(
            leak_limit=min(needed_leak_rate, leak_limit),
            pressure=_gas_inside(test, test_pressure, air_pressure),
            volume=free_volume,
            temperature=temperature_test,
            gauge_step=gauge_step,
            unseen_warming=unseen_warming,
        )
    return {
        "unseen_ingress": unseen,
        "open_part": unseen * (1 - shut_share),
        "shut_part": unseen * shut_share,
        "seen_bore": missed.open_bore,
        "shut_bore": missed.shut_bore,
        "equivalent_bore": bore,
        "leak_rate": leak_flow.gas_flow(
            bore=bore,
            length=channel_length,
            high_pressure=STANDARD_PRESSURE,
            low_pressure=0.0,
            viscosity=leak_flow.air_viscosity(temperature=STANDARD_TEMPERATURE),
            temperature=STANDARD_TEMPERATURE,
        ),
        "needed_depth": depth * shut_enough / pressure,
        "needed_gain": needed_gain,
        "needed_leak_rate": needed_leak_rate,
        "needed_time": needed_time,
        "most_ingress": most,
        "reynolds": _reynolds(
            missed,
            _Flows(flows.through_open / open_channels, flows.through_shut / channels),
            water_density,
            viscosity,
        ),
    }


@remembered
def _missed_by_soak(
    *,
    seen: float,
    field: str,
    depth: float,
    density: float,
    duration: float,
    temperature: float,
    free_volume: float,
    air_pressure: float,
    length: float,
    contact_angle: float,
) -> _Missed:
    """Open channels that let in less than would be seen; channels that stayed shut."""
    pressure = gauge_pressure(depth=depth, water_density=density)
    case = {
        "pressure_difference": pressure,
        "air_pressure": air_pressure,
        "free_volume": free_volume,
    }
    most = leak_flow.balance_ingress(**case)
    if seen >= 0.99 * most:
        raise InputError(
            field,
            f"What the soak would have shown: {_ml(seen)} is too much. At this depth the air in "
            f"the case stops the water at {_ml(most)}, however large the leak. Give less, or a "
            "deeper soak.",
        )
    return _Missed(
        open_bore=leak_flow.bore_for_water_flow(
            flow=leak_flow.first_flow(ingress=seen, duration=duration, **case),
            length=length,
            pressure_difference=pressure,
            viscosity=leak_flow.water_viscosity(temperature=temperature),
        ),
        shut_bore=leak_flow.widest_shut_bore(
            surface_tension=leak_flow.water_surface_tension(temperature=temperature),
            contact_angle=contact_angle,
            pressure_difference=pressure,
        ),
        wetted=False,
    )


@remembered
def _missed_by_gas(
    *,
    limit: float,
    test: str,
    wet: bool,
    pressure: float,
    air_pressure: float,
    temperature: float,
    length: float,
) -> _Missed:
    """A channel with less than the leak rate that would be seen; channels that held water."""
    high, low = _gas_pressures(test, pressure, air_pressure)
    bore = leak_flow.bore_for_gas_flow(
        flow=limit,
        length=length,
        high_pressure=high,
        low_pressure=low,
        viscosity=leak_flow.air_viscosity(temperature=temperature),
        temperature=temperature,
    )
    if test in HOLDS and not wet:
        return _Missed(open_bore=bore, shut_bore=0.0, wetted=False)
    tension = leak_flow.water_surface_tension(temperature=temperature)
    # A bubble at the outer end must pass one half sphere. Air that advances makes water recede, and
    # the receding angle is less than the one entered, so no angle is counted on.
    faces = 1 if test == "bubbles" else PLUG_FACES
    shut = leak_flow.widest_shut_bore(
        surface_tension=tension, contact_angle=ANY_ANGLE, pressure_difference=pressure / faces
    )
    return _Missed(open_bore=bore, shut_bore=shut, wetted=test in HOLDS)


def _gas_pressures(test: str, difference: float, air_pressure: float) -> tuple[float, float]:
    """Absolute pressures at the two ends; a vacuum where the test has no pressure inside."""
    if test in PRESSURE_INSIDE:
        return air_pressure + difference, air_pressure
    if difference > air_pressure:
        given, limit = (format_display(x, "kPa", 4, "metric") for x in (difference, air_pressure))
        raise InputError(
            "test_pressure",
            f"Pressure of a gas test: {given} below the air is not possible, the air itself has "
            f"{limit}. Give {limit} or less.",
        )
    return air_pressure, air_pressure - difference


def _gas_inside(test: str, difference: float, air_pressure: float) -> float:
    """Absolute pressure in the case during a gas test."""
    high, low = _gas_pressures(test, difference, air_pressure)
    return high if test in PRESSURE_INSIDE else low


@remembered
def _hold_time(
    *,
    leak_limit: float,
    pressure: float,
    volume: float,
    temperature: float,
    gauge_step: float,
    unseen_warming: float,
) -> float:
    """Until a leak of the limit has moved more gas than step and temperature can hide.

    The reading may be off by half a step at either end; nothing else is counted on to scatter.
    """
    hidden = gas_hold.unseen_gas(
        gas=gas_hold.gas_amount(pressure=pressure, volume=volume, temperature=temperature),
        temperature=temperature,
        temperature_change=unseen_warming,
        pressure=pressure,
        pressure_change=-gauge_step,
    )
    return gas_hold.time_to_prove(
        scatter=0.0, interval=1.0, coverage=0.0, steady_error=hidden, leak_limit=leak_limit
    )


def _gas_through(
    bore: float,
    test: str,
    *,
    pressure: float,
    air_pressure: float,
    temperature: float,
    length: float,
) -> float:
    """Leak rate of a bore in the gas test."""
    high, low = _gas_pressures(test, pressure, air_pressure)
    return leak_flow.gas_flow(
        bore=bore,
        length=length,
        high_pressure=high,
        low_pressure=low,
        viscosity=leak_flow.air_viscosity(temperature=temperature),
        temperature=temperature,
    )


def _open_channels(test: str, channels: float) -> float:
    """Leaks that each were just too small to see, at their own places or all together."""
    return channels if test in PLACE_BY_PLACE else 1.0


def _flows(
    missed: _Missed,
    *,
    pressure: float,
    viscosity: float,
    temperature: float,
    length: float,
    channels: float,
    open_channels: float,
    contact_angle: float,
) -> _Flows:
    """Water that what was missed lets in; a shut channel may stay shut in the deployment too."""
    through = {"length": length, "pressure_difference": pressure, "viscosity": viscosity}
    through_open = open_channels * leak_flow.water_flow(bore=missed.open_bore, **through)
    if not missed.shut_bore:
        return _Flows(through_open, 0.0)
    opens = missed.wetted or pressure > leak_flow.entry_pressure(
        surface_tension=leak_flow.water_surface_tension(temperature=temperature),
        contact_angle=contact_angle,
        bore=missed.shut_bore,
    )
    if not opens:
        return _Flows(through_open, 0.0)
    return _Flows(through_open, channels * leak_flow.water_flow(bore=missed.shut_bore, **through))


def _reynolds(missed: _Missed, flows: _Flows, density: float, viscosity: float) -> float:
    """Of the widest channel with flow in it; flows are those of one channel."""
    if flows.through_shut and missed.shut_bore > missed.open_bore:
        bore, flow = missed.shut_bore, flows.through_shut
    else:
        bore, flow = missed.open_bore, flows.through_open
    return leak_flow.reynolds_number(flow=flow, bore=bore, density=density, viscosity=viscosity)


def _check_allowed(allowed: float, most: float) -> None:
    if allowed >= 0.99 * most:
        raise InputError(
            "allowed_ingress",
            f"Water that may get in: no leak lets in {_ml(allowed)}. At this depth the air in the "
            f"case stops the water at {_ml(most)}. Give less than that.",
        )


def _ml(volume: float, system: str = "metric") -> str:
    return format_display(volume, "mL", 3, system)


def _at_depth(values: Values, results: Results, depth: float) -> tuple[float, float]:
    """Ingress through open and through shut channels in a deployment at another depth."""
    given = {name: float(x) for name, x in values.items() if not isinstance(x, str)}
    pressure = gauge_pressure(depth=depth, water_density=given["water_density"])
    flows = _flows(
        _Missed(results["seen_bore"], results["shut_bore"], values["test"] in HOLDS),
        pressure=pressure,
        viscosity=leak_flow.water_viscosity(temperature=given["temperature_water"]),
        temperature=given["temperature_water"],
        length=given["channel_length"],
        channels=given["channels"],
        open_channels=_open_channels(str(values["test"]), given["channels"]),
        contact_angle=given["contact_angle"],
    )
    first = flows.through_open + flows.through_shut
    unseen = leak_flow.ingress(
        first_flow=first,
        duration=given["duration"],
        pressure_difference=pressure,
        air_pressure=given["air_pressure"],
        free_volume=given["free_volume"],
    )
    return unseen * flows.through_open / first, unseen * flows.through_shut / first


def _over_depth(values: Values, results: Results, system: str) -> Plot:
    depth, allowed = float(values["depth"]), float(values["allowed_ingress"])
    end = min(STRETCH * depth, DEPTH.high_si)
    depths = [end * i / PARTS for i in range(1, PARTS + 1)]
    parts = [_at_depth(values, results, x) for x in depths]
    both = [(x, a + b) for x, (a, b) in zip(depths, parts, strict=True)]
    there = format_display(depth, "m", 3, system)
    return Plot(
        title="What the test could have missed, over the depth of the deployment",
        description=(
            f"Ingress that could go unseen, over depth. At {there} it is "
            f"{_ml(results['unseen_ingress'], system)}, of which "
            f"{_ml(results['shut_part'], system)} through channels that surface tension may have "
            f"kept shut in the test. {_ml(allowed, system)} may get in."
        ),
        x=Axis(label="Depth of the deployment", unit="m", domain=(0, end)),
        y=Axis(
            label="Unseen ingress",
            unit="mL",
            domain=(0, 1.1 * max(allowed, *(y for _, y in both))),
        ),
        lines=[
            Line(name="Both together", points=both),
            Line(
                name="Open in the test, too little to see",
                points=[(x, a) for x, (a, _) in zip(depths, parts, strict=True)],
                kind="second",
            ),
            Line(
                name="Shut in the test",
                points=[(x, b) for x, (_, b) in zip(depths, parts, strict=True)],
                kind="third",
            ),
        ],
        marks=[(depth, there)],
        levels=[(allowed, "may get in")],
    )


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    said = [_proved(values, results, system)]
    if results["shut_bore"]:
        said.append(_what_was_shut(values, results, system))
    said.append(_enough(values, results, system))
    if values["test"] in PRESSURE_INSIDE:
        said.append(
            "Pressure inside lifts the lid off its seal, the water presses it on: this test loads "
            "the seal the wrong way round. A vacuum loads it as the water does."
        )
    widest = max(results["seen_bore"], results["shut_bore"])
    if widest > float(values["channel_length"]) / SHORT:
        said.append(
            f"A bore of {_um(widest, system)} is wide for so short a channel: more than friction "
            "holds the water back, and less gets in than this."
        )
    if values["test"] not in SOAKS and _is_swift(values, results):
        said.append(
            "So fast a leak of air is held back by more than friction: the bore may be wider than "
            "it looks, and more could get in than this."
        )
    if results["unseen_ingress"] > results["most_ingress"] / 10:
        said.append(
            "The air in the case, pressed together, already slows the water. A second opening "
            "that lets the air out would let the case fill."
        )
    return said


def _is_swift(values: Values, results: Results) -> bool:
    """Whether the largest leak that the gas test would not show is more than laminar."""
    outside = float(values["air_pressure"])
    if values["test"] == "bubbles":
        limit = leak_flow.bubble_gas_flow(
            diameter=float(values["bubble_diameter"]),
            interval=float(values["bubble_interval"]),
            pressure=outside,
        )
    else:
        limit = float(values["leak_limit"])
    bore = results["seen_bore"]
    reynolds = leak_flow.reynolds_number(
        # The mass flow counts: amount of gas times density over pressure, both of the room.
        flow=limit / outside,
        bore=bore,
        density=AIR_DENSITY,
        viscosity=leak_flow.air_viscosity(temperature=float(values["temperature_test"])),
    )
    return reynolds * bore / float(values["channel_length"]) > SWIFT


def _proved(values: Values, results: Results, system: str) -> str:
    lets_in = (
        f"{_ml(results['unseen_ingress'], system)} in "
        f"{format_display(float(values['duration']), 'd', 3, system)} at "
        f"{format_display(float(values['depth']), 'm', 3, system)}"
    )
    if results["unseen_ingress"] > float(values["allowed_ingress"]):
        return f"This test could miss a leak that lets in {lets_in}: as a proof it is not enough."
    return f"What this test could miss lets in at most {lets_in}."


def _what_was_shut(values: Values, results: Results, system: str) -> str:
    bore = _um(results["shut_bore"], system)
    held = f"Channels of up to {bore} could have been held shut by surface tension in the test"
    if results["shut_part"]:
        return (
            f"{held}, and may open in the deployment: no longer test and no better balance helps."
        )
    return f"{held}. The water of the deployment does not open them either."


def _enough(values: Values, results: Results, system: str) -> str:
    soak = (
        f"a soak at {format_display(results['needed_depth'], 'm', 3, system)}, in the water of "
        f"the deployment, that shows {format_display(results['needed_gain'], 'mL/d', 3, system)}"
    )
    if values["test"] in SOAKS:
        soak += f" ({_balance_or_time(values, results, system)})"
    pressure = format_display(float(values["test_pressure"]), "kPa", 3, system)
    inside = values["test"] in PRESSURE_INSIDE
    hold = f"held with {pressure} inside" if inside else f"held {pressure} below the air"
    return (
        f"Enough would be: {soak}; or the case {hold}, if that proves a leak rate below "
        f"{format_display(results['needed_leak_rate'], 'Pa·m³/s', 3, system)}, with channels that "
        "have never been wet."
    )


def _balance_or_time(values: Values, results: Results, system: str) -> str:
    """What the needed gain comes to in the time of this soak, and how long for what it showed."""
    time, density = float(values["soak_duration"]), float(values["soak_density"])
    in_time = results["needed_gain"] * time
    if values["test"] == "soak-weighed":
        must_show = format_display(in_time * density, "g", 3, system)
        shown = float(values["mass_seen"])
        seen, volume = format_display(shown, "g", 3, system), shown / density
    else:
        must_show = format_display(in_time, "µL", 3, system)
        volume = float(values["spot_seen"])
        seen = format_display(volume, "µL", 3, system)
    return (
        f"in {format_display(time, 'h', 3, system)} that is {must_show}; with {seen} it takes "
        f"{format_display(volume / results['needed_gain'], 'd', 3, system)}"
    )


def _um(length: float, system: str) -> str:
    return format_display(length, "µm", 3, system)


def _is(test: str) -> Shown:
    return Shown(input="test", values=(test,))


LEAK_BUDGET = Calculator(
    id="leak-budget",
    title="What the leak test could miss",
    question="How much water could get in through what the leak test did not show?",
    stage="test",
    inputs=(
        replace(DEPTH, default="12 m"),
        from_table(
            WATERS.cell("sea-10", "density"),
            name=WATER_DENSITY.name,
            label=WATER_DENSITY.label,
            unit=WATER_DENSITY.unit,
            low=WATER_DENSITY.low,
            high=WATER_DENSITY.high,
            why=WATER_DENSITY.why,
            rig=WATER_DENSITY.rig,
        ),
        Number(
            name="temperature_water",
            label="Temperature of the water",
            unit="°C",
            default="12 °C",
            low="-2 °C",
            high="40 °C",
            why="sea water about to freeze to a pond in the sun",
            hint="cold water is thicker",
            rig="site.water_temperature",
        ),
        Number(
            name="duration",
            label="Time under water",
            unit="d",
            default="10 d",
            low="10 min",
            high="3650 d",
            why="one dive to ten years",
            rig="plan.duration",
        ),
        Number(
            name="free_volume",
            label="Air in the closed case",
            unit="L",
            default="1.2 L",
            low="10 mL",
            high="200 L",
            why="a tube for one board to a large case",
            hint="inner volume less what is in it",
            tolerance="±10 %",
            rig="case.free_volume",
        ),
        Number(
            name="air_pressure",
            label="Air pressure when it is closed",
            unit="hPa",
            default="1013 hPa",
            low="500 hPa",
            high="1090 hPa",
            why="a tarn above 5000 m to the highest known at sea level",
            rig="site.air_pressure",
        ),
        Number(
            name="allowed_ingress",
            label="Water that may get in",
            unit="mL",
            default="2 mL",
            low="1 µL",
            high="10 L",
            why="a drop on a board to a bilge",
            hint="what padding or desiccant holds, below the lowest part that must stay dry",
            rig="case.allowed_ingress",
        ),
        Number(
            name="channel_length",
            label="Shortest way through seal or wall",
            unit="mm",
            default="3 mm",
            low="0.1 mm",
            high="100 mm",
            why="a scratch across a thin seal to a thick wall",
            hint="land of the seal, or the bond along a cable",
            rig="seals.channel_length",
        ),
        Number(
            name="channels",
            label="Channels of the same kind",
            unit="1",
            default="1",
            low="1",
            high="1000",
            why="one flaw to a porous wall",
            hint="held shut in the test; paper and bubbles may also miss one at each place",
            integer=True,
            rig="seals.channels",
        ),
        Number(
            name="contact_angle",
            label="Contact angle of water in the channel",
            unit="°",
            default="100°",
            low="20°",
            high="160°",
            why="clean metal to a surface that sheds water",
            hint="epoxy 76°, polycarbonate 82°, silicone 107°, butyl rubber 112°",
            tolerance="±8°",
            rig="seals.contact_angle",
        ),
        Choice(
            name="test",
            label="Leak test",
            options=(
                Option(value="soak-weighed", label="soak, weighed before and after"),
                Option(value="soak-paper", label="soak, with witness paper"),
                Option(value="bubbles", label="pressure inside, bubbles under water"),
                Option(value="pressure-hold", label="pressure inside, held"),
                Option(value="vacuum-hold", label="vacuum inside, held"),
            ),
            default="soak-weighed",
            hint="that showed nothing",
            rig="seals.test",
        ),
        Number(
            name="temperature_test",
            label="Temperature in the test",
            unit="°C",
            default="20 °C",
            low="-2 °C",
            high="40 °C",
            why="as for the deployment",
            rig="seals.test_temperature",
        ),
        Number(
            name="soak_depth",
            label="Depth of the soak",
            unit="m",
            default="1.8 m",
            low="0.05 m",
            high="1000 m",
            why="a bucket to the deployment on a line",
            tolerance="±5 %",
            shown=Shown(input="test", values=SOAKS),
            rig="seals.test_soak_depth",
        ),
        from_table(
            WATERS.cell("fresh-20", "density"),
            name="soak_density",
            label="Density of the water in the soak",
            unit=WATER_DENSITY.unit,
            low=WATER_DENSITY.low,
            high=WATER_DENSITY.high,
            why=WATER_DENSITY.why,
            shown=Shown(input="test", values=SOAKS),
            rig="seals.test_soak_density",
        ),
        Number(
            name="soak_duration",
            label="Time of the soak",
            unit="h",
            default="14 h",
            low="1 min",
            high="1000 d",
            why="a dip to more than most deployments",
            shown=Shown(input="test", values=SOAKS),
            rig="seals.test_soak_duration",
        ),
        Number(
            name="mass_seen",
            label="Smallest gain in mass that would have shown",
            unit="g",
            default="0.5 g",
            low="1 mg",
            high="1 kg",
            why="a laboratory balance to a kitchen scale in wind",
            hint="three times the balance's resolution, and what drying the outside leaves",
            shown=_is("soak-weighed"),
            rig="seals.test_mass_seen",
        ),
        Number(
            name="spot_seen",
            label="Smallest amount of water that would have shown",
            unit="µL",
            default="20 µL",
            low="0.1 µL",
            high="100 mL",
            why="a speck on dyed paper to a puddle",
            hint="tried with drops of known size on the same paper",
            shown=_is("soak-paper"),
            rig="seals.test_spot_seen",
        ),
        Number(
            name="test_pressure",
            label="Pressure of a gas test, above or below the air",
            unit="kPa",
            default="20 kPa",
            low="0.5 kPa",
            high="100 kPa",
            why="a bicycle valve and a breath to nearly all the air there is",
            hint="after a soak: only for what would be enough",
            rig="seals.test_pressure",
        ),
        Number(
            name="bubble_diameter",
            label="Smallest bubble that would have been seen",
            unit="mm",
            default="2 mm",
            low="0.5 mm",
            high="20 mm",
            why="a bead on a wall to a burst",
            shown=_is("bubbles"),
            rig="seals.test_bubble_diameter",
        ),
        Number(
            name="bubble_interval",
            label="Time that each place was watched",
            unit="min",
            default="1 min",
            low="1 s",
            high="1 d",
            why="a glance to a camera overnight",
            hint="a slower leak makes no bubble in it",
            shown=_is("bubbles"),
            rig="seals.test_bubble_interval",
        ),
        Number(
            name="leak_limit",
            label="Largest leak rate that the hold could not rule out",
            unit="µPa·m³/s",
            default="10 µPa·m³/s",
            low="1 pPa·m³/s",
            high="0.01 Pa·m³/s",
            why="a tracer gas to a hiss",
            hint="the upper limit from the log of the hold, at this pressure",
            shown=Shown(input="test", values=HOLDS),
            rig="seals.test_leak_limit",
        ),
        Choice(
            name="channel_state",
            label="Channels before the hold",
            options=(
                Option(value="dry", label="never wet, or dried with warmth"),
                Option(value="wet", label="may hold water from an earlier soak or dive"),
            ),
            default="dry",
            hint="a plug of water holds gas back",
            shown=Shown(input="test", values=HOLDS),
            rig="seals.test_channel_state",
        ),
        replace(
            GAUGE_STEP,
            hint=f"{GAUGE_STEP.hint}; only for the length of a hold",
            shown=Shown(input="test", values=HOLDS),
        ),
        Number(
            name="unseen_warming",
            label="Warming or cooling that the log does not show",
            unit="Δ°C",
            default="0.1 Δ°C",
            low="0 Δ°C",
            high="20 Δ°C",
            why="a sensor in the gas, to a case carried from sun to shade",
            hint="of the gas, from first to last reading; only for the length of a hold",
            shown=Shown(input="test", values=HOLDS),
        ),
    ),
    outputs=(
        Output(
            name="unseen_ingress",
            label="Ingress that could go unseen by the test",
            unit="mL",
            help="in the whole deployment, through the worst leak that the test could miss",
            verdict=Verdict(
                better="below",
                limit="allowed_ingress",
                met="within the {limit} that may get in: the test is good enough",
                missed="more than the {limit} that may get in: the test is not good enough",
                unsure="may be more than the {limit} that may get in",
                source="your own limit",
                ends=True,
            ),
        ),
        Output(
            name="open_part",
            label="… through what was open but too fine to see",
            unit="mL",
            help="shrinks with a longer test, or one that shows less",
        ),
        Output(
            name="shut_part",
            label="… through what surface tension may have kept shut",
            unit="mL",
            help="shrinks only with more pressure in the test, or with dry channels and gas",
        ),
        Output(
            name="seen_bore",
            label="Bore that the test would just have shown",
            unit="µm",
            help="one round channel of the length given, open",
        ),
        Output(
            name="shut_bore",
            label="Widest bore that may have been shut in the test",
            unit="µm",
            help="none where dry channels are tested with gas",
        ),
        Output(
            name="equivalent_bore",
            label="Unseen leak as one bore",
            unit="µm",
            help="one round channel that lets in as much",
        ),
        Output(
            name="leak_rate",
            label="Unseen leak as a leak rate",
            unit="µPa·m³/s",
            help="of that bore, for dry air of 20 °C from 100 kPa into a vacuum",
        ),
        Output(
            name="needed_depth",
            label="Depth that a soak needs",
            unit="m",
            help="in the water of the deployment; half of what may get in is then left to channels "
            "that stay shut",
        ),
        Output(
            name="needed_gain",
            label="What such a soak must be able to show",
            unit="mL/d",
            help="the other half, at that depth, on paper at each place; in a longer soak a worse "
            "balance shows it",
        ),
        Output(
            name="needed_leak_rate",
            label="Leak rate that a hold must rule out",
            unit="µPa·m³/s",
            help="dry channels, at the pressure of a gas test: inside where the test above has it, "
            "else a vacuum",
            rig="seals.allowed_leak_rate",
        ),
        Output(
            name="needed_time",
            label="Time that such a test needs",
            unit="h",
            help="a soak at the depth that it needs; a hold to rule out that leak rate, or the one "
            "given if it is less; bubbles at each place",
        ),
        Output(
            name="most_ingress",
            label="Ingress at which the air in the case stops it",
            unit="mL",
            help="of one leak, however large; with two openings the case may fill",
        ),
        Output(
            name="reynolds",
            label="Reynolds number in the widest channel",
            unit="",
            help="in the deployment",
            verdict=Verdict(
                better="below",
                limit=LAMINAR,
                met="below 2000: laminar, as assumed",
                missed="above 2000: not laminar, less gets in than calculated",
                unsure="about 2000: perhaps not laminar",
                missed_level="care",
                source="sutera-skalak-1993",
                in_rig=False,
            ),
        ),
    ),
    compute=_leak_budget,
    fills=(WATER_DENSITY_FILL,),
    plot=_over_depth,
    remarks=_remarks,
    cautions=(
        Caution(
            title="Compressed air in a case can kill.",
            text="Test with water or vacuum first. If there must be pressure inside: no more than "
            "the case was made for and the question needs, a relief valve, a shield, the lid "
            "held, nobody in front of lid, plug or window, never the face near it; let the "
            "pressure out before a fastener is touched. Follow local rules for pressure tests.",
            when=lambda values, results: values["test"] in PRESSURE_INSIDE,
        ),
        Caution(
            title="A vacuum breaks what is brittle.",
            text="Glass and flat windows can burst inwards, lids slam on fingers: goggles, a cloth "
            "over it, no cells inside.",
            when=lambda values, results: values["test"] == "vacuum-hold",
        ),
        Caution(
            title="Soak the empty case first.",
            text="No cells and no recorder in it: a flooded pack can burn and burst days later, "
            "and gas may stand under pressure in what has leaked; open it slowly, turned away. "
            "Nothing that hangs on the mains near a pool, and nobody dives for the case who is "
            "not trained and watched. Follow the pool's and local rules.",
            when=lambda values, results: values["test"] in SOAKS,
        ),
    ),
    in_rig=True,
)
