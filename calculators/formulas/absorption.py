"""Absorption of sound in water: two salts that lag behind the pressure, and viscosity."""

from math import exp, sqrt

from calculators.formula import formula, require_between
from calculators.formulas.water import polynomial
from calculators.quantities import Celsius, Decibel, DecibelPerMetre, Hertz, Metre, Ratio

FITTED_LOW, FITTED_HIGH = 200.0, 1e6
"""Hz, between which the three terms were fitted to measurements."""

LOWEST = 10.0
"""Hz, down to which they are used: what they give there is next to nothing."""

DEEPEST: Metre = 7000.0

_COLD = (4.937e-4, -2.59e-5, 9.11e-7, -1.50e-8)  # often misprinted 4.397e-4
_WARM = (3.964e-4, -1.146e-5, 1.45e-7, -6.5e-10)
_TURN: Celsius = 20.0

_KILO = 1e-3
"""dB/km into dB/m."""


def _check(frequency: float, temperature: float, salinity: float, depth: float) -> float:
    """Refuse what lies outside; the frequency in kHz."""
    require_between(LOWEST, FITTED_HIGH, frequency=frequency)
    require_between(-2, 35, temperature=temperature)
    require_between(0, 40, salinity=salinity)
    require_between(0, DEEPEST, depth=depth)
    return frequency / 1000


def _speed(temperature: float, salinity: float, depth: float) -> float:
    """The rounded sound speed that the terms were fitted with, m/s."""
    return 1412 + 3.21 * temperature + 1.19 * salinity + 0.0167 * depth


def _relaxation(f: float, corner: float) -> float:
    """Share of a relaxation, kHz; nothing where there is no salt, whose corner is zero."""
    return corner * f * f / (corner * corner + f * f)


@formula(
    title="Absorption by boric acid",
    symbol="α_b",
    symbols={"frequency": "f", "temperature": "t", "salinity": "S", "depth": "z", "ph": "pH"},
    tex=(
        r"\alpha_\mathrm{b} = \frac{8.86}{c} 10^{0.78 \, \mathrm{pH} - 5} \,"
        r" \frac{f_1 f^2}{f_1^2 + f^2}, \quad"
        r" f_1 = 2.8 \sqrt{\frac{S}{35}} \, 10^{4 - 1245 / (273 + t)}, \quad"
        r" c = 1412 + 3.21 t + 1.19 S + 0.0167 z"
    ),
    working="α_b({frequency}, {temperature}, {salinity}, {depth}, {ph})",
    validity="dB/km, with f in kHz, t in °C, z in m. Fitted from 200 Hz to 1 MHz to measurements "
    "in the ocean; matters below 10 kHz.",
    sources=("francois-garrison1982b", "absorption-page"),
)
def boric_absorption(
    frequency: Hertz, temperature: Celsius, salinity: Ratio, depth: Metre, ph: Ratio
) -> DecibelPerMetre:
    """Part of the absorption that boric acid has.

    Args:
        frequency: Hz, 10 to 1e6.
        temperature: °C, −2 to 35.
        salinity: Practical salinity, 0 to 40.
        depth: m, 0 to 7000.
        ph: 6 to 9.

    Returns:
        Absorption in dB/m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [francois-garrison1982b].

    >>> round(boric_absorption(1000.0, temperature=10, salinity=35, depth=0, ph=8) * 1000, 5)
    0.0515
    """
    f = _check(frequency, temperature, salinity, depth)
    require_between(6, 9, ph=ph)
    strength = 8.86 / _speed(temperature, salinity, depth) * float(10 ** (0.78 * ph - 5))
    corner = 2.8 * sqrt(salinity / 35) * float(10 ** (4 - 1245 / (273 + temperature)))
    return strength * _relaxation(f, corner) * _KILO


