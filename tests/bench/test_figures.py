"""The report's own arithmetic."""

import pytest

from tests.bench.figures import middle, number, percentile, table


def test_a_percentile_is_the_nearest_rank():
    """Of 1 to 200, 190 is the lowest that 95 % do not exceed."""
    samples = [float(n) for n in range(200, 0, -1)]
    assert percentile("part", "name", "ms", samples, 95).value == 190
    assert percentile("part", "name", "ms", samples, 50).value == 100
    assert percentile("part", "name", "ms", [7.0], 95).value == 7


@pytest.mark.parametrize(
    ("target", "met"),
    [({"most": 2}, True), ({"most": 1.9}, False), ({"least": 2}, True), ({}, None)],
)
def test_a_target_is_met_or_not_or_absent(target, met):
    """The median is held against the target, not the ends."""
    assert middle("part", "name", "", [1, 2, 9], **target).met is met


def test_the_table_shows_a_missed_target():
    """A missed target is shown beside the measured value."""
    text = table([middle("part", "name", "ms", [1.0, 2.0, 9.0], most=1.5)])
    assert text.splitlines()[-1].split() == [
        "name",
        "2.00",
        "ms",
        "1.00–9.00",
        "3",
        "≤",
        "1.5",
        "NO",
    ]


@pytest.mark.parametrize(
    ("value", "text"),
    [(0, "0"), (0.01234, "0.0123"), (1, "1.00"), (99.96, "100"), (1234.5, "1234")],
)
def test_numbers_have_three_digits(value, text):
    """Three digits, and all of those before the point."""
    assert number(value) == text
