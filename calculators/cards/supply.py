"""Calculators of the front end's supply."""

from calculators.cards import chain
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Line,
    Number,
    Output,
    Plot,
    Results,
    Values,
    Verdict,
)
from calculators.errors import InputError
from calculators.formulas import supply
from calculators.formulas.front_end import rc_corner
from calculators.units import format_display

SETTLED = 0.01
"""The middle counts as settled when this part of its voltage is missing."""


def _supply_split(
    supply_voltage: float,
    cutoff_voltage: float,
    upper_resistance: float,
    lower_resistance: float,
    ground_capacitance: float,
    supply_capacitance: float,
    upper_headroom: float,
    lower_headroom: float,
    bias_resistance: float,
    source_capacitance: float,
    bias_current: float,
    channels: float,
    frequency: float,
    wanted_peak: float,
) -> dict[str, float]:
    if cutoff_voltage > supply_voltage:
        raise InputError(
            "cutoff_voltage",
            f"Supply at the end: {_volts(cutoff_voltage)} is more than the "
            f"{_volts(supply_voltage)} when fresh. Give that or less.",
        )
    resistors = {"upper_resistance": upper_resistance, "lower_resistance": lower_resistance}
    capacitors = {
        "ground_capacitance": ground_capacitance,
        "supply_capacitance": supply_capacitance,
    }
    middle = supply.middle_resistance(**resistors)
    offset = supply.bias_offset(
        bias_current=bias_current,
        bias_resistance=bias_resistance,
        middle_resistance=middle,
        channels=channels,
    )
    _check_offset(offset, bias_current, supply_voltage)
    peaks = {
        voltage: supply.peak_swing(
            supply_voltage=voltage,
            middle_voltage=supply.middle_voltage(supply_voltage=voltage, **resistors),
            offset=offset,
            upper_headroom=upper_headroom,
            lower_headroom=lower_headroom,
        )
        for voltage in (cutoff_voltage, supply_voltage)
    }
    at_middle = supply.middle_ripple_level(frequency=frequency, **resistors, **capacitors)
    to_input = supply.bias_path_level(
        frequency=frequency,
        bias_resistance=bias_resistance,
        source_capacitance=source_capacitance,
    )
    return {
        "peak_end": peaks[cutoff_voltage],
        "peak_start": peaks[supply_voltage],
        "settling_time": supply.middle_settling_time(**resistors, **capacitors, remaining=SETTLED),
        "divider_current": supply.divider_current(supply_voltage=supply_voltage, **resistors),
        "middle_corner": rc_corner(
            resistance=middle, capacitance=ground_capacitance + supply_capacitance
        ),
        "middle_ripple": at_middle,
        "input_ripple": at_middle + to_input,
        "crosstalk": supply.crosstalk_level(
            frequency=frequency,
            middle_resistance=middle,
            middle_capacitance=ground_capacitance + supply_capacitance,
            bias_resistance=bias_resistance,
            source_capacitance=source_capacitance,
            channels=channels,
        ),
        "offset": offset,
    }


def _check_offset(offset: float, bias_current: float, supply_voltage: float) -> None:
    """The offset goes with the current; no buffer shifts its output beyond its own supply."""
    if offset > supply_voltage:
        given, most = (
            format_display(x, "pA", 3, "metric")
            for x in (bias_current, bias_current * supply_voltage / offset)
        )
        raise InputError(
            "bias_current",
            f"Input current of one buffer: {given} through these resistors would shift the output "
            f"by more than the whole supply of {_volts(supply_voltage)}. Give at most {most}, or a "
            "smaller bias resistor.",
        )


def _volts(value: float, system: str = "metric") -> str:
    return format_display(value, "V", 3, system)


