"""One section's wall in full, for whoever asks."""

from functools import lru_cache

from polewright.answers import wall_detail
from polewright.answers.wall_changes import ChangeEffect, PlyShare, Slope
from polewright.answers.wall_detail import LimitAnswer, RoundAnswer, WallAnswer
from polewright.answers.wall_strength import ThroughStress
from polewright.documents.design import Design
from polewright.documents.values import Workpiece

__all__ = [
    "ChangeEffect",
    "Design",
    "LimitAnswer",
    "PlyShare",
    "RoundAnswer",
    "Slope",
    "ThroughStress",
    "WallAnswer",
    "wall_answer",
]


@lru_cache(maxsize=16)
def wall_answer(design: Design, section: int, work: Workpiece | None = None) -> WallAnswer:
    """Every figure of one section's wall, at its butt; `section` counts from 1 at the tip. The last ones are kept.

    Raises
    ------
    DocumentError : the design cannot be built. DesignError : no such section, or a wall too thin for the layered ring.
    """
    return wall_detail.wall_answer(design, section, work)
