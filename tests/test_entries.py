"""Texts of a form: splitting, converting, stepping."""

import json

import pytest

from calculators import entries, units
from calculators.bridge import call
from calculators.declare import Number
from calculators.errors import InputError


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


@pytest.mark.parametrize("text", ["8.2 nF ±", "8.2 nF ~", "8.2 nF +/-"])
def test_a_sign_without_a_tolerance_is_not_lost(text):
    """It was the start of one: the whole is refused, not read as exact."""

    def read():
        value, tolerance = entries.split_tolerance(text)
        return units.parse(value, "nF", name="c"), units.read_tolerance(tolerance, "nF", name="c")

    with pytest.raises(InputError):
        read()


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


@pytest.mark.parametrize(
    ("text", "bare"),
    [("4.7", True), ("4n7", True), ("1e-3", True), ("5kgperm3", False), ("9.8mpers2", False)],
)
def test_a_unit_that_ends_in_a_digit_is_a_unit(text, bare):
    """Links spell m³ as m3; such a number has its unit."""
    assert entries.ends_in_number(text) is bare


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("39.6\u00a0dB re 1 µPa²/Hz", ("39.6\u00a0dB", "re 1 µPa²/Hz")),
        ("−3.0\u00a0dB", ("−3.0\u00a0dB", "")),
        ("6.9\u00a0Hz", ("6.9\u00a0Hz", "")),
    ],
)
def test_a_levels_reference_is_parted_from_its_number(text, parts):
    """Nothing else is."""
    assert entries.split_reference(text) == parts


def test_a_range_of_levels_says_their_reference_once():
    """And any other range its unit twice, since the two may differ."""
    low, high = "37.3 dB re 1 µPa", "41.7 dB re 1 µPa"
    assert entries.range_text(low, high) == "37.3 dB to 41.7 dB re 1 µPa"
    assert entries.range_text("900 Hz", "1.1 kHz") == "900 Hz to 1.1 kHz"


@pytest.mark.parametrize(
    ("low", "high", "shown"),
    [
        (0.646, 631e3, (0.0, 631e3)),
        (-631e3, -0.646, (-631e3, 0.0)),
        (0.646, 631.0, (0.646, 631.0)),
        (0.94, float("inf"), (0.94, float("inf"))),
        (0.0, 0.0, (0.0, 0.0)),
    ],
)
def test_an_end_that_is_nothing_beside_the_other_is_shown_as_nothing(low, high, shown):
    """And what lies within a few decades, or has no end, stays."""
    assert entries.without_dust(low, high) == shown


def test_a_form_shows_dB_beside_the_field_and_the_reference_in_the_hint():  # noqa: N802
    """There is no room for both beside a number on a phone."""
    level = Number(
        name="m", label="M", unit="dB re 1 V/µPa", default="-198 dB re 1 V/µPa",
        low="-260 dB", high="-140 dB", why="of the test", hint="open circuit",
    )  # fmt: skip
    assert level.unit_shown("metric") == "dB"
    assert level.full_hint == "re 1 V/µPa; open circuit"
    assert level.accepted("metric").endswith("re 1 V/µPa")
