"""Copies: the walls and droops of the nominal theory, and what one strayed input does by hand."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from tests.scatter.conftest import problem_with, reference_build, stack

from polewright.errors import DesignError
from polewright.materials.ply import Elastic
from polewright.pole import Bench, Joint, Pole, State, Tube, bent
from polewright.pole.section import Mandrel, Section, tube_of
from polewright.scatter import (
    Build,
    Copies,
    Plan,
    Problem,
    Rolled,
    Spread,
    Spreads,
    copies_of,
    default_spreads,
    figures_of,
    nominal_figures,
    points_of,
    sampled,
)
from polewright.scatter.walls import Layers, tubes_of
from polewright.wall.membrane import tube_stiffness
from polewright.wall.stack import Wall

ONE = np.full((1, 1), 0.8413447460685429)  # chance of one standard deviation up


def named(problem: Problem, points: np.ndarray) -> dict[str, float]:
    return dict(zip(problem.names, figures_of(problem, points)[0], strict=True))


def test_compiled_walls_are_those_of_the_thin_wall_tier_on_random_stacks(verified):
    rng = np.random.default_rng(11)
    cases, count = 200, 6
    E1 = rng.uniform(20e9, 300e9, (cases, count))
    elastic = Elastic.unidirectional(
        E1=E1,
        E2=rng.uniform(4e9, 15e9, E1.shape),
        G12=rng.uniform(2e9, 8e9, E1.shape),
        nu12=rng.uniform(0.1, 0.35, E1.shape),
        density=rng.uniform(1400, 2000, E1.shape),
    )
    angle = rng.uniform(-np.pi / 2, np.pi / 2, E1.shape)
    thickness = rng.uniform(0.05e-3, 0.6e-3, E1.shape)
    bore = rng.uniform(8e-3, 60e-3, cases)
    wall = Wall(bore=bore, angle=angle, thickness=thickness, elastic=elastic)
    stiff = tube_stiffness(wall)
    axial, bending, shear, mass, outside = tubes_of(
        bore[:, None], Layers(elastic.E1, elastic.E2, elastic.G12, elastic.nu12, angle, thickness, elastic.density)
    )
    for own, plain in (
        (axial, stiff.axial),
        (bending, stiff.bending),
        (shear, stiff.shear),
        (mass, wall.mass_per_length),
        (outside, wall.outside),
    ):
        assert_allclose(own[:, 0], plain, rtol=1e-11)


def test_isotropic_tube_has_the_closed_form_stiffness(verified):
    one = np.ones((1, 1))
    E, nu, ro, ri = 70e9, 0.33, 15.05e-3, 14.95e-3
    axial, bending, *_ = tubes_of(
        2 * ri * one,
        Layers(E * one, E * one, E / (2 * (1 + nu)) * one, nu * one, 0 * one, (ro - ri) * one, 2700.0 * one),
    )
    verified(
        "scatter",
        "EA of an isotropic tube",
        "E pi (ro^2 - ri^2)",
        E * np.pi * (ro**2 - ri**2),
        axial[0, 0],
        1e-12,
        kind="closed form",
    )
    verified(
        "scatter",
        "EI of an isotropic tube",
        "E pi/4 (ro^4 - ri^4)",
        E * np.pi / 4 * (ro**4 - ri**4),
        bending[0, 0],
        1e-12,
        kind="closed form",
    )


def test_nothing_strayed_gives_the_nominal_pole_to_roundoff():
    """The pole built by hand from tube stiffness, solved alone, against the figures of a copy."""
    problem = problem_with(Spreads())
    tubes = []
    for rolled in problem.build.sections:
        wall = rolled.stack.wall(rolled.bore)
        stiff = tube_stiffness(wall)
        tubes.append(
            Tube(
                rolled.length,
                np.array([0.0, rolled.length]),
                stiff.bending,
                stiff.axial,
                stiff.shear,
                wall.mass_per_length,
                wall.bore,
                wall.outside,
            )
        )
    pole = Pole(tuple(tubes), tuple(n.joint for n in problem.build.nests), problem.build.tip_mass)
    own = dict(zip(problem.names, nominal_figures(problem), strict=True))
    bare, hung = (bent(pole, State.out(pole, head_mass=m, support=Bench(1.0))).tip_droop for m in (0.0, 0.5))
    assert own["mass"] == pytest.approx(pole.mass, rel=1e-13)
    assert own["length"] == pytest.approx(pole.extended_length, rel=1e-13)
    assert own["closed"] == pytest.approx(pole.closed_length, rel=1e-13)
    assert own["droop.all out"] == pytest.approx(bare, rel=1e-6)  # coarser beam elements in the scatter
    assert own["added_droop.all out"] == pytest.approx((hung - bare) / 0.5, rel=1e-6)
    assert own["clearance.1"] == pytest.approx(0.4e-3, abs=1e-15)


def test_zero_spreads_give_every_copy_the_nominal_figures():
    problem = problem_with(Spreads.of(Spread("E1"), Spread("mandrel")), sections=2)
    sample = sampled(problem, Plan(64))
    assert problem.inputs == 0
    assert np.array_equal(sample.values, np.broadcast_to(sample.nominal, sample.values.shape))


def test_reference_pole_of_the_workshop_notes_is_the_nominal_one(verified):
    own = named(problem_with(Spreads()), np.empty((1, 0)))
    verified(
        "scatter",
        "Reedlight 7, ready to work",
        "workshop notes, reference pole",
        1.159,
        own["mass"],
        5e-3,
        unit="kg",
        kind="notes",
    )
    verified(
        "scatter",
        "Reedlight 7, carry moment all out",
        "workshop notes, reference pole",
        4.27,
        own["carry"],
        1e-2,
        unit="kg m",
        kind="notes",
    )


def strayed(figure: str, sd: float, sections: int = 5) -> tuple[dict[str, float], dict[str, float]]:
    """Figures before and after the one input goes one standard deviation up, everywhere alike."""
    before = named(problem_with(Spreads(), sections), np.empty((1, 0)))
    problem = problem_with(Spreads.of(Spread(figure, lot=sd)), sections)
    return before, named(problem, np.full((1, problem.inputs), ONE[0, 0]))


def test_resin_and_areal_weight_leave_the_signature_of_the_notes(verified):
    """Section 3 by itself, axial plies alone: mass, outside and EI after one point more resin; 2 % more fibre."""
    source = "workshop notes, signature of section 3"
    for figure, sd, rows in (
        ("resin", 0.01 / 0.34, (("mass", 1.4, 0.1), ("outside", 0.029, 0.001), ("EI", 0.2, 0.1))),
        ("areal_mass", 0.02, (("mass", 1.8, 0.1), ("outside", 0.03, 0.002), ("EI", 2.1, 0.1))),
    ):
        build = reference_build(3)
        spreads = Spreads({}, {(figure, "SM150"): Spread(figure, lot=sd)})
        plain = copies_of(Problem(build, Spreads(), ()), np.empty((1, 0)))
        other = copies_of(Problem(build, spreads, ()), ONE)
        moved = {
            "mass": 100 * (other.mass_per_length / plain.mass_per_length - 1)[0, 2, 0],
            "outside": 1000 * (other.outside - plain.outside)[0, 2, 0],
            "EI": 100 * (other.bending / plain.bending - 1)[0, 2, 0],
        }
        for name, expected, half_digit in rows:
            verified("scatter", f"{figure} up: {name}", source, expected, moved[name], 0.0, half_digit, kind="notes")


def test_flags_cut_askew_lose_what_the_notes_say(verified):
    build = reference_build(3)
    for degrees, lost, half_digit in ((2.0, -3.7, 0.05), (3.0, -7.9, 0.05), (5.0, -19.0, 0.5)):
        problem = Problem(build, Spreads.of(Spread("angle", ply=np.radians(degrees))), ())
        points = np.full((2, 9), 0.5)  # three flags a section: the axial one of section 3 is its second
        points[1, 7] = ONE[0, 0]
        plain, own = copies_of(problem, points).bending[:, 2, 0]
        verified(
            "scatter",
            f"EI with the axial flag {degrees:g} degrees off",
            "workshop notes, signature of section 3",
            lost,
            100 * (own / plain - 1),
            0.0,
            half_digit,
            kind="notes",
        )


def test_fibre_and_resin_mass_balance_of_a_resin_rich_ply():
    """The fibre per area stays; mass over thickness is the density; the resin fills what thickness grew."""
    build = reference_build(1)
    spreads = Spreads({}, {("resin", "SM150"): Spread("resin", lot=0.1)})
    plain, other = (copies_of(Problem(build, s, ()), p) for s, p in ((Spreads(), np.empty((1, 0))), (spreads, ONE)))
    area = [np.pi / 4 * (c.outside**2 - c.bore**2)[0, 0, 0] for c in (plain, other)]
    mass = [c.mass_per_length[0, 0, 0] for c in (plain, other)]
    hoop = 0.0585e-3 * 1516.0 * np.pi  # the outer hoop rides a little further out
    moved = hoop * (other.outside - plain.outside)[0, 0, 0]
    assert mass[1] - mass[0] - moved == pytest.approx(1220.0 * (area[1] - area[0]) - moved * 1220.0 / 1516.0, rel=0.02)


def test_a_fatter_mandrel_opens_one_joint_and_tightens_the_next():
    before, after = strayed("mandrel", 2e-5)
    assert after["clearance.1"] == pytest.approx(before["clearance.1"], abs=1e-12)  # both fatter alike
    problem = problem_with(Spreads.of(Spread("mandrel", tube=2e-5)), 3)
    points = np.full((1, 3), 0.5)
    points[0, 1] = ONE[0, 0]  # section 2 alone
    own = named(problem, points)
    assert own["clearance.1"] == pytest.approx(0.42e-3, abs=1e-12)
    assert own["clearance.2"] == pytest.approx(0.38e-3, abs=1e-12)


def test_overlap_and_length_move_the_reach_by_hand_arithmetic():
    before, after = strayed("overlap", 2e-3)
    assert after["length"] - before["length"] == pytest.approx(-4 * 2e-3, abs=1e-12)
    before, after = strayed("length", 1e-3)
    assert after["length"] - before["length"] == pytest.approx(5 * 1e-3, abs=1e-12)
    assert after["closed"] - before["closed"] == pytest.approx(1e-3, abs=1e-12)


def one_tube(figure: str, sd: float, **level: float) -> tuple[Copies, Copies]:
    """A tube before and after one input goes one standard deviation up."""
    build = reference_build(1)
    spread = Spread(figure, **(level or {"tube": sd}))
    problem = Problem(build, Spreads.of(spread), ())
    return (
        copies_of(Problem(build, Spreads(), ()), np.empty((1, 0))),
        copies_of(problem, np.full((1, problem.inputs), ONE[0, 0])),
    )


def test_wider_flags_thicken_the_wall_by_their_share_of_a_turn():
    """Three flags, each one millimetre wider: thickness over the circumference, turns added to each."""
    plain, other = one_tube("width", 0.0, ply=1e-3)
    around = np.pi * (23.00e-3 + 2 * 0.0585e-3 + 4 * 0.1476e-3)
    thicker = (2 * 0.0585e-3 + 0.1476e-3) * 1e-3 / around
    assert other.outside[0, 0, 0] - plain.outside[0, 0, 0] == pytest.approx(2 * thicker, rel=1e-6)


def test_a_stiff_side_down_acts_on_bending_alone():
    plain, other = one_tube("spine", 0.03)
    assert other.bending[0, 0, 0] == pytest.approx(1.03 * plain.bending[0, 0, 0], rel=1e-12)
    assert other.shear[0, 0, 0] == plain.shear[0, 0, 0]


def test_less_sanding_leaves_a_ring_that_is_fat_and_weighs_but_is_not_stiff():
    plain, other = one_tube("finish", 4e-5)
    outer, inner = other.outside[0, 0, 0], plain.outside[0, 0, 0]
    assert outer - inner == pytest.approx(4e-5, abs=1e-15)
    ring = np.pi / 4 * (outer**2 - inner**2)
    assert other.mass_per_length[0, 0, 0] - plain.mass_per_length[0, 0, 0] == pytest.approx(1150.0 * ring, rel=1e-9)
    assert other.bending[0, 0, 0] == plain.bending[0, 0, 0]


def test_a_coat_weighs_what_the_nominal_pole_says():
    coated = Section(stack(4), 1.65, Mandrel("bar", [0.0, 2.0], [0.0230, 0.0230], 0.0), coat=6e-5, bore=0.0230)
    tube = tube_of(coated)
    build = Build((Rolled(stack(4), 1.65, np.full(2, 0.0230), 6e-5),))
    own = copies_of(Problem(build, Spreads(), ()), np.empty((1, 0)))
    assert own.mass_per_length[0, 0, 0] == pytest.approx(tube.mass_per_length[0], rel=1e-12)
    assert own.outside[0, 0, 0] == pytest.approx(tube.outside[0], rel=1e-12)


def test_clamps_weigh_what_they_stray_and_softer_joints_droop_more():
    before, after = strayed("clamp", 0.1)
    assert after["mass"] - before["mass"] == pytest.approx(4 * 0.0045, abs=1e-12)
    before, after = strayed("joint", 0.2)
    assert after["droop.all out"] < before["droop.all out"]


def test_stiffness_of_a_pole_without_joints_scales_its_added_droop_inversely():
    """One tube clamped, small droop: F L^3/(3 EI) + F L/S, with E1 acting on EI."""
    problem = problem_with(Spreads.of(Spread("E1", lot=0.05)), 1, load=1e-3)
    own, plain = (
        named(problem, np.full((1, problem.inputs), ONE[0, 0])),
        named(problem_with(Spreads(), 1, load=1e-3), np.empty((1, 0))),
    )
    a, b = (copies_of(p, np.full((1, p.inputs), ONE[0, 0])) for p in (problem, problem_with(Spreads(), 1)))
    force = 1e-3 * 9.80665
    span, back = 0.65, 1.0  # beyond the prop, and from the butt to it
    droops = [
        force * (span**3 / 3 + span**2 * back / 3) / c.bending[0, 0, 0]
        + force * (span + span**2 / back) / c.shear[0, 0, 0]
        for c in (a, b)
    ]
    assert own["added_droop.all out"] * 1e-3 == pytest.approx(droops[0], rel=2e-3)
    assert plain["added_droop.all out"] * 1e-3 == pytest.approx(droops[1], rel=2e-3)


def test_a_tube_of_default_spreads_scatters_as_the_tables_of_tubes_say():
    """Coefficients of variation of EI and mass, and sd of the outside, lie in the tables' own bands for whole tubes."""
    from polewright.materials.library import library

    cov = library().scalars["cov"]
    problem = Problem(reference_build(5), default_spreads(), ())
    copies = copies_of(problem, points_of(Plan(1024), problem.inputs).reshape(-1, problem.inputs))
    tube = copies.mass_per_length[:, 2, 0]
    assert cov["tube_mass"].low <= tube.std() / tube.mean() <= cov["tube_mass"].high
    tube = copies.bending[:, 2, 0]
    assert cov["tube_EI"].low <= tube.std() / tube.mean() <= cov["tube_EI"].high
    outside = copies.outside[:, 2, 0].std()
    assert cov["outer_diameter_mm_sd"].low <= outside <= cov["outer_diameter_mm_sd"].high


