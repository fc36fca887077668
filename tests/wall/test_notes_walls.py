"""Wall figures of the workshop notes: bores by the thin estimate, what hoops cost and give, strains, lots and grades.

Where the notes round or print a bare sign, a sum by hand over the layers stands beside the figure.
"""

from dataclasses import replace

import numpy as np
import pytest
from tests.wall.walls_of_the_notes import AXIAL, BORE, HOOP, S3, SM150, TH55

from polewright.bench.signature import signatures
from polewright.codes import Message
from polewright.materials.ply import Elastic, Ply
from polewright.pole.section import bore_after_cure
from polewright.wall.cooldown import mandrel_fit
from polewright.wall.cylinder import exact_tube
from polewright.wall.expansion import free_expansion
from polewright.wall.flattening import oval_moment_brazier
from polewright.wall.membrane import tube_stiffness
from polewright.wall.ring import CLOSURE, collapse_pressure, ring_stiffness
from polewright.wall.stack import Stack, StackPly
from polewright.wall.through import TubeLoads, beam_strain

NOTES = "workshop notes, section 3"
ALUMINIUM, STEEL = 23.0e-6, 11.7e-6


def ply(name, thickness, density, E1, E2, G12, nu12, alpha1, alpha2, area):
    elastic = Elastic.unidirectional(
        E1=E1 * 1e9,
        E2=E2 * 1e9,
        G12=G12 * 1e9,
        nu12=nu12,
        alpha1=alpha1 * 1e-6,
        alpha2=alpha2 * 1e-6,
        density=density * 1e3,
    )
    return Ply(name, thickness * 1e-3, elastic, area_mass=area * 1e-3)


SM100 = ply("SM100", 0.1003, 1.534, 130.2, 7.49, 3.36, 0.266, 0.15, 42.3, 153.8)
IM125 = ply("IM125", 0.1203, 1.551, 172.0, 7.46, 3.51, 0.263, -0.03, 41.0, 186.6)
EG150 = ply("EG150", 0.1167, 1.890, 37.9, 10.8, 3.25, 0.274, 7.3, 41.2, 220.6)
GLASS = Stack((StackPly(EG150, HOOP), StackPly(EG150, 0.0, 5), StackPly(EG150, HOOP)))


@pytest.mark.parametrize(
    ("name", "stack", "around", "digit"), [("hooped", S3, 12.3, 0.05), ("all along", AXIAL, 41.6, 0.05)]
)
def test_thin_expansion_around(verified, name, stack, around, digit):
    found = 1e6 * float(free_expansion(stack.wall(BORE)).around)
    verified("wall", f"thin expansion around, {name}", NOTES, around, found, 0.0, digit, "1e-6/K", kind="notes")


@pytest.mark.parametrize(
    ("name", "stack", "bar", "gap"),
    [
        ("hooped on aluminium", S3, ALUMINIUM, 0.029),
        ("hooped on steel", S3, STEEL, -0.002),
        ("all along on aluminium", AXIAL, ALUMINIUM, -0.050),
        ("all along on steel", AXIAL, STEEL, -0.080),
        ("glass with glass hoops on aluminium", GLASS, ALUMINIUM, 0.002),
    ],
)
def test_thin_release_gap_of_a_bar_26_93_mm_cooled_by_100_kelvin(verified, name, stack, bar, gap):
    around = float(free_expansion(stack.wall(BORE)).around)
    bore = float(bore_after_cure(np.asarray(BORE), mandrel_expansion=bar, hoop_expansion=around, rise=-100.0))
    verified("wall", f"thin release gap, {name}", NOTES, gap, 1e3 * (bore - BORE), 0.02, 5e-4, "mm", kind="notes")


