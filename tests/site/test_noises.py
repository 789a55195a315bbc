"""The made-up noises show what their chapter says of them."""

import numpy as np
import pytest

from site_src.noises import NOISES, levels_of, noise_svg


def above(name: str, low: float, high: float) -> float:
    """How far the noise stands above the water at most between two frequencies, dB."""
    frequencies, floor = levels_of("floor")
    inside = (frequencies >= low) & (frequencies <= high)
    return float(np.max(levels_of(name)[1][inside] - floor[inside]))


def test_the_floor_ends_in_the_flat_noise_of_the_chain():
    frequencies, levels = levels_of("floor")
    decade = [np.interp(at, frequencies, levels) for at in (200.0, 2000.0, 20_000.0)]
    assert decade[0] - decade[1] == pytest.approx(17, abs=3)  # as the water falls
    assert decade[1] - decade[2] < 14


def test_light_rain_has_its_top_where_it_was_measured():
    frequencies, levels = levels_of("rain")
    high = frequencies > 5000
    assert 13e3 < frequencies[high][np.argmax(levels[high])] < 15e3


@pytest.mark.parametrize("multiple", range(1, 6))
def test_hum_stands_at_multiples_and_leaves_the_water_between(multiple: int):
    assert above("hum", 50 * multiple - 2, 50 * multiple + 2) > 10
    assert above("hum", 50 * multiple + 10, 50 * multiple + 40) < 3


def test_a_boat_has_lines_of_its_shaft_and_a_slope_to_the_end():
    assert above("boat", 13, 14.5) > above("boat", 18, 23) + 10
    assert above("boat", 19e3, 20e3) > 20


def test_flow_is_steeper_than_the_water():
    assert above("flow", 5, 10) > above("flow", 500, 1000) + 10


def test_clipping_fills_what_lies_above_the_strumming():
    assert above("strum", 150, 1000) < 3
    assert above("clipping", 150, 300) > 10


def test_drop_outs_do_not_show():
    assert above("dropouts", 2, 20_000) < 1


@pytest.mark.parametrize("name", NOISES)
def test_every_picture_has_its_words_and_fits_its_page(name: str):
    svg = noise_svg(name)
    assert NOISES[name].words in svg
    assert "style=" not in svg  # the page's policy
    assert len(svg) < 20_000
