"""From a design to its scatter: the same pole as checked, the brief's promises, its answer and its report."""

import json
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from tests.said import said

from polewright.answers.scatter import ScatterAnswer, scatter_answer
from polewright.answers.scatter_problem import problem_of, promises_of, reaches_of, spreads_of
from polewright.answers.trestles import bench_state
from polewright.cli.scatter import run
from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import load
from polewright.documents.values import workpiece
from polewright.errors import DesignError
from polewright.pole import bent
from polewright.scatter import (
    FIGURES,
    Plan,
    Problem,
    Spread,
    Spreads,
    copies_of,
    figure_spread,
    nominal_figures,
    sampled,
)
from polewright.wall.seam import seam_variation
from polewright.words import Reader, default_reader
from polewright.words.reports.plain import plain_text
from polewright.words.reports.scatter import ScatterReport, scatter_report
from polewright.workshop import schema_of

EXAMPLES = Path(__file__).parents[2] / "examples"


def design_of(name: str) -> Design:
    return load(EXAMPLES / f"{name}.toml")


def with_taper(design: Design) -> Design:
    """The same design on mandrels that grow by 0.2 mm a metre."""
    mandrels = []
    for mandrel in design.mandrels:
        first, last = mandrel.profile[0], mandrel.profile[-1]
        wide = last.diameter_mm + 0.2 * (last.at_mm - first.at_mm) / 1e3
        ends = (first, last.model_copy(update={"diameter_mm": wide}))
        mandrels.append(mandrel.model_copy(update={"profile": ends}))
    return design.model_copy(update={"mandrels": tuple(mandrels)})


def alone(design: Design) -> Design:
    return design.model_copy(update={"sections": design.sections[-1:], "joints": ()})


@pytest.mark.parametrize("change", [lambda d: d, with_taper, alone], ids=["straight", "tapered", "one section"])
@pytest.mark.parametrize("name", ["reedlight-7", "peerglass-8", "crookbough-5"])
def test_the_nominal_copy_is_the_pole_that_is_checked(name, change):
    design = change(design_of(name))
    work, problem = workpiece(design), problem_of(design, Spreads())
    own = dict(zip(problem.names, nominal_figures(problem), strict=True))
    assert own["mass"] == pytest.approx(work.pole.mass, rel=1e-12)
    assert own["length"] == pytest.approx(work.pole.extended_length, rel=1e-12)
    assert own["base_outside"] == pytest.approx(float(work.pole.tubes[-1].outside.max()), rel=1e-12)
    for j, fit in enumerate(work.fits, 1):
        assert own[f"clearance.{j}"] == pytest.approx(fit.least, abs=1e-12)
    reach = problem.reaches[0]
    state = bench_state(design, work.pole, len(work.pole.joints), head=reach.head)
    assert own[f"droop.{reach.name}"] == pytest.approx(bent(work.pole, state).tip_droop, rel=2e-6, abs=1e-9)


@pytest.mark.parametrize("step", [-2.0, 2.0])
def test_more_resin_does_to_the_tube_what_the_materials_say(step):
    """A lot two points richer or leaner: the walls of the scatter against the design written anew with that content."""
    design = design_of("peerglass-8")
    richer = design.model_copy(
        update={
            "materials": tuple(
                m.model_copy(update={"resin_content_pct": m.resin_content_pct + step}) for m in design.materials
            )
        }
    )
    # a lot spread of each material that carries its own content to the new one, at one standard deviation
    spreads = Spreads({}, {("resin", m.id): Spread("resin", lot=2.0 / m.resin_content_pct) for m in design.materials})
    problem = problem_of(design, spreads)
    chance = 0.8413447460685429 if step > 0 else 1.0 - 0.8413447460685429
    copies = copies_of(problem, np.full((1, problem.inputs), chance))
    for s, tube in enumerate(workpiece(richer).pole.tubes):
        assert copies.bending[0, s, 0] == pytest.approx(tube.bending[0], rel=3e-4)  # its bore shrinks by 4e-5 too
        assert copies.shear[0, s, 0] == pytest.approx(tube.shear[0], rel=3e-3)
        assert copies.mass_per_length[0, s, 0] == pytest.approx(tube.mass_per_length[0], rel=2e-4)
        wall = [t.outside[0] - t.bore[0] for t in (tube, workpiece(design).pole.tubes[s])]
        assert copies.outside[0, s, 0] - copies.bore[0, s, 0] == pytest.approx(wall[0], rel=1e-6)
        assert abs(wall[0] / wall[1] - 1.0) > 0.02


