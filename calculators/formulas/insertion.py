"""A known voltage in series with the element: what the chain makes of it."""

from math import inf, log10, pi, sqrt

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.formulas.levels import require_level
from calculators.quantities import Decibel, Farad, Hertz, Ohm, Volt


@formula(
    title="Voltage gain",
    symbol="G",
    symbols={"output_voltage": "U_2", "input_voltage": "U_1"},
    tex=r"G = 20 \log_{10} \frac{U_2}{U_1}",
    working="20 · log₁₀({output_voltage} / {input_voltage})",
    validity="Both voltages rms, or both peak, of the same sine.",
    sources=("fundamentals-sensitivity", "horowitz-hill-2015"),
)
def voltage_gain(output_voltage: Volt, input_voltage: Volt) -> Decibel:
    """Gain of a chain from what was put in and what came out.

    Args:
        output_voltage: V, above zero.
        input_voltage: V, above zero, both rms or both peak.

    Returns:
        dB, below zero for a loss.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Definition of a gain.

    >>> voltage_gain(output_voltage=1.0, input_voltage=0.1)
    20.0
    """
    require_positive(output_voltage=output_voltage, input_voltage=input_voltage)
    return 20 * log10(output_voltage / input_voltage)


@formula(
    title="Corner from a drop between two frequencies",
    symbol="f_c",
    symbols={"frequency": "f", "low_frequency": "f_l", "drop": "D"},
    tex=(
        r"f_\mathrm{c} = \sqrt{\frac{1 - q}{q / f_\mathrm{l}^2 - 1 / f^2}},"
        r"\quad q = 10^{-D / 10}"
    ),
    working=(
        "√((1 − 10^(−{drop} / 10)) / (10^(−{drop} / 10) / {low_frequency}² − 1 / {frequency}²))"
    ),
    validity="One first-order high-pass network, a drop between 0 and 20 log (f / f_l); near "
    "either end a small error of it is a large one of the corner.",
    sources=("wetside-derivation-corner-drop",),
)
def corner_from_drop(frequency: Hertz, low_frequency: Hertz, drop: Decibel) -> Hertz:
    """Corner of a high-pass network that passes so much less at one frequency than at another.

    Args:
        frequency: The upper one, Hz.
        low_frequency: The lower one, Hz, above zero.
        drop: Level at the upper less that at the lower frequency, dB; above zero.

    Returns:
        The −3.01 dB frequency, Hz.

    Raises:
        InputError: If no first-order network has such a drop.

    Source:
        Ratio of two first-order power responses, solved for the corner.

    >>> round(corner_from_drop(frequency=1e6, low_frequency=1.0, drop=3.0103), 4)
    1.0
    """
    require_positive(low_frequency=low_frequency)
    require_between(low_frequency, inf, frequency=frequency)
    most = 20 * log10(frequency / low_frequency)
    if not 0 < drop < most:
        raise InputError("drop", f"drop must be above zero and below {most!r} dB, given {drop!r}")
    power = 10 ** (-drop / 10)
    below = power - (low_frequency / frequency) ** 2
    if below <= 0:
        raise InputError("drop", f"drop must be below {most!r} dB, given {drop!r}")
    return low_frequency * sqrt((1 - power) / below)


@formula(
    title="Capacitance from a corner",
    symbol="C",
    symbols={"resistance": "R", "corner": "f_c"},
    tex=r"C = \frac{1}{2 \pi R f_\mathrm{c}}",
    working="1 / (2π · {resistance} · {corner})",
    validity="All capacitance that the resistor discharges; a leak is part of the resistor, and "
    "looks like less capacitance.",
    sources=("piezo-film-manual", "horowitz-hill-2015"),
)
def capacitance_from_corner(resistance: Ohm, corner: Hertz) -> Farad:
    """Capacitance that has this corner with a known resistor.

    Args:
        resistance: Ω, above zero.
        corner: −3.01 dB frequency, Hz, above zero.

    Returns:
        F.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Corner of a resistor and a capacitor, solved for the capacitor.

    >>> round(capacitance_from_corner(resistance=10e6, corner=2.273642) * 1e9, 4)
    7.0
    """
    require_positive(resistance=resistance, corner=corner)
    return 1 / (2 * pi * resistance * corner)


@formula(
    title="Capacitance from what a known capacitor takes",
    symbol="C",
    symbols={"parallel_capacitance": "C_p", "drop": "D"},
    tex=r"C = \frac{C_\mathrm{p}}{10^{D / 20} - 1}",
    working="{parallel_capacitance} / (10^({drop} / 20) − 1)",
    validity="Well above the low corner, where capacitances alone divide the voltage. Neither gain "
    "nor bias resistor count.",
    sources=("wetside-derivation-parallel-capacitor",),
)
def capacitance_from_loading(parallel_capacitance: Farad, drop: Decibel) -> Farad:
    """Capacitance of element, cable and input, from the drop that one more capacitor makes.

    Args:
        parallel_capacitance: The known one, from the buffer's input to ground; F, above zero.
        drop: Level without it less that with it, dB, above zero.

    Returns:
        F, of all that was there before.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        The same charge on more capacitance.

    >>> round(capacitance_from_loading(parallel_capacitance=1e-9, drop=6.0206) * 1e9, 4)
    1.0
    """
    require_positive(parallel_capacitance=parallel_capacitance, drop=drop)
    require_level(drop=drop)
    return float(parallel_capacitance / (10 ** (drop / 20) - 1))
