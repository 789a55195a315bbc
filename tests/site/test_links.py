"""Does the link checker find what leads nowhere, and nothing else?"""

import pytest

from site_src.links import dead_links

URL = "http://127.0.0.1:8000/"


def page(body):
    return f"<!doctype html><html><head><meta charset=utf-8></head><body>{body}</body></html>"


def test_a_whole_site_has_no_dead_link(small_site):
    """Folders, anchors, share links, parents, absolute paths and other sites are all fine."""
    site = small_site(
        {
            "index.html": page(
                '<a href="plan/">p</a><a href="plan/#power">a</a><a href="#top">t</a>'
                '<a href="plan/#corner?v=1&amp;edition=1">s</a><a href="/plan/">abs</a>'
                '<a href="https://doi.org/10.1">d</a><a href="mailto:a@b.example">m</a>'
                f'<a href="{URL}plan/">full</a><h1 id="top">T</h1><img src="a.svg">'
            ),
            "plan/index.html": page('<h2 id="power">P</h2><p id="corner"></p><a href="..">up</a>'),
            "a.svg": "<svg/>",
        }
    )
    assert dead_links(site, URL) == []


@pytest.mark.parametrize(
    ("body", "why"),
    [
        ('<a href="plan/">x</a>', "plan/: no such page or file"),
        ('<a href="#nowhere">x</a>', "#nowhere: no anchor “nowhere” there"),
        ('<a href="index.html#gone?v=1">x</a>', "no anchor “gone” there"),
        ('<img src="missing.png">', "missing.png: no such page or file"),
        ('<script src="/js/missing.js"></script>', "/js/missing.js: no such page or file"),
        ('<a href="../../outside.html">x</a>', "no such page or file"),
        ('<a href="javascript:alert(1)">x</a>', "is not part of the site"),
    ],
)
def test_what_leads_nowhere_is_named_with_its_page(small_site, body, why):
    """One fault, one line: page, address, reason."""
    (found,) = dead_links(small_site({"index.html": page(body)}), URL)

    assert found.startswith("index.html: ")
    assert found.endswith(why)


def test_a_site_below_a_folder_is_followed_there(small_site):
    """An address that leaves the site's folder is not part of the site."""
    url = "http://127.0.0.1:8000/handbook/"
    site = small_site({"index.html": page('<a href="/handbook/">in</a><a href="/other/">out</a>')})

    assert dead_links(site, url) == ["index.html: /other/: is not part of the site"]
