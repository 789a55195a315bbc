"""Noise of the front end: what the chain itself adds to a recording."""

from math import hypot, inf, log10, pi, sqrt

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.formulas.constants import BOLTZMANN, kelvin
from calculators.quantities import (
    AmperePerRootHertz,
    Celsius,
    Decibel,
    Farad,
    Hertz,
    Ohm,
    Ratio,
    SensitivityLevel,
    SpectralDensityLevel,
    VoltPerRootHertz,
)


def not_negative(**arguments: float) -> None:
    """Refuse, by name, any argument below zero, infinite or not a number."""
    for name, value in arguments.items():
        if not 0 <= value < inf:
            raise InputError(name, f"{name} must be zero or more, given {value!r}")


@formula(
    title="Thermal noise of a resistance",
    symbol="e_t",
    symbols={"resistance": "R", "temperature": "t"},
    tex=r"e_\mathrm{t} = \sqrt{4 k T R}, \quad T = t + 273.15\,\mathrm{K}",
    working="√(4 · k · T({temperature}) · {resistance})",
    validity="Any resistance, or real part of an impedance, at rest at one temperature; "
    "k = 1.380649·10⁻²³ J/K.",
    sources=("nyquist-1928", "johnson-1928"),
)
def thermal_noise_density(resistance: Ohm, temperature: Celsius) -> VoltPerRootHertz:
    """Noise that heat makes in a resistance, or in the real part of any impedance.

    Args:
        resistance: Ω, zero or more.
        temperature: °C, −273.15 or more.

    Returns:
        Spectral density of the open-circuit voltage, V/√Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Nyquist 1928, far below infrared frequencies.

    >>> round(thermal_noise_density(resistance=1000, temperature=26.85) * 1e9, 4)
    4.0704
    """
    not_negative(resistance=resistance)
    return sqrt(4 * BOLTZMANN * kelvin(temperature) * resistance)


@formula(
    title="Impedance at the buffer's input",
    symbol="|Z|",
    symbols={
        "frequency": "f",
        "bias_resistance": "R",
        "element_capacitance": "C_e",
        "loss_tangent": "tan δ",
        "load_capacitance": "C_l",
    },
    tex=(
        r"|Z| = \left|\frac{1}{R} + \omega C_\mathrm{e} \tan\delta"
        r" + \mathrm{j} \omega (C_\mathrm{e} + C_\mathrm{l})\right|^{-1}, \quad \omega = 2 \pi f"
    ),
    working=(
        "1 / √((1 / {bias_resistance} + 2π · {frequency} · {element_capacitance} · {loss_tangent})²"
        " + (2π · {frequency} · ({element_capacitance} + {load_capacitance}))²)"
    ),
    validity="Element far below its resonance, its loss tangent the same at every frequency.",
    sources=("wetside-derivation-source-noise", "iec-60050-131"),
)
def source_impedance(
    frequency: Hertz,
    bias_resistance: Ohm,
    element_capacitance: Farad,
    loss_tangent: Ratio,
    load_capacitance: Farad,
) -> Ohm:
    """Magnitude of what the buffer's input sees: resistor, lossy element and load in parallel.

    Args:
        frequency: Hz, above zero.
        bias_resistance: Ω, above zero.
        element_capacitance: F, above zero.
        loss_tangent: Loss of the element as a parallel conductance ω C tan δ; zero or more.
        load_capacitance: Cable and amplifier input, taken as free of loss; F, zero or more.

    Returns:
        Ω.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Sum of admittances.

    >>> round(source_impedance(frequency=1000, bias_resistance=1e6,
    ...     element_capacitance=8e-9, loss_tangent=0.02, load_capacitance=0.5e-9), 2)
    18710.93
    """
    return 1 / hypot(
        *_admittance(
            frequency, bias_resistance, element_capacitance, loss_tangent, load_capacitance
        )
    )


def _admittance(
    frequency: float, resistance: float, capacitance: float, loss_tangent: float, load: float
) -> tuple[float, float]:
    """Real and imaginary part of the admittance at the buffer's input, S."""
    require_positive(
        frequency=frequency, bias_resistance=resistance, element_capacitance=capacitance
    )
    not_negative(loss_tangent=loss_tangent, load_capacitance=load)
    omega = 2 * pi * frequency
    real = 1 / resistance + omega * capacitance * loss_tangent
    return real, omega * (capacitance + load)


