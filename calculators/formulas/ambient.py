"""Ambient noise of the sea: published curves of wind, shipping, turbulence, rain and heat.

Wind, shipping, turbulence and heat are the four terms of one published set; they are curves drawn
through measurements, and a real sea departs from them by 10 dB and more.
"""

from bisect import bisect_right
from math import log10, sqrt

from calculators.errors import InputError
from calculators.formula import formula, require_between
from calculators.quantities import Hertz, MetrePerSecond, Ratio, SpectralDensityLevel

LOWEST, HIGHEST = 1.0, 1e6
"""Hz, between which the four terms are used."""

STRONGEST_WIND = 20.0
"""m/s, close to the 40 kn where the measurements end that the wind curves were drawn through."""

FIVES_LOW, FIVES_HIGH = 500.0, 5000.0
"""Hz, between which Wenz's rule of fives holds."""

KNOT = 1852 / 3600
"""m/s, exact."""

RAIN_LOW, RAIN_HIGH = 630.96, 15848.93
"""Hz, first and last column of the rain table."""

_RAIN_FREQUENCIES = (630.96, 1000.0, 1584.89, 2511.89, 3981.07, 6309.57, 10000.0, 15848.93)
_RAIN_LEVELS = {
    "light": (79.8, 78.6, 76.3, 73.6, 70.5, 66.9, 62.8, 58.6),
    "moderate": (80.9, 80.9, 80.5, 79.5, 77.8, 75.6, 72.7, 69.4),
    "heavy": (82.1, 82.0, 81.9, 81.8, 81.4, 80.6, 79.0, 76.7),
}
"""dB re 1 µPa²/Hz; the lightest of the three is called intermediate in the table."""


def _kilohertz(frequency: float) -> float:
    require_between(LOWEST, HIGHEST, frequency=frequency)
    return frequency / 1000


@formula(
    title="Noise of turbulence",
    symbol="L_t",
    symbols={"frequency": "f"},
    tex=r"L_\mathrm{t} = 17 - 30 \log_{10}\frac{f}{1\,\mathrm{kHz}}",
    working="17 − 30 · log₁₀({frequency} / 1 kHz)",
    validity="Open deep sea, 1 Hz to 1 MHz; matters below 10 Hz. A strong current past the "
    "hydrophone adds noise of its own, which is not in it.",
    sources=("coates1990", "stojanovic2007", "wenz1962"),
)
def turbulence_level(frequency: Hertz) -> SpectralDensityLevel:
    """Noise of the sea's own turbulence.

    Args:
        frequency: Hz, 1 to 1e6.

    Returns:
        dB re 1 µPa²/Hz.

    Raises:
        InputError: If the frequency is out of range.

    Source:
        First of four terms given by Coates and repeated by Stojanovic, after Wenz's curves.

    >>> turbulence_level(frequency=10.0)
    77.0
    """
    return _turbulence(log10(_kilohertz(frequency)))


def _turbulence(log_f: float) -> float:
    return 17 - 30 * log_f


@formula(
    title="Noise of distant shipping",
    symbol="L_s",
    symbols={"frequency": "f", "shipping": "s"},
    tex=(
        r"L_\mathrm{s} = 40 + 20 (s - 0.5) + 26 \log_{10} f_\mathrm{k}"
        r" - 60 \log_{10}(f_\mathrm{k} + 0.03), \quad f_\mathrm{k} = \frac{f}{1\,\mathrm{kHz}}"
    ),
    working=(
        "40 + 20 · ({shipping} − 0.5) + 26 · log₁₀({frequency} / 1 kHz)"
        " − 60 · log₁₀({frequency} / 1 kHz + 0.03)"
    ),
    validity="Open deep sea, 1 Hz to 1 MHz; s from 0, remote, to 1, busy. No ship near by.",
    sources=("coates1990", "stojanovic2007", "wenz1962"),
)
def shipping_level(frequency: Hertz, shipping: Ratio) -> SpectralDensityLevel:
    """Noise of all the ships over the horizon.

    Args:
        frequency: Hz, 1 to 1e6.
        shipping: Activity, 0 to 1.

    Returns:
        dB re 1 µPa²/Hz.

    Raises:
        InputError: If an argument is out of range.

    Source:
        Second of four terms given by Coates and repeated by Stojanovic, after Wenz's curves.

    >>> round(shipping_level(frequency=100.0, shipping=0.5), 2)
    67.16
    """
    require_between(0, 1, shipping=shipping)
    f = _kilohertz(frequency)
    return _shipping(f, log10(f), shipping)


