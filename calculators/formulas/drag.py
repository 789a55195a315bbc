"""What moving water does to a thing that stands in it."""

from math import cos, pi, sin

from calculators.formula import formula, require_between, require_positive
from calculators.quantities import (
    CubicMetre,
    Hertz,
    KilogramPerCubicMetre,
    KilogramPerMetre,
    Metre,
    MetrePerSecond,
    MetrePerSecondSquared,
    Newton,
    Ratio,
    SquareMetre,
)

_HALVINGS = 26
"""Of a quarter turn: the phase to 2e-8, the force at its top to the last digits."""


@formula(
    title="Current at a height",
    symbol="U",
    symbols={
        "surface_speed": "U_s",
        "exponent": "n",
        "height": "z",
        "water_depth": "d",
    },
    tex=r"U = U_\mathrm{s} \left( \frac{z}{d} \right)^{n}",
    working="{surface_speed} · ({height} / {water_depth})^{exponent}",
    validity="A tide or a river over an even bottom: n near 1/7. Wind, layers and eddies make "
    "other profiles.",
    sources=("dnv-rp-c205", "power-law-page"),
)
def current_at_height(
    surface_speed: MetrePerSecond, exponent: Ratio, height: Metre, water_depth: Metre
) -> MetrePerSecond:
    """Speed of the current at a height above the bottom.

    Args:
        surface_speed: m/s, 0 to 100.
        exponent: 0 (the same all the way down) to 1.
        height: Above the bottom; m, 0 to the depth.
        water_depth: m, above zero.

    Returns:
        Speed in m/s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Power law of a boundary layer.

    >>> round(current_at_height(surface_speed=1, exponent=1 / 7, height=5, water_depth=10), 4)
    0.9057
    """
    require_between(0, 100, surface_speed=surface_speed)
    require_between(0, 1, exponent=exponent)
    require_positive(water_depth=water_depth)
    require_between(0, water_depth, height=height)
    return surface_speed * float((height / water_depth) ** exponent)


@formula(
    title="Current between two measured speeds",
    symbol="U",
    symbols={
        "surface_speed": "U_s",
        "bottom_speed": "U_o",
        "height": "z",
        "water_depth": "d",
    },
    tex=r"U = U_\mathrm{o} + (U_\mathrm{s} - U_\mathrm{o}) \frac{z}{d}",
    working="{bottom_speed} + ({surface_speed} − {bottom_speed}) · {height} / {water_depth}",
    validity="A straight line between the speed near the bottom and that at the surface.",
    sources=("dnv-rp-c205", "interpolation-example"),
)
def two_point_current(
    surface_speed: MetrePerSecond,
    bottom_speed: MetrePerSecond,
    height: Metre,
    water_depth: Metre,
) -> MetrePerSecond:
    """Speed of the current at a height, from those at the surface and near the bottom.

    Args:
        surface_speed: m/s, 0 to 100.
        bottom_speed: m/s, 0 to 100.
        height: Above the bottom; m, 0 to the depth.
        water_depth: m, above zero.

    Returns:
        Speed in m/s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Linear interpolation.

    >>> round(two_point_current(surface_speed=1, bottom_speed=0.4, height=5, water_depth=10), 9)
    0.7
    """
    require_between(0, 100, surface_speed=surface_speed, bottom_speed=bottom_speed)
    require_positive(water_depth=water_depth)
    require_between(0, water_depth, height=height)
    return bottom_speed + (surface_speed - bottom_speed) * height / water_depth


@formula(
    title="Drag",
    symbol="F",
    symbols={"drag_coefficient": "C", "area": "A", "water_density": "ρ", "speed": "U"},
    tex=r"F = \tfrac{1}{2} \rho \, C A \, U^2",
    working="1/2 · {water_density} · {drag_coefficient} · {area} · {speed}²",
    validity="Coefficients of smooth bodies hold for speed times width from about 0.002 to "
    "0.3 m²/s; sharp-edged ones beyond.",
    sources=("dnv-rp-c205", "sky-diver-answer"),
)
def drag_force(
    drag_coefficient: Ratio,
    area: SquareMetre,
    water_density: KilogramPerCubicMetre,
    speed: MetrePerSecond,
) -> Newton:
    """Force of a steady flow on a body.

    Args:
        drag_coefficient: 0 to 10.
        area: That the flow meets; m², 0 to 1e6.
        water_density: kg/m³, above zero.
        speed: m/s, 0 to 1000.

    Returns:
        Force in N, in the direction of the flow.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of the drag coefficient.

    >>> drag_force(drag_coefficient=1.0, area=0.02, water_density=1000, speed=0.5)
    2.5
    """
    require_between(0, 10, drag_coefficient=drag_coefficient)
    require_between(0, 1e6, area=area)
    require_positive(water_density=water_density)
    require_between(0, 1000, speed=speed)
    return water_density * drag_coefficient * area * speed * speed / 2


