"""What cases, lids and tubes are made of, at room temperature."""

from calculators.tables import Cell, Column, Row, Table

_COLUMNS = (
    Column(
        name="modulus",
        label="Modulus",
        unit="GPa",
        help="for minutes to an hour: a test, a dip",
    ),
    Column(
        name="long_term_modulus",
        label="Modulus after long load",
        unit="GPa",
        help="with creep: the strain grows under a load that stays; each cell says after how long",
    ),
    Column(name="poisson", label="Poisson's ratio", unit=""),
    Column(
        name="yield_strength",
        label="Yield strength",
        unit="MPa",
        help="in a quick test; of brittle materials the strength",
    ),
    Column(
        name="working_stress",
        label="Working stress",
        unit="MPa",
        help="that may stay for the whole deployment; safety is in it",
    ),
    Column(name="expansion", label="Thermal expansion", unit="ppm/K"),
    Column(name="density", label="Density", unit="kg/m³"),
    Column(name="heat_limit", label="Hottest for long", unit="°C"),
)

_CREEP = "creep modulus after 1000 h at 0.5 % strain or less"
_HALF_PERCENT = (
    "what stretches it by 0.5 % in 1000 h, to which the creep modulus beside it is measured"
)


def _memory(text: str, note: str = "") -> Cell:
    return Cell(text=text, source="from memory", note=note)


def _elastic(text: str, material: str, note: str = "") -> Cell:
    return Cell(text=text, source="dowling-2013", where=f"table 5.2, {material}", note=note)


def _by_rule(text: str, stresses: str) -> Cell:
    """Allowable stress of a metal, after the rule of pressure vessels."""
    return Cell(
        text=text,
        source="common practice",
        note=f"the lesser of Rp0.2/1.5 and Rm/2.4, from {stresses}",
    )


def _no_creep(cell: Cell) -> dict[str, Cell]:
    """Both moduli of a material that does not creep at room temperature."""
    still = Cell(text=cell.text, source=cell.source, where=cell.where, note="does not creep here")
    return {"modulus": cell, "long_term_modulus": still}


def _polycarbonate() -> Row:
    values = {"source": "polycarbonate-guide", "where": "material 2301"}
    sheet = {"source": "polycarbonate-sheet", "where": "column of the plain sheet"}
    return Row(
        name="polycarbonate",
        label="Polycarbonate",
        cells={
            "modulus": Cell(text="2.4 GPa ± 5 %", **values),
            "long_term_modulus": Cell(text="1.9 GPa ± 10 %", note=_CREEP, **values),
            "poisson": _elastic("0.38 ± 3 %", "polycarbonate"),
            "yield_strength": Cell(text="66 MPa ± 10 %", **values),
            "working_stress": Cell(text="9.5 MPa", note=_HALF_PERCENT, **values),
            "expansion": Cell(text="70 ppm/K ± 5 %", **sheet),
            "density": Cell(text="1200 kg/m³ ± 1 %", **values),
            "heat_limit": Cell(
                text="60 °C",
                source="polycarbonate-wet",
                where="temperature range, water: 140 °F",
                note="in water; about 100 °C in dry air",
            ),
        },
        note="Cracks under load in many solvents, adhesives, greases and thread lockers.",
    )


def _abs() -> Row:
    sheet = {"source": "abs-sheet", "where": "mechanical and thermal properties"}
    return Row(
        name="abs",
        label="ABS",
        cells={
            "modulus": Cell(text="2.0 GPa ± 15 %", **sheet),
            "long_term_modulus": _memory("1.3 GPa ± 20 %", "after 1000 h"),
            "poisson": _elastic("0.35 ± 10 %", "ABS, medium impact"),
            "yield_strength": Cell(text="38 MPa ± 15 %", **sheet),
            "working_stress": _memory("6.5 MPa", "0.5 % strain after 1000 h"),
            "expansion": Cell(text="90 ppm/K ± 10 %", **sheet),
            "density": Cell(text="1040 kg/m³ ± 3 %", **sheet),
            "heat_limit": Cell(text="80 °C", **sheet),
        },
        note="Cracks under load in fuels, oils and many cleaners; sunlight makes it brittle.",
    )


