"""What a rig says that its recording should be: levels of the file, noise, plan.

Nothing is worked out here that a calculator of the rig gives. What the rig does not state is None.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise, product
from math import log10

import numpy as np

from calculators.calendar_texts import DAY
from calculators.cards.ambient import WATER_INPUTS, water_in_band
from calculators.cards.curves import decades
from calculators.cards.window import timetable
from calculators.declare import Value
from calculators.formulas.levels import (
    input_full_scale,
    level_sum,
    mean_density_level,
    quantisation_noise,
)
from calculators.registry import CALCULATORS
from calculators.rig.facts import Facts
from calculators.rig.graph import Evaluated, Node, evaluate_rig
from calculators.rig.model import Rig
from calculators.rig.schema import ENTRIES
from calculators.tolerance import spread

LEVELS, NOISE, WATER, STORAGE, WINDOW, CORNER, SHALLOW = (
    "level-chain",
    "front-end-noise",
    "ambient-noise",
    "recording-storage",
    "deployment-window",
    "corner-frequency",
    "shallow-cutoff",
)

NOISE_BAND = (10.0, 1e5)
"""Hz, over which the chain's noise is worked out."""

NOISE_POINTS = 9
"""Two a decade: the curve is smooth, and each point asks for a range of its own."""

WATER_BAND = (10.0, 1e5)
"""Hz, over which the water's noise is looked for; its curves hold for a part of it."""

WATER_POINTS = 41
"""Ends of decidecades over four decades."""

MOST_TURNS = 100_000
"""Turns of a schedule that are spelt out, a turn each minute for ten weeks; the rest is not."""


@dataclass(frozen=True)
class Range:
    """A number with the ends that its tolerances leave it."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Curve:
    """Levels over frequency, Hz; straight between its points on a logarithmic axis."""

    frequencies: tuple[float, ...]
    levels: tuple[Range, ...]

    def at(self, frequency: float) -> Range | None:
        """The level there; None beyond the ends of the curve."""
        if not self.frequencies[0] <= frequency <= self.frequencies[-1]:
            return None
        sides = ([getattr(r, side) for r in self.levels] for side in ("value", "low", "high"))
        x = np.log10(self.frequencies)
        return Range(*(float(np.interp(log10(frequency), x, side)) for side in sides))


@dataclass(frozen=True)
class Plan:
    """What was to be recorded. Times in seconds.

    ``started`` is when the recorder was to start, since 1970, UTC; ``zone`` how far the clock of
    the place is ahead of that; ``duration`` how long it was to stay in the water; ``windows`` when
    it was to record, after its start; ``scheduled`` how much that is in all.
    """

    started: float | None = None
    zone: float = 0.0
    duration: float | None = None
    windows: tuple[tuple[float, float], ...] = ()
    scheduled: float | None = None
    continuous: bool = True
    file_length: float | None = None
    rate: float | None = None
    bits: float | None = None
    channels: float | None = None


@dataclass(frozen=True)
class Expected:
    """What is known of the chain and the plan. Levels re 1 µPa unless said.

    ``name`` is that of the rig; ``full_scale`` the zero-to-peak level of a sample at full scale,
    ``clip`` that where the first stage clips; ``ceiling`` the same place in the file, in dB re full
    scale, 0 where no stage clips before that; ``self_noise`` the chain's own noise as it stands in
    the file, dB re 1 FS²/Hz; ``water`` the noise of the water, dB re 1 µPa²/Hz; ``low_corner`` that
    of the chain, and ``cutoff`` that of the water, below which sound does not travel, Hz.
    """

    name: str = ""
    full_scale: Range | None = None
    clip: Range | None = None
    ceiling: Range | None = None
    self_noise: Curve | None = None
    water: Curve | None = None
    low_corner: Range | None = None
    cutoff: Range | None = None
    plan: Plan = field(default_factory=Plan)


def expected_of_rig(rig: Rig, nodes: Evaluated | None = None) -> Expected:
    """What this rig says; ``nodes`` if it has been evaluated already."""
    if nodes is None:
        nodes = evaluate_rig(
            rig, only=_asked((LEVELS, NOISE, WATER, STORAGE, WINDOW, CORNER, SHALLOW))
        )
    facts = Facts(rig, nodes)
    sensitivity = _range(facts, LEVELS, "system_sensitivity")
    return Expected(
        name=rig.name,
        full_scale=_range(facts, LEVELS, "full_scale_clip") if sensitivity else None,
        clip=_range(facts, LEVELS, "clip_level"),
        ceiling=_ceiling(facts),
        self_noise=_self_noise(facts),
        water=_water(facts),
        low_corner=_range(facts, CORNER, "combined_corner"),
        cutoff=_range(facts, SHALLOW, "cutoff_frequency"),
        plan=_plan(facts),
    )


def _asked(names: Iterable[str]) -> set[str]:
    """These calculators, with all that give them something."""
    found: set[str] = set()
    open_names = list(names)
    while open_names:
        name = open_names.pop()
        if name in found:
            continue
        found.add(name)
        for item in CALCULATORS[name].inputs:
            gives = ENTRIES[item.rig].gives if item.rig else None
            if gives:
                open_names.append(gives.card)
    return found


def _range(facts: Facts, card: str, key: str) -> Range | None:
    """An input or output as far as the rig states or gives it; what is usual is not stated."""
    fact = facts.fact(card, key)
    if fact is None or fact.usual:
        return None
    low, high = fact.ends
    return Range(fact.number, low, high)


VOLTAGES = ("swing", "gain", "recorder_input_limit", "recorder_full_scale", "recorder_gain")
"""What decides which stage clips first, and how far below full scale; sound has no part in it."""


def _ceiling(facts: Facts) -> Range | None:
    """How far below full scale the first stage clips, at every corner of its tolerances."""
    node = _answered(facts, LEVELS)
    if node is None:
        return None
    spans = node.given.spans
    names = [name for name in VOLTAGES if name in spans]
    corners = product(*(spans[name] for name in names))
    found = [_below_full_scale(node, {})]
    found += [_below_full_scale(node, dict(zip(names, c, strict=True))) for c in corners]
    return Range(found[0], min(found), max(found))


def _below_full_scale(node: Node, changed: dict[str, float]) -> float:
    results = node.card.compute(**{**node.given.values, **changed})
    return float(results["clip_level"] - results["full_scale_clip"])


def _number(facts: Facts, card: str, key: str) -> float | None:
    found = _range(facts, card, key)
    return None if found is None else found.value


def _answered(facts: Facts, card: str) -> Node | None:
    return facts.nodes[card] if facts.answered(card) else None


def _self_noise(facts: Facts) -> Curve | None:
    """Front end, recorder and rounding together, in parts of full scale."""
    node = _answered(facts, NOISE)
    full = _input_full_scale(facts)
    if node is None or full is None:
        return None
    rounding = _rounding(facts)
    points = decades(*NOISE_BAND, NOISE_POINTS)
    return Curve(tuple(points), tuple(_noise_at(node, f, full, rounding) for f in points))


def _noise_at(node: Node, frequency: float, full: Range, rounding: float | None) -> Range:
    values: dict[str, Value] = {**node.given.values, "frequency": frequency}
    nominal = node.card.compute(**values)
    ends = spread(node.card, values, node.given.spans, nominal)
    volts = Range(*(side["recorder_noise"] for side in (nominal, ends.low, ends.high)))
    levels = (
        20 * log10(volts.value / full.value),
        20 * log10(volts.low / full.high),
        20 * log10(volts.high / full.low),
    )
    if rounding is None:
        return Range(*levels)
    return Range(*(level_sum(first=level, second=rounding) for level in levels))


def _input_full_scale(facts: Facts) -> Range | None:
    """Peak voltage at the recorder's input that reaches full scale, at the gain set."""
    full = _range(facts, LEVELS, "recorder_full_scale")
    gain = _range(facts, LEVELS, "recorder_gain")
    if full is None or gain is None:
        return None
    sides = ((full.value, gain.value), (full.low, gain.high), (full.high, gain.low))
    return Range(*(input_full_scale(full_scale=f, recorder_gain=g) for f, g in sides))


