"""The sensing element: a piezoelectric tube, sphere, disc or plate far below its resonance."""

from math import hypot, inf, log, log10, pi, sqrt

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.quantities import (
    Celsius,
    Decibel,
    Farad,
    Hertz,
    HertzMetre,
    KilogramPerCubicMetre,
    Metre,
    MetrePerSecond,
    Ohm,
    Pascal,
    PerKelvin,
    Ratio,
    SensitivityLevel,
    VoltMetrePerNewton,
    VoltPerPascal,
)

VACUUM_PERMITTIVITY = 8.8541878188e-12
"""F/m, CODATA 2022."""

MEASURED_AT: Celsius = 25.0
"""Temperature that a ceramic's values hold for."""

_BESSEL_TERMS = 12
"""Terms of the series of J0 and J1: more than a float can tell apart up to an argument of 3."""

_NEWTON_STEPS = 6
"""Four reach the last digit of a float from the first guess."""


@formula(
    title="Capacitance of a tube poled through its wall",
    symbol="C",
    symbols={
        "outer_radius": "b",
        "inner_radius": "a",
        "length": "l",
        "permittivity": "ε_r",
    },
    tex=r"C = \frac{2 \pi \varepsilon_0 \varepsilon_\mathrm{r} l}{\ln (b / a)}",
    working="2π · ε₀ · {permittivity} · {length} / ln({outer_radius} / {inner_radius})",
    validity="Electrodes over the whole wall, far below the hoop resonance, 25 °C.",
    sources=("coaxial-capacitor-example", "langevin1954"),
)
def tube_capacitance(
    outer_radius: Metre, inner_radius: Metre, length: Metre, permittivity: Ratio
) -> Farad:
    """Capacitance of a tube with electrodes inside and outside.

    Args:
        outer_radius: m, above the inner one.
        inner_radius: m, above zero.
        length: Of the electrodes; m, above zero.
        permittivity: Free relative permittivity along the radius, above zero.

    Returns:
        Capacitance in F.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Textbook: coaxial capacitor.

    >>> tube = dict(outer_radius=9e-3, inner_radius=7.5e-3, length=21e-3)
    >>> round(tube_capacitance(**tube, permittivity=1275) * 1e9, 3)
    8.17
    """
    _require_hollow(outer_radius, inner_radius)
    require_positive(length=length, permittivity=permittivity)
    return 2 * pi * VACUUM_PERMITTIVITY * permittivity * length / log(outer_radius / inner_radius)


@formula(
    title="Capacitance of a tube poled along its length",
    symbol="C",
    symbols={
        "outer_radius": "b",
        "inner_radius": "a",
        "length": "l",
        "permittivity": "ε_r",
    },
    tex=r"C = \frac{\varepsilon_0 \varepsilon_\mathrm{r} \pi (b^2 - a^2)}{l}",
    working="ε₀ · {permittivity} · π · ({outer_radius}² − {inner_radius}²) / {length}",
    validity="Electrodes over both end faces, far below every resonance, 25 °C.",
    sources=("piezo-sheet-formulas", "langevin1954"),
)
def axial_tube_capacitance(
    outer_radius: Metre, inner_radius: Metre, length: Metre, permittivity: Ratio
) -> Farad:
    """Capacitance of a tube with electrodes on its end faces.

    Args:
        outer_radius: m, above the inner one.
        inner_radius: m, above zero.
        length: Between the electrodes; m, above zero.
        permittivity: Free relative permittivity along the length, above zero.

    Returns:
        Capacitance in F.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Textbook: parallel plates. A ceramic's permittivity leaves the fringing field no share.

    >>> C = axial_tube_capacitance(10e-3, 8e-3, length=5e-3, permittivity=1300)
    >>> round(C * 1e12, 1)
    260.4
    """
    _require_hollow(outer_radius, inner_radius)
    require_positive(length=length, permittivity=permittivity)
    area = pi * (outer_radius - inner_radius) * (outer_radius + inner_radius)
    return VACUUM_PERMITTIVITY * permittivity * area / length


@formula(
    title="Capacitance of a sphere poled through its wall",
    symbol="C",
    symbols={"outer_radius": "b", "inner_radius": "a", "permittivity": "ε_r"},
    tex=r"C = 4 \pi \varepsilon_0 \varepsilon_\mathrm{r} \frac{a b}{b - a}",
    working=(
        "4π · ε₀ · {permittivity} · {inner_radius} · {outer_radius}"
        " / ({outer_radius} − {inner_radius})"
    ),
    validity="Electrodes over the whole wall, far below the breathing resonance, 25 °C.",
    sources=("ncert-physics-12",),
)
def sphere_capacitance(outer_radius: Metre, inner_radius: Metre, permittivity: Ratio) -> Farad:
    """Capacitance of a hollow sphere with electrodes inside and outside.

    Args:
        outer_radius: m, above the inner one.
        inner_radius: m, above zero.
        permittivity: Free relative permittivity along the radius, above zero.

    Returns:
        Capacitance in F.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Textbook: spherical capacitor.

    >>> round(sphere_capacitance(10e-3, 9e-3, permittivity=1300) * 1e9, 3)
    13.018
    """
    _require_hollow(outer_radius, inner_radius)
    require_positive(permittivity=permittivity)
    gap = outer_radius - inner_radius
    return 4 * pi * VACUUM_PERMITTIVITY * permittivity * inner_radius * outer_radius / gap


