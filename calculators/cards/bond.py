"""A cable through a wall, potted in a ring of resin."""

from dataclasses import replace
from math import exp
from typing import Literal, NamedTuple

from calculators.cards.common import from_table
from calculators.cards.curves import steps
from calculators.cards.dive import DEPTH, WATER_DENSITY, WATER_DENSITY_FILL, gauge_pressure
from calculators.cards.potting import RESIN_CAUTION
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Choice,
    Fill,
    Line,
    Number,
    Option,
    Output,
    Plot,
    Results,
    RigEntry,
    Values,
    Verdict,
)
from calculators.drawing import Dimension, Drawing, Label, Segment, Shape, box
from calculators.formula import remembered
from calculators.formulas import bond as formulas
from calculators.tables.bonds import BONDS, JACKETS, WET_BONDS
from calculators.tables.case_materials import CASE_MATERIALS
from calculators.units import format_display

FACTORS = "adhesive-partial-factors"
"""Source of the design factor."""

POOR = 1e6
"""Strength of a bond, Pa, below which the jacket hardly takes the resin (common practice)."""

REACH = 3
"""Lengths 1/β after which next to all of the load has passed over: 5 % is left."""

WALLS = replace(
    CASE_MATERIALS, rows=tuple(row for row in CASE_MATERIALS.rows if row.name != "en-aw-5754")
)
"""What the wall may be: one aluminium stands for all, as they expand alike."""

PARTS = 60
"""Parts that the curve is drawn in."""


def _cable_seal(
    depth: float,
    water_density: float,
    side: str,
    hole_fill: str,
    jacket_diameter: float,
    clearance: float,
    wall_thickness: float,
    moat_width: float,
    moat_height: float,
    pull: float,
    side_pull: float,
    jacket_strength: float,
    jacket_wet_share: float,
    wall_strength: float,
    wall_wet_share: float,
    design_factor: float,
    jacket_modulus: float,
    jacket_poisson: float,
    jacket_expansion: float,
    resin_modulus: float,
    resin_poisson: float,
    resin_expansion: float,
    wall_expansion: float,
    cure_temperature: float,
    temperature: float,
) -> dict[str, float]:
    hole_diameter = jacket_diameter + clearance
    moat_diameter = hole_diameter + 2 * moat_width
    pressure = gauge_pressure(depth, water_density)
    push = formulas.push_in_force(gauge_pressure=pressure, diameter=jacket_diameter)
    length = moat_height + (wall_thickness if hole_fill == "resin" else 0.0)
    jacket_area = formulas.cylinder_area(diameter=jacket_diameter, length=length)
    average = formulas.average_stress(force=push + pull, area=jacket_area)
    pair = _stiffness(
        jacket_diameter,
        moat_diameter,
        jacket_modulus,
        jacket_poisson,
        resin_modulus,
        resin_poisson,
    )
    jacket_stiffness, resin_stiffness, rate = pair.jacket, pair.resin, pair.rate
    # A moat on the dry side is loaded where it is held: at its foot.
    ratio = (
        min(jacket_stiffness, resin_stiffness) / max(jacket_stiffness, resin_stiffness)
        if side == "outside"
        else 0.0
    )
    edge = formulas.edge_shear(
        average=average, transfer_rate=rate, length=length, stiffness_ratio=ratio
    )
    wall_area = formulas.ring_area(outer_diameter=moat_diameter, inner_diameter=hole_diameter)
    # The water presses a moat outside onto the wall, and lifts one inside off it.
    lift = (
        formulas.push_in_force(gauge_pressure=pressure, diameter=hole_diameter)
        if side == "inside"
        else 0.0
    )
    wall_stress = formulas.average_stress(
        force=lift + pull, area=wall_area
    ) + formulas.bending_stress(
        force=side_pull,
        arm=moat_height,
        outer_diameter=moat_diameter,
        inner_diameter=hole_diameter,
    )
    jacket_safety = formulas.safety_factor(
        strength=jacket_strength, wet_share=jacket_wet_share, stress=edge
    )
    wall_safety = formulas.safety_factor(
        strength=wall_strength, wet_share=wall_wet_share, stress=wall_stress
    )
    strain = _mismatch(
        pair,
        length,
        jacket_diameter,
        (jacket_expansion, resin_expansion, wall_expansion),
        (temperature, cure_temperature),
        (resin_modulus, resin_poisson),
    )
    return {
        "safety": min(jacket_safety, wall_safety),
        "jacket_safety": jacket_safety,
        "wall_safety": wall_safety,
        "hole_diameter": hole_diameter,
        "moat_diameter": moat_diameter,
        "push": push,
        "jacket_area": jacket_area,
        "wall_area": wall_area,
        "jacket_average": average,
        "jacket_edge": edge,
        "wall_stress": wall_stress,
        "transfer_length": 1 / rate,
        "jacket_mismatch": strain.jacket,
        "jacket_thermal": strain.jacket_shear,
        "wall_thermal": strain.wall_stress,
        "jacket_allowable": jacket_wet_share * jacket_strength / design_factor,
        "wall_allowable": wall_wet_share * wall_strength / design_factor,
    }


