"""The O-ring gland against geometry worked out anew, lists of sizes, and its own claims."""

from itertools import product
from math import pi, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from calculators import units
from calculators.cards.gland import MOST_FILL, O_RING_GLAND
from calculators.drawing import Ellipse, Polygon
from calculators.errors import InputError
from calculators.evaluate import defaults, evaluate, read
from calculators.fills import expand
from calculators.formulas.gland import (
    fill,
    hot_fill,
    measured_section,
    section_at,
    squeeze,
    stretch,
    stretched_section,
)
from calculators.links import make_link
from calculators.solve import solve
from calculators.tables import TEXT, UNPUBLISHED
from calculators.tables.elastomers import ELASTOMERS
from calculators.tables.o_rings import O_RINGS, SQUEEZE_LIMITS
from calculators.tolerance import spread
from site_src import bibliography

INCH = 25.4e-3
SEALS = ("face-outside", "face-inside", "piston", "rod")


def values(**changed: object) -> dict:
    return defaults(O_RING_GLAND) | changed


def results(**changed: object) -> dict[str, float]:
    return evaluate(O_RING_GLAND, values(**changed))


def plain(text: str) -> str:
    """Without the spaces that do not break."""
    return text.replace("\u00a0", " ")


def cell(table, row: str, column: str) -> tuple[float, float]:
    """A cell's value and half its spread, SI."""
    unit = table.columns_by_name[column].unit
    found = table.cell(row, column)
    value = units.parse(found.value, unit, name=column, label=column)
    ends = units.parse_tolerance(found.tolerance, value, unit, name=column, label=column)
    return value, (ends[1] - ends[0]) / 2 if ends else 0.0


# --- formulas ---


def torus_volume(inner: float, section: float) -> float:
    """Summed over the section, not by the closed form."""
    a = section / 2
    slices = quad(lambda t: (inner / 2 + a + a * np.sin(t)) * (a * np.cos(t)) ** 2, -pi / 2, pi / 2)
    return 4 * pi * slices[0]


@pytest.mark.parametrize(("inner", "section"), [(0.177, 3.53e-3), (0.09, 2.62e-3), (0.3, 5.33e-3)])
@pytest.mark.parametrize("by", [-0.03, 0.01, 0.05])
def test_a_stretched_ring_keeps_its_volume(inner, section, by):
    """Independent: the thickness of a ring of the same volume, found by bisection.

    The formula takes the stretch of the inner diameter for that of the middle: they differ by the
    part that the section is of the diameter, so the thickness by half of that times the stretch.
    """
    volume = torus_volume(inner, section)
    found = brentq(lambda x: torus_volume(inner * (1 + by), x) - volume, section / 2, 2 * section)
    slip = abs(by) * section / inner
    assert stretched_section(section=section, stretch=by) == pytest.approx(found, rel=slip)


@given(by=st.floats(0, 3))
def test_the_measured_curve_never_keeps_more_than_the_volume_allows(by):
    """But for the 0.005 % at no stretch, which is left out."""
    kept = stretched_section(section=1.0, stretch=by)
    assert 0 < measured_section(section=1.0, stretch=by) <= kept + 5e-5


@given(low=st.floats(0, 3), high=st.floats(0, 3))
def test_more_stretch_never_makes_a_ring_thicker(low, high):
    """Also across the seam of the curve's two parts."""
    low, high = sorted((low, high))
    thick = measured_section(section=1.0, stretch=low)
    assert measured_section(section=1.0, stretch=high) <= thick + 1e-12


def test_the_curve_is_the_printed_one_on_both_sides_of_its_seam():
    """Worked by hand from the two polynomials: 2 % loses 1.735 %, 10 % loses 6.00 %."""
    assert measured_section(section=1.0, stretch=0.02) == pytest.approx(1 - 0.01735, abs=1e-9)
    assert measured_section(section=1.0, stretch=0.10) == pytest.approx(1 - 0.0600, abs=1e-9)


def test_a_full_groove_is_one_whose_areas_are_equal():
    """Limit: a gland as deep as the ring, and π/4 as wide."""
    assert fill(section=4e-3, groove_width=pi * 1e-3, gland_depth=4e-3) == pytest.approx(1)


def test_heat_and_swell_act_on_the_volume():
    """Limits: neither leaves the fill; a swell of 10 % alone gives a tenth more."""
    none = hot_fill(fill=0.7, swell=0, expansion=0, measured_at=20, temperature=50)
    swollen = hot_fill(fill=0.7, swell=0.1, expansion=2e-4, measured_at=20, temperature=20)
    assert (none, swollen) == (pytest.approx(0.7), pytest.approx(0.77))


