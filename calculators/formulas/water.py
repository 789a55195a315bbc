"""Water: how heavy it is, and the pressure at a depth in it."""

from collections.abc import Sequence
from math import radians, sin

from calculators.formula import formula, require_between
from calculators.quantities import (
    Celsius,
    Degree,
    KilogramPerCubicMetre,
    Metre,
    MetrePerSecondSquared,
    Pascal,
)

DECIBAR: Pascal = 10_000.0
"""The unit of pressure that the formulas for sea water are written in."""

DEEPEST_FRESH: Metre = 1_000.0
"""Depth down to which the fresh water formulas have been compared with a reference."""

DEEPEST_SEA: Metre = 9_725.5
"""Depth of 10 000 dbar at the equator, where [fofonoff1983] ends."""

_SEA_COLUMN = (9.72659, -2.2512e-5, 2.279e-10, -1.82e-15)
"""Pressure in dbar, to the powers 1 to 4, into m²/s²: geopotential of the standard ocean."""

_GRAVITY_GROWTH = 1.092e-6
"""Mean gravity between the surface and a pressure, above that at the surface; m/s² for 1 dbar."""

_DENSITY = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
_DENSITY_BELOW = 16.879850e-3  # often misprinted 16.897850e-3, which makes 0.27 kg/m³ at 20 °C

_COMPRESSIBILITY = (50.88496, 0.6163813, 1.459187e-3, 20.08438e-6, -58.47727e-9, 410.4110e-12)
_COMPRESSIBILITY_BELOW = 19.67348e-3
_PER_MEGABAR: Pascal = 1e11  # the unit of the compressibility above is 1e-6 per bar

_NEWTON_STEPS = 6
"""Three reach the last digit of a float from the first guess; twice as many are sure to."""


@formula(
    title="Gravity at this latitude",
    symbol="g",
    symbols={"latitude": "φ"},
    tex=r"g = 9.780318 \left( 1 + 5.2788 \times 10^{-3} \sin^2 \varphi"
    r" + 2.36 \times 10^{-5} \sin^4 \varphi \right)",
    working="9.780318 m/s² · (1 + 0.0052788 · sin²({latitude}) + 0.0000236 · sin⁴({latitude}))",
    validity="At sea level. About 0.03 % less for every 1000 m of altitude.",
    sources=("fofonoff1983", "jgofs-depth"),
)
def gravity(latitude: Degree) -> MetrePerSecondSquared:
    """Acceleration of gravity at sea level.

    Args:
        latitude: North or south, °, −90 to 90.

    Returns:
        Acceleration in m/s².

    Raises:
        InputError: If the latitude is out of its range.

    Source:
        [fofonoff1983], the part of their pressure-to-depth algorithm that depends on latitude.

    >>> round(gravity(latitude=45), 5)
    9.80619
    """
    require_between(-90, 90, latitude=latitude)
    square = sin(radians(latitude)) ** 2
    return 9.780318 * (1 + (5.2788e-3 + 2.36e-5 * square) * square)


@formula(
    title="Density of fresh water at the surface",
    symbol="ρ_0",
    symbols={"temperature": "t"},
    tex=r"\rho_0 = \frac{999.83952 + 16.945176 \, t - 7.9870401 \times 10^{-3} \, t^2"
    r" - 46.170461 \times 10^{-6} \, t^3 + 105.56302 \times 10^{-9} \, t^4"
    r" - 280.54253 \times 10^{-12} \, t^5}{1 + 16.879850 \times 10^{-3} \, t}",
    working="ρ₀({temperature}) at 1 atm",
    validity=(
        "Pure water at 1 atm, used here from 0 to 40 °C; within 0.004 kg/m³ of IAPWS-95. "
        "Dissolved matter adds about 0.08 kg/m³ for 100 mg/L."
    ),
    sources=("kell1975",),
)
def fresh_water_density(temperature: Celsius) -> KilogramPerCubicMetre:
    """Density of pure water under one atmosphere.

    Args:
        temperature: °C, 0 to 40.

    Returns:
        Density in kg/m³.

    Raises:
        InputError: If the temperature is out of its range.

    Source:
        [kell1975], equation 16.

    >>> round(fresh_water_density(temperature=20), 3)
    998.204
    """
    require_between(0, 40, temperature=temperature)
    return polynomial(_DENSITY, temperature) / (1 + _DENSITY_BELOW * temperature)


