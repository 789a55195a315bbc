"""The frame structure of a FLAC file: what it holds and how far it goes, without unpacking it.

A file whose recorder died promises frames that are not there, or none at all. Its last whole block
is found from the end: a block header carries its own check (CRC-8) and its place in the sound, and
the block ends in a check of all its bytes (CRC-16).
"""

from collections.abc import Iterator
from dataclasses import dataclass

from calculators.recording.errors import RecordingError
from calculators.recording.source import Source
from calculators.recording.zero_tail import zero_tail

MARK = b"fLaC"
MOST_METADATA = 128
WINDOWS = (1 << 16, 1 << 19, 1 << 22)
"""Bytes before the end that are searched for the last block, one window after another."""

COUNT_END = 26
"""The byte after the number of frames, whose lowest 36 bits end here."""

_MOST_TRIES = 64
_INFO_BYTES = 34
_HEADER_MOST = 16
_RATES = (
    0,
    88_200,
    176_400,
    192_000,
    8_000,
    16_000,
    22_050,
    24_000,
    32_000,
    44_100,
    48_000,
    96_000,
)
_BITS = (0, 8, 12, None, 16, 20, 24, 32)


def _table(polynomial: int, width: int) -> tuple[int, ...]:
    rows = []
    for byte in range(256):
        value = byte << (width - 8)
        for _ in range(8):
            value = (value << 1) ^ (polynomial if value >> (width - 1) else 0)
            value &= (1 << width) - 1
        rows.append(value)
    return tuple(rows)


_CRC8 = _table(0x07, 8)
_CRC16 = _table(0x8005, 16)


@dataclass(frozen=True)
class StreamInfo:
    """What the first metadata block says, and where the blocks of sound begin."""

    least_block: int
    most_block: int
    rate: int
    channels: int
    bits: int
    promised: int | None
    first_block: int


@dataclass(frozen=True)
class Block:
    """The header of a block of sound: its byte, its first frame, and its frames."""

    place: int
    first: int
    frames: int


def read_stream_info(source: Source) -> StreamInfo:
    """The stream's format.

    Raises:
        RecordingError: If the file is no FLAC, or ends in its metadata.
    """
    head = source.read(0, 8 + _INFO_BYTES)
    if head[:4] != MARK:
        raise RecordingError(source.name, "It is no FLAC file.")
    if len(head) < 8 + _INFO_BYTES or head[4] & 0x7F:
        raise RecordingError(
            source.name, "Its FLAC header has no stream info: rate and channels are unknown."
        )
    body = int.from_bytes(head[COUNT_END - 8 : COUNT_END], "big")
    return StreamInfo(
        least_block=int.from_bytes(head[8:10], "big"),
        most_block=int.from_bytes(head[10:12], "big"),
        rate=body >> 44,
        channels=(body >> 41 & 7) + 1,
        bits=(body >> 36 & 31) + 1,
        promised=body & (1 << 36) - 1 or None,
        first_block=_after_metadata(source),
    )


def _after_metadata(source: Source) -> int:
    place = len(MARK)
    for _ in range(MOST_METADATA):
        head = source.read(place, 4)
        if len(head) < 4:
            break
        place += 4 + int.from_bytes(head[1:], "big")
        if head[0] & 0x80:
            return min(place, source.size)
    return source.size


def last_frame(source: Source, info: StreamInfo) -> tuple[int, int]:
    """Frames in whole blocks, and the byte after the last of these.

    Bounded: at most the last of ``WINDOWS`` is searched, and so many pairs of headers tried.
    """
    end = zero_tail(source, info.first_block, source.size)
    for window in WINDOWS:
        start = max(info.first_block, end - window)
        found = _in_window(source, info, start, min(end + 2, source.size))
        if found or start == info.first_block:
            return found or (0, info.first_block)
    return 0, info.first_block


def _in_window(source: Source, info: StreamInfo, start: int, end: int) -> tuple[int, int] | None:
    data = source.read(start, end - start)
    blocks = list(_headers(data, info))
    ends = [*range(len(data), max(0, len(data) - 3), -1), *(block.place for block in blocks)]
    tries = 0
    for stop in ends:
        for block in [block for block in blocks if block.place < stop][:2]:
            if not _crc(_CRC16, 16, data[block.place : stop]):
                return block.first + block.frames, start + stop
            tries += 1
            if tries >= _MOST_TRIES:
                return None
    return None


def _headers(data: bytes, info: StreamInfo) -> Iterator[Block]:
    """Headers of blocks in some bytes, from the end."""
    place = len(data)
    while (place := data.rfind(b"\xff", 0, place)) >= 0:
        block = _header(data, place, info)
        if block:
            yield block


def _header(data: bytes, place: int, info: StreamInfo) -> Block | None:
    head = data[place : place + _HEADER_MOST]
    if len(head) < 6 or head[1] & 0xFE != 0xF8 or head[3] & 1 or not _fits(head, info):
        return None
    number, length = _coded_number(head)
    size_code, rate_code = head[2] >> 4, head[2] & 15
    frames, length = _block_frames(head, size_code, length)
    length += {12: 1, 13: 2, 14: 2}.get(rate_code, 0)
    if not frames or length >= len(head) or _crc(_CRC8, 8, head[: length + 1]):
        return None
    return Block(place, number if head[1] & 1 else number * info.least_block, frames)


def _fits(head: bytes, info: StreamInfo) -> bool:
    """Whether rate, channels and bits are those of the stream."""
    rate_code, channel_code, bits_code = head[2] & 15, head[3] >> 4, head[3] >> 1 & 7
    channels = channel_code + 1 if channel_code < 8 else 2
    rate_fits = rate_code == 0 or rate_code > 11 or _RATES[rate_code] == info.rate
    bits_fit = bits_code == 0 or _BITS[bits_code] == info.bits
    return rate_fits and bits_fit and channels == info.channels and rate_code < 15


def _coded_number(head: bytes) -> tuple[int, int]:
    """The number of a block or frame, coded as UTF-8 codes letters, and the bytes up to its end."""
    first = head[4]
    more = 0
    while more < 7 and first & 0x80 >> more:
        more += 1
    if more == 0:
        return first, 5
    value = first & (0x7F >> more)
    for byte in head[5 : 4 + more]:
        value = value << 6 | byte & 0x3F
    return value, 4 + more


def _block_frames(head: bytes, code: int, length: int) -> tuple[int, int]:
    """Frames of a block, and the bytes up to the end of that field; 0 frames if it has none."""
    if code in (6, 7):
        size = code - 5
        return int.from_bytes(head[length : length + size], "big") + 1, length + size
    if code >= 8:
        return 256 << (code - 8), length
    return (0, 192, 576, 1152, 2304, 4608)[code], length


def _crc(table: tuple[int, ...], width: int, data: bytes) -> int:
    value, top, mask = 0, width - 8, (1 << width) - 1
    for byte in data:
        value = (value << 8 & mask) ^ table[value >> top ^ byte]
    return value