WRONG = [
    (stretch, {"free_diameter": 0, "fitted_diameter": 1}, "free_diameter must be above zero"),
    (stretch, {"free_diameter": 1, "fitted_diameter": -1}, "fitted_diameter must be above zero"),
    (stretched_section, {"section": 1e-3, "stretch": -1}, "length must be above zero"),
    (measured_section, {"section": 1e-3, "stretch": -0.01}, "stretch must be from 0"),
    (squeeze, {"section": 1e-3, "gland_depth": -1e-6}, "gland_depth must be from 0"),
    (fill, {"section": 1e-3, "groove_width": 0, "gland_depth": 1e-3}, "groove_width must be above"),
    (
        section_at,
        {"section": 1e-3, "expansion": 2e-3, "measured_at": 20, "temperature": 0},
        "expansion must be from 0",
    ),
    (
        hot_fill,
        {"fill": 0.7, "swell": 9, "expansion": 0, "measured_at": 20, "temperature": 0},
        "swell must be from",
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "message"), WRONG)
def test_what_cannot_be_is_refused_by_name(formula, arguments, message):
    """Each names its argument and what it accepts."""
    with pytest.raises(InputError, match=message):
        formula(**arguments)


# --- the card ---


@pytest.mark.parametrize(
    ("name", "given_values", "message"),
    [
        (
            "plug_diameter",
            {"seal": "piston", "plug_diameter": 0.1},
            "does not go into a bore of 100.00 mm. Give less than 100.00 mm",
        ),
        (
            "groove_depth",
            {"seal": "piston", "bore_diameter": 4e-3, "plug_diameter": 3.9e-3},
            "cuts the plug through. Give less than 1.95 mm",
        ),
        ("coldest", {"coldest": 30.0, "hottest": 10.0}, "above the hottest. Give at most 10.0 °C"),
    ],
)
def test_a_gland_that_cannot_be_is_refused_at_its_field(name, given_values, message):
    """With what is accepted."""
    with pytest.raises(InputError) as refused:
        results(**given_values)
    assert refused.value.name == name
    assert message in plain(refused.value.message)


def radial(seal: str, **changed: object) -> dict[str, float]:
    return results(seal=seal, bore_diameter=0.1, plug_diameter=0.0996, **changed)


@pytest.mark.parametrize("seal", ["piston", "rod"])
def test_a_plug_that_lies_aside_opens_the_gland_on_one_side(seal):
    """By hand: 0.4 mm of play; 2.5 mm deep at one side, 2.9 mm at the other, 2.7 mm between."""
    same = {"coldest": 20.0, "ring_inner_diameter": 0.0946 if seal == "piston" else 0.09794}
    found = radial(seal, **same)
    assert found["ring_stretch"] == found["ring_crowding"] == pytest.approx(0, abs=1e-9)
    for output, deep in (("squeeze_most", 2.5), ("squeeze_nominal", 2.7), ("squeeze_least", 2.9)):
        assert found[output] == pytest.approx((3.53 - deep) / 3.53, rel=1e-6)
    assert found["widest_gap"] == pytest.approx(0.4e-3)


def test_the_ring_lies_on_the_wall_that_the_pressure_pushes_it_to():
    """By hand: inner wall and plug hold the inner diameter, outer wall and bore the outer."""
    ring = {"ring_inner_diameter": 0.1, "ring_section": 3e-3}
    face = results(seal="face-outside", groove_diameter=0.102, **ring)
    assert face["ring_stretch"] == pytest.approx(0.02)
    face = results(seal="face-inside", groove_diameter=0.1049, **ring)
    assert face["ring_crowding"] == pytest.approx(0.0011 / 0.106)
    plug = results(seal="piston", bore_diameter=0.108, plug_diameter=0.107, **ring)
    assert plug["ring_stretch"] == pytest.approx(0.02)
    rod = results(seal="rod", bore_diameter=0.1, plug_diameter=0.099, **ring)
    assert rod["ring_crowding"] == pytest.approx(0.001 / 0.106)


