"""What a whole-pole search gives: a pole as bars and recipes, and how the search stands."""

from dataclasses import dataclass

import numpy as np

from polewright.arrays import FloatArray, freeze
from polewright.conventions.gravity import GRAVITY
from polewright.pole import Bench, Bent, Clamped, Joint, Pole, State, Tube, bent, modes
from polewright.search.brief import Brief, Shop
from polewright.wall.membrane import tube_stiffness
from polewright.wall.stack import Wall

__all__ = ["FLEX_STEP", "FoundPole", "Progress"]

FLEX_STEP = 0.1
"""[kg] hung on for a flex at another load or reach."""


@dataclass(frozen=True, slots=True)
class Progress:
    """How a long search stands: the step in hand, the aim's best value so far (inf: none), its bound, and the gap.

    step : "walls", "prices", "first_poles", "conflict" or "branch"; `done` of `of` parts of it (of 0: not counted).
    """

    step: str
    best: float = np.inf
    bound: float = 0.0
    done: int = 0
    of: int = 0

    @property
    def gap(self) -> float:
        """[-] by how much anything could still be better, inf while nothing was found."""
        return self.best / self.bound - 1.0 if self.bound > 0.0 and np.isfinite(self.best) else np.inf


@dataclass(frozen=True, slots=True, eq=False)
class FoundPole:
    """One pole: bars (numbers on the rack) and recipes (numbers of the options), tip first.

    droop [m], flex [m/N], mass [kg], cost [currency], carry [kg m] by the model of the search; outside (n,) [m] of each
    section; reach, closed [m].
    """

    brief: Brief
    shop: Shop
    bars: tuple[int, ...]
    recipes: tuple[tuple[int, ...], ...]
    droop: float
    flex: float
    mass: float
    cost: float
    carry: float
    outside: FloatArray
    length: float

    def __post_init__(self) -> None:
        freeze(self, ("outside",))

    @property
    def base(self) -> float:
        """[m] outside diameter of the butt section."""
        return float(self.outside[-1])

    @property
    def closed(self) -> float:
        """[m] closed length."""
        return self.length + (len(self.bars) - 1) * self.shop.build.proud

    def figure(self, name: str) -> float:
        """One of the figures by name."""
        return float(getattr(self, name))

    @property
    def walls(self) -> tuple[Wall, ...]:
        """Each section's wall on its bar, tip first."""
        return tuple(
            self.shop.walls.stack(r).wall(self.shop.bars[b].bore) for b, r in zip(self.bars, self.recipes, strict=True)
        )

    @property
    def pole(self) -> Pole:
        """The pole for the solvers of the pole room, walls by the thin tier."""
        build, tubes, joints = self.shop.build, [], []
        for wall, outside in zip(self.walls, self.outside, strict=True):
            stiff = tube_stiffness(wall)
            tubes.append(
                Tube.uniform(
                    length=self.length,
                    bending=float(stiff.bending),
                    axial=float(stiff.axial),
                    shear=float(stiff.shear),
                    mass_per_length=float(wall.mass_per_length),
                    bore=float(wall.bore),
                    outside=float(outside),
                )
            )
        for i in range(len(tubes) - 1):
            gap = self.shop.bars[self.bars[i + 1]].bore - float(self.outside[i])
            joints.append(
                Joint(
                    overlap=build.overlap,
                    proud=build.proud,
                    stiffness=build.joint_stiffness,
                    clearance=gap,
                    centring=build.centring,
                    mass=build.clamp,
                    pivot=build.pivot,
                    play=build.play,
                )
            )
        return Pole(tuple(tubes), tuple(joints), tip_mass=build.fitting)

    @property
    def final_droop(self) -> float:
        """[m] droop of the tip with true rotations, shear, joints and all weight: the figure to promise."""
        return self.droop_at(self.brief.tip_mass)

    def droop_at(self, tip_mass: float, out: int = 0) -> float:
        """[m] the same with another tip mass [kg] in all, and the `out` thinnest sections drawn out (0: all)."""
        return float(self._bent(tip_mass, out).droop[-1])

    def flex_at(self, tip_mass: float, out: int = 0) -> float:
        """[m/N] what FLEX_STEP more at the tip than tip_mass [kg] in all moves it, for each newton."""
        more = self.droop_at(tip_mass + FLEX_STEP, out) - self.droop_at(tip_mass, out)
        return more / (FLEX_STEP * GRAVITY)

    @property
    def swing(self) -> float:
        """[Hz] lowest swing about its balance, level on the bench, all drawn out, the brief's swing_mass at the tip."""
        return float(modes(self._bent(self.brief.swing_mass, 0), count=1).frequency[0])

    def _bent(self, tip_mass: float, out: int) -> Bent:
        pole, prop = self.pole, self.shop.build.prop
        drawn = len(pole.joints) if out == 0 else min(out, len(pole.joints))
        support = Bench(distance=prop) if prop > 0.0 else Clamped()
        head = max(tip_mass - self.shop.build.fitting, 0.0)
        return bent(pole, State.out(pole, drawn, head_mass=head, support=support))
