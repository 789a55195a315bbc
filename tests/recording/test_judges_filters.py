"""Filters that nobody meant to be there, and bits that hold nothing."""

from dataclasses import replace

import numpy as np
import pytest

from calculators.recording import synthetic
from calculators.recording.expected import Expected, Range
from calculators.recording.findings import Finding
from calculators.recording.judges import judge
from calculators.recording.judges.resolution import found_places, step_of
from calculators.recording.synthetic import MadeFile
from calculators.recording.wave_writing import Encoding
from tests.recording.judged import checked

RATE = 8000
FRAMES = 60 * RATE
START = 1_778_274_000.0


def water(channels: int = 1) -> np.ndarray:
    """A minute of water, animals, and a boat that passes."""
    made = synthetic.water(1, channels, FRAMES, RATE)
    made += synthetic.toads(1, channels, FRAMES, RATE)
    made += synthetic.boat(1, channels, FRAMES, RATE, 30.0, 4.0, 0.01)
    return made + synthetic.converter_noise(1, channels, FRAMES, RATE)


def found(
    sound: np.ndarray, encoding: Encoding = "int24", expected: Expected | None = None
) -> dict[str, Finding]:
    """Findings by kind."""
    made = MadeFile("made.wav", synthetic.wave_bytes(sound, RATE, encoding, START), START)
    return {f.kind: f for f in judge(*checked([made]), expected)}


def test_water_has_neither_low_cut_nor_edge() -> None:
    assert not {"low cut", "sharp edge", "few bits"} & found(water()).keys()


@pytest.mark.parametrize(("corner", "order"), [(60.0, 3), (80.0, 2), (150.0, 2), (150.0, 4)])
def test_a_low_cut_is_found_near_its_corner(corner: float, order: int) -> None:
    """Within a quarter: the slope of the water shifts where the level stops to rise."""
    told = found(synthetic.low_cut(water(), RATE, corner, order))["low cut"]
    assert (told.weight, told.sure) == ("note", "possible")
    said = float(told.what.split("Below about ")[1].split()[0])
    assert said == pytest.approx(corner, rel=0.25)


@pytest.mark.parametrize(
    ("low_corner", "cutoff", "weight"),
    [
        (None, None, "note"),
        (Range(8.0, 7.0, 9.0), Range(20.0, 15.0, 30.0), "harms"),
        (Range(8.0, 7.0, 9.0), Range(120.0, 90.0, 150.0), "note"),
        (Range(90.0, 80.0, 100.0), None, "note"),
    ],
)
def test_a_low_cut_is_held_against_the_corners_of_the_rig(
    low_corner: Range | None, cutoff: Range | None, weight: str
) -> None:
    expected = Expected(low_corner=low_corner, cutoff=cutoff)
    told = found(synthetic.low_cut(water(), RATE, 120.0, 3), expected=expected)["low cut"]
    assert told.weight == weight
    assert ("By the rig" in told.what) == (low_corner is not None)


def test_strong_low_sound_at_some_times_shows_that_no_filter_is_on() -> None:
    """The water is soft low down, but waves come for a quarter of the time."""
    quiet = synthetic.low_cut(water(), RATE, 120.0, 3)
    waves = synthetic.flow(np.zeros((1, FRAMES)), RATE, -60.0, 3)
    waves[:, FRAMES // 4 :] = 0.0
    assert "low cut" not in found(quiet + waves)


@pytest.mark.parametrize("part", [0.35, 0.5, 0.8])
def test_an_edge_is_found_where_it_is(part: float) -> None:
    edge = part * RATE / 2
    told = found(synthetic.band_limited(water(), RATE, edge, 30.0))["sharp edge"]
    assert told.sure == "likely"
    said = told.what.split("above ")[1].split(":")[0]
    value, unit = said.split()
    assert float(value) * {"Hz": 1.0, "kHz": 1000.0}[unit] == pytest.approx(edge, rel=0.04)


def test_a_filter_that_falls_slowly_is_no_edge() -> None:
    """A low-pass of the second order, as a front end may have."""
    frequency = np.fft.rfftfreq(FRAMES, 1 / RATE)
    gain = 1 / np.sqrt(1 + (frequency / 1500) ** 4)
    soft = np.fft.irfft(np.fft.rfft(water()) * gain, FRAMES)
    assert "sharp edge" not in found(soft)


@pytest.mark.parametrize(
    ("encoding", "bits", "places"),
    [("int24", 16, 15), ("int32", 16, 15), ("int32", 24, 23), ("float32", 16, 15)],
)
def test_empty_bits_are_seen_in_the_extremes(encoding: Encoding, bits: int, places: int) -> None:
    sound = synthetic.coarser(water(2), bits)
    summary, _ = checked([MadeFile("a.wav", synthetic.wave_bytes(sound, RATE, encoding), None)])
    assert found_places(summary) == places
    assert step_of(summary) == 2.0**-places
    assert ("few bits" in found(sound, encoding)) == (bits == 16)


def test_full_bits_and_clipped_ends_are_no_empty_ones() -> None:
    """Full scale below is a whole number of any steps, and says nothing."""
    assert "few bits" not in found(water())
    loud = water() + synthetic.knock(1, FRAMES, RATE, 5.0, 3.0)
    assert "few bits" not in found(loud)
    summary, _ = checked([MadeFile("a.wav", synthetic.wave_bytes(loud, RATE, "int24"), None)])
    channel = replace(summary.by_channel[0], highest=1.0)
    assert found_places(replace(summary, by_channel=(channel,))) is None


def test_peaks_of_few_steps_are_no_flat_tops_in_a_larger_file_either() -> None:
    """Off zero by a step, so that the two extremes are not the same number twice."""
    soft = water() * (4 / 32768 / np.abs(water()).max()) + 1.2 / 32768
    told = found(synthetic.coarser(soft, 16))
    assert "few bits" in told
    assert "flat tops" not in told
