"""The element's calculator against finite elements, a circuit simulator and special functions.

The finite elements are written from weak forms: nothing of the closed forms is used on their side.
Axes of stress and strain: r, θ, z, rz.
"""

import json
import math
import subprocess
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.sparse.linalg import eigsh
from scipy.special import spherical_jn, spherical_yn
from skfem import (
    Basis,
    BilinearForm,
    ElementLineP2,
    ElementQuad2,
    ElementVector,
    FacetBasis,
    Functional,
    LinearForm,
    MeshLine,
    MeshQuad,
    condense,
    solve,
)
from skfem.helpers import dot, grad

from calculators.bridge import call
from calculators.cards.element import ELEMENT_RESPONSE
from calculators.errors import InputError
from calculators.evaluate import FormError, defaults, evaluate, read
from calculators.formulas import element
from calculators.tables.ceramics import CERAMICS
from calculators.tables.resins import RESINS
from calculators.units import parse

G33, G31 = 26.5e-3, -11e-3
YOUNG, POISSON, DENSITY = 80e9, 0.33, 7600.0
VACUUM = 8.8541878188e-12


def stiffness(young: float = YOUNG, poisson: float = POISSON) -> np.ndarray:
    """Elasticity of an isotropic body, axes r, θ, z, rz, from its compliance."""
    compliance = np.full((3, 3), -poisson) + (1 + poisson) * np.eye(3)
    whole = np.zeros((4, 4))
    whole[:3, :3] = np.linalg.inv(compliance / young)
    whole[3, 3] = young / (2 * (1 + poisson))
    return whole


class Section:
    """Half the section of a body of revolution, held in its middle plane; elements P2 by P2."""

    def __init__(self, inner: float, outer: float, height: float, cells: tuple[int, int]) -> None:
        self.inner, self.outer, self.height = inner, outer, height
        self.mesh = MeshQuad.init_tensor(
            np.linspace(inner, outer, cells[0] + 1), np.linspace(0, height, cells[1] + 1)
        )
        self.element = ElementVector(ElementQuad2())
        self.basis = Basis(self.mesh, self.element, intorder=5)
        middle = self.mesh.facets_satisfying(lambda x: np.isclose(x[1], 0, atol=1e-12))
        self.held = self.basis.get_dofs(middle).all(["u^2"])

    def stiffness(self, elasticity: np.ndarray):
        """Matrix of the strain energy."""

        @BilinearForm
        def energy(u, v, w):
            a, b = strain(u, w.x[0]), strain(v, w.x[0])
            return w.x[0] * sum(elasticity[i, j] * a[i] * b[j] for i in range(4) for j in range(4))

        return energy.assemble(self.basis)

    def mass(self, density: float):
        """Matrix of the kinetic energy."""
        return BilinearForm(lambda u, v, w: density * dot(u, v) * w.x[0]).assemble(self.basis)

    def pressed(self, where, pressure: float) -> np.ndarray:
        """Forces of a pressure on the part of the surface where ``where`` holds."""
        facets = self.mesh.facets_satisfying(where, boundaries_only=True)
        push = LinearForm(lambda v, w: -pressure * dot(w.n, v) * w.x[0])
        return push.assemble(FacetBasis(self.mesh, self.element, facets=facets, intorder=5))

    def stresses(self, elasticity: np.ndarray, forces: np.ndarray, form) -> float:
        """Integral of ``form(stresses, r)`` over the section under these forces."""
        moved = solve(*condense(self.stiffness(elasticity), forces, D=self.held))

        @Functional
        def integral(w):
            parts = strain(w["u"], w.x[0])
            stress = [sum(elasticity[i, j] * parts[j] for j in range(4)) for i in range(4)]
            return form(stress, w.x[0])

        return float(integral.assemble(self.basis, u=self.basis.interpolate(moved)))

    def lowest(self, density: float = DENSITY) -> float:
        """Lowest frequency of the body, free but for the symmetry about its middle plane."""
        return lowest_frequency(self.stiffness(stiffness()), self.mass(density), self.held)


def strain(u, r):
    """Strains r, θ, z, rz of a displacement of revolution."""
    d = grad(u)
    return d[0, 0], u[0] / r, d[1, 1], d[0, 1] + d[1, 0]


def lowest_frequency(stiff, mass, held=()) -> float:
    """Lowest eigenfrequency, by an inverse iteration on the dofs that are free."""
    free = np.setdiff1d(np.arange(stiff.shape[0]), held)
    stiff, mass = stiff[free][:, free].tocsc(), mass[free][:, free].tocsc()
    found = eigsh(stiff, 1, mass, sigma=0.0, which="LM", return_eigenvectors=False)
    return math.sqrt(float(found[0])) / (2 * math.pi)


def tube_forces(body: Section, ends: str) -> np.ndarray:
    """Unit pressure on the side, and on the wall's end what the kind of ends puts there."""
    side = body.pressed(lambda x: np.isclose(x[0], body.outer), 1.0)
    whole = body.outer**2 / (body.outer**2 - body.inner**2)
    on_end = {"exposed": 1.0, "capped": whole, "shielded": 0.0}[ends]
    return side + body.pressed(lambda x: np.isclose(x[1], body.height), on_end)


