"""What a rig says of its recording agrees with what its calculators say of the rig."""

from datetime import UTC, datetime
from functools import cache

import pytest

from calculators.recording.expected import Curve, Expected, Plan, Range, expected_of_rig
from calculators.rig.facts import Facts
from calculators.rig.files import read_rig
from calculators.rig.graph import evaluate_rig
from calculators.rig.model import Rig, read_entry
from site_src.paths import DOCS


@cache
def rig(name: str) -> Rig:
    return read_rig((DOCS / "rigs" / f"{name}.toml").read_text())


@cache
def expected(name: str) -> Expected:
    return expected_of_rig(rig(name))


@cache
def facts(name: str) -> Facts:
    return Facts(rig(name), evaluate_rig(rig(name)))


@pytest.mark.parametrize("name", ["tarn", "eelgrass"])
def test_full_scale_and_clip_level_are_those_of_the_level_chain(name: str) -> None:
    for key, found in (
        ("full_scale_clip", expected(name).full_scale),
        ("clip_level", expected(name).clip),
    ):
        fact = facts(name).fact("level-chain", key)
        assert found == Range(fact.number, *fact.ends)


@pytest.mark.parametrize("name", ["tarn", "eelgrass", "weir-pool"])
def test_low_corner_and_cut_off_are_those_of_their_calculators(name: str) -> None:
    for card, key, found in (
        ("corner-frequency", "combined_corner", expected(name).low_corner),
        ("shallow-cutoff", "cutoff_frequency", expected(name).cutoff),
    ):
        fact = facts(name).fact(card, key)
        known = fact is not None and not fact.usual
        assert found == (Range(fact.number, *fact.ends) if known else None)
    assert expected(name).low_corner is not None


@pytest.mark.parametrize("name", ["tarn", "eelgrass", "hand-held"])
def test_noise_in_the_file_and_full_scale_give_the_equivalent_noise_level(name: str) -> None:
    """At 1 kHz a corner below 60 Hz takes 0.02 dB off, and rounding adds nothing: to 0.05 dB.

    The one is worked out in volts at the recorder's input, the other at the element.
    """
    noise = expected(name).self_noise.at(1000.0)
    level = facts(name).fact("front-end-noise", "equivalent_noise_level")
    loss = facts(name).fact("corner-frequency", "combined_corner")
    assert loss.number < 60
    assert noise.value + expected(name).full_scale.value == pytest.approx(level.number, abs=0.05)
    assert noise.low < noise.value < noise.high


def test_rounding_shows_where_the_words_are_short() -> None:
    """16 bits at a gain of 6 dB: 20 lg(2 / (2^16 √12)) − 10 lg 24000, by hand −144.9 dB."""
    crude = rig("tarn")
    for key, text in (
        ("recorder.bits", "16 bit"),
        ("recorder.gain", "6 dB"),
        ("recorder.input_noise", "0 nV/√Hz"),
    ):
        crude = crude.keep(key, read_entry(key, text))
    fine = crude.keep("recorder.bits", read_entry("recorder.bits", "32 bit"))
    with_rounding, without = (
        10 ** (expected_of_rig(r).self_noise.at(10_000.0).value / 10) for r in (crude, fine)
    )
    assert with_rounding - without == pytest.approx(10**-14.49, rel=0.01)


def test_plan_of_the_tarn() -> None:
    """As its file states it: 2026-05-08 18:00, two hours ahead of UTC, 62 h, 48 kHz, 24 bit."""
    plan = expected("tarn").plan
    assert plan.started == datetime(2026, 5, 8, 16, tzinfo=UTC).timestamp()
    assert (plan.duration, plan.scheduled) == (62 * 3600, 62 * 3600)
    assert plan.windows == ((0.0, 62 * 3600.0),)
    assert (plan.rate, plan.bits, plan.channels, plan.continuous) == (48_000, 24, 2, True)


def test_turns_of_a_schedule_are_spelt_out() -> None:
    """Ten minutes of each half hour for ten days: 480 turns, 80 h."""
    plan = expected("eelgrass").plan
    assert len(plan.windows) == 480
    assert plan.windows[1] == (1800.0, 2400.0)
    assert sum(end - start for start, end in plan.windows) == plan.scheduled == 80 * 3600
    assert not plan.continuous


def test_the_water_is_that_of_the_calculator() -> None:
    """At the frequency that it names as the worst, to 0.1 dB: bands against one frequency."""
    water = expected("eelgrass").water
    frequency = facts("eelgrass").fact("ambient-noise", "worst_frequency").number
    level = facts("eelgrass").fact("ambient-noise", "water_level")
    found = water.at(frequency)
    assert found.value == pytest.approx(level.number, abs=0.1)
    assert found.low == pytest.approx(found.value - 10, abs=0.2)
    assert found.high == pytest.approx(found.value + 10, abs=0.2)


def test_the_ceiling_moves_with_the_swing_and_not_with_the_sensitivity() -> None:
    """A swing of 1.4 V ± 10 % against a full scale of 1.4 V ± 10 % at 0 dB: 0, down to 1.74 dB."""
    low = rig("tarn")
    for key, text in (("recorder.gain", "0 dB"), ("front_end.swing", "1.4 V ± 10 %")):
        low = low.keep(key, read_entry(key, text))
    ceiling = expected_of_rig(low).ceiling
    assert ceiling.value == pytest.approx(0, abs=1e-9)
    assert ceiling.low == pytest.approx(-1.743, abs=0.001)
    assert ceiling.high == pytest.approx(0, abs=1e-9)
    assert expected("tarn").ceiling == Range(0, 0, 0)


def test_what_a_rig_does_not_state_is_none() -> None:
    bare = expected_of_rig(Rig("nothing but a name"))
    assert bare == Expected(name="nothing but a name", plan=Plan())
    assert expected("tarn").water is None  # the rig leaves that question out
    assert expected("hand-held").plan.started is None


def test_a_curve_is_straight_on_a_logarithmic_axis_and_ends_at_its_ends() -> None:
    curve = Curve((10.0, 1000.0), (Range(0, -1, 1), Range(20, 18, 22)))
    assert curve.at(100.0) == Range(10, 8.5, 11.5)
    assert curve.at(9.9) is None
    assert curve.at(1001.0) is None