@pytest.mark.parametrize(("seal", "wall"), [("face-outside", 0.17), ("face-inside", 0.19)])
def test_a_loose_ring_is_told_and_not_strained(seal, wall):
    """Its section is that of the free ring, and the verdict says that it lies loose."""
    found = results(seal=seal, groove_diameter=wall)
    assert found["ring_slack"] > 0
    assert found["ring_stretch"] == found["ring_crowding"] == 0
    assert found["squeeze_nominal"] == pytest.approx((3.53 - 2.55) / 3.53)
    verdict = O_RING_GLAND.outputs_by_name["ring_slack"].verdict
    level, text = verdict.judge(found["ring_slack"], found["ring_slack"], 0.0)
    assert (level, text) == ("care", verdict.missed)


def test_a_ring_that_touches_nothing_has_a_negative_squeeze():
    """A foam gasket's trough with a thin ring in it: told, not clamped."""
    found = results(ring_section=1.78e-3)
    assert found["squeeze_most"] < 0


def test_the_range_is_that_of_the_worst_corners():
    """Independent: every corner of the tolerances of the default form, by a formula of its own."""
    fields = {i.name: i.default for i in O_RING_GLAND.inputs}
    given = read(
        O_RING_GLAND,
        fields,
        {i.name: getattr(i, "tolerance", "") for i in O_RING_GLAND.inputs},
        "metric",
    )
    nominal = evaluate(O_RING_GLAND, given.values)
    found = spread(O_RING_GLAND, given.values, given.spans, nominal)

    squeezes = []
    for inner, thick, deep, wall, gap in product(
        (0.17637, 0.17841), (3.43e-3, 3.63e-3), (2.45e-3, 2.55e-3), (0.1825, 0.1831), (0.0, 0.1e-3)
    ):
        height = thick / sqrt(wall / inner)
        squeezes.append(1 - (deep + gap) / height)
    assert found.low["squeeze_nominal"] == pytest.approx(min(squeezes), rel=1e-6)
    assert found.high["squeeze_nominal"] == pytest.approx(max(squeezes), rel=1e-6)
    assert found.low["squeeze_least"] < found.low["squeeze_nominal"]


def test_a_range_that_crosses_a_limit_is_neither_met_nor_missed():
    """The whole range must lie within the limits."""
    verdict = O_RING_GLAND.outputs_by_name["squeeze_least"].verdict
    levels = [verdict.judge(*ends, 0.1)[0] for ends in ((0.12, 0.2), (0.08, 0.2), (0.01, 0.05))]
    assert levels == ["good", "care", "fail"]


def test_which_section_a_groove_asks_for_can_be_solved():
    """A case whose groove must stay: 20 % in 2.55 mm asks for 3.19 mm of a ring lying free."""
    given_values = values(groove_diameter=0.17739)
    solved = solve(O_RING_GLAND, given_values, "squeeze_nominal", 0.20, "ring_section", "metric")
    assert solved == pytest.approx(2.55e-3 / 0.8, rel=1e-6)


def test_the_remark_for_another_ring_names_a_common_section():
    """Limits of 10 and 35 %: their middle in 2.55 mm is 3.29 mm, and 3.53 mm is nearest."""
    said = [plain(s) for s in O_RING_GLAND.remarks(values(), results(), "metric")]
    assert any("22.5 %" in s and "3.29 mm" in s and "3.53 mm is nearest" in s for s in said)


@pytest.mark.parametrize("seal", SEALS)
def test_every_seal_says_which_way_the_water_pushes(seal):
    """And only the radial ones speak of a plug that lies aside."""
    given_values = values(seal=seal)
    said = O_RING_GLAND.remarks(given_values, results(seal=seal), "metric")
    assert len(said) == (3 if seal in ("piston", "rod") else 2)


def test_the_default_link_is_short():
    """With tolerances, well below 2,000 characters."""
    fields = {i.name: i.default for i in O_RING_GLAND.inputs}
    tolerances = {i.name: getattr(i, "tolerance", "") for i in O_RING_GLAND.inputs}
    given = read(O_RING_GLAND, fields, tolerances, "metric")
    assert len(make_link(O_RING_GLAND, given, evaluate(O_RING_GLAND, given.values))) < 1200


# --- the drawing ---


def area(points: list[tuple[float, float]]) -> float:
    x, y = np.array(points).T
    return 0.5 * abs(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))


