"""The virtual ground against a circuit simulator, in time and over frequency."""

import math

import pytest

from calculators.cards.supply import SUPPLY_SPLIT
from calculators.errors import InputError
from calculators.evaluate import FormError, defaults, evaluate, read
from calculators.formulas.supply import (
    bias_offset,
    crosstalk_level,
    middle_ripple_level,
    middle_settling_time,
    middle_voltage,
    peak_swing,
)
from tests.simulator import curve, simulate
from tests.test_calculators import texts

MIDDLE = """* battery, two resistors, one or two capacitors
Vs sup 0 {source}
R1 sup mid {upper_resistance}
R2 mid 0 {lower_resistance}
C2 mid 0 {ground_capacitance}
{second}
.end
"""

CASES = {
    "defaults": {},
    "unequal resistors": {"upper_resistance": 150e3, "lower_resistance": 220e3},
    "a capacitor to each end, unequal": {"supply_capacitance": 4.7e-6},
    "more capacitance to the positive end": {"supply_capacitance": 100e-6},
    "both alike, resistors not": {"supply_capacitance": 33e-6, "lower_resistance": 120e3},
}


def middle(values: dict[str, float], source: str) -> str:
    """The netlist of the divider alone."""
    second = values["supply_capacitance"]
    return MIDDLE.format(
        source=source, second=f"C1 sup mid {second}" if second else "* no second", **values
    )


@pytest.mark.parametrize("changed", CASES.values(), ids=CASES.keys())
def test_settling_agrees_with_a_circuit_simulator(changed, tmp_path):
    """Simulation: switched on within a millionth of the time constant, 10,000 steps of it."""
    values = defaults(SUPPLY_SPLIT) | changed
    answer = evaluate(SUPPLY_SPLIT, values)["settling_time"]
    share = values["lower_resistance"] / (values["upper_resistance"] + values["lower_resistance"])
    capacitance = values["ground_capacitance"] + values["supply_capacitance"]
    tau = values["upper_resistance"] * share * capacitance
    step = tau / 1e4
    source = f"PWL(0 0 {tau / 1e6} 6)"
    commands = f"tran {step} {6 * tau} 0 {step} uic\nwrdata tran.txt v(mid)"
    simulate(middle(values, source), commands, tmp_path)
    outside = [t for t, v in curve(tmp_path / "tran.txt") if abs(v / (6 * share) - 1) > 0.01]
    assert max(outside) == pytest.approx(answer, abs=2 * step)


def test_matched_capacitors_settle_at_once():
    """Limit: the capacitors divide as the resistors do."""
    answer = middle_settling_time(
        upper_resistance=100e3,
        lower_resistance=200e3,
        ground_capacitance=10e-6,
        supply_capacitance=20e-6,
        remaining=0.01,
    )
    assert answer == 0


def test_without_capacitors_there_is_nothing_to_wait_for():
    """Limit: no capacitor."""
    answer = middle_settling_time(
        upper_resistance=1e5,
        lower_resistance=1e5,
        ground_capacitance=0,
        supply_capacitance=0,
        remaining=0.01,
    )
    assert answer == 0


@pytest.mark.parametrize("changed", CASES.values(), ids=CASES.keys())
@pytest.mark.parametrize("frequency", [0.02, 1.0, 100.0, 50e3])
def test_ripple_agrees_with_a_circuit_simulator(changed, frequency, tmp_path):
    """Simulation: AC analysis, from the supply to the middle and on to a buffer's input."""
    values = defaults(SUPPLY_SPLIT) | changed | {"frequency": frequency}
    text = middle(values, "DC 0 AC 1").replace(
        ".end",
        # So large a load that the middle does not feel it, as the calculator takes it.
        "Ecopy far 0 mid 0 1\nRb far inp {bias_resistance}\nCe inp 0 {source_capacitance}\n.end",
    )
    text = text.format(**values)
    commands = f"ac lin 1 {frequency} {frequency}\nwrdata ac.txt vdb(mid) vdb(inp)"
    simulate(text, commands, tmp_path)
    ((_, at_middle, at_input),) = curve(tmp_path / "ac.txt")
    answer = evaluate(SUPPLY_SPLIT, values)
    assert answer["middle_ripple"] == pytest.approx(at_middle, abs=1e-7)
    assert answer["input_ripple"] == pytest.approx(at_input, abs=1e-7)


