"""Noise of the flow past a sensor, where a published relation could be read."""

from math import log10

from calculators.formula import formula, require_between, require_positive
from calculators.quantities import (
    Hertz,
    KilogramPerCubicMetre,
    Metre,
    MetrePerSecond,
    SoundPressureLevel,
)

LOWEST_STROUHAL = 0.1
HIGHEST_STROUHAL = 5.0
"""Between these f·D/U the measurements lie."""


@formula(
    title="Flow noise in a third of an octave, inside a round screen",
    symbol="L_f",
    symbols={
        "speed": "U",
        "diameter": "D",
        "frequency": "f",
        "density": "ρ",
    },
    tex=(
        r"L_\mathrm{f} = 20 \lg \frac{\rho U^2}{1 \, \text{µPa}} "
        r"- 23 \lg \frac{f D}{U} - 81"
    ),
    working="20 · lg({density} · {speed}² / 1 µPa) − 23 · lg({frequency} · {diameter} / {speed})"
    " − 81",
    validity="Measured in air: screens of 2.5 to 25 cm, 6 to 23 m/s, 0.1 ≤ f·D/U ≤ 5, within 3 dB. "
    "In smooth flow: turbulence of the water itself adds to it. In water by its dimensions alone, "
    "not by a measurement.",
    sources=("rumbling-wind",),
)
def screened_flow_level(
    speed: MetrePerSecond,
    diameter: Metre,
    frequency: Hertz,
    density: KilogramPerCubicMetre,
) -> SoundPressureLevel:
    """Level that smooth flow round a screen makes inside it.

    Args:
        speed: Of the flow; m/s, above zero.
        diameter: Of the screen, a sphere or a cylinder; m, above zero.
        frequency: Middle of the third of an octave; Hz, 0.1 to 5 times speed over diameter.
        density: Of what flows; kg/m³, above zero.

    Returns:
        Band level in dB re 1 µPa.

    Raises:
        InputError: If an argument is out of its range.

    Source:
        Strasberg's fit, as [rumbling-wind] gives it in equation VIII.1.

    >>> round(screened_flow_level(speed=1, diameter=0.1, frequency=10, density=1000), 1)
    99.0
    """
    require_positive(speed=speed, diameter=diameter, density=density)
    slowest, fastest = (s * speed / diameter for s in (LOWEST_STROUHAL, HIGHEST_STROUHAL))
    require_between(slowest, fastest, frequency=frequency)
    head = density * speed**2 * 1e6
    return 20 * log10(head) - 23 * log10(frequency * diameter / speed) - 81
