"""The fmt chunk of a WAVE file: which samples it holds, and which of them are read."""

from dataclasses import dataclass
from struct import unpack_from

from calculators.recording.errors import RecordingError
from calculators.recording.layout import SAMPLE_BYTES, Encoding, Fault

ACCEPTED = "Read are integers of 8, 16, 24 and 32 bits and 32-bit floats, uncompressed."
MOST_CHANNELS = 256
MOST_RATE = 10_000_000
LEAST_BYTES = 16
MOST_BYTES = 40

_INTEGER, _FLOAT, _EXTENSIBLE = 1, 3, 0xFFFE
_GUID_END = bytes.fromhex("000000001000800000aa00389b71")
"""Every subformat that stands for a plain format number ends so."""

_NAMES = {
    2: "compressed (ADPCM)",
    6: "compressed (A-law)",
    7: "compressed (µ-law)",
    17: "compressed (IMA ADPCM)",
    80: "compressed (MPEG)",
    85: "compressed (MPEG layer 3)",
}
_INTEGERS: dict[int, Encoding] = {1: "uint8", 2: "int16", 3: "int24", 4: "int32"}


@dataclass(frozen=True)
class WaveFormat:
    """What the fmt chunk says, as far as it is needed."""

    encoding: Encoding
    channels: int
    rate: int
    faults: tuple[Fault, ...]

    @property
    def frame_bytes(self) -> int:
        """Bytes of one sample of every channel."""
        return self.channels * SAMPLE_BYTES[self.encoding]


def read_format(file: str, body: bytes, place: int) -> WaveFormat:
    """Read the body of a fmt chunk that starts at byte ``place``.

    Raises:
        RecordingError: If the samples are of a kind that is not read.
    """
    if len(body) < LEAST_BYTES:
        raise RecordingError(
            file, f"Its format chunk has {len(body)} bytes; at least {LEAST_BYTES} are needed."
        )
    tag, channels, rate, byte_rate, block, bits = unpack_from("<HHIIHH", body)
    _require(file, "channels", channels, 1, MOST_CHANNELS, "")
    _require(file, "sample rate", rate, 1, MOST_RATE, " Hz")
    encoding = _encoding(file, _plain_tag(file, tag, body), bits)
    return _checked(file, WaveFormat(encoding, channels, rate, ()), block, byte_rate, place)


def _require(file: str, what: str, value: int, low: int, high: int, unit: str) -> None:
    if not low <= value <= high:
        raise RecordingError(
            file, f"Its header gives {value}{unit} as {what}. Accepted is {low} to {high}{unit}."
        )


def _plain_tag(file: str, tag: int, body: bytes) -> int:
    """The format number, out of the subformat where the format is extensible."""
    if tag != _EXTENSIBLE:
        return tag
    if len(body) < MOST_BYTES or body[26:40] != _GUID_END:
        raise RecordingError(
            file, f"Its header names an extended format of its own that is unknown. {ACCEPTED}"
        )
    return int.from_bytes(body[24:26], "little")


def _encoding(file: str, tag: int, bits: int) -> Encoding:
    """The encoding by the place that a sample takes; shorter samples fill it from the top."""
    size = -(-bits // 8)
    if tag == _INTEGER and size in _INTEGERS:
        return _INTEGERS[size]
    if tag == _FLOAT and bits == 32:
        return "float32"
    kind = {_INTEGER: "integers", _FLOAT: "floats"}.get(tag)
    what = f"{bits}-bit {kind}" if kind else _NAMES.get(tag, f"of the unknown format {tag}")
    raise RecordingError(file, f"Its samples are {what}. {ACCEPTED}")


def _checked(file: str, found: WaveFormat, block: int, byte_rate: int, place: int) -> WaveFormat:
    """Hold the two redundant numbers of the chunk against the others."""
    frame = found.frame_bytes
    if block not in (0, frame):
        raise RecordingError(
            file,
            f"Its header contradicts itself: {found.channels} channels of {found.encoding} take"
            f" {frame} bytes a frame, but it says {block}. Where a sample lies cannot be known.",
        )
    faults = []
    if block == 0:
        text = f"The header leaves the bytes of a frame open; by its samples they are {frame}."
        faults.append(Fault("wrong sizes", text, place + 12))
    if byte_rate != frame * found.rate:
        text = (
            f"The header says {byte_rate} bytes a second; its samples make"
            f" {frame * found.rate}. The samples are believed."
        )
        faults.append(Fault("wrong sizes", text, place + 8))
    return WaveFormat(found.encoding, found.channels, found.rate, tuple(faults))
