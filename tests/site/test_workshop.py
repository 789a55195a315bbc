"""Do the commands around the site say what they need to say?"""

import re
import subprocess
import sys

import pytest

from site_src import get_node, system_tools
from site_src.paths import ROOT

TARGETS = {"setup", "serve", "build", "test", "bench", "check", "clean", "screenshot", "help"}


def test_make_help_lists_every_target():
    """A newcomer's first command."""
    shown = subprocess.run(["make", "help"], capture_output=True, text=True, cwd=ROOT, check=True)

    assert set(re.findall(r"make ([a-z]+)", shown.stdout)) >= TARGETS


def test_a_missing_tool_is_named_with_the_way_to_get_it(monkeypatch, capsys):
    """And the run ends: nothing is skipped."""
    monkeypatch.setattr(system_tools.shutil, "which", lambda tool: None)

    assert system_tools.main(["chromium", "ngspice"]) == 1
    said = capsys.readouterr().err
    assert "chromium is missing" in said
    assert "apt-get install chromium ngspice" in said


def test_tools_that_are_there_are_passed_over_in_silence(monkeypatch, capsys):
    """No news is good news."""
    monkeypatch.setattr(system_tools.shutil, "which", lambda tool: f"/usr/bin/{tool}")

    assert system_tools.main(["chromium"]) == 0
    assert capsys.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("script", "major"), [("echo v20.3.1", 20), ("echo 9.1", 9), ("exit 3", 0)]
)
def test_the_version_of_a_node_is_read_from_what_it_says(tmp_path, script, major):
    """With or without the v; one that does not start is none."""
    command = tmp_path / "node"
    command.write_text(f"#!/bin/sh\n{script}\n")
    command.chmod(0o755)

    assert get_node.major_version(str(command)) == major
    assert get_node.major_version(str(tmp_path / "none")) == 0


def test_a_taken_port_is_a_message_not_a_traceback(built, address):
    """And the message says how to take another."""
    port = address.rsplit(":", 1)[1].strip("/")
    command = [sys.executable, "-m", "site_src.serve", "--site", str(built.folder), "--port", port]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)

    assert done.returncode == 1
    assert done.stderr.startswith(f"Port {port}: ")
    assert "make serve PORT=" in done.stderr
