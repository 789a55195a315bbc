"""How a formula is declared, and how a calculation's working is traced.

A public formula is a pure function, SI floats in and out, under ``@formula``.
The decorator records what the page and the ledger show of it; the function stays callable as it is.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache, wraps
from inspect import signature
from math import inf
from sys import getprofile, setprofile
from types import FrameType, FunctionType
from typing import Any, ParamSpec, TypeVar, cast, get_type_hints

from calculators.errors import InputError

P = ParamSpec("P")
T = TypeVar("T")

REMEMBERED = 512
"""Results that are kept of a function: a range with its draws takes some 280."""


@dataclass(frozen=True)
class Argument:
    """One argument of a formula: its name, symbol and SI unit."""

    name: str
    symbol: str
    unit: str

    @property
    def meaning(self) -> str:
        """The name in words."""
        return self.name.replace("_", " ")


@dataclass(frozen=True)
class Formula:
    """What is shown of a formula beside its result."""

    id: str
    title: str
    symbol: str
    unit: str
    tex: str
    working: str
    arguments: tuple[Argument, ...]
    validity: str
    sources: tuple[str, ...]
    function: Callable[..., float]

    @property
    def anchor(self) -> str:
        """Its place in the ledger page."""
        return self.id.replace(".", "-")


@dataclass(frozen=True)
class Call:
    """One use of a formula, as traced for the working."""

    formula: Formula
    arguments: dict[str, float | str]
    result: float


FORMULAS: dict[str, Formula] = {}
_by_code: dict[int, Formula] = {}
"""Formulas by the identity of their code."""
_traces: list[list[Call]] = []
"""The calls that are being collected, the innermost last."""


def formula(
    *,
    title: str,
    symbol: str,
    symbols: dict[str, str],
    tex: str,
    working: str,
    validity: str,
    sources: tuple[str, ...],
) -> Callable[[Callable[P, float]], Callable[P, float]]:
    """Register a public formula.

    Args:
        title: The quantity it returns, in words.
        symbol: Its symbol.
        symbols: Symbol of each argument, by argument name.
        tex: The formula in LaTeX, for the page.
        working: The right-hand side on one line, with ``{argument}`` where a value goes.
        validity: Where it holds, with numbers.
        sources: Keys of the bibliography.
    """

    def register(function: Callable[P, float]) -> Callable[P, float]:
        hints = get_type_hints(function, include_extras=True)
        names = tuple(signature(function).parameters)
        if set(symbols) != set(names):
            raise TypeError(f"{function.__name__}: symbols are for {names}, given {tuple(symbols)}")
        record = Formula(
            id=f"{function.__module__.rpartition('.')[2]}.{function.__name__}",
            title=title,
            symbol=symbol,
            unit=_unit(hints["return"]),
            tex=tex,
            working=working,
            arguments=tuple(Argument(n, symbols[n], _unit(hints[n])) for n in names),
            validity=validity,
            sources=sources,
            function=function,
        )
        FORMULAS[record.id] = record
        _by_code[id(cast(FunctionType, function).__code__)] = record
        return function

    return register


def remembered(function: Callable[P, T]) -> Callable[P, T]:
    """Keep the last results of a pure function, for whoever asks the same again.

    An answer with its range is worked out dozens of times, and an edit changes one input of many:
    what does not rest on that one is asked the same each time. It is for what takes far longer than
    to look up; arguments are hashable, and nobody changes the result. While somebody traces it is
    worked out anew, so that every call within it is noted.
    """
    kept = cast(Callable[P, T], lru_cache(maxsize=REMEMBERED)(function))

    @wraps(function)
    def asked(*args: P.args, **kwargs: P.kwargs) -> T:
        return function(*args, **kwargs) if _traces else kept(*args, **kwargs)

    return asked


@contextmanager
def tracing() -> Iterator[list[Call]]:
    """Collect every formula used inside the ``with`` block, in order.

    The interpreter tells of every call meanwhile, so that formulas are plain functions: an answer
    with its range calls them by the thousand, and even to ask whether somebody traces would cost a
    tenth of it.
    """
    calls: list[Call] = []
    before = getprofile()
    _traces.append(calls)
    setprofile(_noting(calls))
    try:
        yield calls
    finally:
        setprofile(before)
        _traces.pop()


@contextmanager
def untraced() -> Iterator[None]:
    """Keep what is worked out inside the ``with`` block out of the working: a search, say."""
    if not _traces:
        yield
        return
    before = getprofile()
    setprofile(None)
    try:
        yield
    finally:
        setprofile(before)


def _noting(calls: list[Call]) -> Callable[[FrameType, str, Any], None]:
    """What the interpreter is to call: it notes a formula when it returns, as it was asked."""
    open_calls: list[dict[str, Any]] = []

    def note(frame: FrameType, event: str, result: Any) -> None:
        record = _by_code.get(id(frame.f_code))
        if record is None:
            return
        if event == "call":
            now = frame.f_locals
            open_calls.append({each.name: now[each.name] for each in record.arguments})
        elif event == "return":
            given = open_calls.pop()
            if result is not None:  # else an error has ended it
                calls.append(Call(record, given, result))

    return note


def require_positive(**arguments: float) -> None:
    """Refuse, by name, any argument that is not a finite number above zero."""
    for name, value in arguments.items():
        if not 0 < value < inf:
            raise InputError(name, f"{name} must be above zero, given {value!r}")


def require_between(low: float, high: float, **arguments: float) -> None:
    """Refuse, by name, any argument outside ``low`` to ``high``, both included."""
    for name, value in arguments.items():
        if not low <= value <= high:
            raise InputError(name, f"{name} must be from {low!r} to {high!r}, given {value!r}")


def _unit(hint: object) -> str:
    """The unit label of an ``Annotated`` type; a plain type (a kind, by name) has none."""
    return str(getattr(hint, "__metadata__", ("",))[0])
