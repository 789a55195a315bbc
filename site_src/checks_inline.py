"""Checks of arguments, asked in place where they are met: for the bytecode of the page alone.

A formula begins with ``require_positive(depth=depth)``, which hardly ever refuses, and in the
browser the call costs more than many a formula. The bytecode asks for itself what the call would
ask, and calls only to refuse: ``if not (0 < depth < inf): require_positive(depth=depth)``. The
source stays as it is, and so do the lines that a defect names.
"""

import ast
from collections.abc import Callable

from calculators.formulas.levels import LARGEST

_SIMPLE = (
    *(ast.Name, ast.Attribute, ast.Constant, ast.expr_context),
    *(ast.UnaryOp, ast.unaryop, ast.BinOp, ast.operator),
)
"""What may be evaluated twice: it has no effect, and takes no time."""

INFINITY = "1e999"
"""Needs no import."""


def with_checks_inline(source: str) -> str:
    """The source of a module, each check of simple values asked in place."""
    lines = source.split("\n")
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Expr) and (condition := _condition(node.value)):
            line = lines[node.lineno - 1].encode()
            before, call = line[: node.col_offset], line[node.col_offset :]
            lines[node.lineno - 1] = f"{before.decode()}if not ({condition}): {call.decode()}"
    return "\n".join(lines)


def _condition(call: ast.expr) -> str:
    """What a check asks of its arguments; empty where it is none, or not of simple values."""
    if not (isinstance(call, ast.Call) and isinstance(call.func, ast.Name)):
        return ""
    asks = _ASKS.get(call.func.id)
    given = [keyword.value for keyword in call.keywords if keyword.arg]
    parts = [*call.args, *given]
    if not asks or len(given) < max(1, len(call.keywords)):
        return ""
    if not all(isinstance(node, _SIMPLE) for part in parts for node in ast.walk(part)):
        return ""
    ends = [ast.unparse(end) for end in call.args]
    return " and ".join(asks(ast.unparse(value), *ends) for value in given)


def _positive(value: str) -> str:
    return f"0 < {value} < {INFINITY}"


def _not_negative(value: str) -> str:
    return f"0 <= {value} < {INFINITY}"


def _between(value: str, low: str, high: str) -> str:
    return f"{low} <= {value} <= {high}"


def _level(value: str) -> str:
    return _between(value, f"{-LARGEST}", f"{LARGEST}")


_ASKS: dict[str, Callable[..., str]] = {
    "require_positive": _positive,
    "require_between": _between,
    "not_negative": _not_negative,
    "require_level": _level,
}
"""As ``calculators.formula``, ``formulas.noise`` and ``formulas.levels`` have them."""
