"""Bonds between a cable, the resin round it, and the wall it goes through."""

from math import log, pi, sqrt, tanh

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.quantities import (
    Celsius,
    Metre,
    Newton,
    Pascal,
    PerKelvin,
    PerMetre,
    Ratio,
    SquareMetre,
)


def _require_ring(outer_diameter: float, inner_diameter: float) -> None:
    if not outer_diameter > inner_diameter:
        raise InputError(
            "outer_diameter",
            f"outer_diameter must be above inner_diameter, given {outer_diameter!r} "
            f"and {inner_diameter!r}",
        )


@formula(
    title="Force of the water on a round face",
    symbol="F",
    symbols={"gauge_pressure": "p", "diameter": "d"},
    tex=r"F = p\,\frac{\pi d^2}{4}",
    working="{gauge_pressure} · π · {diameter}² / 4",
    validity="The face is wet, and behind it is the pressure at which the case was closed.",
    sources=("openstax-hatch",),
)
def push_in_force(gauge_pressure: Pascal, diameter: Metre) -> Newton:
    """Force with which the water pushes a cable, or a plug, into the case.

    Args:
        gauge_pressure: Pressure above that in the case, Pa, above zero.
        diameter: Of the face that the water reaches, m, above zero.

    Returns:
        Force, N.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Pressure times area.

    >>> round(push_in_force(gauge_pressure=100e3, diameter=6e-3), 3)
    2.827
    """
    require_positive(gauge_pressure=gauge_pressure, diameter=diameter)
    return gauge_pressure * pi * diameter**2 / 4


@formula(
    title="Area of a bond round a cable",
    symbol="A",
    symbols={"diameter": "d", "length": "l"},
    tex=r"A = \pi d\,l",
    working="π · {diameter} · {length}",
    validity="Bonded all round and all along.",
    sources=("punching-problem",),
)
def cylinder_area(diameter: Metre, length: Metre) -> SquareMetre:
    """Area of the side of a cylinder.

    Args:
        diameter: m, above zero.
        length: m, above zero.

    Returns:
        Area, m².

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Geometry.

    >>> round(cylinder_area(diameter=6e-3, length=12e-3) * 1e6, 2)
    226.19
    """
    require_positive(diameter=diameter, length=length)
    return pi * diameter * length


@formula(
    title="Area of a ring",
    symbol="A",
    symbols={"outer_diameter": "D", "inner_diameter": "d"},
    tex=r"A = \frac{\pi}{4}\,(D^2 - d^2)",
    working="π / 4 · ({outer_diameter}² − {inner_diameter}²)",
    validity="Bonded all over; a disc where d is zero.",
    sources=("pipe-problem",),
)
def ring_area(outer_diameter: Metre, inner_diameter: Metre) -> SquareMetre:
    """Area of a flat ring, such as the foot of a moat.

    Args:
        outer_diameter: m, above the inner one.
        inner_diameter: m, zero or more.

    Returns:
        Area, m².

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Geometry.

    >>> round(ring_area(outer_diameter=25e-3, inner_diameter=6.5e-3) * 1e6, 1)
    457.7
    """
    require_positive(outer_diameter=outer_diameter)
    require_between(0, outer_diameter, inner_diameter=inner_diameter)
    _require_ring(outer_diameter, inner_diameter)
    return pi / 4 * (outer_diameter - inner_diameter) * (outer_diameter + inner_diameter)


@formula(
    title="Average stress",
    symbol="τ",
    symbols={"force": "F", "area": "A"},
    tex=r"\bar\tau = \frac{F}{A}",
    working="{force} / {area}",
    validity="An average: the ends of a bond carry more.",
    sources=("pipe-problem", "punching-problem"),
)
def average_stress(force: Newton, area: SquareMetre) -> Pascal:
    """Force spread evenly over an area.

    Args:
        force: N, zero or more.
        area: m², above zero.

    Returns:
        Stress, Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition.

    >>> round(average_stress(force=22.8, area=226.19e-6))
    100800
    """
    require_between(0, 1e9, force=force)
    require_positive(area=area)
    return force / area