@pytest.mark.parametrize("seal", SEALS)
@pytest.mark.parametrize("width", [5e-3, 4.2e-3, 3.6e-3])
def test_the_drawn_ring_keeps_its_area_and_stays_in_the_groove(seal, width):
    """To 1 %: the round sides are drawn with straight lines."""
    given_values = values(seal=seal, groove_width=width, ring_inner_diameter=0.1)
    if seal in ("piston", "rod"):
        given_values |= {"ring_inner_diameter": 0.0948 if seal == "piston" else 0.0979}
    else:
        given_values |= {"groove_diameter": 0.1 if seal == "face-outside" else 0.10706}
    found = evaluate(O_RING_GLAND, given_values)
    drawn = O_RING_GLAND.drawing(given_values, found, "metric")
    (ring,) = [s for s in drawn.shapes if isinstance(s, Polygon) and s.kind == "seal"]
    xs = [x for x, _ in ring.points]
    assert min(xs) >= -1e-12
    assert max(xs) <= width + 1e-12
    free = pi * 3.53e-3**2 / 4
    gland = width * max(y for _, y in ring.points)
    assert area(ring.points) == pytest.approx(min(free, gland), rel=0.012)


def test_a_ring_that_is_not_squeezed_is_drawn_round():
    """As thick as it is."""
    given_values = values(ring_section=1.78e-3, groove_diameter=0.177)
    drawn = O_RING_GLAND.drawing(given_values, evaluate(O_RING_GLAND, given_values), "metric")
    (ring,) = [s for s in drawn.shapes if isinstance(s, Ellipse)]
    assert 2 * ring.rx == pytest.approx(1.78e-3)


def test_a_plug_far_too_thin_does_not_make_the_ring_a_dot():
    """The picture breaks off, says so, and still prints the true depth."""
    given_values = values(seal="piston", bore_diameter=0.5)
    drawn = O_RING_GLAND.drawing(given_values, results(**given_values), "metric")
    highest = max(y for s in drawn.shapes if isinstance(s, Polygon) for _, y in s.points)
    assert highest < 20e-3
    assert "farther away than drawn" in drawn.description
    assert "203 mm" in plain(drawn.description)


# --- sizes ---

# From a chart of sizes in inches: number, inner diameter, section.
SHEET = """008 0.176 0.070|010 0.239 0.070|012 0.364 0.070|014 0.489 0.070|016 0.614 0.070
020 0.864 0.070|024 1.114 0.070|030 1.614 0.070|040 2.864 0.070|104 0.112 0.103
110 0.362 0.103|120 0.987 0.103|210 0.734 0.139|214 0.984 0.139|218 1.234 0.139
222 1.484 0.139|226 1.984 0.139|230 2.484 0.139|240 3.734 0.139"""

# From two libraries for modellers, in millimetres: number, inner diameter.
MODELS = """010 6.07|012 9.25|014 12.42|016 15.60|018 18.77|020 21.95|110 9.19|112 12.37|115 17.12
120 25.07|210 18.64|214 24.99|218 31.34|222 37.69|150 72.695|151 75.870|152 82.220|153 88.570
154 94.920|155 101.270|156 107.620|157 113.970|158 120.320|159 126.670|160 133.020|161 139.370
162 145.720|163 152.070|164 158.420|165 164.770|166 171.120|167 177.470|168 183.820|169 190.170
170 196.520|171 202.870"""


def entries(text: str) -> list[list[str]]:
    return [entry.split() for line in text.splitlines() for entry in line.split("|")]


@pytest.mark.parametrize(("row", "inner", "section"), entries(SHEET))
def test_sizes_are_those_of_an_independent_chart(row, inner, section):
    """Published: a chart of sizes (bibliography: oring-size-sheet), in inches."""
    assert cell(O_RINGS, row, "inner_diameter")[0] == pytest.approx(float(inner) * INCH, abs=6e-6)
    assert cell(O_RINGS, row, "section")[0] == pytest.approx(float(section) * INCH, abs=6e-6)


@pytest.mark.parametrize(("row", "inner"), entries(MODELS))
def test_sizes_are_those_of_two_libraries_of_parts(row, inner):
    """Independent lists, in millimetres, of 15 and 22 sizes."""
    assert cell(O_RINGS, row, "inner_diameter")[0] == pytest.approx(float(inner) * 1e-3, abs=6e-6)


def test_sizes_stand_in_steps_of_sixteenths():
    """The system of the standard: an inner diameter is a multiple of 1/32 in, less a constant."""
    less = {1.78e-3: 0.011, 2.62e-3: 0.013, 3.53e-3: 0.016}
    for row in O_RINGS.rows:
        section = cell(O_RINGS, row.name, "section")[0]
        inches = cell(O_RINGS, row.name, "inner_diameter")[0] / INCH + less[round(section, 5)]
        assert abs(32 * inches - round(32 * inches)) < 0.05, row.name


