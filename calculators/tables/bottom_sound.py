"""Bottoms as sound meets them: speed, density, absorption."""

from calculators.tables import Cell, Column, Row, Table

_BOOK = "jensen2011-bottoms"
_SPREAD = "the spread is ours, from memory of how much such bottoms differ"
_FRESH, _SEA = "1447.3 m/s, fresh water of 10 °C", "1489.8 m/s, sea of 10 °C"


def _cells(where: str, speed: str, density: str, attenuation: str) -> dict[str, Cell]:
    return {
        "sound_speed": Cell(text=speed, source=_BOOK, where=where, note=_SPREAD),
        "density": Cell(text=density, source=_BOOK, where="table 1.3", note=_SPREAD),
        "attenuation": Cell(text=attenuation, source=_BOOK, where="table 1.3", note=_SPREAD),
    }


def _sediment(
    name: str, label: str, ratio: str, speeds: tuple[str, str], density: str, attenuation: str
) -> tuple[Row, Row]:
    """The same grains in fresh and in sea water: what the source prints is the ratio of speeds."""
    waters = (("fresh", "fresh water", _FRESH), ("sea", "sea", _SEA))
    fresh, sea = (
        Row(
            name=f"{name}-{key}",
            label=f"{label}, {water}",
            cells=_cells(f"table 1.3: {ratio} times {of}", speed, density, attenuation),
        )
        for speed, (key, water, of) in zip(speeds, waters, strict=True)
    )
    return fresh, sea


def _rock(name: str, label: str, speed: str, density: str, attenuation: str, shear: str) -> Row:
    return Row(
        name=name,
        label=label,
        cells=_cells("table 1.3: ratio times 1500 m/s", speed, density, attenuation),
        note=f"carries shear waves too, printed with {shear} times the sound speed of water",
    )


def _gassy(name: str, label: str, speed: str, share: str) -> Row:
    return Row(
        name=name,
        label=label,
        cells={
            "sound_speed": Cell(
                text=speed,
                source="wood-1930",
                where=f"Wood's equation: {share} of gas by volume at constant temperature, under "
                "140 kPa as at 4 m",
                note="sound far below the resonance of the bubbles; one laboratory mud with very "
                "small bubbles slowed by 11 % only [gassy-mud-laboratory]",
            ),
            "density": Cell(text="1200 kg/m³ ± 10 %", source="from memory"),
            "attenuation": Cell(
                text="3 dB ± 2 dB",
                source="from memory",
                note="an order: nobody has measured your pond, and little of it matters",
            ),
        },
    )


BOTTOM_SOUND = Table(
    id="bottom-sound",
    title="Bottoms: sound speed, density, absorption",
    columns=(
        Column(name="sound_speed", label="Sound speed", unit="m/s"),
        Column(name="density", label="Density", unit="kg/m³"),
        Column(name="attenuation", label="Absorption for each wavelength", unit="dB"),
    ),
    rows=(
        _gassy("mud-gas", "Mud full of gas", "110 m/s +90/-50 m/s", "1 %"),
        _gassy("mud-little-gas", "Mud with a little gas", "330 m/s +300/-130 m/s", "0.1 %"),
        *_sediment(
            "clay",
            "Clay, mud without gas",
            "1.00",
            ("1447 m/s ± 2 %", "1490 m/s ± 2 %"),
            "1500 kg/m³ ± 10 %",
            "0.2 dB ± 0.1 dB",
        ),
        *_sediment(
            "silt",
            "Silt",
            "1.05",
            ("1520 m/s ± 3 %", "1564 m/s ± 3 %"),
            "1700 kg/m³ ± 10 %",
            "1.0 dB ± 0.5 dB",
        ),
        *_sediment(
            "sand",
            "Sand",
            "1.10",
            ("1592 m/s ± 4 %", "1639 m/s ± 4 %"),
            "1900 kg/m³ ± 10 %",
            "0.8 dB ± 0.4 dB",
        ),
        *_sediment(
            "gravel",
            "Gravel",
            "1.20",
            ("1737 m/s ± 6 %", "1788 m/s ± 6 %"),
            "2000 kg/m³ ± 10 %",
            "0.6 dB ± 0.3 dB",
        ),
        _rock(
            "moraine", "Moraine", "1950 m/s ± 10 %", "2100 kg/m³ ± 10 %", "0.4 dB ± 0.2 dB", "0.40"
        ),
        _rock("chalk", "Chalk", "2400 m/s ± 10 %", "2200 kg/m³ ± 10 %", "0.2 dB ± 0.1 dB", "0.67"),
        _rock(
            "limestone",
            "Limestone",
            "3000 m/s ± 15 %",
            "2400 kg/m³ ± 10 %",
            "0.1 dB ± 0.05 dB",
            "1.00",
        ),
        _rock(
            "basalt", "Basalt", "5250 m/s ± 15 %", "2700 kg/m³ ± 10 %", "0.1 dB ± 0.05 dB", "1.67"
        ),
    ),
    note="For soft bottoms the source prints how much faster sound is than in the water in their "
    "pores, which holds in fresh and salt, warm and cold; the speed here is worked out from it for "
    "10 °C. A bottom is seldom one thing: a hand's breadth of mud over gravel is gravel to low "
    "sound and mud to high.",
)
