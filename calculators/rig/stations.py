"""The stations of the signal chain: what each adds in noise, and what it bears."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from calculators.formulas import levels
from calculators.formulas.front_end import capacitive_divider_level
from calculators.formulas.noise import noise_after_gain
from calculators.rig.facts import Facts, Unknown

CHAIN = "level-chain"

Values = Mapping[str, float]


@dataclass(frozen=True)
class Station:
    """One place in the chain, all that decides it, and its quantities there.

    ``needs`` are inputs of the level chain. ``sensitivity`` is that up to this place, ``noise``
    the chain's own noise so far, rms, ``clip`` the peak that it bears; in volts. ``output`` is the
    level at which it clips, as the level chain calls it.
    """

    name: str
    needs: tuple[str, ...]
    sensitivity: Callable[[Values], float]
    noise: Callable[[Values], float]
    clip: Callable[[Values], float]
    output: str


ELEMENT = ("sensitivity_level", "element_capacitance", "cable_capacitance", "input_capacitance")
BAND = ("band_low", "band_high")


def loaded(values: Values) -> float:
    """Sensitivity at the buffer's input, behind cable and input; dB re 1 V/µPa."""
    loss = capacitive_divider_level(
        source_capacitance=values["element_capacitance"],
        load_capacitance=values["cable_capacitance"] + values["input_capacitance"],
    )
    return levels.sensitivity_behind(sensitivity=values["sensitivity_level"], gain=loss)


def _at_recorder(values: Values) -> float:
    return levels.sensitivity_behind(sensitivity=loaded(values), gain=values["gain"])


def _at_swing(values: Values) -> float:
    """A gain is made by an amplifier on the same supply; a loss comes after what can clip."""
    return _at_recorder(values) if values["gain"] > 0 else loaded(values)


def _front_end_noise(values: Values) -> float:
    gain = max(values["gain"], 0.0)
    return levels.recording_noise(
        front_end_noise=noise_after_gain(noise=values["front_end_noise"], gain=gain),
        recorder_noise=0.0,
        bandwidth=values["band_high"] - values["band_low"],
        quantisation_noise=0.0,
    )


def _input_noise(values: Values, rounding: float = 0.0) -> float:
    return levels.recording_noise(
        front_end_noise=noise_after_gain(noise=values["front_end_noise"], gain=values["gain"]),
        recorder_noise=values["recorder_input_noise"],
        bandwidth=values["band_high"] - values["band_low"],
        quantisation_noise=rounding,
    )


def _full_scale(values: Values) -> float:
    return levels.input_full_scale(
        full_scale=values["recorder_full_scale"], recorder_gain=values["recorder_gain"]
    )


def _whole_noise(values: Values) -> float:
    rounding = levels.quantisation_noise(full_scale=_full_scale(values), bits=values["bits"])
    return _input_noise(values, rounding)


STATIONS = (
    Station(
        "Front end",
        (*ELEMENT, *BAND, "gain", "front_end_noise", "swing"),
        _at_swing,
        _front_end_noise,
        lambda values: values["swing"],
        "front_end_clip",
    ),
    Station(
        "Recorder's input",
        (*ELEMENT, *BAND, "gain", "front_end_noise", "recorder_input_noise",
         "recorder_input_limit"),
        _at_recorder,
        _input_noise,
        lambda values: values["recorder_input_limit"],
        "input_clip",
    ),
    Station(
        "Full scale",
        (*ELEMENT, *BAND, "gain", "front_end_noise", "recorder_input_noise", "recorder_full_scale",
         "recorder_gain", "bits"),
        _at_recorder,
        _whole_noise,
        _full_scale,
        "full_scale_clip",
    ),
)  # fmt: skip


@dataclass(frozen=True)
class Room:
    """A station that is known: its own noise and its clipping, as levels in the water and in volts.

    ``clip_low`` and ``clip_high`` are the ends of the range of ``clip``.
    """

    name: str
    noise: float
    clip: float
    clip_low: float
    clip_high: float
    noise_volts: float
    clip_volts: float


def rooms(facts: Facts) -> tuple[list[Room], list[str]]:
    """Every station that the rig states enough for, and the others with what they lack."""
    found: list[Room] = []
    left_out: list[str] = []
    values = known(facts)
    for station in STATIONS:
        if missing := lacking(facts, CHAIN, station.needs):
            left_out.append(f"{station.name}: {missing}")
        else:
            found.append(_room(facts, station, values))
    return found, left_out


def _room(facts: Facts, station: Station, values: Values) -> Room:
    sensitivity = station.sensitivity(values)
    noise, clip = station.noise(values), station.clip(values)
    level = levels.sound_level(voltage=clip, sensitivity=sensitivity)
    worked_out = facts.fact(CHAIN, station.output)
    low, high = worked_out.ends if worked_out else (level, level)
    return Room(
        station.name,
        levels.sound_level(voltage=noise, sensitivity=sensitivity),
        level,
        low,
        high,
        noise,
        clip,
    )


def lacking(facts: Facts, card: str, names: tuple[str, ...]) -> str:
    """In words the inputs of a calculator that are not stated, empty if there are none."""
    found = [facts.find(card, name) for name in names]
    labels = [f.label for f in found if isinstance(f, Unknown)]
    return f"not stated: {'; '.join(labels)}" if labels else ""


def known(facts: Facts) -> dict[str, float]:
    """Every input of the level chain that is known."""
    node = facts.nodes[CHAIN]
    found = (facts.fact(CHAIN, name) for name in node.shape.inputs)
    return {fact.key: fact.number for fact in found if fact}
