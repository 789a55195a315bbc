"""The level chain against waveforms that go through it sample by sample, and a simulator."""

import math
import re
import shlex
import subprocess
import sys

import numpy as np
import pytest
from scipy.integrate import quad

from calculators.cards.levels import LEVEL_CHAIN, STAGES
from calculators.cards.noise import FRONT_END_NOISE
from calculators.declare import Number
from calculators.errors import InputError
from calculators.evaluate import FormError, defaults, evaluate, read
from calculators.formulas import levels
from site_src.paths import DOCS

BASE = defaults(LEVEL_CHAIN)

CASES = {
    "defaults": {},
    "front end first": {"recorder_gain": -20.0, "recorder_input_limit": 9.0},
    "amplifier first": {"gain": 26.0, "recorder_gain": -20.0, "recorder_input_limit": 9.0},
    "recorder's input first": {"recorder_input_limit": 0.05},
    "a divider behind the buffer": {"gain": -20.0, "recorder_gain": 0.0},
    "few bits": {"bits": 8.0, "gain": 12.0},
}
CHAINS = pytest.mark.parametrize("changed", CASES.values(), ids=CASES.keys())


def sine(level: float) -> np.ndarray:
    """Pressure in Pa of a tone with this zero-to-peak level, 48 kHz, its crests on samples."""
    t = np.arange(4800) / 48000
    return 1e-6 * 10 ** (level / 20) * np.sin(2 * np.pi * 1000 * t)


def stages(values: dict[str, float], pressure: np.ndarray) -> list[float]:
    """How much of each stage's range this pressure uses; 1 is all of it."""
    load = values["cable_capacitance"] + values["input_capacitance"]
    element = pressure * 1e6 * 10 ** (values["sensitivity_level"] / 20)
    buffer = element * values["element_capacitance"] / (values["element_capacitance"] + load)
    recorder = buffer * 10 ** (values["gain"] / 20)
    converter = recorder * 10 ** (values["recorder_gain"] / 20)
    front_end = max(np.abs(buffer).max(), np.abs(recorder).max() if values["gain"] > 0 else 0.0)
    return [
        front_end / values["swing"],
        np.abs(recorder).max() / values["recorder_input_limit"],
        np.abs(converter).max() / values["recorder_full_scale"],
    ]


@CHAINS
def test_each_stage_clips_at_its_level_and_the_first_is_named(changed):
    """Independent: a waveform through the chain, a hair below each level and a hair above."""
    values = BASE | changed
    results = evaluate(LEVEL_CHAIN, values)
    for place, name in enumerate(STAGES):
        assert stages(values, sine(results[name] - 0.001))[place] < 1
        assert stages(values, sine(results[name] + 0.001))[place] > 1
    below = stages(values, sine(results["clip_level"] - 0.001))
    above = stages(values, sine(results["clip_level"] + 0.001))
    assert max(below) < 1
    assert above[int(results["first_stage"]) - 1] > 1


def test_all_three_stages_can_be_the_first():
    """The cases above are worth something only if they differ."""
    first = {evaluate(LEVEL_CHAIN, BASE | changed)["first_stage"] for changed in CASES.values()}
    assert first == {1.0, 2.0, 3.0}


@CHAINS
def test_a_file_and_the_system_sensitivity_give_back_the_level_in_the_water(changed):
    """Independent: samples of a tone in a file, as parts of full scale, less the sensitivity."""
    values = BASE | changed
    results = evaluate(LEVEL_CHAIN, values)
    pressure = sine(120.0)
    samples = np.abs(pressure).max() / 1e-6 * 10 ** (results["system_sensitivity"] / 20)
    assert samples == pytest.approx(stages(values, pressure)[2], rel=1e-9)


@CHAINS
def test_recorded_noise_read_back_from_the_file_is_the_noise_floor(changed):
    """Simulation: half a million samples of noise, rounded, and their root mean square."""
    values = BASE | changed | {"band_low": 0.01, "band_high": 24e3}
    results = evaluate(LEVEL_CHAIN, values)
    random = np.random.default_rng(3)
    width = math.sqrt(values["band_high"] - values["band_low"])
    front = random.normal(0, values["front_end_noise"] * width, 500_000)
    front *= 10 ** (values["gain"] / 20)
    recorder = random.normal(0, values["recorder_input_noise"] * width, 500_000)
    scale = values["recorder_full_scale"] / 10 ** (values["recorder_gain"] / 20)
    step = 2 / 2 ** values["bits"]
    wanted = random.uniform(-0.5, 0.5, 500_000)  # something louder, so that rounding is noise
    file = np.round((wanted + (front + recorder) / scale) / step) * step
    heard = 20 * math.log10((file - wanted).std()) - results["system_sensitivity"]
    assert heard == pytest.approx(results["noise_floor"], abs=0.03)


