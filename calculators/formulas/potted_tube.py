"""A radially poled ceramic tube with something inside it and something around it.

Where the tube is not long, or its core is soft, the ends decide: `finite_potted_tube_sensitivity`
is the one for real tubes, `potted_tube_sensitivity` its limit far from the ends.
"""

from math import inf, log10, sqrt, tanh
from typing import NamedTuple

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.quantities import (
    CoulombPerNewton,
    Decibel,
    KilogramPerCubicMetre,
    Metre,
    MetrePerSecond,
    Pascal,
    Ratio,
    VoltMetrePerNewton,
    VoltPerPascal,
)

STIFFEST: Pascal = 1e12
"""No solid is stiffer than about 0.5 TPa in bulk (diamond, from memory): a slip of units is."""

STRONGEST: VoltMetrePerNewton = 10.0
"""Ceramics lie near 0.03, polymers near 0.3 V·m/N: above this it is a slip of units."""


class _Solid(NamedTuple):
    """An isotropic elastic material by Lamé's two constants, both zero for air."""

    first: float
    shear: float


AIR = _Solid(0.0, 0.0)


class _Load(NamedTuple):
    """What acts on a coated tube: pressure on its side and, over an area / π, on its ends; and by
    how much core and coat are strained along the tube beyond the ceramic."""

    pressure: float
    area: float
    core_slip: float
    coat_slip: float


class _Tube(NamedTuple):
    """Radii of a coated tube and what it is made of; the ceramic by modulus and Poisson's ratio."""

    inner: float
    outer: float
    coat_radius: float
    modulus: float
    poisson: float
    core: _Solid
    coat: _Solid


Stresses = tuple[float, float, float]
"""Of the wall: mean and difference as in `_strains`, and the stress along the tube."""

Balance = tuple[float, float, float, float, float]
"""Three sums that must vanish, and the stresses along core and coat."""

Columns = tuple[Balance, Balance, Balance]
"""The balance for unit stresses of the wall."""


class _Answer(NamedTuple):
    """Stresses of the wall, and along the tube those of core and coat."""

    wall: Stresses
    core: float
    coat: float