def _rounding(facts: Facts) -> float | None:
    """Density of the rounding noise, dB re 1 FS²/Hz; None where rate or bits are not stated."""
    rate = _number(facts, STORAGE, "sample_rate")
    bits = _number(facts, LEVELS, "bits")
    if rate is None or bits is None:
        return None
    level = 20 * log10(quantisation_noise(full_scale=1.0, bits=bits))
    return mean_density_level(level=level, bandwidth=rate / 2)


def _water(facts: Facts) -> Curve | None:
    """The water by the curves that the rig names, in decidecades, where they hold."""
    node = _answered(facts, WATER)
    if node is None:
        return None
    given = node.given.values
    departure = node.given.tolerances.get("departure")
    usual = float(given["departure"])
    ends = departure.ends(usual) if departure else (usual, usual)
    sides = [
        {**{name: given[name] for name in WATER_INPUTS}, "departure": d} for d in (usual, *ends)
    ]
    edges = decades(*WATER_BAND, WATER_POINTS)
    found: list[tuple[float, Range]] = []
    for low, high in pairwise(edges):
        bands = [water_in_band(values, low, high) for values in sides]
        known = [b for b in bands if b is not None]
        if len(known) == len(bands) and known[0].high / known[0].low > (high / low) ** 0.5:
            levels = (mean_density_level(level=b.level, bandwidth=b.high - b.low) for b in known)
            found.append(((known[0].low * known[0].high) ** 0.5, Range(*levels)))
    if not found:
        return None
    return Curve(tuple(f for f, _ in found), tuple(level for _, level in found))


def _plan(facts: Facts) -> Plan:
    """The plan as far as it is stated; without a schedule, the recorder was to run throughout."""
    duration = _number(facts, WINDOW, "duration") or _number(facts, STORAGE, "planned_time")
    node = _answered(facts, WINDOW)
    started = continuous = scheduled = None
    zone = 0.0
    windows: tuple[tuple[float, float], ...] = ()
    if node is not None and duration:
        values = node.given.values
        zone = float(values["time_zone"])
        started = float(values["first_day"]) * DAY + float(values["start_time"]) - zone
        continuous = values["schedule"] == "continuous"
        scheduled = _number(facts, WINDOW, "scheduled_time")
        windows = _windows(node, duration)
    return Plan(
        started=started,
        zone=zone,
        duration=duration,
        windows=windows,
        scheduled=duration if scheduled is None else scheduled,
        continuous=continuous is not False,
        file_length=_number(facts, STORAGE, "file_length"),
        rate=_number(facts, STORAGE, "sample_rate"),
        bits=_number(facts, STORAGE, "bit_depth"),
        channels=_number(facts, STORAGE, "channels"),
    )


def _windows(node: Node, duration: float) -> tuple[tuple[float, float], ...]:
    """When the recorder was to record, after its start; turns of a period one by one."""
    values = node.given.values
    table = timetable(values, duration)
    if table.part == 1 or values["schedule"] != "duty":
        return tuple(table.windows)
    on_time, period = float(values["on_time"]), float(values["period"])
    turns = min(int(duration / period) + 1, MOST_TURNS)
    starts = (number * period for number in range(turns))
    return tuple((at, min(at + on_time, duration)) for at in starts if at < duration)
