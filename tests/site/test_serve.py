"""Does our server behave as a good static host does?"""

import gzip
import http.client
import json

import pytest

from tests.built import serve

LONG = "<!doctype html>" + "water " * 500


@pytest.fixture
def ask(small_site):
    """Asks a server of a small site; returns the answer and its body."""
    headers = {
        "everywhere": {"Content-Security-Policy": "default-src 'self'"},
        "immutable": ["runtime/1/pyodide.asm.wasm"],
    }
    site = small_site(
        {
            "index.html": LONG,
            "404.html": "nothing here",
            "plan/index.html": "plan",
            "runtime/1/pyodide.asm.wasm": "wasm",
            "headers.json": json.dumps(headers),
        }
    )
    (site.parent / "secret.txt").write_text("secret")
    server = serve(site)

    def get(path, method="GET", **headers):
        connection = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=10)
        connection.request(method, path, headers=headers)
        answer = connection.getresponse()
        body = answer.read()
        connection.close()
        return answer, body

    yield get
    server.shutdown()
    server.server_close()


def test_a_page_comes_with_policy_type_and_a_question_each_time(ask):
    """Pages are asked for again, so that an update is seen; the policy binds every answer."""
    answer, body = ask("/")

    assert (answer.status, answer.version, body) == (200, 11, LONG.encode())
    assert answer.headers["Content-Type"] == "text/html; charset=utf-8"
    assert answer.headers["Cache-Control"] == "no-cache"
    assert answer.headers["Content-Security-Policy"] == "default-src 'self'"


def test_text_is_compressed_for_who_can_read_it(ask):
    """The same text, fewer bytes."""
    answer, body = ask("/", **{"Accept-Encoding": "gzip, br"})

    assert answer.headers["Content-Encoding"] == "gzip"
    assert int(answer.headers["Content-Length"]) == len(body) < len(LONG) / 10
    assert gzip.decompress(body) == LONG.encode()


def test_webassembly_has_its_type_and_is_kept_for_ever(ask):
    """Streaming compilation needs the type; its address holds its hash."""
    answer, _ = ask("/runtime/1/pyodide.asm.wasm?x=1")

    assert answer.headers["Content-Type"] == "application/wasm"
    assert answer.headers["Cache-Control"].endswith("immutable")


def test_a_known_file_is_not_sent_again(ask):
    """The browser shows the tag of what it has."""
    first, _ = ask("/")
    again, body = ask("/", **{"If-None-Match": first.headers["ETag"]})

    assert (again.status, body) == (304, b"")


def test_a_folder_without_slash_leads_to_its_page(ask):
    """Old and typed addresses work."""
    answer, _ = ask("/plan")

    assert (answer.status, answer.headers["Location"]) == (301, "/plan/")


@pytest.mark.parametrize("path", ["/nowhere", "/nowhere/", "/../secret.txt", "/%2e%2e/secret.txt"])
def test_what_is_not_in_the_site_is_a_page_that_says_so(ask, path):
    """Also what lies beside the site's folder."""
    answer, body = ask(path)

    assert (answer.status, body) == (404, b"nothing here")


def test_head_says_the_size_and_sends_nothing(ask):
    """As the offline check may ask."""
    answer, body = ask("/", method="HEAD")

    assert (int(answer.headers["Content-Length"]), body) == (len(LONG), b"")
