"""How two tubes bend where one lies inside the other: the choice of a design."""

from typing import Literal, get_args

__all__ = ["OVERLAPS", "JointModel"]

JointModel = Literal["glued", "touching"]
"""glued: the tubes of an overlap bend as one. touching: they touch at its two ends alone, as a sliding fit does."""
OVERLAPS: tuple[JointModel, ...] = get_args(JointModel)
