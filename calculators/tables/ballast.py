"""What ballast and anchors are made of."""

from calculators.tables import Cell, Column, Row, Table

_GERE = {"source": "gere-table", "where": "table 3a, mass density"}


def _row(name: str, label: str, cell: Cell, note: str = "") -> Row:
    return Row(name=name, label=label, cells={"density": cell}, note=note)


BALLAST = Table(
    id="ballast-materials",
    title="Ballast and anchor weights",
    columns=(Column(name="density", label="Density", unit="kg/m³"),),
    rows=(
        _row(
            "lead",
            "Lead",
            Cell(text="11300 kg/m³ ± 1 %", source="density-chart", where="row lead"),
            "Poisonous: gloves, no filing, never in drinking water, and forbidden as lost weight "
            "in many waters.",
        ),
        _row(
            "stainless",
            "Stainless steel 1.4404",
            Cell(
                text="8000 kg/m³ ± 1 %", source="stainless-table", where="austenitic, 316: density"
            ),
        ),
        _row("steel", "Steel", Cell(text="7850 kg/m³ ± 1 %", **_GERE)),
        _row(
            "cast-iron",
            "Cast iron",
            Cell(text="7200 kg/m³ ± 3 %", note="printed as 7000 to 7400", **_GERE),
        ),
        _row(
            "granite",
            "Granite, other dense stone",
            Cell(text="2750 kg/m³ ± 6 %", note="printed as 2600 to 2900", **_GERE),
        ),
        _row(
            "sand",
            "Sand in an open-weave bag",
            Cell(
                text="2650 kg/m³ ± 2 %",
                source="from memory",
                note="of the grains, quartz: water fills the gaps between them. Weigh it dry",
            ),
        ),
        _row("concrete-reinforced", "Concrete with steel in it", Cell(text="2400 kg/m³", **_GERE)),
        _row(
            "concrete",
            "Concrete, plain",
            Cell(text="2300 kg/m³ ± 5 %", note="the spread is from memory", **_GERE),
        ),
    ),
    note="Coated or not: a closed hollow in a weight counts as air. Kinds, not products; weigh and "
    "measure yours.",
)
