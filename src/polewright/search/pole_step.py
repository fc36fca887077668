"""One section more on a branch of the whole-pole search: what it adds to every figure."""

from typing import Any

from polewright.arrays import FloatArray
from polewright.compiled import compiled_inside
from polewright.search.pole_arrays import FIGURES, Chain, Trail
from polewright.search.span import Spans

__all__ = [
    "AHEAD_MASS",
    "AHEAD_MOMENT",
    "CARRY",
    "COST",
    "DROOP",
    "FIRST_FURTHER",
    "FLEX",
    "FURTHER",
    "MASS",
    "extend_trail",
    "is_nested",
    "lever_of",
    "loaded",
    "step",
    "weighed",
]

DROOP, FLEX, MASS, COST, CARRY = range(len(FIGURES))
FIRST_FURTHER = len(FIGURES)
"""Place of the first further figure among the figures of a pole."""
AHEAD_MOMENT, AHEAD_MASS, FURTHER = 4, 5, 6
"""Places in what a section adds, after droop, flex, mass and cost: what then lies ahead, and the further figures."""


@compiled_inside
def loaded(load: Any, moment: float, mass: float, own: float) -> float:
    """Sum of what multiplies moment ahead, mass ahead, own [kg/m] and one."""
    return float(load.moment * moment + load.mass * mass + load.own * own + load.always)


@compiled_inside
def _tilt(wall: Any, least: bool) -> float:
    """[rad] of the wall's joint; least: of any wall that it stands for."""
    return float(wall.least_tilt if least else wall.tilt)


@compiled_inside
def _step_first(
    spans: Spans,
    chain: Chain,
    k: int,
    moment: float,
    mass: float,
    before: float,
    wall: Any,
    tilt: float,
    out: FloatArray,
) -> None:
    """What section k adds to droop, flex, mass and cost, and what then lies ahead of the next; moment and mass ahead of
    it without its own clamp, `before` EI [N m2] of the section before.
    """
    stiff, own = wall.bending, wall.mass
    clamp = chain.clamp if k > 0 else 0.0
    mass += clamp
    moment += clamp * spans.mouth[k]
    droop, flex = 0.0, 0.0
    for region in range(2):
        if region == 0 and k == 0:
            continue
        soft = 1.0 / (before + stiff) if region == 0 else 1.0 / stiff
        droop += soft * (
            spans.by_moment[k, region] * moment
            + spans.by_mass[k, region] * mass
            + spans.by_own[k, region] * own
            + spans.by_tip[k, region]
        )
        flex += soft * spans.by_pull[k, region]
    joint = spans.joint[k]
    droop += chain.give * loaded(joint.load, moment, mass, own)
    droop += lever_of(spans, k) * tilt
    flex += chain.give * joint.pull
    out[DROOP], out[FLEX] = droop, flex
    out[MASS], out[COST] = own * spans.length + clamp, wall.cost * (spans.length + chain.flag_extra)
    out[AHEAD_MOMENT] = moment + own * spans.length * (spans.butt[k] + spans.length / 2.0)
    out[AHEAD_MASS] = mass + own * spans.length


@compiled_inside
def is_nested(row: Any) -> bool:
    """Whether the section before lies nested in this one for a further figure."""
    return bool(row.nested_alone.moment > 0.0 or row.nested_alone.always > 0.0)


@compiled_inside
def _nested(row: Any, moment: float, mass: float, own: float, before: float, both: float) -> float:
    """Further droop of the section before, nested in this one: own [kg/m] is its own, `both` the EI [N m2] of the two,
    `before` that of the one before it.
    """
    both += row.stiffer
    alone, shared = loaded(row.nested_alone, moment, mass, own), loaded(row.nested_shared, moment, mass, own)
    return alone / both + shared / (before + both)


