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


def test_pages_with_a_heading_stand_under_it_in_the_order_of_the_headings(small_site):
    """Thirty calculators in one list would be a wall."""
    docs = small_site({f"calculators/{n}.md": "" for n in ("runtime", "index", "corner", "depth")})
    headings = {"Plan": ["calculators/runtime.md", "calculators/depth.md"], "Seal": [],
                "Build": ["calculators/corner.md"]}  # fmt: skip

    assert expand(["calculators/"], docs, headings) == [
        "calculators/index.md",
        {"Plan": ["calculators/depth.md", "calculators/runtime.md"]},
        {"Build": ["calculators/corner.md"]},
    ]
