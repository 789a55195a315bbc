"""Every calculator and table, found by looking through ``cards`` and ``tables``.

A new one needs no list to be edited.
"""

from importlib import import_module
from pkgutil import iter_modules
from types import ModuleType
from typing import TypeVar

from calculators import cards, tables
from calculators.declare import Calculator
from calculators.errors import InputError
from calculators.tables import Table

T = TypeVar("T", Calculator, Table)


def _collect(package: ModuleType, kind: type[T]) -> dict[str, T]:
    found: dict[str, T] = {}
    for module in sorted(iter_modules(package.__path__), key=lambda m: m.name):
        for value in vars(import_module(f"{package.__name__}.{module.name}")).values():
            if isinstance(value, kind):
                found[value.id] = value
    return found


CALCULATORS = _collect(cards, Calculator)
TABLES = _collect(tables, Table)


def calculator(name: str) -> Calculator:
    """The calculator of this id, or a refusal that lists them."""
    if name not in CALCULATORS:
        raise InputError(
            "calculator", f"“{name[:40]}” is not a calculator. There are: {', '.join(CALCULATORS)}."
        )
    return CALCULATORS[name]
