"""Figures that chapters print themselves, computed again another way and compared as printed."""

import math
import re
import subprocess
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from scipy.signal import welch
from scipy.special import ellipk

from site_src.examples import load
from site_src.paths import DOCS

HEAR = DOCS / "plan" / "what-to-hear.md"
CABLE = DOCS / "build" / "cable-and-shield.md"
BENCH = DOCS / "test" / "bench-test.md"
LOOK = DOCS / "listen" / "first-look.md"

PREFIX = {"": 1.0, "k": 1e3, "M": 1e6, "G": 1e9, "m": 1e-3, "µ": 1e-6, "n": 1e-9, "p": 1e-12}
QUANTITY = re.compile(r"\**([\d.]+) ([kMGmµnp]?)(V|Ω|Hz|S/cm|dB|F)?\b.*")
MAINS = {"volts": 230.0, "hertz": 50.0}
SENSITIVITY = 1e-4
"""V/Pa of the element “of −200 dB re 1 V/µPa” that the chapter takes for scale."""

examples = cache(load)


def table(page: Path, head: str) -> list[list[str]]:
    """Rows of the table whose first line of Markdown begins with these words."""
    lines = [line.strip() for line in page.read_text(encoding="utf-8").splitlines()]
    start = next(i for i, line in enumerate(lines) if line.startswith(head))
    found = []
    for line in lines[start + 2 :]:
        if not line.startswith("|"):
            break
        found.append([cell.strip() for cell in line.strip("|").split("|")])
    assert found, f"no table “{head}” in {page.name}"
    return found


def number(text: str) -> float:
    """The value of “5.2 mV” in base units."""
    found = QUANTITY.fullmatch(text)
    assert found, text
    return float(found[1]) * PREFIX[found[2]]


def half_digit(text: str) -> float:
    """Half of the last digit that “5.2 mV” prints, in base units."""
    found = QUANTITY.fullmatch(text)
    assert found, text
    return 0.5 * 10.0 ** -len(found[1].partition(".")[2]) * PREFIX[found[2]]


def assert_prints(text: str, value: float) -> None:
    """The printed text is this value, rounded (to the last digit that is not a closing zero)."""
    found = QUANTITY.fullmatch(text)
    assert found, text
    digits = found[1].rstrip("0") if "." not in found[1] else found[1]
    zeros = len(found[1]) - len(digits)
    assert number(text) == pytest.approx(value, abs=1.001 * half_digit(text) * 10**zeros), text


def given(example: str, name: str) -> float:
    """An input of a worked example, in base units."""
    worked = examples()[example].worked
    unit = next(i for i in worked.decl["inputs"] if i["name"] == name)["metric"]["unit"]
    return float(worked.fields[name]) * PREFIX[unit[0] if len(unit) > 1 else ""]


def spice(circuit: str, folder: Path, analysis: str, print_what: str) -> list[float]:
    """The last row that ngspice gives for this analysis, without its first column."""
    data, deck = folder / "out.txt", folder / "circuit.cir"
    deck.write_text(
        f"* circuit\n{circuit}.control\nset wr_singlescale\nset numdgt=12\n{analysis}\n"
        f"wrdata {data} {print_what}\nquit 0\n.endc\n.end\n",
        encoding="utf-8",
    )
    subprocess.run(["ngspice", "-b", deck], check=True, capture_output=True, cwd=folder)
    return [float(x) for x in data.read_text().splitlines()[-1].split()[1:]]


def hum(folder: Path, electrode: str, resin: float, rig: str = "R4 rig 0 1m") -> list[float]:
    """Water against signal ground and hum at the input, rms volts, by circuit simulation."""
    element = sum(
        given("tarn-front-end", name)
        for name in ("element_capacitance", "cable_capacitance", "input_capacitance")
    )
    circuit = (
        f"V1 mains 0 AC {MAINS['volts']}\n"
        f"C1 mains water {given('hum-water', 'element_capacitance')}\n"
        f"C2 water rig {given('hum-water', 'cable_capacitance')}\n"
        f"{electrode}\n"
        f"C3 water in {resin}\nC4 in rig {element}\n"
        f"R2 in rig {given('tarn-front-end', 'bias_resistance')}\nR3 water rig 1t\n{rig}\n"
    )
    f = MAINS["hertz"]
    return spice(circuit, folder, f"ac lin 1 {f} {f}", "vm(water,rig) vm(in,rig)")


