"""The sensing element: what a tube, sphere, disc or plate of ceramic gives."""

from collections.abc import Callable
from itertools import pairwise
from math import copysign, inf, pi, sqrt
from typing import Literal, NamedTuple

from calculators.cards.common import from_table
from calculators.cards.potting import check_resin
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
    Shown,
    Values,
    Verdict,
)
from calculators.errors import InputError
from calculators.formula import remembered
from calculators.formulas import element
from calculators.formulas.potted_tube import (
    OPEN_CIRCUIT_POISSON,
    bulk_modulus,
    core_loss,
    finite_potted_tube_sensitivity,
    flooded_tube_sensitivity,
    open_circuit_modulus,
)
from calculators.tables.ceramics import CERAMICS
from calculators.tables.resins import RESINS
from calculators.units import format_display

WATER_DENSITY = 1000.0
"""kg/m³; the difference between waters moves a resonance by less than one part in a hundred."""

WATER_SPEED = 1480.0
"""m/s, for the same purpose."""

RISE = 1.0
"""dB above the level far below the resonance: where the flat band ends."""

IMPEDANCE_AT = 1000.0
"""Hz."""

THICKEST_WALL = 0.998
"""Part of the outer radius: what is left is the finest bore."""

HIGHEST_COUPLING = 0.5
"""k31², the share of the energy that crosses over: 0.1 to 0.2 in common ceramics."""

CERAMIC = "navy-1"
RESIN = "polyurethane-sonar"

BALANCED = 10.0
"""dB lost from which the pressure inside all but balances the one outside."""

WATER_SIDE = "exposed"
"""Ends of a flooded tube: open, with the water on the wall's own ends."""

DEEPEST = 20.0
"""dB below this element that the picture still shows: a null goes down without an end."""


class _Ceramic(NamedTuple):
    """A ceramic's constants, SI."""

    permittivity: float
    voltage_constant_33: float
    voltage_constant_31: float
    density: float
    modulus: float
    poisson: float
    thickness_constant: float

    @property
    def voltage(self) -> dict[str, float]:
        """Its two voltage constants, as formulas take them."""
        return {
            "voltage_constant_33": self.voltage_constant_33,
            "voltage_constant_31": self.voltage_constant_31,
        }


class _Resin(NamedTuple):
    """What coats an element, and may fill it."""

    thickness: float
    density: float
    sound_speed: float
    shear_modulus: float


class _Body(NamedTuple):
    """One element as its shape makes it: SI, sensitivities signed, ``in_air`` with air in it.

    ``around`` and ``along`` are its resonances in two directions, ``first`` the lowest of all;
    ``coat`` is all the coat on its wall, ``radius`` that of a body that pushes water before it,
    ``core_limit`` the frequency up to which what fills it keeps to the outer pressure.
    """

    sensitivity: float
    in_air: float
    capacitance: float
    around: float
    along: float
    first: float
    coat: float
    radius: float
    core_limit: float = inf


def _response(
    shape: str,
    outer_diameter: float,
    thickness: float,
    length: float,
    width: float,
    poling: str,
    ends: str,
    core: str,
    pressed: str,
    connection: str,
    permittivity: float,
    voltage_constant_33: float,
    voltage_constant_31: float,
    ceramic_density: float,
    ceramic_modulus: float,
    ceramic_poisson: float,
    thickness_constant: float,
    loss_tangent: float,
    capacitance_temperature: float,
    coat_thickness: float,
    resin_density: float,
    resin_sound_speed: float,
    resin_shear_modulus: float,
    water_temperature: float,
    highest_wanted: float,
) -> dict[str, float]:
    made = _made(
        shape,
        outer_diameter,
        thickness,
        length,
        width,
        poling,
        ends,
        core,
        pressed,
        connection,
        permittivity,
        voltage_constant_33,
        voltage_constant_31,
        ceramic_density,
        ceramic_modulus,
        ceramic_poisson,
        thickness_constant,
        coat_thickness,
        resin_density,
        resin_sound_speed,
        resin_shear_modulus,
    )
    capacitance, first = made.capacitance, made.first
    _check_band(highest_wanted, first)
    return {
        "sensitivity_level": made.level,
        "sensitivity": abs(made.sensitivity),
        "polarity": copysign(1.0, made.sensitivity),
        "core_loss": _lost(made.body),
        "capacitance": capacitance,
        "water_capacitance": element.capacitance_at_temperature(
            capacitance=capacitance,
            coefficient=capacitance_temperature,
            temperature=water_temperature,
        ),
        "impedance": element.impedance_magnitude(
            capacitance=capacitance, loss_tangent=loss_tangent, frequency=IMPEDANCE_AT
        ),
        "upper_limit": min(element.flat_limit(resonance=first, rise=RISE), made.body.core_limit),
        "first_resonance": first,
        "hoop_resonance": made.body.around,
        "length_resonance": made.body.along,
        "wall_resonance": made.wall,
    }


