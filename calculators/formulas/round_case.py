"""Boxes in a round tube: rows along it, lying on each other, in sections one behind the other.

Each row is a line of boxes one behind the other. The rows lie on each other like planks, each box
in the middle of its chord; a row is as high as the highest box in it. All ways to share the boxes
among rows are tried, as far as there is time; then sections, each with rows of its own. For one or
two boxes rows are all ways there are. For more the search is a good guess, proved only where it
meets the bound; rectangular cases that lie in the tube are tried beside it.
"""

from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import permutations
from math import fsum, hypot, pi, sqrt
from typing import NamedTuple

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

MOST_SECTIONS = 3
"""Sections one behind the other, each with rows of its own."""

MOST_SECTIONED = 7
"""Boxes up to which sections are tried; for more the search sees too few of them."""

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

Section = tuple[Row, ...]
"""The rows of one section of the tube."""


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
    search.run(most_sections=1)
    if search.complete and len(parts) <= ALWAYS_EXACT:
        least = search.length
    elif search.length > least + CLOSE and len(parts) <= MOST_SECTIONED:
        search.run(MOST_SECTIONS)
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
    """Whether two boxes go into the tube beside each other: if their heights fit their chords.

    Two rows that touch at s need s ≥ h₁ − c₁ above and s ≤ c₂ − h₂ below: h₁ + h₂ ≤ c₁ + c₂.
    """
    insets = [min(layer(size, diameter)[0] for size in sizes) for sizes in options]

    def beside(i: int, j: int) -> bool:
        return insets[i] + insets[j] <= CLOSE

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
    """The search over sections and rows, depth first, the way that ends first before the others."""

    def __init__(self, options: list[list[Size]], diameter: float, least: float) -> None:
        numbers = range(len(options))
        self.order = sorted(numbers, key=lambda i: (-volume_of(options[i][0]), i))
        self.options = [[(s, layer(s, diameter)) for s in options[i]] for i in self.order]
        self.least = least
        self.chosen: list[_Way] = []
        # All in one row always goes.
        self.best = [_Way(0.0, 0, 0, *sizes[0]) for sizes in self.options]
        self.length = fsum(way.size[0] for way in self.best)
        self.tried, self.most_sections = 0, 1

    @property
    def complete(self) -> bool:
        """Whether the search came to its end."""
        return self.tried <= MOST_TRIED

    def run(self, most_sections: int) -> None:
        """Look for something shorter with so many sections at the most."""
        self.tried, self.most_sections = 0, most_sections
        self._add(0, ())

    def _add(self, count: int, sections: tuple[Section, ...]) -> None:
        """Put the next box into every row of every section, turned in every way."""
        if count == len(self.options):
            self.best, self.length = self.chosen.copy(), _length_of(sections)
            return
        for way in self._ways(count, sections):
            self.tried += 1
            if not self.complete or self.length <= self.least + CLOSE:
                return
            if way.length >= self.length - CLOSE:
                return  # those that follow are no shorter
            changed = way.applied(sections)
            if stack(tuple([(inset, height) for _, inset, height in changed[way.section]])) is None:
                continue
            self.chosen.append(way)
            self._add(count + 1, changed)
            self.chosen.pop()

    def _ways(self, count: int, sections: tuple[Section, ...]) -> "list[_Way]":
        """Sections, rows and turnings for a box, with the length that all then take."""
        lengths = [max(row[0] for row in section) for section in sections]
        ways, limit = [], self.length - CLOSE
        for number in range(min(len(sections) + 1, self.most_sections)):
            begun = [row[0] for row in sections[number]] if number < len(sections) else []
            own = lengths[number] if number < len(sections) else 0.0
            others = fsum(lengths) - own
            if len(begun) < MOST_ROWS:
                begun.append(0.0)
            for row, start in enumerate(begun):
                for size, asked in self.options[count]:
                    length = others + max(own, start + size[0])
                    if length < limit:
                        ways.append(_Way(length, number, row, size, asked))
        return sorted(ways)

    def places(self) -> tuple[Place, ...]:
        """Where each box of the best arrangement stands; across and up from the axis."""
        sections: tuple[Section, ...] = ()
        begins = []
        for way in self.best:
            section = sections[way.section] if way.section < len(sections) else ()
            begins.append(section[way.row][0] if way.row < len(section) else 0.0)
            sections = way.applied(sections)
        bottoms = [stack(tuple((i, h) for _, i, h in section)) for section in sections]
        found = {}
        for number, begin, way in zip(self.order, begins, self.best, strict=True):
            before = _length_of(sections[: way.section])
            rows = bottoms[way.section]
            assert rows is not None  # it went in when it was found
            lowest = way.asked[0] - way.asked[1]  # −c: as low in its row as the wall lets it
            bottom = max(rows[way.row], lowest)
            found[number] = Place((before + begin, -way.size[1] / 2, bottom), way.size)
        return tuple(found[number] for number in range(len(self.order)))


class _Way(NamedTuple):
    """One way to put a box in; first the length that all take then."""

    length: float
    section: int
    row: int
    size: Size
    asked: Layer

    def applied(self, sections: tuple[Section, ...]) -> tuple[Section, ...]:
        """The sections with this box in one of their rows."""
        if self.section == len(sections):
            return (*sections, ((self.size[0], *self.asked),))
        rows = sections[self.section]
        if self.row == len(rows):
            rows = (*rows, (self.size[0], *self.asked))
        else:
            length, inset, height = rows[self.row]
            longer = (length + self.size[0], max(inset, self.asked[0]), max(height, self.asked[1]))
            rows = (*rows[: self.row], longer, *rows[self.row + 1 :])
        return (*sections[: self.section], rows, *sections[self.section + 1 :])


def _length_of(sections: tuple[Section, ...]) -> float:
    return sum((max(row[0] for row in section) for section in sections), 0.0)
