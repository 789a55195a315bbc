"""Every number on a sheet is the rig's, and a sheet names what the rig does not say."""

import json
import re
from dataclasses import replace
from itertools import chain
from math import ceil
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings

from calculators import entries, units
from calculators.declare import Moment, Number, Output
from calculators.errors import InputError
from calculators.rig import hazards
from calculators.rig.build_steps import PLANS as STEPS
from calculators.rig.facts import Facts
from calculators.rig.graph import evaluate_rig
from calculators.rig.model import Rig, Stated
from calculators.rig.parts_list import PLANS as PARTS
from calculators.rig.sheet import (
    NONE_NEEDED,
    Code,
    Parts,
    Step,
    Ticks,
    Values,
    as_json,
    code,
)
from calculators.rig.sheet_file import BROWSERS, find_browser
from calculators.rig.sheet_page import sheet_html
from calculators.rig.sheets import NAMES, make_sheet
from site_src.paths import DOCS
from tests.rig.made import parts_of_it, whole_rig
from tests.rig.scenarios import scenario

WHOLE = whole_rig()
NODES = evaluate_rig(WHOLE)


def sheets(rig, nodes, system):
    """Every sheet of a rig."""
    return [make_sheet(name, rig, nodes, system) for name in NAMES]


DIGIT = re.compile(r"[0-9]")


def values_of(sheet):
    """Every value on a sheet."""
    for block in sheet.blocks:
        if isinstance(block, Parts):
            for part in block.parts:
                yield from part.values
                yield from [part.quantity] if part.quantity else []
        elif isinstance(block, Step):
            yield from (*block.values, *block.proof)
        elif isinstance(block, Values):
            yield from block.values


def unknown_of(sheet):
    """Every sentence on what is not known."""
    for block in sheet.blocks:
        owners = block.parts if isinstance(block, Parts) else [block]
        yield from chain.from_iterable(getattr(owner, "unknown", ()) for owner in owners)


def in_node(source, nodes):
    """Value, range and declaration of what a value on a sheet says it is."""
    card, key = source.split(".")
    node = nodes[card]
    if key in node.shape.outputs:
        ends = node.spread.low[key], node.spread.high[key]
        return node.results[key], ends, node.shape.outputs[key]
    value = node.given.values[key]
    return value, node.given.spans.get(key, (value, value)), node.shape.inputs[key]


def first_number(text, item, system):
    """What the text before tolerance, range and reference means, SI; a time may have two units."""
    main = re.split(r" ±| \+| \(| re ", text)[0]
    unit = entries.split_reference(units.display_unit(item.unit, system))[0]
    if item.si_unit == "s":
        return sum(
            units.parse(piece, "s", name="", label="") for piece in re.findall(r"\S+\s\S+", main)
        )
    return units.parse(main, unit or item.unit, name="", label="")


def rounding(item):
    """By how large a part a shown number may differ from its value."""
    digits = item.digits if isinstance(item, Output) else 6
    return 0.03 if item.si_unit == "s" else 5.1 * 10**-digits


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("name", NAMES)
def test_every_number_is_that_of_the_answer_or_entry_it_names(name, system):
    checked = 0
    for value in values_of(make_sheet(name, WHOLE, NODES, system)):
        wanted, (low, high), item = in_node(value.source, NODES)
        if not isinstance(item, Number | Output) or isinstance(item, Moment):
            continue
        if value.text == NONE_NEEDED or value.text.startswith("up to"):
            assert low <= 0
        elif "whole units" in value.label:
            assert int(value.text) == ceil(high)
        else:
            found = first_number(value.text, item, system)
            assert found == pytest.approx(wanted, rel=rounding(item), abs=0), value
            checked += 1
    assert checked > 20


@pytest.mark.parametrize("name", NAMES)
def test_what_is_stated_names_its_entry_and_the_rig_has_it(name):
    for value in values_of(make_sheet(name, WHOLE, NODES, "metric")):
        if value.entry:
            card, key = value.source.split(".")
            assert NODES[card].stated[key] == value.entry
            assert value.entry in WHOLE.stated


