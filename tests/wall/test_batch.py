"""One wall or a batch: every public function says of each wall of a batch what it says of that wall alone."""

import inspect
from dataclasses import fields, is_dataclass

import numpy as np
import pytest
from numpy.testing import assert_allclose
from tests.wall.walls_of_the_notes import CARBON_STRENGTH, LEAN, S3, SM150

import polewright.wall as room
from polewright.errors import DesignError
from polewright.materials.ply import Elastic, Ply, Strength
from polewright.wall import (
    Arc,
    Band,
    ClockPressure,
    Hold,
    Stack,
    StackPly,
    TubeLoads,
    Wall,
    WallUse,
    exact_tube,
    thin_cure_stress,
    thin_stress,
)

CASES = 3
PLIES = 4
RANDOM = np.random.default_rng(20)
TURNS = np.array([0.3, 1.1, 2.9])  # [rad] places on the clock, one a case
SINGLE = SM150.elastic
STRONG = Ply(
    "strong", SM150.thickness, SM150.elastic, area_mass=0.2273, price=40.0, strength=Strength(**CARBON_STRENGTH)
)
ROLLED = Stack((StackPly(STRONG, 1.4, 1.0), StackPly(STRONG, 0.1, 2.25)))
BORES = np.array([0.0180, 0.0269, 0.0412])


def random_walls():
    """Walls alike in nothing: every ply of every wall its own constants, thickness and angle."""
    shape = (CASES, PLIES)
    E1, E2, G12 = (RANDOM.uniform(low, high, shape) for low, high in ((40e9, 250e9), (6e9, 12e9), (3e9, 6e9)))
    elastic = Elastic.unidirectional(
        E1=E1,
        E2=E2,
        G12=G12,
        nu12=RANDOM.uniform(0.2, 0.35, shape),
        nu23=0.4,
        alpha1=RANDOM.uniform(-1e-6, 6e-6, shape),
        alpha2=RANDOM.uniform(2e-5, 5e-5, shape),
        density=RANDOM.uniform(1400.0, 2000.0, shape),
    )
    return Wall(
        bore=RANDOM.uniform(0.014, 0.06, CASES),
        angle=RANDOM.uniform(-1.57, 1.57, shape),
        thickness=RANDOM.uniform(5e-5, 4e-4, shape),
        elastic=elastic,
    )


WALLS = random_walls()
LIMITS = Strength(**{name: value * RANDOM.uniform(0.8, 1.2, (CASES, PLIES)) for name, value in CARBON_STRENGTH.items()})
CURE = thin_cure_stress(WALLS, -60.0)


def alone(value, i):
    """Case i of a value of all cases."""
    if is_dataclass(value):
        return type(value)(**{f.name: alone(getattr(value, f.name), i) for f in fields(value) if f.init})
    return value[i] if np.ndim(value) and np.shape(value)[0] == CASES else value


def assert_same(batch, single, i, where=""):
    """Every figure of case i of a batch is the single wall's, to the last few bits."""
    if where.endswith(".loads"):  # one a case, in a row
        batch = batch[i]
    if is_dataclass(single):
        for f in fields(single):
            assert_same(getattr(batch, f.name), getattr(single, f.name), i, f"{where}.{f.name}")
    elif isinstance(single, dict):
        for key in single:
            assert_same(batch[key], single[key], i, f"{where}[{key}]")
    elif where.endswith(".broken"):
        assert batch[i] == single, where
    elif isinstance(single, float | int | np.ndarray | np.generic):
        one = np.asarray(single)
        many = np.asarray(batch)
        found = many if many.shape == one.shape else many[i]
        assert found.shape == one.shape, where
        finite = np.abs(one[np.isfinite(one)])
        scale = finite.max() if finite.size else 0.0
        assert_allclose(found, one, rtol=1e-12, atol=1e-13 * scale, err_msg=where)
    elif isinstance(single, tuple) and single and not isinstance(single[0], str):
        assert len(batch) == len(single)
        for k, (many, one) in enumerate(zip(batch, single, strict=True)):
            assert_same(many, one, i, f"{where}[{k}]")
    elif single is not None and batch is not single and batch != single:
        assert batch[i] == single, where


def stress(wall):
    return thin_stress(wall, TubeLoads(moment=30.0, torque=5.0), clock=(0.0, 1.0))


