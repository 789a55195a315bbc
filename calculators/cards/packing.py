"""Whether everything fits into the case, and how much air is left."""

from dataclasses import dataclass
from functools import lru_cache
from itertools import permutations
from math import fsum
from typing import Any

from calculators.cards.packing_drawing import Body, Case, draw
from calculators.declare import (
    Calculator,
    Caution,
    Choice,
    Group,
    Level,
    Number,
    Option,
    Output,
    Results,
    Shown,
    Value,
    Values,
    Verdict,
    row_key,
)
from calculators.drawing import Drawing
from calculators.errors import InputError
from calculators.formulas import boxes, packing, resin, round_case
from calculators.formulas.arrangement import CLOSE, Arrangement, Place, Size, deciding
from calculators.units import format_display

BOX, ROUND = "box", "round"

KINDS = {
    "recorder": "recorder",
    "battery": "battery pack",
    "board": "circuit board",
    "desiccant": "desiccant",
    "cable": "coil of cable",
    "weight": "weight",
    "other": "part",
}
"""What a part is, by option."""

PLUGS = {
    "none": (0.0, 0.0, 0.0),
    "end": (1.0, 0.0, 0.0),
    "both-ends": (2.0, 0.0, 0.0),
    "side": (0.0, 1.0, 0.0),
    "both-sides": (0.0, 2.0, 0.0),
    "end-and-side": (1.0, 1.0, 0.0),
    "top": (0.0, 0.0, 1.0),
}
"""Faces with a plug, by option: along the part's length, width and height."""

EDGES = ("length", "width", "height")

LENGTH_TO_SPARE = 0.01
"""So much room is ample, m: a finger goes in."""

MOST_PARTS = 10
"""Parts altogether; more would be packed badly by any quick search."""

WITH_PLUG = tuple(option for option, counts in PLUGS.items() if any(counts))

Row = dict[str, Any]


@dataclass(frozen=True)
class _Fit:
    """An arrangement, and how much the case had to be widened for it."""

    arrangement: Arrangement
    missing: float


def _arranged(case: Row, parts: tuple[Size, ...]) -> _Fit:
    """The parts in the case, or in one so much wider that each goes in by itself."""
    if case["case_shape"] == ROUND:
        diameter = float(case["inner_diameter"])
        missing = round_case.missing_across(parts, diameter)
        return _Fit(round_case.arrange(parts, diameter + missing), missing)
    width, height = float(case["inner_width"]), float(case["inner_height"])
    missing = boxes.missing_across(parts, width, height)
    return _Fit(boxes.arrange(parts, width + missing, height + missing), missing)


def _envelope(row: Row, overhang: str) -> Size:
    """What a part is packed as, with plugs of this overhang."""
    along, across, up = (
        _edge(row, edge, plugs, overhang)
        for edge, plugs in zip(EDGES, PLUGS[row["plug_side"]], strict=True)
    )
    return along, across, up


def _edge(row: Row, edge: str, plugs: float, overhang: str) -> float:
    """Along one edge; the working shows those with a plug."""
    size, clearance = row[f"part_{edge}"], row["clearance"]
    if not plugs:
        return packing.clear_size(size, clearance)
    return packing.envelope_size(
        size=size, plugs=plugs, overhang=row[overhang], clearance=clearance
    )


def _counted(rows: list[Row], envelopes: list[Size]) -> tuple[Size, ...]:
    """One envelope for each part."""
    return tuple(e for row, e in zip(rows, envelopes, strict=True) for _ in _numbers(row))


def _numbers(row: Row) -> range:
    return range(int(row["part_count"]))


def _check_count(rows: list[Row]) -> None:
    counts = [int(row["part_count"]) for row in rows]
    if sum(counts) > MOST_PARTS:
        most = max(range(len(counts)), key=lambda i: counts[i])
        raise InputError(
            row_key("part_count", most + 1),
            f"How many: {sum(counts)} parts altogether are more than can be tried here. Give no "
            f"more than {MOST_PARTS}; those that are strapped together are one part.",
        )


