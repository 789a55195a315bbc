"""Cuts the bytes of a FLAC file into its blocks, from any place on, and goes on past damage.

Where a block begins is known by its header; where it ends, by the header of the next one, which has
to go on at the very frame where it ends. So damage is noticed without unpacking anything, and any
frame is found without an index.
"""

from bisect import bisect_right, insort
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from calculators.recording.flac_stream import Block, Extent, StreamInfo, header_at
from calculators.recording.source import Source

SLICE = 1 << 20
"""Bytes of the file that are wanted at once."""

LONGEST = 1 << 22
"""Bytes that are searched for the next block: more than the longest block can have, 8 channels of
65535 frames."""

NEAR = 1 << 16
NEAR_FRAMES = 1 << 17
"""Bytes, and frames, before a frame from which on the blocks are followed instead of searched.

Silence packs many frames into few bytes."""

_LEAST_BLOCK = 10
"""Bytes."""


@dataclass(frozen=True)
class Piece:
    """A block: its first frame, its frames, and its bytes; after damage bytes too many."""

    first: int
    frames: int
    packed: bytes


class Chain:
    """The blocks from a place on, as their bytes come.

    Args:
        info: Of the stream.
        extent: How far it goes.
        place: Byte of the file where a block begins.
        frame: The first frame of that block.
    """

    def __init__(self, info: StreamInfo, extent: Extent, place: int, frame: int) -> None:
        self._info, self._extent = info, extent
        self._held = bytearray()
        self._at = 0  # where in ``_held`` the next block begins
        self._read = place  # up to which byte of the file it goes
        self.frame = frame
        """The first frame of the next block."""

        self._block: Block | None = None

    def wants(self) -> tuple[int, int] | None:
        """The next bytes of the file: offset and length; None when all were there."""
        length = min(SLICE, self._extent.end - self._read)
        return (self._read, length) if length > 0 else None

    def add(self, packed: bytes | bytearray | memoryview) -> None:
        """Take the bytes that were wanted."""
        del self._held[: self._at]
        if self._block:
            self._block = Block(0, self._block.first, self._block.frames)
        self._at = 0
        self._held += packed
        self._read += len(packed)

    def next(self) -> Piece | None:
        """The next block; None while more bytes are wanted, and at the end."""
        block = self._block or self._begun()
        if block is None:
            return None
        until = block.first + block.frames
        after = self._search(self._at + 1, lambda found: found.first == until)
        if after is None and not self._all_there:
            return None
        if after is None:
            after = self._sure(self._at + 1, until)
        stop = after.place if after else len(self._held)
        piece = Piece(block.first, block.frames, bytes(self._held[self._at : stop]))
        self._at, self.frame, self._block = stop, until, after
        return piece

    @property
    def _all_there(self) -> bool:
        return self._read >= self._extent.end or len(self._held) - self._at >= LONGEST

    def _begun(self) -> Block | None:
        """The block that the next one is: where it should be, or the first one after damage."""
        block = header_at(self._held, self._at, self._info)
        if block is None or block.first != self.frame:
            if not self._all_there:
                return None
            block = self._sure(self._at, self.frame)
        if block:
            self._at = block.place
        elif self._read < self._extent.end:
            self._at = len(self._held) - NEAR  # all damaged: look on in what follows
        else:
            self._at = len(self._held)
        self._block = block
        return block

    def _sure(self, start: int, least: int) -> Block | None:
        """The first block from a frame on that the next one confirms, or the end."""
        return sure_block(self._held, start, self._info, self._extent, least)

    def _search(self, start: int, fits: Callable[[Block], bool]) -> Block | None:
        blocks = headers(self._held, start, self._info, self._extent.mark)
        return next((block for block in blocks if fits(block)), None)


def headers(data: bytes | bytearray, start: int, info: StreamInfo, mark: bytes) -> Iterator[Block]:
    """Whatever looks like the header of a block, from a byte on."""
    place = data.find(mark, start)
    while place >= 0:
        block = header_at(data, place, info)
        if block:
            yield block
        place = data.find(mark, place + 1)


def sure_block(
    data: bytes | bytearray, start: int, info: StreamInfo, extent: Extent, least: int = 0
) -> Block | None:
    """The first block from a frame on, if the header of the next one, or the end, confirms it."""
    for block in headers(data, start, info, extent.mark):
        until = block.first + block.frames
        if block.first < least or until > extent.frames:
            continue
        if until == extent.frames:
            return block
        if any(after.first == until for after in headers(data, block.place + 1, info, extent.mark)):
            return block
    return None


class Finder:
    """Finds frames in a file, and remembers blocks that it has come across.

    Args:
        source: The file.
        info, extent: Of its stream.
    """

    def __init__(self, source: Source, info: StreamInfo, extent: Extent) -> None:
        self._source, self._info, self._extent = source, info, extent
        self._known = [(0, info.first_block)]

    def chain_at(self, frame: int) -> Chain:
        """The blocks from shortly before a frame on: the file is halved again and again."""
        index = bisect_right(self._known, (frame, self._extent.end))
        first, low = self._known[index - 1]
        high = self._known[index][1] if index < len(self._known) else self._extent.end
        while high - low > NEAR or (frame - first > NEAR_FRAMES and high - low > _LEAST_BLOCK):
            middle = (low + high) // 2
            block = self._block_in(middle, high)
            if block is None or block.first > frame:
                high = middle
            else:
                first, low = block.first, block.place
        if (first, low) not in self._known:
            insort(self._known, (first, low))
        return Chain(self._info, self._extent, low, first)

    def _block_in(self, start: int, end: int) -> Block | None:
        """The first block that begins between two bytes, by its place in the file."""
        length = NEAR
        while True:
            data = self._source.read(start, min(length, self._extent.end - start))
            block = sure_block(data, 0, self._info, self._extent)
            if block:
                within = start + block.place < end
                return Block(start + block.place, block.first, block.frames) if within else None
            if length >= LONGEST or start + length >= self._extent.end:
                return None
            length *= 4
