"""A calculator's declaration as plain data: for the page, for other programs, for ``show``."""

from collections.abc import Mapping
from contextlib import suppress
from typing import Any

from calculators import EDITION, LINK_FORMAT
from calculators.declare import (
    Calculator,
    Choice,
    Fill,
    Input,
    Log,
    Number,
    Shown,
    Value,
    Written,
)
from calculators.errors import InputError
from calculators.evaluate import defaults, evaluate
from calculators.formula import Formula, tracing
from calculators.registry import CALCULATORS
from calculators.units.showing import MINUS

Json = dict[str, Any]

SYSTEMS = ("metric", "us")


def describe_all() -> Json:
    """Every declaration, with the edition and the link format."""
    return {
        "edition": EDITION,
        "format": LINK_FORMAT,
        "calculators": [describe(card) for card in CALCULATORS.values()],
    }


def describe(card: Calculator) -> Json:
    """One declaration."""
    return {
        "id": card.id,
        "title": card.title,
        "question": card.question,
        "stage": card.stage,
        "primary": card.outputs[0].name,
        "page": f"calculators/{card.id}/",
        "groups": [
            {
                "name": g.name,
                "label": g.label,
                "most": g.most,
                "add_label": f"Add {_with_article(g.label.lower())}",
                "remove_label": f"Remove the last {g.label.lower()}",
            }
            for g in card.groups
        ],
        "inputs": [describe_input(item) for item in card.inputs],
        "outputs": [
            {
                "name": o.name,
                "label": o.label,
                "si_unit": o.si_unit,
                "group": o.group or None,
                "help": o.help,
            }
            for o in card.outputs
        ],
        "formulas": [_formula(f) for f in formulas_of(card)],
        "cautions": [{"title": c.title, "text": c.text} for c in card.cautions],
        "fills": [_fill(fill) for fill in card.fills],
        "exports": [{"name": e.name, "label": e.label, "file": e.file} for e in card.exports],
    }


def formulas_of(card: Calculator) -> list[Formula]:
    """The formulas that the calculator uses, each once.

    Found by trying every option of every choice, and both ends of every number: some answers go
    another way there.
    """
    start = defaults(card)
    with tracing() as calls:
        evaluate(card, start)
        for item in card.inputs:
            for value in _turns(item):
                with suppress(InputError):  # the defaults need not go with every option
                    evaluate(card, start | _where_shown(item, start) | {item.name: value})
    return list({call.formula.id: call.formula for call in calls}.values())


def _where_shown(item: Input, start: Mapping[str, Value]) -> dict[str, Value]:
    """What a choice must be for an input to be asked for; nothing where it is asked for anyway."""
    if not item.shown or start.get(item.shown.input) in item.shown.values:
        return {}
    return {item.shown.input: item.shown.values[0]}


def _turns(item: Input) -> list[Value]:
    """Values at which an answer may be worked out another way."""
    if isinstance(item, Choice):
        return [item.read(option.value, item.name) for option in item.options]
    return [item.low_si, item.high_si] if isinstance(item, Number) else []


def describe_input(item: Input) -> Json:
    """One input as data."""
    common = {
        "name": item.name,
        "label": item.label,
        "group": item.group or None,
        "hint": item.full_hint if isinstance(item, Number) else item.hint,
        "si_unit": item.si_unit,
        "rig": item.rig,
        "shown_when": _shown(item.shown),
    }
    if isinstance(item, Choice):
        options = [{"value": o.value, "label": o.label} for o in item.options]
        return common | {"kind": "choice", "options": options, "default": item.default}
    if isinstance(item, Log):
        return common | {"kind": "log", "default": item.default, "accepted": item.accepted}
    if isinstance(item, Written):
        accepted = f"{item.accepted}: {item.why}" if item.why else item.accepted
        return common | {"kind": item.kind, "default": item.default, "accepted": accepted}
    return common | _number(item)


def _number(item: Number) -> Json:
    return {
        "kind": "number",
        "default": item.default_si,
        "low": item.low_si,
        "high": item.high_si,
        "why": item.why,
        "signed": item.low_si < 0,
        "integer": item.integer,
        "default_tolerance": item.tolerance.replace("/-", f"/{MINUS}"),
        **{
            system: {
                "unit": item.unit_shown(system),
                "default_text": item.field_text(item.default_si, system),
                "range_text": item.accepted(system),
            }
            for system in SYSTEMS
        },
    }


def _with_article(noun: str) -> str:
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"


def _fill(fill: Fill) -> Json:
    return {
        "name": fill.name,
        "label": fill.label,
        "table": fill.table.id,
        "inputs": list(fill.inputs),
        "options": [{"value": row.name, "label": row.label} for row in fill.rows],
    }


def _shown(shown: Shown | None) -> Json | None:
    return None if shown is None else {"input": shown.input, "is": list(shown.values)}


def _formula(formula: Formula) -> Json:
    return {
        "id": formula.id,
        "title": formula.title,
        "tex": formula.tex,
        "validity": formula.validity,
        "sources": list(formula.sources),
        "anchor": f"reference/ledger/#{formula.anchor}",
    }