@formula(
    title="Capacitance of a disc",
    symbol="C",
    symbols={"diameter": "d", "thickness": "t", "permittivity": "ε_r"},
    tex=r"C = \frac{\varepsilon_0 \varepsilon_\mathrm{r} \pi d^2}{4 t}",
    working="ε₀ · {permittivity} · π · {diameter}² / (4 · {thickness})",
    validity="Electrodes over both faces, far below the radial resonance, 25 °C.",
    sources=("piezo-sheet-formulas",),
)
def disc_capacitance(diameter: Metre, thickness: Metre, permittivity: Ratio) -> Farad:
    """Capacitance of a disc with electrodes on its faces.

    Args:
        diameter: Of the electrodes; m, above zero.
        thickness: m, above zero.
        permittivity: Free relative permittivity through the thickness, above zero.

    Returns:
        Capacitance in F.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Textbook: parallel plates.

    >>> round(disc_capacitance(diameter=20e-3, thickness=2e-3, permittivity=1275) * 1e9, 3)
    1.773
    """
    require_positive(diameter=diameter, thickness=thickness, permittivity=permittivity)
    return VACUUM_PERMITTIVITY * permittivity * pi * diameter**2 / (4 * thickness)


@formula(
    title="Capacitance of a plate",
    symbol="C",
    symbols={"length": "l", "width": "w", "thickness": "t", "permittivity": "ε_r"},
    tex=r"C = \frac{\varepsilon_0 \varepsilon_\mathrm{r} l w}{t}",
    working="ε₀ · {permittivity} · {length} · {width} / {thickness}",
    validity="Electrodes over both faces, far below the length resonance, 25 °C.",
    sources=("piezo-sheet-formulas",),
)
def plate_capacitance(length: Metre, width: Metre, thickness: Metre, permittivity: Ratio) -> Farad:
    """Capacitance of a rectangular plate with electrodes on its faces.

    Args:
        length: Of the electrodes; m, above zero.
        width: Of the electrodes; m, above zero.
        thickness: m, above zero.
        permittivity: Free relative permittivity through the thickness, above zero.

    Returns:
        Capacitance in F.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Textbook: parallel plates.

    >>> round(plate_capacitance(20e-3, 10e-3, thickness=1e-3, permittivity=1900) * 1e9, 3)
    3.365
    """
    require_positive(length=length, width=width, thickness=thickness, permittivity=permittivity)
    return VACUUM_PERMITTIVITY * permittivity * length * width / thickness


@formula(
    title="Capacitance at another temperature",
    symbol="C_t",
    symbols={"capacitance": "C", "coefficient": "α", "temperature": "t"},
    tex=r"C_t = C \left(1 + \alpha (t - 25\,{}^\circ\mathrm{C})\right)",
    working="{capacitance} · (1 + {coefficient} · ({temperature} − 25 °C))",
    validity="A straight line, good within about 25 K of room temperature.",
    sources=("temperature-coefficient-example",),
)
def capacitance_at_temperature(
    capacitance: Farad, coefficient: PerKelvin, temperature: Celsius
) -> Farad:
    """Capacitance of a ceramic away from the 25 °C that its permittivity holds for.

    Args:
        capacitance: At 25 °C; F, above zero.
        coefficient: Relative change per kelvin, −0.02 to 0.02.
        temperature: °C, −40 to 125.

    Returns:
        Capacitance in F.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a temperature coefficient.

    >>> C = capacitance_at_temperature(capacitance=8e-9, coefficient=0.0025, temperature=5)
    >>> round(C * 1e9, 3)
    7.6
    """
    require_positive(capacitance=capacitance)
    require_between(-0.02, 0.02, coefficient=coefficient)
    require_between(-40, 125, temperature=temperature)
    return capacitance * (1 + coefficient * (temperature - MEASURED_AT))


@formula(
    title="Impedance of a lossy capacitor",
    symbol="Z",
    symbols={"capacitance": "C", "loss_tangent": "tan δ", "frequency": "f"},
    tex=r"|Z| = \frac{1}{2 \pi f C \sqrt{1 + \tan^2 \delta}}",
    working="1 / (2π · {frequency} · {capacitance} · √(1 + {loss_tangent}²))",
    validity="Far below resonance; C and tan δ as a meter shows them for the parallel circuit.",
    sources=("numerade-capacitors", "horowitz-hill-2015"),
)
def impedance_magnitude(capacitance: Farad, loss_tangent: Ratio, frequency: Hertz) -> Ohm:
    """Magnitude of the impedance of a capacitance with a loss resistance across it.

    Args:
        capacitance: F, above zero.
        loss_tangent: Loss current over capacitive current, zero or more.
        frequency: Hz, above zero.

    Returns:
        Magnitude in Ω.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Textbook: admittance jωC(1 − j tan δ).

    >>> round(impedance_magnitude(capacitance=8.2e-9, loss_tangent=0.004, frequency=1000))
    19409
    """
    require_positive(capacitance=capacitance, frequency=frequency)
    require_between(0, inf, loss_tangent=loss_tangent)
    return 1 / (2 * pi * frequency * capacitance * hypot(1, loss_tangent))


