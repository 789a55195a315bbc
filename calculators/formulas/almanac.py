"""The sun: how high it stands, and when it rises, sets and leaves twilight.

An instant is seconds since 1970-01-01 00:00 UTC. A day begins at a local midnight, given as such an
instant, and is 24 h long. Positions follow Meeus's series of low accuracy, 0.01°.
"""

from collections.abc import Callable, Sequence
from functools import lru_cache
from math import asin, atan2, cos, degrees, pi, radians, sin
from typing import Literal

from calculators.calendar_texts import DAY
from calculators.errors import InputError
from calculators.formula import formula, require_between
from calculators.quantities import Degree, Second

HORIZON: Degree = -0.833
"""Altitude of the sun's centre as its upper edge touches a level horizon: 34′ of refraction, 16′ of
its own radius."""

EARLIEST: Second = -20 * 365.25 * DAY
LATEST: Second = 130 * 365.25 * DAY
"""1950 to 2100, which deployments do not leave."""

Way = Literal["rises", "sets"]
Height = Callable[[float], float]
"""Altitude above a limit in degrees, by seconds after the day's midnight."""

Event = tuple[float, bool]
"""Seconds after midnight, and whether it rises."""

Vector = tuple[float, float, float]

J2000 = 10_957.5
"""Days from 1970-01-01 to 2000-01-01 12:00."""

DELTA_T = 69.0
"""Seconds that uniform time is ahead of UTC, 2016 to 2026; in 1975, 46. The moon moves 0.01° in a
minute of it."""

STEP = 7200.0
"""An altitude is sampled every two hours; between samples it is taken as a parabola."""

CLOSE = 1e-12
"""Degrees from the limit at which a crossing is found."""


def centuries(midnight: float, offset: float = 0.0) -> float:
    """Julian centuries of uniform time since 2000-01-01 12:00."""
    return (midnight / DAY - J2000 + (offset + DELTA_T) / DAY) / 36525


def node(t: float) -> float:
    """Longitude of the moon's node, radians: it drives the wobble of the earth's axis."""
    return radians(125.04 - 1934.136 * t)


def obliquity(t: float) -> float:
    """Tilt of the earth's axis, radians."""
    return radians(23.439291 - 0.0130042 * t + 0.00256 * cos(node(t)))


def sun_longitude(t: float) -> tuple[float, float]:
    """Apparent longitude of the sun in degrees, and its distance in astronomical units."""
    mean = 280.46646 + t * (36000.76983 + t * 0.0003032)
    anomaly = radians((357.52911 + t * (35999.05029 - t * 0.0001537)) % 360)
    eccentricity = 0.016708634 - t * 0.000042037
    centre = (
        (1.914602 - t * (0.004817 + t * 0.000014)) * sin(anomaly)
        + (0.019993 - 0.000101 * t) * sin(2 * anomaly)
        + 0.000289 * sin(3 * anomaly)
    )
    distance = (
        1.000001018 * (1 - eccentricity**2) / (1 + eccentricity * cos(anomaly + radians(centre)))
    )
    return (mean + centre - 0.00569 - 0.00478 * sin(node(t))) % 360, distance


def equatorial(longitude: float, latitude: float, tilt: float) -> Vector:
    """A direction by the equator, from longitude and latitude by the sun's path."""
    x, y, z = (
        cos(latitude) * cos(longitude),
        cos(latitude) * sin(longitude),
        sin(latitude),
    )
    return x, y * cos(tilt) - z * sin(tilt), y * sin(tilt) + z * cos(tilt)


def sidereal(midnight: float, longitude: float) -> Callable[[float], float]:
    """Angle of the sky over a place, radians, by seconds after midnight.

    The angle at midnight is reduced first, so that no digit of the turning is lost.
    """
    days = midnight / DAY - J2000
    t = days / 36525
    wobble = -0.00478 * sin(node(t)) * cos(obliquity(t))
    start = (280.46061837 + 360.98564736629 * days + 0.000387933 * t * t + wobble) % 360
    return lambda offset: radians(start + longitude + 360.98564736629 * (offset / DAY))


def over_place(latitude: float) -> Callable[[Sequence[float], float], float]:
    """Altitude in degrees of a direction, the sky being turned so far in radians."""
    north, up = cos(radians(latitude)), sin(radians(latitude))

    def altitude(direction: Sequence[float], turned: float) -> float:
        x, y, z = direction[:3]
        sine = north * (x * cos(turned) + y * sin(turned)) + up * z
        return degrees(asin(max(-1.0, min(1.0, sine))))  # rounding alone leads beyond ±1

    return altitude


