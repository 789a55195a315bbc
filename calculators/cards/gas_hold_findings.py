"""What a hold log shows beside its rate: named in words, never smoothed over."""

from dataclasses import dataclass
from itertools import pairwise
from math import exp, log, sqrt
from statistics import median

from calculators.declare import Results
from calculators.formulas.gas_hold import ROUNDING, independent_readings
from calculators.formulas.hold_log import MOST_POINTS, Line, Series, line
from calculators.units import format_display

FEW_READINGS = 10
"""With fewer, nobody can tell from the log how its readings hang together."""

MOST_NAMED = 20
"""Row numbers that are listed; of more, the count is given."""

LARGE_CHANGE = 0.1
"""Part of the pressure difference that may go before a straight line is in doubt [astm-e2930]."""

LITTLE_DRIVE = 2000.0
"""Pressure difference, Pa, below which a leak has hardly anything to drive it."""

BEYOND_DOUBT = 4.0
"""Standard uncertainties that two rates must differ by to be called different."""

JUMP = 8.0
"""Times the usual scatter of the steps between readings that make a jump."""

BETTER_FIT = 0.7
"""Part of the line's squared misfit below which an exponential describes the log better."""

HECTOPASCAL = 100.0


@dataclass(frozen=True, kw_only=True)
class Hold:
    """A hold, fitted and worked out. Pressures are absolute, as they would be at 20 °C.

    ``step`` is that of the gauge where it counts in full, else zero.
    """

    found: Series
    fit: Line
    results: Results
    volume: float
    step: float
    outside: float
    barometer_missing: bool
    system: str

    @property
    def inward(self) -> bool:
        """Whether the air outside presses in: a leak then brings gas into the case."""
        return self.fit.mean < self.outside

    def rate(self, value: float) -> str:
        """A leak rate as the reader sees it."""
        return format_display(value, "µPa·m³/s", 3, self.system)

    def time(self, value: float) -> str:
        """A time as the reader sees it."""
        return format_display(value, "h", 2, self.system)


def findings(hold: Hold) -> list[str]:
    """Sentences on all that a reader must know before the rate is believed."""
    jump = _jump(hold)
    change = _large_change(hold)
    said = [
        _noise_only(hold),
        _wrong_way(hold),
        _no_temperature(hold),
        _no_barometer(hold),
        _little_drive(hold),
        _few(hold),
        _jump_said(hold, jump),
        change,
        None if jump is not None or change else _settling(hold),
        _hang_together(hold),
        _steps_said(hold),
        _averaged(hold),
        _skipped(hold),
        _not_going_on(hold),
    ]
    return [sentence for sentence in said if sentence]


def _noise_only(hold: Hold) -> str | None:
    low, high = hold.results["leak_rate_low"], hold.results["leak_rate_high"]
    if not low <= 0 <= high:
        return None
    return (
        "The interval holds zero: as far as a leak goes, this log is noise. It does not show a "
        f"leak, and it could not have shown one below {hold.rate(hold.results['smallest_leak'])}."
    )


def _wrong_way(hold: Hold) -> str | None:
    low, high = hold.results["leak_rate_low"], hold.results["leak_rate_high"]
    if (low > 0) if hold.inward else (high < 0):
        there = "out of" if hold.inward else "into"
        return (
            f"Gas seems to go {there} the case, against the pressure difference. No leak does "
            "that. Look for a temperature that the log does not show, a sensor that drifts, or "
            "plastics, foam or desiccant that take up or give off gas."
        )
    return None


def _no_temperature(hold: Hold) -> str | None:
    if hold.found.has_temperature:
        return None
    return (
        "The log has no temperature. One kelvin of warming or cooling over this test looks like "
        f"{hold.rate(abs(hold.results['kelvin_mimics']))} of leak. So it is never called tight: "
        "log the temperature of the case and hold again."
    )