class _Made(NamedTuple):
    """An element as it is wired and coated, whatever the water's temperature; ``first`` in water.

    ``sensitivity`` has its sign; ``level`` is that of its size.
    """

    body: _Body
    sensitivity: float
    capacitance: float
    level: float
    first: float
    wall: float


@remembered
def _made(
    shape: str,
    outer_diameter: float,
    thickness: float,
    length: float,
    width: float,
    poling: str,
    ends: str,
    core: str,
    pressed: str,
    connection: str,
    permittivity: float,
    voltage_constant_33: float,
    voltage_constant_31: float,
    ceramic_density: float,
    ceramic_modulus: float,
    ceramic_poisson: float,
    thickness_constant: float,
    coat_thickness: float,
    resin_density: float,
    resin_sound_speed: float,
    resin_shear_modulus: float,
) -> _Made:
    ceramic = _Ceramic(
        permittivity,
        voltage_constant_33,
        voltage_constant_31,
        ceramic_density,
        ceramic_modulus,
        ceramic_poisson,
        thickness_constant,
    )
    resin = _Resin(coat_thickness, resin_density, resin_sound_speed, resin_shear_modulus)
    _check_thickness(shape, outer_diameter, thickness, min(length, width))
    wall = element.wall_resonance(thickness=thickness, thickness_constant=thickness_constant)
    if shape == "tube":
        body = _tube(outer_diameter, thickness, length, poling, ends, core, ceramic, resin, wall)
    elif shape == "sphere":
        body = _sphere(outer_diameter, thickness, ceramic, resin, wall)
    elif shape == "disc":
        body = _disc(outer_diameter, thickness, pressed, ceramic, resin, wall)
    else:
        body = _plate(length, width, thickness, pressed, ceramic, resin, wall)
    sensitivity, capacitance = _joined(body, connection)
    level = _level(sensitivity)
    first = _in_water(body, thickness, ceramic, resin)
    return _Made(body, sensitivity, capacitance, level, first, wall)


@remembered
def _tube(
    outer_diameter: float,
    thickness: float,
    length: float,
    poling: str,
    ends: str,
    core: str,
    ceramic: _Ceramic,
    resin: _Resin,
    wall: float,
) -> _Body:
    outer = outer_diameter / 2
    radii = {"outer_radius": outer, "inner_radius": outer - thickness}
    ends = WATER_SIDE if core == "flooded" else ends
    if poling == "radial":
        sensitivity, in_air = _radial(radii, length, ends, core, ceramic, resin)
        capacitance = element.tube_capacitance(
            **radii, length=length, permittivity=ceramic.permittivity
        )
    else:
        sensitivity, in_air = _axial(radii, length, ends, core, ceramic)
        capacitance = element.axial_tube_capacitance(
            **radii, length=length, permittivity=ceramic.permittivity
        )
    around = element.hoop_resonance(
        mean_radius=outer - thickness / 2, modulus=ceramic.modulus, density=ceramic.density
    )
    along = element.length_resonance(
        length=length, modulus=ceramic.modulus, density=ceramic.density
    )
    first = element.coupled_resonance(hoop=around, along=along, poisson=ceramic.poisson)
    return _Body(
        sensitivity,
        in_air,
        capacitance,
        around,
        along,
        min(first, wall),
        resin.thickness,
        outer,
        _core_limit(length, ends, core, sensitivity, in_air, resin),
    )


def _core_limit(
    length: float, ends: str, core: str, sensitivity: float, in_air: float, resin: _Resin
) -> float:
    """Where what fills an open tube begins to stand in waves; none for air, or closed ends."""
    speeds = {"flooded": WATER_SPEED}
    if ends == "exposed":
        speeds["resin"] = resin.sound_speed
    if core not in speeds or sensitivity == in_air:
        return inf
    return element.open_core_limit(
        length=length,
        sound_speed=speeds[core],
        sensitivity=sensitivity,
        air_core_sensitivity=in_air,
        rise=RISE,
    )


def _radial(
    radii: dict[str, float], length: float, ends: str, core: str, ceramic: _Ceramic, resin: _Resin
) -> tuple[float, float]:
    """Sensitivity of a tube poled through its wall, and of the same with air in it."""
    if core == "flooded":
        in_air = element.tube_sensitivity(**radii, **ceramic.voltage, ends=ends)
        return flooded_tube_sensitivity(**radii, **ceramic.voltage), in_air
    in_air = _coated(radii, length, ends, ceramic, resin, filled=False)
    if core == "air":
        return in_air, in_air
    return _coated(radii, length, ends, ceramic, resin, filled=True), in_air


def _coated(
    radii: dict[str, float],
    length: float,
    ends: str,
    ceramic: _Ceramic,
    resin: _Resin,
    *,
    filled: bool,
) -> float:
    """A tube with resin around it, and in it if ``filled``."""
    if not filled and resin.thickness == 0:
        return element.tube_sensitivity(**radii, **ceramic.voltage, ends=ends)
    shear = resin.shear_modulus
    check_resin(resin.density, resin.sound_speed, shear, name="resin_shear_modulus")
    bulk = bulk_modulus(density=resin.density, sound_speed=resin.sound_speed, shear_modulus=shear)
    return finite_potted_tube_sensitivity(
        length=length,
        **radii,
        coat_radius=radii["outer_radius"] + resin.thickness,
        **ceramic.voltage,
        ceramic_modulus=_stiffened(ceramic),
        ceramic_poisson=OPEN_CIRCUIT_POISSON,
        core_bulk_modulus=bulk if filled else 0.0,
        core_shear_modulus=shear if filled else 0.0,
        coat_bulk_modulus=bulk,
        coat_shear_modulus=shear,
        ends=ends,
    )


