"""What must hold for any tube: symmetry, mirrors, scale, cuts, superposition, balance; and the extremes of walls."""

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from polewright.errors import DesignError
from polewright.materials.ply import Elastic
from polewright.wall.cylinder import exact_tube
from polewright.wall.membrane import tube_flexibility
from polewright.wall.stack import Wall
from polewright.wall.through import TubeLoads, tube_stress

STILL = settings(max_examples=25, deadline=None, derandomize=True)


@st.composite
def plies(draw):
    """Any real orthotropic ply: moduli over two decades, Poisson's ratios inside what stores positive energy."""
    e = [10.0 ** draw(st.floats(9.0, 11.0)) for _ in range(3)]
    g = [10.0 ** draw(st.floats(8.7, 10.5)) for _ in range(3)]
    nu = [draw(st.floats(-0.3, 0.5)) * np.sqrt(e[a] / e[b]) for a, b in ((0, 1), (0, 2), (1, 2))]
    alpha = [draw(st.floats(-1e-6, 5e-5)) for _ in range(3)]
    return [*e, *g, *nu, *alpha, 1500.0]


@st.composite
def walls(draw):
    rows = draw(st.lists(plies(), min_size=1, max_size=4))
    elastic = Elastic(**{f.name: np.array([r[i] for r in rows]) for i, f in enumerate(fields(Elastic))})
    angle = [draw(st.floats(-np.pi / 2, np.pi / 2)) for _ in rows]
    thickness = [10.0 ** draw(st.floats(-4.3, -2.3)) for _ in rows]
    return Wall(
        bore=np.array(10.0 ** draw(st.floats(-2.5, -1.0))),
        angle=np.array(angle),
        thickness=np.array(thickness),
        elastic=elastic,
    )


def scaled(flexibility):
    """Flexibility with a unit diagonal, so that every coupling is a number between -1 and 1."""
    size = np.sqrt(np.diagonal(flexibility, axis1=-2, axis2=-1))
    return flexibility / (size[..., :, None] * size[..., None, :])


def sizes(tube, field):
    """Largest of each unit load's field, (7, 1); no smaller than a thousandth of what one kelvin held does."""
    held = {
        "unit_strain": 1e-5,
        "unit_stress": 1e-5 * max(np.max(getattr(tube.wall.elastic, n)) for n in ("E1", "E2", "E3")),
    }[field]
    return np.maximum(np.abs(getattr(tube, field)).max(axis=(0, 1, 3)), [0, 0, 0, 0, 0, 0, 1e-3 * held])[:, None]


def rows_of(elastic, rows):
    return Elastic(**{f.name: getattr(elastic, f.name)[rows] for f in fields(Elastic)})


@STILL
@given(walls())
def test_the_flexibility_is_symmetric_and_stores_energy(wall):
    f = scaled(exact_tube(wall).flexibility)
    assert_allclose(f, f.T, atol=1e-12)
    assert np.linalg.eigvalsh(f).min() > 0.0


@STILL
@given(walls())
def test_coupling_follows_from_motion_as_from_energy(wall):
    """Betti: the bore's motion from an axial force against the stretch from a pressure in the bore, and so on."""
    tube = exact_tube(wall)
    m, r_in, r_out = tube.motion, wall.edges[0], wall.edges[-1]
    pairs = (
        (m[0, 2] * 2 * np.pi * r_in**2, m[2, 0]),
        (m[1, 2] * 2 * np.pi * r_in**2, m[2, 1]),
        (m[0, 3] * -2 * np.pi * r_out**2, m[3, 0]),
        (m[1, 3] * -2 * np.pi * r_out**2, m[3, 1]),
        (m[2, 3] * -2 * np.pi * r_out**2, m[3, 2] * 2 * np.pi * r_in**2),
    )
    sizes = np.sqrt(
        np.abs(
            [
                m[0, 0] * m[2, 2] * 2 * np.pi * r_in**2,
                m[1, 1] * m[2, 2] * 2 * np.pi * r_in**2,
                m[0, 0] * m[3, 3] * 2 * np.pi * r_out**2,
                m[1, 1] * m[3, 3] * 2 * np.pi * r_out**2,
                m[2, 2] * m[3, 3] * (2 * np.pi) ** 2 * (r_in * r_out) ** 2,
            ]
        )
    )
    for (one, other), size in zip(pairs, sizes, strict=True):
        assert_allclose(one / size, other / size, atol=1e-8)


