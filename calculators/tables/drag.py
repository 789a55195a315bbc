"""How shapes stand in a current and in waves."""

from calculators.tables import Cell, Column, Row, Table


def _drag(text: str, where: str, note: str = "") -> Cell:
    return Cell(
        text=text, source="aeronautical-data-book", where=f"figure 5.13, {where}", note=note
    )


def _memory(text: str, note: str = "") -> Cell:
    return Cell(text=text, source="from memory", note=note)


def _row(name: str, label: str, drag: Cell, inertia: Cell, area: str) -> Row:
    return Row(
        name=name, label=label, cells={"drag": drag, "inertia": inertia, "area": _memory(area)}
    )


_ACROSS = "diameter × length"
_END = "area of the end"

DRAG_SHAPES = Table(
    id="drag-shapes",
    title="Drag and inertia of shapes",
    columns=(
        Column(name="drag", label="Drag coefficient", unit=""),
        Column(
            name="inertia", label="Inertia coefficient", unit="", help="1 plus that of added mass"
        ),
        Column(name="area", label="Area it counts on", unit="text"),
    ),
    rows=(
        _row("box", "Box, flat side to the flow", _memory("1.05 ± 15 %"), _memory("1.7"), "face"),
        _row(
            "plate",
            "Square plate across the flow",
            _drag("1.17", "squared flat plate at 90°"),
            _memory("1.6", "on the volume of a sphere as wide"),
            "face",
        ),
        _row(
            "sphere",
            "Sphere",
            _memory("0.47 ± 15 %"),
            _memory("1.5", "exact in theory"),
            "cross-section",
        ),
        _row(
            "tube-1",
            "Tube across the flow, as long as wide",
            _drag("0.63", "cylinder, right angles to flow, l/d 1"),
            _memory("1.6"),
            _ACROSS,
        ),
        _row(
            "tube-2",
            "… twice as long as wide",
            _drag("0.68", "cylinder, right angles to flow, l/d 2"),
            _memory("1.75"),
            _ACROSS,
        ),
        _row(
            "tube-5",
            "… 5 times as long",
            _drag("0.74", "cylinder, right angles to flow, l/d 5"),
            _memory("1.9"),
            _ACROSS,
        ),
        _row(
            "tube-10",
            "… 10 times as long",
            _drag("0.82", "cylinder, right angles to flow, l/d 10"),
            _memory("1.95"),
            _ACROSS,
        ),
        _row(
            "tube-40",
            "… 40 times as long",
            _drag("0.98", "cylinder, right angles to flow, l/d 40"),
            _memory("2.0"),
            _ACROSS,
        ),
        _row(
            "line",
            "Long line across the flow",
            _drag(
                "1.20",
                "cylinder, right angles to flow, l/d ∞",
                "up to twice as much while it strums (from memory)",
            ),
            _memory("2.0", "exact in theory"),
            _ACROSS,
        ),
        _row(
            "tube-end-1",
            "Tube along the flow, as long as wide",
            _drag("0.91", "cylinder, flow direction, l/d 1"),
            _memory("1.6"),
            _END,
        ),
        _row(
            "tube-end-2",
            "Tube along the flow, twice as long",
            _drag("0.85", "cylinder, flow direction, l/d 2"),
            _memory("1.3"),
            _END,
        ),
        _row(
            "tube-end-4",
            "Tube along the flow, 4 times as long",
            _drag("0.87", "cylinder, flow direction, l/d 4"),
            _memory("1.2"),
            _END,
        ),
    ),
    note="Clean and smooth, far from bottom and surface. Growth adds area and roughness; near the "
    "bottom the case is also lifted. The inertia coefficients are from memory.",
)