def _no_barometer(hold: Hold) -> str | None:
    if not hold.barometer_missing:
        return None
    mimics = hold.volume * HECTOPASCAL / hold.fit.duration
    return (
        "The sensor counts from the air outside, and the log has no barometer. Each hectopascal "
        f"that the weather moves over this test looks like {hold.rate(mimics)} of leak."
    )


def _little_drive(hold: Hold) -> str | None:
    difference = abs(hold.fit.mean - hold.outside)
    if difference >= LITTLE_DRIVE:
        return None
    shown = format_display(difference, "kPa", 2, hold.system)
    return (
        f"Inside and outside differ by {shown} only: there is hardly anything to drive a leak, so "
        "this hold proves little. Is the kind of pressure chosen as the sensor gives it?"
    )


def _few(hold: Hold) -> str | None:
    count = len(hold.fit.times)
    if count >= FEW_READINGS:
        return None
    return (
        f"Only {count} readings: how they hang together cannot be judged, and the interval is as "
        f"good as a guess. Take {FEW_READINGS} or more."
    )


def _hang_together(hold: Hold) -> str | None:
    count, free = len(hold.fit.times), hold.results["independent_count"]
    if count < FEW_READINGS or free > count / 2:
        return None
    return (
        f"The readings lie above the line, and below it, for long stretches: {count} of them tell "
        f"as much as {free:.0f} independent ones. A temperature that lags or a line that is bent "
        "does that; the interval has been widened for it."
    )


def _steps_said(hold: Hold) -> str | None:
    if not hold.step:
        return None
    step = format_display(hold.step, "Pa", 2, hold.system)
    return (
        f"The readings scatter by less than half a step of the gauge ({step}), so that rounding "
        "does not average out: the steps count in full in the interval."
    )


def _averaged(hold: Hold) -> str | None:
    count = len(hold.found.kept)
    if count <= MOST_POINTS:
        return None
    return (
        f"The line goes through {MOST_POINTS} averages of {count // MOST_POINTS} readings or one "
        "more each: slow drifts show there that hide between single readings."
    )


def _skipped(hold: Hold) -> str | None:
    skipped = hold.found.log.skipped
    if not skipped:
        return None
    first = skipped[0]
    return (
        f"{_rows([row.number for row in skipped])} cannot be read and "
        f"{'is' if len(skipped) == 1 else 'are'} left out. Row {first.number}: {first.why}."
    )


def _not_going_on(hold: Hold) -> str | None:
    left_out = hold.found.left_out
    if not left_out:
        return None
    rows = _rows(left_out).replace("Row", "Reading")
    return (
        f"{rows}, counted among those that can be read, left out: the time stands still or runs "
        "back there. A clock that was set, or rows that stand twice, does that."
    )


def _rows(numbers: list[int]) -> str:
    if len(numbers) == 1:
        return f"Row {numbers[0]}"
    named = ", ".join(str(n) for n in numbers[:MOST_NAMED])
    more = len(numbers) - MOST_NAMED
    return f"Rows {named}" + (f" and {more} more" if more > 0 else "")


def _jump(hold: Hold) -> int | None:
    """The point after which the gas changes at a stroke, and stays changed."""
    values = hold.fit.values
    steps = [b - a for a, b in pairwise(values)]
    if len(steps) < FEW_READINGS:
        return None
    usual = median(steps)
    beyond = [abs(step - usual) for step in steps]
    at = max(range(2, len(steps) - 2), key=beyond.__getitem__)
    before, after = sum(values[at - 2 : at + 1]) / 3, sum(values[at + 1 : at + 4]) / 3
    stays = abs(after - before - 3 * usual)
    scatter = 1.4826 * median(beyond)  # the median of |x| to a standard deviation
    large = beyond[at] > max(JUMP * scatter, 4 * hold.step)
    alone = max(beyond[at - 1], beyond[at + 1]) < beyond[at] / 2
    return at if large and alone and stays > beyond[at] / 2 else None


