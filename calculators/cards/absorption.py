"""What the water itself takes from sound, and which part of it takes most."""

from dataclasses import replace

from calculators.cards.curves import decades
from calculators.cards.sound_speed import (
    SALINITY,
    SALT,
    WATER,
    check_liquid,
    depth_input,
    temperature_input,
)
from calculators.declare import (
    Axis,
    Calculator,
    Line,
    Number,
    Output,
    Plot,
    Results,
    Shown,
    Values,
)
from calculators.formulas import absorption as sound
from calculators.units import format_display

LEAST_DRAWN = 1e-6
"""dB/m, below which nothing is drawn: a decibel on a thousand kilometres."""

FITTED = {"temperature": (-1.8, 30.0), "salinity": (30.0, 35.0)}
"""Where the measurements lie that the terms were fitted to."""

SHORT = {"salinity": (5.0, 50.0), "ph": (7.7, 8.3)}
"""Where the short formula is said to keep to the long one."""

LABELS = {"temperature": "temperature in °C", "salinity": "salinity", "ph": "pH"}


def parts(
    water: str, frequency: float, temperature: float, salinity: float, depth: float, ph: float
) -> tuple[float, float, float]:
    """Boric acid, magnesium sulphate and viscosity, dB/m; the last alone in fresh water."""
    place = {"temperature": temperature, "depth": depth}
    viscous = sound.viscous_absorption(frequency=frequency, **place)
    if water != SALT:
        return 0.0, 0.0, viscous
    return (
        sound.boric_absorption(frequency=frequency, salinity=salinity, ph=ph, **place),
        sound.magnesium_absorption(frequency=frequency, salinity=salinity, **place),
        viscous,
    )


def absorbed(
    water: str, frequency: float, temperature: float, salinity: float, depth: float, ph: float
) -> float:
    """Absorption of this water, dB/m; the steps are traced."""
    boric, magnesium, viscous = parts(water, frequency, temperature, salinity, depth, ph)
    return sound.total_absorption(boric=boric, magnesium=magnesium, viscous=viscous)


def _sound_absorption(
    water: str,
    frequency: float,
    temperature: float,
    salinity: float,
    ph: float,
    depth: float,
    distance: float,
) -> dict[str, float]:
    salt = salinity if water == SALT else 0.0
    check_liquid(salt, temperature=temperature)
    boric, magnesium, viscous = parts(water, frequency, temperature, salinity, depth, ph)
    total = sound.total_absorption(boric=boric, magnesium=magnesium, viscous=viscous)
    short = sound.short_absorption(
        frequency=frequency, temperature=temperature, salinity=salt, depth=depth, ph=ph
    )
    return {
        "absorption": total,
        "loss": sound.absorption_loss(absorption=total, distance=distance),
        "boric": boric,
        "magnesium": magnesium,
        "viscous": viscous,
        "short_formula": short,
        "formula_difference": short / total - 1,
        "ten_decibel_distance": 10 / total,
    }


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    said = [
        _largest(results, system)
        if values["water"] == SALT
        else "In fresh water viscosity is all of it."
    ]
    if float(values["frequency"]) < sound.FITTED_LOW:
        said.append(
            "The terms were fitted from 200 Hz to 1 MHz; below, absorption is too small to matter "
            "in any water that a builder works in."
        )
    if values["water"] == SALT:
        outside = _outside(values, FITTED)
        if outside:
            said.append(
                f"The measurements behind the terms were made at {' and '.join(outside)}: what "
                "you have lies outside, so that the answer is drawn out from there."
            )
        outside = _outside(values, SHORT)
        if outside:
            said.append(
                f"The short formula holds for {' and '.join(outside)}: do not trust it here."
            )
    return said


def _outside(values: Values, ranges: dict[str, tuple[float, float]]) -> list[str]:
    """The ranges that these values leave, in words."""
    return [
        f"{LABELS[name]} {low:g} to {high:g}".replace("-", "−")
        for name, (low, high) in ranges.items()
        if not low <= float(values[name]) <= high
    ]


def _largest(results: Results, system: str) -> str:
    names = {"boric": "Boric acid", "magnesium": "Magnesium sulphate", "viscous": "Viscosity"}
    name = max(names, key=lambda part: results[part])
    share = format_display(results[name] / results["absorption"], "%", 2, system)
    return f"{names[name]} takes the largest part, {share}."


