"""From a keystroke to the answer, in every calculator, with the curve folded and open."""

from itertools import cycle, islice

from playwright.sync_api import BrowserContext, Page

from tests.bench import figures
from tests.bench.browser import profile
from tests.bench.figures import Figure
from tests.bench.forms import Typing, typings
from tests.bench.native import call_times
from tests.bench.site import Counter

MOST_MS = {False: 16, True: 50}
WARM_UPS = 20
"""Keystrokes before the first that counts: WebAssembly is compiled better once it is used."""
PAUSE = 40
"""Milliseconds between an answer and the next keystroke; a fast typist takes three times that."""

Marks = dict[str, float]


def measure(server: Counter, strokes: int) -> list[Figure]:
    """Every calculator, first with its curve folded, then with it drawn at each keystroke."""
    found = []
    with profile("watch_start.mjs", "watch_keys.mjs", service_workers="block") as context:
        for typing in typings():
            for curve in (False, True):
                found += _one(context, server, typing, strokes, curve=curve)
    return found


def _one(
    context: BrowserContext, server: Counter, typing: Typing, strokes: int, *, curve: bool
) -> list[Figure]:
    digits = list(islice(cycle(typing.digits), strokes))
    native = call_times(typing.calculator, typing.field, digits, plot=curve)
    page = context.new_page()
    page.goto(f"{server.address}{typing.page}")
    page.evaluate("benchStart")
    marks = _type(page, typing, digits, curve=curve)
    page.close()
    return _figures(typing, native, marks, curve=curve)


def _section(typing: Typing) -> str:
    return f"[data-calculator={typing.calculator}]"


def _type(page: Page, typing: Typing, digits: list[str], *, curve: bool) -> list[Marks]:
    """Put one digit after the other in place of what the field holds."""
    page.evaluate("([id, curve]) => bench.begin(id, curve)", [typing.calculator, curve])
    page.click(f"{_section(typing)} input[name={typing.field}]")
    warm_up = list(islice(cycle(reversed(typing.digits)), WARM_UPS))
    return [_press(page, digit) for digit in warm_up + digits][WARM_UPS:]


def _press(page: Page, digit: str) -> Marks:
    page.keyboard.press("Control+A")
    page.evaluate("bench.next()")
    page.keyboard.press(digit)
    marks: Marks = page.evaluate("benchStroke")
    page.wait_for_timeout(PAUSE)
    return marks


def _figures(
    typing: Typing, native: list[float], marks: list[Marks], *, curve: bool
) -> list[Figure]:
    state = "curve open" if curve else "curve folded"
    part = f"Keystroke, {typing.calculator}, {state} (field {typing.field})"
    samples = {
        "the same calls in native Python": native,
        "Worker asked to its reply": [one["reply"] - one["asked"] for one in marks],
        "input event to answer's text": [one["answer"] for one in marks],
    }
    if curve:
        samples["input event to new curve"] = [one["curve"] for one in marks]
    aimed_at = list(samples)[-1]
    samples["key event to the frame that shows it"] = [one["frame"] for one in marks]
    found = []
    for name, times in samples.items():
        target = {"most": MOST_MS[curve]} if name == aimed_at else {}
        found.append(figures.percentile(part, name, "ms", times, 50))
        found.append(figures.percentile(part, name, "ms", times, 95, **target))
    return found