@formula(
    title="Sensitivity of a long potted tube",
    symbol="M",
    symbols={
        "outer_radius": "b",
        "inner_radius": "a",
        "coat_radius": "c",
        "voltage_constant_33": "g₃₃",
        "voltage_constant_31": "g₃₁",
        "ceramic_modulus": "E",
        "ceramic_poisson": "ν",
        "core_bulk_modulus": "K_i",
        "core_shear_modulus": "G_i",
        "coat_bulk_modulus": "K_o",
        "coat_shear_modulus": "G_o",
        "ends": "ends",
    },
    tex=(
        r"\begin{aligned}"
        r"M &= -\frac{b - a}{p}\left[g_{33}(m - d) + g_{31}(m + d + T_z)\right] \\"
        r"m - d\,\frac{b}{a} &= T_\mathrm{i}, \qquad m - d\,\frac{a}{b} = T_\mathrm{o} \\"
        r"a^2 T_{z\mathrm{i}} + (b^2 - a^2) T_z + (c^2 - b^2) T_{z\mathrm{o}} &= -p A / \pi"
        r"\end{aligned}"
    ),
    working=(
        "M({outer_radius}, {inner_radius}, {coat_radius}; {voltage_constant_33},"
        " {voltage_constant_31}; {ceramic_modulus}, {ceramic_poisson}; {core_bulk_modulus},"
        " {core_shear_modulus}; {coat_bulk_modulus}, {coat_shear_modulus}; {ends})"
    ),
    validity=(
        "Far below every resonance, far from the ends, layers that stick to each other; an air core"
        " at any length, a stiff resin from about ten diameters up, a rubber never."
    ),
    sources=("wetside-derivation-potted-tube",),
)
def potted_tube_sensitivity(
    outer_radius: Metre,
    inner_radius: Metre,
    coat_radius: Metre,
    voltage_constant_33: VoltMetrePerNewton,
    voltage_constant_31: VoltMetrePerNewton,
    ceramic_modulus: Pascal,
    ceramic_poisson: Ratio,
    core_bulk_modulus: Pascal,
    core_shear_modulus: Pascal,
    coat_bulk_modulus: Pascal,
    coat_shear_modulus: Pascal,
    ends: str,
) -> VoltPerPascal:
    """Open-circuit voltage of a radially poled tube, filled and coated, for one pascal around it.

    Args:
        outer_radius: Of the ceramic; m, above zero.
        inner_radius: Of the ceramic; m, above zero and below ``outer_radius``.
        coat_radius: Of the coat's outside; m, ``outer_radius`` (no coat) or more.
        voltage_constant_33: g33 of the ceramic; V·m/N.
        voltage_constant_31: g31 of the ceramic, below zero for common ones; V·m/N.
        ceramic_modulus: Young's modulus, circuit open, see `open_circuit_modulus`; Pa, above zero.
        ceramic_poisson: 0 to 0.5; 0.45 serves for a poled ceramic, see the derivation.
        core_bulk_modulus: Of what fills the tube; Pa, zero or more. Air: zero.
        core_shear_modulus: Pa, zero or more. Air and liquids: zero.
        coat_bulk_modulus: Of what lies around the tube; Pa, above zero if there is a coat.
        coat_shear_modulus: Pa, zero or more.
        ends: "exposed" (pressure on the ends of all that is solid), "capped" (on the whole end,
            an air core included) or "shielded" (no axial force).

    Returns:
        V/Pa, positive where compression across the wall outweighs, negative where hoop and
        axial stress do.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Lamé's solution in each layer with one common axial strain; derivation in the handbook.

    >>> ceramic = dict(voltage_constant_33=25e-3, voltage_constant_31=-11e-3,
    ...                ceramic_modulus=80e9, ceramic_poisson=0.3)
    >>> bare = dict(outer_radius=10e-3, inner_radius=9e-3, coat_radius=10e-3,
    ...             coat_bulk_modulus=0, coat_shear_modulus=0)
    >>> air = dict(core_bulk_modulus=0, core_shear_modulus=0)
    >>> M = potted_tube_sensitivity(**bare, **ceramic, **air, ends="shielded")
    >>> round(M * 1e6, 3)
    -96.842
    """
    tube = _checked(
        outer_radius=outer_radius,
        inner_radius=inner_radius,
        coat_radius=coat_radius,
        ceramic_modulus=ceramic_modulus,
        ceramic_poisson=ceramic_poisson,
        core_bulk_modulus=core_bulk_modulus,
        core_shear_modulus=core_shear_modulus,
        coat_bulk_modulus=coat_bulk_modulus,
        coat_shear_modulus=coat_shear_modulus,
    )
    g33, g31 = _checked_constants(voltage_constant_33, voltage_constant_31)
    far = _answer(tube, _columns(tube), _Load(1.0, _loaded_area(tube, ends), 0.0, 0.0))
    return _voltage(tube, g33, g31, far)


