"""The parts list: what to get for a rig, how much of it, and what matters about it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from calculators.declare import row_key
from calculators.registry import CALCULATORS
from calculators.rig.facts import Facts
from calculators.rig.schema import SECTIONS
from calculators.rig.sheet import Ask, Part, Parts, Sheet, asks, collect, plain_label


@dataclass(frozen=True)
class Plan:
    """A part of any rig: ``rows`` names calculator and group where it stands once for each row."""

    section: str
    name: str
    asked: tuple[Ask, ...]
    quantity: Ask | None = None
    rows: tuple[str, str] | None = None


CHANNELS = Ask("recording-storage", "channels", "channels")

PLANS = (
    Plan(
        "element",
        "Element, for each channel",
        (
            *asks(
                "element-response", "shape", "outer_diameter", "thickness", "length", "width",
                "poling", "ends", "core", "pressed", "connection", "permittivity",
            ),
            Ask("corner-frequency", "element_capacitance"),
            Ask("level-chain", "sensitivity_level"),
            Ask("front-end-noise", "loss_tangent"),
        ),
        CHANNELS,
    ),
    Plan(
        "potting",
        "Resin, part A",
        (
            *asks("resin-batch", "mix_basis", "parts_a", "density_a", "waste", "pours"),
            *asks("resin-times", "pot_life", "full_cure"),
        ),
        Ask("resin-batch", "total_mass_a", "in all, with what stays in the cups"),
    ),
    Plan(
        "potting",
        "Resin, part B",
        asks("resin-batch", "parts_b", "density_b"),
        Ask("resin-batch", "total_mass_b", "in all, with what stays in the cups"),
    ),
    Plan(
        "potting",
        "That resin, cured",
        asks("element-response", "resin_density", "resin_sound_speed", "resin_shear_modulus"),
    ),
    Plan(
        "potting",
        "Mould",
        asks(
            "resin-batch", "mould", "diameter", "core_diameter", "gap", "length", "width", "height",
        ),
    ),
    Plan(
        "potting",
        "Balance",
        (Ask("resin-batch", "coarsest_step", "Step, at the coarsest"),),
    ),
    Plan(
        "cable",
        "Cable, for each channel",
        (
            Ask("cable-capacitance", "length"),
            Ask("corner-frequency", "cable_capacitance"),
            *asks("cable-seal", "jacket_diameter", "jacket_modulus", "pull"),
        ),
        CHANNELS,
    ),
    Plan(
        "front_end",
        "Bias resistor",
        asks("corner-frequency", "bias_resistance"),
        CHANNELS,
    ),
    Plan(
        "front_end",
        "Output capacitor",
        asks("corner-frequency", "output_capacitance"),
        CHANNELS,
    ),
    Plan(
        "front_end",
        "Amplifier",
        (
            *asks(
                "front-end-noise", "voltage_noise", "noise_corner", "current_noise",
                "input_capacitance", "gain",
            ),
            *asks("supply-split", "bias_current", "upper_headroom"),
            Ask("supply-split", "lower_headroom", "What it keeps from the negative end"),
            *asks("supply-split", "supply_voltage", "cutoff_voltage"),
        ),
        Ask("supply-split", "channels", "buffers"),
    ),
    Plan(
        "front_end",
        "Middle of the supply",
        asks(
            "supply-split", "upper_resistance", "lower_resistance", "ground_capacitance",
            "supply_capacitance",
        ),
    ),
    Plan(
        "recorder",
        "Recorder",
        (
            *asks("recording-storage", "channels", "sample_rate", "bit_depth"),
            *asks(
                "level-chain", "recorder_full_scale", "recorder_input_limit",
                "recorder_input_noise", "recorder_gain",
            ),
            Ask("corner-frequency", "recorder_input_resistance"),
            *asks("clock-drift", "rate_offset", "ageing"),
        ),
    ),
    Plan(
        "power",
        "Supply",
        asks(
            "runtime", "battery_kind", "battery_capacity", "rated_current", "battery_voltage",
            "usable_fraction", "cutoff_voltage", "converter_efficiency", "shutoff_current",
        ),
        rows=("runtime", "supply"),
    ),
    Plan(
        "power",
        "Load",
        asks(
            "runtime", "load_power", "load_current", "load_voltage", "load_duty", "load_supply",
        ),
        rows=("runtime", "load"),
    ),
    Plan(
        "card",
        "Card",
        asks("recording-storage", "card_capacity", "file_limit", "recording_time"),
    ),
    Plan(
        "case",
        "Case, inside",
        asks(
            "case-fit", "case_shape", "inner_length", "inner_width", "inner_height",
            "inner_diameter", "free_volume",
        ),
    ),
    Plan(
        "case",
        "Lid",
        asks(
            "lid-under-pressure", "lid", "length", "width", "diameter", "thickness", "modulus",
            "working_stress", "depth_limit",
        ),
    ),
    Plan(
        "case",
        "Tube",
        asks(
            "tube-under-pressure", "inner_diameter", "thickness", "length", "modulus",
            "working_stress", "end_thickness", "window_diameter", "window_thickness", "depth_limit",
        ),
    ),
    Plan(
        "case",
        "Part in the case",
        asks("case-fit", "part_kind", "part_length", "part_width", "part_height", "clearance",
              "plug_side", "plug_overhang"),
        Ask("case-fit", "part_count", "to fit"),
        rows=("case-fit", "part"),
    ),
    Plan(
        "case",
        "Desiccant",
        asks("condensation", "unit_capacity", "unit_mass", "desiccant_units", "desiccant_mass"),
        Ask("condensation", "desiccant_units", "in whole units", whole=True),
    ),
    Plan(
        "seals",
        "O-ring",
        asks(
            "o-ring-gland", "ring_inner_diameter", "ring_section", "seal", "groove_depth",
            "groove_width", "groove_diameter", "bore_diameter", "plug_diameter", "gap",
        ),
    ),
    Plan(
        "seals",
        "Cable through the wall",
        asks(
            "cable-seal", "hole_diameter", "moat_diameter", "moat_height", "wall_thickness",
            "jacket_strength", "wall_strength",
        ),
    ),
    Plan(
        "ballast",
        "Ballast",
        asks("ballast", "ballast_density", "ballast_volume", "wanted_weight"),
        Ask("ballast", "ballast_mass", "weighed in air", mass_to_add=True),
    ),
    Plan(
        "mooring",
        "Line",
        asks("mooring-load", "line_diameter", "line_strength", "line_weight", "line_tension"),
        Ask("mooring-load", "line_length", "long"),
    ),
    Plan(
        "mooring",
        "Anchor",
        (
            Ask("mooring-load", "anchor_mass", "It takes, weighed in air", mass_to_add=True),
            *asks("mooring-load", "ballast_density", "holding_weight"),
        ),
        Ask("mooring-load", "anchor_laid", "weighed in air"),
    ),
    Plan("mooring", "Buoy", asks("mooring-load", "buoy_lift", "buoy_area")),
)  # fmt: skip
"""Every part that a rig may have, in the order of its sections."""


def parts_list(facts: Facts, system: str) -> Sheet:
    """What to get, section by section."""
    blocks = []
    for section, title in SECTIONS.items():
        plans = [plan for plan in PLANS if plan.section == section]
        found = tuple(part for plan in plans for part in _parts(facts, plan, system))
        if found:
            blocks.append(Parts(title, found))
    return Sheet(
        "parts",
        "Parts list",
        facts.rig.name,
        "What matters about each part. A range behind a value that is worked out comes from the "
        "tolerances that the rig states.",
        tuple(blocks),
    )


def _parts(facts: Facts, plan: Plan, system: str) -> Iterator[Part]:
    """A part, or one for each row; none where the rig has no such question."""
    for row in range(1, _rows(facts, plan) + 1):
        numbered = _in_row(plan, row)
        found = collect(facts, numbered.asked, system)
        quantity = collect(facts, [numbered.quantity] if numbered.quantity else [], system)
        unknown = (*quantity.unknown, *found.unknown)
        if found.values or unknown:
            first = quantity.values[0] if quantity.values else None
            yield Part(numbered.name, first, found.values, unknown)


def _rows(facts: Facts, plan: Plan) -> int:
    if plan.rows is None:
        return 1
    card, group = plan.rows
    return facts.rows(card, group) if facts.has(card) else 0


def _in_row(plan: Plan, row: int) -> Plan:
    """The same part in a row: its inputs carry the number, its name too."""
    if plan.rows is None:
        return plan
    asked = tuple(_at(ask, row) for ask in plan.asked)
    quantity = _at(plan.quantity, row) if plan.quantity else None
    return replace(plan, name=f"{plan.name}, {row}", asked=asked, quantity=quantity)


def _at(ask: Ask, row: int) -> Ask:
    """One thing asked for, in a row; the part's name has the number, so its label needs none."""
    label = ask.label or plain_label(CALCULATORS[ask.card].inputs_by_name[ask.key].label)
    return replace(ask, key=row_key(ask.key, row), label=label)
