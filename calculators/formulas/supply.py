"""The virtual ground: the middle of one battery, made by two resistors and a capacitor."""

from math import hypot, log, log10, pi

from calculators.formula import formula, require_between, require_positive
from calculators.formulas.noise import not_negative
from calculators.quantities import (
    Ampere,
    Count,
    Decibel,
    Farad,
    Hertz,
    Ohm,
    Ratio,
    Second,
    Volt,
)

_DIVIDER = {"upper_resistance": "R_1", "lower_resistance": "R_2"}


@formula(
    title="Current through the divider",
    symbol="I",
    symbols={"supply_voltage": "U_s", **_DIVIDER},
    tex=r"I = \frac{U_\mathrm{s}}{R_1 + R_2}",
    working="{supply_voltage} / ({upper_resistance} + {lower_resistance})",
    validity="After the capacitors have charged.",
    sources=("iec-60050-131",),
)
def divider_current(supply_voltage: Volt, upper_resistance: Ohm, lower_resistance: Ohm) -> Ampere:
    """Current that the two resistors take from the battery, day and night.

    Args:
        supply_voltage: V, zero or more.
        upper_resistance: From the positive end to the middle; Ω, above zero.
        lower_resistance: From the middle to the negative end; Ω, above zero.

    Returns:
        A.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Ohm's law.

    >>> round(divider_current(supply_voltage=5, upper_resistance=100e3,
    ...     lower_resistance=100e3) * 1e6, 9)
    25.0
    """
    not_negative(supply_voltage=supply_voltage)
    require_positive(upper_resistance=upper_resistance, lower_resistance=lower_resistance)
    return supply_voltage / (upper_resistance + lower_resistance)


@formula(
    title="Voltage of the middle",
    symbol="U_m",
    symbols={"supply_voltage": "U_s", **_DIVIDER},
    tex=r"U_\mathrm{m} = U_\mathrm{s} \frac{R_2}{R_1 + R_2}",
    working="{supply_voltage} · {lower_resistance} / ({upper_resistance} + {lower_resistance})",
    validity="Unloaded: nothing but bias resistors goes to the middle.",
    sources=("iec-60050-131",),
)
def middle_voltage(supply_voltage: Volt, upper_resistance: Ohm, lower_resistance: Ohm) -> Volt:
    """Voltage of the virtual ground above the battery's negative end.

    Args:
        supply_voltage: V, zero or more.
        upper_resistance: From the positive end to the middle; Ω, above zero.
        lower_resistance: From the middle to the negative end; Ω, above zero.

    Returns:
        V.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Voltage divider.

    >>> middle_voltage(supply_voltage=6, upper_resistance=100e3, lower_resistance=200e3)
    4.0
    """
    not_negative(supply_voltage=supply_voltage)
    require_positive(upper_resistance=upper_resistance, lower_resistance=lower_resistance)
    return supply_voltage * lower_resistance / (upper_resistance + lower_resistance)


@formula(
    title="Resistance of the middle",
    symbol="R_m",
    symbols=_DIVIDER,
    tex=r"R_\mathrm{m} = \frac{R_1 R_2}{R_1 + R_2}",
    working="{upper_resistance} · {lower_resistance} / ({upper_resistance} + {lower_resistance})",
    validity="A battery whose own resistance is small against both.",
    sources=("iec-60050-131",),
)
def middle_resistance(upper_resistance: Ohm, lower_resistance: Ohm) -> Ohm:
    """Resistance that the middle shows: both resistors in parallel.

    Args:
        upper_resistance: Ω, above zero.
        lower_resistance: Ω, above zero.

    Returns:
        Ω.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Theorem of Thévenin.

    >>> middle_resistance(upper_resistance=100e3, lower_resistance=100e3)
    50000.0
    """
    require_positive(upper_resistance=upper_resistance, lower_resistance=lower_resistance)
    return upper_resistance * lower_resistance / (upper_resistance + lower_resistance)


