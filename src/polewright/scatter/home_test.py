"""Every copy put to the test that a buyer can repeat at home: what each figure of the buyer's sheet is for it."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.errors import DesignError, NotConverged
from polewright.pole.batch import PoleBatch, bent_lines, bent_tips
from polewright.pole.state import Bench, State
from polewright.scatter.copies import Copies, copies_of, poles_drawn, weighed
from polewright.scatter.problem import Problem, Reach

__all__ = ["HomeFigure", "HomeTest", "home_figures", "home_figures_of"]

PIECES = 8  # elements of a pole at least, as for the other figures of copies
PLACES = np.linspace(0.0, 1.0, 41)  # shares of a pole's length at which its line is read for the swing
POINTS = 0.5 + 0.5 * np.array([-(0.6**0.5), 0.0, 0.6**0.5])  # Gauss points of a span, 0 to 1
WEIGHTS = np.array([5.0, 8.0, 5.0]) / 18.0
SPANS = 6  # of a section, over which its movement is added up

HomeKind = Literal[
    "extended", "closed", "mass", "grip", "play", "reach", "droop", "flex", "balance", "carry", "swing", "loaded"
]


@dataclass(frozen=True, slots=True)
class HomeTest:
    """How the pole is tried: prop [m] from the butt; light, heavy and swing: masses [kg] hung at the tip in turn.

    head [kg] is hung where the sheet draws the pole.
    """

    prop: float
    light: float
    heavy: float
    swing: float
    head: float = 0.0

    def __post_init__(self) -> None:
        for name in ("prop", "light"):
            if not (np.isfinite(getattr(self, name)) and getattr(self, name) > 0.0):
                raise DesignError(name, getattr(self, name), Message("want.above_zero"))
        for name in ("swing", "head"):
            if not (np.isfinite(getattr(self, name)) and getattr(self, name) >= 0.0):
                raise DesignError(name, getattr(self, name), Message("want.zero_or_more"))
        if not (np.isfinite(self.heavy) and self.heavy > self.light):
            raise DesignError("heavy", self.heavy, Message("want.above_zero"))


@dataclass(frozen=True, slots=True)
class HomeFigure:
    """One figure of the sheet: its kind, and how many sections are drawn out (0 for one of the whole pole)."""

    kind: HomeKind
    out: int = 0

    @property
    def is_most(self) -> bool:
        """What is promised is the most; else the least (lengths drawn out, swing)."""
        return self.kind not in ("extended", "reach", "swing")


def home_figures(problem: Problem) -> tuple[HomeFigure, ...]:
    """The figures of every copy, in the order of their columns."""
    kinds: tuple[HomeKind, ...] = ("reach", "droop", "flex", "balance", "carry", "swing")
    whole: tuple[HomeKind, ...] = ("extended", "closed", "mass", "grip", "play", "loaded")
    return (*map(HomeFigure, whole), *(HomeFigure(kind, out) for out in _outs(problem) for kind in kinds))


def home_figures_of(problem: Problem, test: HomeTest, points: FloatArray) -> FloatArray:
    """Every figure of the sheet of every copy.

    Droop D is that of the tip across the line of the first span, in true rotations; flex is the difference of D with
    the heavy and the light mass, over the difference of their weights. swing is found of the movement between the two,
    by Rayleigh's quotient: a little above the true one, by the same share for every copy.

    Parameters
    ----------
    points : (n, n_input) [-] chances between 0 and 1.

    Returns
    -------
    (n, n_figure) [m, kg, m/N, kg m, Hz], in the order of `home_figures`.

    Raises
    ------
    NotConverged : a copy that finds no posture in balance.

    Source
    ------
    Lord Rayleigh, The Theory of Sound, vol. 1, 2nd ed., 1894, sec. 88: the frequency of an assumed shape.
    """
    copies, joints = copies_of(problem, points), len(problem.build.nests)
    shut = poles_drawn(problem, copies, Reach("closed", (0.0,) * joints))
    out = poles_drawn(problem, copies, _reach(joints, joints, test))
    columns = [
        out.length[:, -1] + out.drawn.sum(axis=1),
        shut.length[:, -1] + shut.drawn.sum(axis=1),
        weighed(out)[0],
        copies.outside[:, -1].max(axis=1),
        _play(problem, copies, out),
        _droop(out, _state(out, test, test.head)),
    ]
    for count in _outs(problem):
        columns += _at_reach(problem, copies, count, test)
    return np.stack(columns, axis=1)


def _outs(problem: Problem) -> range:
    joints = len(problem.build.nests)
    return range(1, joints + 1) if joints else range(1)


def _reach(joints: int, out: int, test: HomeTest) -> Reach:
    return Reach(f"{out}_out", tuple(float(i < out) for i in range(joints)), support=Bench(distance=test.prop))


def _state(batch: PoleBatch, test: HomeTest, head: float) -> State:
    return State(drawn=batch.drawn[0], support=Bench(distance=test.prop), head_mass=head)


def _at_reach(problem: Problem, copies: Copies, out: int, test: HomeTest) -> list[FloatArray]:
    """reach, droop, flex, balance, carry, swing of every copy at one reach, each (n,)."""
    batch = poles_drawn(problem, copies, _reach(len(problem.build.nests), out, test))
    mass, carry = weighed(batch)
    own = _droop(batch, _state(batch, test, 0.0))
    light, heavy = (_line(batch, _state(batch, test, load)) for load in (test.light, test.heavy))
    moved, force = heavy - light, (test.heavy - test.light) * GRAVITY
    give = moved[:, -1] / force
    return [
        batch.length[:, -1] + batch.drawn.sum(axis=1),
        own,
        give,
        carry / mass,
        carry,
        _swing(batch, moved / moved[:, -1:], give, test.swing),
    ]


def _droop(batch: PoleBatch, state: State) -> FloatArray:
    tips = bent_tips(batch, state, pieces=PIECES)
    _refuse_lost(int(np.sum(tips.found == 0.0)))
    return tips.droop


def _line(batch: PoleBatch, state: State) -> FloatArray:
    """(n, n_place) [m]."""
    lines = bent_lines(batch, state, PLACES, pieces=PIECES)
    _refuse_lost(int(np.sum(np.isnan(lines[:, -1]))))
    return lines


def _refuse_lost(lost: int) -> None:
    if lost:
        given, want = Message("given.not_found_copies", limit=lost), Message("want.stiffer_or_shorter_pole_or_lighter")
        raise NotConverged("droop", given, want)


def _swing(batch: PoleBatch, shape: FloatArray, give: FloatArray, swing: float) -> FloatArray:
    """(n,) [Hz] of each copy moving in its shape (n, n_place), 1 at the tip, where `give` (n,) [m/N] is its flex."""
    mouth, butt = _ends(batch)
    whole = mouth[:, :1]
    moving = np.full(give.size, swing) + batch.tip_mass
    moving += (batch.clamp * _at(shape, mouth[:, 1:] / whole) ** 2).sum(axis=1)
    shares = (np.arange(SPANS)[:, None] + POINTS).ravel() / SPANS
    for section in range(batch.length.shape[1]):
        place = (butt[:, section, None] + batch.length[:, section, None] * shares) / whole
        mass = _between(batch.mass_per_length[:, section], shares)
        part = batch.length[:, section] / SPANS
        moving += part * (mass * _at(shape, place) ** 2 * np.tile(WEIGHTS, SPANS)).sum(axis=1)
    return np.asarray(np.sqrt(1.0 / (give * moving)) / (2.0 * np.pi))


def _ends(batch: PoleBatch) -> tuple[FloatArray, FloatArray]:
    """Mouth and butt of every section from the pole's butt, (n, n_section) [m], tip section first."""
    mouth = np.cumsum(np.concatenate([batch.length[:, -1:], batch.drawn[:, ::-1]], axis=1), axis=1)[:, ::-1]
    return mouth, mouth - batch.length