@formula(
    title="Shear modulus of an even material",
    symbol="G",
    symbols={"modulus": "E", "poisson": "ν"},
    tex=r"G = \frac{E}{2\,(1 + \nu)}",
    working="{modulus} / (2 · (1 + {poisson}))",
    validity="The same in all directions, small strain; ν from 0 to 0.5.",
    sources=("shear-modulus-example",),
)
def shear_modulus(modulus: Pascal, poisson: Ratio) -> Pascal:
    """Stiffness in shear from that in tension.

    Args:
        modulus: Young's modulus, Pa, above zero.
        poisson: Poisson's ratio, 0 to 0.5.

    Returns:
        Shear modulus, Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Linear elasticity.

    >>> round(shear_modulus(modulus=3e9, poisson=0.5) / 1e9, 3)
    1.0
    """
    require_positive(modulus=modulus)
    require_between(0, 0.5, poisson=poisson)
    return modulus / (2 * (1 + poisson))


@formula(
    title="Modulus of a cable that the resin holds in",
    symbol="E_h",
    symbols={
        "modulus": "E_j",
        "poisson": "ν_j",
        "resin_modulus": "E_r",
        "resin_poisson": "ν_r",
        "jacket_diameter": "d",
        "outer_diameter": "D",
    },
    tex=(
        r"E_\mathrm{h} = E_\mathrm{j} \Big/ \left(1 - \frac{2 \nu_\mathrm{j}^2}"
        r"{1 - \nu_\mathrm{j} + \frac{E_\mathrm{j}}{E_\mathrm{r}}"
        r"\left(\frac{D^2 + d^2}{D^2 - d^2} + \nu_\mathrm{r}\right)}\right)"
    ),
    working=(
        "{modulus} / (1 − 2 · {poisson}² / (1 − {poisson} + {modulus} / {resin_modulus} · "
        "(({outer_diameter}² + {jacket_diameter}²) / "
        "({outer_diameter}² − {jacket_diameter}²) + {resin_poisson})))"
    ),
    validity="Linear, bonded all round, far from the ends; ν of the cable from 0 to 0.495.",
    sources=("wetside-derivation-cable-shear-lag",),
)
def held_modulus(
    modulus: Pascal,
    poisson: Ratio,
    resin_modulus: Pascal,
    resin_poisson: Ratio,
    jacket_diameter: Metre,
    outer_diameter: Metre,
) -> Pascal:
    """Stiffness along a cable that cannot grow thick, because a ring of resin is round it.

    Rubber keeps its volume: held in on all sides it is far stiffer than when it is free.

    Args:
        modulus: Of the free cable, Pa, above zero.
        poisson: Of the cable, 0 to 0.495.
        resin_modulus: Pa, above zero.
        resin_poisson: 0 to 0.5.
        jacket_diameter: m, above zero.
        outer_diameter: Of the ring, m, above that of the cable.

    Returns:
        Stress over strain along the cable, Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        A rod under stress along and pressure across, in a thick tube that the pressure widens.

    >>> round(held_modulus(modulus=23e6, poisson=0.3, resin_modulus=2.5e9, resin_poisson=0.38,
    ...     jacket_diameter=6e-3, outer_diameter=25e-3) / 1e6, 2)
    30.76
    """
    require_positive(
        modulus=modulus,
        resin_modulus=resin_modulus,
        jacket_diameter=jacket_diameter,
        outer_diameter=outer_diameter,
    )
    require_between(0, 0.495, poisson=poisson)
    require_between(0, 0.5, resin_poisson=resin_poisson)
    _require_ring(outer_diameter, jacket_diameter)
    outer, inner = outer_diameter**2, jacket_diameter**2
    give = modulus / resin_modulus * ((outer + inner) / (outer - inner) + resin_poisson)
    return modulus / (1 - 2 * poisson**2 / (1 - poisson + give))