def arcs(start, sweep):
    return (
        Arc(SINGLE, 2e-4, angle=0.2, start=start, sweep=sweep, after=2),
        Arc(SINGLE, 1e-4, angle=1.5, start=-start, sweep=0.2, after=4),
        Arc(SINGLE, 1e-4, angle=0.0, start=0.5, sweep=1.0, middle=0.05),
    )


BAND = Band(width=0.02, friction=0.1, kind="two_shells")


def exact(wall):
    return exact_tube(wall)


OF_WALLS = {
    "axisymmetric_force": room.axisymmetric_force,
    "beam_strain": lambda w: room.beam_strain(
        exact(w), TubeLoads(axial=10.0, shear=2.0, moment=3.0, rise=-5.0, inner_pressure=1e5)
    ),
    "beam_stiffness": lambda w: room.beam_stiffness(room.tube_flexibility(w), twist="held"),
    "beam_tiers": lambda w: room.beam_tiers(exact(w)),
    "bending_knock_down": room.bending_knock_down,
    "bending_wrinkle": room.bending_wrinkle,
    "clamp_window": lambda w: room.clamp_window(w, Band(width=0.02, friction=0.1), need=90.0).most,
    "collapse_pressure": lambda w: room.collapse_pressure(w, on="outside", along="free"),
    "collapse_pressure_thick": room.collapse_pressure_thick,
    "cool_down": lambda w: room.cool_down(exact(w), rise=-90.0, mandrel_expansion=12e-6),
    "cool_report": lambda w: room.cool_report(exact(w), WallUse()),
    "exact_stress": lambda w: room.exact_stress(exact(w), TubeLoads(moment=10.0, shear=4.0), clock=(0.2, 1.0)),
    "exact_tube": lambda w: room.exact_tube(w, points=(0.0, 0.5)),
    "flattening_curve": lambda w: room.flattening_curve(w, points=5),
    "free_expansion": room.free_expansion,
    "free_plate_axial": room.free_plate_axial,
    "helped_length": lambda w: room.helped_length(w, [0, 2, 4], length=0.01),
    "mandrel_fit": lambda w: room.mandrel_fit(exact(w), rise=-90.0, mandrel_expansion=23e-6),
    "many_tubes": lambda w: room.many_tubes(w) if w.bore.ndim else room.tube_stiffness(w),
    "oval_at_moment": lambda w: room.oval_at_moment(w, 1.0),
    "oval_moment_brazier": room.oval_moment_brazier,
    "oval_moment_limit": room.oval_moment_limit,
    "oval_wrinkle": lambda w: room.oval_wrinkle(w, room.bending_knock_down(w).factor),
    "pinch_stiffness": lambda w: room.pinch_stiffness(w, length=0.02),
    "push_knock_down": room.push_knock_down,
    "push_wrinkle": room.push_wrinkle,
    "reduced_stiffness": lambda w: room.reduced_stiffness(w.elastic),
    "ring_response": lambda w: room.ring_response(w, ClockPressure([0.0, 2.0, 3.0], [1e5, 2e5, 1e5]), along="free"),
    "ring_stiffness": room.ring_stiffness,
    "rotated_stiffness": lambda w: room.rotated_stiffness(w.elastic, w.angle),
    "slopes": room.slopes,
    "thin_cure_stress": lambda w: room.thin_cure_stress(w, -60.0),
    "thin_figures": room.thin_figures,
    "thin_stress": stress,
    "torque_to_hold": lambda w: room.torque_to_hold(exact(w), TubeLoads(axial=100.0)),
    "tube_flexibility": room.tube_flexibility,
    "tube_stiffness": lambda w: room.tube_stiffness(w, twist="held"),
    "tube_stress": lambda w: room.tube_stress(exact(w), TubeLoads(moment=10.0, shear=1.0, rise=-9.0), clock=0.4),
    "wall_matrices": room.wall_matrices,
}
OF_WALLS_AND_STRENGTHS = {
    "bending_limits": lambda w, s, c: room.bending_limits(w, s, cure=c).limits[0],
    "clamp_window": lambda w, s, c: room.clamp_window(w, BAND, need=90.0, strength=s, cure=c).fibre,
    "first_failure": lambda w, s, c: room.first_failure(w, stress(w), s, cure=c),
    "fist_squeeze": lambda w, s, c: room.fist_squeeze(w, s, length=0.08, cure=c),
    "last_failure": lambda w, s, c: room.last_failure(w, TubeLoads(moment=20.0), s, rise=-60.0).factor,
    "plates_squeeze": lambda w, s, c: room.plates_squeeze(w, s, length=0.02, cure=c),
    "ply_reserve": lambda w, s, c: room.ply_reserve(w, stress(w), s, criterion="tsai_wu", cure=c),
    "point_squeeze": lambda w, s, c: room.point_squeeze(w, s, pad=0.01, criterion="maximum_strain", cure=c),
    "push_limits": lambda w, s, c: room.push_limits(w, s, cure=c).limits,
    "ring_report": lambda w, s, c: room.ring_report(w, Hold(), s),
    "strength_report": lambda w, s, c: room.strength_report(exact(w), s, moment=20.0, rise=-60.0).with_cure,
}
OF_STRESS = {
    "hashin_reserve": lambda w, s, e: room.hashin_reserve(w, s),
    "maximum_strain_reserve": lambda w, s, e: room.maximum_strain_reserve(w, s, elastic=e),
    "maximum_stress_reserve": lambda w, s, e: room.maximum_stress_reserve(w, s),
    "tsai_wu_reserve": lambda w, s, e: room.tsai_wu_reserve(w, s),
}
OF_BORES = {
    "changes": lambda b: room.changes(ROLLED, b),
    "earnings": lambda b: room.earnings(ROLLED, b),
    "part_turns": lambda b: room.uneven_section(*room.part_turns(ROLLED, b, starts=[0.2, 1.0], overlap=0.004)),
    "wall_report": lambda b: room.wall_report(ROLLED, b, WallUse(starts=(0.0, 2.0), overlap=0.003)),
}
OF_NUMBERS = {
    "band_hold": lambda x: room.band_hold(x, friction=0.1),
    "band_pressure": lambda x: room.band_pressure(x, radius=0.01, width=0.02),
    "band_twist_hold": lambda x: room.band_twist_hold(x, friction=0.1, radius=0.01),
    "bow_tip_offset": lambda x: room.bow_tip_offset(x, length=1.6, arm=3.0),
    "seam_variation": lambda x: room.seam_variation(x, plies=5),
}


