"""The deployment as a picture over time: plan, nights, schedule, battery, card, clock."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf, isfinite
from typing import Literal

from calculators.cards.window import Timetable, lasts, timetable
from calculators.drawing import Drawing
from calculators.rig.facts import Fact, Facts, Found, Unknown
from calculators.rig.lanes import Bar, Lane, Lanes, Mark, draw
from calculators.units import format_display

WINDOW, RUNTIME, STORAGE, CLOCK = (
    "deployment-window", "runtime", "recording-storage", "clock-drift"
)  # fmt: skip

DAY, HOUR = 86400.0, 3600.0
HOURS_UP_TO = 3 * DAY
"""A shorter picture counts hours."""

REACH = 2.0
"""Battery and card are followed through so many planned times."""

LONGEST = 1.6
"""The axis ends after so many planned times at most."""


@dataclass(frozen=True)
class End:
    """One thing that ends the recording, in seconds after the recorder starts.

    Infinity stands for an end that lies beyond ``REACH`` planned times.
    """

    name: Literal["battery", "card", "plan"]
    at: float
    low: float
    high: float


WORDS = {"battery": "battery spent", "card": "card full", "plan": "planned end"}


def planned(facts: Facts) -> Fact | None:
    """The planned time, as whichever calculator asks for it has it."""
    places = ((WINDOW, "duration"), (RUNTIME, "planned_time"), (STORAGE, "planned_time"))
    found = (facts.fact(*place) for place in places)
    return next((fact for fact in found if fact and not fact.usual), None)


def ends(facts: Facts) -> list[End]:
    """What ends the recording, the earliest first; what is not known is left out."""
    plan = planned(facts)
    found = [_end(facts, "battery", RUNTIME, "runtime", "battery_time", plan)]
    found += [_end(facts, "card", STORAGE, "recording_time", "card_time", plan)]
    if plan:
        found.append(End("plan", plan.number, *plan.ends))
    return sorted((end for end in found if end), key=lambda end: end.at)


def _end(
    facts: Facts,
    name: Literal["battery", "card"],
    card: str,
    output: str,
    window_input: str,
    plan: Fact | None,
) -> End | None:
    """By the schedule where there is one, else as if it recorded without a pause."""
    if facts.answered(WINDOW) and plan:
        spent = facts.fact(WINDOW, window_input)
        if spent is None or spent.usual:
            return None
        values, reach = facts.nodes[WINDOW].given.values, REACH * plan.number
        low, high = spent.ends
        times = [lasts(values, name, seconds, reach) for seconds in (spent.number, low, high)]
        return End(name, *times)
    worked_out = facts.fact(card, output)
    return End(name, worked_out.number, *worked_out.ends) if worked_out else None


def timeline(facts: Facts, system: str) -> tuple[Drawing | None, list[str]]:
    """The picture, None where nothing of it is known, and what is left out of it."""
    found, plan = ends(facts), planned(facts)
    left_out = list(_left_out(facts, found, plan))
    if not found:
        return None, left_out
    high = _reach(found, plan)
    return draw(_lanes(facts, found, plan, high, system)), left_out


def _left_out(facts: Facts, found: list[End], plan: Fact | None) -> Iterator[str]:
    names = {end.name for end in found}
    if plan is None:
        yield "Planned time: not stated"
    if not facts.answered(WINDOW):
        yield f"Nights and schedule: {_why(facts.find(WINDOW, 'coverage'))}"
    if "battery" not in names:
        yield f"Battery: {_why(facts.find(RUNTIME, 'runtime'))}"
    if "card" not in names:
        yield f"Card: {_why(facts.find(STORAGE, 'recording_time'))}"
    if not facts.answered(CLOCK) or plan is None:
        yield f"Clock: {_why(facts.find(CLOCK, 'time_error'))}"


def _why(found: Found) -> str:
    return found.why if isinstance(found, Unknown) else "not in this rig"


def _reach(found: list[End], plan: Fact | None) -> float:
    """Where the axis ends: a little after the last end that is near enough to be shown."""
    last = max(min(end.high, 1e12) for end in found)
    if plan is None:
        return 1.05 * last
    return min(max(1.05 * last, 1.1 * plan.number), LONGEST * plan.number)


def _lanes(facts: Facts, found: list[End], plan: Fact | None, high: float, system: str) -> Lanes:
    unit, name = (HOUR, "Hours") if high <= HOURS_UP_TO else (DAY, "Days")
    table = _table(facts, high)
    lanes = [
        *_plan_lane(plan, unit, system),
        *(_night_lanes(facts, table, unit) if table else []),
        *(_end_lane(end, plan, high, unit) for end in found if end.name != "plan"),
        *_clock_lane(facts, plan, unit, system),
    ]
    first = found[0]
    shown = [end for end in found if end.name == "plan" or end is first]
    return Lanes(
        title="The deployment over time, and what ends it",
        description=" ".join(_words(facts, found, plan, table, system)),
        axis=f"{name} after the recorder starts",
        low=0.0,
        high=high / unit,
        lanes=lanes,
        marks=[Mark(at=end.at / unit, text=WORDS[end.name]) for end in shown],
    )


def _table(facts: Facts, high: float) -> Timetable | None:
    if not facts.answered(WINDOW):
        return None
    return timetable(facts.nodes[WINDOW].given.values, high)


def _plan_lane(plan: Fact | None, unit: float, system: str) -> list[Lane]:
    if plan is None:
        return []
    bar = Bar(start=0.0, end=plan.number / unit, kind="water")
    return [Lane(words=f"Planned: {plan.text(system)}", bars=[bar])]


def _night_lanes(facts: Facts, table: Timetable, unit: float) -> list[Lane]:
    dark = [Bar(start=a / unit, end=b / unit, kind="night") for a, b in table.nights]
    on = [Bar(start=a / unit, end=b / unit, kind="room") for a, b in table.windows]
    return [
        Lane(words="Sun below the horizon", bars=dark),
        Lane(words=f"Schedule: {_schedule(facts)}", bars=on),
    ]


def _schedule(facts: Facts) -> str:
    """The kind of schedule in a few words."""
    kind = facts.nodes[WINDOW].given.values["schedule"]
    if kind == "duty":
        on_time, period = (facts.fact(WINDOW, key) for key in ("on_time", "period"))
        if on_time and period:
            return f"{on_time.text('metric')} in {period.text('metric')}"
    return {"night": "by night", "daily": "every day", "continuous": "around the clock"}.get(
        str(kind), "in turns"
    )


def _end_lane(end: End, plan: Fact | None, high: float, unit: float) -> Lane:
    """Room up to the early end, in doubt up to the late one, lost from there to the plan's."""
    low, late = (min(x, high) / unit for x in (end.low, end.high))
    last = plan.number / unit if plan else late
    return Lane(
        words=f"{end.name.capitalize()}: {_time(end)}",
        bars=[
            Bar(start=0.0, end=low, kind="room"),
            Bar(start=low, end=late, kind="doubt"),
            Bar(start=late, end=last, kind="lost"),
        ],
    )