@pytest.mark.parametrize(("bar", "metal"), [(ALUMINIUM, "aluminium"), (STEEL, "steel")])
def test_an_all_axial_tube_grips_by_tens_of_kilonewtons(verified, bar, metal):
    """Thin ring by hand: p = E (t/R) (gap/D), pull = mu p pi D L; friction 0.2, 1.65 m."""
    fit = mandrel_fit(exact_tube(AXIAL.wall(BORE)), rise=-100.0, mandrel_expansion=bar)
    middle = (BORE + AXIAL.thickness) / 2.0
    pressure = 7.61e9 * AXIAL.thickness / middle * (BORE * (41.6e-6 - bar) * 100.0) / BORE
    by_hand = 0.2 * pressure * np.pi * BORE * 1.65
    found = float(fit.pull_off(friction=0.2, length=1.65))
    verified(
        "wall",
        f"pull-off of an all-axial tube on {metal}",
        "thin ring by hand",
        by_hand / 1e3,
        found / 1e3,
        0.05,
        unit="kN",
        kind="closed form",
    )
    assert 10e3 < found < 100e3


def test_hoops_cost_a_sixth_of_the_bending_and_buy_six_times_the_crush(verified):
    hooped, along = S3.wall(BORE), AXIAL.wall(BORE)
    heavier = 100.0 * (along.mass_per_length / hooped.mass_per_length - 1.0)
    softer = 100.0 * (tube_stiffness(hooped).bending / tube_stiffness(along).bending - 1.0)
    crush = ring_stiffness(hooped).between_plates / ring_stiffness(along).between_plates
    collapse = collapse_pressure(hooped) / collapse_pressure(along)
    for name, expected, found, digit, unit in (
        ("mass of the all-axial wall", 4.0, heavier, 0.5, "%"),
        ("EI given up", -16.0, softer, 0.5, "%"),
        ("crush bought", 6.0, crush, 0.5, ""),
        ("collapse pressure bought", 2.86 / 0.49, collapse, 0.07, ""),
    ):
        verified(
            "wall",
            f"hoops inside and outside against six axial turns, {name}",
            NOTES,
            expected,
            float(found),
            0.0,
            digit,
            unit,
            kind="notes",
        )


@pytest.mark.parametrize(("name", "stack", "moment"), [("hooped", S3, 755.0), ("six axial turns", AXIAL, 343.0)])
def test_flattening_is_that_of_the_ring_and_the_beam(verified, name, stack, moment):
    """By hand, (2 sqrt 2/9) pi R sqrt(12 Ex t D), from the membrane's and the ring's own figures."""
    wall = stack.wall(BORE)
    middle = float(wall.bore + wall.total_thickness) / 2.0
    along = float(tube_stiffness(wall).bending) / (np.pi * middle**3)
    by_hand = 2.0 * np.sqrt(2.0) / 9.0 * np.pi * middle * np.sqrt(12.0 * along * float(ring_stiffness(wall).bending))
    found = float(oval_moment_brazier(wall))
    verified(
        "wall",
        f"flattening, {name}, formula by hand",
        "Brazier's first-order form",
        by_hand,
        found,
        0.005,
        unit="N m",
        kind="closed form",
    )
    verified("wall", f"flattening, {name}", NOTES, moment, found, 0.0, 0.5, "N m", kind="notes")


@pytest.mark.parametrize(("moment", "strain", "bore"), [(290.0, 0.5, BORE), (350.0, 0.6, BORE), (77.0, 0.1, 0.03115)])
def test_moments_strain_the_skin_as_the_notes_say(verified, moment, strain, bore):
    """Push strain limits of 0.5 and 0.6 % on section 3; the hand's 77 N m on the butt section."""
    wall = S3.wall(bore)
    found = beam_strain(exact_tube(wall), TubeLoads(moment=moment)).curvature * float(wall.outside) / 2.0
    verified(
        "wall",
        f"strain at the skin by {moment:g} N m, bore {bore * 1e3:g} mm",
        NOTES,
        strain,
        100.0 * float(found),
        0.02,
        0.005,
        "%",
        kind="notes",
    )


