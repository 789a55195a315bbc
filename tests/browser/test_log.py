"""Rows of measurements in a form: from a file, dropped, long, spoilt, and in a link."""

import pytest

from calculators.declare import Log
from calculators.logs import MOST_ROWS
from calculators.registry import CALCULATORS

HEAD = "time (s);pressure (kPa);temperature (°C)"
PASTE = """
(text) => {
  const data = new DataTransfer();
  data.setData("text/plain", text);
  const area = document.querySelector("textarea.log");
  const dropped = { dataTransfer: data, bubbles: true, cancelable: true };
  area.dispatchEvent(new DragEvent("drop", dropped));
}
"""


def rows(count, spoilt=()):
    """A slow leak, one row every ten seconds, written as a logger with a decimal comma does."""
    lines = [HEAD]
    for i in range(count):
        pressure = "?" if i + 2 in spoilt else f"{60 + 2e-5 * i + 0.004 * (i * 7 % 11 - 5):.4f}"
        lines.append(f"{10 * i};{pressure.replace('.', ',')};{20 + 0.001 * (i % 13):.3f}")
    return "\n".join(lines).replace(".", ",")


@pytest.fixture
def at_log(walker):
    """A reader at the calculator that takes a log."""
    walker.visit("leak-rate")
    walker.one(".reset").click()
    walker.settled()
    return walker


def test_a_file_of_100_000_rows_is_read_while_the_page_goes_on(at_log, tmp_path):
    """In the Worker; what cannot be read is named by its row; the field shows the first rows."""
    file = tmp_path / "tank.csv"
    file.write_text(rows(MOST_ROWS, spoilt={4711, 90210}), encoding="utf-8")
    before = at_log.answer
    at_log.one(".log-file").set_input_files(file)
    busy = at_log.page.evaluate(
        "() => document.querySelector('section.calc').getAttribute('aria-busy')"
    )
    assert busy == "true", "the page answers while the rows are being read"
    at_log.settled()
    assert at_log.answer != before
    said = at_log.one(".remarks").inner_text()
    assert "4711" in said
    assert "90210" in said
    shown = at_log.one("textarea.log").input_value()
    assert shown.startswith(HEAD)
    assert "99993 more rows" in shown
    assert at_log.one("textarea.log").get_attribute("readonly") is not None


def test_a_long_log_is_not_in_the_link_and_the_link_says_so(at_log, open_reader, tmp_path):
    """All other values travel; the reader is told how many rows were left out."""
    file = tmp_path / "tank.csv"
    file.write_text(rows(3000), encoding="utf-8")
    at_log.one(".log-file").set_input_files(file)
    at_log.settled()
    at_log.type("volume", "2.5")
    link = at_log.one(":scope").get_attribute("data-link")
    assert len(link) < 2000
    assert "log=3000rows" in link
    receiver = open_reader()
    receiver.go(f"calculators/leak-rate/{link}")
    receiver.until("document.querySelector('[data-input=log] .err').textContent")
    assert "3000 rows" in receiver.error("log")
    assert receiver.field("volume").input_value() == "2.5"


def test_a_short_log_travels_in_the_link(at_log, open_reader):
    """Opened in a fresh profile it gives the same answer."""
    at_log.type("log", rows(12))
    link = at_log.one(":scope").get_attribute("data-link")
    receiver = open_reader()
    receiver.live("leak-rate", link)
    receiver.settled()
    assert receiver.answer == at_log.answer
    assert len(receiver.field("log").input_value().splitlines()) == 13


def test_a_text_dropped_on_the_field_is_taken_whole(at_log):
    """Too long to edit, so it is held and its first rows are shown."""
    before = at_log.answer
    at_log.page.evaluate(PASTE, rows(5000))
    at_log.settled()
    assert at_log.answer != before
    assert "more rows" in at_log.field("log").input_value()


@pytest.mark.parametrize(
    ("text", "says"),
    [("", "There are no rows"), ("abc", "no column time"), ("1;2\n2;3", "at least 3")],
)
def test_what_is_no_log_is_refused_at_its_field(at_log, text, says):
    """With what is wanted; the last good answer stays."""
    before = at_log.answer
    at_log.type("log", text)
    assert says in at_log.error("log")
    assert at_log.answer == before


def test_emptying_makes_room_for_typing(at_log, tmp_path):
    """A held text does not lock the field for ever."""
    file = tmp_path / "tank.csv"
    file.write_text(rows(4000), encoding="utf-8")
    at_log.one(".log-file").set_input_files(file)
    at_log.settled()
    at_log.one(".log-empty").click()
    at_log.settled()
    assert at_log.field("log").input_value() == ""
    at_log.type("log", rows(10))
    assert at_log.error("log") == ""


LOGS = [
    (card.id, item.name)
    for card in CALCULATORS.values()
    for item in card.inputs
    if isinstance(item, Log)
]


@pytest.mark.parametrize(("card", "name"), LOGS)
def test_every_log_has_its_file_button_and_refuses_what_is_none(walker, card, name):
    """The mechanism is tried above with one of them; here is what each must have."""
    walker.visit(card)
    box = walker.one(f'.in[data-input="{name}"]')
    assert box.locator(".log-file").count() == 1
    before = walker.answer
    walker.type(name, "abc")
    assert "no column" in walker.error(name)
    assert walker.answer == before
