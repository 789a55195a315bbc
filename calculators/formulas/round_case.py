"""Boxes in a round tube: rows along it, lying on each other.

Each row is a line of boxes one behind the other. The rows lie on each other like planks, each box
in the middle of its chord; a row is as high as the highest box in it. All ways to share the boxes
among rows are tried, as far as there is time. For one or two boxes these are all ways there are.
For more the search is a good guess, proved only where it meets the bound; rectangular cases that
lie in the tube are tried beside it.
"""

from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import permutations
from math import fsum, hypot, pi, sqrt

from calculators.formulas import boxes
from calculators.formulas.arrangement import (
    CLOSE,
    Arrangement,
    Place,
    Size,
    bound,
    turnings,
    volume_of,
)

MOST_ROWS = 4
"""Rows on each other; more are so flat that they are better entered as one part."""

ALWAYS_EXACT = 2
"""Boxes up to which rows are all there is."""

MOST_TRIED = 500
"""Boxes put into rows: some milliseconds."""

INSCRIBED = ((0.7071067811865475, 0.7071067811865475), (0.8, 0.6))
"""Width and height of rectangles that lie in a circle of diameter 1."""

Layer = tuple[float, float]
"""Of a row: how far its begin must stay below the axis at least, and how high it is."""

Row = tuple[float, float, float]
"""Length of a row, and its layer."""


@lru_cache(maxsize=4096)
def arrange(parts: tuple[Size, ...], diameter: float) -> Arrangement:
    """The shortest arrangement in rows that was found of boxes in a tube.

    Args:
        parts: Their sizes, with all that is to be kept free around them. Each must go in by itself.
        diameter: Of the bore; m.
    """
    options = [
        [s for s in turnings(part) if hypot(s[1], s[2]) <= diameter + CLOSE] for part in parts
    ]
    least = bound(options, pi / 4 * diameter**2, _beside(options, diameter))
    search = _Rows(options, diameter, least)
    search.add(0, ())
    if search.complete and len(parts) <= ALWAYS_EXACT:
        least = search.length
    found = Arrangement(search.places(), search.length, min(least, search.length))
    for rectangle in INSCRIBED:
        if not found.shortest:
            found = min(found, _inscribed(parts, diameter, rectangle, found), key=_length)
    return found


def missing_across(parts: Sequence[Size], diameter: float) -> float:
    """How much wider the bore would have to be for every part to go in by itself; m."""
    return max(
        min(max(hypot(s[1], s[2]) - diameter, 0.0) for s in turnings(part)) for part in parts
    )


def _length(arrangement: Arrangement) -> float:
    return arrangement.length


def _inscribed(
    parts: tuple[Size, ...], diameter: float, rectangle: tuple[float, float], known: Arrangement
) -> Arrangement:
    """The arrangement in a rectangular case that lies in the tube, or the known one."""
    width, height = (diameter * part for part in rectangle)
    if boxes.missing_across(parts, width, height) > 0:
        return known
    found = boxes.arrange(parts, width, height, related=False)
    places = tuple(
        Place((x, y - width / 2, z - height / 2), place.size)
        for place in found.places
        for x, y, z in [place.corner]
    )
    return Arrangement(places, found.length, known.least)


def _beside(options: Sequence[Sequence[Size]], diameter: float) -> Callable[[int, int], bool]:
    """Whether two boxes go into the tube beside each other."""
    layers = [[layer(size, diameter) for size in sizes] for sizes in options]

    def beside(i: int, j: int) -> bool:
        return any(stack((a, b)) is not None for a in layers[i] for b in layers[j])

    return beside


def layer(size: Size, diameter: float) -> Layer:
    """What a box asks of its row.

    At half its width from the middle the tube leaves ±c with c = √(D² − w²)/2. A box of height h
    begins between −c and c − h. So a row of height H that holds it begins at c − h at the most,
    and at −c − (H − h) at the least: with m = h − c, from m − H to −m.
    """
    _, width, height = size
    reach = sqrt(max(0.0, (diameter + CLOSE) ** 2 - width**2)) / 2
    return height - reach, height


