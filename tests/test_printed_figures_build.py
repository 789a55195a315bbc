"""Figures that the chapters of building print themselves, from what their sources say."""

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest
from scipy import constants
from scipy.optimize import brentq

from calculators.cards.bubble import BUBBLE_RESONANCE
from calculators.cards.element import ELEMENT_RESPONSE
from calculators.declare import Calculator
from calculators.evaluate import Given, defaults
from calculators.formulas.element import open_core_limit
from calculators.formulas.potted_tube import core_loss
from calculators.present import answer, work
from site_src.paths import DOCS
from tests.test_potted_tube import AIR, LENGTH, POLYURETHANE, Case, Elements
from tests.test_printed_numbers import examples, given, table

ELEMENT = DOCS / "build" / "element.md"
POTTING = DOCS / "build" / "potting.md"
BOARD = DOCS / "build" / "board.md"
BATCH = DOCS / "calculators" / "resin-batch.md"
RESPONSE = DOCS / "calculators" / "element-response.md"

LAP_SHEAR = {
    ("fluorocarbon ETFE", "epoxy"): (10, 293),
    ("polyethylene, high density", "epoxy-polyamide"): (315, 3500),
    ("polyethylene, low density", "epoxy-polyamide"): (372, 1466),
    ("polypropylene", "epoxy-polyamide"): (370, 3080),
    ("polyamide 6", "epoxy-polyamide"): (846, 3956),
    ("polystyrene", "epoxy-polyamide"): (566, 4015),
    ("acrylic (PMMA)", "epoxy-polyamide"): (410, 928),
    ("polycarbonate", "epoxy"): (1700, 2240),
    ("polycarbonate", "polyurethane"): (540, 1140),
    ("acetal", "epoxy"): (160, 650),
}
"""psi, as they come and after plasma: petrie-2000, table 6.14."""

COATS = {
    "acrylic": (0.00118, 0.00512),
    "polyurethane": (0.00118, 0.00512),
    "epoxy": (0.00118, 0.00512),
    "silicone": (0.00197, 0.00827),
    "parylene": (0.000394, 0.00197),
}
"""Inches: coating-thickness, after IPC J-STD-001."""

PYROELECTRIC = 400e-6
"""C/(m²·K): pyroelectricity-entry."""

PERMITTIVITY = 1300 * constants.epsilon_0
RATIO_BY_MASS, RATIO_BY_VOLUME = 26, 33
"""Parts of hardener to 100 of resin: composite-resin-sheet."""


def assert_rounded(printed: str, value: float) -> None:
    """The printed number is this value, rounded at its own last digit."""
    digits = len(printed.partition(".")[2])
    assert float(printed) == pytest.approx(value, abs=0.501 * 10.0**-digits), printed


def shown(card: Calculator, **changed: float | str) -> dict:
    """What a page shows of a calculator with these values."""
    return answer(work(card, Given(defaults(card) | changed), "metric"))


def test_strengths_of_lap_joints_are_those_of_the_handbook():
    """Arithmetic: a pound-force over a square inch, on every line of the table."""
    psi = constants.pound_force / constants.inch**2
    rows = table(POTTING, "| plastic | adhesive")
    assert {(plastic, adhesive) for plastic, adhesive, *_ in rows} == set(LAP_SHEAR)
    for plastic, adhesive, *printed in rows:
        for text, value in zip(printed, LAP_SHEAR[plastic, adhesive], strict=True):
            assert_rounded(text.removesuffix(" MPa"), value * psi / 1e6)


def test_thicknesses_of_coats_are_those_of_the_standard():
    """Arithmetic: inches to millimetres, on every line of the table."""
    rows = table(BOARD, "| kind | dry, mm")
    assert {row[0] for row in rows} == set(COATS)
    for kind, printed, *_ in rows:
        for text, inches in zip(printed.split(" to "), COATS[kind], strict=True):
            assert_rounded(text, inches * constants.inch / 1e-3)


def assert_figures(page: Path, figures: dict[str, float]) -> None:
    """Each text stands on the page, and its first number is the value, at its last digit."""
    text = page.read_text(encoding="utf-8")
    for printed, value in figures.items():
        assert printed in text
        found = re.search(r"\d+(\.\d+)?", printed)
        assert found
        assert_rounded(found[0], value)


