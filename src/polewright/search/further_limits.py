"""Limits beyond the five figures of the search, brought into its bounds: droops and flexes at other loads and reaches,
and the swing; each as a sum over the sections that is no more for a pole that meets it than a limit.

Droop and flex at another load or reach are sums as those of `span`. Sections pushed in round the innermost of them are
taken as stiff as any wall makes them.

Swing. For any forces p(x), 1/omega^2 of the slowest swing is at least (sum of integrals of M_p^2/EI)/(integral of
p^2/m), the quotient of Rayleigh in its complementary form; with p fixed beforehand both are sums over the sections, so
"swings as fast as omega" asks sum(M_p^2/EI) - sum(p^2/m)/omega^2 <= 0. p is the inertia of a reference pole's own
swing, for which the quotient is exact; poles near it are off by the square of the difference, so there is such a sum
for each of a few poles that are not alike.

These sums are of small deflections; a pole is judged by true rotations. Each limit is set beside the figure of the
reference pole in both, carried on to the limit, and EASE is left on top for poles that stand a little otherwise.

Source
------
The quotient: Rayleigh's principle for the flexibility, sup over u of (u, F u)/(u, u) with u = p/sqrt(m);
S. Timoshenko, Vibration Problems in Engineering, 2nd ed., 1937, ch. I. The rest is derived here.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from polewright.arrays import FloatArray
from polewright.errors import DesignError, NotConverged
from polewright.search.brief import Brief, Build, FigureLimit, FurtherDroop, FurtherFlex
from polewright.search.candidate import FoundPole
from polewright.search.span import Further, Spans, drawn_of, none_further, one_further

__all__ = ["EASE", "Limit", "Range", "Reference", "SumRow", "further_of"]

EASE = 0.004
"""[-] left on every one of these limits, for what true rotations make of other poles than the reference."""
CLOSE = 0.0003
"""[-] by which a pole must keep such a limit in the search's own sums to be worth judging."""
_CELLS = 16
_ROUNDS = 40
_LEAST = 1e-9
"""Least that a row may be limited to: a limit that nothing keeps is missed by far."""


@dataclass(frozen=True, slots=True)
class Limit:
    """One further figure: its name, the most it may be, how much more for every unit of slack of the walls, and the
    least and most at which a pole is worth judging.
    """

    name: str
    limit: float
    widen: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, eq=False)
class Range:
    """What walls may be: stiffest EI [N m2] of each section (n,), the lightest wall of all [kg/m], and the heaviest of
    each section (n,) [kg/m], those that others beat among them.
    """

    stiffest: FloatArray
    lightest: float
    heaviest: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class SumRow:
    """A sum over the sections, tip first, that no pole within a limit exceeds: own (n,) [m] times the kg/m of each wall
    and tilt (n,) [m] times the free tilt of the joint with the section before, neither below zero; `always` besides;
    `most` it may be.
    """

    own: FloatArray
    tilt: FloatArray
    always: float
    most: float


@dataclass(frozen=True, slots=True, eq=False)
class Reference:
    """What a row may be made of: the brief, how poles are put together, where sections stand, what walls may be."""

    brief: Brief
    build: Build
    spans: Spans
    room: Range


@dataclass(frozen=True, slots=True, eq=False)
class _Walls:
    """EI (n,) [N m2], own (n,) [kg/m] and tilt (n,) [rad] of a reference pole's sections, tip first."""

    stiff: FloatArray
    own: FloatArray
    tilt: FloatArray


def _walls(pole: FoundPole) -> _Walls:
    built, build = pole.pole, pole.shop.build
    tilt = np.zeros(len(built.tubes))
    tilt[:-1] = [j.free_tilt(build.overlap) for j in built.joints]
    return _Walls(
        np.array([float(t.bending[0]) for t in built.tubes]),
        np.array([float(t.mass_per_length[0]) for t in built.tubes]),
        tilt,
    )


def further_of(
    brief: Brief, build: Build, spans: Spans, room: Range, references: tuple[FoundPole, ...]
) -> tuple[tuple[Limit, ...], Further]:
    """The further limits of a brief as rows, droops and flexes set by the last reference pole, a row for the swing set
    by each; none where a pole cannot be worked out.
    """
    made = _drawn_rows(brief, build, spans, room, references[-1], _walls(references[-1]))
    for limit in brief.figures:
        made += _figure_rows(limit, Reference(brief, build, spans, room))
    for like in references:
        made += _swing_rows(brief, build, spans, room, like, _walls(like), f"swing {len(made)}")
    if not made:
        return (), none_further(spans.butt.size)
    limits, rows = zip(*made, strict=True)
    return tuple(limits), Further(*(np.concatenate(parts) for parts in zip(*rows, strict=True)))


