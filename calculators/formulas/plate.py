"""Flat lids under pressure: how far they bend, how hard, and what that does to the gasket."""

from collections.abc import Iterator
from math import cos, degrees, exp, pi, radians, sin

from calculators.errors import InputError
from calculators.formula import formula, remembered, require_between, require_positive
from calculators.quantities import Degree, Metre, NewtonMetre, Pascal, Ratio

LEAST_POISSON, MOST_POISSON = 0.15, 0.5
"""Below the first the twist at the corners of a rectangle passes the bending in the middle."""

LINEAR_BENDING = 0.5
"""Deflection over thickness up to which the theory of small deflections is used."""

_FADED = 25.0
"""Exponent from which a term of the series is left out: e to the minus 25 is 1e-11."""

# How the ends of a clamped strip fade towards its middle: the first two roots of
# sin z + z = 0, halved, as decay and wave number for one width of distance between the ends.
_DECAY, _WAVE = 2.10619612, 1.12536431
_DECAY_2, _WAVE_2 = 5.35626870, 1.55157437

# Their amplitudes, cosine and sine, fitted to a solution with 308 polynomials.
_DEFLECTION = (-1.91708, -3.90309, 9.98755, 3.00883)
_EDGE_MOMENT = (-2.43372, -2.43455, 9.30199, 2.15114)


@formula(
    title="Bending stiffness of a plate",
    symbol="D",
    symbols={"modulus": "E", "thickness": "t", "poisson": "ν"},
    tex=r"D = \frac{E t^3}{12 \left( 1 - \nu^2 \right)}",
    working="{modulus} · ({thickness})³ / (12 · (1 − {poisson}²))",
    validity="One even material, no ribs. For a load that stays, E is the modulus after that time.",
    sources=("timoshenko-plates", "civil-handbook-plates"),
)
def plate_stiffness(modulus: Pascal, thickness: Metre, poisson: Ratio) -> NewtonMetre:
    """Bending moment per unit of width that bends a plate to unit curvature.

    Args:
        modulus: Modulus of elasticity; Pa, above zero.
        thickness: m, above zero.
        poisson: Poisson's ratio, 0 to 0.5.

    Returns:
        Stiffness in N·m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Theory of thin plates.

    >>> round(plate_stiffness(modulus=1.9e9, thickness=6e-3, poisson=0.38), 2)
    39.97
    """
    require_positive(modulus=modulus, thickness=thickness)
    require_between(0, MOST_POISSON, poisson=poisson)
    return modulus * thickness**3 / (12 * (1 - poisson**2))


@formula(
    title="Deflection of a clamped round lid",
    symbol="y",
    symbols={"pressure": "p", "diameter": "d", "stiffness": "D"},
    tex=r"y = \frac{p d^4}{1024 D}",
    working="{pressure} · ({diameter})⁴ / (1024 · {stiffness})",
    validity="At the centre; y up to half the thickness, thickness up to a tenth of d. The edge "
    "is held so that it cannot turn at all.",
    sources=("timoshenko-plates", "civil-handbook-plates", "roark-8"),
)
def clamped_circle_deflection(pressure: Pascal, diameter: Metre, stiffness: NewtonMetre) -> Metre:
    """How far the centre of a round lid with a clamped edge goes in.

    Args:
        pressure: Outside over inside; Pa, above zero.
        diameter: Between the lines where it is held; m, above zero.
        stiffness: Bending stiffness; N·m, above zero.

    Returns:
        Deflection in m.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Theory of thin plates, with the radius as half the diameter.

    >>> round(clamped_circle_deflection(pressure=1e5, diameter=0.1, stiffness=100) * 1e3, 4)
    0.0977
    """
    require_positive(pressure=pressure, diameter=diameter, stiffness=stiffness)
    return pressure * diameter**4 / (1024 * stiffness)