@formula(
    title="Time until the middle has settled",
    symbol="t",
    symbols={
        **_DIVIDER,
        "ground_capacitance": "C_2",
        "supply_capacitance": "C_1",
        "remaining": "r",
    },
    tex=(
        r"t = \frac{R_1 R_2}{R_1 + R_2} (C_1 + C_2)"
        r" \ln\frac{\left|1 - \frac{R_1 + R_2}{R_2} \cdot \frac{C_1}{C_1 + C_2}\right|}{r}"
    ),
    working=(
        "{upper_resistance} · {lower_resistance} / ({upper_resistance} + {lower_resistance})"
        " · ({supply_capacitance} + {ground_capacitance}) · ln(|1 − ({upper_resistance}"
        " + {lower_resistance}) / {lower_resistance} · {supply_capacitance}"
        " / ({supply_capacitance} + {ground_capacitance})| / {remaining})"
    ),
    validity="The battery is switched on at once; zero where the capacitors alone put the middle "
    "close enough.",
    sources=("wetside-derivation-virtual-ground",),
)
def middle_settling_time(
    upper_resistance: Ohm,
    lower_resistance: Ohm,
    ground_capacitance: Farad,
    supply_capacitance: Farad,
    remaining: Ratio,
) -> Second:
    """Time from switching on until the middle is within a part of its final voltage.

    A capacitor to the positive end lifts the middle at once, in the ratio of the capacitors; the
    resistors do the rest.

    Args:
        upper_resistance: Ω, above zero.
        lower_resistance: Ω, above zero.
        ground_capacitance: From the middle to the negative end; F, zero or more.
        supply_capacitance: From the middle to the positive end; F, zero or more.
        remaining: What may be missing of the final voltage, 1e-9 to 1.

    Returns:
        Time in s, zero or more.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Own derivation: one capacitive and one resistive divider.

    >>> round(middle_settling_time(upper_resistance=100e3, lower_resistance=100e3,
    ...     ground_capacitance=20e-6, supply_capacitance=0, remaining=0.01), 4)
    4.6052
    """
    require_positive(upper_resistance=upper_resistance, lower_resistance=lower_resistance)
    not_negative(ground_capacitance=ground_capacitance, supply_capacitance=supply_capacitance)
    require_between(1e-9, 1, remaining=remaining)
    both = ground_capacitance + supply_capacitance
    if not both:
        return 0.0
    final = lower_resistance / (upper_resistance + lower_resistance)
    missing = abs(1 - supply_capacitance / both / final)
    return upper_resistance * final * both * log(max(missing / remaining, 1.0))


@formula(
    title="Ripple that reaches the middle",
    symbol="ΔL_m",
    symbols={
        "frequency": "f",
        **_DIVIDER,
        "ground_capacitance": "C_2",
        "supply_capacitance": "C_1",
    },
    tex=(
        r"\Delta L_\mathrm{m} = 20 \log_{10}\left|\frac{\frac{1}{R_1} + \mathrm{j} \omega C_1}"
        r"{\frac{1}{R_1} + \frac{1}{R_2} + \mathrm{j} \omega (C_1 + C_2)}\right|,"
        r" \quad \omega = 2 \pi f"
    ),
    working=(
        "20 · log₁₀|(1/{upper_resistance} + j2π · {frequency} · {supply_capacitance})"
        " / (1/{upper_resistance} + 1/{lower_resistance} + j2π · {frequency}"
        " · ({supply_capacitance} + {ground_capacitance}))|"
    ),
    validity="Small ripple on the battery's voltage.",
    sources=("wetside-derivation-virtual-ground",),
)
def middle_ripple_level(
    frequency: Hertz,
    upper_resistance: Ohm,
    lower_resistance: Ohm,
    ground_capacitance: Farad,
    supply_capacitance: Farad,
) -> Decibel:
    """How much of a ripple on the supply stands on the middle.

    Args:
        frequency: Of the ripple; Hz, above zero.
        upper_resistance: Ω, above zero.
        lower_resistance: Ω, above zero.
        ground_capacitance: From the middle to the negative end; F, zero or more.
        supply_capacitance: From the middle to the positive end; F, zero or more.

    Returns:
        Level in dB re the ripple, below zero.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Divider of two complex admittances.

    >>> round(middle_ripple_level(frequency=100, upper_resistance=100e3, lower_resistance=100e3,
    ...     ground_capacitance=20e-6, supply_capacitance=0), 3)
    -61.984
    """
    require_positive(
        frequency=frequency, upper_resistance=upper_resistance, lower_resistance=lower_resistance
    )
    not_negative(ground_capacitance=ground_capacitance, supply_capacitance=supply_capacitance)
    omega = 2 * pi * frequency
    upper = hypot(1 / upper_resistance, omega * supply_capacitance)
    both = hypot(
        1 / upper_resistance + 1 / lower_resistance,
        omega * (supply_capacitance + ground_capacitance),
    )
    return 20 * log10(upper / both)


