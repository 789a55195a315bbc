"""Modules of the recording check that need no page: reading a file, pace of what is shown."""

import re
import subprocess
from pathlib import Path

import pytest

from site_src.paths import ROOT

SCRIPTS = ["recording_read", "recording_pace"]


@pytest.mark.parametrize("name", SCRIPTS)
def test_the_module_under_node(name):
    """Each test of the script is run; the first lines of a failure name it."""
    script = Path(__file__).parent / f"{name}.test.mjs"
    command = ["node", "--test", str(script)]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)
    assert done.returncode == 0, done.stdout[-6000:] + done.stderr[-2000:]
    written = re.findall(r'^test\("(.+?)",', script.read_text(), re.MULTILINE)
    assert written
    assert re.findall(r"^ok \d+ - (.+)$", done.stdout, re.MULTILINE) == written