@formula(
    title="Real part of the impedance that the bias resistor makes",
    symbol="R_1",
    symbols={"impedance": "|Z|", "bias_resistance": "R"},
    tex=r"R_1 = \frac{|Z|^2}{R}",
    working="{impedance}² / {bias_resistance}",
    validity="A resistor in parallel with anything; all real parts at one node add up to Re Z.",
    sources=("wetside-derivation-source-noise",),
)
def bias_noise_resistance(impedance: Ohm, bias_resistance: Ohm) -> Ohm:
    """The bias resistor's part of the real part of the impedance: this part makes its noise.

    Args:
        impedance: Magnitude of the whole impedance at the node; Ω, above zero.
        bias_resistance: Ω, above zero.

    Returns:
        Ω. Above the corner it falls where the resistor grows.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Re(1 / Y) = Re(Y) |Z|², term by term.

    >>> bias_noise_resistance(impedance=10e3, bias_resistance=1e6)
    100.0
    """
    require_positive(impedance=impedance, bias_resistance=bias_resistance)
    return impedance * impedance / bias_resistance


@formula(
    title="Real part of the impedance that the element's loss makes",
    symbol="R_2",
    symbols={
        "impedance": "|Z|",
        "frequency": "f",
        "element_capacitance": "C_e",
        "loss_tangent": "tan δ",
    },
    tex=r"R_2 = 2 \pi f C_\mathrm{e} \tan\delta \, |Z|^2",
    working="2π · {frequency} · {element_capacitance} · {loss_tangent} · {impedance}²",
    validity="Loss as a conductance in parallel with the element's capacitance.",
    sources=("wetside-derivation-source-noise",),
)
def loss_noise_resistance(
    impedance: Ohm, frequency: Hertz, element_capacitance: Farad, loss_tangent: Ratio
) -> Ohm:
    """The part of the real part of the impedance that the element's dielectric loss makes.

    Args:
        impedance: Magnitude of the whole impedance at the node; Ω, above zero.
        frequency: Hz, above zero.
        element_capacitance: F, above zero.
        loss_tangent: Zero or more.

    Returns:
        Ω. With nothing in parallel it is the element's equivalent series resistance.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Re(1 / Y) = Re(Y) |Z|², term by term.

    >>> round(loss_noise_resistance(impedance=20e3, frequency=1000,
    ...     element_capacitance=8e-9, loss_tangent=0.02), 2)
    402.12
    """
    require_positive(
        impedance=impedance, frequency=frequency, element_capacitance=element_capacitance
    )
    not_negative(loss_tangent=loss_tangent)
    return 2 * pi * frequency * element_capacitance * loss_tangent * impedance * impedance


@formula(
    title="Voltage noise of the amplifier at a frequency",
    symbol="e_a",
    symbols={"voltage_noise": "e_n", "noise_corner": "f_e", "frequency": "f"},
    tex=r"e_\mathrm{a} = e_\mathrm{n} \sqrt{1 + \frac{f_\mathrm{e}}{f}}",
    working="{voltage_noise} · √(1 + {noise_corner} / {frequency})",
    validity="A flat part and one that rises as 1/f in power; single types rise a little "
    "more or less steeply.",
    sources=("op-amp-noise-relationships", "horowitz-hill-2015"),
)
def amplifier_voltage_noise(
    voltage_noise: VoltPerRootHertz, noise_corner: Hertz, frequency: Hertz
) -> VoltPerRootHertz:
    """Voltage noise of an amplifier with its 1/f part.

    Args:
        voltage_noise: Where the curve is flat; V/√Hz, zero or more.
        noise_corner: Where both parts are equally strong; Hz, zero or more.
        frequency: Hz, above zero.

    Returns:
        V/√Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Common model of amplifier noise.

    >>> round(amplifier_voltage_noise(voltage_noise=5e-9, noise_corner=300, frequency=100) * 1e9, 6)
    10.0
    """
    not_negative(voltage_noise=voltage_noise, noise_corner=noise_corner)
    require_positive(frequency=frequency)
    return voltage_noise * sqrt(1 + noise_corner / frequency)


@formula(
    title="Current noise of the amplifier at a frequency",
    symbol="i_a",
    symbols={"current_noise": "i_n", "current_noise_corner": "f_i", "frequency": "f"},
    tex=r"i_\mathrm{a} = i_\mathrm{n} \sqrt{1 + \frac{f_\mathrm{i}}{f}}",
    working="{current_noise} · √(1 + {current_noise_corner} / {frequency})",
    validity="As for the voltage noise. Field-effect inputs have no corner of their own at audio "
    "frequencies; bipolar inputs do.",
    sources=("op-amp-noise-relationships", "horowitz-hill-2015"),
)
def amplifier_current_noise(
    current_noise: AmperePerRootHertz, current_noise_corner: Hertz, frequency: Hertz
) -> AmperePerRootHertz:
    """Current noise of an amplifier's input with its 1/f part.

    Args:
        current_noise: Where the curve is flat; A/√Hz, zero or more.
        current_noise_corner: Where both parts are equally strong; Hz, zero or more.
        frequency: Hz, above zero.

    Returns:
        A/√Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Common model of amplifier noise.

    >>> round(amplifier_current_noise(current_noise=0.4e-12, current_noise_corner=150,
    ...     frequency=50) * 1e12, 6)
    0.8
    """
    not_negative(current_noise=current_noise, current_noise_corner=current_noise_corner)
    require_positive(frequency=frequency)
    return current_noise * sqrt(1 + current_noise_corner / frequency)


