"""The front end as a netlist that any simulator of the SPICE family reads.

Only elements of SPICE 2 are used: V, I, R, C, E, G, a diode model, `.ac`, `.noise`. A simulator has
no source of white or 1/f noise, so each is made of a part that has such noise by nature: a resistor
for the flat part, a diode with flicker noise (KF) for the part that rises towards low frequencies.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi, sqrt

from calculators.declare import Results, Values
from calculators.formulas.constants import BOLTZMANN, kelvin
from calculators.formulas.noise import thermal_noise_density

CHARGE = 1.602176634e-19
"""Elementary charge in C, exact since the SI of 2019."""

GENERATOR_RESISTANCE = 1000.0
"""Ω of the resistor that gives flat noise."""

GENERATOR_CURRENT = 1e-3
"""A through the diode that gives 1/f noise."""

SWEEP = "dec 50 0.1 1e6"
"""Points and range of both analyses."""


@dataclass(frozen=True, kw_only=True)
class Amplifier:
    """Noise of buffer and recorder; SI, gain in dB."""

    voltage_noise: float
    noise_corner: float
    current_noise: float
    current_noise_corner: float
    gain: float
    recorder_input_noise: float


@dataclass(frozen=True, kw_only=True)
class Output:
    """The way into the recorder; SI."""

    capacitance: float
    resistance: float


def front_end_netlist(
    *,
    element_capacitance: float,
    cable_capacitance: float,
    input_capacitance: float,
    bias_resistance: float,
    temperature: float,
    loss_tangent: float = 0.0,
    loss_frequency: float = 1000.0,
    amplifier: Amplifier | None = None,
    output: Output | None = None,
) -> str:
    """The front end as drawn: element, cable, bias resistor, buffer, the way into the recorder.

    Args:
        element_capacitance: F.
        cable_capacitance: F; zero leaves it out.
        input_capacitance: F; zero leaves it out.
        bias_resistance: Ω, to the virtual ground.
        temperature: °C of all parts.
        loss_tangent: Of the element; zero leaves it out.
        loss_frequency: Hz at which the loss is exact: a netlist has no part that loses the same
            at every frequency, so a resistor in series stands for it.
        amplifier: Its noise; without it the buffer is ideal.
        output: Output capacitor and recorder input; without it the recorder loads nothing.

    Returns:
        The netlist, with `.ac` and `.noise` over the node "rec", the recorder's terminals.
        1 V stands for the open-circuit voltage of the element.
    """
    lines = [
        "* Front end of a hydrophone: element, bias resistor, buffer, recorder",
        "* 1 V at the source is the open-circuit voltage of the element.",
        f".temp {temperature:.10g}",
        "Vel src 0 DC 0 AC 1",
        *_element(element_capacitance, loss_tangent, loss_frequency),
    ]
    for name, value in (("Ccab", cable_capacitance), ("Cin", input_capacitance)):
        if value:
            lines.append(f"{name} in 0 {value:.10g}")
    lines += [
        "* virtual ground, held still",
        "Vmid mid 0 DC 0",
        f"Rb in mid {bias_resistance:.10g}",
    ]
    lines += _buffer(amplifier, temperature)
    lines += _recorder(amplifier, output, temperature)
    lines += [f".ac {SWEEP}", f".noise V(rec) Vel {SWEEP}", ".end"]
    return "\n".join(lines) + "\n"


def corner_netlist(values: Values, results: Results) -> str:
    """The circuit of the corner calculator: an ideal buffer, resistors with their noise, 20 °C."""
    given = {name: float(value) for name, value in values.items()}
    return front_end_netlist(
        element_capacitance=given["element_capacitance"],
        cable_capacitance=given["cable_capacitance"],
        input_capacitance=given["input_capacitance"],
        bias_resistance=given["bias_resistance"],
        temperature=20.0,
        output=Output(
            capacitance=given["output_capacitance"],
            resistance=given["recorder_input_resistance"],
        ),
    )


def _element(capacitance: float, loss_tangent: float, frequency: float) -> Iterator[str]:
    """The element's impedance, with its loss as a resistor in series, exact at one frequency."""
    if not loss_tangent:
        yield f"Cel src in {capacitance:.10g}"
        return
    shrink = 1 + loss_tangent**2
    series = loss_tangent / (2 * pi * frequency * capacitance * shrink)
    yield f"* loss of the element, exact at {frequency:.6g} Hz"
    yield f"Rel src el {series:.10g}"
    yield f"Cel el in {capacitance * shrink:.10g}"


