"""The wall of one section as a document: what it says, that it fits its schema, and what it refuses."""

import json

import jsonschema
import pytest
from tests.documents.test_example_poles import EXAMPLES

from polewright.cli.schema import schema_of
from polewright.documents.check import check
from polewright.documents.files import document_of, load
from polewright.documents.wall_figures import wall_figures
from polewright.errors import DesignError

NOTES = "reference pole of the workshop notes"


@pytest.fixture(scope="module")
def design():
    return load(EXAMPLES / "reedlight-7.toml")


@pytest.fixture(scope="module")
def third(design):
    return wall_figures(design, 3)


def test_wall_fits_its_published_schema(third):
    plain = json.loads(third.model_dump_json())
    schema = schema_of("wall-figures")
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(plain, schema)
    assert type(third).model_validate(plain) == third


def test_tiers_stand_beside_each_other_and_agree(third):
    by = {t.name: t for t in third.tiers}
    assert by["EI"].thin == pytest.approx(835, rel=0.02)
    assert by["EI"].exact == pytest.approx(by["EI"].thin, rel=5e-3)
    assert by["ring, 20 mm between plates"].exact == pytest.approx(124, rel=0.02)
    assert by["shear angle from bending"].exact == 0.0


def test_shares_add_up_and_the_axial_plies_earn_the_bending(third):
    for name in ("along_pct", "around_pct", "twist_pct", "mass_pct", "cost_pct"):
        assert sum(getattr(e, name) for e in third.earns) == pytest.approx(100.0, abs=1e-6)
    assert third.earns[1].along_pct > 98.0


def test_stress_through_the_wall_jumps_between_plies_and_is_free_at_the_faces(third):
    first, last = third.through[0], third.through[-1]
    assert first.bending_through_MPa == pytest.approx(0.0, abs=1e-6)
    assert last.cure_through_MPa == pytest.approx(0.0, abs=1e-6)
    assert [p.radius_mm for p in third.through] == sorted(p.radius_mm for p in third.through)
    along = {p.layer: p.bending_along_MPa for p in third.through}
    assert along[2] > 5.0 * along[1]


def test_moment_of_the_stresses_is_the_moment_asked(third):
    """Integral of along-stress times radius over the wall: pi times the integral of s r^2 dr."""
    total = 0.0
    for layer in {p.layer for p in third.through}:
        points = [p for p in third.through if p.layer == layer]
        h = (points[-1].radius_mm - points[0].radius_mm) / 4.0
        values = [p.bending_along_MPa * p.radius_mm**2 for p in points]
        total += (
            3.141592653589793
            * 2.0
            * h
            / 45.0
            * (7 * values[0] + 32 * values[1] + 12 * values[2] + 32 * values[3] + 7 * values[4])
        )
    assert total / 1000.0 == pytest.approx(third.reference_moment_N_m, rel=1e-6)  # N mm to N m


def test_seams_stand_where_the_shop_starts_its_flags(third):
    assert third.seam_starts_deg[0] == 0.0
    assert len(third.seam_starts_deg) == 3
    assert 0.0 < third.seam_peak_to_peak_pct < 5.0
    assert any(line.startswith("holds: seams apart") for line in third.rules)


def test_every_group_says_why_with_a_source(third):
    assert len(third.why) >= 10
    for why in third.why:
        assert why.words
        assert len(why.source) > 20, why.figures


def test_check_gives_the_exact_gap_and_the_thin_one_beside_it(design, verified):
    plain = design.plain()
    bar = {
        "id": "bar",
        "cte_1e6_K": 23.0,
        "profile": [{"at_mm": 0, "diameter_mm": 26.93}, {"at_mm": 2000, "diameter_mm": 26.93}],
    }
    plain |= {"mandrels": [bar], "joints": [], "sections": [plain["sections"][2] | {"mandrel": "bar"}]}
    report = check(document_of(plain))
    s = report.sections[0]
    verified("wall", "hooped S3 on aluminium: exact gap mm", NOTES, 0.032, s.release_gap_mm, 0.0, 0.0005)
    verified("wall", "hooped S3 on aluminium: thin gap mm", NOTES, 0.029, s.release_gap_thin_mm, 0.0, 0.0005)
    verified("wall", "hooped S3: exact hoop expansion of the bore, 1e-6/K", NOTES, 11.0, s.bore_expansion_1e6_K, 0.02)
    verified("wall", "hooped S3: thin hoop expansion, 1e-6/K", NOTES, 12.3, s.hoop_expansion_1e6_K, 0.02)
    assert s.bore_exact_butt_mm - 26.93 == pytest.approx(s.release_gap_mm, abs=1e-9)


