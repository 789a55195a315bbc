"""Bands against standard filters, sines and noise whose levels are known."""

import numpy as np
import pytest
from scipy.signal import butter, sosfilt

from calculators.formulas.decidecade import decidecade_lower_edge, decidecade_upper_edge
from calculators.recording.bands import Scheme, Splitter, banded
from calculators.recording.geometry import Geometry
from calculators.recording.settings import Settings
from tests.recording.measured import int24, layout, measured, summary

RATES = [8000, 44_100, 96_000, 384_000]


@pytest.mark.parametrize("rate", RATES)
def test_bands_are_those_of_the_formulas_and_rows_their_quarters(rate):
    """Each row begins where the one before ends, and each band with its first row."""
    scheme = Scheme(Geometry(rate, Settings()))
    bands, rows = scheme.bands, scheme.rows
    for centre, lower, upper in zip(bands.centres, bands.lower, bands.upper, strict=True):
        assert lower == pytest.approx(decidecade_lower_edge(centre=centre), rel=1e-14)
        assert upper == pytest.approx(decidecade_upper_edge(centre=centre), rel=1e-14)
    assert bands.centres[0] < 20
    assert bands.upper[-1] <= rate / 2 < bands.upper[-1] * 10**0.1
    np.testing.assert_allclose(rows.upper[:-1], rows.lower[1:], rtol=1e-14)
    np.testing.assert_allclose(rows.lower[::4], bands.lower, rtol=1e-14)
    np.testing.assert_allclose(rows.upper[3::4], bands.upper, rtol=1e-14)


@pytest.mark.parametrize("rate", RATES)
def test_an_even_density_fills_each_band_by_its_width(rate):
    """1 FS²/Hz in every line: the mean square of a band is its width in hertz."""
    geometry = Geometry(rate, Settings())
    scheme = Scheme(geometry)
    low = scheme.low.power(np.ones(len(geometry.low_frequencies))) * geometry.low_frequencies[1]
    high = scheme.high.power(np.ones(len(geometry.frequencies))) * geometry.frequencies[1]
    widths = scheme.bands.upper - scheme.bands.lower
    np.testing.assert_allclose(banded(np.concatenate((low, high))), widths, rtol=1e-9)


def test_an_end_of_the_spectrum_stands_for_half_a_line():
    """Lines at 0, 1, 2 and 3 Hz; all from 0 Hz to 3 Hz is all there is."""
    lines = Splitter(np.arange(4.0), np.array([0.0]), np.array([3.0]))
    assert lines.power(np.array([1.0, 10.0, 100.0, 1000.0])) == pytest.approx([1111.0])


@pytest.mark.parametrize("rate", [8000, 96_000])
def test_white_noise_has_the_level_of_its_density(rate):
    """Of unit variance over half the rate. A band's level strays by 4.34 dB / √(averages)."""
    noise = 0.1 * np.random.default_rng(8).standard_normal((1, 40 * rate))
    raw, samples = int24(noise)
    about = layout(*samples.shape, rate=rate)
    found = summary(measured(raw, about), about)
    widths = found.bands.upper - found.bands.lower
    expected = samples.var() * widths / (rate / 2)
    error = 10 * np.log10(found.band_mean_square[0] / expected)
    spread = 4.34 / np.sqrt(0.7 * widths * found.seconds)
    assert np.all(np.abs(error) < 4 * spread + 0.02)


def test_a_sine_is_in_its_band_alone():
    """Amplitude a: a mean square of a²/2, and at most −50 dB of it two bands away and farther."""
    rate, amplitude = 48_000, 0.5
    for frequency in (63.1, 251.2, 1000.0, 3981.1, 15_848.9):
        sine = amplitude * np.sin(2 * np.pi * frequency * np.arange(4 * rate) / rate)
        raw, samples = int24(sine[None])
        about = layout(*samples.shape, rate=rate)
        found = summary(measured(raw, about), about)
        level = 10 * np.log10(found.band_mean_square[0] / (amplitude**2 / 2))
        own = int(np.argmin(np.abs(found.bands.centres - frequency)))
        assert level[own] == pytest.approx(0, abs=0.01)
        far = np.abs(np.arange(len(level)) - own) >= 2
        assert level[far].max() < -50


def density(frequencies, slope):
    """Of a noise that falls or rises with frequency, 1 FS²/Hz at 1 kHz."""
    return (frequencies / 1000) ** slope


@pytest.mark.parametrize("slope", [-2, -1, 0, 1])
def test_splitting_lines_at_edges_is_near_an_ideal_filter(slope):
    """Noise of ±6 dB an octave and less, against the integral between the exact edges.

    Within 0.1 dB from three lines a band on, within 0.01 dB from ten.
    """
    geometry = Geometry(96_000, Settings())
    scheme = Scheme(geometry)
    powers = []
    for splitter, lines in (
        (scheme.low, geometry.low_frequencies),
        (scheme.high, geometry.frequencies),
    ):
        powers.append(splitter.power(density(np.maximum(lines, lines[1]), slope)) * lines[1])
    found = banded(np.concatenate(powers))
    edges = np.stack((scheme.bands.lower, scheme.bands.upper)) / 1000
    power = slope + 1
    whole = np.log(edges) if power == 0 else edges**power / power
    error = np.abs(10 * np.log10(found / (1000 * (whole[1] - whole[0]))))
    spacing = np.where(
        np.arange(len(found)) < scheme.low_count,
        geometry.low_frequencies[1],
        geometry.frequencies[1],
    )
    lines = (scheme.bands.upper - scheme.bands.lower) / spacing
    assert error.max() < 0.1
    assert error[lines >= 10].max() < 0.01


def test_bands_agree_with_filters():
    """Butterworth filters of third order a side, on the same noise.

    The noise bandwidth of such a filter is π/6 / sin(π/6) = 1.047 times the width of the band, so
    it lets 0.2 dB more pass than an ideal one. What the skirts let in differs by chance.
    """
    rate = 48_000
    raw, samples = int24(0.1 * np.random.default_rng(9).standard_normal((1, 30 * rate)))
    about = layout(*samples.shape, rate=rate)
    found = summary(measured(raw, about), about)
    for centre in (200.0, 1000.0, 8000.0):
        index = int(np.argmin(np.abs(found.bands.centres - centre)))
        edges = found.bands.lower[index], found.bands.upper[index]
        passed = sosfilt(butter(3, edges, "bandpass", output="sos", fs=rate), samples[0])
        difference = 10 * np.log10(passed.var() / found.band_mean_square[0, index])
        assert difference == pytest.approx(0.2, abs=0.15)
