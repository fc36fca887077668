"""Stresses of the thin tier, first failure, failure ply by ply; published plies and measured failures beside them."""

import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose
from tests.wall.walls_of_the_notes import AXIAL, BORE, HOOP, LEAN, S3, SM150, isotropic, strength_of

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.ply import Elastic, Ply, Strength
from polewright.wall.criteria import CRITERIA
from polewright.wall.cylinder import exact_tube
from polewright.wall.failure import exact_stress, first_failure, last_failure, ply_reserve
from polewright.wall.stack import Stack, StackPly, Wall
from polewright.wall.thin_stress import load_give, thin_cure_stress, thin_stress
from polewright.wall.through import TubeLoads

LOADS = {"axial": 1000.0, "torque": 10.0, "moment": 10.0, "shear": 100.0, "inner_pressure": 1e5}
MEASURED = tomllib.loads((Path(__file__).parent / "data" / "measured_failure.toml").read_text(encoding="utf-8"))


def _integral(wall, stress, clock, arm):
    """Sum of tube-axis stress times arm over the cross-section; exact for what is cubic in the radius."""
    inner, outer = wall.edges[:-1], wall.edges[1:]
    total = 0.0
    for at, weight in zip(*np.polynomial.legendre.leggauss(3), strict=True):
        share = (at + 1.0) / 2.0
        r = inner + share * (outer - inner)
        value = stress[..., 0] * (1.0 - share) + stress[..., 1] * share  # linear between the faces
        total += weight / 2.0 * (value * arm(r, clock[:, None]) * r * wall.thickness).sum(axis=-1)
    return float(total.mean() * 2.0 * np.pi)


def _tube_axes(wall, ply):
    c, s = np.cos(wall.angle)[:, None], np.sin(wall.angle)[:, None]
    x, y, q = ply[..., 0], ply[..., 1], ply[..., 2]
    return (
        c * c * x + s * s * y - 2 * c * s * q,
        s * s * x + c * c * y + 2 * c * s * q,
        c * s * (x - y) + (c * c - s * s) * q,
    )


def test_stresses_of_an_unbalanced_wall_are_in_equilibrium_with_every_load():
    wall, clock = LEAN.wall(0.02), np.linspace(0.0, 2.0 * np.pi, 48, endpoint=False)
    stress = thin_stress(wall, TubeLoads(**LOADS), clock=clock)
    along, around, shear = _tube_axes(wall, stress)
    found = [
        _integral(wall, along, clock, lambda r, _: 1.0 + 0.0 * r),
        _integral(wall, shear, clock, lambda r, _: r),
        _integral(wall, along, clock, lambda r, a: r * np.cos(a)),
        _integral(wall, shear, clock, lambda r, a: -np.sin(a) + 0.0 * r),
        _integral(wall, around, clock, lambda r, _: 1.0 + 0.0 * r) / (2.0 * np.pi * wall.edges[0] ** 2),
    ]
    assert_allclose(found, list(LOADS.values()), rtol=1e-9)
    assert_allclose(_integral(wall, along, clock, lambda r, a: r * np.sin(a)), 0.0, atol=1e-9)


@pytest.mark.parametrize("name", [*LOADS, "rise"])
def test_thin_stresses_approach_the_exact_tube_as_the_wall_thins(name):
    load = TubeLoads(**{name: LOADS.get(name, -100.0)})
    errors = []
    for bore in (0.03, 0.12, 0.48):
        wall, clock = LEAN.wall(bore), (0.3, 1.7)
        exact = exact_stress(exact_tube(wall), load, clock=clock)[..., [0, 1, 5]]
        errors.append(np.abs(thin_stress(wall, load, clock=clock) - exact).max() / np.abs(exact).max())
    slope = np.polyfit(np.log([0.03, 0.12, 0.48]), np.log(errors), 1)[0]
    assert errors[0] < 0.05
    assert slope < -0.9  # error falls as wall over radius, or faster


def test_a_metal_tube_has_the_stresses_of_elementary_theory():
    radius, t = 0.05, 1e-4
    wall = isotropic(radius, t)
    pull, turn, push = (
        float(thin_stress(wall, TubeLoads(**{n: 1.0}), clock=0.0)[0, 0, 0, k])
        for n, k in (("axial", 0), ("torque", 2), ("inner_pressure", 1))
    )
    assert_allclose(pull, 1.0 / (2.0 * np.pi * radius * t), rtol=1e-9)
    assert_allclose(turn, 1.0 / (2.0 * np.pi * radius**2 * t), rtol=2e-3)
    assert_allclose(push, radius / t, rtol=2e-3)


