"""The moon: when it rises and sets, and how much of it is lit.

Position by the larger terms of Meeus's chapter 47; times as in ``almanac``.
"""

from functools import lru_cache
from math import acos, asin, atan2, cos, degrees, radians, sin

from calculators.calendar_texts import DAY
from calculators.formula import formula, require_between
from calculators.formulas.almanac import (
    EARLIEST,
    LATEST,
    Event,
    Height,
    centuries,
    crossings,
    equatorial,
    first_event,
    node,
    obliquity,
    over_place,
    require_place,
    sidereal,
    sun_longitude,
    through_day,
)
from calculators.quantities import Degree, Ratio, Second

ASTRONOMICAL_UNIT = 149_597_870.7
"""km, by definition."""

EARTH_RADIUS = 6_378.14
"""Equatorial, km."""

REFRACTION = 0.5667
"""Degrees at the horizon: 34′."""

MOON_PARTS = 4
"""Parts of a day between the instants at which the series is summed; errs by 1″."""

SYNODIC = 29.530588853
"""Mean days from new moon to new moon."""

# Multiples of D, M, M′, F; then longitude in 1e-6°, distance in m. Terms below 2e-3° are left out.
_LONGITUDE = (
    (0, 0, 1, 0, 6288774, -20905355), (2, 0, -1, 0, 1274027, -3699111),
    (2, 0, 0, 0, 658314, -2955968), (0, 0, 2, 0, 213618, -569925),
    (0, 1, 0, 0, -185116, 48888), (0, 0, 0, 2, -114332, -3149),
    (2, 0, -2, 0, 58793, 246158), (2, -1, -1, 0, 57066, -152138),
    (2, 0, 1, 0, 53322, -170733), (2, -1, 0, 0, 45758, -204586),
    (0, 1, -1, 0, -40923, -129620), (1, 0, 0, 0, -34720, 108743),
    (0, 1, 1, 0, -30383, 104755), (2, 0, 0, -2, 15327, 10321),
    (0, 0, 1, 2, -12528, 0), (0, 0, 1, -2, 10980, 79661),
    (4, 0, -1, 0, 10675, -34782), (0, 0, 3, 0, 10034, -23210),
    (4, 0, -2, 0, 8548, -21636), (2, 1, -1, 0, -7888, 24208),
    (2, 1, 0, 0, -6766, 30824), (1, 0, -1, 0, -5163, -8379),
    (1, 1, 0, 0, 4987, -16675), (2, -1, 1, 0, 4036, -12831),
    (2, 0, 2, 0, 3994, -10445), (4, 0, 0, 0, 3861, -11650),
    (2, 0, -3, 0, 3665, 14403), (0, 1, -2, 0, -2689, -7003),
    (2, 0, -1, 2, -2602, 0), (2, -1, -2, 0, 2390, 10056),
    (1, 0, 1, 0, -2348, 6322), (2, -2, 0, 0, 2236, -9884),
)  # fmt: skip
# Multiples of D, M, M′, F; then latitude in 1e-6°.
_LATITUDE = (
    (0, 0, 0, 1, 5128122), (0, 0, 1, 1, 280602), (0, 0, 1, -1, 277693), (2, 0, 0, -1, 173237),
    (2, 0, -1, 1, 55413), (2, 0, -1, -1, 46271), (2, 0, 0, 1, 32573), (0, 0, 2, 1, 17198),
    (2, 0, 1, -1, 9266), (0, 0, 2, -1, 8822), (2, -1, 0, -1, 8216), (2, 0, -2, -1, 4324),
    (2, 0, 1, 1, 4200), (2, 1, 0, -1, -3359), (2, -1, -1, 1, 2463), (2, -1, 0, 1, 2211),
    (2, -1, -1, -1, 2065),
)  # fmt: skip


def moon_position(t: float) -> tuple[float, float, float]:
    """Apparent longitude and latitude of the moon in radians, and its distance in km."""
    mean = 218.3164477 + t * (481267.88123421 - t * 0.0015786)
    arguments = (
        radians((297.8501921 + t * (445267.1114034 - t * 0.0018819)) % 360),
        radians((357.5291092 + t * (35999.0502909 - t * 0.0001536)) % 360),
        radians((134.9633964 + t * (477198.8675055 + t * 0.0087414)) % 360),
        radians((93.2720950 + t * (483202.0175233 - t * 0.0036539)) % 360),
    )
    rounder = 1 - t * (0.002516 + t * 0.0000074)  # the earth's orbit slowly becomes a circle
    fading = (1.0, rounder, rounder**2)
    elongation, sun, moon, height = arguments
    longitude = 3958 * sin(radians(119.75 + 131.849 * t)) + 1962 * sin(radians(mean) - height)
    distance = 385_000_560.0
    for d, m, n, f, size, metres in _LONGITUDE:
        angle = d * elongation + m * sun + n * moon + f * height
        longitude += fading[abs(m)] * size * sin(angle)
        distance += fading[abs(m)] * metres * cos(angle)
    latitude = -2235 * sin(radians(mean))
    for d, m, n, f, size in _LATITUDE:
        angle = d * elongation + m * sun + n * moon + f * height
        latitude += fading[abs(m)] * size * sin(angle)
    apparent = (mean + longitude * 1e-6 - 0.00478 * sin(node(t))) % 360
    return radians(apparent), radians(latitude * 1e-6), distance / 1000


