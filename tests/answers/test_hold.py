import math
from pathlib import Path

import pytest

from polewright.answers.hold import hold_answer
from polewright.answers.service import beaufort, heat_of
from polewright.answers.spend import spendings
from polewright.documents.files import DocumentError, load
from polewright.documents.hold import Holding
from polewright.documents.values import workpiece
from polewright.errors import NotConverged
from polewright.pole.margins import Place
from polewright.pole.wind import drawn_to

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def reedlight():
    design = load(EXAMPLES / "reedlight-7.toml")
    return design, workpiece(design)


def test_split_of_a_hold_adds_up(reedlight):
    for hold in (
        Holding(head_g=540),
        Holding(support="hands", lean_deg=55, head_g=540, hose_g_m=55),
        Holding(support="head on glass", lean_deg=65, head_g=540),
        Holding(out=2, support="clamped"),
    ):
        found = hold_answer(*reedlight, hold)
        assert sum(part.droop for part in found.split) == pytest.approx(found.droop, abs=1e-6)


def test_joint_moments_when_lifted_from_the_ground_are_those_of_the_notes(reedlight, verified):
    """Full hose, 0.6 kg in all at the tip; small-deflection figures of the notes, hence the room."""
    found = hold_answer(*reedlight, Holding(support="lifted", rear_mm=0, front_mm=1000, head_g=540, hose_g_m=55))
    for joint, expected in zip(found.joints[::-1], (65.0, 42.0, 24.0, 10.0), strict=True):
        verified(
            "pole",
            f"moment at the mouth, joint {joint.between}",
            "workshop notes",
            expected,
            abs(joint.mouth_moment),
            0.04,
            0.5,
            kind="notes",
        )
    assert found.hand_moment == pytest.approx(77.0, rel=0.04)


def test_hands_balance_weight_and_moment(reedlight):
    found = hold_answer(*reedlight, Holding(support="hands", rear_mm=0, front_mm=1000, head_g=540))
    weight = found.mass * 9.80665
    assert found.front_hand + found.rear_hand == pytest.approx(weight, rel=1e-6)
    assert found.hand_moment == pytest.approx(-found.rear_hand * 1.0, rel=1e-9)


def test_propped_pole_swings_as_the_notes_say(reedlight, verified):
    found = hold_answer(*reedlight, Holding(head_g=540, hose_g_m=55))
    verified(
        "pole",
        "swing with the head on the glass, full hose, Hz",
        "workshop notes",
        3.4,
        found.swing_propped,
        0.02,
        kind="notes",
    )
    bare = hold_answer(*reedlight, Holding(head_g=540))
    verified(
        "pole",
        "swing with the head on the glass, no hose, Hz",
        "workshop notes",
        3.95,
        bare.swing_propped,
        0.02,
        kind="notes",
    )


def test_steeper_lean_droops_less_across_the_axis(reedlight):
    droops = [
        hold_answer(*reedlight, Holding(support="hands", lean_deg=lean, head_g=540)).droop for lean in (0, 30, 60, 85)
    ]
    assert droops == sorted(droops, reverse=True)


def test_straight_down_hangs_straight_but_for_nothing(reedlight):
    found = hold_answer(*reedlight, Holding(support="clamped", lean_deg=-90, head_g=540))
    assert abs(found.droop) < 1e-9
    assert found.tip_up == pytest.approx(-7.45, rel=1e-4)
    assert not found.bent_aside


def test_wind_sways_with_the_square_of_its_speed_while_small(reedlight):
    light = hold_answer(*reedlight, Holding(support="clamped", out=1, wind_m_s=2)).sway
    strong = hold_answer(*reedlight, Holding(support="clamped", out=1, wind_m_s=4)).sway
    play = hold_answer(*reedlight, Holding(support="clamped", out=1, wind_m_s=0.01)).sway
    assert (strong - play) / (light - play) == pytest.approx(4.0, rel=0.01)