def test_words_of_steps_and_ticks_hold_no_numbers():
    """A number that stands in a step's words would be nobody's."""
    for step in STEPS:
        assert not DIGIT.search(" ".join((*step.todo, *step.tests, step.title)))
    for sheet in sheets(WHOLE, NODES, "metric"):
        for block in sheet.blocks:
            words = (*getattr(block, "items", ()), *getattr(block, "fields", ()))
            assert not DIGIT.search(" ".join(words))


def test_a_label_stands_alone():
    for sheet in sheets(WHOLE, NODES, "metric"):
        assert not [v for v in values_of(sheet) if v.label.startswith("…") or not v.label]


def test_steps_come_in_the_order_of_the_work_with_their_chapters():
    build = make_sheet("build", WHOLE, NODES, "metric")
    steps = [block for block in build.blocks if isinstance(block, Step)]
    assert [step.title.split(":")[0] for step in steps] == [
        "Element", "Front end", "Cable", "Potting", "Case", "Seals", "Seals", "Leak test",
        "Fitting it all in", "Ballast, line and anchor",
    ]  # fmt: skip
    for step in steps:
        assert (DOCS / step.page).is_file()
        assert step.cautions
        assert step.tests
        assert step.todo


def test_a_whole_rig_leaves_nothing_open():
    for sheet in sheets(WHOLE, NODES, "metric"):
        assert list(unknown_of(sheet)) == []


def test_a_step_with_a_missing_entry_says_so_and_shows_no_guess():
    rig = WHOLE.drop("potting.parts_a")
    nodes = evaluate_rig(rig, NODES)
    build = make_sheet("build", rig, nodes, "metric")
    potting = next(s for s in build.blocks if isinstance(s, Step) and s.title == "Potting")
    assert any(said.startswith("Not stated in this rig: Parts of A") for said in potting.unknown)
    assert any(
        "Part A for each pour" in said and "not stated in this rig: potting: Parts of A" in said
        for said in potting.unknown
    )
    shown = {value.source for value in potting.values}
    assert shown.isdisjoint({"resin-batch.parts_a", "resin-batch.mass_a", "resin-batch.mass_b"})
    assert "resin-batch.parts_b" in shown


def test_a_question_that_the_rig_does_not_have_has_no_part_and_no_step():
    rig = replace(WHOLE, without=frozenset({"tube-under-pressure", "mooring-load"}))
    nodes = evaluate_rig(rig, NODES)
    for sheet in sheets(rig, nodes, "metric"):
        cards = {value.source.split(".")[0] for value in values_of(sheet)}
        assert cards.isdisjoint({"tube-under-pressure", "mooring-load"})
        assert not any("ube" in said for said in unknown_of(sheet))


def test_a_supply_in_each_row_is_a_part_of_its_own():
    keys = [key for key in WHOLE.stated if key.startswith("power.supply.1.")]
    rig = WHOLE
    for key in keys:
        rig = rig.keep(key.replace(".1.", ".2."), WHOLE.stated[key])
    rig = rig.keep("power.supply.2.capacity", Stated(4.5 * 3600))
    parts = make_sheet("parts", rig, evaluate_rig(rig, NODES), "metric")
    power = next(block for block in parts.blocks if block.title == "Power")
    second = next(part for part in power.parts if part.name == "Supply, 2")
    capacity = next(v for v in second.values if v.source == "runtime.battery_capacity_2")
    assert capacity.text.replace("\u00a0", " ") == "4.5 Ah"
    assert capacity.label == "Rated capacity"


def test_a_mass_below_zero_is_none_needed():
    wanted = WHOLE.keep("ballast.wanted_weight", Stated(-2.0))
    nodes = evaluate_rig(wanted, NODES)
    parts = make_sheet("parts", wanted, nodes, "metric")
    ballast = next(p for b in parts.blocks for p in b.parts if p.name == "Ballast")
    assert nodes["ballast"].spread.high["ballast_mass"] < 0
    assert ballast.quantity.text == NONE_NEEDED


