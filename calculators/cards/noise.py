"""Calculators of noise."""

from dataclasses import dataclass, fields
from math import log10
from typing import Literal

from calculators.cards import chain
from calculators.cards.curves import decades
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Export,
    Line,
    Number,
    Output,
    Plot,
    Results,
    Values,
    Verdict,
)
from calculators.errors import InputError
from calculators.formulas import band_noise, noise
from calculators.formulas.front_end import rc_corner
from calculators.netlist import Amplifier, front_end_netlist
from calculators.units import format_display

REFERENCE = 1000.0
"""Hz at which the one figure is given that is compared from chain to chain."""

PARTS = {
    "bias_noise": "Bias resistor",
    "loss_noise": "Loss in the element",
    "voltage_noise": "Buffer, voltage noise",
    "current_noise": "Buffer, current noise",
    "recorder_noise": "Recorder",
}


@dataclass(slots=True, kw_only=True)
class Chain:
    """The inputs that decide the noise at one frequency."""

    sensitivity_level: float
    element_capacitance: float
    loss_tangent: float
    cable_capacitance: float
    input_capacitance: float
    bias_resistance: float
    voltage_noise: float
    noise_corner: float
    current_noise: float
    current_noise_corner: float
    gain: float
    recorder_input_noise: float
    temperature: float

    @property
    def load(self) -> float:
        """Capacitance across the element."""
        return self.cable_capacitance + self.input_capacitance

    def at(self, frequency: float) -> tuple[dict[str, float], float, float]:
        """Parts, total and equivalent noise level at one frequency."""
        impedance = noise.source_impedance(
            frequency=frequency,
            bias_resistance=self.bias_resistance,
            element_capacitance=self.element_capacitance,
            loss_tangent=self.loss_tangent,
            load_capacitance=self.load,
        )
        parts = self._parts(frequency, impedance)
        total = noise.total_noise(**parts)
        return parts, total, self._level(total, frequency, impedance)

    def _parts(self, frequency: float, impedance: float) -> dict[str, float]:
        """Noise of each source, as it stands at the buffer's input; V/√Hz."""
        current = noise.amplifier_current_noise(
            current_noise=self.current_noise,
            current_noise_corner=self.current_noise_corner,
            frequency=frequency,
        )
        return {
            "bias_noise": self._bias_noise(impedance),
            "loss_noise": self._loss_noise(frequency, impedance),
            "voltage_noise": noise.amplifier_voltage_noise(
                voltage_noise=self.voltage_noise,
                noise_corner=self.noise_corner,
                frequency=frequency,
            ),
            "current_noise": noise.current_noise_voltage(
                current_noise=current, impedance=impedance
            ),
            "recorder_noise": noise.noise_before_gain(
                noise=self.recorder_input_noise, gain=self.gain
            ),
        }

    def _bias_noise(self, impedance: float) -> float:
        resistance = noise.bias_noise_resistance(
            impedance=impedance, bias_resistance=self.bias_resistance
        )
        return noise.thermal_noise_density(resistance=resistance, temperature=self.temperature)

    def _loss_noise(self, frequency: float, impedance: float) -> float:
        resistance = noise.loss_noise_resistance(
            impedance=impedance,
            frequency=frequency,
            element_capacitance=self.element_capacitance,
            loss_tangent=self.loss_tangent,
        )
        return noise.thermal_noise_density(resistance=resistance, temperature=self.temperature)

    def _level(self, density: float, frequency: float, impedance: float) -> float:
        """The sound in the water that would make this noise; dB re 1 µPa²/Hz."""
        transfer = noise.source_transfer_level(
            impedance=impedance,
            frequency=frequency,
            element_capacitance=self.element_capacitance,
            loss_tangent=self.loss_tangent,
        )
        return noise.equivalent_noise_level(
            noise=density,
            transfer_level=transfer,
            sensitivity_level=self.sensitivity_level,
        )

    def over(self, low: float, high: float, recorder_noise: float) -> dict[str, float]:
        """Noise of each source over a band, at the buffer's input, V; the recorder's is flat."""
        source = {
            "bias_resistance": self.bias_resistance,
            "element_capacitance": self.element_capacitance,
            "loss_tangent": self.loss_tangent,
            "load_capacitance": self.load,
        }
        return {
            "source_noise": band_noise.source_band_noise(
                **source, band_low=low, band_high=high, temperature=self.temperature
            ),
            "voltage_noise": band_noise.voltage_band_noise(
                voltage_noise=self.voltage_noise,
                noise_corner=self.noise_corner,
                band_low=low,
                band_high=high,
            ),
            "current_noise": band_noise.current_band_noise(
                current_noise=self.current_noise,
                current_noise_corner=self.current_noise_corner,
                **source,
                band_low=low,
                band_high=high,
            ),
            "recorder_noise": band_noise.voltage_band_noise(
                voltage_noise=recorder_noise, noise_corner=0.0, band_low=low, band_high=high
            ),
        }


