"""Leaks too fine to see: water and air through a channel, and what surface tension holds back."""

from math import cos, exp, expm1, inf, log, log1p, pi, radians, sin, sqrt

from calculators.formula import formula, require_between, require_positive
from calculators.formulas.constants import GAS_CONSTANT, ZERO_CELSIUS
from calculators.quantities import (
    Celsius,
    CubicMetre,
    CubicMetrePerSecond,
    Degree,
    KilogramPerCubicMetre,
    Metre,
    NewtonPerMetre,
    Pascal,
    PascalCubicMetrePerSecond,
    PascalSecond,
    Ratio,
    Second,
)

COLDEST: Celsius = -10.0
HOTTEST: Celsius = 60.0
"""Between these the correlations for water and air have been compared with a reference."""

_CRITICAL = 647.096  # critical temperature of water, K
_AIR_CONSTANT = GAS_CONSTANT / 0.0289647  # gas constant of dry air, J/(kg·K)

_WATER_VISCOSITY = ((280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0))
"""Factors in µPa·s and powers of T/300 K."""

_FREE = 8 / (3 * sqrt(pi))
_SLIP = 1.018
_BORE_STEPS = 20
"""Each step leaves at most a sixth of the miss, so that twenty reach the last digit."""

_NEWTON_STEPS = 12
"""From the left the steps never overshoot; eight reach the last digit at every depth."""


@formula(
    title="Viscosity of water",
    symbol="η",
    symbols={"temperature": "t"},
    tex=r"\begin{gathered}"
    r"\frac{\eta}{\mathrm{\mu Pa\,s}} = 280.68\,\theta^{-1.9} + 511.45\,\theta^{-7.7} \\"
    r" + 61.131\,\theta^{-19.6} + 0.45903\,\theta^{-40}, \quad"
    r" \theta = \frac{t + 273.15}{300} \end{gathered}",
    working="η of water({temperature})",
    validity=(
        "Pure water at 0.1 MPa, used here from −10 to 60 °C; within 0.01 % of IAPWS R12-08. "
        "Sea water is 6 % to 9 % more viscous, so flows in the sea come out too large."
    ),
    sources=("iapws-sr6",),
)
def water_viscosity(temperature: Celsius) -> PascalSecond:
    """Dynamic viscosity of pure water.

    Args:
        temperature: °C, −10 to 60.

    Returns:
        Viscosity in Pa·s.

    Raises:
        InputError: If the temperature is out of its range.

    Source:
        [iapws-sr6], the equation for 0.1 MPa.

    >>> round(water_viscosity(temperature=20) * 1e3, 4)
    1.0016
    """
    require_between(COLDEST, HOTTEST, temperature=temperature)
    part = (temperature + ZERO_CELSIUS) / 300
    return float(1e-6 * sum(factor * part**power for factor, power in _WATER_VISCOSITY))


@formula(
    title="Viscosity of air",
    symbol="η_a",
    symbols={"temperature": "t"},
    tex=r"\eta_\mathrm{a} = \frac{1.4592 \times 10^{-6} \, T^{3/2}}{T + 109.1}, \quad"
    r" T = t + 273.15",
    working="η of air({temperature})",
    validity="Dry air from vacuum to some bars, −10 to 60 °C; within 0.2 % of reference data.",
    sources=("waterloo-mhtl-8406",),
)
def air_viscosity(temperature: Celsius) -> PascalSecond:
    """Dynamic viscosity of air, which does not depend on its pressure.

    Args:
        temperature: °C, −10 to 60.

    Returns:
        Viscosity in Pa·s.

    Raises:
        InputError: If the temperature is out of its range.

    Source:
        [waterloo-mhtl-8406].

    >>> round(air_viscosity(temperature=20) * 1e5, 4)
    1.8208
    """
    require_between(COLDEST, HOTTEST, temperature=temperature)
    kelvin = temperature + ZERO_CELSIUS
    return float(1.4592e-6 * kelvin**1.5 / (kelvin + 109.1))


