"""Reads a built page for what the checks need: addresses, anchors, inline scripts."""

from dataclasses import dataclass, field
from functools import lru_cache
from html.parser import HTMLParser
from pathlib import Path

# Elements that make the browser fetch something, by the attribute that says what.
LOADING = {
    ("audio", "src"),
    ("embed", "src"),
    ("form", "action"),
    ("iframe", "src"),
    ("image", "href"),
    ("image", "xlink:href"),
    ("img", "src"),
    ("img", "srcset"),
    ("input", "src"),
    ("object", "data"),
    ("script", "src"),
    ("source", "src"),
    ("source", "srcset"),
    ("track", "src"),
    ("use", "href"),
    ("video", "poster"),
    ("video", "src"),
}
LOADING_RELS = {
    "apple-touch-icon", "dns-prefetch", "icon", "manifest", "mask-icon", "modulepreload",
    "next", "preconnect", "prefetch", "preload", "prerender", "prev", "shortcut", "stylesheet",
}  # fmt: skip
SCRIPT_TYPES = {"", "module", "text/javascript", "application/javascript"}


@dataclass
class Scanned:
    """What was found in one page."""

    loads: list[str] = field(default_factory=list)
    links: list[str] = field(default_factory=list)
    anchors: set[str] = field(default_factory=set)
    inline_scripts: list[str] = field(default_factory=list)
    inline_styles: list[str] = field(default_factory=list)
    handlers: list[str] = field(default_factory=list)
    base: str = ""


class _Scanner(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found = Scanned()
        self._within: list[str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = {name: value or "" for name, value in attrs}
        self._addresses(tag, values)
        self._inline(tag, values)
        for name in ("id", "name") if tag == "a" else ("id",):
            if values.get(name):
                self.found.anchors.add(values[name])

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        self._within = None

    def handle_endtag(self, tag: str) -> None:
        if tag in ("script", "style"):
            self._within = None

    def handle_data(self, data: str) -> None:
        if self._within is not None:
            self._within[-1] += data

    def _addresses(self, tag: str, values: dict[str, str]) -> None:
        if tag == "base":
            self.found.base = values.get("href", "")
        if tag in ("a", "area") and "href" in values:
            self.found.links.append(values["href"])
        if tag == "link" and set(values.get("rel", "").lower().split()) & LOADING_RELS:
            self.found.loads.append(values.get("href", ""))
        for name, value in values.items():
            if (tag, name.removeprefix("xlink:")) in LOADING:
                parts = value.split(",") if name == "srcset" else [value]
                self.found.loads += [part.strip().split(" ")[0] for part in parts]

    def _inline(self, tag: str, values: dict[str, str]) -> None:
        self.found.handlers += [f"{tag} {name}" for name in values if name.startswith("on")]
        if "style" in values:
            self.found.inline_styles.append(f'<{tag} style="{values["style"]}">')
        if tag == "style":
            self._within = self.found.inline_styles
        elif tag == "script" and "src" not in values and values.get("type", "") in SCRIPT_TYPES:
            self._within = self.found.inline_scripts
        else:
            return
        self._within.append("")


def scan(page: Path) -> Scanned:
    """Read a page; once for all the checks, as long as the file stays as it is."""
    return _scan(page, page.stat().st_mtime_ns)


@lru_cache(maxsize=1024)
def _scan(page: Path, _changed: int) -> Scanned:
    scanner = _Scanner()
    scanner.feed(page.read_text(encoding="utf-8"))
    scanner.close()
    return scanner.found
