"""Bars over one axis, a lane for each thing: drawn with the shapes of pictures to scale.

A frame is so many metres wide that a phone shows it at about a pixel a millimetre: words keep their
size whatever the scale, so that their room can be planned for the narrowest picture.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor, log10

from calculators.drawing import Drawing, Kind, Label, Polygon, Segment, Shape, box

WIDTH = 0.320
LINE = 0.015
"""Height of a line of words."""

BAR = 0.012
GAP = 0.006
CHARACTER = 0.0074
"""Width of a letter in the narrowest picture."""

TICK = 0.003
MOST_TICKS = 9


@dataclass(frozen=True, kw_only=True)
class Bar:
    """From one value to another; one that grows begins with no height."""

    start: float
    end: float
    kind: Kind
    grows: bool = False


@dataclass(frozen=True, kw_only=True)
class Lane:
    """Words, and the bars below them."""

    words: str
    bars: Sequence[Bar] = ()


@dataclass(frozen=True, kw_only=True)
class Mark:
    """A value that holds for every lane, with its name above."""

    at: float
    text: str


@dataclass(frozen=True, kw_only=True)
class Lanes:
    """All of it; values are numbers of the axis, whatever its unit."""

    title: str
    description: str
    axis: str
    low: float
    high: float
    lanes: Sequence[Lane]
    marks: Sequence[Mark] = ()

    def place(self, value: float) -> float:
        """Where a value stands in the frame; what lies beyond an end stands at it."""
        inside = min(max(value, self.low), self.high)
        return WIDTH * (inside - self.low) / (self.high - self.low)

    def shows(self, value: float) -> bool:
        """Whether a value lies within the axis."""
        return self.low <= value <= self.high


def draw(lanes: Lanes) -> Drawing:
    """The picture: axis below, lanes from the top, names of the marks over them."""
    height = len(lanes.lanes) * (LINE + BAR + GAP)
    shapes: list[Shape] = []
    for number, lane in enumerate(lanes.lanes):
        top = height - number * (LINE + BAR + GAP)
        shapes += _lane(lanes, lane, top)
    return Drawing(
        title=lanes.title,
        description=lanes.description,
        shapes=[*shapes, *_marks(lanes, height), *_axis(lanes)],
    )


def _lane(lanes: Lanes, lane: Lane, top: float) -> list[Shape]:
    foot = top - LINE - BAR
    shapes: list[Shape] = []
    for bar in lane.bars:
        left, right = lanes.place(bar.start), lanes.place(bar.end)
        if right <= left:
            continue
        if bar.grows:
            points = ((left, foot), (right, foot), (right, foot + BAR))
            shapes.append(Polygon(points=points, kind=bar.kind))
        else:
            shapes.append(box(left, foot, right - left, BAR, bar.kind))
    return [*shapes, Label(at=(0.0, top - LINE / 2), text=lane.words, anchor="start")]


def _marks(lanes: Lanes, height: float) -> list[Shape]:
    """Dashed lines through all lanes; names that would touch stand above each other."""
    taken: list[list[tuple[float, float]]] = []
    shapes: list[Shape] = []
    for mark in sorted((m for m in lanes.marks if lanes.shows(m.at)), key=lambda m: m.at):
        at, room = lanes.place(mark.at), len(mark.text) * CHARACTER
        left = min(max(at - room / 2, 0.0), max(WIDTH - room, 0.0))
        row = next(
            (n for n, spans in enumerate(taken) if all(end < left for _, end in spans)), len(taken)
        )
        if row == len(taken):
            taken.append([])
        taken[row].append((left, left + room + CHARACTER))
        up = height + row * LINE
        shapes += [
            Segment(start=(at, 0.0), end=(at, up), kind="hidden"),
            Label(at=(left + room / 2, up + LINE / 2), text=mark.text),
        ]
    return shapes


def _axis(lanes: Lanes) -> list[Shape]:
    shapes: list[Shape] = [Segment(start=(0.0, 0.0), end=(WIDTH, 0.0))]
    for tick in ticks(lanes.low, lanes.high):
        at = lanes.place(tick)
        text = f"{tick:g}".replace("-", "−")
        shapes += [
            Segment(start=(at, 0.0), end=(at, -TICK)),
            Label(at=(at, -TICK - LINE / 2), text=text),
        ]
    return [*shapes, Label(at=(WIDTH / 2, -TICK - 1.5 * LINE), text=lanes.axis)]


def ticks(low: float, high: float, most: int = MOST_TICKS) -> list[float]:
    """Round numbers from low to high, no more than ``most`` of them."""
    rough = (high - low) / most
    power = 10 ** floor(log10(rough))
    step = next(n * power for n in (1, 2, 5, 10) if n * power >= rough)
    first = ceil(low / step - 1e-9)
    found = [round(n * step, 12) for n in range(first, first + most + 2)]
    return [tick for tick in found if tick <= high + step * 1e-9]


def apart(places: Sequence[float], gap: float) -> list[float]:
    """Places in falling order, moved down until each is at least a gap below the one before."""
    order = sorted(range(len(places)), key=lambda n: -places[n])
    moved = list(places)
    for upper, lower in pairwise(order):
        moved[lower] = min(places[lower], moved[upper] - gap)
    return moved