def through_day(
    at: Callable[[float], Sequence[float]], parts: int
) -> Callable[[float], list[float]]:
    """A smooth course through the day as a polynomial, by Newton's divided differences.

    A series of many terms is then summed ``parts`` + 1 times a day and not at every look.
    """
    nodes = [n * DAY / parts for n in range(parts + 1)]
    rows = [list(at(node)) for node in nodes]
    for order in range(1, parts + 1):
        for n in range(parts, order - 1, -1):
            width = nodes[n] - nodes[n - order]
            rows[n] = [(b - a) / width for a, b in zip(rows[n - 1], rows[n], strict=True)]
    steps = list(zip(rows, nodes, strict=True))[-2::-1]

    def course(offset: float) -> list[float]:
        values = rows[-1]
        for row, start in steps:
            x = offset - start
            values = [a * x + b for a, b in zip(values, row, strict=True)]
        return values

    return course


def sun_direction(midnight: float) -> Callable[[float], Vector]:
    """Where the sun stands, by seconds after midnight."""

    def direction(offset: float) -> Vector:
        t = centuries(midnight, offset)
        return equatorial(radians(sun_longitude(t)[0]), 0.0, obliquity(t))

    return direction


def sun_height(midnight: float, latitude: float, longitude: float, limit: float) -> Height:
    """The sun's altitude above ``limit`` through a day; the parabola errs by 0.1″."""
    turned, altitude = sidereal(midnight, longitude), over_place(latitude)
    course = through_day(sun_direction(midnight), 2)
    return lambda offset: altitude(course(offset), turned(offset)) - limit


def solar_noon(midnight: float, longitude: float) -> float:
    """Seconds after midnight at which the sun passes the meridian, to a few seconds."""
    x, y, _ = sun_direction(midnight)(DAY / 2)
    missing = atan2(y, x) - sidereal(midnight, longitude)(0.0)
    return missing % (2 * pi) / radians(360.98564736629) * DAY


def crossings(height: Height) -> tuple[Event, ...]:
    """Every passage of an altitude through zero within 24 h, in order.

    A dip or a peak between two samples is looked for at its vertex, so that the sun that just sets
    near midnight is not missed.
    """
    count = round(DAY / STEP)
    samples = [height(n * STEP) for n in range(-1, count + 2)]
    found: list[Event] = []
    for n in range(count + 1):
        before, here, after = samples[n : n + 3]
        vertex = _vertex(before, here, after)
        if vertex is not None:
            at = (n + vertex) * STEP
            peak = height(at)
            if (peak < 0) != (here < 0):
                step = -STEP if vertex < 0 else STEP
                ends = sorted(((n * STEP, here), (n * STEP + step, after if step > 0 else before)))
                found += [_root(height, ends[0], (at, peak)), _root(height, (at, peak), ends[1])]
        if n < count and (here < 0) != (after < 0):
            found.append(_root(height, (n * STEP, here), ((n + 1) * STEP, after)))
    return tuple(sorted(event for event in found if 0 <= event[0] < DAY))


def _vertex(before: float, here: float, after: float) -> float | None:
    """Where the parabola turns, in steps from ``here``, if it turns there towards zero."""
    same = (before < 0) == (here < 0) == (after < 0)
    if not same or abs(here) > abs(before) or abs(here) >= abs(after):
        return None
    return (before - after) / (2 * (before - 2 * here + after))


def _root(height: Height, low: tuple[float, float], high: tuple[float, float]) -> Event:
    """The crossing between two instants, by false position with the stale end halved."""
    (a, fa), (b, fb) = low, high
    rises, side, x = fb >= 0, 0, b
    for _ in range(80):
        x = (a * fb - b * fa) / (fb - fa)
        fx = height(x)
        if abs(fx) < CLOSE:
            break
        if (fx < 0) == (fa < 0):
            a, fa = x, fx
            fb = fb / 2 if side == -1 else fb
            side = -1
        else:
            b, fb = x, fx
            fa = fa / 2 if side == 1 else fa
            side = 1
    return x, rises


@lru_cache(maxsize=4096)
def sun_crossings(
    midnight: float, latitude: float, longitude: float, limit: float
) -> tuple[Event, ...]:
    """The sun's passages through an altitude within 24 h from a midnight."""
    return crossings(sun_height(midnight, latitude, longitude, limit))


@lru_cache(maxsize=4096)
def sun_starts_above(midnight: float, latitude: float, longitude: float, limit: float) -> bool:
    """Whether the sun stands above an altitude at this midnight."""
    return sun_height(midnight, latitude, longitude, limit)(0.0) >= 0


def first_event(events: tuple[Event, ...], way: str, name: str, body: str) -> float:
    """The first rising or setting, or a refusal that says there is none."""
    if way not in ("rises", "sets"):
        raise InputError("way", f"way must be “rises” or “sets”, given {way!r}")
    for at, rises in events:
        if rises == (way == "rises"):
            return at
    verb = "rise" if way == "rises" else "set"
    raise InputError(name, f"{body} does not {verb} on this day at this place")


def require_place(instant: float, latitude: float, longitude: float, name: str) -> None:
    """Refuse a place that is none, and a time the series are not for."""
    require_between(EARLIEST, LATEST, **{name: instant})
    require_between(-90, 90, latitude=latitude)
    require_between(-180, 180, longitude=longitude)


