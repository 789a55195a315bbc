"""Measures one stretch of one file, fed with bytes: it reads nothing by itself.

So a page, the command line and a cluster run the same loop::

    check = PartCheck(layout, settings, 0, layout.frames, layout.started)
    while (wanted := check.wants()) is not None:
        check.add(read(*wanted))
    partial = check.partial()
"""

import numpy as np

from calculators.recording.arrays import Bytes, Floats
from calculators.recording.blocks import Blocks
from calculators.recording.geometry import Geometry
from calculators.recording.layout import Layout
from calculators.recording.measures import measures_of
from calculators.recording.packing import refused
from calculators.recording.partial import Partial, blank
from calculators.recording.places import Place, Run
from calculators.recording.repeats import Repeats
from calculators.recording.run_finder import chunk_runs
from calculators.recording.runs import NO_EDGE, Stretch
from calculators.recording.samples import raw_to_steps, step_of
from calculators.recording.scale import scale_of
from calculators.recording.settings import Settings
from calculators.recording.spectra import Spectra

CHUNK_BYTES = 2**21
"""About what ``wants`` asks for at once."""


def cuts(layout: Layout, parts: int) -> tuple[int, ...]:
    """Frames at which a file may be cut into about ``parts`` equal parts, both ends included.

    A part reads a second or two beyond its end, so parts of a minute and more cost least.
    """
    marks = {
        round(layout.frames / layout.rate * part / parts) * layout.rate for part in range(1, parts)
    }
    return (0, *sorted(mark for mark in marks if 0 < mark < layout.frames), layout.frames)


