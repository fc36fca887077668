"""Why no pole meets a brief: the fewest wishes that exclude each other, and how near each of them can be come to."""

from dataclasses import dataclass, replace

import numpy as np

from polewright.errors import DesignError
from polewright.find.brief import Aim, Brief, Shop
from polewright.find.chain import Known, Links, brief_base, links_of
from polewright.find.found import FoundPole, Progress
from polewright.find.pole_search import best_pole

__all__ = ["Conflict", "Relaxation", "why_not"]

BASE_STEP = 1e-4
WISHES = ("droop", "flex", "mass", "carry", "cost", "base", "closed", "further droop", "swing")
_AIMS: dict[str, Aim] = {"droop": "droop", "flex": "flex", "mass": "mass", "carry": "carry", "cost": "cost",
                         "further droop": "droop", "swing": "flex"}


@dataclass(frozen=True, slots=True)
class Relaxation:
    """One wish eased while all others are kept: the nearest pole there is (None: easing this alone does not help) and
    the value it needs, in the unit of the wish.
    """

    wish: str
    limit: float
    needs: float
    pole: FoundPole | None


@dataclass(frozen=True, slots=True)
class Conflict:
    """The wishes that exclude each other, none of them idle: without any one of them some pole meets the rest of them.

    proved: every step was settled by the search to its end. Empty wishes: some pole meets the brief after all, or,
    with `is_hopeless`, no chain of bars and walls fits together whatever the wishes.
    """

    wishes: tuple[str, ...]
    relaxations: tuple[Relaxation, ...]
    is_hopeless: bool = False

    @property
    def words(self) -> str:
        """For a person; numbers in SI units, the faces write them in the workshop's."""
        if self.is_hopeless:
            return "no mandrels of the rack nest with these walls and clearances, whatever the wishes"
        if not self.wishes:
            return "the wishes do not exclude each other"
        lines = [f"cannot all be had: {', '.join(self.wishes)}"]
        lines += [f"with {r.wish} {r.needs:.4g} instead of {r.limit:.4g} there is a pole" if r.pole is not None
                  else f"easing {r.wish} alone does not help" for r in self.relaxations]
        return "\n".join(lines)


def _limit(brief: Brief, wish: str) -> float:
    if wish == "flex":
        return np.inf if brief.flex_wanted is None else brief.flex_wanted
    if wish == "further droop":
        return min((w.droop_at_most for w in brief.droops), default=np.inf)
    if wish == "swing":
        return brief.swing_at_least or np.inf
    return float(getattr(brief, f"{wish}_at_most"))


def _without(brief: Brief, wish: str) -> Brief:
    if wish == "flex":
        return replace(brief, flex_wanted=None)
    if wish == "further droop":
        return replace(brief, droops=())
    if wish == "swing":
        return replace(brief, swing_at_least=0.0)
    eased: Brief = replace(brief, **{f"{wish}_at_most": np.inf})  # type: ignore[arg-type]
    return eased


def _needs(brief: Brief, wish: str, pole: FoundPole) -> float:
    """The value of a wish that a pole has; of several further droops, that of the strictest."""
    if wish == "further droop":
        strictest = min(brief.droops, key=lambda w: w.droop_at_most)
        return pole.droop_at(strictest.tip_mass, strictest.out)
    return pole.figure(wish)


@dataclass(slots=True)
class _Asker:
    """Asks whether some pole meets a brief, and remembers the walls it worked out."""

    shop: Shop
    known: Known
    tolerance: float

    def links(self, brief: Brief) -> Links:
        return links_of(self.shop, brief_base(brief, self.shop), known=self.known)

    def has_pole(self, brief: Brief) -> bool:
        seen: list[bool] = []

        def look(progress: Progress) -> None:
            if np.isfinite(progress.best):
                seen.append(True)
        try:
            answer = best_pole(brief, self.shop, links=self.links(brief), tolerance=self.tolerance, progress=look,
                               stop=lambda: bool(seen))
        except DesignError:
            return False  # closed length that no number of sections can have
        return answer.best is not None

    def nearest(self, brief: Brief, wish: str) -> FoundPole | None:
        free = _without(brief, wish)
        if not self.has_pole(free):
            return None
        if wish == "base":
            return self._least_base(free, brief.base_at_most)
        if wish == "closed":
            return self._shortest(free)
        return best_pole(replace(free, aim=_AIMS[wish]), self.shop, links=self.links(free),
                         tolerance=self.tolerance).best

    def _least_base(self, brief: Brief, above: float) -> FoundPole | None:
        """By halving among the outside diameters that a last section can have, to a tenth of a millimetre."""
        ends = np.concatenate([n.outside for n in self.links(brief).links if n.outer < 0])
        ends = np.unique(np.ceil(ends / BASE_STEP)) * BASE_STEP
        ends = ends[ends > above]
        low, high = 0, len(ends) - 1
        while low < high:
            middle = (low + high) // 2
            if self.has_pole(replace(brief, base_at_most=float(ends[middle]) + 1e-9)):
                high = middle
            else:
                low = middle + 1
        eased = replace(brief, base_at_most=float(ends[low]) + 1e-9)
        return best_pole(eased, self.shop, links=self.links(eased), tolerance=self.tolerance).best

    def _shortest(self, brief: Brief) -> FoundPole | None:
        for n in sorted(brief.sections, reverse=True):
            found = best_pole(replace(brief, sections=(n,)), self.shop, links=self.links(brief),
                              tolerance=self.tolerance).best
            if found is not None:
                return found
        return None


def why_not(brief: Brief, shop: Shop, *, known: Known | None = None, tolerance: float = 0.01) -> Conflict:
    """The smallest set of wishes that exclude each other, by leaving out one after another, and each one's easing.

    known : fronts of walls from earlier searches. tolerance : [-] of the nearest poles' aims.
    """
    asker = _Asker(shop, {} if known is None else known, tolerance)
    wishes = [w for w in WISHES if np.isfinite(_limit(brief, w))]
    if asker.has_pole(brief):
        return Conflict((), ())
    rest = brief
    for wish in wishes:
        without = _without(rest, wish)
        if not asker.has_pole(without):
            rest = without
    kept = tuple(w for w in wishes if np.isfinite(_limit(rest, w)))
    if not kept:
        return Conflict((), (), is_hopeless=True)
    eased = []
    for wish in kept:
        pole = asker.nearest(brief, wish)
        needs = np.nan if pole is None else _needs(brief, wish, pole)
        eased.append(Relaxation(wish, _limit(brief, wish), float(needs), pole))
    return Conflict(kept, tuple(eased))
