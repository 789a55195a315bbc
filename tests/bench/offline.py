"""Has the browser keep the handbook for offline use, as a reader does."""

from playwright.sync_api import BrowserContext

READY = ".offline-state:has-text('Ready for offline')"


def keep(context: BrowserContext, home: str) -> None:
    """Press "Keep for offline" and wait for the proof."""
    page = context.new_page()
    page.goto(home)
    page.click("button.keep")
    page.wait_for_selector(READY)
    page.close()