def _peak_over_supply(values: Values, results: Results, system: str) -> Plot:
    given = {name: float(value) for name, value in values.items()}
    low, high = 0.9 * given["cutoff_voltage"], 1.1 * given["supply_voltage"]
    voltages = [low + (high - low) * i / 40 for i in range(41)]
    share = given["lower_resistance"] / (given["upper_resistance"] + given["lower_resistance"])
    off = results["offset"]
    up = [(u, u * (1 - share) - given["upper_headroom"] - off) for u in voltages]
    down = [(u, u * share - given["lower_headroom"] - off) for u in voltages]
    both = [(u, min(y, z)) for (u, y), (_, z) in zip(up, down, strict=True)]
    wanted = given["wanted_peak"]
    every = [y for _, y in (*up, *down)]
    margin = 0.05 * (max(*every, wanted) - min(*every, wanted, 0.0))

    return Plot(
        title="Room for the signal as the battery runs down",
        description=(
            "Largest peak before the buffer clips, over the supply voltage: "
            f"{_volts(results['peak_start'], system)} at "
            f"{_volts(given['supply_voltage'], system)}, "
            f"{_volts(results['peak_end'], system)} at {_volts(given['cutoff_voltage'], system)}. "
            f"Wanted are {_volts(wanted, system)}."
        ),
        x=Axis(label="Supply voltage", unit="V", domain=(low, high)),
        y=Axis(
            label="Largest peak",
            unit="V",
            domain=(min(*every, wanted, 0.0) - margin, max(*every, wanted) + margin),
        ),
        lines=[
            Line(name="Both sides", points=both),
            Line(name="Towards the positive end", points=up, kind="second"),
            Line(name="Towards the negative end", points=down, kind="third"),
        ],
        marks=[
            (given["cutoff_voltage"], f"end {_volts(given['cutoff_voltage'], system)}"),
            (given["supply_voltage"], f"fresh {_volts(given['supply_voltage'], system)}"),
        ],
        levels=[(wanted, "wanted")],
    )


