"""Amplifiers for the buffer, by what matters to a capacitive source."""

from calculators.tables import Cell, Column, Row, Table

_COLUMNS = (
    Column(
        name="voltage_noise",
        label="Voltage noise",
        unit="nV/√Hz",
        help="where its curve is flat",
    ),
    Column(
        name="noise_corner",
        label="1/f corner",
        unit="Hz",
        help="where the power of the voltage noise has doubled",
    ),
    Column(name="current_noise", label="Current noise", unit="fA/√Hz", help="at 1 kHz"),
    Column(
        name="input_capacitance",
        label="Input capacitance",
        unit="pF",
        help="as a follower much of it is driven along and counts less",
    ),
    Column(name="supply_current", label="Supply current", unit="mA", help="of one amplifier"),
    Column(
        name="headroom",
        label="Headroom to the rails",
        unit="V",
        help="input or output, the worse, to the nearer rail",
    ),
)


def _usual(text: str, note: str = "") -> Cell:
    return Cell(text=text, source="common practice", note=note)


_ARTICLE = "jfet-article"
_FETS = "cordell-jfet-2020"

AMPLIFIERS = Table(
    id="amplifiers",
    title="Amplifiers by kind",
    columns=_COLUMNS,
    rows=(
        Row(
            name="jfet-low-noise",
            label="JFET-input op-amp, low noise",
            cells={
                "voltage_noise": Cell(
                    text="6 nV/√Hz ± 35 %",
                    source=_ARTICLE,
                    where="first paragraph",
                    note="the article's other amplifier has 4 nV/√Hz",
                ),
                "noise_corner": _usual("50 Hz +200/-60 %"),
                "current_noise": Cell(
                    text="0.8 fA/√Hz +200/-50 %",
                    source=_ARTICLE,
                    where="first paragraph",
                    note="10 fA/√Hz for the amplifier of 4 nV/√Hz",
                ),
                "input_capacitance": _usual("12 pF ± 60 %"),
                "supply_current": _usual("3 mA ± 60 %"),
                "headroom": _usual("2 V ± 50 %", "some inputs need 3 V above the lower rail"),
            },
        ),
        Row(
            name="jfet-low-power",
            label="JFET-input op-amp, low power",
            cells={
                "voltage_noise": _usual("20 nV/√Hz ± 60 %"),
                "noise_corner": _usual("100 Hz +200/-60 %"),
                "current_noise": _usual("1 fA/√Hz +900/-50 %"),
                "input_capacitance": _usual("5 pF ± 60 %"),
                "supply_current": _usual("0.25 mA ± 60 %"),
                "headroom": _usual("1.5 V ± 60 %"),
            },
        ),
        Row(
            name="cmos-low-noise",
            label="CMOS op-amp, low noise, rail to rail",
            cells={
                "voltage_noise": _usual("7 nV/√Hz ± 40 %"),
                "noise_corner": _usual("1 kHz +300/-70 %", "MOS inputs have the highest corners"),
                "current_noise": _usual("1 fA/√Hz +900/-50 %"),
                "input_capacitance": _usual("10 pF ± 60 %"),
                "supply_current": _usual("1.5 mA ± 60 %"),
                "headroom": _usual("0.05 V +200/-60 %"),
            },
        ),
        Row(
            name="cmos-micropower",
            label="CMOS op-amp, micropower, rail to rail",
            cells={
                "voltage_noise": _usual("100 nV/√Hz ± 60 %"),
                "noise_corner": _usual("100 Hz +900/-80 %"),
                "current_noise": _usual("1 fA/√Hz +900/-50 %"),
                "input_capacitance": _usual("6 pF ± 60 %"),
                "supply_current": _usual("0.01 mA +200/-90 %"),
                "headroom": _usual("0.02 V +200/-60 %"),
            },
        ),
        Row(
            name="bipolar-low-noise",
            label="Bipolar op-amp, low noise",
            cells={
                "voltage_noise": _usual("3 nV/√Hz ± 60 %"),
                "noise_corner": _usual("10 Hz +400/-70 %"),
                "current_noise": _usual(
                    "600 fA/√Hz +200/-50 %", "rises below its own corner of some 100 Hz"
                ),
                "input_capacitance": _usual("5 pF ± 60 %"),
                "supply_current": _usual("4 mA ± 60 %"),
                "headroom": _usual("1.5 V ± 50 %"),
            },
            note="Its current noise in the impedance of an element swamps its low voltage noise.",
        ),
        Row(
            name="jfet-discrete",
            label="Single JFET, low noise, at 2 mA",
            cells={
                "voltage_noise": Cell(
                    text="1.3 nV/√Hz ± 40 %", source=_FETS, where="key specifications, 1 kHz, 2 mA"
                ),
                "noise_corner": Cell(
                    text="3.3 Hz +300/-50 %",
                    source=_FETS,
                    where="key specifications, from 1.5 nV/√Hz at 10 Hz: 10 Hz · (1.5²/1.3² − 1)",
                ),
                "current_noise": _usual("2 fA/√Hz +400/-70 %"),
                "input_capacitance": Cell(
                    text="25 pF ± 30 %",
                    source=_FETS,
                    where="key specifications, Ciss",
                    note="the capacitance to the drain counts times the stage's gain and one",
                ),
                "supply_current": Cell(
                    text="2 mA ± 50 %", source=_FETS, where="key specifications, drain current"
                ),
                "headroom": _usual("2 V ± 50 %"),
            },
        ),
    ),
    note="Typical values of good parts of each kind; the data sheet of your own part goes first.",
)