def _stiffened(ceramic: _Ceramic) -> float:
    """Young's modulus of the ceramic with its circuit open, as in a sensor."""
    per_square = ceramic.permittivity * element.VACUUM_PERMITTIVITY * ceramic.modulus
    if ceramic.voltage_constant_31**2 * per_square >= HIGHEST_COUPLING:
        limit = -((HIGHEST_COUPLING / per_square) ** 0.5)
        most = format_display(limit, "mV·m/N", 3, "metric")
        raise InputError(
            "voltage_constant_31",
            "Voltage constant g31: no ceramic of this permittivity and modulus turns that much of "
            f"its energy into electricity; there is only room to {most}. Give values of one "
            "ceramic.",
        )
    return open_circuit_modulus(
        young_modulus=ceramic.modulus,
        voltage_constant_31=ceramic.voltage_constant_31,
        permittivity=ceramic.permittivity,
    )


def _axial(
    radii: dict[str, float], length: float, ends: str, core: str, ceramic: _Ceramic
) -> tuple[float, float]:
    """Sensitivity of a tube poled along its length, and of the same with air in it."""
    in_air = element.axial_tube_sensitivity(**radii, length=length, **ceramic.voltage, ends=ends)
    if core == "air":
        return in_air, in_air
    if core == "flooded":
        return element.plate_sensitivity(
            thickness=length, **ceramic.voltage, pressed="all-round"
        ), in_air
    raise InputError(
        "core",
        "What fills the tube: resin is covered for a tube poled through its wall only. For one "
        "poled along its length there is only air or water. Give air or flooded.",
    )


@remembered
def _sphere(
    outer_diameter: float, thickness: float, ceramic: _Ceramic, resin: _Resin, wall: float
) -> _Body:
    outer = outer_diameter / 2
    radii = {"outer_radius": outer, "inner_radius": outer - thickness}
    sensitivity = element.sphere_sensitivity(**radii, **ceramic.voltage)
    around = element.breathing_resonance(
        mean_radius=outer - thickness / 2,
        modulus=ceramic.modulus,
        poisson=ceramic.poisson,
        density=ceramic.density,
    )
    return _Body(
        sensitivity,
        sensitivity,
        element.sphere_capacitance(**radii, permittivity=ceramic.permittivity),
        around,
        around,
        min(around, wall),
        resin.thickness,
        outer,
    )


@remembered
def _disc(
    diameter: float,
    thickness: float,
    pressed: str,
    ceramic: _Ceramic,
    resin: _Resin,
    wall: float,
) -> _Body:
    sensitivity = element.plate_sensitivity(thickness=thickness, **ceramic.voltage, pressed=pressed)
    around = element.radial_resonance(
        radius=diameter / 2,
        modulus=ceramic.modulus,
        poisson=ceramic.poisson,
        density=ceramic.density,
    )
    capacitance = element.disc_capacitance(
        diameter=diameter, thickness=thickness, permittivity=ceramic.permittivity
    )
    return _flat(sensitivity, capacitance, around, around, resin, wall)


@remembered
def _plate(
    length: float,
    width: float,
    thickness: float,
    pressed: str,
    ceramic: _Ceramic,
    resin: _Resin,
    wall: float,
) -> _Body:
    sensitivity = element.plate_sensitivity(thickness=thickness, **ceramic.voltage, pressed=pressed)
    across = element.length_resonance(
        length=width, modulus=ceramic.modulus, density=ceramic.density
    )
    along = element.length_resonance(
        length=length, modulus=ceramic.modulus, density=ceramic.density
    )
    capacitance = element.plate_capacitance(
        length=length, width=width, thickness=thickness, permittivity=ceramic.permittivity
    )
    return _flat(sensitivity, capacitance, across, along, resin, wall)


def _flat(
    sensitivity: float,
    capacitance: float,
    around: float,
    along: float,
    resin: _Resin,
    wall: float,
) -> _Body:
    """A disc or plate: coat on both faces, which move sideways and push no water."""
    first = min(around, along, wall)
    return _Body(
        sensitivity, sensitivity, capacitance, around, along, first, 2 * resin.thickness, 0.0
    )


def _joined(body: _Body, connection: str) -> tuple[float, float]:
    """Sensitivity and capacitance of one element, or of two alike."""
    if connection == "single":
        return body.sensitivity, body.capacitance
    return element.pair_sensitivity(
        first_sensitivity=body.sensitivity,
        first_capacitance=body.capacitance,
        second_sensitivity=body.sensitivity,
        second_capacitance=body.capacitance,
        connection=connection,
    ), element.pair_capacitance(
        first=body.capacitance, second=body.capacitance, connection=connection
    )