def _time(end: End) -> str:
    """Its end with the range, as far as it was followed."""
    if not isfinite(end.low):
        return "lasts more than twice as long"
    ends = [format_display(x, "s", 2) if isfinite(x) else "far beyond" for x in (end.low, end.high)]
    if ends[0] == ends[1]:
        return ends[0]
    return f"{ends[0]} to {ends[1]}"


def _clock_lane(facts: Facts, plan: Fact | None, unit: float, system: str) -> list[Lane]:
    error = facts.fact(CLOCK, "time_error")
    if error is None or plan is None:
        return []
    bar = Bar(start=0.0, end=plan.number / unit, kind="doubt", grows=True)
    return [Lane(words=f"Clock at the end: {error.text(system)}", bars=[bar])]


def _words(
    facts: Facts, found: list[End], plan: Fact | None, table: Timetable | None, system: str
) -> list[str]:
    """The same in words."""
    said = [f"Planned are {plan.text(system)}."] if plan else []
    if table:
        windows = "1 window" if len(table.windows) == 1 else f"{len(table.windows)} windows"
        said.append(f"Schedule: {_schedule(facts)}, {windows} as far as is drawn.")
    for end in found:
        if end.name != "plan":
            how = "by this schedule" if table else "recording without a pause"
            said.append(f"{end.name.capitalize()}, {how}: {_time(end)}.")
    error, day = (facts.fact(CLOCK, key) for key in ("time_error", "error_per_day"))
    if error and day:
        said.append(
            f"The clock is off by {error.full_text(system)} at the end, {day.text(system)} a day."
        )
    return [*said, _first(found)]


def _first(found: list[End]) -> str:
    """What ends it, and whether something else may."""
    first, earliest = found[0], min(found, key=lambda end: end.low)
    if first.at == inf:
        return "Nothing that is known ends it."
    said = f"First comes: {WORDS[first.name]}."
    if earliest.name != first.name and earliest.low < first.low:
        said += f" At the worst ends of the ranges: {WORDS[earliest.name]}."
    return said