@formula(
    title="Drag at unit speed",
    symbol="K",
    symbols={"drag_coefficient": "C", "area": "A", "water_density": "ρ"},
    tex=r"K = \tfrac{1}{2} \rho \, C A",
    working="1/2 · {water_density} · {drag_coefficient} · {area}",
    validity="As for the drag.",
    sources=("dnv-rp-c205", "sky-diver-answer"),
)
def drag_factor(
    drag_coefficient: Ratio, area: SquareMetre, water_density: KilogramPerCubicMetre
) -> KilogramPerMetre:
    """Drag divided by the square of the speed.

    Args:
        drag_coefficient: 0 to 10.
        area: That the flow meets; m², 0 to 1e6.
        water_density: kg/m³, above zero.

    Returns:
        Drag over speed squared, kg/m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of the drag coefficient.

    >>> drag_factor(drag_coefficient=1.0, area=0.02, water_density=1000)
    10.0
    """
    require_between(0, 10, drag_coefficient=drag_coefficient)
    require_between(0, 1e6, area=area)
    require_positive(water_density=water_density)
    return water_density * drag_coefficient * area / 2


@formula(
    title="Force of accelerated water",
    symbol="F_i",
    symbols={
        "inertia_coefficient": "C_m",
        "volume": "V",
        "water_density": "ρ",
        "acceleration": "a",
    },
    tex=r"F_\mathrm{i} = \rho \, C_\mathrm{m} V a",
    working="{water_density} · {inertia_coefficient} · {volume} · {acceleration}",
    validity="Bodies small against the wave; C_m is 1 plus the coefficient of added mass.",
    sources=("dnv-rp-c205", "pile-force-page"),
)
def inertia_force(
    inertia_coefficient: Ratio,
    volume: CubicMetre,
    water_density: KilogramPerCubicMetre,
    acceleration: MetrePerSecondSquared,
) -> Newton:
    """Force of water that is being accelerated past a fixed body.

    Args:
        inertia_coefficient: 1 to 10.
        volume: Of the body; m³, 0 to 1e4.
        water_density: kg/m³, above zero.
        acceleration: m/s², 0 to 1e5.

    Returns:
        Force in N.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        The second term of the Morison equation.

    >>> round(inertia_force(2.0, volume=0.002, water_density=1000, acceleration=0.5), 9)
    2.0
    """
    require_between(1, 10, inertia_coefficient=inertia_coefficient)
    require_between(0, 1e4, volume=volume)
    require_positive(water_density=water_density)
    require_between(0, 1e5, acceleration=acceleration)
    return water_density * inertia_coefficient * volume * acceleration


@formula(
    title="Largest force of current and waves",
    symbol="F",
    symbols={
        "drag_factor": "K",
        "current": "U",
        "orbital_velocity": "u",
        "inertia_force": "F_i",
    },
    tex=r"F = \max_\theta \left( K (U + u \cos \theta)^2 + F_\mathrm{i} \sin \theta \right)",
    working=(
        "max over θ of ({drag_factor} · ({current} + {orbital_velocity} · cos θ)²"
        " + {inertia_force} · sin θ)"
    ),
    validity="Waves along the current, a body held still; the Morison equation.",
    sources=("dnv-rp-c205", "pile-force-page"),
)
def peak_force(
    drag_factor: KilogramPerMetre,
    current: MetrePerSecond,
    orbital_velocity: MetrePerSecond,
    inertia_force: Newton,
) -> Newton:
    """Largest force during a wave, from drag and acceleration together.

    The two peak a quarter of a period apart, so the largest sum lies between them.

    Args:
        drag_factor: Drag over speed squared; kg/m, 0 to 1e10.
        current: m/s, 0 to 1000.
        orbital_velocity: Amplitude; m/s, 0 to 1000.
        inertia_force: Amplitude; N, 0 to 1e15.

    Returns:
        Force in N.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Morison equation. Between 0 and a quarter turn the slope of the sum falls through zero
        once; the place is found by halving.

    >>> round(peak_force(drag_factor=10, current=0, orbital_velocity=1, inertia_force=10), 6)
    12.5
    """
    require_between(0, 1e10, drag_factor=drag_factor)
    require_between(0, 1000, current=current, orbital_velocity=orbital_velocity)
    require_between(0, 1e15, inertia_force=inertia_force)
    swing = 2 * drag_factor * orbital_velocity
    low, high = 0.0, pi / 2
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        c, s = cos(middle), sin(middle)
        if inertia_force * c > swing * (current + orbital_velocity * c) * s:
            low = middle
        else:
            high = middle
    speed = current + orbital_velocity * cos(low)
    return drag_factor * speed * speed + inertia_force * sin(low)


@formula(
    title="Frequency of strumming",
    symbol="f",
    symbols={"strouhal_number": "S", "speed": "U", "diameter": "d"},
    tex=r"f = \mathrm{St} \, \frac{U}{d}",
    working="{strouhal_number} · {speed} / {diameter}",
    validity="Round line across the flow, speed times diameter from about 0.0004 to 0.3 m²/s; a "
    "line that swings pulls the frequency to its own.",
    sources=("aeolian-encyclopaedia", "dnv-rp-c205", "shedding-table"),
)
def strumming_frequency(strouhal_number: Ratio, speed: MetrePerSecond, diameter: Metre) -> Hertz:
    """Frequency at which eddies leave a line, left and right in turn.

    Args:
        strouhal_number: 0.05 to 1; 0.2 for a round line.
        speed: m/s, 0 to 1000.
        diameter: m, above zero.

    Returns:
        Frequency in Hz.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of the Strouhal number.

    >>> round(strumming_frequency(strouhal_number=0.2, speed=0.5, diameter=0.008), 3)
    12.5
    """
    require_between(0.05, 1, strouhal_number=strouhal_number)
    require_between(0, 1000, speed=speed)
    require_positive(diameter=diameter)
    return strouhal_number * speed / diameter
