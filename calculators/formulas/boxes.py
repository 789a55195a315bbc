"""Boxes in a rectangular case: the shortest arrangement for a given width and height.

Two ways, one after the other. *Corners*: boxes one by one, each where it ends first; quick, and
often the best already. *Relations*: of any two boxes one is before, beside or above the other; all
such relations are tried, and one that makes the arrangement too long, wide or high is not followed
up. Where that search comes to its end, the shortest arrangement is proved.
"""

from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from math import fsum, inf

from calculators.formulas.arrangement import (
    CLOSE,
    Arrangement,
    Place,
    Size,
    bound,
    turnings,
    volume_of,
)

ALWAYS_EXACT = 4
"""Boxes up to which all relations are tried, however long that takes: tens of milliseconds."""

MOST_RELATED = 7
"""Boxes up to which relations are tried at all; for more the end is out of reach."""

MOST_TRIED = 1000
"""Relations that are tried of more boxes than are always exact: some milliseconds."""

Options = list[list[Size]]


def missing_across(parts: Sequence[Size], width: float, height: float) -> float:
    """How much wider and higher the case would have to be for every part to go in by itself; m."""
    return max(min(max(s[1] - width, s[2] - height, 0.0) for s in turnings(part)) for part in parts)


@lru_cache(maxsize=4096)
def arrange(
    parts: tuple[Size, ...], width: float, height: float, *, related: bool = True
) -> Arrangement:
    """The shortest arrangement that was found of boxes in a case of this width and height.

    Args:
        parts: Their sizes, with all that is to be kept free around them. Each must go in by itself.
        width: Across; m.
        height: m.
        related: Whether to try relations where corners alone prove nothing.
    """
    options = [
        [s for s in turnings(part) if s[1] <= width + CLOSE and s[2] <= height + CLOSE]
        for part in parts
    ]
    least = bound(options, width * height, _beside(options, width, height))
    best: list[Place] | None = None
    length = fsum(min(s[0] for s in sizes) for sizes in options) + 1.0
    for order in _orders(parts, options):
        found = _corners(options, order, width, height, length)
        if found:
            best, length = found, max(place.end for place in found)
        if length <= least + CLOSE:
            break
    assert best is not None  # one behind the other always goes
    if related and length > least + CLOSE and len(parts) <= MOST_RELATED:
        search = _Relations(options, width, height, length, least)
        search.run()
        if search.best:
            best, length = search.best, search.length
        if search.complete:
            least = length
    return Arrangement(tuple(best), length, min(least, length))


def _beside(options: Options, width: float, height: float) -> Callable[[int, int], bool]:
    """Whether two boxes can stand beside or above each other."""
    wide = [min(s[1] for s in sizes) for sizes in options]
    high = [min(s[2] for s in sizes) for sizes in options]

    def beside(i: int, j: int) -> bool:
        return wide[i] + wide[j] <= width + CLOSE or high[i] + high[j] <= height + CLOSE

    return beside


def _orders(parts: Sequence[Size], options: Options) -> Iterator[list[int]]:
    """Orders in which boxes are put in: the awkward ones first, by several measures."""
    numbers = range(len(parts))
    yield sorted(numbers, key=lambda i: (-volume_of(parts[i]), i))
    yield sorted(numbers, key=lambda i: (-min(s[0] for s in options[i]), -max(parts[i]), i))
    yield sorted(numbers, key=lambda i: (-max(parts[i]), -min(parts[i]), i))
    yield sorted(numbers, key=lambda i: (-sorted(parts[i])[1] * max(parts[i]), i))


def _corners(
    options: Options, order: Sequence[int], width: float, height: float, below: float
) -> list[Place] | None:
    """Boxes one by one, each at the corner and turned so that it ends first."""
    points: list[Size] = [(0.0, 0.0, 0.0)]
    placed: dict[int, Place] = {}
    for number in order:
        found = _first_to_end(options[number], points, list(placed.values()), width, height)
        if found is None or found.end > below - CLOSE:
            return None
        placed[number] = found
        (x, y, z), (along, across, up) = found.corner, found.size
        points.remove(found.corner)
        points += [(x + along, y, z), (x, y + across, z), (x, y, z + up)]
        points += [(x + along, 0.0, 0.0), (x, y + across, 0.0), (0.0, y + across, 0.0)]
        points += [(0.0, 0.0, z + up), (0.0, y, z + up)]
        points = sorted(set(points))
    return [placed[i] for i in range(len(options))]


def _first_to_end(
    sizes: Sequence[Size],
    points: Sequence[Size],
    placed: Sequence[Place],
    width: float,
    height: float,
) -> Place | None:
    """The corner and turning with which a box ends first; ``points`` come in order along x."""
    best, key = None, (inf, inf, inf, inf)
    for size in sizes:
        along, across, up = size
        for point in points:
            x, y, z = point
            if x + along > key[0]:
                break
            if y + across > width + CLOSE or z + up > height + CLOSE:
                continue
            this = (x + along, x, z + up, y + across)
            if this < key and not any(_overlap(point, size, other) for other in placed):
                best, key = Place(point, size), this
    return best


