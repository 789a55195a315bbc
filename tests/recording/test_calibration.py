"""Levels of a recording: what 0 dB is, and that a sensitivity which cannot be is refused."""

from math import sqrt

import numpy as np
import pytest

from calculators.cards import levels as level_chain
from calculators.errors import InputError
from calculators.recording.calibration import (
    SINE,
    Calibration,
    calibration_from_rig,
    calibration_from_sensitivity,
    level_text,
)
from calculators.recording.expected import Expected, Range


def test_a_full_scale_sine_has_3_01_db_less_than_full_scale():
    """Root mean square of a sine: its peak over the root of two."""
    sine = np.sin(2 * np.pi * np.arange(4096) / 64)
    mean_square = np.array([np.mean(sine**2)])
    assert Calibration().level(mean_square)[0] == pytest.approx(-3.0103, abs=1e-4)
    assert Calibration().peak_level(np.array([sine.max()]))[0] == pytest.approx(0, abs=1e-9)
    assert pytest.approx(-3.0103, abs=1e-4) == SINE


def test_a_known_pressure_has_its_level():
    """At −160 dB re 1 FS/µPa, 1 Pa rms makes 10^(−40/20) of full scale; 1 Pa is 120 dB re 1 µPa."""
    calibration = calibration_from_sensitivity("-160 dB re 1 FS/µPa")
    assert calibration.level(np.array([1e-4]))[0] == pytest.approx(120)
    assert calibration.peak_level(np.array([0.01 * sqrt(2)]))[0] == pytest.approx(123.0103)


def test_the_level_at_full_scale_is_that_of_the_level_chain():
    """The calculator that a builder uses, with its defaults, says the same of a full sample."""
    card = level_chain.LEVEL_CHAIN
    results = card.compute(**{item.name: _default(item) for item in card.inputs})
    text = f"{results['system_sensitivity']!r}"
    found = calibration_from_sensitivity(text).level_at_full_scale
    assert found == pytest.approx(results["full_scale_clip"], abs=1e-9)


def _default(item):
    from calculators import units

    if hasattr(item, "unit"):
        return units.parse(item.default, item.unit, name=item.name)
    return item.default


def test_a_tolerance_moves_the_level_the_other_way():
    calibration = calibration_from_sensitivity("-163 +2/-1 dB")
    assert (calibration.lowest, calibration.highest) == (161.0, 164.0)
    assert "161.0\u00a0dB to 164.0\u00a0dB" in calibration.words


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("163", "−260 to −40 dB re 1 FS/µPa"),
        ("-180 dB re 1 V/µPa", "is a sensitivity level"),
        ("-163 ± 5 %", "percentage"),
        ("loud", "is not a number"),
        ("", "nothing is given"),
    ],
)
def test_what_is_no_system_sensitivity_is_refused_by_name(text, named):
    with pytest.raises(InputError, match=named) as refused:
        calibration_from_sensitivity(text)
    assert refused.value.name == "--sensitivity"


def test_a_rig_gives_its_level_and_its_name():
    expected = Expected(name="Tarn", full_scale=Range(165.0, 163.5, 166.5))
    calibration = calibration_from_rig(expected)
    assert calibration.level_at_full_scale == 165.0
    assert "the rig “Tarn”" in calibration.words
    assert not calibration_from_rig(Expected(name="Bare")).absolute


def test_every_level_says_its_reference():
    """A level without a reference means nothing; docs/plan/levels.md."""
    bare, absolute = Calibration(), calibration_from_sensitivity("-163")
    assert bare.level_unit == "dB re full scale"
    assert "−3.01\u00a0dB" in bare.words
    assert absolute.density_unit == "dB re 1 µPa²/Hz"
    assert "3.01\u00a0dB below" in absolute.words


def test_a_level_is_written_with_a_real_minus_and_no_minus_nothing():
    assert level_text(-0.04) == "0.0"
    assert level_text(-12.34) == "−12.3"
    assert level_text(-0.4, 0) == "0"


def test_digital_silence_has_no_level_and_no_warning():
    assert Calibration().level(np.zeros(2)).tolist() == [-np.inf, -np.inf]
