"""How fast sound runs in water, fresh and salt, and how it bends where that changes with depth.

Each formula is a fit to measurements and holds inside its own range alone.
"""

from math import inf, sqrt

from calculators.formula import formula, require_between, require_positive
from calculators.formulas.water import polynomial
from calculators.quantities import (
    Celsius,
    KilogramPerCubicMetre,
    Metre,
    MetrePerSecond,
    Pascal,
    Ratio,
)

ATMOSPHERE: Pascal = 101_325.0

WARMEST: Celsius = 40.0
"""Where the formulas for fresh and for sea water end, °C."""

SALTIEST = 40.0
"""Practical salinity where the formulas for sea water end."""

FRESH_DEEPEST: Pascal = 60e6 - ATMOSPHERE
"""Gauge pressure where the formula for fresh water ends: 60 MPa absolute."""

SEA_DEEPEST: Pascal = 1e8
"""Gauge pressure where the formula for sea water ends: 1000 bar."""

MACKENZIE = {"temperature": (2.0, 30.0), "salinity": (25.0, 40.0), "depth": (0.0, 8000.0)}
MEDWIN = {"temperature": (0.0, 35.0), "salinity": (0.0, 45.0), "depth": (0.0, 1000.0)}
LEROY = {"temperature": (-2.0, 30.0), "salinity": (0.0, 42.0), "depth": (0.0, 12000.0)}

_BAR: Pascal = 1e5

_PURE = (1402.38744, 5.03836171, -5.81172916e-2, 3.34638117e-4, -1.48259672e-6, 3.16585020e-9)
_PURE_PRESSED = (
    (1.49043589, 1.077850609e-2, -2.232794656e-4, 2.718246452e-6),
    (4.31532833e-3, -2.938590293e-4, 6.822485943e-6, -6.674551162e-8),
    (-1.852993525e-5, 1.481844713e-6, -3.940994021e-8, 3.939902307e-10),
)
"""By power of the pressure in MPa, 1 to 3: by power of the temperature."""

_WATER = (
    (1402.388, 5.03830, -5.81090e-2, 3.3432e-4, -1.47797e-6, 3.1419e-9),
    (0.153563, 6.8999e-4, -8.1829e-6, 1.3632e-7, -6.1260e-10),
    (3.1260e-5, -1.7111e-6, 2.5986e-8, -2.5353e-10, 1.0415e-12),
    (-9.7729e-9, 3.8513e-10, -2.3654e-12),
)
_SALT = (
    (1.389, -1.262e-2, 7.166e-5, 2.008e-6, -3.21e-8),
    (9.4742e-5, -1.2583e-5, -6.4928e-8, 1.0515e-8, -2.0142e-10),
    (-3.9064e-7, 9.1061e-9, -1.6009e-10, 7.994e-12),
    (1.100e-10, 6.651e-12, -3.391e-13),
)
_SALT_ROOT = ((-1.922e-2, -4.42e-5), (7.3637e-5, 1.7950e-7))
_SALT_SQUARE = (1.727e-3, -7.9836e-6)
"""By power of the pressure in bar, 0 to 3: by power of the temperature."""

_DENSITY_PURE = (
    999.842594,
    6.793952e-2,
    -9.095290e-3,
    1.001685e-4,
    -1.120083e-6,
    6.536332e-9,
)
_DENSITY_SALT = (8.24493e-1, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9)
_DENSITY_ROOT = (-5.72466e-3, 1.0227e-4, -1.6546e-6)
_DENSITY_SQUARE = 4.8314e-4

_FREEZING = (-0.0575, 1.710523e-3, -2.154996e-4)
_FREEZING_PRESSED = -7.53e-8  # K/Pa


