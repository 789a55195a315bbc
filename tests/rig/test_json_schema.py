"""The published schema: it holds what a rig's file may hold, and agrees with its reader."""

import tomllib

import pytest
from hypothesis import given, settings
from jsonschema import Draft202012Validator

from calculators.declare import Choice, Number
from calculators.rig.files import RigFileErrors, read_rig, write_rig
from calculators.rig.json_schema import rig_schema
from calculators.rig.schema import ENTRIES, ROWS
from site_src.paths import DOCS
from tests.rig.drawn import rigs
from tests.rig.made import whole_rig

SCHEMA = rig_schema()
VALIDATOR = Draft202012Validator(SCHEMA)

HEAD = 'format = 1\nname = "Tarn"\n'


def test_it_is_a_schema_of_its_draft():
    """By the draft's own schema of schemas."""
    Draft202012Validator.check_schema(SCHEMA)


def test_every_entry_is_in_it_with_its_label_and_what_it_accepts():
    """Under its section, and its rows where it repeats."""
    for entry in ENTRIES.values():
        around = SCHEMA["properties"][entry.section]["properties"]
        if entry.rows:
            rows = around[entry.rows.split(".")[1]]
            assert rows["maxItems"] == ROWS[entry.rows].most
            around = rows["items"]["properties"]
        described = around[entry.name]
        assert described["title"] == entry.item.label
        if isinstance(entry.item, Choice):
            assert described["enum"] == [option.value for option in entry.item.options]
        if isinstance(entry.item, Number):
            assert entry.item.accepted("metric") in described["description"]


@settings(max_examples=25, deadline=None)
@given(rigs())
def test_every_file_that_is_written_fits_it(rig):
    """Any entries, in any rows, with any tolerance."""
    VALIDATOR.validate(tomllib.loads(write_rig(rig)))


def test_the_file_of_all_entries_fits_it():
    """Each kind of text at least once."""
    VALIDATOR.validate(tomllib.loads(write_rig(whole_rig())))


@pytest.mark.parametrize("file", sorted((DOCS / "rigs").glob("*.toml")), ids=lambda file: file.stem)
def test_the_rigs_of_the_handbook_fit_it(file):
    """As they are written by hand."""
    VALIDATOR.validate(tomllib.loads(file.read_text(encoding="utf-8")))


@pytest.mark.parametrize(
    "text",
    [
        "",
        '[element]\ncapacitance = "8n2F"',
        '[element]\ncapacitance = "8.2e-9 F"',
        '[element]\ncapacitance = " 8,2 nF +80/-20 %"',
        '[front_end]\nbias_resistance = "4M7 Ω"',
        '[plan]\ndepth = "13 ft 4 in ± 1 ft"',
        '[plan]\nduration = "2 d 14 h"',
        '[plan]\ndepth = "6½′"',
        '[site]\nwater_temperature = "−1 °C ± 0.5 °C"\nph = "8 ± 0.5"',
        'note = ""\nwithout = ["cable-seal"]',
    ],
)
def test_what_the_reader_accepts_fits_it(text):
    """As people type it; a schema that refused this would be wrong."""
    read_rig(HEAD + text)
    VALIDATOR.validate(tomllib.loads(HEAD + text))


@pytest.mark.parametrize(
    "text",
    [
        "format = 2",
        '[elephant]\nmass = "5 t"',
        '[element]\ncolour = "red"',
        "[element]\ncapacitance = 8.2",
        '[element]\ncapacitance = "8.2"',
        '[element]\ncapacitance = "8.2 ± 20 %"',
        '[element]\ncapacitance = "8.2 +80/-20 %"',
        '[element]\ncapacitance = "8.2e-9"',
        '[element]\ncapacitance = "much"',
        '[site]\nwater = "fizzy"',
        '[power]\nsupply = "one"',
        '[power.supply]\nbattery_kind = "alkaline"',
        "[[power.supply]]\n" * 20,
        '[plan]\nfirst_day = "21 June"',
        "name = 3",
        'name = " "',
        'without = ["x"]',
    ],
)
def test_what_does_not_fit_it_the_reader_refuses_too(text):
    """The schema is no stricter than the reader."""
    key = text.split(" ")[0]
    head = "".join(line for line in HEAD.splitlines(keepends=True) if line.split(" ")[0] != key)
    assert not VALIDATOR.is_valid(tomllib.loads(head + text))
    with pytest.raises(RigFileErrors):
        read_rig(head + text)


def test_a_file_must_say_its_format_and_name():
    """What is missing is refused, as by the reader."""
    assert not VALIDATOR.is_valid({"name": "Tarn"})
    assert not VALIDATOR.is_valid({"format": 1})
