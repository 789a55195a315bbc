"""A check of noise that nobody recorded: after it, a browser has compiled what a check is made of.

A browser compiles WebAssembly twice: at once and slow, then again and fast what runs often. Done
while a page waits for files, that second time takes nothing from the check of a recording.
"""

import json
from collections.abc import Iterator
from struct import pack

import numpy as np
from numpy.typing import NDArray

from calculators.recording.bridge_ops import Desk

RATE, CHANNELS, BYTES = 96_000, 2, 3
"""A usual recording of this kind takes every step there is."""

SECONDS = 8
ROUNDS = 4
"""After so many times that many seconds hardly anything is left to be compiled."""


def noise_file() -> bytes:
    """A WAVE file of noise, the same each time."""
    frames = RATE * SECONDS
    sound = _noise(frames * CHANNELS).view(np.uint8).reshape(-1, 4)[:, :BYTES].tobytes()
    frame = CHANNELS * BYTES
    kind = pack("<HHIIHH", 1, CHANNELS, RATE, RATE * frame, frame, 8 * BYTES)
    head = b"WAVEfmt " + pack("<I", len(kind)) + kind + b"data" + pack("<I", len(sound))
    return b"RIFF" + pack("<I", len(head) + len(sound)) + head + sound


def _noise(count: int) -> NDArray[np.int32]:
    """Numbers from −2048 to 2047, well stirred: the page's numpy has no random numbers."""
    stirred = np.arange(count, dtype=np.uint32)
    for factor in (0x7FEB352D, 0x846CA68B):
        stirred ^= stirred >> 16
        stirred *= np.uint32(factor)
    return (stirred >> 20).astype("<i4") - 2048


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
