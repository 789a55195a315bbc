"""The chunks of a RIFF file: a name, a size, a body, one after another, with bounded work."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from calculators.recording.layout import Fault
from calculators.recording.source import Source

MOST_CHUNKS = 512
"""Chunks that are walked through; a recorder writes a handful."""

OPEN = 0xFFFFFFFF
"""A size of 32 bits that says nothing: it stands in a ds64 chunk, or was never written."""

HEAD = 8
"""Bytes of a chunk's name and size."""

KNOWN = frozenset(
    b"fmt |data|fact|bext|LIST|JUNK|junk|PAD |FLLR|iXML|axml|bxml|sxml|chna|ds64|cue |smpl|inst"
    b"|plst|note|labl|ltxt|id3 |ID3 |levl|link|umid|_PMX|aXML|mext|qlty|cart|slnt".split(b"|")
)
"""Names that are believed even where the file ends within the chunk."""


@dataclass(frozen=True)
class Chunk:
    """One chunk: ``start`` is the first byte of its body, ``size`` what it says of the body."""

    name: bytes
    start: int
    size: int

    @property
    def words(self) -> str:
        """Its name and where it lies."""
        return f"“{self.name.decode('ascii').strip()}” at byte {self.start - HEAD}"


@dataclass
class Walk:
    """Walks through chunks and notes what is wrong on the way.

    ``sizes`` are those of chunks whose own field is open, from a ds64 chunk.
    """

    source: Source
    sizes: dict[bytes, int] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    left: int = MOST_CHUNKS

    def at(self, place: int) -> Chunk | None:
        """The chunk whose head is at a byte, or None if there is none that can be believed."""
        head = self.source.read(place, HEAD) if place + HEAD <= self.source.size else b""
        name, size = head[:4], int.from_bytes(head[4:8], "little")
        if len(head) < HEAD or not all(0x20 <= letter < 0x7F for letter in name) or name == b"    ":
            return None
        size = self.sizes.get(name, size) if size == OPEN else size
        whole = place + HEAD + size <= self.source.size
        return Chunk(name, place + HEAD, size) if whole or name in KNOWN else None

    def body(self, chunk: Chunk, most: int) -> bytes:
        """The first bytes of a chunk's body, never more than ``most``."""
        return self.source.read(chunk.start, min(chunk.size, most))

    def after(self, chunk: Chunk, end: int | None = None) -> int:
        """The byte where the next chunk begins, with or without the padding of an odd size."""
        end = chunk.start + chunk.size if end is None else end
        odd = (end - chunk.start) % 2
        if odd and self.at(end + 1) is None and self.at(end) is not None:
            text = (
                f"The chunk {chunk.words} has an odd length and lacks the byte that fills it up;"
                " what follows is read all the same."
            )
            self.faults.append(Fault("odd chunk", text, end))
            return end
        return end + odd

    def chain(self, place: int) -> Iterator[Chunk]:
        """Chunks from a byte on, until one cannot be believed or too many were seen."""
        while self.left > 0 and (chunk := self.at(place)):
            self.left -= 1
            yield chunk
            place = self.after(chunk)