@formula(
    title="How fast a bond hands its load over",
    symbol="β",
    symbols={
        "jacket_diameter": "d",
        "outer_diameter": "D",
        "jacket_stiffness": "S_j",
        "resin_stiffness": "S_r",
        "resin_shear_modulus": "G_r",
        "jacket_shear_modulus": "G_j",
    },
    tex=(
        r"\beta^2 = \frac{\pi d\,(1/S_\mathrm{j} + 1/S_\mathrm{r})}"
        r"{\dfrac{d}{2 G_\mathrm{r}} \ln\dfrac{D}{d} + \dfrac{d}{8 G_\mathrm{j}}}"
    ),
    working=(
        "√(π · {jacket_diameter} · (1 / {jacket_stiffness} + 1 / {resin_stiffness}) / "
        "({jacket_diameter} / (2 · {resin_shear_modulus}) · ln({outer_diameter} / "
        "{jacket_diameter}) + {jacket_diameter} / (8 · {jacket_shear_modulus})))"
    ),
    validity=(
        "Linear shear lag: flat cross-sections, and the whole ring of resin taken as the glue; "
        "S is modulus times cross-section."
    ),
    sources=("volkersen-seminar", "wetside-derivation-cable-shear-lag"),
)
def transfer_rate(
    jacket_diameter: Metre,
    outer_diameter: Metre,
    jacket_stiffness: Newton,
    resin_stiffness: Newton,
    resin_shear_modulus: Pascal,
    jacket_shear_modulus: Pascal,
) -> PerMetre:
    """Rate at which the load of a cable passes into the resin round it.

    Within 1/β from the loaded end most of the load has passed over.

    Args:
        jacket_diameter: Of the cable, m, above zero.
        outer_diameter: Of the resin, m, above that of the cable.
        jacket_stiffness: Modulus times cross-section of the cable, N, above zero.
        resin_stiffness: The same of the resin, N, above zero.
        resin_shear_modulus: Pa, above zero.
        jacket_shear_modulus: Pa, above zero.

    Returns:
        β in 1/m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Equilibrium of a slice, with the give of the ring, τ d ln(D/d) / (2 G), and that of the
        cable itself between its skin and its mean, τ d / (8 G).

    >>> round(transfer_rate(
    ...     jacket_diameter=6e-3, outer_diameter=25e-3, jacket_stiffness=848, resin_stiffness=1.2e6,
    ...     resin_shear_modulus=0.9e9, jacket_shear_modulus=10e6))
    528
    """
    require_positive(
        jacket_diameter=jacket_diameter,
        outer_diameter=outer_diameter,
        jacket_stiffness=jacket_stiffness,
        resin_stiffness=resin_stiffness,
        resin_shear_modulus=resin_shear_modulus,
        jacket_shear_modulus=jacket_shear_modulus,
    )
    _require_ring(outer_diameter, jacket_diameter)
    give = jacket_diameter * (
        log(outer_diameter / jacket_diameter) / (2 * resin_shear_modulus)
        + 1 / (8 * jacket_shear_modulus)
    )
    softness = 1 / jacket_stiffness + 1 / resin_stiffness
    return sqrt(pi * jacket_diameter * softness / give)


@formula(
    title="Edge stress of a bond in shear",
    symbol="τ_e",
    symbols={
        "average": "τ",
        "transfer_rate": "β",
        "length": "l",
        "stiffness_ratio": "ψ",
    },
    tex=(
        r"\tau_\mathrm{e} = \bar\tau\,\frac{\beta l}{2}\left[\coth\frac{\beta l}{2}"
        r" + \frac{1 - \psi}{1 + \psi}\tanh\frac{\beta l}{2}\right]"
    ),
    working=(
        "{average} · {transfer_rate} · {length} / 2 · (coth({transfer_rate} · {length} / 2) + "
        "(1 − {stiffness_ratio}) / (1 + {stiffness_ratio}) · "
        "tanh({transfer_rate} · {length} / 2))"
    ),
    validity=(
        "Linear shear lag, at the end with the higher stress; ψ is the stiffness of the softer "
        "part over that of the stiffer one, 0 where both are held at the loaded end. Peel is not "
        "in it."
    ),
    sources=("volkersen-seminar", "volkersen-1938"),
)
def edge_shear(
    average: Pascal, transfer_rate: PerMetre, length: Metre, stiffness_ratio: Ratio
) -> Pascal:
    """Shear stress at the loaded end of a bond, above its average.

    Args:
        average: Average shear stress, Pa, zero or more.
        transfer_rate: β, 1/m, above zero.
        length: Of the bond, m, above zero.
        stiffness_ratio: Softer part over stiffer part, 0 to 1.

    Returns:
        Shear stress at the end, Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Shear lag of a lap joint with two unlike parts.

    >>> round(edge_shear(average=1e6, transfer_rate=500, length=12e-3, stiffness_ratio=0) / 1e6, 3)
    6.0
    """
    require_between(0, 1e12, average=average)
    require_positive(transfer_rate=transfer_rate, length=length)
    require_between(0, 1, stiffness_ratio=stiffness_ratio)
    half = transfer_rate * length / 2
    share = (1 - stiffness_ratio) / (1 + stiffness_ratio)
    return average * half * (1 / tanh(half) + share * tanh(half))