def tube_by_elements(
    outer: float, inner: float, length: float, ends: str, elasticity: np.ndarray, *, axial=False
) -> float:
    """Sensitivity: stresses by finite elements, voltage by the definition of g33 and g31.

    Open circuit: the mean field between the electrodes is −g·T, averaged over the electrodes.
    """
    body = Section(inner, outer, length / 2, (6, 12))
    forces = tube_forces(body, ends)
    if axial:
        total = body.stresses(
            elasticity, forces, lambda t, r: -(G33 * t[2] + G31 * (t[0] + t[1])) * r
        )
        return total * 2 / ((outer**2 - inner**2) / 2)
    total = body.stresses(elasticity, forces, lambda t, r: -(G33 * t[0] + G31 * (t[1] + t[2])))
    return total / (length / 2)


def radial_line(inner: float, outer: float, power: int, cells: int = 60):
    """A line of quadratic elements along a radius; ``power``: 1 for a ring, 2 for a sphere."""
    basis = Basis(MeshLine(np.linspace(inner, outer, cells + 1)), ElementLineP2(), intorder=6)

    def weighted(form):
        return form.assemble(basis)

    return basis, weighted, power


def ring_matrices(inner: float, outer: float, density: float = DENSITY):
    """Stiffness and mass of a thin flat ring or disc (plane stress) along its radius."""
    basis, weighted, _ = radial_line(inner, outer, 1)
    plane = YOUNG / (1 - POISSON**2)

    @BilinearForm
    def energy(u, v, w):
        a, b = (grad(u)[0], u / w.x[0]), (grad(v)[0], v / w.x[0])
        return plane * w.x[0] * (a[0] * b[0] + a[1] * b[1] + POISSON * (a[0] * b[1] + a[1] * b[0]))

    mass = weighted(BilinearForm(lambda u, v, w: density * u * v * w.x[0]))
    centre = basis.get_dofs(lambda x: np.isclose(x[0], 0)).all() if inner == 0 else ()
    return weighted(energy), mass, centre


def sphere_matrices(inner: float, outer: float):
    """Stiffness, mass and basis of a thick sphere along its radius."""
    basis, weighted, _ = radial_line(inner, outer, 2)
    elasticity = stiffness()[:3, :3]

    @BilinearForm
    def energy(u, v, w):
        a = (grad(u)[0], u / w.x[0], u / w.x[0])
        b = (grad(v)[0], v / w.x[0], v / w.x[0])
        return w.x[0] ** 2 * sum(elasticity[i, j] * a[i] * b[j] for i in range(3) for j in range(3))

    mass = weighted(BilinearForm(lambda u, v, w: DENSITY * u * v * w.x[0] ** 2))
    return weighted(energy), mass, basis


def sphere_by_elements(outer: float, inner: float) -> float:
    """Sensitivity of a closed sphere by finite elements along its radius."""
    stiff, _, basis = sphere_matrices(inner, outer)
    force = np.zeros(basis.N)
    force[basis.get_dofs(lambda x: np.isclose(x[0], outer)).all()] = -(outer**2)
    moved = solve(stiff, force)
    elasticity = stiffness()[:3, :3]

    @Functional
    def voltage(w):
        parts = (grad(w["u"])[0], w["u"] / w.x[0], w["u"] / w.x[0])
        t = [sum(elasticity[i, j] * parts[j] for j in range(3)) for i in range(3)]
        return -(G33 * t[0] + G31 * (t[1] + t[2]))

    return float(voltage.assemble(basis, u=basis.interpolate(moved)))


def coated_sphere_by_elements(outer: float, inner: float, coat: float, row: str) -> float:
    """Sensitivity of a sphere under a coat from the table, by finite elements along the radius."""
    density, speed, shear = (
        float(RESINS.cell(row, c).value.split()[0])
        for c in ("density", "sound_speed", "shear_modulus")
    )
    shear *= 1e6
    cells = np.concatenate(
        [np.linspace(inner, outer, 41), np.linspace(outer, outer + coat, 41)[1:]]
    )
    basis = Basis(MeshLine(cells), ElementLineP2(), intorder=6)
    plain = stiffness()
    # Direct and cross stiffness of ceramic and resin.
    both = (plain[0, 0], density * speed**2), (plain[0, 1], density * speed**2 - 2 * shear)

    def stress(u, r):
        direct, cross = (np.where(r < outer, *pair) for pair in both)
        e, h = grad(u)[0], u / r
        return direct * e + 2 * cross * h, cross * e + (direct + cross) * h

    @BilinearForm
    def energy(u, v, w):
        along, across = stress(u, w.x[0])
        return w.x[0] ** 2 * (along * grad(v)[0] + 2 * across * v / w.x[0])

    force = np.zeros(basis.N)
    force[basis.get_dofs(lambda x: np.isclose(x[0], outer + coat)).all()] = -((outer + coat) ** 2)
    moved = solve(energy.assemble(basis), force)

    @Functional
    def voltage(w):
        along, across = stress(w["u"], w.x[0])
        return np.where(w.x[0] < outer, -(G33 * along + 2 * G31 * across), 0.0)

    return float(voltage.assemble(basis, u=basis.interpolate(moved)))