def test_rings_grow_with_their_number_and_so_do_their_tolerances():
    """Within a series; a tolerance is 0.4 % of a large ring to 12 % of the smallest."""
    for series in "012":
        rows = [r.name for r in O_RINGS.rows if r.name[0] == series]
        sizes = [cell(O_RINGS, r, "inner_diameter") for r in rows]
        assert sizes == sorted(sizes)
        assert np.diff([s for _, s in sizes]).min() > -1e-9
        assert all(0.004 < s / x < 0.12 for x, s in sizes)
    assert len(O_RINGS.rows) == 200


def test_charts_are_met_by_the_glands_that_they_print():
    """Published: the limits of a chart are the extremes of its own sections and depths."""
    for row, depths in (("face-353", (0.100, 0.108)), ("radial-353", (0.110, 0.116))):
        least, most = (cell(SQUEEZE_LIMITS, row, c)[0] for c in ("least", "most"))
        extremes = [
            squeeze(section=thick * INCH, gland_depth=deep * INCH)
            for thick, deep in ((0.135, depths[1]), (0.143, depths[0]))
        ]
        assert extremes == [pytest.approx(least, abs=0.005), pytest.approx(most, abs=0.005)]


# --- rubbers ---


@pytest.mark.parametrize("table", [O_RINGS, SQUEEZE_LIMITS, ELASTOMERS], ids=lambda t: t.id)
def test_every_cell_has_a_source_that_can_be_found(table):
    """A published value also says where it stands."""
    known = bibliography.load()
    for row in table.rows:
        for found in row.cells.values():
            assert found.source in UNPUBLISHED or (found.source in known and found.where)


def test_rubbers_have_every_property():
    """No cell is missing, so that every row fills the form and the table can be read across."""
    columns = {c.name for c in ELASTOMERS.columns}
    assert all(set(row.cells) == columns for row in ELASTOMERS.rows)


def test_rubbers_are_rubber():
    """Cold below hot, no water limit above the dry one, expansion ten times that of steel."""
    for row in ELASTOMERS.rows:
        low, high, water = (
            cell(ELASTOMERS, row.name, c)[0] for c in ("low_limit", "high_limit", "water_limit")
        )
        assert low < 0 < water <= high
        assert 80e-6 < cell(ELASTOMERS, row.name, "expansion")[0] < 300e-6
        swell, spread_of = cell(ELASTOMERS, row.name, "swell")
        assert 0 <= swell - spread_of < swell + spread_of < 0.15
    assert {c.unit for c in ELASTOMERS.columns if c.name in ("grease", "skin")} == {TEXT}


@pytest.mark.parametrize("rubber", [row.name for row in ELASTOMERS.rows])
def test_no_rubber_in_cool_water_overfills_the_default_groove(rubber):
    """Plausibility: common rubbers serve in common grooves."""
    texts = {i.name: i.default for i in O_RING_GLAND.inputs} | expand(
        O_RING_GLAND, {"rubber": rubber}
    )
    fields = {k: t.split("±")[0] for k, t in texts.items()}
    found = evaluate(O_RING_GLAND, read(O_RING_GLAND, fields, {}, "metric").values)
    assert found["groove_fill"] < MOST_FILL
    assert found["groove_fill_hot"] < 0.9


@settings(max_examples=60)
@given(
    thick=st.floats(1.5e-3, 7e-3),
    deep=st.floats(1e-3, 6e-3),
    seal=st.sampled_from(SEALS),
)
def test_least_is_never_more_than_drawn_and_drawn_never_more_than_most(thick, deep, seal):
    """As long as it gets colder and not warmer than when it was measured."""
    found = results(seal=seal, ring_section=thick, groove_depth=deep)
    order = [found[n] for n in ("squeeze_least", "squeeze_nominal", "squeeze_most")]
    assert order == sorted(order)


@pytest.mark.parametrize("seal", SEALS)
def test_all_is_told_in_the_readers_units(seal):
    """Remarks and drawing speak inches to a reader of inches."""
    given_values = values(seal=seal)
    found = results(seal=seal)
    drawn = O_RING_GLAND.drawing(given_values, found, "us")
    said = plain(" ".join([drawn.description, *O_RING_GLAND.remarks(given_values, found, "us")]))
    assert " in" in said
    assert " mm" not in said
