"""From the bytes of a recording to arrays of samples, chunk by chunk."""

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from calculators.recording.errors import RecordingError
from calculators.recording.layout import SAMPLE_BYTES, Encoding, Layout
from calculators.recording.source import Source

Raw = npt.NDArray[np.uint8]
"""Bytes of whole frames as they lie in the file."""

Samples = npt.NDArray[np.float64]
"""Channels × frames, in units of full scale: 1.0 is digital full scale, 0 dBFS peak."""

MIDDLE = 128
"""Of samples of 8 bits, which have no sign: what stands for zero."""

_BLOCK = 1 << 15
"""Frames that are converted at once: few enough to stay in the processor's cache."""

_TYPES = {"uint8": "u1", "int16": "<i2", "int24": "<i4", "int32": "<i4", "float32": "<f4"}


def raw_to_samples(raw: Raw, layout: Layout, out: Samples | None = None) -> Samples:
    """The samples of whole frames in units of full scale.

    An integer, of 8 bits less 128, is divided by 2 to the power of its bits less one, so the lowest
    is −1.0 and the highest a step below 1.0. Every integer is exact in the result. A float is taken
    as it is, and may lie beyond ±1 or be no number.

    Args:
        raw: Bytes of whole frames, contiguous.
        layout: What they are.
        out: Array of channels × frames that is filled and returned; a new one without it.

    Raises:
        ValueError: If ``raw`` is not whole frames, or ``out`` has another shape.
    """
    if out is None:
        out = np.empty((layout.channels, _whole_frames(raw, layout)))
    raw_to_steps(raw, layout, out)
    out *= step_of(layout.encoding)
    return out


def step_of(encoding: Encoding) -> float:
    """What ``raw_to_steps`` counts in, as a part of full scale: a power of two, so it is exact."""
    return 1.0 if encoding == "float32" else 2.0 ** (1 - 8 * np.dtype(_TYPES[encoding]).itemsize)


def raw_to_steps(raw: Raw, layout: Layout, out: Samples) -> None:
    """The samples of whole frames in steps, see ``step_of``: what sums them can scale the sums.

    Args, Raises: As ``raw_to_samples``.
    """
    frames = _whole_frames(raw, layout)
    _require_shape(out.shape, layout, frames)
    if layout.encoding == "int24":
        _fill_from_24_bit(raw, layout, out)
        return
    with np.errstate(invalid="ignore"):  # some bit patterns that are no number warn
        for channel in range(layout.channels):
            out[channel] = _channel(raw, layout, channel, frames)
    if layout.encoding == "uint8":
        out -= MIDDLE


def chunks(
    source: Source,
    layout: Layout,
    first: int = 0,
    last: int | None = None,
    *,
    frames_per_chunk: int,
    overlap: int = 0,
) -> Iterator[Raw]:
    """Frames ``first`` up to, but without, ``last``, a chunk at a time, in order.

    Every chunk but the last has ``frames_per_chunk`` frames; the last has at least one that none
    before had. A chunk begins with the last ``overlap`` frames of the one before. Each byte is read
    once; memory is that of one chunk. The arrays cannot be written to.

    Raises:
        ValueError: If the frames are not within the recording, or the overlap is a whole chunk.
        RecordingError: If the file cannot be read, or has become shorter since it was opened.
    """
    last = layout.frames if last is None else last
    if not 0 <= first <= last <= layout.frames:
        raise ValueError(f"Frames {first} to {last} are not within 0 to {layout.frames}.")
    if not 0 <= overlap < frames_per_chunk:
        raise ValueError(f"An overlap of {overlap} frames is not within 0 to {frames_per_chunk}.")
    return _chunks(source, layout, (first, last), frames_per_chunk, overlap)


def _chunks(
    source: Source, layout: Layout, frames: tuple[int, int], length: int, overlap: int
) -> Iterator[Raw]:
    place, last = frames
    kept = b""
    while place < last:
        count = min(length - len(kept) // layout.frame_bytes, last - place)
        block = kept + _read_frames(source, layout, place, count)
        yield np.frombuffer(block, np.uint8)
        place += count
        kept = block[len(block) - overlap * layout.frame_bytes :] if overlap else b""


def _read_frames(source: Source, layout: Layout, first: int, count: int) -> bytes:
    offset = layout.data_start + first * layout.frame_bytes
    block = source.read(offset, count * layout.frame_bytes)
    if len(block) < count * layout.frame_bytes:
        raise RecordingError(
            source.name,
            f"It has become shorter since it was opened: it ends at byte {offset + len(block)},"
            f" within frame {first + len(block) // layout.frame_bytes}.",
        )
    return block


def _whole_frames(raw: Raw, layout: Layout) -> int:
    if raw.size % layout.frame_bytes:
        raise ValueError(f"{raw.size} bytes are not whole frames of {layout.frame_bytes} bytes.")
    return raw.size // layout.frame_bytes


def _require_shape(shape: tuple[int, ...], layout: Layout, frames: int) -> None:
    if shape != (layout.channels, frames):
        raise ValueError(f"The array is {shape}; needed is {(layout.channels, frames)}.")


def _channel(raw: Raw, layout: Layout, channel: int, frames: int) -> npt.NDArray[np.number]:
    """One channel as it lies in the bytes, without a copy."""
    size = SAMPLE_BYTES[layout.encoding]
    kind = np.dtype(_TYPES[layout.encoding])
    if not frames:
        return np.empty(0, kind)
    return np.ndarray((frames,), kind, raw.data, channel * size, (layout.frame_bytes,))


def _fill_from_24_bit(raw: Raw, layout: Layout, out: Samples) -> None:
    scratch = np.empty(min(_BLOCK, out.shape[1]), np.int32)
    for first in range(0, out.shape[1], _BLOCK):
        for channel in range(layout.channels):
            part = out[channel, first : first + _BLOCK]
            high = scratch[: part.size]
            _high_24_bit(raw, layout, channel, first, high)
            part[:] = high


def _high_24_bit(
    raw: Raw, layout: Layout, channel: int, first: int, out: npt.NDArray[np.int32]
) -> None:
    """Samples of 24 bit in the three high bytes of integers of 32 bit.

    Four bytes are read where a sample lies; the highest, which belongs to the next sample, falls
    out where the others are moved up: a product, as a shift takes longer. The very last sample has
    no byte after it and is put together by itself.
    """
    start = first * layout.frame_bytes + 3 * channel
    ends = start + (out.size - 1) * layout.frame_bytes + 3 == raw.size
    count = out.size - ends
    wide = np.ndarray((count,), np.dtype("<i4"), raw.data, start, (layout.frame_bytes,))
    np.multiply(wide, 1 << 8, out=out[:count])
    if ends:
        out[count] = int.from_bytes(raw[-3:].tobytes(), "little", signed=True) << 8
