"""Columns over time double without losing anything, and levels are counted within half a step."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.recording.grid import TimeGrid
from calculators.recording.histogram import BINS, Histogram, level_bins


def grid(moments, most=16):
    """A one in the column of each moment, and the moment as a peak."""
    made = TimeGrid(1, most, {"count": np.zeros((), np.int64), "peak": np.zeros(2)})
    for moment in moments:
        made.add(np.array([moment]), count=np.array([1]), peak=np.array([[moment, 0.0]]))
    return made


def as_text(found):
    """All that a grid holds, columns without anything at its ends left out."""
    used = np.flatnonzero(found.fields["count"])
    first, end = (used[0], used[-1] + 1) if len(used) else (0, 0)
    kept = {name: value[first:end].tolist() for name, value in found.fields.items()}
    return found.duration, found.first + int(first), kept


MOMENTS = st.lists(st.floats(0, 3e5), max_size=12)


@settings(max_examples=60, deadline=None)
@given(MOMENTS, MOMENTS, MOMENTS)
def test_merging_is_adding_in_any_order(one, two, three):
    """Durations may differ before."""
    a, b, c = grid(one), grid(two), grid(three)
    wanted = as_text(a.merged(b).merged(c))
    assert as_text(a.merged(b.merged(c))) == wanted
    assert as_text(c.merged(a).merged(b)) == wanted
    assert wanted[2]["count"] == [] or sum(wanted[2]["count"]) == len(one + two + three)


def test_columns_are_whole_multiples_of_their_duration():
    """Sixteen columns for 40 s from 1001 s on: 4 s each, the first from 1000 s."""
    found = grid([1001 + second for second in range(40)])
    assert (found.duration, found.first * found.duration) == (4, 1000)
    assert found.fields["count"].sum() == 40
    assert found.fields["count"][:2].tolist() == [3, 4]
    assert found.fields["peak"][0].tolist() == [1003, 0]


def test_a_wrong_clock_costs_detail_but_nothing_else():
    """A second in 1970 and one of today: columns become long, not many."""
    found = grid([5.0, 1.8e9])
    assert found.count <= 16
    assert found.fields["count"].sum() == 2


def histogram(levels):
    """Of one channel and band."""
    counts = np.bincount(level_bins(10 ** (np.asarray(levels) / 10)), minlength=BINS + 2)
    return Histogram(counts[None, None])


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(-239, 39), min_size=1, max_size=40), st.sampled_from([0, 5, 50, 95, 100]))
def test_percentiles_are_within_half_a_step(levels, percent):
    """Of the level with that rank."""
    rank = max(int(np.ceil(percent / 100 * len(levels) - 1e-9)), 1)
    wanted = sorted(levels)[rank - 1]
    found = histogram(levels)
    assert abs(found.percentile(percent)[0, 0] - wanted) <= found.bound() + 1e-9
    assert found.exceeded(100 - percent)[0, 0] == found.percentile(percent)[0, 0]


def test_levels_outside_the_range_are_counted_and_named():
    """Silence is −∞, and half of the slices have it."""
    counts = np.bincount(level_bins(np.array([0.0, 1e-30, 1.0, 1e9])), minlength=BINS + 2)
    found = Histogram(counts[None, None])
    assert found.slices.tolist() == [[4]]
    assert found.percentile(50)[0, 0] == -np.inf
    assert found.percentile(75)[0, 0] == pytest.approx(0, abs=found.bound())
    assert found.percentile(100)[0, 0] == np.inf
    assert np.isnan(Histogram(np.zeros((1, 1, BINS + 2), np.int64)).percentile(50))
    with pytest.raises(ValueError, match="0 to 100"):
        found.percentile(101)
