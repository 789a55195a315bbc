"""What bottoms hold of a weight that lies on them."""

from calculators.tables import Cell, Column, Row, Table

_PRECAST = "printed for formed or precast concrete against soil"
_STEEL = "printed for steel sheet piles against soil"
_BOTH = "the same number is printed for both"


def _row(name: str, label: str, text: str, of: str, note: str = "") -> Row:
    cell = Cell(text=text, source="interface-friction", where=f"table 11.1, {of}", note=note)
    return Row(name=name, label=label, cells={"friction": cell})


BOTTOMS = Table(
    id="bottoms",
    title="Friction of a weight on the bottom",
    columns=(Column(name="friction", label="Friction", unit=""),),
    rows=(
        _row("concrete-gravel", "Concrete on gravel", "0.45 ± 0.05", "clean gravel", _PRECAST),
        _row("steel-gravel", "Steel on gravel", "0.40", "clean gravel", _STEEL),
        _row("concrete-sand", "Concrete on clean sand", "0.35 ± 0.05", "clean sand", _PRECAST),
        _row(
            "silty-sand",
            "Concrete on silty sand, steel on clean sand",
            "0.30",
            "silty sand, clean sand",
            _BOTH,
        ),
        _row(
            "silt",
            "Concrete on silt, steel on silty sand",
            "0.25",
            "fine sandy silt, silty sand",
            _BOTH,
        ),
        _row("steel-silt", "Steel on silt", "0.20", "fine sandy silt", _STEEL),
        _row(
            "stone-rock",
            "Stone on clean rock",
            "0.55",
            "dressed hard rock on dressed hard rock",
            "weed and slime take much of it",
        ),
    ),
    note="For foundations and walls, on level ground; taken here for a weight that lies on the "
    "bottom. A weight that has sunk in holds more, until it is shaken loose; on a slope it holds "
    "less. In soft mud a weight sinks and may not come up again.",
)
