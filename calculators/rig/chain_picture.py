"""The signal chain as a picture: what each station leaves between its noise and its clipping."""

from math import ceil, floor

from calculators.cards.ambient import WATER_INPUTS, BandLevel, water_in_band
from calculators.declare import Value
from calculators.drawing import Drawing
from calculators.evaluate import asked, default
from calculators.formulas import levels
from calculators.registry import CALCULATORS
from calculators.rig.facts import Fact, Facts
from calculators.rig.lanes import Bar, Lane, Lanes, Mark, draw
from calculators.rig.stations import BAND, CHAIN, ELEMENT, Room, known, lacking, loaded, rooms
from calculators.units import format_display

AMBIENT = "ambient-noise"

ROOM = 6.0
"""dB drawn beyond the lowest and the highest level."""


def _water(facts: Facts) -> tuple[BandLevel | None, str]:
    """The noise of the water in the band of the recording, or why there is none.

    It belongs to the site: a rig may leave the question of its margin out, and still state it.
    """
    values, open_questions = _site(facts)
    missing = lacking(facts, CHAIN, BAND) or open_questions
    if missing:
        return None, f"Noise of the water: {missing}"
    low, high = (known(facts)[name] for name in BAND)
    level = water_in_band(values, low, high)
    if level is None:
        return None, "Noise of the water: nothing is known of it in the band of the recording"
    return level, ""


def _site(facts: Facts) -> tuple[dict[str, Value], str]:
    """What the rig states of the water's noise, and in words what it does not."""
    card, stated = CALCULATORS[AMBIENT], facts.rig.stated
    items = {name: card.inputs_by_name[name] for name in WATER_INPUTS}
    values = {
        name: stated[item.rig].value if item.rig in stated else default(item)
        for name, item in items.items()
    }
    missing = [
        item.label
        for name, item in items.items()
        if item.rig not in stated and asked(card, name, item, values)
    ]
    return values, f"not stated: {'; '.join(missing)}" if missing else ""


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
    if not lacking(facts, CHAIN, ELEMENT):
        sensitivity = loaded(known(facts))
        there = [
            _volts(levels.voltage_of_sound(level=x, sensitivity=sensitivity))
            for x in (water.level, peak.number)
        ]
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
    return format_display(levels.sound_pressure(level=level), "Pa", 2)
