"""How far each section and joint is from its limit, and which is nearest: the weakest place by name."""

from dataclasses import dataclass

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.pole.beam import Bent
from polewright.pole.joint import contact

__all__ = ["CONTACTS", "Limits", "Margin", "Margins", "checks_of", "margins"]

CONTACTS = ("contact at the mouth", "contact at the inner end")


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
            if not (values.ndim == 1 or pairs) or np.any(np.isnan(values)) or np.any(values <= 0.0):
                raise DesignError(f"limits.{name}", values.tolist(), Message("want.numbers_above_zero_inf_where_does"))

    @classmethod
    def none(cls, sections: int) -> "Limits":
        """No limits at all, to replace the known ones in."""
        free, joints = np.full(sections, np.inf), np.full(max(sections - 1, 0), np.inf)
        return cls(free, free, free, joints, joints, joints)


@dataclass(frozen=True, slots=True)
class Margin:
    """One check: where, what, the load there, its limit and limit over load."""

    place: str
    what: str
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
    """Every check of a bent pole in a fixed order: sections from the tip, then joints. As `margins`."""
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
            found.append(Margin(f"section {i + 1}", what, moment, float(getattr(limits, what)[i])))
    press = contact(b) if joints else None
    for j in range(joints):
        assert press is not None
        place = f"joint {j + 1}/{j + 2}"
        found += _pressed(
            place, load_factor * abs(float(press.front[j])), load_factor * abs(float(press.back[j])), limits.contact[j]
        )
        along = load_factor * float(b.along[np.argmin(np.abs(b.station - b.mesh.mouth[j + 1])), 1])
        found.append(Margin(place, "slip", max(-along, 0.0), float(limits.slip[j])))
        found.append(Margin(place, "pull-out", max(along, 0.0), float(limits.pull_out[j])))
    return tuple(found)


def _pressed(place: str, front: float, back: float, limit: FloatArray) -> list[Margin]:
    if np.ndim(limit) == 0:
        return [Margin(place, "contact", max(front, back), float(limit))]
    return [Margin(place, CONTACTS[0], front, float(limit[0])), Margin(place, CONTACTS[1], back, float(limit[1]))]


def margins(b: Bent, limits: Limits, *, load_factor: float = 1.0) -> Margins:
    """Margins of a bent pole; every load in it counts `load_factor` times (2 to 3 for a jerk).

    The moment of an overlap is checked against the outer tube, and against the inner one at the outer mouth.

    Raises
    ------
    DesignError : limits of another pole; a joint without overlap.

    Source
    ------
    Definition of a margin, limit over largest load; forces in the joints by `joint.contact`.
    """
    return Margins(tuple(sorted(checks_of(b, limits, load_factor=load_factor), key=lambda m: m.factor)))
