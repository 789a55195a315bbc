"""The command line, run as a user runs it."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from calculators import bridge
from calculators.__main__ import main
from calculators.registry import CALCULATORS


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    """One command."""
    return subprocess.run(
        [sys.executable, "-m", "calculators", *arguments],
        capture_output=True,
        text=True,
        encoding="utf-8",
        env={"PYTHONUTF8": "1", "PATH": "/usr/bin:/bin"},
    )


def test_list_names_every_calculator():
    """One line each, with the question it answers."""
    printed = run("list").stdout
    assert all(name in printed for name in CALCULATORS)


@pytest.mark.parametrize("name", CALCULATORS)
def test_show_names_inputs_and_outputs(name, capsys):
    """As text and as JSON."""
    assert main(["show", name]) == 0
    printed = capsys.readouterr().out
    card = CALCULATORS[name]
    assert all(i.name in printed for i in card.inputs)
    assert main(["show", name, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["id"] == name


def test_run_gives_the_documented_json_in_si():
    """The keys that other programs rely on."""
    done = run(
        "run",
        "corner-frequency",
        "element_capacitance=6nF",
        "cable_capacitance=1nF",
        "input_capacitance=0",
        "bias_resistance=10Mohm",
        "--json",
    )
    reply = json.loads(done.stdout)
    assert done.returncode == 0
    assert set(reply) == {"calculator", "inputs", "outputs", "remarks", "working", "cautions"}
    assert reply["inputs"]["bias_resistance"] == {"value": 10e6, "unit": "Ω"}
    corner = reply["outputs"]["input_corner"]
    assert set(corner) == {"value", "unit", "low", "high", "verdict"}
    assert corner["unit"] == "Hz"
    # ngspice gives 2.273640 Hz for this circuit
    assert corner["value"] == pytest.approx(2.273640, rel=1e-4)
    # 20 log10(6/7), ngspice gives the ratio 0.8571429
    assert reply["outputs"]["loading_loss"]["value"] == pytest.approx(-1.3389, abs=5e-5)


def test_a_tolerance_widens_the_range():
    """Both signs of writing it."""
    exact = ("element_capacitance=8nF", "cable_capacitance=1nF", "input_capacitance=10pF")
    for text in ("bias_resistance=4.7M±10%", "bias_resistance=4.7Mohm~10pct"):
        done = run("run", "corner-frequency", text, *exact, "--json")
        corner = json.loads(done.stdout)["outputs"]
        assert corner["input_corner"]["high"] == pytest.approx(
            corner["input_corner"]["value"] / 0.9
        )


@pytest.mark.parametrize("name", CALCULATORS)
def test_what_is_not_named_is_answered_as_the_page_answers_it(name, capsys):
    """Defaults carry their tolerances in both, or a verdict would say more than the form's."""
    inputs = CALCULATORS[name].shape(()).inputs
    form = {
        "fields": {key: item.default for key, item in inputs.items()},
        "tolerances": {key: getattr(item, "tolerance", "") for key, item in inputs.items()},
    }
    asked = {"op": "answer", "calculator": name, "system": "metric", **form}
    page = json.loads(bridge.call(json.dumps(asked)))
    assert main(["run", name, "--json"]) == 0
    printed = json.loads(capsys.readouterr().out)["outputs"]
    shown = {o["name"]: {key: o[key] for key in printed[o["name"]]} for o in page["outputs"]}
    assert printed == shown


def test_a_value_that_is_named_without_a_tolerance_is_exact():
    """Two clocks of which everything is known: their difference is known as well."""
    named = ("rate_offset", "second_offset", "curvature", "second_curvature", "turnover",
             "second_turnover", "ageing", "second_ageing", "air_temperature", "water_temperature",
             "second_temperature")  # fmt: skip
    exact = [f"{name}=0" for name in named if "temperature" not in name and "turnover" not in name]
    exact += [f"{name}=20degC" for name in named if "temperature" in name or "turnover" in name]
    usual = json.loads(run("run", "clock-drift", "--json").stdout)["outputs"]["between"]
    known = json.loads(run("run", "clock-drift", *exact, "--json").stdout)["outputs"]["between"]
    assert usual["low"] < 0 < usual["high"]
    assert usual["verdict"]["level"] == "care"
    assert known["low"] == known["high"] == 0
    assert known["verdict"]["level"] == "good"


def test_solve_finds_an_input():
    """A wanted corner decides the resistor, and evaluating gives the corner back."""
    done = run(
        "run",
        "corner-frequency",
        "--solve",
        "input_corner=2.5",
        "--for",
        "bias_resistance",
        "--json",
    )
    reply = json.loads(done.stdout)
    assert reply["solved"]["input"] == "bias_resistance"
    assert reply["outputs"]["input_corner"]["value"] == pytest.approx(2.5)
    assert reply["inputs"]["bias_resistance"]["value"] == reply["solved"]["value"]