@pytest.mark.parametrize(
    ("hold", "field"),
    [
        (Holding(out=5), "out"),
        (Holding(drawn_mm=(100.0,)), "drawn_mm"),
        (Holding(support="hands", rear_mm=1000, front_mm=500), "front_mm"),
        (Holding(drawn_mm=(1600.0, 1450.0, 1450.0, 1450.0)), "drawn"),
        (Holding(support="hands", rear_mm=100, front_mm=9000), "support"),
    ],
)
def test_hold_that_makes_no_sense_is_refused_with_a_message(reedlight, hold, field):
    with pytest.raises(DocumentError) as caught:
        hold_answer(*reedlight, hold)
    assert field in str(caught.value.faults[0])


def test_money_is_best_spent_next_to_the_hands(reedlight):
    rows = spendings(*reedlight)
    assert [r.section for r in rows][:2] == [4, 5]
    assert all(math.isfinite(r.per_cost) for r in rows)
    by_section = {r.section: r for r in rows}
    assert by_section[1].droop_saved < 0.0  # a heavier tip droops more than its stiffness saves
    assert by_section[5].clearance_left is None


@pytest.mark.parametrize("name", ["tallreed-11", "crookbough-5", "peerglass-8"])
def test_every_demo_pole_can_be_held_every_way(name):
    design = load(EXAMPLES / f"{name}.toml")
    work = workpiece(design)
    for support in ("trestles", "clamped", "hands", "lifted", "head on glass"):
        found = hold_answer(
            design,
            work,
            Holding(support=support, lean_deg=50 if support != "lifted" else 0, head_g=400, hose_g_m=40, wind_m_s=5),
        )
        assert found.length > 5.0
        assert found.weakest


@pytest.mark.parametrize("lean", [0.0, 30.0, 89.0, 89.99, 90.0])
def test_head_on_the_glass_is_answered_or_refused_with_a_message_at_any_lean(reedlight, lean):
    try:
        found = hold_answer(*reedlight, Holding(support="head on glass", lean_deg=lean, head_g=300))
    except (DocumentError, NotConverged):
        assert lean == 0.0  # a level pole's head leaves the wall
        return
    assert found.swing is None
    assert found.swing_propped is None or found.swing_propped > 0.0


def test_joints_press_against_what_their_walls_bear(reedlight):
    found = hold_answer(*reedlight, Holding(support="lifted", rear_mm=0, front_mm=1000, head_g=540, hose_g_m=55))
    worst = found.joints[-1]
    assert 300.0 < worst.front < worst.front_bears < 10_000.0
    assert -worst.back < worst.back_bears
    press = next(m for m in found.margins if m.place == Place("joint", 4, "contact_inner_end"))
    assert press.load == pytest.approx(2.5 * -worst.back, rel=1e-9)
    assert press.limit == pytest.approx(worst.back_bears, rel=1e-12)
    assert found.pressed is None


def test_a_joint_too_short_for_its_load_is_named_with_what_helps(reedlight):
    design = reedlight[0]
    joints = tuple(j.model_copy(update={"overlap_mm": 40.0}) for j in design.joints)
    short = design.model_copy(update={"joints": joints})
    found = hold_answer(short, workpiece(short), Holding(support="hands", head_g=540))
    assert found.pressed is not None
    assert found.pressed.factor < 1.0
    assert found.weakest.place.kind == "joint"


@pytest.mark.parametrize(("temperature", "kept"), [(50.0, 68), (65.0, 56), (75.0, 45), (85.0, 32)])
def test_a_warm_wet_pole_keeps_what_the_notes_say(reedlight, temperature, kept, verified):
    design, work = reedlight
    verified(
        "pole",
        f"resin kept by the pole at {temperature:g} degrees, wet",
        "workshop notes",
        kept / 100.0,
        heat_of(design, 273.15 + temperature).retention,
        0.02,
        kind="notes",
    )
    found = hold_answer(design, work, Holding(support="clamped", temperature_C=temperature))
    assert found.warmth.heat.retention == pytest.approx(kept / 100.0, abs=0.01)
    assert found.warmth.heat.limit == pytest.approx(273.15 + 75.0)
    assert found.warmth.is_too_warm == (temperature > 75.0)


