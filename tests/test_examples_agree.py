"""One rig is one rig: its worked examples have the same element, cable, amplifier and recorder."""

import math
from collections import Counter
from functools import cache

import pytest
from scipy.constants import Boltzmann, zero_Celsius
from scipy.integrate import quad

from site_src.examples import load

examples = cache(load)

RIGS = {
    "tarn": ("tarn-", "bench-", "dummy-", "damp-", "leak-", "small-bias"),
    "eelgrass": ("eelgrass-",),
    "under ice": ("under-ice-",),
    "weir": ("weir-",),
}
"""Which names belong to a rig, by how they begin."""

CHAIN = (
    "sensitivity_level",
    "element_capacitance",
    "loss_tangent",
    "cable_capacitance",
    "input_capacitance",
    "bias_resistance",
    "output_capacitance",
    "voltage_noise",
    "noise_corner",
    "current_noise",
    "front_end_noise",
    "swing",
    "gain",
    "recorder_input_noise",
    "recorder_input_resistance",
    "recorder_input_limit",
    "recorder_full_scale",
    "recorder_gain",
    "bits",
    "temperature",
)
"""The inputs that are the rig's own; what is asked of it (frequency, band, limit) may differ."""

OF_THE_WATER = ("sound-absorption", "listening-range")
"""Calculators whose temperature is that of the water in the sound's way, not of the rig."""

DUMMY = "a film capacitor in the place of the element"
METER = "the insulation test: a voltmeter in the place of bias resistor and buffer"
BENCH = "at room temperature, on the bench"
LEAK = "a leak beside the bias resistor"
MENDED = "this is what the example changes"
EXCEPTIONS = {
    ("bench-insulation", "input_capacitance"): METER,
    ("bench-insulation", "bias_resistance"): METER,
    ("bench-insulation", "output_capacitance"): METER,
    ("bench-insulation", "recorder_input_resistance"): METER,
    ("bench-noise", "loss_tangent"): DUMMY,
    ("bench-noise-low", "loss_tangent"): DUMMY,
    ("bench-noise-short", "loss_tangent"): DUMMY,
    ("bench-noise-short", "element_capacitance"): DUMMY,
    ("dummy-noise", "loss_tangent"): DUMMY,
    ("dummy-noise", "element_capacitance"): "a dummy for element and cable together",
    ("dummy-noise", "cable_capacitance"): "a dummy for element and cable together",
    ("bench-noise", "temperature"): BENCH,
    ("bench-noise-low", "temperature"): BENCH,
    ("bench-noise-short", "temperature"): BENCH,
    ("dummy-noise", "temperature"): BENCH,
    ("leak-at-limit", "bias_resistance"): LEAK,
    ("leak-too-low", "bias_resistance"): LEAK,
    ("damp-board", "bias_resistance"): LEAK,
    ("small-bias", "bias_resistance"): "a resistor from the wrong drawer",
    ("tarn-element-soft", "loss_tangent"): "another ceramic",
    ("tarn-line-input", "recorder_input_noise"): "another input of the recorder",
    ("tarn-gain-low", "recorder_gain"): MENDED,
    ("tarn-gain-low", "recorder_input_noise"): "the same input, turned down",
    ("tarn-against-ice", "temperature"): "carried to another lake, in winter",
    ("eelgrass-noise-first", "voltage_noise"): MENDED,
    ("eelgrass-noise-first", "noise_corner"): MENDED,
    ("eelgrass-levels-first", "recorder_gain"): MENDED,
    ("under-ice-noise-first", "bias_resistance"): MENDED,
    ("under-ice-noise-smaller", "bias_resistance"): MENDED,
    ("under-ice-noise-mended", "gain"): MENDED,
    ("under-ice-levels", "gain"): "the mended front end",
    ("under-ice-power-warm", "temperature"): "where the cells were tried",
    ("weir-noise-solid", "sensitivity_level"): MENDED,
}
"""Where an example differs from its rig on purpose, and why."""


