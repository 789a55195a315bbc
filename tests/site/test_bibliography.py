"""Is a source shown as what it is, and a careless entry refused?"""

import pytest

from site_src.bibliography import BadBibliography, load, page

GOOD = """
[ab2020]
author = "A. Smith and B. C. Jones"
year = 2020
title = "On <water>"
in = "Journal of Water 3"
doi = "10.1/x"
status = "read"
read = "equation 4"
"""


def sources(tmp_path, text):
    file = tmp_path / "b.toml"
    file.write_text(text)
    return load(tmp_path)


def test_a_source_has_an_anchor_a_short_name_a_link_and_its_status(tmp_path):
    """What a citation leads to; text is escaped."""
    shown = page(sources(tmp_path, GOOD))

    assert '<dt id="ab2020">Smith &amp; Jones 2020</dt>' in shown
    assert "On &lt;water&gt;" in shown
    assert 'href="https://doi.org/10.1/x"' in shown
    assert 'data-status="read">read</span>: equation 4' in shown


@pytest.mark.parametrize(
    ("author", "more", "label"),
    [
        ("A. Smith", "", "Smith 2020"),
        ("A. Smith, B. Jones and C. Lee", "", "Smith et al. 2020"),
        ("Some Commission", 'number = "XYZ 1:2020"', "XYZ 1:2020"),
        ("Some Maker", 'short = "Some Maker 2020"', "Some Maker 2020"),
    ],
)
def test_the_short_name_is_what_a_reader_would_call_it(tmp_path, author, more, label):
    """A standard by its number, a paper by its authors."""
    text = GOOD.replace("A. Smith and B. C. Jones", author) + more

    assert sources(tmp_path, text)["ab2020"].label == label


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (('status = "read"', 'status = "known"'), "status “known” is not one of"),
        (('read = "equation 4"', ""), "“read” must say what was read"),
        (("year = 2020", ""), "year"),
        (('doi = "10.1/x"', 'dio = "10.1/x"'), "dio"),
    ],
)
def test_a_careless_entry_is_refused_by_key_and_field(tmp_path, change, message):
    """A misspelt field would otherwise vanish."""
    with pytest.raises(BadBibliography, match=rf"\[ab2020\].*{message}"):
        sources(tmp_path, GOOD.replace(*change))