def test_plans_ask_for_what_there_is():
    """A calculator or key that is misspelt would be silently unknown in every rig."""
    asked = [ask for plan in PARTS for ask in (*plan.asked, plan.quantity) if ask]
    asked += [ask for plan in STEPS for ask in (*plan.asked, *plan.proof)]
    for ask in asked:
        shape = NODES[ask.card].shape
        assert ask.key in {**shape.inputs, **shape.outputs}, ask


# --- cautions


def test_cautions_of_the_work_are_in_the_words_of_the_safety_page():
    page = (DOCS / "safety.md").read_text(encoding="utf-8")
    plain = re.sub(r"\s*\[@[a-z0-9-]+\]|\*\*", "", page)
    plain = re.sub(r"\s+", " ", plain)
    words = [value for value in vars(hazards).values() if isinstance(value, hazards.Hazard)]
    assert len(words) >= 5
    for hazard in words:
        assert f'!!! caution "{hazard.title}"' in plain
        for sentence in re.split(r"(?<=\.) ", hazard.text):
            assert sentence.rstrip(".") in plain, sentence
    assert hazards.LAST_WORD in plain


def test_a_caution_stands_at_its_step_only_while_it_holds():
    warm = make_sheet("build", WHOLE, NODES, "metric")
    fitting = next(s for s in warm.blocks if isinstance(s, Step) and "Fitting" in s.title)
    for caution in NODES["runtime"].card.cautions:
        holds = caution.when(NODES["runtime"].given.values, NODES["runtime"].results)
        assert (caution.title in {c.title for c in fitting.cautions}) == holds


def test_every_sheet_for_a_hand_defers_to_local_rules():
    for name in ("build", "field"):
        assert hazards.LAST_WORD in make_sheet(name, WHOLE, NODES, "metric").lead


def ticks_of(rig):
    """Lists to tick on the field sheet of a rig: cautions and items by title."""
    sheet = make_sheet("field", rig, evaluate_rig(rig), "metric")
    return {
        block.title: ({c.title for c in block.cautions}, " ".join(block.items))
        for block in sheet.blocks
        if isinstance(block, Ticks)
    }


@pytest.mark.parametrize(("name", "ice"), [("under-ice", True), ("hand-held", False)])
def test_the_field_sheet_warns_of_ice_where_the_water_may_freeze(name, ice):
    cautions, _ = ticks_of(scenario(name))["Before leaving"]
    assert (hazards.ICE.title in cautions) == ice


def test_where_no_temperature_is_stated_ice_is_warned_of():
    cautions, _ = ticks_of(Rig("Nothing stated", {}))["Before leaving"]
    assert hazards.ICE.title in cautions


@pytest.mark.parametrize(("name", "moored"), [("tarn", True), ("hand-held", False)])
def test_a_rig_without_a_mooring_is_not_told_of_line_bottom_and_anchor(name, moored):
    ticks = ticks_of(scenario(name))
    for title, word in (("Before leaving", "On the bottom"), ("Recovery", "Anchor")):
        assert (word in ticks[title][1]) == moored
    assert "lowered" in ticks["Before leaving"][1]
    assert "Not opened here" in ticks["Recovery"][1]


@pytest.mark.parametrize("title", ["Cable", "Seals: cable through the wall"])
def test_where_something_is_washed_or_wiped_solvents_are_warned_of(title):
    step = next(s for s in STEPS if s.title == title)
    assert hazards.SOLVENTS in step.hazards


# --- link and data


def test_the_code_has_room_for_short_links_and_words_for_the_rest():
    short = code("https://example.org/rig/#rig?v=1", "Tarn")
    assert short.qr
    assert "“Tarn”" in short.words
    assert (short.size, code("x" * 2000, "Tarn").size) == ("small", "large")
    assert not code("", "Tarn").qr
    long = code("x" * 2500, "Tarn")
    assert not long.qr
    assert "2500" in long.words