@formula(
    title="Voltage that the current noise makes",
    symbol="e_i",
    symbols={"current_noise": "i_a", "impedance": "|Z|"},
    tex=r"e_\mathrm{i} = i_\mathrm{a} |Z|",
    working="{current_noise} · {impedance}",
    validity="Current noise that has nothing to do with the voltage noise.",
    sources=("horowitz-hill-2015",),
)
def current_noise_voltage(current_noise: AmperePerRootHertz, impedance: Ohm) -> VoltPerRootHertz:
    """Voltage noise that an amplifier's current noise makes in the impedance at its input.

    Args:
        current_noise: At this frequency; A/√Hz, zero or more.
        impedance: Magnitude at this frequency; Ω, zero or more.

    Returns:
        V/√Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Ohm's law.

    >>> round(current_noise_voltage(current_noise=1e-15, impedance=2e6) * 1e9, 9)
    2.0
    """
    not_negative(current_noise=current_noise, impedance=impedance)
    return current_noise * impedance


@formula(
    title="Noise seen from in front of the gain",
    symbol="e_r",
    symbols={"noise": "e_o", "gain": "G"},
    tex=r"e_\mathrm{r} = e_\mathrm{o} \, 10^{-G / 20}",
    working="{noise} / 10^({gain} / 20)",
    validity="The same gain at every frequency.",
    sources=("iec-60050-131",),
)
def noise_before_gain(noise: VoltPerRootHertz, gain: Decibel) -> VoltPerRootHertz:
    """Noise behind a gain as if it came from in front of it.

    Args:
        noise: Behind the gain; V/√Hz, zero or more.
        gain: Voltage gain; dB, −1000 to 1000.

    Returns:
        V/√Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a gain in dB.

    >>> round(noise_before_gain(noise=50e-9, gain=20) * 1e9, 9)
    5.0
    """
    not_negative(noise=noise)
    require_between(-1000, 1000, gain=gain)
    return float(noise * 10 ** (-gain / 20))


@formula(
    title="Noise behind the gain",
    symbol="e_o",
    symbols={"noise": "e", "gain": "G"},
    tex=r"e_\mathrm{o} = e \, 10^{G / 20}",
    working="{noise} · 10^({gain} / 20)",
    validity="The same gain at every frequency.",
    sources=("iec-60050-131",),
)
def noise_after_gain(noise: VoltPerRootHertz, gain: Decibel) -> VoltPerRootHertz:
    """Noise in front of a gain as it leaves the gain.

    Args:
        noise: In front of the gain; V/√Hz, zero or more.
        gain: Voltage gain; dB, −1000 to 1000.

    Returns:
        V/√Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a gain in dB.

    >>> round(noise_after_gain(noise=5e-9, gain=20) * 1e9, 9)
    50.0
    """
    not_negative(noise=noise)
    require_between(-1000, 1000, gain=gain)
    return float(noise * 10 ** (gain / 20))


@formula(
    title="All noise at the buffer's input",
    symbol="e",
    symbols={
        "bias_noise": "e_1",
        "loss_noise": "e_2",
        "voltage_noise": "e_a",
        "current_noise": "e_i",
        "recorder_noise": "e_r",
    },
    tex=(r"e = \sqrt{e_1^2 + e_2^2 + e_\mathrm{a}^2 + e_\mathrm{i}^2 + e_\mathrm{r}^2}"),
    working=(
        "√({bias_noise}² + {loss_noise}² + {voltage_noise}² + {current_noise}² + {recorder_noise}²)"
    ),
    validity="Noises that do not depend on each other.",
    sources=("horowitz-hill-2015",),
)
def total_noise(
    bias_noise: VoltPerRootHertz,
    loss_noise: VoltPerRootHertz,
    voltage_noise: VoltPerRootHertz,
    current_noise: VoltPerRootHertz,
    recorder_noise: VoltPerRootHertz,
) -> VoltPerRootHertz:
    """Noise of bias resistor, element's loss, amplifier and recorder together.

    Args:
        bias_noise: Thermal noise of the bias resistor's part; V/√Hz, zero or more.
        loss_noise: Thermal noise of the loss's part; V/√Hz, zero or more.
        voltage_noise: Of the amplifier at this frequency; V/√Hz, zero or more.
        current_noise: Voltage that the amplifier's current noise makes; V/√Hz, zero or more.
        recorder_noise: Seen from in front of the gain; V/√Hz, zero or more.

    Returns:
        V/√Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Powers of independent noises add.

    >>> round(total_noise(bias_noise=3e-9, loss_noise=0, voltage_noise=4e-9, current_noise=0,
    ...     recorder_noise=0) * 1e9, 9)
    5.0
    """
    not_negative(
        bias_noise=bias_noise,
        loss_noise=loss_noise,
        voltage_noise=voltage_noise,
        current_noise=current_noise,
        recorder_noise=recorder_noise,
    )
    return hypot(bias_noise, loss_noise, voltage_noise, current_noise, recorder_noise)


