"""How far each section and joint is from its limit, and which is nearest: the weakest place by name."""

from dataclasses import dataclass

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.errors import DesignError
from polewright.pole.beam import Bent
from polewright.pole.joint import contact

__all__ = ["Limits", "Margin", "Margins", "margins"]


@dataclass(frozen=True, slots=True, eq=False)
class Limits:
    """What each section and joint can bear; inf where a limit does not apply.

    strength, flattening, wrinkling (n_section,) [N m] bending moments; contact (n_joint,) [N] force on the ring at an
    end of the overlap; slip (n_joint,) [N] push along the pole that the collar holds; pull_out (n_joint,) [N].
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
            if values.ndim != 1 or np.any(np.isnan(values)) or np.any(values <= 0.0):
                raise DesignError(f"limits.{name}", values.tolist(), "numbers above zero, inf where it does not apply")

    @classmethod
    def none(cls, sections: int) -> "Limits":
        """No limits at all, to replace the known ones in."""
        free, joints = np.full(sections, np.inf), np.full(sections - 1, np.inf)
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


def margins(b: Bent, limits: Limits, *, load_factor: float = 1.0) -> Margins:
    """Margins of a bent pole; every load in it counts `load_factor` times (2 to 3 for a jerk).

    The moment of an overlap is checked against the outer tube, and against the inner one at the outer mouth.

    Raises
    ------
    DesignError : limits of another pole; a joint without overlap.
    """
    n, joints = len(b.pole.tubes), len(b.pole.joints)
    if limits.strength.size != n or limits.contact.size != joints:
        raise DesignError("limits", f"{limits.strength.size} sections", f"{n} sections and {joints} joints, tip first")
    if not (np.isfinite(load_factor) and load_factor > 0.0):
        raise DesignError("load_factor", load_factor, "above zero")
    found = []
    for i in range(n):
        moment = load_factor * _largest_moment(b, i)
        for what in ("strength", "flattening", "wrinkling"):
            found.append(Margin(f"section {i + 1}", what, moment, float(getattr(limits, what)[i])))
    press = contact(b) if joints else None
    for j in range(joints):
        assert press is not None
        place = f"joint {j + 1}/{j + 2}"
        force = load_factor * float(max(abs(press.front[j]), abs(press.back[j])))
        along = load_factor * float(b.along[np.argmin(np.abs(b.station - b.mesh.mouth[j + 1])), 1])
        found.append(Margin(place, "contact", force, float(limits.contact[j])))
        found.append(Margin(place, "slip", max(-along, 0.0), float(limits.slip[j])))
        found.append(Margin(place, "pull-out", max(along, 0.0), float(limits.pull_out[j])))
    return Margins(tuple(sorted(found, key=lambda m: m.factor)))
