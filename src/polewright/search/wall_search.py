"""The rounds of a one-wall search: sets of plies first, then the orders of those that no bound excludes.

The chunks and rounds do not depend on the number of threads, so neither does the answer.
"""

from collections.abc import Callable, Iterator
from concurrent.futures import Executor, ThreadPoolExecutor
from math import comb
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.search.branch_bound import frame_of
from polewright.search.option_table import COST, IDEAL, LIGHT, SAME, TALLY, Frame, IntArray, Shelf, Table, try_all
from polewright.search.options import Options
from polewright.search.orders import Sets, part_of, try_orders
from polewright.search.packing import BEAM, Barred, cut_shelf, empty_table, room_for, seeds_of, shelf_of
from polewright.search.unbeaten import best_rows
from polewright.search.wall_kernel import OpenSets, Walk, search
from polewright.search.wall_set import Walls, best_of, no_walls, walls_of

__all__ = ["MOST_PLAIN", "Progress", "Run", "alone", "candidates_in_all", "faces", "found_walls"]

MOST_PLAIN = 3_000_000
"""Walls that are computed one by one when a further figure leaves the bounds out of use."""
CHUNKS = 16
ROUNDS = 3
ROOM, ROOM_PLAIN = 80_000, 200_000
"""Walls kept side by side in a chunk before the best of them are picked out."""
_SETS = 1 << 21
"""Sets of plies that all chunks together may leave over for their orders, rather than put them in order at once."""
_FEW = 20_000
"""Candidates up to which a search is not worth cutting up."""
Progress = Callable[[int, int], None]
Flag = NDArray[np.bool_]


def faces(options: Options, rank: IntArray) -> Iterator[tuple[int, int]]:
    """Ranks fixed innermost and outermost, or one free frame; rank (n_option,) of each option."""
    if not options.is_framed:
        yield -1, -1
        return
    inner, outer = set(options.inner), set(options.outer)
    for f, inside in enumerate(rank):
        for g, outside in enumerate(rank):
            if inside in inner and outside in outer and (options.order == "any" or f <= g):
                yield f, g


def alone(options: Options) -> list[int]:
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
    total = len(alone(options))
    if n >= 2:
        for f, g in faces(options, np.arange(k)):
            width = g - f + 1 if options.order == "listed" else k
            total += comb(width + n - 2, n - 2)
    return total


class Part(NamedTuple):
    """What a chunk found, and the sets of plies left over for their orders."""

    walls: Walls
    tally: IntArray
    left: Sets


class Heads(NamedTuple):
    """A chunk of the first round: some heads of one frame."""

    options: Options
    shelf: Shelf
    frame: Frame
    heads: IntArray
    table: Table
    barred: frozenset[tuple[int, ...]]  # sets of plies of which some order is barred
    room: int  # sets that may be left over


class Order(NamedTuple):
    """A chunk of a later round: sets to put in order, and the gain, mass and cost (n, 3) of walls to beat."""

    options: Options
    shelf: Shelf
    sets: Sets
    front: FloatArray


class Run:
    """Runs the chunks of a search, here or elsewhere, side by side; the parts come in the order of the chunks."""

    def __init__(
        self, threads: int, executor: Executor | None, progress: Progress | None, stop: Callable[[], bool] | None
    ) -> None:
        self._own = ThreadPoolExecutor(max(threads, 1)) if executor is None else None
        self._pool = self._own or executor
        self._progress, self._stop = progress, stop
        self.flag = np.zeros(1, np.bool_)

    def __enter__(self) -> "Run":
        return self

    def __exit__(self, *_: object) -> None:
        self.flag[0] = True
        if self._own is not None:
            self._own.shutdown(cancel_futures=True)

    def parts(self, work: Callable[..., Part], tasks: "list[Heads] | list[Order]", done: int, of: int) -> list[Part]:
        """What each task found; `done` chunks of `of` were done before."""
        assert self._pool is not None
        futures = [self._pool.submit(work, t, self.flag) if self._own else self._pool.submit(work, t) for t in tasks]
        parts = []
        for future in futures:
            if self._stop is not None and self._stop():
                self.flag[0] = True
            if self.flag[0]:
                future.cancel()
            if not future.cancelled():
                parts.append(future.result())
            done += 1
            self.tell(done, of)
        return parts

    def tell(self, done: int, of: int) -> None:
        """Report progress, if anybody asked for it."""
        if self._progress is not None:
            self._progress(done, of)


