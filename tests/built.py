"""The handbook as the tests read it, and servers of it."""

import atexit
import os
import socket
import threading
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from site_src.build import build
from site_src.paths import BUILD
from site_src.serve import Server

FOLDER = BUILD / "site-test"
ADDRESS = BUILD / "site-test.address"
"""Keeps the address that the site was built for."""


@dataclass(frozen=True)
class Built:
    """A site on disk, to be read and not to be changed, and the address it was built for."""

    folder: Path
    url: str

    @property
    def port(self) -> int:
        """Port of the address."""
        return int(self.url.rsplit(":", 1)[1].strip("/"))


@cache
def built_site() -> Built:
    """The site: as ``make test`` has just built it for all its sets of tests, else built anew.

    Where another set serves it at its address, it is served at another one, at which a link to
    another page loads that page anew.
    """
    known = os.environ.get("TEST_SITE")
    if known == "elsewhere":
        return Built(FOLDER, f"http://127.0.0.1:{free_port()}/")
    if known != "built":
        make()
    return Built(FOLDER, ADDRESS.read_text(encoding="utf-8"))


def make() -> None:
    """Build the site for an address that nobody else serves."""
    ADDRESS.unlink(missing_ok=True)
    url = f"http://127.0.0.1:{free_port()}/"
    build(FOLDER, url)
    ADDRESS.write_text(url, encoding="utf-8")


def serve(folder: Path, port: int = 0) -> Server:
    """Serve a folder until the tests end."""
    server = Server(folder, port)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    atexit.register(server.server_close)
    return server


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


if __name__ == "__main__":
    make()
