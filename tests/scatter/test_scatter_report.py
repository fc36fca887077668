"""From a design to its scatter: the same pole as checked, the brief's promises, and a report that can be kept."""

import json
from pathlib import Path

import numpy as np
import pytest

from polewright.cli.scatter import run
from polewright.documents.design import Design
from polewright.documents.files import load
from polewright.documents.pole_figures import bench_state
from polewright.documents.scatter_of import ScatterReport, problem_of, promises_of, scatter_report, spreads_of
from polewright.documents.values import workpiece
from polewright.errors import DesignError
from polewright.pole import bent
from polewright.scatter import Plan, Problem, Spread, Spreads, copies_of, figure_spread, nominal_figures, sampled
from polewright.units import to

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
    assert own["base outside"] == pytest.approx(float(work.pole.tubes[-1].outside.max()), rel=1e-12)
    for j, fit in enumerate(work.fits, 1):
        assert own[f"clearance S{j} in S{j + 1}"] == pytest.approx(fit.least, abs=1e-12)
    reach = problem.reaches[0]
    state = bench_state(design, work.pole, len(work.pole.joints), head=reach.head)
    assert own[f"droop {reach.name}"] == pytest.approx(bent(work.pole, state).tip_droop, rel=2e-6, abs=1e-9)


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
    flex = [p for p in promises if p.figure.startswith("added droop")]
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


@pytest.fixture(scope="module")
def report() -> ScatterReport:
    return scatter_report(design_of("crookbough-5"), plan=Plan(256, 3), order=8)


def test_a_report_says_everything_with_finite_numbers_and_survives_a_round_trip(report):
    text = json.dumps(report.plain(), allow_nan=False)
    assert ScatterReport.model_validate_json(text) == report
    assert report.poles == 256
    assert all(f.low < f.nominal < f.high for f in report.figures)
    assert report.promises[-1].says == "any of these"
    assert report.order.to_make is None or report.order.to_make >= 8
    assert {m.figure for m in report.matters} >= {"mass"}
    assert all(s.source for s in report.spreads)


def test_the_same_seed_gives_the_same_report_and_another_one_does_not():
    again, other = (scatter_report(alone(design_of("crookbough-5")), plan=Plan(64, seed), order=8) for seed in (3, 4))
    assert again == scatter_report(alone(design_of("crookbough-5")), plan=Plan(64, 3), order=8)
    assert other.figures != again.figures


def test_nothing_spread_is_reported_as_the_nominal_pole():
    found = scatter_report(design_of("crookbough-5"), plan=Plan(64), order=3, spreads=Spreads())
    assert all(f.low == f.nominal == f.high for f in found.figures)
    assert found.matters == ()
    assert found.order.to_make == 3


def test_a_cheaper_spread_of_own_tests_narrows_the_droop(report):
    design = design_of("crookbough-5")
    own = spreads_of(design).with_spread(Spread("joint", lot=0.01, tube=0.01, source="40 tests here"))
    name = next(f.name for f in report.figures if f.name.startswith("droop"))
    narrow = figure_spread(sampled(problem_of(design, own), Plan(256, 3)).of(name))
    assert to(narrow.deviation.value, "mm") < next(f.sd for f in report.figures if f.name == name)


def test_the_command_prints_tables_and_json(capsys):
    file = EXAMPLES / "crookbough-5.toml"
    run(file, poles=64, seed=1, order=5, as_json=True)
    said = json.loads(capsys.readouterr().out)
    assert said["document"] == "scatter-report"
    run(file, poles=64, seed=1, order=5, as_json=False)
    said = capsys.readouterr().out
    for words in (
        "Crookbough 5",
        "Chance of missing each promise",
        "An order of 5",
        "What makes mass stray",
        "Spreads taken",
        "[ama2025]",
    ):
        assert words in said


@pytest.mark.parametrize(("poles", "order", "says"), [(3, 5, "poles is 3"), (64, 0, "order is 0")])
def test_the_command_refuses_what_makes_no_sense(poles, order, says):
    with pytest.raises(DesignError, match=says):
        run(EXAMPLES / "crookbough-5.toml", poles=poles, seed=1, order=order, as_json=True)