@STILL
@given(walls())
def test_reversing_every_angle_keeps_stiffness_and_flips_every_coupling(wall):
    f, g = (scaled(exact_tube(w).flexibility) for w in (wall, wall.mirrored()))
    flip = np.outer(*(2 * [[1, 1, 1, -1, -1, -1]]))  # axial and shear against twist and bending
    assert_allclose(g, f * flip, atol=1e-10)


@STILL
@given(
    walls(),
    st.sampled_from(
        [
            TubeLoads(axial=1.0),
            TubeLoads(torque=1.0),
            TubeLoads(moment=1.0),
            TubeLoads(shear=1.0),
            TubeLoads(rise=1.0),
            TubeLoads(inner_pressure=1.0),
        ]
    ),
)
def test_turning_a_ply_by_half_a_turn_changes_nothing(wall, loads):
    turned = replace(wall, angle=wall.angle + np.pi)
    one, other = (tube_stress(exact_tube(w), loads, clock=0.7).tube for w in (wall, turned))
    assert_allclose(other, one, atol=1e-7 * np.abs(one).max() + 1e-12)


@STILL
@given(walls())
def test_looking_from_the_other_end_changes_nothing(wall):
    """Half a turn about a cross axis maps a tube onto itself: the same helix, the same clock from its other side."""
    tube = exact_tube(wall)
    for name in ("moment", "shear"):
        loads = TubeLoads(**{name: 1.0})
        here, there = (tube_stress(tube, loads, clock=c).tube for c in (0.6, -0.6))
        # the cut face now looks the other way: along-through and around-through change sign with the mirror of clock
        kept = np.array([1, 1, 1, -1, -1, 1]) if name == "moment" else np.array([-1, -1, -1, 1, 1, -1])
        assert_allclose(there, here * kept, atol=1e-9 * np.abs(here).max())


@STILL
@given(walls(), st.floats(0.01, 100.0), st.floats(0.2, 5.0))
def test_scaled_moduli_and_scaled_size_scale_the_flexibility(wall, modulus, size):
    stiffer = {n: getattr(wall.elastic, n) * modulus for n in ("E1", "E2", "E3", "G12", "G13", "G23")}
    other = Wall(
        bore=wall.bore * size,
        angle=wall.angle,
        thickness=wall.thickness * size,
        elastic=replace(wall.elastic, **stiffer),
    )
    lead = np.array([0, 0, 0, 1, 1, 1])
    power = -2.0 - np.add.outer(lead, lead)  # N: R^2, N with M: R^3, M: R^4
    expected = exact_tube(wall).flexibility / modulus * size**power
    assert_allclose(scaled(exact_tube(other).flexibility), scaled(expected), atol=1e-9)
    # plies two decades apart in stiffness cost half of the digits: 1.7e-8 has been seen
    assert_allclose(np.diag(exact_tube(other).flexibility), np.diag(expected), rtol=1e-7)