@formula(
    title="Altitude of the sun",
    symbol="h",
    symbols={"instant": "t", "latitude": "φ", "longitude": "λ_E"},
    tex=r"\sin h = \sin\varphi\,\sin\delta(t) + \cos\varphi\,\cos\delta(t)\,"
    r"\cos\!\left(\theta(t) + \lambda_\mathrm{E} - \alpha(t)\right)",
    working="asin(sin({latitude}) · sin δ + cos({latitude}) · cos δ · cos(θ + {longitude} − α))",
    validity="Of its centre, without refraction; 1950 to 2100, good to 0.02°. δ and α are "
    "declination and right ascension of the sun, θ is the sidereal time at Greenwich.",
    sources=("meeus1998", "nrel-spa2008"),
)
def sun_altitude(instant: Second, latitude: Degree, longitude: Degree) -> Degree:
    """How high the sun stands.

    Args:
        instant: Seconds since 1970-01-01 00:00 UTC, 1950 to 2100.
        latitude: °, −90 to 90, north positive.
        longitude: °, −180 to 180, east positive.

    Returns:
        Altitude of the centre in °, negative below the horizon.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Meeus, chapters 12, 13 and 25.

    >>> round(sun_altitude(instant=1718884920, latitude=0, longitude=0))  # 2024-06-20 12:02
    67
    """
    require_place(instant, latitude, longitude, "instant")
    midnight, offset = instant - instant % DAY, instant % DAY
    direction = sun_direction(midnight)(offset)
    return over_place(latitude)(direction, sidereal(midnight, longitude)(offset))


@formula(
    title="Time of sunrise, sunset or twilight",
    symbol="t",
    symbols={
        "midnight": "t_0",
        "latitude": "φ",
        "longitude": "λ_E",
        "altitude": "h_0",
        "way": "w",
    },
    tex=r"h(t_0 + t) = h_0, \quad h_0 = -0.833^\circ,\ -6^\circ,\ -12^\circ,\ -18^\circ",
    working="first t after midnight at which h = {altitude} ({way})",
    validity="Level horizon at the height of the eye, refraction 34′; 1950 to 2100. Good to a "
    "minute up to 60° of latitude, to some minutes near the polar circle where the sun barely "
    "crosses the horizon. Weather moves a sunrise by a minute or two, a hill by far more.",
    sources=("meeus1998", "usno-rise-set"),
)
def sun_event(
    midnight: Second, latitude: Degree, longitude: Degree, altitude: Degree, way: str
) -> Second:
    """When the sun first rises or sets through an altitude on a day.

    Args:
        midnight: Start of the day; seconds since 1970-01-01 00:00 UTC, 1950 to 2100.
        latitude: °, −90 to 90, north positive.
        longitude: °, −180 to 180, east positive.
        altitude: Of the sun's centre; °, −90 to 90. −0.833° is sunrise and sunset.
        way: "rises" or "sets".

    Returns:
        Seconds after that midnight, below 86,400.

    Raises:
        InputError: If an argument is out of its range, or it does not happen on this day.

    Source:
        Meeus, chapter 15; found by false position.

    >>> round(sun_event(1718841600, 0, 0, -0.833, "rises") / 60)  # equator, 2024-06-20: 05:58
    358
    """
    require_place(midnight, latitude, longitude, "midnight")
    require_between(-90, 90, altitude=altitude)
    events = sun_crossings(midnight, latitude, longitude, altitude)
    return first_event(events, way, "latitude", "the sun")


@formula(
    title="Time the sun stands above an altitude",
    symbol="T",
    symbols={"midnight": "t_0", "latitude": "φ", "longitude": "λ_E", "altitude": "h_0"},
    tex=r"T = \int_{t_0}^{t_0 + 24\,\mathrm{h}} [\,h(t) > h_0\,]\,\mathrm{d}t",
    working="time within 24 h with h > {altitude}",
    validity="24 h where the sun does not set, 0 where it does not rise. Level horizon; 1950 to "
    "2100.",
    sources=("meeus1998", "usno-rise-set"),
)
def time_above(midnight: Second, latitude: Degree, longitude: Degree, altitude: Degree) -> Second:
    """How long the sun stands above an altitude on a day; it always exists.

    Args:
        midnight: Start of the day; seconds since 1970-01-01 00:00 UTC, 1950 to 2100.
        latitude: °, −90 to 90, north positive.
        longitude: °, −180 to 180, east positive.
        altitude: Of the sun's centre; °, −90 to 90. −0.833° gives the length of the day.

    Returns:
        Seconds, 0 to 86,400.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        The crossings of ``sun_event``, added up.

    >>> time_above(1718841600, 80, 0, -0.833) / 3600  # 2024-06-20: the sun does not set
    24.0
    """
    require_place(midnight, latitude, longitude, "midnight")
    require_between(-90, 90, altitude=altitude)
    above = sun_starts_above(midnight, latitude, longitude, altitude)
    total, since = 0.0, 0.0
    for at, rises in sun_crossings(midnight, latitude, longitude, altitude):
        total += 0.0 if rises else at - since
        since, above = at, rises
    return total + (DAY - since if above else 0.0)
