"""Does a reader's rig stay on the device, get its verdict at each edit, and fill calculators?"""

import json
import re

import pytest

from calculators import EDITION
from site_src import rigs
from site_src.examples import work
from tests.browser.conftest import fresh_reader
from tests.browser.test_plain_page import violations

KEY = "wetside.rigs"


WATCH_BUSY = """
() => {
  const place = document.querySelector(".rig-pictures");
  const section = place.querySelector("[data-picture=section]");
  const before = section.textContent;
  window.looked = [];
  new MutationObserver(() => {
    const busy = place.hasAttribute("aria-busy");
    const old = section.textContent === before ? "as before" : "anew";
    window.looked.push(busy ? `busy, ${old}` : "done");
  }).observe(place, { attributes: true, attributeFilter: ["aria-busy"] });
}
"""


def rig(reader):
    """Go on to the rigs, and wait for the verdict."""
    reader.follow("calculators/", "!document.querySelector('[data-rig]')")
    reader.follow("rig/", "document.querySelector('[data-rig][data-state=live]:not([aria-busy])')")
    settled(reader)


def settled(reader):
    """Wait until the last edit has its verdict, and its fields."""
    reader.page.evaluate("() => new Promise((done) => setTimeout(done, 50))")
    quiet = "[data-rig]:not([aria-busy]) .rig-sections:not([aria-busy])"
    reader.until(f"document.querySelector('{quiet}')")


def shelf(reader):
    """What is kept on the device."""
    return json.loads(reader.page.evaluate(f"() => localStorage.getItem('{KEY}') ?? '{{}}'"))


def said(reader):
    """What the page says of what was done."""
    return reader.page.locator(".rig-said").inner_text()


def entry(reader, key):
    """The field of an entry, with its section open."""
    section = reader.page.locator(f"#rig-{key.split('.')[0]}")
    if section.get_attribute("open") is None:
        section.locator("summary").first.click()
    return section.locator(f'.in[data-input="{key}"] .value')


def state(reader, key, text):
    """Put a text into the field of an entry and wait for the verdict."""
    entry(reader, key).fill(text)
    settled(reader)


def words(reader):
    """The verdict on the whole."""
    return reader.page.locator(".rig-says strong").inner_text()


def example(reader, name):
    """Open an example by its name."""
    reader.page.evaluate(f"() => {{ location.hash = '#example-{name}'; }}")
    title = rigs.load()[name].check["name"]
    reader.until(f"document.querySelector('.rig-name').textContent === '{title}'")
    settled(reader)


@pytest.fixture
def mine(walker):
    """A reader with one rig of their own, made from an example."""
    walker.page.evaluate(f"() => localStorage.removeItem('{KEY}')")
    rig(walker)
    walker.page.locator(".rig-tools .keep").click()
    walker.until("document.querySelector('.rig-said').textContent.startsWith('Kept')")
    settled(walker)
    return walker


def test_without_javascript_the_verdict_of_an_example_is_complete(browser, site):
    """Verdict, every requirement in words, pictures, and the file itself."""
    reader = fresh_reader(browser, site.url, java_script_enabled=False)
    reader.go("rig/")
    tarn = rigs.load()["tarn-rebuilt"]
    page = reader.page
    assert page.locator(".rig-name").inner_text() == tarn.check["name"]
    wanted = [row["word"] for row in tarn.check["requirements"]]
    assert page.locator(".requirement .level").all_inner_texts() == wanted
    assert all(page.locator(".requirement .margin dd").all_inner_texts())
    assert page.locator(".rig-picture svg:visible").count() == sum(
        picture["drawing"] is not None for picture in tarn.check["pictures"].values()
    )
    assert page.locator(".rig-toml").text_content() == tarn.toml
    assert "command line" in page.locator(".without-script").inner_text()
    files = page.locator(".without-script li a").all()
    assert len(files) == len(rigs.load())
    assert page.request.get(f"{site.url}rigs/tarn.toml").text() == rigs.load()["tarn"].toml
    dead = page.locator("[data-rig] :is(button, input, select, textarea)").all()
    assert [control.get_attribute("class") for control in dead if control.is_visible()] == []
    page.context.close()
    assert reader.unexpected() == []


