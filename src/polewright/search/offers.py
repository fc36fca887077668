"""What more would buy: another bar or material, more base or money, one more section; and where money does most."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from polewright.codes import Message
from polewright.errors import DesignError, NotConverged
from polewright.search.brief import Bar, Brief, Shop
from polewright.search.candidate import FoundPole
from polewright.search.chain import Known, brief_base, links_of
from polewright.search.options import Option
from polewright.search.plain_pole import given_pole
from polewright.search.pole_search import best_pole

__all__ = ["Change", "Offer", "changes", "offers"]

MOST_SECTIONS = 10


@dataclass(frozen=True, slots=True)
class Change:
    """What one section's new wall does by itself: droop saved [m] and cost added [currency]; section from the tip."""

    section: int
    droop_saved: float
    cost_added: float

    @property
    def rate(self) -> float:
        """[m per currency] droop saved for the money; inf where it costs nothing more."""
        if self.cost_added <= 0.0:
            return np.inf if self.droop_saved > 0.0 else 0.0
        return self.droop_saved / self.cost_added


def changes(before: FoundPole, after: FoundPole) -> tuple[Change, ...]:
    """Section by section, what the walls and bars of `after` do in the place of those of `before`, one at a time.

    Raises
    ------
    DesignError : poles of unlike numbers of sections.
    """
    if len(before.bars) != len(after.bars):
        raise DesignError(
            "after",
            Message("given.sections_2", count=len(after.bars)),
            Message("want.as_many_as_before", count=len(before.bars)),
        )
    shift, build, kinds = len(before.shop.bars), before.shop.build, len(before.shop.walls.plies)
    walls = replace(before.shop.walls, plies=(*before.shop.walls.plies, *after.shop.walls.plies))
    shop = replace(before.shop, bars=before.shop.bars + after.shop.bars, walls=walls)
    # a lone section on another bar would not fit its neighbours: every joint has the same clearance meanwhile
    gap = (build.clearance_least + build.clearance_most) / 2.0
    base = given_pole(before.brief, shop, before.bars, before.recipes, clearance=gap)
    out = []
    for i, (bar, own) in enumerate(zip(after.bars, after.recipes, strict=True)):
        recipe = tuple(k + kinds for k in own)
        mixed = given_pole(
            before.brief,
            shop,
            (*before.bars[:i], bar + shift, *before.bars[i + 1 :]),
            (*before.recipes[:i], recipe, *before.recipes[i + 1 :]),
            clearance=gap,
        )
        out.append(Change(i + 1, base.droop - mixed.droop, mixed.cost - base.cost))
    return tuple(out)


@dataclass(frozen=True, slots=True)
class Offer:
    """What one more wish would buy: `pole` has the least of the aim (None: no pole meets the limits), `cheaper` costs
    least at no more droop than before (None: nothing cheaper).
    """

    what: Message
    pole: FoundPole | None
    droop_saved: float
    cheaper: FoundPole | None
    cost_saved: float

    @property
    def is_worth_it(self) -> bool:
        """Whether it buys anything."""
        return self.droop_saved > 0.0 or self.cost_saved > 0.0


def _wishes(
    brief: Brief, shop: Shop, bars: Sequence[Bar], plies: Sequence[Option], base: float, cost: float
) -> Iterator[tuple[Message, Brief, Shop]]:
    """Every further wish as a brief and shop of its own."""
    for bar in bars:
        yield Message("offer.mandrel", name=bar.name), brief, replace(shop, bars=(*shop.bars, bar))
    for option in plies:
        # in a listed order a new ply comes before the last, which may be the skin
        walls = replace(shop.walls, plies=(*shop.walls.plies[:-1], option, shop.walls.plies[-1]))
        yield Message("offer.material", name=option.ply.name), brief, replace(shop, walls=walls)
    if np.isfinite(brief.base_at_most):
        yield Message("offer.base"), replace(brief, base_at_most=brief.base_at_most + base), shop
    if np.isfinite(brief.cost_at_most):
        yield Message("offer.cost", amount=cost), replace(brief, cost_at_most=brief.cost_at_most + cost), shop
    if max(brief.sections) < MOST_SECTIONS:
        yield Message("offer.section"), replace(brief, sections=(*brief.sections, max(brief.sections) + 1)), shop


def offers(
    brief: Brief,
    shop: Shop,
    now: FoundPole,
    *,
    bars: Sequence[Bar] = (),
    plies: Sequence[Option] = (),
    base: float = 1e-3,
    cost: float = 10.0,
    known: Known | None = None,
    tolerance: float = 0.006,
    stop: Callable[[], bool] | None = None,
) -> tuple[Offer, ...]:
    """What each further wish would buy over the pole `now`, the most droop saved first.

    bars and plies : mandrels not owned and materials not stocked; base [m] and cost [currency] : by how much those
    limits are eased. known : fronts of walls from earlier searches, so that only new links are worked out. stop :
    asked as the searches go; true ends with the wishes that were dealt with.
    """
    known, halt = {} if known is None else known, stop or (lambda: False)
    out = []
    for what, wish, own in _wishes(brief, shop, bars, plies, base, cost):
        try:
            links = links_of(own, brief_base(wish, own), known=known, stop=halt)
            best = best_pole(replace(wish, aim="droop"), own, links=links, tolerance=tolerance, stop=halt).best
            thrifty = replace(wish, aim="cost", droop_at_most=min(now.droop, wish.droop_at_most))
            cheap = best_pole(thrifty, own, links=links, tolerance=tolerance, stop=halt).best
        except DesignError:
            best = cheap = None
        except NotConverged:
            if not halt():
                raise
            break
        if halt():
            break
        saved = max(now.droop - best.droop, 0.0) if best is not None else 0.0
        less = max(now.cost - cheap.cost, 0.0) if cheap is not None else 0.0
        out.append(Offer(what, best, saved, cheap if less > 0.0 else None, less))
    return tuple(sorted(out, key=lambda o: (-o.droop_saved, -o.cost_saved)))