@formula(
    title="Sound speed in fresh water",
    symbol="c_f",
    symbols={"temperature": "t", "gauge_pressure": "p"},
    tex=r"c_\mathrm{f} = \sum_{i=0}^{5} a_{i0} t^i + \sum_{j=1}^{3} p^j \sum_{i=0}^{3} a_{ij} t^i",
    working="c({temperature}, {gauge_pressure})",
    validity="Pure water, 0 °C to 40 °C, to 60 MPa absolute; here t counts in °C and p in MPa "
    "above one atmosphere. Within 0.03 m/s of IAPWS-95 at one atmosphere, 0.1 m/s at 100 m, "
    "0.8 m/s at 1000 m, the most near freezing. What a hard lake has dissolved, 0.5 g/kg, adds "
    "about 0.6 m/s.",
    sources=("belogolskii1999", "bilaniuk-wong1993", "npl-pure-water"),
)
def fresh_sound_speed(temperature: Celsius, gauge_pressure: Pascal) -> MetrePerSecond:
    """Speed of sound in pure water under pressure.

    Args:
        temperature: °C, 0 to 40.
        gauge_pressure: Above one atmosphere; Pa, 0 to 5.99e7.

    Returns:
        Speed in m/s.

    Raises:
        InputError: If an argument is out of its range: below 0 °C fresh water is ice.

    Source:
        [belogolskii1999] for the pressure, on [bilaniuk-wong1993] with its erratum for one
        atmosphere.

    >>> round(fresh_sound_speed(temperature=20, gauge_pressure=0), 3)
    1482.358
    """
    require_between(0, WARMEST, temperature=temperature)
    require_between(0, FRESH_DEEPEST, gauge_pressure=gauge_pressure)
    pressed = [polynomial(row, temperature) for row in _PURE_PRESSED]
    return polynomial((polynomial(_PURE, temperature), *pressed), gauge_pressure / 1e6)


@formula(
    title="Sound speed in sea water, Unesco",
    symbol="c_u",
    symbols={"temperature": "t", "salinity": "S", "gauge_pressure": "p"},
    tex=r"c_\mathrm{u} = C_\mathrm{w}(t, p) + A(t, p) \, S + B(t, p) \, S^{3/2} + D(p) \, S^2",
    working="c({temperature}, {salinity}, {gauge_pressure})",
    validity="0 °C to 40 °C, practical salinity 0 to 40, to 1000 bar; here t counts in °C and p "
    "in bar. Within 0.2 m/s of TEOS-10 in the first 100 m up to 30 °C, 0.6 m/s to 1000 m and "
    "35 °C.",
    sources=("wong-zhu1995", "chen-millero1977", "fofonoff1983", "npl-sea-water"),
)
def sea_sound_speed(
    temperature: Celsius, salinity: Ratio, gauge_pressure: Pascal
) -> MetrePerSecond:
    """Speed of sound by the Unesco algorithm, on the temperature scale of 1990.

    Args:
        temperature: °C, 0 to 40.
        salinity: Practical salinity, 0 to 40.
        gauge_pressure: Pa, 0 to 1e8.

    Returns:
        Speed in m/s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [chen-millero1977] with the coefficients of [wong-zhu1995].

    >>> round(sea_sound_speed(temperature=10, salinity=35, gauge_pressure=1e6), 3)
    1491.479
    """
    require_between(0, WARMEST, temperature=temperature)
    return unesco_beyond(temperature, salinity, gauge_pressure)


def unesco_beyond(temperature: float, salinity: float, gauge_pressure: float) -> float:
    """The same to −2 °C, two degrees below where it was fitted: for comparison only.

    >>> round(unesco_beyond(temperature=-1, salinity=35, gauge_pressure=0), 2)
    1444.5
    """
    require_between(-2, WARMEST, temperature=temperature)
    require_between(0, SALTIEST, salinity=salinity)
    require_between(0, SEA_DEEPEST, gauge_pressure=gauge_pressure)
    bar = gauge_pressure / _BAR
    water, salt, root = (
        polynomial([polynomial(row, temperature) for row in table], bar)
        for table in (_WATER, _SALT, _SALT_ROOT)
    )
    square = polynomial(_SALT_SQUARE, bar)
    return water + salinity * (salt + root * sqrt(salinity) + square * salinity)


