"""Opens a recording of any kind that is read."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from calculators.recording.flac_stream import stream_start
from calculators.recording.layout import Layout
from calculators.recording.source import FileSource, Source
from calculators.recording.wave_file import read_layout

if TYPE_CHECKING:
    from calculators.recording.flac import FlacSource


@dataclass(frozen=True)
class Recording:
    """A recording that can be read: ``samples.chunks(recording.source, recording.layout, …)``.

    ``source`` gives the bytes that ``layout`` describes: those of the file, or, where it is
    packed, of the unpacked frames.
    """

    source: Source
    layout: Layout
    packed: "FlacSource | None" = None
    """The same source, where it unpacks."""

    @property
    def file(self) -> Source:
        """The bytes as they lie."""
        return self.packed.packed if self.packed else self.source

    @property
    def name(self) -> str:
        """What the reader calls it."""
        return self.source.name


def open_recording(file: str | Path | Source) -> Recording:
    """Open a file by its first bytes, whatever its name.

    Raises:
        RecordingError: If nothing can be read from it.
    """
    source = FileSource(file) if isinstance(file, str | Path) else file
    if stream_start(source) is not None:
        from calculators.recording.flac import FlacSource  # numpy and soundfile only if needed

        unpacked = FlacSource(source)
        return Recording(unpacked, unpacked.layout, unpacked)
    return Recording(source, read_layout(source))
