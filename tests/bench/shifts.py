"""How far the page moves while a calculator comes alive. It should not move at all."""

from typing import Any

from tests.bench import figures
from tests.bench.browser import DESK, PHONE, profile
from tests.bench.figures import Figure
from tests.bench.forms import typings
from tests.bench.site import Counter

PART = "Layout shift while a calculator comes alive (empty cache)"
AFTER = 500
"""Milliseconds to watch on after the first live answer."""


def measure(server: Counter) -> list[Figure]:
    """Every calculator's page, at a desk and on a phone, from navigation to after its answer."""
    return [
        figures.middle(PART, f"{typing.calculator}, {name}", "", [shift], most=0)
        for name, size in (("desk", DESK), ("phone", PHONE))
        for typing in typings()
        for shift in [_shift(f"{server.address}{typing.page}", size)]
    ]


def _shift(address: str, size: dict[str, int]) -> float:
    options: dict[str, Any] = {"viewport": size, "service_workers": "block"}
    with profile("watch_start.mjs", "watch_shifts.mjs", **options) as context:
        page = context.new_page()
        page.goto(address)
        page.evaluate("benchStart")
        page.wait_for_timeout(AFTER)
        return float(page.evaluate("benchShifts.sum"))
