"""Measures one stretch of a recording from the bytes of its file, packed or not.

``PartCheck`` wants frames. Where the file has them as they are, its bytes are handed on. Where they
are packed, they are unpacked on the way, and what is damaged is left out: up to the next whole
second, where a part may begin.
"""

from calculators.recording.arrays import Bytes
from calculators.recording.engine import PartCheck
from calculators.recording.opening import Recording
from calculators.recording.partial import Partial
from calculators.recording.settings import Settings

AT_A_TIME = 8
"""Chunks that are measured at once where few packed bytes hold many frames: silence."""


class Reading:
    """One stretch [first, last) of a recording, used like a ``PartCheck``.

    ``wants`` and ``add`` speak of the bytes of the file (``Recording.file``).

    Args:
        recording: Whose frames they are.
        settings, first, last, started, file: As for ``PartCheck``.

    Raises:
        RecordingError: If the stretch does not begin and end at whole seconds.
    """

    def __init__(
        self,
        recording: Recording,
        settings: Settings,
        first: int,
        last: int,
        started: float | None,
        file: int = 0,
    ) -> None:
        self._layout = recording.layout
        self._about = (last, started, file)
        self._settings = settings
        self._done: Partial | None = None
        self._check = self._part(first)
        self._unpacking = recording.packed.unpacking(first) if recording.packed else None
        self._waits = False  # whether more can be measured of the bytes that are there

    @property
    def position(self) -> int:
        """The next frame that will be read: for showing progress."""
        return self._check.position

    def wants(self) -> tuple[int, int] | None:
        """The next bytes: offset in the file and length; None when all is there.

        The length may be 0: then call ``add`` without bytes, to go on with those that are there.
        """
        wanted = self._check.wants()
        if wanted is None or self._unpacking is None:
            return wanted
        return (0, 0) if self._waits else self._unpacking.wants()

    def add(self, raw: Bytes | memoryview) -> None:
        """Take the bytes that were wanted; fewer only where the file ends too early.

        Raises:
            RecordingError: If they are more, or no whole frames.
        """
        if self._unpacking is None:
            self._check.add(raw)
            return
        wanted = self.wants()
        if wanted and len(raw) < wanted[1]:
            self._waits = False
            self._check.add(memoryview(b""))  # it ends here
            return
        self._unpacking.add(bytes(raw))
        self._take_unpacked()

    def partial(self) -> Partial:
        """What is known so far: see ``PartCheck.partial``."""
        part = self._check.partial()
        return self._done.merge(part) if self._done else part

    def _part(self, first: int) -> PartCheck:
        last, started, file = self._about
        return PartCheck(self._layout, self._settings, first, last, started, file)

    def _take_unpacked(self) -> None:
        assert self._unpacking
        self._waits = False
        for _ in range(AT_A_TIME):
            wanted = self._check.wants()
            block = self._unpacking.take(wanted[1] // self._layout.frame_bytes) if wanted else None
            if block is None:
                return
            self._check.add(memoryview(block))
            if self._unpacking.hole:
                self._go_on(*self._unpacking.hole)
        self._waits = True

    def _go_on(self, damaged: int, sound: int) -> None:
        """Leave out damaged frames, and begin anew behind them."""
        assert self._unpacking
        last, _, file = self._about
        rate = self._layout.rate
        again = min(-(-sound // rate) * rate, last)
        if damaged >= last:
            return  # it was read beyond its end: whoever has the next stretch will say so
        done = self._check.partial()
        done.leave_out(file, damaged, again)
        self._done = self._done.merge(done) if self._done else done
        self._check = self._part(again)
        self._unpacking.go_on(again)