def _pmma() -> Row:
    sheet = {"source": "acrylic-sheet", "where": "cast acrylic sheet"}
    return Row(
        name="pmma",
        label="Acrylic (PMMA), cast sheet",
        cells={
            "modulus": Cell(text="3.0 GPa ± 7 %", note="printed as 2.8 to 3.2 GPa", **sheet),
            "long_term_modulus": _memory("1.8 GPa ± 15 %", "after 1000 h"),
            "poisson": _elastic("0.35 ± 10 %", "acrylic"),
            "yield_strength": Cell(text="71 MPa ± 6 %", note="breaks: 67 to 75 MPa", **sheet),
            "working_stress": Cell(
                text="10.3 MPa",
                source="acrylic-design-stress",
                where="1500 psi for cast sheet under loads that stay",
                note="against fine cracks (crazing); half of it for extruded sheet",
            ),
            "expansion": Cell(
                text="72 ppm/K ± 10 %", source="acrylic-extruded", where="thermal", note="extruded"
            ),
            "density": Cell(text="1190 kg/m³ ± 1 %", source="callister-2007", where="table B.1"),
            "heat_limit": Cell(
                text="71 °C", source="acrylic-extruded", where="thermal: 160 °F", note="extruded"
            ),
        },
        note="Brittle; alcohol on a loaded or freshly cut edge cracks it.",
    )


def _pvc() -> Row:
    pipe = {"source": "pvc-pipe", "where": "material properties"}
    return Row(
        name="pvc-u",
        label="PVC-U (pipe)",
        cells={
            "modulus": Cell(text="3.2 GPa ± 10 %", **pipe),
            "long_term_modulus": Cell(
                text="1.2 GPa ± 10 %", note="after 50 years, in bending of the ring", **pipe
            ),
            "poisson": Cell(text="0.38 ± 5 %", **pipe),
            "yield_strength": Cell(text="52 MPa ± 10 %", **pipe),
            "working_stress": Cell(
                text="11 MPa",
                note="design stress of water pipe up to 150 mm, 50 years at 20 °C; "
                "times 0.87 at 30 °C, 0.70 at 40 °C",
                **pipe,
            ),
            "expansion": Cell(text="70 ppm/K ± 10 %", **pipe),
            "density": Cell(
                text="1420 kg/m³ ± 4 %", note="1470 here; about 1380 with less filler", **pipe
            ),
            "heat_limit": Cell(text="50 °C", **pipe),
        },
        note="Brittle in the cold; solvent cement softens it for a day.",
    )


def _pom() -> Row:
    sheet = {"source": "pom-sheet", "where": "mechanical properties"}
    return Row(
        name="pom-c",
        label="POM copolymer (acetal)",
        cells={
            "modulus": Cell(text="2.85 GPa ± 5 %", **sheet),
            "long_term_modulus": Cell(text="1.3 GPa ± 10 %", note=_CREEP, **sheet),
            "poisson": _memory("0.38 ± 8 %"),
            "yield_strength": Cell(text="64 MPa ± 5 %", **sheet),
            "working_stress": Cell(text="6.5 MPa", note=_HALF_PERCENT, **sheet),
            "expansion": Cell(
                text="110 ppm/K ± 10 %", source="pom-sheet-later", where="thermal properties"
            ),
            "density": Cell(text="1410 kg/m³ ± 1 %", **sheet),
            "heat_limit": Cell(
                text="90 °C",
                source="pom-sheet",
                where="description: temperature index, mechanical",
            ),
        },
        note="Nothing sticks to it: seal it with rings, not with glue.",
    )


