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
        help="from one input to ground; as a follower the part between the inputs hardly counts",
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


def _library(text: str, which: str, note: str = "") -> Cell:
    return Cell(text=text, source="amplifier-library", where=which, note=note)


def _model(text: str, which: str, note: str = "") -> Cell:
    return Cell(text=text, source="slicap-models", where=which, note=note)


def _article(text: str, note: str) -> Cell:
    return Cell(text=text, source="jfet-article", where="first paragraph", note=note)


def _fet(text: str, which: str, note: str = "") -> Cell:
    where = f"key specifications, {which}"
    return Cell(text=text, source="cordell-jfet-2020", where=where, note=note)


_JFET = "JFET inputs, low noise, six entries"
_GENERAL = "JFET inputs, general purpose, five entries"
_BIPOLAR = "bipolar inputs, low noise, eight entries"
_CMOS = "CMOS inputs, low noise, one entry"

_ROWS = (
    Row(
        name="jfet-low-noise",
        label="JFET-input op-amp, low noise",
        cells={
            "voltage_noise": _library("5 nV/√Hz +20/-42 %", _JFET, "from 2.9 to 6 nV/√Hz"),
            "noise_corner": _library("18 Hz +460/-17 %", _JFET, "from 15 to 100 Hz"),
            "current_noise": _article("0.8 fA/√Hz +1200/-10 %", "10 fA/√Hz for a quieter one"),
            "input_capacitance": _model(
                "8 pF +50/-74 %", "JFET inputs: 2.1, 8 and 8 pF", "4.5, 8 and 15 pF between inputs"
            ),
            "supply_current": _usual("3 mA ± 60 %"),
            "headroom": _usual("2 V ± 50 %", "some inputs need 3 V above the lower rail"),
        },
    ),
    Row(
        name="jfet-general",
        label="JFET-input op-amp, general purpose",
        cells={
            "voltage_noise": _library("16 nV/√Hz +13/-28 %", _GENERAL, "from 11.6 to 18 nV/√Hz"),
            "noise_corner": _library("200 Hz ± 60 %", _GENERAL, "from 100 to 300 Hz"),
            "current_noise": _library("10 fA/√Hz +10/-75 %", _GENERAL),
            "input_capacitance": _usual("5 pF ± 60 %"),
            "supply_current": _usual("1.4 mA ± 60 %"),
            "headroom": _usual("3 V ± 40 %", "too much for four alkaline cells"),
        },
    ),
    Row(
        name="jfet-low-power",
        label="JFET-input op-amp, low power",
        cells={
            "voltage_noise": _usual("20 nV/√Hz +120/-40 %"),
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
            "voltage_noise": _library("6.5 nV/√Hz ± 30 %", _CMOS),
            "noise_corner": _library(
                "1000 Hz +300/-70 %", _CMOS, "MOS inputs have the highest corners"
            ),
            "current_noise": _library("10 fA/√Hz +60/-90 %", _CMOS, "16 fA/√Hz was measured once"),
            "input_capacitance": _model(
                "6 pF +240/-60 %",
                "CMOS inputs: 6 pF",
                "3 pF between the inputs; one data sheet prints 20 and 20 pF",
            ),
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
        name="zero-drift",
        label="CMOS op-amp that corrects itself by chopping",
        cells={
            "voltage_noise": _library("22 nV/√Hz +150/-60 %", "a chopper for a single supply"),
            "noise_corner": _library("0 Hz", "a chopper for a single supply: no 1/f noise"),
            "current_noise": _library("5 fA/√Hz +3000/-50 %", "a chopper for a single supply"),
            "input_capacitance": _usual("8 pF ± 60 %"),
            "supply_current": _usual("0.8 mA ± 90 %"),
            "headroom": _usual("0.05 V +200/-60 %"),
        },
        note="It leaves spikes at its chopping frequency, some 5 kHz to 500 kHz, and its charge "
        "pulses meet a high impedance at your input.",
    ),
    Row(
        name="bipolar-low-noise",
        label="Bipolar op-amp, low noise",
        cells={
            "voltage_noise": _library("3.2 nV/√Hz +60/-74 %", _BIPOLAR, "from 0.85 to 5 nV/√Hz"),
            "noise_corner": _library("2.7 Hz +3700/-30 %", _BIPOLAR, "from 2 to 100 Hz"),
            "current_noise": _library(
                "400 fA/√Hz +400/-25 %", _BIPOLAR, "it rises below a corner of 100 to 250 Hz"
            ),
            "input_capacitance": _model(
                "2 pF +100/-50 %", "bipolar inputs: 2 and 2 pF", "4 and 8 pF between the inputs"
            ),
            "supply_current": _usual("4 mA ± 60 %"),
            "headroom": _usual("1.5 V ± 50 %"),
        },
        note="Its current noise in the impedance of an element swamps its low voltage noise.",
    ),
    Row(
        name="jfet-discrete",
        label="Single JFET, low noise, at 2 mA",
        cells={
            "voltage_noise": _fet("1.3 nV/√Hz ± 40 %", "1 kHz, 2 mA"),
            "noise_corner": _fet(
                "3.3 Hz +300/-50 %", "from 1.5 nV/√Hz at 10 Hz: 10 Hz × (1.5²/1.3² − 1)"
            ),
            "current_noise": _usual("2 fA/√Hz +400/-70 %"),
            "input_capacitance": _fet(
                "25 pF ± 30 %", "Ciss", "5.5 pF of it lead to the drain and count times the gain"
            ),
            "supply_current": _fet("2 mA ± 50 %", "drain current"),
            "headroom": _usual("2 V ± 50 %"),
        },
    ),
)

AMPLIFIERS = Table(
    id="amplifiers",
    title="Amplifiers by kind",
    columns=_COLUMNS,
    rows=_ROWS,
    note="Typical values of good parts of each kind; the data sheet of your own part goes first.",
)