@formula(
    title="Stress in a clamped round lid",
    symbol="σ",
    symbols={"pressure": "p", "diameter": "d", "thickness": "t"},
    tex=r"\sigma = \frac{3}{16} \, p \left( \frac{d}{t} \right)^2",
    working="3 / 16 · {pressure} · ({diameter} / {thickness})²",
    validity="Along the edge, across it; deflection up to half the thickness.",
    sources=("timoshenko-plates", "civil-handbook-plates", "roark-8"),
)
def clamped_circle_stress(pressure: Pascal, diameter: Metre, thickness: Metre) -> Pascal:
    """The largest bending stress in a round lid with a clamped edge.

    Args:
        pressure: Outside over inside; Pa, above zero.
        diameter: Between the lines where it is held; m, above zero.
        thickness: m, above zero.

    Returns:
        Stress in Pa, at the edge.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Theory of thin plates: the edge moment is p d²/32, six times that over t² the stress.

    >>> clamped_circle_stress(pressure=1e5, diameter=0.1, thickness=0.01)
    1875000.0
    """
    require_positive(pressure=pressure, diameter=diameter, thickness=thickness)
    return 3 / 16 * pressure * (diameter / thickness) ** 2


@formula(
    title="Deflection of a supported round lid",
    symbol="y",
    symbols={"pressure": "p", "diameter": "d", "stiffness": "D", "poisson": "ν"},
    tex=r"y = \frac{5 + \nu}{1 + \nu} \, \frac{p d^4}{1024 D}",
    working="(5 + {poisson}) / (1 + {poisson}) · {pressure} · ({diameter})⁴ / (1024 · {stiffness})",
    validity="At the centre; y up to half the thickness, thickness up to a tenth of d. The edge "
    "rests and may turn.",
    sources=("timoshenko-plates", "civil-handbook-plates", "roark-8"),
)
def supported_circle_deflection(
    pressure: Pascal, diameter: Metre, stiffness: NewtonMetre, poisson: Ratio
) -> Metre:
    """How far the centre of a round lid that only rests on its edge goes in.

    Args:
        pressure: Outside over inside; Pa, above zero.
        diameter: Of the line that it rests on; m, above zero.
        stiffness: Bending stiffness; N·m, above zero.
        poisson: Poisson's ratio, 0 to 0.5.

    Returns:
        Deflection in m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Theory of thin plates, with the radius as half the diameter.

    >>> deflection = supported_circle_deflection(
    ...     pressure=1e5, diameter=0.1, stiffness=100, poisson=0.3
    ... )
    >>> round(deflection * 1e3, 4)
    0.3981
    """
    require_positive(pressure=pressure, diameter=diameter, stiffness=stiffness)
    require_between(0, MOST_POISSON, poisson=poisson)
    return (5 + poisson) / (1 + poisson) * pressure * diameter**4 / (1024 * stiffness)


@formula(
    title="Stress in a supported round lid",
    symbol="σ",
    symbols={"pressure": "p", "diameter": "d", "thickness": "t", "poisson": "ν"},
    tex=r"\sigma = \frac{3 \left( 3 + \nu \right)}{32} \, p \left( \frac{d}{t} \right)^2",
    working="3 · (3 + {poisson}) / 32 · {pressure} · ({diameter} / {thickness})²",
    validity="At the centre, inside face in tension; deflection up to half the thickness.",
    sources=("timoshenko-plates", "civil-handbook-plates", "roark-8"),
)
def supported_circle_stress(
    pressure: Pascal, diameter: Metre, thickness: Metre, poisson: Ratio
) -> Pascal:
    """The largest bending stress in a round lid that only rests on its edge.

    Args:
        pressure: Outside over inside; Pa, above zero.
        diameter: Of the line that it rests on; m, above zero.
        thickness: m, above zero.
        poisson: Poisson's ratio, 0 to 0.5.

    Returns:
        Stress in Pa, at the centre.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Theory of thin plates.

    >>> stress = supported_circle_stress(pressure=1e5, diameter=0.1, thickness=0.01, poisson=0.3)
    >>> round(stress)
    3093750
    """
    require_positive(pressure=pressure, diameter=diameter, thickness=thickness)
    require_between(0, MOST_POISSON, poisson=poisson)
    return 3 * (3 + poisson) / 32 * pressure * (diameter / thickness) ** 2