def test_promises_are_the_briefs_and_the_fits():
    design = design_of("crookbough-5")
    promises = promises_of(design)
    by_figure = [(p.figure, p.is_least) for p in promises]
    assert ("mass", False) in by_figure
    flex = [p for p in promises if p.figure.startswith("added_droop")]
    assert [p.is_least for p in flex] == [True, False]
    wish = design.brief.droop[0]
    ends = [wish.wanted_mm_per_100g * (1.0 + sign * wish.within_pct / 100.0) for sign in (-1, 1)]
    assert [100.0 * p.limit for p in flex] == pytest.approx(ends)  # 1 m/kg is 100 mm per 100 g
    assert sum(p.figure.startswith("clearance") for p in promises) == len(design.joints)
    names = Problem(problem_of(design).build, Spreads(), problem_of(design).reaches).names
    assert all(p.figure in names for p in promises)


def test_seams_stray_more_when_they_overlap_more():
    design = design_of("reedlight-7")
    wide = design.model_copy(update={"setting": design.setting.model_copy(update={"seam_overlap_mm": 12.0})})
    none = design.model_copy(update={"setting": design.setting.model_copy(update={"seam_overlap_mm": 0.0})})
    own = [spreads_of(d).of_figure("spine").tube for d in (none, design, wide)]
    assert own[0] == 0.0
    assert 0.0 < own[1] < own[2] < 0.05


def test_a_seam_counts_as_a_quarter_of_the_way_round_at_most():
    design = design_of("reedlight-7")
    setting = design.setting.model_copy(update={"seam_overlap_mm": 200.0})
    wide = spreads_of(design.model_copy(update={"setting": setting})).of_figure("spine").tube
    plies = [[p.turns for p in s.stack.plies if p.angle_class == "axial"] for s in workpiece(design).sections]
    peaks = [float(seam_variation(np.pi / 2, plies=sum(turns))) for turns in plies]
    each = [len(turns) * (peak / 2.0) ** 2 / 2.0 for turns, peak in zip(plies, peaks, strict=True)]
    assert wide == pytest.approx(np.sqrt(np.mean(each)), rel=1e-12)


@pytest.fixture(scope="module")
def answer() -> ScatterAnswer:
    return scatter_answer(design_of("crookbough-5"), plan=Plan(256, 3), order=8)


def test_an_answer_says_everything_of_the_copies(answer):
    assert answer.poles == 256
    assert all(f.low.value < f.nominal < f.high.value for f in answer.figures)
    kinds = [f.figure.kind for f in answer.figures]
    assert kinds[:5] == ["mass", "carry", "length", "closed", "base_outside"]
    assert [f.figure.joint for f in answer.figures if f.figure.kind == "clearance"] == [1, 2, 3]
    headline = next(f.figure for f in answer.figures if f.figure.kind == "droop")
    assert (headline.drawn, headline.total) == (Message("reach.all"), pytest.approx(0.350))
    assert answer.promises[-1].figure is None
    assert answer.promises[-1].missed >= max(p.missed for p in answer.promises)
    assert answer.order.make is None or answer.order.make >= 8
    assert {m.figure.kind for m in answer.matters} == {"droop", "mass", "clearance"}
    assert all(taken.spread.source for taken in answer.spreads)


def test_inputs_are_weighed_for_the_tightest_joint_the_larger_share_first(answer):
    nominal = {f.figure: f.nominal for f in answer.figures if f.figure.kind == "clearance"}
    weighed = {m.figure for m in answer.matters if m.figure.kind == "clearance"}
    assert weighed == {min(nominal, key=lambda figure: nominal[figure])}
    for figure in {m.figure for m in answer.matters}:
        totals = [m.total.value for m in answer.matters if m.figure == figure]
        assert totals == sorted(totals, reverse=True)
    assert ("joint", "joints") in {(m.input, m.between) for m in answer.matters}


def test_a_report_survives_a_round_trip_with_finite_numbers(answer):
    report = scatter_report(answer, default_reader())
    text = json.dumps(report.plain(), allow_nan=False)
    assert ScatterReport.model_validate_json(text) == report
    jsonschema.validate(json.loads(text), schema_of("scatter-report"))
    assert scatter_report(answer, Reader(default_reader().language, "inch")) == report


