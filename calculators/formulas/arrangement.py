"""Boxes in a case, edges along the case's: what every search for an arrangement shares.

A size is (along, across, up) in metres: along the case, across it, and upwards.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import fsum

Size = tuple[float, float, float]

CLOSE = 1e-9
"""Lengths nearer to each other than this, in m, are the same: sums round."""


@dataclass(frozen=True)
class Place:
    """Where one box stands: its corner nearest to the origin, and its size as it lies."""

    corner: Size
    size: Size

    @property
    def end(self) -> float:
        """Where it ends along the case."""
        return self.corner[0] + self.size[0]


@dataclass(frozen=True)
class Arrangement:
    """An arrangement, the length that it takes, and the least that any could take.

    ``least`` is proved: the arrangement is the shortest there is if it is no longer than that.
    """

    places: tuple[Place, ...]
    length: float
    least: float

    @property
    def shortest(self) -> bool:
        """Whether no arrangement is shorter."""
        return self.length <= self.least + CLOSE


def turnings(size: Size) -> list[Size]:
    """Every way in which a box can lie with its edges along the case's, each once, in order."""
    a, b, c = size
    return sorted({(a, b, c), (a, c, b), (b, a, c), (b, c, a), (c, a, b), (c, b, a)})


def volume_of(size: Size) -> float:
    """Volume, in m³."""
    return size[0] * size[1] * size[2]


def bound(
    options: Sequence[Sequence[Size]], area: float, beside: Callable[[int, int], bool]
) -> float:
    """A length that no arrangement undercuts: the largest of three.

    The longest part as short as it can lie; the volume of all over the case's area; and the sum
    over parts of which no two can stand beside each other, so that all stand in one line.
    """
    shortest = [min(size[0] for size in sizes) for sizes in options]
    volume = fsum(volume_of(sizes[0]) for sizes in options)
    return max(volume / area, *shortest, _longest_line(shortest, beside))


def _longest_line(lengths: Sequence[float], beside: Callable[[int, int], bool]) -> float:
    """Largest sum of lengths of parts of which no two can stand beside each other."""
    count = len(lengths)
    apart = [[not beside(i, j) for j in range(i)] for i in range(count)]

    def longest(start: int, chosen: tuple[int, ...]) -> float:
        best = 0.0
        for i in range(start, count):
            if all(apart[i][j] for j in chosen):
                best = max(best, lengths[i] + longest(i + 1, (*chosen, i)))
        return best

    return longest(0, ())


def deciding(arrangement: Arrangement) -> list[int]:
    """The boxes that stand one behind the other all along the length, first to last."""
    places = arrangement.places
    chain = [max(range(len(places)), key=lambda i: places[i].end)]
    while places[chain[0]].corner[0] > CLOSE:
        start = places[chain[0]].corner[0]
        before = [i for i, place in enumerate(places) if abs(place.end - start) <= CLOSE]
        chain.insert(0, before[0])
    return chain
