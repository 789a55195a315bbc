"""Calculator of a pour of resin."""

from collections.abc import Callable
from itertools import product
from math import acos, atan2, cos, hypot, pi, sqrt
from typing import Any

from calculators.cards.potting import RESIN_CAUTION
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Choice,
    Group,
    Line,
    Number,
    Option,
    Output,
    Plot,
    Results,
    RigEntry,
    Shown,
    Values,
    Verdict,
    row_key,
)
from calculators.errors import InputError
from calculators.formulas import resin
from calculators.formulas.water import fresh_water_density
from calculators.units import format_display

Row = dict[str, Any]

CLOSE = 1 + 1e-9
"""A piece as large as its mould fits it."""

HALVINGS = 40
"""Of the search for the largest piece that fits."""

POURS = Number(
    name="pours",
    label="Pours",
    unit="1",
    default="2",
    low="1",
    high="50",
    why="all at once, to a long day",
    hint="mixed one by one",
    integer=True,
    rig="potting.pours",
)


def _insert_volume(row: Row) -> float:
    one = resin.tube_volume(
        outer_diameter=row["insert_diameter"], inner_diameter=0.0, length=row["insert_length"]
    )
    return float(row["insert_count"]) * one


def _mould_volume(
    mould: str,
    diameter: float,
    core_diameter: float,
    gap: float,
    length: float,
    width: float,
    height: float,
    water_mass: float,
    water_temperature: float,
) -> float:
    if mould == "cylinder":
        return resin.tube_volume(outer_diameter=diameter, inner_diameter=0.0, length=length)
    if mould == "ring":
        return resin.tube_volume(
            outer_diameter=core_diameter + 2 * gap, inner_diameter=core_diameter, length=length
        )
    if mould == "box":
        return resin.box_volume(length=length, width=width, height=height)
    density = fresh_water_density(temperature=water_temperature)
    return resin.weighed_volume(mass=water_mass, water_density=density)


def _resin_batch(
    mould: str,
    diameter: float,
    core_diameter: float,
    gap: float,
    length: float,
    width: float,
    height: float,
    water_mass: float,
    water_temperature: float,
    insert: list[Row],
    mix_basis: str,
    parts_a: float,
    parts_b: float,
    density_a: float,
    density_b: float,
    waste: float,
    pours: float,
    ratio_tolerance: float,
    balance_step: float,
) -> dict[str, float]:
    room = _mould_volume(
        mould, diameter, core_diameter, gap, length, width, height, water_mass, water_temperature
    )
    sides = _sides(mould, diameter, core_diameter, gap, length, width, height)
    for number, row in enumerate(insert, 1):
        if sides and row["insert_count"]:
            _check_piece(number, row["insert_diameter"], row["insert_length"], sides)
    inserts = sum(_insert_volume(row) for row in insert)
    if inserts >= room:
        raise InputError(
            "insert_count",
            f"Pieces inside: there is only {format_display(room, 'mL')} in the mould, and they "
            f"take {format_display(inserts, 'mL')}. Give a larger mould or less in it.",
        )
    fill = resin.fill_volume(mould_volume=room, insert_volume=inserts)
    pour = resin.pour_volume(volume=fill, waste=waste, pours=pours)
    ratio = resin.mass_ratio(
        parts_a=parts_a, parts_b=parts_b, basis=mix_basis, density_a=density_a, density_b=density_b
    )
    density = resin.mixed_density(mass_ratio=ratio, density_a=density_a, density_b=density_b)
    mass_a = resin.mass_of_a(volume=pour, mixed_density=density, mass_ratio=ratio)
    mass_b = resin.mass_of_b(mass_a=mass_a, mass_ratio=ratio)
    return {
        "mass_a": mass_a,
        "mass_b": mass_b,
        "volume_a": resin.part_volume(mass=mass_a, density=density_a),
        "volume_b": resin.part_volume(mass=mass_b, density=density_b),
        "mould_volume": room,
        "insert_volume": inserts,
        "fill_volume": fill,
        "pour_volume": pour,
        "total_mass_a": mass_a * pours,
        "total_mass_b": mass_b * pours,
        "coarsest_step": resin.coarsest_step(
            mass_a=mass_a, mass_b=mass_b, ratio_tolerance=ratio_tolerance
        ),
    }


