"""Does Python in the browser calculate what Python on this machine does?"""

import json
from math import isclose

import pytest
from hypothesis import given, settings

from calculators import units
from calculators.bridge import call
from calculators.declare import Choice, Log, Number, Written
from calculators.registry import CALCULATORS
from tests.browser.conftest import PATIENCE
from tests.cases import values

CASES = 100

EVERY = 10
"""One form in so many carries tolerances: each of those asks for dozens of evaluations."""

START = """
async ([script, runtime]) => {
  const worker = new Worker(script, { type: "module" });
  window.next = (wanted) => new Promise((resolve, reject) => {
    worker.onmessage = ({ data }) => {
      if (data.type === wanted) resolve(data);
      if (data.type === "failed") reject(new Error(data.message));
    };
  });
  window.asked = worker;
  worker.postMessage({ type: "load", runtime });
  await window.next("ready");
}
"""

ASK_ALL = """
async (requests) => {
  const replies = [];
  for (const [id, request] of requests.entries()) {
    window.asked.postMessage({ type: "run", id, request, needs: null });
    replies.push((await window.next("result")).text);
  }
  return replies;
}
"""


def random_requests(card):
    """A hundred forms filled at random, repeatably, every text exact."""
    requests = []

    @settings(max_examples=CASES)
    @given(drawn=values(card))
    def collect(drawn):
        fields = {}
        for key, item in card.shape(drawn).inputs.items():
            is_kind = isinstance(item, Log) or (isinstance(item, Choice) and item.unit is None)
            fields[key] = drawn[key] if is_kind else number_text(item, drawn[key])
        spread = list(fields)[:2] if len(requests) % EVERY == 0 else []
        tolerances = {
            key: "3 %" for key in spread if has_room(card.inputs_by_name.get(key), drawn[key])
        }
        requests.append(
            json.dumps(
                {
                    "op": "answer",
                    "calculator": card.id,
                    "fields": fields,
                    "tolerances": tolerances,
                    "system": "metric",
                    "plot": False,
                    "solve": None,
                }
            )
        )

    collect()
    return requests[:CASES]


def has_room(item, value):
    """Whether the input takes a percentage, and 3 % of this value stay within its range."""
    if not isinstance(item, Number) or units.dimension(item.unit).endswith(
        ("level", "temperature")
    ):
        return False
    return item.low_si <= value - 0.03 * abs(value) and value + 0.03 * abs(value) <= item.high_si


def number_text(item, value):
    if isinstance(item, Choice):
        return f"{value:g}"
    if isinstance(item, Written):
        return item.field_text(value)
    return units.format_exact(value, item.unit)


@pytest.fixture(scope="module")
def ask_all(browser, site):
    """Asks a Worker of its own, started once, for the replies to all these requests."""
    page = browser.new_page()
    page.goto(f"{site.url}calculators/corner-frequency/")
    page.locator("section.calc[data-state=live]").wait_for(timeout=PATIENCE * 1000)
    script = next(worker.url for worker in page.workers if "/worker-" in worker.url)
    runtime = page.locator('meta[name="wetside-runtime"]').get_attribute("content")
    page.evaluate(START, [script, f"{site.url}runtime/{runtime}/"])
    yield lambda requests: page.evaluate(ASK_ALL, requests)
    page.close()


@pytest.mark.parametrize("card", CALCULATORS.values(), ids=CALCULATORS.keys())
def test_random_inputs_give_the_same_numbers_in_webassembly(ask_all, card):
    """Independent build of Python and of its mathematical functions: relative 1e-12."""
    requests = random_requests(card)
    assert len(requests) == CASES
    replies = ask_all(requests)
    compared = 0
    for request, reply in zip(requests, replies, strict=True):
        there, here = json.loads(reply), json.loads(call(request))
        assert there["ok"] == here["ok"], (request, reply)
        if not here["ok"]:
            assert there == here
            continue
        for a, b in zip(there["outputs"], here["outputs"], strict=True):
            assert a["name"] == b["name"]
            # A level is a logarithm: 1e-11 dB is a part in 1e12 of what it is the level of.
            apart = 1e-11 if a["unit"].startswith("dB") else 0.0
            for part in ("value", "low", "high"):
                close = isclose(a[part], b[part], rel_tol=1e-12, abs_tol=apart)
                assert close, (request, a, b)
                compared += 1
    assert compared > CASES, "almost all were refused: the comparison says nothing"