_CHAIN_NAMES = tuple(field.name for field in fields(Chain))


def _chain(values: Values) -> Chain:
    return Chain(**{name: float(values[name]) for name in _CHAIN_NAMES})


def _front_end_noise(
    sensitivity_level: float,
    element_capacitance: float,
    loss_tangent: float,
    cable_capacitance: float,
    input_capacitance: float,
    bias_resistance: float,
    voltage_noise: float,
    noise_corner: float,
    current_noise: float,
    current_noise_corner: float,
    gain: float,
    recorder_input_noise: float,
    temperature: float,
    frequency: float,
    band_from: float,
    band_to: float,
    wanted_noise_level: float,
) -> dict[str, float]:
    whole = Chain(
        sensitivity_level=sensitivity_level,
        element_capacitance=element_capacitance,
        loss_tangent=loss_tangent,
        cable_capacitance=cable_capacitance,
        input_capacitance=input_capacitance,
        bias_resistance=bias_resistance,
        voltage_noise=voltage_noise,
        noise_corner=noise_corner,
        current_noise=current_noise,
        current_noise_corner=current_noise_corner,
        gain=gain,
        recorder_input_noise=recorder_input_noise,
        temperature=temperature,
    )
    parts, total, level = whole.at(frequency)
    if band_to <= band_from:
        raise InputError(
            "band_to",
            f"The band must end above where it begins: from {format_display(band_from, 'Hz')} "
            f"to {format_display(band_to, 'Hz')} there is none.",
        )
    over_band = whole.over(band_from, band_to, parts["recorder_noise"])
    at_input = band_noise.total_band_noise(**over_band)
    without_recorder = band_noise.total_band_noise(**over_band | {"recorder_noise": 0.0})
    return {
        "equivalent_noise_level": level if frequency == REFERENCE else whole.at(REFERENCE)[2],
        "level_at_frequency": level,
        "input_noise": total,
        "recorder_noise": noise.noise_after_gain(noise=total, gain=gain),
        **{
            name.replace("_noise", "_share"): noise.noise_share(part=part, total=total)
            for name, part in parts.items()
        },
        "band_noise": at_input,
        "recorder_band_noise": band_noise.voltage_after_gain(voltage=at_input, gain=gain),
        "mean_noise": band_noise.mean_noise_density(
            voltage=without_recorder, band_low=band_from, band_high=band_to
        ),
        "resistor_noise": band_noise.ktc_noise(
            capacitance=element_capacitance + whole.load, temperature=temperature
        ),
        "input_corner": rc_corner(
            resistance=bias_resistance, capacitance=element_capacitance + whole.load
        ),
    }


