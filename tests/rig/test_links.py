"""A rig in a link: what it carries, how long it may be, and what nobody can smuggle in with one."""

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators import EDITION
from calculators.declare import Change
from calculators.errors import InputError
from calculators.evaluate import FormError
from calculators.registry import CALCULATORS
from calculators.rig import formats
from calculators.rig.files import read_rig
from calculators.rig.links import LONG, LONGEST, edition_notice, make_rig_link, parse_rig_link
from calculators.rig.model import Rig, Stated, read_entry
from calculators.rig.schema import ENTRIES, ROWS
from site_src.paths import DOCS
from tests.rig.drawn import rigs
from tests.rig.made import stated, whole_rig

TARN = Rig(
    "Tarn, three nights",
    {
        key: read_entry(key, text)
        for key, text in {
            "plan.duration": "62 h",
            "power.supply.2.battery_kind": "alkaline",
            "element.capacitance": "8.2 nF ± 20 %",
            "power.supply.1.battery_kind": "lithium-ion",
            "power.supply.1.capacity": "20 Ah +5/-10 %",
        }.items()
    },
    without=frozenset(("tube-under-pressure", "cable-seal")),
)
TARN_LINK = (
    f"#rig?v=1&edition={EDITION}&name=Tarn%2C%20three%20nights"
    "&without=cable-seal.tube-under-pressure"
    "&element.capacitance=8.2nF~20pct"
    "&power.supply.1.battery_kind=lithium-ion&power.supply.1.capacity=20Ah~5-10pct"
    "&power.supply.2.battery_kind=alkaline&plan.duration=62h"
)


def errors(link: str) -> list[tuple[str, str]]:
    """Name and message of all that is wrong with a link."""
    with pytest.raises((FormError, InputError)) as refused:
        parse_rig_link(link)
    why = refused.value
    found = why.errors if isinstance(why, FormError) else [why]
    return [(error.name, error.message) for error in found]


def test_a_link_of_a_small_rig_can_be_read():
    """Format and edition first, then its words, then every entry with its unit, in order."""
    link = make_rig_link(TARN)

    assert link.text == TARN_LINK
    assert link.notice == ""
    assert parse_rig_link(TARN_LINK).rig == TARN


@settings(max_examples=40, deadline=None)
@given(rigs())
def test_a_link_gives_back_the_rig_it_was_made_from(rig):
    """Every value to the last bit, every sign of the words; nothing that an address must encode."""
    link = make_rig_link(rig)

    assert parse_rig_link(link.text).rig == rig
    assert re.fullmatch(r"#rig\?[A-Za-z0-9.~_&=%$+/:-]*[A-Za-z0-9]", link.text)
    assert bool(link.notice) == (len(link.text) > LONG)


def test_a_rig_of_all_entries_still_fits_and_says_that_its_link_is_long():
    """In few signs, all of them of those that a square code holds cheaply."""
    link = make_rig_link(whole_rig())

    assert parse_rig_link(link.text).rig == whole_rig()
    assert LONG < len(link.text) <= LONGEST
    assert f"{len(link.text)} characters" in link.notice
    entries = link.text.partition("&entries=")[2]
    assert re.fullmatch(r"[0-9A-Z$+./:-]+", entries)


@pytest.mark.parametrize("file", sorted((DOCS / "rigs").glob("*.toml")), ids=lambda file: file.stem)
def test_every_rig_of_the_handbook_fits_a_link(file):
    """With room for what its owner adds; docs/rig/file.md says how long it may be."""
    rig = read_rig(file.read_text(encoding="utf-8"))
    link = make_rig_link(rig).text

    assert len(link) < 0.8 * LONGEST
    assert parse_rig_link(link).rig == rig


def test_the_chapter_says_how_long_a_link_may_be():
    """Both bounds, as docs/rig/file.md prints them."""
    chapter = (DOCS / "rig" / "file.md").read_text(encoding="utf-8")

    assert f"less than {LONG:,} characters".replace(",", " ") in chapter
    assert f"{LONGEST:,} at most".replace(",", " ") in chapter


def test_a_rig_that_no_link_holds_is_refused_with_its_length():
    """Every row of everything, and a long note: a file it must be."""
    rows = {
        entry.key(row): stated(entry)
        for entry in ENTRIES.values()
        for row in range(1, ROWS[entry.rows].most + 1 if entry.rows else 2)
    }
    with pytest.raises(InputError, match=rf"link of \d+ characters; up to {LONGEST}.*as a file"):
        make_rig_link(Rig("All", rows, note="ö" * 1500))


@pytest.mark.parametrize("name", ["Weir.", "Ice~", "pool_", "reed-", "+ & = # ? %41", "Größe 5 µm"])
def test_any_name_ends_in_a_letter_or_digit(name):
    """Programs that find links in a text leave a last point or dash out."""
    link = make_rig_link(Rig(name)).text

    assert link[-1].isalnum()
    assert parse_rig_link(link).rig == Rig(name)


