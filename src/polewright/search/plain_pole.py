"""One given pole by the model of the whole-pole search, written out plainly: the twin of its compiled loops."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.search.brief import Brief, Shop
from polewright.search.candidate import FoundPole
from polewright.search.options import Options
from polewright.search.span import spans_of
from polewright.wall.membrane import tube_stiffness

__all__ = ["given_pole"]


def given_pole(
    brief: Brief, shop: Shop, bars: Sequence[int], recipes: Sequence[Sequence[int]], *, clearance: float | None = None
) -> FoundPole:
    """The figures of one pole, bars and recipes tip first; nothing is asked of its fit or of the brief's limits.

    clearance : [m] on diameter of every joint, in place of what bores and outsides make.

    Raises
    ------
    DesignError : not one recipe a bar.

    Source
    ------
    Virtual work of a unit tip force: droop = sum of integrals of M m/EI and of M m/k + tilt x arm at joints.
    """
    n, build = len(bars), shop.build
    if n != len(recipes) or n == 0:
        raise DesignError("recipes", len(recipes), Message("want.one_section", n=n))
    spans = spans_of(brief, build, n)
    walls = [shop.walls.stack(tuple(r)).wall(shop.bars[b].bore) for b, r in zip(bars, recipes, strict=True)]
    stiff = [float(tube_stiffness(w).bending) for w in walls]
    own = [float(w.mass_per_length) for w in walls]
    outside = np.array([float(w.outside) for w in walls])
    mass, moment, droop, flex = 0.0, 0.0, 0.0, 0.0
    for k in range(n):
        if k:
            mass += build.clamp
            moment += build.clamp * spans.mouth[k]
            gap = shop.bars[bars[k]].bore - outside[k - 1] if clearance is None else clearance
            droop += spans.lever[k] * float(build.tilt(gap))
            joint = spans.joint[k]
            load = joint["load"]
            bends = load["moment"] * moment + load["mass"] * mass + load["own"] * own[k] + load["always"]
            droop += float(bends) / build.joint_stiffness
            flex += float(joint["pull"]) / build.joint_stiffness
        for region, both in enumerate((stiff[k] + stiff[k - 1] if k else np.inf, stiff[k])):
            droop += (
                spans.by_moment[k, region] * moment
                + spans.by_mass[k, region] * mass
                + spans.by_own[k, region] * own[k]
                + spans.by_tip[k, region]
            ) / both
            flex += spans.by_pull[k, region] / both
        mass += own[k] * spans.length
        moment += own[k] * spans.length * (spans.butt[k] + spans.length / 2.0)
    return FoundPole(
        brief,
        shop,
        tuple(bars),
        tuple(tuple(r) for r in recipes),
        droop,
        flex,
        mass + build.fitting,
        _cost(shop, bars, recipes, spans.length + build.flag_extra),
        moment + build.fitting * brief.reach,
        outside,
        spans.length,
    )


def _cost(shop: Shop, bars: Sequence[int], recipes: Sequence[Sequence[int]], length: float) -> float:
    """[currency] of all flags: each turn's circumference at the middle of its layer, times length and price."""
    total = 0.0
    for bar, recipe in zip(bars, recipes, strict=True):
        options: Options = replace(shop.walls, bore=shop.bars[bar].bore)
        stack = options.stack(tuple(recipe))
        edges = stack.wall(options.bore).edges
        for (ply, _, _), middle in zip(stack.layers, (edges[1:] + edges[:-1]) / 2.0, strict=True):
            total += 2.0 * np.pi * float(middle) * length * ply.price / options.utilisation
    return total
