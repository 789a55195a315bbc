"""What a page has on show of a rig, so that an edit sends it only what has changed.

With every answer goes a mark. A page sends back the mark of what it has on show: where that was the
last to be sent, what is the same stays away. Any other mark brings everything, so nothing is lost
when Python has started anew or an answer was dropped on its way.
"""

from os import urandom
from typing import Any

Json = dict[str, Any]
Named = dict[str, Json]


class _Sent:
    """What was sent last of one kind, by name, and the mark that went with it."""

    def __init__(self) -> None:
        self.mark = ""
        self.all: Named = {}

    def send(self, now: Named, known: str, *, in_order: bool = False) -> tuple[Json, Named]:
        """The head of an answer, and what a page that knows this mark lacks.

        ``mark`` names what it then has; ``since`` is the mark that it must have been, empty where
        everything comes. With ``in_order`` that is so as well where others are there than before.
        """
        before = self.all if known and known == self.mark else {}
        if in_order and list(before) != list(now):
            before = {}
        self.mark, self.all = urandom(8).hex(), now  # of no other start of Python
        lacks = {
            name: one
            for name, one in now.items()
            # Most is the very same object, which takes no comparing.
            if (old := before.get(name)) is not one and old != one
        }
        return {"mark": self.mark, "since": known if before else ""}, lacks


_rows, _fields = _Sent(), _Sent()


def changed_rows(verdict: Json, known: str) -> Json:
    """A verdict without the requirements that a page has; ``order`` names all of them in order."""
    rows = {row["name"]: row for row in verdict["requirements"]}
    head, lacks = _rows.send(rows, known)
    return {**verdict, **head, "order": list(rows), "requirements": list(lacks.values())}


def changed_fields(sections: list[Json], known: str) -> Json:
    """Sections without the fields that a page has."""
    fields = {entry["name"]: entry for part in sections for entry in part["entries"]}
    head, lacks = _fields.send(fields, known, in_order=True)
    shown = [
        part | {"entries": [entry for entry in part["entries"] if entry["name"] in lacks]}
        for part in sections
    ]
    return {**head, "sections": shown}
