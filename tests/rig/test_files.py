"""A rig's file: what goes in comes out, an edit touches one line, a fault is told with its line."""

import re
import tomllib
from dataclasses import replace

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from calculators.errors import InputError
from calculators.rig import formats
from calculators.rig.files import (
    RigFileError,
    RigFileErrors,
    edit_rig,
    edit_words,
    read_rig,
    text_of,
    write_rig,
)
from calculators.rig.model import Rig, Stated, entry_text
from calculators.rig.reading import LONGEST, MOST_FAULTS
from calculators.rig.schema import ENTRIES, ROWS, SECTIONS
from site_src.paths import DOCS
from tests.rig.drawn import rigs, statements
from tests.rig.made import whole_rig

QUICK = settings(max_examples=25, deadline=None)

TARN = """\
# Of the group's first rig.
format = 1
name = "Tarn, three nights"
note = "Toads, and insects."

[element]
capacitance = "8.2 nF ± 20 %"   # measured at 1 kHz, in spring

# The power bank, and the cells of the front end.
[[power.supply]]
battery_kind = "lithium-ion"
capacity = '20 Ah ± 10 %'

[[power.supply]]  # four cells
battery_kind = "alkaline"

[site]
water = "fresh"
# colder at the bottom

# Three nights.
[plan]
duration = "62 h"
depth = "4 m"
"""


def faults(text: str) -> list[tuple[int, str, str]]:
    """Line, key and message of every fault."""
    with pytest.raises(RigFileErrors) as refused:
        read_rig(text)
    return [(fault.line, fault.key, fault.message) for fault in refused.value.faults]


def test_a_file_is_read_as_it_is_written():
    """Values in SI, rows by number, tolerances; the words as they are."""
    rig = read_rig(TARN)

    assert rig.name == "Tarn, three nights"
    assert rig.stated["element.capacitance"].value == 8.2e-9
    assert rig.stated["element.capacitance"].tolerance.ends(10.0) == (8.0, 12.0)
    assert rig.stated["power.supply.1.capacity"].value == 72_000.0
    assert rig.stated["power.supply.2.battery_kind"] == Stated("alkaline")
    assert rig.stated["plan.duration"].value == 62 * 3600.0
    assert len(rig.stated) == 7


@QUICK
@given(rigs())
def test_import_gives_back_what_export_wrote(rig):
    """Every value to the last bit, every tolerance, every sign of the words."""
    assert read_rig(write_rig(rig)) == rig


def test_the_rig_of_all_entries_comes_back():
    """Nothing that can be stated is lost, and sections stand in their order."""
    rig = whole_rig()
    text = write_rig(rig)

    assert read_rig(text) == rig
    heads = re.findall(r"^\[(\w+)\]", text, re.MULTILINE)
    assert heads == [section for section in SECTIONS if section in heads]


def test_beside_each_entry_stands_what_the_page_calls_it():
    """A file can be read without the handbook."""
    text = write_rig(read_rig(TARN))
    label = ENTRIES["element.capacitance"].item.label

    assert f'capacitance = "8.2 nF ±20 %"  # {label}\n' in text


# Edits


@QUICK
@given(rigs(), statements(), statements())
def test_two_edits_in_either_order_give_the_same_rig(rig, one, two):
    """What is kept of one entry does not depend on another."""
    text = write_rig(rig)
    if one[0] == two[0]:
        return
    (a, b), (c, d) = ((key, entry_text(key, value)) for key, value in (one, two))

    assert read_rig(edit_rig(edit_rig(text, a, b), c, d)) == read_rig(
        edit_rig(edit_rig(text, c, d), a, b)
    )


@QUICK
@given(rigs(), statements())
def test_an_entry_that_is_added_and_removed_leaves_the_rig_as_it_was(rig, extra):
    """And an entry that is changed and changed back."""
    text, (key, value) = write_rig(rig), extra
    edited = edit_rig(text, key, entry_text(key, value))
    before = entry_text(key, rig.stated[key]) if key in rig.stated else None

    assert read_rig(edited) == rig.keep(key, value)
    assert read_rig(edit_rig(edited, key, before)) == rig


REMARKS = st.lists(st.tuples(st.integers(0, 40), st.sampled_from(("", "# a remark"))), max_size=6)


