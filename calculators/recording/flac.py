"""FLAC files, unpacked as they are read, by libsndfile through the library soundfile.

An unpacked FLAC file looks like any other source of bytes: frames of 16- or 24-bit integers from
byte 0 on. So all that reads a WAVE file chunk by chunk reads it too.
"""

import io
import sys
from dataclasses import replace
from importlib import import_module
from typing import Any

import numpy as np
import numpy.typing as npt

from calculators.recording.errors import RecordingError
from calculators.recording.flac_stream import COUNT_END, StreamInfo, last_frame, read_stream_info
from calculators.recording.layout import SAMPLE_BYTES, Encoding, Fault, FaultKind, Layout
from calculators.recording.source import Source
from calculators.recording.zero_tail import with_zeros_named

MISSING = (
    "It is a FLAC file. To unpack it the library soundfile is needed, which is not installed here:"
    " pip install 'wetside[recording]'. WAVE files need no library."
)
IN_A_PAGE = (
    "It is a FLAC file, which this page does not unpack. Unpack it to a WAVE file, or check it on"
    " the command line, which reads FLAC."
)

_ENCODINGS: dict[int, Encoding] = {16: "int16", 24: "int24"}
_TYPES: dict[Encoding, str] = {"int16": "int16", "int24": "int32"}
_BUFFER = 1 << 16


class FlacSource:
    """A FLAC file as the bytes of its frames, in whole numbers of 16 or 24 bits.

    Reading on from where the last read ended costs no search. A file that was cut short reads as
    far as it goes: the library is shown it up to the last whole block, with a length that is true.

    Args:
        packed: The file as it is.

    Raises:
        RecordingError: If it is no FLAC file, has samples of other bits, or the library that
            unpacks it is not installed; and in ``read``, if the packed sound is damaged.

    Source:
        FLAC [rfc9639].
    """

    def __init__(self, packed: Source) -> None:
        self.name = packed.name
        self.packed = packed
        info = read_stream_info(packed)
        frames, self._end = last_frame(packed, info)
        self.layout = _layout(packed, info, frames, self._end)
        self.size = self.layout.frames * self.layout.frame_bytes
        self._decoder: Any = None
        self._bytes = self._shown()
        self._next = 0
        _library(self.name)
        self.layout = self._end_looked_at()

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
        """Without the open decoder, so that it may be sent to another process."""
        return {**self.__dict__, "_decoder": None, "_bytes": self._shown()}

    def _end_looked_at(self) -> Layout:
        try:
            return with_zeros_named(self, self.layout)
        except RecordingError as error:
            text = f"Its end cannot be unpacked. {error.why}"
            fault = Fault("damaged", text, frame=self.layout.frames)
            return replace(self.layout, faults=(*self.layout.faults, fault))

    def _shown(self) -> "_Shown":
        return _Shown(self.packed, self._end, self.layout.frames)

    def _unpacked(self, first: int, count: int) -> bytes:
        try:
            block = self._decoded(first, count)
        except _library(self.name).SoundFileError as error:
            self._decoder = None
            raise self._bytes.failure or self._damaged(first, count, str(error)) from error
        if len(block) < count:
            self._decoder = None
            why = f"only {len(block)} frames could be unpacked."
            raise self._bytes.failure or self._damaged(first, count, why)
        self._next = first + count
        return _packed_bytes(block, self.layout.encoding)

    def _decoded(self, first: int, count: int) -> npt.NDArray[Any]:
        if self._decoder is None:
            self._bytes = self._shown()
            buffered = io.BufferedReader(self._bytes, _BUFFER)
            self._decoder, self._next = _library(self.name).SoundFile(buffered), 0
        if self._next != first:
            self._decoder.seek(first)
        found: npt.NDArray[Any] = self._decoder.read(
            count, dtype=_TYPES[self.layout.encoding], always_2d=True
        )
        return found

    def _damaged(self, first: int, count: int, why: str) -> RecordingError:
        return RecordingError(
            self.name,
            f"The packed sound is damaged within frames {first} to {first + count}: {why}",
        )


