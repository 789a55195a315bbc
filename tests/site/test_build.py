"""Does the build refuse what may not be published, and say all of it at once?"""

import json
import subprocess
import sys
from datetime import UTC, datetime

import pytest
from mkdocs.exceptions import PluginError

from calculators import EDITION
from site_src import hooks
from site_src.build import BuildFailed, check, edition_date, write_offline_manifest
from site_src.paths import ROOT
from site_src.prerender import Prerender
from site_src.runtime import Runtime
from site_src.tags import Tags

URL = "http://127.0.0.1:8000/"


def test_a_site_with_faults_is_refused_with_all_of_them(small_site):
    """A dead link and a load from elsewhere, in one message."""
    site = small_site({"index.html": '<a href="gone/">x</a><img src="https://i.example/a.png">'})

    with pytest.raises(BuildFailed) as refused:
        check(site, URL)

    assert "index.html: gone/: no such page or file" in str(refused.value)
    assert "index.html: https://i.example/a.png (another origin)" in str(refused.value)


def test_pages_with_faulty_tags_are_refused_with_all_of_them(monkeypatch):
    """Every page is read before the build gives up."""
    problems = ["a.md: [[x]]: one", "b.md: [@y]: two"]
    monkeypatch.setitem(hooks.state, "tags", Tags({}, {}, Prerender(), problems))

    with pytest.raises(PluginError, match=r"(?s)a\.md: \[\[x\]\]: one.*b\.md: \[@y\]: two"):
        hooks.on_env(None, None, None)


def test_a_fault_in_our_data_is_shown_without_a_traceback():
    """MkDocs shows its own kind of error plainly."""
    with pytest.raises(PluginError, match="example “bench”: wrong"), hooks.reported():
        raise ValueError("example “bench”: wrong")


def test_the_offline_list_leaves_out_what_only_a_server_reads(small_site, tmp_path):
    """The service worker may not be a file that it keeps itself."""
    names = ["index.html", "sw.js", "_headers", "headers.json", "runtime/1/core.zip"]
    site = small_site(dict.fromkeys(names, "x"))

    write_offline_manifest(site, Runtime("1", site / "runtime/1"))

    listed = json.loads((site / "offline-manifest.json").read_text())
    assert [entry["path"] for entry in listed["files"]] == ["index.html", "runtime/1/core.zip"]
    assert (listed["edition"], listed["runtime"], listed["bytes"]) == (EDITION, "1", 2)


def test_another_file_gives_another_version(small_site):
    """Versions are told apart by content, whatever the edition says."""
    versions = set()
    for content in ("a", "b"):
        site = small_site({"index.html": content})
        write_offline_manifest(site, Runtime("1", site))
        versions.add(json.loads((site / "offline-manifest.json").read_text())["version"])

    assert len(versions) == 2


def test_pages_are_dated_by_the_edition():
    """The first day of its month; a third part, a repair, changes nothing."""
    dated = datetime.fromtimestamp(int(edition_date()), UTC)

    assert [dated.year, dated.month, dated.day] == [*map(int, EDITION.split(".")[:2]), 1]


def test_a_failed_build_ends_with_one_message_and_an_error(tmp_path):
    """No traceback: the message is for who asked for it."""
    command = [sys.executable, "-m", "site_src.build", "--site", str(tmp_path), "--url", "nowhere"]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)

    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    assert done.stderr.startswith("“nowhere/” is not an address like ")