@formula(
    title="Sensitivity of a tube poled through its wall",
    symbol="M",
    symbols={
        "outer_radius": "b",
        "inner_radius": "a",
        "voltage_constant_33": "g₃₃",
        "voltage_constant_31": "g₃₁",
        "ends": "ends",
    },
    tex=(
        r"M = b \left[g_{33} \frac{1 - \rho}{1 + \rho} + g_{31} (1 + X)\right]"
        r",\quad \rho = \frac{a}{b},\quad "
        r"X = \begin{cases} 1 - \rho & \text{exposed} \\"
        r" \frac{1}{1 + \rho} & \text{capped} \\ 0 & \text{shielded} \end{cases}"
    ),
    working=(
        "M({outer_radius}, {inner_radius}; {voltage_constant_33}, {voltage_constant_31}; {ends})"
    ),
    validity=(
        "Air inside at rest; size below a tenth of the wavelength; end caps stiff and light, "
        "that do not hold the tube's ends from moving in."
    ),
    sources=("langevin1954",),
)
def tube_sensitivity(
    outer_radius: Metre,
    inner_radius: Metre,
    voltage_constant_33: VoltMetrePerNewton,
    voltage_constant_31: VoltMetrePerNewton,
    ends: str,
) -> VoltPerPascal:
    """Open-circuit voltage of an air-filled tube for one pascal around it.

    Args:
        outer_radius: m, above the inner one.
        inner_radius: m, above zero.
        voltage_constant_33: Field along the poling for stress along it, V·m/N.
        voltage_constant_31: Field along the poling for stress across it, V·m/N.
        ends: "exposed" (the water presses on the wall's own end faces), "capped" (caps press on
            them with the water's force on the whole end) or "shielded" (nothing presses there).

    Returns:
        Volts per pascal; negative where a rising pressure makes the electrode negative that was
        positive at poling (the poling points away from it).

    Raises:
        InputError: If an argument is out of its range, or the kind of ends is not known.

    Source:
        [langevin1954]: Lamé's stresses averaged through the wall.

    >>> tube = dict(outer_radius=12.7e-3, inner_radius=9.5e-3)
    >>> ceramic = dict(voltage_constant_33=25.108e-3, voltage_constant_31=-10.686e-3)
    >>> round(tube_sensitivity(**tube, **ceramic, ends="capped") * 1e6, 2)
    -167.39
    """
    _require_hollow(outer_radius, inner_radius)
    _require_finite(voltage_constant_33=voltage_constant_33)
    _require_finite(voltage_constant_31=voltage_constant_31)
    ratio = inner_radius / outer_radius
    across = voltage_constant_33 * (1 - ratio) / (1 + ratio)
    # The axial stress of _axial_compression, averaged through the wall as a part of b.
    along = (1 - ratio) * _axial_compression(ratio, ends)
    return outer_radius * (across + voltage_constant_31 * (1 + along))


@formula(
    title="Sensitivity of a tube poled along its length",
    symbol="M",
    symbols={
        "outer_radius": "b",
        "inner_radius": "a",
        "length": "l",
        "voltage_constant_33": "g₃₃",
        "voltage_constant_31": "g₃₁",
        "ends": "ends",
    },
    tex=(
        r"M = l \left[g_{33} X + g_{31} \frac{2}{1 - \rho^2}\right]"
        r",\quad \rho = \frac{a}{b},\quad "
        r"X = \begin{cases} 1 & \text{exposed} \\"
        r" \frac{1}{1 - \rho^2} & \text{capped} \\ 0 & \text{shielded} \end{cases}"
    ),
    working=(
        "M({outer_radius}, {inner_radius}, {length};"
        " {voltage_constant_33}, {voltage_constant_31}; {ends})"
    ),
    validity=(
        "As for a tube poled through its wall, bare or softly coated; one length of ceramic, not a "
        "stack."
    ),
    sources=("langevin1954",),
)
def axial_tube_sensitivity(
    outer_radius: Metre,
    inner_radius: Metre,
    length: Metre,
    voltage_constant_33: VoltMetrePerNewton,
    voltage_constant_31: VoltMetrePerNewton,
    ends: str,
) -> VoltPerPascal:
    """Open-circuit voltage of an air-filled tube with electrodes on its end faces.

    Args:
        outer_radius: m, above the inner one.
        inner_radius: m, above zero.
        length: Between the electrodes; m, above zero.
        voltage_constant_33: Field along the poling for stress along it, V·m/N.
        voltage_constant_31: Field along the poling for stress across it, V·m/N.
        ends: "exposed", "capped" or "shielded".

    Returns:
        Volts per pascal, signed.

    Raises:
        InputError: If an argument is out of its range, or the kind of ends is not known.

    Source:
        [langevin1954]: radial and hoop stress add up to the same everywhere in the wall.

    >>> M = axial_tube_sensitivity(10e-3, 8e-3, 5e-3, 26.5e-3, -11e-3, ends="capped")
    >>> round(M * 1e6, 2)
    62.5
    """
    _require_hollow(outer_radius, inner_radius)
    require_positive(length=length)
    _require_finite(voltage_constant_33=voltage_constant_33)
    _require_finite(voltage_constant_31=voltage_constant_31)
    ratio = inner_radius / outer_radius
    across = 2 / ((1 - ratio) * (1 + ratio))
    along = _axial_compression(ratio, ends)
    return length * (voltage_constant_33 * along + voltage_constant_31 * across)


