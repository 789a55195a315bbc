"""A radially poled ceramic tube with something inside it and something around it.

Where the tube is not long, or its core is soft, the ends decide: `finite_potted_tube_sensitivity`
is the one for real tubes, `potted_tube_sensitivity` its limit far from the ends.
"""

from math import inf, log10

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.formulas.element import VACUUM_PERMITTIVITY
from calculators.formulas.layered_tube import (
    AIR,
    Answer,
    Load,
    Solid,
    Tube,
    coat_hold,
    core_hold,
    end_slips,
    mean_slip,
    response,
    unit_balances,
)
from calculators.quantities import (
    Decibel,
    KilogramPerCubicMetre,
    Metre,
    MetrePerSecond,
    Pascal,
    Ratio,
    VoltMetrePerNewton,
    VoltPerPascal,
)

OPEN_CIRCUIT_POISSON: Ratio = 0.45
"""Serves for a poled ceramic with its circuit open: with it an isotropic tube loses as much in a
core as one with the full matrix of a ceramic of Navy type I, II or VI, within 0.5 dB."""

STIFFEST: Pascal = 1e12
"""No solid is stiffer than about 0.5 TPa in bulk (diamond, from memory): a slip of units is."""

SOFTEST: Pascal = 1.0
"""The softest gel has some pascals; what is given as less is meant as none, 0."""

SOFTEST_CERAMIC: Pascal = 1e8
"""Far below any piezoelectric polymer, so that only a slip of units is refused."""

THINNEST_BORE, THINNEST_WALL, THICKEST_COAT = 0.001, 0.9995, 1000
"""Ratios of radii between which nothing loses digits."""

