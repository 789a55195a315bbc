"""Constants that formulas of several subjects share, each with its exact or agreed value."""

from calculators.formula import require_between

GRAVITY = 9.80665
"""Standard acceleration of free fall, m/s²."""

BOLTZMANN = 1.380649e-23
"""J/K, exact since the SI of 2019."""

GAS_CONSTANT = 8.314462618
"""Molar gas constant, J/(mol·K); exact but for the digits left out."""

ZERO_CELSIUS = 273.15
"""0 °C, K, exact."""


def kelvin(temperature: float) -> float:
    """Thermodynamic temperature of a temperature in °C, or a refusal."""
    require_between(-ZERO_CELSIUS, 1e6, temperature=temperature)
    return temperature + ZERO_CELSIUS
