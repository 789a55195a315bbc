"""When Python cannot start: a plain message, the worked answer still there, another try."""

import pytest

from tests.test_links import good_link

LINK = good_link(bias_resistance="3.3Mohm~1pct")
"""Of the calculator that the tests open."""

MIME = {"wasm": "application/wasm", "js": "text/javascript", "mjs": "text/javascript"}


@pytest.fixture
def cut_off(reader):
    """A reader whose files a test takes away on their way."""
    return reader


COMPLAINTS = ("Failed to load", "failed", "Failed to fetch", "wasm", "Python", "console:", "error:")
"""What a browser says of a failed start; it belongs to the tests."""


def failed(reader, *words):
    """The message of a failed start."""
    reader.expect(*COMPLAINTS)
    reader.go(f"calculators/corner-frequency/{LINK}")
    before = reader.answer
    reader.state("failed")
    message = reader.one(".state-text").inner_text()
    for word in words:
        assert word in message
    assert reader.answer == before
    return message


def try_again(reader):
    """With everything in order again, the button brings the calculator to life.

    The link of the address is opened then.
    """
    reader.page.unroute_all()
    reader.one(".retry").click()
    reader.state("live")
    reader.settled()
    assert not reader.one(".retry").is_visible()
    assert reader.field("bias_resistance").input_value() == "3.3"
    before = reader.answer
    reader.type("bias_resistance", "47")
    assert reader.answer != before


@pytest.mark.parametrize(
    "name", ["pyodide.mjs", "pyodide.asm.js", "pyodide.asm.wasm", "python_stdlib.zip", "core.zip"]
)
def test_a_missing_file_is_named(cut_off, name):
    """The host has lost it."""
    cut_off.page.route(f"**/{name}", lambda route: route.fulfill(status=404, body="gone"))
    failed(cut_off, name, "missing", "404")
    if name == "core.zip":  # a start takes seconds; one of a kind shows that the button works
        try_again(cut_off)


@pytest.mark.parametrize("name", ["pyodide.asm.wasm", "python_stdlib.zip", "core.zip"])
def test_a_damaged_file_is_named(cut_off, name):
    """It arrived, but is not the file that the build wrote."""
    mime = MIME.get(name.rsplit(".", 1)[1], "application/zip")
    cut_off.page.route(
        f"**/{name}", lambda route: route.fulfill(status=200, body="junk", content_type=mime)
    )
    failed(cut_off, name, "damaged")
    if name == "core.zip":
        try_again(cut_off)


def test_a_missing_worker_script_is_told(cut_off):
    """The start fails before anything of ours runs."""
    cut_off.page.route("**/worker-*.js", lambda route: route.fulfill(status=404, body="gone"))
    failed(cut_off, "script that starts it", "404")
    try_again(cut_off)


def test_a_file_that_never_arrives_is_named_within_seconds(cut_off):
    """A connection that stands still is no error to a browser; the watchdog makes it one."""
    cut_off.page.route("**/pyodide.asm.wasm", lambda route: None)
    failed(cut_off, "pyodide.asm.wasm", "does not arrive")


def test_blocked_webassembly_is_told_at_once(cut_off):
    """A policy without 'wasm-unsafe-eval' makes Python's own loader wait for ever."""

    def without_wasm(route):
        response = route.fetch()
        policy = response.headers["content-security-policy"].replace("'wasm-unsafe-eval'", "")
        route.fulfill(
            response=response, headers=response.headers | {"content-security-policy": policy}
        )

    cut_off.page.route("**/worker-*.js", without_wasm)
    failed(cut_off, "WebAssembly")
    try_again(cut_off)


def test_no_network_is_told_as_such(cut_off):
    """Offline, with nothing kept on the device."""
    cut_off.page.route("**/runtime/**", lambda route: route.abort())
    failed(cut_off, "cannot be reached")
    try_again(cut_off)


def test_another_try_opens_the_rig_of_the_link_that_waits(cut_off):
    """And the page says that it waits, since an example is on show until then."""
    cut_off.expect(*COMPLAINTS)
    cut_off.page.route("**/core.zip", lambda route: route.fulfill(status=404, body="gone"))
    cut_off.go("rig/#rig?v=1&name=A%20small%20one&plan.depth=4m")
    cut_off.until("document.querySelector('[data-rig][data-state=failed]')")
    state = cut_off.page.locator("[data-rig] .state-text").inner_text()
    assert state.startswith("the rig of the link waits: ")
    cut_off.page.unroute_all()
    cut_off.page.locator("[data-rig] .retry").click()
    cut_off.until("document.querySelector('.rig-name').textContent === 'A small one'")
