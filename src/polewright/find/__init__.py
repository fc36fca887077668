"""The best walls and poles for a brief, with proof."""

from polewright.find.bearing import Bears
from polewright.find.brief import Bar, Brief, Build, FurtherDroop, FurtherFlex, Shop
from polewright.find.certificate import Certificate, Ledger
from polewright.find.chain import Links, brief_base, fronts_wanted, links_of
from polewright.find.effort import Estimate, estimate
from polewright.find.found import FoundPole, Progress
from polewright.find.going_on import kept_of, state_of
from polewright.find.kept_fronts import fronts_of, kept_fronts
from polewright.find.options import Option, Options, Rules
from polewright.find.plain_pole import given_pole
from polewright.find.pole_search import PoleSearch, SearchState, best_pole
from polewright.find.trade import pole_front
from polewright.find.wall_front import WallFront, best_walls, candidates_in_all
from polewright.find.wishes import Conflict, Relaxation, why_not
from polewright.find.worth import Change, Offer, changes, offers

__all__ = [
    "Bar",
    "Bears",
    "Brief",
    "Build",
    "Certificate",
    "Change",
    "Conflict",
    "Estimate",
    "FoundPole",
    "FurtherDroop",
    "FurtherFlex",
    "Ledger",
    "Links",
    "Offer",
    "Option",
    "Options",
    "PoleSearch",
    "Progress",
    "Relaxation",
    "Rules",
    "SearchState",
    "Shop",
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
