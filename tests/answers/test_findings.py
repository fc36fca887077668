"""Findings of a design by code and subject: each wish beside its figure, each joint, each section, each rule."""

import json
from pathlib import Path

import pytest
from numpy.testing import assert_allclose

from polewright.answers.check import check_design
from polewright.answers.wishes import WISHES, Figures, wish_limit
from polewright.documents.brief import Brief
from polewright.documents.files import document_of, load
from polewright.units import si

EXAMPLES = Path(__file__).parents[2] / "examples"
LIMITS = {
    "reach_at_least_mm": 9000.0,
    "closed_at_most_mm": 1000.0,
    "mass_at_most_g": 1000.0,
    "carry_at_most_kg_m": 1.0,
    "balance_at_most_mm": 500.0,
    "base_outside_at_most_mm": 20.0,
    "material_cost_at_most": 10.0,
    "twist_at_least_N_m2": 500.0,
    "tip_play_at_most_mm": 1.0,
    "swing_at_least_Hz": 20.0,
}


@pytest.fixture(scope="module")
def design():
    return load(EXAMPLES / "reedlight-7.toml")


def with_brief(design, **wishes):
    plain = json.loads(json.dumps(design.plain()))
    plain["brief"] = wishes
    return document_of(plain)


def test_every_wish_of_a_brief_with_one_number_is_in_the_table():
    limits = set(Brief.model_fields) - {"use", "droop", "clamp_hold_N"}
    assert {wish.field for wish in WISHES} == limits == set(LIMITS)
    assert len({wish.code for wish in WISHES}) == len(WISHES)


@pytest.mark.parametrize("wish", WISHES, ids=lambda wish: wish.code)
def test_a_wish_that_cannot_be_met_is_to_be_looked_at_with_its_remedies(design, wish):
    asked = with_brief(design, **{wish.field: LIMITS[wish.field]})
    check = check_design(asked)
    found = check.finding(wish.code)
    figures = Figures(check.sections, check.joints, check.reaches, check.pole)
    assert not found.holds
    assert tuple(message.code for message in found.remedies) == wish.remedies
    assert_allclose(found.limit, si(wish.field, LIMITS[wish.field]), rtol=1e-14)
    assert found.limit == wish_limit(asked, wish.code)
    assert found.value == wish.figure(figures)
    assert (found.value < found.limit) == wish.is_least


def test_figures_of_wishes_are_those_of_the_pole(design):
    check = check_design(design)
    p, figures = check.pole, Figures(check.sections, check.joints, check.reaches, check.pole)
    weakest = min(s.twist_GJ for s in check.sections)
    last = check.reaches[-1]
    wanted = (p.extended, p.closed, p.mass, p.carry, p.balance, p.base_outside)
    wanted += (p.material_cost, weakest, last.play, last.swing)
    assert tuple(wish.figure(figures) for wish in WISHES) == wanted


def test_wishes_on_droop_and_flex_are_known_by_their_place(design):
    droop = [{"out": 0, "tip_total_g": 600.0, "at_most_mm": 1e4}, {"out": 2, "wanted_mm_per_100g": 1.0}]
    found = {f.code: f for f in check_design(with_brief(design, droop=droop)).findings if f.kind == "brief"}
    assert (found["wish.droop"].subjects.wish, found["wish.flex"].subjects.wish) == (0, 1)
    assert (found["wish.droop"].holds, found["wish.flex"].holds) == (True, False)
    assert found["wish.flex"].details["out"] == 2
    assert [m.code for m in found["wish.flex"].remedies] == ["wish.remedy.stiffer"]


def test_flex_is_what_the_test_load_adds_over_its_weight(design):
    reach = check_design(design).reaches[-1]
    force = reach.load * 9.80665
    assert_allclose(reach.added_droop * force, reach.droop_loaded - reach.droop_own, rtol=1e-12)


def test_every_section_and_joint_is_the_subject_of_its_own_checks(design):
    check = check_design(design)
    by_code = {code: [f for f in check.findings if f.code == code] for code in ("fit", "clamp_window", "release")}
    assert [f.subjects.joints for f in by_code["fit"]] == [(1,), (2,), (3,), (4,)]
    assert [f.subjects.sections for f in by_code["fit"]] == [(1, 2), (2, 3), (3, 4), (4, 5)]
    assert [f.subjects.sections for f in by_code["clamp_window"]] == [(2,), (3,), (4,), (5,)]
    assert [f.subjects.sections for f in by_code["release"]] == [(1,), (2,), (3,), (4,), (5,)]


def test_a_rule_speaks_once_of_all_sections_of_which_it_says_the_same(design):
    found = [f for f in check_design(design).findings if f.subjects.rule == "least-wall"]
    assert [f.subjects.sections for f in found] == [(1, 2, 3, 4, 5)]
    assert found[0].value == pytest.approx(min(s.wall for s in check_design(design).sections), rel=1e-12)


def test_a_tight_fit_is_put_right_in_the_order_worth_trying(design):
    plain = json.loads(json.dumps(design.plain()))
    plain["setting"]["clearance_least_mm"] = 1.0
    found = next(f for f in check_design(document_of(plain)).findings if f.code == "fit")
    assert not found.holds
    assert [m.code for m in found.remedies][-2:] == ["fit.remedy.pair", "fit.remedy.no_sanding"]
