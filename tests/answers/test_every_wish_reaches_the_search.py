"""Every wish of a brief file reaches the search, is kept by the pole found, and is named where it is in the way."""

import tomllib
from pathlib import Path

import numpy as np
import pytest
import tomli_w
from numpy.testing import assert_allclose
from tests.said import said

from polewright.answers.check import check_design
from polewright.answers.find import Finder
from polewright.answers.options import search_values
from polewright.documents.files import load
from polewright.words import default_reader
from polewright.words.reports.find import find, find_report
from polewright.words.reports.plain import plain_text

pytestmark = pytest.mark.slow

BRIEFS = Path(__file__).parents[2] / "examples" / "briefs"


@pytest.fixture
def written(tmp_path):
    """A brief of two sections in a file, with more in its rooms; read back as a document."""

    def write(**rooms):
        plain = tomllib.loads((BRIEFS / "reedlight-7.toml").read_text(encoding="utf-8"))
        plain["brief"] = {"reach_at_least_mm": 3000}
        plain["mandrels"] = plain["mandrels"][:3]
        plain["rolls"]["most_plies"] = 6
        plain["rolls"]["plies"] = [p for p in plain["rolls"]["plies"] if p["prepreg"] != "HM125"]
        del plain["sections"]
        for room, fields in rooms.items():
            if isinstance(fields, dict):
                plain[room].update(fields)
            else:
                plain[room] = fields
        (tmp_path / "brief.toml").write_text(tomli_w.dumps(plain), encoding="utf-8")
        return load(tmp_path / "brief.toml")

    return write


def test_wishes_at_other_loads_and_reaches_swing_and_what_walls_bear_come_in_si_units(written):
    asked = search_values(
        written(
            brief={
                "swing_at_least_Hz": 1.5,
                "clamp_hold_N": 200.0,
                "twist_at_least_N_m2": 40.0,
                "droop": [
                    {"tip_total_g": 600, "at_most_mm": 90},
                    {"tip_total_g": 900, "at_most_mm": 150},
                    {"out": 1, "tip_total_g": 20, "wanted_mm_per_100g": 9.0, "within_pct": 20},
                ],
            },
            rolls={
                "moment_least_N_m": 30.0,
                "plates_squeeze_least_N": 40.0,
                "hand_squeeze_least_N": 50.0,
                "pads_squeeze_least_N": 60.0,
            },
        )
    )
    b, bears = asked.brief, asked.shop.walls.bears
    assert (b.tip_mass, b.droop_at_most, b.swing_at_least) == pytest.approx((0.6, 0.09, 1.5))
    assert b.swing_mass == pytest.approx(0.66)  # the swing load hangs there besides the tip fitting of 60 g
    assert [(w.tip_mass, w.droop_at_most, w.out) for w in b.droops] == [pytest.approx((0.9, 0.15, 0))]
    # two sections: with one drawn out all is out, and no pole weighs less at its tip than its fitting
    assert b.flex_wanted == pytest.approx(9.0e-3 / (0.1 * 9.80665))
    assert b.flexes == ()
    assert (bears.moment, bears.plates, bears.fist, bears.pad) == (30.0, 40.0, 50.0, 60.0)
    # T = F/(2 pi mu) with the workshop's wet friction of 0.12
    assert_allclose(bears.band, 200.0 / (2.0 * np.pi * 0.12))
    assert bears.spares_tip
    assert asked.shop.walls.rules.least_twist == 40.0


def test_a_brief_with_every_wish_is_met_down_to_the_certificate(written):
    free = find(written(aim="mass", brief={"droop": [{"tip_total_g": 600, "at_most_mm": 100}]})).report.best
    limits = {
        "closed_at_most_mm": 1900,
        "mass_at_most_g": 700,
        "carry_at_most_kg_m": 1.2,
        "base_outside_at_most_mm": 32,
        "material_cost_at_most": 120,
        "swing_at_least_Hz": free.swing_Hz * 1.04,
        "clamp_hold_N": 150.0,
        "balance_at_most_mm": 2000.0,
        "tip_play_at_most_mm": 1.9,
        "droop": [{"tip_total_g": 600, "at_most_mm": 100}, {"tip_total_g": 1200, "at_most_mm": 190}],
    }
    answer = find(written(aim="mass", brief=limits, rolls={"moment_least_N_m": 20.0, "pads_squeeze_least_N": 30.0}))
    best = answer.report.best
    assert best.misses == ()
    assert best.swing_Hz >= free.swing_Hz * 1.04
    assert best.mass_g > free.mass_g
    assert best.gap_pct <= 1.0
    findings = check_design(answer.best).findings
    assert {f.verdict for f in findings if f.kind == "brief"} == {"holds"}
    assert len([f for f in findings if f.kind == "brief"]) == 11
    windows = [f for f in findings if f.code == "clamp_window"]
    assert [w.verdict for w in windows] == ["holds"]
    for count in answer.report.counts:
        assert count.in_all == count.evaluated + sum(count.excluded.values())
    assert not any("not weighed" in n for n in answer.report.notes)


@pytest.mark.parametrize(
    ("rooms", "wish"),
    [
        ({"brief": {"swing_at_least_Hz": 40.0}}, "swing"),
        (
            {"brief": {"droop": [{"tip_total_g": 600, "at_most_mm": 500}, {"tip_total_g": 900, "at_most_mm": 1}]}},
            "further_droop",
        ),
        ({"rolls": {"moment_least_N_m": 5000.0}}, "strength"),
        ({"rolls": {"pads_squeeze_least_N": 20000.0}}, "squeeze"),
        ({"brief": {"clamp_hold_N": 20000.0}}, "clamp"),
        ({"brief": {"twist_at_least_N_m2": 90000.0}}, "twist"),
        ({"brief": {"balance_at_most_mm": 500.0}}, "balance"),
        ({"brief": {"tip_play_at_most_mm": 0.2}}, "tip_play"),
    ],
)
def test_a_wish_that_no_pole_meets_is_named_with_a_way_out(written, rooms, wish):
    finder = Finder(written(**rooms))
    finder.search()
    answer = finder.answer()
    assert answer.best is None
    assert [each.wish for each in answer.conflict] == [wish]
    assert (answer.ways[0].wish, answer.ways[0].is_possible) == (wish, True)
    assert answer.ways[0].pole is not None
    assert not answer.is_hopeless
    report = find_report(answer, default_reader())
    assert plain_text(said(f"find.wish.{wish}")) in report.conflict[0]
