"""Builds the whole site: runtime, bundles, pages, policy, service worker, and checks it all."""

import argparse
import fcntl
import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from calculators import EDITION
from site_src import policy, theme_files
from site_src.fonts import make_fonts
from site_src.links import dead_links
from site_src.node import run_node
from site_src.origins import foreign_loads
from site_src.paths import ASSETS, BUILD, FONTS, PLAIN_STYLE, ROOT, SITE_SRC, STYLE
from site_src.runtime import Runtime, file_entry, hash_of, make_runtime

ASSETS_IN_SITE = "assets/wetside"
# What the offline copy does not hold: the service worker itself, and what only a server reads.
NOT_OFFLINE = {"sw.js", "offline-manifest.json", "_headers", "headers.json"}


class BuildFailed(RuntimeError):
    """The site cannot be published as it is; the message lists why."""


def build(site_dir: Path, site_url: str) -> Path:
    """Build the site into ``site_dir``.

    Args:
        site_dir: Folder for the site; what is in it is replaced.
        site_url: Address that the site will have, with the slash at its end. Pages follow each
            other without a reload only if this is the origin that serves them.

    Returns:
        The folder.

    Raises:
        BuildFailed: If a page cannot be built, a link is dead, or a file loads from elsewhere.
    """
    if urlsplit(site_url).scheme not in ("http", "https") or not site_url.endswith("/"):
        raise BuildFailed(f"“{site_url}” is not an address like https://example.org/handbook/")
    site = site_dir.resolve()
    with _alone():
        runtime = make_runtime()
        bundle(runtime)
        make_pages(site, site_url)
        copy_made_files(site, runtime)
        theme_files.clean(site)
        rules = policy.make_policy(site)
        policy.put_into_pages(site, rules)
        make_service_worker(site, rules, runtime)
        write_offline_manifest(site, runtime)
        policy.write_headers(site, rules)
        check(site, site_url)
    return site


def bundle(runtime: Runtime) -> None:
    """Bundle scripts and styles, make the fonts, and list the names for the templates."""
    for name in ("assets", "style"):
        shutil.rmtree(BUILD / name, ignore_errors=True)
        (BUILD / name).mkdir(parents=True)
    names_file = BUILD / "assets.json"
    run_node(SITE_SRC / "bundle.mjs", str(ASSETS), str(PLAIN_STYLE), str(names_file))
    make_fonts(FONTS)
    known = {**json.loads(names_file.read_text()), "edition": EDITION, "runtime": runtime.hash}
    (BUILD / "site.json").write_text(json.dumps(known, indent=1))


def make_pages(site: Path, site_url: str) -> None:
    """Have MkDocs build the pages; a warning is an error."""
    # Not --quiet: it hides warnings from --strict too.
    command = [sys.executable, "-m", "mkdocs", "build", "--strict", "-d", str(site)]
    settings = {
        **os.environ,
        "SITE_URL": site_url,
        "NO_MKDOCS_2_WARNING": "1",  # the end of the theme is known: DEVELOPERS.md, design opinions
        "SOURCE_DATE_EPOCH": edition_date(),  # the date of a page is its edition's, not today's
    }
    done = subprocess.run(
        command, cwd=ROOT, env=settings, capture_output=True, text=True, check=False
    )
    if done.returncode:
        raise BuildFailed(f"MkDocs refused the pages:\n{done.stderr}{done.stdout}")


def edition_date() -> str:
    """First day of the edition's month, as seconds: the same source gives the same site any day."""
    year, month = (int(part) for part in EDITION.split(".")[:2])
    return str(int(datetime(year, month, 1, tzinfo=UTC).timestamp()))


def copy_made_files(site: Path, runtime: Runtime) -> None:
    """Put the bundles, the style, the fonts and the runtime into the site."""
    shutil.copytree(ASSETS, site / ASSETS_IN_SITE, dirs_exist_ok=True)
    shutil.copytree(STYLE, site / ASSETS_IN_SITE, dirs_exist_ok=True)
    shutil.copytree(FONTS, site / ASSETS_IN_SITE / "fonts", dirs_exist_ok=True)
    shutil.copytree(runtime.folder, site / "runtime" / runtime.hash)


def make_service_worker(site: Path, rules: str, runtime: Runtime) -> dict[str, Any]:
    """Write sw.js with the list of this edition's files in it."""
    constants = {"policy": rules, "edition": EDITION, "runtime": runtime.hash}
    script = SITE_SRC / "service_worker.mjs"
    told: dict[str, Any] = json.loads(run_node(script, str(site), stdin=constants))
    return told


def write_offline_manifest(site: Path, runtime: Runtime) -> None:
    """List every file that the handbook needs without a network, with its size and hash."""
    paths = sorted(p for p in site.rglob("*") if p.is_file())
    entries = [file_entry(path, site) for path in paths]
    entries = [entry for entry in entries if entry["path"] not in NOT_OFFLINE]
    manifest = {
        "edition": EDITION,
        "runtime": runtime.hash,
        "version": hash_of(entries),
        "bytes": sum(entry["bytes"] for entry in entries),
        "files": entries,
    }
    (site / "offline-manifest.json").write_text(json.dumps(manifest))


def check(site: Path, site_url: str) -> None:
    """Refuse a site with a dead link or a file that loads from another origin."""
    problems = dead_links(site, site_url)
    problems += [f"{found} (another origin)" for found in foreign_loads(site, site_url)]
    if problems:
        raise BuildFailed("\n".join(["The built site has faults:", *problems]))


@contextmanager
def _alone() -> Iterator[None]:
    """One build at a time in this checkout: they share the folder of intermediate files."""
    BUILD.mkdir(exist_ok=True)
    with (BUILD / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def main() -> int:
    """The command behind ``make build``."""
    parser = argparse.ArgumentParser(description="Build the handbook's site.")
    parser.add_argument("--site", type=Path, required=True, help="folder for the site")
    parser.add_argument("--url", required=True, help="address the site will have")
    given = parser.parse_args()
    url = given.url.rstrip("/") + "/"
    started = time.perf_counter()
    try:
        site = build(given.site, url)
    except (RuntimeError, ValueError) as error:
        print(error, file=sys.stderr)
        return 1
    print(f"Built {site} for {url} in {time.perf_counter() - started:.1f} s")
    return 0


if __name__ == "__main__":
    sys.exit(main())
