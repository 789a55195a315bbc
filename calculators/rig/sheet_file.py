"""A sheet on disk: as HTML, or as PDF by a browser that is installed."""

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from calculators.errors import InputError

BROWSERS = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "msedge",
)
"""Programs that print a page to PDF without a window, in the order in which they are tried."""

SECONDS = 60.0


def find_browser() -> str:
    """The first of the browsers that is on PATH.

    Raises:
        InputError: If none is.
    """
    for name in BROWSERS:
        found = shutil.which(name)
        if found:
            return found
    raise InputError(
        "to",
        f"A PDF is printed by a browser, and none of these is on PATH: {', '.join(BROWSERS)}. "
        "Write HTML instead, and print it from any browser.",
    )


def write_html(html: str, target: Path) -> None:
    """The page as a file."""
    target.write_text(html, encoding="utf-8")


def write_pdf(html: str, target: Path) -> None:
    """The page printed to PDF.

    Raises:
        InputError: If no browser is found, or it prints nothing.
    """
    browser = find_browser()
    with tempfile.TemporaryDirectory() as folder:
        page, printed = Path(folder, "sheet.html"), Path(folder, "sheet.pdf")
        write_html(html, page)
        _print(browser, page, printed, Path(folder, "profile"))
        if not printed.exists():
            raise InputError("to", f"{Path(browser).name} printed nothing. Write HTML instead.")
        shutil.copyfile(printed, target)


def _print(browser: str, page: Path, printed: Path, profile: Path) -> None:
    command = [
        browser,
        "--headless",
        "--disable-gpu",
        "--no-pdf-header-footer",
        f"--user-data-dir={profile}",
        f"--print-to-pdf={printed}",
        page.as_uri(),
    ]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        command.insert(1, "--no-sandbox")  # for root it starts only without one
    try:
        subprocess.run(command, check=False, capture_output=True, timeout=SECONDS)
    except subprocess.TimeoutExpired as error:
        name = Path(browser).name
        raise InputError("to", f"{name} did not print within {SECONDS:.0f} s.") from error
