"""Calculator of the cable between element and buffer."""

from calculators.cards.common import from_table
from calculators.declare import Calculator, Fill, Number, Output
from calculators.formulas import cable
from calculators.tables.cables import CABLES


def _cable_capacitance(length: float, capacitance_per_metre: float) -> dict[str, float]:
    return {
        "capacitance": cable.cable_capacitance(
            capacitance_per_metre=capacitance_per_metre, length=length
        )
    }


CABLE_CAPACITANCE = Calculator(
    id="cable-capacitance",
    title="Capacitance of the cable",
    question="What does the cable put beside the element?",
    stage="build",
    inputs=(
        Number(
            name="length",
            label="Length of the cable",
            unit="m",
            default="5 m",
            low="1 cm",
            high="10 km",
            why="a lead on the board, to the shore",
            hint="from the element to the buffer; what comes behind the buffer does not count",
            rig="cable.length",
        ),
        from_table(
            CABLES.cell("microphone", "capacitance_per_metre"),
            name="capacitance_per_metre",
            label="Capacitance per metre",
            unit="pF/m",
            low="1 pF/m",
            high="1000 pF/m",
            why="two wires far apart, to a thin film",
            hint="between the two conductors that carry the signal; better measured on a metre",
            rig="cable.capacitance_per_metre",
        ),
    ),
    fills=(
        Fill(
            name="cable",
            label="Cable",
            table=CABLES,
            inputs={"capacitance_per_metre": "capacitance_per_metre"},
        ),
    ),
    outputs=(
        Output(
            name="capacitance",
            label="Capacitance of the cable",
            unit="pF",
            help="beside that of the element: it takes level, and lowers the corner",
            rig="cable.capacitance",
        ),
    ),
    compute=_cable_capacitance,
)
