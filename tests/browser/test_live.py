"""Does a calculator do what a reader expects of a form?"""

import re

import pytest

from calculators.registry import CALCULATORS
from tests.browser.conftest import kinds

CARDS = list(CALCULATORS)


PARTS = (
    ".answer-value, .answer .by, .verdict, .out-value, .out-range, .work .line, .range text, "
    ".remarks li"
)


def whole_answer(reader):
    """Every text that an answer consists of."""
    return reader.page.evaluate(
        "(parts) => [...document.querySelector('section.calc').querySelectorAll(parts)]"
        ".map((e) => e.textContent).join('|')",
        PARTS,
    )


@pytest.mark.parametrize("card", kinds())
def test_coming_alive_changes_no_answer_and_moves_nothing(reader, card):
    """The prerendered answer is the live one, and every slot had its space."""
    reader.go(f"calculators/{card}/")
    before = whole_answer(reader)
    reader.state("live")
    reader.settled()
    assert whole_answer(reader) == before
    assert reader.page.evaluate("() => window.shifts") == []


AS_BUILT = """
async () => {
  const page = await (await fetch(location.href)).text();
  const built = new DOMParser().parseFromString(page, "text/html").querySelector("section.calc");
  return [...built.querySelectorAll(PARTS)].map((e) => e.textContent).join("|");
}
"""


@pytest.mark.parametrize("card", CARDS)
def test_every_number_field_on_show_reaches_python(walker, card):
    """Something no number can be is refused at each field by name; the old texts bring all back.

    Before that, the live answer is the one that the page was built with.
    """
    reader = walker
    reader.visit(card)
    before = whole_answer(reader)
    assert reader.page.evaluate(AS_BUILT.replace("PARTS", f"'{PARTS}'")) == before
    names = reader.page.evaluate(
        "() => [...document.querySelectorAll('.in[data-kind=number]:not([hidden])')]"
        ".map((box) => box.dataset.input)"
    )
    assert len(names) > 1
    kept = {name: reader.field(name).input_value() for name in names}
    for name in names:
        reader.field(name).fill("x")
    reader.settled()
    assert "stale" in reader.one(":scope").get_attribute("class")
    assert whole_answer(reader) == before, "the last good answer stays"
    labels = CALCULATORS[card].inputs_by_name
    for name, text in kept.items():
        assert labels[name].label in reader.error(name)
        assert reader.field(name).get_attribute("aria-invalid") == "true"
        reader.field(name).fill(text)
    reader.settled()
    assert [reader.error(name) for name in names] == [""] * len(names)
    assert whole_answer(reader) == before
    assert "stale" not in reader.one(":scope").get_attribute("class")


def test_a_larger_bias_resistor_lowers_the_corner_as_it_is_typed(walker):
    """The promise of the front page."""
    walker.visit("corner-frequency")
    before = float(walker.answer.split()[0])
    walker.field("bias_resistance").click()
    walker.page.keyboard.press("Control+A")
    walker.page.keyboard.type("47")
    walker.settled()
    assert float(walker.answer.split()[0]) < before
    assert walker.one(".plot-box svg").count() == 1, "the live curve has replaced both drawn ones"
    assert "live" in walker.one(".plot-box svg").get_attribute("class")


def test_a_folded_plot_is_drawn_when_it_is_opened(walker):
    """No work for what nobody sees, and no old curve for who looks."""
    walker.visit("corner-frequency")
    walker.one("details.plot > summary").click()
    walker.type("bias_resistance", "47")
    assert walker.one(".plot-box svg.live").count() == 0
    walker.one("details.plot > summary").click()
    walker.until("document.querySelector('.plot-box svg.live')")


def test_an_edit_before_python_is_there_waits_and_says_so(reader):
    """Nothing that is typed is lost."""
    reader.page.route(
        "**/pyodide.asm.wasm", lambda route: (reader.page.wait_for_timeout(1500), route.continue_())
    )
    reader.go("calculators/corner-frequency/")
    reader.field("bias_resistance").fill("47")
    assert reader.one(".state-text").inner_text().startswith("your change waits: ")
    reader.state("live")
    reader.settled()
    assert reader.one(".state-text").inner_text() == "live"
    assert float(reader.answer.split()[0]) < 4