@QUICK
@given(rigs(), statements(), REMARKS, st.booleans(), st.booleans())
def test_an_edit_keeps_every_other_line_in_its_place(rig, extra, remarks, remove, ended):
    """Comments, blank lines and order; what the edit is about is one line."""
    key, value = extra
    lines = write_rig(rig).splitlines()
    for at, remark in remarks:
        lines.insert(at, remark)
    text = "\n".join(lines) + "\n" * ended
    lines = text.splitlines()
    edited = edit_rig(text, key, None if remove else entry_text(key, value)).splitlines()

    kept = [line for line in lines if line in edited]
    there = iter(edited)
    assert len(lines) - len(kept) <= (key in rig.stated)
    assert all(line in there for line in kept), "a line has moved"


def test_another_name_and_note_leave_the_rest_as_it_was_written():
    """A note that was not there stands below the name; one that goes takes its line along."""
    text = 'format = 1\nname = "Mine"  # ours\n\n# deep\n[plan]\ndepth = "4 m"\n'
    rig = read_rig(text)
    noted = edit_words(text, replace(rig, name="Other", note="A\nB"))
    assert noted == text.replace('"Mine"  # ours', '"Other"  # ours\nnote = "A\\nB"')
    assert edit_words(noted, rig) == text


def test_a_changed_value_keeps_the_remark_beside_it():
    """Only what stands between the quotes is another."""
    edited = edit_rig(TARN, "element.capacitance", "7.9 nF ±2 %")

    assert edited == TARN.replace("8.2 nF ± 20 %", "7.9 nF ±2 %")


def test_a_value_that_means_the_same_is_left_as_it_is_written():
    """An edit that changes nothing changes nothing."""
    assert edit_rig(TARN, "plan.depth", "400 cm") == TARN


def test_a_new_entry_stands_below_its_head():
    """Behind the remarks that belong to it, before the blank line."""
    edited = edit_rig(TARN, "site.ph", "7.4")
    label = ENTRIES["site.ph"].item.label

    assert f'# colder at the bottom\nph = "7.4"  # {label}\n\n# Three nights.' in edited


def test_a_new_section_stands_in_its_order():
    """Above the remarks of the section behind it."""
    stated = whole_rig().stated
    key = next(key for key in ENTRIES if key.startswith("cable.") and key in stated)
    edited = edit_rig(TARN, key, entry_text(key, stated[key]))

    assert "in spring\n\n[cable]\n" in edited
    assert "\n\n# The power bank" in edited


def test_a_new_row_stands_behind_the_others():
    """A third supply, behind the second."""
    edited = edit_rig(TARN, "power.supply.3.battery_kind", "alkaline")

    assert edited.index("# four cells") < edited.index("# Supply 3") < edited.index("[site]")


def test_a_file_from_another_system_keeps_its_line_ends():
    """And opens although a byte order mark stands before it."""
    theirs = TARN.replace("\n", "\r\n")
    edited = edit_rig("\ufeff" + theirs, "site.ph", "7.4")

    assert edited.count("\r\n") == edited.count("\n") == TARN.count("\n") + 1


@pytest.mark.parametrize(
    "text",
    [
        'format = 1\nname = "x"  # dear\n[plan]\n[site]\n\n[power]\nsupply = [{battery_kind = '
        '"alkaline"},\n{}]\n',
        'format = 1\nname = "x"  # dear\npower = {supply = [{battery_kind = "alkaline"}, {}]}\n',
    ],
)
def test_what_cannot_be_changed_alone_is_written_anew_and_says_so(text):
    """An entry in braces has no line of its own."""
    edited = edit_rig(text, "power.supply.1.battery_kind", "lithium-ion")

    assert edited.startswith("# Written anew when power.supply.1.battery_kind was changed")
    assert "comments of the file before are lost" in edited.splitlines()[0]
    assert read_rig(edited).stated == {"power.supply.1.battery_kind": Stated("lithium-ion")}


def test_a_section_of_dotted_keys_is_changed_in_its_lines():
    """Keys with points are lines like others; a head for the same section cannot be added."""
    text = 'format = 1\nname = "x"  # dear\nsite.ph = "7"\nsite.water = "fresh"\n'

    assert edit_rig(text, "site.ph", "8") == text.replace('"7"', '"8"')
    assert edit_rig(text, "site.salinity", "35").startswith("# Written anew")


def test_a_refused_value_or_a_faulty_file_is_not_written():
    """The old file is what there is then."""
    with pytest.raises(InputError, match="has no unit"):
        edit_rig(TARN, "plan.depth", "4")
    with pytest.raises(InputError, match="is not an entry"):
        edit_rig(TARN, "plan.dpth", None)
    with pytest.raises(RigFileErrors):
        edit_rig(TARN + "x", "plan.depth", "5 m")


