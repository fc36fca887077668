"""What the prepreg of flags, tubes and poles weighs and costs, waste included."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from polewright.codes import Message
from polewright.errors import DesignError, refuse_unless_finite
from polewright.shop.kit import Kit

__all__ = ["MaterialUse", "material_cost", "material_use"]


@dataclass(frozen=True, slots=True)
class MaterialUse:
    """One material over a set of kits.

    area [m2] and mass [kg] in flags, rolled_off [m2] taken from the roll with the waste, cost [currency] of that.
    """

    material: str
    area: float
    mass: float
    rolled_off: float
    cost: float


def material_cost(area: float, price: float, *, utilisation: float = 1.0) -> float:
    """Cost [currency] of flags of an area [m2] at a price [currency/m2], when only a share [-] of the roll is used."""
    if not 0.0 < utilisation <= 1.0:
        raise DesignError("utilisation", utilisation, Message("want.above_0_at_most_1_2"))
    refuse_unless_finite(area=area, price=price)
    return area * price / utilisation


def material_use(kits: Iterable[Kit], *, utilisation: float = 1.0) -> tuple[MaterialUse, ...]:
    """Area, mass and cost of each material over a set of kits, in order of first use.

    utilisation [-] is the flags' share of the roll area that is used up, 0.80 to 0.95 in a careful workshop.
    """
    flags = [flag for kit in kits for flag in kit.flags]
    out = []
    for name in dict.fromkeys(flag.ply.name for flag in flags):
        own = [flag for flag in flags if flag.ply.name == name]
        area = float(np.sum([flag.flag.area for flag in own]))
        cost = material_cost(area, own[0].ply.price, utilisation=utilisation)
        out.append(MaterialUse(name, area, float(np.sum([f.mass for f in own])), area / utilisation, cost))
    return tuple(out)
