"""How well adhesives hold to cases and jackets, what water leaves of it, and what jackets are."""

from calculators.tables import Cell, Column, Row, Table

_GUIDE = "bonding-guide-2010"
_GUESS = "the source gives no spread, only that values vary considerably: it is ours"


def _memory(text: str, note: str = "") -> Cell:
    return Cell(text=text, source="from memory", note=note)


def _row(name: str, label: str, strength: Cell, preparation: str, note: str = "") -> Row:
    """One pair; the preparation stands in the place of its source's words."""
    where = Cell(text=preparation, source=strength.source, where=strength.where)
    return Row(
        name=name, label=label, cells={"strength": strength, "preparation": where}, note=note
    )


def _guide(text: str, where: str, spread: int = 40) -> Cell:
    return Cell(text=f"{text} ± {spread} %", source=_GUIDE, where=where, note=_GUESS)


def _plasma(text: str, adherend: str, psi: str) -> Cell:
    return Cell(
        text=f"{text} ± 30 %",
        source="petrie-2000",
        where=f"table 6.14, {adherend}: {psi} psi",
        note="the spread is ours",
    )


def _acrylic(text: str, substrate: str, psi: str, note: str = "") -> Cell:
    return Cell(
        text=text, source="petrie-acrylics", where=f"table 10.17, {substrate}: {psi} psi", note=note
    )


def _cyano(text: str, substrate: str, psi: str, note: str = "the spread is ours") -> Cell:
    return Cell(
        text=f"{text} ± 30 %",
        source="petrie-cyanoacrylates",
        where=f"table 10.16, {substrate}: {psi} psi",
        note=note,
    )


_PU = "table 3.5, polyurethanes"
_PTFE = "table 2.17, PTFE"
_ASIS = "none named"
_WIPED = "wiped with solvent"
_BROKE = "the plastic broke, not the bond"

_EPOXY = (
    _row(
        "epoxy-pu-jacket",
        "Epoxy on polyurethane",
        _guide("5.2 MPa", f"{_PU}: standard epoxy"),
        _ASIS,
        "Kinds of polyurethane differ: soft cable jackets may hold less. Test yours.",
    ),
    _row(
        "fast-epoxy-pu-jacket",
        "Epoxy, 5 minutes, on polyurethane",
        _guide("2.8 MPa", f"{_PU}: “5-minute” epoxy"),
        _ASIS,
    ),
    _row(
        "epoxy-pvc-jacket",
        "Epoxy on soft PVC",
        _memory("1.5 MPa ± 60 %", "the plasticiser comes out and weakens it with time"),
        "sanded, degreased",
    ),
    _row(
        "epoxy-cr-jacket",
        "Epoxy on chloroprene rubber",
        _memory("1 MPa ± 60 %"),
        "sanded to bare rubber, degreased",
    ),
    _row(
        "epoxy-pe-plain",
        "Epoxy on polyethylene, untreated",
        _memory(
            "0.3 MPa ± 60 %",
            "a stiff lap of high density sheet to aluminium held 2.2 MPa; a jacket is peeled off",
        ),
        _ASIS,
        "Peels off by hand.",
    ),
    _row(
        "epoxy-pe-flamed",
        "Epoxy on polyethylene, flamed or plasma",
        _plasma("10 MPa", "low density polyethylene to aluminium, after plasma", "1466"),
        "plasma",
        "A flame also makes it bond; no figure was found for it.",
    ),
    _row(
        "epoxy-ptfe-plain",
        "Epoxy or methacrylate on PTFE, untreated",
        _guide("0.3 MPa", f"{_PTFE}: standard epoxy, and MMA"),
        _ASIS,
        "A methacrylate made for polyolefins: 3.1 MPa there.",
    ),
    _row(
        "epoxy-ptfe-etched",
        "Epoxy on PTFE, etched",
        Cell(text="4.5 MPa ± 12 %", source="etched-ptfe", where="first answer: 4 to 5 MPa"),
        "etched with sodium",
        "Etched by the maker of the cable or part: the etchant is no kitchen chemical.",
    ),
    _row(
        "epoxy-pc",
        "Epoxy on polycarbonate",
        _plasma("11.7 MPa", "polycarbonate, control", "1700"),
        _ASIS,
    ),
    _row(
        "epoxy-pc-plasma",
        "Epoxy on polycarbonate, plasma",
        _plasma("15.4 MPa", "polycarbonate, after plasma", "2240"),
        "plasma",
    ),
    _row(
        "epoxy-pmma",
        "Epoxy on acrylic (PMMA)",
        _plasma("2.8 MPa", "polymethylmethacrylate to aluminium, control", "410"),
        _ASIS,
    ),
    _row(
        "epoxy-abs",
        "Epoxy on ABS or PVC-U",
        _memory("5 MPa ± 40 %"),
        "sanded, degreased",
    ),
    _row(
        "epoxy-aluminium",
        "Epoxy on aluminium",
        _memory("15 MPa ± 40 %"),
        "sanded or blasted, degreased",
    ),
    _row(
        "epoxy-steel",
        "Epoxy on steel",
        Cell(
            text="13 MPa",
            source="cusens-1980",
            where="abstract: generally at least 13 N/mm²",
            note="four epoxies on plain steel; stainless steel may hold less",
        ),
        "free from grease",
    ),
)