@pytest.mark.parametrize("name", OF_WALLS)
def test_each_wall_of_a_batch_is_answered_as_alone(name):
    batch = OF_WALLS[name](WALLS)
    for i in range(CASES):
        assert_same(batch, OF_WALLS[name](alone(WALLS, i)), i, name)


@pytest.mark.parametrize("name", OF_WALLS_AND_STRENGTHS)
def test_each_wall_of_a_batch_breaks_as_alone(name):
    batch = OF_WALLS_AND_STRENGTHS[name](WALLS, LIMITS, CURE)
    for i in range(CASES):
        assert_same(batch, OF_WALLS_AND_STRENGTHS[name](alone(WALLS, i), alone(LIMITS, i), alone(CURE, i)), i, name)


@pytest.mark.parametrize("name", OF_STRESS)
def test_each_stress_of_a_batch_is_judged_as_alone(name):
    states = RANDOM.normal(size=(CASES, 6)) * [300e6, 20e6, 10e6, 10e6, 10e6, 20e6]
    limits, constants = alone_ply(LIMITS), alone_ply(WALLS.elastic)
    batch = OF_STRESS[name](states, limits, constants)
    for i in range(CASES):
        assert_same(batch, OF_STRESS[name](states[i], alone(limits, i), alone(constants, i)), i, name)


def alone_ply(value):
    """The first ply of every wall."""
    return type(value)(**{f.name: getattr(value, f.name)[:, 0] for f in fields(value)})


@pytest.mark.parametrize("name", OF_BORES)
def test_each_bore_of_a_batch_is_answered_as_alone(name):
    batch = OF_BORES[name](BORES)
    for i in range(CASES):
        assert_same(batch, OF_BORES[name](BORES[i]), i, name)


@pytest.mark.parametrize("name", OF_NUMBERS)
def test_each_number_of_a_batch_is_answered_as_alone(name):
    values = np.array([0.4, 1.2, 2.0])
    batch = OF_NUMBERS[name](values)
    for i in range(CASES):
        assert_same(batch, OF_NUMBERS[name](values[i]), i, name)


