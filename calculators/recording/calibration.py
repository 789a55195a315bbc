"""From parts of full scale to sound pressure: what 0 dB is, and the words that say so.

A recording counts in parts of its largest sample. Squares of those are levels *re full scale* until
somebody says what a micropascal makes in the file, the system sensitivity of docs/plan/levels.md.
"""

from dataclasses import dataclass
from math import log10

import numpy as np

from calculators import entries, units
from calculators.errors import InputError
from calculators.formulas.levels import sound_level
from calculators.recording.arrays import Floats
from calculators.recording.decibels import power_level
from calculators.recording.expected import Expected

SYSTEM_UNIT = "dB re 1 FS/µPa"
LOWEST, HIGHEST = -260.0, -40.0
"""Of a system sensitivity: beyond lies no hydrophone with a recorder, but a sign or a reference
that is wrong, such as 163 for −163, or re 1 V/Pa."""

SINE = 10 * log10(0.5)
"""Level of a sine whose peaks just reach full scale, re the mean square of full scale."""

MINUS = "\u2212"


@dataclass(frozen=True)
class Calibration:
    """What a sample at full scale stands for, and where that is from.

    Args:
        level_at_full_scale: Zero-to-peak sound pressure level of such a sample, dB re 1 µPa; it is
            also the sound pressure level of a signal that stays there. None: not known, and every
            level is one re full scale.
        lowest, highest: Of the same, as far as its tolerance allows; both None without one.
        origin: Where it is from, as in "the rig “Tarn”": part of a sentence.
    """

    level_at_full_scale: float | None = None
    lowest: float | None = None
    highest: float | None = None
    origin: str = ""

    @property
    def absolute(self) -> bool:
        """Whether levels are levels of sound pressure."""
        return self.level_at_full_scale is not None

    @property
    def shift(self) -> float:
        """dB to add to a level re full scale."""
        return self.level_at_full_scale or 0.0

    @property
    def level_unit(self) -> str:
        """Unit of a level of a mean square or of a peak."""
        return "dB re 1 µPa" if self.absolute else "dB re full scale"

    @property
    def density_unit(self) -> str:
        """Unit of a spectral density level."""
        return "dB re 1 µPa²/Hz" if self.absolute else "dB re full scale²/Hz"

    @property
    def level_name(self) -> str:
        """What a level of a mean square is called."""
        return "Sound pressure level" if self.absolute else "Level of the mean square"

    @property
    def density_name(self) -> str:
        """What a spectral density level is called."""
        quantity = (
            "Mean-square sound pressure spectral density"
            if self.absolute
            else ("Mean-square spectral density")
        )
        return f"{quantity} level"

    @property
    def peak_name(self) -> str:
        """What the level of the largest sample is called."""
        return "Zero-to-peak sound pressure level" if self.absolute else "Level of the peak"

    @property
    def words(self) -> str:
        """What 0 dB is, in a sentence that stands with every picture and table."""
        if self.level_at_full_scale is None:
            return (
                "Levels are re full scale, because no sensitivity was given: they compare times "
                "and channels of this recording, and say nothing of the sound pressure. "
                f"{units.with_unit('0', 'dB')} is the mean square of a signal that stays at full "
                f"scale; a sine that just reaches full scale has {decibels(SINE, 2)}."
            )
        return (
            f"Levels are of sound pressure, re 1 µPa, by {self.origin or 'a sensitivity given'}: "
            f"a sample at full scale is {decibels(self.level_at_full_scale)} re 1 µPa, "
            f"zero-to-peak{self._range_words()}; a sine that just reaches full scale has a sound "
            f"pressure level {decibels(-SINE, 2)} below that."
        )

    def _range_words(self) -> str:
        if self.lowest is None or self.highest is None:
            return ", with no tolerance stated"
        low, high = decibels(self.lowest), decibels(self.highest)
        return f" ({low} to {high}; every level below moves with it)"

    def level(self, mean_square: Floats) -> Floats:
        """Levels of mean squares, or of spectral densities; −inf where there is nothing at all.

        Args:
            mean_square: In full scale², or full scale²/Hz; any shape, none negative.

        Returns:
            dB in ``level_unit`` or ``density_unit``, same shape.
        """
        return power_level(mean_square) + self.shift

    def peak_level(self, amplitude: Floats) -> Floats:
        """Levels of the largest absolute samples, in full scale; dB in ``level_unit``."""
        return self.level(np.square(amplitude))


def level_text(level: float, places: int = 1) -> str:
    """A level as a reader sees it: fixed places, and a minus that is one.

    >>> level_text(-3.0103, 2)
    '−3.01'
    """
    text = f"{round(level, places) + 0.0:.{places}f}"  # adding zero takes the sign off −0
    return text.replace("-", MINUS)


def decibels(level: float, places: int = 1) -> str:
    """The same with its unit.

    >>> decibels(-3.01).split()
    ['−3.0', 'dB']
    """
    return units.with_unit(level_text(level, places), "dB")


def full_scale_level(system_sensitivity: float) -> float:
    """Zero-to-peak sound pressure level of a sample at full scale, dB re 1 µPa.

    In the file full scale is the unit, as the volt is elsewhere in the chain.

    >>> full_scale_level(-163.0)
    163.0
    """
    return float(sound_level(voltage=1.0, sensitivity=system_sensitivity))


def calibration_from_sensitivity(text: str, name: str = "--sensitivity") -> Calibration:
    """The calibration that a system sensitivity gives.

    Args:
        text: As in "-163 dB re 1 FS/µPa ± 1.5 dB"; a bare number is in that unit.
        name: What to call the input in an error.

    Raises:
        InputError: If the text is no system sensitivity, or one that no chain has.

    >>> calibration_from_sensitivity("-163 ± 1.5").lowest
    161.5
    """
    label = "System sensitivity"
    value_text, tolerance_text = entries.split_tolerance(text)
    value = units.parse(value_text, SYSTEM_UNIT, name=name, label=label)
    _require_possible(value, name)
    ends = units.parse_tolerance(tolerance_text, value, SYSTEM_UNIT, name=name, label=label)
    low, high = ends or (None, None)
    return Calibration(
        full_scale_level(value),
        None if high is None else full_scale_level(high),
        None if low is None else full_scale_level(low),
        f"a system sensitivity of {units.with_unit(level_text(value), SYSTEM_UNIT)}, as given",
    )


def calibration_from_rig(expected: Expected) -> Calibration:
    """The calibration that a rig gives; one re full scale where it does not state enough."""
    full_scale = expected.full_scale
    if full_scale is None:
        return Calibration()
    exact = full_scale.low == full_scale.high
    return Calibration(
        full_scale.value,
        None if exact else full_scale.low,
        None if exact else full_scale.high,
        f"the rig “{expected.name}”",
    )


def _require_possible(value: float, name: str) -> None:
    if not LOWEST <= value <= HIGHEST:
        raise InputError(
            name,
            f"System sensitivity: {level_text(value)} {SYSTEM_UNIT} is not possible; give "
            f"{level_text(LOWEST, 0)} to {level_text(HIGHEST, 0)} {SYSTEM_UNIT}. It is that of "
            "hydrophone, amplifier and recorder together, to full scale of the file: “From "
            "pressure to full scale” works it out.",
        )
