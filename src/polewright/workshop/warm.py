"""Compile the inner loops once, at installation, so that the first command and the first page are quick."""

from polewright.answers.check import check_design
from polewright.answers.hold import hold_answer
from polewright.answers.scatter import scatter_answer
from polewright.answers.spend import spendings
from polewright.answers.wall_detail import wall_answer
from polewright.documents.hold import Holding
from polewright.documents.values import workpiece
from polewright.scatter import Plan
from polewright.search import Option, Options, best_walls
from polewright.words.reports.find import find
from polewright.workshop.demo import demo_designs
from polewright.workshop.hold_band import hold_band
from polewright.workshop.hold_shape import hold_shape

__all__ = ["compile_loops"]

HOLDS = ("trestles", "clamped", "hands", "lifted", "head on glass")


def compile_loops() -> None:
    """Ask of the demo poles whatever the commands ask; what is compiled on the way is kept beside its source."""
    designs = demo_designs()
    for design in designs:
        check_design(design)
    one = designs[0]
    work = workpiece(one)
    for hold in HOLDS:
        hold_answer(one, work, Holding.model_validate({"support": hold, "lean_deg": 60.0, "wind_m_s": 3.0}))
    hold_band(one, work, hold_shape(one, work, Holding()))
    spendings(one, work)
    wall_answer(one, 1)
    scatter_answer(one, plan=Plan(64), order=1)
    find(one)
    # the orders of a wall, which a search in the listed order leaves alone
    ply = work.sections[0].stack.plies[0].ply
    best_walls(Options((Option(ply, 0.0), Option(ply, 1.0)), most=3, bore=0.02))
