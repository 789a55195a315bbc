"""How far a recorder's clocks run off, and how often to mark the time."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from calculators.cards.common import from_table
from calculators.cards.curves import steps
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
from calculators.formula import remembered
from calculators.formulas import clock
from calculators.tables.clocks import CLOCKS
from calculators.tables.waters import WATERS
from calculators.units import format_display


@dataclass(frozen=True)
class _Names:
    """Which inputs describe a recorder: two of a kind have each their own of everything."""

    rate_offset: str = "rate_offset"
    curvature: str = "curvature"
    turnover: str = "turnover"
    ageing: str = "ageing"
    temperature: str = "water_temperature"


FIRST = _Names()
SECOND = _Names(
    rate_offset="second_offset",
    curvature="second_curvature",
    turnover="second_turnover",
    ageing="second_ageing",
    temperature="second_temperature",
)


def _error(values: Mapping[str, Any], names: _Names) -> tuple[float, float]:
    """Rate in the water, and error of the time at the end, of one of the two recorders."""
    return _run_off(
        values[names.rate_offset],
        values[names.curvature],
        values[names.turnover],
        values[names.ageing],
        values["clock_age"],
        values["air_temperature"],
        values["time_before"],
        values[names.temperature],
        values["duration"],
    )


@remembered
def _run_off(
    rate_offset: float,
    curvature: float,
    turnover: float,
    ageing: float,
    clock_age: float,
    air_temperature: float,
    time_before: float,
    water_temperature: float,
    duration: float,
) -> tuple[float, float]:
    """The same for one recorder: an edit of the other finds it done."""
    rates = [
        clock.clock_rate(
            rate_offset=rate_offset,
            temperature_rate=clock.temperature_rate(
                curvature=curvature, temperature=temperature, turnover=turnover
            ),
            ageing=ageing,
            clock_age=clock_age,
        )
        for temperature in (air_temperature, water_temperature)
    ]
    before = clock.time_error(rate=rates[0], elapsed=time_before)
    return rates[1], before + clock.time_error(rate=rates[1], elapsed=duration)


def _clock_drift(**values: Any) -> dict[str, float]:
    mean, half = values["water_temperature"], values["temperature_swing"] / 2
    rate, error = _error(values, FIRST)
    _, second = _error(values, SECOND)
    change = clock.rate_change(
        curvature=values["curvature"],
        turnover=values["turnover"],
        lowest_temperature=mean - half,
        highest_temperature=mean + half,
        wander=values["wander"],
    )
    between = error - second
    return {
        "time_error": error,
        "rate": rate,
        "error_per_day": clock.time_error(rate=rate, elapsed=86400.0),
        "between": between,
        "path_error": clock.distance_error(time_error=between, sound_speed=values["sound_speed"]),
        "mark_residual": clock.mark_residual(
            rate_change=change,
            mark_interval=values["duration"],
            mark_error=values["mark_error"],
        ),
        "mark_interval": clock.longest_mark_interval(
            rate_change=change,
            wanted_accuracy=values["wanted_accuracy"],
            mark_error=values["mark_error"],
        ),
        "residual_path": clock.distance_error(
            time_error=2
            * clock.mark_residual(
                rate_change=change,
                mark_interval=values["duration"],
                mark_error=values["mark_error"],
            ),
            sound_speed=values["sound_speed"],
        ),
        "sample_excess": clock.sample_excess(
            sample_rate=values["sample_rate"],
            rate=values["sample_offset"],
            elapsed=values["duration"],
        ),
        "sample_error": clock.time_error(rate=values["sample_offset"], elapsed=values["duration"]),
        "file_error": clock.time_error(rate=values["sample_offset"], elapsed=values["file_length"]),
    }


def _compute(
    rate_offset: float,
    curvature: float,
    turnover: float,
    ageing: float,
    clock_age: float,
    wander: float,
    time_before: float,
    air_temperature: float,
    duration: float,
    water_temperature: float,
    temperature_swing: float,
    second_offset: float,
    second_curvature: float,
    second_turnover: float,
    second_ageing: float,
    second_temperature: float,
    sample_rate: float,
    sample_offset: float,
    file_length: float,
    wanted_accuracy: float,
    mark_error: float,
    sound_speed: float,
) -> dict[str, float]:
    return _clock_drift(**locals())  # by name, as the plot has them


def _judged(what: str) -> Verdict:
    """Of a size, which is never below zero: its limit may have a tolerance, too."""
    return Verdict(
        better="below",
        limit="wanted_accuracy",
        met="within the {limit} wanted",
        missed=f"more than the {{limit}} wanted{what}",
        unsure=f"may be more than the {{limit}} wanted{what}",
        source="your own limit",
    )


def _judged_either_way(what: str) -> Verdict:
    """Of an error with a sign: a clock that is behind is as wrong as one that is ahead.

    What is wanted of a rig is held against what marks leave of it.
    """
    return replace(_judged(what), either_way=True, in_rig=False)


def _over_time(values: Values, results: Results, system: str) -> Plot:
    """Error of both clocks from the setting to the end."""
    before, duration = float(values["time_before"]), float(values["duration"])
    end = before + duration
    lines: list[Line] = []
    for name, inputs in (("First recorder", FIRST), ("Second recorder", SECOND)):
        shore = _error({**values, "duration": 0.0}, inputs)[1]
        last = _error(values, inputs)[1]
        inside = [
            (before + t, shore + (last - shore) * t / duration) for t in steps(0, duration, 25)
        ]
        points = [(0.0, 0.0), *inside] if before > 0 else inside
        lines.append(Line(name=name, points=points, kind="second" if lines else "main"))
    drawn = [y for line in lines for _, y in line.points]
    room = 0.1 * max(max(drawn) - min(drawn), 1e-6)
    shown = format_display(results["time_error"], "s", 3, system)
    return Plot(
        title="Error of the clocks, over time",
        description=(
            f"From the setting of the clocks to the end of the deployment the first one gets to "
            f"{shown}. The bend is where it goes into the water."
        ),
        x=Axis(label="Time since the clocks were set", unit="d", domain=(0.0, end)),
        y=Axis(label="Ahead of true time", unit="s", domain=(min(drawn) - room, max(drawn) + room)),
        lines=lines,
        marks=[(end, shown)],
    )


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    said = []
    cold = clock.temperature_rate(
        curvature=float(values["curvature"]),
        temperature=float(values["water_temperature"]),
        turnover=float(values["turnover"]),
    )
    if cold:
        part = format_display(clock.time_error(rate=cold, elapsed=86400.0), "s", 3, system)
        said.append(
            f"The temperature of the water alone makes {part} a day: its sign is known, and it can "
            "be taken off."
        )
    said.append(
        "The sample clock is another crystal than the one that stamps the files: time within a "
        "file goes by the samples, from file to file by the stamps."
    )
    return said


CLOCK_DRIFT = Calculator(
    id="clock-drift",
    title="Drift of the clocks",
    question="How wrong is the time of the recording after days, and how often must it be marked?",
    stage="deploy",
    inputs=(
        from_table(
            CLOCKS.cell("tuning-fork", "rate_offset"),
            name="rate_offset",
            label="Rate of the clock at its turnover",
            unit="ppm",
            low="-1000 ppm",
            high="1000 ppm",
            why="far worse than any crystal, either way",
            hint="above zero is fast; its tolerance is that of the crystal",
            rig="recorder.clock_rate_offset",
        ),
        from_table(
            CLOCKS.cell("tuning-fork", "curvature"),
            name="curvature",
            label="Curvature over temperature",
            unit="ppm/K²",
            low="0 ppm/K²",
            high="0.2 ppm/K²",
            why="no parabola to far beyond any crystal",
            hint="the sheet's −0.034 without its sign; 0 where a tolerance covers the temperature",
            rig="recorder.clock_curvature",
        ),
        from_table(
            CLOCKS.cell("tuning-fork", "turnover"),
            name="turnover",
            label="Turnover temperature",
            unit="°C",
            low="-20 °C",
            high="90 °C",
            why="special cuts to ovens",
            hint="where the clock is fastest",
            rig="recorder.clock_turnover",
        ),
        from_table(
            CLOCKS.cell("tuning-fork", "ageing"),
            name="ageing",
            label="Ageing",
            unit="ppm/yr",
            low="-20 ppm/yr",
            high="20 ppm/yr",
            why="far worse than new crystals, either way",
            rig="recorder.clock_ageing",
        ),
        Number(
            name="clock_age",
            label="Time since its rate was known",
            unit="month",
            default="12 month",
            low="0 month",
            high="240 month",
            why="just measured to twenty years",
            hint="since it was made, or since you measured it",
            rig="recorder.clock_age",
        ),
        from_table(
            CLOCKS.cell("tuning-fork", "wander"),
            name="wander",
            label="Other change of the rate",
            unit="ppm",
            low="0.001 ppm",
            high="1000 ppm",
            why="an oven in the laboratory to a clock without a crystal",
            hint="from end to end, during the deployment: voltage, or temperature without a curve",
            rig="recorder.clock_wander",
        ),
        Number(
            name="time_before",
            label="From setting the clock to the water",
            unit="d",
            default="1 d",
            low="0 d",
            high="1000 d",
            why="at the shore to years before",
        ),
        Number(
            name="air_temperature",
            label="Temperature until then",
            unit="°C",
            default="20 °C",
            low="-40 °C",
            high="70 °C",
            why="a winter's night to a car in the sun",
            tolerance="±5 °C",
        ),
        Number(
            name="duration",
            label="Time in the water",
            unit="d",
            default="3 d",
            low="1 min",
            high="1000 d",
            why="a test to years",
            hint="from the mark at deployment to the mark at recovery",
            rig="plan.duration",
        ),
        Number(
            name="water_temperature",
            label="Temperature of the water",
            unit="°C",
            default="8 °C",
            low="-2 °C",
            high="40 °C",
            why="freezing sea to a hot spring's pool",
            hint="the mean where the recorder lies",
            tolerance="±2 °C",
            rig="site.water_temperature",
        ),
        Number(
            name="temperature_swing",
            label="Swing of the temperature meanwhile",
            unit="Δ°C",
            default="4 Δ°C",
            low="0 Δ°C",
            high="40 Δ°C",
            why="deep water to a pool in the sun",
            hint="from coldest to warmest, at the recorder: day, tide, weather",
            rig="site.temperature_swing",
        ),
        from_table(
            CLOCKS.cell("tuning-fork", "rate_offset"),
            name="second_offset",
            label="Rate of a second recorder",
            unit="ppm",
            low="-1000 ppm",
            high="1000 ppm",
            why="far worse than any crystal, either way",
            hint="set at the same time; two of a kind are alike in nothing",
        ),
        from_table(
            CLOCKS.cell("tuning-fork", "curvature"),
            name="second_curvature",
            label="… its curvature",
            unit="ppm/K²",
            low="0 ppm/K²",
            high="0.2 ppm/K²",
            why="no parabola to far beyond any crystal",
        ),
        from_table(
            CLOCKS.cell("tuning-fork", "turnover"),
            name="second_turnover",
            label="… its turnover",
            unit="°C",
            low="-20 °C",
            high="90 °C",
            why="special cuts to ovens",
        ),
        from_table(
            CLOCKS.cell("tuning-fork", "ageing"),
            name="second_ageing",
            label="… its ageing",
            unit="ppm/yr",
            low="-20 ppm/yr",
            high="20 ppm/yr",
            why="far worse than new crystals, either way",
        ),
        Number(
            name="second_temperature",
            label="… temperature where it lies",
            unit="°C",
            default="8 °C",
            low="-2 °C",
            high="40 °C",
            why="freezing sea to a hot spring's pool",
            tolerance="±2 °C",
        ),
        Number(
            name="sample_rate",
            label="Sample rate",
            unit="kHz",
            default="48 kHz",
            low="1 kHz",
            high="2000 kHz",
            why="speech by telephone to ultrasound",
            hint="as the file says",
            rig="recorder.sample_rate",
        ),
        from_table(
            CLOCKS.cell("megahertz-wide", "sample_offset"),
            name="sample_offset",
            label="Rate of the sample clock",
            unit="ppm",
            low="-1000 ppm",
            high="1000 ppm",
            why="far worse than any crystal, either way",
            hint="another crystal than that of the time",
        ),
        Number(
            name="file_length",
            label="Length of a file",
            unit="h",
            default="1 h",
            low="1 s",
            high="1000 h",
            why="one call to weeks",
        ),
        Number(
            name="wanted_accuracy",
            label="Time wanted to within",
            unit="s",
            default="1 s",
            low="1 µs",
            high="1 d",
            why="bearings between recorders to the right day",
            hint="also judges the answers",
            rig="plan.wanted_time_accuracy",
        ),
        Number(
            name="mark_error",
            label="Error of one mark",
            unit="s",
            default="0.2 s",
            low="0 s",
            high="1 h",
            why="perfect to a note made later",
            hint="a knock by hand on a second that is spoken: 0.2 s",
            rig="plan.mark_error",
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
    ),
    fills=(
        Fill(
            name="clock_kind",
            label="Clock of the time",
            table=CLOCKS,
            inputs={
                "rate_offset": "rate_offset",
                "curvature": "curvature",
                "turnover": "turnover",
                "ageing": "ageing",
                "wander": "wander",
            },
        ),
        Fill(
            name="second_kind",
            label="Clock of the second recorder",
            table=CLOCKS,
            inputs={
                "second_offset": "rate_offset",
                "second_curvature": "curvature",
                "second_turnover": "turnover",
                "second_ageing": "ageing",
            },
        ),
        Fill(
            name="sample_clock",
            label="Clock of the samples",
            table=CLOCKS,
            inputs={"sample_offset": "sample_offset"},
        ),
        Fill(name="water", label="Water", table=WATERS, inputs={"sound_speed": "sound_speed"}),
    ),
    outputs=(
        Output(
            name="time_error",
            label="Error of the clock at the end",
            unit="s",
            help="since it was set, nothing corrected; above zero: ahead",
            verdict=_judged_either_way(": mark the time, and correct"),
        ),
        Output(name="rate", label="Rate in the water", unit="ppm", help="above zero: fast"),
        Output(name="error_per_day", label="… a day", unit="s"),
        Output(
            name="mark_residual",
            label="Left after correction between two marks",
            unit="s",
            help="one at deployment, one at recovery, a straight line between them; at worst",
            verdict=_judged(": more marks, or a correction by the temperature"),
        ),
        Output(
            name="mark_interval",
            label="Longest time between marks",
            unit="d",
            help="that keeps every moment within the accuracy wanted; below zero: the marks are "
            "too coarse for it",
            verdict=Verdict(
                better="above",
                limit="duration",
                met="longer than the {limit} in the water: a mark at each end is enough",
                missed="shorter than the {limit} in the water: marks in between",
                unsure="may be shorter than the {limit} in the water",
                source="your own limit",
                missed_level="care",
                in_rig=False,
            ),
        ),
        Output(
            name="between",
            label="First recorder less second, at the end",
            unit="s",
            help="nothing corrected",
            verdict=_judged_either_way(": sounds on both need a common mark"),
        ),
        Output(
            name="path_error",
            label="Error of a path difference from it",
            unit="m",
            help="between the two recorders, nothing corrected",
        ),
        Output(
            name="residual_path",
            label="The same after correction of both",
            unit="m",
            help="both marked at each end, both off the worst way",
        ),
        Output(
            name="sample_excess",
            label="Samples too many in the whole time",
            unit="1",
            help="below zero: too few",
        ),
        Output(
            name="sample_error",
            label="… as time, if only samples are counted",
            unit="s",
        ),
        Output(
            name="file_error",
            label="Error at the end of one file",
            unit="s",
            help="counted in samples from a start that is right",
        ),
    ),
    in_rig=True,
    compute=_compute,
    plot=_over_time,
    remarks=_remarks,
)
