"""Merging in one fixed shape, so that sums round alike whoever adds them up, and in what order."""

from collections.abc import Callable
from typing import Generic, TypeVar

T = TypeVar("T")


class Tree(Generic[T]):
    """Merges results as they come, in any order, as a binary tree over their numbers.

    Result 2k is merged with 2k + 1, that of both with its neighbour, and so on; one that has no
    neighbour at the end goes up as it is. Only what waits for its neighbour is held.

    Args:
        count: How many results will come, at least one.
        merge: Of two neighbours, the earlier one first.
    """

    def __init__(self, count: int, merge: Callable[[T, T], T]) -> None:
        self._count = count
        self._merge = merge
        self._waiting: dict[tuple[int, int], T] = {}

    def add(self, number: int, result: T) -> None:
        """Take in a result, each number from 0 to ``count`` − 1 once."""
        width = 1
        while width < self._count:
            begin = number * width
            partner = (width, number ^ 1)
            if number % 2 == 0 and begin + width >= self._count:
                pass  # nothing comes after it: it goes up as it is
            elif partner in self._waiting:
                other = self._waiting.pop(partner)
                pair = (other, result) if number % 2 else (result, other)
                result = self._merge(*pair)
            else:
                self._waiting[width, number] = result
                return
            width, number = 2 * width, number // 2
        self._waiting[width, number] = result

    def result(self) -> T:
        """All of them merged, once the last has come."""
        (only,) = self._waiting.values()
        return only


def levels(count: int) -> list[list[tuple[int, int]]]:
    """The same tree as lists of pairs to be merged, from the leaves up, for work that is sent off.

    Each level pairs what the one before left, in order; the last of an odd number goes up alone.

    >>> levels(5)
    [[(0, 1), (2, 3)], [(0, 1)], [(0, 1)]]
    """
    found = []
    while count > 1:
        found.append([(n, n + 1) for n in range(0, count - 1, 2)])
        count = -(-count // 2)
    return found