@pytest.mark.parametrize("frequency", [0.1, 5.0, 1e3])
def test_bias_resistors_at_the_middle_change_its_ripple_little(frequency, tmp_path):
    """Simulation: what the answer leaves out, two bias resistors that load the middle."""
    values = defaults(SUPPLY_SPLIT) | {"frequency": frequency}
    channels = "".join(
        f"Rb{n} mid i{n} {values['bias_resistance']}\nCe{n} i{n} 0 {values['source_capacitance']}\n"
        for n in (1, 2)
    )
    text = middle(values, "DC 0 AC 1").replace(".end", channels + ".end")
    simulate(text, f"ac lin 1 {frequency} {frequency}\nwrdata ac.txt vdb(i1)", tmp_path)
    ((_, at_input),) = curve(tmp_path / "ac.txt")
    assert evaluate(SUPPLY_SPLIT, values)["input_ripple"] == pytest.approx(at_input, abs=0.1)


@pytest.mark.parametrize("channels", [2, 3, 8])
@pytest.mark.parametrize("frequency", [0.05, 3.0, 400.0])
def test_crosstalk_agrees_with_a_circuit_simulator(channels, frequency, tmp_path):
    """Simulation: AC analysis of every channel, one of them driven by its element."""
    values = defaults(SUPPLY_SPLIT) | {"channels": float(channels), "frequency": frequency}
    lines = [f"Ve0 e0 0 DC 0 AC 1\nCe0 e0 i0 {values['source_capacitance']}"]
    lines += [f"Ce{n} i{n} 0 {values['source_capacitance']}" for n in range(1, channels)]
    lines += [f"Rb{n} i{n} mid {values['bias_resistance']}" for n in range(channels)]
    text = middle(values, "DC 0").replace(".end", "\n".join(lines) + "\n.end")
    simulate(text, f"ac lin 1 {frequency} {frequency}\nwrdata ac.txt vdb(i0) vdb(i1)", tmp_path)
    ((_, loud, quiet),) = curve(tmp_path / "ac.txt")
    assert evaluate(SUPPLY_SPLIT, values)["crosstalk"] == pytest.approx(quiet - loud, abs=1e-6)


def test_the_peak_is_the_largest_sine_that_is_not_clipped():
    """Independent: a sine a hair below the answer passes both ends, one a hair above does not."""
    values = defaults(SUPPLY_SPLIT) | {"bias_current": 20e-9, "upper_headroom": 0.9}
    results = evaluate(SUPPLY_SPLIT, values)
    for voltage, answer in (
        (values["cutoff_voltage"], results["peak_end"]),
        (values["supply_voltage"], results["peak_start"]),
    ):
        ceiling, floor = voltage - values["upper_headroom"], values["lower_headroom"]
        outcomes = []
        for amplitude in (answer * 0.999, answer * 1.001):
            for shift in (results["offset"], -results["offset"]):
                about = voltage / 2 + shift
                outcomes.append(about + amplitude <= ceiling and about - amplitude >= floor)
        assert outcomes[:2] == [True, True]
        assert not all(outcomes[2:])


def test_a_buffer_that_cannot_work_shows_what_is_missing():
    """Below zero: 1 V and 1.6 V kept of 2 V leave 0.6 V too little on the upper side."""
    values = defaults(SUPPLY_SPLIT) | {"cutoff_voltage": 2.0, "bias_current": 0.0}
    assert evaluate(SUPPLY_SPLIT, values)["peak_end"] == pytest.approx(-0.6)


def test_the_current_of_the_divider_is_in_the_supply_as_a_whole():
    """6.2 V across 200 kΩ is 31 µA."""
    results = evaluate(SUPPLY_SPLIT, defaults(SUPPLY_SPLIT))
    assert results["divider_current"] == pytest.approx(31e-6)


def test_every_channel_adds_its_input_current_to_the_middle():
    """Ohm's law: 1 nA through 4.7 MΩ, and three times 1 nA through both 100 kΩ in parallel."""
    values = defaults(SUPPLY_SPLIT) | {"bias_current": 1e-9, "channels": 3.0}
    expected = 1e-9 * 4.7e6 + 3e-9 * 50e3
    assert evaluate(SUPPLY_SPLIT, values)["offset"] == pytest.approx(expected, rel=1e-12)


def test_an_end_above_the_beginning_is_refused_by_name():
    """A battery runs down: the message names both values and what is accepted."""
    values = defaults(SUPPLY_SPLIT) | {"cutoff_voltage": 7.0}
    with pytest.raises(
        InputError, match=r"at the end: 7\.00.V is more than the 6\.20.V"
    ) as refused:
        evaluate(SUPPLY_SPLIT, values)
    assert refused.value.name == "cutoff_voltage"