@pytest.mark.parametrize("row", range(4))
def test_hum_with_and_without_electrode_is_what_a_circuit_simulator_gives(row, tmp_path):
    """Simulation: ngspice, the whole circuit at once, where the chapter chains two dividers."""
    poor = given("hum-water", "bias_resistance")
    electrode = "" if row < 2 else f"R1 water rig {poor}"
    resin = ("hum-hot-outside", "hum-hot-inside")[row % 2]
    water, at_input = hum(tmp_path, electrode, given(resin, "element_capacitance"))
    _, printed_water, printed_input, printed_level = table(CABLE, "| rig | water against")[row]

    # The bias resistor drains a three-hundredth of the hum, and the resin adds 2 % to the jackets.
    assert number(printed_water) == pytest.approx(water, rel=0.03)
    assert number(printed_input) == pytest.approx(at_input, rel=0.03)
    level = 20 * math.log10(at_input / SENSITIVITY / 1e-6)
    assert number(printed_level) == pytest.approx(level, abs=0.7)


def test_a_better_electrode_and_a_floating_rig_do_what_the_chapter_says(tmp_path):
    """Simulation: a tenth of the resistance, 20 dB; the rig through 100 pF, a tenth less."""
    resin = given("hum-hot-outside", "element_capacitance")
    poor, better = (hum(tmp_path, f"R1 water rig {r}", resin)[1] for r in (10e3, 1e3))
    assert 20 * math.log10(poor / better) == pytest.approx(20, abs=0.01)
    earthed = hum(tmp_path, "R1 water rig 10k", resin)[1]
    floating = hum(tmp_path, "R1 water rig 10k", resin, "C5 rig 0 100p")[1]
    assert floating / earthed == pytest.approx(0.9, abs=0.02)


def test_the_level_falls_by_another_56_db_with_the_electrode(tmp_path):
    """Simulation: ngspice; the chapter takes it from the high-pass formula."""
    resin = given("hum-hot-inside", "element_capacitance")
    without, with_it = (hum(tmp_path, r, resin)[0] for r in ("", "R1 water rig 10k"))
    assert "another 56 dB" in CABLE.read_text(encoding="utf-8")
    assert 20 * math.log10(without / with_it) == pytest.approx(56, abs=0.5)


def rod_resistance(resistivity: float, length: float, radius: float) -> float:
    """A rod cut into rings that each give off current, its whole surface at one voltage."""
    parts = 200
    step = length / parts
    z = (np.arange(parts) + 0.5) * step
    far = np.hypot(2 * radius, z[:, None] - z[None, :])
    # Potential of one ring at another: the complete elliptic integral; a ring on itself: its
    # mean over the ring's own width.
    modulus = np.where(far > 2 * radius, (2 * radius / far) ** 2, 0)
    matrix = resistivity / (2 * np.pi**2) * ellipk(modulus) / far
    own = resistivity / (4 * np.pi**2 * radius) * (math.log(16 * radius / step) + 1)
    np.fill_diagonal(matrix, own)
    return float(1 / np.linalg.solve(matrix, np.ones(parts)).sum())


@pytest.mark.parametrize("row", range(4))
def test_the_rod_in_water_has_the_resistance_printed(row):
    """Independent: current by rings; the formula is for a thin rod and 2 % high for this one."""
    _, conductivity, resistance = table(CABLE, "| water | conductivity")[row]
    resistivity = 1 / (number(conductivity) * 100)
    found = rod_resistance(resistivity, 0.050, 0.0025)
    assert number(resistance) == pytest.approx(found, rel=0.025)


