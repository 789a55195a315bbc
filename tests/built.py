"""One built and served site for every test that needs one."""

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


@dataclass(frozen=True)
class Built:
    """A site on disk and the address it is served at, which is the one it was built for."""

    folder: Path
    url: str


@cache
def built_site() -> Built:
    """Build the site and serve it, once a test session; two sessions at once name two folders."""
    port = free_port()
    url = f"http://127.0.0.1:{port}/"
    folder = build(BUILD / os.environ.get("TEST_SITE", "site-test"), url)
    serve(folder, port)
    return Built(folder, url)


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