@formula(
    title="Turn of the edge of a supported round lid",
    symbol="θ",
    symbols={"pressure": "p", "diameter": "d", "stiffness": "D", "poisson": "ν"},
    tex=r"\theta = \frac{180°}{\pi} \, \frac{p d^3}{64 \left( 1 + \nu \right) D}",
    working="180° / π · {pressure} · ({diameter})³ / (64 · (1 + {poisson}) · {stiffness})",
    validity="On the line that it rests on; deflection up to half the thickness.",
    sources=("timoshenko-plates", "civil-handbook-plates", "roark-8"),
)
def supported_circle_slope(
    pressure: Pascal, diameter: Metre, stiffness: NewtonMetre, poisson: Ratio
) -> Degree:
    """Angle by which the edge of a round lid turns where it rests.

    Args:
        pressure: Outside over inside; Pa, above zero.
        diameter: Of the line that it rests on; m, above zero.
        stiffness: Bending stiffness; N·m, above zero.
        poisson: Poisson's ratio, 0 to 0.5.

    Returns:
        Angle in °.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Theory of thin plates: derivative of the deflection at the edge.

    >>> round(supported_circle_slope(pressure=1e5, diameter=0.1, stiffness=100, poisson=0.3), 4)
    0.6887
    """
    require_positive(pressure=pressure, diameter=diameter, stiffness=stiffness)
    require_between(0, MOST_POISSON, poisson=poisson)
    return degrees(pressure * diameter**3 / (64 * (1 + poisson) * stiffness))


@formula(
    title="Deflection of a clamped rectangular lid",
    symbol="y",
    symbols={"pressure": "p", "short_side": "b", "long_side": "a", "stiffness": "D"},
    tex=r"\begin{gathered} y = f \, \frac{p b^4}{384 D}, \quad r = \frac{a}{b} \\"
    r" f = 1 - e^{-2.1062 r} \left( 1.917 \cos 1.1254 r + 3.903 \sin 1.1254 r \right) \\"
    r" + e^{-5.3563 r} \left( 9.988 \cos 1.5516 r + 3.009 \sin 1.5516 r \right)"
    r" \end{gathered}",
    working="f({long_side} / {short_side}) · {pressure} · ({short_side})⁴ / (384 · {stiffness})",
    validity="At the centre; y up to half the thickness, thickness up to a tenth of b. Any ratio "
    "of the sides; within 0.02 % of the series for the plate.",
    sources=("wetside-derivation-clamped-lid", "mechanical-data-handbook", "roark-8"),
)
def clamped_rectangle_deflection(
    pressure: Pascal, short_side: Metre, long_side: Metre, stiffness: NewtonMetre
) -> Metre:
    """How far the centre of a rectangular lid with clamped edges goes in.

    Args:
        pressure: Outside over inside; Pa, above zero.
        short_side: Between the lines where it is held; m, above zero.
        long_side: The same for the longer side; m, not below the short side.
        stiffness: Bending stiffness; N·m, above zero.

    Returns:
        Deflection in m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [wetside-derivation-clamped-lid]: a long clamped strip, and how its ends fade.

    >>> deflection = clamped_rectangle_deflection(
    ...     pressure=1e5, short_side=0.1, long_side=0.1, stiffness=100
    ... )
    >>> round(deflection * 1e3, 3)
    0.127
    """
    require_positive(pressure=pressure, short_side=short_side, stiffness=stiffness)
    aspect = _aspect(short_side, long_side)
    return _faded(aspect, _DEFLECTION) * pressure * short_side**4 / (384 * stiffness)


