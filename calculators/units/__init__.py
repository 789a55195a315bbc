"""Units at the edge: texts with units in, floats in base units inside, texts out.

Inside, every value is a float in the base unit of its dimension: the SI unit, or °C for
temperatures, ° for angles, B and B/s for data, bit, dB for levels, 1 for ratios and counts, and
a fraction per month for slow losses.
"""

from calculators.units.reading import parse
from calculators.units.showing import (
    format_display,
    format_exact,
    format_field,
    format_whole,
    with_unit,
)
from calculators.units.table import (
    UNITS,
    Unit,
    base_unit,
    dimension,
    display_unit,
)
from calculators.units.tolerance import (
    Tolerance,
    format_tolerance,
    parse_tolerance,
    read_tolerance,
)

__all__ = [
    "UNITS",
    "Tolerance",
    "Unit",
    "base_unit",
    "dimension",
    "display_unit",
    "format_display",
    "format_exact",
    "format_field",
    "format_tolerance",
    "format_whole",
    "parse",
    "parse_tolerance",
    "read_tolerance",
    "with_unit",
]
