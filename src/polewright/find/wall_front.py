"""One wall: the exact Pareto set of stiffness, mass and cost over all that the workshop may roll.

What is proved, and how
-----------------------
A wall is a row of options from the bore outward, every layer at its own radius. Mass and cost are sums of c V, V the
ring volume of a ply per metre and c its density or its price per volume. The gain G is EI or EA of the thin tier.

1. *Gain from above.* The thin tier makes G least over the free hoop strain and the free shear or twist: G is the
   least energy of a unit stretch or bend. So any one choice of them bounds G from above. Hoop strain -a times the
   axial strain and no shear gives G <= sum(q w) with q = Q11 - 2 a Q12 + a^2 Q22 > 0 and w the radial weight of a
   layer, pi/4 (ro^4 - ri^4) or pi (ro^2 - ri^2). The search fixes one a; a set of plies looked at closely has its
   own, that of one of its orders.
2. *Order.* Let a layer fill [x, x + t] with weight F(x + t) - F(x), F convex (r^4 or r^2). Swapping neighbours a, b
   (a inside) changes sum(q w) by (q_b - q_a)(F(x + t_a + t_b) - F(x + t_a) - F(x + t_b) + F(x)), and the bracket is
   not negative. Hence over all orders of a set of plies sum(q w) is greatest with q rising outward. In the same way
   sum(c V) changes by 2 pi t_a t_b (c_b - c_a): it is least with c falling outward, and equals
   sum(pi c t (d + t)) + 2 pi sum over pairs (t_i t_j min(c_i, c_j)). Sets of plies are gone through with q rising,
   so all three bounds of a set are running sums.
3. *A set of plies* is excluded ("ideal") when a wall already found has at least that gain at no more than that mass
   and cost: every order of it is then no better. In the same way an order is excluded by its first plies and the
   best orders of the rest.
4. *A branch*, all sets that begin with given plies and go on with options k and up, at most s of them, is excluded
   ("completions") when this holds for each completion that no other completion beats. The gain of a completion is
   a cubic in the thickness it lies on, mass and cost at least a line (min(c_i, c_k) >= min(c)); one completion
   beats another if the Bernstein coefficients of its cubic over all possible thicknesses are no less and both ends
   of its two lines no more. Because a found wall stays as good for greater mass and cost and smaller gain, a beaten
   completion need not be looked at.
5. With the order as listed, the rank order is the roll's order, mass and cost of a set are exact and there is one
   order to compute.

6. *What a wall must bear* (strength, squeeze, clamp) is dear to work out and no figure of the trade, so it is asked of
   the walls of a finished front alone. Those that fall short are barred by name and the search is run again, until all
   walls of a front bear it. Every wall barred falls short, and each wall that bears it was a candidate of the last
   search; so no such wall is better than its front, and all of that front bear it.

Walls with equal figures (to `digits` significant digits) count once. The chunks of the search do not depend on the
number of threads, so neither does the answer.
"""

from collections.abc import Callable, Iterator
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass, replace
from math import comb
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray, freeze
from polewright.errors import DesignError
from polewright.find.bearing import first_short
from polewright.find.certificate import Certificate, Ledger
from polewright.find.completions import frame_of
from polewright.find.options import GAINS, Options
from polewright.find.packing import Barred, cut_shelf, empty_table, room_for, seeds_of, shelf_of
from polewright.find.shelf import FIGURES, NAMES, TALLY, Found, Frame, IntArray, Shelf, Table, best_rows, try_all
from polewright.find.wall_kernel import search
from polewright.wall.stack import Stack

__all__ = ["WallFront", "best_walls", "candidates_in_all"]

CHUNKS = 16
ROOM = 200_000
MOST_BARRED = 30_000
MOST_PLAIN = 3_000_000
"""Walls that are computed one by one when a further figure leaves the bounds out of use."""


