"""Peaks of bent tubes in solid finite elements, kept in data/bent_tubes.json: `python -m tests.wall.bent_tubes`.

Ten walls drawn by a seed and the sections of the demo poles, each bent by `referee_bent` with a ripple of 1 % of the
wall, at several lengths of half a wave; the least peak is the wall's own. Takes an hour, so its figures are kept, and
one of them is worked out anew in the tests.
"""

import json
import sys
from dataclasses import asdict, dataclass, fields
from pathlib import Path

import numpy as np
from tests.wall.referee_bent import BentTube

import polewright
from polewright.documents.values import workpiece
from polewright.materials import Elastic
from polewright.wall import Wall
from polewright.wall.flattening import oval_scales, oval_top
from polewright.wall.oval_wrinkle import oval_wrinkle

KEPT = Path(__file__).parent / "data" / "bent_tubes.json"
EXAMPLES = Path(__file__).parents[2] / "examples"
POLES = ("reedlight-7", "tallreed-11", "crookbough-5", "peerglass-8")
SEED, DRAWN = 7, 10
RIPPLE = 0.01  # of the wall
LENGTHS = (1.0, 1.3, 1.7)  # of half a wave, beside the model's own or the shell's
CARBON = Elastic(
    E1=125e9,
    E2=8.5e9,
    E3=8.5e9,
    nu12=0.3,
    nu13=0.3,
    nu23=0.45,
    G12=4.5e9,
    G13=4.5e9,
    G23=2.9e9,
    alpha1=0.0,
    alpha2=0.0,
    alpha3=0.0,
    density=1500.0,
)


@dataclass(frozen=True)
class Peak:
    """One wall in elements: name, lengths of half a wave [m], the peak of each [N m], the least of a smooth curve."""

    name: str
    half_waves: list[float]
    peaks: list[float]
    least: float


def drawn_walls() -> dict[str, Wall]:
    """Carbon walls along the tube between two hoops, radius 8 to 40 walls, hoops 0 to 30 %, bore 15 to 60 mm."""
    rng = np.random.default_rng(SEED)
    found = {}
    for _ in range(DRAWN):
        bore = rng.uniform(0.015, 0.060)
        slender = np.exp(rng.uniform(np.log(8.0), np.log(40.0)))
        hoops = rng.uniform(0.0, 0.3)
        wall = bore / 2.0 / (slender - 0.5)
        parts = np.array([hoops / 2.0, (1.0 - hoops) / 2.0, (1.0 - hoops) / 2.0, hoops / 2.0])
        name = f"bore {bore * 1e3:.0f} mm, radius {slender:.0f} walls, hoops {hoops:.0%}"
        found[name] = Wall(
            bore=bore, thickness=wall * parts, angle=np.array([np.pi / 2, 0.0, 0.0, np.pi / 2]), elastic=CARBON
        )
    return found


def demo_walls() -> dict[str, Wall]:
    """The sections of the demo poles at their butts, each wall once."""
    found: dict[str, Wall] = {}
    for pole in POLES:
        work = workpiece(polewright.load(EXAMPLES / f"{pole}.toml"))
        for number, section in enumerate(work.sections, 1):
            wall = section.stack.wall(float(section.bores(np.array([0.0]))[0]))
            found[f"{pole}, section {number} from the tip"] = wall
    return found


def bent(wall: Wall, half_wave: float, *, around: int = 28, along: int = 4) -> float:
    """[N m] peak of a wall in elements, its ripple with this half wave [m]."""
    each = np.array([np.broadcast_to(getattr(wall.elastic, f.name), wall.thickness.shape) for f in fields(Elastic)])
    same = np.all(np.diff(np.vstack([each, wall.angle]), axis=1) == 0.0, axis=0)
    first = np.flatnonzero(np.concatenate([[True], ~same]))  # like plies that touch are one
    tube = BentTube.made(
        bore=float(wall.bore),
        thickness=np.add.reduceat(wall.thickness, first).tolist(),
        elastic=[{f.name: float(n) for f, n in zip(fields(Elastic), each[:, i], strict=True)} for i in first],
        angle=wall.angle[first].tolist(),
        length=half_wave,
        around=around,
        along=along,
    )
    rows = tube.peak(near=_near(wall), depth=RIPPLE * float(wall.total_thickness))
    top = int(rows[:, 1].argmax())
    if not 0 < top < len(rows) - 1:
        return float(rows[top, 1])
    a, b, c = np.polyfit(rows[top - 1 : top + 2, 0], rows[top - 1 : top + 2, 1], 2)
    return float(c - b * b / (4.0 * a))


def _near(wall: Wall) -> float:
    """[1/m] curvature about which the elements are asked closely."""
    unit, scale = (float(x) for x in oval_scales(wall))
    scaled = np.linspace(0.0, oval_top().last, 200)
    moments = [oval_top(float(k)).moment for k in scaled]
    return unit * float(np.interp(float(oval_wrinkle(wall, np.ones(())).perfect) / scale, moments, scaled))


def least_peak(name: str, wall: Wall) -> Peak:
    """The wall in elements at every length; the least by the parabola over the logarithm of the length."""
    middle = (float(wall.bore) + float(wall.total_thickness)) / 2.0
    shell = 1.7 * np.sqrt(middle * float(wall.total_thickness))
    own = float(oval_wrinkle(wall, np.ones(())).half_wave)
    base = own if np.isfinite(own) else shell
    halves = [base * s for s in LENGTHS]
    peaks = [bent(wall, h) for h in halves]
    i = int(np.clip(np.argmin(peaks), 1, len(peaks) - 2))
    a, b, c = np.polyfit(np.log(halves[i - 1 : i + 2]), peaks[i - 1 : i + 2], 2)
    least = min(*peaks, c - b * b / (4.0 * a)) if a > 0.0 else min(peaks)
    return Peak(name, [float(f"{h:.5g}") for h in halves], [float(f"{p:.5g}") for p in peaks], float(f"{least:.5g}"))


def main(wanted: str) -> None:
    """Work the walls out whose names hold a word, and keep them beside the others."""
    rows = {row["name"]: row for row in json.loads(KEPT.read_text(encoding="utf-8"))} if KEPT.exists() else {}
    for name, wall in {**drawn_walls(), **demo_walls()}.items():
        if wanted not in name:
            continue
        found = least_peak(name, wall)
        rows[name] = asdict(found)
        sys.stdout.write(f"{name}: {found.peaks}, {float(oval_wrinkle(wall, np.ones(())).perfect) / found.least:.3f}\n")
        sys.stdout.flush()
        KEPT.write_text(json.dumps(list(rows.values()), indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "")
