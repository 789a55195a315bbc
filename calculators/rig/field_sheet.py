"""The field sheet: one page for the water, with the rig's numbers and room to write."""

from collections.abc import Iterable

from calculators.formulas.sound_speed import freezing_point
from calculators.rig.facts import Fact, Facts, Unknown
from calculators.rig.hazards import ICE, LAST_WORD, LINES, RECOVERED, WATER, Hazard
from calculators.rig.model import Stated
from calculators.rig.sheet import Ask, Sheet, Ticks, Values, Writing, cautions, code, value_of

PLACE = (
    Ask("leak-budget", "depth", "Depth of the rig"),
    Ask("mooring-load", "water_depth", "Depth at low water"),
    Ask("mooring-load", "tide_range", "Rise to high water"),
    Ask("sound-speed", "water", "Water"),
    Ask("leak-budget", "temperature_water", "Temperature of the water"),
    Ask("deployment-window", "latitude", "Latitude"),
    Ask("deployment-window", "longitude", "Longitude"),
    Ask("sound-speed", "depth", "Depth of the hydrophones"),
    Ask("hydrophone-spacing", "spacing", "Spacing of the hydrophones"),
)

TIMES = (
    Ask("runtime", "planned_time", "Planned time"),
    Ask("deployment-window", "first_day", "First day"),
    Ask("deployment-window", "start_time", "Recorder starts"),
    Ask("deployment-window", "schedule", "Schedule"),
    Ask("deployment-window", "first_window_start", "First window opens"),
    Ask("deployment-window", "first_window_end", "First window closes"),
    Ask("deployment-window", "recording_end", "Last recorded moment"),
    Ask("runtime", "runtime", "Batteries last"),
    Ask("recording-storage", "recording_time", "Card lasts"),
)

SETTINGS = (
    Ask("level-chain", "recorder_gain", "Recorder gain"),
    Ask("recording-storage", "sample_rate", "Sample rate"),
    Ask("recording-storage", "bit_depth", "Bits a sample"),
    Ask("recording-storage", "channels", "Channels"),
    Ask("recording-storage", "card_capacity", "Card"),
    Ask("recording-storage", "file_length", "Length of one file"),
)

WEIGHTS = (
    Ask("ballast", "wanted_weight", "Weight wanted in water"),
    Ask("ballast", "ballast_mass", "Ballast", mass_to_add=True),
    Ask("ballast", "dry_mass", "Mass in air with ballast"),
    Ask("ballast", "flooded_mass", "Lift when flooded"),
    Ask("mooring-load", "anchor_laid", "Anchor to lay, weighed in air"),
    Ask("mooring-load", "anchor_mass", "Anchor that it takes", mass_to_add=True),
    Ask("mooring-load", "line_length", "Line"),
    Ask("mooring-load", "excursion", "Upper end carried sideways"),
)

COMPARE = (
    Ask("lid-under-pressure", "depth_limit", "Depth limit of the lid"),
    Ask("tube-under-pressure", "depth_limit", "Depth limit of the tube"),
    Ask("corner-frequency", "combined_corner", "Low corner"),
    Ask("level-chain", "noise_floor", "Noise floor in the band"),
    Ask("level-chain", "clip_level", "Clips at, zero-to-peak"),
    Ask("level-chain", "system_sensitivity", "System sensitivity"),
    Ask("clock-drift", "error_per_day", "Clock, a day"),
    Ask("clock-drift", "time_error", "Clock at the end"),
    Ask("condensation", "clear_humidity", "No fog if closed below"),
)

LEAVING = (
    "Weather, water, ice and people looked at; the limit for turning back agreed.",
    "Somebody ashore knows where, who and until when.",
    "Supplies sound, full or new; voltages written below.",
    "Card empty; rate, bits, channels and gain read aloud as above.",
    "Recorder running, counter going up; a tap heard on each channel, phones then off.",
    "Clock compared; time mark made and written below.",
    "Lid: gap even all round, latches locked, vent shut; each touched.",
    "Nothing pulls on lid, gland or hydrophone; nothing knocks.",
    "All that goes into the water a minute under it: no stream of bubbles; those that cling wiped "
    "off.",
)

