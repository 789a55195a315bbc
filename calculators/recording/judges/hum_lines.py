"""Lines of the mains in a spectrum: which mains, which multiples, how far above the noise."""

from dataclasses import dataclass

import numpy as np

from calculators.recording.judges.common import Floats
from calculators.recording.judges.spectral import LogSpectrum, excess

MAINS = (50.0, 60.0)

MULTIPLES = 8
"""Multiples that are looked at: beyond, animals and pumps have lines of their own."""

WANDER = 0.15
"""Hz by which the mains may be off: large grids stay within 0.2 Hz but for minutes a year (common
practice, no source), and their mean over an hour is closer than this."""

FALSE_ALARM = 1e-4
"""Probability that noise alone makes a line in a whole recording, both mains and all channels."""

LEAST = 3.0
"""dB above the neighbours that a line must stand: less does not change a level that matters
(common practice, no source)."""

NARROW = 0.5
"""Part of a line's excess that it must still have over its surroundings four lines away: a line of
the mains is as narrow as the window, the hump of a strumming line is not."""

STEADY = 0.6
"""The mean of logarithms must have this part of the excess that the mean of powers has. Hum is
always there; a boat, which is loud for a while, has little of it in the mean of logarithms."""


@dataclass(frozen=True)
class MainsLine:
    """One multiple that was found: at which frequency, Hz, how far above the noise, dB."""

    multiple: int
    frequency: float
    above: float


@dataclass(frozen=True)
class Mains:
    """Lines of one mains in one channel."""

    frequency: float
    lines: tuple[MainsLine, ...]

    @property
    def strongest(self) -> MainsLine:
        """The line that stands highest above the noise."""
        return max(self.lines, key=lambda line: line.above)


def mains_lines(spectrum: LogSpectrum, mean_levels: Floats, channels: int) -> list[Mains]:
    """What of both mains stands in a spectrum.

    Args:
        spectrum: Mean of logarithms.
        mean_levels: Level of the mean of powers, dB, at the same frequencies.
        channels: How many channels are looked at, for the false alarms of all of them.
    """
    found = [_lines(spectrum, mean_levels, mains, channels) for mains in MAINS]
    # 300 Hz and 600 Hz belong to both: they count only beside a line that does not.
    return [m for m in found if any(_own(line, m.frequency) for line in m.lines)]


def _own(line: MainsLine, mains: float) -> bool:
    """Whether a line tells 50 Hz from 60 Hz, and is among the first that any hum has."""
    other = next(m for m in MAINS if m != mains)
    return bool(line.multiple * mains % other) and line.multiple <= 3


def _lines(spectrum: LogSpectrum, mean_levels: Floats, mains: float, channels: int) -> Mains:
    above, powers = excess(spectrum.levels), excess(mean_levels)
    candidates = [_near(spectrum, mains, multiple) for multiple in range(1, MULTIPLES + 1)]
    trials = channels * len(MAINS) * sum(c.size for c in candidates)
    least = max(LEAST, spectrum.threshold(FALSE_ALARM, max(trials, 1)))
    lines = []
    for multiple, at in enumerate(candidates, 1):
        if not at.size or np.isnan(above[at]).all():
            continue
        best = int(at[np.nanargmax(above[at])])
        if _is_line(spectrum, above, powers, best, least):
            frequency = float(spectrum.frequencies[best])
            lines.append(MainsLine(multiple, frequency, float(max(powers[best], above[best]))))
    return Mains(mains, tuple(lines))


def _near(spectrum: LogSpectrum, mains: float, multiple: int) -> np.ndarray:
    """Lines of the spectrum in which this multiple may lie."""
    room = spectrum.spacing / 2 + WANDER * multiple
    distance = np.abs(spectrum.frequencies - mains * multiple)
    return np.flatnonzero(distance <= room)


def _is_line(spectrum: LogSpectrum, above: Floats, powers: Floats, at: int, least: float) -> bool:
    if above[at] < least or above[at] < STEADY * powers[at]:
        return False
    around = spectrum.levels[[at - 4, at - 3, at + 3, at + 4]].max()
    return bool(spectrum.levels[at] - around >= NARROW * above[at])
