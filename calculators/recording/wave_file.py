"""Finds the samples of a WAVE file: RIFF, RF64 and BW64, whole or as a failed recorder left it.

What can be read is read, and what is wrong is named. The work is bounded: so many chunks, so many
bytes a chunk, whatever the header says; nothing is allocated by a size that a header names.
"""

from dataclasses import dataclass

from calculators.recording.broadcast import LEAST_BYTES as BROADCAST_BYTES
from calculators.recording.broadcast import read_start
from calculators.recording.chunks import KNOWN, OPEN, Chunk
from calculators.recording.layout import Fault, FaultKind, Layout
from calculators.recording.quantity import quantity
from calculators.recording.source import Source
from calculators.recording.wave_format import WaveFormat
from calculators.recording.wave_header import Header, read_container, read_header
from calculators.recording.zero_tail import with_zeros_named, zero_tail

STRAY = 512
"""Fewer bytes than this after the sound are not taken for sound: recorders write whole sectors."""

MANY = 8
"""So many believable chunks after one another are no sound, wherever they lead."""

_OPEN_SIZES = (OPEN, 2**64 - 1)
_SIZE_PLACE = 4
_SIZE_FAULTS = ("header only", "cut short", "never finished", "wrong sizes", "stray bytes")


def read_layout(source: Source) -> Layout:
    """Find the samples of a WAVE file and all that is wrong with it.

    Raises:
        RecordingError: If nothing can be read: another kind of file, a header that was never
            written, samples of a kind that is not read.

    Source:
        RIFF [microsoft-riff1991], WAVEFORMATEX [microsoft-waveformatex], RF64 [ebu3306],
        BW64 [itu-bs2088-2], broadcast extension [ebu3285].
    """
    container = read_container(source)
    header = read_header(source)
    found = header.known_format()
    extent = _Extent(header, found).found()
    frames = (extent.end - extent.start) // found.frame_bytes
    _name_end(header, found, extent)
    _name_outer_size(header)
    started = _started(header, found.rate)
    layout = Layout(
        container=container,
        encoding=found.encoding,
        channels=found.channels,
        rate=found.rate,
        data_start=extent.start,
        frames=frames,
        frame_bytes=found.frame_bytes,
        promised_frames=None if extent.promised is None else extent.promised // found.frame_bytes,
        started=started,
        faults=(*found.faults, *header.walk.faults),
    )
    return with_zeros_named(source, layout)


@dataclass(frozen=True)
class _Sound:
    """The first byte of the sound, the byte after its last, and the bytes the header promises."""

    start: int
    end: int
    promised: int | None


