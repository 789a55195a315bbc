"""Humid air in a closed case: what it holds, where it condenses, what dries it."""

from math import exp, log

from calculators.formula import formula, require_between, require_positive
from calculators.formulas.constants import GAS_CONSTANT, ZERO_CELSIUS
from calculators.quantities import (
    Celsius,
    CubicMetre,
    Kilogram,
    KilogramPerCubicMetre,
    KilogramPerMetreSecondPascal,
    Metre,
    Pascal,
    Ratio,
    Second,
    SquareMetre,
)

COLDEST: Celsius = -45.0
HOTTEST: Celsius = 60.0
"""Between these the curve over water holds."""

COLDEST_ICE: Celsius = -65.0

_VAPOUR_CONSTANT = GAS_CONSTANT / 0.01801528  # gas constant of water vapour, J/(kg·K)
_AT_ZERO = 611.2  # saturation pressure that both curves have at 0 °C, Pa
_WATER = (17.62, 243.12)
_ICE = (22.46, 272.62)

_NEWTON_STEPS = 12
"""From the cold end the steps never overshoot; eight reach the last digit."""


@formula(
    title="Saturation pressure over water",
    symbol="e_s",
    symbols={"temperature": "t"},
    tex=r"e_\mathrm{s} = 6.112\ \mathrm{hPa} \cdot"
    r" \exp \frac{17.62 \, t}{243.12\ \mathrm{^\circ C} + t}",
    working="eₛ({temperature})",
    validity="Pure water, −45 to 60 °C, supercooled below 0 °C; within 0.3 % of IAPWS-95 from 0 to "
    "60 °C; the air above it adds 0.4 %, which is left out.",
    sources=("wmo-8", "weather-station-humidity"),
)
def water_saturation_pressure(temperature: Celsius) -> Pascal:
    """Pressure of water vapour that stands over liquid water.

    Args:
        temperature: °C, −45 to 60.

    Returns:
        Pressure in Pa.

    Raises:
        InputError: If the temperature is out of its range.

    Source:
        [wmo-8], annex 4.B: the Magnus formula with these three numbers; others circulate.

    >>> round(water_saturation_pressure(temperature=20), 1)
    2332.6
    """
    require_between(COLDEST, HOTTEST, temperature=temperature)
    return _AT_ZERO * exp(_exponent(_WATER, temperature))


@formula(
    title="Pressure at which dew or frost forms",
    symbol="e_k",
    symbols={"temperature": "t"},
    tex=r"e_\mathrm{k} = 6.112\ \mathrm{hPa} \cdot \begin{cases}"
    r"\exp \dfrac{17.62 \, t}{243.12\ \mathrm{^\circ C} + t} & t \ge 0\ \mathrm{^\circ C} \\[2ex]"
    r"\exp \dfrac{22.46 \, t}{272.62\ \mathrm{^\circ C} + t} & t < 0\ \mathrm{^\circ C}"
    r"\end{cases}",
    working="eₖ({temperature})",
    validity="Over water up to 60 °C, over ice down to −65 °C; over ice within 0.1 % of IAPWS "
    "R14-08 from −40 °C on.",
    sources=("wmo-8", "weather-station-humidity"),
)
def saturation_pressure(temperature: Celsius) -> Pascal:
    """Pressure of water vapour that stands over water, or below 0 °C over ice.

    Args:
        temperature: °C, −65 to 60.

    Returns:
        Pressure in Pa.

    Raises:
        InputError: If the temperature is out of its range.

    Source:
        [wmo-8], annex 4.B.

    >>> round(saturation_pressure(temperature=-10), 1)
    259.9
    """
    require_between(COLDEST_ICE, HOTTEST, temperature=temperature)
    return _AT_ZERO * exp(_exponent(_WATER if temperature >= 0 else _ICE, temperature))


@formula(
    title="Density of the vapour",
    symbol="ρ",
    symbols={"humidity": "φ", "saturation_pressure": "e", "temperature": "t"},
    tex=r"\rho = \frac{\varphi \, e}{R_\mathrm{v} \, T}, \quad"
    r" R_\mathrm{v} = 461.52\ \tfrac{\mathrm{J}}{\mathrm{kg\,K}}, \quad T = t + 273.15",
    working="{humidity} · {saturation_pressure} / (461.52 J/(kg·K) · T({temperature}))",
    validity="Vapour as an ideal gas: 0.5 % too little at 40 °C, less when colder.",
    sources=("openstax-humidity",),
)
def vapour_density(
    humidity: Ratio, saturation_pressure: Pascal, temperature: Celsius
) -> KilogramPerCubicMetre:
    """Mass of water vapour in a volume of air.

    Args:
        humidity: Relative humidity, 0 to 1.
        saturation_pressure: At this temperature; Pa, above zero.
        temperature: °C, −65 to 60.

    Returns:
        Density in kg/m³.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        The law of ideal gases, with the molar mass 18.01528 g/mol.

    >>> round(vapour_density(humidity=0.5, saturation_pressure=2333, temperature=20) * 1e3, 3)
    8.622
    """
    require_between(0.0, 1.0, humidity=humidity)
    require_positive(saturation_pressure=saturation_pressure)
    require_between(COLDEST_ICE, HOTTEST, temperature=temperature)
    return humidity * saturation_pressure / (_VAPOUR_CONSTANT * (temperature + ZERO_CELSIUS))


