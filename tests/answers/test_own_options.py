"""The plies that a pole's own walls offer to a search: in one order, in which every wall can be rolled again."""

from pathlib import Path

import pytest
from tests.kept.odd import odd_pole

from polewright.answers.options.own_options import brief_of
from polewright.documents.files import document_of, load

POLES = Path(__file__).parents[2] / "examples"


def listed(design):
    return [(ply.prepreg, ply.angle_deg) for ply in brief_of(design).rolls.plies]


def stacks(design):
    return [[(ply.prepreg, ply.angle_deg) for ply in section.stack] for section in design.sections]


def comes_in(stack, plies):
    left = iter(plies)
    return all(ply in left for ply in stack)


@pytest.mark.parametrize("name", ["reedlight-7", "tallreed-11", "crookbough-5", "peerglass-8", "odd"])
def test_every_wall_can_be_rolled_from_the_listed_plies(name):
    design = odd_pole() if name == "odd" else load(POLES / f"{name}.toml")
    plies = listed(design)
    assert all(comes_in(stack, plies) for stack in stacks(design))
    assert len(plies) <= sum(map(len, stacks(design))) + len(design.materials)
    assert {of for of, _ in plies} == {m.id for m in design.materials}


def test_plies_that_several_walls_share_are_listed_once():
    def section(*angles):
        return [{"prepreg": "SM150", "angle_deg": angle, "turns": 1} for angle in angles]

    plain = dict(load(POLES / "reedlight-7.toml").plain())
    walls = [section(89, 0, 45), section(89, 45), section(0, 45, 89), section(89, 0, 30, 45), section(45, 89)]
    for of, stack in zip(plain["sections"], walls, strict=True):
        of["stack"] = stack
    angles = [angle for of, angle in listed(document_of(plain)) if of == "SM150"]
    assert angles == [89, 0, 30, 45, 89]


def test_prepregs_that_no_wall_uses_come_first_where_no_ply_runs_along_the_tube():
    plain = dict(load(POLES / "reedlight-7.toml").plain())
    for section in plain["sections"]:
        section["stack"] = [{"prepreg": "TH55", "angle_deg": 90, "turns": 2}]
    assert listed(document_of(plain)) == [("SM150", 0.0), ("TH55", 90.0)]