def _angled(rows: list[Row], envelopes: list[Size]) -> list[Size]:
    """Envelopes with low-profile plugs; parts without a plug keep theirs."""
    return [
        _envelope(row, "low_profile_overhang") if any(PLUGS[row["plug_side"]]) else envelope
        for row, envelope in zip(rows, envelopes, strict=True)
    ]


def _case_volume(case: Row) -> float:
    if case["case_shape"] == ROUND:
        return resin.tube_volume(
            outer_diameter=case["inner_diameter"], inner_diameter=0.0, length=case["inner_length"]
        )
    return resin.box_volume(
        length=case["inner_length"], width=case["inner_width"], height=case["inner_height"]
    )


def _parts_volume(rows: list[Row]) -> float:
    return fsum(
        row["part_count"]
        * resin.box_volume(
            length=row["part_length"], width=row["part_width"], height=row["part_height"]
        )
        for row in rows
    )


def _free_volume(*, part: list[Row], **case: Value) -> float:
    """The air that is left, for which nothing need be arranged."""
    return packing.free_volume(case_volume=_case_volume(case), parts_volume=_parts_volume(part))


def _fit(
    case_shape: str,
    inner_length: float,
    inner_width: float,
    inner_height: float,
    inner_diameter: float,
    part: list[Row],
) -> dict[str, float]:
    _check_count(part)
    case = {
        "case_shape": case_shape,
        "inner_length": inner_length,
        "inner_width": inner_width,
        "inner_height": inner_height,
        "inner_diameter": inner_diameter,
    }
    case_volume, parts_volume = _case_volume(case), _parts_volume(part)
    envelopes = [_envelope(row, "plug_overhang") for row in part]
    straight = _arranged(case, _counted(part, envelopes))
    angled = _arranged(case, _counted(part, _angled(part, envelopes)))
    needed = straight.arrangement.length
    spare = packing.spare_length(inner_length=inner_length, needed_length=needed)
    return {
        # A part that does not go in across leaves nothing to spare, however long the case.
        "spare_length": spare if straight.missing <= CLOSE else min(spare, -straight.missing),
        "needed_length": needed,
        # A number of its own: the working would take the bound for the part that gave it.
        "least_length": straight.arrangement.least + 0.0,
        "missing_across": straight.missing,
        "low_profile_length": angled.arrangement.length,
        "free_volume": packing.free_volume(case_volume=case_volume, parts_volume=parts_volume),
        "packing_ratio": packing.packing_ratio(case_volume=case_volume, parts_volume=parts_volume),
        "case_volume": case_volume,
        "parts_volume": parts_volume,
    }


def _judged(values: Any, low: float, high: float) -> Level:
    """Fits; is proved not to; or neither."""
    if low >= -CLOSE:
        return "good"
    too_long = float(values["least_length"]) > float(values["inner_length"]) + CLOSE
    proved = too_long or float(values["missing_across"]) > CLOSE
    return "fail" if high < -CLOSE and proved else "care"


def _rows(values: Values) -> list[Row]:
    """The parts, row by row."""
    rows: list[Row] = []
    while row_key("part_kind", number := len(rows) + 1) in values:
        rows.append({name: values[row_key(name, number)] for name in _PART_INPUTS})
    return rows


@lru_cache(maxsize=16)
def _bodies(given: tuple[tuple[str, Value], ...], overhang: str) -> tuple[Body, ...]:
    """Every part as it lies, with its plugs; ``overhang`` names the input for them."""
    values = dict(given)
    rows = _rows(values)
    envelopes = [_envelope(row, overhang) for row in rows]
    places = _arranged(values, _counted(rows, envelopes)).arrangement.places
    bodies = []
    numbers = [(n, copy) for n, row in enumerate(rows, 1) for copy in _numbers(row)]
    for (n, copy), place in zip(numbers, places, strict=True):
        row = rows[n - 1]
        copies = "" if row["part_count"] == 1 else "abcdefghij"[copy]
        bodies.append(_body(f"{n}{copies}", row, envelopes[n - 1], place, float(row[overhang])))
    return tuple(bodies)


