"""Does a page get of a rig what the core finds, in JSON, and by the entry's key what is refused?"""

import base64
import json
from typing import Any

import pytest

from calculators import EDITION
from calculators.bridge import call
from calculators.rig.drawn_words import MOST_EXACT
from calculators.rig.files import read_rig, write_rig
from calculators.rig.graph import FOR_VERDICT, evaluate_rig
from calculators.rig.model import read_entry
from calculators.rig.pictures import pictures_json
from calculators.rig.requirements import requirements
from calculators.rig.verdict import verdict_json
from tests.rig.made import whole_rig
from tests.rig.scenarios import scenario

RIG = whole_rig()
TOML = write_rig(RIG)


def ask(op: str, **given: Any) -> dict[str, Any]:
    """Ask as a page does."""
    reply: dict[str, Any] = json.loads(call(json.dumps({"op": op, "system": "metric", **given})))
    return reply


def test_a_check_lists_what_the_core_requires_in_its_order() -> None:
    """The same rows as the core's own, each with its words."""
    reply = ask("rig_check", toml=TOML)
    rows = requirements(evaluate_rig(RIG))
    assert [row["name"] for row in reply["requirements"]] == [row.name for row in rows]
    assert all(row["margin_text"] and row["verdict"]["text"] for row in reply["requirements"])
    stated = {e["name"] for s in reply["sections"] for e in s["entries"] if e["stated"]}
    assert stated == set(RIG.stated)


def test_an_edit_changes_one_entry_and_gives_the_verdict_of_the_new_text() -> None:
    """As if the new text had been checked anew."""
    edited = ask("rig_edit", toml=TOML, key="plan.depth", text="7", tolerance="")
    assert read_rig(edited["toml"]) == RIG.keep("plan.depth", read_entry("plan.depth", "7 m"))
    checked = ask("rig_check", toml=edited.pop("toml"))
    assert edited == checked
    dropped = ask("rig_edit", toml=TOML, key="plan.depth", text=" ", tolerance="")
    assert read_rig(dropped["toml"]) == RIG.drop("plan.depth")


@pytest.mark.parametrize(
    ("given", "name", "words"),
    [
        ({"key": "plan.depth", "text": "4 kg"}, "plan.depth", "4 kg"),
        ({"key": "plan.nothing", "text": "4 m"}, "plan.nothing", "not an entry"),
    ],
)
def test_what_is_refused_is_named_by_its_key(given: dict[str, str], name: str, words: str) -> None:
    """So that the page marks its field."""
    reply = ask("rig_edit", toml=TOML, tolerance="", **given)
    assert not reply["ok"]
    (error,) = reply["errors"]
    assert error["name"] == name
    assert words in error["message"]


def test_a_verdict_needs_no_calculator_that_is_not_required_and_gives_nothing() -> None:
    """What is left out of it changes neither verdict nor pictures."""
    whole = evaluate_rig(RIG)
    judged = {name: node for name, node in whole.items() if name in FOR_VERDICT}
    assert len(judged) < len(whole)
    reply = ask("rig_check", toml=TOML)
    for shown, wanted in (
        (reply["pictures"], pictures_json(RIG, whole, "metric")),
        (reply["requirements"], verdict_json(RIG, whole, "metric")["requirements"]),
    ):
        assert shown == json.loads(json.dumps(wanted))


def test_a_file_is_refused_with_its_line() -> None:
    """Each fault where it stands."""
    reply = ask("rig_check", toml='format = 1\nname = "Mine"\n[plan]\ndepth = "4 kg"\n')
    assert [(e["line"], e["name"]) for e in reply["errors"]] == [(4, "plan.depth")]


def test_a_form_is_filled_and_kept_again() -> None:
    """What was filled in is nothing new; one change is one change."""
    fill = ask("rig_fill", toml=TOML, calculator="corner-frequency")["fill"]
    form = {"fields": dict(fill["fields"]), "tolerances": dict(fill["tolerances"])}
    kept = ask("rig_keep", toml=TOML, calculator="corner-frequency", **form)
    assert kept == {"ok": True, "toml": TOML, "changed": []}
    form["fields"]["element_capacitance"] = "6.8"
    kept = ask("rig_keep", toml=TOML, calculator="corner-frequency", **form)
    assert [change["key"] for change in kept["changed"]] == ["element.capacitance"]
    assert kept["changed"][0]["after"].startswith("6.8 nF")
    assert read_rig(kept["toml"]).stated["element.capacitance"].value == pytest.approx(6.8e-9)


