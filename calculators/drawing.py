"""A picture to scale, as data: what a card says of its shapes, and the page draws.

Lengths are metres, x to the right and y up. The page finds the scale that fits. A picture that is
not of things, such as a bar over time, has its shapes in a frame of its own.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

Kind = Literal[
    "wall",
    "lid",
    "seal",
    "resin",
    "cable",
    "water",
    "air",
    "part",
    "plug",
    "ballast",
    "line",
    "ground",
    "room",
    "doubt",
    "lost",
    "night",
]
"""What a shape is made of, or of a bar what it stands for: room that is there, may be there or is
lost, and darkness. The page has a look for each."""

Point = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Polygon:
    """A closed outline."""

    points: Sequence[Point]
    kind: Kind
    label: str = ""


def box(
    left: float, bottom: float, width: float, height: float, kind: Kind, label: str = ""
) -> Polygon:
    """A rectangle that stands upright."""
    right, top = left + width, bottom + height
    corners = ((left, bottom), (right, bottom), (right, top), (left, top))
    return Polygon(points=corners, kind=kind, label=label)


@dataclass(frozen=True, kw_only=True)
class Ellipse:
    """An ellipse with upright axes; a circle where both radii are the same."""

    centre: Point
    rx: float
    ry: float
    kind: Kind
    label: str = ""


@dataclass(frozen=True, kw_only=True)
class Segment:
    """A straight line: an edge, an axis of symmetry, or an edge that is hidden."""

    start: Point
    end: Point
    kind: Literal["edge", "axis", "hidden"] = "edge"


@dataclass(frozen=True, kw_only=True)
class Dimension:
    """A dimension line between two points, moved aside by ``offset``, to the left if positive."""

    start: Point
    end: Point
    text: str
    offset: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Label:
    """Words at a point."""

    at: Point
    text: str
    anchor: Literal["start", "middle", "end"] = "middle"


Shape = Polygon | Ellipse | Segment | Dimension | Label


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """Shapes in the order in which they lie on each other, and the same in words."""

    title: str
    description: str
    shapes: Sequence[Shape]


def as_data(drawing: Drawing) -> dict[str, Any]:
    """The drawing as a page gets it, lengths in millimetres to a nanometre."""
    return {
        "title": drawing.title,
        "description": drawing.description,
        "shapes": [_shape_data(shape) for shape in drawing.shapes],
    }


def _shape_data(shape: Shape) -> dict[str, Any]:
    match shape:
        case Polygon(points=points, kind=kind, label=label):
            return {"shape": "polygon", "points": _scaled(points), "kind": kind, "label": label}
        case Ellipse(centre=centre, rx=rx, ry=ry, kind=kind, label=label):
            radii = {"rx": _millimetres(rx), "ry": _millimetres(ry)}
            return {
                "shape": "ellipse",
                "points": _scaled([centre]),
                **radii,
                "kind": kind,
                "label": label,
            }
        case Segment(start=start, end=end, kind=style):
            return {"shape": "segment", "points": _scaled([start, end]), "kind": style}
        case Dimension(start=start, end=end, text=text, offset=offset):
            ends = _scaled([start, end])
            return {
                "shape": "dimension",
                "points": ends,
                "text": text,
                "offset": _millimetres(offset),
            }
        case Label(at=at, text=text, anchor=anchor):
            return {"shape": "label", "points": _scaled([at]), "text": text, "anchor": anchor}


def _scaled(points: Sequence[Point]) -> list[list[float]]:
    return [[_millimetres(x), _millimetres(y)] for x, y in points]


def _millimetres(length: float) -> float:
    return round(length * 1000, 6)