def test_an_edit_changes_the_verdict_and_is_kept(mine):
    """Deeper than the lid stands, and back; rows in their new order; kept on the device."""
    before = words(mine)
    state(mine, "plan.depth", "60")
    first = mine.page.locator(".requirement").first
    assert words(mine) == "It fails as it stands."
    assert first.locator(".level").inner_text() == "Fails"
    assert "short" in first.locator(".margin dd").inner_text()
    assert 'depth = "60 m' in shelf(mine)["rigs"][0]["toml"]
    rig(mine)
    assert words(mine) == "It fails as it stands."
    state(mine, "plan.depth", "4")
    assert words(mine) == before


BARS = """
() => [...document.querySelectorAll(".requirement svg.range")].map((bar) =>
  bar.outerHTML.replace(/ (aria-label|role)="[^"]*"/g, ""))
"""


def test_the_bars_of_an_edit_are_those_of_a_page_that_opens_with_it(mine):
    """Their elements stay and are brought up to date: nothing of the verdict before is left."""
    before = mine.page.evaluate(BARS)
    state(mine, "plan.depth", "9")
    edited = mine.page.evaluate(BARS)
    assert edited != before
    rig(mine)
    assert mine.page.evaluate(BARS) == edited


def test_what_cannot_be_read_stands_at_its_field_and_the_verdict_stays(mine):
    """Greyed, as long as the field is wrong; the rig keeps what it had."""
    toml = shelf(mine)["rigs"][0]["toml"]
    before = words(mine)
    state(mine, "plan.depth", "4 kg")
    box = mine.page.locator('.in[data-input="plan.depth"]')
    assert "4 kg" in box.locator(".err").inner_text()
    assert mine.page.locator("[data-rig].stale").count() == 1
    assert words(mine) == before
    state(mine, "plan.depth", "4")
    assert box.locator(".err").inner_text() == ""
    assert mine.page.locator("[data-rig].stale").count() == 0
    assert shelf(mine)["rigs"][0]["toml"] == toml


def test_a_wrong_field_stays_wrong_while_another_is_filled(mine):
    """Its text and its error stay, the good edit counts, and the verdict stays greyed."""
    state(mine, "plan.depth", "4 kg")
    state(mine, "plan.lowest_wanted", "150")
    box = mine.page.locator('.in[data-input="plan.depth"]')
    assert "4 kg" in box.locator(".err").inner_text()
    assert box.locator(".value").input_value() == "4 kg"
    assert 'lowest_wanted = "150 Hz' in shelf(mine)["rigs"][0]["toml"]
    assert mine.page.locator("[data-rig].stale").count() == 1
    state(mine, "plan.depth", "4")
    assert mine.page.locator("[data-rig].stale").count() == 0


def test_a_rig_without_a_name_is_refused_at_the_field(mine):
    """And the name that it has is kept."""
    before = shelf(mine)
    field = mine.page.locator("#rig-name-field")
    field.fill("")
    field.press("Tab")
    mine.until("document.querySelector('#rig-name-err').textContent")
    assert field.get_attribute("aria-invalid") == "true"
    assert shelf(mine) == before
    field.fill("Tarn again")
    field.press("Tab")
    mine.until("!document.querySelector('#rig-name-err').textContent")
    settled(mine)
    assert shelf(mine)["rigs"][0]["name"] == "Tarn again"


def test_a_file_is_not_opened_over_changes_that_nothing_keeps(walker):
    """Only when the reader drops them."""
    walker.page.evaluate(f"() => localStorage.removeItem('{KEY}')")
    rig(walker)
    walker.page.locator("#rig-choice").select_option("empty")
    walker.until("document.querySelector('.rig-which').textContent.startsWith('A new rig')")
    settled(walker)
    state(walker, "plan.depth", "3")
    file = {
        "name": "rig.toml",
        "mimeType": "text/plain",
        "buffer": rigs.load()["tarn"].toml.encode(),
    }
    walker.page.locator("#rig-import").set_input_files([file])
    walker.until("document.querySelector('.drop-changes')")
    assert 'depth = "3 m' in walker.page.locator(".rig-toml").text_content()
    walker.page.locator(".drop-changes").click()
    walker.until(
        "document.querySelector('.rig-which').textContent.startsWith('It came from a file')"
    )