def test_an_offset_beyond_the_whole_supply_is_refused_with_the_current_that_would_do():
    """6.2 V through 100 GΩ leave room for 62 pA; that current itself is accepted."""
    values = defaults(SUPPLY_SPLIT) | {"bias_resistance": 100e9}
    with pytest.raises(InputError, match=r"Give at most 62\.0.pA") as refused:
        evaluate(SUPPLY_SPLIT, values | {"bias_current": 100e-6})
    assert refused.value.name == "bias_current"
    assert evaluate(SUPPLY_SPLIT, values | {"bias_current": 61.9e-12})["offset"] < 6.2


def test_the_end_may_be_as_high_as_the_beginning():
    """A supply that does not run down, and its picture."""
    values = defaults(SUPPLY_SPLIT) | {"cutoff_voltage": 6.2}
    results = evaluate(SUPPLY_SPLIT, values)
    assert results["peak_end"] == results["peak_start"]
    low, high = SUPPLY_SPLIT.plot(values, results, "metric").x.domain
    assert low < 6.2 < high


def test_the_picture_passes_through_both_answers():
    """The drawn room at fresh and at the end is the room that is told."""
    values = defaults(SUPPLY_SPLIT)
    results = evaluate(SUPPLY_SPLIT, values)
    plot = SUPPLY_SPLIT.plot(values, results, "metric")
    main = plot.lines[0]
    assert main.kind == "main"
    for voltage, answer in (
        (values["cutoff_voltage"], results["peak_end"]),
        (values["supply_voltage"], results["peak_start"]),
    ):
        (x0, y0), (x1, y1) = (
            max(p for p in main.points if p[0] <= voltage),
            min(p for p in main.points if p[0] > voltage),
        )
        drawn = y0 + (y1 - y0) * (voltage - x0) / (x1 - x0)
        assert drawn == pytest.approx(answer, abs=1e-9)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (
            lambda: middle_voltage(supply_voltage=-1, upper_resistance=1, lower_resistance=1),
            "supply_voltage",
        ),
        (
            lambda: middle_voltage(supply_voltage=1, upper_resistance=0, lower_resistance=1),
            "upper_resistance",
        ),
        (
            lambda: middle_settling_time(
                upper_resistance=1,
                lower_resistance=1,
                ground_capacitance=-1,
                supply_capacitance=0,
                remaining=0.01,
            ),
            "ground_capacitance",
        ),
        (
            lambda: middle_settling_time(
                upper_resistance=1,
                lower_resistance=1,
                ground_capacitance=1,
                supply_capacitance=0,
                remaining=0,
            ),
            "remaining",
        ),
        (
            lambda: middle_ripple_level(
                frequency=0,
                upper_resistance=1,
                lower_resistance=1,
                ground_capacitance=1,
                supply_capacitance=0,
            ),
            "frequency",
        ),
        (
            lambda: crosstalk_level(
                frequency=1,
                middle_resistance=1,
                middle_capacitance=1,
                bias_resistance=1,
                source_capacitance=1,
                channels=0,
            ),
            "channels",
        ),
        (
            lambda: bias_offset(
                bias_current=math.inf, bias_resistance=1, middle_resistance=1, channels=1
            ),
            "bias_current",
        ),
        (
            lambda: peak_swing(
                supply_voltage=5, middle_voltage=2.5, offset=-1, upper_headroom=1, lower_headroom=1
            ),
            "offset",
        ),
    ],
)
def test_an_impossible_argument_is_refused_by_name(call, name):
    """The formula names the argument and the rule."""
    with pytest.raises(InputError, match=f"^{name} must be") as refused:
        call()
    assert refused.value.name == name


@pytest.mark.parametrize(
    ("name", "text", "accepted"),
    [
        ("upper_resistance", "0 kΩ", "10 Ω to 100 MΩ"),
        ("ground_capacitance", "0 µF", "1 nF to 100 mF"),
        ("upper_headroom", "-1 V", "0 V to 20 V"),
        ("channels", "1.5", "1 to 16"),
    ],
)
def test_an_impossible_input_is_refused_with_the_accepted_range(name, text, accepted):
    """The form names field, value and what is accepted."""
    with pytest.raises(FormError) as refused:
        read(SUPPLY_SPLIT, texts(SUPPLY_SPLIT) | {name: text}, {}, "metric")
    (error,) = refused.value.errors
    assert error.name == name
    assert accepted.replace(" ", "") in "".join(error.message.split())
