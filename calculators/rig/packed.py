"""The entries of a rig in few signs, each of them one that a square code holds cheaply.

``AETUBE:AF.018$1:…``: the code of an entry, the number of its row where it has rows, its value in
SI, ``$`` and a tolerance in per cent or ``+`` and one in SI, above and below parted by ``/``.
"""

import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from math import isfinite

from calculators.declare import Coordinate, Log, Number
from calculators.errors import InputError
from calculators.evaluate import check_ends
from calculators.rig.codes import CODE_OF, PATH_OF
from calculators.rig.model import Stated, entry_text
from calculators.rig.schema import ENTRIES, Entry, entry_of, place_in_order
from calculators.units import Tolerance

BETWEEN = ":"
_RELATIVE, _ABSOLUTE, _SIDES = "$", "+", "/"
_ROWS = "123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"

LONGEST_NUMBER = 30
"""Signs of a number that is read: the shortest that is exact has up to 24."""

_NUMBER = re.compile(r"-?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:E-?[0-9]{1,3})?")


def pack(stated: Mapping[str, Stated]) -> str:
    """All entries, in the rig's order."""
    keys = sorted(stated, key=place_in_order)
    return BETWEEN.join(_one(key, stated[key]) for key in keys)


def unpack(text: str) -> dict[str, Stated]:
    """What was packed.

    Raises:
        InputError: Naming the first entry that is not understood.
    """
    found: dict[str, Stated] = {}
    for key, stated in map(_read, text.split(BETWEEN)):
        if key in found:
            raise InputError(key, f"“{key}” stands twice in the link.")
        found[key] = stated
    return found


def _one(key: str, stated: Stated) -> str:
    entry, row = entry_of(key)
    place = CODE_OF[entry.path] + (_ROWS[row - 1] if entry.rows else "")
    if not isinstance(entry.item, Number):
        return place + entry_text(key, stated, ascii=True).upper()
    return place + _number(float(stated.value)) + _tolerance(stated.tolerance)


def _tolerance(tolerance: Tolerance | None) -> str:
    if tolerance is None:
        return ""
    hundred = 100 if tolerance.relative else 1
    sides = [_number(Decimal(repr(x)) * hundred) for x in (tolerance.high, tolerance.low)]
    sign = _RELATIVE if tolerance.relative else _ABSOLUTE
    return sign + _SIDES.join(sides if sides[0] != sides[1] else sides[:1])


def _number(value: float | Decimal) -> str:
    """The shortest of a few ways to write just this number."""
    exact = Decimal(repr(value)) if isinstance(value, float) else value
    return min(_ways(exact.normalize()), key=len)


def _ways(exact: Decimal) -> Iterator[str]:
    plain = f"{exact:f}"
    yield plain.replace("0.", ".", 1) if plain.lstrip("-").startswith("0.") else plain
    sign, digits, exponent = exact.as_tuple()
    assert isinstance(exponent, int)
    if exponent:
        yield f"{'-' * sign}{''.join(map(str, digits))}E{exponent}"


def _read(text: str) -> tuple[str, Stated]:
    path = PATH_OF.get(text[:2], "")
    entry = ENTRIES.get(path)
    if entry is None:
        raise InputError("link", f"“{text[:40]}” in the link is not understood.")
    row, rest = (text[2:3], text[3:]) if entry.rows else ("1", text[2:])
    key = entry.key(_ROWS.find(row) + 1 if row else 0)
    entry_of(key)  # refuses a row that there is not
    return key, _stated(entry, key, rest)


def _stated(entry: Entry, key: str, text: str) -> Stated:
    item = entry.item
    if isinstance(item, Log):
        raise InputError(key, f"{item.label}: a link has no room for a log.")
    if not isinstance(item, Number):
        return Stated(item.read(text if isinstance(item, Coordinate) else text.lower(), key))
    sign = next((s for s in (_RELATIVE, _ABSOLUTE) if s in text), "")
    written, _, sides = text.partition(sign) if sign else (text, "", "")
    value = float(_decimal(written, entry, key))
    item.check(value, key, "metric")
    if not sign:
        return Stated(value)
    high, two, low = sides.partition(_SIDES)
    tolerance = _sides(high, low if two else high, entry, key, relative=sign == _RELATIVE)
    check_ends(item, key, tolerance.ends(value), "metric")
    return Stated(value, tolerance)


def _sides(high: str, low: str, entry: Entry, key: str, *, relative: bool) -> Tolerance:
    hundred = 100 if relative else 1
    above, below = (_decimal(side, entry, key) / hundred for side in (high, low))
    if above < 0 or below < 0 or (relative and below >= 1):
        why = f"{entry.item.label}: the tolerance in the link is not possible."
        raise InputError(key, why, part="tolerance")
    return Tolerance("", float(below), float(above), relative)


def _decimal(text: str, entry: Entry, key: str) -> Decimal:
    """A number as ``_number`` writes it, and nothing else that a Decimal can be made of."""
    if _NUMBER.fullmatch(text) and len(text) <= LONGEST_NUMBER and isfinite(float(text)):
        return Decimal(text)
    raise InputError(key, f"{entry.item.label}: “{text[:40]}” in the link is not a number.")