@formula(
    title="Sensitivity of a sphere poled through its wall",
    symbol="M",
    symbols={
        "outer_radius": "b",
        "inner_radius": "a",
        "voltage_constant_33": "g₃₃",
        "voltage_constant_31": "g₃₁",
    },
    tex=(
        r"M = \frac{b}{2 (1 + \rho + \rho^2)} \left[g_{33} (2 - \rho - \rho^2)"
        r" + g_{31} (4 + \rho + \rho^2)\right],\quad \rho = \frac{a}{b}"
    ),
    working="M({outer_radius}, {inner_radius}; {voltage_constant_33}, {voltage_constant_31})",
    validity=(
        "Closed, air inside at rest, bare or softly coated (stiff epoxy: 1 dB either way); "
        "diameter below a tenth of the wavelength."
    ),
    sources=("wetside-derivation-sphere",),
)
def sphere_sensitivity(
    outer_radius: Metre,
    inner_radius: Metre,
    voltage_constant_33: VoltMetrePerNewton,
    voltage_constant_31: VoltMetrePerNewton,
) -> VoltPerPascal:
    """Open-circuit voltage of a closed, air-filled sphere for one pascal around it.

    Args:
        outer_radius: m, above the inner one.
        inner_radius: m, above zero.
        voltage_constant_33: Field along the poling for stress along it, V·m/N.
        voltage_constant_31: Field along the poling for stress across it, V·m/N.

    Returns:
        Volts per pascal, signed as for a tube.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Lamé's stresses of a thick sphere averaged through the wall; derivation in the handbook.

    >>> round(sphere_sensitivity(10e-3, 9e-3, 25.108e-3, -10.686e-3) * 1e6, 2)
    -99.14
    """
    _require_hollow(outer_radius, inner_radius)
    _require_finite(voltage_constant_33=voltage_constant_33)
    _require_finite(voltage_constant_31=voltage_constant_31)
    ratio = inner_radius / outer_radius
    both = ratio * (1 + ratio)
    across = (1 - ratio) * (2 + ratio)
    terms = voltage_constant_33 * across + voltage_constant_31 * (4 + both)
    return outer_radius * terms / (2 * (1 + both))


@formula(
    title="Sensitivity of a disc or plate",
    symbol="M",
    symbols={
        "thickness": "t",
        "voltage_constant_33": "g₃₃",
        "voltage_constant_31": "g₃₁",
        "pressed": "pressed",
    },
    tex=(
        r"M = t \left(g_{33} + k\,g_{31}\right),\quad "
        r" k = \begin{cases} 2 & \text{all round} \\ 0 & \text{faces only} \end{cases}"
    ),
    working="M({thickness}; {voltage_constant_33}, {voltage_constant_31}; {pressed})",
    validity=(
        "A plate that is pressed, not bent: a disc glued on a membrane is a different thing. "
        "Size below a tenth of the wavelength."
    ),
    sources=("piezotech-thickness-mode", "kim-1996"),
)
def plate_sensitivity(
    thickness: Metre,
    voltage_constant_33: VoltMetrePerNewton,
    voltage_constant_31: VoltMetrePerNewton,
    pressed: str,
) -> VoltPerPascal:
    """Open-circuit voltage of a disc or plate for one pascal on it.

    Args:
        thickness: m, above zero.
        voltage_constant_33: Field along the poling for stress along it, V·m/N.
        voltage_constant_31: Field along the poling for stress across it, V·m/N.
        pressed: "all-round" (the water, or a soft resin, on faces and rim) or "faces" (something
            soft and full of air keeps the pressure from the rim).

    Returns:
        Volts per pascal, signed as for a tube.

    Raises:
        InputError: If an argument is out of its range, or ``pressed`` is not known.

    Source:
        Definition of the voltage constants; hydrostatic constant g33 + 2 g31.

    >>> round(plate_sensitivity(5e-3, 26.5e-3, -11e-3, pressed="all-round") * 1e6, 2)
    22.5
    """
    require_positive(thickness=thickness)
    _require_finite(voltage_constant_33=voltage_constant_33)
    _require_finite(voltage_constant_31=voltage_constant_31)
    across = {"all-round": 2, "faces": 0}
    if pressed not in across:
        raise InputError("pressed", f"pressed must be all-round or faces, given {pressed!r}")
    return thickness * (voltage_constant_33 + across[pressed] * voltage_constant_31)


@formula(
    title="Sensitivity level",
    symbol="L",
    symbols={"sensitivity": "M"},
    tex=r"L_M = 20 \log_{10} \frac{|M|}{1\,\mathrm{V/\mu Pa}}",
    working="20 · log₁₀(|{sensitivity}| / (1 V/µPa))",
    validity="Any sensitivity but zero.",
    sources=("iec-60565-1", "boat-fundamentals"),
)
def sensitivity_level(sensitivity: VoltPerPascal) -> SensitivityLevel:
    """Level of a hydrophone's sensitivity.

    Args:
        sensitivity: V/Pa, of either sign, not zero.

    Returns:
        Level in dB re 1 V/µPa.

    Raises:
        InputError: If the sensitivity is zero or not finite.

    Source:
        Definition; 1 V/Pa is −120 dB re 1 V/µPa.

    >>> round(sensitivity_level(sensitivity=-100e-6), 6)
    -200.0
    """
    if not 0 < abs(sensitivity) < inf:
        raise InputError("sensitivity", f"sensitivity must not be zero, given {sensitivity!r}")
    return 20 * log10(abs(sensitivity)) - 120


