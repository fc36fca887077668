"""Tubes pressed on each other in a joint, beside a finite-element beam, a whole shell, and a contact solved in general.

Every oracle is written here, from energies, and shares no code with the product.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.integrate import quad
from scipy.optimize import brentq, nnls
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import spsolve
from tests.wall.walls_of_the_notes import AXIAL, BORE, S3, TH55, isotropic, strength_of

from polewright.errors import DesignError
from polewright.materials.ply import Elastic, Strength
from polewright.pole.crush import WAVES, crush, helped, pressed_ring
from polewright.wall.ring import wall_matrices
from polewright.wall.stack import Stack, StackPly, Wall
from polewright.wall.thin_stress import thin_cure_stress

METAL = {"Xt": 200e6, "Xc": 200e6, "Yt": 200e6, "Yc": 200e6, "S": 120e6}


def ring(stack, bore=BORE):
    wall = stack.wall(bore)
    return pressed_ring(wall, strength_of(wall))


def metal(radius, thickness):
    """A tube of any metal whose fibre, for once, lies around."""
    wall = isotropic(radius, thickness)
    turned = Wall(bore=wall.bore, angle=np.array([np.pi / 2]), thickness=wall.thickness, elastic=wall.elastic)
    return pressed_ring(turned, Strength(**{k: np.array([v]) for k, v in METAL.items()}))


def _by_elements(bending, shear, foundation, patch, length, *, ends, n=6000):
    """Movement over q/k at the middle of a patch, or at the free end under it: two-node shear beams, one point each."""
    x = np.linspace(0.0 if ends else -length, length, n + 1)
    h = x[1] - x[0]
    rows, cols, values, right = [], [], [], np.zeros(2 * (n + 1))
    turn, slide = np.array([0.0, -1.0, 0.0, 1.0]) / h, np.array([-1.0 / h, -0.5, 1.0 / h, -0.5])
    bed = foundation * h / 6.0 * np.array([[2, 0, 1, 0], [0, 0, 0, 0], [1, 0, 2, 0], [0, 0, 0, 0]])
    k = h * (bending * np.outer(turn, turn) + shear * np.outer(slide, slide)) + bed
    for e in range(n):
        own = np.array([2 * e, 2 * e + 1, 2 * e + 2, 2 * e + 3])
        rows.append(np.repeat(own, 4))
        cols.append(np.tile(own, 4))
        values.append(k.ravel())
        low, high = (0.0, patch) if ends else (-patch / 2, patch / 2)
        share = max(0.0, min(x[e + 1], high) - max(x[e], low))
        right[2 * e] += share / 2.0
        right[2 * e + 2] += share / 2.0
    whole = coo_matrix((np.concatenate(values), (np.concatenate(rows), np.concatenate(cols)))).tocsc()
    return foundation * spsolve(whole, right)[0 if ends else n]


@pytest.mark.parametrize("ends", [False, True], ids=["goes on", "ends there"])
@pytest.mark.parametrize("wave", [2, 4, 9])
def test_help_of_the_tube_beside_the_load_is_that_of_a_beam_on_its_bed(ends, wave, verified):
    own, k = ring(S3), WAVES.tolist().index(wave)
    found = helped(own, length=0.02, ends=ends)[k]
    expected = _by_elements(
        own.along * own.middle**2 / wave**4,
        own.shear / wave**2,
        1.0 / own.give[k],
        0.02,
        0.4 if wave < 5 else 0.15,
        ends=ends,
    )
    verified(
        "pole",
        f"share of a pressed ring, wave {wave}, tube {'ends' if ends else 'goes on'}",
        "beam elements on a bed",
        expected,
        found,
        2e-3,
        kind="solver",
    )


@pytest.mark.parametrize(("wave", "tolerance"), [(2, 0.06), (3, 0.06), (5, 0.06)])
def test_help_of_a_carbon_tube_is_that_of_the_whole_shell(wave, tolerance, verified):
    """Love's shell with the wall's own A and D, wave by wave round and every wave along; without membrane shear the
    help would be a third too great at the second wave."""
    wall, own = S3.wall(BORE), ring(S3)
    A, _, D = wall_matrices(wall)
    radius = own.middle

    def give(a):
        b = wave / radius
        strain = np.array(
            [
                [1j * a, 0, 0],
                [0, 1j * b, 1 / radius],
                [1j * b, 1j * a, 0],
                [0, 0, a * a],
                [0, 1j * b / radius, b * b],
                [0, 2j * a / radius, 2 * a * b],
            ]
        )
        whole = np.zeros((6, 6))
        whole[:3, :3], whole[3:, 3:] = A, D
        return np.linalg.inv(strain.conj().T @ whole @ strain)[2, 2].real

    patch = 0.02
    moved, _ = quad(lambda a: give(a) * np.sinc(a * patch / 2.0 / np.pi), 1e-6, 3000.0, limit=800)
    verified(
        "pole",
        f"share of a pressed carbon ring, wave {wave}",
        "Love's shell, all waves along",
        patch / np.pi * moved / give(1e-6),
        helped(own, length=patch, ends=False)[WAVES.tolist().index(wave)],
        tolerance,
        kind="solver",
    )


def test_a_far_too_wide_bore_presses_at_a_point_as_the_ring_held_by_shear(verified):
    """Thin ring, one radial load held by the wall's shear: moment F R/pi (1/2 + cos a/4 - (pi - a) sin a/2), a from the
    load, 3 F R/(4 pi) under it; half the load on either side of the middle of the clock's first step. Stress 6 M/t2."""
    radius, thickness, length = 0.1, 0.001, 500.0
    found = crush(metal(radius, thickness), metal(0.15, 0.01), clearance=9.0, length=length, at="mouth")
    under = np.mean([0.5 + np.cos(a) / 4.0 - (np.pi - a) * np.sin(a) / 2.0 for a in (0.0, np.pi / 60.0)])
    strength = METAL["Xt"] * thickness**2 / 6.0 * np.pi / (under * radius) * length
    folds = np.pi * length * 3.0 * 70e9 * thickness**3 / 12.0 / 0.91 / radius**2
    verified(
        "pole",
        "ring pressed at a point, held by its shear",
        "3 W R/(4 pi), folding by 3 D/R2, Rankine",
        1.0 / (1.0 / strength + 1.0 / folds),
        found.force,
        0.02,
        unit="N",
        kind="closed form",
    )
    assert found.tube == "inner"


