"""A hold log made small: readings in order, long logs as averages, a straight line through them.

A long log is cut into blocks of equal count and each block is averaged. That loses next to nothing
of a straight line, and shows slow drifts that hide between single noisy readings.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise
from math import sqrt

from calculators.errors import InputError
from calculators.formulas.constants import ZERO_CELSIUS
from calculators.formulas.gas_hold import REFERENCE
from calculators.logs import LogColumn, ReadLog, read_log

MOST_POINTS = 60
"""Points that a line is fitted to; a longer log is averaged into so many blocks."""

FEWEST_POINTS = 3

COLUMNS = (
    LogColumn(name="time", label="Time", unit="s", low="0 s", high="1000 d", clock=True),
    LogColumn(name="pressure", label="Pressure", unit="kPa", low="-105 kPa", high="1000 kPa"),
    LogColumn(
        name="temperature",
        label="Temperature",
        unit="°C",
        low="-40 °C",
        high="100 °C",
        required=False,
    ),
    LogColumn(
        name="barometer",
        label="Barometer",
        unit="kPa",
        low="30 kPa",
        high="120 kPa",
        required=False,
    ),
)


@dataclass(frozen=True)
class Series:
    """The readings whose time goes on, in blocks; ``over`` holds means of 1/T or of 1.

    ``inside`` is the mean of p/T of each block, or of p where there is no temperature; ``outside``
    the same of the barometer, empty where there is none. ``lowest`` is the lowest reading of the
    gauge, ``noise`` their scatter from one to the next.
    """

    log: ReadLog
    kept: tuple[int, ...]
    times: tuple[float, ...]
    inside: tuple[float, ...]
    outside: tuple[float, ...]
    over: tuple[float, ...]
    lowest: float
    noise: float

    @property
    def has_temperature(self) -> bool:
        """Whether the log says how warm the gas was."""
        return "temperature" in self.log.columns

    @property
    def left_out(self) -> list[int]:
        """Readings, counted from one, whose time does not go on from those before."""
        kept = set(self.kept)
        return [row + 1 for row in range(self.log.rows) if row not in kept]


@dataclass(frozen=True)
class Line:
    """A straight line through points: swings, correlation, what is left over."""

    times: tuple[float, ...]
    values: tuple[float, ...]
    mean_time: float
    mean: float
    time_swing: float
    swing: float
    correlation: float
    misfit: float
    lag_correlation: float

    @property
    def slope(self) -> float:
        """Rise a second."""
        return self.correlation * self.swing / self.time_swing

    @property
    def duration(self) -> float:
        """From first to last point, s."""
        return self.times[-1] - self.times[0]

    def scaled(self, factor: float) -> "Line":
        """The line through the same points, every value times a factor."""
        return replace(
            self,
            values=tuple(factor * value for value in self.values),
            mean=factor * self.mean,
            swing=factor * self.swing,
            misfit=factor * self.misfit,
        )

    def at(self, time: float) -> float:
        """The line's value at a time."""
        return self.mean + self.slope * (time - self.mean_time)


@lru_cache(maxsize=4)
def series(text: str) -> Series:
    """Read a log and reduce it, once for each text.

    Raises:
        InputError: Naming the log, if fewer than three readings go on in time.
    """
    log = read_log(text, COLUMNS)
    kept = _going_on(log.columns["time"])
    if len(kept) < FEWEST_POINTS:
        raise InputError(
            "log",
            f"Log: the time goes on in {len(kept)} of {log.rows} readings. "
            f"Give at least {FEWEST_POINTS}, each later than the one before.",
        )
    times, pressures = _picked(log.columns["time"], kept), _picked(log.columns["pressure"], kept)
    warm = [1 / (t + ZERO_CELSIUS) for t in _picked(log.columns.get("temperature", ()), kept)] or [
        1.0
    ] * len(kept)
    barometer = _picked(log.columns.get("barometer", ()), kept)
    return Series(
        log=log,
        kept=tuple(kept),
        times=_blocks(times),
        inside=_blocks([p * w for p, w in zip(pressures, warm, strict=True)]),
        outside=_blocks([p * w for p, w in zip(barometer, warm, strict=False)]),
        over=_blocks(warm),
        lowest=min(pressures),
        noise=_noise(pressures),
    )


def amounts(
    found: Series, *, scale: float, outside: float | None, temperature: float
) -> tuple[float, ...]:
    """Gas in each point as the absolute pressure it would have at 20 °C, Pa.

    Args:
        found: The reduced log.
        scale: True pressure over the gauge's.
        outside: Pressure that the gauge counts from, where the log has no barometer; None for a
            sensor of absolute pressure.
        temperature: Of the gas, °C, where the log has none.
    """
    factor = REFERENCE / (1.0 if found.has_temperature else temperature + ZERO_CELSIUS)
    if outside is None:
        return tuple(factor * scale * a for a in found.inside)
    added = found.outside or tuple(outside * c for c in found.over)
    return tuple(factor * (scale * a + b) for a, b in zip(found.inside, added, strict=True))


def line(times: Sequence[float], values: Sequence[float]) -> Line:
    """Least squares through three or more points at different times."""
    count = len(times)
    mean_time, mean = sum(times) / count, sum(values) / count
    ts, vs = [t - mean_time for t in times], [v - mean for v in values]
    time_square, square = sum(t * t for t in ts), sum(v * v for v in vs)
    slope = sum(t * v for t, v in zip(ts, vs, strict=True)) / time_square
    rest = [v - slope * t for t, v in zip(ts, vs, strict=True)]
    left = sum(e * e for e in rest)
    # What is left of equal readings, or of a perfect line, is the rounding of floats, not scatter.
    if left <= (1e-13 * abs(mean)) ** 2 * count:
        left, lag = 0.0, 0.0
    else:
        lag = sum(a * b for a, b in pairwise(rest)) / left
    correlation = slope * sqrt(time_square / square) if square else 0.0
    return Line(
        times=tuple(times),
        values=tuple(values),
        mean_time=mean_time,
        mean=mean,
        time_swing=sqrt(time_square),
        swing=sqrt(square),
        correlation=max(-1.0, min(1.0, correlation)),
        misfit=sqrt(left),
        lag_correlation=lag,
    )


def _going_on(times: Sequence[float]) -> list[int]:
    """Places of the readings that are later than all before."""
    kept: list[int] = []
    latest = float("-inf")
    for place, time in enumerate(times):
        if time > latest:
            kept.append(place)
            latest = time
    return kept


def _picked(column: Sequence[float], kept: list[int]) -> list[float]:
    return [column[place] for place in kept] if column else []


def _blocks(values: Sequence[float]) -> tuple[float, ...]:
    """Averages of blocks whose counts differ by one at most; a short log stays as it is."""
    count = len(values)
    if count <= MOST_POINTS:
        return tuple(values)
    cuts = [part * count // MOST_POINTS for part in range(MOST_POINTS + 1)]
    return tuple(sum(values[a:b]) / (b - a) for a, b in pairwise(cuts))


def _noise(pressures: Sequence[float]) -> float:
    """Scatter from one reading to the next, Pa: what does not come from a slow change."""
    steps = [b - a for a, b in pairwise(pressures)]
    mean = sum(steps) / len(steps)
    return sqrt(sum((s - mean) ** 2 for s in steps) / len(steps) / 2)
