"""Measures everything, prints a table and writes build/bench.json."""

import argparse
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from site_src.paths import BUILD
from tests.bench import (
    keystrokes,
    lighthouse,
    native,
    recording_browser,
    recording_faults,
    recording_native,
    rig,
    rigs_native,
    shifts,
    startup,
    transfer,
)
from tests.bench.browser import version
from tests.bench.conditions import conditions, load_average
from tests.bench.figures import Figure, table
from tests.bench.site import Counter, bench_site

REPORT = BUILD / "bench.json"


def main() -> int:
    """The command behind ``make bench``. Only a fault of the site ends it with an error."""
    given = arguments()
    server = bench_site(given.site)
    known = conditions(version())
    print(heading(known))
    found: list[Figure] = []
    for name, measure in parts(server, given).items():
        if given.only and name not in given.only:
            continue
        print(f"\n{name} (load average {load_average()[0]}) …", flush=True)
        new = measure()
        print(table(new), flush=True)
        found += new
        # Written after each part, so that a part that breaks does not take the others along.
        known["load_average_after"] = load_average()
        REPORT.write_text(json.dumps(report(known, found), indent=1, ensure_ascii=False))
    print(f"\nload average after: {load_average()}")
    return 1 if any("numpy" in figure.name and not figure.met for figure in found) else 0


def arguments() -> argparse.Namespace:
    """What the command line asks for."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("--site", type=Path, help="take this built site instead of building one")
    parser.add_argument("--only", nargs="+", help="measure these parts only", metavar="PART")
    parser.add_argument("--starts", type=int, default=9, help="starts of each page")
    parser.add_argument("--strokes", type=int, default=200, help="keystrokes in each calculator")
    parser.add_argument("--edits", type=int, default=40, help="edits of each entry of a rig")
    parser.add_argument(
        "--gigabytes",
        type=float,
        nargs="+",
        default=recording_browser.GIGABYTES,
        help="sizes of the recordings that are checked",
        metavar="GB",
    )
    parser.add_argument("--reports", type=int, default=3, help="Lighthouse runs of each page")
    return parser.parse_args()


def parts(server: Counter, given: argparse.Namespace) -> dict[str, Callable[[], list[Figure]]]:
    """What is measured, by name, in this order."""
    return {
        "start": lambda: startup.measure(server, given.starts),
        "keystroke": lambda: keystrokes.measure(server, given.strokes),
        "rig": lambda: rig.measure(server, given.edits),
        "native": lambda: native.measure(given.strokes),
        "rigs-native": rigs_native.measure,
        "recording-faults": recording_faults.measure,
        "recording-native": recording_native.measure,
        "recording-browser": lambda: recording_browser.measure(server, tuple(given.gigabytes)),
        "transfer": lambda: transfer.measure(server),
        "shift": lambda: shifts.measure(server),
        "lighthouse": lambda: lighthouse.measure(server, given.reports),
    }


def report(known: dict[str, Any], found: list[Figure]) -> dict[str, Any]:
    """All that was measured, and under which conditions."""
    return {"conditions": known, "figures": [figure.as_json() for figure in found]}


def heading(known: dict[str, Any]) -> str:
    """The conditions as lines of text."""
    return "\n".join(f"{name.replace('_', ' ')}: {value}" for name, value in known.items())


if __name__ == "__main__":
    sys.exit(main())