def _lost(body: _Body) -> float:
    """Decibels that the core costs; nothing where there is none but air."""
    if body.sensitivity == body.in_air:
        return 0.0
    _level(body.in_air)
    return core_loss(sensitivity=body.sensitivity, air_core_sensitivity=body.in_air)


def _level(sensitivity: float) -> float:
    if sensitivity == 0:
        raise InputError(
            "voltage_constant_31",
            "Voltage constant g31: with these dimensions it cancels g33 exactly, there is only "
            "silence. Change either, or the wall.",
        )
    return element.sensitivity_level(sensitivity=sensitivity)


def _in_water(body: _Body, thickness: float, ceramic: _Ceramic, resin: _Resin) -> float:
    """First resonance with coat and water."""
    layer = 0.0
    if body.radius:
        radius = body.radius + body.coat
        frequency = _with_water(body, radius, ceramic.density * thickness, resin.density)
        layer = element.water_layer(radius=radius, frequency=frequency, sound_speed=WATER_SPEED)
    return element.loaded_resonance(
        resonance=body.first,
        wall_thickness=thickness,
        wall_density=ceramic.density,
        coat_thickness=body.coat,
        coat_density=resin.density,
        water_thickness=layer,
        water_density=WATER_DENSITY,
    )


def _with_water(body: _Body, radius: float, wall: float, coat_density: float) -> float:
    """The resonance at which to take the layer of water: the one that this layer makes.

    Squares of k b, in air and in water, turn layer and load into a quadratic. Masses per area.
    """
    bare = (2 * pi * body.first * radius / WATER_SPEED) ** 2
    heavy = 1 + coat_density * body.coat / wall
    half = (heavy + WATER_DENSITY * radius / wall - bare) / 2
    # Its positive root, written so that nothing cancels.
    root = sqrt(half**2 + heavy * bare)
    square = bare / (half + root) if half > 0 else (root - half) / heavy
    return sqrt(square) * WATER_SPEED / (2 * pi * radius)


def _check_thickness(
    shape: str, outer_diameter: float, thickness: float, smaller_side: float
) -> None:
    """A wall ends at the middle; a disc or plate is thinner than it is wide."""
    hollow = THICKEST_WALL * outer_diameter / 2
    room = {"tube": hollow, "sphere": hollow, "disc": outer_diameter}
    limit = room.get(shape, smaller_side)
    if thickness >= limit:
        given, most = (format_display(x, "mm", 4, "metric") for x in (thickness, limit))
        why = {
            "tube": "from the outside of this tube to a bore in its middle",
            "sphere": "from the outside of this sphere to a hollow in its middle",
            "disc": "of diameter, and a disc is thinner than it is wide",
        }.get(shape, "of width or length, and a plate is thinner than it is wide")
        raise InputError(
            "thickness",
            f"Thickness: {given} is not possible: there is only {most} {why}. "
            f"Give less than {most}.",
        )


def _check_band(highest_wanted: float, first_resonance: float) -> None:
    if highest_wanted >= first_resonance:
        given, limit = (
            format_display(x, "kHz", 3, "metric") for x in (highest_wanted, first_resonance)
        )
        raise InputError(
            "highest_wanted",
            f"Highest sound wanted: this element does not have a band up to {given}: there is "
            f"only the one below its first resonance at {limit}. Give less than {limit}, or take "
            "a smaller element.",
        )


Curve = Callable[[float], float]
"""Signed sensitivity of one element against the wall ratio, or against the thickness."""

_KINDS: tuple[Literal["main", "second", "third"], ...] = ("main", "second", "third")


def _picture(values: Values, results: Results, system: str) -> Plot:
    if values["shape"] in ("tube", "sphere"):
        return _against_wall(values, results, system)
    return _against_thickness(values, results, system)


def _against_wall(values: Values, results: Results, system: str) -> Plot:
    outer = float(values["outer_diameter"]) / 2
    ratio = 1 - float(values["thickness"]) / outer
    curves = _curves(values, outer)
    ratios = [i / 100 for i in range(1, 100)]
    nulls = {
        r: format_display(r, "", 3, system) for r in _nulls(next(iter(curves.values())), ratios)
    }
    level = format_display(results["sensitivity_level"], "dB re 1 V/µPa", 4, system)
    lines, axis = _lines(curves, ratios, values, results)
    return Plot(
        title="Sensitivity against the wall",
        description=(
            "Sensitivity level for elements of this outer diameter, from a thick wall on the left "
            "to a thin one on the right. This one has an inner diameter of "
            f"{format_display(ratio, '', 3, system)} of the outer one and {level}.{_legend(lines)}"
            + "".join(f" The curve falls to nothing at {null}." for null in nulls.values())
        ),
        x=Axis(label="Inner over outer diameter", unit="", domain=(0, 1)),
        y=axis,
        lines=lines,
        marks=[
            (ratio, "this element"),
            *((r, f"null {null}") for r, null in nulls.items()),
        ],
    )