@formula(
    title="Surface tension of water",
    symbol="γ",
    symbols={"temperature": "t"},
    tex=r"\gamma = 235.8\ \tfrac{\mathrm{mN}}{\mathrm{m}} \; \tau^{1.256} \, (1 - 0.625 \, \tau),"
    r" \quad \tau = 1 - \frac{t + 273.15}{647.096}",
    working="γ({temperature})",
    validity=(
        "Clean water, −10 to 60 °C. Sea water has 1 % more; a film of grease or soap takes a "
        "third and more away."
    ),
    sources=("iapws-r1-76",),
)
def water_surface_tension(temperature: Celsius) -> NewtonPerMetre:
    """Surface tension of clean water against air.

    Args:
        temperature: °C, −10 to 60.

    Returns:
        Surface tension in N/m.

    Raises:
        InputError: If the temperature is out of its range.

    Source:
        [iapws-r1-76].

    >>> round(water_surface_tension(temperature=20) * 1e3, 2)
    72.74
    """
    require_between(COLDEST, HOTTEST, temperature=temperature)
    below = 1 - (temperature + ZERO_CELSIUS) / _CRITICAL
    return float(0.2358 * below**1.256 * (1 - 0.625 * below))


@formula(
    title="Flow of water through a channel",
    symbol="q",
    symbols={"bore": "d", "length": "l", "pressure_difference": "p", "viscosity": "η"},
    tex=r"q = \frac{\pi d^4 p}{128 \, \eta \, l}",
    working="π · {bore}⁴ · {pressure_difference} / (128 · {viscosity} · {length})",
    validity=(
        "One straight round channel, much longer than wide, full of water, laminar (Reynolds "
        "number below 2000). Anything else lets less through."
    ),
    sources=("sutera-skalak-1993",),
)
def water_flow(
    bore: Metre, length: Metre, pressure_difference: Pascal, viscosity: PascalSecond
) -> CubicMetrePerSecond:
    """Volume of liquid that a pressure drives through a fine channel (Poiseuille).

    Args:
        bore: Diameter; m, zero or more.
        length: Along the flow; m, above zero.
        pressure_difference: Between the ends; Pa, zero or more.
        viscosity: Of the liquid; Pa·s, above zero.

    Returns:
        Flow in m³/s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Textbook: laminar flow in a round tube.

    >>> round(water_flow(bore=1e-5, length=5e-3, pressure_difference=1e5, viscosity=1e-3) * 1e12, 4)
    4.9087
    """
    require_between(0, inf, bore=bore, pressure_difference=pressure_difference)
    require_positive(length=length, viscosity=viscosity)
    return float(pi * bore**4 * pressure_difference / (128 * viscosity * length))


@formula(
    title="Bore that lets this much water through",
    symbol="d",
    symbols={"flow": "q", "length": "l", "pressure_difference": "p", "viscosity": "η"},
    tex=r"d = \left( \frac{128 \, \eta \, l \, q}{\pi p} \right)^{1/4}",
    working="(128 · {viscosity} · {length} · {flow} / (π · {pressure_difference}))^(1/4)",
    validity="As for the flow. A tenfold flow is a bore 1.8 times as wide.",
    sources=("sutera-skalak-1993",),
)
def bore_for_water_flow(
    flow: CubicMetrePerSecond, length: Metre, pressure_difference: Pascal, viscosity: PascalSecond
) -> Metre:
    """The one channel that passes a flow of liquid: `water_flow` the other way round.

    Args:
        flow: m³/s, zero or more.
        length: Along the flow; m, above zero.
        pressure_difference: Between the ends; Pa, above zero.
        viscosity: Of the liquid; Pa·s, above zero.

    Returns:
        Diameter in m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Textbook: laminar flow in a round tube.

    >>> bore = bore_for_water_flow(
    ...     flow=4.9087e-12, length=5e-3, pressure_difference=1e5, viscosity=1e-3
    ... )
    >>> round(bore * 1e6, 3)
    10.0
    """
    require_between(0, inf, flow=flow)
    require_positive(length=length, pressure_difference=pressure_difference, viscosity=viscosity)
    return float((128 * viscosity * length * flow / (pi * pressure_difference)) ** 0.25)


