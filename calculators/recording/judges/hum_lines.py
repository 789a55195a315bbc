"""Lines of the mains in a spectrum: which mains, which multiples, how far above the noise."""

from dataclasses import dataclass

import numpy as np

from calculators.recording.arrays import Floats
from calculators.recording.judges.spectral import FARTHEST, LogSpectrum, excess

MAINS = (50.0, 60.0)

MULTIPLES = 8
"""Multiples that are looked at: beyond, animals and pumps have lines of their own."""

WANDER = 0.2
"""Hz by which the mains may be off: the range of normal operation of the large European grid
[grid-frequency]; those of 60 Hz keep closer (common practice, no source)."""

PLACED = 0.3
"""Part of the spacing by which the place of a line among those of the spectrum may be misjudged
(tried on made hum)."""

FALSE_ALARM = 1e-4
"""Probability that noise alone makes a line in a whole recording, both mains and all channels, at
the most: the skew of the logarithms and the neighbours' median are both taken on the safe side, and
none was seen in 45,000 made pieces of steady noise of 5 s and 10 s."""

LEAST = 3.0
"""dB above the neighbours that a line must stand: less does not change a level that matters
(common practice, no source)."""

NARROW = 0.5
"""Part of a line's excess that it must still have over its surroundings four lines away: a line of
the mains is as narrow as the window, the hump of a strumming line is not."""

MACHINE = 0.6
"""Part of the other multiples of a lower pitch that must stand, for a line of the mains to be one
of theirs. Without such a row chance makes one of twenty of them."""

MACHINE_LINES = 10
"""Multiples of that pitch that are looked at."""

LOWEST_PITCH = 6.0
"""Hz, of a machine: 360 turns a minute."""

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
            frequency = place_of(spectrum, above, best)
            room = WANDER * multiple + PLACED * spectrum.spacing
            if abs(frequency - mains * multiple) <= room:
                lines.append(MainsLine(multiple, frequency, float(max(powers[best], above[best]))))
    return Mains(mains, tuple(lines))


def _near(spectrum: LogSpectrum, mains: float, multiple: int) -> np.ndarray:
    """Lines of the spectrum in which this multiple may lie."""
    room = spectrum.spacing / 2 + WANDER * multiple
    distance = np.abs(spectrum.frequencies - mains * multiple)
    return np.flatnonzero(distance <= room)


def place_of(spectrum: LogSpectrum, above: Floats, at: int) -> float:
    """Frequency of a line between those of the spectrum, by the larger one of its neighbours; Hz.

    Under a Hann window a steady line at a distance d, in spacings, has amplitudes there in the
    ratio a = (1 + d) / (2 − d), so that d = (2a − 1) / (1 + a); the noise is taken off first.
    """
    power = np.maximum(10 ** (np.nan_to_num(above[at - 1 : at + 2]) / 10) - 1, 0.0)
    if power[1] <= 0:
        return float(spectrum.frequencies[at])
    side = 1 if power[2] >= power[0] else -1
    ratio = float(np.sqrt(power[1 + side] / power[1]))
    apart = min(max((2 * ratio - 1) / (1 + ratio), 0.0), 0.5)
    return float(spectrum.frequencies[at] + side * apart * spectrum.spacing)


def pitch_of_machine(spectrum: LogSpectrum, mains: Mains) -> float | None:
    """The pitch, Hz, of a row of lines to which all of these belong; None if there is none.

    A shaft of 1000 turns a minute has a line at 50 Hz, too; but it has others beside, at multiples
    that the mains do not have.
    """
    above = excess(spectrum.levels)
    stands = np.nan_to_num(above, nan=-np.inf) >= max(2.0, spectrum.threshold(0.01, 1))
    strongest = mains.strongest.frequency
    for part in range(2, int(strongest / LOWEST_PITCH) + 1):
        pitch = strongest / part
        if _all_belong(spectrum, mains, pitch) and _row_stands(spectrum, stands, mains, pitch):
            return pitch
    return None


def _all_belong(spectrum: LogSpectrum, mains: Mains, pitch: float) -> bool:
    return all(
        abs(line.frequency - pitch * round(line.frequency / pitch)) <= spectrum.spacing
        for line in mains.lines
    )


def _row_stands(spectrum: LogSpectrum, stands: np.ndarray, mains: Mains, pitch: float) -> bool:
    """Whether most multiples that are none of these mains stand above the noise."""
    lines = pitch * np.arange(1, MACHINE_LINES + 1)
    apart = np.abs(lines - mains.frequency * np.rint(lines / mains.frequency))
    at = np.rint(lines / spectrum.spacing).astype(int)
    own = (apart > 2 * spectrum.spacing) & (at > FARTHEST) & (at < stands.size - 1)
    if own.sum() < MACHINE_LINES / 2:
        return False
    return bool((stands[at[own]] | stands[at[own] - 1] | stands[at[own] + 1]).mean() >= MACHINE)


def _is_line(spectrum: LogSpectrum, above: Floats, powers: Floats, at: int, least: float) -> bool:
    if above[at] < least or above[at] < STEADY * powers[at]:
        return False
    # The skirt of a line beside it is none.
    if spectrum.levels[at] < spectrum.levels[at - 1 : at + 2].max():
        return False
    around = spectrum.levels[[at - 4, at - 3, at + 3, at + 4]].max()
    return bool(spectrum.levels[at] - around >= NARROW * above[at])
