"""Circuit diagrams of the handbook, drawn at build.

A diagram is a function that draws and asks ``value(name)`` for the text of an input or output of a
worked example: no part's value is typed here. A new one is a function and a row of ``CIRCUITS``.
"""

import schemdraw
from schemdraw import elements as elm

from site_src.circuits.parts import (
    VALUE,
    Circuit,
    Point,
    Value,
    dots,
    ground,
    net,
    part,
    text,
    wire,
)


def _front_end(d: schemdraw.Drawing, value: Value) -> None:
    """Two lines, as on a page: element to follower, then follower to recorder."""
    top, bottom = 3.0, 0.0
    element = elm.Crystal().at((0.6, bottom)).to((0.6, top))
    part(d, element, "element", value("element_capacitance"))
    cable = elm.Capacitor().at((2.7, bottom)).to((2.7, top))
    part(d, cable, "cable", value("cable_capacitance"), stray=True)
    bias = elm.ResistorIEC().at((4.6, top)).to((4.6, 0.9))
    part(d, bias, "bias", value("bias_resistance"))
    net(d, (4.6, 0.82), "mid")
    out = _follower(d, (6.7, top))
    part(d, elm.ResistorIEC().at((4.8, top)).to((6.7, top)), "series", side="above")
    wire(d, (0.6, top), (4.8, top))
    dots(d, (2.7, top), (4.6, top))
    ground(d, (0.6, bottom), (2.7, bottom))
    wire(d, out, (out[0], top + 1.1))
    net(d, (out[0], top + 1.18), "out", align="right")
    _to_the_recorder(d, value, -2.4)


def _follower(d: schemdraw.Drawing, plus: Point) -> Point:
    """A buffer with its plus input at a point; its output."""
    amplifier = d.add(elm.Opamp().right().scale(0.8).flip().at(plus).anchor("in2"))
    minus, out = tuple(amplifier.absanchors["in1"]), tuple(amplifier.absanchors["out"])
    below = minus[1] - 0.9
    wire(d, minus, (minus[0], below), (out[0], below), out)
    dots(d, out)
    text(d, ((minus[0] + out[0]) / 2, below - 0.42), "follower", align="center")
    return out


def _to_the_recorder(d: schemdraw.Drawing, value: Value, y: float) -> None:
    net(d, (0.5, y), "")
    text(d, (0.5, y + 0.45), "out", align="center")
    part(d, elm.ResistorIEC().at((0.6, y)).to((2.7, y)), "output R", side="above")
    capacitor = elm.Capacitor().at((2.7, y)).to((4.9, y))
    part(d, capacitor, "output C", value("output_capacitance"), side="above")
    part(d, elm.ResistorIEC().at((4.9, y)).to((4.9, y - 2.2)), "bleed", side="left")
    recorder = elm.ResistorIEC().at((6.9, y)).to((6.9, y - 2.2))
    part(d, recorder, "recorder", value("recorder_input_resistance"), stray=True)
    wire(d, (4.9, y), (6.9, y))
    dots(d, (4.9, y))
    ground(d, (4.9, y - 2.2), (6.9, y - 2.2))


def _virtual_ground(d: schemdraw.Drawing, value: Value) -> None:
    top, middle, bottom = 4.4, 2.2, 0.0
    d.add(elm.BatteryCell().endpoints((0.7, middle), (0.7, bottom)))
    d.add(elm.BatteryCell().endpoints((0.7, top - 0.6), (0.7, middle)))
    text(d, (1.2, middle), "battery")
    wire(d, (0.7, top - 0.6), (0.7, top))
    part(d, elm.Fuse().at((0.7, top)).to((2.7, top)), "fuse", side="above")
    part(d, elm.Capacitor().at((3.1, top)).to((3.1, bottom)), "supply")
    for end, other, name in (
        (top, middle, "upper_resistance"),
        (middle, bottom, "lower_resistance"),
    ):
        half = elm.ResistorIEC().at((5.0, end)).to((5.0, other))
        part(d, half, "half", value(name))
    wire(d, (2.7, top), (5.0, top))
    wire(d, (5.0, middle), (7.1, middle))
    holder = elm.Capacitor().at((7.1, middle)).to((7.1, bottom))
    part(d, holder, "middle", value("ground_capacitance"), side="right")
    wire(d, (7.1, middle), (7.1, middle + 0.9))
    net(d, (7.1, middle + 0.98), "")
    text(d, (7.1, middle + 1.4), "mid", align="center")
    wire(d, (0.7, bottom), (7.1, bottom))
    dots(d, (3.1, top), (5.0, middle), (7.1, middle), (3.1, bottom), (5.0, bottom))
    ground(d, (0.7, bottom))


