import math
from pathlib import Path

import pytest

from polewright.documents.files import DocumentError, load
from polewright.documents.holding import Holding, hold_figures
from polewright.documents.spend import spendings
from polewright.documents.values import workpiece
from polewright.errors import NotConverged

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def reedlight():
    design = load(EXAMPLES / "reedlight-7.toml")
    return design, workpiece(design)


def test_split_of_a_hold_adds_up(reedlight):
    for hold in (Holding(head_g=540), Holding(support="hands", lean_deg=55, head_g=540, hose_g_m=55),
                 Holding(support="head on glass", lean_deg=65, head_g=540), Holding(out=2, support="clamped")):
        found = hold_figures(*reedlight, hold)
        assert sum(v for _, v in found.split) == pytest.approx(found.droop_mm, abs=1e-3)


def test_joint_moments_when_lifted_from_the_ground_are_those_of_the_notes(reedlight, verified):
    """Full hose, 0.6 kg in all at the tip; small-deflection figures of the notes, hence the room."""
    found = hold_figures(*reedlight, Holding(support="lifted", rear_mm=0, front_mm=1000, head_g=540, hose_g_m=55))
    for joint, expected in zip(found.joints[::-1], (65.0, 42.0, 24.0, 10.0), strict=True):
        verified("pole", f"moment at the mouth, joint {joint.between}", "workshop notes", expected,
                 abs(joint.mouth_moment_N_m), 0.04, 0.5)
    assert found.hand_moment_N_m == pytest.approx(77.0, rel=0.04)


def test_hands_balance_weight_and_moment(reedlight):
    found = hold_figures(*reedlight, Holding(support="hands", rear_mm=0, front_mm=1000, head_g=540))
    weight = found.mass_g / 1000.0 * 9.80665
    assert found.front_hand_N + found.rear_hand_N == pytest.approx(weight, rel=1e-6)
    assert found.hand_moment_N_m == pytest.approx(-found.rear_hand_N * 1.0, rel=1e-9)


def test_propped_pole_swings_as_the_notes_say(reedlight, verified):
    found = hold_figures(*reedlight, Holding(head_g=540, hose_g_m=55))
    verified("pole", "swing with the head on the glass, full hose, Hz", "workshop notes", 3.4, found.swing_propped_Hz,
             0.02)
    bare = hold_figures(*reedlight, Holding(head_g=540))
    verified("pole", "swing with the head on the glass, no hose, Hz", "workshop notes", 3.95,
             bare.swing_propped_Hz, 0.02)


def test_steeper_lean_droops_less_across_the_axis(reedlight):
    droops = [hold_figures(*reedlight, Holding(support="hands", lean_deg=lean, head_g=540)).droop_mm
              for lean in (0, 30, 60, 85)]
    assert droops == sorted(droops, reverse=True)


def test_straight_down_hangs_straight_but_for_nothing(reedlight):
    found = hold_figures(*reedlight, Holding(support="clamped", lean_deg=-90, head_g=540))
    assert abs(found.droop_mm) < 1e-6
    assert found.tip_up_mm == pytest.approx(-7450.0, rel=1e-4)
    assert not found.bent_aside


def test_wind_sways_with_the_square_of_its_speed_while_small(reedlight):
    light = hold_figures(*reedlight, Holding(support="clamped", out=1, wind_m_s=2)).sway_mm
    strong = hold_figures(*reedlight, Holding(support="clamped", out=1, wind_m_s=4)).sway_mm
    play = hold_figures(*reedlight, Holding(support="clamped", out=1, wind_m_s=0.01)).sway_mm
    assert (strong - play) / (light - play) == pytest.approx(4.0, rel=0.01)


@pytest.mark.parametrize(("hold", "field"), [
    (Holding(out=5), "out"), (Holding(drawn_mm=(100.0,)), "drawn_mm"),
    (Holding(support="hands", rear_mm=1000, front_mm=500), "front_mm"),
    (Holding(drawn_mm=(1600.0, 1450.0, 1450.0, 1450.0)), "drawn"),
    (Holding(support="hands", rear_mm=100, front_mm=9000), "support"),
])
def test_hold_that_makes_no_sense_is_refused_in_words(reedlight, hold, field):
    with pytest.raises(DocumentError) as caught:
        hold_figures(*reedlight, hold)
    assert field in str(caught.value.faults[0])


def test_money_is_best_spent_next_to_the_hands(reedlight):
    rows = spendings(*reedlight)
    assert [r.section for r in rows][:2] == [4, 5]
    assert all(math.isfinite(r.mm_per_cost) for r in rows)
    by_section = {r.section: r for r in rows}
    assert by_section[1].droop_saved_mm < 0.0     # a heavier tip droops more than its stiffness saves
    assert by_section[5].clearance_left_mm is None


@pytest.mark.parametrize("name", ["tallreed-11", "crookbough-5", "peerglass-8"])
def test_every_demo_pole_can_be_held_every_way(name):
    design = load(EXAMPLES / f"{name}.toml")
    work = workpiece(design)
    for support in ("trestles", "clamped", "hands", "lifted", "head on glass"):
        found = hold_figures(design, work, Holding(support=support, lean_deg=50 if support != "lifted" else 0,
                                                   head_g=400, hose_g_m=40, wind_m_s=5))
        assert found.length_mm > 5000.0
        assert found.weakest


@pytest.mark.parametrize("lean", [0.0, 30.0, 89.0, 89.99, 90.0])
def test_head_on_the_glass_is_answered_or_refused_in_words_at_any_lean(reedlight, lean):
    try:
        found = hold_figures(*reedlight, Holding(support="head on glass", lean_deg=lean, head_g=300))
    except (DocumentError, NotConverged):
        assert lean == 0.0      # a level pole's head leaves the wall
        return
    assert found.swing_Hz is None
    assert found.swing_propped_Hz is None or found.swing_propped_Hz > 0.0
