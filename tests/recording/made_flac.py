"""FLAC files put together by hand, block by block, after RFC 9639: samples as they are, unpacked.

So blocks may have any size, and sizes may change within a file, which soundfile does not write.
"""

from collections.abc import Sequence
from functools import cache
from itertools import accumulate

import numpy as np

_BITS = {8: 1, 12: 2, 16: 4, 20: 5, 24: 6, 32: 7}


@cache
def _row(polynomial: int, width: int) -> tuple[int, ...]:
    """The check of each single byte, bit by bit, as the text says it."""
    top, mask = 1 << width - 1, (1 << width) - 1
    rows = []
    for byte in range(256):
        value = byte << width - 8
        for _ in range(8):
            value = (value << 1 ^ polynomial if value & top else value << 1) & mask
        rows.append(value)
    return tuple(rows)


def crc(polynomial: int, width: int, data: bytes) -> int:
    """RFC 9639, sections 9.1.8 and 9.3."""
    row, value, mask = _row(polynomial, width), 0, (1 << width) - 1
    for byte in data:
        value = value << 8 & mask ^ row[value >> width - 8 ^ byte]
    return value


def coded_number(number: int) -> bytes:
    """RFC 9639, section 9.1.5: as UTF-8 codes letters, up to 36 bits."""
    if number < 0x80:
        return bytes([number])
    more = next(n for n in range(1, 7) if number < 1 << (6 * n + 6 - n if n < 6 else 36))
    rest = [0x80 | number >> 6 * n & 0x3F for n in range(more)][::-1]
    first = 0xFF << 7 - more & 0xFF | number >> 6 * more
    return bytes([first, *rest])


def block(values: np.ndarray, bits: int, number: int, variable: bool = False) -> bytes:
    """One block of samples as they are: values (frames, channels), at least 16 frames."""
    frames, channels = values.shape
    head = bytes([0xFF, 0xF8 | variable, 7 << 4, (channels - 1) << 4 | _BITS[bits] << 1])
    head += coded_number(number) + (frames - 1).to_bytes(2, "big")
    head += bytes([crc(0x07, 8, head)])
    size = bits // 8
    body = b""
    for channel in range(channels):
        high = np.ascontiguousarray(values[:, channel], dtype=">i4").view(np.uint8).reshape(-1, 4)
        body += b"\x02" + high[:, 4 - size :].tobytes()  # a subframe that is "verbatim"
    data = head + body
    return data + crc(0x8005, 16, data).to_bytes(2, "big")


def metadata(kind: int, body: bytes, last: bool = False) -> bytes:
    """One block of metadata."""
    return bytes([kind | 0x80 * last]) + len(body).to_bytes(3, "big") + body


def stream_info(sizes: Sequence[int], rate: int, channels: int, bits: int, frames: int) -> bytes:
    """RFC 9639, section 8.2, without sizes of blocks in bytes and without a digest."""
    packed = rate << 44 | (channels - 1) << 41 | (bits - 1) << 36 | frames
    ends = min(sizes[:-1] or sizes), max(sizes)
    return (
        b"".join(n.to_bytes(2, "big") for n in ends)
        + bytes(6)
        + packed.to_bytes(8, "big")
        + bytes(16)
    )


def flac(
    values: np.ndarray,
    bits: int = 16,
    rate: int = 48_000,
    size: int | Sequence[int] = 4096,
    between: bytes = b"",
    promised: int | None = None,
) -> bytes:
    """A whole file.

    Args:
        values: Whole numbers (frames, channels).
        bits: 8, 16 or 24; others only to be refused.
        rate: Hz.
        size: Frames of each block; several sizes: one after another, as long as there are frames.
        between: Metadata between stream info and sound.
        promised: Frames by the header, if it is not the truth.
    """
    variable = not isinstance(size, int)
    sizes = [size] if isinstance(size, int) else list(size)
    while sum(sizes) < len(values):
        sizes += sizes
    starts = [at for at in accumulate(sizes, initial=0) if at < len(values)]
    blocks = [
        block(values[at : at + length], bits, at if variable else n, variable)
        for n, (at, length) in enumerate(zip(starts, sizes, strict=False))
    ]
    frames = len(values) if promised is None else promised
    info = stream_info(sizes[: len(starts)], rate, values.shape[1], bits, frames)
    end = b"" if between else b"\x80"
    first = metadata(0, info, last=bool(end))
    return b"fLaC" + first + between + b"".join(blocks)