@formula(
    title="Flow of air through a channel",
    symbol="Q",
    symbols={
        "bore": "d",
        "length": "l",
        "high_pressure": "p_1",
        "low_pressure": "p_2",
        "viscosity": "η_a",
        "temperature": "t",
    },
    tex=r"\begin{gathered}"
    r"Q = \frac{\pi d^3 u}{16 \, l} \, G(\delta) \, (p_1 - p_2), \\"
    r"u = \sqrt{2 R_\mathrm{a} T}, \quad"
    r" \delta = \frac{d \, (p_1 + p_2)}{4 \, \eta_\mathrm{a} u}, \\"
    r"G = \frac{8}{3\sqrt{\pi}} \, \frac{1 + 0.04 \, \delta^{0.7} \ln \delta}"
    r"{1 + 0.78 \, \delta^{0.8}} + \left( \frac{\delta}{4} + 1.018 \right)"
    r" \frac{\delta}{1.073 + \delta} \end{gathered}",
    working="Q({bore}, {length}, {high_pressure} → {low_pressure}, {viscosity}, {temperature})",
    validity=(
        "One straight round channel, much longer than wide; laminar, far below the speed of sound; "
        "air of one temperature. From wide bores, where G is δ/4 and so Q is "
        "π·d⁴·(p₁² − p₂²)/(256·η·l), to the finest, where molecules only meet the wall: within 1 % "
        "of kinetic theory for walls that scatter at random."
    ),
    sources=("sharipov-2016", "sharipov-seleznev-1998"),
)
def gas_flow(
    bore: Metre,
    length: Metre,
    high_pressure: Pascal,
    low_pressure: Pascal,
    viscosity: PascalSecond,
    temperature: Celsius,
) -> PascalCubicMetrePerSecond:
    """Amount of air, as pressure times volume, that leaks through a fine channel.

    Args:
        bore: Diameter; m, above zero.
        length: Along the flow; m, above zero.
        high_pressure: Absolute, at the one end; Pa, above the low one.
        low_pressure: Absolute, at the other; Pa, zero or more.
        viscosity: Of the air; Pa·s, above zero.
        temperature: Of the air, °C, −10 to 60.

    Returns:
        Leak rate in Pa·m³/s, at this temperature.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [sharipov-2016], interpolation of the kinetic solution, at the mean of both pressures.

    >>> round(gas_flow(1e-5, 5e-3, 151325, 101325, 1.82e-5, 20) * 1e5, 3)
    1.785
    """
    require_positive(bore=bore, length=length, viscosity=viscosity, high_pressure=high_pressure)
    require_between(0, high_pressure, low_pressure=low_pressure)
    require_between(COLDEST, HOTTEST, temperature=temperature)
    return _gas_flow(bore, length, high_pressure, low_pressure, viscosity, temperature)


@formula(
    title="Bore that leaks this much air",
    symbol="d",
    symbols={
        "flow": "Q",
        "length": "l",
        "high_pressure": "p_1",
        "low_pressure": "p_2",
        "viscosity": "η_a",
        "temperature": "t",
    },
    tex=r"Q(d, l, p_1, p_2, \eta_\mathrm{a}, t) = Q \quad \text{solved for } d",
    working="inverse of Q(·, {length}, {high_pressure} → {low_pressure}, {viscosity}, "
    "{temperature}) at {flow}",
    validity="As for the flow. A leak rate that is shared by several channels means finer ones.",
    sources=("sharipov-2016",),
)
def bore_for_gas_flow(
    flow: PascalCubicMetrePerSecond,
    length: Metre,
    high_pressure: Pascal,
    low_pressure: Pascal,
    viscosity: PascalSecond,
    temperature: Celsius,
) -> Metre:
    """The one channel that has this leak rate: `gas_flow` the other way round.

    Args:
        flow: Leak rate; Pa·m³/s, above zero.
        length: Along the flow; m, above zero.
        high_pressure: Absolute, at the one end; Pa, above the low one.
        low_pressure: Absolute, at the other; Pa, zero or more.
        viscosity: Of the air; Pa·s, above zero.
        temperature: Of the air, °C, −10 to 60.

    Returns:
        Diameter in m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [sharipov-2016], inverted by steps.

    >>> round(bore_for_gas_flow(1.785e-5, 5e-3, 151325, 101325, 1.82e-5, 20) * 1e6, 2)
    10.0
    """
    require_positive(flow=flow, length=length, viscosity=viscosity, high_pressure=high_pressure)
    require_between(0, high_pressure, low_pressure=low_pressure)
    require_positive(pressure_difference=high_pressure - low_pressure)
    require_between(COLDEST, HOTTEST, temperature=temperature)
    squares = high_pressure**2 - low_pressure**2
    bore = float((256 * viscosity * length * flow / (pi * squares)) ** 0.25)
    for _ in range(_BORE_STEPS):
        now = _gas_flow(bore, length, high_pressure, low_pressure, viscosity, temperature)
        # The flow goes with a power of the bore between 2.9 and 4.
        bore *= exp(log(flow / now) / 3.5)
    return bore