LOWERED = (
    "Line flaked, nobody in its loops; lowered, not thrown.",
    "On the bottom: depth read, line neither tight nor floating.",
)

HUNG = (
    "Hydrophones lowered by hand, nobody in the loops of their cable.",
    "Their depth read.",
)

RAISED = (
    "Mark looked at first: moved, drawn under, slack?",
    "Time mark before it is touched.",
    "Up slowly, by the line; heavier than it went in: keep it in the water.",
    "Bubbles looked for in the last metre; the side noted.",
    "Not opened here; lid away from everybody, out of the sun.",
    "Anchor, line and mark ashore and counted; those at home told.",
)

TAKEN_IN = (
    "Time mark before it is touched.",
    "Hydrophones up by hand, slowly.",
    "Case looked at: bubbles, water inside, heavier than it was?",
    "Not opened here; lid away from everybody, out of the sun.",
    "All that went out is back and counted; those at home told.",
)

TEMPERATURES = (
    "site.coldest_temperature",
    "site.surface_temperature",
    "site.water_temperature",
)

FREEZING = freezing_point(salinity=0.0, gauge_pressure=0.0)
"""°C, of fresh water: it may lie on the sea, which freezes a little below."""

BEFORE = (
    "Place, water", "Date, people", "Telephone on the gear", "Supplies before, V",
    "Clock less true time, before", "Time mark", "Position, twice", "Depth read",
    "Water temperature", "Weather, wind", "Time in",
)  # fmt: skip

AFTER = (
    "Time out", "Time mark", "Clock less true time, after", "Supplies after, V",
    "Weight gained", "Seen, heard",
)  # fmt: skip


def field_sheet(facts: Facts, system: str, link: str = "") -> Sheet:
    """One page for the water. ``link`` is the address that opens this rig, if there is one."""
    moored = facts.has("mooring-load")
    return Sheet(
        "field",
        "Field sheet",
        facts.rig.name,
        LAST_WORD,
        (
            _values(facts, "Place", PLACE, system),
            _values(facts, "Plan", TIMES, system),
            _values(facts, "Settings", SETTINGS, system),
            _values(facts, "Weight, line, anchor", WEIGHTS, system),
            _values(facts, "Numbers to compare with", COMPARE, system),
            Ticks(
                "Before leaving",
                _at_the_water(facts),
                LEAVING + (LOWERED if moored else HUNG),
            ),
            Writing("By hand, on the way out", BEFORE),
            Ticks("Recovery", (RECOVERED,), RAISED if moored else TAKEN_IN),
            Writing("By hand, on the way back", AFTER),
            code(link, facts.rig.name),
        ),
        pages=1,
    )


def _values(facts: Facts, title: str, asked: Iterable[Ask], system: str) -> Values:
    """What is known; the rest as blanks, for what the rig does not state is known at the water."""
    values, blanks = [], []
    for ask in asked:
        found = facts.find(ask.card, ask.key)
        if isinstance(found, Fact) and not found.usual:
            values.append(value_of(ask, found, system))
        elif isinstance(found, Unknown):
            blanks.append(ask.label)
    return Values(title, tuple(values), tuple(blanks))


def _at_the_water(facts: Facts) -> tuple[Hazard, ...]:
    """What can hurt at the water, in few enough words for one page."""
    of_window = cautions(facts, ["deployment-window"])
    lines = (LINES,) if facts.has("mooring-load") else ()
    return (WATER, *((ICE,) if _may_freeze(facts) else ()), *lines, *of_window)


def _may_freeze(facts: Facts) -> bool:
    """Whether there may be ice: a stated temperature of the site reaches it, or none is stated."""
    found = [facts.rig.stated[key] for key in TEMPERATURES if key in facts.rig.stated]
    return not found or any(_low_end(one) <= FREEZING for one in found)


def _low_end(stated: Stated) -> float:
    value = float(stated.value)
    return stated.tolerance.ends(value)[0] if stated.tolerance else value
