"""Compile the inner loops once, at installation, so that the first command and the first page are quick."""

import sys
from collections.abc import Iterator
from importlib.resources import files

from polewright.documents.check import check
from polewright.documents.design import Design
from polewright.documents.files import document_from
from polewright.documents.find_of import find
from polewright.documents.holding import Holding, hold_figures
from polewright.documents.scatter_of import scatter_report
from polewright.documents.spend import spendings
from polewright.documents.values import workpiece
from polewright.documents.wall_figures import wall_figures
from polewright.scatter import Plan
from polewright.search import Option, Options, best_walls
from polewright.workshop.held_band import held_band
from polewright.workshop.held_pole import held_pole

__all__ = ["main"]

HOLDS = ("trestles", "clamped", "hands", "lifted", "head on glass")


def main() -> None:
    """Ask of the demo poles whatever the commands ask; what is compiled on the way is kept beside its source."""
    sys.stdout.write("compiling the inner loops, once\n")
    designs = list(_demo())
    for design in designs:
        check(design)
    one = designs[0]
    work = workpiece(one)
    for hold in HOLDS:
        hold_figures(one, work, Holding.model_validate({"support": hold, "lean_deg": 60.0, "wind_m_s": 3.0}))
    held_band(one, work, held_pole(one, work, Holding()), system="metric")
    spendings(one, work)
    wall_figures(one, 1)
    scatter_report(one, plan=Plan(64), order=1)
    find(one)
    # the orders of a wall, which a search in the listed order leaves alone
    ply = work.sections[0].stack.wraps[0].ply
    best_walls(Options((Option(ply, 0.0), Option(ply, 1.0)), most=3, bore=0.02))


def _demo() -> Iterator[Design]:
    for entry in sorted((files("polewright.documents") / "demo").iterdir(), key=lambda f: f.name):
        if entry.name.endswith(".toml"):
            design = document_from(entry.read_text(encoding="utf-8"), where=entry.name)
            if isinstance(design, Design):
                yield design


if __name__ == "__main__":
    main()