_POLYURETHANE = (
    _row(
        "polyurethane-pu-jacket",
        "Polyurethane resin on polyurethane",
        _memory("4 MPa ± 50 %"),
        "sanded, degreased, dry",
    ),
    _row(
        "polyurethane-pvc-jacket",
        "Polyurethane resin on soft PVC",
        _memory("2 MPa ± 50 %"),
        "sanded, degreased, dry",
    ),
    _row(
        "polyurethane-cr-jacket",
        "Polyurethane resin on chloroprene rubber",
        _memory("2 MPa ± 60 %"),
        "sanded to bare rubber, primer",
    ),
    _row(
        "polyurethane-pc",
        "Polyurethane resin on polycarbonate",
        _plasma("3.7 MPa", "polycarbonate, control", "540"),
        _ASIS,
    ),
    _row(
        "polyurethane-pc-plasma",
        "Polyurethane resin on polycarbonate, plasma",
        _plasma("7.9 MPa", "polycarbonate, after plasma", "1140"),
        "plasma",
    ),
    _row(
        "polyurethane-aluminium",
        "Polyurethane resin on aluminium",
        _memory("5 MPa ± 50 %"),
        "blasted, primer",
    ),
)

_SILICONE = (
    _row(
        "silicone-plastics",
        "Silicone (alkoxy) on rigid plastics",
        _guide("1.4 MPa", "introduction to thermosets: often 1.4 N/mm²"),
        _ASIS,
        "The silicone itself tears.",
    ),
    _row(
        "silicone-rubbers",
        "Silicone (alkoxy) on rubbers",
        _guide("0.4 MPa", "introduction to elastomers: often 0.4 N/mm²"),
        _ASIS,
    ),
    _row(
        "silicone-pu-jacket",
        "Silicone (alkoxy) on polyurethane",
        _guide("0.3 MPa", f"{_PU}: alkoxy silicone", spread=50),
        _ASIS,
    ),
)

