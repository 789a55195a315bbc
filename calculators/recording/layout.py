"""What a recording holds, and what is wrong with it."""

from dataclasses import dataclass, field
from typing import Literal

from calculators.recording.quantity import quantity, rate_text

Container = Literal["WAVE", "RF64", "BW64", "FLAC"]
Encoding = Literal["uint8", "int16", "int24", "int32", "float32"]

FaultKind = Literal[
    "header only",  # there is no sound after the header
    "cut short",  # the header promises more than the file has, or the last frame is incomplete
    "never finished",  # the recorder left the length open: the sound goes as far as the file
    "wrong sizes",  # a size in the header contradicts the file
    "odd chunk",  # the byte that pads a chunk of odd length is missing
    "zero tail",  # the file ends in exact zeros, as after a power loss
    "stray bytes",  # bytes after the end that belong to nothing
    "start time",  # the start written by the recorder cannot be read, or contradicts itself
    "damaged",  # the packed sound cannot be unpacked further
]

SAMPLE_BYTES: dict[Encoding, int] = {"uint8": 1, "int16": 2, "int24": 3, "int32": 4, "float32": 4}


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong: its kind, the same in words with numbers, and where.

    ``byte`` counts in the file, ``frame`` in the sound; None where there is no such place.
    """

    kind: FaultKind
    text: str
    byte: int | None = None
    frame: int | None = None


@dataclass(frozen=True, kw_only=True)
class Layout:
    """Where the samples of a recording lie and what they are.

    A frame is one sample of every channel. Frames lie one after another from byte ``data_start`` of
    their source, the samples of a frame in the order of the channels, the lowest byte first.
    Samples of 8 bits are without a sign, and 128 is zero; all others have one.
    """

    container: Container
    encoding: Encoding
    channels: int
    rate: int
    """Frames a second (Hz), as the header says."""

    data_start: int
    """Byte of the first frame."""

    frames: int
    """Whole frames that are there, exact zeros at the end included."""

    frame_bytes: int
    promised_frames: int | None
    """Frames that the header says; None if it does not say."""

    started: float | None
    """Start as the recorder wrote it: seconds since 1970-01-01 by its own clock, without a zone."""

    faults: tuple[Fault, ...] = field(default=())

    @property
    def seconds(self) -> float:
        """Length by the header's rate."""
        return self.frames / self.rate

    @property
    def data_end(self) -> int:
        """The first byte after the last whole frame."""
        return self.data_start + self.frames * self.frame_bytes

    @property
    def frames_before_zeros(self) -> int:
        """Frames up to a tail of exact zeros: all frames where there is none."""
        fault = self.fault("zero tail")
        return self.frames if fault is None or fault.frame is None else fault.frame

    def fault(self, kind: FaultKind) -> Fault | None:
        """The first fault of a kind, or None."""
        return next((fault for fault in self.faults if fault.kind == kind), None)


def format_words(layout: Layout) -> str:
    """Rate, channels and kind of the samples, as a reader says them."""
    many = "" if layout.channels == 1 else "s"
    bits = 8 * SAMPLE_BYTES[layout.encoding]
    floating = layout.encoding == "float32"
    kind = f"{bits}-bit floating point" if floating else quantity(bits, "bit")
    return f"{rate_text(layout.rate)}, {layout.channels} channel{many}, {kind}"
