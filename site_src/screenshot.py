"""Takes the pictures that the README shows: a calculator on a phone and a chapter at a desk."""

import shutil
import sys
import threading
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from site_src.build import build
from site_src.paths import BUILD, ROOT
from site_src.serve import Server

PICTURES = ROOT / "media"
SHOTS = (
    ("phone.png", "calculators/corner-frequency/", {"width": 390, "height": 844}, 2),
    ("desk.png", "build/front-end/", {"width": 1440, "height": 900}, 1),
)
LIVE = "[data-calculator][data-state=live]"


def main() -> int:
    """The command behind ``make screenshot``."""
    site = BUILD / "site-pictures"
    port = 8765
    build(site, f"http://127.0.0.1:{port}/")
    server = Server(site, port)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    PICTURES.mkdir(exist_ok=True)
    with sync_playwright() as playwright:
        chromium = shutil.which("chromium")
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        for name, page, size, scale in SHOTS:
            take(browser, f"{server.address}{page}", size, scale, PICTURES / name)
        browser.close()
    server.shutdown()
    return 0


def take(browser: Browser, address: str, size: dict[str, int], scale: int, picture: Path) -> None:
    """Take one picture, once the calculator answers."""
    context = browser.new_context(
        viewport={"width": size["width"], "height": size["height"]}, device_scale_factor=scale
    )
    page = context.new_page()
    page.goto(address)
    page.wait_for_selector(LIVE, timeout=60_000)
    page.locator(LIVE).first.evaluate("calculator => calculator.scrollIntoView()")
    page.screenshot(path=picture)
    context.close()


if __name__ == "__main__":
    sys.exit(main())
