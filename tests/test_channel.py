"""Shallow water: the modes against roots, differences and a wave-number integral."""

from cmath import cos, sin, sqrt
from math import log10, pi

import numpy as np
import pytest
from scipy.linalg import eigvalsh_tridiagonal
from scipy.optimize import brentq, newton
from scipy.special import jv

from calculators.cards.channel import SHALLOW_CUTOFF
from calculators.errors import InputError
from calculators.evaluate import defaults, evaluate
from calculators.fills import expand
from calculators.formulas import bubble, channel
from calculators.tables.bottom_sound import BOTTOM_SOUND

SAND = {"bottom_sound_speed": 1650.0, "bottom_density": 1900.0, "bottom_attenuation": 0.8}
ROCK = {"bottom_sound_speed": 3000.0, "bottom_density": 2400.0, "bottom_attenuation": 0.1}
SILT = {"bottom_sound_speed": 1575.0, "bottom_density": 1700.0, "bottom_attenuation": 1.0}
CLAY = {"bottom_sound_speed": 1420.0, "bottom_density": 1500.0, "bottom_attenuation": 0.2}
GASSY = {"bottom_sound_speed": 150.0, "bottom_density": 1200.0, "bottom_attenuation": 3.0}
WATER = {"water_depth": 4.0, "water_sound_speed": 1450.0, "water_density": 1000.0}

PRINTED = {
    1: 0.4188332253e-1, 2: 0.4186958032e-1, 3: 0.4184666447e-1, 4: 0.4181455674e-1,
    5: 0.4177323161e-1, 6: 0.4172265636e-1, 7: 0.4166279103e-1, 8: 0.4159358848e-1,
    9: 0.4151499439e-1, 10: 0.4142694720e-1, 11: 0.4132937809e-1, 12: 0.4122221089e-1,
    13: 0.4110536194e-1, 14: 0.4097873993e-1, 15: 0.4084224568e-1, 16: 0.4069577186e-1,
    17: 0.4053920272e-1, 18: 0.4037241363e-1, 19: 0.4019527072e-1, 20: 0.4000763035e-1,
    21: 0.3980933859e-1, 22: 0.3960023053e-1,
}  # fmt: skip
"""Wave numbers of the Pekeris problem in the manual of a normal-mode program, as printed."""


def cutoff(bottom: dict[str, float]) -> float:
    if bottom["bottom_sound_speed"] <= 1450:
        return channel.yielding_cutoff(4.0, 1450.0)
    return channel.pekeris_cutoff(4.0, 1450.0, bottom["bottom_sound_speed"], mode=1)


@pytest.mark.parametrize("mode", PRINTED)
def test_wave_numbers_are_those_that_a_normal_mode_program_prints(mode: int) -> None:
    """Published: 10 Hz, 5000 m of 1500 m/s over 2000 m/s of twice the density."""
    found = channel.trapped_wavenumber(10, 5000, 1500, 2000, 1000, 2000, mode)
    assert found == pytest.approx(PRINTED[mode], rel=2e-8)


@pytest.mark.parametrize("bottom", [1550.0, 1650.0, 1950.0, 5250.0])
@pytest.mark.parametrize("over", [1.0001, 1.05, 1.5, 2.9])
def test_trapped_modes_solve_the_characteristic_equation(bottom: float, over: float) -> None:
    """Independent: brentq on the equation as the textbooks have it."""
    f = over * channel.pekeris_cutoff(4.0, 1450.0, bottom, mode=1)
    k, kb, ratio = 2 * pi * f / 1450, 2 * pi * f / bottom, 1.9
    a = 4 * (k * k - kb * kb) ** 0.5

    def equation(x: float) -> float:
        return (a * a - x * x) ** 0.5 * np.sin(x) + ratio * x * np.cos(x)

    root = brentq(equation, pi / 2, min(a, pi), xtol=1e-14)
    found = channel.trapped_wavenumber(f, 4.0, 1450.0, bottom, 1000.0, 1900.0, mode=1)
    assert found == pytest.approx((k * k - (root / 4) ** 2) ** 0.5, rel=1e-9)


