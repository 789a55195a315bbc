"""Serves a built site as a good static host would: compressed, cached by hash, with its policy."""

import argparse
import gzip
import hashlib
import json
import sys
from dataclasses import dataclass
from functools import lru_cache
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

from site_src.policy import FOREVER

TYPES = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".mjs": "text/javascript; charset=utf-8",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".wasm": "application/wasm",
    ".wav": "audio/wav",
    ".webmanifest": "application/manifest+json",
    ".woff2": "font/woff2",
    ".xml": "application/xml",
    ".zip": "application/zip",
}
ALREADY_COMPRESSED = {".png", ".woff2", ".zip"}


@dataclass(frozen=True)
class Body:
    """A file as it goes out."""

    plain: bytes
    zipped: bytes | None
    etag: str


@lru_cache(maxsize=512)
def read_body(path: Path, changed: int) -> Body:
    """The file, compressed where that helps; ``changed`` makes a changed file a new one."""
    plain = path.read_bytes()
    etag = f'"{hashlib.sha256(plain).hexdigest()[:16]}"'
    helps = path.suffix not in ALREADY_COMPRESSED and len(plain) > 500
    return Body(plain, gzip.compress(plain, 6, mtime=0) if helps else None, etag)


class Server(ThreadingHTTPServer):
    """A server of one folder. ``port`` 0 takes any free one; see ``address``."""

    daemon_threads = True

    def __init__(self, site: Path, port: int = 0) -> None:
        self.site = site.resolve()
        headers = json.loads((self.site / "headers.json").read_text())
        self.everywhere: dict[str, str] = headers["everywhere"]
        self.immutable = set(headers["immutable"])
        super().__init__(("127.0.0.1", port), Handler)

    @property
    def address(self) -> str:
        """Where the site is to be found."""
        return f"http://127.0.0.1:{self.server_port}/"

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Pass over a reader who left before the answer was out; show everything else."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)


class Handler(BaseHTTPRequestHandler):
    """Answers GET and HEAD."""

    server: Server
    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        """Send a file."""
        self._answer()

    def do_HEAD(self) -> None:
        """Send what a GET would, without the body."""
        self._answer()

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002, as in the base class
        """Say nothing: what a reader looks at is nobody's business."""

    def _answer(self) -> None:
        path = self._file()
        if path is None:
            self._send(self.server.site / "404.html", HTTPStatus.NOT_FOUND)
        elif path.is_dir():
            self._redirect()
        else:
            self._send(path, HTTPStatus.OK)

    def _file(self) -> Path | None:
        """The file asked for; a folder asked for without its slash comes back as folder."""
        asked = unquote(urlsplit(self.path).path)
        path = (self.server.site / asked.lstrip("/")).resolve()
        if not path.is_relative_to(self.server.site):
            return None
        if asked.endswith("/"):
            path /= "index.html"
        return path if path.exists() else None

    def _redirect(self) -> None:
        self.send_response(HTTPStatus.MOVED_PERMANENTLY)
        self.send_header("Location", f"{urlsplit(self.path).path}/")
        self.send_header("Content-Length", "0")
        self.end_headers()

    def _send(self, path: Path, status: HTTPStatus) -> None:
        body = read_body(path, path.stat().st_mtime_ns)
        if status is HTTPStatus.OK and self.headers.get("If-None-Match") == body.etag:
            status = HTTPStatus.NOT_MODIFIED
        zips = body.zipped is not None and "gzip" in self.headers.get("Accept-Encoding", "")
        content = body.zipped if zips and body.zipped is not None else body.plain
        self.send_response(status)
        self._send_headers(path, body)
        if status is HTTPStatus.NOT_MODIFIED:
            self.end_headers()
            return
        if zips:
            self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(content)

    def _send_headers(self, path: Path, body: Body) -> None:
        name = path.relative_to(self.server.site).as_posix()
        self.send_header("Content-Type", TYPES.get(path.suffix, "application/octet-stream"))
        self.send_header("Cache-Control", FOREVER if name in self.server.immutable else "no-cache")
        self.send_header("Vary", "Accept-Encoding")
        self.send_header("ETag", body.etag)
        for header, value in self.server.everywhere.items():
            self.send_header(header, value)


def main() -> int:
    """The command behind ``make serve``."""
    parser = argparse.ArgumentParser(description="Serve a built site on this machine.")
    parser.add_argument("--site", type=Path, required=True, help="folder of the built site")
    parser.add_argument("--port", type=int, default=8000, help="port to listen on")
    given = parser.parse_args()
    try:
        server = Server(given.site, given.port)
    except OSError as error:
        print(f"Port {given.port}: {error.strerror}. Try: make serve PORT=8001", file=sys.stderr)
        return 1
    print(f"The handbook is at {server.address} (Ctrl-C ends it)", flush=True)
    try:
        server.serve_forever()
    except KeyboardInterrupt:
        print()
    return 0


if __name__ == "__main__":
    sys.exit(main())