@formula(
    title="Capacitance of two elements",
    symbol="C",
    symbols={"first": "C_1", "second": "C_2", "connection": "connection"},
    tex=(
        r"C = \begin{cases} C_1 + C_2 & \text{parallel} \\"
        r" \frac{C_1 C_2}{C_1 + C_2} & \text{series} \end{cases}"
    ),
    working="C({first}, {second}; {connection})",
    validity="Elements that share the same sound; no other load.",
    sources=("numerade-capacitors",),
)
def pair_capacitance(first: Farad, second: Farad, connection: str) -> Farad:
    """Capacitance of two elements joined.

    Args:
        first: F, above zero.
        second: F, above zero.
        connection: "parallel" or "series".

    Returns:
        Capacitance in F.

    Raises:
        InputError: If an argument is out of its range, or the connection is not known.

    Source:
        Textbook: capacitors in parallel and in series.

    >>> round(pair_capacitance(first=8e-9, second=9e-9, connection="series") * 1e9, 4)
    4.2353
    """
    require_positive(first=first, second=second)
    _require_connection(connection)
    return first + second if connection == "parallel" else first * second / (first + second)


@formula(
    title="Sensitivity of two elements",
    symbol="M",
    symbols={
        "first_sensitivity": "M_1",
        "first_capacitance": "C_1",
        "second_sensitivity": "M_2",
        "second_capacitance": "C_2",
        "connection": "connection",
    },
    tex=(
        r"M = \begin{cases} \frac{C_1 M_1 + C_2 M_2}{C_1 + C_2} & \text{parallel} \\"
        r" M_1 + M_2 & \text{series} \end{cases}"
    ),
    working=(
        "M({first_sensitivity}, {first_capacitance};"
        " {second_sensitivity}, {second_capacitance}; {connection})"
    ),
    validity="Elements that share the same sound; one turned round counts with the other sign.",
    sources=("wetside-derivation-pair",),
)
def pair_sensitivity(
    first_sensitivity: VoltPerPascal,
    first_capacitance: Farad,
    second_sensitivity: VoltPerPascal,
    second_capacitance: Farad,
    connection: str,
) -> VoltPerPascal:
    """Open-circuit sensitivity of two elements joined.

    Args:
        first_sensitivity: V/Pa, signed.
        first_capacitance: F, above zero.
        second_sensitivity: V/Pa, signed.
        second_capacitance: F, above zero.
        connection: "parallel" or "series".

    Returns:
        Volts per pascal, signed.

    Raises:
        InputError: If an argument is out of its range, or the connection is not known.

    Source:
        Charge shared between two sources; derivation in the handbook.

    >>> M = pair_sensitivity(100e-6, 8e-9, 90e-6, 9e-9, connection="parallel")
    >>> round(M * 1e6, 3)
    94.706
    """
    require_positive(first_capacitance=first_capacitance, second_capacitance=second_capacitance)
    _require_finite(first_sensitivity=first_sensitivity, second_sensitivity=second_sensitivity)
    _require_connection(connection)
    if connection == "series":
        return first_sensitivity + second_sensitivity
    charge = first_capacitance * first_sensitivity + second_capacitance * second_sensitivity
    return charge / (first_capacitance + second_capacitance)


@formula(
    title="Hoop resonance of a ring",
    symbol="f_h",
    symbols={"mean_radius": "R", "modulus": "Y", "density": "ρ"},
    tex=r"f_\mathrm{h} = \frac{1}{2 \pi R} \sqrt{\frac{Y}{\rho}}",
    working="√({modulus} / {density}) / (2π · {mean_radius})",
    validity=(
        "A short ring in air, electrodes shorted. A wall of a quarter of the radius raises it by "
        "1 %, open electrodes by about 6 %."
    ),
    sources=("haskins-walsh1957", "piezo-chart-a"),
)
def hoop_resonance(mean_radius: Metre, modulus: Pascal, density: KilogramPerCubicMetre) -> Hertz:
    """Frequency at which a short ring grows and shrinks as a whole.

    Args:
        mean_radius: Mean of the outer and the inner; m, above zero.
        modulus: Young's modulus along the circumference, electrodes shorted; Pa, above zero.
        density: kg/m³, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Textbook: one wave of extension round the ring.

    >>> round(hoop_resonance(mean_radius=8.25e-3, modulus=80e9, density=7600))
    62590
    """
    require_positive(mean_radius=mean_radius, modulus=modulus, density=density)
    return sqrt(modulus / density) / (2 * pi * mean_radius)


