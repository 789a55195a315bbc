"""Axes: round ticks whose words never touch, and times by the recorder's own clock."""

import doctest
from datetime import datetime, timedelta
from itertools import pairwise
from math import isnan

import numpy as np
import pytest

from calculators.recording import axes, calibration, svg
from calculators.recording.axes import (
    DAY,
    Scale,
    clock_ticks,
    dates_text,
    elapsed_ticks,
    frequency_ticks,
    length_text,
    level_range,
    level_ticks,
)
from calculators.recording.svg import text_width

START = (datetime(2026, 6, 21, 20, 17, 5) - datetime(1970, 1, 1)).total_seconds()
LENGTHS = (7.0, 61.0, 1800.0, 7200.0, 40 * 3600.0, 3 * DAY, 10 * DAY, 47 * DAY, 500 * DAY)


@pytest.mark.parametrize("module", [axes, calibration, svg])
def test_examples_hold(module):
    found = doctest.testmod(module)
    assert found.attempted
    assert not found.failed


@pytest.mark.parametrize(
    "scale",
    [Scale(23.4, 48e3, 46.0, 700.0, logarithmic=True), Scale(-120.0, -20.0, 200.0, 0.0)],
    ids=["across", "upright"],
)
def test_many_values_stand_where_each_stands_alone(scale):
    """Those beyond an end at it; where there is no value, there is no place."""
    beyond = [scale.low - 5, scale.high + 5]
    values = np.array([*np.linspace(scale.low, scale.high, 101), *beyond])
    alone = [scale.place(float(value)) for value in values]
    np.testing.assert_allclose(scale.places(values), alone, rtol=0, atol=1e-9)
    assert alone[-2:] == [scale.start, scale.end]
    assert isnan(scale.places(np.array([np.nan]))[0])


@pytest.mark.parametrize("length", LENGTHS)
@pytest.mark.parametrize("width", [290.0, 1000.0])
@pytest.mark.parametrize("ticks_of", [clock_ticks, elapsed_ticks])
def test_words_of_a_time_axis_never_touch(length, width, ticks_of):
    start = START if ticks_of is clock_ticks else 0.0
    ticks = ticks_of(Scale(start, start + length, 46.0, 46.0 + width))
    assert len(ticks) >= 2
    for line in ("label", "below"):
        written = [(tick.at, getattr(tick, line)) for tick in ticks if getattr(tick, line)]
        for (one, first), (other, second) in pairwise(written):
            assert one + text_width(first) / 2 < other - text_width(second) / 2


def test_ticks_of_days_stand_at_midnight_and_say_the_date():
    scale = Scale(START, START + 3 * DAY, 0.0, 1000.0)
    below = {tick.below: tick.at for tick in clock_ticks(scale) if tick.below}
    midnight = (datetime(2026, 6, 22) - datetime(1970, 1, 1)).total_seconds()
    assert below["22 Jun"] == pytest.approx(scale.place(midnight))
    assert [tick.label for tick in clock_ticks(scale)][:3] == ["00:00", "06:00", "12:00"]


def test_the_clock_has_no_zone_of_this_machine(monkeypatch):
    """A file that says 20:17 is shown at 20:17, wherever it is read."""
    from time import tzset

    for zone in ("UTC", "America/St_Johns"):
        monkeypatch.setenv("TZ", zone)
        tzset()
        assert axes.clock_text(START) == "2026-06-21 20:17:05"
    monkeypatch.undo()
    tzset()


def test_lengths_and_dates_are_said_as_a_reader_says_them():
    assert length_text(2 * DAY) == "2\u00a0d"
    assert length_text(3599.6) == "1\u00a0h"
    assert length_text(59.96) == "1\u00a0min"
    assert length_text(0.0123) == "12.3\u00a0ms"
    assert dates_text(START, START + 60) == "21 June 2026"
    assert dates_text(START, START + 20 * DAY) == "21 June to 11 July 2026"
    new_year = (datetime(2026, 12, 30) - datetime(1970, 1, 1)) / timedelta(seconds=1)
    assert dates_text(new_year, new_year + 5 * DAY) == "30 December 2026 to 4 January 2027"


@pytest.mark.parametrize("width", [290.0, 1000.0])
@pytest.mark.parametrize("ends", [(2.0, 48000.0), (5.0, 192000.0), (800.0, 1200.0), (2.0, 4000.0)])
def test_frequencies_are_written_at_decades_at_least_and_never_touch(width, ends):
    ticks = frequency_ticks(Scale(*ends, 46.0, 46.0 + width, logarithmic=True))
    written = [(tick.at, tick.label) for tick in ticks if tick.label]
    assert len(written) >= 1
    for (one, first), (other, second) in pairwise(written):
        assert one + text_width(first) / 2 < other - text_width(second) / 2


def test_levels_have_round_ends_and_ticks():
    assert level_range([float("-inf"), 63.0, 101.2]) == (60.0, 105.0)
    assert level_range([]) == (-20.0, 0.0)
    low, high = level_range([70.0, 70.0])
    assert high - low == 20
    ticks = level_ticks(Scale(-120.0, -20.0, 200.0, 0.0))
    assert [tick.label for tick in ticks] == ["−120", "−100", "−80", "−60", "−40", "−20"]
