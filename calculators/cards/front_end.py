"""Calculators of the front end."""

from dataclasses import replace
from math import log10

from calculators.cards import chain
from calculators.cards.curves import decades
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Export,
    Line,
    Number,
    Output,
    Plot,
    Results,
    Values,
    Verdict,
)
from calculators.formulas.front_end import (
    capacitive_divider_level,
    high_pass_level,
    rc_corner,
    rc_settling_time,
    two_corner_frequency,
)
from calculators.netlist import corner_netlist
from calculators.units import format_display

SETTLED = 0.01
"""A network counts as settled when this part of a step is left."""


def _corner_frequency(
    element_capacitance: float,
    cable_capacitance: float,
    input_capacitance: float,
    bias_resistance: float,
    output_capacitance: float,
    recorder_input_resistance: float,
    lowest_wanted: float,
) -> dict[str, float]:
    load = cable_capacitance + input_capacitance
    source = element_capacitance + load
    first = rc_corner(resistance=bias_resistance, capacitance=source)
    second = rc_corner(resistance=recorder_input_resistance, capacitance=output_capacitance)
    # The slower network has the lower corner; only its settling is worked out.
    slow = (
        (bias_resistance, source)
        if first <= second
        else (recorder_input_resistance, output_capacitance)
    )
    return {
        "input_corner": first,
        "output_corner": second,
        "combined_corner": two_corner_frequency(first_corner=first, second_corner=second),
        "loading_loss": capacitive_divider_level(
            source_capacitance=element_capacitance, load_capacitance=load
        ),
        "settling_time": rc_settling_time(
            resistance=slow[0], capacitance=slow[1], remaining=SETTLED
        ),
        "source_capacitance": source,
    }


def _response(values: Values, results: Results, system: str) -> Plot:
    first, second = results["input_corner"], results["output_corner"]
    combined = results["combined_corner"]
    low, high = min(first, second) / 10, max(combined * 100, 200.0)
    frequencies = decades(low, high, 90)
    alone = [(f, high_pass_level(frequency=f, corner=first)) for f in frequencies]
    after = [(f, high_pass_level(frequency=f, corner=second)) for f in frequencies]
    both = [(f, x + y) for (f, x), (_, y) in zip(alone, after, strict=True)]
    label = format_display(combined, "Hz", 3, system)
    return Plot(
        title="Response of the front end",
        description=(
            f"Level over frequency. It is flat at high frequencies and 3 dB down at {label}; "
            f"the input network alone is 3 dB down at {format_display(first, 'Hz', 3, system)}, "
            f"the output network alone at {format_display(second, 'Hz', 3, system)}."
        ),
        x=Axis(label="Frequency", unit="Hz", domain=(low, high), log=True),
        y=Axis(label="Level re passband", unit="dB", domain=(-40, 3)),
        lines=[
            Line(name="Both together", points=both),
            Line(name="Bias resistor and element", points=alone, kind="second"),
            Line(name="Output capacitor and recorder", points=after, kind="third"),
        ],
        marks=[
            (first, f"input {format_display(first, 'Hz', 3, system)}"),
            (second, f"output {format_display(second, 'Hz', 3, system)}"),
            (combined, f"both {label}"),
        ],
        levels=[(10 * log10(0.5), "−3 dB")],
    )


CORNER_FREQUENCY = Calculator(
    id="corner-frequency",
    title="Low corner of the front end",
    question="How low does the front end hear, and what does the cable cost?",
    stage="build",
    inputs=(
        chain.ELEMENT_CAPACITANCE,
        replace(chain.CABLE_CAPACITANCE, tolerance="±5 %"),
        chain.INPUT_CAPACITANCE,
        replace(chain.BIAS_RESISTANCE, tolerance="±1 %"),
        Number(
            name="output_capacitance",
            label="Output capacitor",
            unit="µF",
            default="10 µF",
            low="1 nF",
            high="10 mF",
            why="film to large electrolytic",
            hint="between buffer and recorder",
            tolerance="±20 %",
            rig="front_end.output_capacitance",
        ),
        Number(
            name="recorder_input_resistance",
            label="Input resistance of the recorder",
            unit="kΩ",
            default="10 kΩ",
            low="100 Ω",
            high="10 MΩ",
            why="plug-in-power inputs to line inputs",
            hint="measured, or from its data sheet",
            tolerance="±20 %",
            rig="recorder.input_resistance",
        ),
        Number(
            name="lowest_wanted",
            label="Lowest sound wanted",
            unit="Hz",
            default="10 Hz",
            low="0.01 Hz",
            high="100 kHz",
            why="slow waves to ultrasound",
            hint="only judges the answer",
            rig="plan.lowest_wanted",
        ),
    ),
    outputs=(
        Output(
            name="combined_corner",
            label="Low corner of the front end",
            unit="Hz",
            help="both networks together pass half the power here",
            verdict=Verdict(
                better="below",
                limit="lowest_wanted",
                met="below {limit}, as wanted",
                missed="above {limit}: the lowest sounds wanted are weakened",
                unsure="may lie above {limit}",
                source="your own limit",
            ),
        ),
        Output(
            name="input_corner",
            label="Corner of bias resistor and element",
            unit="Hz",
            help="element, cable and input capacitance against the bias resistor",
            rig="front_end.input_corner",
        ),
        Output(
            name="output_corner",
            label="Corner of output capacitor and recorder",
            unit="Hz",
            help="output capacitor against the recorder's input resistance",
            rig="front_end.output_corner",
        ),
        Output(
            name="loading_loss",
            label="Level lost in cable and input",
            unit="dB",
            digits=3,
            help="the element shares its charge with the cable",
            verdict=Verdict(
                better="above",
                limit=-3.0,
                met="less than 3 dB",
                missed="more than 3 dB: shorten the cable, or move the buffer to the element",
                unsure="about 3 dB: shorten the cable, or move the buffer to the element",
                missed_level="care",
                source="common practice, no source",
                ample=3.0,
            ),
        ),
        Output(
            name="settling_time",
            label="Time to settle within 1 %",
            unit="s",
            help="after switching on or a knock; of the slower network alone",
        ),
        Output(
            name="source_capacitance",
            label="Element, cable and input together",
            unit="nF",
            help="what the virtual ground asks for",
            rig="front_end.source_capacitance",
        ),
    ),
    in_rig=True,
    compute=_corner_frequency,
    plot=_response,
    exports=(
        Export(
            name="netlist",
            label="Circuit as a netlist",
            file="front-end.cir",
            text=corner_netlist,
        ),
    ),
    cautions=(
        Caution(
            title="A struck or warmed element makes high voltage.",
            text="Never leave an element open that is struck, warmed or soldered: short its leads, "
            "take the short off only while you measure, and for good once the bias resistor is "
            "fitted. Follow the element maker's sheet and local codes.",
        ),
    ),
)
