"""A joint that leaves just the clearance that is wanted holds; a hundred-thousandth of a millimetre less does not."""

from pathlib import Path

import pytest

from polewright.answers.check import check_design
from polewright.documents.files import load

POLES = ("reedlight-7", "tallreed-11", "crookbough-5", "peerglass-8")
EXAMPLES = Path(__file__).parents[2] / "examples"


def held(design, least_mm: float) -> list[bool]:
    """Whether each joint has the clearance."""
    setting = design.setting.model_copy(update={"clearance_least_mm": least_mm})
    findings = check_design(design.model_copy(update={"setting": setting})).findings
    return [finding.holds for finding in findings if finding.code == "fit"]


@pytest.mark.parametrize("pole", POLES)
def test_a_joint_holds_at_the_wanted_clearance_and_not_below(pole):
    design = load(EXAMPLES / f"{pole}.toml")
    clearances = [1e3 * joint.clearance_least for joint in check_design(design).joints]
    for clearance in clearances:
        assert held(design, clearance) == [each >= clearance - 1e-6 for each in clearances]
        assert held(design, clearance + 1e-5) == [each >= clearance + 1e-5 for each in clearances]