def moon_height(midnight: float, latitude: float, longitude: float) -> Height:
    """Altitude of the moon's upper edge above a level horizon through a day.

    The moon is near: seen from the surface it stands lower than from the centre, by its parallax.
    """
    turned, altitude = sidereal(midnight, longitude), over_place(latitude)

    def seen(offset: float) -> tuple[float, ...]:
        t = centuries(midnight, offset)
        along, across, distance = moon_position(t)
        limit = 0.7275 * degrees(asin(EARTH_RADIUS / distance)) - REFRACTION
        return (*equatorial(along, across, obliquity(t)), limit)

    course = through_day(seen, MOON_PARTS)

    def height(offset: float) -> float:
        now = course(offset)
        return altitude(now, turned(offset)) - now[3]

    return height


@lru_cache(maxsize=1024)
def moon_crossings(midnight: float, latitude: float, longitude: float) -> tuple[Event, ...]:
    """Risings and settings of the moon within 24 h from a midnight."""
    return crossings(moon_height(midnight, latitude, longitude))


@lru_cache(maxsize=1024)
def moon_starts_above(midnight: float, latitude: float, longitude: float) -> bool:
    """Whether the moon is up at this midnight."""
    return moon_height(midnight, latitude, longitude)(0.0) >= 0


@formula(
    title="Time of moonrise or moonset",
    symbol="t",
    symbols={"midnight": "t_0", "latitude": "φ", "longitude": "λ_E", "way": "w"},
    tex=r"h_\mathrm{m}(t_0 + t) = 0.7275\,\pi(t) - 0.5667^\circ",
    working="first t after midnight at which h = 0.7275 π − 0.5667° ({way})",
    validity="Upper edge on a level horizon, with parallax π and 34′ of refraction; 1950 to 2100. "
    "Good to two minutes up to 70° of latitude. The moon rises about 50 min later each day: once a "
    "month a day has no moonrise, and one no moonset.",
    sources=("meeus1998", "usno-rise-set"),
)
def moon_event(midnight: Second, latitude: Degree, longitude: Degree, way: str) -> Second:
    """When the moon first rises or sets on a day.

    Args:
        midnight: Start of the day; seconds since 1970-01-01 00:00 UTC, 1950 to 2100.
        latitude: °, −90 to 90, north positive.
        longitude: °, −180 to 180, east positive.
        way: "rises" or "sets".

    Returns:
        Seconds after that midnight, below 86,400.

    Raises:
        InputError: If an argument is out of its range, or it does not happen on this day.

    Source:
        Meeus, chapters 15, 40 and 47.

    >>> moon_event(1718841600, 0, 0, "sets") < 86400
    True
    """
    require_place(midnight, latitude, longitude, "midnight")
    events = moon_crossings(midnight, latitude, longitude)
    return first_event(events, way, "latitude", "the moon")


@formula(
    title="Moon ahead of the sun",
    symbol="D",
    symbols={"instant": "t"},
    tex=r"D = \lambda_\mathrm{m}(t) - \lambda_\mathrm{s}(t)",
    working="longitude of the moon less that of the sun",
    validity="0° is new moon, 90° first quarter, 180° full moon; 1950 to 2100, good to 0.02°: two "
    "minutes of time.",
    sources=("meeus1998",),
)
def moon_elongation(instant: Second) -> Degree:
    """Where in its month the moon stands.

    Args:
        instant: Seconds since 1970-01-01 00:00 UTC, 1950 to 2100.

    Returns:
        Degrees, 0 to 360.

    Raises:
        InputError: If the instant is out of its range.

    Source:
        Meeus, chapters 25, 47 and 49.

    >>> round(moon_elongation(948429600))  # 2000-01-21 04:40 UTC: full moon, an eclipse
    180
    """
    require_between(EARLIEST, LATEST, instant=instant)
    t = centuries(instant)
    return (degrees(moon_position(t)[0]) - sun_longitude(t)[0]) % 360


@formula(
    title="Lit part of the moon",
    symbol="k",
    symbols={"instant": "t"},
    tex=r"k = \frac{1 + \cos i}{2}, \quad \tan i = \frac{R \sin\psi}{\Delta - R \cos\psi}",
    working="(1 + cos i) / 2",
    validity="Of its disc, 0 at new moon to 1 at full moon; ψ is its distance from the sun in the "
    "sky, R and Δ are the distances of sun and moon. 1950 to 2100, good to 0.001.",
    sources=("meeus1998",),
)
def moon_lit(instant: Second) -> Ratio:
    """How much of the moon's disc is lit.

    Args:
        instant: Seconds since 1970-01-01 00:00 UTC, 1950 to 2100.

    Returns:
        Fraction, 0 to 1.

    Raises:
        InputError: If the instant is out of its range.

    Source:
        Meeus, equations 48.1 to 48.3.

    >>> round(moon_lit(948429600), 2)  # 2000-01-21 04:40 UTC: full moon, an eclipse
    1.0
    """
    require_between(EARLIEST, LATEST, instant=instant)
    t = centuries(instant)
    along, across, distance = moon_position(t)
    sun, units = sun_longitude(t)
    apart = acos(max(-1.0, min(1.0, cos(across) * cos(along - radians(sun)))))
    far = units * ASTRONOMICAL_UNIT
    phase = atan2(far * sin(apart), distance - far * cos(apart))
    return (1 + cos(phase)) / 2


def next_turn(instant: float) -> tuple[float, bool]:
    """The next new or full moon after an instant, and whether it is full."""
    ahead = moon_elongation(instant)
    full = ahead < 180
    goal = 180.0 if full else 0.0
    at = instant + (goal - ahead) % 360 / 360 * SYNODIC * DAY
    for _ in range(4):
        missing = (goal - moon_elongation(at) + 180) % 360 - 180
        at += missing / 360 * SYNODIC * DAY
    return at, full
