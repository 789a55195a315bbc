"""Calculator of the insertion check: a known voltage in series with the element."""

from collections.abc import Mapping
from dataclasses import replace
from math import log10

from calculators.cards import chain
from calculators.cards.curves import decades
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
from calculators.formulas.front_end import capacitive_divider_level, high_pass_level, rc_corner
from calculators.formulas.insertion import (
    capacitance_from_corner,
    capacitance_from_loading,
    corner_from_drop,
    voltage_gain,
)
from calculators.units import format_display

LOW_FREQUENCY, PARALLEL = "low-frequency", "parallel-capacitor"

CLOSE, FAR = 1.0, 3.0
"""dB of deviation up to which a chain counts as whole, and beyond which it does not."""

LIKE, UNLIKE = (0.8, 1.25), (0.65, 1.5)
"""Capacitance found over nominal: within the first the element counts as whole, outside the second
as not."""


def _insertion_check(
    insert_voltage: float,
    insert_resistance: float,
    reading: str,
    measured_voltage: float,
    file_level: float,
    recorder_full_scale: float,
    recorder_gain: float,
    gain: float,
    element_capacitance: float,
    cable_capacitance: float,
    input_capacitance: float,
    bias_resistance: float,
    output_corner: float,
    frequency: float,
    capacitance_from: str,
    low_frequency: float,
    parallel_capacitance: float,
    level_drop: float,
) -> dict[str, float]:
    load = cable_capacitance + input_capacitance
    measured = voltage_gain(
        output_voltage=output_voltage(
            reading, measured_voltage, file_level, recorder_full_scale, recorder_gain
        ),
        input_voltage=insert_voltage,
    )
    corner = rc_corner(resistance=bias_resistance, capacitance=element_capacitance + load)
    after = high_pass_level(frequency=frequency, corner=output_corner)
    expected = (
        capacitive_divider_level(source_capacitance=element_capacitance, load_capacitance=load)
        + high_pass_level(frequency=frequency, corner=corner)
        + after
        + gain
    )
    if capacitance_from == PARALLEL:
        total = capacitance_from_loading(parallel_capacitance=parallel_capacitance, drop=level_drop)
    else:
        low = high_pass_level(frequency=low_frequency, corner=output_corner)
        drop = _input_drop(level_drop, after - low, frequency, low_frequency)
        total = capacitance_from_corner(
            resistance=bias_resistance,
            corner=corner_from_drop(frequency=frequency, low_frequency=low_frequency, drop=drop),
        )
    return {
        "deviation": measured - expected,
        "measured_gain": measured,
        "expected_gain": expected,
        "capacitance": total - load,
        "capacitance_ratio": (total - load) / element_capacitance,
        "source_capacitance": total,
        "insert_limit": rc_corner(resistance=insert_resistance, capacitance=element_capacitance),
    }


def _input_drop(
    level_drop: float, of_output: float, frequency: float, low_frequency: float
) -> float:
    """What the input network alone drops, dB.

    Raises:
        InputError: If no network of one resistor and one capacitor drops so.
    """
    if low_frequency >= frequency:
        raise InputError(
            "low_frequency",
            f"Low frequency: {low_frequency:g} Hz is not below the {frequency:g} Hz that the gain "
            "was measured at. Give a lower one.",
        )
    drop, most = level_drop - of_output, 20 * log10(frequency / low_frequency)
    if not 0 < drop < most * (1 - 1e-9):
        raise InputError(
            "level_drop",
            f"Drop: {level_drop:.4g} dB is not possible here. The way into the recorder takes "
            f"{of_output:.3g} dB of it, and one resistor with one capacitor takes up to "
            f"{most:.3g} dB. Give a drop between {of_output:.3g} dB and {of_output + most:.3g} dB, "
            "or use the known capacitor.",
        )
    return drop


def _deviation_level(values: Mapping[str, Value], low: float, high: float) -> Level:
    if low >= -CLOSE and high <= CLOSE:
        return "good"
    return "fail" if low > FAR or high < -FAR else "care"


def _ratio_level(values: Mapping[str, Value], low: float, high: float) -> Level:
    if low >= LIKE[0] and high <= LIKE[1]:
        return "good"
    return "fail" if low > UNLIKE[1] or high < UNLIKE[0] else "care"


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    found = [_by_gain(results), _by_capacitance(results, values)]
    return [said for said in found if said]


def _by_gain(results: Results) -> str | None:
    off = results["deviation"]
    if off < -20:
        return (
            "Next to nothing arrives. A broken core, a short across the element, a wrong pin, a "
            "front end without supply, or a muted input: measure from stage to stage, from the "
            "recorder backwards."
        )
    if off > FAR:
        return (
            "More comes out than the chain should give. Is the gain of the recorder the one "
            "entered, was the inserted voltage measured with the chain connected, are both rms?"
        )
    if off < -FAR:
        return (
            "Too little arrives. Half the element's capacitance costs next to nothing here while "
            "the cable is short: look for a gain that is set lower than entered, or a short in "
            "part of the chain."
        )
    return None


