"""Calculator of the static calibration: a known pressure from a known change of depth."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from calculators.cards import chain
from calculators.cards.curves import decades, steps
from calculators.cards.dive import WATER_DENSITY, WATER_DENSITY_FILL
from calculators.cards.reading import (
    AS_FILE,
    AS_VOLTAGE,
    READING,
    RECORDER_INPUTS,
    output_voltage,
)
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Choice,
    Level,
    Line,
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
from calculators.errors import InputError
from calculators.formulas.constants import GRAVITY
from calculators.formulas.dive import still_water_pressure
from calculators.formulas.front_end import high_pass_level
from calculators.formulas.insertion import voltage_gain
from calculators.formulas.levels import (
    input_full_scale,
    sensitivity_behind,
    system_sensitivity_level,
)
from calculators.formulas.static_pressure import (
    TURN,
    column_pressure,
    motion_share,
    peak_pressure_level,
    ramp_remaining,
    sensitivity_from_voltage,
)
from calculators.units import format_display

OSCILLATION, COLUMN, STEP = "oscillation", "column", "step"

LEAST_LEFT = 0.03
"""Part of a step, or of a pressure that nearly cancels, below which nothing can be read from it."""

CLOSE, FAR = 2.0, 4.0
"""dB from the sensitivity expected up to which the two agree, and beyond which they do not."""

MOVED = (OSCILLATION, COLUMN)


def _static_calibration(
    method: str,
    amplitude: float,
    period: float,
    column_depth: float,
    step_height: float,
    step_duration: float,
    reading_delay: float,
    water_density: float,
    reading: str,
    measured_voltage: float,
    file_peak: float,
    recorder_full_scale: float,
    recorder_gain: float,
    gain: float,
    input_corner: float,
    output_corner: float,
    hydrophone_radius: float,
    expected_sensitivity: float,
) -> dict[str, float]:
    if method == STEP:
        pressure = still_water_pressure(depth=step_height, water_density=water_density)
        response = _step_response(step_duration, reading_delay, input_corner, output_corner)
        # Speeds up over one half of the way and brakes over the other; read when it stands.
        speed, acceleration = 0.0, 4 * step_height / (step_duration * step_duration)
    else:
        turn = TURN / period
        pressure = _moved_pressure(method, amplitude, 1 / period, column_depth, water_density)
        response = high_pass_level(frequency=1 / period, corner=input_corner) + high_pass_level(
            frequency=1 / period, corner=output_corner
        )
        speed, acceleration = amplitude * turn, amplitude * turn * turn
    share = motion_share(
        speed=speed,
        acceleration=acceleration,
        radius=hydrophone_radius,
        height=pressure / (water_density * GRAVITY),
    )
    voltage = output_voltage(
        reading, measured_voltage, file_peak, recorder_full_scale, recorder_gain
    )
    at_recorder = sensitivity_behind(
        sensitivity=sensitivity_from_voltage(voltage=voltage, pressure=pressure), gain=-response
    )
    sensitivity = sensitivity_behind(sensitivity=at_recorder, gain=-gain)
    return {
        "sensitivity": sensitivity,
        "deviation": sensitivity - expected_sensitivity,
        "system_sensitivity": system_sensitivity_level(
            sensitivity=at_recorder,
            full_scale=input_full_scale(
                full_scale=recorder_full_scale, recorder_gain=recorder_gain
            ),
        ),
        "response_level": response,
        "motion_error": voltage_gain(output_voltage=1 + share, input_voltage=1.0),
        "pressure": pressure,
        "pressure_level": peak_pressure_level(pressure=pressure),
    }


def _moved_pressure(
    method: str, amplitude: float, frequency: float, depth: float, density: float
) -> float:
    """Peak pressure of a motion to and fro, Pa.

    Raises:
        InputError: If weight and inertia of a column all but cancel.
    """
    still = still_water_pressure(depth=amplitude, water_density=density)
    if method == OSCILLATION:
        return still
    pressure = column_pressure(
        water_density=density, amplitude=amplitude, frequency=frequency, depth=depth
    )
    if pressure < LEAST_LEFT * still:
        raise InputError(
            "period",
            f"Period: at {1 / frequency:.3g} s and this depth the weight and the inertia of the "
            "column cancel, and next to no pressure is left. Give another period or depth.",
        )
    return pressure


def _step_response(
    duration: float, delay: float, input_corner: float, output_corner: float
) -> float:
    """Level that the two corners leave of a step, dB.

    Raises:
        InputError: If next to nothing is left of it.
    """
    left = ramp_remaining(
        duration=duration, delay=delay, first_corner=input_corner, second_corner=output_corner
    )
    if left < LEAST_LEFT:
        raise InputError(
            "reading_delay",
            f"Read after: {delay:.3g} s after a move of {duration:.3g} s, {left * 100:.2g} % of "
            "the step are left behind these corners, which is too little to read. "
            "Read earlier, move faster, or lower the corners.",
        )
    return voltage_gain(output_voltage=left, input_voltage=1.0)


def _deviation_level(values: Mapping[str, Value], low: float, high: float) -> Level:
    if low >= -CLOSE and high <= CLOSE:
        return "good"
    return "fail" if low > FAR or high < -FAR else "care"


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    said = []
    if results["response_level"] < -6:
        said.append(
            "Most of the pressure is lost in the corners, and the answer is as good as they are: "
            "their tolerance stands in its range. Measure them with the insertion check, or lower "
            "them for the test with a larger bias resistor."
        )
    if results["motion_error"] > 1:
        said.append(
            "The motion itself presses on the hydrophone. Move more slowly, over a larger way, "
            "or use a step and wait until the water stands."
        )
    if results["deviation"] < -FAR:
        said.append(
            "Far less than expected: a bubble on the element, half the element, a wrong gain, or "
            "corners that lie higher than entered. Wet it anew and repeat before you believe it."
        )
    if results["deviation"] > FAR:
        said.append(
            "Far more than expected. Something else moved it: a cable that bends, a sensor that "
            "is shaken, a temperature step at the surface; or a peak-to-peak reading."
        )
    return said


def _response(values: Values, results: Results, system: str) -> Plot:
    given = {name: float(v) for name, v in values.items() if isinstance(v, float)}
    if values["method"] == STEP:
        return _over_time(given, results, system)
    return _over_frequency(given, results, system)


def _over_frequency(given: dict[str, float], results: Results, system: str) -> Plot:
    corners = given["input_corner"], given["output_corner"]
    frequency = 1 / given["period"]
    low, high = min(*corners, frequency) / 5, max(*corners, frequency) * 20

    def level(f: float) -> float:
        return sum(high_pass_level(frequency=f, corner=corner) for corner in corners)

    points = [(f, level(f)) for f in decades(low, high, 80)]
    return Plot(
        title="What the corners leave of the pressure",
        description=(
            f"At {format_display(frequency, 'Hz', 3, system)} the two corners pass "
            f"{format_display(results['response_level'], 'dB', 3, system)}, which the answer "
            "takes back."
        ),
        x=Axis(label="Frequency", unit="Hz", domain=(low, high), log=True),
        y=Axis(label="Level re passband", unit="dB", domain=(points[0][1] - 2, 3)),
        lines=[Line(name="Both corners", points=points)],
        marks=[(frequency, "moved at")],
        levels=[(-6.0, "−6 dB")],
    )


def _over_time(given: dict[str, float], results: Results, system: str) -> Plot:
    duration, delay = given["step_duration"], given["reading_delay"]
    corners = {"first_corner": given["input_corner"], "second_corner": given["output_corner"]}
    fade = 1 / (TURN * max(corners.values()))
    after = _curve(
        lambda t: ramp_remaining(duration=duration, delay=t, **corners),
        max(4 * fade, 1.5 * delay, duration),
    )
    during = _curve(
        lambda t: ramp_remaining(duration=t, delay=0.0, **corners) * t / duration, duration
    )
    # From the beginning of the move on; the part of the step reached counts.
    points = [(0.0, 0.0), *during[1:], *((duration + t, left) for t, left in after[1:])]
    values = [y for _, y in points]
    return Plot(
        title="What the corners leave of the step",
        description=(
            "Output over time, in parts of the step behind a chain that passes everything. "
            f"Where it is read, {format_display(results['response_level'], 'dB', 3, system)} of "
            "it are left, which the answer takes back."
        ),
        x=Axis(label="Time", unit="s", domain=(0.0, points[-1][0])),
        y=Axis(label="Part of the step", unit="", domain=(min(0.0, *values) - 0.05, 1.05)),
        lines=[Line(name="Output", points=points)],
        marks=[(duration, "stands"), (duration + delay, "read")],
        levels=[(1.0, "whole step")],
    )


def _curve(value: Callable[[float], float], end: float) -> list[tuple[float, float]]:
    """Sixty points from all but zero to the end."""
    return [(t, value(t)) for t in steps(end * 1e-6, end, 60)]


STATIC_CALIBRATION = Calculator(
    id="static-calibration",
    title="Static calibration",
    question="How sensitive is it at low frequencies, by a pressure that depth makes?",
    stage="test",
    inputs=(
        Choice(
            name="method",
            label="The pressure comes from",
            options=(
                Option(value=OSCILLATION, label="the hydrophone, moved up and down"),
                Option(value=STEP, label="one step of depth"),
                Option(value=COLUMN, label="a column of water, shaken"),
            ),
            default=OSCILLATION,
            hint="in still water; the column moves past a hydrophone that is held",
        ),
        Number(
            name="amplitude",
            label="Half of the stroke",
            unit="mm",
            default="20 mm",
            low="0.01 mm",
            high="2 m",
            why="a shaker to a long arm",
            hint="from the middle to the end of the way",
            tolerance="±4 %",
            shown=Shown(input="method", values=MOVED),
        ),
        Number(
            name="period",
            label="Time of one to and fro",
            unit="s",
            default="1 s",
            low="1 ms",
            high="1000 s",
            why="a shaker to a slow winch",
            hint="from the recording",
            tolerance="±2 %",
            shown=Shown(input="method", values=MOVED),
        ),
        Number(
            name="column_depth",
            label="Depth in the column",
            unit="mm",
            default="150 mm",
            low="1 mm",
            high="5 m",
            why="just covered, to a long pipe",
            hint="of the hydrophone below the surface of the column, on the average",
            tolerance="±3 %",
            shown=Shown(input="method", values=(COLUMN,)),
        ),
        Number(
            name="step_height",
            label="Change of depth",
            unit="mm",
            default="100 mm",
            low="0.1 mm",
            high="20 m",
            why="a hair to a deep pool",
            hint="of the element, from standing to standing",
            tolerance="±2 %",
            shown=Shown(input="method", values=(STEP,)),
        ),
        Number(
            name="step_duration",
            label="Time of the move",
            unit="s",
            default="0.15 s",
            low="1 ms",
            high="1000 s",
            why="a snapped catch to a winch",
            hint="from the recording, or a film of it",
            tolerance="±30 %",
            shown=Shown(input="method", values=(STEP,)),
        ),
        Number(
            name="reading_delay",
            label="Read after",
            unit="s",
            default="0 s",
            low="0 s",
            high="1000 s",
            why="at once, to hours by a data logger",
            hint="from the end of the move; 0 s for a line drawn back to that moment",
            shown=Shown(input="method", values=(STEP,)),
        ),
        replace(WATER_DENSITY, rig=""),  # of the bucket or pool
        READING,
        Number(
            name="measured_voltage",
            label="Peak voltage at the recorder's input",
            unit="mV",
            default="20 mV",
            low="1 nV",
            high="100 V",
            why="nothing, to professional lines",
            hint="half of peak-to-peak for a motion to and fro; the height of the jump for a step",
            tolerance="±3 %",
            shown=AS_VOLTAGE,
        ),
        Number(
            name="file_peak",
            label="Peak in the file",
            unit="dB",
            default="-17.1 dB",
            low="-200 dB",
            high="0 dB",
            why="below every converter's noise, to full scale",
            hint="re the largest sample: 20 log of half of peak-to-peak for a motion to and fro, "
            "of the height of the jump for a step",
            tolerance="±0.3 dB",
            shown=AS_FILE,
        ),
        *RECORDER_INPUTS,
        chain.GAIN,
        Number(
            name="input_corner",
            label="Corner of bias resistor and element",
            unit="Hz",
            default="0.5 Hz",
            low="0.00001 Hz",
            high="1 kHz",
            why="electrometer inputs to infrasound cut off on purpose",
            hint="measured with the insertion check, or from the corner calculator",
            tolerance="±10 %",
            rig="front_end.input_corner",
        ),
        Number(
            name="output_corner",
            label="Corner of the way into the recorder",
            unit="Hz",
            default="0.3 Hz",
            low="0.0001 Hz",
            high="1 kHz",
            why="direct coupling, to a low cut left on",
            hint="output capacitor and recorder input",
            tolerance="±20 %",
            rig="front_end.output_corner",
        ),
        Number(
            name="hydrophone_radius",
            label="Radius of the hydrophone",
            unit="mm",
            default="12 mm",
            low="0 mm",
            high="500 mm",
            why="a point to a large array",
            hint="half of its largest width across the motion",
        ),
        Number(
            name="expected_sensitivity",
            label="Sensitivity expected",
            unit="dB re 1 V/µPa",
            default="-198.5 dB re 1 V/µPa",
            low="-260 dB re 1 V/µPa",
            high="-140 dB re 1 V/µPa",
            why="far below a tiny disc to far above a large stack",
            hint="of element with its cable, at the buffer's input; only judges the answer",
        ),
    ),
    outputs=(
        Output(
            name="sensitivity",
            label="Sensitivity at the buffer's input",
            unit="dB re 1 V/µPa",
            digits=4,
            help="in the passband: both corners taken back, gain taken off; the range is the "
            "worst case over the tolerances",
        ),
        Output(
            name="deviation",
            label="… over the one expected",
            unit="dB",
            verdict=Verdict(
                better="below",
                limit=CLOSE,
                met="within 2 dB of it",
                missed="more than 4 dB from it: find out why before you use either",
                unsure="beyond 2 dB, or perhaps so",
                source="common practice, no source",
                level=_deviation_level,
            ),
        ),
        Output(
            name="system_sensitivity",
            label="Sensitivity of the whole system",
            unit="dB re 1 FS/µPa",
            digits=4,
            help="in the passband, at this recorder gain",
        ),
        Output(
            name="response_level",
            label="Passed by the two corners",
            unit="dB",
            help="what the answer takes back",
            verdict=Verdict(
                better="above",
                limit=-6.0,
                met="the correction is moderate",
                missed="more is corrected than is measured: the corners decide the answer",
                unsure="the correction is large: the corners begin to decide the answer",
                missed_level="care",
                source="common practice, no source",
            ),
        ),
        Output(
            name="motion_error",
            label="The motion itself adds at most",
            unit="dB",
            help="pressure of the flow and of the acceleration at the front of the hydrophone, "
            "worst case; not in the range",
            verdict=Verdict(
                better="below",
                limit=1.0,
                met="slow enough",
                missed="too fast: the flow presses as well",
                unsure="perhaps too fast",
                missed_level="care",
                source="common practice, no source",
            ),
        ),
        Output(name="pressure", label="Pressure, peak", unit="Pa"),
        Output(
            name="pressure_level",
            label="… as a level, zero-to-peak",
            unit="dB re 1 µPa",
            digits=4,
            help="does the chain take it without clipping?",
        ),
    ),
    compute=_static_calibration,
    fills=(WATER_DENSITY_FILL,),
    remarks=_remarks,
    plot=_response,
    cautions=(
        Caution(
            title="Batteries only, wherever water stands.",
            text="No computer on its charger, no supply, no motor on the mains at a tub or tube of "
            "water. Local codes come first.",
        ),
        Caution(
            title="A tall tube of water is heavy and tips over.",
            text="A litre weighs a kilogram: tie the tube to something that stands, lift with a "
            "second person, and never lean out over deep water. Local rules come first.",
        ),
    ),
)
