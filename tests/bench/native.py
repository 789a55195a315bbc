"""What a calculation costs in Python outside the browser."""

import json
from collections.abc import Callable
from time import perf_counter
from typing import Any

from calculators.bridge import call
from calculators.evaluate import evaluate, read
from calculators.registry import calculator
from calculators.solve import solve
from calculators.tolerance import spread
from tests.bench import figures
from tests.bench.figures import Figure
from tests.bench.forms import answer_request, typings

PART = "Core, native Python"


def call_times(calculator: str, field: str, digits: list[str], *, plot: bool) -> list[float]:
    """Milliseconds of one call of the bridge for each digit put into the field."""
    requests = [json.dumps(answer_request(calculator, {field: d}, plot=plot)) for d in digits]
    return [timed(call, request) for request in requests]


def timed(work: Callable[..., Any], *arguments: Any) -> float:
    """Milliseconds that one call takes."""
    begun = perf_counter()
    work(*arguments)
    return (perf_counter() - begun) * 1000


def measure(runs: int) -> list[Figure]:
    """Cost of the steps of an answer, and of solving, for every calculator."""
    return [
        figure for typing in typings() for figure in _steps(typing.calculator, typing.field, runs)
    ]


def _steps(name: str, field: str, runs: int) -> list[Figure]:
    card = calculator(name)
    request = answer_request(name, {}, plot=False)
    fields, tolerances = request["fields"], request["tolerances"]
    given = read(card, fields, tolerances, "metric")
    nominal = evaluate(card, given.values)
    primary = next(iter(nominal))
    target = nominal[primary]
    steps: dict[str, Callable[[], Any]] = {
        "read the form": lambda: read(card, fields, tolerances, "metric"),
        "evaluate once": lambda: evaluate(card, given.values),
        f"ranges of {len(given.spans)} tolerances": lambda: spread(
            card, given.values, given.spans, nominal
        ),
        f"solve {primary} for {field}": lambda: solve(card, given.values, primary, target, field),
    }
    return [
        figures.middle(PART, f"{name}: {step}", "ms", [timed(work) for _ in range(runs)])
        for step, work in steps.items()
    ]
