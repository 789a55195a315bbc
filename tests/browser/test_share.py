"""Do links carry a calculation to another device, and nothing else with it?"""

import pytest
import segno

from calculators import EDITION

CHANGED = {"bias_resistance": "47", "element_capacitance": "6n8", "lowest_wanted": "25"}


@pytest.fixture
def shared(walker):
    """A link made in one profile, with the answer it was made from."""
    walker.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    walker.visit("corner-frequency")
    for name, text in CHANGED.items():
        walker.type(name, text)
    walker.one('.in[data-input="cable_capacitance"] .tolerance').fill("12 %")
    walker.settled()
    walker.one(".copy-link").click()
    walker.until("document.querySelector('.tool-status').textContent === 'Link copied.'")
    link = walker.page.evaluate("() => navigator.clipboard.readText()")
    assert link.startswith(walker.url)
    return link.removeprefix(f"{walker.url}calculators/corner-frequency/"), walker


def test_a_link_gives_the_same_answer_in_a_fresh_profile(shared, open_reader):
    """Every input, every tolerance, no notice; busy as long as another answer stands there."""
    link, maker = shared
    other = open_reader()
    other.live("corner-frequency", link)
    other.settled()
    assert other.field("bias_resistance").input_value() == "47"
    for part in (".answer-value", ".answer .by"):
        assert other.one(part).inner_text() == maker.one(part).inner_text()
    tolerance = other.one('.in[data-input="cable_capacitance"] .tolerance').input_value()
    assert tolerance.replace("\xa0", " ") == "±12 %"
    assert not other.one(".notice").is_visible()


def test_a_link_writes_out_every_input_and_names_format_and_edition(shared):
    """So that a changed default cannot change an old link."""
    link, maker = shared
    names = maker.page.evaluate(
        "() => [...document.querySelectorAll('.in[data-input]')].map((box) => box.dataset.input)"
    )
    assert link.startswith(f"#corner-frequency?v=1&edition={EDITION}&gave=")
    assert all(f"&{name}=" in link for name in names)
    assert len(link) < 2000
    assert link.isascii()
    assert link[-1].isalnum()


def test_a_link_of_an_older_edition_whose_formula_changed_says_so(shared, open_reader):
    """A made older edition that gave another answer: both numbers are shown."""
    link, maker = shared
    older = link.replace(f"edition={EDITION}", "edition=2025.3").replace("gave=", "gave=9")
    other = open_reader()
    other.live("corner-frequency", older)
    notice = other.one(".notice")
    notice.wait_for()
    words = notice.inner_text().replace("\xa0", " ")
    assert "2025.3" in words
    assert EDITION in words
    assert "Then: 9" in words
    assert f"Now: {maker.answer}" in words


def test_a_link_that_arrives_later_in_the_same_page_is_opened_too(shared):
    """Pasted into the address line."""
    link, maker = shared
    maker.one(".reset").click()
    maker.settled()
    assert maker.field("bias_resistance").input_value() == "4.7"
    maker.page.evaluate("(hash) => { location.hash = hash; }", link)
    maker.until("document.querySelector('[data-input=bias_resistance] .value').value === '47'")


def test_a_link_with_more_rows_opens_them(open_reader, walker):
    """A rig of two supplies and two loads."""
    walker.visit("runtime")
    for group in ("load", "supply"):
        walker.one(f'[data-group="{group}"] .add-row').click()
        walker.settled()
    walker.type("load_supply_2", "2")
    walker.type("battery_capacity_2", "1")
    link = walker.one(":scope").get_attribute("data-link")
    other = open_reader()
    other.live("runtime", link)
    other.until("document.querySelectorAll('[data-group=supply] fieldset').length === 2")
    other.settled()
    assert other.answer == walker.answer


HOSTILE = [
    "<script>window.hacked=1</script>",
    "<img/src=x/onerror=window.hacked=1>",
    "__import__('os')",
    "9" * 300,
    "1e999ohm",
    "nan",
    "-4.7Mohm",
    "4.7kg",
    "javascript:window.hacked=1",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_a_hostile_value_is_shown_as_an_error_and_never_run(walker, text):
    """At its field, as text, with the worked example's answer still there."""
    reader = walker
    reader.visit("corner-frequency")
    before = reader.answer
    href = reader.one(".here").get_attribute("href")
    link = "#" + href.split("#")[1].replace("bias_resistance=4.7Mohm", f"bias_resistance={text}")
    assert text in link
    reader.page.evaluate("(hash) => { location.hash = hash; }", link)
    reader.until("document.querySelector('[data-input=bias_resistance] .err').textContent")
    assert reader.answer == before
    assert "Bias resistor" in reader.error("bias_resistance")
    assert reader.page.evaluate("() => window.hacked") is None
    assert reader.page.locator("section.calc img, section.calc script").count() == 0


def test_what_a_link_holds_too_much_is_told(walker):
    """An unknown name is not swallowed."""
    walker.visit("corner-frequency")
    href = walker.one(".here").get_attribute("href")
    walker.page.evaluate("(hash) => { location.hash = hash; }", f"#{href.split('#')[1]}&colour=red")
    walker.until("document.querySelector('.form-err').textContent")
    assert "colour" in walker.one(".form-err").inner_text()


def test_where_the_clipboard_is_not_allowed_the_link_is_offered_selected(reader):
    """Ready for the reader's own copy command."""
    reader.page.add_init_script(
        "navigator.clipboard.writeText = () => Promise.reject(new DOMException('no'));"
    )
    reader.live("corner-frequency")
    reader.one(".copy-link").click()
    reader.until("document.activeElement.matches('.tool-status input')")
    assert reader.page.evaluate(
        "() => getSelection().toString() || document.activeElement.value"
    ).startswith(reader.url)


def test_the_qr_code_holds_the_link(walker):
    """As many dark modules as the same library makes here; its authors test that it is right."""
    walker.visit("corner-frequency")
    walker.one(".show-qr").click()
    walker.until("document.querySelector('dialog.qr[open] svg.qr-code path')")
    address = walker.page.locator(".qr-address").inner_text()
    assert address.startswith(f"{walker.url}calculators/corner-frequency/#corner-frequency?v=1&")
    matrix = segno.make(address, error="m", micro=False).matrix
    dark = sum(bool(module) for row in matrix for module in row)
    path = walker.page.locator("svg.qr-code path").get_attribute("d")
    assert path.count("M") == dark
    walker.page.keyboard.press("Escape")
    assert walker.page.locator("dialog.qr").count() == 0
    assert walker.page.evaluate("() => document.activeElement.matches('.show-qr')")