class _Stiffness(NamedTuple):
    """What jacket and resin carry along the bond, N, and how fast one hands over to the other."""

    jacket: float
    resin: float
    rate: float


@remembered
def _stiffness(
    jacket_diameter: float,
    moat_diameter: float,
    jacket_modulus: float,
    jacket_poisson: float,
    resin_modulus: float,
    resin_poisson: float,
) -> _Stiffness:
    jacket = formulas.held_modulus(
        modulus=jacket_modulus,
        poisson=jacket_poisson,
        resin_modulus=resin_modulus,
        resin_poisson=resin_poisson,
        jacket_diameter=jacket_diameter,
        outer_diameter=moat_diameter,
    ) * formulas.ring_area(outer_diameter=jacket_diameter, inner_diameter=0.0)
    resin = resin_modulus * formulas.ring_area(
        outer_diameter=moat_diameter, inner_diameter=jacket_diameter
    )
    rate = formulas.transfer_rate(
        jacket_diameter=jacket_diameter,
        outer_diameter=moat_diameter,
        jacket_stiffness=jacket,
        resin_stiffness=resin,
        resin_shear_modulus=formulas.shear_modulus(modulus=resin_modulus, poisson=resin_poisson),
        jacket_shear_modulus=formulas.shear_modulus(modulus=jacket_modulus, poisson=jacket_poisson),
    )
    return _Stiffness(jacket, resin, rate)


class _Strain(NamedTuple):
    """What jacket and wall would shrink otherwise than the resin, and the stress that it makes."""

    jacket: float
    jacket_shear: float
    wall_stress: float


@remembered
def _mismatch(
    pair: _Stiffness,
    length: float,
    jacket_diameter: float,
    expansions: tuple[float, float, float],
    temperatures: tuple[float, float],
    resin: tuple[float, float],
) -> _Strain:
    """Expansions of jacket, resin and wall; of service and of cure; modulus and Poisson's ratio."""
    change = dict(zip(("temperature", "cure_temperature"), temperatures, strict=True))
    jacket, of_resin, wall = expansions
    jacket_mismatch = formulas.expansion_mismatch(
        first_expansion=jacket, second_expansion=of_resin, **change
    )
    wall_mismatch = formulas.expansion_mismatch(
        first_expansion=of_resin, second_expansion=wall, **change
    )
    return _Strain(
        jacket_mismatch,
        formulas.mismatch_shear(
            mismatch=jacket_mismatch,
            transfer_rate=pair.rate,
            length=length,
            jacket_diameter=jacket_diameter,
            jacket_stiffness=pair.jacket,
            resin_stiffness=pair.resin,
        ),
        formulas.mismatch_stress(mismatch=wall_mismatch, modulus=resin[0], poisson=resin[1]),
    )


# --- the stress along the bond ---


def _bond_length(values: Values) -> float:
    filled = values["hole_fill"] == "resin"
    return float(values["moat_height"]) + (float(values["wall_thickness"]) if filled else 0.0)


def _along(x: float, edge: float, average: float, rate: float, length: float) -> float:
    """Shear stress at a distance from the loaded end.

    τ = (a cosh β(l − x) + b cosh βx) / sinh βl, with the edge stress and the average that were
    found; in powers of e that only fall, so that nothing overflows.
    """
    whole, end = average * rate * length, exp(-rate * length)
    near = (edge * (1 - end * end) - 2 * end * whole) / (1 - end) ** 2
    falling = exp(-rate * x) + exp(-rate * (2 * length - x))
    rising = exp(-rate * (length - x)) + exp(-rate * (length + x))
    return (near * falling + (whole - near) * rising) / (1 - end * end)