@formula(
    title="Sound speed in sea water, Leroy",
    symbol="c_l",
    symbols={"temperature": "t", "salinity": "S", "depth": "z"},
    tex=(
        r"\begin{aligned} c_\mathrm{l} &= 1402.5 + 5 t - 5.44 \times 10^{-2} t^2"
        r" + 2.1 \times 10^{-4} t^3 + 1.33 S - 1.23 \times 10^{-2} S t"
        r" + 8.7 \times 10^{-5} S t^2 \\ &\quad + 1.56 \times 10^{-2} z"
        r" + 2.55 \times 10^{-7} z^2 - 7.3 \times 10^{-12} z^3 - 9.5 \times 10^{-13} t z^3"
        r" + 3 \times 10^{-7} t^2 z + 1.43 \times 10^{-5} S z \end{aligned}"
    ),
    working="c({temperature}, {salinity}, {depth})",
    validity="All seas, the Baltic among them: −1 °C to 30 °C, salinity to 42, to 12 km, within "
    "0.2 m/s of the standards; used here down to −2 °C, where sea water of the first 100 m stays "
    "within 0.15 m/s of TEOS-10, and all to 1 km within 0.33 m/s. Its term of the latitude is left "
    "out, 0.05 m/s at a kilometre. Here t counts in °C, z in m.",
    sources=("leroy2008", "leroy-page", "leroy-program"),
)
def leroy_sound_speed(temperature: Celsius, salinity: Ratio, depth: Metre) -> MetrePerSecond:
    """Speed of sound in the sea, by an equation that goes down to freezing.

    Args:
        temperature: °C, −2 to 30.
        salinity: Practical salinity, 0 to 42.
        depth: m, 0 to 12000.

    Returns:
        Speed in m/s, at a latitude of 45°.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [leroy2008], fourteen terms.

    >>> round(leroy_sound_speed(temperature=10, salinity=35, depth=100), 2)
    1491.44
    """
    _require_within(LEROY, temperature, salinity, depth)
    t, s, z = temperature, salinity, depth
    surface = 1402.5 + t * (5 + t * (-5.44e-2 + 2.1e-4 * t))
    salt = s * (1.33 + t * (-1.23e-2 + 8.7e-5 * t))
    deep = z * (1.56e-2 + 3e-7 * t * t + 1.43e-5 * s + z * (2.55e-7 - (7.3e-12 + 9.5e-13 * t) * z))
    return surface + salt + deep


@formula(
    title="Sound speed in sea water, Mackenzie",
    symbol="c_m",
    symbols={"temperature": "t", "salinity": "S", "depth": "z"},
    tex=(
        r"\begin{aligned} c_\mathrm{m} &= 1448.96 + 4.591 t - 5.304 \times 10^{-2} t^2"
        r" + 2.374 \times 10^{-4} t^3 + 1.340 (S - 35) \\ &\quad + 1.630 \times 10^{-2} z"
        r" + 1.675 \times 10^{-7} z^2 - 1.025 \times 10^{-2} t (S - 35)"
        r" - 7.139 \times 10^{-13} t z^3 \end{aligned}"
    ),
    working="c({temperature}, {salinity}, {depth})",
    validity="2 °C to 30 °C, salinity 25 to 40, to 8 km: sea water, neither brackish nor fresh. "
    "Here t counts in °C, z in m.",
    sources=("mackenzie1981", "npl-sea-water"),
)
def mackenzie_sound_speed(temperature: Celsius, salinity: Ratio, depth: Metre) -> MetrePerSecond:
    """Speed of sound in the sea by nine terms.

    Args:
        temperature: °C, 2 to 30.
        salinity: Practical salinity, 25 to 40.
        depth: m, 0 to 8000.

    Returns:
        Speed in m/s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [mackenzie1981].

    >>> round(mackenzie_sound_speed(temperature=25, salinity=35, depth=1000), 3)
    1550.744
    """
    _require_within(MACKENZIE, temperature, salinity, depth)
    t, s, z = temperature, salinity - 35, depth
    surface = 1448.96 + t * (4.591 + t * (-5.304e-2 + 2.374e-4 * t)) + s * (1.340 - 1.025e-2 * t)
    return surface + z * (1.630e-2 + z * (1.675e-7 - 7.139e-13 * t * z))