def _by_capacitance(results: Results, values: Values) -> str | None:
    ratio = results["capacitance_ratio"]
    by_corner = values["capacitance_from"] == LOW_FREQUENCY
    leak = (
        " A leak across the input looks the same at low frequencies: check it with a known "
        "capacitor, which a leak does not fool."
        if by_corner
        else ""
    )
    if ratio < 0.15:
        return (
            "Hardly more than cable and input: the element is not connected. A broken core near "
            f"it, a joint that let go, or no element at all.{leak}"
        )
    if ratio < UNLIKE[0]:
        return (
            "Much less than the element should have. About half: one of two electrodes or "
            "elements in parallel lost, a crack, an electrode that came off with the potting, or "
            f"two in series that should lie in parallel.{leak}"
        )
    if ratio > UNLIKE[1]:
        more = "a bias resistor larger than entered" if by_corner else "a parallel capacitor less"
        return (
            "Much more than the element should have. Water between the cores of the cable or on "
            f"the joint, another element, two in parallel; or {more} than marked."
        )
    return None


def _responses(values: Values, results: Results, system: str) -> Plot:
    given = {name: float(v) for name, v in values.items() if isinstance(v, float)}
    load = given["cable_capacitance"] + given["input_capacitance"]
    low = min(given["frequency"], given["low_frequency"]) / 3
    frequencies = decades(low, given["frequency"] * 3, 80)

    def gain_at(frequency: float, element: float) -> float:
        corner = rc_corner(resistance=given["bias_resistance"], capacitance=element + load)
        return (
            capacitive_divider_level(source_capacitance=element, load_capacitance=load)
            + high_pass_level(frequency=frequency, corner=corner)
            + high_pass_level(frequency=frequency, corner=given["output_corner"])
            + given["gain"]
        )

    lines = [
        Line(
            name="As drawn",
            points=[(f, gain_at(f, given["element_capacitance"])) for f in frequencies],
        )
    ]
    found = results["capacitance"]
    if found > 0:
        points = [(f, gain_at(f, found)) for f in frequencies]
        lines.append(Line(name="With the capacitance found", points=points, kind="second"))
    drawn = [y for line in lines for _, y in line.points] + [results["measured_gain"]]
    marks = [(given["frequency"], "gain measured here")]
    if values["capacitance_from"] == LOW_FREQUENCY:
        marks.append((given["low_frequency"], "drop measured here"))
    return Plot(
        title="Gain of the chain over frequency",
        description=(
            "From the inserted voltage to the recorder's input. At "
            f"{format_display(given['frequency'], 'Hz', 3, system)} the chain as drawn has "
            f"{format_display(results['expected_gain'], 'dB', 3, system)}, and "
            f"{format_display(results['measured_gain'], 'dB', 3, system)} was measured."
        ),
        x=Axis(label="Frequency", unit="Hz", domain=(low, frequencies[-1]), log=True),
        y=Axis(label="Gain", unit="dB", domain=(min(drawn) - 3, max(drawn) + 3)),
        lines=lines,
        marks=marks,
        levels=[(results["measured_gain"], "measured")],
    )


