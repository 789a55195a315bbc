"""Listening range against another solver, mirror images, and what the pages say."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from calculators.cards.listening import LISTENING_RANGE
from calculators.errors import InputError
from calculators.evaluate import Given, defaults, evaluate
from calculators.formulas import listening
from calculators.present import answer, work

BASE = defaults(LISTENING_RANGE)


def loss(r: float, transition: float, excess: float, absorption: float) -> float:
    """Written anew, in powers: 1/r² to the transition, then r to the power of −(1 + e/10)."""
    power = 1 / r**2
    if r > transition:
        power = transition**-2 * (transition / r) ** (1 + excess / 10)
    return -10 * math.log10(power) + absorption * r


@pytest.mark.parametrize("transition", [0.05, 3.0, 400.0])
@pytest.mark.parametrize("excess", [0.0, 5.0, 30.0])
@pytest.mark.parametrize("absorption", [0.0, 1e-5, 0.04])
@pytest.mark.parametrize("wanted", [0.02, 0.7, 3.0, 55.0, 9e3])
def test_the_range_gives_back_the_loss(transition, excess, absorption, wanted):
    """Independent: another form of the loss, and another solver."""
    allowed = loss(wanted, transition, excess, absorption)
    spread = {"transition": transition, "excess_loss": excess, "absorption": absorption}
    found = listening.listening_range(allowed_loss=allowed, **spread)
    solved = brentq(
        lambda x: loss(10**x, transition, excess, absorption) - allowed, -3, 7, xtol=1e-13
    )
    assert found == pytest.approx(10**solved, rel=1e-9)
    assert listening.propagation_loss(distance=found, **spread) == pytest.approx(allowed, abs=1e-8)


@pytest.mark.parametrize(("depth", "angle", "distance"), [(4, 0.49, 300), (12, 0.3, 900)])
def test_the_transition_is_that_of_mirror_images(depth, angle, distance):
    """Independent: powers of the images in surface and bottom that come in less steeply than ψ."""
    order = 2 * np.arange(-2000, 2001) * depth
    heights = (np.arange(40) + 0.5) / 40 * depth
    powers = []
    for source in heights:
        for hydrophone in heights:
            rise = np.concatenate((order + source - hydrophone, order - source - hydrophone))
            kept = np.abs(rise) <= distance * math.tan(angle)
            powers.append(np.sum(kept / (distance**2 + rise**2)))
    transition = listening.transition_range(water_depth=depth, transition_ratio=1 / (2 * angle))
    formula = listening.propagation_loss(
        distance=distance, transition=transition, excess_loss=0, absorption=0
    )
    assert formula == pytest.approx(-10 * math.log10(np.mean(powers)), abs=0.02)


def test_the_range_grows_with_the_source_and_shrinks_with_the_noise():
    """Monotone, over the whole form."""
    louder = [
        evaluate(LISTENING_RANGE, BASE | {"source_level": s})["listening_range"]
        for s in np.linspace(60, 160, 41)
    ]
    noisier = [
        evaluate(LISTENING_RANGE, BASE | {"own_level": n})["listening_range"]
        for n in np.linspace(-20, 90, 41)
    ]
    assert louder == sorted(louder)
    assert noisier == sorted(noisier, reverse=True)


def test_powers_are_summed_not_decibels():
    """Two equal noises together lie 3 dB above one; a far quieter one changes nothing."""
    values = BASE | {"ambient_level": 30.0, "own_level": 30.0, "bandwidth": 1000.0}
    assert evaluate(LISTENING_RANGE, values)["noise_level"] == pytest.approx(63.01, abs=0.01)
    assert evaluate(LISTENING_RANGE, values)["own_share"] == pytest.approx(0.5)


def test_what_is_not_heard_at_a_metre_gets_a_verdict():
    """Clear, and not a number that looks like an answer."""
    worked = answer(work(LISTENING_RANGE, Given(BASE | {"source_level": 80.0}), "metric"))
    first = worked["outputs"][0]
    assert first["verdict"]["level"] == "fail"
    assert "not heard at a metre" in first["verdict"]["text"]
    assert any("no point any more" in line for line in worked["remarks"])


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"source_level": 40.0, "own_level": 60.0}, "not heard even at 1 cm"),
        ({"source_level": 240.0, "frequency": 100.0, "own_level": -20.0}, "beyond 1000 km"),
    ],
)
def test_absurd_ranges_are_refused_by_name_with_what_would_do(values, says):
    """Named refusal, with the level that would be heard at 1 m."""
    with pytest.raises(InputError, match=says) as refused:
        evaluate(LISTENING_RANGE, BASE | values)
    assert refused.value.name == "source_level"
    assert "To be heard at 1 m it needs" in refused.value.message


def test_a_distance_that_leaves_nothing_is_refused():
    """1 MHz over 100 km."""
    with pytest.raises(InputError, match="nothing is left") as refused:
        evaluate(LISTENING_RANGE, BASE | {"frequency": 1e6, "distance": 1e5})
    assert refused.value.name == "distance"


def test_below_the_cut_off_a_caution_stands():
    """100 Hz in 4.5 m; not at 10 kHz."""
    low = answer(work(LISTENING_RANGE, Given(BASE | {"frequency": 100.0}), "metric"))
    high = answer(work(LISTENING_RANGE, Given(BASE), "metric"))
    assert any("Too low for this depth" in c["title"] for c in low["cautions"])
    assert not high["cautions"]


def test_six_decibels_less_noise_do_what_the_page_says():
    """Double in open water, two and a half times at 15 dB for a tenfold range."""
    for excess, ratio in ((10.0, 2.0), (5.0, 2.5)):
        reach = [
            listening.listening_range(40.0 + more, 1.0, excess, absorption=0.0) for more in (0, 6)
        ]
        assert reach[1] / reach[0] == pytest.approx(ratio, rel=0.01)


def test_ice_is_refused_by_name():
    """Fresh water at −1 °C."""
    with pytest.raises(InputError, match="freezes at 0") as refused:
        evaluate(LISTENING_RANGE, BASE | {"temperature": -1.0})
    assert refused.value.name == "temperature"