@formula(
    title="Absorption by magnesium sulphate",
    symbol="α_m",
    symbols={"frequency": "f", "temperature": "t", "salinity": "S", "depth": "z"},
    tex=(
        r"\alpha_\mathrm{m} = 21.44 \frac{S}{c} (1 + 0.025 t)"
        r" (1 - 1.37 \times 10^{-4} z + 6.2 \times 10^{-9} z^2) \, \frac{f_2 f^2}{f_2^2 + f^2},"
        r" \quad f_2 = \frac{8.17 \times 10^{8 - 1990 / (273 + t)}}{1 + 0.0018 (S - 35)}"
    ),
    working="α_m({frequency}, {temperature}, {salinity}, {depth})",
    validity="dB/km, with f in kHz, t in °C, z in m, c as with boric acid. Fitted from 200 Hz to "
    "1 MHz; the largest part from 10 kHz to some hundred.",
    sources=("francois-garrison1982a", "absorption-page"),
)
def magnesium_absorption(
    frequency: Hertz, temperature: Celsius, salinity: Ratio, depth: Metre
) -> DecibelPerMetre:
    """Part of the absorption that magnesium sulphate has.

    Args:
        frequency: Hz, 10 to 1e6.
        temperature: °C, −2 to 35.
        salinity: Practical salinity, 0 to 40.
        depth: m, 0 to 7000.

    Returns:
        Absorption in dB/m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [francois-garrison1982a].

    >>> round(magnesium_absorption(10e3, temperature=10, salinity=35, depth=0) * 1000, 4)
    0.8173
    """
    f = _check(frequency, temperature, salinity, depth)
    strength = 21.44 * salinity / _speed(temperature, salinity, depth) * (1 + 0.025 * temperature)
    pressed = 1 - 1.37e-4 * depth + 6.2e-9 * depth**2
    corner = 8.17 * float(10 ** (8 - 1990 / (273 + temperature))) / (1 + 0.0018 * (salinity - 35))
    return strength * pressed * _relaxation(f, corner) * _KILO


@formula(
    title="Absorption by viscosity",
    symbol="α_v",
    symbols={"frequency": "f", "temperature": "t", "depth": "z"},
    tex=(
        r"\alpha_\mathrm{v} = A_3(t) (1 - 3.83 \times 10^{-5} z + 4.9 \times 10^{-10} z^2) f^2,"
        r" \quad A_3 = \begin{cases} 4.937 \times 10^{-4} - 2.59 \times 10^{-5} t"
        r" + 9.11 \times 10^{-7} t^2 - 1.50 \times 10^{-8} t^3 & t \le 20 \\"
        r" 3.964 \times 10^{-4} - 1.146 \times 10^{-5} t + 1.45 \times 10^{-7} t^2"
        r" - 6.5 \times 10^{-10} t^3 & t > 20 \end{cases}"
    ),
    working="α_v({frequency}, {temperature}, {depth})",
    validity="dB/km, with f in kHz, t in °C, z in m. All that fresh water has, and the same in "
    "salt water.",
    sources=("francois-garrison1982a", "absorption-page"),
)
def viscous_absorption(frequency: Hertz, temperature: Celsius, depth: Metre) -> DecibelPerMetre:
    """Absorption of pure water.

    Args:
        frequency: Hz, 10 to 1e6.
        temperature: °C, −2 to 35.
        depth: m, 0 to 7000.

    Returns:
        Absorption in dB/m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [francois-garrison1982a].

    >>> round(viscous_absorption(100e3, temperature=10, depth=0) * 1000, 3)
    3.108
    """
    f = _check(frequency, temperature, 0.0, depth)
    strength = polynomial(_COLD if temperature <= _TURN else _WARM, temperature)
    return strength * (1 - 3.83e-5 * depth + 4.9e-10 * depth**2) * f * f * _KILO