def _spectra(values: Values, results: Results, system: str) -> Plot:
    place = [float(values[name]) for name in ("temperature", "salinity", "depth", "ph")]
    water = str(values["water"])
    low = min(100.0, float(values["frequency"]))
    frequencies = decades(low, sound.FITTED_HIGH, 61)
    rows = [parts(water, f, *place) for f in frequencies]
    curves = [
        ("Absorption", "main", [sum(row) for row in rows]),
        ("Magnesium sulphate", "second", [row[1] for row in rows]),
        ("Boric acid", "third", [row[0] for row in rows]),
        ("Viscosity", "third", [row[2] for row in rows]),
    ]
    if water != SALT:  # viscosity is all there is
        curves = curves[:1]
    lines = [
        Line(
            name=name,
            points=[(f, y) for f, y in zip(frequencies, ys, strict=True) if y > LEAST_DRAWN],
            kind=kind,  # type: ignore[arg-type]
        )
        for name, kind, ys in curves
    ]
    drawn = [y for line in lines for _, y in line.points]
    absorption = format_display(results["absorption"], "dB/km", 3, system)
    return Plot(
        title="Absorption over frequency",
        description=(
            f"Absorption, thick, is {absorption} at the frequency that you gave. "
            + (
                "Thin, magnesium sulphate; dashed, boric acid, which levels off low down, and "
                "viscosity, which rises by a hundred for each tenfold frequency."
                if water == SALT
                else "In fresh water viscosity is all of it: a hundred times as much for each "
                "tenfold frequency."
            )
        ),
        x=Axis(label="Frequency", unit="Hz", domain=(low, sound.FITTED_HIGH), log=True),
        y=Axis(label="Absorption", unit="dB/km", domain=(min(drawn) / 2, max(drawn) * 2), log=True),
        lines=[line for line in lines if line.points],
        marks=[(float(values["frequency"]), absorption)],
    )


FREQUENCY = Number(
    name="frequency",
    label="Frequency",
    unit="kHz",
    default="10 kHz",
    low="10 Hz",
    high="1 MHz",
    why="far below where absorption matters to the end of the formulas",
    hint="of the sound wanted; of a band take the middle",
    rig="plan.source_frequency",
)

PH = Number(
    name="ph",
    label="pH",
    unit="",
    default="8",
    low="7",
    high="9",
    why="sour bays to bays full of algae in the sun",
    hint="8.1 in the open sea today; counts below 10 kHz",
    shown=Shown(input="water", values=(SALT,)),
    rig="site.ph",
)


def _part(name: str, label: str, help_text: str) -> Output:
    return Output(name=name, label=label, unit="dB/km", help=help_text)


SOUND_ABSORPTION = Calculator(
    id="sound-absorption",
    title="Absorption of sound by the water",
    question="How much of the sound does the water swallow on the way?",
    stage="plan",
    inputs=(
        WATER,
        FREQUENCY,
        temperature_input("temperature", "Temperature of the water", "10 °C", "of most of the way"),
        # Fresher salt water has a relaxation of boric acid that nobody has measured.
        replace(SALINITY, low="1", why="brackish to the saltiest sea; fresher: choose fresh water"),
        PH,
        depth_input("depth", "Depth", "4 m", "of most of the way"),
        Number(
            name="distance",
            label="Distance",
            unit="m",
            default="100 m",
            low="0.1 m",
            high="1000 km",
            why="arm's length to across an ocean",
            hint="from the animal to the hydrophone",
            rig="plan.distance",
        ),
    ),
    outputs=(
        Output(name="absorption", label="Absorption", unit="dB/km"),
        Output(
            name="loss",
            label="Lost by it over the distance",
            unit="dB",
            help="spreading comes on top",
        ),
        _part("boric", "Boric acid", "matters in the sea below 10 kHz"),
        _part("magnesium", "Magnesium sulphate", "most of it in the sea from 10 kHz up"),
        _part("viscous", "Viscosity", "all of it in fresh water"),
        Output(
            name="short_formula",
            label="By the short formula",
            unit="dB/km",
            help="Ainslie and McColm, from the same measurements",
        ),
        Output(
            name="formula_difference",
            label="What the choice of formula costs",
            unit="%",
            digits=2,
            help="the short over the long",
        ),
        Output(
            name="ten_decibel_distance",
            label="Distance on which 10 dB are lost by it",
            unit="km",
            help="nearer than a tenth of it, forget absorption",
        ),
    ),
    compute=_sound_absorption,
    plot=_spectra,
    remarks=_remarks,
)