@cache
def entered(rig: str, name: str) -> dict[str, float]:
    """This input of every example of the rig, without its tolerance."""
    return {
        example.name: float(example.worked.fields[name])
        for example in examples().values()
        if example.name.startswith(RIGS[rig])
        and example.worked.fields.get(name)
        and not (name == "temperature" and example.worked.decl["id"] in OF_THE_WATER)
    }


def usual(values: dict[str, float]) -> float:
    """The value that most of a rig's examples have."""
    return Counter(values.values()).most_common(1)[0][0]


@pytest.mark.parametrize("name", CHAIN)
@pytest.mark.parametrize("rig", RIGS)
def test_examples_of_one_rig_have_the_same_parts(rig, name):
    """An example that differs is in the list of exceptions, with its reason."""
    kept = {n: v for n, v in entered(rig, name).items() if (n, name) not in EXCEPTIONS}
    assert len(set(kept.values())) <= 1, kept


@pytest.mark.parametrize(("example", "name"), EXCEPTIONS)
def test_an_exception_is_one(example, name):
    """The list holds nothing that agrees after all, or is gone."""
    (rig,) = (rig for rig, starts in RIGS.items() if example.startswith(starts))
    values = entered(rig, name)
    others = {n: v for n, v in values.items() if (n, name) not in EXCEPTIONS}
    assert others, "nothing is left to differ from"
    assert values[example] != usual(others)


def test_every_rig_has_parts_to_compare():
    """The prefixes still find examples, and the names still are inputs."""
    for name in CHAIN:
        assert any(entered(rig, name) for rig in RIGS), name
    for rig in RIGS:
        assert any(len(entered(rig, name)) > 1 for name in CHAIN), rig


def fields(example: str) -> dict[str, float]:
    """What an example enters as numbers, in the form's own units."""
    return {k: float(v) for k, v in examples()[example].worked.fields.items() if v[-1:].isdigit()}


def test_the_swing_is_what_the_virtual_ground_leaves_at_the_end():
    """The chapters say so: four cells at their cut-off, in the tarn and in the eelgrass."""
    room = examples()["tarn-virtual-ground"].worked.output("peak_end")
    for chain in ("tarn-levels", "eelgrass-levels-first", "eelgrass-levels-mended"):
        assert fields(chain)["swing"] == pytest.approx(room["value"], abs=0.01)


@pytest.mark.parametrize(
    ("chain", "noise"),
    [
        ("tarn-levels", "tarn-against-lakes"),
        ("eelgrass-levels-mended", "eelgrass-noise-mended"),
        ("under-ice-levels", "under-ice-noise-mended"),
    ],
)
def test_the_mean_noise_of_the_front_end_is_that_of_its_parts(chain, noise):
    """Independent: element, resistor and amplifier integrated over the recorded band."""
    part, band = fields(noise), fields(chain)
    element = part["element_capacitance"] * 1e-9
    load_ = (part["cable_capacitance"] + part["input_capacitance"]) * 1e-12
    four_kt = 4 * Boltzmann * (part["temperature"] + zero_Celsius)

    def density(f: float) -> float:
        lossy = 1 - 1j * part["loss_tangent"]
        admittance = 1 / (part["bias_resistance"] * 1e6)
        admittance += 2j * math.pi * f * (element * lossy + load_)
        thermal = four_kt * admittance.real / abs(admittance) ** 2
        amplifier = (part["voltage_noise"] * 1e-9) ** 2 * (1 + part["noise_corner"] / f)
        return thermal + amplifier + (part["current_noise"] * 1e-15 / abs(admittance)) ** 2

    low, high = band["band_low"], band["band_high"] * 1e3
    total, _ = quad(density, low, high, points=(20, 100, 500, 2000), limit=300)
    assert band["front_end_noise"] == pytest.approx(math.sqrt(total / (high - low)) * 1e9, abs=0.06)
