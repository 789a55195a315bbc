"""A real browser at the built site. Anything the page complains of fails the test that heard it."""

import os
import shutil
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Error, Locator, Page, sync_playwright

from calculators.declare import Log, Written
from calculators.registry import CALCULATORS
from tests.built import Built, built_site, serve

PATIENCE = 60
"""Seconds; a start of Python takes some two on a quiet machine, and many on a busy one."""

FOLLOW = """
(href) => {
  const link = Object.assign(document.createElement("a"), { href });
  document.querySelector("main").append(link);
  link.click();
}
"""

WATCH_SHIFTS = """
window.shifts = [];
new PerformanceObserver((list) => {
  for (const { value, sources } of list.getEntries())
    window.shifts.push([value, ...sources.map((s) => s.node?.className ?? s.node?.nodeName)]);
}).observe({ type: "layout-shift", buffered: true });
"""


@dataclass
class Reader:
    """One page as a reader sees it, with what the browser complained of."""

    page: Page
    url: str
    problems: list[str] = field(default_factory=list)
    expected: list[str] = field(default_factory=list)

    def expect(self, *words: str) -> None:
        """Complaints with these words belong to the test."""
        self.expected += words

    def unexpected(self) -> list[str]:
        """Complaints that no test has announced."""
        return [p for p in self.problems if not any(words in p for words in self.expected)]

    def go(self, path: str) -> None:
        """Open a page of the site."""
        self.page.goto(self.url + path)

    def live(self, calculator: str, hash: str = "") -> None:  # noqa: A002, it is one
        """Open a calculator and wait until it is live."""
        self.go(f"calculators/{calculator}/{hash}")
        self.state("live")

    def visit(self, calculator: str) -> None:
        """Go on to a calculator by links within the page, as readers do: Python stays."""
        self.follow("calculators/", "!document.querySelector('section.calc')")
        live = f"section.calc[data-calculator='{calculator}'][data-state=live]"
        self.follow(f"calculators/{calculator}/", f'document.querySelector("{live}")')
        self.settled()

    def follow(self, path: str, there: str) -> None:
        """Go on to a page by a link within the page, until an expression is true there."""
        if not self.page.url.startswith(self.url):
            self.go("")
        # A first link loads its page anew: until that has come there is nothing to put one into.
        self.until("document.readyState !== 'loading' && document.querySelector('main')")
        self.page.evaluate(FOLLOW, self.url + path)
        self.until(f"location.pathname === '/{path.partition('#')[0]}' && {there}")

    def state(self, state: str) -> None:
        """Wait until the first calculator is in this state."""
        self.page.locator(f"section.calc[data-state={state}]").first.wait_for(
            timeout=PATIENCE * 1000
        )

    def until(self, expression: str, seconds: float = PATIENCE) -> None:
        """Wait until a JavaScript expression is true. The page's policy forbids the usual way."""
        end = time.monotonic() + seconds
        while not self.now(expression):
            if time.monotonic() > end:
                pytest.fail(f"still not so after {seconds} s: {expression}")
            time.sleep(0.02)

    def now(self, expression: str) -> bool:
        """Whether a JavaScript expression is true; not so while the page is being loaded anew."""
        try:
            return bool(self.page.evaluate(f"() => Boolean({expression})"))
        except Error as error:
            if "context was destroyed" not in error.message:
                raise
            return False

    def settled(self) -> None:
        """Wait until every keystroke so far has been answered and drawn."""
        self.page.evaluate("() => new Promise((done) => setTimeout(done, 100))")
        self.until("!document.querySelector('section.calc[aria-busy][data-state=live]')")
        self.page.evaluate(
            "() => new Promise((done) => setTimeout(() => requestAnimationFrame(done), 50))"
        )

    def one(self, selector: str) -> Locator:
        """The first calculator's element."""
        return self.page.locator("section.calc").first.locator(selector)

    def field(self, name: str) -> Locator:
        """The field of an input."""
        return self.one(f'.in[data-input="{name}"] .value')

    def error(self, name: str) -> str:
        """What stands at an input's field."""
        return self.one(f'.in[data-input="{name}"] .err').inner_text()

    @property
    def answer(self) -> str:
        """The answer in sight, with plain spaces."""
        return self.one(".answer-value").inner_text().replace("\xa0", " ")

    def type(self, name: str, text: str) -> None:
        """Put a text into a field and wait for what it does."""
        self.field(name).fill(text)
        self.settled()


@pytest.fixture(scope="session")
def site() -> Built:
    """The handbook, built, and served at the address it was built for."""
    built = built_site()
    serve(built.folder, built.port)
    return built


