"""Whole poles of the workshop notes through `check`: joints as printed, one section more, other fibre, the nest."""

import copy
from pathlib import Path

import pytest
from tests.said import said

from polewright.answers.check import check_design
from polewright.answers.hold import hold_answer
from polewright.documents.files import document_of, load
from polewright.documents.hold import Holding
from polewright.documents.values import workpiece
from polewright.words.reports.check import evaluate as check

EXAMPLES = Path(__file__).parents[2] / "examples"
NOTES = "workshop notes, reference pole"
AT_MOUTH = "workshop notes, reference pole, joints at the outer mouth, play 1 mrad"
# reach: length m, own, loaded, per 100 g [mm], balance m, carry kg m, swing Hz
REACHES = [
    (3.20, 12, 35, 5, 1.30, 1.50, 2.8),
    (4.62, 48, 146, 20, 1.80, 2.09, 1.3),
    (6.04, 147, 394, 49, 2.59, 3.01, 0.81),
    (7.45, 383, 894, 102, 3.69, 4.27, 0.54),
]


def plain_of(name):
    return load(EXAMPLES / f"{name}.toml").plain()


def at_mouth(plain):
    for joint in plain["joints"]:
        joint |= {"pivot_pct": 0.0, "play_mrad": 1.0}
    return plain


def checked(plain):
    return check(document_of(plain))


@pytest.fixture(scope="module")
def printed():
    return checked(at_mouth(plain_of("reedlight-7")))


@pytest.fixture(scope="module")
def standard():
    """Standard carbon throughout, joints at the middle of their overlaps as the product takes them."""
    return checked(plain_of("options/reedlight-7-a"))


@pytest.mark.parametrize("i", range(4))
def test_every_row_of_the_reach_table_as_printed(printed, verified, i):
    """Two per cent or half the last digit; the notes' beam is slender, `check` has shear: 0.3 % more."""
    got, (length, own, loaded, step, balance, carry, swing) = printed.reaches[i], REACHES[i]
    for name, expected, computed, digit in (
        ("length m", length, got.length_mm / 1e3, 0.005),
        ("droop own mm", own, got.droop_own_small_mm, 0.5),
        ("droop loaded mm", loaded, got.droop_loaded_small_mm, 0.5),
        ("per 100 g mm", step, got.added_droop_small_mm_per_100g, 0.5),
        ("balance m", balance, got.balance_mm / 1e3, 0.005),
        ("carry kg m", carry, got.carry_kg_m, 0.005),
        ("swing Hz", swing, got.swing_Hz, 0.005),
    ):
        verified("pole", f"check, {got.name}, {name}", AT_MOUTH, expected, computed, 0.02, digit, kind="notes")


def test_totals_of_the_reference_pole(printed, verified):
    pole = printed.pole
    play = printed.reaches[-1].play_mm
    for name, expected, computed, digit in (
        ("ready to work kg", 1.159, pole.mass_g / 1e3, 5e-4),
        ("extended m", 7.45, pole.extended_mm / 1e3, 5e-3),
        ("closed m", 1.79, pole.closed_mm / 1e3, 5e-3),
        ("play at the tip mm", 14.5, play, 0.05),
        ("droop with 0.6 kg mm", 935, pole.droop_small_mm, 0.5),
    ):
        verified("pole", f"check, {name}", AT_MOUTH, expected, computed, 0.005, digit, kind="notes")


def _shares(report):
    got = {s.part: s.added_pct for s in report.reaches[-1].shares}
    sections = [got[said("share.short.section", number=i)] for i in range(1, 6)]
    return [*sections, sum(got[said("share.short.joint", number=i, outer=i + 1)] for i in range(1, 5))]


def test_shares_of_the_flex_are_printed_for_joints_at_the_middle(printed, verified):
    names = ("S1", "S2", "S3", "S4", "S5", "joints")
    middle = _shares(checked(plain_of("reedlight-7")))
    for name, expected, found in zip(names, (2.3, 10.1, 21.2, 33.0, 26.4, 7.0), middle, strict=True):
        verified(
            "pole",
            f"check, share of the flex, {name}",
            f"{NOTES}, joints at mid-overlap",
            expected,
            found,
            0.02,
            0.05,
            "%",
            kind="notes",
        )
    # at the mouth the joints' arms are shorter: 6.7 and not 7.0 %, as tests/pole/test_joints_at_the_mouth.py sums
    assert _shares(printed)[-1] == pytest.approx(6.70, abs=0.01)
    for name, expected, found in zip(names[:-1], (2.3, 10.1, 21.2, 33.0, 26.4), _shares(printed), strict=False):
        verified(
            "pole",
            f"check, share of the flex, joints at the mouth, {name}",
            NOTES,
            expected,
            found,
            0.02,
            0.05,
            "%",
            kind="notes",
        )


@pytest.mark.parametrize(("speed", "sway"), [(6.0, 171.0), (8.0, 304.0)])
@pytest.mark.parametrize("pivot", [0.0, 50.0])
def test_sway_of_a_pole_without_play(verified, speed, sway, pivot):
    plain = plain_of("reedlight-7")
    for joint in plain["joints"]:
        joint |= {"pivot_pct": pivot, "play_mrad": 0.0}
    design = document_of(plain)
    found = hold_answer(design, workpiece(design), Holding(support="trestles", wind_m_s=speed)).sway * 1e3
    verified(
        "pole",
        f"held on trestles, sway at {speed:g} m/s, no play, joints at {pivot:g} %",
        NOTES,
        sway,
        found,
        0.005,
        unit="mm",
        kind="notes",
    )