@formula(
    title="Length resonance",
    symbol="f_l",
    symbols={"length": "l", "modulus": "Y", "density": "ρ"},
    tex=r"f_l = \frac{1}{2 l} \sqrt{\frac{Y}{\rho}}",
    working="√({modulus} / {density}) / (2 · {length})",
    validity="Free ends, in air, longer than wide or thick, electrodes shorted.",
    sources=("piezo-chart-a",),
)
def length_resonance(length: Metre, modulus: Pascal, density: KilogramPerCubicMetre) -> Hertz:
    """Frequency at which half a wave of extension fits the length.

    Args:
        length: m, above zero.
        modulus: Young's modulus along the length, electrodes shorted; Pa, above zero.
        density: kg/m³, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Textbook: bar with free ends.

    >>> round(length_resonance(length=21e-3, modulus=80e9, density=7600))
    77248
    """
    require_positive(length=length, modulus=modulus, density=density)
    return sqrt(modulus / density) / (2 * length)


@formula(
    title="First resonance of a tube",
    symbol="f_1",
    symbols={"hoop": "f_h", "along": "f_l", "poisson": "ν"},
    tex=(
        r"f_1^2 = \frac{f_\mathrm{h}^2 + f_l^2 - \sqrt{(f_\mathrm{h}^2 + f_l^2)^2"
        r" - 4 (1 - \nu^2) f_\mathrm{h}^2 f_l^2}}{2 (1 - \nu^2)}"
    ),
    working="f₁({hoop}, {along}; {poisson})",
    validity="A wall that does not bend; within 1 % for walls up to a third of the radius.",
    sources=("haskins-walsh1957",),
)
def coupled_resonance(hoop: Hertz, along: Hertz, poisson: Ratio) -> Hertz:
    """Lower of the two resonances that hoop and length make together.

    A tube that shortens grows wider: the two repel each other, and the lower comes out lower than
    either.

    Args:
        hoop: Of a short ring; Hz, above zero.
        along: Of a bar of the tube's length; Hz, above zero.
        poisson: Poisson's ratio, 0 to 0.49.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [haskins-walsh1957]: membrane theory of a cylinder with free ends, half a wave long.

    >>> round(coupled_resonance(hoop=60e3, along=60e3, poisson=0.3))
    52623
    """
    require_positive(hoop=hoop, along=along)
    require_between(0, 0.49, poisson=poisson)
    # The smaller root as a quotient: no difference of like numbers, whatever the ratio.
    larger, smaller = max(hoop, along), min(hoop, along)
    x = (smaller / larger) ** 2
    root = sqrt((1 - x) ** 2 + 4 * poisson**2 * x)
    return smaller * sqrt(2 / (1 + x + root))


@formula(
    title="Breathing resonance of a sphere",
    symbol="f_s",
    symbols={"mean_radius": "R", "modulus": "Y", "poisson": "ν", "density": "ρ"},
    tex=r"f_\mathrm{s} = \frac{1}{2 \pi R} \sqrt{\frac{2 Y}{\rho (1 - \nu)}}",
    working="√(2 · {modulus} / ({density} · (1 − {poisson}))) / (2π · {mean_radius})",
    validity="A thin closed wall in air, electrodes shorted.",
    sources=("wetside-derivation-sphere", "alkoy1997"),
)
def breathing_resonance(
    mean_radius: Metre, modulus: Pascal, poisson: Ratio, density: KilogramPerCubicMetre
) -> Hertz:
    """Frequency at which a hollow sphere grows and shrinks as a whole.

    Args:
        mean_radius: Mean of the outer and the inner; m, above zero.
        modulus: Young's modulus along the wall, electrodes shorted; Pa, above zero.
        poisson: Poisson's ratio, 0 to 0.49.
        density: kg/m³, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Membrane theory of a closed sphere; derivation in the handbook.

    >>> round(breathing_resonance(9.5e-3, modulus=80e9, poisson=0.33, density=7600))
    93910
    """
    require_positive(mean_radius=mean_radius, modulus=modulus, density=density)
    require_between(0, 0.49, poisson=poisson)
    return sqrt(2 * modulus / (density * (1 - poisson))) / (2 * pi * mean_radius)


@formula(
    title="Radial resonance of a disc",
    symbol="f_r",
    symbols={"radius": "R", "modulus": "Y", "poisson": "ν", "density": "ρ"},
    tex=(
        r"f_\mathrm{r} = \frac{\eta}{2 \pi R} \sqrt{\frac{Y}{\rho (1 - \nu^2)}}"
        r",\quad \eta J_0(\eta) = (1 - \nu) J_1(\eta)"
    ),
    working="η({poisson}) / (2π · {radius}) · √({modulus} / ({density} · (1 − {poisson}²)))",
    validity="A disc thinner than a fifth of its diameter, in air, electrodes shorted.",
    sources=("giurgiutiu-pwas", "piezo-sheet-formulas"),
)
def radial_resonance(
    radius: Metre, modulus: Pascal, poisson: Ratio, density: KilogramPerCubicMetre
) -> Hertz:
    """Frequency at which a thin disc grows and shrinks in its plane.

    Args:
        radius: m, above zero.
        modulus: Young's modulus in the plane, electrodes shorted; Pa, above zero.
        poisson: Poisson's ratio in the plane, 0 to 0.49.
        density: kg/m³, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Textbook: lowest radial mode of a thin free disc.

    >>> round(radial_resonance(radius=10e-3, modulus=80e9, poisson=0.33, density=7600))
    113087
    """
    require_positive(radius=radius, modulus=modulus, density=density)
    require_between(0, 0.49, poisson=poisson)
    speed = sqrt(modulus / (density * (1 - poisson) * (1 + poisson)))
    return _disc_root(poisson) * speed / (2 * pi * radius)


