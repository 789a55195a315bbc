"""Calibration: circuits and recordings whose answer is known, and what must be refused or said."""

import math
import random
import tomllib

import numpy as np
import pytest
from scipy import signal

from calculators.cards.comparison import COMPARISON_CALIBRATION
from calculators.cards.insertion import INSERTION_CHECK
from calculators.cards.static_calibration import STATIC_CALIBRATION
from calculators.errors import InputError
from calculators.evaluate import defaults, evaluate
from calculators.formula import tracing
from calculators.formulas.comparison import (
    background_correction,
    echo_free_time,
    expanded_uncertainty,
    position_level,
    transfer_random_error,
)
from calculators.formulas.insertion import (
    capacitance_from_loading,
    corner_from_drop,
    voltage_gain,
)
from calculators.formulas.static_pressure import (
    column_pressure,
    motion_share,
    ramp_remaining,
    sensitivity_from_voltage,
)
from site_src.examples import work
from site_src.paths import DOCS
from tests.simulator import curve, simulate

GRAVITY = 9.80665
CHAIN = {"element": 5.6e-9, "load": 1.1e-9, "bias": 3.3e6, "gain": 4.0, "corner": 2.4}


def insert_circuit(
    element: float = CHAIN["element"],
    leak: float = 1e15,
    extra: float = 0.0,
    load: float = CHAIN["load"],
) -> str:
    """The chain as a netlist; 1 V across the insert resistor, the recorder at node "rec"."""
    lines = [
        "* insert voltage",
        "Vi ins 0 AC 1",
        "Ri ins cold 0.01",
        f"Ce cold in {element:.10g}",
        f"Cl in 0 {load + extra:.10g}",
        f"Rb in 0 {CHAIN['bias']:.10g}",
        f"Rleak in 0 {leak:.10g}",
        f"Eb amp 0 in 0 {CHAIN['gain']:.10g}",
        "Co amp rec 10u",
        f"Rr rec 0 {1 / (2 * math.pi * CHAIN['corner'] * 10e-6):.10g}",
        ".end",
    ]
    return "\n".join(lines) + "\n"


def level_at(netlist: str, frequency: float, folder) -> float:
    """Level at the recorder in dB re the inserted voltage."""
    simulate(netlist, f"ac lin 1 {frequency} {frequency}\nwrdata out vdb(rec)", folder)
    return curve(folder / "out")[0][-1]


def insertion(**changed) -> dict[str, float]:
    given = {
        "insert_voltage": 0.01,
        "reading": "voltage",
        "gain": 20 * math.log10(CHAIN["gain"]),
        "element_capacitance": CHAIN["element"],
        "cable_capacitance": CHAIN["load"] - 12e-12,
        "input_capacitance": 12e-12,
        "bias_resistance": CHAIN["bias"],
        "output_corner": CHAIN["corner"],
        "frequency": 1000.0,
        "low_frequency": 5.0,
    }
    return evaluate(INSERTION_CHECK, defaults(INSERTION_CHECK) | given | changed)


@pytest.mark.parametrize("element", [5.6e-9, 2.8e-9, 9e-9])
def test_a_simulated_chain_gives_back_its_gain_and_its_capacitance(element, tmp_path):
    """Simulation: ngspice, run here; whatever element is in the circuit is found, by both ways."""
    netlist = insert_circuit(element)
    high, low = (level_at(netlist, f, tmp_path) for f in (1000.0, 5.0))
    loaded = level_at(insert_circuit(element, extra=4.7e-9), 1000.0, tmp_path)
    read = {"measured_voltage": 0.01 * 10 ** (high / 20)}
    by_corner = insertion(**read, capacitance_from="low-frequency", level_drop=high - low)
    by_capacitor = insertion(
        **read,
        capacitance_from="parallel-capacitor",
        parallel_capacitance=4.7e-9,
        level_drop=high - loaded,
    )
    assert by_corner["measured_gain"] == pytest.approx(high, abs=1e-6)
    assert by_corner["capacitance"] == pytest.approx(element, rel=1e-4)
    # At 1 kHz the bias resistor still takes some 1e-5 of the voltage.
    assert by_capacitor["capacitance"] == pytest.approx(element, rel=1e-3)
    if element == CHAIN["element"]:
        assert by_corner["deviation"] == pytest.approx(0, abs=1e-5)


