"""What to change and what ends a deployment first, in words, as a page shows it."""

from math import inf
from typing import Any

from calculators import units
from calculators.declare import Choice, Number
from calculators.rig.change import Change, Effect, changes, ordered, tried
from calculators.rig.ending import End, ends
from calculators.rig.graph import Evaluated
from calculators.rig.model import Rig, entry_text
from calculators.rig.schema import entry_of

Json = dict[str, Any]

_BECOMES = {
    "open": "has no answer then",
    "fails": "is missed then",
    "short": "falls short then",
    "unsure": "may be missed then",
    "holds": "is met then",
}


def changes_json(rig: Rig, nodes: Evaluated, requirement: str, system: str) -> Json:
    """Every single change that mends a requirement, the best first; if none, what was tried.

    ``edits`` holds the text of each entry as ``rig_edit`` takes it.

    Raises:
        InputError: If there is no such requirement with an answer.
    """
    found = ordered(list(changes(rig, nodes, requirement, system)))
    return {
        "changes": [change_json(rig, change, system) for change in found],
        "none": "" if found else _none(tried(rig, nodes, requirement)),
    }


def change_json(rig: Rig, change: Change, system: str) -> Json:
    """One change: what becomes of what, whether less is wanted then, what it breaks and mends."""
    return {
        "label": change.label,
        "text": change.text,
        "says": f"{change.label}: {change.text}{_instead(rig, change, system)}",
        "gives_way": change.gives_way,
        "edits": {key: entry_text(key, stated) for key, stated in change.stated.items()},
        "breaks": [_effect(effect) for effect in change.breaks],
        "mends": [_effect(effect) for effect in change.mends],
    }


def _instead(rig: Rig, change: Change, system: str) -> str:
    """What it was, where one entry alone is changed."""
    if len(change.stated) > 1:
        return ""
    [key] = change.stated
    item, value = entry_of(key)[0].item, rig.stated[key].value
    if isinstance(item, Number):
        return f" instead of {item.shown_text(float(value), system)}"
    assert isinstance(item, Choice)
    labels = {item.read(option.value, key): option.label for option in item.options}
    return f" instead of {labels[value]}"


def _effect(effect: Effect) -> str:
    return f"{effect.label} ({effect.title}) {_BECOMES[effect.outcome]}: {effect.margin}"


def _none(labels: list[str]) -> str:
    if not labels:
        return "Nothing that a builder chooses has a part in it."
    return f"No single change mends it. Tried: {'; '.join(labels)}."


def ends_first_json(rig: Rig, nodes: Evaluated, system: str) -> list[Json]:
    """How long each requirement is met that ends the deployment, the earliest end first."""
    return [
        {
            "name": end.name,
            "title": end.title,
            "label": end.label,
            "nominal": None if end.nominal == inf else end.nominal,
            "worst": None if end.worst == inf else end.worst,
            "text": _end_text(end, system),
        }
        for end in ends(rig, nodes)
    ]


def _end_text(end: End, system: str) -> str:
    """``met for up to 3 d 18 h, in the worst case 2 d 18 h``."""
    if end.worst == inf:
        return "met for as long as you like"
    if end.nominal == 0:
        return "not met, however short"
    worst = _time(end.worst, system) if end.worst else "not at all"
    if end.worst == end.nominal:
        return f"met for up to {worst}"
    return f"met for up to {_time(end.nominal, system)}, in the worst case {worst}"


def _time(seconds: float, system: str) -> str:
    return "any time" if seconds == inf else units.format_display(seconds, "d", 3, system)
