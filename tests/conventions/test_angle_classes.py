"""Axial, bias and hoop mean the same in every rule, search, diagnosis and limit."""

import numpy as np
import pytest

from polewright.answers.spend import _main_axial
from polewright.bench import signatures
from polewright.codes import Message
from polewright.conventions.angles import angle_class, is_axial, is_hoop
from polewright.drawings.wall import hatch
from polewright.materials.ply import Elastic, Ply, Strength
from polewright.pole.crush import pressed_ring
from polewright.search import Option
from polewright.units import si
from polewright.wall.rules import SHIPPED, rulings
from polewright.wall.stack import Stack, StackPly

CARBON = Ply(
    "carbon", 0.15e-3, Elastic.unidirectional(E1=130e9, E2=8e9, G12=4e9, nu12=0.27, density=1550.0), 0.2325, price=40.0
)
WEAVE = Ply("weave", 0.1e-3, Elastic.unidirectional(E1=25e9, E2=25e9, G12=4e9, nu12=0.1, density=1900.0), 0.19)
BORE = 0.027

CLASSES = [
    (0.0, "axial"),
    (-12.0, "axial"),
    (29.9, "axial"),
    (30.0, "bias"),
    (-45.0, "bias"),
    (74.9, "bias"),
    (75.0, "hoop"),
    (-80.0, "hoop"),
    (90.0, "hoop"),
]


def rolled(degrees):
    return StackPly(CARBON, si("angle_deg", degrees))


@pytest.mark.parametrize(("degrees", "name"), CLASSES)
def test_a_ply_has_one_class_by_its_angle(degrees, name):
    angle = si("angle_deg", degrees)
    assert angle_class(angle) == name == rolled(degrees).angle_class
    assert (bool(is_axial(angle)), bool(is_hoop(angle))) == (name == "axial", name == "hoop")


def test_classes_of_many_angles_at_once_keep_their_shape():
    angles = np.deg2rad([[0.0, 45.0, 90.0], [-20.0, -60.0, -89.0]])
    assert is_axial(angles).tolist() == [[True, False, False], [True, False, False]]
    assert is_hoop(angles).tolist() == [[False, False, True], [False, False, True]]


@pytest.mark.parametrize(("degrees", "name"), CLASSES)
def test_workshop_rules_use_the_classes(degrees, name):
    rules = {rule.id: (rule,) for rule in SHIPPED}
    covered = Stack((rolled(degrees), rolled(0.0), rolled(degrees)))
    (around,) = rulings(covered, rules=rules["around-both-sides"])
    assert around.holds == (name == "hoop")
    (bare,) = rulings(covered, rules=rules["no-bare-axial"])
    assert bare.holds == (name != "axial")


@pytest.mark.parametrize(("degrees", "name"), CLASSES)
def test_the_search_uses_the_classes(degrees, name):
    assert Option(CARBON, si("angle_deg", degrees)).is_hoop == (name == "hoop")


@pytest.mark.parametrize(("degrees", "name"), CLASSES)
def test_the_diagnosis_of_a_tube_uses_the_classes(degrees, name):
    stack = Stack((rolled(90.0), rolled(degrees), rolled(90.0)))
    causes = {s.cause for s in signatures(stack, BORE, resin_content=0.34)}
    assert Message("bench.cause.turn_missing.inside", ply=2, angle_class=name, material="carbon") in causes
    of_axial = {"bench.cause.heavier", "bench.cause.cut_off_angle", "bench.cause.resin.more", "bench.cause.resin.less"}
    assert of_axial & {c.code for c in causes} == (of_axial if name == "axial" else set())


def test_the_diagnosis_cuts_axial_flags_alone_off_their_angle():
    both, axial = (
        {s.cause: s for s in signatures(Stack(plies), BORE)}
        for plies in ((rolled(90.0), rolled(0.0), rolled(35.0)), (rolled(90.0), rolled(0.0), rolled(25.0)))
    )
    cause = next(c for c in both if c.code == "bench.cause.cut_off_angle" and c.values["off"] > np.deg2rad(4.0))
    # a ply at 35 degrees stays where it is: the loss is that of the one ply along, below that of two axial plies
    assert abs(both[cause].bending) < abs(axial[cause].bending)


@pytest.mark.parametrize(("degrees", "name"), CLASSES)
def test_a_pressed_ring_ends_with_its_hoop_fibre(degrees, name):
    wall = Stack((rolled(degrees),)).wall(BORE)
    strength = Strength(**{k: np.array([v]) for k, v in {"Xt": 2e9, "Xc": 1e9, "Yt": 5e7, "Yc": 2e8, "S": 8e7}.items()})
    ring = pressed_ring(wall, strength)
    assert ring.most.max() == pytest.approx(2e9 if name == "hoop" else 5e7)


@pytest.mark.parametrize(("degrees", "name"), CLASSES)
def test_more_axial_fibre_is_offered_where_there_is_an_axial_ply(degrees, name):
    assert (_main_axial(Stack((rolled(degrees),))) == 0) == (name == "axial")


@pytest.mark.parametrize(("degrees", "name"), CLASSES)
def test_a_hoop_is_drawn_as_one(degrees, name):
    assert (hatch(rolled(degrees)) == "hoop") == (name == "hoop")


def test_a_weave_goes_round_at_any_angle():
    assert all(StackPly(WEAVE, a).goes_round == WEAVE.is_woven for a in (0.0, np.pi / 4.0))
    woven = Ply("weave", 0.1e-3, WEAVE.elastic, 0.19, is_woven=True)
    assert all(StackPly(woven, a).goes_round for a in (0.0, np.pi / 4.0))
    assert rolled(90.0).goes_round
    assert not rolled(45.0).goes_round
