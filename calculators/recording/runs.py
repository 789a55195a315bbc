"""Runs of equal samples: found in a stretch, closed where stretches meet, counted."""

from dataclasses import dataclass, replace
from itertools import chain

from calculators.recording.places import Place, Run, Runs

KINDS = ("clipped", "zeros", "stuck")

SHORTEST_CLIPPED = 2
"""Samples at the end of the scale that make a clipped run."""


@dataclass(frozen=True)
class Tally:
    """Runs of one kind, counted."""

    samples: int = 0
    count: int = 0
    listed: tuple[Run, ...] = ()
    """The longest ones, longest first, the earlier of two equal ones first."""

    def with_runs(self, runs: list[Run], most: int) -> "Tally":
        """These runs counted as well."""
        samples = sum(run.length for run in runs)
        return self.merged(Tally(samples, len(runs), tuple(runs)), most)

    def merged(self, other: "Tally", most: int) -> "Tally":
        """Both tallies in one, of which the ``most`` longest runs stay listed."""
        runs = sorted(self.listed + other.listed, key=lambda run: (-run.length, run.place))
        return Tally(self.samples + other.samples, self.count + other.count, tuple(runs[:most]))

    def runs(self) -> Runs:
        """As it is shown."""
        longest = self.listed[0] if self.listed else None
        in_time = tuple(sorted(self.listed, key=lambda run: run.place))
        return Runs(self.samples, self.count, longest, in_time)


@dataclass(frozen=True)
class Edge:
    """The run of equal samples that touches an end of a stretch, in one channel."""

    value: float
    length: int
    beyond: int = 0
    """Frames by which it is known to go on beyond the stretch."""


NO_EDGE = Edge(0.0, 0)


@dataclass(frozen=True)
class Stretch:
    """Frames [first, last) of a file, and the runs that touch their ends, by channel.

    A run that touches an end may go on beyond it, so it is counted only when it is known how far.
    After the channels comes one entry for frames that come again: its value is how much later.
    """

    file: int
    first: int
    last: int
    heads: tuple[Edge, ...]
    tails: tuple[Edge, ...]

    @property
    def frames(self) -> int:
        """Frames in it."""
        return self.last - self.first

    def head_run(self, channel: int) -> Run:
        """The run at its first frame, as far as it is known."""
        edge = self.heads[channel]
        return Run(Place(self.file, self.first), edge.length + edge.beyond)

    def tail_run(self, channel: int) -> Run:
        """The run at its last frame, as far as it is known."""
        edge = self.tails[channel]
        return Run(Place(self.file, self.last - edge.length), edge.length + edge.beyond)


Closed = tuple[int, float, Run]
"""A run of which both ends are known: channel, value, where."""


def joined(one: Stretch, two: Stretch) -> tuple[Stretch, list[Closed]]:
    """Two stretches that meet, as one, and the runs that end inside it now."""
    met = [_met(one, two, channel) for channel in range(len(one.heads))]
    heads, tails, closed = zip(*met, strict=True)
    return replace(one, last=two.last, heads=heads, tails=tails), list(chain(*closed))


def _met(one: Stretch, two: Stretch, channel: int) -> tuple[Edge, Edge, list[Closed]]:
    """The edges of both together in one channel, and the runs that end where they meet."""
    tail, head = one.tails[channel], two.heads[channel]
    if tail.beyond and head.value != tail.value:
        head = _spilled(tail, two.frames)
    whole_one, whole_two = tail.length == one.frames, head.length == two.frames
    if tail.value == head.value:
        edge = Edge(tail.value, tail.length + head.length, head.beyond)
        run = Run(Place(one.file, one.last - tail.length), edge.length + edge.beyond)
        closed = [] if whole_one or whole_two else [(channel, edge.value, run)]
        return (
            edge if whole_one else one.heads[channel],
            edge if whole_two else two.tails[channel],
            closed,
        )
    closed = [] if whole_one else [(channel, tail.value, one.tail_run(channel))]
    if not whole_two:
        closed.append((channel, head.value, two.head_run(channel)))
    return one.heads[channel], two.tails[channel], closed


def _spilled(tail: Edge, frames: int) -> Edge:
    """What a run that goes on beyond its stretch is in the next one, which did not notice it."""
    return Edge(tail.value, min(tail.beyond, frames), max(0, tail.beyond - frames))


def open_runs(stretch: Stretch) -> list[Closed]:
    """The runs at the ends of a stretch after which nothing comes, as far as they go."""
    found = []
    for channel, (head, tail) in enumerate(zip(stretch.heads, stretch.tails, strict=True)):
        found.append((channel, head.value, stretch.head_run(channel)))
        if head.length < stretch.frames:
            found.append((channel, tail.value, stretch.tail_run(channel)))
    return found