@formula(
    title="Absorption",
    symbol="α",
    symbols={"boric": "α_b", "magnesium": "α_m", "viscous": "α_v"},
    tex=r"\alpha = \alpha_\mathrm{b} + \alpha_\mathrm{m} + \alpha_\mathrm{v}",
    working="{boric} + {magnesium} + {viscous}",
    validity="Good to about 5 % in ocean water of −1.8 °C to 30 °C and salinity 30 to 35 (from "
    "memory); brackish water is drawn out from it.",
    sources=("francois-garrison1982b", "absorption-page"),
)
def total_absorption(
    boric: DecibelPerMetre, magnesium: DecibelPerMetre, viscous: DecibelPerMetre
) -> DecibelPerMetre:
    """All three parts together.

    Args:
        boric: dB/m, 0 to 10.
        magnesium: dB/m, 0 to 10.
        viscous: dB/m, 0 to 10.

    Returns:
        Absorption in dB/m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [francois-garrison1982b].

    >>> total_absorption(boric=0.25, magnesium=0.5, viscous=1.0)
    1.75
    """
    require_between(0, 10, boric=boric, magnesium=magnesium, viscous=viscous)
    return boric + magnesium + viscous


@formula(
    title="Absorption by the short formula",
    symbol="α_s",
    symbols={"frequency": "f", "temperature": "t", "salinity": "S", "depth": "z", "ph": "pH"},
    tex=(
        r"\begin{aligned} \alpha_\mathrm{s} &= 0.106 \frac{f_1 f^2}{f_1^2 + f^2}"
        r" e^{(\mathrm{pH} - 8) / 0.56} + 0.52 \left( 1 + \frac{t}{43} \right) \frac{S}{35}"
        r" \frac{f_2 f^2}{f_2^2 + f^2} e^{-z / 6} + 0.00049 f^2 e^{-(t / 27 + z / 17)} \\"
        r" f_1 &= 0.78 \sqrt{\frac{S}{35}} \, e^{t / 26}, \quad f_2 = 42 \, e^{t / 17}"
        r" \end{aligned}"
    ),
    working="α_s({frequency}, {temperature}, {salinity}, {depth}, {ph})",
    validity="dB/km, with f in kHz, t in °C and z in km. Said to be within 10 % of the long one "
    "from 100 Hz to 1 MHz, −6 °C to 35 °C, salinity 5 to 50, pH 7.7 to 8.3, to 7 km; 10.6 % was "
    "found at 35 °C.",
    sources=("ainslie-mccolm1998", "npl-absorption"),
)
def short_absorption(
    frequency: Hertz, temperature: Celsius, salinity: Ratio, depth: Metre, ph: Ratio
) -> DecibelPerMetre:
    """Absorption by a formula that is shorter, from the same measurements.

    Args:
        frequency: Hz, 10 to 1e6.
        temperature: °C, −2 to 35.
        salinity: Practical salinity, 0 to 40.
        depth: m, 0 to 7000.
        ph: 6 to 9.

    Returns:
        Absorption in dB/m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [ainslie-mccolm1998].

    >>> round(short_absorption(10e3, temperature=10, salinity=35, depth=0, ph=8) * 1000, 4)
    0.9866
    """
    f = _check(frequency, temperature, salinity, depth)
    require_between(6, 9, ph=ph)
    boric = 0.106 * exp((ph - 8) / 0.56)
    boric *= _relaxation(f, 0.78 * sqrt(salinity / 35) * exp(temperature / 26))
    magnesium = 0.52 * (1 + temperature / 43) * salinity / 35 * exp(-depth / 6000)
    magnesium *= _relaxation(f, 42 * exp(temperature / 17))
    viscous = 0.00049 * f * f * exp(-(temperature / 27 + depth / 17_000))
    return (boric + magnesium + viscous) * _KILO


@formula(
    title="Loss by absorption",
    symbol="L_α",
    symbols={"absorption": "α", "distance": "r"},
    tex=r"L_\alpha = \alpha r",
    working="{absorption} · {distance}",
    validity="One kind of water all the way. Spreading comes on top.",
    sources=("absorption-page", "arlpy-absorption"),
)
def absorption_loss(absorption: DecibelPerMetre, distance: Metre) -> Decibel:
    """What absorption takes on the way.

    Args:
        absorption: dB/m, 0 to 10.
        distance: m, 0 to 1e9.

    Returns:
        Loss in dB.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of the absorption coefficient.

    >>> absorption_loss(absorption=0.01, distance=300)
    3.0
    """
    require_between(0, 10, absorption=absorption)
    require_between(0, 1e9, distance=distance)
    return absorption * distance
