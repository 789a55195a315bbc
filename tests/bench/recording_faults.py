"""How many faults the check of a recording finds, and how often it sees one that is not there.

Made recordings, by number: twenty of each kind of fault, and a hundred without one.
"""

from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

from calculators.formulas.chance import NINETY_FIVE_PERCENT, probability_high, probability_low
from tests.bench.figures import Figure
from tests.recording.fault_cases import KINDS, made
from tests.recording.judged import alarms, findings_of, is_found

PART = "Faults of made recordings"
EACH = 20
CLEAN = 100
FIRST = 1_510_000
"""Numbers of the cases begin here: those of the tests are lower."""

BESIDES = {
    "cut short": {"gap"},
    "flow": {"offset"},
    "flooded": {"gone quiet"},
    "dead": {"own noise"},
    "deaf": {"own noise"},
}
"""What goes with a fault and is no false alarm."""


@dataclass(frozen=True)
class Outcome:
    """One case: whether its fault was found, and what else was said to be wrong."""

    kind: str
    found: bool
    besides: tuple[str, ...]


def measure(each: int = EACH, clean: int = CLEAN, workers: int = 1) -> list[Figure]:
    """Rates of detection by kind, and of false alarms, with their intervals."""
    cases = [(kind, FIRST + 1000 * n + i) for n, kind in enumerate(KINDS) for i in range(each)]
    cases += [("clean", FIRST - 1 - i) for i in range(clean)]
    with ProcessPoolExecutor(workers) as pool:
        outcomes = list(pool.map(outcome, cases, chunksize=10))
    return list(_figures(outcomes))


def outcome(case: tuple[str, int]) -> Outcome:
    """Make and check one case."""
    kind, number = case
    whole = made(kind, number)
    findings = findings_of(whole)
    truths = {
        truth.kind.partition(" ")[0] if "hum" in truth.kind else truth.kind for truth in whole.truth
    }
    besides = {f.kind for f in alarms(findings)} - truths - BESIDES.get(kind, set())
    return Outcome(kind, all(is_found(t, findings) for t in whole.truth), tuple(sorted(besides)))


def _figures(outcomes: list[Outcome]) -> Iterator[Figure]:
    for kind in KINDS:
        of_kind = [o for o in outcomes if o.kind == kind]
        yield _rate(f"found: {kind}", sum(o.found for o in of_kind), len(of_kind))
    faulty = [o for o in outcomes if o.kind != "clean"]
    yield _rate("found: all kinds", sum(o.found for o in faulty), len(faulty))
    clean = [o for o in outcomes if o.kind == "clean"]
    yield _false_alarms("clean recordings", clean)
    yield _false_alarms("another fault beside the true one", faulty)


def _false_alarms(name: str, outcomes: list[Outcome]) -> Figure:
    """Each said by kind."""
    said = Counter(kind for o in outcomes for kind in o.besides)
    words = ", ".join(f"{kind} {count}" for kind, count in said.most_common())
    name = f"false alarm: {name}" + (f" ({words})" if words else "")
    return _rate(name, sum(bool(o.besides) for o in outcomes), len(outcomes))


def _rate(name: str, count: int, cases: int) -> Figure:
    ends = {"successes": count, "trials": cases, "deviations": NINETY_FIVE_PERCENT}
    low, high = (100 * end(**ends) for end in (probability_low, probability_high))
    return Figure(PART, name, "%", 100 * count / cases, low, high, cases)