@formula(
    title="Bulk modulus of fresh water",
    symbol="K",
    symbols={"temperature": "t"},
    tex=r"K = 10^{11} \, \frac{1 + 19.67348 \times 10^{-3} \, t}{50.88496 + 0.6163813 \, t"
    r" + 1.459187 \times 10^{-3} \, t^2 + 20.08438 \times 10^{-6} \, t^3"
    r" - 58.47727 \times 10^{-9} \, t^4 + 410.4110 \times 10^{-12} \, t^5}",
    working="K({temperature}) at 1 atm",
    validity=(
        "Pure water at 1 atm, used here from 0 to 40 °C; the reciprocal of the isothermal "
        "compressibility, within 0.005 % of IAPWS-95."
    ),
    sources=("kell1975",),
)
def fresh_water_bulk_modulus(temperature: Celsius) -> Pascal:
    """Pressure that would squeeze pure water to nothing if it went on as it begins.

    Args:
        temperature: °C, 0 to 40.

    Returns:
        Isothermal bulk modulus at one atmosphere, Pa.

    Raises:
        InputError: If the temperature is out of its range.

    Source:
        [kell1975], the isothermal compressibility from 0 to 100 °C.

    >>> round(fresh_water_bulk_modulus(temperature=20) / 1e9, 3)
    2.179
    """
    require_between(0, 40, temperature=temperature)
    below = 1 + _COMPRESSIBILITY_BELOW * temperature
    return _PER_MEGABAR * below / polynomial(_COMPRESSIBILITY, temperature)


@formula(
    title="Gauge pressure in fresh water",
    symbol="p",
    symbols={"depth": "h", "surface_density": "ρ_0", "bulk_modulus": "K", "gravity": "g"},
    tex=r"p = \rho_0 g h \left( 1 + \frac{\rho_0 g h}{2 K} \right)",
    working=(
        "{surface_density} · {gravity} · {depth} · "
        "(1 + {surface_density} · {gravity} · {depth} / (2 · {bulk_modulus}))"
    ),
    validity=(
        "One temperature from top to bottom, down to 1000 m. The water's own compression, the "
        "bracket, makes 0.0025 % at 10 m, 0.025 % at 100 m, 0.25 % at 1000 m. That gravity grows "
        "on the way down is left out: 0.01 % at 1000 m."
    ),
    sources=("kell1975", "wetside-derivation-fresh-column"),
)
def fresh_water_pressure(
    depth: Metre,
    surface_density: KilogramPerCubicMetre,
    bulk_modulus: Pascal,
    gravity: MetrePerSecondSquared,
) -> Pascal:
    """Pressure of a column of fresh water that is compressed a little by its own weight.

    Args:
        depth: Below the surface; m, 0 to 1000.
        surface_density: Of the water under the pressure of the air alone; 900 to 1100 kg/m³.
        bulk_modulus: Of the water; Pa, 1e9 to 1e10.
        gravity: m/s², 9.7 to 9.9.

    Returns:
        Pressure above that of the air, Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Hydrostatic balance with a density that rises in proportion to the pressure, to the
        second order in depth.

    >>> round(fresh_water_pressure(depth=10, surface_density=1e3, bulk_modulus=2e9, gravity=9.8), 3)
    98002.401
    """
    require_between(0, DEEPEST_FRESH, depth=depth)
    require_between(900, 1100, surface_density=surface_density)
    require_between(1e9, 1e10, bulk_modulus=bulk_modulus)
    require_between(9.7, 9.9, gravity=gravity)
    uncompressed = surface_density * gravity * depth
    return uncompressed * (1 + uncompressed / (2 * bulk_modulus))


@formula(
    title="Density of fresh water at this depth",
    symbol="ρ",
    symbols={"gauge_pressure": "p", "surface_density": "ρ_0", "bulk_modulus": "K"},
    tex=r"\rho = \rho_0 \left( 1 + \frac{p}{K} \right)",
    working="{surface_density} · (1 + {gauge_pressure} / {bulk_modulus})",
    validity="Down to 1000 m; within 0.06 kg/m³ of IAPWS-95 there.",
    sources=("kell1975",),
)
def compressed_fresh_water_density(
    gauge_pressure: Pascal, surface_density: KilogramPerCubicMetre, bulk_modulus: Pascal
) -> KilogramPerCubicMetre:
    """Density of fresh water under pressure.

    Args:
        gauge_pressure: Pressure above that of the air; Pa, 0 to 1e7.
        surface_density: Of the water under the pressure of the air alone; 900 to 1100 kg/m³.
        bulk_modulus: Of the water; Pa, 1e9 to 1e10.

    Returns:
        Density in kg/m³.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of the bulk modulus, to the first order.

    >>> compressed_fresh_water_density(gauge_pressure=1e6, surface_density=1000, bulk_modulus=2e9)
    1000.5
    """
    require_between(0, 1e7, gauge_pressure=gauge_pressure)
    require_between(900, 1100, surface_density=surface_density)
    require_between(1e9, 1e10, bulk_modulus=bulk_modulus)
    return surface_density * (1 + gauge_pressure / bulk_modulus)