def _body(name: str, row: Row, envelope: Size, place: Place, overhang: float) -> Body:
    """The bare part inside its envelope; a single plug stands at the far side."""
    turn = next(p for p in permutations(range(3)) if tuple(envelope[i] for i in p) == place.size)
    sizes = [float(row[f"part_{EDGES[i]}"]) for i in turn]
    plugs = [PLUGS[row["plug_side"]][i] for i in turn]
    clearance = float(row["clearance"])
    corner = [
        start + clearance + (overhang if count == 2 else 0.0)
        for start, count in zip(place.corner, plugs, strict=True)
    ]
    return Body(
        name=name,
        kind=KINDS[row["part_kind"]],
        corner=(corner[0], corner[1], corner[2]),
        size=(sizes[0], sizes[1], sizes[2]),
        plugs=(int(plugs[0]), int(plugs[1]), int(plugs[2])),
        overhang=overhang,
        turn=(turn[0], turn[1], turn[2]),
    )


def _given(values: Values) -> tuple[tuple[str, Value], ...]:
    return tuple(sorted(values.items()))


def _picture(values: Values, results: Results, system: str) -> Drawing:
    diameter = float(values["inner_diameter"])
    is_round = values["case_shape"] == ROUND
    case = Case(
        length=float(values["inner_length"]),
        width=diameter if is_round else float(values["inner_width"]),
        height=diameter if is_round else float(values["inner_height"]),
        round=is_round,
    )
    return draw(case, _bodies(_given(values), "plug_overhang"), results["needed_length"], system)


def _named(body: Body) -> str:
    return f"{body.name} ({body.kind})"


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    rows = _rows(values)
    fit = _arranged(values, _counted(rows, [_envelope(row, "plug_overhang") for row in rows]))
    bodies = _bodies(_given(values), "plug_overhang")
    said = [
        _proof(values, results, system),
        _line(fit.arrangement, bodies),
        _turned(bodies),
        *_gain(values, rows, results, system),
    ]
    if results["missing_across"] > CLOSE:
        more = format_display(results["missing_across"], "mm", 3, system)
        said.insert(
            0,
            f"A part does not go in across, whichever way it is turned, edges along the case's: "
            f"{more} are missing. Lengths and picture are those of a case so much wider"
            + (" in its bore." if values["case_shape"] == ROUND else " and higher."),
        )
    if results["free_volume"] <= 0:
        said.append("The parts together are more than the case: no arrangement can hold them.")
    return said


def _proof(values: Values, results: Results, system: str) -> str:
    needed, least = results["needed_length"], results["least_length"]
    if needed <= least + CLOSE:
        square = "to each other and to the tube" if values["case_shape"] == ROUND else "to the case"
        return f"This is exact: no arrangement of parts that lie square {square} is shorter."
    shown = format_display(least, "mm", 4, system)
    return (
        "This is a good arrangement, not proved the shortest: there are too many to try them all. "
        f"It is proved that none is shorter than {shown}."
    )


def _line(arrangement: Arrangement, bodies: tuple[Body, ...]) -> str:
    line = [bodies[i] for i in deciding(arrangement)]
    names = ", ".join(_named(body) for body in line)
    if len(line) == 1:
        return f"What decides the length is part {names} alone: nothing else stands in its line."
    return f"What decides the length is the line of parts {names}, one behind the other."


def _turned(bodies: tuple[Body, ...]) -> str:
    ways = ("along the case", "across it", "up")
    told = "; ".join(
        f"{_named(body)} with its {EDGES[body.turn[0]]} {ways[0]} and its "
        f"{EDGES[body.turn[2]]} {ways[2]}"
        for body in bodies
    )
    return f"As drawn they lie: {told}."


def _gain(values: Values, rows: list[Row], results: Results, system: str) -> list[str]:
    """What plugs of low profile would change."""
    plugged = [row for row in rows if any(PLUGS[row["plug_side"]])]
    if all(row["plug_overhang"] == row["low_profile_overhang"] for row in plugged):
        return []
    gained = results["needed_length"] - results["low_profile_length"]
    spare = float(values["inner_length"]) - results["low_profile_length"]
    if abs(gained) <= CLOSE:
        return ["Low-profile plugs change nothing here: other parts decide the length."]
    shown = format_display(abs(gained), "mm", 3, system)
    if gained < 0:
        return [f"Low-profile plugs, as entered, would take {shown} more."]
    said = f"Low-profile plugs would gain {shown}"
    if results["spare_length"] < -CLOSE:
        left = format_display(abs(spare), "mm", 3, system)
        said += (
            f": with them it fits, {left} to spare"
            if spare >= -CLOSE
            else (f", and {left} would still be missing")
        )
    return [f"{said}."]


