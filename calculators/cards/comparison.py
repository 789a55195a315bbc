"""Calculator of the comparison calibration: an unknown hydrophone beside a known one."""

from collections.abc import Mapping
from math import sqrt

from calculators.cards import chain
from calculators.cards.common import from_table
from calculators.declare import (
    Axis,
    Calculator,
    Caution,
    Choice,
    Export,
    Fill,
    Line,
    Log,
    Number,
    Option,
    Output,
    Plot,
    Results,
    Shown,
    Value,
    Values,
    Verdict,
)
from calculators.errors import InputError
from calculators.formulas.comparison import (
    COVERAGE,
    compared_sensitivity,
    echo_free_time,
    echo_spread,
    expanded_uncertainty,
    far_field_frequency,
    interval_uncertainty,
    level_error,
    lowest_gated_frequency,
    position_level,
    transfer_random_error,
)
from calculators.formulas.comparison_log import (
    COLUMNS,
    LEAST_ABOVE,
    Band,
    Reading,
    band,
    comparison,
)
from calculators.formulas.levels import sensitivity_behind, system_sensitivity_level
from calculators.tables.waters import WATERS
from calculators.units import format_display

GATED, STEADY = "gated", "steady"
ALL, BAND = "all", "band"

_ENTERED = (
    "reference_uncertainty",
    "gain_uncertainty",
    "averages",
    "repeat_uncertainty",
    "position_error",
)

MOST_DRAWN = 300
MOST_NAMED = 6

PARTS = {
    "reference_part": "the reference",
    "gain_part": "the gains",
    "position_part": "the positions",
    "random_part": "the averaging",
    "background_part": "the background",
    "echo_part": "echoes",
    "repeat_part": "setting up again",
}
"""Contributions to the uncertainty, and what each comes from."""

POND = """frequency/Hz,reference/dB,unknown/dB,coherence,background/dB
2000,-58.1,-55.6,0.991,-86
2500,-57.2,-54.6,0.994,-87
3150,-55.9,-53.3,0.996,-88
4000,-54.8,-52.3,0.997,-89
5000,-54.1,-51.5,0.997,-90
6300,-53.6,-51,0.998,-91
8000,-53.9,-51.2,0.998,-91
10000,-54.6,-51.7,0.997,-92
12500,-56,-52.8,0.996,-92
16000,-57.9,-54.3,0.993,-92"""
"""Invented: pulses in a pond, a borrowed hydrophone beside one of one's own."""


def _comparison_calibration(
    log: str,
    reference_sensitivity: float,
    reference_uncertainty: float,
    reference_gain: float,
    unknown_gain: float,
    gain_uncertainty: float,
    recorder_full_scale: float,
    averages: float,
    repeat_uncertainty: float,
    signal: str,
    reference_distance: float,
    unknown_distance: float,
    position_error: float,
    offset: float,
    largest_size: float,
    depth: float,
    boundary_distance: float,
    water_sound_speed: float,
    cycles: float,
    mean_over: str,
    band_low: float,
    band_high: float,
    wanted_uncertainty: float,
) -> dict[str, float]:
    inside = band(log, band_low, band_high) if mean_over == BAND else band(log)
    counted = inside.readings[0].frequency, inside.readings[-1].frequency
    sensitivity = compared_sensitivity(
        reference_sensitivity=reference_sensitivity,
        level_difference=inside.difference,
        reference_gain=reference_gain,
        unknown_gain=unknown_gain,
        reference_distance=reference_distance,
        unknown_distance=unknown_distance,
    )
    nearest = min(depth, boundary_distance)
    farther = max(reference_distance, unknown_distance)
    field = {"distance": farther, "boundary_distance": nearest, "sound_speed": water_sound_speed}
    window = echo_free_time(**field)
    parts = _parts(
        reading=Reading(counted[1], 0.0, inside.correction, inside.incoherence),
        reference_uncertainty=reference_uncertainty,
        gain_uncertainty=gain_uncertainty,
        averages=averages,
        repeat_uncertainty=repeat_uncertainty,
        position_error=position_error,
        distance=min(reference_distance, unknown_distance),
        offset=offset if signal == STEADY else 0.0,
        field=field,
    )
    lowest = comparison(log).readings[0].frequency
    if signal == GATED:
        lowest = max(lowest, lowest_gated_frequency(cycles=cycles, window=window))
    return {
        "sensitivity": sensitivity,
        "expanded_uncertainty": expanded_uncertainty(**parts),
        "system_sensitivity": system_sensitivity_level(
            sensitivity=sensitivity_behind(sensitivity=sensitivity, gain=unknown_gain),
            full_scale=recorder_full_scale,
        ),
        "spread": inside.spread,
        "lowest_frequency": lowest,
        "far_field_frequency": far_field_frequency(
            distance=min(reference_distance, unknown_distance),
            sound_speed=water_sound_speed,
            largest_size=largest_size,
        ),
        "echo_time": window,
    }