def _shipping(f: float, log_f: float, shipping: float) -> float:
    return 40 + 20 * (shipping - 0.5) + 26 * log_f - 60 * log10(f + 0.03)


@formula(
    title="Noise of wind on the sea",
    symbol="L_w",
    symbols={"frequency": "f", "wind_speed": "w"},
    tex=(
        r"L_\mathrm{w} = 50 + 7.5 \sqrt{\frac{w}{1\,\mathrm{m/s}}} + 20 \log_{10} f_\mathrm{k}"
        r" - 40 \log_{10}(f_\mathrm{k} + 0.4), \quad f_\mathrm{k} = \frac{f}{1\,\mathrm{kHz}}"
    ),
    working=(
        "50 + 7.5 · √({wind_speed} / 1 m/s) + 20 · log₁₀({frequency} / 1 kHz)"
        " − 40 · log₁₀({frequency} / 1 kHz + 0.4)"
    ),
    validity="Open deep sea, 1 Hz to 1 MHz; wind to 20 m/s. At 1 kHz it lies 5 dB to 7 dB above "
    "Wenz's rule of fives between 5 kn and 20 kn.",
    sources=("coates1990", "stojanovic2007", "wenz1962"),
)
def wind_level(frequency: Hertz, wind_speed: MetrePerSecond) -> SpectralDensityLevel:
    """Noise of breaking waves and the bubbles in them.

    Args:
        frequency: Hz, 1 to 1e6.
        wind_speed: m/s, 0 to 20.

    Returns:
        dB re 1 µPa²/Hz.

    Raises:
        InputError: If an argument is out of range.

    Source:
        Third of four terms given by Coates and repeated by Stojanovic, after Wenz's curves.

    >>> round(wind_level(frequency=1000.0, wind_speed=5.0), 2)
    60.93
    """
    require_between(0, STRONGEST_WIND, wind_speed=wind_speed)
    f = _kilohertz(frequency)
    return _wind(f, log10(f), wind_speed)


def _wind(f: float, log_f: float, wind_speed: float) -> float:
    return 50 + 7.5 * sqrt(wind_speed) + 20 * log_f - 40 * log10(f + 0.4)


@formula(
    title="Noise of the water's heat",
    symbol="L_h",
    symbols={"frequency": "f"},
    tex=r"L_\mathrm{h} = -15 + 20 \log_{10}\frac{f}{1\,\mathrm{kHz}}",
    working="−15 + 20 · log₁₀({frequency} / 1 kHz)",
    validity="Any water, 1 Hz to 1 MHz; within 0.6 dB of 4πkTρf²/c from 0 °C to 30 °C, fresh or "
    "salt. It is the least noise that water can have.",
    sources=("mellen1952", "coates1990", "stojanovic2007"),
)
def thermal_level(frequency: Hertz) -> SpectralDensityLevel:
    """Noise of the molecules of the water itself.

    Args:
        frequency: Hz, 1 to 1e6.

    Returns:
        dB re 1 µPa²/Hz.

    Raises:
        InputError: If the frequency is out of range.

    Source:
        Mellen's result in the rounded form of the fourth of the four terms.

    >>> thermal_level(frequency=100e3)
    25.0
    """
    return _heat(log10(_kilohertz(frequency)))


def _heat(log_f: float) -> float:
    return -15 + 20 * log_f


