"""What a rig's file may hold, as JSON Schema, for editors and other programs.

Made from the declarations. It cannot say all: whether a value lies in its range, and whether a
number goes with its unit, is known to ``read_rig`` alone, and stands in the descriptions.
"""

from typing import Any

from calculators import units
from calculators.declare import Choice, Input, Log, Number, Written
from calculators.registry import CALCULATORS
from calculators.rig import formats
from calculators.rig.model import LONGEST_NAME, LONGEST_NOTE
from calculators.rig.schema import ENTRIES, ROWS, SECTIONS, Entry

Json = dict[str, Any]

FILE = "rig.schema.json"
"""What it is called on the site."""

_SIGN = r"[+\-\u2212\u2013\u2011\u2010]?\s*"
_NUMBER = rf"^\s*{_SIGN}[0-9.,½¼¾⅛⅜⅝⅞R]"
_BEFORE_TOLERANCE = r"(?:[^±~+]|[eE]\+)*?"
_UNIT_SIGN = r"(?![eE][+\-]?[0-9])[A-Za-zµ\u03bcΩ\u2126°\u00ba℃℉%\u2032\u2033\u2019\u201d'\"]"

PATTERNS = {
    "number": _NUMBER,
    "quantity": f"{_NUMBER}{_BEFORE_TOLERANCE}{_UNIT_SIGN}",
    "day": r"^\s*[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}\s*$",
    "clock": r"^\s*[0-9]{1,2}[:h][0-9]{2}\s*$",
    "zone": rf"^\s*(?:UTC|{_SIGN}[0-9])",
    "coordinate": _NUMBER,
}
"""How a text begins or is written: a number, a number with its unit, what has a form of its own."""


def rig_schema() -> Json:
    """The schema, draft 2020-12, of what a TOML file of a rig holds."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": FILE,
        "title": "Rig",
        "description": "An underwater sound recorder, its site and its plan. Every value is a "
        "text with its unit and perhaps a tolerance, as in 8.2 nF ± 20 %.",
        "type": "object",
        "required": ["format", "name"],
        "additionalProperties": False,
        "properties": _head() | {name: _section(name) for name in _sections()},
        "$defs": {kind: {"type": "string", "pattern": text} for kind, text in PATTERNS.items()},
    }


def _head() -> Json:
    asked = sorted(card.id for card in CALCULATORS.values() if card.is_question)
    return {
        "format": {"description": "Format of this file.", "const": formats.FORMAT},
        "name": {"type": "string", "pattern": r"\S", "maxLength": LONGEST_NAME},
        "note": {"type": "string", "maxLength": LONGEST_NOTE},
        "without": {
            "description": "Calculators whose question this rig does not have.",
            "type": "array",
            "items": {"enum": asked},
        },
    }


def _sections() -> list[str]:
    """The sections that have an entry."""
    return [name for name in SECTIONS if any(e.section == name for e in ENTRIES.values())]


def _section(section: str) -> Json:
    entries = [e for e in ENTRIES.values() if e.section == section]
    plain = {e.name: _entry(e) for e in entries if not e.rows}
    rows = [path for path in ROWS if path.startswith(f"{section}.")]
    repeated = {path.partition(".")[2]: _rows(path) for path in rows}
    return _object(SECTIONS[section], plain | repeated)


def _rows(path: str) -> Json:
    entries = {e.name: _entry(e) for e in ENTRIES.values() if e.rows == path}
    rows = ROWS[path]
    return {"type": "array", "maxItems": rows.most, "items": _object(rows.label, entries)}


def _object(title: str, properties: Json) -> Json:
    return {
        "title": title,
        "type": "object",
        "additionalProperties": False,
        "properties": properties,
    }


def _entry(entry: Entry) -> Json:
    item = entry.item
    return {"title": item.label, "description": _description(item), **_accepted(item)}


def _description(item: Input) -> str:
    """What it is, what is accepted, and why."""
    hint = item.full_hint if isinstance(item, Number) else item.hint
    parts = [hint, _range(item)]
    return " ".join(part if part.endswith(".") else f"{part}." for part in parts if part)


def _range(item: Input) -> str:
    if isinstance(item, Choice):
        return "; ".join(f"{option.value}: {option.label}" for option in item.options)
    if isinstance(item, Log):
        return item.accepted
    range_text = item.accepted("metric") if isinstance(item, Number) else item.accepted
    return f"{range_text} ({item.why})" if item.why else range_text


def _accepted(item: Input) -> Json:
    """The options of a choice, or what its text looks like."""
    if isinstance(item, Choice):
        return {"enum": [option.value for option in item.options]}
    if isinstance(item, Log):
        return {"type": "string"}
    return {"$ref": f"#/$defs/{_kind(item)}"}


def _kind(item: Number | Written) -> str:
    if isinstance(item, Written):
        return item.kind
    return "number" if units.dimension(item.unit) in ("ratio", "count") else "quantity"
