"""Published figures: an SI value is turned into the unit that its field is named by, once; nothing else moves."""

from dataclasses import dataclass

import pytest

from polewright.documents.document import Part
from polewright.words.report_fields import published


class Joint(Part):
    between: tuple[int, int]
    play_mrad: float
    stiffness_kN_m_rad: float


class Tube(Part):
    name: str
    count: int
    wall_mm: float
    bending_EI_N_m2: float
    ring_N_mm: float
    cure_in: float | None
    starts_deg: tuple[float, ...]
    joint: Joint | None
    joints: tuple[Joint, ...]
    unit: str = "as default"


@dataclass(frozen=True, slots=True)
class AnsweredJoint:
    between: tuple[int, int] = (1, 2)
    play: float = 0.0025
    stiffness: float = 45000.0


@dataclass(frozen=True, slots=True)
class AnsweredTube:
    count: int = 3
    wall: float = 0.00123
    bending_EI: float = 1.0 / 3.0
    ring: float = 12500.0
    cure_in: float | None = None
    starts: tuple[float, ...] = (0.0, 3.141592653589793)
    joint: AnsweredJoint | None = AnsweredJoint()
    joints: tuple[AnsweredJoint, ...] = (AnsweredJoint(), AnsweredJoint(between=(2, 3)))


def test_each_field_shows_its_attribute_in_the_unit_of_its_name():
    joint = {"between": (1, 2), "play_mrad": 2.5, "stiffness_kN_m_rad": 45.0}
    assert published(Tube, AnsweredTube(), name="said").model_dump() == {
        "name": "said",
        "count": 3,
        "wall_mm": 1.23,
        "bending_EI_N_m2": 1.0 / 3.0,
        "ring_N_mm": 12.5,
        "cure_in": None,
        "starts_deg": (0.0, 180.0),
        "joint": joint,
        "joints": (joint, {**joint, "between": (2, 3)}),
        "unit": "as default",
    }


def test_a_figure_of_an_si_field_keeps_all_its_digits():
    assert published(Tube, AnsweredTube(bending_EI=0.1 + 0.2), name="").bending_EI_N_m2 == 0.1 + 0.2


def test_nothing_stays_nothing():
    assert published(Tube, AnsweredTube(joint=None), name="").joint is None


def test_a_field_that_is_neither_given_nor_answered_is_named():
    with pytest.raises(AttributeError, match=r"Tube\.name"):
        published(Tube, AnsweredTube())
