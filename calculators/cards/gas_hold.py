"""Calculator of the leak rate: a pressure or vacuum hold, judged with its uncertainty."""

from collections.abc import Mapping
from functools import lru_cache
from math import sqrt

from calculators.cards.common import GAUGE_STEP
from calculators.cards.gas_hold_findings import LITTLE_DRIVE, Hold, findings
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Choice,
    Level,
    Log,
    Number,
    Option,
    Output,
    Plot,
    Results,
    Shown,
    Value,
    Values,
    Verdict,
)
from calculators.declare import Line as Curve
from calculators.errors import InputError
from calculators.formulas.constants import ZERO_CELSIUS
from calculators.formulas.gas_hold import (
    REFERENCE,
    ROUNDING,
    coverage_factor,
    fitted_loss_rate,
    gas_amount,
    gas_volume_rate,
    hidden_by_steps,
    independent_readings,
    interval_half_width,
    rate_over_test,
    rate_uncertainty,
    smallest_leak_shown,
    time_to_prove,
    unseen_gas,
)
from calculators.formulas.hold_log import COLUMNS, FEWEST_POINTS, Line, amounts, line, series

VACUUM_HOLD = """time/s,pressure/kPa,temperature/degC
0,51.3,20.1
1800,51.3,20.11
3600,51.31,20.12
5400,51.33,20.16
7200,51.33,20.17
9000,51.34,20.17
10800,51.34,20.15
12600,51.35,20.19
14400,51.33,20.15
16200,51.35,20.16
18000,51.36,20.18
19800,51.36,20.17
21600,51.37,20.16
23400,51.38,20.13
25200,51.38,20.14
27000,51.36,20.1
28800,51.37,20.09
30600,51.38,20.09
32400,51.37,20.06"""
"""Invented: a case in a dry bag in a bath of water, half its air pumped out, overnight."""

MOST_DRAWN = 300


def _held(
    log: str,
    sensor: str,
    pressure_scale: float,
    air_pressure: float,
    gas_temperature: float,
    settle_time: float,
) -> Line:
    """The line through the readings, as absolute pressure at 20 °C; volume comes in later."""
    if sensor == "absolute":  # then the scale stretches the picture, and changes nothing else
        fit = _fitted(log, sensor, 1.0, air_pressure, gas_temperature, settle_time)
        return fit.scaled(pressure_scale)
    return _fitted(log, sensor, pressure_scale, air_pressure, gas_temperature, settle_time)


@lru_cache(maxsize=64)
def _fitted(
    log: str,
    sensor: str,
    pressure_scale: float,
    air_pressure: float,
    gas_temperature: float,
    settle_time: float,
) -> Line:
    """The line, once for each set of values.

    Raises:
        InputError: If nothing can be made of the log with these values.
    """
    found = series(log)
    outside = None if sensor == "absolute" else air_pressure
    values = amounts(found, scale=pressure_scale, outside=outside, temperature=gas_temperature)
    beside = 0.0 if outside is None or found.outside else outside
    lowest = min(values) if found.outside else pressure_scale * found.lowest + beside
    if lowest <= 0:
        raise InputError(
            "log",
            f"Log: the lowest reading is {found.lowest / 1000:g} kPa, an absolute pressure of zero "
            "or less. Give absolute pressures, or choose the sensor that counts from the air "
            "outside.",
        )
    start = found.times[0] + settle_time
    later = [(t, v) for t, v in zip(found.times, values, strict=True) if t >= start]
    if len(later) < FEWEST_POINTS:
        raise InputError(
            "settle_time",
            f"Leave out at the start: {len(later)} readings are left. "
            f"Leave at least {FEWEST_POINTS}.",
        )
    return line(*zip(*later, strict=True))


def held(values: Mapping[str, Value]) -> Line:
    """The line for the values of a form."""
    return _held(
        str(values["log"]),
        str(values["sensor"]),
        float(values["pressure_scale"]),
        float(values["air_pressure"]),
        float(values["gas_temperature"]),
        float(values["settle_time"]),
    )


def _warmth(log: str, gas_temperature: float) -> float:
    """Mean temperature of the gas, °C."""
    found = series(log)
    if not found.has_temperature:
        return gas_temperature
    return len(found.over) / sum(found.over) - ZERO_CELSIUS


