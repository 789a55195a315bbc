"""Checks a built site for dead links: every address leads to a file, every anchor exists."""

from pathlib import Path
from urllib.parse import unquote, urljoin, urlsplit

from site_src.html_scan import Scanned, scan


def dead_links(site: Path, site_url: str) -> list[str]:
    """What leads nowhere, as ``page: address: why``."""
    pages = {path.relative_to(site).as_posix(): scan(path) for path in sorted(site.rglob("*.html"))}
    dead = []
    for name, page in pages.items():
        for address in dict.fromkeys(page.links + page.loads):
            why = _why_dead(name, address, pages, site, site_url)
            if why:
                dead.append(f"{name}: {address}: {why}")
    return dead


def _why_dead(
    name: str, address: str, pages: dict[str, Scanned], site: Path, site_url: str
) -> str | None:
    target = urlsplit(urljoin(urljoin(site_url, _address_of(name)), address))
    if not target.geturl().startswith(site_url):
        outside = target.scheme in ("http", "https", "mailto") and target.netloc != _host(site_url)
        inside = target.scheme in ("data", "mailto")  # holds its file, or has none
        return None if outside or inside else "is not part of the site"
    file = _file_of(unquote(target.path.removeprefix(urlsplit(site_url).path)))
    if not (site / file).is_file():
        return "no such page or file"
    anchor = unquote(target.fragment)
    # A share link has its values behind the name of the calculator.
    anchor = anchor.partition("?")[0]
    if anchor and file in pages and anchor not in pages[file].anchors:
        return f"no anchor “{anchor}” there"
    return None


def _host(site_url: str) -> str:
    return urlsplit(site_url).netloc


def _address_of(name: str) -> str:
    return name.removesuffix("index.html") if name.endswith("index.html") else name


def _file_of(path: str) -> str:
    return f"{path}index.html" if path in ("", "/") or path.endswith("/") else path