def test_a_calculator_fills_from_the_rig_and_is_kept_in_it_with_undo(mine):
    """And an address that brings values, or the handbook's own, win over the rig."""
    before = shelf(mine)["rigs"][0]["toml"]
    mine.visit("corner-frequency")
    bar = mine.page.locator(".rig-bar-words")
    mine.until("document.querySelector('.rig-bar-words').textContent.startsWith('From your rig')")
    assert mine.field("element_capacitance").input_value() == "8.2"
    mine.type("element_capacitance", "6.8")
    link = mine.one(".here").get_attribute("href").split("#")[1]
    mine.page.locator(".rig-keep").click()
    mine.settled()
    assert "6.8 nF" in bar.inner_text()
    assert "8.2 nF" in bar.inner_text()
    assert 'capacitance = "6.8 nF ±20 %"' in shelf(mine)["rigs"][0]["toml"]
    mine.page.locator(".rig-undo").click()
    mine.settled()
    assert shelf(mine)["rigs"][0]["toml"] == before
    mine.page.locator(".rig-back").click()
    mine.settled()
    default = work("corner-frequency", {}).fields["element_capacitance"]
    assert mine.field("element_capacitance").input_value() == default
    mine.follow("calculators/", "!document.querySelector('section.calc')")
    mine.follow(
        f"calculators/corner-frequency/#{link}", "document.querySelector('[data-state=live]')"
    )
    mine.settled()
    assert mine.field("element_capacitance").input_value() == "6.8"
    assert mine.page.locator(".rig-fill").is_visible()


def test_a_file_with_faults_is_refused_with_every_line_and_nothing_changes(mine):
    """What is open stays open."""
    before = shelf(mine)
    toml = rigs.load()["tarn"].toml
    wrong = toml.replace('bias_resistance = "4.7 MΩ ± 1 %"', 'bias_resistance = "4.7 kg"')
    number = 1 + wrong[: wrong.index("4.7 kg")].count("\n")
    file = {"name": "rig.toml", "mimeType": "text/plain", "buffer": wrong.encode()}
    mine.page.locator("#rig-import").set_input_files([file])
    mine.until("document.querySelector('.faults li')")
    fault = mine.page.locator(".faults li").inner_text()
    assert f"line {number}" in fault
    assert "4.7 kg" in fault
    assert "rig.toml cannot be read" in said(mine)
    assert shelf(mine) == before
    mine.page.locator(".what-ends summary").click()
    assert mine.page.locator(".faults li").count() == 1  # to look is no answer to it
    file["buffer"] = toml.encode("utf-16")
    mine.page.locator("#rig-import").set_input_files([file])
    mine.until("document.querySelector('.faults li')?.textContent.includes('UTF-8')")
    assert mine.page.locator(".faults li").count() == 1
    mine.page.locator('[data-sheet="parts"]').click()
    mine.until("!document.querySelector('.faults')")
    assert said(mine) == ""


