"""Does the first page lead everywhere it should?"""

import re

from calculators.registry import CALCULATORS
from site_src.paths import ROOT

HOME = (ROOT / "docs" / "index.md").read_text()


def test_every_calculator_answers_a_question_of_the_first_page():
    """Written by hand, so that one could be forgotten; none is there twice."""
    questions = HOME.partition("<!-- questions -->")[2]
    linked = re.findall(r"\(calculators/([a-z-]+)\.md\)", questions)

    assert sorted(linked) == sorted(CALCULATORS)


def test_the_questions_stand_under_the_stages_in_the_order_of_the_work():
    """As on the list of calculators."""
    headings = re.findall(r"^### (.*)$", HOME, re.MULTILINE)

    assert headings == ["Plan", "Build", "Seal", "Test", "Deploy"]
