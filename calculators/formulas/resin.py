"""A pour of resin: how much the mould takes, and how much of each part to weigh."""

from math import pi

from calculators.errors import InputError
from calculators.formula import formula, require_between, require_positive
from calculators.quantities import (
    Count,
    CubicMetre,
    Kilogram,
    KilogramPerCubicMetre,
    Metre,
    Ratio,
    Second,
)

AIR_DENSITY = 1.2
"""Of the air that a balance stands in, kg/m³, as ISO 4787 takes it."""

WEIGHT_DENSITY = 8000.0
"""Of the weights that balances are adjusted with, kg/m³."""


@formula(
    title="Volume of a cylinder or tube",
    symbol="V",
    symbols={"outer_diameter": "D", "inner_diameter": "d", "length": "l"},
    tex=r"V = \frac{\pi}{4} \left( D^2 - d^2 \right) l",
    working="π / 4 · ({outer_diameter}² − {inner_diameter}²) · {length}",
    validity="Round and straight; an inner diameter of zero makes a full cylinder.",
    sources=("cylinder-exercise", "hollow-cylinder-exercise"),
)
def tube_volume(outer_diameter: Metre, inner_diameter: Metre, length: Metre) -> CubicMetre:
    """Volume between two cylinders on one axis.

    Args:
        outer_diameter: m, above zero.
        inner_diameter: m, zero or more, below the outer one.
        length: m, above zero.

    Returns:
        Volume in m³.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Geometry.

    >>> round(tube_volume(outer_diameter=0.03, inner_diameter=0, length=0.06) * 1e6, 2)
    42.41
    """
    require_positive(outer_diameter=outer_diameter, length=length)
    require_between(0, outer_diameter, inner_diameter=inner_diameter)
    if inner_diameter == outer_diameter:
        raise InputError("inner_diameter", "inner_diameter must be below outer_diameter")
    return pi / 4 * (outer_diameter + inner_diameter) * (outer_diameter - inner_diameter) * length


@formula(
    title="Volume of a box",
    symbol="V",
    symbols={"length": "l", "width": "w", "height": "h"},
    tex=r"V = l w h",
    working="{length} · {width} · {height}",
    validity="Square corners.",
    sources=("cylinder-exercise",),
)
def box_volume(length: Metre, width: Metre, height: Metre) -> CubicMetre:
    """Volume of a box.

    Args:
        length: m, above zero.
        width: m, above zero.
        height: m, above zero.

    Returns:
        Volume in m³.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Geometry.

    >>> box_volume(length=2, width=3, height=4)
    24
    """
    require_positive(length=length, width=width, height=height)
    return length * width * height


@formula(
    title="Volume from the weight of water",
    symbol="V",
    symbols={"mass": "m", "water_density": "ρ"},
    tex=(
        r"V = m \, \frac{1 - \rho_\mathrm{a} / \rho_\mathrm{b}}{\rho - \rho_\mathrm{a}},"
        r" \quad \rho_\mathrm{a} = 1.2, \ \rho_\mathrm{b} = 8000\ \mathrm{kg/m^3}"
    ),
    working="{mass} · (1 − 1.2 / 8000) / ({water_density} − 1.2 kg/m³)",
    validity="A reading in air, on a balance adjusted with steel weights. Air buoyancy is 0.1 %.",
    sources=("iso-8655-z-table", "iso-4787"),
)
def weighed_volume(mass: Kilogram, water_density: KilogramPerCubicMetre) -> CubicMetre:
    """Volume of water from its reading on a balance, with the buoyancy of the air.

    Args:
        mass: As the balance reads it; kg, above zero.
        water_density: kg/m³, 950 to 1050.

    Returns:
        Volume in m³.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        ISO 4787: what a balance shows is the mass less the air that it displaces.

    >>> round(weighed_volume(mass=0.1, water_density=998.2) * 1e6, 2)
    100.29
    """
    require_positive(mass=mass)
    require_between(950, 1050, water_density=water_density)
    return mass * (1 - AIR_DENSITY / WEIGHT_DENSITY) / (water_density - AIR_DENSITY)


@formula(
    title="Volume to fill",
    symbol="V",
    symbols={"mould_volume": "V_m", "insert_volume": "V_i"},
    tex=r"V = V_\mathrm{m} - V_\mathrm{i}",
    working="{mould_volume} − {insert_volume}",
    validity="Inserts wholly inside; shrinkage on cure is left out.",
    sources=("hollow-cylinder-exercise",),
)
def fill_volume(mould_volume: CubicMetre, insert_volume: CubicMetre) -> CubicMetre:
    """What is left of a mould for the resin.

    Args:
        mould_volume: m³, above zero.
        insert_volume: All inserts together; m³, zero or more, below that of the mould.

    Returns:
        Volume in m³.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Geometry.

    >>> fill_volume(mould_volume=5, insert_volume=2)
    3
    """
    require_positive(mould_volume=mould_volume)
    require_between(0, mould_volume, insert_volume=insert_volume)
    if insert_volume == mould_volume:
        raise InputError("insert_volume", "insert_volume must be below mould_volume")
    return mould_volume - insert_volume


