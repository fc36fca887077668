"""What is said of one section's wall: names of its figures, what breaks, and where each group comes from."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from polewright.answers.wall_detail import SqueezeAnswer
from polewright.answers.wall_strength import BreakStep, WallStrength
from polewright.conventions.criteria import CRITERIA
from polewright.shop.sources import SOURCES as SHOP
from polewright.units import to
from polewright.wall.report import Hold
from polewright.wall.sources import SOURCES as WALL
from polewright.words.basis import basis_text
from polewright.words.forms import pretty_unit
from polewright.words.reader import Reader
from polewright.words.significant import number_of_digits, significant_parts

__all__ = [
    "TIERS",
    "TierForm",
    "WallWhy",
    "change_text",
    "first_ply_text",
    "limit_parts",
    "squeeze_text",
    "step_text",
    "tier_name",
    "tier_parts",
    "why_texts",
]

RING = Hold().ring  # [m] of tube between the plates
CHANGE_TURN, CHANGE_SHARE = 0.08726646259971647, 0.1  # [rad], [-] by which a ply is rotated and thickened


@dataclass(frozen=True, slots=True)
class TierForm:
    """How one figure of both theories is written: quantity, and the metric unit; a coupling is one over a quantity."""

    quantity: str
    unit: str
    is_coupling: bool = False


TIERS: Mapping[str, TierForm] = MappingProxyType({
    "axial_free": TierForm("force", "kN"),
    "axial_held": TierForm("force", "kN"),
    "bending": TierForm("bending", "N m2"),
    "twist_free": TierForm("bending", "N m2"),
    "twist_held": TierForm("bending", "N m2"),
    "shear": TierForm("force", "kN"),
    "ring": TierForm("stiffness", "N/mm"),
    "collapse": TierForm("stress", "MPa"),
    "stretch_twist": TierForm("reach", "1/m", is_coupling=True),
    "bend_shear": TierForm("moment", "1/(N m)", is_coupling=True),
})  # fmt: skip
_INCH_COUPLING = {"stretch_twist": ("ft", "1/ft"), "bend_shear": ("lbf ft", "1/(lbf ft)")}

_WHY: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "thin": ("wall.membrane.tube_flexibility",),
    "exact": ("wall.cylinder.exact_tube",),
    "ring": ("wall.ring.ring_stiffness", "wall.ring.collapse_pressure"),
    "band": ("wall.clamp.band_hold", "wall.collar.collar_loads"),
    "squeezes": ("wall.squeeze.plates_squeeze",),
    "flattening": ("wall.flattening.oval_moment_limit",),
    "wrinkling": ("wall.oval_wrinkle.oval_wrinkle", "wall.wrinkling.bending_knock_down"),
    "reserves": tuple(kind.function for kind in CRITERIA.values()),
    "last_ply": ("wall.failure.last_failure",),
    "release": ("wall.cylinder.exact_tube",),
    "seams": ("shop.seam_clock.extra_harmonics", "wall.seam.uneven_section"),
    "earns": ("wall.sensitivity.earnings",),
    "slopes": ("wall.sensitivity.slopes",),
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class WallWhy:
    """Where a group of figures comes from: its key and name, the reasoning, and what it rests on."""

    key: str
    name: str
    words: str
    source: str


def why_texts(reader: Reader) -> tuple[WallWhy, ...]:
    """Reasoning and sources of every group of figures."""
    return tuple(
        WallWhy(key, reader.say(f"wall.group.{key}"), reader.say(f"why.wall.{key}"), f"{_source(names, reader)}.")
        for key, names in _WHY.items()
    )


def _source(names: tuple[str, ...], reader: Reader) -> str:
    return basis_text(names, (WALL, SHOP), reader)


def tier_name(key: str, reader: Reader) -> str:
    """The name of a figure that both theories give."""
    return reader.say(f"wall.tier.{key}", size=RING)


def tier_parts(key: str, value: float, reader: Reader, digits: int = 4) -> tuple[str, str]:
    """Number and unit of a figure that both theories give."""
    form = TIERS[key]
    if not form.is_coupling:
        return significant_parts(value, form.quantity, reader, digits, unit=form.unit)
    if reader.system == "metric":
        return number_of_digits(value, digits, reader), pretty_unit(form.unit)
    per, unit = _INCH_COUPLING[key]
    return number_of_digits(value / to(1.0, per), digits, reader), pretty_unit(unit)


def limit_parts(under: str, load: float, reader: Reader, digits: int = 3) -> tuple[str, str]:
    """Number and unit of the moment or the push that ends a wall."""
    if under == "bending":
        return significant_parts(load, "moment", reader, digits)
    return significant_parts(load, "force", reader, digits, unit="kN")


def squeeze_text(squeeze: SqueezeAnswer, reader: Reader) -> str:
    """What presses on the tube, with its size."""
    return reader.say(f"wall.squeeze.{squeeze.kind}", size=squeeze.size)


def change_text(what: str, reader: Reader) -> str:
    """What is done to a ply."""
    return reader.say(f"wall.change.{what}", angle=CHANGE_TURN, share=CHANGE_SHARE)


def step_text(step: BreakStep, reader: Reader) -> str:
    """One ply that breaks as the moment grows."""
    code = "wall.break.moment" if step.moment > 0.0 else "wall.break.cure"
    return reader.say(code, moment=step.moment, mode=step.mode, ply=step.ply)


def first_ply_text(strength: WallStrength | None, reader: Reader) -> str:
    """At what load the first ply breaks, or why nothing is known of it."""
    if strength is None:
        return reader.say("wall.first_ply.unknown")
    if strength.first.in_cure:
        return reader.say("wall.first_ply.in_cure", broken=strength.first.broken)
    return reader.text(strength.first.failure)
