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

_TAG = b"ID3"
"""Some programs put a tag of this kind before a stream."""

_TAG_HEAD = 10
_COUNT_END = 26
"""The byte after the number of frames, whose lowest 36 bits end here."""

_MOST_TRIES = 64
_INFO_BYTES = 34
_LAST_OF_METADATA = b"\x80\x00\x00\x22"
"""Begins a block of that many bytes of stream info which no other metadata follows."""

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
    """What the first metadata block says, and where the blocks of sound begin.

    ``head`` is all that an unpacker has to know before it gets blocks: the mark and that block.
    """

    head: bytes
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


@dataclass(frozen=True)
class Extent:
    """How far the whole blocks go: ``frames`` in all, and the byte after the last of them.

    ``mark`` is what each block begins with; none where there is no block.
    """

    frames: int
    end: int
    mark: bytes = b""


def stream_start(source: Source) -> int | None:
    """The byte where the stream begins, after a tag if there is one; None if it is no FLAC file."""
    head = source.read(0, _TAG_HEAD)
    if head[: len(MARK)] == MARK:
        return 0
    if len(head) < _TAG_HEAD or head[:3] != _TAG:
        return None
    length = sum((byte & 0x7F) << 7 * place for place, byte in enumerate(reversed(head[6:10])))
    start = _TAG_HEAD + length + (_TAG_HEAD if head[5] & 0x10 else 0)
    return start if source.read(start, len(MARK)) == MARK else None


def read_stream_info(source: Source) -> StreamInfo:
    """The stream's format.

    Raises:
        RecordingError: If the file is no FLAC, or ends in its metadata.
    """
    start = stream_start(source)
    if start is None:
        raise RecordingError(source.name, "It is no FLAC file.")
    head = source.read(start, 8 + _INFO_BYTES)
    if len(head) < 8 + _INFO_BYTES or head[4] & 0x7F:
        raise RecordingError(
            source.name, "Its FLAC header has no stream info: rate and channels are unknown."
        )
    body = int.from_bytes(head[_COUNT_END - 8 : _COUNT_END], "big")
    return StreamInfo(
        head=MARK + _LAST_OF_METADATA + head[8:],
        least_block=int.from_bytes(head[8:10], "big"),
        most_block=int.from_bytes(head[10:12], "big"),
        rate=body >> 44,
        channels=(body >> 41 & 7) + 1,
        bits=(body >> 36 & 31) + 1,
        promised=body & (1 << 36) - 1 or None,
        first_block=_after_metadata(source, start + len(MARK)),
    )


def head_for(info: StreamInfo, frames: int) -> bytes:
    """The head of a stream of so many frames."""
    count = int.from_bytes(info.head[_COUNT_END - 5 : _COUNT_END], "big") >> 36 << 36 | frames
    return info.head[: _COUNT_END - 5] + count.to_bytes(5, "big") + info.head[_COUNT_END:]


def _after_metadata(source: Source, place: int) -> int:
    for _ in range(MOST_METADATA):
        head = source.read(place, 4)
        if len(head) < 4:
            break
        place += 4 + int.from_bytes(head[1:], "big")
        if head[0] & 0x80:
            return min(place, source.size)
    return source.size


def extent_of(source: Source, info: StreamInfo) -> Extent:
    """How far the whole blocks go.

    Bounded: at most the last of ``WINDOWS`` is searched, and so many pairs of headers tried.
    """
    end = zero_tail(source, info.first_block, source.size)
    for window in WINDOWS:
        start = max(info.first_block, end - window)
        found = _in_window(source, info, start, min(end + 2, source.size))
        if found or start == info.first_block:
            return found or Extent(0, info.first_block)
    return Extent(0, info.first_block)


def _in_window(source: Source, info: StreamInfo, start: int, end: int) -> Extent | None:
    data = source.read(start, end - start)
    blocks = list(_headers(data, info))
    ends = [*range(len(data), max(0, len(data) - 3), -1), *(block.place for block in blocks)]
    tries = 0
    for stop in ends:
        for block in [block for block in blocks if block.place < stop][:2]:
            if not _crc(_CRC16, 16, data[block.place : stop]):
                mark = data[block.place : block.place + 2]
                return Extent(block.first + block.frames, start + stop, mark)
            tries += 1
            if tries >= _MOST_TRIES:
                return None
    return None


def _headers(data: bytes, info: StreamInfo) -> Iterator[Block]:
    """Headers of blocks in some bytes, from the end."""
    place = len(data)
    while (place := data.rfind(b"\xff", 0, place)) >= 0:
        block = header_at(data, place, info)
        if block:
            yield block


def header_at(data: bytes | bytearray, place: int, info: StreamInfo) -> Block | None:
    """The header of a block that begins here; None if none does, or if it is not all there."""
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


def _fits(head: bytes | bytearray, info: StreamInfo) -> bool:
    """Whether rate, channels and bits are those of the stream."""
    rate_code, channel_code, bits_code = head[2] & 15, head[3] >> 4, head[3] >> 1 & 7
    channels = channel_code + 1 if channel_code < 8 else 2
    rate_fits = rate_code == 0 or rate_code > 11 or _RATES[rate_code] == info.rate
    bits_fit = bits_code == 0 or _BITS[bits_code] == info.bits
    return rate_fits and bits_fit and channels == info.channels and rate_code < 15


def _coded_number(head: bytes | bytearray) -> tuple[int, int]:
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


def _block_frames(head: bytes | bytearray, code: int, length: int) -> tuple[int, int]:
    """Frames of a block, and the bytes up to the end of that field; 0 frames if it has none."""
    if code in (6, 7):
        size = code - 5
        return int.from_bytes(head[length : length + size], "big") + 1, length + size
    if code >= 8:
        return 256 << (code - 8), length
    return (0, 192, 576, 1152, 2304, 4608)[code], length


def _crc(table: tuple[int, ...], width: int, data: bytes | bytearray) -> int:
    value, top, mask = 0, width - 8, (1 << width) - 1
    for byte in data:
        value = (value << 8 & mask) ^ table[value >> top ^ byte]
    return value
