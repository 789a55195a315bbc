"""How an output was read: as a voltage at the recorder's input, or as a level in the file."""

from dataclasses import replace

from calculators.cards import chain
from calculators.declare import Choice, Option, Shown
from calculators.formulas.levels import input_full_scale, voltage_of_file_level

VOLTAGE, FILE = "voltage", "file"

READING = Choice(
    name="reading",
    label="The output was read as",
    options=(
        Option(value=FILE, label="a level in the file"),
        Option(value=VOLTAGE, label="a voltage at the recorder's input"),
    ),
    default=FILE,
)

AS_FILE = Shown(input="reading", values=(FILE,))
AS_VOLTAGE = Shown(input="reading", values=(VOLTAGE,))

RECORDER_INPUTS = (
    replace(chain.RECORDER_FULL_SCALE, tolerance="±3 %"),
    chain.RECORDER_GAIN,
)
"""Full scale has to be measured before it calibrates anything."""


def output_voltage(
    reading: str, voltage: float, level: float, recorder_full_scale: float, recorder_gain: float
) -> float:
    """Voltage at the recorder's input, V, however it was read."""
    if reading == VOLTAGE:
        return voltage
    full_scale = input_full_scale(full_scale=recorder_full_scale, recorder_gain=recorder_gain)
    return voltage_of_file_level(full_scale=full_scale, level=level)
