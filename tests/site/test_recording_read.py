"""Does the page read a file whole and in order, also where its stream stands still?"""

import re
import subprocess
from pathlib import Path

from site_src.paths import ROOT


def test_the_module_under_node():
    """The tests that need no page, each of them run; the first lines of a failure name it."""
    script = Path(__file__).parent / "recording_read.test.mjs"
    command = ["node", "--test", str(script)]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)
    assert done.returncode == 0, done.stdout[-6000:] + done.stderr[-2000:]
    written = re.findall(r'^test\("(.+?)",', script.read_text(), re.MULTILINE)
    assert written
    assert re.findall(r"^ok \d+ - (.+)$", done.stdout, re.MULTILINE) == written
