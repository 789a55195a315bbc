"""Numbers of the example rigs for the text of a page, each rig worked out once."""

from functools import cache
from pathlib import Path

from calculators import entries
from calculators.declare import Choice, Number, Written
from calculators.rig.files import read_rig
from calculators.rig.graph import Evaluated, Node, evaluate_rig
from calculators.rig.model import Rig, Stated, entry_text
from calculators.rig.requirements import margin_text, requirements
from calculators.rig.schema import entry_of
from site_src.rigs import FOLDER


@cache
def names(folder: Path = FOLDER) -> tuple[str, ...]:
    """Every example rig by the name of its file."""
    return tuple(sorted(file.stem for file in folder.glob("*.toml")))


@cache
def worked_out(name: str) -> tuple[Rig, Evaluated]:
    """A rig and what follows from it."""
    if name not in names():
        raise ValueError(f"“{name}” is not a rig; there are: {', '.join(names())}")
    rig = read_rig((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))
    return rig, evaluate_rig(rig)


def value(name: str, what: str) -> str:
    """What a rig states of an entry, or an answer, as in ``corner-frequency.combined_corner``."""
    rig, nodes = worked_out(name)
    if what in rig.stated:
        return _stated(what, rig.stated[what])
    node, key = _answer(nodes, what)
    assert node.results is not None
    return node.shape.outputs[key].text(node.results[key], "metric")


def value_range(name: str, what: str) -> str:
    """The range of an answer."""
    node, key = _answer(worked_out(name)[1], what)
    assert node.spread is not None
    output = node.shape.outputs[key]
    ends = (output.text(end[key], "metric") for end in (node.spread.low, node.spread.high))
    low, high = ends
    if low == high:
        raise ValueError(f"“{what}” has no range in this rig")
    return entries.range_text(low, high)


def margin(name: str, what: str) -> str:
    """How far a required answer is from its limit: ``0.9 m to spare``."""
    rows = {row.name: row for row in requirements(worked_out(name)[1])}
    if what not in rows:
        raise ValueError(f"“{what}” is not required of this rig; there are: {', '.join(rows)}")
    return margin_text(rows[what], "metric")


def _answer(nodes: Evaluated, what: str) -> tuple[Node, str]:
    card, _, key = what.partition(".")
    node = nodes.get(card)
    if node is None or node.results is None or key not in node.shape.outputs:
        raise ValueError(f"this rig neither states “{what}” nor has such an answer")
    return node, key


def _stated(key: str, stated: Stated) -> str:
    """A value as a page shows it, without its tolerance."""
    item = entry_of(key)[0].item
    if isinstance(item, Number):
        return item.shown_text(float(stated.value), "metric")
    if isinstance(item, Choice):
        text = stated.value if isinstance(stated.value, str) else f"{stated.value:g}"
        return next(option.label for option in item.options if option.value == text)
    if isinstance(item, Written):
        return item.shown_text(float(stated.value), "metric")
    return entry_text(key, stated)
