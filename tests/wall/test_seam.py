"""Uneven walls: the notes' seam figures, direction of the spine, bow after the oven, bow told from spine."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.integrate import quad
from scipy.optimize import minimize_scalar
from tests.wall.walls_of_the_notes import AXIAL, BORE, HOOP, S3, SM150, TH55

from polewright.errors import DesignError
from polewright.wall.membrane import tube_stiffness
from polewright.wall.seam import Arc, bow_tip_offset, part_turns, seam_variation, uneven_section
from polewright.wall.stack import Stack, StackPly

FIVE = Stack((StackPly(SM150, 0.0, 5),))
NOTES = "seam of the workshop notes, five axial plies"


def strip(sweep, *, start=0.0, middle=None, after=0, angle=0.0):
    return Arc(
        elastic=SM150.elastic,
        thickness=SM150.thickness,
        angle=angle,
        start=start,
        sweep=sweep,
        after=after,
        middle=middle,
    )


@pytest.mark.parametrize(
    ("degrees", "thin", "exact"), [(20, 0.022, 0.021), (36, 0.037, 0.036), (90, 0.064, 0.057), (180, 0.0, 0.007)]
)
def test_seam_figures_of_the_notes(degrees, thin, exact, verified):
    wall = S3.wall(BORE)
    middle = float(wall.bore + wall.total_thickness) / 2.0
    found = uneven_section(wall, (strip(np.radians(degrees), middle=middle),)).peak_to_peak
    verified(
        "wall", f"peak to peak, arc {degrees} degrees, exact section", NOTES, exact, found, 0.0, 0.0006, kind="notes"
    )
    verified(
        "wall",
        f"peak to peak, arc {degrees} degrees, thin",
        NOTES,
        thin,
        seam_variation(np.radians(degrees), plies=5),
        0.0,
        0.0005,
        kind="notes",
    )


def test_worst_arc_of_the_notes_is_near_87_degrees():
    wall = S3.wall(BORE)
    middle = float(wall.bore + wall.total_thickness) / 2.0
    worst = minimize_scalar(
        lambda sweep: -uneven_section(wall, (strip(sweep, middle=middle),)).peak_to_peak,
        bounds=(0.5, 2.5),
        method="bounded",
    ).x
    assert_allclose(np.degrees(worst), 87.0, atol=2.0)  # the top is flat: 0.1 % over 5 degrees


def test_outermost_arc_counts_nine_percent_more_and_innermost_less():
    wall, sweep = S3.wall(BORE), np.radians(87.0)
    edges = wall.edges
    at = [
        uneven_section(wall, (strip(sweep, middle=float(r)),)).peak_to_peak
        for r in (edges[0], (edges[0] + edges[-1]) / 2.0, edges[-1])
    ]
    assert_allclose([at[2] / at[1], at[0] / at[1]], [1.09, 0.91], atol=0.01)


def test_exact_section_tends_to_the_thin_formula_for_many_plies():
    errors = []
    for plies in (10, 40, 160):
        wall = Stack((StackPly(SM150, 0.0, plies),)).wall(plies * 0.5)  # wall over radius falls too
        found = uneven_section(wall, (strip(1.0, after=plies),)).peak_to_peak
        errors.append(abs(found / float(seam_variation(1.0, plies=plies)) - 1.0))
    slope = np.polyfit(np.log([10, 40, 160]), np.log(errors), 1)[0]
    assert slope < -0.9
    assert errors[-1] < 0.01


def test_an_even_wall_is_the_beam_and_has_no_bow():
    wall = S3.wall(BORE)
    plain, stiff = uneven_section(wall, ()), tube_stiffness(wall)
    assert_allclose([plain.axial, plain.stiff, plain.soft], [stiff.axial, stiff.bending, stiff.bending], rtol=1e-9)
    assert_allclose(plain.mass, wall.mass_per_length, rtol=1e-12)
    assert plain.bow(rise=-100.0, length=2.0)[0] < 1e-9


def test_an_arc_all_round_is_another_ply():
    wall = FIVE.wall(BORE)
    whole = uneven_section(wall, (strip(2.0 * np.pi, after=5),))
    six = tube_stiffness(AXIAL.wall(BORE))
    assert_allclose([whole.axial, whole.stiff, whole.soft], [six.axial, six.bending, six.bending], rtol=1e-9)


def test_moments_of_a_strip_are_its_integrals():
    # E only along: one strip on a wall of nearly nothing, integrals by quadrature
    sweep, start, radius = 1.1, 0.7, 0.1
    wall = Stack((StackPly(SM150, 0.0, 1),)).wall(2.0 * radius)
    with_arc, without = uneven_section(wall, (strip(sweep, start=start, after=1),)), uneven_section(wall, ())
    added = (with_arc.bending + np.outer(with_arc.centroid, with_arc.centroid) * with_arc.axial) - without.bending
    r0, r1 = float(wall.edges[1]), float(wall.edges[1]) + SM150.thickness
    for i, j, f in (
        (0, 0, lambda a: np.cos(a) ** 2),
        (1, 1, lambda a: np.sin(a) ** 2),
        (0, 1, lambda a: np.cos(a) * np.sin(a)),
    ):
        expected = 132.7e9 * (r1**4 - r0**4) / 4.0 * quad(f, start, start + sweep)[0]
        assert_allclose(added[i, j], expected, rtol=1e-6)


@settings(derandomize=True, max_examples=40, deadline=None)
@given(start=st.floats(0.0, 6.28), sweep=st.floats(0.05, 1.5), turn=st.floats(0.0, 6.28))
def test_spine_points_at_the_middle_of_a_seam_and_turns_with_it(start, sweep, turn):
    wall = FIVE.wall(BORE)
    section = uneven_section(wall, (strip(sweep, start=start, after=5),))
    off = (section.spine - (start + sweep / 2.0) + np.pi / 2.0) % np.pi - np.pi / 2.0
    assert_allclose(off, 0.0, atol=1e-6)
    turned = uneven_section(wall, (strip(sweep, start=start + turn, after=5),))
    assert_allclose([turned.stiff, turned.soft, turned.mass], [section.stiff, section.soft, section.mass], rtol=1e-9)


def test_three_seams_a_third_of_the_clock_apart_cancel():
    wall = FIVE.wall(BORE)
    arcs = tuple(strip(0.4, start=k * 2.0 * np.pi / 3.0, after=5) for k in range(3))
    assert uneven_section(wall, arcs).peak_to_peak < 1e-9


def test_stiffness_round_the_clock_has_two_lobes():
    section = uneven_section(FIVE.wall(BORE), (strip(0.6, start=0.3, after=5),))
    clock = np.linspace(0.0, 2.0 * np.pi, 64, endpoint=False)
    seen = section.stiffness_at(clock)
    lobes = np.abs(np.fft.rfft(seen)) / len(clock)
    assert_allclose(2.0 * lobes[2], (section.stiff - section.soft) / 2.0, rtol=1e-9)
    assert np.all(np.delete(lobes, [0, 2]) < 1e-9 * lobes[0])
    assert_allclose(seen.max(), section.stiff, rtol=3e-3)


def test_one_lobe_is_a_bow_two_are_a_spine_and_two_loads_tell_them_apart():
    """Readings y(clock) = F S^3/(48 EI(clock)) + bow cos(clock - b) of a tube that has both."""
    wall = FIVE.wall(BORE)
    section = uneven_section(wall, (strip(np.radians(60.0), start=0.2, after=5),))
    bow, side, span = 0.6e-3, 2.0, 1.0
    clock = np.linspace(0.0, 2.0 * np.pi, 12, endpoint=False)

    def read(force):
        return force * span**3 / (48.0 * section.stiffness_at(clock)) + bow * np.cos(clock - side)

    one_load = read(50.0)
    apparent = (one_load.max() - one_load.min()) / one_load.mean()
    difference = read(100.0) - read(50.0)
    lobes = np.abs(np.fft.rfft(difference)) / len(clock)
    true = 4.0 * lobes[2] / lobes[0]
    assert apparent > 2.0 * true  # a bow passes for a spine under one load
    assert_allclose(true, section.peak_to_peak, rtol=0.03)  # two loads subtracted hold the spine alone
    assert lobes[1] < 1e-9 * lobes[2]
    rest = read(50.0) - difference  # extrapolated to no load: the bow alone
    assert_allclose(2.0 * np.abs(np.fft.rfft(rest)[1]) / len(clock), bow, rtol=1e-9)


def test_bow_of_two_half_shells_is_a_bimetal_strip():
    """Half the clock axial, half hoop: curvature by hand from axial force and moment of restrained expansion."""
    base = Stack((StackPly(TH55, 0.0, 1),)).wall(0.2)
    hoop = Arc(elastic=SM150.elastic, thickness=2e-3, angle=HOOP, start=-np.pi / 2.0, sweep=np.pi, after=1)
    section = uneven_section(base, (hoop,))
    r = float(base.edges[1]) + 1e-3
    k0, k1, a0, a1 = 122.9e9 * TH55.thickness, 7.61e9 * 2e-3, 0.24e-6, 41.6e-6
    axial = 2.0 * np.pi * r * k0 + np.pi * r * k1
    first = 2.0 * k1 * r * r
    thermal, turned = 2.0 * np.pi * r * k0 * a0 + np.pi * r * k1 * a1, 2.0 * k1 * r * r * a1
    second = np.pi * r**3 * (k0 + k1 / 2.0)
    expected = (turned - first * thermal / axial) / (second - first**2 / axial)
    assert_allclose(section.expansion[0], expected, rtol=0.03)  # thin, and Poisson's part by hand left out
    size, side = section.bow(rise=-100.0, length=1.65)
    assert_allclose(size, 100.0 * abs(section.expansion[0]) * 1.65**2 / 8.0)
    assert_allclose(side, np.pi, atol=1e-9)  # cooling shrinks the hoop side, so the far side bulges


def test_same_ply_all_axial_never_bows_on_cooling():
    section = uneven_section(FIVE.wall(BORE), (strip(1.0, after=5),))
    assert section.bow(rise=-100.0, length=2.0)[0] < 1e-12


def test_bow_of_the_notes_throws_the_tip_off(verified):
    verified(
        "wall",
        "tip offset of a 1.5 mm bow",
        "workshop notes, butt section, arm 5.80 m",
        0.021,
        bow_tip_offset(1.5e-3, length=1.65, arm=5.80),
        0.01,
        unit="m",
        kind="notes",
    )


def test_part_turns_of_a_stack_become_arcs_where_the_flag_starts():
    stack = Stack((StackPly(TH55, HOOP), StackPly(SM150, 0.0, 5.25), StackPly(TH55, HOOP)))
    wall, arcs = part_turns(stack, BORE, starts=[0.0, 1.0, 2.0], overlap=0.006)
    assert wall.angle.size == 7
    assert [arc.after for arc in arcs] == [1, 6, 7]
    assert_allclose(arcs[1].sweep, np.pi / 2.0 + 0.006 / float(wall.edges[6]))
    assert_allclose(arcs[0].sweep * wall.edges[1], 0.006)
    section = uneven_section(wall, part_turns(stack, BORE, starts=0.0)[1])
    mass = float(stack.wall(BORE).mass_per_length)
    assert_allclose(section.mass, mass, rtol=2e-3)  # the smeared part turn, at nearly the same radius


@pytest.mark.parametrize(
    ("changed", "text"),
    [
        ({"sweep": 7.0}, r"want\.from_none_one_whole_turn"),
        ({"thickness": 0.0}, "thickness"),
        ({"start": np.nan}, "finite"),
        ({"middle": 1e-6}, "radius"),
    ],
)
def test_impossible_arcs_are_refused(changed, text):
    good = {"elastic": SM150.elastic, "thickness": 1e-4, "angle": 0.0, "start": 0.0, "sweep": 1.0}
    with pytest.raises(DesignError, match=text):
        Arc(**{**good, **changed})


def test_arcs_beneath_layers_that_are_not_there_are_refused():
    with pytest.raises(DesignError, match=r"want\.from_0_layers_beneath"):
        uneven_section(FIVE.wall(BORE), (strip(1.0, after=6),))
    with pytest.raises(DesignError, match=r"want\.at_least_one_ply_all_round"):
        part_turns(Stack((StackPly(SM150, 0.0, 0.5),)), BORE, starts=0.0)
