"""Layers, bubbles and pours against other methods, and against what is known by itself."""

import cmath
import math
import shlex
import subprocess
import sys
from random import Random

import gsw
import numpy as np
import pytest
from scipy.integrate import solve_ivp
from skfem import Basis, BilinearForm, ElementLineP2, MeshLine
from skfem import solve as fem_solve
from skfem.helpers import grad

from calculators.cards.bubble import BUBBLE_RESONANCE
from calculators.cards.matching import ACOUSTIC_MATCH
from calculators.cards.resin import RESIN_BATCH
from calculators.declare import Choice
from calculators.errors import InputError
from calculators.evaluate import FormError, defaults, evaluate, read
from calculators.formulas import bubble, matching, resin
from calculators.registry import CALCULATORS
from calculators.solve import solve
from calculators.tables.resins import RESINS
from site_src.paths import DOCS

CARDS = (ACOUSTIC_MATCH, BUBBLE_RESONANCE, RESIN_BATCH)

AIR = 101_325.0
NEPER = 20 * math.log10(math.e)


def match(**changed: float | str) -> dict[str, float]:
    return evaluate(ACOUSTIC_MATCH, defaults(ACOUSTIC_MATCH) | changed)


def rings(**changed: float | str) -> dict[str, float]:
    return evaluate(BUBBLE_RESONANCE, defaults(BUBBLE_RESONANCE) | changed)


def batch(**changed: float | str) -> dict[str, float]:
    return evaluate(RESIN_BATCH, defaults(RESIN_BATCH) | changed)


# Layers


def stack_loss(
    frequency: float, front: float, layers: list[tuple[complex, complex, float]], back: float
) -> float:
    """Energy lost in a stack, by 2 × 2 matrices; a layer is impedance, wave number, thickness."""
    matrix = np.eye(2, dtype=complex)
    for impedance, number, thickness in layers:
        phase = number * thickness
        sine = 1j * cmath.sin(phase)
        matrix = matrix @ np.array(
            [[cmath.cos(phase), impedance * sine], [sine / impedance, cmath.cos(phase)]]
        )
    pressure, velocity = matrix @ np.array([1, 1 / back])
    incident = (pressure + front * velocity) / 2
    return 10 * math.log10(abs(incident) ** 2 * back / front)


def resin_layer(
    frequency: float, density: float, speed: float, attenuation: float, thickness: float
) -> tuple[complex, complex, float]:
    """Impedance, wave number and thickness of an absorbing layer; attenuation at ``frequency``."""
    angular = 2 * math.pi * frequency
    number = angular / speed - 1j * attenuation / NEPER
    return angular * density / number, number, thickness


def air_layer(
    frequency: float, stiffness: float, thickness: float
) -> tuple[complex, complex, float]:
    """A film of air as a layer of its own, with its inertia."""
    speed = math.sqrt(stiffness / 1.2041)
    return 1.2041 * speed, 2 * math.pi * frequency / speed, thickness


