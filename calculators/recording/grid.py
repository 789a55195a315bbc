"""Sums over time, in columns whose duration doubles when they would become too many."""

from dataclasses import dataclass, field, replace

import numpy as np

from calculators.recording.arrays import Array

HIGHEST = {"peak"}
"""Fields of which two columns keep the higher value. All others are sums."""


@dataclass
class TimeGrid:
    """Columns of one duration; column *k* lasts from ``k · duration`` on.

    Columns are whole multiples of their duration on the time axis. So two grids of any durations
    merge without a column being cut.
    """

    duration: int
    """Seconds; the first one times a power of two."""

    most: int
    """Most columns."""

    empty: dict[str, Array]
    """An empty column: what is kept in each, and its shape."""

    first: int = 0
    """The number of the first column that is kept."""

    count: int = 0
    """How many columns there are."""

    room: dict[str, Array] = field(default_factory=dict)
    """What is kept, each (T, …) with some empty columns more at the end to grow into."""

    def __post_init__(self) -> None:
        for name, value in self.empty.items():
            self.room.setdefault(name, np.zeros((self.count, *value.shape), value.dtype))

    @property
    def fields(self) -> dict[str, Array]:
        """What is kept, each (count, …)."""
        return {name: value[: self.count] for name, value in self.room.items()}

    def add(self, moments: Array, **values: Array) -> None:
        """Put values, (n, …), into the columns in which n moments lie; seconds on the time axis."""
        if not len(moments):
            return
        if not self.count:
            self.first = int(moments.min() // self.duration)
        numbers = moments // self.duration
        self._reach(int(numbers.min()), int(numbers.max()) + 1)
        columns = (moments // self.duration).astype(np.int64) - self.first
        order = np.argsort(columns, kind="stable")
        columns = columns[order]
        starts = np.flatnonzero(np.diff(columns, prepend=-1))
        columns = columns[starts]
        for name, value in values.items():
            join, kept = _joining(name), self.room[name]
            kept[columns] = join(kept[columns], join.reduceat(value[order], starts, axis=0))

    def merged(self, other: "TimeGrid") -> "TimeGrid":
        """This grid and another one of the same fields, as a new one."""
        one, two = self.copy(), other.copy()
        if not (one.count and two.count):
            return one if one.count else two
        one._coarsen_to(two.duration)
        two._coarsen_to(one.duration)
        one._reach(two.first, two.first + two.count)
        two._coarsen_to(one.duration)
        at = slice(two.first - one.first, two.first - one.first + two.count)
        for name, value in two.fields.items():
            kept = one.room[name][at]
            _joining(name)(kept, value, out=kept)
        return one

    def copy(self) -> "TimeGrid":
        """The same, apart, with no room to grow."""
        room = {name: value.copy() for name, value in self.fields.items()}
        return replace(self, room=room)

    def _reach(self, first: int, end: int) -> None:
        """Have the columns from ``first`` to ``end``, coarser ones if these are too many."""
        while max(end, self.first + self.count) - min(first, self.first) > self.most:
            self._coarsen()
            first, end = first // 2, (end + 1) // 2
        before = max(0, self.first - first)
        count = before + max(self.count, end - self.first)
        if not before and count == self.count:
            return
        for name, value in self.room.items():
            self.room[name] = self._wider(value, before, count)
        self.first -= before
        self.count = count

    def _wider(self, value: Array, before: int, count: int) -> Array:
        """Columns put before, and room for ``count``, and for half as many more to come."""
        if not before and count <= len(value):
            return value
        room = min(self.most, count + count // 2)
        wide = np.zeros((room, *value.shape[1:]), value.dtype)
        wide[before : before + self.count] = value[: self.count]
        return wide

    def _coarsen_to(self, duration: int) -> None:
        while self.duration < duration:
            self._coarsen()

    def _coarsen(self) -> None:
        """Twice the duration: column 2k and 2k + 1 become column k."""
        before = self.first % 2
        count = (before + self.count + 1) // 2
        for name, value in self.fields.items():
            padded = np.zeros((2 * count, *value.shape[1:]), value.dtype)
            padded[before : before + self.count] = value
            self.room[name] = _joining(name)(padded[0::2], padded[1::2])
        self.first //= 2
        self.count = count
        self.duration *= 2


def _joining(name: str) -> np.ufunc:
    return np.maximum if name in HIGHEST else np.add
