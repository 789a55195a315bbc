"""The command line of a rig: ``python -m calculators rig check FILE``, and what else is asked."""

import argparse
import json
from dataclasses import asdict
from pathlib import Path
from typing import Any

from calculators.errors import InputError
from calculators.evaluate import FormError
from calculators.rig.change import Change, changes, ordered
from calculators.rig.change_words import changes_json, ends_first_json
from calculators.rig.compare import comparison_json
from calculators.rig.drawn_words import drawn_json, exact_words
from calculators.rig.draws import Chance, Draws
from calculators.rig.files import RigFileErrors, read_rig, text_of
from calculators.rig.graph import evaluate_rig
from calculators.rig.links import make_rig_link
from calculators.rig.model import Rig, entry_text
from calculators.rig.requirements import requirement_json, requirements
from calculators.rig.sheet_file import write_html, write_pdf
from calculators.rig.sheet_page import sheet_html
from calculators.rig.sheets import NAMES, make_sheet
from calculators.rig.verdict import verdict_json

Json = dict[str, Any]

PASSED, FAILED = 0, 1
"""Exit codes of a rig that was checked; a file or value that is refused gives 2."""

MOST_DRAWS = 100_000

CHECK_EPILOG = """\
Exit code 0: nothing fails, and every question has an answer. What is not surely met passes and is
listed as “care”: its range crosses the limit, or it is missed and costs quality, not the rig.
Exit code 1: something fails, or a question has no answer: not stated, or refused.
Exit code 2: the file cannot be used; one line a fault on stderr, with its line and key."""

VERDICTS = {
    "good": "good",
    "care": "care: nothing fails, but not everything is surely met",
    "fail": "fail",
    "open": "open: not every question has an answer",
}


