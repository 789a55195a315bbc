"""Are spectra drawn to scale, from the examples, in the page's own ink?"""

import re
from functools import cache

import pytest

from site_src.examples import load
from site_src.spectra import SPECTRA, WIDTH, Row, Spectrum, position, spectrum_svg
from tests.site.test_tags import replaced, tags  # noqa: F401  (a fixture)

EVERY = pytest.mark.parametrize("name", SPECTRA)
examples = cache(load)


@EVERY
def test_a_spectrum_has_no_style_and_no_colour_of_its_own(name):
    """The policy refuses styles; ink comes from the style sheet, dark scheme included."""
    svg = spectrum_svg(SPECTRA[name], examples())
    assert "style" not in svg
    assert not re.search(r'(stroke|fill)="', svg)
    assert f'width="{WIDTH}"' in svg


@EVERY
def test_a_spectrum_is_said_in_words_too(name):
    """Every row, for those who hear the page."""
    svg = spectrum_svg(SPECTRA[name], examples())
    said = re.search(r'aria-label="([^"]+)"', svg)
    assert said
    for row in SPECTRA[name].rows(examples()):
        assert row.words in said[1]


def test_a_decade_is_as_wide_everywhere():
    """Logarithmic: ten times the frequency is the same step."""
    steps = [position(10 * f) - position(f) for f in (0.1, 0.25, 30, 7777)]
    assert steps == pytest.approx([steps[0]] * 4)


@pytest.mark.parametrize("beyond", [0.09, 110e3])
def test_a_frequency_beyond_the_axis_is_refused(beyond):
    """Nothing is clamped to the edge, where it would be read as a value."""
    spectrum = Spectrum("beyond", lambda _: [Row(name="beyond", lines=(beyond,))])
    with pytest.raises(ValueError, match="beyond the axis"):
        spectrum_svg(spectrum, {})


def test_the_bars_of_field_noise_are_the_examples_answers():
    """Back from pixels to hertz: the ends that the core gives for the weir and for the cable."""
    svg = spectrum_svg(SPECTRA["field-noise"], examples())
    bars = re.findall(r'<rect [^>]*x="([\d.]+)" [^>]*width="([\d.]+)"', svg)
    ends = {tuple(round(hertz(x), 3) for x in (float(a), float(a) + float(b))) for a, b in bars}
    weir = examples()["weir-mooring"].worked.output("strumming")
    cable = examples()["strum-cable"].worked.output("strumming")
    assert any(
        low == pytest.approx(cable["low"], rel=0.01)
        and high == pytest.approx(weir["high"], rel=0.01)
        for low, high in ends
    )


def hertz(x: float) -> float:
    """Frequency at this place of the axis, by the distance of two decades."""
    decade = position(100) - position(10)
    return 10 ** ((x - position(1)) / decade)


def test_the_tag_puts_the_drawing_with_its_title(tags):  # noqa: F811
    """A name that is none is refused with the names there are."""
    tags.examples = examples()
    assert SPECTRA["field-noise"].title in replaced(tags, "[[spectrum field-noise]]")
    tags.replace("[[spectrum nothing]]", "plan/page.md", "../../")
    assert any("“nothing” is not a spectrum" in problem for problem in tags.problems)
