"""The exact tube against closed forms: thick rings, bars, and the flexure of a hollow circle."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from polewright.errors import DesignError
from polewright.materials.ply import Elastic
from polewright.wall.cylinder import exact_tube
from polewright.wall.stack import Wall
from polewright.wall.through import TubeLoads, beam_strain, torque_to_hold, tube_stress

E, NU, ALPHA = 70.0e9, 0.3, 23.0e-6
G = E / (2.0 * (1.0 + NU))
READ = tuple(np.linspace(0.0, 1.0, 9))


def metal(inner, outer, *, nu=NU, layers=1, angle=0.0):
    """An isotropic tube cut into equal layers, each turned by `angle`, which must not matter."""
    return Wall(
        bore=np.array(2.0 * inner),
        angle=np.full(layers, angle),
        thickness=np.full(layers, (outer - inner) / layers),
        elastic=Elastic.isotropic(E=E, nu=nu, alpha=ALPHA),
    )


def radii(tube):
    edges = tube.wall.edges
    return edges[:-1, None] + np.diff(edges)[:, None] * tube.points


@pytest.mark.parametrize(("inner", "outer"), [(0.0135, 0.0144), (0.010, 0.015), (0.001, 0.030)])
@pytest.mark.parametrize("layers", [1, 4])
def test_pressure_on_a_thick_ring_is_lames(inner, outer, layers):
    tube = exact_tube(metal(inner, outer, layers=layers, angle=0.7), points=READ)
    r = radii(tube)
    for pressures in ((1.0, 0.0), (0.0, 1.0), (3.0, 2.0)):
        seen = tube_stress(tube, TubeLoads(inner_pressure=pressures[0], outer_pressure=pressures[1])).tube
        # Timoshenko & Goodier, Theory of Elasticity, 3rd ed., 1970, art. 28: A/r^2 and 2C of a ring under pressure
        even = (pressures[0] * inner**2 - pressures[1] * outer**2) / (outer**2 - inner**2)
        falling = inner**2 * outer**2 * (pressures[0] - pressures[1]) / (outer**2 - inner**2) / r**2
        scale = np.abs(even) + np.abs(falling).max()
        assert_allclose(seen[..., 2], even - falling, atol=1e-8 * scale)
        assert_allclose(seen[..., 1], even + falling, atol=1e-8 * scale)
        assert_allclose(seen[..., [0, 3, 4, 5]], 0.0, atol=1e-8 * scale)


def test_pressure_on_a_cylindrically_orthotropic_ring_follows_its_power_of_the_radius(verified):
    inner, outer, across, around = 0.010, 0.018, 8.0e9, 100.0e9
    elastic = Elastic(
        E1=8.0e9,
        E2=around,
        E3=across,
        G12=3e9,
        G13=3e9,
        G23=3e9,
        nu12=0.0,
        nu13=0.0,
        nu23=0.3,
        alpha1=0.0,
        alpha2=0.0,
        alpha3=0.0,
        density=1500.0,
    )
    wall = Wall(bore=np.array(2 * inner), angle=np.array([0.0]), thickness=np.array([outer - inner]), elastic=elastic)
    tube = exact_tube(wall, points=READ)
    seen = tube_stress(tube, TubeLoads(inner_pressure=1.0)).tube[0]
    k, c, x = np.sqrt(around / across), inner / outer, radii(tube)[0] / outer
    # Lekhnitskii, Anisotropic Plates, 1968, sec. 38: a curvilinearly anisotropic ring under inner pressure
    through = c ** (k + 1) / (1 - c ** (2 * k)) * (x ** (k - 1) - x ** (-k - 1))
    hoop = c ** (k + 1) / (1 - c ** (2 * k)) * k * (x ** (k - 1) + x ** (-k - 1))
    assert_allclose(seen[:, 2], through, atol=1e-8)
    assert_allclose(seen[:, 1], hoop, rtol=1e-7)
    verified(
        "wall",
        "hoop stress at the bore of an orthotropic ring under inner pressure",
        "S. G. Lekhnitskii, Anisotropic Plates, 1968, sec. 38",
        hoop[0],
        seen[0, 1],
        1e-7,
        unit="Pa/Pa",
        kind="closed form",
    )


@pytest.mark.parametrize(("inner", "outer"), [(0.0135, 0.0144), (0.010, 0.015), (0.001, 0.030)])
def test_an_isotropic_tube_stretches_bends_and_twists_as_a_bar(inner, outer):
    tube = exact_tube(metal(inner, outer, layers=3, angle=-0.4), points=READ)
    area, second = np.pi * (outer**2 - inner**2), np.pi / 4 * (outer**4 - inner**4)
    stiff = tube.stiffness()
    assert_allclose([stiff.axial, stiff.bending, stiff.twist], [E * area, E * second, 2 * G * second], rtol=1e-9)
    r = radii(tube)
    for loads, component, expected in (
        (TubeLoads(axial=1.0), 0, np.ones_like(r) / area),
        (TubeLoads(torque=1.0), 5, r / (2 * second)),
        (TubeLoads(moment=1.0), 0, r / second),
    ):
        seen = tube_stress(tube, loads).tube
        assert_allclose(seen[..., component], expected, rtol=1e-8)
        assert_allclose(np.delete(seen, component, axis=-1), 0.0, atol=1e-8 * expected.max())


def test_a_warm_isotropic_tube_grows_alike_every_way_without_stress():
    tube = exact_tube(metal(0.01, 0.015, layers=3, angle=0.3), points=READ)
    grown = beam_strain(tube, TubeLoads(rise=40.0))
    assert_allclose([grown.axial, grown.bore, grown.skin], 40.0 * ALPHA, rtol=1e-9)
    assert_allclose(grown.twist, 0.0, atol=1e-9)
    assert_allclose(tube_stress(tube, TubeLoads(rise=40.0)).tube, 0.0, atol=1e-9 * E * 40.0 * ALPHA)


def flexure(inner, outer, nu, x, y):
    """Shear stresses (along-x, along-y) of a unit shear force toward x in a hollow circle.

    A. E. H. Love, A Treatise on the Mathematical Theory of Elasticity, 4th ed., 1927, sec. 229 and 231 (hollow
    circle); sign of the force reversed. Its boundary and balance conditions are tested below.
    """
    second = np.pi / 4 * (outer**4 - inner**4)
    k = 0.75 + 0.5 * nu
    r2, both, product = x * x + y * y, inner**2 + outer**2, inner**2 * outer**2
    # chi = -k (a^2 + b^2) x - k a^2 b^2 x / r^2 + (x^3 - 3 x y^2)/4
    by_x = -k * both - k * product * (y * y - x * x) / r2**2 + 0.75 * (x * x - y * y)
    by_y = k * product * 2 * x * y / r2**2 - 1.5 * x * y
    scale = -1.0 / (2.0 * (1.0 + nu) * second)
    return scale * (by_x + 0.5 * nu * x * x + (1 - 0.5 * nu) * y * y), scale * (by_y + (2 + nu) * x * y)


@pytest.mark.parametrize(("inner", "outer"), [(0.0135, 0.0144), (0.010, 0.015), (0.002, 0.010)])
@pytest.mark.parametrize("nu", [0.0, 0.3, 0.45])
def test_shear_stress_round_the_clock_is_that_of_saint_venants_flexure(inner, outer, nu):
    tube = exact_tube(metal(inner, outer, nu=nu, layers=2), points=READ)
    r = radii(tube)
    for clock in (0.0, 0.4, np.pi / 2, 2.5):
        x, y = r * np.cos(clock), r * np.sin(clock)
        to_x, to_y = flexure(inner, outer, nu, x, y)
        through, around = to_x * np.cos(clock) + to_y * np.sin(clock), to_y * np.cos(clock) - to_x * np.sin(clock)
        assert_allclose(through[[0, -1], [0, -1]], 0.0, atol=1e-9 * np.abs(around).max() + 1e-6)  # free faces
        seen = tube_stress(tube, TubeLoads(shear=1.0), clock=clock).tube
        scale = 2.0 / (np.pi * (outer**2 - inner**2))
        assert_allclose(seen[..., 4], through, atol=1e-8 * scale)
        assert_allclose(seen[..., 5], around, atol=1e-8 * scale)
        assert_allclose(seen[..., :4], 0.0, atol=1e-8 * scale)


def test_shear_coefficient_by_energy_is_that_of_the_flexure_stresses(verified):
    inner, outer = 0.010, 0.015
    tube = exact_tube(metal(inner, outer))
    place, weight = np.polynomial.legendre.leggauss(20)
    r = inner + (outer - inner) * (1 + place) / 2
    clock = np.linspace(0, 2 * np.pi, 64, endpoint=False)[:, None]
    to_x, to_y = flexure(inner, outer, NU, r * np.cos(clock), r * np.sin(clock))
    energy = ((to_x**2 + to_y**2) @ (weight * r)).mean() * 2 * np.pi * (outer - inner) / 2
    expected = 1.0 / (energy * np.pi * (outer**2 - inner**2))
    verified(
        "wall",
        "shear coefficient of a hollow circle, inner two thirds of outer radius, by energy",
        "A. E. H. Love, Theory of Elasticity, 4th ed., 1927, sec. 231, energy integrated",
        expected,
        tube.shear_coefficient,
        1e-8,
        kind="closed form",
    )


@pytest.mark.parametrize("nu", [0.0, 0.25, 0.5 - 1e-3])
def test_a_tube_of_pinhole_bore_has_the_shear_coefficient_of_a_solid_bar(nu, verified):
    # J. D. Renton, Generalized beam theory applied to shear stiffness, 1991: circle, 6(1+nu)^2/(7+14nu+8nu^2);
    # the hole's own share falls as the square of its radius
    expected = 6 * (1 + nu) ** 2 / (7 + 14 * nu + 8 * nu**2)
    seen = exact_tube(metal(1e-5, 1e-2, nu=nu)).shear_coefficient
    verified(
        "wall",
        f"shear coefficient of a round bar, nu {nu:g}",
        "J. D. Renton, 1991, circular section by energy",
        expected,
        seen,
        1e-5,
        kind="closed form",
    )


@pytest.mark.parametrize(("inner", "outer"), [(0.0135, 0.0144), (0.010, 0.015), (0.002, 0.010)])
def test_mean_motion_of_the_section_gives_cowpers_coefficient(inner, outer, verified):
    """Cowper weighs motion, not energy: his coefficient comes out of the same strains, and is a little higher."""
    place, weight = np.polynomial.legendre.leggauss(12)
    tube = exact_tube(metal(inner, outer), points=(1 + place) / 2)
    r, second = radii(tube)[0], np.pi / 4 * (outer**4 - inner**4)
    # shear strain along-around is sin(clock) times (-W/r - nu r^2/(2 EI)), W the warp along, the rest anticlastic
    warp = -r * (tube.unit_strain[0, :, 3, 5] + NU * r**2 / (2 * E * second))
    angle = np.pi / second * (weight * warp * r**2).sum() * (outer - inner) / 2
    m2 = (inner / outer) ** 2
    expected = 6 * (1 + NU) * (1 + m2) ** 2 / ((7 + 6 * NU) * (1 + m2) ** 2 + (20 + 12 * NU) * m2)
    seen = 1.0 / (G * np.pi * (outer**2 - inner**2) * angle)
    verified(
        "wall",
        f"shear coefficient by mean motion, hollow circle, radii {inner / outer:.3f}",
        "G. R. Cowper, The shear coefficient in Timoshenko's beam theory, J. Appl. Mech. 33, 1966, hollow circle",
        expected,
        seen,
        1e-7,
        kind="closed form",
    )
    assert tube.shear_coefficient < seen


def test_unit_loads_balance_their_own_resultants():
    place, weight = np.polynomial.legendre.leggauss(10)
    elastic = Elastic.unidirectional(E1=132.7e9, E2=7.6e9, G12=3.4e9, nu12=0.26, alpha1=1e-7, alpha2=4e-5)
    wall = Wall(
        bore=np.array(0.02),
        angle=np.array([1.5, 0.5, -0.2, 0.0]),
        thickness=np.array([1, 4, 2, 5]) * 3e-4,
        elastic=elastic,
    )
    tube = exact_tube(wall, points=(1 + place) / 2)
    r = radii(tube)
    ring = np.pi * r * weight * np.diff(wall.edges)[:, None] / 2
    along, twisting, cross = (tube.unit_stress[..., i] for i in (0, 5, 4))
    force = np.array([2 * (ring * along[:, :, i]).sum() for i in (0, 1, 4, 5, 6)])
    torque = np.array([2 * (ring * r * twisting[:, :, i]).sum() for i in (0, 1, 4, 5, 6)])
    largest = np.abs(tube.unit_stress).max(axis=(0, 1, 3))[[0, 1, 4, 5, 6]] * 2 * ring.sum()
    assert_allclose(force / largest, np.array([1, 0, 0, 0, 0]) / largest, atol=1e-8)
    largest *= r.max()
    assert_allclose(torque / largest, np.array([0, 1, 0, 0, 0]) / largest, atol=1e-8)
    moment = [(ring * r * along[:, :, i]).sum() for i in (2, 3)]
    assert_allclose(moment, [1.0, 0.0], atol=1e-9)
    # the side force of the moment is nil; that of the shear force is the force: sin-sin and cos-cos parts, pi each
    sideways = [(ring * (twisting[:, :, i] + cross[:, :, i])).sum() for i in (2, 3)]
    assert_allclose(sideways, [0.0, -1.0], atol=1e-7)


def test_held_twist_is_held_and_takes_the_held_stiffness():
    wall = Wall(
        bore=np.array(0.014),
        angle=np.array([0.5]),
        thickness=np.array([0.001]),
        elastic=Elastic.unidirectional(E1=130e9, E2=8e9, G12=4e9, nu12=0.3),
    )
    tube = exact_tube(wall)
    held = torque_to_hold(tube, TubeLoads(axial=100.0))
    moved = beam_strain(tube, held)
    assert_allclose(moved.twist, 0.0, atol=1e-15)
    assert_allclose(100.0 / moved.axial, tube.stiffness(twist="held").axial, rtol=1e-12)


def test_refusals_say_what_would_be_right():
    wall = metal(0.01, 0.015)
    with pytest.raises(DesignError, match=r"points.*want\.list_numbers_from_0_inner_face"):
        exact_tube(wall, points=(0.0, 1.2))
    with pytest.raises(DesignError, match=r"want\.at_least_radius_below_that_thin"):
        exact_tube(metal(0.01, 0.01 + 1e-8))
    with pytest.raises(DesignError, match=r"moment.*want\.finite_number"):
        TubeLoads(moment=np.nan)
    with pytest.raises(DesignError, match=r"clock is given\.not_number"):
        tube_stress(exact_tube(wall), TubeLoads(moment=1.0), clock=np.inf)