def _jump_said(hold: Hold, at: int | None) -> str | None:
    if at is None:
        return None
    times, values = hold.fit.times, hold.fit.values
    size = format_display(abs(values[at + 1] - values[at]), "Pa", 2, hold.system)
    return (
        f"The pressure jumps by {size} about {hold.time(times[at + 1] - times[0])} after the "
        "start. A leak does not jump: a hose was moved, a lid clicked, the gauge was touched, or "
        "the case was warmed. Hold again, or give only the part before or after."
    )


def _large_change(hold: Hold) -> str | None:
    """More than a tenth of the driving pressure gone: an exponential rather than a line?"""
    fit = hold.fit
    start, end = fit.at(fit.times[0]) - hold.outside, fit.at(fit.times[-1]) - hold.outside
    if abs(start) < LITTLE_DRIVE or abs(end - start) <= LARGE_CHANGE * abs(start):
        return None
    said = (
        f"The pressure difference changed by {abs(end / start - 1) * 100:.0f} % during the test, "
        "and the leak with it: the rate is its mean. "
    )
    decay = _exponential(hold)
    if decay is None:
        return said + "A straight line describes these readings no worse than an exponential."
    constant, first = decay
    return (
        f"{said}An exponential with a time constant of {hold.time(constant)} describes these "
        f"readings better than the line; by it the rate was {hold.rate(first)} at the start. Use "
        "the first tenth of the change."
    )


def _exponential(hold: Hold) -> tuple[float, float] | None:
    """Time constant and first rate of a decay towards the outside, if it fits better."""
    fit = hold.fit
    away = [value - hold.outside for value in fit.values]
    if min(away) < 0 < max(away) or 0 in away:
        return None
    logs = line(fit.times, [log(abs(x)) for x in away])
    if logs.slope >= 0:
        return None
    sign = 1 if away[0] > 0 else -1
    left = sum((x - sign * exp(logs.at(t))) ** 2 for t, x in zip(fit.times, away, strict=True))
    if left > BETTER_FIT * fit.misfit**2:
        return None
    first = sign * exp(logs.at(fit.times[0]))
    return -1 / logs.slope, -hold.volume * first * logs.slope


def _settling(hold: Hold) -> str | None:
    """The first third against the rest: what is fast only at first is no leak."""
    fit = hold.fit
    cut = fit.times[0] + fit.duration / 3
    early = [(t, v) for t, v in zip(fit.times, fit.values, strict=True) if t <= cut]
    late = [(t, v) for t, v in zip(fit.times, fit.values, strict=True) if t > cut]
    if len(early) < 3 or len(late) < FEW_READINGS - 3:
        return None
    first, rest = line(*zip(*early, strict=True)), line(*zip(*late, strict=True))
    free = independent_readings(readings=len(late), lag_correlation=rest.lag_correlation)
    scatter = rest.misfit / sqrt(free - 2)
    doubt = BEYOND_DOUBT * scatter * sqrt(1 / first.time_swing**2 + 1 / rest.time_swing**2)
    doubt += ROUNDING * hold.step * (1 / first.duration + 1 / rest.duration)
    if abs(first.slope - rest.slope) <= doubt:
        return None
    rates = hold.rate(-hold.volume * first.slope), hold.rate(-hold.volume * rest.slope)
    if abs(first.slope) <= abs(rest.slope):
        return (
            f"The line is bent: {rates[0]} in the first third, {rates[1]} after. A leak keeps its "
            "rate; a temperature that the log does not show, or a seal that gives way, does not."
        )
    length = hold.time(fit.duration / 3)
    gas = (
        " In a vacuum, plastics, foam and desiccant also give off air and moisture, ever more "
        "slowly; a leak does not slow down."
        if hold.inward
        else ""
    )
    return (
        f"Settling: the first {length} are not a leak. The rate is {rates[0]} in the first third "
        f"and {rates[1]} after. Walls that bulge, seals that seat and air that still cools or "
        f"warms do that.{gas} Leave out {length} at the start, and hold longer."
    )
