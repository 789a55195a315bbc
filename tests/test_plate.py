"""Flat lids: against finite elements, other solutions of the plate, and known limits."""

import math

import numpy as np
import pytest
from numpy.polynomial import legendre
from scipy.integrate import solve_bvp
from skfem import (
    Basis,
    BilinearForm,
    CellBasis,
    ElementQuad2,
    ElementQuadBFS,
    ElementVector,
    FacetBasis,
    LinearForm,
    MeshQuad,
    condense,
    solve,
)
from skfem.helpers import dd, ddot, trace

from calculators.cards.plate import LID_UNDER_PRESSURE
from calculators.drawing import Polygon
from calculators.errors import InputError
from calculators.evaluate import FormError, defaults, evaluate, read
from calculators.formulas import plate

DEFAULTS = defaults(LID_UNDER_PRESSURE)
LIDS = ("rectangle", "round", "rectangle-clamped", "round-clamped")


def lid(**changed: float | str) -> dict[str, float]:
    """The calculator's answers for the defaults with some inputs changed, SI."""
    return evaluate(LID_UNDER_PRESSURE, DEFAULTS | changed)


# --- rectangles against finite elements ---


def finite_elements(
    aspect: float, poisson: float, clamped: bool, parts: int
) -> tuple[float, float, float, float]:
    """Deflection, turn of the long edge, and moments at the centre and in the long edge.

    Conforming elements over the whole plate; short side, pressure and stiffness are one.
    """
    mesh = MeshQuad.init_tensor(np.linspace(0, aspect, parts + 1), np.linspace(0, 1, parts + 1))
    basis = Basis(mesh, ElementQuadBFS())

    @BilinearForm
    def bending(u, v, w):
        return (1 - poisson) * ddot(dd(u), dd(v)) + poisson * trace(dd(u)) * trace(dd(v))

    @LinearForm
    def pressure(v, w):
        return v

    short = basis.get_dofs(lambda x: (x[0] < 1e-9) | (x[0] > aspect - 1e-9))
    long = basis.get_dofs(lambda x: (x[1] < 1e-9) | (x[1] > 1 - 1e-9))
    held = (
        [short.all(), long.all()] if clamped else [short.all(["u", "u_y"]), long.all(["u", "u_x"])]
    )
    fixed = np.unique(np.concatenate(held))
    found = solve(*condense(bending.assemble(basis), pressure.assemble(basis), D=fixed))

    def node(x: float, y: float, row: int) -> float:
        k = np.argmin((mesh.p[0] - x) ** 2 + (mesh.p[1] - y) ** 2)
        return float(found[basis.nodal_dofs[row, k]])

    corners = (np.array([[0.0, 1, 1, 0], [0, 0, 1, 1]]), np.ones(4) / 4)
    at_nodes = CellBasis(mesh, ElementQuadBFS(), quadrature=corners)
    curved = np.asarray(at_nodes.interpolate(found).hess)
    places = np.asarray(at_nodes.global_coordinates())

    def moment(x: float, y: float) -> float:
        here = (places[0] - x) ** 2 + (places[1] - y) ** 2 < 1e-12
        return float(np.mean(-(curved[1, 1] + poisson * curved[0, 0])[here]))

    middle = aspect / 2
    return node(middle, 0.5, 0), node(middle, 0, 2), moment(middle, 0.5), moment(middle, 0)


def without_mesh(coarse: float, fine: float) -> float:
    """The value that moments tend to: their error goes with the square of the element's size."""
    return fine + (fine - coarse) / 3


@pytest.mark.parametrize(("aspect", "poisson"), [(1, 0.2), (190 / 110, 0.38), (3, 0.45)])
def test_supported_rectangle_agrees_with_finite_elements(aspect, poisson):
    """Deflection and turn to 0.01 %, stress to 0.1 %: what 16 by 16 elements give."""
    coarse, fine = (finite_elements(aspect, poisson, False, n) for n in (8, 16))
    deflection = plate.supported_rectangle_deflection(
        pressure=1, short_side=1, long_side=aspect, stiffness=1
    )
    slope = plate.supported_rectangle_slope(pressure=1, short_side=1, long_side=aspect, stiffness=1)
    stress = plate.supported_rectangle_stress(
        pressure=1, short_side=1, long_side=aspect, thickness=1, poisson=poisson
    )
    assert deflection == pytest.approx(fine[0], rel=1e-4)
    assert math.radians(slope) == pytest.approx(fine[1], rel=1e-4)
    assert stress == pytest.approx(6 * without_mesh(coarse[2], fine[2]), rel=1e-3)


