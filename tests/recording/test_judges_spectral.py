"""Lines in averaged spectra: how often chance makes one, and which mains it is."""

from math import log

import numpy as np
import pytest

from calculators.recording.judges.hum_lines import mains_lines, pitch_of_machine, place_of
from calculators.recording.judges.low import flow_in, strumming_in
from calculators.recording.judges.spectral import DECIBELS, LogSpectrum, excess, running_median
from calculators.recording.judges.steps import bursts_in, step_in
from tests.recording.fault_cases import GRID

SPACING = 0.97656
FREQUENCIES = SPACING * np.arange(1000)


def noise(averages: int, seed: int, slope: float = -17.0, lines: int = 1000) -> np.ndarray:
    """Mean of the logarithms of independent periodograms of sloped noise; dB."""
    random = np.random.default_rng(seed)
    logs = DECIBELS * np.log(random.standard_exponential((averages, lines))).mean(axis=0)
    return logs + slope * np.log10(np.maximum(FREQUENCIES[:lines], 1.0))


def with_lines(levels: np.ndarray, mains: float, above: float, multiples: int) -> np.ndarray:
    """The main lobe of a Hann window at each multiple, so far above the noise."""
    made = levels.copy()
    for multiple in range(1, multiples + 1):
        at = round(multiple * mains / SPACING)
        made[at - 1 : at + 2] += (above - 6.0, above, above - 6.0)
    return made


@pytest.mark.parametrize("averages", [20, 100])
def test_chance_passes_the_threshold_as_seldom_as_designed(averages: int) -> None:
    """One in fifty recordings of 200 lines is asked for; 300 are drawn.

    Of 300 trials at 2 % no more than 13 pass in 99.7 % of all cases, by the binomial distribution.
    Overlap is not drawn here, so that the effective number of averages is the number.
    """
    passed = 0
    for seed in range(300):
        levels = noise(averages, seed, lines=250)
        spectrum = LogSpectrum(FREQUENCIES[:250], levels, averages * (1 + 2 / 36))
        above = excess(levels)[20:220]
        passed += bool(np.nanmax(above) > spectrum.threshold(0.02, 200))
    assert passed <= 13


def test_the_median_of_both_sides_is_right_on_a_slope() -> None:
    levels = -40.0 * np.log10(np.maximum(FREQUENCIES, 1.0))
    assert np.abs(excess(levels)[45:900]).max() < 0.3


@pytest.mark.parametrize("mains", [50.0, 60.0])
def test_fifty_and_sixty_hertz_are_told_apart(mains: float) -> None:
    levels = with_lines(noise(100, 1), mains, 12.0, 6)
    found = mains_lines(LogSpectrum(FREQUENCIES, levels, 100), levels, 1)
    assert [m.frequency for m in found] == [mains]
    assert found[0].strongest.above == pytest.approx(12.0, abs=2.0)
    assert [line.multiple for line in found[0].lines] == [1, 2, 3, 4, 5, 6]


def steady_line(frequency: float, above: float) -> np.ndarray:
    """A line anywhere between those of the spectrum, as a Hann window shows it; parts of noise.

    The window's transform at a distance d, in spacings, is sinc(d) / (1 − d²).
    """
    apart = frequency / SPACING - np.arange(FREQUENCIES.size)
    amplitude = np.sinc(apart) / np.where(np.abs(np.abs(apart) - 1) < 1e-9, 2.0, 1 - apart**2)
    return 10 ** (above / 10) * amplitude**2


@pytest.mark.parametrize("off", [-GRID, -0.1, 0.0, 0.1, GRID])
def test_the_place_of_a_line_is_found_between_those_of_the_spectrum(off: float) -> None:
    levels = noise(200, 11) + DECIBELS * np.log(1 + steady_line(50.0 + off, 15.0))
    spectrum = LogSpectrum(FREQUENCIES, levels, 200)
    near = round(50.0 / SPACING)
    at = near - 2 + int(levels[near - 2 : near + 3].argmax())
    assert place_of(spectrum, excess(levels), at) == pytest.approx(50.0 + off, abs=0.1)
    assert [m.frequency for m in mains_lines(spectrum, levels, 1)] == [50.0]


def test_the_skirt_of_a_line_beside_the_mains_is_none_of_theirs() -> None:
    """Twice a shaft of 29.3 turns a second stands at 58.6 Hz, and reaches over to 59.6 Hz."""
    levels = noise(100, 12) + DECIBELS * np.log(1 + steady_line(58.6, 16.0))
    assert mains_lines(LogSpectrum(FREQUENCIES, levels, 100), levels, 1) == []