# Faults


@pytest.mark.parametrize(
    ("was", "becomes", "line", "key", "message"),
    [
        ('"4 m"', "4", 24, "plan.depth", "a number without its unit (m) is no text"),
        ('"4 m"', '"4"', 24, "plan.depth", "has no unit"),
        ('"4 m"', '"4 kg"', 24, "plan.depth", "mass"),
        ('"4 m"', '"4 km"', 24, "plan.depth", "not possible here"),
        ('"4 m"', '"4 m ± 100 %"', 24, "plan.depth", "100 %"),
        ('"4 m"', '"4 m ± 5 m"', 24, "plan.depth", "with this tolerance"),
        ('"4 m"', "2026-06-21", 24, "plan.depth", "a date or time is no text"),
        ('"4 m"', "true", 24, "plan.depth", "true or false is no text"),
        ('"4 m"', "[]", 24, "plan.depth", "a list is no text"),
        ('"4 m"', '{x = "1"}', 24, "plan.depth", "a section is no text"),
        ("depth =", "dpeth =", 24, "plan.dpeth", "Is plan.depth meant?"),
        ("depth =", "ph =", 24, "plan.ph", "Is site.ph meant?"),
        ("depth =", "battery_kind =", 24, "plan.battery_kind", "below [[power.supply]]?"),
        ("depth =", '"depth.x" =', 24, "plan.depth.x", "no such entry"),
        ("depth =", "duration =", 24, "plan.duration", "twice: first in line 23"),
        ("[plan]", "[site]", 22, "site", "twice: first in line 17"),
        ("[plan]", "[plam]", 22, "plam", "Is plan meant?"),
        ("[plan]", "[plan.way]", 22, "plan.way", "no such entry"),
        (
            "[[power.supply]]  #",
            "[power.supply]  #",
            14,
            "power.supply.1",
            "twice: first in line 10",
        ),
        ('"fresh"', '"fizzy"', 18, "site.water", "is not one of: fresh"),
        ('"62 h"', '"62 h', 23, "plan.duration", "not TOML, column 17"),
        ("format = 1\n", "", 1, "format", "is missing"),
        ("format = 1", "format = 2", 2, "format", "a later format"),
        ("format = 1", "format = true", 2, "format", "is not a format"),
        ("format = 1", "format = 0", 2, "format", "is not a format"),
        ('"Tarn, three nights"', '""', 3, "name", "needs a name"),
        ('"Tarn, three nights"', '"\\u202e"', 3, "name", "cannot be shown"),
        ('"Tarn, three nights"', "3", 3, "name", "not a number"),
        ('"Toads, and insects."', '"' + "o" * 3000 + '"', 4, "note", "3000 signs"),
        ('note = "Toads, and insects."', 'without = ["x"]', 4, "without", "no question"),
        ('note = "Toads, and insects."', 'without = "x"', 4, "without", "a list"),
        ('note = "Toads, and insects."', "element = 3", 6, "element", "twice: first in line 4"),
    ],
)
def test_a_fault_is_told_with_its_line_and_key(was, becomes, line, key, message):
    """One fault, the first place that it can be seen at, and what is accepted."""
    assert was in TARN
    [(told_line, told_key, told)] = faults(TARN.replace(was, becomes, 1))

    assert (told_line, told_key) == (line, key)
    assert message in told


def test_all_faults_are_told_at_once_in_the_order_of_their_lines():
    """A reader mends a file in one go."""
    text = TARN.replace('"4 m"', "4").replace('"fresh"', '"fizzy"').replace("capacitance", "cap")

    assert [(line, key) for line, key, _ in faults(text)] == [
        (7, "element.cap"),
        (18, "site.water"),
        (24, "plan.depth"),
    ]
    with pytest.raises(RigFileErrors, match=r"(?s)line 7, element\.cap: .*\nline 18, site"):
        read_rig(text)


def test_more_rows_than_a_calculator_takes_are_refused_at_the_first_of_them():
    """The row that is too many is named, not the head of the file."""
    most = ROWS["power.supply"].most
    text = 'format = 1\nname = "x"\n' + "[[power.supply]]\n" * (most + 2)

    [(line, key, message)] = faults(text)
    assert (line, key) == (3 + most, f"power.supply.{most + 1}")
    assert f"at most {most}" in message


