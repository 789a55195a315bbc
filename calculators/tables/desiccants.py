"""What dries a case, what brings water into it, and what lets vapour through."""

from calculators.tables import Cell, Column, Row, Table

_BAG = "of clay or gel, at the most; the bag says its own"


def _unit(name: str, humidity: str, capacity: str, source: str, where: str) -> Row:
    """A standard unit, at the humidity that it may end at."""
    return Row(
        name=name,
        label=f"Standard unit, down to {humidity}",
        cells={
            "final_humidity": Cell(text=humidity, source=source, where=where),
            "capacity": Cell(text=capacity, source=source, where=where),
            "unit_mass": Cell(text="50 g", source="mil-d-3464", where="unit weight", note=_BAG),
            "regeneration": Cell(
                text="in its bag 24 h at 118 °C, not hotter",
                source="desiccant-drying-page",
                where="packets, 245 °F",
                note="if its bag stands it; the bag's print counts",
            ),
        },
    )


def _gel(name: str, humidity: str, taken: str, where: str) -> Row:
    """Silica gel as it was weighed, for 50 g of it."""
    return Row(
        name=name,
        label=f"Silica gel, 50 g of loose beads, down to {humidity}",
        cells={
            "final_humidity": Cell(text=humidity, source="silica-gel-weighed", where=where),
            "capacity": Cell(text=taken, source="silica-gel-weighed", where=where),
            "unit_mass": Cell(text="50 g", source="common practice", note="a choice of ours"),
            "regeneration": Cell(
                text="in a flat layer 1 h to 2 h at 150 °C, never above 162 °C",
                source="silica-gel-regeneration",
                where="method",
            ),
        },
    )


DESICCANTS = Table(
    id="desiccants",
    title="Desiccants",
    columns=(
        Column(name="final_humidity", label="Down to", unit="%", help="relative humidity"),
        Column(name="capacity", label="Water that a unit takes", unit="g", help="at least"),
        Column(name="unit_mass", label="Mass of a unit", unit="g"),
        Column(name="regeneration", label="Regeneration", unit="text"),
    ),
    rows=(
        _unit("unit-20", "20 %", "3 g", "mil-d-3464", "definition of the unit, 25 °C"),
        _unit("unit-40", "40 %", "6 g", "mil-d-3464", "definition of the unit, 25 °C"),
        _unit("unit-50", "50 %", "7 g", "din-55474-page", "factor a"),
        _unit("unit-60", "60 %", "8 g", "din-55474-page", "factor a"),
        _gel("silica-gel-24", "24 %", "6.7 g", "67 g on 500 g"),
        _gel("silica-gel-50", "50 %", "14.4 g", "144 g on 500 g"),
    ),
    note="A German unit (DIN 55473) and an American one (MIL-D-3464E) are alike: at least 6 g of "
    "water at 40 %. New desiccant in an open bag is a spent one by the evening.",
)


def _share(name: str, label: str, text: str, source: str, where: str, note: str = "") -> Row:
    return Row(
        name=name,
        label=label,
        cells={"moisture_share": Cell(text=text, source=source, where=where, note=note)},
    )


MOIST_CONTENTS = Table(
    id="moist-contents",
    title="Water in what lies inside",
    columns=(
        Column(
            name="moisture_share",
            label="Water that it can give off",
            unit="%",
            help="of its mass, when it has lain in room air and is then kept dry",
        ),
    ),
    rows=(
        _share(
            "circuit-board",
            "Circuit board, glass fibre and epoxy",
            "0.15 % ± 0.05 %",
            "fr4-moisture-page",
            "0.10 % to 0.20 %",
        ),
        _share(
            "polycarbonate",
            "Polycarbonate",
            "0.12 %",
            "polycarbonate-sheet-data",
            "23 °C, 50 % relative humidity",
        ),
        _share(
            "polyimide",
            "Polyimide, as in flexible circuits",
            "2 %",
            "polyimide-moisture-letter",
            "25 °C, 95 % relative humidity",
            note="from damp air; less from room air",
        ),
        _share(
            "cardboard",
            "Cardboard, air-dry wood, plant-fibre padding",
            "8 %",
            "din-55474-page",
            "factor c, 80 g/kg",
        ),
        _share(
            "wood-unknown",
            "Wood, paper, cardboard, moisture unknown",
            "14 %",
            "din-55474-sheet",
            "factor c', 140",
        ),
        _share(
            "polyamide-6",
            "Polyamide 6",
            "2.8 % ± 0.3 %",
            "from memory",
            "23 °C, 50 % relative humidity",
        ),
        _share(
            "dried",
            "Dried before packing",
            "0 %",
            "din-55474-sheet",
            "factor c', defined pre-drying",
        ),
    ),
    note="Plastics give it off over days, cardboard over hours. Padding of closed-cell foam holds "
    "little in itself, and a wet pad holds drops: weigh it wet and dry.",
)


def _wall(name: str, label: str, text: str, printed: str) -> Row:
    return Row(
        name=name,
        label=label,
        cells={
            "permeability": Cell(
                text=text,
                source="polymer-permeation-table",
                where=f"column of water vapour, {printed}",
                note="an upper end",
            )
        },
    )


VAPOUR_WALLS = Table(
    id="vapour-walls",
    title="Vapour through walls",
    columns=(
        Column(
            name="permeability",
            label="Vapour permeability",
            unit="pg/(m·s·Pa)",
            help="about room temperature; less when colder",
        ),
    ),
    rows=(
        Row(
            name="metal-glass",
            label="Metal, glass",
            cells={"permeability": Cell(text="0 pg/(m·s·Pa)", source="common practice")},
        ),
        _wall("pp", "Polypropylene", "0.31 pg/(m·s·Pa)", "< 1.5"),
        _wall("pe", "Polyethylene", "0.52 pg/(m·s·Pa)", "< 2.5"),
        _wall("pvc", "PVC, polystyrene", "6.3 pg/(m·s·Pa)", "< 30"),
        _wall("polycarbonate", "Polycarbonate", "10.4 pg/(m·s·Pa)", "< 50"),
        _wall("polyamide-66", "Polyamide 6.6", "31 pg/(m·s·Pa)", "< 150"),
    ),
    note="The source prints upper ends, in 1e-9 g/(cm²·h·Torr), where a thickness of one "
    "centimetre must be meant: read so, its polycarbonate and polyethylene lie where membranes of "
    "them are known to lie (from memory). Converted with 133.322 Pa to the Torr.",
)