def _against_thickness(values: Values, results: Results, system: str) -> Plot:
    thickness = float(values["thickness"])
    own = str(values["pressed"])
    other = "faces" if own == "all-round" else "all-round"
    names = {"all-round": "Pressed on all sides", "faces": "Pressed on the faces only"}
    points = [thickness * 10 ** (i / 20 - 1) for i in range(41)]
    level = format_display(results["sensitivity_level"], "dB re 1 V/µPa", 4, system)
    curves = {names[pressed]: _plate_curve(values, pressed) for pressed in (own, other)}
    lines, axis = _lines(curves, points, values, results)
    return Plot(
        title="Sensitivity against the thickness",
        description=(
            "Sensitivity level over the thickness. This one has "
            f"{format_display(thickness, 'mm', 3, system)} and {level}; twice the thickness gives "
            f"6 dB more and half the capacitance.{_legend(lines)}"
        ),
        x=Axis(label="Thickness", unit="mm", domain=(points[0], points[-1]), log=True),
        y=axis,
        lines=lines,
        marks=[(thickness, "this element")],
    )


def _lines(
    curves: dict[str, Curve], points: list[float], values: Values, results: Results
) -> tuple[list[Line], Axis]:
    """Curves as levels, and the axis that holds their upper part."""
    gain = 2.0 if values["connection"] == "series" else 1.0
    levels = [[_drawn(curve(x) * gain) for x in points] for curve in curves.values()]
    own = results["sensitivity_level"]
    top = max(own, *(max(row) for row in levels))
    lines = [
        Line(name=name, points=list(zip(points, row, strict=True)), kind=kind)
        for name, row, kind in zip(curves, levels, _KINDS, strict=False)
    ]
    axis = Axis(label="Sensitivity level", unit="dB re 1 V/µPa", domain=(own - DEEPEST, top + 3))
    return lines, axis


def _legend(lines: list[Line]) -> str:
    """Which curve is which, by its look; a single one needs no words."""
    if len(lines) == 1:
        return ""
    looks = {"main": "The thick line", "second": "the thin line", "third": "the dashed line"}
    named = "; ".join(f"{looks[line.kind]}: {line.name.lower()}" for line in lines)
    return f" {named}."


def _curves(values: Values, outer: float) -> dict[str, Curve]:
    """The element's own curve first, then what it is to be compared with."""
    if values["shape"] == "sphere":
        return {"Sphere": lambda r: _sphere_of(values, outer, r)}
    ends = str(values["ends"])
    names = {"capped": "Capped ends", "exposed": "Exposed ends", "shielded": "Shielded ends"}
    if values["core"] == "air":
        order = [ends, *(e for e in names if e != ends)]
        return {names[e]: _tube_curve(values, outer, e, "air") for e in order}
    own = {"resin": "Potted solid", "flooded": "Flooded"}[str(values["core"])]
    other = WATER_SIDE if values["core"] == "flooded" else ends
    return {
        own: _tube_curve(values, outer, ends, str(values["core"])),
        f"Air inside, {names[other].lower()}": _tube_curve(values, outer, other, "air"),
    }


def _tube_curve(values: Values, outer: float, ends: str, core: str) -> Curve:
    ceramic, resin = _parts(values)
    length = float(values["length"])

    def curve(ratio: float) -> float:
        radii = {"outer_radius": outer, "inner_radius": outer * ratio}
        if values["poling"] == "radial":
            return _radial(radii, length, ends, core, ceramic, resin)[0]
        return _axial(radii, length, ends, core, ceramic)[0]

    return curve


def _sphere_of(values: Values, outer: float, ratio: float) -> float:
    ceramic, _ = _parts(values)
    return element.sphere_sensitivity(
        outer_radius=outer, inner_radius=outer * ratio, **ceramic.voltage
    )


def _plate_curve(values: Values, pressed: str) -> Curve:
    ceramic, _ = _parts(values)
    return lambda thickness: element.plate_sensitivity(
        thickness=thickness, **ceramic.voltage, pressed=pressed
    )


def _parts(values: Values) -> tuple[_Ceramic, _Resin]:
    names = (
        "permittivity",
        "voltage_constant_33",
        "voltage_constant_31",
        "ceramic_density",
        "ceramic_modulus",
        "ceramic_poisson",
        "thickness_constant",
    )
    coat = ("coat_thickness", "resin_density", "resin_sound_speed", "resin_shear_modulus")
    return (
        _Ceramic(*(float(values[name]) for name in names)),
        _Resin(*(float(values[name]) for name in coat)),
    )


def _drawn(sensitivity: float) -> float:
    """Level, or one far below every picture where there is no sensitivity at all."""
    if sensitivity == 0:
        return -1000.0
    return element.sensitivity_level(sensitivity=sensitivity)


def _nulls(curve: Curve, ratios: list[float]) -> list[float]:
    """Where a curve changes its sign, by halving."""
    found = []
    for low, high in pairwise(ratios):
        if (curve(low) < 0) != (curve(high) < 0):
            for _ in range(30):
                middle = (low + high) / 2
                if (curve(low) < 0) != (curve(middle) < 0):
                    high = middle
                else:
                    low = middle
            found.append(low)
    return found


