"""Cool-down: bore, outside, length, twist and ply stress, and the fit on the mandrel."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from polewright.errors import DesignError
from polewright.materials.ply import Elastic
from polewright.wall.cooldown import cool_down, mandrel_fit
from polewright.wall.cylinder import exact_tube
from polewright.wall.stack import Wall
from polewright.wall.through import TubeLoads, beam_strain, tube_stress

ALUMINIUM, STEEL = 23.0e-6, 11.7e-6
AXIAL = {"E1": 132.7e9, "E2": 7.61e9, "G12": 3.44e9, "nu12": 0.264, "alpha1": 0.13e-6, "alpha2": 41.6e-6}
HOOP = {"E1": 122.9e9, "E2": 7.14e9, "G12": 3.13e9, "nu12": 0.271, "alpha1": 0.24e-6, "alpha2": 44.5e-6}
GLASS = {"E1": 37.9e9, "E2": 10.8e9, "G12": 3.25e9, "nu12": 0.274, "alpha1": 7.3e-6, "alpha2": 41.2e-6}


def tube_of(rows, *, bore=0.02693, nu23=0.45):
    """Rows of (constants, degrees, thickness [mm]) from the bore outward."""
    elastic = Elastic.unidirectional(**{n: np.array([r[0][n] for r in rows]) for n in AXIAL}, nu23=nu23)
    wall = Wall(
        bore=np.array(bore),
        angle=np.radians([r[1] for r in rows]),
        thickness=np.array([r[2] for r in rows]) * 1e-3,
        elastic=elastic,
    )
    return exact_tube(wall)


HOOPED = tube_of([(HOOP, 90, 0.0585), *[(AXIAL, 0, 0.1476)] * 5, (HOOP, 90, 0.0585)])
BARE = tube_of([(AXIAL, 0, 0.1476)] * 6)
GLASSED = tube_of([(GLASS, 90, 0.1167), *[(GLASS, 0, 0.1167)] * 5, (GLASS, 90, 0.1167)])
SPIRAL = tube_of([(AXIAL, 30, 0.6)])


def test_bore_expansion_and_release_gaps_come_from_the_layered_cylinder(verified):
    source = "workshop notes: exact layered cylinder, nu23 0.45, 100 K, 26.93 mm"
    verified(
        "wall",
        "bore expansion of the hooped tube",
        source,
        11.0e-6,
        HOOPED.bore_expansion,
        5e-3,
        unit="1/K",
        kind="notes",
    )
    for name, tube, mandrel, gap in (
        ("hooped on aluminium", HOOPED, ALUMINIUM, 0.032e-3),
        ("hooped on steel", HOOPED, STEEL, 0.002e-3),
        ("glass on aluminium", GLASSED, ALUMINIUM, 0.004e-3),
        ("axial on aluminium", BARE, ALUMINIUM, -0.050e-3),
        ("axial on steel", BARE, STEEL, -0.080e-3),
    ):
        fit = mandrel_fit(tube, rise=-100.0, mandrel_expansion=mandrel)
        # the notes print whole micrometres and leave out the product of the two expansions, 0.1 here
        verified(
            "wall", f"release gap, {name}", source, gap, fit.gap, 0.0, tolerance_abs=0.7e-6, unit="m", kind="notes"
        )
        assert fit.grips == (gap < 0.0)
    assert mandrel_fit(BARE, rise=-100.0, mandrel_expansion=STEEL).message.code == "mandrel.grips"
    assert mandrel_fit(HOOPED, rise=-100.0, mandrel_expansion=ALUMINIUM).message.code == "mandrel.lets_go"
    # the flat plate has the hoop expansion of bore and skin alike, a tenth too high at the bore, and the gap on steel
    # with the wrong sign
    assert HOOPED.skin_expansion / HOOPED.bore_expansion > 1.2
    assert 26.93e-3 * 100 * (STEEL - 12.3e-6) < 0.0 < mandrel_fit(HOOPED, rise=-100.0, mandrel_expansion=STEEL).gap


def test_bore_starts_at_the_hot_mandrels_diameter():
    cold = cool_down(HOOPED, rise=-100.0, mandrel_expansion=ALUMINIUM)
    assert_allclose(cold.bore, 0.02693 * (1 + 100 * ALUMINIUM) * (1 - 100 * HOOPED.bore_expansion), rtol=1e-12)
    assert_allclose(
        cold.outside, (0.02693 * (1 + 100 * ALUMINIUM) + 2 * 0.855e-3) * (1 - 100 * HOOPED.skin_expansion), rtol=1e-12
    )
    assert_allclose(cool_down(HOOPED, rise=0.0, mandrel_expansion=ALUMINIUM).bore, 0.02693, rtol=1e-14)


def test_one_material_cools_without_stress_and_keeps_its_own_expansions():
    cold = cool_down(BARE, rise=-100.0)
    assert_allclose([cold.bore_expansion, cold.skin_expansion], 41.6e-6, rtol=1e-8)
    assert_allclose([cold.axial_expansion, cold.stretch / -100.0], 0.13e-6, rtol=1e-6)
    assert_allclose(cold.stress.ply, 0.0, atol=1.0)


def test_a_hoop_wound_tube_holds_locked_in_stress():
    """Its hoop and through expansions differ: no free state without stress, bore pulled round, skin pushed."""
    tube = tube_of([(AXIAL, 90, 2.5)], bore=0.014)
    cold = cool_down(tube, rise=-100.0)
    fibre = cold.stress.ply[0, :, 0]
    # the wall shrinks more through than around: the skin is drawn in and pushed round, the bore held out and pulled
    assert fibre[1] < 0.0 < fibre[0]
    assert cold.stress.tube[0, :, 2].max() < 1.0


def test_cooling_stresses_balance_through_the_wall():
    tube = exact_tube(HOOPED.wall, points=np.linspace(0.0, 1.0, 3))
    seen = cool_down(tube, rise=-100.0).stress.tube
    edges, simpson = tube.wall.edges, np.array([1.0, 4.0, 1.0]) / 6.0
    r = edges[:-1, None] + np.diff(edges)[:, None] * tube.points
    hoop = (seen[..., 1] * simpson * np.diff(edges)[:, None]).sum()
    along = (seen[..., 0] * r * simpson * np.diff(edges)[:, None]).sum()
    assert_allclose(hoop / np.abs(seen[..., 1]).max() / tube.wall.total_thickness, 0.0, atol=1e-6)
    assert_allclose(along / np.abs(seen[..., 0] * r).max() / tube.wall.total_thickness, 0.0, atol=1e-6)
    across = cool_down(tube, rise=-100.0).stress.ply[:, :, 1]
    assert across.min() > 0.0  # every ply is pulled across its fibres: the usual state after a cure


def test_an_unbalanced_wall_twists_as_it_cools_and_its_mirror_twists_back():
    there = cool_down(SPIRAL, rise=-100.0)
    back = cool_down(exact_tube(SPIRAL.wall.mirrored()), rise=-100.0)
    assert_allclose(back.twist, -there.twist, rtol=1e-9)
    assert_allclose(back.bore, there.bore, rtol=1e-12)
    # thin tube, one material: a plane strain turned by 30 degrees; shear over radius is the twist
    assert_allclose(
        there.twist * 0.01376, 2 * np.cos(np.pi / 6) * np.sin(np.pi / 6) * (0.13e-6 - 41.6e-6) * -100.0, rtol=0.02
    )


def test_twist_on_cooling_follows_from_the_stress_a_torque_makes():
    """Maysel: motion under a load from heat equals heat strain weighed by that load's stress."""
    place, weight = np.polynomial.legendre.leggauss(8)
    tube = exact_tube(SPIRAL.wall, points=(1 + place) / 2)
    r = tube.wall.edges[0] + 0.6e-3 * tube.points
    c, s = np.cos(np.pi / 6), np.sin(np.pi / 6)
    free = np.array(
        [
            c * c * 0.13e-6 + s * s * 41.6e-6,
            s * s * 0.13e-6 + c * c * 41.6e-6,
            41.6e-6,
            0,
            0,
            2 * c * s * (0.13e-6 - 41.6e-6),
        ]
    )
    for load, motion in ((0, tube.expansion), (1, tube.twist_expansion)):
        seen = (tube.unit_stress[0, :, load] @ free * r * weight).sum() * np.pi * 0.6e-3
        assert_allclose(seen, motion, rtol=1e-9)