def test_cure_stress_of_a_cross_ply_is_that_of_two_bars_joined():
    # nu 0: along, one half wants a1 dT, the other a2 dT; common strain by stiffness, by hand
    elastic = Elastic.unidirectional(E1=100e9, E2=10e9, G12=5e9, nu12=0.0, nu23=0.0, alpha1=0.0, alpha2=30e-6)
    wall = Wall(bore=np.asarray(20.0), angle=np.array([0.0, HOOP]), thickness=np.full(2, 1e-3), elastic=elastic)
    common = 10e9 * 30e-6 * -100.0 / 110e9
    stress = thin_cure_stress(wall, -100.0)[0, :, 0]
    assert_allclose(stress[0, :2], [100e9 * common, 10e9 * (common + 3e-3)], rtol=1e-3)
    assert_allclose(stress[1, :2], stress[0, :2], rtol=1e-3)


@pytest.mark.parametrize("criterion", CRITERIA)
def test_cure_stress_in_and_out_of_the_first_failure(criterion):
    wall = S3.wall(BORE)
    load, strength = thin_stress(wall, TubeLoads(moment=100.0)), strength_of(S3.wall(BORE))
    cold = first_failure(wall, load, strength, criterion=criterion, cure=thin_cure_stress(wall, -100.0))
    without = first_failure(wall, load, strength, criterion=criterion)
    assert float(cold.factor) < 0.6 * float(without.factor)
    assert cold.message == Message("strength.first.at", factor=float(cold.factor), broken=cold.broken)


def test_cure_too_hard_for_the_matrix_is_shown():
    wall = S3.wall(BORE)
    found = first_failure(
        wall, thin_stress(wall, TubeLoads(moment=1.0)), strength_of(wall), cure=thin_cure_stress(wall, -180.0)
    )
    assert found.factor == 0.0
    assert found.message == Message("strength.first.cure", broken=found.broken)


def test_an_axial_tube_in_pull_breaks_at_its_fibre_strength_first_and_last():
    wall = AXIAL.wall(BORE)
    force = 1880e6 * float(np.pi * (wall.edges[-1] ** 2 - wall.edges[0] ** 2))
    strength = strength_of(wall)
    first = first_failure(wall, thin_stress(wall, TubeLoads(axial=1.0)), strength)
    last = last_failure(wall, TubeLoads(axial=1.0), strength)
    assert_allclose([float(first.factor), last.factor], force, rtol=2e-3)
    assert first.broken == Message("strength.broken", mode="fibre_tension", ply=1, criterion="hashin")


def test_last_failure_of_a_cross_ply_is_its_axial_half():
    # matrix of the hoop half cracks first; then the axial half alone carries: half the area times Xt, and 1 % kept
    wall = Stack((StackPly(SM150, 0.0, 2), StackPly(SM150, HOOP, 2))).wall(0.05)
    last = last_failure(wall, TubeLoads(axial=1.0), strength_of(wall))
    half = float(np.pi * (wall.edges[2] ** 2 - wall.edges[0] ** 2)) * 1880e6
    assert last.broken[0][1] == "matrix_tension"
    assert last.broken[0][0] >= 2
    assert_allclose(last.factor, half, rtol=5e-3)
    assert last.steps[0] < last.factor
    assert len(set(last.broken)) == len(last.broken)  # no ply breaks twice in one way


def test_design_values_and_lab_means_are_kept_apart():
    lab = Strength(
        **{n: np.asarray(v) for n, v in {"Xt": 1880e6, "Xc": 900e6, "Yt": 40e6, "Yc": 160e6, "S": 75e6}.items()}
    )
    ply = replace(SM150, strength=lab, design=lab.scaled(Xt=0.73, Xc=0.65, Yt=0.66, Yc=0.68, S=0.66))
    stack = Stack((StackPly(ply, 0.0, 4),))
    wall, load = stack.wall(BORE), thin_stress(stack.wall(BORE), TubeLoads(axial=1.0))
    mean, design = (first_failure(wall, load, s).factor for s in (stack.strength(), stack.design_strength()))
    assert_allclose(design / mean, 0.73, rtol=1e-12)


def test_splitting_plies_or_adding_one_of_no_thickness_keeps_the_first_failure():
    wall = LEAN.wall(BORE)
    t = np.insert(wall.thickness, 2, wall.thickness[2] * 0.4)
    t[3] *= 0.6
    elastic = Elastic(
        **{n: np.insert(getattr(wall.elastic, n), 2, getattr(wall.elastic, n)[2]) for n in Elastic.__dataclass_fields__}
    )
    split = Wall(bore=wall.bore, angle=np.insert(wall.angle, 2, wall.angle[2]), thickness=t, elastic=elastic)
    empty = Wall(
        bore=wall.bore,
        angle=np.insert(wall.angle, 2, 1.4),
        thickness=np.insert(wall.thickness, 2, 0.0),
        elastic=elastic,
    )
    load = TubeLoads(moment=10.0, torque=5.0, rise=-20.0)
    factors = [float(first_failure(w, thin_stress(w, load), strength_of(w)).factor) for w in (wall, split, empty)]
    assert_allclose(factors, factors[0], rtol=1e-9)
    strength = strength_of(empty)
    assert np.all(np.isinf(ply_reserve(empty, thin_stress(empty, load), strength).factor[..., 2, :]))


