"""The rig at its depth, as a section through the water to scale."""

from dataclasses import dataclass
from math import cos, radians

from calculators.drawing import Drawing, Ellipse, Label, Polygon, Segment, Shape, box
from calculators.entries import shown_text
from calculators.rig.depths import CABLE, MOORING, Limit, Place, find_place
from calculators.rig.facts import Facts
from calculators.rig.lanes import apart, ticks
from calculators.units.table import display_unit, unit_of

WIDE = 1.3
"""Width of the section over its depth."""

LINE = 0.066
"""Height of a line of words, as a part of the section's height in the narrowest picture."""

BODY = 0.05
"""Size that case, buoy and anchor are drawn with, likewise."""

RIG = 0.8
"""Where the rig stands, as a part of the width."""

HYDROPHONE = 0.66
"""Where its hydrophone is drawn, likewise."""

MOST_SWAY = 0.17
"""How far aside the upper end of the line is drawn at most, likewise."""

WORDS_AT = 0.04
"""Where the names of the depth limits begin, likewise."""

MOST_DEPTHS = 8
"""Depths named at the axis."""


def section(facts: Facts, system: str) -> tuple[Drawing | None, list[str]]:
    """The picture, None where the depth is not stated, and what is left out of it."""
    place, left_out = find_place(facts)
    if place is None:
        return None, left_out
    rig, said, why = _rig(facts, place, system)
    shapes = [*_water(place), *rig, *_depths(place, system), *_names(place, system)]
    return (
        Drawing(
            title="The rig at its depth",
            description=" ".join([*_words(facts, place, system), *said]),
            shapes=shapes,
        ),
        [*left_out, *why],
    )


def _water(place: Place) -> list[Shape]:
    width = WIDE * place.deepest
    shapes: list[Shape] = [box(0.0, -place.water, width, place.water, "water")]
    if place.bottom is not None:
        shapes.append(box(0.0, -place.deepest, width, place.deepest - place.bottom, "ground"))
    shapes.append(Segment(start=(0.0, 0.0), end=(width, 0.0)))
    if place.tide > 0:
        low = -place.tide
        shapes.append(Segment(start=(0.0, low), end=(width, low), kind="axis"))
    return shapes


def _depths(place: Place, system: str) -> list[Shape]:
    """The depth axis at the left, in the reader's unit."""
    unit = display_unit("m", system)
    size = float(unit_of(unit).factor)
    shapes: list[Shape] = [Segment(start=(0.0, 0.0), end=(0.0, -place.deepest))]
    tick = 0.01 * place.deepest
    for depth in ticks(0.0, place.deepest / size, MOST_DEPTHS):
        text = f"{depth:g} {unit}" if depth else "0"
        shapes += [
            Segment(start=(0.0, -depth * size), end=(-tick, -depth * size)),
            Label(at=(-2 * tick, -depth * size), text=text, anchor="end"),
        ]
    return shapes


def _names(place: Place, system: str) -> list[Shape]:
    """Depth limits with their ranges, and the names of the waters, none over another."""
    width, line = WIDE * place.deepest, LINE * place.deepest
    shapes: list[Shape] = []
    named = [("highest water" if place.tide > 0 else "surface", 0.0)]
    if place.tide > 0:
        named.append(("lowest water", place.tide))
    if place.bottom is not None:
        named.append((f"bottom {_metres(place.bottom, system)}", place.bottom))
    if place.hydrophone is not None:
        named.append((f"hydrophone {_metres(place.hydrophone, system)}", place.hydrophone))
    for limit in place.limits:
        if limit.depth > place.deepest:
            named.append((f"{_said(limit, system)}: below this", place.deepest))
            continue
        shapes += _limit(limit, width, place.deepest)
        named.append((_said(limit, system), limit.depth))
    heights = apart([-depth + line / 2 for _, depth in named], line)
    shapes += [
        Label(at=(WORDS_AT * width, height), text=text, anchor="start")
        for (text, _), height in zip(named, heights, strict=True)
    ]
    return shapes


def _limit(limit: Limit, width: float, deepest: float) -> list[Shape]:
    """A line at the limit, and its range at the axis."""
    low, high = min(limit.low, deepest), min(limit.high, deepest)
    band = [box(0.0, -high, 0.02 * width, high - low, "doubt")] if high > low else []
    line = Segment(start=(0.0, -limit.depth), end=(RIG / 2 * width, -limit.depth), kind="hidden")
    return [*band, line]


def _said(limit: Limit, system: str) -> str:
    """``lid 5.4 m to 7.1 m``."""
    ends = [_metres(x, system) for x in (limit.low, limit.high)]
    return f"{limit.name} {ends[0]}" if ends[0] == ends[1] else f"{limit.name} {' to '.join(ends)}"


def _metres(length: float, system: str) -> str:
    return shown_text(length, "m", system, digits=3)


