"""What a picture or table is made from: what was measured, and what its numbers mean."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.axes import HOUR
from calculators.recording.calibration import Calibration
from calculators.recording.expected import Expected
from calculators.recording.findings import Finding, Item, Span, items_of
from calculators.recording.over_time import Days, Grid, days_of, grid_of
from calculators.recording.summary import Summary
from calculators.recording.timeline import Stretch, Timeline, make_timeline

LEAST_OF_A_DAY = 6 * HOUR


@dataclass(frozen=True)
class Shown:
    """A summary with all that is said of it.

    Args:
        summary: What was measured; of one file at least, with one frame at least.
        calibration: What full scale stands for.
        findings: What the judges say, in their order.
        expected: What the rig says; None where no rig is given.
        title: What the recording is called.
        prefix: In front of the ids of pictures, so that two sets can stand in one page.
    """

    summary: Summary
    calibration: Calibration
    findings: Sequence[Finding] = ()
    expected: Expected | None = None
    title: str = "Recording"
    prefix: str = "recording"

    def name(self, picture: str, width: float) -> str:
        """The id of a picture made for a width."""
        return f"{self.prefix}-{picture}-{width:.0f}"

    @cached_property
    def items(self) -> list[Item]:
        """The findings as they are told: those of several channels in one."""
        return items_of(self.findings)

    @cached_property
    def timeline(self) -> Timeline:
        """Where the files lie in time."""
        return make_timeline([(file.layout, file.started) for file in self.summary.files])

    @cached_property
    def grid(self) -> Grid:
        """What was measured over time."""
        return grid_of(self.summary.columns)

    @cached_property
    def days(self) -> Days | None:
        """Hours by day of the first channel that hears anything.

        None without a clock, or where there is too little of a day to be seen.
        """
        timeline = self.timeline
        if not timeline.clocked or timeline.end - timeline.start < LEAST_OF_A_DAY:
            return None
        heard = [n for n, one in enumerate(self.summary.by_channel) if one.mean_square > 0]
        return days_of(self.summary.hours, self.summary.bands, heard[0] if heard else 0)

    @property
    def self_noise(self) -> tuple[Floats, Floats] | None:
        """Frequencies (Hz) and density levels that the rig predicts for its own noise."""
        curve = self.expected.self_noise if self.expected else None
        if curve is None:
            return None
        levels = np.array([level.value for level in curve.levels])
        return np.array(curve.frequencies), levels + self.calibration.shift

    def stretch(self, span: Span) -> Stretch | None:
        """Where a span lies on the axis of time; None where it is the whole of something."""
        if span.seconds <= 0 and span.file is None:
            return None
        start, end = (
            self.timeline.files[span.file]
            if span.file is not None
            else (
                self.timeline.start,
                self.timeline.end,
            )
        )
        if span.seconds <= 0 and span.start <= 0:
            return start, end
        return start + span.start, start + span.start + span.seconds

    def stretches(self, item: Item) -> list[Stretch]:
        """The times at which an item holds, where it holds at some and not all the time."""
        if item.first.kind == "gap":  # it names the files behind the gaps
            return self.timeline.gaps
        found = [self.stretch(span) for span in item.where]
        return [stretch for stretch in found if stretch is not None]
