"""The echo from the surface: against images, an integral over all waves, and an average."""

from cmath import exp
from math import hypot, log10, pi, radians, sin, tan

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import jv

from calculators.cards.surface import SURFACE_ECHO
from calculators.errors import InputError
from calculators.evaluate import defaults, evaluate
from calculators.formulas import surface


def answer(**changed: object) -> dict[str, float]:
    return evaluate(SURFACE_ECHO, defaults(SURFACE_ECHO) | changed)


def images(f: float, zs: float, zh: float, r: float, reflection: float = 1.0) -> float:
    """Independent: two complex spherical waves."""
    k, direct, mirrored = 2 * pi * f / 1500, hypot(r, zs - zh), hypot(r, zs + zh)
    field = exp(1j * k * direct) / direct - reflection * exp(1j * k * mirrored) / mirrored
    return 20 * log10(abs(field) * direct)


@pytest.mark.parametrize("f", [50.0, 800.0, 12e3])
@pytest.mark.parametrize(("zs", "zh", "r"), [(0.05, 1.0, 5.0), (2.0, 2.0, 30.0), (5.0, 40.0, 10.0)])
@pytest.mark.parametrize("reflection", [1.0, 0.6, 0.0])
def test_level_is_that_of_two_images(
    f: float, zs: float, zh: float, r: float, reflection: float
) -> None:
    """The form that keeps its digits against the plain one."""
    found = surface.echo_level(f, 1500, zs, zh, r, reflection)
    assert found == pytest.approx(images(f, zs, zh, r, reflection), abs=1e-6)


def integrated(f: float, zs: float, zh: float, r: float) -> float:
    """Independent: the half-space under a surface without pressure, by all its plane waves."""
    k, upper, lower = 2 * pi * f / 1500, min(zs, zh), max(zs, zh)
    end = 2 * k + 40 / (lower - upper)
    turn = 1.5 * k
    t = np.linspace(1e-9, end, 60_000)
    aside = 1.5 / r
    below = np.where(t < turn, np.sin(pi * t / turn), 0)
    slope = np.where(t < turn, pi / turn * np.cos(pi * t / turn), 0)
    kr, dk = t - 1j * aside * below, 1 - 1j * aside * slope
    gamma = np.sqrt(k * k - kr * kr)
    gamma = np.where(gamma.imag < 0, -gamma, gamma)
    # p = 0 at the surface: a standing wave above the deeper of the two, a wave going down below it
    kernel = 2 * np.sin(gamma * upper) / gamma * np.exp(1j * gamma * lower)
    field = np.trapezoid(kernel * jv(0, kr * r) * kr * dk, t)
    return 20 * log10(abs(field) * hypot(r, zs - zh))


@pytest.mark.parametrize(
    ("f", "zs", "zh", "r"),
    [(100, 0.5, 3, 20), (400, 2, 6, 25), (1500, 1, 4, 10), (750, 2.5, 8, 40)],
)
def test_level_is_that_of_all_plane_waves(f: float, zs: float, zh: float, r: float) -> None:
    """Within 0.05 dB, no mirrored source in it."""
    found = surface.echo_level(f, 1500, zs, zh, r, reflection=1)
    assert found == pytest.approx(integrated(f, zs, zh, r), abs=0.05)


@pytest.mark.parametrize("roughness", [0.02, 0.1, 0.3])
@pytest.mark.parametrize("angle", [5.0, 30.0, 90.0])
def test_coherent_reflection_is_the_mean_of_shifted_mirrors(roughness: float, angle: float) -> None:
    """Independent: e^(2ikh sin θ) averaged over a normal distribution of heights, by quad."""
    k = 2 * pi * 900 / 1500

    def integrand(height: float) -> float:
        weight = np.exp(-(height**2) / (2 * roughness**2)) / (roughness * (2 * pi) ** 0.5)
        return weight * np.cos(2 * k * height * sin(radians(angle)))

    mean = quad(integrand, -8 * roughness, 8 * roughness, limit=400)[0]
    assert surface.coherent_reflection(900, 1500, roughness, angle) == pytest.approx(mean, abs=1e-9)


