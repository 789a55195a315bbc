"""The worked examples: one TOML file a subject, one table an example, computed by the core.

The group, its waters and every measured value are invented. Inputs not named take the calculator's
default with its tolerance; a value given without ± is exact.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from calculators.bridge import call
from calculators.declare import Input, Log, Number
from calculators.entries import split_tolerance
from calculators.errors import InputError
from calculators.fills import expand
from calculators.registry import CALCULATORS
from site_src.paths import DOCS
from site_src.toml_folder import TwiceError, once

FOLDER = DOCS / "examples"


class BadExample(ValueError):
    """An example that cannot be used; the message names it and what is wrong."""


@dataclass(frozen=True)
class Worked:
    """Values for a calculator, as texts, with the core's answer to them."""

    decl: dict[str, Any]
    fields: dict[str, str]
    tolerances: dict[str, str]
    answer: dict[str, Any]

    @property
    def link(self) -> str:
        """The calculator's page with these values, relative to the root of the site."""
        return f"{self.decl['page']}{self.answer['link']}"

    def output(self, name: str) -> dict[str, Any] | None:
        """The output of this name, if there is one."""
        return next((o for o in self.answer["outputs"] if o["name"] == name), None)


@dataclass(frozen=True)
class Example:
    """One worked example of the handbook."""

    name: str
    title: str
    page: str
    story: str
    worked: Worked


def ask(request: dict[str, Any]) -> dict[str, Any]:
    """Ask the core as the page does; anything but an answer is raised."""
    answer: dict[str, Any] = json.loads(call(json.dumps(request)))
    if not answer["ok"]:
        errors = [error["message"] for error in answer.get("errors", [])]
        raise BadExample("; ".join(errors) or answer["defect"])
    return answer


@cache
def declarations() -> dict[str, dict[str, Any]]:
    """Every calculator's declaration by its id."""
    return {decl["id"]: decl for decl in ask({"op": "describe"})["calculators"]}


def work(calculator: str, given: dict[str, str]) -> Worked:
    """The answer for these inputs (``"4.1 nF ± 20 %"``); inputs not given take their defaults."""
    if calculator not in CALCULATORS:
        raise BadExample(f"“{calculator}” is not a calculator")
    card = CALCULATORS[calculator]
    try:
        given = expand(card, given)
    except InputError as refused:
        raise BadExample(refused.message) from refused
    texts = {key: _default(item) for key, item in card.shape(given).inputs.items()} | given
    logs = {key for key, item in card.inputs_by_name.items() if isinstance(item, Log)}
    parts = {k: (text, "") if k in logs else split_tolerance(text) for k, text in texts.items()}
    fields = {key: value for key, (value, _) in parts.items()}
    tolerances = {key: tolerance for key, (_, tolerance) in parts.items()}
    as_typed = _answer(calculator, fields, tolerances, plot=False)
    form = ask({"op": "open_link", "hash": as_typed["link"], "system": "metric"})
    shown = {"fields": form["fields"], "tolerances": form["tolerances"]}
    answer = _answer(calculator, **shown, plot=True) | shown
    return Worked(declarations()[calculator], **shown, answer=answer)


def _answer(
    calculator: str, fields: dict[str, str], tolerances: dict[str, str], *, plot: bool
) -> dict[str, Any]:
    texts = {"fields": fields, "tolerances": tolerances}
    wanted = {"calculator": calculator, "system": "metric", "plot": plot, "solve": None}
    return ask({"op": "answer", **wanted, **texts})


@cache
def load(folder: Path = FOLDER) -> Mapping[str, Example]:
    """Every example by its name, worked out once; every fault of every example is named at once."""
    found: dict[str, Example] = {}
    faults = []
    try:
        tables = once(folder)
    except TwiceError as error:
        raise BadExample(f"examples, {error}") from error
    for name, table in tables.items():
        try:
            found[name] = _example(name, table)
        except BadExample as fault:
            faults.append(str(fault))
    if faults:
        raise BadExample("\n".join(faults))
    return found


def _example(name: str, table: dict[str, Any]) -> Example:
    try:
        worked = work(table["calculator"], table.get("inputs", {}))
        return Example(name, table["title"], table["page"], table["story"], worked)
    except KeyError as error:
        raise BadExample(f"example “{name}”: {error.args[0]} is missing") from error
    except BadExample as error:
        raise BadExample(f"example “{name}”: {error}") from error


def _default(item: Input) -> str:
    tolerance = item.tolerance if isinstance(item, Number) else ""
    return f"{item.default} ± {tolerance.lstrip('± ')}" if tolerance else item.default