def test_a_leak_fools_the_low_tone_and_not_the_capacitor(tmp_path):
    """What the page says of both ways, by ngspice with a leak as large as the bias resistor."""
    netlist = insert_circuit(leak=CHAIN["bias"])
    high, low = (level_at(netlist, f, tmp_path) for f in (1000.0, 5.0))
    loaded = level_at(insert_circuit(leak=CHAIN["bias"], extra=4.7e-9), 1000.0, tmp_path)
    by_corner = insertion(capacitance_from="low-frequency", level_drop=high - low)
    by_capacitor = insertion(
        capacitance_from="parallel-capacitor",
        parallel_capacitance=4.7e-9,
        level_drop=high - loaded,
    )
    half_of_all = (CHAIN["element"] + CHAIN["load"]) / 2
    assert by_corner["source_capacitance"] == pytest.approx(half_of_all, rel=1e-3)
    assert by_capacitor["capacitance"] == pytest.approx(CHAIN["element"], rel=2e-3)
    assert said(INSERTION_CHECK, insert_values(level_drop=high - low), "leak")


def insert_values(**changed):
    return (
        defaults(INSERTION_CHECK)
        | {
            "element_capacitance": CHAIN["element"],
            "cable_capacitance": CHAIN["load"] - 12e-12,
            "bias_resistance": CHAIN["bias"],
            "output_corner": CHAIN["corner"],
            "low_frequency": 5.0,
        }
        | changed
    )


def said(card, values, words: str) -> bool:
    """Whether one of the remarks holds these words."""
    remarks = card.remarks(values, evaluate(card, values), "metric")
    return any(words in remark for remark in remarks)


def test_a_broken_core_is_called_so(tmp_path):
    """Only strays are left in place of the element: next to nothing arrives."""
    high = level_at(insert_circuit(element=5e-12), 1000.0, tmp_path)
    values = insert_values(reading="voltage", measured_voltage=0.01 * 10 ** (high / 20))
    results = evaluate(INSERTION_CHECK, values)
    assert results["deviation"] < -20
    assert said(INSERTION_CHECK, values, "Next to nothing arrives")


@pytest.mark.parametrize(("drop", "low"), [(0.01, 3.0), (119.0, 3.0), (5.0, 2000.0)])
def test_a_drop_that_no_network_makes_is_refused_by_name(drop, low):
    """Less than the way into the recorder takes, more than a resistor can, or upside down."""
    with pytest.raises(InputError) as refused:
        insertion(capacitance_from="low-frequency", level_drop=drop, low_frequency=low)
    assert refused.value.name in ("level_drop", "low_frequency")
    assert "Give" in refused.value.message


def filtered(pressure, rate: float, corners: tuple[float, float], sensitivity: float):
    """Volts behind two high-pass networks; scipy, bilinear with far more samples than needed."""
    voltage = pressure * sensitivity
    for corner in corners:
        b, a = signal.butter(1, corner, "highpass", fs=rate)
        voltage = signal.lfilter(b, a, voltage)
    return voltage


def static(**changed) -> dict[str, float]:
    return evaluate(STATIC_CALIBRATION, defaults(STATIC_CALIBRATION) | changed)


