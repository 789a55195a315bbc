"""What lies before the sound of a WAVE file: the chunks of format, sizes, start and sound."""

from dataclasses import dataclass
from struct import unpack_from

from calculators.recording.chunks import Chunk, Walk
from calculators.recording.errors import RecordingError
from calculators.recording.layout import Container, Fault
from calculators.recording.source import Source
from calculators.recording.wave_format import MOST_BYTES as FORMAT_BYTES
from calculators.recording.wave_format import WaveFormat, read_format

ACCEPTED = "Read are WAVE files (RIFF, RF64 or BW64) and FLAC files."

FLAC_IN_OGG = b"\x7fFLAC"
"""Begins the first packet of an Ogg file that holds FLAC [rfc9639, section 10.1]."""

OGG_START = 64
"""Bytes in which that packet begins: behind a page's head of 27 bytes and one for its length."""

SEARCHED = 1 << 16
"""Bytes that are searched for the sound where the chunks before it are spoilt."""

_CONTAINERS: dict[bytes, Container] = {b"RIFF": "WAVE", b"RF64": "RF64", b"BW64": "BW64"}
_OTHERS = {
    b"RIFX": "a RIFX file (highest byte first)",
    b"FORM": "an AIFF file",
    b"OggS": "an Ogg file",
    b"ID3\x03": "an MP3 file",
    b"ID3\x04": "an MP3 file",
    b"riff": "a Wave64 file",
    b"caff": "a CAF file",
}
_START = 12
_DS64_BYTES = 28
_DS64_ROW = 12
_DS64_ROWS = 64


def read_container(source: Source) -> Container:
    """Which WAVE file it is.

    Raises:
        RecordingError: If it is none.
    """
    head = source.read(0, _START)
    if head[:4] in _CONTAINERS and head[8:12] == b"WAVE":
        return _CONTAINERS[head[:4]]
    raise RecordingError(source.name, _what_else(source, head))


def _what_else(source: Source, head: bytes) -> str:
    if not source.size:
        return "It is empty: 0 bytes."
    if len(head) < _START:
        return f"It has {source.size} bytes; the header alone of a WAVE file takes 44."
    if not head.strip(b"\0"):
        return _zero_header(source)
    if head[:4] in _CONTAINERS:
        return f"It is a RIFF file, but not of sound (WAVE). {ACCEPTED}"
    if head[:4] == b"OggS" and FLAC_IN_OGG in source.read(0, OGG_START):
        return (
            "It is FLAC in an Ogg file. Unpack it to a FLAC file without Ogg around it, or to a"
            f" WAVE file: its samples stay as they are. {ACCEPTED}"
        )
    return f"It is {_OTHERS.get(head[:4], 'no sound file that is known')}. {ACCEPTED}"


def _zero_header(source: Source) -> str:
    block = source.read(0, SEARCHED)
    zeros = len(block) - len(block.lstrip(b"\0"))
    if zeros == len(block):
        return f"Its first {zeros} bytes are all zero: nothing was written there. {ACCEPTED}"
    return (
        f"Its first {zeros} bytes are zero: the header was never written. Sound may follow, but"
        " its sample rate, channels and encoding cannot be known."
    )


@dataclass
class Header:
    """The chunks that matter, as they are found.

    ``whole`` is the length of the file that the chunk of 64-bit sizes gives, less 8 bytes.
    """

    walk: Walk
    format: WaveFormat | None = None
    data: Chunk | None = None
    broadcast: Chunk | None = None
    whole: int | None = None

    @property
    def source(self) -> Source:
        """The file."""
        return self.walk.source

    def known_format(self) -> WaveFormat:
        """The format.

        Raises:
            RecordingError: If there is none: then nothing can be read.
        """
        if self.format is None:
            raise RecordingError(
                self.source.name,
                "Its header has no format chunk: sample rate, channels and encoding are unknown.",
            )
        return self.format

    def keep(self, chunk: Chunk) -> None:
        """Take what a chunk says; the first of a kind counts."""
        if chunk.name == b"fmt " and self.format is None:
            body = self.walk.body(chunk, FORMAT_BYTES)
            self.format = read_format(self.source.name, body, chunk.start)
        elif chunk.name == b"ds64":
            self._keep_sizes(chunk)
        elif chunk.name == b"bext" and self.broadcast is None:
            self.broadcast = chunk
        elif chunk.name == b"data" and self.data is None:
            self.data = chunk

    def _keep_sizes(self, chunk: Chunk) -> None:
        """The 64-bit sizes: of the file, of the sound, and of other chunks in a table."""
        body = self.walk.body(chunk, _DS64_BYTES + _DS64_ROWS * _DS64_ROW)
        if len(body) < _DS64_BYTES:
            text = f"The chunk of 64-bit sizes has {len(body)} bytes; it takes {_DS64_BYTES}."
            self.walk.faults.append(Fault("wrong sizes", text, chunk.start))
            return
        self.whole, data_size, _, rows = unpack_from("<QQQI", body)
        for row in range(min(rows, (len(body) - _DS64_BYTES) // _DS64_ROW)):
            name, size = unpack_from("<4sQ", body, _DS64_BYTES + row * _DS64_ROW)
            self.walk.sizes[name] = size
        self.walk.sizes[b"data"] = data_size


def read_header(source: Source) -> Header:
    """Walk through the chunks up to the sound.

    Raises:
        RecordingError: If the samples are of a kind that is not read.
    """
    header = Header(Walk(source))
    place = _START
    for chunk in header.walk.chain(_START):
        if chunk.start + chunk.size > source.size and chunk.name != b"data":
            break
        place = chunk.start
        header.keep(chunk)
        if header.data:
            return header
    _search(header, place)
    return header


def _search(header: Header, place: int) -> None:
    """Look for the marks of format and sound after the last chunk that could be believed."""
    block = header.source.read(place, SEARCHED)
    for name, known in ((b"fmt ", header.format), (b"data", header.data)):
        found = block.find(name)
        chunk = header.walk.at(place + found) if not known and found >= 0 else None
        if chunk:
            text = (
                f"The chunks in the header do not follow one another: {chunk.words} was found by"
                f" its mark, after byte {place}."
            )
            header.walk.faults.append(Fault("wrong sizes", text, place + found))
            header.keep(chunk)
