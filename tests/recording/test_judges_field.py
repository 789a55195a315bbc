"""What waters and recorders do that is easily taken for something else.

Each sound is made: what it stands for is in its test. Thresholds are not held against these.
"""

import numpy as np
import pytest

from calculators.recording import synthetic
from calculators.recording.expected import Expected, Plan
from calculators.recording.findings import Finding
from calculators.recording.judges import judge
from calculators.recording.synthetic import MadeFile
from tests.recording.judged import checked

RATE = 8000
SECONDS = 15
FRAMES = 4 * SECONDS * RATE
START = 1_778_274_000.0
DAY = 86_400.0


def water(channels: int = 2, level: float = -108.0, own: float = -128.0) -> np.ndarray:
    """A minute of quiet water and the chain."""
    made = synthetic.water(1, channels, FRAMES, RATE, level)
    return made + synthetic.converter_noise(1, channels, FRAMES, RATE, own)


def snaps(peak: float) -> np.ndarray:
    """Fifty snaps a second, each of one sample and its ringing; their heights spread widely."""
    random, sound = np.random.RandomState(3), np.zeros((2, FRAMES))
    snap = np.exp(-np.arange(12) / 1.5) * np.cos(0.6 * np.pi * np.arange(12))
    for at in random.randint(0, FRAMES - 12, 3000):
        height = min(peak * random.pareto(1.5), 3.0)
        sound[:, at : at + 12] += height * random.choice((-1, 1)) * snap
    return sound