def test_grip_is_what_closes_the_gap_and_a_yielding_mandrel_grips_less():
    fit = mandrel_fit(BARE, rise=-100.0, mandrel_expansion=STEEL)
    opened = beam_strain(BARE, TubeLoads(inner_pressure=fit.pressure)).bore * 0.02693
    assert_allclose(opened, -fit.gap, rtol=1e-9)
    # thin ring: p = E t/R times gap over diameter, the notes' upper bound
    assert_allclose(fit.pressure, 7.61e9 * 0.8856 / 13.9 * -fit.gap / 26.93e-3, rtol=0.05)
    soft = mandrel_fit(BARE, rise=-100.0, mandrel_expansion=STEEL, mandrel_give=0.7 / 205e9)
    assert soft.pressure < fit.pressure
    on = tube_stress(BARE, fit.loads).tube[:, :, 1]
    off = tube_stress(BARE, TubeLoads(inner_pressure=fit.pressure)).tube[:, :, 1]
    assert_allclose(on, off, atol=10.0)
    force = fit.pull_off(friction=0.2, length=1.65)
    assert_allclose(force, 0.2 * fit.pressure * np.pi * 0.02693 * 1.65, rtol=1e-12)
    assert 1e4 < force < 1e5  # tens of kilonewtons: it will not come off
    free = mandrel_fit(HOOPED, rise=-100.0, mandrel_expansion=ALUMINIUM)
    assert free.pressure == 0.0
    assert free.pull_off(friction=0.2, length=1.65) == 0.0


def test_cooling_answers_for_many_mandrels_at_once():
    fit = mandrel_fit(HOOPED, rise=-100.0, mandrel_expansion=np.array([ALUMINIUM, STEEL, 1.5e-6]))
    assert fit.gap.shape == (3,)
    assert list(fit.grips) == [False, False, True]
    assert fit.message.code == "mandrel.grips"  # the worst of them
    assert mandrel_fit(HOOPED, rise=-100.0, mandrel_expansion=np.array([ALUMINIUM, STEEL])).message.code == (
        "mandrel.lets_go"
    )


def test_refusals_of_the_cool_down_name_the_field():
    with pytest.raises(DesignError, match=r"rise.*want\.finite_temperature_difference"):
        cool_down(BARE, rise=np.nan)
    with pytest.raises(DesignError, match="mandrel_give"):
        mandrel_fit(BARE, rise=-100.0, mandrel_expansion=STEEL, mandrel_give=-1.0)
    with pytest.raises(DesignError, match=r"friction.*want\.zero_or_more"):
        mandrel_fit(BARE, rise=-100.0, mandrel_expansion=STEEL).pull_off(friction=-0.1, length=1.0)
