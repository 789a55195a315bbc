"""Numbers in the names of files: their natural order, and which of a counted row are missing."""

import re
from collections import defaultdict
from itertools import pairwise

from calculators.recording.name_dates import dates_in

MOST_MISSING = 100
"""More missing numbers than this, and ten for each that is there, are no count of files."""


def by_name(name: str) -> tuple[tuple[int, int, str], ...]:
    """The key of an order by name in which 9 comes before 10, and letters have no case.

    >>> sorted(["reach10", "reach9", "Reach8"], key=by_name)
    ['Reach8', 'reach9', 'reach10']
    """
    parts = re.findall(r"(\d+)|(\D+)", name.casefold())
    return tuple((0, int(digits), digits) if digits else (1, 0, text) for digits, text in parts)


def missing_numbers(names: list[str]) -> list[str]:
    """A sentence for each row of counted names with numbers left out.

    A row are names that are alike but for one number; dates with times do not count as numbers.

    >>> missing_numbers(["reach1.wav", "reach2.wav", "reach5.wav", "reach7.wav"])
    ['Of the names reach1.wav to reach7.wav, the numbers 3 to 4, 6 are missing.']
    """
    rows: dict[tuple[str, ...], list[tuple[list[int], str]]] = defaultdict(list)
    for name in names:
        parts = re.split(r"(\d+)", _without_dates(name))
        rows[tuple(parts[::2])].append(([int(part) for part in parts[1::2]], name))
    return [text for row in rows.values() if (text := _missing(row))]


def _without_dates(name: str) -> str:
    for date in reversed(dates_in(name)):
        name = name[: date.start] + name[date.stop :]
    return name


def _missing(row: list[tuple[list[int], str]]) -> str:
    columns = list(zip(*(numbers for numbers, _ in row), strict=True))
    varying = [column for column in columns if len(set(column)) > 1]
    if len(varying) != 1:
        return ""
    counted = sorted(zip(varying[0], (name for _, name in row), strict=True))
    ranges = [
        (before + 1, after - 1)
        for (before, _), (after, _) in pairwise(counted)
        if after > before + 1
    ]
    count = sum(last - first + 1 for first, last in ranges)
    if not ranges or (count > MOST_MISSING and count > 10 * len(row)):
        return ""
    said = ", ".join(f"{first} to {last}" if last > first else f"{first}" for first, last in ranges)
    which = f"the numbers {said} are" if count > 1 else f"the number {said} is"
    return f"Of the names {counted[0][1]} to {counted[-1][1]}, {which} missing."
