"""What may be heard in the water of the scenario: animals, a boat, rain, a knock.

Rhythms and levels are invented; they have the kind of shape that the real ones have. Each function
gives the sound alone, to be added. Every channel hears it, ``delay`` frames later than the one
before it.
"""

import numpy as np
from numpy.typing import NDArray

from calculators.recording.arrays import Signal
from calculators.recording.synthetic.noise import Stream, shaped, stream

DELAY = 3
"""Frames between neighbouring channels, for sound from one side."""


UNEVEN = 0.004
"""Part of its turns a second by which a boat's shaft wanders, as a standard deviation."""


def _to_channels(sound: NDArray[np.float64], channels: int, delay: int = DELAY) -> Signal:
    signal = np.zeros((channels, sound.size))
    for channel in range(channels):
        late = channel * delay
        signal[channel, late:] = sound[: sound.size - late]
    return signal


def _pulse(rate: int, seconds: float, carrier: float) -> NDArray[np.float64]:
    """A tone that swells and fades within its time; peak 1."""
    time = np.arange(int(seconds * rate)) / rate
    return np.asarray(np.sin(np.pi * time / seconds) ** 2 * np.sin(2 * np.pi * carrier * time))


def _put(sound: NDArray[np.float64], pulse: NDArray[np.float64], at: int) -> None:
    """Add a pulse; what stands over the end is left out."""
    end = min(sound.size, at + pulse.size)
    if at < end:
        sound[at:end] += pulse[: end - at]


def toads(
    seed: int, channels: int, frames: int, rate: int, peak: float = 0.05, calls_a_minute: float = 12
) -> Signal:
    """Calls of toads: trains of 8 to 20 pulses, 30 a second, of a tone near 1.3 kHz.

    Args:
        seed: Any whole number.
        channels: One or more.
        frames: In each channel.
        rate: Sample rate; Hz, 4 kHz or more.
        peak: Of the loudest call, in full scale.
        calls_a_minute: On the average.
    """
    random, sound = stream(seed, "toads"), np.zeros(frames)
    for _ in range(_how_many(random, calls_a_minute, frames, rate)):
        carrier, loud = random.uniform(1150, 1450), peak * random.uniform(0.2, 1)
        pulse = loud * _pulse(rate, 0.02, carrier)
        start = random.randint(frames)
        for number in range(random.randint(8, 21)):
            _put(sound, pulse, start + int(number * rate / 30))
    return _to_channels(sound, channels)


def insects(
    seed: int,
    channels: int,
    frames: int,
    rate: int,
    peak: float = 0.02,
    rows_a_minute: float = 40,
) -> Signal:
    """Clicks of water insects: rows of 10 to 60 clicks of a millisecond, 60 to 120 a second.

    Args:
        seed: Any whole number.
        channels: One or more.
        frames: In each channel.
        rate: Sample rate; Hz, 4 kHz or more.
        peak: Of the loudest click, in full scale.
        rows_a_minute: On the average.
    """
    random, sound = stream(seed, "insects"), np.zeros(frames)
    for _ in range(_how_many(random, rows_a_minute, frames, rate)):
        carrier = random.uniform(0.25, 0.42) * rate
        click = peak * random.uniform(0.2, 1) * _pulse(rate, 0.001, carrier)
        start, step = random.randint(frames), rate / random.uniform(60, 120)
        for number in range(random.randint(10, 61)):
            _put(sound, click, start + int(number * step))
    return _to_channels(sound, channels)


def _how_many(random: Stream, a_minute: float, frames: int, rate: int) -> int:
    return int(random.poisson(a_minute * frames / rate / 60))


def boat(
    seed: int,
    channels: int,
    frames: int,
    rate: int,
    nearest: float,
    width: float = 8.0,
    rms: float = 0.03,
    shaft: float = 13.7,
) -> Signal:
    """A boat that passes: a hiss, and lines at multiples of the shaft that is never quite even.

    Args:
        seed: Any whole number.
        channels: One or more.
        frames: In each channel.
        rate: Sample rate; Hz.
        nearest: When it is nearest; s.
        width: For so long it is more than half as loud, to either side; s.
        rms: When nearest, in full scale.
        shaft: Turns a second.
    """
    random, time = stream(seed, "boat"), np.arange(frames) / rate
    slow = shaped(random, frames, rate, 0.0, -20.0, 0.05)
    turns = np.cumsum(shaft * (1 + UNEVEN * slow / np.std(slow))) / rate
    lines = sum(
        (
            np.sin(2 * np.pi * (number * turns + random.uniform())) / number
            for number in range(1, 13)
        ),
        start=np.zeros(frames),
    )
    hiss = shaped(random, frames, rate, 0.0, -10.0, 50.0)
    both = lines / np.std(lines) + hiss / np.std(hiss)
    near = 1 / (1 + ((time - nearest) / width) ** 2)
    return _to_channels(rms / np.sqrt(2) * near * both, channels)


def rain(
    seed: int,
    channels: int,
    frames: int,
    rate: int,
    start: float,
    stop: float,
    level: float = -90.0,
) -> Signal:
    """A shower: noise from above, flat, that comes within some seconds and goes again.

    Args:
        seed: Any whole number.
        channels: One or more; drops fall at other places over each hydrophone.
        frames: In each channel.
        rate: Sample rate; Hz.
        start: s.
        stop: s.
        level: Density at 1 kHz; dB re 1 FS²/Hz.
    """
    time = np.arange(frames) / rate
    ramp = max((stop - start) / 8, 0.1)
    envelope = np.clip((time - start) / ramp, 0, 1) * np.clip((stop - time) / ramp, 0, 1)
    # A flat spectrum that falls off below some hundred hertz.
    return np.array(
        [
            envelope * shaped(stream(seed, f"rain {channel}"), frames, rate, level, 2.0, 400.0)
            for channel in range(channels)
        ]
    )


def drizzle(
    seed: int, channels: int, frames: int, rate: int, peak: float = 0.004, drops: float = 400.0
) -> Signal:
    """Light rain: the bubble that each small drop leaves behind rings near 14 kHz.

    Where the top lies is measured (13 kHz to 15 kHz in light rain on a lake); how the notes scatter
    about it and how fast they fade is invented.

    Args:
        seed: Any whole number.
        channels: One or more.
        frames: In each channel.
        rate: Sample rate; Hz, 40 kHz or more.
        peak: Of the loudest drop, in full scale.
        drops: A second, on the average.
    """
    random, sound = stream(seed, "drizzle"), np.zeros(frames)
    time = np.arange(int(0.002 * rate)) / rate
    for at in random.randint(frames, size=int(drops * frames / rate)):
        note = 14e3 * 2 ** random.normal(0, 0.12)
        ring = np.exp(-time / 0.0004) * np.sin(2 * np.pi * note * time)
        _put(sound, peak * random.uniform(0.1, 1) * ring, int(at))
    return _to_channels(sound, channels)


def knock(channels: int, frames: int, rate: int, at: float, peak: float) -> Signal:
    """Something hits the case: 60 Hz to 400 Hz, gone within half a second.

    Args:
        channels: One or more.
        frames: In each channel.
        rate: Sample rate; Hz.
        at: s.
        peak: In full scale; above 1 it clips.
    """
    time = np.arange(int(0.5 * rate)) / rate
    tones = np.sin(2 * np.pi * np.outer((83.0, 177.0, 391.0), time)).sum(axis=0)
    thud = np.exp(-time / 0.06) * tones
    sound = np.zeros(frames)
    _put(sound, peak * thud / np.abs(thud).max(), int(at * rate))
    return _to_channels(sound, channels, 0)
