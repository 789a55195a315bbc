"""From navigation to the first live answer, against a page that only starts Python."""

from playwright.sync_api import BrowserContext

from tests.bench import figures
from tests.bench.browser import profile
from tests.bench.figures import Figure
from tests.bench.offline import keep
from tests.bench.site import BARE, PUBLISHED, Counter

OURS = "calculator"
SAME_FILES = "bare page, same files"
AS_PUBLISHED = "bare page, Pyodide as published"
CALCULATOR = "calculators/corner-frequency/"
PAGES = {
    OURS: CALCULATOR,
    SAME_FILES: BARE,
    AS_PUBLISHED: PUBLISHED,
}
STEPS = {"starting": "Python asked for", "live": "Python live", "answer": "first live answer"}
WARM_UPS = 3
"""Rounds before the first that counts: the browser keeps compiled code only after some visits."""
REST = 300
"""Milliseconds between two visits, for the browser to end what it still does for the last."""
MOST = 1.1

Times = dict[str, float]


def measure(server: Counter, runs: int) -> list[Figure]:
    """Start-up with the browser's cache alone, then from the offline copy."""
    with profile("watch_start.mjs", service_workers="block") as context:
        part = "Start, warm HTTP cache, no service worker"
        found = _compare(context, server, runs, part, [SAME_FILES, AS_PUBLISHED])
    with profile("watch_start.mjs") as context:
        keep(context, f"{server.address}{CALCULATOR}")
        server.take()
        part = "Start, offline copy (service worker and its caches)"
        found += _compare(context, server, runs, part, [SAME_FILES])
        fetched = sum(path.startswith("runtime/") for path, _ in server.take())
        return [
            *found,
            figures.middle(part, "runtime files asked of the server", "", [fetched], most=0),
        ]


def _compare(
    context: BrowserContext, server: Counter, runs: int, part: str, bare: list[str]
) -> list[Figure]:
    names = [OURS, *bare]
    times: dict[str, list[Times]] = {name: [] for name in names}
    for run in range(WARM_UPS + runs):
        # No page is always the first of its round.
        for name in names if run % 2 == 0 else reversed(names):
            times[name].append(visit(context, f"{server.address}{PAGES[name]}"))
    return _figures(part, {name: all_[WARM_UPS:] for name, all_ in times.items()})


def visit(context: BrowserContext, address: str) -> Times:
    """Open the page in a new tab; milliseconds after navigation of each step, "answer" the last."""
    page = context.new_page()
    page.goto(address, wait_until="commit")
    times: Times = page.evaluate("benchStart")
    page.wait_for_timeout(REST)
    page.close()
    return times


def _figures(part: str, times: dict[str, list[Times]]) -> list[Figure]:
    found = [
        figures.middle(part, f"calculator: {words}", "ms", [one[step] for one in times[OURS]])
        for step, words in STEPS.items()
    ]
    for name, samples in times.items():
        if name != OURS:
            bare = [one["answer"] for one in samples]
            pairs = zip(times[OURS], bare, strict=True)
            ratios = [mine["answer"] / other for mine, other in pairs]
            found.append(figures.middle(part, f"{name} shows 1+1", "ms", bare))
            found.append(figures.middle(part, f"first live answer / {name}", "", ratios, most=MOST))
    return found
