"""The home test of copies is the one that the general solver gives, pole by pole."""

from pathlib import Path

import numpy as np
import pytest

from polewright.answers.scatter_problem import problem_of
from polewright.conventions.gravity import GRAVITY
from polewright.documents.values import workpiece
from polewright.errors import DesignError
from polewright.pole.beam import bent, bent_small
from polewright.pole.droop import droop_split
from polewright.pole.hands import heft
from polewright.pole.modes import modes
from polewright.pole.state import Bench, State
from polewright.scatter import HomeFigure, HomeTest, Problem, home_figures, home_figures_of
from polewright.scatter.copies import copies_of, pole_of_copy
from polewright.workshop import design_in

EXAMPLES = Path(__file__).parents[2] / "examples"
TEST = HomeTest(prop=1.0, light=0.25, heavy=0.75, swing=0.6, head=0.54)


@pytest.fixture(scope="module", params=["reedlight-7", "crookbough-5"])
def design(request):
    return design_in(EXAMPLES / f"{request.param}.toml")


@pytest.fixture(scope="module")
def problem(design):
    whole = problem_of(design)
    return Problem(whole.build, whole.spreads, ())


@pytest.fixture(scope="module")
def points(problem):
    return np.random.default_rng(5).uniform(0.02, 0.98, (6, problem.inputs))


@pytest.fixture(scope="module")
def tried(problem, points):
    """Each figure of six copies, (n,) by figure."""
    values = home_figures_of(problem, TEST, points)
    return {figure: values[:, k] for k, figure in enumerate(home_figures(problem))}


@pytest.fixture(scope="module")
def poles(problem, points):
    copies = copies_of(problem, points)
    return [pole_of_copy(problem, copies, i) for i in range(len(points))]


def state(pole, out, head):
    return State.out(pole, out, head_mass=head, support=Bench(distance=TEST.prop))


def test_droop_and_flex_are_those_of_the_printed_steps(tried, poles):
    """Hang nothing, the light and the heavy mass, in true rotations, and take the difference over the weights."""
    joints = len(poles[0].joints)
    for i, pole in enumerate(poles):
        for out in range(1, joints + 1):
            read = [bent(pole, state(pole, out, head)).tip_droop for head in (0.0, TEST.light, TEST.heavy)]
            assert tried[HomeFigure("droop", out)][i] == pytest.approx(read[0], rel=1e-5)
            flex = (read[2] - read[1]) / ((TEST.heavy - TEST.light) * GRAVITY)
            assert tried[HomeFigure("flex", out)][i] == pytest.approx(flex, rel=1e-5)
        assert tried[HomeFigure("loaded")][i] == pytest.approx(
            bent(pole, state(pole, joints, TEST.head)).tip_droop, rel=1e-5
        )


def test_weights_and_lengths_are_those_of_the_pole(tried, poles):
    for i, pole in enumerate(poles):
        found = {kind: tried[HomeFigure(kind)][i] for kind in ("extended", "closed", "mass", "grip")}
        wanted = {
            "extended": pole.extended_length,
            "closed": pole.closed_length,
            "mass": pole.mass,
            "grip": float(pole.tubes[-1].outside.max()),
        }
        assert found == pytest.approx(wanted, rel=1e-9)
        for out in range(1, len(pole.joints) + 1):
            held = heft(pole, state(pole, out, 0.0))
            assert tried[HomeFigure("balance", out)][i] == pytest.approx(held.balance, rel=1e-9)
            assert tried[HomeFigure("carry", out)][i] == pytest.approx(held.carry_moment, rel=1e-9)


def test_swings_are_by_one_share_above_the_true_ones(tried, poles):
    """Rayleigh's quotient is never below the true frequency; what it is above is the same for every copy."""
    for out in range(1, len(poles[0].joints) + 1):
        exact = np.array([modes(bent(p, state(p, out, TEST.swing)), count=1).frequency[0] for p in poles])
        ratio = tried[HomeFigure("swing", out)] / exact
        assert np.all(ratio > 0.999)
        assert np.all(ratio < 1.05)
        assert np.ptp(ratio) < 0.004


def test_play_is_the_free_tilt_of_every_joint_both_ways(tried, poles):
    """Twice what the small-deflection split gives play of the droop to one side."""
    for i, pole in enumerate(poles):
        split = droop_split(bent_small(pole, state(pole, len(pole.joints), 0.0)))
        assert tried[HomeFigure("play")][i] == pytest.approx(2.0 * float(np.sum(split.play)), rel=1e-6)


@pytest.mark.parametrize("change", [{"prop": 0.0}, {"light": -1.0}, {"heavy": 0.2}, {"swing": -0.1}, {"head": np.nan}])
def test_a_test_that_cannot_be_done_is_refused(change):
    given = {"prop": 1.0, "light": 0.25, "heavy": 0.75, "swing": 0.5} | change
    with pytest.raises(DesignError):
        HomeTest(**given)


def test_a_pole_of_one_section_has_one_reach(design, points):
    del points
    one = design.model_copy(update={"sections": design.sections[-1:], "joints": ()})
    whole = problem_of(one)
    problem = Problem(whole.build, whole.spreads, ())
    test = HomeTest(prop=0.5, light=0.25, heavy=0.75, swing=0.5)
    found = dict(
        zip(home_figures(problem), home_figures_of(problem, test, np.full((1, problem.inputs), 0.5))[0], strict=True)
    )
    assert found[HomeFigure("play")] == 0.0
    assert found[HomeFigure("reach", 0)] == pytest.approx(found[HomeFigure("closed")])
    assert workpiece(one).pole.mass == pytest.approx(found[HomeFigure("mass")], rel=0.02)