def sea_level(
    frequency: float, shipping: float, wind_speed: float, departure: float = 0.0
) -> float:
    """All four terms together, dB re 1 µPa²/Hz: for curves, where no step is shown.

    ``departure`` in dB moves turbulence, shipping and wind, but not the water's heat.

    Raises:
        InputError: If an argument is out of range.

    >>> round(sea_level(frequency=1000.0, shipping=0.5, wind_speed=5.0), 2)
    60.95
    """
    require_between(0, 1, shipping=shipping)
    require_between(0, STRONGEST_WIND, wind_speed=wind_speed)
    f = _kilohertz(frequency)
    log_f = log10(f)
    terms = (_turbulence(log_f), _shipping(f, log_f, shipping), _wind(f, log_f, wind_speed))
    moved = sum(10 ** ((level + departure) / 10) for level in terms)
    return float(10 * log10(moved + 10 ** (_heat(log_f) / 10)))


@formula(
    title="Noise of wind by the rule of fives",
    symbol="L_5",
    symbols={"frequency": "f", "wind_speed": "w"},
    tex=(
        r"L_5 = 25 + 20 \log_{10} 20 + \frac{50}{3} \log_{10}\frac{w}{5\,\mathrm{kn}}"
        r" - \frac{50}{3} \log_{10}\frac{f}{1\,\mathrm{kHz}}"
    ),
    working=(
        "25 + 20 · log₁₀(20) + 50/3 · log₁₀({wind_speed} / 5 kn)"
        " − 50/3 · log₁₀({frequency} / 1 kHz)"
    ),
    validity="500 Hz to 5 kHz, 2.5 kn to 40 kn. 25 dB re 0.0002 dyn/cm² at 1 kHz and 5 kn, 5 dB "
    "less an octave, 5 dB more for each doubling of the wind; 20 log 20 turns it to 1 µPa.",
    sources=("wenz1962", "carey-evans2011"),
)
def fives_wind_level(frequency: Hertz, wind_speed: MetrePerSecond) -> SpectralDensityLevel:
    """Wenz's own rule for wind noise, quieter than the four-term curve.

    Args:
        frequency: Hz, 500 to 5000.
        wind_speed: m/s, 2.5 kn to 40 kn: 1.2862 to 20.577.

    Returns:
        dB re 1 µPa²/Hz.

    Raises:
        InputError: If an argument is out of range: the rule says nothing there.

    Source:
        Wenz's rule as Carey and Evans give it.

    >>> round(fives_wind_level(frequency=1000.0, wind_speed=5 * 1852 / 3600), 2)
    51.02
    """
    require_between(FIVES_LOW, FIVES_HIGH, frequency=frequency)
    require_between(2.5 * KNOT, 40 * KNOT, wind_speed=wind_speed)
    five = 25 + 20 * log10(20)
    return five + 50 / 3 * (log10(wind_speed / (5 * KNOT)) - log10(frequency / 1000))


@formula(
    title="Noise of rain on the sea",
    symbol="L_r",
    symbols={"frequency": "f", "rain": "kind"},
    tex=r"L_\mathrm{r} = \text{table}(f, \text{kind})",
    working="table({frequency}, {rain})",
    validity="631 Hz to 15.8 kHz; light, moderate or heavy rain, for which the table gives no "
    "rates. Newer measurements of light rain without wind have a peak at 13 kHz to 15 kHz, which "
    "the table has not.",
    sources=("sadowski1984",),
)
def rain_level(frequency: Hertz, rain: str) -> SpectralDensityLevel:
    """Noise of rain, read between the columns of a published table.

    Args:
        frequency: Hz, 630.96 to 15848.93.
        rain: "light", "moderate" or "heavy".

    Returns:
        dB re 1 µPa²/Hz.

    Raises:
        InputError: If an argument is out of range: the table says nothing there.

    Source:
        Every second column of the table, straight lines over the logarithm of frequency between.

    >>> rain_level(frequency=1000.0, rain="heavy")
    82.0
    """
    if rain not in _RAIN_LEVELS:
        raise InputError("rain", f"rain must be one of {', '.join(_RAIN_LEVELS)}, given {rain!r}")
    require_between(RAIN_LOW, RAIN_HIGH, frequency=frequency)
    levels = _RAIN_LEVELS[rain]
    i = min(bisect_right(_RAIN_FREQUENCIES, frequency), len(levels) - 1) - 1
    low, high = _RAIN_FREQUENCIES[i : i + 2]
    share = log10(frequency / low) / log10(high / low)
    return levels[i] + share * (levels[i + 1] - levels[i])
