"""The packed case to scale: from above, from the side, and from its end."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from calculators.drawing import Dimension, Drawing, Ellipse, Kind, Label, Shape, box
from calculators.formulas.arrangement import Size
from calculators.units import format_display

WALL = 0.015
"""Thickness that the wall is drawn with, as a part of the longest size."""

GAP = 0.2
"""Room between the views, likewise."""

PLUG_WIDTH = 0.5
"""Width of a plug as it is drawn, as a part of the face's shorter edge."""

Rectangle = tuple[float, float, float, float]
"""Left, bottom, width, height."""


@dataclass(frozen=True)
class Case:
    """The inside of the case."""

    length: float
    width: float
    height: float
    round: bool


@dataclass(frozen=True)
class Body:
    """One part as it lies, without its clearance; across and up from the case's corner or axis.

    ``turn`` says which of its edges lies along the case, across it and up.
    """

    name: str
    kind: str
    corner: Size
    size: Size
    plugs: tuple[int, int, int]
    overhang: float
    turn: tuple[int, int, int]

    def plug_boxes(self) -> list[tuple[Size, Size]]:
        """Corner and size of each plug: as long as it is, in the middle of its face."""
        found = []
        for axis, count in enumerate(self.plugs):
            if not count or not self.overhang:
                continue
            others = [i for i in range(3) if i != axis]
            thick = PLUG_WIDTH * min(self.size[i] for i in others)
            corner = [c + (s - thick) / 2 for c, s in zip(self.corner, self.size, strict=True)]
            size = [thick, thick, thick]
            size[axis] = self.overhang
            starts = [self.corner[axis] + self.size[axis]]
            if count == 2:
                starts.append(self.corner[axis] - self.overhang)
            for start in starts:
                corner[axis] = start
                found.append(((corner[0], corner[1], corner[2]), (size[0], size[1], size[2])))
        return found


@dataclass(frozen=True)
class _View:
    """One view: which axes go right and up, where its origin is, and what is nearer to the eye."""

    right: int
    up: int
    origin: tuple[float, float]
    near: Callable[[Body], float]

    def rectangle(self, corner: Size, size: Size) -> Rectangle:
        """A box as this view shows it."""
        return (
            self.origin[0] + corner[self.right],
            self.origin[1] + corner[self.up],
            size[self.right],
            size[self.up],
        )


def draw(case: Case, bodies: Sequence[Body], needed: float, system: str) -> Drawing:
    """Three views of the case with its parts."""
    largest = max(case.length, needed, case.width, case.height)
    gap, wall = GAP * largest, WALL * largest
    reach = max(case.length, needed)
    middle = (case.width / 2, case.height / 2) if case.round else (0.0, 0.0)
    plan = _View(0, 1, (0.0, case.height + gap + middle[0]), lambda b: b.corner[2] + b.size[2])
    side = _View(0, 2, (0.0, middle[1]), lambda b: -b.corner[1])
    end = _View(1, 2, (reach + gap + middle[0], middle[1]), lambda b: b.corner[0] + b.size[0])
    shapes: list[Shape] = []
    shapes += _inside(0.0, case.height + gap, case.length, case.width, wall)
    shapes += _inside(0.0, 0.0, case.length, case.height, wall)
    shapes += _end_wall(case, reach + gap, wall)
    for view in (plan, side, end):
        shapes += _parts(view, bodies)
    shapes += _words(case, gap, reach, needed, system)
    return Drawing(
        title="The packed case: from above, from the side, from its end",
        description=_described(case, bodies, needed, system),
        shapes=shapes,
    )


def _inside(left: float, bottom: float, width: float, height: float, wall: float) -> list[Shape]:
    return [
        box(left - wall, bottom - wall, width + 2 * wall, height + 2 * wall, "wall"),
        box(left, bottom, width, height, "air"),
    ]


def _end_wall(case: Case, left: float, wall: float) -> list[Shape]:
    if not case.round:
        return _inside(left, 0.0, case.width, case.height, wall)
    radius = case.width / 2
    centre = (left + radius, radius)
    return [
        Ellipse(centre=centre, rx=radius + wall, ry=radius + wall, kind="wall"),
        Ellipse(centre=centre, rx=radius, ry=radius, kind="air"),
    ]


def _parts(view: _View, bodies: Sequence[Body]) -> list[Shape]:
    """Far ones first; names where nothing nearer hides them."""
    shapes: list[Shape] = []
    shown: list[tuple[str, Rectangle]] = []
    for body in sorted(bodies, key=view.near):
        for corner, size in body.plug_boxes():
            shapes.append(_shape(view.rectangle(corner, size), "plug"))
        rectangle = view.rectangle(body.corner, body.size)
        shown = [(name, other) for name, other in shown if not _hides(rectangle, other)]
        shown.append((body.name, rectangle))
        shapes.append(_shape(rectangle, "part"))
    shapes += [
        Label(at=(left + width / 2, bottom + height / 2), text=name)
        for name, (left, bottom, width, height) in shown
    ]
    return shapes


def _shape(rectangle: Rectangle, kind: Kind) -> Shape:
    left, bottom, width, height = rectangle
    return box(left, bottom, width, height, kind)


def _hides(nearer: Rectangle, other: Rectangle) -> bool:
    """Whether the middle of a part lies behind a nearer one."""
    left, bottom, width, height = nearer
    across, up = other[0] + other[2] / 2, other[1] + other[3] / 2
    return left <= across <= left + width and bottom <= up <= bottom + height


def _words(case: Case, gap: float, reach: float, needed: float, system: str) -> list[Shape]:
    def text(length: float) -> str:
        return format_display(length, "mm", 4, system)

    top = case.height + gap + case.width
    return [
        Dimension(start=(0.0, top), end=(case.length, top), text=text(case.length), offset=gap / 2),
        Dimension(
            start=(0.0, 0.0), end=(needed, 0.0), text=f"needed {text(needed)}", offset=-gap / 2
        ),
        Label(at=(reach + gap + case.width / 2, case.height + gap / 2), text="from its end"),
        Label(at=(case.length / 2, case.height + gap / 2), text="from the side"),
        Label(at=(reach + gap / 2, case.height + gap + case.width / 2), text="from above",
              anchor="start"),
    ]  # fmt: skip


def _described(case: Case, bodies: Sequence[Body], needed: float, system: str) -> str:
    names = ", ".join(f"{body.name} {body.kind}" for body in bodies)
    inner = format_display(case.length, "mm", 4, system)
    taken = format_display(needed, "mm", 4, system)
    return (
        f"To scale: {inner} of inner length, of which the parts take {taken} with their clearances "
        f"and plugs. {names}. Plugs are as long as entered; their thickness is only drawn."
    )
