"""Clocks by kind: how far off they may run, and why."""

from calculators.tables import Cell, Column, Row, Table

_COLUMNS = (
    Column(name="rate_offset", label="Rate when set", unit="ppm"),
    Column(name="curvature", label="Curvature", unit="ppm/K²"),
    Column(name="turnover", label="Turnover", unit="°C"),
    Column(name="ageing", label="Ageing", unit="ppm/yr"),
    Column(name="wander", label="Other change of the rate", unit="ppm"),
    Column(name="sample_offset", label="Rate as a sample clock", unit="ppm"),
)

_NONE = Cell(
    text="0 ppm/K²",
    source="common practice",
    note="no parabola: its tolerance covers the temperature",
)
_ROOM = Cell(text="25 °C", source="common practice", note="counts for nothing without curvature")
_AGEING = Cell(
    text="0 ppm/yr ± 3 ppm/yr",
    source="fork-sheet",
    where="ageing, first year, at most",
    note="taken over from the tuning fork",
)

CLOCKS = Table(
    id="clocks",
    title="Clocks",
    columns=_COLUMNS,
    rows=(
        Row(
            name="tuning-fork",
            label="Tuning fork of 32 768 Hz (watch crystal), as bought",
            cells={
                "rate_offset": Cell(
                    text="0 ppm ± 20 ppm", source="fork-sheet", where="tolerance at 25 °C"
                ),
                "curvature": Cell(
                    text="0.034 ppm/K² ± 18 %",
                    source="fork-temperature-page",
                    where="0.035 and 0.04 by make",
                    note="the sheet gives 0.030 ± 0.01; the value in the middle from memory",
                ),
                "turnover": Cell(text="25 °C ± 5 °C", source="fork-sheet", where="turnover"),
                "ageing": Cell(
                    text="0 ppm/yr ± 3 ppm/yr",
                    source="fork-sheet",
                    where="ageing, first year, at most",
                ),
                "wander": Cell(
                    text="0.5 ppm", source="from memory", note="battery voltage, handling"
                ),
            },
        ),
        Row(
            name="tuning-fork-set",
            label="Tuning fork, its rate measured at room temperature and set or noted",
            cells={
                "rate_offset": Cell(
                    text="0 ppm ± 2 ppm",
                    source="from memory",
                    note="a second read to 0.5 s over three days",
                ),
                "curvature": Cell(
                    text="0.034 ppm/K² ± 18 %",
                    source="fork-temperature-page",
                    where="0.035 and 0.04 by make",
                ),
                "turnover": Cell(text="25 °C ± 5 °C", source="fork-sheet", where="turnover"),
                "ageing": _AGEING,
                "wander": Cell(
                    text="0.5 ppm", source="from memory", note="battery voltage, handling"
                ),
            },
        ),
        Row(
            name="plain-module",
            label="Clock module without compensation, 0 to 50 °C",
            cells={
                "rate_offset": Cell(
                    text="0 ppm ± 20 ppm", source="biologger-clocks-2024", where="table 1"
                ),
                "curvature": _NONE,
                "turnover": _ROOM,
                "ageing": _AGEING,
                "wander": Cell(
                    text="40 ppm", source="biologger-clocks-2024", where="table 1, end to end"
                ),
            },
        ),
        Row(
            name="compensated",
            label="Temperature-compensated (TCXO), 0 to 50 °C",
            cells={
                "rate_offset": Cell(
                    text="0 ppm ± 1.5 ppm", source="biologger-clocks-2024", where="table 1"
                ),
                "curvature": _NONE,
                "turnover": _ROOM,
                "ageing": Cell(
                    text="0 ppm/yr ± 2 ppm/yr",
                    source="tcxo-ageing-note",
                    where="specified for the first year",
                    note="measured: 0.02 to 0.08 ppm",
                ),
                "wander": Cell(
                    text="3 ppm", source="biologger-clocks-2024", where="table 1, end to end"
                ),
                "sample_offset": Cell(
                    text="0 ppm ± 1.5 ppm", source="biologger-clocks-2024", where="table 1"
                ),
            },
        ),
        Row(
            name="compensated-cold",
            label="Temperature-compensated (TCXO), −40 to 85 °C",
            cells={
                "rate_offset": Cell(
                    text="0 ppm ± 3 ppm", source="biologger-clocks-2024", where="table 1"
                ),
                "curvature": _NONE,
                "turnover": _ROOM,
                "ageing": Cell(
                    text="0 ppm/yr ± 2 ppm/yr",
                    source="tcxo-ageing-note",
                    where="specified for the first year",
                ),
                "wander": Cell(
                    text="6 ppm", source="biologger-clocks-2024", where="table 1, end to end"
                ),
                "sample_offset": Cell(
                    text="0 ppm ± 3 ppm", source="biologger-clocks-2024", where="table 1"
                ),
            },
        ),
        Row(
            name="oven",
            label="Oven-controlled (OCXO), 0 to 50 °C",
            cells={
                "rate_offset": Cell(
                    text="0 ppm ± 0.005 ppm", source="biologger-clocks-2024", where="table 1"
                ),
                "curvature": _NONE,
                "turnover": _ROOM,
                "ageing": Cell(
                    text="0 ppm/yr ± 0.05 ppm/yr",
                    source="ageing-note",
                    where="5E-08 per year",
                ),
                "wander": Cell(
                    text="0.01 ppm", source="biologger-clocks-2024", where="table 1, end to end"
                ),
            },
        ),
        Row(
            name="megahertz",
            label="Crystal of some MHz (AT cut), at 25 °C",
            cells={
                "sample_offset": Cell(
                    text="0 ppm ± 10 ppm",
                    source="biologger-clocks-2024",
                    where="table 1, 80 MHz",
                ),
            },
        ),
        Row(
            name="megahertz-wide",
            label="Crystal of some MHz (AT cut), tolerance and temperature",
            cells={
                "sample_offset": Cell(
                    text="0 ppm ± 50 ppm",
                    source="quartz-deviations",
                    where="typical tolerances: ±20, ±50, ±100 ppm",
                    note="its curve over temperature is of the third degree and depends on the "
                    "angle of its cut",
                ),
            },
        ),
    ),
    note="A rate above zero is fast. Offsets are centred on zero because nobody knows their sign "
    "before it is measured.",
)
