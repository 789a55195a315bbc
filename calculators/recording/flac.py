"""FLAC files, unpacked as they are read.

An unpacked FLAC file looks like any other source of bytes: frames of 8-, 16- or 24-bit integers
from byte 0 on. So all that reads a WAVE file chunk by chunk reads it too. What reads a stretch
from its start to its end gives the bytes of the file to an ``Unpacking`` instead, and goes on past
damage.
"""

from collections import deque
from dataclasses import replace
from typing import Any

from calculators.recording.errors import RecordingError
from calculators.recording.flac_blocks import Chain, Finder, Piece
from calculators.recording.flac_stream import (
    Extent,
    StreamInfo,
    extent_of,
    head_for,
    read_stream_info,
)
from calculators.recording.flac_unpack import unpacker
from calculators.recording.layout import SAMPLE_BYTES, Encoding, Fault, FaultKind, Layout
from calculators.recording.quantity import quantity
from calculators.recording.source import Source
from calculators.recording.zero_tail import with_zeros_named

_ENCODINGS: dict[int, Encoding] = {8: "uint8", 16: "int16", 24: "int24"}

_WAVE_BITS = (16, 24, 32)

AT_ONCE = 1 << 16
"""Frames that are unpacked at once, at least a block."""

LITTLE = 1 << 16
"""Bytes of the file that are read at once for a few frames."""