@formula(
    title="Volume of one pour",
    symbol="V_p",
    symbols={"volume": "V", "waste": "w", "pours": "n"},
    tex=r"V_\mathrm{p} = \frac{V (1 + w)}{n}",
    working="{volume} · (1 + {waste}) / {pours}",
    validity="Waste counts what stays in cups and on sticks, as a part of what the mould takes.",
    sources=("waste-exercise",),
)
def pour_volume(volume: CubicMetre, waste: Ratio, pours: Count) -> CubicMetre:
    """What to mix for one pour.

    Args:
        volume: That the mould takes; m³, above zero.
        waste: Part of it that is lost beside it, 0 to 10.
        pours: Pours of the same size, 1 or more.

    Returns:
        Volume in m³.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Arithmetic.

    >>> pour_volume(volume=40, waste=0.25, pours=2)
    25.0
    """
    require_positive(volume=volume)
    require_between(0, 10, waste=waste)
    require_between(1, 1e6, pours=pours)
    return volume * (1 + waste) / pours


@formula(
    title="Mass of B for each mass of A",
    symbol="r",
    symbols={
        "parts_a": "a",
        "parts_b": "b",
        "basis": "basis",
        "density_a": "ρ_1",
        "density_b": "ρ_2",
    },
    tex=(
        r"r = \frac{b}{a} \ \text{by mass}, \quad"
        r" r = \frac{b}{a} \, \frac{\rho_2}{\rho_1} \ \text{by volume}"
    ),
    working="{parts_b} / {parts_a} by {basis} (by volume: · {density_b} / {density_a})",
    validity="Densities at the temperature of mixing.",
    sources=("composite-resin-sheet",),
)
def mass_ratio(
    parts_a: Count,
    parts_b: Count,
    basis: str,
    density_a: KilogramPerCubicMetre,
    density_b: KilogramPerCubicMetre,
) -> Ratio:
    """The maker's mixing ratio as a ratio of masses.

    Args:
        parts_a: Parts of A, above zero.
        parts_b: Parts of B, above zero.
        basis: What the parts count: "mass" or "volume".
        density_a: kg/m³, above zero.
        density_b: kg/m³, above zero.

    Returns:
        Mass of B over mass of A.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Mass is density times volume.

    >>> round(mass_ratio(parts_a=100, parts_b=35, basis="volume", density_a=1160,
    ...     density_b=930), 4)
    0.2806
    """
    require_positive(parts_a=parts_a, parts_b=parts_b, density_a=density_a, density_b=density_b)
    if basis not in ("mass", "volume"):
        raise InputError("basis", f"basis must be mass or volume, given {basis!r}")
    ratio = parts_b / parts_a
    return ratio if basis == "mass" else ratio * density_b / density_a


@formula(
    title="Density of the mix",
    symbol="ρ",
    symbols={"mass_ratio": "r", "density_a": "ρ_1", "density_b": "ρ_2"},
    tex=r"\rho = \frac{1 + r}{1 / \rho_1 + r / \rho_2}",
    working="(1 + {mass_ratio}) / (1 / {density_a} + {mass_ratio} / {density_b})",
    validity="Volumes add; before cure, which shrinks most resins by one to several per cent.",
    sources=("mixture-exercise",),
)
def mixed_density(
    mass_ratio: Ratio, density_a: KilogramPerCubicMetre, density_b: KilogramPerCubicMetre
) -> KilogramPerCubicMetre:
    """Density of the freshly mixed resin.

    Args:
        mass_ratio: Mass of B over mass of A, above zero.
        density_a: kg/m³, above zero.
        density_b: kg/m³, above zero.

    Returns:
        Density in kg/m³.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Mass over volume, volumes added.

    >>> round(mixed_density(mass_ratio=0.4, density_a=1150, density_b=950), 1)
    1084.8
    """
    require_positive(mass_ratio=mass_ratio, density_a=density_a, density_b=density_b)
    return (1 + mass_ratio) / (1 / density_a + mass_ratio / density_b)


@formula(
    title="Mass of A",
    symbol="m_1",
    symbols={"volume": "V", "mixed_density": "ρ", "mass_ratio": "r"},
    tex=r"m_1 = \frac{\rho V}{1 + r}",
    working="{mixed_density} · {volume} / (1 + {mass_ratio})",
    validity="As for the density of the mix.",
    sources=("mixture-exercise",),
)
def mass_of_a(
    volume: CubicMetre, mixed_density: KilogramPerCubicMetre, mass_ratio: Ratio
) -> Kilogram:
    """Part A in a volume of the mix.

    Args:
        volume: Of the mix; m³, above zero.
        mixed_density: kg/m³, above zero.
        mass_ratio: Mass of B over mass of A, above zero.

    Returns:
        Mass in kg.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Arithmetic.

    >>> mass_of_a(volume=2, mixed_density=750, mass_ratio=0.5)
    1000.0
    """
    require_positive(volume=volume, mixed_density=mixed_density, mass_ratio=mass_ratio)
    return mixed_density * volume / (1 + mass_ratio)


