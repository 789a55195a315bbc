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
        _figure(f"{typing.calculator}, {name}", *_shift(f"{server.address}{typing.page}", size))
        for name, size in (("desk", DESK), ("phone", PHONE))
        for typing in typings()
    ]


def _figure(name: str, shift: float, moved: list[str]) -> Figure:
    words = f"{name}: moved {', '.join(moved)}" if moved else name
    return figures.middle(PART, words, "", [shift], most=0)


def _shift(address: str, size: dict[str, int]) -> tuple[float, list[str]]:
    """How far the page moved in all, and what did."""
    options: dict[str, Any] = {"viewport": size, "service_workers": "block"}
    with profile("watch_start.mjs", "watch_shifts.mjs", **options) as context:
        page = context.new_page()
        page.goto(address)
        page.evaluate("benchStart")
        page.wait_for_timeout(AFTER)
        found = page.evaluate("benchShifts")
        return float(found["sum"]), found["moved"]
