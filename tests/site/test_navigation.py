"""Does a folder in the navigation stand for its pages?"""

from site_src.navigation import expand


def test_a_folder_is_replaced_by_its_pages_the_index_first(small_site):
    """A new page is listed without an edit."""
    docs = small_site({f"calculators/{n}.md": "" for n in ("runtime", "index", "corner")})
    nav = [{"Home": "index.md"}, {"Calculators": ["calculators/"]}]

    assert expand(nav, docs) == [
        {"Home": "index.md"},
        {
            "Calculators": [
                "calculators/index.md",
                "calculators/corner.md",
                "calculators/runtime.md",
            ]
        },
    ]
