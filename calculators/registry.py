"""Every calculator, found by looking through ``cards``: a new card needs no list to be edited."""

from importlib import import_module
from pkgutil import iter_modules

from calculators import cards
from calculators.declare import Calculator
from calculators.errors import InputError


def _collect() -> dict[str, Calculator]:
    found: dict[str, Calculator] = {}
    for module in sorted(iter_modules(cards.__path__), key=lambda m: m.name):
        for value in vars(import_module(f"{cards.__name__}.{module.name}")).values():
            if isinstance(value, Calculator):
                found[value.id] = value
    return found


CALCULATORS = _collect()


def calculator(name: str) -> Calculator:
    """The calculator of this id, or a refusal that lists them."""
    if name not in CALCULATORS:
        raise InputError(
            "calculator", f"“{name[:40]}” is not a calculator. There are: {', '.join(CALCULATORS)}."
        )
    return CALCULATORS[name]
