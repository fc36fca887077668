"""One section more on a branch of the whole-pole search: what it adds to every figure."""

from polewright.arrays import FloatArray
from polewright.compiled import compiled_inside
from polewright.search.pole_arrays import FIGURES, Chain, Trail
from polewright.search.span import Spans

__all__ = ["CARRY", "COST", "DROOP", "FLEX", "MASS", "go", "lever_of", "step", "weighed"]

DROOP, FLEX, MASS, COST, CARRY = range(len(FIGURES))


@compiled_inside
def _step_first(
    spans: Spans,
    chain: Chain,
    k: int,
    moment: float,
    mass: float,
    before: float,
    wall: FloatArray,
    lever: float,
    least: bool,
    out: FloatArray,
) -> None:
    """What section k adds to droop, flex, mass and cost, what then lies ahead of the next, and what it adds to the
    further figures: out (6 + n_further,).
    """
    stiff, own = wall[0], wall[1]
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
    droop += chain.give * (joint[0] * moment + joint[1] * mass + joint[2] * own + joint[3])
    droop += lever * (wall[4] if least else wall[3])
    flex += chain.give * joint[4]
    out[0], out[1] = droop, flex
    out[2], out[3] = own * spans.length + clamp, wall[2] * (spans.length + chain.flag_extra)
    out[4] = moment + own * spans.length * (spans.butt[k] + spans.length / 2.0)
    out[5] = mass + own * spans.length


@compiled_inside
def _nested(row: FloatArray, moment: float, mass: float, own: float, before: float, both: float) -> float:
    """Further droop of the section before, nested in this one: own [kg/m] is its own, `both` the EI [N m2] of the two,
    `before` that of the one before it.
    """
    both += row[13]
    return float(
        (row[16] * moment + row[17] * mass + row[18] * own + row[19]) / both
        + (row[20] * moment + row[21] * mass + row[22] * own + row[23]) / (before + both)
    )


@compiled_inside
def _step_more(
    rows: FloatArray,
    give: float,
    is_inside: bool,
    moment: float,
    mass: float,
    before: float,
    nested: tuple[float, float],
    wall: FloatArray,
    least: bool,
    out: FloatArray,
) -> None:
    """What a section adds to the further figures (rows as `packed`); its clamp counts in the moment and mass ahead;
    nested: own [kg/m] of the section before, EI of the one before that.
    """
    stiff, own = wall[0], wall[1]
    for x in range(out.size - 6):
        row = rows[x]
        total = row[15] - row[14] / own + row[12] * (wall[4] if least else wall[3])
        total += (row[4] * moment + row[5] * mass + row[6] * own + row[7]) / stiff
        total += give * (row[8] * moment + row[9] * mass + row[10] * own + row[11])
        if is_inside:
            total += (row[0] * moment + row[1] * mass + row[2] * own + row[3]) / (before + stiff)
            if row[16] > 0.0 or row[19] > 0.0:
                total += _nested(row, moment, mass, nested[0], nested[1], before + stiff)
        out[6 + x] = total


@compiled_inside
def step(spans: Spans, chain: Chain, k: int, trail: Trail, wall: FloatArray, least: bool, out: FloatArray) -> None:
    """What section k of a branch adds to all figures, the further ones in out[6:], and what then lies ahead; least:
    with the least tilt of any wall that this one stands for.
    """
    moment, mass, before = trail.ahead[k, 0], trail.ahead[k, 1], trail.stiff[k]
    _step_first(spans, chain, k, moment, mass, before, wall, lever_of(spans, k), least, out)
    if out.size > 6:
        clamp, nested = chain.clamp if k > 0 else 0.0, (0.0, 0.0)
        if k > 1:
            nested = (mass - trail.ahead[k - 1, 1] - chain.clamp) / spans.length, trail.stiff[k - 1]
        _step_more(
            spans.more[k],
            chain.give,
            k > 0,
            moment + clamp * spans.mouth[k],
            mass + clamp,
            before,
            nested,
            wall,
            least,
            out,
        )


@compiled_inside
def lever_of(spans: Spans, k: int) -> float:
    """Of the joint at the butt end of section k."""
    return float(spans.lever[k + 1]) if k + 1 < spans.lever.size else 0.0


@compiled_inside
def go(spans: Spans, chain: Chain, trail: Trail, k: int, w: int, out: FloatArray) -> None:
    """Extend a trail by section k with wall w."""
    step(spans, chain, k, trail, chain.walls[w], False, out)
    for f in range(4):
        trail.figures[k + 1, f] = trail.figures[k, f] + out[f]
    trail.figures[k + 1, CARRY] = out[4]
    for x in range(6, out.size):
        trail.figures[k + 1, x - 1] = trail.figures[k, x - 1] + out[x]
    trail.ahead[k + 1, 0], trail.ahead[k + 1, 1] = out[4], out[5]
    trail.stiff[k + 1] = chain.walls[w, 0]


@compiled_inside
def _weighed_first(out: FloatArray, weight: FloatArray) -> float:
    return float(weight[0] * out[0] + weight[1] * out[1] + weight[2] * out[2] + weight[3] * out[3])


@compiled_inside
def weighed(out: FloatArray, weight: FloatArray) -> float:
    """Weighted sum of what a section adds; carry, which is known at the butt alone, is left out."""
    total = _weighed_first(out, weight)
    for x in range(6, out.size):
        total += weight[x - 1] * out[x]
    return total
