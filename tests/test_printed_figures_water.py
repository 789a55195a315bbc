"""Figures that the chapters for the water print themselves, computed again another way."""

import math
import re

import pytest
from scipy import constants, signal
from scipy.integrate import solve_ivp

from site_src.paths import DOCS
from tests.test_printed_numbers import assert_prints, examples, given, table

LINES = DOCS / "deploy" / "lines-and-cables.md"
LEVEL = DOCS / "deploy" / "setting-level.md"
HIDING = DOCS / "deploy" / "hiding-and-marking.md"
NOISE = DOCS / "listen" / "field-noise.md"

SOUND = 1450.0
"""m/s, as the chapters say."""

WATER = 1000.0
"""kg/m³."""


def printed(page, pattern: str) -> list[str]:
    """What the groups of this pattern hold in the page's text, which has it once."""
    found = re.findall(pattern, page.read_text(encoding="utf-8"))
    assert len(found) == 1, (pattern, found)
    return list(found[0]) if isinstance(found[0], tuple) else [found[0]]


def output(example: str, name: str) -> float:
    """An answer of a worked example, for the values as typed."""
    return examples()[example].worked.output(name)["value"]


def assert_rounds(text: str, value: float) -> None:
    """The printed digits are this value, rounded."""
    half = 0.5 * 10.0 ** -len(text.partition(".")[2])
    assert float(text) == pytest.approx(value, abs=1.001 * half)


def typed(example: str, name: str) -> float:
    """An input of a worked example as it stands in its field."""
    return float(examples()[example].worked.fields[name])


def decibels(text: str) -> float:
    """“−26 dB” as a number."""
    return float(text.removesuffix(" dB").replace("−", "-"))


@pytest.mark.parametrize("row", table(LINES, "| distance to the case |"), ids=lambda row: row[0])
def test_a_mirror_behind_the_hydrophone_makes_the_comb_that_is_printed(row):
    """Independent: direct sound and its inverted echo added, the dips found by search."""
    delay = 2 * float(row[0].removesuffix(" m")) / SOUND
    frequency = [f / 1000 / delay for f in range(100, 2500)]
    left = [
        abs(1 - complex(math.cos(w), -math.sin(w)))
        for w in (2 * math.pi * f * delay for f in frequency)
    ]
    dips, _ = signal.find_peaks([-x for x in left])
    for text, at in zip(row[1:], dips, strict=True):
        assert_prints(text, frequency[at])


@pytest.mark.parametrize("row", table(LINES, "| it gives by |"), ids=lambda row: row[0])
def test_a_soft_mount_follows_as_little_as_is_printed(row):
    """Independent: the weight on its spring stepped in time while its upper end is shaken."""
    stiffness = constants.g / (float(row[0].removesuffix(" mm")) * 1e-3)
    assert_prints(row[1], math.sqrt(stiffness) / (2 * math.pi))
    for text, frequency in zip(row[2:], (10.0, 27.0), strict=True):
        assert abs(decibels(text) - 20 * math.log10(follows(stiffness, frequency))) <= 0.51


def follows(stiffness: float, frequency: float) -> float:
    """Motion of the weight over that of the shaken end, from equations stepped in time."""
    turn = 2 * math.pi * frequency
    # Starts on the steady motion, at rest in the middle with the speed that it has there.
    steady = stiffness / (stiffness - turn**2)
    path = solve_ivp(
        lambda t, y: (y[1], stiffness * (math.sin(turn * t) - y[0])),
        (0, 20 / frequency),
        (0, steady * turn),
        rtol=1e-9,
        atol=1e-12,
        max_step=0.01 / frequency,
    )
    return max(abs(path.y[0]))


def test_isolation_begins_at_the_root_of_two():
    """Below 1.4 times its own frequency a mount moves more than what shakes it."""
    (times,) = printed(LINES, r"from ([\d.]+) times that upwards less")
    for stiffness in (50.0, 200.0):
        at = float(times) * math.sqrt(stiffness) / (2 * math.pi)
        assert follows(stiffness, 0.97 * at) > 1 > follows(stiffness, 1.03 * at)


def test_the_air_of_a_soft_case_would_ring_where_it_is_printed():
    """The same energy argument by numbers: gas stiffness over the water's mass, by volume."""
    litres, hertz = printed(LINES, r"([\d.]+) litres of free air would ring near (\d+) Hz")
    volume = float(litres) * 1e-3
    radius = (3 * volume / (4 * math.pi)) ** (1 / 3)
    stiffness = 1.4 * constants.atm / volume
    inertance = WATER / (4 * math.pi * radius)
    assert float(hertz) == pytest.approx(math.sqrt(stiffness / inertance) / (2 * math.pi), abs=0.5)


def test_a_case_is_smaller_than_a_wavelength_below_what_is_printed():
    """Wavelength equal to the width."""
    width, kilohertz = printed(LINES, r"a case ([\d.]+) m wide, .* below some (\d+) kHz")
    assert float(kilohertz) == pytest.approx(SOUND / float(width) / 1000, abs=0.5)


