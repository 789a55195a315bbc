"""From navigation to the first live answer, against a page that only starts Python."""

from playwright.sync_api import BrowserContext

from tests.bench import figures
from tests.bench.browser import profile
from tests.bench.figures import Figure
from tests.bench.offline import keep
from tests.bench.site import BARE, Counter

CALCULATOR = "calculators/corner-frequency/"
WARM_UPS = 3
"""Visits of each page before the first that counts; the browser caches compiled code only then."""
REST = 300
"""Milliseconds between two visits, for the browser to end what it still does for the last."""
MOST = 1.1

Times = dict[str, float]


def measure(server: Counter, runs: int) -> list[Figure]:
    """Start-up with the browser's cache alone, then from the offline copy."""
    with profile("watch_start.mjs", service_workers="block") as context:
        found = _compare(context, server, runs, "Start, warm HTTP cache, no service worker")
    with profile("watch_start.mjs") as context:
        keep(context, server.address)
        return found + _compare(context, server, runs, "Start, from the offline copy")


def _compare(context: BrowserContext, server: Counter, runs: int, part: str) -> list[Figure]:
    pages = {"ours": f"{server.address}{CALCULATOR}", "bare": f"{server.address}{BARE}"}
    for address in [*pages.values()] * WARM_UPS:
        visit(context, address)
    times: dict[str, list[Times]] = {"ours": [], "bare": []}
    for run in range(runs):
        # Neither page is always the first of the two.
        for name in ("ours", "bare") if run % 2 == 0 else ("bare", "ours"):
            times[name].append(visit(context, pages[name]))
    return _figures(part, times["ours"], times["bare"])


def visit(context: BrowserContext, address: str) -> Times:
    """Open the page in a new tab; milliseconds after navigation of each step, "answer" the last."""
    page = context.new_page()
    page.goto(address, wait_until="commit")
    times: Times = page.evaluate("benchStart")
    page.wait_for_timeout(REST)
    page.close()
    return times


def _figures(part: str, ours: list[Times], bare: list[Times]) -> list[Figure]:
    def ms(name: str, samples: list[Times], step: str) -> Figure:
        return figures.middle(part, name, "ms", [times[step] for times in samples])

    pairs = zip(ours, bare, strict=True)
    ratios = [mine["answer"] / other["answer"] for mine, other in pairs]
    return [
        ms("bare page shows 1+1", bare, "answer"),
        ms("calculator: Python asked for", ours, "starting"),
        ms("calculator: live", ours, "live"),
        ms("calculator: first live answer", ours, "answer"),
        figures.middle(part, "first live answer / bare page", "", ratios, most=MOST),
    ]
