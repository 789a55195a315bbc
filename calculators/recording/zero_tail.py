"""Where a file begins to hold nothing but zeros up to its end, with bounded work.

A file system may give a file its length before its bytes: after a power loss the rest reads as
zeros. A converter at work hardly ever gives exact zeros for long, in every channel.
"""

from dataclasses import replace

from calculators.recording.layout import Fault, Layout
from calculators.recording.quantity import quantity
from calculators.recording.source import Source

SECONDS = 1.0
"""Shorter tails of exact zeros are not named, unless all is zero."""

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


def with_zeros_named(source: Source, layout: Layout) -> Layout:
    """The layout with a fault more, if its bytes end in exact zeros for a second or longer.

    In samples of 8 bits such bytes are no silence but the lowest sample: they are left out.
    """
    zeros = zero_tail(source, layout.data_start, layout.data_end)
    before = -((layout.data_start - zeros) // layout.frame_bytes)
    length = layout.frames - before
    if length == 0 or (before and length < SECONDS * layout.rate):
        return layout
    where = f"From frame {before} ({quantity(before / layout.rate, 's', 6)}) on"
    lasts = f"for {quantity(length / layout.rate, 's', 6)} up to the end: as after a power loss"
    text = f"{where}, every sample is exactly zero, {lasts}, or with no converter at work."
    if layout.encoding == "uint8":
        text = f"{where}, every byte is zero, {lasts}. That is no sound of 8 bits; it is left out."
        layout = replace(layout, frames=before)
    packed = layout.container == "FLAC"
    byte = None if packed else layout.data_start + before * layout.frame_bytes
    return replace(layout, faults=(*layout.faults, Fault("zero tail", text, byte, before)))