def _stress_along(values: Values, results: Results, system: str) -> Plot:
    length, rate = _bond_length(values), 1 / results["transfer_length"]
    edge, average = results["jacket_edge"], results["jacket_average"]
    allowable = results["jacket_allowable"]
    curve = [(x, _along(x, edge, average, rate, length)) for x in steps(0.0, length, PARTS)]
    at_edge, on_average, allowed = (
        format_display(x, "MPa", 3, system) for x in (edge, average, allowable)
    )
    levels = [(average, f"average {on_average}")]
    top = max(y for _, y in curve)
    if allowable < 3 * top:
        levels.append((allowable, f"allowable {allowed}"))
        top = max(top, allowable)
    return Plot(
        title="Stress along the bond to the jacket",
        description=(
            f"Shear stress over the distance from the loaded end: {at_edge} there, "
            f"{on_average} on average; {allowed} is allowable."
        ),
        x=Axis(label="Distance from the loaded end", unit="mm", domain=(0, length)),
        y=Axis(label="Shear stress", unit="MPa", domain=(0, 1.1 * top)),
        lines=[Line(name="Shear stress", points=curve)],
        levels=levels,
    )


# --- drawing ---


def _cross_section(values: Values, results: Results, system: str) -> Drawing:
    """Wall, hole, moat and cable to scale; the water is above."""
    cable, hole = float(values["jacket_diameter"]) / 2, results["hole_diameter"] / 2
    moat = results["moat_diameter"] / 2
    wall, height = float(values["wall_thickness"]), float(values["moat_height"])
    outside, filled = values["side"] == "outside", values["hole_fill"] == "resin"
    reach = 1.5 * moat
    top = wall + (1.6 * height if outside else 0.6 * height)
    bottom = -0.6 * height if outside else -1.6 * height
    foot = wall if outside else -height
    tail = 0.15 * (top - bottom)
    shapes: list[Shape] = [box(-reach, wall, 2 * reach, top - wall, "water")]
    for left, right in ((-reach, -hole), (hole, reach)):
        shapes.append(box(left, 0.0, right - left, wall, "wall"))
    for left, right in ((-hole, -cable), (cable, hole)):
        shapes.append(box(left, 0.0, right - left, wall, "resin" if filled else "seal"))
    for left, right in ((-moat, -cable), (cable, moat)):
        shapes.append(box(left, foot, right - left, height, "resin"))
    shapes.append(box(-cable, bottom, 2 * cable, top + tail - bottom, "cable"))
    shapes.append(Segment(start=(0.0, bottom), end=(0.0, top + tail), kind="axis"))

    def shown(length: float) -> str:
        return format_display(length, "mm", 3, system)

    # The width of the moat stands on its free side, that of the hole on the other.
    free, other, out = (top, bottom, tail) if outside else (bottom, top, -tail)
    shapes += [
        Dimension(
            start=(-moat, free), end=(moat, free), text=f"moat {shown(2 * moat)}", offset=out
        ),
        Dimension(
            start=(-hole, other), end=(hole, other), text=f"hole {shown(2 * hole)}", offset=-out
        ),
        Dimension(start=(reach, 0.0), end=(reach, wall), text=shown(wall), offset=-tail),
        Dimension(start=(moat, foot), end=(moat, foot + height), text=shown(height), offset=-tail),
        Label(at=(-reach, top + 0.3 * tail), text="water", anchor="start"),
        Label(at=(-reach, bottom - 0.3 * tail), text="inside the case", anchor="start"),
    ]
    return Drawing(
        title="The seal in section",
        description=(
            f"A cable of {shown(2 * cable)} through a hole of {shown(2 * hole)}; on the "
            f"{'wet' if outside else 'dry'} side a ring of resin, {shown(2 * moat)} wide and "
            f"{shown(height)} high."
        ),
        shapes=shapes,
    )