def test_figures_of_cable_and_handling_noise():
    """Arithmetic: field of a cylinder by integration; charge over capacitance."""
    text = CABLE.read_text(encoding="utf-8")
    radii = np.geomspace(1, 3.57, 20001)
    integral = np.trapezoid(1 / radii, radii)
    for permittivity, printed in ((2.29, "100 pF for"), (2.1, "92 pF for"), (5.0, "219 pF for")):
        per_metre = 2 * math.pi * 8.8541878e-12 * permittivity / integral
        assert_prints(printed, per_metre)
        assert printed in text
    node = 8.2e-9 + 480e-12 + 12e-12
    assert "115 µV" in text
    assert 1e-12 / node == pytest.approx(115e-6, abs=0.5e-6)
    assert "133 µV" in text
    assert 2.4 * 480e-12 * 1e-3 / node == pytest.approx(133e-6, abs=0.5e-6)
    assert "1.2 Pa" in text
    heard = SENSITIVITY * 8.2e-9 / node
    assert 115e-6 / heard == pytest.approx(1.2, abs=0.05)
    assert "1.6 dB more" in text
    assert 20 * math.log10(60 / 50) == pytest.approx(1.6, abs=0.05)
    assert "5.7 dB less" in text
    assert 20 * math.log10(230 / 120) == pytest.approx(5.7, abs=0.05)
    assert "at 50 Hz it is 3.2 kΩ" in text
    assert 1 / (2 * math.pi * 50 * 1e-6) == pytest.approx(3.2e3, abs=50)


@pytest.mark.parametrize("row", range(5))
def test_the_voltmeter_reads_what_the_table_of_leaks_says(row, tmp_path):
    """Simulation: ngspice, cells, meter and leak in series, after a minute."""
    reading, leak = table(BENCH, "| reading, with 6 V")[row]
    circuit = (
        f"V1 cells 0 DC 6\nRm cells top {given('bench-insulation', 'bias_resistance')}\n"
        f"Rx top 0 {number(leak)}\nC1 top 0 8.68n ic=0\n"
    )
    (read,) = spice(circuit, tmp_path, "tran 0.1 60 uic", "v(cells,top)")
    assert_prints(reading.strip("*"), read)


@pytest.mark.parametrize("row", range(4))
def test_a_leak_adds_to_the_loss_tangent_what_the_table_says(row, tmp_path):
    """Simulation: ngspice, in-phase over quadrature current of leak and element."""
    leak, at_1_khz, at_120_hz = table(BENCH, "| leak across")[row]
    for printed, f in ((at_1_khz, 1000), (at_120_hz, 120)):
        circuit = f"V1 a 0 AC 1\nR1 a 0 {number(leak)}\nC1 a 0 8.2n\n"
        real, imaginary = spice(circuit, tmp_path, f"ac lin 1 {f} {f}", "i(v1)")
        half = 0.5 * 10.0 ** -len(printed.partition(".")[2])
        assert float(printed) == pytest.approx(real / imaginary, abs=1.001 * half)


def density_from_levels(volts: float, difference: float, band: float) -> float:
    """The formula of “From the file to volts”."""
    return volts * 10 ** (difference / 20) / math.sqrt(band)


@pytest.mark.parametrize("window", ["hann", "blackmanharris", "boxcar"])
def test_a_known_tone_turns_the_noise_in_a_file_into_volts(window):
    """Simulation: noise of known density and a tone of known voltage, in a file of any scale.

    A minute holds 60 spectra of 101 lines, so the noise is known to about 0.06 dB; a tenth of
    that is the 101st line. Neither the scale of the file nor the window may matter.
    """
    rate, density, volts, scale = 48_000, 12e-9, 1e-3, 45.0
    rng = np.random.default_rng(7)
    noise = rng.standard_normal(60 * rate) * density * math.sqrt(rate / 2)
    tone = volts * math.sqrt(2) * np.sin(2 * np.pi * 1000.3 * np.arange(10 * rate) / rate)

    def band(samples: np.ndarray) -> float:
        found = welch(scale * samples, rate, window=window, nperseg=rate, scaling="spectrum")
        return 10 * math.log10(sum(found[1][950:1051]))

    tone_alone = band(tone + noise[: 10 * rate])
    assert density_from_levels(volts, band(noise) - tone_alone, 100) == pytest.approx(
        density, rel=0.03
    )


def test_the_example_of_volts_from_the_file_is_as_printed():
    """Worked out from the printed voltage and difference."""
    found = re.search(
        r"With ([\d.]+) mV and a difference of −(\d+) dB that is ([\d.]+) nV/√Hz",
        BENCH.read_text(encoding="utf-8"),
    )
    assert found
    volts, difference, printed = (float(text) for text in found.groups())
    assert density_from_levels(volts * 1e-3, -difference, 100) * 1e9 == pytest.approx(
        printed, abs=0.05
    )