@dataclass(frozen=True, slots=True, eq=False)
class WallFront:
    """The walls that nothing beats, by rising mass; figures (n_wall,) each, `recipes` as numbers of the options.

    bending EI [N m2], axial EA [N], twist GJ [N m2], mass [kg/m], cost [currency/m], ring [N m] hoop bending
    stiffness per unit of width, collapse [Pa] outside pressure, wall [m] thickness.
    """

    options: Options
    recipes: tuple[tuple[int, ...], ...]
    bending: FloatArray
    axial: FloatArray
    mass: FloatArray
    cost: FloatArray
    twist: FloatArray
    ring: FloatArray
    collapse: FloatArray
    wall: FloatArray
    certificate: Certificate

    def __post_init__(self) -> None:
        freeze(self, NAMES)

    def __len__(self) -> int:
        return len(self.recipes)

    def stack(self, at: int) -> Stack:
        """The wall number `at` as it is rolled."""
        return self.options.stack(self.recipes[at])


class _Task(NamedTuple):
    """One chunk: some heads of one frame, over ranks from `first` on."""

    shelf: Shelf
    frame: Frame
    first: int
    heads: IntArray
    table: Table


class _Part(NamedTuple):
    """What a chunk found; ranks in the recipes."""

    recipes: list[tuple[int, ...]]
    figures: FloatArray
    tally: IntArray
    done: bool


def _faces(options: Options, rank: IntArray) -> Iterator[tuple[int, int]]:
    """Ranks fixed innermost and outermost, or one free frame."""
    if not options.is_framed:
        yield -1, -1
        return
    inner, outer = set(options.inner), set(options.outer)
    for f, inside in enumerate(rank):
        for g, outside in enumerate(rank):
            if inside in inner and outside in outer and (options.order == "any" or f <= g):
                yield f, g


def _alone(options: Options) -> list[int]:
    """Options that may be a whole wall by themselves where the faces are fixed."""
    return sorted(set(options.inner) & set(options.outer)) if options.is_framed else []


def candidates_in_all(options: Options) -> int:
    """Sets of plies that there are, by combinatorics: at most n of k options is C(k + n, n), less the empty one.

    Where rules fix the innermost and outermost ply, the sum over their pairs of the sets that may lie between; in a
    listed order only the options between the two in the list.
    """
    k, n = len(options.plies), options.most
    if not options.is_framed:
        return comb(k + n, n) - 1
    total = len(_alone(options))
    if n >= 2:
        for f, g in _faces(options, np.arange(k)):
            width = g - f + 1 if options.order == "listed" else k
            total += comb(width + n - 2, n - 2)
    return total


def _frames(options: Options, shelf: Shelf, rank: IntArray) -> Iterator[tuple[Shelf, Frame, int]]:
    """Every frame with the shelf that may lie between its faces and that shelf's first rank."""
    for f, g in _faces(options, rank):
        if f < 0:
            yield shelf, frame_of(shelf, -1, -1, options.most), 0
        elif options.most >= 2:
            between = cut_shelf(shelf, f, g) if shelf.is_listed else shelf
            inner, outer, first = (0, g - f, f) if shelf.is_listed else (f, g, 0)
            yield between, frame_of(between, inner, outer, options.most - 2), first


def _part(found: Found, tally: IntArray, first: int, done: bool) -> _Part:
    n = int(found.used[0])
    recipes = [tuple(int(k) + first for k in found.recipe[p, :found.size[p]]) for p in range(n)]
    return _Part(recipes, found.figures[:n].copy(), tally, done)


def _heads(size: int, most: int, first: int) -> IntArray:
    """Where branches begin, the bushiest first: no ply, one ply alone, two plies and all that follows."""
    heads = [(-1, -1)]
    if most >= 1:
        heads += [(k, -1) for k in range(size)]
    if most >= 2:
        heads += [(k, j) for k in range(size) for j in range(k, size)]
    return np.array(sorted(heads, key=lambda h: (h[1], h[0]))[first:], np.int64)


def _run_chunk(task: _Task, stop: NDArray[np.bool_] | None = None) -> _Part:
    """One chunk from its own copy of the table, so that the answer does not hang on what ran before."""
    tally = np.zeros(len(TALLY), np.int64)
    found = room_for(max(task.frame.most + 2, 1), ROOM if task.shelf.prune else MOST_PLAIN)
    table = Table(task.table.best.copy(), task.table.per)
    flag = np.zeros(1, np.bool_) if stop is None else stop
    done = search(task.shelf, task.frame, table, task.heads, found, tally, flag)
    return _part(found, tally, task.first, done == len(task.heads))