def _contact_in_general(inner, outer, *, clearance, length, at, strength, places=120, waves=110):
    """Force at which a wall gives way, the contact found by least energy with forces that only push (nnls)."""
    clock, n = (np.arange(places) + 0.5) * np.pi / places, np.arange(2.0, waves)
    cos, soft, sides = np.cos(np.outer(clock, n)), np.zeros((places, places)), []
    for own, ends, side in ((inner, at == "inner end", 1.0), (outer, at == "mouth", -1.0)):
        R, t, E, G = own["R"], own["t"], own["E"], own["E"] / 2.6
        give = 12.0 * R**4 / (E * t**3 * (n**2 - 1) ** 2) * (1 - 0.09) + R**2 * n**2 / (5 / 6 * G * t * (n**2 - 1) ** 2)
        bend, slip = E * t * R**2 / n**4, G * t / n**2
        a = np.sqrt((1 / (2 * give * slip)) ** 2 - 1 / (give * bend) + 0j)
        r1, r2 = np.sqrt(1 / (2 * give * slip) + a), np.sqrt(1 / (2 * give * slip) - a)
        if ends:
            share = (1 - (r1 * np.exp(-r1 * length) - r2 * np.exp(-r2 * length)) / (r1 - r2)).real
        else:
            half = length / 2
            share = (1 - (r1**2 * np.exp(-r1 * half) - r2**2 * np.exp(-r2 * half)) / (r1**2 - r2**2)).real
        soft += (cos * (share * give / R)) @ cos.T / (np.pi * length)
        sides.append((R, t, share, side))
    out = inner["R"] + inner["t"] / 2
    soft += np.eye(places) * (inner["t"] / inner["E"] + outer["t"] / outer["E"]) / (2 * out * np.pi / places * length)
    root, first = np.linalg.cholesky(soft), np.cos(clock)

    def used(force):
        held = 1e4 * np.sqrt(np.trace(soft) / places)
        f, _ = nnls(
            np.vstack([root.T, held * first]),
            np.concatenate([-np.linalg.solve(root, np.full(places, clearance / 2)), [held * force]]),
        )
        out = []
        for R, t, share, _ in sides:
            wave = (cos.T @ f) * share / (n**2 - 1) / np.pi
            moment = R / length * (cos @ wave)
            thrust = (cos @ wave - f.sum() / (2 * np.pi) - first * (first @ f) / np.pi) / length
            out.append(
                float(
                    np.max(np.maximum(np.abs(6 * moment / t**2 + thrust / t), np.abs(6 * moment / t**2 - thrust / t)))
                )
                / strength
                - 1.0
            )
        return out

    ends = [brentq(lambda force, k=k: used(force)[k], 1.0, 1e5, rtol=1e-4) for k in range(2)]
    R, t, share, _ = sides[0]
    folds = (
        np.pi
        * length
        * np.min((n**2 - 1) * inner["E"] * t**3 / 10.92 / R**2 / (1 + (t / R) ** 2 / 5 * 2.6 / 0.91 / 2 * n**2) / share)
    )
    return min(1.0 / (1.0 / ends[0] + 1.0 / folds), ends[1])


