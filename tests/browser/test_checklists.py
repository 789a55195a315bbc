"""Checklists: by tap, by key, kept on the device, and on paper."""

import json

import pytest

from tests.browser.test_plain_page import violations

PAGE = "deploy/checklists/"
LISTS = ["home", "water", "recovery", "after"]
REFUSE = "Storage.prototype.setItem = () => { throw new DOMException('', 'QuotaExceededError') };"
A4 = {"width": 673, "height": 986}
"""What 18 mm and 16 mm of margin leave of A4, in CSS pixels."""


def opened(reader):
    """The page with its lists live."""
    reader.go(PAGE)
    reader.page.locator("#after[data-live]").wait_for()
    return reader.page


def count(page, which="home"):
    """What a list says of itself."""
    return page.locator(f"#{which} .count").inner_text()


def first_ticked(page):
    """Whether the first item of the first list is ticked."""
    return page.locator("#home-limit-tick").is_checked()


def test_a_tap_anywhere_on_an_item_ticks_it_and_the_list_counts(reader):
    """The box is a checkbox with a label; links in an item stay links."""
    page = opened(reader)
    total = page.locator("#home li").count()
    assert count(page) == f"0 of {total}"
    page.locator("#home-limit").click(position={"x": 200, "y": 30})
    assert page.get_by_role("checkbox", name="Weather, water level").is_checked()
    assert count(page) == f"1 of {total}"
    assert page.locator("#home-limit time").get_attribute("datetime")[10:].count(":") == 3
    page.get_by_role("checkbox", name="Leave in hand").press("Space")
    assert count(page) == f"2 of {total}"
    page.locator("#home-leave .why a").click()
    reader.until("location.pathname === '/plan/permits/'")


def test_ticks_outlive_reload_navigation_and_a_closed_tab(reader):
    """They lie on the device, by item."""
    page = opened(reader)
    page.locator("#home-limit-tick").check()
    page.reload()
    page.locator("#home[data-live]").wait_for()
    assert first_ticked(page)
    reader.follow("deploy/buoyancy/", "!document.querySelector('.checklist')")
    reader.follow(PAGE, "document.querySelector('#home[data-live]')")
    assert first_ticked(page)
    again = page.context.new_page()
    page.close()
    again.goto(reader.url + PAGE)
    again.locator("#home[data-live]").wait_for()
    assert first_ticked(again)


def test_after_an_update_an_item_that_is_worded_anew_is_open_and_says_what_it_was(reader):
    """An item that is gone is forgotten; one that is new was never ticked."""
    page = opened(reader)
    page.locator("#home-leave-tick").check()
    page.evaluate(
        """() => {
          const kept = JSON.parse(localStorage.getItem("wetside.checklist.home"));
          kept.ticks["home-limit"] = { at: "2026-06-14T09:00:00+02:00", words: "Weather." };
          kept.ticks["home-gone"] = { at: "2026-06-14T09:00:00+02:00", words: "Gone." };
          localStorage.setItem("wetside.checklist.home", JSON.stringify(kept));
        }"""
    )
    opened(reader)
    assert not first_ticked(page)
    assert page.locator("#home-limit .reworded").inner_text().endswith("It was: Weather.")
    assert count(page).startswith("1 of")


def test_start_again_empties_one_list_and_can_be_undone(reader):
    """The other lists stay as they are."""
    page = opened(reader)
    page.locator("#home-limit-tick").check()
    page.locator("#water-look-tick").check()
    page.locator("#home .again").click()
    assert count(page).startswith("0 of")
    assert count(page, "water").startswith("1 of")
    page.keyboard.press("Enter")  # the focus is on "Undo"
    assert count(page).startswith("1 of")


def test_two_tabs_show_the_same(reader):
    """And neither loses what the other ticks."""
    page = opened(reader)
    other = page.context.new_page()
    other.goto(reader.url + PAGE)
    other.locator("#home[data-live]").wait_for()
    page.locator("#home-limit-tick").check()
    other.locator("#home-leave-tick").check()
    reader.until("document.querySelector('#home .count').textContent.startsWith('2 of')")
    assert count(other).startswith("2 of")


