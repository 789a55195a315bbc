"""The units that formulas speak, as types: SI floats, named once for people, tests and pages."""

from typing import Annotated

Ampere = Annotated[float, "A"]
Byte = Annotated[float, "B"]
BytePerSecond = Annotated[float, "B/s"]
Celsius = Annotated[float, "°C"]
Count = Annotated[float, "1"]
Coulomb = Annotated[float, "C"]
Decibel = Annotated[float, "dB"]
Degree = Annotated[float, "°"]
Farad = Annotated[float, "F"]
Hertz = Annotated[float, "Hz"]
Joule = Annotated[float, "J"]
Metre = Annotated[float, "m"]
MetrePerSecondSquared = Annotated[float, "m/s²"]
Ohm = Annotated[float, "Ω"]
Pascal = Annotated[float, "Pa"]
PerMonth = Annotated[float, "1/month"]
Ratio = Annotated[float, ""]
Second = Annotated[float, "s"]
Volt = Annotated[float, "V"]
Watt = Annotated[float, "W"]
