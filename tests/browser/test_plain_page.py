"""The page without JavaScript, and the page for those who cannot see it or use a mouse."""

import pytest

from calculators.registry import CALCULATORS
from site_src.examples import work
from site_src.paths import NODE_MODULES
from tests.browser.conftest import fresh_reader, kinds

CARDS = list(CALCULATORS)
AXE = NODE_MODULES / "axe-core" / "axe.min.js"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
PAGES = [
    "",
    "build/front-end/",
    "build/board/",
    "safety/",
    "reference/ledger/",
    "reference/materials/",
    "examples/tarn-three-nights/",
    "deploy/site/",
    "rig/",
    "listen/trouble/",  # its tables are stacked on a phone
]
SETTINGS = [(390, "light"), (1440, "dark"), (390, "dark"), (1440, "light")]


@pytest.fixture(scope="module")
def without_javascript(browser, site):
    """A reader for all tests of this module."""
    reader = fresh_reader(browser, site.url, java_script_enabled=False)
    yield reader
    reader.page.context.close()
    assert reader.unexpected() == []


@pytest.mark.parametrize("card", kinds())
def test_without_javascript_the_worked_example_is_complete(without_javascript, card):
    """Answer, fields, working, curve, sources, and how to go on by hand.

    A form of each kind; that every page has its answer is a test of the built site.
    """
    reader = without_javascript
    reader.go(f"calculators/{card}/")
    assert any(c.isdigit() for c in reader.answer)
    assert reader.one(".in .value").count() > 2
    assert reader.one(".work li").count() > 0
    assert reader.one(".plot-box svg:visible").count() == bool(CALCULATORS[card].plot)
    assert reader.one(".sources math").count() > 0
    assert "by hand" in reader.one(".without-script").inner_text()
    chosen = {
        box.get_attribute("data-fill"): box.locator("select").input_value()
        for box in reader.one(".fill").all()
    }
    assert chosen == work(card, {}).answer["fills"]
    link = reader.one(".here").get_attribute("href")
    assert f"#{card}?v=1&edition=" in link


def test_the_search_gets_ready_when_it_is_opened_and_finds(open_reader):
    """A page that nobody searches does without the index, which takes a second and 100 MB."""
    reader = open_reader()
    asked = []
    reader.page.on("request", lambda request: asked.append(request.url.removeprefix(reader.url)))
    reader.go("build/front-end/")
    reader.until("document.readyState === 'complete'")
    reader.page.wait_for_timeout(1000)
    assert "search/search_index.json" not in asked

    reader.page.click("input[name=query]")
    reader.page.keyboard.type("hydrophone")
    reader.until("document.querySelector('.md-search-result__item')")
    assert "search/search_index.json" in asked


SECTIONS = 25
"""The ledger has hundreds, each of the same make, and axe takes a second for each."""

SHORTEN = """
(most) => {
  const cut = [...document.querySelectorAll("main h2")][most];
  while (cut?.nextElementSibling) cut.nextElementSibling.remove();
}
"""


@pytest.fixture(scope="module")
def audited(browser, site):
    """One page for all audits, which need to put their script into it."""
    reader = fresh_reader(browser, site.url, bypass_csp=True)
    yield reader
    reader.page.context.close()
    assert reader.unexpected() == []