def _leak_rate(
    log: str,
    volume: float,
    sensor: str,
    air_pressure: float,
    pressure_scale: float,
    gauge_step: float,
    gas_temperature: float,
    settle_time: float,
    unseen_warming: float,
    unseen_air_rise: float,
    confidence: float,
    leak_limit: float,
) -> dict[str, float]:
    fit = _held(log, sensor, pressure_scale, air_pressure, gas_temperature, settle_time)
    warm = _warmth(log, gas_temperature)
    pressure = fit.mean * (warm + ZERO_CELSIUS) / REFERENCE
    gas = gas_amount(pressure=pressure, volume=volume, temperature=warm)
    leak = fitted_loss_rate(
        correlation=fit.correlation, amount_swing=volume * fit.swing, time_swing=fit.time_swing
    )

    misfit, count = volume * fit.misfit, len(fit.times)
    independent = independent_readings(readings=count, lag_correlation=fit.lag_correlation)
    freedom = independent - 2
    coverage = coverage_factor(confidence=confidence, degrees_of_freedom=freedom)
    step = 0.0
    if steps_count(log, gauge_step):
        step = gas_amount(pressure=gauge_step, volume=volume, temperature=warm)
    half = interval_half_width(
        coverage=coverage,
        uncertainty=rate_uncertainty(
            misfit=misfit, independent=independent, time_swing=fit.time_swing
        ),
        hidden=hidden_by_steps(step_amount=step, duration=fit.duration),
    )

    hidden = 0.0
    air_rise = unseen_air_rise if sensor == "gauge" else 0.0
    if unseen_warming or air_rise:
        hidden = unseen_gas(
            gas=gas,
            temperature=warm,
            temperature_change=unseen_warming,
            pressure=pressure,
            pressure_change=air_rise,
        )
        leak += rate_over_test(gas=hidden, duration=fit.duration)
    # Cooling hides a leak into the case, warming one out of it.
    inside = pressure < _air_outside(log, air_pressure)
    one_kelvin = unseen_gas(
        gas=gas, temperature=warm, temperature_change=1.0, pressure=pressure, pressure_change=0.0
    )
    return {
        "leak_rate": leak,
        "leak_rate_low": leak - half,
        "leak_rate_high": leak + half,
        "gas_per_day": gas_volume_rate(leak_rate=leak),
        "smallest_leak": smallest_leak_shown(half_width=half),
        "time_needed": time_to_prove(
            scatter=misfit / sqrt(freedom),
            interval=fit.duration / (count - 1),
            coverage=coverage,
            steady_error=max(0.0, -hidden if inside else hidden) + 2 * ROUNDING * step,
            leak_limit=leak_limit,
        ),
        "kelvin_mimics": rate_over_test(gas=one_kelvin, duration=fit.duration),
        "independent_count": independent,
    }


def steps_count(log: str, gauge_step: float) -> bool:
    """Whether the readings scatter too little for the steps of the gauge to average out."""
    return series(log).noise < gauge_step / 2


def inward(values: Mapping[str, Value]) -> bool:
    """Whether the air outside presses in: a leak then brings gas into the case."""
    return _difference(values) < 0


def _difference(values: Mapping[str, Value]) -> float:
    """Mean pressure inside over that outside, Pa."""
    warm = _warmth(str(values["log"]), float(values["gas_temperature"]))
    return held(values).mean * (warm + ZERO_CELSIUS) / REFERENCE - _outside(values)


def _outside(values: Mapping[str, Value]) -> float:
    return _air_outside(str(values["log"]), float(values["air_pressure"]))


@lru_cache(maxsize=64)
def _air_outside(log: str, air_pressure: float) -> float:
    """Pressure of the air outside, Pa: by the barometer where the log has one."""
    barometer = series(log).log.columns.get("barometer")
    return sum(barometer) / len(barometer) if barometer else air_pressure


def _signed_limit(values: Mapping[str, Value]) -> float:
    """The limit with the sign of a leak in the direction that the pressure pushes."""
    limit = float(values["leak_limit"])
    return -limit if inward(values) else limit


def _interval_level(values: Mapping[str, Value], low: float, high: float) -> Level:
    """Judges the interval about the rate instead of the rate: tight, leaking, or not decided.

    A log without temperature is never called tight, nor one whose gas goes against the pressure
    by more than the limit, nor one with hardly any pressure to drive a leak.
    """
    half = (float(values["leak_rate_high"]) - float(values["leak_rate_low"])) / 2
    limit = _signed_limit(values)
    if limit < 0:
        low, high = -high, -low
    if low - half > abs(limit):
        return "fail"
    within = low - half >= -abs(limit) and high + half <= abs(limit)
    told = series(str(values["log"])).has_temperature and abs(_difference(values)) >= LITTLE_DRIVE
    return "good" if within and told else "care"


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    log, fit = str(values["log"]), held(values)
    found, gauge_step = series(log), float(values["gauge_step"])
    kelvin = _warmth(log, float(values["gas_temperature"])) + ZERO_CELSIUS
    return findings(
        Hold(
            found=found,
            fit=fit,
            results=results,
            volume=float(values["volume"]),
            step=gauge_step if steps_count(log, gauge_step) else 0.0,
            outside=_outside(values) * REFERENCE / kelvin,
            barometer_missing=values["sensor"] == "gauge" and not found.outside,
            system=system,
        )
    )