def _parts(
    *,
    reading: Reading,
    reference_uncertainty: float,
    gain_uncertainty: float,
    averages: float,
    repeat_uncertainty: float,
    position_error: float,
    distance: float,
    offset: float,
    field: Mapping[str, float],
) -> dict[str, float]:
    """Standard uncertainties, dB, of a row or of the mean of a band that ends at its frequency."""
    echo = 0.0
    if offset:
        echo = interval_uncertainty(
            half_width=echo_spread(frequency=reading.frequency, offset=offset, **field)
        )
    return {
        "reference_part": reference_uncertainty / COVERAGE,
        "gain_part": interval_uncertainty(half_width=gain_uncertainty),
        "position_part": _position_part(distance, position_error),
        "random_part": _random_part(reading.incoherence, averages),
        "background_part": interval_uncertainty(half_width=reading.correction),
        "echo_part": echo,
        "repeat_part": repeat_uncertainty,
    }


def _parts_of(reading: Reading, values: Values) -> dict[str, float]:
    """The same for the values of a form."""
    given = {name: float(v) for name, v in values.items() if isinstance(v, float)}
    distances = given["reference_distance"], given["unknown_distance"]
    return _parts(
        reading=reading,
        distance=min(distances),
        offset=given["offset"] if values["signal"] == STEADY else 0.0,
        field={
            "distance": max(distances),
            "boundary_distance": min(given["depth"], given["boundary_distance"]),
            "sound_speed": given["water_sound_speed"],
        },
        **{name: given[name] for name in _ENTERED},
    )


def _position_part(distance: float, position_error: float) -> float:
    """Standard uncertainty of two positions that are off independently, dB.

    Raises:
        InputError: If they may be off by as much as the distance.
    """
    if position_error >= distance:
        raise InputError(
            "position_error",
            f"Positions known within: ±{position_error:g} m reaches as far as the source, which is "
            f"{distance:g} m away. Give less.",
        )
    one = interval_uncertainty(
        half_width=position_level(distance=distance, position_error=position_error)
    )
    return one * sqrt(2)


def _random_part(incoherence: float, averages: float) -> float:
    """Standard uncertainty of a mean over bands of this mean 1/γ² − 1, dB."""
    return level_error(
        relative_error=transfer_random_error(coherence=1 / (1 + incoherence), averages=averages)
    )


def _by_frequency(values: Values, results: Results) -> list[tuple[Reading, float, float]]:
    """Every usable reading with its sensitivity and its own expanded uncertainty, dB."""
    offset = results["sensitivity"] - _counted(values).difference
    return [
        (reading, offset + reading.difference, expanded_uncertainty(**_parts_of(reading, values)))
        for reading in comparison(str(values["log"])).readings
    ]


def _counted(values: Mapping[str, Value]) -> Band:
    """The rows that the mean is taken over."""
    log = str(values["log"])
    if values["mean_over"] == ALL:
        return band(log)
    return band(log, float(values["band_low"]), float(values["band_high"]))


def _trusted(frequency: float, results: Results) -> bool:
    return results["lowest_frequency"] <= frequency <= results["far_field_frequency"]


def _table(values: Values, results: Results) -> str:
    """Sensitivity by frequency as rows for a spreadsheet."""
    head = (
        "frequency/Hz,sensitivity/dB re 1 V/uPa,expanded uncertainty (k=2)/dB,"
        "within the field limits"
    )
    rows = [
        f"{reading.frequency:.10g},{level:.2f},{expanded:.2f},"
        f"{'yes' if _trusted(reading.frequency, results) else 'no'}"
        for reading, level, expanded in _by_frequency(values, results)
    ]
    return "\n".join([head, *rows]) + "\n"


