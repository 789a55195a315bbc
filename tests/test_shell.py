"""Tubes: against finite elements of solids, an oval ring that bends without limit, known limits."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_bvp
from scipy.optimize import brentq
from scipy.sparse.linalg import LinearOperator, eigsh, splu
from skfem import (
    Basis,
    BilinearForm,
    ElementQuad2,
    ElementVector,
    FacetBasis,
    LinearForm,
    MeshQuad,
    condense,
    solve,
)

from calculators.cards.shell import MODES, TUBE_UNDER_PRESSURE
from calculators.errors import InputError
from calculators.evaluate import FormError, defaults, evaluate, read
from calculators.formulas import plate, shell

DEFAULTS = defaults(TUBE_UNDER_PRESSURE)
ALUMINIUM = {"modulus": 70e9, "poisson": 0.33}


def tube(**changed: float | str) -> dict[str, float]:
    """The calculator's answers for the defaults with some inputs changed, SI."""
    return evaluate(TUBE_UNDER_PRESSURE, DEFAULTS | changed)


def stiffness(modulus: float, poisson: float) -> tuple[float, float]:
    """Both constants of an even elastic material."""
    shear = modulus / (2 * (1 + poisson))
    return 2 * shear * poisson / (1 - 2 * poisson), shear


# --- stresses: an axisymmetric solid with real ends ---


def closed_tube(inner: float, wall: float, length: float, end: float) -> tuple[float, ...]:
    """Hoop stress at the inner face, its mean, and axial stress, for unit pressure all round."""
    first, shear = stiffness(3e9, 0.38)
    a, b = inner / 2, inner / 2 + wall
    across = np.concatenate([np.linspace(0, a, 11), np.linspace(a, b, 5)[1:]])
    along = np.concatenate([np.linspace(0, length / 2, 41), length / 2 + end * np.arange(1, 6) / 5])
    mesh = MeshQuad.init_tensor(across, along)
    middles = mesh.p[:, mesh.t].mean(axis=1)
    mesh = mesh.restrict(np.nonzero((middles[0] > a) | (middles[1] > length / 2))[0])
    element = ElementVector(ElementQuad2(), 2)
    basis = Basis(mesh, element, intorder=4)

    def strain(u, r):
        (rr, rz), (zr, zz) = u.grad
        none, twist = 0 * rr, (rz + zr) / 2
        return np.array([[rr, none, twist], [none, u[0] / r, none], [twist, none, zz]])

    @BilinearForm
    def elastic(u, v, w):
        r = w.x[0] + 1e-12  # the axis itself
        e, f = strain(u, r), strain(v, r)
        trace = np.einsum("ii...->...", e) * np.einsum("ii...->...", f)
        return r * (first * trace + 2 * shear * np.einsum("ij...,ij...->...", e, f))

    @LinearForm
    def pressed(v, w):
        return -w.x[0] * (w.n[0] * v[0] + w.n[1] * v[1])

    def outside(x):
        return (abs(x[0] - b) < 1e-9) | (abs(x[1] - length / 2 - end) < 1e-9)

    wet = FacetBasis(mesh, element, facets=mesh.facets_satisfying(outside), intorder=4)
    held = [
        basis.get_dofs(lambda x: x[1] < 1e-9).all(["u^2"]),
        basis.get_dofs(lambda x: x[0] < 1e-9).all(["u^1"]),
    ]
    moved = solve(*condense(elastic.assemble(basis), pressed.assemble(wet), D=np.concatenate(held)))
    cut = FacetBasis(
        mesh, element, facets=mesh.facets_satisfying(lambda x: x[1] < 1e-9), intorder=6
    )
    r = np.asarray(cut.global_coordinates()[0])
    e = strain(cut.interpolate(moved), r)
    mean = first * np.einsum("ii...->...", e)
    hoop, axial = np.asarray(mean + 2 * shear * e[1, 1]), np.asarray(mean + 2 * shear * e[2, 2])
    at_face = np.polyval(np.polyfit(r.ravel() ** -2, hoop.ravel(), 1), a**-2)
    weights = np.asarray(cut.dx)
    return (
        -float(at_face),
        -float(np.average(hoop, weights=weights)),
        -float(np.average(axial, weights=weights * r)),
    )


@pytest.mark.parametrize(("inner", "wall"), [(0.09, 0.005), (0.04, 0.01)])
def test_stresses_agree_with_finite_elements_of_a_closed_tube(inner, wall):
    """Simulation: a solid with thick ends; the inner face by carrying on from inside."""
    hoop, mean, axial = closed_tube(inner, wall, 0.4, 0.02)
    given = {"pressure": 1.0, "inner_diameter": inner, "thickness": wall}
    assert shell.hoop_stress(**given) == pytest.approx(hoop, rel=2e-3)
    assert shell.mean_hoop_stress(**given) == pytest.approx(mean, rel=1e-5)
    assert shell.axial_stress(**given) == pytest.approx(axial, rel=1e-5)


