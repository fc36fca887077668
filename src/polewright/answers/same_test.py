"""Another design in the test of this one, so that a difference between the two is a difference of the poles."""

from polewright.answers.trestles import headline_grams, headline_load
from polewright.documents.brief import DroopWish
from polewright.documents.design import Design

__all__ = ["TEST_FIELDS", "in_the_test_of", "is_same_load"]

TEST_FIELDS = ("prop_mm", "test_load_g", "swing_load_g", "clamp_hold_N", "friction_wet", "criterion")
"""Fields of a design's setting that say how a pole is tested and judged, not how it is made."""

_SAME_LOAD = 1e-6  # [kg]


def in_the_test_of(design: Design, other: Design) -> Design:
    """The design with the loads, the prop, the wanted hold of the clamps and the criterion of another one.

    The loads at the tip are alike with the fitting counted in: where the two fittings differ, the load besides it makes
    up for that. The design itself comes back where both are tested alike already.
    """
    setting = {name: getattr(other.setting, name) for name in TEST_FIELDS}
    joints = len(other.joints)
    wishes = tuple(_all_out(wish, joints) for wish in other.brief.droop)
    brief = design.brief.model_copy(update={"droop": wishes, "clamp_hold_N": other.brief.clamp_hold_N})
    fitting = design.tip_fitting_g - other.tip_fitting_g
    setting["test_load_g"] = max(other.setting.test_load_g - fitting, 0.0)
    alike = design.model_copy(update={"setting": design.setting.model_copy(update=setting), "brief": brief})
    same_setting = all(getattr(design.setting, name) == value for name, value in setting.items())
    is_alike = same_setting and abs(headline_grams(design) - headline_grams(alike)) < 1e-9
    return design if is_alike else alike


def is_same_load(design: Design, other: Design) -> bool:
    """Whether the headline droops of two designs are under one load; never where a fitting alone weighs more."""
    return abs(headline_load(design) - headline_load(other)) < _SAME_LOAD


def _all_out(wish: DroopWish, joints: int) -> DroopWish:
    """A wish for all joints drawn out, said so that it means all of another pole too."""
    return wish.model_copy(update={"out": 0}) if wish.out == joints else wish