_CYANOACRYLATE = (
    _row(
        "cyanoacrylate-pu-jacket",
        "Cyanoacrylate on polyurethane",
        _guide("2.4 MPa", f"{_PU}: standard ethyl"),
        _ASIS,
        "Some polyurethanes crack under it.",
    ),
    _row(
        "cyanoacrylate-primer-pu-jacket",
        "Cyanoacrylate and primer on polyurethane",
        _guide("9.7 MPa", f"{_PU}: ethyl and primer"),
        "primer",
    ),
    _row(
        "cyanoacrylate-ptfe-plain",
        "Cyanoacrylate on PTFE, untreated",
        _guide("2.4 MPa", f"{_PTFE}: standard ethyl", spread=60),
        _ASIS,
    ),
    _row(
        "cyanoacrylate-primer-ptfe",
        "Cyanoacrylate and primer on PTFE",
        _guide("7.2 MPa", f"{_PTFE}: ethyl and primer"),
        "primer",
    ),
    _row(
        "cyanoacrylate-cr-jacket",
        "Cyanoacrylate on chloroprene rubber",
        _cyano("0.69 MPa", "neoprene rubber after 10 min", "100", "marked *; the spread is ours"),
        _ASIS,
    ),
    _row(
        "cyanoacrylate-pmma",
        "Cyanoacrylate on acrylic (PMMA)",
        _cyano("5.4 MPa", "acrylic after 48 h", "790"),
        _ASIS,
        "May craze the acrylic.",
    ),
    _row(
        "cyanoacrylate-aluminium",
        "Cyanoacrylate on aluminium",
        _cyano("15.7 MPa", "aluminium after 48 h", "2270"),
        _ASIS,
    ),
)

_METHACRYLATE = (
    _row(
        "methacrylate-pu-jacket",
        "Methacrylate on polyurethane",
        _guide("4.8 MPa", f"{_PU}: MMA"),
        _ASIS,
    ),
    _row(
        "methacrylate-pc",
        "Methacrylate on polycarbonate",
        _acrylic(
            "12.2 MPa ± 46 %", "polycarbonate", "960 to 2570", "the strongest broke the sheet"
        ),
        _WIPED,
        "Some methacrylates crack polycarbonate under load.",
    ),
    _row(
        "methacrylate-abs",
        "Methacrylate on ABS",
        _acrylic("10.0 MPa ± 13 %", "ABS", "1280 to 1635", _BROKE),
        _WIPED,
    ),
    _row(
        "methacrylate-pvc",
        "Methacrylate on PVC-U",
        _acrylic("9.0 MPa ± 5 %", "polyvinyl chloride", "1250 to 1375", _BROKE),
        _WIPED,
    ),
    _row(
        "methacrylate-pmma",
        "Methacrylate on acrylic (PMMA)",
        _acrylic("8.3 MPa ± 29 %", "polymethyl methacrylate", "865 to 1550", _BROKE),
        _WIPED,
    ),
    _row(
        "methacrylate-aluminium",
        "Methacrylate on aluminium",
        _acrylic("26.7 MPa ± 13 %", "bare aluminium, blasted", "3375 to 4375"),
        "degreased, blasted",
    ),
    _row(
        "methacrylate-stainless",
        "Methacrylate on stainless steel",
        _acrylic("33.8 MPa ± 6 %", "302 stainless steel, blasted", "4645 to 5170"),
        "degreased, blasted",
    ),
)

BONDS = Table(
    id="bonds",
    title="Strength of bonds",
    columns=(
        Column(
            name="strength",
            label="Shear strength, dry",
            unit="MPa",
            help="of lap joints, quickly loaded at room temperature",
        ),
        Column(name="preparation", label="Preparation", unit="text"),
    ),
    rows=(*_EPOXY, *_POLYURETHANE, *_SILICONE, *_CYANOACRYLATE, *_METHACRYLATE),
    note="Kinds, not products: the adhesive in your hand, on your jacket, with your sanding, may "
    "hold a third or three times as much. A peel test by hand on an offcut tells more.",
)

