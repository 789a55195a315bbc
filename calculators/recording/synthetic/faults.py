"""Faults, each at a place that is known, so that a check can be held against them.

Each takes a signal and gives a new one. The order is that of the chain: what happens in the water
before ``converter_noise`` is added, what happens in the recorder after it.
"""

import numpy as np

from calculators.recording.arrays import Signal
from calculators.recording.synthetic.noise import converter_noise, shaped, stream

Channels = int | None
"""One channel, or None for all of them."""


def _chosen(signal: Signal, channel: Channels) -> range:
    return range(signal.shape[0]) if channel is None else range(channel, channel + 1)


def clipped(
    signal: Signal, upper: float, lower: float | None = None, channel: Channels = None
) -> Signal:
    """Flat tops at ``upper`` and ``lower`` (its negative unless given), in full scale.

    Below 1 it is a stage before the converter that clips.
    """
    new = signal.copy()
    bottom = -upper if lower is None else lower
    for row in _chosen(signal, channel):
        new[row] = np.clip(new[row], bottom, upper)
    return new


def offset(signal: Signal, amount: float, channel: Channels = None) -> Signal:
    """A direct voltage at the converter, in full scale."""
    new = signal.copy()
    for row in _chosen(signal, channel):
        new[row] += amount
    return new


def dead(
    signal: Signal, rate: int, channel: int, noise: float | None = None, seed: int = 0
) -> Signal:
    """A channel without a hydrophone: zeros, or noise of the converter, dB re 1 FS²/Hz."""
    new = signal.copy()
    new[channel] = 0.0
    if noise is not None:
        new[channel] = converter_noise(seed + 1, 1, signal.shape[1], rate, noise)[0]
    return new


def identical(signal: Signal, source: int = 0, copy: int = 1) -> Signal:
    """One channel written twice."""
    new = signal.copy()
    new[copy] = new[source]
    return new


def swapped(signal: Signal, channel: int) -> Signal:
    """The two wires of an element the wrong way round."""
    new = signal.copy()
    new[channel] *= -1
    return new


def dropped(signal: Signal, start: int, length: int, channel: Channels = None) -> Signal:
    """Zeros for ``length`` frames from ``start``."""
    new = signal.copy()
    for row in _chosen(signal, channel):
        new[row, start : start + length] = 0.0
    return new


def repeated(signal: Signal, start: int, block: int, times: int = 1) -> Signal:
    """A buffer written again: the ``block`` frames before ``start`` stand there once more."""
    new = signal.copy()
    source = signal[:, start - block : start]
    for number in range(times):
        at = start + number * block
        room = max(0, min(block, signal.shape[1] - at))
        new[:, at : at + room] = source[:, :room]
    return new


def hum(
    signal: Signal,
    rate: int,
    mains: float,
    rms: float,
    multiples: tuple[float, ...] = (1.0, 0.3, 0.5, 0.1, 0.3),
    channel: Channels = None,
) -> Signal:
    """Mains: lines at its multiples, steady.

    Args:
        signal: Is left as it is.
        rate: Sample rate; Hz.
        mains: 50 or 60 Hz, or a little beside it: large grids keep within 0.2 Hz [grid-frequency].
        rms: Of a multiple whose weight is 1, in full scale.
        multiples: Weight of the first, second, … multiple.
        channel: One, or all.
    """
    time = np.arange(signal.shape[1]) / rate
    lines = np.zeros(signal.shape[1])
    for number, weight in enumerate(multiples, 1):
        if weight and number * mains < rate / 2:
            lines += weight * np.sin(2 * np.pi * number * mains * time + number)
    new = signal.copy()
    for row in _chosen(signal, channel):
        new[row] += np.sqrt(2) * rms * lines
    return new


def strumming(
    signal: Signal,
    rate: int,
    fundamental: float,
    rms: float,
    wander: float = 0.08,
    seed: int = 0,
) -> Signal:
    """A line that sings: multiples that slide together with the current, swelling and fading.

    Args:
        signal: Is left as it is.
        rate: Sample rate; Hz.
        fundamental: On the average; Hz.
        rms: Of the first multiple on the average, in full scale.
        wander: Part of the fundamental by which it wanders, as a standard deviation.
        seed: Any whole number.
    """
    frames = signal.shape[1]
    random = stream(seed, "strumming")
    slow = shaped(random, frames, rate, 0.0, -20.0, 0.02)
    pitch = fundamental * (1 + wander * slow / np.std(slow))
    phase = np.cumsum(pitch) / rate
    swell = shaped(random, frames, rate, 0.0, -20.0, 0.05)
    loud = np.clip(1 + 0.4 * swell / np.std(swell), 0.1, None)
    lines = np.zeros(frames)
    for number in range(1, 6):
        lines += np.sin(2 * np.pi * number * phase) / number
    return np.asarray(signal + np.sqrt(2) * rms * loud * lines)