@pytest.mark.parametrize(("period", "corners"), [(1.0, (0.5, 0.3)), (0.7, (3.9, 1.6))])
def test_a_simulated_motion_gives_back_the_sensitivity(period, corners):
    """Simulation: pressure of a sine of depth through two filters of scipy, peak of the file."""
    sensitivity, rate = 10 ** (-197.3 / 20) * 1e6, 20_000.0
    t = np.arange(0, 40 * period, 1 / rate)
    pressure = 1000 * GRAVITY * 0.02 * np.sin(2 * np.pi * t / period)
    voltage = filtered(pressure, rate, corners, sensitivity)
    peak = np.max(np.abs(voltage[len(t) // 2 :]))
    results = static(
        method="oscillation",
        amplitude=0.02,
        period=period,
        water_density=1000.0,
        reading="voltage",
        measured_voltage=float(peak) * 10 ** (12 / 20),
        gain=12.0,
        input_corner=corners[0],
        output_corner=corners[1],
    )
    assert results["sensitivity"] == pytest.approx(-197.3, abs=0.002)


@pytest.mark.parametrize("delay", [0.0, 0.01])
def test_a_simulated_step_gives_back_the_sensitivity(delay):
    """Simulation: an even change of depth, read at its end and a little later."""
    sensitivity, rate, corners = 10 ** (-197.3 / 20) * 1e6, 200_000.0, (3.9, 1.6)
    t = np.arange(0, 0.5, 1 / rate)
    pressure = 1000 * GRAVITY * 0.1 * np.clip(t / 0.1, 0, 1)
    voltage = filtered(pressure, rate, corners, sensitivity)
    read = float(np.interp(0.1 + delay, t, voltage))
    results = static(
        method="step",
        step_height=0.1,
        step_duration=0.1,
        reading_delay=delay,
        water_density=1000.0,
        reading="voltage",
        measured_voltage=read,
        gain=0.0,
        input_corner=corners[0],
        output_corner=corners[1],
    )
    assert results["sensitivity"] == pytest.approx(-197.3, abs=0.005)


def test_file_and_voltage_are_the_same_reading():
    """A level in the file stands for one voltage, by the full scale of that gain."""
    voltage = 1.4 / 10 ** (20 / 20) * 10 ** (-17.1 / 20)
    by_file = static(reading="file", file_peak=-17.1)
    by_voltage = static(reading="voltage", measured_voltage=voltage)
    assert by_file["sensitivity"] == pytest.approx(by_voltage["sensitivity"], abs=1e-9)
    assert by_file["system_sensitivity"] == pytest.approx(by_voltage["system_sensitivity"])


def test_a_step_read_too_late_and_a_column_that_cancels_are_refused():
    """Where next to nothing is left to read, no answer is made up."""
    with pytest.raises(InputError, match="too little to read") as late:
        static(method="step", reading_delay=5.0)
    assert late.value.name == "reading_delay"
    period = 2 * math.pi * math.sqrt(0.15 / GRAVITY)
    with pytest.raises(InputError, match="cancel") as silent:
        static(method="column", column_depth=0.15, period=period)
    assert silent.value.name == "period"


def two_channels(rng, frequency_count: int = 2**18, noise: float = 0.05):
    """Two hydrophones in one sound at 48 kHz, with noise of their own, and the second alone."""
    source = rng.normal(size=frequency_count)
    reference_noise, own_noise, silence = noise * rng.normal(size=(3, frequency_count))
    reference = 10 ** ((-201 + 30) / 20) * 1e6 * source / 0.9
    unknown = 10 ** ((-197.6 + 24) / 20) * 1e6 * source / 1.05
    scale = 10 ** ((-197.6 + 24) / 20) * 1e6 / 1.05
    small = 10 ** ((-201 + 30) / 20) * 1e6 / 0.9
    return reference + small * reference_noise * 0, unknown + scale * own_noise, scale * silence


def log_of(reference, unknown, silence) -> str:
    """Rows from 2 kHz to 16 kHz, every half kilohertz or so, as a program would print them."""
    kwargs = {"fs": 48_000, "nperseg": 2048, "noverlap": 0}
    f, first = signal.welch(reference, **kwargs)
    second, quiet = (signal.welch(x, **kwargs)[1] for x in (unknown, silence))
    coherence = signal.coherence(reference, unknown, **kwargs)[1]
    rows = ["frequency/Hz,reference/dB,unknown/dB,coherence,background/dB"]
    for i in range(0, len(f), 24):
        if 2000 <= f[i] <= 16_000:
            levels = (10 * math.log10(x[i]) for x in (first, second))
            rows.append(
                f"{f[i]:.6g},{','.join(f'{level:.4f}' for level in levels)},"
                f"{min(coherence[i], 1.0):.6f},{10 * math.log10(quiet[i]):.3f}"
            )
    return "\n".join(rows)


def compared(log: str, **changed) -> dict[str, float]:
    given = {
        "log": log,
        "reference_sensitivity": -201.0,
        "reference_gain": 30.0,
        "unknown_gain": 24.0,
        "reference_distance": 0.9,
        "unknown_distance": 1.05,
        "averages": 128.0,
        "mean_over": "all",
    }
    return evaluate(COMPARISON_CALIBRATION, defaults(COMPARISON_CALIBRATION) | given | changed)


def test_two_simulated_hydrophones_give_back_the_sensitivity_of_the_second():
    """Simulation: one noise, known sensitivities, gains and distances; spectra by scipy."""
    log = log_of(*two_channels(np.random.default_rng(2)))
    results = compared(log)
    assert results["sensitivity"] == pytest.approx(-197.6, abs=0.02)
    system = -197.6 + 24 - 20 * math.log10(1.4)
    assert results["system_sensitivity"] == pytest.approx(system, abs=0.02)


def test_a_background_that_is_as_loud_as_a_third_is_taken_off():
    """Simulation: without the column the answer is too high by what the noise adds."""
    log = log_of(*two_channels(np.random.default_rng(5), noise=0.4))
    without = "\n".join(row.rsplit(",", 1)[0] for row in log.splitlines())
    assert compared(log)["sensitivity"] == pytest.approx(-197.6, abs=0.08)
    high = 10 * math.log10(1 + 0.4**2)
    assert compared(without)["sensitivity"] == pytest.approx(-197.6 + high, abs=0.08)


def test_the_expanded_uncertainty_holds_the_truth_in_about_nineteen_of_twenty():
    """Simulation: every contribution drawn anew, 2,000 calibrations of the same hydrophone."""
    drawn, inside, count = random.Random(8), 0, 2000
    width = {"gain": 0.4, "place": 0.03}
    claimed = compared(
        one_row(0.0),
        reference_uncertainty=0.8,
        gain_uncertainty=width["gain"],
        position_error=width["place"],
        repeat_uncertainty=0.3,
        averages=40.0,
        reference_distance=1.0,
        unknown_distance=1.0,
    )["expanded_uncertainty"]
    for _ in range(count):
        error = drawn.gauss(0, 0.4) + drawn.uniform(-width["gain"], width["gain"])
        error += drawn.gauss(0, 0.3) + 8.685889638 * drawn.gauss(0, math.sqrt(0.1 / 0.9 / 80))
        for _ in range(2):
            error += 20 * math.log10(1 + drawn.uniform(-width["place"], width["place"]))
        inside += abs(error) <= claimed
    assert 0.94 < inside / count < 0.97


def one_row(difference: float, coherence: float = 0.9, extra: str = "") -> str:
    """Three rows at one frequency, alike: their mean has a third of the variance of one."""
    # Three times the incoherence, so that the mean has that of a single row.
    each = 1 / (1 + 3 * (1 / coherence - 1))
    row = f"5000,-50,{-50 + difference},{each:.9f}{extra}"
    return "\n".join(["frequency/Hz,reference/dB,unknown/dB,coherence", row, row, row])


def test_rows_drowned_in_background_are_left_out_and_named():
    """A row 3 dB above the background is no reading of the source."""
    log = """frequency/Hz,reference/dB,unknown/dB,background/dB
2000,-50,-40,-43
4000,-50,-48,-80
5000,-50,-48,-80
6000,-50,-48,-80"""
    values = defaults(COMPARISON_CALIBRATION) | {"log": log, "mean_over": "all"}
    results = evaluate(COMPARISON_CALIBRATION, values)
    assert results["spread"] == pytest.approx(0, abs=0.01)
    assert said(COMPARISON_CALIBRATION, values, "less than 6 dB above the background: 2000 Hz")
    assert said(COMPARISON_CALIBRATION, values, "The log has no coherence")


def test_a_band_without_rows_is_refused_with_those_there_are():
    """The message says where the rows lie."""
    with pytest.raises(InputError, match="go from 2000 Hz to 16000 Hz") as refused:
        compared(
            str(defaults(COMPARISON_CALIBRATION)["log"]),
            mean_over="band",
            band_low=20.0,
            band_high=90.0,
        )
    assert refused.value.name == "band_high"


def test_steady_sound_counts_its_echoes_and_an_offset_of_zero_has_none():
    """Two hydrophones in the same place hear the same echoes."""
    log = str(defaults(COMPARISON_CALIBRATION)["log"])
    pulses = compared(log, signal="gated")["expanded_uncertainty"]
    apart = compared(log, signal="steady", offset=0.06)["expanded_uncertainty"]
    together = compared(log, signal="steady", offset=0.0)["expanded_uncertainty"]
    assert together == pytest.approx(pulses)
    assert apart > pulses + 1


def test_the_table_has_a_line_for_each_row_and_says_which_to_trust():
    """CSV: the rows of the log, with sensitivity and uncertainty of their own."""
    values = defaults(COMPARISON_CALIBRATION)
    results = evaluate(COMPARISON_CALIBRATION, values)
    text = COMPARISON_CALIBRATION.exports[0].text(values, results)
    rows = [line.split(",") for line in text.splitlines()]
    assert len(rows) == 1 + 10
    by_frequency = {row[0]: row for row in rows[1:]}
    # 5 kHz: −51.5 over −54.1 is 2.6 dB, gains alike, same distance: −201 + 2.6.
    assert float(by_frequency["5000"][1]) == pytest.approx(-198.4, abs=0.011)
    assert by_frequency["5000"][3] == "yes"
    assert by_frequency["2000"][3] == "no"


@pytest.mark.parametrize(
    "card", [COMPARISON_CALIBRATION, STATIC_CALIBRATION, INSERTION_CHECK], ids=lambda card: card.id
)
def test_the_working_is_the_same_however_often_it_is_asked_for(card):
    """What is kept of a log must not take steps out of the working."""
    steps = []
    for _ in range(2):
        with tracing() as calls:
            evaluate(card, defaults(card))
        steps.append([call.formula.id for call in calls])
    assert steps[0] == steps[1]
    assert len(steps[0]) > 3


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: voltage_gain(output_voltage=0, input_voltage=1), "output_voltage"),
        (lambda: corner_from_drop(frequency=10, low_frequency=1, drop=20.0), "drop"),
        (lambda: corner_from_drop(frequency=10, low_frequency=1, drop=0.0), "drop"),
        (lambda: corner_from_drop(frequency=1, low_frequency=10, drop=3.0), "frequency"),
        (lambda: capacitance_from_loading(parallel_capacitance=1e-9, drop=math.nan), "drop"),
        (lambda: sensitivity_from_voltage(voltage=1, pressure=-1), "pressure"),
        (
            lambda: ramp_remaining(duration=0, delay=0, first_corner=1, second_corner=1),
            "duration",
        ),
        (
            lambda: ramp_remaining(duration=1, delay=-1, first_corner=1, second_corner=1),
            "delay",
        ),
        (lambda: motion_share(speed=1, acceleration=1, radius=-1, height=1), "radius"),
        (
            lambda: column_pressure(water_density=1000, amplitude=1, frequency=1, depth=0),
            "depth",
        ),
        (lambda: background_correction(above_background=0), "above_background"),
        (lambda: transfer_random_error(coherence=1.1, averages=10), "coherence"),
        (lambda: transfer_random_error(coherence=0.5, averages=0.5), "averages"),
        (lambda: position_level(distance=1, position_error=1), "position_error"),
        (lambda: echo_free_time(distance=1, boundary_distance=0, sound_speed=1500), "boundary"),
        (
            lambda: expanded_uncertainty(
                reference_part=1,
                gain_part=-1,
                position_part=0,
                random_part=0,
                background_part=0,
                echo_part=0,
                repeat_part=0,
            ),
            "gain_part",
        ),
    ],
)
def test_an_impossible_argument_is_refused_by_name(call, name):
    """The formula names the argument and the rule."""
    with pytest.raises(InputError, match=f"^{name}") as refused:
        call()
    assert refused.value.name.startswith(name)