def test_published_figures_are_the_answers_in_their_units(answer):
    report = scatter_report(answer, default_reader())
    factors = {"g": 1e3, "kg m": 1.0, "mm": 1e3, "mm per 100 g": 100.0}
    assert {f.unit for f in report.figures} == set(factors)
    for own, shown in zip(answer.figures, report.figures, strict=True):
        factor = factors[shown.unit]
        assert shown.nominal == pytest.approx(own.nominal * factor)
        assert (shown.mean, shown.mean_pm) == pytest.approx((own.mean.value * factor, own.mean.half_width() * factor))
        assert (shown.sd, shown.low) == pytest.approx((own.deviation.value * factor, own.low.value * factor))
        assert (shown.high, shown.high_pm) == pytest.approx((own.high.value * factor, own.high.half_width() * factor))
    flex = next(p for p in answer.promises if p.figure is not None and p.figure.kind == "added_droop")
    shown = report.promises[answer.promises.index(flex)]
    assert (shown.limit, shown.unit) == (pytest.approx(flex.limit * 100.0), "mm per 100 g")
    assert f"{shown.limit:.4g} mm per 100 g" in shown.says  # the sentence and the field say the same
    assert shown.chance_high_pct == pytest.approx(flex.chance.high * 100.0)
    matter, row = answer.matters[0], report.matters[0]
    assert (row.first_pct, row.total_pm_pct) == pytest.approx(
        (matter.first.value * 100.0, matter.total.half_width() * 100.0)
    )
    units = {"-": "%", "rad": "°", "m": "mm"}
    for taken, shown in zip(answer.spreads, report.spreads, strict=True):
        assert shown.unit == units[FIGURES[taken.spread.figure].unit]
    width = next(s for s in report.spreads if s.input == plain_text(said("scatter.input.width")))
    own = next(t.spread for t in answer.spreads if t.spread.figure == "width")
    assert width.plies == pytest.approx(own.ply * 1e3)


def test_each_reach_is_reported_with_what_hangs_at_its_tip():
    design = design_of("crookbough-5")
    first, second = reaches_of(design)[:2]
    assert first.total == pytest.approx(first.reach.head + design.tip_fitting_g * 1e-3)
    assert (first.reach.load, second.reach.head) == (pytest.approx(0.1), 0.0)
    assert second.total == pytest.approx(design.tip_fitting_g * 1e-3)
    assert [p.figure.split(".")[0] for p in first.promises] == ["added_droop", "added_droop"]


@pytest.mark.slow
def test_the_same_seed_gives_the_same_answer_and_another_one_does_not():
    again, other = (scatter_answer(alone(design_of("crookbough-5")), plan=Plan(64, seed), order=8) for seed in (3, 4))
    assert again == scatter_answer(alone(design_of("crookbough-5")), plan=Plan(64, 3), order=8)
    assert other.figures != again.figures


def test_nothing_spread_is_reported_as_the_nominal_pole():
    found = scatter_answer(design_of("crookbough-5"), plan=Plan(64), order=3, spreads=Spreads())
    assert all(f.low.value == f.nominal == f.high.value for f in found.figures)
    assert found.matters == ()
    assert found.order.make == 3


def test_a_cheaper_spread_of_own_tests_narrows_the_droop(answer):
    design = design_of("crookbough-5")
    own = spreads_of(design).with_spread(Spread("joint", lot=0.01, tube=0.01, source="40 tests here"))
    problem = problem_of(design, own)
    name = next(f.name for f in problem.figures if f.kind == "droop")
    narrow = figure_spread(sampled(problem, Plan(256, 3)).of(name))
    assert narrow.deviation.value < next(f.deviation.value for f in answer.figures if f.figure.kind == "droop")


def test_a_limit_that_is_not_scattered_is_reported_as_not_judged():
    design = design_of("crookbough-5")
    brief = design.brief.model_copy(update={"swing_at_least_Hz": 0.5, "twist_at_least_N_m2": None,
                                            "material_cost_at_most": None})  # fmt: skip
    found = scatter_answer(alone(design.model_copy(update={"brief": brief})), plan=Plan(64), order=3)
    told = Message("scatter.assumes.unjudged", figures=(Message("scatter.unjudged.swing"),))
    assert found.assumptions[-1] == told


@pytest.mark.slow
def test_the_command_prints_tables_and_json(capsys):
    file = EXAMPLES / "crookbough-5.toml"
    run(file, poles=64, seed=1, order=5, as_json=True)
    shown = json.loads(capsys.readouterr().out)
    assert shown["document"] == "scatter-report"
    run(file, poles=64, seed=1, order=5, as_json=False)
    shown = capsys.readouterr().out
    for text in (
        "Crookbough 5",
        said("scatter.promises"),
        said("scatter.order", order=5),
        said("scatter.matters", figure=said("scatter.figure.mass")),
        said("scatter.inputs"),
        said("library.source.E1").split()[0],
    ):
        assert text in shown


@pytest.mark.parametrize(("poles", "order", "says"), [(3, 5, "poles is 3"), (64, 0, "order is 0")])
def test_the_command_refuses_what_makes_no_sense(poles, order, says):
    with pytest.raises(DesignError, match=says):
        run(EXAMPLES / "crookbough-5.toml", poles=poles, seed=1, order=order, as_json=True)
