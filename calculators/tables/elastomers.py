"""Rubbers of O-rings: what they stand, and how they move."""

from calculators.tables import TEXT, Cell, Column, Row, Table

_COLUMNS = (
    Column(name="low_limit", label="Coldest", unit="°C", help="standard compounds, in air"),
    Column(name="high_limit", label="Hottest", unit="°C", help="standard compounds, in air"),
    Column(name="water_limit", label="Hottest in water", unit="°C"),
    Column(name="expansion", label="Thermal expansion", unit="ppm/K", help="linear"),
    Column(name="swell", label="Swell in cool water", unit="%", help="of the volume, after months"),
    Column(name="set", label="Resistance to set", unit=TEXT, help="staying springy while squeezed"),
    Column(name="weather", label="Ozone and sun", unit=TEXT),
    Column(name="oil", label="Mineral oil and grease", unit=TEXT),
    Column(name="grease", label="Grease for it", unit=TEXT),
    Column(name="skin", label="Sunscreen, insect repellent", unit=TEXT),
    Column(name="solvent", label="Alcohol to wipe; other solvents", unit=TEXT),
)

_WORDS = {"A": "excellent", "B": "good", "C": "average", "D": "poor", "E": "not recommended"}
"""The five grades of the source of the ratings."""

_ANY_SILICONE = "silicone grease, thin"
_WASH = "wash off with soapy water; keep off hands that fit seals"


def _practice(text: str, note: str = "") -> Cell:
    return Cell(text=text, source="common practice", note=note)


def _rated(grade: str, property_: str) -> Cell:
    return Cell(text=_WORDS[grade], source="elastomer-ratings", where=property_)


def _limit(text: str, property_: str) -> Cell:
    return Cell(text=f"{text} °C", source="elastomer-ratings", where=property_)


def _row(
    name: str,
    label: str,
    limits: tuple[str, str, str],
    moves: tuple[str, str],
    grades: str,
    words: tuple[Cell, Cell, Cell],
    note: str = "",
) -> Row:
    """One rubber.

    ``limits`` are cold, hot, hot in water; ``moves`` expansion and swell; ``grades`` set, ozone,
    oil; ``words`` grease, creams, solvents.
    """
    low, high, water = limits
    grease, skin, solvent = words
    return Row(
        name=name,
        label=label,
        cells={
            "low_limit": _limit(low, "low temperature, standard"),
            "high_limit": _limit(high, "high temperature, standard"),
            "water_limit": _limit(water, "resistance to hot water"),
            "expansion": Cell(text=f"{moves[0]} ppm/K ± 30 %", source="from memory"),
            "swell": Cell(text=moves[1], source="from memory"),
            "set": _rated(grades[0], "compression set resistance"),
            "weather": _rated(grades[1], "ozone resistance"),
            "oil": _rated(grades[2], "resistance to oil and grease"),
            "grease": grease,
            "skin": skin,
            "solvent": solvent,
        },
        note=note,
    )


ELASTOMERS = Table(
    id="elastomers",
    title="Rubbers for O-rings",
    columns=_COLUMNS,
    rows=(
        _row(
            "nbr",
            "NBR (nitrile)",
            ("-30", "100", "80"),
            ("112", "3 % ± 2 %"),
            "ADB",
            (
                _practice(_ANY_SILICONE),
                _practice(_WASH, "both hold esters and solvents that swell it"),
                _practice("alcohol to wipe is well; acetone, petrol with alcohol are not"),
            ),
            "The usual black ring. Cracks in sun and ozone when it is stretched.",
        ),
        _row(
            "hnbr",
            "HNBR (hydrogenated nitrile)",
            ("-30", "150", "100"),
            ("125", "3 % ± 2 %"),
            "ABB",
            (
                _practice(_ANY_SILICONE),
                _practice(_WASH),
                _practice("alcohol to wipe is well; acetone is not"),
            ),
        ),
        _row(
            "epdm",
            "EPDM, peroxide-cured",
            ("-50", "150", "150"),
            ("160", "2 % ± 1.5 %"),
            "ABE",
            (
                Cell(
                    text="silicone grease; never mineral grease or petroleum jelly",
                    source="nbr-or-epdm",
                    where="swells by 30 to 80 % in mineral oil at 70 °C",
                ),
                _practice(_WASH, "the oils in them swell it"),
                _practice("alcohol and acetone to wipe are well; petrol is not"),
            ),
            "The first choice for water and weather, as long as no oil comes near it.",
        ),
        _row(
            "fkm",
            "FKM (fluorocarbon)",
            ("-15", "200", "80"),
            ("162", "2 % ± 1.5 %"),
            "AAA",
            (
                _practice("silicone or perfluorinated grease"),
                _practice(_WASH),
                _practice("alcohol to wipe is well; acetone and other ketones swell it badly"),
            ),
            "Stiff near 0 °C: follows slowly when a case cools fast.",
        ),
        _row(
            "vmq",
            "VMQ (silicone)",
            ("-55", "200", "100"),
            ("180", "1 % ± 0.8 %"),
            "BAC",
            (
                _practice(
                    "none, or a grease without silicone oil",
                    "silicone oil dissolves in silicone rubber and swells it",
                ),
                _practice(_WASH),
                _practice("alcohol to wipe is well; petrol swells it badly"),
            ),
            "Springy in the cold, but tears easily, and lets gas and water vapour through.",
        ),
        _row(
            "fvmq",
            "FVMQ (fluorosilicone)",
            ("-55", "175", "100"),
            ("190", "1 % ± 0.8 %"),
            "BAB",
            (
                _practice("a grease without silicone oil, or perfluorinated grease"),
                _practice(_WASH),
                _practice("alcohol to wipe is well; acetone is not"),
            ),
        ),
        _row(
            "cr",
            "CR (chloroprene)",
            ("-40", "100", "80"),
            ("137", "6 % ± 4 %"),
            "CBC",
            (
                _practice(_ANY_SILICONE),
                _practice(_WASH),
                _practice("alcohol to wipe is well; petrol and acetone are not"),
            ),
            "The usual foam and flat gasket; weathers well.",
        ),
        _row(
            "pu",
            "AU, EU (polyurethane)",
            ("-40", "100", "50"),
            ("150", "3 % ± 2 %"),
            "DAB",
            (
                _practice(_ANY_SILICONE),
                _practice(_WASH, "repellent with DEET softens it"),
                _practice("a quick wipe with alcohol only; acetone is not"),
            ),
            "Tough, but the polyester kind (AU) falls apart in warm water within months.",
        ),
    ),
    note="Grades are of the kind of rubber: a compound may be better or worse. A ring whose rubber "
    "nobody knows is taken as NBR.",
)