def _tasks(frames: list[tuple[Shelf, Frame, int]], table: Table) -> list[_Task]:
    chunks = max(1, CHUNKS // len(frames))
    out = []
    for shelf, frame, first in frames:
        heads = _heads(shelf.thickness.size, frame.most, 0)
        out += [_Task(shelf, frame, first, heads[c::chunks], table) for c in range(min(chunks, len(heads)))]
    return out


def _refuse_huge(options: Options, plain: bool) -> None:
    total = candidates_in_all(options)
    if total > 2**62:
        raise DesignError("most", options.most, f"fewer plies or options: {float(total):.1e} sets of plies")
    orders = len(options.plies) ** options.most if options.order == "any" else total
    if plain and orders > MOST_PLAIN:
        raise DesignError("figures", ", ".join(options.figures),
                          f"at most {MOST_PLAIN:,} walls when twist or ring stiffness is a figure to trade (here up to "
                          f"{float(orders):.1e}): ask for a least value in the rules instead, or for fewer plies")


Progress = Callable[[int, int], None]


def best_walls(options: Options, *, threads: int = 2, executor: Executor | None = None,
               progress: Progress | None = None, stop: Callable[[], bool] | None = None) -> WallFront:
    """The exact Pareto set of one wall on one bore, with its certificate; see the head of this file for the proof.

    Parameters
    ----------
    threads : how many chunks run side by side in this process; the answer does not depend on it.
    executor : runs the chunks elsewhere instead (processes, a cluster).
    progress : called with chunks done and chunks in all.
    stop : asked after every chunk; true ends the search with what was found, and the certificate says so.

    Returns
    -------
    WallFront, by rising mass.

    Raises
    ------
    DesignError : more candidates than can be counted or, with further figures, computed; too many walls that do not
    bear what they must.
    """
    plain = any(f in GAINS for f in options.figures[1:])
    _refuse_huge(options, plain)
    run = _Run(threads, executor, progress, stop)
    known: Barred = {}
    while True:
        front = _once(options, plain, {r: s for r, s in known.items() if s >= 0}, run)
        if options.bears is None:
            return front
        new: Barred = {r: first_short(options, r) for r in front.recipes if r not in known}
        known |= new
        if all(s < 0 for s in new.values()):
            return front
        if not front.certificate.is_complete:
            return _kept(front, [at for at, r in enumerate(front.recipes) if known[r] < 0])
        if len(known) > MOST_BARRED:
            raise DesignError("bears", f"{len(known):,} walls looked at, and the best of them still fall short",
                              "less to bear, or fewer plies and options")


class _Run(NamedTuple):
    """How the chunks of a search are run."""

    threads: int
    executor: Executor | None
    progress: Progress | None
    stop: Callable[[], bool] | None


def _kept(front: WallFront, rows: list[int]) -> WallFront:
    """The same front with these walls alone."""
    return replace(front, recipes=tuple(front.recipes[r] for r in rows), **{n: getattr(front, n)[rows] for n in NAMES})


def _once(options: Options, plain: bool, barred: Barred, run: "_Run") -> WallFront:
    """One search, with some walls barred."""
    shelf, rank = shelf_of(options, prune=not plain, barred=barred)
    table = empty_table(options, shelf)
    frames = list(_frames(options, shelf, rank))
    parts = [_single_plies(options, shelf, rank, table)]
    if not plain:
        for part, frame, first in frames:
            seeds = seeds_of(options, part, frame, table)
            parts.append(_part(seeds, np.zeros(len(TALLY), np.int64), first, True))
    tasks = _tasks(frames, table) if frames else []
    parts += _run(tasks, *run)
    return _front(options, rank, parts)


def _single_plies(options: Options, shelf: Shelf, rank: IntArray, table: Table) -> _Part:
    """Walls of one ply where the faces are fixed: the same ply is innermost and outermost."""
    found, tally = room_for(1, len(rank)), np.zeros(len(TALLY), np.int64)
    alone = [p for p, k in enumerate(rank) if k in _alone(options)]
    try_all(shelf, np.array(alone, np.int64).reshape(-1, 1), np.ones(len(alone), np.int64), table, found, tally)
    tally[0] = len(alone)
    return _part(found, tally, 0, True)


def _run(tasks: list[_Task], threads: int, executor: Executor | None, progress: Progress | None,
         stop: Callable[[], bool] | None) -> list[_Part]:
    """The parts in the order of the tasks, whatever ran first."""
    flag = np.zeros(1, np.bool_)
    own = ThreadPoolExecutor(max(threads, 1)) if executor is None else None
    parts = []
    try:
        pool = own or executor
        assert pool is not None
        futures = [pool.submit(_run_chunk, t, flag) if own else pool.submit(_run_chunk, t) for t in tasks]
        for done, future in enumerate(futures, 1):
            if stop is not None and stop():
                flag[0] = True
                future.cancel()
            if not future.cancelled():
                parts.append(future.result())
            if progress is not None:
                progress(done, len(tasks))
    finally:
        flag[0] = True
        if own is not None:
            own.shutdown(cancel_futures=True)
    return parts


def rounded(values: FloatArray, digits: int) -> FloatArray:
    """To so many significant digits, element by element."""
    size = np.floor(np.log10(np.maximum(np.abs(values), 1e-300)))
    scale = 10.0 ** (size - digits + 1)
    return np.asarray(np.rint(values / scale) * scale)


def _unbeaten(options: Options, figures: FloatArray) -> IntArray:
    """Rows of (n, FIGURES) that no other equals or beats in the figures wanted, the first of equals, by mass."""
    wanted = {f: rounded(figures[:, NAMES.index(f)], options.digits) for f in options.figures}
    gain = wanted.pop(options.figures[0])
    mass, cost = (wanted.pop(f, np.zeros(len(gain))) for f in ("mass", "cost"))
    if not wanted:
        return np.asarray(best_rows(gain, mass, cost), np.int64)
    score = np.column_stack([gain, -mass, -cost, *wanted.values()])
    order = np.lexsort(tuple(-score.T[::-1]))
    kept: list[int] = []
    for row in order:
        if not kept or not np.any(np.all(score[kept] >= score[row], axis=1)):
            kept.append(int(row))
    return np.array(sorted(kept, key=lambda r: (mass[r], cost[r])), np.int64)


def _front(options: Options, rank: IntArray, parts: list[_Part]) -> WallFront:
    """All parts merged, equal figures once (the first recipe by option number)."""
    recipes = [tuple(int(rank[k]) for k in recipe) for part in parts for recipe in part.recipes]
    figures = np.concatenate([part.figures for part in parts]) if recipes else np.zeros((0, FIGURES))
    order = sorted(range(len(recipes)), key=lambda i: (len(recipes[i]), recipes[i]))
    recipes, figures = [recipes[i] for i in order], figures[order]
    keep = _unbeaten(options, figures) if recipes else np.zeros(0, np.int64)
    tally = sum((part.tally for part in parts), np.zeros(len(TALLY), np.int64))
    kept = figures[keep]
    return WallFront(options, tuple(recipes[i] for i in keep), **{n: kept[:, c] for c, n in enumerate(NAMES)},
                     certificate=_certificate(options, tally))


def _certificate(options: Options, tally: IntArray) -> Certificate:
    count = dict(zip(TALLY, (int(n) for n in tally), strict=True))
    sets = Ledger("sets of plies", candidates_in_all(options), count["expanded"], tuple(
        (words, count[name]) for name, words in (
            ("completions", "no completion of the branch is better than a wall found"),
            ("ideal", "no order of the set is better than a wall found"),
            ("most wall", "rule: most wall"), ("least wall", "rule: least wall"))))
    by_rule = tuple((name.removeprefix("orders by "), count[name]) for name in TALLY if name.startswith("orders by r"))
    orders = Ledger("orders of the sets evaluated", count["orders"], count["orders evaluated"],
                    (("no order that begins so is better than a wall found", count["orders by bound"]), *by_rule))
    return Certificate((sets, orders))

