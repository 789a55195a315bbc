"""The cable between element and buffer, as a capacitor."""

from calculators.formula import formula, require_between
from calculators.quantities import Farad, FaradPerMetre, Metre


@formula(
    title="Capacitance of a cable",
    symbol="C_c",
    symbols={"capacitance_per_metre": "C_m", "length": "l"},
    tex=r"C_\mathrm{c} = C_\mathrm{m} \, l",
    working="{capacitance_per_metre} · {length}",
    validity="Far shorter than a wavelength on the cable: kilometres at audible frequencies.",
    sources=("driving-long-cables",),
)
def cable_capacitance(capacitance_per_metre: FaradPerMetre, length: Metre) -> Farad:
    """What a cable puts beside the element.

    Args:
        capacitance_per_metre: Between the two conductors that carry the signal; F/m, 0 to 1e-6.
        length: m, 0 to 1e6.

    Returns:
        Capacitance in F.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Every metre lies beside the others.

    >>> round(cable_capacitance(capacitance_per_metre=100e-12, length=4.8) * 1e12, 6)
    480.0
    """
    require_between(0, 1e-6, capacitance_per_metre=capacitance_per_metre)
    require_between(0, 1e6, length=length)
    return capacitance_per_metre * length