def _remarks(values: Values, results: Results, system: str) -> list[str]:
    found = comparison(str(values["log"]))
    inside = _counted(values)
    said = [
        f"{len(inside.readings)} of {found.log.rows} rows count. {_budget(inside, values, system)}"
    ]
    if not found.has_coherence:
        said.append(
            "The log has no coherence, so the error of the averaging is not counted. Work it out "
            "from the same spectra, or put the scatter of repeats into the field for it."
        )
    if not found.has_background:
        said.append(
            "The log has no background: nothing is taken off for it, and nothing counted. Record "
            "a minute without the source."
        )
    if found.drowned:
        named = ", ".join(f"{f:g} Hz" for f in found.drowned[:MOST_NAMED])
        more = len(found.drowned) - MOST_NAMED
        said.append(
            f"Left out, less than {LEAST_ABOVE:g} dB above the background: {named}"
            + (f" and {more} more." if more > 0 else ".")
        )
    if found.log.skipped:
        first = found.log.skipped[0]
        said.append(
            f"{len(found.log.skipped)} rows cannot be read and are left out. "
            f"Row {first.number}: {first.why}."
        )
    if results["spread"] > 6:
        spread = format_display(results["spread"], "dB", 2, system)
        said.append(
            f"Over the rows that count the answer varies by {spread}: one number does not tell it. "
            "Give the curve, or narrower bands, and look for a bubble, an echo or a resonance."
        )
    return said


def _budget(inside: Band, values: Values, system: str) -> str:
    """What the expanded uncertainty is made of, the largest part first."""
    last = inside.readings[-1].frequency
    mean = Reading(last, 0.0, inside.correction, inside.incoherence)
    parts = sorted(_parts_of(mean, values).items(), key=lambda part: -part[1])
    told = [f"{PARTS[name]} {format_display(u, 'dB', 2, system)}" for name, u in parts if u]
    if not told:
        return "Nothing entered makes the answer uncertain, which no measurement is."
    return f"Standard uncertainties: {', '.join(told)}; the root of their squares is doubled."


def _over_frequency(values: Values, results: Results, system: str) -> Plot:
    rows = _thinned(_by_frequency(values, results))
    ends = [y for _, level, expanded in rows for y in (level - expanded, level + expanded)]
    low, high = rows[0][0].frequency, rows[-1][0].frequency
    if low == high:
        low, high = low / 1.5, high * 1.5
    shown = format_display(results["sensitivity"], "dB re 1 V/µPa", 4, system)
    expanded = format_display(results["expanded_uncertainty"], "dB", 2, system)
    marks = [(results["lowest_frequency"], "lowest to trust")]
    if values["mean_over"] == BAND:
        marks += [(float(values[name]), "band") for name in ("band_low", "band_high")]
    return Plot(
        title="Sensitivity over frequency",
        description=(
            f"Mean over the band: {shown}, expanded uncertainty ±{expanded} (k = 2). The band "
            "about the line is the expanded uncertainty of each row by itself, not the worst case "
            "over tolerances."
        ),
        x=Axis(label="Frequency", unit="Hz", domain=(low, high), log=True),
        y=Axis(label="Sensitivity", unit="dB re 1 V/µPa", domain=(min(ends) - 1, max(ends) + 1)),
        lines=[
            Line(name="Unknown", points=[(reading.frequency, level) for reading, level, _ in rows])
        ],
        marks=[(f, label) for f, label in marks if low <= f <= high],
        band=[
            (reading.frequency, level - expanded, level + expanded)
            for reading, level, expanded in rows
        ],
    )


