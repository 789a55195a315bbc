"""What a first visit sends, and what keeping the handbook for offline use adds."""

import time
from collections import Counter as Tally
from pathlib import PurePosixPath

from playwright.sync_api import BrowserContext

from tests.bench import figures
from tests.bench.browser import profile
from tests.bench.figures import Figure
from tests.bench.offline import IDLE, READY
from tests.bench.site import Counter
from tests.bench.startup import CALCULATOR

Sent = list[tuple[str, int]]


def measure(server: Counter) -> list[Figure]:
    """A first visit up to the live answer, what follows by itself, and "Keep for offline"."""
    with profile("watch_start.mjs", service_workers="block") as context:
        # Blocked, because its own requests would mix with those of the page.
        first = _first_visit(context, server)
    with profile("watch_start.mjs") as context:
        both, kept = _visit_and_keep(context, server)
    later = [*(Tally(both) - Tally(first)).elements()]
    return [
        *_by_kind("First visit, sent until the first live answer (gzip)", first),
        *_by_kind("Sent afterwards by itself: pages for the offline copy", later),
        *_by_kind("Sent on “Keep for offline” after that", kept, numpy=1),
    ]


def _first_visit(context: BrowserContext, server: Counter) -> Sent:
    server.take()
    page = context.new_page()
    page.goto(f"{server.address}{CALCULATOR}")
    page.evaluate("benchStart")
    return server.take()


def _visit_and_keep(context: BrowserContext, server: Counter) -> tuple[Sent, Sent]:
    server.take()
    page = context.new_page()
    page.goto(f"{server.address}{CALCULATOR}")
    page.evaluate("benchStart")
    visited = _settled(server)
    page.click("button.keep")
    page.wait_for_selector(READY)
    return visited, _settled(server)


def _settled(server: Counter) -> Sent:
    """All that is sent until nothing more comes."""
    found: Sent = []
    quiet_since = time.monotonic()
    while time.monotonic() - quiet_since < IDLE:
        time.sleep(0.2)
        more = server.take()
        if more:
            quiet_since = time.monotonic()
        found += more
    return found


def _by_kind(part: str, sent: Sent, numpy: int = 0) -> list[Figure]:
    """Sizes by kind; ``numpy`` is how many of its files may be among them."""
    sizes: Tally[str] = Tally()
    for path, length in sent:
        sizes[kind(path)] += length
    found = [_size(part, name, size) for name, size in sizes.most_common()]
    found_numpy = sum("numpy" in path.lower() for path, _ in sent)
    return [
        *found,
        _size(part, f"all {len(sent)} requests", sum(sizes.values())),
        figures.middle(part, "files of numpy", "", [found_numpy], most=numpy),
    ]


def _size(part: str, name: str, size: int) -> Figure:
    return figures.middle(part, name, "kB", [size / 1000])


def kind(path: str) -> str:
    """What a file is, by its address."""
    if path.startswith("runtime/"):
        return "runtime"
    suffix = PurePosixPath(path).suffix
    if suffix == ".woff2":
        return "fonts"
    return {"": "html", ".html": "html", ".js": "js", ".css": "css"}.get(suffix, "other")