@formula(
    title="Stress of a side pull at the edge of the foot",
    symbol="σ",
    symbols={"force": "F", "arm": "a", "outer_diameter": "D", "inner_diameter": "d"},
    tex=r"\sigma = \frac{32\,F a\,D}{\pi\,(D^4 - d^4)}",
    working=(
        "32 · {force} · {arm} · {outer_diameter} / (π · ({outer_diameter}⁴ − {inner_diameter}⁴))"
    ),
    validity="A stiff ring on a stiff wall, linear over the foot; d may be zero.",
    sources=("hollow-bending-example",),
)
def bending_stress(
    force: Newton, arm: Metre, outer_diameter: Metre, inner_diameter: Metre
) -> Pascal:
    """Tension that a side pull makes at the outer edge of a ring's foot.

    Args:
        force: Sideways, N, zero or more.
        arm: Height above the wall at which it pulls, m, above zero.
        outer_diameter: Of the foot, m, above the inner one.
        inner_diameter: Of the foot, m, zero or more.

    Returns:
        Stress at the edge, Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Bending of a hollow round section.

    >>> round(bending_stress(force=5, arm=12e-3, outer_diameter=25e-3, inner_diameter=6.5e-3))
    39293
    """
    require_between(0, 1e9, force=force)
    require_positive(arm=arm, outer_diameter=outer_diameter)
    require_between(0, outer_diameter, inner_diameter=inner_diameter)
    _require_ring(outer_diameter, inner_diameter)
    return 32 * force * arm * outer_diameter / (pi * (outer_diameter**4 - inner_diameter**4))


@formula(
    title="Strain that two materials do not share",
    symbol="ε",
    symbols={
        "first_expansion": "α_1",
        "second_expansion": "α_2",
        "temperature": "t_1",
        "cure_temperature": "t_0",
    },
    tex=r"\varepsilon = |\alpha_1 - \alpha_2|\,|t_1 - t_0|",
    working=("|{first_expansion} − {second_expansion}| · |{temperature} − {cure_temperature}|"),
    validity="Bonded without stress at the temperature of the cure; expansion taken as constant.",
    sources=("callister-2007",),
)
def expansion_mismatch(
    first_expansion: PerKelvin,
    second_expansion: PerKelvin,
    temperature: Celsius,
    cure_temperature: Celsius,
) -> Ratio:
    """Difference in length, per length, between two parts that were bonded at another temperature.

    Args:
        first_expansion: 1/K, zero or more.
        second_expansion: 1/K, zero or more.
        temperature: °C.
        cure_temperature: °C.

    Returns:
        Strain, zero or more.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition of thermal expansion.

    >>> round(expansion_mismatch(first_expansion=150e-6, second_expansion=60e-6,
    ...     temperature=-1, cure_temperature=20), 5)
    0.00189
    """
    require_between(0, 1e-2, first_expansion=first_expansion, second_expansion=second_expansion)
    require_between(-273.15, 1000, temperature=temperature, cure_temperature=cure_temperature)
    return abs(first_expansion - second_expansion) * abs(temperature - cure_temperature)


