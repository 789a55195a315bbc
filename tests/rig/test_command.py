"""The command line of a rig, used as a user uses it."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from calculators.__main__ import main
from calculators.registry import CALCULATORS
from calculators.rig.change import changes
from calculators.rig.change_words import changes_json, ends_first_json
from calculators.rig.command import numbers_of
from calculators.rig.drawn_words import drawn_json, exact_words
from calculators.rig.draws import Draws
from calculators.rig.files import write_rig
from calculators.rig.graph import evaluate_rig
from calculators.rig.model import Rig, entry_words, read_entry
from calculators.rig.requirements import open_questions, requirements, worst
from tests.rig.scenarios import FOLDER, evaluated, scenario

TARN = scenario("tarn")
LID = "lid-under-pressure"


@pytest.fixture
def file(tmp_path):
    """Writes a rig to a file and gives its path."""

    def write(rig: Rig, name: str = "rig.toml") -> str:
        path = tmp_path / name
        path.write_text(write_rig(rig), encoding="utf-8")
        return str(path)

    return write


def only(*cards: str) -> Rig:
    """The tarn's rig, asked nothing but what these calculators ask."""
    asked = {card.id for card in CALCULATORS.values() if card.is_question}
    return Rig(TARN.name, TARN.stated, without=frozenset(asked - set(cards)))


def checked(path: str, capsys) -> tuple[int, dict]:
    """Exit code and JSON of a check."""
    code = main(["rig", "check", path, "--json"])
    return code, json.loads(capsys.readouterr().out)


@pytest.mark.parametrize(
    ("thickness", "verdict", "code"),
    [("12 mm ± 0.2 mm", "good", 0), ("6 mm ± 0.2 mm", "care", 0), ("3 mm ± 0.2 mm", "fail", 1)],
)
def test_the_exit_code_follows_the_verdict(file, capsys, thickness, verdict, code):
    """What is unsure passes, with its word; a lid half as thick is missed."""
    rig = only(LID).keep("case.lid_thickness", read_entry("case.lid_thickness", thickness))
    exit_code, found = checked(file(rig), capsys)
    assert found["verdict"] == verdict
    assert exit_code == code


def test_a_question_without_an_answer_does_not_pass(file, capsys):
    """It is named with what is not stated, and nothing is guessed for it."""
    code, found = checked(file(only(LID).drop("case.lid_thickness")), capsys)
    assert code == 1
    assert found["verdict"] == "open"
    assert found["requirements"] == []
    (question,) = found["open"]
    assert question["calculator"] == LID
    assert question["missing"] == ["case.lid_thickness"]


def test_the_check_tells_what_the_core_finds(file, capsys):
    """Every requirement in the core's order, every open question, and the verdict on all."""
    rig = TARN.drop("seals.gland_groove_depth")
    nodes = evaluate_rig(rig)
    rows = requirements(nodes)
    _, found = checked(file(rig), capsys)
    assert [row["name"] for row in found["requirements"]] == [row.name for row in rows]
    assert [row["margin"] for row in found["requirements"]] == [row.margin for row in rows]
    assert [q["calculator"] for q in found["open"]] == [
        node.card.id for node in open_questions(nodes)
    ]
    assert found["verdict"] == worst(rows, nodes, rig.without)


def test_the_text_has_value_range_limit_margin_and_what_dominates(file, capsys):
    """The words of the JSON, one requirement below the other."""
    path = file(only(LID))
    assert main(["rig", "check", path]) == 0
    text = capsys.readouterr().out
    _, found = checked(path, capsys)
    for row in found["requirements"]:
        words = [row[name] for name in ("level", "title", "label", "text", "range_text")]
        words += [row["margin_text"], row["by"]["label"], row["verdict"]["limit_text"]]
        assert [word for word in words if word not in text] == []


def test_what_ends_the_recording_first_stands_first(capsys):
    """By hand: the plan is 62 h; the bank lasts longer, the card far longer."""
    path = str(FOLDER / "tarn.toml")
    _, found = checked(path, capsys)
    assert [end["name"] for end in found["ends"]] == ["plan", "battery", "card"]
    assert found["ends"][0]["at"] == 62 * 3600
    assert found["ends"][1]["low"] > 62 * 3600