def _over_time(values: Values, results: Results, system: str) -> Plot:
    """Gas over time with its line; the band is where the line may lie."""
    fit, volume = held(values), float(values["volume"])
    points = _thinned(values)
    start, end = points[0][0], points[-1][0]
    half = (results["leak_rate_high"] - results["leak_rate_low"]) / 2
    level = half * fit.time_swing / sqrt(len(fit.times))  # of the line at its middle
    times = [fit.times[0] + part * fit.duration / 40 for part in range(41)]
    band = []
    for time in times:
        reach = sqrt(level**2 + (half * (time - fit.mean_time)) ** 2)
        middle = volume * fit.at(time)
        band.append((time, middle - reach, middle + reach))
    every = [y for _, y in points] + [y for _, low, high in band for y in (low, high)]
    spare = 0.05 * (max(every) - min(every)) or 0.01 * max(every)
    unit = _time_unit(end - start)
    return Plot(
        title="Gas in the case over time",
        description=(
            "Amount of gas, from pressure and temperature, with the straight line that fits best "
            "and where that line may lie. A falling line is gas lost, a rising one gas gained."
        ),
        x=Axis(label="Time", unit=unit, domain=(start, end)),
        y=Axis(label="Gas at 20 °C", unit="Pa·m³", domain=(min(every) - spare, max(every) + spare)),
        lines=[
            Curve(name="Fitted line", points=[(t, volume * fit.at(t)) for t in times]),
            Curve(name="Readings", points=points, kind="second"),
        ],
        marks=[(fit.times[0], "counted from here")] if float(values["settle_time"]) else [],
        band=band,
    )


def _time_unit(duration: float) -> str:
    return "min" if duration < 7200 else "h" if duration < 4 * 86400 else "d"


