"""The entries of a rig: their names, their words, their rows."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.declare import Choice, Number
from calculators.errors import InputError
from calculators.registry import CALCULATORS
from calculators.rig.model import entry_text, read_entry
from calculators.rig.schema import ENTRIES, LABELS, ROWS, SECTIONS, entry_of
from tests.cases import one
from tests.rig.made import stated


def labels(path: str) -> set[str]:
    uses = ENTRIES[path].uses
    return {CALCULATORS[use.card].inputs_by_name[use.name].label for use in uses}


def test_an_entry_that_is_asked_for_in_several_words_has_one_name_in_a_rig():
    assert {path for path in ENTRIES if len(labels(path)) > 1} <= set(LABELS)
    assert set(LABELS) <= set(ENTRIES)


def test_entries_come_section_by_section():
    sections = [entry.section for entry in ENTRIES.values()]
    assert list(dict.fromkeys(sections)) == list(SECTIONS)
    assert sections == sorted(sections, key=list(SECTIONS).index)


@pytest.mark.parametrize("path", ENTRIES)
def test_an_entry_accepts_what_any_of_its_inputs_accepts(path):
    entry = ENTRIES[path]
    for use in entry.uses:
        item = CALCULATORS[use.card].inputs_by_name[use.name]
        if isinstance(item, Number):
            assert entry.item.low_si <= item.low_si <= item.high_si <= entry.item.high_si
        if isinstance(item, Choice):
            assert {o.value for o in item.options} <= {o.value for o in entry.item.options}


@pytest.mark.parametrize("path", ENTRIES)
def test_a_key_means_its_entry_and_row(path):
    entry = ENTRIES[path]
    last = ROWS[entry.rows].most if entry.rows else 1
    assert entry_of(entry.key(last)) == (entry, last)
    if entry.rows:
        for row in ("0", str(last + 1), "x", "1.5", "²", "", "-1"):
            with pytest.raises(InputError):
                entry_of(f"{entry.rows}.{row}.{entry.name}")


@pytest.mark.parametrize("key", ["", "element", "element.", "element.nothing", "a.b.c.d.e", "."])
def test_what_is_no_entry_is_refused_by_name(key):
    with pytest.raises(InputError, match="not an entry"):
        entry_of(key)


@pytest.mark.parametrize("path", ENTRIES)
def test_what_the_forms_say_is_written_and_read_back(path):
    key = ENTRIES[path].key(1)
    given_one = stated(ENTRIES[path])
    again = read_entry(key, entry_text(key, given_one))
    assert again.value == given_one.value
    assert entry_text(key, again) == entry_text(key, given_one)


@given(st.data())
@settings(max_examples=60)
def test_any_value_is_written_and_read_back(data):
    entry = data.draw(st.sampled_from(list(ENTRIES.values())))
    value = data.draw(one(entry.item))
    key = entry.key(1)
    text = entry_text(key, type(stated(entry))(value))
    assert read_entry(key, text).value == value