def test_heat_softens_bending_a_little_and_what_a_joint_bears_much(reedlight):
    cold, hot = (hold_answer(*reedlight, Holding(support="clamped", head_g=540, temperature_C=t)) for t in (None, 80.0))
    assert 1.0 < hot.droop / cold.droop < 1.05
    assert hot.joints[-1].front_bears < 0.9 * cold.joints[-1].front_bears
    assert hot.mass == cold.mass


def test_a_pole_is_safe_no_further_out_in_more_wind_or_heat(reedlight):
    def reach(**more):
        return hold_answer(*reedlight, Holding(support="clamped", lean_deg=80, head_g=540, **more)).safe.reach

    winds = [reach(wind_m_s=v) for v in (0, 12, 20, 30)]
    assert winds == sorted(winds, reverse=True)
    assert winds[-1] < winds[0]
    assert reach(wind_m_s=20, temperature_C=85) < reach(wind_m_s=20)


def test_safe_reach_is_where_a_margin_reaches_one(reedlight):
    """Asked again at that reach, the nearest margin of the hold, sway taken alone, is one or a little more."""
    hold = Holding(support="clamped", lean_deg=90, head_g=540, wind_m_s=30)
    safe = hold_answer(*reedlight, hold).safe
    drawn = drawn_to(reedlight[1].pole, safe.reach)
    again = hold_answer(*reedlight, hold.model_copy(update={"drawn_mm": tuple(float(1e3 * d) for d in drawn)}))
    assert again.margins[0].factor == pytest.approx(1.0, abs=0.02)
    assert safe.place == again.margins[0].place


@pytest.mark.parametrize(("speed", "force"), [(0.0, 0), (1.55, 2), (6.0, 4), (12.0, 6), (40.0, 12)])
def test_wind_has_the_number_that_the_sea_gives_it(speed, force):
    assert beaufort(speed) == force


@pytest.mark.parametrize(
    ("hold", "field"),
    [
        (Holding(temperature_C=100.0), "temperature_C"),
        (Holding(support="head on glass", lean_deg=60, push_N=5.0), "push_N"),
        (Holding(support="head on glass", lean_deg=60, slide="stuck", push_N=60.0), "support.push"),
        (Holding(support="head on glass", lean_deg=10, slide="up"), "support.friction"),
    ],
)
def test_heat_and_heads_that_cannot_be_are_refused_at_their_field(reedlight, hold, field):
    with pytest.raises(DocumentError) as caught:
        hold_answer(*reedlight, hold)
    assert caught.value.faults[0][0] == field


@pytest.mark.parametrize("support", ["trestles", "clamped", "hands", "lifted"])
def test_a_push_or_slide_without_a_head_on_the_glass_is_refused_not_ignored(reedlight, support):
    with pytest.raises(DocumentError) as caught:
        hold_answer(*reedlight, Holding(support=support, push_N=5.0, slide="stuck"))
    assert [(field, want.code) for field, _, want in caught.value.faults] == [
        ("push_N", "want.no_push_off_glass"),
        ("slide", "want.no_slide_off_glass"),
    ]


def test_a_stuck_head_says_how_the_glass_holds_it(reedlight):
    found = hold_answer(*reedlight, Holding(support="head on glass", lean_deg=60, slide="stuck", push_N=4.0))
    assert found.glass_push == pytest.approx(4.0, rel=1e-9)
    assert abs(found.glass_drag) <= 0.4 * 4.0
    assert found.safe.state == "on_glass"
    assert found.safe.reach is None