def test_stopped_water_presses_and_a_gust_is_heard_as_printed():
    """Half the density times speed squared, and the difference for one per cent of speed."""
    pascal, speed = printed(NOISE, r"(\d+) Pa at ([\d.]+) m/s \(worked out here\)")
    full = 0.5 * WATER * float(speed) ** 2
    assert float(pascal) == pytest.approx(full, abs=0.5)
    gust, level = printed(NOISE, r"two per cent of that, ([\d.]+) Pa, a peak of (\d+) dB")
    change = 0.5 * WATER * (1.01 * float(speed)) ** 2 - full
    assert float(gust) == pytest.approx(change, abs=0.05)
    assert float(level) == pytest.approx(20 * math.log10(change / 1e-6), abs=0.5)


def test_speed_over_diameter_is_the_frequency_printed():
    """An eddy as wide as the hydrophone, carried past."""
    hertz, millimetres, speed = printed(NOISE, r"diameter: (\d+) Hz for (\d+) mm at ([\d.]+) m/s")
    assert float(hertz) == pytest.approx(float(speed) / (float(millimetres) * 1e-3), abs=0.5)


def test_card_writes_tick_as_often_as_printed():
    """Blocks of 2^n bytes at the tarn's rate, which the core gives."""
    text = r"block of (\d+) KiB comes every ([\d.]+) s, one of (\d+) KiB every ([\d.]+) s"
    small, often, large, seldom = printed(NOISE, text)
    for block, seconds in ((small, often), (large, seldom)):
        interval = float(block) * 1024 / output("tarn-card", "data_rate")
        assert_rounds(seconds, interval)


def test_the_errors_of_positions_are_those_printed():
    """A compass off by two degrees; a transit seen with a tenth of a degree."""
    rows = {row[0]: row[1] for row in table(HIDING, "| means |")}
    bearing = float(rows["compass bearing of a mark 200 m off"].split(" m ")[0])
    assert bearing == pytest.approx(200 * math.tan(math.radians(2)), abs=0.5)
    step = float(rows["**transit**: two things ashore in line"].split(" m ")[0])
    (metres,) = printed(HIDING, r"feels a step of ([\d.]+) m to the side")
    assert float(metres) == step
    seen = math.atan2(step, 100) - math.atan2(step, 200)
    assert math.degrees(seen) == pytest.approx(0.1, rel=0.2)


def test_waves_without_a_corner_would_reach_the_peak_printed():
    """Independent: pressure of the example to a level; the corner by a complex divider."""
    (peak,) = printed(LEVEL, r"Without any corner that is a peak of (\d+) dB re 1 µPa")
    pressure = output("eelgrass-mooring", "wave_pressure")
    assert float(peak) == pytest.approx(20 * math.log10(pressure / 1e-6), abs=0.5)
    corner, taken = printed(LEVEL, r"A corner of (\d+) Hz, .* takes (\d+) dB off at that period")
    farad = sum(
        given("eelgrass-noise-mended", name)
        for name in ("element_capacitance", "cable_capacitance", "input_capacitance")
    )
    resistance = given("eelgrass-noise-mended", "bias_resistance")
    assert float(corner) == pytest.approx(1 / (2 * math.pi * resistance * farad), abs=0.5)
    period = typed("eelgrass-mooring", "wave_period")
    through = resistance / (resistance + 1 / (2j * math.pi / period * farad))
    assert float(taken) == pytest.approx(-20 * math.log10(abs(through)), abs=0.5)


def test_the_floor_sinks_by_less_than_the_gain_as_printed():
    """Difference of the two examples, in the file and in the water."""
    text = r"less gain, and the floor sank by (\d+) dB in the file: the other (\d+) dB"
    file, water = (float(x) for x in printed(LEVEL, text))
    gains = typed("tarn-levels", "recorder_gain") - typed("tarn-gain-low", "recorder_gain")
    assert gains == 24
    sank = output("tarn-gain-low", "dynamic_range") - output("tarn-levels", "dynamic_range")
    rose = output("tarn-gain-low", "noise_floor") - output("tarn-levels", "noise_floor")
    assert file == pytest.approx(sank, abs=0.5)
    assert water == pytest.approx(rose, abs=0.5)


def test_the_crack_and_the_fins_are_those_of_the_examples():
    """180 dB at a metre, ten metres off; 131 dB and 15 dB for its peaks, rounded up to tens."""
    assert 180 - 20 * math.log10(10) == typed("under-ice-levels", "expected_peak")
    rms, peaks = printed(LEVEL, r"decide: (\d+) dB at one metre, (\d+) dB for their peaks")
    whole = typed("hand-held-levels", "expected_peak")
    assert whole - 10 < float(rms) + float(peaks) <= whole
