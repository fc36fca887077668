"""What each ply earns and the table of slopes: against differences, closed forms, and the workshop notes' signature."""

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from tests.wall.walls_of_the_notes import BORE, BURIED, HOOP, LEAN, S3, SM150, TH55, isotropic

from polewright.errors import DesignError
from polewright.materials.ply import Elastic
from polewright.wall.sensitivity import FIGURES, PARAMETERS, changes, earnings, slopes, thin_figures
from polewright.wall.stack import Stack, StackPly

NOTES = "signature table of the workshop notes"
WEAK = Stack((StackPly(SM150, 0.9, 1), StackPly(TH55, -0.4, 2.5), StackPly(SM150, 0.2, 3), StackPly(TH55, 1.2)))


def moved(wall, parameter, layer, step):
    """The wall with one parameter of one layer changed."""
    if parameter in ("thickness", "angle"):
        values = np.array(getattr(wall, parameter))
        values[layer] += step
        return replace(wall, **{parameter: values})
    constants = {
        f.name: np.array(np.broadcast_to(getattr(wall.elastic, f.name), wall.angle.shape)) for f in fields(Elastic)
    }
    constants[parameter][layer] += step
    return replace(wall, elastic=Elastic(**constants))


def size_of(wall, parameter, layer):
    if parameter == "angle":
        return 1.0
    source = wall if parameter == "thickness" else wall.elastic
    return float(np.broadcast_to(getattr(source, parameter), wall.angle.shape)[layer])


@pytest.mark.parametrize("stack", [S3, BURIED, LEAN, WEAK])
@pytest.mark.parametrize("parameter", PARAMETERS)
def test_slopes_agree_with_differences_of_second_order(stack, parameter):
    wall = stack.wall(BORE)
    table, now = slopes(wall), thin_figures(wall)
    for layer in range(wall.angle.size):
        size = size_of(wall, parameter, layer)
        step = 1e-4 * size
        rise = thin_figures(moved(wall, parameter, layer, step)) - thin_figures(moved(wall, parameter, layer, -step))
        found = np.array([table.of(f, parameter)[layer] for f in FIGURES])
        assert_allclose(found * size / now, rise / 2e-4 / now, atol=2e-7)


@pytest.mark.parametrize("stack", [S3, WEAK])
def test_error_of_a_difference_falls_with_the_square_of_its_step(stack):
    wall = stack.wall(BORE)
    exact = slopes(wall).of("bending", "angle")[1]
    steps = np.array([0.08, 0.04, 0.02])
    found = [
        (thin_figures(moved(wall, "angle", 1, h)) - thin_figures(moved(wall, "angle", 1, -h)))[1] / (2.0 * h)
        for h in steps
    ]
    errors = np.abs(np.array(found) - exact)
    if errors.max() > 1e-9 * thin_figures(wall)[1]:
        assert np.polyfit(np.log(steps), np.log(errors), 1)[0] == pytest.approx(2.0, abs=0.15)


@pytest.mark.parametrize("stack", [S3, BURIED, LEAN])
def test_slope_with_the_bore_agrees_with_differences(stack):
    wall, step = stack.wall(BORE), 1e-6
    rise = thin_figures(replace(wall, bore=wall.bore + step)) - thin_figures(replace(wall, bore=wall.bore - step))
    assert_allclose(slopes(wall).bore * BORE, rise / (2.0 * step) * BORE, rtol=1e-6, atol=1e-9)


def test_slopes_of_an_isotropic_tube_are_those_of_its_closed_forms(verified):
    radius, t = 0.012, 0.001
    wall = isotropic(radius, t)
    table, inner, outer = slopes(wall), radius - t / 2.0, radius + t / 2.0
    source = "closed form: EA = E pi (b^2 - a^2), EI = E pi (b^4 - a^4)/4 of a round tube"
    stretch, bend = (table.of(figure, "thickness")[0] for figure in ("axial", "bending"))
    verified("wall", "dEA/dt of a metal tube", source, 70e9 * 2.0 * np.pi * outer, stretch, 1e-9, kind="closed form")
    verified("wall", "dEI/dt of a metal tube", source, 70e9 * np.pi * outer**3, bend, 1e-9, kind="closed form")
    bore = table.bore[FIGURES.index("bending")]
    verified(
        "wall",
        "dEI/d(bore) of a metal tube",
        source,
        70e9 * np.pi * (outer**3 - inner**3) / 2.0,
        bore,
        1e-9,
        kind="closed form",
    )
    assert_allclose(table.of("axial", "angle"), 0.0, atol=1e-6 * thin_figures(wall)[0])


@pytest.mark.parametrize("stack", [S3, BURIED, LEAN, WEAK])
def test_moduli_together_make_a_stiffness_of_first_degree(stack):
    wall = stack.wall(BORE)
    table, now = slopes(wall), thin_figures(wall)
    for figure in ("axial", "bending", "twist", "shear", "ring", "collapse", "flattening"):
        total = sum(float((table.of(figure, name) * getattr(wall.elastic, name)).sum()) for name in ("E1", "E2", "G12"))
        assert total == pytest.approx(now[FIGURES.index(figure)], rel=1e-9)


