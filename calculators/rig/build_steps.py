"""Every step that a rig may need: words, what is asked of the rig, which cautions belong to it."""

from dataclasses import dataclass

from calculators.rig.hazards import CELLS, HEADPHONES, RECOVERED, SOLDERING, SOLVENTS, Hazard
from calculators.rig.sheet import Ask, asks


@dataclass(frozen=True)
class Plan:
    """A step of any rig. ``cards`` are the calculators whose cautions belong to it.

    Words hold no numbers: those of the rig stand beside them, those of the craft in the chapter.
    """

    title: str
    page: str
    cards: tuple[str, ...]
    hazards: tuple[Hazard, ...]
    todo: tuple[str, ...]
    asked: tuple[Ask, ...]
    tests: tuple[str, ...]
    proof: tuple[Ask, ...] = ()


PLANS = (
    Plan(
        "Element",
        "build/element.md",
        ("element-response",),
        (SOLDERING,),
        (
            "Short the leads before you handle an element; the short comes off only while the "
            "meter is on.",
            "Measure capacitance and loss tangent of each, find the poles and mark them, match "
            "the elements of a pair.",
            "Solder the leads, close the ends, insulate both joints, let a pull reach the cable's "
            "jacket first.",
        ),
        (
            Ask("recording-storage", "channels", "Elements, one for each of these channels"),
            *asks(
                "element-response", "shape", "outer_diameter", "thickness", "length", "width",
                "poling", "ends", "core", "pressed", "connection",
            ),
        ),
        (
            "Each capacitance lies within its range, and is after the soldering what it was "
            "before; the loss has not risen.",
            "The marked electrode is the right one, and both elements jump the same way.",
        ),
        (
            Ask("corner-frequency", "element_capacitance", "Capacitance, as stated"),
            Ask("element-response", "capacitance", "Capacitance by its dimensions"),
            Ask("front-end-noise", "loss_tangent"),
        ),
    ),
    Plan(
        "Front end",
        "build/board.md",
        ("supply-split", "corner-frequency", "level-chain"),
        (SOLDERING, HEADPHONES),
        (
            "Build from the battery towards the input, and test each part before the next.",
            "Test with a capacitor in the place of element and cable, the board in its closed box.",
        ),
        (
            *asks("corner-frequency", "bias_resistance", "output_capacitance"),
            *asks(
                "supply-split", "upper_resistance", "lower_resistance", "ground_capacitance",
                "supply_capacitance", "supply_voltage", "cutoff_voltage",
            ),
            *asks("front-end-noise", "gain", "voltage_noise"),
            Ask("corner-frequency", "source_capacitance", "Capacitor in the element's place"),
        ),
        (
            "Low corner inside its range; hiss only: no hum, no ticking, no radio.",
            "Raised until it clips, on the emptiest battery, it clips evenly and not before the "
            "swing below.",
            "After a knock it comes back within the settling time.",
        ),
        (
            Ask("corner-frequency", "combined_corner", "Low corner"),
            Ask("corner-frequency", "settling_time", "Settling time"),
            Ask("front-end-noise", "recorder_band_noise", "Noise at the recorder, in its band"),
            Ask("front-end-noise", "equivalent_noise_level"),
            Ask("supply-split", "peak_end", "Swing on the emptiest battery, peak"),
            Ask("supply-split", "divider_current"),
        ),
    ),
    Plan(
        "Cable",
        "build/cable-and-shield.md",
        (),
        (SOLDERING, SOLVENTS),
        (
            "Measure the cable alone, then join it to the element: outer electrode to the braid.",
            "Fill the strands with solder where the cable enters the resin, and once more where "
            "it enters the case.",
            "Wash off all flux, and dry.",
        ),
        (
            Ask("cable-capacitance", "length"),
            Ask("corner-frequency", "cable_capacitance"),
            *asks("cable-seal", "jacket_diameter", "pull", "side_pull"),
        ),
        (
            "Joined, element and cable together measure what both did apart; the insulation is "
            "what it was.",
        ),
        (Ask("corner-frequency", "loading_loss"),),
    ),
    Plan(
        "Potting",
        "build/potting.md",
        ("resin-batch", "resin-times", "bubble-resonance"),
        (),
        (
            "Try the resin on a piece of this cable first, and pot a dummy to saw it open.",
            "Measure the mould's volume with water, and dry it.",
            "Weigh A, then B onto it; stir, scrape, degas, pour in a thread; one pour at a time.",
            "Let each pour gel and cool before the next, and the last one cure before any load, "
            "cold or water: as long as stated here, longer on a colder bench.",
        ),
        (
            *asks(
                "resin-batch", "mould", "diameter", "core_diameter", "gap", "length", "width",
                "height", "mix_basis", "parts_a", "parts_b", "pours",
            ),
            Ask("resin-batch", "mass_a", "Part A for each pour"),
            Ask("resin-batch", "mass_b", "Part B for each pour"),
            Ask("resin-batch", "pour_volume", "Mixed for each pour"),
            Ask("resin-batch", "total_mass_a", "Part A in all"),
            Ask("resin-batch", "total_mass_b", "Part B in all"),
            *asks("resin-batch", "waste", "ratio_tolerance"),
            Ask("resin-batch", "coarsest_step", "Step of the balance, at the coarsest"),
            Ask("element-response", "coat_thickness", "Coat around the element"),
            Ask("resin-times", "pot_life"),
            Ask("resin-times", "handling_time"),
            Ask("resin-times", "next_pour"),
            Ask("resin-times", "full_cure"),
            Ask("resin-times", "cured_after", "Last pour cured, after the first"),
        ),
        (
            "Cured as the sheet says, a thumbnail leaves no mark; no bubble lies on ceramic, "
            "jacket or wires.",
            "Capacitance and insulation are after the soak in salt water what they were before.",
        ),
        (
            Ask("corner-frequency", "element_capacitance", "Capacitance of the element"),
            Ask("bubble-resonance", "resonance", "A bubble that may stay rings at"),
            Ask("bubble-resonance", "diameter", "That bubble's diameter"),
        ),
    ),
    Plan(
        "Case",
        "seal/case.md",
        ("lid-under-pressure", "tube-under-pressure"),
        (SOLDERING,),
        (
            "Read its marks, lay a straight edge on the rim, look at the seat under a low lamp.",
            "Measure lid, walls and openings; settle with cardboard where the holes go, and only "
            "then drill.",
        ),
        (
            *asks(
                "case-fit", "case_shape", "inner_length", "inner_width", "inner_height",
                "inner_diameter",
            ),
            *asks("lid-under-pressure", "lid", "length", "width", "diameter", "thickness"),
            Ask("tube-under-pressure", "inner_diameter", "Inner diameter of the tube"),
            Ask("tube-under-pressure", "thickness", "Wall of the tube"),
            Ask("tube-under-pressure", "length", "Free length of the tube"),
        ),
        (
            "Empty, on a line, in water at its depth but never below the depth limit, the lid goes "
            "in no farther than stated here, and comes back.",
        ),
        (
            Ask("lid-under-pressure", "depth", "Depth"),
            Ask("lid-under-pressure", "depth_limit", "Depth limit of the lid"),
            Ask("lid-under-pressure", "deflection", "Deflection of the lid's centre"),
            Ask("lid-under-pressure", "gap", "Gap at the gasket"),
            Ask("tube-under-pressure", "depth_limit", "Depth limit of the tube"),
        ),
    ),
    Plan(
        "Seals: cable through the wall",
        "seal/cable.md",
        ("cable-seal",),
        (SOLDERING, SOLVENTS),
        (
            "Prepare a coupon of the same cable, wall and resin beside the real one.",
            "Drill, wipe, sand, wipe; thread the cable before it is soldered to the board; block "
            "its strands in the moat.",
            "Fill from one side, leave it alone until it has cured through, fit the strain relief.",
        ),
        (
            *asks(
                "cable-seal", "side", "hole_fill", "hole_diameter", "moat_diameter", "moat_height",
                "wall_thickness", "cure_temperature",
            ),
            Ask("resin-times", "seal_cure", "Full cure"),
        ),
        (
            "The coupon's fillet does not come off under a thumbnail, and it bears the pull by "
            "the factor wanted.",
        ),
        asks("cable-seal", "pull", "safety", "design_factor"),
    ),
    Plan(
        "Seals: O-ring",
        "seal/o-rings.md",
        ("o-ring-gland",),
        (),
        (
            "Measure groove, gap and ring, where they are closed and as warm as stated.",
            "Clean, look under a low lamp, grease thinly, lay the ring in without a twist.",
            "Close, open, look at the print that it left, close again.",
        ),
        asks(
            "o-ring-gland", "seal", "ring_inner_diameter", "ring_section", "groove_depth",
            "groove_width", "groove_diameter", "bore_diameter", "plug_diameter", "gap",
            "measured_at",
        ),
        ("Worked out again with what you measured, squeeze and fill stay within what is wanted.",),
        asks(
            "o-ring-gland", "squeeze_nominal", "squeeze_least", "least_squeeze", "squeeze_most",
            "most_squeeze", "groove_fill", "ring_stretch", "widest_gap",
        ),
    ),
    Plan(
        "Leak test",
        "test/leak-test.md",
        ("leak-budget", "leak-rate"),
        (RECOVERED,),
        (
            "First empty, then wired and without cells, last at depth on a line, with weights in "
            "the place of what is inside.",
            "Witness paper inside, the case dry and as warm as stated.",
        ),
        asks(
            "leak-budget", "test", "temperature_test", "soak_depth", "soak_density",
            "soak_duration", "mass_seen", "spot_seen", "test_pressure", "bubble_diameter",
            "bubble_interval", "channel_state",
        ),
        (
            "It passes with less than the limit, if the test could have shown that limit: deep and "
            "long enough, or with gas held so long that the leak would have moved the gauge.",
        ),
        (
            Ask("leak-budget", "allowed_ingress", "Water that may get in"),
            Ask("resin-times", "wet_after", "First soak, after the first pour, at the earliest"),
            Ask("leak-budget", "needed_time", "A test as this lasts, at the least"),
            Ask("leak-budget", "mass_seen", "It passes with a gain in mass below"),
            Ask("leak-budget", "spot_seen", "It passes with less on the paper than"),
            Ask("leak-budget", "needed_leak_rate", "A hold must rule out a leak rate of"),
            Ask("leak-budget", "leak_limit", "It passes with a leak rate below"),
            Ask("leak-budget", "needed_depth", "A soak must be as deep as"),
            Ask("leak-budget", "needed_gain", "A soak must be able to show"),
            Ask("leak-budget", "unseen_ingress", "Could go unseen by this test"),
        ),
    ),
    Plan(
        "Fitting it all in",
        "seal/fitting.md",
        ("case-fit", "runtime", "condensation"),
        (CELLS, HEADPHONES),
        (
            "Cardboard first, then the real parts: heaviest at the bottom, desiccant last.",
            "The whole chain with the case open: noise, gain, a tap on each hydrophone, then a run "
            "to the end, cold if the water is.",
        ),
        (
            *asks("case-fit", "spare_length", "needed_length", "free_volume"),
            Ask("condensation", "desiccant_units", "Desiccant, in whole units", whole=True),
            Ask("condensation", "humidity_closed", "Humidity at closing"),
            Ask("condensation", "clear_humidity", "Stays clear if closed below"),
            *asks("recording-storage", "sample_rate", "bit_depth", "channels"),
            Ask("level-chain", "recorder_gain"),
        ),
        (
            "The run to the end lies inside its range, and its last file can be read.",
            "Noise floor and level in the file are as worked out.",
        ),
        (
            Ask("runtime", "runtime", "Runtime"),
            Ask("recording-storage", "recording_time", "Recording time of the card"),
            *asks("level-chain", "noise_floor", "clip_level", "system_sensitivity"),
        ),
    ),
    Plan(
        "Ballast, line and anchor",
        "deploy/buoyancy.md",
        ("ballast", "mooring-load"),
        (),
        (
            "Weigh the closed case under water with all that will hang on it.",
            "Fix the ballast low and outside, fast, and so that you can take it off alone.",
            "Trim it ashore: it hangs level, and when let go it sinks, or floats, as is wanted.",
        ),
        (
            Ask("ballast", "present_weight"),
            Ask("ballast", "ballast_mass", "Ballast to fix to it", mass_to_add=True),
            *asks("ballast", "ballast_density", "ballast_height", "hold_height"),
            *asks("mooring-load", "line_length", "line_diameter", "line_strength", "buoy_lift"),
            Ask("mooring-load", "anchor_laid", "Anchor to lay, weighed in air"),
            Ask("mooring-load", "anchor_mass", "Anchor that it takes", mass_to_add=True),
        ),
        (
            "Under water it weighs what is wanted, and comes upright when tilted.",
            "Two can lift what it weighs when flooded.",
        ),
        (
            Ask("ballast", "wanted_weight"),
            Ask("ballast", "dry_mass"),
            Ask("ballast", "righting_arm"),
            Ask("ballast", "flooded_mass"),
            Ask("ballast", "lift_limit"),
        ),
    ),
)  # fmt: skip
"""Every step that a rig may need, in the order of the work."""
