"""Which plies the diagnosis of a tube takes for axial: those that faults of axial cloth can be blamed on."""

from dataclasses import replace

import numpy as np
import pytest
from tests.bench.test_bench_compare import BORE, section_3

from polewright.bench import signatures
from polewright.wall.stack import Stack

TURN_MISSING = "turn"


@pytest.mark.parametrize(("degrees", "is_axial"), [(0.0, True), (15.0, True), (35.0, False), (45.0, False)])
def test_axial_faults_are_looked_for_where_there_are_axial_plies(degrees, is_axial):
    designed = section_3()
    angled = Stack(tuple(replace(w, angle=np.deg2rad(degrees)) if w.turns > 1.0 else w for w in designed.plies))
    causes = [s.cause.code for s in signatures(angled, BORE, resin_content=0.34)]
    assert sum(TURN_MISSING in code for code in causes) == len(angled.plies)
    # 2 % heavier, three errors of cutting, four of resin
    assert len(causes) - len(angled.plies) == (8 if is_axial else 0)


def test_only_the_axial_plies_are_changed_by_a_fault_of_axial_cloth():
    """Two per cent more axial cloth is two per cent of the axial plies' mass alone, by weighing the plies apart."""
    plies = section_3().plies
    axial, bias = plies[1], replace(plies[1], angle=np.deg2rad(35.0), turns=3.0)
    stack = Stack((plies[0], bias, axial))
    masses, diameter = [], BORE
    for stack_ply in stack.plies:
        deep = stack_ply.turns * stack_ply.ply.thickness
        masses.append(np.pi * (diameter + deep) * stack_ply.turns * stack_ply.ply.area_mass)
        diameter += 2.0 * deep
    heavier = next(s for s in signatures(stack, BORE) if s.cause.code == "bench.cause.heavier")
    # the axial ply is outermost; thicker by its 2 %, it goes round farther by 0.1 % of itself
    assert heavier.mass == pytest.approx(0.02 * masses[2] / sum(masses), rel=0.08)
