"""Checks that no file of a built site makes the browser ask another origin for anything.

Links that a reader may follow are fine; what is fetched is not. In scripts, every address that
starts a text is taken for one that is fetched, unless it is listed below with the reason why not.
"""

import re
from fnmatch import fnmatch
from pathlib import Path
from urllib.parse import urljoin, urlsplit

from site_src.html_scan import scan

# File, start of the address, why it is never fetched. An entry that matches nothing is an error.
KNOWN = (
    (
        "runtime/*/pyodide.mjs",
        "https://cdn.jsdelivr.net/pyodide/",
        "where packages would come from; our lock file lists none",
    ),
    (
        "runtime/*/pyodide.asm.js",
        "ws",
        "sockets of programs that open one; ours opens none, and connect-src would refuse",
    ),
)
# Names, not addresses: XML namespaces.
NAMES = ("http://www.w3.org/",)

_IN_STYLE = re.compile(r"""(?:url\(|@import)\s*["']?\s*((?:https?:)?//[^"')\s]+)""", re.IGNORECASE)
_IN_SCRIPT = re.compile(
    r"""["'`]\s*((?:https?:|wss?:)//[^"'`\s]*|//[\w-]+(?:\.[\w-]+)+[^"'`\s]*)""", re.IGNORECASE
)


def foreign_loads(site: Path, site_url: str) -> list[str]:
    """Every address of another origin that would be loaded, as ``file: address``."""
    found: list[str] = []
    used: set[int] = set()
    for path in sorted(p for p in site.rglob("*") if p.is_file()):
        name = path.relative_to(site).as_posix()
        for address in _addresses(path):
            if _is_foreign(address, site_url) and not _is_known(name, address, used):
                found.append(f"{name}: {address}")
    found += [f"{KNOWN[n][0]}: {KNOWN[n][1]}: listed, but not there" for n in _unused(site, used)]
    return found


def _addresses(path: Path) -> list[str]:
    if path.suffix == ".html":
        page = scan(path)
        inside = [a for text in page.inline_scripts for a in _IN_SCRIPT.findall(text)]
        inside += [a for text in page.inline_styles for a in _IN_STYLE.findall(text)]
        return page.loads + inside + ([page.base] if page.base else [])
    if path.suffix in (".css", ".svg"):
        return _IN_STYLE.findall(path.read_text(encoding="utf-8"))
    if path.suffix in (".js", ".mjs"):
        return _IN_SCRIPT.findall(path.read_text(encoding="utf-8"))
    return []


def _is_foreign(address: str, site_url: str) -> bool:
    target = urlsplit(urljoin(site_url, address))
    if target.scheme in ("data", "blob"):
        return False
    return f"{target.scheme}://{target.netloc}" != "{0.scheme}://{0.netloc}".format(
        urlsplit(site_url)
    )


def _is_known(name: str, address: str, used: set[int]) -> bool:
    if address.startswith(NAMES):
        return True
    for number, (files, start, _) in enumerate(KNOWN):
        if fnmatch(name, files) and address.startswith(start):
            used.add(number)
            return True
    return False


def _unused(site: Path, used: set[int]) -> list[int]:
    there = [n for n, (files, _, _) in enumerate(KNOWN) if list(site.glob(files))]
    return [n for n in there if n not in used]
