"""Numbers with their units, as texts on recordings have them: no line parts the two."""

from calculators.units import format_display, format_whole, with_unit


def quantity(value: float, unit: str, digits: int = 3) -> str:
    """A number of so many significant digits at the most, in the unit it is given in.

    >>> quantity(12.3456, "s").split(), quantity(95, "%").split()
    (['12.3', 's'], ['95', '%'])
    """
    return with_unit(f"{value:.{digits}g}", unit)


def hertz(frequency: float) -> str:
    """A frequency that was measured.

    >>> hertz(11718.75).split()
    ['11.7', 'kHz']
    """
    return format_display(frequency, "Hz", 3)


def rate_text(rate: float) -> str:
    """A sample rate: all of its digits.

    >>> rate_text(48000).split()[-1]
    'Hz'
    """
    return with_unit(format_whole(rate), "Hz")