@pytest.mark.parametrize("aspect", [1, 190 / 110, 3])
def test_clamped_rectangle_agrees_with_finite_elements(aspect):
    """Deflection to 0.1 %, edge stress to 0.5 %, for any Poisson's ratio: here 0.38."""
    coarse, fine = (finite_elements(aspect, 0.38, True, n) for n in (8, 16))
    deflection = plate.clamped_rectangle_deflection(
        pressure=1, short_side=1, long_side=aspect, stiffness=1
    )
    stress = plate.clamped_rectangle_stress(pressure=1, short_side=1, long_side=aspect, thickness=1)
    assert deflection == pytest.approx(fine[0], rel=1e-3)
    assert stress == pytest.approx(-6 * without_mesh(coarse[3], fine[3]), rel=5e-3)
    assert fine[1] == 0


# --- clamped rectangles against polynomials ---


def polynomials(aspect: float, across: int, along: int) -> tuple[float, float]:
    """Deflection and moment in the long edge of the clamped plate, by a Ritz solution."""

    def matrices(count: int) -> tuple[np.ndarray, ...]:
        frame = legendre.poly2leg([1, 0, -2, 0, 1])  # (1 − x²)²: clamped at both ends
        shapes = [legendre.legmul(frame, [0] * (2 * k) + [1]) for k in range(count)]
        x, weight = legendre.leggauss(4 * count + 12)
        values, once, twice = (
            np.array([legendre.legval(x, legendre.legder(f, n)) for f in shapes]) for n in (0, 1, 2)
        )
        middle = np.array([legendre.legval(0, f) for f in shapes])
        edge = np.array([legendre.legval(1, legendre.legder(f, 2)) for f in shapes])
        size = 1 / np.sqrt(np.diag((twice * weight) @ twice.T))
        both = np.outer(size, size)
        products = [(a * weight) @ a.T * both for a in (values, once, twice)]
        return *products, values @ weight * size, middle * size, edge * size

    x0, x1, x2, fx, cx, ex = matrices(across)
    y0, y1, y2, fy, cy, _ = matrices(along)
    stiff = aspect * np.kron(x2, y0) + 2 / aspect * np.kron(x1, y1) + np.kron(x0, y2) / aspect**3
    found = np.linalg.solve(stiff, aspect * np.kron(fx, fy))
    return np.kron(cx, cy) @ found / 16, np.kron(ex, cy) @ found / 4


@pytest.mark.parametrize("aspect", [1, 1.1, 1.3, 1.6, 2, 2.5, 3, 4, 6])
def test_faded_ends_are_the_clamped_plate(aspect):
    """Within 0.02 %, as the formulas state, at every ratio of the sides."""
    deflection, moment = polynomials(aspect, 10, 16)
    sides = {"pressure": 1, "short_side": 1, "long_side": aspect}
    assert plate.clamped_rectangle_deflection(**sides, stiffness=1) == pytest.approx(
        deflection, rel=2e-4
    )
    assert plate.clamped_rectangle_stress(**sides, thickness=1) == pytest.approx(
        6 * moment, rel=2e-4
    )


def test_decays_are_roots_of_the_strip():
    """2 z is a root of sin z + z = 0, for both, so the ends fade as elasticity says."""
    for decay, wave in ((plate._DECAY, plate._WAVE), (plate._DECAY_2, plate._WAVE_2)):
        z = 2 * complex(decay, wave)
        assert abs(np.sin(z) + z) < 1e-6 * abs(np.cos(z))


def test_endless_lids_are_beams():
    """Limit: a long strip has 5/384 and 1/384, and p b²/8 and p b²/12."""
    strip = {"pressure": 1, "short_side": 1, "long_side": 60}
    assert plate.supported_rectangle_deflection(**strip, stiffness=1) == pytest.approx(5 / 384)
    assert plate.clamped_rectangle_deflection(**strip, stiffness=1) == pytest.approx(1 / 384)
    assert plate.supported_rectangle_stress(**strip, thickness=1, poisson=0.4) == pytest.approx(
        6 / 8
    )
    assert plate.clamped_rectangle_stress(**strip, thickness=1) == pytest.approx(6 / 12)
    assert math.radians(plate.supported_rectangle_slope(**strip, stiffness=1)) == pytest.approx(
        1 / 24
    )