@formula(
    title="Mass of B",
    symbol="m_2",
    symbols={"mass_a": "m_1", "mass_ratio": "r"},
    tex=r"m_2 = r \, m_1",
    working="{mass_ratio} · {mass_a}",
    validity="Any two parts.",
    sources=("mixture-exercise",),
)
def mass_of_b(mass_a: Kilogram, mass_ratio: Ratio) -> Kilogram:
    """Part B that goes with a mass of part A.

    Args:
        mass_a: kg, above zero.
        mass_ratio: Mass of B over mass of A, above zero.

    Returns:
        Mass in kg.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Arithmetic.

    >>> mass_of_b(mass_a=0.04, mass_ratio=0.5)
    0.02
    """
    require_positive(mass_a=mass_a, mass_ratio=mass_ratio)
    return mass_a * mass_ratio


@formula(
    title="Volume of a part",
    symbol="V",
    symbols={"mass": "m", "density": "ρ"},
    tex=r"V = \frac{m}{\rho}",
    working="{mass} / {density}",
    validity="Density at the temperature of mixing.",
    sources=("mixture-exercise",),
)
def part_volume(mass: Kilogram, density: KilogramPerCubicMetre) -> CubicMetre:
    """Volume of a mass of one part.

    Args:
        mass: kg, above zero.
        density: kg/m³, above zero.

    Returns:
        Volume in m³.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Definition of density.

    >>> part_volume(mass=0.5, density=1000)
    0.0005
    """
    require_positive(mass=mass, density=density)
    return mass / density


@formula(
    title="Coarsest step of the balance",
    symbol="s",
    symbols={"mass_a": "m_1", "mass_b": "m_2", "ratio_tolerance": "t"},
    tex=r"s = \frac{t}{1 / m_1 + 1 / m_2}",
    working="{ratio_tolerance} / (1 / {mass_a} + 1 / {mass_b})",
    validity="Each part may be wrong by one whole step: half from setting to zero, half from "
    "reading. Good to 3 % for tolerances up to 5 %.",
    sources=("wetside-derivation-balance-step",),
)
def coarsest_step(mass_a: Kilogram, mass_b: Kilogram, ratio_tolerance: Ratio) -> Kilogram:
    """Step of a balance that just keeps the mixing ratio within a tolerance.

    Args:
        mass_a: kg, above zero.
        mass_b: kg, above zero.
        ratio_tolerance: Either way, as a part of the ratio; above zero, to 0.5.

    Returns:
        Step in kg.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Rounding twice for each part, relative errors added.

    >>> round(coarsest_step(mass_a=0.04, mass_b=0.01, ratio_tolerance=0.02) * 1000, 3)
    0.16
    """
    require_positive(mass_a=mass_a, mass_b=mass_b, ratio_tolerance=ratio_tolerance)
    require_between(0, 0.5, ratio_tolerance=ratio_tolerance)
    return ratio_tolerance / (1 / mass_a + 1 / mass_b)


@formula(
    title="Time until the last pour has cured",
    symbol="t_c",
    symbols={"pours": "n", "next_pour": "t_n", "full_cure": "t_f"},
    tex=r"t_\mathrm{c} = (n - 1) \, t_\mathrm{n} + t_\mathrm{f}",
    working="({pours} − 1) · {next_pour} + {full_cure}",
    validity="Pours one after the other, all at the temperature that the times are for.",
    sources=("wetside-derivation-pours",),
)
def cured_after(pours: Count, next_pour: Second, full_cure: Second) -> Second:
    """Time from the first pour until the last one has cured.

    Args:
        pours: How many, 1 or more.
        next_pour: From one pour to the next; s, 0 to 1e9.
        full_cure: Of one pour; s, 0 to 1e9.

    Returns:
        Time in s.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Own derivation, [wetside-derivation-pours].

    >>> cured_after(pours=3, next_pour=4 * 3600, full_cure=5 * 86400) / 3600
    128.0
    """
    require_between(1, 1e6, pours=pours)
    require_between(0, 1e9, next_pour=next_pour, full_cure=full_cure)
    return (pours - 1) * next_pour + full_cure


@formula(
    title="Part of the pot life that a pour takes",
    symbol="φ",
    symbols={"handling_time": "t_h", "pot_life": "t_p"},
    tex=r"\varphi = \frac{t_\mathrm{h}}{t_\mathrm{p}}",
    working="{handling_time} / {pot_life}",
    validity="For the mass and the temperature that the pot life is stated for.",
    sources=("wetside-derivation-pours",),
)
def pot_life_used(handling_time: Second, pot_life: Second) -> Ratio:
    """How much of its pot life a mix has behind it when the pour ends.

    Args:
        handling_time: From the first drop of the second part to the end of the pour; s, 0 to 1e9.
        pot_life: s, above zero.

    Returns:
        Ratio; above 1 it has gelled.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Own derivation, [wetside-derivation-pours].

    >>> pot_life_used(handling_time=8 * 60, pot_life=32 * 60)
    0.25
    """
    require_between(0, 1e9, handling_time=handling_time)
    require_positive(pot_life=pot_life)
    return handling_time / pot_life
