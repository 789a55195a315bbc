"""WAVE files put together by hand, chunk by chunk, whole or spoilt."""

from struct import pack

import numpy as np

from calculators.recording.layout import SAMPLE_BYTES, Layout
from calculators.recording.samples import Raw, raw_to_samples

OPEN = 0xFFFFFFFF
GUID_END = bytes.fromhex("000000001000800000aa00389b71")


def chunk(name: bytes, body: bytes, size: int | None = None, padded: bool = True) -> bytes:
    """One chunk; ``size`` is what its header says, if not the truth."""
    said = len(body) if size is None else size
    return name + pack("<I", said) + body + b"\0" * (len(body) % 2 * padded)


def fmt(
    bits: int = 16,
    channels: int = 1,
    rate: int = 48_000,
    tag: int = 1,
    block: int | None = None,
    byte_rate: int | None = None,
) -> bytes:
    """A format chunk of sixteen bytes."""
    block = channels * -(-bits // 8) if block is None else block
    byte_rate = rate * block if byte_rate is None else byte_rate
    return chunk(b"fmt ", pack("<HHIIHH", tag, channels, rate, byte_rate, block, bits))


def extensible(
    bits: int, channels: int, rate: int, tag: int = 1, valid: int | None = None
) -> bytes:
    """A format chunk of forty bytes."""
    block = channels * bits // 8
    head = pack("<HHIIHH", 0xFFFE, channels, rate, rate * block, block, bits)
    tail = pack("<HHIH", 22, valid or bits, 0, tag) + GUID_END
    return chunk(b"fmt ", head + tail)


def bext(date: bytes, time: bytes, count: int, description: bytes = b"") -> bytes:
    """A broadcast extension chunk of version 1: EBU Tech 3285, section 2.3."""
    return chunk(
        b"bext",
        description.ljust(256, b"\0")
        + b"\0" * 64
        + date.ljust(10, b"\0")
        + time.ljust(8, b"\0")
        + pack("<QH", count, 1)
        + b"\0" * 254,
    )


def riff(*chunks: bytes, outer: bytes = b"RIFF", size: int | None = None) -> bytes:
    """A file of these chunks; ``size`` is what its first size field says, if not the truth."""
    body = b"WAVE" + b"".join(chunks)
    return outer + pack("<I", len(body) if size is None else size) + body


def ds64(whole: int, data: int, frames: int, table: tuple[tuple[bytes, int], ...] = ()) -> bytes:
    """The chunk of 64-bit sizes: ITU-R BS.2088-1, annex 1."""
    rows = b"".join(pack("<4sQ", name, size) for name, size in table)
    return chunk(b"ds64", pack("<QQQI", whole, data, frames, len(table)) + rows)


def big(
    *chunks: bytes, data: bytes, frames: int, outer: bytes = b"BW64", said: int | None = None
) -> bytes:
    """A BW64 or RF64 file: its sizes of 32 bits are open, those of 64 bits in a chunk before."""
    said = len(data) if said is None else said
    rest = b"".join(chunks) + chunk(b"data", data, OPEN)
    whole = 4 + 36 + len(rest)
    return riff(ds64(whole, said, frames), rest, outer=outer, size=OPEN)


def integers(raw: Raw, layout: Layout) -> np.ndarray:
    """The samples of whole frames as the integers that were written: each is exact as a float."""
    steps = 2.0 ** (8 * SAMPLE_BYTES[layout.encoding] - 1)
    return (raw_to_samples(raw, layout) * steps).astype(np.int64)
