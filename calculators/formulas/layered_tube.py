"""Stresses in an elastic tube with an elastic core and coat, under pressure.

Lamé's solution in each layer, far from the ends; near them one shear lag each for core and coat.
The derivation stands in docs/reference/derivations/potted-tube.md.
"""

from math import sqrt, tanh
from typing import NamedTuple


class Solid(NamedTuple):
    """An isotropic elastic material by Lamé's two constants, both zero for air."""

    first: float
    shear: float


AIR = Solid(0.0, 0.0)


class Load(NamedTuple):
    """What acts on a coated tube: pressure on its side and, over an area / π, on its ends; and by
    how much core and coat are strained along the tube beyond the ceramic."""

    pressure: float
    area: float
    core_slip: float
    coat_slip: float


class Tube(NamedTuple):
    """Radii of a coated tube and what it is made of; the ceramic by modulus and Poisson's ratio."""

    inner: float
    outer: float
    coat_radius: float
    modulus: float
    poisson: float
    core: Solid
    coat: Solid


Stresses = tuple[float, float, float]
"""Of the wall: mean and difference as in `_strains`, and the stress along the tube."""

Balance = tuple[float, float, float, float, float]
"""Three sums that must vanish, and the stresses along core and coat."""

Columns = tuple[Balance, Balance, Balance]
"""The balance for unit stresses of the wall."""


class Answer(NamedTuple):
    """Stresses of the wall, and along the tube those of core and coat."""

    wall: Stresses
    core: float
    coat: float


def end_slips(far: Answer, core: Answer, coat: Answer, stress: float) -> tuple[float, float]:
    """Slips that bring core and coat to the stress of a bare end.

    A layer that is not there feels nothing: any slip will do, 1 in the place of its stiffness too.
    """
    core_stiffness, coat_stiffness = core.core or 1.0, coat.coat or 1.0
    x, y = stress - far.core, stress - far.coat
    whole = core_stiffness * coat_stiffness - core.coat * coat.core
    core_slip = (x * coat_stiffness - y * coat.core) / whole
    coat_slip = (y * core_stiffness - x * core.coat) / whole
    return core_slip, coat_slip


def mean_slip(length: float, hold: float, stiffness: float) -> float:
    """Mean over the length of a slip that is 1 at both ends: w'' = w · hold / stiffness."""
    x = length / 2 * sqrt(hold / stiffness) if hold else 0.0
    return tanh(x) / x if x else 1.0  # nothing holds a liquid back


def core_hold(tube: Tube) -> float:
    """Force per area and mean displacement with which the wall holds a core, a parabola over r."""
    return 8 * tube.core.shear / tube.inner**2


def coat_hold(tube: Tube) -> float:
    """The same for a coat, as a flat layer that is free outside."""
    if tube.coat_radius == tube.outer:
        return 0.0
    thickness = tube.coat_radius - tube.outer
    per_area = 2 * tube.outer / (tube.coat_radius + tube.outer)
    return 3 * tube.coat.shear * per_area / thickness**2


def unit_balances(tube: Tube) -> Columns:
    """All that must balance is linear, so its values at unit stresses are its coefficients."""
    nothing = Load(0.0, 0.0, 0.0, 0.0)
    return (
        _balance(tube, (1.0, 0.0, 0.0), nothing),
        _balance(tube, (0.0, 1.0, 0.0), nothing),
        _balance(tube, (0.0, 0.0, 1.0), nothing),
    )


def response(tube: Tube, columns: Columns, load: Load) -> Answer:
    """Stresses that balance a load."""
    bare = _balance(tube, (0.0, 0.0, 0.0), load)
    wall = mean, difference, axial = _solve(columns, bare)
    a, b, c = columns
    core = bare[3] + mean * a[3] + difference * b[3] + axial * c[3]
    coat = bare[4] + mean * a[4] + difference * b[4] + axial * c[4]
    return Answer(wall, core, coat)


def _balance(tube: Tube, wall: Stresses, load: Load) -> Balance:
    """What is left over of radial stress at both faces and of axial force; stress along core, coat.

    The area of the coat's ring is (c − b)(c + b), which is exact for a thin one too.
    """
    a, b, c = tube.inner, tube.outer, tube.coat_radius
    mean, difference, axial = wall
    hoop_inside, hoop_outside, strain = _strains(tube, wall)
    core_radial, core_axial = _core_stresses(tube.core, hoop_inside, strain + load.core_slip)
    coat_radial, coat_axial = _coat_stresses(
        tube, hoop_outside, strain + load.coat_slip, load.pressure
    )
    force = a * a * core_axial + (b - a) * (b + a) * axial + (c - b) * (c + b) * coat_axial
    return (
        mean - difference * b / a - core_radial,
        mean - difference * a / b - coat_radial,
        (force + load.pressure * load.area) / (b * b),
        core_axial,
        coat_axial,
    )


def _strains(tube: Tube, wall: Stresses) -> Stresses:
    """Hoop strain inside and outside, and axial strain, by Hooke's law.

    Lamé: the radial stress at radius r is mean − difference · ab/r², the hoop stress the same
    with plus, so that mean ∓ difference are their means over the wall's thickness.
    """
    mean, difference, axial = wall
    nu, ratio = tube.poisson, tube.outer / tube.inner
    even = (1 - nu) * mean - nu * axial
    return (
        (even + (1 + nu) * difference * ratio) / tube.modulus,
        (even + (1 + nu) * difference / ratio) / tube.modulus,
        (axial - 2 * nu * mean) / tube.modulus,
    )


def _core_stresses(core: Solid, hoop: float, strain: float) -> tuple[float, float]:
    """Radial and axial stress of a full cylinder from its two strains; both are even in it."""
    even = core.first * (2 * hoop + strain)
    return even + 2 * core.shear * hoop, even + 2 * core.shear * strain


def _coat_stresses(tube: Tube, hoop: float, strain: float, pressure: float) -> tuple[float, float]:
    """Radial stress at the tube and axial stress of a coat with pressure around it.

    Solved for the dilatation, so that a nearly incompressible coat costs no digits.
    """
    if tube.coat_radius == tube.outer:
        return -pressure, 0.0
    first, shear = tube.coat
    q = (tube.outer / tube.coat_radius) ** 2
    load = shear * ((1 + q) * strain + 2 * q * hoop) - pressure
    dilatation = load / (first + (1 + q) * shear)
    squeeze = hoop - (dilatation - strain) / 2
    return -pressure - 2 * shear * (1 - q) * squeeze, first * dilatation + 2 * shear * strain


def _solve(columns: Columns, load: Balance) -> Stresses:
    """Wall stresses for which the first three sums vanish, by Cramer's rule."""
    a, b, c = columns
    whole = -_volume(a, b, c)
    return (
        _volume(load, b, c) / whole,
        _volume(a, load, c) / whole,
        _volume(a, b, load) / whole,
    )


def _volume(a: Balance, b: Balance, c: Balance) -> float:
    """Determinant of the first three rows of three columns."""
    return (
        a[0] * (b[1] * c[2] - b[2] * c[1])
        - a[1] * (b[0] * c[2] - b[2] * c[0])
        + a[2] * (b[0] * c[1] - b[1] * c[0])
    )
