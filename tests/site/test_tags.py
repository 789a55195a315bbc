"""Does every tag give what it says, and is a tag that asks for nothing refused?"""

import re

import pytest

from calculators.rig.requirements import margin_text, requirements
from calculators.tables import Cell, Column, Row, Table
from site_src.bibliography import Source
from site_src.examples import Example, work
from site_src.material_tables import table_html
from site_src.prerender import Prerender
from site_src.rig_numbers import worked_out
from site_src.tags import Tags

VALUES = {"element_capacitance": "10 nF ± 20 %", "bias_resistance": "10 MΩ"}


@pytest.fixture
def tags():
    worked = work("corner-frequency", VALUES)
    example = Example("bench", "On the bench", "examples/bench.md", "A story.", worked)
    source = Source(key="ab2020", author="A. Smith", year=2020, title="t", status="from memory")
    return Tags({"bench": example}, {"ab2020": source}, Prerender())


def replaced(tags, text):
    result = tags.replace(text, "plan/page.md", "../../")
    assert tags.problems == []
    return result


def test_a_value_is_the_cores_own_text(tags):
    """The page shows what the calculator shows, marked as computed."""
    answer = tags.examples["bench"].worked.output("input_corner")

    shown = replaced(tags, "about [[value bench input_corner]].")

    assert shown == f'about <span class="computed">{answer["text"]}</span>.'
    assert "Hz" in shown


def test_a_range_has_two_different_ends(tags):
    """Twenty per cent of the element's capacitance moves the corner."""
    shown = replaced(tags, "[[value bench input_corner range]]")

    found = re.fullmatch(r'<span class="computed">([\d.]+)\sHz to ([\d.]+)\sHz</span>', shown)
    assert found
    assert float(found[1]) < float(found[2])


def test_an_input_and_its_tolerance_can_be_quoted(tags):
    """As a reader would write them, number and unit never broken apart."""
    assert ">10\N{NO-BREAK SPACE}nF<" in replaced(tags, "[[value bench element_capacitance]]")
    assert "20" in replaced(tags, "[[tolerance bench element_capacitance]]")


def test_a_rigs_number_is_what_the_core_says_of_it(tags):
    """What it states, an answer, the answer's range, and its margin."""
    _, nodes = worked_out("tarn")
    row = next(r for r in requirements(nodes) if r.name == "lid-under-pressure.depth_limit")
    texts = [row.output.text(v, "metric") for v in (row.value, row.low, row.high)]
    assert f">{texts[0]}<" in replaced(tags, "[[rig-value tarn lid-under-pressure.depth_limit]]")
    shown = replaced(tags, "[[rig-value tarn lid-under-pressure.depth_limit range]]")
    assert texts[1].split("\N{NO-BREAK SPACE}")[0] in shown
    assert texts[2] in shown
    shown = replaced(tags, "[[rig-margin tarn lid-under-pressure.depth_limit]]")
    assert f">{margin_text(row, 'metric')}<" in shown
    assert ">6\N{NO-BREAK SPACE}mm<" in replaced(tags, "[[rig-value tarn case.lid_thickness]]")


def test_a_link_opens_the_calculator_with_every_input_written_out(tags):
    """The link of the answer itself, from this page."""
    shown = replaced(tags, "[[link bench with these values]]")

    assert 'href="../../calculators/corner-frequency/#corner-frequency?v=1&amp;edition=' in shown
    assert "element_capacitance=10nF~20pct" in shown
    assert ">with these values</a>" in shown


def test_a_calculator_is_drawn_later_with_its_example(tags):
    """One job for Node, with the example's answer."""
    shown = replaced(tags, "[[calculator corner-frequency example=bench]]")

    (job,) = tags.prerender.jobs["calculators"]
    assert shown == '<div data-slot="calculators-0"></div>'
    assert job["answer"]["fields"]["element_capacitance"] == "10"
    assert job["options"]["example"]["link"] == "../../examples/bench/"


def test_a_citation_leads_to_the_bibliography(tags):
    """From the page, by the source's key."""
    shown = replaced(tags, "so [@ab2020]")

    assert shown == 'so <a class="cite" href="../../reference/sources/#ab2020">[Smith 2020]</a>'


def test_a_formula_comes_with_symbols_validity_and_its_ledger_entry(tags):
    """Symbol by symbol, as the formula declares them."""
    shown = replaced(tags.__class__(tags.examples, AnySource(), tags.prerender), FORMULA)

    assert 'href="../../reference/ledger/#front_end-rc_corner"' in shown
    assert "resistance, Ω" in shown
    assert {"tex": "R", "display": False} in tags.prerender.jobs["math"]


FORMULA = "[[formula front_end.rc_corner]]"


class AnySource(dict):
    """A bibliography that holds every key."""

    def __contains__(self, key):
        return True

    def __missing__(self, key):
        return Source(key=key, author="A. B", year=1, title="t", status="from memory")


@pytest.mark.parametrize(
    "code",
    [
        "`[[value bench nothing]]`",
        "``a ` [[x]]``",
        "```\n[[value no no]]\n[@no]\n```",
        "~~~ toml\n[[check]]\n~~~",
    ],
)
def test_a_tag_in_code_is_left_alone(tags, code):
    """A page may explain the tags."""
    assert replaced(tags, f"before\n\n{code}\n\nafter") == f"before\n\n{code}\n\nafter"