def _thinned(
    rows: list[tuple[Reading, float, float]],
) -> list[tuple[Reading, float, float]]:
    """At most so many rows, first and last among them."""
    count = len(rows)
    if count <= MOST_DRAWN:
        return rows
    return [rows[i * (count - 1) // (MOST_DRAWN - 1)] for i in range(MOST_DRAWN)]


def _distance(name: str, label: str) -> Number:
    return Number(
        name=name,
        label=label,
        unit="m",
        default="1 m",
        low="10 cm",
        high="1 km",
        why="touching, to across a lake",
        hint="from the middle of the source to the middle of the element",
    )


def _gain(name: str, label: str, hint: str) -> Number:
    return Number(
        name=name,
        label=label,
        unit="dB",
        default="20 dB",
        low="-100 dB",
        high="200 dB",
        why="a strong pad to every amplifier in a row",
        hint=hint,
    )


COMPARISON_CALIBRATION = Calculator(
    id="comparison-calibration",
    title="Comparison calibration",
    question="How sensitive is it, beside a hydrophone that is known, and how far is that to be "
    "trusted?",
    stage="test",
    inputs=(
        Log(
            name="log",
            label="Levels by frequency",
            columns=COLUMNS,
            default=POND,
            hint="frequency, level of the reference, level of the unknown, from spectra made "
            "alike; coherence and the unknown's background if you have them",
        ),
        Number(
            name="reference_sensitivity",
            label="Sensitivity of the reference",
            unit="dB re 1 V/µPa",
            default="-201 dB re 1 V/µPa",
            low="-260 dB re 1 V/µPa",
            high="-140 dB re 1 V/µPa",
            why="far below a tiny disc to far above a large stack",
            hint="from its certificate, in this band, with the cable it hangs on",
        ),
        Number(
            name="reference_uncertainty",
            label="… its expanded uncertainty",
            unit="dB",
            default="1 dB",
            low="0 dB",
            high="20 dB",
            why="perfect, to a guess",
            hint="k = 2, from the certificate; add what years without a new one may have changed",
        ),
        _gain(
            "reference_gain",
            "Gain of the reference's channel",
            "from the hydrophone's cable to the file, recorder gain with it",
        ),
        _gain("unknown_gain", "Gain of the unknown's channel", "the same of the other channel"),
        Number(
            name="gain_uncertainty",
            label="Their difference is known within",
            unit="dB",
            default="0.3 dB",
            low="0 dB",
            high="20 dB",
            why="measured on the spot, to numbers on a knob",
            hint="half of the interval; swap the channels and take the mean to make it small",
        ),
        chain.RECORDER_FULL_SCALE,
        Number(
            name="averages",
            label="Spectra averaged",
            unit="1",
            default="60",
            low="1",
            high="1000000",
            why="one, to hours",
            hint="that do not overlap; with half overlap, count two thirds of them",
        ),
        Number(
            name="repeat_uncertainty",
            label="Scatter of setting up again",
            unit="dB",
            default="0.3 dB",
            low="0 dB",
            high="20 dB",
            why="none, to a different world each time",
            hint="standard deviation of the mean: take both out, wet and hang them anew, three "
            "times or more",
        ),
        Choice(
            name="signal",
            label="Signal",
            options=(
                Option(value=GATED, label="pulses, cut before the first echo"),
                Option(value=STEADY, label="steady sound, echoes and all"),
            ),
            default=GATED,
        ),
        _distance("reference_distance", "Source to reference"),
        _distance("unknown_distance", "Source to unknown"),
        Number(
            name="position_error",
            label="Positions known within",
            unit="mm",
            default="20 mm",
            low="0 mm",
            high="100 mm",
            why="a rigid frame to swinging ropes",
            hint="half of the interval, for each of the two",
        ),
        Number(
            name="offset",
            label="Between the two hydrophones",
            unit="mm",
            default="60 mm",
            low="0 mm",
            high="100 m",
            why="one after the other in the same place, to far apart",
            hint="0 mm for one in the place of the other",
            shown=Shown(input="signal", values=(STEADY,)),
        ),
        Number(
            name="largest_size",
            label="Largest dimension",
            unit="mm",
            default="60 mm",
            low="0.1 mm",
            high="10 m",
            why="a needle to an array",
            hint="of the source or of a hydrophone, whichever is larger",
        ),
        Number(
            name="depth",
            label="Depth of source and hydrophones",
            unit="m",
            default="1.5 m",
            low="1 cm",
            high="1 km",
            why="just covered, to a deep lake",
            hint="the surface is the first mirror",
        ),
        Number(
            name="boundary_distance",
            label="… to bottom, wall or boat",
            unit="m",
            default="1.5 m",
            low="1 cm",
            high="10 km",
            why="touching, to open water",
            hint="from the line between source and hydrophones, the nearest one",
        ),
        from_table(
            WATERS.cell("fresh-10", "sound_speed"),
            name="water_sound_speed",
            label="Sound speed in the water",
            unit="m/s",
            low="1300 m/s",
            high="1700 m/s",
            why="colder and warmer than any water",
        ),
        Number(
            name="cycles",
            label="Cycles wanted before the echo",
            unit="1",
            default="3",
            low="1",
            high="100",
            why="less than one cycle has no frequency, more than enough",
            hint="two to three; more where hydrophone or source ring",
        ),
        Choice(
            name="mean_over",
            label="Mean over",
            options=(
                Option(value=ALL, label="all usable rows"),
                Option(value=BAND, label="a band"),
            ),
            default=BAND,
        ),
        Number(
            name="band_low",
            label="Band from",
            unit="Hz",
            default="3000 Hz",
            low="0.1 Hz",
            high="1 MHz",
            why="as the log accepts",
            hint="narrow about one row for a single frequency",
            shown=Shown(input="mean_over", values=(BAND,)),
        ),
        Number(
            name="band_high",
            label="… to",
            unit="Hz",
            default="11000 Hz",
            low="0.1 Hz",
            high="1 MHz",
            why="as the log accepts",
            shown=Shown(input="mean_over", values=(BAND,)),
        ),
        Number(
            name="wanted_uncertainty",
            label="Expanded uncertainty wanted",
            unit="dB",
            default="2 dB",
            low="0.01 dB",
            high="40 dB",
            why="better than any laboratory, to a guess",
            hint="only judges the answer",
        ),
    ),
    outputs=(
        Output(
            name="sensitivity",
            label="Sensitivity of the unknown, mean",
            unit="dB re 1 V/µPa",
            digits=4,
            help="a range here is the worst case over the tolerances of your fields, and no "
            "uncertainty in the sense of the next line",
        ),
        Output(
            name="expanded_uncertainty",
            label="Expanded uncertainty, k = 2",
            unit="dB",
            digits=2,
            help="root sum of squares of the standard uncertainties told below, doubled: some 95 %",
            verdict=Verdict(
                better="below",
                limit="wanted_uncertainty",
                met="within the {limit} wanted",
                missed="more than the {limit} wanted: begin with its largest part",
                unsure="may be more than the {limit} wanted",
                missed_level="care",
                source="your own limit",
            ),
        ),
        Output(
            name="system_sensitivity",
            label="Sensitivity of the whole system",
            unit="dB re 1 FS/µPa",
            digits=4,
            help="unknown, its channel and the file",
        ),
        Output(name="spread", label="Largest less smallest of the rows", unit="dB", digits=2),
        Output(
            name="lowest_frequency",
            label="Lowest frequency to trust",
            unit="Hz",
            help="so many cycles fit before the first echo; the lowest row for steady sound, where "
            "echoes count in the uncertainty",
            verdict=Verdict(
                better="below",
                limit=lambda values: _counted(values).readings[0].frequency,
                met="all that counts lies above it",
                missed="the lowest row that counts, {limit}, lies below it: echoes are in it",
                unsure="the lowest row that counts may lie below it",
                source="cycles before the echo, common practice",
            ),
        ),
        Output(
            name="far_field_frequency",
            label="Highest frequency to trust",
            unit="Hz",
            help="far field of source and hydrophones",
            verdict=Verdict(
                better="above",
                limit=lambda values: _counted(values).readings[-1].frequency,
                met="all that counts lies below it",
                missed="the highest row that counts, {limit}, lies above it: go farther away",
                unsure="the highest row that counts may lie above it",
                source="asa-far-field",
            ),
        ),
        Output(name="echo_time", label="Time before the first echo", unit="ms"),
    ),
    compute=_comparison_calibration,
    fills=(
        Fill(
            name="water",
            label="Water",
            table=WATERS,
            inputs={"water_sound_speed": "sound_speed"},
        ),
    ),
    remarks=_remarks,
    plot=_over_frequency,
    exports=(
        Export(
            name="table",
            label="Sensitivity by frequency, as a table",
            file="sensitivity.csv",
            text=_table,
        ),
    ),
    cautions=(
        Caution(
            title="Batteries only, wherever water stands.",
            text="An amplifier on the mains that drives a source in water can kill. Local codes "
            "come first.",
        ),
        Caution(
            title="Sound sources may need a permit, and disturb.",
            text="Playing sound under water may need leave of those who protect the water and its "
            "animals; fish, frogs and people hear it. As short and as soft as will do.",
        ),
    ),
)
