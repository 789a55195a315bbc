"""Entries in few signs: exactly what was packed, and nothing else that a link may hold."""

from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.declare import Choice
from calculators.errors import InputError
from calculators.rig.codes import CODE_OF, PATH_OF
from calculators.rig.model import read_entry
from calculators.rig.packed import pack, unpack
from calculators.rig.schema import ENTRIES
from tests.rig.drawn import rigs
from tests.rig.made import whole_rig

FIRST_CODES = {"AA": "element.sensitivity_level", "AB": "element.capacitance"}
"""Codes that stand in links that were given away: they mean this for ever."""


def test_every_entry_has_its_own_code_and_every_code_its_entry():
    assert set(CODE_OF) == set(ENTRIES)
    assert len(PATH_OF) == len(CODE_OF)
    assert all(len(code) == 2 for code in PATH_OF)
    assert FIRST_CODES.items() <= PATH_OF.items()


def test_options_are_told_apart_without_capitals():
    for entry in ENTRIES.values():
        if isinstance(entry.item, Choice):
            values = [option.value for option in entry.item.options]
            assert values == [value.lower() for value in values]
            assert all(":" not in value for value in values)


def test_a_number_is_written_in_its_shortest_way():
    shown = {
        "8.2 nF ± 20 %": "AB82E-10$20",
        "8.2 nF +80/-20 %": "AB82E-10$80/20",
        "8.2 nF ± 0.1 nF": "AB82E-10+1E-10",
        "0.1 µF": "AB1E-7",
    }
    for text, packed in shown.items():
        assert pack({"element.capacitance": read_entry("element.capacitance", text)}) == packed


@settings(max_examples=40)
@given(rigs())
def test_what_was_packed_comes_back_to_the_last_bit(rig):
    if rig.stated:
        assert unpack(pack(rig.stated)) == rig.stated


@settings(max_examples=60)
@given(st.data())
def test_a_spoiled_text_is_read_or_refused_and_nothing_else(data):
    whole = pack(whole_rig().stated)
    at = data.draw(st.integers(0, len(whole) - 1))
    spoiled = whole[:at] + data.draw(st.text("0AZ$+./:-E \x00é", max_size=3)) + whole[at + 1 :]
    with suppress(InputError):
        unpack(spoiled)


@pytest.mark.parametrize(
    "text",
    [
        "",
        ":",
        "ZZ1",
        "AB",
        "ABNAN",
        "ABINFINITY",
        "AB1E999",
        "AB1E-9$",
        "AB8.2E-9$-5",
        "AB8.2E-9$100",
        "AB8.2E-9+1:AB1E-9",
        "AB" + "1" * 40,
        "AB8E-9$20/",
        "AB１E-9",
        "ab8.2E-9",
    ],
)
def test_what_no_rig_packs_is_refused(text):
    with pytest.raises(InputError):
        unpack(text)
