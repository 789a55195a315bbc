"""A check of noise that nobody recorded: after it, a browser has compiled what a check is made of.

A browser compiles WebAssembly twice: at once and slow, then again and fast what runs often. Done
while a page waits for files, that second time takes nothing from the check of a recording.
"""

import json
from collections.abc import Iterator

import numpy as np

from calculators.recording.arrays import Signal
from calculators.recording.bridge_ops import Desk
from calculators.recording.wave_writing import wave_bytes

RATE, CHANNELS = 96_000, 2
"""A usual recording of this kind, of 24 bits, takes every step there is."""

SECONDS = 4
"""Short enough that to make it takes no more memory than a check does."""

ROUNDS = 8
"""After so many times that many seconds hardly anything is left to be compiled."""


def noise_file() -> bytes:
    """A WAVE file of noise, the same each time."""
    return wave_bytes(_noise(RATE * SECONDS), RATE, "int24")


def _noise(frames: int) -> Signal:
    """Well stirred, up to 72 dB below full scale: the page's numpy has no random numbers."""
    stirred = np.arange(CHANNELS * frames, dtype=np.uint32).reshape(CHANNELS, frames)
    for factor in (0x7FEB352D, 0x846CA68B):
        stirred ^= stirred >> 16
        stirred *= np.uint32(factor)
    return stirred / 2.0**43 - 2.0**-12


def steps() -> Iterator[None]:
    """The work, a fraction of a second at a time: whoever waits for files may leave it when some
    come."""
    data = noise_file()
    listed = json.dumps([{"name": "noise.wav", "size": len(data)}])
    for _ in range(ROUNDS):
        desk = Desk()
        desk.open(listed, lambda _, offset, length: data[offset : offset + length])
        desk.begin(0, 0, RATE * SECONDS)
        while wanted := desk.wants():
            offset, length = wanted
            desk.buffer[:length] = np.frombuffer(data, np.uint8, length, offset)
            desk.add(length)
            yield
        desk.end()
        desk.keep()
        yield
    desk.call('{"op": "report", "level": null, "width": 720}')
