"""Runs one of our Node scripts and passes its failure on in full."""

import json
import subprocess
from pathlib import Path
from typing import Any

from site_src.paths import ROOT

LONGEST_LINE = 300
"""Characters of a line of a failure that are shown: Node quotes lines of minified code."""


class NodeFailed(RuntimeError):
    """A Node script ended with an error; the message holds what it said."""


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
        lines = (done.stderr or done.stdout).splitlines()
        said = "\n".join(line[:LONGEST_LINE] for line in lines)
        raise NodeFailed(f"{script.relative_to(ROOT)} failed:\n{said}")
    return done.stdout