@formula(
    title="Sensitivity of a potted tube",
    symbol="M",
    symbols={
        "length": "L",
        "outer_radius": "b",
        "inner_radius": "a",
        "coat_radius": "c",
        "voltage_constant_33": "g₃₃",
        "voltage_constant_31": "g₃₁",
        "ceramic_modulus": "E",
        "ceramic_poisson": "ν",
        "core_bulk_modulus": "K_i",
        "core_shear_modulus": "G_i",
        "coat_bulk_modulus": "K_o",
        "coat_shear_modulus": "G_o",
        "ends": "ends",
    },
    tex=(
        r"M = M_\infty + (M_0 - M_\infty)\,\frac{\tanh x}{x}, \qquad"
        r"x = \frac{L}{2a}\sqrt{\frac{8 G_\mathrm{i}}{k}}"
    ),
    working=(
        "M({length}; {outer_radius}, {inner_radius}, {coat_radius}; {voltage_constant_33},"
        " {voltage_constant_31}; {ceramic_modulus}, {ceramic_poisson}; {core_bulk_modulus},"
        " {core_shear_modulus}; {coat_bulk_modulus}, {coat_shear_modulus}; {ends})"
    ),
    validity=(
        "Far below every resonance, layers that stick to each other, from half a diameter long;"
        " within 3 % of the sensitivity with an air core (10 % if shielded)."
    ),
    sources=("wetside-derivation-potted-tube",),
)
def finite_potted_tube_sensitivity(
    length: Metre,
    outer_radius: Metre,
    inner_radius: Metre,
    coat_radius: Metre,
    voltage_constant_33: VoltMetrePerNewton,
    voltage_constant_31: VoltMetrePerNewton,
    ceramic_modulus: Pascal,
    ceramic_poisson: Ratio,
    core_bulk_modulus: Pascal,
    core_shear_modulus: Pascal,
    coat_bulk_modulus: Pascal,
    coat_shear_modulus: Pascal,
    ends: str,
) -> VoltPerPascal:
    """The same for a tube with a length: through an open end the pressure reaches into the core.

    Args:
        length: Of the ceramic; m, above zero.
        outer_radius: Of the ceramic; m, above zero.
        inner_radius: Of the ceramic; m, above zero and below ``outer_radius``.
        coat_radius: Of the coat's outside; m, ``outer_radius`` (no coat) or more.
        voltage_constant_33: g33 of the ceramic; V·m/N.
        voltage_constant_31: g31 of the ceramic, below zero for common ones; V·m/N.
        ceramic_modulus: Young's modulus, circuit open, see `open_circuit_modulus`; Pa, above zero.
        ceramic_poisson: 0 to 0.5; 0.45 serves for a poled ceramic, see the derivation.
        core_bulk_modulus: Of what fills the tube; Pa, zero or more. Air: zero.
        core_shear_modulus: Pa, zero or more. Air and liquids: zero.
        coat_bulk_modulus: Of what lies around the tube; Pa, above zero if there is a coat.
        coat_shear_modulus: Pa, zero or more.
        ends: "exposed" (pressure on the ends, the core's too), "capped" (pressure on stiff caps
            that hold tube and core together) or "shielded" (no force on any end).

    Returns:
        V/Pa, with the sign of ``potted_tube_sensitivity``.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Shear lag of the core in the tube; derivation in the handbook.

    >>> ceramic = dict(voltage_constant_33=25e-3, voltage_constant_31=-11e-3,
    ...                ceramic_modulus=80e9, ceramic_poisson=0.3)
    >>> bare = dict(outer_radius=10e-3, inner_radius=9e-3, coat_radius=10e-3,
    ...             coat_bulk_modulus=0, coat_shear_modulus=0)
    >>> resin = dict(core_bulk_modulus=6e9, core_shear_modulus=1.5e9)
    >>> M = finite_potted_tube_sensitivity(0.04, **bare, **ceramic, **resin, ends="exposed")
    >>> round(M * 1e6, 2)
    -46.4
    """
    require_positive(length=length)
    tube = _checked(
        outer_radius=outer_radius,
        inner_radius=inner_radius,
        coat_radius=coat_radius,
        ceramic_modulus=ceramic_modulus,
        ceramic_poisson=ceramic_poisson,
        core_bulk_modulus=core_bulk_modulus,
        core_shear_modulus=core_shear_modulus,
        coat_bulk_modulus=coat_bulk_modulus,
        coat_shear_modulus=coat_shear_modulus,
    )
    g33, g31 = _checked_constants(voltage_constant_33, voltage_constant_31)
    columns = _columns(tube)
    far = _answer(tube, columns, _Load(1.0, _loaded_area(tube, ends), 0.0, 0.0))
    sensitivity = _voltage(tube, g33, g31, far)
    if ends == "capped":  # nothing can slip
        return sensitivity
    core = _answer(tube, columns, _Load(0.0, 0.0, 1.0, 0.0))
    coat = _answer(tube, columns, _Load(0.0, 0.0, 0.0, 1.0))
    core_slip, coat_slip = _end_slips(far, core, coat, -1.0 if ends == "exposed" else 0.0)
    core_slip *= _mean_slip(length, _core_hold(tube), core.core)
    coat_slip *= _mean_slip(length, _coat_hold(tube), coat.coat)
    sensitivity += core_slip * _voltage(tube, g33, g31, core)
    return sensitivity + coat_slip * _voltage(tube, g33, g31, coat)