def test_build_and_field_sheet_carry_the_code_of_their_rig():
    for name in ("build", "field"):
        sheet = make_sheet(name, WHOLE, NODES, "metric", "https://example.org/rig/#rig?v=1")
        assert [b.qr for b in sheet.blocks if isinstance(b, Code)] == [True]


def test_who_handles_an_anchor_is_warned_before_it_is_lowered():
    """In a rig without a mooring there is no line to be warned of."""
    moored = str(as_json(make_sheet("field", WHOLE, NODES, "metric")))
    assert hazards.LINES.title in moored
    held = replace(WHOLE, without=WHOLE.without | {"mooring-load"})
    assert hazards.LINES.title not in str(
        as_json(make_sheet("field", held, evaluate_rig(held), "metric"))
    )


def test_sheets_are_data_that_a_page_can_take():
    made = json.loads(json.dumps([as_json(sheet) for sheet in sheets(WHOLE, NODES, "us")]))
    assert [sheet["name"] for sheet in made] == list(NAMES)
    assert {block["block"] for sheet in made for block in sheet["blocks"]} == {
        "parts", "step", "values", "ticks", "write", "qr",
    }  # fmt: skip
    assert made[0] == json.loads(json.dumps(as_json(make_sheet("parts", WHOLE, NODES, "us"))))


def test_another_sheet_is_refused_by_name():
    with pytest.raises(InputError, match=r"“map” is no sheet\. There are: parts, build, field"):
        make_sheet("map", WHOLE, NODES, "metric")


@given(parts_of_it())
@settings(max_examples=20)
def test_whatever_is_missing_is_named_and_the_rest_stands(rig):
    nodes = evaluate_rig(rig, NODES)
    facts = Facts(rig, nodes)
    for name in ("parts", "build"):
        sheet = make_sheet(name, rig, nodes, "metric")
        for value in values_of(sheet):
            assert facts.fact(*value.source.split(".")) is not None
            assert "nan" not in value.text
        asked = {value.source for value in values_of(make_sheet(name, WHOLE, NODES, "metric"))}
        gone = asked - {value.source for value in values_of(sheet)}
        hidden = {source for source in gone if facts.find(*source.split(".")) is None}
        assert bool(gone - hidden) <= bool(list(unknown_of(sheet)))


# --- HTML


RIGS = {
    "whole": WHOLE,
    "empty": Rig("Nothing yet"),
    "hostile": replace(WHOLE, name='<script src="//x">&"\'', note="<b>"),
}


@pytest.mark.parametrize("which", RIGS)
@pytest.mark.parametrize("name", NAMES)
def test_html_is_well_formed_and_needs_nothing_from_elsewhere(name, which):
    rig = RIGS[which]
    html = sheet_html(make_sheet(name, rig, evaluate_rig(rig, NODES), "metric"))
    root = ElementTree.fromstring(html)
    assert root.find("head/title").text.endswith(rig.name)
    assert not [e for e in root.iter() if e.tag in ("script", "link", "img", "iframe", "object")]
    attributes = [(key, text) for e in root.iter() for key, text in e.items()]
    assert not [key for key, _ in attributes if key in ("src", "href") or key.startswith("on")]
    assert "http" not in html
    assert "url(" not in html
    assert "@import" not in html


def test_html_holds_every_value_and_caution():
    for sheet in sheets(WHOLE, NODES, "metric"):
        text = " ".join(ElementTree.fromstring(sheet_html(sheet)).itertext())
        for value in values_of(sheet):
            assert value.text in text
        for block in sheet.blocks:
            for caution in getattr(block, "cautions", ()):
                assert caution.text in text


def test_cautions_stand_before_what_is_done():
    html = sheet_html(make_sheet("build", WHOLE, NODES, "metric"))
    for step in html.split('<div class="step">')[1:]:
        assert step.index('class="caution"') < step.index("<ol>")


def test_without_a_browser_a_pdf_is_refused_in_words(monkeypatch):
    monkeypatch.setenv("PATH", "")
    with pytest.raises(InputError) as refused:
        find_browser()
    assert all(name in refused.value.message for name in BROWSERS)
    assert "Write HTML instead" in refused.value.message