def test_a_range_is_told_with_what_makes_it(walker):
    """Without tolerances there is no range; one wide tolerance makes all of it."""
    walker.visit("corner-frequency")
    assert " to " in walker.one(".answer .by").inner_text()
    for tolerance in walker.one(".tolerance").all():
        tolerance.fill("")
    walker.settled()
    assert walker.one(".answer .by").inner_text() == ""
    walker.one('.in[data-input="element_capacitance"] .tolerance').fill("20 %")
    walker.settled()
    words = walker.one(".answer .by").inner_text()
    assert words.endswith("mostly: Element capacitance, 100\u00a0%")
    share = walker.one('.in[data-input="element_capacitance"] svg.share')
    assert share.get_attribute("aria-label") == "100 % of the range comes from here"


def test_a_refused_tolerance_is_marked_at_its_own_field(walker):
    """Value and tolerance share one line for errors, but not the mark."""
    walker.visit("corner-frequency")
    tolerance = walker.one('.in[data-input="bias_resistance"] .tolerance')
    tolerance.fill("much")
    walker.settled()
    assert "much" in walker.error("bias_resistance")
    assert tolerance.get_attribute("aria-invalid") == "true"
    assert walker.field("bias_resistance").get_attribute("aria-invalid") is None


def test_escape_brings_back_what_stood_there_before(walker):
    """Enter settles a value, Escape goes back to the last settled one."""
    walker.visit("corner-frequency")
    field = walker.field("bias_resistance")
    field.fill("47")
    field.press("Enter")
    field.fill("-3")
    field.press("Escape")
    assert field.input_value() == "47"
    walker.settled()
    assert walker.error("bias_resistance") == ""


def test_arrow_keys_step_and_the_wheel_does_nothing(walker):
    """A scroll across the form must not change a value."""
    walker.visit("corner-frequency")
    field = walker.field("bias_resistance")
    field.focus()
    field.press("ArrowUp")
    walker.settled()
    stepped = field.input_value()
    assert float(stepped) > 4.7
    field.press("ArrowDown")
    walker.settled()
    assert float(field.input_value()) == 4.7
    field.hover()
    walker.page.mouse.wheel(0, 300)
    walker.settled()
    assert float(field.input_value()) == 4.7


def test_a_date_steps_by_days_and_is_refused_where_it_can_mean_two(walker):
    """With both readings named."""
    walker.visit("deployment-window")
    field = walker.field("first_day")
    field.fill("2026-02-28")
    field.press("ArrowUp")
    walker.settled()
    assert field.input_value() == "2026-03-01"
    walker.type("first_day", "21.6.26")
    words = walker.error("first_day")
    assert "2021-06-26" in words
    assert "2026-06-21" in words


def test_the_sign_key_changes_the_sign(walker):
    """Phone keypads with a decimal key have no minus."""
    walker.visit("runtime")
    temperature = walker.field("temperature")
    button = walker.one('.in[data-input="temperature"] .sign')
    value = float(temperature.input_value())
    assert value > 0
    button.click()
    walker.settled()
    assert float(temperature.input_value()) == -value
    button.click()
    assert float(temperature.input_value()) == value


def test_a_choice_shows_the_fields_it_calls_for(walker):
    """A load is known by its current or by its power."""
    walker.visit("runtime")
    assert walker.field("load_current").is_visible()
    assert not walker.field("load_power").is_visible()
    walker.field("load_known_by").select_option("power")
    walker.settled()
    assert not walker.field("load_current").is_visible()
    assert walker.field("load_power").is_visible()


def test_rows_are_added_and_removed_without_losing_a_value(walker):
    """A second load shortens the time; without it all is as before."""
    walker.visit("runtime")
    walker.type("load_current", "50")
    alone = walker.answer
    walker.one('[data-group="load"] .add-row').click()
    walker.settled()
    assert walker.field("load_current").input_value() == "50"
    assert walker.page.evaluate("() => document.activeElement.name") == "load_known_by_2"
    assert walker.answer != alone
    walker.one('[data-group="load"] .remove-row').click()
    walker.settled()
    assert walker.answer == alone
    assert walker.field("load_current_2").count() == 0


