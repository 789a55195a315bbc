"""What an element is potted in, coated with or filled with, by kind, with measured properties."""

from calculators.tables import Cell, Column, Row, Table

_COLUMNS = (
    Column(name="density", label="Density", unit="kg/m³"),
    Column(
        name="sound_speed",
        label="Sound speed",
        unit="m/s",
        help="of longitudinal waves, near room temperature",
    ),
    Column(
        name="shear_modulus",
        label="Shear modulus",
        unit="MPa",
        help="resins stiffen with frequency and cold; the spread covers the audio band",
    ),
    Column(name="poisson", label="Poisson's ratio", unit=""),
    Column(
        name="attenuation",
        label="Attenuation at 100 kHz",
        unit="dB/m",
        help="about in proportion to frequency: a hundredth at 1 kHz",
    ),
    Column(name="impedance", label="Acoustic impedance", unit="MPa·s/m"),
    Column(name="glass_transition", label="Glass transition", unit="°C"),
    Column(
        name="water_uptake",
        label="Water taken up",
        unit="%",
        help="of its own mass, in months where no note says otherwise",
    ),
)


def _memory(text: str, note: str = "") -> Cell:
    return Cell(text=text, source="from memory", note=note)


def _gauge(text: str, note: str = "") -> Cell:
    return Cell(text=text, source="gauge-velocities", where="table of velocities", note=note)


def _glass(text: str, polymer: str, note: str = "") -> Cell:
    return Cell(text=text, source="callister-2007", where=f"appendix E, {polymer}", note=note)


def _list(text: str, how: str, note: str = "") -> Cell:
    where = f"isotropic list, epoxy of the program it was checked against{how}"
    return Cell(text=text, source="dispersion-materials", where=where, note=note)


def _shore(text: str, hardness: int) -> Cell:
    return Cell(
        text=text,
        source="shore-modulus",
        where="lg(E in MPa) = 0.0235 S − 0.6403",
        note=f"a third of Young's modulus at Shore A {hardness}, slowly loaded; stiffer at 1 kHz",
    )


_PHANTOM = "cafarelli2016"

_EPOXY = Row(
    name="epoxy-stiff",
    label="Epoxy casting resin, stiff",
    cells={
        "density": _list("1170 kg/m³ ± 4 %", "", "unfilled; a mineral filler can double it"),
        "sound_speed": _list(
            "2610 m/s ± 12 %",
            ", from E and ν: 2610 m/s",
            "2300, 2540 and 2770 m/s are published as well",
        ),
        "shear_modulus": _list(
            "1416 MPa +20/-40 %",
            ", from E and ν: 1416 MPa",
            "at ultrasound; another list of materials has 850 MPa slowly loaded",
        ),
        "poisson": _list("0.39 ± 10 %", ", ν = 0.392"),
        "attenuation": _list(
            "13.3 dB/m +110/-30 %",
            ", 0.04 Np per wavelength",
            "0.087 Np per wavelength, 27 dB/m, for a filled one",
        ),
        "glass_transition": _memory("55 °C ± 15 °C", "cured at room temperature"),
        "water_uptake": _memory("2 % ± 1 %"),
    },
)

_EPOXY_FLEXIBLE = Row(
    name="epoxy-flexible",
    label="Epoxy, flexible",
    cells={
        "density": _memory("1100 kg/m³ ± 6 %"),
        "sound_speed": _memory("1900 m/s ± 15 %"),
        "shear_modulus": _memory("60 MPa +200/-80 %", "near its glass transition"),
        "attenuation": _memory("80 dB/m ± 70 %"),
        "glass_transition": _memory("15 °C ± 20 °C"),
        "water_uptake": _memory("3 % ± 2 %"),
    },
    note="Its glass transition may lie in the range of the water's temperature.",
)

_PU_SOFT = Row(
    name="polyurethane-soft",
    label="Polyurethane potting, soft (Shore A 60 to 80)",
    cells={
        "density": Cell(
            text="1016 kg/m³ +7/-1 %",
            source=_PHANTOM,
            where="table 2, pure PU",
            note="denser kinds reach 1080 kg/m³",
        ),
        "sound_speed": Cell(
            text="1398 m/s +15/-3 %",
            source=_PHANTOM,
            where="table 2, pure PU, sample 1",
            note="sonar kinds lie higher, see the next row",
        ),
        "shear_modulus": _shore("4.4 MPa +150/-60 %", 75),
        "attenuation": _memory("60 dB/m ± 70 %"),
        "impedance": Cell(text="1.42 MPa·s/m ± 2 %", source=_PHANTOM, where="table 2, pure PU"),
        "glass_transition": _memory("-40 °C ± 20 °C"),
        "water_uptake": _memory("1.5 % ± 1 %"),
    },
)

