"""Inputs of the listening chain that several calculators share, so that each is worded once."""

from calculators.cards.common import from_table
from calculators.declare import Fill, Number
from calculators.tables.amplifiers import AMPLIFIERS
from calculators.tables.ceramics import CERAMICS

_LOSS = CERAMICS.cell("navy-1", "loss_tangent")
_VOLTAGE_NOISE, _NOISE_CORNER, _CURRENT_NOISE = (
    AMPLIFIERS.cell("jfet-low-noise", column)
    for column in ("voltage_noise", "noise_corner", "current_noise")
)


SENSITIVITY_LEVEL = Number(
    name="sensitivity_level",
    label="Sensitivity of the element",
    unit="dB re 1 V/µPa",
    default="-198 dB re 1 V/µPa",
    low="-260 dB re 1 V/µPa",
    high="-140 dB re 1 V/µPa",
    why="far below a tiny disc to far above a large stack",
    hint="open circuit, at the end of the element",
    tolerance="±1.5 dB",
    rig="element.sensitivity_level",
)

ELEMENT_CAPACITANCE = Number(
    name="element_capacitance",
    label="Element capacitance",
    unit="nF",
    default="8.2 nF",
    low="1 pF",
    high="10 µF",
    why="from a tiny disc to a large stack",
    hint="measured at 1 kHz, without its cable",
    tolerance="±20 %",
    rig="element.capacitance",
)

LOSS_TANGENT = from_table(
    _LOSS,
    name="loss_tangent",
    label="Loss tangent of the element",
    unit="",
    low="0",
    high="1",
    why="no loss, to an element that is more resistor than capacitor",
    hint="tan δ, measured with the capacitance, or from the ceramic's data sheet",
    rig="element.loss_tangent",
)

CABLE_CAPACITANCE = Number(
    name="cable_capacitance",
    label="Cable capacitance",
    unit="pF",
    default="480 pF",
    low="0 pF",
    high="1 µF",
    why="none for an element on the board, to a kilometre of cable",
    hint="length × the cable's capacitance per metre",
    rig="cable.capacitance",
)

INPUT_CAPACITANCE = Number(
    name="input_capacitance",
    label="Input capacitance of the buffer",
    unit="pF",
    default="12 pF",
    low="0 pF",
    high="100 nF",
    why="none, to a large FET or a protection network",
    hint="from its data sheet, with stray capacitance",
    rig="front_end.input_capacitance",
)

BIAS_RESISTANCE = Number(
    name="bias_resistance",
    label="Bias resistor",
    unit="MΩ",
    default="4.7 MΩ",
    low="10 kΩ",
    high="100 GΩ",
    why="less shorts the element, more is leakage",
    hint="from the input to the virtual ground",
    rig="front_end.bias_resistance",
)

VOLTAGE_NOISE = from_table(
    _VOLTAGE_NOISE,
    name="voltage_noise",
    label="Voltage noise of the buffer",
    unit="nV/√Hz",
    low="0.1 nV/√Hz",
    high="10 µV/√Hz",
    why="below the quietest amplifiers to far above the worst",
    hint="where its curve is flat, from its data sheet",
    rig="front_end.voltage_noise",
)

NOISE_CORNER = from_table(
    _NOISE_CORNER,
    name="noise_corner",
    label="1/f corner of the voltage noise",
    unit="Hz",
    low="0 Hz",
    high="1 MHz",
    why="none, to above every band",
    hint="where the curve has risen by 3 dB",
    rig="front_end.noise_corner",
)

CURRENT_NOISE = from_table(
    _CURRENT_NOISE,
    name="current_noise",
    label="Current noise of the buffer",
    unit="fA/√Hz",
    low="0 fA/√Hz",
    high="1 nA/√Hz",
    why="none, to far above bipolar inputs",
    hint="from its data sheet; some fA/√Hz for JFET and CMOS inputs",
    rig="front_end.current_noise",
)

CURRENT_NOISE_CORNER = Number(
    name="current_noise_corner",
    label="1/f corner of the current noise",
    unit="Hz",
    default="0 Hz",
    low="0 Hz",
    high="1 MHz",
    why="none, to above every band",
    hint="of bipolar inputs; JFET and CMOS inputs have none in the audio band",
    rig="front_end.current_noise_corner",
)

GAIN = Number(
    name="gain",
    label="Gain between buffer and recorder",
    unit="dB",
    default="0 dB",
    low="-60 dB",
    high="100 dB",
    why="a strong divider to a strong amplifier",
    hint="voltage gain up to the recorder's terminals; a follower alone has 0 dB",
    rig="front_end.gain",
)

RECORDER_FULL_SCALE = Number(
    name="recorder_full_scale",
    label="Peak voltage at full scale, recorder gain 0 dB",
    unit="V",
    default="1.4 V",
    low="1 mV",
    high="1000 V",
    why="sensitive microphone inputs to line inputs behind a divider",
    hint="at the recorder's input, measured with a sine that just reaches 0 dB; V rms × 1.414",
    tolerance="±10 %",
    rig="recorder.full_scale",
)

RECORDER_GAIN = Number(
    name="recorder_gain",
    label="Recorder gain, as set",
    unit="dB",
    default="20 dB",
    low="-60 dB",
    high="100 dB",
    why="a strong pad to the highest microphone gain",
    hint="against the setting that the full scale was measured at",
    rig="recorder.gain",
)

RECORDER_INPUT_NOISE = Number(
    name="recorder_input_noise",
    label="Input noise of the recorder",
    unit="nV/√Hz",
    default="10 nV/√Hz",
    low="0 nV/√Hz",
    high="100 µV/√Hz",
    why="none, to the worst line inputs",
    hint="at its input terminals, at the gain setting of the trip",
    rig="recorder.input_noise",
)

TEMPERATURE = Number(
    name="temperature",
    label="Temperature",
    unit="°C",
    default="10 °C",
    low="-40 °C",
    high="85 °C",
    why="as electronics is rated",
    hint="of element and bias resistor; it moves the noise little",
    rig="site.water_temperature",
)

AMPLIFIER_FILL = Fill(
    name="amplifier",
    label="Amplifier",
    table=AMPLIFIERS,
    inputs={
        VOLTAGE_NOISE.name: "voltage_noise",
        NOISE_CORNER.name: "noise_corner",
        CURRENT_NOISE.name: "current_noise",
    },
)
