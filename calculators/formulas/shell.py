"""Round tubes under water: what their wall bears, and when it folds."""

from math import inf, pi, sqrt

from calculators.formula import formula, require_between, require_positive
from calculators.quantities import Count, Metre, Pascal, Ratio

FEWEST_LOBES = 2
"""With one lobe the tube only moves aside; with two it becomes oval."""


@formula(
    title="Hoop stress in a thick wall",
    symbol="σ_h",
    symbols={"pressure": "p", "inner_diameter": "d", "thickness": "t"},
    tex=r"\sigma_\mathrm{h} = \frac{2 p D_\mathrm{o}^2}{D_\mathrm{o}^2 - d^2},"
    r" \quad D_\mathrm{o} = d + 2 t",
    working="2 · {pressure} / (1 − ({inner_diameter} / ({inner_diameter} + 2 · {thickness}))²)",
    validity="At the inner face, where it is largest; compression. Any thickness, away from the "
    "ends; a round tube, pressure outside only.",
    sources=("timoshenko-strength-2",),
)
def hoop_stress(pressure: Pascal, inner_diameter: Metre, thickness: Metre) -> Pascal:
    """The largest stress round a tube that is pressed from outside.

    Args:
        pressure: Outside over inside; Pa, above zero.
        inner_diameter: m, above zero.
        thickness: Of the wall; m, above zero.

    Returns:
        Stress in Pa, positive for compression.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Elasticity of the thick tube (Lamé).

    >>> round(hoop_stress(pressure=1e6, inner_diameter=0.09, thickness=0.005) / 1e6, 4)
    10.5263
    """
    require_positive(pressure=pressure, inner_diameter=inner_diameter, thickness=thickness)
    return 2 * pressure * _outer_square_share(inner_diameter, thickness)


@formula(
    title="Hoop stress, mean over the wall",
    symbol="σ_m",
    symbols={"pressure": "p", "inner_diameter": "d", "thickness": "t"},
    tex=r"\sigma_\mathrm{m} = \frac{p (d + 2 t)}{2 t}",
    working="{pressure} · ({inner_diameter} + 2 · {thickness}) / (2 · {thickness})",
    validity="Exact as a mean. The inner face bears more, by about the thickness over the "
    "outer diameter: thin walls only, or as a check of the other.",
    sources=("timoshenko-strength-2",),
)
def mean_hoop_stress(pressure: Pascal, inner_diameter: Metre, thickness: Metre) -> Pascal:
    """The stress round a tube by the rule for thin walls: half the tube against both cuts.

    Args:
        pressure: Outside over inside; Pa, above zero.
        inner_diameter: m, above zero.
        thickness: Of the wall; m, above zero.

    Returns:
        Stress in Pa, positive for compression.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Balance of forces on half a tube.

    >>> round(mean_hoop_stress(pressure=1e6, inner_diameter=0.09, thickness=0.005) / 1e6, 4)
    10.0
    """
    require_positive(pressure=pressure, inner_diameter=inner_diameter, thickness=thickness)
    return pressure * (inner_diameter + 2 * thickness) / (2 * thickness)


@formula(
    title="Axial stress in a closed tube",
    symbol="σ_a",
    symbols={"pressure": "p", "inner_diameter": "d", "thickness": "t"},
    tex=r"\sigma_\mathrm{a} = \frac{p D_\mathrm{o}^2}{D_\mathrm{o}^2 - d^2},"
    r" \quad D_\mathrm{o} = d + 2 t",
    working="{pressure} / (1 − ({inner_diameter} / ({inner_diameter} + 2 · {thickness}))²)",
    validity="Both ends closed and borne by the wall; compression, the same over the whole wall.",
    sources=("timoshenko-strength-2",),
)
def axial_stress(pressure: Pascal, inner_diameter: Metre, thickness: Metre) -> Pascal:
    """The stress along a tube whose ends the water presses together.

    Args:
        pressure: Outside over inside; Pa, above zero.
        inner_diameter: m, above zero.
        thickness: Of the wall; m, above zero.

    Returns:
        Stress in Pa, positive for compression: half the hoop stress at the inner face.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Force on the end over the section of the wall.

    >>> round(axial_stress(pressure=1e6, inner_diameter=0.09, thickness=0.005) / 1e6, 4)
    5.2632
    """
    require_positive(pressure=pressure, inner_diameter=inner_diameter, thickness=thickness)
    return pressure * _outer_square_share(inner_diameter, thickness)


