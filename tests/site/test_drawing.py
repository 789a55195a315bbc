"""Are drawings to scale, and can all that stands in them be read?"""

import re
from html import unescape
from itertools import product

import pytest

from calculators.drawing import (
    Dimension,
    Drawing,
    Ellipse,
    Label,
    Segment,
    as_data,
    box,
)
from calculators.evaluate import defaults, evaluate
from calculators.registry import CALCULATORS
from site_src.prerender import Prerender

CHARACTER = 7.3
"""Widest digit of the type in a drawing, pixels."""

PLATE = Drawing(
    title="A plate",
    description="A plate of 100 by 50 with a ring on it.",
    shapes=(
        box(0, 0, 0.1, 0.05, "wall", "plate"),
        Ellipse(centre=(0.05, 0.025), rx=0.01, ry=0.01, kind="seal"),
        Segment(start=(0, 0.025), end=(0.1, 0.025), kind="axis"),
        Dimension(start=(0, 0), end=(0.1, 0), text="100 mm", offset=-0.01),
        Dimension(start=(0, 0), end=(0, 0.05), text="50 mm", offset=0.01),
        Label(at=(0.1, 0.05), text="corner", anchor="start"),
    ),
)


@pytest.fixture(scope="module")
def drawn():
    """Every drawing of a calculator at its defaults, and the plate, by name: narrow and wide."""
    cards = {name: card for name, card in CALCULATORS.items() if card.drawing}
    made = {"plate": PLATE} | {
        name: card.drawing(values, evaluate(card, values), "metric")
        for name, card in cards.items()
        for values in [defaults(card)]
    }
    prerender = Prerender()
    slots = {name: prerender.drawing(as_data(drawing), name) for name, drawing in made.items()}
    prerender.run()
    return {name: prerender.fill(slot) for name, slot in slots.items()}


def test_data_are_in_millimetres():
    """What the page gets."""
    assert as_data(PLATE)["shapes"][0] == {
        "shape": "polygon",
        "points": [[0, 0], [100, 0], [100, 50], [0, 50]],
        "kind": "wall",
        "label": "plate",
    }
    assert as_data(PLATE)["shapes"][3]["offset"] == -10


def test_both_directions_have_the_same_scale(drawn):
    """A circle stays a circle and a plate twice as long as wide is drawn so."""
    for picture in drawn["plate"].split("<svg")[1:]:
        points = re.search(r'<polygon [^>]*points="([^"]*)"', picture)[1]
        xs, ys = zip(*(map(float, p.split(",")) for p in points.split()), strict=True)
        radii = dict(re.findall(r'\b(r[xy])="([\d.]+)"', picture))
        assert max(xs) - min(xs) == pytest.approx(2 * (max(ys) - min(ys)), abs=0.05)
        assert radii["rx"] == radii["ry"]
        assert float(radii["rx"]) == pytest.approx((max(xs) - min(xs)) / 10, abs=0.05)


def test_it_says_in_words_what_it_shows(drawn):
    """For a reader who does not see it."""
    assert drawn["plate"].count('role="img"') == 2
    assert "A plate. A plate of 100 by 50 with a ring on it." in drawn["plate"]


def test_every_word_lies_within_the_picture(drawn):
    """A number that is cut off is worse than none."""
    for name, pictures in drawn.items():
        for picture in pictures.split("<svg")[1:]:
            width, height = map(float, re.search(r'viewBox="0 0 (\d+) (\d+)"', picture).groups())
            for tag, text in re.findall(r"<text ([^>]*)>([^<]*)</text>", picture):
                at = dict(re.findall(r'([\w-]+)="([^"]*)"', tag))
                long = len(unescape(text)) * CHARACTER
                before = {"start": 0, "middle": long / 2, "end": long}[at["text-anchor"]]
                left = float(at["x"]) - before
                assert left >= 0, (name, text)
                assert left + long <= width, (name, text)
                assert 10 <= float(at["y"]) <= height, (name, text)


def test_no_two_drawings_share_a_pattern(drawn):
    """Ids are for the whole page."""
    ids = re.findall(r' id="([^"]*)"', "".join(drawn.values()))
    assert len(ids) == len(set(ids)) > 0


@pytest.mark.parametrize("system", ["metric", "us"])
def test_every_drawing_is_finite_at_both_ends_of_every_range(system):
    """One input at an end, the others at their defaults; refusals are the card's own affair."""
    for card in (c for c in CALCULATORS.values() if c.drawing):
        start = defaults(card)
        for item, end in product(card.inputs, ("low_si", "high_si")):
            values = start | ({item.name: getattr(item, end)} if hasattr(item, end) else {})
            try:
                drawing = card.drawing(values, evaluate(card, values), system)
            except ValueError:
                continue
            numbers = [n for s in as_data(drawing)["shapes"] for p in s["points"] for n in p]
            assert all(abs(n) < 1e7 for n in numbers), (card.id, item.name)
            assert drawing.description.endswith(".")
