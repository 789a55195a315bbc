"""Results of parts that are kept, so that a run which was stopped goes on where it was."""

import json
from dataclasses import asdict
from hashlib import sha256
from pathlib import Path

from calculators import EDITION
from calculators.errors import InputError
from calculators.recording.errors import RecordingError
from calculators.recording.packing import MARK
from calculators.recording.partial import Partial
from calculators.recording.work import Measured, Part

FOLDER = "parts"
"""Inside the folder of the output; whoever has the report may remove it."""


class Kept:
    """Results on the disk, each under a name that says what it was made from.

    Name, size and time of change of the file, the stretch of it, the settings and the edition of
    the program are all part of that name: if one of them is another, the part is measured anew.

    Args:
        folder: Of the output; made if it is not there.

    Raises:
        InputError: If the folder cannot be made.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder / FOLDER
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise _refused(self._folder, "made", error) from error

    def load(self, part: Part) -> Measured | None:
        """The result of a part; None where there is none, or one that is damaged."""
        path = self._path(part)
        try:
            packed = path.read_bytes()
            Partial.from_bytes(packed)
        except (FileNotFoundError, RecordingError):
            return None
        except OSError as error:
            raise _refused(path, "read", error) from error
        return Measured(packed)

    def save(self, part: Part, result: Measured) -> None:
        """Keep a result: whole or not at all, whenever the program is ended.

        One of a file that could not be read to its end is not kept: another time it may be.
        """
        if result.damage:
            return
        path = self._path(part)
        unfinished = path.with_suffix(".unfinished")
        try:
            unfinished.write_bytes(result.packed)
            unfinished.replace(path)
        except OSError as error:
            raise _refused(path, "written", error) from error

    def _path(self, part: Part) -> Path:
        made_from = asdict(part) | {"edition": EDITION, "version": MARK.decode()}
        del made_from["path"]  # a card may be mounted elsewhere the next time
        text = json.dumps(made_from, sort_keys=True)
        return self._folder / f"{sha256(text.encode()).hexdigest()[:32]}.part"


def _refused(path: Path, what: str, error: OSError) -> InputError:
    return InputError("--out", f"{path} cannot be {what}: {error.strerror or error}.")