@formula(
    title="Resonance through the wall",
    symbol="f_t",
    symbols={"thickness": "t", "thickness_constant": "N_t"},
    tex=r"f_t = N_t / t",
    working="{thickness_constant} / {thickness}",
    validity="A wall thin against its other dimensions.",
    sources=("piezo-sheet-formulas", "piezo-chart-a"),
)
def wall_resonance(thickness: Metre, thickness_constant: HertzMetre) -> Hertz:
    """Frequency at which half a wave fits through the wall.

    Args:
        thickness: m, above zero.
        thickness_constant: The ceramic's frequency constant for thickness; Hz·m, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Definition of a frequency constant.

    >>> round(wall_resonance(thickness=1.5e-3, thickness_constant=2005))
    1336667
    """
    require_positive(thickness=thickness, thickness_constant=thickness_constant)
    return thickness_constant / thickness


@formula(
    title="Layer of water that moves along",
    symbol="t_e",
    symbols={"radius": "b", "frequency": "f", "sound_speed": "c"},
    tex=r"t_\mathrm{e} = \frac{b}{1 + (k b)^2},\quad k = \frac{2 \pi f}{c}",
    working="{radius} / (1 + (2π · {frequency} · {radius} / {sound_speed})²)",
    validity=(
        "A sphere that grows and shrinks; a tube about as long as wide comes close. To be taken at "
        "the resonance in water, which this layer makes itself."
    ),
    sources=("peiffer2022",),
)
def water_layer(radius: Metre, frequency: Hertz, sound_speed: MetrePerSecond) -> Metre:
    """Thickness of the water whose mass a pulsating body has to move.

    Args:
        radius: Of the body, coat included; m, above zero.
        frequency: Hz, zero or more.
        sound_speed: In the water; m/s, above zero.

    Returns:
        Thickness in m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Reactance of a pulsating sphere: three times the water it displaces, at low frequencies.

    >>> round(water_layer(radius=13e-3, frequency=50e3, sound_speed=1480) * 1e3, 3)
    1.509
    """
    require_positive(radius=radius, sound_speed=sound_speed)
    require_between(0, 1e12, frequency=frequency)
    return radius / (1 + (2 * pi * frequency * radius / sound_speed) ** 2)


@formula(
    title="First resonance, coated and in water",
    symbol="f_p",
    symbols={
        "resonance": "f_1",
        "wall_thickness": "t",
        "wall_density": "ρ",
        "coat_thickness": "t_k",
        "coat_density": "ρ_k",
        "water_thickness": "t_e",
        "water_density": "ρ_e",
    },
    tex=(
        r"f_\mathrm{p} = f_1 \left(1 + \frac{\rho_\mathrm{k} t_\mathrm{k}"
        r" + \rho_\mathrm{e} t_\mathrm{e}}{\rho t}\right)^{-1/2}"
    ),
    working=(
        "{resonance} / √(1 + ({coat_density} · {coat_thickness}"
        " + {water_density} · {water_thickness}) / ({wall_density} · {wall_thickness}))"
    ),
    validity="Coat and water move with the wall and add mass, no stiffness: a soft, thin coat.",
    sources=("wetside-derivation-loaded", "added-mass-example"),
)
def loaded_resonance(
    resonance: Hertz,
    wall_thickness: Metre,
    wall_density: KilogramPerCubicMetre,
    coat_thickness: Metre,
    coat_density: KilogramPerCubicMetre,
    water_thickness: Metre,
    water_density: KilogramPerCubicMetre,
) -> Hertz:
    """Resonance of a wall that carries a coat and water along.

    Args:
        resonance: In air and bare; Hz, above zero.
        wall_thickness: Of the ceramic; m, above zero.
        wall_density: kg/m³, above zero.
        coat_thickness: All coat on this wall; m, zero or more.
        coat_density: kg/m³, zero or more.
        water_thickness: The layer that moves along; m, zero or more.
        water_density: kg/m³, zero or more.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        One mass on one spring; derivation in the handbook.

    >>> round(loaded_resonance(50e3, 2e-3, 7600, 4e-3, 1080, 1.5e-3, 1000))
    42518
    """
    require_positive(resonance=resonance, wall_thickness=wall_thickness, wall_density=wall_density)
    require_between(0, 1e6, coat_thickness=coat_thickness, coat_density=coat_density)
    require_between(0, 1e6, water_thickness=water_thickness, water_density=water_density)
    added = coat_density * coat_thickness + water_density * water_thickness
    return resonance / sqrt(1 + added / (wall_density * wall_thickness))


