"""The whole rig in three pictures: its signal chain, its time in the water, its place at depth."""

from collections.abc import Callable
from dataclasses import dataclass
from math import inf
from typing import Any

from calculators.drawing import Drawing, as_data
from calculators.rig.chain_picture import chain_picture
from calculators.rig.facts import Facts
from calculators.rig.graph import Evaluated
from calculators.rig.model import Rig
from calculators.rig.section import section
from calculators.rig.timeline import WORDS, End, ends, timeline
from calculators.units import format_display

Json = dict[str, Any]
Draw = Callable[[Facts, str], tuple[Drawing | None, list[str]]]

PICTURES: dict[str, tuple[str, Draw]] = {
    "chain": ("The signal chain", chain_picture),
    "timeline": ("The deployment over time", timeline),
    "section": ("The rig at its depth", section),
}
"""Every picture by name, with its title."""


@dataclass(frozen=True)
class Picture:
    """One picture, None where nothing of it is known, and what is left out of it, with reasons."""

    title: str
    drawing: Drawing | None
    left_out: tuple[str, ...]


def pictures(rig: Rig, nodes: Evaluated, system: str) -> dict[str, Picture]:
    """The pictures of a rig by name, in the reader's units."""
    facts = Facts(rig, nodes)
    found = {}
    for name, (title, draw) in PICTURES.items():
        drawing, left_out = draw(facts, system)
        found[name] = Picture(title, drawing, tuple(left_out))
    return found


def pictures_json(rig: Rig, nodes: Evaluated, system: str) -> Json:
    """The pictures as a page or a print gets them: ``drawing`` as in ``drawing.as_data``."""
    return {
        name: {
            "title": picture.title,
            "drawing": as_data(picture.drawing) if picture.drawing else None,
            "left_out": list(picture.left_out),
        }
        for name, picture in pictures(rig, nodes, system).items()
    }


def ends_json(rig: Rig, nodes: Evaluated) -> list[Json]:
    """What ends the recording, the earliest first: seconds after the recorder starts.

    None stands for an end that lies too far beyond the planned one to be followed. ``text`` says
    it to a reader.
    """
    return [
        {
            "name": end.name,
            "text": _end_text(end),
            "at": _finite(end.at),
            "low": _finite(end.low),
            "high": _finite(end.high),
        }
        for end in ends(Facts(rig, nodes))
    ]


def _end_text(end: End) -> str:
    """One end in words: ``battery spent after 3 d 4 h (2 d 20 h to 3 d 9 h)``."""
    if end.at == inf:
        return f"{WORDS[end.name]} long after the planned end"
    text = f"{WORDS[end.name]} after {_time(end.at)}"
    if _time(end.low) == _time(end.high):
        return text
    return f"{text} ({_time(end.low)} to {_time(end.high)})"


def _time(seconds: float) -> str:
    return "far longer" if seconds == inf else format_display(seconds, "h", 2)


def _finite(seconds: float) -> float | None:
    return seconds if seconds < inf else None