@formula(
    title="Stress in a clamped rectangular lid",
    symbol="σ",
    symbols={"pressure": "p", "short_side": "b", "long_side": "a", "thickness": "t"},
    tex=r"\begin{gathered} \sigma = f \, \frac{p}{2} \left( \frac{b}{t} \right)^2,"
    r" \quad r = \frac{a}{b} \\"
    r" f = 1 - e^{-2.1062 r} \left( 2.434 \cos 1.1254 r + 2.435 \sin 1.1254 r \right) \\"
    r" + e^{-5.3563 r} \left( 9.302 \cos 1.5516 r + 2.151 \sin 1.5516 r \right)"
    r" \end{gathered}",
    working="f({long_side} / {short_side}) · {pressure} / 2 · ({short_side} / {thickness})²",
    validity="In the middle of the long edges, across them; deflection up to half the thickness. "
    "Any ratio of the sides; within 0.02 % of the series for the plate.",
    sources=("wetside-derivation-clamped-lid", "mechanical-data-handbook", "roark-8"),
)
def clamped_rectangle_stress(
    pressure: Pascal, short_side: Metre, long_side: Metre, thickness: Metre
) -> Pascal:
    """The largest bending stress in a rectangular lid with clamped edges.

    Args:
        pressure: Outside over inside; Pa, above zero.
        short_side: Between the lines where it is held; m, above zero.
        long_side: The same for the longer side; m, not below the short side.
        thickness: m, above zero.

    Returns:
        Stress in Pa, in the middle of the long edges.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        [wetside-derivation-clamped-lid].

    >>> stress = clamped_rectangle_stress(
    ...     pressure=1e5, short_side=0.1, long_side=0.2, thickness=0.01
    ... )
    >>> round(stress / 1e6, 3)
    4.972
    """
    require_positive(pressure=pressure, short_side=short_side, thickness=thickness)
    aspect = _aspect(short_side, long_side)
    return _faded(aspect, _EDGE_MOMENT) * pressure / 2 * (short_side / thickness) ** 2


@formula(
    title="Deflection of a supported rectangular lid",
    symbol="y",
    symbols={"pressure": "p", "short_side": "b", "long_side": "a", "stiffness": "D"},
    tex=r"y = \frac{p b^4}{D} \left[ \frac{5}{384} - \frac{4}{\pi^5}"
    r" \sum_{m = 1, 3, 5, \ldots} \frac{(-1)^{(m - 1)/2}}{m^5}"
    r" \, \frac{\alpha \tanh \alpha + 2}{2 \cosh \alpha} \right],"
    r" \quad \alpha = \frac{m \pi a}{2 b}",
    working="α({long_side} / {short_side}) · {pressure} · ({short_side})⁴ / {stiffness}",
    validity="At the centre; y up to half the thickness, thickness up to a tenth of b. Any ratio "
    "of the sides; corners held down.",
    sources=("timoshenko-plates", "roark-rectangles"),
)
def supported_rectangle_deflection(
    pressure: Pascal, short_side: Metre, long_side: Metre, stiffness: NewtonMetre
) -> Metre:
    """How far the centre of a rectangular lid that only rests on its edges goes in.

    Args:
        pressure: Outside over inside; Pa, above zero.
        short_side: Of the line that it rests on; m, above zero.
        long_side: The same for the longer side; m, not below the short side.
        stiffness: Bending stiffness; N·m, above zero.

    Returns:
        Deflection in m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Theory of thin plates: single series across the short side, summed to the last digits.

    >>> deflection = supported_rectangle_deflection(
    ...     pressure=1e5, short_side=0.1, long_side=0.1, stiffness=100
    ... )
    >>> round(deflection * 1e3, 4)
    0.4062
    """
    require_positive(pressure=pressure, short_side=short_side, stiffness=stiffness)
    share = _deflection_share(_aspect(short_side, long_side))
    return share * pressure * short_side**4 / stiffness


@formula(
    title="Stress in a supported rectangular lid",
    symbol="σ",
    symbols={
        "pressure": "p",
        "short_side": "b",
        "long_side": "a",
        "thickness": "t",
        "poisson": "ν",
    },
    tex=r"\sigma = 6 p \left( \frac{b}{t} \right)^2 \left[ \frac{1}{8} - \frac{4}{\pi^3}"
    r" \sum_{m = 1, 3, 5, \ldots} \frac{(-1)^{(m - 1)/2}}{m^3} \left( (1 - \nu)"
    r" \frac{\alpha \tanh \alpha + 2}{2 \cosh \alpha} + \frac{\nu}{\cosh \alpha} \right)"
    r" \right], \quad \alpha = \frac{m \pi a}{2 b}",
    working="6 · μ({long_side} / {short_side}, {poisson}) · {pressure} · "
    "({short_side} / {thickness})²",
    validity="At the centre, across the short side, inside face in tension; deflection up to half "
    "the thickness. Any ratio of the sides, ν from 0.15; corners held down.",
    sources=("timoshenko-plates", "roark-rectangles"),
)
def supported_rectangle_stress(
    pressure: Pascal, short_side: Metre, long_side: Metre, thickness: Metre, poisson: Ratio
) -> Pascal:
    """The largest bending stress in a rectangular lid that only rests on its edges.

    Args:
        pressure: Outside over inside; Pa, above zero.
        short_side: Of the line that it rests on; m, above zero.
        long_side: The same for the longer side; m, not below the short side.
        thickness: m, above zero.
        poisson: Poisson's ratio, 0.15 to 0.5.

    Returns:
        Stress in Pa, at the centre.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Theory of thin plates: single series across the short side, summed to the last digits.

    >>> stress = supported_rectangle_stress(
    ...     pressure=1e5, short_side=0.1, long_side=0.2, thickness=0.01, poisson=0.3
    ... )
    >>> round(stress / 1e6, 3)
    6.101
    """
    require_positive(pressure=pressure, short_side=short_side, thickness=thickness)
    require_between(LEAST_POISSON, MOST_POISSON, poisson=poisson)
    moment = _moment_share(_aspect(short_side, long_side), poisson)
    return 6 * moment * pressure * (short_side / thickness) ** 2