def coated_ring(coat: float, bulk: float, shear: float, coat_density: float) -> float:
    """Lowest frequency of a short ring (plane stress) with a coat that cannot yield sideways."""
    inner, outer = 7.5e-3, 9e-3
    points = np.concatenate(
        [np.linspace(inner, outer, 41), np.linspace(outer, outer + coat, 41)[1:]]
    )
    basis = Basis(MeshLine(points), ElementLineP2(), intorder=6)
    plane = YOUNG / (1 - POISSON**2)

    def either(r, ceramic, resin):
        return np.where(r < outer, ceramic, resin)

    @BilinearForm
    def energy(u, v, w):
        r = w.x[0]
        direct = either(r, plane, bulk + 4 / 3 * shear)
        cross = either(r, POISSON * plane, bulk - 2 / 3 * shear)
        a, b = (grad(u)[0], u / r), (grad(v)[0], v / r)
        return r * (direct * (a[0] * b[0] + a[1] * b[1]) + cross * (a[0] * b[1] + a[1] * b[0]))

    mass = BilinearForm(lambda u, v, w: either(w.x[0], DENSITY, coat_density) * u * v * w.x[0])
    return lowest_frequency(energy.assemble(basis), mass.assemble(basis))


class Field:
    """Potential between electrodes 1 V apart, on a section of one or two materials."""

    def __init__(self, x: np.ndarray, y: np.ndarray, *, round_axis: bool) -> None:
        self.basis = Basis(MeshQuad.init_tensor(x, y), ElementQuad2(), intorder=5)
        self.round_axis = round_axis

    def capacitance(self, permittivity, half) -> float:
        """Of the whole: ``half`` tells what is electrode above the middle plane, which is 0 V.

        Half a volt across half the body; round: integrated round the axis, else per metre.
        """
        around = self.round_axis

        @BilinearForm
        def energy(u, v, w):
            weight = 2 * np.pi * w.x[0] if around else 1.0
            return VACUUM * permittivity(w.x) * dot(grad(u), grad(v)) * weight

        matrix = energy.assemble(self.basis)
        where = self.basis.doflocs
        live = np.flatnonzero(half(where))
        ground = np.flatnonzero(np.isclose(where[1], 0, atol=1e-12))
        potential = np.zeros(self.basis.N)
        potential[live] = 0.5
        fixed = np.concatenate([live, ground])
        potential = solve(*condense(matrix, x=potential, D=fixed))
        return float(potential @ matrix @ potential) * 2  # two halves; C = 2 W / (1 V)²


DIMENSIONS = {
    "thin": (9e-3, 8.6e-3, 30e-3),
    "as the tarn's": (9e-3, 7.5e-3, 21e-3),
    "thick": (10e-3, 6e-3, 15e-3),
}


@pytest.mark.parametrize("tube", DIMENSIONS.values(), ids=DIMENSIONS.keys())
@pytest.mark.parametrize("ends", ["exposed", "capped", "shielded"])
def test_a_tube_poled_through_its_wall_agrees_with_finite_elements(tube, ends):
    """Independent: stresses by axisymmetric elasticity; their average through the wall, 1e-4."""
    found = tube_by_elements(*tube, ends, stiffness())
    given = element.tube_sensitivity(
        outer_radius=tube[0],
        inner_radius=tube[1],
        voltage_constant_33=G33,
        voltage_constant_31=G31,
        ends=ends,
    )
    assert given == pytest.approx(found, rel=1e-4)


@pytest.mark.parametrize("ends", ["exposed", "capped", "shielded"])
def test_the_ceramic_need_not_be_isotropic(ends):
    """Claim of the page: a poled ceramic's own stiffness moves the level by less than 0.05 dB.

    Compliances of a hard ceramic with its circuit open, in 1/TPa, radial poling: s33D 7.9,
    s11D 10.9, s13D −2.1, s12D −5.4 (from memory; only their order of size matters here).
    """
    r, t, z = 0, 1, 2
    compliance = np.empty((3, 3))
    compliance[r, r], compliance[t, t], compliance[z, z] = 7.9, 10.9, 10.9
    compliance[r, t] = compliance[t, r] = compliance[r, z] = compliance[z, r] = -2.1
    compliance[t, z] = compliance[z, t] = -5.4
    whole = np.zeros((4, 4))
    whole[:3, :3] = np.linalg.inv(compliance * 1e-12)
    whole[3, 3] = 50e9
    outer, inner, length = DIMENSIONS["as the tarn's"]
    poled = tube_by_elements(outer, inner, length, ends, whole)
    isotropic = element.tube_sensitivity(outer, inner, G33, G31, ends)
    assert abs(20 * math.log10(poled / isotropic)) < 0.05


@pytest.mark.parametrize("ends", ["exposed", "capped", "shielded"])
def test_a_tube_poled_along_its_length_agrees_with_finite_elements(ends):
    """Independent: the same elements, electrodes on the end faces."""
    found = tube_by_elements(10e-3, 7e-3, 8e-3, ends, stiffness(), axial=True)
    given = element.axial_tube_sensitivity(10e-3, 7e-3, 8e-3, G33, G31, ends)
    assert given == pytest.approx(found, rel=1e-5)


