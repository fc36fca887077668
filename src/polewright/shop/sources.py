"""What the formulas of the shop rest on; see `polewright.conventions.sources` for the use of the table."""

from collections.abc import Mapping
from types import MappingProxyType

from polewright.codes import Message
from polewright.conventions.sources import Source, derived

__all__ = ["SOURCES"]

_CONE = derived(Message("derivation.cone_laid_flat"))

SOURCES: Mapping[str, Source] = MappingProxyType(
    {
        "shop.flag.flag_width": derived(Message("derivation.spiral_length")),
        "shop.flag.fibre_drift": _CONE,
        "shop.flag.Flag.end_bow": _CONE,
        "shop.flag.true_angle": Source(uses=("shop.flag.fibre_drift",)),
        "shop.seam_clock.extra_harmonics": derived(Message("derivation.seam_harmonics")),
    }
)
"""Name of a function of the shop -> what it rests on."""