def test_rows_of_nothing_and_sections_of_nothing_are_not_passed_over():
    """An empty head with a wrong name is a slip that would hide what comes below it."""
    text = 'format = 1\nname = "x"\n[[power.suply]]\n[[sight]]\n[plan]\n'

    assert [(line, key) for line, key, _ in faults(text)] == [(3, "power.suply"), (4, "sight")]


def test_a_row_is_begun_as_a_row():
    """The table of a row, or one in braces, has no number."""
    text = 'format = 1\nname = "x"\n[power]\nsupply = {battery_kind = "alkaline"}\n'

    assert faults(text) == [(4, "power.supply", "This repeats: begin each with [[power.supply]].")]


def test_many_faults_end_somewhere():
    """A file of another kind is not answered with thousands of lines."""
    text = 'format = 1\nname = "x"\n[plan]\n' + "".join(f"a{n} = 1\n" for n in range(9000))

    assert len(faults(text)) == MOST_FAULTS


@pytest.mark.parametrize(
    ("text", "line", "message"),
    [
        ("# " + "x" * LONGEST, 1, f"up to {LONGEST} are read"),
        ("\n\nx = " + "[" * 90_000, 3, "nests more than"),
        ("\n\nx = " + "{a=" * 30_000, 3, "nests more than"),
        ("\n" + "a." * 40_000 + "a = 1", 2, "nests more than"),
        ("\nx = [{" + "a." * 40_000 + "a = 1}]", 2, "nests more than"),
        ("[" + "a." * 40_000 + "a]", 1, "nests more than"),
        ("\n\nx = " + "9" * 90_000, 3, "too long"),
        ("x = 0x" + "f" * 90_000, 1, "The format of this file is missing"),
        ("x = 1e999999999\n", 1, "The format of this file is missing"),
        ("a" * 90_000 + " = 1", 1, "The format of this file is missing"),
        ('format = 1\nname = "x"\n' + "a" * 90_000 + " = 1", 3, "no such name"),
        ('format = 1\nname = "x"\n[plan]\n' + "a" * 90_000 + " = 1", 4, "no such entry"),
        ('format = 1\nname = "x"\n[plan]\ndepth = 0x' + "f" * 90_000, 4, "is no text"),
        ("format = 0x" + "f" * 90_000, 1, "a later format"),
        ('x = "\ud800"', 1, "half of a sign"),
        ("\n\0", 2, "not TOML"),
        ('x = """' + "a\n" * 20_000, 20_001, "not TOML"),
    ],
)
def test_a_hostile_file_is_refused_in_no_time(text, line, message):
    """Nesting, long keys and long numbers that would hold a reader up for minutes."""
    [(told, _, why)] = faults(text)

    assert told == line
    assert message in why


SPLINTERS = st.sampled_from(
    [
        *("[", "]", "[[", "]]", "{", "}", "=", ".", ",", '"', "'", '"""', "'''", "\\", "#"),
        *("\n", "\r", "\0", "\u2028", "\ud800", "é", "-1e999", "0x", "2026-13-41", "nan", "true"),
        *("[element]\n", "[[power.supply]]\n", "capacitance = ", '"8.2 nF"', "a.b.c.d = 1\n"),
        *("format", "_"),
    ]
)


def refused(text: str) -> list[RigFileError] | None:
    """The faults of a text, None if it is a rig."""
    try:
        read_rig(text)
    except RigFileErrors as why:
        return why.faults
    return None


def held_against_tomllib(text: str) -> None:
    """Reading gives a rig or our error, whose lines lie in the file, and are tomllib's own."""
    found, where = refused(text), tomllib_line(text)
    if found is None:
        assert where is None
        return
    lines = [fault.line for fault in found]
    assert lines
    assert all(fault.message for fault in found)
    assert all(1 <= line <= text.count("\n") + 1 for line in lines)
    assert where is None or lines == [where] or "twice" in found[0].message


def tomllib_line(text: str) -> int | None:
    """The line that tomllib itself names."""
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        found = re.search(r"at line (\d+), column", str(fault))
        return int(found[1]) if found and "\ud800" not in text else None
    return None


@QUICK
@given(st.text(max_size=200) | st.lists(SPLINTERS, max_size=30).map("".join))
@example("")
def test_any_text_gives_a_rig_or_our_error(text):
    """Nothing else is ever raised."""
    held_against_tomllib(text)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(0, len(TARN)), st.integers(0, 9), SPLINTERS), max_size=3))
