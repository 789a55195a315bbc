"""Every fault is found where it was put, and a sound recording is left in peace.

A fixed set of made recordings; the rates over hundreds of others are measured by the bench.
"""

import pytest

from calculators.recording.judges import judge
from calculators.recording.synthetic import demo
from tests.recording.fault_cases import KINDS, made
from tests.recording.judged import PARTED, alarms, checked, findings_of, is_found

KNOWN = {"hum 50": 2, "hum 60": 2, "strumming": 2}
"""Numbers of the cases; else 0."""


@pytest.mark.parametrize("kind", KINDS)
def test_a_fault_is_found_at_its_place(kind: str) -> None:
    case = made(kind, KNOWN.get(kind, 0))
    findings = findings_of(case)
    for truth in case.truth:
        assert is_found(truth, findings), findings
    assert [one.what for one in findings if PARTED.search(one.what)] == []


@pytest.mark.parametrize("number", range(1, 7))
def test_animals_a_boat_and_rain_are_no_fault(number: int) -> None:
    """Of these six a half have a boat, a third a shower, and all have animals."""
    assert alarms(findings_of(made("clean", number))) == []


def test_the_demo_shows_what_it_promises() -> None:
    found = judge(*checked(demo()))
    kinds = {finding.kind for finding in found}
    assert kinds >= {
        "hum",
        "offset",
        "clipped",
        "drop-out",
        "gap",
        "repeated",
        "flooded",
        "never finished",
    }


@pytest.mark.parametrize("number", [2, 4])
def test_water_that_rests_on_one_value_of_8_bits_is_no_fault(number: int) -> None:
    """Between animals and boats it is softer than a step; that is said, and no more."""
    case = made("clean", number)
    case.signal, case.encoding = 8 * case.signal, "uint8"
    findings = findings_of(case)
    assert alarms(findings) == []
    assert {f.sure for f in findings if f.kind == "drop-out"} == {"possible"}
