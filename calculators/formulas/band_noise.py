"""Noise of the front end summed over a band of frequencies, in closed form."""

from math import atan2, hypot, log, log1p, pi, sqrt

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.formulas.constants import BOLTZMANN, kelvin
from calculators.formulas.noise import not_negative
from calculators.quantities import (
    AmperePerRootHertz,
    Celsius,
    Decibel,
    Farad,
    Hertz,
    Ohm,
    Ratio,
    Volt,
    VoltPerRootHertz,
)


@formula(
    title="Noise of a capacitor over all frequencies",
    symbol="U_c",
    symbols={"capacitance": "C", "temperature": "t"},
    tex=r"U_\mathrm{c} = \sqrt{\frac{k T}{C}}",
    working="√(k · T({temperature}) / {capacitance})",
    validity="Any resistor, of whatever value, across one capacitance; k = 1.380649·10⁻²³ J/K.",
    sources=("nyquist-1928", "horowitz-hill-2015"),
)
def ktc_noise(capacitance: Farad, temperature: Celsius) -> Volt:
    """All thermal noise across a capacitance, from nought to infinite frequency.

    Args:
        capacitance: F, above zero.
        temperature: °C, −273.15 or more.

    Returns:
        V rms; the resistance drops out.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Equipartition; also the integral of the noise of R and C in parallel.

    >>> round(ktc_noise(capacitance=1e-9, temperature=26.85) * 1e6, 3)
    2.035
    """
    require_positive(capacitance=capacitance)
    return sqrt(BOLTZMANN * kelvin(temperature) / capacitance)


_BAND = {"band_low": "f_1", "band_high": "f_2"}
_SOURCE = {
    "bias_resistance": "R",
    "element_capacitance": "C_e",
    "loss_tangent": "tan δ",
    "load_capacitance": "C_l",
}
_SOURCE_TEX = (
    r"x_k = \frac{1/(2 \pi f_k R) + C_\mathrm{e} \tan\delta}"
    r"{C_\mathrm{e} + C_\mathrm{l}}, \quad \theta = \arctan x_1 - \arctan x_2"
)


@formula(
    title="Amplifier's voltage noise over a band",
    symbol="U_a",
    symbols={"voltage_noise": "e_n", "noise_corner": "f_e", **_BAND},
    tex=r"U_\mathrm{a} = e_\mathrm{n} \sqrt{f_2 - f_1 + f_\mathrm{e} \ln\frac{f_2}{f_1}}",
    working=(
        "{voltage_noise} · √({band_high} − {band_low}"
        " + {noise_corner} · ln({band_high} / {band_low}))"
    ),
    validity="Sharp ends of the band; a flat part and one that falls as 1/f in power.",
    sources=("op-amp-noise-relationships", "horowitz-hill-2015"),
)
def voltage_band_noise(
    voltage_noise: VoltPerRootHertz, noise_corner: Hertz, band_low: Hertz, band_high: Hertz
) -> Volt:
    """Voltage noise with a 1/f part, summed over a band.

    Args:
        voltage_noise: Where the curve is flat; V/√Hz, zero or more.
        noise_corner: Where both parts are equally strong; Hz, zero or more.
        band_low: Hz, above zero.
        band_high: Hz, not below band_low.

    Returns:
        V rms.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Integral of e² (1 + f_e / f).

    >>> round(voltage_band_noise(voltage_noise=10e-9, noise_corner=0, band_low=1,
    ...     band_high=10001) * 1e6, 6)
    1.0
    """
    not_negative(voltage_noise=voltage_noise, noise_corner=noise_corner)
    _require_band(band_low, band_high)
    return voltage_noise * sqrt(band_high - band_low + noise_corner * log(band_high / band_low))


def _require_band(low: float, high: float) -> None:
    require_positive(band_low=low, band_high=high)
    if high < low:
        raise InputError("band_high", f"band_high must be {low!r} or more, given {high!r}")