@pytest.mark.parametrize("turn", range(4), ids=[f"{w}-{s}" for w, s in SETTINGS])
def test_axe_finds_nothing_serious(audited, turn):
    """A page of each kind, and a calculator of each kind, live, with an error on show.

    Width and scheme break different things. One chapter and one calculator are tried with each;
    other pages, which share their templates, take turns, and each kind of calculator is seen in
    either scheme.
    """
    width, scheme = SETTINGS[turn]
    audited.page.set_viewport_size({"width": width, "height": 844})
    audited.page.emulate_media(color_scheme=scheme)
    found = []
    for path in ["build/front-end/", *PAGES[turn :: len(SETTINGS)]]:
        audited.go(path)
        audited.page.evaluate(SHORTEN, SECTIONS)
        found += [f"{path}: {violation}" for violation in violations(audited)]
    for card in {"corner-frequency", *kinds()[turn // 2 :: 2]}:
        show_an_error(audited, card)
        found += [f"{card}: {violation}" for violation in violations(audited)]
    assert found == []


def show_an_error(reader, card):
    """Go on to a calculator, and type what is no number."""
    reader.visit(card)
    reader.page.locator(".in[data-kind=number] .value:visible").first.fill("x")
    reader.settled()


RUN_AXE = """
async ([within, tags, rules]) => {
  scrollTo(0, 0); // what stands half under the bar is no small target: it can be scrolled
  const wanted = { resultTypes: ["violations"], runOnly: { type: "tag", values: tags }, rules };
  const { violations } = await axe.run(document.querySelector(within), wanted);
  return violations
    .filter(({ impact }) => impact === "serious" || impact === "critical")
    .map(({ impact, id, nodes }) => `${impact} ${id}: ${nodes[0].html.slice(0, 120)}`);
}
"""


def violations(reader, within="html", **rules):
    """What axe finds, as short lines; ``rules`` that are False are left out."""
    if not reader.now("window.axe?.run"):
        reader.page.evaluate(AXE.read_text(encoding="utf-8"))
    off = {name.replace("_", "-"): {"enabled": wanted} for name, wanted in rules.items()}
    return reader.page.evaluate(RUN_AXE, [within, RULES, off])


SMALL = """
() => [...document.querySelectorAll(
  'section.calc button, section.calc input, section.calc select, section.calc summary')]
  .filter((e) => e.checkVisibility() && e.type !== 'radio')
  .map((e) => [e, (e.closest('.field') && !e.matches('button') ? e.closest('.field') : e)
    .getBoundingClientRect()])
  .filter(([, box]) => box.height < 44 || box.width < 44)
  .map(([e, box]) => `${e.className || e.localName} ${box.width} x ${box.height}`)
"""


def test_every_calculator_suits_a_phone_cold_fingers_and_a_screen_reader(audited):
    """No page scrolls sideways, every control is 44 px large, and axe has nothing against the form.

    Colours, which take axe longest, and what stands around a form are the same for all: see above.
    """
    audited.page.set_viewport_size({"width": 390, "height": 844})
    faults = {}
    for card in CARDS:
        show_an_error(audited, card)
        wide = audited.page.evaluate("() => document.documentElement.scrollWidth - innerWidth")
        faults[card] = [
            *audited.page.evaluate(SMALL),
            *([f"{wide} px too wide"] if wide > 0 else []),
            *violations(audited, "main", color_contrast=False),
        ]
    assert faults == {card: [] for card in CARDS}


def test_a_calculator_can_be_used_by_keyboard_alone(reader):
    """From field to field, a choice, a button, a fold."""
    reader.live("corner-frequency")
    reader.field("element_capacitance").focus()
    before = reader.answer
    seen = set()
    for _ in range(60):
        reader.page.keyboard.press("Tab")
        seen.update(reader.page.evaluate("() => [...document.activeElement.classList]"))
        if reader.page.evaluate("() => document.activeElement.name") == "bias_resistance":
            reader.page.keyboard.type("47")
            reader.settled()
    assert reader.answer != before
    assert {"value", "tolerance", "copy-link", "show-qr", "reset"} <= seen
    reader.one("details.solve > summary").focus()
    reader.page.keyboard.press("Enter")
    assert reader.one(".solve-target").is_visible()


def test_the_answer_stays_in_sight_while_the_fields_scroll(reader):
    """A thumb on a field must not hide what the field does."""
    reader.live("corner-frequency")
    reader.field("lowest_wanted").scroll_into_view_if_needed()
    reader.page.mouse.wheel(0, 200)
    reader.settled()
    box = reader.one(".answer-value").bounding_box()
    assert 0 <= box["y"] < 300
