"""Levels of whole arrays; of single numbers ``math.log10`` is plain enough."""

import numpy as np

from calculators.recording.arrays import Floats


def power_level(power: Floats) -> Floats:
    """Levels of powers, mean squares or widths; dB, −inf of zero, NaN where none was measured."""
    with np.errstate(divide="ignore"):
        levels: Floats = 10 * np.log10(power)
        return levels