@formula(
    title="Thermal noise of element and bias resistor over a band",
    symbol="U_t",
    symbols={**_SOURCE, **_BAND, "temperature": "t"},
    tex=(
        r"U_\mathrm{t} = \sqrt{\frac{2 k T}{\pi}"
        r"\cdot\frac{(C_\mathrm{e} + C_\mathrm{l})\,\theta + C_\mathrm{e} \tan\delta"
        r"\left(\ln\frac{f_2}{f_1} + \frac{1}{2} \ln\frac{1 + x_2^2}{1 + x_1^2}\right)}"
        r"{(C_\mathrm{e} + C_\mathrm{l})^2 + (C_\mathrm{e} \tan\delta)^2}}, \quad " + _SOURCE_TEX
    ),
    working=(
        "U({bias_resistance}, {element_capacitance}, {loss_tangent}, {load_capacitance},"
        " {band_low}, {band_high}, {temperature})"
    ),
    validity="Sharp ends of the band; the loss tangent the same over all of it.",
    sources=("wetside-derivation-source-noise", "nyquist-1928"),
)
def source_band_noise(
    bias_resistance: Ohm,
    element_capacitance: Farad,
    loss_tangent: Ratio,
    load_capacitance: Farad,
    band_low: Hertz,
    band_high: Hertz,
    temperature: Celsius,
) -> Volt:
    """Thermal noise of bias resistor and lossy element at the buffer's input, over a band.

    Args:
        bias_resistance: Ω, above zero.
        element_capacitance: F, above zero.
        loss_tangent: Zero or more.
        load_capacitance: F, zero or more.
        band_low: Hz, above zero.
        band_high: Hz, not below band_low.
        temperature: °C, −273.15 or more.

    Returns:
        V rms. Without loss and over all frequencies it is √(kT / (C_e + C_l)).

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Integral of 4 k T Re Z, in closed form.

    >>> round(source_band_noise(bias_resistance=1e7, element_capacitance=7e-9, loss_tangent=0,
    ...     load_capacitance=0, band_low=1e-6, band_high=1e9, temperature=20) * 1e6, 4)
    0.7604
    """
    net = _Net(bias_resistance, element_capacitance, loss_tangent, load_capacitance)
    angle, logarithm = net.turned(band_low, band_high)
    # A difference of nearly equal terms; rounding may leave it a hair below zero.
    loss = max(log(band_high / band_low) - logarithm, 0.0)
    power = net.all_capacitance * angle + net.loss_capacitance * loss
    squares = net.all_capacitance**2 + net.loss_capacitance**2
    return sqrt(2 * BOLTZMANN * kelvin(temperature) / pi * power / squares)


@formula(
    title="Amplifier's current noise over a band, as a voltage",
    symbol="U_i",
    symbols={"current_noise": "i_n", "current_noise_corner": "f_i", **_SOURCE, **_BAND},
    tex=(
        r"U_\mathrm{i} = i_\mathrm{n} \sqrt{\frac{R \theta}"
        r"{2 \pi (C_\mathrm{e} + C_\mathrm{l})} + f_\mathrm{i} R^2 \left("
        r"\frac{1}{2} \ln\frac{1 + x_1^2}{1 + x_2^2}"
        r" - \frac{C_\mathrm{e} \tan\delta}{C_\mathrm{e} + C_\mathrm{l}} \theta\right)}, \quad "
        + _SOURCE_TEX
    ),
    working=(
        "U({current_noise}, {current_noise_corner}, {bias_resistance}, {element_capacitance},"
        " {loss_tangent}, {load_capacitance}, {band_low}, {band_high})"
    ),
    validity="Sharp ends of the band; current noise that does not depend on the voltage noise.",
    sources=("wetside-derivation-source-noise",),
)
def current_band_noise(
    current_noise: AmperePerRootHertz,
    current_noise_corner: Hertz,
    bias_resistance: Ohm,
    element_capacitance: Farad,
    loss_tangent: Ratio,
    load_capacitance: Farad,
    band_low: Hertz,
    band_high: Hertz,
) -> Volt:
    """Voltage that an amplifier's current noise makes at its input, over a band.

    Args:
        current_noise: Where the curve is flat; A/√Hz, zero or more.
        current_noise_corner: Hz, zero or more.
        bias_resistance: Ω, above zero.
        element_capacitance: F, above zero.
        loss_tangent: Zero or more.
        load_capacitance: F, zero or more.
        band_low: Hz, above zero.
        band_high: Hz, not below band_low.

    Returns:
        V rms.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Integral of i² (1 + f_i / f) |Z|², in closed form.

    >>> round(current_band_noise(current_noise=1e-12, current_noise_corner=0, bias_resistance=1e5,
    ...     element_capacitance=1e-15, loss_tangent=0, load_capacitance=0, band_low=1,
    ...     band_high=10001) * 1e6, 4)
    10.0
    """
    not_negative(current_noise=current_noise, current_noise_corner=current_noise_corner)
    net = _Net(bias_resistance, element_capacitance, loss_tangent, load_capacitance)
    angle, logarithm = net.turned(band_low, band_high)
    flat = bias_resistance * angle / (2 * pi * net.all_capacitance)
    # Written as a difference of nearly equal terms; rounding may leave it a hair below zero.
    rise = logarithm - net.loss_ratio * angle
    return current_noise * sqrt(flat + current_noise_corner * bias_resistance**2 * max(rise, 0.0))


