"""The site that is measured: a copy of its own, with a bare page beside it, served and counted."""

import atexit
import json
import re
import shutil
import threading
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from site_src.build import build
from site_src.paths import BUILD, NODE_MODULES
from site_src.serve import Handler, Server
from tests.built import free_port

FOLDER = BUILD / "site-bench"
PAGES = Path(__file__).parent / "pages"
BARE = "bare/"
PUBLISHED = "bare-published/"
PYODIDE_FILES = (
    "pyodide.mjs",
    "pyodide.asm.js",
    "pyodide.asm.wasm",
    "python_stdlib.zip",
    "pyodide-lock.json",
)
_CANONICAL = re.compile(r'<link rel="canonical" href="([^"]+)"')
_RUNTIME = re.compile(r'<meta name="wetside-runtime" content="(\w+)"')


class Counter(Server):
    """The site's own server, which also notes what it sends."""

    def __init__(self, site: Path, port: int) -> None:
        super().__init__(site, port)
        self.sent: list[tuple[str, int]] = []
        self.RequestHandlerClass = CountingHandler

    def take(self) -> list[tuple[str, int]]:
        """Path and bytes of every body sent since this was last asked."""
        taken, self.sent = self.sent, []
        return taken


class CountingHandler(Handler):
    """Answers as ever; the length of a body is what went over the wire, compressed."""

    server: Counter

    def do_GET(self) -> None:  # noqa: N802, as in the base class
        """Send a file and note its size."""
        self.length = 0
        super().do_GET()
        self.server.sent.append((urlsplit(self.path).path.lstrip("/"), self.length))

    def send_header(self, keyword: str, value: str) -> None:
        """Pass the header on; keep the length."""
        if keyword == "Content-Length":
            self.length = int(value)
        super().send_header(keyword, value)


def bench_site(taken: Path | None) -> Counter:
    """Build the site for a free port, or copy a built one, and serve it there.

    A built one is served at the port it was built for: pages reload at any other.
    """
    if taken is None:
        port = free_port()
        build(FOLDER, f"http://127.0.0.1:{port}/")
    else:
        _copy(taken)
        port = _port_of(FOLDER)
    add_bare_pages(FOLDER)
    server = Counter(FOLDER, port)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    atexit.register(server.server_close)
    return server


def _copy(taken: Path) -> None:
    if taken.resolve() == FOLDER:
        return
    shutil.rmtree(FOLDER, ignore_errors=True)
    shutil.copytree(taken, FOLDER)


def _port_of(site: Path) -> int:
    found = _CANONICAL.search((site / "index.html").read_text(encoding="utf-8"))
    port = urlsplit(found[1]).port if found else None
    if port is None:
        raise ValueError(f"{site} was not built for a port of this machine")
    return port


def add_bare_pages(site: Path) -> None:
    """Write two pages that only start Python: from the site's files, and from Pyodide's own.

    They are served with the site's policy, and what they load may be cached for ever, as there.
    """
    home = (site / "index.html").read_text(encoding="utf-8")
    found = _RUNTIME.search(home)
    if not found:
        raise ValueError(f"{site} names no runtime")
    published = site / PUBLISHED / "runtime"
    published.mkdir(parents=True, exist_ok=True)
    for name in PYODIDE_FILES:
        shutil.copyfile(NODE_MODULES / "pyodide" / name, published / name)
    _write_page(site / BARE, f"../runtime/{found[1]}/")
    _write_page(site / PUBLISHED, "runtime/")
    _make_immutable(site, [p for name in (BARE, PUBLISHED) for p in (site / name).rglob("*.*")])


def _write_page(folder: Path, runtime: str) -> None:
    folder.mkdir(exist_ok=True)
    for source in sorted(PAGES.glob("bare*")):
        text = source.read_text(encoding="utf-8").replace("RUNTIME", runtime)
        (folder / source.name.replace("bare.html", "index.html")).write_text(text, encoding="utf-8")


def _make_immutable(site: Path, files: list[Path]) -> None:
    names = [p.relative_to(site).as_posix() for p in files if p.suffix != ".html"]
    headers = site / "headers.json"
    known: dict[str, Any] = json.loads(headers.read_text())
    known["immutable"] = sorted({*known["immutable"], *names})
    headers.write_text(json.dumps(known))