def test_a_damaged_file_gives_a_rig_or_our_error(cuts):
    """A good file with pieces taken out and splinters put in."""
    text = TARN
    for at, length, splinter in cuts:
        text = text[:at] + splinter + text[at + length :]
    held_against_tomllib(text)


@QUICK
@given(st.binary(max_size=80))
def test_any_bytes_give_a_text_or_our_error(data):
    """What is no UTF-8 is told with its line."""
    try:
        text = data.decode()
    except UnicodeDecodeError:
        with pytest.raises(RigFileErrors, match="no text in UTF-8"):
            text_of(data)
    else:
        assert text_of(data) == text


def test_a_file_in_another_encoding_is_one_fault_with_its_line():
    """As editors of old wrote it: the first sign that is not UTF-8 tells, the others do not."""
    data = 'format = 1\nname = "Tarn"\nnote = "über, ünter"\n'.encode("latin-1")
    with pytest.raises(RigFileErrors) as refused:
        text_of(data)
    [fault] = refused.value.faults
    assert fault.line == 3


def test_a_text_that_is_too_long_is_not_cut_within_a_sign():
    """Its bytes are read as far as they can be; then the length is what is refused."""
    with pytest.raises(RigFileErrors, match="characters; up to"):
        read_rig(text_of(b"#" + "🐸".encode() * (LONGEST + 1)))


# Formats


@pytest.fixture
def later(monkeypatch):
    """As if this were the third format: two entries were once called otherwise."""
    monkeypatch.setattr(formats, "FORMAT", 3)
    monkeypatch.setattr(
        formats,
        "RENAMED",
        {
            1: {"plan.nights": "plan.time_out", "power.cell.kind": "power.supply.battery_kind"},
            2: {"plan.time_out": "plan.duration"},
        },
    )


OLD = """\
format = 1
name = "Tarn"  # the first
[plan]
nights = "62 h"  # three
[[power.cell]]
kind = "alkaline"
"""


def test_an_older_file_is_brought_forward(later):
    """By as many steps as its format is behind."""
    assert read_rig(OLD).stated == {
        "plan.duration": Stated(62 * 3600.0),
        "power.supply.1.battery_kind": Stated("alkaline"),
    }
    assert 'duration = "62 h"' in write_rig(read_rig(OLD))
    assert write_rig(read_rig(OLD)).startswith("format = 3\n")


def test_a_name_counts_from_its_own_format_on(later):
    """A file of format 2 never had the name of format 1."""
    assert faults(OLD.replace("format = 1", "format = 2")) == [
        (4, "plan.nights", "A rig has no such entry."),
        (5, "power.cell", "A rig has no such entry."),
    ]


def test_an_older_file_is_changed_in_its_own_words(later):
    """Its comments outlive the change of format."""
    assert edit_rig(OLD, "plan.duration", "86 h") == OLD.replace("62 h", "86 h")
    assert edit_rig(OLD, "plan.duration", None) == OLD.replace('nights = "62 h"  # three\n', "")


def test_an_entry_by_its_old_and_its_new_name_is_stated_twice(later):
    """Neither is preferred."""
    [(line, key, message)] = faults(OLD.replace("nights", 'duration = "3 d"\nnights'))

    assert (line, key) == (5, "plan.duration")
    assert "twice" in message


def test_no_name_is_used_again():
    """An entry's old name stays its own, or an old file would say something else today."""
    old = [name for step in formats.RENAMED.values() for name in step]

    assert len(set(old)) == len(old)
    assert not set(old) & set(ENTRIES)
    assert set(formats.RENAMED) == set(range(1, formats.FORMAT))


def test_a_rig_of_nothing_is_a_file_too():
    """A name is all that a rig needs."""
    assert read_rig(write_rig(Rig("x"))) == Rig("x")


def test_the_chapter_shows_a_file_that_is_read_and_the_faults_that_are_told():
    """docs/rig/file.md prints both; a fault that is worded anew must be printed anew."""
    chapter = (DOCS / "rig" / "file.md").read_text(encoding="utf-8")
    good, bad = re.findall(r"```toml\n(.*?)```", chapter, re.DOTALL)
    [printed] = re.findall(r"```text\n(.*?)```", chapter, re.DOTALL)

    assert read_rig(good).name == "Tarn, three nights"
    with pytest.raises(RigFileErrors) as why:
        read_rig(bad)
    assert str(why.value).replace("\u00a0", " ") == printed.strip()
