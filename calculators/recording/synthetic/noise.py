"""Noise with the shape that water has, and noise of the chain."""

from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from calculators.recording.arrays import Signal

Stream = np.random.RandomState
"""The older generator on purpose: what it draws from a seed is promised never to change."""

SOUND_SPEED = 1450.0
"""m/s, of cool fresh water (rounded; sets only how alike two hydrophones are)."""

LOW_CORNER = 5.0
"""Hz: the front end's high-pass, without which a slope would run off towards zero."""

FILTER_FROM = 0.9
"""Part of half the sample rate from which the converter's filter falls."""


def stream(seed: int, name: str) -> Stream:
    """Random numbers for one named part of a recording, the same at every run."""
    return Stream([seed, crc32(name.encode())])


def shaped(
    random: Stream, frames: int, rate: int, level: float, slope: float, corner: float = LOW_CORNER
) -> NDArray[np.float64]:
    """Gaussian noise whose density falls or rises evenly.

    Args:
        random: Where the numbers come from.
        frames: How many, at least 2.
        rate: Sample rate; Hz.
        level: Density at 1 kHz; dB re 1 FS²/Hz, one-sided.
        slope: dB a decade; −17 for quiet fresh water, −30 for flow.
        corner: High-pass of the first order; Hz, above zero.

    Returns:
        Shape (frames,).
    """
    spectrum = np.fft.rfft(random.standard_normal(frames))
    frequency = np.asarray(np.fft.rfftfreq(frames, 1 / rate), dtype=np.float64)
    frequency[0] = frequency[1]
    # White noise of variance 1 has a density of 2 / rate.
    density = 10 ** (level / 10) * (frequency / 1000) ** (slope / 10)
    gain = np.sqrt(density * rate / 2) * _passed(frequency, rate, corner)
    spectrum *= gain
    spectrum[0] = 0.0
    return np.fft.irfft(spectrum, frames)


def _passed(frequency: NDArray[np.float64], rate: int, corner: float) -> NDArray[np.float64]:
    """What high-pass and converter filter leave, as a factor of the amplitude."""
    ratio = frequency / corner
    high = ratio / np.sqrt(1 + ratio * ratio)
    over = np.clip((frequency / (rate / 2) - FILTER_FROM) / (1 - FILTER_FROM), 0, 1)
    return np.asarray(high * 10 ** (-3 * over))


def water(
    seed: int,
    channels: int,
    frames: int,
    rate: int,
    level: float = -108.0,
    slope: float = -17.0,
    spacing: float = 0.95,
) -> Signal:
    """Noise of the water at hydrophones that stand apart.

    It comes alike from all sides: two hydrophones have a coherence of sin(kd)/(kd) in amplitude,
    k the wave number and d the spacing. Every channel has that with the first one.

    Args:
        seed: Any whole number.
        channels: One or more.
        frames: In each channel.
        rate: Sample rate; Hz.
        level: Density at 1 kHz; dB re 1 FS²/Hz.
        slope: dB a decade.
        spacing: Between the first hydrophone and each other; m.
    """
    first = shaped(stream(seed, "water 0"), frames, rate, level, slope)
    signal = np.empty((channels, frames))
    signal[0] = first
    if channels == 1:
        return signal
    spectrum = np.fft.rfft(first)
    frequency = np.fft.rfftfreq(frames, 1 / rate)
    alike = np.sinc(2 * frequency * spacing / SOUND_SPEED)
    for channel in range(1, channels):
        own = shaped(stream(seed, f"water {channel}"), frames, rate, level, slope)
        mixed = alike * spectrum + np.sqrt(1 - alike * alike) * np.fft.rfft(own)
        signal[channel] = np.fft.irfft(mixed, frames)
    return signal


def converter_noise(
    seed: int, channels: int, frames: int, rate: int, level: float = -128.0
) -> Signal:
    """White noise of front end and converter, another in each channel.

    Args:
        seed: Any whole number.
        channels: One or more.
        frames: In each channel.
        rate: Sample rate; Hz.
        level: Density; dB re 1 FS²/Hz.
    """
    deviation = np.sqrt(10 ** (level / 10) * rate / 2)
    return np.array(
        [
            deviation * stream(seed, f"converter {channel}").standard_normal(frames)
            for channel in range(channels)
        ]
    )
