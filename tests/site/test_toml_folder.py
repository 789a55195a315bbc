"""Is a folder of TOML files read as one, and a name given twice refused?"""

import pytest

from site_src.toml_folder import TwiceError, once


def test_the_files_of_a_folder_are_one_table(tmp_path):
    """In the order of their names."""
    (tmp_path / "b.toml").write_text("[two]\nx = 2\n")
    (tmp_path / "a.toml").write_text("[one]\nx = 1\n")

    assert list(once(tmp_path)) == ["one", "two"]


def test_a_name_in_two_files_is_refused_with_both_named(tmp_path):
    """Else the later file would win unseen."""
    (tmp_path / "a.toml").write_text("[one]\nx = 1\n")
    (tmp_path / "b.toml").write_text("[one]\nx = 2\n")

    with pytest.raises(TwiceError, match=r"b\.toml: \[one\]"):
        once(tmp_path)