def _has_battery(values: Values, results: Results) -> bool:
    return any(row["part_kind"] in ("battery", "recorder", "other") for row in _rows(values))


_CASE_INPUTS = (
    Choice(
        name="case_shape",
        label="Shape of the case",
        options=(
            Option(value=BOX, label="rectangular"),
            Option(value=ROUND, label="round tube"),
        ),
        default=BOX,
        rig="case.shape",
    ),
    Number(
        name="inner_length",
        label="Inner length",
        unit="mm",
        default="180 mm",
        low="20 mm",
        high="2 m",
        why="a vial to a pole",
        hint="at the narrowest: ribs, lid and end plugs taken off",
        tolerance="±1 mm",
        rig="case.inner_length",
    ),
    Number(
        name="inner_width",
        label="Inner width",
        unit="mm",
        default="110 mm",
        low="10 mm",
        high="1 m",
        why="a vial to a chest",
        hint="at the bottom, between ribs and bosses",
        tolerance="±1 mm",
        shown=Shown(input="case_shape", values=(BOX,)),
        rig="case.inner_width",
    ),
    Number(
        name="inner_height",
        label="Inner height",
        unit="mm",
        default="70 mm",
        low="10 mm",
        high="1 m",
        why="a vial to a chest",
        hint="up to the closed lid, at its lowest place",
        tolerance="±1 mm",
        shown=Shown(input="case_shape", values=(BOX,)),
        rig="case.inner_height",
    ),
    Number(
        name="inner_diameter",
        label="Inner diameter",
        unit="mm",
        default="100 mm",
        low="10 mm",
        high="1 m",
        why="a vial to a barrel",
        hint="the smallest: at the plugs, or where the tube is oval",
        tolerance="±1 mm",
        shown=Shown(input="case_shape", values=(ROUND,)),
        rig="case.inner_diameter",
    ),
)


def _size(edge: str, default: str, hint: str = "") -> Number:
    return Number(
        name=f"part_{edge}",
        label=edge.capitalize(),
        group="part",
        unit="mm",
        default=default,
        low="1 mm",
        high="1 m",
        why="a foil to a tube",
        hint=hint,
        rig=f"case.part.{edge}",
    )


_PART_FIELDS = (
    Choice(
        name="part_kind",
        label="What it is",
        group="part",
        options=tuple(Option(value=value, label=label) for value, label in KINDS.items()),
        default="recorder",
        hint="only for its name",
        rig="case.part.kind",
    ),
    _size("length", "105 mm", "with everything that cannot be taken off, without plugs"),
    _size("width", "60 mm"),
    _size("height", "25 mm"),
    Number(
        name="part_count",
        label="How many of them",
        group="part",
        unit="1",
        default="1",
        low="1",
        high="4",
        why="one to a set of cells",
        integer=True,
        rig="case.part.count",
    ),
    Number(
        name="clearance",
        label="Kept free all round",
        group="part",
        unit="mm",
        default="2 mm",
        low="0 mm",
        high="100 mm",
        why="touching to thick foam",
        hint="foam, warmth, fingers; two parts keep both",
        rig="case.part.clearance",
    ),
    Choice(
        name="plug_side",
        label="Plug at",
        group="part",
        options=(
            Option(value="none", label="no face"),
            Option(value="end", label="one end of its length"),
            Option(value="both-ends", label="both ends of its length"),
            Option(value="side", label="one side, along its width"),
            Option(value="both-sides", label="both sides, along its width"),
            Option(value="end-and-side", label="one end and one side"),
            Option(value="top", label="top or bottom, along its height"),
        ),
        default="end",
        rig="case.part.plug_side",
    ),
    Number(
        name="plug_overhang",
        label="Plug stands out by",
        group="part",
        unit="mm",
        default="45 mm",
        low="0 mm",
        high="300 mm",
        why="flush to a long connector",
        hint="plugged in, with the first bend of its cable",
        shown=Shown(input="plug_side", values=WITH_PLUG),
        rig="case.part.plug_overhang",
    ),
    Number(
        name="low_profile_overhang",
        label="A low-profile plug by",
        group="part",
        unit="mm",
        default="15 mm",
        low="0 mm",
        high="300 mm",
        why="flush to a long connector",
        hint="an angled one; its cable leaves along the face",
        shown=Shown(input="plug_side", values=WITH_PLUG),
        rig="case.part.low_profile_overhang",
    ),
)