@formula(
    title="Sound speed in water, Medwin",
    symbol="c_6",
    symbols={"temperature": "t", "salinity": "S", "depth": "z"},
    tex=(r"c_6 = 1449.2 + 4.6 t - 0.055 t^2 + 0.00029 t^3 + (1.34 - 0.010 t)(S - 35) + 0.016 z"),
    working="c({temperature}, {salinity}, {depth})",
    validity="0 °C to 35 °C, salinity 0 to 45, to 1 km: the short formula for a pocket "
    "calculator. Here t counts in °C, z in m.",
    sources=("medwin1975", "range-table"),
)
def medwin_sound_speed(temperature: Celsius, salinity: Ratio, depth: Metre) -> MetrePerSecond:
    """Speed of sound by six terms.

    Args:
        temperature: °C, 0 to 35.
        salinity: Practical salinity, 0 to 45.
        depth: m, 0 to 1000.

    Returns:
        Speed in m/s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [medwin1975].

    >>> round(medwin_sound_speed(temperature=10, salinity=35, depth=100), 2)
    1491.59
    """
    _require_within(MEDWIN, temperature, salinity, depth)
    t = temperature
    return (
        1449.2
        + t * (4.6 + t * (-0.055 + 0.00029 * t))
        + (1.34 - 0.010 * t) * (salinity - 35)
        + 0.016 * depth
    )


@formula(
    title="Freezing point",
    symbol="t_f",
    symbols={"salinity": "S", "gauge_pressure": "p"},
    tex=(
        r"t_\mathrm{f} = -0.0575 \, S + 1.710523 \times 10^{-3} S^{3/2}"
        r" - 2.154996 \times 10^{-4} S^2 - 7.53 \times 10^{-4} \, p"
    ),
    working="t_f({salinity}, {gauge_pressure})",
    validity="Salinity 4 to 40, to 500 dbar; here t counts in °C and p in dbar. Used from "
    "salinity 0, where it gives 0 °C as it should; within 0.005 K of TEOS-10.",
    sources=("fofonoff1983", "freezing-program"),
)
def freezing_point(salinity: Ratio, gauge_pressure: Pascal) -> Celsius:
    """Temperature at which sea water begins to freeze.

    Args:
        salinity: Practical salinity, 0 to 40.
        gauge_pressure: Pa, 0 to 5e6.

    Returns:
        Temperature in °C.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [fofonoff1983], freezing point.

    >>> round(freezing_point(salinity=40, gauge_pressure=5e6), 6)
    -2.588567
    """
    require_between(0, SALTIEST, salinity=salinity)
    require_between(0, 5e6, gauge_pressure=gauge_pressure)
    linear, root, square = _FREEZING
    point = salinity * (linear + root * sqrt(salinity) + square * salinity)
    return point + _FREEZING_PRESSED * gauge_pressure


@formula(
    title="Density of sea water at the surface",
    symbol="ρ_0",
    symbols={"temperature": "t", "salinity": "S"},
    tex=(
        r"\rho_0 = \rho_\mathrm{w}(t) + (0.824493 - 4.0899 \times 10^{-3} t"
        r" + 7.6438 \times 10^{-5} t^2 - 8.2467 \times 10^{-7} t^3 + 5.3875 \times 10^{-9} t^4) S"
        r" + (-5.72466 \times 10^{-3} + 1.0227 \times 10^{-4} t - 1.6546 \times 10^{-6} t^2)"
        r" S^{3/2} + 4.8314 \times 10^{-4} S^2"
    ),
    working="ρ₀({temperature}, {salinity})",
    validity="One atmosphere, −2 °C to 40 °C, salinity 0 to 42; here t counts in °C, on the "
    "scale of 1968 (up to 0.01 K off today's). Within 0.01 kg/m³ of TEOS-10 for sea salt.",
    sources=("fofonoff1983", "density-program"),
)
def surface_density(temperature: Celsius, salinity: Ratio) -> KilogramPerCubicMetre:
    """Density of water of any salinity under one atmosphere.

    Args:
        temperature: °C, −2 to 40.
        salinity: Practical salinity, 0 to 42.

    Returns:
        Density in kg/m³.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [fofonoff1983]: the international equation of state of 1980 at one atmosphere.

    >>> round(surface_density(temperature=5, salinity=35), 3)
    1027.675
    """
    require_between(-2, 40, temperature=temperature)
    require_between(0, 42, salinity=salinity)
    salt, root = (polynomial(row, temperature) for row in (_DENSITY_SALT, _DENSITY_ROOT))
    more = salinity * (salt + root * sqrt(salinity) + _DENSITY_SQUARE * salinity)
    return polynomial(_DENSITY_PURE, temperature) + more