def test_a_jerk_of_three_is_still_a_third_of_a_per_cent(verified):
    wall = S3.wall(0.03115)
    found = beam_strain(exact_tube(wall), TubeLoads(moment=3.0 * 77.0)).curvature * float(wall.outside) / 2.0
    verified(
        "wall",
        "strain at the skin of the butt section, three times 77 N m",
        NOTES,
        0.3,
        100.0 * float(found),
        0.02,
        unit="%",
        kind="notes",
    )


def test_one_pair_of_45s_weighs_a_quarter_of_section_two(verified):
    plain = S3.wall(0.02481)
    pair = Stack((S3.plies[0], StackPly(SM100, np.pi / 4), StackPly(SM100, -np.pi / 4), *S3.plies[1:])).wall(0.02481)
    for name, expected, found, digit, unit in (
        ("GJ before", 39.0, tube_stiffness(plain).twist, 0.5, "N m2"),
        ("GJ with the pair", 124.0, tube_stiffness(pair).twist, 0.5, "N m2"),
        ("mass added", 24.0, 100.0 * (pair.mass_per_length / plain.mass_per_length - 1.0), 0.5, "%"),
    ):
        verified(
            "wall",
            f"pair of 45s under the axial turns of section 2, {name}",
            NOTES,
            expected,
            float(found),
            0.0,
            digit,
            unit,
            kind="notes",
        )


def by_hand(axial, *, hoops=(TH55, TH55)):
    """Ring of 20 mm between plates [N/mm]: layer by layer about its own neutral axis; a missing hoop is None."""
    inner, outer = hoops
    layers = [inner] * (inner is not None) + [axial] * 5 + [outer] * (outer is not None)

    def round_the_ring(layer):
        e = layer.elastic
        across = float(e.E1 if layer is TH55 else e.E2)
        return across / (1.0 - float(e.nu12) ** 2 * float(e.E2) / float(e.E1))

    thickness, held = np.array([layer.thickness for layer in layers]), np.array([round_the_ring(a) for a in layers])
    face = np.concatenate([[0.0], np.cumsum(thickness)])
    axis = np.sum(held * thickness * (face[1:] + face[:-1]) / 2.0) / np.sum(held * thickness)
    bending = np.sum(held * ((face[1:] - axis) ** 3 - (face[:-1] - axis) ** 3)) / 3.0
    return bending / (CLOSURE * (BORE / 2.0 + axis) ** 3) * 0.020 / 1e3


@pytest.fixture(scope="module")
def lots():
    """Signatures of section 3 by cause, axial plies of 34 % resin by weight."""
    return {s.cause: s for s in signatures(S3, BORE, resin_content=0.34)}


def test_two_points_of_resin_move_fit_and_weight_and_not_stiffness(lots, verified):
    """The notes print one figure for plus and minus, from the slope: the mean of the two."""
    more, less = (lots[Message(f"bench.cause.resin.{way}", points=2)] for way in ("more", "less"))
    for name, expected, found, digit, unit in (
        ("outside diameter", 0.057, 1e3 * (more.outside - less.outside) / 2.0, 5e-4, "mm"),
        ("mass", 2.7, 100.0 * (more.mass - less.mass) / 2.0, 0.05, "%"),
        ("EI", 0.4, 100.0 * (more.bending - less.bending) / 2.0, 0.05, "%"),
    ):
        verified(
            "bench",
            f"two points of resin in the axial plies, {name}",
            NOTES,
            expected,
            found,
            0.0,
            digit,
            unit,
            kind="notes",
        )


