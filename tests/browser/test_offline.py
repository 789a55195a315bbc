"""Does the handbook work at the water, and does it stay of one edition?"""

import json
import shutil
import threading

import numpy as np
import pytest

from calculators import EDITION
from calculators.registry import CALCULATORS
from site_src.runtime import file_entry
from site_src.serve import Server
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


@pytest.fixture
def host(site):
    host = Host(site.folder)
    yield host
    host.stop()


@pytest.fixture
def kept(host, open_reader):
    """A reader whose device holds the proved offline copy."""
    reader = open_reader(host.url, service_workers="allow")
    reader.go("calculators/corner-frequency/")
    reader.state("live")
    keep(reader)
    return reader


def keep(reader):
    reader.page.locator(".offline .keep").scroll_into_view_if_needed()
    reader.page.locator(".offline .keep").click()
    reader.until(READY)


def test_keeping_proves_files_and_python_and_tells_what_it_proved(kept):
    """By hash, by a start of Python, and with the browser's word on persistence."""
    words = kept.page.locator(".offline").inner_text()
    listed = json.loads(
        kept.page.evaluate("() => fetch('/offline-manifest.json').then((r) => r.text())")
    )
    assert f"edition {EDITION}" in words
    assert f"All {len(listed['files'])} files" in words
    first = next(iter(CALCULATORS.values())).title
    assert f"Python started from them and calculated: {first}" in words
    assert "The browser" in words


def test_without_its_server_the_handbook_reloads_calculates_shares_and_checks(kept, host, tmp_path):
    """The server is really gone: nothing listens on its port."""
    host.stop()
    kept.live("runtime")
    before = kept.answer
    kept.type("battery_capacity", "1")
    assert kept.answer != before
    kept.one(".show-qr").click()
    kept.until("document.querySelector('dialog.qr svg')")
    kept.page.locator("dialog.qr .close").click()
    kept.go("calculators/recording-storage?from=afar")
    assert kept.page.url == f"{host.url}calculators/recording-storage/?from=afar"
    kept.state("live")
    kept.go("listen/check/")
    kept.until("document.querySelector('.recording[data-live]')")
    kept.page.click("button.demo")
    kept.until("document.querySelector('.recording[data-check=done]')")
    packed = tmp_path / "reach.flac"
    packed.write_bytes(flac(np.arange(-20_000, 20_000)[:, None], rate=8000))
    kept.page.set_input_files(".pick-files", packed)
    kept.until("document.querySelector('.desk-files').innerText.includes('reach.flac')")
    kept.until("document.querySelector('.recording[data-check=done]')")
    assert "8000 Hz, 1 channel, 16 bit" in kept.page.locator(".desk-files").inner_text()
    kept.expect("404")
    assert kept.page.goto(f"{host.url}no/such/page/").status == 404
    assert "Wetside" in kept.page.title()
    host.start()


def test_check_now_proves_it_again_without_the_network(kept, host):
    """What was kept yesterday may have been cleared today."""
    host.stop()
    kept.go("safety/")
    assert kept.page.evaluate(f"() => {READY}"), "the last proof is shown with its date"
    kept.page.locator(".offline .check").click()
    kept.until("document.querySelector('.offline-state').textContent.startsWith('Checking')")
    kept.until(READY)
    assert "All " in kept.page.locator(".offline-facts").inner_text()
    host.start()


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


def test_a_spoiled_copy_is_found_out_and_mended(kept):
    """Two files gone, one damaged: each is told, and keeping again repairs all."""
    kept.page.evaluate(SPOIL)
    kept.page.locator(".offline .check").click()
    kept.until(NOT_READY)
    words = kept.page.locator(".offline-state").inner_text()
    assert "3 of " in words
    assert "core.zip is missing" in words
    assert "python_stdlib.zip is damaged" in words
    assert "safety/index.html is missing" in words
    keep(kept)


def test_python_that_is_damaged_on_the_device_is_fetched_anew(kept):
    """The retry must not meet the same bad copy again."""
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


def test_a_new_edition_is_offered_and_never_forced(kept, host, next_edition):
    """The open page keeps its edition and its values until the reader says otherwise."""
    kept.go("calculators/corner-frequency/")
    kept.state("live")
    kept.type("bias_resistance", "47")
    answer = kept.answer
    host.server.site = next_edition
    kept.page.evaluate("() => navigator.serviceWorker.getRegistration().then((r) => r.update())")
    kept.until("document.querySelector('.update-bar')")
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
    kept.page.evaluate("() => navigator.serviceWorker.getRegistration().then((r) => r.update())")
    kept.until("document.querySelector('.update-bar')")
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
