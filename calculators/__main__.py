"""The command line: ``python -m calculators list | show | run | rig | recording …``."""

import argparse
import json
import os
import sys
from errno import EBADF
from pathlib import Path
from typing import Any

from calculators import EDITION, entries
from calculators.declare import Calculator, Input, Log, Number, Written
from calculators.describe import describe
from calculators.errors import InputError
from calculators.evaluate import FormError, Given, read
from calculators.fills import expand
from calculators.present import answer, work
from calculators.registry import CALCULATORS, calculator
from calculators.rig import command as rig_command
from calculators.solve import solve_text

EPILOG = """\
A value may state its unit and its tolerance: element_capacitance="8.2nF±20%" (or ~20pct).
A number without a unit is SI. A value without a tolerance is exact. Inputs that are not named take
their default with its tolerance, as on the page: "show" lists both.
Rows after the first carry a number: load_current_2=30mA load_supply_2=2.
A log is read from a file: log=@tank.csv.
A date is written 2026-05-08, a time of day 21:30, a time zone +2, a latitude "61.5 N" or 61.5.
A material or part fills its inputs, with their spread: ceramic=navy-1 ("show" lists them)."""


REFUSED = 2
STOPPED, CUT_OFF = 130, 141
"""What a shell says of a program that SIGINT or SIGPIPE ends: 128 and the number of the signal."""


def main(arguments: list[str] | None = None) -> int:
    """Run one command; returns the exit code: 0, 1 for a rig that fails, 2 for what is refused."""
    try:
        return _run_command(arguments)
    except BrokenPipeError:  # the reader has seen enough, as "head" has; but not all of it
        _write_no_more()
        return CUT_OFF
    except KeyboardInterrupt:
        return STOPPED
    except OSError as error:  # files that are read or made refuse by name: this is the output
        _write_no_more()
        print(f"The answer cannot be written: {error.strerror}.", file=sys.stderr)
        return REFUSED


def _run_command(arguments: list[str] | None) -> int:
    """The exit code of one command, all that it prints being written."""
    try:
        given = _parser().parse_args(arguments)
        return given.command(given) or 0
    except FormError as refused:
        return _refuse(refused.errors)
    except InputError as error:
        return _refuse([error])
    finally:
        _flush()


def _flush() -> None:
    """Write what waits now, where a fault can still be told."""
    if sys.stdout is None:
        raise OSError(EBADF, os.strerror(EBADF))
    sys.stdout.flush()


