"""Names of the criteria of failure, and those that a verdict may go by."""

from typing import Literal

__all__ = ["CRITERIA", "NAMING_CRITERIA", "Criterion", "NamingCriterion"]

Criterion = Literal["maximum_strain", "maximum_stress", "tsai_wu", "hashin", "action_plane"]
CRITERIA: tuple[Criterion, ...] = ("maximum_strain", "maximum_stress", "tsai_wu", "hashin", "action_plane")
NamingCriterion = Literal["maximum_strain", "maximum_stress", "hashin", "action_plane"]
NAMING_CRITERIA: tuple[NamingCriterion, ...] = ("maximum_strain", "maximum_stress", "hashin", "action_plane")
"""Those that tell fibre from resin, by which a verdict may go; the tensor criterion does not."""
