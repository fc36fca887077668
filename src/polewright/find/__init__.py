"""The best walls and poles for a brief, with proof."""

from polewright.find.certificate import Certificate, Ledger
from polewright.find.options import Option, Options, Rules
from polewright.find.wall_front import WallFront, best_walls, candidates_in_all

__all__ = ["Certificate", "Ledger", "Option", "Options", "Rules", "WallFront", "best_walls", "candidates_in_all"]