def add_commands(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add ``rig`` and what can be asked of one."""
    rig = commands.add_parser("rig", help="a whole rig, described in a TOML file")
    asked = rig.add_subparsers(required=True, metavar="check | compare | changes | draws | sheet")
    check = asked.add_parser(
        "check",
        help="what limits this rig, and by how much",
        epilog=CHECK_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    check.add_argument("file", metavar="FILE.toml")
    check.set_defaults(command=_check)
    compare = asked.add_parser("compare", help="two rigs side by side")
    compare.add_argument("first", metavar="A.toml")
    compare.add_argument("second", metavar="B.toml")
    compare.set_defaults(command=_compare)
    changes = asked.add_parser("changes", help="what single change mends a requirement")
    changes.add_argument("file", metavar="FILE.toml")
    changes.add_argument("requirement", help="its name, as in lid-under-pressure.depth_limit")
    changes.set_defaults(command=_changes)
    draws = asked.add_parser("draws", help="how likely it is that this rig reaches its end")
    draws.add_argument("file", metavar="FILE.toml")
    draws.add_argument("--count", type=int, default=2000, help="how many draws, 2000 if not named")
    draws.add_argument("--seed", type=int, default=1, help="the same seed gives the same draws")
    draws.add_argument("--exact", action="store_true", help="and if what costs most were exact")
    draws.set_defaults(command=_draws)
    _add_sheet(asked)
    for command in (check, compare, changes, draws):
        command.add_argument("--json", action="store_true", help="print JSON, values in SI")


def _add_sheet(asked: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    sheet = asked.add_parser("sheet", help="a sheet of this rig, to print")
    sheet.add_argument("file", metavar="FILE.toml")
    sheet.add_argument("--to", choices=("html", "pdf"), required=True)
    sheet.add_argument("--sheet", choices=NAMES, default="field", help="field if not named")
    sheet.add_argument("--out", metavar="PATH", help="FILE-SHEET.html or .pdf if not named")
    sheet.add_argument(
        "--address", default="", metavar="URL", help="of the rig's page, for the code on the sheet"
    )
    sheet.set_defaults(command=_sheet)


def read_file(path: str) -> Rig:
    """The rig in this file.

    Raises:
        FormError: One error a fault, named by file and line.
        InputError: The file cannot be read.
    """
    try:
        return read_rig(text_of(Path(path).read_bytes()))
    except OSError as error:
        raise InputError(path, f"This file cannot be read: {error}") from error
    except RigFileErrors as refused:
        raise FormError(
            [
                InputError(
                    f"{path}, line {fault.line}",
                    f"{fault.key}: {fault.message}" if fault.key else fault.message,
                )
                for fault in refused.faults
            ]
        ) from refused


def _print_json(found: Json) -> None:
    print(json.dumps(found, ensure_ascii=False, indent=2, allow_nan=False))


def _check(given: argparse.Namespace) -> int:
    rig = read_file(given.file)
    nodes = evaluate_rig(rig)
    found = verdict_json(rig, nodes, "metric") | {"lasts": ends_first_json(rig, nodes, "metric")}
    if given.json:
        _print_json(found)
    else:
        print("\n".join(_check_lines(found)))
    return PASSED if found["verdict"] in ("good", "care") else FAILED


def _check_lines(found: Json) -> list[str]:
    lines = [f"{found['name']}: {VERDICTS[found['verdict']]}", _count(found)]
    lines += ["", "What ends it, the earliest first"] if found["lasts"] else []
    lines += [f"  {end['title']}: {end['label']}: {end['text']}" for end in found["lasts"]]
    for row in found["requirements"]:
        lines += ["", *_row_lines(row)]
    for question in found["open"]:
        lines += ["", f"{question['state']}  {question['title']}"]
        lines += [f"      {what}" for what in question["missing"] + question["refused"]]
    return lines


def _row_lines(row: Json) -> list[str]:
    """A requirement: what it is, its value and margin, its limit."""
    moves = f" ({row['limit_range']})" if row["limit_range"] else ""
    return [
        f"{row['level']}  {row['title']}: {row['label']}",
        f"      {_value(row)}",
        f"      {row['verdict']['text']}; limit {row['verdict']['limit_text']}{moves}",
    ]


def _count(found: Json) -> str:
    outcomes = [row["outcome"] for row in found["requirements"]]
    failed, short, unsure, met = map(outcomes.count, ("fails", "short", "unsure", "holds"))
    return (
        f"{failed} failed, {f'{short} short, ' if short else ''}{unsure} not surely met, "
        f"{met} met, {len(found['open'])} without an answer"
    )


def _value(row: Json) -> str:
    """Value, range, margin, and what moves it most."""
    ranged = f" ({row['range_text']})" if row["range_text"] else ""
    by = f"; mostly: {row['by']['label']}, {row['by']['share']:.0%}" if row["by"] else ""
    return f"{row['text']}{ranged}: {row['margin_text']}{by}"


def _compare(given: argparse.Namespace) -> int:
    first, second = (
        (rig, evaluate_rig(rig)) for rig in map(read_file, (given.first, given.second))
    )
    found = comparison_json(first, second, "metric")
    if given.json:
        _print_json(found)
    else:
        print("\n".join(_compare_lines(found)))
    return PASSED


def _compare_lines(found: Json) -> list[str]:
    first, second = found["names"]
    lines = [f"{first}  →  {second}", "", "Stated otherwise"]
    lines += [
        f"  {entry['key']}: {' → '.join(text or 'not stated' for text in entry['texts'])}"
        for entry in found["entries"]
    ] or ["  nothing"]
    for change in ("worse", "better", "first only", "second only"):
        rows = [row for row in found["requirements"] if row["change"] == change]
        lines += ["", change.capitalize(), *map(_compared_line, rows)] if rows else []
    same = sum(row["change"] == "same" for row in found["requirements"])
    return [*lines, "", f"{same} requirements are the same in both."]


def _compared_line(row: Json) -> str:
    sides = " → ".join(
        f"{side['level']}, {side['margin_text']}" if side else "no answer" for side in row["sides"]
    )
    return f"  {row['title']}: {row['label']}: {sides}"


def _changes(given: argparse.Namespace) -> int:
    rig = read_file(given.file)
    nodes = evaluate_rig(rig)
    if given.json:
        found = numbers_of(list(changes(rig, nodes, given.requirement)))
        _print_json({"name": rig.name, "requirement": given.requirement, "changes": found})
        return PASSED
    said = changes_json(rig, nodes, given.requirement, "metric")
    row = next(r for r in requirements(nodes) if r.name == given.requirement)
    print("\n".join(_row_lines(requirement_json(row, "metric"))))
    if row.level == "good":
        print("\nIt is met: nothing has to be changed.")
    else:
        lines = [line for one in said["changes"] for line in _change_lines(one)]
        print("\n".join(lines or ["", said["none"]]))
    return PASSED


def numbers_of(changes: list[Change]) -> list[Json]:
    """Changes in order, for a program: what each sets, and what it breaks and mends by name."""
    return [
        {
            "label": change.label,
            "text": change.text,
            "stated": {key: entry_text(key, stated) for key, stated in change.stated.items()},
            "gives_way": change.gives_way,
            "breaks": [asdict(effect) for effect in change.breaks],
            "mends": [asdict(effect) for effect in change.mends],
        }
        for change in ordered(changes)
    ]


def _change_lines(change: Json) -> list[str]:
    lines = ["", change["says"] + ("; less is wanted then" if change["gives_way"] else "")]
    return lines + [f"      {effect}" for effect in change["breaks"] + change["mends"]]


def _draws(given: argparse.Namespace) -> int:
    if not 1 <= given.count <= MOST_DRAWS:
        why = f"{given.count} draws are not possible. Give 1 to {MOST_DRAWS}."
        raise InputError("--count", why)
    rig = read_file(given.file)
    draws = Draws(rig, evaluate_rig(rig), given.seed).more(given.count)
    exact = exact_words(draws, given.count) if given.exact else []
    if given.json:
        _print_json(draws_json(draws) | ({"if_exact": exact} if given.exact else {}))
    else:
        print("\n".join([*_draws_lines(draws), *([""] if exact else []), *exact]))
    return PASSED


def draws_json(draws: Draws) -> Json:
    """What the draws say as numbers; probabilities and shares from 0 to 1."""
    drawn = draws.drawn
    return {
        "name": draws.rig.name,
        "draws": draws.count,
        "seed": draws.seed,
        "reaches_end": _chance(drawn.reaches_end),
        "all_met": _chance(drawn.all_met),
        "missed": drawn.missed,
        "refused": {
            card: {"draws": count, "message": why} for card, (count, why) in drawn.refused.items()
        },
        "costs": [{"label": cost.label, "share": cost.share} for cost in drawn.costs],
        "end_costs": [{"label": cost.label, "share": cost.share} for cost in drawn.end_costs],
        "without_answer": list(drawn.unanswered),
    }


def _chance(chance: Chance) -> Json:
    low, high = chance.ends
    return {"probability": chance.share, "low": low, "high": high}


def _draws_lines(draws: Draws) -> list[str]:
    said = drawn_json(draws)
    lines = [f"{draws.rig.name}: {draws.count} draws, seed {draws.seed}", *said["says"]]
    for title, key in (("Missed", "missed"), ("What decides it", "costs")):
        lines += ["", title, *(f"  {line}" for line in said[key])] if said[key] else []
    return [*lines, "", said["unanswered"]] if said["unanswered"] else lines


def _sheet(given: argparse.Namespace) -> int:
    rig = read_file(given.file)
    link = f"{given.address}{make_rig_link(rig).text}" if given.address else ""
    html = sheet_html(make_sheet(given.sheet, rig, evaluate_rig(rig), "metric", link))
    target = Path(given.out or f"{Path(given.file).stem}-{given.sheet}.{given.to}")
    write = write_html if given.to == "html" else write_pdf
    try:
        write(html, target)
    except OSError as error:
        raise InputError("--out", f"{target} cannot be written: {error}") from error
    print(target)
    return PASSED
