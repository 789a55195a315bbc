"""Where a file begins to hold nothing but zeros up to its end, with bounded work.

A file system may give a file its length before its bytes: after a power loss the rest reads as
zeros. A converter at work hardly ever gives exact zeros for long, in every channel.
"""

from calculators.recording.source import Source

EXACT = 1 << 24
"""Bytes read through backwards, each of them; a longer tail is searched by halving."""

_FIRST = 1 << 12
_BLOCK = 1 << 18


def zero_tail(source: Source, start: int, end: int) -> int:
    """The first byte from which all is zero up to ``end``; ``end`` itself if the last byte is not.

    The last ``EXACT`` bytes are read through. If all are zero, the rest is halved again and again
    and judged by blocks: then sound between two blocks that were looked at could be missed.
    At most ``EXACT`` bytes and 50 blocks are read, whatever the length.
    """
    floor = max(start, end - EXACT)
    found = _backwards(source, floor, end)
    return found if found > floor else _halved(source, start, floor)


def _backwards(source: Source, floor: int, end: int) -> int:
    length = _FIRST
    while end > floor:
        low = max(floor, end - length)
        block = source.read(low, end - low)
        kept = len(block.rstrip(b"\0"))
        if kept or not block:
            return low + kept
        end, length = low, min(2 * length, _BLOCK)
    return floor


def _halved(source: Source, start: int, end: int) -> int:
    low, high = start, end
    while high - low > _BLOCK:
        middle = (low + high) // 2
        kept = len(source.read(middle, min(_BLOCK, high - middle)).rstrip(b"\0"))
        if kept:
            low = middle + kept
        else:
            high = middle
    return _backwards(source, low, high)