def found_walls(options: Options, plain: bool, barred: Barred, run: Run) -> tuple[Walls, IntArray]:
    """The best walls but for barred ones, and the counts (n_count,) of the certificate; `plain` uses no bounds."""
    total = candidates_in_all(options)
    shelf = shelf_of(options, prune=not plain, barred=barred)
    table = empty_table(options, shelf, total)
    tally = np.zeros(len(TALLY), np.int64)
    some, tasks = [_single_plies(options, shelf, table, tally)], []
    frames = list(_frames(options, shelf))
    known = frozenset(tuple(sorted(r)) for r in barred)
    chunks = max(1, (CHUNKS if total > _FEW else 2) // max(len(frames), 1))
    room = min(max(_SETS // (chunks * max(len(frames), 1)), 64), total)
    beam = int(BEAM / len(frames) ** 0.5) if frames else BEAM
    if not plain:
        some += [walls_of(seeds_of(options, part, frame, table, beam), part, options.most) for part, frame in frames]
    for part, frame in frames:
        tasks += _chunks_of_heads(Heads(options, part, frame, np.zeros((0, 2), np.int64), table, known, room), chunks)
    of = len(tasks) + (0 if shelf.is_listed else ROUNDS * CHUNKS)
    parts = run.parts(search_heads, tasks, 0, of)
    tally += sum((p.tally for p in parts), np.zeros_like(tally))
    walls = best_of(options, some + [p.walls for p in parts])
    if shelf.is_listed:
        return walls, tally
    left = Sets(*(np.concatenate(column) for column in zip(*(p.left for p in parts), strict=True))) if parts else None
    return _ordered(options, shelf, left, walls, run, (len(tasks), of), tally)


def _single_plies(options: Options, shelf: Shelf, table: Table, tally: IntArray) -> Walls:
    """Walls of one ply where the faces are fixed: the same ply is innermost and outermost."""
    found = room_for(1, len(options.plies))
    ranks = [p for p, k in enumerate(shelf.number) if k in alone(options)]
    try_all(shelf, np.array(ranks, np.int64).reshape(-1, 1), np.ones(len(ranks), np.int64), table, found, tally)
    tally[0] = len(ranks)
    return walls_of(found, shelf, options.most)


def _frames(options: Options, shelf: Shelf) -> Iterator[tuple[Shelf, Frame]]:
    """Every frame with the shelf that may lie between its faces; completions know of the outer face alone."""
    known: dict[int, Frame] = {}
    for f, g in faces(options, shelf.number):
        if f < 0:
            yield shelf, frame_of(shelf, -1, -1, options.most)
        elif options.most >= 2 and shelf.is_listed:
            between = cut_shelf(shelf, f, g)
            yield between, frame_of(between, 0, g - f, options.most - 2)
        elif options.most >= 2:
            known[g] = known[g] if g in known else frame_of(shelf, f, g, options.most - 2)
            yield shelf, known[g]._replace(inner=f)


def _chunks_of_heads(whole: Heads, chunks: int) -> list[Heads]:
    """Where branches begin, the bushiest first, dealt out: no ply, one ply alone, two plies and all that follows."""
    size, most, heads = whole.shelf.thickness.size, whole.frame.most, [(-1, -1)]
    if most >= 1:
        heads += [(k, -1) for k in range(size)]
    if most >= 2:
        heads += [(k, j) for k in range(size) for j in range(k, size)]
    rows = np.array(sorted(heads, key=lambda h: (h[1], h[0])), np.int64)
    return [whole._replace(heads=np.ascontiguousarray(rows[c::chunks])) for c in range(min(chunks, len(rows)))]


def _flag(stop: Flag | None) -> Flag:
    return np.zeros(1, np.bool_) if stop is None else stop


def search_heads(task: Heads, stop: Flag | None = None) -> Part:
    """One chunk of the first round, from its own copy of the table."""
    shelf, frame, most, flag = task.shelf, task.frame, task.options.most, _flag(stop)
    table, tally = Table(task.table.best.copy(), task.table.per), np.zeros(len(TALLY), np.int64)
    found = room_for(most, ROOM if shelf.prune else ROOM_PLAIN)
    left = OpenSets(
        np.empty((task.room, max(frame.most, 1)), np.int16), np.empty(task.room, np.int64), np.empty((task.room, 3))
    )
    deep, size = frame.most + 3, shelf.thickness.size
    walk = Walk(np.zeros(3, np.int64), np.zeros(deep, np.int64), np.zeros((deep, 4)), np.zeros((deep, 2, size)))
    walls = no_walls(most)
    while not search(shelf, frame, table, task.heads, walk, found, left, tally, flag) and not flag[0]:
        walls = best_of(task.options, [walls, walls_of(found, shelf, most)])
        found.used[0] = 0
        if walk.place[2] == task.room:
            part = put_in_order(Order(task.options, shelf, _sets(task, left, task.room), _rivals(shelf, walls)), flag)
            walls, walk.place[2] = best_of(task.options, [walls, part.walls]), 0
            tally += part.tally
    walls = best_of(task.options, [walls, walls_of(found, shelf, most)])
    return Part(walls, tally, _sets(task, left, int(walk.place[2])))


def _sets(task: Heads, left: OpenSets, n: int) -> Sets:
    """The sets left over, as wide as the widest wall."""
    plies = np.zeros((n, task.options.most), np.int16)
    plies[:, : left.plies.shape[1]] = left.plies[:n]
    faces_of = np.tile(np.array([task.frame.inner, task.frame.outer]), (n, 1))
    return Sets(plies, left.size[:n].copy(), faces_of, _are_alone(task, plies, left.size[:n]), left.ideal[:n].copy())


def _are_alone(task: Heads, plies: NDArray[np.int16], size: IntArray) -> NDArray[np.bool_]:
    """Sets in which one beginning cannot stand for another: bounds are out of use, a wall may fall short by a figure
    that the bounds do not know, or one of the orders is barred.
    """
    shelf = task.shelf
    figures = shelf.rules[4:7].max() > 0.0 or (shelf.rules[7] > 0.0 and not shelf.is_bending)
    out = np.full(len(plies), figures or not shelf.prune)
    if len(shelf.barred) and not out.all():
        known = task.barred
        ends = [int(shelf.number[k]) for k in (task.frame.inner, task.frame.outer) if k >= 0]
        for row, n in enumerate(size.tolist()):
            out[row] |= tuple(sorted([*ends, *shelf.number[plies[row, :n]].tolist()])) in known
    return out


def _rivals(shelf: Shelf, walls: Walls) -> FloatArray:
    """Gain, mass and cost (n, 3) of walls, by rising gain."""
    figures = walls.figures[:, [0 if shelf.is_bending else 1, LIGHT, COST]]
    return np.ascontiguousarray(figures[np.argsort(figures[:, 0], kind="stable")])


def put_in_order(task: Order, stop: Flag | None = None) -> Part:
    """One chunk of a later round."""
    options, shelf, sets, front = task
    flag, tally = _flag(stop), np.zeros(len(TALLY), np.int64)
    found = room_for(options.most, ROOM if shelf.prune else ROOM_PLAIN)
    walls = no_walls(options.most)
    while len(sets.size):
        done = try_orders(shelf, sets, front, found, tally, flag)
        if found.used[0] > found.size.size:
            raise DesignError("most", options.most, Message("want.fewer_plies_one_set_plies_has"))
        walls = best_of(options, [walls, walls_of(found, shelf, options.most)])
        if flag[0]:
            break
        found.used[0] = 0
        sets = part_of(sets, slice(done, None))
        front = np.concatenate([task.front, _rivals(shelf, walls)])
        front = front[np.argsort(front[:, 0], kind="stable")]
    return Part(walls, tally, sets)


def _ordered(
    options: Options, shelf: Shelf, sets: Sets | None, walls: Walls, run: Run, told: tuple[int, int], tally: IntArray
) -> tuple[Walls, IntArray]:
    """The rounds that follow the first: in each, the sets whose ideal no other's equals, in the last all that are
    left; sets whose ideal a wall found meanwhile equals are dropped.
    """
    done, of = told
    for turn in range(ROUNDS):
        if sets is not None and shelf.prune:
            worth, best = _worth(shelf, sets, walls)
            tally[IDEAL] += len(sets.size) - np.count_nonzero(worth)
            pick = worth & best if turn < ROUNDS - 1 else worth
            now, sets = part_of(sets, pick), part_of(sets, worth & ~pick)
        elif sets is not None:
            now, sets = sets, None
        else:
            break
        n = len(now.size)
        chunks = min(CHUNKS, -(-n // 32))
        front = _rivals(shelf, walls)
        tasks = [Order(options, shelf, part_of(now, slice(k, None, chunks)), front) for k in range(chunks)]
        parts = run.parts(put_in_order, tasks, done, of)
        done += chunks
        tally += sum((p.tally for p in parts), np.zeros_like(tally))
        walls = best_of(options, [walls, *(p.walls for p in parts)])
    for k in range(done, of):
        run.tell(k + 1, of)
    return walls, tally


def _worth(shelf: Shelf, sets: Sets, walls: Walls) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Which ideals (n, 3) no wall equals, and which of them no other ideal equals."""
    rivals, n = _rivals(shelf, walls), len(sets.size)
    gain, mass, cost = np.concatenate([rivals, sets.ideal * [1.0, 1.0 + SAME, 1.0 + SAME]]).T
    counts = np.arange(len(gain)) < len(rivals)
    worth, best = np.zeros(len(gain), np.bool_), np.zeros(len(gain), np.bool_)
    worth[best_rows(gain, mass, cost, counts)] = True
    best[best_rows(gain, mass, cost)] = True
    return worth[-n:] if n else worth[:0], best[-n:] if n else best[:0]