_PU_SONAR = Row(
    name="polyurethane-sonar",
    label="Polyurethane made for transducers (Shore A 75)",
    cells={
        "density": Cell(
            text="1115 kg/m³ ± 5 %",
            source="ramotowski-2003",
            where="abstract: 1.71 MPa·s/m over the sound speed of the next line",
            note="another kind of the trade has 1080 kg/m³",
        ),
        "sound_speed": Cell(
            text="1534 m/s ± 5 %",
            source="ramotowski-2003",
            where="abstract: very close to sea water at room temperature, 1534 m/s at 25 °C",
        ),
        "shear_modulus": _shore("4.4 MPa +150/-60 %", 75),
        "attenuation": Cell(
            text="35 dB/m +50/-75 %",
            source="polybutadiene-pur-2024",
            where="abstract: 164 dB/m at 350 kHz and 387 dB/m at 700 kHz, carried on to 100 kHz",
            note="the polybutadiene kind of the same paper: 10 dB/m",
        ),
        "impedance": Cell(
            text="1.71 MPa·s/m ± 3 %",
            source="ramotowski-2003",
            where="abstract, at 25 °C",
        ),
        "glass_transition": Cell(text="-31 °C ± 5 °C", source="ramotowski-2003", where="abstract"),
        "water_uptake": _memory(
            "1 % +2/-0.7 %", "polybutadiene kinds take up a tenth of what polyether kinds do"
        ),
    },
)

_PU_STIFF = Row(
    name="polyurethane-stiff",
    label="Polyurethane, stiff (Shore D 60 to 80)",
    cells={
        "density": Cell(
            text="1150 kg/m³ ± 9 %", source="polyurethane-list", where="physical properties"
        ),
        "sound_speed": Cell(
            text="1900 m/s ± 15 %",
            source="gauge-velocities-c",
            where="appendix, polyurethane",
            note="the kind is not stated there",
        ),
        "shear_modulus": _memory("400 MPa +100/-70 %"),
        "attenuation": _memory("70 dB/m ± 70 %"),
        "glass_transition": _memory("50 °C ± 25 °C"),
        "water_uptake": Cell(
            text="1 %", source="polyurethane-list", where="physical properties", note="in a day"
        ),
    },
)

_RHO_C = Row(
    name="rho-c-rubber",
    label="Rubber matched to water (ρc rubber)",
    cells={
        "density": _memory("1000 kg/m³ ± 3 %"),
        "sound_speed": _memory("1530 m/s ± 3 %"),
        "shear_modulus": _shore("0.87 MPa +100/-60 %", 45),
        "attenuation": _memory("20 dB/m ± 70 %"),
        "glass_transition": _memory("-60 °C ± 15 °C"),
    },
    note="Vulcanised in a press: bought, not poured.",
)

_SILICONE = Row(
    name="silicone",
    label="Silicone rubber",
    cells={
        "density": Cell(
            text="1084 kg/m³ ± 10 %",
            source=_PHANTOM,
            where="table 2, the firmer of two silicones, sample 1",
            note="the softer one 1063 kg/m³",
        ),
        "sound_speed": Cell(
            text="984 m/s ± 8 %",
            source=_PHANTOM,
            where="table 2, the firmer of two silicones, sample 1",
            note="the softer one 974 m/s; 1074 m/s follows from a third; a table for thickness "
            "gauges prints 1485 m/s",
        ),
        "shear_modulus": Cell(
            text="0.3 MPa +400/-60 %",
            source="ba2017",
            where="figure 1, caption: G0, with K0 1.2 GPa and 1040 kg/m³",
            note="at ultrasound, of a soft kind; firmer kinds reach 1.5 MPa",
        ),
        "attenuation": _memory("15 dB/m ± 70 %"),
        "impedance": Cell(
            text="1.07 MPa·s/m ± 8 %",
            source=_PHANTOM,
            where="table 2, the firmer of two silicones",
        ),
        "glass_transition": _glass("-123 °C ± 8 °C", "poly(dimethyl siloxane)"),
        "water_uptake": _memory("0.2 % ± 0.15 %", "lets vapour through fast all the same"),
    },
    note="Almost nothing sticks to it, and it poisons the cure of some other resins.",
)

_POLYESTER = Row(
    name="polyester",
    label="Polyester casting resin",
    cells={
        "density": Cell(text="1230 kg/m³ ± 4 %", source="polyester-table", where="table 1"),
        "sound_speed": Cell(text="2498 m/s ± 4 %", source="polyester-table", where="table 1"),
        "shear_modulus": Cell(
            text="1900 MPa +5/-27 %",
            source="polyester-table",
            where="table 1, dynamic",
            note="1400 MPa slowly loaded",
        ),
        "poisson": Cell(text="0.34 ± 5 %", source="polyester-table", where="table 1, dynamic"),
        "attenuation": _memory("40 dB/m ± 60 %"),
        "glass_transition": _memory("70 °C ± 20 °C"),
        "water_uptake": _memory("0.8 % ± 0.5 %"),
    },
    note="Shrinks by several percent as it sets, and pulls away from what it holds.",
)