# --- round lids ---


def large_deflections(pressure: float, poisson: float, held: bool) -> tuple[float, float]:
    """Deflection and stress of a supported round plate that also carries as a skin.

    Radius, thickness and modulus are one; ``held`` says whether its edge may slide inwards.
    """
    stiffness, start = 1 / (12 * (1 - poisson**2)), 1e-5

    def equations(r, y):
        slope, bend, _, force, rise = y
        return np.array(
            [
                bend,
                -bend / r + slope / r**2 + (-pressure * r / 2 + force / r * slope) / stiffness,
                -slope,
                rise,
                -rise / r + force / r**2 - slope**2 / (2 * r),
            ]
        )

    def ends(a, b):
        free = b[4] - poisson * b[3] if held else b[3]
        return np.array(
            [a[0] - a[1] * start, b[1] + poisson * b[0], b[2], a[3] - a[4] * start, free]
        )

    r = np.linspace(start, 1, 200)
    found = solve_bvp(equations, ends, r, np.zeros((5, r.size)), tol=1e-6, max_nodes=50_000)
    assert found.status == 0
    centre = found.sol(start)
    return centre[2], 6 * stiffness * (1 + poisson) * centre[1] + centre[4]


@pytest.mark.parametrize(
    ("held", "deflection", "stress"), [(False, 0.94, 0.99), (True, 0.78, 0.91)]
)
def test_up_to_half_the_thickness_small_deflections_are_on_the_safe_side(held, deflection, stress):
    """The page says by how much: 6 % and 22 % in the deflection, at half the thickness."""
    small = {"diameter": 2, "poisson": 0.38}
    stiffness = plate.plate_stiffness(modulus=1, thickness=1, poisson=0.38)
    one = plate.supported_circle_deflection(pressure=1, stiffness=stiffness, **small)
    pressure = 0.5 / one
    real, real_stress = large_deflections(pressure, 0.38, held)
    assert real / 0.5 == pytest.approx(deflection, abs=0.006)
    linear = plate.supported_circle_stress(pressure=pressure, thickness=1, **small)
    assert real_stress / linear == pytest.approx(stress, abs=0.006)


def test_a_hardly_bent_round_lid_is_that_of_the_textbook():
    """Independent: the same equations without their skin term in play."""
    stiffness = plate.plate_stiffness(modulus=1, thickness=1, poisson=0.3)
    linear = plate.supported_circle_deflection(
        pressure=1e-3, diameter=2, stiffness=stiffness, poisson=0.3
    )
    assert large_deflections(1e-3, 0.3, False)[0] == pytest.approx(linear, rel=1e-4)


def thick_lid(thickness: float, poisson: float, clamped: bool) -> float:
    """Deflection of a solid round lid of radius one, over that of the thin plate."""
    lame = poisson / ((1 + poisson) * (1 - 2 * poisson))
    shear = 1 / (2 * (1 + poisson))
    half = thickness / 2
    mesh = MeshQuad.init_tensor(np.linspace(0, 1, 41), np.linspace(-half, half, 9))
    basis = Basis(mesh, ElementVector(ElementQuad2()))

    @BilinearForm
    def elastic(u, v, w):
        r = w.x[0]

        def strains(f):
            return f.grad[0, 0], f.grad[1, 1], f[0] / r, f.grad[0, 1] + f.grad[1, 0]

        e, f = strains(u), strains(v)
        normal = e[0] * f[0] + e[1] * f[1] + e[2] * f[2]
        volume = (e[0] + e[1] + e[2]) * (f[0] + f[1] + f[2])
        return r * (lame * volume + 2 * shear * normal + shear * e[3] * f[3])

    top = FacetBasis(
        mesh,
        ElementVector(ElementQuad2()),
        facets=mesh.facets_satisfying(lambda x: x[1] > half - 1e-9),
    )
    load = LinearForm(lambda v, w: -w.x[0] * v[1]).assemble(top)
    rim = basis.get_dofs(lambda x: x[0] > 1 - 1e-9)
    fixed = [
        basis.get_dofs(lambda x: x[0] < 1e-9).all(["u^1"]),
        rim.all() if clamped else rim.all(["u^2"]),
    ]
    found = solve(*condense(elastic.assemble(basis), load, D=np.concatenate(fixed)))
    centre = -found[basis.nodal_dofs[1, np.argmin(mesh.p[0] ** 2 + mesh.p[1] ** 2)]]
    stiffness = plate.plate_stiffness(modulus=1, thickness=thickness, poisson=poisson)
    thin = (
        plate.clamped_circle_deflection(pressure=1, diameter=2, stiffness=stiffness)
        if clamped
        else plate.supported_circle_deflection(
            pressure=1, diameter=2, stiffness=stiffness, poisson=poisson
        )
    )
    return float(centre / thin)


