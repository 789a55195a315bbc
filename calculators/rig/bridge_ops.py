"""What a page may ask of the core about a rig: requests and answers in JSON, as in ``bridge``.

A page keeps each rig as the text of its file. Every request carries that text, so nothing depends
on what was asked before; only the answers of the last rig are kept, so that an edit costs no more
than what it touches.
"""

import base64
from collections.abc import Callable
from dataclasses import asdict
from typing import Any

from calculators.errors import InputError
from calculators.registry import calculator
from calculators.rig.change_words import changes_json, ends_first_json
from calculators.rig.compare import comparison_json
from calculators.rig.drawn_words import MOST_EXACT, drawn_json, exact_line
from calculators.rig.draws import Draws
from calculators.rig.files import edit_words, text_of, write_rig
from calculators.rig.form import fill, kept, sections_json
from calculators.rig.graph import FOR_VERDICT, Evaluated, evaluate_rig
from calculators.rig.links import edition_notice, make_rig_link, parse_rig_link
from calculators.rig.model import Rig, Stated, entry_text, read_entry, read_parts
from calculators.rig.on_show import changed_fields, changed_rows
from calculators.rig.pictures import pictures_json
from calculators.rig.plan import Part
from calculators.rig.schema import entry_of, label_of
from calculators.rig.sheet import as_json
from calculators.rig.sheets import make_sheet
from calculators.rig.texts import read_text
from calculators.rig.verdict import verdict_json

Json = dict[str, Any]

MOST_DRAWS = 20_000

_last: Evaluated = {}


def _rig(toml: str) -> Rig:
    return read_text(toml).rig


def _nodes(rig: Rig, only: frozenset[str] | None = None) -> Evaluated:
    """The rig evaluated, beginning with the last answer of each calculator; ``only`` some of it."""
    nodes = evaluate_rig(rig, _last, only)
    _last.update(nodes)
    return nodes


def rig_check(asked: Json) -> Json:
    """The whole rig: its verdict, what is required, what is open, and its entries as fields."""
    return check(_rig(asked["toml"]), asked)


def check(rig: Rig, asked: Json) -> Json:
    """The verdict page of a rig as data.

    A page that says what it has on show (``known``) gets what has changed of the verdict; fields
    and pictures, which need not hold it up, it asks for then.
    """
    system = asked["system"]
    nodes = _nodes(rig, FOR_VERDICT)
    verdict = verdict_json(rig, nodes, system)
    if "known" in asked:
        return changed_rows(verdict, asked["known"])
    return {
        **verdict,
        "sections": sections_json(rig, nodes, system),
        "pictures": pictures_json(rig, nodes, system),
    }


def rig_fields(asked: Json) -> Json:
    """The entries of a rig as fields: what has changed of what a page has on show (``known``).

    ``described`` false leaves out what no edit changes.
    """
    rig, system = _rig(asked["toml"]), asked["system"]
    nodes = _nodes(rig, FOR_VERDICT)
    sections = sections_json(rig, nodes, system, described=asked["described"])
    return changed_fields(sections, asked["known"])


def rig_pictures(asked: Json) -> Json:
    """The whole rig in pictures: they take longer than a verdict, and come after it."""
    rig = _rig(asked["toml"])
    return {"pictures": pictures_json(rig, _nodes(rig, FOR_VERDICT), asked["system"])}


def rig_edit(asked: Json) -> Json:
    """One entry stated, stated anew, or no longer stated (no text), and the rig checked again.

    The tolerance stands in a field of its own, or within the text as in a file.
    """
    key, system = asked["key"], asked["system"]
    text, tolerance = asked.get("text") or "", asked.get("tolerance") or ""
    stated = None
    if text.strip() and tolerance.strip():
        stated = read_parts(key, text, tolerance, system, "form")
    elif text.strip():
        stated = read_entry(key, text, system, "form")
    entry_of(key)
    text = read_text(asked["toml"]).changed(key, stated)
    return {"toml": text.toml, **check(text.rig, asked)}


def rig_new(asked: Json) -> Json:
    """The text of a rig that states nothing yet."""
    return {"toml": write_rig(Rig(asked["name"]))}


def rig_rename(asked: Json) -> Json:
    """The same rig under another name, with another note, without other questions."""
    before = _rig(asked["toml"])
    rig = Rig(
        asked.get("name", before.name),
        before.stated,
        asked.get("note", before.note),
        frozenset(asked.get("without", before.without)),
    )
    return {"toml": edit_words(asked["toml"], rig)}


def rig_fill(asked: Json) -> Json:
    """A calculator's form as far as the rig fills it."""
    card = calculator(asked["calculator"])
    nodes = _nodes(_rig(asked["toml"]))
    node = nodes.get(card.id)
    return {"fill": fill(node, asked["system"]) if node else None}


