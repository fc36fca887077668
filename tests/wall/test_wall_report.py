"""One wall by every tier: the notes' figures, tiers that agree where they must, refusals."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from tests.wall.walls_of_the_notes import AXIAL, BORE, BURIED, LEAN, S3, SM150, TH55, isotropic, strength_of

from polewright.errors import DesignError
from polewright.materials.ply import Strength
from polewright.wall.clamp import Band
from polewright.wall.cylinder import exact_tube
from polewright.wall.report import Hold, WallUse, beam_tiers, strength_report, wall_report
from polewright.wall.stack import Stack, StackPly

NOTES = "reference pole of the workshop notes"
HOOP = np.pi / 2.0


@pytest.fixture(scope="module")
def s3():
    return wall_report(S3, BORE, WallUse(starts=(0.0, 4.45, 2.6), overlap=0.006), strength=strength_of(S3.wall(BORE)))


def test_figures_of_the_third_section_are_those_of_the_notes(s3, verified):
    ring = s3.ring
    for case, told, found, close in (
        ("EI, exact, N m2", 834.0, s3.beam.exact.bending, 0.02),
        ("GJ, exact, N m2", 49.0, s3.beam.exact.twist, 0.02),
        ("ring 20 mm between plates, thin, N/mm", 128e3, ring.plates_thin, 0.02),
        ("ring 20 mm between plates, layered, N/mm", 124e3, ring.plates_exact, 0.02),
        ("collapse on the outside, layered, Pa", 2.7e6, ring.collapse_exact, 0.02),
        ("band, least N", 199.0, ring.window.least, 0.02),
        ("flattening N m", 733.0, s3.bending.named("flattening").load, 0.02),
        ("release gap on aluminium, m", 32e-6, s3.cool.fit.gap, 0.02),
    ):
        verified("wall", f"S3 report: {case}", NOTES, told, found, close, kind="notes")


@pytest.mark.parametrize(("stack", "told"), [(BURIED, 22.0), (AXIAL, 22.0)])
def test_hoops_in_the_middle_crush_as_if_there_were_none(stack, told, verified):
    found = wall_report(stack, BORE).ring  # told to two digits: half a digit is 2.3 %
    verified(
        "wall",
        f"{len(stack.plies)} flags without hoops outside: ring N/mm",
        NOTES,
        told * 1e3,
        found.plates_thin,
        0.02,
        500.0,
        kind="notes",
    )
    verified(
        "wall",
        f"{len(stack.plies)} flags without hoops outside: layered ring N/mm",
        NOTES,
        told * 1e3,
        found.plates_exact,
        0.02,
        500.0,
        kind="notes",
    )
    assert not found.window.is_open


def test_thin_and_exact_agree_on_thin_walls_and_part_on_thick_ones():
    apart = []
    for radius in (0.05, 0.025, 0.0125):
        tiers = beam_tiers(exact_tube(LEAN.wall(2.0 * radius)))
        apart.append(abs(float(tiers.exact.bending / tiers.thin.bending) - 1.0))
    assert apart[0] < apart[1] < apart[2] < 0.01


def test_an_unbalanced_wall_shows_its_couplings_and_a_balanced_one_has_none():
    one_way = Stack((StackPly(SM150, np.deg2rad(30.0), 5),))
    lean, plain = (beam_tiers(exact_tube(stack.wall(BORE))) for stack in (one_way, S3))
    assert abs(float(lean.exact.coupling)) > 1.0
    assert float(lean.exact_held.axial) > 1.9 * float(lean.exact.axial)
    assert lean.exact_bend_shear == pytest.approx(lean.thin_bend_shear, rel=0.05)
    scale = abs(lean.exact_bend_shear)
    assert abs(plain.exact_bend_shear) < 1e-9 * scale
    assert abs(float(plain.exact.coupling)) < 1e-9


def test_a_metal_tube_in_bending_reaches_its_yield_where_the_closed_form_says(verified):
    wall = isotropic(0.015, 0.001)
    inner, outer, limit = 0.0145, 0.0155, 200e6
    same = Strength(**{n: np.full(1, limit) for n in ("Xt", "Xc", "Yt", "Yc", "S")})
    found = strength_report(exact_tube(wall), same, moment=50.0, rise=0.0)
    told = limit * np.pi * (outer**4 - inner**4) / (4.0 * outer)
    verified(
        "wall",
        "first failure of a metal tube in bending, N m",
        "closed form: M = s I / r",
        told,
        50.0 * float(found.with_cure["maximum_stress"].factor),
        1e-6,
        kind="closed form",
    )


def test_reserves_scale_inversely_with_the_reference_moment():
    strength = strength_of(S3.wall(BORE))
    tube = exact_tube(S3.wall(BORE))
    once, twice = (strength_report(tube, strength, moment=m, rise=-100.0) for m in (40.0, 80.0))
    assert once.first_moment == pytest.approx(twice.first_moment, rel=1e-9)
    assert 40.0 * once.last.factor == pytest.approx(80.0 * twice.last.factor, rel=1e-6)


def test_cure_stress_takes_from_the_first_ply_and_last_ply_comes_after_the_first(s3):
    for criterion, inside in s3.strength.with_cure.items():
        assert float(inside.factor) < float(s3.strength.without_cure[criterion].factor)
    assert 100.0 * s3.strength.last.factor > s3.strength.first_moment


def test_cooling_alone_is_in_balance_through_the_wall(s3):
    edges = s3.wall.edges
    area = np.pi * (edges[1:] ** 2 - edges[:-1] ** 2)
    along = np.where(
        np.abs(s3.wall.angle) > 1.0,
        s3.strength.cure[0, :, :, 1].mean(axis=1),
        s3.strength.cure[0, :, :, 0].mean(axis=1),
    )
    assert abs(float(area @ along)) < 1e-3 * float(area @ np.abs(along))


def test_first_limit_is_the_least_and_is_named(s3):
    for found in (s3.bending, s3.push):
        least = min(found.limits, key=lambda limit: float(limit.load))
        assert found.first == least.name
        assert float(found.least) == float(least.load)
    assert {limit.name for limit in s3.bending.limits} == {"fibre_failure", "flattening", "wrinkling"}


def test_strength_unknown_leaves_out_what_needs_it_and_keeps_the_rest():
    found = wall_report(S3, BORE)
    assert found.strength is None
    assert (found.ring.plates, found.ring.fist, found.ring.point) == (None,) * 3
    assert (found.ring.window.loads.crack, found.ring.window.loads.fibre) == (None, None)
    assert found.ring.window.ends == "half_collapse"
    assert {limit.name for limit in found.bending.limits} == {"flattening", "wrinkling"}
    assert found.ring.plates_exact == pytest.approx(123.7e3, rel=1e-3)


def test_all_axial_wall_grips_an_aluminium_bar_by_what_the_notes_say(verified):
    found = wall_report(AXIAL, BORE, WallUse(length=1.65)).cool
    verified("wall", "all-axial S3 on aluminium: gap, m", NOTES, -50e-6, found.fit.gap, 0.02, kind="notes")
    assert found.pull > 10e3
    assert found.fit.message.code == "mandrel.grips"


def test_pull_needs_both_friction_and_length():
    slack, long = (
        wall_report(AXIAL, BORE, WallUse(length=length, friction=friction)).cool.pull
        for length, friction in ((1.0, 0.0), (2.0, 0.2))
    )
    assert slack == 0.0
    assert long == pytest.approx(2.0 * wall_report(AXIAL, BORE, WallUse(length=1.0)).cool.pull)


def test_seams_make_a_spine_of_the_size_the_strip_formula_gives(s3):
    sweep = 0.006 / float(s3.wall.edges[6])
    assert s3.uneven.peak_to_peak == pytest.approx(np.sin(sweep) / (np.pi * 5.0), rel=0.1)


def test_a_wider_band_opens_the_window():
    tight = wall_report(AXIAL, BORE).ring.window
    wide = wall_report(AXIAL, BORE, WallUse(hold=Hold(band=Band(width=0.06, friction=0.12)))).ring.window
    assert_allclose(wide.most, 4.0 * tight.most, rtol=1e-9)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"length": 0.0}, "length"),
        ({"moment": float("nan")}, "moment"),
        ({"rise": 10.0}, r"want\.cool_down_zero_or_negative"),
        ({"friction": -1.0}, "friction"),
        ({"overlap": -1.0}, "overlap"),
        ({"mandrel_expansion": float("inf")}, "mandrel"),
    ],
)
def test_impossible_use_is_refused_by_name(change, words):
    with pytest.raises(DesignError, match=words):
        replace(WallUse(), **change)


@pytest.mark.parametrize("change", [{"ring": 0.0}, {"fist": -1.0}, {"pad": float("nan")}, {"need": 0.0}])
def test_impossible_hold_is_refused_by_name(change):
    with pytest.raises(DesignError, match=next(iter(change))):
        Hold(**change)


def test_starts_must_be_one_a_ply():
    with pytest.raises(DesignError, match=r"want\.one_per_ply"):
        wall_report(S3, BORE, WallUse(starts=(0.0,)))


@pytest.mark.slow
def test_a_hundred_plies_and_a_wall_thicker_than_its_radius_are_answered():
    plies = tuple(StackPly(SM150 if i % 3 else TH55, HOOP * (i % 3 == 0)) for i in range(100))
    found = wall_report(Stack(plies), 0.010)
    assert float(found.wall.total_thickness) > 0.005
    for figure in (found.beam.exact.bending, found.ring.plates_exact, found.bending.least, found.cool.fit.gap):
        assert np.isfinite(float(figure))
    assert 0.5 < float(found.beam.exact.bending / found.beam.thin.bending) < 1.5