@formula(
    title="Sensitivity of a flooded tube",
    symbol="M",
    symbols={
        "outer_radius": "b",
        "inner_radius": "a",
        "voltage_constant_33": "g₃₃",
        "voltage_constant_31": "g₃₁",
    },
    tex=r"M = (g_{33} + 2 g_{31}) (b - a)",
    working=(
        "({voltage_constant_33} + 2 · {voltage_constant_31}) · ({outer_radius} − {inner_radius})"
    ),
    validity="The same pressure inside, outside and on the ends: far below the water's resonances.",
    sources=("wetside-derivation-potted-tube",),
)
def flooded_tube_sensitivity(
    outer_radius: Metre,
    inner_radius: Metre,
    voltage_constant_33: VoltMetrePerNewton,
    voltage_constant_31: VoltMetrePerNewton,
) -> VoltPerPascal:
    """Open-circuit voltage of a radially poled tube with the water on all its faces.

    Args:
        outer_radius: m, above zero.
        inner_radius: m, above zero and below ``outer_radius``.
        voltage_constant_33: g33 of the ceramic; V·m/N.
        voltage_constant_31: g31 of the ceramic; V·m/N.

    Returns:
        V/Pa, with the sign of ``potted_tube_sensitivity``.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        All three stresses are −p everywhere; the field across the wall is then even.

    >>> M = flooded_tube_sensitivity(10e-3, 9e-3, 25e-3, -11e-3)
    >>> round(M * 1e6, 3)
    3.0
    """
    require_positive(outer_radius=outer_radius, inner_radius=inner_radius)
    _require_nested(outer_radius, inner_radius, outer_radius)
    g33, g31 = _checked_constants(voltage_constant_33, voltage_constant_31)
    return (g33 + 2 * g31) * (outer_radius - inner_radius)


@formula(
    title="Loss against an air core",
    symbol="ΔL",
    symbols={"sensitivity": "M", "air_core_sensitivity": "M_a"},
    tex=r"\Delta L = 20 \log_{10} \left|\frac{M_\mathrm{a}}{M}\right|",
    working="20 · log₁₀|{air_core_sensitivity} / {sensitivity}|",
    validity="Any two sensitivities that are not zero; the sign of neither counts.",
    sources=("iec-60565-1",),
)
def core_loss(sensitivity: VoltPerPascal, air_core_sensitivity: VoltPerPascal) -> Decibel:
    """How much less a tube gives than the same tube with air inside.

    Args:
        sensitivity: Of the tube as it is; V/Pa, not zero.
        air_core_sensitivity: Of the tube with air inside; V/Pa, not zero.

    Returns:
        Loss in dB, below zero for a gain.

    Raises:
        InputError: If an argument is zero or not finite.

    Source:
        Difference of two sensitivity levels.

    >>> round(core_loss(sensitivity=-50e-6, air_core_sensitivity=-100e-6), 4)
    6.0206
    """
    for name, value in (
        ("sensitivity", sensitivity),
        ("air_core_sensitivity", air_core_sensitivity),
    ):
        if not 0 < abs(value) < inf:
            raise InputError(name, f"{name} must be finite and not zero, given {value!r}")
    return 20 * (log10(abs(air_core_sensitivity)) - log10(abs(sensitivity)))


@formula(
    title="Young's modulus of the ceramic, circuit open",
    symbol="E",
    symbols={
        "young_modulus": "Y",
        "voltage_constant_31": "g₃₁",
        "charge_constant_31": "d₃₁",
    },
    tex=r"E = \frac{Y}{1 - g_{31} d_{31} Y}",
    working="{young_modulus} / (1 − {voltage_constant_31} · {charge_constant_31} · {young_modulus})",
    validity="Across the poling; Y = 1/s₁₁E with electrodes shorted, as charts print it.",
    sources=("erturk-inman-2011",),
)
def open_circuit_modulus(
    young_modulus: Pascal,
    voltage_constant_31: VoltMetrePerNewton,
    charge_constant_31: CoulombPerNewton,
) -> Pascal:
    """Stiffness of a poled ceramic whose charge cannot flow: what a sensing element has.

    Args:
        young_modulus: Across the poling, electrodes shorted; Pa, above zero.
        voltage_constant_31: g31; V·m/N, of the same sign as d31.
        charge_constant_31: d31; C/N.

    Returns:
        Young's modulus in Pa, a tenth or so above the one with shorted electrodes.

    Raises:
        InputError: If the three do not belong to one ceramic: g31 · d31 · Y is the square of its
            coupling, from 0 up to 1.

    Source:
        s11D = s11E − d31²/ε33 with g31 = d31/ε33.

    >>> round(open_circuit_modulus(80e9, -11e-3, -125e-12) / 1e9, 2)
    89.89
    """
    require_positive(young_modulus=young_modulus)
    require_between(-STRONGEST, STRONGEST, voltage_constant_31=voltage_constant_31)
    coupling = voltage_constant_31 * charge_constant_31 * young_modulus
    if not 0 <= coupling < 1:
        raise InputError(
            "charge_constant_31",
            "charge_constant_31 must have the sign of voltage_constant_31 and lie below"
            f" 1 / (young_modulus · voltage_constant_31), given {charge_constant_31!r}",
        )
    return young_modulus / (1 - coupling)