@pytest.mark.parametrize("seed", range(40))
def test_a_layer_loses_what_a_transfer_matrix_says(seed):
    """Independent: 2 × 2 matrices, the layer's phase with its attenuation; rounding, 1e-9."""
    random = Random(seed)
    frequency = 10 ** random.uniform(3, 6)
    density, speed = random.uniform(900, 2000), random.uniform(900, 3000)
    attenuation, thickness = random.uniform(0, 100), 10 ** random.uniform(-4, -1.7)
    front, back = random.uniform(1.4e6, 1.6e6), 10 ** random.uniform(5.5, 7.5)
    layer = resin_layer(frequency, density, speed, attenuation * frequency / 1e5, thickness)
    expected = stack_loss(frequency, front, [layer], back)
    found = matching.layer_loss(
        frequency=frequency,
        front_impedance=front,
        layer_density=density,
        layer_sound_speed=speed,
        thickness=thickness,
        attenuation=attenuation,
        attenuation_frequency=1e5,
        back_impedance=back,
    )
    assert found == pytest.approx(expected, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("row", [row.name for row in RESINS.rows])
@pytest.mark.parametrize(("thickness", "highest"), [(0.003, 2e4), (0.01, 2e5), (0.05, 5e5)])
@pytest.mark.parametrize("behind", ["water", "own"])
def test_no_frequency_of_the_band_costs_more_than_the_answer(row, thickness, highest, behind):
    """Independent: matrices at 4000 frequencies of the band; 0.05 dB for the peaks' places."""
    names = {"density": "resin_density", "sound_speed": "resin_sound_speed"}
    given = {
        names.get(column, column): _number(RESINS.cell(row, column).value)
        for column in ("density", "sound_speed", "attenuation")
    }
    found = match(**given, thickness=thickness, highest_wanted=highest, behind=behind)
    front = found["water_impedance"]
    back = front if behind == "water" else 30e6
    bare = stack_loss(1.0, front, [], back)
    costs = [
        stack_loss(
            f,
            front,
            [
                resin_layer(
                    f,
                    given["resin_density"],
                    given["resin_sound_speed"],
                    given["attenuation"] * f / 1e5,
                    thickness,
                )
            ],
            back,
        )
        - bare
        for f in np.linspace(highest / 4000, highest, 4000)
    ]
    assert found["layer_cost"] == pytest.approx(max(0.0, *costs), abs=0.05)


def _number(text: str) -> float:
    return float(text.split()[0])


def test_half_a_wave_lets_through_what_no_layer_would():
    """Limit: without attenuation a layer of half a wave is not there."""
    f = 2 * matching.quarter_wave_frequency(sound_speed=2500, thickness=0.01)
    loss = matching.layer_loss(
        frequency=f,
        front_impedance=1.5e6,
        layer_density=1160,
        layer_sound_speed=2500,
        thickness=0.01,
        attenuation=0,
        attenuation_frequency=1e5,
        back_impedance=30e6,
    )
    bare = matching.interface_loss(front_impedance=1.5e6, back_impedance=30e6)
    assert loss == pytest.approx(bare, abs=1e-9)


def test_a_quarter_wave_of_the_mean_impedance_matches_perfectly():
    """Limit: √(Z₁Z₃) between Z₁ and Z₃ loses nothing at its quarter wave."""
    speed, mean = 2500.0, math.sqrt(1.5e6 * 30e6)
    loss = matching.layer_loss(
        frequency=speed / 0.04,
        front_impedance=1.5e6,
        layer_density=mean / speed,
        layer_sound_speed=speed,
        thickness=0.01,
        attenuation=0,
        attenuation_frequency=1e5,
        back_impedance=30e6,
    )
    assert loss == pytest.approx(0, abs=1e-9)


def test_a_very_thick_layer_overflows_nothing():
    """Limit: a layer that swallows three million decibels gives that number."""
    found = matching.layer_loss(
        frequency=1e6,
        front_impedance=1.5e6,
        layer_density=1000,
        layer_sound_speed=1500,
        thickness=0.3,
        attenuation=1e4,
        attenuation_frequency=1e3,
        back_impedance=1.5e6,
    )
    assert found == pytest.approx(3e6, rel=1e-4)


def test_a_layer_that_leaves_only_silence_is_refused():
    """The limit in the message is 400 dB through the layer: 33.3 dB/m at 1 kHz here."""
    given = {"attenuation_frequency": 1e3, "thickness": 0.3, "highest_wanted": 40e3}
    with pytest.raises(InputError, match=r"more than 400.dB .* at most 33\.3.dB/m") as refused:
        match(**given, attenuation=33.4)
    assert refused.value.name == "attenuation"
    assert match(**given, attenuation=33.3)["layer_cost"] == pytest.approx(399.6, abs=3)


@pytest.mark.parametrize("card", [ACOUSTIC_MATCH, BUBBLE_RESONANCE])
def test_a_resin_stiffer_in_shear_than_its_sound_speed_allows_is_refused(card):
    """500 m/s at 1000 kg/m³ leave room for 125 MPa; the bulk modulus would be below zero."""
    values = defaults(card) | {
        "resin_density": 1000.0,
        "resin_sound_speed": 500.0,
        "shear_modulus": 30e9,
    }
    with pytest.raises(InputError, match=r"Give less than 125\.0.MPa") as refused:
        evaluate(card, values)
    assert refused.value.name == "shear_modulus"


@pytest.mark.parametrize("thickness", [1e-6, 1e-5, 1e-4, 1e-3])
@pytest.mark.parametrize("back", [1.5e6, 30e6])
def test_a_film_of_air_costs_what_a_layer_of_air_costs(thickness, back):
    """Independent: the film with its inertia, by matrices; 0.02 dB while it is thin."""
    corner = matching.film_corner(
        film_thickness=thickness,
        gas_stiffness=1.4 * AIR,
        front_impedance=1.5e6,
        back_impedance=back,
    )
    bare = stack_loss(1.0, 1.5e6, [], back)
    for frequency in (10.0, 1e3, 1e4, 1.7e4):
        exact = stack_loss(frequency, 1.5e6, [air_layer(frequency, 1.4 * AIR, thickness)], back)
        found = matching.film_loss(frequency=frequency, corner=corner)
        assert found == pytest.approx(exact - bare, abs=0.15 if thickness == 1e-3 else 0.02)


def test_four_media_give_the_film_behind_the_default_layer():
    """Independent: water, resin, film, water by matrices; a thin layer moves the film little."""
    values = defaults(ACOUSTIC_MATCH)
    found = match()
    front, f = found["water_impedance"], float(values["highest_wanted"])
    layer = resin_layer(
        f,
        float(values["resin_density"]),
        float(values["resin_sound_speed"]),
        float(values["attenuation"]) * f / 1e5,
        float(values["thickness"]),
    )
    film = air_layer(f, 1.4 * AIR, 1e-4)
    exact = stack_loss(f, front, [layer, film], front) - stack_loss(f, front, [layer], front)
    assert found["film_loss"] == pytest.approx(exact, abs=1.0)


def through_a_gap(
    gap: float, gas: float, bulk: float, shear: float, diameter: float, coat: float, shape: str
) -> float:
    """Level in a gap of gas over that without it, by finite elements along the coat's radius."""
    inner, outer = diameter / 2, diameter / 2 + coat
    power = {"tube": 1, "sphere": 2}[shape]
    points = inner * (outer / inner) ** np.linspace(0, 1, 101)
    basis = Basis(MeshLine(points), ElementLineP2(), intorder=6)
    direct, cross = bulk + 4 / 3 * shear, bulk - 2 / 3 * shear

    @BilinearForm
    def energy(u, v, w):
        """Strain along the radius, and across it in one direction (tube) or in two (sphere)."""
        r = w.x[0]
        a = [grad(u)[0]] + [u / r] * power
        b = [grad(v)[0]] + [v / r] * power
        stress = [direct * a[i] + cross * (sum(a) - a[i]) for i in range(len(a))]
        return r**power * sum(s * e for s, e in zip(stress, b, strict=True))

    matrix = energy.assemble(basis).tolil()
    (inside,) = basis.get_dofs(lambda x: np.isclose(x[0], inner)).all()
    (outside,) = basis.get_dofs(lambda x: np.isclose(x[0], outer)).all()
    force = np.zeros(basis.N)
    force[outside] = -(outer**power)

    def pressure(spring: float) -> float:
        held = matrix.copy()
        held[inside, inside] += spring * inner**power
        return float(-spring * fem_solve(held.tocsr(), force)[inside])

    return 20 * math.log10(pressure(gas / gap) / pressure(1e9 * bulk / inner))


def moduli(row: str) -> tuple[float, float]:
    """Bulk and shear modulus of a resin of the table, in Pa."""
    density, speed, shear = (
        _number(RESINS.cell(row, c).value) for c in ("density", "sound_speed", "shear_modulus")
    )
    return density * speed**2 - 4 / 3 * shear * 1e6, shear * 1e6


@pytest.mark.parametrize("row", ["epoxy-stiff", "polyurethane-stiff", "polyurethane-soft"])
@pytest.mark.parametrize("gap", [1e-6, 1e-4])
@pytest.mark.parametrize("coat", [0.5, 0.022, 0.003])
@pytest.mark.parametrize("shape", ["tube", "sphere"])
def test_a_gap_holds_off_what_finite_elements_of_the_coat_hold_off(row, gap, coat, shape):
    """Independent: the coat by finite elements, the gas as a spring on its inner face; 1 mdB."""
    bulk, shear = moduli(row)
    found = matching.gap_level(
        gap_thickness=gap,
        gas_stiffness=1.4 * AIR,
        shear_modulus=shear,
        bulk_modulus=bulk,
        element_diameter=0.022,
        coat_thickness=coat,
        shape=shape,
    )
    exact = through_a_gap(gap, 1.4 * AIR, bulk, shear, 0.022, coat, shape)
    assert found == pytest.approx(exact, abs=1e-3)


def test_a_gap_in_a_thick_coat_that_cannot_be_compressed():
    """Limit: the wall gives way by R/(2 G) in a tube, R/(4 G) in a sphere, for each pascal."""
    given = {"gap_thickness": 1e-4, "gas_stiffness": 141855, "element_diameter": 0.022}
    for shape, factor in (("tube", 4), ("sphere", 8)):
        for shear in (4e8, 4.4e6):
            found = matching.gap_level(
                **given, shear_modulus=shear, bulk_modulus=1e16, coat_thickness=100, shape=shape
            )
            held = factor * shear * 1e-4 / (141855 * 0.022)
            assert found == pytest.approx(-20 * math.log10(1 + held), abs=1e-4)


def test_a_ceramic_that_gives_way_lets_two_decibels_more_through():
    """Claim of the page: a membrane of R/7 and 80 GPa behind the gap, in thick stiff epoxy."""
    _, shear = moduli("epoxy-stiff")
    coat, ceramic, gas = 1 / (2 * shear), 7 / 80e9, 1e-4 / 0.011 / (1.4 * AIR)
    more = 20 * math.log10((1 + gas / coat) / (1 + gas / (coat + ceramic)))
    assert 1.5 < more < 2.5


def test_air_kills_the_response_and_impedance_does_not():
    """The page's claim: every resin that is poured costs less than 1 dB here, the film over 20."""
    for row in RESINS.rows:
        values = {
            "resin_density": _number(row.cells["density"].value),
            "resin_sound_speed": _number(row.cells["sound_speed"].value),
            "attenuation": _number(row.cells["attenuation"].value),
        }
        found = match(**values, thickness=0.005, highest_wanted=2e4)
        assert found["layer_cost"] < 1
        assert found["film_loss"] > 20


# Bubbles


def breathing(
    diameter: float, pressure: float, density: float, exponent: float, tension: float, shear: float
) -> float:
    """Frequency of small oscillations, from the Rayleigh-Plesset equation stepped in time."""
    rest = diameter / 2
    gas = pressure + 2 * tension / rest
    guess = bubble.bubble_resonance(
        diameter=diameter,
        pressure=pressure,
        density=density,
        polytropic_exponent=exponent,
        surface_tension=tension,
        shear_modulus=shear,
    )

    def slope(_: float, state: list[float]) -> list[float]:
        x, v = state
        radius, speed = rest * (1 + x), rest * v
        wall = gas * (rest / radius) ** (3 * exponent) - pressure - 2 * tension / radius
        wall -= 4 / 3 * shear * (1 - (rest / radius) ** 3)
        return [v, (wall / density - 1.5 * speed**2) / (radius * rest)]

    def turning(_: float, state: list[float]) -> float:
        return state[1]

    turning.direction = -1  # type: ignore[attr-defined]
    done = solve_ivp(
        slope, [0, 10.5 / guess], [1e-4, 0], events=turning, rtol=1e-10, atol=1e-14, method="DOP853"
    )
    tops = [t for t in done.t_events[0] if t > 0.5 / guess]
    return (len(tops) - 1) / (tops[-1] - tops[0])


@pytest.mark.parametrize(
    "given",
    [
        (2e-3, AIR, 1000, 1.4, 0, 0),
        (1e-3, 2.2e5, 1027, 1.35, 0.0727, 0),
        (1e-5, AIR, 998, 1.02, 0.0727, 0),
        (1e-3, AIR, 1016, 1.4, 0, 4.4e6),
        (3e-4, 5e5, 1084, 1.2, 0, 0.3e6),
    ],
)
def test_a_bubble_breathes_as_the_equation_of_motion_says(given):
    """Simulation: Rayleigh-Plesset with surface tension and elastic wall, scipy; 1e-5."""
    names = ("diameter", "pressure", "density", "polytropic_exponent", "surface_tension")
    found = bubble.bubble_resonance(**dict(zip((*names, "shear_modulus"), given, strict=True)))
    assert found == pytest.approx(breathing(*given), rel=1e-5)


def phase_quarter(diameter: float, density: float, speed: float, shear: float, gas: float) -> float:
    """Frequency at which the wall lags a quarter turn, from the waves of a compressible solid.

    A spherical wave u = ∂/∂r (exp(−ikr)/r) outside; stress at the wall against the gas inside.
    """
    radius = diameter / 2
    lame = density * speed**2 - 2 * shear

    def stiffness(frequency: float) -> complex:
        k = 2 * math.pi * frequency / speed

        def u(r: float) -> complex:
            return -(1 + 1j * k * r) * cmath.exp(-1j * k * r) / r**2

        step = 1e-5 * radius
        strain = (u(radius + step) - u(radius - step)) / (2 * step)
        stress = (lame + 2 * shear) * strain + 2 * lame * u(radius) / radius
        return -stress / u(radius) + 3 * gas / radius

    low, high = 1.0, 1e8
    for _ in range(100):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if stiffness(middle).real > 0 else (low, middle)
    return low


@pytest.mark.parametrize(
    ("row", "slack"), [("silicone", 0.002), ("polyurethane-soft", 0.01), ("rho-c-rubber", 0.002)]
)
def test_in_soft_solids_the_compressible_wave_rings_at_the_same_frequency(row, slack):
    """Independent: exact spherical waves of a solid that can be compressed, by row of the table."""
    density, speed, shear = (
        _number(RESINS.cell(row, c).value) for c in ("density", "sound_speed", "shear_modulus")
    )
    shear *= 1e6
    found = bubble.bubble_resonance(
        diameter=1e-3,
        pressure=AIR,
        density=density,
        polytropic_exponent=1.4,
        surface_tension=0,
        shear_modulus=shear,
    )
    exact = phase_quarter(1e-3, density, speed, shear, 1.4 * AIR)
    assert found == pytest.approx(exact, rel=slack)


def test_the_note_of_a_bubble_is_five_per_cent_low_at_the_limit_that_the_caution_names():
    """Independent: exact waves at G = ρc²/40; the caution comes beyond it, and not in water."""
    given = {"place": "resin", "resin_density": 1050.0, "resin_sound_speed": 1500.0}
    limit = 1050 * 1500**2 / 40
    exact = phase_quarter(1e-3, 1050.0, 1500.0, limit, 1.4 * AIR)
    found = rings(**given, shear_modulus=limit, depth=0.0)["resonance"]
    assert found / exact == pytest.approx(0.95, abs=0.005)
    (caution,) = [c for c in BUBBLE_RESONANCE.cautions if "no clear note" in c.title]
    for place, shear, warned in (
        ("resin", 0.99 * limit, False),
        ("resin", 1.01 * limit, True),
        ("water", 1.01 * limit, False),
    ):
        values = defaults(BUBBLE_RESONANCE) | given | {"place": place, "shear_modulus": shear}
        assert caution.when(values, evaluate(BUBBLE_RESONANCE, values)) is warned


def test_stiff_epoxy_lets_no_bubble_ring():
    """The page's claim: the wave sent off damps it, 2 c_s/c_p: 0.8 in epoxy, 0.1 in soft resin."""
    damping = {}
    for row in ("epoxy-stiff", "polyurethane-soft"):
        density, speed, shear = (
            _number(RESINS.cell(row, c).value) for c in ("density", "sound_speed", "shear_modulus")
        )
        damping[row] = 2 * math.sqrt(shear * 1e6 / density) / speed
    assert damping["epoxy-stiff"] > 0.8
    assert damping["polyurethane-soft"] < 0.1


def polytropic(diameter: float) -> float:
    """Exponent of air at the bubble's own resonance in water, from heat that diffuses in it."""
    radius, exponent = diameter / 2, 1.2
    for _ in range(50):
        f = math.sqrt(3 * exponent * AIR / 1000) / (2 * math.pi * radius)
        ratio = 2.1e-5 / (2 * math.pi * f * radius**2)
        root = cmath.sqrt(1j / ratio)
        whole = 3 * 1.4 / (1 - 3 * 0.4 * 1j * ratio * (root / cmath.tanh(root) - 1))
        exponent = whole.real / 3
    return exponent


@pytest.mark.parametrize(
    ("diameter", "hinted"), [(1e-2, 1.38), (1e-3, 1.35), (1e-4, 1.24), (1e-5, 1.02)]
)
def test_the_hint_gives_the_exponent_that_heat_flow_gives(diameter, hinted):
    """Independent: linear heat flow in the gas (2.1e-5 m²/s for air), at its own resonance."""
    assert polytropic(diameter) == pytest.approx(hinted, abs=0.01)
    assert f"{hinted:.2f} at {diameter * 1e3:g} mm" in (
        BUBBLE_RESONANCE.inputs_by_name["polytropic_exponent"].hint
    )


@pytest.mark.parametrize("fraction", [0.0, 1e-5, 1e-3, 0.03, 0.1])
@pytest.mark.parametrize("shear", [1e-3, 0.3e6, 4.4e6, 60e6])
def test_gas_softens_a_solid_as_a_sphere_with_gas_inside(fraction, shear):
    """Independent: gas in the middle of a sphere, boundary conditions solved; 1e-9."""
    density, speed, gas = 1050.0, 1500.0, 1.4 * AIR
    bulk = density * speed**2 - 4 / 3 * shear
    inner = max(fraction, 1e-30)
    # Displacement A r + B / r²; at the gas the stress is 3 K u / r, outside u is one millionth.
    a, b = np.linalg.solve(
        [[3 * bulk - 3 * gas, -(4 * shear + 3 * gas) / inner], [1, 1]], [0, 1e-6]
    )
    whole = (3 * bulk * a - 4 * shear * b) / 3e-6
    expected = math.sqrt((whole + 4 / 3 * shear) / ((1 - fraction) * density))
    found = bubble.bubbly_sound_speed(
        gas_fraction=fraction,
        density=density,
        sound_speed=speed,
        gas_stiffness=gas,
        shear_modulus=shear,
    )
    assert found == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("depth", [0, 1, 12, 100, 1000])
def test_the_pressure_is_that_of_the_sea(depth):
    """Reference library: gsw at 45°; compression left out, 0.5 % at 1000 m."""
    expected = float(gsw.p_from_z(-depth, 45)) * 1e4 + AIR
    density = float(gsw.rho(35.16504, 10, 0))
    found = bubble.pressure_at_depth(depth=depth, water_density=density, air_pressure=AIR)
    assert found == pytest.approx(expected, rel=0.005)


def test_a_liquid_without_tension_gives_minnaert():
    """Limit: the long formula ends in the short one."""
    given = {"diameter": 1e-3, "pressure": 2e5, "density": 1027, "polytropic_exponent": 1.4}
    long = bubble.bubble_resonance(**given, surface_tension=0, shear_modulus=0)
    assert long == pytest.approx(bubble.minnaert(**given), rel=1e-14)


def test_the_size_that_resonates_is_found_by_solving():
    """Independent: the answer put back into Minnaert's formula written here."""
    values = defaults(BUBBLE_RESONANCE) | {"place": "water", "depth": 0.0}
    size = solve(BUBBLE_RESONANCE, values, "free_resonance", 1000.0, "diameter")
    pressure, density = float(values["air_pressure"]), float(values["water_density"])
    f = math.sqrt(3 * 1.4 * pressure / density) / (math.pi * size)
    assert f == pytest.approx(1000, rel=1e-9)


def test_depth_raises_the_note_in_water_and_hardly_in_resin():
    """The page's claim: by √(p/p₀) in water; resin holds the bubble whatever the depth."""
    water = rings(place="water", depth=12.0, surface_tension=0.0)
    ratio = water["resonance"] / water["surface_resonance"]
    assert ratio == pytest.approx(math.sqrt(water["pressure"] / AIR), rel=1e-9)
    held = rings(place="resin", depth=12.0)
    assert held["resonance"] / held["surface_resonance"] < 1.02


def test_what_is_not_asked_for_does_not_count():
    """In water the resin's values change nothing, and the other way round."""
    assert rings(place="water", shear_modulus=1e9, resin_density=3000.0) == rings(place="water")
    assert rings(place="resin", surface_tension=0.3) == rings(place="resin")


# Pours


def test_two_parts_make_the_volume_that_was_asked_for():
    """Independent: the volumes of both parts add up to the pour, all pours to the mould."""
    for basis in ("mass", "volume"):
        found = batch(mix_basis=basis)
        assert found["volume_a"] + found["volume_b"] == pytest.approx(found["pour_volume"])
        assert found["pour_volume"] * 2 == pytest.approx(1.2 * found["fill_volume"])
        assert found["total_mass_a"] == pytest.approx(2 * found["mass_a"])


def test_by_volume_and_by_mass_are_not_the_same():
    """Published: 100:26 by mass is 100:33 by volume for 1.16 and 0.92 g/cm³, whole parts."""
    densities = {"density_a": 1160.0, "density_b": 920.0, "parts_a": 100.0}
    by_mass = batch(mix_basis="mass", parts_b=26.0, **densities)
    by_volume = batch(mix_basis="volume", parts_b=33.0, **densities)
    assert by_mass["mass_b"] == pytest.approx(by_volume["mass_b"], rel=0.02)
    mistaken = batch(mix_basis="mass", parts_b=33.0, **densities)
    assert mistaken["mass_b"] / by_volume["mass_b"] > 1.15


@pytest.mark.parametrize(
    ("mould", "given", "inside"),
    [
        ("cylinder", {"diameter": 0.03, "length": 0.06}, lambda x, y, z: np.hypot(x, y) < 0.015),
        (
            "ring",
            {"core_diameter": 0.02, "gap": 0.005, "length": 0.06},
            lambda x, y, z: (np.hypot(x, y) < 0.015) & (np.hypot(x, y) > 0.01),
        ),
        (
            "box",
            {"length": 0.06, "width": 0.03, "height": 0.02},
            lambda x, y, z: (abs(x) < 0.015) & (abs(y) < 0.01),
        ),
    ],
)
def test_a_mould_holds_the_points_that_lie_inside(mould, given, inside):
    """Independent: points of a fine grid inside the shape; 0.5 %."""
    sides = (np.arange(400) + 0.5) / 400 * 0.03 - 0.015
    x, y = np.meshgrid(sides, sides)
    part = inside(x, y, 0).mean() * 0.03 * 0.03 * 0.06
    found = batch(mould=mould, insert_count=0.0, **given)
    assert found["mould_volume"] == pytest.approx(part, rel=0.005)


def test_weighed_water_gives_the_volume():
    """Reference: 100 g at 20 °C is 100.29 mL, buoyancy counted; without it 100.18 mL."""
    found = batch(mould="water", water_mass=0.1, water_temperature=20.0)
    assert found["mould_volume"] == pytest.approx(100.285e-6, rel=1e-5)


def test_inserts_are_taken_off():
    """Limit: two rows, one with three pieces; none at all leaves the whole mould."""
    none = batch(insert_count=0.0)
    assert none["fill_volume"] == none["mould_volume"]
    values = defaults(RESIN_BATCH) | {
        "insert_diameter_2": 0.004,
        "insert_length_2": 0.05,
        "insert_count_2": 3.0,
    }
    both = evaluate(RESIN_BATCH, values)
    pieces = math.pi / 4 * (0.022**2 * 0.025 + 3 * 0.004**2 * 0.05)
    assert both["insert_volume"] == pytest.approx(pieces)
    assert both["fill_volume"] == pytest.approx(both["mould_volume"] - pieces)


@pytest.mark.parametrize(
    ("mass_a", "mass_b", "tolerance"),
    [(0.04, 0.01, 0.02), (0.017, 0.005, 0.02), (0.1, 0.1, 0.05), (0.2, 0.004, 0.01)],
)
def test_the_step_just_keeps_the_ratio(mass_a, mass_b, tolerance):
    """Simulation: 20 000 weighings rounded at zero and at the reading; never over, often near."""
    step = resin.coarsest_step(mass_a=mass_a, mass_b=mass_b, ratio_tolerance=tolerance)
    random = np.random.default_rng(3)
    off = random.uniform(-0.5, 0.5, (20_000, 4)) * step
    ratios = (mass_b + off[:, 0] + off[:, 1]) / (mass_a + off[:, 2] + off[:, 3])
    worst = np.abs(ratios / (mass_b / mass_a) - 1).max()
    assert 0.7 * tolerance < worst < 1.03 * tolerance


def test_common_practice_one_pour_round_a_small_tube():
    """Common practice, no source: about 80 mL, one to one by volume, for a pour round a tube.

    A plausibility check only: a cup of 45 mm by 60 mm with an element of 22 mm by 25 mm.
    """
    found = batch(
        diameter=0.045, mix_basis="volume", parts_a=1.0, parts_b=1.0, pours=1.0, waste=0.0
    )
    assert 60e-6 < found["pour_volume"] < 100e-6
    assert found["volume_a"] == pytest.approx(found["volume_b"])


# Refusals


@pytest.mark.parametrize(
    ("calculator", "field", "text"),
    [
        ("acoustic-match", "resin_density", "499 kg/m³"),
        ("acoustic-match", "resin_sound_speed", "-1 m/s"),
        ("acoustic-match", "attenuation", "-1 dB/m"),
        ("acoustic-match", "thickness", "0 mm"),
        ("acoustic-match", "film_thickness", "2 mm"),
        ("acoustic-match", "behind", "steel"),
        ("acoustic-match", "highest_wanted", "2 MHz"),
        ("bubble-resonance", "diameter", "0 mm"),
        ("bubble-resonance", "depth", "-1 m"),
        ("bubble-resonance", "polytropic_exponent", "0.9"),
        ("bubble-resonance", "gas_fraction", "11 %"),
        ("bubble-resonance", "shear_modulus", "-1 MPa"),
        ("resin-batch", "waste", "-1 %"),
        ("resin-batch", "pours", "1.5"),
        ("resin-batch", "parts_b", "0"),
        ("resin-batch", "density_a", "0.1 g/cm³"),
        ("resin-batch", "mix_basis", "moles"),
        ("resin-batch", "ratio_tolerance", "0 %"),
    ],
)
def test_a_value_beyond_the_range_is_refused_with_what_is_accepted(calculator, field, text):
    """The form names the field; nothing is calculated or clamped."""
    card = CALCULATORS[calculator]
    texts = {
        i.name: i.default if isinstance(i, Choice) else i.field_text(i.default_si, "metric")
        for i in card.inputs
    }
    with pytest.raises(FormError) as refused:
        read(card, texts | {field: text}, {}, "metric")
    (error,) = refused.value.errors
    assert error.name == field
    assert "Give" in error.message or "is not one of" in error.message


def turned(length: float, diameter: float, sides: tuple[float, float, float], flat: bool) -> bool:
    """Whether a rod goes into a box in one of many directions; ``flat``: in a plane, for a cup."""
    polar = np.linspace(0, np.pi / 2, 1201)
    around = np.array([0.0]) if flat else np.linspace(0, np.pi / 2, 601)
    p, a = np.meshgrid(polar, around)
    axis = np.stack([np.sin(p) * np.cos(a), np.sin(p) * np.sin(a), np.cos(p)])
    extents = length * axis + diameter * np.sqrt(1 - axis**2)
    room = np.array(sides).reshape(3, 1, 1) * (1 + 1e-4)
    return bool((extents <= room).all(axis=0).any())


@pytest.mark.parametrize("seed", range(60))
@pytest.mark.parametrize("mould", ["cylinder", "ring", "box"])
def test_a_piece_is_refused_just_when_no_way_of_turning_it_lets_it_in(mould, seed):
    """Independent: a rod turned in thousands of directions; pieces within 0.5 % of fitting skipped.

    In a ring a piece lies on one side of the core: as deep as the gap, as wide as the chord.
    """
    random = Random(seed)
    width, depth = random.uniform(0.02, 0.06), random.uniform(0.02, 0.08)
    other, gap = random.uniform(0.02, 0.06), random.uniform(0.005, 0.02)
    given = {
        "cylinder": {"diameter": width, "length": depth},
        "ring": {"core_diameter": width, "gap": gap, "length": depth},
        "box": {"length": depth, "width": width, "height": other},
    }[mould]
    chord = 2 * math.sqrt((width / 2 + gap) ** 2 - (width / 2) ** 2)
    sides = {
        "cylinder": (width, width, depth),
        "ring": (gap, chord, depth),
        "box": (width, other, depth),
    }[mould]
    diameter = random.uniform(0.001, 1.2 * min(sides[:2]))
    length = random.uniform(0.001, 1.3 * max(sides))
    small, large = (
        turned(length * f, diameter * f, sides, mould == "cylinder") for f in (0.995, 1.005)
    )
    if small != large:
        return
    room = batch(mould=mould, insert_count=0.0, **given)["mould_volume"]
    if math.pi / 4 * diameter**2 * length >= room:
        return
    piece = {"insert_diameter": diameter, "insert_length": length}
    if small:
        assert batch(mould=mould, **given, **piece)["insert_volume"] > 0
        return
    with pytest.raises(InputError, match="does not go into this mould"):
        batch(mould=mould, **given, **piece)


@pytest.mark.parametrize(
    ("changed", "name", "said"),
    [
        ({"insert_diameter": 0.04}, "insert_diameter", r"at most 30\.0.mm"),
        ({"insert_diameter": 0.028, "insert_length": 0.07}, "insert_length", r"at most 60\.0.mm"),
        (
            {"insert_diameter": 1e-3, "insert_length": 0.07},
            "insert_length",
            r"at most 66\.[0-9].mm",
        ),
        (
            {"mould": "ring", "insert_diameter": 0.006, "insert_length": 0.02},
            "insert_diameter",
            r"at most 5\.00.mm",
        ),
        (
            {"mould": "box", "height": 0.01, "insert_length": 0.025},
            "insert_diameter",
            r"at most 10\.0.mm",
        ),
    ],
)
def test_a_piece_that_does_not_fit_is_refused_with_what_does(changed, name, said):
    """Cup of 30 mm by 60 mm; ring of 5 mm; box 60 × 30 × 10 mm: the field and its limit."""
    with pytest.raises(InputError, match=said) as refused:
        batch(**changed)
    assert refused.value.name == name


def test_only_pieces_that_are_counted_have_to_fit_and_each_row_is_named():
    """None of them takes no room; the second row's field has its number."""
    assert batch(insert_diameter=0.04, insert_count=0.0)["insert_volume"] == 0
    values = defaults(RESIN_BATCH) | {
        "insert_diameter_2": 0.004,
        "insert_length_2": 0.09,
        "insert_count_2": 1.0,
    }
    with pytest.raises(InputError) as refused:
        evaluate(RESIN_BATCH, values)
    assert refused.value.name == "insert_length_2"
    weighed = {"mould": "water", "insert_diameter": 0.1, "insert_length": 0.001}
    assert batch(**weighed)["insert_volume"] == pytest.approx(math.pi / 4 * 0.01 * 0.001)


def test_inserts_larger_than_the_mould_are_refused_with_both_volumes():
    """The message says how much room there is, and what they take."""
    with pytest.raises(InputError, match=r"only 42\.4.mL .* take 95\.0.mL") as refused:
        batch(insert_count=10.0)
    assert refused.value.name == "insert_count"


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda x: matching.acoustic_impedance(density=x, sound_speed=1500), "density"),
        (
            lambda x: matching.interface_loss(front_impedance=1e6, back_impedance=x),
            "back_impedance",
        ),
        (
            lambda x: matching.pressure_reflection(front_impedance=x, back_impedance=1e6),
            "front_impedance",
        ),
        (lambda x: matching.quarter_wave_frequency(sound_speed=1500, thickness=x), "thickness"),
        (lambda x: matching.film_loss(frequency=1e3, corner=x), "corner"),
        (
            lambda x: matching.gap_level(
                gap_thickness=x,
                gas_stiffness=1e5,
                shear_modulus=1e6,
                bulk_modulus=1e9,
                element_diameter=0.02,
                coat_thickness=0.01,
                shape="tube",
            ),
            "gap_thickness",
        ),
        (lambda x: bubble.gas_stiffness(pressure=x, polytropic_exponent=1.4), "pressure"),
        (
            lambda x: bubble.gas_stiffness(pressure=1e5, polytropic_exponent=x),
            "polytropic_exponent",
        ),
        (
            lambda x: bubble.pressure_at_depth(depth=x, water_density=1e3, air_pressure=1e5),
            "depth",
        ),
        (
            lambda x: resin.tube_volume(outer_diameter=x, inner_diameter=0, length=1),
            "outer_diameter",
        ),
        (lambda x: resin.weighed_volume(mass=1, water_density=x), "water_density"),
        (lambda x: resin.pour_volume(volume=1, waste=x, pours=1), "waste"),
        (lambda x: resin.mixed_density(mass_ratio=x, density_a=1e3, density_b=1e3), "mass_ratio"),
        (
            lambda x: resin.coarsest_step(mass_a=1, mass_b=1, ratio_tolerance=x),
            "ratio_tolerance",
        ),
    ],
)
@pytest.mark.parametrize("wrong", [-1.0, math.nan, math.inf])
def test_a_formula_refuses_an_impossible_argument_by_name(call, name, wrong):
    """Each names the argument and its range."""
    with pytest.raises(InputError, match=f"{name} must be") as refused:
        call(wrong)
    assert refused.value.name == name