STRONGEST: VoltMetrePerNewton = 10.0
"""Ceramics lie near 0.03, polymers near 0.3 V·m/N: above this it is a slip of units."""


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
        r"\begin{array}{l}"
        r"M = -\dfrac{b - a}{p}\left[g_{33}(m - d) + g_{31}(m + d + T_z)\right] \\[1ex]"
        r"m - d\,\dfrac{b}{a} = T_\mathrm{i}, \qquad m - d\,\dfrac{a}{b} = T_\mathrm{o} \\[1ex]"
        r"a^2 T_{z\mathrm{i}} + (b^2 - a^2) T_z + (c^2 - b^2) T_{z\mathrm{o}} = -p A / \pi"
        r"\end{array}"
    ),
    working=(
        "M({outer_radius}, {inner_radius}, {coat_radius}; {voltage_constant_33},"
        " {voltage_constant_31}; {ceramic_modulus}, {ceramic_poisson}; {core_bulk_modulus},"
        " {core_shear_modulus}; {coat_bulk_modulus}, {coat_shear_modulus}; {ends})"
    ),
    validity=(
        "Far below every resonance, far from the ends, layers that stick to each other; an air core"
        " at any length, with bare ends a stiff resin from about ten diameters up, a rubber never."
    ),
    sources=("wetside-derivation-potted-tube", "langevin1954"),
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
        inner_radius: Of the ceramic; m, from 0.001 to 0.9995 of ``outer_radius``.
        coat_radius: Of the coat's outside; m, from ``outer_radius`` (no coat) to 1000 times that.
        voltage_constant_33: g33 of the ceramic; V·m/N.
        voltage_constant_31: g31 of the ceramic, below zero for common ones; V·m/N.
        ceramic_modulus: Young's modulus, circuit open, see `open_circuit_modulus`; Pa, 1e8 to 1e12.
        ceramic_poisson: 0 to 0.5; for a poled ceramic `OPEN_CIRCUIT_POISSON`.
        core_bulk_modulus: Of what fills the tube; Pa, 0 (air) or from 1 to 1e12.
        core_shear_modulus: Pa, 0 (air and liquids) or from 1 to 1e12.
        coat_bulk_modulus: Of what lies around the tube; Pa, from 1 to 1e12, or 0 without a coat.
        coat_shear_modulus: Pa, 0 or from 1 to 1e12.
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
    far = response(tube, unit_balances(tube), Load(1.0, _loaded_area(tube, ends), 0.0, 0.0))
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
        r"M = M_\infty + (M_0 - M_\infty)\,\frac{\tanh x}{x}, \qquad "
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
    sources=("wetside-derivation-potted-tube", "langevin1954"),
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
        inner_radius: Of the ceramic; m, from 0.001 to 0.9995 of ``outer_radius``.
        coat_radius: Of the coat's outside; m, from ``outer_radius`` (no coat) to 1000 times that.
        voltage_constant_33: g33 of the ceramic; V·m/N.
        voltage_constant_31: g31 of the ceramic, below zero for common ones; V·m/N.
        ceramic_modulus: Young's modulus, circuit open, see `open_circuit_modulus`; Pa, 1e8 to 1e12.
        ceramic_poisson: 0 to 0.5; for a poled ceramic `OPEN_CIRCUIT_POISSON`.
        core_bulk_modulus: Of what fills the tube; Pa, 0 (air) or from 1 to 1e12.
        core_shear_modulus: Pa, 0 (air and liquids) or from 1 to 1e12.
        coat_bulk_modulus: Of what lies around the tube; Pa, from 1 to 1e12, or 0 without a coat.
        coat_shear_modulus: Pa, 0 or from 1 to 1e12.
        ends: "exposed" (pressure on the ends, the core's too), "capped" (pressure on caps so stiff
            that tube and core move together: over a soft core that is steel, not plastic) or
            "shielded" (no force on any end).

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
    columns = unit_balances(tube)
    far = response(tube, columns, Load(1.0, _loaded_area(tube, ends), 0.0, 0.0))
    sensitivity = _voltage(tube, g33, g31, far)
    if ends == "capped":  # nothing can slip
        return sensitivity
    core = response(tube, columns, Load(0.0, 0.0, 1.0, 0.0))
    coat = response(tube, columns, Load(0.0, 0.0, 0.0, 1.0))
    core_slip, coat_slip = end_slips(far, core, coat, -1.0 if ends == "exposed" else 0.0)
    core_slip *= mean_slip(length, core_hold(tube), core.core)
    coat_slip *= mean_slip(length, coat_hold(tube), coat.coat)
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
    sources=("wetside-derivation-potted-tube", "kim-1996"),
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
        inner_radius: m, from 0.001 to 0.9995 of ``outer_radius``.
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
    symbols={"young_modulus": "Y", "voltage_constant_31": "g₃₁", "permittivity": "ε_r"},
    tex=r"E = \frac{Y}{1 - g_{31}^2 \varepsilon_0 \varepsilon_\mathrm{r} Y}",
    working=(
        "{young_modulus} / (1 − {voltage_constant_31}² · ε₀ · {permittivity} · {young_modulus})"
    ),
    validity="Across the poling; Y = 1/s₁₁E with electrodes shorted, as charts print it.",
    sources=("erturk-inman-2011", "wetside-derivation-potted-tube"),
)
def open_circuit_modulus(
    young_modulus: Pascal, voltage_constant_31: VoltMetrePerNewton, permittivity: Ratio
) -> Pascal:
    """Stiffness of a poled ceramic whose charge cannot flow: what a sensing element has.

    Args:
        young_modulus: Across the poling, electrodes shorted; Pa, 1e8 to 1e12.
        voltage_constant_31: g31; V·m/N, -10 to 10.
        permittivity: Free relative permittivity along the poling, above zero.

    Returns:
        Young's modulus in Pa, a tenth or so above the one with shorted electrodes.

    Raises:
        InputError: If an argument is out of its range, or the three do not belong to one ceramic:
            g31² · ε · Y is the square of its coupling, below 1.

    Source:
        s11D = s11E − d31²/ε33 with d31 = g31 · ε33.

    >>> round(open_circuit_modulus(80e9, -11e-3, 1275) / 1e9, 2)
    89.81
    """
    require_between(SOFTEST_CERAMIC, STIFFEST, young_modulus=young_modulus)
    require_between(-STRONGEST, STRONGEST, voltage_constant_31=voltage_constant_31)
    require_positive(permittivity=permittivity)
    per_permittivity = voltage_constant_31**2 * VACUUM_PERMITTIVITY * young_modulus
    if permittivity * per_permittivity >= 1:
        raise InputError(
            "permittivity",
            f"permittivity must be below {1 / per_permittivity:.4g} with this modulus and"
            f" voltage_constant_31, given {permittivity!r}",
        )
    return young_modulus / (1 - permittivity * per_permittivity)


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
) -> Tube:
    """The tube, or a refusal that names the argument."""
    require_positive(outer_radius=outer_radius, inner_radius=inner_radius, coat_radius=coat_radius)
    require_between(SOFTEST_CERAMIC, STIFFEST, ceramic_modulus=ceramic_modulus)
    _require_nested(outer_radius, inner_radius, coat_radius)
    require_between(0, 0.5, ceramic_poisson=ceramic_poisson)
    core = _layer("core", core_bulk_modulus, core_shear_modulus)
    coat = _layer("coat", coat_bulk_modulus, coat_shear_modulus)
    if coat_radius > outer_radius:  # nothing else would carry the pressure to the tube
        require_positive(coat_bulk_modulus=coat_bulk_modulus)
    return Tube(
        inner_radius, outer_radius, coat_radius, ceramic_modulus, ceramic_poisson, core, coat
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
    if not THINNEST_BORE <= inner / outer <= THINNEST_WALL:
        raise InputError(
            "inner_radius",
            f"inner_radius must be from {THINNEST_BORE} to {THINNEST_WALL} of outer_radius,"
            f" {outer!r}, given {inner!r}",
        )
    if not 1 <= coat / outer <= THICKEST_COAT:
        raise InputError(
            "coat_radius",
            f"coat_radius must be from 1 (no coat) to {THICKEST_COAT} times outer_radius,"
            f" {outer!r}, given {coat!r}",
        )


def _layer(name: str, bulk: float, shear: float) -> Solid:
    """A material, or a refusal that names one of its moduli."""
    for kind, value in (("bulk", bulk), ("shear", shear)):
        if not (value == 0 or SOFTEST <= value <= STIFFEST):
            raise InputError(
                f"{name}_{kind}_modulus",
                f"{name}_{kind}_modulus must be 0 or from {SOFTEST:g} to {STIFFEST:g},"
                f" given {value!r}",
            )
    if bulk < shear / 1000:
        raise InputError(
            f"{name}_bulk_modulus",
            f"{name}_bulk_modulus must be a thousandth of {name}_shear_modulus or more,"
            f" {shear / 1000:g}, given {bulk!r}",
        )
    return Solid(bulk - 2 / 3 * shear, shear)


def _loaded_area(tube: Tube, ends: str) -> float:
    """Area over π on which the pressure pushes along the tube."""
    if ends == "shielded":
        return 0.0
    if ends == "exposed" and tube.core == AIR:
        return tube.coat_radius**2 - tube.inner**2
    if ends in ("exposed", "capped"):
        return tube.coat_radius**2
    raise InputError("ends", f"ends must be exposed, capped or shielded, given {ends!r}")


def _voltage(tube: Tube, g33: float, g31: float, answer: Answer) -> float:
    """Field times thickness, the field being −g·T on average over the wall."""
    mean, difference, axial = answer.wall
    field = g33 * (mean - difference) + g31 * (mean + difference + axial)
    return (tube.inner - tube.outer) * field