def files(
    sound: np.ndarray, encoding: str = "int16", starts: list[float] | None = None
) -> list[MadeFile]:
    """The sound in files of a quarter of a minute."""
    made = []
    for number in range(sound.shape[1] // (SECONDS * RATE)):
        part = sound[:, number * SECONDS * RATE : (number + 1) * SECONDS * RATE]
        start = START + (starts[number] if starts else number * SECONDS)
        data = synthetic.wave_bytes(part, RATE, encoding, start)
        made.append(MadeFile(f"made-{number:03}.wav", data, start))
    return made


def found(made: list[MadeFile], expected: Expected | None = None) -> dict[str, Finding]:
    """Findings by kind."""
    return {finding.kind: finding for finding in judge(*checked(made), expected)}


def test_snaps_that_clip_in_single_samples_are_clipping() -> None:
    """No run of two samples is at the end of the scale."""
    loud = np.clip(water() + snaps(0.3), -1, 1)
    clipped = np.abs(loud) == 1
    assert clipped.sum() > 100
    assert not (clipped[:, 1:] & (loud[:, 1:] == loud[:, :-1])).any()
    assert "clipped" in found(files(loud))
    loud[:, 1000:1003] = 1.0
    told = found(files(loud))["clipped"]
    assert told.sure == "certain"
    assert "single samples counted" in told.what
    assert "clipped" not in found(files(water() + snaps(0.003)))


@pytest.mark.parametrize("encoding", ["int16", "float32"])
def test_a_scale_that_ends_a_little_below_full_scale_is_clipping(encoding: str) -> None:
    """Some recorders stop at 0.995, and 24-bit samples as floating point never reach 1."""
    calls = synthetic.toads(4, 2, FRAMES, RATE, 2.0, 60)
    told = found(files(np.clip(water() + calls, -0.995, 0.995), encoding))
    assert "clipped" in told
    assert "flat tops" not in told


def pulses(pulse: np.ndarray, every: float) -> np.ndarray:
    """The same sound again and again, in both channels."""
    sound = np.zeros(FRAMES)
    for at in np.arange(0.5, FRAMES / RATE - 1, every):
        sound[int(at * RATE) : int(at * RATE) + pulse.size] += pulse
    return np.array([sound, sound])


def ping(seconds: float, peak: float) -> np.ndarray:
    """A tone of 1.5 kHz that swells and fades."""
    time = np.arange(int(seconds * RATE)) / RATE
    return peak * np.sin(np.pi * time / seconds) ** 2 * np.sin(2 * np.pi * 1500 * time)


def stroke(peak: float) -> np.ndarray:
    """A ram on a pile: two tones that die out."""
    time = np.arange(int(0.3 * RATE)) / RATE
    low = np.exp(-time / 0.04) * np.sin(2 * np.pi * 170 * time)
    both = low + 0.4 * np.exp(-time / 0.02) * np.sin(2 * np.pi * 610 * time)
    return peak * both / np.abs(both).max()


@pytest.mark.parametrize(
    ("pulse", "every"), [(ping(0.02, 0.3), 1.0), (ping(0.1, 0.1), 0.5), (stroke(0.5), 1.2)]
)
def test_a_source_that_is_always_as_loud_is_not_surely_a_ceiling(
    pulse: np.ndarray, every: float
) -> None:
    """Pingers and strokes; a wind that grows by 10 dB beside them makes no ceiling of it."""
    grows = 10 ** (np.linspace(-0.5, 0, FRAMES) * 0.5)
    told = found(files(water() * grows + pulses(pulse, every)))["flat tops"]
    assert (told.weight, told.sure) == ("harms", "possible")
    assert "always as loud" in told.what


def test_a_ceiling_that_louder_moments_share_with_softer_ones_is_likely_one() -> None:
    """Calls of many loudnesses through a stage that clips at a tenth of full scale."""
    calls = synthetic.toads(4, 2, FRAMES, RATE, 2.0, 60)
    told = found(files(np.clip(water() + calls, -0.1, 0.1)))["flat tops"]
    assert (told.weight, told.sure) == ("spoils", "likely")
    assert "more energy than the softest" in told.what


def test_few_steps_of_the_converter_are_no_flat_tops() -> None:
    """Peaks of four or five steps pile up at four, and nothing clips."""
    soft = water(1) * (4 / 32768 / np.abs(water(1)).max())
    assert "flat tops" not in found(files(soft))


def test_one_hydrophone_with_two_gains_is_no_dead_channel() -> None:
    """As many record it, so that the softer one does not clip."""
    sound = water(level=-80.0)
    own = synthetic.converter_noise(9, 2, FRAMES, RATE, -140.0)
    softer = np.array([sound[0], 0.05 * sound[0]]) + own
    told = found(files(softer))
    assert "dead" not in told
    assert (told["unequal"].weight, told["unequal"].where[0].channel) == ("harms", 1)
    deaf = np.array([sound[0], own[1]])
    assert "dead" in found(files(deaf, "int24"))


def test_a_channel_that_rests_on_zero_is_dead() -> None:
    """Noise of an eighth of a step rounds to zeros with a one every few seconds."""
    sound = water(level=-90.0)
    sound[1] = 0.12 / 32768 * np.random.RandomState(2).standard_normal(FRAMES)
    told = found(files(sound))["dead"]
    assert (told.weight, told.where[0].channel) == ("spoils", 1)
    assert "exactly zero" in told.what


def test_a_rise_that_comes_slowly_is_not_called_a_leak_for_sure() -> None:
    """Current at one hydrophone makes low noise too, and is not alike at two either."""
    rise = np.clip((np.arange(FRAMES) / RATE - 20) / 20, 0, 1)
    eddies = synthetic.flow(np.zeros((2, FRAMES)), RATE, -60.0, 5)
    eddies[0] *= 0.3
    told = found(files(water() + eddies * rise))
    assert (told["flooded"].weight, told["flooded"].sure) == ("harms", "possible")


def test_a_night_of_several_files_each_day_is_a_schedule() -> None:
    """Four files a night, and a start that shifts by two minutes a day."""
    starts = [(n // 4) * (DAY - 120) + (n % 4) * SECONDS for n in range(24)]
    sound = np.tile(water(1), (1, 6)) + synthetic.converter_noise(2, 1, 6 * FRAMES, RATE, -130.0)
    assert "gap" not in found(files(sound, starts=starts))
    lost = [start + (DAY - 120 if n >= 8 else 0) for n, start in enumerate(starts)]
    gap = found(files(sound, starts=lost))["gap"]
    assert [span.file for span in gap.where] == [8]
    assert gap.what.startswith("1\u00a0min")  # a night's four files


def test_the_same_few_seconds_lost_at_every_file_are_no_schedule() -> None:
    """Three seconds of eighteen: a sixth of the time is missing."""
    sound = np.tile(water(1), (1, 2)) + synthetic.converter_noise(2, 1, 2 * FRAMES, RATE, -130.0)
    gap = found(files(sound, starts=[18.0 * n for n in range(8)]))["gap"]
    assert gap.weight == "harms"
    assert "7 gaps" in gap.what


def test_gaps_are_held_against_the_windows_of_the_rig() -> None:
    """Windows of a minute at uneven hours; the second one lost its second half."""
    hours = (0.0, 7200.0, 10800.0)
    windows = tuple((hour, hour + 60.0) for hour in hours)
    plan = Plan(started=START, duration=DAY, windows=windows, scheduled=180.0, continuous=False)
    starts = [hour + SECONDS * n for hour in hours for n in range(4)]
    sound = np.tile(water(1), (1, 3)) + synthetic.converter_noise(2, 1, 3 * FRAMES, RATE, -130.0)
    assert "gap" not in found(files(sound, starts=starts), Expected(plan=plan))
    made = files(sound, starts=starts)
    gap = found(made[:6] + made[8:], Expected(plan=plan))["gap"]
    assert gap.what.startswith("30.0\u00a0s are missing in 1 gap")


def test_an_offset_says_how_much_room_it_takes() -> None:
    told = found(files(water(1) + 0.004))["offset"]
    assert told.weight == "note"
    assert "0.40\u00a0% of the room" in told.what
