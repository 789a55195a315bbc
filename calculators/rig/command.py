"""The command line of a rig: ``python -m calculators rig check | compare …``."""

import argparse
import json
from pathlib import Path
from typing import Any

from calculators.errors import InputError
from calculators.evaluate import FormError
from calculators.rig.compare import comparison_json
from calculators.rig.files import RigFileErrors, read_rig
from calculators.rig.graph import Evaluated, evaluate_rig
from calculators.rig.model import Rig
from calculators.rig.pictures import ends_json
from calculators.rig.requirements import (
    open_json,
    open_questions,
    requirement_json,
    requirements,
    worst,
)
from calculators.rig.timeline import WORDS
from calculators.units import format_display

Json = dict[str, Any]

PASSED, FAILED = 0, 1
"""Exit codes of a rig that was checked; a file or value that is refused gives 2."""

CHECK_EPILOG = """\
Exit code 0: nothing is missed, and every question has an answer. What is not sure, since its range
crosses the limit, passes and is listed as “care”.
Exit code 1: something is missed, or a question has no answer: not stated, or refused.
Exit code 2: the file cannot be used; one line a fault on stderr, with its line and key."""

VERDICTS = {
    "good": "good",
    "care": "care: nothing is missed, but not everything is sure",
    "fail": "fail",
    "open": "open: not every question has an answer",
}


def add_commands(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add ``rig`` and what can be asked of one."""
    rig = commands.add_parser("rig", help="a whole rig, described in a TOML file")
    asked = rig.add_subparsers(required=True, metavar="check | compare")
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
    for command in (check, compare):
        command.add_argument("--json", action="store_true", help="print JSON, values in SI")


def read_file(path: str) -> Rig:
    """The rig in this file.

    Raises:
        FormError: One error a fault, named by file and line.
        InputError: The file cannot be read.
    """
    try:
        return read_rig(Path(path).read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(path, f"This file cannot be read as a text: {error}") from error
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


def _check(given: argparse.Namespace) -> int:
    rig = read_file(given.file)
    found = check_json(rig, evaluate_rig(rig))
    if given.json:
        print(json.dumps(found, ensure_ascii=False, indent=2, allow_nan=False))
    else:
        print("\n".join(_check_lines(found)))
    return PASSED if found["verdict"] in ("good", "care") else FAILED


def check_json(rig: Rig, nodes: Evaluated) -> Json:
    """The verdict on a rig as data."""
    rows = requirements(nodes)
    return {
        "name": rig.name,
        "note": rig.note,
        "verdict": worst(rows, nodes, rig.without),
        "requirements": [requirement_json(row, "metric") for row in rows],
        "open": [open_json(node) for node in open_questions(nodes)],
        "without": sorted(rig.without),
        "ends": ends_json(rig, nodes),
    }


def _check_lines(found: Json) -> list[str]:
    lines = [f"{found['name']}: {VERDICTS[found['verdict']]}", _count(found)]
    lines += ["It ends by: " + "; ".join(map(_end, found["ends"]))] if found["ends"] else []
    for row in found["requirements"]:
        lines += ["", f"{row['level']}  {row['title']}: {row['label']}", f"      {_value(row)}"]
        lines += [f"      {row['verdict']['text']}; limit {row['verdict']['limit_text']}"]
    for question in found["open"]:
        lines += ["", f"{question['state']}  {question['title']}"]
        lines += [f"      {what}" for what in question["missing"] + question["refused"]]
    return lines


def _count(found: Json) -> str:
    levels = [row["level"] for row in found["requirements"]]
    missed, unsure, met = (levels.count(level) for level in ("fail", "care", "good"))
    return f"{missed} missed, {unsure} not sure, {met} met, {len(found['open'])} without an answer"


def _end(end: Json) -> str:
    """One end of the recording; one that was not followed so far has no time."""
    at, low, high = (_time(end[name]) for name in ("at", "low", "high"))
    ranged = f" ({low} to {high})" if low != high else ""
    return f"{WORDS[end['name']]} after {at}{ranged}"


def _time(seconds: float | None) -> str:
    return "more than twice the plan" if seconds is None else format_display(seconds, "s", 2)


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
        print(json.dumps(found, ensure_ascii=False, indent=2, allow_nan=False))
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
