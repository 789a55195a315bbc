"""The Content-Security-Policy of the site, written into every page and into the headers."""

import base64
import hashlib
import json
import re
from pathlib import Path

from site_src.html_scan import scan

MOST_INLINE_SCRIPTS = 8
FOREVER = "public, max-age=31536000, immutable"
_CHARSET = re.compile(r'<meta charset="?utf-8"?\s*/?>', re.IGNORECASE)
_HASHED = re.compile(r"-[A-Z0-9]{8}\.\w+$")


class PolicyBroken(ValueError):
    """A page holds something that the policy would refuse."""


def make_policy(site: Path) -> str:
    """The policy that lets exactly the site's own inline scripts run."""
    scripts: set[str] = set()
    for path in sorted(site.rglob("*.html")):
        page = scan(path)
        refused = page.inline_styles + page.handlers
        if refused:
            raise PolicyBroken(f"{path.relative_to(site)}: inline style or handler: {refused[0]}")
        scripts |= set(page.inline_scripts)
    if len(scripts) > MOST_INLINE_SCRIPTS:
        raise PolicyBroken(f"{len(scripts)} inline scripts, at most {MOST_INLINE_SCRIPTS} allowed")
    hashes = "".join(f" '{source_hash(script)}'" for script in sorted(scripts))
    return (
        f"default-src 'self'; script-src 'self' 'wasm-unsafe-eval'{hashes}; style-src 'self'; "
        "img-src 'self' data:; font-src 'self'; connect-src 'self'; worker-src 'self'; "
        "base-uri 'self'; form-action 'self'; object-src 'none'"
    )


def source_hash(script: str) -> str:
    """The hash by which a policy names an inline script."""
    digest = hashlib.sha256(script.encode()).digest()
    return f"sha256-{base64.b64encode(digest).decode()}"


def put_into_pages(site: Path, policy: str) -> None:
    """Write the policy into every page, right after its charset: before anything is loaded."""
    meta = f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
    for path in site.rglob("*.html"):
        html = path.read_text(encoding="utf-8")
        changed, count = _CHARSET.subn(lambda found: found[0] + meta, html, count=1)
        if count != 1 or html.count("Content-Security-Policy"):
            raise PolicyBroken(f"{path.relative_to(site)}: needs one charset and no policy yet")
        path.write_text(changed, encoding="utf-8")


def write_headers(site: Path, policy: str) -> None:
    """Write the headers that a server should send, for our own server and for static hosts."""
    everywhere = {
        # A page cannot say who may frame it; a header can.
        "Content-Security-Policy": f"{policy}; frame-ancestors 'none'",
        "Cross-Origin-Opener-Policy": "same-origin",
        "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
        "Referrer-Policy": "no-referrer",
        "X-Content-Type-Options": "nosniff",
    }
    immutable = sorted(
        path.relative_to(site).as_posix()
        for path in site.rglob("*")
        if path.is_file() and _never_changes(path.relative_to(site))
    )
    (site / "headers.json").write_text(
        json.dumps({"everywhere": everywhere, "immutable": immutable}, indent=1)
    )
    lines = ["/*", *(f"  {name}: {value}" for name, value in everywhere.items())]
    lines += ["  Cache-Control: no-cache"]
    for name in immutable:
        lines += [f"/{name}", "  ! Cache-Control", f"  Cache-Control: {FOREVER}"]
    (site / "_headers").write_text("\n".join(lines) + "\n")


def _never_changes(path: Path) -> bool:
    """Whether the file's address holds the hash of its content."""
    return path.parts[0] == "runtime" or bool(_HASHED.search(path.name))