@formula(
    title="Pressure that fills a dry channel",
    symbol="p_i",
    symbols={"surface_tension": "γ", "contact_angle": "θ", "bore": "d"},
    tex=r"p_\mathrm{i} = \max\left(0, \frac{-4 \gamma \cos\theta}{d}\right)",
    working="max(0, −4 · {surface_tension} · cos({contact_angle}) / {bore})",
    validity="A round channel. Water that wets the wall (θ below 90°) is drawn in by itself.",
    sources=("washburn-1921",),
)
def entry_pressure(surface_tension: NewtonPerMetre, contact_angle: Degree, bore: Metre) -> Pascal:
    """Pressure below which water stays out of a dry channel that it does not wet.

    Args:
        surface_tension: N/m, above zero.
        contact_angle: Of advancing water on the wall of the channel; °, 0 to 180.
        bore: Diameter; m, above zero.

    Returns:
        Pressure above that of the air in the channel, Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [washburn-1921].

    >>> round(entry_pressure(surface_tension=0.0728, contact_angle=110, bore=1e-5))
    9960
    """
    require_positive(surface_tension=surface_tension, bore=bore)
    require_between(0, 180, contact_angle=contact_angle)
    return max(0.0, -4 * surface_tension * cos(radians(contact_angle)) / bore)


@formula(
    title="Pressure that pushes water out of a channel's sharp end",
    symbol="p_o",
    symbols={"surface_tension": "γ", "contact_angle": "θ", "bore": "d"},
    tex=r"p_\mathrm{o} = \frac{4 \gamma}{d}"
    r" \begin{cases} \sin\theta & \theta < 90° \\ 1 & \theta \ge 90° \end{cases}",
    working="4 · {surface_tension} · κ({contact_angle}) / {bore}",
    validity=(
        "A round channel that ends square in a flat face, dry around it. κ is sin θ below 90° and "
        "1 from there: a half sphere must form. A rounded, dirty or wet end holds less, or nothing."
    ),
    sources=("thio-2013", "wetside-derivation-unseen-leak"),
)
def exit_pressure(surface_tension: NewtonPerMetre, contact_angle: Degree, bore: Metre) -> Pascal:
    """Pressure that the last meniscus can hold before a drop grows on the inner face.

    The same holds for gas that must make a bubble, with the angle measured through the gas.

    Args:
        surface_tension: N/m, above zero.
        contact_angle: Of what advances, on the face around the end; °, above 0, to 180.
        bore: Diameter; m, above zero.

    Returns:
        Pressure in Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        The meniscus may turn by 90° at the edge before it moves on: [thio-2013].

    >>> round(exit_pressure(surface_tension=0.0728, contact_angle=110, bore=1e-5))
    29120
    """
    require_positive(surface_tension=surface_tension, bore=bore)
    return 4 * surface_tension * _edge(contact_angle) / bore


@formula(
    title="Widest bore that may stay shut",
    symbol="d_s",
    symbols={"surface_tension": "γ", "contact_angle": "θ", "pressure_difference": "p"},
    tex=r"d_\mathrm{s} = \frac{4 \gamma}{p}"
    r" \begin{cases} \sin\theta & \theta < 90° \\ 1 & \theta \ge 90° \end{cases}",
    working="4 · {surface_tension} · κ({contact_angle}) / {pressure_difference}",
    validity="As for the pressure at a sharp end.",
    sources=("thio-2013", "wetside-derivation-unseen-leak"),
)
def widest_shut_bore(
    surface_tension: NewtonPerMetre, contact_angle: Degree, pressure_difference: Pascal
) -> Metre:
    """The widest channel that surface tension may have kept shut: `exit_pressure` the other way.

    Args:
        surface_tension: N/m, above zero.
        contact_angle: Of what advances, on the face around the end; °, above 0, to 180.
        pressure_difference: Between the ends; Pa, above zero.

    Returns:
        Diameter in m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [thio-2013].

    >>> round(widest_shut_bore(0.0728, 110, pressure_difference=9806.65) * 1e6, 1)
    29.7
    """
    require_positive(surface_tension=surface_tension, pressure_difference=pressure_difference)
    return 4 * surface_tension * _edge(contact_angle) / pressure_difference