def _leakage(d: schemdraw.Drawing, value: Value) -> None:
    for x, words in ((0.8, "without a guard"), (5.0, "with a guard")):
        wire(d, (x, 3.0), (x + 2.0, 3.0))
        dots(d, (x, 3.0))
        text(d, (x - 0.1, 3.4), "input node")
        part(d, elm.ResistorIEC().at((x, 3.0)).to((x, 0.8)), "leak", stray=True)
        text(d, (x + 1.2, -0.7), words, align="center")
    ground(d, (0.8, 0.8))
    out = _follower(d, (7.0, 3.0))
    wire(d, (5.0, 0.8), (5.0, 0.2), (out[0], 0.2), (out[0], out[1]))
    text(d, (5.2, 0.5), "guard ring")


def _water_electrode(d: schemdraw.Drawing, value: Value) -> None:
    water = 3.2
    d.add(elm.SourceSin().at((0.7, 0.6)).to((0.7, water)))
    text(d, (1.4, 1.9), "mains")
    d.add(elm.Ground().at((0.7, 0.6)))
    air = elm.Capacitor().at((0.7, water)).to((2.6, water))
    part(d, air, "through air", value("element_capacitance"), stray=True, side="above")
    wire(d, (2.6, water), (7.8, water))
    text(d, (5.9, water + 0.45), "water", align="center")
    jacket = elm.Capacitor().at((3.0, water)).to((3.0, 0.6))
    part(d, jacket, "jackets", value("cable_capacitance"), stray=True)
    switch = elm.Switch().at((5.3, water)).to((5.3, 1.9))
    d.add(switch)
    part(d, elm.ResistorIEC().at((5.3, 1.9)).to((5.3, 0.6)), "electrode", value("bias_resistance"))
    resin = elm.Capacitor().at((7.8, water)).to((7.8, 1.9))
    part(d, resin, "resin", stray=True)
    wire(d, (7.8, 1.9), (7.8, 1.2))
    net(d, (7.8, 1.12), "input")
    wire(d, (3.0, 0.6), (5.3, 0.6))
    back = elm.Capacitor().at((0.7, 0.6)).to((3.0, 0.6))
    part(d, back, "hands, air", stray=True, side="above")
    dots(d, (3.0, water), (5.3, water))
    ground(d, (4.0, 0.6))
    text(d, (4.4, -0.05), "signal ground")


def _capacitance_test(d: schemdraw.Drawing, value: Value) -> None:
    d.add(elm.Source().at((0.9, 0.0)).to((0.9, 2.6)))
    text(d, (0.9, 1.3), "C", align="center")
    text(d, (1.65, 1.5), "meter,")
    text(d, (1.65, 1.1), "at 1 kHz")
    wire(d, (0.9, 2.6), (6.6, 2.6))
    wire(d, (0.9, 0.0), (6.6, 0.0))
    part(d, elm.Switch().at((4.2, 2.6)).to((4.2, 0.0)), "short", stray=True)
    element = elm.Crystal().at((6.6, 0.0)).to((6.6, 2.6))
    part(d, element, "element", value("element_capacitance"))
    dots(d, (4.2, 2.6), (4.2, 0.0))


def _insulation_test(d: schemdraw.Drawing, value: Value) -> None:
    top = 2.8
    d.add(elm.BatteryCell().endpoints((0.7, top / 2), (0.7, 0.0)))
    d.add(elm.BatteryCell().endpoints((0.7, top), (0.7, top / 2)))
    text(d, (1.2, top / 2), "cells")
    meter = elm.MeterV().endpoints((0.7, top), (4.0, top))
    d.add(meter)
    text(d, (2.35, top + 1.0), "voltmeter", align="center")
    inside = value("bias_resistance")
    text(d, (2.35, top - 0.85), inside and f"{inside} inside", align="center", colour=VALUE)
    wire(d, (4.0, top), (6.6, top))
    element = elm.Crystal().at((4.0, 0.0)).to((4.0, top))
    part(d, element, "element", value("element_capacitance"))
    part(d, elm.ResistorIEC().at((6.6, top)).to((6.6, 0.0)), "leak", stray=True)
    wire(d, (0.7, 0.0), (6.6, 0.0))
    dots(d, (4.0, top), (4.0, 0.0))