def test_a_bore_wider_than_the_tube_and_a_full_mould_are_refused():
    """No negative volumes, no tube without a wall, and nothing to pour is no pour."""
    with pytest.raises(InputError, match="inner_diameter must be from"):
        resin.tube_volume(outer_diameter=1, inner_diameter=1.1, length=1)
    with pytest.raises(InputError, match="inner_diameter must be below"):
        resin.tube_volume(outer_diameter=1, inner_diameter=1, length=1)
    with pytest.raises(InputError, match="insert_volume must be below"):
        resin.fill_volume(mould_volume=1, insert_volume=1)
    with pytest.raises(InputError, match="basis must be mass or volume"):
        resin.mass_ratio(parts_a=1, parts_b=1, basis="moles", density_a=1, density_b=1)


# Pages


def printed_commands() -> list[str]:
    """Every command line that the three pages print."""
    pages = [DOCS / "calculators" / f"{card.id}.md" for card in CARDS]
    lines = [line for page in pages for line in page.read_text(encoding="utf-8").splitlines()]
    return [line for line in lines if line.startswith("python -m calculators run")]


@pytest.mark.parametrize("command", printed_commands())
def test_a_printed_command_answers(command):
    """What a reader copies from the page gives an answer, and nothing on stderr."""
    arguments = shlex.split(command)[1:]
    done = subprocess.run([sys.executable, *arguments], capture_output=True, text=True, timeout=60)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout


def test_the_exponent_moves_the_note_by_as_much_as_the_page_says():
    """Independent: the square root of 1.4, 18 %."""
    low, high = (rings(place="water", polytropic_exponent=k) for k in (1.0, 1.4))
    ratio = high["free_resonance"] / low["free_resonance"]
    assert ratio == pytest.approx(1.18, abs=0.005)