@pytest.mark.parametrize("inner", [9.8e-3, 9e-3, 4e-3])
def test_a_sphere_agrees_with_finite_elements(inner):
    """Independent: elasticity of a sphere along its radius."""
    given = element.sphere_sensitivity(10e-3, inner, G33, G31)
    assert given == pytest.approx(sphere_by_elements(10e-3, inner), rel=1e-5)


@pytest.mark.parametrize("inner", [7.5e-3, 8.6e-3])
def test_a_soft_coat_leaves_a_sphere_alone_and_a_stiff_one_moves_it_by_a_decibel(inner):
    """Independent: sphere and coat by finite elements; what the caution says, either way."""
    bare = element.sphere_sensitivity(9e-3, inner, G33, G31)
    for row, most in (("silicone", 0.02), ("polyurethane-sonar", 0.05), ("epoxy-stiff", 1.2)):
        coated = coated_sphere_by_elements(9e-3, inner, 3e-3, row)
        moved = 20 * math.log10(coated / bare)
        assert abs(moved) < most
        assert row != "epoxy-stiff" or abs(moved) > 0.3


@pytest.mark.parametrize("pressed", ["all-round", "faces"])
def test_a_disc_agrees_with_finite_elements(pressed):
    """Independent: axisymmetric elasticity of a disc of 20 mm by 5 mm."""
    body = Section(1e-6, 10e-3, 2.5e-3, (8, 4))
    forces = body.pressed(lambda x: np.isclose(x[1], body.height), 1.0)
    if pressed == "all-round":
        forces = forces + body.pressed(lambda x: np.isclose(x[0], body.outer), 1.0)
    total = body.stresses(stiffness(), forces, lambda t, r: -(G33 * t[2] + G31 * (t[0] + t[1])) * r)
    found = total * 2 / (body.outer**2 / 2)
    assert element.plate_sensitivity(5e-3, G33, G31, pressed) == pytest.approx(found, rel=1e-5)


def test_two_plates_and_the_field_around_them():
    """Independent: Laplace's equation with the air around; what the formula leaves out is small."""
    half, thickness = 10e-3, 2e-3
    x = stations((0, 0.9, 8), (0.9, 1, 12), (1, 1.1, 12), (1.1, 6, 16)) * half
    y = stations((0, 0.5, 6), (0.5, 2, 10), (2, 30, 16)) * thickness

    def ceramic(at):
        inside = (at[0] < half) & (at[1] < thickness / 2)
        return np.where(inside, 1275.0, 1.0)

    def electrode(at):
        return (at[0] <= half + 1e-9) & np.isclose(at[1], thickness / 2, atol=1e-9)

    disc = Field(x, y, round_axis=True).capacitance(ceramic, electrode)
    given = element.disc_capacitance(2 * half, thickness, 1275)
    assert given == pytest.approx(disc, rel=1e-3)
    assert given < disc, "the field around adds to it"
    strip = 2 * Field(x, y, round_axis=False).capacitance(ceramic, electrode) * 30e-3
    assert element.plate_capacitance(30e-3, 2 * half, thickness, 1275) == pytest.approx(
        strip, rel=1e-3
    )


def stations(*runs: tuple[float, float, int]) -> np.ndarray:
    """Points of a mesh: runs from, to, number of cells."""
    return np.unique(np.concatenate([np.linspace(a, b, n + 1) for a, b, n in runs]))


@pytest.mark.parametrize("outer", [8.6e-3, 9.4e-3, 12e-3])
def test_the_capacitance_of_a_tube_agrees_with_finite_elements(outer):
    """Independent: Laplace's equation along the radius of a tube and of a sphere."""
    inner = 8e-3
    basis = Basis(MeshLine(np.linspace(inner, outer, 41)), ElementLineP2(), intorder=6)
    ends = [basis.get_dofs(lambda x, at=at: np.isclose(x[0], at)).all() for at in (inner, outer)]

    def energy(area):
        form = BilinearForm(lambda u, v, w: dot(grad(u), grad(v)) * area(w.x[0]))
        matrix = form.assemble(basis)
        potential = np.zeros(basis.N)
        potential[ends[1]] = 1
        potential = solve(*condense(matrix, x=potential, D=np.concatenate(ends)))
        return float(potential @ matrix @ potential)

    tube = VACUUM * 1900 * energy(lambda r: 2 * np.pi * r * 17e-3)
    assert element.tube_capacitance(outer, inner, 17e-3, 1900) == pytest.approx(tube, rel=1e-6)
    sphere = VACUUM * 1900 * energy(lambda r: 4 * np.pi * r**2)
    assert element.sphere_capacitance(outer, inner, 1900) == pytest.approx(sphere, rel=1e-6)


