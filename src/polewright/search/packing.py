"""The options as plain arrays in rank order, and good walls to begin a one-wall search with."""

import numpy as np

from polewright.arrays import FloatArray
from polewright.search.option_table import (
    FIGURES,
    TALLY,
    WORDS,
    Frame,
    IntArray,
    KeptWalls,
    Shelf,
    Table,
    coded,
    laid_right,
    try_all,
)
from polewright.search.options import Options
from polewright.search.unbeaten import best_rows
from polewright.wall.membrane import rotated_stiffness

__all__ = ["Barred", "cut_shelf", "empty_table", "room_for", "seeds_of", "shelf_of"]

Barred = dict[tuple[int, ...], int]
CELLS = 1024
BEAM = 500
SEEDS = 50_000


def _contraction(options: Options) -> float:
    """The hoop contraction a of the fixed strain v = (1, -a, 0): any is valid, a near one makes the bound tight."""
    return 0.1 if any(o.is_hoop for o in options.plies) else 0.25


def _layers(options: Options) -> tuple[FloatArray, FloatArray]:
    """Stiffness (k, 2, 6) [Pa] and angle (k, 2) [rad] of the one or two layers of each option."""
    stiffness, angle = np.zeros((len(options.plies), 2, 6)), np.zeros((len(options.plies), 2))
    for k, option in enumerate(options.plies):
        for layer, turn in enumerate((option.stack_plies[0], option.stack_plies[-1])):
            full = rotated_stiffness(option.ply.elastic, np.asarray(turn.angle))
            stiffness[k, layer] = full[(0, 0, 1, 0, 1, 2), (0, 1, 1, 2, 2, 2)]
            angle[k, layer] = turn.angle
    return stiffness, angle


def shelf_of(options: Options, *, prune: bool, barred: Barred | None = None) -> Shelf:
    """The options in rank order for the compiled loops.

    barred : recipes that are out because they do not bear something, with its place in BEARINGS.
    """
    stiffness, angle = _layers(options)
    a = _contraction(options)
    along = (stiffness[..., 0] - 2.0 * a * stiffness[..., 1] + a * a * stiffness[..., 2]).mean(axis=1)
    listed = options.order == "listed"
    rank = np.arange(len(options.plies)) if listed else np.argsort(along, kind="stable")
    plies = [options.plies[k] for k in rank]
    content = np.array(
        [[float(o.ply.elastic.density), o.ply.price / o.ply.thickness / options.utilisation] for o in plies]
    )
    content[:, [f not in options.figures for f in ("mass", "cost")]] *= 0.0 if prune else 1.0
    rules = options.rules
    limits = np.array(
        [
            rules.least_wall,
            rules.most_wall,
            rules.block,
            rules.neighbours,
            rules.least_ring,
            rules.least_collapse,
            rules.least_twist,
            rules.least_bending,
        ]
    )
    return Shelf(
        np.array([o.thickness for o in plies]),
        np.array([len(o.stack_plies) for o in plies]),
        stiffness[rank],
        content,
        along[rank],
        angle[rank],
        np.asarray(rank, np.int64),
        options.bore / 2.0,
        options.figures[0] == "bending",
        listed,
        prune,
        limits,
        *_codes(barred or {}),
    )


def _codes(barred: Barred) -> tuple[IntArray, IntArray]:
    """Barred recipes as rising numbers, with what they do not bear."""
    codes, number = np.zeros((len(barred), WORDS), np.int64), np.arange(512)
    for row, recipe in enumerate(barred):
        coded(number, np.array(recipe, np.int64), len(recipe), codes[row])
    order = np.lexsort(codes.T[::-1])
    return codes[order], np.array(list(barred.values()), np.int64)[order]


