"""Sums over one second each, handed on several seconds at a time.

What follows from a second's sums costs the same number of calls for many seconds as for one, and
where Python is slow the calls cost more than the sums.
"""

import numpy as np

from calculators.recording.arrays import Array, Counts


class Seconds:
    """Sums that begin at zero in each second, in the order of time.

    Whoever takes them derives from this class. Were it told whom to call, the two would hold each
    other, and megabytes of a stretch that is done would lie about until garbage is collected.

    Args:
        empty: What is summed, by name, and its shape.
        most: Seconds that are handed on together.
    """

    def __init__(self, empty: dict[str, Array], most: int) -> None:
        self.sums = {
            name: np.zeros((most, *value.shape), value.dtype) for name, value in empty.items()
        }
        """Each (most, …): see ``row``."""

        self._numbers = np.zeros(most, dtype=np.int64)
        self._used = 0

    def give(self, seconds: Counts, found: dict[str, Array]) -> None:
        """Take the numbers of n seconds, (n,), and their sums, (n, …) each: not to be kept."""
        raise NotImplementedError

    def row(self, second: int) -> int:
        """Where in the arrays the sums of a second are; never of an earlier one again."""
        if self._used and self._numbers[self._used - 1] == second:
            return self._used - 1
        if self._used == len(self._numbers):
            self.finish()
        self._numbers[self._used] = second
        self._used += 1
        return self._used - 1

    def hand_on(self) -> None:
        """Give the seconds that are complete: all but the last one."""
        self._hand_on(self._used - 1)

    def finish(self) -> None:
        """Give all of them."""
        self._hand_on(self._used)

    def _hand_on(self, count: int) -> None:
        if count <= 0:
            return
        sums = {name: value[:count] for name, value in self.sums.items()}
        self.give(self._numbers[:count], sums)
        kept = self._used - count
        for value in (self._numbers, *self.sums.values()):
            value[:kept] = value[count : self._used]
            value[kept : self._used] = 0
        self._used = kept
