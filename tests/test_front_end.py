"""The front end's calculator against closed forms and a circuit simulator."""

import math
import subprocess
from itertools import pairwise
from pathlib import Path

import pytest

from calculators.cards.front_end import CORNER_FREQUENCY
from calculators.errors import InputError
from calculators.evaluate import defaults, evaluate
from calculators.formulas.front_end import (
    capacitive_divider_level,
    rc_corner,
    two_corner_frequency,
)

# Element as a voltage behind its capacitance, cable and input across it, bias resistor,
# ideal buffer, coupling capacitor into the recorder.
NETLIST = """* element, bias resistor, unity-gain buffer, coupling capacitor, recorder
V1 src 0 DC 0 AC 1
Ce src in {element}
Cl in 0 {load}
Rb in 0 {bias}
E1 buf 0 in 0 1
Co buf out {output}
Rr out 0 {recorder}
.control
set wr_singlescale
set numdgt=12
ac dec 2000 {start} {stop}
wrdata {file} vdb(in) vdb(out)
quit 0
.endc
.end
"""

CASES = {
    "defaults": {},
    "equal corners": {"bias_resistance": 10e6, "element_capacitance": 15.9155e-9 - 492e-12},
    "output decides": {"output_capacitance": 0.1e-6, "recorder_input_resistance": 2e3},
    "long cable": {"cable_capacitance": 20e-9, "bias_resistance": 1e6},
}


def simulate(values: dict[str, float], folder: Path) -> list[tuple[float, float, float]]:
    """Frequency, level at the buffer's input and level at the recorder, in dB, from ngspice."""
    results = evaluate(CORNER_FREQUENCY, values)
    data = folder / "ac.txt"
    netlist = folder / "front_end.cir"
    netlist.write_text(
        NETLIST.format(
            element=values["element_capacitance"],
            load=values["cable_capacitance"] + values["input_capacitance"],
            bias=values["bias_resistance"],
            output=values["output_capacitance"],
            recorder=values["recorder_input_resistance"],
            start=min(results["input_corner"], results["output_corner"]) / 10,
            stop=results["combined_corner"] * 1e5,
            file=data,
        )
    )
    subprocess.run(["ngspice", "-b", netlist], check=True, capture_output=True, cwd=folder)
    rows = [[float(x) for x in line.split()] for line in data.read_text().splitlines()]
    return [(row[0], row[1], row[2]) for row in rows]


def crossing(curve: list[tuple[float, float]], level: float) -> float:
    """Frequency at which a rising curve passes a level, interpolated on a log axis."""
    for (f0, y0), (f1, y1) in pairwise(curve):
        if y0 <= level < y1:
            return f0 * (f1 / f0) ** ((level - y0) / (y1 - y0))
    raise AssertionError("the curve does not pass the level")


@pytest.mark.parametrize("changed", CASES.values(), ids=CASES.keys())
def test_corners_and_loading_agree_with_a_circuit_simulator(changed, tmp_path):
    """Simulation: ngspice AC analysis, 2000 points a decade; interpolation sets 1e-4."""
    values = defaults(CORNER_FREQUENCY) | changed
    results = evaluate(CORNER_FREQUENCY, values)
    rows = simulate(values, tmp_path)
    passband_in, passband_out = rows[-1][1], rows[-1][2]
    half = 10 * math.log10(0.5)

    assert passband_in == pytest.approx(results["loading_loss"], abs=1e-4)
    at_input = crossing([(f, y) for f, y, _ in rows], passband_in + half)
    assert at_input == pytest.approx(results["input_corner"], rel=1e-4)
    both = crossing([(f, y) for f, _, y in rows], passband_out + half)
    assert both == pytest.approx(results["combined_corner"], rel=1e-4)


def test_two_corners_give_half_power_and_lie_above_the_larger():
    """Independent: the power response at the answer, computed from the definition."""
    for first, second in ((1, 1), (0.1, 30), (2.27, 15.9), (1e-6, 1e4), (5e3, 5e3)):
        f = two_corner_frequency(first_corner=first, second_corner=second)
        power = 1 / ((1 + (first / f) ** 2) * (1 + (second / f) ** 2))
        assert power == pytest.approx(0.5, rel=1e-12)
        assert f >= max(first, second)


def test_a_far_lower_corner_leaves_the_other_alone():
    """Limit: one corner a million times lower changes nothing."""
    assert two_corner_frequency(first_corner=1e-5, second_corner=10) == pytest.approx(10)


def test_no_load_loses_nothing():
    """Limit: an element straight on an ideal buffer keeps its level."""
    assert capacitive_divider_level(source_capacitance=1e-9, load_capacitance=0) == 0


def test_the_slower_network_sets_the_settling_time():
    """Settling is that of the lower corner: 4.605 time constants."""
    slow_output = evaluate(CORNER_FREQUENCY, defaults(CORNER_FREQUENCY))
    assert slow_output["output_corner"] < slow_output["input_corner"]
    assert slow_output["settling_time"] == pytest.approx(10e3 * 10e-6 * math.log(100))
    slow_input = evaluate(CORNER_FREQUENCY, defaults(CORNER_FREQUENCY) | {"bias_resistance": 100e6})
    assert slow_input["settling_time"] == pytest.approx(100e6 * 8.692e-9 * math.log(100))


def test_common_practice_buffer_records_natural_sound():
    """Common practice, no source: 1 MΩ bias and 22 µF into a recorder serve natural sound well.

    A plausibility check only: with a 10 nF element the corner lies below 20 Hz.
    """
    values = defaults(CORNER_FREQUENCY) | {
        "element_capacitance": 10e-9,
        "bias_resistance": 1e6,
        "output_capacitance": 22e-6,
    }
    assert evaluate(CORNER_FREQUENCY, values)["combined_corner"] < 20


@pytest.mark.parametrize("wrong", [0, -1e6, math.nan, math.inf])
def test_an_impossible_resistance_is_refused_by_name(wrong):
    """The formula names the argument and the rule."""
    with pytest.raises(InputError, match="resistance must be above zero"):
        rc_corner(resistance=wrong, capacitance=1e-9)
