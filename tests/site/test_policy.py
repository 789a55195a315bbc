"""Does the policy let our own inline scripts run, and refuse pages it could not protect?"""

import base64
import hashlib
import json

import pytest

from site_src.policy import PolicyBroken, make_policy, put_into_pages, write_headers

HEAD = '<meta charset="utf-8"><title>t</title>'


def test_every_inline_script_is_named_by_its_hash_once(small_site):
    """Same script on two pages: one hash. Data blocks and files need none."""
    script = "let a = 1 < 2;"
    data = '<script type="application/json">{"a": 1}</script><script src="a.js"></script>'
    site = small_site(
        dict.fromkeys(("index.html", "b/index.html"), f"{HEAD}<script>{script}</script>{data}")
    )
    wanted = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()

    policy = make_policy(site)

    assert policy.count("sha256-") == 1
    assert f"script-src 'self' 'wasm-unsafe-eval' 'sha256-{wanted}';" in policy
    assert "unsafe-inline" not in policy
    assert "'unsafe-eval'" not in policy


@pytest.mark.parametrize(
    "body",
    ['<p style="color:red">', "<style>p{}</style>", '<p onclick="x()">', "<svg onload='x()'/>"],
)
def test_what_the_policy_would_refuse_stops_the_build(small_site, body):
    """Inline styles and handlers would silently not work."""
    with pytest.raises(PolicyBroken, match=r"index.html: inline style or handler"):
        make_policy(small_site({"index.html": HEAD + body}))


def test_too_many_different_inline_scripts_stop_the_build(small_site):
    """A script that differs from page to page would make the policy grow for ever."""
    site = small_site({f"{n}.html": f"<script>{n}</script>" for n in range(9)})

    with pytest.raises(PolicyBroken, match="9 inline scripts, at most 8"):
        make_policy(site)


def test_the_policy_stands_in_the_page_before_anything_is_loaded(small_site):
    """A policy that comes after a script does not bind it."""
    site = small_site({"index.html": f"<head>{HEAD}<script src=a.js></script></head>"})

    put_into_pages(site, "default-src 'self'")

    html = (site / "index.html").read_text()
    assert html.index("Content-Security-Policy") < html.index("<title>") < html.index("<script")


@pytest.mark.parametrize("html", ["<title>no charset</title>", HEAD + "Content-Security-Policy"])
def test_a_page_that_cannot_carry_the_policy_stops_the_build(small_site, html):
    """No charset to stand after, or a policy from somewhere else."""
    with pytest.raises(PolicyBroken, match=r"index.html: needs one charset"):
        put_into_pages(small_site({"index.html": html}), "default-src 'self'")


def test_only_files_named_by_their_hash_are_kept_for_ever(small_site):
    """A page that is kept for ever would never be updated."""
    names = [
        "index.html",
        "sw.js",
        "runtime/ab12/core.zip",
        "assets/page-ABCD2345.js",
        "a/early.js",
    ]
    site = small_site(dict.fromkeys(names, "x"))

    write_headers(site, "default-src 'self'")

    headers = json.loads((site / "headers.json").read_text())
    assert headers["immutable"] == ["assets/page-ABCD2345.js", "runtime/ab12/core.zip"]
    assert headers["everywhere"]["Content-Security-Policy"].endswith("frame-ancestors 'none'")
    for_hosts = (site / "_headers").read_text()
    assert for_hosts.count("immutable") == 2
    assert "/*\n  Content-Security-Policy: default-src 'self'" in for_hosts
