"""How far each section and joint is from its limit, and which is nearest: the weakest place by name."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.pole.beam import Bent
from polewright.pole.joint import contact

__all__ = ["CONTACTS", "Limits", "Margin", "Margins", "Place", "checks_of", "margins"]

CONTACTS = ("contact_mouth", "contact_inner_end")


@dataclass(frozen=True, slots=True, eq=False)
class Limits:
    """What each section and joint can bear; inf where a limit does not apply.

    strength, flattening, wrinkling (n_section,) [N m] bending moments; contact [N] force across that the tubes of a
    joint bear, (n_joint, 2) at the outer mouth and at the inner end, or (n_joint,) for both; slip (n_joint,) [N] push
    along the pole that the collar holds; pull_out (n_joint,) [N].
    """

    strength: FloatArray
    flattening: FloatArray
    wrinkling: FloatArray
    contact: FloatArray
    slip: FloatArray
    pull_out: FloatArray

    def __post_init__(self) -> None:
        names = ("strength", "flattening", "wrinkling", "contact", "slip", "pull_out")
        freeze(self, names)
        for name in names:
            values = getattr(self, name)
            pairs = name == "contact" and values.ndim == 2 and values.shape[1] == len(CONTACTS)
            if not (values.ndim == 1 or pairs) or not (values > 0.0).all():
                raise DesignError(f"limits.{name}", values.tolist(), Message("want.numbers_above_zero_inf_where_does"))

    @classmethod
    def none(cls, sections: int) -> "Limits":
        """No limits at all, to replace the known ones in."""
        free, joints = np.full(sections, np.inf), np.full(max(sections - 1, 0), np.inf)
        return cls(free, free, free, joints, joints, joints)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a pole meets a limit, and which: of section `number` from the tip, or of the joint out of which it draws.

    limit: "strength", "flattening" or "wrinkling" of a section; "contact", "contact_mouth", "contact_inner_end", "slip"
    or "pull_out" of a joint. For a safe reach also kind "tip" (its own limit) and "balance" (none is found).
    """

    kind: Literal["section", "joint", "tip", "balance"]
    number: int = 0
    limit: str = ""


@dataclass(frozen=True, slots=True)
class Margin:
    """One check: the place with its limit by name, the load there and what it bears, both [N] or [N m]."""

    place: Place
    load: float
    limit: float

    @property
    def factor(self) -> float:
        """Limit over load; inf for no load."""
        return self.limit / self.load if self.load > 0.0 else float("inf")


@dataclass(frozen=True, slots=True)
class Margins:
    """Every check, nearest to its limit first."""

    checks: tuple[Margin, ...]

    @property
    def weakest(self) -> Margin:
        """The place nearest to its limit."""
        return self.checks[0]


def _largest_moment(b: Bent, section: int) -> float:
    """[N m] largest moment over the exposed span of a section."""
    mine = b.mesh.owner == section
    ends = np.maximum(np.abs(b.moment[:-1, 1]), np.abs(b.moment[1:, 0]))
    return float(np.max(ends[mine], initial=0.0))


def checks_of(b: Bent, limits: Limits, *, load_factor: float = 1.0) -> tuple[Margin, ...]:
    """Every check of a bent pole in a fixed order: sections from the tip, then joints; load_factor [-] as `margins`.

    Raises
    ------
    DesignError : as `margins`; a load factor not above zero.
    """
    n, joints = len(b.pole.tubes), len(b.pole.joints)
    if limits.strength.size != n or limits.contact.shape[0] != joints:
        raise DesignError(
            "limits",
            Message("given.sections", size=limits.strength.size),
            Message("want.sections_joints_tip_first", n=n, joints=joints),
        )
    if not (np.isfinite(load_factor) and load_factor > 0.0):
        raise DesignError("load_factor", load_factor, Message("want.above_zero"))
    found = []
    for i in range(n):
        moment = load_factor * _largest_moment(b, i)
        for what in ("strength", "flattening", "wrinkling"):
            found.append(Margin(Place("section", i + 1, what), moment, float(getattr(limits, what)[i])))
    press = contact(b) if joints else None
    for j in range(joints):
        assert press is not None
        found += _pressed(
            j + 1, load_factor * abs(float(press.front[j])), load_factor * abs(float(press.back[j])), limits.contact[j]
        )
        along = load_factor * float(b.along[np.argmin(np.abs(b.station - b.mesh.mouth[j + 1])), 1])
        found.append(Margin(Place("joint", j + 1, "slip"), max(-along, 0.0), float(limits.slip[j])))
        found.append(Margin(Place("joint", j + 1, "pull_out"), max(along, 0.0), float(limits.pull_out[j])))
    return tuple(found)


def _pressed(joint: int, front: float, back: float, limit: FloatArray) -> list[Margin]:
    if np.ndim(limit) == 0:
        return [Margin(Place("joint", joint, "contact"), max(front, back), float(limit))]
    at = [Place("joint", joint, name) for name in CONTACTS]
    return [Margin(at[0], front, float(limit[0])), Margin(at[1], back, float(limit[1]))]


def margins(b: Bent, limits: Limits, *, load_factor: float = 1.0) -> Margins:
    """Margins of a bent pole; every load in it counts `load_factor` [-] times (2 to 3 for a jerk).

    The moment of an overlap is checked against the outer tube, and against the inner one at the outer mouth.

    Raises
    ------
    DesignError : limits of another pole; a joint without overlap.

    Source
    ------
    Definition of a margin, limit over largest load; forces in the joints by `joint.contact`.
    """
    return Margins(tuple(sorted(checks_of(b, limits, load_factor=load_factor), key=lambda m: m.factor)))
