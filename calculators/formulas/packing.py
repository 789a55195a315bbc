"""What parts take up in a case, and what they leave."""

from calculators.formula import formula, require_between, require_positive
from calculators.quantities import Count, CubicMetre, Metre, Ratio


@formula(
    title="Room that a part takes along one of its edges",
    symbol="e",
    symbols={"size": "a", "plugs": "n", "overhang": "p", "clearance": "c"},
    tex=r"e = a + n p + 2 c",
    working="{size} + {plugs} · {overhang} + 2 · {clearance}",
    validity="The clearance is kept on all sides, beyond the plug too; the room in front of a face "
    "with a plug is kept free over the whole face, for its cable.",
    sources=("wetside-derivation-envelope",),
)
def envelope_size(size: Metre, plugs: Count, overhang: Metre, clearance: Metre) -> Metre:
    """Size of the box that a part is packed as, along one edge.

    Args:
        size: Of the bare part; m, above zero.
        plugs: Ends of this edge with a plug: 0, 1 or 2.
        overhang: How far a plug with its cable's bend stands out; m, 0 to 1000.
        clearance: On each side; m, 0 to 1000.

    Returns:
        Size in m.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Sum of what stands in one line.

    >>> envelope_size(size=100, plugs=1, overhang=8, clearance=2)
    112
    """
    require_positive(size=size)
    require_between(0, 2, plugs=plugs)
    require_between(0, 1000, overhang=overhang, clearance=clearance)
    return clear_size(size, clearance) + plugs * overhang


def clear_size(size: Metre, clearance: Metre) -> Metre:
    """Size of a part along an edge without a plug, its clearance on both sides counted; m."""
    return size + 2 * clearance


@formula(
    title="Free air in the case",
    symbol="V_f",
    symbols={"case_volume": "V", "parts_volume": "V_p"},
    tex=r"V_\mathrm{f} = V - V_\mathrm{p}",
    working="{case_volume} − {parts_volume}",
    validity="Parts taken as full boxes: air in a recorder or in a coil of cable is not counted. "
    "Below zero the parts are more than the case.",
    sources=("spheres-in-box", "cylinder-in-cube"),
)
def free_volume(case_volume: CubicMetre, parts_volume: CubicMetre) -> CubicMetre:
    """Air that is left in a case.

    Args:
        case_volume: Inner; m³, above zero.
        parts_volume: Of all parts; m³, zero or more.

    Returns:
        Volume in m³; below zero the parts have no room.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Geometry.

    >>> free_volume(case_volume=5, parts_volume=2)
    3
    """
    require_positive(case_volume=case_volume)
    require_between(0, 1e6, parts_volume=parts_volume)
    return case_volume - parts_volume


@formula(
    title="Part of the case that is filled",
    symbol="η",
    symbols={"case_volume": "V", "parts_volume": "V_p"},
    tex=r"\eta = \frac{V_\mathrm{p}}{V}",
    working="{parts_volume} / {case_volume}",
    validity="Bare parts, without clearances and plugs. Above 100 % nothing can fit.",
    sources=("cylinder-in-cube",),
)
def packing_ratio(case_volume: CubicMetre, parts_volume: CubicMetre) -> Ratio:
    """Volume of the parts over that of the case.

    Args:
        case_volume: Inner; m³, above zero.
        parts_volume: Of all parts; m³, zero or more.

    Returns:
        Ratio.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Definition.

    >>> packing_ratio(case_volume=4, parts_volume=1)
    0.25
    """
    require_positive(case_volume=case_volume)
    require_between(0, 1e6, parts_volume=parts_volume)
    return parts_volume / case_volume


@formula(
    title="Length to spare",
    symbol="s",
    symbols={"inner_length": "L", "needed_length": "l"},
    tex=r"s = L - l",
    working="{inner_length} − {needed_length}",
    validity="Below zero: what is missing along the case.",
    sources=("engineering-fit-page",),
)
def spare_length(inner_length: Metre, needed_length: Metre) -> Metre:
    """What an arrangement leaves of the case's length.

    Args:
        inner_length: m, above zero.
        needed_length: m, above zero.

    Returns:
        Length in m, to a picometre: the rounding of sums is no gap.

    Raises:
        InputError: If an argument is not above zero.

    Source:
        Difference of a hole and what goes in.

    >>> spare_length(inner_length=0.3, needed_length=0.1 + 0.2)
    0.0
    """
    require_positive(inner_length=inner_length, needed_length=needed_length)
    return round(inner_length - needed_length, 12) + 0.0  # no zero with a sign
