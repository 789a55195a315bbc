"""Line and anchor: what holds the rig, and where it goes."""

from math import atan2, degrees, hypot, radians, sin, sqrt

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.quantities import Degree, Metre, Newton, Ratio

STRONGEST: Newton = 1e12
"""Far beyond any line; keeps every product finite."""


@formula(
    title="Tension of the line",
    symbol="T",
    symbols={"horizontal": "F_h", "vertical": "F_v"},
    tex=r"T = \sqrt{F_\mathrm{h}^2 + F_\mathrm{v}^2}",
    working="√({horizontal}² + {vertical}²)",
    validity="Steady; a line that goes slack and taut in waves jerks with several times as much.",
    sources=("resultant-example",),
)
def line_tension(horizontal: Newton, vertical: Newton) -> Newton:
    """Pull along a line, from its two parts.

    Args:
        horizontal: N, −1e12 to 1e12.
        vertical: N, −1e12 to 1e12.

    Returns:
        Tension in N.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Statics.

    >>> line_tension(horizontal=3, vertical=4)
    5.0
    """
    require_between(-STRONGEST, STRONGEST, horizontal=horizontal, vertical=vertical)
    return hypot(horizontal, vertical)


@formula(
    title="Angle of the line",
    symbol="φ",
    symbols={"horizontal": "F_h", "vertical": "F_v"},
    tex=r"\varphi = \arctan \frac{F_\mathrm{h}}{F_\mathrm{v}}",
    working="arctan({horizontal} / {vertical})",
    validity="From the vertical. With half the line's drag in F_h and half its weight out of F_v "
    "it is the angle of the straight between the ends: for a floating case, without waves, up to "
    "34° at most 5 % more than of the bent line.",
    sources=("resultant-example", "wetside-derivation-chord"),
)
def line_angle(horizontal: Newton, vertical: Newton) -> Degree:
    """How far a line leans over.

    Args:
        horizontal: N, 0 to 1e12.
        vertical: Upwards; N, above zero.

    Returns:
        Angle from the vertical, °.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Statics.

    >>> round(line_angle(horizontal=1, vertical=1), 9)
    45.0
    """
    require_between(0, STRONGEST, horizontal=horizontal)
    require_positive(vertical=vertical)
    return degrees(atan2(horizontal, vertical))


@formula(
    title="Excursion",
    symbol="x",
    symbols={"line_length": "L", "angle": "φ"},
    tex=r"x = L \sin \varphi",
    working="{line_length} · sin({angle})",
    validity="Line without stretch, taken as straight between its ends.",
    sources=("wetside-derivation-chord", "kite-example"),
)
def excursion(line_length: Metre, angle: Degree) -> Metre:
    """How far the upper end of a line is carried sideways.

    Args:
        line_length: m, above zero.
        angle: From the vertical; °, 0 to 90.

    Returns:
        Distance in m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Trigonometry.

    >>> round(excursion(line_length=10, angle=30), 9)
    5.0
    """
    require_positive(line_length=line_length)
    require_between(0, 90, angle=angle)
    return line_length * sin(radians(angle))


@formula(
    title="Dip",
    symbol="y",
    symbols={"line_length": "L", "angle": "φ"},
    tex=r"y = L (1 - \cos \varphi)",
    working="{line_length} · (1 − cos({angle}))",
    validity="Line without stretch, taken as straight between its ends; a bent one dips deeper, "
    "by about 7 % at 16°.",
    sources=("wetside-derivation-chord", "kite-example"),
)
def dip(line_length: Metre, angle: Degree) -> Metre:
    """How far the upper end of a line is pressed down as it leans over.

    Args:
        line_length: m, above zero.
        angle: From the vertical; °, 0 to 90.

    Returns:
        Depth gained, m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Trigonometry; written with the half angle, which keeps all digits where it is small.

    >>> round(dip(line_length=10, angle=60), 9)
    5.0
    """
    require_positive(line_length=line_length)
    require_between(0, 90, angle=angle)
    half = sin(radians(angle) / 2)
    return 2 * line_length * half * half