@formula(
    title="Dew point of the open air",
    symbol="t_o",
    symbols={"humidity": "φ", "temperature": "t"},
    tex=r"t_\mathrm{o} = \frac{243.12\ \mathrm{^\circ C} \cdot g}{17.62 - g}, \quad"
    r" g = \ln \varphi + \frac{17.62 \, t}{243.12\ \mathrm{^\circ C} + t}",
    working="tₒ({humidity}, {temperature})",
    validity="At constant pressure, over water also below 0 °C, where frost comes a little "
    "earlier: at a dew point of −10 °C from −8.9 °C.",
    sources=("wmo-8", "weather-station-humidity"),
)
def dew_point(humidity: Ratio, temperature: Celsius) -> Celsius:
    """Temperature at which open air that cools begins to form dew.

    Args:
        humidity: Relative humidity, 0.01 to 1.
        temperature: Of the air; °C, −45 to 60.

    Returns:
        Dew point in °C.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        The inverse of the saturation pressure over water.

    >>> round(dew_point(humidity=0.6, temperature=25), 2)
    16.69
    """
    require_between(0.01, 1.0, humidity=humidity)
    require_between(COLDEST, HOTTEST, temperature=temperature)
    factor, offset = _WATER
    part = log(humidity) + _exponent(_WATER, temperature)
    return offset * part / (factor - part)


@formula(
    title="Temperature at which dew or frost forms inside",
    symbol="t_i",
    symbols={"density": "ρ"},
    tex=r"\rho = \frac{e_\mathrm{k}(t_\mathrm{i})}{R_\mathrm{v} \, T_\mathrm{i}}",
    working="tᵢ({density})",
    validity="In a closed, stiff case: its air keeps its volume and loses pressure as it cools, so "
    "dew comes later than in open air. Frost below 0 °C; supercooled dew may come up to 1 °C "
    "later at −10 °C.",
    sources=("moran-shapiro", "wetside-derivation-closed-air"),
)
def dew_inside(density: KilogramPerCubicMetre) -> Celsius:
    """Temperature at which the vapour in a closed case is saturated.

    Args:
        density: Of the vapour; kg/m³, 5.7e-6 to 0.13, which is saturated at −65 and 60 °C.

    Returns:
        Temperature in °C: of dew from 0 °C up, of frost below.

    Raises:
        InputError: If the density is out of its range.

    Source:
        Newton's steps from the cold end, on the logarithm of the density.

    >>> round(dew_inside(density=0.014), 2)
    16.49
    """
    require_between(5.7e-6, 0.13, density=density)
    warm = density >= _AT_ZERO / (_VAPOUR_CONSTANT * ZERO_CELSIUS)
    curve, found = (_WATER, 0.0) if warm else (_ICE, COLDEST_ICE)
    factor, offset = curve
    wanted = log(density * _VAPOUR_CONSTANT / _AT_ZERO)
    for _ in range(_NEWTON_STEPS):
        kelvin = found + ZERO_CELSIUS
        miss = wanted + log(kelvin) - _exponent(curve, found)
        found += miss / (factor * offset / (offset + found) ** 2 - 1 / kelvin)
    return found


@formula(
    title="Water held by the air",
    symbol="m",
    symbols={"density": "ρ", "volume": "V"},
    tex=r"m = \rho V",
    working="{density} · {volume}",
    validity="Vapour evenly spread.",
    sources=("din-55474-page",),
)
def vapour_mass(density: KilogramPerCubicMetre, volume: CubicMetre) -> Kilogram:
    """Mass of the vapour in a volume.

    Args:
        density: Of the vapour; kg/m³, above zero.
        volume: m³, above zero.

    Returns:
        Mass in kg.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Definition of the density.

    >>> vapour_mass(density=0.01, volume=0.002)
    2e-05
    """
    require_positive(density=density, volume=volume)
    return density * volume


