"""What is comfortable to carry, as the trade says it; not measured here."""

import math
from typing import Literal

__all__ = ["CARRY", "STROKES", "CarryClass", "carry_class"]

CarryClass = Literal["all_day", "tiring", "short_spells"]
CARRY: tuple[tuple[CarryClass, float], ...] = (("all_day", 3.0), ("tiring", 6.0), ("short_spells", math.inf))
"""Class and the carry moment [kg m] up to which it goes, lightest first."""
STROKES = (0.7, 1.5)
"""[Hz] slowest and quickest rate at which a brush is worked."""


def carry_class(carry: float) -> CarryClass:
    """How long a pole of a carry moment [kg m] can be worked: pleasant below the first bound, tiring up to the next."""
    first, second = CARRY[0][1], CARRY[1][1]
    return CARRY[0][0] if carry < first else CARRY[1][0] if carry <= second else CARRY[2][0]