def _buffer(amplifier: Amplifier | None, temperature: float) -> Iterator[str]:
    """A follower with its noise, then the gain: node "amp"."""
    if amplifier is None:
        yield "* buffer, ideal"
        yield "Ebuf amp 0 in 0 1"
        return
    if amplifier.noise_corner or amplifier.current_noise_corner:
        yield "* 1/f noise to draw on: this diode makes 1 V/rtHz at 1 Hz"
        yield f".model noisy D(KF={_flicker_coefficient(temperature):.10g} AF=1)"
    yield "* buffer: its voltage noise in series with the input"
    voltage = _Noise("v", amplifier.voltage_noise, amplifier.noise_corner, temperature)
    yield from voltage.generator()
    yield from voltage.in_series("in", "buf")
    if amplifier.current_noise:
        yield "* buffer: its current noise out of the input"
        current = _Noise("i", amplifier.current_noise, amplifier.current_noise_corner, temperature)
        yield from current.generator()
        yield from current.into("in")
    yield f"* gain, {amplifier.gain:.6g} dB"
    yield f"Eamp amp 0 buf 0 {10 ** (amplifier.gain / 20):.10g}"


def _recorder(
    amplifier: Amplifier | None, output: Output | None, temperature: float
) -> Iterator[str]:
    """Output capacitor and input resistance, then the recorder's own noise: node "rec"."""
    end = "amp"
    if output is not None:
        yield "* output capacitor and recorder input"
        yield f"Cout amp term {output.capacitance:.10g}"
        yield f"Rrec term 0 {output.resistance:.10g}"
        end = "term"
    if amplifier is None or not amplifier.recorder_input_noise:
        yield f"Erec rec 0 {end} 0 1"
        return
    yield "* recorder: its input noise in series with its terminals"
    recorder = _Noise("r", amplifier.recorder_input_noise, 0.0, temperature)
    yield from recorder.generator()
    yield from recorder.in_series(end, "rec")


class _Noise:
    """A noise with a flat part and one that rises as 1/f, made of a resistor and a diode."""

    def __init__(self, name: str, density: float, corner: float, temperature: float) -> None:
        self.name = name
        self.flat = density / thermal_noise_density(
            resistance=GENERATOR_RESISTANCE, temperature=temperature
        )
        self.rising = density * sqrt(corner)

    def generator(self) -> Iterator[str]:
        """The parts whose noise is used."""
        name = self.name
        yield f"R{name}w {name}w 0 {GENERATOR_RESISTANCE:.10g}"
        if self.rising:
            yield f"I{name}f 0 {name}f DC {GENERATOR_CURRENT:.10g}"
            yield f"D{name}f {name}f 0 noisy"

    def in_series(self, start: str, end: str) -> Iterator[str]:
        """Copy the voltage of one node to another, with the noise added."""
        name = self.name
        flat_end = f"{name}s" if self.rising else end
        yield f"E{name}x {name}x 0 {start} 0 1"
        yield f"E{name}w {flat_end} {name}x {name}w 0 {self.flat:.10g}"
        if self.rising:
            yield f"E{name}f {end} {flat_end} {name}f 0 {self.rising:.10g}"

    def into(self, node: str) -> Iterator[str]:
        """Drive the noise into a node as a current."""
        name = self.name
        yield f"G{name}w 0 {node} {name}w 0 {self.flat:.10g}"
        if self.rising:
            yield f"G{name}f 0 {node} {name}f 0 {self.rising:.10g}"


def _flicker_coefficient(temperature: float) -> float:
    """KF with which the diode makes 1 V/√Hz at 1 Hz across its own differential resistance."""
    thermal_voltage = BOLTZMANN * kelvin(temperature) / CHARGE
    return GENERATOR_CURRENT / thermal_voltage**2
