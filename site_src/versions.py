"""Refuses to set up under a Python that is too old. Runs before anything is installed."""

import sys

OLDEST = (3, 11)

if sys.version_info < OLDEST:
    found = ".".join(map(str, sys.version_info[:3]))
    sys.exit(
        f"Python {found} is too old: 3.11 or newer is needed. Name it: make PYTHON=python3.12 …"
    )