def test_figures_of_the_element():
    """Arithmetic: charge over capacitance, air warmed in a closed room, decibels, a thin ring."""
    outer, wall = (given("tarn-element", name) for name in ("outer_diameter", "thickness"))
    each = PYROELECTRIC / PERMITTIVITY * 1e-3
    assert_figures(
        ELEMENT,
        {
            "35 V for each degree and each millimetre": each,
            "7 % of an atmosphere": 100 * 20 / (constants.zero_Celsius + 20),
            "0.4 dB to 1.9 dB": -20 * math.log10(1 - 0.05),
            "1.9 dB.": -20 * math.log10(1 - 0.20),
            "6.28th part of a cycle": 2 * math.pi,
        },
    )
    assert "is six times its wall" in ELEMENT.read_text(encoding="utf-8")
    assert outer / 2 / wall == pytest.approx(6)
    assert_figures(POTTING, {"2 kV.": 40 * each * (wall / 1e-3) / 1e3})


def test_figures_of_the_pour():
    """Arithmetic: Fahrenheit, kelvin, and what a ratio of one kind does as one of the other."""
    assert constants.convert_temperature(400, "F", "C") == pytest.approx(204, abs=0.5)
    assert_figures(POTTING, {"400 °F, which is 204 °C": 400})
    assert "10 °C: an epoxy's pot life halves for each 18 °F" in POTTING.read_text(encoding="utf-8")
    cold, warm = constants.convert_temperature([0, 18], "F", "K")
    assert warm - cold == pytest.approx(10)
    assert_figures(BATCH, {"147 °C [@heinze-2018]": 420 - constants.zero_Celsius})
    assert "a quarter too much hardener or a fifth too little" in BATCH.read_text(encoding="utf-8")
    too_much, too_little = RATIO_BY_VOLUME / RATIO_BY_MASS, RATIO_BY_MASS / RATIO_BY_VOLUME
    assert too_much == pytest.approx(1.25, abs=0.03)
    assert too_little == pytest.approx(0.8, abs=0.02)


@pytest.mark.parametrize(
    ("mould", "coated", "layer"),
    [
        ("tarn-pour", "tarn-element", "coat_thickness"),
        ("eelgrass-batch", "eelgrass-layer", "thickness"),
    ],
)
def test_moulds_follow_the_rule_of_the_chapter(mould, coated, layer):
    """Arithmetic: tube + 2 × cover across; cover + capped tube + 30 mm of jacket deep."""
    mm = examples()[mould].worked.fields
    cover = given(coated, layer) / 1e-3
    assert float(mm["diameter"]) == pytest.approx(float(mm["insert_diameter"]) + 2 * cover)
    assert float(mm["insert_length_2"]) == pytest.approx(30)
    assert float(mm["length"]) == pytest.approx(cover + float(mm["insert_length"]) + 30)


def test_the_limit_of_a_soft_core_is_about_a_fifth_high():
    """Independent: elements with mass, in vacuum; the page says by how much the formula errs."""
    case = Case(core=POLYURETHANE, coat=POLYURETHANE)
    soft, airy = Elements(case, LENGTH), Elements(replace(case, core=AIR), LENGTH)
    still, resin_density = soft.sensitivity(), 1100.0
    limit = brentq(
        lambda f: core_loss(soft.sensitivity(f, resin=resin_density), still) + 1, 1e3, 4e3, xtol=20
    )
    bulk, shear = POLYURETHANE
    speed = math.sqrt((bulk + 4 / 3 * shear) / resin_density)
    formula = open_core_limit(LENGTH, speed, still, airy.sensitivity(), 1.0)
    assert "about 20 % high" in RESPONSE.read_text(encoding="utf-8")
    assert formula / limit == pytest.approx(1.2, abs=0.05)


@pytest.mark.parametrize(
    ("changed", "names"),
    [
        ({}, ("thick line: capped", "thin line: exposed", "dashed line: shielded")),
        ({"core": "resin"}, ("thick line: potted solid", "thin line: air inside")),
        ({"shape": "disc"}, ("thick line: pressed on all", "thin line: pressed on the faces")),
    ],
)
def test_the_picture_of_the_element_says_which_curve_is_which(changed, names):
    words = shown(ELEMENT_RESPONSE, **changed)["plot"]["description"].lower()
    assert all(name in words for name in names)


def test_caps_over_a_soft_core_are_warned_of_where_they_are_chosen():
    titles = [
        {c["title"] for c in shown(ELEMENT_RESPONSE, core="resin", ends=ends)["cautions"]}
        for ends in ("capped", "exposed")
    ]
    warning = "Plastic caps do not hold a soft core."
    assert (warning in titles[0], warning in titles[1]) == (True, False)


def test_the_picture_of_a_bubble_counts_its_size_in_millimetres():
    plot = shown(BUBBLE_RESONANCE, diameter=1.5e-3)["plot"]
    assert plot["x"]["label"] == "Diameter (mm)"
    assert [mark["x"] for mark in plot["marks"]] == pytest.approx([1.5])