def cut_shelf(shelf: Shelf, first: int, last: int) -> Shelf:
    """The ranks from first to last alone."""
    part = slice(first, last + 1)
    return shelf._replace(
        thickness=shelf.thickness[part],
        layers=shelf.layers[part],
        stiffness=shelf.stiffness[part],
        content=shelf.content[part],
        along=shelf.along[part],
        angle=shelf.angle[part],
        number=shelf.number[part],
    )


def empty_table(options: Options, shelf: Shelf, candidates: int) -> Table:
    """No wall found yet; the cells, more for more candidates, reach to the heaviest and dearest wall there can be."""
    outside = shelf.radius + options.thickest
    most = np.pi * (outside**2 - shelf.radius**2) * shelf.content.max(axis=0)
    fine = int(min(max(4.0 * candidates**0.4, 64.0), CELLS))
    cells = [fine if top > 0.0 else 1 for top in most]
    per = np.array([(n - 1) / top if top > 0.0 else 0.0 for n, top in zip(cells, most, strict=True)])
    return Table(np.full(cells, -1.0), per)


def room_for(most: int, rows: int) -> KeptWalls:
    """Place for so many walls of at most `most` plies."""
    return KeptWalls(
        np.empty((rows, most), np.int16), np.empty((rows, FIGURES)), np.empty(rows, np.int64), np.zeros(1, np.int64)
    )


def _spread(rows: IntArray, most: int) -> IntArray:
    """At most so many rows, evenly picked."""
    return rows if rows.size <= most else rows[np.linspace(0, rows.size - 1, most).astype(np.int64)]


def seeds_of(options: Options, shelf: Shelf, frame: Frame, table: Table, beam: int = BEAM) -> KeptWalls:
    """Good walls to begin with, ply by ply outward, keeping the promising part-built ones, at most `beam` and where
    rules say what may lie on what some with each ply outermost; fills the table.
    """
    found, tally = room_for(options.most, SEEDS), np.zeros(len(TALLY), np.int64)
    size = shelf.thickness.size
    wall, gain, content = np.zeros(1), np.zeros(1), np.zeros((1, 2))
    rows = np.zeros((1, 0), np.int64)
    if frame.inner >= 0:
        rows = np.array([[frame.inner]])
        wall, gain, content = _laid(shelf, wall, gain, content, np.array([frame.inner]))
    for depth in range(frame.most + 1):
        if rows.shape[1] + (frame.outer >= 0) > 0:
            whole = rows if frame.outer < 0 else np.column_stack([rows, np.full(len(rows), frame.outer)])
            try_all(shelf, whole, np.full(len(whole), whole.shape[1]), table, found, tally)
        if depth == frame.most:
            break
        old, new = np.repeat(np.arange(len(rows)), size), np.tile(np.arange(size), len(rows))
        if shelf.is_listed and rows.shape[1]:
            fits = new >= rows[old, -1]
            old, new = old[fits], new[fits]
        rows = np.column_stack([rows[old], new])
        wall, gain, content = _laid(shelf, wall[old], gain[old], content[old], new)
        ends = [np.arange(len(rows))]
        if shelf.rules[2:4].min() < np.inf:
            right = laid_right(shelf, rows)
            ends = [np.flatnonzero(right & (new == k)) for k in range(size)]
        keep = np.concatenate(
            [e[_spread(best_rows(gain[e], content[e, 0], content[e, 1]), -(-beam // len(ends)))] for e in ends]
        )
        rows, wall, gain, content = rows[keep], wall[keep], gain[keep], content[keep]
    return found


def _laid(
    shelf: Shelf, wall: FloatArray, gain: FloatArray, content: FloatArray, new: IntArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Part-built walls (n,) with one option more on each: thickness, gain bound, mass and cost."""
    inside = shelf.radius + wall
    outside = inside + shelf.thickness[new]
    ring = np.pi * (outside**2 - inside**2)
    weight = np.pi / 4.0 * (outside**4 - inside**4) if shelf.is_bending else ring
    return outside - shelf.radius, gain + shelf.along[new] * weight, content + shelf.content[new] * ring[:, None]