@formula(
    title="Bulk modulus from sound speed",
    symbol="K",
    symbols={"density": "ρ", "sound_speed": "c", "shear_modulus": "G"},
    tex=r"K = \rho c^2 - \tfrac{4}{3} G",
    working="{density} · {sound_speed}² − 4/3 · {shear_modulus}",
    validity="Longitudinal waves in a body wide against the wavelength; G at the same frequency.",
    sources=("landau-lifshitz-elasticity",),
)
def bulk_modulus(
    density: KilogramPerCubicMetre, sound_speed: MetrePerSecond, shear_modulus: Pascal
) -> Pascal:
    """Bulk modulus of a solid or liquid from its longitudinal sound speed.

    Args:
        density: kg/m³, above zero.
        sound_speed: Longitudinal, in the bulk; m/s, above zero.
        shear_modulus: Pa, zero (a liquid) or more.

    Returns:
        Bulk modulus in Pa, above zero.

    Raises:
        InputError: If an argument is out of its range, or the shear modulus is too large for the
            sound speed: nothing with a positive bulk modulus is so.

    Source:
        Speed of longitudinal waves in an isotropic solid.

    >>> bulk_modulus(density=1100, sound_speed=1500, shear_modulus=0)
    2475000000.0
    """
    require_positive(density=density, sound_speed=sound_speed)
    require_between(0, STIFFEST, shear_modulus=shear_modulus)
    longitudinal = density * sound_speed**2
    modulus = longitudinal - 4 / 3 * shear_modulus
    if not 0 < modulus < inf:
        raise InputError(
            "shear_modulus",
            f"shear_modulus must be below {0.75 * longitudinal:.4g} at this density and sound"
            f" speed, given {shear_modulus!r}",
        )
    return modulus


def _checked(
    *,
    outer_radius: float,
    inner_radius: float,
    coat_radius: float,
    ceramic_modulus: float,
    ceramic_poisson: float,
    core_bulk_modulus: float,
    core_shear_modulus: float,
    coat_bulk_modulus: float,
    coat_shear_modulus: float,
) -> _Tube:
    """The tube, or a refusal that names the argument."""
    require_positive(
        outer_radius=outer_radius,
        inner_radius=inner_radius,
        coat_radius=coat_radius,
        ceramic_modulus=ceramic_modulus,
    )
    _require_nested(outer_radius, inner_radius, coat_radius)
    require_between(0, 0.5, ceramic_poisson=ceramic_poisson)
    require_between(
        0,
        STIFFEST,
        ceramic_modulus=ceramic_modulus,
        core_bulk_modulus=core_bulk_modulus,
        core_shear_modulus=core_shear_modulus,
        coat_bulk_modulus=coat_bulk_modulus,
        coat_shear_modulus=coat_shear_modulus,
    )
    if coat_radius > outer_radius:  # nothing else would carry the pressure to the tube
        require_positive(coat_bulk_modulus=coat_bulk_modulus)
    return _Tube(
        inner_radius,
        outer_radius,
        coat_radius,
        ceramic_modulus,
        ceramic_poisson,
        _Solid(core_bulk_modulus - 2 / 3 * core_shear_modulus, core_shear_modulus),
        _Solid(coat_bulk_modulus - 2 / 3 * coat_shear_modulus, coat_shear_modulus),
    )


def _checked_constants(
    voltage_constant_33: float, voltage_constant_31: float
) -> tuple[float, float]:
    require_between(
        -STRONGEST,
        STRONGEST,
        voltage_constant_33=voltage_constant_33,
        voltage_constant_31=voltage_constant_31,
    )
    return voltage_constant_33, voltage_constant_31


