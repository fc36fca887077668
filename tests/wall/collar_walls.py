"""Walls drawn by a seed and those of the demo poles, under every collar by finite elements: `python -m
tests.wall.collar_walls` writes data/collars.json, which the test of the collars reads. It takes half an hour.
"""

import json
import sys
from dataclasses import fields
from pathlib import Path

import numpy as np
from tests.wall.referee_collar import CRACK, FIBRE, Body, Strap, Tube, draw
from tests.wall.walls_of_the_notes import CARBON_STRENGTH, HOOP, SM150, TH55

from polewright.documents.values import workpiece
from polewright.materials.ply import Elastic, Strength
from polewright.wall.collar import COLLARS, DRAWN, FOOT, GAP, LINING, PAD, collar_loads, collar_of
from polewright.wall.stack import Wall
from polewright.wall.thin_stress import thin_cure_stress
from polewright.workshop.demo import demo_designs

DATA = Path(__file__).parent / "data" / "collars.json"
RISE, SEED = -100.0, 20
AROUND = 36  # elements of 5 degrees: lugs, feet and pad end where one does


def drawn_walls():
    """Ten walls: radius 8 to 40 walls, 0 to 30 % of hoop, bore 15 to 60 mm; hoops at both faces, inside or buried."""
    random = np.random.default_rng(SEED)
    for i in range(10):
        bore, slender = random.uniform(0.015, 0.060), random.uniform(8.0, 40.0)
        share = 0.0 if i == 0 else random.uniform(0.0, 0.30)
        total = bore / 2.0 / (slender - 0.5)
        hoop, axial = total * share, total * (1.0 - share)
        where = ("both faces", "both faces", "inside", "buried")[int(random.integers(4))]
        inner = {"both faces": [0.5, 0.5], "inside": [1.0, 0.0], "buried": [0.0, 0.0]}[where]
        plies = [(HOOP, hoop * inner[0]), *[(0.0, axial / 4.0)] * 2]
        plies += [(HOOP, hoop if where == "buried" else 0.0)]
        plies += [*[(0.0, axial / 4.0)] * 2, (HOOP, hoop * inner[1])]
        kept = [(angle, t) for angle, t in plies if t > 0.0]
        name = (
            f"{i + 1}: bore {bore * 1e3:.0f} mm, R/t {slender:.0f}, hoops {share:.0%} {where if share else ''}".strip()
        )
        yield name, _wall(bore, kept), CARBON_STRENGTH


def _wall(bore, plies):
    made = [TH55 if angle else SM150 for angle, _ in plies]
    elastic = {f.name: np.array([float(getattr(p.elastic, f.name)) for p in made]) for f in fields(Elastic)}
    return Wall(np.asarray(bore), np.array([a for a, _ in plies]), np.array([t for _, t in plies]), Elastic(**elastic))


def demo_walls():
    """The walls of the demo poles' widest sections that have axial and hoop plies alone, with their lab means."""
    for design in demo_designs():
        for number, section in reversed(list(enumerate(workpiece(design).sections, 1))):
            angle = np.abs(section.stack.wall(0.03).angle)
            if np.all((angle < 1e-9) | (np.abs(angle - HOOP) < 1e-9)):
                wall = section.stack.wall(float(section.bores(np.array([section.length]))[0]))
                lab = section.stack.strength()
                yield f"{design.name}, section {number}", wall, {f.name: getattr(lab, f.name) for f in fields(Strength)}
                break


def strengths(wall, values):
    """One strength a layer."""
    return Strength(**{name: np.broadcast_to(np.asarray(v), wall.angle.shape).copy() for name, v in values.items()})


def by_elements(wall, strength, kind, *, around=AROUND):
    """What finite elements find of one wall under one kind of collar."""
    one = Elastic(**{f.name: np.broadcast_to(getattr(wall.elastic, f.name), wall.angle.shape) for f in fields(Elastic)})
    layers = [
        (Elastic(**{f.name: float(getattr(one, f.name)[i]) for f in fields(Elastic)}), float(wall.angle[i]), float(t))
        for i, t in enumerate(wall.thickness)
    ]
    tube = Tube(layers, float(wall.bore), around=around)
    flat = thin_cure_stress(wall, RISE)[0]
    cure = np.zeros((*flat.shape[:2], 6))
    cure[..., 0], cure[..., 1], cure[..., 5] = flat[..., 0], flat[..., 1], flat[..., 2]
    guess = collar_loads(wall, strength, collar_of(kind), cure=thin_cure_stress(wall, RISE))
    if kind == "split_band":
        collar, first = Strap(tube, friction=DRAWN, gap=GAP, foot=FOOT), 0.05 * guess.most * tube.outside
    else:
        edge = np.pi / 2.0 if kind == "two_shells" else PAD
        collar = Body(
            tube,
            covers=lambda a: (a < edge) | (a > np.pi / 2.0),
            way=lambda a: np.abs(np.cos(a)),
            slope=lambda a: -np.sign(np.cos(a)) * np.sin(a),
            lining=LINING,
        )
        first = 0.05 * guess.most / LINING
    until = CRACK if guess.ends == "crack" else FIBRE
    return draw(tube, collar, first=first, step=0.16 * guess.most, strength=strength, cure=cure, until=until)


def main():
    """Work every wall out and write the data; one that is there already is left as it is."""
    rows = json.loads(DATA.read_text(encoding="utf-8")) if DATA.exists() else {}
    for name, wall, values in [*drawn_walls(), *demo_walls()]:
        for kind in COLLARS:
            if (key := f"{name}, {kind}") in rows:
                continue
            found = by_elements(wall, strengths(wall, values), kind)
            guess = collar_loads(wall, strengths(wall, values), collar_of(kind), cure=thin_cure_stress(wall, RISE))
            rows[key] = {name: value if np.isfinite(value) else None for name, value in vars(found).items()}
            text = " ".join(f"{v:.4g}" for v in (found.crack, found.fibre, found.most))
            own = " ".join(f"{v:.4g}" for v in (guess.crack.pressure, guess.fibre.pressure, guess.collapse))
            sys.stderr.write(f"{key}: {text} {found.folded} ({guess.ends}: {own})\n")
            DATA.write_text(json.dumps(rows, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