def test_a_ring_and_a_disc_ring_as_finite_elements_do():
    """Independent: eigenfrequency along the radius, plane stress. A thick wall raises a ring's."""
    for inner, close in ((9.9e-3, 1e-3), (8e-3, 5e-3), (7.5e-3, 8e-3)):
        stiff, mass, _ = ring_matrices(inner, 10e-3)
        found = lowest_frequency(stiff, mass)
        given = element.hoop_resonance((inner + 10e-3) / 2, YOUNG, DENSITY)
        assert given == pytest.approx(found, rel=close)
        assert given < found
    stiff, mass, centre = ring_matrices(0, 10e-3)
    given = element.radial_resonance(10e-3, YOUNG, POISSON, DENSITY)
    assert given == pytest.approx(lowest_frequency(stiff, mass, centre), rel=1e-6)


def test_a_sphere_breathes_as_finite_elements_do():
    """Independent: eigenfrequency along the radius; 1 % up to a wall of a third of the radius."""
    for inner, close in ((9.9e-3, 1e-4), (9e-3, 2e-3), (7e-3, 2e-2)):
        stiff, mass, _ = sphere_matrices(inner, 10e-3)
        given = element.breathing_resonance((inner + 10e-3) / 2, YOUNG, POISSON, DENSITY)
        assert given == pytest.approx(lowest_frequency(stiff, mass), rel=close)


@pytest.mark.parametrize("length", [8e-3, 21e-3, 27e-3, 60e-3])
def test_the_first_resonance_of_a_tube_agrees_with_finite_elements(length):
    """Independent: lowest axisymmetric mode of a free tube, from ring to rod; 1 %."""
    inner, outer = 7.5e-3, 9e-3
    found = Section(inner, outer, length / 2, (2, 16)).lowest()
    given = element.coupled_resonance(
        hoop=element.hoop_resonance((inner + outer) / 2, YOUNG, DENSITY),
        along=element.length_resonance(length, YOUNG, DENSITY),
        poisson=POISSON,
    )
    assert given == pytest.approx(found, rel=1e-2)


@pytest.mark.parametrize(("coat", "close"), [(1e-3, 2e-3), (3e-3, 5e-3), (6e-3, 5e-2)])
def test_a_soft_coat_is_a_mass_and_hardly_a_spring(coat, close):
    """Independent: ring and coat as finite elements. Polyurethane of 2.7 GPa and 4.4 MPa."""
    stiff, mass, _ = ring_matrices(7.5e-3, 9e-3)
    given = element.loaded_resonance(
        resonance=lowest_frequency(stiff, mass),
        wall_thickness=1.5e-3,
        wall_density=DENSITY,
        coat_thickness=coat,
        coat_density=1080,
        water_thickness=0,
        water_density=1000,
    )
    assert given == pytest.approx(coated_ring(coat, 2.7e9, 4.4e6, 1080), rel=close)


def test_the_water_that_moves_along_is_the_reactance_of_a_pulsating_sphere():
    """Reference library: spherical Hankel function and its slope, over four decades."""
    for radius, frequency in ((12e-3, 100), (12e-3, 2e4), (12e-3, 2e5), (0.1, 5e3)):
        omega = 2 * math.pi * frequency
        x = omega * radius / 1480
        outgoing = spherical_jn(0, x) - 1j * spherical_yn(0, x)
        slope = spherical_jn(0, x, True) - 1j * spherical_yn(0, x, True)
        impedance = -1j * omega * outgoing / (omega / 1480 * slope)  # for a density of one
        given = element.water_layer(radius, frequency, 1480)
        assert given == pytest.approx(impedance.imag / omega, rel=1e-9)


def column_mean(frequency: float, length: float, speed: float) -> float:
    """Mean pressure in a column with unit pressure at both ends, by finite elements."""
    basis = Basis(MeshLine(np.linspace(0, length, 41)), ElementLineP2(), intorder=5)
    k = 2 * math.pi * frequency / speed
    wave = BilinearForm(lambda u, v, w: dot(grad(u), grad(v)) - k**2 * u * v).assemble(basis)
    pressure = np.zeros(basis.N)
    ends = basis.get_dofs().all()
    pressure[ends] = 1
    pressure = solve(*condense(wave, x=pressure, D=ends))
    mean = Functional(lambda w: w["p"]).assemble(basis, p=basis.interpolate(pressure))
    return float(mean) / length


@pytest.mark.parametrize("rise", [0.5, 1, 3])
def test_an_open_core_stands_in_waves_where_the_formula_says(rise):
    """Independent: the column by finite elements, the tube's voltage from inside and outside."""
    length, speed, flooded, in_air = 21e-3, 1480.0, 6.75e-6, -93.82e-6
    limit = element.open_core_limit(length, speed, flooded, in_air, rise)
    inside = column_mean(limit, length, speed)
    there = in_air + (flooded - in_air) * inside
    assert 20 * math.log10(there / flooded) == pytest.approx(rise, rel=0.03)