@formula(
    title="Water that condenses",
    symbol="m_k",
    symbols={"moisture": "m", "saturation_density": "ρ_s", "volume": "V"},
    tex=r"m_\mathrm{k} = \max(0, \; m - \rho_\mathrm{s} V)",
    working="max(0, {moisture} − {saturation_density} · {volume})",
    validity="Once all is as cold as the water. It gathers on the coldest wall first.",
    sources=("moran-shapiro", "wetside-derivation-closed-air"),
)
def condensed_mass(
    moisture: Kilogram, saturation_density: KilogramPerCubicMetre, volume: CubicMetre
) -> Kilogram:
    """Water that cannot stay as vapour.

    Args:
        moisture: All the water that could be vapour; kg, above zero.
        saturation_density: Of saturated vapour at the final temperature; kg/m³, above zero.
        volume: Of the air; m³, above zero.

    Returns:
        Mass in kg, zero where all of it stays vapour.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        What is there less what saturated vapour holds.

    >>> round(condensed_mass(moisture=18e-6, saturation_density=6.4e-3, volume=1.2e-3) * 1e6, 2)
    10.32
    """
    require_positive(moisture=moisture, saturation_density=saturation_density, volume=volume)
    return max(0.0, moisture - saturation_density * volume)


@formula(
    title="Humidity at closing up to which it stays clear",
    symbol="φ_k",
    symbols={"saturation_density": "ρ_s", "closing_density": "ρ_0"},
    tex=r"\varphi_\mathrm{k} = \frac{\rho_\mathrm{s}}{\rho_0}",
    working="{saturation_density} / {closing_density}",
    validity="Closed, stiff case; of the air alone. Above 100 %: it stays clear at any humidity.",
    sources=("wetside-derivation-closed-air",),
)
def clear_humidity(
    saturation_density: KilogramPerCubicMetre, closing_density: KilogramPerCubicMetre
) -> Ratio:
    """The relative humidity at which a case may just be closed without dew inside later.

    Args:
        saturation_density: Of saturated vapour at the temperature of the water; kg/m³, above zero.
        closing_density: Of saturated vapour at the temperature at closing; kg/m³, above zero.

    Returns:
        Relative humidity; above 1 where no air is damp enough.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        The density that condenses, over the one that could have been closed in.

    >>> round(clear_humidity(saturation_density=6.36e-3, closing_density=22.97e-3), 3)
    0.277
    """
    require_positive(saturation_density=saturation_density, closing_density=closing_density)
    return saturation_density / closing_density


@formula(
    title="Vapour through the wall",
    symbol="m_p",
    symbols={
        "permeability": "P",
        "area": "A",
        "thickness": "d",
        "pressure_difference": "Δe",
        "duration": "τ",
    },
    tex=r"m_\mathrm{p} = \frac{P A \, \Delta e \, \tau}{d}",
    working="{permeability} · {area} · {pressure_difference} · {duration} / {thickness}",
    validity="Steady flow. A thick wall first soaks itself, for hours to weeks, and lets less "
    "through until then. P is for the temperature: warm plastic lets several times more through.",
    sources=("permeation-calculation", "polymer-permeation-table"),
)
def permeated_vapour(
    permeability: KilogramPerMetreSecondPascal,
    area: SquareMetre,
    thickness: Metre,
    pressure_difference: Pascal,
    duration: Second,
) -> Kilogram:
    """Water that goes through a solid wall as vapour.

    Args:
        permeability: Of the wall's material; kg/(m·s·Pa), zero or more.
        area: m², above zero.
        thickness: m, above zero.
        pressure_difference: Of the vapour, outside over inside; Pa, above zero.
        duration: s, above zero.

    Returns:
        Mass in kg.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Steady diffusion, with the permeability as its constant.

    >>> mass = permeated_vapour(
    ...     permeability=1e-14, area=0.1, thickness=5e-3, pressure_difference=500, duration=86400
    ... )
    >>> round(mass * 1e6, 3)
    8.64
    """
    require_between(0.0, 1.0, permeability=permeability)
    require_positive(
        area=area, thickness=thickness, pressure_difference=pressure_difference, duration=duration
    )
    return permeability * area * pressure_difference * duration / thickness