@lru_cache(maxsize=65536)
def stack(rows: tuple[Layer, ...]) -> tuple[float, ...] | None:
    """Heights above the axis at which rows on each other begin, or None if they don't go in.

    Every order is tried, mirrored ones once.
    """
    for order in permutations(range(len(rows))):
        if order[0] > order[-1]:
            continue
        lowest, highest, below = -1e9, 1e9, 0.0
        for row in order:
            inset, height = rows[row]
            lowest = max(lowest, inset - height - below)
            highest = min(highest, -inset - below)
            below += height
        if lowest <= highest + CLOSE:
            return _begins(rows, order, (lowest + highest) / 2)
    return None


def _begins(rows: tuple[Layer, ...], order: tuple[int, ...], bottom: float) -> tuple[float, ...]:
    found = [0.0] * len(rows)
    for row in order:
        found[row] = bottom
        bottom += rows[row][1]
    return tuple(found)


class _Rows:
    """The search over rows, depth first, the way that ends first before the others."""

    def __init__(self, options: list[list[Size]], diameter: float, least: float) -> None:
        numbers = range(len(options))
        self.order = sorted(numbers, key=lambda i: (-volume_of(options[i][0]), i))
        self.options = [[(s, layer(s, diameter)) for s in options[i]] for i in self.order]
        self.least = least
        self.chosen: list[tuple[int, Size, Layer]] = []
        self.best = [(0, *sizes[0]) for sizes in self.options]  # all in one row always goes
        self.length = fsum(size[0] for _, size, _ in self.best)
        self.tried = 0

    @property
    def complete(self) -> bool:
        """Whether the search came to its end."""
        return self.tried <= MOST_TRIED

    def add(self, count: int, rows: tuple[Row, ...]) -> None:
        """Put the next box into every row, turned in every way."""
        if count == len(self.options):
            self.best, self.length = self.chosen.copy(), max(row[0] for row in rows)
            return
        for length, row, size, asked in self._ways(count, rows):
            self.tried += 1
            if not self.complete or self.length <= self.least + CLOSE:
                return
            if length >= self.length - CLOSE:
                return  # those that follow are no shorter
            changed = _with(rows, row, size, asked)
            if stack(tuple([(inset, height) for _, inset, height in changed])) is None:
                continue
            self.chosen.append((row, size, asked))
            self.add(count + 1, changed)
            self.chosen.pop()

    def _ways(self, count: int, rows: tuple[Row, ...]) -> list[tuple[float, int, Size, Layer]]:
        """Rows and turnings for a box, with the length that the longest row then has."""
        begun = [row[0] for row in rows]
        longest, limit = max(begun, default=0.0), self.length - CLOSE
        if len(begun) < MOST_ROWS:
            begun.append(0.0)
        return sorted(
            [
                (max(longest, start + size[0]), row, size, asked)
                for row, start in enumerate(begun)
                for size, asked in self.options[count]
                if start + size[0] < limit
            ]
        )

    def places(self) -> tuple[Place, ...]:
        """Where each box of the best arrangement stands; across and up from the axis."""
        rows: tuple[Row, ...] = ()
        begins = []
        for row, size, asked in self.best:
            begins.append(rows[row][0] if row < len(rows) else 0.0)
            rows = _with(rows, row, size, asked)
        bottoms = stack(tuple((inset, height) for _, inset, height in rows))
        assert bottoms is not None  # it went in when it was found
        found = {}
        for number, begin, (row, size, asked) in zip(self.order, begins, self.best, strict=True):
            lowest = asked[0] - asked[1]  # −c: as low in its row as the wall lets it
            bottom = max(bottoms[row], lowest)
            found[number] = Place((begin, -size[1] / 2, bottom), size)
        return tuple(found[number] for number in range(len(self.order)))


def _with(rows: tuple[Row, ...], row: int, size: Size, asked: Layer) -> tuple[Row, ...]:
    """The rows with one more box in one of them."""
    if row == len(rows):
        return (*rows, (size[0], *asked))
    length, inset, height = rows[row]
    longer = (length + size[0], max(inset, asked[0]), max(height, asked[1]))
    return (*rows[:row], longer, *rows[row + 1 :])
