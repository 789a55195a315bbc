"""The front end: a capacitive element, its bias resistor, and the capacitor into the recorder."""

from math import hypot, log, log10, pi, sqrt

from calculators.formula import formula, require_between, require_positive
from calculators.quantities import Decibel, Farad, Hertz, Ohm, Ratio, Second


@formula(
    title="Corner of a resistor and a capacitor",
    symbol="f",
    symbols={"resistance": "R", "capacitance": "C"},
    tex=r"f = \frac{1}{2 \pi R C}",
    working="1 / (2π · {resistance} · {capacitance})",
    validity="Any linear resistor and capacitor; leakage through damp potting counts as part of R.",
    sources=("piezo-film-manual", "horowitz-hill-2015"),
)
def rc_corner(resistance: Ohm, capacitance: Farad) -> Hertz:
    """Frequency at which a resistor and a capacitor pass half the power.

    Args:
        resistance: Resistance across, or fed through, the capacitance; Ω, above zero.
        capacitance: All capacitance that the resistance discharges; F, above zero.

    Returns:
        The −3.01 dB frequency in Hz.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Textbook: first-order network. See the ledger for the checks.

    >>> round(rc_corner(resistance=10e6, capacitance=7e-9), 4)
    2.2736
    """
    require_positive(resistance=resistance, capacitance=capacitance)
    return 1 / (2 * pi * resistance * capacitance)


@formula(
    title="Time to settle",
    symbol="t",
    symbols={"resistance": "R", "capacitance": "C", "remaining": "r"},
    tex=r"t = R C \ln \frac{1}{r}",
    working="{resistance} · {capacitance} · ln(1 / {remaining})",
    validity="One resistor and one capacitor after a step; r from 10⁻⁹ to 1.",
    sources=("ti-pocket-reference", "horowitz-hill-2015"),
)
def rc_settling_time(resistance: Ohm, capacitance: Farad, remaining: Ratio) -> Second:
    """Time after a step until only the fraction ``remaining`` of it is left.

    Args:
        resistance: Ω, above zero.
        capacitance: F, above zero.
        remaining: What may be left of the step, 1e-9 to 1 (0.01 is "within 1 %").

    Returns:
        Time in s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Textbook: exponential discharge.

    >>> round(rc_settling_time(resistance=1e6, capacitance=1e-6, remaining=0.01), 4)
    4.6052
    """
    require_positive(resistance=resistance, capacitance=capacitance)
    require_between(1e-9, 1, remaining=remaining)
    return resistance * capacitance * log(1 / remaining)


@formula(
    title="Level after a capacitive divider",
    symbol="ΔL",
    symbols={"source_capacitance": "C_e", "load_capacitance": "C_l"},
    tex=r"\Delta L = 20 \log_{10} \frac{C_\mathrm{e}}{C_\mathrm{e} + C_\mathrm{l}}",
    working="20 · log₁₀({source_capacitance} / ({source_capacitance} + {load_capacitance}))",
    validity="Voltage amplifiers, well above the low corner and well below resonance.",
    sources=("npl-loading", "iec-60565-1"),
)
def capacitive_divider_level(source_capacitance: Farad, load_capacitance: Farad) -> Decibel:
    """Level lost when a capacitive element also drives its cable and the amplifier's input.

    Args:
        source_capacitance: Capacitance of the element alone; F, above zero.
        load_capacitance: Cable and amplifier input together; F, zero or more.

    Returns:
        Level in dB, zero or below.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Charge shared between capacitances; end-of-cable and open-circuit sensitivity differ by it.

    >>> round(capacitive_divider_level(source_capacitance=6e-9, load_capacitance=1e-9), 4)
    -1.3389
    """
    require_positive(source_capacitance=source_capacitance)
    require_between(0, float("inf"), load_capacitance=load_capacitance)
    return 20 * log10(source_capacitance / (source_capacitance + load_capacitance))


@formula(
    title="Half-power frequency of two corners",
    symbol="f",
    symbols={"first_corner": "f_1", "second_corner": "f_2"},
    tex=(r"f = \sqrt{\frac{f_1^2 + f_2^2 + \sqrt{(f_1^2 + f_2^2)^2 + 4 f_1^2 f_2^2}}{2}}"),
    working=(
        "√(({first_corner}² + {second_corner}²"
        " + √(({first_corner}² + {second_corner}²)² + 4 · {first_corner}² · {second_corner}²)) / 2)"
    ),
    validity="Two first-order high-pass networks with a buffer between them.",
    sources=("wetside-derivation-two-corners",),
)
def two_corner_frequency(first_corner: Hertz, second_corner: Hertz) -> Hertz:
    """Frequency at which two buffered high-pass networks together pass half the power.

    It lies above both corners: by 1.554 where they are equal.

    Args:
        first_corner: Hz, above zero.
        second_corner: Hz, above zero.

    Returns:
        The −3.01 dB frequency of both together, Hz.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        The product of two first-order power responses set to one half and solved for f².

    >>> round(two_corner_frequency(first_corner=1, second_corner=1), 4)
    1.5538
    """
    require_positive(first_corner=first_corner, second_corner=second_corner)
    # Scaled by the larger corner, so that neither squares nor products leave the float range.
    largest = max(first_corner, second_corner)
    a, b = first_corner / largest, second_corner / largest
    squares = a * a + b * b
    return largest * sqrt((squares + hypot(squares, 2 * a * b)) / 2)


@formula(
    title="Level of a high-pass network",
    symbol="ΔL",
    symbols={"frequency": "f", "corner": "f_c"},
    tex=r"\Delta L = -10 \log_{10}\left(1 + \left(\frac{f_\mathrm{c}}{f}\right)^2\right)",
    working="−10 · log₁₀(1 + ({corner} / {frequency})²)",
    validity="One first-order high-pass network.",
    sources=("horowitz-hill-2015",),
)
def high_pass_level(frequency: Hertz, corner: Hertz) -> Decibel:
    """Level that a first-order high-pass network passes at one frequency.

    Args:
        frequency: Hz, above zero.
        corner: Its −3.01 dB frequency, Hz, above zero.

    Returns:
        Level in dB re the level far above the corner, below zero.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Textbook: first-order network.

    >>> round(high_pass_level(frequency=10, corner=10), 4)
    -3.0103
    """
    require_positive(frequency=frequency, corner=corner)
    return -20 * log10(hypot(1, corner / frequency))
