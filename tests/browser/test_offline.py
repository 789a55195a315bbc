"""Does the handbook work at the water, and does it stay of one edition?"""

import json
import shutil
import threading
from contextlib import contextmanager

import numpy as np
import pytest

from calculators import EDITION
from calculators.registry import CALCULATORS
from site_src.runtime import file_entry
from site_src.serve import Server
from tests.browser.conftest import fresh_reader
from tests.built import free_port
from tests.recording.made_flac import flac

READY = "document.querySelector('.offline-state').textContent.startsWith('Ready for offline')"
NOT_READY = "document.querySelector('.offline-state').textContent.startsWith('Not ready')"


class Host:
    """A server of a folder that a test may stop, start again and give another folder."""

    def __init__(self, folder):
        self.folder, self.port = folder, free_port()
        self.start()

    @property
    def url(self):
        return f"http://127.0.0.1:{self.port}/"

    def start(self):
        self.server = Server(self.folder, self.port)
        threading.Thread(target=self.server.serve_forever, daemon=True).start()

    def stop(self):
        self.server.shutdown()
        self.server.server_close()

    @contextmanager
    def gone(self):
        """Nothing listens on its port."""
        self.stop()
        try:
            yield
        finally:
            self.start()


@pytest.fixture
def host(site):
    host = Host(site.folder)
    yield host
    host.stop()


def keeper(reader):
    """The same reader, with a device that holds the proved offline copy."""
    reader.go("calculators/corner-frequency/")
    reader.state("live")
    keep(reader)
    return reader


@pytest.fixture
def kept(host, open_reader):
    """A reader whose device holds the proved offline copy, and is spoiled by the test."""
    return keeper(open_reader(host.url, service_workers="allow"))


@pytest.fixture(scope="module")
def shared_host(site):
    """A server for all tests that leave it as it was."""
    host = Host(site.folder)
    yield host
    host.stop()


@pytest.fixture(scope="module")
def shared(browser, shared_host):
    """A reader whose copy is used by tests that leave it as it was: to keep it takes long."""
    reader = keeper(fresh_reader(browser, shared_host.url, service_workers="allow"))
    yield reader
    reader.page.context.close()
    assert reader.unexpected() == []


def keep(reader):
    reader.page.locator(".offline .keep").scroll_into_view_if_needed()
    reader.page.locator(".offline .keep").click()
    reader.until(READY)


def test_keeping_proves_files_and_python_and_tells_what_it_proved(shared):
    """By hash, by a start of Python, and with the browser's word on persistence."""
    words = shared.page.locator(".offline").inner_text()
    listed = json.loads(
        shared.page.evaluate("() => fetch('/offline-manifest.json').then((r) => r.text())")
    )
    assert f"edition {EDITION}" in words
    assert f"All {len(listed['files'])} files" in words
    first = next(iter(CALCULATORS.values())).title
    assert f"Python started from them and calculated: {first}" in words
    assert "The browser" in words


def test_without_its_server_the_handbook_reloads_calculates_shares_and_checks(
    shared, shared_host, tmp_path
):
    """The server is really gone: nothing listens on its port."""
    with shared_host.gone():
        shared.live("runtime")
        before = shared.answer
        shared.type("battery_capacity", "1")
        assert shared.answer != before
        shared.one(".show-qr").click()
        shared.until("document.querySelector('dialog.qr svg')")
        shared.page.locator("dialog.qr .close").click()
        shared.go("calculators/recording-storage?from=afar")
        assert shared.page.url == f"{shared.url}calculators/recording-storage/?from=afar"
        shared.state("live")
        shared.go("listen/check/")
        shared.until("document.querySelector('.recording[data-live]')")
        shared.page.click("button.demo")
        shared.until("document.querySelector('.recording[data-check=done]')")
        packed = tmp_path / "reach.flac"
        packed.write_bytes(flac(np.arange(-20_000, 20_000)[:, None], rate=8000))
        shared.page.set_input_files(".pick-files", packed)
        shared.until("document.querySelector('.desk-files').innerText.includes('reach.flac')")
        shared.until("document.querySelector('.recording[data-check=done]')")
        files = shared.page.locator(".desk-files").inner_text()
        assert "8000\u00a0Hz, 1 channel, 16\u00a0bit" in files
        shared.expect("404")
        assert shared.page.goto(f"{shared.url}no/such/page/").status == 404
        assert "Wetside" in shared.page.title()


def test_check_now_proves_it_again_without_the_network(shared, shared_host):
    """What was kept yesterday may have been cleared today."""
    with shared_host.gone():
        shared.go("safety/")
        assert shared.page.evaluate(f"() => {READY}"), "the last proof is shown with its date"
        shared.page.locator(".offline .check").click()
        # Said by a check alone; the last proof, shown till then, says less.
        shared.until("document.querySelector('.offline-facts').textContent.startsWith('All ')")
        shared.until(READY)