@pytest.mark.parametrize(
    ("tag", "why"),
    [
        ("[[value nobody input_corner]]", "“nobody” is not an example; there are: bench"),
        ("[[value bench corner]]", "corner-frequency has no “corner”; it has: "),
        ("[[value bench input_corner span]]", "“span” is not “range”"),
        ("[[value bench element_capacitance range]]", "a range belongs to an output"),
        ("[[value bench]]", "takes 2 to 3 words, given 1"),
        ("[[tolerance bench bias_resistance]]", "has no tolerance in this example"),
        ("[[calculator corner]]", "“corner” is not a calculator"),
        ("[[calculator runtime example=bench]]", "example “bench” belongs to corner-frequency"),
        ("[[formula front_end.nothing]]", "“front_end.nothing” is not a formula"),
        ("[[link bench]]", "takes 2 to 99 words"),
        ("[[figure bench]]", "“figure” is not a tag"),
        ("[[rig-value nowhere case.lid]]", "“nowhere” is not a rig"),
        ("[[rig-value tarn case.colour]]", "neither states “case.colour” nor has such an answer"),
        ("[[rig-value tarn lid-under-pressure.gap span]]", "“span” is not “range”"),
        ("[[rig-value tarn case.lid range]]", "nor has such an answer"),
        ("[[rig-margin tarn lid-under-pressure.pressure]]", "is not required of this rig"),
        ("[@nobody1900]", "“nobody1900” is not in the bibliography"),
    ],
)
def test_a_tag_that_asks_for_nothing_is_reported_with_page_and_tag(tags, tag, why):
    """The build lists all of them and fails."""
    tags.replace(f"text {tag} text", "plan/page.md", "../")

    (problem,) = tags.problems
    assert problem.startswith(f"plan/page.md: {tag}: ")
    assert why in problem


def test_formulas_in_the_text_are_collected_once_each(tags):
    """Escaped by Markdown, given to Node as they were written."""
    inline = '<p><span class="arithmatex">\\(a &lt; b\\)</span></p>'
    html = f'{inline}\n<div class="arithmatex">\\[c\\]</div>'

    shown = tags.collect_maths(html + html)

    assert tags.prerender.jobs["math"] == [
        {"tex": "a < b", "display": False},
        {"tex": "c", "display": True},
    ]
    assert shown.count('<span data-slot="math-0"></span>') == 2
    assert "arithmatex" not in shown


def test_a_table_shows_every_cell_with_its_spread_source_and_note():
    """A value without a source would be read as certain; what is missing is said to be."""
    cells = {
        "density": Cell(text="700 kg/m³ +50/-30 kg/m³", source="ab2020", where="table 2"),
        "span": Cell(text="40 mm", source="from memory", note="Dry <wood> only."),
    }
    columns = (
        Column(name="density", label="Density", unit="kg/m³"),
        Column(name="span", label="Span", unit="mm", help="free length"),
        Column(name="hue", label="Hue", unit=""),
    )
    table = Table(
        id="woods", title="Woods", columns=columns, rows=(Row(name="a", label="Ash", cells=cells),)
    )

    html = table_html(table, lambda key: f"<a>{key}</a>")

    assert '<td>700 kg/m³ +50/−30 kg/m³<small class="of"><a>ab2020</a> table 2</small></td>' in html
    assert "40 mm<sup>1</sup>" in html
    assert "from memory" in html
    assert "<li>Dry &lt;wood&gt; only.</li>" in html
    assert "none found" in html


def test_a_long_table_goes_down_the_page_and_names_a_shared_source_once():
    """A list of sizes would be hundreds of columns wide, each with the same source."""
    columns = (Column(name="span", label="Span", unit="mm", help="free length"),)
    rows = tuple(
        Row(name=f"r{n}", label=f"No. {n}", cells={"span": Cell(text=f"{n} mm", source="ab2020")})
        for n in range(1, 41)
    )

    html = table_html(
        Table(id="s", title="Sizes", columns=columns, rows=rows), lambda key: f"<{key}>"
    )

    assert '<tr><th scope="row">No. 7</th><td>7 mm</td></tr>' in html
    assert html.count("<ab2020>") == 1


def test_one_property_goes_down_the_page_in_order_each_cell_with_its_source():
    """A text says “the one higher in this table”, and a telephone has no room for it sideways."""
    columns = (Column(name="potential", label="Potential", unit="V"),)
    rows = tuple(
        Row(name=n, label=n, cells={"potential": Cell(text=t, source="ab2020", where=n)})
        for n, t in (("zinc", "-1 V"), ("tin", "-0.3 V"))
    )

    html = table_html(Table(id="s", title="S", columns=columns, rows=rows), lambda key: f"<{key}>")

    zinc = '<tr><th scope="row">zinc</th><td>−1 V<small class="of"><ab2020> zinc</small></td></tr>'
    assert zinc in html
    assert html.index(zinc) < html.index('<th scope="row">tin</th>')


def test_a_table_that_is_not_there_fails_the_build(tags):
    """With page and tag."""
    tags.replace("[[table nothing]]", "plan/page.md", "")
    assert "“nothing” is not a table" in tags.problems[0]


def test_a_rig_is_drawn_with_its_verdict_and_its_file(tags):
    """The page of the reader's own rigs begins with it, and lists the others."""
    replaced(tags, "[[rig tarn live]]")

    (job,) = tags.prerender.jobs["rigs"]
    assert job["check"]["requirements"]
    assert job["options"]["toml"].startswith("# Tarn")
    assert "tarn" in [example["name"] for example in job["options"]["examples"]]


@pytest.mark.parametrize("text", ["[[rig atlantis]]", "[[rig tarn alive]]"])
def test_a_rig_that_is_not_there_is_refused(tags, text):
    """So is a word that means nothing."""
    tags.replace(text, "plan/page.md", "../../")

    assert len(tags.problems) == 1