@formula(
    title="Part of one source in all the noise",
    symbol="s",
    symbols={"part": "e_k", "total": "e"},
    tex=r"s = \left(\frac{e_\mathrm{k}}{e}\right)^2",
    working="({part} / {total})²",
    validity="Parts of the power: over all sources they add up to 100 %.",
    sources=("horowitz-hill-2015",),
)
def noise_share(part: VoltPerRootHertz, total: VoltPerRootHertz) -> Ratio:
    """How much of the noise power one source makes.

    Args:
        part: Noise of this source; V/√Hz, zero or more.
        total: All noise, this source included; V/√Hz, above zero.

    Returns:
        0 to 1.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Powers of independent noises add.

    >>> noise_share(part=3e-9, total=5e-9)
    0.36
    """
    not_negative(part=part)
    require_positive(total=total)
    return (part / total) ** 2


@formula(
    title="Level from the element's open circuit to the buffer's input",
    symbol="ΔL",
    symbols={
        "impedance": "|Z|",
        "frequency": "f",
        "element_capacitance": "C_e",
        "loss_tangent": "tan δ",
    },
    tex=r"\Delta L = 20 \log_{10}\left(2 \pi f C_\mathrm{e} \sqrt{1 + \tan^2\delta} \, |Z|\right)",
    working=(
        "20 · log₁₀(2π · {frequency} · {element_capacitance} · √(1 + ({loss_tangent})²)"
        " · {impedance})"
    ),
    validity="The high-pass of element and bias resistor and the loss in the cable, both in one.",
    sources=("wetside-derivation-source-noise",),
)
def source_transfer_level(
    impedance: Ohm, frequency: Hertz, element_capacitance: Farad, loss_tangent: Ratio
) -> Decibel:
    """How much of the element's open-circuit voltage reaches the buffer's input.

    Args:
        impedance: Magnitude of the impedance at the node, element included; Ω, above zero.
        frequency: Hz, above zero.
        element_capacitance: F, above zero.
        loss_tangent: Zero or more.

    Returns:
        Level in dB, |H| = |Z| over the magnitude of the element's own impedance.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Voltage divider of the element's impedance and all that lies across it.

    >>> round(source_transfer_level(impedance=18710.0, frequency=1000,
    ...     element_capacitance=8e-9, loss_tangent=0.02), 4)
    -0.5314
    """
    require_positive(
        impedance=impedance, frequency=frequency, element_capacitance=element_capacitance
    )
    not_negative(loss_tangent=loss_tangent)
    own = 2 * pi * frequency * element_capacitance * hypot(1, loss_tangent)
    return 20 * log10(own * impedance)


@formula(
    title="Equivalent noise level",
    symbol="L_n",
    symbols={"noise": "e", "transfer_level": "ΔL", "sensitivity_level": "M"},
    tex=r"L_\mathrm{n} = 20 \log_{10}\frac{e}{1\,\mathrm{V}/\sqrt{\mathrm{Hz}}} - \Delta L - M",
    working="20 · log₁₀({noise}) − ({transfer_level}) − ({sensitivity_level})",
    validity="Sound from far away that reaches the element as a plane wave; below its resonance.",
    sources=("fundamentals-sensitivity", "iso-18405-terms", "iec-60565-1"),
)
def equivalent_noise_level(
    noise: VoltPerRootHertz, transfer_level: Decibel, sensitivity_level: SensitivityLevel
) -> SpectralDensityLevel:
    """Sound in the water that would make as much voltage as the chain's own noise does.

    Args:
        noise: All noise at the buffer's input; V/√Hz, above zero.
        transfer_level: From the element's open circuit to the buffer's input; dB.
        sensitivity_level: Of the element, open circuit; dB re 1 V/µPa.

    Returns:
        Spectral density level in dB re 1 µPa²/Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition: the noise divided by the sensitivity at the buffer's input.

    >>> equivalent_noise_level(noise=10e-9, transfer_level=0, sensitivity_level=-190)
    30.0
    """
    require_positive(noise=noise)
    require_between(-10_000, 10_000, transfer_level=transfer_level)
    require_between(-10_000, 10_000, sensitivity_level=sensitivity_level)
    return 20 * log10(noise) - transfer_level - sensitivity_level