SUPPLY_SPLIT = Calculator(
    id="supply-split",
    title="Virtual ground",
    question="How much room has the signal, and how soon does the middle stand still?",
    stage="build",
    inputs=(
        Number(
            name="supply_voltage",
            label="Supply when fresh",
            unit="V",
            default="6.2 V",
            low="1 V",
            high="60 V",
            why="one cell to a long pack",
            hint="measured with the front end on",
            rig="front_end.supply_voltage",
        ),
        Number(
            name="cutoff_voltage",
            label="Supply at the end",
            unit="V",
            default="4.6 V",
            low="0.5 V",
            high="60 V",
            why="an empty cell to a long pack",
            hint="cut-off voltage of one cell × cells in series",
            rig="front_end.cutoff_voltage",
        ),
        Number(
            name="upper_resistance",
            label="Resistor to the positive end",
            unit="kΩ",
            default="100 kΩ",
            low="10 Ω",
            high="100 MΩ",
            why="a heater to a leak",
            tolerance="±1 %",
            rig="front_end.upper_resistance",
        ),
        Number(
            name="lower_resistance",
            label="Resistor to the negative end",
            unit="kΩ",
            default="100 kΩ",
            low="10 Ω",
            high="100 MΩ",
            why="a heater to a leak",
            hint="equal to the other, unless the headrooms differ",
            tolerance="±1 %",
            rig="front_end.lower_resistance",
        ),
        Number(
            name="ground_capacitance",
            label="Capacitor from the middle to the negative end",
            unit="µF",
            default="33 µF",
            low="1 nF",
            high="0.1 F",
            why="film to the largest electrolytic",
            tolerance="±20 %",
            rig="front_end.ground_capacitance",
        ),
        Number(
            name="supply_capacitance",
            label="Capacitor from the middle to the positive end",
            unit="µF",
            default="0 µF",
            low="0 µF",
            high="100000 µF",
            why="none, to the largest electrolytic",
            hint="none in most front ends",
            rig="front_end.supply_capacitance",
        ),
        Number(
            name="upper_headroom",
            label="What the buffer keeps from the positive end",
            unit="V",
            default="1.6 V",
            low="0 V",
            high="20 V",
            why="rail-to-rail to an old type",
            hint="the larger of input's and output's, from its data sheet",
            rig="front_end.headroom_up",
        ),
        Number(
            name="lower_headroom",
            label="… from the negative end",
            unit="V",
            default="1 V",
            low="0 V",
            high="20 V",
            why="rail-to-rail to an old type",
            hint="the larger of input's and output's, from its data sheet",
            rig="front_end.headroom_down",
        ),
        chain.BIAS_RESISTANCE,
        Number(
            name="source_capacitance",
            label="Element, cable and input together",
            unit="nF",
            default="8.7 nF",
            low="1 pF",
            high="20 µF",
            why="from a tiny disc to a large stack",
            hint="of one channel",
            rig="front_end.source_capacitance",
        ),
        Number(
            name="bias_current",
            label="Input current of one buffer",
            unit="pA",
            default="30 pA",
            low="0 pA",
            high="100 µA",
            why="none, to an old bipolar type",
            hint="on the warmest day; a JFET input's doubles about every 10 °C",
            rig="front_end.bias_current",
        ),
        Number(
            name="channels",
            label="Buffers on this middle",
            unit="1",
            default="2",
            low="1",
            high="16",
            why="one hydrophone to a large array",
            integer=True,
            rig="front_end.buffers",
        ),
        Number(
            name="frequency",
            label="Frequency of ripple and crosstalk",
            unit="Hz",
            default="100 Hz",
            low="0.01 Hz",
            high="1 MHz",
            why="slow waves to a converter's switching",
        ),
        Number(
            name="wanted_peak",
            label="Largest peak expected",
            unit="V",
            default="0.5 V",
            low="1 µV",
            high="30 V",
            why="the quietest sound to a whole supply",
            hint="at the buffer; only judges the answer",
        ),
    ),
    outputs=(
        Output(
            name="peak_end",
            label="Largest peak before clipping, at the end",
            unit="V",
            help="below zero, so much supply is missing before the buffer works at all",
            verdict=Verdict(
                better="above",
                limit="wanted_peak",
                met="above the {limit} expected",
                missed="below the {limit} expected: loud sounds clip before the battery is empty, "
                "and below zero the buffer does not work at all",
                unsure="may be below the {limit} expected",
                source="your own limit",
            ),
            rig="front_end.swing",
        ),
        Output(name="peak_start", label="Largest peak before clipping, fresh", unit="V"),
        Output(
            name="settling_time",
            label="Until the middle is within 1 %",
            unit="s",
            help="after switching on; what is recorded before rides on a slope, or is clipped",
        ),
        Output(name="divider_current", label="Current through the two resistors, fresh", unit="µA"),
        Output(
            name="middle_corner",
            label="Corner of the middle",
            unit="Hz",
            help="above it the capacitor holds the middle still",
        ),
        Output(
            name="middle_ripple",
            label="Ripple of the supply that reaches the middle",
            unit="dB",
            help="at the frequency given; against the ripple itself",
        ),
        Output(
            name="input_ripple",
            label="Ripple of the supply that reaches a buffer's input",
            unit="dB",
            help="through its bias resistor; the element shorts most of the rest",
        ),
        Output(
            name="crosstalk",
            label="What one channel hears of another through the middle",
            unit="dB",
            help="at the frequency given; against the level at the other's input",
        ),
        Output(
            name="offset",
            label="Shift of the output by the input current",
            unit="mV",
            help="taken from the room on the worse side",
        ),
    ),
    compute=_supply_split,
    plot=_peak_over_supply,
    cautions=(
        Caution(
            title="A reversed electrolytic capacitor can burst.",
            text="Its positive end goes to the middle if it leads to the negative end. Find the "
            "polarity with a meter before power is applied, and wear eye protection at first "
            "power-up. Follow the maker's data sheet and local rules.",
        ),
    ),
)
