"""Decidecade bands: the tenths of a decade in which levels of noise are compared."""

from calculators.formula import formula, require_between, require_positive
from calculators.quantities import Count, Hertz

HALF_BAND = 10**0.05
"""From the centre of a band to its upper edge, and from its lower edge to the centre."""

MOST = 100.0
"""Bands from 1 kHz, up or down: beyond any sound, and inside the float range."""


@formula(
    title="Centre of a decidecade band",
    symbol="f_m",
    symbols={"number": "n"},
    tex=r"f_\mathrm{m} = 1000\,\mathrm{Hz} \cdot 10^{n / 10}",
    working="1000 Hz · 10^({number} / 10)",
    validity="Base ten; n is a whole number, 0 at 1 kHz. The names of bands, such as 1.25 kHz, "
    "are rounded.",
    sources=("iec-61260-1", "third-octave-posting"),
)
def decidecade_centre(number: Count) -> Hertz:
    """Exact centre of the decidecade band, or one-third-octave band of base ten, of a number.

    Args:
        number: Bands from the one at 1 kHz, −100 to 100; a whole number for a standard band.

    Returns:
        Hz.

    Raises:
        InputError: If the number is out of its range.

    Source:
        [iec-61260-1], base-ten system; ISO 18405 calls the band a decidecade.

    >>> round(decidecade_centre(number=1), 1)
    1258.9
    """
    require_between(-MOST, MOST, number=number)
    return float(1000 * 10 ** (number / 10))


@formula(
    title="Lower edge of a decidecade band",
    symbol="f_1",
    symbols={"centre": "f_m"},
    tex=r"f_1 = f_\mathrm{m} \cdot 10^{-1 / 20}",
    working="{centre} / 10^(1 / 20)",
    validity="Base ten. The upper edge of the band below is the same frequency.",
    sources=("iec-61260-1", "third-octave-limits"),
)
def decidecade_lower_edge(centre: Hertz) -> Hertz:
    """Where a decidecade band begins.

    Args:
        centre: Its exact centre; Hz, above zero.

    Returns:
        Hz.

    Raises:
        InputError: If the centre is not above zero.

    Source:
        [iec-61260-1], base-ten system, three bands an octave.

    >>> round(decidecade_lower_edge(centre=1000.0))
    891
    """
    require_positive(centre=centre)
    return float(centre / HALF_BAND)


@formula(
    title="Upper edge of a decidecade band",
    symbol="f_2",
    symbols={"centre": "f_m"},
    tex=r"f_2 = f_\mathrm{m} \cdot 10^{1 / 20}",
    working="{centre} · 10^(1 / 20)",
    validity="Base ten. The lower edge of the band above is the same frequency.",
    sources=("iec-61260-1", "third-octave-limits"),
)
def decidecade_upper_edge(centre: Hertz) -> Hertz:
    """Where a decidecade band ends.

    Args:
        centre: Its exact centre; Hz, above zero.

    Returns:
        Hz.

    Raises:
        InputError: If the centre is not above zero.

    Source:
        [iec-61260-1], base-ten system, three bands an octave.

    >>> round(decidecade_upper_edge(centre=1000.0))
    1122
    """
    require_positive(centre=centre)
    return float(centre * HALF_BAND)
