"""Wishes on the balance point and the play at the tip, beside sums by hand and the figures that the check prints."""

import json
from pathlib import Path

import pytest
from numpy.testing import assert_allclose

from polewright.answers.check import check_design
from polewright.documents.files import document_of, load

EXAMPLES = Path(__file__).parents[2] / "examples"
WISHED = {"balance": "balance_at_most_mm", "tip_play": "tip_play_at_most_mm"}


@pytest.fixture(scope="module")
def design():
    return load(EXAMPLES / "reedlight-7.toml")


@pytest.fixture(scope="module")
def check(design):
    return check_design(design)


def with_brief(design, **wishes):
    plain = json.loads(json.dumps(design.plain()))
    plain["brief"] = wishes
    return check_design(document_of(plain))


def test_the_balance_point_is_that_of_the_parts_one_by_one(design, check):
    # each tube at the middle of its length, each clamp at its mouth, the fitting at the tip; mm and g by hand
    lengths = [s.length_mm for s in design.sections]
    overlaps = [j.overlap_mm for j in design.joints]
    mass = moment = butt = 0.0
    for i in reversed(range(len(lengths))):
        tube = check.sections[i].mass * 1e3
        mass += tube
        moment += tube * (butt + lengths[i] / 2.0)
        if i > 0:
            mouth = butt + lengths[i]
            mass += design.joints[i - 1].clamp_g
            moment += design.joints[i - 1].clamp_g * mouth
            butt = mouth - overlaps[i - 1]
        else:
            tip = butt + lengths[0]
    mass, moment = mass + design.tip_fitting_g, moment + design.tip_fitting_g * tip
    found = with_brief(design, balance_at_most_mm=1.0).finding("wish.balance")
    assert_allclose(found.value, moment / mass / 1e3, rtol=2e-4)
    assert not found.holds


def test_play_at_the_tip_is_each_free_tilt_times_its_arm(design, check):
    # clamps centre the mouth: c/(2 L) at the middle of the overlap, arm to the tip; all joints lie beyond the prop
    tip, butt, play = check.pole.extended, 0.0, 0.0
    for i in reversed(range(1, len(design.sections))):
        joint, mouth = design.joints[i - 1], butt + design.sections[i].length_mm / 1e3
        overlap = joint.overlap_mm / 1e3
        bore, outside = check.sections[i].bore_mouth, check.sections[i - 1].outside_butt
        play += (bore - outside) / (2.0 * overlap) * (tip - (mouth - overlap / 2.0))
        butt = mouth - overlap
    found = with_brief(design, tip_play_at_most_mm=1.0).finding("wish.tip_play")
    assert_allclose(found.value, play, rtol=1e-3)


@pytest.mark.parametrize(("code", "field"), WISHED.items())
@pytest.mark.parametrize(("by", "verdict"), [(1.001, "holds"), (0.999, "look")])
def test_a_limit_holds_to_just_below_the_figure_that_the_check_prints(design, check, code, field, by, verdict):
    value = {"balance": check.pole.balance, "tip_play": check.reaches[-1].play}[code]
    assert with_brief(design, **{field: value * 1e3 * by}).finding(f"wish.{code}").verdict == verdict
