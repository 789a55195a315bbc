"""What a page has on show of a rig, so that an edit sends it only what has changed.

With every answer goes a mark. A page sends back the mark of what it has on show: where that was the
last to be sent, rows and fields that are the same stay away. Any other mark brings everything, so
nothing is lost when Python has started anew or an answer was dropped on its way.
"""

from dataclasses import dataclass, field
from os import urandom
from typing import Any

Json = dict[str, Any]
Named = dict[str, Json]


@dataclass(frozen=True)
class _Sent:
    """Requirements and fields of one answer, by name."""

    rows: Named = field(default_factory=dict)
    fields: Named = field(default_factory=dict)
    mark: str = field(default_factory=lambda: urandom(8).hex())  # of no other start of Python


_last: list[_Sent] = []
"""The last to be sent, if any was."""


def changed_only(check: Json, known: str) -> Json:
    """The verdict page without what a page that knows this mark has on show.

    ``mark`` names what it then has; ``since`` is the mark that it must have been, empty where
    everything comes; ``order`` names the requirements, from the first to the last.
    """
    rows = {row["name"]: row for row in check["requirements"]}
    fields = {entry["name"]: entry for part in check["sections"] for entry in part["entries"]}
    before = _known(known, fields)
    sent = _Sent(rows, fields)
    _last[:] = [sent]
    return {
        **check,
        "mark": sent.mark,
        "since": known if before else "",
        "order": list(rows),
        "requirements": _changed(rows, before.rows if before else {}),
        "sections": [
            part | {"entries": _changed(_named(part), before.fields if before else {})}
            for part in check["sections"]
        ],
    }


def _known(mark: str, fields: Named) -> _Sent | None:
    """What was sent last, if that is the mark and there are the same fields in the same order."""
    for sent in _last:
        if sent.mark == mark and list(sent.fields) == list(fields):
            return sent
    return None


def _named(part: Json) -> Named:
    return {entry["name"]: entry for entry in part["entries"]}


def _changed(now: Named, before: Named) -> list[Json]:
    """What is another; most is the very same object, which takes no comparing."""
    return [one for name, one in now.items() if (old := before.get(name)) is not one and old != one]