def _drawn_rows(
    brief: Brief, build: Build, spans: Spans, room: Range, like: FoundPole, walls: _Walls
) -> list[tuple[Limit, Further]]:
    """Droops and flexes at other loads and reaches."""
    out: list[tuple[Limit, Further]] = []
    joints = spans.butt.size - 1
    for name, wish in brief.further.items():
        kind, mass, drawn = int(isinstance(wish, FurtherFlex)), wish.tip_mass, wish.out
        n = joints if drawn == 0 else min(drawn, joints)
        try:
            bound = drawn_of(spans, build, out=n, tip_mass=mass, stiffest=room.stiffest)[kind]
            plain = drawn_of(spans, build, out=n, tip_mass=mass, stiffest=walls.stiff)[kind]
            true = like.flex_at(mass, drawn) if kind else like.droop_at(mass, drawn)
        except (DesignError, NotConverged):
            continue
        low, limit = _window(wish)
        ratio = _at_limit(float(_figures(plain, spans, build, walls)[0]) / true, limit / true)
        low, limit = low * ratio, limit * ratio
        out.append(
            (
                Limit(
                    name, limit * (1.0 + EASE), (1 if kind else 2) * limit, low * (1.0 + CLOSE), limit * (1.0 - CLOSE)
                ),
                bound,
            )
        )
    return out


def _figure_rows(limit: FigureLimit, reference: Reference) -> list[tuple[Limit, Further]]:
    """A limit on a figure of the whole pole: its rows are not set by any pole, so nothing is left on top."""
    made = []
    for i, row in enumerate(limit.figure.rows(reference, limit.at_most)):
        one = one_further(reference.spans.butt.size)
        one.heavy[0], one.shift[0, 0] = row.own, row.always
        one.lever[0, 1:] = row.tilt[1:]
        most = max(row.most, _LEAST)
        name = limit.figure.code if i == 0 else f"{limit.figure.code} {i}"
        made.append((Limit(name, most, most, -np.inf, most), one))
    return made


def _at_limit(ratio: float, share: float) -> float:
    """Small over true figure of a pole that is just at its limit, from that of one whose figure is 1/share of it: what
    the rotations do grows with the square of the droop.
    """
    return 1.0 + (ratio - 1.0) * min(share, 2.0) ** 2 if ratio > 1.0 else ratio


def _window(wish: FurtherDroop | FurtherFlex) -> tuple[float, float]:
    """Least and most that a wish allows."""
    if isinstance(wish, FurtherFlex):
        return wish.wanted * (1.0 - wish.within), wish.wanted * (1.0 + wish.within)
    return 0.0, wish.droop_at_most


def _figures(further: Further, spans: Spans, build: Build, walls: _Walls) -> FloatArray:
    """(n_further,) figures of one pole, written out plainly: the twin of the compiled loop."""
    mass = moment = 0.0
    total = np.zeros(further.shift.shape[0])
    for k in range(spans.butt.size):
        if k:
            mass += build.clamp
            moment += build.clamp * float(spans.mouth[k])
        ahead = np.array([moment, mass, walls.own[k], 1.0])
        total += further.shift[:, k] - further.light[:, k] / walls.own[k] + further.heavy[:, k] * walls.own[k]
        both = walls.stiff[k] + (walls.stiff[k - 1] if k else np.inf)
        total += ahead @ further.table[:, :, k, 0].T / both
        total += ahead @ further.table[:, :, k, 1].T / walls.stiff[k]
        total += ahead @ further.joint[:, k].T / build.joint_stiffness
        if k:
            total += further.lever[:, k] * walls.tilt[k - 1]
        if k > 1:
            ahead[2] = walls.own[k - 1]
            total += ahead @ further.nested[:, 0, :, k].T / (both + further.stiffer[:, k])
            total += ahead @ further.nested[:, 1, :, k].T / (both + walls.stiff[k - 2] + further.stiffer[:, k])
        mass += walls.own[k] * spans.length
        moment += walls.own[k] * spans.length * (float(spans.butt[k]) + spans.length / 2.0)
    return np.asarray(total)