def test_newton_holds_up_to_the_highest_frequency_of_the_form() -> None:
    """A hundred thousand modes, the first, one in the middle and nearly the last."""
    top = channel.pekeris_cutoff(300, 1450, 1650, mode=1)
    count = channel.mode_count(200e3, top)
    for mode in (1, count // 2, count):
        number = channel.trapped_wavenumber(200e3, 300, 1450, 1650, 1000, 1900, mode)
        k = 2 * pi * 200e3 / 1450
        a = 300 * k * (1 - (1450 / 1650) ** 2) ** 0.5
        x = 300 * (k * k - number * number) ** 0.5
        left = x - (mode - 0.5) * pi
        assert left == pytest.approx(np.arctan((a * a - x * x) ** 0.5 / (1.9 * x)), abs=1e-4)


def count_by_differences(frequency: float, bottom: float, density: float) -> int:
    """Independent: trapped modes of 10 m of water over 1500 m of bottom, by finite differences.

    The operator d/dz (1/ρ d/dz) + k²/ρ as a symmetric matrix; eigenvalues between the bottom's and
    the water's squared wave number are the trapped modes.
    """
    step, water = 0.25, 40
    cells = int(1500 / step)
    rho = np.where(np.arange(cells) < water, 1.0, density)
    speed = np.where(np.arange(cells) < water, 1500.0, bottom)
    # nodes between cells: mean 1/ρ weights; node i lies under cell i
    weight = (1 / rho[:-1] + 1 / rho[1:]) / 2
    square = (2 * pi * frequency) ** 2
    inner = (square / (rho[:-1] * speed[:-1] ** 2) + square / (rho[1:] * speed[1:] ** 2)) / 2
    diagonal = inner - (1 / rho[:-1] + 1 / rho[1:]) / step**2
    off = 1 / rho[1:-1] / step**2
    scaled = diagonal / weight
    beside = off / np.sqrt(weight[:-1] * weight[1:])
    low = (2 * pi * frequency / bottom) ** 2
    values = eigvalsh_tridiagonal(
        scaled, beside, select="v", select_range=(low, (2 * pi * frequency / 1500) ** 2)
    )
    return len(values)


@pytest.mark.parametrize(("over", "modes"), [(0.9, 0), (1.15, 1), (2.7, 1), (3.3, 2), (5.3, 3)])
def test_modes_counted_by_finite_differences(over: float, modes: int) -> None:
    """Independent of the formula: eigenvalues of a matrix, on both sides of three cut-offs."""
    first = channel.pekeris_cutoff(10, 1500, 1700, mode=1)
    assert count_by_differences(over * first, 1700, 1.8) == modes
    assert channel.mode_count(over * first, first) == modes


def complex_root(frequency: float, bottom: dict[str, float]) -> complex:
    """Independent: wave number of the first mode, the exact complex root, by the secant method.

    y = H √(k_b² − κ²) is sought, of which the characteristic function is analytic everywhere.
    """
    k = 2 * pi * frequency / 1450
    delta = bottom["bottom_attenuation"] / (40 * pi * log10(np.e))
    kb = 2 * pi * frequency / bottom["bottom_sound_speed"] * (1 + 1j * delta)
    a2 = 16 * (k * k - kb * kb)
    ratio = bottom["bottom_density"] / 1000

    def equation(y: complex) -> complex:
        x = sqrt(y * y + a2)
        return y * sin(x) / x + 1j * ratio * cos(x)

    start = pi / 2 - 0.3j if bottom["bottom_sound_speed"] > 1450 else pi - 0.2j
    if bottom is ROCK or bottom is GASSY:
        start = start.real - 0.05j
    y = newton(equation, sqrt(start * start - a2), tol=1e-12, maxiter=200)
    found = complex(sqrt(k * k - (y * y + a2) / 16))
    return found if found.imag > 0 else -found


@pytest.mark.parametrize("bottom", [SAND, ROCK, SILT])
@pytest.mark.parametrize("share", [0.2, 0.4, 0.6, 0.7])
def test_leaking_below_the_cutoff_against_the_exact_root(
    bottom: dict[str, float], share: float
) -> None:
    """Within what the formula states: 10 % up to 0.6 of the cut-off, 15 % at 0.7."""
    f = share * cutoff(bottom)
    root = complex_root(f, bottom)
    near = 0.15 if share > 0.6 else 0.10
    found = channel.leaky_attenuation(f, **WATER, **bottom)
    assert found == pytest.approx(channel.NEPER * root.imag, rel=near)
    assert channel.leaky_wavenumber(f, **WATER, **bottom) == pytest.approx(abs(root), rel=near)


@pytest.mark.parametrize("bottom", [CLAY, GASSY])
@pytest.mark.parametrize("share", [0.4, 0.7, 1.0, 1.5, 2.0, 4.0])
def test_leaking_into_a_slower_bottom_against_the_exact_root(
    bottom: dict[str, float], share: float
) -> None:
    """Within the 15 % that the formula states."""
    f = share * cutoff(bottom)
    found = channel.leaky_attenuation(f, **WATER, **bottom)
    assert found == pytest.approx(channel.NEPER * complex_root(f, bottom).imag, rel=0.15)


@pytest.mark.parametrize("bottom", [SAND, ROCK, SILT])
@pytest.mark.parametrize("over", [1.3, 2.0, 4.0])
def test_trapped_attenuation_against_the_exact_root(bottom: dict[str, float], over: float) -> None:
    """Perturbation against the complex root with the absorption in it, within 3 %."""
    f = over * cutoff(bottom)
    k = 2 * pi * f / 1450
    number = channel.trapped_wavenumber(
        f, 4.0, 1450.0, bottom["bottom_sound_speed"], 1000.0, bottom["bottom_density"], mode=1
    )
    found = channel.trapped_attenuation(f, number, **WATER, **bottom)
    delta = bottom["bottom_attenuation"] / (40 * pi * log10(np.e))
    kb = 2 * pi * f / bottom["bottom_sound_speed"] * (1 + 1j * delta)
    ratio = bottom["bottom_density"] / 1000

    def equation(x: complex) -> complex:
        y = sqrt(x * x - 16 * (k * k - kb * kb))
        y = y if y.imag > 0 else -y
        return y * sin(x) + 1j * ratio * x * cos(x)

    x = newton(equation, 4 * (k * k - number * number) ** 0.5 + 0.001j, tol=1e-12)
    exact = channel.NEPER * complex(sqrt(k * k - x * x / 16)).imag
    assert found == pytest.approx(exact, rel=0.03)


def integrated(
    frequency: float, bottom: dict[str, float], distance: float, depths: tuple[float, float]
) -> float:
    """Independent: level against open water in dB, by integrating over all wave numbers.

    The field of a point source in a layer over a half-space, each plane wave reflected at the
    bottom and turned over at the surface; the path runs below the real axis, clear of the poles.
    """
    upper, lower = sorted(depths)
    k = 2 * pi * frequency / 1450
    delta = bottom["bottom_attenuation"] / (40 * pi * log10(np.e))
    kb = 2 * pi * frequency / bottom["bottom_sound_speed"] * (1 + 1j * delta)
    end = 3 * max(k, abs(kb)) + 40 / (lower - upper)
    turn = 1.5 * max(k, abs(kb)) + 0.5
    t = np.linspace(1e-9, end, 15_000)
    aside = min(1.5 / distance, 0.075)
    below = np.where(t < turn, np.sin(pi * t / turn), 0)
    slope = np.where(t < turn, pi / turn * np.cos(pi * t / turn), 0)
    kr, dk = t - 1j * aside * below, 1 - 1j * aside * slope
    gamma, gamma_b = outgoing(k * k - kr * kr), outgoing(kb * kb - kr * kr)
    ratio = bottom["bottom_density"] / 1000
    mirror = (gamma - gamma_b / ratio) / (gamma + gamma_b / ratio)
    turns = np.exp(1j * gamma * (lower - upper)) + mirror * np.exp(1j * gamma * (8 - lower - upper))
    kernel = (1 - np.exp(2j * gamma * upper)) * turns / (1 + mirror * np.exp(8j * gamma))
    field = np.trapezoid(1j / gamma * kernel * jv(0, kr * distance) * kr * dk, t)
    return 20 * log10(abs(field) * distance)


def outgoing(squared: np.ndarray) -> np.ndarray:
    root = np.sqrt(squared)
    return np.where(root.imag < 0, -root, root)


def test_the_integral_gives_two_images_where_there_is_no_bottom() -> None:
    """The check of the check: a bottom of water."""
    nothing = {"bottom_sound_speed": 1450.0, "bottom_density": 1000.0, "bottom_attenuation": 1e-9}
    direct, mirrored = np.hypot(30, 1.2), np.hypot(30, 6.0)
    k = 2 * pi * 200 / 1450
    exact = abs(np.exp(1j * k * direct) / direct - np.exp(1j * k * mirrored) / mirrored)
    assert integrated(200, nothing, 30, (2.4, 3.6)) == pytest.approx(
        20 * log10(exact * 30), abs=0.01
    )


@pytest.mark.parametrize("bottom", [SAND, ROCK, SILT])
@pytest.mark.parametrize(
    ("share", "distance", "near"),
    [
        (0.2, 40, 2.5),
        (0.4, 40, 2.5),
        (0.6, 40, 6),
        (0.2, 100, 2.5),
        (0.4, 100, 2.5),
        (0.6, 100, 2.5),
    ],
)
def test_the_wave_through_the_bottom_against_the_whole_field(
    bottom: dict[str, float], share: float, distance: float, near: float
) -> None:
    """Both near the bottom: within 2.5 dB of the integral, nearer the cut-off within 6 dB."""
    f = share * cutoff(bottom)
    depths = (3.2, 3.9)
    gamma = ((2 * pi * f / 1450) ** 2 - (2 * pi * f / bottom["bottom_sound_speed"]) ** 2) ** 0.5
    shallower = sum(20 * log10(np.sin(gamma * z) / np.sin(gamma * 4)) for z in depths)
    found = channel.bottom_wave_level(distance, f, **WATER, **bottom) + shallower
    assert found == pytest.approx(integrated(f, bottom, distance, depths), abs=near)


@pytest.mark.parametrize("share", [0.3, 0.6, 1.0])
def test_over_a_slower_bottom_it_is_an_upper_bound(share: float) -> None:
    """Never more than 2.5 dB below the integral; up to 10 dB above it."""
    f = share * cutoff(CLAY)
    found = channel.bottom_wave_level(60.0, f, **WATER, **CLAY)
    exact = integrated(f, CLAY, 60.0, (3.3, 3.9))
    assert -2.5 < found - exact < 10


@pytest.mark.parametrize("bottom", [ROCK, SAND])
@pytest.mark.parametrize(("over", "most"), [(1.5, 4.0), (2.5, 2.5), (2.9, 2.5)])
def test_a_trapped_mode_brings_at_least_what_the_integral_brings(
    bottom: dict[str, float], over: float, most: float
) -> None:
    """One mode alone, at two depths: at best, so a few decibels more where it is in the bottom."""
    f, distance, depths = over * cutoff(bottom), 60.0, (2.6, 3.2)
    number = channel.trapped_wavenumber(
        f, 4.0, 1450.0, bottom["bottom_sound_speed"], 1000.0, bottom["bottom_density"], mode=1
    )
    loss = channel.trapped_attenuation(f, number, **WATER, **bottom)
    gamma = ((2 * pi * f / 1450) ** 2 - number**2) ** 0.5
    shape = sum(20 * log10(np.sin(gamma * z)) for z in depths)
    found = channel.mode_level(distance, 4.0, number, loss) + shape
    exact = integrated(f, bottom, distance, depths)
    assert exact - 0.5 < found < exact + most


def test_a_gassy_bottom_fades_as_the_integral_fades() -> None:
    """Above the cut-off of soft mud, from 20 m to 60 m: the leaking mode's own loss."""
    f = 1.5 * cutoff(GASSY)
    near, far = (integrated(f, GASSY, r, (1.4, 2.2)) - 10 * log10(r) for r in (20.0, 60.0))
    found = channel.leaky_attenuation(f, **WATER, **GASSY) * 40
    assert near - far == pytest.approx(found, abs=0.8)


@pytest.mark.parametrize(("share", "speed"), [(0.01, "mud-gas"), (0.001, "mud-little-gas")])
def test_gassy_rows_are_woods_equation(share: float, speed: str) -> None:
    """At constant temperature, 140 kPa, 1200 kg/m³ and 1450 m/s without gas; rounded to 10 m/s."""
    found = bubble.bubbly_sound_speed(
        gas_fraction=share,
        density=1200,
        sound_speed=1450,
        gas_stiffness=bubble.gas_stiffness(pressure=140e3, polytropic_exponent=1.0),
        shear_modulus=0,
    )
    printed = float(BOTTOM_SOUND.cell(speed, "sound_speed").value.split()[0])
    assert found == pytest.approx(printed, abs=5)


@pytest.mark.parametrize(("row", "ratio"), [("clay", 1.0), ("silt", 1.05), ("sand", 1.1)])
def test_sediments_are_their_ratio_times_the_water(row: str, ratio: float) -> None:
    """Fresh and sea water of 10 °C."""
    for water, speed in (("fresh", 1447.3), ("sea", 1489.8)):
        printed = BOTTOM_SOUND.cell(f"{row}-{water}", "sound_speed").value.split()[0]
        assert float(printed) == pytest.approx(ratio * speed, abs=1)


def answer(**changed: object) -> dict[str, float]:
    return evaluate(SHALLOW_CUTOFF, defaults(SHALLOW_CUTOFF) | changed)


@pytest.mark.parametrize("bottom", [SAND, ROCK, SILT])
@pytest.mark.parametrize("share", [0.3, 0.5, 0.7, 0.9, 1.1, 1.5, 2.5])
def test_level_at_best_against_the_whole_field(bottom: dict[str, float], share: float) -> None:
    """60 m away, the best of three pairs of depths: 6 dB too little to 7 dB too much."""
    assert -6 < best_above_field(bottom, share) < 7


@pytest.mark.parametrize("bottom", [SAND, ROCK, SILT])
def test_level_at_best_at_the_cutoff_itself(bottom: dict[str, float]) -> None:
    """Most of the mode runs in the bottom there, which the level leaves out: up to 14 dB."""
    assert 0 < best_above_field(bottom, 1.0) < 14


def best_above_field(bottom: dict[str, float], share: float) -> float:
    """The level at best above that of the whole field at three pairs of depths, 60 m away."""
    f = share * cutoff(bottom)
    pairs = ((3.7, 3.9), (2.6, 3.8), (1.9, 2.6))
    exact = max(integrated(f, bottom, 60.0, pair) for pair in pairs)
    found = answer(**(WATER | bottom), distance=60.0, frequency=f)["best_level"]
    return float(found - exact)


def test_level_at_best_is_no_jump_at_the_cutoff() -> None:
    """A hair on either side: half a decibel at the most, over sand and over rock."""
    for bottom in (SAND, ROCK):
        f = cutoff(bottom)
        values = WATER | bottom | {"distance": 60.0}
        below = answer(**values, frequency=f * 0.999)["best_level"]
        above = answer(**values, frequency=f * 1.001)["best_level"]
        assert below == pytest.approx(above, abs=0.5)


@pytest.mark.parametrize("speed", [1453.0, 1465.0, 1480.0, 1500.0])
@pytest.mark.parametrize("distance", [60.0, 400.0])
def test_a_bottom_about_as_fast_as_the_water_makes_no_jump_either(
    speed: float, distance: float
) -> None:
    """What is trapped loses no more than what leaks: the exact root changes smoothly as well."""
    bottom = {"bottom_sound_speed": speed, "bottom_density": 1600.0, "bottom_attenuation": 1.0}
    f = cutoff(bottom)
    values = WATER | bottom | {"distance": distance}
    below, above = (answer(**values, frequency=f * (1 + x)) for x in (-1e-6, 1e-6))
    assert below["best_level"] == pytest.approx(above["best_level"], abs=0.5)
    assert above["mode_attenuation"] <= below["mode_attenuation"]
    assert above["mode_attenuation"] == pytest.approx(exact_root_attenuation(f, bottom), rel=0.5)


def exact_root_attenuation(frequency: float, bottom: dict[str, float]) -> float:
    """dB/m of the first mode, absorption in the condition itself: x cot x = −ρ/ρ₂ √(a² − x²)."""
    k = 2 * pi * frequency / 1450
    slow = 1 + 1j * bottom["bottom_attenuation"] / (40 * pi * log10(np.e))
    a_squared = 16 * (k * k - (2 * pi * frequency / bottom["bottom_sound_speed"] * slow) ** 2)

    def condition(x: complex) -> complex:
        fading = sqrt(a_squared - x * x)
        return x * cos(x) + 1000 / bottom["bottom_density"] * fading * sin(x)

    x = newton(condition, 1.9 - 0.3j, tol=1e-12, maxiter=200)
    assert 1.4 < x.real < pi
    return float(channel.NEPER * abs(sqrt(k * k - x * x / 16).imag))


def test_shallower_lets_less_through() -> None:
    """Cut-off falls in proportion to the depth."""
    assert answer(water_depth=2.0)["cutoff_frequency"] == pytest.approx(
        2 * answer(water_depth=4.0)["cutoff_frequency"]
    )


def test_over_slower_mud_no_mode_is_counted_and_the_remark_says_why() -> None:
    """No cut-off of Pekeris, but c/2H, and words."""
    results = answer(**GASSY)
    assert results["mode_count"] == 0
    assert results["cutoff_frequency"] == pytest.approx(1447.3 / 8)
    values = defaults(SHALLOW_CUTOFF) | GASSY
    said = SHALLOW_CUTOFF.remarks(values, results, "metric")
    assert "nothing is trapped" in said[0]


def test_rock_says_what_is_left_out() -> None:
    """Shear waves."""
    values = defaults(SHALLOW_CUTOFF) | ROCK
    said = SHALLOW_CUTOFF.remarks(values, evaluate(SHALLOW_CUTOFF, values), "metric")
    assert any("shear waves" in sentence for sentence in said)


def test_every_row_of_the_table_fits_the_form() -> None:
    """Its texts are read, row by row."""
    for row in BOTTOM_SOUND.rows:
        filled = expand(SHALLOW_CUTOFF, {"bottom": row.name})
        assert set(filled) == {"bottom_sound_speed", "bottom_density", "bottom_attenuation"}


def test_a_slower_bottom_is_refused_by_name() -> None:
    """The formula of the cut-off says nothing there."""
    with pytest.raises(InputError, match="nothing is trapped"):
        channel.pekeris_cutoff(4, 1450, bottom_sound_speed=1400, mode=1)
    with pytest.raises(InputError, match="cut-off"):
        channel.trapped_wavenumber(100, 4, 1450, 1650, 1000, 1900, mode=1)
    with pytest.raises(InputError, match="cut-off"):
        channel.leaky_attenuation(400, **WATER, **SAND)
    with pytest.raises(InputError, match="cut-off"):
        channel.bottom_wave_level(50, 400, **WATER, **SAND)
