"""What a whole rig costs in Python outside the browser: its verdict, an edit, draws, changes."""

from collections.abc import Iterator
from time import process_time

from calculators.declare import Number
from calculators.errors import InputError
from calculators.rig.bridge_ops import OPERATIONS
from calculators.rig.change import changes
from calculators.rig.draws import Draws
from calculators.rig.ending import ends
from calculators.rig.files import read_rig
from calculators.rig.form import tolerance_text
from calculators.rig.graph import Evaluated, evaluate_rig
from calculators.rig.model import Rig
from calculators.rig.requirements import requirements
from calculators.rig.schema import entry_of
from site_src.paths import DOCS
from tests.bench import figures
from tests.bench.figures import Figure
from tests.bench.native import timed

PART = "Whole rigs, native Python"

RUNS = 5

DRAWS = 2000

STEP = 250
"""Draws between two signs of progress."""

LINEAR = 1.1
"""Ten times the draws may take so much more than ten times as long."""


def measure() -> list[Figure]:
    """Verdict, edits, draws and changes, of every example rig or of the tarn's."""
    found = []
    for file in sorted((DOCS / "rigs").glob("*.toml")):
        rig = read_rig(file.read_text())
        nodes = evaluate_rig(rig)
        found += [_verdict(file.stem, rig), _draws(file.stem, rig, nodes)]
        if file.stem == "tarn":
            found += [*_edits(file.read_text(), rig), _linear(rig, nodes), *_changes(rig, nodes)]
    return found


def _verdict(name: str, rig: Rig) -> Figure:
    times = [timed(lambda: requirements(evaluate_rig(rig))) for _ in range(RUNS)]
    return figures.middle(PART, f"{name}: verdict from nothing", "ms", times)


def _edits(toml: str, rig: Rig) -> Iterator[Figure]:
    """Every number a hundredth larger, and back again, as the page asks for it."""
    times = []
    for key, stated in rig.stated.items():
        item = entry_of(key)[0].item
        if not isinstance(item, Number):
            continue
        for value in (float(stated.value) * 1.01, float(stated.value)):
            request = {
                "toml": toml,
                "key": key,
                "text": item.field_text(value, "metric"),
                "tolerance": tolerance_text(item, stated.tolerance, "metric"),
                "system": "metric",
                "known": "",
            }
            try:
                times.append(timed(OPERATIONS["rig_edit"], request))
            except InputError:
                break  # a hundredth more of it is not accepted
    for percent in (50, 95):
        yield figures.percentile(PART, "tarn: edit to verdict", "ms", times, percent)


def _draws(name: str, rig: Rig, nodes: Evaluated) -> Figure:
    draws = Draws(rig, nodes, 1)
    times = [timed(draws.more, STEP) for _ in range(DRAWS // STEP)]
    each = [time / STEP for time in times]
    called = f"{name}: one of {DRAWS} draws, {len(draws.route.stops)} calculators"
    return figures.middle(PART, called, "ms", each)


def _linear(rig: Rig, nodes: Evaluated) -> Figure:
    """Ten times the draws against ten times the processor time, both from the same start."""
    ratios = []
    for _ in range(RUNS):
        few = _processor_time(rig, nodes, DRAWS // 10)
        ratios.append(_processor_time(rig, nodes, DRAWS) / few / 10)
    called = "tarn: ten times the draws, processor time over ten times that"
    return figures.middle(PART, called, "", ratios, most=LINEAR)


def _processor_time(rig: Rig, nodes: Evaluated, count: int) -> float:
    draws, begun = Draws(rig, nodes, 1), process_time()
    draws.more(count)
    return process_time() - begun


def _changes(rig: Rig, nodes: Evaluated) -> Iterator[Figure]:
    for row in requirements(nodes):
        if row.level != "good":
            time = timed(list, changes(rig, nodes, row.name))
            yield figures.middle(PART, f"tarn: what mends {row.name}", "ms", [time])
    yield figures.middle(PART, "tarn: what ends it first", "ms", [timed(ends, rig, nodes)])