INSERTION_CHECK = Calculator(
    id="insertion-check",
    title="Insertion check",
    question="Is the chain whole, from the element to the file, and has the element its "
    "capacitance?",
    stage="test",
    inputs=(
        Number(
            name="insert_voltage",
            label="Inserted voltage, rms",
            unit="mV",
            default="10 mV",
            low="1 µV",
            high="10 V",
            why="lost in noise, to more than any buffer takes",
            hint="across the insert resistor, measured with everything connected",
            tolerance="±2 %",
        ),
        Number(
            name="insert_resistance",
            label="Insert resistor",
            unit="Ω",
            default="10 Ω",
            low="0.1 Ω",
            high="10 kΩ",
            why="no voltage can be made across less, more joins the filter",
            hint="between the element's cold end and signal ground",
        ),
        READING,
        Number(
            name="measured_voltage",
            label="Voltage at the recorder's input, rms",
            unit="mV",
            default="9.4 mV",
            low="1 nV",
            high="100 V",
            why="nothing, to professional lines",
            hint="of the tone alone, noise taken off",
            tolerance="±2 %",
            shown=AS_VOLTAGE,
        ),
        Number(
            name="file_level",
            label="Level of the tone in the file, rms",
            unit="dB",
            default="-23.3 dB",
            low="-200 dB",
            high="0 dB",
            why="below every converter's noise, to full scale",
            hint="re full scale; a sine that just fills it reads −3.0 dB here: take 3.0 dB off "
            "where a program calls it 0 dB",
            tolerance="±0.2 dB",
            shown=AS_FILE,
        ),
        *(replace(item, shown=AS_FILE) for item in RECORDER_INPUTS),
        chain.GAIN,
        chain.ELEMENT_CAPACITANCE,
        replace(chain.CABLE_CAPACITANCE, tolerance="±5 %"),
        chain.INPUT_CAPACITANCE,
        replace(chain.BIAS_RESISTANCE, tolerance="±1 %"),
        Number(
            name="output_corner",
            label="Corner of the way into the recorder",
            unit="Hz",
            default="1.6 Hz",
            low="0.0001 Hz",
            high="1 kHz",
            why="direct coupling, to a low cut left on",
            hint="output capacitor and recorder input: from the corner calculator",
            tolerance="±20 %",
            rig="front_end.output_corner",
        ),
        Number(
            name="frequency",
            label="Frequency of the gain",
            unit="Hz",
            default="1 kHz",
            low="1 Hz",
            high="1 MHz",
            why="slow rigs to ultrasound",
            hint="well above both corners",
        ),
        Choice(
            name="capacitance_from",
            label="Capacitance by",
            options=(
                Option(value=LOW_FREQUENCY, label="a second reading at a low frequency"),
                Option(value=PARALLEL, label="a known capacitor from input to ground"),
            ),
            default=LOW_FREQUENCY,
        ),
        Number(
            name="low_frequency",
            label="Low frequency",
            unit="Hz",
            default="3 Hz",
            low="0.001 Hz",
            high="100 kHz",
            why="slower than a generator goes, to far above every corner",
            hint="near the corner of bias resistor and element: a third to three times it",
            shown=Shown(input="capacitance_from", values=(LOW_FREQUENCY,)),
        ),
        Number(
            name="parallel_capacitance",
            label="Known capacitor",
            unit="nF",
            default="10 nF",
            low="1 pF",
            high="100 µF",
            why="strays to large film",
            hint="about as large as the element; film or class 1 ceramic, 1 %",
            tolerance="±1 %",
            shown=Shown(input="capacitance_from", values=(PARALLEL,)),
        ),
        Number(
            name="level_drop",
            label="Drop of the output",
            unit="dB",
            default="5.3 dB",
            low="0.01 dB",
            high="120 dB",
            why="lost in the reading, to lost in noise",
            hint="from the first reading to the second, the inserted voltage the same",
            tolerance="±0.2 dB",
        ),
    ),
    outputs=(
        Output(
            name="deviation",
            label="Gain measured over gain expected",
            unit="dB",
            help="0 dB for a chain that is as drawn",
            verdict=Verdict(
                better="below",
                limit=CLOSE,
                met="within 1 dB: the chain is as drawn",
                missed="more than 3 dB off: something is not as drawn",
                unsure="beyond 1 dB, or perhaps so: parts' tolerances may do it, or a fault begins",
                source="common practice, no source",
                level=_deviation_level,
            ),
        ),
        Output(name="measured_gain", label="Gain measured", unit="dB"),
        Output(
            name="expected_gain",
            label="Gain expected",
            unit="dB",
            help="divider of element and cable, both corners, gain",
        ),
        Output(
            name="capacitance_ratio",
            label="Capacitance found, of nominal",
            unit="%",
            verdict=Verdict(
                better="below",
                limit=LIKE[1],
                met="the element has its capacitance",
                missed="not the capacitance that the element should have",
                unsure="near it, or uncertain: compare with your own earlier reading",
                source="common practice, no source",
                level=_ratio_level,
            ),
        ),
        Output(
            name="capacitance",
            label="Capacitance of the element, found",
            unit="nF",
            help="cable and input taken off",
        ),
        Output(
            name="source_capacitance",
            label="… with cable and input",
            unit="nF",
        ),
        Output(
            name="insert_limit",
            label="Highest frequency of the insert resistor",
            unit="Hz",
            help="from about here on it and the element are a filter of their own",
            verdict=Verdict(
                better="above",
                limit=lambda values: 10 * float(values["frequency"]),
                met="far above the frequency of the gain",
                missed="too close to the frequency of the gain: take a smaller insert resistor",
                unsure="perhaps too close to the frequency of the gain",
                missed_level="care",
                source="common practice, no source",
            ),
        ),
    ),
    compute=_insertion_check,
    remarks=_remarks,
    plot=_responses,
    cautions=(
        Caution(
            title="Batteries only, wherever water stands.",
            text="A generator on the mains, near a tub or with the hydrophone in water, can kill. "
            "Use a tone from a telephone or recorder on its own battery. Local codes come first.",
        ),
        Caution(
            title="A struck or warmed element makes high voltage.",
            text="Short its leads before you open the loop for the insert resistor. Follow the "
            "element maker's sheet and local codes.",
        ),
    ),
)