@dataclass
class _Extent:
    """How far the sound goes, by header and file."""

    header: Header
    format: WaveFormat

    def __post_init__(self) -> None:
        self.size = self.header.source.size

    def found(self) -> _Sound:
        """The sound; what contradicts it is named."""
        data = self.header.data
        if data is None:
            return self._no_sound()
        start, claimed, end = data.start, data.size, data.start + data.size
        follow = end < self.size and self._chunks_follow(data, end)
        if claimed in _OPEN_SIZES or (claimed == 0 and not follow):
            self._unfinished(start, claimed)
            return _Sound(start, self.size, None)
        if claimed == 0:
            self._fault("header only", "The header is whole and says there is no sound.", start)
        if end > self.size:
            self._cut_short(claimed, self.size - start)
        elif not follow and self.size - end > claimed % 2:
            end = self._rest(start, end)
        return _Sound(start, min(end, self.size), claimed)

    def _fault(self, kind: FaultKind, text: str, byte: int) -> None:
        self.header.walk.faults.append(Fault(kind, text, byte))

    def _no_sound(self) -> _Sound:
        text = f"No chunk of sound was found in this file of {self.size} bytes."
        self._fault("header only", text, self.size)
        return _Sound(self.size, self.size, None)

    def _unfinished(self, start: int, claimed: int) -> None:
        there = self.size - start
        if there == 0:
            self._fault("header only", "There is a header, but no sound after it.", start)
            return
        said = "0 bytes" if claimed == 0 else "no length"
        text = (
            f"The recorder never finished the header: it says {said} of sound; {there} bytes"
            " follow up to the end of the file, and all are read."
        )
        self._fault("never finished", text, start)

    def _cut_short(self, claimed: int, there: int) -> None:
        if there == 0:
            text = f"There is a header that promises {claimed} bytes of sound, but none follows."
            self._fault("header only", text, self.size)
            return
        text = (
            f"The header promises {self._long(claimed)} of sound; the file ends after"
            f" {self._long(there)}."
        )
        self._fault("cut short", text, self.size)

    def _long(self, size: int) -> str:
        seconds = size / self.format.frame_bytes / self.format.rate
        return f"{size} bytes ({quantity(seconds, 's', 6)})"

    def _chunks_follow(self, data: Chunk, end: int) -> bool:
        """Whether chunks, and hardly more, lie between the sound and the end of the file."""
        walk, before = self.header.walk, len(self.header.walk.faults)
        place, known, found = walk.after(data), False, []
        for chunk in walk.chain(place):
            found.append(chunk)
            place = chunk.start + chunk.size
            known = chunk.name in KNOWN
        sure = known or len(found) >= MANY or self.size - place < STRAY
        if not found or not sure:
            del walk.faults[before:]
            return False
        for chunk in found:
            if chunk.name == b"bext":
                self.header.keep(chunk)
        self._name_after(place)
        return True

    def _name_after(self, place: int) -> None:
        """What is wrong with the end of the last chunk after the sound."""
        if place > self.size:
            text = f"The file ends {place - self.size} bytes early, in a chunk after the sound."
            self._fault("cut short", text, self.size)
        elif self.size - place > 1:
            text = f"The last {self.size - place} bytes belong to no chunk; they are left out."
            self._fault("stray bytes", text, place)

    def _rest(self, start: int, end: int) -> int:
        """Where the sound ends if bytes follow that are no chunks: stray, zero, or more sound."""
        rest = self.size - end
        zeros = rest >= STRAY and zero_tail(self.header.source, end, self.size) == end
        if rest < STRAY or zeros:
            what = "zeros" if zeros else "bytes"
            text = (
                f"After the sound follow {rest} {what} that belong to nothing; they are left out."
            )
            self._fault("stray bytes", text, end)
            return end
        text = (
            f"The header says {self._long(end - start)} of sound, but {self._long(rest)} more"
            f" follow that are no chunk{self._run_over(start, end)}. All are read as sound."
        )
        self._fault("wrong sizes", text, end)
        return self.size

    def _run_over(self, start: int, end: int) -> str:
        there = self.size - start
        over = there > OPEN and (there - (end - start)) % (OPEN + 1) == 0
        return ": the size field, of 32 bits, has run over" if over else ""


def _name_end(header: Header, found: WaveFormat, sound: _Sound) -> None:
    """Name an incomplete last frame."""
    odd = (sound.end - sound.start) % found.frame_bytes
    if odd:
        text = (
            f"The last frame is incomplete: {odd} of its {found.frame_bytes} bytes are there. It"
            " is left out."
        )
        header.walk.faults.append(Fault("cut short", text, sound.end - odd))


def _name_outer_size(header: Header) -> None:
    """Name a size of the whole file that is wrong, if no other size has been named."""
    if any(fault.kind in _SIZE_FAULTS for fault in header.walk.faults):
        return
    size = int.from_bytes(header.source.read(_SIZE_PLACE, 4), "little")
    if size == OPEN and header.whole is not None:
        size = header.whole
    there = header.source.size
    if not -1 <= there - (size + 8) <= 1:
        text = (
            f"The header says that the file has {size + 8} bytes; it has {there}. The sound is as"
            " long as its own chunk says."
        )
        header.walk.faults.append(Fault("wrong sizes", text, _SIZE_PLACE))


def _started(header: Header, rate: int) -> float | None:
    if header.broadcast is None:
        return None
    body = header.walk.body(header.broadcast, BROADCAST_BYTES)
    started, faults = read_start(body, rate, header.broadcast.start)
    header.walk.faults.extend(faults)
    return started
