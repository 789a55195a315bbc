"""The one door between a page and the core: a request in JSON, an answer in JSON."""

import json
from collections.abc import Callable
from typing import Any

from calculators import entries, units
from calculators.declare import Calculator, Input, Log, Number, Written
from calculators.describe import describe_all
from calculators.errors import InputError
from calculators.evaluate import FormError, Given, read
from calculators.fills import texts
from calculators.links import Link, edition_notice, make_link, parse_link, without_log
from calculators.logs import form_text
from calculators.present import answer, work
from calculators.registry import calculator
from calculators.rig import bridge_ops
from calculators.rig.reading import RigFileError
from calculators.solve import solve_text
from calculators.square_code import square_code

Json = dict[str, Any]

SOLVED_DIGITS = 6
"""Digits of a solved value that are put into its field."""


def call(request: str) -> str:
    """Answer one request of a page.

    Args:
        request: A JSON object with ``op``: describe, answer, open_link, convert, fill, step or qr.

    Returns:
        A JSON object with ``ok``. A refusal has ``errors``, each with the input's name; anything
        else that goes wrong is a defect of ours and is shown as one.
    """
    try:
        asked = json.loads(request)
        reply = {"ok": True, **OPERATIONS[asked["op"]](asked)}
    except FormError as refused:
        reply = {"ok": False, "errors": [error_json(error) for error in refused.errors]}
    except InputError as error:
        reply = {"ok": False, "errors": [error_json(error)]}
    except Exception as defect:  # the page must hear of it, whatever it is
        reply = {"ok": False, "defect": f"{type(defect).__name__}: {defect}"}
    return json.dumps(reply, ensure_ascii=False, allow_nan=False)


def error_json(error: InputError) -> Json:
    """A refusal as data; of a file, with its line."""
    line = {"line": error.line} if isinstance(error, RigFileError) else {}
    return {"name": error.name, "part": error.part, "message": error.message, **line}


def _describe(asked: Json) -> Json:
    return describe_all()


def _answer(asked: Json) -> Json:
    card = calculator(asked["calculator"])
    fields, system = dict(asked["fields"]), asked["system"]
    tolerances = dict(asked.get("tolerances") or {})
    given = read(card, fields, tolerances, system)
    solved = None
    if asked.get("solve"):
        solved = _solved(card, given, asked["solve"], system)
        fields[solved["input"]] = solved["text"]
        given = read(card, fields, tolerances, system)
    worked = work(card, given, system)
    return {
        "calculator": card.id,
        "fields": fields,
        "link": make_link(card, given, worked.results),
        "solved": solved,
        **answer(worked, plot=bool(asked.get("plot"))),
    }


def _solved(card: Calculator, given: Given, wanted: Json, system: str) -> Json:
    found = solve_text(
        card,
        given.values,
        wanted["output"],
        wanted["target"],
        wanted["input"],
        system,
        bare="form",
    )
    text = found.item.field_text(float(f"{found.value:.{SOLVED_DIGITS}g}"), system)
    return {"input": found.name, "text": text, "message": found.message}


def _open_link(asked: Json) -> Json:
    link = parse_link(asked["hash"])
    system = asked.get("system", "metric")
    errors = [*link.errors, *_logs_left_out(link)]
    notice = None
    try:
        given = read(link.card, link.fields, link.tolerances, system, bare="refused")
        notice = edition_notice(link, work(link.card, given, system).results, system)
    except FormError as refused:
        errors += refused.errors
    except InputError as error:
        errors.append(error)
    fields, tolerances = _link_texts(link, {error.name for error in errors}, system)
    return {
        "calculator": link.card.id,
        "fields": fields,
        "tolerances": tolerances,
        "errors": [error_json(error) for error in errors],
        "notice": notice and {"text": notice.text, "then": notice.then, "now": notice.now},
    }