def _overlap(corner: Size, size: Size, other: Place) -> bool:
    """Whether two boxes share more than a face."""
    (x, y, z), (along, across, up) = corner, size
    (a, b, c), (length, width, height) = other.corner, other.size
    return (
        a + length > x + CLOSE
        and x + along > a + CLOSE
        and b + width > y + CLOSE
        and y + across > b + CLOSE
        and c + height > z + CLOSE
        and z + up > c + CLOSE
    )


class _Relations:
    """The search over relations, depth first.

    ``starts`` and ``sizes`` are by axis and box; ``before`` and ``after`` hold, as bits, the boxes
    that are known to be before and after one along an axis, directly or through others.
    """

    def __init__(
        self, options: Options, width: float, height: float, length: float, least: float
    ) -> None:
        numbers = range(len(options))
        self.order = sorted(numbers, key=lambda i: (-volume_of(options[i][0]), i))
        self.options = [options[i] for i in self.order]
        self.limits = [length - CLOSE, width + CLOSE, height + CLOSE]
        self.length, self.least = length, least
        self.best: list[Place] | None = None
        self.tried = 0
        count = len(options)
        self.most = inf if count <= ALWAYS_EXACT else MOST_TRIED
        self.sizes = [[0.0] * count for _ in range(3)]

    @property
    def complete(self) -> bool:
        """Whether the search came to its end."""
        return self.tried <= self.most

    def run(self) -> None:
        """Try all, or as many as there is time for."""
        count = len(self.options)
        self._add(0, [[0.0] * count for _ in range(3)], [[0] * count for _ in range(6)], -1)

    def _over(self) -> bool:
        return self.tried > self.most or self.length <= self.least + CLOSE

    def _add(self, box: int, starts: list[list[float]], known: list[list[int]], last: int) -> None:
        """Turn the next box in every way, and relate it to those before it."""
        if box == len(self.options):
            self._keep(starts)
            return
        alike = box > 0 and self.options[box] == self.options[box - 1]
        shortest = self.length
        for turn, size in enumerate(self.options[box]):
            if alike and turn < last:
                continue  # two of a kind may change places
            if size[0] > self.limits[0]:
                continue
            for axis in range(3):
                self.sizes[axis][box] = size[axis]
            self._relate(box, 0, starts, known, turn)
            if self._over() or (self.length < shortest and self._too_long(box, starts[0])):
                return

    def _relate(
        self, box: int, other: int, starts: list[list[float]], known: list[list[int]], turn: int
    ) -> None:
        while other < box and any(
            (known[axis][box] | known[axis + 3][box]) >> other & 1 for axis in range(3)
        ):
            other += 1  # apart already
        if other == box:
            self._add(box + 1, starts, known, turn)
            return
        shortest = self.length
        for axis in range(3):
            pairs = ((other, box), (box, other)) if box > 1 else ((other, box),)  # mirrored
            for first, second in pairs:
                self.tried += 1
                if self._over() or (self.length < shortest and self._too_long(box + 1, starts[0])):
                    return
                moved = self._put(axis, first, second, starts[axis], known)
                if moved is None:
                    continue
                start, before, after = moved
                next_starts, next_known = starts.copy(), known.copy()
                next_starts[axis], next_known[axis], next_known[axis + 3] = start, before, after
                self._relate(box, other + 1, next_starts, next_known, turn)

    def _too_long(self, count: int, start: list[float]) -> bool:
        """Whether what stands already is too long, now that a shorter arrangement is known."""
        size, limit = self.sizes[0], self.limits[0]
        return any(start[box] + size[box] > limit for box in range(count))

    def _put(
        self, axis: int, first: int, second: int, start: list[float], known: list[list[int]]
    ) -> tuple[list[float], list[int], list[int]] | None:
        """One box behind another along an axis; None if that makes it too long."""
        size, limit = self.sizes[axis], self.limits[axis]
        if size[first] + size[second] > limit:
            return None
        start, before, after = start.copy(), known[axis].copy(), known[axis + 3].copy()
        if not _push(start, size, after, first, second, limit):
            return None
        earlier, later = before[first] | 1 << first, after[second] | 1 << second
        for box in range(len(start)):
            if earlier >> box & 1:
                after[box] |= later
            if later >> box & 1:
                before[box] |= earlier
        return start, before, after

    def _keep(self, starts: list[list[float]]) -> None:
        """An arrangement that is shorter than any before."""
        count = len(self.options)
        found: list[Place | None] = [None] * count
        for box, number in enumerate(self.order):
            x, y, z = (starts[axis][box] for axis in range(3))
            along, across, up = (self.sizes[axis][box] for axis in range(3))
            found[number] = Place((x, y, z), (along, across, up))
        self.best = [place for place in found if place is not None]
        self.length = max(place.end for place in self.best)
        self.limits[0] = self.length - CLOSE


def _push(
    start: list[float], size: list[float], after: list[int], first: int, second: int, limit: float
) -> bool:
    """Move ``second``, and all after it, behind ``first``; False if one goes beyond the limit."""
    at = start[first] + size[first]
    if at <= start[second]:
        return True
    if at + size[second] > limit:
        return False
    start[second] = at
    later = after[second]
    return all(
        _push(start, size, after, second, box, limit)
        for box in range(len(start))
        if later >> box & 1
    )