def test_another_name_leaves_the_entries_and_the_comments() -> None:
    """So do a note, and questions that the rig does not have."""
    toml = TOML.replace("[plan]", "# by the pier\n[plan]", 1)
    renamed = ask("rig_rename", toml=toml, name="Other", without=["tube-under-pressure"])["toml"]
    rig = read_rig(renamed)
    assert (rig.name, rig.stated) == ("Other", RIG.stated)
    assert rig.without == {"tube-under-pressure"}
    assert "# by the pier" in renamed


def test_a_link_carries_the_whole_rig() -> None:
    """There and back."""
    link = ask("rig_link", toml=TOML)["link"]
    assert link.startswith("#rig?")
    opened = ask("rig_open", hash=link)
    assert read_rig(opened["toml"]) == RIG
    assert opened["notice"] is None
    older = ask("rig_open", hash=link.replace(f"edition={EDITION}", "edition=2025.3"))
    assert older["notice"]["text"].startswith("This link was made with edition 2025.3")


def test_draws_in_steps_are_the_draws_made_at_once() -> None:
    """And the same seed gives the same; too many are refused by name."""
    steps = [ask("rig_draws", toml=TOML, seed=1, draws=count) for count in (10, 20, 30)]
    ask("rig_draws", toml=TOML, seed=2, draws=1)
    assert steps[-1] == ask("rig_draws", toml=TOML, seed=1, draws=30)
    assert "of 30 drawn rigs" in steps[-1]["says"][0]
    refused = ask("rig_draws", toml=TOML, seed=1, draws=0)
    assert refused["errors"][0]["name"] == "draws"


def test_the_costliest_tolerances_are_drawn_without_in_steps_too() -> None:
    """After the draws of the same rig, in as few or as many steps; there are three at most."""
    toml = write_rig(scenario("weir-pool"))
    assert ask("rig_exact", toml=toml, seed=1, draws=10, which=0)["says"] == ""
    first = ask("rig_draws", toml=toml, seed=1, draws=200)["costs"][0].rpartition(":")[0]
    steps = [ask("rig_exact", toml=toml, seed=1, draws=n, which=0)["says"] for n in (20, 60)]
    assert [says.startswith(f"{first}, if it were exact: ") for says in steps] == [True, True]
    assert "of 60 drawn rigs" in steps[1]
    assert ask("rig_exact", toml=toml, seed=1, draws=20, which=0)["says"] == steps[0]
    assert ask("rig_exact", toml=toml, seed=1, draws=20, which=MOST_EXACT)["says"] == ""


def test_a_file_is_read_from_its_bytes() -> None:
    """One that is not UTF-8 is refused once, with its line."""
    data = base64.b64encode(TOML.encode()).decode()
    assert ask("rig_read", bytes=data)["toml"] == TOML
    wrong = base64.b64encode('format = 1\nname = "Ü-Ä-Ö"\n'.encode("latin-1")).decode()
    [error] = ask("rig_read", bytes=wrong)["errors"]
    assert error["line"] == 2


def test_two_rigs_are_compared_by_what_differs() -> None:
    """One entry, and what became of each requirement."""
    other = ask("rig_edit", toml=TOML, key="plan.depth", text="90", tolerance="")["toml"]
    reply = ask("rig_compare", toml=TOML, other=other)
    assert [row["key"] for row in reply["entries"]] == ["plan.depth"]
    assert "worse" in {row["change"] for row in reply["requirements"]}


def test_what_gives_an_entry_that_nobody_states_is_asked_for_too() -> None:
    """The batteries count through the time that they last, unless that time is stated."""
    capacity = "power.supply.1.capacity"
    assert asked_for(ask("rig_check", toml=TOML))[capacity]
    stated = ask("rig_edit", toml=TOML, key="power.runtime", text="90 h", tolerance="")
    assert not asked_for(stated)[capacity]


def asked_for(reply: dict[str, Any]) -> dict[str, bool]:
    """Whether each entry is asked for."""
    return {e["name"]: e["asked"] for s in reply["sections"] for e in s["entries"]}


