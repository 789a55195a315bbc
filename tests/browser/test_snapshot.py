"""Starts from kept memory: faster, the same in every answer, and never in the way."""

import json

import pytest

from calculators.bridge import call
from calculators.registry import CALCULATORS
from tests.browser.test_same_numbers import ASK_ALL, START, random_requests

MAKE = """
([script, runtime]) => new Promise((resolve, reject) => {
  const worker = new Worker(script, { type: "module" });
  worker.onmessage = ({ data }) => {
    if (data.type === "kept") resolve(worker.terminate());
    if (data.type === "failed") reject(new Error(data.message));
  };
  worker.postMessage({ type: "snapshot", runtime });
})
"""
KEPT = """
async () => {
  const sizes = {};
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const { url } of await cache.keys()) {
      if (!url.includes("snapshot.bin")) continue;
      sizes[url] = (await (await cache.match(url)).arrayBuffer()).byteLength;
    }
  }
  return Object.values(sizes);
}
"""
SPOIL = """
async () => {
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const { url } of await cache.keys()) {
      if (url.includes("snapshot.bin")) await cache.put(url, new Response("junk"));
    }
  }
}
"""


def addresses(reader):
    """The Worker's script and the runtime's folder."""
    script = next(w.url for w in reader.page.workers if "/worker-" in w.url)
    runtime = reader.page.locator('meta[name="wetside-runtime"]').get_attribute("content")
    return script, f"{reader.url}runtime/{runtime}/"


@pytest.fixture
def returning(open_reader):
    """A reader on a device that has kept the memory of an earlier visit."""
    reader = open_reader(service_workers="allow")
    reader.live("corner-frequency")
    reader.page.evaluate(MAKE, list(addresses(reader)))
    assert reader.page.evaluate(KEPT)[0] > 10e6
    return reader


def test_a_start_from_memory_reads_no_core_and_calculates(returning):
    """The core is in the memory already: its archive is not asked for."""
    asked = []
    returning.page.context.on("request", lambda request: asked.append(request.url))
    returning.live("corner-frequency")
    before = returning.answer
    returning.type("bias_resistance", "47")
    assert returning.answer != before
    returning.one(".show-qr").click()
    returning.until("document.querySelector('dialog.qr svg')")
    assert any(url.endswith("pyodide.asm.wasm") for url in asked)
    assert not any(url.endswith("core.zip") for url in asked)


def test_from_memory_the_numbers_are_the_same(returning):
    """Bit for bit those of this machine, or within what the two builds of Python differ by."""
    requests = random_requests(CALCULATORS["runtime"])
    returning.page.evaluate(START, addresses(returning))
    replies = returning.page.evaluate(ASK_ALL, requests)
    for request, reply in zip(requests, replies, strict=True):
        there, here = json.loads(reply), json.loads(call(request))
        assert there["ok"] == here["ok"]
        if here["ok"]:
            assert [o["value"] for o in there["outputs"]] == pytest.approx(
                [o["value"] for o in here["outputs"]], rel=1e-12, abs=0
            )


def test_damaged_memory_is_thrown_away_and_the_start_goes_on_plainly(returning):
    """No message, no retry for the reader; and it is not made again to fail again."""
    returning.expect("console:", "error:")
    returning.page.evaluate(SPOIL)
    returning.live("corner-frequency")
    assert returning.page.evaluate(KEPT) == [0]
    returning.live("corner-frequency")