@formula(
    title="Level from the middle to a buffer's input",
    symbol="ΔL_i",
    symbols={"frequency": "f", "bias_resistance": "R", "source_capacitance": "C"},
    tex=r"\Delta L_\mathrm{i} = -20 \log_{10}\left|1 + \mathrm{j} 2 \pi f R C\right|",
    working="−20 · log₁₀|1 + j2π · {frequency} · {bias_resistance} · {source_capacitance}|",
    validity="The element's other lead at signal ground, as it is with one battery.",
    sources=("horowitz-hill-2015",),
)
def bias_path_level(frequency: Hertz, bias_resistance: Ohm, source_capacitance: Farad) -> Decibel:
    """How much of what stands on the middle reaches a buffer's input.

    The element's capacitance shorts it to signal ground, through the bias resistor.

    Args:
        frequency: Hz, above zero.
        bias_resistance: Ω, above zero.
        source_capacitance: Element, cable and input together; F, above zero.

    Returns:
        Level in dB, below zero.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Textbook: first-order low-pass network.

    >>> round(bias_path_level(frequency=100, bias_resistance=4.7e6, source_capacitance=8.7e-9), 3)
    -28.203
    """
    require_positive(
        frequency=frequency,
        bias_resistance=bias_resistance,
        source_capacitance=source_capacitance,
    )
    return -20 * log10(hypot(1, 2 * pi * frequency * bias_resistance * source_capacitance))


@formula(
    title="Crosstalk through the middle",
    symbol="ΔL_x",
    symbols={
        "frequency": "f",
        "middle_resistance": "R_m",
        "middle_capacitance": "C_m",
        "bias_resistance": "R",
        "source_capacitance": "C",
        "channels": "n",
    },
    tex=(
        r"\Delta L_\mathrm{x} = 20 \log_{10}\left|\frac{1}{R (1 + \mathrm{j} \omega R C)}\cdot"
        r"\left(\frac{1}{R_\mathrm{m}} + \mathrm{j} \omega C_\mathrm{m}"
        r" + \frac{1}{R} + (n - 1) \frac{\mathrm{j} \omega C}{1 + \mathrm{j} \omega R C}"
        r"\right)^{-1}\right|, \quad \omega = 2 \pi f"
    ),
    working=(
        "ΔL({frequency}, {middle_resistance}, {middle_capacitance}, {bias_resistance},"
        " {source_capacitance}, {channels})"
    ),
    validity="Channels that are alike, with their bias resistors at one middle.",
    sources=("wetside-derivation-virtual-ground",),
)
def crosstalk_level(
    frequency: Hertz,
    middle_resistance: Ohm,
    middle_capacitance: Farad,
    bias_resistance: Ohm,
    source_capacitance: Farad,
    channels: Count,
) -> Decibel:
    """What one channel hears of another through the virtual ground they share.

    Args:
        frequency: Hz, above zero.
        middle_resistance: Both resistors of the divider in parallel; Ω, above zero.
        middle_capacitance: All capacitance of the middle; F, zero or more.
        bias_resistance: Of each channel; Ω, above zero.
        source_capacitance: Of each channel: element, cable and input; F, above zero.
        channels: 1 to 100; with one there is no other channel to hear it.

    Returns:
        Level at the quiet channel's input, in dB re the level at the loud channel's input.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Own derivation: currents at the middle.

    >>> round(crosstalk_level(frequency=100, middle_resistance=50e3, middle_capacitance=20e-6,
    ...     bias_resistance=4.7e6, source_capacitance=8.7e-9, channels=2), 2)
    -123.63
    """
    require_positive(
        frequency=frequency,
        middle_resistance=middle_resistance,
        bias_resistance=bias_resistance,
        source_capacitance=source_capacitance,
    )
    not_negative(middle_capacitance=middle_capacitance)
    require_between(1, 100, channels=channels)
    omega = 2 * pi * frequency
    turned = 1 + 1j * omega * bias_resistance * source_capacitance
    others = (channels - 1) * 1j * omega * source_capacitance / turned
    node = 1 / middle_resistance + 1j * omega * middle_capacitance + 1 / bias_resistance + others
    return 20 * log10(1 / abs(bias_resistance * turned * node))


