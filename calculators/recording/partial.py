"""What is known of some stretches of a deployment, in a form that adds up and travels."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass, field, fields, replace
from typing import Any

import numpy as np

from calculators.errors import InputError
from calculators.recording import packing
from calculators.recording.arrays import Array, Complexes, Counts, Floats
from calculators.recording.grid import TimeGrid
from calculators.recording.measures import Measures, measures_of
from calculators.recording.places import Place, Run
from calculators.recording.runs import KINDS, Closed, Edge, Stretch, Tally, joined, open_runs
from calculators.recording.scale import Scale
from calculators.recording.settings import Settings

MOST_STRETCHES = 2**16
"""Stretches that do not meet, and files, that one partial result may have."""

MOST_FRAMES = 2**40
"""Frames of a file, at most."""


@dataclass
class Sums:
    """All that is added up over the frames: C channels, P pairs of them, arrays all."""

    frames: Counts
    """Frames in blocks, ()."""

    total: Floats
    """Sum of the samples, (C,)."""

    squares: Floats
    """Sum of their squares, (C,)."""

    not_finite: Counts
    """Samples that are no number, taken as zero, (C,)."""

    products: Floats
    """Sum of the products of a pair's samples, (P,)."""

    equal: Counts
    """Frames in varied blocks in which both channels of a pair are the same, (P,)."""

    opposite: Counts
    """Frames in varied blocks in which one channel is minus the other one, (P,)."""

    varied: Counts
    """Frames in blocks in which neither channel of the pair is constant, (P,)."""

    ceiling: Counts
    """Blocks by their highest sample and by their lowest one, (C, 2, CEILINGS + 2)."""

    segments: Counts
    """Segments, ()."""

    density: Floats
    """Sum of their mean-square spectral densities, (C, B)."""

    low_segments: Counts
    """Segments of the low band, ()."""

    low_density: Floats
    """(C, L)"""

    low_cross: Complexes
    """(P, L)"""

    low_log: Floats
    """Sum of the natural logarithms of low-band densities, (C, L); the line at 0 Hz stays zero."""

    low_log_segments: Counts
    """Segments summed in it: those without a line that is exactly zero, (C,)."""

    levels: Counts
    """Histograms of the levels of slices, (C, K + 1, BINS + 2); the last one is of all together."""


@dataclass
class Extremes:
    """The lowest and the highest sample of each channel, and where it is for the first time."""

    values: Floats
    """(2, C): lowest, highest."""

    places: Counts
    """(2, C, 2): file and frame."""

    def merged(self, other: "Extremes") -> "Extremes":
        """The more extreme of both, and the earlier one of equal ones."""
        sign = np.array([[1.0], [-1.0]])
        one, two = self.values * sign, other.values * sign
        (file, frame), (other_file, other_frame) = (
            np.moveaxis(extremes.places, -1, 0) for extremes in (self, other)
        )
        earlier = (other_file < file) | ((other_file == file) & (other_frame < frame))
        take = (two < one) | ((two == one) & earlier)
        return Extremes(
            np.where(take, other.values, self.values),
            np.where(take[..., None], other.places, self.places),
        )