# --- remarks ---


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    first, other = (
        ("jacket", "wall")
        if results["jacket_safety"] <= results["wall_safety"]
        else ("wall", "jacket")
    )
    ratio = results[f"{other}_safety"] / results[f"{first}_safety"]
    times = format_display(ratio, "1", 2, system)
    said = [
        f"The bond to the {first} gives first; the one to the {other} is {times} times as safe.",
        _squeeze(str(values["side"]), values["hole_fill"] == "resin"),
    ]
    length, reach = _bond_length(values), REACH * results["transfer_length"]
    if length > reach:
        said.append(
            f"The first {format_display(reach, 'mm', 2, system)} of the bond carry 95 % of the "
            "load: more height makes the way for the water longer, not the bond stronger."
        )
    alone, both = results["jacket_edge"], results["jacket_edge"] + results["jacket_thermal"]
    if alone <= results["jacket_allowable"] < both:
        said.append(
            "At the edge of the jacket load and temperature together pass the allowable stress, "
            "until the jacket has crept. The safety factor counts the load alone."
        )
    said.append(
        "All this is as good as the strength entered for this resin on this jacket, which the "
        "choice of the jacket does not change. To untreated polyethylene, PTFE and its kin, "
        "and silicone next to nothing holds; what a thumbnail peels off a coupon is no seal, "
        "whatever its factor."
    )
    if float(values["jacket_strength"]) < POOR:
        said.append(
            "The resin hardly holds to this jacket. Treat it, choose another jacket, or clamp it "
            "in a gland."
        )
    return said


def _squeeze(side: str, filled: bool) -> str:
    if side == "outside":
        return (
            "The water presses the resin onto the jacket and the moat onto the wall: depth closes "
            "this seal. A pull on the cable opens it."
        )
    where = "at the mouth of the hole" if filled else "in the hole"
    return (
        f"The water squeezes the jacket thinner {where}, away from the resin, and lifts the moat "
        "off the wall: depth opens this seal. A moat outside is pressed shut."
    )


# --- declaration ---


def _strength(name: str, label: str, row: str, rig: RigEntry) -> Number:
    return from_table(
        BONDS.cell(row, "strength"),
        name=name,
        label=label,
        unit="MPa",
        low="1 kPa",
        high="100 MPa",
        why="hardly any hold to the best of bonds",
        hint="dry, in shear; of this resin, prepared as you will",
        rig=rig,
    )


def _wet_share(name: str, label: str, row: str, rig: RigEntry) -> Number:
    return from_table(
        WET_BONDS.cell(row, "share"),
        name=name,
        label=label,
        unit="",
        low="0.01",
        high="1",
        why="next to nothing to all of it",
        hint="after the time in the water",
        rig=rig,
    )


def _temperature(name: str, label: str, default: str, hint: str, rig: RigEntry) -> Number:
    return Number(
        name=name,
        label=label,
        unit="°C",
        default=default,
        low="-40 °C",
        high="100 °C",
        why="winter on the ice to a hot cure",
        hint=hint,
        rig=rig,
    )


def _holds(level: Literal["care", "fail"], limit: str, met: str, missed: str) -> Verdict:
    return Verdict(
        better="below",
        limit=limit,
        met=f"{met} {{limit}} allowable",
        missed=f"above the {{limit}} allowable: {missed}",
        unsure="may pass the {limit} allowable",
        missed_level=level,
        source=FACTORS,
    )