_PART_INPUTS = tuple(item.name for item in _PART_FIELDS)

CASE_FIT = Calculator(
    id="case-fit",
    title="Fitting it all in",
    question="Does it all fit in, and how much air is left?",
    stage="seal",
    inputs=(*_CASE_INPUTS, *_PART_FIELDS),
    groups=(Group(name="part", label="Part", most=6),),
    outputs=(
        Output(
            name="spare_length",
            label="Length to spare",
            unit="mm",
            help="below zero: what is missing along the case, or across if a part alone lacks more",
            verdict=Verdict(
                better="above",
                limit=0.0,
                met="It fits, edges along the case's.",
                missed="It does not fit, edges along the case's: for the values given that is "
                "proved. The remarks say what decides.",
                unsure="Not decided: the tolerances reach to both sides, or no arrangement that "
                "fits was found and none is proved impossible. The remarks say which.",
                source="parts taken as boxes with their clearances and plugs",
                level=_judged,
                ample=LENGTH_TO_SPARE,
            ),
        ),
        Output(
            name="needed_length",
            label="Length needed",
            unit="mm",
            digits=4,
            help="of the shortest arrangement found for this width and height, or diameter",
        ),
        Output(
            name="least_length",
            label="Proved lower limit of the length",
            unit="mm",
            digits=4,
            help="no arrangement is shorter; the same as the length needed if that is exact",
        ),
        Output(
            name="missing_across",
            label="Missing across",
            unit="mm",
            help="by which the case is too narrow or too low for one part alone, any way round",
            verdict=Verdict(
                better="below",
                limit=0.0,
                met="Every part goes in across, by itself.",
                missed="A part alone is too large across, however long the case.",
                unsure="Within the tolerances a part may be too large across.",
                source="each part turned in every way",
                ample=LENGTH_TO_SPARE,
                in_rig=False,
            ),
        ),
        Output(
            name="low_profile_length",
            label="Length needed with low-profile plugs",
            unit="mm",
            digits=4,
            verdict=Verdict(
                better="below",
                limit="inner_length",
                met="With low-profile plugs it fits along the case.",
                missed="Low-profile plugs alone do not make it fit.",
                unsure="With low-profile plugs the tolerances decide.",
                missed_level="care",
                source="the case's inner length",
                ample=LENGTH_TO_SPARE,
                in_rig=False,
            ),
        ),
        Output(
            name="free_volume",
            label="Free air in the case",
            unit="L",
            help="inner volume less the bare parts: for condensation, leak budget and ballast",
            rig="case.free_volume",
        ),
        Output(
            name="packing_ratio",
            label="Part of the case that is filled",
            unit="%",
            help="bare parts over inner volume",
        ),
        Output(name="case_volume", label="Inner volume of the case", unit="L"),
        Output(name="parts_volume", label="Volume of all bare parts", unit="L"),
    ),
    compute=_fit,
    apart={"free_volume": _free_volume},
    drawing=_picture,
    remarks=_remarks,
    cautions=(
        Caution(
            title="Cells need room, and a way out for their gas",
            text="Nothing may press on a cell or rub through its sleeve: a shorted or crushed cell "
            "can burn, and a tight case then bursts. Keep air around packs and the way to the vent "
            "free, as the maker's sheet and local rules say.",
            when=_has_battery,
        ),
    ),
    in_rig=True,
)
