"""Water by salinity and temperature, at the surface."""

from calculators.tables import Cell, Column, Row, Table

_COLUMNS = (
    Column(name="density", label="Density", unit="kg/m³"),
    Column(name="sound_speed", label="Sound speed", unit="m/s"),
)


def _row(name: str, label: str, salinity: int, temperature: int, *values: str) -> Row:
    """Density and sound speed of the TEOS-10 toolbox at the surface."""
    where = (
        f"practical salinity {salinity} as reference composition, "
        f"{temperature} °C, sea pressure 0".replace("-", "−")
    )
    density, speed = values
    return Row(
        name=name,
        label=label,
        cells={
            "density": Cell(
                text=f"{density} kg/m³ ± 0.1 %", source="gsw-python", where=f"rho, {where}"
            ),
            "sound_speed": Cell(
                text=f"{speed} m/s ± 0.5 m/s", source="gsw-python", where=f"sound_speed, {where}"
            ),
        },
    )


WATERS = Table(
    id="waters",
    title="Fresh, brackish and sea water at the surface",
    columns=_COLUMNS,
    rows=(
        _row("fresh-0", "Fresh, 0 °C", 0, 0, "999.84", "1402.5"),
        _row("fresh-4", "Fresh, 4 °C", 0, 4, "999.98", "1421.7"),
        _row("fresh-10", "Fresh, 10 °C", 0, 10, "999.70", "1447.3"),
        _row("fresh-20", "Fresh, 20 °C", 0, 20, "998.21", "1482.3"),
        _row("brackish-10", "Brackish (salinity 10), 10 °C", 10, 10, "1007.50", "1459.6"),
        _row("sea-0", "Sea (salinity 35), −1 °C", 35, -1, "1028.16", "1444.4"),
        _row("sea-4", "Sea (salinity 35), 4 °C", 35, 4, "1027.79", "1466.5"),
        _row("sea-10", "Sea (salinity 35), 10 °C", 35, 10, "1026.95", "1489.8"),
        _row("sea-20", "Sea (salinity 35), 20 °C", 35, 20, "1024.77", "1521.4"),
    ),
    note="Down to 100 m the pressure adds less than 0.06 % to the density and 1.7 m/s to the "
    "sound speed. The spread of the density covers what clear lakes and rivers have dissolved.",
)
