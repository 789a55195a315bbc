"""The signal chain as a picture: what each station leaves between its noise and its clipping."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import ceil, floor, sqrt

from calculators.cards.ambient import WATER_INPUTS, BandLevel, water_in_band
from calculators.drawing import Drawing
from calculators.formulas import levels
from calculators.formulas.front_end import capacitive_divider_level
from calculators.formulas.noise import noise_after_gain
from calculators.rig.facts import Fact, Facts, Unknown
from calculators.rig.lanes import Bar, Lane, Lanes, Mark, draw
from calculators.units import format_display

CHAIN, AMBIENT = "level-chain", "ambient-noise"

ROOM = 6.0
"""dB drawn beyond the lowest and the highest level."""

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
    density = noise_after_gain(noise=values["front_end_noise"], gain=gain)
    return density * sqrt(values["band_high"] - values["band_low"])


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
    found, lacking = [], []
    values = _values(facts)
    for station in STATIONS:
        if missing := _lacking(facts, CHAIN, station.needs):
            lacking.append(f"{station.name}: {missing}")
        else:
            found.append(_room(facts, station, values))
    return found, lacking


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


def _lacking(facts: Facts, card: str, names: tuple[str, ...]) -> str:
    """In words the inputs of a calculator that are not stated, empty if there are none."""
    found = [facts.find(card, name) for name in names]
    lacking = [f.label for f in found if isinstance(f, Unknown)]
    return f"not stated: {'; '.join(lacking)}" if lacking else ""


def _values(facts: Facts) -> dict[str, float]:
    """Every input of the level chain that is known."""
    node = facts.nodes[CHAIN]
    found = (facts.fact(CHAIN, name) for name in node.shape.inputs)
    return {fact.key: fact.number for fact in found if fact}


def _water(facts: Facts) -> tuple[BandLevel | None, str]:
    """The noise of the water in the band of the recording, or why there is none."""
    if AMBIENT not in facts.nodes:
        return None, "Noise of the water: not in this rig"
    missing = _lacking(facts, CHAIN, BAND) or _lacking(facts, AMBIENT, WATER_INPUTS)
    if missing:
        return None, f"Noise of the water: {missing}"
    low, high = (_values(facts)[name] for name in BAND)
    level = water_in_band(facts.nodes[AMBIENT].given.values, low, high)
    if level is None:
        return None, "Noise of the water: nothing is known of it in the band of the recording"
    return level, ""


def chain_picture(facts: Facts, system: str) -> tuple[Drawing | None, list[str]]:
    """The picture, None where no station is known, and what is left out of it."""
    if CHAIN not in facts.nodes:
        return None, ["Signal chain: not in this rig"]
    stations, left_out = rooms(facts)
    water, why = _water(facts)
    left_out = [why, *left_out] if why else left_out
    peak = facts.fact(CHAIN, "expected_peak")
    if peak is None:
        left_out = ["Expected peak: not stated", *left_out]
    if not stations:
        return None, left_out
    return draw(_lanes(facts, stations, water, peak, system)), left_out


def _lanes(
    facts: Facts, stations: list[Room], water: BandLevel | None, peak: Fact | None, system: str
) -> Lanes:
    drawn = [x for s in stations for x in (s.noise, s.clip_low, s.clip_high)]
    drawn += [water.level] if water else []
    drawn += [peak.number] if peak else []
    low, high = floor((min(drawn) - ROOM) / 10) * 10, ceil((max(drawn) + ROOM) / 10) * 10
    marks = [Mark(at=water.level, text=f"water {_decibels(water.level)}")] if water else []
    marks += [Mark(at=peak.number, text=f"expected peak {_decibels(peak.number)}")] if peak else []
    before = _before(facts, water, peak) if water and peak else []
    return Lanes(
        title="The signal chain: from noise to clipping, station by station",
        description=" ".join(_words(stations, water, peak, system)),
        axis="Level in the water, dB re 1 µPa",
        low=low,
        high=high,
        lanes=[*before, *(_lane(s, low, high) for s in stations)],
        marks=marks,
    )


def _before(facts: Facts, water: BandLevel, peak: Fact) -> list[Lane]:
    """What arrives: in the water, and behind element and cable, which add and clip nothing."""
    bar = Bar(start=water.level, end=peak.number, kind="water")
    ends = (_pascal(water.level), _pascal(peak.number))
    lanes = [Lane(words=f"In the water: {ends[0]} to {ends[1]}", bars=[bar])]
    if not _lacking(facts, CHAIN, ELEMENT):
        sensitivity = loaded(_values(facts))
        there = [_volts(10 ** ((x + sensitivity) / 20)) for x in (water.level, peak.number)]
        lanes.append(Lane(words=f"Element, cable: {there[0]} to {there[1]}", bars=[bar]))
    return lanes


def _lane(station: Room, low: float, high: float) -> Lane:
    """Lost below the own noise, room up to where it may clip, in doubt, lost beyond."""
    ends = f"{_volts(station.noise_volts)} to {_volts(station.clip_volts)}"
    sure = max(station.noise, station.clip_low)
    return Lane(
        words=f"{station.name}: {ends}",
        bars=[
            Bar(start=low, end=station.noise, kind="lost"),
            Bar(start=station.noise, end=station.clip_low, kind="room"),
            Bar(start=sure, end=station.clip_high, kind="doubt"),
            Bar(start=max(sure, station.clip_high), end=high, kind="lost"),
        ],
    )


def _words(
    stations: list[Room], water: BandLevel | None, peak: Fact | None, system: str
) -> list[str]:
    """The same in words."""
    said = [
        "Levels as they are in the water. At each station the plain bar runs from the chain's own "
        "noise so far, rms in the band of the recording, to the peak that clips there; hatched is "
        "what is lost, striped what is in doubt."
    ]
    if water:
        band = [format_display(f, "Hz", 3, system) for f in (water.low, water.high)]
        said.append(
            f"The water's own noise is {_level(water.level)} from {band[0]} to {band[1]}, rms."
        )
    if peak:
        said.append(f"The loudest peak expected is {_level(peak.number)}.")
    for station in stations:
        said.append(
            f"{station.name}: noise {_level(station.noise)} ({_volts(station.noise_volts)}), "
            f"clips at {_level(station.clip)} ({_volts(station.clip_volts)} peak)."
        )
    return [*said, *_verdict(stations, water, peak)]


def _verdict(stations: list[Room], water: BandLevel | None, peak: Fact | None) -> list[str]:
    """Where room is lost: which station clips first, and whether the chain hides the water."""
    said = []
    first = min(stations, key=lambda s: s.clip)
    if peak:
        apart = first.clip - peak.number
        way = "above" if apart >= 0 else "below"
        said.append(
            f"First to clip: {first.name.lower()}, {_decibels(abs(apart))} {way} that peak."
        )
    if water:
        apart = water.level - stations[-1].noise
        way = "below" if apart >= 0 else "above"
        said.append(
            f"The chain's noise lies {_decibels(abs(apart))} {way} the water's, each in its band."
        )
    return said


def _decibels(level: float) -> str:
    return format_display(level, "dB", 3)


def _level(level: float) -> str:
    return format_display(level, "dB re 1 µPa", 3)


def _volts(voltage: float) -> str:
    return format_display(voltage, "V", 2)


def _pascal(level: float) -> str:
    return format_display(1e-6 * 10 ** (level / 20), "Pa", 2)
