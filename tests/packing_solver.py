"""Boxes in a case, found another way: a mixed-integer programme solved by scipy's HiGHS.

Nothing of the calculator's own is used: one binary for each way in which a box is turned, one for
each of the six ways in which two boxes are apart, and constraints that hold where it is one.
"""

from collections.abc import Sequence
from itertools import combinations, permutations

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

Size = tuple[float, float, float]


class _Model:
    """Columns and rows of the programme, as they come."""

    def __init__(self) -> None:
        self.whole: list[int] = []
        self.top: list[float] = []
        self.rows: list[tuple[dict[int, float], float, float]] = []

    def column(self, top: float, *, binary: bool = False) -> int:
        self.whole.append(int(binary))
        self.top.append(1.0 if binary else top)
        return len(self.top) - 1

    def row(self, terms: dict[int, float], low: float, high: float) -> None:
        self.rows.append((terms, low, high))

    def least(self, column: int) -> float:
        matrix = np.zeros((len(self.rows), len(self.top)))
        for i, (terms, _, _) in enumerate(self.rows):
            for j, factor in terms.items():
                matrix[i, j] = factor
        costs = np.zeros(len(self.top))
        costs[column] = 1.0
        found = milp(
            costs,
            integrality=np.array(self.whole),
            bounds=Bounds(np.zeros(len(self.top)), np.array(self.top)),
            constraints=LinearConstraint(
                matrix,
                np.array([low for _, low, _ in self.rows]),
                np.array([high for _, _, high in self.rows]),
            ),
            options={"mip_rel_gap": 1e-9},
        )
        assert found.success, found.message
        return float(found.fun)


def shortest(parts: Sequence[Size], width: float, height: float) -> float:
    """Least length of a case of this width and height that holds all boxes, same unit."""
    longest = sum(max(part) for part in parts)
    ends = (longest, width, height)
    model = _Model()
    length = model.column(longest)
    starts, sizes = [], []
    for part in parts:
        turns = list(permutations(part))
        chosen = [model.column(1, binary=True) for _ in turns]
        model.row(dict.fromkeys(chosen, 1.0), 1, 1)
        start = [model.column(end) for end in ends]
        size = [
            {column: turn[axis] for column, turn in zip(chosen, turns, strict=True)}
            for axis in range(3)
        ]
        model.row({start[0]: 1.0, length: -1.0, **size[0]}, -np.inf, 0)
        for axis in (1, 2):
            model.row({start[axis]: 1.0, **size[axis]}, -np.inf, ends[axis])
        starts.append(start)
        sizes.append(size)
    for pair in combinations(range(len(parts)), 2):
        _apart(model, pair, starts, sizes, ends)
    return model.least(length)


def _apart(
    model: _Model,
    pair: tuple[int, int],
    starts: list[list[int]],
    sizes: list[list[dict[int, float]]],
    ends: tuple[float, float, float],
) -> None:
    """One of two boxes ends before the other begins, along some axis."""
    ways = []
    for first, second in (pair, pair[::-1]):
        for axis, end in enumerate(ends):
            way = model.column(1, binary=True)
            terms = {starts[first][axis]: 1.0, starts[second][axis]: -1.0, way: end}
            model.row({**terms, **sizes[first][axis]}, -np.inf, end)
            ways.append(way)
    model.row(dict.fromkeys(ways, 1.0), 1, np.inf)
