"""Does a calculator do what a reader expects of a form?"""

import re

import pytest

from calculators.declare import Log
from calculators.registry import CALCULATORS

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


FEATURES = ("groups", "fills", "exports", "plot", "drawing", "remarks", "cautions")


def kinds():
    """For each thing that a calculator can have, the first that has it."""
    found = {card.id: [f for f in FEATURES if getattr(card, f)] for card in CALCULATORS.values()}
    for card in CALCULATORS.values():
        found[card.id] += ["log"] if any(isinstance(i, Log) for i in card.inputs) else []
    firsts = {feature: name for name in reversed(found) for feature in found[name]}
    return sorted(set(firsts.values()))


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


def test_a_larger_bias_resistor_lowers_the_corner_as_it_is_typed(reader):
    """The promise of the front page."""
    reader.live("corner-frequency")
    before = float(reader.answer.split()[0])
    reader.field("bias_resistance").click()
    reader.page.keyboard.press("Control+A")
    reader.page.keyboard.type("47")
    reader.settled()
    assert float(reader.answer.split()[0]) < before
    assert reader.one(".plot-box svg").count() == 1, "the live curve has replaced both drawn ones"
    assert "live" in reader.one(".plot-box svg").get_attribute("class")


def test_a_folded_plot_is_drawn_when_it_is_opened(reader):
    """No work for what nobody sees, and no old curve for who looks."""
    reader.live("corner-frequency")
    reader.one("details.plot > summary").click()
    reader.type("bias_resistance", "47")
    assert reader.one(".plot-box svg.live").count() == 0
    reader.one("details.plot > summary").click()
    reader.until("document.querySelector('.plot-box svg.live')")


def test_an_edit_before_python_is_there_waits_and_says_so(open_reader):
    """Nothing that is typed is lost."""
    reader = open_reader(service_workers="block")
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


def test_a_range_is_told_with_what_makes_it(reader):
    """Without tolerances there is no range; one wide tolerance makes all of it."""
    reader.live("corner-frequency")
    assert " to " in reader.one(".answer .by").inner_text()
    for tolerance in reader.one(".tolerance").all():
        tolerance.fill("")
    reader.settled()
    assert reader.one(".answer .by").inner_text() == ""
    reader.one('.in[data-input="element_capacitance"] .tolerance').fill("20 %")
    reader.settled()
    words = reader.one(".answer .by").inner_text()
    assert words.endswith("mostly: Element capacitance, 100\u00a0%")
    share = reader.one('.in[data-input="element_capacitance"] svg.share')
    assert share.get_attribute("aria-label") == "100 % of the range comes from here"


def test_a_refused_tolerance_is_marked_at_its_own_field(reader):
    """Value and tolerance share one line for errors, but not the mark."""
    reader.live("corner-frequency")
    tolerance = reader.one('.in[data-input="bias_resistance"] .tolerance')
    tolerance.fill("much")
    reader.settled()
    assert "much" in reader.error("bias_resistance")
    assert tolerance.get_attribute("aria-invalid") == "true"
    assert reader.field("bias_resistance").get_attribute("aria-invalid") is None


def test_escape_brings_back_what_stood_there_before(reader):
    """Enter settles a value, Escape goes back to the last settled one."""
    reader.live("corner-frequency")
    field = reader.field("bias_resistance")
    field.fill("47")
    field.press("Enter")
    field.fill("-3")
    field.press("Escape")
    assert field.input_value() == "47"
    reader.settled()
    assert reader.error("bias_resistance") == ""


def test_arrow_keys_step_and_the_wheel_does_nothing(reader):
    """A scroll across the form must not change a value."""
    reader.live("corner-frequency")
    field = reader.field("bias_resistance")
    field.focus()
    field.press("ArrowUp")
    reader.settled()
    stepped = field.input_value()
    assert float(stepped) > 4.7
    field.press("ArrowDown")
    reader.settled()
    assert float(field.input_value()) == 4.7
    field.hover()
    reader.page.mouse.wheel(0, 300)
    reader.settled()
    assert float(field.input_value()) == 4.7


def test_the_sign_key_changes_the_sign(reader):
    """Phone keypads with a decimal key have no minus."""
    reader.live("runtime")
    temperature = reader.field("temperature")
    button = reader.one('.in[data-input="temperature"] .sign')
    value = float(temperature.input_value())
    assert value > 0
    button.click()
    reader.settled()
    assert float(temperature.input_value()) == -value
    button.click()
    assert float(temperature.input_value()) == value


def test_a_choice_shows_the_fields_it_calls_for(reader):
    """A load is known by its current or by its power."""
    reader.live("runtime")
    assert reader.field("load_current").is_visible()
    assert not reader.field("load_power").is_visible()
    reader.field("load_known_by").select_option("power")
    reader.settled()
    assert not reader.field("load_current").is_visible()
    assert reader.field("load_power").is_visible()


