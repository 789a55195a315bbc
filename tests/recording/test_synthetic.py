"""Made recordings are what they say: their spectra, their faults, their files, to the byte."""

import io
import wave
from hashlib import sha256

import numpy as np
import pytest
from scipy import signal as sp
from scipy.io import wavfile

from calculators.recording import synthetic, wave_writing

RATE = 8000


def density_level(sound: np.ndarray, frequency: float) -> float:
    """Density around a frequency by scipy, over a tenth of it to either side; dB re 1 FS²/Hz."""
    f, power = sp.welch(sound, RATE, nperseg=8192)
    near = (f > 0.9 * frequency) & (f < 1.1 * frequency)
    return 10 * np.log10(power[near].mean())


def test_water_has_the_level_and_slope_asked_for() -> None:
    """Measured by scipy, 60 s: 0.3 dB is five standard deviations of the narrowest mean here."""
    sound = synthetic.water(1, 1, 60 * RATE, RATE, level=-100.0, slope=-17.0)[0]
    assert density_level(sound, 1000) == pytest.approx(-100.0, abs=0.3)
    assert density_level(sound, 100) == pytest.approx(-100.0 + 17.0, abs=0.5)


def test_two_hydrophones_are_as_alike_as_a_diffuse_field_makes_them() -> None:
    """Magnitude-squared coherence by scipy against sin(kd)/kd squared."""
    sound = synthetic.water(2, 2, 100 * RATE, RATE, spacing=0.95)
    f, found = sp.coherence(sound[0], sound[1], RATE, nperseg=1024)
    kd = 2 * np.pi * f * 0.95 / 1450
    expected = np.sinc(kd / np.pi) ** 2
    assert np.abs(found - expected)[5:300].max() < 0.12


def test_converter_noise_has_its_density() -> None:
    sound = synthetic.converter_noise(3, 2, 60 * RATE, RATE, level=-120.0)
    assert density_level(sound[0], 2000) == pytest.approx(-120.0, abs=0.2)
    assert abs(np.corrcoef(sound)[0, 1]) < 0.01


def test_each_part_has_a_stream_of_its_own() -> None:
    """A change to one part of a recording leaves the others as they are."""
    assert (
        synthetic.stream(1, "a").standard_normal(9) != synthetic.stream(1, "b").standard_normal(9)
    ).all()
    one, two = (synthetic.water(4, channels, 1000, RATE) for channels in (1, 2))
    assert (one[0] == two[0]).all()


def test_lines_of_the_mains_have_their_level() -> None:
    """Mean square of the Fourier line by numpy."""
    quiet = np.zeros((1, 4 * RATE))
    sound = synthetic.hum(quiet, RATE, 50.0, 0.01, (1.0, 0.5))[0]
    lines = np.abs(np.fft.rfft(sound)) / sound.size * np.sqrt(2)
    assert lines[200] == pytest.approx(0.01)
    assert lines[400] == pytest.approx(0.005)


def test_flow_falls_by_thirty_decibels_a_decade() -> None:
    sound = synthetic.flow(np.zeros((1, 100 * RATE)), RATE, level=-60.0, seed=1)[0]
    assert density_level(sound, 20) - density_level(sound, 200) == pytest.approx(30, abs=1.5)


def test_faults_are_where_they_are_put() -> None:
    sound = synthetic.water(5, 2, RATE, RATE)
    assert (synthetic.dropped(sound, 100, 50)[:, 100:150] == 0).all()
    again = synthetic.repeated(sound, 500, 64, times=2)
    assert (again[:, 500:564] == sound[:, 436:500]).all()
    assert (again[:, 564:628] == sound[:, 436:500]).all()
    assert (again[:, 628:] == sound[:, 628:]).all()
    assert (synthetic.swapped(sound, 1)[1] == -sound[1]).all()
    assert (synthetic.identical(sound)[1] == sound[0]).all()
    assert synthetic.clipped(sound, 1e-4).max() == 1e-4
    softer = synthetic.quieter(sound, 300, 20.0, channel=0)
    assert np.allclose(softer[0, 300:], sound[0, 300:] / 10)
    assert (softer[0, :300] == sound[0, :300]).all()
    assert (softer[1] == sound[1]).all()