@STILL
@given(walls(), st.sampled_from([0.0, 1.0]) | st.floats(0.02, 0.98), st.integers(0, 3))
def test_a_ply_cut_in_two_or_joined_by_one_of_no_thickness_changes_nothing(wall, share, where):
    k = where % wall.angle.size
    rows = [*range(k + 1), k, *range(k, wall.angle.size)]
    thickness = wall.thickness[rows]
    thickness[k : k + 3] *= [share, 0.0, 1.0 - share]
    cut = Wall(bore=wall.bore, angle=wall.angle[rows], thickness=thickness, elastic=rows_of(wall.elastic, rows))
    one, other = exact_tube(wall), exact_tube(cut)
    assert_allclose(scaled(other.flexibility), scaled(one.flexibility), atol=1e-7)
    assert_allclose(other.stiffness().bending, one.stiffness().bending, rtol=1e-7)
    whole = one.unit_stress[k]
    size = sizes(one, "unit_stress")
    for joined, point in ((other.unit_stress[k, 0], 0), (other.unit_stress[k + 2, 1], 1)):
        assert_allclose(joined / size, whole[point] / size, atol=1e-6)
    # the ply of no thickness feels what its neighbours feel at that radius
    for name in ("unit_stress", "unit_strain"):
        field, size = getattr(other, name), sizes(one, name)
        assert_allclose(field[k + 1, 0] / size, field[k + 1, 1] / size, atol=1e-12)
        if share > 0.0:
            assert_allclose(field[k + 1, 0] / size, field[k, 1] / size, atol=1e-6)
        if share < 1.0:
            assert_allclose(field[k + 1, 0] / size, field[k + 2, 0] / size, atol=1e-6)


@STILL
@given(walls())
def test_faces_are_free_and_pulls_run_through_every_joint(wall):
    tube = exact_tube(wall)
    size = sizes(tube, "unit_stress")
    pull = tube.unit_stress[..., 2:5] / size
    inner, outer = np.zeros((7, 3)), np.zeros((7, 3))
    inner[4, 0], outer[5, 0] = -1.0 / size[4, 0], -1.0 / size[5, 0]
    assert_allclose(pull[0, 0], inner, atol=1e-6)
    assert_allclose(pull[-1, 1], outer, atol=1e-6)
    assert_allclose(pull[1:, 0], pull[:-1, 1], atol=1e-6)
    stretch = tube.unit_strain[..., [0, 1, 5]]
    size = sizes(tube, "unit_strain")
    assert_allclose(stretch[1:, 0] / size, stretch[:-1, 1] / size, atol=1e-8)


@STILL
@given(walls(), st.lists(st.floats(-5.0, 5.0), min_size=7, max_size=7), st.floats(-4.0, 4.0))
def test_loads_together_are_the_sum_of_loads_apart(wall, amounts, clock):
    tube = exact_tube(wall)
    names = [f.name for f in fields(TubeLoads)]
    together = tube_stress(tube, TubeLoads(**dict(zip(names, amounts, strict=True))), clock=clock)
    apart = [tube_stress(tube, TubeLoads(**{n: a}), clock=clock) for n, a in zip(names, amounts, strict=True)]
    for field in fields(together):
        total = sum(getattr(a, field.name) for a in apart)
        room = max(np.abs(getattr(a, field.name)).max() for a in apart)
        assert_allclose(getattr(together, field.name), total, atol=1e-12 * room + 1e-300)


@pytest.mark.slow
@STILL
@given(walls())
def test_ply_stress_is_the_plys_own_stiffness_times_its_mechanical_strain(wall):
    seen = tube_stress(exact_tube(wall), TubeLoads(axial=1e3, torque=5.0, shear=100.0, rise=-80.0), clock=0.9)
    e = wall.elastic
    own = np.zeros((wall.angle.size, 6, 6))
    for i, n in enumerate(("E1", "E2", "E3", "G23", "G13", "G12")):
        own[:, i, i] = 1 / getattr(e, n)
    for i, j, n, m in ((0, 1, "nu12", "E1"), (0, 2, "nu13", "E1"), (1, 2, "nu23", "E2")):
        own[:, i, j] = own[:, j, i] = -getattr(e, n) / getattr(e, m)
    strain = np.einsum("nij,npj->npi", own, seen.ply)
    assert_allclose(strain, seen.ply_mechanical, atol=1e-9 * np.abs(seen.ply_mechanical).max())