@pytest.mark.parametrize(("clamped", "more"), [(False, 1.04), (True, 1.19)])
def test_a_thick_lid_bends_further_than_thin_plates_do(clamped, more):
    """The page says by how much, for a tenth of the diameter: 4 % resting, 19 % clamped."""
    assert thick_lid(0.2, 0.38, clamped) == pytest.approx(more, abs=0.006)
    assert thick_lid(0.04, 0.38, clamped) == pytest.approx(1, abs=0.01)


# --- the calculator ---


@pytest.mark.parametrize("kind", LIDS)
def test_the_depth_limit_is_where_a_limit_is_met(kind):
    """At that depth the tightest of the three is used up, and no other is passed."""
    limit = lid(lid=kind)["depth_limit"]
    there = lid(lid=kind, depth=limit)
    used = (
        1 / there["safety_factor"],
        there["gap"] / DEFAULTS["gap_allowed"],
        there["deflection_ratio"] / 0.5,
    )
    assert max(used) == pytest.approx(1, rel=1e-9)
    assert there["depth_limit"] == pytest.approx(limit, rel=1e-9)


@pytest.mark.parametrize("kind", LIDS)
def test_limits_grow_with_their_power_of_the_thickness(kind):
    """Stress with the square, turn with the cube, deflection over thickness with the fourth."""
    thin, thick = lid(lid=kind), lid(lid=kind, thickness=2 * DEFAULTS["thickness"])
    assert thin["stress"] / thick["stress"] == pytest.approx(4)
    assert thin["slope"] == pytest.approx(8 * thick["slope"])
    assert thin["deflection_ratio"] / thick["deflection_ratio"] == pytest.approx(16)


def test_length_and_width_may_be_swapped():
    """Which side is longer is not the reader's care."""
    assert lid(length=0.11, width=0.19) == lid(length=0.19, width=0.11)


def test_resting_and_clamped_enclose_each_other():
    """A lid that rests bends three to five times as far as one that is clamped."""
    for rests, clamped in (("rectangle", "rectangle-clamped"), ("round", "round-clamped")):
        assert 3 < lid(lid=rests)["deflection"] / lid(lid=clamped)["deflection"] < 5


def test_a_gasket_on_the_support_sees_no_gap():
    """Then the depth is limited by stress or bending alone."""
    flat = lid(gasket_offset=0)
    assert flat["gap"] == 0
    assert flat["depth_limit"] > 0


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({}, "first: working stress at 5.12\u00a0m"),
        ({"gap_allowed": 1e-4}, "first: gap at the gasket"),
        ({"working_stress": 60e6, "gap_allowed": 0.01}, "first: bending beyond half"),
        ({"depth": 40}, "more than half its thickness"),
        ({"thickness": 0.02}, "thicker than a tenth"),
        ({"lid": "round-clamped"}, "held so that it cannot turn"),
    ],
)
def test_remarks_say_what_limits_and_what_does_not_hold(changed, said):
    """In words, because no number says it."""
    values = DEFAULTS | changed
    remarks = LID_UNDER_PRESSURE.remarks(values, lid(**changed), "metric")
    assert any(said in remark for remark in remarks), remarks