@formula(
    title="Density at this depth",
    symbol="ρ",
    symbols={"surface_density": "ρ_0", "gauge_pressure": "p", "sound_speed": "c"},
    tex=r"\rho = \rho_0 + \frac{p}{c^2}",
    working="{surface_density} + {gauge_pressure} / ({sound_speed})²",
    validity="Down to 1000 m, there within 0.15 kg/m³: what the sound speed is, 1/c² = dρ/dp, "
    "taken as constant from the surface down.",
    sources=("wetside-derivation-density-from-speed",),
)
def deep_density(
    surface_density: KilogramPerCubicMetre, gauge_pressure: Pascal, sound_speed: MetrePerSecond
) -> KilogramPerCubicMetre:
    """Density of water under pressure, from its sound speed.

    Args:
        surface_density: Under one atmosphere; kg/m³, above zero.
        gauge_pressure: Pa, 0 to 1.1e7.
        sound_speed: m/s, above zero.

    Returns:
        Density in kg/m³.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of the sound speed.

    >>> deep_density(surface_density=1000, gauge_pressure=1e6, sound_speed=1000)
    1001.0
    """
    require_positive(surface_density=surface_density, sound_speed=sound_speed)
    require_between(0, 1.1e7, gauge_pressure=gauge_pressure)
    return surface_density + gauge_pressure / sound_speed**2


@formula(
    title="Bend of level sound",
    symbol="y",
    symbols={
        "distance": "x",
        "sound_speed": "c",
        "upper_speed": "c_1",
        "lower_speed": "c_2",
        "spacing": "Δz",
    },
    tex=r"y = \frac{x^2}{2 R}, \quad R = \frac{c \, \Delta z}{c_1 - c_2}",
    working="({distance})² · ({upper_speed} − {lower_speed}) / (2 · {sound_speed} · {spacing})",
    validity="Sound that sets out level, as far as the sound speed goes on to change as it does "
    "here and y stays small against x: 1 % too little at y = x/12, 5 % at x/5. "
    "Above zero downwards.",
    sources=("raichel-ray",),
)
def bend(
    distance: Metre,
    sound_speed: MetrePerSecond,
    upper_speed: MetrePerSecond,
    lower_speed: MetrePerSecond,
    spacing: Metre,
) -> Metre:
    """How far level sound sinks, towards the slower water, on its way.

    Args:
        distance: Along the level; m, zero or more.
        sound_speed: Where it sets out; m/s, above zero.
        upper_speed: A little above; m/s, above zero.
        lower_speed: A little below; m/s, above zero.
        spacing: Of these two depths; m, above zero.

    Returns:
        Depth gained in m; below zero where it rises.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [raichel-ray]: an arc of a circle of the radius speed over gradient.

    >>> round(bend(30, sound_speed=1450, upper_speed=1451, lower_speed=1449, spacing=0.5), 3)
    1.241
    """
    require_between(0, inf, distance=distance)
    require_positive(
        sound_speed=sound_speed,
        upper_speed=upper_speed,
        lower_speed=lower_speed,
        spacing=spacing,
    )
    return distance**2 * (upper_speed - lower_speed) / (2 * sound_speed * spacing)


def _require_within(
    ranges: dict[str, tuple[float, float]], temperature: float, salinity: float, depth: float
) -> None:
    require_between(*ranges["temperature"], temperature=temperature)
    require_between(*ranges["salinity"], salinity=salinity)
    require_between(*ranges["depth"], depth=depth)