@formula(
    title="Edge shear from unlike expansion",
    symbol="τ_t",
    symbols={
        "mismatch": "ε",
        "transfer_rate": "β",
        "length": "l",
        "jacket_diameter": "d",
        "jacket_stiffness": "S_j",
        "resin_stiffness": "S_r",
    },
    tex=(
        r"\tau_\mathrm{t} = \frac{\varepsilon\,\beta \tanh(\beta l / 2)}"
        r"{\pi d\,(1/S_\mathrm{j} + 1/S_\mathrm{r})}"
    ),
    working=(
        "{mismatch} · {transfer_rate} · tanh({transfer_rate} · {length} / 2) / "
        "(π · {jacket_diameter} · (1 / {jacket_stiffness} + 1 / {resin_stiffness}))"
    ),
    validity="Linear shear lag, both ends free, along the cable only; β from the same stiffnesses.",
    sources=("wetside-derivation-cable-shear-lag",),
)
def mismatch_shear(
    mismatch: Ratio,
    transfer_rate: PerMetre,
    length: Metre,
    jacket_diameter: Metre,
    jacket_stiffness: Newton,
    resin_stiffness: Newton,
) -> Pascal:
    """Shear stress at the ends of a bond whose two sides shrink differently.

    Args:
        mismatch: Strain not shared, zero or more.
        transfer_rate: β, 1/m, above zero.
        length: Of the bond, m, above zero.
        jacket_diameter: m, above zero.
        jacket_stiffness: Modulus times cross-section of the cable, N, above zero.
        resin_stiffness: The same of the resin, N, above zero.

    Returns:
        Shear stress at the ends, Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Shear lag with a strain instead of a load.

    >>> round(mismatch_shear(mismatch=0.0019, transfer_rate=535, length=12e-3,
    ...     jacket_diameter=6e-3, jacket_stiffness=848, resin_stiffness=1.2e6))
    45549
    """
    require_between(0, 1, mismatch=mismatch)
    require_positive(
        transfer_rate=transfer_rate,
        length=length,
        jacket_diameter=jacket_diameter,
        jacket_stiffness=jacket_stiffness,
        resin_stiffness=resin_stiffness,
    )
    softness = 1 / jacket_stiffness + 1 / resin_stiffness
    return (
        mismatch
        * transfer_rate
        * tanh(transfer_rate * length / 2)
        / (pi * jacket_diameter * softness)
    )


@formula(
    title="Stress of a layer that may not shrink",
    symbol="σ_t",
    symbols={"mismatch": "ε", "modulus": "E", "poisson": "ν"},
    tex=r"\sigma_\mathrm{t} = \frac{E\,\varepsilon}{1 - \nu}",
    working="{modulus} · {mismatch} / (1 − {poisson})",
    validity=(
        "A thin layer on a stiff wall, held both ways, no creep: an upper estimate. For a rod "
        "held one way put ν = 0."
    ),
    sources=("callister-2007",),
)
def mismatch_stress(mismatch: Ratio, modulus: Pascal, poisson: Ratio) -> Pascal:
    """Stress in a layer that is bonded to something stiff and shrinks otherwise.

    Args:
        mismatch: Strain not shared, zero or more.
        modulus: Of the layer, Pa, above zero.
        poisson: Of the layer, 0 to 0.5.

    Returns:
        Stress in the plane of the layer, Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Linear elasticity, plane stress.

    >>> round(mismatch_stress(mismatch=2e-4, modulus=2.5e9, poisson=0.39) / 1e6, 3)
    0.82
    """
    require_between(0, 1, mismatch=mismatch)
    require_positive(modulus=modulus)
    require_between(0, 0.5, poisson=poisson)
    return modulus * mismatch / (1 - poisson)


@formula(
    title="Safety factor of a bond in water",
    symbol="S",
    symbols={"strength": "τ_u", "wet_share": "w", "stress": "τ_e"},
    tex=r"S = \frac{w\,\tau_\mathrm{B}}{\tau_\mathrm{e}}",
    working="{wet_share} · {strength} / {stress}",
    validity=(
        "Strength from a lap joint, itself an average over an uneven stress: held against an edge "
        "stress it errs to the safe side."
    ),
    sources=("adhesive-partial-factors",),
)
def safety_factor(strength: Pascal, wet_share: Ratio, stress: Pascal) -> Ratio:
    """How many times the stress a bond would bear after time in the water.

    Args:
        strength: Of the dry bond, Pa, above zero.
        wet_share: Share of it that is left in water, above 0, up to 1.
        stress: Pa, above zero.

    Returns:
        Factor, above zero.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition.

    >>> round(safety_factor(strength=5.2e6, wet_share=0.5, stress=0.6e6), 3)
    4.333
    """
    require_positive(strength=strength, wet_share=wet_share, stress=stress)
    require_between(0, 1, wet_share=wet_share)
    return wet_share * strength / stress
