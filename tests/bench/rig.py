"""My rig in the browser: from an edit to the verdict on the whole, and draws over it."""

from typing import Any

from playwright.sync_api import Page

from tests.bench import figures
from tests.bench.browser import profile
from tests.bench.figures import Figure
from tests.bench.site import Counter

PART = "My rig"
EDITS = {
    "plan.depth": (3, 0.02),
    "front_end.bias_resistance": (3.3, 0.02),
    "case.lid_thickness": (5.5, 0.01),
    "power.supply.1.capacity": (18, 0.05),
    "site.water_temperature": (6, 0.05),
}
"""Entries on which little or much depends; each edit goes a step on, for what was given before may
be remembered."""
MOST_MS = 50
WARM_UPS = 6
DRAWS_MOST_S = 5

READY = "[data-rig][data-state=live]:not([aria-busy]) .rig-sections:not([aria-busy])"

EDIT = """
([key, text]) => new Promise((done) => {
  const sheet = document.querySelector("[data-rig]");
  const field = sheet.querySelector(`.in[data-input="${key}"] .value`);
  const form = sheet.querySelector(".rig-sections");
  const begun = performance.now();
  const idle = (place) => new Promise((now) => {
    const watcher = new MutationObserver(() => {
      if (place.hasAttribute("aria-busy")) return;
      watcher.disconnect();
      now(performance.now() - begun);
    });
    watcher.observe(place, { attributes: true, attributeFilter: ["aria-busy"] });
  });
  const frame = (shown) => new Promise((now) => {
    requestAnimationFrame(() => setTimeout(() => now([shown, performance.now() - begun])));
  });
  const all = Promise.all([idle(sheet).then(frame), idle(form)]);
  all.then(([[shown, drawn], filled]) => done([shown, drawn, filled]));
  field.value = text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
})
"""

DRAW = """
() => new Promise((done) => {
  const button = document.querySelector(".draw-start");
  const begun = performance.now();
  new MutationObserver(() => {
    if (!button.hidden) done((performance.now() - begun) / 1000);
  }).observe(button, { attributes: true, attributeFilter: ["hidden"] });
  button.click();
})
"""


def measure(server: Counter, edits: int) -> list[Figure]:
    """Edits of each entry of ``EDITS``, and one run of draws."""
    with profile(service_workers="block") as context:
        page = context.new_page()
        page.goto(f"{server.address}rig/")
        page.wait_for_selector(READY)
        found = [figure for key in EDITS for figure in _edits(page, key, edits)]
        found.append(
            figures.middle(PART, "2,000 draws", "s", [page.evaluate(DRAW)], most=DRAWS_MOST_S)
        )
    return found


def _edits(page: Page, key: str, edits: int) -> list[Figure]:
    section = page.locator(f"#rig-{key.split('.')[0]}")
    section.evaluate("(fold) => { fold.open = true; }")
    page.wait_for_selector(f'.in[data-input="{key}"]')
    first, step = EDITS[key]
    texts = [f"{first + step * n:.6g}" for n in range(WARM_UPS + edits)]
    times: list[Any] = [page.evaluate(EDIT, [key, text]) for text in texts][WARM_UPS:]
    shown, drawn, filled = ([one[n] for one in times] for n in range(3))
    return [
        figures.percentile(PART, f"edit of {key} to the verdict", "ms", shown, 50),
        figures.percentile(PART, f"edit of {key} to the verdict", "ms", shown, 95, most=MOST_MS),
        figures.percentile(PART, f"edit of {key} to the frame that shows it", "ms", drawn, 95),
        figures.percentile(PART, f"edit of {key} to the fields that follow", "ms", filled, 95),
    ]
