"""What is just at its limit holds, what is a little beyond does not: clearances of joints, wishes of a brief."""

from pathlib import Path

import pytest
from tests.kept.odd import odd_pole

from polewright.answers.check import check_design
from polewright.documents.brief import Brief
from polewright.documents.files import load
from polewright.units import from_si

POLES = ("reedlight-7", "tallreed-11", "crookbough-5", "peerglass-8")
LIMITS = {
    "reach_at_least_mm": "reach", "closed_at_most_mm": "closed", "mass_at_most_g": "mass",
    "carry_at_most_kg_m": "carry", "balance_at_most_mm": "balance", "base_outside_at_most_mm": "base_outside",
    "material_cost_at_most": "material_cost", "twist_at_least_N_m2": "twist", "tip_play_at_most_mm": "tip_play",
    "swing_at_least_Hz": "swing",
}  # fmt: skip
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


def judged(design, **wishes) -> dict[str, bool]:
    """Whether each wish is met."""
    brief = Brief(**wishes)
    return {
        f.code: f.holds for f in check_design(design.model_copy(update={"brief": brief})).findings if f.kind == "brief"
    }


@pytest.mark.parametrize("field", LIMITS)
def test_a_wish_is_met_at_its_limit_and_not_beyond(field):
    design = odd_pole()
    (finding,) = (f for f in check_design(design).findings if f.code == f"wish.{LIMITS[field]}")
    limit = from_si(field, finding.value)
    way = 1.0 if "at_least" in field else -1.0
    assert judged(design, **{field: limit * (1.0 - way * 1e-7)}) == {finding.code: True}
    assert judged(design, **{field: limit * (1.0 + way * 1e-3)}) == {finding.code: False}
