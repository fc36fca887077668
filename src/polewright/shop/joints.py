"""Where a flag wider than the roll is cut in pieces: along the fibre, apart from its neighbours, off the clamps.

Joints lie along the fibre, so that none is cut: round the tube for a hoop, on a spiral for a bias ply.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError, refuse_unless_finite
from polewright.shop.flag import Flag, across

__all__ = ["JointRules", "Joints", "joint_spans", "piece_outlines", "spread_joints"]

STEP = 0.005  # [m] between the places that are tried for a joint
MOST_EXTRA = 2  # pieces more than the fewest, to get joints apart
FAULT = 1e6  # price of a broken rule beside squared shifts in [m2]


@dataclass(frozen=True, slots=True)
class JointRules:
    """What joints must keep to along the tube.

    stagger [m] between the joints of one split flag and the next; zones: (from, to) [m] along the flag from its butt
    end where no joint may lie, as under a clamp.
    """

    stagger: float = 0.150
    zones: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        if not (np.isfinite(self.stagger) and self.stagger >= 0.0):
            raise DesignError("stagger", self.stagger, Message("want.zero_or_more"))
        if any(not (np.isfinite(a) and np.isfinite(b) and a <= b) for a, b in self.zones):
            raise DesignError("zones", self.zones, Message("want.zone_pairs"))


@dataclass(frozen=True, slots=True)
class Joints:
    """Where each flag is cut.

    cuts: one tuple a flag, [m] measured across the fibre from the flag's first corner; empty where it fits whole.
    faults: rules that could not be kept; empty when all hold.
    """

    cuts: tuple[tuple[float, ...], ...]
    faults: tuple[Message, ...]


def spread_joints(flags: Sequence[Flag], roll_widths: Sequence[float], rules: JointRules) -> Joints:
    """Joints of all flags of one tube, in rolling order: fewest pieces, then nearest to equal ones.

    `roll_widths` [m] is the usable width of each flag's roll.

    Each flag's joints are moved together in steps of 5 mm; the best set is found over all flags at once. Where the
    rules cannot be kept even with two pieces more, the least bad set comes back with its faults.
    """
    if any(not (np.isfinite(w) and w > 0.0) for w in roll_widths):
        raise DesignError("roll_width", min(roll_widths), Message("want.width_above_zero"))
    best: Joints | None = None
    for extra in range(MOST_EXTRA + 1):
        found = _best_set(flags, roll_widths, rules, extra)
        if best is None or len(found.faults) < len(best.faults):
            best = found
        if not best.faults:
            break
    assert best is not None
    return best


def joint_spans(flag: Flag, cuts: Sequence[float]) -> FloatArray:
    """(n_joint, 2) [m] along the tube from butt to tip that each joint takes up."""
    if not cuts:
        return np.zeros((0, 2))
    refuse_unless_finite(cuts=cuts)
    normal, widest = across(flag.angle), max(flag.width_butt, flag.width_tip)
    if abs(normal[0]) * flag.length < abs(normal[1]) * 1e-9:  # along the fibre is along the tube
        return np.tile([0.0, flag.length], (len(cuts), 1))
    ends = (np.asarray(cuts)[:, None] - normal[1] * np.array([0.0, widest])) / normal[0]
    return np.sort(np.clip(ends, 0.0, flag.length), axis=1)


def piece_outlines(flag: Flag, cuts: Sequence[float]) -> tuple[FloatArray, ...]:
    """One closed outline (n, 2) [m] in flag coordinates a piece, from the butt end to the tip end."""
    normal = across(flag.angle)
    edges = [-np.inf, *sorted(cuts), np.inf]
    return tuple(_clipped(_clipped(flag.outline, normal, low), -normal, -high) for low, high in pairwise(edges))


def _clipped(outline: FloatArray, normal: FloatArray, least: float) -> FloatArray:
    """The part of a convex outline with normal . point >= least."""
    if not np.isfinite(least):
        return outline
    kept: list[FloatArray] = []
    height = outline @ normal - least
    for i in range(len(outline)):
        j = (i + 1) % len(outline)
        if height[i] >= 0.0:
            kept.append(outline[i])
        if height[i] * height[j] < 0.0:
            kept.append(outline[i] + (outline[j] - outline[i]) * height[i] / (height[i] - height[j]))
    return np.array(kept).reshape(-1, 2)


def _combs(flag: Flag, roll_width: float, extra: int) -> tuple[FloatArray, FloatArray]:
    """All joint sets tried for one flag, (n_try, n_joint) [m] across the fibre, and how far each is moved (n_try,)."""
    reach = flag.outline @ across(flag.angle)
    low, need = float(reach.min()), float(np.ptp(reach))
    if need <= roll_width * (1.0 + 1e-9):
        return np.zeros((1, 0)), np.zeros(1)
    count = int(np.ceil(need / roll_width - 1e-9)) + extra
    room = min(roll_width, 2.0 * need / count) - need / count
    step = max(STEP, need / 1000.0)
    half = np.floor(room / step + 1e-9)
    shift = np.arange(-half, half + 1.0) * step
    return low + np.arange(1, count) * need / count + shift[:, None], shift


def _best_set(flags: Sequence[Flag], roll_widths: Sequence[float], rules: JointRules, extra: int) -> Joints:
    combs = [_combs(flag, width, extra) for flag, width in zip(flags, roll_widths, strict=True)]
    split = [i for i, (sets, _) in enumerate(combs) if sets.shape[1]]
    spans = {i: np.array([joint_spans(flags[i], c) for c in combs[i][0].tolist()]) for i in split}
    price = {i: combs[i][1] ** 2 + FAULT * _in_zones(spans[i], rules.zones) for i in split}
    chosen = _cheapest_chain([spans[i] for i in split], [price[i] for i in split], rules.stagger)
    pick = dict(zip(split, chosen, strict=True))
    cuts = tuple(tuple(combs[i][0][pick[i]].tolist()) if i in pick else () for i in range(len(flags)))
    return Joints(cuts, tuple(_faults(flags, cuts, rules)))


def _in_zones(spans: FloatArray, zones: Sequence[tuple[float, float]]) -> FloatArray:
    """(n_try,) how many joints of each set touch a zone; spans (n_try, n_joint, 2)."""
    touch = np.zeros(spans.shape[:2], dtype=bool)
    for start, end in zones:
        touch |= (spans[..., 0] < end) & (spans[..., 1] > start)
    return np.asarray(touch.sum(axis=1), dtype=np.float64)


def _cheapest_chain(spans: list[FloatArray], price: list[FloatArray], stagger: float) -> list[int]:
    """One joint set a flag, so that the sum of prices is least; neighbours nearer than `stagger` pay a fault."""
    if not spans:
        return []
    total, back = price[0], []
    for before, here, cost in zip(spans, spans[1:], price[1:], strict=False):
        step = total[:, None] + FAULT * (_nearest(before, here) < stagger - 1e-9)
        back.append(np.argmin(step, axis=0))
        total = step.min(axis=0) + cost
    chain = [int(np.argmin(total))]
    for pointer in reversed(back):
        chain.append(int(pointer[chain[-1]]))
    return chain[::-1]


def _nearest(first: FloatArray, second: FloatArray) -> FloatArray:
    """(n_first, n_second) [m] least distance along the tube between the middles of two joint sets."""
    a, b = first.mean(axis=2), second.mean(axis=2)
    gaps: FloatArray = np.abs(a[:, None, :, None] - b[None, :, None, :]).min(axis=(2, 3))
    return gaps


def _faults(flags: Sequence[Flag], cuts: Sequence[Sequence[float]], rules: JointRules) -> list[Message]:
    spans = [
        (number, joint_spans(flag, own)[None])
        for number, (flag, own) in enumerate(zip(flags, cuts, strict=True), start=1)
        if own
    ]
    under = tuple(number for number, own in spans if np.any(_in_zones(own, rules.zones)))
    near = tuple(
        Message("cut.note.pair", one=a, other=b)
        for (a, first), (b, second) in pairwise(spans)
        if _nearest(first, second)[0, 0] < rules.stagger - 1e-9
    )
    out = []
    if under:
        out.append(Message("cut.note.joint_under_clamp", flags=under))
    if near:
        out.append(Message("cut.note.joints_near", pairs=near))
    return out
