"""From typed texts to values, and from values to results."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import isfinite
from typing import Any

from calculators import entries, units
from calculators.declare import (
    Calculator,
    Choice,
    Input,
    Log,
    Number,
    Results,
    Shape,
    Value,
    Values,
    Written,
    row_key,
    row_of,
)
from calculators.errors import InputError
from calculators.units import Tolerance

Spans = dict[str, tuple[float, float]]
"""Low and high of each input that carries a tolerance, SI."""


@dataclass(frozen=True)
class Given:
    """What a reader has given, understood."""

    values: Values
    tolerances: dict[str, Tolerance] = field(default_factory=dict)

    @cached_property
    def spans(self) -> Spans:
        """The ends of every input that carries a tolerance."""
        return {key: t.ends(float(self.values[key])) for key, t in self.tolerances.items()}


class FormError(Exception):
    """One or more inputs are refused; every one of them is named in ``errors``."""

    def __init__(self, errors: list[InputError]) -> None:
        self.errors = errors
        super().__init__("\n".join(error.message for error in errors))


def defaults(card: Calculator, rows: Iterable[str] = ()) -> Values:
    """Every input at its default; ``rows`` holds names that call for more rows than one."""
    return {key: default(item) for key, item in card.shape(rows).inputs.items()}


def default(item: Input) -> Value:
    """Default of one input, SI."""
    if isinstance(item, Number):
        return item.default_si
    return item.default if isinstance(item, Log) else item.read(item.default, item.name)


def read(
    card: Calculator,
    fields: Mapping[str, str],
    tolerances: Mapping[str, str],
    system: str,
    *,
    bare: str = "form",
) -> Given:
    """Understand every field of a form.

    Args:
        card: The calculator.
        fields: A text for each input key; missing keys are an error.
        tolerances: A tolerance text by input key; missing or empty is none.
        system: "metric" or "us": the units of the form.
        bare: How a number without a unit is read: "form" (in the unit of the form), "si", or
            "refused" (a dimension needs its unit).

    Raises:
        FormError: Naming every field that cannot be understood or is out of range.
    """
    shape = card.shape(fields)
    errors = [_unknown(card, key) for key in {**fields, **tolerances} if key not in shape.inputs]
    values: Values = {}
    understood: dict[str, Tolerance] = {}
    for key, item in shape.inputs.items():
        try:
            values[key] = _read_one(shape, key, item, fields, system, bare)
            tolerance = read_tolerance(
                item, key, tolerances.get(key, ""), values[key], system, bare
            )
            if tolerance is not None:
                understood[key] = tolerance
        except InputError as error:
            errors.append(error)
    if errors:
        raise FormError(errors)
    return Given(values, understood)


def _read_one(
    shape: Shape, key: str, item: Input, fields: Mapping[str, str], system: str, bare: str
) -> Value:
    """Understand one field."""
    if key not in fields:
        raise InputError(key, f"{item.label}: a value is missing.")
    return read_value(item, key, fields[key], shape.label(key), system, bare)


def read_value(item: Input, key: str, text: str, label: str, system: str, bare: str) -> Value:
    """Understand the text of one input, called ``key`` in a refusal; ``bare`` as in ``read``.

    Raises:
        InputError: If it cannot be understood or is out of range.
    """
    if isinstance(item, Choice | Written):
        return item.read(text.strip(), key)
    if isinstance(item, Log):
        return item.check(text, key)
    unit = _bare_unit(item, system, bare)
    if bare == "refused":
        entries.refuse_without_unit(text, unit, key, label, item.default)
    value = units.parse(text, unit, name=key, label=label)
    item.check(value, key, system)
    return value


def read_tolerance(
    item: Input, key: str, text: str, value: Value, system: str, bare: str
) -> Tolerance | None:
    """Understand the tolerance of one input that has this value; empty is none.

    Raises:
        InputError: With part "tolerance", if it cannot be understood, or leads out of the range.
    """
    if not text.strip():
        return None
    if not isinstance(item, Number):
        raise InputError(key, f"{item.label}: only a number has a tolerance.", part="tolerance")
    # Only a bare number needs the base unit: "5 %" on a field in % means percentage points.
    bare_number = entries.ends_in_number(text)
    unit = _bare_unit(item, system, bare) if bare_number else item.unit_in(system)
    tolerance = units.read_tolerance(text, unit, name=key, label=item.label)
    if tolerance is not None:
        check_ends(item, key, tolerance.ends(float(value)), system)
    return tolerance


def check_ends(item: Number, key: str, ends: tuple[float, float], system: str) -> None:
    """A tolerance may not lead out of the range: nothing is clamped, so it is refused."""
    for end in ends:
        if not item.low_si <= end <= item.high_si:
            raise InputError(
                key,
                f"{item.label}: with this tolerance it could be {item.shown_text(end, system)}, "
                f"outside {item.accepted(system)}.",
                part="tolerance",
            )


def _bare_unit(item: Number, system: str, bare: str) -> str:
    return item.unit_in(system) if bare == "form" else item.si_unit


def _unknown(card: Calculator, key: str) -> InputError:
    known = ", ".join(card.inputs_by_name)
    return InputError(key, f"“{key[:40]}” is not an input of {card.id}. There are: {known}.")


def evaluate(card: Calculator, values: Values, shape: Shape | None = None) -> Results:
    """Every output for these values, SI.

    ``shape`` is that of the values, where the caller has it: counting rows takes time.

    Raises:
        InputError: If the values do not go together, named by the formula that refuses them.
    """
    shape = shape or card.shape(values)
    return dict(zip(shape.outputs, answers(card, values, shape), strict=True))


def answers(card: Calculator, values: Values, shape: Shape) -> tuple[float, ...]:
    """Every output for these values, SI, in the order of the shape; as ``evaluate``."""
    # By position: to match dozens of names takes as long as many a calculation.
    found = card.compute(*card.arguments(_arguments(shape, values)))
    results = _in_order(card, shape, found)
    # What is no number makes the sum none; a sum that only grew too large is looked at closely.
    if not isfinite(sum(results)):
        _require_finite(card, shape, results)
    return results


def evaluate_apart(card: Calculator, values: Values, names: Iterable[str], shape: Shape) -> Results:
    """These outputs alone, each of which is one of ``card.apart``; as ``evaluate`` gives them."""
    arguments = _arguments(shape, values)
    return {name: card.apart[name](**arguments) for name in names}


def _in_order(card: Calculator, shape: Shape, raw: Mapping[str, Any]) -> tuple[float, ...]:
    """Every output, of what a card's function returns."""
    if not shape.rows:  # then keys are names
        return tuple([float(each) for each in card.answers(raw)])
    return tuple(
        [float(raw[name] if row is None else raw[name][row]) for name, row in shape.places]
    )