class _Net:
    """Bias resistor, lossy element and load, as the integrals over a band need them."""

    def __init__(
        self, resistance: float, capacitance: float, loss_tangent: float, load: float
    ) -> None:
        require_positive(bias_resistance=resistance, element_capacitance=capacitance)
        not_negative(loss_tangent=loss_tangent, load_capacitance=load)
        self.resistance = resistance
        self.all_capacitance = capacitance + load
        self.loss_capacitance = capacitance * loss_tangent
        self.loss_ratio = self.loss_capacitance / self.all_capacitance

    def turned(self, low: float, high: float) -> tuple[float, float]:
        """θ = arctan x₁ − arctan x₂ and ½ ln((1 + x₁²) / (1 + x₂²)).

        x is conductance over susceptance. Both are formed from the difference of the two x, which
        is small where the loss outweighs the resistor, so that its digits are kept.
        """
        _require_band(low, high)
        corner = 1 / (2 * pi * self.resistance * self.all_capacitance)
        x1, x2 = corner / low + self.loss_ratio, corner / high + self.loss_ratio
        apart = corner * (high - low) / low / high
        return atan2(apart, 1 + x1 * x2), log1p(apart * (x1 + x2) / (1 + x2 * x2)) / 2


@formula(
    title="All noise over a band, at the buffer's input",
    symbol="U",
    symbols={
        "source_noise": "U_t",
        "voltage_noise": "U_a",
        "current_noise": "U_i",
        "recorder_noise": "U_r",
    },
    tex=r"U = \sqrt{U_\mathrm{t}^2 + U_\mathrm{a}^2 + U_\mathrm{i}^2 + U_\mathrm{r}^2}",
    working="√({source_noise}² + {voltage_noise}² + {current_noise}² + {recorder_noise}²)",
    validity="Noises that do not depend on each other.",
    sources=("horowitz-hill-2015",),
)
def total_band_noise(
    source_noise: Volt, voltage_noise: Volt, current_noise: Volt, recorder_noise: Volt
) -> Volt:
    """Noise of source, amplifier and recorder together, over a band.

    Args:
        source_noise: Thermal noise of element and bias resistor; V, zero or more.
        voltage_noise: Of the amplifier; V, zero or more.
        current_noise: Of the amplifier, as a voltage; V, zero or more.
        recorder_noise: Seen from in front of the gain; V, zero or more.

    Returns:
        V rms.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Powers of independent noises add.

    >>> round(total_band_noise(source_noise=3e-6, voltage_noise=4e-6, current_noise=0,
    ...     recorder_noise=0) * 1e6, 9)
    5.0
    """
    not_negative(
        source_noise=source_noise,
        voltage_noise=voltage_noise,
        current_noise=current_noise,
        recorder_noise=recorder_noise,
    )
    return hypot(source_noise, voltage_noise, current_noise, recorder_noise)


@formula(
    title="Mean density of a noise over a band",
    symbol="e_m",
    symbols={"voltage": "U", **_BAND},
    tex=r"e_\mathrm{m} = \frac{U}{\sqrt{f_2 - f_1}}",
    working="{voltage} / √({band_high} − {band_low})",
    validity="Mean of the power: a flat noise of this density has the same voltage in the band.",
    sources=("horowitz-hill-2015",),
)
def mean_noise_density(voltage: Volt, band_low: Hertz, band_high: Hertz) -> VoltPerRootHertz:
    """The flat density that makes as much noise in a band as there is.

    Args:
        voltage: Noise over the band, rms; V, zero or more.
        band_low: Hz, above zero.
        band_high: Hz, above band_low.

    Returns:
        V/√Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a mean over a band.

    >>> round(mean_noise_density(voltage=1e-6, band_low=1, band_high=10001) * 1e9, 6)
    10.0
    """
    not_negative(voltage=voltage)
    require_positive(band_low=band_low)
    if band_high <= band_low:
        raise InputError("band_high", f"band_high must be above {band_low!r}, given {band_high!r}")
    return voltage / sqrt(band_high - band_low)


@formula(
    title="Voltage behind a gain",
    symbol="U_o",
    symbols={"voltage": "U", "gain": "G"},
    tex=r"U_\mathrm{o} = U \, 10^{G / 20}",
    working="{voltage} · 10^({gain} / 20)",
    validity="The same gain at every frequency.",
    sources=("iec-60050-131",),
)
def voltage_after_gain(voltage: Volt, gain: Decibel) -> Volt:
    """A voltage in front of a gain as it leaves the gain.

    Args:
        voltage: V, zero or more.
        gain: Voltage gain; dB, −1000 to 1000.

    Returns:
        V.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a gain in dB.

    >>> round(voltage_after_gain(voltage=2e-6, gain=40), 9)
    0.0002
    """
    not_negative(voltage=voltage)
    require_between(-1000, 1000, gain=gain)
    return float(voltage * 10 ** (gain / 20))