class PartCheck:
    """One stretch of frames [first, last) of one file.

    Segments, blocks and seconds count from the first frame of the file. What begins inside the
    stretch belongs to it; to complete it, up to some two seconds beyond its end are read.

    Args:
        layout: Of the file.
        settings: The same for every part of a deployment.
        first: A whole number of seconds (a multiple of the rate).
        last: Likewise, or the number of frames of the file.
        started: Where the file begins on the time axis: seconds since 1970, or since the start of
            the sequence where there is no clock; None for 0.
        file: Its index among the files of the deployment.

    Raises:
        RecordingError: If the stretch is not of that kind.
    """

    def __init__(
        self,
        layout: Layout,
        settings: Settings,
        first: int,
        last: int,
        started: float | None,
        file: int = 0,
    ) -> None:
        whole = first % layout.rate == 0 and (last % layout.rate == 0 or last == layout.frames)
        if not (whole and 0 <= first <= last <= layout.frames):
            raise refused(
                f"Frames {first} to {last} of {layout.frames}. A part begins and ends at a whole "
                f"second, a multiple of {layout.rate} frames, or at the end of the file."
            )
        self._layout = layout
        self._first, self._last = first, last
        self._file = file
        self._measures = measures_of(settings, layout.rate, layout.channels)
        self._partial = blank(self._measures)
        self._partial.starts[file] = started or 0.0
        self._partial.scales[file] = scale_of(layout.encoding)
        geometry = self._measures.geometry
        self._end = geometry.end_of(last, layout.frames) if last > first else first
        self._position = first
        self._chunk = _chunk_frames(geometry, layout)
        # Samples from ``_held_from`` to ``_position`` are kept: what the next segment needs. They
        # are counted in steps, as it saves a pass over all of them to scale only what comes out.
        self._step = step_of(layout.encoding)
        self._samples = np.empty((layout.channels, self._chunk + 2 * geometry.segment))
        self._segment = -(-first // geometry.hop)
        self._held_from = first
        self._blocks = Blocks(self._partial, self._measures, file, first, self._step)
        self._repeats = Repeats(self._partial, geometry, layout.frame_bytes, file, (first, last))
        self._spectra = Spectra(self._partial, self._measures, file, first, self._step)

    @property
    def position(self) -> int:
        """The next frame that will be read: for showing progress."""
        return self._position

    def wants(self) -> tuple[int, int] | None:
        """The next bytes: offset in the file and length; None when all is there."""
        if self._position >= self._end:
            return None
        hop = self._measures.geometry.hop
        until = min(self._end, (self._position + self._chunk) // hop * hop)
        offset = self._layout.data_start + self._position * self._layout.frame_bytes
        return offset, (until - self._position) * self._layout.frame_bytes

    def add(self, raw: Bytes | memoryview) -> None:
        """Take the bytes that were wanted; fewer only where the file ends too early.

        Raises:
            RecordingError: If they are more, or no whole frames.
        """
        wanted = self.wants()
        data = np.frombuffer(raw, dtype=np.uint8)
        frames, rest = divmod(len(data), self._layout.frame_bytes)
        if wanted is None or rest or len(data) > wanted[1]:
            raise refused(f"{len(data)} bytes were added. Wanted: {wanted or 'no more'}.")
        if len(data) < wanted[1]:
            self._end = self._position + frames
            self._last = min(self._last, self._end)
        self._take(data, frames)

    def partial(self) -> Partial:
        """What is known so far, apart from what goes on.

        Before the end it serves for a first picture. Only the partial of a finished part may be
        kept to go on from: what began in the part and is not complete yet is not in it.
        """
        self._blocks.hand_on()
        self._spectra.hand_on()
        return self._partial.copy()

    def _take(self, data: Bytes, frames: int) -> None:
        kept = self._position - self._held_from
        new = self._samples[:, kept : kept + frames]
        raw_to_steps(data, self._layout, new)
        self._clean(new)
        at, self._position = self._position, self._position + frames
        extremes = self._blocks.add(new, at, self._last)
        known = self._samples[0, : kept + frames]
        self._repeats.add(data, self._blocks.anchors, known, self._held_from)
        self._follow_runs(new[:, : max(0, self._last - at)], at, extremes)
        self._add_segments(self._samples[:, : kept + frames])
        if self._position >= self._end:
            self._blocks.finish()
            self._repeats.finish()
            self._spectra.finish()

    def _clean(self, samples: Floats) -> None:
        """Count what is no number, and take it as zero."""
        if self._layout.encoding != "float32":
            return
        bad = ~np.isfinite(samples)
        if bad.any():
            inside = bad[:, : max(0, self._last - self._position)]
            self._partial.sums.not_finite += inside.sum(axis=1)
            samples[bad] = 0.0

    def _follow_runs(self, samples: Floats, at: int, extremes: tuple[Floats, Floats]) -> None:
        """Runs of equal samples; the extremes of each channel tell where to look for clipping."""
        if not samples.shape[1]:
            return
        scale = self._partial.scales[self._file]
        clipped = (extremes[0] <= scale.lowest) | (extremes[1] >= scale.highest)
        heads, tails, inner = chunk_runs(
            samples, self._step, scale, self._measures.settings, clipped
        )
        end = at + samples.shape[1]
        self._partial.close(
            (channel, value, Run(Place(self._file, at + start), length))
            for channel, value, start, length in inner
        )
        heads, tails = (*heads, NO_EDGE), (*tails, NO_EDGE)
        self._partial.join([Stretch(self._file, at, end, heads, tails)])

    def _add_segments(self, samples: Floats) -> None:
        """All segments that are complete; what the next one needs is kept."""
        hop, length = self._measures.geometry.hop, self._measures.geometry.segment
        begin = self._segment * hop - self._held_from
        count = max(0, (samples.shape[1] - begin - length) // hop + 1)
        if count:
            self._spectra.add(samples[:, begin:], self._segment, count, self._last)
        self._segment += count
        keep = min(samples.shape[1], self._segment * hop - self._held_from)
        rest = samples.shape[1] - keep
        self._samples[:, :rest] = samples[:, keep:]
        self._held_from += keep


def _chunk_frames(geometry: Geometry, layout: Layout) -> int:
    """A whole number of segments, of about ``CHUNK_BYTES``."""
    segments = CHUNK_BYTES // (geometry.segment * layout.frame_bytes)
    return max(1, segments) * geometry.segment
