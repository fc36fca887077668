"""The best walls and poles for a brief, with proof."""

from polewright.search.bearing import Bears
from polewright.search.brief import (
    FINE_SLICES,
    Bar,
    Brief,
    Build,
    FigureLimit,
    FurtherDroop,
    FurtherFlex,
    PoleFigure,
    Shop,
)
from polewright.search.candidate import FoundPole, Progress
from polewright.search.certificate import Certificate, Ledger
from polewright.search.chain import Links, brief_base, fronts_wanted, links_of
from polewright.search.effort import Estimate, estimate
from polewright.search.further_limits import Reference, SumRow
from polewright.search.kept_fronts import fronts_of, kept_fronts
from polewright.search.offers import Change, Offer, changes, offers
from polewright.search.options import Option, Options, Rules
from polewright.search.plain_pole import given_pole
from polewright.search.pole_front import pole_front
from polewright.search.pole_parts import MODEL, PoleSearch, SearchState
from polewright.search.pole_search import best_pole
from polewright.search.resume import kept_of, state_of
from polewright.search.wall_front import WallFront, best_walls, candidates_in_all
from polewright.search.wishes import Conflict, Relaxation, why_not

__all__ = [
    "FINE_SLICES",
    "MODEL",
    "Bar",
    "Bears",
    "Brief",
    "Build",
    "Certificate",
    "Change",
    "Conflict",
    "Estimate",
    "FigureLimit",
    "FoundPole",
    "FurtherDroop",
    "FurtherFlex",
    "Ledger",
    "Links",
    "Offer",
    "Option",
    "Options",
    "PoleFigure",
    "PoleSearch",
    "Progress",
    "Reference",
    "Relaxation",
    "Rules",
    "SearchState",
    "Shop",
    "SumRow",
    "WallFront",
    "best_pole",
    "best_walls",
    "brief_base",
    "candidates_in_all",
    "changes",
    "estimate",
    "fronts_of",
    "fronts_wanted",
    "given_pole",
    "kept_fronts",
    "kept_of",
    "links_of",
    "offers",
    "pole_front",
    "state_of",
    "why_not",
]