CIRCUIT = """* elements as voltages behind their capacitances; one second is never reached
Va pa 0 DC 0 AC {first}
Ca pa pp {c1}
Vb pb 0 DC 0 AC {second}
Cb pb pp {c2}
Rp pp 0 1e15
Vc sa 0 DC 0 AC {first}
Cc sa s1 {c1}
Vd sb s1 DC 0 AC {second}
Cd sb ss {c2}
Rs ss 0 1e15
Rt s1 0 1e15
I1 0 z DC 0 AC 1
C1 z 0 {c1}
R1 z 0 {loss}
V2 d 0 DC 0 AC 1
L2 d h 1m
C2 h 0 {c1}
.control
set numdgt=12
set wr_singlescale
ac lin 1 1000 1000
wrdata {folder}/one.txt vm(pp) vm(ss) vm(z)
ac dec 20000 {low} {high}
wrdata {folder}/sweep.txt vdb(h)
quit 0
.endc
.end
"""


def test_pairs_impedance_and_flat_band_agree_with_a_circuit_simulator(tmp_path):
    """Simulation: two elements in parallel and in series, a lossy one, a resonance without loss."""
    first, c1, second, c2, tangent = 93e-6, 8.2e-9, 131e-6, 6.1e-9, 0.02
    resonance = 1 / (2 * math.pi * math.sqrt(1e-3 * c1))
    loss = 1 / (2 * math.pi * 1000 * c1 * tangent)
    netlist = tmp_path / "element.cir"
    netlist.write_text(
        CIRCUIT.format(
            first=first, second=second, c1=c1, c2=c2, loss=loss, folder=tmp_path,
            low=resonance / 10, high=resonance / 1.5,
        )
    )  # fmt: skip
    subprocess.run(["ngspice", "-b", netlist], check=True, capture_output=True, cwd=tmp_path)
    together, string, impedance = (float(x) for x in (tmp_path / "one.txt").read_text().split()[1:])
    pair = (first, c1, second, c2)
    assert element.pair_sensitivity(*pair, "parallel") == pytest.approx(together, rel=1e-6)
    assert element.pair_sensitivity(*pair, "series") == pytest.approx(string, rel=1e-6)
    assert element.impedance_magnitude(c1, tangent, 1000) == pytest.approx(impedance, rel=1e-6)
    sweep = [
        [float(x) for x in line.split()]
        for line in (tmp_path / "sweep.txt").read_text().splitlines()
    ]
    for rise in (0.5, 1, 3):
        found = next(
            f0 + (f1 - f0) * (rise - y0) / (y1 - y0)
            for (f0, y0), (f1, y1) in pairwise(sweep)
            if y0 <= rise < y1
        )
        assert element.flat_limit(resonance, rise) == pytest.approx(found, rel=1e-6)


def answers(**changed: float | str) -> dict[str, float]:
    """The calculator's answers for its defaults with some inputs changed, SI."""
    return evaluate(ELEMENT_RESPONSE, defaults(ELEMENT_RESPONSE) | changed)


def test_a_capped_tube_hears_most_and_a_shielded_one_least():
    """Known order of Langevin's three cases, bare and with air inside."""
    levels = [
        answers(ends=ends, coat_thickness=0.0)["sensitivity_level"]
        for ends in ("shielded", "exposed", "capped")
    ]
    assert levels == sorted(levels)
    assert 1 < levels[1] - levels[0] < 3
    assert 2 < levels[2] - levels[1] < 4


def test_a_soft_coat_changes_next_to_nothing_unless_the_ends_are_shielded():
    """Claims of the page: 0.1 dB at capped and exposed ends, up to 4 dB at shielded ones."""
    for ends, least, most in (("capped", -0.1, 0.1), ("exposed", -0.1, 0.1), ("shielded", 2, 4)):
        bare = answers(ends=ends, coat_thickness=0.0)["sensitivity_level"]
        coated = answers(ends=ends)["sensitivity_level"]
        assert least < bare - coated < most


@pytest.mark.parametrize("core", ["resin", "flooded"])
def test_a_tube_with_pressure_on_both_faces_loses_most(core):
    """The failure of the handbook: soft resin with open ends is as good as water inside."""
    found = answers(ends="exposed", core=core)
    air = answers(ends="exposed")
    assert 15 < found["core_loss"] < 30
    assert found["core_loss"] == pytest.approx(
        air["sensitivity_level"] - found["sensitivity_level"], abs=0.1
    )
    assert found["upper_limit"] < air["upper_limit"] / 3
    assert air["core_loss"] == 0


@pytest.mark.parametrize("poling", ["radial", "axial"])
def test_a_flooded_tube_has_open_ends_whatever_is_chosen(poling):
    """Its loss is against the bare tube with air and exposed ends; nothing else moves either."""
    given = {"core": "flooded", "poling": poling, "highest_wanted": 100.0}
    flooded = [answers(**given, ends=ends) for ends in ("capped", "exposed", "shielded")]
    assert flooded[0] == flooded[1] == flooded[2]
    air = answers(poling=poling, ends="exposed", coat_thickness=0.0)
    lost = air["sensitivity_level"] - flooded[0]["sensitivity_level"]
    assert flooded[0]["core_loss"] == pytest.approx(lost, abs=1e-9)


def test_the_picture_of_a_flooded_tube_compares_with_exposed_ends():
    """The curve beside it is the one that the loss is against."""
    values = defaults(ELEMENT_RESPONSE) | {"core": "flooded", "ends": "capped"}
    plot = ELEMENT_RESPONSE.plot(values, evaluate(ELEMENT_RESPONSE, values), "metric")
    assert [line.name for line in plot.lines] == ["Flooded", "Air inside, exposed ends"]


