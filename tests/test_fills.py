"""Does a row of a table fill its fields, and is it known again from them?"""

import json

import pytest

from calculators.bridge import call
from calculators.declare import Calculator, Export, Fill, Number, Output
from calculators.errors import InputError
from calculators.evaluate import read
from calculators.fills import expand, standing, texts
from calculators.registry import CALCULATORS
from calculators.tables import Cell, Column, Row, Table

WOODS = Table(
    id="woods",
    title="Woods",
    columns=(
        Column(name="density", label="Density", unit="kg/m³"),
        Column(name="span", label="Span", unit="mm"),
    ),
    rows=(
        Row(
            name="ash",
            label="Ash, dry",
            cells={
                "density": Cell(text="700 kg/m³ +50/-30 kg/m³", source="from memory"),
                "span": Cell(text="40 mm", source="from memory"),
            },
        ),
        Row(
            name="fir",
            label="Fir",
            cells={
                "density": Cell(text="0.5 g/cm³ ± 10 %", source="from memory"),
                "span": Cell(text="60 mm ± 1 mm", source="from memory"),
            },
        ),
        Row(
            name="elm",
            label="Elm, span unknown",
            cells={"density": Cell(text="600 kg/m³", source="from memory")},
        ),
    ),
)
WOOD = Fill(
    name="wood", label="Wood", table=WOODS, inputs={"density": "density", "beam_span": "span"}
)


def number(name: str, unit: str, default: str, low: str, high: str) -> Number:
    return Number(
        name=name, label=name, unit=unit, default=default, low=low, high=high, why="of the test"
    )


def card(*fills: Fill) -> Calculator:
    return Calculator(
        id="beam",
        title="Beam",
        question="How heavy?",
        stage="plan",
        inputs=(
            number("density", "kg/m³", "650 kg/m³", "1 kg/m³", "2000 kg/m³"),
            number("beam_span", "mm", "50 mm", "1 mm", "100 mm"),
        ),
        outputs=(Output(name="load", label="Load", unit="kg/m³"),),
        compute=lambda density, beam_span: {"load": density * beam_span},
        fills=fills,
        exports=(Export(name="note", label="Note", file="note.txt", text=lambda v, r: "x\n"),),
    )


BEAM = card(WOOD)


def test_only_rows_with_every_value_are_offered():
    """A form must not be filled by half."""
    assert [row.name for row in WOOD.rows] == ["ash", "fir"]


def test_a_row_fills_fields_and_tolerances_in_the_readers_units():
    """As the form shows them, in both systems."""
    assert texts(BEAM, WOOD, "fir", "metric") == (
        {"density": "500", "beam_span": "60"},
        {"density": "±10\u00a0%", "beam_span": "±1\u00a0mm"},
    )
    fields, tolerances = texts(BEAM, WOOD, "fir", "us")
    assert fields == {"density": "31.214", "beam_span": "2.362205"}
    assert tolerances["beam_span"].endswith("in")


def test_a_row_that_is_not_there_is_refused_with_those_there_are():
    """By the fill's own name."""
    with pytest.raises(InputError, match="Wood: “elm” is not one of: ash, fir") as refused:
        texts(BEAM, WOOD, "elm", "metric")
    assert refused.value.name == "wood"


@pytest.mark.parametrize(
    ("changed", "row"),
    [
        ({}, "ash"),
        ({"density": ("701", "+50/-30 kg/m³")}, ""),
        ({"density": ("700", "+50/-20 kg/m³")}, ""),
        ({"density": ("700", "")}, ""),
        ({"beam_span": ("40", "1 mm")}, ""),
        ({"density": ("500", "10 %"), "beam_span": ("6 cm", "0.1 cm")}, "fir"),
    ],
)
def test_the_row_is_known_from_values_and_spread_alone(changed, row):
    """So that a link needs no more than the values."""
    form = {"density": ("700", "+50/-30 kg/m³"), "beam_span": ("40", "")} | changed
    given = read(
        BEAM, {k: v for k, (v, _) in form.items()}, {k: t for k, (_, t) in form.items()}, "metric"
    )
    assert standing(BEAM, given) == {"wood": row}


def test_a_text_of_the_readers_own_wins_over_the_rows():
    """``wood=fir beam_span=55mm`` keeps the 55 mm."""
    found = expand(BEAM, {"wood": "fir", "beam_span": "55 mm"})
    assert found == {"density": "0.5 g/cm³ ± 10 %", "beam_span": "55 mm"}


@pytest.mark.parametrize(
    ("fill", "message"),
    [
        (Fill(name="wood", label="Wood", table=WOODS, inputs={"hue": "span"}), "not a number"),
        (Fill(name="load", label="Wood", table=WOODS, inputs={"density": "density"}), "used twice"),
        (Fill(name="wood", label="Wood", table=WOODS, inputs={"density": "hue"}), "has no row"),
    ],
)
def test_a_wrong_declaration_fails_at_once(fill, message):
    """When the card is imported, not when a reader comes."""
    with pytest.raises(TypeError, match=message):
        card(fill)


@pytest.mark.parametrize(
    ("cells", "message"),
    [
        ({"hue": Cell(text="1", source="x")}, "no column"),
        ({"span": Cell(text="1 mm", source="")}, "no source"),
    ],
)
def test_a_wrong_table_fails_at_once(cells, message):
    """A column that is not there, a value without a source."""
    with pytest.raises(TypeError, match=message):
        Table(
            id="t",
            title="T",
            columns=WOODS.columns,
            rows=(Row(name="r", label="R", cells=cells),),
        )


@pytest.mark.parametrize("text", ["1 kg", "a mm", "1 mm ± 200 %"])
def test_a_cell_that_no_form_could_read_fails_at_once(text):
    """Its unit, number and spread are read when the table is made."""
    with pytest.raises(InputError):
        Table(
            id="t",
            title="T",
            columns=WOODS.columns,
            rows=(Row(name="r", label="R", cells={"span": Cell(text=text, source="x")}),),
        )


FILLS = [(c, f, r.name) for c in CALCULATORS.values() for f in c.fills for r in f.rows]


def ask(request: dict) -> dict:
    return json.loads(call(json.dumps(request)))


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize(
    ("of", "fill", "row"), FILLS, ids=[f"{c.id}-{f.name}-{row}" for c, f, row in FILLS]
)
def test_every_row_of_every_calculator_is_accepted_and_known_again(of, fill, row, system):
    """With its spread inside the ranges of the form, in both systems of units."""
    blank = {"op": "convert", "calculator": of.id, "system": system, "tolerances": {}}
    fields = {i.name: i.default for i in of.inputs}
    fields = ask(blank | {"fields": fields})["fields"] if system == "us" else fields
    asked = {"op": "fill", "calculator": of.id, "fill": fill.name, "row": row, "system": system}
    filled = ask(asked)
    assert filled["ok"], filled

    given = read(of, fields | filled["fields"], filled["tolerances"], system)

    assert standing(of, given)[fill.name] == row