@pytest.mark.parametrize(
    ("was", "becomes", "name", "message"),
    [
        ("8.2nF", "8.2", "element.capacitance", "has no unit"),
        ("8.2nF", "8.2kg", "element.capacitance", "mass"),
        ("8.2nF", "<script>", "element.capacitance", "not a number"),
        ("8.2nF", "1e400F", "element.capacitance", "too large"),
        ("8.2nF", "9" * 500, "element.capacitance", "no unit"),
        ("~20pct", "~200pct", "element.capacitance", "100 %"),
        ("alkaline", "coal", "power.supply.2.battery_kind", "is not one of"),
        ("supply.2", "supply.99", "power.supply.99.battery_kind", "numbered 1 to"),
        ("supply.2", "supply.0", "power.supply.0.battery_kind", "numbered 1 to"),
        ("supply.2", "supply.x", "power.supply.x.battery_kind", "numbered 1 to"),
        ("supply.2", "supply.1", "power.supply.1.battery_kind", "stands twice"),
        ("element.", "elephant.", "elephant.capacitance", "not an entry"),
        ("plan.duration", "colour", "link", "“colour” is not understood"),
        ("plan.duration", "__import__", "link", "“__import__” in the link is not understood"),
        ("plan.duration", "edition", "link", "“edition” stands twice"),
        (EDITION, "later", "link", "edition is not understood"),
        ("Tarn%2C", "Tarn%2", "name", "not understood"),
        ("Tarn%2C", "Tarn%FF", "name", "not understood"),
        ("Tarn%2C", "Tarn%00", "name", "cannot be shown"),
        ("Tarn%2C", "Tarn<b>", "name", "not understood"),
        ("&name=Tarn%2C%20three%20nights", "", "name", "needs a name"),
        ("cable-seal", "no-such", "without", "no question"),
    ],
)
def test_what_is_wrong_in_a_link_is_told_by_name(was, becomes, name, message):
    """An unknown name is an error, not noise; nothing missing is filled in."""
    assert was in TARN_LINK
    [(told, why)] = errors(TARN_LINK.replace(was, becomes, 1))

    assert told == name
    assert message in why


def test_everything_that_is_wrong_is_told_at_once():
    """By the order of the link."""
    link = TARN_LINK.replace("8.2nF", "8.2").replace("62h", "62").replace("cable-seal", "x")

    names = [name for name, _ in errors(link)]
    assert names == ["element.capacitance", "plan.duration", "without"]


@pytest.mark.parametrize(
    ("link", "message"),
    [
        ("", "no link of a rig"),
        ("#", "no link of a rig"),
        ("#rig", "no link of a rig"),
        ("#rig?name=x", "no link of a rig"),
        ("#rig?v=0&name=x", "no link of a rig"),
        ("#rig?v=" + "9" * 5000, "no link of a rig"),
        ("#corner-frequency?v=1&name=x", "no link of a rig"),
        ("#rig?v=2&name=x", "newer edition"),
        ("#rig?v=1&" + "&" * 2000, "no link of a rig"),
        ("#rig?v=1&name=" + "x" * LONGEST, f"up to {LONGEST} are read"),
    ],
)
def test_what_is_not_the_link_of_a_rig_is_refused_whole(link, message):
    """Bounds on length and parts, and the format first."""
    [(name, why)] = errors(link)

    assert name == "link"
    assert message in why


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=60) | st.binary(max_size=60).map(lambda data: data.decode("latin-1")))
def test_any_text_behind_the_format_gives_a_rig_or_our_error(text):
    """Nothing else is ever raised."""
    for link in (text, f"#rig?v=1&{text}", f"#rig?v=1&name=x&element.capacitance={text}"):
        try:
            parse_rig_link(link)
        except (FormError, InputError) as refused:
            why = refused
        else:
            why = None
        assert why is None or str(why)


def test_an_older_link_is_brought_forward(monkeypatch):
    """By the same steps as a file."""
    monkeypatch.setattr(formats, "FORMAT", 2)
    monkeypatch.setattr(formats, "RENAMED", {1: {"power.cell.kind": "power.supply.battery_kind"}})

    rig = parse_rig_link("#rig?v=1&name=x&power.cell.2.kind=alkaline").rig
    assert rig.stated == {"power.supply.2.battery_kind": Stated("alkaline")}
    assert make_rig_link(rig).text.startswith("#rig?v=2&")


def test_every_option_of_an_entry_may_stand_in_a_link():
    """And no entry is a log of measurements, for which a link of a rig has no room."""
    schema_kinds = {type(entry.item).__name__ for entry in ENTRIES.values()}
    options = [o.value for e in ENTRIES.values() for o in getattr(e.item, "options", ())]

    assert "Log" not in schema_kinds
    assert options
    assert all(re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9.-]*(?<![.-])", option) for option in options)


# Editions


def notice(link: str) -> str | None:
    """What is said of a link of another edition."""
    found = edition_notice(parse_rig_link(link))
    return found and found.text


def test_a_link_of_this_edition_says_nothing():
    assert notice(TARN_LINK) is None


@pytest.mark.parametrize(
    ("part", "called"),
    [("edition=2025.3&", "2025.3"), ("edition=2031.1&", "2031.1"), ("", "unknown")],
)
def test_another_edition_is_named_and_so_is_this_one(part, called):
    """Older, later, or one that does not say; in the words that a calculator's link has."""
    said = notice(TARN_LINK.replace(f"edition={EDITION}&", part))
    assert said.startswith(f"This link was made with edition {called}, this is {EDITION}.")
    assert said.endswith("No calculator has declared a change since.")


def test_what_has_changed_since_is_said_of_each_calculator_that_the_rig_has(monkeypatch):
    """By its title; not of one that is no question of this rig, and not of what is older."""
    changes = (Change(edition="2026.2", text="Both corners now count together."),)
    for card in ("corner-frequency", "cable-seal"):
        changed = replace(CALCULATORS[card], changes=changes)
        monkeypatch.setitem(CALCULATORS, card, changed)
    before, after = (TARN_LINK.replace(EDITION, edition) for edition in ("2026.1", "2026.3"))
    title = CALCULATORS["corner-frequency"].title
    assert notice(before).endswith(f"{title}: Both corners now count together.")
    assert notice(after).endswith("No calculator has declared a change since.")