def test_rows_are_added_and_removed_without_losing_a_value(reader):
    """A second load shortens the time; without it all is as before."""
    reader.live("runtime")
    reader.type("load_current", "50")
    alone = reader.answer
    reader.one('[data-group="load"] .add-row').click()
    reader.settled()
    assert reader.field("load_current").input_value() == "50"
    assert reader.page.evaluate("() => document.activeElement.name") == "load_known_by_2"
    assert reader.answer != alone
    reader.one('[data-group="load"] .remove-row').click()
    reader.settled()
    assert reader.answer == alone
    assert reader.field("load_current_2").count() == 0


def test_solving_puts_the_found_value_into_its_field(reader):
    """And a target that cannot be reached is refused at the target."""
    reader.live("corner-frequency")
    reader.one("details.solve > summary").click()
    reader.one(".solve-input").select_option("bias_resistance")
    reader.one(".solve-target").fill("20 Hz")
    reader.one(".solve-go").click()
    reader.settled()
    assert reader.answer == "20.0 Hz"
    assert "Bias resistor" in reader.one(".solve-message").inner_text()
    assert 0.5 < float(reader.field("bias_resistance").input_value()) < 1.5
    reader.one(".solve-target").fill("-20 Hz")
    reader.one(".solve-target").press("Enter")
    reader.settled()
    assert reader.one(".solve-err").inner_text() != ""
    assert reader.one(".solve-target").get_attribute("aria-invalid") == "true"
    assert "stale" not in reader.one(":scope").get_attribute("class"), "the form itself is fine"
    assert reader.answer == "20.0 Hz"


def test_reset_brings_back_the_worked_example(reader):
    """Rows, choices, tolerances and units too."""
    reader.live("runtime")
    before = whole_answer(reader)
    reader.field("load_known_by").select_option("power")
    reader.one('[data-group="load"] .add-row').click()
    reader.settled()
    reader.one(".tolerance").first.fill("33 %")
    reader.type("battery_capacity", "1")
    assert whole_answer(reader) != before
    reader.one(".reset").click()
    reader.settled()
    assert whole_answer(reader) == before
    assert reader.field("load_current").is_visible()


def test_the_choice_of_units_is_remembered(reader):
    """On the next page and the next visit."""
    reader.live("runtime")
    metric = float(reader.field("temperature").input_value())
    reader.one(".units input[value=us]").check(force=True)
    reader.settled()
    us = float(reader.field("temperature").input_value())
    assert us == pytest.approx(metric * 9 / 5 + 32)
    assert reader.one('.in[data-input="temperature"] .unit').inner_text() == "°F"
    reader.live("corner-frequency")
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


def test_one_worker_serves_every_page_of_a_visit(reader):
    """Going on by a link keeps Python: the next calculator is live at once."""
    reader.live("corner-frequency")
    reader.page.evaluate("() => { window.sameVisit = true; }")
    python = [w.url for w in reader.page.workers if "/worker-" in w.url]
    reader.page.evaluate("() => document.querySelector('a[href*=\"recording-storage\"]').click()")
    reader.until("location.pathname.endsWith('/recording-storage/')")
    reader.state("live")
    assert reader.page.evaluate("() => window.sameVisit"), "the page was not loaded anew"
    assert [w.url for w in reader.page.workers if "/worker-" in w.url] == python
    before = reader.answer
    reader.type("card_capacity", "1")
    assert reader.answer != before


def test_errors_are_written_into_a_region_that_was_there_before(reader):
    """A screen reader hears only of changes in a region it already knows, and hears it once."""
    reader.live("corner-frequency")
    region = reader.one('.in[data-input="bias_resistance"] .err')
    assert region.get_attribute("aria-live") == "polite"
    described = reader.field("bias_resistance").get_attribute("aria-describedby").split()
    assert region.get_attribute("id") in described
    region.evaluate(
        "(e) => { window.writes = 0;"
        " new MutationObserver(() => window.writes++).observe(e, { childList: true }); }"
    )
    reader.type("bias_resistance", "x")
    reader.type("cable_capacitance", "481")
    assert reader.page.evaluate("() => window.writes") == 1


def test_no_number_on_the_page_is_nan_or_infinite(reader):
    """Whatever is typed."""
    reader.live("recording-storage")
    for text in ("0", "-1", "1e400", "nan", "inf", "", "1,234", "9" * 400):
        reader.type("card_capacity", text)
        assert not re.search(r"\b(nan|inf(inity)?|undefined|null)\b", whole_answer(reader), re.I)
        assert reader.error("card_capacity") != ""