@formula(
    title="Leak rate of bubbles",
    symbol="Q",
    symbols={"diameter": "D", "interval": "T", "pressure": "p_2"},
    tex=r"Q = \frac{\pi D^3}{6 \, T} \, p_2",
    working="π · {diameter}³ / (6 · {interval}) · {pressure}",
    validity="Round bubbles of one size, larger than 0.5 mm, just below the surface.",
    sources=("tqc-bubbles",),
)
def bubble_gas_flow(
    diameter: Metre, interval: Second, pressure: Pascal
) -> PascalCubicMetrePerSecond:
    """Amount of gas that leaves as one bubble after another.

    Args:
        diameter: Of one bubble; m, above zero.
        interval: From one to the next; s, above zero.
        pressure: Absolute, where they form; Pa, above zero.

    Returns:
        Leak rate in Pa·m³/s.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Volume of a sphere times pressure.

    >>> round(bubble_gas_flow(diameter=2e-3, interval=60, pressure=101325) * 1e6, 3)
    7.074
    """
    require_positive(diameter=diameter, interval=interval, pressure=pressure)
    return float(pi * diameter**3 / (6 * interval) * pressure)


@formula(
    title="Ingress at which the air in the case stops the water",
    symbol="V_m",
    symbols={"pressure_difference": "p", "air_pressure": "p_0", "free_volume": "V"},
    tex=r"V_\mathrm{m} = V \, \frac{p}{p_0 + p}",
    working="{free_volume} · {pressure_difference} / ({air_pressure} + {pressure_difference})",
    validity=(
        "One opening, so that no air gets out; a stiff case; the temperature at which it was "
        "closed. With a second, higher and wider opening the case fills."
    ),
    sources=("boyle-bell-problem",),
)
def balance_ingress(
    pressure_difference: Pascal, air_pressure: Pascal, free_volume: CubicMetre
) -> CubicMetre:
    """Water in the case when the air left in it is pressed to the pressure outside (Boyle).

    Args:
        pressure_difference: Of the water above the air at the surface; Pa, zero or more.
        air_pressure: Absolute, in the case as closed; Pa, above zero.
        free_volume: Of air in the closed case; m³, above zero.

    Returns:
        Volume in m³.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Boyle's law.

    >>> round(balance_ingress(1e5, air_pressure=1e5, free_volume=1.2e-3) * 1e3, 3)
    0.6
    """
    require_between(0, inf, pressure_difference=pressure_difference)
    require_positive(air_pressure=air_pressure, free_volume=free_volume)
    return free_volume * pressure_difference / (air_pressure + pressure_difference)


@formula(
    title="Ingress after a time",
    symbol="V_i",
    symbols={
        "first_flow": "q",
        "duration": "t",
        "pressure_difference": "p",
        "air_pressure": "p_0",
        "free_volume": "V",
    },
    tex=r"\begin{gathered}"
    r"V_\mathrm{i} = V_\mathrm{m}\left(1 - e^{-y}\right), \\"
    r"\frac{q \, t}{V_\mathrm{m}} = a \left(1 - e^{-y}\right) + (1 - a)\, y, \\"
    r"a = \frac{p}{p_0 + p}, \quad V_\mathrm{m} = a V \end{gathered}",
    working="V_i({first_flow} · {duration}; {free_volume}, {pressure_difference}, {air_pressure})",
    validity=(
        "As for the ingress at which the air stops it, at one depth all the time. At first it is "
        "q·t, which is never less: the bound to use when in doubt."
    ),
    sources=("wetside-derivation-unseen-leak",),
)
def ingress(
    first_flow: CubicMetrePerSecond,
    duration: Second,
    pressure_difference: Pascal,
    air_pressure: Pascal,
    free_volume: CubicMetre,
) -> CubicMetre:
    """Water that a leak lets in while the air in the case is pressed together.

    Args:
        first_flow: Flow at the start; m³/s, zero or more.
        duration: s, zero or more.
        pressure_difference: Of the water above the air at the surface; Pa, above zero.
        air_pressure: Absolute, in the case as closed; Pa, above zero.
        free_volume: Of air in the closed case; m³, above zero.

    Returns:
        Volume in m³, below `balance_ingress`.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Flow in proportion to the pressure left, Boyle's law for the air, integrated.

    >>> round(ingress(1e-11, 864000, 1.2e5, 101325, 1.2e-3) * 1e6, 3)
    8.614
    """
    require_between(0, inf, first_flow=first_flow, duration=duration)
    require_positive(
        pressure_difference=pressure_difference, air_pressure=air_pressure, free_volume=free_volume
    )
    part = pressure_difference / (air_pressure + pressure_difference)
    wanted = first_flow * duration / (part * free_volume)
    # The left side never rises faster than y, so y starts at or left of the answer and comes
    # from there without overshooting.
    y = wanted
    for _ in range(_NEWTON_STEPS):
        filled = -expm1(-y)
        step = (wanted - part * filled - (1 - part) * y) / (1 - part * filled)
        if y + step == y:
            break
        y += step
    return part * free_volume * -expm1(-y)


