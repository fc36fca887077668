"""What the figures of a hold rest on, by the key of the figure."""

from collections.abc import Mapping
from types import MappingProxyType

from polewright.pole.sources import SOURCES as POLE
from polewright.words.basis import basis_text
from polewright.words.reader import Reader

__all__ = ["hold_basis"]

_HOLD: Mapping[str, str] = MappingProxyType({
    "droop": "pole.droop.droop_split",
    "mass": "pole.hands.heft",
    "rear_hand": "pole.hands.grip",
    "swing": "pole.modes.modes",
    "settles": "pole.modes.settling_time",
    "sway": "pole.wind.wind_load",
    "margins": "pole.margins.margins",
    "self_buckling": "pole.stability.self_buckling_factor",
    "push_limit": "pole.stability.push_limit",
    "safe": "pole.wind.safe_reach",
})  # fmt: skip


def hold_basis(key: str, reader: Reader) -> str:
    """The works and derivations behind a figure of a hold."""
    return basis_text((_HOLD[key],), (POLE,), reader)
