"""A pasted comparison made small: the level differences by frequency, and their means over a band.

A row is left out where the background lies so close below the level that nothing can be taken off.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import inf

from calculators.errors import InputError
from calculators.formulas.comparison import taken_off
from calculators.logs import LogColumn, ReadLog, read_log

LEAST_ABOVE = 6.0
"""dB that a level must lie above its background to be used."""

COLUMNS = (
    LogColumn(name="frequency", label="Frequency", unit="Hz", low="0.1 Hz", high="1 MHz"),
    LogColumn(name="reference", label="Reference", unit="dB", low="-300 dB", high="300 dB"),
    LogColumn(name="unknown", label="Unknown", unit="dB", low="-300 dB", high="300 dB"),
    LogColumn(name="coherence", label="Coherence", unit="", low="0.01", high="1", required=False),
    LogColumn(
        name="background",
        label="Background",
        unit="dB",
        low="-400 dB",
        high="300 dB",
        required=False,
    ),
)


@dataclass(frozen=True)
class Reading:
    """One frequency: unknown over reference, what was taken off it, and 1/γ² − 1."""

    frequency: float
    difference: float
    correction: float
    incoherence: float


@dataclass(frozen=True)
class Comparison:
    """The usable rows by rising frequency, and the frequencies of those in the background."""

    log: ReadLog
    readings: tuple[Reading, ...]
    drowned: tuple[float, ...]

    @property
    def has_coherence(self) -> bool:
        """Whether the log says how alike the channels were."""
        return "coherence" in self.log.columns

    @property
    def has_background(self) -> bool:
        """Whether the log says how loud it was without the source."""
        return "background" in self.log.columns


@dataclass(frozen=True)
class Band:
    """Means over the readings of a band, dB; ``incoherence`` is 1/γ² − 1 of their mean."""

    readings: tuple[Reading, ...]
    difference: float
    correction: float
    incoherence: float
    spread: float


@lru_cache(maxsize=4)
def comparison(text: str) -> Comparison:
    """Read a log and reduce it, once for each text."""
    log = read_log(text, COLUMNS)
    columns = log.columns
    count = log.rows
    coherence = columns.get("coherence", (1.0,) * count)
    background = columns.get("background")
    readings, drowned = [], []
    for row, frequency in enumerate(columns["frequency"]):
        unknown = columns["unknown"][row]
        taken = 0.0
        if background is not None:
            above = unknown - background[row]
            if above < LEAST_ABOVE:
                drowned.append(frequency)
                continue
            taken = taken_off(above)
        difference = unknown - taken - columns["reference"][row]
        readings.append(Reading(frequency, difference, taken, 1 / coherence[row] - 1))
    readings.sort(key=lambda reading: reading.frequency)
    return Comparison(log, tuple(readings), tuple(sorted(drowned)))


@lru_cache(maxsize=64)
def band(text: str, low: float = 0.0, high: float = inf) -> Band:
    """Means over the readings from ``low`` to ``high``, Hz; without them over all.

    The random errors of the rows do not depend on each other, so that of their mean is smaller;
    what was taken off for the background may be wrong in all of them alike, and stays.

    Raises:
        InputError: Naming the band, if it holds no usable row.
    """
    found = comparison(text)
    inside = tuple(r for r in found.readings if low <= r.frequency <= high)
    if not inside:
        raise _empty(found, low, high)
    count = len(inside)
    differences = [r.difference for r in inside]
    return Band(
        readings=inside,
        difference=sum(differences) / count,
        correction=sum(r.correction for r in inside) / count,
        incoherence=sum(r.incoherence for r in inside) / count / count,
        spread=max(differences) - min(differences),
    )


def _empty(found: Comparison, low: float, high: float) -> InputError:
    if not found.readings:
        return InputError(
            "log",
            f"Levels by frequency: every row lies less than {LEAST_ABOVE:g} dB above its "
            "background. Make the source louder, or go nearer.",
        )
    ends = found.readings[0].frequency, found.readings[-1].frequency
    return InputError(
        "band_high",
        f"Band: no usable row of the log lies from {low:g} Hz to {high:g} Hz. "
        f"Usable rows go from {ends[0]:g} Hz to {ends[1]:g} Hz.",
    )