def test_a_link_is_shown_first_and_kept_only_on_request(mine, open_reader):
    """In a fresh profile; the same requirements as where it was made.

    Of an edition that has never been, so that its notice is seen too, and gone with the next rig.
    """
    mine.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    mine.page.locator(".rig-tools .copy-link").click()
    mine.until("document.querySelector('.rig-said').textContent.startsWith('Link copied')")
    link = mine.page.evaluate("() => navigator.clipboard.readText()")
    other = open_reader()
    older = link.partition("rig/")[2].replace(f"edition={EDITION}", "edition=2025.3")
    other.go(f"rig/{older}")
    other.until("document.querySelector('.rig-which').textContent.includes('came with a link')")
    settled(other)
    for selector in (".requirement .asks", ".requirement .answered dd"):
        shown = other.page.locator(selector).all_inner_texts()
        assert shown == mine.page.locator(selector).all_inner_texts()
    assert shelf(other).get("rigs", []) == []
    notice = other.page.locator("[data-rig] .notice").inner_text()
    assert notice.startswith(f"This link was made with edition 2025.3, this is {EDITION}.")
    other.page.locator(".rig-tools .keep").click()
    other.until("document.querySelector('.rig-said').textContent.startsWith('Kept')")
    assert len(shelf(other)["rigs"]) == 1
    assert not other.page.locator("[data-rig] .notice").is_visible()


def test_a_deleted_rig_comes_back_with_undo(mine):
    """As it was."""
    (before,) = shelf(mine)["rigs"]
    mine.page.locator(".rig-tools .delete").click()
    assert shelf(mine)["rigs"] == []
    mine.page.locator(".rig-offer .undo").click()
    settled(mine)
    (after,) = shelf(mine)["rigs"]
    assert after["toml"] == before["toml"]
    assert shelf(mine)["open"] == before["id"]


def test_another_tab_is_not_written_over(mine):
    """A change there makes the one here a rig of its own, if the reader wants it."""
    mine.page.evaluate(
        """(key) => {
          const shelf = JSON.parse(localStorage.getItem(key));
          shelf.rigs[0].toml += "# from the other tab\\n";
          shelf.rigs[0].revision += 1;
          localStorage.setItem(key, JSON.stringify(shelf));
        }""",
        KEY,
    )
    state(mine, "plan.depth", "3")
    assert "Another tab has changed this rig" in said(mine)
    mine.page.locator(".keep-mine").click()
    mine.until("document.querySelector('.rig-said').textContent.startsWith('Kept')")
    theirs, own = shelf(mine)["rigs"]
    assert theirs["toml"].endswith("# from the other tab\n")
    assert 'depth = "3 m' in own["toml"]
    assert own["name"] != theirs["name"]


def test_where_nothing_can_be_stored_the_rig_stays_and_the_page_says_so(mine):
    """A full storage: what was kept is still there, what is new is on show and can be saved."""
    before = shelf(mine)
    mine.page.evaluate(
        """() => {
          window.plain = Storage.prototype.setItem;
          Storage.prototype.setItem = () => {
            throw new DOMException("full", "QuotaExceededError");
          };
        }"""
    )
    state(mine, "plan.depth", "3")
    assert "storage is full" in said(mine)
    assert shelf(mine) == before
    assert 'depth = "3 m' in mine.page.locator(".rig-toml").text_content()
    with mine.page.expect_download() as saved:
        mine.page.locator(".save-now").click()
    assert 'depth = "3 m' in saved.value.path().read_text()
    mine.page.evaluate("() => { Storage.prototype.setItem = window.plain; }")


SMALL = """
() => [...document.querySelectorAll('[data-rig] :is(button, select, summary, input)')]
  .filter((e) => e.checkVisibility() && e.type !== 'radio' && e.type !== 'file')
  .map((e) => [e, (e.closest('.field') && !e.matches('button') ? e.closest('.field') : e)
    .getBoundingClientRect()])
  .filter(([, box]) => box.height < 44 || box.width < 44)
  .map(([e, box]) => `${e.className || e.localName} ${box.width} x ${box.height}`)
"""


def test_it_suits_a_phone_and_those_who_cannot_see_it(open_reader):
    """With a section open and a field wrong: nothing scrolls sideways, axe finds nothing."""
    reader = open_reader(bypass_csp=True)
    rig(reader)
    state(reader, "plan.depth", "4 kg")
    wide = reader.page.evaluate("() => document.documentElement.scrollWidth - innerWidth")
    assert wide <= 0
    assert reader.page.evaluate(SMALL) == []
    assert violations(reader) == []