@pytest.mark.parametrize(("mains", "shaft"), [(50.0, 1000 / 60), (60.0, 29.8), (50.0, 25.0)])
def test_lines_of_a_shaft_are_told_from_those_of_the_mains(mains: float, shaft: float) -> None:
    """A shaft of 1000 turns a minute has its third line at 50 Hz, but its first at 16.7 Hz; one of
    29.8 turns a second is near both mains at half of its multiples."""
    of_shaft = sum(steady_line(shaft * number, 15.0) for number in range(1, 13))
    of_mains = sum(steady_line(mains * number, 15.0) for number in range(1, 6))
    found = []
    for lines in (of_shaft, of_mains):
        levels = noise(100, 13) + DECIBELS * np.log(1 + lines)
        spectrum = LogSpectrum(FREQUENCIES, levels, 100)
        (told,) = (m for m in mains_lines(spectrum, levels, 1) if m.frequency == mains)
        found.append(pitch_of_machine(spectrum, told))
    assert found == [pytest.approx(shaft, abs=0.2), None]


def test_a_line_that_both_mains_have_is_not_enough() -> None:
    levels = noise(100, 2)
    at = round(300 / SPACING)
    levels[at] += 20
    assert mains_lines(LogSpectrum(FREQUENCIES, levels, 100), levels, 1) == []


def test_a_boat_that_was_loud_for_a_while_is_no_hum() -> None:
    """20 dB in the mean of powers and 5 dB in that of logarithms: a quarter of the time."""
    levels = noise(100, 3)
    steady, loud = with_lines(levels, 50.0, 5.0, 4), with_lines(levels, 50.0, 20.0, 4)
    assert mains_lines(LogSpectrum(FREQUENCIES, steady, 100), loud, 1) == []


def test_a_hump_is_no_line() -> None:
    levels = noise(300, 4)
    levels[round(50 / SPACING) - 6 : round(50 / SPACING) + 7] += 10
    assert mains_lines(LogSpectrum(FREQUENCIES, levels, 300), levels, 1) == []


def test_humps_at_multiples_are_strumming_and_a_slope_is_none() -> None:
    levels = noise(300, 5)
    assert strumming_in(LogSpectrum(FREQUENCIES, levels, 300)) is None
    for multiple, height in ((1, 10.0), (2, 8.0), (3, 5.0)):
        distance = np.log(np.maximum(FREQUENCIES, 1.0) / (22.0 * multiple)) / 0.07
        levels = levels + height * np.exp(-(distance**2))
    found = strumming_in(LogSpectrum(FREQUENCIES, levels, 300))
    assert found is not None
    assert found.fundamental == pytest.approx(22.0, rel=0.05)
    assert found.rise == pytest.approx(8.0, abs=3.0)


@pytest.mark.parametrize(("slope", "found"), [(-10.0, False), (-20.0, False), (-30.0, True)])
def test_flow_is_known_by_its_slope(slope: float, found: bool) -> None:
    low = 10 ** (noise(300, 6, slope) / 10)
    water = 10 ** ((noise(300, 7, -15.0) + slope / 2 - 25.0) / 10)
    levels = 10 * np.log10(low + water)
    assert (flow_in(LogSpectrum(FREQUENCIES, levels, 300)) is not None) == found


def test_a_step_is_found_at_its_column_and_an_event_is_none() -> None:
    """Independent of the code: the column is where it was put."""
    series = np.random.default_rng(8).normal(0, 1, 100)
    assert step_in(series) is None
    event = series.copy()
    event[40:60] += 15
    assert step_in(event) is None
    step = series.copy()
    step[63:] += 10
    found = step_in(step)
    assert found is not None
    assert (found.at, found.sharp) == (63, True)
    assert found.size == pytest.approx(10, abs=0.7)
    slow = series + np.clip((np.arange(100) - 30) / 40, 0, 1) * 10
    assert not (ramp := step_in(slow)) or not ramp.sharp


def test_a_step_is_found_where_columns_are_missing() -> None:
    series = np.where(np.arange(60) < 30, 0.0, 9.0) + np.random.default_rng(9).normal(0, 1, 60)
    series[[3, 29, 30, 45]] = np.nan
    found = step_in(series)
    assert found is not None
    assert found.at == 31


def test_bursts_are_short_and_stand_out() -> None:
    series = np.random.default_rng(10).normal(0, 1, 200)
    series[[20, 21, 90, 150]] += 20
    series[100:130] += 20
    found = bursts_in(series, 10.0, 4)
    assert found is not None
    assert found.columns == [(20, 21), (90, 90), (150, 150)]
    assert found.height == pytest.approx(20, abs=3)


def test_decibels_in_a_neper() -> None:
    """10 lg e."""
    assert pytest.approx(10 / log(10)) == DECIBELS


@pytest.mark.parametrize("factor", [1.001, 1.26, 3.0])
def test_a_running_median_is_that_of_each_window(factor: float) -> None:
    """To the bit what numpy says of each window anew, odd or even, with levels that are equal."""
    rng = np.random.default_rng(5)
    frequencies = np.arange(1, 400) * 0.73
    levels = np.round(rng.standard_normal(frequencies.size) * 10, 1)
    each = [
        float(np.median(levels[(frequencies >= f / factor) & (frequencies <= f * factor)]))
        for f in frequencies
    ]
    assert running_median(levels, frequencies, factor).tolist() == each