@settings(max_examples=25, deadline=None, derandomize=True)
@given(st.lists(st.tuples(st.floats(-1.5, 1.5), st.integers(1, 3)), min_size=1, max_size=6), st.floats(0.01, 0.06))
def test_earnings_add_up_to_one(plies, bore):
    stack = Stack(tuple(StackPly(SM150, angle, float(turns)) for angle, turns in plies))
    e = earnings(stack, bore)
    for share in (e.along, e.around, e.twist, e.mass):
        assert share.sum() == pytest.approx(1.0, abs=1e-9)
        assert np.all(share > -1e-12)
    assert_allclose(e.cost, 0.0)


def test_earnings_are_what_stiffening_one_ply_gives():
    wall, share = WEAK.wall(BORE), earnings(WEAK, BORE)
    constants = {
        f.name: np.array(np.broadcast_to(getattr(wall.elastic, f.name), wall.angle.shape)) for f in fields(Elastic)
    }
    for name in ("E1", "E2", "G12", "E3", "G13", "G23"):
        constants[name][0] *= 1.001
    gain = thin_figures(replace(wall, elastic=Elastic(**constants))) / thin_figures(wall) - 1.0
    assert share.along[0] == pytest.approx(gain[FIGURES.index("bending")] / 1e-3, rel=3e-3)
    assert share.twist[0] == pytest.approx(gain[FIGURES.index("twist")] / 1e-3, rel=3e-3)


def test_a_batch_of_bores_earns_as_each_alone():
    together = earnings(S3, np.array([0.02, 0.03]))
    for i, bore in enumerate((0.02, 0.03)):
        assert_allclose(together.around[i], earnings(S3, bore).around, rtol=1e-12)


def test_axial_plies_earn_the_bending_and_thin_hoops_the_ring():
    e = earnings(S3, BORE)
    assert e.along[1] > 0.98
    assert e.around[0] + e.around[2] > 0.85
    assert e.mass[1] == pytest.approx(0.865, abs=0.005)


def test_signature_of_what_goes_wrong_is_that_of_the_notes(verified):
    by = {(c.ply, c.what): dict(zip(FIGURES, c.relative, strict=True)) for c in changes(S3, BORE)}
    rows = [
        ("outer hoop missing, mass", -6.9, by[2, "removed"]["mass"], 0.05),
        ("outer hoop missing, EI", -0.5, by[2, "removed"]["bending"], 0.05),
        ("inner hoop missing, EI", -1.7, by[0, "removed"]["bending"], 0.05),
        ("one hoop missing, ring", -70.0, (by[2, "removed"]["ring"] + by[0, "removed"]["ring"]) / 2.0, 0.5),
        ("axial flag cut 5 degrees off, EI", -19.0, by[1, "rotated"]["bending"], 0.5),
    ]
    for case, told, found, digit in rows:
        verified("wall", f"S3: {case} %", NOTES, told, found * 100.0, 0.0, digit, kind="notes")


@pytest.mark.parametrize(("turn", "told"), [(2.0, -3.7), (3.0, -7.9), (5.0, -19.0)])
def test_axial_flags_cut_off_their_angle_lose_what_the_notes_say(turn, told, verified):
    found = next(c for c in changes(S3, BORE, turn=np.deg2rad(turn)) if (c.ply, c.what) == (1, "rotated"))
    verified(
        "wall",
        f"S3: axial flags {turn:g} degrees off, EI %",
        NOTES,
        told,
        found.relative[FIGURES.index("bending")] * 100.0,
        0.02,
        kind="notes",
    )


def test_a_thicker_ply_adds_its_own_mass_and_price():
    ply = replace(SM150, price=31.0)
    stack = Stack((StackPly(TH55, HOOP), StackPly(ply, 0.0, 5), StackPly(TH55, HOOP)))
    found = next(c for c in changes(stack, BORE) if (c.ply, c.what) == (1, "thicker"))
    wide = np.pi * (BORE + 2.0 * TH55.thickness + 1.1 * 5.0 * ply.thickness)
    assert found.cost == pytest.approx(31.0 * 0.5 * wide, rel=0.05)
    assert found.after[FIGURES.index("wall")] == pytest.approx(S3.thickness + 0.5 * ply.thickness, rel=1e-12)


def test_the_only_ply_is_never_taken_out():
    assert {c.what for c in changes(Stack((StackPly(SM150, 0.0, 3),)), BORE)} == {"rotated", "thicker"}


def test_slopes_refuse_a_name_that_is_none():
    with pytest.raises(DesignError, match=r"want\.one_one"):
        slopes(S3.wall(BORE)).of("weight", "angle")