def _insert_voltage(d: schemdraw.Drawing, value: Value) -> None:
    top, middle, bottom = 3.4, 1.4, 0.0
    net(d, (0.3, middle), "")
    text(d, (0.2, middle + 0.45), "tone", align="center")
    part(d, elm.ResistorIEC().at((0.4, middle)).to((2.3, middle)), "divider", side="above")
    insert = elm.ResistorIEC().at((2.3, middle)).to((2.3, bottom))
    part(d, insert, "insert", value("insert_resistance"))
    element = elm.Crystal().at((2.3, middle)).to((2.3, top))
    part(d, element, "element", value("element_capacitance"))
    cable = elm.Capacitor().at((4.2, bottom)).to((4.2, top))
    part(d, cable, "cable", value("cable_capacitance"), stray=True)
    bias = elm.ResistorIEC().at((5.9, top)).to((5.9, 1.3))
    part(d, bias, "bias", value("bias_resistance"))
    net(d, (5.9, 1.22), "mid")
    wire(d, (2.3, top), (7.0, top))
    net(d, (7.1, top), "buffer", align="left")
    dots(d, (2.3, middle), (4.2, top), (5.9, top))
    ground(d, (2.3, bottom), (4.2, bottom))


CIRCUITS: dict[str, Circuit] = {
    "insert-voltage": Circuit(
        title="A known voltage in series with the element",
        words=(
            "A small insert resistor lies between signal ground and the cold end of the element, "
            "which is lifted for it. A tone comes over a large resistor, and makes a small known "
            "voltage there, in series with the element. The other end of the element leads, "
            "with its cable and the bias resistor, to the buffer as always."
        ),
        draw=_insert_voltage,
    ),
    "front-end": Circuit(
        title="One channel of the front end",
        words=(
            "The element, its cable's capacitance and the bias resistor meet at the input "
            "node; the bias resistor leads to the middle. From the node a series resistor "
            "leads to the plus input of a follower. The follower's output goes through the "
            "output resistor and the output capacitor to the recorder; a bleed resistor lies "
            "across the recorder's input."
        ),
        draw=_front_end,
    ),
    "virtual-ground": Circuit(
        title="The virtual ground",
        words=(
            "Behind a fuse the battery feeds a supply capacitor and two equal resistors in "
            "series. Where these meet is the middle; a capacitor holds it against the "
            "battery's minus, which is signal ground. Only bias resistors are connected to "
            "the middle."
        ),
        draw=_virtual_ground,
    ),
    "leakage": Circuit(
        title="Leakage across a dirty board",
        words=(
            "Without a guard, a leak leads from the input node to ground. With one, it leads "
            "to a ring that the follower holds at the input's own voltage, so that no current "
            "flows in it."
        ),
        draw=_leakage,
    ),
    "water-electrode": Circuit(
        title="How hum gets in, and what an electrode does",
        words=(
            "The mains couples through the air into the water. From the water, currents flow "
            "through the cables' jackets to signal ground, and through the resin into the "
            "input; from signal ground they go back to earth through hands and air. An "
            "electrode, switched in, leads the water to signal ground."
        ),
        draw=_water_electrode,
    ),
    "capacitance-test": Circuit(
        title="Measuring the capacitance of an element",
        words=(
            "A capacitance meter at 1 kHz across the element. A short lies across both and is "
            "taken off only while the meter reads."
        ),
        draw=_capacitance_test,
    ),
    "insulation-test": Circuit(
        title="Measuring insulation with a voltmeter",
        words=(
            "Cells in series with a voltmeter drive the element with its leak. The part of "
            "the cells' voltage that the meter shows tells the leak from the meter's own "
            "resistance."
        ),
        draw=_insulation_test,
    ),
}