def test_a_requirement_that_is_missed_says_what_mends_it_and_a_tap_does_it(mine):
    """And undo takes it back."""
    state(mine, "plan.depth", "14")
    toml = shelf(mine)["rigs"][0]["toml"]
    row = mine.page.locator('[data-name="lid-under-pressure.depth_limit"]')
    assert row.locator(".level").inner_text() == "Fails"
    row.locator(".mend").click()
    mine.until("document.querySelector('.mends li button')")
    change = row.locator(".mends li").first
    assert change.locator(".change").inner_text()
    change.locator("button").click()
    mine.until("document.querySelector('.rig-offer .undo')")
    settled(mine)
    assert row.locator(".level").inner_text() == "Holds"
    mine.page.locator(".rig-offer .undo").click()
    settled(mine)
    assert row.locator(".level").inner_text() == "Fails"
    assert shelf(mine)["rigs"][0]["toml"] == toml


def test_draws_show_how_far_they_are_and_stop_on_request(mine):
    """What was drawn until then stays, until the rig is changed."""
    mine.page.locator(".draw-start").click()
    mine.until("document.querySelector('.rig-chance progress').value >= 50")
    mine.page.locator(".draw-stop").click()
    assert "Stopped after" in mine.page.locator(".draw-state").inner_text()
    assert "rigs" in mine.page.locator(".draw-result p").first.inner_text()
    state(mine, "plan.depth", "3")
    assert mine.page.locator(".draw-result p").count() == 0


def test_the_costliest_tolerances_are_drawn_without_in_their_turn(mine):
    """Offered when all draws are made; each says what it would do; a change takes it away."""
    example(mine, "tarn")  # not all of whose draws meet everything
    exact = mine.page.locator(".draw-exact")
    assert not exact.is_visible()
    mine.page.locator(".draw-start").click()
    mine.until("document.querySelector('.draw-state').textContent.endsWith('draws made.')")
    costliest = mine.page.locator(".draw-result li").all_inner_texts()
    exact.click()
    mine.until("document.querySelector('.rig-chance progress').value > 2000")
    mine.page.locator(".draw-stop").click()
    found = mine.page.locator(".exact-result li").all_inner_texts()
    assert len(found) == 2
    for words in found:
        label, _, rest = words.partition(", if it were exact: ")
        assert any(cost.startswith(f"{label}: ") for cost in costliest)
        assert "drawn rigs" in rest
    state(mine, "plan.depth", "3")
    assert mine.page.locator(".exact-result li").count() == 0
    assert not exact.is_visible()


def test_pictures_look_busy_until_they_show_the_edit(mine):
    """They follow the verdict; what is still that of before is marked so."""
    mine.until("document.querySelector('.rig-pictures:not([aria-busy])')")
    section = mine.page.locator(".rig-picture[data-picture=section]")
    before = section.inner_text()
    field = entry(mine, "plan.depth")
    mine.page.evaluate(WATCH_BUSY)
    field.fill("3.5")
    settled(mine)
    mine.until("document.querySelector('.rig-pictures:not([aria-busy])')")
    assert mine.page.evaluate("() => window.looked") == ["busy, as before", "done"]
    assert section.inner_text() != before


def test_the_longest_times_are_found_and_go_with_the_next_edit(mine):
    """The earliest end first; what counts as an end stands below with what becomes of it."""
    rows = mine.page.locator(".what-ends li").all_text_contents()
    assert any(row.startswith("Depth limit") for row in rows)
    assert not any(row.startswith("Signal excess") for row in rows)
    mine.page.locator(".last-start").click()
    mine.until("document.querySelector('.last-result li')")
    assert "in the worst case" in mine.page.locator(".last-result li").first.inner_text()
    state(mine, "plan.depth", "3")
    assert mine.page.locator(".last-result li").count() == 0


def test_an_example_of_a_chapter_is_opened_by_its_name(mine):
    """To be changed; what is kept stays as it is."""
    before = shelf(mine)["rigs"]
    example(mine, "under-ice")
    assert "An example" in mine.page.locator(".rig-which").inner_text()
    assert shelf(mine)["rigs"] == before