Sides = tuple[float, ...]
"""Of the box that a piece has to lie in; two of a cup, which a rod can lean in only one way."""


def _sides(
    mould: str,
    diameter: float,
    core_diameter: float,
    gap: float,
    length: float,
    width: float,
    height: float,
) -> Sides:
    """Room for one piece; none known for a mould that was weighed.

    Round a core a piece lies on one side of it: as deep as the gap, as wide as the wall's chord.
    """
    if mould == "cylinder":
        return diameter, length
    if mould == "ring":
        return gap, 2 * sqrt(gap * (core_diameter + gap)), length
    return (length, width, height) if mould == "box" else ()


def _check_piece(number: int, diameter: float, length: float, sides: Sides) -> None:
    """Every piece goes in upright, flat or leaning; if not, the size that is nearer to fitting."""
    if _fits(diameter, length, sides):
        return
    longest = _largest(lambda x: _fits(diameter, x, sides), length)
    widest = _largest(lambda x: _fits(x, length, sides), diameter)
    if not longest and not widest:  # both are wrong: one after the other
        widest = _largest(lambda x: _fits(x, 0.0, sides), diameter)
    name, words, given, limit = "insert_diameter", "Diameter", diameter, widest
    if longest / length > widest / diameter:
        name, words, given, limit = "insert_length", "Length", length, longest
    wrong, most = (format_display(x, "mm", 3, "metric") for x in (given, limit))
    raise InputError(
        row_key(name, number),
        f"{words} of a piece inside: {wrong} does not go into this mould, upright, flat or "
        f"leaning. Give at most {most}, a larger mould, or 0 of these.",
    )


def _largest(fits: Callable[[float], bool], above: float) -> float:
    """The largest size that fits, by halving; ``above`` does not. 0 if none does."""
    if not fits(0.0):
        return 0.0
    low, high = 0.0, above
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low


def _fits(diameter: float, length: float, sides: Sides) -> bool:
    """Whether there is a direction in which a rod is nowhere wider than the room.

    Along a side it takes l x + d √(1 − x²), x being its axis's share in that side; the squares of
    the shares add up to one.
    """
    if len(sides) == 2 and diameter > sides[0] * CLOSE:
        return False
    shares = [_shares(diameter, length, side * CLOSE) for side in sides]
    return any(
        sum(low for low, _ in chosen) <= CLOSE and sum(high for _, high in chosen) >= 1 / CLOSE
        for chosen in product(*shares)
    )


def _shares(diameter: float, length: float, side: float) -> list[tuple[float, float]]:
    """Squares of the axis's share in a side with which the rod is not too wide for it."""
    diagonal = hypot(length, diameter)
    if diagonal <= side:
        return [(0.0, 1.0)]
    middle, off = atan2(diameter, length), acos(side / diagonal)
    found = []
    if middle + off <= pi / 2:
        found.append((0.0, cos(middle + off) ** 2))
    if middle >= off:
        found.append((cos(middle - off) ** 2, 1.0))
    return found


def _step_over_pours(values: Values, results: Results, system: str) -> Plot:
    pours, step = float(values["pours"]), float(values["balance_step"])
    # The step goes with the masses, which go with one over the number of pours.
    whole = results["coarsest_step"] * pours
    most = max(10.0, 2 * pours)
    points = [(1 + (most - 1) * i / 60, whole / (1 + (most - 1) * i / 60)) for i in range(61)]
    needed = format_display(results["coarsest_step"], "g", 2, system)
    owned = format_display(step, "g", 2, system)
    return Plot(
        title="Step of the balance over the number of pours",
        description=(
            f"The more pours, the smaller each of them and the finer the balance must be: "
            f"{needed} or finer for {pours:.0f}. Yours has steps of {owned}."
        ),
        x=Axis(label="Pours", unit="", domain=(1, most)),
        y=Axis(label="Coarsest step", unit="g", domain=(0, 1.1 * max(whole, step))),
        lines=[Line(name="Coarsest step that keeps the ratio", points=points)],
        marks=[(pours, f"{pours:.0f}: {needed}")],
        levels=[(step, f"your balance, {owned}")],
    )