def _spectrum(values: Values, results: Results, system: str) -> Plot:
    whole, wanted = _chain(values), float(values["wanted_noise_level"])
    asked = float(values["frequency"])
    low, high = min(1.0, asked), max(1e5, asked)
    points = [(f, *whole.at(f)) for f in decades(low, high, 81)]
    total = [(f, level) for f, _, _, level in points]
    largest = sorted(
        PARTS, key=lambda name: -sum(parts[name] ** 2 / e**2 for _, parts, e, _ in points)
    )[:2]
    bottom = min(level for _, level in total) - 10
    top = max(level for _, level in total) + 3
    lines = [Line(name="All together", points=total)]
    kinds: tuple[Literal["second", "third"], ...] = ("second", "third")
    for name, kind in zip(largest, kinds, strict=True):
        part = [
            (f, level + 20 * log10(parts[name] / e))
            for f, parts, e, level in points
            if parts[name] > 0
        ]
        lines.append(Line(name=PARTS[name], points=[p for p in part if p[1] >= bottom], kind=kind))
    return Plot(
        title="Equivalent noise level of the chain",
        description=(
            "The chain's own noise over frequency, as the sound in the water that would make as "
            f"much voltage: {_levels_told(asked, results, system)}. "
            f"The largest parts are: {PARTS[largest[0]].lower()}, {PARTS[largest[1]].lower()}. "
            "It rises towards low frequencies, and most steeply below the corner."
        ),
        x=Axis(label="Frequency", unit="Hz", domain=(low, high), log=True),
        y=Axis(
            label="Equivalent noise level",
            unit="dB re 1 µPa²/Hz",
            domain=(min(bottom, wanted - 3), max(top, wanted + 3)),
        ),
        lines=[line for line in lines if line.points],
        marks=[(asked, format_display(asked, "Hz", 3, system))],
        levels=[(wanted, "wanted")],
    )


def _levels_told(asked: float, results: Results, system: str) -> str:
    """The answers at 1 kHz and, where it is another frequency, at the one asked about."""
    told = f"{_level(results['equivalent_noise_level'], system)} at 1 kHz"
    if asked == REFERENCE:
        return told
    there = _level(results["level_at_frequency"], system)
    return f"{told}, {there} at {format_display(asked, 'Hz', 3, system)}"


def _level(value: float, system: str) -> str:
    return format_display(value, "dB re 1 µPa²/Hz", 3, system)


def _netlist(values: Values, results: Results) -> str:
    given = {name: float(value) for name, value in values.items()}
    return front_end_netlist(
        element_capacitance=given["element_capacitance"],
        loss_tangent=given["loss_tangent"],
        loss_frequency=given["frequency"],
        cable_capacitance=given["cable_capacitance"],
        input_capacitance=given["input_capacitance"],
        bias_resistance=given["bias_resistance"],
        temperature=given["temperature"],
        amplifier=Amplifier(
            voltage_noise=given["voltage_noise"],
            noise_corner=given["noise_corner"],
            current_noise=given["current_noise"],
            current_noise_corner=given["current_noise_corner"],
            gain=given["gain"],
            recorder_input_noise=given["recorder_input_noise"],
        ),
    )


def _share(name: str, label: str) -> Output:
    return Output(name=name, label=label, unit="%", help="part of the noise power there")


