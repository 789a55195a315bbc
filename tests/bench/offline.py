"""Has the browser keep the handbook for offline use, as a reader does."""

import time

from playwright.sync_api import BrowserContext

READY = ".offline-state:has-text('Ready for offline')"
IDLE = 30.0
"""Seconds without change after which the copy is whole: the page adds to it at leisure."""


def keep(context: BrowserContext, address: str) -> None:
    """Press "Keep for offline", wait for the proof, and then until the copy grows no more."""
    page = context.new_page()
    page.goto(address)
    page.click("button.keep")
    page.wait_for_selector(READY)
    size, since = 0, time.monotonic()
    while time.monotonic() - since < IDLE:
        page.wait_for_timeout(500)
        now = page.evaluate("navigator.storage.estimate().then(({ usage }) => usage)")
        if now != size:
            size, since = now, time.monotonic()
    page.close()