def test_a_coat_that_is_not_worked_out_is_told():
    """Coated spheres and tubes poled along; not bare ones, nor tubes poled through the wall."""
    (caution,) = [c for c in ELEMENT_RESPONSE.cautions if "left out" in c.title]
    for changed, told in (
        ({"shape": "sphere"}, True),
        ({"shape": "sphere", "coat_thickness": 0.0}, False),
        ({"poling": "axial"}, True),
        ({}, False),
    ):
        values = defaults(ELEMENT_RESPONSE) | changed
        assert caution.when(values, evaluate(ELEMENT_RESPONSE, values)) is told


@pytest.mark.parametrize(
    "changed",
    [
        {},
        {"coat_thickness": 0.0},
        {"shape": "sphere", "outer_diameter": 12.7e-3, "thickness": 1.2e-3},
        {"outer_diameter": 60e-3, "thickness": 6e-3, "length": 10e-3, "highest_wanted": 500.0},
        {"outer_diameter": 6e-3, "thickness": 0.3e-3, "coat_thickness": 20e-3},
    ],
)
def test_the_layer_of_water_is_that_of_the_resonance_in_water(changed):
    """Reference library: a root, by brentq, of the resonance with a pulsating sphere's water."""
    values = defaults(ELEMENT_RESPONSE) | changed
    found = evaluate(ELEMENT_RESPONSE, values)
    wall = float(values["thickness"]) * float(values["ceramic_density"])
    coat = float(values["coat_thickness"])
    radius = float(values["outer_diameter"]) / 2 + coat
    if values["shape"] == "tube":
        first = element.coupled_resonance(
            found["hoop_resonance"], found["length_resonance"], float(values["ceramic_poisson"])
        )
    else:
        first = found["hoop_resonance"]
    first = min(first, found["wall_resonance"])

    def water(frequency):
        x = 2 * math.pi * frequency * radius / 1480
        outgoing = spherical_jn(0, x) - 1j * spherical_yn(0, x)
        slope = spherical_jn(0, x, True) - 1j * spherical_yn(0, x, True)
        return 1000 * radius * (-1j * outgoing / slope).imag / x

    def off(frequency):
        load = float(values["resin_density"]) * coat + water(frequency)
        return frequency - first / math.sqrt(1 + load / wall)

    assert found["first_resonance"] == pytest.approx(brentq(off, first / 20, first), rel=1e-9)


def test_one_or_two_elements():
    """Two alike: in parallel twice the capacitance, in series twice the voltage."""
    one = answers()
    parallel, series = answers(connection="parallel"), answers(connection="series")
    assert parallel["sensitivity"] == pytest.approx(one["sensitivity"])
    assert parallel["capacitance"] == pytest.approx(2 * one["capacitance"])
    assert series["sensitivity"] == pytest.approx(2 * one["sensitivity"])
    assert series["capacitance"] == pytest.approx(one["capacitance"] / 2)


def test_the_sign_tells_which_constant_wins():
    """Thin walls give g31's sign, a shielded thick wall and a plate g33's."""
    assert answers()["polarity"] == -1
    thick = {"outer_diameter": 20e-3, "thickness": 7e-3, "ends": "shielded", "coat_thickness": 0.0}
    assert answers(**thick)["polarity"] == 1
    assert answers(shape="disc")["polarity"] == 1
    assert answers(shape="sphere")["polarity"] == -1


def test_the_picture_names_the_null():
    """Where g33 and g31 cancel: the picture's number against a root found from the stresses."""
    values = defaults(ELEMENT_RESPONSE) | {"ends": "shielded", "coat_thickness": 0.0}
    plot = ELEMENT_RESPONSE.plot(values, evaluate(ELEMENT_RESPONSE, values), "metric")
    (null,) = [x for x, text in plot.marks if text.startswith("null")]
    either_side = [
        tube_by_elements(10e-3, 10e-3 * (null + step), 15e-3, "shielded", stiffness())
        for step in (-0.01, 0.01)
    ]
    assert either_side[0] > 0 > either_side[1]


def test_the_thinner_the_wall_the_closer_to_the_membrane():
    """Limit: a thin capped tube gives 1.5 b g31, a thin sphere and a shielded tube b g31."""
    thin = {"outer_radius": 0.01, "inner_radius": 0.009999}
    ceramic = {"voltage_constant_33": G33, "voltage_constant_31": G31}
    for factor, ends in ((1.5, "capped"), (1, "exposed"), (1, "shielded")):
        given = element.tube_sensitivity(**thin, **ceramic, ends=ends)
        assert given == pytest.approx(factor * 0.01 * G31, rel=1e-3)
    assert element.sphere_sensitivity(**thin, **ceramic) == pytest.approx(0.01 * G31, rel=1e-3)


def test_resonances_that_are_far_apart_leave_each_other_alone():
    """Limit: a very short ring keeps its hoop resonance, a very long rod its length resonance."""
    for hoop, along in ((1e3, 1e7), (1e7, 1e3)):
        assert element.coupled_resonance(hoop, along, 0.33) == pytest.approx(1e3, rel=1e-6)
    assert element.coupled_resonance(5e4, 7e4, 0) == pytest.approx(5e4)


