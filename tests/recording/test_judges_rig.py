"""Files against each other and against what a rig says, where the truth is put in."""

import numpy as np
import pytest

from calculators.recording import synthetic
from calculators.recording.expected import Curve, Expected, Plan, Range
from calculators.recording.findings import Finding
from calculators.recording.judges import judge
from calculators.recording.synthetic import MadeFile
from tests.recording.judged import checked

RATE = 8000
START = 1_778_274_000.0
SECONDS = 12


def files(sound: np.ndarray, starts: list[float], **writing: object) -> list[MadeFile]:
    """The sound cut into files that begin at these seconds."""
    made = []
    for number, start in enumerate(starts):
        part = sound[:, number * SECONDS * RATE : (number + 1) * SECONDS * RATE]
        data = synthetic.wave_bytes(part, RATE, "int24", START + start, **writing)
        made.append(MadeFile(f"made-{number:03}.wav", data, START + start))
    return made


def sound(water: float, own: float, count: int = 2) -> np.ndarray:
    """Water and the chain's own noise by their density at 1 kHz; dB re 1 FS²/Hz."""
    frames = count * SECONDS * RATE
    made = synthetic.water(1, 1, frames, RATE, water) if water > -200 else np.zeros((1, frames))
    return made + synthetic.converter_noise(1, 1, frames, RATE, own)


def flat(level: float, spread: float = 2.0) -> Curve:
    """The same level at every frequency."""
    ends = Range(level, level - spread, level + spread)
    return Curve((10.0, 1e5), (ends, ends))


def found(made: list[MadeFile], expected: Expected | None = None) -> dict[str, Finding]:
    """Findings by kind."""
    return {finding.kind: finding for finding in judge(*checked(made), expected)}


def test_water_below_the_noise_of_the_chain_is_buried_in_it() -> None:
    noise = Expected(self_noise=flat(-128.0))
    quiet = found(files(sound(-150.0, -128.0), [0, SECONDS]), noise)
    loud = found(files(sound(-100.0, -128.0), [0, SECONDS]), noise)
    assert "buried" in quiet
    assert not {"buried", "too quiet"} & loud.keys()


def test_a_recording_quieter_than_its_chain_contradicts_the_rig() -> None:
    made = files(sound(-150.0, -128.0), [0, SECONDS])
    told = found(made, Expected(self_noise=flat(-110.0)))["too quiet"]
    assert told.weight == "harms"
    # 16 dB below the least noise predicted, by what was put in; less 1 dB that seconds scatter.
    assert any(f"{level:.1f}\u00a0dB below" in told.what for level in np.arange(15.5, 18.5, 0.1))
    assert "too quiet" not in found(made, Expected(self_noise=flat(-128.0)))


@pytest.mark.parametrize(("level", "words"), [(20.0, "above"), (110.0, "below"), (62.0, "")])
def test_water_is_held_against_what_was_expected_of_it(level: float, words: str) -> None:
    """Full scale at 165 dB: −103 dB re FS²/Hz at 1 kHz are 62 dB re 1 µPa²/Hz."""
    water = Curve(
        (50.0, 4000.0),
        tuple(Range(x, x - 10, x + 10) for x in (level + 17 * 1.3, level - 17 * np.log10(4))),
    )
    expected = Expected(full_scale=Range(165.0, 163.0, 167.0), water=water)
    told = found(files(sound(-103.0, -140.0), [0, SECONDS]), expected).get("unlike the water")
    assert (told is not None) == bool(words)
    assert told is None or words in told.what


def test_a_plan_that_was_not_kept() -> None:
    plan = Plan(
        started=START - 5 * 3600, duration=3600, windows=((0, 3600),), scheduled=3600, rate=48_000,
        bits=24, channels=2,
    )  # fmt: skip
    told = found(files(sound(-103.0, -130.0), [0, SECONDS]), Expected(plan=plan))
    assert told["too short"].weight == "spoils"
    assert "1\u00a0% is there" in told["too short"].what
    assert "5" in told["start"].what
    assert "48\u202f000\u00a0Hz" in told["other format"].what
    assert "2" in told["other format"].what
    assert "24" not in told["other format"].what


def test_a_plan_that_was_kept_is_no_finding_even_by_the_clock_of_the_place() -> None:
    plan = Plan(
        started=START - 7200, zone=7200, duration=24, windows=((0, 24),), scheduled=24, rate=RATE,
        bits=24, channels=1,
    )  # fmt: skip
    told = found(files(sound(-103.0, -130.0), [0, SECONDS]), Expected(plan=plan))
    assert not {"too short", "start", "other format"} & told.keys()


def test_pauses_of_a_schedule_are_no_gaps_and_a_missing_turn_is_one() -> None:
    kept = [60.0 * n for n in range(6)]
    missed = [0.0, 60.0, 120.0, 240.0, 300.0, 360.0]
    made = sound(-103.0, -130.0, 6)
    assert "gap" not in found(files(made, kept))
    gap = found(files(made, missed))["gap"]
    assert [span.file for span in gap.where] == [3]
    # What is lost of a turn is what it would have recorded, not its pause.
    assert gap.what.startswith(f"{SECONDS}.0\u00a0s are missing in 1 gap")


def test_a_short_pause_to_change_files_is_a_note() -> None:
    told = found(files(sound(-103.0, -130.0), [0, SECONDS + 1.5]))
    assert told.get("gap") is None or told["gap"].weight == "note"
    assert found(files(sound(-103.0, -130.0), [0, SECONDS + 30]))["gap"].weight == "harms"


def test_overlaps_copies_and_other_formats_are_named() -> None:
    made = files(sound(-103.0, -130.0), [0, SECONDS - 5])
    copy = MadeFile("copy.wav", made[0].data, START)
    assert "overlap" in found(made)
    assert "duplicate" in found([*files(sound(-103.0, -130.0), [0, SECONDS]), copy])


def test_clipping_below_the_level_of_the_rig_is_told() -> None:
    loud = sound(-103.0, -160.0, 2)
    level = np.sort(np.abs(loud).reshape(-1, 256).max(axis=1))[-100]
    flat_tops = synthetic.clipped(loud, float(level))
    ceiling = 20 * np.log10(level)
    told = found(
        files(flat_tops, [0, SECONDS]), Expected(ceiling=Range(ceiling + 20, ceiling + 19, 0))
    )
    assert "clips early" in told
    told = found(files(flat_tops, [0, SECONDS]), Expected(ceiling=Range(ceiling, ceiling - 1, 0)))
    assert "flat tops" in told
    assert "clips early" not in told
