"""Does the origin checker find every load from elsewhere, and let plain links be?"""

import pytest

from site_src.origins import foreign_loads

URL = "http://127.0.0.1:8000/"


def test_links_names_and_own_files_are_not_loads(small_site):
    """A link to a source is followed by a reader, a namespace by nobody."""
    site = small_site(
        {
            "index.html": '<a href="https://doi.org/10.1">d</a><link rel="canonical" '
            f'href="{URL}"><script src="a.js"></script><img src="data:image/png;base64,AA">',
            "a.js": 'f("http://www.w3.org/2000/svg"); // see https://example.org\ng("/x.json")',
            "a.css": '@import "b.css"; a { background: url(data:image/svg+xml,x) }',
        }
    )
    assert foreign_loads(site, URL) == []


@pytest.mark.parametrize(
    ("name", "content", "address"),
    [
        ("i.html", '<script src="https://cdn.example/a.js"></script>', "https://cdn.example/a.js"),
        ("i.html", '<script src="//cdn.example/a.js"></script>', "//cdn.example/a.js"),
        (
            "i.html",
            '<link rel="preload stylesheet" href="https://f.example/">',
            "https://f.example/",
        ),
        ("i.html", '<link rel="preconnect" href="https://f.example">', "https://f.example"),
        (
            "i.html",
            '<img srcset="a.png 1x, https://i.example/b.png 2x">',
            "https://i.example/b.png",
        ),
        ("i.html", '<form action="https://f.example/send"></form>', "https://f.example/send"),
        ("i.html", '<iframe src="http://127.0.0.1:9000/"></iframe>', "http://127.0.0.1:9000/"),
        (
            "i.html",
            '<svg><use xlink:href="https://s.example/a.svg"/></svg>',
            "https://s.example/a.svg",
        ),
        ("i.html", '<script>fetch("https://t.example/")</script>', "https://t.example/"),
        ("i.html", "<style>@import 'https://s.example/a.css'</style>", "https://s.example/a.css"),
        ("i.html", '<base href="https://b.example/">', "https://b.example/"),
        ("a.css", "@import url(https://s.example/a.css);", "https://s.example/a.css"),
        ("a.css", 'a { background: url("//s.example/a.png") }', "//s.example/a.png"),
        ("a.js", "import('https://m.example/x.mjs')", "https://m.example/x.mjs"),
        ("a.js", 'fetch("//m.example/x.json")', "//m.example/x.json"),
        ("a.mjs", "fetch(`https://${host}/x`)", "https://${host}/x"),
        ("a.js", 'new WebSocket("wss://w.example")', "wss://w.example"),
        (
            "a.svg",
            "<svg><style>a{fill:url(https://s.example/a)}</style></svg>",
            "https://s.example/a",
        ),
    ],
)
def test_a_load_from_elsewhere_is_named_with_its_file(small_site, name, content, address):
    """Every way in which a built file could ask another origin."""
    assert foreign_loads(small_site({name: content}), URL) == [f"{name}: {address}"]


def test_an_exception_that_is_no_longer_needed_is_a_fault(small_site):
    """The list of known addresses may not outlive its reasons."""
    site = small_site({"runtime/1/pyodide.mjs": "no address here"})

    assert foreign_loads(site, URL) == [
        "runtime/*/pyodide.mjs: https://cdn.jsdelivr.net/pyodide/: listed, but not there"
    ]