def test_every_ceramic_of_the_table_gives_a_capped_tube_between_minus_194_and_minus_201():
    """Plausibility: common ceramics differ by a few decibels only in the same tube."""
    for row in CERAMICS.rows:
        request = {
            "op": "fill",
            "calculator": "element-response",
            "fill": "ceramic",
            "row": row.name,
            "system": "metric",
        }
        filled = json.loads(call(json.dumps(request)))
        assert filled["ok"]
        numbers = {
            name: parse(text, ELEMENT_RESPONSE.inputs_by_name[name].unit, name=name)
            for name, text in filled["fields"].items()
        }
        assert -201 < answers(**numbers)["sensitivity_level"] < -194


REFUSED = {
    "a wall thicker than the radius": ({"thickness": 9.5e-3}, "thickness", "Give less than 8.98"),
    "the same for a sphere": (
        {"shape": "sphere", "thickness": 9.5e-3},
        "thickness",
        "there is only 8.98",
    ),
    "a disc thicker than wide": (
        {"shape": "disc", "outer_diameter": 5e-3, "thickness": 6e-3},
        "thickness",
        "Give less than 5.00",
    ),
    "a plate thicker than wide": (
        {"shape": "plate", "width": 4e-3, "thickness": 5e-3},
        "thickness",
        "Give less than 4.00",
    ),
    "a band above the resonance": ({"highest_wanted": 120e3}, "highest_wanted", "Give less than"),
    "a resin stiffer than its sound speed": (
        {"resin_shear_modulus": 3e9},
        "resin_shear_modulus",
        "Give less than",
    ),
    "constants of no ceramic": (
        {"voltage_constant_31": -30e-3, "permittivity": 5000.0},
        "voltage_constant_31",
        "only room to",
    ),
    "resin in a tube poled along": (
        {"poling": "axial", "core": "resin"},
        "core",
        "Give air or flooded",
    ),
    "g33 and g31 that cancel": (
        {
            "shape": "disc",
            "voltage_constant_33": 22e-3,
            "voltage_constant_31": -11e-3,
        },
        "voltage_constant_31",
        "cancels",
    ),
}


@pytest.mark.parametrize(("changed", "name", "said"), REFUSED.values(), ids=REFUSED.keys())
def test_what_cannot_be_is_refused_at_its_field_with_what_is_accepted(changed, name, said):
    """Nothing is clamped: the field is named, and what would do."""
    with pytest.raises(InputError, match=said.replace(".", r"\.")) as refused:
        answers(**changed)
    assert refused.value.name == name


def test_a_negative_loss_tangent_is_refused_with_its_range():
    """By the range of the form itself, from 0."""
    texts = {i.name: i.default for i in ELEMENT_RESPONSE.inputs} | {"loss_tangent": "-0.01"}
    with pytest.raises(FormError) as refused:
        read(ELEMENT_RESPONSE, texts, {}, "metric")
    (error,) = refused.value.errors
    assert error.name == "loss_tangent"
    assert "Give 0" in error.message


TUBE = {"outer_radius": 9e-3, "inner_radius": 7.5e-3}
CONSTANTS = {"voltage_constant_33": G33, "voltage_constant_31": G31}
WRONG = [
    (element.tube_capacitance, TUBE | {"inner_radius": 9e-3, "length": 1.0, "permittivity": 9.0}),
    (element.sphere_capacitance, TUBE | {"inner_radius": -1e-3, "permittivity": 9.0}),
    (element.tube_sensitivity, TUBE | CONSTANTS | {"ends": "glued"}),
    (element.tube_sensitivity, TUBE | CONSTANTS | {"ends": "capped", "outer_radius": math.nan}),
    (element.axial_tube_sensitivity, TUBE | CONSTANTS | {"ends": "capped", "length": 0.0}),
    (element.sphere_sensitivity, TUBE | CONSTANTS | {"voltage_constant_33": math.inf}),
    (element.plate_sensitivity, CONSTANTS | {"thickness": 1e-3, "pressed": "edge"}),
    (element.sensitivity_level, {"sensitivity": 0.0}),
    (element.impedance_magnitude, {"capacitance": 1e-9, "loss_tangent": -0.1, "frequency": 1e3}),
    (element.pair_capacitance, {"first": 1e-9, "second": 1e-9, "connection": "crossed"}),
    (element.coupled_resonance, {"hoop": 1e3, "along": 1e3, "poisson": 0.6}),
    (element.flat_limit, {"resonance": 1e3, "rise": 0.0}),
    (
        element.capacitance_at_temperature,
        {"capacitance": 1e-9, "coefficient": 0.0025, "temperature": 200.0},
    ),
]


@pytest.mark.parametrize(("formula", "arguments"), WRONG)
def test_a_formula_refuses_what_cannot_be_by_name(formula, arguments):
    """The refusal names an argument of the formula and says what it takes."""
    with pytest.raises(InputError, match="must") as refused:
        formula(**arguments)
    assert refused.value.name in arguments