def _logs_left_out(link: Link) -> list[InputError]:
    """What to say of logs that the link had no room for; their fields are emptied."""
    errors = []
    for name, item in link.card.inputs_by_name.items():
        rows = without_log(link.fields.get(name, "")) if isinstance(item, Log) else None
        if rows is not None:
            link.fields[name] = ""
            errors.append(
                InputError(
                    name,
                    f"{item.label}: this link was made from {rows} rows, too many for a link. "
                    "Paste them here, or choose the file.",
                )
            )
    return errors


def _link_texts(
    link: Link, refused: set[str], system: str
) -> tuple[dict[str, str], dict[str, str]]:
    """The link's texts as the form shows them; what is refused is shown as it came.

    An input that the link leaves out comes empty: a default would be a guess.
    """
    fields: dict[str, str] = {}
    tolerances: dict[str, str] = {}
    for key, item in link.card.shape(link.fields).inputs.items():
        fields[key] = link.fields.get(key, "")
        tolerances[key] = link.tolerances.get(key, "")
        if isinstance(item, Log):
            fields[key] = form_text(fields[key])
        elif key not in refused and isinstance(item, Written):
            fields[key] = item.field_text(item.read(fields[key], key))
        elif key not in refused and isinstance(item, Number):
            value = units.parse(fields[key], item.si_unit, name=key)
            fields[key] = item.field_text(value, system)
            tolerances[key] = _form_tolerance(item, tolerances[key], "metric", system)
    return fields, tolerances


def _form_tolerance(item: Input, text: str, before: str, system: str) -> str:
    """A tolerance of the form of one system as the form of another shows it."""
    if not isinstance(item, Number):
        return text
    try:
        understood = units.read_tolerance(text, item.unit_in(before), name=item.name)
    except InputError:
        return text
    return entries.tolerance_text(understood, item.unit_in(system)) if understood else ""


def _convert(asked: Json) -> Json:
    """The same values in the units of another system; what is not understood stays as it is."""
    card, system = calculator(asked["calculator"]), asked["system"]
    before = "us" if system == "metric" else "metric"
    fields = dict(asked["fields"])
    tolerances = dict(asked.get("tolerances") or {})
    shown_units: dict[str, str] = {}
    for key, item in card.shape(fields).inputs.items():
        if not isinstance(item, Number):
            continue
        shown_units[key] = item.unit_shown(system)
        if item.unit_in(before) == item.unit_in(system):
            continue
        try:
            value = units.parse(fields[key], item.unit_in(before), name=key, label=item.label)
            fields[key] = item.field_text(value, system)
        except InputError:
            pass
        tolerances[key] = _form_tolerance(item, tolerances.get(key, ""), before, system)
    return {"fields": fields, "tolerances": tolerances, "units": shown_units}


def _fill(asked: Json) -> Json:
    """The fields that a row of a table fills, in the units of the form."""
    card = calculator(asked["calculator"])
    fill = card.fills_by_name[asked["fill"]]
    fields, tolerances = texts(card, fill, asked["row"], asked["system"])
    return {"fields": fields, "tolerances": tolerances}


def _step(asked: Json) -> Json:
    """The text one step up or down: one unit in the second digit, within the range."""
    item = calculator(asked["calculator"]).shape([asked["name"]]).inputs[asked["name"]]
    if isinstance(item, Written):
        return {"text": item.stepped(asked["text"], asked["direction"], asked["name"])}
    if not isinstance(item, Number):
        raise InputError(asked["name"], f"{item.label} is no number: it has no steps.")
    system = asked["system"]
    shown = entries.bare_number(asked["text"], item.unit_in(system), asked["name"], item.label)
    stepped = entries.step(shown, asked["direction"], whole=item.integer)
    after = units.parse(stepped, item.unit_in(system), name=asked["name"], label=item.label)
    return {"text": stepped if item.low_si <= after <= item.high_si else asked["text"]}


def _qr(asked: Json) -> Json:
    """A QR code of an address."""
    return square_code(asked["url"])


OPERATIONS: dict[str, Callable[[Json], Json]] = {
    "describe": _describe,
    "answer": _answer,
    "open_link": _open_link,
    "convert": _convert,
    "fill": _fill,
    "step": _step,
    "qr": _qr,
    **bridge_ops.OPERATIONS,
}
