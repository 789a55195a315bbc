"""Made signals as WAVE files, whole ones and such as a recorder leaves that died.

Layout of RIFF and WAVE by its published description; the chunk ``bext`` by EBU Tech 3285.
"""

from datetime import UTC, datetime
from struct import pack
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from calculators.recording.arrays import Signal
from calculators.recording.samples import MIDDLE

Encoding = Literal["uint8", "int16", "int24", "int32", "float32"]
BITS: dict[Encoding, int] = {
    "uint8": 8,
    "int16": 16,
    "int24": 24,
    "int32": 32,
    "float32": 32,
}
ENCODINGS: tuple[Encoding, ...] = tuple(BITS)

NOTE = "Synthetic: computed by a program, not recorded. Nothing in it was ever in any water."

PCM, IEEE_FLOAT = 1, 3
"""Format tags of the ``fmt `` chunk."""


def encoded(signal: Signal, encoding: Encoding) -> bytes:
    """Samples, channel by channel within a frame; whole numbers saturate as a converter does."""
    frames = np.ascontiguousarray(signal.T)
    if encoding == "float32":
        return frames.astype("<f4").tobytes()
    steps = 2.0 ** (BITS[encoding] - 1)
    whole = np.clip(np.rint(frames * steps), -steps, steps - 1).astype("<i4")
    if encoding == "uint8":
        return (whole + MIDDLE).astype(np.uint8).tobytes()
    if encoding == "int24":
        return _three_bytes(whole)
    return whole.astype("<i2" if encoding == "int16" else "<i4").tobytes()


def _three_bytes(whole: NDArray[np.int32]) -> bytes:
    return whole.view(np.uint8).reshape(-1, 4)[:, :3].tobytes()


def chunk(name: bytes, body: bytes) -> bytes:
    """One chunk, padded to an even length."""
    return name + pack("<I", len(body)) + body + b"\0" * (len(body) % 2)


def wave_bytes(
    signal: Signal,
    rate: int,
    encoding: Encoding = "int16",
    started: float | None = None,
    *,
    note: str = NOTE,
    finished: bool = True,
    promised: int | None = None,
    zero_tail: int = 0,
) -> bytes:
    """A WAVE file.

    Args:
        signal: Shape (channels, frames).
        rate: Sample rate; Hz.
        encoding: Of the samples.
        started: When it began, written into ``bext``; s since 1970, UTC.
        note: Words for the comment in the head; empty for none.
        finished: Whether the recorder lived to write the sizes; else they are 0.
        promised: Frames that the head promises, if other than there are.
        zero_tail: So many of the last bytes are zero, as of blocks that were never written.
    """
    channels, frames = signal.shape
    body = encoded(signal, encoding)
    if zero_tail:
        body = body[: len(body) - zero_tail] + b"\0" * zero_tail
    size = channels * BITS[encoding] // 8
    head = _format(channels, rate, encoding) + _comment(note) + _broadcast(note, started)
    length = (frames if promised is None else promised) * size if finished else 0
    data = b"data" + pack("<I", length) + body + b"\0" * (len(body) % 2)
    whole = len(head) + 12 + length + length % 2 if finished else 0
    return b"RIFF" + pack("<I", whole) + b"WAVE" + head + data


def _format(channels: int, rate: int, encoding: Encoding) -> bytes:
    tag = IEEE_FLOAT if encoding == "float32" else PCM
    bits = BITS[encoding]
    frame = channels * bits // 8
    return chunk(b"fmt ", pack("<HHIIHH", tag, channels, rate, rate * frame, frame, bits))


def _comment(note: str) -> bytes:
    if not note:
        return b""
    return chunk(b"LIST", b"INFO" + chunk(b"ICMT", note.encode("ascii") + b"\0"))


def _broadcast(note: str, started: float | None) -> bytes:
    """Description, originator, its reference, date, time; the rest of version 1 is zero."""
    if started is None:
        return b""
    when = datetime.fromtimestamp(started, UTC)
    fields = (
        (note, 256),
        ("synthetic", 32),
        ("", 32),
        (f"{when:%Y-%m-%d}", 10),
        (f"{when:%H:%M:%S}", 8),
    )
    text = b"".join(words.encode("ascii")[:room].ljust(room, b"\0") for words, room in fields)
    return chunk(b"bext", text + pack("<QH", 0, 1) + bytes(64 + 190))
