"""Does choosing a material fill the fields, and does an export leave the page as a file?"""

import pytest

from calculators.declare import Number
from calculators.evaluate import asked, defaults
from calculators.fills import texts
from calculators.registry import CALCULATORS


def on_show(card, fill):
    """Whether the form asks for the fields of a fill before anything is changed."""
    start = defaults(card)
    return any(asked(card, name, card.inputs_by_name[name], start) for name in fill.inputs)


FILLS = [
    next((card.id, fill.name) for fill in card.fills if on_show(card, fill))
    for card in CALCULATORS.values()
    if any(on_show(card, fill) for fill in card.fills)
]
"""One fill of each form: tests/test_fills.py tries every row of every fill without a browser."""

EXPORTS = [(card.id, export.name) for card in CALCULATORS.values() for export in card.exports]


def choice(reader, fill):
    return reader.one(f'.fill[data-fill="{fill}"] select')


def another(text, card, name):
    """Another value for this field: one per cent more, or for nothing a tenth of the range."""
    if float(text):
        return f"{float(text) * 1.01:.6g}"
    item = CALCULATORS[card].inputs_by_name[name]
    return item.field_text(item.low_si + (item.high_si - item.low_si) / 10, "metric")


@pytest.mark.parametrize(("card", "name"), FILLS)
def test_choosing_a_row_fills_its_fields_and_an_own_value_is_said_to_be_one(walker, card, name):
    """The texts are Python's; the select says which row the fields stand for, or none."""
    reader = walker
    reader.visit(card)
    fill = CALCULATORS[card].fills_by_name[name]
    select = choice(reader, name)
    for row in (fill.rows[-1], fill.rows[0]):
        select.select_option(row.name)
        reader.settled()
        wanted, _ = texts(CALCULATORS[card], fill, row.name, "metric")
        assert {key: reader.field(key).input_value() for key in wanted} == wanted
        assert select.input_value() == row.name
    first = next(iter(fill.inputs))
    reader.type(first, another(reader.field(first).input_value(), card, first))
    reader.settled()
    assert select.input_value() == ""


def test_a_link_brings_the_row_back_in_a_fresh_profile(open_reader):
    """The link holds values; the select finds the row again."""
    card, name = FILLS[0]
    row = CALCULATORS[card].fills_by_name[name].rows[-1].name
    sender, receiver = open_reader(), open_reader()
    sender.live(card)
    choice(sender, name).select_option(row)
    sender.settled()
    link = sender.one(":scope").get_attribute("data-link")
    assert row not in link

    receiver.live(card, link)
    receiver.settled()

    assert choice(receiver, name).input_value() == row


@pytest.mark.parametrize(("card", "export"), EXPORTS)
def test_an_export_is_saved_as_it_is_shown(walker, card, export, tmp_path):
    """The file holds the text of the answer on show, after an edit too."""
    reader = walker
    reader.visit(card)
    fold = reader.one(f'details[data-export="{export}"]')
    before = fold.locator(".export-text").text_content()
    fold.locator("summary").click()
    for name in [i.name for i in CALCULATORS[card].inputs if isinstance(i, Number)][:2]:
        reader.type(name, another(reader.field(name).input_value(), card, name))
    reader.settled()
    with reader.page.expect_download() as saved:
        fold.locator(".save-export").click()
    file = tmp_path / saved.value.suggested_filename
    saved.value.save_as(file)

    text = file.read_text()

    assert file.name == next(e.file for e in CALCULATORS[card].exports if e.name == export)
    assert text == fold.locator(".export-text").text_content()
    assert text != before