@pytest.mark.parametrize("kind", LIDS)
@pytest.mark.parametrize("thickness", [0.5e-3, 6e-3, 0.1])
def test_the_plot_passes_through_the_answer(kind, thickness):
    """The lowest curve meets the depth limit at the thickness given."""
    values = DEFAULTS | {"lid": kind, "thickness": thickness}
    results = lid(lid=kind, thickness=thickness)
    drawn = LID_UNDER_PRESSURE.plot(values, results, "metric")
    heights = [
        np.interp(thickness, *zip(*line.points, strict=True))
        for line in drawn.lines
        if line.points[-1][0] >= thickness
    ]
    assert min(heights) == pytest.approx(results["depth_limit"], rel=2e-3)
    assert drawn.marks[0][0] == thickness


@pytest.mark.parametrize("kind", LIDS)
def test_the_drawing_lifts_off_the_gasket_by_the_gap(kind):
    """To scale: the underside above the gasket stands as high as the answer says."""
    values, results = DEFAULTS | {"lid": kind}, lid(lid=kind)
    drawn = LID_UNDER_PRESSURE.drawing(values, results, "metric")
    underside = next(s for s in drawn.shapes if isinstance(s, Polygon) and s.kind == "lid").points
    (x0, y0), (x1, y1) = underside[:2]
    height = y0 + (y1 - y0) * (-DEFAULTS["gasket_offset"] - x0) / (x1 - x0)
    assert height == pytest.approx(results["gap"], rel=2e-3, abs=1e-12)


@pytest.mark.parametrize(
    ("name", "wrong", "accepted"),
    [
        ("thickness", "0 mm", "500\u00a0µm to 100\u00a0mm"),
        ("width", "-10 cm", "10\u00a0mm to 2\u00a0m"),
        ("modulus", "2.4 MPa", "10\u00a0MPa to 500\u00a0GPa"),
        ("poisson", "0.6", "0.15 to 0.5"),
        ("depth", "0 m", "100\u00a0mm to 1\u00a0km"),
        ("working_stress", "5 GPa", "100\u00a0kPa to 2\u00a0GPa"),
        ("gap_allowed", "0 mm", "10\u00a0µm to 20\u00a0mm"),
        ("thickness", "six", ""),
        ("depth", "12 kg", ""),
        ("modulus", "nan", ""),
    ],
)
def test_what_is_not_possible_is_refused_by_name(name, wrong, accepted):
    """With the field's label and what is accepted."""
    fields = {item.name: item.default for item in LID_UNDER_PRESSURE.inputs} | {name: wrong}
    with pytest.raises(FormError) as refused:
        read(LID_UNDER_PRESSURE, fields, {}, "metric")
    assert [error.name for error in refused.value.errors] == [name]
    assert LID_UNDER_PRESSURE.inputs_by_name[name].label in str(refused.value)
    assert accepted in str(refused.value)


@pytest.mark.parametrize(
    ("name", "arguments"),
    [
        ("long_side", {"short_side": 0.2, "long_side": 0.1}),
        ("short_side", {"short_side": 0, "long_side": 0.1}),
        ("long_side", {"short_side": 0.1, "long_side": math.nan}),
        ("poisson", {"short_side": 0.1, "long_side": 0.2, "poisson": 0.1}),
        ("pressure", {"short_side": 0.1, "long_side": 0.2, "pressure": -1}),
    ],
)
def test_formulas_refuse_what_they_do_not_hold_for(name, arguments):
    """By the argument's name."""
    given = {"pressure": 1e5, "thickness": 0.01, "poisson": 0.3} | arguments
    with pytest.raises(InputError) as refused:
        plate.supported_rectangle_stress(**given)
    assert refused.value.name == name


def test_a_wide_floor_loads_the_foot_of_a_narrow_wall_about_twice():
    """By hand: floor and two walls as a frame, the walls' tops on the lid; for the page's words.

    At the corner both turn by the same angle: (p b³/24 − M b/2) / I of the floor and
    (p h³/24 − M h/3) / I of the wall add to nothing.
    """
    floor, wall = (0.120, 0.006**3), (0.075, 0.004**3)
    turn = sum(span**3 / 24 / inertia for span, inertia in (floor, wall))
    give = floor[0] / 2 / floor[1] + wall[0] / 3 / wall[1]
    alone = plate.clamped_rectangle_stress(
        pressure=1, short_side=0.075, long_side=0.200, thickness=0.004
    )
    assert 6 * turn / give / 0.004**2 / alone == pytest.approx(2, abs=0.15)