SPOIL = """
async () => {
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const { url } of await cache.keys()) {
      if (url.endsWith("python_stdlib.zip")) await cache.put(url, new Response("junk"));
      if (url.endsWith("core.zip")) await cache.delete(url);
      if (url.includes("snapshot.bin")) await cache.delete(url);
      if (url.includes("/safety/index.html")) await cache.delete(url);
    }
  }
}
"""


def test_a_spoiled_copy_is_found_out_mended_or_fetched_anew(kept):
    """Two files gone, one damaged: each is told, and keeping again repairs all.

    Spoiled anew, Python can't start; the retry must not meet the same bad copy again.
    """
    kept.page.evaluate(SPOIL)
    kept.page.locator(".offline .check").click()
    kept.until(NOT_READY)
    words = kept.page.locator(".offline-state").inner_text()
    assert "3 of " in words
    assert "core.zip is missing" in words
    assert "python_stdlib.zip is damaged" in words
    assert "safety/index.html is missing" in words
    keep(kept)
    kept.expect("console:", "error:")
    kept.page.evaluate(SPOIL)
    kept.go("calculators/corner-frequency/")
    kept.state("failed")
    assert "python_stdlib.zip is damaged" in kept.one(".state-text").inner_text()
    kept.one(".retry").click()
    kept.state("live")


@pytest.fixture
def next_edition(site, tmp_path):
    """The same site with one sentence changed, as the next edition would be."""
    folder = tmp_path / "next"
    shutil.copytree(site.folder, folder)
    page = folder / "safety/index.html"
    old = file_entry(page, folder)["sha256"]
    page.write_text(page.read_text().replace("<h1", "<h1 data-next", 1))
    listed = json.loads((folder / "offline-manifest.json").read_text())
    for entry in listed["files"]:
        if entry["path"] == "safety/index.html":
            entry.update(file_entry(page, folder))
            assert entry["sha256"] != old
    (folder / "offline-manifest.json").write_text(json.dumps(listed))
    worker = folder / "sw.js"
    text = worker.read_text()
    start = text.index('"revision":', text.index('"safety/index.html"') - 70)
    revision = text[start + 12 : start + 44]
    worker.write_text(text.replace(revision, "0" * 32))
    assert "0" * 32 in worker.read_text()
    return folder


LOOK = """
async () => {
  const registration = await navigator.serviceWorker.getRegistration();
  await registration.update();
  return Boolean(registration.installing ?? registration.waiting);
}
"""


def look_for_the_next_edition(reader):
    """Twice at need: asked while the browser looks by itself, it joins a look at the old one."""
    assert reader.page.evaluate(LOOK) or reader.page.evaluate(LOOK)
    reader.until("document.querySelector('.update-bar')")


def test_a_new_edition_is_offered_and_never_forced(kept, host, next_edition):
    """The open page keeps its edition and its values until the reader says otherwise."""
    kept.go("calculators/corner-frequency/")
    kept.state("live")
    kept.type("bias_resistance", "47")
    answer = kept.answer
    host.server.site = next_edition
    look_for_the_next_edition(kept)
    kept.page.evaluate("() => { window.sameLoad = true; }")
    assert kept.field("bias_resistance").input_value() == "47"
    old = kept.page.evaluate("() => fetch('/safety/').then((r) => r.text())")
    assert "data-next" not in old, "until then every page is of the old edition"
    kept.page.locator(".update-bar .use-now").click()
    kept.until("!window.sameLoad && document.readyState === 'complete'")
    kept.state("live")
    kept.until("document.querySelector('[data-input=bias_resistance] .value').value === '47'")
    kept.settled()
    assert kept.answer == answer, "the values came along"
    new = kept.page.evaluate("() => fetch('/safety/').then((r) => r.text())")
    assert "data-next" in new
    keep(kept)


def test_a_new_edition_can_wait(kept, host, next_edition):
    """Later is later."""
    host.server.site = next_edition
    look_for_the_next_edition(kept)
    kept.page.locator(".update-bar .later").click()
    assert kept.page.locator(".update-bar").count() == 0
    kept.settled()
    assert "data-next" not in kept.page.evaluate("() => fetch('/safety/').then((r) => r.text())")


def test_the_worker_with_python_is_under_the_policy_even_from_a_host_without_headers(
    site, open_reader
):
    """Its own answer must carry the policy; the service worker puts it there."""
    bare = Host(site.folder)
    bare.server.everywhere = {}
    try:
        reader = open_reader(bare.url, service_workers="allow")
        reader.go("calculators/corner-frequency/")
        reader.state("live")
        script = next(w.url for w in reader.page.workers if "/worker-" in w.url)
        asked = "(url) => fetch(url).then((r) => r.headers.get('content-security-policy'))"
        reader.until("navigator.serviceWorker.controller")
        reader.page.reload()
        reader.state("live")
        policy = reader.page.evaluate(asked, script)
        assert "connect-src 'self'" in policy
        assert "'wasm-unsafe-eval'" in policy
        assert "'unsafe-eval'" not in policy
    finally:
        bare.stop()