def test_what_each_end_leaves_is_told_the_earliest_first(capsys):
    lasts = ends_first_json(TARN, evaluated("tarn"), "metric")
    path = str(FOLDER / "tarn.toml")
    _, found = checked(path, capsys)
    assert found["lasts"] == lasts
    assert main(["rig", "check", path]) == 0
    text = capsys.readouterr().out
    places = [text.index(f"{end['label']}: {end['text']}") for end in lasts]
    assert places == sorted(places)


def test_help_says_what_the_exit_codes_mean(capsys):
    with pytest.raises(SystemExit):
        main(["rig", "check", "--help"])
    text = capsys.readouterr().out
    assert all(f"Exit code {code}:" in text for code in (0, 1, 2))


@pytest.mark.parametrize(
    ("line", "text", "key"),
    [
        (4, 'capacitance = "8.2 mm"', "element.capacitance"),
        (4, 'capacitance = "-8.2 nF"', "element.capacitance"),
        (4, 'nonsense = "8.2 nF"', "element.nonsense"),
        (4, "capacitance = ", ""),
    ],
)
def test_a_bad_file_is_one_line_a_fault_with_line_and_key_and_exit_two(
    tmp_path, capsys, line, text, key
):
    path = tmp_path / "bad.toml"
    path.write_text(f'format = 1\nname = "Bad"\n[element]\n{text}\n', encoding="utf-8")
    assert main(["rig", "check", str(path)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert len(err.strip().splitlines()) == 1
    assert err.startswith(f"{path}, line {line}: {key}")


def test_a_file_that_is_not_there_is_named(tmp_path, capsys):
    path = tmp_path / "nowhere.toml"
    assert main(["rig", "check", str(path)]) == 2
    assert capsys.readouterr().err.startswith(f"{path}: ")


def test_every_fault_of_a_file_is_told(tmp_path, capsys):
    path = tmp_path / "bad.toml"
    head = 'format = 1\nname = "Bad"\n'
    path.write_text(f'{head}[element]\ncapacitance = "1 m"\n[case]\nlid = "oval"\n', "utf-8")
    assert main(["rig", "check", str(path)]) == 2
    first, second = capsys.readouterr().err.strip().splitlines()
    assert "line 4: element.capacitance" in first
    assert "line 6: case.lid" in second


def test_compare_shows_both_values_and_both_margins(file, capsys):
    key = "case.lid_thickness"
    thick = Rig("Thick lid", TARN.stated, without=TARN.without).keep(key, read_entry(key, "9 mm"))
    assert main(["rig", "compare", file(TARN, "a.toml"), file(thick, "b.toml")]) == 0
    text = capsys.readouterr().out
    assert f"{TARN.name}  →  Thick lid" in text
    assert f"case.lid_thickness: {entry_words(key, TARN.stated[key])} → 9\u00a0mm" in text
    assert "Better" in text
    assert "Worse" not in text


def test_compare_as_json_is_what_compare_gives(file, capsys):
    paths = file(TARN, "a.toml"), file(TARN.drop("case.lid_thickness"), "b.toml")
    assert main(["rig", "compare", *paths, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert [entry["key"] for entry in found["entries"]] == ["case.lid_thickness"]
    gone = [row for row in found["requirements"] if row["change"] == "first only"]
    assert {row["calculator"] for row in gone} == {LID}


def test_the_module_runs_from_a_shell(tmp_path):
    """Exit codes reach the shell."""
    path = tmp_path / "empty.toml"
    path.write_text('format = 1\nname = "Nothing stated"\n', encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "calculators", "rig", "check", str(path)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=Path(__file__).parents[2],
        env={"PYTHONUTF8": "1", "PATH": "/usr/bin:/bin"},
    )
    assert done.returncode == 1
    assert done.stderr == ""
    assert "not stated" in done.stdout


@pytest.fixture(scope="module")
def first_corner():
    """What the core finds for the corner of the rig under ice as first planned."""
    rig, nodes = scenario("under-ice-first"), evaluated("under-ice-first")
    return numbers_of(list(changes(rig, nodes, "corner-frequency.combined_corner")))


ASK_CORNER = [
    "rig", "changes", str(FOLDER / "under-ice-first.toml"), "corner-frequency.combined_corner",
]  # fmt: skip


def test_changes_are_what_the_core_finds_with_what_they_break_and_mend(capsys, first_corner):
    assert main([*ASK_CORNER, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["changes"] == first_corner
    assert main(ASK_CORNER) == 0
    text = capsys.readouterr().out
    rig, nodes = scenario("under-ice-first"), evaluated("under-ice-first")
    said = changes_json(rig, nodes, "corner-frequency.combined_corner", "metric")["changes"]
    assert len(said) == len(first_corner) > 1
    for change in said:
        assert all(words in text for words in (change["says"], *change["breaks"], *change["mends"]))


def test_a_larger_bias_resistor_mends_the_corner(first_corner):
    """Physics: 220 kΩ gives some 400 Hz, so for 200 Hz it takes twice that and its tolerance."""
    (found,) = (c for c in first_corner if "front_end.bias_resistance" in c["stated"])
    stated = read_entry("front_end.bias_resistance", found["stated"]["front_end.bias_resistance"])
    assert 440e3 < stated.value < 600e3


def test_a_larger_battery_is_no_smaller_wish():
    """The limit of the schedule is what the batteries last, and that is the rig's own."""
    rig, nodes = scenario("under-ice-first"), evaluated("under-ice-first")
    found = numbers_of(list(changes(rig, nodes, "deployment-window.battery_time_used")))
    wishes = {key: change["gives_way"] for change in found for key in change["stated"]}
    assert wishes["power.supply.1.capacity"] is False
    assert wishes["power.load.1.current"] is False


def test_what_is_met_needs_no_change_and_what_is_not_required_is_refused(capsys):
    file = str(FOLDER / "under-ice.toml")
    assert main(["rig", "changes", file, "corner-frequency.combined_corner"]) == 0
    assert "nothing has to be changed" in capsys.readouterr().out
    assert main(["rig", "changes", file, "corner-frequency.colour"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert len(err.strip().splitlines()) == 1


def test_draws_say_how_likely_it_is_and_what_decides(capsys):
    """What the core draws with this seed, as JSON and as text."""
    path = str(FOLDER / "tarn.toml")
    draws = Draws(TARN, evaluated("tarn"), 3).more(40)
    drawn, said = draws.drawn, drawn_json(draws)
    assert main(["rig", "draws", path, "--count", "40", "--seed", "3", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["draws"] == 40
    assert found["all_met"]["probability"] == drawn.all_met.share
    assert (found["all_met"]["low"], found["all_met"]["high"]) == drawn.all_met.ends
    assert found["missed"] == drawn.missed
    assert [cost["label"] for cost in found["costs"]] == [cost.label for cost in drawn.costs]
    assert main(["rig", "draws", path, "--count", "40", "--seed", "3"]) == 0
    text = capsys.readouterr().out
    assert "40 draws, seed 3" in text
    exact = exact_words(draws, 40)
    assert main(["rig", "draws", path, "--count", "40", "--seed", "3", "--exact", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["if_exact"] == exact
    assert said["missed"]
    assert [
        line for key in ("says", "missed", "costs") for line in said[key] if line not in text
    ] == []


@pytest.mark.parametrize("count", ["0", "-3", "1000000"])
def test_draws_that_are_not_possible_are_refused_by_name(capsys, count):
    assert main(["rig", "draws", str(FOLDER / "tarn.toml"), f"--count={count}"]) == 2
    assert capsys.readouterr().err.startswith("--count: ")


def test_a_sheet_is_written_and_its_path_is_told(tmp_path, capsys):
    """It holds the rig's name, and is the sheet that was asked for."""
    target, bare = tmp_path / "field.html", tmp_path / "bare.html"
    ask = ["rig", "sheet", str(FOLDER / "hand-held.toml"), "--to", "html", "--out"]
    assert main([*ask, str(bare)]) == 0
    assert capsys.readouterr().out.strip() == str(bare)
    assert scenario("hand-held").name in bare.read_text(encoding="utf-8")
    assert main([*ask, str(target), "--sheet", "parts"]) == 0
    assert target.read_text(encoding="utf-8") != bare.read_text(encoding="utf-8")


def test_a_sheet_that_cannot_be_written_is_refused(tmp_path, capsys):
    target = tmp_path / "no-such-folder" / "field.html"
    ask = ["rig", "sheet", str(FOLDER / "hand-held.toml"), "--to", "html", "--out", str(target)]
    assert main(ask) == 2
    assert capsys.readouterr().err.startswith("--out: ")