@formula(
    title="Buckling pressure of a long tube",
    symbol="p_l",
    symbols={"modulus": "E", "poisson": "ν", "inner_diameter": "d", "thickness": "t"},
    tex=r"p_\mathrm{l} = \frac{2 E}{1 - \nu^2} \left( \frac{t}{D} \right)^3, \quad D = d + t",
    working="2 · {modulus} / (1 − {poisson}²) · ({thickness} / ({inner_diameter} + {thickness}))³",
    validity="A round, elastic tube so long that its ends do not help; t up to about D/10, from "
    "where on it promises too much. No safety in it.",
    sources=("roark-tube-sheet", "timoshenko-stability"),
)
def long_tube_buckling(
    modulus: Pascal, poisson: Ratio, inner_diameter: Metre, thickness: Metre
) -> Pascal:
    """Pressure at which a long round tube goes flat.

    Args:
        modulus: Modulus of elasticity, after the time under load; Pa, above zero.
        poisson: Poisson's ratio, 0 to 0.5.
        inner_diameter: m, above zero.
        thickness: Of the wall; m, above zero.

    Returns:
        Pressure in Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Stability of a ring that is part of a long tube.

    >>> round(long_tube_buckling(
    ...     modulus=70e9, poisson=0.33, inner_diameter=0.097, thickness=0.003
    ... ) / 1e6, 3)
    4.242
    """
    require_positive(modulus=modulus, inner_diameter=inner_diameter, thickness=thickness)
    require_between(0, 0.5, poisson=poisson)
    return 2 * modulus / (1 - poisson**2) * (thickness / (inner_diameter + thickness)) ** 3


@formula(
    title="Buckling pressure of a tube between stiff ends",
    symbol="p_e",
    symbols={
        "modulus": "E",
        "poisson": "ν",
        "inner_diameter": "d",
        "thickness": "t",
        "length": "L",
        "lobes": "n",
    },
    tex=r"p_\mathrm{e} = \frac{1}{n^2 - 1 + \frac{\lambda^2}{2}} \left\{ \frac{E t}{R}"
    r" \frac{1}{\left[ 1 + \left( n / \lambda \right)^2 \right]^2}"
    r" + \frac{E t^3}{12 R^3 \left( 1 - \nu^2 \right)} \left( n^2 - 1 + \lambda^2 \right)^2"
    r" \right\}, \quad R = \frac{d + t}{2}, \quad \lambda = \frac{\pi R}{L}",
    working="p({lobes} lobes; {modulus}, {poisson}, {inner_diameter}, {thickness}, {length})",
    validity="For the number of lobes that makes it least, two or more. A round, elastic tube, "
    "ends that stay round and are pressed together by the water, but may turn; t up to about "
    "D/10, from where on it promises too much. No safety in it.",
    sources=("von-mises-1929", "windenburg-trilling-1934"),
)
def lobed_tube_buckling(
    modulus: Pascal,
    poisson: Ratio,
    inner_diameter: Metre,
    thickness: Metre,
    length: Metre,
    lobes: Count,
) -> Pascal:
    """Pressure at which a tube between stiff ends folds into a number of lobes.

    Args:
        modulus: Modulus of elasticity, after the time under load; Pa, above zero.
        poisson: Poisson's ratio, 0 to 0.5.
        inner_diameter: m, above zero.
        thickness: Of the wall; m, above zero.
        length: Free, between the stiff ends; m, above zero.
        lobes: Waves round the tube, 2 or more; see ``weakest_lobes``.

    Returns:
        Pressure in Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Stability of a thin cylinder under pressure on wall and ends (von Mises 1929).

    >>> round(lobed_tube_buckling(
    ...     modulus=70e9, poisson=0.33, inner_diameter=0.097, thickness=0.003, length=0.2, lobes=3
    ... ) / 1e6, 2)
    14.72
    """
    require_positive(
        modulus=modulus, inner_diameter=inner_diameter, thickness=thickness, length=length
    )
    require_between(0, 0.5, poisson=poisson)
    require_between(FEWEST_LOBES, inf, lobes=lobes)
    return modulus * _buckling_strain(poisson, inner_diameter, thickness, length, lobes)


def weakest_lobes(poisson: float, inner_diameter: float, thickness: float, length: float) -> int:
    """The number of lobes that needs the least pressure.

    The pressure first falls and then rises with the lobes, so doubling brackets the least one and
    halving finds it. The modulus makes no difference.
    """

    def rises(lobes: int) -> bool:
        here, beyond = (
            _buckling_strain(poisson, inner_diameter, thickness, length, n)
            for n in (lobes, lobes + 1)
        )
        return beyond >= here

    low = high = FEWEST_LOBES
    while not rises(high):
        low, high = high + 1, 2 * high
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if rises(middle) else (middle + 1, high)
    return low


