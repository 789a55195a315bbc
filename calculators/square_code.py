"""A QR code of an address, as a path of unit squares."""

from typing import Any

PACKED = "&entries="
"""What follows it in an address is of signs that the code's alphanumeric mode holds cheaply."""

CAPACITY = {"l": 23_648, "m": 18_672}
"""Bits of data of the largest code, 177 modules wide, by level of correction: ISO/IEC 18004,
table 7, version 40."""

_MODE = 4  # bits that say how a segment is written
_COUNT = {"bytes": 16, "alphanumeric": 13}  # bits that count its signs, in the largest codes


def fits(address: str) -> bool:
    """Whether a code can hold this address at all."""
    head, packed, entries = address.partition(PACKED)
    bits = _MODE + _COUNT["bytes"] + 8 * len((head + packed).encode())
    if packed:
        pairs, single = divmod(len(entries), 2)
        bits += _MODE + _COUNT["alphanumeric"] + 11 * pairs + 6 * single
    return bits <= CAPACITY[_level(packed)]


def _level(packed: str) -> str:
    """The level of correction: the lowest for packed entries, whose code is large as it is."""
    return "l" if packed else "m"


def square_code(address: str) -> dict[str, Any]:
    """Size in modules, without the quiet edge of four, and the path of the dark ones.

    An address that ends in packed entries is written in two segments, the second alphanumeric.
    ``fits`` says whether there is a code of it.
    """
    import segno  # beside the core in the page; needed here only, and only when asked for

    head, packed, entries = address.partition(PACKED)
    content: Any = [head + packed, entries] if packed else address
    matrix = segno.make(content, error=_level(packed), micro=False).matrix
    path = "".join(
        f"M{x} {y}h1v1h-1z" for y, row in enumerate(matrix) for x, dark in enumerate(row) if dark
    )
    return {"size": len(matrix), "path": path}