def _thinned(values: Values) -> list[tuple[float, float]]:
    """Amount of gas of every reading, or the lowest and highest of each part of a long log."""
    found, log = series(str(values["log"])), series(str(values["log"])).log.columns
    volume, scale = float(values["volume"]), float(values["pressure_scale"])
    absolute = values["sensor"] == "absolute"
    air, warm = float(values["air_pressure"]), float(values["gas_temperature"])

    def amount(row: int) -> tuple[float, float]:
        outside = 0.0 if absolute else log["barometer"][row] if "barometer" in log else air
        kelvin = (log["temperature"][row] if found.has_temperature else warm) + ZERO_CELSIUS
        pressure = scale * log["pressure"][row] + outside
        return log["time"][row], volume * pressure * REFERENCE / kelvin

    rows = found.kept
    if len(rows) <= MOST_DRAWN:
        return [amount(row) for row in rows]
    parts = MOST_DRAWN // 2
    drawn: list[tuple[float, float]] = []
    for part in range(parts):
        points = [
            amount(row) for row in rows[part * len(rows) // parts : (part + 1) * len(rows) // parts]
        ]
        ends = {min(points, key=lambda p: p[1]), max(points, key=lambda p: p[1])}
        drawn += sorted(ends)
    return drawn


LEAK_RATE = Calculator(
    id="leak-rate",
    title="Leak rate from a hold",
    question="How much does the case leak, and did the test run long enough to say so?",
    stage="test",
    inputs=(
        Log(
            name="log",
            label="Log",
            columns=COLUMNS,
            default=VACUUM_HOLD,
            hint="of a case that is dry outside: time, pressure, temperature; a barometer if the "
            "sensor counts from the air outside",
        ),
        Number(
            name="volume",
            label="Free volume",
            unit="L",
            default="1.2 L",
            low="1 mL",
            high="1 m³",
            why="a connector to a barrel",
            hint="air in case, hose and gauge together",
            tolerance="±5 %",
            rig="case.free_volume",
        ),
        Choice(
            name="sensor",
            label="The pressure is",
            options=(
                Option(value="absolute", label="absolute"),
                Option(value="gauge", label="counted from the air outside"),
            ),
            default="absolute",
            hint="open to the air, an absolute sensor reads about 1000 hPa, the other 0",
        ),
        Number(
            name="air_pressure",
            label="Air pressure outside",
            unit="hPa",
            default="1013 hPa",
            low="300 hPa",
            high="1200 hPa",
            why="the highest roads to a diving bell",
            hint="at the test, not at sea level; says which way a leak flows",
        ),
        Number(
            name="pressure_scale",
            label="True pressure over reading",
            unit="%",
            default="100 %",
            low="50 %",
            high="200 %",
            why="beyond, the sensor is broken",
            hint="the tolerance is the sensor's",
            tolerance="±1 %",
        ),
        GAUGE_STEP,
        Number(
            name="gas_temperature",
            label="Temperature of the gas",
            unit="°C",
            default="20 °C",
            low="-40 °C",
            high="100 °C",
            why="as the log accepts",
            hint="only where the log has none",
        ),
        Number(
            name="settle_time",
            label="Leave out at the start",
            unit="min",
            default="0 min",
            low="0 min",
            high="30 d",
            why="none to a month",
            hint="until walls, seals and temperature have settled",
        ),
        Number(
            name="unseen_warming",
            label="Warming that the log does not show",
            unit="Δ°C",
            default="0 Δ°C",
            low="-20 Δ°C",
            high="20 Δ°C",
            why="a case carried from sun to shade",
            hint="of the gas, from first to last reading; give it a tolerance",
            tolerance="±0.1 Δ°C",
        ),
        Number(
            name="unseen_air_rise",
            label="Rise of the air pressure that the log does not show",
            unit="hPa",
            default="0 hPa",
            low="-100 hPa",
            high="100 hPa",
            why="the deepest storm",
            hint="from first to last reading; give it a tolerance: a front brings 1 hPa an hour",
            tolerance="±2 hPa",
            shown=Shown(input="sensor", values=("gauge",)),
        ),
        Number(
            name="confidence",
            label="Confidence",
            unit="%",
            default="95 %",
            low="50 %",
            high="99.9 %",
            why="a coin to one in a thousand",
        ),
        Number(
            name="leak_limit",
            label="Leak that is allowed",
            unit="µPa·m³/s",
            default="10 µPa·m³/s",
            low="1 pPa·m³/s",
            high="1 Pa·m³/s",
            why="laboratory vacuum to a hole",
            hint="from the leak budget, at the pressures of this test",
            rig="seals.allowed_leak_rate",
        ),
    ),
    outputs=(
        Output(
            name="leak_rate",
            label="Leak rate",
            unit="µPa·m³/s",
            help="out of the case positive, into it negative; gas at 20 °C",
            verdict=Verdict(
                better="below",
                limit=_signed_limit,
                level=_interval_level,
                met="tight as wanted: the whole interval lies within the limit",
                missed="leaks: the whole interval lies beyond the limit",
                unsure="not decided: hold longer, or at a steadier temperature",
                source="your own limit",
            ),
        ),
        Output(
            name="leak_rate_low",
            label="Lower end of the interval",
            unit="µPa·m³/s",
            help="with the confidence chosen; scatter and gauge steps",
        ),
        Output(
            name="leak_rate_high",
            label="Upper end of the interval",
            unit="µPa·m³/s",
            help="with the confidence chosen; scatter and gauge steps",
        ),
        Output(
            name="gas_per_day",
            label="Gas a day",
            unit="mL/d",
            help="at 20 °C and 1 atm; lost positive, gained negative; gas, not water",
        ),
        Output(
            name="smallest_leak",
            label="Smallest leak this log could have shown",
            unit="µPa·m³/s",
            help="twice the half width of the interval",
        ),
        Output(
            name="time_needed",
            label="Length of a test that proves the limit",
            unit="h",
            help="with this gauge, scatter, interval and unseen warming",
        ),
        Output(
            name="kelvin_mimics",
            label="One kelvin of unseen warming hides",
            unit="µPa·m³/s",
            help="over this test, in this volume; cooling fakes as much",
        ),
        Output(
            name="independent_count",
            label="Readings that are independent",
            unit="1",
            help="of those the line is fitted to, at most 60 averages of a long log",
        ),
    ),
    compute=_leak_rate,
    plot=_over_time,
    remarks=_remarks,
    cautions=(
        Caution(
            title="Compressed air in a case can kill.",
            text="Hold a vacuum, or test with water. If it must be air above the outside pressure: "
            "the least that answers the question, far below what lid and walls are made for, a "
            "relief valve, a shield, the lid held by more than its latch, nobody in line with lid, "
            "window or plug, and let it out before you touch a fastening. Follow local rules.",
        ),
        Caution(
            title="A vacuum can burst a window inwards.",
            text="Eye protection on, a guard round glass and brittle plastic, fingers away from "
            "lid and seal. Half the air out loads the case like five metres of water.",
        ),
        Caution(
            title="Cells out before the test.",
            text="Lithium cells stay outside: a vacuum swells soft packs, pressure can crush "
            "them, and either may start a fire later.",
        ),
    ),
)
