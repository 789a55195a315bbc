"""Are the theme's foreign addresses gone, does its search wait, is a changed theme noticed?"""

import pytest

from site_src.theme_files import (
    FOREIGN,
    SEARCH_AT_ONCE,
    ThemeChanged,
    search_when_opened,
    without_foreign,
)


def test_every_foreign_address_is_taken_out():
    """The addresses of this version of the theme."""
    script = ";".join(f"f(`{address}x`)" for address in FOREIGN)

    assert "//" not in without_foreign(script).replace("/api/v4/", "")


def test_a_theme_that_changed_stops_the_build():
    """An address that is not found has perhaps only moved."""
    script = ";".join(list(FOREIGN)[1:])

    with pytest.raises(ThemeChanged, match="mermaid"):
        without_foreign(script)


@pytest.mark.parametrize("times", [0, 2])
def test_a_theme_that_begins_its_search_otherwise_stops_the_build(times):
    """What is not there once may mean something else."""
    assert "file:" not in search_when_opened(f"f{SEARCH_AT_ONCE}g()")
    with pytest.raises(ThemeChanged, match="search"):
        search_when_opened(SEARCH_AT_ONCE * times)