@formula(
    title="Turn of the edge of a supported rectangular lid",
    symbol="θ",
    symbols={"pressure": "p", "short_side": "b", "long_side": "a", "stiffness": "D"},
    tex=r"\theta = \frac{180°}{\pi} \, \frac{p b^3}{D} \left[ \frac{1}{24} - \frac{4}{\pi^4}"
    r" \sum_{m = 1, 3, 5, \ldots} \frac{1}{m^4}"
    r" \, \frac{\alpha \tanh \alpha + 2}{2 \cosh \alpha} \right],"
    r" \quad \alpha = \frac{m \pi a}{2 b}",
    working="180° / π · γ({long_side} / {short_side}) · {pressure} · ({short_side})³ / {stiffness}",
    validity="In the middle of the long edges, where it is largest; deflection up to half the "
    "thickness. Any ratio of the sides; corners held down.",
    sources=("timoshenko-plates",),
)
def supported_rectangle_slope(
    pressure: Pascal, short_side: Metre, long_side: Metre, stiffness: NewtonMetre
) -> Degree:
    """Angle by which the long edge of a rectangular lid turns where it rests.

    Args:
        pressure: Outside over inside; Pa, above zero.
        short_side: Of the line that it rests on; m, above zero.
        long_side: The same for the longer side; m, not below the short side.
        stiffness: Bending stiffness; N·m, above zero.

    Returns:
        Angle in °, in the middle of the long edges.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Theory of thin plates: derivative of the single series at the edge.

    >>> slope = supported_rectangle_slope(
    ...     pressure=1e5, short_side=0.1, long_side=0.1, stiffness=100
    ... )
    >>> round(slope, 4)
    0.7725
    """
    require_positive(pressure=pressure, short_side=short_side, stiffness=stiffness)
    share = _slope_share(_aspect(short_side, long_side))
    return degrees(share * pressure * short_side**3 / stiffness)


@formula(
    title="Gap that opens at the gasket",
    symbol="s",
    symbols={"slope": "θ", "offset": "e"},
    tex=r"s = \frac{\pi}{180°} \, \theta \, e",
    working="π / 180° · {slope} · {offset}",
    validity="Gasket outside the line where the lid bears, small angles; the overhang stays "
    "straight. Inside that line the pressure closes the gap instead.",
    sources=("wetside-derivation-lid-limit",),
)
def gasket_gap(slope: Degree, offset: Metre) -> Metre:
    """How far the lid lifts off a gasket that lies outside the line where it bears.

    Args:
        slope: Turn of the edge; °, zero or more.
        offset: From the line where the lid bears out to the gasket; m, zero or more.

    Returns:
        Gap in m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        The overhang carries no load, as far as it is small, and turns with the edge.

    >>> round(gasket_gap(slope=2, offset=5e-3) * 1e3, 4)
    0.1745
    """
    require_between(0, float("inf"), slope=slope, offset=offset)
    return radians(slope) * offset