@dataclass
class Partial:
    """What was measured of some stretches of some files.

    ``merge`` adds another one, of other stretches, in any order. Counts and runs then are exactly
    those of one pass, sums are within float rounding. ``to_bytes`` and ``from_bytes`` carry one
    from process to process, or from one visit of a page to the next.
    """

    settings: Settings
    rate: int
    channels: int
    starts: dict[int, float]
    """Where each file begins on the time axis; seconds."""

    scales: dict[int, Scale]
    """The ends of the scale of each file."""

    stretches: tuple[Stretch, ...]
    tallies: dict[str, tuple[Tally, ...]]
    """Runs of each kind by channel, of repeats of all channels together."""

    sums: Sums
    extremes: Extremes
    columns: TimeGrid
    hours: TimeGrid
    left_out: dict[int, tuple[tuple[int, int], ...]] = field(default_factory=dict)
    """By file: frames from … up to … that cannot be had, because they are packed and damaged."""

    @property
    def frames_left_out(self) -> int:
        """Frames that cannot be had."""
        return sum(last - first for spans in self.left_out.values() for first, last in spans)

    @property
    def frames(self) -> int:
        """Frames that were looked at."""
        return sum(stretch.frames for stretch in self.stretches)

    def merge(self, later: "Partial") -> "Partial":
        """Both together.

        Raises:
            RecordingError: If they were measured differently, or have a stretch in common.
        """
        _require_alike(self, later)
        merged = replace(
            self,
            starts=self.starts | later.starts,
            scales=self.scales | later.scales,
            stretches=(),
            tallies={
                kind: tuple(
                    one.merged(two, self.settings.listed)
                    for one, two in zip(self.tallies[kind], later.tallies[kind], strict=True)
                )
                for kind in self.tallies
            },
            sums=_added(self.sums, later.sums),
            extremes=self.extremes.merged(later.extremes),
            columns=self.columns.merged(later.columns),
            hours=self.hours.merged(later.hours),
            left_out=dict(self.left_out),
        )
        merged.join(self.stretches + later.stretches)
        for file, spans in later.left_out.items():
            for first, last in spans:
                merged.leave_out(file, first, last)
        return merged

    def leave_out(self, file: int, first: int, last: int) -> None:
        """Note that frames cannot be had; spans that meet become one."""
        spans: list[tuple[int, int]] = []
        for start, end in sorted((*self.left_out.get(file, ()), (first, last))):
            if spans and start <= spans[-1][1]:
                start, end = spans[-1][0], max(end, spans.pop()[1])
            spans.append((start, end))
        self.left_out[file] = tuple(spans)

    def join(self, stretches: Iterable[Stretch]) -> None:
        """Take these stretches in, and count the runs that end where two of them meet."""
        kept: list[Stretch] = []
        both = (*self.stretches, *stretches)
        for stretch in sorted(both, key=lambda one: (one.file, one.first)):
            before = kept[-1] if kept and kept[-1].file == stretch.file else None
            if before and before.last > stretch.first:
                raise packing.refused(
                    f"Frames {stretch.first} to {min(before.last, stretch.last)} of file "
                    f"{stretch.file} are in both results. Merge results of different stretches."
                )
            if before and before.last == stretch.first:
                kept[-1], closed = joined(before, stretch)
                self.close(closed)
            else:
                kept.append(stretch)
        if len(kept) > MOST_STRETCHES:
            raise packing.refused(f"More than {MOST_STRETCHES} stretches that do not meet.")
        self.stretches = tuple(kept)

    def close(self, runs: Iterable[Closed]) -> None:
        """Count runs of which both ends are known."""
        by_kind: dict[tuple[str, int], list[Run]] = {}
        for channel, value, run in runs:
            if channel == self.channels:
                self._close_repeat(int(value), run)
                continue
            kind = self.scales[run.place.file].kind(value, run.length, self.settings)
            if kind:
                by_kind.setdefault((kind, channel), []).append(run)
        for (kind, channel), found in by_kind.items():
            tallies = list(self.tallies[kind])
            tallies[channel] = tallies[channel].with_runs(found, self.settings.listed)
            self.tallies[kind] = tuple(tallies)
            if kind in self.columns.empty:
                self._spread(kind, channel, found)

    def _close_repeat(self, lag: int, run: Run) -> None:
        """Count frames that come again ``lag`` frames later; they are listed where they do."""
        if run.length >= self.settings.shortest_repeat:
            again = Run(Place(run.place.file, run.place.frame + lag), run.length)
            (tally,) = self.tallies["repeats"]
            self.tallies["repeats"] = (tally.with_runs([again], self.settings.listed),)

    def copy(self) -> "Partial":
        """The same, apart: neither changes when the other one goes on."""
        return replace(
            self,
            starts=dict(self.starts),
            scales=dict(self.scales),
            tallies=dict(self.tallies),
            sums=Sums(*(getattr(self.sums, part.name).copy() for part in fields(Sums))),
            extremes=Extremes(self.extremes.values.copy(), self.extremes.places.copy()),
            columns=self.columns.copy(),
            hours=self.hours.copy(),
            left_out=dict(self.left_out),
        )

    def finished(self) -> "Partial":
        """A copy in which the runs at the ends of the stretches are counted as far as they go."""
        copy = self.copy()
        for stretch in self.stretches:
            copy.close(open_runs(stretch))
        return copy

    def to_bytes(self) -> bytes:
        """As bytes, for ``from_bytes`` of the same version."""
        return packing.pack(_description(self), _arrays(self))

    @staticmethod
    def from_bytes(data: bytes | bytearray | memoryview) -> "Partial":
        """What ``to_bytes`` gave.

        Raises:
            RecordingError: If these bytes are something else, of another version, or damaged.
        """
        description, arrays = packing.unpack(bytes(data))
        try:
            return _read(description, arrays)
        except (ValueError, TypeError, KeyError, IndexError, OverflowError) as error:
            raise packing.refused("It is damaged. Check the recording again.") from error

    def _spread(self, kind: str, channel: int, runs: list[Run]) -> None:
        """The frames of runs, second by second, into the columns."""
        seconds: dict[float, int] = {}
        for run in runs:
            frame, end = run.place.frame, run.place.frame + run.length
            while frame < end:
                second = frame // self.rate
                until = min(end, (second + 1) * self.rate)
                at = self.starts[run.place.file] + second
                seconds[at] = seconds.get(at, 0) + until - frame
                frame = until
        counts = np.zeros((len(seconds), self.channels), dtype=np.int64)
        counts[:, channel] = list(seconds.values())
        self.columns.add(np.array(list(seconds)), **{kind: counts})


