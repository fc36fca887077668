"""What is no number is refused by its name, and never becomes a width, a price or a clock of its own."""

from math import inf, nan, pi

import numpy as np
import pytest

from polewright.bench import first_tone
from polewright.errors import DesignError
from polewright.scatter import chance_of_filling, line_shares, pole_yield, tubes_to_start
from polewright.shop import (
    CutRules,
    Flag,
    JointRules,
    extra_harmonics,
    fibre_drift,
    flag_width,
    joint_spans,
    material_cost,
    seam_clock,
)

TONE = {"bending": 600.0, "shear": 1e5, "mass": 0.1, "length": 1.0, "outside": 0.03}


@pytest.mark.parametrize("bad", [nan, inf, -inf])
@pytest.mark.parametrize(
    ("field", "ask"),
    [
        ("diameter", lambda bad: flag_width(bad, 1e-4, 4.0)),
        ("turns", lambda bad: flag_width(0.023, 1e-4, bad)),
        ("half_angle", lambda bad: fibre_drift(3.0, bad)),
        ("area", lambda bad: material_cost(bad, 40.0)),
        ("price", lambda bad: material_cost(0.5, bad)),
        ("weight", lambda bad: extra_harmonics([0.0], [0.4], [bad])),
        ("stiffness", lambda bad: seam_clock([0.4], [1.0], [1e-4], [bad])),
        ("cuts", lambda bad: joint_spans(Flag(0.023, 0.023, 1e-4, 1.0, pi / 4, 1.65), [bad])),
        ("cut.overlap", lambda bad: CutRules(overlap=bad)),
        ("cut.trim", lambda bad: CutRules(trim=bad)),
        ("stagger", lambda bad: JointRules(stagger=bad)),
        ("zones", lambda bad: JointRules(zones=((0.2, bad),))),
        ("zones", lambda bad: JointRules(zones=((bad, 0.2),))),
        ("order", lambda bad: chance_of_filling(bad, made=12, passing=0.9)),
        ("bore", lambda bad: first_tone(bore=bad, **TONE)),
        ("values", lambda bad: line_shares(np.full((40, 2), 0.5), np.full(40, bad), {"both": [0, 1]})),
    ],
)
def test_what_is_no_number_is_refused_by_its_name(field, ask, bad):
    with pytest.raises(DesignError) as refusal:
        ask(bad)
    assert refusal.value.field == field


def test_a_zone_may_be_a_place_but_does_not_run_backwards():
    assert JointRules(zones=((0.2, 0.2),)).zones == ((0.2, 0.2),)
    with pytest.raises(DesignError, match=r"zones.*want\.zone_pairs"):
        JointRules(zones=((0.2, 0.1),))
    assert CutRules(overlap=0.0, trim=0.0).trim == JointRules(stagger=0.0).stagger == 0.0


@pytest.mark.parametrize("bad", [nan, 0, -3])
def test_no_pole_has_no_tubes(bad):
    for ask in (lambda: pole_yield(0.9, tubes=bad), lambda: tubes_to_start(bad, tube_yield=0.9)):
        with pytest.raises(DesignError, match="tubes"):
            ask()


def test_a_clock_wants_one_figure_a_flag():
    with pytest.raises(DesignError, match=r"thickness.*want\.one_of_each_flag"):
        seam_clock([0.4, 0.4, 0.4], [1.0, 1.0, 1.0], [1e-4, 1e-4], [1e7, 1e7, 1e7])


def test_a_joint_along_the_fibre_of_an_axial_flag_takes_the_whole_length():
    flag = Flag(0.023, 0.023, 1e-4, 1.0, 0.0, 1.65)
    assert joint_spans(flag, [-0.02, -0.05]).tolist() == [[0.0, 1.65], [0.0, 1.65]]
    nearly = Flag(0.023, 0.023, 1e-4, 1.0, 1e-6, 1.65)
    assert joint_spans(nearly, [-0.02]).tolist() == [[0.0, 1.65]]