# --- buckling: harmonics of a solid of revolution ---


def gradient(u, r, lobes: int):
    """Displacement gradient of a harmonic, component by direction (radial, round, axial)."""
    (a, b, c), d = u, u.grad
    return np.array(
        [
            [d[0, 0], (-lobes * a - b) / r, d[0, 1]],
            [d[1, 0], (lobes * b + a) / r, d[1, 1]],
            [d[2, 0], -lobes * c / r, d[2, 1]],
        ]
    )


def solid_buckling(
    modulus: float,
    poisson: float,
    inner_diameter: float,
    thickness: float,
    length: float,
    lobes: int,
    endless: bool = False,
) -> float:
    """Smallest pressure at which a solid tube leaves its round shape in this many lobes."""
    first, shear = stiffness(modulus, poisson)
    a, b = inner_diameter / 2, inner_diameter / 2 + thickness
    along = 1 if endless else 16
    mesh = MeshQuad.init_tensor(np.linspace(a, b, 3), np.linspace(0, length / 2, along + 1))
    element = ElementVector(ElementQuad2(), 3)
    basis = Basis(mesh, element, intorder=4)
    wet = FacetBasis(
        mesh, element, facets=mesh.facets_satisfying(lambda x: abs(x[0] - b) < 1e-9), intorder=4
    )

    @BilinearForm
    def elastic(u, v, w):
        g, h = (gradient(x, w.x[0], lobes) for x in (u, v))
        e, f = (np.swapaxes(x, 0, 1) + x for x in (g, h))
        trace = np.einsum("ii...->...", e) * np.einsum("ii...->...", f)
        return w.x[0] * (first * trace + 2 * shear * np.einsum("ij...,ij...->...", e, f)) / 4

    @BilinearForm
    def pressed(u, v, w):
        r = w.x[0]
        g, h = gradient(u, r, lobes), gradient(v, r, lobes)
        share = b * b / (b * b - a * a)
        stresses = (-share * (1 - (a / r) ** 2), -share * (1 + (a / r) ** 2), -share)
        return r * sum(
            stress * np.einsum("i...,i...->...", g[:, j], h[:, j])
            for j, stress in enumerate(stresses)
        )

    @BilinearForm
    def following(u, v, w):
        def half(x, y):
            return x[0] * (y[1, 1] + y[2, 2]) - x[1] * y[0, 1] - x[2] * y[0, 2]

        g, h = gradient(u, w.x[0], lobes), gradient(v, w.x[0], lobes)
        return w.x[0] * (half(u, h) + half(v, g)) / 2

    ends = ["u^3"] if endless else ["u^1", "u^2"]
    held = [
        basis.get_dofs(lambda x: x[1] < 1e-9).all(["u^3"]),
        basis.get_dofs(lambda x: x[1] > length / 2 - 1e-9).all(ends),
    ]
    free = np.setdiff1d(np.arange(basis.N), np.concatenate(held))
    stiff = elastic.assemble(basis)[free][:, free].tocsc()
    loaded = -(pressed.assemble(basis) + following.assemble(wet))[free][:, free]
    inverse = LinearOperator(stiff.shape, splu(stiff).solve)
    found = eigsh(loaded, k=1, M=stiff, Minv=inverse, which="LA", return_eigenvectors=False)
    return float(1 / found[0])


@pytest.mark.parametrize(
    ("diameter", "thickness", "length", "most"),
    [(0.2, 0.001, 0.2, 0.005), (0.1, 0.003, 0.2, 0.03), (0.105, 0.005, 0.32, 0.05)],
)
def test_buckling_agrees_with_finite_elements_of_a_solid(diameter, thickness, length, most):
    """Simulation: thin walls promise too much by no more than thickness over diameter."""
    wall = {"inner_diameter": diameter - thickness, "thickness": thickness, "length": length}
    lobes = shell.weakest_lobes(poisson=0.33, **wall)
    promised = shell.lobed_tube_buckling(**ALUMINIUM, **wall, lobes=lobes)
    found = solid_buckling(**ALUMINIUM, **wall, lobes=lobes)
    assert found < promised < (1 + most) * found
    assert found < solid_buckling(**ALUMINIUM, **wall, lobes=lobes + 1)


@pytest.mark.parametrize(
    ("thickness", "most"), [(0.001, 0.004), (0.005, 0.02), (0.01, 0.06), (0.02, 0.25)]
)
def test_a_long_thick_tube_bears_less_than_promised(thickness, most):
    """Simulation: by how much the formula for long tubes is unsafe, as the page says."""
    wall = {"inner_diameter": 0.1 - thickness, "thickness": thickness}
    promised = shell.long_tube_buckling(**ALUMINIUM, **wall)
    found = solid_buckling(**ALUMINIUM, **wall, length=0.01, lobes=2, endless=True)
    assert found < promised < (1 + most) * found