def test_ring_of_a_fat_lot_and_of_a_wrong_grade_by_hand(verified):
    """One point more resin, by hand 3.5 % (the notes print 3); intermediate fibre in the same turns loses a third,
    as its thinner plies bring the hoops closer together (the notes print no change)."""

    def richer(content):
        """SM150 of another resin share: areas add, the fibre's square-root forms across, rule of mixtures along."""
        resin = 0.150 * content / (1.0 - content)
        thick = 0.150 / 1780.0 + resin / 1220.0
        volume = 0.150 / 1780.0 / thick
        root = np.sqrt(volume)
        elastic = Elastic.unidirectional(
            E1=230e9 * volume + 3.2e9 * (1.0 - volume),
            E2=3.2e9 / (1.0 - root * (1.0 - 3.2 / 15.0)),
            G12=3.4e9,
            nu12=0.2 * volume + 0.35 * (1.0 - volume),
        )
        return replace(SM150, thickness=thick, elastic=elastic)

    def ring(axial):
        wall = Stack((StackPly(TH55, HOOP), StackPly(axial, 0.0, 5), StackPly(TH55, HOOP))).wall(BORE)
        return float(ring_stiffness(wall).between_plates) * 0.020 / 1e3

    verified(
        "wall",
        "ring of section 3",
        "layer by layer by hand",
        by_hand(SM150),
        ring(SM150),
        1e-3,
        unit="N/mm",
        kind="closed form",
    )
    fat = 100.0 * (by_hand(richer(0.35)) / by_hand(richer(0.34)) - 1.0)
    assert 3.5 < fat < 3.6
    verified(
        "wall",
        "ring, one point more resin in the axial plies",
        "layer by layer by hand",
        fat,
        100.0 * (ring(richer(0.35)) / ring(richer(0.34)) - 1.0),
        0.01,
        unit="%",
        kind="closed form",
    )
    other = 100.0 * (by_hand(IM125) / by_hand(SM150) - 1.0)
    assert -33.0 < other < -31.0
    verified(
        "wall",
        "ring, intermediate fibre in the same turns",
        "layer by layer by hand",
        other,
        100.0 * (ring(IM125) / ring(SM150) - 1.0),
        0.01,
        unit="%",
        kind="closed form",
    )


@pytest.mark.parametrize(("hoops", "name"), [((TH55, None), "outer"), ((None, TH55), "inner")])
def test_ring_without_one_hoop_by_hand(verified, hoops, name):
    """The notes print -70 % for either; by hand they lie either side of it."""
    left, whole = Stack(S3.plies[:2] if hoops[1] is None else S3.plies[1:]).wall(BORE), S3.wall(BORE)
    expected = 100.0 * (by_hand(SM150, hoops=hoops) / by_hand(SM150) - 1.0)
    found = 100.0 * (float(ring_stiffness(left).between_plates / ring_stiffness(whole).between_plates) - 1.0)
    verified(
        "wall",
        f"ring without its {name} hoop",
        "layer by layer by hand",
        expected,
        found,
        0.01,
        unit="%",
        kind="closed form",
    )
    verified(
        "wall",
        f"ring without its {name} hoop, as printed",
        "workshop notes, signature of section 3",
        -70.0,
        found,
        0.02,
        0.5,
        "%",
        kind="notes",
    )


def test_signs_of_the_signature_table_that_have_no_figure(lots):
    same = {
        n: tube_stiffness(Stack((StackPly(TH55, HOOP), StackPly(p, 0.0, 5), StackPly(TH55, HOOP))).wall(BORE)).bending
        for n, p in (("standard", SM150), ("intermediate", IM125))
    }
    mass = {
        n: Stack((StackPly(TH55, HOOP), StackPly(p, 0.0, 5), StackPly(TH55, HOOP))).wall(BORE).mass_per_length
        for n, p in (("standard", SM150), ("intermediate", IM125))
    }
    assert mass["intermediate"] < mass["standard"]
    assert IM125.thickness < SM150.thickness
    assert same["intermediate"] / mass["intermediate"] > 1.2 * same["standard"] / mass["standard"]
    assert lots[Message("bench.cause.heavier", share=0.02)].ring > 0.0
    assert lots[Message("bench.cause.turn_missing.inside", ply=2, angle_class="axial", material="SM150")].ring < 0.0
    for degrees in (2, 3, 5):
        assert abs(lots[Message("bench.cause.cut_off_angle", off=float(np.deg2rad(degrees)))].ring) < 0.01