WET_BONDS = Table(
    id="wet-bonds",
    title="What water leaves of a bond",
    columns=(
        Column(
            name="share",
            label="Share of the dry strength",
            unit="",
            help="after weeks to months in water, or in hot damp air in its place",
        ),
    ),
    rows=(
        Row(
            name="epoxy-metal-wet",
            label="Epoxy on aluminium",
            cells={
                "share": Cell(
                    text="0.50 ± 20 %",
                    source="durability-review",
                    where="abstract: 40 to 60 %",
                    note="50 °C, 100 % humidity, up to 10 000 h; much comes back on drying",
                )
            },
        ),
        Row(
            name="polyurethane-pc-wet",
            label="Polyurethane on polycarbonate",
            cells={
                "share": Cell(
                    text="0.52 ± 20 %",
                    source="polycarbonate-humid",
                    where="abstract: 48 % less",
                    note="heat cycles at 85 % humidity; the spread is ours",
                )
            },
        ),
        Row(
            name="epoxy-plastics-wet",
            label="Epoxy or methacrylate on plastics",
            cells={
                "share": _memory(
                    "0.60 ± 30 %", "methacrylate on acrylic loses strength over 4000 h of damp heat"
                )
            },
        ),
        Row(
            name="silicone-wet",
            label="Silicone",
            cells={"share": _memory("0.80 ± 15 %")},
        ),
        Row(
            name="cyanoacrylate-wet",
            label="Cyanoacrylate",
            cells={"share": _memory("0.30 ± 50 %", "not for a seal that stays wet")},
        ),
    ),
    note="Water does most harm where adhesive and wall meet. Warmth speeds it up.",
)

JACKETS = Table(
    id="jackets",
    title="Jackets of cables",
    columns=(
        Column(name="modulus", label="Modulus", unit="MPa", help="slowly loaded, 20 °C"),
        Column(name="expansion", label="Thermal expansion", unit="ppm/K"),
        Column(name="bonding", label="Does resin hold to it?", unit="text"),
        Column(name="creep", label="Under a clamp, in time", unit="text"),
    ),
    rows=(
        Row(
            name="polyurethane-jacket",
            label="Polyurethane (TPU), Shore A 85",
            cells={
                "modulus": Cell(
                    text="23 MPa ± 50 %",
                    source="shore-modulus",
                    where="lg(E in MPa) = 0.0235 S − 0.6403, S = 85",
                    note="beyond the range where the relation is best",
                ),
                "expansion": _memory("150 ppm/K ± 20 %"),
                "bonding": _memory("well, sanded and clean"),
                "creep": _memory("little"),
            },
        ),
        Row(
            name="pvc-jacket",
            label="PVC, soft",
            cells={
                "modulus": _memory("12 MPa ± 60 %"),
                "expansion": _memory("180 ppm/K ± 30 %"),
                "bonding": _memory("fairly; the plasticiser works against it"),
                "creep": _memory("much: it flows away from a clamp"),
            },
        ),
        Row(
            name="chloroprene-jacket",
            label="Chloroprene rubber (CR)",
            cells={
                "modulus": _memory("5 MPa ± 60 %"),
                "expansion": _memory("200 ppm/K ± 20 %"),
                "bonding": _memory("fairly, sanded and with primer"),
                "creep": _memory("some: it takes a set"),
            },
        ),
        Row(
            name="polyethylene-jacket",
            label="Polyethylene, low density",
            cells={
                "modulus": _memory("200 MPa ± 30 %"),
                "expansion": _memory("200 ppm/K ± 20 %"),
                "bonding": Cell(
                    text="no; after a flame yes",
                    source="sheng-1994",
                    where="abstract",
                ),
                "creep": _memory("much"),
            },
        ),
        Row(
            name="ptfe-jacket",
            label="PTFE and its kin",
            cells={
                "modulus": _memory("500 MPa ± 30 %"),
                "expansion": _memory("130 ppm/K ± 20 %"),
                "bonding": Cell(
                    text="no; etched, or with a primer, yes",
                    source=_GUIDE,
                    where="table 2.17 and the words above it",
                ),
                "creep": Cell(
                    text="very much", source=_GUIDE, where="words above table 2.17: creeps"
                ),
            },
        ),
        Row(
            name="silicone-jacket",
            label="Silicone rubber",
            cells={
                "modulus": _memory("3 MPa ± 60 %"),
                "expansion": _memory("280 ppm/K ± 20 %"),
                "bonding": _memory("only silicone holds to it"),
                "creep": _memory("little"),
            },
        ),
    ),
    note="At 20 °C. A cable full of strands is stiffer along, and softer across, than its jacket.",
)