def rig_keep(asked: Json) -> Json:
    """What a calculator's form says, written into the rig; what changed, before and after."""
    card, rig = calculator(asked["calculator"]), _rig(asked["toml"])
    tolerances = asked.get("tolerances") or {}
    node = _nodes(rig).get(card.id)
    changes = kept(card, node, asked["fields"], tolerances, asked["system"])
    text = read_text(asked["toml"])
    for key, new in changes.items():
        text = text.changed(key, new)
    return {"toml": text.toml, "changed": [_change(rig, key, new) for key, new in changes.items()]}


def _change(rig: Rig, key: str, new: Stated | None) -> Json:
    old = rig.stated.get(key)
    return {
        "key": key,
        "label": label_of(key),
        "before": "" if old is None else entry_text(key, old),
        "after": "" if new is None else entry_text(key, new),
    }


def rig_link(asked: Json) -> Json:
    """The link that carries the whole rig."""
    link = make_rig_link(_rig(asked["toml"]))
    return {"link": link.text, "notice": link.notice}


def rig_open(asked: Json) -> Json:
    """The text of the rig that a link carries, and what to say where another edition made it."""
    opened = parse_rig_link(asked["hash"])
    notice = edition_notice(opened)
    return {"toml": write_rig(opened.rig), "notice": notice and asdict(notice)}


def rig_read(asked: Json) -> Json:
    """The text of a file, of which the page has the bytes (base64)."""
    return {"toml": text_of(base64.b64decode(asked["bytes"]))}


def rig_sheet(asked: Json) -> Json:
    """One sheet of a rig; ``link`` is the whole address that opens it, for the code on paper."""
    rig = _rig(asked["toml"])
    sheet = make_sheet(asked["sheet"], rig, _nodes(rig), asked["system"], asked["link"])
    return {"sheet": as_json(sheet)}


def rig_compare(asked: Json) -> Json:
    """Two rigs side by side."""
    first, second = _rig(asked["toml"]), _rig(asked["other"])
    sides = (first, evaluate_rig(first, _last)), (second, evaluate_rig(second, _last))
    return comparison_json(*sides, asked["system"])


def rig_changes(asked: Json) -> Json:
    """What mends a requirement: every single change that the whole rig confirms."""
    rig = _rig(asked["toml"])
    return changes_json(rig, _nodes(rig), asked["requirement"], asked["system"])


def rig_ends(asked: Json) -> Json:
    """How long each requirement is met that ends the deployment."""
    rig = _rig(asked["toml"])
    return {"ends": ends_first_json(rig, _nodes(rig), asked["system"])}


_drawing: dict[tuple[str, int], Draws] = {}
"""The draws under way, of one rig."""


def rig_draws(asked: Json) -> Json:
    """What as many draws say as are asked for; those made before for the same rig count."""
    toml, seed, wanted = asked["toml"], int(asked["seed"]), _wanted(asked)
    draws = _drawing.get((toml, seed))
    if draws is None or draws.count > wanted:
        rig = _rig(toml)
        draws = Draws(rig, _nodes(rig), seed)
        _drawing.clear()
        _exact.clear()
        _drawing[toml, seed] = draws
    return drawn_json(draws.more(wanted - draws.count))


def _wanted(asked: Json) -> int:
    """How many draws are asked for."""
    wanted = int(asked["draws"])
    if not 1 <= wanted <= MOST_DRAWS:
        raise InputError("draws", f"{wanted} draws: 1 to {MOST_DRAWS} are accepted.")
    return wanted


_exact: dict[Part, Draws] = {}
"""Draws of the same rig in which one part is exact, by that part."""


def rig_exact(asked: Json) -> Json:
    """What as many draws say where one of the costliest tolerances of the draws made is none.

    ``which`` counts them from 0, the costliest first; ``says`` is empty where there is none.
    """
    wanted, which = _wanted(asked), int(asked["which"])
    draws = _drawing.get((asked["toml"], int(asked["seed"])))
    costs = draws.drawn.costs[:MOST_EXACT] if draws else []
    if draws is None or which >= len(costs):
        return {"says": ""}
    cost = costs[which]
    exact = _exact.get(cost.part)
    if exact is None or exact.count > wanted:
        exact = _exact[cost.part] = draws.without(cost.part)
    return {"says": exact_line(cost, exact.more(wanted - exact.count))}


OPERATIONS: dict[str, Callable[[Json], Json]] = {
    "rig_check": rig_check,
    "rig_edit": rig_edit,
    "rig_fields": rig_fields,
    "rig_pictures": rig_pictures,
    "rig_new": rig_new,
    "rig_rename": rig_rename,
    "rig_fill": rig_fill,
    "rig_keep": rig_keep,
    "rig_sheet": rig_sheet,
    "rig_compare": rig_compare,
    "rig_changes": rig_changes,
    "rig_ends": rig_ends,
    "rig_draws": rig_draws,
    "rig_exact": rig_exact,
    "rig_link": rig_link,
    "rig_open": rig_open,
    "rig_read": rig_read,
}