@formula(
    title="Pressure that an oval tube bears",
    symbol="p_o",
    symbols={
        "round_pressure": "p_r",
        "buckling_pressure": "p_e",
        "inner_diameter": "d",
        "thickness": "t",
        "ovality": "u",
    },
    tex=r"p_\mathrm{o}^2 - \left[ p_\mathrm{r} + \left( 1 + \frac{3 u D}{2 t} \right)"
    r" p_\mathrm{e} \right] p_\mathrm{o} + p_\mathrm{r} p_\mathrm{e} = 0, \quad D = d + t",
    working="the smaller root of p² − ({round_pressure} + (1 + 1.5 · {ovality} · "
    "({inner_diameter} + {thickness}) / {thickness}) · {buckling_pressure}) · p + "
    "{round_pressure} · {buckling_pressure}",
    validity="An oval of two lobes, elastic up to the stress allowed. On the safe side for short "
    "tubes, which fold into more lobes than an oval has.",
    sources=("timoshenko-stability",),
)
def oval_tube_pressure(
    round_pressure: Pascal,
    buckling_pressure: Pascal,
    inner_diameter: Metre,
    thickness: Metre,
    ovality: Ratio,
) -> Pascal:
    """Pressure at which a tube that is not quite round reaches the stress allowed.

    The water presses the oval flatter, and that bends the wall on top of the hoop stress.

    Args:
        round_pressure: At which the tube would reach the stress if it were round; Pa, above zero.
        buckling_pressure: Of the round tube; Pa, above zero.
        inner_diameter: m, above zero.
        thickness: Of the wall; m, above zero.
        ovality: Largest less smallest diameter, over their mean; 0 to 0.2.

    Returns:
        Pressure in Pa, below both others.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Second-order bending of an oval ring, first fibre at the stress allowed.

    >>> round(oval_tube_pressure(
    ...     round_pressure=11e6, buckling_pressure=45e6, inner_diameter=0.1, thickness=0.005,
    ...     ovality=0.01
    ... ) / 1e6, 2)
    7.96
    """
    require_positive(
        round_pressure=round_pressure,
        buckling_pressure=buckling_pressure,
        inner_diameter=inner_diameter,
        thickness=thickness,
    )
    require_between(0, 0.2, ovality=ovality)
    bending = 1.5 * ovality * (inner_diameter + thickness) / thickness
    middle = (round_pressure + (1 + bending) * buckling_pressure) / 2
    # The product of both roots is known: dividing by the larger loses no digits.
    larger = middle + sqrt(max(0.0, middle**2 - round_pressure * buckling_pressure))
    return round_pressure * buckling_pressure / larger


@formula(
    title="Depth at which a limit is reached",
    symbol="h_l",
    symbols={"depth": "h", "reached": "σ", "allowed": "σ_x", "margin": "m"},
    tex=r"h_\mathrm{l} = h \, \frac{\sigma_\mathrm{x}}{m \, \sigma}",
    working="{depth} · {allowed} / ({margin} · {reached})",
    validity="Stresses and pressures that grow in proportion to the depth; to 0.5 % down to "
    "1000 m.",
    sources=("wetside-derivation-tube-limit",),
)
def limit_depth(depth: Metre, reached: Pascal, allowed: Pascal, margin: Ratio) -> Metre:
    """The depth at which a stress, or the pressure itself, reaches what is allowed.

    Args:
        depth: For which ``reached`` was worked out; m, above zero.
        reached: Stress or pressure there; Pa, above zero.
        allowed: The most it may be, before the margin; Pa, above zero.
        margin: By which to stay below; 1 where it is in ``allowed`` already, above zero.

    Returns:
        Depth in m.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Proportion.

    >>> limit_depth(depth=10, reached=1e5, allowed=6e5, margin=3)
    20.0
    """
    require_positive(depth=depth, reached=reached, allowed=allowed, margin=margin)
    return depth * allowed / (margin * reached)


def _outer_square_share(inner_diameter: float, thickness: float) -> float:
    """Outer square over the difference of the squares of both diameters."""
    outer = inner_diameter + 2 * thickness
    return outer**2 / (4 * thickness * (inner_diameter + thickness))


def _buckling_strain(
    poisson: float, inner_diameter: float, thickness: float, length: float, lobes: float
) -> float:
    """Buckling pressure over the modulus."""
    radius = (inner_diameter + thickness) / 2
    slender = (pi * radius / length) ** 2
    waves = lobes**2
    stretched = (slender / (slender + waves)) ** 2
    bent = (thickness / radius) ** 2 / (12 * (1 - poisson**2)) * (waves - 1 + slender) ** 2
    return thickness / radius * (stretched + bent) / (waves - 1 + slender / 2)
