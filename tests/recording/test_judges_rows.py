"""A row of lines low down: what time tells of it, and what it does not."""

import numpy as np
import pytest

from calculators.recording import synthetic
from calculators.recording.findings import Finding
from calculators.recording.judges import judge
from calculators.recording.judges.rows_of_lines import LONG
from calculators.recording.synthetic import MadeFile
from tests.recording.judged import checked

RATE = 1000
FRAMES = int(1.2 * LONG * RATE)
TIME = np.arange(FRAMES) / RATE
START = 1_778_274_000.0


def water() -> np.ndarray:
    """More than an hour of it."""
    made = synthetic.water(1, 1, FRAMES, RATE)
    return made + synthetic.converter_noise(1, 1, FRAMES, RATE)


def row(pitch: np.ndarray | float, above: float = 20.0) -> np.ndarray:
    """Five multiples of a pitch that may move; ``above`` the water's density there, in dB."""
    turns = np.cumsum(np.broadcast_to(pitch, FRAMES)) / RATE
    level = -108.0 - 17.0 * np.log10(float(np.mean(pitch)) / 1000) + above
    lines = sum(np.sin(2 * np.pi * number * turns) / number for number in range(1, 6))
    return np.asarray(np.sqrt(2) * 10 ** (level / 20) * lines)


def found(sound: np.ndarray) -> Finding | None:
    """What is said of a row of lines."""
    data = synthetic.wave_bytes(sound, RATE, "int24", START)
    findings = judge(*checked([MadeFile("made.wav", data, START)]))
    return next((f for f in findings if f.kind == "strumming"), None)


@pytest.mark.parametrize("slack", [9.0, 12.0])
def test_a_row_that_lasts_and_slides_with_the_tide_is_a_line(slack: float) -> None:
    """The current grows by half and falls again; eddies leave a line at 0.2 times speed over
    diameter, so the pitch does so too."""
    told = found(water() + row(slack * (1 + 0.5 * np.sin(np.pi * TIME / TIME[-1]))))
    assert told is not None
    assert (told.weight, told.sure) == ("harms", "likely")
    assert told.where[0].seconds >= LONG
    assert "slides between" in told.what


@pytest.mark.parametrize("pitch", [22.0, 85.0])
def test_a_row_that_keeps_its_pitch_is_a_machine_or_fish(pitch: float) -> None:
    """Pitch within two per cent for more than an hour, as fish in water of one temperature."""
    swell = np.sin(np.pi * TIME / TIME[-1]) ** 0.3
    chorus = row(pitch * (1 + 0.02 * np.sin(TIME / 300))) * swell
    told = found(water() + chorus)
    assert told is not None
    assert (told.weight, told.sure) == ("note", "possible")
    assert "keeps its pitch" in told.what


def test_boats_that_pass_one_after_the_other_are_no_line() -> None:
    """Six of them, each of another shaft, heard for minutes in its sixth of the time."""
    each = FRAMES // 6
    boats = np.concatenate(
        [
            synthetic.boat(n, 1, each, RATE, TIME[each] / 2, 60.0, 0.03, 9.0 + 3.0 * n)
            for n in range(6)
        ],
        axis=1,
    )
    told = found(water() + boats)
    assert told is None or told.weight == "note"
    assert told is None or "does not tell which" in told.what


def test_water_alone_has_no_row() -> None:
    assert found(water()) is None
