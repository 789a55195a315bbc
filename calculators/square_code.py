"""A QR code of an address, as a path of unit squares."""

from typing import Any

PACKED = "&entries="
"""What follows it in an address is of signs that the code's alphanumeric mode holds cheaply."""


def square_code(address: str) -> dict[str, Any]:
    """Size in modules, without the quiet edge of four, and the path of the dark ones.

    An address that ends in packed entries is written in two segments, the second alphanumeric, at
    the lowest level of correction: the code is large as it is.
    """
    import segno  # beside the core in the page; needed here only, and only when asked for

    head, packed, entries = address.partition(PACKED)
    content: Any = [head + packed, entries] if packed else address
    matrix = segno.make(content, error="l" if packed else "m", micro=False).matrix
    path = "".join(
        f"M{x} {y}h1v1h-1z" for y, row in enumerate(matrix) for x, dark in enumerate(row) if dark
    )
    return {"size": len(matrix), "path": path}