@formula(
    title="Flow that this ingress began with",
    symbol="q",
    symbols={
        "ingress": "V_i",
        "duration": "t",
        "pressure_difference": "p",
        "air_pressure": "p_0",
        "free_volume": "V",
    },
    tex=r"\begin{gathered}"
    r"q = \frac{V_\mathrm{m}}{t}\left[ a s - (1 - a) \ln(1 - s) \right], \\"
    r"s = \frac{V_\mathrm{i}}{V_\mathrm{m}}, \quad a = \frac{p}{p_0 + p},"
    r" \quad V_\mathrm{m} = a V \end{gathered}",
    working="q({ingress} / {duration}; {free_volume}, {pressure_difference}, {air_pressure})",
    validity="As for the ingress after a time. If little got in, it is that divided by the time.",
    sources=("wetside-derivation-unseen-leak",),
)
def first_flow(
    ingress: CubicMetre,
    duration: Second,
    pressure_difference: Pascal,
    air_pressure: Pascal,
    free_volume: CubicMetre,
) -> CubicMetrePerSecond:
    """The leak that lets in this much in this time: `ingress` the other way round.

    Args:
        ingress: m³, zero to less than `balance_ingress`.
        duration: s, above zero.
        pressure_difference: Of the water above the air at the surface; Pa, above zero.
        air_pressure: Absolute, in the case as closed; Pa, above zero.
        free_volume: Of air in the closed case; m³, above zero.

    Returns:
        Flow at the start in m³/s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        As for `ingress`.

    >>> round(first_flow(8.614e-6, 864000, 1.2e5, 101325, 1.2e-3) * 1e11, 3)
    1.0
    """
    require_positive(
        duration=duration,
        pressure_difference=pressure_difference,
        air_pressure=air_pressure,
        free_volume=free_volume,
    )
    part = pressure_difference / (air_pressure + pressure_difference)
    most = part * free_volume
    require_between(0, most * (1 - 1e-12), ingress=ingress)
    filled = ingress / most
    return most / duration * (part * filled - (1 - part) * log1p(-filled))


@formula(
    title="Reynolds number in a channel",
    symbol="Re",
    symbols={"flow": "q", "bore": "d", "density": "ρ", "viscosity": "η"},
    tex=r"\mathrm{Re} = \frac{4 \rho q}{\pi d \eta}",
    working="4 · {density} · {flow} / (π · {bore} · {viscosity})",
    validity="A round channel, full. Laminar below about 2000.",
    sources=("sutera-skalak-1993",),
)
def reynolds_number(
    flow: CubicMetrePerSecond,
    bore: Metre,
    density: KilogramPerCubicMetre,
    viscosity: PascalSecond,
) -> Ratio:
    """Whether a flow is ruled by friction (small) or by its own swing (large).

    Args:
        flow: m³/s, zero or more.
        bore: Diameter; m, above zero.
        density: kg/m³, above zero.
        viscosity: Pa·s, above zero.

    Returns:
        Reynolds number.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Textbook.

    >>> round(reynolds_number(flow=1e-9, bore=3e-5, density=1000, viscosity=1e-3), 2)
    42.44
    """
    require_between(0, inf, flow=flow)
    require_positive(bore=bore, density=density, viscosity=viscosity)
    return 4 * density * flow / (pi * bore * viscosity)


def _gas_flow(
    bore: float,
    length: float,
    high_pressure: float,
    low_pressure: float,
    viscosity: float,
    temperature: float,
) -> float:
    speed = sqrt(2 * _AIR_CONSTANT * (temperature + ZERO_CELSIUS))
    rarefaction = bore * (high_pressure + low_pressure) / (4 * viscosity * speed)
    free = _FREE * (1 + 0.04 * rarefaction**0.7 * log(rarefaction)) / (1 + 0.78 * rarefaction**0.8)
    reduced = free + (rarefaction / 4 + _SLIP) * rarefaction / (1.073 + rarefaction)
    return float(pi * bore**3 * speed * reduced * (high_pressure - low_pressure) / (16 * length))


def _edge(contact_angle: float) -> float:
    """How much of 4γ/d a square edge holds."""
    require_positive(contact_angle=contact_angle)
    require_between(0, 180, contact_angle=contact_angle)
    return sin(radians(contact_angle)) if contact_angle < 90 else 1.0