_RUBBER = Row(
    name="natural-rubber",
    label="Natural rubber",
    cells={
        "density": Cell(
            text="930 kg/m³ +18/-3 %",
            source="thermopedia-rubber",
            where="specific gravity",
            note="fillers make it denser",
        ),
        "sound_speed": Cell(
            text="1550 m/s ± 6 %",
            source="effective-waves",
            where="examples/materials.jl, gum rubber",
            note="a table for thickness gauges prints 1610 m/s for polybutadiene",
        ),
        "shear_modulus": _shore("1.1 MPa +100/-60 %", 50),
        "attenuation": _memory("15 dB/m ± 70 %"),
        "glass_transition": _glass("-73 °C ± 15 °C", "cis-polyisoprene", "−60 °C in a handbook"),
    },
)

_NEOPRENE = Row(
    name="neoprene",
    label="Neoprene (chloroprene rubber, solid)",
    cells={
        "density": Cell(
            text="1240 kg/m³ +16/-1 %",
            source="rubber-comparison",
            where="specific gravity 1.23 to 1.25",
            note="the bare rubber; fillers make it denser",
        ),
        "sound_speed": Cell(
            text="1600 m/s ± 6 %", source="gauge-velocities-c", where="appendix, neoprene"
        ),
        "shear_modulus": _shore("2.0 MPa +100/-60 %", 60),
        "attenuation": _memory("60 dB/m ± 70 %"),
        "glass_transition": _glass("-50 °C ± 10 °C", "polychloroprene", "−43 °C in a handbook"),
    },
    note="The foam of wet suits is another thing: it holds gas and stops sound.",
)

_CASTOR = Row(
    name="castor-oil",
    label="Castor oil (liquid filling)",
    cells={
        "density": Cell(
            text="956 kg/m³ ± 1 %",
            source="castor-question",
            where="the data of the question",
            note="its sound speed is given there as 1474 m/s",
        ),
        "sound_speed": Cell(
            text="1500 m/s ± 1.5 %",
            source="liquids-table",
            where="page E.3, at 19 °C",
            note="falls by 4.1 m/s for each kelvin",
        ),
        "shear_modulus": Cell(
            text="0 MPa", source="common practice", note="a liquid, in the audio band"
        ),
        "poisson": Cell(text="0.5", source="common practice", note="a liquid"),
        "attenuation": _memory("2 dB/m ± 50 %"),
    },
)

_ACRYLIC = Row(
    name="acrylic",
    label="Acrylic (PMMA)",
    cells={
        "density": Cell(
            text="1190 kg/m³ ± 2 %", source="dispersion-materials", where="isotropic list, acrylic"
        ),
        "sound_speed": _gauge("2730 m/s ± 2 %", "the same table prints 2680 m/s for another make"),
        "shear_modulus": Cell(
            text="2030 MPa +5/-49 %",
            source="elastic-matrix-materials",
            where="PMMA: 1150 kg/m³ × (1330 m/s)²",
            note="1046 MPa slowly loaded",
        ),
        "poisson": Cell(
            text="0.34 ± 10 %",
            source="elastic-matrix-materials",
            where="PMMA: from 2700 m/s and 1330 m/s",
        ),
        "attenuation": Cell(
            text="8.0 dB/m ± 40 %",
            source="dispersion-materials",
            where="isotropic list, acrylic: 0.0253 Np per wavelength, at 2730 m/s",
        ),
        "glass_transition": Cell(
            text="101 °C ± 6 °C", source="acrylic-lens", where="table 1, transition temperature"
        ),
        "water_uptake": Cell(
            text="0.3 %",
            source="acrylic-lens",
            where="table 1, 24 h immersion",
            note="in a day; some 2 % in months",
        ),
    },
    note="For windows and cases, not for pouring.",
)

_PVC = Row(
    name="pvc-hard",
    label="Hard PVC (pipe and case)",
    cells={
        "density": Cell(
            text="1400 kg/m³ ± 4 %", source="dispersion-materials", where="isotropic list, PVC"
        ),
        "sound_speed": _gauge("2395 m/s ± 4 %", "2330 m/s in an open list of materials"),
        "shear_modulus": Cell(
            text="1725 MPa +5/-32 %",
            source="dispersion-materials",
            where="isotropic list, PVC: from E and ν",
            note="1190 MPa slowly loaded",
        ),
        "poisson": Cell(
            text="0.353 ± 8 %", source="dispersion-materials", where="isotropic list, PVC"
        ),
        "attenuation": Cell(
            text="24 dB/m ± 30 %",
            source="dispersion-materials",
            where="isotropic list, PVC: 0.064 Np per wavelength",
        ),
        "glass_transition": _glass("87 °C ± 8 °C", "poly(vinyl chloride)"),
    },
    note="For cases; many resins let go of its smooth wall.",
)

RESINS = Table(
    id="resins",
    title="Resins, rubbers and fillings, by kind",
    columns=_COLUMNS,
    rows=(
        _EPOXY,
        _EPOXY_FLEXIBLE,
        _PU_SOFT,
        _PU_SONAR,
        _PU_STIFF,
        _RHO_C,
        _SILICONE,
        _POLYESTER,
        _RUBBER,
        _NEOPRENE,
        _CASTOR,
        _ACRYLIC,
        _PVC,
    ),
    note="A kind, not a product: fillers, hardener and cure move every value. "
    "Measure the density of your own pour, and take the data sheet before this table.",
)