@formula(
    title="Depth limit",
    symbol="h_l",
    symbols={
        "depth": "h",
        "stress": "σ",
        "working_stress": "σ_x",
        "gap": "s",
        "gap_allowed": "s_x",
        "deflection": "y",
        "thickness": "t",
    },
    tex=r"h_\mathrm{l} = h \,/ \max \left( \frac{\sigma}{\sigma_\mathrm{x}},"
    r" \frac{s}{s_\mathrm{x}}, \frac{2 y}{t} \right)",
    working="{depth} / max({stress} / {working_stress}, {gap} / {gap_allowed}, "
    "2 · {deflection} / {thickness})",
    validity="Where stress, gap and deflection grow in proportion to the pressure, and that to "
    "the depth: down to the limit itself, they do.",
    sources=("wetside-derivation-lid-limit", "roark-8"),
)
def depth_limit(
    depth: Metre,
    stress: Pascal,
    working_stress: Pascal,
    gap: Metre,
    gap_allowed: Metre,
    deflection: Metre,
    thickness: Metre,
) -> Metre:
    """The depth at which the first of a lid's three limits is reached.

    Args:
        depth: For which the other values were worked out; m, above zero.
        stress: Largest bending stress there; Pa, above zero.
        working_stress: The most it may be; Pa, above zero.
        gap: At the gasket; m, zero or more.
        gap_allowed: The most it may be; m, above zero.
        deflection: Of the centre; m, above zero. It may be half the thickness.
        thickness: m, above zero.

    Returns:
        Depth in m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Proportion.

    >>> depth_limit(
    ...     depth=10, stress=2e6, working_stress=5e6, gap=0, gap_allowed=1e-4,
    ...     deflection=1e-3, thickness=6e-3
    ... )
    25.0
    """
    require_positive(
        depth=depth,
        stress=stress,
        working_stress=working_stress,
        gap_allowed=gap_allowed,
        deflection=deflection,
        thickness=thickness,
    )
    require_between(0, float("inf"), gap=gap)
    used = (stress / working_stress, gap / gap_allowed, deflection / (LINEAR_BENDING * thickness))
    return depth / max(used)


def _aspect(short_side: float, long_side: float) -> float:
    """Long over short side."""
    if not short_side <= long_side < float("inf"):
        raise InputError(
            "long_side",
            f"long_side must not be below short_side {short_side!r}, given {long_side!r}",
        )
    return long_side / short_side


def _faded(aspect: float, amplitudes: tuple[float, float, float, float]) -> float:
    """What a clamped rectangle has of the value of an endless strip."""
    a, b, c, d = amplitudes
    near = a * cos(_WAVE * aspect) + b * sin(_WAVE * aspect)
    nearer = c * cos(_WAVE_2 * aspect) + d * sin(_WAVE_2 * aspect)
    return 1 + exp(-_DECAY * aspect) * near + exp(-_DECAY_2 * aspect) * nearer


@remembered
def _deflection_share(aspect: float) -> float:
    """Of p b⁴ / D, the part by which the middle of the supported rectangle bends."""
    terms = _series(aspect)
    return 5 / 384 + 4 / pi**5 * sum(sign * first / m**5 for m, sign, first, _ in terms)


@remembered
def _moment_share(aspect: float, poisson: float) -> float:
    """Of p b², the bending moment in the middle of the supported rectangle."""
    return 1 / 8 + 4 / pi**3 * sum(
        sign * ((1 - poisson) * first - 2 * poisson * second) / m**3
        for m, sign, first, second in _series(aspect)
    )


@remembered
def _slope_share(aspect: float) -> float:
    """Of p b³ / D, the part by which the long edge of the supported rectangle turns."""
    return 1 / 24 + 4 / pi**4 * sum(first / m**4 for m, _, first, _ in _series(aspect))


def _series(aspect: float) -> Iterator[tuple[int, int, float, float]]:
    """Terms of the supported rectangle: number, sign in the middle, and the two amplitudes.

    They are those of cosh and of y sinh that the ends add to the bent strip, the first
    −(α tanh α + 2)/(2 cosh α), the second 1/(2 cosh α), with α = mπa/(2b).
    """
    m, sign = 1, 1
    while (alpha := m * pi * aspect / 2) < _FADED:
        square = exp(-2 * alpha)
        second = exp(-alpha) / (1 + square)  # written so that no cosh can overflow
        first = -second * (alpha * (1 - square) / (1 + square) + 2)
        yield m, sign, first, second
        m, sign = m + 2, -sign