def _require_nested(outer: float, inner: float, coat: float) -> None:
    if inner >= outer:
        raise InputError(
            "inner_radius", f"inner_radius must be below outer_radius, {outer!r}, given {inner!r}"
        )
    if coat < outer:
        raise InputError(
            "coat_radius", f"coat_radius must be {outer!r} (no coat) or more, given {coat!r}"
        )


def _loaded_area(tube: _Tube, ends: str) -> float:
    """Area over π on which the pressure pushes along the tube."""
    if ends == "shielded":
        return 0.0
    if ends == "exposed" and tube.core == AIR:
        return tube.coat_radius**2 - tube.inner**2
    if ends in ("exposed", "capped"):
        return tube.coat_radius**2
    raise InputError("ends", f"ends must be exposed, capped or shielded, given {ends!r}")


def _voltage(tube: _Tube, g33: float, g31: float, answer: _Answer) -> float:
    """Field times thickness, the field being −g·T on average over the wall."""
    mean, difference, axial = answer.wall
    field = g33 * (mean - difference) + g31 * (mean + difference + axial)
    return (tube.inner - tube.outer) * field


def _end_slips(far: _Answer, core: _Answer, coat: _Answer, stress: float) -> tuple[float, float]:
    """Slips that bring core and coat to the stress of a bare end.

    A layer that is not there feels nothing: any slip will do, 1 in the place of its stiffness too.
    """
    core_stiffness, coat_stiffness = core.core or 1.0, coat.coat or 1.0
    x, y = stress - far.core, stress - far.coat
    whole = core_stiffness * coat_stiffness - core.coat * coat.core
    return (x * coat_stiffness - y * coat.core) / whole, (
        y * core_stiffness - x * core.coat
    ) / whole


def _mean_slip(length: float, hold: float, stiffness: float) -> float:
    """Mean over the length of a slip that is 1 at both ends: w'' = w · hold / stiffness."""
    if hold == 0:  # nothing holds a liquid back
        return 1.0
    x = length / 2 * sqrt(hold / stiffness)
    return tanh(x) / x


def _core_hold(tube: _Tube) -> float:
    """Force per area and mean displacement with which the wall holds a core, a parabola over r."""
    return 8 * tube.core.shear / tube.inner**2


def _coat_hold(tube: _Tube) -> float:
    """The same for a coat, as a flat layer that is free outside."""
    if tube.coat_radius == tube.outer:
        return 0.0
    thickness = tube.coat_radius - tube.outer
    per_area = 2 * tube.outer / (tube.coat_radius + tube.outer)
    return 3 * tube.coat.shear * per_area / thickness**2


def _columns(tube: _Tube) -> Columns:
    """All that must balance is linear, so its values at unit stresses are its coefficients."""
    nothing = _Load(0.0, 0.0, 0.0, 0.0)
    return (
        _balance(tube, (1.0, 0.0, 0.0), nothing),
        _balance(tube, (0.0, 1.0, 0.0), nothing),
        _balance(tube, (0.0, 0.0, 1.0), nothing),
    )


def _answer(tube: _Tube, columns: Columns, load: _Load) -> _Answer:
    """Stresses that balance a load."""
    bare = _balance(tube, (0.0, 0.0, 0.0), load)
    wall = mean, difference, axial = _solve(columns, bare)
    a, b, c = columns
    core = bare[3] + mean * a[3] + difference * b[3] + axial * c[3]
    coat = bare[4] + mean * a[4] + difference * b[4] + axial * c[4]
    return _Answer(wall, core, coat)


def _balance(tube: _Tube, wall: Stresses, load: _Load) -> Balance:
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


def _strains(tube: _Tube, wall: Stresses) -> Stresses:
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


def _core_stresses(core: _Solid, hoop: float, strain: float) -> tuple[float, float]:
    """Radial and axial stress of a full cylinder from its two strains; both are even in it."""
    even = core.first * (2 * hoop + strain)
    return even + 2 * core.shear * hoop, even + 2 * core.shear * strain


def _coat_stresses(tube: _Tube, hoop: float, strain: float, pressure: float) -> tuple[float, float]:
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
