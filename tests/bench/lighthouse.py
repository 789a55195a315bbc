"""Lighthouse's mobile run: slow network and slow processor simulated, its four scores."""

import json
import os
import subprocess
import sys
from typing import Any

from site_src.paths import NODE_MODULES, ROOT
from tests.bench import figures
from tests.bench.browser import ARGUMENTS, CHROMIUM
from tests.bench.figures import Figure
from tests.bench.site import Counter
from tests.bench.startup import CALCULATOR

PAGES = {"home": "", "front-end chapter": "build/front-end/", "corner-frequency": CALCULATOR}
ATTEMPTS = 3
SCORES = ("performance", "accessibility", "best-practices", "seo")
TIMES = {
    "first-contentful-paint": "first contentful paint",
    "largest-contentful-paint": "largest contentful paint",
    "total-blocking-time": "total blocking time",
}


def measure(server: Counter, runs: int) -> list[Figure]:
    """Every page in turn, as often as ``runs`` says."""
    reports: dict[str, list[Any]] = {name: [] for name in PAGES}
    for _ in range(runs):
        for name, path in PAGES.items():
            reports[name].append(run(f"{server.address}{path}"))
    return [figure for name, found in reports.items() for figure in _figures(name, found)]


def run(address: str) -> dict[str, Any]:
    """A report on the page. On a busy machine Lighthouse may lose its trace: it may try again."""
    for attempt in range(1, ATTEMPTS + 1):
        done = _lighthouse(address)
        if done.returncode == 0:
            report: dict[str, Any] = json.loads(done.stdout)
            return report
        print(f"Lighthouse failed on {address} ({attempt} of {ATTEMPTS})", file=sys.stderr)
    raise RuntimeError(f"Lighthouse failed on {address}:\n{done.stderr[-2000:]}")


def _lighthouse(address: str) -> subprocess.CompletedProcess[str]:
    """One run in a browser of its own."""
    command = [
        "node",
        str(NODE_MODULES / "lighthouse/cli/index.js"),
        address,
        "--quiet",
        "--output=json",
        f"--only-categories={','.join(SCORES)}",
        f"--chrome-flags={' '.join(ARGUMENTS)}",
    ]
    settings = {**os.environ, "CHROME_PATH": str(CHROMIUM)}
    return subprocess.run(
        command, cwd=ROOT, env=settings, capture_output=True, text=True, check=False
    )


def _figures(name: str, reports: list[Any]) -> list[Figure]:
    part = f"Lighthouse, mobile, {name}"
    audits = [report["audits"] for report in reports]
    found = [
        figures.middle(part, score, "", [r["categories"][score]["score"] * 100 for r in reports])
        for score in SCORES
    ]
    for audit, words in TIMES.items():
        samples = [one[audit]["numericValue"] for one in audits]
        found.append(figures.middle(part, words, "ms", samples))
    shifts = [one["cumulative-layout-shift"]["numericValue"] for one in audits]
    found.append(figures.middle(part, "layout shift", "", shifts, most=0))
    for audit, score in faults(reports[-1]).items():
        found.append(figures.middle(part, f"costs points: {audit}", "", [score]))
    return found


def faults(report: dict[str, Any]) -> dict[str, float]:
    """The audits that cost points, with the score they have."""
    weighed = {
        ref["id"]
        for category in report["categories"].values()
        for ref in category["auditRefs"]
        if ref["weight"]
    }
    scores = {name: report["audits"][name]["score"] for name in sorted(weighed)}
    return {name: score * 100 for name, score in scores.items() if score is not None and score < 1}