def test_a_flooded_hydrophone_changes_from_its_moment_on_and_in_one_channel() -> None:
    sound = synthetic.water(6, 2, 20 * RATE, RATE)
    wet = synthetic.flooded(sound, RATE, 10 * RATE, 1, level=-50.0)
    assert (wet[0] == sound[0]).all()
    assert (wet[1, : 10 * RATE] == sound[1, : 10 * RATE]).all()
    assert density_level(wet[1, 10 * RATE :], 20) > density_level(sound[1, 10 * RATE :], 20) + 10


@pytest.mark.parametrize("sound", ["toads", "insects"])
def test_animals_are_heard_and_stay_below_their_peak(sound: str) -> None:
    made = getattr(synthetic, sound)(7, 2, 60 * RATE, RATE, peak=0.05)
    assert 0.01 < np.abs(made).max() <= 0.2
    assert np.abs(made[0, :-3] - made[1, 3:]).max() == 0


def test_a_boat_is_loudest_when_it_is_nearest() -> None:
    made = synthetic.boat(8, 1, 60 * RATE, RATE, nearest=30.0, width=5.0, rms=0.1)[0]
    seconds = np.sqrt((made.reshape(60, RATE) ** 2).mean(axis=1))
    assert abs(int(seconds.argmax()) - 30) <= 2
    assert seconds[0] < seconds.max() / 5


def test_rain_falls_between_its_ends() -> None:
    made = synthetic.rain(9, 1, 60 * RATE, RATE, start=20.0, stop=40.0)[0]
    assert (made[: 20 * RATE] == 0).all()
    assert (made[40 * RATE :] == 0).all()
    assert np.std(made[28 * RATE : 32 * RATE]) > 1e-4


@pytest.mark.parametrize("encoding", synthetic.ENCODINGS)
def test_files_hold_the_samples(encoding: wave_writing.Encoding) -> None:
    """Read back by scipy, to half a step of the encoding."""
    sound = synthetic.water(10, 3, 5001, RATE, level=-60.0)
    data = synthetic.wave_bytes(sound, RATE, encoding, note="")
    rate, read = wavfile.read(io.BytesIO(data))
    bits = {"uint8": 8, "int16": 16, "int24": 32, "int32": 32, "float32": 1}[encoding]
    step = {"uint8": 7, "int16": 15, "int24": 23, "int32": 31, "float32": 24}[encoding]
    zero = 128 if encoding == "uint8" else 0
    assert rate == RATE
    assert np.abs((read.T - float(zero)) / 2 ** (bits - 1) - sound).max() <= 2.0**-step / 2 * 1.001


def test_the_head_says_that_it_is_synthetic_and_when_it_began() -> None:
    data = synthetic.wave_bytes(np.zeros((1, 10)), RATE, started=1_778_274_000.0)
    assert b"Synthetic: computed by a program" in data
    assert b"2026-05-08" + b"21:00:00" in data
    with wave.open(io.BytesIO(data)) as read:
        assert (read.getnframes(), read.getframerate(), read.getnchannels()) == (10, RATE, 1)


def test_what_is_beyond_full_scale_saturates() -> None:
    loud = np.array([[-2.0, -1.0, 0.0, 1.0, 2.0]])
    assert np.frombuffer(wave_writing.encoded(loud, "int16"), "<i2").tolist() == [
        -32768,
        -32768,
        0,
        32767,
        32767,
    ]


def test_an_unfinished_head_has_no_sizes_and_all_of_its_samples() -> None:
    sound = synthetic.water(11, 1, 100, RATE, level=-60.0)
    data = synthetic.wave_bytes(sound, RATE, finished=False)
    at = data.index(b"data")
    assert data[4:8] == data[at + 4 : at + 8] == b"\0" * 4
    assert len(data) - at - 8 == 200


def test_a_promise_and_a_zero_tail_are_written() -> None:
    sound = synthetic.water(12, 1, 100, RATE, level=-60.0)
    data = synthetic.wave_bytes(sound, RATE, promised=150, zero_tail=20)
    at = data.index(b"data")
    assert int.from_bytes(data[at + 4 : at + 8], "little") == 300
    assert data.endswith(b"\0" * 20)


def test_the_demo_is_the_same_bytes_at_every_run() -> None:
    """Regression: the digest was taken from its first version."""
    made = synthetic.demo()
    whole = b"".join(file.data for file in made)
    assert len(whole) < 1_500_000
    assert all("synthetic" in file.name for file in made)
    assert sha256(whole).hexdigest() == DEMO


DEMO = "3914f9f1454a4d3c39befc5e1afcbb7d33de42d20e6c997554687ece08b67070"
