"""A moment of a recording as sound for ears: as it is, slowed, or shifted down; never sudden, never
above a ceiling.

All of it is a change of spectrum: the part that ears are to have is cut out of the moment's
Fourier transform and set down at the rate that it is played at. A shift moves every frequency by
the same amount, so what was above hearing is heard, and intervals are no longer what they were;
slowing keeps them, and takes longer.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from calculators.errors import InputError

Floats = NDArray[np.float64]

FASTEST, SLOWEST = 48_000, 8_000
"""Rates (Hz) at which sound is given out: what every browser plays."""

LOWEST_HEARD = 15.0
"""Below it (Hz, as it is played) nothing is given out: no ear hears it, a loudspeaker suffers."""

SLOWER = (1, 2, 4, 8, 16)
MOST_FRAMES = 1 << 21
"""Of one moment: its transform has to fit into memory."""

MOST_PLAYED = 1 << 22
"""Frames given out at most, as a slowed moment grows."""

CEILING = 0.4
"""The largest sample given out, 1 being what a sound card can do (about −8 dB)."""

WANTED = 0.03
"""What the root mean square is raised to (about −30 dB) where nobody says by how much."""

MOST_RAISED = 60.0
FADE_IN, FADE_OUT = 0.5, 0.05
"""Seconds over which it begins and ends."""

BLOCK = 0.005
"""Seconds of one step of the limiter's gain."""

HOLD = 12
"""Steps before and after a peak over which the gain comes down and goes up again."""


@dataclass(frozen=True)
class Sound:
    """What is played."""

    samples: NDArray[np.float32]
    """Shape (channels, frames), none beyond ``CEILING``."""

    rate: int
    raised: float
    """dB by which it is louder than a sound card at full volume would play the file."""

    limited: float
    """dB by which its loudest moment was held down; 0 if it was not."""


def audible(
    samples: Floats,
    rate: int,
    *,
    slower: int = 1,
    shift: float = 0.0,
    raised: float | None = None,
) -> Sound:
    """A moment as sound for ears.

    Args:
        samples: Full scale is 1; shape (channels, frames), at most ``MOST_FRAMES`` frames.
        rate: Their rate, Hz.
        slower: How many times slower it is played; one of ``SLOWER``.
        shift: Hz by which every frequency is lowered; what lies below it is not heard.
        raised: dB by which it is made louder, 0 to ``MOST_RAISED``; None: as much as brings it to
            an easy level.

    Raises:
        InputError: If an argument is out of its range.
    """
    _require(samples, rate, slower, shift, raised)
    out_rate = int(min(max(rate / slower, SLOWEST), FASTEST))
    moved = _moved(samples, rate, slower, shift, out_rate)
    gain = _easy(moved) if raised is None else raised
    louder = moved * 10 ** (gain / 20)
    held = limiter_gain(np.abs(louder).max(axis=0), max(1, round(BLOCK * out_rate)))
    faded = louder * held * _fades(louder.shape[1], out_rate)
    limited = -20 * float(np.log10(held.min()))
    return Sound(faded.astype(np.float32), out_rate, gain, max(0.0, limited))


def _require(samples: Floats, rate: int, slower: int, shift: float, raised: float | None) -> None:
    frames = samples.shape[-1]
    if not 0 < frames <= MOST_FRAMES:
        most = MOST_FRAMES / rate
        raise InputError("seconds", f"Give a moment of more than 0 s and at most {most:.3g} s.")
    if slower not in SLOWER:
        raise InputError("slower", f"{slower} times slower: give one of {SLOWER}.")
    if not 0 <= shift < rate / 2:
        raise InputError("shift", f"{shift:g} Hz: give 0 Hz to less than {rate / 2:g} Hz.")
    if raised is not None and not 0 <= raised <= MOST_RAISED:
        raise InputError("raised", f"{raised:g} dB: give 0 dB to {MOST_RAISED:g} dB.")


def _moved(samples: Floats, rate: int, slower: int, shift: float, out_rate: int) -> Floats:
    """The part that ears are to have, at the rate at which it is played."""
    frames = samples.shape[1]
    played = round(frames * slower * out_rate / rate)
    if played > MOST_PLAYED:
        most = MOST_PLAYED * rate / (slower * out_rate)
        raise InputError("seconds", f"So slow, give at most {most / rate:.3g} s.")
    step = rate / frames  # Hz between two lines of the transform
    first = round(shift / step)
    lines = min(frames // 2 + 1 - first, played // 2 + 1)
    lowest = min(lines, int(np.ceil(LOWEST_HEARD * slower / step)))
    moved = np.empty((len(samples), played))
    for channel, signal in enumerate(samples):
        spectrum = np.fft.rfft(signal)[first : first + lines]
        spectrum[:lowest] = 0
        moved[channel] = np.fft.irfft(spectrum, played) * (played / frames)
    return moved


def _easy(samples: Floats) -> float:
    """dB that bring a moment to an easy level: none where it is loud, at most ``MOST_RAISED``."""
    level = float(np.sqrt(np.mean(np.square(samples), axis=1).max()))
    if level <= 0:
        return 0.0
    return float(round(min(max(20 * np.log10(WANTED / level), 0.0), MOST_RAISED)))


def limiter_gain(loudest: Floats, block: int) -> Floats:
    """A gain, smooth over time, with which nothing is beyond the ceiling.

    Each block's gain is brought down over its neighbours on both sides, then averaged over fewer of
    them: so the average is nowhere above what the block itself needs.

    Args:
        loudest: The absolute value of the loudest channel, frame by frame.
        block: Frames of a block.
    """
    blocks = -(-len(loudest) // block)
    padded = np.zeros(blocks * block)
    padded[: len(loudest)] = loudest
    peaks = padded.reshape(blocks, block).max(axis=1)
    needed = CEILING / np.maximum(peaks, CEILING)
    lowered = _around(needed, HOLD + 1).min(axis=1)
    smooth = _around(lowered, HOLD).mean(axis=1)
    centres = (np.arange(blocks) + 0.5) * block
    gain: Floats = np.interp(np.arange(len(loudest)), centres, smooth)
    return gain


def _around(values: Floats, reach: int) -> Floats:
    """Each value with so many neighbours on both sides, ends repeated."""
    padded = np.pad(values, reach, mode="edge")
    views: Floats = np.lib.stride_tricks.sliding_window_view(padded, 2 * reach + 1)
    return views


def _fades(frames: int, rate: int) -> Floats:
    """Comes in and goes out along half a cosine."""
    gain = np.ones(frames)
    begin = min(frames, round(FADE_IN * rate))
    end = min(frames, round(FADE_OUT * rate))
    gain[:begin] *= 0.5 - 0.5 * np.cos(np.pi * np.arange(begin) / begin)
    gain[frames - end :] *= 0.5 + 0.5 * np.cos(np.pi * (np.arange(end) + 1) / end)
    return gain