@formula(
    title="Gauge pressure in the sea",
    symbol="p",
    symbols={"depth": "h", "gravity": "g"},
    tex=r"h = \frac{9.72659 \, p - 2.2512 \times 10^{-5} \, p^2 + 2.279 \times 10^{-10} \, p^3"
    r" - 1.82 \times 10^{-15} \, p^4}{g + 1.092 \times 10^{-6} \, p}"
    r" \quad \text{solved for } p",
    working="inverse of depth(·, {gravity}) at {depth}",
    validity=(
        "Here p counts in decibars of 10 kPa. Standard ocean: salinity 35, 0 °C, down to 100 MPa; "
        "stated to be good to 0.1 m. "
        "Warm sea water (25 °C) gives 0.5 % less, brackish water of salinity 7 gives 2.2 % less."
    ),
    sources=("fofonoff1983", "saunders-fofonoff1976", "jgofs-depth"),
)
def sea_water_pressure(depth: Metre, gravity: MetrePerSecondSquared) -> Pascal:
    """Pressure in the standard ocean: the depth that UNESCO 44 gives for a pressure, inverted.

    Args:
        depth: Below the surface; m, 0 to 9725.5.
        gravity: At the surface, of this latitude; m/s², 9.7 to 9.9.

    Returns:
        Pressure above that of the air, Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [fofonoff1983], pressure to depth; inverted by Newton's method to the last digits.

    >>> round(sea_water_pressure(depth=10, gravity=9.80619))
    100821
    """
    require_between(0, DEEPEST_SEA, depth=depth)
    require_between(9.7, 9.9, gravity=gravity)
    pressure = depth * gravity / _SEA_COLUMN[0]
    for _ in range(_NEWTON_STEPS):
        column = pressure * polynomial(_SEA_COLUMN, pressure)
        miss = column - depth * (gravity + _GRAVITY_GROWTH * pressure)
        pressure -= miss / (_specific_volume(pressure) - depth * _GRAVITY_GROWTH)
    return pressure * DECIBAR


@formula(
    title="Density of sea water at this depth",
    symbol="ρ",
    symbols={"gauge_pressure": "p"},
    tex=r"\rho = \frac{10^4}{9.72659 - 4.5024 \times 10^{-5} \, p + 6.837 \times 10^{-10} \, p^2"
    r" - 7.28 \times 10^{-15} \, p^3}",
    working="1 / v({gauge_pressure}), v of the standard ocean",
    validity=(
        "Here p counts in decibars of 10 kPa. Standard ocean: salinity 35, 0 °C; within "
        "0.01 kg/m³ of the equation of state. Real sea "
        "water near the surface has 1020 to 1029 kg/m³, brackish water less."
    ),
    sources=("fofonoff1983", "wetside-derivation-sea-density"),
)
def sea_water_density(gauge_pressure: Pascal) -> KilogramPerCubicMetre:
    """Density of the standard ocean, as it is contained in its pressure-to-depth formula.

    Args:
        gauge_pressure: Pressure above that of the air; Pa, 0 to 1.0001e8.

    Returns:
        Density in kg/m³.

    Raises:
        InputError: If the pressure is out of its range.

    Source:
        [fofonoff1983]: the numerator of pressure to depth is the integral of the specific volume
        over pressure, so its derivative is the specific volume.

    >>> round(sea_water_density(gauge_pressure=0), 2)
    1028.11
    """
    require_between(0, 1.0001e8, gauge_pressure=gauge_pressure)
    return DECIBAR / _specific_volume(gauge_pressure / DECIBAR)


@formula(
    title="Absolute pressure",
    symbol="P",
    symbols={"gauge_pressure": "p", "air_pressure": "p_0"},
    tex=r"P = p + p_0",
    working="{gauge_pressure} + {air_pressure}",
    validity="Air pressure at the water's surface, not reduced to sea level.",
    sources=("teos10-gsw-pages",),
)
def absolute_pressure(gauge_pressure: Pascal, air_pressure: Pascal) -> Pascal:
    """Pressure above vacuum.

    Args:
        gauge_pressure: Pressure above that of the air; Pa, zero or more.
        air_pressure: Of the air at the water's surface; Pa, 0 to 2e5.

    Returns:
        Pressure in Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition; [teos10-gsw-pages] has it the other way round, absolute less air.

    >>> absolute_pressure(gauge_pressure=100000, air_pressure=101325)
    201325
    """
    require_between(0, 2e8, gauge_pressure=gauge_pressure)
    require_between(0, 2e5, air_pressure=air_pressure)
    return gauge_pressure + air_pressure


def _specific_volume(pressure: float) -> float:
    """Of the standard ocean, in 1e-4 m³/kg, at a pressure in dbar: the column's derivative."""
    return polynomial([n * c for n, c in enumerate(_SEA_COLUMN, start=1)], pressure)


def polynomial(coefficients: Sequence[float], x: float) -> float:
    """By Horner's scheme, the constant first."""
    value = 0.0
    for coefficient in reversed(coefficients):
        value = value * x + coefficient
    return value