@pytest.mark.parametrize("sheet", ["parts", "build", "field"])
def test_a_sheet_is_given_as_blocks(sheet: str) -> None:
    """Each says what it is; one that there is not is refused by name."""
    link = "https://example.org/rig/#rig?v=1"
    reply = ask("rig_sheet", toml=TOML, sheet=sheet, link=link)["sheet"]
    assert reply["rig"] == RIG.name
    assert all(block["block"] for block in reply["blocks"])
    assert ask("rig_sheet", toml=TOML, sheet="none", link="")["errors"][0]["name"] == "sheet"


def rows_shown(before: dict[str, Any], reply: dict[str, Any]) -> dict[str, Any]:
    """The verdict that a page has on show once it has put an answer together with what it had."""
    rows = {row["name"]: row for row in before["requirements"] + reply["requirements"]}
    return reply | {"requirements": [rows[name] for name in reply["order"]]}


def fields_shown(before: dict[str, Any], reply: dict[str, Any]) -> dict[str, Any]:
    """The same of its fields."""
    fields = {
        entry["name"]: entry
        for answer in (before, reply)
        for part in answer["sections"]
        for entry in part["entries"]
    }
    names = before if reply["since"] else reply
    parts = zip(reply["sections"], names["sections"], strict=True)
    return reply | {
        "sections": [
            part | {"entries": [fields[entry["name"]] for entry in whole["entries"]]}
            for part, whole in parts
        ]
    }


EDITS = [
    ("plan.depth", "7", ""),
    ("power.supply.2.capacity", "9", "10 %"),
    ("power.supply.2.capacity", "", ""),
    ("site.water_temperature", "", ""),
    ("site.water_temperature", "12", "1"),
]


def test_an_edit_sends_what_it_changed_and_the_page_has_what_a_check_gives() -> None:
    """Rows, fields and their order, also where a row of the rig comes and goes."""
    page = ask("rig_check", toml=TOML, known="")
    form = ask("rig_fields", toml=TOML, described=True, known="")
    assert page["since"] == form["since"] == ""
    toml = TOML
    for key, text, tolerance in EDITS:
        edit = {"key": key, "text": text, "tolerance": tolerance}
        reply = ask("rig_edit", toml=toml, known=page["mark"], **edit)
        toml = reply.pop("toml")
        page = rows_shown(page, reply)
        news = ask("rig_fields", toml=toml, described=True, known=form["mark"])
        form = fields_shown(form, news)
        whole = ask("rig_check", toml=toml)
        drawn = ask("rig_pictures", toml=toml)
        shown = page | {"sections": form["sections"], "pictures": drawn["pictures"]}
        assert {key: shown[key] for key in whole} == whole
    assert len(json.dumps([reply, news])) < len(json.dumps(whole)) / 2


def test_fields_come_described_once() -> None:
    """Labels, hints and options of an entry are what no edit changes."""
    whole, short = (
        ask("rig_fields", toml=TOML, described=described, known="")["sections"]
        for described in (True, False)
    )
    for part, less in zip(whole, short, strict=True):
        for entry, field in zip(part["entries"], less["entries"], strict=True):
            assert field == {name: entry[name] for name in field}
            assert "label" not in field
            assert entry["label"]


@pytest.mark.parametrize("known", ["", "another start of Python"])
def test_a_page_that_has_something_else_on_show_gets_everything(known: str) -> None:
    """Python may have started anew, or an answer was dropped."""
    ask("rig_check", toml=TOML, known="")
    reply = ask("rig_edit", toml=TOML, key="plan.depth", text="7", tolerance="", known=known)
    assert reply["since"] == ""
    assert [row["name"] for row in reply["requirements"]] == reply["order"]
    ask("rig_fields", toml=TOML, described=True, known="")
    form = ask("rig_fields", toml=TOML, described=True, known=known)
    assert form["since"] == ""
    assert form["sections"] == ask("rig_check", toml=TOML)["sections"]


def test_a_mark_holds_for_the_answer_that_was_sent_last_alone() -> None:
    """Two requests on their way at once: the second cannot build on the first."""
    first = ask("rig_check", toml=TOML, known="")
    edit = {"key": "plan.depth", "tolerance": "", "known": first["mark"]}
    second = ask("rig_edit", toml=TOML, text="7", **edit)
    third = ask("rig_edit", toml=TOML, text="8", **edit)
    assert second["since"] == first["mark"]
    assert third["since"] == ""
