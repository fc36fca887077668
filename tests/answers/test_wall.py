"""The wall of one section: its answer, the document that it is published as, and what is refused."""

import json
import math

import jsonschema
import pytest
from tests.documents.test_example_poles import EXAMPLES
from tests.said import said

from polewright.answers.check import check_design
from polewright.answers.wall_detail import wall_answer
from polewright.cli.wall import run
from polewright.codes import Message
from polewright.documents.files import document_of, load
from polewright.errors import DesignError
from polewright.units import to
from polewright.words import Reader, default_reader
from polewright.words.findings import ruling_text
from polewright.words.reports.check import evaluate as check
from polewright.words.reports.plain import plain_text
from polewright.words.reports.wall import wall_figures
from polewright.words.wall import limit_parts
from polewright.workshop import schema_of

NOTES = "reference pole of the workshop notes"


@pytest.fixture(scope="module")
def design():
    return load(EXAMPLES / "reedlight-7.toml")


@pytest.fixture(scope="module")
def third(design):
    return wall_answer(design, 3)


@pytest.fixture(scope="module")
def published(third):
    return wall_figures(third, default_reader())


def test_wall_fits_its_published_schema(published):
    plain = json.loads(published.model_dump_json())
    schema = schema_of("wall-figures")
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(plain, schema)
    assert type(published).model_validate(plain) == published


def test_published_figures_are_the_answers_in_the_units_of_their_names(third, published):
    """Each kind of figure once: a wrong unit, column or sign on the way out shows here."""
    assert published.wall_mm == pytest.approx(third.wall * 1e3)
    assert published.mass_per_length_g_m == pytest.approx(third.mass_per_length * 1e3)
    by = {t.key: (t, shown) for t, shown in zip(third.tiers, published.tiers, strict=True)}
    for key, unit, factor in (("axial_free", "kN", 1e-3), ("bending", "N m2", 1.0), ("ring", "N/mm", 1e-3),
                              ("collapse", "MPa", 1e-6), ("stretch_twist", "1/m", 1.0)):  # fmt: skip
        tier, shown = by[key]
        assert shown.unit == unit
        assert [shown.thin, shown.exact] == pytest.approx([tier.thin * factor, tier.exact * factor])
    clamp = third.round.clamp
    assert published.band_least_N < published.band_most_N
    assert (published.band_least_N, published.band_most_N) == pytest.approx((clamp.least, clamp.most))
    assert [(c.kind, c.ends) for c in published.collars] == [(c.kind, c.ends) for c in third.round.collars]
    for window, shown in zip(third.round.collars, published.collars, strict=True):
        assert (shown.least_N, shown.most_N, shown.is_open) == pytest.approx(
            (window.least, window.most, window.is_open)
        )
        assert (shown.crack_N, shown.fibre_N, shown.collapse_N) == pytest.approx(
            (window.crack, window.fibre, window.collapse)
        )
    squeeze, shown = third.round.squeezes[1], published.squeezes[1]
    assert (shown.force_N, shown.closure_mm, shown.stiffness_N_mm) == pytest.approx(
        (squeeze.force, squeeze.closure * 1e3, squeeze.stiffness * 1e-3)
    )
    for limit, shown in zip(third.limits, published.limits, strict=True):
        factor = 1.0 if limit.under == "bending" else 1e-3
        assert shown.unit == ("N m" if limit.under == "bending" else "kN")
        assert (shown.perfect, shown.load) == pytest.approx((limit.perfect * factor, limit.load * factor))
    row, shown = third.strength.stresses[4], published.stresses[4]
    assert shown.angle_deg == pytest.approx(to(row.angle, "°"))
    assert (shown.cure_along_fibre_MPa, shown.cure_across_MPa, shown.cure_shear_MPa) == pytest.approx(
        [v * 1e-6 for v in row.cure], abs=1e-9
    )
    assert (shown.bending_along_fibre_MPa, shown.bending_across_MPa, shown.bending_shear_MPa) == pytest.approx(
        [v * 1e-6 for v in row.bending], abs=1e-9
    )
    point, shown = third.through[7], published.through[7]
    assert (shown.radius_mm, shown.bending_along_MPa, shown.cure_around_MPa) == pytest.approx(
        (point.radius * 1e3, point.bending[0] * 1e-6, point.cure[1] * 1e-6)
    )
    assert published.first_ply_N_m == third.strength.first.moment
    assert published.last_ply_N_m == third.strength.last
    cool = third.cool
    assert (published.cold_bore_mm, published.cold_outside_mm, published.length_change_mm) == pytest.approx(
        (cool.bore * 1e3, cool.outside * 1e3, cool.length_change * 1e3)
    )
    assert published.release_gap_mm == pytest.approx(cool.gap * 1e3)
    assert published.pull_off_at_most_kN == pytest.approx(cool.pull_off * 1e-3)
    assert published.twist_after_cure_deg == pytest.approx(to(cool.twist, "°"))
    assert published.seam_peak_to_peak_pct == pytest.approx(third.seams.peak_to_peak * 100.0)
    earned, change, slope = third.earns[1], third.changes[3], third.slopes[8]
    assert (published.earns[1].along_pct, published.earns[1].around_pct, published.earns[1].mass_pct) == pytest.approx(
        (earned.along * 100.0, earned.around * 100.0, earned.mass * 100.0)
    )
    assert (published.changes[3].bending_pct, published.changes[3].wall_mm) == pytest.approx(
        (change.bending * 100.0, change.wall * 1e3)
    )
    assert published.changes[3].cost_per_m == change.cost
    assert published.slopes[8].shear_pct == pytest.approx(slope.shear * 100.0)


