"""A rig: what its builder states of it."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache

from calculators import entries, units
from calculators.declare import Choice, Log, Number, Value, Written
from calculators.errors import InputError
from calculators.evaluate import read_tolerance, read_value
from calculators.registry import CALCULATORS
from calculators.rig.schema import entry_of
from calculators.units import Tolerance

LONGEST_NAME = 80
LONGEST_NOTE = 2_000


@dataclass(frozen=True)
class Stated:
    """A value as its builder states it, SI or a text, and how far it may be off."""

    value: Value
    tolerance: Tolerance | None = None

    @cached_property
    def ends(self) -> tuple[float, float] | None:
        """The lowest and the highest value that the tolerance allows, None without one."""
        return self.tolerance.ends(float(self.value)) if self.tolerance else None


@dataclass(frozen=True)
class Rig:
    """One description of a whole rig, at its site, for its plan.

    ``stated`` holds what is known, by key (see ``schema``). ``without`` names calculators whose
    question this rig does not have, such as a tube's where the case is a box.
    """

    name: str
    stated: Mapping[str, Stated] = field(default_factory=dict)
    note: str = ""
    without: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        check_words("name", self.name, LONGEST_NAME)
        check_words("note", self.note, LONGEST_NOTE)
        if not self.name.strip():
            raise InputError("name", "A rig needs a name.")
        for card in self.without:
            if card not in CALCULATORS or not CALCULATORS[card].is_question:
                there = ", ".join(c.id for c in CALCULATORS.values() if c.is_question)
                raise InputError(
                    "without", f"“{card[:40]}” is no question of a rig. There are: {there}."
                )

    def keep(self, key: str, stated: Stated) -> "Rig":
        """This rig with one entry stated, or stated anew."""
        entry_of(key)
        return replace(self, stated={**self.stated, key: stated})

    def drop(self, key: str) -> "Rig":
        """This rig with one entry no longer stated."""
        return replace(self, stated={k: v for k, v in self.stated.items() if k != key})

    def rows(self, path: str) -> int:
        """How many rows of a kind are stated, at least one."""
        return self._rows.get(path, 1)

    @cached_property
    def _rows(self) -> dict[str, int]:
        """The highest row that is stated of each kind that has one."""
        return _highest_rows(tuple(self.stated))


@lru_cache(maxsize=8)
def _highest_rows(keys: tuple[str, ...]) -> dict[str, int]:
    """The highest row of each kind among these keys: most edits leave them the same."""
    found: dict[str, int] = {}
    for key in keys:
        parts = key.split(".")
        if len(parts) == 4:
            path = f"{parts[0]}.{parts[1]}"
            found[path] = max(found.get(path, 1), int(parts[2]))
    return found


def check_words(name: str, text: str, longest: int) -> None:
    """Refuse a name or note that is too long or holds signs that no screen shows."""
    if len(text) > longest:
        raise InputError(name, f"This {name} has {len(text)} signs; {longest} are accepted.")
    if not text.replace("\n", "").isprintable():
        raise InputError(name, f"This {name} holds signs that cannot be shown.")


def read_entry(key: str, text: str, system: str = "metric", bare: str = "refused") -> Stated:
    """Understand what is typed for an entry: ``8.2 nF ± 20 %``, a choice, a date.

    ``bare`` as in ``evaluate.read``.

    Raises:
        InputError: Named by the key: no such entry, not understood, or out of range.
    """
    entry, _ = entry_of(key)
    if not isinstance(entry.item, Number):
        return read_parts(key, text, "", system, bare)
    value, tolerance = entries.split_tolerance(text)
    return read_parts(key, value, tolerance, system, bare)


def read_parts(key: str, text: str, tolerance: str, system: str, bare: str) -> Stated:
    """Understand value and tolerance of an entry, each a text; as ``read_entry``."""
    item = entry_of(key)[0].item
    value = read_value(item, key, text, item.label, system, bare)
    return Stated(value, read_tolerance(item, key, tolerance, value, system, bare))


def entry_text(key: str, stated: Stated, *, ascii: bool = False) -> str:  # noqa: A002
    """An entry as a file states it, read back as exactly the same; ``ascii`` for a link."""
    item = entry_of(key)[0].item
    value = stated.value
    if isinstance(item, Log) or isinstance(value, str):
        return str(value)
    if isinstance(item, Written):
        return item.link_text(value) if ascii else item.field_text(value)
    if isinstance(item, Choice):
        return f"{value:g}"
    text = units.format_exact(value, item.unit, ascii=ascii)
    if stated.tolerance is None:
        return text if ascii else _plain(text)
    tolerance = units.format_tolerance(stated.tolerance, item.unit, ascii=ascii)
    return f"{text}~{tolerance}" if ascii else _plain(f"{text} {tolerance}")


def entry_words(key: str, stated: Stated) -> str:
    """An entry as a reader sees it: exactly what a file states, with a real minus."""
    item, value = entry_of(key)[0].item, stated.value
    if isinstance(item, Written):
        return item.shown_text(float(value), "metric")
    if not isinstance(item, Number):
        return entry_text(key, stated)
    text = units.format_exact(float(value), item.unit)
    if stated.tolerance is None:
        return text
    return f"{text} {units.format_tolerance(stated.tolerance, item.unit)}"


def _plain(text: str) -> str:
    """With the spaces and the minus that a keyboard has."""
    return text.replace("\u00a0", " ").replace("\u2212", "-")