def test_the_sensitivity_at_the_recorder_agrees_with_a_circuit_simulator(tmp_path):
    """Simulation: ngspice; element behind its capacitance, cable, buffer, gain of 20 dB."""
    values = BASE | {"gain": 20.0}
    results = evaluate(LEVEL_CHAIN, values)
    load = values["cable_capacitance"] + values["input_capacitance"]
    data = tmp_path / "ac.txt"
    netlist = tmp_path / "chain.cir"
    netlist.write_text(f"""* one micropascal through the chain
V1 src 0 DC 0 AC {10 ** (values["sensitivity_level"] / 20)}
Ce src in {values["element_capacitance"]}
Cl in 0 {load}
Rb in 0 1e12
E1 out 0 in 0 10
.control
set wr_singlescale
set numdgt=12
ac lin 1 1e6 1e6
wrdata {data} vdb(out)
quit 0
.endc
.end
""")
    subprocess.run(["ngspice", "-b", netlist], check=True, capture_output=True, cwd=tmp_path)
    at_recorder = float(data.read_text().split()[1])
    full_scale = values["recorder_full_scale"] / 10 ** (values["recorder_gain"] / 20)
    expected = at_recorder - 20 * math.log10(full_scale)
    assert results["system_sensitivity"] == pytest.approx(expected, abs=1e-5)


def test_the_recommended_gain_leaves_the_headroom_and_no_more():
    """Set to it, full scale lies the headroom above the expected peak."""
    gain = evaluate(LEVEL_CHAIN, BASE)["recommended_gain"]
    results = evaluate(LEVEL_CHAIN, BASE | {"recorder_gain": gain})
    assert results["first_stage"] == 3
    assert results["reserve"] == pytest.approx(BASE["headroom"])


def test_no_gain_mends_a_front_end_that_clips():
    """The clip level of the front end stays where it is, whatever the recorder is set to."""
    loud = BASE | {"expected_peak": 210.0}
    asked = evaluate(LEVEL_CHAIN, loud)
    mended = evaluate(LEVEL_CHAIN, loud | {"recorder_gain": asked["recommended_gain"]})
    assert mended["front_end_clip"] == asked["front_end_clip"] < 210
    assert mended["reserve"] < 0


def test_peak_and_rms_are_kept_apart():
    """The largest sine is 3.01 dB below the clip level; the dynamic range counts from there."""
    results = evaluate(LEVEL_CHAIN, BASE)
    crest = results["clip_level"] - results["noise_floor"] - results["dynamic_range"]
    assert crest == pytest.approx(20 * math.log10(math.sqrt(2)))


def test_effective_bits_can_hold_the_recorders_noise():
    """A recorder of 16 effective bits without other noise has the rounding noise as its floor."""
    results = evaluate(
        LEVEL_CHAIN,
        BASE | {"bits": 16.0, "recorder_input_noise": 0.0, "front_end_noise": 1e-11},
    )
    assert results["noise_floor"] == pytest.approx(results["rounding_level"], abs=0.01)


@pytest.mark.parametrize("slope", [-60, -25, -10, -9.999, 0, 17, 60])
def test_a_sloped_density_adds_up_to_the_level_of_its_band(slope):
    """Independent: numerical integration of the density over the band."""
    given = {"level": 90.0, "band_low": 20.0, "band_high": 9000.0, "slope": slope}

    def density(log_f: float) -> float:
        f = math.exp(log_f)
        return f * 10 ** (levels.sloped_density_level(**given, frequency=f) / 10)

    power, _ = quad(density, math.log(20.0000001), math.log(8999.99999), epsrel=1e-10, limit=200)
    assert 10 * math.log10(power) == pytest.approx(90, abs=1e-5)