def test_published_figures_stay_metric_for_a_reader_of_inches(third, published):
    assert wall_figures(third, Reader(default_reader().language, "inch")) == published


def test_tiers_stand_beside_each_other_and_agree(third):
    by = {t.key: t for t in third.tiers}
    assert by["bending"].thin == pytest.approx(835, rel=0.02)
    assert by["bending"].exact == pytest.approx(by["bending"].thin, rel=5e-3)
    assert by["ring"].exact == pytest.approx(124e3, rel=0.02)
    assert by["bend_shear"].exact == 0.0


def test_shares_add_up_and_the_axial_plies_earn_the_bending(third):
    for name in ("along", "around", "twist", "mass", "cost"):
        assert sum(getattr(e, name) for e in third.earns) == pytest.approx(1.0, abs=1e-8)
    assert third.earns[1].along > 0.98


def test_stress_through_the_wall_jumps_between_plies_and_is_free_at_the_faces(third):
    first, last = third.through[0], third.through[-1]
    assert first.bending[2] == pytest.approx(0.0, abs=1.0)
    assert last.cure[2] == pytest.approx(0.0, abs=1.0)
    assert [p.radius for p in third.through] == sorted(p.radius for p in third.through)
    along = {p.layer: p.bending[0] for p in third.through}
    assert along[2] > 5.0 * along[1]


def test_moment_of_the_stresses_is_the_moment_asked(third):
    """Integral of along-stress times radius over the wall: pi times the integral of s r^2 dr."""
    total = 0.0
    for layer in {p.layer for p in third.through}:
        points = [p for p in third.through if p.layer == layer]
        h = (points[-1].radius - points[0].radius) / 4.0
        values = [p.bending[0] * p.radius**2 for p in points]
        boole = 7 * values[0] + 32 * values[1] + 12 * values[2] + 32 * values[3] + 7 * values[4]
        total += math.pi * 2.0 * h / 45.0 * boole
    assert total == pytest.approx(third.reference_moment, rel=1e-6)


def test_seams_stand_where_the_shop_starts_its_flags(third):
    assert third.seams.starts[0] == 0.0
    assert len(third.seams.starts) == 3
    assert 0.0 < third.seams.peak_to_peak < 0.05


def test_a_wall_of_shares_out_of_plies_says_what_each_change_is(third):
    assert [(c.ply, c.what) for c in third.changes[:3]] == [(1, "removed"), (1, "rotated"), (1, "thicker")]
    assert third.changes[0].wall < 0.0 < third.changes[2].wall


def test_what_ends_the_wall_first_is_its_least_load(third):
    for under, name in third.first:
        limits = [limit for limit in third.limits if limit.under == under]
        assert min(limits, key=lambda limit: limit.load).name == name
        assert [limit.name for limit in limits if limit.is_first] == [name]


