"""The water that presses on a closed case."""

from calculators.formula import formula, require_between, require_positive
from calculators.formulas.constants import GRAVITY
from calculators.quantities import KilogramPerCubicMetre, Metre, Pascal


@formula(
    title="Gauge pressure in still water",
    symbol="p",
    symbols={"depth": "h", "water_density": "ρ"},
    tex=r"p = \rho g h, \quad g = 9.80665\ \mathrm{m/s^2}",
    working="{water_density} · 9.80665 m/s² · {depth}",
    validity="Down to 1000 m, to 0.5 %: compression and latitude are left out.",
    sources=("fofonoff1983",),
)
def still_water_pressure(depth: Metre, water_density: KilogramPerCubicMetre) -> Pascal:
    """Pressure of the water alone, on a case that was closed at the surface.

    Args:
        depth: m, 0 to 1000.
        water_density: kg/m³, above zero.

    Returns:
        Pressure above that of the air, Pa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Hydrostatics.

    >>> round(still_water_pressure(depth=10, water_density=1000), 1)
    98066.5
    """
    require_between(0, 1000, depth=depth)
    require_positive(water_density=water_density)
    return water_density * GRAVITY * depth