def test_solving_puts_the_found_value_into_its_field(walker):
    """And a target that cannot be reached is refused at the target."""
    walker.visit("corner-frequency")
    walker.one("details.solve > summary").click()
    walker.one(".solve-input").select_option("bias_resistance")
    walker.one(".solve-target").fill("20 Hz")
    walker.one(".solve-go").click()
    walker.settled()
    assert walker.answer == "20.0 Hz"
    assert "Bias resistor" in walker.one(".solve-message").inner_text()
    assert 0.5 < float(walker.field("bias_resistance").input_value()) < 1.5
    walker.one(".solve-target").fill("-20 Hz")
    walker.one(".solve-target").press("Enter")
    walker.settled()
    assert walker.one(".solve-err").inner_text() != ""
    assert walker.one(".solve-target").get_attribute("aria-invalid") == "true"
    assert "stale" not in walker.one(":scope").get_attribute("class"), "the form itself is fine"
    assert walker.answer == "20.0 Hz"


def test_reset_brings_back_the_worked_example(walker):
    """Rows, choices, tolerances and units too."""
    walker.visit("runtime")
    before = whole_answer(walker)
    walker.field("load_known_by").select_option("power")
    walker.one('[data-group="load"] .add-row').click()
    walker.settled()
    walker.one(".tolerance").first.fill("33 %")
    walker.type("battery_capacity", "1")
    assert whole_answer(walker) != before
    walker.one(".reset").click()
    walker.settled()
    assert whole_answer(walker) == before
    assert walker.field("load_current").is_visible()


def test_the_choice_of_units_is_remembered(reader):
    """On the next page and the next visit."""
    reader.live("runtime")
    metric = float(reader.field("temperature").input_value())
    reader.one(".units input[value=us]").check(force=True)
    reader.settled()
    us = float(reader.field("temperature").input_value())
    assert us == pytest.approx(metric * 9 / 5 + 32)
    assert reader.one('.in[data-input="temperature"] .unit').inner_text() == "°F"
    reader.visit("corner-frequency")
    assert reader.one(":scope").get_attribute("data-system") == "us"
    reader.live("runtime")
    reader.until("document.querySelector('section.calc').dataset.system === 'us'")
    assert float(reader.field("temperature").input_value()) == us
    reader.one(".units input[value=metric]").check(force=True)
    reader.settled()
    assert float(reader.field("temperature").input_value()) == metric


def test_blocked_storage_is_no_obstacle(reader):
    """Some browsers forbid it; the choice then lasts as long as the page."""
    reader.page.add_init_script(
        "Object.defineProperty(window, 'localStorage',"
        " { get() { throw new DOMException('no'); } });"
    )
    reader.live("runtime")
    reader.one(".units input[value=us]").check(force=True)
    reader.until("document.querySelector('section.calc').dataset.system === 'us'")


def test_one_worker_serves_every_page_of_a_visit(walker):
    """Going on by a link keeps Python: the next calculator is live at once."""
    walker.visit("corner-frequency")
    walker.page.evaluate("() => { window.sameVisit = true; }")
    python = [w.url for w in walker.page.workers if "/worker-" in w.url]
    walker.page.evaluate("() => document.querySelector('a[href*=\"recording-storage\"]').click()")
    walker.until("location.pathname.endsWith('/recording-storage/')")
    walker.state("live")
    assert walker.page.evaluate("() => window.sameVisit"), "the page was not loaded anew"
    assert [w.url for w in walker.page.workers if "/worker-" in w.url] == python
    before = walker.answer
    walker.type("card_capacity", "1")
    assert walker.answer != before


def test_errors_are_written_into_a_region_that_was_there_before(walker):
    """A screen reader hears only of changes in a region it already knows, and hears it once."""
    walker.visit("corner-frequency")
    region = walker.one('.in[data-input="bias_resistance"] .err')
    assert region.get_attribute("aria-live") == "polite"
    described = walker.field("bias_resistance").get_attribute("aria-describedby").split()
    assert region.get_attribute("id") in described
    region.evaluate(
        "(e) => { window.writes = 0;"
        " new MutationObserver(() => window.writes++).observe(e, { childList: true }); }"
    )
    walker.type("bias_resistance", "x")
    walker.type("cable_capacitance", "481")
    assert walker.page.evaluate("() => window.writes") == 1


def test_no_number_on_the_page_is_nan_or_infinite(walker):
    """Whatever is typed."""
    walker.visit("recording-storage")
    for text in ("0", "-1", "1e400", "nan", "inf", "", "1,234", "9" * 400):
        walker.type("card_capacity", text)
        assert not re.search(r"\b(nan|inf(inity)?|undefined|null)\b", whole_answer(walker), re.I)
        assert walker.error("card_capacity") != ""
