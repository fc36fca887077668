"""What the figures of a page rest on, by the key of the figure."""

from collections.abc import Mapping
from types import MappingProxyType

from polewright.documents.design import Setting
from polewright.pole.sources import SOURCES as POLE
from polewright.units import si
from polewright.wall.sources import SOURCES as WALL
from polewright.words.basis import basis_text
from polewright.words.reader import Reader

__all__ = ["figure_basis", "hold_basis", "prop_text"]

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


_FIGURES: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "section.along": ("wall.membrane.tube_flexibility", "wall.membrane.reduced_stiffness"),
    "section.twist": ("wall.membrane.tube_flexibility", "wall.membrane.reduced_stiffness"),
    "section.ring": ("wall.ring.ring_stiffness",),
    "section.wall": (),
    "section.mass": (),
    "section.clear": (),
    "section.release": ("pole.section.bore_after_cure",),
    "section.window": ("wall.clamp.band_hold", "wall.collar.collar_loads"),
    "section.cost": (),
    "pole.droop": ("pole.elastica",),
    "pole.reaches": ("pole.elastica", "pole.droop.flex", "pole.hands.heft"),
})  # fmt: skip


def figure_basis(key: str, reader: Reader) -> str:
    """The works and derivations behind a figure of a section or of the whole pole; nothing for plain arithmetic."""
    names = _FIGURES[key]
    return basis_text(names, (POLE, WALL), reader) if names else ""


def prop_text(setting: Setting, reader: Reader) -> str:
    """Where the prop of the workshop's test stands."""
    return reader.say("why.from_butt", distance=si("prop_mm", setting.prop_mm))