CABLE_SEAL = Calculator(
    id="cable-seal",
    title="Cable through a wall, potted",
    question="Does the resin hold the cable in the wall?",
    stage="seal",
    inputs=(
        DEPTH,
        WATER_DENSITY,
        Choice(
            name="side",
            label="Moat",
            options=(
                Option(value="outside", label="outside, on the wet side"),
                Option(value="inside", label="inside, on the dry side"),
            ),
            default="outside",
            hint="the ring dam that the resin is poured into",
            rig="seals.cable_moat_side",
        ),
        Choice(
            name="hole_fill",
            label="In the hole round the cable",
            options=(
                Option(value="other", label="a sealant, or nothing: not counted"),
                Option(value="resin", label="the same resin, all through"),
            ),
            default="other",
            rig="seals.cable_hole_fill",
        ),
        Number(
            name="jacket_diameter",
            label="Diameter of the cable",
            unit="mm",
            default="6 mm",
            low="1 mm",
            high="40 mm",
            why="a single wire to a hose",
            hint="over the jacket, measured",
            tolerance="±3 %",
            rig="cable.jacket_diameter",
        ),
        Number(
            name="clearance",
            label="Hole wider than the cable by",
            unit="mm",
            default="0.5 mm",
            low="0.05 mm",
            high="20 mm",
            why="a push fit to a hole made for a plug",
            hint="drill minus cable",
            rig="seals.cable_clearance",
        ),
        Number(
            name="wall_thickness",
            label="Thickness of the wall",
            unit="mm",
            default="3 mm",
            low="0.3 mm",
            high="100 mm",
            why="sheet metal to a solid end plate",
            tolerance="±5 %",
            rig="seals.cable_wall_thickness",
        ),
        Number(
            name="moat_width",
            label="Resin beside the hole",
            unit="mm",
            default="9 mm",
            low="0.5 mm",
            high="100 mm",
            why="a bead to a plate",
            hint="from the edge of the hole to the dam",
            tolerance="±10 %",
            rig="seals.cable_moat_width",
        ),
        Number(
            name="moat_height",
            label="Height of the moat",
            unit="mm",
            default="12 mm",
            low="1 mm",
            high="200 mm",
            why="a bead to a long sleeve",
            tolerance="±10 %",
            rig="seals.cable_moat_height",
        ),
        Number(
            name="pull",
            label="Pull along the cable",
            unit="N",
            default="20 N",
            low="0.1 N",
            high="5 kN",
            why="the weight of a short end to a boat",
            hint="that gets past the strain relief, in or out",
            rig="cable.pull",
        ),
        Number(
            name="side_pull",
            label="Pull sideways",
            unit="N",
            default="5 N",
            low="0 N",
            high="5 kN",
            why="none to a boat",
            hint="at the top of the moat, past the strain relief",
            rig="cable.side_pull",
        ),
        _strength(
            "jacket_strength",
            "Strength of the bond to the jacket",
            "epoxy-pu-jacket",
            "seals.cable_jacket_strength",
        ),
        _wet_share(
            "jacket_wet_share",
            "Share of it left in water, jacket",
            "epoxy-plastics-wet",
            "seals.cable_jacket_wet_share",
        ),
        _strength(
            "wall_strength",
            "Strength of the bond to the wall",
            "epoxy-pc",
            "seals.cable_wall_strength",
        ),
        _wet_share(
            "wall_wet_share",
            "Share of it left in water, wall",
            "epoxy-plastics-wet",
            "seals.cable_wall_wet_share",
        ),
        Number(
            name="design_factor",
            label="Safety factor wanted",
            unit="1",
            default="4",
            low="1",
            high="50",
            why="none to the product of all partial factors, and more",
            hint="no less than 4 for loads that stay",
            rig="seals.cable_design_factor",
        ),
        from_table(
            JACKETS.cell("polyurethane-jacket", "modulus"),
            name="jacket_modulus",
            label="Modulus of the cable",
            unit="MPa",
            low="0.5 MPa",
            high="20 GPa",
            why="soft silicone to a cable that is mostly copper",
            hint="of the jacket; more if the cores are glued in",
            rig="cable.jacket_modulus",
        ),
        Number(
            name="jacket_poisson",
            label="Poisson's ratio of the cable",
            unit="",
            default="0.3",
            low="0",
            high="0.495",
            why="foam to solid rubber",
            hint="0.3 with air between its strands, 0.49 solid rubber",
            rig="cable.jacket_poisson",
        ),
        from_table(
            JACKETS.cell("polyurethane-jacket", "expansion"),
            name="jacket_expansion",
            label="Thermal expansion of the jacket",
            unit="ppm/K",
            low="1 ppm/K",
            high="500 ppm/K",
            why="glass to soft rubber",
            rig="cable.jacket_expansion",
        ),
        Number(
            name="resin_modulus",
            label="Modulus of the resin",
            unit="GPa",
            default="2.5 GPa",
            low="1 MPa",
            high="20 GPa",
            why="soft silicone to filled epoxy",
            hint="soft polyurethane about 10 MPa",
            tolerance="±30 %",
            rig="seals.cable_resin_modulus",
        ),
        Number(
            name="resin_poisson",
            label="Poisson's ratio of the resin",
            unit="",
            default="0.38",
            low="0.2",
            high="0.499",
            why="filled epoxy to rubber",
            hint="soft resins 0.49",
            rig="seals.cable_resin_poisson",
        ),
        Number(
            name="resin_expansion",
            label="Thermal expansion of the resin",
            unit="ppm/K",
            default="65 ppm/K",
            low="1 ppm/K",
            high="500 ppm/K",
            why="glass to soft rubber",
            tolerance="±20 %",
            rig="seals.cable_resin_expansion",
        ),
        from_table(
            CASE_MATERIALS.cell("polycarbonate", "expansion"),
            name="wall_expansion",
            label="Thermal expansion of the wall",
            unit="ppm/K",
            low="1 ppm/K",
            high="500 ppm/K",
            why="glass to soft rubber",
            rig="seals.cable_wall_expansion",
        ),
        _temperature(
            "cure_temperature",
            "Temperature of the cure",
            "20 °C",
            "of the last cure",
            "seals.cable_cure_temperature",
        ),
        _temperature(
            "temperature",
            "Temperature farthest from the cure",
            "0 °C",
            "cold water, or a case in the sun",
            "seals.cable_farthest_temperature",
        ),
    ),
    outputs=(
        Output(
            name="safety",
            label="Safety factor of the weaker bond",
            unit="1",
            help="strength left in water over the stress at the edge",
            verdict=Verdict(
                better="above",
                limit="design_factor",
                met="at least the {limit} wanted",
                missed="less than the {limit} wanted: better preparation, strain relief, a "
                "softer resin, or a gland",
                unsure="may be less than the {limit} wanted",
                source=FACTORS,
                ends=True,
            ),
        ),
        Output(name="jacket_safety", label="Safety factor, resin on jacket", unit="1"),
        Output(name="wall_safety", label="Safety factor, resin on wall", unit="1"),
        Output(name="hole_diameter", label="Hole", unit="mm", help="cable and clearance"),
        Output(name="moat_diameter", label="Moat, across", unit="mm", help="inside the dam"),
        Output(
            name="push",
            label="Push of the water on the cable",
            unit="N",
            help="into the case, at this depth",
        ),
        Output(name="jacket_area", label="Bond area on the jacket", unit="mm²"),
        Output(name="wall_area", label="Bond area on the wall", unit="mm²"),
        Output(
            name="jacket_average",
            label="Average shear on the jacket",
            unit="MPa",
            help="from push and pull together",
        ),
        Output(
            name="jacket_edge",
            label="Edge shear on the jacket",
            unit="MPa",
            help="at the loaded end; this one is judged",
        ),
        Output(
            name="wall_stress",
            label="Tension at the edge of the foot",
            unit="MPa",
            help="from pull, side pull and, inside, the water in the hole",
        ),
        Output(
            name="transfer_length",
            label="Length that carries",
            unit="mm",
            help="over it the load in the cable falls to 37 %",
        ),
        Output(
            name="jacket_mismatch",
            label="Strain that jacket and resin do not share",
            unit="%",
            help="from the cure to the other temperature",
        ),
        Output(
            name="jacket_thermal",
            label="Edge shear on the jacket from temperature",
            unit="MPa",
            help="adds to the load; creep eases it",
            verdict=_holds(
                "care", "jacket_allowable", "below the", "cure it nearer to the use, or softer"
            ),
        ),
        Output(
            name="wall_thermal",
            label="Stress in the resin on the wall from temperature",
            unit="MPa",
            help="upper estimate for a stiff wall",
            verdict=_holds(
                "care",
                "wall_allowable",
                "below the",
                "a softer resin, or one that expands like the wall",
            ),
        ),
        Output(name="jacket_allowable", label="Allowable stress, jacket", unit="MPa"),
        Output(name="wall_allowable", label="Allowable stress, wall", unit="MPa"),
    ),
    compute=_cable_seal,
    plot=_stress_along,
    drawing=_cross_section,
    remarks=_remarks,
    fills=(
        WATER_DENSITY_FILL,
        Fill(
            name="jacket_bond",
            label="Resin on the jacket",
            table=BONDS,
            inputs={"jacket_strength": "strength"},
        ),
        Fill(
            name="wall_bond",
            label="Resin on the wall",
            table=BONDS,
            inputs={"wall_strength": "strength"},
        ),
        Fill(
            name="jacket_water",
            label="Water at the jacket's bond",
            table=WET_BONDS,
            inputs={"jacket_wet_share": "share"},
        ),
        Fill(
            name="wall_water",
            label="Water at the wall's bond",
            table=WET_BONDS,
            inputs={"wall_wet_share": "share"},
        ),
        Fill(
            name="jacket",
            label="Jacket",
            table=JACKETS,
            inputs={"jacket_modulus": "modulus", "jacket_expansion": "expansion"},
        ),
        Fill(
            name="wall",
            label="Wall",
            table=WALLS,
            inputs={"wall_expansion": "expansion"},
        ),
    ),
    cautions=(
        RESIN_CAUTION,
        Caution(
            title="Prove it without compressed air",
            text="A plug of resin that lets go under air pressure flies. Test an empty case under "
            "water, or with a gentle vacuum, shielded and never near the face. Follow local rules.",
        ),
    ),
    in_rig=True,
)
