"""Do circuit diagrams obey the page's policy, fit a phone and show the example's values?"""

import re

import pytest

from site_src.circuits import CIRCUITS
from site_src.circuits.parts import WIDEST, circuit_svg
from tests.site.test_tags import replaced, tags  # noqa: F401  (a fixture)

EVERY = pytest.mark.parametrize("name", CIRCUITS)


def drawn(name: str) -> str:
    return circuit_svg(CIRCUITS[name], lambda part: f"{len(part)}\u00a0kΩ")


@EVERY
def test_a_drawing_has_no_style_and_no_colour_of_its_own(name):
    """The policy refuses styles; ink comes from the style sheet, dark scheme included."""
    svg = drawn(name)
    assert "style=" not in svg
    assert "<style" not in svg
    assert not re.search(r'(stroke|fill)="', svg)


@EVERY
def test_a_drawing_fits_the_narrowest_page_at_its_own_size(name):
    """Scaled down, its type would be unreadable."""
    width = re.search(r'width="(\d+)"', drawn(name))
    assert width
    assert int(width[1]) <= WIDEST


@EVERY
def test_a_drawing_is_said_in_words_too(name):
    """For those who hear the page."""
    assert f'aria-label="{CIRCUITS[name].words[:20]}' in drawn(name)


def test_values_are_the_examples_own(tags):  # noqa: F811
    """No part's value is typed into a drawing."""
    shown = replaced(tags, "[[circuit front-end example=bench]]")

    texts = re.findall(r'class="text value"[^>]*>(?:<tspan[^>]*>)?([^<]+)', shown)
    assert {text.replace("\u00a0", " ") for text in texts} >= {"10 nF", "10 MΩ"}
    assert "the values of this example" in shown


def test_without_an_example_a_drawing_has_no_values(tags):  # noqa: F811
    """A value that belongs to nothing would be a guess."""
    assert "text value" not in replaced(tags, "[[circuit front-end]]")


@pytest.mark.parametrize(
    ("tag", "message"),
    [
        ("[[circuit nothing]]", "“nothing” is not a circuit"),
        ("[[circuit front-end example=none]]", "“none” is not an example"),
        ("[[circuit virtual-ground example=bench]]", "corner-frequency has no"),
    ],
)
def test_a_wrong_tag_fails_the_build(tags, tag, message):  # noqa: F811
    """With page and tag; a circuit of another calculator's parts too."""
    tags.replace(tag, "build/page.md", "")
    assert message in tags.problems[0]
