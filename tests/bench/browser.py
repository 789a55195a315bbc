"""Debian's Chromium, as a reader would have it: a profile on disk, its cache filled or empty."""

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, Playwright, sync_playwright

PAGES = Path(__file__).parent / "pages"
CHROMIUM = shutil.which("chromium")
ARGUMENTS = ["--no-sandbox", "--headless=new"]
DESK = {"width": 1280, "height": 800}
PHONE = {"width": 390, "height": 844}
PATIENCE = 120_000
"""Milliseconds after which something that should have happened counts as broken."""


@contextmanager
def profile(*scripts: str, **options: Any) -> Iterator[BrowserContext]:
    """A browser with a new profile; ``scripts`` of pages/ run before those of any page."""
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        context = _launch(playwright, folder, options)
        for script in scripts:
            context.add_init_script(path=PAGES / script)
        try:
            yield context
        finally:
            context.close()


def _launch(playwright: Playwright, folder: str, options: dict[str, Any]) -> BrowserContext:
    context = playwright.chromium.launch_persistent_context(
        folder, executable_path=CHROMIUM, args=ARGUMENTS, **{"viewport": DESK, **options}
    )
    context.set_default_timeout(PATIENCE)
    return context


def version() -> str:
    """The browser's version."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        found = browser.version
        browser.close()
    return found