def test_single_supply_runtime_without_self_discharge_is_energy_over_power():
    """Arithmetic by hand: 10 Ah · 3.6 V · 0.9 · 0.85 / (0.2 A · 5 V) = 27.54 h."""
    done = run(
        "run",
        "runtime",
        "battery_capacity=10Ah",
        "battery_voltage=3.6V",
        "load_current=200mA",
        "load_voltage=5V",
        "converter_efficiency=85%",
        "usable_fraction=0.9",
        "self_discharge=0",
        "--json",
    )
    reply = json.loads(done.stdout)
    assert reply["outputs"]["runtime"]["value"] == pytest.approx(27.54 * 3600)
    assert reply["outputs"]["runtime"]["unit"] == "s"


def test_bare_numbers_are_si():
    """The same values without units give the same answer."""
    with_units = run(
        "run", "recording-storage", "sample_rate=48kHz", "card_capacity=256GB", "--json"
    ).stdout
    assert (
        run("run", "recording-storage", "sample_rate=48000", "card_capacity=256e9", "--json").stdout
        == with_units
    )


@pytest.mark.parametrize(
    ("arguments", "named"),
    [
        (("corner-frequency", "bias_resistance=-4.7M"), "bias_resistance"),
        (("corner-frequency", "bias_resistance=4.7nF"), "bias_resistance"),
        (("corner-frequency", "bias_resistance=nan"), "bias_resistance"),
        (("corner-frequency", "nonsense=1"), "nonsense"),
        (("corner-frequency", "bias_resistance"), "bias_resistance"),
        (("corner-frequency", "bias_resistance=1M", "bias_resistance=2M"), "bias_resistance"),
        (("corner-frequency", "bias_resistance=1M±200%"), "bias_resistance"),
        (("recording-storage", "channels=1.5"), "channels"),
        (("recording-storage", "file_limit=ntfs"), "file_limit"),
        (("runtime", "load_supply=2"), "load_supply"),
        (("no-such",), "calculator"),
        (("corner-frequency", "--solve", "input_corner=1GHz", "--for", "bias_resistance"),
         "input_corner"),
        (("corner-frequency", "--solve", "nonsense=1", "--for", "bias_resistance"), "nonsense"),
        (("corner-frequency", "--solve", "input_corner=1Hz"), "--solve"),
    ],
)  # fmt: skip
def test_a_bad_value_is_one_line_on_stderr_and_exit_two(arguments, named):
    """The line names the input; nothing is printed on stdout."""
    done = run("run", *arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert len(done.stderr.strip().splitlines()) == 1
    assert done.stderr.startswith(f"{named}: ")


def test_common_practice_a_day_recorder_fills_a_card_in_days():
    """Common practice, no source: 24 bit at 96 kHz runs for days on a large card."""
    reply = json.loads(
        run("run", "recording-storage", "sample_rate=96kHz", "bit_depth=24", "channels=2",
            "card_capacity=256GB", "reserve=0", "--json").stdout
    )  # fmt: skip
    assert 4 * 86400 < reply["outputs"]["recording_time"]["value"] < 6 * 86400


def test_a_reader_who_has_seen_enough_gets_no_traceback():
    """``python -m calculators … | head -1``."""
    command = f"{sys.executable} -m calculators show runtime --json | head -1"
    done = subprocess.run(["sh", "-c", command], capture_output=True, text=True)
    assert done.stdout.strip() == "{"
    assert done.stderr == ""


def _into(output: int, *arguments: str) -> subprocess.CompletedProcess[str]:
    """One command with its output going there."""
    return subprocess.run(
        [sys.executable, "-m", "calculators", *arguments],
        stdout=output,
        stderr=subprocess.PIPE,
        text=True,
        encoding="utf-8",
        env={"PYTHONUTF8": "1", "PATH": "/usr/bin:/bin"},
    )


@pytest.mark.skipif(os.name != "posix", reason="exit codes of signals are those of POSIX")
@pytest.mark.parametrize("arguments", [("list",), ("rig", "check", "--help")])
def test_a_pipe_that_closes_early_ends_it_quietly_and_is_no_success(arguments):
    """POSIX shells report 128 and the number of SIGPIPE, 13, of a program that it ends."""
    reading, writing = os.pipe()
    os.close(reading)
    try:
        done = _into(writing, *arguments)
    finally:
        os.close(writing)
    assert done.returncode == 128 + 13
    assert done.stderr == ""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="only Linux has a device that is full")
def test_an_answer_that_cannot_be_written_is_said_in_one_line():
    """ENOSPC, from the device that is always full."""
    with Path("/dev/full").open("w") as full:
        done = _into(full.fileno(), "list")
    assert done.returncode == 2
    assert done.stderr == "The answer cannot be written: No space left on device.\n"
