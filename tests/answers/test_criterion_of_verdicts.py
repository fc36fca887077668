"""The criterion that verdicts use may be chosen in the design; every limit of strength follows it."""

import pytest
from tests.documents.test_example_poles import EXAMPLES
from tests.said import said

from polewright.answers.check import check_design as check
from polewright.answers.hold_limits import section_limits
from polewright.answers.wall_detail import wall_answer
from polewright.documents.design import Design
from polewright.documents.files import document_of, load
from polewright.documents.values import workpiece
from polewright.wall.criteria import NAMING_CRITERIA


@pytest.fixture(scope="module")
def poles() -> dict[str, Design]:
    plain = load(EXAMPLES / "reedlight-7.toml").plain()
    return {c: document_of(plain | {"setting": plain["setting"] | {"criterion": c}}) for c in NAMING_CRITERIA}


def test_a_design_without_one_goes_by_the_criterion_it_always_had(poles):
    plain = load(EXAMPLES / "reedlight-7.toml")
    assert plain.setting.criterion == "hashin"
    assert check(plain).sections == check(poles["hashin"]).sections


@pytest.mark.slow
def test_fibre_failure_follows_the_criterion_in_check_hold_and_wall(poles):
    """Shear lets the fibre break earlier by Hashin's tension mode than by maximum stress; in bending hardly at all."""
    for code, design in poles.items():
        section = check(design).sections[3]
        detail = wall_answer(design, 4)
        bend = next(limit for limit in detail.limits if (limit.under, limit.name) == ("bending", "fibre_failure"))
        held = section_limits(design, workpiece(design)).strength[3]
        assert bend.load == pytest.approx(section.bending.fibre_failure, rel=1e-6), code
        assert held == pytest.approx(section.bending.fibre_failure, rel=1e-6), code
    least = check(poles["maximum_strain"]).sections[3].bending.fibre_failure
    most = check(poles["maximum_stress"]).sections[3].bending.fibre_failure
    assert least != pytest.approx(most, rel=1e-4)


def test_the_check_says_by_which_criterion_it_judges(poles):
    for code, design in poles.items():
        assert said("criterion." + code) in said("assumption.moments", criterion=code)
        assert any(m.code == "assumption.moments" and m.values["criterion"] == code for m in check(design).assumptions)


def test_an_unknown_criterion_is_refused_by_its_field(poles):
    plain = poles["hashin"].plain()
    with pytest.raises(Exception, match=r"setting\.criterion"):
        document_of(plain | {"setting": plain["setting"] | {"criterion": "guess"}})