def test_peak_and_silence_are_where_a_search_finds_them() -> None:
    """Independent: the largest and smallest of two images over a fine grid."""
    zs, zh, r = 1.0, 3.0, 40.0
    detour = surface.path_difference(zs, zh, r)
    grid = np.linspace(100, 1500 / detour * 1.4, 40_000)
    levels = np.array([images(f, zs, zh, r) for f in grid])
    rise = grid[: len(grid) // 2]
    peak = rise[np.argmax(levels[: len(rise)])]
    assert surface.peak_frequency(detour, 1500) == pytest.approx(peak, rel=0.01)
    later = grid > peak
    null = grid[later][np.argmin(levels[later])]
    assert surface.null_frequency(detour, 1500) == pytest.approx(null, rel=1e-3)
    even = surface.even_frequency(detour, 1500)
    assert images(even, zs, zh, r) == pytest.approx(0, abs=0.1)


def test_the_silent_depth_has_a_detour_of_one_wave() -> None:
    """The formula put into the geometry."""
    depth = surface.null_depth(1000, 1500, source_depth=2, distance=50)
    assert surface.path_difference(2, depth, 50) == pytest.approx(1.5)
    with pytest.raises(InputError, match="half a wavelength"):
        surface.null_depth(100, 1500, source_depth=2, distance=50)


def test_far_off_the_surface_takes_twelve_decibels_for_each_doubling() -> None:
    """Limit: 1/r² instead of 1/r, so the level against open water falls by 6 dB."""
    near, far = (surface.echo_level(200, 1500, 0.5, 2, r, reflection=1) for r in (500, 1000))
    assert near - far == pytest.approx(6.02, abs=0.02)


def test_tiny_depths_keep_their_digits() -> None:
    """1 mm deep both and 100 km away: the two-image sum has no digits left there."""
    level = surface.echo_level(1, 1500, 1e-3, 1e-3, 1e5, reflection=1)
    k, detour = 2 * pi / 1500, 2e-11
    exact = 10 * log10((detour / 1e5) ** 2 + (k * detour) ** 2)
    assert level == pytest.approx(exact, abs=1e-3)


def test_a_toad_at_the_surface_loses_low_sound() -> None:
    """The remark names the quarter of a wave for the one that is too shallow."""
    values = defaults(SURFACE_ECHO) | {"source_depth": 0.05, "frequency": 1000.0}
    said = SURFACE_ECHO.remarks(values, evaluate(SURFACE_ECHO, values), "metric")
    assert any("the source is nearer to the surface" in sentence for sentence in said)
    assert not any("the hydrophone is nearer" in sentence for sentence in said)


def test_a_storm_smears_the_silences() -> None:
    """Most of the echo out of step: the remark says so, the level is that of open water."""
    values = defaults(SURFACE_ECHO) | {
        "surface_roughness": 1.0, "frequency": 20e3, "source_depth": 5.0, "hydrophone_depth": 5.0,
    }  # fmt: skip
    results = evaluate(SURFACE_ECHO, values)
    assert results["echo_level"] == pytest.approx(0, abs=0.01)
    assert "too rough" in SURFACE_ECHO.remarks(values, results, "metric")[0]


def test_one_place_for_both_is_refused_by_name() -> None:
    """No distance, no depth between them."""
    with pytest.raises(InputError, match="Distance along the water"):
        answer(distance=0.0, source_depth=2.0, hydrophone_depth=2.0)


@pytest.mark.parametrize("thickness", [0.1, 0.2, 0.5])
def test_ice_turns_from_surface_to_wall_where_the_page_says(thickness: float) -> None:
    """230 Hz·m: impedance of the ice times tan kd equals that of the water, straight below.

    Ice of 917 kg/m³ and 3500 m/s, from memory, under air that gives no pressure.
    """
    f = 230 / thickness
    inside = 917 * 3500 * tan(2 * pi * f * thickness / 3500)
    assert inside == pytest.approx(1000 * 1405, rel=0.01)
    low = 917 * 3500 * tan(2 * pi * f / 10 * thickness / 3500) / (1000 * 1405)
    turned = (1j * low - 1) / (1j * low + 1)
    assert abs(turned) == pytest.approx(1)
    assert turned.real < -0.97
