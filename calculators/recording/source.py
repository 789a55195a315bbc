"""Where the bytes of a recording come from: a file, memory, or a page's own object."""

from pathlib import Path
from typing import Protocol

from calculators.recording.errors import RecordingError


class Source(Protocol):
    """Bytes that can be read from anywhere."""

    @property
    def name(self) -> str:
        """What the reader calls it, such as the name of the file."""

    @property
    def size(self) -> int:
        """Its length in bytes when it was opened."""

    def read(self, offset: int, length: int) -> bytes:
        """``length`` bytes from ``offset`` on; fewer only where it ends."""


class FileSource:
    """A file. It is open only while it is read.

    So a deployment of a thousand files holds none of them open, and a source may be sent to
    another process that sees the same folder.

    Raises:
        RecordingError: If there is no such file, or it cannot be read, here or later.
    """

    def __init__(self, path: str | Path) -> None:
        self.path = Path(path)
        self.name = self.path.name
        try:
            self.size = self.path.stat().st_size
        except OSError as error:
            raise self._refused("cannot be opened", error) from error
        if not self.path.is_file():
            raise RecordingError(self.name, "It is no file.")

    def read(self, offset: int, length: int) -> bytes:
        """``length`` bytes from ``offset`` on; fewer only where the file ends."""
        try:
            with self.path.open("rb") as file:
                file.seek(offset)
                return file.read(max(0, min(length, self.size - offset)))
        except OSError as error:
            raise self._refused(f"cannot be read at byte {offset}", error) from error

    def _refused(self, what: str, error: OSError) -> RecordingError:
        return RecordingError(self.name, f"It {what}: {error.strerror or error}.")


class BytesSource:
    """Bytes in memory."""

    def __init__(self, data: bytes, name: str = "recording") -> None:
        self.name = name
        self.size = len(data)
        self._data = data

    def read(self, offset: int, length: int) -> bytes:
        """``length`` bytes from ``offset`` on; fewer only at the end."""
        return self._data[offset : offset + length]
