"""Says which programs of the system are missing, and how to get them.

No test is skipped for want of one: the run ends here instead.
"""

import shutil
import sys

WHAT_FOR = {
    "chromium": "the browser tests, the benchmark and the screenshot",
    "ngspice": "the tests that compare the front end with a circuit simulator",
}


def missing(tools: list[str]) -> list[str]:
    """The tools that are not on PATH."""
    return [tool for tool in tools if shutil.which(tool) is None]


def main(tools: list[str]) -> int:
    """Report every missing tool; 1 if there is any."""
    absent = missing(tools)
    for tool in absent:
        print(f"{tool} is missing: it runs {WHAT_FOR[tool]}.", file=sys.stderr)
    if absent:
        print(f"On Debian or Ubuntu: sudo apt-get install {' '.join(absent)}", file=sys.stderr)
    return 1 if absent else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