def test_the_figures_that_the_example_prints_itself():
    """“Six decibels”, “three quarters of the voltage”, “2.4 kHz” and the row of the report."""
    page = (DOCS / "examples" / "tarn-calibration.md").read_text(encoding="utf-8")
    examples = tomllib.loads((DOCS / "examples" / "calibration.toml").read_text("utf-8"))

    def value(name: str, output: str) -> float:
        example = examples[name]
        return work(example["calculator"], example["inputs"]).output(output)["value"]

    lost = value("tarn-comparison", "sensitivity") - value("tarn-comparison-bubble", "sensitivity")
    assert "Six decibels less" in page
    assert lost == pytest.approx(6, abs=0.5)
    # Minnaert by hand for a radius of 9 mm, 1.5 m down; half of the pressure is left.
    pressure = 101_325 + 1000 * GRAVITY * 1.5
    note = math.sqrt(3 * 1.4 * pressure / 1000) / (2 * math.pi * 0.009)
    assert "rings at about 0.4 kHz" in page
    assert note == pytest.approx(400, abs=25)
    assert lost == pytest.approx(-20 * math.log10(1 - 0.5), abs=0.5)
    left = 10 ** (value("tarn-static", "response_level") / 20)
    assert "three quarters of the voltage are lost" in page
    assert left == pytest.approx(0.25, abs=0.04)
    assert "Not valid below 2.4 kHz" in page
    assert round(value("tarn-comparison", "lowest_frequency") / 1000, 1) == 2.4
    chapter = (DOCS / "test" / "calibration.md").read_text(encoding="utf-8")
    assert "−198.7 dB re 1 V/µPa" in chapter
    assert round(value("tarn-comparison", "sensitivity"), 1) == -198.7
    assert "−165.6 dB re 1 FS/µPa" in chapter
    assert round(value("tarn-comparison", "system_sensitivity"), 1) == -165.6
    assert "1.2 dB, k = 2" in chapter
    assert round(value("tarn-comparison", "expanded_uncertainty"), 1) == 1.2


def test_the_trap_of_ten_millimetres():
    """98 Pa and about 160 dB zero-to-peak, as the page says: ρ g h by hand."""
    page = (DOCS / "calculators" / "static-calibration.md").read_text(encoding="utf-8")
    pressure = 1000 * GRAVITY * 0.01
    assert "Ten millimetres of water are 98 Pa" in page
    assert round(pressure) == 98
    assert "about 160 dB re 1 µPa zero-to-peak" in page
    assert 20 * math.log10(pressure / 1e-6) == pytest.approx(160, abs=0.5)
    assert "Between the two lie 2.9 dB" in page
    assert 20 * math.log10(1.4) == pytest.approx(2.9, abs=0.05)
