"""The form of each calculator as the page has it at first, and what to type into it."""

from dataclasses import dataclass
from typing import Any

from site_src.examples import BadExample, ask, declarations

DIGITS = "123456789"


@dataclass(frozen=True)
class Typing:
    """A field, and digits that it accepts and that each give another answer than the one before."""

    calculator: str
    page: str
    field: str
    digits: str


def answer_request(calculator: str, changed: dict[str, str], *, plot: bool) -> dict[str, Any]:
    """The request of a page for the declared values with some of them changed."""
    inputs = declarations()[calculator]["inputs"]
    numbers = [item for item in inputs if item["kind"] == "number"]
    fields = {item["name"]: item["default"] for item in inputs if item["kind"] != "number"}
    fields |= {item["name"]: item["metric"]["default_text"] for item in numbers}
    return {
        "op": "answer",
        "calculator": calculator,
        "fields": fields | changed,
        "tolerances": {item["name"]: item["default_tolerance"] for item in numbers},
        "system": "metric",
        "plot": plot,
        "solve": None,
    }


def typings() -> list[Typing]:
    """For every calculator the field in which the most digits give answers of their own."""
    return [max(_fields(decl), key=lambda t: len(t.digits)) for decl in declarations().values()]


def _fields(decl: dict[str, Any]) -> list[Typing]:
    names = [item["name"] for item in decl["inputs"] if item["kind"] == "number"]
    return [Typing(decl["id"], decl["page"], name, _digits(decl["id"], name)) for name in names]


def _digits(calculator: str, field: str) -> str:
    """The digits that are accepted, one for each different answer."""
    found: dict[str, str] = {}
    for digit in DIGITS:
        text = _answer_text(calculator, field, digit)
        if text is not None:
            found.setdefault(text, digit)
    return "".join(found.values())


def _answer_text(calculator: str, field: str, digit: str) -> str | None:
    try:
        reply = ask(answer_request(calculator, {field: digit}, plot=False))
    except BadExample:
        return None
    return str(reply["outputs"][0]["text"])