@dataclass(frozen=True)
class _Line:
    """Ends of the line, in the picture."""

    lower: tuple[float, float]
    upper: tuple[float, float]


def _rig(facts: Facts, place: Place, system: str) -> tuple[list[Shape], list[str], list[str]]:
    """The case, and line, buoy and anchor where they are known; the same in words; what is not."""
    width, size = WIDE * place.deepest, BODY * place.deepest
    at = (RIG * width, -place.case)
    case: list[Shape] = [
        *_hydrophone(place, at, size, width),
        box(at[0] - size, at[1] - size / 2, 2 * size, size, "part"),
        _case_name(place, at, size, system),
    ]
    setup, length = facts.fact(MOORING, "setup"), facts.fact(MOORING, "line_length")
    if setup is None or setup.usual or length is None:
        return case, [], ["Line, buoy and anchor: not stated"]
    if place.bottom is None:
        return case, [], ["Line, buoy and anchor: the depth of the water is not stated"]
    lean = facts.fact(MOORING, "line_angle")
    angle = lean.number if lean else 0.0
    if setup.value == "floating":
        line = _Line((at[0], -place.bottom), (at[0], at[1] - size / 2))
        ends: list[Shape] = [_anchor(line.lower, size)]
        said = f"It floats on {_metres(length.number, system)} of line above its anchor."
    else:
        line = _to_buoy(place, at, length.number, angle, MOST_SWAY * width)
        ends = [Ellipse(centre=line.upper, rx=size / 2, ry=size / 2, kind="air")]
        said = f"A buoy hangs on {_metres(length.number, system)} of line above it."
    return [_drawn(line), *ends, *case], [said, *_anchor_words(facts, system)], []


def _case_name(place: Place, at: tuple[float, float], size: float, system: str) -> Label:
    """Beside the case, but above it where the hydrophone's cable goes off beside it."""
    text, (x, y) = f"case {_metres(place.case, system)}", at
    level = place.hydrophone is not None and abs(place.hydrophone - place.case) < 2 * size
    if level:
        return Label(at=(x, y + 1.2 * size), text=text)
    return Label(at=(x - 1.3 * size, y), text=text, anchor="end")


def _hydrophone(place: Place, case: tuple[float, float], size: float, width: float) -> list[Shape]:
    """The hydrophone on its cable, where its depth is stated; its name stands at the axis."""
    if place.hydrophone is None:
        return []
    at = (HYDROPHONE * width, -place.hydrophone)
    return [
        Segment(start=case, end=at),
        Ellipse(centre=at, rx=size / 4, ry=size / 4, kind="seal"),
    ]


def _to_buoy(
    place: Place, foot: tuple[float, float], length: float, angle: float, most: float
) -> _Line:
    """From the case to its buoy: at the surface, or below where the line is too short for it."""
    assert place.bottom is not None
    up = min(length * cos(radians(angle)), place.case)
    aside = min((length**2 - up**2) ** 0.5, most)
    return _Line(foot, (foot[0] + aside, foot[1] + up))


def _drawn(line: _Line) -> Shape:
    return Segment(start=line.lower, end=line.upper)


def _anchor(foot: tuple[float, float], size: float) -> Shape:
    x, y = foot
    points = ((x - size, y), (x + size, y), (x + size / 2, y + size), (x - size / 2, y + size))
    return Polygon(points=points, kind="ballast", label="")


def _anchor_words(facts: Facts, system: str) -> list[str]:
    mass = facts.fact(MOORING, "anchor_mass")
    if mass is None:
        return []
    if mass.ends[1] <= 0:
        return ["No anchor is needed beside its own weight."]
    return [f"Anchor that it takes, weighed in air: {mass.full_text(system)}."]


def _words(facts: Facts, place: Place, system: str) -> list[str]:
    """The same in words."""
    said = [
        f"Depths are to scale, from the {'highest water' if place.tide > 0 else 'surface'}; case, "
        f"buoy and anchor are drawn larger than they are. The case lies at "
        f"{_metres(place.case, system)}."
    ]
    if place.hydrophone is not None:
        said.append(f"The hydrophone is at {_metres(place.hydrophone, system)}.")
    if place.bottom is not None:
        said.append(f"The bottom is at {_metres(place.bottom, system)}.")
        if place.case > place.bottom:
            said.append("That is above the case: one of the two depths is wrong.")
    if place.tide > 0:
        said.append(f"The lowest water is {_metres(place.tide, system)} lower.")
    for limit in place.limits:
        way = "deeper than" if limit.low > place.case else "not surely deeper than"
        said.append(f"Depth limit of the {_said(limit, system)}, {way} the case.")
    return [*said, *_held(facts, system)]


def _held(facts: Facts, system: str) -> list[str]:
    """The cable's seal has no depth limit of its own, but a factor at this depth."""
    safety = facts.fact(CABLE, "safety")
    if safety is None:
        return []
    return [f"Safety factor of the cable's seal at this depth: {safety.full_text(system)}."]