@dataclass(frozen=True, slots=True, eq=False)
class _Cells:
    """The pole cut into short pieces: middle (c,) [m], length (c,) [m], section and region (c,) that each piece's EI
    belongs to, and which tubes lie there (n, c).
    """

    middle: FloatArray
    length: FloatArray
    section: np.ndarray
    region: np.ndarray
    lies: np.ndarray


def _cells(spans: Spans, prop: float) -> _Cells:
    n = spans.butt.size
    edges = np.unique(np.concatenate([spans.butt, spans.mouth, [prop]]))
    fine = np.concatenate([np.linspace(a, b, _CELLS + 1)[:-1] for a, b in pairwise(edges)] + [edges[-1:]])
    middle, length = (fine[1:] + fine[:-1]) / 2.0, np.diff(fine)
    lies = (spans.butt[:, None] < middle) & (middle < spans.mouth[:, None])
    section = n - 1 - np.argmax(lies[::-1], axis=0)
    return _Cells(middle, length, section, np.where(lies.sum(axis=0) > 1, 0, 1), lies)


def _swing_rows(
    brief: Brief, build: Build, spans: Spans, room: Range, like: FoundPole, walls: _Walls, name: str
) -> list[tuple[Limit, Further]]:
    """The swing, if one is asked for."""
    if brief.swing_at_least == 0.0:
        return []
    try:
        true = (2.0 * np.pi * like.swing) ** 2
    except NotConverged:
        return []
    n, cells = spans.butt.size, _cells(spans, build.prop)
    soft = cells.length / (walls.stiff @ cells.lies)
    joint = spans.mouth[1:] - build.pivot * build.overlap
    # what swings: the tubes beyond the prop, clamps at their mouths, the mass at the tip
    tube, piece = np.nonzero(cells.lies & (cells.middle > build.prop))
    place = np.concatenate([cells.middle[piece], spans.mouth[1:], spans.mouth[:1]])
    mass = np.concatenate(
        [walls.own[tube] * cells.length[piece], np.full(n - 1, build.clamp), [max(brief.swing_mass, build.fitting)]]
    )
    bend, turn = _arms(cells.middle, place, build.prop), _arms(joint, place, build.prop)
    force, slow = _slowest(bend, soft, turn, 1.0 / build.joint_stiffness, mass)
    asked = (2.0 * np.pi * brief.swing_at_least) ** 2
    # how far a pole hangs goes as one over the square of its swing
    exact = asked * _at_limit(1.0 / slow / true, true / asked)
    square = exact * (1.0 - EASE)
    row = one_further(n)
    np.add.at(row.table[0, 3], (cells.section, cells.region), (bend @ force) ** 2 * cells.length)
    row.joint[0, 1:, 3] = (turn @ force) ** 2
    np.add.at(row.light[0], tube, force[: tube.size] ** 2 / cells.length[piece] / square)
    row.shift[0] = row.light[0] / walls.own
    held = mass > 0.0
    held[: tube.size] = False
    limit = float(np.sum(row.shift)) + float(np.sum(force[held] ** 2 / mass[held])) / square
    widen = 2.0 * limit + float(np.sum(row.light)) / room.lightest
    return [(Limit(name, limit, widen, -np.inf, limit * square / exact * (1.0 - CLOSE)), row)]


def _arms(at: FloatArray, place: FloatArray, prop: float) -> FloatArray:
    """(n_at, n_place) moment at each station [m] from a unit force at each place [m], zero at the butt."""
    share = np.minimum(at / prop, 1.0) if prop > 0.0 else np.ones_like(at)
    return np.asarray(share[:, None] * np.maximum(place - np.maximum(at, prop)[:, None], 0.0))


def _slowest(
    bend: FloatArray, soft: FloatArray, turn: FloatArray, give: float, mass: FloatArray
) -> tuple[FloatArray, float]:
    """Inertia forces (n_place,) of the slowest swing and its 1/omega^2 [s2], by powers of the flexibility."""
    shape = np.ones(mass.size)
    for _ in range(_ROUNDS):
        moved = bend.T @ (soft * (bend @ (mass * shape))) + give * (turn.T @ (turn @ (mass * shape)))
        shape = moved / np.max(moved)
    force = mass * shape
    energy = float(np.sum(soft * (bend @ force) ** 2) + give * np.sum((turn @ force) ** 2))
    return force, energy / float(np.sum(force * shape))