def test_a_batch_answers_as_its_walls_one_by_one():
    elastic = Elastic.unidirectional(E1=[1.3e11, 4e10], E2=8e9, G12=4e9, nu12=0.28, alpha2=4e-5)
    bore, angle = np.array([[0.02, 0.03, 0.05]]).T * [1.0, 1.1], np.array([0.3, 1.2])
    batch = Wall(
        bore=bore, angle=np.broadcast_to(angle, (3, 2, 2)), thickness=np.full((3, 2, 2), 4e-4), elastic=elastic
    )
    tube = exact_tube(batch)
    loads = TubeLoads(moment=np.ones((3, 2)), rise=-100.0)
    seen = tube_stress(tube, loads, clock=0.5).ply
    for i in np.ndindex(3, 2):
        one = exact_tube(Wall(bore=bore[i], angle=angle, thickness=np.full(2, 4e-4), elastic=elastic))
        assert_allclose(tube.flexibility[i], one.flexibility, rtol=1e-12)
        assert_allclose(
            seen[i], tube_stress(one, TubeLoads(moment=1.0, rise=-100.0), clock=0.5).ply, rtol=1e-9, atol=1e-3
        )
    assert tube.stiffness().shear.shape == (3, 2)


def but(**constants):
    """A unidirectional carbon ply but for these constants."""
    base = Elastic.unidirectional(E1=130e9, E2=8e9, G12=4e9, nu12=0.3, alpha1=1e-7, alpha2=4e-5)
    return replace(base, **{n: np.array(v) for n, v in constants.items()})


EXTREMES = {  # bore [m], degrees, thickness [m], ply
    "a wall fifty times the bore's radius": (0.002, [17.0], [0.05], but()),
    "a hundred plies": (0.02, list(np.linspace(-90, 90, 100)), [1.5e-4] * 100, but()),
    "a wall of a ten-thousandth of the radius": (0.05, [30.0, -20.0], [1.3e-6, 1.3e-6], but()),
    "fibre ten thousand times stiffer than the matrix": (
        0.02,
        [35.0, -35.0, 0.0],
        [5e-4] * 3,
        but(E1=1e12, E2=1e8, E3=1e8, G12=1e8, G13=1e8, G23=4e7),
    ),
    "stiffest through the ply": (
        0.02,
        [35.0, 80.0],
        [1e-3] * 2,
        but(E1=1e9, E2=2e9, E3=2e11, G23=5e9, G13=8e9, nu13=0.02, nu23=0.02),
    ),
    "nearly incompressible": (0.02, [10.0], [5e-3], Elastic.isotropic(E=3e9, nu=0.4999)),
    "very little and very much of a ply": (0.02, [90.0, 0.0, 90.0], [1e-9, 5e-3, 1e-13], but()),
}


@pytest.mark.parametrize("name", list(EXTREMES))
def test_extreme_walls_are_answered_right(name):
    bore, degrees, thickness, elastic = EXTREMES[name]
    wall = Wall(bore=np.array(bore), angle=np.radians(degrees), thickness=np.array(thickness), elastic=elastic)
    tube = exact_tube(wall)
    assert np.linalg.eigvalsh(scaled(tube.flexibility)).min() > 0.0
    size = np.abs(tube.unit_stress).max(axis=(0, 1, 3))[[0, 1, 2, 3]]
    # no face may carry pull: the measure of how well the equations through the wall are solved
    for face in (tube.unit_stress[0, 0], tube.unit_stress[-1, 1]):
        assert np.all(np.abs(face[:4, 2:5]).max(axis=-1) < 3e-6 * size)
    if wall.total_thickness < 0.01 * bore:
        assert_allclose(scaled(tube.flexibility), scaled(tube_flexibility(wall)), atol=2e-2)


def test_moduli_too_far_apart_in_a_thick_layer_are_refused_with_a_message():
    elastic = Elastic.unidirectional(E1=1e13, E2=1e6, G12=1e5, nu12=0.3)
    wall = Wall(bore=np.array(0.0002), angle=np.array([0.5]), thickness=np.array([0.05]), elastic=elastic)
    with pytest.raises(DesignError, match=r"want\.thinner_layer_or_stiffness_through_ply"):
        exact_tube(wall)
