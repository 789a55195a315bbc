"""Runs one of our Node scripts and passes its failure on in full."""

import json
import subprocess
from pathlib import Path
from typing import Any

from site_src.paths import ROOT

MOST_SAID = 5_000
"""Characters of a failure that are shown: a stack may quote whole bundles."""


class NodeFailed(RuntimeError):
    """A Node script ended with an error; the message holds the end of what it said."""


def run_node(script: Path, *arguments: str, stdin: Any = None) -> str:
    """Run the script with ``stdin`` as JSON, return what it printed."""
    done = subprocess.run(
        ["node", str(script), *arguments],
        input=json.dumps(stdin),
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
    )
    if done.returncode:
        raise NodeFailed(
            f"{script.relative_to(ROOT)} failed:\n{(done.stderr or done.stdout)[-MOST_SAID:]}"
        )
    return done.stdout