def _is_coat_left_out(values: Values, results: Results) -> bool:
    """Closed spheres and tubes poled along their length are solved bare."""
    along = (values["shape"], values["poling"], values["core"]) == ("tube", "axial", "air")
    return float(values["coat_thickness"]) > 0 and (values["shape"] == "sphere" or along)


def _is_capped_solid(values: Values, results: Results) -> bool:
    return all(
        values[name] == kind
        for name, kind in (("shape", "tube"), ("core", "resin"), ("ends", "capped"))
    )


def _is_balanced(values: Values, results: Results) -> bool:
    return results["core_loss"] > BALANCED


def _is_large(values: Values, results: Results) -> bool:
    """Longer than a quarter of a wave at the upper limit."""
    sizes = {"tube": ("outer_diameter", "length"), "plate": ("length", "width")}
    names = sizes.get(str(values["shape"]), ("outer_diameter",))
    return max(float(values[n]) for n in names) * results["upper_limit"] > WATER_SPEED / 4


def _ceramic_number(
    column: str, name: str, label: str, unit: str, low: str, high: str, why: str, hint: str
) -> Number:
    """An input with its default from the table."""
    return from_table(
        CERAMICS.cell(CERAMIC, column),
        name=name,
        label=label,
        unit=unit,
        low=low,
        high=high,
        why=why,
        hint=hint,
        rig=f"element.{name}",
    )


def _resin_number(
    column: str,
    name: str,
    label: str,
    unit: str,
    low: str,
    high: str,
    why: str,
    hint: str,
    shown: Shown | None,
) -> Number:
    return from_table(
        RESINS.cell(RESIN, column),
        name=name,
        label=label,
        unit=unit,
        low=low,
        high=high,
        why=why,
        hint=hint,
        shown=shown,
        rig=f"potting.{name}",
    )


_TUBE = Shown(input="shape", values=("tube",))
_FLAT = Shown(input="shape", values=("disc", "plate"))