def test_a_very_long_tube_between_ends_is_an_endless_one():
    """Limit: the ends no longer matter, and it goes flat."""
    wall = {"inner_diameter": 0.1, "thickness": 0.004}
    assert shell.weakest_lobes(poisson=0.33, length=10.0, **wall) == 2
    assert shell.lobed_tube_buckling(**ALUMINIUM, **wall, length=10.0, lobes=2) == pytest.approx(
        shell.long_tube_buckling(**ALUMINIUM, **wall), rel=1e-3
    )


def short_formula(diameter: float, thickness: float, length: float) -> float:
    """What the page warns of: the formula without lobes, for the aluminium of these tests."""
    slim = thickness / diameter
    top = 2.42 * ALUMINIUM["modulus"] / (1 - ALUMINIUM["poisson"] ** 2) ** 0.75 * slim**2.5
    return top / (length / diameter - 0.45 * math.sqrt(slim))


def test_the_short_formula_is_wrong_where_the_page_says_so():
    """Simulation: a seventh in a very long tube, a sixth too much in a short thick one."""
    thin = {"inner_diameter": 0.097, "thickness": 0.003}
    long = solid_buckling(**ALUMINIUM, **thin, length=0.01, lobes=2, endless=True)
    assert short_formula(0.1, 0.003, 5.0) / long == pytest.approx(1 / 7, rel=0.1)
    thick = solid_buckling(**ALUMINIUM, inner_diameter=0.085, thickness=0.005, length=0.3, lobes=2)
    assert short_formula(0.09, 0.005, 0.3) / thick == pytest.approx(1 + 1 / 6, rel=0.02)


def test_the_weakest_lobes_are_found():
    """Independent: trying them one by one, over slender, stubby, thin and thick tubes."""
    spread = np.random.default_rng(4)
    for _ in range(200):
        wall = {
            "inner_diameter": 10 ** spread.uniform(-2, 0),
            "thickness": 10 ** spread.uniform(-3.3, -1),
            "length": 10 ** spread.uniform(-2, 1),
        }
        tried = range(2, 70)
        weakest = min(
            tried, key=lambda n, wall=wall: shell.lobed_tube_buckling(**ALUMINIUM, **wall, lobes=n)
        )
        assert shell.weakest_lobes(poisson=0.33, **wall) == weakest


# --- an oval tube: a ring that bends without limit ---


def oval_stress(
    pressure: float, modulus: float, poisson: float, diameter: float, thickness: float, oval: float
) -> float:
    """Largest stress in a long oval tube; a quarter of its ring, lengths over the radius."""
    radius = diameter / 2
    bending = modulus * thickness**3 / (12 * (1 - poisson**2))
    load = pressure * radius**3 / bending

    def shape(angle):
        r, bulge = 1 + oval / 2 * np.cos(2 * angle), oval * np.sin(2 * angle)
        step = np.hypot(r, bulge)
        return step, (r**2 + 2 * bulge**2 + 2 * r * oval * np.cos(2 * angle)) / step**3

    def ring(angle, y):
        step, curved = shape(angle)
        _, _, turned, more, tension, shear = y
        now = curved + more
        rates = [np.cos(turned), np.sin(turned), now, -shear, now * shear, -now * tension - load]
        return np.array(rates) * step

    def symmetric(start, end):
        quarter = math.pi / 2
        return np.array(
            [start[1], start[2] - quarter, start[5], end[0], end[2] - 2 * quarter, end[5]]
        )

    angle = np.linspace(0, math.pi / 2, 21)
    r, none = 1 + oval / 2 * np.cos(2 * angle), 0 * angle
    guess = [r * np.cos(angle), r * np.sin(angle), angle + math.pi / 2, none, none - load, none]
    solved = solve_bvp(ring, symmetric, angle, np.array(guess), tol=1e-8, max_nodes=5000)
    assert solved.success, solved.message
    _, _, _, more, tension, _ = solved.sol(np.linspace(0, math.pi / 2, 91))
    hoop = -tension * bending / radius**2 / thickness
    return float(np.max(hoop + np.abs(bending * more / radius) * 6 / thickness**2))


