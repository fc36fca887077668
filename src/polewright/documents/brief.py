"""The brief: what the pole must do, each wish as a number that a test can show."""

from typing import Annotated

from pydantic import Field, model_validator

from polewright.codes import Message
from polewright.documents.document import Part
from polewright.documents.fields import CarryMoment, Diameter, Hold, Length, Mass, PositiveLength, Price, TwistStiffness

__all__ = ["Brief", "DroopWish"]


class DroopWish(Part):
    """A limit on droop, or a wanted added droop (flex), with `out` sections drawn out from the tip (0: all)."""

    out: Annotated[int, Field(ge=0, le=11)] = 0
    tip_total_g: Mass = 0.0
    at_most_mm: PositiveLength | None = None
    wanted_mm_per_100g: Annotated[float, Field(gt=0.0, le=2000.0)] | None = None
    within_pct: Annotated[float, Field(gt=0.0, le=50.0)] = 5.0

    @model_validator(mode="after")
    def _wishes_something(self) -> "DroopWish":
        if (self.at_most_mm is None) == (self.wanted_mm_per_100g is None):
            raise ValueError(Message("want.either_of", fields=("at_most_mm", "wanted_mm_per_100g")))
        return self


class Brief(Part):
    """Limits and wishes; a limit that is left out is not checked. `tip_total_g` counts the tip fitting too."""

    use: str = ""
    reach_at_least_mm: Length | None = None
    closed_at_most_mm: Length | None = None
    mass_at_most_g: Mass | None = None
    carry_at_most_kg_m: CarryMoment | None = None
    balance_at_most_mm: PositiveLength | None = None
    base_outside_at_most_mm: Diameter | None = None
    material_cost_at_most: Price | None = None
    twist_at_least_N_m2: TwistStiffness | None = None
    tip_play_at_most_mm: PositiveLength | None = None
    swing_at_least_Hz: Annotated[float, Field(gt=0.0, le=50.0)] | None = None
    clamp_hold_N: Hold | None = None
    droop: tuple[DroopWish, ...] = ()