def test_every_group_gives_its_reason_with_a_source(published):
    assert len(published.why) >= 10
    for why in published.why:
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
    verified("wall", "hooped S3 on aluminium: exact gap mm", NOTES, 0.032, s.release_gap_mm, 0.0, 0.0005, kind="notes")
    verified(
        "wall", "hooped S3 on aluminium: thin gap mm", NOTES, 0.029, s.release_gap_thin_mm, 0.0, 0.0005, kind="notes"
    )
    verified(
        "wall",
        "hooped S3: exact hoop expansion of the bore, 1e-6/K",
        NOTES,
        11.0,
        s.bore_expansion_1e6_K,
        0.02,
        kind="notes",
    )
    verified("wall", "hooped S3: thin hoop expansion, 1e-6/K", NOTES, 12.3, s.hoop_expansion_1e6_K, 0.02, kind="notes")
    assert s.bore_exact_butt_mm - 26.93 == pytest.approx(s.release_gap_mm, abs=1e-9)


def test_check_says_what_ends_each_section_and_lifts_the_pole_flat(design, verified):
    report = check(design)
    for s in report.sections:
        known = [s.bending.fibre_failure_N_m, s.bending.flattening_N_m, s.bending.wrinkling_N_m]
        assert s.bending.least_N_m == min(v for v in known if v is not None)
        assert s.bending.strength_from == "design values"
    lifted = next(f for f in report.findings if f.name == plain_text(said("lifted.name")))
    verified(
        "wall",
        "moment at the hand, lifted flat with a full hose, N m",
        NOTES,
        77.0,
        lifted.value / 2.5,
        0.02,
        kind="notes",
    )
    assert lifted.verdict == "holds"
    assert lifted.where == "sections[4]"


def test_an_unchanged_section_has_the_same_figures_and_a_changed_one_its_own(design):
    before = check_design(design).sections
    plain = design.plain()
    plain["sections"][1]["stack"][1]["turns"] = 4.0
    after = check_design(document_of(plain)).sections
    assert after[3] is before[3]
    assert after[1].bending_EI < 0.9 * before[1].bending_EI
    assert after[1].bending.least < before[1].bending.least


def test_unknown_strengths_leave_reserves_out_and_keep_the_rest(design):
    plain = design.plain()
    for material in plain["materials"]:
        for name in ("strength_MPa", "Xt_transfer", "Xc_ref_MPa", "Yt_ref_MPa", "Yc_ref_MPa", "S_ref_MPa"):
            material["fibre"].pop(name, None)
    found = wall_answer(document_of(plain), 1)
    assert found.strengths == "unknown"
    assert (found.reserves, found.round.squeezes, found.strength) == ((), (), None)
    shown = wall_figures(found, default_reader())
    assert (shown.stresses, shown.last_ply_steps, shown.first_ply_N_m) == ((), (), None)
    assert shown.first_ply_words == plain_text(said("wall.first_ply.unknown"))
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
    with pytest.raises(DesignError) as refusal:
        wall_answer(design, section)
    assert refusal.value.want == Message("want.section_from_tip", most=5)


@pytest.mark.parametrize("name", ["tallreed-11", "crookbough-5", "peerglass-8"])
def test_every_demo_pole_has_its_walls_in_full(name):
    found = load(EXAMPLES / f"{name}.toml")
    answer = wall_answer(found, len(found.sections))
    assert answer.limits
    assert answer.reserves
    assert answer.strength.last > 0.0


@pytest.mark.slow
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
    assert wall_figures(wall_answer(odd, 1), default_reader()).section == 1


def test_the_command_prints_what_each_rule_says(third, capsys):
    run(EXAMPLES / "reedlight-7.toml", supposed=[], section=3, as_json=False)
    shown = " ".join(capsys.readouterr().out.split())
    assert third.rules
    for ruling in third.rules:
        assert " ".join(ruling_text(ruling, default_reader()).split()) in shown
    for limit in third.limits:
        assert " ".join(limit_parts(limit.under, limit.load, default_reader(), 4)[0].split()) in shown


def test_a_stronger_ply_bears_so_many_times_more_by_every_criterion(design):
    """Without cure stress a reserve grows with the strengths, which all criteria see alike; cure stress uses it up."""
    reserves = wall_answer(design, 3).reserves
    lab, safe = ({r.criterion: r for r in reserves if r.strengths == kind} for kind in ("lab", "design"))
    assert len(lab) == len(safe) > 3
    more = [lab[criterion].cure_out / safe[criterion].cure_out for criterion in lab]
    assert 1.5 < more[0] < 3.0, "design values are about half the means of the lab"
    assert more == pytest.approx([more[0]] * len(more), rel=0.02)
    assert all(0.2 * r.cure_out < r.cure_in < 0.6 * r.cure_out for r in lab.values())