@formula(
    title="Water that the desiccant must take",
    symbol="m_t",
    symbols={
        "density": "ρ",
        "final_density": "ρ_e",
        "volume": "V",
        "contents": "m_h",
        "moisture_share": "x",
        "permeated": "m_p",
    },
    tex=r"m_\mathrm{t} = \max\left(0, \; (\rho - \rho_\mathrm{e}) V + m_\mathrm{h} x"
    r" + m_\mathrm{p} \right)",
    working="max(0, ({density} − {final_density}) · {volume} + {contents} · {moisture_share}"
    " + {permeated})",
    validity="All that the contents can give off is counted, also where it takes weeks.",
    sources=("din-55474-page", "wetside-derivation-closed-air"),
)
def desiccant_load(
    density: KilogramPerCubicMetre,
    final_density: KilogramPerCubicMetre,
    volume: CubicMetre,
    contents: Kilogram,
    moisture_share: Ratio,
    permeated: Kilogram,
) -> Kilogram:
    """Water to be taken out of air, contents and what comes through the wall.

    Args:
        density: Of the vapour as closed in; kg/m³, above zero.
        final_density: Of the vapour that may stay; kg/m³, zero or more.
        volume: Of the air; m³, above zero.
        contents: Mass of what gives off water; kg, zero or more.
        moisture_share: Water that it gives off, over its mass; 0 to 1.
        permeated: Through the wall; kg, zero or more.

    Returns:
        Mass in kg.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        A balance of the water, as DIN 55474 has it, less the vapour that may stay.

    >>> load = desiccant_load(
    ...     density=15e-3,
    ...     final_density=2.5e-3,
    ...     volume=1.2e-3,
    ...     contents=0.15,
    ...     moisture_share=0.0015,
    ...     permeated=20e-6,
    ... )
    >>> round(load * 1e6, 1)
    260.0
    """
    require_positive(density=density, volume=volume)
    require_between(0.0, 1.0, final_density=final_density, moisture_share=moisture_share)
    require_between(0.0, 1e6, contents=contents, permeated=permeated)
    return max(0.0, (density - final_density) * volume + contents * moisture_share + permeated)


@formula(
    title="Desiccant",
    symbol="n",
    symbols={"load": "m_t", "capacity": "a"},
    tex=r"n = \frac{m_\mathrm{t}}{a}",
    working="{load} / {capacity}",
    validity="Fresh or regenerated desiccant, for the humidity that its capacity is stated for, at "
    "25 °C; the colder, the more it takes.",
    sources=("mil-d-3464", "din-55474-page"),
)
def desiccant_units(load: Kilogram, capacity: Kilogram) -> Ratio:
    """How many units of desiccant take this water.

    Args:
        load: Water to be taken; kg, zero or more.
        capacity: Water that a unit takes at the humidity wanted; kg, above zero.

    Returns:
        Units, as a fraction.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of the unit.

    >>> desiccant_units(load=0.003, capacity=0.006)
    0.5
    """
    require_between(0.0, 1e6, load=load)
    require_positive(capacity=capacity)
    return load / capacity


@formula(
    title="Pressure inside, once cold",
    symbol="p_i",
    symbols={
        "pressure": "p",
        "density": "ρ",
        "temperature": "t",
        "final_density": "ρ_e",
        "final_temperature": "t_e",
    },
    tex=r"p_\mathrm{i} = \left( p - \rho R_\mathrm{v} T \right) \frac{T_\mathrm{e}}{T}"
    r" + \rho_\mathrm{e} R_\mathrm{v} T_\mathrm{e}",
    working="({pressure} − {density} · Rᵥ · T({temperature})) · T({final_temperature}) / "
    "T({temperature}) + {final_density} · Rᵥ · T({final_temperature})",
    validity="Closed, stiff case, no gas from cells; air and vapour as ideal gases.",
    sources=("openstax-pressure-law", "wetside-derivation-closed-air"),
)
def closed_pressure(
    pressure: Pascal,
    density: KilogramPerCubicMetre,
    temperature: Celsius,
    final_density: KilogramPerCubicMetre,
    final_temperature: Celsius,
) -> Pascal:
    """Absolute pressure of the air in a case that was closed at another temperature.

    Args:
        pressure: Of the air at closing; Pa, above that of its vapour.
        density: Of its vapour; kg/m³, zero or more.
        temperature: At closing; °C, −65 to 60.
        final_density: Of the vapour that is left; kg/m³, zero or more.
        final_temperature: °C, −65 to 60.

    Returns:
        Pressure in Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        The dry air follows the absolute temperature, the vapour its own density.

    >>> pressure = closed_pressure(
    ...     pressure=101300, density=15e-3, temperature=25, final_density=6e-3, final_temperature=4
    ... )
    >>> round(pressure)
    93014
    """
    require_positive(pressure=pressure)
    require_between(0.0, 0.2, density=density, final_density=final_density)
    require_between(COLDEST_ICE, HOTTEST, temperature=temperature)
    require_between(COLDEST_ICE, HOTTEST, final_temperature=final_temperature)
    before, after = temperature + ZERO_CELSIUS, final_temperature + ZERO_CELSIUS
    dry = pressure - density * _VAPOUR_CONSTANT * before
    require_positive(pressure=dry)
    return dry * after / before + final_density * _VAPOUR_CONSTANT * after


def _exponent(curve: tuple[float, float], temperature: float) -> float:
    factor, offset = curve
    return factor * temperature / (offset + temperature)
