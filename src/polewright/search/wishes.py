"""Why no pole meets a brief: the fewest wishes that exclude each other, and how near each of them can be come to."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from polewright.errors import DesignError
from polewright.search.brief import Aim, Brief, FigureLimit, Shop
from polewright.search.candidate import FoundPole, Progress
from polewright.search.chain import Known, Links, brief_base, links_of
from polewright.search.pole_bound import Stop
from polewright.search.pole_search import best_pole
from polewright.wall.membrane import tube_stiffness

__all__ = ["Conflict", "Relaxation", "why_not"]

BASE_STEP = 1e-4
FIGURE_STEP = 0.005
WISHES = (
    "droop",
    "flex",
    "mass",
    "carry",
    "cost",
    "base",
    "closed",
    "further droop",
    "further flex",
    "swing",
    "strength",
    "squeeze",
    "clamp",
    "twist",
)
_AIMS: dict[str, Aim] = {
    "droop": "droop",
    "flex": "flex",
    "mass": "mass",
    "carry": "carry",
    "cost": "cost",
    "further droop": "droop",
    "further flex": "flex",
    "swing": "flex",
}
_OF_WALLS = {"strength": ("moment",), "squeeze": ("plates", "fist", "pad"), "clamp": ("band",)}


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
        lines += [
            f"with {r.wish} {r.needs:.4g} instead of {r.limit:.4g} there is a pole"
            if r.pole is not None
            else f"easing {r.wish} alone does not help"
            for r in self.relaxations
        ]
        return "\n".join(lines)


def _figure_limit(brief: Brief, wish: str) -> FigureLimit | None:
    return next((limit for limit in brief.figures if limit.figure.code == wish), None)


def _limit(brief: Brief, shop: Shop, wish: str) -> float:
    if wish not in WISHES:
        limit = _figure_limit(brief, wish)
        return np.inf if limit is None else limit.at_most
    if wish == "flex":
        return np.inf if brief.flex_wanted is None else brief.flex_wanted
    if wish == "further droop":
        return min((w.droop_at_most for w in brief.droops), default=np.inf)
    if wish == "further flex":
        return min((w.wanted for w in brief.flexes), default=np.inf)
    if wish == "swing":
        return brief.swing_at_least or np.inf
    if wish == "twist":
        return shop.walls.rules.least_twist or np.inf
    if wish in _OF_WALLS:
        bears = shop.walls.bears
        return np.inf if bears is None else max(getattr(bears, n) for n in _OF_WALLS[wish]) or np.inf
    return float(getattr(brief, f"{wish}_at_most"))


def _without(brief: Brief, shop: Shop, wish: str) -> tuple[Brief, Shop]:
    if wish not in WISHES:
        return replace(brief, figures=tuple(x for x in brief.figures if x.figure.code != wish)), shop
    if wish == "flex":
        return replace(brief, flex_wanted=None), shop
    if wish == "further droop":
        return replace(brief, droops=()), shop
    if wish == "further flex":
        return replace(brief, flexes=()), shop
    if wish == "swing":
        return replace(brief, swing_at_least=0.0), shop
    if wish == "twist":
        rules = replace(shop.walls.rules, least_twist=0.0)
        return brief, replace(shop, walls=replace(shop.walls, rules=rules))
    if wish in _OF_WALLS and shop.walls.bears is not None:
        off: dict[str, Any] = dict.fromkeys(_OF_WALLS[wish], 0.0)
        bears = replace(shop.walls.bears, **off)
        return brief, replace(shop, walls=replace(shop.walls, bears=bears if bears.asks else None))
    eased: Brief = replace(brief, **{f"{wish}_at_most": np.inf})  # type: ignore[arg-type]
    return eased, shop


def _needs(brief: Brief, wish: str, pole: FoundPole) -> float:
    """The value of a wish that a pole has; of several further droops or flexes, that of the strictest."""
    limit = _figure_limit(brief, wish)
    if limit is not None:
        return limit.figure.value(pole)
    if wish == "further droop":
        strictest = min(brief.droops, key=lambda w: w.droop_at_most)
        return pole.droop_at(strictest.tip_mass, strictest.out)
    if wish == "further flex":
        wanted = min(brief.flexes, key=lambda w: w.wanted)
        return pole.flex_at(wanted.tip_mass, wanted.out)
    if wish == "twist":
        return min(float(tube_stiffness(w).twist) for w in pole.walls)
    return np.nan if wish in _OF_WALLS else pole.figure(wish)


@dataclass(slots=True)
class _Asker:
    """Asks whether some pole meets a brief, and remembers the walls it worked out."""

    shop: Shop
    known: Known
    tolerance: float
    stop: Stop

    def links(self, brief: Brief, shop: Shop) -> Links:
        return links_of(shop, brief_base(brief, shop), known=self.known)

    def has_pole(self, brief: Brief, shop: Shop) -> bool:
        seen: list[bool] = []

        def look(progress: Progress) -> None:
            if np.isfinite(progress.best):
                seen.append(True)

        try:
            answer = best_pole(
                brief,
                shop,
                links=self.links(brief, shop),
                tolerance=self.tolerance,
                progress=look,
                stop=lambda: bool(seen) or self.stop(),
            )
        except DesignError:
            return False  # closed length that no number of sections can have
        return answer.best is not None

    def nearest(self, brief: Brief, wish: str) -> FoundPole | None:
        free, shop = _without(brief, self.shop, wish)
        if not self.has_pole(free, shop):
            return None
        if wish == "base":
            return self._least_base(free, brief.base_at_most)
        if wish == "closed":
            return self._shortest(free)
        limit = _figure_limit(brief, wish)
        if limit is not None:
            return self._least_figure(free, limit)
        return self._best(replace(free, aim=_AIMS.get(wish, free.aim)), shop)

    def _best(self, brief: Brief, shop: Shop) -> FoundPole | None:
        return best_pole(brief, shop, links=self.links(brief, shop), tolerance=self.tolerance, stop=self.stop).best

    def _least_figure(self, free: Brief, limit: FigureLimit) -> FoundPole | None:
        """By halving between the limit and what the best pole by the figure's own aim has, to FIGURE_STEP of it."""
        best = self._best(replace(free, aim=limit.figure.aim), self.shop)
        low = limit.at_most
        while best is not None and (high := limit.figure.value(best)) > low * (1.0 + FIGURE_STEP):
            middle = replace(limit, at_most=(low + high) / 2.0)
            found = self._best(replace(free, figures=(*free.figures, middle)), self.shop)
            best, low = (best, middle.at_most) if found is None else (found, low)
            if self.stop():
                break
        return best

    def _least_base(self, brief: Brief, above: float) -> FoundPole | None:
        """By halving among the outside diameters that a last section can have, to a tenth of a millimetre."""
        ends = np.concatenate([n.outside for n in self.links(brief, self.shop).links if n.outer < 0])
        ends = np.unique(np.ceil(ends / BASE_STEP)) * BASE_STEP
        ends = ends[ends > above]
        low, high = 0, len(ends) - 1
        while low < high:
            middle = (low + high) // 2
            if self.has_pole(replace(brief, base_at_most=float(ends[middle]) + 1e-9), self.shop):
                high = middle
            else:
                low = middle + 1
        return self._best(replace(brief, base_at_most=float(ends[low]) + 1e-9), self.shop)

    def _shortest(self, brief: Brief) -> FoundPole | None:
        for n in sorted(brief.sections, reverse=True):
            found = self._best(replace(brief, sections=(n,)), self.shop)
            if found is not None:
                return found
        return None