@formula(
    title="Upper limit of the flat band",
    symbol="f_u",
    symbols={"resonance": "f_p", "rise": "ΔL"},
    tex=r"f_\mathrm{u} = f_\mathrm{p} \sqrt{1 - 10^{-\Delta L / 20\,\mathrm{dB}}}",
    working="{resonance} · √(1 − 10^(−{rise} / 20 dB))",
    validity="One resonance without loss; loss and the body's size in waves come on top.",
    sources=("wetside-derivation-loaded", "vibration-table"),
)
def flat_limit(resonance: Hertz, rise: Decibel) -> Hertz:
    """Frequency up to which the response rises no more than so many decibels.

    Args:
        resonance: Hz, above zero.
        rise: Above the level far below; dB, 0.01 to 20.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Textbook: response of one mass on one spring, 1 / (1 − (f/f0)²).

    >>> round(flat_limit(resonance=60e3, rise=1))
    19786
    """
    require_positive(resonance=resonance)
    require_between(0.01, 20, rise=rise)
    return resonance * sqrt(1 - 10 ** (-rise / 20))


@formula(
    title="Upper limit set by an open core",
    symbol="f_k",
    symbols={
        "length": "l",
        "sound_speed": "c",
        "sensitivity": "M",
        "air_core_sensitivity": "M_a",
        "rise": "ΔL",
    },
    tex=(
        r"f_\mathrm{k} = \frac{c}{2 \pi l}"
        r" \sqrt{12 \left(10^{\Delta L / 20\,\mathrm{dB}} - 1\right)"
        r" \frac{|M|}{|M - M_\mathrm{a}|}}"
    ),
    working=(
        "{sound_speed} / (2π · {length})"
        " · √(12 · (10^({rise} / 20 dB) − 1) · |{sensitivity}| / |{sensitivity} −"
        " {air_core_sensitivity}|)"
    ),
    validity=(
        "Water or soft resin inside, both ends open; an estimate, good to a factor of two. The "
        "longer the water that moves beyond the ends, the lower."
    ),
    sources=("wetside-derivation-core",),
)
def open_core_limit(
    length: Metre,
    sound_speed: MetrePerSecond,
    sensitivity: VoltPerPascal,
    air_core_sensitivity: VoltPerPascal,
    rise: Decibel,
) -> Hertz:
    """Frequency up to which the pressure inside an open tube balances that outside closely enough.

    What is left of the sensitivity is a small difference, so a small change inside moves it much.

    Args:
        length: Of the tube; m, above zero.
        sound_speed: In what fills it; m/s, above zero.
        sensitivity: Far below every resonance, with the core; V/Pa, signed.
        air_core_sensitivity: The same with air inside; V/Pa, signed, not the same.
        rise: What the response may change by; dB, 0.01 to 20.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is out of its range, or both sensitivities are the same.

    Source:
        Standing wave in a column with the outer pressure at both ends; derivation in the handbook.

    >>> round(open_core_limit(21e-3, 1480, 6.75e-6, -93.82e-6, rise=1))
    3516
    """
    require_positive(length=length, sound_speed=sound_speed)
    _require_finite(sensitivity=sensitivity, air_core_sensitivity=air_core_sensitivity)
    require_between(0.01, 20, rise=rise)
    if sensitivity == air_core_sensitivity:
        raise InputError(
            "sensitivity",
            f"sensitivity must differ from air_core_sensitivity, both are {sensitivity!r}",
        )
    left = abs(sensitivity / (sensitivity - air_core_sensitivity))
    return sound_speed / (2 * pi * length) * sqrt(12 * (10 ** (rise / 20) - 1) * left)


def _axial_compression(ratio: float, ends: str) -> float:
    """Axial compression of the wall for unit pressure outside."""
    if ends == "capped":
        return 1 / ((1 - ratio) * (1 + ratio))
    if ends in ("exposed", "shielded"):
        return 1.0 if ends == "exposed" else 0.0
    raise InputError("ends", f"ends must be exposed, capped or shielded, given {ends!r}")


def _disc_root(poisson: float) -> float:
    """Lowest root of η J0(η) = (1 − ν) J1(η), by Newton's method."""
    x = 1.84 + 0.68 * poisson  # within 0.013 of it
    for _ in range(_NEWTON_STEPS):
        zeroth, first = _bessel(x)
        # d/dx of x J0 − (1 − ν) J1, with J0' = −J1 and J1' = J0 − J1/x
        slope = poisson * zeroth - x * first + (1 - poisson) * first / x
        x -= (x * zeroth - (1 - poisson) * first) / slope
    return x


def _bessel(x: float) -> tuple[float, float]:
    """J0 and J1 by their series."""
    zeroth = first = 0.0
    term = 1.0
    for k in range(_BESSEL_TERMS):
        zeroth += term
        first += term * x / 2 / (k + 1)
        term *= -((x / 2 / (k + 1)) ** 2)
    return zeroth, first


def _require_hollow(outer: float, inner: float) -> None:
    require_positive(outer_radius=outer, inner_radius=inner)
    if inner >= outer:
        raise InputError(
            "inner_radius", f"inner_radius must be below outer_radius, {outer!r}, given {inner!r}"
        )


def _require_connection(connection: str) -> None:
    if connection not in ("parallel", "series"):
        raise InputError(
            "connection", f"connection must be parallel or series, given {connection!r}"
        )


def _require_finite(**arguments: float) -> None:
    for name, value in arguments.items():
        if not -inf < value < inf:
            raise InputError(name, f"{name} must be a finite number, given {value!r}")
