"""Can the pictures of the scenario's rigs be read on a phone and on a wide page?"""

import re
from html import unescape
from itertools import combinations

import pytest

from calculators.drawing import as_data
from calculators.rig.pictures import PICTURES, pictures
from site_src.prerender import Prerender
from tests.rig.scenarios import NAMES, evaluated, scenario
from tests.site.test_drawing import CHARACTER

HIGH = 9.0
"""From the top of a figure to its foot, pixels."""

TOUCH = 2.0
"""Pixels by which two words may lie over each other: the widest letter is counted throughout."""


@pytest.fixture(scope="module")
def drawn():
    """Every picture of every rig by name, narrow and wide."""
    prerender, slots = Prerender(), {}
    for name in NAMES:
        for which, picture in pictures(scenario(name), evaluated(name), "metric").items():
            assert picture.drawing, (name, which, picture.left_out)
            slots[f"{name}-{which}"] = prerender.drawing(
                as_data(picture.drawing), f"{name}-{which}"
            )
    prerender.run()
    return {name: prerender.fill(slot) for name, slot in slots.items()}


def words(picture):
    """Text, left, right and foot of every word in a picture."""
    for tag, text in re.findall(r"<text ([^>]*)>([^<]*)</text>", picture):
        at = dict(re.findall(r'([\w-]+)="([^"]*)"', tag))
        long = len(unescape(text)) * CHARACTER
        before = {"start": 0, "middle": long / 2, "end": long}[at["text-anchor"]]
        left = float(at["x"]) - before
        yield text, left, left + long, float(at["y"])


def over(one, other):
    """Whether two words lie over each other."""
    _, left, right, foot = one
    _, other_left, other_right, other_foot = other
    return min(right, other_right) - max(left, other_left) > TOUCH and abs(foot - other_foot) < HIGH


def test_every_rig_has_all_pictures(drawn):
    assert len(drawn) == len(NAMES) * len(PICTURES)


def test_no_word_lies_over_another_or_outside(drawn):
    for name, both in drawn.items():
        for picture in both.split("<svg")[1:]:
            width, height = map(float, re.search(r'viewBox="0 0 (\d+) (\d+)"', picture).groups())
            found = list(words(picture))
            for text, left, right, foot in found:
                assert left >= 0, (name, text)
                assert right <= width, (name, text)
                assert HIGH <= foot <= height, (name, text)
            clashes = [(a[0], b[0]) for a, b in combinations(found, 2) if over(a, b)]
            assert clashes == [], name