def test_check_says_what_ends_each_section_and_lifts_the_pole_flat(design, verified):
    report = check(design)
    for s in report.sections:
        known = [s.bending.fibre_failure_N_m, s.bending.flattening_N_m, s.bending.wrinkling_N_m]
        assert s.bending.least_N_m == min(v for v in known if v is not None)
        assert s.bending.strength_from == "design values"
    lifted = next(f for f in report.findings if f.name == "Weakest place, lifted flat")
    verified("wall", "moment at the hand, lifted flat with a full hose, N m", NOTES, 77.0, lifted.value / 2.5, 0.02)
    assert lifted.verdict == "holds"
    assert lifted.where == "sections[4]"


def test_an_unchanged_section_has_the_same_figures_and_a_changed_one_its_own(design):
    before = check(design).sections
    plain = design.plain()
    plain["sections"][1]["stack"][1]["turns"] = 4.0
    after = check(document_of(plain)).sections
    assert after[3] is before[3]
    assert after[1].bending_EI_N_m2 < 0.9 * before[1].bending_EI_N_m2
    assert after[1].bending.least_N_m < before[1].bending.least_N_m


def test_unknown_strengths_leave_reserves_out_and_keep_the_rest(design):
    plain = design.plain()
    for material in plain["materials"]:
        for name in ("strength_MPa", "Xt_transfer", "Xc_ref_MPa", "Yt_ref_MPa", "Yc_ref_MPa", "S_ref_MPa"):
            material["fibre"].pop(name, None)
    found = wall_figures(document_of(plain), 1)
    assert found.strengths == "unknown"
    assert (found.reserves, found.squeezes, found.stresses) == ((), (), ())
    assert found.first_ply_words == "no strengths are known"
    assert {x.name for x in found.limits} == {"flattening", "wrinkling"}
    assert check(document_of(plain)).sections[0].bending.fibre_failure_N_m is None


def test_a_workshop_adds_its_own_rule_in_the_design(design):
    plain = design.plain()
    plain["setting"]["rules"] = [
        {"id": "thin-blocks", "judge": "block", "limit": 0.0005, "title": "Thin blocks only"},
        {"id": "woven-skin", "is_on": False},
    ]
    names = {f.name: f.verdict for f in check(document_of(plain)).findings}
    assert names["Thin blocks only"] == "look"
    assert "Woven guard on the skin" not in names


@pytest.mark.parametrize("section", [0, 6, -1])
def test_a_section_that_is_not_there_is_refused(design, section):
    with pytest.raises(DesignError, match="a section from 1 to 5"):
        wall_figures(design, section)


@pytest.mark.parametrize("name", ["tallreed-11", "crookbough-5", "peerglass-8"])
def test_every_demo_pole_has_its_walls_in_full(name):
    found = load(EXAMPLES / f"{name}.toml")
    figures = wall_figures(found, len(found.sections))
    assert figures.limits
    assert figures.reserves
    assert figures.last_ply_N_m > 0.0


@pytest.mark.parametrize(
    ("stack", "is_resin"),
    [
        ([("TH55", 90.0, 8.0)], True),
        ([("SM150", 0.0, 5.0)], False),
        ([("SM150", 45.0, 2.0), ("SM150", -45.0, 2.0)], True),
        ([("SM150", 30.0, 4.0)], True),
        ([("SM150", 29.0, 4.0)], False),
        ([("TH55", 0.0, 1.0)], False),
        ([("SM150", 0.0, 0.5), ("TH55", 90.0, 0.7)], False),
        ([("SM150", 0.0, 40.0), ("TH55", 90.0, 20.0)], False),
    ],
)
def test_odd_walls_are_answered_and_resin_counts_where_no_fibre_runs_along(design, stack, is_resin):
    plain = design.plain()
    section = plain["sections"][2] | {"stack": [{"prepreg": p, "angle_deg": a, "turns": t} for p, a, t in stack]}
    odd = document_of(plain | {"sections": [section], "joints": []})
    bending = check(odd).sections[0].bending
    assert (bending.resin_failure_N_m is not None) is is_resin
    assert 0.0 < bending.least_N_m < 1e5
    assert wall_figures(odd, 1).section == 1