def why_not(
    brief: Brief, shop: Shop, *, known: Known | None = None, tolerance: float = 0.01, stop: Stop | None = None
) -> Conflict:
    """The smallest set of wishes that exclude each other, by leaving out one after another, and each one's easing.

    known : fronts of walls from earlier searches. tolerance : [-] of the nearest poles' aims. stop : asked now and
    then; once true, what is not settled yet counts as excluding.
    """
    asker = _Asker(shop, {} if known is None else known, tolerance, stop or (lambda: False))
    wishes = [w for w in (*WISHES, *(x.figure.code for x in brief.figures)) if np.isfinite(_limit(brief, shop, w))]
    if asker.has_pole(brief, shop):
        return Conflict((), ())
    rest = brief, shop
    for wish in wishes:
        without = _without(*rest, wish)
        if not asker.has_pole(*without):
            rest = without
    kept = tuple(w for w in wishes if np.isfinite(_limit(*rest, w)))
    if not kept:
        return Conflict((), (), is_hopeless=True)
    eased = []
    for wish in kept:
        pole = asker.nearest(brief, wish)
        needs = np.nan if pole is None else _needs(brief, wish, pole)
        eased.append(Relaxation(wish, _limit(brief, shop, wish), float(needs), pole))
    return Conflict(kept, tuple(eased))