@pytest.mark.parametrize(
    ("modulus", "poisson", "stress", "thickness", "oval"),
    [(70e9, 0.33, 121e6, 0.005, 0.01), (1.2e9, 0.38, 11e6, 0.005, 0.012)],
)
def test_an_oval_tube_agrees_with_a_ring_that_bends_without_limit(
    modulus, poisson, stress, thickness, oval
):
    """Independent method: large deflections, solved for the pressure at the stress allowed."""
    wall = {"inner_diameter": 0.1, "thickness": thickness}
    diameter = 0.1 + thickness
    buckling = shell.long_tube_buckling(modulus=modulus, poisson=poisson, **wall)
    round_pressure = 2 * stress * thickness / diameter
    least = min(buckling, round_pressure)
    found = brentq(
        lambda p: oval_stress(p, modulus, poisson, diameter, thickness, oval) - stress,
        0.3 * least,
        0.93 * least,
        rtol=1e-6,
    )
    assert shell.oval_tube_pressure(
        round_pressure=round_pressure, buckling_pressure=buckling, ovality=oval, **wall
    ) == pytest.approx(found, rel=6e-3)


# --- the calculator ---


def test_the_shallowest_limit_counts_and_each_is_where_it_is_reached():
    """Independent: put in at its own limit, each part is exactly at what it may bear."""
    found = tube(other_end="window")
    assert found["depth_limit"] == min(found[mode] for mode in MODES)
    end = tube(depth=found["end_depth"])
    assert end["end_stress"] == pytest.approx(DEFAULTS["end_working_stress"])
    window = tube(other_end="window", depth=found["other_end_depth"])
    assert window["other_end_stress"] == pytest.approx(DEFAULTS["window_working_stress"])
    pressure = 999.7 * 9.80665 * found["buckling_depth"]
    assert pressure * 3.2 == pytest.approx(found["buckling_pressure"])


def test_without_a_window_both_ends_are_the_same():
    """The fields of the window count only where there is one."""
    found = tube(other_end="same", window_thickness=0.001)
    assert found["other_end_depth"] == found["end_depth"]
    assert found["other_end_stress"] == found["end_stress"]
    assert "window" not in " ".join(TUBE_UNDER_PRESSURE.remarks(DEFAULTS, found, "metric"))


def test_what_gives_first_is_said():
    """A thick wall with a thin end, and the other way round."""
    thin_end = DEFAULTS | {"end_thickness": 0.004, "thickness": 0.01}
    said = TUBE_UNDER_PRESSURE.remarks(thin_end, evaluate(TUBE_UNDER_PRESSURE, thin_end), "metric")
    assert said[0].startswith("What gives first: the end plate")
    said = TUBE_UNDER_PRESSURE.remarks(DEFAULTS, tube(), "metric")
    assert said[0].startswith("What gives first: the wall may buckle")


def test_a_clamped_end_is_that_of_the_lid():
    """The plate spans from the middle of the wall to the middle."""
    pressure = 999.7 * 9.80665 * 12
    expected = plate.clamped_circle_stress(pressure=pressure, diameter=0.105, thickness=0.012)
    assert tube(end_edge="clamped")["end_stress"] == pytest.approx(expected)


def test_creep_makes_the_limit_shallower_in_proportion():
    """Buckling goes with the modulus: what an hour allows, ten days may not."""
    assert tube(modulus=3.2e9)["buckling_depth"] == pytest.approx(
        tube()["buckling_depth"] * 3.2 / 1.2
    )


@pytest.mark.parametrize(
    ("name", "text", "accepted"),
    [
        ("inner_diameter", "5 mm", "10 mm to 1 m"),
        ("thickness", "0 mm", "500 µm to 100 mm"),
        ("length", "-1 mm", "10 mm to 10 m"),
        ("ovality", "40 %", "0 % to 10 %"),
        ("buckling_margin", "0.5", "1 to 20"),
        ("depth", "0 m", "100 mm to 1 km"),
    ],
)
def test_bad_input_is_refused_by_name_with_what_is_accepted(name, text, accepted):
    """The field by its label, and the range in its unit."""
    fields = {item.name: item.default for item in TUBE_UNDER_PRESSURE.inputs} | {name: text}
    with pytest.raises(FormError) as refused:
        read(TUBE_UNDER_PRESSURE, fields, {}, "metric")
    assert [error.name for error in refused.value.errors] == [name]
    assert TUBE_UNDER_PRESSURE.inputs_by_name[name].label in str(refused.value)
    assert accepted in str(refused.value).replace("\u00a0", " ")


def test_a_formula_refuses_what_it_cannot_answer():
    """By the name of the argument."""
    with pytest.raises(InputError, match="thickness must be above zero"):
        shell.hoop_stress(pressure=1e5, inner_diameter=0.1, thickness=0)
    with pytest.raises(InputError, match="lobes must be from 2"):
        shell.lobed_tube_buckling(
            **ALUMINIUM, inner_diameter=0.1, thickness=0.005, length=0.3, lobes=1
        )
    with pytest.raises(InputError, match="ovality must be from 0"):
        shell.oval_tube_pressure(
            round_pressure=1e6,
            buckling_pressure=1e6,
            inner_diameter=0.1,
            thickness=0.005,
            ovality=-0.1,
        )