FRONT_END_NOISE = Calculator(
    id="front-end-noise",
    title="Noise of the front end",
    question="How quiet is the chain, and which part of it makes the noise?",
    stage="build",
    inputs=(
        chain.SENSITIVITY_LEVEL,
        chain.ELEMENT_CAPACITANCE,
        chain.LOSS_TANGENT,
        chain.CABLE_CAPACITANCE,
        chain.INPUT_CAPACITANCE,
        chain.BIAS_RESISTANCE,
        chain.VOLTAGE_NOISE,
        chain.NOISE_CORNER,
        chain.CURRENT_NOISE,
        chain.CURRENT_NOISE_CORNER,
        chain.GAIN,
        chain.RECORDER_INPUT_NOISE,
        chain.TEMPERATURE,
        Number(
            name="frequency",
            label="Frequency asked about",
            unit="Hz",
            default="1 kHz",
            low="0.1 Hz",
            high="1 MHz",
            why="slow waves to ultrasound",
            hint="where the parts are shown; the first answer stays at 1 kHz",
            rig="plan.source_frequency",
            rig_otherwise="plan.lowest_wanted",
        ),
        Number(
            name="band_from",
            label="Band from",
            unit="Hz",
            default="10 Hz",
            low="0.01 Hz",
            high="1 MHz",
            why="slow waves to ultrasound",
            hint="for the total over a band",
            rig="recorder.band_low",
        ),
        Number(
            name="band_to",
            label="… to",
            unit="kHz",
            default="20 kHz",
            low="0.01 Hz",
            high="1 MHz",
            why="slow waves to ultrasound",
            hint="above the other end",
            rig="recorder.band_high",
        ),
        Number(
            name="wanted_noise_level",
            label="Noise level wanted at 1 kHz",
            unit="dB re 1 µPa²/Hz",
            default="45 dB re 1 µPa²/Hz",
            low="-50 dB re 1 µPa²/Hz",
            high="200 dB re 1 µPa²/Hz",
            why="far below the quietest water to far above the loudest",
            hint="some 10 dB below your water; only judges the answer",
        ),
    ),
    outputs=(
        Output(
            name="equivalent_noise_level",
            label="Equivalent noise level at 1 kHz",
            unit="dB re 1 µPa²/Hz",
            help="the sound in the water that would make as much voltage as the chain's own noise",
            verdict=Verdict(
                better="below",
                limit="wanted_noise_level",
                met="below {limit}, as wanted",
                missed="above {limit}: the chain is louder than wanted",
                unsure="may lie above {limit}",
                source="your own limit",
            ),
        ),
        Output(
            name="level_at_frequency",
            label="Equivalent noise level at the frequency asked about",
            unit="dB re 1 µPa²/Hz",
            rig="front_end.noise_density_level",
        ),
        Output(
            name="input_noise",
            label="Noise at the buffer's input, there",
            unit="nV/√Hz",
            help="of all sources, the recorder's seen from in front of the gain",
        ),
        Output(name="recorder_noise", label="Noise at the recorder, there", unit="nV/√Hz"),
        _share("bias_share", "… made by the bias resistor"),
        _share("loss_share", "… by the loss in the element"),
        _share("voltage_share", "… by the buffer's voltage noise"),
        _share("current_share", "… by the buffer's current noise"),
        _share("recorder_share", "… by the recorder"),
        Output(
            name="band_noise",
            label="Noise over the band, at the buffer's input",
            unit="µV",
            help="root mean square; most of it lies at the low end",
        ),
        Output(name="recorder_band_noise", label="Noise over the band, at the recorder", unit="µV"),
        Output(
            name="mean_noise",
            label="Mean noise of the front end over the band",
            unit="nV/√Hz",
            help="at the buffer's input, without the recorder's: what the level chain asks for",
            rig="front_end.input_noise",
        ),
        Output(
            name="resistor_noise",
            label="Noise of the bias resistor over all frequencies",
            unit="µV",
            help="√(kT/C): the same for every resistor; a larger one moves it below the band",
        ),
        Output(
            name="input_corner",
            label="Corner of bias resistor and element",
            unit="Hz",
            help="below it the signal falls and the noise of the resistor does not",
        ),
    ),
    compute=_front_end_noise,
    plot=_spectrum,
    fills=(chain.AMPLIFIER_FILL,),
    exports=(
        Export(
            name="netlist",
            label="Circuit as a netlist",
            file="front-end-noise.cir",
            text=_netlist,
        ),
    ),
    cautions=(
        Caution(
            title="A struck or warmed element makes high voltage.",
            text="Short its leads before you measure capacitance and loss, take the short off only "
            "while you measure. Follow the element maker's sheet and local codes.",
        ),
    ),
)
