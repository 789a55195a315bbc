"""Texts of a form: splitting, converting, stepping."""

import json

import pytest

from calculators import entries, units
from calculators.bridge import call


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("8.2nF±20%", ("8.2nF", "20%")),
        ("8.2 nF ± 20 %", ("8.2 nF", "20 %")),
        ("8.2nF~20pct", ("8.2nF", "20pct")),
        ("8.2nF+-0.1nF", ("8.2nF", "0.1nF")),
        ("-3 dB", ("-3 dB", "")),
        ("8.2 nF +80/-20 %", ("8.2 nF", "+80/-20 %")),
        ("4n7", ("4n7", "")),
    ],
)
def test_value_and_tolerance_part_at_the_sign(text, parts):
    """Every way of writing ± on the command line and in links."""
    assert entries.split_tolerance(text) == parts


@pytest.mark.parametrize(
    ("number", "direction", "whole", "after"),
    [
        (4.7, 1, False, "4.8"),
        (4.7, -1, False, "4.6"),
        (480, 1, False, "490"),
        (0, 1, False, "1"),
        (0, -1, False, "-1"),
        (2, 1, True, "3"),
        (-1.0, 1, False, "-0.9"),
        (9.9, 1, False, "10"),
    ],
)
def test_a_step_changes_the_second_digit(number, direction, whole, after):
    """Arrow keys step by what a reader would: one unit of the second digit."""
    assert entries.step(number, direction, whole=whole) == after


def test_a_step_does_not_leave_the_range():
    """At the end of the range the text stays."""
    request = {"op": "step", "calculator": "recording-storage", "name": "channels",
               "text": "1", "direction": -1, "system": "metric"}  # fmt: skip
    assert json.loads(call(json.dumps(request)))["text"] == "1"


def test_a_converted_tolerance_is_short():
    """±2 kPa in psi to six digits, as a reader would write it."""
    tolerance = units.read_tolerance("±2 kPa", "kPa", name="x")
    assert entries.tolerance_text(tolerance, "psi") == "±0.290075 psi"  # 2000 / 6894.757 Pa


def test_a_converted_value_is_short_and_comes_back():
    """4 m is 13.12336 ft; the same field in metric shows 4 again."""
    feet = entries.field_text(4.0, "ft")
    assert feet == "13.12336"
    assert entries.field_text(units.parse(feet, "ft", name="x"), "m") == "4"


def test_qr_code_is_a_square_of_dark_modules():
    """The path draws modules inside the square; QR version by the standard's sizes 21, 25, 29…"""
    reply = json.loads(call(json.dumps({"op": "qr", "url": "https://example.org/#a?v=1"})))
    assert reply["ok"]
    assert (reply["size"] - 21) % 4 == 0
    assert reply["path"].startswith("M0 0h1v1h-1z")


def test_a_defect_is_told_as_one():
    """What is not a refusal is named a defect, never passed off as the reader's mistake."""
    reply = json.loads(call('{"op": "answer"}'))
    assert reply == {"ok": False, "defect": "KeyError: 'calculator'"}