ELEMENT_RESPONSE = Calculator(
    id="element-response",
    title="Response of the element",
    question="How sensitive is this piece of ceramic, and up to which frequency?",
    stage="build",
    inputs=(
        Choice(
            name="shape",
            label="Shape",
            options=(
                Option(value="tube", label="tube"),
                Option(value="sphere", label="hollow sphere"),
                Option(value="disc", label="disc"),
                Option(value="plate", label="rectangular plate"),
            ),
            default="tube",
            rig="element.shape",
        ),
        Number(
            name="outer_diameter",
            label="Outer diameter",
            unit="mm",
            default="18 mm",
            low="1.5 mm",
            high="160 mm",
            why="a grain to the largest tubes of one piece",
            hint="over the electrodes",
            tolerance="±1 %",
            shown=Shown(input="shape", values=("tube", "sphere", "disc")),
            rig="element.outer_diameter",
        ),
        Number(
            name="thickness",
            label="Thickness of the wall, disc or plate",
            unit="mm",
            default="1.5 mm",
            low="0.1 mm",
            high="12 mm",
            why="thin sheet to thick blocks; less than half the diameter of a tube or sphere",
            hint="of the ceramic alone",
            tolerance="±4 %",
            rig="element.thickness",
        ),
        Number(
            name="length",
            label="Length",
            unit="mm",
            default="21 mm",
            low="1 mm",
            high="200 mm",
            why="a thin ring to the longest tubes made",
            hint="along the axis of a tube, the longer side of a plate",
            tolerance="±1 %",
            shown=Shown(input="shape", values=("tube", "plate")),
            rig="element.length",
        ),
        Number(
            name="width",
            label="Width",
            unit="mm",
            default="10 mm",
            low="1 mm",
            high="200 mm",
            why="a strip to a large plate",
            hint="the shorter side",
            tolerance="±1 %",
            shown=Shown(input="shape", values=("plate",)),
            rig="element.width",
        ),
        Choice(
            name="poling",
            label="Poled",
            options=(
                Option(value="radial", label="through the wall: electrodes inside and outside"),
                Option(value="axial", label="along the length: electrodes on the ends"),
            ),
            default="radial",
            hint="spheres, discs and plates: through the wall",
            shown=_TUBE,
            rig="element.poling",
        ),
        Choice(
            name="ends",
            label="Ends of the tube",
            options=(
                Option(value="capped", label="capped: stiff caps on the wall's ends"),
                Option(value="exposed", label="exposed: the water presses on the wall's ends"),
                Option(value="shielded", label="shielded: nothing presses on them"),
            ),
            default="capped",
            hint="a flooded tube has none of these: it counts as open, with exposed ends",
            shown=_TUBE,
            rig="element.ends",
        ),
        Choice(
            name="core",
            label="What fills the tube",
            options=(
                Option(value="air", label="air"),
                Option(value="resin", label="resin: potted solid"),
                Option(value="flooded", label="water: flooded, the same pressure on all faces"),
            ),
            default="air",
            shown=_TUBE,
            rig="element.core",
        ),
        Choice(
            name="pressed",
            label="The sound presses on",
            options=(
                Option(value="all-round", label="all sides"),
                Option(value="faces", label="the faces only"),
            ),
            default="all-round",
            hint="potted in resin: all sides",
            shown=_FLAT,
            rig="element.pressed",
        ),
        Choice(
            name="connection",
            label="Elements",
            options=(
                Option(value="single", label="one"),
                Option(value="parallel", label="two alike in parallel"),
                Option(value="series", label="two alike in series"),
            ),
            default="single",
            rig="element.connection",
        ),
        _ceramic_number(
            "permittivity",
            "permittivity",
            "Relative permittivity ε33T/ε0",
            "",
            "50",
            "10000",
            "modified lead titanate to the softest ceramics",
            "free, at 1 kHz",
        ),
        _ceramic_number(
            "voltage_constant_33",
            "voltage_constant_33",
            "Voltage constant g33",
            "mV·m/N",
            "1 mV·m/N",
            "100 mV·m/N",
            "ceramics far below to far above the common ones",
            "positive",
        ),
        _ceramic_number(
            "voltage_constant_31",
            "voltage_constant_31",
            "Voltage constant g31",
            "mV·m/N",
            "-30 mV·m/N",
            "-0.1 mV·m/N",
            "far above the common ceramics to nearly none",
            "negative",
        ),
        _ceramic_number(
            "density",
            "ceramic_density",
            "Density of the ceramic",
            "kg/m³",
            "3000 kg/m³",
            "10000 kg/m³",
            "porous to dense ceramics",
            "weigh a piece if in doubt",
        ),
        _ceramic_number(
            "young_modulus",
            "ceramic_modulus",
            "Young's modulus Y11E",
            "GPa",
            "10 GPa",
            "200 GPa",
            "porous to hard ceramics",
            "1/s11E: electrodes shorted",
        ),
        _ceramic_number(
            "poisson",
            "ceramic_poisson",
            "Poisson's ratio",
            "",
            "0.1",
            "0.45",
            "as ceramics have it",
            "−s12E/s11E",
        ),
        _ceramic_number(
            "thickness_constant",
            "thickness_constant",
            "Frequency constant for thickness",
            "Hz·m",
            "500 Hz·m",
            "4000 Hz·m",
            "porous to hard ceramics",
            "resonance × thickness",
        ),
        _ceramic_number(
            "loss_tangent",
            "loss_tangent",
            "Loss tangent",
            "",
            "0",
            "1",
            "no loss to as much loss as capacitance",
            "tan δ at 1 kHz, as a meter shows it",
        ),
        _ceramic_number(
            "capacitance_temperature",
            "capacitance_temperature",
            "Change of capacitance with temperature",
            "%/K",
            "-2 %/K",
            "2 %/K",
            "falling to rising steeply",
            "rises with temperature in common ceramics",
        ),
        Number(
            name="coat_thickness",
            label="Coat around the element",
            unit="mm",
            default="3 mm",
            low="0 mm",
            high="50 mm",
            why="bare to a thick block",
            hint="of resin, on each side",
            tolerance="±20 %",
            rig="potting.coat_thickness",
        ),
        _resin_number(
            "density",
            "resin_density",
            "Density of the resin",
            "kg/m³",
            "500 kg/m³",
            "4000 kg/m³",
            "foamed to heavily filled",
            "of coat and core",
            None,
        ),
        _resin_number(
            "sound_speed",
            "resin_sound_speed",
            "Sound speed in the resin",
            "m/s",
            "700 m/s",
            "4000 m/s",
            "soft silicone to filled epoxy",
            "of longitudinal waves",
            _TUBE,
        ),
        _resin_number(
            "shear_modulus",
            "resin_shear_modulus",
            "Shear modulus of the resin",
            "MPa",
            "0 MPa",
            "3 GPa",
            "a liquid to filled epoxy",
            "at the frequencies listened to; 0 for an oil",
            _TUBE,
        ),
        Number(
            name="water_temperature",
            label="Temperature of the water",
            unit="°C",
            default="8 °C",
            low="-2 °C",
            high="40 °C",
            why="sea under ice to a warm lagoon",
            hint="the ceramic's values hold for 25 °C",
            rig="site.water_temperature",
        ),
        Number(
            name="highest_wanted",
            label="Highest sound wanted",
            unit="kHz",
            default="10 kHz",
            low="0.01 kHz",
            high="150 kHz",
            why="slow sounds to the highest of porpoises",
            hint="must lie below the first resonance; judges the upper limit",
            rig="plan.highest_wanted",
        ),
    ),
    outputs=(
        Output(
            name="sensitivity_level",
            label="Sensitivity level",
            unit="dB re 1 V/µPa",
            digits=4,
            help="open circuit, at the element, far below its resonance",
            rig="element.sensitivity_level",
        ),
        Output(
            name="sensitivity",
            label="Sensitivity",
            unit="V/Pa",
            help="open circuit, its magnitude",
        ),
        Output(
            name="polarity",
            label="Sign of the voltage while pressure rises",
            unit="1",
            digits=1,
            help="of the electrode that was positive at poling, as the pressure rises",
        ),
        Output(
            name="core_loss",
            label="Lost against the same tube with air in it",
            unit="dB",
            help="what resin or water inside costs; water: against a bare tube with exposed ends; "
            "0 dB for other shapes",
            verdict=Verdict(
                better="below",
                limit=3.0,
                met="3 dB or less",
                missed="more than 3 dB: keep air inside, or live with more noise",
                unsure="about 3 dB: measure one before you pot the rest",
                missed_level="care",
                source="common practice, no source",
                ample=3.0,
            ),
        ),
        Output(
            name="capacitance",
            label="Capacitance",
            unit="F",
            help="at 25 °C, 1 kHz, without cable",
            rig="element.capacitance",
        ),
        Output(
            name="water_capacitance",
            label="Capacitance in the water",
            unit="F",
            help="at the water's temperature",
        ),
        Output(
            name="impedance",
            label="Impedance at 1 kHz",
            unit="Ω",
            help="magnitude, at 25 °C",
        ),
        Output(
            name="upper_limit",
            label="Upper limit of the flat band",
            unit="Hz",
            help="1 dB above the level at low frequencies",
            verdict=Verdict(
                better="above",
                limit="highest_wanted",
                met="flat beyond the {limit} wanted",
                missed="below the {limit} wanted: above it the response rises by more than 1 dB",
                unsure="may lie below the {limit} wanted",
                missed_level="care",
                source="your own limit",
            ),
        ),
        Output(
            name="first_resonance",
            label="First resonance, coated and in water",
            unit="Hz",
            help="lowest of all, with the mass of coat and water",
        ),
        Output(
            name="hoop_resonance",
            label="Hoop resonance in air",
            unit="Hz",
            help="sphere: breathing; disc: radial; plate: across its width",
        ),
        Output(
            name="length_resonance",
            label="Length resonance in air",
            unit="Hz",
            help="sphere and disc have none of their own: the one above again",
        ),
        Output(
            name="wall_resonance",
            label="Resonance through the wall in air",
            unit="Hz",
            help="through the thickness",
        ),
    ),
    in_rig=True,
    compute=_response,
    plot=_picture,
    fills=(
        Fill(
            name="ceramic",
            label="Ceramic",
            table=CERAMICS,
            inputs={
                "permittivity": "permittivity",
                "voltage_constant_33": "voltage_constant_33",
                "voltage_constant_31": "voltage_constant_31",
                "ceramic_density": "density",
                "ceramic_modulus": "young_modulus",
                "ceramic_poisson": "poisson",
                "thickness_constant": "thickness_constant",
                "loss_tangent": "loss_tangent",
                "capacitance_temperature": "capacitance_temperature",
            },
        ),
        Fill(
            name="resin",
            label="Resin",
            table=RESINS,
            inputs={
                "resin_density": "density",
                "resin_sound_speed": "sound_speed",
                "resin_shear_modulus": "shear_modulus",
            },
        ),
    ),
    cautions=(
        Caution(
            title="A struck or warmed element makes high voltage.",
            text="Never leave an element open that is struck, warmed or soldered: short its leads, "
            "take the short off only while you measure, and for good once the bias resistor is "
            "fitted. Follow the element maker's sheet and local codes.",
        ),
        Caution(
            title="The ceramic holds lead.",
            text="Do not file, drill or break it dry. Keep the dust out of the air, wash your "
            "hands, and take broken pieces to hazardous waste. Follow the maker's safety data "
            "sheet and local codes.",
        ),
        Caution(
            title="Plastic caps do not hold a soft core.",
            text="The answer is for caps that do not give at all. By finite elements of a tube "
            "of 18 mm by 21 mm over a soft core, caps of 1.5 mm lose 4 dB to 7 dB if they are of "
            "steel and 18 dB to 25 dB if of plastic. With plastic or resin choose exposed ends.",
            when=_is_capped_solid,
        ),
        Caution(
            title="The coat's stiffness is left out for this element.",
            text="The sensitivity of a sphere, and of a tube poled along its length, is that of a "
            "bare or softly coated one; the coat counts as mass only. By finite elements stiff "
            "epoxy moves a sphere's level by 1 dB or so, either way; for such a tube it was not "
            "worked out. Take soft resin, or measure.",
            when=_is_coat_left_out,
        ),
        Caution(
            title="What is left of the sensitivity is a small difference.",
            text="Pressure inside nearly balances pressure outside, so the ceramic's tolerances, "
            "a bubble, or a wave inside change the answer by far more than the ranges say. "
            "The upper limit is an estimate. Measure such an element, or keep air in it.",
            when=_is_balanced,
        ),
        Caution(
            title="This element is large against the wave at its upper limit.",
            text="It is longer than a quarter of a wave there, so what it hears then depends on "
            "the direction that the sound comes from.",
            when=_is_large,
        ),
    ),
)