def flow(signal: Signal, rate: int, level: float, seed: int = 0) -> Signal:
    """Water that streams past: a density that falls with the cube of frequency, in gusts.

    Args:
        signal: Is left as it is.
        rate: Sample rate; Hz.
        level: Density at 10 Hz; dB re 1 FS²/Hz.
        seed: Any whole number; every channel has eddies of its own.
    """
    frames = signal.shape[1]
    new = signal.copy()
    gusts = shaped(stream(seed, "gusts"), frames, rate, 0.0, -20.0, 0.1)
    strength = np.exp(0.3 * gusts / np.std(gusts))
    for row in range(signal.shape[0]):
        eddies = shaped(stream(seed, f"flow {row}"), frames, rate, level - 60.0, -30.0)
        new[row] += strength * eddies
    return new


def quieter(signal: Signal, start: int, loss: float, channel: Channels = None) -> Signal:
    """Sensitivity lost from frame ``start`` on, by ``loss`` dB; before converter noise is added."""
    new = signal.copy()
    for row in _chosen(signal, channel):
        new[row, start:] *= 10 ** (-loss / 20)
    return new


def flooded(
    signal: Signal,
    rate: int,
    start: int,
    channel: int,
    level: float,
    loss: float = 12.0,
    seed: int = 0,
) -> Signal:
    """Water in a hydrophone: leakage noise low down, all at once, and little of the sound left.

    Args:
        signal: Is left as it is.
        rate: Sample rate; Hz.
        start: First frame of it.
        channel: Which.
        level: Density of the new noise at 10 Hz; dB re 1 FS²/Hz; it falls 20 dB a decade.
        loss: Of sensitivity; dB.
        seed: Any whole number.
    """
    new = quieter(signal, start, loss, channel)
    noise = shaped(stream(seed, "flooded"), signal.shape[1] - start, rate, level - 40.0, -20.0)
    new[channel, start:] += noise
    return new


def jumps(
    signal: Signal,
    rate: int,
    start: int,
    stop: int,
    channel: int,
    a_minute: float,
    size: float,
    seed: int = 0,
) -> Signal:
    """A cable that fails: steps that decay, each with a moment without sound.

    Args:
        signal: Is left as it is.
        rate: Sample rate; Hz.
        start: First frame where they may come.
        stop: They end before this frame.
        channel: Which.
        a_minute: How many on the average; at least one comes.
        size: Of the largest, in full scale.
        seed: Any whole number.
    """
    new, random = signal.copy(), stream(seed, "jumps")
    count = max(1, int(random.poisson(a_minute * (stop - start) / rate / 60)))
    for at in np.sort(random.randint(start, stop, count)):
        length = min(int(rate * random.uniform(0.05, 0.4)), stop - int(at))
        decay = np.exp(-np.arange(length) / (0.05 * rate))
        step = size * random.uniform(0.5, 1) * random.choice((-1, 1))
        new[channel, at : at + length] = 0.1 * new[channel, at : at + length] + step * decay
    return new


def low_cut(
    signal: Signal, rate: int, corner: float, order: int, channel: Channels = None
) -> Signal:
    """A low cut left on: a Butterworth high-pass without its delay.

    Args:
        signal: Is left as it is.
        rate: Sample rate; Hz.
        corner: Where it has 3 dB; Hz, above zero.
        order: It falls by 20 dB a decade times this.
        channel: One, or all.
    """
    frequency = np.fft.rfftfreq(signal.shape[1], 1 / rate)
    ratio = (frequency / corner) ** order
    return _filtered(signal, ratio / np.sqrt(1 + ratio * ratio), channel)


def band_limited(
    signal: Signal, rate: int, edge: float, depth: float, channel: Channels = None
) -> Signal:
    """Sound that was squeezed, or had a lower sample rate once: next to nothing above an edge.

    Args:
        signal: Is left as it is.
        rate: Sample rate; Hz.
        edge: Up to here all is left, and from 2 % above it next to nothing; Hz.
        depth: What is left there; dB below what was.
        channel: One, or all.
    """
    frequency = np.fft.rfftfreq(signal.shape[1], 1 / rate)
    fall = np.clip((frequency / edge - 1) / 0.02, 0, 1)
    return _filtered(signal, 10 ** (-depth / 20 * fall), channel)


def _filtered(signal: Signal, gain: Signal, channel: Channels) -> Signal:
    new = signal.copy()
    for row in _chosen(signal, channel):
        new[row] = np.fft.irfft(np.fft.rfft(signal[row]) * gain, signal.shape[1])
    return new


def coarser(signal: Signal, bits: int) -> Signal:
    """Samples of so many bits, whatever they are written with."""
    steps = 2.0 ** (bits - 1)
    return np.clip(np.rint(signal * steps), -steps, steps - 1) / steps
