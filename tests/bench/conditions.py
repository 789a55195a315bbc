"""Under which conditions was measured. Times without them mean nothing."""

import os
import platform
import subprocess
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from calculators import EDITION
from site_src.paths import ROOT


def conditions(browser: str) -> dict[str, Any]:
    """Date, machine and versions, for the head of the report."""
    return {
        "date": datetime.now(UTC).isoformat(timespec="seconds"),
        "edition": EDITION,
        "commit": _commit(),
        "cpu": _cpu(),
        "cores": os.cpu_count(),
        "system": platform.platform(terse=True),
        "python": platform.python_version(),
        "browser": f"Chromium {browser}",
        "load_average_before": load_average(),
    }


def load_average() -> list[float]:
    """Jobs that wanted a core, over the last 1, 5 and 15 minutes."""
    return [round(load, 2) for load in os.getloadavg()]


def _cpu() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text().splitlines()
    except OSError:
        return platform.processor()
    names = [line.partition(":")[2].strip() for line in lines if line.startswith("model name")]
    return names[0] if names else platform.processor()


def _commit() -> str:
    asked = ["git", "describe", "--always", "--dirty"]
    done = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, check=False)
    return done.stdout.strip() or "unknown"