@formula(
    title="Shift by the bias current",
    symbol="U_o",
    symbols={
        "bias_current": "I_i",
        "bias_resistance": "R",
        "middle_resistance": "R_m",
        "channels": "n",
    },
    tex=r"U_\mathrm{o} = I_\mathrm{i} (R + n R_\mathrm{m})",
    working="{bias_current} · ({bias_resistance} + {channels} · {middle_resistance})",
    validity="The same current in every channel, in either direction.",
    sources=("wetside-derivation-virtual-ground",),
)
def bias_offset(
    bias_current: Ampere, bias_resistance: Ohm, middle_resistance: Ohm, channels: Count
) -> Volt:
    """How far the input current of the buffers moves their outputs from the middle.

    Args:
        bias_current: Of one input; A, zero or more.
        bias_resistance: Ω, zero or more.
        middle_resistance: Ω, zero or more.
        channels: Inputs whose current flows through the middle; 1 to 100.

    Returns:
        V, without its sign.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Ohm's law.

    >>> round(bias_offset(bias_current=1e-9, bias_resistance=10e6, middle_resistance=50e3,
    ...     channels=2) * 1e3, 6)
    10.1
    """
    not_negative(
        bias_current=bias_current,
        bias_resistance=bias_resistance,
        middle_resistance=middle_resistance,
    )
    require_between(1, 100, channels=channels)
    return bias_current * (bias_resistance + channels * middle_resistance)


@formula(
    title="Largest peak before the buffer clips",
    symbol="U_p",
    symbols={
        "supply_voltage": "U_s",
        "middle_voltage": "U_m",
        "offset": "U_o",
        "upper_headroom": "U_1",
        "lower_headroom": "U_2",
    },
    tex=(
        r"U_\mathrm{p} = \min(U_\mathrm{s} - U_1 - U_\mathrm{m},"
        r"\; U_\mathrm{m} - U_2) - U_\mathrm{o}"
    ),
    working=(
        "min({supply_voltage} − {upper_headroom} − {middle_voltage},"
        " {middle_voltage} − {lower_headroom}) − {offset}"
    ),
    validity="A follower; its input and its output both hold the headroom. Below zero: so much is "
    "missing before the buffer works at all.",
    sources=("op-amp-common-mode",),
)
def peak_swing(
    supply_voltage: Volt,
    middle_voltage: Volt,
    offset: Volt,
    upper_headroom: Volt,
    lower_headroom: Volt,
) -> Volt:
    """Largest peak about the middle that stays clear of both ends of the supply.

    Args:
        supply_voltage: V, zero or more.
        middle_voltage: About which the signal swings; V, zero or more.
        offset: Shift of the output from the middle, without its sign; V, zero or more.
        upper_headroom: What the buffer keeps from the positive end; V, zero or more.
        lower_headroom: What the buffer keeps from the negative end; V, zero or more.

    Returns:
        V. Below zero it says how much supply is missing on the worse side.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        The smaller of the two distances.

    >>> peak_swing(supply_voltage=5, middle_voltage=2.5, offset=0, upper_headroom=1.5,
    ...     lower_headroom=0.5)
    1.0
    """
    not_negative(
        supply_voltage=supply_voltage,
        middle_voltage=middle_voltage,
        offset=offset,
        upper_headroom=upper_headroom,
        lower_headroom=lower_headroom,
    )
    up = supply_voltage - upper_headroom - middle_voltage
    return min(up, middle_voltage - lower_headroom) - offset
