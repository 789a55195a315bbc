"""What unpacks blocks of FLAC: libsndfile through the library soundfile, or what a page brings."""

import io
import sys
from collections.abc import Callable
from importlib import import_module
from typing import Any

import numpy as np
import numpy.typing as npt

from calculators.recording.errors import RecordingError
from calculators.recording.layout import SAMPLE_BYTES, Encoding
from calculators.recording.samples import MIDDLE

MISSING = (
    "It is a FLAC file. To unpack it the library soundfile is needed, which is not installed here:"
    " pip install 'wetside[recording]'. WAVE files need no library."
)
IN_A_PAGE = (
    "It is a FLAC file, and the part of this page that unpacks FLAC is not here. Load the page anew"
    " where there is a network, or unpack the file to a WAVE file."
)

Brought = Callable[[bytes, bytes, int, int, int], Any]
"""Head, blocks, frames in them, channels, bytes of a sample → frames as bytes; None if damaged."""

_TYPES: dict[Encoding, str] = {"uint8": "int16", "int16": "int16", "int24": "int32"}


class Unpacker:
    """Unpacks blocks; a page sets ``brought`` before it opens files."""

    brought: Brought | None = None

    def require(self, file: str) -> None:
        """Refuse if there is nothing that unpacks.

        Raises:
            RecordingError: Naming the file and what is missing.
        """
        if self.brought is None:
            _library(file)

    def unpack(
        self, head: bytes, packed: bytes, frames: int, channels: int, encoding: Encoding
    ) -> bytes | None:
        """The frames of whole blocks as bytes, lowest first.

        Args:
            head: Of a stream of so many frames.
            packed: Blocks; what comes behind the last of the frames is not looked at.
            frames: In these blocks.
            channels: Of each frame.
            encoding: uint8, int16 or int24.

        Returns:
            The bytes; None if any block is damaged.
        """
        if self.brought is None:
            return _by_soundfile(head + packed, frames, channels, encoding)
        found = self.brought(head, packed, frames, channels, SAMPLE_BYTES[encoding])
        return None if found is None else bytes(found)


unpacker = Unpacker()


def _library(file: str) -> Any:
    try:
        return import_module("soundfile")
    except (ImportError, OSError) as error:
        raise RecordingError(
            file, IN_A_PAGE if sys.platform == "emscripten" else MISSING
        ) from error


def _by_soundfile(stream: bytes, frames: int, channels: int, encoding: Encoding) -> bytes | None:
    library = _library("FLAC")
    try:
        with library.SoundFile(io.BytesIO(stream)) as opened:
            block = opened.read(frames, dtype=_TYPES[encoding], always_2d=True)
    except library.SoundFileError:
        return None
    if block.shape != (frames, channels):
        return None
    return _packed_bytes(block, encoding)


def _packed_bytes(block: npt.NDArray[Any], encoding: Encoding) -> bytes:
    """8 bits come in the upper byte of 16, with a sign; 24 bits in the upper three bytes of 32."""
    if encoding == "uint8":
        return ((block >> 8) + MIDDLE).astype(np.uint8).tobytes()
    if encoding == "int16":
        return block.astype("<i2", copy=False).tobytes()
    wide = np.ascontiguousarray(block, dtype="<i4").view(np.uint8)
    return wide.reshape(-1, 4)[:, 1:].tobytes()