def _library(file: str) -> Any:
    try:
        return import_module("soundfile")
    except (ImportError, OSError) as error:
        raise RecordingError(
            file, IN_A_PAGE if sys.platform == "emscripten" else MISSING
        ) from error


def _layout(packed: Source, info: StreamInfo, frames: int, end: int) -> Layout:
    if info.bits not in _ENCODINGS or not info.rate:
        raise RecordingError(
            packed.name,
            f"Its samples have {info.bits} bits at {info.rate} Hz. Read is FLAC of 16 and 24 bits.",
        )
    encoding = _ENCODINGS[info.bits]
    return Layout(
        container="FLAC",
        encoding=encoding,
        channels=info.channels,
        rate=info.rate,
        data_start=0,
        frames=frames,
        frame_bytes=info.channels * SAMPLE_BYTES[encoding],
        promised_frames=info.promised,
        started=None,
        faults=tuple(_faults(packed, info, frames, end)),
    )


def _faults(packed: Source, info: StreamInfo, there: int, end: int) -> list[Fault]:
    faults = []
    if there == 0:
        faults.append(Fault("header only", "There is a header, but no whole block of sound.", end))
    elif info.promised is None:
        text = f"The recorder never finished the header: it gives no length. {there} frames follow."
        faults.append(Fault("never finished", text, end))
    elif there != info.promised:
        text = (
            f"The header promises {info.promised} frames ({info.promised / info.rate:.6g} s);"
            f" {there} are there ({there / info.rate:.6g} s), and all are read."
        )
        kind: FaultKind = "cut short" if there < info.promised else "wrong sizes"
        faults.append(Fault(kind, text, end))
    if end < packed.size:
        text = f"The last {packed.size - end} bytes are no whole block of sound; they are left out."
        faults.append(Fault("stray bytes", text, end))
    return faults


def _packed_bytes(block: npt.NDArray[Any], encoding: Encoding) -> bytes:
    """Frames as bytes, lowest first; 24 bits come in the upper three bytes of 32."""
    if encoding == "int16":
        return block.astype("<i2", copy=False).tobytes()
    wide = np.ascontiguousarray(block, dtype="<i4").view(np.uint8)
    return wide.reshape(-1, 4)[:, 1:].tobytes()


class _Shown(io.RawIOBase):
    """A file object for the library: the packed file up to its last whole block.

    The header gives the true number of frames, instead of a promise that was not kept. A fault of
    the disk cannot pass through the library: it is kept in ``failure``, and the read ends there.
    """

    def __init__(self, source: Source, end: int, frames: int) -> None:
        self.failure: RecordingError | None = None
        self._source = source
        self._end = end
        self._head = _mended_head(source, frames)
        self._place = 0

    def readable(self) -> bool:
        return True

    def seekable(self) -> bool:
        return True

    def seek(self, offset: int, whence: int = io.SEEK_SET) -> int:
        base = {io.SEEK_SET: 0, io.SEEK_CUR: self._place, io.SEEK_END: self._end}[whence]
        self._place = max(0, base + offset)
        return self._place

    def readinto(self, target: Any) -> int:
        try:
            block = self._block(max(0, min(len(target), self._end - self._place)))
        except RecordingError as failure:
            self.failure = failure
            return 0
        target[: len(block)] = block
        self._place += len(block)
        return len(block)

    def _block(self, length: int) -> bytes:
        if self._place < len(self._head):
            return self._head[self._place : self._place + length]
        return self._source.read(self._place, length)


def _mended_head(source: Source, frames: int) -> bytes:
    """The first bytes of the file, with its number of frames in the 36 bits that hold it."""
    head = source.read(0, COUNT_END)
    count = int.from_bytes(head[COUNT_END - 5 :], "big") >> 36 << 36 | frames
    return head[: COUNT_END - 5] + count.to_bytes(5, "big")