def test_tight_pairs_have_no_play_and_still_droop():
    build = reference_build(2)
    tight = replace(build.nests[0], joint=replace(build.nests[0].joint, clearance=0.0), closed=-1e-5, drawn=-1e-5)
    problem = Problem(replace(build, nests=(tight,)), Spreads(), problem_with(Spreads(), 2).reaches)
    own = named(problem, np.empty((1, 0)))
    assert own["clearance.1"] == pytest.approx(-1e-5)
    assert 0.0 < own["droop.all out"] < named(problem_with(Spreads(), 2), np.empty((1, 0)))["droop.all out"]


@pytest.mark.parametrize(
    ("spread", "says"),
    [
        (Spread("E1", lot=2.0), r"spreads\.E1.*want\.lognormal_or_truncated_spread_or_smaller"),
        (Spread("overlap", tube=0.2), r"spreads\.overlap.*want\.smaller_spread_or_more_overlap"),
        (Spread("resin", lot=0.9), r"spreads\.resin.*want\.lognormal_or_truncated_spread_or_smaller"),
        (Spread("width", ply=0.1), r"spreads\.width.*want\.smaller_spread"),
    ],
)
def test_spreads_beyond_what_can_be_are_refused(spread, says):
    with pytest.raises(DesignError, match=says):
        sampled(problem_with(Spreads.of(spread), 2), Plan(256))


def test_joint_of_no_stiffness_and_a_reach_of_the_wrong_length_are_refused():
    with pytest.raises(DesignError, match=r"nests.*want\.one_between_each_two_sections"):
        replace(reference_build(3), nests=reference_build(2).nests)
    with pytest.raises(DesignError, match=r"reach all out\.drawn"):
        Problem(reference_build(3), Spreads(), problem_with(Spreads(), 2).reaches)
    assert Joint(overlap=0.2).stiffness == np.inf