@pytest.mark.parametrize(
    ("letter", "droop", "step"),
    [("a", 935, 102), ("b", 814, 90), ("c", 777, 85), ("d", 917, 99), ("e", 710, 79), ("f", 798, 85)],
)
def test_options_with_joints_as_printed(verified, letter, droop, step):
    report = checked(at_mouth(plain_of(f"options/reedlight-7-{letter}")))
    verified(
        "pole",
        f"option {letter.upper()}, joints at the mouth, droop mm",
        AT_MOUTH,
        droop,
        report.pole.droop_small_mm,
        0.005,
        kind="notes",
    )
    verified(
        "pole",
        f"option {letter.upper()}, joints at the mouth, per 100 g mm",
        AT_MOUTH,
        step,
        report.reaches[-1].added_droop_small_mm_per_100g,
        0.01,
        kind="notes",
    )


@pytest.mark.parametrize(
    ("letter", "verdict"),
    [
        ("a", ["wish.droop"]),
        ("b", []),
        ("c", ["wish.material_cost"]),
        ("d", ["wish.droop"]),
        ("e", ["wish.material_cost"]),
        ("f", ["wish.base_outside"]),
    ],
)
def test_each_option_fails_its_brief_where_the_notes_say(letter, verdict):
    answer = check_design(document_of(plain_of(f"options/reedlight-7-{letter}")))
    assert [f.code for f in answer.findings if f.kind == "brief" and not f.holds] == verdict


def test_a_millimetre_on_every_bore_takes_eight_per_cent_off_for_33_grams(standard, verified):
    plain = plain_of("options/reedlight-7-a")
    for mandrel in plain["mandrels"]:
        for place in mandrel["profile"]:
            place["diameter_mm"] += 1.0
    wider, mouths = checked(copy.deepcopy(plain)), checked(at_mouth(plain))
    change = 100.0 * (wider.pole.droop_small_mm / standard.pole.droop_small_mm - 1.0)
    verified("pole", "every bore 1 mm wider, change of droop", NOTES, -8.0, change, 0.02, 0.5, "%", kind="notes")
    verified(
        "pole",
        "every bore 1 mm wider, mass added",
        NOTES,
        33.0,
        wider.pole.mass_g - standard.pole.mass_g,
        0.0,
        0.5,
        "g",
        kind="notes",
    )
    verified(
        "pole",
        "every bore 1 mm wider, joints at the mouth, droop",
        AT_MOUTH,
        862.0,
        mouths.pole.droop_small_mm,
        0.005,
        unit="mm",
        kind="notes",
    )


def _six_sections(plain):
    """The same reach from six sections: one mandrel more at the base, every section shorter alike."""
    base, before = plain["mandrels"][4], plain["mandrels"][3]
    step = base["profile"][0]["diameter_mm"] - before["profile"][0]["diameter_mm"]
    wider = copy.deepcopy(base) | {"id": "wider"}
    for place in wider["profile"]:
        place["diameter_mm"] += step
    plain["mandrels"].append(wider)
    plain["sections"].append(copy.deepcopy(plain["sections"][4]) | {"mandrel": "wider"})
    plain["joints"].append(copy.deepcopy(plain["joints"][3]))
    for section in plain["sections"]:
        section["length_mm"] = (7450.0 + 5 * 200.0) / 6.0
    return plain


def test_a_sixth_section_at_the_same_reach_costs_what_the_notes_say(standard, verified):
    pole = checked(_six_sections(plain_of("options/reedlight-7-a"))).pole
    assert pole.extended_mm == pytest.approx(7450.0)
    for name, expected, computed in (
        ("closes shorter by mm", 210, standard.pole.closed_mm - pole.closed_mm),
        ("mass added g", 110, pole.mass_g - standard.pole.mass_g),
        ("base wider by mm", 2.1, pole.base_outside_mm - standard.pole.base_outside_mm),
        ("droop mm", 862, pole.droop_small_mm),
    ):
        verified("pole", f"a sixth section, {name}", NOTES, expected, computed, 0.02, kind="notes")
    mouths = checked(at_mouth(_six_sections(plain_of("options/reedlight-7-a")))).pole
    verified(
        "pole",
        "a sixth section, joints at the mouth, droop mm",
        AT_MOUTH,
        862,
        mouths.droop_small_mm,
        0.005,
        kind="notes",
    )


def test_high_modulus_fibre_throughout_takes_a_third_off_and_not_what_the_fibre_ratio_says(standard, verified):
    """Six turns for five (five for four at the tip), each mandrel trimmed so that every clearance stays as it was."""
    plain = plain_of("options/reedlight-7-e")
    for section, turns in zip(plain["sections"], (5, 6, 6, 6, 6), strict=True):
        axial = next(w for w in section["stack"] if w["angle_deg"] == 0)
        axial |= {"prepreg": "HM125", "turns": turns}
    for _ in range(4):  # the trim of one bore moves the outside of its tube: the next joint follows
        report = checked(copy.deepcopy(plain))
        for j, (joint, was) in enumerate(zip(report.joints, standard.joints, strict=True)):
            for mandrel in plain["mandrels"][j + 1 :]:
                for place in mandrel["profile"]:
                    place["diameter_mm"] -= joint.clearance_drawn_mm - was.clearance_drawn_mm
    stiff = checked(plain)
    assert [j.clearance_drawn_mm for j in stiff.joints] == pytest.approx(
        [j.clearance_drawn_mm for j in standard.joints], abs=1e-3
    )
    verified(
        "pole",
        "high-modulus fibre throughout, change of droop with 0.6 kg",
        NOTES,
        -35.0,
        100.0 * (stiff.pole.droop_small_mm / standard.pole.droop_small_mm - 1.0),
        0.02,
        0.5,
        "%",
        kind="notes",
    )
