"""Numbers with their units, as texts on recordings have them: no line parts the two."""

from decimal import Decimal

from calculators.units import format_display, format_whole, with_unit


def quantity(value: float, unit: str, digits: int = 3) -> str:
    """A number of so many significant digits at the most, in the unit it is given in.

    Never with a power of ten: lengths of days in seconds are read by people.

    >>> [quantity(value, "s").split()[0] for value in (12.3456, 95, 1234.5)]
    ['12.3', '95', '1230']
    """
    return with_unit(f"{Decimal(f'{value:.{digits}g}'):f}", unit)


def hertz(frequency: float, digits: int = 3) -> str:
    """A frequency, by itself as exactly as one is measured.

    >>> hertz(11718.75).split(), hertz(23.4375, 4).split()
    (['11.7', 'kHz'], ['23.44', 'Hz'])
    """
    return format_display(frequency, "Hz", digits)


def rate_text(rate: float) -> str:
    """A sample rate: all of its digits.

    >>> rate_text(48000).split()[-1]
    'Hz'
    """
    return with_unit(format_whole(rate), "Hz")