@pytest.mark.parametrize("at", ["mouth", "inner end"])
@pytest.mark.parametrize("clearance", [0.1e-3, 0.8e-3])
def test_touching_arc_and_limit_are_those_of_a_contact_solved_in_general(at, clearance, verified):
    inner, outer = metal(0.0139, 0.0008), metal(0.0150, 0.0009)
    found = crush(inner, outer, clearance=clearance, length=0.02, at=at)
    plain = [{"R": R, "t": t, "E": 70e9} for R, t in ((0.0139, 0.0008), (0.0150, 0.0009))]
    expected = _contact_in_general(*plain, clearance=clearance, length=0.02, at=at, strength=METAL["Xt"])
    verified(
        "pole",
        f"joint pressed to its limit at the {at}, clearance {1e3 * clearance:g} mm",
        "least energy of a contact, finer rings",
        expected,
        found.force,
        0.06,
        unit="N",
        kind="solver",
    )


def test_a_close_bore_spreads_the_pressure_so_well_that_its_clearance_hardly_matters():
    inner, outer = ring(S3), ring(S3, 0.0291)
    forces = [crush(inner, outer, clearance=c, length=0.02, at="mouth").force for c in (0.0, 1e-4, 3e-4, 6e-4)]
    assert max(forces) < 1.1 * min(forces)


def test_a_wider_bore_crushes_sooner_and_a_longer_contact_or_a_hoop_turn_later():
    inner, outer = ring(S3), ring(S3, 0.0291)
    forces = [crush(inner, outer, clearance=c, length=0.02, at="mouth").force for c in (1e-3, 2e-3, 5e-3, 2e-2)]
    assert np.all(np.diff(forces) < 0.0)
    longer = [crush(inner, outer, clearance=4e-4, length=s, at="inner end").force for s in (0.005, 0.01, 0.02, 0.04)]
    assert np.all(np.diff(longer) > 0.0)
    more = Stack((*S3.plies, StackPly(TH55, np.pi / 2)))
    assert (
        crush(ring(more), outer, clearance=4e-4, length=0.02, at="inner end").force
        > 1.2 * crush(inner, outer, clearance=4e-4, length=0.02, at="inner end").force
    )


def test_an_arc_widens_with_the_force_that_is_borne():
    inner, outer = ring(S3), ring(S3, 0.0291)
    arcs = [crush(inner, outer, clearance=c, length=0.02, at="mouth").arc for c in (1e-4, 1e-3, 5e-3, 2e-2)]
    assert np.all(np.diff(arcs) < 0.0)
    assert 0.0 < arcs[-1] < arcs[0] < 2.0 * np.pi


def test_cure_stress_and_fibre_around_decide_what_a_ring_bears():
    wall = S3.wall(BORE)
    strength = strength_of(wall)
    plain, cured = pressed_ring(wall, strength), pressed_ring(wall, strength, cure=thin_cure_stress(wall, -100.0))
    outer = ring(S3, 0.0291)
    assert (
        crush(cured, outer, clearance=4e-4, length=0.02, at="inner end").force
        != crush(plain, outer, clearance=4e-4, length=0.02, at="inner end").force
    )
    weak = crush(ring(AXIAL), ring(AXIAL, 0.0291), clearance=4e-4, length=0.02, at="mouth").force
    assert weak < 0.5 * crush(plain, outer, clearance=4e-4, length=0.02, at="mouth").force


def test_a_joint_of_unknown_strength_has_no_limit_and_says_so():
    wall = S3.wall(BORE)
    bare = pressed_ring(wall, None)
    found = crush(bare, bare, clearance=4e-4, length=0.02, at="mouth")
    assert (found.force, found.tube) == (np.inf, "neither")
    assert crush(ring(S3), bare, clearance=4e-4, length=0.02, at="mouth").tube == "inner"


@pytest.mark.parametrize("more", [{"length": 0.0}, {"length": np.nan}, {"clearance": -1e-4}, {"clearance": np.nan}])
def test_a_contact_without_meaning_is_refused(more):
    own = ring(S3)
    with pytest.raises(DesignError, match=next(iter(more))):
        crush(own, own, **({"clearance": 4e-4, "length": 0.02} | more), at="mouth")


def test_mirrored_walls_bear_the_same():
    stack = Stack(tuple(StackPly(w.ply, 0.3 if w.angle == 0.0 else w.angle, w.turns) for w in S3.plies))
    turned = Stack(tuple(StackPly(w.ply, -w.angle, w.turns) for w in stack.plies))
    one, two = (crush(ring(s), ring(S3, 0.0291), clearance=4e-4, length=0.02, at="mouth") for s in (stack, turned))
    assert_allclose(one.force, two.force, rtol=1e-9)


def test_an_isotropic_wall_needs_no_fibre():
    wall = isotropic(0.0139, 0.0008)
    along = pressed_ring(wall, Strength(**{k: np.array([v]) for k, v in METAL.items()}))
    assert_allclose(along.by_moment, metal(0.0139, 0.0008).by_moment, rtol=1e-12)
    assert isinstance(wall.elastic, Elastic)