FEATURES_OFF = (
    # What Playwright turns off by itself; a second flag of this name takes the place of its own.
    "AimEnabled",
    "AvoidCorsURLLoaderRestartOnRedirect",
    "AvoidUnnecessaryBeforeUnloadCheckSync",
    "DestroyProfileOnBrowserClose",
    "HttpsFirstBalancedModeAutoEnable",
    "HttpsUpgrades",
    "LensOverlay",
    "MediaRouter",
    "NetworkTimeServiceQuerying",
    "OptimizationHints",
    "PaintHolding",
    "PreconnectToSearch",
    "TcpPortRandomizationWin",
    "ThirdPartyStoragePartitioning",
    # Lists below the address bar, which nobody sees: a process and a second of work a window.
    "WebUIOmniboxAimPopup",
    "WebUIOmniboxFullPopup",
    "WebUIOmniboxPopup",
)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The system's Chromium."""
    path = shutil.which("chromium")
    assert path, "chromium is not installed"
    flags = [f"--disable-features={','.join(FEATURES_OFF)}"]
    if os.geteuid() == 0:
        flags.append("--no-sandbox")
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=path, args=flags)
        yield opened
        opened.close()


FEATURES = ("groups", "fills", "exports", "plot", "drawing", "remarks", "cautions")


def kinds() -> list[str]:
    """A few calculators that together have each thing that a calculator can have."""
    found = {card.id: [f for f in FEATURES if getattr(card, f)] for card in CALCULATORS.values()}
    for card in CALCULATORS.values():
        for kind in (Log, Written):
            found[card.id] += [kind.__name__ for i in card.inputs if isinstance(i, kind)]
    missing = {feature for features in found.values() for feature in features}
    chosen = []
    while missing:
        chosen.append(max(found, key=lambda name: len(missing.intersection(found[name]))))
        missing.difference_update(found[chosen[-1]])
    return sorted(chosen)


OpenReader = Callable[..., Reader]


@pytest.fixture
def open_reader(browser: Browser, site: Built) -> Iterator[OpenReader]:
    """Opens readers with a fresh profile each; keywords go to the browser's context."""
    contexts: list[BrowserContext] = []
    readers: list[Reader] = []

    def open_one(url: str = site.url, **settings: Any) -> Reader:
        reader = fresh_reader(browser, url, **settings)
        contexts.append(reader.page.context)
        readers.append(reader)
        return reader

    yield open_one
    for context in contexts:
        context.close()
    assert [reader.unexpected() for reader in readers] == [[] for _ in readers]


def fresh_reader(browser: Browser, url: str, **settings: Any) -> Reader:
    """A reader on a phone with a fresh profile.

    Without a service worker, which would copy the whole site and start Python once more behind
    every test's back, and would hide requests from a test that puts something in their way. Tests
    of what it does allow it (``service_workers="allow"``).
    """
    usual = {"viewport": {"width": 390, "height": 844}, "service_workers": "block"}
    context = browser.new_context(**(usual | settings))
    reader = Reader(context.new_page(), url)
    hear(reader)
    if settings.get("service_workers") != "allow":
        reader.expect("Service Worker registration blocked", "reading 'addEventListener'")
    return reader


def hear(reader: Reader) -> None:
    """Note what goes wrong in a page, and every request to another origin."""
    page = reader.page
    page.add_init_script(WATCH_SHIFTS)
    page.on("pageerror", lambda error: reader.problems.append(f"error: {error}"))
    page.on(
        "console",
        lambda message: (
            reader.problems.append(f"console: {message.text}")
            if message.type in ("error", "warning")
            else None
        ),
    )
    page.on(
        "request",
        lambda request: (
            None
            if request.url.startswith((reader.url, "data:", "blob:"))
            else reader.problems.append(f"foreign request: {request.url}")
        ),
    )


@pytest.fixture(scope="module")
def walk(browser: Browser, site: Built) -> Iterator[Reader]:
    """One page for a whole module of tests."""
    reader = fresh_reader(browser, site.url)
    reader.go("calculators/")
    yield reader
    reader.page.context.close()


@pytest.fixture
def walker(walk: Reader) -> Iterator[Reader]:
    """A reader who goes on from page to page (``visit``), so that Python starts only once.

    For tests of every calculator, which need no fresh profile.
    """
    walk.problems.clear()
    yield walk
    assert walk.unexpected() == []


@pytest.fixture
def reader(open_reader: OpenReader) -> Reader:
    """One reader on a phone."""
    return open_reader()
