"""How the circuit diagrams are drawn: schemdraw's symbols in our style, as SVG for the page.

Each drawing is at most ``WIDEST`` units wide, so that a phone shows it at its own size: a drawing
that is scaled down has unreadable type.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from itertools import pairwise
from typing import Any, Literal

import schemdraw
from schemdraw import elements as elm

schemdraw.use("svg")

Point = tuple[float, float]
Align = Literal["left", "center", "right"]
Value = Callable[[str], str]
"""The text of an example's input or output by its name."""

WIDEST = 350
"""Width of the narrowest page we draw for, in CSS pixels. One grid step of a drawing is 36."""

# Colours are names here and become classes; the style sheet gives them their ink.
PLAIN, VALUE, STRAY = "black", "orange", "gray"
_CLASSES = {PLAIN: "", VALUE: "value", STRAY: "stray"}


@dataclass(frozen=True)
class Circuit:
    """One diagram: how it is drawn, and the same in words."""

    title: str
    words: str
    draw: Callable[[schemdraw.Drawing, Value], None]


def circuit_svg(circuit: Circuit, value: Value) -> str:
    """The drawing as inline SVG that obeys the page's policy: no style attributes."""
    with schemdraw.Drawing(show=False) as drawing:
        drawing.config(unit=2, fontsize=12, lw=1.6, margin=0.15)
        circuit.draw(drawing, value)
        svg = drawing.get_imagedata("svg").decode()
    return _obedient(svg, circuit)


def _obedient(svg: str, circuit: Circuit) -> str:
    """Styles become attributes and classes, the size that of the drawing in pixels."""
    view = re.search(r'viewBox="([^"]+)"', svg)
    assert view, "schemdraw writes a viewBox"
    width, height = (float(x) for x in view[1].split()[2:])
    body = svg[svg.index(">") + 1 : svg.rindex("</svg>")]
    body = re.sub(r'style="([^"]*)"', lambda style: _attributes(style[1]), body)
    body = re.sub(r'fill="(\w+)" font-size', lambda ink: f"{_ink(ink[1], 'text')} font-size", body)
    body = body.replace('font-family="sans" ', "")
    return (
        f'<svg class="circuit-drawing" viewBox="{view[1]}" width="{width:.0f}" '
        f'height="{height:.0f}" role="img" aria-label="{escape(circuit.words)}">{body}</svg>'
    )


def _attributes(style: str) -> str:
    parts = dict(part.split(":", 1) for part in style.split(";") if part)
    solid = parts.get("fill", "none") not in ("none", "white")
    shown = [_ink(parts.get("stroke", PLAIN), "solid" if solid else "line")]
    shown.append(f'stroke-width="{parts.get("stroke-width", "1.6")}"')
    if parts.get("stroke-dasharray", "-") not in ("-", "none"):
        shown.append(f'stroke-dasharray="{parts["stroke-dasharray"]}"')
    return " ".join(shown)


def _ink(colour: str, kind: str) -> str:
    """The class of a stroke, a filled shape or a text."""
    return f'class="{" ".join(filter(None, (kind, _CLASSES[colour])))}"'


# Parts. Every one is named above or left of its value.


def part(
    d: schemdraw.Drawing,
    element: Any,
    name: str,
    value: str = "",
    *,
    stray: bool = False,
    side: str = "right",
) -> Any:
    """Add a part with its name and, below the name in its own ink, its value."""
    if stray:
        element = element.linestyle("--").color(STRAY)
    placed = d.add(element)
    label(d, placed, name, value, side)
    return placed


def label(d: schemdraw.Drawing, placed: Any, name: str, value: str, side: str) -> None:
    (x0, y0), (x1, y1) = placed.absanchors["start"], placed.absanchors["end"]
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    # Beside a standing part, above and below a lying one.
    if side == "right":
        text(d, (x + 0.48, y + 0.17), name, align="left")
        text(d, (x + 0.48, y - 0.25), value, align="left", colour=VALUE)
    elif side == "left":
        text(d, (x - 0.48, y + 0.17), name, align="right")
        text(d, (x - 0.48, y - 0.25), value, align="right", colour=VALUE)
    else:
        text(d, (x, y + 0.55), name, align="center")
        text(d, (x, y - 0.62), value, align="center", colour=VALUE)


def text(
    d: schemdraw.Drawing,
    at: Point,
    words: str,
    *,
    align: Align = "left",
    colour: str = PLAIN,
) -> None:
    if words:
        d.add(elm.Label().at(at).label(words, halign=align, valign="center", color=colour))


def wire(d: schemdraw.Drawing, *points: Point, stray: bool = False) -> None:
    for start, end in pairwise(points):
        line = elm.Line().at(start).to(end)
        d.add(line.linestyle("--").color(STRAY) if stray else line)


def dots(d: schemdraw.Drawing, *points: Point) -> None:
    for point in points:
        d.add(elm.Dot(radius=0.06).at(point))


def ground(d: schemdraw.Drawing, *points: Point) -> None:
    """Signal ground: the minus of the battery, not earth."""
    for point in points:
        d.add(elm.GroundSignal().at(point))


def net(d: schemdraw.Drawing, at: Point, words: str, align: Align = "left") -> None:
    """A named end: it goes on where the same name stands."""
    d.add(elm.Dot(open=True, radius=0.08).at(at))
    shift = 0.22 if align == "left" else -0.22
    text(d, (at[0] + shift, at[1]), words, align=align)