def _write_no_more() -> None:
    """What still waits would fail once more when Python ends."""
    if sys.stdout is not None:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _refuse(errors: list[InputError]) -> int:
    """One line an error on stderr: the input, the value, what is accepted."""
    for error in errors:
        print(f"{error.name}: {' '.join(error.message.split())}", file=sys.stderr)
    return REFUSED


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m calculators", description=__doc__)
    parser.add_argument("--version", action="version", version=f"Wetside {EDITION}")
    commands = parser.add_subparsers(required=True, metavar="list | show | run | rig | recording")
    listing = commands.add_parser("list", help="every calculator and its question")
    listing.set_defaults(command=_list)
    show = commands.add_parser("show", help="inputs and outputs of one calculator")
    show.add_argument("id")
    show.set_defaults(command=_show)
    run = commands.add_parser(
        "run",
        help="calculate",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    run.add_argument("id")
    run.add_argument("values", nargs="*", metavar="name=value")
    run.add_argument("--solve", metavar="output=value", help="find an input for a wanted answer")
    run.add_argument("--for", dest="solve_for", metavar="input", help="the input to find")
    run.set_defaults(command=_run)
    run.add_argument("--export", metavar="name", help="print this export alone, such as netlist")
    rig_command.add_commands(commands)
    from calculators.recording import command as recording_command

    recording_command.add_commands(commands)
    for command in (listing, show, run):
        command.add_argument("--json", action="store_true", help="print JSON, values in SI")
    return parser


def _list(given: argparse.Namespace) -> None:
    if given.json:
        _print_json([describe(card) for card in CALCULATORS.values()])
        return
    for card in CALCULATORS.values():
        print(f"{card.id:20} {card.question}")


def _show(given: argparse.Namespace) -> None:
    card = calculator(given.id)
    if given.json:
        _print_json(describe(card))
        return
    print(f"{card.title}: {card.question}\n\nInputs")
    for item in card.inputs:
        print(f"  {item.name:28} {item.label}{f' (each {item.group})' if item.group else ''}")
        print(f"  {'':28} {_accepted(item)}")
    for fill in card.fills:
        print(f"  {fill.name:28} {fill.label}: fills {', '.join(fill.inputs)}")
        print(f"  {'':28} {', '.join(row.name for row in fill.rows)}")
    print("\nOutputs")
    for output in card.outputs:
        print(f"  {output.name:28} {output.label} ({output.si_unit or 'ratio'}): {output.help}")
    if card.exports:
        print("\nExports")
    for export in card.exports:
        print(f"  {export.name:28} {export.label} ({export.file})")


def _accepted(item: Input) -> str:
    if isinstance(item, Log):
        return f"@file, with rows of {item.accepted}"
    if isinstance(item, Number):
        tolerance = f" {item.tolerance}" if item.tolerance else ""
        return f"{item.accepted('metric')}; default {item.default}{tolerance}"
    if isinstance(item, Written):
        return f"{item.accepted}; default {item.default}"
    return f"{', '.join(option.value for option in item.options)}; default {item.default}"


def _run(given: argparse.Namespace) -> None:
    card = calculator(given.id)
    inputs, solved = _solved(card, _read(card, given.values), given.solve, given.solve_for)
    worked = work(card, inputs, "metric")
    shown = answer(worked, plot=False)
    if given.export is not None:
        print(_export(card, shown, given.export), end="")
        return
    if given.json:
        _print_json(_run_json(card, inputs, shown, solved))
        return
    if solved:
        print(f"{solved['input']} = {solved['text']}\n")
    _print_answer(shown)


def _print_answer(shown: dict[str, Any]) -> None:
    print("\n".join([*map(_line, shown["outputs"]), *shown["remarks"]]))
    for step in shown["working"]:
        print(f"\n{step['label']}")
        for line in step["lines"]:
            print("  " + "".join(segment["text"] for segment in line))
    for caution in shown["cautions"]:
        print(f"\nCaution: {caution['title']} {caution['text']}")


def _export(card: Calculator, shown: dict[str, Any], name: str) -> str:
    texts: dict[str, str] = {export["name"]: export["text"] for export in shown["exports"]}
    if name not in texts:
        there = ", ".join(texts) or "none"
        raise InputError("--export", f"{card.id} has no export “{name[:40]}”; it has: {there}.")
    return texts[name]


def _line(output: dict[str, Any]) -> str:
    text = f"{output['label']}: {output['text']}"
    if output["range_text"]:
        text += f" ({output['range_text']}"
        by = output["by"]
        text += f", mostly: {by['label']}, {by['share']:.0%})" if by else ")"
    return f"{text}; {output['verdict']['text']}" if output["verdict"] else text


def _read(card: Calculator, pairs: list[str]) -> Given:
    """Values and tolerances as given, the rest at their defaults with the tolerances of these."""
    given: dict[str, str] = {}
    for pair in pairs:
        name, equals, text = pair.partition("=")
        if not equals:
            raise InputError(name, f"“{pair[:40]}” is not understood. Give name=value.")
        if name in given:
            raise InputError(name, f"“{name[:40]}” is given twice.")
        given[name] = text
    parts = {key: _parts(card, key, text) for key, text in expand(card, given).items()}
    fields = {key: value for key, (value, _) in parts.items()}
    tolerances = {key: tolerance for key, (_, tolerance) in parts.items()}
    known = card.shape(fields).inputs
    assumed = {key: item.default for key, item in known.items()}
    usual = {
        key: item.tolerance
        for key, item in known.items()
        if isinstance(item, Number) and key not in fields
    }
    return read(card, assumed | fields, usual | tolerances, "metric", bare="si")


def _parts(card: Calculator, key: str, text: str) -> tuple[str, str]:
    """Value and tolerance; a log is read from the file that it names."""
    if not isinstance(card.inputs_by_name.get(key), Log):
        return entries.split_tolerance(text)
    if not text.startswith("@"):
        return text, ""
    try:
        return Path(text[1:]).read_text(encoding="utf-8"), ""
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(key, f"{text[1:]} cannot be read as a text: {error}") from error


def _solved(
    card: Calculator, given: Given, wanted: str | None, name: str | None
) -> tuple[Given, dict[str, Any] | None]:
    """The inputs with the one asked for replaced by its solution."""
    if wanted is None and name is None:
        return given, None
    if wanted is None or name is None:
        raise InputError("--solve", "--solve output=value and --for input go together.")
    output, _, text = wanted.partition("=")
    found = solve_text(card, given.values, output, text, name, "metric", bare="si")
    tolerances = {key: t for key, t in given.tolerances.items() if key != name}
    solved = {
        "input": name,
        "value": found.value,
        "unit": found.item.si_unit,
        "text": found.item.shown_text(found.value, "metric"),
    }
    return Given(given.values | {name: found.value}, tolerances), solved


def _run_json(
    card: Calculator, given: Given, shown: dict[str, Any], solved: dict[str, Any] | None
) -> dict[str, Any]:
    keys = card.shape(given.values).inputs
    reply: dict[str, Any] = {
        "calculator": card.id,
        "inputs": {
            key: {"value": value, "unit": keys[key].si_unit} for key, value in given.values.items()
        },
        "outputs": {
            o["name"]: {k: o[k] for k in ("value", "unit", "low", "high", "verdict")}
            for o in shown["outputs"]
        },
        "working": [
            {
                "label": step["label"],
                "formula": step["formula"],
                "lines": ["".join(segment["text"] for segment in line) for line in step["lines"]],
            }
            for step in shown["working"]
        ],
        "remarks": shown["remarks"],
        "cautions": shown["cautions"],
    }
    return reply | ({"solved": solved} if solved else {})


def _print_json(data: object) -> None:
    print(json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False))


if __name__ == "__main__":
    sys.exit(main())
