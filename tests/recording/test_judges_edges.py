"""The judges have an answer, and no complaint, for whatever little there is."""

import numpy as np
import pytest

from calculators.recording import synthetic
from calculators.recording.expected import Curve, Expected, Range
from calculators.recording.judges import judge
from calculators.recording.synthetic import MadeFile
from tests.recording.judged import checked

EXPECTED = Expected(
    full_scale=Range(165, 163, 167),
    ceiling=Range(0, -1, 0),
    self_noise=Curve((10.0, 1e5), (Range(-120, -122, -118), Range(-130, -132, -128))),
    water=Curve((10.0, 1e5), (Range(80, 70, 90), Range(20, 10, 30))),
)


@pytest.mark.parametrize("frames", [1, 100, 3000, 9000, 30_000])
@pytest.mark.parametrize(("rate", "channels"), [(8000, 1), (1000, 2), (384_000, 2), (44_100, 5)])
def test_short_recordings_of_any_rate(frames: int, rate: int, channels: int) -> None:
    """Warnings are errors here."""
    sound = 0.01 * np.random.default_rng(frames).standard_normal((channels, frames))
    for encoding in ("int16", "float32"):
        data = synthetic.wave_bytes(sound, rate, encoding, None)
        judge(*checked([MadeFile("short.wav", data)]), EXPECTED)


def test_a_file_of_constant_value_is_a_dead_channel() -> None:
    data = synthetic.wave_bytes(np.full((2, 40_000), 0.25), 8000)
    found = judge(*checked([MadeFile("constant.wav", data)]), EXPECTED)
    assert [f.kind for f in found if f.weight == "spoils"] == ["dead", "dead"]
    assert any(f.kind == "offset" for f in found)


def test_a_header_without_sound_is_named() -> None:
    data = synthetic.wave_bytes(np.zeros((2, 0)), 8000, finished=False)
    found = judge(*checked([MadeFile("empty.wav", data)]), EXPECTED)
    assert [f.kind for f in found] == ["header only"]


def test_no_numbers_in_floating_point_are_borne() -> None:
    sound = 0.01 * np.random.default_rng(1).standard_normal((1, 80_000))
    sound[0, 5000:5100] = np.nan
    sound[0, 9000] = 3.0
    data = synthetic.wave_bytes(sound, 8000, "float32")
    found = judge(*checked([MadeFile("float.wav", data)]))
    assert "beyond full scale" in {f.kind for f in found}
    assert "not a number" in {f.kind for f in found}


def test_what_all_channels_lost_at_once_is_said_once() -> None:
    sound = 0.01 * np.random.default_rng(2).standard_normal((2, 80_000))
    dropped = synthetic.dropped(sound, 20_000, 400)
    found = judge(*checked([MadeFile("hole.wav", synthetic.wave_bytes(dropped, 8000))]))
    holes = [f for f in found if f.kind == "drop-out"]
    assert [f.where[0].channel for f in holes] == [None]
