"""The exported netlist in a circuit simulator gives what the calculators give."""

import math
import re

import pytest

from calculators.cards.front_end import CORNER_FREQUENCY
from calculators.cards.noise import FRONT_END_NOISE
from calculators.evaluate import defaults, evaluate
from tests.simulator import curve, printed, simulate

RUN = (
    "run\nsetplot ac1\nwrdata ac.txt vdb(in) vdb(rec)\n"
    "setplot noise1\nwrdata noise.txt onoise_spectrum inoise_spectrum\n"
    "setplot noise2\nprint onoise_total"
)

CASES = {
    "defaults": {},
    "small element": {"element_capacitance": 150e-12, "bias_resistance": 1e9, "temperature": -1},
    "bipolar amplifier": {
        "current_noise": 0.5e-12,
        "current_noise_corner": 180.0,
        "voltage_noise": 2e-9,
    },
    "gain before a loud recorder": {"gain": 26.0, "recorder_input_noise": 90e-9},
    "nothing but thermal noise": {
        "voltage_noise": 0.1e-9,
        "noise_corner": 0.0,
        "current_noise": 0.0,
        "recorder_input_noise": 0.0,
    },
    "no cable": {"cable_capacitance": 0.0, "input_capacitance": 0.0},
}


def netlist(values: dict[str, float]) -> str:
    """The export of the noise calculator for these values."""
    (export,) = FRONT_END_NOISE.exports
    return export.text(values, evaluate(FRONT_END_NOISE, values))


def at(values: dict[str, float], frequency: float) -> dict[str, float]:
    """The calculator's answers at one frequency."""
    return evaluate(FRONT_END_NOISE, values | {"frequency": frequency})


@pytest.mark.parametrize("changed", CASES.values(), ids=CASES.keys())
def test_without_loss_the_noise_agrees_at_every_frequency(changed, tmp_path):
    """Simulation: ngspice noise analysis of the export, 50 points a decade from 0.1 Hz to 1 MHz.

    Noise at the recorder, noise referred to the element, and the level at the buffer's input.
    """
    values = defaults(FRONT_END_NOISE) | {"loss_tangent": 0.0} | changed
    simulate(netlist(values), RUN, tmp_path)
    rows = curve(tmp_path / "noise.txt")
    assert len(rows) > 300
    for frequency, at_recorder, at_element in rows[::7]:
        answer = at(values, frequency)
        assert at_recorder == pytest.approx(answer["recorder_noise"], rel=1e-5)
        level = 20 * math.log10(at_element) - values["sensitivity_level"]
        assert level == pytest.approx(answer["level_at_frequency"], abs=1e-4)


@pytest.mark.parametrize("frequency", [3.0, 100.0, 1e3, 20e3])
@pytest.mark.parametrize("loss_tangent", [0.004, 0.1])
def test_with_loss_the_noise_agrees_at_the_frequency_asked_about(loss_tangent, frequency, tmp_path):
    """Simulation: the export's loss is a resistor that is exact at that frequency."""
    values = defaults(FRONT_END_NOISE)
    values |= {"loss_tangent": loss_tangent, "frequency": frequency}
    commands = (
        f"noise v(rec) Vel lin 1 {frequency} {frequency}\n"
        "wrdata noise.txt onoise_spectrum inoise_spectrum"
    )
    simulate(netlist(values), commands, tmp_path)
    ((_, at_recorder, at_element),) = curve(tmp_path / "noise.txt")
    answer = at(values, frequency)
    assert at_recorder == pytest.approx(answer["recorder_noise"], rel=1e-5)
    level = 20 * math.log10(at_element) - values["sensitivity_level"]
    assert level == pytest.approx(answer["level_at_frequency"], abs=1e-4)


@pytest.mark.parametrize("changed", CASES.values(), ids=CASES.keys())
def test_the_total_over_a_band_agrees(changed, tmp_path):
    """Simulation: ngspice integrates its own spectrum from 0.1 Hz to 1 MHz."""
    values = defaults(FRONT_END_NOISE) | {"loss_tangent": 0.0} | changed
    values |= {"band_from": 0.1, "band_to": 1e6}
    total = printed(simulate(netlist(values), RUN, tmp_path), "onoise_total")
    answer = evaluate(FRONT_END_NOISE, values)
    assert total == pytest.approx(answer["recorder_band_noise"], rel=2e-4)


@pytest.mark.parametrize(
    "changed", [{}, {"output_capacitance": 0.2e-6}, {"cable_capacitance": 20e-9}]
)
def test_the_corners_agree_with_those_of_the_corner_calculator(changed, tmp_path):
    """Simulation: the front end with its output capacitor is 3.01 dB down at the common corner."""
    values = defaults(CORNER_FREQUENCY) | changed
    answer = evaluate(CORNER_FREQUENCY, values)
    (export,) = CORNER_FREQUENCY.exports
    text = export.text(values, answer)
    points = (answer["input_corner"], answer["combined_corner"], 1e6)
    levels = []
    for frequency in points:
        simulate(
            text, f"ac lin 1 {frequency} {frequency}\nwrdata ac.txt vdb(in) vdb(rec)", tmp_path
        )
        ((_, at_input, at_recorder),) = curve(tmp_path / "ac.txt")
        levels.append((at_input, at_recorder))
    half = 10 * math.log10(0.5)
    assert levels[0][0] - levels[2][0] == pytest.approx(half, abs=1e-6)
    assert levels[1][1] - levels[2][1] == pytest.approx(half, abs=1e-6)
    assert levels[2][0] == pytest.approx(answer["loading_loss"], abs=1e-6)


def test_the_netlist_uses_only_what_every_simulator_of_the_family_reads():
    """Elements and cards of SPICE 2: no control section, no expressions, no subcircuits."""
    text = netlist(defaults(FRONT_END_NOISE))
    lines = text.splitlines()
    assert lines[0].startswith("*")
    assert lines[-1] == ".end"
    for line in lines[:-1]:
        assert re.match(r"\*|[VIRCEGD]\w* |\.(temp|model|ac|noise) ", line), line
        assert "{" not in line
    names = [line.split()[0] for line in lines if line[0].isalpha()]
    assert len(set(names)) == len(names)
    assert text.isascii()


def test_nothing_is_drawn_for_what_is_not_there():
    """No cable, no loss, no noise of recorder and current: no element of that name."""
    values = defaults(FRONT_END_NOISE) | {
        "cable_capacitance": 0.0,
        "loss_tangent": 0.0,
        "current_noise": 0.0,
        "recorder_input_noise": 0.0,
        "noise_corner": 0.0,
    }
    text = netlist(values)
    for gone in ("Ccab", "Rel", "Giw", "Rrw", "noisy"):
        assert gone not in text
    assert "Erec rec 0 amp 0 1" in text