def test_mirroring_the_wall_and_the_twist_keeps_every_reserve():
    wall, strength = LEAN.wall(BORE), strength_of(LEAN.wall(BORE))
    there = ply_reserve(wall, thin_stress(wall, TubeLoads(moment=10.0, torque=4.0)), strength).factor
    back = ply_reserve(wall.mirrored(), thin_stress(wall.mirrored(), TubeLoads(moment=10.0, torque=-4.0)), strength)
    assert_allclose(back.factor, there, rtol=1e-9)


def test_the_work_of_a_load_is_the_beam_flexibility():
    from polewright.wall.membrane import tube_stiffness

    wall = S3.wall(BORE)
    stiff = tube_stiffness(wall)
    give = [float(load_give(wall, TubeLoads(**{n: 1.0}))) for n in ("axial", "moment", "torque")]
    assert_allclose(give, [1.0 / stiff.axial, 1.0 / stiff.bending, 1.0 / stiff.twist], rtol=1e-9)


def test_a_batch_of_walls_and_loads_answers_as_its_members():
    bores, moments = np.array([0.02, 0.03]), np.array([50.0, 80.0])
    walls = S3.wall(bores)
    strength = strength_of(S3.wall(0.02))
    found = first_failure(walls, thin_stress(walls, TubeLoads(moment=moments)), strength)
    for i in range(2):
        one = S3.wall(bores[i])
        assert_allclose(
            found.factor[i],
            first_failure(one, thin_stress(one, TubeLoads(moment=moments[i])), strength).factor,
            rtol=1e-12,
        )


def test_hundred_plies_thicker_than_the_radius_give_numbers():
    wall = Stack((StackPly(SM150, 0.2, 100),)).wall(0.01)
    found = first_failure(wall, thin_stress(wall, TubeLoads(moment=10.0)), strength_of(wall))
    assert np.isfinite(found.factor)


def test_unknown_criterion_unlike_batches_and_nothing_kept_are_refused():
    wall = S3.wall(BORE)
    with pytest.raises(DesignError, match=r"want\.one"):
        ply_reserve(wall, thin_stress(wall, TubeLoads(axial=1.0)), strength_of(wall), criterion="guess")
    with pytest.raises(DesignError, match=r"want\.one_all_walls_or_one_wall"):
        last_failure(S3.wall([0.02, 0.03]), TubeLoads(axial=[1.0, 2.0, 3.0]), strength_of(wall))
    with pytest.raises(DesignError, match="keep"):
        last_failure(wall, TubeLoads(axial=1.0), strength_of(wall), keep=0.0)


@pytest.mark.parametrize("name", sorted(MEASURED["ply"]))
def test_published_plies_break_at_their_own_strengths_off_the_axes_too(name, verified):
    """A published ply as an all-axial thin tube: uniaxial strengths must come back from every criterion."""
    row = MEASURED["ply"][name]
    wall, strength = _published_wall(row, [0.0])
    area = float(np.pi * (wall.edges[-1] ** 2 - wall.edges[0] ** 2))
    found = first_failure(wall, thin_stress(wall, TubeLoads(axial=1.0)), strength)
    verified(
        "wall",
        f"tension along, {name}",
        MEASURED["source"],
        row["Xt"],
        float(found.factor) / area / 1e6,
        2e-3,
        unit="MPa",
        kind="published",
    )


@pytest.mark.parametrize("case", MEASURED["case"], ids=lambda c: c["name"])
def test_measured_failures_beside_the_prediction(case, verified):
    """Comparison, not calibration: nothing in the model was fitted; the tolerance is how far off it is known to be."""
    row = MEASURED["ply"][case["ply"]]
    wall, strength = _published_wall(row, np.radians(case["angles"]))
    middle, t = float(wall.edges[0] + wall.edges[-1]) / 2.0, float(wall.total_thickness)
    load = TubeLoads(axial=2.0 * np.pi * middle * t * case["along"], inner_pressure=t / middle * case["around"])
    reached = last_failure(wall, load, strength).factor * max(case["along"], case["around"]) / 1e6
    verified(
        "wall",
        f"measured failure, {case['name']}",
        MEASURED["source_measured"],
        case["measured"],
        reached,
        case["tolerance"],
        unit="MPa",
        kind="recalled",
    )


def _published_wall(row, angles):
    """A thin tube, one millimetre on a metre, of equal plies of a published material."""
    elastic = Elastic.unidirectional(
        E1=row["E1"] * 1e9, E2=row["E2"] * 1e9, G12=row["G12"] * 1e9, nu12=row["nu12"], nu23=0.4
    )
    ply = Ply("published", 1e-3 / len(angles), elastic, area_mass=1.0)
    wall = Stack(tuple(StackPly(ply, float(a)) for a in angles)).wall(1.0)
    return wall, Strength(**{n: np.full(len(angles), row[n] * 1e6) for n in ("Xt", "Xc", "Yt", "Yc", "S")})