@pytest.mark.parametrize(
    ("formula", "arguments", "told"),
    [
        (levels.sound_level, {"voltage": 0, "sensitivity": -200}, "voltage must be above zero"),
        (levels.sound_level, {"voltage": 1, "sensitivity": math.nan}, "sensitivity must be from"),
        (levels.quantisation_noise, {"full_scale": 1, "bits": 0}, "bits must be from 1 to 64"),
        (
            levels.sloped_density_level,
            {"level": 90, "band_low": 100, "band_high": 50, "slope": 0, "frequency": 70},
            "band_high must be above 100",
        ),
        (
            levels.sloped_density_level,
            {"level": 90, "band_low": 100, "band_high": 500, "slope": 0, "frequency": 70},
            "frequency must be from 100 to 500",
        ),
        (levels.mean_density_level, {"level": 90, "bandwidth": -1}, "bandwidth must be above zero"),
    ],
)
def test_an_impossible_argument_is_refused_by_name(formula, arguments, told):
    """The formula names the argument and the rule."""
    with pytest.raises(InputError, match=told):
        formula(**arguments)


@pytest.mark.parametrize("item", [i for i in LEVEL_CHAIN.inputs if isinstance(i, Number)])
def test_a_field_that_is_refused_is_named_with_what_it_takes(item):
    """Bad input: beyond the upper end of each range."""
    fields = {
        i.name: i.field_text(i.default_si, "metric")
        for i in LEVEL_CHAIN.inputs
        if isinstance(i, Number)
    }
    beyond = item.field_text(item.high_si + abs(item.high_si) + 1, "metric")
    with pytest.raises(FormError) as refused:
        read(LEVEL_CHAIN, fields | {item.name: beyond}, {}, "metric")
    (error,) = refused.value.errors
    assert error.name == item.name
    assert item.accepted("metric") in error.message


def test_the_chapter_prints_ratios_and_references_as_they_are():
    """Figures that “Levels and dB without tears” and the eelgrass example print themselves."""
    page = (DOCS / "plan" / "levels.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| × ([\d.]+) \| \+ (\d+) dB \| × ([\d. ]+) \|$", page, re.MULTILINE)
    assert len(rows) == 6
    for ratio, level, power in rows:
        assert float(ratio) == pytest.approx(10 ** (float(level) / 20), rel=0.005)
        assert float(power.replace(" ", "")) == pytest.approx(10 ** (float(level) / 10), rel=0.005)
    assert round(20 * math.log10(20)) == 26
    assert round(20 * math.log10(1 / 20e-6)) == 94
    harder = 1026 * 1500 / (1.2 * 343)  # density and sound speed of sea water and of air at 20 °C
    assert 10 * math.log10(harder) == pytest.approx(36, abs=0.5)
    assert harder == pytest.approx(3600, rel=0.05)
    assert 26 + 36 == 62
    assert 25 + 20 * math.log10(20) == pytest.approx(51, abs=0.5)
    assert pytest.approx(1.19, abs=0.005) == 10 ** (1.5 / 20)
    example = (DOCS / "examples" / "eelgrass-noise.md").read_text(encoding="utf-8")
    assert "132 dB at twelve metres" in example
    assert round(153.4 - 20 * math.log10(12)) == 132
    assert round((24 - 18) * 20 * math.log10(2)) == 36
    assert levels.level_sum(first=60.0, second=50.0) == pytest.approx(60.4, abs=0.05)
    assert levels.level_sum(first=60.0, second=60.0) == pytest.approx(63, abs=0.05)


def printed_commands() -> list[str]:
    """Every command line that the pages of these two calculators print."""
    pages = [DOCS / "calculators" / f"{name}.md" for name in ("level-chain", "ambient-noise")]
    lines = [line for page in pages for line in page.read_text(encoding="utf-8").splitlines()]
    return [line for line in lines if line.startswith("python -m calculators ")]


@pytest.mark.parametrize("command", printed_commands())
def test_a_printed_command_runs_as_printed(command):
    """What a page prints can be typed."""
    words = shlex.split(command)
    done = subprocess.run([sys.executable, *words[1:]], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert done.stdout


def test_the_chain_that_the_form_starts_with_is_that_of_the_noise_calculator():
    """The mean over the band, without the recorder's part, of the front end's own defaults."""
    start = defaults(FRONT_END_NOISE) | {"recorder_input_noise": 0.0}
    band = evaluate(FRONT_END_NOISE, start)["band_noise"]
    mean = band / math.sqrt(float(start["band_to"]) - float(start["band_from"]))

    assert defaults(LEVEL_CHAIN)["front_end_noise"] == pytest.approx(mean, rel=0.02)
