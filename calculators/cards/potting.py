"""Inputs that the calculators of potting share: the water, the resin, what to beware of."""

from calculators.cards.common import from_table
from calculators.declare import Caution, Fill, Number, RigEntry, Shown
from calculators.errors import InputError
from calculators.formulas.potted_tube import SOFTEST
from calculators.tables.resins import RESINS
from calculators.tables.waters import WATERS
from calculators.units import format_display

WATER_SHOWN = "fresh-10"
"""The row of the table of waters that the forms start with."""


def resin_number(
    row: str,
    column: str,
    *,
    name: str,
    label: str,
    unit: str,
    low: str,
    high: str,
    why: str,
    hint: str = "",
    shown: Shown | None = None,
    rig: RigEntry = "",
) -> Number:
    """A number of the resin that starts with the table's value and spread."""
    return from_table(
        RESINS.cell(row, column),
        name=name,
        label=label,
        unit=unit,
        low=low,
        high=high,
        why=why,
        hint=hint,
        shown=shown,
        rig=rig,
    )


def check_resin(density: float, sound_speed: float, shear_modulus: float, *, name: str) -> None:
    """A resin is a liquid, or at least a gel, and its Poisson's ratio is not below zero.

    ``name`` is the field of the shear modulus.
    """
    if 0 < shear_modulus < SOFTEST:
        raise InputError(
            name,
            "Shear modulus of the resin: a liquid has none, and there are only gels from "
            f"{SOFTEST:g} Pa up. Give 0 MPa or from {SOFTEST:g} Pa.",
        )
    most = density * sound_speed**2 / 2
    if shear_modulus >= most:
        given, limit = (format_display(x, "MPa", 4, "metric") for x in (shear_modulus, most))
        raise InputError(
            name,
            f"Shear modulus of the resin: {given} is not possible: for this density and sound "
            f"speed there is only room for {limit}. Give less than {limit}.",
        )


WATER_DENSITY = from_table(
    WATERS.cell(WATER_SHOWN, "density"),
    name="water_density",
    label="Density of the water",
    unit="kg/m³",
    low="900 kg/m³",
    high="1300 kg/m³",
    why="warm fresh water to brine",
    rig="site.water_density",
)

WATER_SOUND_SPEED = from_table(
    WATERS.cell(WATER_SHOWN, "sound_speed"),
    name="water_sound_speed",
    label="Sound speed in the water",
    unit="m/s",
    low="1300 m/s",
    high="1700 m/s",
    why="cold fresh water to the deep sea",
    rig="site.sound_speed",
)

HIGHEST_WANTED = Number(
    name="highest_wanted",
    label="Highest sound wanted",
    unit="kHz",
    default="20 kHz",
    low="100 Hz",
    high="1 MHz",
    why="slow waves to ultrasound",
    hint="the end of the band that counts",
    rig="plan.highest_wanted",
)

WATER_FILL = Fill(
    name="water",
    label="Water",
    table=WATERS,
    inputs={"water_density": "density", "water_sound_speed": "sound_speed"},
)

RESIN_CAUTION = Caution(
    title="Uncured resin: lungs and skin",
    text="Isocyanates in polyurethane can cause asthma for life, epoxies and their hardeners an "
    "allergy of the skin. Wear what the safety data sheets name, work in moving air, don't heat, "
    "spray or sand uncured resin. Follow the makers' sheets and local rules.",
)
