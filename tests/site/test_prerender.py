"""Is everything drawn in one go, once each, and put where it belongs?"""

import pytest

from site_src.examples import work
from site_src.node import NodeFailed
from site_src.prerender import Prerender


def test_the_same_formula_twice_is_drawn_once_and_put_in_twice():
    """One call to Node for the whole site."""
    prerender = Prerender()
    page = prerender.math("a + b", display=False) + prerender.math("a + b", display=False)
    page += prerender.math("a + b", display=True)

    prerender.run()
    html = prerender.fill(page)

    assert len(prerender.jobs["math"]) == 2
    assert html.count("<math") == 3
    assert "data-slot" not in html
    assert "style=" not in html


def test_a_calculator_is_drawn_with_its_answer_and_kept_out_of_the_search():
    """The answer that the core gave stands in the page."""
    worked = work("corner-frequency", {})
    prerender = Prerender()
    slot = prerender.calculator(worked.decl, worked.answer, {"example": None, "base": ""})

    prerender.run()
    html = prerender.fill(slot)

    assert html.startswith("<section data-search-exclude")
    assert worked.answer["outputs"][0]["text"] in html


def test_a_formula_that_is_not_understood_stops_the_build():
    """It would otherwise be printed in red, and nobody would see it."""
    prerender = Prerender()
    prerender.math(r"\nosuchmacro{a}", display=True)

    with pytest.raises(NodeFailed, match="nosuchmacro"):
        prerender.run()