def _require_finite(card: Calculator, shape: Shape, results: tuple[float, ...]) -> None:
    """An answer that is no number is a defect, and is never shown."""
    for key, result in zip(shape.outputs, results, strict=True):
        if not isfinite(result):
            raise ArithmeticError(f"{card.id}: {key} is {result}")


def _arguments(shape: Shape, values: Values) -> Mapping[str, Any]:
    """What the functions of a card take: inputs by name, groups as lists of rows."""
    if not shape.rows:  # then keys are names
        return values
    if shape.references:
        _check_references(shape, values)
    arguments: dict[str, Any] = {name: values[name] for name in shape.plain}
    for group, rows in shape.arguments.items():
        arguments[group] = [{name: values[key] for name, key in row.items()} for row in rows]
    return arguments


def _check_references(shape: Shape, values: Values) -> None:
    """A row may only name rows that there are."""
    for key, item in shape.references:
        count = shape.rows[item.refers_to]
        if float(values[key]) > count:
            there = "there is only one" if count == 1 else f"there are only {count}"
            raise InputError(key, f"{item.label} {values[key]:g}: {there}.")


def asked(card: Calculator, key: str, item: Input, values: Values) -> bool:
    """Whether this input is asked for while the choices stand as they do."""
    if item.shown is None:
        return True
    choice = card.inputs_by_name[item.shown.input]
    row = row_of(key, item.name) if choice.group else 1
    return values[row_key(choice.name, row)] in item.shown.values