def test_two_rigs_stand_side_by_side(mine):
    """What they state otherwise, and what becomes of each requirement."""
    mine.page.locator("#rig-other").select_option("example weir-pool")
    mine.until("document.querySelector('.compared table')")
    heads = mine.page.locator(".compared th[scope=col]").all_inner_texts()
    assert rigs.load()["weir-pool"].check["name"] in heads
    assert mine.page.locator(".compared tbody tr").count() > 5


def test_the_field_sheet_stands_on_the_page_and_on_one_page_of_paper(mine):
    """Nothing of the page around it is printed; a code too large for it is on the back."""
    mine.page.locator('[data-sheet="field"]').click()
    mine.until("document.querySelector('.paper.one-page')")
    assert mine.page.locator(".paper dd").count() > 5
    mine.page.evaluate("() => { document.documentElement.dataset.printing = 'sheet'; }")
    mine.page.emulate_media(media="print")
    assert not mine.page.locator(".rig-verdict").is_visible()
    assert mine.page.locator(".paper-title").is_visible()
    printed = mine.page.pdf(format="A4")
    mine.page.emulate_media(media="screen")
    mine.page.evaluate("() => { delete document.documentElement.dataset.printing; }")
    back = mine.page.locator(".paper .large svg.qr-code").count()
    assert len(re.findall(rb"/Type\s*/Page\b", printed)) == 1 + back


def test_what_another_tab_keeps_is_shown_here(mine):
    """Its text, its verdict, and that it came from there; a rig deleted there stays on show."""
    other = mine.page.context.new_page()
    other.goto(f"{mine.url}safety/")
    other.evaluate(
        """(key) => {
          const shelf = JSON.parse(localStorage.getItem(key));
          const [rig] = shelf.rigs;
          rig.toml = rig.toml.replace(/^depth = "4 m/m, 'depth = "60 m');
          rig.revision += 1;
          localStorage.setItem(key, JSON.stringify(shelf));
        }""",
        KEY,
    )
    mine.until("document.querySelector('.rig-said').textContent.startsWith('Another tab has chan')")
    settled(mine)
    assert words(mine) == "It fails as it stands."
    other.evaluate("(key) => localStorage.removeItem(key)", KEY)
    mine.until("document.querySelector('.rig-said').textContent.startsWith('Another tab has del')")
    assert words(mine) == "It fails as it stands."
    mine.page.locator(".rig-tools .keep").click()
    mine.until("document.querySelector('.rig-said').textContent.startsWith('Kept')")
    assert 'depth = "60 m' in shelf(mine)["rigs"][0]["toml"]
    other.close()


def test_a_copy_under_way_is_made_before_anything_is_deleted(mine):
    """Who presses Delete at once must not lose the rig that is being copied."""
    tools = mine.page.locator(".rig-tools")
    tools.locator(".duplicate").evaluate("(button) => button.click()")
    assert tools.locator(".delete").is_disabled()
    mine.until("document.querySelector('.rig-said').textContent.includes(' 2.')")
    settled(mine)
    assert len(shelf(mine)["rigs"]) == 2
    assert tools.locator(".delete").is_enabled()
    assert tools.locator(".duplicate").is_enabled()


def test_the_end_of_the_draws_leaves_a_reader_who_went_on_where_they_are(mine):
    """They draw for some seconds, and a reader does something else meanwhile."""
    mine.page.locator(".draw-start").click()
    mine.page.locator("#rig-note-field").focus()
    mine.until("document.querySelector('.draw-state').textContent.endsWith('draws made.')")
    assert mine.page.evaluate("() => document.activeElement.id") == "rig-note-field"


def test_a_question_that_is_not_asked_goes_by_its_title(mine):
    """No reader has to know the names that the program gives."""
    example(mine, "tarn-rebuilt")
    assert "Noise of the water, and the chain" in mine.page.locator(".rig-without p").inner_text()
    again = mine.page.locator(".rig-without .ask-again").first
    assert again.inner_text().startswith("Ask again: ")
    assert again.get_attribute("data-calculator") not in again.inner_text()