def test_the_leak_at_the_limit_is_a_hundred_bias_resistors():
    """Arithmetic: resistors side by side, as the two examples hold them."""
    bias = given("tarn-front-end", "bias_resistance")
    for example, leak in (("leak-at-limit", 100 * bias), ("leak-too-low", bias)):
        together = 1 / (1 / bias + 1 / leak)
        assert given(example, "bias_resistance") == pytest.approx(together, rel=2e-4)


@pytest.mark.parametrize("name", ["half", "one", "two", "tarn", "eelgrass"])
def test_shallow_water_passes_what_the_table_says(name):
    """Independent: quarter of the vertical wavelength in the water, at the critical angle."""
    sand, mud = (examples()[f"span-{name}{bottom}"].worked for bottom in ("", "-mud"))
    assert f"[[value span-{name} cutoff_frequency]]" in HEAR.read_text(encoding="utf-8")
    depth, speed, bottom = (
        float(sand.fields[field])
        for field in ("water_depth", "water_sound_speed", "bottom_sound_speed")
    )
    critical = math.acos(speed / bottom)
    across = speed / (4 * depth)
    assert sand.output("rigid_cutoff")["value"] == pytest.approx(across)
    assert sand.output("cutoff_frequency")["value"] == pytest.approx(across / math.sin(critical))
    assert mud.output("cutoff_frequency")["value"] == pytest.approx(2 * across)


@pytest.mark.parametrize("row", range(4))
def test_rates_follow_from_the_highest_sound(row):
    """Arithmetic: the band ends at 0.45 of the rate, and the next usual rate is the next."""
    _, highest, least, rate = table(HEAR, "| you want | highest")[row]
    assert_prints(least, number(highest) / 0.45)
    usual = (48e3, 96e3, 192e3, 384e3)
    assert number(rate) == min(r for r in usual if r >= number(highest) / 0.45)


def test_levels_and_pressures_of_the_chapter_on_sounds():
    """Arithmetic: reference pressures, swell and pressure of a seal."""
    shift, density, gravity = 20 * math.log10(20), 1025, 9.81
    step = 1000 * gravity * 0.010
    for printed, value, half in (
        ("26.02 dB", shift, 0.005),
        ("104.9 dB re 1 µPa rms", 78.9 + shift, 0.05),
        ("125.2 dB peak", 99.2 + shift, 0.05),
        ("146 dB re 1 µPa", 20 * math.log10(20 / 1e-6), 0.5),
        ("with 5 kPa", 0.5 * density * gravity / 1e3, 0.5),
        ("has 16 Pa", 10 ** (144 / 20) * 1e-6, 0.5),
        ("98 Pa at the crest", step, 0.5),
        ("157 dB re 1 µPa as rms", 20 * math.log10(step / math.sqrt(2) / 1e-6), 0.5),
        ("about 16 dB re 1 µPa²/Hz", 57.2 - 10 * math.log10(11_900), 0.5),
        ("240 Hz at 20 cm", 48 / 0.20, 0.5),
        ("40 dB from one to the other", 20 * math.log10(1 / 0.01), 0.5),
    ):
        assert printed in HEAR.read_text(encoding="utf-8")
        found = re.search(r"[\d.]+", printed)
        assert found
        assert float(found[0]) == pytest.approx(value, abs=half), printed


def leading(text: str) -> float:
    """The number that a cell begins with."""
    return float(text.split()[0])


@pytest.mark.parametrize("row", range(4))
def test_windows_of_a_spectrogram_last_and_part_what_the_table_says(row):
    """Arithmetic: numpy's frequencies of a piece of this length, at 48 kHz; two digits printed."""
    _, samples, apart, lasts = table(LOOK, "| to see |")[row]
    step = np.fft.rfftfreq(int(samples), d=1 / 48_000)[1]
    assert leading(apart) == float(f"{step:.2g}")
    assert leading(lasts) == float(f"{1000 / step:.2g}")


@pytest.mark.parametrize("row", range(4))
def test_background_is_taken_off_as_powers(row):
    """Arithmetic: the sound's power is the sum less the background's."""
    above, off = table(LOOK, "| with the sound, above without it |")[row]
    both = 10 ** (leading(above) / 10)
    printed = 0.0 if off == "nothing" else leading(off)
    assert 10 * math.log10(both / (both - 1)) == pytest.approx(printed, abs=0.05)