def _at(lines: FloatArray, share: FloatArray) -> FloatArray:
    """(n, m) of lines (n, n_place) at shares (n, m) [-] of the length, straight between places."""
    step = share * (PLACES.size - 1)
    low = np.clip(step.astype(int), 0, PLACES.size - 2)
    part = step - low
    rows = np.arange(lines.shape[0])[:, None]
    return np.asarray(lines[rows, low] * (1.0 - part) + lines[rows, low + 1] * part)


def _between(values: FloatArray, share: FloatArray) -> FloatArray:
    """(n, m) of values (n, n_station), even along a tube, at shares (m,) [-] of its length."""
    step = share * (values.shape[1] - 1)
    low = np.minimum(step.astype(int), values.shape[1] - 2)
    return np.asarray(values[:, low] * (1.0 - (step - low)) + values[:, low + 1] * (step - low))


def _play(problem: Problem, copies: Copies, batch: PoleBatch) -> FloatArray:
    """(n,) [m] free travel of the tip up and down, all drawn out: each joint's free tilt both ways times its arm.

    Source
    ------
    `Joint.free_tilt`; small turns about the pivots of a straight pole.
    """
    mouth, _ = _ends(batch)
    joints = [nest.joint for nest in problem.build.nests]
    overlap = batch.length[:, :-1] - batch.drawn
    share = np.array([joint.tilt_share for joint in joints])
    tilt = np.array([joint.play or 0.0 for joint in joints]) + share * np.maximum(copies.clearance, 0.0) / overlap
    arm = mouth[:, :1] - mouth[:, 1:] + np.array([joint.pivot for joint in joints]) * overlap
    return np.asarray(2.0 * (tilt * arm).sum(axis=1))