def test_each_uneven_section_of_a_batch_is_answered_as_alone():
    batch = room.uneven_section(WALLS, arcs(TURNS, TURNS / 2.0))
    for i in range(CASES):
        one = room.uneven_section(alone(WALLS, i), arcs(TURNS[i], TURNS[i] / 2.0))
        assert_same(batch, one, i)
        for name in ("stiff", "soft", "spine", "peak_to_peak"):
            assert_same(getattr(batch, name), getattr(one, name), i, name)
        assert_same(batch.stiffness_at([0.1, 2.0]), one.stiffness_at([0.1, 2.0]), i)
        assert_same(batch.bow(rise=-90.0, length=1.5), one.bow(rise=-90.0, length=1.5), i)


def test_ply_by_ply_of_a_batch_tells_every_step_of_every_wall():
    moment, rise = np.array([20.0, 35.0, 10.0]), np.array([-60.0, -20.0, -90.0])
    batch = room.last_failure(WALLS, TubeLoads(moment=moment), LIMITS, rise=rise)
    assert batch.steps.shape[0] == CASES
    for i in range(CASES):
        one = room.last_failure(alone(WALLS, i), TubeLoads(moment=moment[i]), alone(LIMITS, i), rise=rise[i])
        assert type(one.factor) is float
        assert batch.broken[i] == one.broken
        assert_allclose(batch.steps[i, : one.steps.size], one.steps, rtol=1e-9)
        assert np.all(np.isinf(batch.steps[i, one.steps.size :]))


def test_several_stacks_are_judged_one_by_one():
    both = room.rulings([S3, LEAN])
    assert both == (room.rulings(S3), room.rulings(LEAN))


def test_loads_and_lengths_may_differ_from_wall_to_wall_and_on_one_wall():
    wall, one = alone(WALLS, 0), alone(LIMITS, 0)
    lengths = np.array([0.01, 0.02, 0.05])
    pads = room.plates_squeeze(wall, one, length=lengths, pad=lengths / 4.0)
    walls = room.point_squeeze(WALLS, LIMITS, pad=lengths)
    for i in range(CASES):
        assert_same(pads, room.plates_squeeze(wall, one, length=lengths[i], pad=lengths[i] / 4.0), i)
        assert_same(walls, room.point_squeeze(alone(WALLS, i), alone(LIMITS, i), pad=lengths[i]), i)


def test_one_wall_gives_plain_numbers_and_a_batch_of_two_axes_keeps_them():
    wall = S3.wall(0.02)
    found = room.plates_squeeze(wall, Strength(**CARBON_STRENGTH), length=0.02)
    assert all(type(v) is float for v in (found.force, found.closure, found.stiffness, found.reserve(10.0)))
    assert type(found.is_large) is bool
    square = S3.wall(np.array([[0.02, 0.03], [0.04, 0.05]]))
    many = room.plates_squeeze(square, Strength(**CARBON_STRENGTH), length=0.02)
    assert many.force.shape == many.is_large.shape == many.failure.layer.shape == (2, 2)
    assert_allclose(many.force[0, 0], found.force, rtol=1e-12)
    assert room.slopes(square).of("bending", "angle").shape == (2, 2, 7)
    assert room.uneven_section(square, ()).bending.shape == (2, 2, 2, 2)


@pytest.mark.parametrize(
    "call",
    [
        lambda: room.plates_squeeze(WALLS, LIMITS, length=np.ones(2)),
        lambda: room.uneven_section(WALLS, arcs(np.ones(2), 0.1)),
        lambda: room.clamp_window(WALLS, BAND, need=np.ones(2)),
        lambda: room.last_failure(WALLS, TubeLoads(moment=np.ones(2)), LIMITS),
    ],
)
def test_what_does_not_fit_the_walls_is_refused_with_a_message(call):
    with pytest.raises(DesignError, match="one"):
        call()


def test_no_public_function_was_left_out():
    tried = {*OF_WALLS, *OF_WALLS_AND_STRENGTHS, *OF_STRESS, *OF_BORES, *OF_NUMBERS, "uneven_section", "rulings"}
    functions = {name for name in room.__all__ if inspect.isfunction(getattr(room, name))}
    assert functions - tried == {"with_changes"}  # rules, not walls
