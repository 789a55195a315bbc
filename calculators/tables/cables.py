"""Cables between element and buffer, by kind."""

from calculators.tables import Cell, Column, Row, Table

_COAX = "coax-table-2024"
_LINES = "coax-dielectrics"
_WAVE = "C = 1/(Z v), from the printed velocity of"

_COLUMNS = (
    Column(
        name="capacitance_per_metre",
        label="Capacitance per metre",
        unit="pF/m",
        help="between the two conductors that carry the signal",
    ),
    Column(
        name="leakage_resistance",
        label="Leakage resistance of 10 m",
        unit="GΩ",
        help="new and dry; half of it for 20 m",
    ),
)


def _leak(text: str, note: str) -> Cell:
    return Cell(text=text, source="from memory", note=note)


_PE = Cell(
    text="6200 GΩ +3000/-97 %",
    source="cable-polyethylene",
    where="10¹⁵ to 10¹⁸ Ω·cm: R = ρ ln(D/d)/(2π × 10 m) with D/d = 3.4",
    note="damp ends, not the insulation, decide",
)
_PTFE = _leak("1000 GΩ +100/-90 %", "damp ends, not the insulation, decide")
_PVC = Cell(
    text="17 GΩ +900/-90 %",
    source="cable-insulation",
    where="PVC, 10¹³ to 10¹⁵ Ω·cm: R = ρ ln(D/d)/(2π × 10 m) with D/d = 3",
    note="falls with heat and damp",
)

_ROWS = (
    Row(
        name="coax-50",
        label="Coaxial, 50 Ω, solid polyethylene",
        cells={
            "capacitance_per_metre": Cell(
                text="101 pF/m ± 4 %",
                source=_COAX,
                where="50 Ω, velocity 0.66",
                note="solid PTFE, velocity 0.70: 95 pF/m",
            ),
            "leakage_resistance": _PE,
        },
    ),
    Row(
        name="coax-50-foam",
        label="Coaxial, 50 Ω, foamed polyethylene",
        cells={
            "capacitance_per_metre": Cell(
                text="76 pF/m ± 8 %", source=_COAX, where="50 Ω, velocity 0.88"
            ),
            "leakage_resistance": _leak(
                "500 GΩ +100/-95 %", "foam takes up water where a jacket is cut"
            ),
        },
    ),
    Row(
        name="coax-75",
        label="Coaxial, 75 Ω, solid polyethylene",
        cells={
            "capacitance_per_metre": Cell(
                text="67 pF/m ± 4 %",
                source=_LINES,
                where=f"{_WAVE} solid polyethylene, 0.659",
                note="68 pF/m is printed there for a cable of 75 Ω",
            ),
            "leakage_resistance": _PE,
        },
    ),
    Row(
        name="coax-75-foam",
        label="Coaxial, 75 Ω, foamed polyethylene",
        cells={
            "capacitance_per_metre": Cell(
                text="55 pF/m ± 8 %",
                source=_LINES,
                where=f"{_WAVE} foamed polyethylene, 0.80",
            ),
            "leakage_resistance": _leak(
                "500 GΩ +100/-95 %", "foam takes up water where a jacket is cut"
            ),
        },
    ),
    Row(
        name="coax-ptfe-low-noise",
        label="Coaxial, thin, PTFE, with a conducting layer against handling noise",
        cells={
            "capacitance_per_metre": Cell(
                text="96 pF/m ± 10 %",
                source=_LINES,
                where=f"{_WAVE} solid PTFE, 0.694, at 50 Ω",
            ),
            "leakage_resistance": _PTFE,
        },
        note="PTFE does not bond to potting resin.",
    ),
    Row(
        name="microphone",
        label="Microphone cable, two cores and a screen, core to core",
        cells={
            "capacitance_per_metre": Cell(
                text="100 pF/m ± 40 %",
                source="sengpiel-cable",
                where="wire to wire",
                note="a maker of microphones prints the same",
            ),
            "leakage_resistance": _PE,
        },
    ),
    Row(
        name="microphone-single-ended",
        label="Microphone cable, one core against the other and the screen",
        cells={
            "capacitance_per_metre": Cell(
                text="200 pF/m ± 40 %",
                source="microphone-cable-drive",
                where="typical value, conductor to screen",
            ),
            "leakage_resistance": _PE,
        },
    ),
    Row(
        name="instrument",
        label="Screened single core, PVC",
        cells={
            "capacitance_per_metre": Cell(text="150 pF/m ± 50 %", source="from memory"),
            "leakage_resistance": _PVC,
        },
    ),
    Row(
        name="data-pair",
        label="Data cable, one twisted pair of 100 Ω",
        cells={
            "capacitance_per_metre": Cell(
                text="49.8 pF/m ± 12 %",
                source="itu-cat5",
                where="table I.6, model T05h: 98.37 Ω, velocity 0.681; C = 1/(Z v)",
                note="one wire against the other and a screen: about twice as much",
            ),
            "leakage_resistance": _PE,
        },
    ),
)

CABLES = Table(
    id="cables",
    title="Cables by kind",
    columns=_COLUMNS,
    rows=_ROWS,
    note="Measure your own: a metre, open at the far end, on a capacitance meter at 1 kHz.",
)