def _pe() -> Row:
    pipe = {"source": "pe-pipe", "where": "PE & HDPE PE100 pipe properties"}
    return Row(
        name="pe-hd",
        label="PE-HD (pipe)",
        cells={
            "modulus": Cell(text="1.0 GPa ± 15 %", note="in bending", **pipe),
            "long_term_modulus": Cell(text="0.2 GPa ± 15 %", note="after 50 years", **pipe),
            "poisson": Cell(text="0.45 ± 7 %", **pipe),
            "yield_strength": Cell(text="23 MPa ± 10 %", **pipe),
            "working_stress": Cell(
                text="8 MPa",
                source="pe-pipe-design",
                where="use conditions: design stress with a coefficient of 1.25 at 20 °C",
                note="a pipe may stretch by some per cent; a lid bends long before",
            ),
            "expansion": Cell(text="130 ppm/K ± 20 %", **pipe),
            "density": _memory("955 kg/m³ ± 1 %"),
            "heat_limit": _memory("60 °C"),
        },
        note="Nothing sticks to it: weld it, or seal it with rings.",
    )


def _pp() -> Row:
    pipe = {"source": "pp-pipe", "where": "typical material properties"}
    return Row(
        name="pp",
        label="Polypropylene",
        cells={
            "modulus": Cell(text="1.3 GPa ± 15 %", note="in bending, block copolymer", **pipe),
            "long_term_modulus": Cell(
                text="0.43 GPa ± 15 %", note="a third after two years (creep ratio 3)", **pipe
            ),
            "poisson": Cell(text="0.45 ± 7 %", **pipe),
            "yield_strength": Cell(text="31 MPa ± 10 %", **pipe),
            "working_stress": Cell(
                text="2.2 MPa", note="what stretches it by 0.5 % in two years", **pipe
            ),
            "expansion": Cell(text="150 ppm/K ± 15 %", **pipe),
            "density": Cell(text="900 kg/m³ ± 1 %", **pipe),
            "heat_limit": Cell(text="60 °C", source="pp-pipe", where="temperature"),
        },
        note="Brittle below freezing; nothing sticks to it.",
    )


def _pa() -> Row:
    sheet = {"source": "pa-sheet", "where": "conditioned"}
    return Row(
        name="pa66",
        label="Polyamide (PA 66), moist",
        cells={
            "modulus": Cell(text="1.1 GPa ± 15 %", note="3.0 GPa dry", **sheet),
            "long_term_modulus": Cell(text="0.7 GPa ± 15 %", note=_CREEP, **sheet),
            "poisson": _elastic("0.41 ± 5 %", "nylon 66, dry"),
            "yield_strength": Cell(text="50 MPa ± 10 %", **sheet),
            "working_stress": Cell(text="3.5 MPa", note=_HALF_PERCENT, **sheet),
            "expansion": Cell(text="98 ppm/K ± 10 %", note="dry", **sheet),
            "density": _memory("1140 kg/m³ ± 2 %"),
            "heat_limit": _memory("80 °C"),
        },
        note="In balance with air of 50 %; soaked it takes up 8.5 % of water, swells and is softer "
        "still.",
    )


def _aluminium(
    name: str, label: str, proof: Cell, working: Cell, density: Cell, note: str, of: str = ""
) -> Row:
    """An aluminium alloy; ``of`` says where its elastic values are those of a sister alloy."""

    def physical(text: str) -> Cell:
        return Cell(text=text, source="aluminium-sheet", where="physical properties", note=of)

    return Row(
        name=name,
        label=label,
        cells={
            **_no_creep(physical("70 GPa ± 2 %")),
            "poisson": _elastic("0.345 ± 4 %", "aluminium"),
            "yield_strength": proof,
            "working_stress": working,
            "expansion": physical("23.4 ppm/K ± 3 %"),
            "density": density,
        },
        note=note,
    )


def _steel() -> Row:
    sheet = {"source": "stainless-table", "where": "austenitic, 316"}
    return Row(
        name="stainless-1-4404",
        label="Stainless steel 1.4404",
        cells={
            **_no_creep(Cell(text="200 GPa ± 2 %", **sheet)),
            "poisson": _elastic("0.283 ± 6 %", "stainless steel"),
            "yield_strength": _memory("220 MPa", "least Rp0.2 of hot-rolled plate, EN 10088-2"),
            "working_stress": _by_rule("147 MPa", "220 and 520 MPa"),
            "expansion": Cell(text="16 ppm/K ± 3 %", **sheet),
            "density": Cell(text="8000 kg/m³ ± 1 %", **sheet),
        },
        note="In the sea it pits where water stands still: under seals, clamps and slime.",
    )


