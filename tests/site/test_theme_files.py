"""Are the theme's foreign addresses gone, and is a changed theme noticed?"""

import pytest

from site_src.theme_files import FOREIGN, ThemeChanged, without_foreign


def test_every_foreign_address_is_taken_out():
    """The addresses of this version of the theme."""
    script = ";".join(f"f(`{address}x`)" for address in FOREIGN)

    assert "//" not in without_foreign(script).replace("/api/v4/", "")


def test_a_theme_that_changed_stops_the_build():
    """An address that is not found has perhaps only moved."""
    script = ";".join(list(FOREIGN)[1:])

    with pytest.raises(ThemeChanged, match="mermaid"):
        without_foreign(script)