def blank(measures: Measures) -> Partial:
    """Nothing measured yet."""
    return Partial(
        settings=measures.settings,
        rate=measures.rate,
        channels=measures.channels,
        starts={},
        scales={},
        stretches=(),
        tallies={kind: (Tally(),) * measures.channels for kind in KINDS} | {"repeats": (Tally(),)},
        sums=Sums(**{name: np.zeros_like(array) for name, array in measures.sums().items()}),
        extremes=Extremes(
            np.array([[np.inf] * measures.channels, [-np.inf] * measures.channels]),
            np.zeros((2, measures.channels, 2), dtype=np.int64),
        ),
        columns=measures.columns(),
        hours=measures.hours(),
    )


def _added(one: Sums, two: Sums) -> Sums:
    return Sums(*(getattr(one, part.name) + getattr(two, part.name) for part in fields(Sums)))


def _require_alike(one: Partial, two: Partial) -> None:
    for name in ("settings", "rate", "channels"):
        if getattr(one, name) != getattr(two, name):
            raise packing.refused(
                f"The {name} of one result: {getattr(one, name)}; of the other one: "
                f"{getattr(two, name)}. Only results that are alike in this can be merged."
            )
    for file in one.starts.keys() & two.starts.keys():
        if one.starts[file] != two.starts[file] or one.scales[file] != two.scales[file]:
            raise packing.refused(f"File {file} of one result is not file {file} of the other.")


def _description(partial: Partial) -> dict[str, Any]:
    """All but the arrays."""
    return {
        "settings": asdict(partial.settings),
        "rate": partial.rate,
        "channels": partial.channels,
        "files": [
            [file, start, partial.scales[file].lowest, partial.scales[file].highest]
            for file, start in partial.starts.items()
        ],
        "stretches": [
            [
                one.file,
                one.first,
                one.last,
                *(_edge_rows(edges) for edges in (one.heads, one.tails)),
            ]
            for one in partial.stretches
        ],
        "tallies": {
            kind: [
                [one.samples, one.count, [_run_row(run) for run in one.listed]] for one in tallies
            ]
            for kind, tallies in partial.tallies.items()
        },
        "grids": [
            [grid.duration, grid.first, grid.count] for grid in (partial.columns, partial.hours)
        ],
        "left_out": [
            [file, first, last] for file, spans in partial.left_out.items() for first, last in spans
        ],
    }


def _edge_rows(edges: tuple[Edge, ...]) -> list[list[float]]:
    return [[edge.value, edge.length, edge.beyond] for edge in edges]


def _run_row(run: Run) -> list[int]:
    return [run.place.file, run.place.frame, run.length]


def _arrays(partial: Partial) -> dict[str, Array]:
    sums = {f"sums.{part.name}": getattr(partial.sums, part.name) for part in fields(Sums)}
    columns = {f"columns.{name}": value for name, value in partial.columns.fields.items()}
    hours = {f"hours.{name}": value for name, value in partial.hours.fields.items()}
    extremes = {"values": partial.extremes.values, "places": partial.extremes.places}
    return {**sums, **columns, **hours, **extremes}