@compiled_inside
def _step_more(
    rows: Any,
    give: float,
    k: int,
    moment: float,
    mass: float,
    before: float,
    nested: tuple[float, float],
    wall: Any,
    tilt: float,
    out: FloatArray,
) -> None:
    """What section k adds to the further figures; its clamp counts in the moment and mass ahead; nested: own [kg/m] of
    the section before, EI [N m2] of the one before that.
    """
    stiff, own = wall.bending, wall.mass
    for x in range(out.size - FURTHER):
        row = rows[x]
        total = row.shift - row.light / own + row.heavy * own + row.lever * tilt
        total += loaded(row.alone, moment, mass, own) / stiff
        total += give * loaded(row.joint, moment, mass, own)
        if k > 0:
            total += loaded(row.shared, moment, mass, own) / (before + stiff)
            if is_nested(row):
                total += _nested(row, moment, mass, nested[0], nested[1], before + stiff)
        out[FURTHER + x] = total


@compiled_inside
def step(spans: Spans, chain: Chain, k: int, trail: Trail, wall: Any, least: bool, out: FloatArray) -> None:
    """What section k of a branch adds to all figures, and what then lies ahead, in the order of the places above.

    least : with the least tilt of any wall that this one stands for.
    out : (6 + n_further,) takes droop [m], flex [m/N], mass [kg], cost [currency], then the moment [kg m] and mass [kg]
        ahead, then the further figures [SI unit of each].
    """
    moment, mass, before, tilt = trail.ahead[k, 0], trail.ahead[k, 1], trail.stiff[k], _tilt(wall, least)
    _step_first(spans, chain, k, moment, mass, before, wall, tilt, out)
    if out.size > FURTHER:
        clamp, nested = chain.clamp if k > 0 else 0.0, (0.0, 0.0)
        if k > 1:
            nested = (mass - trail.ahead[k - 1, 1] - chain.clamp) / spans.length, trail.stiff[k - 1]
        moment, mass = moment + clamp * spans.mouth[k], mass + clamp
        _step_more(spans.more[k], chain.give, k, moment, mass, before, nested, wall, tilt, out)


@compiled_inside
def lever_of(spans: Spans, k: int) -> float:
    """Lever [m] of a tilt of the joint at the butt end of section k; 0 for the last section, which has none."""
    return float(spans.lever[k + 1]) if k + 1 < spans.lever.size else 0.0


@compiled_inside
def extend_trail(spans: Spans, chain: Chain, trail: Trail, k: int, w: int, out: FloatArray) -> None:
    """Extend a trail by section k with wall w; out (6 + n_further,) [SI units] is written over, as by `step`."""
    step(spans, chain, k, trail, chain.walls[w], False, out)
    for f in range(CARRY):
        trail.figures[k + 1, f] = trail.figures[k, f] + out[f]
    trail.figures[k + 1, CARRY] = out[AHEAD_MOMENT]
    for x in range(out.size - FURTHER):
        figure = FIRST_FURTHER + x
        trail.figures[k + 1, figure] = trail.figures[k, figure] + out[FURTHER + x]
    trail.ahead[k + 1, 0], trail.ahead[k + 1, 1] = out[AHEAD_MOMENT], out[AHEAD_MASS]
    trail.stiff[k + 1] = chain.walls[w].bending


@compiled_inside
def _weighed_first(out: FloatArray, weight: FloatArray) -> float:
    return float(
        weight[DROOP] * out[DROOP] + weight[FLEX] * out[FLEX] + weight[MASS] * out[MASS] + weight[COST] * out[COST]
    )


@compiled_inside
def weighed(out: FloatArray, weight: FloatArray) -> float:
    """Weighted sum of what a section adds; carry, which is known at the butt alone, is left out.

    out (6 + n_further,) as `step` fills it; weight (n_figure,) [1/unit of each figure].
    """
    total = _weighed_first(out, weight)
    for x in range(out.size - FURTHER):
        total += weight[FIRST_FURTHER + x] * out[FURTHER + x]
    return total