def _length(
    name: str, rig: RigEntry, label: str, default: str, hint: str, shown: Shown | None
) -> Number:
    return Number(
        name=name,
        label=label,
        unit="mm",
        default=default,
        low="5 mm",
        high="500 mm",
        why="a bead to a bucket",
        hint=hint,
        tolerance="±1 %",
        shown=shown,
        rig=rig,
    )


def _mould(*values: str) -> Shown:
    return Shown(input="mould", values=values)


def _part(letter: str, density: str, what: str) -> Number:
    return Number(
        name=f"density_{letter.lower()}",
        label=f"Density of {letter}",
        unit="g/cm³",
        default=density,
        tolerance="±1 %",
        low="0.5 g/cm³",
        high="5 g/cm³",
        why="filled with hollow beads to filled with metal",
        hint=f"{what}, from its data sheet",
        rig=f"potting.density_{letter.lower()}",
    )


def _parts(letter: str, default: str) -> Number:
    return Number(
        name=f"parts_{letter.lower()}",
        label=f"Parts of {letter}",
        unit="1",
        default=default,
        low="0.1",
        high="1000",
        why="a catalyst by drops to a hundred parts or more",
        hint="as the maker gives the ratio",
        rig=f"potting.parts_{letter.lower()}",
    )


RESIN_BATCH = Calculator(
    id="resin-batch",
    title="A pour of resin",
    question="How much of each part is to be weighed for a pour, and how fine must the balance be?",
    stage="build",
    groups=(Group(name="insert", label="Piece inside", most=4),),
    inputs=(
        Choice(
            name="mould",
            label="Mould",
            options=(
                Option(value="cylinder", label="a round cup"),
                Option(value="ring", label="the ring between a core and a wall"),
                Option(value="box", label="a box"),
                Option(value="water", label="any shape, filled with water and weighed"),
            ),
            default="cylinder",
            hint="what the resin fills, measured inside",
            rig="potting.mould",
        ),
        _length(
            "diameter",
            "potting.mould_diameter",
            "Inner diameter",
            "30 mm",
            "of the cup",
            _mould("cylinder"),
        ),
        _length(
            "core_diameter",
            "potting.core_diameter",
            "Diameter of the core",
            "20 mm",
            "what stands in the middle",
            _mould("ring"),
        ),
        Number(
            name="gap",
            label="Gap between core and wall",
            unit="mm",
            default="5 mm",
            tolerance="±5 %",
            low="0.2 mm",
            high="100 mm",
            why="a coat to a thick jacket",
            hint="on one side",
            shown=_mould("ring"),
            rig="potting.gap",
        ),
        _length(
            "length",
            "potting.length",
            "Length or depth to fill",
            "60 mm",
            "up to the level wanted",
            _mould("cylinder", "ring", "box"),
        ),
        _length("width", "potting.width", "Width", "30 mm", "inside", _mould("box")),
        _length("height", "potting.height", "Height", "30 mm", "inside", _mould("box")),
        Number(
            name="water_mass",
            label="Water that fills it",
            unit="g",
            default="40 g",
            tolerance="±1 %",
            low="1 g",
            high="50000 g",
            why="a bead to a bucket",
            hint="reading full less reading empty; dry the mould well",
            shown=_mould("water"),
            rig="potting.water_mass",
        ),
        Number(
            name="water_temperature",
            label="Temperature of that water",
            unit="°C",
            default="20 °C",
            low="0 °C",
            high="40 °C",
            why="freezing to a hot day",
            hint="tap water will do",
            shown=_mould("water"),
        ),
        Choice(
            name="mix_basis",
            label="The ratio counts",
            options=(
                Option(value="mass", label="parts by mass"),
                Option(value="volume", label="parts by volume"),
            ),
            default="mass",
            hint="read the data sheet twice: the two are not the same",
            rig="potting.mix_basis",
        ),
        _parts("A", "100"),
        _parts("B", "28"),
        _part("A", "1.16 g/cm³", "the resin"),
        _part("B", "0.93 g/cm³", "the hardener"),
        Number(
            name="waste",
            label="Left in cups and on sticks",
            unit="%",
            default="20 %",
            low="0 %",
            high="200 %",
            why="nothing, to more than the mould takes",
            hint="of what the mould takes; a small pour leaves more",
            rig="potting.waste",
        ),
        POURS,
        Number(
            name="ratio_tolerance",
            label="Error of the ratio that is allowed",
            unit="%",
            default="2 %",
            low="0.1 %",
            high="20 %",
            why="as an aircraft maker asks, to a resin that forgives",
            hint="either way, from the maker's data sheet",
            rig="potting.ratio_tolerance",
        ),
        Number(
            name="balance_step",
            label="Step of your balance",
            unit="g",
            default="0.01 g",
            low="0.0001 g",
            high="100 g",
            why="a laboratory's to a kitchen's",
            hint="the smallest change that it shows",
            rig="potting.balance_step",
        ),
        Number(
            name="insert_diameter",
            label="Diameter",
            group="insert",
            unit="mm",
            default="22 mm",
            tolerance="±1 %",
            low="0.5 mm",
            high="200 mm",
            why="a wire to a large ring",
            hint="of what takes room in the mould: closed element, cable, spacer; a mould that was "
            "weighed can't be checked for it",
            rig="potting.insert.diameter",
        ),
        Number(
            name="insert_length",
            label="Length",
            group="insert",
            unit="mm",
            default="25 mm",
            tolerance="±1 %",
            low="0.5 mm",
            high="500 mm",
            why="a washer to a cable",
            hint="of the part inside the resin",
            rig="potting.insert.length",
        ),
        Number(
            name="insert_count",
            label="How many of these",
            group="insert",
            unit="1",
            default="1",
            low="0",
            high="50",
            why="none to a handful",
            hint="0 if the water was weighed with them in place",
            integer=True,
            rig="potting.insert.count",
        ),
    ),
    outputs=(
        Output(name="mass_a", label="A for one pour", unit="g", digits=4, help="the resin"),
        Output(name="mass_b", label="B for one pour", unit="g", digits=4, help="the hardener"),
        Output(
            name="coarsest_step",
            label="Coarsest step that the balance may have",
            unit="g",
            digits=2,
            help="both parts weighed into one cup",
            verdict=Verdict(
                better="above",
                limit="balance_step",
                met="your steps of {limit} are fine enough",
                missed="finer than your steps of {limit}: fewer and larger pours, or a better "
                "balance",
                unsure="about your steps of {limit}",
                source="the error allowed, as entered",
            ),
        ),
        Output(name="volume_a", label="… A by volume", unit="mL", help="for a check, or a syringe"),
        Output(name="volume_b", label="… B by volume", unit="mL", help="for a check, or a syringe"),
        Output(name="mould_volume", label="Volume of the empty mould", unit="mL", help="inside"),
        Output(
            name="insert_volume", label="Volume of all pieces inside", unit="mL", help="taken off"
        ),
        Output(
            name="fill_volume",
            label="Resin that the mould takes",
            unit="mL",
            help="all pours together, pieces inside taken off, nothing lost",
        ),
        Output(
            name="pour_volume",
            label="Resin to mix for one pour",
            unit="mL",
            help="with what will be lost",
        ),
        Output(name="total_mass_a", label="A in all", unit="g", help="what to have at hand"),
        Output(name="total_mass_b", label="B in all", unit="g", help="what to have at hand"),
    ),
    compute=_resin_batch,
    plot=_step_over_pours,
    cautions=(
        RESIN_CAUTION,
        Caution(
            title="A cup of mixed resin can smoke and catch fire",
            text="Curing gives off heat, and a large or thick mass can't lose it: it sets early, "
            "boils, smokes. Mix no more than one pour at a time, keep the cup off anything that "
            "burns, don't use foam or glass cups, and put a cup that gets hot outdoors, on "
            "stone. Follow the makers' sheets and local rules.",
        ),
    ),
)