def test_where_nothing_can_be_kept_it_says_so_and_works_all_the_same(reader):
    """Also across pages of the same visit."""
    reader.page.add_init_script(REFUSE)
    page = opened(reader)
    page.locator("#home-limit-tick").check()
    assert "until you close this tab" in page.locator("#home .storage").inner_text()
    reader.follow("deploy/buoyancy/", "!document.querySelector('.checklist')")
    reader.follow(PAGE, "document.querySelector('#home[data-live]')")
    assert first_ticked(page)


def test_a_list_goes_into_the_field_log_with_its_times(reader):
    """As a note that is not saved yet."""
    page = opened(reader)
    page.locator("#recovery-limit-tick").check()
    page.locator("#recovery .to-log").click()
    page.locator(".log-form [name=notes]").wait_for()
    reader.until("document.querySelector('.log-form [name=notes]').value !== ''")
    notes = page.locator(".log-form [name=notes]").input_value().splitlines()
    assert notes[0].startswith("Recovery: 1 of")
    assert "The same limits" in notes[1]
    assert notes[2].startswith("open")
    assert page.locator(".log-list > li").count() == 0


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_each_list_prints_on_one_sheet(open_reader, script):
    """Boxes as they stand; without a script they are empty."""
    reader = open_reader(viewport=A4, java_script_enabled=script)
    reader.go(PAGE)
    if script:
        reader.page.locator("#after[data-live]").wait_for()
        reader.page.locator("#home-limit-tick").check()
    reader.page.emulate_media(media="print")
    for which in LISTS:
        box = reader.page.locator(f"#{which}").bounding_box()
        assert box["height"] <= A4["height"], which
        items = reader.page.locator(f"#{which} li")
        assert items.count() >= 10
        assert reader.page.locator(f"#{which} .by-hand").is_visible()
    assert reader.page.locator(".checklist button:visible").count() == 0


def test_print_this_list_prints_this_list(reader):
    """The others are hidden while the browser prints."""
    page = opened(reader)
    page.emulate_media(media="print")
    page.evaluate(
        """() => {
          window.print = () => {
            window.printed = [...document.querySelectorAll(".checklist, .prose > h1")]
              .filter((e) => e.checkVisibility()).map((e) => e.id);
          };
        }"""
    )
    page.evaluate("document.querySelector('#water .print').click()")
    assert page.evaluate("window.printed") == ["water"]
    assert page.locator(".checklist:visible").count() == len(LISTS)


def test_nothing_moves_when_the_lists_come_alive_and_axe_is_content(open_reader):
    """A cold finger needs 44 px; the whole item is one target."""
    reader = open_reader(bypass_csp=True)
    page = opened(reader)
    page.locator("#home-limit-tick").check()
    page.wait_for_timeout(300)
    assert page.evaluate("window.shifts") == []
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") == 0
    small = page.evaluate(
        """() => [...document.querySelectorAll(".checklist button, .checklist li")]
          .filter((e) => e.checkVisibility() && e.getBoundingClientRect().height < 44)
          .map((e) => e.id || e.className)"""
    )
    assert small == []
    # Four lists of the same make; axe takes its time for each item.
    page.evaluate(
        "for (const id of ['water', 'recovery', 'after']) document.getElementById(id).remove()"
    )
    assert violations(reader) == []


def test_every_item_has_a_name_that_is_its_own(reader):
    """Ticks are kept by it, so it must be there and be unique on the page."""
    page = opened(reader)
    ids = page.evaluate("[...document.querySelectorAll('.checklist li')].map((li) => li.id)")
    assert len(set(ids)) == len(ids) > 50
    assert all(name.split("-")[0] in LISTS for name in ids), json.dumps(ids)