class FlacSource:
    """A FLAC file as the bytes of its frames, in whole numbers of 8, 16 or 24 bits.

    Reading on from where the last read ended costs no search. A file that was cut short reads as
    far as its whole blocks go.

    Args:
        packed: The file as it is.

    Raises:
        RecordingError: If it is no FLAC file, has samples of other bits, or what unpacks it is not
            there; and in ``read``, if the packed sound is damaged.

    Source:
        FLAC [rfc9639].
    """

    def __init__(self, packed: Source) -> None:
        self.name = packed.name
        self.packed = packed
        self.info = read_stream_info(packed)
        extent = extent_of(packed, self.info)
        self._finder = Finder(packed, self.info, extent)
        self.layout = _layout(packed, self.info, extent)
        self.size = self.layout.frames * self.layout.frame_bytes
        self._going_on: Unpacking | None = None
        unpacker.require(self.name)
        self.layout = self._end_looked_at()

    def unpacking(self, first: int) -> "Unpacking":
        """The frames from one on, for whoever has the bytes of the file."""
        return Unpacking(self._finder.chain_at(first), self.info, self.layout, first)

    def read(self, offset: int, length: int) -> bytes:
        """``length`` bytes of unpacked frames from ``offset`` on; fewer only at the end."""
        frame = self.layout.frame_bytes
        first = min(offset // frame, self.layout.frames)
        last = min(-(-(offset + length) // frame), self.layout.frames)
        if last <= first:
            return b""
        start = offset - first * frame
        return self._unpacked(first, last - first)[start : start + length]

    def __getstate__(self) -> dict[str, Any]:
        """Without what was unpacked last: so it is small when it is sent to another process."""
        return {**self.__dict__, "_going_on": None}

    def _end_looked_at(self) -> Layout:
        try:
            return with_zeros_named(self, self.layout)
        except RecordingError as error:
            text = f"Its end cannot be unpacked. {error.why}"
            fault = Fault("damaged", text, frame=self.layout.frames)
            return replace(self.layout, faults=(*self.layout.faults, fault))

    def _unpacked(self, first: int, count: int) -> bytes:
        unpacking, self._going_on = self._going_on, None
        if unpacking is None or unpacking.frame != first:
            unpacking = self.unpacking(first)
        while (block := unpacking.take(count)) is None:
            wanted = unpacking.wants()
            assert wanted, "at the end there is a hole, or all is there"
            length = min(wanted[1], LITTLE)
            packed = self.packed.read(wanted[0], length)
            if len(packed) < length:
                raise RecordingError(self.name, "It has become shorter since it was opened.")
            unpacking.add(packed)
        if unpacking.hole:
            start, end = unpacking.hole
            raise RecordingError(
                self.name, f"The packed sound is damaged within frames {start} to {end}."
            )
        self._going_on = unpacking
        return block


class Unpacking:
    """The frames of a FLAC file from one on, as its bytes come.

    Args:
        chain: The blocks from shortly before that frame on.
        info, layout: Of the file.
        first: That frame.
    """

    def __init__(self, chain: Chain, info: StreamInfo, layout: Layout, first: int) -> None:
        self.frame = first
        """The frame that comes next."""

        self._chain, self._info, self._layout = chain, info, layout
        self._waiting: deque[Piece] = deque()
        self._ready = bytearray()
        self._start = chain.frame  # the first frame of what is ready
        self._damage: tuple[int, int] | None = None  # frames right behind what is ready

    def wants(self) -> tuple[int, int] | None:
        """The next bytes of the file: offset and length; None when all were there."""
        return self._chain.wants()

    def add(self, packed: bytes | bytearray | memoryview) -> None:
        """Take the bytes that were wanted."""
        self._chain.add(packed)

    @property
    def hole(self) -> tuple[int, int] | None:
        """If the next frame cannot be had: it, and the first one behind the damage."""
        if self._damage and self.frame >= self._damage[0]:
            return self.frame, self._damage[1]
        return None

    def take(self, count: int) -> bytes | None:
        """The next frames: so many, fewer before a ``hole``; None while more bytes are wanted."""
        until = min(self.frame + count, self._layout.frames)
        while self._end < until and self._damage is None:
            if not self._unpack_more(min(AT_ONCE, until - self._end)):
                return None
            self._forget()
        size = (until - self.frame) * self._layout.frame_bytes
        given = bytes(self._ready[:size])
        self.frame += len(given) // self._layout.frame_bytes
        self._forget()
        return given

    def go_on(self, frame: int) -> None:
        """Have a frame behind the hole come next."""
        self.frame = frame
        self._forget()

    @property
    def _end(self) -> int:
        """The frame behind what is ready."""
        return self._start + len(self._ready) // self._layout.frame_bytes

    def _forget(self) -> None:
        """Leave out what lies before the next frame."""
        if self._damage and self._damage[1] <= self.frame:
            self._ready.clear()
            self._start, self._damage = self._damage[1], None
        passed = min(self.frame, self._end) - self._start
        if passed > 0:
            del self._ready[: passed * self._layout.frame_bytes]
            self._start += passed

    def _unpack_more(self, count: int) -> bool:
        """Some frames more, or damage; False while more bytes are wanted."""
        pieces = self._successive(count)
        if pieces:
            self._unpack(pieces)
        elif self._waiting:
            self._damage = self._end, self._waiting[0].first
        elif self.wants() is None:
            self._damage = self._end, self._layout.frames
        else:
            return False
        return True

    def _successive(self, count: int) -> list[Piece]:
        """The next blocks without one missing, with about so many frames."""
        pieces: list[Piece] = []
        until = self._end
        while until - self._end < count:
            if not self._waiting and (piece := self._chain.next()):
                self._waiting.append(piece)
            if not self._waiting or self._waiting[0].first != until:
                break
            pieces.append(self._waiting.popleft())
            until += pieces[-1].frames
        return pieces

    def _unpack(self, pieces: list[Piece]) -> None:
        """Blocks together, or, where one of them is damaged, one by one up to that."""
        together = self._unpacked(pieces)
        if together is not None:
            self._ready += together
            return
        for number, piece in enumerate(pieces):
            alone = self._unpacked([piece])
            if alone is None:
                self._damage = piece.first, piece.first + piece.frames
                self._waiting.extendleft(reversed(pieces[number + 1 :]))
                return
            self._ready += alone

    def _unpacked(self, pieces: list[Piece]) -> bytes | None:
        frames = sum(piece.frames for piece in pieces)
        packed = b"".join(piece.packed for piece in pieces)
        head = head_for(self._info, frames)
        return unpacker.unpack(head, packed, frames, self._layout.channels, self._layout.encoding)


def _layout(packed: Source, info: StreamInfo, extent: Extent) -> Layout:
    if not info.rate:
        raise RecordingError(packed.name, "Its header gives 0 Hz as sample rate.")
    if info.bits not in _ENCODINGS:
        wave = next((size for size in _WAVE_BITS if size >= info.bits), _WAVE_BITS[-1])
        raise RecordingError(
            packed.name,
            f"Its samples have {info.bits} bits. Read is FLAC of 8, 16 and 24 bits. Unpack it to a"
            f" WAVE file of {wave} bits, which loses nothing, and check that.",
        )
    encoding = _ENCODINGS[info.bits]
    return Layout(
        container="FLAC",
        encoding=encoding,
        channels=info.channels,
        rate=info.rate,
        data_start=0,
        frames=extent.frames,
        frame_bytes=info.channels * SAMPLE_BYTES[encoding],
        promised_frames=info.promised,
        started=None,
        faults=tuple(_faults(packed, info, extent)),
    )


def _faults(packed: Source, info: StreamInfo, extent: Extent) -> list[Fault]:
    faults = []
    there, end = extent.frames, extent.end
    if there == 0:
        faults.append(Fault("header only", "There is a header, but no whole block of sound.", end))
    elif info.promised is None:
        text = f"The recorder never finished the header: it gives no length. {there} frames follow."
        faults.append(Fault("never finished", text, end))
    elif there != info.promised:
        text = (
            f"The header promises {info.promised} frames"
            f" ({quantity(info.promised / info.rate, 's', 6)}); {there} are there"
            f" ({quantity(there / info.rate, 's', 6)}), and all are read."
        )
        kind: FaultKind = "cut short" if there < info.promised else "wrong sizes"
        faults.append(Fault(kind, text, end))
    if end < packed.size:
        text = f"The last {packed.size - end} bytes are no whole block of sound; they are left out."
        faults.append(Fault("stray bytes", text, end))
    return faults
