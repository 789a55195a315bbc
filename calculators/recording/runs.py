"""Runs of equal samples: found in a stretch, closed where stretches meet, counted."""

from dataclasses import dataclass, replace

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


@dataclass(frozen=True)
class Stretch:
    """Frames [first, last) of a file, and the runs that touch their ends, by channel.

    A run that touches an end may go on beyond it, so it is counted only when it is known how far.
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
        """The run at its first frame."""
        return Run(Place(self.file, self.first), self.heads[channel].length)

    def tail_run(self, channel: int) -> Run:
        """The run at its last frame."""
        length = self.tails[channel].length
        return Run(Place(self.file, self.last - length), length)


Closed = tuple[int, float, Run]
"""A run of which both ends are known: channel, value, where."""


def joined(one: Stretch, two: Stretch) -> tuple[Stretch, list[Closed]]:
    """Two stretches that meet, as one, and the runs that end inside it now."""
    closed: list[Closed] = []
    heads, tails = list(one.heads), list(two.tails)
    for channel, (tail, head) in enumerate(zip(one.tails, two.heads, strict=True)):
        whole = tail.length == one.frames, head.length == two.frames
        if tail.value == head.value:
            edge = Edge(tail.value, tail.length + head.length)
            if whole[0]:
                heads[channel] = edge
            if whole[1]:
                tails[channel] = edge
            if not any(whole):
                place = Place(one.file, one.last - tail.length)
                closed.append((channel, edge.value, Run(place, edge.length)))
        else:
            if not whole[0]:
                closed.append((channel, tail.value, one.tail_run(channel)))
            if not whole[1]:
                closed.append((channel, head.value, two.head_run(channel)))
    return replace(one, last=two.last, heads=tuple(heads), tails=tuple(tails)), closed


def open_runs(stretch: Stretch) -> list[Closed]:
    """The runs at the ends of a stretch after which nothing comes, as far as they go."""
    found = []
    for channel, (head, tail) in enumerate(zip(stretch.heads, stretch.tails, strict=True)):
        found.append((channel, head.value, stretch.head_run(channel)))
        if head.length < stretch.frames:
            found.append((channel, tail.value, stretch.tail_run(channel)))
    return found