def _titanium() -> Row:
    sheet = {"source": "titanium-sheet", "where": "properties, annealed"}
    least = "least of sheet and plate"
    return Row(
        name="titanium-grade-2",
        label="Titanium grade 2",
        cells={
            **_no_creep(Cell(text="102 GPa ± 3 %", **sheet)),
            "poisson": Cell(text="0.34 ± 6 %", **sheet),
            "yield_strength": Cell(
                text="275 MPa", source="titanium-minimum", where="grade 2", note=least
            ),
            "working_stress": _by_rule("144 MPa", "275 and 345 MPa"),
            "expansion": Cell(text="8.6 ppm/K ± 3 %", **sheet),
            "density": Cell(text="4510 kg/m³ ± 1 %", **sheet),
        },
    )


def _brass() -> Row:
    rod = {"source": "brass-rod", "where": "rod R410 of EN 12164"}
    return Row(
        name="brass",
        label="Brass, free-cutting rod",
        cells={
            **_no_creep(Cell(text="102 GPa ± 5 %", **rod)),
            "poisson": _elastic("0.35 ± 4 %", "brass, 70Cu-30Zn"),
            "yield_strength": Cell(text="230 MPa", note="least 0.2 % proof stress", **rod),
            "working_stress": _by_rule("153 MPa", "230 and 410 MPa"),
            "expansion": Cell(text="20.4 ppm/K ± 3 %", **rod),
            "density": Cell(text="8440 kg/m³ ± 1 %", **rod),
        },
        note="Loses its zinc in sea water unless it is a grade that resists it.",
    )


def _glass() -> Row:
    tube = {"source": "borosilicate-tube", "where": "properties, and pressure resistance"}
    return Row(
        name="borosilicate-glass",
        label="Borosilicate glass 3.3",
        cells={
            **_no_creep(Cell(text="63 GPa ± 2 %", **tube)),
            "poisson": Cell(text="0.20 ± 5 %", **tube),
            "yield_strength": _memory(
                "25 MPa", "breaks; characteristic strength in bending of building glass"
            ),
            "working_stress": Cell(
                text="7 MPa", note="70 bar permissible in tension, after EN 1595", **tube
            ),
            "expansion": Cell(text="3.3 ppm/K ± 3 %", **tube),
            "density": Cell(text="2230 kg/m³ ± 1 %", **tube),
        },
        note="No warning before it breaks. Bed it in a soft seat: a grain of sand under the edge "
        "is enough.",
    )


CASE_MATERIALS = Table(
    id="case-materials",
    title="Materials of cases",
    columns=_COLUMNS,
    rows=(
        _polycarbonate(),
        _abs(),
        _pmma(),
        _pvc(),
        _pom(),
        _pe(),
        _pp(),
        _pa(),
        _aluminium(
            "en-aw-6082-t6",
            "Aluminium EN AW 6082 T6",
            Cell(
                text="250 MPa",
                source="aluminium-sheet",
                where="mechanical properties after EN 755-2, walls to 5 mm",
                note="least Rp0.2 of extruded profiles; 260 MPa above 5 mm",
            ),
            _by_rule("121 MPa", "250 and 290 MPa"),
            Cell(text="2700 kg/m³ ± 1 %", source="aluminium-sheet", where="physical properties"),
            "Anodise it for the sea, and keep other metals off it. Welding softens it by half.",
        ),
        _aluminium(
            "en-aw-5754",
            "Aluminium EN AW 5754, soft sheet",
            Cell(
                text="80 MPa",
                source="aluminium-nautical",
                where="EN AW-5754, O and H111, after EN 485-2",
                note="least Rp0.2",
            ),
            _by_rule("53 MPa", "80 and 190 MPa"),
            _memory("2670 kg/m³ ± 1 %"),
            "Stands sea water well.",
            of="of the alloy 6082",
        ),
        _steel(),
        _titanium(),
        _glass(),
        _brass(),
    ),
    note="At 20 to 23 °C. Plastics soften as they warm, most of all near the temperature in the "
    "last column; the factors given for PVC-U are typical. Values are of kinds, not of products: "
    "your grade has a data sheet.",
)