def _read(description: dict[str, Any], arrays: dict[str, Array]) -> Partial:
    """A partial result from its parts, each of which has to have the shape that it must have."""
    try:
        settings = Settings(**description["settings"])
    except InputError as error:
        raise ValueError(error.message) from error
    measures = measures_of(settings, int(description["rate"]), int(description["channels"]))
    partial = blank(measures)
    partial.starts = {int(file): float(start) for file, start, _, _ in description["files"]}
    partial.scales = {
        int(file): Scale(float(low), float(high)) for file, _, low, high in description["files"]
    }
    partial.stretches = tuple(
        Stretch(int(file), int(first), int(last), _edges(heads), _edges(tails))
        for file, first, last, heads, tails in description["stretches"]
    )
    partial.tallies = {
        kind: tuple(_tally(*row) for row in description["tallies"][kind])
        for kind in partial.tallies
    }
    for grid, (duration, first, count) in zip(
        (partial.columns, partial.hours), description["grids"], strict=True
    ):
        grid.duration, grid.first, grid.count = int(duration), int(first), int(count)
    if not isinstance(description["left_out"], list):
        raise ValueError("no list of frames")
    for file, first, last in description["left_out"]:
        partial.leave_out(int(file), int(first), int(last))
    _require_sound(partial)
    _fill(partial, arrays)
    return partial


def _edges(rows: list[tuple[float, int, int]]) -> tuple[Edge, ...]:
    return tuple(Edge(float(value), int(length), int(beyond)) for value, length, beyond in rows)


def _tally(samples: int, count: int, listed: list[tuple[int, int, int]]) -> Tally:
    runs = (Run(Place(int(file), int(frame)), int(length)) for file, frame, length in listed)
    return Tally(int(samples), int(count), tuple(runs))


def _require_sound(partial: Partial) -> None:
    """What the rest of the program relies on."""
    channels = partial.channels
    known = {one.file for one in partial.stretches} <= partial.starts.keys()
    edges = all(_sound(one, channels + 1) for one in partial.stretches)
    tallies = all(
        len(rows) == (1 if kind == "repeats" else channels)
        for kind, rows in partial.tallies.items()
    )
    grids = all(
        0 <= grid.count <= grid.most and grid.duration > 0
        for grid in (partial.columns, partial.hours)
    )
    left_out = partial.left_out.keys() <= partial.starts.keys() and all(
        0 <= first < last <= MOST_FRAMES
        for spans in partial.left_out.values()
        for first, last in spans
    )
    if not (known and edges and tallies and grids and left_out):
        raise ValueError("parts that do not fit each other")


def _sound(stretch: Stretch, edges: int) -> bool:
    within = all(
        0 <= edge.length <= stretch.frames and 0 <= edge.beyond <= MOST_FRAMES
        for edge in (*stretch.heads, *stretch.tails)
    )
    known = len(stretch.heads) == len(stretch.tails) == edges
    return known and within and 0 <= stretch.first < stretch.last <= MOST_FRAMES


def _fill(partial: Partial, arrays: dict[str, Array]) -> None:
    expected = _arrays(partial)
    if expected.keys() != arrays.keys():
        raise ValueError("other arrays")
    for grid, called in ((partial.columns, "columns"), (partial.hours, "hours")):
        for name, column in grid.empty.items():
            shape = (grid.count, *column.shape)
            grid.room[name] = _alike(arrays[f"{called}.{name}"], shape, column)
    for part in fields(Sums):
        kept = getattr(partial.sums, part.name)
        setattr(partial.sums, part.name, _alike(arrays[f"sums.{part.name}"], kept.shape, kept))
    kept = partial.extremes
    partial.extremes = Extremes(
        _alike(arrays["values"], kept.values.shape, kept.values),
        _alike(arrays["places"], kept.places.shape, kept.places),
    )


def _alike(array: Array, shape: tuple[int, ...], kept: Array) -> Array:
    if array.shape != shape or array.dtype != kept.dtype:
        raise ValueError("an array of another shape")
    return array