@formula(
    title="Pull of a marker buoy on its line",
    symbol="F_v",
    symbols={"horizontal": "F_h", "line_length": "L", "water_depth": "d"},
    tex=r"F_\mathrm{v} = F_\mathrm{h} \, \frac{d}{\sqrt{L^2 - d^2}}",
    working="{horizontal} · {water_depth} / √({line_length}² − {water_depth}²)",
    validity="The line taken as straight from bottom to surface, longer than the water is deep. "
    "Above what the buoy can lift, it is drawn under.",
    sources=("wetside-derivation-chord", "kite-example"),
)
def marker_pull(horizontal: Newton, line_length: Metre, water_depth: Metre) -> Newton:
    """Vertical pull that keeps the end of a slanting line at the surface.

    Args:
        horizontal: On the straight between the ends: buoy and half the line; N, 0 to 1e12.
        line_length: Above the depth; m.
        water_depth: m, above zero.

    Returns:
        Force in N.

    Raises:
        InputError: If an argument is out of its range, or the line does not reach the surface.

    Source:
        The line points along its pull.

    >>> round(marker_pull(horizontal=3, line_length=5, water_depth=4), 9)
    4.0
    """
    require_between(0, STRONGEST, horizontal=horizontal)
    require_positive(water_depth=water_depth)
    if not line_length > water_depth:
        raise InputError(
            "line_length",
            f"line_length must be above the depth of {water_depth!r} m, given {line_length!r}",
        )
    reach = sqrt((line_length - water_depth) * (line_length + water_depth))
    return horizontal * water_depth / reach


@formula(
    title="Pull that holds the anchor down",
    symbol="F_a",
    symbols={
        "horizontal": "F_h",
        "vertical": "F_v",
        "friction": "μ",
        "safety_factor": "n",
    },
    tex=r"F_\mathrm{a} = n \left( F_\mathrm{v} + \frac{F_\mathrm{h}}{\mu} \right)",
    working="{safety_factor} · ({vertical} + {horizontal} / {friction})",
    validity="A weight on a level bottom that holds by friction alone: no flukes, not sunk in.",
    sources=("wetside-derivation-anchor", "friction-exercise"),
)
def anchor_pull(
    horizontal: Newton, vertical: Newton, friction: Ratio, safety_factor: Ratio
) -> Newton:
    """Weight in water, as a force, that neither slides nor lifts off.

    Args:
        horizontal: N, 0 to 1e12.
        vertical: Upwards; N, 0 to 1e12.
        friction: Coefficient of friction on the bottom, 0.01 to 5.
        safety_factor: 1 to 100.

    Returns:
        Force in N.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Friction: it holds μ times what presses on the bottom, which is weight less lift.

    >>> anchor_pull(horizontal=5, vertical=20, friction=0.5, safety_factor=2)
    60.0
    """
    require_between(0, STRONGEST, horizontal=horizontal, vertical=vertical)
    require_between(0.01, 5, friction=friction)
    require_between(1, 100, safety_factor=safety_factor)
    return safety_factor * (vertical + horizontal / friction)


@formula(
    title="Tension that is allowed",
    symbol="T_a",
    symbols={"strength": "F_u", "knot_factor": "η", "safety_factor": "n"},
    tex=r"T_\mathrm{a} = \frac{\eta F_\mathrm{u}}{n}",
    working="{knot_factor} · {strength} / {safety_factor}",
    validity="New line, wet and knotted. Age, sun and chafe take more.",
    sources=("safe-working-load-page", "knots-quoted"),
)
def allowed_tension(strength: Newton, knot_factor: Ratio, safety_factor: Ratio) -> Newton:
    """Tension that a knotted line may carry.

    Args:
        strength: Breaking strength of the new line; N, 0 to 1e12.
        knot_factor: Part of it that is left at the knot, 0.05 to 1.
        safety_factor: 1 to 100.

    Returns:
        Tension in N.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of a working load.

    >>> allowed_tension(strength=10000, knot_factor=0.5, safety_factor=5)
    1000.0
    """
    require_between(0, STRONGEST, strength=strength)
    require_between(0.05, 1, knot_factor=knot_factor)
    require_between(1, 100, safety_factor=safety_factor)
    return knot_factor * strength / safety_factor
